//! What a user wants done: one function a wish, shared by the desk and the verbs.

mod begin;
pub mod bench;
mod by_hand;
mod by_plan;
mod card;
pub mod coupler;
pub mod daily;
mod earlier;
mod export;
mod headless;
pub mod jury;
mod listening;
mod power;
mod practise;
mod present;
pub mod profile;
mod put;
mod recording;
mod records;
mod recount;
mod reference;
mod report;
pub mod room;
mod seal_exercise;
mod sounding;
pub mod study;
mod why;

pub use begin::{
    Begin, JOURNAL_FILE, begin, earphone_for_files, earphone_in, epoch_of_simulations, plan_of,
    resume, set_up_of,
};
pub use by_hand::{SheetReport, SheetWish, answers_from_paper, sheet_on_paper};
pub use by_plan::{PlanReport, Reached, by_plan};
pub use card::near_card;
pub use earlier::earlier_in;
pub use export::{
    ExportProgress, ExportWish, ExportedAll, LeftOut, export, export_all, files_of, write_results,
};
pub use headless::{Headless, headless, recall, spin};
pub use listening::{Listening, ListeningError};
pub use power::{KindReport, OrderReport, Power, PowerReport, Said, power};
pub use practise::{
    ExerciseWish, Exercising, agreements_in, begin_exercise, class_csv, debrief_in, end_broken_off,
    exercise_name, exercise_text, gather, keep_observed, observed_in, set_in, write_class_csv,
};
pub use present::{OptotypeWish, ToneReport, ToneWish, optotype, tone};
pub use put::{Exported, put_all};
pub use recording::{
    Ready, RecordingReport, RecordingWish, loudest_instructions, play_through, ready, recording,
    recording_in, title_of, usual_instructions_db, write_ready,
};
pub use records::{
    SIGNED_FILE, Sheet, begin_in, course_of, enter_outside, enter_results, found_store, hand_out,
    headless_in, import, open_store, opening_of, plan_of_nothing, sign, usual_store, verdict,
    write_sheet,
};
pub use recount::{Checked, Recount, check, opening_in, recount};
pub use reference::examiners_reference;
pub use report::{
    Reported, dossier_in, dossier_kept, picture_files, pictures, report, report_file, report_name,
    report_of,
};
pub use seal_exercise::{Front, exercise_front, opened_exercise, sealed_exercise, sealed_text};
pub use sounding::{Sounding, is_loud, level_db_fs, sounding};
pub use why::{Why, what_next, why};

/// The program's name and version, as the journal has it.
pub const PROGRAM: &str = concat!("veridical ", env!("CARGO_PKG_VERSION"));

/// Why an errand could not be done, in one line.
#[derive(Debug, thiserror::Error)]
pub enum ErrandError {
    /// What was given cannot be used: names the file, the field and what was expected.
    #[error("{0}")]
    BadInput(String),
    /// Something went wrong, or does not hold.
    #[error("{0}")]
    Failed(String),
    /// A file stands where one was to be put, and nobody asked to replace it.
    #[error("{}: expected nothing here yet", .0.display())]
    StandsAlready(std::path::PathBuf),
}

impl ErrandError {
    /// Bad input in a file. Readers quote names as they stand there, line breaks and all; an error is one line.
    pub(crate) fn in_file(path: &std::path::Path, what: impl std::fmt::Display) -> ErrandError {
        let what = what.to_string().replace(char::is_control, " ");
        ErrandError::BadInput(format!("{}: {what}", path.display()))
    }

    /// Something went wrong with a file.
    pub(crate) fn failed(path: &std::path::Path, what: impl std::fmt::Display) -> ErrandError {
        ErrandError::Failed(format!("{}: {what}", path.display()))
    }
}
