//! What a series of presentations would tell of the two mixtures, before it is made.

use super::likelihood::{Laid, fit, levels_after};
use super::way::Way;
use super::weighed::Weighed;
use super::{KindOfPeople, Mixture, kinds, ln_sum};

/// A way so much less likely than the likeliest of its mixture is not looked at.
const NEGLIGIBLE: f64 = 1e-4;

/// What is believed after some answers: how likely each way of answering is, within its mixture.
pub struct Outlook {
    laid: Laid,
    ways: Vec<(Mixture, &'static Way, f64)>,
    /// How likely the others are, where both mixtures were equally likely before the first answer.
    others: f64,
}

impl Outlook {
    /// After these answers; none if there are none.
    #[must_use]
    pub fn after(answers: &[Weighed]) -> Option<Outlook> {
        if answers.is_empty() {
            return None;
        }
        let laid = Laid::of(answers);
        let weigh = |kind: &'static KindOfPeople| {
            let each = libm::log(kind.weight / kind.ways.len() as f64);
            let laid = &laid;
            kind.ways
                .iter()
                .map(move |way| (kind.mixture, way, each + fit(way, laid).all))
        };
        let logs: Vec<(Mixture, &Way, f64)> = kinds().iter().flat_map(weigh).collect();
        let of = |mixture| {
            let own = logs.iter().filter(move |(of, ..)| *of == mixture);
            let total: f64 = kinds()
                .iter()
                .filter(|kind| kind.mixture == mixture)
                .map(|kind| kind.weight)
                .sum();
            (ln_sum(own.map(|(.., log)| *log)), libm::log(total))
        };
        let [perceiving, others] = [Mixture::Perceiving, Mixture::Others].map(of);
        let ln_ratio = (others.0 - others.1) - (perceiving.0 - perceiving.1);
        let share = |(mixture, way, log): (Mixture, &'static Way, f64)| {
            let sum = match mixture {
                Mixture::Perceiving => perceiving.0,
                Mixture::Others => others.0,
            };
            (mixture, way, libm::exp(log - sum))
        };
        let mut ways: Vec<(Mixture, &Way, f64)> = logs.into_iter().map(share).collect();
        let top = |mixture| {
            let own = ways.iter().filter(move |(of, ..)| *of == mixture);
            own.map(|(.., share)| *share).fold(0.0, f64::max)
        };
        let (perceiving, others) = (top(Mixture::Perceiving), top(Mixture::Others));
        ways.retain(|(mixture, _, share)| {
            let top = match mixture {
                Mixture::Perceiving => perceiving,
                Mixture::Others => others,
            };
            *share > NEGLIGIBLE * top
        });
        Some(Outlook {
            laid,
            ways,
            others: 1.0 / (1.0 + libm::exp(-ln_ratio)),
        })
    }

    /// How much the numbers of answers in these groups of presentations, all at one ear and
    /// frequency, would on average tell of who answers, bits: the mutual information of mixture and
    /// numbers (Lindley 1956). Whether each was answered (`yes`) is not looked at.
    #[must_use]
    pub fn bits(&self, groups: &[Vec<Weighed>]) -> f64 {
        let Some(first) = groups.iter().flatten().next() else {
            return 0.0;
        };
        let outcomes = groups.iter().map(|group| group.len() + 1).product();
        let mut by_mixture = [vec![0.0; outcomes], vec![0.0; outcomes]];
        let mut totals = [0.0; 2];
        for (mixture, way, share) in &self.ways {
            let at = usize::from(*mixture == Mixture::Others);
            totals[at] += share;
            for (level_db, likely) in levels_after(way, &self.laid, first) {
                let numbers = numbers(way, groups, level_db);
                for (sum, number) in by_mixture[at].iter_mut().zip(&numbers) {
                    *sum += share * likely * number;
                }
            }
        }
        let [perceiving, others] = &by_mixture;
        let entropy = |p: f64| if p > 0.0 { -p * libm::log2(p) } else { 0.0 };
        let pairs = perceiving.iter().zip(others);
        pairs
            .map(|(one, other)| {
                let one = (1.0 - self.others) * one / totals[0];
                let other = self.others * other / totals[1];
                let both = one + other;
                let before = entropy(self.others) + entropy(1.0 - self.others);
                let after = |p: f64| if both > 0.0 { entropy(p / both) } else { 0.0 };
                both * (before - after(one) - after(other))
            })
            .sum::<f64>()
            .max(0.0)
    }
}

/// How likely each combination of numbers is under one way at one level, group by group.
fn numbers(way: &Way, groups: &[Vec<Weighed>], level_db: f64) -> Vec<f64> {
    let mut all = vec![1.0];
    for group in groups {
        let mut of_group = vec![1.0];
        for answer in group {
            let p = way.likelihood(
                &Weighed {
                    yes: true,
                    ..*answer
                },
                level_db,
            );
            of_group.push(0.0);
            for at in (0..of_group.len()).rev() {
                let from_below = if at > 0 { of_group[at - 1] * p } else { 0.0 };
                of_group[at] = of_group[at] * (1.0 - p) + from_below;
            }
        }
        all = all
            .iter()
            .flat_map(|before| of_group.iter().map(move |number| before * number))
            .collect();
    }
    all
}

#[cfg(test)]
mod tests {
    use super::super::weighed::{Asked, Part};
    use super::*;
    use crate::belief::binomial;
    use crate::quantity::{Ear, Hz};

    fn tone(level_db: f64, n: u32, yes: bool) -> Weighed {
        Weighed {
            asked: Asked::Tone,
            part: Part::Measuring,
            ear: Ear::Right,
            hz: Hz(1000.0),
            level_db,
            company_db: 40.0,
            hundreds: f64::from(n) / 100.0,
            yes,
        }
    }

    fn measured() -> Vec<Weighed> {
        let above = [-10.0, 0.0, -10.0, -5.0, 0.0, -10.0, -5.0, 0.0, 10.0, 20.0];
        let tones = above.iter().zip(0..);
        tones
            .map(|(db, n)| tone(50.0 + db, n, *db >= 0.0))
            .collect()
    }

    fn choices(level_db: f64, count: u32) -> Vec<Weighed> {
        (0..count)
            .map(|n| Weighed {
                asked: Asked::Interval,
                part: Part::ForcedChoice,
                ..tone(level_db, 10 + n, false)
            })
            .collect()
    }

    /// Where each presentation is answered with the same probability the numbers follow the binomial
    /// law (`belief::binomial`, held against scipy).
    #[test]
    fn numbers_of_like_presentations_are_binomial() {
        let way = &kinds()[0].ways[0];
        let group = choices(50.0, 7);
        let p = way.likelihood(
            &Weighed {
                yes: true,
                ..group[0]
            },
            47.0,
        );
        let found = numbers(way, &[group], 47.0);
        for k in 0..=7 {
            let tail: f64 = found[k as usize..].iter().sum();
            assert!((tail - binomial::upper_tail(k, 7, p)).abs() < 1e-9);
        }
    }

    /// The same belief as the ratio that grades.
    #[test]
    fn the_others_are_as_likely_as_the_ratio_has_them() {
        let ratio = super::super::Ratio::of(&measured()).unwrap();
        let expected = 1.0 / (1.0 + 10.0_f64.powf(-ratio.log10));
        let found = Outlook::after(&measured()).unwrap().others;
        assert!((found - expected).abs() < 1e-9, "{found} {expected}");
    }

    /// What must hold of any mutual information with one of two: never below 0, never over 1 bit, more
    /// from more, and nothing from what both mixtures answer alike.
    #[test]
    fn more_tells_more_and_what_all_answer_alike_tells_nothing() {
        let outlook = Outlook::after(&measured()).unwrap();
        let near = |count| outlook.bits(&[choices(47.0, count)]);
        assert!(near(2) > 0.0 && near(10) > near(2) && near(10) < 1.0);
        // 70 dB over the midpoint everybody but a guesser hears which interval it was.
        assert!(outlook.bits(&[choices(120.0, 10)]) < near(10));
        assert!(outlook.bits(&[]).abs() < f64::EPSILON);
    }
}
