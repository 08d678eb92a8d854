//! Is everything as it was left? Every file is read, every chain followed, every signature tried.

use super::found::{register_damaged, register_sealing};
use super::{Archive, StoreError};
use crate::journal::{JournalError, Record, check};
use crate::store::code::Code;
use crate::store::index::State;
use crate::store::register::{Place, Register, found_otherwise};
use crate::store::signature::{SignedHead, Verdict, shown_head};
use serde::Serialize;
use std::collections::BTreeSet;

/// What no check on this machine can find.
pub const NOT_FOUND_OUT: [&str; 5] = [
    "A journal that was changed, sealed anew and signed again by somebody who holds this \
     installation's secret key. A head that was written down or printed elsewhere shows it: compare \
     its first characters.",
    "A visit that was never entered, or the last lines of a visit that was not signed yet.",
    "A whole folder put back as it was on an earlier day, or the end of the register cut off together with the index that \
     knew of it. The head and the number of lines of the register, \
     written down elsewhere, show it.",
    "Anything, where nothing is encrypted and somebody else can write the folder: the secret key lies in it.",
    "Whether the clock of this machine was right.",
];

/// What is wrong with one visit, or nothing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CheckedVisit {
    /// Which.
    pub visit: Code,
    /// The first characters of its head.
    pub head_begins: String,
    /// What does not hold, in words; none if it does.
    pub problem: Option<String>,
}

/// What a check of the whole store found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CheckedStore {
    /// Whether everything holds.
    pub holds: bool,
    /// Lines of the register.
    pub register_lines: u64,
    /// Its head, whole: worth writing down elsewhere.
    pub register_head: String,
    /// The public key that signs here.
    pub key: String,
    /// Visits that were looked at.
    pub visits: u64,
    /// Those that do not hold.
    pub problems: Vec<CheckedVisit>,
    /// What else does not hold.
    pub others: Vec<String>,
    /// What cannot be found out.
    pub not_found_out: Vec<String>,
}

impl Archive {
    /// Reads and checks everything. `go_on` is asked before each visit with how many are done and
    /// how many there are; it can stop the check.
    ///
    /// # Errors
    /// If the register does not hold, the check was stopped, or the disk says no.
    pub fn check(
        &mut self,
        go_on: &mut dyn FnMut(u64, u64) -> bool,
    ) -> Result<CheckedStore, StoreError> {
        let sealing = register_sealing(self.ring.as_ref());
        let read = Register::open(&*self.disk, sealing, &Place::default(), false);
        let (register, read) =
            read.map_err(|error| register_damaged(&*self.disk, self.encrypted(), &error))?;
        let mut others = Vec::new();
        if register.place() != self.register.place() {
            others.push("register: it changed while the store was open".into());
        }
        let index = self.index.integrity()?;
        others.extend(index.into_iter().map(|line| format!("index: {line}")));
        others.extend(
            found_otherwise(&read.entries)
                .map(|what| format!("register: {what}; `veridical mend` acknowledges it")),
        );
        // What the register says is what counts: the index may have been changed by another hand.
        let said = self.index_of(&read.entries)?;
        if let Some(what) = self.ask(|index| index.differs_from(&said))? {
            others.push(format!(
                "index: it does not say of {what} what the register says; `veridical mend` makes it again"
            ));
        }
        let who = self.check_who(&read.entries);
        let who = who.map_err(|error| self.failed("people", error))?;
        others.extend(who.problems);
        let mut left = self.visits_on_disk()?;
        let total = said.count_visits()?;
        let (mut problems, mut done, mut after) = (Vec::new(), 0, String::new());
        loop {
            let some = said.visits_after(&after, 1000)?;
            let Some(last) = some.last() else { break };
            last.code.plain().clone_into(&mut after);
            for found in some {
                if found.state == State::Erased {
                    continue;
                }
                if !go_on(done, total) {
                    return Err(StoreError::Refused(format!(
                        "stopped after {done} of {total} visits"
                    )));
                }
                done += 1;
                left.remove(found.code.plain());
                let checked = self.check_visit(&found.code, found.signed.as_ref(), found.state);
                problems.extend(Some(checked).filter(|checked| checked.problem.is_some()));
            }
        }
        let unknown = left.into_iter();
        others.extend(unknown.map(|name| {
            format!("visits/{name}: the register does not know it; `veridical mend` enters it")
        }));
        let mut not_found_out = NOT_FOUND_OUT.map(String::from).to_vec();
        if who.without_digest > 0 {
            not_found_out.push(format!(
                "Whether the names of {} people and users were changed whom an older version of this program \
                 entered.",
                who.without_digest
            ));
        }
        Ok(CheckedStore {
            holds: problems.is_empty() && others.is_empty(),
            register_lines: self.register.place().lines,
            register_head: self.register.place().hash.clone(),
            key: self.public_key().to_owned(),
            visits: done,
            problems,
            others,
            not_found_out,
        })
    }

    /// Checks one visit against the head that was signed of it last.
    #[must_use]
    pub fn check_visit(
        &self,
        visit: &Code,
        signed: Option<&SignedHead>,
        state: State,
    ) -> CheckedVisit {
        let mut head_begins = String::new();
        let problem = self.problem_of(visit, signed, state, &mut head_begins);
        CheckedVisit {
            visit: visit.clone(),
            head_begins,
            problem,
        }
    }

    fn problem_of(
        &self,
        visit: &Code,
        signed: Option<&SignedHead>,
        state: State,
        head_begins: &mut String,
    ) -> Option<String> {
        let bytes = match self.journal(visit) {
            Ok(bytes) => bytes,
            Err(error) => return Some(error.to_string()),
        };
        let (events, head) = match check(&bytes) {
            Ok(found) => found,
            // A visit that was left open may end in a line that was cut off.
            Err(damage) if damage.error.cut_off && state == State::Open => {
                (damage.events, damage.head)
            }
            Err(damage) => return Some(damage.error.to_string()),
        };
        *head_begins = shown_head(&head.hash);
        if let Err(error) = Record::of(&events) {
            return Some(match error {
                JournalError::OutOfPlace { line, source } => format!("line {line}: {source}"),
                error => error.to_string(),
            });
        }
        let Some(signed) = signed else {
            let open = state == State::Open;
            return (!open).then(|| "its head was never signed".into());
        };
        let verdict = signed.verdict(&line_hashes(&bytes), Some(self.public_key()));
        let went_on = verdict == Verdict::HoldsAndWentOn && state != State::Open;
        if went_on {
            return Some("lines follow the head that was signed last".into());
        }
        (!verdict.holds()).then(|| verdict.told().to_owned())
    }

    /// The folders of visits that hold anything.
    pub(super) fn visits_on_disk(&self) -> Result<BTreeSet<String>, StoreError> {
        let names = self.disk.names("visits");
        let names = names.map_err(|error| self.failed("visits", error))?;
        let holds = |name: &String| {
            let inside = self.disk.names(&format!("visits/{name}"));
            inside.is_ok_and(|inside| !inside.is_empty())
        };
        Ok(names.into_iter().filter(holds).collect())
    }
}

/// The hash at the end of each whole line, as it stands there.
#[must_use]
pub fn line_hashes(journal: &[u8]) -> Vec<String> {
    let whole = journal.split_inclusive(|byte| *byte == b'\n');
    let hash = |line: &[u8]| {
        let line = line.strip_suffix(b"\"}\n")?;
        let at = line.len().checked_sub(64)?;
        String::from_utf8(line[at..].to_vec()).ok()
    };
    whole.filter_map(hash).collect()
}
