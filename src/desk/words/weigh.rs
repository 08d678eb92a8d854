//! The page Weigh.

super::texts! {
    HEARING: "Hearing", "Hören";
    SIGHT: "Sight", "Sehen";
    FITS: "as expected", "wie erwartet";
    DOUBTFUL: "outside of what is usual", "außerhalb des Üblichen";
    MISFITS: "far outside", "weit außerhalb";
    COUNTS: "{0} tones, {1} silent, {2} repeated, {3} rings; {4} void, {5} taken back; {6} s; set-up '{7}'",
        "{0} Töne, {1} still, {2} wiederholt, {3} Sehzeichen; {4} ungültig, {5} zurückgenommen; {6} s; Aufbau „{7}“";
    LEANING: ", leaning", ", gestützt";
    NO_RESPONSE: "no response at {0}", "keine Antwort bei {0}";
    OR_BETTER: "{0} or better", "{0} oder besser";
    OR_POORER: "{0} or poorer", "{0} oder schlechter";
    NOT_TESTED: "not tested", "nicht geprüft";
    DECLINED: "declined", "abgelehnt";
    STOPPED: "stopped", "beendet";
    INTERVAL: "{0} to {1}", "{0} bis {1}";
    AGAIN: "{0}, {1}: measured again, {2}.", "{0}, {1}: noch einmal gemessen, {2}.";
    MASKED: "{0}, {1}: {2}.", "{0}, {1}: {2}.";
    OTHER_MAY_ANSWER: "From 40 dB HL the other ear may answer (ISO 8253-1); here: {0}.",
        "Ab 40 dB HL kann das andere Ohr antworten (ISO 8253-1); hier: {0}.";
    CLOSE: "Close the visit and write its findings", "Den Termin schließen und die Befunde schreiben";
    REFERENCE: "Save these ears as the reference", "Diese Ohren als Bezug sichern";
    NEW_VISIT: "New visit", "Neuer Termin";
    MEASURED: "What was measured, and how exactly", "Was gemessen wurde, und wie genau";
    NO_THRESHOLD: "Hearing: no threshold yet.", "Hören: noch keine Schwelle.";
    THRESHOLDS_IN: "Thresholds in {0} with their standard uncertainty, and the 90 % interval of the midpoint from the answers alone",
        "Schwellen in {0} mit ihrer Standardunsicherheit, und der 90-%-Bereich des Mittelpunkts aus den Antworten allein";
    NINETY: "90 %", "90 %";
    AGREED: "How far the answers agree", "Wie weit die Antworten übereinstimmen";
    TELL_MOST: "What would tell most, a minute", "Was je Minute am meisten sagen würde";
    BESIDE_GUESSING: "By hand: beside guessing", "Von Hand: neben Raten";
    LOOK_FURTHER: "What gives reason to look further", "Was Anlass gibt, weiter zu untersuchen";
    NOTHING_FOUND: "Nothing among the criteria that are looked at.", "Nichts unter den Kriterien, die betrachtet werden.";
    SOURCE: "{0}. Source: {1}", "{0}. Quelle: {1}";
    EXPECTED: "Expected: {0}", "Erwartet: {0}";
    URGENCY_NOTE: "to know", "zur Kenntnis";
    URGENCY_ROUTINE: "routine referral", "gewöhnliche Überweisung";
    URGENCY_SOON: "soon", "bald";
    URGENCY_URGENT: "the same day", "am selben Tag";
    AGAINST_EXAMINER: "0 dB is the examiner's own threshold: a loss of the examiner's shifts every level by as much. These are not dB HL.",
        "0 dB ist die eigene Schwelle der untersuchenden Person: ihr Hörverlust verschiebt jeden Pegel um ebenso viel. Das sind nicht dB HL.";
    WRITTEN_IN: "Written: findings.json, trials.csv and journal.jsonl in {0}", "Geschrieben: findings.json, trials.csv und journal.jsonl in {0}";
}
