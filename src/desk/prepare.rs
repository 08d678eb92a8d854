//! Prepare: what a visit needs before it can begin, and what of it is missing.

use super::broken_off::BrokenOff;
use super::conversation::Conversation;
use super::ear_check::{self, EarCheck};
use super::eyes::Eyes;
use super::length;
use super::measured_screen::grown;
use super::person_window::Field;
use super::surroundings::Surroundings;
use super::words;
use crate::calibration::{
    EarphoneProfile, EarphoneRecord, OutputRequirement, ScreenProfile, SetUp,
};
use crate::errand::{self, Begin, Listening, study::only_tested};
use crate::journal::{PersonKind, Plan, Played, SoundNote, WhoPressed};
use crate::person::Case;
use crate::quantity::{Db, Draws, Ear, Hz, Mm, Stream};
use crate::report::words::Lang;
use crate::standard::EXTENDED_HZ;
use crate::stimulus::{NEAR_MM, OptotypeSet, Signal};
use jiff::Timestamp;
use jiff::civil::Date;
use std::path::{Path, PathBuf};

/// How fast a visit of a simulated person without sound may run.
pub const SPEEDS: [f64; 3] = [1.0, 8.0, 60.0];
/// The name of the case that comes with the program.
pub const EXAMPLE: &str = "average";
/// Whoever tries the desk out sees a visit pass at eight times its pace.
const PACE_OF_A_TRY: usize = 1;
/// Frames a second where a profile asks for no other rate.
const USUAL_RATE_HZ: u32 = 48_000;
/// Instructions on an earphone that nobody measured: so much over what the examiner just heard.
const PLAINLY: Db = Db(40.0);
/// How exactly a distance is known by a tape measure (our own assumption).
const U_DISTANCE_REL: f64 = 0.01;

/// A file that is named in the form, read anew whenever its name changes.
#[derive(Debug, Clone)]
pub struct FileField<T> {
    /// Its name, as typed.
    pub path: String,
    read: Option<(String, Result<T, String>)>,
}

impl<T> Default for FileField<T> {
    fn default() -> FileField<T> {
        FileField {
            path: String::new(),
            read: None,
        }
    }
}

impl<T> FileField<T> {
    pub(super) fn refresh(&mut self, read: impl FnOnce(&Path) -> Result<T, String>) {
        let path = self.path.trim();
        if self.read.as_ref().is_some_and(|(known, _)| known == path) {
            return;
        }
        self.read = (!path.is_empty()).then(|| (path.to_owned(), read(Path::new(path))));
    }

    /// What it holds.
    #[must_use]
    pub fn value(&self) -> Option<&T> {
        self.read.as_ref()?.1.as_ref().ok()
    }

    /// What is wrong with it.
    #[must_use]
    pub fn error(&self) -> Option<&str> {
        self.read.as_ref()?.1.as_ref().err().map(String::as_str)
    }
}

/// A sound output to choose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Device {
    /// What tells it from the others.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// The rates that it plays.
    pub rates_hz: Vec<u32>,
}

/// The form.
#[derive(Debug, Clone)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a switch of its own on the screen"
)]
pub struct Form {
    /// A simulated person answers, not a living one.
    pub simulated: bool,
    /// The code of a living person.
    pub code: String,
    /// The case of a simulated one.
    pub case: FileField<Case>,
    /// Cases that were found: title and file.
    pub cases: Vec<(String, PathBuf)>,
    /// How fast a simulated visit without sound runs, of [`SPEEDS`].
    pub speed: usize,
    /// Whose hand marks a living person's answers.
    pub hand: WhoPressed,
    /// In which language the person's window speaks.
    pub lang: Lang,
    /// What is said before anything is measured.
    pub conversation: Conversation,
    /// Whether hearing is tested.
    pub hearing: bool,
    /// Whether sight is tested.
    pub sight: bool,
    /// Which eyes, in which order and how.
    pub eyes: Eyes,
    /// Whether other tones than the plan's are shown.
    pub more: bool,
    /// The kind of tones; none: as the plan says.
    pub signal: Option<Signal>,
    /// Whether 9 to 16 kHz are tested too, where the earphone has references.
    pub extended: bool,
    /// The outputs of this machine.
    pub devices: Vec<Device>,
    /// Which of them plays; none: no sound.
    pub device: Option<usize>,
    /// The earphone's profile.
    pub earphone: FileField<EarphoneProfile>,
    /// No profile yet: this visit makes one of the examiner's own ears.
    pub own_ears: bool,
    /// Which earphone is on which ear.
    pub ear_check: Option<EarCheck>,
    /// The examiner's own listening, where nobody knows how loud the earphone is.
    pub listening: Option<Listening>,
    /// A recording with instructions, as typed.
    pub instructions: String,
    /// How much louder than usual it is played, dB.
    pub instructions_louder_db: f64,
    /// Instructions that the person has heard.
    pub played: Vec<Played>,
    /// The measured screen.
    pub screen: Option<ScreenProfile>,
    /// Whether a measured screen was forgotten, because it changed.
    pub screen_changed: bool,
    /// How wide and how high the outline of the card is now, physical pixels.
    pub card_px: [u32; 2],
    /// The pitch, typed in mm.
    pub pixel_mm: String,
    /// The luminance of white and black by a meter, typed in cd/m².
    pub luminance: [String; 2],
    /// Whether the person sees the screen in a mirror.
    pub mirrored: bool,
    /// The distance, as typed.
    pub distance: String,
    /// The plan: a name, or a file.
    pub plan: FileField<Plan>,
    /// Where the visit is kept.
    pub folder: String,
    /// The visit in that folder, if one was broken off there.
    pub broken_off: FileField<BrokenOff>,
    /// A visit that was left open in the store, and is gone on with.
    pub left_open: Option<BrokenOff>,
    /// The seed of all draws.
    pub seed: u64,
    /// The cautions were read.
    pub cautions: bool,
    /// The way of the sound, the room, the daily check.
    pub around: Surroundings,
    /// The row to go to, where something is missing: how its line begins.
    pub towards: Option<String>,
}

/// A visit that can begin.
pub struct Wish {
    /// The visit.
    pub begin: Begin,
    /// The output and its rate.
    pub sound: Option<(String, u32)>,
    /// The simulated person, and the seed of its answers.
    pub case: Option<(Case, u64)>,
    /// Whose hand marks.
    pub hand: WhoPressed,
    /// How fast the clock runs.
    pub speed: f64,
    /// What is to be noted at the beginning.
    pub notes: Vec<String>,
}

impl Form {
    /// An empty form.
    #[must_use]
    pub fn new(
        folder: &Path,
        seed: u64,
        cases: Vec<(String, PathBuf)>,
        devices: Vec<Device>,
    ) -> Form {
        let plan = FileField {
            path: "full".into(),
            read: None,
        };
        Form {
            simulated: false,
            code: String::new(),
            case: FileField::default(),
            cases,
            speed: 0,
            hand: WhoPressed::Person,
            lang: Lang::English,
            conversation: Conversation::default(),
            hearing: true,
            sight: true,
            eyes: Eyes::default(),
            more: false,
            signal: None,
            extended: false,
            devices,
            device: None,
            earphone: FileField::default(),
            own_ears: false,
            ear_check: None,
            listening: None,
            instructions: String::new(),
            instructions_louder_db: 0.0,
            played: Vec::new(),
            screen: None,
            screen_changed: false,
            card_px: [400, 300],
            pixel_mm: String::new(),
            luminance: [String::new(), String::new()],
            mirrored: false,
            distance: String::new(),
            plan,
            folder: folder.display().to_string(),
            broken_off: FileField::default(),
            left_open: None,
            seed,
            cautions: false,
            around: Surroundings::default(),
            towards: None,
        }
    }

    /// Reads the files anew whose names have changed.
    pub fn refresh(&mut self) {
        self.case.refresh(|path| {
            let read = if path == Path::new(EXAMPLE) {
                Case::example()
            } else {
                Case::read(path)
            };
            read.map_err(|error| error.to_string())
        });
        self.earphone.refresh(|path| {
            let text = crate::journal::whole_file::settings(path)
                .map_err(|error| format!("{}: {error}", path.display()))?;
            EarphoneProfile::from_toml(&text, &path.display().to_string())
                .map_err(|error| error.to_string())
        });
        self.broken_off.path.clone_from(&self.folder);
        self.broken_off.refresh(BrokenOff::read);
        let output = self
            .device
            .and_then(|at| self.devices.get(at))
            .filter(|_| !self.simulated);
        let output = output.map(|one| (one.id.as_str(), one.name.as_str()));
        let path = self.earphone.path.trim();
        let today = errand::bench::today();
        let profile = self.earphone.value().filter(|_| !self.own_ears);
        self.around.refresh(output, profile, path, today);
        self.plan.refresh(|path| {
            errand::plan_of(&path.display().to_string(), None).map_err(|error| error.to_string())
        });
        let sight = self.plan.value().and_then(|plan| plan.sight.as_ref());
        self.eyes.follow(sight);
    }

    /// Whether nothing was entered yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        let named = [
            &self.code,
            &self.case.path,
            &self.earphone.path,
            &self.distance,
        ];
        let empty = named.into_iter().all(String::is_empty);
        empty && !self.simulated && self.screen.is_none() && self.goes_on_with().is_none()
    }

    /// Fills it in for whoever wants to see how a visit goes: a simulated person, no devices, and quickly.
    pub fn try_out(&mut self) {
        self.simulated = true;
        self.case.path = EXAMPLE.into();
        self.plan.path = "quick".into();
        self.speed = PACE_OF_A_TRY;
        self.device = None;
    }

    /// The form of the next visit: another folder and seed beside the last ones, the same set-up,
    /// and `reference` as the earphone's profile if the last visit made one.
    pub fn next(&mut self, reference: Option<PathBuf>) {
        let parent = Path::new(self.folder.trim()).parent();
        let folder = parent.unwrap_or(Path::new("")).join(stamp());
        self.folder = folder.display().to_string();
        self.seed = seed();
        self.code.clear();
        self.conversation = Conversation::default();
        self.left_open = None;
        self.ear_check = None;
        self.listening = None;
        self.played.clear();
        self.cautions = false;
        self.own_ears = false;
        self.around.next();
        if let Some(path) = reference {
            self.earphone.path = path.display().to_string();
        }
    }

    /// The visit that is gone on with: one that was left open in the store, else the one in the folder.
    #[must_use]
    pub fn goes_on_with(&self) -> Option<&BrokenOff> {
        self.left_open.as_ref().or(self.broken_off.value())
    }

    /// How fast a simulated visit without sound runs.
    #[must_use]
    pub fn speed(&self) -> f64 {
        SPEEDS.get(self.speed).copied().unwrap_or(1.0)
    }

    /// The chosen output.
    #[must_use]
    pub fn output(&self) -> Option<&Device> {
        self.devices.get(self.device?)
    }

    /// The rate at which the output has to run.
    #[must_use]
    pub fn rate_hz(&self) -> u32 {
        let output = self
            .profile()
            .and_then(|profile| profile.record().output.clone());
        output.map_or(USUAL_RATE_HZ, |output| output.rate_hz)
    }

    /// The earphone of this visit; the one without any reference for the examiner's own ears.
    #[must_use]
    pub fn profile(&self) -> Option<EarphoneProfile> {
        if let Some(visit) = self.goes_on_with() {
            return visit.opening.set_up.earphone.clone();
        }
        if !self.own_ears {
            return self.earphone.value().cloned();
        }
        let device = self.output().map(|device| device.id.clone());
        let output = OutputRequirement {
            device,
            rate_hz: USUAL_RATE_HZ,
            bits: None,
            volume_percent: None,
        };
        let record = EarphoneRecord {
            output: Some(output),
            ..EarphoneProfile::uncalibrated().record().clone()
        };
        EarphoneProfile::try_from(record).ok()
    }

    /// Whether the visit runs without any device, on the simulated set-up.
    #[must_use]
    pub fn offline(&self) -> bool {
        self.simulated && self.device.is_none()
    }

    /// The distance, if what was typed can be read (see [`length::distance`]).
    #[must_use]
    pub fn distance(&self) -> Option<Mm> {
        length::distance(&self.distance)
    }

    /// The plan as far as it is to be carried out.
    #[must_use]
    pub fn wanted(&self) -> Option<Plan> {
        let mut plan = self.plan.value()?.clone();
        plan.hearing = plan.hearing.filter(|_| self.hearing || self.own_ears);
        plan.sight = plan.sight.filter(|_| self.sight && !self.own_ears);
        if let Some(sight) = &mut plan.sight
            && let Ok(chosen) = self.eyes.over(sight)
            && chosen != *sight
        {
            *sight = chosen;
            plan.name += words::EYES_CHOSEN;
        }
        if let Some(hearing) = &mut plan.hearing {
            hearing.signal = self.signal.unwrap_or(hearing.signal);
            let more = self.extended_hz();
            let more = more.into_iter().filter(|hz| !hearing.hz.contains(hz));
            let more: Vec<Hz> = more.collect();
            hearing.hz.extend(more);
        }
        if let Some(case) = self.case.value().filter(|_| self.simulated) {
            plan = only_tested(plan, case);
        }
        if let Some(about) = self.around.about().filter(|_| !self.simulated) {
            plan.about = Some(about);
        }
        Some(plan)
    }

    /// What of 9 to 16 kHz is to be tested: where the earphone of this visit has references.
    fn extended_hz(&self) -> Vec<Hz> {
        if !self.extended {
            return Vec::new();
        }
        let has = if self.offline() {
            EarphoneProfile::simulated().hz()
        } else {
            self.profile().map_or(Vec::new(), |profile| profile.hz())
        };
        let wanted = EXTENDED_HZ.into_iter();
        wanted.filter(|hz| has.contains(hz)).collect()
    }

    /// What is missing before the visit can begin, in the order of the form.
    #[must_use]
    pub fn missing(&self, today: Date) -> Vec<String> {
        if let Some(visit) = self.goes_on_with() {
            return self.missing_to_go_on(visit, today);
        }
        let mut missing = Vec::new();
        let mut need = |met: bool, what: &str| {
            if !met {
                missing.push(what.to_owned());
            }
        };
        if self.simulated {
            need(
                self.case.value().is_some(),
                "Person: a case that can be read",
            );
        } else {
            need(!self.code.trim().is_empty(), "Person: a code");
        }
        let plan = self.wanted();
        let hears = plan.as_ref().is_some_and(|plan| plan.hearing.is_some());
        let sees = plan.as_ref().is_some_and(|plan| plan.sight.is_some());
        let by_hand = plan.as_ref().is_some_and(|plan| plan.bedside.is_some());
        let something = hears || sees || by_hand;
        need(plan.is_none() || something, "Plan: at least one sense");
        need(plan.is_some(), "Plan: one that can be read");
        if hears && !self.offline() {
            need(self.device.is_some(), "Sound: an output");
            if let Err(what) = self.fits(today) {
                need(false, &what);
            }
            if !self.simulated {
                let listened = !self.must_listen();
                need(
                    listened,
                    "First sound: the examiner listens first, both ears",
                );
                for what in self.around.missing() {
                    need(false, &what);
                }
                need(self.ears_told(), "Ears: the check of the sides, 4 of 4");
            }
        }
        let sight = plan.as_ref().and_then(|plan| plan.sight.as_ref());
        if let Some(Err(problem)) = sight.map(|sight| self.eyes.over(sight)) {
            need(false, &format!("Eyes: {problem}"));
        }
        if sees && !self.simulated {
            need(
                self.screen.is_some(),
                "Screen: its scale, by a card or typed in",
            );
            need(
                self.distance().is_some(),
                "Distance: from eye to screen, 0.1 to 20 m",
            );
        }
        need(
            !self.folder.trim().is_empty(),
            "Folder: where the visit is kept",
        );
        let taken = Path::new(self.folder.trim())
            .join(errand::JOURNAL_FILE)
            .exists();
        need(!taken, "Folder: one without a journal in it");
        need(self.cautions, "Cautions: read");
        missing
    }

    /// Whether each earphone is on its ear, or, in a run of a jury with the sides swapped, on the
    /// other one.
    #[must_use]
    pub fn ears_told(&self) -> bool {
        let told = if self.around.swapped && self.own_ears {
            EarCheck::reversed
        } else {
            EarCheck::passed
        };
        self.ear_check.as_ref().is_some_and(told)
    }

    /// Whether the profile holds today on the chosen output.
    ///
    /// # Errors
    /// One line that says why not.
    pub fn fits(&self, today: Date) -> Result<(), String> {
        let from_file = !self.own_ears && self.goes_on_with().is_none();
        if let Some(error) = self.earphone.error().filter(|_| from_file) {
            return Err(format!("Earphone: {error}"));
        }
        let profile = self.profile().ok_or("Earphone: a profile")?;
        if profile.is_simulated() {
            return Err("Earphone: one that is not simulated; people hear it".into());
        }
        profile
            .valid_on(today)
            .map_err(|error| format!("Earphone: {error}"))?;
        let (Some(output), Some(wanted)) = (self.output(), profile.record().output.as_ref()) else {
            return Ok(());
        };
        let device = wanted.device.as_ref();
        if device.is_some_and(|wanted| *wanted != output.id && *wanted != output.name) {
            let device = wanted.device.clone().unwrap_or_default();
            return Err(format!("Earphone: this profile holds on '{device}' only"));
        }
        if output.rates_hz.contains(&wanted.rate_hz) {
            Ok(())
        } else {
            Err(format!("Sound: an output that plays {} Hz", wanted.rate_hz))
        }
    }

    /// The visit, if nothing is missing.
    ///
    /// # Errors
    /// The first thing that is missing.
    pub fn wish(
        &self,
        today: Date,
        epoch: Timestamp,
        field: Option<Field>,
    ) -> Result<Wish, String> {
        if let Some(first) = self.missing(today).into_iter().next() {
            return Err(first);
        }
        let plan = self.wanted().ok_or("Plan: one that can be read")?;
        let case = self.case.value().filter(|_| self.simulated);
        let (presenter_seed, person_seed) = self.seeds();
        let person = match case {
            Some(case) => PersonKind::Simulated {
                title: case.title.clone(),
            },
            None => PersonKind::Living {
                code: self.code.trim().into(),
            },
        };
        let sound = self.output().filter(|_| plan.hearing.is_some());
        let begin = Begin {
            folder: PathBuf::from(self.folder.trim()),
            seed: presenter_seed,
            person,
            set_up: self.set_up(&plan, field),
            plan,
            epoch: if self.offline() {
                errand::epoch_of_simulations()
            } else {
                epoch
            },
        };
        Ok(Wish {
            begin,
            sound: sound.map(|device| (device.id.clone(), self.rate_hz())),
            case: case.map(|case| (case.clone(), person_seed)),
            hand: self.hand,
            speed: if self.offline() { self.speed() } else { 1.0 },
            notes: self.notes(),
        })
    }

    /// Writes a card for reading near beside the visits, with an order of its own.
    ///
    /// # Errors
    /// One line, if it cannot be written.
    pub fn write_near_card(&self, set: OptotypeSet) -> Result<PathBuf, String> {
        let folder = Path::new(self.folder.trim()).parent();
        let folder = folder.unwrap_or(Path::new("")).to_owned();
        // Short enough to be read from the card and typed again.
        let seed = seed() % 1_000_000;
        let kind = if set.letters().is_empty() {
            "rings"
        } else {
            "letters"
        };
        let path = folder.join(format!("near-card-{kind}-{seed}.pdf"));
        if !folder.as_os_str().is_empty() {
            std::fs::create_dir_all(&folder)
                .map_err(|error| format!("{}: {error}", folder.display()))?;
        }
        errand::near_card(seed, set, NEAR_MM, &path).map_err(|error| error.to_string())?;
        Ok(path)
    }

    /// The seeds of the presenter and of a simulated person.
    pub(super) fn seeds(&self) -> (u64, u64) {
        let mut seeds = Draws::new(self.seed, Stream::Visit, 0);
        (seeds.seed(), seeds.seed())
    }

    /// What is to be noted at the beginning.
    pub(super) fn notes(&self) -> Vec<String> {
        let passed = self.ear_check.as_ref().is_some_and(EarCheck::passed);
        let note =
            passed.then(|| "which-ear check: 4 of 4 soft tones told to the right side".into());
        let unlit = self.screen.as_ref().is_some_and(|screen| {
            screen.record().white_cd_m2.is_none() && self.sight && !self.offline()
        });
        let unlit = unlit.then(|| "the luminance of the screen was not measured".into());
        let said = (!self.simulated && self.goes_on_with().is_none())
            .then(|| self.conversation.notes(self.lang));
        let said = said.into_iter().flatten();
        let heard = self.device.is_some() && !self.simulated && self.hearing;
        let way = self.around.note().filter(|_| heard);
        let notes = note.into_iter().chain(way).chain(unlit);
        notes.chain(said).collect()
    }

    /// The examiner's listening on the earphone that is chosen now.
    #[must_use]
    pub fn listening(&self) -> Option<&Listening> {
        let profile = self.profile()?;
        self.listening
            .as_ref()
            .filter(|listening| *listening.earphone() == profile)
    }

    /// Whether the examiner has to listen before anybody else.
    #[must_use]
    pub fn must_listen(&self) -> bool {
        let needed = self.profile().is_some_and(|one| Listening::needed(&one));
        needed && self.listening().and_then(Listening::done).is_none()
    }

    /// How loud instructions are played, dB on the profile's scale; none before it is known what is
    /// heard.
    #[must_use]
    pub fn instructions_db(&self) -> Option<f64> {
        let profile = self.profile()?;
        let heard = || Some(self.listening()?.plainly(PLAINLY)?.0);
        let usual_db = errand::usual_instructions_db(profile.scale()).or_else(heard)?;
        let most_db = errand::loudest_instructions(&profile, &Ear::BOTH)?.db();
        Some((usual_db + self.instructions_louder_db).min(most_db))
    }

    /// Instructions louder, or softer.
    pub fn step_instructions(&mut self, step_db: f64) {
        let before_db = self.instructions_db();
        self.instructions_louder_db += step_db;
        // What the cap held back is not saved up.
        if step_db > 0.0 && self.instructions_db() == before_db {
            self.instructions_louder_db -= step_db;
        }
    }

    /// What of the sound is to be kept at the beginning of the visit.
    pub(super) fn sound_notes(&self) -> Vec<SoundNote> {
        if self.device.is_none() {
            return Vec::new();
        }
        let listened = self.listening().and_then(Listening::done);
        let profile = self.profile();
        let level = profile.and_then(|profile| ear_check::level(&profile, self.listening()));
        let sides = self.ear_check.as_ref().zip(level);
        let sides = sides.map(|(check, level)| check.played(level));
        let played = sides.into_iter().chain(self.played.iter().cloned());
        let listened = listened.into_iter().map(SoundNote::Listened);
        listened.chain(played.map(SoundNote::Played)).collect()
    }

    fn set_up(&self, plan: &Plan, field: Option<Field>) -> SetUp {
        if self.offline() {
            return SetUp::simulated();
        }
        let earphone = self.profile().filter(|_| plan.hearing.is_some());
        let simulated = || Some(ScreenProfile::simulated()).filter(|_| self.simulated);
        let screen = self
            .screen
            .clone()
            .map(|screen| grown(screen, field))
            .or_else(simulated);
        let distance = self
            .distance()
            .or(Some(Mm(4000.0)).filter(|_| self.simulated));
        let title = earphone.as_ref().map(|one| one.record().title.clone());
        let title = title.unwrap_or_else(|| "this screen".into());
        SetUp {
            name: if self.simulated {
                format!("simulated person, {title}")
            } else {
                title
            },
            earphone,
            screen: screen.filter(|_| plan.sight.is_some()),
            distance_mm: distance,
            u_distance_rel: U_DISTANCE_REL,
            mirrored: self.mirrored,
            room: self.around.room.value().cloned(),
            watch: self.around.noise_watch(),
            sides_swapped: self.around.swapped && self.own_ears,
        }
    }
}

/// A folder's name for a visit that begins now.
#[must_use]
pub fn stamp() -> String {
    jiff::ZonedDateTime::now()
        .strftime("%Y-%m-%d-%H%M%S")
        .to_string()
}

/// A seed that nobody chose.
#[must_use]
pub fn seed() -> u64 {
    Timestamp::now().as_nanosecond() as u64
}

/// The case files of the folders where demonstrations lie, or else the one that comes with the program: title and
/// file.
#[must_use]
pub fn cases_in(folders: &[PathBuf]) -> Vec<(String, PathBuf)> {
    let files = folders
        .iter()
        .filter_map(|folder| std::fs::read_dir(folder).ok());
    let mut paths: Vec<PathBuf> = files
        .flatten()
        .filter_map(|entry| Some(entry.ok()?.path()))
        .collect();
    paths.sort();
    paths.dedup();
    let read = |path: PathBuf| Some((Case::read(&path).ok()?.title, path));
    let found: Vec<_> = paths.into_iter().filter_map(read).collect();
    if !found.is_empty() {
        return found;
    }
    let example = |case: Case| (case.title, PathBuf::from(EXAMPLE));
    Case::example().ok().map(example).into_iter().collect()
}
