//! Keeps the open yard on disk from a thread of its own.
//!
//! Every edit goes into the journal at once; files are written a little later, all from one
//! snapshot. The window never waits for the disk.

use std::collections::BTreeSet;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread::JoinHandle;

use reinback_yard::{Document, Edit, FileKey, Store, StoreError, Yard};

use crate::services::OnReady;

/// Whatever keeps a yard on disk; tests stand in for it.
pub trait Keep: Send {
    /// As [`Store::journal`].
    ///
    /// # Errors
    /// As [`Store::journal`].
    fn journal(&mut self, edit: &Edit) -> Result<(), StoreError>;
    /// As [`Store::save`].
    ///
    /// # Errors
    /// As [`Store::save`].
    fn save(&mut self, yard: &Yard, files: &BTreeSet<FileKey>) -> Result<(), StoreError>;
}

impl Keep for Store {
    fn journal(&mut self, edit: &Edit) -> Result<(), StoreError> {
        Self::journal(self, edit)
    }

    fn save(&mut self, yard: &Yard, files: &BTreeSet<FileKey>) -> Result<(), StoreError> {
        Self::save(self, yard, files)
    }
}

enum Job {
    Journal(Box<Edit>),
    Save(Box<Yard>, BTreeSet<FileKey>),
}

enum Done {
    Journaled(Result<(), StoreError>),
    Saved(BTreeSet<FileKey>, Result<(), StoreError>),
}

/// How safe the rider's work is at this moment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Safety {
    /// Everything is in the yard's files.
    Saved,
    /// Everything is in the journal; the files follow.
    Journaled,
    /// Something is on its way to the disk.
    Writing,
    /// The disk refused; everything is still in the window.
    Failing {
        /// One sentence.
        what: String,
        /// What to do.
        next: String,
    },
}

/// Seconds without an edit after which the files are written.
const REST_SECONDS: f64 = 2.0;
/// Seconds after which they are written even while edits go on.
const LONGEST_SECONDS: f64 = 20.0;
/// Seconds until another try after the disk refused.
const RETRY_SECONDS: f64 = 10.0;

/// The writing thread's other end.
pub struct Keeper {
    jobs: Option<Sender<Job>>,
    done: Receiver<Done>,
    thread: Option<JoinHandle<()>>,
    journaling: usize,
    saving: bool,
    first_edit: Option<f64>,
    last_edit: f64,
    retry_at: Option<f64>,
    failing: Option<(String, String)>,
}

impl Keeper {
    /// Starts the thread; it calls `on_ready` when the safety may have changed.
    #[must_use]
    pub fn start(store: impl Keep + 'static, on_ready: OnReady) -> Self {
        let (jobs, todo) = channel::<Job>();
        let (tell, done) = channel();
        let thread = std::thread::Builder::new()
            .name("keeper".into())
            .spawn(move || keep(store, &todo, &tell, &on_ready))
            .ok();
        Self {
            jobs: Some(jobs),
            done,
            thread,
            journaling: 0,
            saving: false,
            first_edit: None,
            last_edit: 0.0,
            retry_at: None,
            failing: None,
        }
    }

    /// Sends an edit that has just been applied to the journal.
    pub fn journal(&mut self, edit: Edit, now: f64) {
        self.first_edit.get_or_insert(now);
        self.last_edit = now;
        self.journaling += 1;
        self.send(Job::Journal(Box::new(edit)));
    }

    /// Takes in what the thread did and starts what is due. Returns in how many seconds it
    /// wants to be asked again, if it does.
    pub fn tick(&mut self, document: &mut Document, now: f64) -> Option<f64> {
        while let Ok(done) = self.done.try_recv() {
            self.take_in(done, document, now);
        }
        if !document.is_unsaved() || self.saving {
            return None;
        }
        let due = self.due(now);
        if due <= now {
            self.save(document);
            return None;
        }
        Some(due - now)
    }

    fn due(&self, now: f64) -> f64 {
        if let Some(at) = self.retry_at {
            return at;
        }
        let first = self.first_edit.unwrap_or(now);
        (self.last_edit + REST_SECONDS).min(first + LONGEST_SECONDS)
    }

    /// Writes what is unsaved now rather than later.
    pub fn save(&mut self, document: &mut Document) {
        if self.saving || !document.is_unsaved() {
            return;
        }
        self.first_edit = None;
        self.retry_at = None;
        self.saving = true;
        let files = document.take_unsaved();
        self.send(Job::Save(Box::new(document.yard().clone()), files));
    }

    /// How safe the work is.
    #[must_use]
    pub fn safety(&self, document: &Document) -> Safety {
        match &self.failing {
            Some((what, next)) => Safety::Failing {
                what: what.clone(),
                next: next.clone(),
            },
            None if self.journaling > 0 || self.saving => Safety::Writing,
            None if document.is_unsaved() => Safety::Journaled,
            None => Safety::Saved,
        }
    }

    /// Writes everything and waits for it; when the window closes.
    ///
    /// # Errors
    /// A sentence, when something could not be written.
    pub fn finish(mut self, document: &mut Document) -> Result<(), String> {
        self.saving = false;
        self.save(document);
        self.jobs = None;
        if let Some(thread) = self.thread.take() {
            // A thread that panicked has sent no answer; the loop below then reports that.
            drop(thread.join());
        }
        let mut saved = !self.saving;
        while let Ok(done) = self.done.try_recv() {
            if let Done::Saved(_, result) = done {
                saved = result.is_ok();
                if let Err(error) = result {
                    return Err(error.to_string());
                }
            }
        }
        if saved {
            Ok(())
        } else {
            Err("the writing thread stopped".into())
        }
    }

    fn send(&mut self, job: Job) {
        let sent = self
            .jobs
            .as_ref()
            .is_some_and(|jobs| jobs.send(job).is_ok());
        if !sent {
            self.failing = Some((
                "Reinback's writing thread has stopped".into(),
                "Close the window and open the yard again: what was confirmed as saved is safe"
                    .into(),
            ));
        }
    }

    fn take_in(&mut self, done: Done, document: &mut Document, now: f64) {
        match done {
            Done::Journaled(result) => {
                self.journaling = self.journaling.saturating_sub(1);
                if let Err(error) = result {
                    self.fail(&error, now);
                }
            }
            Done::Saved(files, result) => {
                self.saving = false;
                match result {
                    Ok(()) => self.failing = None,
                    Err(error) => {
                        document.mark_unsaved(files);
                        self.fail(&error, now);
                    }
                }
            }
        }
    }

    fn fail(&mut self, error: &StoreError, now: f64) {
        self.retry_at = Some(now + RETRY_SECONDS);
        self.failing = Some((error.to_string(), error.next_step().to_owned()));
    }
}

fn keep(mut store: impl Keep, todo: &Receiver<Job>, tell: &Sender<Done>, on_ready: &OnReady) {
    for job in todo {
        let done = match job {
            Job::Journal(edit) => Done::Journaled(store.journal(&edit)),
            Job::Save(yard, files) => {
                let result = store.save(&yard, &files);
                Done::Saved(files, result)
            }
        };
        if tell.send(done).is_err() {
            return;
        }
        on_ready();
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;
    use std::sync::atomic::{AtomicBool, Ordering};
    use std::time::Duration;

    use super::*;

    /// A disk that is full until there is room again.
    struct Disk(Arc<AtomicBool>);

    impl Disk {
        fn write(&self) -> Result<(), StoreError> {
            if self.0.load(Ordering::SeqCst) {
                return Err(StoreError::DiskFull {
                    path: "yard.ron".into(),
                });
            }
            Ok(())
        }
    }

    impl Keep for Disk {
        fn journal(&mut self, _edit: &Edit) -> Result<(), StoreError> {
            self.write()
        }

        fn save(&mut self, _yard: &Yard, _files: &BTreeSet<FileKey>) -> Result<(), StoreError> {
            self.write()
        }
    }

    fn settle(
        keeper: &mut Keeper,
        document: &mut Document,
        now: f64,
        done: impl Fn(&Safety) -> bool,
    ) -> Safety {
        for _ in 0..400 {
            keeper.tick(document, now);
            if done(&keeper.safety(document)) {
                break;
            }
            std::thread::sleep(Duration::from_millis(5));
        }
        keeper.safety(document)
    }

    #[test]
    fn a_full_disk_is_told_and_tried_again() {
        let full = Arc::new(AtomicBool::new(true));
        let mut keeper = Keeper::start(Disk(full.clone()), Arc::new(|| ()));
        let mut document = Document::default();
        let edit = Edit::YardName("Oak".into());
        document.apply("name", edit.clone()).unwrap();
        keeper.journal(edit, 0.0);
        let safety = settle(&mut keeper, &mut document, 0.0, |s| {
            matches!(s, Safety::Failing { .. })
        });
        assert!(
            matches!(&safety, Safety::Failing { what, .. } if what.contains("full")),
            "{safety:?}"
        );
        assert_eq!(
            document.yard().name,
            "Oak",
            "what was done stays in the window"
        );
        assert!(document.is_unsaved());

        full.store(false, Ordering::SeqCst);
        let waits = keeper.tick(&mut document, 1.0);
        assert!(
            waits.is_some_and(|seconds| seconds <= RETRY_SECONDS),
            "it is tried again: {waits:?}"
        );
        let later = RETRY_SECONDS + 1.0;
        assert_eq!(
            settle(&mut keeper, &mut document, later, |s| *s == Safety::Saved),
            Safety::Saved
        );
    }

    #[test]
    fn files_follow_after_a_rest() {
        let mut keeper = Keeper::start(Disk(Arc::new(AtomicBool::new(false))), Arc::new(|| ()));
        let mut document = Document::default();
        let edit = Edit::YardName("Oak".into());
        document.apply("name", edit.clone()).unwrap();
        keeper.journal(edit, 10.0);
        assert_eq!(
            settle(&mut keeper, &mut document, 10.5, |s| *s
                == Safety::Journaled),
            Safety::Journaled
        );
        assert_eq!(
            settle(&mut keeper, &mut document, 12.5, |s| *s == Safety::Saved),
            Safety::Saved
        );
    }

    #[test]
    fn closing_writes_what_is_left() {
        let mut keeper = Keeper::start(Disk(Arc::new(AtomicBool::new(false))), Arc::new(|| ()));
        let mut document = Document::default();
        let edit = Edit::YardName("Oak".into());
        document.apply("name", edit.clone()).unwrap();
        keeper.journal(edit, 0.0);
        assert_eq!(keeper.finish(&mut document), Ok(()));
        assert!(!document.is_unsaved());
    }
}
