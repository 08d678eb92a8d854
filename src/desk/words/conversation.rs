//! What is said and entered before anything is measured.

super::texts! {
    CONVERSATION: "Conversation", "Gespräch";
    BEFORE_MEASURING: "Before anything is measured", "Bevor etwas gemessen wird";
    PERSONS_LANGUAGE: "The person's window speaks", "Das Fenster der Person spricht";
    CONSENT: "Agrees to be measured, and knows that answers are held against each other",
        "Willigt in die Messung ein und weiß, dass Antworten miteinander verglichen werden";
    IDENTITY: "Identity", "Identität";
    IDENTITY_HINT: "how it was seen who this is", "woran zu sehen war, wer das ist";
    QUESTION: "Question", "Frage";
    QUESTION_HINT: "why they come", "warum sie kommen";
    PRESENT: "Present", "Anwesend";
    PRESENT_HINT: "who else is there; an interpreter", "wer noch da ist; Dolmetschen";
    GLASSES: "Glasses", "Brille";
    GLASSES_HINT: "glasses or lenses worn now", "Brille oder Linsen, die getragen werden";
    REFER_NOW: "Not to wait for this measurement: {0}", "Nicht auf diese Messung warten: {0}";
    EARS_TOLD: "What the person tells of the ears", "Was die Person von den Ohren erzählt";
    LOOKED_INTO: "Both ears were looked into", "In beide Ohren wurde geschaut";
    BETTER_EAR: "Which ear hears better?", "Welches Ohr hört besser?";
    RIGHT: "right", "rechts";
    LEFT: "left", "links";
    ALIKE: "alike", "gleich";
    NOT_ASKED: "not asked", "nicht gefragt";
    YES: "yes", "ja";
    NO: "no", "nein";
    SUDDEN_CHANGE: "Did hearing go within three days?", "Ging das Hören binnen drei Tagen verloren?";
    PAIN: "Does an ear hurt?", "Schmerzt ein Ohr?";
    DISCHARGE: "Does an ear run?", "Läuft ein Ohr?";
    DIZZINESS: "Are you dizzy?", "Ist Ihnen schwindlig?";
    RINGING: "Does an ear ring?", "Klingt ein Ohr?";
    RECENT_NOISE: "Were you in loud noise in the last day?", "Waren Sie am letzten Tag in lautem Lärm?";
    SOUND_SENSITIVITY: "Are plain sounds too loud for you?", "Sind Ihnen gewöhnliche Geräusche zu laut?";
    IMPLANT_OR_AID: "Do you have an implant or a hearing aid?", "Haben Sie ein Implantat oder ein Hörgerät?";
}
