//! Begins a visit, or goes on with one.

use super::{ErrandError, PROGRAM};
use crate::calibration::{EarphoneProfile, ScreenProfile, SetUp};
use crate::finding::MATHEMATICS;
use crate::journal::{FORMAT, FileStore, Journal, Opening, PersonKind, Plan, Procedure};
use crate::procedure::{NAMES, named_plan};
use crate::quantity::Mm;
use crate::store::Kept;
use crate::visit::Visit;
use jiff::Timestamp;
use std::path::{Path, PathBuf};

/// The journal's name in a visit's folder.
pub const JOURNAL_FILE: &str = "journal.jsonl";

/// What a visit begins with.
#[derive(Debug, Clone)]
pub struct Begin {
    /// The folder of the visit.
    pub folder: PathBuf,
    /// The seed of all that the presenter draws.
    pub seed: u64,
    /// Who answers.
    pub person: PersonKind,
    /// The devices and the distance.
    pub set_up: SetUp,
    /// What is to be done.
    pub plan: Plan,
    /// The wall-clock time of the beginning.
    pub epoch: Timestamp,
}

/// When simulated visits begin, all of them: the same seed gives the same bytes.
#[must_use]
pub fn epoch_of_simulations() -> Timestamp {
    Timestamp::UNIX_EPOCH
}

impl Begin {
    /// The first event of the visit.
    #[must_use]
    pub fn opening(&self) -> Opening {
        Opening {
            format: FORMAT,
            program: PROGRAM.into(),
            mathematics: MATHEMATICS,
            presenter_seed: self.seed,
            earphone_digest: self.set_up.earphone.as_ref().map(EarphoneProfile::digest),
            screen_digest: self.set_up.screen.as_ref().map(ScreenProfile::digest),
            person: self.person.clone(),
            set_up: self.set_up.clone(),
            plan: self.plan.clone(),
        }
    }
}

/// Begins a visit in its folder.
///
/// # Errors
/// If there is a journal already, or the folder cannot be written.
pub fn begin(begin: &Begin) -> Result<Visit<Kept>, ErrandError> {
    let path = begin.folder.join(JOURNAL_FILE);
    if path.exists() {
        return Err(ErrandError::in_file(
            &path,
            "expected no journal here; go on with it by --resume",
        ));
    }
    std::fs::create_dir_all(&begin.folder)
        .map_err(|error| ErrandError::failed(&begin.folder, error))?;
    let store = FileStore::create(&path).map_err(|error| ErrandError::failed(&path, error))?;
    let journal = Journal::begin(kept(store), begin.opening(), begin.epoch)
        .map_err(|error| ErrandError::failed(&path, error))?;
    Ok(Visit::over(journal))
}

/// Takes away a journal of which not even the first line was whole when the program ended:
/// nothing had been presented. Tells whether there was one.
///
/// # Errors
/// If it cannot be read or taken away.
pub(super) fn forget_unbegun(folder: &Path) -> Result<bool, ErrandError> {
    const FIRST: &[u8] = b"{\"number\":1,";
    let path = folder.join(JOURNAL_FILE);
    let bytes = crate::journal::whole_file::bytes(&path)
        .map_err(|error| ErrandError::in_file(&path, error))?;
    let unbegun =
        !bytes.contains(&b'\n') && (bytes.starts_with(FIRST) || FIRST.starts_with(&bytes));
    if unbegun {
        std::fs::remove_file(&path).map_err(|error| ErrandError::failed(&path, error))?;
    }
    Ok(unbegun)
}

/// A file of its own, as a visit keeps it wherever it lies.
fn kept(file: FileStore) -> Kept {
    Box::new(file)
}

/// Opens the visit in a folder to go on with it.
///
/// # Errors
/// If there is no journal, or it does not fit.
pub fn resume(folder: &Path) -> Result<Visit<Kept>, ErrandError> {
    let path = folder.join(JOURNAL_FILE);
    let store = FileStore::open(&path).map_err(|error| ErrandError::in_file(&path, error))?;
    let journal = Journal::open(kept(store)).map_err(|error| ErrandError::in_file(&path, error))?;
    Ok(Visit::over(journal))
}

/// A plan by its name or from a file; `procedure` replaces that of the hearing step.
///
/// # Errors
/// Names the file, the field and what was expected.
pub fn plan_of(name_or_file: &str, procedure: Option<&str>) -> Result<Plan, ErrandError> {
    let mut plan = match named_plan(name_or_file) {
        Some(plan) => plan.map_err(|error| ErrandError::BadInput(error.to_string()))?,
        None => plan_in_file(Path::new(name_or_file))?,
    };
    if let Some(procedure) = procedure {
        Procedure::expected("--procedure", procedure)
            .map_err(|error| ErrandError::BadInput(error.to_string()))?;
        if let Some(hearing) = &mut plan.hearing {
            hearing.procedure = procedure.into();
            hearing.then = None;
            hearing.screening_db = None;
        }
    }
    Ok(plan)
}

fn plan_in_file(path: &Path) -> Result<Plan, ErrandError> {
    let text = crate::journal::whole_file::settings(path).map_err(|error| {
        let names = NAMES.join(", ");
        ErrandError::in_file(
            path,
            format!("expected one of the plans {names}, or a file: {error}"),
        )
    })?;
    Plan::from_toml(&text, &path.display().to_string())
        .map_err(|error| ErrandError::BadInput(error.to_string()))
}

/// The earphone profile in a file, if it holds today.
///
/// # Errors
/// Names the file, the field and what was expected; also if it has expired.
pub fn earphone_in(path: &Path) -> Result<EarphoneProfile, ErrandError> {
    let text = crate::journal::whole_file::settings(path)
        .map_err(|error| ErrandError::in_file(path, error))?;
    let profile = EarphoneProfile::from_toml(&text, &path.display().to_string())
        .map_err(|error| ErrandError::BadInput(error.to_string()))?;
    let today = jiff::ZonedDateTime::now().date();
    profile
        .valid_on(today)
        .map_err(|error| ErrandError::in_file(path, error))?;
    Ok(profile)
}

/// The earphone that something is written to a file for: that of a profile, else the simulated one under
/// the caps of a headphone about which nothing is known.
///
/// # Errors
/// As [`earphone_in`].
pub fn earphone_for_files(path: Option<&Path>) -> Result<EarphoneProfile, ErrandError> {
    path.map_or_else(
        || Ok(EarphoneProfile::simulated().capped_to_headphone()),
        earphone_in,
    )
}

/// The set-up of a visit without a window: the simulated one, with what is given in its place.
///
/// # Errors
/// Names the file, the field and what was expected.
pub fn set_up_of(
    earphone: Option<&Path>,
    screen: Option<&Path>,
    distance_mm: Option<f64>,
) -> Result<SetUp, ErrandError> {
    let mut set_up = SetUp::simulated();
    if let Some(path) = earphone {
        let profile = earphone_in(path)?;
        set_up.name = format!("{}, earphone '{}'", set_up.name, profile.record().title);
        set_up.earphone = Some(profile);
    }
    if let Some(path) = screen {
        let text = crate::journal::whole_file::settings(path)
            .map_err(|error| ErrandError::in_file(path, error))?;
        let profile = ScreenProfile::from_toml(&text, &path.display().to_string())
            .map_err(|error| ErrandError::BadInput(error.to_string()))?;
        set_up.name = format!("{}, screen '{}'", set_up.name, profile.record().title);
        set_up.screen = Some(profile);
    }
    if let Some(distance_mm) = distance_mm {
        if !(100.0..=20_000.0).contains(&distance_mm) {
            let what = format!("--distance-mm: expected 100 to 20000, found {distance_mm}");
            return Err(ErrandError::BadInput(what));
        }
        set_up.distance_mm = Some(Mm(distance_mm));
    }
    Ok(set_up)
}
