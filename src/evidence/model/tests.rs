use super::likelihood::{Laid, fit};
use super::way::{Bar, By, Way};
use super::weighed::{Asked, Part, Weighed};
use super::*;
use crate::outside::rows;
use crate::quantity::{Ear, Hz};
use std::collections::HashMap;

fn number(of: &HashMap<&str, &str>, key: &str) -> f64 {
    of[key].parse().unwrap()
}

fn way(text: &str) -> Way {
    let of: HashMap<&str, &str> = text
        .split(' ')
        .map(|one| one.split_once('=').unwrap())
        .collect();
    let ear = match of["ear"] {
        "right" => Some(Ear::Right),
        "left" => Some(Ear::Left),
        _ => None,
    };
    let rings_hz = number(&of, "ring_hz");
    Way {
        scale_db: number(&of, "scale"),
        false_alarm: number(&of, "alarm"),
        rings: (rings_hz > 0.0).then(|| (Hz(rings_hz), number(&of, "ring_rate"))),
        lapse: number(&of, "lapse"),
        lapse_growth: number(&of, "growth"),
        wander_db: number(&of, "wander"),
        drift_db: number(&of, "drift"),
        learning_db: number(&of, "learning"),
        hesitates_db: number(&of, "hesitates"),
        by: match of["by"] {
            "hearing" => By::Hearing,
            "deaf" => By::Deaf,
            "chance" => By::Chance {
                rate: number(&of, "rate"),
                slope: number(&of, "slope"),
            },
            _ => By::Bar(Bar {
                ear,
                pull: number(&of, "pull"),
                both_ears: number(&of, "both"),
                choice: number(&of, "choice"),
                over_hearing_db: number(&of, "over"),
                truly_poorer_db: number(&of, "poorer"),
            }),
        },
    }
}

fn answer(text: &str) -> Weighed {
    let words: Vec<&str> = text.split(' ').collect();
    let number = |at: usize| words[at].parse::<f64>().unwrap();
    Weighed {
        asked: match words[0] {
            "silent" => Asked::Silent,
            "tone" => Asked::Tone,
            "both" => Asked::BothEars {
                other_db: number(5),
            },
            _ => Asked::Interval,
        },
        part: serde_json::from_str(&format!("\"{}\"", words[1])).unwrap(),
        ear: if words[2] == "right" {
            Ear::Right
        } else {
            Ear::Left
        },
        hz: Hz(number(3)),
        level_db: number(4),
        company_db: number(6),
        hundreds: number(7),
        yes: words[8] == "1",
    }
}

/// Against a direct evaluation in numpy (`tests/outside/make_tables.py`), which takes the logistic
/// function itself where the program takes it from a table of 0.5-dB steps; so far apart they are
/// where drift or pull fall between two of them.
#[test]
fn small_journals_are_as_likely_as_a_direct_sum_finds_them() {
    let (mut worst, mut off) = (0.0_f64, 0.0);
    for row in rows("answers_likelihood.csv") {
        let expected: Vec<f64> = row[1].split(' ').map(|log| log.parse().unwrap()).collect();
        let ways: Vec<Way> = row[2].split('|').map(way).collect();
        let answers: Vec<Weighed> = row[3].split(';').map(answer).collect();
        let laid = Laid::of(&answers);
        let fits: Vec<Fit> = ways.iter().map(|way| fit(way, &laid)).collect();
        for (fit, expected) in fits.iter().zip(&expected) {
            worst = worst.max((fit.all - expected).abs());
            off += (fit.all - expected).abs() / (24.0 * 6.0);
        }
        let kind = |mixture| KindOfPeople {
            name: "",
            mixture,
            weight: 1.0,
            ways: Vec::new(),
        };
        let (perceiving, others) = (kind(Mixture::Perceiving), kind(Mixture::Others));
        let by_kind = [
            (&perceiving, fits[..3].to_vec()),
            (&others, fits[3..].to_vec()),
        ];
        let ratio = ratio_of(&by_kind, &|fit| fit.all) / std::f64::consts::LN_10;
        let wanted: f64 = row[0].parse().unwrap();
        assert!((ratio - wanted).abs() < 0.15, "{ratio} {wanted}");
    }
    assert!(worst < 0.4 && off < 0.04, "{worst} {off}");
}

fn tone(level_db: f64, n: u32, yes: bool) -> Weighed {
    Weighed {
        asked: Asked::Tone,
        part: Part::Measuring,
        ear: Ear::Right,
        hz: Hz(1000.0),
        level_db,
        company_db: level_db,
        hundreds: f64::from(n) / 100.0,
        yes,
    }
}

/// An ascent that ends at `threshold_db`, and silence that is not answered.
fn measured(threshold_db: f64) -> Vec<Weighed> {
    let ascent = [
        -20.0, -10.0, 0.0, -10.0, -5.0, 0.0, -10.0, -5.0, 0.0, 10.0, 20.0,
    ];
    let tones = ascent
        .iter()
        .zip(0..)
        .map(|(above_db, n)| tone(threshold_db + above_db, n, *above_db >= 0.0));
    let silent = (11..20).map(|n| Weighed {
        asked: Asked::Silent,
        part: Part::Silent,
        ..tone(0.0, n, false)
    });
    tones.chain(silent).collect()
}

#[test]
fn no_level_of_hearing_counts() {
    let at = |db| Ratio::of(&measured(db)).unwrap().log10;
    for db in [30.0, 60.0, 90.0] {
        assert!(
            (at(db) - at(45.0)).abs() < 0.02,
            "{db}: {} {}",
            at(db),
            at(45.0)
        );
    }
}

/// The steadiest answers of all speak for nobody's bar.
#[test]
fn too_regular_answers_never_count() {
    let mut answers = measured(40.0);
    let log10 = Ratio::of(&answers).unwrap().log10;
    assert!(log10 < 0.3, "{log10}");
    for n in 20..80 {
        answers.push(Weighed {
            asked: Asked::Silent,
            part: Part::Silent,
            ..tone(0.0, n, false)
        });
    }
    let longer = Ratio::of(&answers).unwrap().log10;
    assert!(longer < log10 + 0.2, "{log10} {longer}");
}

#[test]
fn fewer_right_choices_than_guesses_speak_for_others_and_leaving_them_out_takes_it_back() {
    let mut answers = measured(60.0);
    let before = Ratio::of(&answers).unwrap().log10;
    for n in 20..50 {
        answers.push(Weighed {
            asked: Asked::Interval,
            part: Part::ForcedChoice,
            ..tone(45.0, n, n % 6 == 0)
        });
    }
    let ratio = Ratio::of(&answers).unwrap();
    assert!(ratio.log10 > before + 1.5, "{before} {}", ratio.log10);
    let without = ratio
        .log10_without
        .iter()
        .find(|(part, _)| *part == Part::ForcedChoice)
        .unwrap();
    // Not quite the same: beside another block the level of the first may wander.
    assert!((without.1 - before).abs() < 0.1, "{} {before}", without.1);
}

/// Rising levels answered from 40 dB on and falling ones no more under 65: nobody's hearing does
/// that, a bar that follows its company does.
#[test]
fn sweeps_that_end_far_apart_speak_for_a_bar_and_sweeps_that_agree_do_not() {
    let sweeps = |up_db: f64, down_db: f64| {
        let mut answers = measured(50.0);
        let mut company_db = 50.0;
        let mut n = 20;
        let mut add = |level_db: f64, yes: bool| {
            answers.push(Weighed {
                part: Part::Sweeps,
                company_db,
                ..tone(level_db, n, yes)
            });
            company_db += 0.2 * (level_db - company_db);
            n += 1;
        };
        let mut level_db = 10.0;
        while level_db <= up_db + 5.0 {
            add(level_db, level_db >= up_db);
            level_db += 5.0;
        }
        level_db = 85.0;
        while level_db >= down_db - 10.0 {
            add(level_db, level_db >= down_db);
            level_db -= 5.0;
        }
        Ratio::of(&answers).unwrap().log10
    };
    let (apart, agree) = (sweeps(40.0, 65.0), sweeps(50.0, 50.0));
    // One pair of sweeps at one ear after a short measurement: worth a factor of four at least.
    assert!(apart > 0.6 && agree < 0.0, "{apart} {agree}");
}
