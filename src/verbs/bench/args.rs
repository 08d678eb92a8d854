//! What can be written after the verbs of a set-up's measurements.

use clap::{Args, Subcommand};
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(in crate::verbs) struct CouplerArgs {
    #[command(subcommand)]
    pub(super) act: CouplerAct,
}

#[derive(Debug, Subcommand)]
pub(super) enum CouplerAct {
    /// Lay a sheet: which tones are to be read
    Begin(SheetBeginArgs),
    /// Go through its tones; readings are typed, or heard by a calibrated microphone
    Read(SheetReadArgs),
    /// Make the profile of a sheet that is whole
    Finish(SheetFinishArgs),
}

#[derive(Debug, Args)]
pub(super) struct SheetBeginArgs {
    /// The sheet to write
    #[arg(long, value_name = "FILE.toml")]
    pub(super) sheet: PathBuf,
    /// The earphone's type, as in a profile's `class`; ordinary for a headphone that is none
    #[arg(long)]
    pub(super) class: String,
    /// The coupler, as in a profile's `coupler`
    #[arg(long)]
    pub(super) coupler: String,
    /// What the earphone is called
    #[arg(long)]
    pub(super) title: String,
    /// Who reads
    #[arg(long)]
    pub(super) by: String,
    /// What reads, in one line
    #[arg(long)]
    pub(super) meter: String,
    /// Its standard uncertainty, dB
    #[arg(long, value_name = "DB", default_value_t = 0.7)]
    pub(super) u_meter_db: f64,
    /// The sound output; the system's default unless said
    #[arg(long, value_name = "DEVICE")]
    pub(super) output: Option<String>,
    /// Its rate, Hz
    #[arg(long, value_name = "HZ", default_value_t = 48_000)]
    pub(super) rate: u32,
    /// How many bits reach the converter, where that was checked: 16, 24 or 32
    #[arg(long)]
    pub(super) bits: Option<u32>,
    /// Level of the tones, dB re full scale
    #[arg(long, value_name = "DB", default_value_t = -35.0, allow_negative_numbers = true)]
    pub(super) level: f64,
    /// How often the earphone is placed on the coupler
    #[arg(long, default_value_t = 2)]
    pub(super) placements: u32,
    /// Also 9 to 16 kHz, of a type that has references there
    #[arg(long)]
    pub(super) extended: bool,
}

#[derive(Debug, Args)]
pub(super) struct SheetReadArgs {
    /// The sheet
    #[arg(long, value_name = "FILE.toml")]
    pub(super) sheet: PathBuf,
    /// Write the tones into this folder in place of playing them
    #[arg(long, value_name = "DIR", conflicts_with = "microphone")]
    pub(super) to_files: Option<PathBuf>,
    /// A calibrated microphone that sits in the coupler
    #[arg(long, value_name = "FILE.toml")]
    pub(super) microphone: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct SheetFinishArgs {
    /// The sheet
    #[arg(long, value_name = "FILE.toml")]
    pub(super) sheet: PathBuf,
    /// The profile to write
    #[arg(long, value_name = "FILE.toml")]
    pub(super) out: PathBuf,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(in crate::verbs) struct JuryArgs {
    /// Journals of the visits, or folders with them
    #[arg(required = true)]
    pub(super) visits: Vec<PathBuf>,
    /// What the set-up is called
    #[arg(long)]
    pub(super) title: String,
    /// Who makes the profile
    #[arg(long)]
    pub(super) by: String,
    /// How much worse than the audiometric zero the listeners hear, dB, if that was measured
    #[arg(long, value_name = "DB", allow_negative_numbers = true)]
    pub(super) bias_db: Option<f64>,
    /// The standard uncertainty of that, dB
    #[arg(long, value_name = "DB")]
    pub(super) u_bias_db: Option<f64>,
    /// The profile to write
    #[arg(long, value_name = "FILE.toml")]
    pub(super) out: PathBuf,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(in crate::verbs) struct JuryStudyArgs {
    /// Juries
    #[arg(long, default_value_t = 200)]
    pub(super) juries: u32,
    /// People in each
    #[arg(long, default_value_t = 12)]
    pub(super) people: u32,
    /// Seed of everything that is drawn
    #[arg(long)]
    pub(super) seed: u64,
    /// The procedure that measures
    #[arg(long, default_value = "ascending")]
    pub(super) procedure: String,
    /// How they answer: a population's name
    #[arg(long, default_value = "average")]
    pub(super) population: String,
    /// Threads; all cores unless said
    #[arg(long)]
    pub(super) threads: Option<usize>,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(in crate::verbs) struct DailyArgs {
    /// The earphone's profile; its log lies beside it
    #[arg(long, value_name = "FILE.toml")]
    pub(super) profile: PathBuf,
    /// Journal of a known listener's visit, to be written into the log; without one only the
    /// standing is told
    #[arg(long, value_name = "FILE.jsonl")]
    pub(super) journal: Option<PathBuf>,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

/// Where sound comes from.
#[derive(Debug, Args)]
pub(super) struct HeardArgs {
    /// The sound input; the system's default, or the microphone's own, unless said
    #[arg(long, value_name = "DEVICE", conflicts_with = "wav")]
    pub(super) input: Option<String>,
    /// A recording in place of an input
    #[arg(long, value_name = "FILE.wav")]
    pub(super) wav: Option<PathBuf>,
    /// How long is listened, s
    #[arg(long, value_name = "S", default_value_t = 30.0)]
    pub(super) seconds: f64,
}

#[derive(Debug, Args)]
pub(in crate::verbs) struct MicrophoneArgs {
    /// The microphone's file: written by a calibration, written anew by --floor
    #[arg(long, value_name = "FILE.toml")]
    pub(super) microphone: PathBuf,
    /// Record the microphone's own noise, in the quietest place there is, into its file
    #[arg(long)]
    pub(super) floor: bool,
    /// What it is called
    #[arg(long, required_unless_present = "floor")]
    pub(super) title: Option<String>,
    /// Who calibrates
    #[arg(long, required_unless_present = "floor")]
    pub(super) by: Option<String>,
    /// Level of the sound calibrator that is on it, dB SPL
    #[arg(long, value_name = "DB", default_value_t = 94.0)]
    pub(super) calibrator_db: f64,
    /// Its frequency, Hz
    #[arg(long, value_name = "HZ", default_value_t = 1000.0)]
    pub(super) calibrator_hz: f64,
    /// Level of a sine at digital full scale, dB SPL, where it is known; then no calibrator is
    /// recorded
    #[arg(long, value_name = "DB")]
    pub(super) full_scale_db_spl: Option<f64>,
    /// Standard uncertainty of its levels, dB
    #[arg(long, value_name = "DB", default_value_t = 1.0)]
    pub(super) u_db: f64,
    /// Its rate, Hz
    #[arg(long, value_name = "HZ", default_value_t = 48_000)]
    pub(super) rate: u32,
    #[command(flatten)]
    pub(super) heard: HeardArgs,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(in crate::verbs) struct RoomArgs {
    /// A room that was measured, to be told again
    #[arg(conflicts_with_all = ["microphone", "out"])]
    pub(super) room: Option<PathBuf>,
    /// The calibrated microphone
    #[arg(long, value_name = "FILE.toml", required_unless_present = "room")]
    pub(super) microphone: Option<PathBuf>,
    #[command(flatten)]
    pub(super) heard: HeardArgs,
    /// How the earphone sits: `supra_aural`, circumaural, insert, or open where nobody knows
    #[arg(long, default_value = "open")]
    pub(super) fit: String,
    /// Which room
    #[arg(long, default_value = "this room")]
    pub(super) place: String,
    /// Who measures
    #[arg(long, required_unless_present = "room")]
    pub(super) by: Option<String>,
    /// For how many days the measurement is held to be true, today included
    #[arg(long, default_value_t = 1)]
    pub(super) days: u32,
    /// The lowest frequency that is tested, Hz
    #[arg(long, value_name = "HZ", default_value_t = 250.0)]
    pub(super) lowest_hz: f64,
    /// The file to write
    #[arg(long, value_name = "FILE.toml")]
    pub(super) out: Option<PathBuf>,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(in crate::verbs) struct ProfileArgs {
    /// The earphone's profile; simulated for the built-in one
    pub(super) profile: PathBuf,
    /// One frequency's budget, component by component, Hz
    #[arg(long, allow_negative_numbers = true)]
    pub(super) hz: Option<f64>,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(in crate::verbs) struct RouteArgs {
    /// The sound output; the system's default unless said
    #[arg(long, value_name = "DEVICE", default_value = "default")]
    pub(super) output: String,
    /// The profile that is to hold on it
    #[arg(long, value_name = "FILE.toml")]
    pub(super) earphone: Option<PathBuf>,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}
