//! Tests of profiles as a whole: files, levels, caps, uncertainty.

use super::*;
use crate::quantity::{Db, DbFs, DbHl, DbSpl, Ear, Hz, Level, LogMar, Mm, Scale};
use crate::standard::{AUDIOMETRIC_HZ, EarphoneClass};
use jiff::civil::{Date, date};
use proptest::prelude::*;

const EXAMPLE: &str = include_str!("../../calibration/example-circumaural.toml");
const SCREEN: &str = include_str!("../../calibration/example-screen.toml");

fn example() -> EarphoneProfile {
    EarphoneProfile::from_toml(EXAMPLE, "example-circumaural.toml").unwrap()
}

fn examiner() -> EarphoneProfile {
    let rows = [(500.0, -100.0, -98.0), (1000.0, -112.0, -110.0)];
    let rows = rows.map(|(hz, right, left)| ExaminerReference {
        hz: Hz(hz),
        right_db_fs: DbFs(right),
        left_db_fs: DbFs(left),
    });
    let output = OutputRequirement {
        device: None,
        rate_hz: 48_000,
        bits: None,
        volume_percent: None,
    };
    EarphoneProfile::from_examiners_ears(rows.to_vec(), "A. B.", date(2026, 3, 1), output).unwrap()
}

fn every_kind() -> [EarphoneProfile; 5] {
    [
        EarphoneProfile::simulated(),
        EarphoneProfile::simulated().capped_to_headphone(),
        EarphoneProfile::uncalibrated(),
        examiner(),
        example(),
    ]
}

fn hl(db: f64) -> Level {
    Level::Hl(DbHl(db))
}

#[test]
fn the_examples_load_and_expire() {
    let profile = example();
    assert_eq!(profile.scale(), Scale::DbHl);
    assert_eq!(profile.hz(), AUDIOMETRIC_HZ);
    assert_eq!(profile.valid_on(date(2027, 2, 1)), Ok(()));
    assert!(matches!(
        profile.valid_on(date(2027, 2, 2)),
        Err(NotValid::Expired { .. })
    ));
    assert!(matches!(
        profile.valid_on(date(2026, 2, 1)),
        Err(NotValid::NotYetMade { .. })
    ));
    assert_eq!(
        EarphoneProfile::simulated().valid_on(date(2999, 1, 1)),
        Ok(())
    );
    let screen = ScreenProfile::from_toml(SCREEN, "example-screen.toml").unwrap();
    assert_eq!(screen.record().pixel_mm, Mm(0.1795));
}

/// Reference levels of circumaural earphones (ISO 389-8: 1 kHz 5.5, 125 Hz 30.5, 3 kHz 2.5 dB
/// SPL) under 120 dB SPL at full scale.
#[test]
fn a_hearing_level_becomes_a_level_re_full_scale() {
    let profile = EarphoneProfile::simulated();
    for (hz, expected) in [(1000.0, -74.5), (125.0, -49.5), (3000.0, -77.5)] {
        for ear in Ear::BOTH {
            assert_eq!(
                profile.level_db_fs(ear, Hz(hz), hl(40.0)),
                Ok(DbFs(expected))
            );
        }
    }
    assert_eq!(
        profile.full_scale_db_spl(Ear::Left, Hz(1000.0)),
        Some(DbSpl(120.0))
    );
    // Masking noise at 1 kHz is 6 dB above the tone that it masks (ISO 389-4, from memory).
    let masker = profile.masker_db_fs(Ear::Left, Hz(1000.0), hl(40.0));
    assert_eq!(masker, Ok(DbFs(-68.5)));
    // The ears of a measured profile differ: 5.5 + 40 - 113.7 and 5.5 + 40 - 113.9.
    let sides = Ear::BOTH.map(|ear| example().level_db_fs(ear, Hz(1000.0), hl(40.0)).unwrap());
    assert!((sides[0].0 + 68.2).abs() < 1e-9 && (sides[1].0 + 68.4).abs() < 1e-9);
}

#[test]
fn the_examiners_threshold_is_the_zero() {
    let profile = examiner();
    let level = Level::ReExaminer(Db(30.0));
    assert_eq!(
        profile.level_db_fs(Ear::Left, Hz(500.0), level),
        Ok(DbFs(-68.0))
    );
    assert_eq!(profile.hz(), [Hz(500.0), Hz(1000.0)]);
    assert_eq!(profile.valid_on(date(2027, 3, 1)), Ok(()));
    assert!(profile.valid_on(date(2027, 3, 2)).is_err());
    assert_eq!(profile.uncertainty(Hz(1000.0), None, false), None);
}

#[test]
fn refuses_what_it_cannot_convert() {
    let profile = EarphoneProfile::simulated();
    let level = |hz, level| profile.level_db_fs(Ear::Right, Hz(hz), level);
    assert_eq!(
        level(1100.0, hl(0.0)),
        Err(Refusal::NoReference { hz: Hz(1100.0) })
    );
    assert!(level(f64::NAN, hl(0.0)).is_err());
    let asked = Level::Fs(DbFs(-60.0));
    assert!(matches!(
        level(1000.0, asked),
        Err(Refusal::WrongScale { .. })
    ));
    assert_eq!(level(1000.0, hl(f64::NAN)), Err(Refusal::NotANumber));
    assert_eq!(level(1000.0, hl(f64::INFINITY)), Err(Refusal::NotANumber));
}

/// Caps of an unmeasured headphone: the lower of 100 dB SPL (IEC 62368-1, 10.6) and 80 dB HL;
/// of a measured one 110 dB SPL; of the simulated set-up 110 dB HL.
#[test]
fn nothing_is_admitted_above_its_cap() {
    let capped = EarphoneProfile::simulated().capped_to_headphone();
    let max = |profile: &EarphoneProfile, hz| profile.max_level(Ear::Right, Hz(hz)).unwrap();
    assert_eq!(max(&capped, 1000.0), hl(80.0)); // 85.5 dB SPL
    assert_eq!(max(&capped, 125.0), hl(69.5)); // 30.5 dB SPL at 0 dB HL
    assert_eq!(max(&EarphoneProfile::simulated(), 125.0), hl(110.0));
    assert!((max(&example(), 1000.0).db() - 104.5).abs() < 1e-9);
    assert!((max(&example(), 8000.0).db() - 89.8).abs() < 1e-9); // full scale is 107.3 dB SPL
    assert_eq!(
        max(&EarphoneProfile::uncalibrated(), 1000.0),
        Level::Fs(DbFs(-20.0))
    );
    assert_eq!(max(&examiner(), 1000.0), Level::ReExaminer(Db(80.0)));
    let over = capped.admit(Ear::Right, Hz(1000.0), hl(85.0)).unwrap_err();
    assert_eq!(
        over.to_string(),
        "85 dB HL is above the cap of 80.0 dB HL at 1000 Hz"
    );
}

#[test]
fn no_admitted_sound_passes_the_ceiling_of_its_ear() {
    for profile in every_kind().into_iter().filter(|profile| {
        profile.kind() != ProfileKind::Simulated // whose maximum is for simulated people only
    }) {
        for ear in Ear::BOTH {
            let ceiling = profile.cap_db_fs(ear);
            assert!(ceiling <= DbFs(0.0));
            for hz in profile.hz() {
                let tone = profile.max_level(ear, hz).unwrap();
                assert!(profile.admit(ear, hz, tone).unwrap().0 <= ceiling.0 + 1e-9);
                // ISO 389-4 has no correction above 8 kHz.
                let Some(noise) = profile.max_masker_level(ear, hz) else {
                    assert!(hz > Hz(8000.0));
                    continue;
                };
                let noise = profile.admit_masker(ear, hz, noise).unwrap();
                assert!(
                    noise.0 <= ceiling.0 - 12.0 + 1e-9,
                    "{:?} {hz}",
                    profile.kind()
                );
            }
        }
    }
    assert_eq!(
        EarphoneProfile::simulated().cap_db_fs(Ear::Left),
        DbFs(-20.0)
    );
}

/// 16 bits: the dither's noise is 93.3 dB under a full-scale sine (3.01 - 6.0206 bits), and a third
/// of an octave about 3 kHz holds 0.2316 * 3000 of 24 000 Hz of it, 15.4 dB less. On the example's
/// earphone, 113.5 dB SPL at full scale, that is 4.8 dB SPL, and by 2.5 (ISO 389-8) and 6 dB
/// (ISO 389-4, from memory) an effective masking level of -3.7 dB. Noise 2.33 dB under a threshold
/// shifts it by 2 dB, which ISO 8253-1:2010 accepts of a room.
#[test]
fn the_depth_of_the_output_limits_the_lowest_level() {
    let depth = |bits: &str| {
        let text = EXAMPLE.replace("bits = 24", bits);
        EarphoneProfile::from_toml(&text, "x").unwrap()
    };
    let lowest =
        |profile: &EarphoneProfile, hz| profile.lowest_level(Ear::Right, Hz(hz)).unwrap().db();
    // What nobody has checked is reckoned as 16 bits.
    for profile in [depth("bits = 16"), depth("")] {
        assert_eq!(profile.depth_bits(), Some(16));
        assert!(
            (lowest(&profile, 3000.0) + 1.4).abs() < 0.05,
            "{}",
            lowest(&profile, 3000.0)
        );
        let admit = |db| profile.admit(Ear::Right, Hz(3000.0), hl(db));
        assert!(admit(0.0).is_ok());
        let Err(Refusal::BelowDepth { bits: 16, .. }) = admit(-5.0) else {
            panic!("{:?}", admit(-5.0))
        };
        assert!(profile.admit(Ear::Right, Hz(8000.0), hl(-10.0)).is_ok());
    }
    for profile in [
        depth("bits = 24"),
        depth("bits = 32"),
        EarphoneProfile::simulated(),
    ] {
        assert!((lowest(&profile, 3000.0) + 10.0).abs() < 1e-9);
    }
    assert_eq!(EarphoneProfile::simulated().depth_bits(), None);
}

/// ISO 389-5:2006: 56 dB SPL at 16 kHz. There the cap of an unmeasured headphone is that in dB SPL,
/// 100 - 56; at 1 kHz it is that in dB HL. Other classes have no reference above 8 kHz.
#[test]
fn from_9_to_16_khz_where_the_class_has_a_reference() {
    let capped = EarphoneProfile::simulated().capped_to_headphone();
    let max = |hz| capped.max_level(Ear::Left, Hz(hz)).unwrap();
    assert_eq!(
        [max(16_000.0), max(12_500.0), max(1000.0)],
        [hl(44.0), hl(72.5), hl(80.0)]
    );
    let sent = capped.level_db_fs(Ear::Left, Hz(12_500.0), hl(30.0));
    assert_eq!(sent, Ok(DbFs(27.5 + 30.0 - 120.0)));
    let row = "[[full_scale]]\nhz = 12500\nright_db_spl = 101.0\nleft_db_spl = 102.0\n";
    let text = format!("{EXAMPLE}\n{row}");
    let profile = EarphoneProfile::from_toml(&text, "x").unwrap();
    assert_eq!(profile.hz().last(), Some(&Hz(12_500.0)));
    let inserts = text
        .replace("circumaural_iso_389_8", "insert_2_cc_iso_389_2")
        .replace("coupler = \"ear_simulator_flat_plate_iec_60318_1\"\n", "");
    let inserts = EarphoneProfile::from_toml(&inserts, "x").unwrap();
    assert_eq!(inserts.hz(), AUDIOMETRIC_HZ);
    assert_eq!(
        inserts.admit(Ear::Right, Hz(12_500.0), hl(30.0)),
        Err(Refusal::NoReference { hz: Hz(12_500.0) })
    );
}

/// ISO 8253-1:2010, Annex A, the worked example: 4.9 dB up to 4 kHz with 5 dB steps.
#[test]
fn uncertainty_without_answers_is_the_standards_example() {
    let profile = EarphoneProfile::simulated();
    let u = |answers, masked| profile.uncertainty(Hz(1000.0), answers, masked).unwrap().0;
    assert!((u(None, false) - 4.9).abs() < 0.05);
    assert!(u(Some(Db(1.0)), false) < u(None, false));
    assert!(u(None, true) > u(None, false));
    // A device measured to 1 dB is better known than one that just keeps its tolerance.
    assert!(example().uncertainty(Hz(1000.0), None, false).unwrap().0 < u(None, false));
}

#[test]
fn every_kind_survives_its_file_and_the_journal() {
    for profile in every_kind() {
        let text = profile.to_toml();
        let back = EarphoneProfile::from_toml(&text, "x").unwrap();
        assert_eq!(back, profile);
        assert_eq!(back.digest(), profile.digest());
        let json = serde_json::to_string(&profile).unwrap();
        assert_eq!(
            serde_json::from_str::<EarphoneProfile>(&json).unwrap(),
            profile
        );
    }
    let digests: std::collections::HashSet<_> =
        every_kind().iter().map(EarphoneProfile::digest).collect();
    assert_eq!(digests.len(), 5);
    let screen = ScreenProfile::simulated();
    assert_eq!(
        ScreenProfile::from_toml(&screen.to_toml(), "x").unwrap(),
        screen
    );
}

/// One change to the example, and the field that the error must name.
#[test]
fn hostile_earphone_profiles_are_refused_by_field() {
    let cases = [
        ("format = 1", "format = 2", "format"),
        ("hz = 250", "hz = 125", "full_scale[1].hz"),
        ("hz = 250", "hz = 500", "full_scale[2].hz"),
        ("hz = 125", "hz = 100", "full_scale[0].hz"),
        ("hz = 8000", "hz = 15000", "full_scale[10].hz"),
        ("bits = 24", "bits = 20", "output.bits"),
        ("hz = 8000", "hz = nan", "full_scale[10].hz"),
        (
            "right_db_spl = 113.1",
            "right_db_spl = nan",
            "full_scale[0].right_db_spl",
        ),
        (
            "right_db_spl = 113.1",
            "right_db_spl = inf",
            "full_scale[0].right_db_spl",
        ),
        (
            "right_db_spl = 113.1",
            "right_db_spl = 13.1",
            "full_scale[0].right_db_spl",
        ),
        (
            "right_db_spl = 113.1",
            "right_db_spl = 1131",
            "full_scale[0].right_db_spl",
        ),
        (
            "right_db_spl = 113.1",
            "right_db_spl = 91.3",
            "full_scale[0].left_db_spl",
        ),
        (
            "right_db_spl = 113.1",
            "right_db_spl = \"x\"",
            "right_db_spl (line 21)",
        ),
        ("2027-02-01", "2026-01-31", "expires_on"),
        ("2027-02-01", "2027-02-31", "expires_on"),
        ("expires_on = \"2027-02-01\"", "", "expires_on"),
        ("u_db = 1.0", "u_db = -1.0", "u_db"),
        ("u_db = 1.0", "", "u_db"),
        ("u_db = 1.0", "u = 1.0", "u"),
        ("rate_hz = 48000", "rate_hz = 8", "output.rate_hz"),
        ("rate_hz = 48000", "rate_hz = -1", "rate_hz"),
        ("class = \"circumaural_iso_389_8\"", "", "class"),
        ("circumaural_iso_389_8", "free_field", "class"),
        (
            "kind = \"measured\"",
            "kind = \"uncalibrated\"",
            "full_scale",
        ),
        (
            "kind = \"measured\"",
            "kind = \"examiners_ears\"",
            "full_scale",
        ),
        ("Example, circ", "Example\\n, circ", "title"),
        (
            "made_by = \"nobody, an example\"",
            "made_by = \"\"",
            "made_by",
        ),
    ];
    for (from, to, field) in cases {
        assert!(EXAMPLE.contains(from), "{from}");
        let text = EXAMPLE.replacen(from, to, 1);
        let error = EarphoneProfile::from_toml(&text, "my.toml").unwrap_err();
        let line = error.to_string();
        assert!(error.field.starts_with(field), "{to}: {line}");
        assert!(
            line.starts_with("my.toml: ") && !line.contains('\n'),
            "{line}"
        );
    }
}

#[test]
fn hostile_screen_profiles_are_refused_by_field() {
    let cases = [
        ("pixel_mm = 0.1795", "pixel_mm = 0", "pixel_mm"),
        ("pixel_mm = 0.1795", "pixel_mm = nan", "pixel_mm"),
        ("pixel_mm = 0.1795", "pixel_mm = -0.2", "pixel_mm"),
        ("width_px = 1920", "width_px = 0", "width_px"),
        ("height_px = 1200", "height_px = 99999999", "height_px"),
        ("u_rel = 0.003", "u_rel = 1.0", "u_rel"),
        ("made_on = \"2026-02-02\"", "", "made_on"),
    ];
    for (from, to, field) in cases {
        let error = ScreenProfile::from_toml(&SCREEN.replacen(from, to, 1), "s.toml").unwrap_err();
        assert!(error.field.starts_with(field), "{to}: {error}");
    }
}

/// The nearest distance for two pixels a stroke, and the largest optotype: computed by hand from
/// d = n · pitch / tan(detail) and 90 % of 300 mm, as printed to two decimals.
#[test]
fn a_screen_draws_from_two_pixels_a_stroke_to_nine_tenths_of_its_height() {
    let screen = |pixel: f64, height: u32| {
        let text = SCREEN
            .replace("pixel_mm = 0.1795", &format!("pixel_mm = {pixel}"))
            .replace("height_px = 1200", &format!("height_px = {height}"));
        ScreenProfile::from_toml(&text, "s.toml").unwrap()
    };
    for (pixel, log_mar, metres) in [(0.277, 0.0, 1.90), (0.277, -0.3, 3.80), (0.155, -0.1, 1.34)] {
        let nearest = screen(pixel, 1200)
            .distance_for(LogMar(log_mar), Mm(100.0))
            .unwrap();
        assert!(
            (nearest.0 / 1000.0 - metres).abs() < 0.006,
            "{pixel} {log_mar}: {nearest:?}"
        );
    }
    for (metres, log_mar) in [
        (1.0, 2.27),
        (2.0, 1.97),
        (3.0, 1.79),
        (4.0, 1.67),
        (6.0, 1.49),
    ] {
        let largest = screen(0.25, 1200).largest(Mm(1000.0 * metres));
        assert!((largest.0 - log_mar).abs() < 0.006, "{metres}: {largest:?}");
    }
}

fn any_profile() -> impl Strategy<Value = EarphoneRecord> {
    let rows = prop::collection::vec((80.0..=140.0_f64, -10.0..=10.0_f64), 11);
    let kept = prop::collection::vec(any::<bool>(), 11);
    let text = "[^\\p{C}\\s]{1,40}";
    (rows, kept, text, text, 0.1..20.0, 0..7_usize, 0..3000_i32).prop_map(
        |(rows, kept, title, device, u, class, days)| {
            let full_scale = (AUDIOMETRIC_HZ.iter().zip(rows).zip(kept))
                .filter(|((hz, _), kept)| *kept || **hz == Hz(1000.0))
                .map(|((hz, (right, apart)), _)| FullScale {
                    hz: *hz,
                    right_db_spl: DbSpl(right),
                    left_db_spl: DbSpl((right + apart).clamp(80.0, 140.0)),
                })
                .collect();
            let made_on: Date = date(2026, 1, 1);
            EarphoneRecord {
                title,
                class: Some(EarphoneClass::ALL[class]),
                made_on: Some(made_on),
                expires_on: made_on.checked_add(jiff::Span::new().days(days)).ok(),
                u_db: Some(Db(u)),
                output: Some(OutputRequirement {
                    device: Some(device),
                    rate_hz: 44_100,
                    bits: Some(24),
                    volume_percent: None,
                }),
                full_scale,
                coupler: None,
                ..example().into()
            }
        },
    )
}

proptest! {
    #[test]
    fn a_measured_profile_survives_its_file(record in any_profile()) {
        let profile = EarphoneProfile::try_from(record).unwrap();
        let back = EarphoneProfile::from_toml(&profile.to_toml(), "x").unwrap();
        prop_assert_eq!(back, profile);
    }

    #[test]
    fn levels_are_exact_and_under_the_cap(record in any_profile(), db in -10.0..130.0_f64) {
        let profile = EarphoneProfile::try_from(record).unwrap();
        for hz in profile.hz() {
            for ear in Ear::BOTH {
                // What comes out of the coupler: level re full scale plus the level at full scale.
                let sent = profile.level_db_fs(ear, hz, hl(db)).unwrap();
                let coupler = profile.full_scale_db_spl(ear, hz).unwrap().0 + sent.0;
                prop_assert!((coupler - profile.retspl(hz).unwrap().0 - db).abs() < 1e-9);
                match profile.admit(ear, hz, hl(db)) {
                    Ok(_) => {
                        prop_assert!(coupler <= 110.0 + 1e-9 && sent.0 <= 1e-9);
                        prop_assert!(sent.0 <= profile.cap_db_fs(ear).0 + 1e-9);
                    }
                    // Softer than the dither of 24 bits leaves room for: one step is -138.5 dB re
                    // full scale.
                    Err(Refusal::BelowDepth { lowest_db, .. }) => {
                        prop_assert!(db < lowest_db && sent.0 < -130.0, "{db} {sent:?}");
                    }
                    // Above either cap, in air or over the reference, or above full scale.
                    Err(_) => {
                        prop_assert!(coupler > 110.0 - 1e-9 || sent.0 > -1e-9 || db > 110.0 - 1e-9);
                    }
                }
            }
        }
    }

    #[test]
    fn no_text_makes_it_panic(text in "\\PC*", at in 0..EXAMPLE.len()) {
        let _ = EarphoneProfile::from_toml(&text, "x");
        if EXAMPLE.is_char_boundary(at) {
            let _ = EarphoneProfile::from_toml(&EXAMPLE[..at], "x");
            let _ = EarphoneProfile::from_toml(&format!("{}{text}", &EXAMPLE[..at]), "x");
        }
    }
}
