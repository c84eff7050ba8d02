//! The yard's words being changed: exercises with their short forms and faults, faults of any
//! exercise, outlines. What is drawn of it stands in [`panel`].

pub mod panel;

use std::collections::BTreeSet;

use reinback_yard::{Exercise, Fault, Word, WordId, WordProblem, Words};

/// Words while they are changed. What is new has no id yet: it is made from the name it has when
/// it is kept, and stays as it is from then on.
#[derive(Clone, Debug, PartialEq)]
pub struct WordsDraft {
    exercises: Vec<ExerciseDraft>,
    general_faults: Vec<WordDraft>,
    outlines: Vec<WordDraft>,
    /// As they were when the change began.
    before: Words,
    /// What is shown beside the list.
    shown: Shown,
    /// Looked for in the list.
    search: String,
}

/// One list of the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shown {
    Exercise(usize),
    GeneralFaults,
    Outlines,
}

#[derive(Clone, Debug, Default, PartialEq)]
struct WordDraft {
    id: Option<WordId>,
    name: String,
}

#[derive(Clone, Debug, PartialEq)]
struct ExerciseDraft {
    /// Everything but its lists, and its name and short form as typed.
    exercise: Exercise,
    /// Whether its id is only a stand-in.
    new: bool,
    variants: Vec<WordDraft>,
    faults: Vec<WordDraft>,
}

impl WordsDraft {
    /// The words as they are.
    #[must_use]
    pub fn new(words: &Words) -> Self {
        let word = |id: &WordId, name: &str| WordDraft {
            id: Some(id.clone()),
            name: name.to_owned(),
        };
        let exercise = |own: &Exercise| ExerciseDraft {
            variants: own.variants.iter().map(|w| word(&w.id, &w.name)).collect(),
            faults: own.faults.iter().map(|w| word(&w.id, &w.name)).collect(),
            exercise: own.clone(),
            new: false,
        };
        let general = words.general_faults.iter();
        Self {
            exercises: words.exercises.iter().map(exercise).collect(),
            general_faults: general.map(|w| word(&w.id, &w.name)).collect(),
            outlines: words
                .outlines
                .iter()
                .map(|w| word(&w.id, &w.name))
                .collect(),
            before: words.clone(),
            shown: Shown::Exercise(0),
            search: String::new(),
        }
    }

    /// The words as they would be kept. Words without a name are left out; names lose the blanks
    /// around them.
    #[must_use]
    pub fn words(&self) -> Words {
        let mut taken: BTreeSet<WordId> =
            self.before.exercises.iter().map(|e| e.id.clone()).collect();
        let exercises = self.exercises.iter().map(|draft| {
            let id = if draft.new {
                new_id(&draft.exercise.name, &mut taken)
            } else {
                draft.exercise.id.clone()
            };
            let faults = named(&draft.faults).into_iter();
            Exercise {
                id,
                name: draft.exercise.name.trim().to_owned(),
                short: draft.exercise.short.trim().to_lowercase(),
                family: draft.exercise.family.trim().to_owned(),
                every: draft.exercise.every.filter(|_| draft.exercise.series),
                variants: named(&draft.variants),
                faults: faults.map(fault).collect(),
                ..draft.exercise.clone()
            }
        });
        Words {
            exercises: exercises.collect(),
            general_faults: named(&self.general_faults).into_iter().map(fault).collect(),
            outlines: named(&self.outlines),
        }
    }

    /// Whether these are the words that the change began from.
    #[must_use]
    pub fn began_from(&self, words: &Words) -> bool {
        self.before == *words
    }

    /// Whether anything is other than it was.
    #[must_use]
    pub fn is_changed(&self) -> bool {
        self.words() != self.before
    }

    /// What keeps the words from being kept, and what is only to be thought of.
    #[must_use]
    pub fn problems(&self) -> (Vec<WordProblem>, Vec<WordProblem>) {
        let all = self.words().validate();
        let bars = |problem: &WordProblem| {
            !matches!(
                problem,
                WordProblem::ShortBeginsAnother { .. } | WordProblem::FaultIsGeneral { .. }
            )
        };
        all.into_iter().partition(bars)
    }

    /// Adds an exercise and shows it.
    fn add_exercise(&mut self) {
        self.exercises.push(ExerciseDraft {
            exercise: Exercise {
                id: WordId::for_name("", &BTreeSet::new()),
                name: String::new(),
                short: String::new(),
                family: String::new(),
                pace: None,
                sided: true,
                series: false,
                every: None,
                variants: Vec::new(),
                faults: Vec::new(),
            },
            new: true,
            variants: Vec::new(),
            faults: Vec::new(),
        });
        self.shown = Shown::Exercise(self.exercises.len() - 1);
        self.search.clear();
    }

    fn remove_exercise(&mut self, place: usize) {
        if place < self.exercises.len() {
            self.exercises.remove(place);
        }
        self.shown = Shown::Exercise(place.min(self.exercises.len().saturating_sub(1)));
    }
}

fn fault(word: Word) -> Fault {
    Fault {
        id: word.id,
        name: word.name,
    }
}

/// Words with their ids; those without a name are left out.
fn named(drafts: &[WordDraft]) -> Vec<Word> {
    let mut taken: BTreeSet<WordId> = drafts.iter().filter_map(|d| d.id.clone()).collect();
    let filled = drafts.iter().filter(|draft| !draft.name.trim().is_empty());
    filled
        .map(|draft| Word {
            id: draft
                .id
                .clone()
                .unwrap_or_else(|| new_id(&draft.name, &mut taken)),
            name: draft.name.trim().to_owned(),
        })
        .collect()
}

fn new_id(name: &str, taken: &mut BTreeSet<WordId>) -> WordId {
    let id = WordId::for_name(name, taken);
    taken.insert(id.clone());
    id
}

#[cfg(test)]
mod tests;
