//! The verbs of a set-up's measurements: couplers, juries, daily checks, microphones, rooms.

pub(super) mod args;
mod coupler;
mod sound;

pub(super) use coupler::coupler;

use super::{Done, say, say_json, with_progress};
use crate::calibration::daily::{Comparison, LIMIT_DB, Standing};
use crate::calibration::room::{Limit, Quiet, RoomTold, RoomWish};
use crate::errand::bench::{microphone_in, today};
use crate::errand::jury::study::JuryStudy;
use crate::errand::jury::{JuryOutcome, bias_of, write_jury};
use crate::errand::profile::{ProfileReport, ProfileRow, tell_profile};
use crate::errand::room::{
    MicrophoneWish, Sensitivity, calibrate_microphone, measure_room, microphone_floor, room_in,
    write_microphone, write_room,
};
use crate::errand::{ErrandError, daily, earphone_in};
use crate::quantity::{Db, DbSpl, Hz};
use crate::standard::EarphoneFit;
use crate::station::route::{Weight, Word, route_to};
use args::{DailyArgs, JuryArgs, JuryStudyArgs, MicrophoneArgs, ProfileArgs, RoomArgs, RouteArgs};
use jiff::ToSpan;
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::fmt::Write;
use std::process::ExitCode;

/// A name as a file has it.
fn named<T: DeserializeOwned>(option: &str, name: &str, expected: &str) -> Result<T, ErrandError> {
    serde_json::from_value(serde_json::Value::String(name.to_owned())).map_err(|_| {
        ErrandError::BadInput(format!("{option}: expected {expected}, found {name:?}"))
    })
}

/// Names as a file has them.
fn names<T: Serialize>(all: &[T]) -> String {
    let name = |one: &T| Some(serde_json::to_value(one).ok()?.as_str()?.to_owned());
    let all: Vec<String> = all.iter().filter_map(name).collect();
    all.join(", ")
}

pub(super) fn jury(args: &JuryArgs) -> Done {
    let bias = bias_of(args.bias_db, args.u_bias_db)?;
    let outcome = write_jury(&args.visits, &args.title, &args.by, bias, &args.out)?;
    if args.json {
        #[derive(Serialize)]
        struct Told<'a> {
            people: usize,
            visits: usize,
            left_out: &'a [crate::errand::jury::LeftOut],
            without: &'a [crate::errand::jury::NoZero],
            digest: String,
            profile: &'a crate::calibration::EarphoneRecord,
        }
        say_json(&Told {
            people: outcome.people,
            visits: outcome.visits,
            left_out: &outcome.left_out,
            without: &outcome.without,
            digest: outcome.profile.digest(),
            profile: outcome.profile.record(),
        })?;
    } else {
        say(&jury_told(&outcome))?;
        say(&format!("written: {}", args.out.display()))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn jury_told(outcome: &JuryOutcome) -> String {
    let mut text = format!("{} people in {} visits\n", outcome.people, outcome.visits);
    let record = outcome.profile.record();
    for row in &record.zero {
        let _ = writeln!(
            text,
            "{:>6} Hz  zero right {:7.1}, left {:7.1} dB re full scale ±{:.1}, {} people, from {} dB HL",
            row.hz.0,
            row.right_db_fs.0,
            row.left_db_fs.0,
            row.u_db.0,
            row.listeners,
            row.lowest_db_hl.0
        );
    }
    for one in &outcome.without {
        let _ = writeln!(text, "{:>6} Hz  no zero: {}", one.hz.0, one.why);
    }
    for one in &outcome.left_out {
        let _ = writeln!(text, "left out: {}, because {}", one.what, one.why);
    }
    if let Some(jury) = &record.jury {
        let whence = if jury.bias_entered {
            "as entered"
        } else {
            "assumed: nobody measured how well the listeners hear"
        };
        let _ = writeln!(
            text,
            "deducted: {} dB ±{:.1} for how well they hear ({whence}), and their age ({})",
            jury.bias_db.0, jury.u_bias_db.0, jury.age_correction
        );
    }
    let _ = write!(text, "digest {}", outcome.profile.digest());
    text
}

pub(super) fn jury_study(args: &JuryStudyArgs) -> Done {
    let study = JuryStudy {
        juries: args.juries,
        people: args.people,
        seed: args.seed,
        procedure: args.procedure.clone(),
        population: args.population.clone(),
    };
    let visits = 2 * args.juries as usize * args.people as usize;
    let report = with_progress(visits, args.threads, |progress| study.run(progress))?;
    if args.json {
        say_json(&report)?;
        return Ok(ExitCode::SUCCESS);
    }
    say(&format!(
        "{} zeros of {} juries of {} people ({}, {}, seed {}), {}:\n\
         error {:+.2} dB in the mean, {:.2} dB root mean square, {:.2} dB stated; the 90 % interval holds {:.1} %\n\
         by the listeners alone {:.2} dB, {:.2} dB stated; {:.1} %",
        report.zeros,
        report.juries,
        report.people,
        report.procedure,
        report.population,
        report.seed,
        report.note,
        report.mean_error_db,
        report.rms_error_db,
        report.stated_u_db,
        100.0 * report.coverage_90,
        report.listeners_rms_error_db,
        report.listeners_stated_u_db,
        100.0 * report.listeners_coverage_90,
    ))?;
    Ok(ExitCode::SUCCESS)
}

pub(super) fn daily(args: &DailyArgs) -> Done {
    let profile = earphone_in(&args.profile)?;
    if let Some(journal) = &args.journal {
        let (comparison, _) = daily::daily_check(journal, &profile, &args.profile)?;
        if !args.json {
            say(&comparison_told(comparison.as_ref()))?;
        }
    }
    let standing = daily::daily_standing(&profile, &args.profile, today())?;
    if args.json {
        say_json(&standing)?;
    } else {
        say(&standing_told(&standing))?;
    }
    Ok(match standing {
        Standing::Exceeded { .. } => ExitCode::from(1),
        _ => ExitCode::SUCCESS,
    })
}

fn comparison_told(comparison: Option<&Comparison>) -> String {
    let Some(comparison) = comparison else {
        return "the first sitting of this listener on this profile; later ones are held against it"
            .into();
    };
    let mut text = String::new();
    for one in &comparison.moved {
        let _ = writeln!(
            text,
            "{:>5} ear {:>6} Hz  {:+.0} dB",
            one.ear, one.hz.0, one.by_db
        );
    }
    let _ = write!(
        text,
        "all together {:+.1} dB ±{:.1}",
        comparison.shift_db, comparison.u_shift_db
    );
    if comparison.shifted() {
        text += ": more than by chance; is the system's volume where it was?";
    }
    text
}

fn standing_told(standing: &Standing) -> String {
    match standing {
        Standing::NoListener => "no known listener has sat on this profile yet".into(),
        Standing::Due { last, listener } => {
            format!("due: the last sitting, of {listener}, was on {last}")
        }
        Standing::Held { listener, .. } => format!("checked today by {listener}; it holds"),
        Standing::Exceeded { on, listener, .. } => format!(
            "{listener} moved by {LIMIT_DB} dB or more on {on}: measure nobody on this profile \
             until the listener was tested again or the set-up calibrated anew"
        ),
    }
}

pub(super) fn microphone(args: &MicrophoneArgs) -> Done {
    let microphone = if args.floor {
        let known = microphone_in(&args.microphone)?;
        let record = known.record();
        let samples = sound::heard(&args.heard, record.device.as_deref(), record.rate_hz)?;
        let quiet = microphone_floor(&known, &samples)?;
        write_microphone(&quiet, &args.microphone, true)?;
        quiet
    } else {
        let sensitivity = match args.full_scale_db_spl {
            Some(level) => Sensitivity::Typed(DbSpl(level)),
            None => Sensitivity::Calibrator(DbSpl(args.calibrator_db), Hz(args.calibrator_hz)),
        };
        let wish = MicrophoneWish {
            title: args.title.clone().unwrap_or_default(),
            made_by: args.by.clone().unwrap_or_default(),
            device: args.heard.input.clone(),
            rate_hz: args.rate,
            u_db: Db(args.u_db),
            sensitivity,
        };
        let samples = match sensitivity {
            Sensitivity::Typed(_) => Vec::new(),
            Sensitivity::Calibrator(..) => sound::heard(&args.heard, None, args.rate)?,
        };
        let made = calibrate_microphone(&wish, &samples)?;
        write_microphone(&made, &args.microphone, false)?;
        made
    };
    let record = microphone.record();
    if args.json {
        say_json(record)?;
    } else {
        let floor = match &record.floor_db_spl {
            None => "its own noise is not known yet (--floor)".to_owned(),
            Some(floor) => format!("own noise in the band of 1 kHz {} dB SPL", floor[15].0),
        };
        say(&format!(
            "{}: '{}', {} dB SPL at full scale ±{}; {floor}; valid to {}",
            args.microphone.display(),
            record.title,
            record.full_scale_db_spl.0,
            record.u_db.0,
            record.expires_on
        ))?;
    }
    Ok(ExitCode::SUCCESS)
}

pub(super) fn room(args: &RoomArgs) -> Done {
    let room = match (&args.room, &args.microphone) {
        (Some(path), _) => room_in(path)?,
        (None, Some(path)) => {
            let microphone = microphone_in(path)?;
            let record = microphone.record();
            let fit = named("--fit", &args.fit, &names(&EarphoneFit::ALL))?;
            let days = i64::from(args.days.clamp(1, 3660)) - 1;
            let expires_on = today()
                .checked_add(days.days())
                .map_err(|error| ErrandError::BadInput(format!("--days: {error}")))?;
            let wish = RoomWish {
                place: args.place.clone(),
                fit,
                made_by: args.by.clone().unwrap_or_default(),
                made_on: today(),
                expires_on,
            };
            let samples = sound::heard(&args.heard, record.device.as_deref(), record.rate_hz)?;
            measure_room(wish, &microphone, &samples)?
        }
        (None, None) => return Err(ErrandError::BadInput("expected --microphone".into())),
    };
    if let Some(out) = &args.out {
        write_room(&room, out)?;
    }
    let report = room.told(Hz(args.lowest_hz));
    if args.json {
        say_json(&report)?;
    } else {
        say(&room_told(&report))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn room_told(report: &RoomTold) -> String {
    let mut text = if report.can_tell {
        "the microphone is quiet enough for a statement\n".to_owned()
    } else {
        "the microphone's own noise allows no statement about 0 dB HL in every band\n".to_owned()
    };
    let db =
        |level: Option<DbSpl>| level.map_or("    –".to_owned(), |one| format!("{:5.1}", one.0));
    let _ = writeln!(
        text,
        "{:>7}  level  own  permissible, dB SPL (±{})",
        "band", report.u_db.0
    );
    for band in &report.bands {
        let says = match band.says {
            Quiet::Permissible => "quiet enough",
            Quiet::TooLoud => "too loud",
            Quiet::CannotTell => "cannot tell",
            Quiet::NotStated => "not stated",
        };
        let _ = writeln!(
            text,
            "{:>7}  {} {} {}  {says}",
            band.hz,
            db(Some(band.level_db_spl)),
            db(band.floor_db_spl),
            db(band.permissible_db_spl)
        );
    }
    let _ = writeln!(
        text,
        "lowest level that may be claimed here, {}:",
        report.place
    );
    for claim in &report.claims {
        let lowest = claim
            .lowest_db_hl
            .map_or("cannot tell".to_owned(), |level| {
                format!("{:.1} dB HL", level.0)
            });
        let by = match claim.limit {
            Limit::Room => "the room",
            Limit::Microphone => "the microphone's own noise",
        };
        let _ = writeln!(
            text,
            "{:>7} Hz  {lowest} (by {by} at {} Hz)",
            claim.hz.0, claim.band_hz
        );
    }
    text + &report.note
}

pub(super) fn profile(args: &ProfileArgs) -> Done {
    let profile = crate::errand::profile::profile_in(&args.profile)?;
    let mut report = tell_profile(&profile, today());
    if let Some(hz) = args.hz {
        report.rows.retain(|row| row.hz == Hz(hz));
        if report.rows.is_empty() {
            let all: Vec<String> = profile.hz().iter().map(|hz| hz.0.to_string()).collect();
            let what = format!(
                "--hz: the profile has no reference at {hz} Hz; expected one of {}",
                all.join(", ")
            );
            return Err(ErrandError::BadInput(what));
        }
    }
    if args.json {
        say_json(&report)?;
    } else {
        say(&profile_told(&report, args.hz.is_some()))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn profile_told(report: &ProfileReport, whole_budget: bool) -> String {
    let mut text = format!("'{}': {}\n", report.title, report.method);
    if let (Some(by), Some(on)) = (&report.made_by, report.made_on) {
        let to = report
            .expires_on
            .map_or(String::new(), |day| format!(", to {day}"));
        let _ = writeln!(text, "made by {by} on {on}{to}");
    }
    if let Some(not_valid) = &report.not_valid {
        let _ = writeln!(text, "not to be used today: {not_valid}");
    }
    if let (Some(class), Some(standard)) = (report.class, report.standard) {
        let _ = writeln!(text, "{class}, {standard}");
    }
    for row in &report.rows {
        let _ = writeln!(text, "{}", row_told(row, report.levels));
        if whole_budget {
            for component in &row.components {
                let _ = writeln!(
                    text,
                    "    {:>5.2} dB  {} ({})",
                    component.u_db.0, component.what, component.source
                );
            }
        }
    }
    let _ = write!(text, "digest {}\n{}", report.digest, report.note);
    text
}

fn row_told(row: &ProfileRow, unit: &str) -> String {
    let pair = |pair: [Option<f64>; 2]| {
        let db = pair.map(|db| db.map_or("–".to_owned(), |db| format!("{db:.0}")));
        db.join("/")
    };
    let u = match (row.u_db, row.expanded_db) {
        (Some(u), Some(expanded)) => format!(", u {:.1} dB, U {:.1} dB", u.0, expanded.0),
        _ => String::new(),
    };
    format!(
        "{:>6} Hz  {} to {} {unit} (right/left){u}",
        row.hz.0,
        pair(row.lowest_db),
        pair(row.highest_db)
    )
}

pub(super) fn route(args: &RouteArgs) -> Done {
    let calibrated_at = match &args.earphone {
        Some(path) => earphone_in(path)?
            .record()
            .output
            .as_ref()
            .and_then(|output| output.volume_percent),
        None => None,
    };
    let words = route_to(&args.output, &args.output).words(calibrated_at);
    if args.json {
        say_json(&words)?;
    } else {
        let line = |word: &Word| {
            let weight = match word.weight {
                Weight::Clear => "holds ",
                Weight::Remind => "look  ",
                Weight::Warn => "beware",
                Weight::Refuse => "no    ",
            };
            format!("{weight}  {}", word.text)
        };
        let lines: Vec<String> = words.iter().map(line).collect();
        say(&lines.join("\n"))?;
    }
    let refused = words.iter().any(|word| word.weight == Weight::Refuse);
    Ok(if refused {
        ExitCode::from(1)
    } else {
        ExitCode::SUCCESS
    })
}
