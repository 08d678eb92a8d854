//! The page See.

super::texts! {
    ANSWERS: "Answers", "Antworten";
    WAYS: "Ways", "Weisen";
    HISTORY: "History", "Vorgeschichte";
    NO_SIGHT: "The plan of this visit has no sight in it.", "Im Plan dieses Termins ist kein Sehen.";
    COVERED_BEGIN: "Covered, distance checked: begin", "Verdeckt, Abstand geprüft: beginnen";
    PERSON_SEES: "The person sees", "Die Person sieht";
    WHITE: "white", "Weiß";
    LAST_RIGHT: "last: {0}, right", "zuletzt: {0}, richtig";
    LAST_WRONG: "last: {0} for {1}", "zuletzt: {0} statt {1}";
    POINTS_OR_SAYS: "The person points or says", "Die Person zeigt oder sagt";
    LARGER: "Larger", "Größer";
    SMALLER: "Smaller", "Kleiner";
    OTHER_EYE: "Other eye", "Anderes Auge";
    SHOW_IT: "Show it", "Zeigen";
    DRAWN_REMARK: "Which letter it is, is drawn. A pinhole, another distance or what is shown by hand is asked for under Ways.",
        "Welcher Buchstabe es ist, wird gezogen. Lochblende, anderer Abstand und was die Hand zeigt stehen unter „Weisen“.";
    TYPE_READ: "Type what was read, or press a letter: right, then wrong. - is none.",
        "Tippen, was gelesen wurde, oder einen Buchstaben drücken: richtig, dann falsch. - ist keiner.";
    LETTER_NOT_YET: "letter {0}, not yet", "Buchstabe {0}, noch nicht";
    LETTER_READ_AS: "letter {0}, read as {1}", "Buchstabe {0}, gelesen als {1}";
    THAT_WAS_READ: "That was read", "Das wurde gelesen";
    CANNOT_TELL: "Cannot tell", "Kann es nicht sagen";
    WHITE_FIELD: "a white field", "ein weißes Feld";
    AN_E: "an E, pointing {0}", "ein E, zeigt nach {0}";
    A_RING: "a ring, gap {0}", "ein Ring, Lücke {0}";
    THE_LETTER: "the letter {0}", "der Buchstabe {0}";

    CARD_ROW: "Card {0}, row {1} ({2} M). The person reads it, you type what was read.",
        "Karte {0}, Zeile {1} ({2} M). Die Person liest vor; tippen, was gelesen wurde.";
    FINGERS: "Show one, two or five fingers at {0} m, five times in mixed order.",
        "Einen, zwei oder fünf Finger in {0} m zeigen, fünfmal in gemischter Folge.";
    MOTION: "Move or rest your hand at {0} m, five times in mixed order.",
        "Die Hand in {0} m bewegen oder ruhen lassen, fünfmal in gemischter Folge.";
    LIGHT: "Switch a light on or off at {0} m, five times in mixed order.",
        "Ein Licht in {0} m an- oder ausschalten, fünfmal in gemischter Folge.";
    SHOW_FINGERS: "Fingers at {0} m", "Finger in {0} m";
    SHOW_MOTION: "A hand that moves at {0} m", "Eine bewegte Hand in {0} m";
    SHOW_LIGHT: "A light at {0} m", "Ein Licht in {0} m";
    SCREENED: "{0} right of {1}; {2} of {3} pass, guessing passes {4} times in 100",
        "{0} von {1} richtig; {2} von {3} genügen, Raten genügt in {4} von 100 Fällen";
    ASKED: "Asked in this visit", "In diesem Termin gefragt";
    TAKE_UP: "Take up the {0} again", "Wieder aufnehmen: {0}";
    ONE_MORE: "Ask one more way", "Noch auf eine Weise fragen";
    SINGLE: "single", "einzeln";
    ROWS: "rows", "Zeilen";
    ONE_SIZE: "one size", "eine Größe";
    NEAR_CARD: "near card", "Nahkarte";
    BY_HAND: "by hand", "von Hand";
    TEN_LETTERS: "ten letters", "zehn Buchstaben";
    RINGS_8: "8 rings", "8 Ringe";
    RINGS_4: "4 rings", "4 Ringe";
    AS_WORN: "as worn", "wie getragen";
    WITHOUT: "without", "ohne";
    OWN_FAR: "own, far", "eigene, Ferne";
    OWN_NEAR: "own, near", "eigene, Nähe";
    BEST: "best", "beste";
    PINHOLE: "Through a pinhole", "Durch eine Lochblende";
    CARD_NUMBER: "Number of the card", "Nummer der Karte";
    CARD_NUMBER_HINT: "as it is printed on it", "wie sie darauf steht";
    CROWDED: "With crowding bars", "Mit Balken daneben";
    REVERSE: "White on black", "Weiß auf Schwarz";
    WORN: "Correction worn", "Getragene Korrektur";
    LETTERS_ALIKE: "all letters alike", "alle Buchstaben gleich";
    LETTERS_BY_DIFFICULTY: "by difficulty, Ricci 1997", "nach Schwierigkeit, Ricci 1997";
    AT_A_TIME: "Shown at a time", "Auf einmal gezeigt";
    A_LETTER: "a letter", "ein Buchstabe";
    A_ROW: "a row", "eine Zeile";
    ALL_THAT_FIT: "all that fit", "alle, die passen";
    ROWS_END: "Ends with a row of five with", "Endet mit einer Fünferzeile mit";
    THREE_WRONG: "3 wrong", "3 falschen";
    FOUR_WRONG: "4 wrong", "4 falschen";
    ALL_WRONG: "all wrong", "lauter falschen";
    STOP_SD: "Ends at a standard deviation of, logMAR", "Endet bei einer Standardabweichung von, logMAR";
    SHOWN_FOR: "Shown for, s", "Gezeigt für, s";
    UNTIL_ANSWERED: "until it is answered", "bis zur Antwort";
    ORDER_RLB: "right, left, both", "rechts, links, beide";
    ORDER_LRB: "left, right, both", "links, rechts, beide";
    ORDER_RL: "right, left", "rechts, links";
    ORDER_LR: "left, right", "links, rechts";
    RIGHT_ALONE: "right alone", "nur rechts";
    LEFT_ALONE: "left alone", "nur links";
    ENOUGH: "That is enough", "Das genügt";
    AS_NOW: "as now, {0} m", "wie jetzt, {0} m";
    ASKING_DISTANCE: "Distance of this asking", "Abstand dieser Frage";
    SIZE: "Size, logMAR", "Größe, logMAR";
    ASK_NEXT: "Ask this next", "Das als Nächstes fragen";
    YES: "yes", "ja";
    NO: "no", "nein";
    NOT_KNOWN: "not known", "nicht bekannt";
    EYE_NOT_TOLD: "eye not told", "Auge nicht genannt";
    RIGHT_EYE: "right eye", "rechtes Auge";
    LEFT_EYE: "left eye", "linkes Auge";
    BOTH_EYES: "both eyes", "beide Augen";
    NEVER_POOLED: "Each way is a finding of its own; answers under different conditions are never pooled. Cover the other eye and check the distance anew each time.",
        "Jede Weise ist ein eigener Befund; Antworten unter verschiedenen Bedingungen werden nie zusammengelegt. Jedes Mal das andere Auge verdecken und den Abstand prüfen.";
    HISTORY_REMARK: "Ask in these words. A 'yes' becomes a cue with its source and urgency; it is no diagnosis.",
        "Mit diesen Worten fragen. Ein „Ja“ wird ein Hinweis mit Quelle und Dringlichkeit; es ist keine Diagnose.";
    COUNTED: "Counted rightly, 4 of 5 or more", "Richtig gezählt, mindestens 4 von 5";
    MOTION_TOLD: "Motion told, 4 of 5 or more", "Bewegung erkannt, mindestens 4 von 5";
    LIGHT_TOLD: "Light told, 4 of 5 or more", "Licht erkannt, mindestens 4 von 5";
    NOT_COUNTED: "Not counted", "Nicht gezählt";
    MOTION_NOT: "Motion not told", "Bewegung nicht erkannt";
    LIGHT_NOT: "Light not told", "Licht nicht erkannt";
    SINGLE_OPTOTYPES: "single optotypes", "einzelne Sehzeichen";
    ROWS_OF_FIVE: "rows of five", "Fünferzeilen";
    ONE_SIZE_OF: "one size, {0} logMAR", "eine Größe, {0} logMAR";
    NEAR_CARD_NO: "near card {0}", "Nahkarte {0}";
    METRES: ", {0} m", ", {0} m";
    WITH_PINHOLE: ", pinhole", ", Lochblende";
    WITH_BARS: ", crowded", ", mit Balken";
}
