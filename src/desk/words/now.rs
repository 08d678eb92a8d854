//! The one sentence: what is happening, and why.

super::texts! {
    CLOSED: "The visit is closed; its findings are below.", "Der Termin ist geschlossen; seine Befunde stehen unten.";
    PAUSED: "Paused. Nothing sounds and nothing is shown; {0} goes on.", "Angehalten. Nichts klingt und nichts wird gezeigt; {0} geht weiter.";
    BY_HAND: "By hand: set ear, frequency and level; {0} presents, {1} presents silence.",
        "Von Hand: Ohr, Frequenz und Pegel einstellen; {0} bietet dar, {1} bietet Stille dar.";
    BY_HAND_SEE: "By hand: set eye and size; {0} shows one optotype.", "Von Hand: Auge und Größe einstellen; {0} zeigt ein Sehzeichen.";
    NEXT_RING: "The next ring follows at once.", "Das nächste Sehzeichen folgt sofort.";
    NEXT: "The next presentation follows at once.", "Die nächste Darbietung folgt sofort.";
    SHOWN_BY_HAND: "Below the largest optotype: shown by hand, entered at the right.",
        "Unter dem größten Sehzeichen: von Hand gezeigt, rechts eingetragen.";
    TO_HEAR: "Earphones on, red to the right ear; explain the task. {0} begins with a clear tone.",
        "Hörer auf, rot aufs rechte Ohr; die Aufgabe erklären. {0} beginnt mit einem deutlichen Ton.";
    TO_TAKE_TURNS: "Explain: now there are two turns, 1 and 2, and one of them has the tone. Often it is too soft to be sure: choose all the same, and guess if need be. {0} begins.",
        "Erklären: jetzt kommen zwei Abschnitte, 1 und 2, und einer enthält den Ton. Oft ist er zu leise, um sicher zu sein: trotzdem wählen, notfalls raten. {0} beginnt.";
    TO_HEAR_AGAIN: "Explain: single tones again; press whenever one is heard. {0} goes on.",
        "Erklären: wieder einzelne Töne; drücken, wann immer einer zu hören ist. {0} geht weiter.";
    COVER_LEFT: "Cover the LEFT eye, without pressing on it", "Das LINKE Auge verdecken, ohne darauf zu drücken";
    COVER_RIGHT: "Cover the RIGHT eye, without pressing on it", "Das RECHTE Auge verdecken, ohne darauf zu drücken";
    BOTH_OPEN: "Both eyes open", "Beide Augen offen";
    CHECK_DISTANCE: "{0}; check the distance. {1} begins.", "{0}; den Abstand prüfen. {1} beginnt.";
    CARD_AWAY: "; the card {0} cm away, measured", "; die Karte {0} cm entfernt, gemessen";
    SCREEN_AWAY: "; {0} m from the eye to the screen", "; {0} m vom Auge zum Bildschirm";
    THROUGH_PINHOLE: ", through the pinhole", ", durch die Lochblende";
    TO_SEE: "{0}{1}; {2}{3}. {4} begins.", "{0}{1}; {2}{3}. {4} beginnt.";
    TO_BE_LOUD: "The next sounds are above 85 dB. Watch the person. HOLD {0} for a second to let up to three of them come; {1} pauses, and the ear can be ended instead.",
        "Die nächsten Töne liegen über 85 dB. Die Person im Auge behalten. {0} eine Sekunde HALTEN lässt bis zu drei davon zu; {1} hält an, auch kann das Ohr beendet werden.";
    TO_CLOSE: "The plan is carried out. {0} closes the visit and writes its findings.",
        "Der Plan ist ausgeführt. {0} schließt den Termin und schreibt seine Befunde.";
    TONE: "{0}, {1}, {2}", "{0}, {1}, {2}";
    WITH_NOISE: ", with noise of {0} effective level at the {1}", ", mit Rauschen von {0} Effektivpegel am anderen Ohr: {1}";
    RIGHT_EAR: "right ear", "rechtes Ohr";
    LEFT_EAR: "left ear", "linkes Ohr";
    RING: "a ring", "ein Ring";
    AN_E: "an E", "ein E";
    LETTERS: "letters", "Buchstaben";
    SHOWS_TASK: "{0}: {1}, plain to see ({2}), to show what is asked.", "{0}: {1}, deutlich zu sehen ({2}), um die Aufgabe zu zeigen.";
    SCREENS: "{0}: {1} of {2}, the one size that is asked for.", "{0}: {1} von {2}, die eine Größe, nach der gefragt wird.";
    CARD_ROW: "{0}: a row of {1} on the near card.", "{0}: eine Zeile von {1} auf der Nahkarte.";
    TELLS_MOST: "{0}: {1} of {2}, the size whose answer tells most now.", "{0}: {1} von {2}, die Größe, deren Antwort jetzt am meisten sagt.";
    BEFORE: "Prepare: say who answers, with what, and from how far. It begins when nothing is missing.",
        "Vorbereiten: wer antwortet, womit, aus welchem Abstand. Es beginnt, wenn nichts fehlt.";
    AT_PEOPLE: "People: find somebody, take out a visit or compare several, and keep the store.",
        "Personen: jemanden finden, einen Termin hervorholen oder mehrere vergleichen, und den Bestand pflegen.";
    AT_BENCH: "Bench: measure what a figure rests on. Whatever is measured here is written to a file of its own.",
        "Werkbank: messen, worauf ein Wert ruht. Was hier gemessen wird, kommt in eine eigene Datei.";
    TAKEN_OUT: "Hand over: an earlier visit, as the store keeps it. Nothing is measured now.",
        "Übergeben: ein früherer Termin, wie der Bestand ihn hält. Jetzt wird nichts gemessen.";
}
