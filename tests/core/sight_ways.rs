//! Every way of asking an eye, as simulated people answer it.

use crate::at_hand::{folder, veridical, visit_of, wish, word};
use veridical::finding::{SightFindings, SightStatus, Urgency};
use veridical::journal::{
    Asking, FORMAT, HowEnded, Journal, MemoryStore, Plan, Record, Section, SightProcedure,
};
use veridical::person::{Case, Simulated};
use veridical::quantity::{Correction, Eye, LogMar, Mm, Moment};
use veridical::report::Findings;
use veridical::standard::who_icd_11_vision::VisionCategory;
use veridical::stimulus::{ByHand, NearCard, OptotypeSet};
use veridical::visit::{Input, Output, Visit};

/// A person of the invented harbour town whose sight is as told.
fn person(sight: &str, seed: u64) -> Simulated {
    let text = format!("format = 1\ntitle = \"a ferryman, invented\"\n[sight]\n{sight}\n");
    Simulated::new(Case::from_toml(&text, "a case").unwrap(), seed)
}

fn plan(sight: &str) -> Plan {
    let text = format!("format = 1\nname = \"ways\"\n[sight]\n{sight}\n");
    Plan::from_toml(&text, "a plan").unwrap()
}

fn visit(sight: &str, of: &str, seed: u64) -> Visit<MemoryStore> {
    let mut person = person(of, seed + 1);
    visit_of(MemoryStore::default(), seed, plan(sight), &mut person)
}

fn cues(record: &Record) -> Vec<(String, Urgency)> {
    let cues = Findings::of(record).cues;
    cues.into_iter()
        .map(|cue| (cue.what, cue.urgency))
        .collect()
}

/// Rows of a table that scipy made.
fn table(name: &str) -> Vec<Vec<f64>> {
    let path = crate::at_hand::here("tests/outside/tables").join(name);
    let text = std::fs::read_to_string(path).unwrap();
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    rows.map(|row| row.split(',').map(|cell| cell.parse().unwrap()).collect())
        .collect()
}

/// scipy.stats.binom (`tests/outside/tables/acuity_pass.csv`).
#[test]
fn a_screening_ends_as_soon_as_it_is_certain_and_says_how_often_guessing_passes() {
    let guessing = table("acuity_pass.csv");
    for (set, choices, needed, of) in [
        ("landolt_8", 8.0, 3, 5),
        ("sloan", 10.0, 3, 5),
        ("landolt_4", 4.0, 6, 10),
    ] {
        let asked = format!("procedure = \"screening\"\noptotype = \"{set}\"");
        let visit = visit(&asked, "right = 0.0\nleft = 0.9", 3);
        let found = SightFindings::of(visit.record());
        for (eye, passes) in [(Eye::Right, true), (Eye::Left, false), (Eye::Both, true)] {
            let eye = found.eye(eye);
            let screened = eye.screened.unwrap();
            assert_eq!(eye.status, SightStatus::Screened, "{set}");
            assert_eq!(screened.passed, Some(passes), "{set}");
            assert_eq!((screened.needed, screened.of_at_most), (needed, of));
            let (right, wrong) = (screened.right, screened.of - screened.right);
            assert!(right <= needed && wrong <= of - needed + 1);
            assert!(right == needed || wrong == of - needed + 1);
            assert_eq!(eye.log_mar, None, "one size tells no acuity");
            let row = guessing.iter().find(|row| {
                let wanted = [choices, f64::from(needed), f64::from(of)];
                row.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-9)
            });
            assert!((screened.p_by_guessing - row.unwrap()[3]).abs() < 1e-12);
        }
    }
}

#[test]
fn three_of_five_is_refused_where_guessing_passes_it_too_often() {
    let text = "format = 1\nname = \"x\"\n[sight]\nprocedure = \"screening\"\n\
                optotype = \"landolt_4\"\n[sight.screening]\nrule = \"three_of_five\"\n";
    let error = Plan::from_toml(text, "plan.toml").unwrap_err().to_string();
    assert!(
        error.contains("plan.toml") && error.contains("screening.rule"),
        "{error}"
    );
    assert!(error.contains("six_of_ten"), "{error}");
}

#[test]
fn what_was_typed_of_a_near_card_is_held_against_what_is_printed_on_it() {
    for (set, optotype) in [
        ("sloan", OptotypeSet::Sloan),
        ("landolt_8", OptotypeSet::Landolt8),
    ] {
        let asked = format!(
            "optotype = \"{set}\"\neyes = [\"right\"]\npractice_items = 0\n[[sight.also]]\n\
             eye = \"right\"\nprocedure = \"near_card\"\ncard = 4711\ncorrection = \"own_near\""
        );
        let visit = visit(&asked, "right = 0.1\nnear_shift = 0.6", 5);
        let found = SightFindings::of(visit.record());
        let near = &found.further[0].finding;
        assert_eq!(near.status, SightStatus::Measured, "{set}");
        assert_eq!(near.distance_mm, Some(Mm(400.0)));
        assert_eq!(near.procedure, SightProcedure::NearCard);
        // Own reading glasses take the presbyopia away; 0.2 is four standard deviations.
        assert!((near.midpoint_log_mar.unwrap() - 0.1).abs() < 0.2, "{set}");
        // M = distance in metres · 10^logMAR (definition of the M unit), as far as it is told.
        let m_units = 0.4 * 10_f64.powf(near.log_mar.unwrap());
        assert!((near.m_units.unwrap() / m_units - 1.0).abs() < 0.12);
        assert!(near.rows.is_some());
        assert_eq!(found.right.procedure, SightProcedure::Adaptive);
        let card = NearCard::new(4711, optotype, Mm(400.0));
        let mut shown: Vec<(LogMar, Vec<_>)> = Vec::new();
        for trial in visit.record().trials() {
            for part in trial.planned.presentation.optotypes() {
                if part.card.is_none() {
                    continue;
                }
                match shown.last_mut() {
                    Some((size, row)) if *size == part.log_mar => row.push(part.symbol),
                    _ => shown.push((part.log_mar, vec![part.symbol])),
                }
            }
        }
        assert!(shown.len() > 4, "{set}: {}", shown.len());
        for (size, row) in shown {
            assert_eq!(row, card.row(size), "{set} {size:?}");
        }
    }
}

#[test]
fn a_pinhole_and_a_correction_are_findings_of_their_own() {
    let asked = "optotype = \"sloan\"\neyes = [\"right\"]\ncorrection = \"own\"\n\
                 [[sight.also]]\neye = \"right\"\npinhole = true\n\
                 [[sight.also]]\neye = \"right\"\ncorrection = \"without\"";
    let of = "right = 0.5\npinhole_gain = 0.45\nuncorrected_shift = 0.4";
    let visit = visit(asked, of, 11);
    let found = SightFindings::of(visit.record());
    let [through, without] = [0, 1].map(|at| &found.further[at].finding);
    assert!(through.pinhole && !without.pinhole && !found.right.pinhole);
    assert_eq!(found.right.correction, Correction::Own);
    assert_eq!(without.correction, Correction::Without);
    for (finding, truth) in [(&found.right, 0.5), (through, 0.05), (without, 0.9)] {
        let off = finding.midpoint_log_mar.unwrap() - truth;
        assert!(off.abs() < 0.2, "{truth}: {off}");
    }
    let cues = cues(visit.record());
    assert!(
        cues.iter().any(|(what, _)| what.contains("pinhole")),
        "{cues:?}"
    );
    // The parts say what truly reaches the eye, and the asking they belong to.
    let lines = String::from_utf8(visit.journal().store().bytes.clone()).unwrap();
    assert!(lines.contains("\"pinhole\":true") && lines.contains("\"asking\":1"));
    assert!(lines.contains("\"correction\":\"without\"") && lines.contains("\"asking\":2"));
}

/// One over the distance in metres: 4 and 2 m are 0.25 D apart, 6 and 3 m 0.17 D.
#[test]
fn two_distances_are_interpreted_only_where_blur_stays_the_same() {
    let statement = |correction: &str, near_mm: u32| {
        let asked = format!(
            "optotype = \"sloan\"\neyes = [\"right\"]\ncorrection = \"{correction}\"\n\
             [[sight.also]]\neye = \"right\"\ndistance_mm = {near_mm}"
        );
        let visit = visit(&asked, "right = 0.2", 21);
        let mut distances = SightFindings::of(visit.record()).distances;
        assert_eq!(distances.len(), 1, "{correction}");
        distances.remove(0)
    };
    let pair = statement("own", 2000);
    assert!(pair.interpretable && (pair.vergence_d - 0.25).abs() < 1e-9);
    assert_eq!(pair.agrees, Some(pair.difference_log_mar.abs() <= 0.15));
    let pair = statement("as_worn", 2000);
    assert!(!pair.interpretable && pair.agrees.is_none());
    assert!(
        pair.statement.contains("not interpretable"),
        "{}",
        pair.statement
    );
    assert!(pair.statement.contains("short sight"), "{}", pair.statement);
    let pair = statement("own", 1500);
    assert!(
        !pair.interpretable && pair.statement.contains("0.42 D"),
        "{}",
        pair.statement
    );
}

#[test]
fn below_the_largest_an_eye_is_asked_from_nearer_and_then_by_hand() {
    // The simulated screen shows 1.69 at 4 m and 2.29 at 1 m; seen by hand up to 2.49 and 2.85.
    for (truth, status) in [
        (2.0, SightStatus::Measured),
        (2.45, SightStatus::HandMotion),
        (2.7, SightStatus::LightPerception),
        (3.4, SightStatus::NoLightPerception),
    ] {
        let of = format!("right = {truth}\n[manner]\nlapse = 0.0");
        let visit = visit("eyes = [\"right\"]\nbelow_largest = true", &of, 31);
        let found = SightFindings::of(visit.record());
        assert_eq!(found.right.status, status, "{truth}");
        let shown: Vec<_> = visit
            .record()
            .trials()
            .iter()
            .filter_map(|trial| trial.by_hand())
            .map(|(hand, _)| (hand.shows, hand.distance_mm))
            .collect();
        if status == SightStatus::Measured {
            assert_eq!(found.right.distance_mm, Some(Mm(1000.0)));
            assert!(shown.is_empty());
            continue;
        }
        assert_eq!(shown[0], (ByHand::Fingers, Mm(1000.0)));
        assert_eq!(found.right.log_mar, None, "a category is no number");
        assert_eq!(found.right.bound_log_mar, None);
        let text = serde_json::to_string(&found.right).unwrap();
        assert!(
            !text.contains("snellen") && !text.contains("decimal"),
            "{text}"
        );
    }
}

/// WHO fact sheet 2018: 6/12 and 6/18 are .30 and .477; the AMA's weights (3, 1, 1) / 5.
#[test]
fn category_and_score_stand_only_where_their_values_are() {
    let of = "right = 0.3\nleft = 0.9\nboth_eyes_gain = 0.0";
    let graded = |correction: &str| {
        let asked = format!("optotype = \"sloan\"\ncorrection = \"{correction}\"");
        let visit = visit(&asked, of, 41);
        let found = SightFindings::of(visit.record());
        (found.grades.clone(), found)
    };
    let (best, found) = graded("best");
    let best = best.unwrap();
    let score = best.functional_acuity.unwrap();
    let vas = |eye: Eye| 100.0 - 50.0 * found.eye(eye).log_mar.unwrap();
    let expected = (3.0 * vas(Eye::Both) + vas(Eye::Right) + vas(Eye::Left)) / 5.0;
    assert!((score.score - expected).abs() < 1e-9);
    assert!(score.scheme.contains("AMA"));
    let category = best.category.unwrap();
    assert!(category.scheme.contains("ICD-11") && category.by.contains("best-corrected"));
    let better = found.right.log_mar.unwrap();
    assert_eq!(category.category, VisionCategory::of(LogMar(better)));
    assert!(
        category
            .limits_within_uncertainty
            .contains(&"6/12".to_owned())
    );
    let (own, _) = graded("own");
    let own = own.unwrap();
    assert!(own.functional_acuity.is_none() && own.category.unwrap().by.contains("presenting"));
    let (without, _) = graded("without");
    assert!(without.is_none());
}

#[test]
fn what_a_person_tells_of_their_eyes_becomes_a_cue_with_its_urgency() {
    let asked = "eyes = [\"right\"]\n[[sight.history]]\nabout = \"curtain\"\nanswer = \"yes\"\n\
                 eye = \"left\"\n[[sight.history]]\nabout = \"distortion\"\nanswer = \"yes\"\n\
                 [[sight.history]]\nabout = \"trauma\"\nanswer = \"no\"";
    let visit = visit(asked, "right = 0.0", 51);
    let told = cues(visit.record());
    let of = |word: &str| {
        told.iter()
            .find(|(what, _)| what.contains(word))
            .map(|one| one.1)
    };
    assert_eq!(of("curtain"), Some(Urgency::Urgent));
    assert_eq!(of("bent"), Some(Urgency::Soon));
    assert_eq!(of("injury"), None);
    assert_eq!(Findings::of(visit.record()).sight.history.len(), 3);
}

#[test]
fn a_screen_that_ends_at_6_6_says_that_a_difference_may_hide_there() {
    let at = folder("coarse");
    let plan = crate::at_hand::file(
        &at,
        "plan.toml",
        "format = 1\nname = \"x\"\n[sight]\neyes = [\"right\", \"left\"]\n",
    );
    let case = crate::at_hand::case_file("careful");
    let out = word(&at.join("out"));
    let visit = veridical(&[
        "visit",
        "--case",
        &case,
        "--plan",
        &plan,
        "--seed",
        "1",
        "--out",
        &out,
        "--json",
        "--distance-mm",
        "900",
    ]);
    assert_eq!(visit.code, Some(0), "{}", visit.err);
    let caution = visit.json()["sight"]["cautions"][0]
        .as_str()
        .unwrap_or("")
        .to_owned();
    assert!(caution.contains("may hide there"), "{caution}");
}

/// Goes round the loop by hand, so that something can be done in between.
struct Loop {
    visit: Visit<MemoryStore>,
    now: Moment,
}

impl Loop {
    fn new(sight: &str) -> Loop {
        let begin = wish(61, plan(sight));
        let store = MemoryStore::default();
        let journal = Journal::begin(store, begin.opening(), begin.epoch).unwrap();
        Loop {
            visit: Visit::over(journal),
            now: Moment::from_seconds(1.0),
        }
    }

    fn step(&mut self, input: Input) -> Vec<Output> {
        self.now = self.now.plus_seconds(0.5);
        self.visit.step(input, self.now).unwrap()
    }

    /// Shows the next optotypes and answers them, mirrored or rightly, until nothing comes any more.
    fn answer_all(&mut self, mirrored: bool) -> u32 {
        let mut answered = 0;
        for _ in 0..400 {
            for output in self.step(Input::Tick) {
                let Output::Deliver(planned) = output else {
                    if output == Output::PlanDone {
                        return answered;
                    }
                    continue;
                };
                let n = planned.n;
                let shown = *planned.presentation.optotypes().next().unwrap();
                let at = self.now;
                self.step(Input::Began { n, at });
                self.step(Input::Whole { n });
                let facing = shown.symbol.facing().unwrap();
                let facing = if mirrored { facing.mirrored() } else { facing };
                self.step(Input::Choose { facing, at: None });
                answered += 1;
            }
        }
        panic!("it does not end");
    }
}

#[test]
fn an_eye_stopped_for_a_reversal_is_taken_up_again() {
    let mut run = Loop::new("eyes = [\"right\"]\nstop_sd_log_mar = 0.0\nmost_trials = 12");
    run.answer_all(true);
    let section = Section::Eye(Eye::Right);
    let ended = run.visit.record().ended(section).map(|(how, _)| how);
    assert_eq!(ended, Some(HowEnded::Stopped));
    let reason = "explained once more".to_owned();
    run.step(Input::TakeUp { section, reason });
    // Practice begins afresh, then it is measured.
    assert_eq!(run.answer_all(false), 4 + 12);
    let found = SightFindings::of(run.visit.record());
    assert_eq!(found.right.status, SightStatus::BetterThanSmallestShown);
    let again = run.visit.step(
        Input::TakeUp {
            section,
            reason: String::new(),
        },
        run.now,
    );
    assert!(again.is_err(), "there is nothing to take up");
    // An eye that was ended can still be asked for anew.
    run.step(Input::End {
        section,
        how: HowEnded::Declined,
        reason: "tired".into(),
    });
    let asking = Asking {
        procedure: Some(SightProcedure::Screening),
        ..Asking::of(Eye::Right)
    };
    run.step(Input::Ask(Box::new(asking)));
    assert_eq!(run.answer_all(false), 4 + 3);
    // The journal alone tells the same.
    let bytes = run.visit.journal().store().bytes.clone();
    let reopened = Journal::open(MemoryStore { bytes }).unwrap();
    assert_eq!(
        SightFindings::of(reopened.record()),
        SightFindings::of(run.visit.record())
    );
    assert_eq!(FORMAT, 1);
}

#[test]
fn an_asking_that_cannot_be_is_refused_in_one_line() {
    let mut run = Loop::new("eyes = [\"right\"]");
    let asking = Asking {
        distance_mm: Some(Mm(20.0)),
        ..Asking::of(Eye::Left)
    };
    let refused = run.visit.step(Input::Ask(Box::new(asking)), run.now);
    let error = refused.unwrap_err().to_string();
    assert!(
        error.contains("distance_mm") && error.lines().count() == 1,
        "{error}"
    );
    let rows = Asking {
        procedure: Some(SightProcedure::Rows),
        ..Asking::of(Eye::Left)
    };
    assert!(
        run.visit.step(Input::Ask(Box::new(rows)), run.now).is_err(),
        "rings in rows"
    );
}

/// Where the answers of a sense do not agree it has no grades, as hearing has no averages.
#[test]
fn answers_that_do_not_agree_get_no_category() {
    let asked = "optotype = \"landolt_4\"\neyes = [\"right\", \"left\"]\n[sight.agreement]\nchoices_below = 40";
    let manner = "right = 0.0\nleft = 0.0\n[manner]\nkind = \"contrary\"\nbar_log_mar = 0.6";
    let found = |seed: u64| Findings::of(visit(asked, manner, seed).record());
    let (mut agreed, mut withheld) = (0, 0);
    for seed in 1..30 {
        let found = found(seed);
        let category = found.sight.grades.and_then(|grades| grades.category);
        if found.as_obtained.sight {
            withheld += 1;
            assert_eq!(category, None, "seed {seed}");
        } else if category.is_some() {
            agreed += 1;
        }
    }
    assert!(
        withheld > 0 && agreed > 0,
        "{withheld} and {agreed}: other seeds are needed"
    );
}

/// What was found is told as what it is: a category, whether a size was read, another condition.
#[test]
fn the_summary_tells_whatever_was_found_of_the_eyes() {
    let at = folder("told");
    let plan = "format = 1\nname = \"x\"\n[sight]\noptotype = \"sloan\"\neyes = [\"right\"]\n\
                correction = \"own\"\n[[sight.also]]\neye = \"right\"\npinhole = true\n\
                [[sight.also]]\neye = \"left\"\nprocedure = \"screening\"\n";
    let plan = crate::at_hand::file(&at, "plan.toml", plan);
    let out = word(&at.join("out"));
    let case = crate::at_hand::case_file("average");
    let visit = veridical(&[
        "visit", "--case", &case, "--plan", &plan, "--seed", "5", "--out", &out,
    ]);
    assert_eq!(visit.code, Some(0), "{}", visit.err);
    for told in [
        "right eye: ",
        "; equivalent to 6/",
        " and 20/",
        "a chart by letter would read",
        "left eye: 0.30 logMAR read, 3 of ",
        "single optotypes, 4.00 m, with own correction for far, pinhole",
    ] {
        assert!(visit.out.contains(told), "{told}: {}", visit.out);
    }
}

#[test]
fn the_examiner_may_have_enough_of_one_asking() {
    let mut run = Loop::new(
        "eyes = [\"right\"]\npractice_items = 0\nstop_sd_log_mar = 0.0\nmost_trials = 12\n\
         [[sight.also]]\neye = \"right\"\npinhole = true",
    );
    let none = Input::Enough {
        eye: Eye::Left,
        asking: 0,
    };
    assert!(run.visit.step(none, run.now).is_err(), "no such asking");
    run.step(Input::Enough {
        eye: Eye::Right,
        asking: 0,
    });
    assert_eq!(run.answer_all(false), 12, "through the pinhole only");
    let bytes = run.visit.journal().store().bytes.clone();
    let reopened = Journal::open(MemoryStore { bytes }).unwrap();
    assert!(reopened.record().has_enough(&reopened.record().asked()[0]));
    assert!(!reopened.record().has_enough(&reopened.record().asked()[1]));
}

/// Crowding bars reach 12 strokes from side to side of an optotype of 5: what has no room with them is
/// not asked for.
#[test]
fn crowded_optotypes_have_room_for_their_bars() {
    let largest = |crowded: bool| {
        let asked = format!("eyes = [\"right\"]\ncrowded = {crowded}");
        let visit = visit(&asked, "right = 2.2\n[manner]\nlapse = 0.0", 71);
        SightFindings::of(visit.record())
            .right
            .bound_log_mar
            .unwrap()
    };
    // The simulated screen: 90 % of 2700 pixels of 0.125 mm, from 4 m.
    let tall = |mm: f64| (mm / 2.0 / 4000.0).atan().to_degrees() * 60.0 / 2.5;
    for (crowded, strokes) in [(false, 5.0), (true, 12.0)] {
        let expected = tall(0.9 * 2700.0 * 0.125 * 5.0 / strokes).log10();
        let found = largest(crowded);
        assert!(
            (found - expected).abs() < 1e-6,
            "{crowded}: {found} {expected}"
        );
    }
}
