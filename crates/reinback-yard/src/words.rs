//! The yard's editable vocabulary.

use std::collections::BTreeSet;
use std::fmt;
use std::sync::Arc;

use reinback_analysis::Rein;

use crate::model::{MarkKind, Pace};

mod defaults;
#[cfg(test)]
mod tests;
mod validate;

pub use validate::WordProblem;

/// Names a word: lower-case letters, digits and single hyphens ("half-pass"). A copy shares the
/// text: a large yard says the same few words millions of times.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct WordId(Arc<str>);

/// Why a text cannot name a word.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "“{text}” cannot name a word: use lower-case letters, digits and single hyphens, at most 80"
)]
pub struct WordIdError {
    /// What was given, shortened.
    pub text: String,
}

impl WordId {
    /// Checks and takes a name.
    ///
    /// # Errors
    /// [`WordIdError`] when the text is empty, longer than 80 bytes, or has other signs in it.
    pub fn new(text: impl Into<String>) -> Result<Self, WordIdError> {
        let text = text.into();
        let sign = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-';
        let hyphens_fit = !text.starts_with('-') && !text.ends_with('-') && !text.contains("--");
        if text.is_empty() || text.len() > 80 || !text.bytes().all(sign) || !hyphens_fit {
            return Err(WordIdError {
                text: text.chars().take(40).collect(),
            });
        }
        Ok(Self(text.into()))
    }

    /// A new id made from a name, other than those taken: "half-pass", "half-pass-2". Signs that
    /// cannot stand in an id become hyphens; from a name without any other it is "word".
    #[must_use]
    pub fn for_name(name: &str, taken: &BTreeSet<Self>) -> Self {
        let mut base = String::new();
        for sign in name.to_lowercase().chars() {
            if sign.is_ascii_alphanumeric() {
                base.push(sign);
            } else if !base.is_empty() && !base.ends_with('-') {
                base.push('-');
            }
        }
        base.truncate(60);
        let base = base.trim_end_matches('-');
        let base = if base.is_empty() { "word" } else { base };
        let mut id = Self(base.into());
        let mut number = 1_u64;
        while taken.contains(&id) {
            number += 1;
            id = Self(format!("{base}-{number}").into());
        }
        id
    }

    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// A readable form for a word the yard no longer knows: "quarters trailing".
    #[must_use]
    pub fn spelled(&self) -> String {
        self.0.replace('-', " ")
    }
}

impl fmt::Display for WordId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// All words of a yard.
#[derive(Clone, Debug, PartialEq)]
pub struct Words {
    /// In the order of the palette.
    pub exercises: Vec<Exercise>,
    /// Faults that any exercise can have.
    pub general_faults: Vec<Fault>,
    /// Postures of neck and head.
    pub outlines: Vec<Word>,
}

/// A named word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Word {
    /// Unique among its kind.
    pub id: WordId,
    /// As shown.
    pub name: String,
}

/// An exercise with its own faults.
#[derive(Clone, Debug, PartialEq)]
pub struct Exercise {
    /// Unique among exercises.
    pub id: WordId,
    /// As shown ("half-pass").
    pub name: String,
    /// One to three lower-case letters typed to start it; unique among exercises.
    pub short: String,
    /// The heading it stands under in lists ("Lateral work").
    pub family: String,
    /// The pace it is ridden in, where there is only one.
    pub pace: Option<Pace>,
    /// Whether left and right are compared.
    pub sided: bool,
    /// Whether a series has asked numbers (how many, every how many strides).
    pub series: bool,
    /// A series that is asked every so many strides by its name; at least 1.
    pub every: Option<u16>,
    /// "in trot", "in canter", "10 m".
    pub variants: Vec<Word>,
    /// In the order of their keys.
    pub faults: Vec<Fault>,
}

/// A fault in the trade's short words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Unique within its exercise and among the general faults.
    pub id: WordId,
    /// As shown ("quarters trailing").
    pub name: String,
}

impl Words {
    /// The exercise of this id.
    #[must_use]
    pub fn exercise(&self, id: &WordId) -> Option<&Exercise> {
        self.exercises.iter().find(|exercise| exercise.id == *id)
    }

    /// The exercise's name, or its id spelled out when the yard no longer knows it.
    #[must_use]
    pub fn exercise_name(&self, id: &WordId) -> String {
        self.exercise(id)
            .map_or_else(|| id.spelled(), |exercise| exercise.name.clone())
    }

    /// The name of a fault of an exercise, or of a general one.
    #[must_use]
    pub fn fault_name(&self, exercise: Option<&WordId>, fault: &WordId) -> String {
        let own = exercise
            .and_then(|id| self.exercise(id))
            .map_or(&[][..], |e| &e.faults);
        let all_own = || self.exercises.iter().flat_map(|e| &e.faults);
        own.iter()
            .chain(&self.general_faults)
            .chain(all_own())
            .find(|word| word.id == *fault)
            .map_or_else(|| fault.spelled(), |word| word.name.clone())
    }

    /// What a mark says: "quarters trailing", "ridden again".
    #[must_use]
    pub fn mark_name(&self, exercise: Option<&WordId>, kind: &MarkKind) -> String {
        match kind {
            MarkKind::Fault(fault) => self.fault_name(exercise, fault),
            MarkKind::Praise => "well ridden".into(),
            MarkKind::Repeated => "ridden again".into(),
            MarkKind::Note => "note".into(),
            MarkKind::Change(None) => "flying change".into(),
            MarkKind::Change(Some(Rein::Left)) => "flying change to the left".into(),
            MarkKind::Change(Some(Rein::Right)) => "flying change to the right".into(),
            MarkKind::Aid => "aid".into(),
            MarkKind::Measured(measured) => measured.kind.name().into(),
        }
    }

    /// The name of a variant of an exercise.
    #[must_use]
    pub fn variant_name(&self, exercise: &WordId, variant: &WordId) -> String {
        self.exercise(exercise)
            .and_then(|e| e.variants.iter().find(|word| word.id == *variant))
            .map_or_else(|| variant.spelled(), |word| word.name.clone())
    }

    /// The name of an outline.
    #[must_use]
    pub fn outline_name(&self, outline: &WordId) -> String {
        self.outlines
            .iter()
            .find(|word| word.id == *outline)
            .map_or_else(|| outline.spelled(), |word| word.name.clone())
    }
}

impl Default for Words {
    /// The words a new yard starts with; every one of them can be edited.
    fn default() -> Self {
        defaults::words()
    }
}
