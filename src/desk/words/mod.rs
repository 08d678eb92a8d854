//! All that the windows say, in every language ([`Text`]): a table a page, and here what is put together.
//!
//! The rooms above and the journal speak English; what of theirs is shown is said in the window's language ([`said`]).

pub(super) mod conversation;
pub(super) mod frame;
pub(super) mod hear;
pub(super) mod now;
pub(super) mod person;
pub(super) mod prepare;
pub(super) mod see;
pub(super) mod settings;
mod text;
mod told;
pub(super) mod weigh;

use text::texts;
pub use text::{Text, said, speaking, spoken};

use super::keys::{Action, KeyMap};
use super::session::{Sense, Session, Waiting};
use crate::finding::masking::{Need, WITHOUT_BONE};
use crate::finding::plateau::Stand;
use crate::finding::{HearingFinding, Masking, Urgency};
use crate::journal::{Asked, HowEnded, Planned, Purpose, SightProcedure};
use crate::procedure;
use crate::quantity::{Ear, Eye, Hz, Level, Mm};
use crate::report::words::Lang;
use crate::station::Loss;
use crate::stimulus::{ByHand, Facing, OptotypePart, OptotypeSet, SoundPart, Symbol};

/// All texts of the windows.
#[cfg(test)]
fn all() -> impl Iterator<Item = Text> {
    let tables = [
        conversation::ALL,
        frame::ALL,
        hear::ALL,
        now::ALL,
        person::ALL,
        prepare::ALL,
        see::ALL,
        settings::ALL,
        told::ALL,
        weigh::ALL,
    ];
    tables.into_iter().flatten().copied()
}

/// What the rooms above and the desk's logic tell.
fn told() -> impl Iterator<Item = Text> {
    told::ALL.iter().copied()
}

pub(super) const PAUSED_BY_EXAMINER: &str = "paused by the examiner";
pub(super) const PAUSED_BEFORE: &str = told::PAUSED_BEFORE.english();
pub(super) const STOPPED_BY_EXAMINER: &str = "stopped by the examiner";
pub(super) const TAKEN_BACK: &str = "taken back by the examiner";
pub(super) const STOPPED: &str = "it was stopped";
pub(super) const RAN_DRY: &str = told::RAN_DRY.english();
pub(super) const FALTERED: &str = told::FALTERED.english();
pub(super) const CUT_OFF: &str = told::CUT_OFF.english();
pub(super) const DISTURBED: &str = told::DISTURBED.english();
pub(super) const NO_ROOM: &str = told::NO_ROOM.english();
pub(super) const NO_SOUND: &str = told::NO_SOUND.english();
pub(super) const NO_SCREEN: &str = told::NO_SCREEN.english();
pub(super) const ANSWERS_ITSELF: &str = told::ANSWERS_ITSELF.english();
pub(super) const BY_HAND_FIRST: &str = told::BY_HAND_FIRST.english();
pub(super) const SOUND_LOST: &str = told::SOUND_LOST.english();
pub(super) const SOUND_FAILS: &str = told::SOUND_FAILS.english();
pub(super) const SOUND_STALLED: &str = told::SOUND_STALLED.english();
pub(super) const SOUND_CHANGED: &str = told::SOUND_CHANGED.english();
pub(super) const LISTEN_FIRST: &str = told::LISTEN_FIRST.english();
pub(super) const WIDER_THAN_SCREEN: &str = told::WIDER_THAN_SCREEN.english();
pub(super) const NOT_READ: &str = told::NOT_READ.english();
pub(super) const STILL_SOUNDS: &str = told::STILL_SOUNDS.english();
pub(super) const INSTRUCTIONS_NOT_WHOLE: &str = told::INSTRUCTIONS_NOT_WHOLE.english();
pub(super) const MUCH_SOUND: &str = told::MUCH_SOUND.english();
pub(super) const LOUD_ON_BENCH: &str = told::LOUD_ON_BENCH.english();
pub(super) const LOUD_UNCONFIRMED: &str = "it is loud and was not confirmed";
pub(super) const SOUND_LOST_IN_CHECK: &str = told::SOUND_LOST_IN_CHECK.english();
pub(super) const NOT_NOW: &str = told::NOT_NOW.english();
pub(super) const CLOSE_FIRST: &str = told::CLOSE_FIRST.english();
pub(super) const SCALE_CHANGED: &str = told::SCALE_CHANGED.english();

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
    text::filled(told::WAY_CHANGED.english(), &[how])
}

pub(super) fn journal_failed(error: &str) -> String {
    text::filled(told::JOURNAL_FAILED.english(), &[error])
}

pub(super) fn nothing_arrives(reason: &str) -> String {
    text::filled(told::NOTHING_ARRIVES.english(), &[reason])
}

/// What is noted when the examiner confirms an eye.
pub(super) fn confirmed(eye: Eye) -> String {
    format!(
        "confirmed before the first optotype: {}; distance held",
        cover(eye).english()
    )
}

/// After so many presentations a kind word comes, whatever was answered.
pub const KIND_WORD_AFTER: u32 = 8;
/// Kind words, in turn: neither says how well it goes.
pub(super) const KIND_WORDS: [Text; 2] = [person::KIND_WORD_1, person::KIND_WORD_2];

/// What the examiner shows by hand, and from where.
pub(super) fn shows(shows: ByHand, distance: Mm) -> String {
    let text = match shows {
        ByHand::Fingers => see::SHOW_FINGERS,
        ByHand::Motion => see::SHOW_MOTION,
        ByHand::Light => see::SHOW_LIGHT,
    };
    text.fill(&[&decimals(distance.0 / 1000.0, 1)])
}

/// What counts as seen by hand.
#[must_use]
pub fn seen_by_hand(shows: ByHand) -> Text {
    match shows {
        ByHand::Fingers => see::COUNTED,
        ByHand::Motion => see::MOTION_TOLD,
        ByHand::Light => see::LIGHT_TOLD,
    }
}

/// What does not.
#[must_use]
pub fn unseen_by_hand(shows: ByHand) -> Text {
    match shows {
        ByHand::Fingers => see::NOT_COUNTED,
        ByHand::Motion => see::MOTION_NOT,
        ByHand::Light => see::LIGHT_NOT,
    }
}

/// Behind a plan's name, where Prepare has chosen how its eyes are asked.
pub(super) const EYES_CHOSEN: &str = ", eyes as chosen";
/// What is noted when somebody cannot tell.
pub(super) const ASKED_TO_GUESS: &str = "could not tell; asked for a guess";
/// Why an eye is taken up again.
pub(super) const TAKEN_UP: &str = "taken up again by the examiner, after the task was explained";

/// How an eye is asked, in a line.
pub fn asking(asked: &Asked) -> String {
    let plan = &asked.plan;
    let way = match plan.procedure {
        SightProcedure::Adaptive => see::SINGLE_OPTOTYPES.into(),
        SightProcedure::Rows => see::ROWS_OF_FIVE.into(),
        SightProcedure::Screening => see::ONE_SIZE_OF.fill(&[&decimals(plan.screening.log_mar, 2)]),
        SightProcedure::NearCard => see::NEAR_CARD_NO.fill(&[&plan.card.seed.to_string()]),
        SightProcedure::ByHand => see::BY_HAND.into(),
    };
    // By hand each thing that is shown has its own distance.
    let far = asked
        .distance
        .filter(|_| plan.procedure != SightProcedure::ByHand);
    let metres = far.map_or_else(String::new, |distance| {
        see::METRES.fill(&[&decimals(distance.0 / 1000.0, 2)])
    });
    let hole = if plan.pinhole {
        see::WITH_PINHOLE.here()
    } else {
        ""
    };
    let crowded = if plan.crowded {
        see::WITH_BARS.here()
    } else {
        ""
    };
    let correction = said(&plan.correction.to_string());
    format!("{way}{metres}, {correction}{hole}{crowded}")
}

/// A figure with so many decimals, written as the window's language does.
pub(super) fn decimals(value: f64, decimals: usize) -> String {
    spoken().number(value, decimals)
}

/// That an asking began, for the journal.
#[must_use]
pub fn began(asked: &Asked) -> String {
    let asking = speaking(Lang::English, || asking(asked));
    format!("{}; {asking}", confirmed(asked.eye))
}

/// Which eye is covered.
#[must_use]
pub fn cover(eye: Eye) -> Text {
    match eye {
        Eye::Right => person::LEFT_COVERED,
        Eye::Left => person::RIGHT_COVERED,
        Eye::Both => person::BOTH_OPEN,
    }
}

/// An ear, as a heading.
#[must_use]
pub fn ear(ear: Ear) -> &'static str {
    match ear {
        Ear::Right => hear::RIGHT_EAR.here(),
        Ear::Left => hear::LEFT_EAR.here(),
    }
}

/// An eye, as a heading.
#[must_use]
pub fn eye(eye: Eye) -> &'static str {
    match eye {
        Eye::Right => hear::RIGHT_EYE.here(),
        Eye::Left => hear::LEFT_EYE.here(),
        Eye::Both => hear::BOTH_EYES.here(),
    }
}

/// A direction.
#[must_use]
pub fn facing(facing: Facing) -> &'static str {
    let text = match facing {
        Facing::Right => person::RIGHTWARD,
        Facing::UpRight => person::UP_RIGHT,
        Facing::Up => person::UPWARD,
        Facing::UpLeft => person::UP_LEFT,
        Facing::Left => person::LEFTWARD,
        Facing::DownLeft => person::DOWN_LEFT,
        Facing::Down => person::DOWNWARD,
        Facing::DownRight => person::DOWN_RIGHT,
    };
    text.here()
}

/// A text that begins with a capital.
pub(super) fn first_upper(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Noise at an ear.
pub(super) fn noise(at: Ear, masker: Level) -> String {
    hear::NOISE_AT.fill(&[ear(at), &level(masker)])
}

/// What is to be known about masking at an ear and frequency.
pub(super) fn masking(ear: Ear, at: Hz, need: Need, stand: Option<Stand>) -> String {
    let whole = |db: f64| decimals(db, 0);
    let state = match (need, stand) {
        (Need::NothingAnswered, _) => hear::NOTHING_ANSWERED.into(),
        (Need::OtherUnknown, _) => hear::OTHER_UNKNOWN.into(),
        (
            _,
            Some(Stand::Settled {
                noise_db: [low, high],
                ..
            }),
        ) => hear::MASK_SETTLED.fill(&[&whole(low), &whole(high)]),
        (Need::No(_), _) => hear::MASK_NOT_NEEDED.into(),
        (_, Some(Stand::Failed(why))) => hear::MASK_FAILED.fill(&[&said(why.sentence())]),
        (
            _,
            Some(Stand::Open {
                level_db,
                masker_db,
                ..
            }),
        ) => hear::MASK_NEXT.fill(&[&whole(masker_db), &whole(level_db)]),
        (_, None) => String::new(),
    };
    format!(
        "{}, {}: {state}. {}",
        self::ear(ear),
        hz(at),
        said(WITHOUT_BONE)
    )
}

/// What masking came to, where it was needed.
pub(super) fn masked(finding: &HearingFinding) -> Option<String> {
    let unmasked = finding.unmasked.map_or(String::new(), |level| {
        hear::WITHOUT_NOISE.fill(&[&self::level(level)])
    });
    match finding.masking? {
        Masking::NotNeeded => None,
        Masking::Done => {
            let noise = finding.masker_db.map_or(String::new(), |[low, high]| {
                hear::BY_NOISE.fill(&[&decimals(low, 0), &decimals(high, 0)])
            });
            Some(hear::OTHER_MASKED.fill(&[&noise, &unmasked]))
        }
        Masking::NeededNotDone => Some(hear::MASK_NOT_DONE.fill(&[&unmasked])),
        Masking::CouldNotBeMasked => {
            let why = finding.not_masked_because.as_deref().unwrap_or("");
            Some(hear::MASK_COULD_NOT.fill(&[&said(why), &unmasked]))
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
    if hz.0 < 1000.0 {
        format!("{:.0} Hz", hz.0)
    } else {
        format!("{} kHz", spoken().short(hz.0 / 1000.0))
    }
}

/// The one sentence: what is happening, and why.
#[must_use]
pub fn now(session: &Session, sees: bool, keys: &KeyMap) -> String {
    let record = session.record();
    if record.closed() {
        return now::CLOSED.into();
    }
    if record.paused() {
        return now::PAUSED.fill(&[keys.name(Action::Pause)]);
    }
    if let Some(waiting) = session.waiting() {
        return waits(waiting, session.asked().as_ref(), keys);
    }
    let Some(planned) = session.presenting() else {
        return match (session.automatic(), session.sense()) {
            (false, _) if sees => now::BY_HAND_SEE.fill(&[keys.name(Action::Tone)]),
            (false, _) => now::BY_HAND.fill(&[keys.name(Action::Tone), keys.name(Action::Silence)]),
            (true, Sense::Sight) => now::NEXT_RING.into(),
            (true, _) => now::NEXT.into(),
        };
    };
    if planned.presentation.by_hand().is_some() {
        return now::SHOWN_BY_HAND.into();
    }
    match (
        planned.presentation.tones().next(),
        planned.presentation.optotypes().next(),
    ) {
        (Some(tone), _) => heard(session, planned, tone),
        (None, Some(ring)) => seen(planned, ring),
        (None, None) => why(session, planned),
    }
}

fn why(session: &Session, planned: &Planned) -> String {
    let why = procedure::reason(session.record(), planned);
    why.map_or_else(String::new, |why| said(&why.sentence()))
}

fn waits(waiting: Waiting, asked: Option<&Asked>, keys: &KeyMap) -> String {
    let text = match waiting {
        Waiting::ToHear => now::TO_HEAR,
        Waiting::ToTakeTurns => now::TO_TAKE_TURNS,
        Waiting::ToHearAgain => now::TO_HEAR_AGAIN,
        Waiting::ToSee(eye) => return to_see(eye, asked, keys),
        Waiting::ToBeLoud => now::TO_BE_LOUD,
        Waiting::ToClose => now::TO_CLOSE,
    };
    text.fill(&[keys.name(Action::Confirm), keys.name(Action::Pause)])
}

/// What has to be seen to before an eye looks.
fn to_see(eye: Eye, asked: Option<&Asked>, keys: &KeyMap) -> String {
    let cover = match eye {
        Eye::Right => now::COVER_LEFT,
        Eye::Left => now::COVER_RIGHT,
        Eye::Both => now::BOTH_OPEN,
    };
    let begins = keys.name(Action::Confirm);
    let Some(asked) = asked else {
        return now::CHECK_DISTANCE.fill(&[&cover, begins]);
    };
    let from = match (asked.plan.procedure, asked.distance) {
        (SightProcedure::ByHand, _) | (_, None) => String::new(),
        (SightProcedure::NearCard, Some(distance)) => {
            now::CARD_AWAY.fill(&[&decimals(distance.0 / 10.0, 0)])
        }
        (_, Some(distance)) => now::SCREEN_AWAY.fill(&[&decimals(distance.0 / 1000.0, 2)]),
    };
    let hole = if asked.plan.pinhole {
        now::THROUGH_PINHOLE.here()
    } else {
        ""
    };
    let correction = said(&asked.plan.correction.to_string());
    now::TO_SEE.fill(&[&cover, &from, &correction, hole, begins])
}

/// How soon somebody has to look further.
#[must_use]
pub fn urgency(urgency: Urgency) -> Text {
    match urgency {
        Urgency::Note => weigh::URGENCY_NOTE,
        Urgency::Routine => weigh::URGENCY_ROUTINE,
        Urgency::Soon => weigh::URGENCY_SOON,
        Urgency::Urgent => weigh::URGENCY_URGENT,
    }
}

fn ear_within(ear: Ear) -> Text {
    match ear {
        Ear::Right => now::RIGHT_EAR,
        Ear::Left => now::LEFT_EAR,
    }
}

fn heard(session: &Session, planned: &Planned, tone: &SoundPart) -> String {
    let (hz, level) = (hz(tone.hz), level(tone.level));
    let what = now::TONE.fill(&[&hz, &ear_within(tone.ear), &level]);
    let noise = planned.presentation.maskers().next();
    let noise = noise.map_or_else(String::new, |noise| {
        now::WITH_NOISE.fill(&[&self::level(noise.level), &ear_within(noise.ear)])
    });
    format!("{what}{noise}. {}", why(session, planned))
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
        (OptotypeSet::TumblingE, Symbol::Facing(to)) => see::AN_E.fill(&[facing(to)]),
        (_, Symbol::Facing(to)) => see::A_RING.fill(&[facing(to)]),
        (_, Symbol::Letter(letter)) => see::THE_LETTER.fill(&[&letter.char().to_string()]),
    }
}

fn kind(set: OptotypeSet) -> Text {
    match set {
        OptotypeSet::Landolt8 | OptotypeSet::Landolt4 => now::RING,
        OptotypeSet::TumblingE => now::AN_E,
        OptotypeSet::Sloan | OptotypeSet::Hotv => now::LETTERS,
    }
}

fn seen(planned: &Planned, ring: &OptotypePart) -> String {
    let kind = kind(ring.optotype);
    let eye = eye(ring.eye);
    let size = format!("{} logMAR", decimals(ring.log_mar.0, 2));
    match planned.purpose {
        Purpose::Practise => now::SHOWS_TASK.fill(&[eye, &kind, &size]),
        Purpose::Screen => now::SCREENS.fill(&[eye, &kind, &size]),
        _ if ring.card.is_some() => now::CARD_ROW.fill(&[eye, &size]),
        _ => now::TELLS_MOST.fill(&[eye, &kind, &size]),
    }
}

/// The task with this set.
#[must_use]
pub fn sight_task(set: OptotypeSet) -> Text {
    match set {
        OptotypeSet::Landolt8 | OptotypeSet::Landolt4 => person::WHERE_GAP,
        OptotypeSet::TumblingE => person::WHERE_ARMS,
        OptotypeSet::Sloan | OptotypeSet::Hotv => person::SAY_LETTERS,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
