//! The slots of tones and of silence, over many visits: nothing about a slot tells what it is, and
//! the gaps carry no rhythm. Seeds are fixed, so that a figure that passes once always passes.

use crate::at_hand::{average_person, visit_of};
use std::sync::LazyLock;
use veridical::journal::{Plan, Purpose, Unkept};

struct Slot {
    visit: u64,
    n: u32,
    silent: bool,
    onset_s: f64,
    tail_s: f64,
    window_s: f64,
}

/// The slots of sixty visits, familiarisation (which has no silent ones) left out.
static SLOTS: LazyLock<Vec<Slot>> = LazyLock::new(|| {
    let plan = "format = 1\nname = \"slots\"\n[hearing]\nprocedure = \"ascending\"\n\
        hz = [1000, 2000]\n";
    let plan = Plan::from_toml(plan, "a plan").unwrap();
    let of_visit = |visit: u64| {
        let plan = plan.clone();
        let record = visit_of(Unkept, visit, plan, &mut average_person(visit + 1000));
        let trials = record.record().trials().to_vec().into_iter();
        trials
            .filter(|trial| trial.purpose() != Purpose::Familiarise)
            .map(move |trial| {
                let slot = trial.planned.slot.unwrap();
                Slot {
                    visit,
                    n: trial.planned.n,
                    silent: trial.planned.presentation.parts.is_empty(),
                    onset_s: slot.onset_s,
                    tail_s: slot.window_s - slot.end_s,
                    window_s: slot.window_s,
                }
            })
    };
    let slots: Vec<Slot> = (0..60).flat_map(of_visit).collect();
    assert!(slots.len() >= 2000, "{} slots", slots.len());
    slots
});

/// The largest distance between two empirical distribution functions.
fn distance(mut a: Vec<f64>, mut b: Vec<f64>) -> f64 {
    a.sort_by(f64::total_cmp);
    b.sort_by(f64::total_cmp);
    let share = |all: &[f64], x: f64| all.partition_point(|y| *y <= x) as f64 / all.len() as f64;
    let at = a.iter().chain(&b);
    at.map(|x| (share(&a, *x) - share(&b, *x)).abs())
        .fold(0.0, f64::max)
}

/// Two-sample Kolmogorov-Smirnov at 1 %: 1.628 sqrt((n + m) / n m) (Smirnov 1948, table of the
/// limiting distribution).
#[test]
fn a_silent_slot_is_exactly_a_tones_slot() {
    type Figure = fn(&Slot) -> f64;
    let figures: [(&str, Figure); 3] = [
        ("onset", |slot| slot.onset_s),
        ("tail", |slot| slot.tail_s),
        ("window", |slot| slot.window_s),
    ];
    for (name, figure) in figures {
        let of = |silent| -> Vec<f64> {
            let those = SLOTS.iter().filter(|slot| slot.silent == silent);
            those.map(figure).collect()
        };
        let (silent, tones) = (of(true), of(false));
        let (n, m) = (silent.len() as f64, tones.len() as f64);
        let limit = 1.628 * ((n + m) / (n * m)).sqrt();
        let found = distance(silent, tones);
        assert!(found < limit, "{name}: {found} against {limit}");
    }
}

#[test]
fn the_distance_of_distributions_is_known() {
    // By hand: after 1 and 2 of (1, 2, 3) and none of (2.5, 3.5) the shares are 2/3 and 0.
    let found = distance(vec![1.0, 2.0, 3.0], vec![2.5, 3.5]);
    assert!((found - 2.0 / 3.0).abs() < 1e-12);
}

#[test]
fn silences_before_onsets_fill_their_range_and_carry_no_rhythm() {
    let leads: Vec<f64> = SLOTS.iter().map(|slot| slot.onset_s).collect();
    let least = leads.iter().copied().fold(f64::MAX, f64::min);
    let most = leads.iter().copied().fold(0.0, f64::max);
    // The plan's default, 0.5 to 2.5 s.
    assert!(
        (0.5..0.51).contains(&least) && (2.49..=2.5).contains(&most),
        "{least} {most}"
    );
    let n = leads.len() as f64;
    let mean = leads.iter().sum::<f64>() / n;
    let around = |lag: usize| -> f64 {
        let pairs = leads.iter().zip(&leads[lag..]);
        pairs.map(|(a, b)| (a - mean) * (b - mean)).sum()
    };
    // Of independent gaps the autocorrelation has a standard error of 1 / sqrt(n) (Bartlett 1946).
    for lag in 1..=5 {
        let correlation = around(lag) / around(0);
        assert!(
            correlation.abs() < 4.0 / n.sqrt(),
            "lag {lag}: {correlation}"
        );
    }
}

/// Within 2.58 standard errors of a binomial share, 99 % (normal table).
#[test]
fn one_slot_in_five_is_silent() {
    let n = SLOTS.len() as f64;
    let share = SLOTS.iter().filter(|slot| slot.silent).count() as f64 / n;
    assert!(
        (share - 0.2).abs() < 2.58 * (0.2 * 0.8 / n).sqrt(),
        "{share}"
    );
}

/// Chi-square of independence with one degree of freedom at 1 %: 6.635 (any table).
#[test]
fn whether_a_slot_is_silent_cannot_be_told_from_the_one_before() {
    let mut counts = [[0.0_f64; 2]; 2];
    for pair in SLOTS.windows(2) {
        if pair[0].visit == pair[1].visit && pair[0].n + 1 == pair[1].n {
            counts[usize::from(pair[0].silent)][usize::from(pair[1].silent)] += 1.0;
        }
    }
    let row = |i: usize| counts[i][0] + counts[i][1];
    let column = |j: usize| counts[0][j] + counts[1][j];
    let all = row(0) + row(1);
    let mut chi_square = 0.0;
    for (i, cells) in counts.iter().enumerate() {
        for (j, seen) in cells.iter().enumerate() {
            let expected = row(i) * column(j) / all;
            chi_square += (seen - expected).powi(2) / expected;
        }
    }
    assert!(all > 1900.0 && chi_square < 6.635, "{chi_square} of {all}");
}
