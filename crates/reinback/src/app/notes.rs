//! Notes from the rail brought in.

use std::path::{Path, PathBuf};

use reinback_yard::fits;

use super::{App, Event, Purpose};
use crate::action::{Action, NotesStep, Room};
use crate::command::Command;
use crate::counted::counted;
use crate::notice::Notice;
use crate::rooms::review::clips::Clips;
use crate::rooms::review::notes::NotesImport;
use crate::rooms::review::notes::read::{Source, read};
use crate::rooms::review::second;
use crate::services::Question;

/// With more notes than this it is asked whether the ride's file can hold them.
const MANY_NOTES: usize = 2_000;
/// Endings of files that hold notes rather than a film.
const NOTE_ENDINGS: [&str; 4] = ["csv", "tsv", "txt", "vtt"];

/// Whether a dropped file is meant as notes.
pub(super) fn is_notes(path: &Path) -> bool {
    let ending = path.extension().and_then(|ending| ending.to_str());
    ending.is_some_and(|ending| {
        NOTE_ENDINGS
            .iter()
            .any(|own| ending.eq_ignore_ascii_case(own))
    })
}

impl App {
    pub(super) fn notes(&mut self, step: NotesStep) {
        match step {
            NotesStep::Open => self.open_notes(),
            NotesStep::ChooseFile => self.ask(Purpose::Notes, Question::Notes),
            NotesStep::ReadPasted(text) => self.read_notes(Source::Text {
                name: "pasted".into(),
                text: text.into(),
                about: None,
                layout: None,
            }),
            NotesStep::ReadAgain(layout) => {
                let import = self.review.as_ref().and_then(|own| own.notes.as_ref());
                if let Some(source) = import.and_then(|import| import.again(layout)) {
                    self.read_notes(source);
                }
            }
            NotesStep::Stop => self.stop_reading(),
            NotesStep::Others => {
                self.stop_reading();
                if let Some(import) = self.import() {
                    import.start_over();
                }
            }
            NotesStep::PutAway => {
                self.stop_reading();
                if let Some(review) = &mut self.review {
                    review.notes = None;
                }
            }
            NotesStep::Place => self.place_notes(),
        }
    }

    fn import(&mut self) -> Option<&mut NotesImport> {
        self.review.as_mut()?.notes.as_mut()
    }

    fn stop_reading(&mut self) {
        self.notes_reading = None;
        if let Some(import) = self.import() {
            import.reading = None;
        }
    }

    fn open_notes(&mut self) {
        if self.room == Room::Review
            && let Some(review) = &mut self.review
        {
            review.stage.pause();
            let notes = review.notes.take();
            review.clear_side();
            review.notes = Some(notes.unwrap_or_default());
        }
    }

    /// Reads a dropped or chosen file of notes.
    pub(super) fn read_notes_file(&mut self, path: PathBuf) {
        self.open_notes();
        self.read_notes(Source::File(path));
    }

    fn read_notes(&mut self, source: Source) {
        let Some(words) = self
            .open
            .as_ref()
            .map(|open| open.document.yard().words.clone())
        else {
            return;
        };
        self.notes_readings += 1;
        let number = self.notes_readings;
        let Some(import) = self.import() else { return };
        import.reading = Some(number);
        // The reading before, if there is one, is not waited for any more.
        self.notes_reading = Some(self.tasks.start("read notes", move |control| {
            let result = read(source, &words, &mut || control.flow());
            if control.flow().is_continue() {
                control.send(Event::NotesRead(number, Box::new(result)));
            }
        }));
    }

    fn place_notes(&mut self) {
        let (Some(open), Some(review)) = (&mut self.open, &mut self.review) else {
            return;
        };
        let ride = open.document.yard().rides.get(&review.ride);
        let (Some(import), Some(ride)) = (&mut review.notes, ride) else {
            return;
        };
        let into = second::shown(ride, review.reviewing);
        import.work_out(ride, into, &chrono::Local);
        let mut ids = open.ids.clone();
        let Some((label, edit)) = import.step(ride, into, &mut ids) else {
            return;
        };
        let count = import.outcome().map_or(0, |outcome| outcome.placed.len());
        // Fewer cannot fill a file, and to look costs the window a moment.
        if count > MANY_NOTES
            && let Err(error) = fits(ride, &edit)
        {
            let next = "Place them in parts, or shorten the notes";
            self.tell(Notice::caution(error.to_string()).next(next));
            return;
        }
        open.ids = ids;
        let revision = open.document.revision();
        self.apply(&label, edit);
        if self
            .open
            .as_ref()
            .is_none_or(|open| open.document.revision() == revision)
        {
            return;
        }
        if let Some(review) = &mut self.review {
            review.notes = None;
        }
        let text = format!("{} placed", counted(count, "note", "notes"));
        self.tell(Notice::told(text).offer("Undo", Action::Run(Command::Undo)));
    }

    /// Opens or closes the panel of clips.
    pub(super) fn show_clips(&mut self) {
        if self.has_room_beside()
            && let Some(review) = &mut self.review
        {
            let closed = review.clips.is_none();
            review.clear_side();
            review.clips = closed.then(|| Clips::new(self.on_ready.clone()));
        }
    }
}
