//! The yard's words as people write them in a hurry, ready to be looked up.

use std::collections::{BTreeMap, HashMap};

use reinback_analysis::Rein;
use unicode_normalization::UnicodeNormalization as _;

use crate::words::{WordId, Words};

/// What a piece of a note says.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Meaning {
    /// An exercise.
    Exercise(WordId),
    /// A variant of an exercise.
    Variant(WordId),
    /// A fault.
    Fault(WordId),
    /// On which rein.
    Rein(Rein),
    /// Well ridden.
    Praise,
    /// Ridden again.
    Repeated,
}

/// One entry of the vocabulary.
#[derive(Clone, Debug)]
pub(super) struct Entry {
    pub(super) meaning: Meaning,
    /// Exercises it belongs to; empty for words of any exercise.
    pub(super) exercises: Vec<WordId>,
    /// Its words as they are looked up, one space between.
    pub(super) key: String,
    /// A short form: meant only where it begins a note.
    pub(super) short: bool,
}

/// Everything a note can say in the words of a yard.
#[derive(Clone, Debug)]
pub struct Vocabulary {
    pub(super) entries: Vec<Entry>,
    /// Entries by their key, by their key without plurals, and by their key in one word.
    by_key: HashMap<String, Vec<usize>>,
    /// Entries by the number of letters of their key, for looking up words with typing errors.
    by_length: BTreeMap<usize, Vec<usize>>,
    /// The most words of a key.
    pub(super) longest: usize,
}

/// What trainers say for an exercise beside its name. Common usage, no source, but "haunches-in
/// (travers)" and "haunches-out (renvers)": USDF glossary of judging terms, from memory.
const ALSO: [(&str, &str); 12] = [
    ("haunches in", "travers"),
    ("haunches out", "renvers"),
    ("sitting on the haunches", "turn-on-the-haunches"),
    ("one tempis", "changes-every-stride"),
    ("ones", "changes-every-stride"),
    ("two tempis", "changes-every-2nd-stride"),
    ("twos", "changes-every-2nd-stride"),
    ("three tempis", "changes-every-3rd-stride"),
    ("threes", "changes-every-3rd-stride"),
    ("four tempis", "changes-every-4th-stride"),
    ("fours", "changes-every-4th-stride"),
    ("back up", "rein-back"),
];

const PLURAL_ONLY: [&str; 4] = ["ones", "twos", "threes", "fours"];

/// Words of praise, and those for a repetition. Common usage, no source.
const PRAISE: [&str; 12] = [
    "well ridden",
    "good",
    "very good",
    "super",
    "lovely",
    "nice",
    "well done",
    "excellent",
    "beautiful",
    "great",
    "bravo",
    "much better",
];
const REPEATED: [&str; 5] = ["again", "ridden again", "repeat", "repeated", "once more"];

const REINS: [(&str, Rein); 8] = [
    ("left", Rein::Left),
    ("left rein", Rein::Left),
    ("on the left", Rein::Left),
    ("on the left rein", Rein::Left),
    ("right", Rein::Right),
    ("right rein", Rein::Right),
    ("on the right", Rein::Right),
    ("on the right rein", Rein::Right),
];

impl Vocabulary {
    /// The vocabulary of a yard.
    #[must_use]
    pub fn new(words: &Words) -> Self {
        let mut entries = Gathered::default();
        for exercise in &words.exercises {
            let meaning = Meaning::Exercise(exercise.id.clone());
            entries.add(meaning.clone(), None, &exercise.name, false);
            entries.add(meaning.clone(), None, &exercise.short, true);
            for (name, _) in ALSO.iter().filter(|(_, id)| *id == exercise.id.as_str()) {
                entries.add(meaning.clone(), None, name, false);
            }
            for variant in &exercise.variants {
                let meaning = Meaning::Variant(variant.id.clone());
                entries.add(meaning.clone(), Some(&exercise.id), &variant.name, false);
                if let Some(pace) = variant.name.strip_prefix("in ") {
                    entries.add(meaning, Some(&exercise.id), pace, false);
                }
            }
            for fault in &exercise.faults {
                let meaning = Meaning::Fault(fault.id.clone());
                entries.add(meaning, Some(&exercise.id), &fault.name, false);
            }
        }
        for fault in &words.general_faults {
            entries.add(Meaning::Fault(fault.id.clone()), None, &fault.name, false);
        }
        for (name, rein) in REINS {
            entries.add(Meaning::Rein(rein), None, name, false);
        }
        for name in PRAISE {
            entries.add(Meaning::Praise, None, name, false);
        }
        for name in REPEATED {
            entries.add(Meaning::Repeated, None, name, false);
        }
        Self::indexed(entries.entries)
    }

    fn indexed(entries: Vec<Entry>) -> Self {
        let mut by_key: HashMap<String, Vec<usize>> = HashMap::new();
        let mut by_length: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        let mut longest = 1;
        for (at, entry) in entries.iter().enumerate() {
            let mut forms = vec![entry.key.clone()];
            if !entry.short {
                forms.push(entry.key.replace(' ', ""));
                // "Two half-passes" are no changes.
                if !PLURAL_ONLY.contains(&entry.key.as_str()) {
                    forms.push(singular(&entry.key));
                }
                by_length
                    .entry(entry.key.chars().count())
                    .or_default()
                    .push(at);
            }
            forms.sort_unstable();
            forms.dedup();
            for form in forms {
                by_key.entry(form).or_default().push(at);
            }
            longest = longest.max(entry.key.split(' ').count());
        }
        Self {
            entries,
            by_key,
            by_length,
            longest,
        }
    }

    /// The entries whose key this is, exactly or but for plurals and spaces.
    pub(super) fn exact(&self, key: &str) -> Vec<&Entry> {
        let found = |key: &str| self.by_key.get(key).map(Vec::as_slice).unwrap_or_default();
        let plain = found(key);
        let entries = if plain.is_empty() {
            found(&singular(key))
        } else {
            plain
        };
        entries
            .iter()
            .filter_map(|at| self.entries.get(*at))
            .collect()
    }

    /// The entries within so many typing errors, the nearest first.
    pub(super) fn near(&self, key: &str) -> Vec<(usize, &Entry)> {
        let length = key.chars().count();
        let most = errors_allowed(length);
        if most == 0 {
            return Vec::new();
        }
        let alike = self
            .by_length
            .range(length.saturating_sub(most)..=length + most);
        let mut near: Vec<(usize, &Entry)> = alike
            .flat_map(|(_, entries)| entries)
            .filter_map(|at| self.entries.get(*at))
            .map(|entry| (strsim::osa_distance(key, &entry.key), entry))
            .filter(|(errors, _)| (1..=most).contains(errors))
            .collect();
        near.sort_by_key(|(errors, _)| *errors);
        near
    }
}

/// How many typing errors a word of so many letters may have: in a shorter one every error makes
/// another word. Our own choice.
fn errors_allowed(letters: usize) -> usize {
    match letters {
        0..=4 => 0,
        5..=8 => 1,
        _ => 2,
    }
}

#[derive(Default)]
struct Gathered {
    entries: Vec<Entry>,
    by_meaning: HashMap<(Meaning, String), usize>,
}

impl Gathered {
    /// Adds a word; one that several exercises have is one entry.
    fn add(&mut self, meaning: Meaning, exercise: Option<&WordId>, name: &str, short: bool) {
        let key = spelled(name);
        if key.is_empty() {
            return;
        }
        let known = self.by_meaning.get(&(meaning.clone(), key.clone()));
        if let Some(entry) = known.and_then(|at| self.entries.get_mut(*at)) {
            match exercise {
                Some(exercise) if !entry.exercises.is_empty() => {
                    entry.exercises.push(exercise.clone());
                }
                // Of every exercise already, or from now on.
                _ => entry.exercises.clear(),
            }
            return;
        }
        self.by_meaning
            .insert((meaning.clone(), key.clone()), self.entries.len());
        self.entries.push(Entry {
            meaning,
            exercises: exercise.into_iter().cloned().collect(),
            key,
            short,
        });
    }
}

/// A word as it is looked up: small letters without accents.
pub(super) fn folded(word: &str) -> String {
    let mut folded = String::with_capacity(word.len());
    for sign in word
        .nfkd()
        .filter(|sign| !unicode_normalization::char::is_combining_mark(*sign))
    {
        match sign {
            'ß' => folded.push_str("ss"),
            'ø' | 'Ø' => folded.push('o'),
            'æ' | 'Æ' => folded.push_str("ae"),
            'ł' | 'Ł' => folded.push('l'),
            other => folded.extend(other.to_lowercase()),
        }
    }
    folded
}

/// A whole name as it is looked up: its words with one space between.
pub(super) fn spelled(name: &str) -> String {
    let words = name.split(|sign: char| !sign.is_alphanumeric());
    let words: Vec<String> = words.filter(|word| !word.is_empty()).map(folded).collect();
    words.join(" ")
}

/// Without the endings of plurals, word by word. Made alike on both sides, so that it need not be
/// right English ("travers").
fn singular(key: &str) -> String {
    let words: Vec<&str> = key
        .split(' ')
        .map(|word| {
            let es = word.strip_suffix("es").filter(|stem| {
                ["s", "x", "z", "ch", "sh"]
                    .iter()
                    .any(|end| stem.ends_with(end))
            });
            let s = word
                .strip_suffix('s')
                .filter(|stem| stem.len() > 1 && !stem.ends_with('s'));
            es.or(s).unwrap_or(word)
        })
        .collect();
    words.join(" ")
}
