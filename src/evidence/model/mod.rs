//! The likelihood of all answers to sounds under kinds of people: those who answer what they
//! perceive, and others.
//!
//! Each ear and frequency has a level of its own, where the person's answers turn from none to yes:
//! a midpoint of hearing, or a bar. It is summed over on one even grid under both, so no level, and
//! no shape of an audiogram, tells one from the other. What is left of the two is how answers follow
//! their company, time, the other ear and a forced choice. How steep answers are, how seldom silence
//! is answered and how much they wander are drawn from the same ranges under both wherever they are
//! regular: no regularity counts against anyone.

mod kinds;
mod likelihood;
mod outlook;
mod way;
mod weighed;

pub use kinds::{KindOfPeople, kinds};
pub use outlook::Outlook;
pub use weighed::{Asked, Part, Weighed, company_after, company_db, weighed};

use likelihood::{Fit, fit};
use serde::{Deserialize, Serialize};

/// What the answers say of the two mixtures.
#[derive(Debug, Clone, PartialEq)]
pub struct Ratio {
    /// log10 of how much better the others explain the answers than people who answer what they
    /// perceive, before it is recalibrated.
    pub log10: f64,
    /// The same with one part of the presentations left out, for each part that was made.
    pub log10_without: Vec<(Part, f64)>,
    /// ln likelihood of all answers under each kind, in the order of [`kinds`].
    pub ln_by_kind: Vec<f64>,
}

/// What a mixture of kinds makes of the answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Mixture {
    /// People who answer what they perceive.
    Perceiving,
    /// Others.
    Others,
}

impl Ratio {
    /// Weighs answers; none if there are none.
    #[must_use]
    pub fn of(answers: &[Weighed]) -> Option<Ratio> {
        if answers.is_empty() {
            return None;
        }
        let laid = likelihood::Laid::of(answers);
        let mut by_kind = Vec::new();
        for kind in kinds() {
            let fits: Vec<Fit> = kind.ways.iter().map(|way| fit(way, &laid)).collect();
            by_kind.push((kind, fits));
        }
        let of = |value: &dyn Fn(&Fit) -> f64| ratio_of(&by_kind, value);
        let log10 = of(&|fit| fit.all) / std::f64::consts::LN_10;
        let made = Part::ALL.into_iter().filter(|part| laid.made(*part));
        let log10_without = made
            .map(|part| {
                let without = of(&|fit| fit.without[part as usize]);
                (part, without / std::f64::consts::LN_10)
            })
            .collect();
        let ln_by_kind = by_kind
            .iter()
            .map(|(_, fits)| ln_mean(fits.iter().map(|fit| fit.all)))
            .collect();
        Some(Ratio {
            log10,
            log10_without,
            ln_by_kind,
        })
    }
}

/// ln of the ratio of the two mixtures.
fn ratio_of(by_kind: &[(&KindOfPeople, Vec<Fit>)], value: &dyn Fn(&Fit) -> f64) -> f64 {
    let mixture = |which: Mixture| {
        let of = by_kind.iter().filter(|(kind, _)| kind.mixture == which);
        let total: f64 = of.clone().map(|(kind, _)| kind.weight).sum();
        let weighed =
            of.map(|(kind, fits)| libm::log(kind.weight / total) + ln_mean(fits.iter().map(value)));
        ln_sum(weighed)
    };
    mixture(Mixture::Others) - mixture(Mixture::Perceiving)
}

/// ln of the sum of what these are the logarithms of.
fn ln_sum(logs: impl Iterator<Item = f64>) -> f64 {
    let logs: Vec<f64> = logs.collect();
    let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if top == f64::NEG_INFINITY {
        return top;
    }
    top + libm::log(logs.iter().map(|log| libm::exp(log - top)).sum())
}

fn ln_mean(logs: impl Iterator<Item = f64>) -> f64 {
    let logs: Vec<f64> = logs.collect();
    let count = logs.len() as f64;
    ln_sum(logs.into_iter()) - libm::log(count)
}

#[cfg(test)]
mod tests;
