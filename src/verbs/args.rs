//! What can be written on the command line.

use super::records_args::{
    BackupArgs, CheckArgs, FoundArgs, MendArgs, PassphraseArgs, PeopleArgs, RestoreArgs, SignArgs,
    UsersArgs, VisitsArgs,
};
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Measures hearing and sight with a laptop, ordinary headphones and a tape measure, and says how
/// sure it is. Without a verb it opens the window. A screening and measuring aid, not certified
/// and not a diagnosis; local rules and licensed practice come first.
#[derive(Debug, Parser)]
#[command(name = "veridical", version)]
pub(super) struct CommandLine {
    #[command(subcommand)]
    pub(super) verb: Option<Verb>,
    #[command(flatten)]
    pub(super) window: WindowArgs,
}

/// What the form of the window is filled with; for tests that drive it.
#[derive(Debug, Args)]
pub(super) struct WindowArgs {
    #[arg(long, hide = true, value_name = "DIR")]
    pub(super) folder: Option<PathBuf>,
    #[arg(long, hide = true, value_name = "FILE")]
    pub(super) case: Option<PathBuf>,
    #[arg(long, hide = true)]
    pub(super) plan: Option<String>,
    #[arg(long, hide = true, value_name = "FILE")]
    pub(super) earphone: Option<PathBuf>,
    #[arg(long, hide = true, value_name = "DEVICE")]
    pub(super) sound: Option<String>,
    #[arg(long, hide = true, value_name = "DIR")]
    pub(super) store: Option<PathBuf>,
    #[arg(long, hide = true)]
    pub(super) seed: Option<u64>,
    #[arg(long, hide = true, value_name = "MM")]
    pub(super) pixel_mm: Option<String>,
    #[arg(long, hide = true, value_parser = ["1", "8", "60"])]
    pub(super) pace: Option<String>,
}

#[derive(Debug, Subcommand)]
pub(super) enum Verb {
    /// A whole visit with a simulated person, or with another program at the end of a pipe
    Visit(VisitArgs),
    /// Findings again from a journal
    Recount(JournalArgs),
    /// Whether a journal, or a whole store, is whole and unchanged
    Check(CheckArgs),
    /// Make a store for people and visits
    Found(FoundArgs),
    /// People of a store
    People(PeopleArgs),
    /// Who works here
    Users(UsersArgs),
    /// Visits of a store
    Visits(VisitsArgs),
    /// Copy a whole store into one file, and read it again
    Backup(BackupArgs),
    /// Make a store of a copy, after all of it was found to hold
    Restore(RestoreArgs),
    /// Put right a store that does not hold: what holds is kept, nothing is thrown away
    Mend(MendArgs),
    /// Change the passphrase of a store, or make an encrypted copy of a plain one
    Passphrase(PassphraseArgs),
    /// Sign the head of a journal with the key of a store
    Sign(SignArgs),
    /// Why each presentation of hearing was made, from a journal
    Why(WhyArgs),
    /// One tone as the sound device would get it, as a WAV file
    Tone(ToneArgs),
    /// A clinic's own recording: checked, written as the device would get it, or played
    Recording(RecordingArgs),
    /// The examiner listens first, on an earphone of which nobody knows how loud it is
    Listen(ListenArgs),
    /// One optotype as the screen would get it, as a PNG file
    Optotype(OptotypeArgs),
    /// The report of a visit as PDF/A-3, with its journal inside
    Report(ReportArgs),
    /// The audiogram and the acuity of each eye as pictures, SVG and PNG
    Pictures(PicturesArgs),
    /// A card for reading near, as a PDF page to be printed at its true size
    Card(CardArgs),
    /// A series at the bedside on paper: drawn, sealed in the visit's journal, written as SVG
    Sheet(SheetArgs),
    /// Enter the answers of a series from its sheet, one letter a prompt
    Answers(AnswersArgs),
    /// What a series at the bedside can tell, from drawn orders and simulated people
    Power(PowerArgs),
    /// Practice: exercises, debriefs, and what a class did
    Practise(super::practise::PractiseArgs),
    /// Hand a visit over: journal, findings, tables with their dictionary, schemas and a FHIR bundle
    Export(ExportArgs),
    /// What a line of a journal, or `findings.json`, may be: JSON Schema 2020-12
    Schema(SchemaArgs),
    /// An earphone of a standard type on its coupler: readings become a profile
    Coupler(super::bench::args::CouplerArgs),
    /// Visits of people with normal hearing become the zero of a set-up
    Jury(super::bench::args::JuryArgs),
    /// Simulated juries: how far their zero is from the truth
    JuryStudy(super::bench::args::JuryStudyArgs),
    /// A known listener's visit checks a profile; or how the profile stands today
    Daily(super::bench::args::DailyArgs),
    /// Calibrate a microphone, or record its own noise
    Microphone(super::bench::args::MicrophoneArgs),
    /// How quiet the room is, and the lowest level that it lets one claim
    Room(super::bench::args::RoomArgs),
    /// What an earphone profile says, with the uncertainty component by component
    Profile(super::bench::args::ProfileArgs),
    /// What the system tells of the way to the earphone
    Route(super::bench::args::RouteArgs),
    /// Many simulated visits, and how far their figures are from the truth
    Study(StudyArgs),
}

#[derive(Debug, Args)]
pub(super) struct VisitArgs {
    /// Case file of a simulated person
    #[arg(
        long,
        value_name = "FILE",
        conflicts_with = "person",
        required_unless_present = "person"
    )]
    pub(super) case: Option<PathBuf>,
    /// '-': presentations go out on standard output, answers come in on standard input
    #[arg(long, value_name = "-", value_parser = ["-"])]
    pub(super) person: Option<String>,
    /// Seed of everything that is drawn
    #[arg(long)]
    pub(super) seed: u64,
    /// Folder for the journal and the results
    #[arg(
        long,
        value_name = "DIR",
        conflicts_with = "store",
        required_unless_present = "store"
    )]
    pub(super) out: Option<PathBuf>,
    /// Store that the visit is kept in, in place of a folder of its own
    #[arg(long, value_name = "DIR")]
    pub(super) store: Option<PathBuf>,
    /// File whose first line opens the store
    #[arg(long, value_name = "FILE", requires = "store")]
    pub(super) passphrase_file: Option<PathBuf>,
    /// Plan: quick, full, reliability, monitoring, or a TOML file
    #[arg(long, default_value = "full")]
    pub(super) plan: String,
    /// Hearing procedure in place of the plan's
    #[arg(long)]
    pub(super) procedure: Option<String>,
    /// Findings or journal of an earlier visit: series begin near it, changes are reported
    #[arg(long, value_name = "FILE")]
    pub(super) earlier: Option<PathBuf>,
    /// The person's age as told, years, to compare with people of that age
    #[arg(long, value_name = "YEARS", allow_negative_numbers = true)]
    pub(super) age_years: Option<f64>,
    /// The person's sex as told, for the same
    #[arg(long, value_name = "SEX", value_parser = ["female", "male"])]
    pub(super) sex: Option<String>,
    /// Earphone profile in place of the simulated one
    #[arg(long, value_name = "FILE")]
    pub(super) earphone: Option<PathBuf>,
    /// A room that was measured: nothing is claimed under what it allows
    #[arg(long, value_name = "FILE")]
    pub(super) room: Option<PathBuf>,
    /// Screen profile in place of the simulated one
    #[arg(long, value_name = "FILE")]
    pub(super) screen: Option<PathBuf>,
    /// Distance from eye to screen in place of 4000
    #[arg(long, value_name = "MM", allow_negative_numbers = true)]
    pub(super) distance_mm: Option<f64>,
    /// Go on with the visit that is in the folder
    #[arg(long)]
    pub(super) resume: bool,
    /// Print the findings as one JSON document
    #[arg(long, conflicts_with = "person")]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct JournalArgs {
    /// The journal
    pub(super) journal: PathBuf,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct ExportArgs {
    /// A journal, or a folder of which all journals are exported
    pub(super) from: PathBuf,
    /// Folder for what is written
    #[arg(long, value_name = "DIR")]
    pub(super) out: PathBuf,
    /// Replace files that stand there already
    #[arg(long)]
    pub(super) force: bool,
    /// With a Patient in the bundle, known by the person's code
    #[arg(long)]
    pub(super) patient: bool,
    /// Family name in the bundle; the journal knows none
    #[arg(long, value_name = "NAME")]
    pub(super) family: Option<String>,
    /// Given name in the bundle
    #[arg(long, value_name = "NAME")]
    pub(super) given: Option<String>,
    /// Date of birth in the bundle, such as 1970-12-31
    #[arg(long, value_name = "DATE")]
    pub(super) born_on: Option<jiff::civil::Date>,
    /// Threads for a folder; all cores unless said
    #[arg(long)]
    pub(super) threads: Option<usize>,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct WhyArgs {
    #[command(flatten)]
    pub(super) of: JournalArgs,
    /// Only the presentation of this number
    #[arg(long)]
    pub(super) n: Option<u32>,
    /// Instead, what would tell most about how the answers to sounds agree, and what it costs
    #[arg(long, conflicts_with = "n")]
    pub(super) next: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum SchemaArg {
    /// A line of a journal
    Journal,
    /// findings.json
    Findings,
}

#[derive(Debug, Args)]
pub(super) struct SchemaArgs {
    /// Of what
    pub(super) of: SchemaArg,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum PaperArg {
    A4,
    Letter,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum LangArg {
    En,
    De,
}

#[derive(Debug, Args)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a switch of the command line"
)]
pub(super) struct ReportArgs {
    /// The journal
    pub(super) journal: PathBuf,
    /// The paper
    #[arg(long, default_value = "a4")]
    pub(super) paper: PaperArg,
    /// The language
    #[arg(long, default_value = "en")]
    pub(super) lang: LangArg,
    /// With every presentation and the sheet of the method
    #[arg(long)]
    pub(super) long: bool,
    /// The page in plain language for the person, in place of the report
    #[arg(long, conflicts_with = "long")]
    pub(super) for_person: bool,
    /// The PDF file to write; beside the journal unless said
    #[arg(long, value_name = "FILE.pdf")]
    pub(super) out: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long)]
    pub(super) force: bool,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct PicturesArgs {
    /// The journal
    pub(super) journal: PathBuf,
    /// The language
    #[arg(long, default_value = "en")]
    pub(super) lang: LangArg,
    /// The folder to write them into
    #[arg(long, value_name = "DIR")]
    pub(super) out: PathBuf,
    /// Write over files that are there
    #[arg(long)]
    pub(super) force: bool,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum EarArg {
    Right,
    Left,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum RecordingEars {
    Right,
    Left,
    Both,
}

#[derive(Debug, Args)]
pub(super) struct RecordingArgs {
    /// The recording, WAV or FLAC
    pub(super) file: PathBuf,
    /// The earphone's profile; without one the caps of an unmeasured headphone hold
    #[arg(long, value_name = "FILE")]
    pub(super) earphone: Option<PathBuf>,
    /// At which ears
    #[arg(long, default_value = "both")]
    pub(super) ear: RecordingEars,
    /// Level of its loudest eighth of a second, as that of a tone at 1000 Hz of the same power, dB on
    /// the profile's scale; of words: dB HL
    #[arg(long, allow_negative_numbers = true)]
    pub(super) level: Option<f64>,
    /// As words for a threshold: needs their own level in the profile
    #[arg(long)]
    pub(super) words: bool,
    /// Frames a second, where the profile asks for none
    #[arg(long, value_name = "HZ", value_parser = clap::value_parser!(u32).range(8_000..=192_000))]
    pub(super) rate: Option<u32>,
    /// Write what the device would get
    #[arg(long, value_name = "FILE.wav")]
    pub(super) out: Option<PathBuf>,
    /// Play it on this output; needs --earphone
    #[arg(long, value_name = "DEVICE")]
    pub(super) sound: Option<String>,
    /// One JSON document on standard output
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct ListenArgs {
    /// The output
    #[arg(long, value_name = "DEVICE")]
    pub(super) sound: String,
    /// The earphone's profile, of kind "uncalibrated"
    #[arg(long, value_name = "FILE")]
    pub(super) earphone: Option<PathBuf>,
    /// One JSON document on standard output
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum KindArg {
    Steady,
    Pulsed,
    Warble,
    /// One-third-octave noise; the level is an effective masking level
    Narrow,
    /// White noise; the level is that of a tone of the same power
    White,
    /// Speech-weighted noise; the level as of white noise
    Speech,
}

#[derive(Debug, Args)]
pub(super) struct ToneArgs {
    /// Which ear
    #[arg(long)]
    pub(super) ear: EarArg,
    /// Frequency, Hz
    #[arg(long, allow_negative_numbers = true)]
    pub(super) hz: f64,
    /// Level, dB HL (on a profile's own scale where it has no dB HL)
    #[arg(long, allow_negative_numbers = true)]
    pub(super) level: f64,
    /// The WAV file to write
    #[arg(long, value_name = "FILE.wav", required_unless_present = "sound")]
    pub(super) out: Option<PathBuf>,
    /// Play it on this output; needs --earphone, and nothing above 85 dB HL
    #[arg(long, value_name = "DEVICE")]
    pub(super) sound: Option<String>,
    /// Kind of tone or noise
    #[arg(long, default_value = "steady")]
    pub(super) kind: KindArg,
    /// How often a warble swings, per second, 4 to 20
    #[arg(
        long,
        value_name = "HZ",
        default_value_t = 5.0,
        allow_negative_numbers = true
    )]
    pub(super) warble_rate: f64,
    /// How far a warble swings to each side, % of the frequency, 2.5 to 12.5
    #[arg(
        long,
        value_name = "PERCENT",
        default_value_t = 5.0,
        allow_negative_numbers = true
    )]
    pub(super) warble_percent: f64,
    /// How long the tone lasts, s
    #[arg(long, default_value_t = 1.5, allow_negative_numbers = true)]
    pub(super) seconds: f64,
    /// Frames a second; the profile's, else 48000
    #[arg(long, value_name = "HZ")]
    pub(super) rate: Option<u32>,
    /// Earphone profile; without one the simulated set-up under the caps of an uncalibrated
    /// headphone
    #[arg(long, value_name = "FILE")]
    pub(super) earphone: Option<PathBuf>,
    /// The same tone in the other ear, dB
    #[arg(long, value_name = "DB", allow_negative_numbers = true)]
    pub(super) other_ear_level: Option<f64>,
    /// Noise in the other ear, dB effective masking level
    #[arg(long, value_name = "DB", allow_negative_numbers = true)]
    pub(super) mask_level: Option<f64>,
    /// Kind of that noise: narrow, white or speech
    #[arg(long, default_value = "narrow")]
    pub(super) mask_kind: KindArg,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
#[value(rename_all = "snake_case")]
pub(super) enum OptotypeArg {
    Landolt,
    TumblingE,
    Sloan,
    Hotv,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
#[value(rename_all = "snake_case")]
pub(super) enum CardArg {
    Landolt,
    TumblingE,
    Sloan,
    Hotv,
}

#[derive(Debug, Args)]
pub(super) struct CardArgs {
    /// What stands on it
    #[arg(long, default_value = "sloan")]
    pub(super) kind: CardArg,
    /// Seed of the order; the same seed is the same card
    #[arg(long)]
    pub(super) seed: u64,
    /// From where it is read, mm
    #[arg(long, default_value_t = 400.0, allow_negative_numbers = true)]
    pub(super) distance_mm: f64,
    /// The PDF file to write
    #[arg(long, value_name = "FILE.pdf")]
    pub(super) out: PathBuf,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
#[value(rename_all = "snake_case")]
pub(super) enum FacingArg {
    Right,
    UpRight,
    Up,
    UpLeft,
    Left,
    DownLeft,
    Down,
    DownRight,
}

#[derive(Debug, Args)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a switch of the command line"
)]
pub(super) struct OptotypeArgs {
    /// Which optotype
    #[arg(long, default_value = "landolt")]
    pub(super) kind: OptotypeArg,
    /// To which side it opens, as the person sees it
    #[arg(long)]
    pub(super) facing: Option<FacingArg>,
    /// Which letter; several make a row
    #[arg(long, value_name = "LETTERS")]
    pub(super) letter: Option<String>,
    /// With a bar on each side
    #[arg(long)]
    pub(super) crowded: bool,
    /// White on black
    #[arg(long)]
    pub(super) reverse: bool,
    /// Left and right exchanged, for a screen seen in a mirror
    #[arg(long)]
    pub(super) mirror: bool,
    /// Its size, logMAR
    #[arg(long, allow_negative_numbers = true)]
    pub(super) log_mar: f64,
    /// Distance from eye to screen, mm
    #[arg(long, allow_negative_numbers = true)]
    pub(super) distance_mm: f64,
    /// Pixel pitch, mm
    #[arg(long, allow_negative_numbers = true)]
    pub(super) pixel_mm: f64,
    /// The PNG file to write
    #[arg(long, value_name = "FILE.png")]
    pub(super) out: PathBuf,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct SheetArgs {
    /// Folder of the visit; one begins there if there is none
    pub(super) folder: PathBuf,
    /// What the series asks: smell, `field_sides`, `field_quadrants`, `field_red`, `field_fingers`,
    /// `field_extent`, touch, `touch_compare`, rub, whisper or fork
    #[arg(long)]
    pub(super) kind: String,
    /// Which nostril, eye or ear, where it is one
    #[arg(long)]
    pub(super) side: Option<EarArg>,
    /// What is smelled
    #[arg(long)]
    pub(super) scent: Option<String>,
    /// How many prompts; as many as usual unless said
    #[arg(long)]
    pub(super) prompts: Option<u32>,
    /// Code of the person, of a visit that begins
    #[arg(long, default_value = "unnamed")]
    pub(super) code: String,
    /// Seed of all that is drawn, of a visit that begins; the clock's unless said
    #[arg(long)]
    pub(super) seed: Option<u64>,
    /// The sheet to write
    #[arg(long, value_name = "FILE.svg")]
    pub(super) out: PathBuf,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct AnswersArgs {
    /// Folder of the visit
    pub(super) folder: PathBuf,
    /// Number of the series
    #[arg(long)]
    pub(super) series: u32,
    /// The letters, one a prompt; the sheet says which; v is void, - not done
    #[arg(long, allow_hyphen_values = true)]
    pub(super) letters: String,
    /// Close the visit afterwards
    #[arg(long)]
    pub(super) close: bool,
    /// Print the findings as one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct PowerArgs {
    /// Simulated series of each kind and habit
    #[arg(long, default_value_t = 1000)]
    pub(super) repeats: u32,
    /// Drawn series of each kind whose order is looked at
    #[arg(long, default_value_t = 10_000)]
    pub(super) orders: u32,
    /// Prompts in place of the usual ones
    #[arg(long)]
    pub(super) prompts: Option<u32>,
    /// Seed of everything that is drawn
    #[arg(long)]
    pub(super) seed: u64,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct StudyArgs {
    /// Folder of case files
    #[arg(
        long,
        value_name = "DIR",
        conflicts_with = "population",
        required_unless_present = "population"
    )]
    pub(super) cases: Option<PathBuf>,
    /// Population to draw persons from: steep, careful, average, poor or tired, alone or with `_notch` or `_one_sided`; random, `raised_bar`, `one_dead_ear`, `one_poor_ear`; or a kind of answering (`person/kinds.rs`), or all of them: `kinds_of_hearing`, `kinds_of_sight`
    #[arg(long, value_name = "NAME")]
    pub(super) population: Option<String>,
    /// Visits of each case
    #[arg(long)]
    pub(super) repeats: u32,
    /// Seed of everything that is drawn
    #[arg(long)]
    pub(super) seed: u64,
    /// Hearing procedure in place of the plan's
    #[arg(long)]
    pub(super) procedure: Option<String>,
    /// Plan: quick, full, reliability, monitoring, or a TOML file
    #[arg(long, default_value = "full")]
    pub(super) plan: String,
    /// Frequencies in place of the plan's, Hz, separated by commas
    #[arg(long, value_delimiter = ',', allow_negative_numbers = true)]
    pub(super) hz: Option<Vec<f64>>,
    /// Whether the other ear is masked, in place of the plan's: plateau or none
    #[arg(long, value_name = "HOW", value_parser = ["plateau", "none"])]
    pub(super) masking: Option<String>,
    /// End hearing after so many measuring tones, without masking
    #[arg(long)]
    pub(super) tones: Option<u32>,
    /// Show exactly so many measuring optotypes to each eye
    #[arg(long)]
    pub(super) sight_trials: Option<u32>,
    /// Logistic scale of everybody's sight in place of the persons' own, logMAR
    #[arg(long, allow_negative_numbers = true)]
    pub(super) scale_log_mar: Option<f64>,
    /// How often everybody answers wrongly although all is clear, in place of the persons' own
    #[arg(long, allow_negative_numbers = true)]
    pub(super) lapse: Option<f64>,
    /// So many times noisier than their kind: step, wander, drift, lapses and false alarms
    #[arg(long, allow_negative_numbers = true)]
    pub(super) noisier: Option<f64>,
    /// Share of silent presentations in place of the plan's
    #[arg(long, allow_negative_numbers = true)]
    pub(super) silent_share: Option<f64>,
    /// Keep in this file what is done so far; the same study with the same file goes on from there
    #[arg(long, value_name = "FILE")]
    pub(super) keep: Option<PathBuf>,
    /// Threads; all cores unless said
    #[arg(long)]
    pub(super) threads: Option<usize>,
    /// Print one JSON document
    #[arg(long)]
    pub(super) json: bool,
}
