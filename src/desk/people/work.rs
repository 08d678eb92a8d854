//! What takes long with a whole store, beside the window: a thread has the archive until it is done.

use super::Records;
use crate::store::{Archive, CheckedStore, Folder, StoreError, shown_head};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering::Relaxed};
use std::thread::JoinHandle;

/// How far it is.
#[derive(Debug, Default)]
struct Progress {
    done: AtomicU64,
    of: AtomicU64,
    stop: AtomicBool,
}

impl Progress {
    /// What the store asks before each file or visit.
    fn go_on(&self, done: u64, of: u64) -> bool {
        self.done.store(done, Relaxed);
        self.of.store(of, Relaxed);
        !self.stop.load(Relaxed)
    }
}

/// What a thread gives back: the archive, if it had it, and one line for the examiner.
type Ended = (Option<Box<Archive>>, Result<String, StoreError>);

/// Work under way.
pub(super) struct Work {
    what: &'static str,
    progress: Arc<Progress>,
    thread: JoinHandle<Ended>,
    /// Whether a store lies there afterwards that was not looked at yet.
    restores: bool,
}

impl Records {
    /// What is being done with the whole store: in words, how much of it is done, and how much there is (0: not known yet).
    #[must_use]
    pub fn working(&self) -> Option<(&'static str, u64, u64)> {
        let work = self.work.as_ref()?;
        let progress = &work.progress;
        Some((
            work.what,
            progress.done.load(Relaxed),
            progress.of.load(Relaxed),
        ))
    }

    /// Stops it before the next file or visit.
    pub fn stop_work(&mut self) {
        if let Some(work) = &self.work {
            work.progress.stop.store(true, Relaxed);
        }
    }

    /// Takes the archive back once the work is done.
    pub fn collect(&mut self) {
        let Some(work) = self.work.take_if(|work| work.thread.is_finished()) else {
            return;
        };
        let Ok((archive, told)) = work.thread.join() else {
            self.look();
            self.message = Some(format!("{}: it broke off.", work.what));
            return;
        };
        let restored = work.restores && told.is_ok();
        self.check_next |= restored;
        match archive {
            Some(archive) => self.take(*archive),
            None => self.look(),
        }
        let told = told.unwrap_or_else(|error| error.to_string());
        // What opening it noticed is worth more than that it was done.
        if self.message.is_none() && self.work.is_none() {
            self.message = Some(told);
        }
    }

    fn work(
        &mut self,
        what: &'static str,
        of: impl FnOnce(&mut Archive, &Progress) -> Result<String, StoreError> + Send + 'static,
    ) {
        let Some(mut archive) = self.archive.take().map(Box::new) else {
            return;
        };
        self.message = None;
        let progress = Arc::new(Progress::default());
        let theirs = Arc::clone(&progress);
        let thread = std::thread::spawn(move || {
            let told = of(&mut archive, &theirs);
            (Some(archive), told)
        });
        self.work = Some(Work {
            what,
            progress,
            thread,
            restores: false,
        });
    }

    /// Copies the whole store into one file beside its folder.
    pub fn back_up(&mut self) {
        let stamp = jiff::ZonedDateTime::now().strftime("%Y-%m-%d-%H%M%S");
        let to = self.place.with_file_name(format!("backup-{stamp}.tar"));
        self.work("Copying the store", move |archive, progress| {
            let copied = archive.back_up(&to, &mut |done, of| progress.go_on(done, of))?;
            Ok(format!(
                "{}: {} files, written and read again. Keep it on another disk.",
                to.display(),
                copied.files.len()
            ))
        });
    }

    /// Reads every file, follows every chain and tries every signature.
    pub fn check_all(&mut self) {
        self.check_next = false;
        self.work("Checking the store", |archive, progress| {
            let checked = archive.check(&mut |done, of| progress.go_on(done, of))?;
            Ok(told(&checked))
        });
    }

    /// Makes the store of a backup, after all of it was read and found to hold; then all of it is checked.
    pub fn restore(&mut self) {
        let (from, into) = (PathBuf::from(self.copy_at.trim()), Folder::new(&self.place));
        let progress = Arc::new(Progress::default());
        let theirs = Arc::clone(&progress);
        self.message = None;
        let thread = std::thread::spawn(move || {
            let restored =
                crate::store::restore(&from, &into, &mut |done, of| theirs.go_on(done, of));
            let told = restored.map(|manifest| {
                let files = manifest.files.len();
                format!("Restored: {files} files, each as it was when it was copied.")
            });
            (None, told)
        });
        self.work = Some(Work {
            what: "Making the store of the backup",
            progress,
            thread,
            restores: true,
        });
    }
}

fn told(checked: &CheckedStore) -> String {
    if checked.holds {
        return format!(
            "Checked: {} visits and {} lines of the register hold. Its head begins {}. What no check here can find: {}",
            checked.visits,
            checked.register_lines,
            shown_head(&checked.register_head),
            checked.not_found_out.join(" ")
        );
    }
    let visits = checked.problems.iter().map(|one| {
        let problem = one.problem.as_deref().unwrap_or_default();
        format!("{}: {problem}", one.visit)
    });
    let all: Vec<String> = visits.chain(checked.others.iter().cloned()).collect();
    let shown = all.iter().take(5).cloned().collect::<Vec<_>>().join("; ");
    let more = match all.len().saturating_sub(5) {
        0 => String::new(),
        more => format!("; and {more} more, which `veridical check` lists"),
    };
    format!("Not everything holds: {shown}{more}.")
}
