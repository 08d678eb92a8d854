//! The page of the desk's own settings.

super::texts! {
    SENTENCE: "Desk: how this desk looks, speaks and is worked. It is kept for the next time; nothing of it touches a measurement.",
        "Pult: wie dieses Pult aussieht, spricht und bedient wird. Es bleibt fürs nächste Mal; nichts davon berührt eine Messung.";
    LANGUAGE: "Language", "Sprache";
    LANGUAGE_REMARK: "The examiner's window. The person's window has a language of its own, under Prepare.",
        "Das Fenster der untersuchenden Person. Das andere Fenster hat seine eigene Sprache, unter „Vorbereiten“.";
    LIGHT: "Light", "Licht";
    DAYLIGHT: "Daylight", "Tageslicht";
    DARK_ROOM: "Dark room", "Dunkler Raum";
    LIGHT_REMARK: "The person's window keeps its colours: another ground would adapt the eye to it.",
        "Das Fenster der Person behält seine Farben: ein anderer Grund würde das Auge umstimmen.";
    SIZE: "Size of text", "Schriftgröße";
    SIZE_REMARK: "Everything grows with it but what is shown to an eye: that keeps its size to the pixel.",
        "Alles wächst mit, nur nicht, was einem Auge gezeigt wird: das behält seine Größe auf das Pixel.";
    LOCK: "Lock", "Sperre";
    MINUTES: "after {0} min", "nach {0} min";
    LOCK_REMARK: "Without a touch for so long, an open store is locked; never while something is presented.",
        "Ohne Berührung sperrt sich nach dieser Zeit ein offener Bestand; nie, während etwas dargeboten wird.";
    KEYS: "Keys", "Tasten";
    EXAMINERS: "The examiner's", "Untersuchende Person";
    PERSONS: "The person's", "Untersuchte Person";
    PAGES: "Pages", "Seiten";
    PRESS_NEW: "press a key", "Taste drücken";
    KEYS_REMARK: "Press a line, then the key that it shall have. Two tasks that could be meant at once never share one.",
        "Eine Zeile drücken, dann die Taste, die sie haben soll. Zwei Aufgaben, die zugleich gemeint sein könnten, teilen nie eine.";
    KEYS_AGAIN: "All keys as they came", "Alle Tasten wie zu Anfang";
    CHANGED_OVER: "{0} is now: {1}. It was: {2}, which is now {3}.", "{0} ist nun: {1}. Es war: {2}; das ist nun {3}.";
    GIVEN: "{0} is now: {1}.", "{0} ist nun: {1}.";
    TAKEN: "{0} stays as it is: {1}. Give that another key first.", "{0} bleibt, wie es ist: {1}. Dem zuerst eine andere Taste geben.";
    RESERVED: "{0} goes from control to control and presses them: it can have no other task.",
        "{0} führt von Feld zu Feld und drückt sie: mehr kann die Taste nicht.";
    KEY_OF: "{0}: {1}", "{0}: {1}";
}
