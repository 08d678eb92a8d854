//! Why a presentation is made, in plain words: from what was known before it.

use crate::calibration::EarphoneProfile;
use crate::finding::estimated::{Estimate, FEWEST_OWN, Tone};
use crate::finding::masking::{Need, need, stand};
use crate::finding::plateau::{Aim, Stand};
use crate::finding::{measured_hz, own_steps, series_reading_db, silent_answers};
use crate::journal::{
    AscendingRule, BracketingRule, HearingPlan, Planned, Procedure, Proposer, Purpose, Record,
    SeriesRule,
};
use crate::quantity::{Ear, Hz, Scale};
use crate::stimulus::SoundPart;
use serde::Serialize;

/// Why a presentation of hearing is made.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "because", rename_all = "snake_case")]
pub enum Reason {
    /// The examiner wished it.
    Examiner,
    /// To show what to listen for.
    Familiarise,
    /// A slot without a tone: how often does an answer come when there is nothing?
    Silent {
        /// Silent presentations answered so far.
        answered: u32,
        /// Silent presentations so far.
        of: u32,
    },
    /// One fixed level.
    Screen,
    /// To measure again what is known already.
    Again {
        /// What was read the first time, dB.
        first_db: Option<f64>,
    },
    /// The next step of a series.
    Series {
        /// The latest step before: its level, dB, and whether it was answered.
        after: Option<(f64, bool)>,
        /// What the rule makes of it.
        rule: &'static str,
    },
    /// The answer narrows the estimate most.
    Estimate(Estimating),
    /// To see how the answers agree.
    Agreement {
        /// How.
        by: Purpose,
    },
    /// Noise keeps the other ear from answering.
    Masked {
        /// What the masked tone is for.
        aim: MaskedAim,
    },
}

/// What a masked tone is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum MaskedAim {
    /// The ears are so far apart that the other one may have answered; where is it answered now?
    FindAgain,
    /// The full series at the plateau's loudest noise.
    Series,
    /// The plateau is there; its level is not narrow enough yet, or not surely this ear's.
    Surer,
    /// The readings leave it in doubt whether the other ear answered.
    DispelDoubt,
}

/// What an estimating tone is chosen by.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Estimating {
    /// What stands out about this ear and frequency.
    pub for_this: ForThis,
    /// Where its midpoint lies with 90 %, on the set-up's scale, dB.
    pub interval_90_db: [f64; 2],
    /// The unit of all levels here.
    pub unit: &'static str,
    /// Its own presentations so far.
    pub own: usize,
    /// How likely the tone is answered.
    pub p_answered: f64,
    /// The midpoint's mean after an answer, and after none, dB.
    pub midpoint_after_db: [f64; 2],
}

/// What stands out about an ear and frequency that is asked.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum ForThis {
    /// Its latest answer does not fit the others.
    DoesNotFit {
        /// The level of that answer, dB.
        level_db: f64,
        /// Whether it was answered.
        answered: bool,
    },
    /// Its interval is the widest of all.
    Widest,
    /// It is narrow enough, but has too few presentations of its own.
    FewOwn,
    /// Others are as wide; here the answer narrows it and its neighbours most.
    TellsMost,
}

/// An answer that was so unlikely, by all that is believed since, does not fit.
const UNLIKELY: f64 = 0.2;

/// Why this presentation is made, by what `record` held before its answer; none for sight, whose
/// own finding says it.
#[must_use]
pub fn reason(record: &Record, planned: &Planned) -> Option<Reason> {
    let plan = record.opening.plan.hearing.as_ref()?;
    if planned.presentation.optotypes().next().is_some() {
        return None;
    }
    if planned.by == Proposer::Examiner {
        return Some(Reason::Examiner);
    }
    if planned.purpose == Purpose::Silent {
        let (answered, of) = silent_answers(record);
        return Some(Reason::Silent { answered, of });
    }
    let tone = planned.presentation.tones().next()?;
    Some(match planned.purpose {
        Purpose::Familiarise => Reason::Familiarise,
        Purpose::Screen => Reason::Screen,
        Purpose::Repeat => Reason::Again {
            first_db: series_reading_db(record, tone.ear, tone.hz),
        },
        by @ (Purpose::Sweep | Purpose::BothEars | Purpose::ForcedChoice | Purpose::Company) => {
            Reason::Agreement { by }
        }
        Purpose::Masked => Reason::Masked {
            aim: masked_aim(record, tone.ear, tone.hz)?,
        },
        _ if plan.measures_by() == Some(Procedure::Estimate) => {
            Reason::Estimate(estimating(record, plan, tone)?)
        }
        _ => Reason::Series {
            after: own_steps(record, tone.ear, tone.hz).last(),
            rule: rule(plan.series_rule()),
        },
    })
}

fn masked_aim(record: &Record, ear: Ear, hz: Hz) -> Option<MaskedAim> {
    let (Need::Yes(ground) | Need::No(ground)) = need(record, ear, hz) else {
        return None;
    };
    match stand(record, ear, hz, ground) {
        Stand::Open { aim, .. } => Some(match aim {
            Aim::DispelDoubt => MaskedAim::DispelDoubt,
            Aim::FindAgain => MaskedAim::FindAgain,
            Aim::Series => MaskedAim::Series,
            Aim::Surer => MaskedAim::Surer,
        }),
        Stand::Settled { .. } | Stand::Failed(_) => None,
    }
}

fn estimating(record: &Record, plan: &HearingPlan, tone: &SoundPart) -> Option<Estimating> {
    let estimate = Estimate::of(record)?;
    let (ear, hz) = (tone.ear, tone.hz);
    let known = estimate.at(ear, hz)?;
    let level_db = tone.level.db();
    let outlook = estimate.outlook(Tone { ear, hz, level_db })?;
    let (_, sd_db) = estimate.moments_db(ear, hz)?;
    let own: Vec<(f64, bool)> = own_steps(record, ear, hz).collect();
    let unlikely = |(level_db, answered): &(f64, bool)| {
        let tone = Tone {
            ear,
            hz,
            level_db: *level_db,
        };
        let p = estimate.outlook(tone).map(|outlook| outlook.p_answered);
        p.is_some_and(|p| if *answered { p } else { 1.0 - p } < UNLIKELY)
    };
    let widest = plan.ears.iter().all(|other| {
        let all_hz = measured_hz(record, *other).into_iter();
        let sds = all_hz.filter_map(|hz| estimate.moments_db(*other, hz));
        sds.fold(0.0, |most: f64, (_, sd_db)| most.max(sd_db)) <= sd_db
    });
    let for_this = match own.last().filter(|last| unlikely(last)) {
        Some((level_db, answered)) => ForThis::DoesNotFit {
            level_db: *level_db,
            answered: *answered,
        },
        None if (own.len() as u32) < FEWEST_OWN && sd_db <= plan.stop_sd_db() => ForThis::FewOwn,
        None if widest => ForThis::Widest,
        None => ForThis::TellsMost,
    };
    let spread = known.midpoint.blurred(known.wander_sd_db);
    let earphone = record.opening.set_up.earphone.as_ref();
    Some(Estimating {
        for_this,
        interval_90_db: spread.interval(0.9).map(|db| db - known.shift_db),
        unit: earphone.map_or(Scale::DbFs, EarphoneProfile::scale).unit(),
        own: own.len(),
        p_answered: outlook.p_answered,
        midpoint_after_db: [outlook.if_answered_db, outlook.if_not_db],
    })
}

fn rule(rule: SeriesRule) -> &'static str {
    match rule {
        SeriesRule::Ascents(AscendingRule {
            needed: 3, of: 5, ..
        }) => "10 dB down after an answer, 5 dB up after none; done at 3 answers of 5 from below",
        SeriesRule::Ascents(AscendingRule { of: 4, .. }) => {
            "10 dB down after an answer, 5 dB up after none; done at 2 answers of 4 from below"
        }
        SeriesRule::Ascents(_) => {
            "10 dB down after an answer, 5 dB up after none; done at 2 answers of 3 from below"
        }
        SeriesRule::Bracketing(BracketingRule { .. }) => {
            "up until it is answered, then down until it is not, by turns; the threshold is the mean \
             of the lowest answers"
        }
    }
}

impl Reason {
    /// The reason in words.
    #[must_use]
    pub fn sentence(&self) -> String {
        match self {
            Reason::Examiner => "Presented by hand.".into(),
            Reason::Familiarise => {
                "To show what to listen for: softer until it is missed, then back up.".into()
            }
            Reason::Silent { of: 0, .. } => "A slot like any other without a tone, by chance's \
                 turn: does an answer come when there is nothing?"
                .into(),
            Reason::Silent { answered, of } => format!(
                "A slot like any other without a tone, by chance's turn: {answered} of {of} such \
                 slots were answered so far."
            ),
            Reason::Screen => {
                "Screening at one level: heard or not heard there is all that it tells.".into()
            }
            Reason::Again { first_db } => first_db.map_or_else(
                || "Measured again.".into(),
                |db| {
                    format!(
                        "Once more and unannounced: it was {db:.0} dB the first time; how far do two \
                         measurements agree?"
                    )
                },
            ),
            Reason::Series { after, rule } => match after {
                None => format!("The first tone here; {rule}."),
                Some((db, true)) => format!("{db:.0} dB was answered; {rule}."),
                Some((db, false)) => format!("{db:.0} dB was not answered; {rule}."),
            },
            Reason::Estimate(estimating) => estimating.sentence(),
            Reason::Masked { aim } => aim.sentence().into(),
            Reason::Agreement { by } => agreement(*by).into(),
        }
    }
}

fn agreement(by: Purpose) -> &'static str {
    match by {
        Purpose::Sweep => {
            "Levels rise steadily, or fall steadily: do both find the same threshold?"
        }
        Purpose::BothEars => {
            "The same tone softly at the other ear: whoever hears it in the better ear answers."
        }
        Purpose::ForcedChoice => {
            "The first or the second interval? Below the threshold a guess is right half the time."
        }
        _ => {
            "Near the threshold, after loud tones or after soft ones: does the company change the answer?"
        }
    }
}

impl MaskedAim {
    fn sentence(self) -> &'static str {
        match self {
            MaskedAim::FindAgain => {
                "Without noise the other ear might answer. The noise goes up until the level at \
                 which the tone is answered stays where it is."
            }
            MaskedAim::Series => {
                "The level has stayed while the noise went up; the full series is made once, at the \
                 loudest noise of that plateau."
            }
            MaskedAim::Surer => {
                "There is a plateau, but the answers leave its level too wide, or it is not sure yet \
                 that this ear answers."
            }
            MaskedAim::DispelDoubt => {
                "The readings are so uncertain that the other ear might have answered; noise there \
                 tells."
            }
        }
    }
}

impl Estimating {
    fn sentence(&self) -> String {
        let [low, high] = self.interval_90_db;
        let unit = self.unit;
        let lies = format!("its midpoint lies between {low:.0} and {high:.0} {unit} (90 %)");
        let why = match self.for_this {
            ForThis::DoesNotFit { level_db, answered } => {
                let was = if answered { "was answered" } else { "was not" };
                format!("that {level_db:.0} dB {was} does not fit the other answers; {lies}")
            }
            ForThis::Widest => format!("{lies}, the widest interval of all"),
            ForThis::FewOwn => format!(
                "{lies}, but it has only {} of the {FEWEST_OWN} presentations of its own that a \
                 threshold needs",
                self.own
            ),
            ForThis::TellsMost => format!("{lies}; of all tones this one narrows most"),
        };
        let mut why = why;
        if let Some(first) = why.get_mut(0..1) {
            first.make_ascii_uppercase();
        }
        let [yes, no] = self.midpoint_after_db;
        format!(
            "{why}. An answer ({:.0} % likely) moves it to about {yes:.0}, none to about {no:.0}.",
            100.0 * self.p_answered
        )
    }
}
