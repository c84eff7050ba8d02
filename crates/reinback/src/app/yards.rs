//! Opening a yard, leaving one, and closing the window without losing anything.

use std::path::{Path, PathBuf};

use egui::{Context, ViewportCommand};
use reinback_yard::{
    Access, IndexDraft, News, Opened, Progress, Severity, Store, StoreError, index_file,
};

use super::{App, Event};
use crate::action::{Action, Room};
use crate::keeper::Safety;
use crate::notice::Notice;
use crate::open_yard::OpenYard;
use crate::rooms::words::WordsDraft;
use crate::rooms::yard::Reading;
use crate::task::{Control, Task};

/// A yard being read.
pub(super) struct Opening {
    number: u64,
    pub(super) folder: PathBuf,
    create: bool,
    pub(super) progress: Option<Progress>,
    /// What there is of it so far; shown where no other yard is open.
    pub(super) reading: Option<Reading>,
    _task: Task,
}

/// The index of the open yard being written.
pub(super) struct Indexing {
    number: u64,
    pub(super) progress: Progress,
    _task: Task,
}

/// How the window closes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Closing {
    /// Not asked for.
    #[default]
    No,
    /// As soon as everything is saved.
    WhenSaved,
    /// Even if something is lost: the rider was asked.
    Anyway,
}

impl App {
    pub(super) fn start_opening(&mut self, folder: &Path, create: bool) {
        if let Some(what) = self.in_danger() {
            let notice = Notice::trouble(format!("The open yard is not saved yet: {what}"));
            self.tell(notice.next("No other yard is opened until it is, so that nothing is lost"));
            return;
        }
        if self.words.as_ref().is_some_and(WordsDraft::is_changed) {
            let what = "Keep the words or leave them as they were first";
            self.tell(Notice::told(what));
            return;
        }
        // Kept for the next start, which may be from another folder.
        let folder = std::path::absolute(folder).unwrap_or_else(|_| folder.to_owned());
        let same = self.open.as_ref().is_some_and(|open| open.folder == folder);
        // The same folder again: its lock must be let go of first, off the window's thread.
        let before = if same { self.leave_yard() } else { None };
        self.openings += 1;
        let (number, target) = (self.openings, folder.clone());
        let index = self.services.yard_index_folder();
        let index = index.map(|indexes| index_file(&indexes, &folder));
        let task = self.tasks.start("open yard", move |control| {
            if let Some(before) = before {
                finish(before);
            }
            let result = read_yard(number, &target, index.as_deref(), create, control);
            control.send(Event::YardOpened(number, Box::new(result)));
        });
        self.opening = Some(Opening {
            number,
            folder,
            create,
            progress: None,
            reading: None,
            _task: task,
        });
    }

    /// Takes in part of what is being read.
    pub(super) fn take_yard_news(&mut self, number: u64, news: News) {
        let Some(opening) = self
            .opening
            .as_mut()
            .filter(|opening| opening.number == number)
        else {
            return;
        };
        match news {
            News::Listed(listed) => {
                opening.reading = self.open.is_none().then(|| Reading::new(*listed));
                if opening.reading.is_some() {
                    self.yard_view.forget();
                }
            }
            News::Rides { rides, progress } => {
                opening.progress = Some(progress);
                if let Some(reading) = &mut opening.reading {
                    reading.take(rides, progress);
                }
            }
        }
    }

    /// Takes in what was read; an older answer than the newest question is dropped.
    pub(super) fn take_opened(&mut self, number: u64, result: Result<Opened, StoreError>) {
        let Some(opening) = self.opening.take_if(|opening| opening.number == number) else {
            return;
        };
        match result {
            Ok(mut opened) => {
                let draft = opened.index.take();
                let open = OpenYard::new(opened, self.on_ready.clone());
                self.enter_yard(open, opening.reading.is_some());
                self.indexing = draft.map(|draft| self.write_index(number, draft));
            }
            Err(StoreError::Cancelled { .. }) => {}
            Err(error) => {
                let (label, again) = if opening.create {
                    ("Choose another folder", Action::ChooseNewYard)
                } else {
                    ("Try again", Action::OpenYard(opening.folder))
                };
                let notice = Notice::trouble(error.to_string()).next(error.next_step());
                self.tell(notice.offer(label, again));
            }
        }
    }

    /// Writes the index of the yard that was just read, so that it opens faster the next time.
    fn write_index(&self, number: u64, draft: IndexDraft) -> Indexing {
        log::info!("{} files of the yard had to be read", draft.read_again());
        let task = self.tasks.start("index yard", move |control| {
            let written = draft.write(&mut |progress| {
                control.send(Event::Indexed(number, Some(progress)));
                control.flow()
            });
            if let Err(error) = written {
                log::warn!("the yard's index was not written: {error}");
            }
            control.send(Event::Indexed(number, None));
        });
        Indexing {
            number,
            progress: Progress { done: 0, total: 1 },
            _task: task,
        }
    }

    pub(super) fn take_indexed(&mut self, number: u64, progress: Option<Progress>) {
        let own = |indexing: &&mut Indexing| indexing.number == number;
        let Some(indexing) = self.indexing.as_mut().filter(own) else {
            return;
        };
        match progress {
            Some(progress) => indexing.progress = progress,
            None => self.indexing = None,
        }
    }

    /// Shows a yard; `shown` if its rides were shown while they were read.
    fn enter_yard(&mut self, open: OpenYard, shown: bool) {
        if let Some(before) = self.leave_yard() {
            let thread = std::thread::Builder::new().name("close yard".into());
            self.leaving
                .extend(thread.spawn(move || finish(before)).ok());
        }
        self.prefs.yard = Some(open.folder.clone());
        self.room = Room::Yard;
        if shown {
            self.yard_view.whole();
        } else {
            self.yard_view.forget();
        }
        self.progress.forget();
        self.tell_of(&open);
        self.open = Some(open);
        let films = std::mem::take(&mut self.films);
        if !films.is_empty() {
            self.start_new_ride(None, films);
        }
    }

    fn tell_of(&mut self, open: &OpenYard) {
        if let Access::ReadOnly(why) = &open.access {
            let text = format!("This yard is open for reading only: {why}");
            self.tell(Notice::caution(text).next(why.next_step()));
        }
        // What the journal held of a session that did not end well.
        let mut recovered = open.problems.iter().filter(|problem| {
            problem.severity == Severity::Note && problem.file.ends_with("journal.ron")
        });
        if let Some(first) = recovered.next() {
            let notice = Notice::caution(first.message.clone());
            self.tell(match recovered.next() {
                Some(second) => notice.next(second.message.clone()),
                None => notice,
            });
        }
        let text = match open
            .problems
            .iter()
            .filter(|p| p.severity == Severity::Error)
            .count()
        {
            0 => return,
            1 => "One file of this yard could not be read".to_owned(),
            files => format!("{files} files of this yard could not be read"),
        };
        let next = "They are left as they are; the list is in the Yard room";
        self.tell(Notice::caution(text).next(next));
    }

    fn leave_yard(&mut self) -> Option<OpenYard> {
        self.review = None;
        self.words = None;
        self.told_failing = false;
        self.indexing = None;
        self.page = None;
        self.open.take()
    }

    /// Why the open yard's work could be lost at this moment.
    fn in_danger(&self) -> Option<String> {
        match self.safety() {
            Safety::Failing { what, .. } => Some(what),
            _ => None,
        }
    }

    pub(super) fn safety(&self) -> Safety {
        let open = self.open.as_ref();
        let kept = open.and_then(|open| Some((open.keeper.as_ref()?, &open.document)));
        kept.map_or(Safety::Saved, |(keeper, document)| keeper.safety(document))
    }

    /// Holds the window open until everything is on disk, or the rider lets it go.
    pub(super) fn watch_closing(&mut self, ctx: &Context) {
        let safety = self.safety();
        let asked = ctx.input(|i| i.viewport().close_requested());
        if asked && self.closing != Closing::Anyway && safety != Safety::Saved {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.closing = Closing::WhenSaved;
            self.save_now();
        }
        if self.closing != Closing::WhenSaved {
            return;
        }
        match safety {
            Safety::Saved => ctx.send_viewport_cmd(ViewportCommand::Close),
            Safety::Failing { what, next } => {
                self.closing = Closing::No;
                let notice =
                    Notice::trouble(format!("Not closed, because this is not saved: {what}"));
                self.tell(
                    notice
                        .next(next)
                        .offer("Close and lose it", Action::CloseAnyway),
                );
            }
            Safety::Writing | Safety::Journaled => ctx.request_repaint(),
        }
    }

    pub(super) fn close_anyway(&mut self, ctx: &Context) {
        self.closing = Closing::Anyway;
        ctx.send_viewport_cmd(ViewportCommand::Close);
    }

    /// The window is gone; waits for what is still being written.
    pub(super) fn leave_for_good(&mut self) {
        if let Some(open) = self.leave_yard() {
            finish(open);
        }
        for thread in self.leaving.drain(..) {
            // A thread that panicked has said so in the log.
            let _panicked = thread.join();
        }
    }
}

/// Writes what is left of a yard and lets go of it. Waits for the disk.
fn finish(mut open: OpenYard) {
    let finished = open
        .keeper
        .take()
        .map(|keeper| keeper.finish(&mut open.document));
    if let Some(Err(error)) = finished {
        log::error!(
            "{} could not be written when it was closed: {error}",
            open.folder.display()
        );
    }
}

fn read_yard(
    number: u64,
    folder: &Path,
    index: Option<&Path>,
    create: bool,
    control: &Control<Event>,
) -> Result<Opened, StoreError> {
    if create {
        let name = folder
            .file_name()
            .map(|name| name.to_string_lossy().into_owned());
        return Store::create(folder, &name.unwrap_or_else(|| "My yard".to_owned()));
    }
    Store::open_with(folder, index, &mut |news| {
        control.send(Event::YardNews(number, news));
        control.flow()
    })
}
