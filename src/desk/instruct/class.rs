//! What a class did: journals gathered from a folder, each checked; the table, what to practise next, and
//! how far two raters agree.

use super::work::{Stands, Work};
use crate::errand;
use crate::practice::{Agreement, ClassTable, Debrief, Gathered};
use std::path::Path;

/// The journals of a class.
#[derive(Default)]
pub struct Class {
    /// The folder of journals, as it is typed.
    pub folder: String,
    /// Where the table goes, as it is typed.
    pub csv_file: String,
    /// The folders of what two raters ticked.
    pub raters: [String; 2],
    /// What was gathered.
    pub gathered: Option<Gathered>,
    /// How each trainee's steps went.
    pub trainees: Vec<ClassTable>,
    /// One line that the instructor has to know.
    pub message: Option<String>,
    work: Option<Work<(Gathered, Vec<Debrief>)>>,
}

impl Class {
    /// Begins to gather.
    pub fn gather(&mut self) {
        (self.message, self.gathered) = (None, None);
        let folder = Path::new(self.folder.trim()).to_owned();
        self.work = Some(Work::begin(move |progress| {
            errand::gather(&folder, progress)
        }));
    }

    /// How many journals are read while they are gathered; takes them when all are.
    pub fn gathering(&mut self) -> Option<usize> {
        match Work::stands(&mut self.work)? {
            Stands::UnderWay(journals) => return Some(journals),
            Stands::Over(Ok((gathered, debriefs))) => {
                self.trainees = ClassTable::of_each(&debriefs);
                self.gathered = Some(gathered);
            }
            Stands::Over(Err(error)) => self.message = Some(error.to_string()),
        }
        None
    }

    /// Stops gathering.
    pub fn stop(&self) {
        if let Some(work) = &self.work {
            work.stop();
        }
    }

    /// Writes the table; a file that is there is not written over.
    pub fn write_csv(&mut self) {
        let Some(gathered) = &self.gathered else {
            return;
        };
        let file = self.csv_file.trim();
        let written = errand::write_class_csv(gathered, Path::new(file));
        self.message = Some(match written {
            Ok(()) => format!("Written: {file}"),
            Err(error) => error.to_string(),
        });
    }

    /// Holds what two raters ticked against each other.
    pub fn compare_raters(&mut self) {
        let [one, other] = self.raters.each_ref().map(|folder| folder.trim());
        let ticked = |folder: &str| errand::observed_in(Path::new(folder));
        self.message = Some(if other.is_empty() {
            // One folder: that of a class, where each file says who ticked.
            match errand::agreements_in(Path::new(one)) {
                Ok(found) => {
                    let pairs = found.iter();
                    let told =
                        pairs.map(|(one, other, found)| format!("{one} and {other}: {found}."));
                    told.collect::<Vec<_>>().join(" ")
                }
                Err(error) => error.to_string(),
            }
        } else {
            match ticked(one).and_then(|one| Ok((one, ticked(other)?))) {
                Ok((one, other)) => Agreement::of(&one, &other).map_or_else(
                    || "Raters: expected items that both ticked, of the same journals.".into(),
                    |found| format!("{found}."),
                ),
                Err(error) => error.to_string(),
            }
        });
    }
}
