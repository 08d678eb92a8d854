//! Series done by hand: counts, cautions, and the signs that mean: refer now.

use super::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    ("left left out", "links ausgelassen"),
    ("right left out", "rechts ausgelassen"),
    ("both sides at once", "beide Seiten zugleich"),
    ("left alone", "links allein"),
    ("right alone", "rechts allein"),
    ("left faint", "links schwach"),
    ("right faint", "rechts schwach"),
    ("left strong", "links stark"),
    ("right strong", "rechts stark"),
    ("scent", "Duft"),
    (
        "answered where nothing was presented",
        "beantwortet, wo nichts dargeboten war",
    ),
    (
        "'More' or 'fewer than guessing gives' is said where the exact one-sided probability, given the \
         answers and the law of the draws, is at most 0.05 / (2 x {} series): over all series together \
         such a statement is made of somebody whose answers tell nothing at most 5 times in 100. Side \
         differences stand out where Fisher's exact probability is at most 0.05 divided by their number.",
        "„Mehr“ oder „weniger, als Raten gibt“ steht, wo die exakte einseitige Wahrscheinlichkeit, bei \
         diesen Antworten und dem Gesetz der Ziehungen, höchstens 0,05 / (2 x {0} Serien) ist: über alle \
         Serien zusammen wird das von jemandem, dessen Antworten nichts besagen, höchstens 5 von 100 Malen \
         gesagt. Seitenunterschiede fallen auf, wo Fishers exakte Wahrscheinlichkeit höchstens 0,05 \
         geteilt durch ihre Zahl ist.",
    ),
    (
        "The examiner sees the prompt, is not blind to it, and can give signs without wanting to; \
         strengths by hand are not calibrated.",
        "Wer untersucht, sieht die Aufgabe, ist nicht verblindet und kann ungewollt Zeichen geben; Stärken \
         von Hand sind nicht kalibriert.",
    ),
    (
        "Fewer right answers than guessing gives means just that. It does not say why; misunderstanding, \
         swapped sides, tiredness and illness can do it.",
        "Weniger richtige Antworten, als Raten gibt, heißt genau das. Es sagt nicht, warum; \
         Missverständnis, vertauschte Seiten, Müdigkeit und Krankheit können es bewirken.",
    ),
    (
        "Agreement is no proof of health, and disagreement no proof of its absence: of 133 people whose \
         findings did not fit together 71 (53 %) had something abnormal as well.",
        "Übereinstimmung beweist keine Gesundheit, und ihr Fehlen nicht das Gegenteil: von 133 Menschen, \
         deren Befunde nicht zusammenpassten, war bei 71 (53 %) auch etwas krankhaft.",
    ),
    (
        "Voiding prompts by what they were, or by what was answered, shifts every count: void only what \
         was not done as shown, before the answer.",
        "Wer Aufgaben danach verwirft, was sie waren oder was geantwortet wurde, verschiebt jede Zahl: nur \
         verwerfen, was nicht wie angezeigt geschah, und vor der Antwort.",
    ),
    (
        "Somebody who is blind in a half, or in an eye, rightly answers 'nothing' there: such misses are \
         what is expected, and are not counted against the answers.",
        "Wer in einer Hälfte oder auf einem Auge blind ist, antwortet dort mit Recht „nichts“: solche \
         Auslassungen sind zu erwarten und zählen nicht gegen die Antworten.",
    ),
    (
        "Normal to confrontation is not a full field. Of 512 fields confrontation found 50 % of the \
         defects, at a specificity of 93.4 %; single and double finger counting found 31 %, at 99 %.",
        "Unauffällig bei Konfrontation ist kein volles Gesichtsfeld. Von 512 Feldern fand sie 50 % der \
         Ausfälle, bei einer Spezifität von 93,4 %; einfaches und doppeltes Fingerzählen fand 31 %, bei 99 \
         %.",
    ),
    (
        "The best single step, a small red target, finds 73 % (95 % interval 63 to 82); moved in from the \
         side 74.4 %, at a specificity of 93.0 %.",
        "Der beste einzelne Schritt, ein kleines rotes Ziel, findet 73 % (95-%-Bereich 63 bis 82); von der \
         Seite hereingeführt 74,4 %, bei einer Spezifität von 93,0 %.",
    ),
    (
        "One side left out only where both are shown may be extinction, inattention or a shallow defect; a \
         cancellation task screens better for neglect.",
        "Eine Seite nur dort auszulassen, wo beide gezeigt werden, kann Extinktion, Unaufmerksamkeit oder \
         ein flacher Ausfall sein; eine Durchstreichaufgabe siebt Neglect besser.",
    ),
    (
        "A field that is an angle is twice as wide in cm at two metres. One that is not may be so for \
         several reasons: distance held badly, attention, understanding, illness.",
        "Ein Feld, das ein Winkel ist, ist auf zwei Meter doppelt so viele cm weit. Eines, das es nicht \
         ist, kann mehrere Gründe haben: schlecht gehaltene Entfernung, Aufmerksamkeit, Verständnis, \
         Krankheit.",
    ),
    (
        "Telling scents apart separates weakly: 90 % sensitivity at 55.7 % specificity among 70 people \
         acting. Self-reported smell agrees poorly with tests. Never a verdict.",
        "Düfte zu unterscheiden trennt schwach: 90 % Sensitivität bei 55,7 % Spezifität unter 70 Menschen, \
         die eine Rolle spielten. Selbst berichtetes Riechen stimmt schlecht mit Prüfungen überein. Nie \
         ein Urteil.",
    ),
    (
        "At arm's length a strong rub that is not heard had a specificity of 100 %, a faint rub that is \
         heard a negative predictive value of 99 % for hearing within 25 dB (442 ears, people of a \
         neurology clinic; the article has a correction). Elsewhere 91 % sensitivity (n = 125).",
        "Auf Armlänge hatte ein starkes Reiben, das nicht gehört wird, eine Spezifität von 100 %, ein \
         schwaches, das gehört wird, einen negativen Vorhersagewert von 99 % für Hören bis 25 dB (442 \
         Ohren, Menschen einer neurologischen Klinik; der Artikel hat eine Berichtigung). Anderswo 91 % \
         Sensitivität (n = 125).",
    ),
    (
        "Numbness that ends at the midline, and vibration felt less on one side of the forehead, separate \
         nothing: 20 % against 7.5 % and 95 % against 86 %, neither significant, n = 100. They can be \
         noted and are never scored.",
        "Taubheit, die an der Mittellinie endet, und Vibration, die auf einer Seite der Stirn schwächer \
         gespürt wird, trennen nichts: 20 % gegen 7,5 % und 95 % gegen 86 %, beides nicht signifikant, n = \
         100. Sie können vermerkt werden und zählen nie.",
    ),
    (
        "There are no norms for same or different on the face.",
        "Für gleich oder verschieden im Gesicht gibt es keine Normen.",
    ),
    ("left brow", "linke Stirn"),
    ("right brow", "rechte Stirn"),
    ("left cheek", "linke Wange"),
    ("right cheek", "rechte Wange"),
    ("left jaw", "linker Kiefer"),
    ("right jaw", "rechter Kiefer"),
    ("smell", "Riechen"),
    ("field, sides", "Gesichtsfeld, Seiten"),
    ("field, quadrants", "Gesichtsfeld, Quadranten"),
    ("field, red target", "Gesichtsfeld, rotes Ziel"),
    ("field, fingers counted", "Gesichtsfeld, gezählte Finger"),
    (
        "field, extent at 1 and 2 m",
        "Gesichtsfeld, Ausdehnung auf 1 und 2 m",
    ),
    ("touch on the face", "Berührung im Gesicht"),
    (
        "touch compared between the sides",
        "Berührung im Seitenvergleich",
    ),
    ("finger rub", "Fingerreiben"),
    ("whispered triples", "geflüsterte Dreiergruppen"),
    ("tuning fork", "Stimmgabel"),
    ("a measurement, not a choice", "eine Messung, keine Auswahl"),
    (
        "{} of {} right so far; under way",
        "bisher {0} von {1} richtig; noch im Gang",
    ),
    (
        "{} of {} right; too few answers to say more",
        "{0} von {1} richtig; zu wenige Antworten für mehr",
    ),
    (
        "{} of {} right, guessing gives {}: {} (p = under {}, limit {})",
        "{0} von {1} richtig, Raten gibt {2}: {3} (p unter {4}, Grenze {5})",
    ),
    (
        "{} of {} right, guessing gives {}: {} (p = {}, limit {})",
        "{0} von {1} richtig, Raten gibt {2}: {3} (p = {4}, Grenze {5})",
    ),
    ("more than guessing gives", "mehr, als Raten gibt"),
    (
        "more than a quarter of the blanks were answered: hits and side differences are not to be read",
        "mehr als ein Viertel der Leerproben wurde beantwortet: Treffer und Seitenunterschiede sind nicht \
         zu deuten",
    ),
    (
        "ended before its last prompt: a series that is ended because of how it went shifts every count",
        "vor der letzten Aufgabe beendet: eine Reihe, die wegen ihres Verlaufs beendet wird, verschiebt \
         jede Zählung",
    ),
    ("fewer than guessing gives", "weniger, als Raten gibt"),
    (
        "as many as guessing can give",
        "so viele, wie Raten geben kann",
    ),
    (
        "sudden loss of sight or of hearing, also where it came back",
        "plötzlicher Verlust von Sehen oder Hören, auch wenn er zurückging",
    ),
    (
        "a new loss of field, above all in both eyes",
        "ein neuer Gesichtsfeldausfall, vor allem an beiden Augen",
    ),
    (
        "new double vision, a drooping lid, or unequal pupils, above all with headache or pain",
        "neue Doppelbilder, ein hängendes Lid oder ungleiche Pupillen, vor allem mit Kopfschmerz oder Schmerz",
    ),
    (
        "a face, arm or speech that became weak within hours or days",
        "Gesicht, Arm oder Sprache, die in Stunden oder Tagen schwach wurden",
    ),
    (
        "swollen discs, or headache with vomiting or clouded mind",
        "Stauungspapillen, oder Kopfschmerz mit Erbrechen oder getrübtem Bewusstsein",
    ),
    (
        "new trouble with swallowing, speaking or breathing",
        "neue Mühe beim Schlucken, Sprechen oder Atmen",
    ),
    (
        "numb face with a weak eye closure or a red eye: the cornea is in danger",
        "taubes Gesicht mit schwachem Lidschluss oder rotem Auge: die Hornhaut ist in Gefahr",
    ),
    (
        "new unsteadiness with vertigo, or a head injury",
        "neue Unsicherheit mit Schwindel, oder eine Kopfverletzung",
    ),
    (
        "The whispered voice found 90 to 100 % of losses at 70 to 87 % specificity, in hands that differ: \
         arm's length, from behind, the other ear masked, after breathing out. So few parts are right by \
         guessing that fewer than that cannot be told.",
        "Die Flüstersprache fand 90 bis 100 % der Verluste bei 70 bis 87 % Spezifität, in verschiedenen \
         Händen: auf Armlänge, von hinten, das andere Ohr vertäubt, nach dem Ausatmen. So wenige Teile \
         sind durch Raten richtig, dass weniger nicht zu erkennen ist.",
    ),
    (
        "A fork that is struck can be felt as well as heard: hold it in the air beside the ear. It is no \
         threshold.",
        "Eine angeschlagene Stimmgabel ist auch zu spüren: neben dem Ohr in die Luft halten. Sie ist keine \
         Schwelle.",
    ),
    ("struck", "angeschlagen"),
    ("upper right", "oben rechts"),
    ("lower right", "unten rechts"),
    ("upper left", "oben links"),
    ("lower left", "unten links"),
    ("brow", "Stirn"),
    ("cheek", "Wange"),
    ("jaw", "Kiefer"),
    ("same", "gleich"),
    ("different", "verschieden"),
    ("'different' of the same", "„verschieden“ bei gleichen"),
    ("{}, by {}", "{0}, je {1}"),
    ("yes", "ja"),
    ("nothing", "nichts"),
    ("one", "eins"),
    ("two", "zwei"),
    ("five", "fünf"),
    ("{} of 3", "{0} von 3"),
    ("90 cm or more", "90 cm oder mehr"),
    ("nostril", "Nasenloch"),
    ("eye", "Auge"),
    ("ear", "Ohr"),
];
