//! The eyes, one asking after the other: practice at a clearly visible size, then single optotypes of
//! the size that tells most; or rows of letters from large to small, on the screen or on a card; or one
//! size only; or what is shown by hand.

use super::{Next, Proposal};
use crate::belief::AcuityPosterior;
use crate::calibration::Drawable;
use crate::finding::rows::{ROW_LETTERS, RowsReading, letters_shown};
use crate::finding::{
    BY_HAND, REVERSED, SightFindings, SightStatus, practice, reversed, screened_sight, sizes_of,
    trials_of,
};
use crate::journal::{
    Asked, Asking, HowEnded, Purpose, Record, RowsShow, Section, SightProcedure, Trial,
};
use crate::quantity::{Draws, Eye, LogMar, Mm, Stream};
use crate::stimulus::{
    ByHand, HandPart, NearCard, OptotypePart, OptotypeSet, Part, Presentation, Symbol, Task,
};
use std::ops::RangeInclusive;

/// The size of the first practice items where the screen allows it: plain to see for anyone with
/// acuity better than about 6/30 (our choice).
const PRACTICE_LOG_MAR: f64 = 1.0;
/// How much larger they become when they are not read.
const LARGER_BY_LOG_MAR: f64 = 0.3;
/// Rounds of practice at the most.
const MOST_ROUNDS: usize = 3;
/// Step between the sizes to choose from.
const SIZE_STEP_LOG_MAR: f64 = 0.04;
/// From here an eye is asked again that did not read the largest optotype (our choice: arm's length and
/// a half; a screen that shows 1.67 at 4 m shows 2.27).
const NEARER_MM: f64 = 1000.0;
/// From where something is shown by hand, mm (our choice: a hand before the face to across a room).
const HAND_MM: RangeInclusive<f64> = 100.0..=6000.0;

/// What is asked for next about sight; none if that is done.
pub(super) fn next(record: &Record) -> Option<Next> {
    let asked = record.asked();
    let next = asked.iter().find_map(|asked| next_of(record, asked));
    let below = || {
        let wished = record.opening.plan.sight.as_ref()?.below_largest;
        let asking = below_the_largest(record).filter(|_| wished)?;
        Some(Next::Ask(Box::new(asking)))
    };
    next.or_else(below)
        .or_else(|| choice(record, &asked).map(Next::Present))
}

/// What an asking wants next; none if it is done or cannot be carried out.
fn next_of(record: &Record, asked: &Asked) -> Option<Next> {
    if record.ended_asking(asked).is_some() || record.has_enough(asked) {
        return None;
    }
    if asked.plan.procedure == SightProcedure::ByHand {
        return by_hand(record, asked).map(Next::Present);
    }
    let Drawable { smallest, largest } = sizes_of(record, asked)?;
    let course = Course {
        record,
        asked,
        smallest,
        largest,
        distance: asked.distance?,
    };
    course.next()
}

/// A single optotype of the size that the examiner asks for, drawn as any other: in the latest way of
/// asking that eye which shows single ones.
///
/// # Errors
/// One line, if the eye is not asked so, or the size cannot be shown.
pub(super) fn by_examiner(record: &Record, eye: Eye, log_mar: LogMar) -> Result<Proposal, String> {
    let asked = &latest_asked(record, eye, SightProcedure::Adaptive)
        .ok_or("this eye is not asked by single optotypes in this visit")?;
    let (Some(Drawable { smallest, largest }), Some(distance)) =
        (sizes_of(record, asked), asked.distance)
    else {
        return Err("this set-up has no screen and distance to show it".into());
    };
    if !(smallest.0..=largest.0).contains(&log_mar.0) {
        return Err(format!(
            "expected {:.2} to {:.2} logMAR, found {:.2}",
            smallest.0, largest.0, log_mar.0
        ));
    }
    let course = Course {
        record,
        asked,
        smallest,
        largest,
        distance,
    };
    Ok(course.proposal(Purpose::Measure, log_mar))
}

/// The latest asking of an eye by this procedure that has not ended.
fn latest_asked(record: &Record, eye: Eye, procedure: SightProcedure) -> Option<Asked> {
    let all = record.asked().into_iter().rev();
    let mut own = all.filter(|one| one.eye == eye && one.plan.procedure == procedure);
    own.find(|one| record.ended_asking(one).is_none())
}

/// What the examiner shows by hand, in the latest way of asking that eye which does so.
///
/// # Errors
/// One line, if the eye is not asked so, or from farther than a hand is seen.
pub(super) fn by_examiner_by_hand(
    record: &Record,
    eye: Eye,
    shows: ByHand,
    distance: Mm,
) -> Result<Proposal, String> {
    if !HAND_MM.contains(&distance.0) {
        let [low, high] = [HAND_MM.start(), HAND_MM.end()].map(|mm| mm / 1000.0);
        let found = distance.0 / 1000.0;
        return Err(format!("expected {low} to {high} m, found {found}"));
    }
    let asked = &latest_asked(record, eye, SightProcedure::ByHand)
        .ok_or("this eye is not asked by hand in this visit")?;
    Ok(shown_by_hand(asked, shows, distance))
}

/// The next thing to show by hand; none if something was seen or nothing is left.
fn by_hand(record: &Record, asked: &Asked) -> Option<Proposal> {
    let shown: Vec<bool> = record
        .of_asked(asked)
        .filter_map(Trial::by_hand)
        .map(|(_, sees)| sees)
        .collect();
    if shown.contains(&true) {
        return None;
    }
    let (shows, distance) = *BY_HAND.get(shown.len())?;
    Some(shown_by_hand(asked, shows, Mm(distance)))
}

fn shown_by_hand(asked: &Asked, shows: ByHand, distance_mm: Mm) -> Proposal {
    let part = Part::Hand(HandPart {
        eye: asked.eye,
        shows,
        distance_mm,
        correction: asked.plan.correction,
    });
    Proposal {
        purpose: Purpose::Measure,
        presentation: Presentation {
            task: Task::Sees,
            window_s: None,
            parts: vec![part],
        },
        slot: None,
        asking: asked.number,
    }
}

/// How an eye is asked next that did not read the largest optotype: from nearer, then by hand; none if
/// no eye is left to be asked so.
#[must_use]
pub fn below_the_largest(record: &Record) -> Option<Asking> {
    let asked = record.asked();
    let findings = SightFindings::of(record);
    let of = |eye: Eye| {
        let found = findings.eye(eye);
        let ended = found.reason.is_some() || found.status != SightStatus::WorseThanLargestShown;
        (!ended).then(|| {
            asked
                .iter()
                .find(|one| one.eye == eye && one.number == found.asking)
        })?
    };
    let again = Eye::ALL.into_iter().find_map(of)?;
    let mine = || asked.iter().filter(|one| one.eye == again.eye);
    let nearer = mine()
        .filter(|one| one.plan.procedure.seeks_an_acuity())
        .filter_map(|one| one.distance)
        .any(|distance| distance.0 <= NEARER_MM);
    let hand = mine().any(|one| one.plan.procedure == SightProcedure::ByHand);
    let own = Asking {
        correction: Some(again.plan.correction),
        pinhole: Some(false),
        ..Asking::of(again.eye)
    };
    let asking = match (nearer, hand) {
        (false, _) => Asking {
            procedure: Some(SightProcedure::Adaptive),
            distance_mm: Some(Mm(NEARER_MM)),
            ..own
        },
        (true, false) => Asking {
            procedure: Some(SightProcedure::ByHand),
            ..own
        },
        (true, true) => return None,
    };
    Some(asking)
}

/// A choice among few directions below what each eye has admitted, to either eye by turns; the size of
/// the block does not depend on the answers.
fn choice(record: &Record, asked: &[Asked]) -> Option<Proposal> {
    let agreement = &record.opening.plan.sight.as_ref()?.agreement;
    let tests =
        |trial: &&Trial| trial.purpose() == Purpose::ForcedChoice && trial.optotype().is_some();
    let done = record.counted().filter(tests).count();
    let eyes: Vec<&Asked> = asked
        .iter()
        .filter(|one| one.number == 0 && one.eye != Eye::Both)
        .filter(|one| record.ended_asking(one).is_none())
        .filter(|one| one.plan.procedure == SightProcedure::Adaptive)
        .collect();
    if done >= agreement.choices_below as usize || eyes.is_empty() {
        return None;
    }
    let of = eyes[done % eyes.len()];
    let Drawable { smallest, largest } = sizes_of(record, of)?;
    let posterior = AcuityPosterior::from_trials(&trials_of(record, of));
    let size = posterior.midpoint().mean() - agreement.below_log_mar;
    let log_mar = LogMar(size.clamp(smallest.0, largest.0));
    // Few directions: with eight, hardly any number of answers would be too few right ones.
    let mut few = of.clone();
    if few.plan.optotype == OptotypeSet::Landolt8 {
        few.plan.optotype = OptotypeSet::Landolt4;
    }
    let course = Course {
        record,
        asked: &few,
        smallest,
        largest,
        distance: of.distance?,
    };
    Some(course.proposal(Purpose::ForcedChoice, log_mar))
}

struct Course<'a> {
    record: &'a Record,
    asked: &'a Asked,
    smallest: LogMar,
    largest: LogMar,
    distance: Mm,
}

impl Course<'_> {
    fn next(&self) -> Option<Next> {
        if reversed(self.record, self.asked) {
            return Some(Next::End {
                section: Section::Eye(self.asked.eye),
                how: HowEnded::Stopped,
                reason: REVERSED.into(),
            });
        }
        if self.asked.plan.rows().is_some() {
            return self.rows().map(Next::Present);
        }
        if let Some(size) = self.practice_size() {
            return Some(Next::Present(self.proposal(Purpose::Practise, size)));
        }
        if let Some(screened) = screened_sight(self.record, self.asked) {
            let open = screened.passed.is_none();
            let size = LogMar(screened.log_mar.0.clamp(self.smallest.0, self.largest.0));
            // Another size would answer another question.
            let can = (size.0 - screened.log_mar.0).abs() < 1e-9;
            return (open && can).then(|| Next::Present(self.proposal(Purpose::Screen, size)));
        }
        let size = self.measuring_size()?;
        Some(Next::Present(self.proposal(Purpose::Measure, size)))
    }

    /// The size of the next practice item; none if practice is done. A round is passed with one
    /// wrong answer at most; otherwise the next one is larger.
    fn practice_size(&self) -> Option<LogMar> {
        let items = self.asked.plan.practice_items as usize;
        let right: Vec<bool> = practice(self.record, self.asked)
            .filter_map(Trial::right)
            .collect();
        let rounds = right.chunks(items.max(1));
        let passed = |round: &[bool]| {
            round.len() == items && round.iter().filter(|right| !**right).count() <= 1
        };
        let done = rounds.clone().filter(|round| round.len() == items).count();
        if items == 0 || rounds.clone().any(passed) || done >= MOST_ROUNDS {
            return None;
        }
        let wanted = PRACTICE_LOG_MAR + LARGER_BY_LOG_MAR * done as f64;
        Some(LogMar(wanted.clamp(self.smallest.0, self.largest.0)))
    }

    /// The size that tells most about the acuity; none if it is known well enough.
    fn measuring_size(&self) -> Option<LogMar> {
        let plan = &self.asked.plan;
        let trials = trials_of(self.record, self.asked);
        let posterior = AcuityPosterior::from_trials(&trials);
        let count = trials.len() as u32;
        let settled =
            posterior.midpoint().sd() <= plan.stop_sd_log_mar && count >= plan.fewest_trials;
        if settled || count >= plan.most_trials {
            return None;
        }
        let steps = ((self.largest.0 - self.smallest.0) / SIZE_STEP_LOG_MAR).floor() as u32;
        let size = |step| self.smallest.0 + SIZE_STEP_LOG_MAR * f64::from(step);
        let sizes: Vec<f64> = (0..=steps).map(size).collect();
        posterior
            .best_size(&sizes, plan.optotype.choices())
            .map(LogMar)
    }

    /// The next letters of the rows; none if they are read to their end. A row is five different
    /// letters at random, however many of them are shown at a time; on a card it is what is printed.
    fn rows(&self) -> Option<Proposal> {
        let plan = self.asked.plan.rows()?;
        let reading = RowsReading::of(self.record, self.asked)?;
        let (next, shown) = reading.next_row()?;
        if self.asked.plan.procedure == SightProcedure::NearCard {
            return Some(self.on_the_card(next, shown));
        }
        let n = u64::from(self.record.next_number());
        let mut draws = Draws::new(self.record.opening.presenter_seed, Stream::Optotype, n);
        let letters = match plan.shows {
            RowsShow::Letter => 1,
            RowsShow::Row | RowsShow::All => ROW_LETTERS - shown.min(ROW_LETTERS - 1),
        };
        let mut optotypes = Vec::new();
        for row in reading.together(self.strokes_of_height()) {
            let mut left = self.asked.plan.optotype.symbols();
            if row == next {
                let used = letters_shown(self.record, self.asked, row);
                left.retain(|symbol| symbol.letter().is_none_or(|one| !used.contains(&one)));
            }
            for _ in 0..letters.min(left.len()) {
                let symbol = left.swap_remove(draws.below(left.len()));
                optotypes.push((symbol, row));
            }
        }
        Some(self.present(Purpose::Measure, optotypes))
    }

    /// The rest of a row of the card; of rings one after the other, since a direction is one answer.
    fn on_the_card(&self, row: LogMar, shown: usize) -> Proposal {
        let plan = &self.asked.plan;
        let card = NearCard::new(plan.card.seed, plan.optotype, plan.card.distance_mm);
        let rest = card.row(row).iter().skip(shown);
        let at_once = match plan.optotype.task() {
            Task::Letters => ROW_LETTERS,
            _ => 1,
        };
        let optotypes = rest.take(at_once).map(|symbol| (*symbol, row)).collect();
        self.present(Purpose::Measure, optotypes)
    }

    /// How many strokes of logMAR 0 have room under each other.
    fn strokes_of_height(&self) -> f64 {
        5.0 * self.largest.detail().0
    }

    fn proposal(&self, purpose: Purpose, log_mar: LogMar) -> Proposal {
        let symbol = self.symbol(purpose);
        self.present(purpose, vec![(symbol, log_mar)])
    }

    fn present(&self, purpose: Purpose, optotypes: Vec<(Symbol, LogMar)>) -> Proposal {
        let (eye, plan) = (self.asked.eye, &self.asked.plan);
        let on_card = plan.procedure == SightProcedure::NearCard;
        let part = |(symbol, log_mar)| {
            Part::Optotype(OptotypePart {
                crowded: plan.crowded && !on_card,
                reverse: plan.reverse && !on_card,
                shown_s: plan.shown_s.filter(|_| !on_card),
                correction: plan.correction,
                pinhole: plan.pinhole,
                card: on_card.then_some(plan.card.seed),
                ..OptotypePart::plain(eye, plan.optotype, symbol, log_mar, self.distance)
            })
        };
        let presentation = Presentation {
            task: plan.optotype.task(),
            window_s: None,
            parts: optotypes.into_iter().map(part).collect(),
        };
        Proposal {
            purpose,
            presentation,
            slot: None,
            asking: self.asked.number,
        }
    }

    /// Drawn afresh each time. Every second practice item points sideways, since only those show
    /// whether left and right are understood.
    fn symbol(&self, purpose: Purpose) -> Symbol {
        let n = u64::from(self.record.next_number());
        let mut draws = Draws::new(self.record.opening.presenter_seed, Stream::Optotype, n);
        let all = self.asked.plan.optotype.symbols();
        let practised = practice(self.record, self.asked).count();
        if purpose == Purpose::Practise && practised.is_multiple_of(2) {
            let points_sideways = |symbol: &Symbol| {
                let facing = symbol.facing();
                facing.is_some_and(|facing| facing.mirrored() != facing)
            };
            let sideways: Vec<Symbol> = all.iter().copied().filter(points_sideways).collect();
            if !sideways.is_empty() {
                return sideways[draws.below(sideways.len())];
            }
        }
        all[draws.below(all.len())]
    }
}
