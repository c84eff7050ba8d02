//! `yard.ron` as it stands in the files.
//!
//! Every structure refuses entries it does not know, and lets every entry be left out that has
//! a sensible value to start from. Nothing here is flattened or untagged, so that each error
//! has its own line.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::format;
use super::sheet::StoredSheet;
use super::text::Text;
use crate::id::HorseId;
use crate::model::{Horse, Pace, Yard};
use crate::words::{Exercise, Fault, Word, WordId, Words};

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde calls it with a reference"
)]
pub(super) fn is_false(value: &bool) -> bool {
    !*value
}

/// `yard.ron`.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Yard", deny_unknown_fields)]
pub(in crate::file) struct StoredYard {
    format: u32,
    #[serde(default)]
    name: String,
    #[serde(default, skip_serializing_if = "is_false")]
    as_of_last_ride: bool,
    #[serde(default)]
    horses: Vec<StoredHorse>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    words: Option<StoredWords>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    sheets: Vec<StoredSheet>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Horse", deny_unknown_fields)]
pub(in crate::file) struct StoredHorse {
    id: Text<HorseId>,
    name: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    foaled: Option<i32>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    stage: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    notes: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Words", deny_unknown_fields)]
pub(in crate::file) struct StoredWords {
    #[serde(default)]
    exercises: Vec<StoredExercise>,
    #[serde(default)]
    general_faults: Vec<StoredWord>,
    #[serde(default)]
    outlines: Vec<StoredWord>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Exercise", deny_unknown_fields)]
struct StoredExercise {
    id: Text<WordId>,
    name: String,
    #[serde(default)]
    short: String,
    #[serde(default)]
    family: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pace: Option<StoredPace>,
    #[serde(default, skip_serializing_if = "is_false")]
    sided: bool,
    #[serde(default, skip_serializing_if = "is_false")]
    series: bool,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    every: Option<u16>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    variants: Vec<StoredWord>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    faults: Vec<StoredWord>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Word", deny_unknown_fields)]
struct StoredWord {
    id: Text<WordId>,
    name: String,
}

#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename = "Pace")]
pub(in crate::file) enum StoredPace {
    Walk,
    Trot,
    Canter,
    Passage,
    Piaffe,
    Halt,
    ReinBack,
}

impl StoredYard {
    /// Rides are files of their own.
    pub(super) fn from_model(yard: &Yard) -> Self {
        Self {
            format: format::of_yard(yard),
            name: yard.name.clone(),
            as_of_last_ride: yard.as_of_last_ride,
            horses: yard.horses.iter().map(StoredHorse::from_model).collect(),
            words: Some(StoredWords::from_model(&yard.words)),
            sheets: yard.sheets.iter().map(StoredSheet::from_model).collect(),
        }
    }

    /// The format its entries need. What it leaves out needs none: it may name no words, and
    /// mean the default ones.
    pub(super) fn needed(&self) -> u32 {
        let counted = |words: &StoredWords| words.exercises.iter().any(|e| e.every.is_some());
        let counted = self.words.as_ref().is_some_and(counted);
        format::newer_if(counted, 3).max(format::newer_if(!self.sheets.is_empty(), 4))
    }

    /// A yard without rides.
    pub(super) fn into_model(self) -> Yard {
        Yard {
            name: self.name,
            as_of_last_ride: self.as_of_last_ride,
            words: self.words.map(StoredWords::into_model).unwrap_or_default(),
            horses: self
                .horses
                .into_iter()
                .map(StoredHorse::into_model)
                .collect(),
            sheets: self
                .sheets
                .into_iter()
                .map(StoredSheet::into_model)
                .collect(),
            rides: BTreeMap::new(),
        }
    }
}

impl StoredHorse {
    pub(super) fn from_model(horse: &Horse) -> Self {
        Self {
            id: Text(horse.id),
            name: horse.name.clone(),
            foaled: horse.foaled,
            stage: horse.stage.clone(),
            notes: horse.notes.clone(),
        }
    }

    pub(super) fn into_model(self) -> Horse {
        Horse {
            id: self.id.0,
            name: self.name,
            foaled: self.foaled,
            stage: self.stage,
            notes: self.notes,
        }
    }
}

impl StoredWords {
    pub(super) fn from_model(words: &Words) -> Self {
        Self {
            exercises: words
                .exercises
                .iter()
                .map(StoredExercise::from_model)
                .collect(),
            general_faults: words
                .general_faults
                .iter()
                .map(StoredWord::from_fault)
                .collect(),
            outlines: words.outlines.iter().map(StoredWord::from_word).collect(),
        }
    }

    pub(super) fn into_model(self) -> Words {
        Words {
            exercises: self
                .exercises
                .into_iter()
                .map(StoredExercise::into_model)
                .collect(),
            general_faults: self
                .general_faults
                .into_iter()
                .map(StoredWord::into_fault)
                .collect(),
            outlines: self
                .outlines
                .into_iter()
                .map(StoredWord::into_word)
                .collect(),
        }
    }
}

impl StoredExercise {
    fn from_model(exercise: &Exercise) -> Self {
        Self {
            id: Text(exercise.id.clone()),
            name: exercise.name.clone(),
            short: exercise.short.clone(),
            family: exercise.family.clone(),
            pace: exercise.pace.map(StoredPace::from_model),
            sided: exercise.sided,
            series: exercise.series,
            every: exercise.every,
            variants: exercise
                .variants
                .iter()
                .map(StoredWord::from_word)
                .collect(),
            faults: exercise.faults.iter().map(StoredWord::from_fault).collect(),
        }
    }

    fn into_model(self) -> Exercise {
        Exercise {
            id: self.id.0,
            name: self.name,
            short: self.short,
            family: self.family,
            pace: self.pace.map(StoredPace::into_model),
            sided: self.sided,
            series: self.series,
            every: self.every,
            variants: self
                .variants
                .into_iter()
                .map(StoredWord::into_word)
                .collect(),
            faults: self
                .faults
                .into_iter()
                .map(StoredWord::into_fault)
                .collect(),
        }
    }
}

impl StoredWord {
    fn from_word(word: &Word) -> Self {
        Self {
            id: Text(word.id.clone()),
            name: word.name.clone(),
        }
    }

    fn from_fault(fault: &Fault) -> Self {
        Self {
            id: Text(fault.id.clone()),
            name: fault.name.clone(),
        }
    }

    fn into_word(self) -> Word {
        Word {
            id: self.id.0,
            name: self.name,
        }
    }

    fn into_fault(self) -> Fault {
        Fault {
            id: self.id.0,
            name: self.name,
        }
    }
}

impl StoredPace {
    pub(super) const fn from_model(pace: Pace) -> Self {
        match pace {
            Pace::Walk => Self::Walk,
            Pace::Trot => Self::Trot,
            Pace::Canter => Self::Canter,
            Pace::Passage => Self::Passage,
            Pace::Piaffe => Self::Piaffe,
            Pace::Halt => Self::Halt,
            Pace::ReinBack => Self::ReinBack,
        }
    }

    pub(super) const fn into_model(self) -> Pace {
        match self {
            Self::Walk => Pace::Walk,
            Self::Trot => Pace::Trot,
            Self::Canter => Pace::Canter,
            Self::Passage => Pace::Passage,
            Self::Piaffe => Pace::Piaffe,
            Self::Halt => Pace::Halt,
            Self::ReinBack => Pace::ReinBack,
        }
    }
}
