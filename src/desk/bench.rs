//! The bench: where a set-up is measured. What is typed, what is being done, what came of it; how it
//! is drawn stands elsewhere.

use super::app::OpenInput;
use super::bench_sounds::Sounds;
use crate::calibration::coupler::{CouplerSheet, METER_U, PLACEMENTS, READ_AT, SheetWish, Step};
use crate::calibration::daily::Comparison;
use crate::calibration::room::RoomWish;
use crate::calibration::{Microphone, OutputRequirement, Room};
use crate::errand::bench::{RecordingProgress, record, today};
use crate::errand::coupler::{
    TONE_S, begin_sheet, enter_reading, hear_step, profile_of_sheet, sheet_in, take_reading_back,
    tone_of_step,
};
use crate::errand::jury::{JuryOutcome, bias_of, write_jury};
use crate::errand::room::{
    MicrophoneWish, Sensitivity, calibrate_microphone, measure_room, microphone_floor,
    write_microphone, write_room,
};
use crate::quantity::{Db, DbSpl, Hz};
use crate::standard::{Coupler, EarphoneClass, EarphoneFit};
use crate::station::{Arrival, SoundEvent, SoundStation};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::Ordering::Relaxed;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// A place of the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// How quiet the room is.
    Room,
    /// Every signal, by one's own ears.
    Listen,
    /// An earphone on a coupler.
    Coupler,
    /// The visits of a jury.
    Jury,
    /// The daily check.
    Daily,
    /// What a profile says.
    Profile,
}

impl Place {
    /// In the order of the row.
    pub const ALL: [(Place, &'static str); 6] = [
        (Place::Room, "Room"),
        (Place::Listen, "Listen"),
        (Place::Coupler, "Coupler"),
        (Place::Jury, "Jury"),
        (Place::Daily, "Every day"),
        (Place::Profile, "Profile"),
    ];
}

/// How long a room is listened to, s.
const ROOM_S: f64 = 30.0;
/// How long a calibrator, or the microphone's own noise, is recorded, s.
const SHORT_S: f64 = 10.0;
/// How long a tone in the coupler is listened to, s.
const STEP_S: f64 = TONE_S - 1.0;

/// What a recording is for.
#[derive(Debug, Clone, Copy, PartialEq)]
enum For {
    Calibrator,
    Floor,
    Room,
    Tone(Step),
}

/// What is under way on a thread of its own.
struct Work {
    what: &'static str,
    seconds: f64,
    rate_hz: u32,
    listening: Arc<RecordingProgress>,
    done: Receiver<Result<Done, String>>,
}

enum Done {
    Heard(For, Vec<f32>),
    Jury(Box<JuryOutcome>),
}

/// The bench.
pub struct Bench {
    /// Which place is shown.
    pub place: Place,
    /// Who works here.
    pub by: String,
    /// The sound input, by its id; empty: the microphone's own, or the system's.
    pub input: String,
    /// The microphone's file.
    pub microphone: String,
    /// What a new microphone is called, and its calibrator's level.
    pub new_microphone: [String; 2],
    /// Which room, and where it is written.
    pub room: [String; 2],
    /// How the earphone sits.
    pub fit: EarphoneFit,
    /// The room that was measured last.
    pub measured: Option<Room>,
    /// The sheet's file, what the earphone is called, what reads, and the profile to write.
    pub sheet_file: [String; 4],
    /// The earphone's type; none: an ordinary headphone.
    pub class: Option<EarphoneClass>,
    /// On what it sits.
    pub coupler: Coupler,
    /// Whether 9 to 16 kHz are read too.
    pub extended: bool,
    /// How many bits reach the converter, where that was checked.
    pub bits: Option<u32>,
    /// The reading, and the distortion, as typed.
    pub reading: [String; 2],
    /// The sheet that is open.
    pub sheet: Option<CouplerSheet>,
    /// The jury's folder, what the set-up is called, the bias and its uncertainty, the profile.
    pub jury: [String; 5],
    /// What is listened to.
    pub sounds: Sounds,
    /// What the jury gave.
    pub outcome: Option<JuryOutcome>,
    /// The journal of a known listener's visit.
    pub journal: String,
    /// How that sitting stands to the ones before.
    pub comparison: Option<Comparison>,
    /// The frequency whose budget is shown.
    pub hz: Hz,
    /// What there is to say, and whether it asks for attention.
    pub said: Option<(String, bool)>,
    /// Whether something plays that is heard here.
    pub playing: bool,
    work: Option<Work>,
}

impl Default for Bench {
    fn default() -> Bench {
        let text = String::from;
        Bench {
            place: Place::Room,
            by: String::new(),
            input: String::new(),
            microphone: text("microphone.toml"),
            new_microphone: [text("measuring microphone"), text("94")],
            room: [text("this room"), text("room.toml")],
            fit: EarphoneFit::Open,
            measured: None,
            sheet_file: [
                text("coupler-sheet.toml"),
                String::new(),
                text("sound level meter"),
                text("earphone.toml"),
            ],
            class: Some(EarphoneClass::SupraAural),
            coupler: Coupler::EarSimulator,
            extended: false,
            bits: None,
            reading: [String::new(), String::new()],
            sheet: None,
            jury: [
                text("visits"),
                String::new(),
                String::new(),
                String::new(),
                text("jury.toml"),
            ],
            sounds: Sounds::default(),
            outcome: None,
            journal: String::new(),
            comparison: None,
            hz: Hz(1000.0),
            said: None,
            playing: false,
            work: None,
        }
    }
}

impl Bench {
    /// How far the work under way is: what it is, done and wanted, s; the latter are none where
    /// nobody knows.
    #[must_use]
    pub fn under_way(&self) -> Option<(&'static str, Option<[f64; 2]>)> {
        let work = self.work.as_ref()?;
        let done = f64::from(work.listening.frames.load(Relaxed)) / f64::from(work.rate_hz);
        let of = (work.seconds > 0.0).then_some([done.min(work.seconds), work.seconds]);
        Some((work.what, of))
    }

    /// Stops the work under way.
    pub fn stop(&mut self) {
        if let Some(work) = &self.work {
            work.listening.stop.store(true, Relaxed);
        }
    }

    fn say(&mut self, result: Result<String, String>) {
        self.said = Some(match result {
            Ok(text) => (text, false),
            Err(text) => (text, true),
        });
    }

    /// Records on a thread of its own.
    fn listen(
        &mut self,
        what: &'static str,
        seconds: f64,
        rate_hz: u32,
        why: For,
        open: OpenInput,
    ) {
        if self.work.is_some() {
            return;
        }
        let listening = Arc::new(RecordingProgress::default());
        let (tell, done) = channel();
        let shared = Arc::clone(&listening);
        let own = || self.microphone_now().ok()?.record().device.clone();
        let typed = self.input.trim();
        let device = if typed.is_empty() {
            own()
        } else {
            Some(typed.to_owned())
        };
        std::thread::spawn(move || {
            let heard = open(device.as_deref(), rate_hz).and_then(|mut input| {
                let heard = record(input.as_mut(), seconds, &shared);
                heard.map_err(|error| error.to_string())
            });
            // Nobody waits any more if the window is closed.
            let _ = tell.send(heard.map(|samples| Done::Heard(why, samples)));
        });
        self.said = None;
        self.work = Some(Work {
            what,
            seconds,
            rate_hz,
            listening,
            done,
        });
    }

    fn microphone_now(&self) -> Result<Microphone, String> {
        crate::errand::bench::microphone_in(Path::new(self.microphone.trim()))
            .map_err(|error| error.to_string())
    }

    /// Records the calibrator that is on the microphone.
    pub fn calibrate(&mut self, open: OpenInput) {
        self.listen(
            "the calibrator is recorded",
            SHORT_S,
            48_000,
            For::Calibrator,
            open,
        );
    }

    /// Records what the microphone hears where nothing is to be heard.
    pub fn floor(&mut self, open: OpenInput) {
        match self.microphone_now() {
            Ok(known) => {
                let rate_hz = known.record().rate_hz;
                self.listen(
                    "its own noise is recorded",
                    SHORT_S,
                    rate_hz,
                    For::Floor,
                    open,
                );
            }
            Err(error) => self.say(Err(error)),
        }
    }

    /// Listens to the room.
    pub fn measure(&mut self, open: OpenInput) {
        match self.microphone_now() {
            Ok(known) => {
                let rate_hz = known.record().rate_hz;
                self.listen("the room is listened to", ROOM_S, rate_hz, For::Room, open);
            }
            Err(error) => self.say(Err(error)),
        }
    }

    /// Brings in what was done; plays nothing.
    pub fn advance(&mut self) {
        let Some(work) = &self.work else {
            return;
        };
        let done = match work.done.try_recv() {
            Ok(done) => done,
            Err(TryRecvError::Empty) => return,
            Err(TryRecvError::Disconnected) => Err("the work ended without a word".into()),
        };
        self.work = None;
        let result = match done {
            Err(error) => Err(error),
            Ok(Done::Jury(outcome)) => {
                let (people, zeros) = (outcome.people, outcome.profile.record().zero.len());
                self.outcome = Some(*outcome);
                let out = &self.jury[4];
                Ok(format!(
                    "Written: {out}. {people} people, {zeros} frequencies."
                ))
            }
            Ok(Done::Heard(why, samples)) => self.heard(why, &samples),
        };
        self.say(result);
    }

    fn heard(&mut self, why: For, samples: &[f32]) -> Result<String, String> {
        let told = |error: crate::errand::ErrandError| error.to_string();
        let path = PathBuf::from(self.microphone.trim());
        match why {
            For::Calibrator => {
                let level = number(&self.new_microphone[1], "Calibrator")?;
                let typed = self.input.trim();
                let wish = MicrophoneWish {
                    title: self.new_microphone[0].trim().to_owned(),
                    made_by: self.by.trim().to_owned(),
                    device: (!typed.is_empty()).then(|| typed.to_owned()),
                    rate_hz: 48_000,
                    u_db: Db(1.0),
                    sensitivity: Sensitivity::Calibrator(DbSpl(level), Hz(1000.0)),
                };
                let made = calibrate_microphone(&wish, samples).map_err(told)?;
                write_microphone(&made, &path, false).map_err(told)?;
                let full = made.record().full_scale_db_spl.0;
                Ok(format!(
                    "Written: {}. {full:.1} dB SPL at full scale.",
                    path.display()
                ))
            }
            For::Floor => {
                let made = microphone_floor(&self.microphone_now()?, samples).map_err(told)?;
                write_microphone(&made, &path, true).map_err(told)?;
                Ok(format!("Its own noise stands in {} now.", path.display()))
            }
            For::Room => {
                let wish = RoomWish {
                    place: self.room[0].trim().to_owned(),
                    fit: self.fit,
                    made_by: self.by.trim().to_owned(),
                    made_on: today(),
                    expires_on: today(),
                };
                let room = measure_room(wish, &self.microphone_now()?, samples).map_err(told)?;
                let out = PathBuf::from(self.room[1].trim());
                write_room(&room, &out).map_err(told)?;
                self.measured = Some(room);
                Ok(format!("Written: {}. It holds today.", out.display()))
            }
            For::Tone(step) => {
                let heard = hear_step(&step, &self.microphone_now()?, samples).map_err(told)?;
                self.enter(&step, heard.db_spl, heard.distortion_percent)
            }
        }
    }

    /// Lays a new sheet, or opens the one that is there.
    pub fn open_sheet(&mut self, output: Option<&str>) {
        let path = PathBuf::from(self.sheet_file[0].trim());
        let opened = if path.exists() {
            sheet_in(&path)
        } else {
            begin_sheet(
                SheetWish {
                    title: self.sheet_file[1].trim().to_owned(),
                    class: self.class,
                    coupler: self.coupler,
                    made_by: self.by.trim().to_owned(),
                    meter: self.sheet_file[2].trim().to_owned(),
                    u_meter_db: METER_U,
                    output: OutputRequirement {
                        device: output.map(str::to_owned),
                        rate_hz: 48_000,
                        bits: self.bits,
                        volume_percent: output.and_then(volume_of),
                    },
                    level_db_fs: READ_AT,
                    placements: PLACEMENTS,
                    extended: self.extended,
                },
                &path,
            )
        };
        match opened {
            Ok(sheet) => {
                self.sheet = Some(sheet);
                self.said = None;
            }
            Err(error) => self.say(Err(error.to_string())),
        }
    }

    /// Plays the tone that is to be read; `listening`: through the microphone in the coupler.
    pub fn play(&mut self, station: &mut dyn SoundStation, listening: Option<OpenInput>) {
        let Some((sheet, step)) = self.sheet.as_ref().and_then(|one| Some((one, one.next()?)))
        else {
            return;
        };
        let bits = sheet.output.bits.unwrap_or(16);
        let played = station
            .set_depth(bits)
            .map_err(|error| error.to_string())
            .and_then(|()| tone_of_step(sheet, &step).map_err(|error| error.to_string()))
            .and_then(|tone| tone.play(station, 0).map_err(|error| error.to_string()));
        match (played, listening) {
            (Err(error), _) => self.say(Err(error)),
            (Ok(()), None) => self.playing = true,
            (Ok(()), Some(open)) => {
                self.playing = true;
                match self.microphone_now() {
                    Ok(known) => {
                        let rate_hz = known.record().rate_hz;
                        self.listen("the tone is read", STEP_S, rate_hz, For::Tone(step), open);
                    }
                    Err(error) => self.say(Err(error)),
                }
            }
        }
    }

    /// What the output tells of the tone.
    pub fn hear_station(&mut self, station: &mut dyn SoundStation) {
        while let Some(event) = station.poll() {
            match event {
                SoundEvent::Began { .. } => {}
                SoundEvent::Ended { arrival, .. } => {
                    self.playing = false;
                    if arrival != Arrival::Whole && arrival != Arrival::Stopped {
                        self.say(Err("It did not arrive whole; play it again.".into()));
                    }
                }
                SoundEvent::Lost(_) => {
                    self.playing = false;
                    self.say(Err("The output is lost; choose it again.".into()));
                }
            }
        }
    }

    /// Takes the reading that was typed.
    pub fn take_reading(&mut self) {
        let Some(step) = self.sheet.as_ref().and_then(CouplerSheet::next) else {
            return;
        };
        let [level, percent] = self.reading.clone();
        let result = number(&level, "Reading").and_then(|level| {
            let percent = if percent.trim().is_empty() {
                None
            } else {
                Some(number(&percent, "Distortion")?)
            };
            self.enter(&step, DbSpl(level), percent)
        });
        if result.is_ok() {
            self.reading = [String::new(), String::new()];
        }
        self.say(result);
    }

    fn enter(&mut self, step: &Step, level: DbSpl, percent: Option<f64>) -> Result<String, String> {
        let path = PathBuf::from(self.sheet_file[0].trim());
        let sheet = self.sheet.as_mut().ok_or("no sheet is open")?;
        enter_reading(sheet, &path, step, level, percent).map_err(|error| error.to_string())?;
        Ok(format!(
            "{} earphone, {}: {} dB SPL",
            step.ear, step.hz, level.0
        ))
    }

    /// Takes the latest reading back.
    pub fn take_back(&mut self) {
        let path = PathBuf::from(self.sheet_file[0].trim());
        if let Some(sheet) = &mut self.sheet
            && let Err(error) = take_reading_back(sheet, &path)
        {
            self.say(Err(error.to_string()));
        }
    }

    /// Writes the profile of the sheet.
    pub fn finish(&mut self) {
        let Some(sheet) = &self.sheet else {
            return;
        };
        let out = PathBuf::from(self.sheet_file[3].trim());
        let made = profile_of_sheet(sheet, &out);
        self.say(match made {
            Ok(profile) => Ok(format!(
                "Written: {}, digest {}…",
                out.display(),
                &profile.digest()[..12]
            )),
            Err(error) => Err(error.to_string()),
        });
    }

    /// Makes the zero of the jury, on a thread of its own.
    pub fn weigh_jury(&mut self) {
        if self.work.is_some() {
            return;
        }
        let [folder, title, bias, u_bias, out] = self.jury.clone();
        let by = self.by.trim().to_owned();
        let typed = |text: &str, name: &str| {
            let text = text.trim();
            if text.is_empty() {
                Ok(None)
            } else {
                number(text, name).map(Some)
            }
        };
        let bias = typed(&bias, "Bias").and_then(|bias| {
            let u_bias = typed(&u_bias, "Its uncertainty")?;
            bias_of(bias, u_bias).map_err(|error| error.to_string())
        });
        let bias = match bias {
            Ok(bias) => bias,
            Err(error) => return self.say(Err(error)),
        };
        let (tell, done) = channel();
        std::thread::spawn(move || {
            let paths = [PathBuf::from(folder.trim())];
            let made = write_jury(&paths, title.trim(), &by, bias, Path::new(out.trim()));
            let told = made.map(|outcome| Done::Jury(Box::new(outcome)));
            let _ = tell.send(told.map_err(|error| error.to_string()));
        });
        self.said = None;
        self.work = Some(Work {
            what: "the visits are weighed",
            seconds: 0.0,
            rate_hz: 1,
            listening: Arc::default(),
            done,
        });
    }
}

fn volume_of(id: &str) -> Option<u32> {
    let [left, right] = crate::station::route::route_to(id, id).volume_percent?;
    (left == right).then_some(left)
}

pub(super) fn number(text: &str, name: &str) -> Result<f64, String> {
    let read = text.trim().replace(',', ".").parse::<f64>().ok();
    read.filter(|found| found.is_finite())
        .ok_or_else(|| format!("{name}: expected a number, found {text:?}"))
}
