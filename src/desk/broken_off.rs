//! A visit that was broken off: what its folder says of it, and what it takes to go on with it.

use super::ear_check::EarCheck;
use super::prepare::Form;
use crate::calibration::EarphoneProfile;
use crate::errand::JOURNAL_FILE;
use crate::journal::{self, Opening, PersonKind, Record};
use jiff::civil::Date;
use std::path::Path;

/// What a folder says of the visit that was broken off in it.
#[derive(Debug, Clone)]
pub struct BrokenOff {
    /// What it began with, and goes on with.
    pub opening: Opening,
    /// How many trials it holds.
    pub trials: usize,
}

impl BrokenOff {
    /// Reads the journal of a folder without changing it. A last line that was cut off while it
    /// was written is left out.
    ///
    /// # Errors
    /// One line, if there is no journal, it does not hold, or its visit was closed.
    pub fn read(folder: &Path) -> Result<BrokenOff, String> {
        let path = folder.join(JOURNAL_FILE);
        let failed = |what: String| format!("{}: {what}", path.display());
        let bytes =
            crate::journal::whole_file::bytes(&path).map_err(|error| failed(error.to_string()))?;
        let events = match journal::check(&bytes) {
            Ok((events, _)) => events,
            Err(damage) if damage.error.cut_off => damage.events,
            Err(damage) => return Err(failed(damage.error.to_string())),
        };
        let (record, _) = Record::of(&events).map_err(|error| failed(error.to_string()))?;
        if record.closed() {
            return Err(failed("expected a visit that is not closed".into()));
        }
        Ok(BrokenOff {
            trials: record.trials().len(),
            opening: record.opening,
        })
    }

    /// Whether it runs without any device, on the simulated set-up.
    #[must_use]
    pub fn offline(&self) -> bool {
        let earphone = self.opening.set_up.earphone.as_ref();
        self.simulated() && earphone.is_none_or(EarphoneProfile::is_simulated)
    }

    /// Whether a simulated person answers.
    #[must_use]
    pub fn simulated(&self) -> bool {
        matches!(self.opening.person, PersonKind::Simulated { .. })
    }

    /// Who answers, in words.
    #[must_use]
    pub fn person(&self) -> String {
        self.opening.person.name().to_owned()
    }
}

impl Form {
    /// What is missing before a visit that was broken off can go on.
    pub(super) fn missing_to_go_on(&self, visit: &BrokenOff, today: Date) -> Vec<String> {
        let mut missing = Vec::new();
        let mut need = |met: bool, what: &str| {
            if !met {
                missing.push(what.to_owned());
            }
        };
        match &visit.opening.person {
            PersonKind::Living { .. } => need(!self.simulated, "Person: the living one of before"),
            PersonKind::Simulated { title } => {
                let case = self.case.value().filter(|_| self.simulated);
                let same = case.is_some_and(|case| case.title == *title);
                need(same, &format!("Person: the case '{title}'"));
            }
            PersonKind::Piped => need(false, "Person: this visit goes on by the command line only"),
            PersonKind::Practised(_) => need(
                false,
                "Person: an exercise does not go on; Practice ends and reveals it",
            ),
        }
        if visit.opening.plan.hearing.is_some() && !visit.offline() {
            need(self.device.is_some(), "Sound: an output");
            if let Err(what) = self.fits(today) {
                need(false, &what);
            }
            let listened = !self.must_listen();
            need(
                visit.simulated() || listened,
                "First sound: the examiner listens first, both ears",
            );
            let passed = self.ear_check.as_ref().is_some_and(EarCheck::passed);
            need(
                visit.simulated() || passed,
                "Ears: the check of the sides, 4 of 4",
            );
        }
        need(self.cautions, "Cautions: read");
        missing
    }
}
