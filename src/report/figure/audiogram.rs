//! The audiogram: hearing thresholds over frequency, louder downward.
//!
//! One octave is as long as 20 dB, frequencies are spaced by their logarithm, and the level is
//! named with its scale (ISO 8253-1:2010, the clause on the audiogram form; from memory).

mod draw;
mod key;

use super::{Area, Drawing, Shape, Table};
use crate::finding::{
    HearingFinding, HearingFindings, HearingStatus, Masking, Screened, ScreeningFindings,
};
use crate::journal::Record;
use crate::quantity::{Ear, Hz, Scale};
use crate::report::words::{Key, Lang};
use crate::standard::AUDIOMETRIC_HZ;

/// How many decibels are as long as one octave.
pub const DB_PER_OCTAVE: f64 = 20.0;

const LOWEST: Hz = Hz(125.0);
const HIGHEST: Hz = Hz(8000.0);

/// What kind of threshold a mark stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A threshold.
    Threshold,
    /// A threshold that leans on the prior and on neighbouring frequencies.
    Leaning,
    /// Not answered at the highest level, where the mark stands.
    NoResponse,
    /// Answered at the lowest level, where the mark stands: the threshold is there or below.
    AtMinimum,
    /// Answered here without masking, by which ear is not known: the threshold of the ear is here
    /// or poorer. Never the mark of a threshold.
    EitherEar,
    /// Heard at the one level of a screening, which is no threshold.
    ScreenedHeard,
    /// Not heard at the one level of a screening.
    ScreenedNotHeard,
}

/// One mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// The ear.
    pub ear: Ear,
    /// The frequency.
    pub hz: Hz,
    /// The level, dB on the audiogram's scale.
    pub db: f64,
    /// What it stands for.
    pub kind: Kind,
    /// The central 90 % of the posterior of the midpoint, dB.
    pub interval_90_db: Option<[f64; 2]>,
    /// The reading when it was measured again, dB.
    pub repeat_db: Option<f64>,
    /// Whether it was measured with noise at the other ear.
    pub masked: bool,
    /// The share of its precision that comes from the prior and the neighbours, where it is known.
    pub prior_share: Option<f64>,
}

/// What an audiogram shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Audiogram {
    /// What the levels refer to.
    pub scale: Scale,
    /// All marks, each ear in order of frequency, the right one first.
    pub marks: Vec<Mark>,
    /// The highest level that the set-up presents, dB at each frequency, ascending.
    pub maximum: Vec<(Hz, f64)>,
    /// Values are as obtained, not thresholds.
    pub as_obtained: bool,
    /// Whether the key is drawn with it, where there is room.
    pub keyed: bool,
}

impl Audiogram {
    /// Of findings, which may be partly there; `maximum` is the highest level of the set-up on
    /// `scale` at each frequency.
    #[must_use]
    pub fn new(
        findings: &HearingFindings,
        scale: Scale,
        mut maximum: Vec<(Hz, f64)>,
        as_obtained: bool,
    ) -> Audiogram {
        maximum.sort_by(|a, b| a.0.0.total_cmp(&b.0.0));
        let drawn = |hz: Hz| LOWEST <= hz && hz <= HIGHEST;
        maximum.retain(|(hz, _)| drawn(*hz));
        let marks = findings
            .all()
            .filter(|(_, one)| drawn(one.hz))
            .filter_map(|(ear, one)| Mark::of(ear, one))
            .collect();
        Audiogram {
            scale,
            marks,
            maximum,
            as_obtained,
            keyed: true,
        }
    }

    /// The same without its key, and the key as a figure of its own.
    #[must_use]
    pub fn apart(self) -> (Audiogram, AudiogramKey) {
        let bare = Audiogram {
            keyed: false,
            ..self
        };
        (bare.clone(), AudiogramKey(bare))
    }

    /// Of the record's own set-up; empty of marks while nothing is known. At each frequency the
    /// maximum is that of the ear that can be given more.
    #[must_use]
    pub fn of(record: &Record, findings: &HearingFindings, as_obtained: bool) -> Audiogram {
        let Some(earphone) = &record.opening.set_up.earphone else {
            return Audiogram::new(findings, Scale::DbFs, Vec::new(), as_obtained);
        };
        let maximum = AUDIOMETRIC_HZ.into_iter().filter_map(|hz| {
            Ear::BOTH
                .into_iter()
                .filter_map(|ear| earphone.max_level(ear, hz))
                .map(crate::quantity::Level::db)
                .reduce(f64::max)
                .map(|db| (hz, db))
        });
        Audiogram::new(findings, earphone.scale(), maximum.collect(), as_obtained)
    }

    /// The levels at the top and at the foot, dB.
    #[must_use]
    pub fn range_db(&self) -> [f64; 2] {
        match self.scale {
            Scale::DbHl => [-10.0, 120.0],
            Scale::DbReExaminer => [-10.0, 90.0],
            Scale::DbFs => [-120.0, 0.0],
        }
    }

    /// The same with what a screening found.
    #[must_use]
    pub fn with_screening(mut self, screening: Option<&ScreeningFindings>) -> Audiogram {
        let all = screening.into_iter().flat_map(ScreeningFindings::all);
        self.marks.extend(all.filter_map(|(ear, one)| {
            let kind = match one.found {
                Screened::Heard => Kind::ScreenedHeard,
                Screened::NotHeard => Kind::ScreenedNotHeard,
                Screened::Undecided | Screened::NotTested => return None,
            };
            Some(Mark {
                ear,
                hz: one.hz,
                db: one.level?.db(),
                kind,
                interval_90_db: None,
                repeat_db: None,
                masked: false,
                prior_share: None,
            })
        }));
        self
    }

    /// The runs of marks of one ear that a line joins, in order of frequency: a mark that stands
    /// for no threshold ends a run and belongs to none.
    #[must_use]
    pub fn runs(&self, ear: Ear) -> Vec<Vec<Mark>> {
        let screened =
            |mark: &Mark| matches!(mark.kind, Kind::ScreenedHeard | Kind::ScreenedNotHeard);
        let marks = self.of_ear(ear).filter(|mark| !screened(mark));
        let marks: Vec<Mark> = marks.copied().collect();
        marks
            .split(|mark| matches!(mark.kind, Kind::NoResponse | Kind::EitherEar))
            .filter(|run| !run.is_empty())
            .map(<[Mark]>::to_vec)
            .collect()
    }

    fn of_ear(&self, ear: Ear) -> impl Iterator<Item = &Mark> {
        self.marks.iter().filter(move |mark| mark.ear == ear)
    }
}

impl Mark {
    fn of(ear: Ear, finding: &HearingFinding) -> Option<Mark> {
        let (kind, db) = match finding.status {
            HearingStatus::Measured if finding.from_neighbours => {
                (Kind::Leaning, finding.stated_db()?)
            }
            HearingStatus::Measured => (Kind::Threshold, finding.stated_db()?),
            HearingStatus::NoResponseAtMaximum => (Kind::NoResponse, finding.stated_db()?),
            HearingStatus::AnsweredAtMinimum => (Kind::AtMinimum, finding.stated_db()?),
            HearingStatus::NotTested | HearingStatus::Declined | HearingStatus::Stopped => {
                (Kind::EitherEar, finding.unmasked?.db())
            }
        };
        Some(Mark {
            ear,
            hz: finding.hz,
            db,
            kind,
            interval_90_db: finding.interval_90_db,
            repeat_db: finding.repeat_db,
            masked: finding.masking == Some(Masking::Done),
            prior_share: finding.prior_share,
        })
    }

    /// The mark's level in words.
    #[must_use]
    pub fn level(&self, lang: Lang) -> String {
        let db = lang.number(self.db, 0);
        let filled = |key| lang.fill(key, &[&db]);
        match self.kind {
            Kind::Threshold | Kind::Leaning => db,
            Kind::NoResponse => filled(Key::NoResponseAt),
            Kind::AtMinimum => filled(Key::OrBelow),
            Kind::EitherEar => filled(Key::OrPoorer),
            Kind::ScreenedHeard => filled(Key::HeardAt),
            Kind::ScreenedNotHeard => filled(Key::NotHeardAt),
        }
    }

    /// What has to be known about the mark.
    #[must_use]
    pub fn remark(&self, lang: Lang) -> String {
        let key = match self.kind {
            Kind::EitherEar => Key::EitherEarRemark,
            Kind::ScreenedHeard | Kind::ScreenedNotHeard => Key::ScreeningRemark,
            Kind::Leaning => {
                let share = lang.number(100.0 * self.prior_share.unwrap_or(0.0), 0);
                let leans = lang.fill(Key::LeansRemark, &[&share]);
                let masked = self.masked.then(|| lang.text(Key::OtherEarMasked));
                return masked.map_or(leans.clone(), |masked| format!("{masked}; {leans}"));
            }
            _ if self.masked => Key::OtherEarMasked,
            _ => return String::new(),
        };
        lang.text(key).to_owned()
    }

    /// Whether it stands for a threshold, or a bound of one, of this ear.
    #[must_use]
    pub fn measures(&self) -> bool {
        matches!(
            self.kind,
            Kind::Threshold | Kind::Leaning | Kind::NoResponse | Kind::AtMinimum
        )
    }
}

/// The key of an audiogram, as a figure of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct AudiogramKey(Audiogram);

impl AudiogramKey {
    /// How high it is, points.
    #[must_use]
    pub fn height(&self) -> f32 {
        key::entries(&self.0).len() as f32 * key::KEY_ROW
    }
}

impl Drawing for AudiogramKey {
    fn told(&self, lang: Lang) -> String {
        let names = key::entries(&self.0);
        let names: Vec<&str> = names.iter().map(|one| lang.text(one.words())).collect();
        format!("{}: {}.", lang.text(Key::KeyHead), names.join(", "))
    }

    fn rows(&self, lang: Lang) -> Table {
        let names = key::entries(&self.0);
        let names = names
            .iter()
            .map(|one| vec![lang.text(one.words()).to_owned()]);
        Table {
            head: vec![lang.text(Key::KeyHead).to_owned()],
            rows: names.collect(),
        }
    }

    fn shapes(&self, area: Area, lang: Lang) -> Vec<Shape> {
        draw::key_shapes(&self.0, area, lang)
    }
}

/// A scale's unit as figures and tables name it.
#[must_use]
pub fn unit(scale: Scale, lang: Lang) -> &'static str {
    lang.text(match scale {
        Scale::DbHl => Key::DbHl,
        Scale::DbReExaminer => Key::DbReExaminer,
        Scale::DbFs => Key::DbFs,
    })
}

/// An ear's name.
#[must_use]
pub fn ear_name(ear: Ear, lang: Lang) -> &'static str {
    lang.text(match ear {
        Ear::Right => Key::RightEar,
        Ear::Left => Key::LeftEar,
    })
}

impl Drawing for Audiogram {
    fn told(&self, lang: Lang) -> String {
        let what = lang.text(if self.as_obtained {
            Key::AsObtainedNoThresholds
        } else {
            Key::Thresholds
        });
        let ears = Ear::BOTH.map(|ear| {
            let points: Vec<String> = self
                .of_ear(ear)
                .map(|mark| format!("{} Hz {}", mark.hz.0, mark.level(lang)))
                .collect();
            let points = if points.is_empty() {
                lang.text(Key::NothingYet).to_owned()
            } else {
                points.join(", ")
            };
            format!("{}: {points}.", ear_name(ear, lang))
        });
        let first = lang.fill(Key::Audiogram, &[what, unit(self.scale, lang)]);
        format!("{first} {}", ears.join(" "))
    }

    fn rows(&self, lang: Lang) -> Table {
        let row = |mark: &Mark| {
            let interval = mark.interval_90_db.map_or(String::new(), |ends| {
                let [low, high] = ends.map(|end| lang.number(end, 1));
                lang.fill(Key::To, &[&low, &high])
            });
            vec![
                ear_name(mark.ear, lang).to_owned(),
                lang.number(mark.hz.0, 0),
                mark.level(lang),
                interval,
                mark.repeat_db
                    .map_or(String::new(), |db| lang.number(db, 0)),
                mark.remark(lang),
            ]
        };
        let level = if self.as_obtained {
            Key::AsObtainedIn
        } else {
            Key::ThresholdIn
        };
        let head = [
            lang.text(Key::Ear).to_owned(),
            lang.text(Key::FrequencyHz).to_owned(),
            lang.fill(level, &[unit(self.scale, lang)]),
            lang.text(Key::Interval90).to_owned(),
            lang.text(Key::MeasuredAgain).to_owned(),
            lang.text(Key::Remark).to_owned(),
        ];
        Table {
            head: head.to_vec(),
            rows: self.marks.iter().map(row).collect(),
        }
    }

    fn shapes(&self, area: Area, lang: Lang) -> Vec<Shape> {
        draw::shapes(self, area, lang)
    }
}

/// Where levels and frequencies lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axes {
    /// The drawn field: half an octave wider than the frequencies on either side.
    pub field: Area,
    /// The level at its top, dB.
    pub top_db: f64,
    /// Points a decibel, downward; an octave is [`DB_PER_OCTAVE`] times as long.
    pub points_per_db: f64,
}

impl Axes {
    /// The largest that fits into `space`, at its left and top.
    #[must_use]
    pub fn fit(space: Area, [top_db, foot_db]: [f64; 2]) -> Axes {
        let octaves = HIGHEST.octaves_above(LOWEST) + 1.0;
        let (wide_db, high_db) = (octaves * DB_PER_OCTAVE, foot_db - top_db);
        let [width, height] = [space.width(), space.height()].map(|side| f64::from(side.max(0.0)));
        let points_per_db = (width / wide_db).min(height / high_db);
        let size = [wide_db, high_db].map(|db| (db * points_per_db) as f32);
        Axes {
            field: Area::sized(space.min, size[0], size[1]),
            top_db,
            points_per_db,
        }
    }

    /// Where a frequency lies, points from the left.
    #[must_use]
    pub fn x(&self, hz: Hz) -> f32 {
        let octaves = hz.octaves_above(LOWEST) + 0.5;
        self.field.min.x + (octaves * DB_PER_OCTAVE * self.points_per_db) as f32
    }

    /// Where a level lies, points from the top.
    #[must_use]
    pub fn y(&self, db: f64) -> f32 {
        self.field.min.y + ((db - self.top_db) * self.points_per_db) as f32
    }
}
