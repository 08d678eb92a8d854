//! One presentation as the device would get it: a tone or a noise, an optotype as a picture.

use super::{ErrandError, Sounding, is_loud, level_db_fs, sounding};
use crate::calibration::EarphoneProfile;
use crate::quantity::{Ear, Eye, Hz, Level, LogMar, Mm};
use crate::stimulus::{
    Facing, Look, OptotypePart, OptotypeSet, OptotypeSize, Part, Presentation, Signal, SoundPart,
    Symbol, Task, Undrawable, draw,
};
use serde::Serialize;
use std::path::Path;

/// Silence before and after the tone, s.
const MARGIN_S: f64 = 0.1;

/// A tone that is wanted.
#[derive(Debug, Clone)]
pub struct ToneWish {
    /// The ear.
    pub ear: Ear,
    /// The frequency.
    pub hz: Hz,
    /// The level, dB on the profile's scale.
    pub level_db: f64,
    /// A tone or a noise.
    pub kind: Signal,
    /// How long, s.
    pub seconds: f64,
    /// Frames a second; the profile's, else 48 000.
    pub rate_hz: Option<u32>,
    /// The same tone in the other ear, dB.
    pub other_ear_level_db: Option<f64>,
    /// Noise in the other ear, of the kind of [`ToneWish::mask_kind`]: narrow-band noise in dB
    /// effective masking level.
    pub mask_level_db: Option<f64>,
    /// The noise that masks.
    pub mask_kind: Signal,
}

/// What is known of a tone.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ToneReport {
    /// The set-up.
    pub setup: String,
    /// The ear.
    pub ear: Ear,
    /// The frequency.
    pub hz: Hz,
    /// The level with its scale.
    #[serde(flatten)]
    pub level: Level,
    /// Whether the level rests on an assumption about full scale, not on a calibration.
    pub assumed: bool,
    /// What the other ear gets.
    pub other_ear: Option<String>,
    /// What the coupler reads for a sine at full scale.
    pub full_scale_db_spl: Option<f64>,
    /// The reference level of the earphone type.
    pub retspl_db: Option<f64>,
    /// The level re full scale.
    pub level_db_fs: f64,
    /// Frames a second.
    pub rate_hz: u32,
    /// The frame at which the onset begins.
    pub onset_frame: usize,
    /// The frame after the end.
    pub end_frame: usize,
    /// All frames.
    pub frames: usize,
    /// The largest sample; 1 is full scale.
    pub peak: f32,
    /// Whether any of it is loud: to ears it comes in a visit only, where the examiner confirms it.
    pub loud: bool,
}

/// Makes a tone ready on an earphone, to be written or played.
///
/// # Errors
/// If the earphone cannot present it, or it exceeds the cap.
pub fn tone(
    wish: &ToneWish,
    earphone: &EarphoneProfile,
) -> Result<(ToneReport, Sounding), ErrandError> {
    let rate_hz = wish.rate_hz.or(earphone
        .record()
        .output
        .as_ref()
        .map(|output| output.rate_hz));
    let rate_hz = rate_hz.unwrap_or(48_000);
    let lowest_db = earphone.min_level().db();
    if !(lowest_db..=200.0).contains(&wish.level_db) {
        let (unit, found) = (earphone.scale().unit(), wish.level_db);
        let what = format!("--level: expected {lowest_db} {unit} or more, found {found:.4e}");
        return Err(ErrandError::BadInput(what));
    }
    let presentation = presentation(wish, earphone);
    let seed = u64::from(rate_hz);
    let ready = sounding(&presentation, earphone, rate_hz, seed)
        .map_err(|error| ErrandError::BadInput(format!("tone: {error}")))?;
    let rendered = &ready.slot;
    let level = Level::new(earphone.scale(), wish.level_db);
    let converted = presentation.sounds().next().map_or_else(
        || earphone.level_db_fs(wish.ear, wish.hz, level),
        |part| level_db_fs(earphone, part),
    );
    let span = rendered.spans.first();
    let report = ToneReport {
        setup: earphone.record().title.clone(),
        ear: wish.ear,
        hz: wish.hz,
        level,
        assumed: earphone.is_simulated(),
        other_ear: other_ear(wish),
        full_scale_db_spl: earphone
            .full_scale_db_spl(wish.ear, wish.hz)
            .map(|level| level.0),
        retspl_db: earphone.retspl(wish.hz).map(|level| level.0),
        level_db_fs: converted
            .map_err(|error| ErrandError::BadInput(error.to_string()))?
            .0,
        rate_hz,
        onset_frame: span.map_or(0, |span| span.onset_frame),
        end_frame: span.map_or(0, |span| span.end_frame),
        frames: rendered.frames(),
        peak: rendered.peak(),
        loud: presentation.sounds().any(|part| is_loud(earphone, part)),
    };
    Ok((report, ready))
}

fn presentation(wish: &ToneWish, earphone: &EarphoneProfile) -> Presentation {
    let (start_s, end_s) = (MARGIN_S, MARGIN_S + wish.seconds);
    let part = |ear, signal, level_db| {
        let level = Level::new(earphone.scale(), level_db);
        Part::Sound(SoundPart {
            ear,
            signal,
            hz: wish.hz,
            level,
            start_s,
            end_s,
            interval: None,
        })
    };
    let other = wish.ear.other();
    let mut parts = vec![part(wish.ear, wish.kind, wish.level_db)];
    parts.extend(
        wish.other_ear_level_db
            .map(|level_db| part(other, wish.kind, level_db)),
    );
    parts.extend(
        wish.mask_level_db
            .map(|level_db| part(other, wish.mask_kind, level_db)),
    );
    Presentation {
        task: Task::Detect,
        window_s: Some(end_s + MARGIN_S),
        parts,
    }
}

/// What the other ear gets, in words.
fn other_ear(wish: &ToneWish) -> Option<String> {
    let tone = wish
        .other_ear_level_db
        .map(|db| format!("the same tone at {db} dB"));
    let noise = wish.mask_level_db.map(|db| match wish.mask_kind {
        Signal::WhiteNoise => format!("white noise at {db} dB"),
        Signal::SpeechNoise => format!("speech-weighted noise at {db} dB"),
        _ => format!("narrow-band noise at {db} dB effective level"),
    });
    let parts: Vec<String> = tone.into_iter().chain(noise).collect();
    (!parts.is_empty()).then(|| parts.join(" and "))
}

/// An optotype, or a row of letters, that is wanted.
#[derive(Debug, Clone)]
pub struct OptotypeWish {
    /// The set.
    pub set: OptotypeSet,
    /// Where it points, of what has a direction, as the person sees it.
    pub facing: Option<Facing>,
    /// Its letter, of what is one; several make a row.
    pub letter: Option<String>,
    /// With a bar on each side.
    pub crowded: bool,
    /// White on black.
    pub reverse: bool,
    /// To be seen in a mirror.
    pub mirrored: bool,
    /// Its size.
    pub log_mar: LogMar,
    /// From the eye to the screen.
    pub distance: Mm,
    /// The screen's pixel pitch.
    pub pixel: Mm,
}

impl OptotypeWish {
    /// What is to be drawn, in reading order.
    fn symbols(&self) -> Result<Vec<Symbol>, ErrandError> {
        let bad = |what: String| Err(ErrandError::BadInput(what));
        let letters = self.set.letters();
        match (self.facing, &self.letter) {
            (Some(facing), None) if self.set.facings().contains(&facing) => {
                Ok(vec![Symbol::Facing(facing)])
            }
            (None, Some(row)) if !letters.is_empty() => {
                let of_set = |one: char| {
                    let found = letters.iter().find(|letter| letter.char() == one);
                    found.map(|letter| Symbol::Letter(*letter))
                };
                let symbols: Option<Vec<Symbol>> = row.chars().map(of_set).collect();
                let fits = |symbols: &Vec<Symbol>| (1..=LONGEST_ROW).contains(&symbols.len());
                symbols.filter(fits).ok_or_else(|| {
                    let of: String = letters.iter().map(|letter| letter.char()).collect();
                    let what = format!("expected 1 to {LONGEST_ROW} of {of}, found {row:?}");
                    ErrandError::BadInput(format!("--letter: {what}"))
                })
            }
            _ if letters.is_empty() => {
                let of = self.set.facings().len();
                bad(format!(
                    "--facing: expected one of the {of} directions of this kind, and no --letter"
                ))
            }
            _ => bad("--letter: expected a letter for this kind, and no --facing".into()),
        }
    }
}

/// The most letters in a row.
const LONGEST_ROW: usize = 10;

/// Writes optotypes as a picture; tells the stroke in pixels.
///
/// # Errors
/// If the screen cannot draw it at this distance, or the file cannot be written.
pub fn optotype(wish: &OptotypeWish, out: &Path) -> Result<f64, ErrandError> {
    for (field, value, low, high) in [
        ("--distance-mm", wish.distance.0, 100.0, 20_000.0),
        ("--pixel-mm", wish.pixel.0, 0.01, 5.0),
        ("--log-mar", wish.log_mar.0, -1.0, 3.0),
    ] {
        if !(low..=high).contains(&value) {
            let what = format!("{field}: expected {low} to {high}, found {value}");
            return Err(ErrandError::BadInput(what));
        }
    }
    let part = |symbol| OptotypePart {
        crowded: wish.crowded,
        reverse: wish.reverse,
        ..OptotypePart::plain(Eye::Both, wish.set, symbol, wish.log_mar, wish.distance)
    };
    let parts: Vec<OptotypePart> = wish.symbols()?.into_iter().map(part).collect();
    let undrawable = |error: Undrawable| ErrandError::BadInput(format!("--log-mar: {error}"));
    let size = OptotypeSize::new(wish.log_mar, wish.distance, wish.pixel).map_err(undrawable)?;
    let look = Look {
        pixel: wish.pixel,
        mirrored: wish.mirrored,
        // A stroke of background all round, so that the picture's edge is no cue.
        margin_px: size.stroke_px().ceil() as u32,
    };
    let png = draw(&parts, look)
        .map_err(undrawable)?
        .png()
        .map_err(|error| ErrandError::failed(out, error))?;
    std::fs::write(out, png).map_err(|error| ErrandError::failed(out, error))?;
    Ok(size.stroke_px())
}
