//! What findings, cues and the worksheet say in English, in German.
//!
//! They make their sentences themselves, so each is known here by its pattern: `{}` stands for
//! anything, which is put in German in its turn. What is not known stays English and is told to be
//! English; nothing is guessed.

/// The German for a text; none if any part of it is not known.
pub(super) fn german(english: &str) -> Option<String> {
    let text = english.trim();
    if text.is_empty() {
        return Some(String::new());
    }
    for (pattern, german) in PATTERNS {
        if let Some(parts) = fits(pattern, text) {
            let parts: Option<Vec<String>> = parts.iter().map(|part| self::german(part)).collect();
            if let Some(parts) = parts {
                let filled = parts.iter().enumerate();
                return Some(filled.fold((*german).to_owned(), |text, (place, part)| {
                    text.replace(&format!("{{{place}}}"), part)
                }));
            }
        }
    }
    if is_figures(text) {
        return Some(with_commas(text));
    }
    // What a person said stays as it was said.
    if text.len() > 1 && text.starts_with('\'') && text.ends_with('\'') {
        return Some(text.to_owned());
    }
    for between in ["; ", ", "] {
        if text.contains(between) {
            let parts: Option<Vec<String>> = text.split(between).map(self::german).collect();
            if let Some(parts) = parts {
                return Some(parts.join(between));
            }
        }
    }
    None
}

/// What stands at the `{}` of a pattern, if the text fits it.
fn fits<'a>(pattern: &str, text: &'a str) -> Option<Vec<&'a str>> {
    let mut pieces = pattern.split("{}");
    let mut rest = text.strip_prefix(pieces.next()?)?;
    let pieces: Vec<&str> = pieces.collect();
    let Some((last, between)) = pieces.split_last() else {
        return rest.is_empty().then(Vec::new);
    };
    let mut parts = Vec::new();
    for piece in between {
        let (before, after) = rest.split_once(piece)?;
        parts.push(before);
        rest = after;
    }
    parts.push(rest.strip_suffix(last)?);
    Some(parts)
}

/// Whether a text is figures, signs and units only.
fn is_figures(text: &str) -> bool {
    const UNITS: [&str; 12] = [
        "dB", "HL", "Hz", "kHz", "logMAR", "m", "cm", "s", "%", "SD", "FS", "x",
    ];
    text.split([' ', '/', ',', ';']).all(|word| {
        UNITS.contains(&word)
            || word
                .chars()
                .all(|sign| sign.is_ascii_digit() || ".-+\u{2212}\u{b1}:()%\u{2013}".contains(sign))
    })
}

/// Decimal points between digits as commas.
pub(super) fn with_commas(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let digit = |at: Option<usize>| {
        at.and_then(|at| letters.get(at))
            .is_some_and(char::is_ascii_digit)
    };
    let each = letters.iter().enumerate().map(|(at, letter)| {
        if *letter == '.' && digit(at.checked_sub(1)) && digit(Some(at + 1)) {
            ','
        } else {
            *letter
        }
    });
    each.collect()
}

/// English patterns and their German, the longer ones before those that they contain.
const PATTERNS: &[(&str, &str)] = &[
    // Sides, and lists of frequencies.
    ("right", "rechts"),
    ("left", "links"),
    ("both", "beide"),
    ("from right", "von rechts"),
    ("from left", "von links"),
    ("from above", "von oben"),
    ("from below", "von unten"),
    ("right ear", "rechtes Ohr"),
    ("left ear", "linkes Ohr"),
    ("right {} Hz", "rechts {0} Hz"),
    ("left {} Hz", "links {0} Hz"),
    ("{} dB at {}", "{0} dB bei {1}"),
    (
        "{} dB HL at {} (limit {})",
        "{0} dB HL bei {1} (Grenze {2})",
    ),
    // What the figures are.
    (
        "A screening and measuring aid, not certified and not a diagnosis",
        "Ein Hilfsmittel zum Sieben und Messen, nicht zertifiziert und keine Diagnose",
    ),
    (
        "A screening and measuring aid, not certified and not a diagnosis.",
        "Ein Hilfsmittel zum Sieben und Messen, nicht zertifiziert und keine Diagnose.",
    ),
    (
        "A screening and measuring aid, not certified and not a diagnosis; local rules and licensed practice come first.",
        "Ein Hilfsmittel zum Sieben und Messen, nicht zertifiziert und keine Diagnose; örtliche Regeln und zugelassene Fachleute gehen vor.",
    ),
    (
        "A screening and measuring aid, not certified and not a diagnosis; local rules and licensed practice come first. Levels are against the examiner's own ears on the same set-up: the examiner's own loss shifts every one of them.",
        "Ein Hilfsmittel zum Sieben und Messen, nicht zertifiziert und keine Diagnose; örtliche Regeln und zugelassene Fachleute gehen vor. Pegel gelten gegen die eigenen Ohren der untersuchenden Person am selben Aufbau: deren eigener Verlust verschiebt jeden davon.",
    ),
    (
        "A screening and measuring aid, not certified and not a diagnosis; local rules and licensed practice come first. Levels are re full scale: nothing is known of the air.",
        "Ein Hilfsmittel zum Sieben und Messen, nicht zertifiziert und keine Diagnose; örtliche Regeln und zugelassene Fachleute gehen vor. Pegel sind re Vollaussteuerung: über den Schall in der Luft ist nichts bekannt.",
    ),
    (
        "Air conduction only: masking rules 2 and 3, which need bone conduction, cannot be applied, and a conductive part of a loss cannot be seen.",
        "Nur Luftleitung: die Vertäubungsregeln 2 und 3, die Knochenleitung brauchen, sind nicht anwendbar, und ein Schallleitungsanteil ist nicht zu erkennen.",
    ),
    (
        "Heard or not heard at one level, which is no threshold and no diagnosis; what was not heard is usually screened again before anything follows.",
        "Gehört oder nicht gehört bei einem Pegel; das ist keine Schwelle und keine Diagnose. Was nicht gehört wurde, wird gewöhnlich noch einmal gesiebt, bevor etwas folgt.",
    ),
    ("normal hearing", "Normalhörigkeit"),
    ("unilateral hearing loss", "einseitiger Hörverlust"),
    ("mild hearing loss", "geringgradiger Hörverlust"),
    ("moderate hearing loss", "mittelgradiger Hörverlust"),
    (
        "moderately severe hearing loss",
        "mittel- bis hochgradiger Hörverlust",
    ),
    ("severe hearing loss", "hochgradiger Hörverlust"),
    ("profound hearing loss", "an Taubheit grenzender Hörverlust"),
    ("complete hearing loss", "vollständiger Hörverlust"),
    ("as_worn", "wie getragen"),
    ("as worn", "wie getragen"),
    ("none", "keine"),
    (
        "left and right were answered the other way round",
        "links und rechts wurden vertauscht beantwortet",
    ),
    // Earphones.
    ("supra-aural", "ohraufliegend"),
    (
        "supra-aural, domed cushion",
        "ohraufliegend, gewölbtes Polster",
    ),
    (
        "supra-aural, flat cushion",
        "ohraufliegend, flaches Polster",
    ),
    ("circumaural", "ohrumschließend"),
    ("insert, {}", "Einsteckhörer, {0}"),
    (
        "2 cm\u{b3} coupler with rigid tube",
        "2-cm\u{b3}-Kuppler mit starrem Schlauch",
    ),
    ("2 cm\u{b3} coupler HA-1", "2-cm\u{b3}-Kuppler HA-1"),
    ("occluded-ear simulator", "Ohrsimulator"),
    // Components of the uncertainty.
    ("levels of the output", "Pegel des Ausgangs"),
    ("type of the earphone", "Bauart des Hörers"),
    ("how the earphone sits", "Sitz des Hörers"),
    ("noise of the room", "Lärm im Raum"),
    ("the answers", "die Antworten"),
    ("steps of 5 dB", "Schritte von 5 dB"),
    ("masking", "Vertäubung"),
    ("so few listeners", "so wenige Hörende"),
    (
        "how well the listeners themselves hear",
        "wie gut die Hörenden selbst hören",
    ),
    // Sight: categories, two distances, what has to be known.
    ("no vision impairment", "keine Sehbeeinträchtigung"),
    ("mild vision impairment", "leichte Sehbeeinträchtigung"),
    ("moderate vision impairment", "mittlere Sehbeeinträchtigung"),
    ("severe vision impairment", "schwere Sehbeeinträchtigung"),
    ("blindness", "Blindheit"),
    (
        "best-corrected acuity of the better eye; the scheme itself goes by presenting acuity",
        "bestkorrigierte Sehschärfe des besseren Auges; das Schema selbst geht nach der vorhandenen Sehschärfe",
    ),
    (
        "presenting acuity of the better eye, with own correction",
        "vorhandene Sehschärfe des besseren Auges, mit eigener Korrektur",
    ),
    (
        "acuity of the better eye as worn, not noted; presenting acuity if that is the person's usual correction",
        "Sehschärfe des besseren Auges wie getragen, nicht vermerkt; vorhandene Sehschärfe, falls das die übliche Korrektur der Person ist",
    ),
    (
        "from {} and {} m: not interpretable, {}",
        "aus {0} und {1} m: nicht zu deuten, {2}",
    ),
    (
        "from {} and {} m: the acuities agree as angles ({} ± {} logMAR, 95 %)",
        "aus {0} und {1} m: die Sehschärfen stimmen als Winkel überein ({2} ± {3} logMAR, 95 %)",
    ),
    (
        "from {} and {} m: the acuities differ by {} ± {} logMAR (95 %), more than repeated measurements usually do ({}); one size in millimetres from both would be {}. A distance that was measured wrongly, light, attention and tiredness can do it too",
        "aus {0} und {1} m: die Sehschärfen unterscheiden sich um {2} ± {3} logMAR (95 %), mehr als wiederholte Messungen gewöhnlich ({4}); eine Größe in Millimetern aus beiden wären {5}. Auch eine falsch gemessene Entfernung, Licht, Aufmerksamkeit und Müdigkeit können das",
    ),
    (
        "the eye focuses {} D nearer, more than {} D",
        "das Auge stellt um {0} dpt näher ein, mehr als {1} dpt",
    ),
    (
        "the correction is not known and no pinhole was used: an eye with short sight truly sees better from nearer",
        "die Korrektur ist nicht bekannt und keine Lochblende war dabei: ein kurzsichtiges Auge sieht aus der Nähe wirklich besser",
    ),
    (
        "the uncertainty of the acuities is not known",
        "die Unsicherheit der Sehschärfen ist nicht bekannt",
    ),
    (
        "a difference of {} ± {} logMAR (95 %) cannot be told from none, nor from that of one size in millimetres",
        "ein Unterschied von {0} ± {1} logMAR (95 %) ist weder von keinem zu unterscheiden noch von dem einer Größe in Millimetern",
    ),
    (
        "From {} m nothing smaller than {} logMAR ({}) can be shown: a difference between two eyes that both read it may hide there.",
        "Aus {0} m ist nichts Kleineres als {1} logMAR ({2}) zu zeigen: ein Unterschied zwischen zwei Augen, die das beide lesen, kann dort verborgen bleiben.",
    ),
    (
        "The eyes were asked with different optotypes: rings and letters differ by 0.05 to 0.1 logMAR, in low vision by up to 0.3 (Plainis 2013, Petersen 1999).",
        "Die Augen wurden mit verschiedenen Sehzeichen gefragt: Ringe und Buchstaben unterscheiden sich um 0,05 bis 0,1 logMAR, bei geringem Sehvermögen um bis zu 0,3 (Plainis 2013, Petersen 1999).",
    ),
    (
        "Has your sight become worse within hours or days?",
        "Ist das Sehen innerhalb von Stunden oder Tagen schlechter geworden?",
    ),
    (
        "Was your sight gone for a while, and came back?",
        "War das Sehen eine Weile weg und kam wieder?",
    ),
    ("Do you see flashes of light?", "Lichtblitze?"),
    (
        "Do you see new specks that float, or many more than before?",
        "Neue schwebende Flecken, oder viel mehr als zuvor?",
    ),
    (
        "Is there a curtain or a shadow over a part of what you see?",
        "Ein Vorhang oder Schatten über einem Teil des Gesehenen?",
    ),
    (
        "Is a part of what you see missing, newly?",
        "Fehlt neuerdings ein Teil des Gesehenen?",
    ),
    (
        "Is an eye red and does it hurt?",
        "Ist ein Auge rot und schmerzt?",
    ),
    (
        "Does it hurt to move an eye?",
        "Schmerzt es, ein Auge zu bewegen?",
    ),
    (
        "Does your jaw or scalp hurt, or have you a new headache? (from 50 years on)",
        "Schmerzen Kiefer oder Kopfhaut, oder ein neuer Kopfschmerz? (ab 50 Jahren)",
    ),
    ("Do you see things double?", "Doppelbilder?"),
    (
        "Has a blow, a splinter or a chemical reached an eye?",
        "Traf ein Schlag, ein Splitter oder eine Chemikalie ein Auge?",
    ),
    (
        "Do straight lines look bent?",
        "Erscheinen gerade Linien verbogen?",
    ),
    (
        "Has anyone seen a white pupil, also in a photograph?",
        "Hat jemand eine weiße Pupille gesehen, auch auf einem Foto?",
    ),
    (
        "Do you see coloured rings around lights, and feel sick?",
        "Farbige Ringe um Lichter, und Übelkeit?",
    ),
    // Agreement.
    (
        "Limits: a steady bar of one's own at both ears, with guesses where guesses are expected, is hardly seen here; only objective tests of hearing tell it from a real loss. Answers that do not agree may stand beside a real loss.",
        "Grenzen: eine feste eigene Schranke an beiden Ohren, mit Raten, wo Raten zu erwarten ist, fällt hier kaum auf; nur objektive Hörprüfungen unterscheiden sie von einem wirklichen Verlust. Antworten, die nicht übereinstimmen, können neben einem wirklichen Verlust stehen.",
    ),
    (
        "Limits: a bar of one's own that stays at the same visual angle, with guesses under it, cannot be told from an eye that sees less; nor can guesses at every size. Answers that do not agree may stand beside a real loss.",
        "Grenzen: eine eigene Schranke, die beim selben Sehwinkel bleibt, mit Raten darunter, ist von einem Auge, das weniger sieht, nicht zu unterscheiden; ebenso wenig Raten bei jeder Größe. Antworten, die nicht übereinstimmen, können neben einem wirklichen Verlust stehen.",
    ),
    (
        "measure more, or again another day.",
        "mehr messen, oder an einem anderen Tag noch einmal.",
    ),
    (
        "instruct again, let the person rest, repeat; if answers still do not agree, objective tests of hearing (otoacoustic emissions, acoustic reflexes, evoked responses).",
        "noch einmal erklären, ausruhen lassen, wiederholen; stimmen die Antworten weiter nicht überein, objektive Hörprüfungen (otoakustische Emissionen, akustische Reflexe, evozierte Potentiale).",
    ),
    (
        "instruct again, let the person rest, repeat at another distance; if answers still do not agree, refraction, visual fields and an examination of the eyes.",
        "noch einmal erklären, ausruhen lassen, aus einer anderen Entfernung wiederholen; stimmen die Antworten weiter nicht überein, Refraktion, Gesichtsfelder und eine Untersuchung der Augen.",
    ),
    (
        "Function is at least this good: {}.",
        "Die Funktion ist mindestens so gut: {0}.",
    ),
    (
        "The answers agree with each other. Function is at least this good: {}.",
        "Die Antworten stimmen miteinander überein. Die Funktion ist mindestens so gut: {0}.",
    ),
    (
        "{} at {} Hz hears {} dB: {} of {} choices right, by guessing p = {}",
        "{0} bei {1} Hz hört {2} dB: {3} von {4} Wahlen richtig, durch Raten p = {5}",
    ),
    (
        "The answers agree with each other.",
        "Die Antworten stimmen miteinander überein.",
    ),
    (
        "Taken together the answers agree less than those of 19 in 20 people who answer what they perceive. A repeat is advised.",
        "Zusammengenommen stimmen die Antworten weniger überein als die von 19 unter 20 Menschen, die antworten, was sie wahrnehmen. Eine Wiederholung wird empfohlen.",
    ),
    (
        "Taken together the answers agree less than those of 19 in 20 people who answer what they perceive. Most apart: {}. A repeat is advised.",
        "Zusammengenommen stimmen die Antworten weniger überein als die von 19 unter 20 Menschen, die antworten, was sie wahrnehmen. Am weitesten auseinander: {0}. Eine Wiederholung wird empfohlen.",
    ),
    (
        "Taken together the answers agree less than those of 99 in 100 people who answer what they perceive. The values are shown as obtained and should not be read as thresholds.",
        "Zusammengenommen stimmen die Antworten weniger überein als die von 99 unter 100 Menschen, die antworten, was sie wahrnehmen. Die Werte stehen wie erhoben und sind nicht als Schwellen zu lesen.",
    ),
    (
        "Taken together the answers agree less than those of 99 in 100 people who answer what they perceive. Most apart: {}. The values are shown as obtained and should not be read as thresholds.",
        "Zusammengenommen stimmen die Antworten weniger überein als die von 99 unter 100 Menschen, die antworten, was sie wahrnehmen. Am weitesten auseinander: {0}. Die Werte stehen wie erhoben und sind nicht als Schwellen zu lesen.",
    ),
    (
        "No single sort of presentation decides the grade",
        "Keine einzelne Art von Darbietungen entscheidet die Einstufung",
    ),
    (
        "Over all that was done in this visit {} (at most {}, at 95 %) in 100 people who answer what they perceive meet a grade other than consistent, or a series with fewer right replies than guesses (from simulated people, not measured on people)",
        "Über alles, was bei diesem Termin geschah, treffen {0} (höchstens {1}, bei 95 %) von 100 Menschen, die antworten, was sie wahrnehmen, auf eine andere Einstufung als „übereinstimmend“ oder auf eine Reihe mit weniger richtigen Antworten als durch Raten (von simulierten Menschen, nicht an Menschen gemessen)",
    ),
    (
        "There are too few answers to say how they agree.",
        "Es sind zu wenige Antworten, um zu sagen, wie sie übereinstimmen.",
    ),
    (
        "This describes agreement among the answers of this sitting only. It does not say why they agreed or did not.",
        "Das beschreibt nur die Übereinstimmung der Antworten dieses Termins. Es sagt nicht, warum sie übereinstimmten oder nicht.",
    ),
    (
        "Possible reasons include misunderstanding, tiredness, attention, ringing in the ears, illness, language and others; this test cannot tell them apart.",
        "Mögliche Gründe sind Missverständnis, Müdigkeit, Aufmerksamkeit, Ohrgeräusche, Krankheit, Sprache und andere; diese Prüfung kann sie nicht unterscheiden.",
    ),
    (
        "from simulated people, not measured on people",
        "von simulierten Menschen, nicht an Menschen gemessen",
    ),
    (
        "silent presentations answered ({})",
        "stille Darbietungen beantwortet ({0})",
    ),
    (
        "silent presentations answered",
        "stille Darbietungen beantwortet",
    ),
    (
        "{} of {} silent presentations answered",
        "{0} von {1} stillen Darbietungen beantwortet",
    ),
    (
        "at most 1 in 10 by careful adults; more than 1 in 4 is poor (from memory, no norm located)",
        "höchstens 1 von 10 bei sorgfältigen Erwachsenen; mehr als 1 von 4 ist schlecht (aus dem Gedächtnis, keine Norm gefunden)",
    ),
    (
        "answers faster than a person can hear ({})",
        "Antworten schneller, als ein Mensch hören kann ({0})",
    ),
    (
        "answers faster than a person can hear",
        "Antworten schneller, als ein Mensch hören kann",
    ),
    (
        "{} of {} tones answered before 0.12 s after their onset",
        "{0} von {1} Tönen vor 0,12 s nach ihrem Beginn beantwortet",
    ),
    (
        "hardly any: reaction takes 0.19 s and more (auditory reaction time, Nihon Jibiinkoka 93:746; the limit is our derivation)",
        "kaum welche: eine Reaktion dauert 0,19 s und mehr (auditive Reaktionszeit, Nihon Jibiinkoka 93:746; die Grenze ist daraus abgeleitet)",
    ),
    (
        "second measurement of the same frequency ({})",
        "zweite Messung derselben Frequenz ({0})",
    ),
    (
        "second measurement of the same frequency",
        "zweite Messung derselben Frequenz",
    ),
    (
        "measured twice, {} dB apart",
        "zweimal gemessen, {0} dB auseinander",
    ),
    (
        "5 dB or less (ISO 8253-1:2010, step 3); 15 dB once is a flag (from memory)",
        "5 dB oder weniger (ISO 8253-1:2010, Schritt 3); 15 dB einmal fällt auf (aus dem Gedächtnis)",
    ),
    (
        "ascents that ended far apart ({})",
        "Aufstiege, die weit auseinander endeten ({0})",
    ),
    (
        "ascents that ended far apart",
        "Aufstiege, die weit auseinander endeten",
    ),
    (
        "{} of {} frequencies with ascents more than 10 dB apart",
        "{0} von {1} Frequenzen mit Aufstiegen mehr als 10 dB auseinander",
    ),
    (
        "few: more than 10 dB is doubtful (ISO 8253-1:2010, 6.2.4); shares are our choice",
        "wenige: mehr als 10 dB ist zweifelhaft (ISO 8253-1:2010, 6.2.4); die Anteile sind unsere Wahl",
    ),
    (
        "optotypes missed far above the acuity ({})",
        "Sehzeichen weit über der Sehschärfe verfehlt ({0})",
    ),
    (
        "optotypes missed far above the acuity",
        "Sehzeichen weit über der Sehschärfe verfehlt",
    ),
    (
        "{} of {} optotypes missed that are 0.25 logMAR and more above the acuity",
        "{0} von {1} Sehzeichen verfehlt, die 0,25 logMAR und mehr über der Sehschärfe liegen",
    ),
    (
        "about 1 in 20 by lapses",
        "etwa 1 von 20 durch Unaufmerksamkeit",
    ),
    (
        "answers faster than a person can see and choose ({})",
        "Antworten schneller, als ein Mensch sehen und wählen kann ({0})",
    ),
    (
        "answers faster than a person can see and choose",
        "Antworten schneller, als ein Mensch sehen und wählen kann",
    ),
    (
        "{} of {} answers within 0.15 s",
        "{0} von {1} Antworten innerhalb 0,15 s",
    ),
    (
        "hardly any (the limit is our choice)",
        "kaum welche (die Grenze ist unsere Wahl)",
    ),
    ("no {}: none shown", "keine gezeigt: {0}"),
    // Agreement where more was presented, and the series by hand.
    (
        "falling levels were answered {} and {} dB further up",
        "fallende Pegel wurden {0} und {1} dB weiter oben beantwortet",
    ),
    (
        "falling levels were answered {} dB further up",
        "fallende Pegel wurden {0} dB weiter oben beantwortet",
    ),
    (
        "hardly any difference; 19.6 to 22.2 dB on average in people told to answer as if they heard less (Schlauch 2015); 10 dB is a usual limit (from memory)",
        "kaum ein Unterschied; im Mittel 19,6 bis 22,2 dB bei Menschen, die antworten sollten, als hörten sie weniger (Schlauch 2015); 10 dB ist eine übliche Grenze (aus dem Gedächtnis)",
    ),
    (
        "{} of {} tones 10 dB above the better ear's threshold not answered while the other ear got them too",
        "{0} von {1} Tönen 10 dB über der Schwelle des besseren Ohrs nicht beantwortet, während das andere Ohr sie auch bekam",
    ),
    (
        "hardly any; many suggest that the poorer ear hears them, at a level that lies 13.5 dB over its threshold on average. Of people with a real loss 30 to 43 in 100 show it too (specificity 57 to 70 %: Durmaz 2009 and a series of 474)",
        "kaum welche; viele deuten darauf, dass das schlechtere Ohr sie hört, im Mittel 13,5 dB über seiner Schwelle. Von Menschen mit wirklichem Verlust zeigen es auch 30 bis 43 von 100 (Spezifität 57 bis 70 %: Durmaz 2009 und eine Reihe von 474)",
    ),
    (
        "{} of {} right among {} ({} to {} %, exact 95 % interval)",
        "{0} von {1} richtig aus {2} ({3} bis {4} %, exakter 95-%-Bereich)",
    ),
    (
        "{} of {} right ({} to {} %, exact 95 % interval)",
        "{0} von {1} richtig ({2} bis {3} %, exakter 95-%-Bereich)",
    ),
    (
        "half by guessing alone, more where something is heard; fewer than guessing would give come about once in so many as p says, and are no proof",
        "die Hälfte durch bloßes Raten, mehr, wo etwas gehört wird; weniger als durch Raten kommt so oft vor, wie p sagt, und beweist nichts",
    ),
    (
        "{} % by guessing alone, or more; so few by guessing once in so many as p says, which is no proof (Graef 1999)",
        "{0} % durch bloßes Raten, oder mehr; so wenige durch Raten so oft, wie p sagt, was nichts beweist (Graef 1999)",
    ),
    (
        "choices below the acuity ({})",
        "Wahlen unter der Sehschärfe ({0})",
    ),
    ("choices below the acuity", "Wahlen unter der Sehschärfe"),
    (
        "choices between two intervals ({})",
        "Wahlen zwischen zwei Zeitabschnitten ({0})",
    ),
    (
        "choices between two intervals",
        "Wahlen zwischen zwei Zeitabschnitten",
    ),
    (
        "falling levels against rising levels ({})",
        "fallende gegen steigende Pegel ({0})",
    ),
    (
        "falling levels against rising levels",
        "fallende gegen steigende Pegel",
    ),
    (
        "one tone in both ears not answered ({})",
        "ein Ton in beiden Ohren nicht beantwortet ({0})",
    ),
    (
        "one tone in both ears not answered",
        "ein Ton in beiden Ohren nicht beantwortet",
    ),
    (
        "The grade leans on single sorts of presentations: {}",
        "Die Einstufung stützt sich auf einzelne Arten von Darbietungen: {0}",
    ),
    ("without {} it would be {}", "ohne {0} wäre sie {1}"),
    ("consistent", "übereinstimmend"),
    ("mixed", "teilweise übereinstimmend"),
    ("inconsistent", "nicht übereinstimmend"),
    ("too few answers", "zu wenige Antworten"),
    (
        "one tone in both ears at two levels",
        "ein Ton in beiden Ohren mit zwei Pegeln",
    ),
    ("second measurements", "zweite Messungen"),
    ("silent presentations", "stille Darbietungen"),
    ("sweeps up and down", "Durchläufe auf und ab"),
    ("left left out", "links ausgelassen"),
    ("right left out", "rechts ausgelassen"),
    ("both sides at once", "beide Seiten zugleich"),
    ("left alone", "links allein"),
    ("right alone", "rechts allein"),
    ("left faint", "links schwach"),
    ("right faint", "rechts schwach"),
    ("left strong", "links stark"),
    ("right strong", "rechts stark"),
    ("scent", "Duft"),
    (
        "answered where nothing was presented",
        "beantwortet, wo nichts dargeboten war",
    ),
    (
        "'More' or 'fewer than guessing gives' is said where the exact one-sided probability, given the answers and the law of the draws, is at most 0.05 / (2 x {} series): over all series together such a statement is made of somebody whose answers tell nothing at most 5 times in 100. Side differences stand out where Fisher's exact probability is at most 0.05 divided by their number.",
        "„Mehr“ oder „weniger, als Raten gibt“ steht, wo die exakte einseitige Wahrscheinlichkeit, bei diesen Antworten und dem Gesetz der Ziehungen, höchstens 0,05 / (2 x {0} Serien) ist: über alle Serien zusammen wird das von jemandem, dessen Antworten nichts besagen, höchstens 5 von 100 Malen gesagt. Seitenunterschiede fallen auf, wo Fishers exakte Wahrscheinlichkeit höchstens 0,05 geteilt durch ihre Zahl ist.",
    ),
    (
        "The examiner sees the prompt, is not blind to it, and can give signs without wanting to; strengths by hand are not calibrated.",
        "Wer untersucht, sieht die Aufgabe, ist nicht verblindet und kann ungewollt Zeichen geben; Stärken von Hand sind nicht kalibriert.",
    ),
    (
        "Fewer right answers than guessing gives means just that. It does not say why; misunderstanding, swapped sides, tiredness and illness can do it.",
        "Weniger richtige Antworten, als Raten gibt, heißt genau das. Es sagt nicht, warum; Missverständnis, vertauschte Seiten, Müdigkeit und Krankheit können es bewirken.",
    ),
    (
        "Agreement is no proof of health, and disagreement no proof of its absence: of 133 people whose findings did not fit together 71 (53 %) had something abnormal as well.",
        "Übereinstimmung beweist keine Gesundheit, und ihr Fehlen nicht das Gegenteil: von 133 Menschen, deren Befunde nicht zusammenpassten, war bei 71 (53 %) auch etwas krankhaft.",
    ),
    (
        "Voiding prompts by what they were, or by what was answered, shifts every count: void only what was not done as shown, before the answer.",
        "Wer Aufgaben danach verwirft, was sie waren oder was geantwortet wurde, verschiebt jede Zahl: nur verwerfen, was nicht wie angezeigt geschah, und vor der Antwort.",
    ),
    (
        "Somebody who is blind in a half, or in an eye, rightly answers 'nothing' there: such misses are what is expected, and are not counted against the answers.",
        "Wer in einer Hälfte oder auf einem Auge blind ist, antwortet dort mit Recht „nichts“: solche Auslassungen sind zu erwarten und zählen nicht gegen die Antworten.",
    ),
    (
        "Normal to confrontation is not a full field. Of 512 fields confrontation found 50 % of the defects, at a specificity of 93.4 %; single and double finger counting found 31 %, at 99 %.",
        "Unauffällig bei Konfrontation ist kein volles Gesichtsfeld. Von 512 Feldern fand sie 50 % der Ausfälle, bei einer Spezifität von 93,4 %; einfaches und doppeltes Fingerzählen fand 31 %, bei 99 %.",
    ),
    (
        "The best single step, a small red target, finds 73 % (95 % interval 63 to 82); moved in from the side 74.4 %, at a specificity of 93.0 %.",
        "Der beste einzelne Schritt, ein kleines rotes Ziel, findet 73 % (95-%-Bereich 63 bis 82); von der Seite hereingeführt 74,4 %, bei einer Spezifität von 93,0 %.",
    ),
    (
        "One side left out only where both are shown may be extinction, inattention or a shallow defect; a cancellation task screens better for neglect.",
        "Eine Seite nur dort auszulassen, wo beide gezeigt werden, kann Extinktion, Unaufmerksamkeit oder ein flacher Ausfall sein; eine Durchstreichaufgabe siebt Neglect besser.",
    ),
    (
        "A field that is an angle is twice as wide in cm at two metres. One that is not may be so for several reasons: distance held badly, attention, understanding, illness.",
        "Ein Feld, das ein Winkel ist, ist auf zwei Meter doppelt so viele cm weit. Eines, das es nicht ist, kann mehrere Gründe haben: schlecht gehaltene Entfernung, Aufmerksamkeit, Verständnis, Krankheit.",
    ),
    (
        "Telling scents apart separates weakly: 90 % sensitivity at 55.7 % specificity among 70 people acting. Self-reported smell agrees poorly with tests. Never a verdict.",
        "Düfte zu unterscheiden trennt schwach: 90 % Sensitivität bei 55,7 % Spezifität unter 70 Menschen, die eine Rolle spielten. Selbst berichtetes Riechen stimmt schlecht mit Prüfungen überein. Nie ein Urteil.",
    ),
    (
        "At arm's length a strong rub that is not heard had a specificity of 100 %, a faint rub that is heard a negative predictive value of 99 % for hearing within 25 dB (442 ears, people of a neurology clinic; the article has a correction). Elsewhere 91 % sensitivity (n = 125).",
        "Auf Armlänge hatte ein starkes Reiben, das nicht gehört wird, eine Spezifität von 100 %, ein schwaches, das gehört wird, einen negativen Vorhersagewert von 99 % für Hören bis 25 dB (442 Ohren, Menschen einer neurologischen Klinik; der Artikel hat eine Berichtigung). Anderswo 91 % Sensitivität (n = 125).",
    ),
    (
        "Numbness that ends at the midline, and vibration felt less on one side of the forehead, separate nothing: 20 % against 7.5 % and 95 % against 86 %, neither significant, n = 100. They can be noted and are never scored.",
        "Taubheit, die an der Mittellinie endet, und Vibration, die auf einer Seite der Stirn schwächer gespürt wird, trennen nichts: 20 % gegen 7,5 % und 95 % gegen 86 %, beides nicht signifikant, n = 100. Sie können vermerkt werden und zählen nie.",
    ),
    (
        "There are no norms for same or different on the face.",
        "Für gleich oder verschieden im Gesicht gibt es keine Normen.",
    ),
    ("left brow", "linke Stirn"),
    ("right brow", "rechte Stirn"),
    ("left cheek", "linke Wange"),
    ("right cheek", "rechte Wange"),
    ("left jaw", "linker Kiefer"),
    ("right jaw", "rechter Kiefer"),
    // Cues.
    (
        "the other ear may have answered; masking was needed and did not settle it",
        "das andere Ohr kann geantwortet haben; Vertäubung war nötig und hat es nicht geklärt",
    ),
    (
        "cross-hearing is possible from {} dB HL",
        "ab {0} dB HL ist Überhören möglich",
    ),
    (
        "asymmetry: at least 15 dB between the ears at two adjacent frequencies",
        "Asymmetrie: mindestens 15 dB zwischen den Ohren bei zwei benachbarten Frequenzen",
    ),
    (
        "{} ear poorer by {} dB at {} Hz and {} dB at {} Hz",
        "{0} schlechter um {1} dB bei {2} Hz und {3} dB bei {4} Hz",
    ),
    (
        "{} ear: poorer than before by at least 30 dB at three consecutive frequencies; urgent if it came within 72 hours",
        "{0}: schlechter als zuvor um mindestens 30 dB bei drei aufeinanderfolgenden Frequenzen; dringend, wenn es binnen 72 Stunden kam",
    ),
    (
        "{} ear: at least 30 dB poorer than the other at three consecutive frequencies; ask since when, it is urgent if it came within 72 hours",
        "{0}: mindestens 30 dB schlechter als das andere Ohr bei drei aufeinanderfolgenden Frequenzen; fragen, seit wann: dringend, wenn es binnen 72 Stunden kam",
    ),
    (
        "{} ear: mean shift of at least 10 dB at 2, 3 and 4 kHz",
        "{0}: mittlere Verschiebung von mindestens 10 dB bei 2, 3 und 4 kHz",
    ),
    ("{} ear: a notch at {} Hz", "{0}: eine Senke bei {1} Hz"),
    (
        "{} dB HL, {} dB poorer than {} Hz and {} dB poorer than {} Hz",
        "{0} dB HL, {1} dB schlechter als {2} Hz und {3} dB schlechter als {4} Hz",
    ),
    (
        "{} ear: poorer than nine in ten otologically normal people of that age and sex, at three frequencies or more",
        "{0}: schlechter als neun von zehn ohrgesunden Menschen dieses Alters und Geschlechts, bei drei Frequenzen oder mehr",
    ),
    (
        "the eyes differ by two lines or more",
        "die Augen unterscheiden sich um zwei Zeilen oder mehr",
    ),
    (
        "correction as worn, not noted",
        "Korrektur wie getragen, nicht vermerkt",
    ),
    ("as worn, not noted", "wie getragen, nicht vermerkt"),
    ("without correction", "ohne Korrektur"),
    ("with own correction for far", "mit eigener Fernkorrektur"),
    (
        "with own correction for reading",
        "mit eigener Lesekorrektur",
    ),
    ("with the best correction", "mit der besten Korrektur"),
    (
        "below 6/12 in the better eye, with the correction worn",
        "unter 6/12 am besseren Auge, mit der getragenen Korrektur",
    ),
    (
        "better eye {}; the limit is 0.30 logMAR; the limit lies within the uncertainty",
        "besseres Auge {0}; die Grenze ist 0,30 logMAR; die Grenze liegt innerhalb der Unsicherheit",
    ),
    (
        "better eye {}; the limit is 0.30 logMAR",
        "besseres Auge {0}; die Grenze ist 0,30 logMAR",
    ),
    (
        "right eye {}; left eye {}",
        "rechtes Auge {0}; linkes Auge {1}",
    ),
    (
        "{}: {}; through a pinhole {}",
        "{0}: {1}; durch eine Lochblende {2}",
    ),
    ("right eye", "rechtes Auge"),
    ("left eye", "linkes Auge"),
    ("both eyes", "beide Augen"),
    ("better than {} logMAR", "besser als {0} logMAR"),
    ("worse than {} logMAR", "schlechter als {0} logMAR"),
    (
        "{} logMAR, its uncertainty is not known",
        "{0} logMAR, Unsicherheit nicht bekannt",
    ),
    ("fingers counted", "Finger gezählt"),
    ("fingers counted at {} m", "Finger aus {0} m gezählt"),
    ("hand motion seen", "Handbewegung gesehen"),
    ("hand motion seen at {} m", "Handbewegung aus {0} m gesehen"),
    ("light seen", "Licht gesehen"),
    ("no light seen", "kein Licht gesehen"),
    (
        "better by two lines or more through a pinhole: an error of refraction is likely",
        "durch eine Lochblende um zwei Zeilen oder mehr besser: ein Brechungsfehler ist wahrscheinlich",
    ),
    (
        "below 6/12 and no two lines better through a pinhole: not explained by refraction",
        "unter 6/12 und durch eine Lochblende keine zwei Zeilen besser: durch die Brechkraft nicht erklärt",
    ),
    // What a person told.
    ("told by the person: {}", "von der Person gesagt: {0}"),
    (
        "told by the person, {}: {}",
        "von der Person gesagt, {0}: {1}",
    ),
    ("told by the person, {}", "von der Person gesagt, {0}"),
    ("told by the person", "von der Person gesagt"),
    ("sudden loss of sight", "plötzlicher Sehverlust"),
    ("sight lost for a while", "Sehen war eine Zeitlang fort"),
    ("flashes of light", "Lichtblitze"),
    ("new floaters", "neue schwebende Punkte"),
    (
        "a curtain over the field",
        "ein Vorhang über dem Gesichtsfeld",
    ),
    ("new loss of field", "neuer Gesichtsfeldausfall"),
    ("a painful red eye", "ein schmerzhaftes rotes Auge"),
    ("pain on eye movement", "Schmerz beim Bewegen der Augen"),
    (
        "jaw or scalp pain or headache under 50",
        "Schmerz von Kiefer oder Kopfhaut oder Kopfschmerz unter 50",
    ),
    (
        "jaw or scalp pain or new headache from 50 years on",
        "Schmerz von Kiefer oder Kopfhaut oder neuer Kopfschmerz ab 50 Jahren",
    ),
    ("double vision", "Doppelbilder"),
    ("injury of an eye", "Verletzung eines Auges"),
    ("straight lines look bent", "gerade Linien wirken verbogen"),
    ("a white pupil", "eine weiße Pupille"),
    ("haloes with nausea", "Lichthöfe mit Übelkeit"),
    // Two distances, and what limits a figure.
    (
        "acuities from two distances differ, {}",
        "die Sehschärfen aus zwei Entfernungen unterscheiden sich, {0}",
    ),
    (
        "from {} and {} m: the acuities agree as angles ({} \u{b1} {} logMAR, 95 %)",
        "aus {0} und {1} m: die Sehschärfen stimmen als Winkel überein ({2} \u{b1} {3} logMAR, 95 %)",
    ),
    (
        "from {} and {} m: the acuities differ by {} \u{b1} {} logMAR (95 %), more than repeated \
         measurements usually do ({}); one size in millimetres from both would be {}. A distance that \
         was measured wrongly, light, attention and tiredness can do it too",
        "aus {0} und {1} m: die Sehschärfen unterscheiden sich um {2} \u{b1} {3} logMAR (95 %), mehr als \
         wiederholte Messungen gewöhnlich ({4}); dieselbe Größe in Millimetern aus beiden wäre {5}. Auch \
         eine falsch gemessene Entfernung, Licht, Aufmerksamkeit und Müdigkeit können das bewirken",
    ),
    (
        "from {} and {} m: not interpretable, {}",
        "aus {0} und {1} m: nicht deutbar, {2}",
    ),
    (
        "the eye focuses {} D nearer, more than 0.25 D",
        "das Auge stellt sich {0} dpt näher ein, mehr als 0,25 dpt",
    ),
    (
        "the correction is not known and no pinhole was used: an eye with short sight truly sees better \
         from nearer",
        "die Korrektur ist nicht bekannt und es gab keine Lochblende: ein kurzsichtiges Auge sieht aus der \
         Nähe wirklich besser",
    ),
    (
        "the uncertainty of the acuities is not known",
        "die Unsicherheit der Sehschärfen ist nicht bekannt",
    ),
    (
        "a difference of {} \u{b1} {} logMAR (95 %) cannot be told from none, nor from that of one size in \
         millimetres",
        "ein Unterschied von {0} \u{b1} {1} logMAR (95 %) ist weder von keinem zu unterscheiden noch von \
         dem derselben Größe in Millimetern",
    ),
    (
        "From {} m nothing smaller than {} logMAR ({}) can be shown: a difference between two eyes that \
         both read it may hide there.",
        "Aus {0} m kann nichts Kleineres als {1} logMAR ({2}) gezeigt werden: ein Unterschied zweier Augen, \
         die es beide lesen, kann dort verborgen bleiben.",
    ),
    (
        "The eyes were asked with different optotypes: rings and letters differ by 0.05 to 0.1 logMAR, in \
         low vision by up to 0.3 (Plainis 2013, Petersen 1999).",
        "Die Augen wurden mit verschiedenen Sehzeichen geprüft: Ringe und Buchstaben unterscheiden sich um \
         0,05 bis 0,1 logMAR, bei schlechtem Sehen um bis zu 0,3 (Plainis 2013, Petersen 1999).",
    ),
    (
        "left and right were answered the other way round throughout",
        "links und rechts wurden durchweg vertauscht beantwortet",
    ),
    (
        "all answers to clearly visible optotypes that point sideways were as in a mirror",
        "alle Antworten auf klar sichtbare seitliche Sehzeichen waren wie im Spiegel",
    ),
    // By hand.
    ("not entered", "nicht eingetragen"),
    ("measured", "gemessen"),
    ("normal", "unauffällig"),
    ("abnormal", "auffällig"),
    ("not tested", "nicht geprüft"),
    ("not possible", "nicht möglich"),
    ("declined", "abgelehnt"),
    ("noted", "notiert"),
    (
        "mean of 0.5, 1, 2 and 4 kHz {} dB HL; {} frequencies",
        "Mittel aus 0,5, 1, 2 und 4 kHz {0} dB HL; {1} Frequenzen",
    ),
    (
        "{} frequencies, see the thresholds",
        "{0} Frequenzen, siehe Schwellen",
    ),
    ("smell", "Riechen"),
    ("field sides", "Gesichtsfeld, Seiten"),
    ("field quadrants", "Gesichtsfeld, Quadranten"),
    ("field red", "Gesichtsfeld, Rot"),
    ("field fingers", "Gesichtsfeld, Finger"),
    ("field extent", "Gesichtsfeld, Ausdehnung"),
    ("touch", "Berührung"),
    ("touch compare", "Berührung im Vergleich"),
    ("rub", "Fingerreiben"),
    ("whisper", "Flüstern"),
    ("fork", "Stimmgabel"),
    ("a measurement, not a choice", "eine Messung, keine Auswahl"),
    (
        "{} of {} right so far; under way",
        "bisher {0} von {1} richtig; noch im Gang",
    ),
    (
        "{} of {} right; too few answers to say more",
        "{0} von {1} richtig; zu wenige Antworten für mehr",
    ),
    (
        "{} of {} right, guessing gives {}: {} (p = under {}, limit {})",
        "{0} von {1} richtig, Raten gibt {2}: {3} (p unter {4}, Grenze {5})",
    ),
    (
        "{} of {} right, guessing gives {}: {} (p = {}, limit {})",
        "{0} von {1} richtig, Raten gibt {2}: {3} (p = {4}, Grenze {5})",
    ),
    ("more than guessing gives", "mehr, als Raten gibt"),
    (
        "more than a quarter of the blanks were answered: hits and side differences are not to be read",
        "mehr als ein Viertel der Leerproben wurde beantwortet: Treffer und Seitenunterschiede sind nicht zu deuten",
    ),
    (
        "ended before its last prompt: a series that is ended because of how it went shifts every count",
        "vor der letzten Aufgabe beendet: eine Reihe, die wegen ihres Verlaufs beendet wird, verschiebt jede Zählung",
    ),
    ("fewer than guessing gives", "weniger, als Raten gibt"),
    (
        "as many as guessing can give",
        "so viele, wie Raten geben kann",
    ),
    (
        "sudden loss of sight or of hearing, also where it came back",
        "plötzlicher Verlust von Sehen oder Hören, auch wenn er zurückging",
    ),
    (
        "a new loss of field, above all in both eyes",
        "ein neuer Gesichtsfeldausfall, vor allem an beiden Augen",
    ),
    (
        "new double vision, a drooping lid, or unequal pupils, above all with headache or pain",
        "neue Doppelbilder, ein hängendes Lid oder ungleiche Pupillen, vor allem mit Kopfschmerz oder Schmerz",
    ),
    (
        "a face, arm or speech that became weak within hours or days",
        "Gesicht, Arm oder Sprache, die in Stunden oder Tagen schwach wurden",
    ),
    (
        "swollen discs, or headache with vomiting or clouded mind",
        "Stauungspapillen, oder Kopfschmerz mit Erbrechen oder getrübtem Bewusstsein",
    ),
    (
        "new trouble with swallowing, speaking or breathing",
        "neue Mühe beim Schlucken, Sprechen oder Atmen",
    ),
    (
        "numb face with a weak eye closure or a red eye: the cornea is in danger",
        "taubes Gesicht mit schwachem Lidschluss oder rotem Auge: die Hornhaut ist in Gefahr",
    ),
    (
        "new unsteadiness with vertigo, or a head injury",
        "neue Unsicherheit mit Schwindel, oder eine Kopfverletzung",
    ),
    ("examiner", "untersuchend"),
    ("supervisor", "aufsichtführend"),
    ("trainee", "in Ausbildung"),
    // Reasons that the program gives by itself.
    (
        "paused by the examiner",
        "von der untersuchenden Person unterbrochen",
    ),
    (
        "stopped by the examiner",
        "von der untersuchenden Person abgebrochen",
    ),
    ("declined by the person", "von der Person abgelehnt"),
    (
        "taken back by the examiner",
        "von der untersuchenden Person zurückgenommen",
    ),
    ("it was stopped", "es wurde angehalten"),
    (
        "the sound device ran dry",
        "dem Tongerät gingen die Daten aus",
    ),
    ("the sound device faltered", "das Tongerät stockte"),
    (
        "a sample passed the loudness ceiling and was cut off",
        "ein Wert überschritt die Lautstärkegrenze und wurde gekappt",
    ),
    (
        "the person's window changed while the ring was shown",
        "das Fenster der Person änderte sich, während der Ring gezeigt wurde",
    ),
    (
        "it is loud and was not confirmed",
        "es ist laut und wurde nicht bestätigt",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::cue_of;
    use crate::journal::{EyeHistory, Told, ToldAnswer};
    use crate::quantity::Eye;

    #[test]
    fn patterns_fit_whole_texts_and_carry_their_parts() {
        assert_eq!(
            german("left ear: a notch at 4000 Hz").as_deref(),
            Some("links: eine Senke bei 4000 Hz")
        );
        assert_eq!(
            german("right eye 0.12 ± 0.05 logMAR; left eye fingers counted").as_deref(),
            Some("rechtes Auge 0,12 ± 0,05 logMAR; linkes Auge Finger gezählt")
        );
        assert_eq!(
            german("right 1000 Hz, left 2000 Hz").as_deref(),
            Some("rechts 1000 Hz, links 2000 Hz")
        );
        assert_eq!(german("something that nobody knows"), None);
        assert_eq!(german("1.5 s").as_deref(), Some("1,5 s"));
    }

    #[test]
    fn whatever_a_person_tells_of_their_eyes_has_a_german_cue() {
        for about in EyeHistory::ALL {
            for eye in [None, Some(Eye::Left), Some(Eye::Both)] {
                for words in [
                    None,
                    Some("seit gestern: links; \u{201a}grau\u{2018}".to_owned()),
                ] {
                    for age_years in [None, Some(30.0), Some(70.0)] {
                        let answer = ToldAnswer::Yes;
                        let told = Told {
                            about,
                            answer,
                            eye,
                            words: words.clone(),
                        };
                        let cue = cue_of(&told, age_years);
                        assert!(german(&cue.what).is_some(), "{}", cue.what);
                        let why = german(&cue.why).expect(&cue.why);
                        assert!(
                            words
                                .as_ref()
                                .is_none_or(|words| why.contains(words.as_str()))
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn every_pattern_has_the_places_that_its_german_uses() {
        for (english, german) in PATTERNS {
            let places = english.matches("{}").count();
            for place in 0..places {
                assert!(german.contains(&format!("{{{place}}}")), "{english}");
            }
            assert!(!german.contains(&format!("{{{places}}}")), "{english}");
        }
    }
}
