//! The page Hear.

super::texts! {
    TAKE_OVER: "Take over by hand", "Von Hand übernehmen";
    LET_PROCEDURE: "Let the procedure present", "Das Verfahren darbieten lassen";
    BY_ASCENTS: "Measure by ascents", "Aufsteigend messen";
    ALL_TOGETHER: "Estimate all together", "Alle zusammen schätzen";
    MARK_HEARD: "Mark: heard", "Vermerken: gehört";
    CONTINUE: "Continue", "Weiter";
    PAUSE: "Pause", "Anhalten";
    TAKE_BACK: "Take back", "Zurücknehmen";
    SILENCE_NOW: "Silence now", "Sofort still";
    RANDOM_SILENCE: "The silence before a tone is drawn at random, also by hand: no key can be heard as a sign.",
        "Die Stille vor einem Ton ist zufällig, auch von Hand: keine Taste verrät etwas.";
    BY_HAND: "By hand", "Von Hand";
    SOFTER: "Softer", "Leiser";
    LOUDER: "Louder", "Lauter";
    LOWER: "Lower", "Tiefer";
    HIGHER: "Higher", "Höher";
    OTHER_EAR: "Other ear", "Anderes Ohr";
    NOISE: "Noise", "Rauschen";
    NO_NOISE: "No noise", "Kein Rauschen";
    NOISE_DOWN: "Noise down", "Leiser rauschen";
    NOISE_UP: "Noise up", "Lauter rauschen";
    TONE: "Tone", "Ton";
    SILENCE: "Silence", "Stille";
    END_EARLY: "End before it is done", "Vor dem Ende beenden";
    DECLINED: "declined", "abgelehnt";
    STOP: "stop", "beenden";
    RIGHT_EAR: "Right ear", "Rechtes Ohr";
    LEFT_EAR: "Left ear", "Linkes Ohr";
    RIGHT_EYE: "Right eye", "Rechtes Auge";
    LEFT_EYE: "Left eye", "Linkes Auge";
    BOTH_EYES: "Both eyes", "Beide Augen";
    NOISE_AT: "{0}: noise, {1} effective", "{0}: Rauschen, effektiv {1}";

    NOTHING_ANSWERED: "nothing was answered yet, so nothing is masked", "noch nichts beantwortet, also nichts vertäubt";
    OTHER_UNKNOWN: "masking is needed, and the other ear is not known yet", "Vertäubung ist nötig, das andere Ohr noch nicht bekannt";
    MASK_SETTLED: "masked; it stayed from {0} to {1} dB of noise", "vertäubt; gleich geblieben von {0} bis {1} dB Rauschen";
    MASK_NOT_NEEDED: "no masking needed", "keine Vertäubung nötig";
    MASK_FAILED: "could not be masked: {0}", "nicht zu vertäuben: {0}";
    MASK_NEXT: "masking is needed: noise of {0} dB next, with the tone at {1} dB",
        "Vertäubung ist nötig: als Nächstes {0} dB Rauschen, mit dem Ton bei {1} dB";
    OTHER_MASKED: "other ear masked{0}{1}", "anderes Ohr vertäubt{0}{1}";
    BY_NOISE: " by noise of {0} to {1} dB effective level", " durch Rauschen von {0} bis {1} dB Effektivpegel";
    WITHOUT_NOISE: "; answered at {0} without noise", "; ohne Rauschen beantwortet bei {0}";
    MASK_NOT_DONE: "no threshold: the other ear may have answered, and masking was not done{0}",
        "keine Schwelle: das andere Ohr kann geantwortet haben, vertäubt wurde nicht{0}";
    MASK_COULD_NOT: "no threshold: could not be masked ({0}){1}", "keine Schwelle: nicht zu vertäuben ({0}){1}";
}
