//! The yard that is open: the document, its keeper, and what was found wrong.

use std::cell::Cell;
use std::path::PathBuf;

use chrono::NaiveDate;
use reinback_yard::{
    Access, Document, Edit, EditError, IdMaker, Opened, Problem, Review, Ride, RideId, Turned,
    film_path_in,
};

use crate::keeper::Keeper;
use crate::services::OnReady;
use crate::stage::Placed;

/// An open yard. The only place that applies an edit.
pub struct OpenYard {
    /// Its folder.
    pub folder: PathBuf,
    /// The model and its history.
    pub document: Document,
    /// Writes it to disk; `None` when the yard can only be read.
    pub keeper: Option<Keeper>,
    /// Whether it can be written, and why not.
    pub access: Access,
    /// What was found wrong on opening.
    pub problems: Vec<Problem>,
    /// Makes ids.
    pub ids: IdMaker,
    /// The day of the newest ride, by revision: it is asked for in every frame.
    last_day: Cell<Option<(u64, Option<NaiveDate>)>>,
}

impl OpenYard {
    /// Takes over what the store has read.
    #[must_use]
    pub fn new(opened: Opened, on_ready: OnReady) -> Self {
        let Opened {
            store,
            yard,
            problems,
            access,
            unsaved,
            index: _,
        } = opened;
        let folder = store.dir().to_path_buf();
        let keeper = matches!(access, Access::Write).then(|| Keeper::start(store, on_ready));
        let mut document = Document::new(yard);
        document.mark_unsaved(unsaved);
        Self {
            folder,
            document,
            keeper,
            access,
            problems,
            ids: IdMaker::from_entropy(),
            last_day: Cell::new(None),
        }
    }

    /// Whether anything can be changed.
    #[must_use]
    pub fn writable(&self) -> bool {
        self.keeper.is_some()
    }

    /// Makes a change and sends it to the journal.
    ///
    /// # Errors
    /// As [`Document::apply`].
    pub fn apply(&mut self, label: &str, edit: Edit, now: f64) -> Result<(), EditError> {
        self.document.apply(label, edit.clone())?;
        if let Some(keeper) = &mut self.keeper {
            keeper.journal(edit, now);
        }
        Ok(())
    }

    /// Makes a change that is no step of the rider's; see [`Document::note`].
    ///
    /// # Errors
    /// As [`Document::note`].
    pub fn note(&mut self, edit: Edit, now: f64) -> Result<(), EditError> {
        self.document.note(edit.clone())?;
        if let Some(keeper) = &mut self.keeper {
            keeper.journal(edit, now);
        }
        Ok(())
    }

    /// Takes the last step back, or does it again.
    pub fn turn(&mut self, back: bool, now: f64) -> Option<Turned> {
        let turned = if back {
            self.document.undo()
        } else {
            self.document.redo()
        }?;
        if let Some(keeper) = &mut self.keeper {
            keeper.journal(turned.applied.clone(), now);
        }
        Some(turned)
    }

    /// The day that counts as today: that of the last ride where the yard asks for it.
    #[must_use]
    pub fn today(&self, real: NaiveDate) -> NaiveDate {
        if self.document.yard().as_of_last_ride {
            self.last_day().unwrap_or(real)
        } else {
            real
        }
    }

    /// The day of the newest ride.
    #[must_use]
    pub fn last_day(&self) -> Option<NaiveDate> {
        let revision = self.document.revision();
        match self.last_day.get() {
            Some((own, day)) if own == revision => day,
            _ => {
                let day = self.document.yard().last_day();
                self.last_day.set(Some((revision, day)));
                day
            }
        }
    }

    /// The films of a ride with their files.
    #[must_use]
    pub fn placed(&self, ride: RideId) -> Vec<Placed> {
        let films = self
            .document
            .yard()
            .ride(ride)
            .map_or(&[][..], |ride| &ride.films);
        films
            .iter()
            .map(|film| Placed {
                film: film.clone(),
                path: self.film_path(film),
                another: false,
            })
            .collect()
    }

    /// Where a film's file is.
    #[must_use]
    pub fn film_path(&self, film: &reinback_yard::Film) -> PathBuf {
        film_path_in(&self.folder, film)
    }

    /// An empty ride of a horse on a day.
    pub fn blank_ride(
        &mut self,
        horse: reinback_yard::HorseId,
        date: NaiveDate,
        reviewer: &str,
    ) -> Ride {
        let review = Review {
            id: self.ids.next(),
            reviewer: reviewer.to_owned(),
            blind: false,
        };
        Ride::new(self.ids.next(), horse, date, review)
    }
}
