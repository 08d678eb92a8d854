//! A tone as the sound device would get it, measured in the WAV file.

use crate::at_hand::{folder, veridical, word};
use serde_json::Value;
use std::f64::consts::TAU;

struct Wav {
    rate_hz: f64,
    left: Vec<f64>,
    right: Vec<f64>,
    told: Value,
}

fn tone(name: &str, more: &[&str]) -> Wav {
    let out = folder("tone").join(name);
    let arguments = ["tone", "--ear", "right", "--out", &word(&out), "--json"];
    let told = veridical(&[&arguments[..], more].concat());
    assert_eq!(told.code, Some(0), "{}", told.err);
    let mut file = hound::WavReader::open(&out).unwrap();
    let spec = file.spec();
    assert_eq!((spec.channels, spec.bits_per_sample), (2, 32));
    assert_eq!(spec.sample_format, hound::SampleFormat::Float);
    let all: Vec<f64> = file
        .samples::<f32>()
        .map(|one| f64::from(one.unwrap()))
        .collect();
    Wav {
        rate_hz: f64::from(spec.sample_rate),
        left: all.iter().step_by(2).copied().collect(),
        right: all.iter().skip(1).step_by(2).copied().collect(),
        told: told.json(),
    }
}

impl Wav {
    fn frame(&self, key: &str) -> usize {
        self.told[key].as_u64().unwrap() as usize
    }

    /// Amplitude and phase of a sine of this frequency in these frames, by least squares.
    fn sine(&self, hz: f64, from: usize, to: usize) -> (f64, f64) {
        let (mut ss, mut cc, mut sc, mut sy, mut cy) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for frame in from..to {
            let (s, c) = (TAU * hz * frame as f64 / self.rate_hz).sin_cos();
            let y = self.right[frame];
            (ss, cc, sc) = (ss + s * s, cc + c * c, sc + s * c);
            (sy, cy) = (sy + s * y, cy + c * y);
        }
        let determinant = ss * cc - sc * sc;
        let (a, b) = (
            (sy * cc - cy * sc) / determinant,
            (cy * ss - sy * sc) / determinant,
        );
        (a.hypot(b), b.atan2(a))
    }
}

/// Level re full scale = hearing level + RETSPL - 120 dB, the simulated set-up's sound pressure
/// level at full scale. RETSPL of circumaural earphones: ISO 389-8:2004, 5.5 dB at
/// 1 kHz and 17.5 dB at 8 kHz.
#[test]
fn level_and_frequency_are_right_and_the_other_ear_is_silent() {
    for (hz, level_db_hl, retspl_db, rate) in [
        (1000.0, 40.0, 5.5, "48000"),
        (8000.0, 40.0, 17.5, "48000"),
        (1000.0, -5.0, 5.5, "44100"),
        (8000.0, 75.0, 17.5, "96000"),
    ] {
        let (frequency, level) = (format!("{hz}"), format!("{level_db_hl}"));
        let name = format!("{hz}-{level_db_hl}.wav");
        let wav = tone(
            &name,
            &["--hz", &frequency, "--level", &level, "--rate", rate],
        );
        let expected_db = level_db_hl + retspl_db - 120.0;
        let told = |key: &str| wav.told[key].as_f64().unwrap();
        assert!((told("level_db_fs") - expected_db).abs() < 1e-9);
        assert_eq!(
            (told("full_scale_db_spl"), told("retspl_db")),
            (120.0, retspl_db)
        );
        assert!(wav.left.iter().all(|sample| *sample == 0.0));
        let (onset, end) = (wav.frame("onset_frame"), wav.frame("end_frame"));
        assert!(
            wav.right[..onset]
                .iter()
                .chain(&wav.right[end..])
                .all(|one| *one == 0.0)
        );
        let tenth = (0.1 * wav.rate_hz) as usize;
        let (steady, over) = (onset + tenth, end - tenth);
        let (amplitude, _) = wav.sine(hz, steady, over);
        let found_db = 20.0 * amplitude.log10();
        assert!(
            (found_db - expected_db).abs() < 0.05,
            "{name}: {found_db} dB"
        );
        // What frequency there is, by the turn of the phase between two stretches.
        let stretch = 2 * tenth;
        let (_, early) = wav.sine(hz, steady, steady + stretch);
        let (_, late) = wav.sine(hz, over - stretch, over);
        let apart_s = (over - stretch - steady) as f64 / wav.rate_hz;
        let off_hz = (late - early) / TAU / apart_s;
        // 0.01 % is a hundred times better than the 1 % of IEC 60645-1 (from memory).
        assert!(off_hz.abs() < 1e-4 * hz, "{name}: off by {off_hz} Hz");
    }
}

/// On for 225 ms, off for 225 ms between the points 5 dB under the steady level; the rise from
/// 20 dB to 1 dB under it within 20 to 50 ms (IEC 60645-1, pulsed tones; figures as the source of
/// the program states them).
#[test]
fn pulses_are_timed_as_the_standard_says() {
    let wav = tone(
        "pulsed.wav",
        &[
            "--hz",
            "1000",
            "--level",
            "60",
            "--kind",
            "pulsed",
            "--seconds",
            "2",
        ],
    );
    // Amplitude in stretches of two periods of the tone, ten times a millisecond.
    let period = (wav.rate_hz / 1000.0) as usize;
    let step = wav.rate_hz as usize / 10_000 + 1;
    let amplitude: Vec<(f64, f64)> = (0..wav.right.len() - 2 * period)
        .step_by(step)
        .map(|from| {
            let middle_s = (from + period) as f64 / wav.rate_hz;
            (middle_s, wav.sine(1000.0, from, from + 2 * period).0)
        })
        .collect();
    let steady = 10_f64.powf((60.0 + 5.5 - 120.0) / 20.0);
    let crossings = |under_db: f64| -> Vec<f64> {
        let limit = steady * 10_f64.powf(-under_db / 20.0);
        let pairs = amplitude.windows(2);
        pairs
            .filter(|pair| (pair[0].1 < limit) != (pair[1].1 < limit))
            .map(|pair| pair[1].0)
            .collect()
    };
    let at_5_db = crossings(5.0);
    assert_eq!(at_5_db.len(), 8, "four pulses in 2 s: {at_5_db:?}");
    for pair in at_5_db.windows(2) {
        assert!((pair[1] - pair[0] - 0.225).abs() < 0.001, "{at_5_db:?}");
    }
    let (from, to) = (crossings(20.0)[0], crossings(1.0)[0]);
    assert!((0.020..=0.050).contains(&(to - from)), "rise {}", to - from);
}
