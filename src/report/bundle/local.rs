//! Codes of our own, where no public one says it. Their system says that they are local, and goes
//! along in the bundle.

use serde_json::{Value, json};

/// `.invalid` leads nowhere (RFC 2606): a name, no address, and no claim to be anybody's standard.
pub(super) const SYSTEM: &str = "https://veridical.invalid/local/codes";
/// Items of a worksheet, which may be a clinic's own.
pub(super) const WORKSHEET: &str = "https://veridical.invalid/local/worksheet";
/// Codes of persons, as the clinic gives them.
pub(super) const PERSONS: &str = "https://veridical.invalid/local/persons";

/// Codes of people who use the program.
pub(super) const USERS: &str = "https://veridical.invalid/local/users";

/// Code, display, definition.
const CODES: &[(&str, &str, &str)] = &[
    (
        "visit",
        "Visit",
        "What was measured and observed in one sitting with one person.",
    ),
    (
        "hearing-threshold",
        "Hearing threshold",
        "Threshold of hearing by air conduction, dB HL, at a frequency for which no public code was found.",
    ),
    (
        "level-re-examiner",
        "Level against the examiner's ears",
        "Threshold against the threshold of the examiner's own ears on the same set-up. No hearing level.",
    ),
    (
        "level-re-full-scale",
        "Level re full scale",
        "Threshold re digital full scale; nothing is known of the air. No hearing level.",
    ),
    (
        "mean-500-1000-2000-4000",
        "Mean of thresholds at 500, 1000, 2000 and 4000 Hz",
        "Arithmetic mean of the four thresholds of one ear, dB HL; absent where one is missing.",
    ),
    (
        "who-2021-grade",
        "Grade of hearing, WHO 2021",
        "Grade of the person by the better ear (World report on hearing, 2021, table 1.3).",
    ),
    (
        "screening",
        "Screening at one level",
        "Whether tones at one fixed level were heard. No threshold and no diagnosis.",
    ),
    (
        "acuity-as-worn",
        "Visual acuity with the correction worn",
        "Acuity with whatever correction the person wore; it is neither without correction nor best corrected.",
    ),
    (
        "acuity-both-eyes",
        "Visual acuity of both eyes",
        "Acuity with both eyes open, where no public code says how it was corrected.",
    ),
    (
        "consistency-hearing",
        "Consistency of the answers to tones",
        "How far the answers of one sitting agree with each other. It does not say why they agree or do not.",
    ),
    (
        "consistency-sight",
        "Consistency of the answers to optotypes",
        "How far the answers of one sitting agree with each other. It does not say why they agree or do not.",
    ),
    (
        "by-hand",
        "Observed by hand",
        "Lines of the worksheet and series at the bedside.",
    ),
    (
        "series",
        "Series at the bedside",
        "Prompts in an order drawn by chance and sealed before the first, presented by hand.",
    ),
    ("frequency", "Frequency", "Frequency of the tone."),
    (
        "midpoint",
        "Midpoint",
        "The level or size that is as often answered as not.",
    ),
    (
        "sd-answers",
        "Standard deviation from the answers",
        "Standard deviation of the midpoint, from the answers alone.",
    ),
    (
        "u-combined",
        "Combined standard uncertainty",
        "Answers, calibration, fit, room or distance and pixel combined; double it for about 95 %.",
    ),
    (
        "interval-90",
        "90 % interval",
        "The central 90 % of what is believed of the midpoint.",
    ),
    (
        "masking",
        "Masking",
        "Whether the other ear could have answered, and what was done about it.",
    ),
    (
        "masking-level",
        "Masking levels",
        "Softest and loudest noise at the other ear over which the threshold stayed, effective masking level.",
    ),
    (
        "highest-level",
        "Highest level presented",
        "The highest level that was presented and not answered. It is no threshold.",
    ),
    (
        "answered-unmasked",
        "Answered without masking",
        "Where either ear answered; this ear's threshold is there or poorer.",
    ),
    (
        "as-obtained",
        "Value as obtained",
        "The figure that came out although the answers do not agree with one another. It is no threshold and no acuity.",
    ),
    (
        "presentations",
        "Presentations",
        "Own presentations that measured.",
    ),
    (
        "repeat",
        "Second measurement",
        "The reading when it was measured again.",
    ),
    (
        "at-least",
        "At least",
        "What the mean is at least, where a member has only a bound.",
    ),
    ("level", "Level", "The level presented."),
    (
        "answered",
        "Answered",
        "Presentations answered, of those that count.",
    ),
    (
        "log-mar",
        "logMAR",
        "Decimal logarithm of the minimum angle of resolution in minutes of arc, at the 60 % of ISO 8596.",
    ),
    (
        "decimal-acuity",
        "Decimal acuity",
        "1 over the minimum angle of resolution in minutes of arc.",
    ),
    (
        "chart-log-mar",
        "logMAR on a chart",
        "What a chart read letter by letter would say.",
    ),
    (
        "size-bound",
        "Bound of the sizes shown",
        "The smallest or largest size that the screen shows at the distance.",
    ),
    ("correction", "Correction", "What correction was worn."),
    (
        "optotype",
        "Optotype",
        "The set of optotypes, and whether they were crowded.",
    ),
    (
        "named-rightly",
        "Named rightly",
        "Optotypes named rightly, of those shown at one size.",
    ),
    (
        "acuity-pinhole",
        "Visual acuity through a pinhole",
        "Acuity through a pinhole, which takes most of the blur of a wrong refraction away.",
    ),
    (
        "asked-how",
        "How the eye was asked",
        "In which way optotypes were shown, and through what.",
    ),
    (
        "m-units",
        "M units",
        "Size of what was just read near: 1 M is 5 minutes of arc at 1 m.",
    ),
    (
        "rows-score",
        "Score of rows",
        "Largest row + 0.1 - 0.02 for each letter named rightly, down to the row that ended it.",
    ),
    (
        "size-asked",
        "Size asked for",
        "The one size that was shown.",
    ),
    (
        "size-read",
        "Size read",
        "The one size that was asked for was read.",
    ),
    (
        "size-not-read",
        "Size not read",
        "The one size that was asked for was not read.",
    ),
    (
        "passed-by-guessing",
        "Passed by guessing",
        "How often guessing alone passes the one size.",
    ),
    (
        "vision-impairment",
        "Category of vision impairment",
        "Category of ICD-11 by the better eye; the note says which acuity it rests on.",
    ),
    (
        "functional-acuity",
        "Functional acuity score",
        "100 for logMAR 0 throughout, 50 for 1.0; of both eyes and each, best corrected.",
    ),
    (
        "acuity-impairment",
        "Impairment of acuity alone",
        "100 less the functional acuity score, without the field.",
    ),
    (
        "extent",
        "Presented beyond measuring",
        "What was presented to see how the answers agree; the error rates are those of as much.",
    ),
    (
        "measuring",
        "Nothing beyond measuring",
        "Silent presentations and second measurements only.",
    ),
    (
        "sweeps",
        "Sweeps",
        "Sweeps of level, and tones in both ears.",
    ),
    ("choices", "Choices", "Forced choices as well."),
    (
        "silent-answered",
        "Silent presentations answered",
        "Answers where nothing was presented, of all such slots.",
    ),
    (
        "check",
        "Check",
        "One sign by which the answers were looked at: counts, what was seen, what would be expected.",
    ),
    (
        "right-answers",
        "Right answers",
        "Right answers, of those that count.",
    ),
    (
        "false-alarms",
        "Answers where nothing was presented",
        "Answers to blanks, shams and still hands.",
    ),
    (
        "hits",
        "Hits",
        "What was presented and noticed, by where or how.",
    ),
    (
        "side-left-out",
        "One side left out",
        "One of two sides was left out, of all prompts of both sides at once.",
    ),
    (
        "field-width",
        "How far out a target is seen",
        "From the middle to where the target is first seen, at the distance said, in the plane there.",
    ),
    (
        "guessing-gives",
        "Right answers that guessing gives",
        "How many right answers guessing gives on average.",
    ),
    (
        "p-guessing",
        "Probability under guessing",
        "Probability of as many right answers, if the answers tell nothing.",
    ),
    (
        "than-guessing",
        "Beside guessing",
        "Whether there were more or fewer right answers than guessing gives, corrected for the number of series.",
    ),
    (
        "ascending",
        "Ascending, 2 of at most 3",
        "10 dB down after an answer, 5 dB up after none (ISO 8253-1, shortened form).",
    ),
    (
        "ascending_3_of_5",
        "Ascending, 3 of at most 5",
        "10 dB down after an answer, 5 dB up after none (ISO 8253-1).",
    ),
    (
        "ascending_2_of_4",
        "Ascending, 2 of at most 4",
        "10 dB down after an answer, 5 dB up after none.",
    ),
    (
        "bracketing",
        "Bracketing",
        "Three ascents and three descents in steps of 5 dB (ISO 8253-1).",
    ),
    (
        "bracketing_short",
        "Bracketing, shortened",
        "Two ascents and two descents, if they lie within 5 dB (ISO 8253-1).",
    ),
    (
        "estimate",
        "Estimate",
        "All frequencies of both ears believed together; each tone where its answer tells most.",
    ),
    (
        "optotypes",
        "Single optotypes or rows, forced choice",
        "Each of the size that tells most, or rows from large to small.",
    ),
    (
        "consistent",
        "Consistent",
        "They agree with each other within the stated limits.",
    ),
    ("mixed", "Mixed", "Some answers do not agree."),
    (
        "inconsistent",
        "Inconsistent",
        "They do not agree with one another.",
    ),
    (
        "too_few_answers",
        "Too few answers",
        "There are too few to say.",
    ),
    (
        "not_needed",
        "Masking not needed",
        "The ears differ by less than the least interaural attenuation.",
    ),
    (
        "needed_not_done",
        "Masking needed, not done",
        "The other ear may have answered.",
    ),
    (
        "done",
        "Masked",
        "The threshold stayed over a plateau of noise at the other ear.",
    ),
    (
        "could_not_be_masked",
        "Could not be masked",
        "The other ear may have answered.",
    ),
    ("heard", "Heard", "The level was answered twice."),
    ("not_heard", "Not heard", "The level was missed twice."),
    ("undecided", "Not decided", "Begun and not decided."),
    ("normal", "Normal", "As it should be."),
    ("abnormal", "Abnormal", "Not as it should be."),
    ("noted", "Noted", "Observed and noted, never scored."),
    ("measured", "Measured", "Filled in from the measurement."),
    (
        "more",
        "More than guessing gives",
        "More right answers than guessing gives.",
    ),
    (
        "fewer",
        "Fewer than guessing gives",
        "Fewer right answers than guessing gives, and nothing more.",
    ),
    (
        "alike",
        "As many as guessing can give",
        "As many right answers as guessing could give.",
    ),
    (
        "counting_fingers",
        "Counting fingers",
        "Fingers are counted at the distance that is noted.",
    ),
    ("hand_motion", "Hand motion", "Movement of a hand is seen."),
    ("light_perception", "Light perception", "Light is seen."),
    (
        "no_light_perception",
        "No light perception",
        "No light is seen.",
    ),
    (
        "two-distances",
        "Acuities from two distances",
        "Whether the acuities of one eye from two distances agree as angles.",
    ),
    (
        "agree-as-angles",
        "Agree as angles",
        "The acuities from both distances are the same angle, as far as can be told.",
    ),
    (
        "differ-as-angles",
        "Differ as angles",
        "The acuities differ by more than repeated measurements usually do. It does not say why.",
    ),
    (
        "greater-distance",
        "Greater distance",
        "The greater of two distances.",
    ),
    (
        "smaller-distance",
        "Smaller distance",
        "The smaller of two distances.",
    ),
    (
        "difference",
        "Difference",
        "Acuity from near less acuity from far, both as logMAR.",
    ),
    (
        "nearer-focus",
        "Nearer focus",
        "How much nearer the eye focuses from the smaller distance.",
    ),
    (
        "caution",
        "Caution",
        "What has to be known when the figures are read.",
    ),
    (
        "criterion-met",
        "Criterion met",
        "A stated criterion by which something should be looked into. No cause and no diagnosis.",
    ),
    (
        "urgency",
        "Urgency",
        "How soon a criterion wants attention; local rules come first.",
    ),
    ("note", "To know", "To know when the figures are read."),
    ("routine", "Routine", "An ordinary referral."),
    ("soon", "Soon", "Soon; local rules say how soon."),
    (
        "urgent",
        "The same day",
        "The same day, if what the criterion says holds.",
    ),
    (
        "sudden_loss",
        "Sudden loss of sight, as told",
        "Has your sight become worse within hours or days?",
    ),
    (
        "transient_loss",
        "Sight lost for a while, as told",
        "Was your sight gone for a while, and came back?",
    ),
    (
        "flashes",
        "Flashes of light, as told",
        "Do you see flashes of light?",
    ),
    (
        "floaters",
        "Floaters, as told",
        "Do you see new specks that float, or many more than before?",
    ),
    (
        "curtain",
        "Curtain over the field, as told",
        "Is there a curtain or a shadow over a part of what you see?",
    ),
    (
        "field_loss",
        "New loss of field, as told",
        "Is a part of what you see missing, newly?",
    ),
    (
        "painful_red_eye",
        "Painful red eye, as told",
        "Is an eye red and does it hurt?",
    ),
    (
        "pain_on_movement",
        "Pain on eye movement, as told",
        "Does it hurt to move an eye?",
    ),
    (
        "jaw_or_scalp_pain",
        "Pain of jaw or scalp, or new headache, as told",
        "Does your jaw or scalp hurt, or have you a new headache? (from 50 years on)",
    ),
    (
        "double_vision",
        "Double vision, as told",
        "Do you see things double?",
    ),
    (
        "trauma",
        "Injury of an eye, as told",
        "Has a blow, a splinter or a chemical reached an eye?",
    ),
    (
        "distortion",
        "Straight lines look bent, as told",
        "Do straight lines look bent?",
    ),
    (
        "white_pupil",
        "White pupil, as told",
        "Has anyone seen a white pupil, also in a photograph?",
    ),
    (
        "haloes",
        "Haloes with nausea, as told",
        "Do you see coloured rings around lights, and feel sick?",
    ),
    ("right-ear", "Right ear", "The person's right ear."),
    ("left-ear", "Left ear", "The person's left ear."),
    ("right-eye", "Right eye", "The person's right eye."),
    ("left-eye", "Left eye", "The person's left eye."),
    ("both-eyes", "Both eyes", "Both eyes open."),
    ("right-side", "Right side", "The person's right side."),
    ("left-side", "Left side", "The person's left side."),
    (
        "software",
        "Measuring software",
        "The program that presented and recorded.",
    ),
    (
        "earphones",
        "Pair of earphones",
        "Told by class and standard, not by make.",
    ),
    ("screen", "Screen", "What optotypes were shown on."),
    (
        "output-right",
        "Right earphone on its output",
        "What ties the right earphone to physical levels.",
    ),
    (
        "output-left",
        "Left earphone on its output",
        "What ties the left earphone to physical levels.",
    ),
];

/// One of our codes. A word that is none of them stays a word.
pub(super) fn concept(code: &str) -> Value {
    match CODES.iter().find(|(known, ..)| *known == code) {
        Some((code, display, _)) => json!({
            "coding": [{"system": SYSTEM, "code": code, "display": display}],
            "text": display,
        }),
        None => json!({"text": code}),
    }
}

/// The same, in other words.
pub(super) fn in_words(code: &str, words: &str) -> Value {
    let mut concept = concept(code);
    concept["text"] = json!(words);
    concept
}

/// The code system as a resource.
pub(super) fn system() -> Value {
    let codes = CODES.iter().map(|(code, display, definition)| {
        json!({"code": code, "display": display, "definition": definition})
    });
    json!({
        "resourceType": "CodeSystem",
        "url": SYSTEM,
        "version": "1",
        "name": "VeridicalLocalCodes",
        "title": "Local codes of Veridical, no public standard",
        "status": "active",
        "experimental": false,
        "description": "What no public code was found for. Not registered anywhere; the address \
                        leads nowhere.",
        "caseSensitive": true,
        "content": "complete",
        "count": CODES.len(),
        "concept": codes.collect::<Vec<_>>(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence::Grade;
    use crate::finding::Urgency;
    use crate::journal::{EyeHistory, Procedure};
    use crate::report::tables::word;

    #[test]
    fn codes_are_distinct_and_cover_words_of_findings() {
        for (at, (code, ..)) in CODES.iter().enumerate() {
            assert!(
                CODES[..at].iter().all(|(other, ..)| other != code),
                "{code}"
            );
        }
        let known = |code: &str| concept(code).get("coding").is_some();
        for name in Procedure::NAMES {
            assert!(known(name), "{name}");
        }
        for grade in Grade::ALL {
            let word = serde_json::to_value(grade).unwrap();
            assert!(known(word.as_str().unwrap()), "{word}");
        }
        for urgency in [
            Urgency::Note,
            Urgency::Routine,
            Urgency::Soon,
            Urgency::Urgent,
        ] {
            assert!(known(&word(&urgency)), "{urgency:?}");
        }
        assert!(!known("something else"));
    }

    #[test]
    fn what_is_told_of_the_eyes_is_defined_as_it_is_asked() {
        for about in EyeHistory::ALL {
            let code = CODES.iter().find(|(code, ..)| *code == word(&about));
            assert_eq!(code.map(|(.., asked)| *asked), Some(about.question()));
        }
    }
}
