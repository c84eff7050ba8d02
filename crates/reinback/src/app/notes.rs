//! Notes from the rail brought in, and bouts and marks written for other programs.

use std::path::{Path, PathBuf};

use reinback_yard::RideId;
use reinback_yard::export::{CaptionClock, marks_as_csv, marks_as_vtt};

use super::{App, Event, Purpose};
use crate::action::{Action, NotesStep, Room, Table};
use crate::command::Command;
use crate::notice::Notice;
use crate::rooms::review::clips::Clips;
use crate::rooms::review::notes::read::{Source, read};
use crate::rooms::review::notes::{NotesImport, counted};
use crate::services::Question;

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
            review.clips = None;
            review.notes.get_or_insert_default();
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
        let (Some(import), Some(ride)) =
            (&mut review.notes, open.document.yard().ride(review.ride))
        else {
            return;
        };
        import.work_out(ride, ride.head.counting, &chrono::Local);
        let mut ids = open.ids.clone();
        let Some((label, edit)) = import.step(ride, ride.head.counting, &mut ids) else {
            return;
        };
        let count = import.outcome().map_or(0, |outcome| outcome.placed.len());
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
        if let Some(review) = &mut self.review {
            if review.notes.is_some() {
                self.tell(Notice::told("Place the notes or put them away first"));
                return;
            }
            let closed = review.clips.take().is_none();
            review.clips = closed.then(|| Clips::new(self.on_ready.clone()));
        }
    }

    /// Asks where the table or the captions of the open ride should go.
    pub(super) fn export(&mut self, table: Table) {
        let (Some(open), Some(review)) = (&self.open, &self.review) else {
            return;
        };
        let Some(ride) = open.document.yard().ride(review.ride) else {
            return;
        };
        let horse = open.document.yard().horse(ride.head.horse);
        let horse = horse.map_or("ride", |horse| &horse.name);
        let day = ride.head.date.format("%Y-%m-%d");
        let film = review.stage.current_film();
        // Players take captions that lie beside the film under its name.
        let beside = film.filter(|_| table == Table::Captions);
        let name = beside.and_then(|film| film.path.file_stem()).map_or_else(
            || format!("{day} {horse}"),
            |stem| stem.to_string_lossy().into_owned(),
        );
        let folder = beside
            .and_then(|film| film.path.parent())
            .map(Path::to_path_buf);
        let film = film.map(|film| film.film.id);
        self.ask(
            Purpose::Export(ride.id, table, film),
            Question::SaveAs {
                title: table.title(),
                name: format!("{name}.{}", table.ending()),
                ending: table.ending(),
                folder,
            },
        );
    }

    /// Writes what was asked for; the disk is waited for on a thread.
    pub(super) fn write_export(
        &mut self,
        ride: RideId,
        table: Table,
        film: Option<reinback_yard::FilmId>,
        path: PathBuf,
    ) {
        let Some(yard) = self.open.as_ref().map(|open| open.document.yard()) else {
            return;
        };
        let Some(ride) = yard.ride(ride) else { return };
        let made = match table {
            Table::Csv => marks_as_csv(yard, ride).map(|bytes| (bytes, 0)).ok(),
            Table::Captions => {
                let clock = film.map_or(CaptionClock::Ride, CaptionClock::Film);
                marks_as_vtt(&yard.words, ride, clock)
                    .or_else(|| marks_as_vtt(&yard.words, ride, CaptionClock::Ride))
                    .map(|captions| (captions.text.into_bytes(), captions.left_out))
            }
        };
        let Some((bytes, left_out)) = made else {
            return;
        };
        let task = self.tasks.start("export", move |control| {
            let written = std::fs::write(&path, bytes).map_err(|error| error.to_string());
            control.send(Event::Exported(path, written.map(|()| left_out)));
        });
        self.keep(task);
    }

    pub(super) fn exported(&mut self, path: &Path, written: Result<usize, String>) {
        let name = path
            .file_name()
            .unwrap_or(path.as_os_str())
            .to_string_lossy();
        let notice = match written {
            Ok(0) => Notice::told(format!("Written: {name}")),
            Ok(left_out) => Notice::caution(format!("Written: {name}"))
                .next(format!("{} not on this film and not in it", are(left_out))),
            Err(why) => Notice::trouble(format!("{name} could not be written: {why}"))
                .next("Choose another place for it"),
        };
        self.tell(notice);
    }
}

fn are(count: usize) -> String {
    let (things, are) = if count == 1 {
        ("entry", "is")
    } else {
        ("entries", "are")
    };
    format!("{count} {things} {are}")
}
