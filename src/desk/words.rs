//! All that the windows say.

use super::session::{Sense, Session, Waiting};
use crate::finding::masking::{Need, WITHOUT_BONE};
use crate::finding::plateau::Stand;
use crate::finding::{HearingFinding, Masking, Urgency};
use crate::journal::{Asked, HowEnded, Planned, Purpose, SightProcedure};
use crate::procedure;
use crate::quantity::{Ear, Eye, Hz, Level};
use crate::station::Loss;
use crate::stimulus::{ByHand, Facing, OptotypePart, OptotypeSet, SoundPart, Symbol};

/// Said at every visit's beginning.
pub const CAUTIONS: [&str; 5] = [
    "A screening and measuring aid: not certified, and not a diagnosis. Local rules and licensed practice come first.",
    "Tones can be loud. Levels are capped, but with an unmeasured headphone the cap rests on an assumption: stop when a tone is unpleasant.",
    "Refer now, without this test: sudden loss of hearing or sight, flashes or a curtain, a red and painful eye, an ear that discharges, a fresh injury, sudden dizziness or a weak face.",
    "Look into the ears and at the eyes first; wax and a wrong lens explain more than any threshold.",
    "How far answers agree is described; why they do or do not is never stated.",
];

pub(super) const PAUSED_BY_EXAMINER: &str = "paused by the examiner";
pub(super) const PAUSED_BEFORE: &str = "it was paused when the program ended; P goes on";
pub(super) const STOPPED_BY_EXAMINER: &str = "stopped by the examiner";
pub(super) const TAKEN_BACK: &str = "taken back by the examiner";
pub(super) const STOPPED: &str = "it was stopped";
pub(super) const RAN_DRY: &str = "the sound device ran dry";
pub(super) const FALTERED: &str = "the sound device faltered";
pub(super) const CUT_OFF: &str = "a sample passed the loudness ceiling and was cut off";
pub(super) const DISTURBED: &str = "the person's window changed while the ring was shown";
pub(super) const NO_ROOM: &str = "the person's window is too small for what is shown";
pub(super) const NO_SOUND: &str = "there is no sound output";
pub(super) const NO_SCREEN: &str = "there is no measured screen";
pub(super) const BY_HAND_FIRST: &str = "The procedure is presenting. Take over by hand first (A).";
pub(super) const SOUND_LOST: &str =
    "The sound device is gone. Plug it in again, then press 'Open the sound again'.";
pub(super) const SOUND_FAILS: &str =
    "The sound device reports faults without end. Press 'Open the sound again'.";
pub(super) const SOUND_STALLED: &str =
    "The sound device has stopped asking for sound. Press 'Open the sound again'.";
pub(super) const SOUND_CHANGED: &str = "The system has led the sound to another output, or changed \
    its format: the earphone's profile does not hold there. Nothing more is played in this visit; \
    lead the sound back, close the visit and begin another.";
pub(super) const LISTEN_FIRST: &str =
    "Nobody knows how loud this earphone is: the examiner listens first.";
pub(super) const WHY_LISTEN: &str = "Nobody knows how loud this earphone is. Put it on your own head first. \
    The tone begins inaudible and rises by 5 dB with every press, at one ear and then at the other.";
pub(super) const NOT_READ: &str = "the recording could not be read";
pub(super) const STILL_SOUNDS: &str = "Something still sounds: wait for its end, or silence it.";
pub(super) const INSTRUCTIONS_NOT_WHOLE: &str = "The instructions were not played to their end.";
pub(super) const MUCH_SOUND: &str = "An ear has had a tenth of the sound that a working day allows \
    (NIOSH). Stop here, or go on only for a good reason.";
pub(super) const LOUD_ON_BENCH: &str =
    "Loud sounds come in a visit only, where they are confirmed.";
pub(super) const LOUD_UNCONFIRMED: &str = "it is loud and was not confirmed";
pub(super) const SOUND_LOST_IN_CHECK: &str =
    "The sound device is gone. Plug it in again, then check the ears again.";
pub(super) const SCALE_CHANGED: &str = "The person's window is on another display, or its scale \
    changed: its pixels are not the measured ones. Move it back, or end and measure the screen again.";

/// Why a section ended.
pub(super) fn ended(how: HowEnded) -> &'static str {
    match how {
        HowEnded::Declined => "declined by the person",
        HowEnded::Stopped => "stopped by the examiner",
    }
}

/// What is noted when loud sounds were confirmed.
pub(super) fn loud_confirmed() -> String {
    use crate::standard::safety::{LOUD, MOST_LOUD_IN_A_ROW};
    format!(
        "confirmed by the examiner, held: up to {MOST_LOUD_IN_A_ROW} sounds above {} dB",
        LOUD.0
    )
}

/// What was lost, and what to do.
pub(super) fn sound_lost(loss: Loss) -> &'static str {
    match loss {
        Loss::Gone => SOUND_LOST,
        Loss::Failing => SOUND_FAILS,
        Loss::Stalled => SOUND_STALLED,
        Loss::Changed => SOUND_CHANGED,
    }
}

/// How the way of the sound is another than at the beginning, and what to do.
pub(super) fn way_changed(how: &str) -> String {
    format!(
        "Paused: {how}. No level is what it says until it is again as it was at the beginning; take \
         back what was presented in the last seconds, then go on."
    )
}

pub(super) fn journal_failed(error: &str) -> String {
    format!("The journal cannot be written, so nothing more is presented: {error}")
}

pub(super) fn nothing_arrives(reason: &str) -> String {
    format!("Paused: nothing arrives whole. The last time: {reason}.")
}

/// What is noted when the examiner confirms an eye.
pub(super) fn confirmed(eye: Eye) -> String {
    format!(
        "confirmed before the first optotype: {}; distance held",
        cover(eye)
    )
}

/// After so many presentations a kind word comes, whatever was answered.
pub const KIND_WORD_AFTER: u32 = 8;
/// Kind words, in turn: neither says how well it goes.
pub const KIND_WORDS: [&str; 2] = [
    "Thank you. Go on like this.",
    "Some are small on purpose. Take your time.",
];
/// While a card is read.
pub const READ_THE_CARD: &str = "Please read from the card.";
/// While something is shown by hand.
pub const LOOK_AT_THE_HAND: &str = "Please look at the examiner's hand.";
/// At the foot of the task, for somebody alone with a remote.
pub const WHEN_READY: &str = "Press Enter when you are ready.";
/// Beside the ways.
pub const NEVER_POOLED: &str = "Each way is a finding of its own; answers under different conditions \
    are never pooled. Cover the other eye and check the distance anew each time.";
/// Beside the history.
pub const HISTORY: &str = "Ask in these words. A 'yes' becomes a cue with its source and urgency; it \
    is no diagnosis.";

/// What counts as seen by hand.
#[must_use]
pub fn seen_by_hand(shows: ByHand) -> &'static str {
    match shows {
        ByHand::Fingers => "Counted rightly, 4 of 5 or more",
        ByHand::Motion => "Motion told, 4 of 5 or more",
        ByHand::Light => "Light told, 4 of 5 or more",
    }
}

/// What does not.
#[must_use]
pub fn unseen_by_hand(shows: ByHand) -> &'static str {
    match shows {
        ByHand::Fingers => "Not counted",
        ByHand::Motion => "Motion not told",
        ByHand::Light => "Light not told",
    }
}

/// Why an eye is taken up again.
pub const TAKEN_UP: &str = "taken up again by the examiner, after the task was explained";

/// How an eye is asked, in a line.
pub fn asking(asked: &Asked) -> String {
    let plan = &asked.plan;
    let way = plan.procedure.words();
    let which = match plan.procedure {
        SightProcedure::Screening => format!(", {:.2} logMAR", plan.screening.log_mar),
        SightProcedure::NearCard => format!(" {}", plan.card.seed),
        _ => String::new(),
    };
    let metres = asked.distance.map_or_else(String::new, |distance| {
        format!(", {:.2} m", distance.0 / 1000.0)
    });
    let hole = if plan.pinhole { ", pinhole" } else { "" };
    let crowded = if plan.crowded { ", crowded" } else { "" };
    format!("{way}{which}{metres}, {}{hole}{crowded}", plan.correction)
}

/// That an asking began, for the journal.
#[must_use]
pub fn began(asked: &Asked) -> String {
    format!("{}; {}", confirmed(asked.eye), asking(asked))
}

/// Which eye is covered.
#[must_use]
pub fn cover(eye: Eye) -> &'static str {
    match eye {
        Eye::Right => "left eye covered",
        Eye::Left => "right eye covered",
        Eye::Both => "both eyes open",
    }
}

/// An ear, as a heading.
#[must_use]
pub fn ear(ear: Ear) -> &'static str {
    match ear {
        Ear::Right => "Right ear",
        Ear::Left => "Left ear",
    }
}

/// An eye, as a heading.
#[must_use]
pub fn eye(eye: Eye) -> &'static str {
    match eye {
        Eye::Right => "Right eye",
        Eye::Left => "Left eye",
        Eye::Both => "Both eyes",
    }
}

/// A direction.
#[must_use]
pub fn facing(facing: Facing) -> &'static str {
    match facing {
        Facing::Right => "right",
        Facing::UpRight => "up and right",
        Facing::Up => "up",
        Facing::UpLeft => "up and left",
        Facing::Left => "left",
        Facing::DownLeft => "down and left",
        Facing::Down => "down",
        Facing::DownRight => "down and right",
    }
}

/// What has to be known about levels against the examiner's ears.
pub(super) const AGAINST_EXAMINER: &str = "0 dB is the examiner's own threshold: a loss of the \
    examiner's shifts every level by as much. These are not dB HL.";

/// A text that begins with a capital.
pub(super) fn first_upper(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Noise at an ear.
pub(super) fn noise(at: Ear, masker: Level) -> String {
    format!("{}: noise, {} effective", ear(at), level(masker))
}

/// What is to be known about masking at an ear and frequency.
pub(super) fn masking(ear: Ear, at: Hz, need: Need, stand: Option<Stand>) -> String {
    let state = match (need, stand) {
        (Need::NothingAnswered, _) => "nothing was answered yet, so nothing is masked".to_owned(),
        (Need::OtherUnknown, _) => {
            "masking is needed, and the other ear is not known yet".to_owned()
        }
        (
            _,
            Some(Stand::Settled {
                noise_db: [low, high],
                ..
            }),
        ) => {
            format!("masked; it stayed from {low:.0} to {high:.0} dB of noise")
        }
        (Need::No(_), _) => "no masking needed".to_owned(),
        (_, Some(Stand::Failed(why))) => format!("could not be masked: {}", why.sentence()),
        (
            _,
            Some(Stand::Open {
                level_db,
                masker_db,
                ..
            }),
        ) => format!(
            "masking is needed: noise of {masker_db:.0} dB next, with the tone at {level_db:.0} dB"
        ),
        (_, None) => String::new(),
    };
    format!("{}, {}: {state}. {WITHOUT_BONE}", self::ear(ear), hz(at))
}

/// What masking came to, where it was needed.
pub(super) fn masked(finding: &HearingFinding) -> Option<String> {
    let unmasked = finding.unmasked.map_or(String::new(), |level| {
        format!("; answered at {} without noise", self::level(level))
    });
    match finding.masking? {
        Masking::NotNeeded => None,
        Masking::Done => {
            let noise = finding.masker_db.map_or(String::new(), |[low, high]| {
                format!(" by noise of {low:.0} to {high:.0} dB effective level")
            });
            Some(format!("other ear masked{noise}{unmasked}"))
        }
        Masking::NeededNotDone => Some(format!(
            "no threshold: the other ear may have answered, and masking was not done{unmasked}"
        )),
        Masking::CouldNotBeMasked => {
            let why = finding.not_masked_because.as_deref().unwrap_or("");
            Some(format!(
                "no threshold: could not be masked ({why}){unmasked}"
            ))
        }
    }
}

/// A level with its unit.
#[must_use]
pub fn level(level: Level) -> String {
    format!("{:.0} {}", level.db(), level.scale().unit())
}

/// A frequency as it is spoken.
#[must_use]
pub fn hz(hz: Hz) -> String {
    let khz = hz.0 / 1000.0;
    if hz.0 < 1000.0 {
        format!("{:.0} Hz", hz.0)
    } else {
        format!("{khz} kHz")
    }
}

/// The one sentence: what is happening, and why.
#[must_use]
pub fn now(session: &Session, sees: bool) -> String {
    let record = session.record();
    if record.closed() {
        return "The visit is closed; its findings are below.".into();
    }
    if record.paused() {
        return "Paused. Nothing sounds and nothing is shown; P goes on.".into();
    }
    if let Some(waiting) = session.waiting() {
        return waits(waiting, session.asked().as_ref());
    }
    let Some(planned) = session.presenting() else {
        return match (session.automatic(), session.sense()) {
            (false, _) if sees => "By hand: set eye and size; T shows one optotype.".into(),
            (false, _) => {
                "By hand: set ear, frequency and level; T presents, Q presents silence.".into()
            }
            (true, Sense::Sight) => "The next ring follows at once.".into(),
            (true, _) => "The next presentation follows at once.".into(),
        };
    };
    if planned.presentation.by_hand().is_some() {
        return "Below the largest optotype: shown by hand, entered at the right.".into();
    }
    match (
        planned.presentation.tones().next(),
        planned.presentation.optotypes().next(),
    ) {
        (Some(tone), _) => heard(session, planned, tone),
        (None, Some(ring)) => seen(planned, ring),
        (None, None) => procedure::reason(session.record(), planned)
            .map_or_else(String::new, |why| why.sentence()),
    }
}

fn waits(waiting: Waiting, asked: Option<&Asked>) -> String {
    let text = match waiting {
        Waiting::ToHear => {
            "Earphones on, red to the right ear; explain the task. Enter begins with a clear tone."
        }
        Waiting::ToTakeTurns => {
            "Explain: now there are two turns, 1 and 2, and one of them has the tone. Often it is too soft \
             to be sure: choose all the same, and guess if need be. Enter begins."
        }
        Waiting::ToHearAgain => {
            "Explain: single tones again; press whenever one is heard. Enter goes on."
        }
        Waiting::ToSee(eye) => return to_see(eye, asked),
        Waiting::ToBeLoud => {
            "The next sounds are above 85 dB. Watch the person. HOLD Enter for a second to let up \
             to three of them come; P pauses, and the ear can be ended instead."
        }
        Waiting::ToClose => {
            "The plan is carried out. Enter closes the visit and writes its findings."
        }
    };
    text.into()
}

/// What has to be seen to before an eye looks.
fn to_see(eye: Eye, asked: Option<&Asked>) -> String {
    let cover = match eye {
        Eye::Right => "Cover the LEFT eye, without pressing on it",
        Eye::Left => "Cover the RIGHT eye, without pressing on it",
        Eye::Both => "Both eyes open",
    };
    let Some(asked) = asked else {
        return format!("{cover}; check the distance. Enter begins.");
    };
    let from = match (asked.plan.procedure, asked.distance) {
        (SightProcedure::ByHand, _) | (_, None) => String::new(),
        (SightProcedure::NearCard, Some(distance)) => {
            format!("; the card {:.0} cm away, measured", distance.0 / 10.0)
        }
        (_, Some(distance)) => format!("; {:.2} m from the eye to the screen", distance.0 / 1000.0),
    };
    let hole = if asked.plan.pinhole {
        ", through the pinhole"
    } else {
        ""
    };
    format!(
        "{cover}{from}; {}{hole}. Enter begins.",
        asked.plan.correction
    )
}

fn heard(session: &Session, planned: &Planned, tone: &SoundPart) -> String {
    let what = format!("{}, {} ear, {}", hz(tone.hz), tone.ear, level(tone.level));
    let noise = planned.presentation.maskers().next();
    let noise = noise.map_or_else(String::new, |noise| {
        let level = level(noise.level);
        format!(
            ", with noise of {level} effective level at the {} ear",
            noise.ear
        )
    });
    let why = procedure::reason(session.record(), planned);
    let why = why.map_or_else(String::new, |why| why.sentence());
    format!("{what}{noise}. {why}")
}

/// How soon somebody has to look further.
#[must_use]
pub fn urgency(urgency: Urgency) -> &'static str {
    match urgency {
        Urgency::Note => "to know",
        Urgency::Routine => "routine referral",
        Urgency::Soon => "soon",
        Urgency::Urgent => "the same day",
    }
}

/// A symbol in words.
#[must_use]
pub fn symbol(symbol: Symbol) -> String {
    match symbol {
        Symbol::Facing(to) => facing(to).into(),
        Symbol::Letter(letter) => letter.char().into(),
    }
}

/// What is shown, in words.
#[must_use]
pub fn shown(part: &OptotypePart) -> String {
    match (part.optotype, part.symbol) {
        (OptotypeSet::TumblingE, Symbol::Facing(to)) => format!("an E, pointing {}", facing(to)),
        (_, Symbol::Facing(to)) => format!("a ring, gap {}", facing(to)),
        (_, Symbol::Letter(letter)) => format!("the letter {}", letter.char()),
    }
}

fn kind(set: OptotypeSet) -> &'static str {
    match set {
        OptotypeSet::Landolt8 | OptotypeSet::Landolt4 => "a ring",
        OptotypeSet::TumblingE => "an E",
        OptotypeSet::Sloan | OptotypeSet::Hotv => "letters",
    }
}

fn seen(planned: &Planned, ring: &OptotypePart) -> String {
    let kind = kind(ring.optotype);
    let eye = eye(ring.eye);
    let size = format!("{:.2} logMAR", ring.log_mar.0);
    match planned.purpose {
        Purpose::Practise => {
            format!("{eye}: {kind}, plain to see ({size}), to show what is asked.")
        }
        Purpose::Screen => format!("{eye}: {kind} of {size}, the one size that is asked for."),
        _ if ring.card.is_some() => format!("{eye}: a row of {size} on the near card."),
        _ => format!("{eye}: {kind} of {size}, the size whose answer tells most now."),
    }
}

/// A row of letters that has no room.
pub const WIDER_THAN_SCREEN: &str = "The optotypes are wider or higher than the screen.";
/// Who answers with what, for the person.
pub const HEARING_TASK: &str = "Press whenever you hear a tone, however soft it is.";
/// The second line for the person.
pub const HEARING_TASK_2: &str =
    "Some tones are very soft, and there are long silences. Take your time.";
/// The task with this set.
#[must_use]
pub fn sight_task(set: OptotypeSet) -> &'static str {
    match set {
        OptotypeSet::Landolt8 | OptotypeSet::Landolt4 => {
            "Where is the gap? Guess when you are not sure."
        }
        OptotypeSet::TumblingE => "Where do the arms point? Guess when you are not sure.",
        OptotypeSet::Sloan | OptotypeSet::Hotv => {
            "Say the letters you see. Guess when you are not sure."
        }
    }
}
/// The person cannot tell.
pub const NOT_SURE: &str = "not sure";
/// What is said then; it never depends on what was shown.
pub const PLEASE_GUESS: &str = "That is all right. Say or press what it looks most like.";
/// What is noted then.
pub const ASKED_TO_GUESS: &str = "could not tell; asked for a guess";
/// The task in the which-ear check.
pub const SIDES_TASK: &str = "On which side was the tone?";
/// Of two turns, while they pass.
pub const TURNS_TASK: &str = "Listen: the tone is in 1 or in 2.";
/// Of two turns, when they are over.
pub const WHICH_TURN: &str = "Which had the tone? If you are not sure, please guess.";
/// The person's target.
pub const I_HEAR_IT: &str = "I hear it";
/// Nothing to do.
pub const PLEASE_WAIT: &str = "Please wait.";
/// A pause.
pub const RESTING: &str = "A short rest. Please wait.";
/// The end.
pub const THANKS: &str = "That was all. Thank you.";
/// On the outline of a card.
pub const LAY_CARD: &str = "Lay a bank or identity card here";
/// How the outline is fitted.
pub const HOW_TO_FIT_A_CARD: &str = "Lay the card on the outline in the person's window and fit \
    both sides; arrow keys move them by one pixel. The width counts, the height checks it.";
/// What would make sizes or light wrong.
pub const SCREEN_REMINDER: &str = "Look straight at the screen, without zoom, night light or \
    automatic brightness, and measure again when the window goes to another display.";
/// A measured screen that changed.
pub const SCREEN_CHANGED: &str =
    "The display, its mode or its scale has changed: measure the screen again.";
/// Of a simulated person.
pub const SIMULATED_SCREEN: &str = "Not measured: a simulated person looks at a simulated screen.";
/// Why the pitch has to be measured.
pub const NO_SYSTEM_SAYS: &str = "No system says truly how large its pixels are: measure them.";
/// No meter.
pub const NO_LIGHT: &str =
    "Its luminance is not measured; acuity is usually measured with 80 to 320 cd/m².";
/// Too bright or too dark.
pub const NOT_THE_USUAL_LIGHT: &str =
    "Its white is outside of the usual 80 to 320 cd/m²: compare with other visits with care.";
/// About the card for reading near.
pub const NEAR_CARD: &str =
    "For 40 cm, to be printed at 100 %; every card has an order of its own.";
/// Behind a plan's name, where Prepare has chosen how its eyes are asked.
pub(super) const EYES_CHOSEN: &str = ", eyes as chosen";
/// Over the planner.
pub const PLANNER: &str = "Which lines this screen shows from which distance:";
/// At the bench.
pub const AT_BENCH: &str = "Bench: measure what a figure rests on. Whatever is measured here is written to a file of its own.";
/// While the report of an earlier visit is shown.
pub const TAKEN_OUT: &str =
    "Hand over: an earlier visit, as the store keeps it. Nothing is measured now.";
/// Before a visit.
pub const BEFORE: &str =
    "Prepare: say who answers, with what, and from how far. It begins when nothing is missing.";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::words::Lang;

    /// What the desk writes into journals by itself stands in reports.
    #[test]
    fn reasons_and_notes_are_known_in_german() {
        let all = [
            PAUSED_BY_EXAMINER,
            PAUSED_BEFORE,
            STOPPED_BY_EXAMINER,
            TAKEN_BACK,
            STOPPED,
            RAN_DRY,
            FALTERED,
            CUT_OFF,
            DISTURBED,
            NO_SOUND,
            NO_SCREEN,
            SOUND_LOST,
            SOUND_FAILS,
            SOUND_STALLED,
            SOUND_CHANGED,
            SCALE_CHANGED,
            LOUD_UNCONFIRMED,
            TAKEN_UP,
            WIDER_THAN_SCREEN,
            ASKED_TO_GUESS,
            &loud_confirmed(),
            ended(HowEnded::Declined),
            ended(HowEnded::Stopped),
        ];
        let unknown = all
            .into_iter()
            .filter(|text| Lang::German.said(text).is_none());
        assert_eq!(unknown.collect::<Vec<_>>(), Vec::<&str>::new());
    }
}
