//! The page Prepare.

super::texts! {
    CAUTION_1: "A screening and measuring aid: not certified, and not a diagnosis. Local rules and licensed practice come first.",
        "Eine Hilfe zum Sieben und Messen: nicht zugelassen und keine Diagnose. Örtliche Regeln und ärztliche Praxis gehen vor.";
    CAUTION_2: "Tones can be loud. Levels are capped, but with an unmeasured headphone the cap rests on an assumption: stop when a tone is unpleasant.",
        "Töne können laut sein. Pegel sind begrenzt, doch bei einem ungemessenen Hörer beruht die Grenze auf einer Annahme: aufhören, wenn ein Ton unangenehm ist.";
    CAUTION_3: "Refer now, without this test: sudden loss of hearing or sight, flashes or a curtain, a red and painful eye, an ear that discharges, a fresh injury, sudden dizziness or a weak face.",
        "Sofort überweisen, ohne diesen Test: plötzlicher Hör- oder Sehverlust, Blitze oder ein Vorhang, ein rotes schmerzendes Auge, ein laufendes Ohr, eine frische Verletzung, plötzlicher Schwindel oder ein schwaches Gesicht.";
    CAUTION_4: "Look into the ears and at the eyes first; wax and a wrong lens explain more than any threshold.",
        "Erst in die Ohren und auf die Augen schauen; Ohrenschmalz und eine falsche Linse erklären mehr als jede Schwelle.";
    CAUTION_5: "How far answers agree is described; why they do or do not is never stated.",
        "Wie weit Antworten übereinstimmen, wird beschrieben; warum sie es tun oder nicht, nie.";
    BEFORE: "Before it begins", "Bevor es beginnt";
    READ: "I have read this", "Ich habe das gelesen";
    BROKEN_OFF: "Broken off", "Abgebrochen";
    NOT_CLOSED: "This visit is not closed: {0}, {1} trials. It goes on with the plan and the set-up that it began with.",
        "Dieser Termin ist nicht geschlossen: {0}, {1} Darbietungen. Er geht mit Plan und Aufbau weiter, mit denen er begann.";
    NOTHING_MISSING: "Nothing is missing", "Nichts fehlt";
    MISSING: "What is missing", "Was fehlt";
    BEGIN: "Begin the visit", "Den Termin beginnen";
    GO_ON: "Go on with the visit", "Den Termin fortsetzen";
    FIRST_TIME: "First time here?", "Zum ersten Mal hier?";
    FIRST_TIME_TEXT: "Try the desk on a simulated person: no earphones, no measured screen, nobody waiting. An ear is measured within a minute.",
        "Das Pult lässt sich an einer simulierten Person ausprobieren: ohne Hörer, ohne gemessenen Bildschirm, und niemand wartet. Ein Ohr ist binnen einer Minute gemessen.";
    TRY_IT: "Try it on a simulated person", "An einer simulierten Person probieren";

    PERSON: "Person", "Person";
    PLAN: "Plan", "Plan";
    SOUND: "Sound", "Ton";
    EARPHONE: "Earphone", "Hörer";
    FIRST_SOUND: "First sound", "Erster Ton";
    EARS: "Ears", "Ohren";
    THE_WAY: "The way", "Der Weg";
    ROOM: "Room", "Raum";
    INSTRUCTIONS: "Instructions", "Anleitung";
    SCREEN: "Screen", "Bildschirm";
    DISTANCE: "Distance", "Abstand";
    NEAR: "Near", "Nähe";
    FOLDER: "Folder", "Ordner";
    LEVELS_IN: "{0}; levels in {1}", "{0}; Pegel in {1}";
    MM_A_PIXEL: "{0} mm a pixel", "{0} mm je Pixel";
    EYE_TO_SCREEN: "{0} mm from the eye to the screen", "{0} mm vom Auge zum Bildschirm";

    LIVING: "a living person", "ein lebender Mensch";
    SIMULATED: "a simulated person", "eine simulierte Person";
    CODE: "Code", "Kennung";
    CODE_HINT: "a code, never a name", "eine Kennung, nie ein Name";
    OWN_KEY: "answers at a key of their own", "antwortet an einer eigenen Taste";
    EXAMINER_MARKS: "shows it, the examiner marks", "zeigt es, vermerkt wird gegenüber";
    CASE_FILE: "Case file", "Falldatei";
    CASE_HINT: "a case file (TOML)", "eine Falldatei (TOML)";
    PACE: "Pace", "Tempo";
    PLAN_HINT: "a name, or a plan file (TOML)", "ein Name oder eine Plandatei (TOML)";
    HEARING: "Hearing", "Hören";
    SIGHT: "Sight", "Sehen";
    SOUND_NONE_OFFLINE: "none: answers come at once, offline", "keiner: Antworten kommen von selbst";
    SOUND_NONE: "none", "keiner";
    NO_OUTPUT: "No sound output was found.", "Es wurde kein Tonausgang gefunden.";
    A_PROFILE: "a profile", "ein Profil";
    OWN_EARS: "none yet: measure my own ears as the reference", "noch keins: die eigenen Ohren als Bezug messen";
    OWN_EARS_REMARK: "Levels are re full scale, without dB HL; hearing only. Good ears and a quiet room make a fair reference. A listening jury hears the set-up this way too.",
        "Pegel zählen gegen Vollaussteuerung, ohne dB HL; nur Hören. Gute Ohren und ein ruhiger Raum geben einen brauchbaren Bezug. Auch eine Hörjury hört den Aufbau so.";
    SWAPPED: "a jury's run: the sides are swapped on purpose", "Durchgang einer Jury: die Seiten sind mit Absicht vertauscht";
    PROFILE: "Earphone profile", "Hörerprofil";
    PROFILE_HINT: "a profile (TOML)", "ein Profil (TOML)";
    VALID_UNTIL: ", valid until {0}", ", gültig bis {0}";
    EARS_NONE: "Four soft tones; the person says on which side each was.", "Vier leise Töne; die Person sagt zu jedem die Seite.";
    EARS_SWAPPED: "4 of 4 told the other way round, as this run asks.", "4 von 4 umgekehrt genannt, wie dieser Durchgang es will.";
    EARS_PASSED: "4 of 4 told rightly: each earphone is on its ear.", "4 von 4 richtig: jeder Hörer sitzt auf seinem Ohr.";
    EARS_REVERSED: "All the other way round: change the earphones over, then again.", "Alle umgekehrt: Hörer vertauschen, dann noch einmal.";
    EARS_AGAIN_TEXT: "{0} of {1} told rightly; explain and do it again.", "{0} von {1} richtig; erklären und wiederholen.";
    EARS_TONE: "Tone {0} of {1}: J left, L right.", "Ton {0} von {1}: J links, L rechts.";
    CHECK_EARS: "Check the ears", "Die Ohren prüfen";
    CHECK_AGAIN: "Check the ears again", "Die Ohren noch einmal prüfen";
    FOLDER_HINT: "a new folder for this visit", "ein neuer Ordner für diesen Termin";
    SEED: "Seed of all draws: {0}", "Anfangszahl aller Ziehungen: {0}";

    WHY_LISTEN: "Nobody knows how loud this earphone is. Put it on your own head first. The tone begins inaudible and rises by 5 dB with every press, at one ear and then at the other.",
        "Niemand weiß, wie laut dieser Hörer ist. Erst selbst aufsetzen. Der Ton beginnt unhörbar und steigt mit jedem Druck um 5 dB, erst auf einem Ohr, dann auf dem anderen.";
    NOTHING_SOUNDED: "Nothing has sounded yet.", "Noch hat nichts geklungen.";
    HEARD_BOTH: "Heard at both ears.", "Auf beiden Ohren gehört.";
    EAR_NOTHING: "{0}: nothing has sounded yet.", "{0}: noch hat nichts geklungen.";
    EAR_LEVEL: "{0}: {1} dB re full scale.", "{0}: {1} dB gegen Vollaussteuerung.";
    I_HEAR: "I hear it", "Ich höre es";
    INSTRUCTIONS_HINT: "a recording (WAV or FLAC), if you have one", "eine Aufnahme (WAV oder FLAC), falls vorhanden";
    PLAY_BOTH: "Play to both ears", "Auf beiden Ohren abspielen";
    SOFTER_5: "Softer by 5 dB", "5 dB leiser";
    LOUDER_5: "Louder by 5 dB", "5 dB lauter";
    LOUDEST_MOMENT: "The level is that of their loudest moment. They measure nothing.", "Der Pegel ist der ihres lautesten Moments. Sie messen nichts.";

    OUTLINE_AWAY: "Take the outline away", "Den Umriss wegnehmen";
    BY_CARD: "Measure with a card", "Mit einer Karte messen";
    MATCHES: "The outline matches", "Der Umriss passt";
    PIXELS_WIDE: "pixels wide", "Pixel breit";
    PIXELS_HIGH: "pixels high", "Pixel hoch";
    PITCH: "Pixel pitch in mm", "Pixelabstand in mm";
    PITCH_HINT: "or its pitch, mm", "oder ihr Abstand, mm";
    TAKE_PITCH: "Take this pitch", "Diesen Abstand nehmen";
    WHITE: "White, cd/m²", "Weiß, cd/m²";
    WHITE_HINT: "white, cd/m²", "Weiß, cd/m²";
    BLACK: "Black, cd/m²", "Schwarz, cd/m²";
    BLACK_HINT: "black, cd/m²", "Schwarz, cd/m²";
    WITH_METER: "With a meter, before the pitch is taken.", "Mit einem Messgerät, bevor der Abstand genommen wird.";
    PITCH_IS: "{0} mm a pixel, ±{1} %", "{0} mm je Pixel, ±{1} %";
    HOW_TO_FIT_A_CARD: "Lay the card on the outline in the person's window and fit both sides; arrow keys move them by one pixel. The width counts, the height checks it.",
        "Die Karte auf den Umriss im Fenster der Person legen und beide Seiten anpassen; Pfeiltasten rücken um ein Pixel. Die Breite zählt, die Höhe prüft sie.";
    SCREEN_REMINDER: "Look straight at the screen, without zoom, night light or automatic brightness, and measure again when the window goes to another display.",
        "Gerade auf den Bildschirm schauen, ohne Vergrößerung, Nachtlicht oder Helligkeitsautomatik, und neu messen, wenn das Fenster auf einen anderen Bildschirm wechselt.";
    SCREEN_CHANGED: "The display, its mode or its scale has changed: measure the screen again.",
        "Bildschirm, Auflösung oder Maßstab haben sich geändert: den Bildschirm neu messen.";
    SIMULATED_SCREEN: "Not measured: a simulated person looks at a simulated screen.",
        "Nicht gemessen: eine simulierte Person schaut auf einen simulierten Bildschirm.";
    NO_SYSTEM_SAYS: "No system says truly how large its pixels are: measure them.", "Kein System sagt verlässlich, wie groß seine Pixel sind: messen.";
    NO_LIGHT: "Its luminance is not measured; acuity is usually measured with 80 to 320 cd/m².",
        "Seine Leuchtdichte ist nicht gemessen; Sehschärfe wird gewöhnlich bei 80 bis 320 cd/m² gemessen.";
    NOT_THE_USUAL_LIGHT: "Its white is outside of the usual 80 to 320 cd/m²: compare with other visits with care.",
        "Sein Weiß liegt außerhalb der üblichen 80 bis 320 cd/m²: nur mit Vorsicht mit anderen Terminen vergleichen.";
    MIRROR_HINT: "screen to mirror + mirror to eye, such as 1.6 m + 2.4 m", "Bildschirm zu Spiegel + Spiegel zu Auge, etwa 1,6 m + 2,4 m";
    DISTANCE_HINT: "by tape measure, such as 3.2 m or 10 ft 6 in", "mit dem Maßband, etwa 3,2 m";
    MIRRORED: "The person sees the screen in a mirror", "Die Person sieht den Bildschirm im Spiegel";
    DISTANCE_EXPECTED: "expected 0.1 to 20 m", "erwartet 0,1 bis 20 m";
    DISTANCE_IS: "{0} mm, {1} ft, from the eye to the screen", "{0} mm, {1} Fuß, vom Auge zum Bildschirm";
    PLANNER: "Which lines this screen shows from which distance:", "Welche Zeilen dieser Bildschirm aus welchem Abstand zeigt:";
    FROM_HERE: "From here: {0} to {1} logMAR.", "Von hier: {0} bis {1} logMAR.";
    CARD_LETTERS: "Write a card of letters", "Eine Buchstabenkarte schreiben";
    CARD_RINGS: "Write a card of rings", "Eine Ringkarte schreiben";
    NEAR_CARD: "For 40 cm, to be printed at 100 %; every card has an order of its own.", "Für 40 cm, mit 100 % zu drucken; jede Karte hat ihre eigene Folge.";
    FOCUSES: "At {0} m the eye focuses {1} D nearer than for far: note the correction worn; who cannot focus needs a working lens of {2} D more.",
        "In {0} m stellt das Auge {1} dpt näher ein als für die Ferne: die getragene Korrektur vermerken; wer nicht einstellen kann, braucht ein Glas von {2} dpt mehr.";
    STAND_FARTHER: "For 6/4.8 ({0} logMAR) stand {1} m away or farther, or take a screen with pixels of {2} mm or less.",
        "Für 6/4,8 ({0} logMAR) mindestens {1} m Abstand halten oder einen Bildschirm mit Pixeln von höchstens {2} mm nehmen.";
    LINES_SHOWN: "Lines and distances: {0} of {1} lines from here", "Zeilen und Abstände: {0} von {1} Zeilen von hier";

    AGE: "Age", "Alter";
    AGE_HINT: "age", "Alter";
    SEX_NOT_TOLD: "sex not told", "Geschlecht nicht genannt";
    FEMALE: "female", "weiblich";
    MALE: "male", "männlich";
    LOOKED_AFTER: "I have looked after this", "Darum habe ich mich gekümmert";
    BEING_ASKED: "The system is being asked.", "Das System wird gefragt.";
    EYES: "Eyes", "Augen";
    MORE: "More", "Mehr";
    TONES_AS_PLANNED: "tones as the plan says", "Töne wie im Plan";
    STEADY: "steady", "stetig";
    PULSED: "pulsed", "gepulst";
    WARBLE: "warble", "gewobbelt";
    TONES_REMARK: "Pulsed where the ears ring. A warble swings by 5 %, 5 times a second; a plan file can have it otherwise.",
        "Gepulst, wo die Ohren klingen. Ein Wobbelton schwankt um 5 %, 5-mal in der Sekunde; eine Plandatei kann es anders haben.";
    EXTENDED: "also 9 to 16 kHz", "auch 9 bis 16 kHz";
    EXTENDED_REMARK: "Where the earphone's type has references there: circumaural ones alone (ISO 389-5). They are not masked.",
        "Wo die Hörerart dort Bezugswerte hat: nur ohrumschließende (ISO 389-5). Sie werden nicht verdeckt.";
    OUTPUT_FIRST: "Choose an output first.", "Erst einen Ausgang wählen.";
    ROOM_HINT: "a room that was measured today (TOML), or none", "ein heute gemessener Raum (TOML), oder keiner";
    ROOM_LOWEST: "{0}. Lowest level that it allows, dB HL: {1}", "{0}. Tiefster Pegel, den er zulässt, dB HL: {1}";
    ROOM_NONE: "Without one nobody can tell whether the room is quiet enough. The bench measures it.",
        "Ohne ihn kann niemand sagen, ob der Raum ruhig genug ist. Die Werkbank misst ihn.";
    NOISE_VOIDS: "noise makes a presentation void", "Lärm macht eine Darbietung ungültig";
    MICROPHONE: "Microphone", "Mikrofon";
    MICROPHONE_HINT: "the microphone that listens (TOML)", "das Mikrofon, das mithört (TOML)";
    WRITTEN: "Written: {0}", "Geschrieben: {0}";
}
