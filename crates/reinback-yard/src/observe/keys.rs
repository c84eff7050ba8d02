//! The words behind the keys of the analysis.

use std::collections::{BTreeSet, HashMap};

use reinback_analysis::Key;

use crate::model::{MarkKind, Ride, Yard};
use crate::words::{WordId, Words};

/// The words behind the keys of the analysis.
///
/// It only grows: a word keeps its key. Which key that is depends on what was seen before it, so
/// nothing that is shown may depend on the order of keys; [`Keys::seed`] and the words themselves
/// are the same whatever came first.
#[derive(Clone, Debug, Default)]
pub struct Keys {
    /// A word's key is its index.
    words: Vec<WordId>,
    keys: HashMap<WordId, Key>,
}

impl PartialEq for Keys {
    fn eq(&self, other: &Self) -> bool {
        self.words == other.words
    }
}

impl Eq for Keys {}

impl Keys {
    /// The word behind a key.
    #[must_use]
    pub fn word(&self, key: Key) -> Option<&WordId> {
        self.words.get(key.0 as usize)
    }

    /// The key of a word; `None` for one that has not been seen.
    #[must_use]
    pub fn key(&self, word: &WordId) -> Option<Key> {
        self.keys.get(word).copied()
    }

    /// The key of a word, which is a new one where it was not met before.
    pub fn learned(&mut self, word: &WordId) -> Key {
        if let Some(key) = self.keys.get(word) {
            return *key;
        }
        let key = Key(u32::try_from(self.words.len()).unwrap_or(u32::MAX));
        self.words.push(word.clone());
        self.keys.insert(word.clone(), key);
        key
    }

    /// A number that belongs to the word behind a key, for the shuffles of its figures.
    ///
    /// FNV-1a (Fowler, Noll and Vo; constants recalled): two words of the same number would only
    /// share their shuffles.
    #[must_use]
    pub fn seed(&self, key: Key) -> u64 {
        let word = self.word(key).map_or("", WordId::as_str);
        word.bytes().fold(0xCBF2_9CE4_8422_2325, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01B3)
        })
    }

    /// All words of a yard and of its rides, sorted.
    pub(super) fn of(yard: &Yard) -> Self {
        let mut words: BTreeSet<&WordId> = vocabulary(&yard.words).collect();
        words.extend(yard.rides.values().flat_map(|ride| of_ride(ride)));
        let mut keys = Self::default();
        keys.learn(words);
        keys
    }

    /// Gives keys to the words that have none.
    pub(super) fn learn<'a>(&mut self, words: impl IntoIterator<Item = &'a WordId>) {
        for word in words {
            self.learned(word);
        }
    }
}

/// The exercises, variants and faults of a vocabulary.
pub(super) fn vocabulary(words: &Words) -> impl Iterator<Item = &WordId> {
    let of_exercises = words.exercises.iter().flat_map(|exercise| {
        let faults = exercise.faults.iter().map(|fault| &fault.id);
        faults
            .chain(exercise.variants.iter().map(|word| &word.id))
            .chain([&exercise.id])
    });
    of_exercises.chain(words.general_faults.iter().map(|fault| &fault.id))
}

/// The exercises, variants and faults of a ride.
pub(super) fn of_ride(ride: &Ride) -> impl Iterator<Item = &WordId> {
    let bouts = ride
        .bouts
        .iter()
        .flat_map(|bout| [Some(&bout.exercise), bout.variant.as_ref()]);
    let marks = ride.marks.iter().map(|mark| match &mark.kind {
        MarkKind::Fault(fault) => Some(fault),
        _ => None,
    });
    bouts.chain(marks).flatten()
}
