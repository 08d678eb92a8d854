//! What frames every page: the path, the sentence, the keys, the lock.

super::texts! {
    PREPARE: "Prepare", "Vorbereiten";
    HEAR: "Hear", "Hören";
    SEE: "See", "Sehen";
    BEDSIDE: "Bedside", "Von Hand";
    WEIGH: "Weigh", "Abwägen";
    HAND_OVER: "Hand over", "Übergeben";
    PEOPLE: "People", "Personen";
    BENCH: "Bench", "Werkbank";
    PRACTISE: "Practise", "Üben";
    OWN_DESK: "Desk", "Pult";
    KEYS: "Keys", "Tasten";
    HELPER: "The helper: {0}", "Die Hilfe: {0}";
    SOUND_AGAIN: "Open the sound again", "Ton wieder öffnen";
    HANDS_REST: "Hands rest on the ridges of F and J.", "Die Hände ruhen auf den Stegen von F und J.";
    OWN_KEYS_OF_BEDSIDE: "The page Bedside shows its own keys", "Die Seite „Von Hand“ zeigt ihre eigenen Tasten";
    PERSONS_KEY: "The person: {0}, I hear it", "Die Person: {0}, ich höre es";
    DIRECTIONS: "Directions lie as they point:", "Richtungen liegen, wie sie zeigen:";

    TONE: "present the tone of the dial", "den eingestellten Ton darbieten";
    SILENCE: "present silence", "Stille darbieten";
    MARK: "mark: heard", "vermerken: gehört";
    LOUDER: "louder by 5 dB", "5 dB lauter";
    SOFTER: "softer by 5 dB", "5 dB leiser";
    LOWER: "lower frequency", "tiefere Frequenz";
    HIGHER: "higher frequency", "höhere Frequenz";
    OTHER_EAR: "the other ear", "das andere Ohr";
    NOISE: "noise at the other ear, or none", "Rauschen am anderen Ohr, oder keines";
    NOISE_LOUDER: "noise louder by 5 dB", "Rauschen 5 dB lauter";
    NOISE_SOFTER: "noise softer by 5 dB", "Rauschen 5 dB leiser";
    METHOD: "by series or all together", "einzeln oder alle zusammen";
    AUTOMATIC: "procedure or hand", "Verfahren oder Hand";
    TAKE_BACK: "take back the last", "das Letzte zurücknehmen";
    PAUSE: "pause or go on", "anhalten oder weiter";
    STOP: "silence now, and pause", "sofort still, und anhalten";
    CONFIRM: "go on with what waits", "weiter mit dem, was wartet";
    THESE_KEYS: "these keys", "diese Tasten";
    FULL_SCREEN: "the person's window over the whole display", "Fenster der Person über den ganzen Bildschirm";
    LOCK: "lock the desk", "das Pult sperren";
    CAUTIONS_READ: "before a visit: the cautions are read", "vor einem Termin: Hinweise gelesen";

    HEARS: "the person: I hear it", "die Person: ich höre es";
    UNSURE: "the person: not sure", "die Person: unsicher";
    POINTS: "the person: {0}", "die Person: {0}";
    PAGE_OF: "page {0}", "Seite {0}";
}
