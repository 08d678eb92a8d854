//! What the desk's logic and the rooms above tell, always in English there; its windows say it in theirs
//! ([`said`](super::said)).

super::texts! {
    PAUSED_BEFORE: "it was paused when the program ended; P goes on", "er war angehalten, als das Programm endete; P geht weiter";
    ANSWERS_ITSELF: "In practice the person answers; nobody answers in their place.", "Beim Üben antwortet die Person; niemand antwortet an ihrer Stelle.";
    BY_HAND_FIRST: "The procedure is presenting. Take over by hand first (A).", "Das Verfahren bietet dar. Erst von Hand übernehmen (A).";
    SOUND_LOST: "The sound device is gone. Plug it in again, then press 'Open the sound again'.",
        "Das Tongerät ist fort. Wieder anstecken, dann „Ton wieder öffnen“ drücken.";
    SOUND_FAILS: "The sound device reports faults without end. Press 'Open the sound again'.",
        "Das Tongerät meldet endlos Fehler. „Ton wieder öffnen“ drücken.";
    SOUND_STALLED: "The sound device has stopped asking for sound. Press 'Open the sound again'.",
        "Das Tongerät nimmt keinen Ton mehr ab. „Ton wieder öffnen“ drücken.";
    SOUND_CHANGED: "The system has led the sound to another output, or changed its format: the earphone's profile does not hold there. Nothing more is played in this visit; lead the sound back, close the visit and begin another.",
        "Das System hat den Ton an einen anderen Ausgang geführt oder sein Format geändert: dort gilt das Hörerprofil nicht. In diesem Termin wird nichts mehr gespielt; den Ton zurückführen, den Termin schließen und einen neuen beginnen.";
    LISTEN_FIRST: "Nobody knows how loud this earphone is: the examiner listens first.",
        "Niemand weiß, wie laut dieser Hörer ist: zuerst selbst hören.";
    STILL_SOUNDS: "Something still sounds: wait for its end, or silence it.", "Noch klingt etwas: das Ende abwarten oder es still machen.";
    INSTRUCTIONS_NOT_WHOLE: "The instructions were not played to their end.", "Die Anleitung wurde nicht bis zum Ende gespielt.";
    MUCH_SOUND: "An ear has had a tenth of the sound that a working day allows (NIOSH). Stop here, or go on only for a good reason.",
        "Ein Ohr hatte ein Zehntel des Schalls, den ein Arbeitstag zulässt (NIOSH). Hier aufhören, oder nur aus gutem Grund weitermachen.";
    LOUD_ON_BENCH: "Loud sounds come in a visit only, where they are confirmed.",
        "Laute Töne gibt es nur in einem Termin, wo sie bestätigt werden.";
    WAY_CHANGED: "Paused: {0}. No level is what it says until it is again as it was at the beginning; take back what was presented in the last seconds, then go on.",
        "Angehalten: {0}. Kein Pegel stimmt, bis es wieder ist wie am Anfang; was in den letzten Sekunden dargeboten wurde, zurücknehmen, dann weitergehen.";
    SOUND_LOST_IN_CHECK: "The sound device is gone. Plug it in again, then check the ears again.",
        "Das Tongerät ist fort. Wieder anstecken, dann die Ohren noch einmal prüfen.";
    SCALE_CHANGED: "The person's window is on another display, or its scale changed: its pixels are not the measured ones. Move it back, or end and measure the screen again.",
        "Das Fenster der Person ist auf einem anderen Bildschirm, oder sein Maßstab hat sich geändert: seine Pixel sind nicht die gemessenen. Zurückschieben, oder beenden und den Bildschirm neu messen.";
    JOURNAL_FAILED: "The journal cannot be written, so nothing more is presented: {0}", "Das Protokoll lässt sich nicht schreiben, darum wird nichts mehr dargeboten: {0}";
    NOTHING_ARRIVES: "Paused: nothing arrives whole. The last time: {0}.", "Angehalten: nichts kommt ganz an. Das letzte Mal: {0}.";
    RAN_DRY: "the sound device ran dry", "dem Tongerät ging der Ton aus";
    FALTERED: "the sound device faltered", "das Tongerät stockte";
    CUT_OFF: "a sample passed the loudness ceiling and was cut off", "ein Wert überschritt die Lautheitsgrenze und wurde abgeschnitten";
    DISTURBED: "the person's window changed while the ring was shown", "das Fenster der Person änderte sich, während das Sehzeichen stand";
    NO_ROOM: "the person's window is too small for what is shown", "das Fenster der Person ist zu klein für das, was gezeigt wird";
    NO_SOUND: "there is no sound output", "es gibt keinen Tonausgang";
    NO_SCREEN: "there is no measured screen", "es gibt keinen gemessenen Bildschirm";
    WIDER_THAN_SCREEN: "The optotypes are wider or higher than the screen.", "Die Sehzeichen sind breiter oder höher als der Bildschirm.";
    NOT_READ: "the recording could not be read", "die Aufnahme ließ sich nicht lesen";

    NOT_NOW: "Not now: something is being presented, or a step is open. Pause first.",
        "Jetzt nicht: etwas wird dargeboten, oder ein Schritt ist offen. Erst anhalten.";
    CLOSE_FIRST: "Close the visit that is under way first.", "Zuerst den laufenden Termin schließen.";

    NEEDS_CASE: "Person: a case that can be read", "Person: ein Fall, der sich lesen lässt";
    NEEDS_CODE: "Person: a code", "Person: eine Kennung";
    NEEDS_SENSE: "Plan: at least one sense", "Plan: mindestens ein Sinn";
    NEEDS_PLAN: "Plan: one that can be read", "Plan: einer, der sich lesen lässt";
    NEEDS_OUTPUT: "Sound: an output", "Ton: ein Ausgang";
    NEEDS_LISTENING: "First sound: the examiner listens first, both ears", "Erster Ton: zuerst selbst hören, beide Ohren";
    NEEDS_EARS: "Ears: the check of the sides, 4 of 4", "Ohren: die Prüfung der Seiten, 4 von 4";
    NEEDS_SCREEN: "Screen: its scale, by a card or typed in", "Bildschirm: sein Maßstab, mit einer Karte oder getippt";
    NEEDS_DISTANCE: "Distance: from eye to screen, 0.1 to 20 m", "Abstand: vom Auge zum Bildschirm, 0,1 bis 20 m";
    NEEDS_FOLDER: "Folder: where the visit is kept", "Ordner: wo der Termin bleibt";
    NEEDS_FRESH_FOLDER: "Folder: one without a journal in it", "Ordner: einer, in dem kein Protokoll liegt";
    NEEDS_CAUTIONS: "Cautions: read", "Hinweise: gelesen";
    NEEDS_PROFILE: "Earphone: a profile", "Hörer: ein Profil";
    NOT_SIMULATED: "Earphone: one that is not simulated; people hear it", "Hörer: einer, der nicht simuliert ist; Menschen hören ihn";
    HOLDS_ON: "Earphone: this profile holds on '{0}' only", "Hörer: dieses Profil gilt nur an „{0}“";
    PLAYS_HZ: "Sound: an output that plays {0} Hz", "Ton: ein Ausgang, der {0} Hz spielt";
    LOOK_AFTER: "Sound: look after what the system does not tell", "Ton: nachsehen, was das System nicht sagt";
    ROOM_TO_LISTEN: "Room: its measurement and the microphone, to listen", "Raum: seine Messung und das Mikrofon, um mitzuhören";
    CHECK_EXCEEDED: "Earphone: the daily check of {0} ({1}) lies beyond its limit", "Hörer: die Tagesprüfung vom {0} ({1}) liegt jenseits ihrer Grenze";
    CHECK_NO_LISTENER: "Daily check: no known listener has sat yet.", "Tagesprüfung: noch hat niemand Bekanntes gehört.";
    CHECK_DUE: "Daily check: due. Last held on {0}, by {1}.", "Tagesprüfung: fällig. Zuletzt bestanden am {0}, von {1}.";
    CHECK_HELD: "Daily check: held today by {0}.", "Tagesprüfung: heute bestanden, von {0}.";

    WITHOUT_BONE: "Air conduction only: masking rules 2 and 3, which need bone conduction, cannot be applied, and a conductive part of a loss cannot be seen.",
        "Nur Luftleitung: die Vertäubungsregeln 2 und 3, die Knochenleitung brauchen, sind nicht anwendbar, und ein Schallleitungsanteil ist nicht zu sehen.";

    BY_EXAMINER: "Presented by hand.", "Von Hand dargeboten.";
    FAMILIARISE: "To show what to listen for: softer until it is missed, then back up.", "Um zu zeigen, worauf zu hören ist: leiser, bis er fehlt, dann wieder lauter.";
    SILENT_FIRST: "A slot like any other without a tone, by chance's turn: does an answer come when there is nothing?",
        "Ein Abschnitt wie jeder andere, ohne Ton, vom Zufall gewählt: kommt eine Antwort, wenn nichts da ist?";
    SILENT: "A slot like any other without a tone, by chance's turn: {0} of {1} such slots were answered so far.",
        "Ein Abschnitt wie jeder andere, ohne Ton, vom Zufall gewählt: {0} von {1} solchen wurden bisher beantwortet.";
    SCREENED: "Screening at one level: heard or not heard there is all that it tells.", "Siebtest bei einem Pegel: gehört oder nicht, mehr sagt er nicht.";
    ONCE_MORE: "Once more and unannounced: it was {0} dB the first time; how far do two measurements agree?",
        "Noch einmal und unangekündigt: beim ersten Mal {0} dB; wie weit stimmen zwei Messungen überein?";
    MEASURED_AGAIN: "Measured again.", "Noch einmal gemessen.";
    FIRST_TONE: "The first tone here; {0}.", "Der erste Ton hier; {0}.";
    WAS_NOT_ANSWERED: "{0} dB was not answered; {1}.", "{0} dB blieb unbeantwortet; {1}.";
    WAS_ANSWERED: "{0} dB was answered; {1}.", "{0} dB wurde beantwortet; {1}.";
    RULE_3_OF_5: "10 dB down after an answer, 5 dB up after none; done at 3 answers of 5 from below",
        "10 dB tiefer nach einer Antwort, 5 dB höher nach keiner; fertig bei 3 Antworten von 5 von unten";
    RULE_2_OF_4: "10 dB down after an answer, 5 dB up after none; done at 2 answers of 4 from below",
        "10 dB tiefer nach einer Antwort, 5 dB höher nach keiner; fertig bei 2 Antworten von 4 von unten";
    RULE_2_OF_3: "10 dB down after an answer, 5 dB up after none; done at 2 answers of 3 from below",
        "10 dB tiefer nach einer Antwort, 5 dB höher nach keiner; fertig bei 2 Antworten von 3 von unten";
    RULE_BRACKETS: "up until it is answered, then down until it is not, by turns; the threshold is the mean of the lowest answers",
        "hinauf bis zur Antwort, dann hinab, bis keine kommt, im Wechsel; die Schwelle ist das Mittel der tiefsten Antworten";
    SWEEP: "Levels rise steadily, or fall steadily: do both find the same threshold?", "Pegel steigen stetig oder fallen stetig: finden beide dieselbe Schwelle?";
    BOTH_EARS: "The same tone softly at the other ear: whoever hears it in the better ear answers.",
        "Derselbe Ton leise auf dem anderen Ohr: wer ihn mit dem besseren hört, antwortet.";
    FORCED_CHOICE: "The first or the second interval? Below the threshold a guess is right half the time.",
        "Der erste oder der zweite Abschnitt? Unter der Schwelle trifft Raten in der Hälfte.";
    COMPANY: "Near the threshold, after loud tones or after soft ones: does the company change the answer?",
        "Nahe der Schwelle, nach lauten oder nach leisen Tönen: ändert die Umgebung die Antwort?";
    FIND_AGAIN: "Without noise the other ear might answer. The noise goes up until the level at which the tone is answered stays where it is.",
        "Ohne Rauschen könnte das andere Ohr antworten. Das Rauschen steigt, bis der beantwortete Pegel stehen bleibt.";
    MASK_SERIES: "The level has stayed while the noise went up; the full series is made once, at the loudest noise of that plateau.",
        "Der Pegel blieb, während das Rauschen stieg; die volle Reihe folgt einmal, beim lautesten Rauschen dieses Plateaus.";
    MASK_SURER: "There is a plateau, but the answers leave its level too wide, or it is not sure yet that this ear answers.",
        "Es gibt ein Plateau, doch sein Pegel ist noch zu ungenau, oder es ist nicht sicher, dass dieses Ohr antwortet.";
    DISPEL_DOUBT: "The readings are so uncertain that the other ear might have answered; noise there tells.",
        "Die Ablesungen sind so unsicher, dass das andere Ohr geantwortet haben könnte; Rauschen dort entscheidet.";
    NOISE_LIMIT: "louder noise than this set-up may present would be needed", "es bräuchte lauteres Rauschen, als dieser Aufbau darbieten darf";
    OVER_MASKING: "louder noise might cross the head and mask the ear under test", "lauteres Rauschen könnte übertreten und das geprüfte Ohr vertäuben";
    UNSETTLED: "the answers beside the noise did not settle", "die Antworten neben dem Rauschen kamen nicht zur Ruhe";
    ESTIMATE_WIDEST: "Its midpoint lies between {0} and {1} {2} (90 %), the widest interval of all. An answer ({3} % likely) moves it to about {4}, none to about {5}.",
        "Der Mittelpunkt liegt zwischen {0} und {1} {2} (90 %), der breiteste Bereich von allen. Eine Antwort ({3} % wahrscheinlich) rückt ihn auf etwa {4}, keine auf etwa {5}.";
    ESTIMATE_FEW: "Its midpoint lies between {0} and {1} {2} (90 %), but it has only {3} of the {4} presentations of its own that a threshold needs. An answer ({5} % likely) moves it to about {6}, none to about {7}.",
        "Der Mittelpunkt liegt zwischen {0} und {1} {2} (90 %), hat aber erst {3} der {4} eigenen Darbietungen, die eine Schwelle braucht. Eine Antwort ({5} % wahrscheinlich) rückt ihn auf etwa {6}, keine auf etwa {7}.";
    ESTIMATE_MOST: "Its midpoint lies between {0} and {1} {2} (90 %); of all tones this one narrows most. An answer ({3} % likely) moves it to about {4}, none to about {5}.",
        "Der Mittelpunkt liegt zwischen {0} und {1} {2} (90 %); von allen Tönen engt dieser am meisten ein. Eine Antwort ({3} % wahrscheinlich) rückt ihn auf etwa {4}, keine auf etwa {5}.";
    ESTIMATE_ODD_YES: "That {0} dB was answered does not fit the other answers; its midpoint lies between {1} and {2} {3} (90 %). An answer ({4} % likely) moves it to about {5}, none to about {6}.",
        "Dass {0} dB beantwortet wurde, passt nicht zu den anderen Antworten; der Mittelpunkt liegt zwischen {1} und {2} {3} (90 %). Eine Antwort ({4} % wahrscheinlich) rückt ihn auf etwa {5}, keine auf etwa {6}.";
    ESTIMATE_ODD_NO: "That {0} dB was not does not fit the other answers; its midpoint lies between {1} and {2} {3} (90 %). An answer ({4} % likely) moves it to about {5}, none to about {6}.",
        "Dass {0} dB unbeantwortet blieb, passt nicht zu den anderen Antworten; der Mittelpunkt liegt zwischen {1} und {2} {3} (90 %). Eine Antwort ({4} % wahrscheinlich) rückt ihn auf etwa {5}, keine auf etwa {6}.";
}
