//! What is presented to see how the answers agree.

use crate::at_hand::visit_of;
use veridical::evidence::model::Part;
use veridical::finding::series_reading_db;
use veridical::journal::{Outcome, Plan, Purpose, Record, Trial, Unkept};
use veridical::person::{Case, Simulated};
use veridical::procedure::tell_most;
use veridical::quantity::{Ear, Hz};

const PLAN: &str = r#"
format = 1
name = "agreement"
[hearing]
procedure = "ascending"
hz = [1000]
[hearing.agreement]
sweeps_hz = [1000]
both_ears = 6
choices_below = 8
choices_near = 10
company = 4
"#;

fn record(ears: &str, seed: u64) -> Record {
    let case = format!("format = 1\ntitle = \"invented\"\n[hearing]\nhz = [1000]\n{ears}\n");
    let case = Case::from_toml(&case, "case").unwrap();
    let plan = Plan::from_toml(PLAN, "plan").unwrap();
    let mut person = Simulated::new(case, seed + 1);
    let visit = visit_of(Unkept, seed, plan, &mut person);
    visit.record().clone()
}

fn same(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-9
}

fn of(record: &Record, purpose: Purpose) -> Vec<&Trial> {
    let counted = record.counted();
    counted.filter(|trial| trial.purpose() == purpose).collect()
}

#[test]
fn sweeps_rise_and_fall_steadily_from_stated_levels() {
    for seed in 0..5 {
        let record = record("right = [40]\nleft = [45]", seed);
        for ear in Ear::BOTH {
            let admitted_db = series_reading_db(&record, ear, Hz(1000.0)).unwrap();
            let sweeps = of(&record, Purpose::Sweep);
            let tones = sweeps.iter().filter_map(|trial| trial.tone());
            let levels: Vec<f64> = tones
                .filter(|tone| tone.ear == ear)
                .map(|tone| tone.level.db())
                .collect();
            let turn = levels
                .windows(2)
                .position(|two| !same(two[1] - two[0], 5.0))
                .unwrap();
            assert!(same(levels[0], (admitted_db - 40.0).max(-10.0)));
            assert!(same(levels[turn + 1], (admitted_db + 35.0).min(90.0)));
            assert!(
                levels[turn + 1..]
                    .windows(2)
                    .all(|two| same(two[1] - two[0], -5.0))
            );
        }
    }
}

#[test]
fn choices_come_in_blocks_of_the_planned_size_and_are_answered() {
    let record = record("right = [40]\nleft = [45]", 3);
    let choices = of(&record, Purpose::ForcedChoice);
    assert_eq!(choices.len(), 18);
    let second = |trial: &&&Trial| trial.tone().unwrap().interval == Some(2);
    let seconds = choices.iter().filter(second).count();
    assert!((3..=15).contains(&seconds), "{seconds}");
    for trial in &choices {
        assert!(matches!(
            trial.outcome,
            Outcome::Interval { chosen: 1 | 2, .. }
        ));
        let tone = trial.tone().unwrap();
        let first_s = trial.planned.presentation.window_s.unwrap() / 2.0;
        assert_eq!(tone.interval == Some(2), tone.start_s > first_s);
    }
    let below = |trial: &&&Trial| {
        let tone = trial.tone().unwrap();
        let admitted_db = series_reading_db(&record, tone.ear, tone.hz).unwrap();
        same(tone.level.db(), admitted_db - 15.0)
    };
    assert_eq!(choices.iter().filter(below).count(), 8);
    assert_eq!(
        of(&record, Purpose::Company).len() + of(&record, Purpose::BothEars).len(),
        16
    );
}

#[test]
fn one_tone_comes_in_both_ears_where_they_were_measured_far_apart() {
    let record = record("right = [10]\nleft = [50]", 2);
    let both = of(&record, Purpose::BothEars);
    assert_eq!(both.len(), 6);
    let reading_db = |ear| series_reading_db(&record, ear, Hz(1000.0)).unwrap();
    for trial in both {
        let tones: Vec<_> = trial.planned.presentation.tones().collect();
        assert_eq!([tones[0].ear, tones[1].ear], [Ear::Right, Ear::Left]);
        assert!(same(tones[0].level.db(), reading_db(Ear::Right) + 10.0));
        assert!(same(tones[1].level.db(), reading_db(Ear::Left) - 10.0));
        assert!(same(tones[0].start_s, tones[1].start_s));
    }
}

/// What was presented to see how answers agree changes no threshold.
#[test]
fn they_make_no_threshold() {
    let case =
        "format = 1\ntitle = \"invented\"\n[hearing]\nhz = [1000]\nright = [40]\nleft = [45]\n";
    let case = Case::from_toml(case, "case").unwrap();
    let with = Plan::from_toml(PLAN, "plan").unwrap();
    let mut without = with.clone();
    without.hearing.as_mut().unwrap().agreement = veridical::journal::AgreementPlan::default();
    let read = |plan: Plan| {
        let visit = visit_of(Unkept, 4, plan, &mut Simulated::new(case.clone(), 5));
        Ear::BOTH.map(|ear| series_reading_db(visit.record(), ear, Hz(1000.0)))
    };
    assert_eq!(read(with), read(without));
}

/// What could come next stands in order of what it tells a minute, never tells more than the one bit
/// there is, and asks both ears together only where they were measured far apart.
#[test]
fn what_would_tell_most_comes_first_and_costs_minutes() {
    for (ears, apart) in [
        ("right = [40]\nleft = [45]", false),
        ("right = [10]\nleft = [50]", true),
    ] {
        let all = tell_most(&record(ears, 2));
        let sorts = |part| all.iter().filter(|one| one.by == part).count();
        assert_eq!(sorts(Part::BothEars), usize::from(apart));
        assert_eq!(sorts(Part::Sweeps), 2);
        // Below and near, at both ears or at the poorer one.
        assert_eq!(sorts(Part::ForcedChoice), if apart { 2 } else { 4 });
        assert!(
            all.iter()
                .all(|one| one.minutes > 0.1 && (0.0..1.0).contains(&one.bits))
        );
        let falls = |two: &[veridical::procedure::Telling]| {
            two[0].bits_per_minute() >= two[1].bits_per_minute()
        };
        assert!(all.windows(2).all(falls));
        assert!(all[0].bits > 0.0);
    }
}
