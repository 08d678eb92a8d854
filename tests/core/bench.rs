//! The measurements of a set-up, as their verbs do them: coupler, jury, daily check, room.

use crate::at_hand::{Told, folder, here, veridical};
use serde_json::Value;
use std::f64::consts::TAU;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Stdio;
use veridical::calibration::coupler::CouplerSheet;
use veridical::calibration::microphone::MicrophoneKind;
use veridical::calibration::{
    EarphoneProfile, EarphoneRecord, FORMAT, Microphone, MicrophoneRecord, OutputRequirement, Room,
    SetUp,
};
use veridical::errand::room::measure_room;
use veridical::errand::{self, Begin, epoch_of_simulations};
use veridical::journal::{About, MaskingPlan, PersonKind};
use veridical::person::{Case, HearingTruth, Simulated};
use veridical::quantity::{Db, DbSpl, Draws, Hz, Sex, Stream};
use veridical::standard::EarphoneFit;

const RATE: u32 = 48_000;

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// Runs the program with the words between the bars.
fn run(line: &str) -> Told {
    veridical(&line.split('|').collect::<Vec<_>>())
}

/// A file of one channel: tones of an amplitude and hiss.
fn wav(path: &Path, seconds: f64, tones: &[(f64, f64)], hiss: f64) {
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: RATE,
        bits_per_sample: 32,
        sample_format: hound::SampleFormat::Float,
    };
    let mut draws = Draws::new(8, Stream::Noise, 0);
    let mut file = hound::WavWriter::create(path, spec).unwrap();
    for n in 0..(seconds * f64::from(RATE)) as usize {
        let t = n as f64 / f64::from(RATE);
        let tones: f64 = tones.iter().map(|(hz, a)| a * (TAU * hz * t).sin()).sum();
        file.write_sample((tones + hiss * draws.normal()) as f32)
            .unwrap();
    }
    file.finalize().unwrap();
}

fn today() -> jiff::civil::Date {
    jiff::ZonedDateTime::now().date()
}

fn begin_coupler(sheet: &Path, class: &str, coupler: &str) -> Told {
    run(&format!(
        "coupler|begin|--sheet|{}|--class|{}|--coupler|{}|--title|Harbour pair 2 (invented)|--by|an example|--meter|invented meter|--bits|24|--placements|1",
        text(sheet),
        class,
        coupler
    ))
}

/// Goes through a sheet with these lines typed; tells what was said.
fn type_readings(sheet: &Path, tones: &Path, lines: &[String]) -> String {
    let mut child = crate::at_hand::program()
        .args([
            "coupler",
            "read",
            "--sheet",
            text(sheet),
            "--to-files",
            text(tones),
        ])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let typed = lines.join("\n") + "\n";
    child
        .stdin
        .take()
        .unwrap()
        .write_all(typed.as_bytes())
        .unwrap();
    let output = child.wait_with_output().unwrap();
    String::from_utf8(output.stdout).unwrap()
}

/// The whole way: a sheet, tones as files, readings typed (one of them with a slipped digit, one
/// broken off), a profile whose levels are those of the readings.
#[test]
fn readings_on_a_coupler_become_a_profile() {
    let folder = folder("bench-coupler");
    let (sheet, out) = (folder.join("sheet.toml"), folder.join("profile.toml"));
    let begun = begin_coupler(
        &sheet,
        "circumaural_iso_389_8",
        "ear_simulator_flat_plate_iec_60318_1",
    );
    assert_eq!(begun.code, Some(0), "{}", begun.err);
    let early = run(&format!(
        "coupler|finish|--sheet|{}|--out|{}",
        text(&sheet),
        text(&out)
    ));
    assert_eq!(early.code, Some(1));
    assert!(
        early.err.contains("0 of 24 tones are read"),
        "{}",
        early.err
    );
    let tones = folder.join("tones");
    let read = |lines: &[String]| type_readings(&sheet, &tones, lines);
    // 77 dB SPL at −35 dB re full scale: 112 at full scale. The second tone is 20 dB softer.
    let mut lines = vec![
        "7,7".to_owned(),
        "77.0 0.3".into(),
        "57".into(),
        "stop".into(),
    ];
    let told = read(&lines);
    assert!(
        told.contains("full scale, from this reading: 42.7 found"),
        "{told}"
    );
    let half = CouplerSheet::from_toml(&std::fs::read_to_string(&sheet).unwrap(), "s").unwrap();
    assert_eq!(half.readings.len(), 2);
    lines = (0..10).map(|_| "77".to_owned()).collect();
    lines.extend(["78".into(), "58,2".into()]);
    lines.extend((0..10).map(|_| "78".to_owned()));
    let told = read(&lines);
    assert!(told.contains("nothing stands against a profile"), "{told}");
    // The tone as it was given: −35 dB re full scale is an amplitude of 0.01778 (the definition).
    let mut tone = hound::WavReader::open(tones.join("01-right-1000--35.wav")).unwrap();
    let samples: Vec<f32> = tone.samples().map(Result::unwrap).collect();
    let peak = |from: usize| {
        samples
            .iter()
            .skip(from)
            .step_by(2)
            .fold(0.0_f32, |m, x| m.max(x.abs()))
    };
    assert!(
        peak(0) < 1e-9 && (peak(1) - 0.017_783).abs() < 2e-5,
        "{} {}",
        peak(0),
        peak(1)
    );
    let done = run(&format!(
        "coupler|finish|--sheet|{}|--out|{}|--json",
        text(&sheet),
        text(&out)
    ));
    assert_eq!(
        done.json()["coupler"],
        "ear_simulator_flat_plate_iec_60318_1"
    );
    let profile = std::fs::read_to_string(&out).unwrap();
    let profile = EarphoneProfile::from_toml(&profile, "p").unwrap();
    assert_eq!(profile.valid_on(today()), Ok(()));
    let tone = run(&format!(
        "tone|--ear|left|--hz|1000|--level|40|--earphone|{}|--out|{}|--json",
        text(&out),
        text(&folder.join("tone.wav"))
    ));
    // ISO 389-8: 5.5 dB SPL at 1 kHz; 40 + 5.5 − 113 = −67.5.
    assert!((tone.json()["level_db_fs"].as_f64().unwrap() + 67.5).abs() < 1e-6);
    let again = run(&format!(
        "coupler|finish|--sheet|{}|--out|{}",
        text(&sheet),
        text(&out)
    ));
    assert_eq!(again.code, Some(2), "a profile is not written over");
}

#[test]
fn an_ordinary_headphone_and_a_wrong_coupler_are_refused() {
    let sheet = folder("bench-ordinary").join("sheet.toml");
    let ordinary = begin_coupler(&sheet, "ordinary", "ear_simulator_iec_60318_1");
    assert_eq!(ordinary.code, Some(2));
    for word in [
        "class: ",
        "ordinary headphone",
        "listening jury",
        "9 dB at 6 kHz",
    ] {
        assert!(ordinary.err.contains(word), "{}", ordinary.err);
    }
    assert_eq!(ordinary.err.trim().lines().count(), 1);
    let wrong = begin_coupler(
        &sheet,
        "supra_aural_iso_389_1",
        "acoustic_coupler_iec_60318_3",
    );
    assert_eq!(wrong.code, Some(2));
    assert!(
        wrong
            .err
            .contains("the reference table of this class was made for"),
        "{}",
        wrong.err
    );
    assert!(!sheet.exists());
}

/// A calibrator of 94 dB SPL that is recorded with an amplitude of 0.1 (−20 dB re full scale) makes
/// 114 dB SPL at full scale; hiss of 10⁻⁶ then is 114 − 120 + 3 dB SPL over all bands, −23 in that of
/// 1 kHz. In a room with a hum of 60 dB SPL at 125 Hz the lowest level at 125 Hz, open ears, is
/// 60 − (28 − 3) = 35 dB HL (ISO 8253-1:2010, from 125 Hz), and a visit there claims nothing lower.
#[test]
fn a_room_bounds_what_a_visit_claims() {
    let folder = folder("bench-room");
    let (microphone, room) = (folder.join("mic.toml"), folder.join("room.toml"));
    let recording = |name: &str, tones: &[(f64, f64)], hiss: f64| {
        let path = folder.join(name);
        wav(&path, 6.0, tones, hiss);
        path
    };
    let calibrator = recording("calibrator.wav", &[(1000.0, 0.1)], 1e-5);
    let made = run(&format!(
        "microphone|--microphone|{}|--title|invented|--by|an example|--wav|{}|--json",
        text(&microphone),
        text(&calibrator)
    ));
    let full_scale = made.json()["full_scale_db_spl"].as_f64().unwrap();
    assert!((full_scale - 114.0).abs() < 0.02, "{full_scale}");
    let noisy = recording(
        "room.wav",
        &[(125.9, 10_f64.powf((60.0 - 114.0) / 20.0))],
        1e-6,
    );
    let measure = |out: &Path| {
        run(&format!(
            "room|--microphone|{}|--wav|{}|--by|an example|--place|back room (invented)|--fit|open|--lowest-hz|125|--out|{}|--json",
            text(&microphone),
            text(&noisy),
            text(out)
        ))
    };
    let unknown = measure(&folder.join("unknown.toml")).json();
    assert_eq!(unknown["can_tell"], false);
    assert!(
        unknown["claims"][0]
            .get("lowest_db_hl")
            .is_none_or(Value::is_null)
    );
    let silence = recording("silence.wav", &[], 1e-6);
    let floor = run(&format!(
        "microphone|--microphone|{}|--floor|--wav|{}",
        text(&microphone),
        text(&silence)
    ));
    assert_eq!(floor.code, Some(0), "{}", floor.err);
    let told = measure(&room).json();
    assert_eq!(told["can_tell"], true);
    let claim = |hz: f64| {
        let claims = told["claims"].as_array().unwrap().iter();
        let mut found = claims.filter(|one| one["hz"] == hz);
        found.next().unwrap()["lowest_db_hl"].as_f64().unwrap()
    };
    assert!((claim(125.0) - 35.0).abs() < 0.3, "{}", claim(125.0));
    assert!(claim(4000.0) < 0.0, "{}", claim(4000.0));
    let said = |band: usize| told["bands"][band]["says"].as_str().unwrap();
    assert_eq!([said(6), said(15)], ["too_loud", "permissible"]);

    let plan = folder.join("plan.toml");
    std::fs::write(
        &plan,
        "format = 1\nname = \"low\"\n[hearing]\nprocedure = \"ascending\"\nhz = [1000, 125]\n",
    )
    .unwrap();
    let case = folder.join("case.toml");
    std::fs::write(
        &case,
        "format = 1\ntitle = \"hears well (invented)\"\n[hearing]\nhz = [125, 1000]\nright = [0, 20]\nleft = [0, 20]\n",
    )
    .unwrap();
    let out = folder.join("visit");
    let visit = run(&format!(
        "visit|--case|{}|--plan|{}|--seed|5|--room|{}|--out|{}|--json",
        text(&case),
        text(&plan),
        text(&room),
        text(&out)
    ));
    let found = visit.json();
    let right = &found["hearing"]["right"];
    assert_eq!(right[0]["hz"], 125.0);
    assert_eq!(right[0]["status"], "answered_at_minimum");
    // On the grid of 5 dB: 35, or 40 where the room reads a tenth over it.
    let lowest = right[0]["threshold_db_hl"].as_f64().unwrap();
    assert!(
        [35.0, 40.0].iter().any(|one| (lowest - one).abs() < 1e-9),
        "{lowest}"
    );
    assert_eq!(right[1]["status"], "measured");
    let of_visit = &found["room"];
    assert_eq!(of_visit["place"], "back room (invented)");
    assert_eq!(of_visit["lowest_test_hz"], 125.0);
    assert_eq!(of_visit["claims"], told["claims"], "as the verb says it");
    let gated = recording("gated.wav", &[], 0.0);
    let refused = run(&format!(
        "room|--microphone|{}|--wav|{}|--by|an example",
        text(&microphone),
        text(&gated)
    ));
    assert_eq!(refused.code, Some(2));
    assert!(
        refused.err.contains("silent to the last bit"),
        "{}",
        refused.err
    );
}

fn quiet_room() -> Room {
    let microphone = Microphone::try_from(MicrophoneRecord {
        format: FORMAT,
        kind: MicrophoneKind::Microphone,
        title: "invented".into(),
        method: "invented".into(),
        made_by: "an example".into(),
        made_on: today(),
        expires_on: today(),
        device: None,
        rate_hz: RATE,
        full_scale_db_spl: DbSpl(100.0),
        u_db: Db(0.5),
        floor_db_spl: Some(vec![DbSpl(-20.0); 25]),
    })
    .unwrap();
    let mut draws = Draws::new(0, Stream::Noise, 0);
    let hiss: Vec<f32> = (0..96_000)
        .map(|_| (1e-5 * draws.normal()) as f32)
        .collect();
    let wish = veridical::calibration::room::RoomWish {
        place: "the harbour practice (invented)".into(),
        fit: EarphoneFit::Open,
        made_by: "an example".into(),
        made_on: today(),
        expires_on: today(),
    };
    measure_room(wish, &microphone, &hiss).unwrap()
}

fn output() -> OutputRequirement {
    OutputRequirement {
        device: None,
        rate_hz: RATE,
        bits: Some(24),
        volume_percent: None,
    }
}

/// A visit of somebody living, as far as the journal knows; a simulated person answers, whose
/// midpoint is the same at every frequency of an earphone.
fn jury_visit(
    folder: &Path,
    code: &str,
    age: Option<f64>,
    swapped: bool,
    midpoints: [f64; 2],
) -> PathBuf {
    let mut plan = errand::plan_of("full", Some("ascending")).unwrap();
    plan.sight = None;
    plan.about = Some(About {
        age_years: age,
        sex: Some(Sex::Female),
    });
    if let Some(hearing) = &mut plan.hearing {
        hearing.hz = vec![Hz(1000.0)];
        hearing.repeat_hz = None;
        hearing.masking = MaskingPlan::None;
    }
    let earphone = EarphoneProfile::try_from(EarphoneRecord {
        output: Some(output()),
        ..EarphoneProfile::uncalibrated().record().clone()
    })
    .unwrap();
    let begin = Begin {
        folder: folder.join(format!("{code}-{swapped}")),
        seed: 7,
        person: PersonKind::Living { code: code.into() },
        set_up: SetUp {
            earphone: Some(earphone),
            screen: None,
            room: Some(quiet_room()),
            sides_swapped: swapped,
            ..SetUp::simulated()
        },
        plan,
        epoch: epoch_of_simulations(),
    };
    let mut case = Case::from_toml("format = 1\ntitle = \"invented\"\n", "c").unwrap();
    case.hearing = Some(HearingTruth {
        hz: vec![1000.0],
        right: vec![midpoints[0]],
        left: vec![midpoints[1]],
        interaural_attenuation_db: 60.0,
    });
    let seed = code.bytes().fold(u64::from(swapped), |seed, byte| {
        (31 * seed + u64::from(byte)) % 1_000_003
    });
    errand::headless(&begin, &mut Simulated::new(case, seed), false).unwrap();
    begin.folder
}

/// Eleven people of 18 whose own ears differ from −6 to +6 dB about −80 dB re full scale at the
/// right earphone and 4 dB more at the left: their mean is the zero, less the assumed bias of
/// 6.5 dB and read 2.5 dB above the midpoint by the ascending rule (README). Who lacks a run with
/// the sides swapped, or an age, does not count.
#[test]
fn visits_of_a_jury_become_a_zero() {
    let folder = folder("bench-jury");
    let own = [0.0, 6.0, -6.0, 3.0, -3.0, 1.0, -1.0, 5.0, -5.0, 2.0, -2.0];
    for (at, more) in own.iter().enumerate() {
        for swapped in [false, true] {
            let midpoints = [-80.0 + more, -76.0 + more];
            jury_visit(
                &folder,
                &format!("listener-{at:02}"),
                Some(18.0),
                swapped,
                midpoints,
            );
        }
    }
    jury_visit(&folder, "never-swapped", Some(18.0), false, [-60.0, -60.0]);
    jury_visit(&folder, "no-age", None, false, [-60.0, -60.0]);
    let out = folder.join("jury.toml");
    let told = run(&format!(
        "jury|{}|--title|Harbour headphones (invented)|--by|an example|--out|{}|--json",
        text(&folder),
        text(&out)
    ));
    assert_eq!(told.code, Some(0), "{}", told.err);
    let told = told.json();
    assert_eq!(
        (told["people"].as_u64(), told["visits"].as_u64()),
        (Some(11), Some(22))
    );
    let left_out = told["left_out"].to_string();
    assert!(left_out.contains("listener never-swapped"), "{left_out}");
    assert!(left_out.contains("age or sex is not told"), "{left_out}");
    let row = &told["profile"]["zero"][0];
    let right = row["right_db_fs"].as_f64().unwrap();
    let left = row["left_db_fs"].as_f64().unwrap();
    // Two runs of eleven people, a reading of which scatters by 2.5 dB (ISO 8253-1:2010, A.3): their
    // mean scatters by 0.5 dB.
    assert!((right + 84.0).abs() < 1.5, "{right}");
    assert!((left - right - 4.0).abs() < 1.5, "{left} {right}");
    assert_eq!(row["listeners"], 11);
    let profile = std::fs::read_to_string(&out).unwrap();
    let profile = EarphoneProfile::from_toml(&profile, "p").unwrap();
    assert_eq!(told["digest"], profile.digest().as_str());
    let journals = &profile.record().jury.as_ref().unwrap().journals;
    assert_eq!(journals.len(), 22);
    // The digest is that of the file, as any other program reckons it (sha256sum).
    let one = std::fs::read(folder.join("listener-00-false/journal.jsonl")).unwrap();
    let sum = std::process::Command::new("sha256sum")
        .arg(folder.join("listener-00-false/journal.jsonl"))
        .output()
        .unwrap();
    let sum = String::from_utf8(sum.stdout).unwrap();
    assert!(!one.is_empty() && journals.contains(&sum[..64].to_owned()));
    // The budget names the people and the bias apart (u² adds up).
    let budget = run(&format!("profile|{}|--hz|1000|--json", text(&out))).json();
    let components = budget["rows"][0]["components"].as_array().unwrap();
    let of = |what: &str| {
        let found = components.iter().find(|one| one["what"] == what);
        found.unwrap()["u_db"].as_f64().unwrap()
    };
    assert!((of("how well the listeners themselves hear") - 2.02).abs() < 0.01);
    assert!(of("so few listeners") > 1.1);
    let few = run(&format!(
        "jury|{}|--title|x|--by|x|--out|{}",
        text(&folder.join("listener-00-false")),
        text(&folder.join("few.toml"))
    ));
    assert_eq!(few.code, Some(1));
    assert!(
        few.err.contains("at least 10 people is expected, found 0"),
        "{}",
        few.err
    );
}

/// A known listener sits three times; the third time the output is 15 dB softer, and the profile
/// stands no longer (29 CFR 1910.95(h)(5): 10 dB of a known listener).
#[test]
fn a_known_listener_checks_a_profile() {
    let folder = folder("bench-daily");
    let path = folder.join("earphone.toml");
    let example = std::fs::read_to_string(here("calibration/example-circumaural.toml")).unwrap();
    let dates = [("made_on", today()), ("expires_on", today())];
    let lines = example
        .lines()
        .filter(|line| !line.starts_with("device"))
        .map(|line| {
            let found = dates.iter().find(|(key, _)| line.starts_with(key));
            found.map_or(line.to_owned(), |(key, day)| format!("{key} = \"{day}\""))
        });
    std::fs::write(&path, lines.collect::<Vec<_>>().join("\n")).unwrap();
    let profile = errand::earphone_in(&path).unwrap();
    let sit = |name: &str, midpoint: f64| {
        let begin = Begin {
            folder: folder.join(name),
            seed: 7,
            person: PersonKind::Living {
                code: "keeper-01".into(),
            },
            set_up: SetUp {
                earphone: Some(profile.clone()),
                screen: None,
                ..SetUp::simulated()
            },
            plan: errand::plan_of("daily", None).unwrap(),
            epoch: epoch_of_simulations(),
        };
        let mut case = Case::from_toml("format = 1\ntitle = \"invented\"\n", "c").unwrap();
        case.hearing = Some(HearingTruth {
            hz: vec![1000.0],
            right: vec![midpoint],
            left: vec![midpoint],
            interaural_attenuation_db: 60.0,
        });
        errand::headless(&begin, &mut Simulated::new(case, 3), false).unwrap();
        folder.join(name).join("journal.jsonl")
    };
    let daily = |journal: Option<&Path>| {
        let mut args = vec!["daily", "--profile", text(&path), "--json"];
        args.extend(journal.iter().flat_map(|path| ["--journal", text(path)]));
        veridical(&args)
    };
    assert_eq!(daily(None).json()["state"], "no_listener");
    let first = sit("first", 7.5);
    // The visits of a made clock began on the first day of its epoch: due today.
    assert_eq!(daily(Some(&first)).json()["state"], "due");
    let twice = daily(Some(&first));
    assert_eq!(twice.code, Some(2), "{}", twice.out);
    assert_eq!(daily(Some(&sit("second", 8.5))).json()["state"], "due");
    let softer = daily(Some(&sit("third", 22.5)));
    assert_eq!(softer.code, Some(1));
    assert_eq!(softer.json()["state"], "exceeded");
    assert_eq!(softer.json()["comparison"]["against"], 2);
    let shift = softer.json()["comparison"]["shift_db"].as_f64().unwrap();
    assert!((shift - 14.5).abs() < 2.5, "{shift}");
    let log = std::fs::read_to_string(folder.join("earphone.daily.jsonl")).unwrap();
    assert_eq!(log.lines().count(), 3);
}

#[test]
fn a_frequency_without_a_reference_is_refused() {
    let refused = run("profile|simulated|--hz|1100");
    assert_eq!(refused.code, Some(2));
    assert!(
        refused.err.contains("no reference at 1100 Hz"),
        "{}",
        refused.err
    );
}

/// Annex A's own example through the verb: u 4.9 dB, U 10 dB (ISO 8253-1:2010, Annex A).
#[test]
fn the_budget_is_told_component_by_component() {
    let told = run("profile|simulated|--hz|1000|--json").json();
    let row = &told["rows"][0];
    assert_eq!(row["components"].as_array().unwrap().len(), 6);
    assert!((row["u_db"].as_f64().unwrap() - 4.9).abs() < 0.05);
    assert!((row["expanded_db"].as_f64().unwrap() - 10.0).abs() < 0.5);
    let squares: f64 = row["components"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["u_db"].as_f64().unwrap().powi(2))
        .sum();
    assert!((squares.sqrt() - row["u_db"].as_f64().unwrap()).abs() < 1e-4);
}

/// Every example beside the README reads, is what it says, and is written alike.
#[test]
fn the_examples_are_read() {
    let mut kinds = Vec::new();
    for entry in std::fs::read_dir(here("calibration")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "toml") {
            continue;
        }
        let found = std::fs::read_to_string(&path).unwrap();
        assert!(
            found.to_lowercase().contains("invented"),
            "{}",
            path.display()
        );
        let table: toml::Table = toml::from_str(&found).unwrap();
        let kind = table["kind"].as_str().unwrap().to_owned();
        let name = text(&path);
        match kind.as_str() {
            "microphone" => drop(Microphone::from_toml(&found, name).unwrap()),
            "room" => drop(Room::from_toml(&found, name).unwrap()),
            "coupler_sheet" => drop(CouplerSheet::from_toml(&found, name).unwrap()),
            _ if table.contains_key("pixel_mm") => {
                drop(veridical::calibration::ScreenProfile::from_toml(&found, name).unwrap());
            }
            _ => {
                let profile = EarphoneProfile::from_toml(&found, name).unwrap();
                let again = EarphoneProfile::from_toml(&profile.to_toml(), name).unwrap();
                assert_eq!(again, profile);
            }
        }
        kinds.push(kind);
    }
    for kind in [
        "measured",
        "listening_jury",
        "examiners_ears",
        "microphone",
        "room",
        "coupler_sheet",
    ] {
        assert!(kinds.iter().any(|found| found == kind), "{kind}: {kinds:?}");
    }
}

/// The page of the format names every key that the examples and the records have.
#[test]
fn the_page_names_every_key() {
    let page = std::fs::read_to_string(here("calibration/README.md")).unwrap();
    let mut keys: Vec<String> = Vec::new();
    for entry in std::fs::read_dir(here("calibration")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "toml") {
            let table: toml::Table =
                toml::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap();
            collect(&toml::Value::Table(table), &mut keys);
        }
    }
    keys.sort();
    keys.dedup();
    assert!(keys.len() > 40, "{keys:?}");
    for key in keys {
        let named = [
            format!("`{key}`"),
            format!("`[{key}]`"),
            format!("`[[{key}]]`"),
        ];
        let found = named.iter().any(|name| page.contains(name));
        assert!(found, "README.md does not name `{key}`");
    }
}

fn collect(value: &toml::Value, keys: &mut Vec<String>) {
    match value {
        toml::Value::Table(table) => {
            for (key, value) in table {
                keys.push(key.clone());
                collect(value, keys);
            }
        }
        toml::Value::Array(all) => all.iter().for_each(|one| collect(one, keys)),
        _ => {}
    }
}
