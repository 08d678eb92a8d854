//! A sheet from its first tone to its profile, and everything that stands against one.

use super::*;
use crate::calibration::EarphoneProfile;
use crate::quantity::{DbHl, Level};
use jiff::civil::date;

fn wish() -> SheetWish {
    SheetWish {
        title: "Harbour practice, pair 2 (invented)".into(),
        class: Some(EarphoneClass::Circumaural),
        coupler: Coupler::EarSimulatorFlatPlate,
        made_by: "an example".into(),
        meter: "class 1 meter (invented)".into(),
        u_meter_db: METER_U,
        output: OutputRequirement {
            device: None,
            rate_hz: 48_000,
            bits: Some(24),
            volume_percent: None,
        },
        level_db_fs: READ_AT,
        placements: PLACEMENTS,
        extended: false,
    }
}

/// An earphone that gives 112 dB SPL at full scale, 1 dB more at the left, and 0.4 dB to and
/// fro between placements.
fn read(step: &Step) -> DbSpl {
    let left = if step.ear == Ear::Left { 1.0 } else { 0.0 };
    let placed = if step.placement == 1 { 0.2 } else { -0.2 };
    DbSpl(112.0 + left + placed + step.level_db_fs.0)
}

fn whole() -> CouplerSheet {
    let mut sheet = CouplerSheet::begin(wish()).unwrap();
    while let Some(step) = sheet.next() {
        sheet.enter(&step, read(&step), Some(0.4)).unwrap();
    }
    sheet
}

#[test]
fn an_ordinary_headphone_is_refused_in_one_sentence() {
    let refused = CouplerSheet::begin(SheetWish {
        class: None,
        ..wish()
    });
    assert_eq!(
        refused.unwrap_err().to_string(),
        format!("class: {ORDINARY}")
    );
    assert!(!ORDINARY.contains('\n') && !ORDINARY.contains(". "));
}

/// ISO 389-1:1998 keeps the acoustic coupler for its named types: a circumaural earphone does
/// not go on it.
#[test]
fn a_type_goes_on_the_coupler_of_its_table_only() {
    for class in EarphoneClass::ALL {
        for coupler in Coupler::ALL {
            let begun = CouplerSheet::begin(SheetWish {
                class: Some(class),
                coupler,
                ..wish()
            });
            assert_eq!(
                begun.is_ok(),
                class.coupler() == coupler,
                "{class:?} {coupler:?}"
            );
        }
    }
    let wrong = SheetWish {
        coupler: Coupler::AcousticCoupler,
        ..wish()
    };
    let error = CouplerSheet::begin(wrong).unwrap_err().to_string();
    assert!(
        error.starts_with("coupler: acoustic coupler, IEC 60318-3 found"),
        "{error}"
    );
}

/// Two placements of two ears at the eleven frequencies of the table (ISO 389-8), and 1 kHz
/// once softer at each ear: 46 readings.
#[test]
fn each_tone_is_read_once_a_placement() {
    let sheet = CouplerSheet::begin(wish()).unwrap();
    let steps = sheet.steps();
    assert_eq!(steps.len(), 46);
    for (at, step) in steps.iter().enumerate() {
        assert!(!steps[..at].contains(step));
        assert!(step.level_db_fs <= READ_AT);
    }
}

/// The level sent is level + reference − level at full scale (calibration/README.md): with
/// 112 dB SPL at full scale and 5.5 dB SPL at 1 kHz (ISO 389-8), 40 dB HL is −66.5 dB re full
/// scale at the right, one decibel less at the left.
#[test]
fn the_readings_make_a_measured_profile() {
    let sheet = whole();
    assert!(sheet.unfit().is_empty() && sheet.next().is_none());
    let profile = sheet.profile(date(2026, 11, 25)).unwrap();
    let level = |ear| {
        let level = Level::Hl(DbHl(40.0));
        profile.level_db_fs(ear, Hz(1000.0), level).unwrap().0
    };
    assert!((level(Ear::Right) + 66.5).abs() < 1e-9);
    assert!((level(Ear::Left) + 67.5).abs() < 1e-9);
    let record = profile.record();
    assert_eq!(record.expires_on, Some(date(2027, 11, 25)));
    assert_eq!((record.full_scale.len(), record.distortion.len()), (11, 11));
    let again = EarphoneProfile::from_toml(&profile.to_toml(), "p.toml").unwrap();
    assert_eq!(again.digest(), profile.digest());
    // 0.7; a scatter of √(2·0.2²)/√2 = 0.2; 0.25/√3 = 0.144: together 0.742 (by hand).
    assert_eq!(record.u_db, Some(Db(0.75)));
    let sheet_again = CouplerSheet::from_toml(&sheet.to_toml(), "s.toml").unwrap();
    assert_eq!(sheet_again, sheet);
}

#[test]
fn work_is_broken_off_and_gone_on_with() {
    let mut sheet = whole();
    let last = sheet.take_back().unwrap();
    assert!(last.is_of(&sheet.next().unwrap()));
    let error = sheet.profile(date(2026, 11, 25)).unwrap_err().to_string();
    assert!(
        error.starts_with("45 of 46 tones are read; the next is 8000 Hz"),
        "{error}"
    );
    let step = sheet.next().unwrap();
    sheet.enter(&step, DbSpl(77.0), None).unwrap();
    sheet.enter(&step, DbSpl(77.4), None).unwrap();
    assert_eq!(sheet.readings.len(), 46);
    assert!(
        sheet.enter(&step, DbSpl(7.7), None).is_err(),
        "a slipped digit"
    );
    assert!(sheet.enter(&step, DbSpl(f64::NAN), None).is_err());
    assert_eq!(sheet.reading(&step).unwrap().db_spl, DbSpl(77.4));
}

/// Every limit, each broken by itself.
#[test]
fn what_makes_no_profile_is_said() {
    let change = |at: usize, more: f64, percent: Option<f64>| {
        let mut sheet = whole();
        let step = sheet.steps()[at];
        let level = sheet.reading(&step).unwrap().db_spl + Db(more);
        sheet.enter(&step, level, percent).unwrap();
        let unfit = sheet.unfit();
        assert!(sheet.profile(date(2026, 11, 25)).is_err());
        unfit.first().unwrap().to_string()
    };
    let of = |text: String, expected: &str| assert!(text.contains(expected), "{text}");
    of(
        change(3, 3.5, None),
        "placements differ by 3.9 dB, at most 3 dB",
    );
    of(change(1, -2.0, None), "20 dB softer reads 22.0 dB less");
    of(change(5, 0.0, Some(2.6)), "2.6 % distortion, at most 2.5 %");
    let mut sheet = CouplerSheet::begin(wish()).unwrap();
    while let Some(step) = sheet.next() {
        let left = if step.ear == Ear::Left { 6.0 } else { 0.0 };
        sheet.enter(&step, read(&step) + Db(left), None).unwrap();
    }
    let sides = sheet.unfit();
    assert_eq!(sides.len(), 9, "up to 4 kHz, above it 10 dB may differ");
    of(
        sides[0].to_string(),
        "125 Hz: the earphones differ by 7.0 dB, at most 6 dB",
    );
}

/// ISO 389-5:2006 has circumaural earphones to 16 kHz, 56 dB SPL there: at 112 dB SPL at full scale 0 dB
/// HL is −56 dB re full scale, and the cap of 110 dB SPL is 54 dB HL. No other type goes there, nor does
/// an output of 32 kHz.
#[test]
fn nine_to_sixteen_kilohertz_are_read_where_the_type_has_references() {
    let extended = |class: EarphoneClass, rate_hz| {
        CouplerSheet::begin(SheetWish {
            class: Some(class),
            coupler: class.coupler(),
            output: OutputRequirement {
                rate_hz,
                ..wish().output
            },
            extended: true,
            ..wish()
        })
    };
    for class in EarphoneClass::ALL {
        let begun = extended(class, 48_000);
        assert_eq!(
            begun.is_ok(),
            class == EarphoneClass::Circumaural,
            "{class:?}"
        );
    }
    let slow = extended(EarphoneClass::Circumaural, 32_000).unwrap_err();
    assert!(
        slow.to_string().starts_with("output.rate_hz: 32000 found"),
        "{slow}"
    );
    let mut sheet = extended(EarphoneClass::Circumaural, 48_000).unwrap();
    assert_eq!(sheet.steps().len(), 46 + 2 * 2 * 6);
    while let Some(step) = sheet.next() {
        sheet.enter(&step, read(&step), None).unwrap();
    }
    let again = CouplerSheet::from_toml(&sheet.to_toml(), "s.toml").unwrap();
    assert_eq!(again, sheet);
    let profile = sheet.profile(date(2026, 11, 25)).unwrap();
    let zero = Level::Hl(DbHl(0.0));
    let level = profile
        .level_db_fs(Ear::Right, Hz(16_000.0), zero)
        .unwrap()
        .0;
    assert!((level + 56.0).abs() < 1e-9, "{level}");
    assert_eq!(
        profile.max_level(Ear::Right, Hz(16_000.0)),
        Some(Level::Hl(DbHl(54.0)))
    );
}
