//! The person's window. It is in the person's language, which need not be the examiner's.

super::texts! {
    KIND_WORD_1: "Thank you. Go on like this.", "Danke. Machen Sie so weiter.";
    KIND_WORD_2: "Some are small on purpose. Take your time.", "Manche sind mit Absicht klein. Nehmen Sie sich Zeit.";
    READ_THE_CARD: "Please read from the card.", "Bitte lesen Sie von der Karte.";
    LOOK_AT_THE_HAND: "Please look at the examiner's hand.", "Bitte schauen Sie auf die Hand gegenüber.";
    WHEN_READY: "Press Enter when you are ready.", "Drücken Sie Enter, wenn Sie bereit sind.";
    HEARING_TASK: "Press whenever you hear a tone, however soft it is.", "Drücken Sie immer, wenn Sie einen Ton hören, auch wenn er ganz leise ist.";
    HEARING_TASK_2: "Some tones are very soft, and there are long silences. Take your time.",
        "Manche Töne sind sehr leise, und dazwischen ist es lange still. Nehmen Sie sich Zeit.";
    WHERE_GAP: "Where is the gap? Guess when you are not sure.", "Wo ist die Lücke? Raten Sie, wenn Sie unsicher sind.";
    WHERE_ARMS: "Where do the arms point? Guess when you are not sure.", "Wohin zeigen die Arme? Raten Sie, wenn Sie unsicher sind.";
    SAY_LETTERS: "Say the letters you see. Guess when you are not sure.", "Nennen Sie die Buchstaben, die Sie sehen. Raten Sie, wenn Sie unsicher sind.";
    NOT_SURE: "not sure", "unsicher";
    PLEASE_GUESS: "That is all right. Say or press what it looks most like.", "Das macht nichts. Sagen oder drücken Sie, wonach es am ehesten aussieht.";
    SIDES_TASK: "On which side was the tone?", "Auf welcher Seite war der Ton?";
    SIDE_LEFT: "left", "links";
    SIDE_RIGHT: "right", "rechts";
    TURNS_TASK: "Listen: the tone is in 1 or in 2.", "Hören Sie: der Ton ist in 1 oder in 2.";
    WHICH_TURN: "Which had the tone? If you are not sure, please guess.", "Wo war der Ton? Wenn Sie unsicher sind, raten Sie bitte.";
    I_HEAR_IT: "I hear it", "Ich höre es";
    KEY: "key {0}", "Taste {0}";
    PLEASE_WAIT: "Please wait.", "Bitte warten.";
    RESTING: "A short rest. Please wait.", "Eine kurze Pause. Bitte warten.";
    THANKS: "That was all. Thank you.", "Das war alles. Vielen Dank.";
    LAY_CARD: "Lay a bank or identity card here", "Hier eine Bank- oder Ausweiskarte auflegen";

    LEFT_COVERED: "left eye covered", "linkes Auge verdeckt";
    RIGHT_COVERED: "right eye covered", "rechtes Auge verdeckt";
    BOTH_OPEN: "both eyes open", "beide Augen offen";
    RIGHTWARD: "right", "rechts";
    UP_RIGHT: "up and right", "oben rechts";
    UPWARD: "up", "oben";
    UP_LEFT: "up and left", "oben links";
    LEFTWARD: "left", "links";
    DOWN_LEFT: "down and left", "unten links";
    DOWNWARD: "down", "unten";
    DOWN_RIGHT: "down and right", "unten rechts";
}
