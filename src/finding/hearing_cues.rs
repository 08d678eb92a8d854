//! Cues of hearing: which published criterion is met, by which figures; never a cause.

use super::change::{Change, Changes};
use super::cues::{Cue, Urgency};
use super::hearing::{HearingFinding, HearingFindings, Masking};
use super::masking::CAUTION_FROM_DB_HL;
use super::screening::{Screened, ScreeningFindings};
use crate::journal::Record;
use crate::quantity::{Ear, Hz, Level};
use crate::standard::iso_7029_2017;

/// All cues of hearing.
pub(super) fn cues(record: &Record, hearing: &HearingFindings) -> Vec<Cue> {
    let changes = Changes::of(record, hearing);
    let mut cues = Vec::new();
    if let Some(changes) = &changes {
        cues.extend(
            Ear::BOTH
                .into_iter()
                .filter_map(|ear| sudden_change(changes, ear)),
        );
        cues.extend(Ear::BOTH.into_iter().filter_map(|ear| shift(changes, ear)));
    }
    cues.extend(sudden_gap(hearing));
    cues.extend(cross_hearing(hearing));
    cues.extend(asymmetry(hearing));
    cues.extend(Ear::BOTH.into_iter().filter_map(|ear| notch(hearing, ear)));
    cues.extend(
        Ear::BOTH
            .into_iter()
            .filter_map(|ear| beyond_age(record, hearing, ear)),
    );
    cues.extend(poor_hearing(hearing));
    cues.extend(screened(record));
    cues.extend(from_40_db(hearing));
    cues
}

/// What has to be said of a cue that rests on figures of which the prior and the neighbours have at least half: it stays,
/// for a missed disease weighs more, and says which they are.
fn leaning(hearing: &HearingFindings, rests_on: impl Iterator<Item = (Ear, Hz)>) -> String {
    let leans = |(ear, hz): &(Ear, Hz)| {
        let found = hearing.at(*ear, *hz);
        found.is_some_and(|one| one.from_neighbours)
    };
    let all: Vec<_> = rests_on
        .filter(leans)
        .map(|(ear, hz)| format!("{ear} {hz}"))
        .collect();
    if all.is_empty() {
        return String::new();
    }
    format!(
        "; leans on neighbouring frequencies at {}: measure there again",
        all.join(", ")
    )
}

/// These frequencies of both ears.
fn both(hz: impl Iterator<Item = Hz>) -> impl Iterator<Item = (Ear, Hz)> {
    hz.flat_map(|hz| Ear::BOTH.map(|ear| (ear, hz)))
}

fn cross_hearing(hearing: &HearingFindings) -> Option<Cue> {
    let unresolved = |one: &&(Ear, &HearingFinding)| {
        matches!(
            one.1.masking,
            Some(Masking::NeededNotDone | Masking::CouldNotBeMasked)
        )
    };
    let all: Vec<_> = hearing
        .all()
        .filter(|one| unresolved(&one))
        .map(|(ear, one)| format!("{ear} {}", one.hz))
        .collect();
    (!all.is_empty()).then(|| Cue {
        what: "the other ear may have answered; masking was needed and did not settle it".into(),
        why: all.join(", "),
        source: "ISO 8253-1:2010; difference of the air thresholds at or near the least \
                 interaural attenuation of the earphone type"
            .into(),
        urgency: Urgency::Note,
    })
}

/// Any air-conduction level from 40 dB HL, in either ear.
fn from_40_db(hearing: &HearingFindings) -> Option<Cue> {
    let all: Vec<_> = hearing
        .all()
        .filter(|(_, one)| one.reaches_caution())
        .map(|(ear, one)| format!("{ear} {}", one.hz))
        .collect();
    (!all.is_empty()).then(|| Cue {
        what: format!("cross-hearing is possible from {CAUTION_FROM_DB_HL:.0} dB HL"),
        why: all.join(", "),
        source: "ISO 8253-1:2010, cross-hearing; without bone conduction masking rules 2 and 3 \
                 cannot be applied"
            .into(),
        urgency: Urgency::Note,
    })
}

/// At least 15 dB between the ears at two adjacent frequencies.
fn asymmetry(hearing: &HearingFindings) -> Option<Cue> {
    const BY_DB: f64 = 15.0;
    const HZ: [f64; 5] = [500.0, 1000.0, 2000.0, 4000.0, 8000.0];
    let gaps: Vec<_> = HZ.iter().map(|hz| gap_db(hearing, Hz(*hz))).collect();
    gaps.windows(2).zip(HZ.windows(2)).find_map(|(gap, hz)| {
        let (Some(low), Some(high)) = (gap[0], gap[1]) else {
            return None;
        };
        let apart = low.abs() >= BY_DB && high.abs() >= BY_DB && low * high > 0.0;
        let worse = if low > 0.0 { Ear::Right } else { Ear::Left };
        apart.then(|| Cue {
            what: "asymmetry: at least 15 dB between the ears at two adjacent frequencies".into(),
            why: format!(
                "{worse} ear poorer by {:.0} dB at {} Hz and {:.0} dB at {} Hz{}",
                low.abs(),
                hz[0],
                high.abs(),
                hz[1],
                leaning(hearing, both(hz.iter().map(|hz| Hz(*hz))))
            ),
            source: "NICE NG98 (from memory); sensitivity of such criteria 50 to 100 %, \
                     specificity 23 to 83 %"
                .into(),
            urgency: Urgency::Routine,
        })
    })
}

/// Right threshold minus left one, dB: at least so much one way or the other, and 0 where it may be
/// either way. Of an ear that was not masked, or did not respond, the level is known that its threshold
/// lies above; of one that answered at the lowest, the level that it lies at or below.
fn gap_db(hearing: &HearingFindings, hz: Hz) -> Option<f64> {
    let [right, left] = Ear::BOTH.map(|ear| hearing.at(ear, hz));
    let (right, left) = (right?, left?);
    let above_db = |poorer: &HearingFinding, better: &HearingFinding| {
        Some(poorer.at_least()?.db() - better.at_most()?.db())
    };
    match (above_db(right, left), above_db(left, right)) {
        (None, None) => None,
        (Some(by_db), _) if by_db > 0.0 => Some(by_db),
        (_, Some(by_db)) if by_db > 0.0 => Some(-by_db),
        _ => Some(0.0),
    }
}

/// So much, over so many frequencies in a row, is the size of a sudden loss, dB.
const SUDDEN_DB: f64 = 30.0;
const SUDDEN_IN_A_ROW: usize = 3;
const SUDDEN_SOURCE: &str = "sudden hearing loss, AAO-HNS guideline 2019: at least 30 dB at three \
    consecutive frequencies within 72 hours; the baseline is often the other ear";

/// The first frequencies in a row at which `size_db` reaches the size of a sudden loss.
fn in_a_row(all: impl Iterator<Item = (Hz, f64)>) -> Option<Vec<(Hz, f64)>> {
    let all: Vec<(Hz, f64)> = all.collect();
    let rows = all.chunk_by(|one, next| (one.1 >= SUDDEN_DB) == (next.1 >= SUDDEN_DB));
    let mut large = rows.filter(|row| row[0].1 >= SUDDEN_DB);
    large
        .find(|row| row.len() >= SUDDEN_IN_A_ROW)
        .map(<[_]>::to_vec)
}

fn listed(all: &[(Hz, f64)]) -> String {
    let each: Vec<_> = all
        .iter()
        .map(|(hz, db)| format!("{db:.0} dB at {hz}"))
        .collect();
    each.join(", ")
}

fn sudden_change(changes: &Changes, ear: Ear) -> Option<Cue> {
    let each = |one: &Change| (one.hz, one.change_db);
    let row = in_a_row(changes.ear(ear).iter().map(each))?;
    Some(Cue {
        what: format!(
            "{ear} ear: poorer than before by at least 30 dB at three consecutive frequencies; \
             urgent if it came within 72 hours"
        ),
        why: listed(&row),
        source: SUDDEN_SOURCE.into(),
        urgency: Urgency::Urgent,
    })
}

fn sudden_gap(hearing: &HearingFindings) -> Option<Cue> {
    Ear::BOTH.into_iter().find_map(|ear| {
        let sign = if ear == Ear::Right { 1.0 } else { -1.0 };
        let gaps = hearing
            .ear(ear)
            .iter()
            .filter_map(|one| Some((one.hz, sign * gap_db(hearing, one.hz)?)));
        let row = in_a_row(gaps)?;
        Some(Cue {
            what: format!(
                "{ear} ear: at least 30 dB poorer than the other at three consecutive \
                 frequencies; ask since when, it is urgent if it came within 72 hours"
            ),
            why: listed(&row) + &leaning(hearing, both(row.iter().map(|(hz, _)| *hz))),
            source: SUDDEN_SOURCE.into(),
            urgency: Urgency::Soon,
        })
    })
}

/// A mean shift of 10 dB at 2, 3 and 4 kHz.
fn shift(changes: &Changes, ear: Ear) -> Option<Cue> {
    const BY_DB: f64 = 10.0;
    let at = |hz: f64| changes.ear(ear).iter().find(|one| one.hz == Hz(hz));
    let three = [at(2000.0)?, at(3000.0)?, at(4000.0)?];
    let mean_db = three.iter().map(|one| one.change_db).sum::<f64>() / 3.0;
    let u_db = libm::sqrt(
        three
            .iter()
            .map(|one| one.retest_u_db * one.retest_u_db)
            .sum::<f64>(),
    ) / 3.0;
    let least = if three.iter().any(|one| one.at_least) {
        "at least "
    } else {
        ""
    };
    (mean_db >= BY_DB).then(|| Cue {
        what: format!("{ear} ear: mean shift of at least 10 dB at 2, 3 and 4 kHz"),
        why: format!(
            "{least}{mean_db:.0} dB against '{}'; test and retest of an unchanged ear differ by {u_db:.1} \
             dB (standard uncertainty)",
            changes.source
        ),
        source: "29 CFR 1910.95, standard threshold shift (from memory)".into(),
        urgency: Urgency::Routine,
    })
}

/// 3, 4 or 6 kHz at least 10 dB poorer than 1 or 2 kHz, and than 6 or 8 kHz.
fn notch(hearing: &HearingFindings, ear: Ear) -> Option<Cue> {
    const BY_DB: f64 = 10.0;
    let hl = |level: Level| match level {
        Level::Hl(level) => Some(level.0),
        Level::ReExaminer(_) | Level::Fs(_) => None,
    };
    // The better a shoulder is, the deeper the notch: a bound will do there.
    let level_db = |hz: f64| hl(hearing.at(ear, Hz(hz))?.at_most()?);
    let deeper_than = |dip_db: f64, hz: &[f64]| {
        let better = hz
            .iter()
            .filter_map(|hz| Some((*hz, dip_db - level_db(*hz)?)));
        better
            .filter(|(_, by_db)| *by_db >= BY_DB)
            .max_by(|a, b| a.1.total_cmp(&b.1))
    };
    [3000.0, 4000.0, 6000.0].into_iter().find_map(|dip_hz| {
        let dip_db = hl(hearing.at(ear, Hz(dip_hz))?.known()?)?;
        let above: &[f64] = if dip_hz < 6000.0 {
            &[6000.0, 8000.0]
        } else {
            &[8000.0]
        };
        let (low_hz, low_by_db) = deeper_than(dip_db, &[1000.0, 2000.0])?;
        let (high_hz, high_by_db) = deeper_than(dip_db, above)?;
        Some(Cue {
            what: format!("{ear} ear: a notch at {dip_hz} Hz"),
            why: format!(
                "{dip_db:.0} dB HL, {low_by_db:.0} dB poorer than {low_hz} Hz and {high_by_db:.0} dB \
                 poorer than {high_hz} Hz{}",
                leaning(hearing, [low_hz, dip_hz, high_hz].map(|hz| (ear, Hz(hz))).into_iter())
            ),
            source: "Coles 2000 (from memory): 3, 4 or 6 kHz at least 10 dB poorer than 1 or 2 kHz \
                     and than 6 or 8 kHz"
                .into(),
            urgency: Urgency::Routine,
        })
    })
}

/// Poorer than nine in ten of the same age and sex at three frequencies or more. At one of them one
/// in ten would be, and in fourteen tests most people somewhere; three are our choice.
fn beyond_age(record: &Record, hearing: &HearingFindings, ear: Ear) -> Option<Cue> {
    const WORST_TENTH: f64 = 1.2816;
    const FEWEST: usize = 3;
    let about = record.opening.plan.about?;
    let (age_years, sex) = (about.age_years?, about.sex?);
    let beyond = hearing.ear(ear).iter().filter_map(|one| {
        let Level::Hl(level) = one.at_least()? else {
            return None;
        };
        let limit = iso_7029_2017::age_shift(sex, age_years, one.hz, WORST_TENTH)?;
        (level.0 > limit.value.0).then(|| {
            let said = format!(
                "{:.0} dB HL at {} (limit {:.0})",
                level.0, one.hz, limit.value.0
            );
            (said, one.hz)
        })
    });
    let (all, at): (Vec<_>, Vec<_>) = beyond.unzip();
    (all.len() >= FEWEST).then(|| Cue {
        what: format!(
            "{ear} ear: poorer than nine in ten otologically normal people of that age and sex, at \
             three frequencies or more"
        ),
        why: all.join(", ") + &leaning(hearing, at.into_iter().map(|hz| (ear, hz))),
        source: "ISO 7029:2017, worst tenth of a screened population; the count of three is ours"
            .into(),
        urgency: Urgency::Routine,
    })
}

/// The better ear's mean of four frequencies in the moderate grade or beyond; what has only a bound
/// counts with it, so that the mean is at least that.
fn poor_hearing(hearing: &HearingFindings) -> Option<Cue> {
    const MODERATE_DB_HL: f64 = 35.0;
    let mean_db = |ear| {
        let levels = [500.0, 1000.0, 2000.0, 4000.0].map(|hz| {
            let level = hearing.at(ear, Hz(hz))?.at_least()?;
            matches!(level, Level::Hl(_)).then_some(level.db())
        });
        levels
            .into_iter()
            .sum::<Option<f64>>()
            .map(|sum_db| sum_db / 4.0)
    };
    let better_db = mean_db(Ear::Right)?.min(mean_db(Ear::Left)?);
    (better_db >= MODERATE_DB_HL).then(|| Cue {
        what: "hearing of the better ear in the moderate grade or beyond".into(),
        why: format!("mean of 0.5, 1, 2 and 4 kHz at least {better_db:.0} dB HL"),
        source: "WHO, World report on hearing, 2021, table 1.3".into(),
        urgency: Urgency::Routine,
    })
}

/// One miss in either ear.
fn screened(record: &Record) -> Option<Cue> {
    let screening = ScreeningFindings::of(record)?;
    let missed =
        |one: &(Ear, &super::screening::ScreeningFinding)| one.1.found == Screened::NotHeard;
    let all: Vec<_> = screening.all().filter(missed).collect();
    let level = all.first().and_then(|(_, one)| one.level)?;
    let why: Vec<_> = all
        .iter()
        .map(|(ear, one)| format!("{ear} {} ({} of {} answered)", one.hz, one.answered, one.of))
        .collect();
    Some(Cue {
        what: format!(
            "screening: not heard at {:.0} {}; screen again before anything follows",
            level.db(),
            level.scale().unit()
        ),
        why: why.join(", "),
        source: "one miss in either ear: ASHA 1997 (adults, 25 dB HL), Texas Administrative Code \
                 16/4/111.190 (children, 20 dB HL; again within 4 weeks)"
            .into(),
        urgency: Urgency::Routine,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hearing(right: &[(f64, f64)], left: &[(f64, f64)]) -> HearingFindings {
        let ear = |all: &[(f64, f64)]| {
            let one = |(hz, db): &(f64, f64)| {
                let json = format!(
                    "{{\"hz\": {hz}, \"status\": \"measured\", \"threshold_db_hl\": {db}, \
                     \"sd_db\": null, \"u_db\": null, \"interval_90_db\": null, \"masking\": null, \
                     \"presentations\": 6, \"from_neighbours\": false, \"spread_db\": 0.0}}"
                );
                serde_json::from_str(&json).expect("a finding")
            };
            all.iter().map(one).collect()
        };
        HearingFindings {
            right: ear(right),
            left: ear(left),
        }
    }

    /// Coles 2000 (from memory): 10 dB poorer than 1 or 2 kHz and than 6 or 8 kHz.
    #[test]
    fn a_notch_has_two_shoulders() {
        let at = |three: f64, eight: f64| {
            let ear = [
                (1000.0, 10.0),
                (2000.0, 15.0),
                (4000.0, three),
                (8000.0, eight),
            ];
            notch(&hearing(&ear, &[]), Ear::Right).is_some()
        };
        assert!(at(40.0, 30.0) && at(20.0, 10.0));
        assert!(!at(40.0, 35.0), "a slope has no far shoulder");
        assert!(!at(15.0, 0.0), "too shallow against the near one");
    }

    /// A cue that rests on what the neighbours say is told, and says so.
    #[test]
    fn a_cue_says_which_of_its_figures_lean_on_neighbours() {
        let ear = [(1000.0, 10.0), (4000.0, 40.0), (8000.0, 15.0)];
        let mut hearing = hearing(&ear, &[]);
        let why = |hearing: &HearingFindings| notch(hearing, Ear::Right).expect("a notch").why;
        assert!(!why(&hearing).contains("leans"));
        hearing.right[1].from_neighbours = true;
        let told = why(&hearing);
        assert!(
            told.ends_with("at right 4000 Hz: measure there again"),
            "{told}"
        );
    }

    /// AAO-HNS guideline 2019: 30 dB at three consecutive frequencies.
    #[test]
    fn thirty_db_count_at_three_frequencies_in_a_row_only() {
        let left = [500.0, 1000.0, 2000.0, 4000.0, 8000.0].map(|hz| (hz, 10.0));
        let gap = |levels: [f64; 5]| {
            let right: Vec<_> = left
                .iter()
                .zip(levels)
                .map(|((hz, _), db)| (*hz, db))
                .collect();
            sudden_gap(&hearing(&right, &left)).is_some()
        };
        assert!(gap([10.0, 40.0, 40.0, 45.0, 10.0]));
        assert!(!gap([40.0, 40.0, 10.0, 40.0, 40.0]));
        assert!(!gap([10.0, 35.0, 35.0, 35.0, 35.0]));
    }
}
