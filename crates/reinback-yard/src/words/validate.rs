//! What is wrong with a vocabulary that somebody edited.

use std::collections::{BTreeMap, BTreeSet};

use super::{WordId, Words};

/// One thing wrong with the words of a yard. Displays as a sentence for a rider.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WordProblem {
    /// Two words of one kind have the same id; only the first is found.
    #[error("The word “{id}” is there twice {place}. Rename one of the two.")]
    DuplicateId {
        /// The id.
        id: WordId,
        /// Among which words, as in "among the exercises".
        place: String,
    },
    /// An exercise has a fault that every exercise has anyway.
    #[error(
        "“{fault}” is a fault of “{exercise}” and a general fault as well. Remove one of the two."
    )]
    FaultIsGeneral {
        /// The fault.
        fault: WordId,
        /// The exercise.
        exercise: WordId,
    },
    /// A word without a name.
    #[error("The word “{id}” {place} has no name. Give it one.")]
    NoName {
        /// The id.
        id: WordId,
        /// Among which words.
        place: String,
    },
    /// A short form that cannot be typed.
    #[error("The short form “{short}” of “{exercise}” must have one to three letters a to z.")]
    BadShort {
        /// The exercise.
        exercise: WordId,
        /// Its short form.
        short: String,
    },
    /// A series that asks for something every 0 strides.
    #[error("“{exercise}” asks for a change every 0 strides. Say 1 or more, or leave it out.")]
    EveryZero {
        /// The exercise.
        exercise: WordId,
    },
    /// Two exercises with one short form.
    #[error("“{first}” and “{second}” have the same short form “{short}”. Change one of the two.")]
    DuplicateShort {
        /// The short form.
        short: String,
        /// The exercise it starts.
        first: WordId,
        /// The exercise it does not reach.
        second: WordId,
    },
    /// A short form that is the beginning of another needs Enter or a pause behind it.
    #[error(
        "The short form “{short}” is the beginning of “{longer}”: press Enter after it, or change one of the two."
    )]
    ShortBeginsAnother {
        /// The shorter one.
        short: String,
        /// The one it begins.
        longer: String,
    },
}

impl WordProblem {
    /// The word concerned, where it is one.
    #[must_use]
    pub fn id(&self) -> Option<&WordId> {
        match self {
            Self::DuplicateId { id, .. } | Self::NoName { id, .. } => Some(id),
            Self::FaultIsGeneral { exercise, .. }
            | Self::BadShort { exercise, .. }
            | Self::EveryZero { exercise } => Some(exercise),
            Self::DuplicateShort { second, .. } => Some(second),
            Self::ShortBeginsAnother { .. } => None,
        }
    }
}

impl Words {
    /// Everything that would make a word hard or impossible to use. The default words have none.
    #[must_use]
    pub fn validate(&self) -> Vec<WordProblem> {
        let mut problems = Vec::new();
        let exercises = self.exercises.iter().map(|e| (&e.id, e.name.as_str()));
        check_names(exercises, "among the exercises", &mut problems);
        let outlines = self.outlines.iter().map(|o| (&o.id, o.name.as_str()));
        check_names(outlines, "among the outlines", &mut problems);
        let general = self.general_faults.iter().map(|f| (&f.id, f.name.as_str()));
        check_names(general, "among the general faults", &mut problems);
        for exercise in &self.exercises {
            let of = |what: &str| format!("among the {what} of “{}”", exercise.id);
            let faults = exercise.faults.iter().map(|f| (&f.id, f.name.as_str()));
            check_names(faults, &of("faults"), &mut problems);
            let variants = exercise.variants.iter().map(|v| (&v.id, v.name.as_str()));
            check_names(variants, &of("variants"), &mut problems);
            let general = |id: &&WordId| self.general_faults.iter().any(|f| f.id == **id);
            problems.extend(
                exercise
                    .faults
                    .iter()
                    .map(|f| &f.id)
                    .filter(general)
                    .map(|fault| WordProblem::FaultIsGeneral {
                        fault: fault.clone(),
                        exercise: exercise.id.clone(),
                    }),
            );
        }
        let every_zero = self.exercises.iter().filter(|e| e.every == Some(0));
        problems.extend(every_zero.map(|own| WordProblem::EveryZero {
            exercise: own.id.clone(),
        }));
        self.check_shorts(&mut problems);
        problems
    }

    fn check_shorts(&self, problems: &mut Vec<WordProblem>) {
        let mut seen: BTreeMap<&str, &WordId> = BTreeMap::new();
        for exercise in &self.exercises {
            let short = exercise.short.as_str();
            let fits = (1..=3).contains(&short.len());
            if !fits || !short.bytes().all(|b| b.is_ascii_lowercase()) {
                let (exercise, short) = (exercise.id.clone(), short.to_owned());
                problems.push(WordProblem::BadShort { exercise, short });
            } else if let Some(first) = seen.get(short) {
                problems.push(WordProblem::DuplicateShort {
                    short: short.to_owned(),
                    first: (*first).clone(),
                    second: exercise.id.clone(),
                });
            } else {
                seen.insert(short, &exercise.id);
            }
        }
        // In order, everything a short form begins stands right behind it.
        let shorts: Vec<&str> = seen.into_keys().collect();
        for (index, short) in shorts.iter().enumerate() {
            let behind = shorts
                .iter()
                .skip(index + 1)
                .take_while(|longer| longer.starts_with(short));
            problems.extend(behind.map(|longer| WordProblem::ShortBeginsAnother {
                short: (*short).to_owned(),
                longer: (*longer).to_owned(),
            }));
        }
    }
}

fn check_names<'a>(
    words: impl Iterator<Item = (&'a WordId, &'a str)>,
    place: &str,
    problems: &mut Vec<WordProblem>,
) {
    let mut seen = BTreeSet::new();
    for (id, name) in words {
        if !seen.insert(id) {
            problems.push(WordProblem::DuplicateId {
                id: id.clone(),
                place: place.to_owned(),
            });
        }
        if name.trim().is_empty() {
            problems.push(WordProblem::NoName {
                id: id.clone(),
                place: place.to_owned(),
            });
        }
    }
}
