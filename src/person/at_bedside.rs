//! What reaches a simulated person at the bedside, and what they answer. The keys are described
//! in `demo/cases/README.md`.

use super::case::{HearingTruth, Kind, Manner};
use crate::calibration::{FieldError, within};
use crate::quantity::{Draws, Ear, Hz, Side};
use crate::stimulus::{Place, Prompted, Reply, SeriesKind, Strength};
use serde::Deserialize;

/// The side that is left out where both are presented at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LeftOut {
    /// None.
    None,
    /// The right one.
    Right,
    /// The left one.
    Left,
}

/// How the person answers prompts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Replies {
    /// What is perceived.
    Perceived,
    /// Without regard to what is presented.
    Guess,
    /// What is perceived is mostly answered wrongly.
    Contrary,
}

/// How likely each prompt is noticed.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
#[expect(missing_docs, reason = "each key is described in demo/cases/README.md")]
pub struct BedsideTruth {
    pub smell_right: f64,
    pub smell_left: f64,
    /// Upper right, lower right, upper left, lower left.
    pub field_right_eye: [f64; 4],
    pub field_left_eye: [f64; 4],
    pub red_loss: f64,
    pub radius_deg: f64,
    pub tubular: bool,
    pub extinguishes: LeftOut,
    pub extinction: f64,
    /// Brow, cheek, jaw.
    pub touch_right: [f64; 3],
    pub touch_left: [f64; 3],
    pub tells_apart: f64,
    /// Faint, strong.
    pub rub_right: [f64; 2],
    pub rub_left: [f64; 2],
    pub whisper_right: f64,
    pub whisper_left: f64,
    pub fork_right: f64,
    pub fork_left: f64,
    pub replies: Option<Replies>,
    pub contrary: f64,
}

impl Default for BedsideTruth {
    fn default() -> Self {
        BedsideTruth {
            smell_right: 0.95,
            smell_left: 0.95,
            field_right_eye: [0.97; 4],
            field_left_eye: [0.97; 4],
            red_loss: 0.0,
            radius_deg: 22.0,
            tubular: false,
            extinguishes: LeftOut::None,
            extinction: 0.9,
            touch_right: [0.97; 3],
            touch_left: [0.97; 3],
            tells_apart: 0.85,
            rub_right: [0.9, 0.98],
            rub_left: [0.9, 0.98],
            whisper_right: 0.9,
            whisper_left: 0.9,
            fork_right: 0.97,
            fork_left: 0.97,
            replies: None,
            contrary: 0.8,
        }
    }
}

impl BedsideTruth {
    /// What somebody with this hearing notices by hand where nothing else is said of them: half the
    /// time at a mean midpoint of 30 dB HL for a faint rub and a whisper, 55 for a strong rub, and 60
    /// at 500 Hz for a fork (our choice; a faint rub that is heard goes with hearing within 25 dB,
    /// Torres-Russotto 2009).
    #[must_use]
    pub fn of(hearing: &HearingTruth) -> BedsideTruth {
        let noticed = |midpoint_db: f64, half_at_db: f64| {
            0.98 / (1.0 + libm::exp((midpoint_db - half_at_db) / 5.0))
        };
        let mean_db = |ear| {
            let four = [500.0, 1000.0, 2000.0, 4000.0];
            four.map(|hz| hearing.midpoint_db(ear, Hz(hz)))
                .iter()
                .sum::<f64>()
                / 4.0
        };
        let [right_db, left_db] = Ear::BOTH.map(mean_db);
        let rub = |db| [noticed(db, 30.0), noticed(db, 55.0)];
        let fork = |ear| noticed(hearing.midpoint_db(ear, Hz(500.0)), 60.0);
        BedsideTruth {
            rub_right: rub(right_db),
            rub_left: rub(left_db),
            whisper_right: noticed(right_db, 30.0),
            whisper_left: noticed(left_db, 30.0),
            fork_right: fork(Ear::Right),
            fork_left: fork(Ear::Left),
            ..BedsideTruth::default()
        }
    }

    pub(super) fn check(&self) -> Result<(), FieldError> {
        let single = [
            ("smell_right", self.smell_right),
            ("smell_left", self.smell_left),
            ("red_loss", self.red_loss),
            ("extinction", self.extinction),
            ("tells_apart", self.tells_apart),
            ("whisper_right", self.whisper_right),
            ("whisper_left", self.whisper_left),
            ("fork_right", self.fork_right),
            ("fork_left", self.fork_left),
            ("contrary", self.contrary),
        ];
        let lists: [(&str, &[f64]); 6] = [
            ("field_right_eye", &self.field_right_eye),
            ("field_left_eye", &self.field_left_eye),
            ("touch_right", &self.touch_right),
            ("touch_left", &self.touch_left),
            ("rub_right", &self.rub_right),
            ("rub_left", &self.rub_left),
        ];
        for (field, value) in single {
            within(&format!("bedside.{field}"), value, 0.0, 1.0)?;
        }
        for (field, values) in lists {
            for value in values {
                within(&format!("bedside.{field}"), *value, 0.0, 1.0)?;
            }
        }
        within("bedside.radius_deg", self.radius_deg, 0.0, 90.0)
    }

    /// As written, else as the kind of answering suggests.
    fn manner(&self, kind: Kind) -> Replies {
        self.replies.unwrap_or(match kind {
            Kind::Random => Replies::Guess,
            Kind::Contrary => Replies::Contrary,
            Kind::Genuine | Kind::RaisedBar | Kind::RaisedBarOneSide => Replies::Perceived,
        })
    }

    /// The answer to a prompt.
    pub(super) fn reply(
        &self,
        prompted: &Prompted<'_>,
        manner: &Manner,
        draws: &mut Draws,
    ) -> Reply {
        let replies = prompted.kind.replies();
        let habit = self.manner(manner.kind);
        if habit == Replies::Guess {
            return match prompted.kind {
                // Three parts, each guessed among some ten.
                SeriesKind::Whisper => parts_right(0.1, draws),
                _ => replies[draws.below(replies.len())],
            };
        }
        let perceived = self.perceived(prompted, manner.false_alarm, draws);
        if habit == Replies::Contrary && draws.chance(self.contrary) {
            // Whisper and extent: little of what is there; otherwise anything but what is perceived.
            let others: Vec<Reply> = match (prompted.kind, perceived) {
                (SeriesKind::Whisper, _) => vec![Reply::Parts(0)],
                (SeriesKind::FieldExtent, _) => vec![Reply::TensCm(1)],
                (_, Some(perceived)) => {
                    let other = |reply: &Reply| *reply != perceived;
                    replies.iter().copied().filter(other).collect()
                }
                (_, None) => replies.clone(),
            };
            return others[draws.below(others.len())];
        }
        perceived.unwrap_or_else(|| replies[draws.below(replies.len())])
    }

    /// What the person would say of what reaches them; none where they can only guess.
    fn perceived(
        &self,
        prompted: &Prompted<'_>,
        false_alarm: f64,
        draws: &mut Draws,
    ) -> Option<Reply> {
        let (kind, prompt) = (prompted.kind, prompted.prompt);
        let side = prompted.side.unwrap_or(Side::Right);
        if prompt.target == Reply::Nothing {
            if !draws.chance(false_alarm) {
                return Some(Reply::Nothing);
            }
            let said: Vec<Reply> = kind
                .replies()
                .into_iter()
                .filter(|reply| *reply != Reply::Nothing)
                .collect();
            return Some(said[draws.below(said.len())]);
        }
        match kind {
            SeriesKind::Smell => {
                let p = of(side, self.smell_right, self.smell_left);
                Some(yes(draws.chance(p)))
            }
            SeriesKind::Fork => {
                let p = of(side, self.fork_right, self.fork_left);
                Some(yes(draws.chance(p)))
            }
            SeriesKind::Touch => Some(yes(draws.chance(self.touched(prompt.at)))),
            SeriesKind::TouchCompare => {
                let both = [Side::Right, Side::Left].map(|side| self.at_height(side, prompt.at));
                let felt = both.into_iter().all(|p| draws.chance(p));
                (felt && draws.chance(self.tells_apart)).then_some(prompt.target)
            }
            SeriesKind::FieldSides => {
                let field = of(side, self.field_right_eye, self.field_left_eye);
                let [right, left] = prompt.target.sides().unwrap_or_default();
                // A wiggle halfway out reaches the middle of both quadrants of a side.
                let mut seen = [
                    right && draws.chance(0.5 * (field[0] + field[1])),
                    left && draws.chance(0.5 * (field[2] + field[3])),
                ];
                if seen == [true, true] && draws.chance(self.extinction) {
                    match self.extinguishes {
                        LeftOut::None => {}
                        LeftOut::Right => seen[0] = false,
                        LeftOut::Left => seen[1] = false,
                    }
                }
                Some(match seen {
                    [true, true] => Reply::Both,
                    [true, false] => Reply::Right,
                    [false, true] => Reply::Left,
                    [false, false] => Reply::Nothing,
                })
            }
            SeriesKind::FieldQuadrants | SeriesKind::FieldRed => {
                let red = kind == SeriesKind::FieldRed;
                let p = self.in_quadrant(side, prompt.at) - if red { self.red_loss } else { 0.0 };
                Some(if draws.chance(p) {
                    prompt.target
                } else {
                    Reply::Nothing
                })
            }
            SeriesKind::FieldFingers => {
                let p = self.in_quadrant(side, prompt.at);
                Some(if draws.chance(p) {
                    prompt.target
                } else {
                    Reply::Nothing
                })
            }
            SeriesKind::FieldExtent => Some(self.extent(prompt.distance_m, draws)),
            SeriesKind::Rub => {
                let [right, _] = prompt.target.sides().unwrap_or_default();
                let ear = if right { self.rub_right } else { self.rub_left };
                let p = ear[usize::from(prompt.strength == Some(Strength::Strong))];
                Some(if draws.chance(p) {
                    prompt.target
                } else {
                    Reply::Nothing
                })
            }
            SeriesKind::Whisper => Some(parts_right(
                of(side, self.whisper_right, self.whisper_left),
                draws,
            )),
        }
    }

    fn touched(&self, at: Option<Place>) -> f64 {
        let side = at.and_then(Place::side).unwrap_or(Side::Right);
        self.at_height(side, at)
    }

    fn at_height(&self, side: Side, at: Option<Place>) -> f64 {
        let sites = of(side, self.touch_right, self.touch_left);
        match at {
            Some(Place::RightBrow | Place::LeftBrow | Place::Brow) => sites[0],
            Some(Place::RightCheek | Place::LeftCheek | Place::Cheek) => sites[1],
            _ => sites[2],
        }
    }

    fn in_quadrant(&self, eye: Side, at: Option<Place>) -> f64 {
        let field = of(eye, self.field_right_eye, self.field_left_eye);
        let place = Place::QUADRANTS.iter().position(|one| Some(*one) == at);
        field[place.unwrap_or(0)]
    }

    /// Where a target is first seen, give or take 4 cm; a tubular field is as wide in cm at two
    /// metres as at one.
    fn extent(&self, distance_m: Option<u8>, draws: &mut Draws) -> Reply {
        let metres = if self.tubular {
            1.0
        } else {
            f64::from(distance_m.unwrap_or(1))
        };
        let cm = 100.0 * metres * libm::tan(self.radius_deg.to_radians()) + 4.0 * draws.normal();
        Reply::TensCm((cm / 10.0).round().clamp(0.0, 9.0) as u8)
    }
}

fn of<T>(side: Side, right: T, left: T) -> T {
    match side {
        Side::Right => right,
        Side::Left => left,
    }
}

fn yes(noticed: bool) -> Reply {
    if noticed { Reply::Yes } else { Reply::Nothing }
}

fn parts_right(p: f64, draws: &mut Draws) -> Reply {
    Reply::Parts((0..3).filter(|_| draws.chance(p)).count() as u8)
}
