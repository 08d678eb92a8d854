//! The store, as verbs and desk use it: where it lies, what opens it, and visits kept in it.

use super::headless::{go_on_over, spin};
use super::{Begin, ErrandError, JOURNAL_FILE};
use crate::calibration::SetUp;
use crate::journal::{self, Body, Opening, OutsideResults, PersonKind, Plan};
use crate::person::Person;
use crate::quantity::Moment;
use crate::report::Findings;
use crate::store::{
    Archive, Code, Cost, Course, Folder, FoundVisit, Founded, Kept, Opener, SignedHead, State,
    StoreError, Verdict, VisitsOf, course, line_hashes, new_private_file, recovery_lines,
    recovery_pdf,
};
use crate::visit::Visit;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Beside a journal that is handed out: its head, signed.
pub const SIGNED_FILE: &str = "journal.signed.json";

impl From<StoreError> for ErrandError {
    fn from(error: StoreError) -> ErrandError {
        if error.is_bad_input() {
            ErrandError::BadInput(error.to_string())
        } else {
            ErrandError::Failed(error.to_string())
        }
    }
}

/// Where the store lies unless something else is said: what `VERIDICAL_STORE` names, else a folder
/// among the user's data.
#[must_use]
pub fn usual_store() -> PathBuf {
    if let Some(place) = std::env::var_os("VERIDICAL_STORE") {
        return PathBuf::from(place);
    }
    let data = if cfg!(windows) {
        std::env::var_os("APPDATA").map(PathBuf::from)
    } else {
        std::env::var_os("XDG_DATA_HOME").map(PathBuf::from)
    };
    let home = || std::env::home_dir().map(|home| home.join(".local/share"));
    let data = data.or_else(home).unwrap_or_default();
    data.join("veridical/store")
}

/// Makes a store; with a passphrase an encrypted one, whose recovery sheet is written to `sheet`.
///
/// # Errors
/// If there is one already, or it cannot be written.
pub fn found_store(
    place: &Path,
    passphrase: Option<&str>,
    sheet: Option<&Path>,
) -> Result<Founded, ErrandError> {
    if let Some(sheet) = sheet.filter(|sheet| sheet.exists()) {
        return Err(ErrandError::in_file(
            sheet,
            "expected a new file, found one",
        ));
    }
    // Before the store: one without its sheet could not be opened again if the passphrase is lost.
    let kept = sheet
        .filter(|_| passphrase.is_some())
        .map(Sheet::new)
        .transpose()?;
    let disk = Box::new(Folder::new(place));
    let founded = Archive::found(disk, passphrase, Cost::USUAL, super::PROGRAM);
    match (founded, kept) {
        (Ok(founded), Some(kept)) => {
            let recovery = founded.recovery.as_deref().unwrap_or_default();
            kept.write(founded.archive.code(), recovery)?;
            Ok(founded)
        }
        (Err(error), Some(kept)) => {
            kept.forget();
            Err(error.into())
        }
        (founded, None) => Ok(founded?),
    }
}

/// Writes a recovery sheet: a PDF page, or plain text by the file's ending.
///
/// # Errors
/// If it cannot be written.
pub fn write_sheet(store: &Code, recovery: &str, sheet: &Path) -> Result<(), ErrandError> {
    Sheet::new(sheet)?.write(store, recovery)
}

/// The file of a recovery sheet, new and its owner's alone, made before there is anything to write into it.
pub struct Sheet {
    path: PathBuf,
    file: std::fs::File,
}

impl Sheet {
    /// Makes the file.
    ///
    /// # Errors
    /// If there is one, or it cannot be made.
    pub fn new(path: &Path) -> Result<Sheet, ErrandError> {
        let file = new_private_file(path).map_err(|error| ErrandError::in_file(path, error))?;
        Ok(Sheet {
            path: path.to_owned(),
            file,
        })
    }

    /// Writes the sheet, durably.
    ///
    /// # Errors
    /// If it cannot be drawn or written.
    pub fn write(mut self, store: &Code, recovery: &str) -> Result<(), ErrandError> {
        let text = self.path.extension().is_some_and(|ending| ending == "txt");
        let bytes = if text {
            Some((recovery_lines(store, recovery).join("\n") + "\n").into_bytes())
        } else {
            recovery_pdf(store, recovery)
        };
        let failed = |error: &dyn std::fmt::Display| ErrandError::failed(&self.path, error);
        let bytes = bytes.ok_or_else(|| failed(&"the sheet cannot be drawn"))?;
        let written = self
            .file
            .write_all(&bytes)
            .and_then(|()| self.file.sync_all());
        written.map_err(|error| failed(&error))
    }

    /// Takes the file away again.
    pub fn forget(self) {
        let _ = std::fs::remove_file(&self.path);
    }
}

/// Opens a store.
///
/// # Errors
/// One line: there is none, it is newer, it is encrypted, it is open elsewhere, it does not hold.
pub fn open_store(place: &Path, opener: Option<&Opener>) -> Result<Archive, ErrandError> {
    Ok(Archive::open(Box::new(Folder::new(place)), opener)?)
}

/// Begins a visit in a store.
///
/// # Errors
/// If the person is not known there, or the disk says no.
pub fn begin_in(archive: &mut Archive, wish: &Begin) -> Result<(Code, Visit<Kept>), ErrandError> {
    let (code, journal) = archive.begin_visit(wish.opening(), wish.epoch)?;
    Ok((code, Visit::over(journal)))
}

/// Runs a visit in a store to its end, or goes on with the one that was left open there last.
///
/// # Errors
/// If the input cannot be used, the journal fails, or the person cannot answer any more.
pub fn headless_in(
    archive: &mut Archive,
    wish: &Begin,
    person: &mut dyn Person,
    going_on: bool,
) -> Result<(Code, Findings), ErrandError> {
    let left = left_open(archive)?.filter(|_| going_on);
    let (code, mut visit) = match left {
        Some(left) => {
            let record = archive.record(&left.code)?;
            super::headless::same_visit(&record.opening, &wish.opening(), &left.code.to_string())?;
            let visit = Visit::over(archive.go_on_with(&left.code)?);
            (left.code, go_on_over(visit, person)?)
        }
        None => begin_in(archive, wish)?,
    };
    spin(&mut visit, person)?;
    drop(visit);
    archive.settle(&code)?;
    let findings = archive.findings(&code)?;
    Ok((code, findings))
}

/// The visit that was begun last and is not over.
fn left_open(archive: &mut Archive) -> Result<Option<FoundVisit>, ErrandError> {
    let visits = archive.visits(&VisitsOf {
        person: None,
        most: 1000,
        after: 0,
    })?;
    Ok(visits.into_iter().find(|one| one.state == State::Open))
}

/// Brings a journal from a file into a store.
///
/// # Errors
/// Names the file and what was expected of it.
pub fn import(
    archive: &mut Archive,
    journal: &Path,
    person: Option<&Code>,
) -> Result<crate::store::Brought, ErrandError> {
    let bytes = crate::journal::whole_file::bytes(journal)
        .map_err(|error| ErrandError::in_file(journal, error))?;
    archive
        .bring_in(&bytes, person)
        .map_err(|error| match error {
            StoreError::Refused(what) => ErrandError::in_file(journal, what),
            error => error.into(),
        })
}

/// Writes a visit's journal and its signed head into a new folder.
///
/// # Errors
/// If there is no such visit, or the files cannot be written.
pub fn hand_out(archive: &mut Archive, visit: &Code, out: &Path) -> Result<(), ErrandError> {
    let (bytes, signed) = archive.hand_out(visit)?;
    std::fs::create_dir_all(out).map_err(|error| ErrandError::failed(out, error))?;
    let write = |name: &str, bytes: &[u8]| {
        let path = out.join(name);
        if path.exists() {
            return Err(ErrandError::in_file(
                &path,
                "expected a new file, found one",
            ));
        }
        std::fs::write(&path, bytes).map_err(|error| ErrandError::failed(&path, error))
    };
    write(JOURNAL_FILE, &bytes)?;
    if let Some(signed) = signed {
        write(SIGNED_FILE, &signed.document())?;
    }
    Ok(())
}

/// Results of somewhere else, from a TOML file, entered as a visit of their own.
///
/// # Errors
/// Names the file, the field and what was expected.
pub fn enter_outside(
    archive: &mut Archive,
    person: &Code,
    file: &Path,
) -> Result<Code, ErrandError> {
    let text = crate::journal::whole_file::settings(file)
        .map_err(|error| ErrandError::in_file(file, error))?;
    let results: OutsideResults = toml::from_str(&text)
        .map_err(|error| ErrandError::in_file(file, one_line(&error.to_string())))?;
    results
        .check()
        .map_err(|error| ErrandError::in_file(file, error))?;
    enter_results(archive, person, results)
}

/// Results of somewhere else that can be results, entered as a visit of their own.
///
/// # Errors
/// If the person is not known, or the disk says no.
pub fn enter_results(
    archive: &mut Archive,
    person: &Code,
    results: OutsideResults,
) -> Result<Code, ErrandError> {
    let wish = Begin {
        folder: PathBuf::new(),
        seed: 0,
        person: PersonKind::Living {
            code: person.to_string(),
        },
        set_up: SetUp {
            name: "measured elsewhere".into(),
            earphone: None,
            screen: None,
            distance_mm: None,
            u_distance_rel: 0.0,
            mirrored: false,
            room: None,
            sides_swapped: false,
            watch: None,
        },
        plan: plan_of_nothing("results from outside"),
        epoch: jiff::Timestamp::now(),
    };
    let (code, mut journal) = archive.begin_visit(wish.opening(), wish.epoch)?;
    let failed =
        |error: journal::JournalError| ErrandError::Failed(format!("visit {code}: {error}"));
    for body in [Body::Outside(Box::new(results)), Body::Closed {}] {
        journal.append(body, Moment::START).map_err(failed)?;
    }
    journal.sync().map_err(failed)?;
    drop(journal);
    archive.settle(&code)?;
    Ok(code)
}

/// A plan by which nothing is measured: for what is only entered.
#[must_use]
pub fn plan_of_nothing(name: &str) -> Plan {
    Plan {
        format: 1,
        name: name.into(),
        order: Vec::new(),
        hearing: None,
        sight: None,
        bedside: None,
        about: None,
        earlier: None,
    }
}

/// What a signed head in a file says of a journal in another.
///
/// # Errors
/// If one of them cannot be read.
pub fn verdict(
    journal: &Path,
    signed: &Path,
    key: Option<&str>,
) -> Result<(SignedHead, Verdict), ErrandError> {
    let bytes = crate::journal::whole_file::bytes(journal)
        .map_err(|error| ErrandError::in_file(journal, error))?;
    let document = crate::journal::whole_file::bytes(signed)
        .map_err(|error| ErrandError::in_file(signed, error))?;
    let head = SignedHead::read(&document).map_err(|what| ErrandError::in_file(signed, what))?;
    // Hashes behind a line that does not hold are nobody's.
    let holds = journal::check(&bytes).map_or_else(|damage| damage.error.offset, |_| bytes.len());
    let verdict = head.verdict(&line_hashes(&bytes[..holds.min(bytes.len())]), key);
    Ok((head, verdict))
}

/// Signs the head of a journal that lies outside a store, with the store's key.
///
/// # Errors
/// If it does not hold, or cannot be read.
pub fn sign(archive: &mut Archive, journal: &Path) -> Result<SignedHead, ErrandError> {
    let bytes = crate::journal::whole_file::bytes(journal)
        .map_err(|error| ErrandError::in_file(journal, error))?;
    let signed = archive.sign_outside(&bytes);
    signed.map_err(|error| ErrandError::in_file(journal, error))
}

/// So many visits of a person are laid beside one another at most.
const BESIDE: u32 = 500;

/// A person's latest visits beside one another, at most 500; one whose journal does not hold is left out, and named.
///
/// # Errors
/// If there is no such person, or the index cannot be asked.
pub fn course_of(archive: &mut Archive, person: &Code) -> Result<Course, ErrandError> {
    archive.known(person)?;
    let visits = archive.visits(&VisitsOf {
        person: Some(person.clone()),
        most: BESIDE + 1,
        after: 0,
    })?;
    let (mut all, mut left_out) = (Vec::new(), Vec::new());
    if visits.len() > BESIDE as usize {
        left_out.push(format!("visits before the latest {BESIDE}"));
    }
    let there = visits.into_iter().take(BESIDE as usize);
    for one in there.filter(|one| one.state != State::Erased) {
        let found = archive.findings(&one.code);
        match found.and_then(|findings| Ok((archive.record(&one.code)?, findings))) {
            Ok((record, findings)) => all.push((one.code, one.began, record, findings)),
            Err(error) => left_out.push(format!("{}: {error}", one.code)),
        }
    }
    Ok(Course {
        left_out,
        ..course(all)
    })
}

/// How a visit of a store began.
///
/// # Errors
/// If there is no such visit, or its journal does not hold.
pub fn opening_of(archive: &Archive, visit: &Code) -> Result<Opening, ErrandError> {
    Ok(archive.record(visit)?.opening)
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
