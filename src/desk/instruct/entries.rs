//! What an instructor fills in of an exercise and of a set for a class.

use super::form::Kind::{Lines, Number, Numbers, OneOf, Several, Words};
use super::form::{Entry, Group, Kind};

const SIDES: &[&str] = &["right", "left"];
const TOGETHER: &[&str] = &["fit", "do_not_fit", "cannot_be_told"];
const GRADES: &[&str] = &["consistent", "mixed", "inconsistent", "too_few_answers"];

const fn entry(key: &'static str, label: &'static str, kind: Kind) -> Entry {
    Entry { key, label, kind }
}

/// An exercise.
pub const EXERCISE: &[Group] = &[
    (
        "What the trainee sees",
        &[
            entry("title", "Title, which tells nothing", Words),
            entry(
                "difficulty",
                "Difficulty",
                OneOf(&["1", "2", "3", "4", "5"]),
            ),
            entry("story", "Why the person comes", Words),
        ],
    ),
    (
        "What the person tells when asked",
        &[
            entry("told.better", "The better ear or eye", Words),
            entry("told.history", "What has happened before", Words),
            entry("told.glasses", "About glasses", Words),
        ],
    ),
    (
        "What it is to teach, a line each",
        &[entry("aims", "Aims", Lines)],
    ),
    (
        "Who it is",
        &[
            entry("person.title", "Name; says that it is invented", Words),
            entry("person.age_years", "Age, years", Number),
            entry("person.sex", "Sex", OneOf(&["female", "male"])),
        ],
    ),
    (
        "Hearing: midpoints",
        &[
            entry("person.hearing.hz", "Frequencies, Hz", Numbers),
            entry("person.hearing.right", "Right ear, dB HL", Numbers),
            entry("person.hearing.left", "Left ear, dB HL", Numbers),
            entry(
                "person.hearing.interaural_attenuation_db",
                "Weaker across the head by, dB",
                Number,
            ),
        ],
    ),
    (
        "Sight: midpoints with the correction worn",
        &[
            entry("person.sight.right", "Right eye, logMAR", Number),
            entry("person.sight.left", "Left eye, logMAR", Number),
            entry(
                "person.sight.pinhole_gain",
                "Better through a pinhole by, logMAR",
                Number,
            ),
        ],
    ),
    (
        "How they answer",
        &[
            entry(
                "person.manner.kind",
                "Kind",
                OneOf(&[
                    "genuine",
                    "raised_bar",
                    "raised_bar_one_side",
                    "contrary",
                    "random",
                ]),
            ),
            entry(
                "person.manner.false_alarm",
                "Answers to nothing, 0 to 1",
                Number,
            ),
            entry(
                "person.manner.lapse",
                "Misses what is clear, 0 to 1",
                Number,
            ),
            entry("person.manner.scale_db", "Scale of hearing, dB", Number),
            entry(
                "person.manner.scale_log_mar",
                "Scale of sight, logMAR",
                Number,
            ),
            entry("person.manner.wander_db", "Wander, dB", Number),
            entry("person.manner.latency_s", "Reaction time, s", Number),
            entry("person.manner.criterion_db", "Hesitates by, dB", Number),
            entry("person.manner.tinnitus_hz", "Rings at, Hz", Number),
            entry(
                "person.manner.false_alarm_tinnitus",
                "Answers to nothing there, 0 to 1",
                Number,
            ),
            entry(
                "person.manner.bar_of",
                "A bar of",
                OneOf(&["both", "hearing", "sight"]),
            ),
            entry("person.manner.bar_db_hl", "Bar of hearing, dB HL", Number),
            entry("person.manner.bar_log_mar", "Bar of sight, logMAR", Number),
            entry(
                "person.manner.bar_follows",
                "Bar of sight is a",
                OneOf(&["angle", "size"]),
            ),
            entry("person.manner.ear", "Barred ear, of one side", OneOf(SIDES)),
            entry("person.manner.eye", "Barred eye, of one side", OneOf(SIDES)),
        ],
    ),
    (
        "Traps: habits that a word ends",
        &[
            entry(
                "person.habits.holds_back_db",
                "Holds back in hearing, dB",
                Number,
            ),
            entry(
                "person.habits.holds_back_log_mar",
                "Holds back in sight, logMAR",
                Number,
            ),
            entry(
                "person.habits.takes_one_ear_for_all",
                "Answers this ear only",
                OneOf(SIDES),
            ),
            entry(
                "person.habits.leans_forward",
                "Leans forward by, share of the distance",
                Number,
            ),
            entry(
                "person.habits.peeks",
                "Peeks with the better eye, 0 to 1",
                Number,
            ),
            entry(
                "person.habits.tires_after",
                "Tires after, presentations",
                Number,
            ),
            entry(
                "person.habits.follows_rhythm",
                "Follows a rhythm, 0 to 1",
                Number,
            ),
        ],
    ),
    (
        "What a careful examiner would conclude",
        &[
            entry("expect.hearing", "Answers of hearing", OneOf(TOGETHER)),
            entry("expect.sight", "Answers of sight", OneOf(TOGETHER)),
            entry(
                "expect.cues",
                "Reasons to look further",
                Several(&[
                    "asymmetry",
                    "notch",
                    "sudden_loss",
                    "poor_hearing",
                    "eyes_apart",
                    "pinhole_gain",
                    "below_half",
                    "field_loss",
                ]),
            ),
            entry("expect.because", "What there is to say of that", Words),
        ],
    ),
    (
        "What our own plan comes to: as below, or better",
        &[
            entry(
                "expect.by_plan.plan",
                "Plan",
                OneOf(&["full", "reliability", "two_distances"]),
            ),
            entry("expect.by_plan.rms_db", "Error of hearing, rms, dB", Number),
            entry(
                "expect.by_plan.rms_log_mar",
                "Error of sight, rms, logMAR",
                Number,
            ),
            entry(
                "expect.by_plan.hearing.grades",
                "Hearing graded",
                Several(GRADES),
            ),
            entry(
                "expect.by_plan.hearing.share",
                "in this share of visits",
                Number,
            ),
            entry(
                "expect.by_plan.sight.grades",
                "Sight graded",
                Several(GRADES),
            ),
            entry(
                "expect.by_plan.sight.share",
                "in this share of visits",
                Number,
            ),
        ],
    ),
];

/// A set for a class.
pub const SET: &[Group] = &[(
    "The same people for everybody",
    &[
        entry("name", "Name, which stands in every journal", Words),
        entry("seed", "Seed", Number),
        entry(
            "exercises",
            "Exercises, a line each: of the library, drawn-DIFFICULTY-SEED, or files beside the set's own",
            Lines,
        ),
    ],
)];

/// What a new exercise begins with.
pub const NEW_EXERCISE: &str = "format = 1
title = \"\"
difficulty = 1
story = \"\"
aims = []

[told]
better = \"both alike\"
history = \"nothing of note\"
glasses = \"wears none\"

[expect]
hearing = \"fit\"
sight = \"fit\"
cues = []

[person]
format = 1
title = \"\"

[person.hearing]
hz = [250, 500, 1000, 2000, 3000, 4000, 6000, 8000]
right = [10, 10, 10, 10, 10, 10, 10, 10]
left = [10, 10, 10, 10, 10, 10, 10, 10]
interaural_attenuation_db = 60

[person.sight]
right = 0.0
left = 0.0

[person.manner]
kind = \"genuine\"
";

/// What a new set begins with.
pub const NEW_SET: &str = "format = 1\nname = \"\"\nseed = 1\nexercises = []\n";
