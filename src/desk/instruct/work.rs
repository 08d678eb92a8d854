//! What takes longer than a moment, beside the window.

use crate::errand::ErrandError;
use crate::errand::study::Progress;
use std::sync::Arc;
use std::sync::atomic::Ordering::Relaxed;
use std::thread::JoinHandle;

/// Work under way; it stops when this is dropped.
pub struct Work<T> {
    progress: Arc<Progress>,
    thread: Option<JoinHandle<Result<T, ErrandError>>>,
}

/// Where work stands.
pub enum Stands<T> {
    /// So many visits are done.
    UnderWay(usize),
    /// What it came to.
    Over(Result<T, ErrandError>),
}

impl<T: Send + 'static> Work<T> {
    /// Begins it, on one thread: sound and windows come first.
    pub fn begin(
        what: impl FnOnce(&Progress) -> Result<T, ErrandError> + Send + 'static,
    ) -> Work<T> {
        let progress = Arc::new(Progress::default());
        let theirs = Arc::clone(&progress);
        let thread = std::thread::spawn(move || {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build();
            let pool = pool.map_err(|error| ErrandError::Failed(error.to_string()))?;
            pool.install(|| what(&theirs))
        });
        Work {
            progress,
            thread: Some(thread),
        }
    }
}

impl<T> Work<T> {
    /// Where it stands; it is taken away when it is over. None where nothing was begun.
    pub fn stands(work: &mut Option<Work<T>>) -> Option<Stands<T>> {
        let under_way = work.as_mut()?;
        if !under_way.thread.as_ref()?.is_finished() {
            return Some(Stands::UnderWay(under_way.progress.visits.load(Relaxed)));
        }
        let joined = under_way.thread.take()?.join();
        *work = None;
        let broke_off = || Err(ErrandError::Failed("it broke off".into()));
        Some(Stands::Over(joined.unwrap_or_else(|_| broke_off())))
    }

    /// Asks it to stop.
    pub fn stop(&self) {
        self.progress.stop.store(true, Relaxed);
    }
}

impl<T> Drop for Work<T> {
    fn drop(&mut self) {
        self.stop();
    }
}
