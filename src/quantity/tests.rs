//! Arithmetic of levels and sizes, at random.

use super::*;
use proptest::prelude::*;

fn fixed() -> ProptestConfig {
    ProptestConfig {
        cases: 500,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(20),
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(fixed())]

    #[test]
    fn a_step_up_and_down_again_is_none(level_db in -150.0..150.0_f64, step_db in -200.0..200.0_f64) {
        let (level, step) = (DbHl(level_db), Db(step_db));
        prop_assert!(((level + step - step) - level).0.abs() < 1e-10);
        prop_assert!((((level + step) - level).0 - step_db).abs() < 1e-10);
        prop_assert_eq!(level - step, level + -step);
    }

    /// A level rises by 20 dB for each tenfold amplitude (ISO 80000-8:2020).
    #[test]
    fn twenty_db_are_tenfold(level_db in -150.0..20.0_f64, tens in -3..3_i32) {
        let louder = DbFs(level_db + 20.0 * f64::from(tens)).amplitude();
        let wanted = DbFs(level_db).amplitude() * 10.0_f64.powi(tens);
        prop_assert!((louder / wanted - 1.0).abs() < 1e-12);
        prop_assert!((DbFs::of_amplitude(DbFs(level_db).amplitude()).0 - level_db).abs() < 1e-10);
    }

    /// Angle to length and back; and ten times the detail is one logMAR more.
    #[test]
    fn sizes_and_angles_are_inverse(log_mar in -1.0..2.5_f64, distance_mm in 100.0..20_000.0_f64) {
        let (size, distance) = (LogMar(log_mar), Mm(distance_mm));
        let back = ArcMin::spanned_by(size.detail().span_at(distance), distance);
        prop_assert!((LogMar::of_detail(back).0 - log_mar).abs() < 1e-10);
        prop_assert!((LogMar(log_mar + 1.0).detail().0 / size.detail().0 - 10.0).abs() < 1e-9);
        prop_assert!((size.decimal() * size.detail().0 - 1.0).abs() < 1e-12);
    }

    /// Draws repeat exactly, whatever was drawn before under another key.
    #[test]
    fn draws_depend_on_their_key_alone(seed: u64, n: u64, before in 0..20_usize) {
        let mut other = Draws::new(seed ^ 1, Stream::Lead, n);
        for _ in 0..before {
            other.uniform();
        }
        let draw = |stream| Draws::new(seed, stream, n).uniform();
        prop_assert_eq!(draw(Stream::Lead).to_bits(), draw(Stream::Lead).to_bits());
        prop_assert!(draw(Stream::Lead).to_bits() != draw(Stream::Silence).to_bits());
    }

    /// Moments are kept to the microsecond, also through a file.
    #[test]
    fn moments_survive_a_file(micros in -1_000_000_000_000..1_000_000_000_000_i64) {
        let moment = Moment::from_micros(micros);
        let text = serde_json::to_string(&moment).unwrap();
        prop_assert_eq!(serde_json::from_str::<Moment>(&text).unwrap(), moment);
    }
}
