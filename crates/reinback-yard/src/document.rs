//! The open yard with its history.

use std::collections::{BTreeSet, VecDeque};

use crate::edit::{Edit, EditError};
use crate::id::RideId;
use crate::model::Yard;

/// How many steps can be taken back: some four evenings of a thousand keys. Our own choice.
pub const HISTORY_LIMIT: usize = 4_000;

/// One undoable step.
#[derive(Clone, Debug)]
struct Step {
    label: String,
    edit: Edit,
}

/// What an undo or a redo did, so that the window can say so and go there.
#[derive(Clone, Debug, PartialEq)]
pub struct Turned {
    /// What the step was called when it was made ("Mark late behind").
    pub label: String,
    /// The change that has just been applied.
    pub applied: Edit,
}

/// One file of the yard.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FileKey {
    /// `yard.ron`.
    Yard,
    /// The file of a ride.
    Ride(RideId),
}

/// A yard that is open: the model, what was done to it, and what is not yet in its files.
///
/// One gesture of the rider is one [`Edit`], one undo step and one journal line.
#[derive(Clone, Debug, Default)]
pub struct Document {
    yard: Yard,
    done: VecDeque<Step>,
    undone: Vec<Step>,
    revision: u64,
    unsaved: BTreeSet<FileKey>,
}

impl Document {
    /// Takes a yard as it was read.
    #[must_use]
    pub fn new(yard: Yard) -> Self {
        Self {
            yard,
            ..Self::default()
        }
    }

    /// The model.
    #[must_use]
    pub fn yard(&self) -> &Yard {
        &self.yard
    }

    /// Grows with every change, undo and redo; results computed from the yard are kept by it.
    #[must_use]
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Makes a change that can be undone.
    ///
    /// # Errors
    /// As [`Edit::apply`]; nothing is changed then.
    pub fn apply(&mut self, label: impl Into<String>, edit: Edit) -> Result<(), EditError> {
        let inverse = self.turn(edit)?;
        self.undone.clear();
        self.done.push_back(Step {
            label: label.into(),
            edit: inverse,
        });
        if self.done.len() > HISTORY_LIMIT {
            self.done.pop_front();
        }
        Ok(())
    }

    /// Makes a change that nobody asked for and nobody would want to take back, such as a film's
    /// length once it is known: no undo step, and what can be done again stays.
    ///
    /// # Errors
    /// As [`Edit::apply`]; nothing is changed then.
    pub fn note(&mut self, edit: Edit) -> Result<(), EditError> {
        self.turn(edit).map(|_inverse| ())
    }

    /// What undo would take back.
    #[must_use]
    pub fn undo_label(&self) -> Option<&str> {
        self.done.back().map(|step| step.label.as_str())
    }

    /// What redo would do again.
    #[must_use]
    pub fn redo_label(&self) -> Option<&str> {
        self.undone.last().map(|step| step.label.as_str())
    }

    /// Takes the last step back.
    pub fn undo(&mut self) -> Option<Turned> {
        let step = self.done.pop_back()?;
        let (turned, back) = self.turn_step(step)?;
        self.undone.push(back);
        Some(turned)
    }

    /// Does the last step taken back again.
    pub fn redo(&mut self) -> Option<Turned> {
        let step = self.undone.pop()?;
        let (turned, back) = self.turn_step(step)?;
        self.done.push_back(back);
        Some(turned)
    }

    /// The files that differ from what is on disk, and forgets them: whoever takes them saves
    /// them, and hands them back with [`Document::mark_unsaved`] if that fails.
    pub fn take_unsaved(&mut self) -> BTreeSet<FileKey> {
        std::mem::take(&mut self.unsaved)
    }

    /// Whether any file differs from what is on disk.
    #[must_use]
    pub fn is_unsaved(&self) -> bool {
        !self.unsaved.is_empty()
    }

    /// Notes that these files differ from what is on disk.
    pub fn mark_unsaved(&mut self, files: impl IntoIterator<Item = FileKey>) {
        self.unsaved.extend(files);
    }

    fn turn_step(&mut self, step: Step) -> Option<(Turned, Step)> {
        let applied = step.edit.clone();
        // An inverse made here always applies: nothing but edits and inverses changes the yard.
        let edit = self.turn(step.edit).ok()?;
        Some((
            Turned {
                label: step.label.clone(),
                applied,
            },
            Step {
                label: step.label,
                edit,
            },
        ))
    }

    fn turn(&mut self, edit: Edit) -> Result<Edit, EditError> {
        let files = edit.files();
        let inverse = edit.apply(&mut self.yard)?;
        self.revision += 1;
        self.unsaved.extend(files);
        Ok(inverse)
    }
}

#[cfg(test)]
mod tests;
