//! How far the answers agree.

use super::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    (
        "Limits: a steady bar of one's own at both ears, with guesses where guesses are expected, is \
         hardly seen here; only objective tests of hearing tell it from a real loss. Answers that do not \
         agree may stand beside a real loss.",
        "Grenzen: eine feste eigene Schranke an beiden Ohren, mit Raten, wo Raten zu erwarten ist, fällt \
         hier kaum auf; nur objektive Hörprüfungen unterscheiden sie von einem wirklichen Verlust. \
         Antworten, die nicht übereinstimmen, können neben einem wirklichen Verlust stehen.",
    ),
    (
        "Limits: a bar of one's own that stays at the same visual angle, with guesses under it, cannot be \
         told from an eye that sees less; nor can guesses at every size. Answers that do not agree may \
         stand beside a real loss.",
        "Grenzen: eine eigene Schranke, die beim selben Sehwinkel bleibt, mit Raten darunter, ist von \
         einem Auge, das weniger sieht, nicht zu unterscheiden; ebenso wenig Raten bei jeder Größe. \
         Antworten, die nicht übereinstimmen, können neben einem wirklichen Verlust stehen.",
    ),
    (
        "measure more, or again another day.",
        "mehr messen, oder an einem anderen Tag noch einmal.",
    ),
    (
        "instruct again, let the person rest, repeat; if answers still do not agree, objective tests of \
         hearing (otoacoustic emissions, acoustic reflexes, evoked responses).",
        "noch einmal erklären, ausruhen lassen, wiederholen; stimmen die Antworten weiter nicht überein, \
         objektive Hörprüfungen (otoakustische Emissionen, akustische Reflexe, evozierte Potentiale).",
    ),
    (
        "instruct again, let the person rest, repeat at another distance; if answers still do not agree, \
         refraction, visual fields and an examination of the eyes.",
        "noch einmal erklären, ausruhen lassen, aus einer anderen Entfernung wiederholen; stimmen die \
         Antworten weiter nicht überein, Refraktion, Gesichtsfelder und eine Untersuchung der Augen.",
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
        "Taken together the answers agree less than those of 19 in 20 people who answer what they \
         perceive. A repeat is advised.",
        "Zusammengenommen stimmen die Antworten weniger überein als die von 19 unter 20 Menschen, die \
         antworten, was sie wahrnehmen. Eine Wiederholung wird empfohlen.",
    ),
    (
        "Taken together the answers agree less than those of 19 in 20 people who answer what they \
         perceive. Most apart: {}. A repeat is advised.",
        "Zusammengenommen stimmen die Antworten weniger überein als die von 19 unter 20 Menschen, die \
         antworten, was sie wahrnehmen. Am weitesten auseinander: {0}. Eine Wiederholung wird empfohlen.",
    ),
    (
        "Taken together the answers agree less than those of 99 in 100 people who answer what they \
         perceive. The values are shown as obtained and should not be read as thresholds.",
        "Zusammengenommen stimmen die Antworten weniger überein als die von 99 unter 100 Menschen, die \
         antworten, was sie wahrnehmen. Die Werte stehen wie erhoben und sind nicht als Schwellen zu \
         lesen.",
    ),
    (
        "Taken together the answers agree less than those of 99 in 100 people who answer what they \
         perceive. Most apart: {}. The values are shown as obtained and should not be read as thresholds.",
        "Zusammengenommen stimmen die Antworten weniger überein als die von 99 unter 100 Menschen, die \
         antworten, was sie wahrnehmen. Am weitesten auseinander: {0}. Die Werte stehen wie erhoben und \
         sind nicht als Schwellen zu lesen.",
    ),
    (
        "No single sort of presentation decides the grade",
        "Keine einzelne Art von Darbietungen entscheidet die Einstufung",
    ),
    (
        "Over all that was done in this visit {} (at most {}, at 95 %) in 100 people who answer what they \
         perceive meet a grade other than consistent, or a series with fewer right replies than guesses \
         (from simulated people, not measured on people)",
        "Über alles, was bei diesem Termin geschah, treffen {0} (höchstens {1}, bei 95 %) von 100 \
         Menschen, die antworten, was sie wahrnehmen, auf eine andere Einstufung als „übereinstimmend“ \
         oder auf eine Reihe mit weniger richtigen Antworten als durch Raten (von simulierten Menschen, \
         nicht an Menschen gemessen)",
    ),
    (
        "There are too few answers to say how they agree.",
        "Es sind zu wenige Antworten, um zu sagen, wie sie übereinstimmen.",
    ),
    (
        "This describes agreement among the answers of this sitting only. It does not say why they agreed \
         or did not.",
        "Das beschreibt nur die Übereinstimmung der Antworten dieses Termins. Es sagt nicht, warum sie \
         übereinstimmten oder nicht.",
    ),
    (
        "Possible reasons include misunderstanding, tiredness, attention, ringing in the ears, illness, \
         language and others; this test cannot tell them apart.",
        "Mögliche Gründe sind Missverständnis, Müdigkeit, Aufmerksamkeit, Ohrgeräusche, Krankheit, Sprache \
         und andere; diese Prüfung kann sie nicht unterscheiden.",
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
        "höchstens 1 von 10 bei sorgfältigen Erwachsenen; mehr als 1 von 4 ist schlecht (aus dem \
         Gedächtnis, keine Norm gefunden)",
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
        "hardly any: reaction takes 0.19 s and more (auditory reaction time, Nihon Jibiinkoka 93:746; the \
         limit is our derivation)",
        "kaum welche: eine Reaktion dauert 0,19 s und mehr (auditive Reaktionszeit, Nihon Jibiinkoka \
         93:746; die Grenze ist daraus abgeleitet)",
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
        "optotypes missed that are 0.25 logMAR and more above the acuity",
        "Sehzeichen verfehlt, die 0,25 logMAR und mehr über der Sehschärfe liegen",
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
    (
        "falling levels were answered {} and {} dB further up",
        "fallende Pegel wurden {0} und {1} dB weiter oben beantwortet",
    ),
    (
        "falling levels were answered {} dB further up",
        "fallende Pegel wurden {0} dB weiter oben beantwortet",
    ),
    (
        "hardly any difference; 19.6 to 22.2 dB on average in people told to answer as if they heard less \
         (Schlauch 2015); 10 dB is a usual limit (from memory)",
        "kaum ein Unterschied; im Mittel 19,6 bis 22,2 dB bei Menschen, die antworten sollten, als hörten \
         sie weniger (Schlauch 2015); 10 dB ist eine übliche Grenze (aus dem Gedächtnis)",
    ),
    (
        "{} of {} tones 10 dB above the better ear's threshold not answered while the other ear got them too",
        "{0} von {1} Tönen 10 dB über der Schwelle des besseren Ohrs nicht beantwortet, während das andere \
         Ohr sie auch bekam",
    ),
    (
        "hardly any; many suggest that the poorer ear hears them, at a level that lies 13.5 dB over its \
         threshold on average. Of people with a real loss 30 to 43 in 100 show it too (specificity 57 to \
         70 %: Durmaz 2009 and a series of 474)",
        "kaum welche; viele deuten darauf, dass das schlechtere Ohr sie hört, im Mittel 13,5 dB über \
         seiner Schwelle. Von Menschen mit wirklichem Verlust zeigen es auch 30 bis 43 von 100 (Spezifität \
         57 bis 70 %: Durmaz 2009 und eine Reihe von 474)",
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
        "half by guessing alone, more where something is heard; fewer than guessing would give come about \
         once in so many as p says, and are no proof",
        "die Hälfte durch bloßes Raten, mehr, wo etwas gehört wird; weniger als durch Raten kommt so oft \
         vor, wie p sagt, und beweist nichts",
    ),
    (
        "{} % by guessing alone, or more; so few by guessing once in so many as p says, which is no proof \
         (Graef 1999)",
        "{0} % durch bloßes Raten, oder mehr; so wenige durch Raten so oft, wie p sagt, was nichts beweist \
         (Graef 1999)",
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
    (
        "No such visit of others was graded inconsistent, so what that grade would mean cannot be told",
        "Kein solcher Termin anderer wurde als nicht übereinstimmend eingestuft; was diese Einstufung \
         hieße, ist daher nicht zu sagen",
    ),
    (
        "Graded inconsistent, by kind ({}): {}",
        "Als nicht übereinstimmend eingestuft, nach Art ({0}): {1}",
    ),
    ("steady {} %", "gleichmäßig {0} %"),
    ("usual {} %", "üblich {0} %"),
    ("tiring {} %", "ermüdend {0} %"),
    ("many false alarms {} %", "viele Antworten ohne Ton {0} %"),
    ("ringing ears {} %", "Ohrgeräusche {0} %"),
    ("childlike {} %", "kindlich {0} %"),
    ("hesitant {} %", "zögernd {0} %"),
    ("slow to press {} %", "langsam im Drücken {0} %"),
    ("truly one sided {} %", "wirklich einseitig {0} %"),
    ("learning {} %", "lernend {0} %"),
    ("bar {} %", "eigene Schranke {0} %"),
    ("bar one side {} %", "eigene Schranke auf einer Seite {0} %"),
    ("at random {} %", "zufällig {0} %"),
    ("contrary choices {} %", "verkehrte Wahlen {0} %"),
    ("bar that drifts {} %", "wandernde Schranke {0} %"),
    ("coached {} %", "eingeübt {0} %"),
    ("coached one side {} %", "eingeübt auf einer Seite {0} %"),
    ("clear eyes {} %", "klare Augen {0} %"),
    ("blurred {} %", "unscharf {0} %"),
    ("astigmatic {} %", "astigmatisch {0} %"),
    ("amblyopic {} %", "amblyop {0} %"),
    ("half field {} %", "halbes Gesichtsfeld {0} %"),
    ("central loss {} %", "zentraler Ausfall {0} %"),
    ("not a reader {} %", "liest nicht {0} %"),
    ("contrary eyes {} %", "Augen mit verkehrten Wahlen {0} %"),
    ("random eyes {} %", "Augen mit zufälligen Antworten {0} %"),
    ("bar on the wall {} %", "Schranke an der Wand {0} %"),
    ("bar at an angle {} %", "Schranke beim Sehwinkel {0} %"),
];
