//! What a note says in the words of a yard. What is not certain is never taken for granted: it is
//! given with what it might mean, for the rider to decide.

use std::collections::{BTreeMap, HashMap};
use std::ops::Range;

use super::vocabulary::{Entry, Meaning, Vocabulary, folded};
use crate::words::WordId;

/// Words of one note at most that are looked up: more than anybody writes at the rail. Our own
/// choice.
const MOST_WORDS: usize = 200;

/// A piece of a note that may mean something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Its place in the note's text, in bytes.
    pub range: Range<usize>,
    /// As it is looked up and decided on: small letters, one space between words.
    pub key: String,
    /// What it means.
    pub found: Found,
}

/// What a piece means.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Found {
    /// Exactly this.
    Certain(Meaning),
    /// One of these, perhaps, the likeliest first.
    Uncertain(Vec<Meaning>),
    /// No word of the yard.
    Unknown,
}

/// What the rider decided on pieces, by their key: a meaning, or `None` for plain words.
pub type Decisions = BTreeMap<String, Option<Meaning>>;

/// A piece that waits for a decision, over all notes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// As in [`Piece::key`].
    pub key: String,
    /// What it might mean; empty for a word the yard does not know.
    pub candidates: Vec<Meaning>,
    /// In how many notes it stands.
    pub notes: usize,
    /// The first of these.
    pub first: usize,
}

/// Small words, letters of the arena and numbers say nothing by themselves.
const PLAIN: [&str; 60] = [
    "a", "an", "the", "and", "or", "but", "at", "in", "on", "of", "to", "from", "by", "with",
    "for", "is", "was", "are", "were", "be", "it", "its", "he", "she", "his", "her", "him", "they",
    "i", "we", "you", "this", "that", "there", "here", "then", "than", "so", "as", "very", "a bit",
    "bit", "little", "still", "now", "before", "after", "first", "second", "third", "time", "more",
    "less", "too", "much", "some", "when", "while", "all", "one",
];

/// Behind one of these, up to the next comma or the like, a word of praise may be none. Without
/// their apostrophes. Our own choice.
const NOT: [&str; 22] = [
    "not", "no", "never", "isnt", "wasnt", "arent", "werent", "dont", "doesnt", "didnt", "cannot",
    "cant", "couldnt", "wont", "wouldnt", "hasnt", "havent", "hadnt", "without", "hardly", "less",
    "nothing",
];

/// Looks notes up; remembers what it has looked up.
pub struct Recogniser<'a> {
    vocabulary: &'a Vocabulary,
    near: HashMap<String, Vec<Meaning>>,
}

/// A word of a note.
struct Token {
    range: Range<usize>,
    key: String,
    /// A comma or the like stands before it: no name reaches over that.
    parted: bool,
}

impl<'a> Recogniser<'a> {
    /// Looks up in this vocabulary.
    #[must_use]
    pub fn new(vocabulary: &'a Vocabulary) -> Self {
        Self {
            vocabulary,
            near: HashMap::new(),
        }
    }

    /// The pieces of a note, in their order. Plain words are in none.
    pub fn pieces(&mut self, text: &str) -> Vec<Piece> {
        let tokens = tokens(text);
        let matches = self.matches(&tokens);
        let exercises: Vec<WordId> = matches
            .iter()
            .filter_map(|(_, entries)| match entries.as_slice() {
                [only] => match &only.meaning {
                    Meaning::Exercise(id) => Some(id.clone()),
                    _ => None,
                },
                _ => None,
            })
            .collect();
        let context = Context::of(&tokens, &matches);
        let mut pieces = Vec::new();
        let mut next = 0;
        for (part, entries) in matches {
            self.unmatched(
                tokens.get(next..part.start).unwrap_or_default(),
                &mut pieces,
            );
            next = part.end;
            if let Some(piece) = judged(&tokens, part, &entries, &exercises, &context) {
                pieces.push(piece);
            }
        }
        self.unmatched(tokens.get(next..).unwrap_or_default(), &mut pieces);
        pieces
    }

    /// The longest names that stand in the note word by word, from the left.
    fn matches(&self, tokens: &[Token]) -> Vec<(Range<usize>, Vec<&'a Entry>)> {
        let mut matches = Vec::new();
        let mut from = 0;
        while from < tokens.len() {
            let most = self.vocabulary.longest.min(tokens.len() - from);
            let found = (1..=most).rev().find_map(|count| {
                let part = from..from + count;
                let key = key_of(tokens.get(part.clone())?)?;
                let entries: Vec<&Entry> = self
                    .vocabulary
                    .exact(&key)
                    .into_iter()
                    .filter(|entry| !entry.short || from == 0 || !is_plain(&key))
                    .collect();
                (!entries.is_empty()).then_some((part, entries))
            });
            match found {
                Some((part, entries)) => {
                    from = part.end;
                    matches.push((part, entries));
                }
                None => from += 1,
            }
        }
        matches
    }

    /// Words between matches: with a typing error, or unknown.
    fn unmatched(&mut self, tokens: &[Token], pieces: &mut Vec<Piece>) {
        let mut from = 0;
        while from < tokens.len() {
            let most = self.vocabulary.longest.min(tokens.len() - from);
            let found = (1..=most).rev().find_map(|count| {
                let part = tokens.get(from..from + count)?;
                let key = key_of(part)?;
                if count == 1 && is_plain(&key) {
                    return None;
                }
                let candidates = self.near(&key);
                (!candidates.is_empty()).then_some((count, key, Found::Uncertain(candidates)))
            });
            let found = found.or_else(|| {
                let key = &tokens.get(from)?.key;
                (!is_plain(key)).then(|| (1, key.clone(), Found::Unknown))
            });
            let Some((count, key, found)) = found else {
                from += 1;
                continue;
            };
            if let Some(range) = tokens.get(from..from + count).and_then(range_of) {
                pieces.push(Piece { range, key, found });
            }
            from += count;
        }
    }

    fn near(&mut self, key: &str) -> Vec<Meaning> {
        if let Some(known) = self.near.get(key) {
            return known.clone();
        }
        let mut meanings: Vec<Meaning> = Vec::new();
        for (_, entry) in self.vocabulary.near(key) {
            if !meanings.contains(&entry.meaning) {
                meanings.push(entry.meaning.clone());
            }
        }
        meanings.truncate(5);
        self.near.insert(key.to_owned(), meanings.clone());
        meanings
    }
}

/// What stands around a matched part of a note.
struct Context {
    /// Parts that are exercises for certain.
    exercises: Vec<Range<usize>>,
    /// Words that deny what follows, and are in no name ("not straight").
    denying: Vec<usize>,
}

impl Context {
    fn of(tokens: &[Token], matches: &[(Range<usize>, Vec<&Entry>)]) -> Self {
        let exercise = |entries: &[&Entry]| matches!(entries, [only] if matches!(only.meaning, Meaning::Exercise(_)));
        let named = |at: &usize| matches.iter().any(|(part, _)| part.contains(at));
        let denies = |token: &Token| NOT.contains(&token.key.as_str());
        let numbered = tokens.iter().enumerate();
        Self {
            exercises: matches
                .iter()
                .filter(|(_, entries)| exercise(entries))
                .map(|(part, _)| part.clone())
                .collect(),
            denying: numbered
                .filter(|(at, token)| denies(token) && !named(at))
                .map(|(at, _)| at)
                .collect(),
        }
    }

    /// Whether something before a part, behind the last comma, denies it.
    fn denies(&self, tokens: &[Token], part: &Range<usize>) -> bool {
        let clause = (0..=part.start)
            .rev()
            .find(|at| tokens.get(*at).is_some_and(|token| token.parted))
            .unwrap_or(0);
        let denying = |at: &usize| (clause..part.start).contains(at);
        self.denying.iter().any(denying)
    }

    /// Whether "left" or "right" here can be nothing but the rein: directly beside an exercise, or
    /// beside one and alone between commas, as a table's cell is.
    fn is_rein(&self, tokens: &[Token], part: &Range<usize>) -> bool {
        let parted = |at: usize| tokens.get(at).is_none_or(|token| token.parted);
        let alone = parted(part.start) && parted(part.end);
        self.exercises.iter().any(|own| {
            (own.end == part.start && (alone || !parted(part.start)))
                || (own.start == part.end && (alone || !parted(part.end)))
        })
    }
}

/// What a matched part says. `None` for variants of nothing.
fn judged(
    tokens: &[Token],
    part: Range<usize>,
    entries: &[&Entry],
    exercises: &[WordId],
    context: &Context,
) -> Option<Piece> {
    let own = tokens.get(part.clone())?;
    let key = key_of(own)?;
    let range = range_of(own)?;
    let before = part.start.checked_sub(1).and_then(|at| tokens.get(at));
    let denied = before.is_some_and(|token| NOT.contains(&token.key.as_str()));
    let of_named = |entry: &&&Entry| {
        entry.exercises.is_empty() || entry.exercises.iter().any(|id| exercises.contains(id))
    };
    let variant = |entry: &Entry| matches!(entry.meaning, Meaning::Variant(_));
    // A variant is one only beside its exercise; "trot" alone is the exercise.
    let usable: Vec<&&Entry> = entries
        .iter()
        .filter(|entry| !variant(entry) || of_named(entry))
        .collect();
    // Beside another exercise "in trot" is how that is ridden.
    let variants: Vec<&&Entry> = usable
        .iter()
        .copied()
        .filter(|entry| variant(entry))
        .collect();
    let usable = if variants.is_empty() {
        usable
    } else {
        variants
    };
    if usable.is_empty() {
        return None;
    }
    let praise = usable.iter().all(|entry| entry.meaning == Meaning::Praise);
    let denied = denied || (praise && context.denies(tokens, &part));
    let side = own.len() == 1
        && usable
            .iter()
            .all(|entry| matches!(entry.meaning, Meaning::Rein(_)));
    let fitting: Vec<&Meaning> = unique(usable.iter().copied().filter(of_named));
    let all = unique(usable.iter().copied());
    let several_words = own.len() > 1;
    let short = usable.iter().all(|entry| entry.short);
    let found = match (fitting.as_slice(), all.as_slice()) {
        // "Late again" is a fault once more, "again" alone may be the exercise.
        (_, meanings) if key == "again" => Found::Uncertain(owned(meanings)),
        // A short form further on may be a word of its own ("re", "ta").
        (_, meanings) if short && part.start > 0 => Found::Uncertain(owned(meanings)),
        // "Left hind late", "better to the right": a side is not always the rein.
        (_, meanings) if side && !context.is_rein(tokens, &part) => {
            Found::Uncertain(owned(meanings))
        }
        // "not tense", "didn't feel good": what is denied is for the rider to judge.
        (_, meanings) if denied => Found::Uncertain(owned(meanings)),
        ([only], _) => Found::Certain((*only).clone()),
        // Several words in a row are a name; one word, such as "late", may be anything.
        ([], [only]) if several_words => Found::Certain((*only).clone()),
        ([], meanings) | (meanings, _) => Found::Uncertain(owned(meanings)),
    };
    Some(Piece { range, key, found })
}

fn unique<'a>(entries: impl Iterator<Item = &'a &'a Entry>) -> Vec<&'a Meaning> {
    let mut meanings: Vec<&Meaning> = entries.map(|entry| &entry.meaning).collect();
    meanings.sort_unstable();
    meanings.dedup();
    meanings
}

fn owned(meanings: &[&Meaning]) -> Vec<Meaning> {
    meanings.iter().map(|meaning| (*meaning).clone()).collect()
}

fn tokens(text: &str) -> Vec<Token> {
    let mut tokens: Vec<Token> = Vec::new();
    let mut parted = false;
    let mut start = None;
    let ends = text.char_indices().map(|(at, sign)| (at, Some(sign)));
    for (at, sign) in ends.chain([(text.len(), None)]) {
        // "isn't" is one word.
        let inner = |sign: char| sign.is_alphanumeric() || matches!(sign, '\'' | '’');
        if sign.is_some_and(inner) {
            start.get_or_insert(at);
            continue;
        }
        if let Some(from) = start.take() {
            let range: Range<usize> = from..at;
            let word = text.get(range.clone()).unwrap_or_default();
            let key = folded(&word.replace(['\'', '’'], ""));
            if !key.is_empty() {
                tokens.push(Token { range, key, parted });
                parted = false;
            }
        }
        parted |= sign.is_some_and(|sign| {
            matches!(sign, ',' | ';' | '.' | ':' | '/' | '(' | ')' | '!' | '?')
        });
        if tokens.len() == MOST_WORDS {
            break;
        }
    }
    tokens
}

/// The words of a part with one space between; `None` if it reaches over a comma.
fn key_of(part: &[Token]) -> Option<String> {
    let whole = part.iter().skip(1).all(|token| !token.parted);
    whole.then(|| {
        let words: Vec<&str> = part.iter().map(|token| token.key.as_str()).collect();
        words.join(" ")
    })
}

fn range_of(part: &[Token]) -> Option<Range<usize>> {
    Some(part.first()?.range.start..part.last()?.range.end)
}

/// Whether a word says nothing by itself.
fn is_plain(key: &str) -> bool {
    PLAIN.contains(&key)
        || NOT.contains(&key)
        || key.chars().count() == 1
        || key.starts_with(|sign: char| sign.is_ascii_digit())
}

/// What waits for a decision, over all notes: first what might mean something, then what is not
/// known, the more frequent first.
#[must_use]
pub fn questions(notes: &[Vec<Piece>]) -> Vec<Question> {
    let mut questions: BTreeMap<&str, Question> = BTreeMap::new();
    for (at, piece) in notes
        .iter()
        .enumerate()
        .flat_map(|(at, pieces)| pieces.iter().map(move |piece| (at, piece)))
    {
        let candidates = match &piece.found {
            Found::Certain(_) => continue,
            Found::Uncertain(candidates) => candidates.clone(),
            Found::Unknown => Vec::new(),
        };
        let question = questions.entry(&piece.key).or_insert_with(|| Question {
            key: piece.key.clone(),
            candidates: Vec::new(),
            notes: 0,
            first: at,
        });
        question.notes += 1;
        for candidate in candidates {
            if !question.candidates.contains(&candidate) {
                question.candidates.push(candidate);
            }
        }
    }
    let mut questions: Vec<Question> = questions.into_values().collect();
    questions.sort_by_key(|question| {
        (
            question.candidates.is_empty(),
            std::cmp::Reverse(question.notes),
            question.first,
        )
    });
    questions
}

/// What a note says, with the rider's decisions. A piece that waits for one says nothing.
#[must_use]
pub fn meanings(pieces: &[Piece], decisions: &Decisions) -> Vec<Meaning> {
    // The same words may be certain in one note and not in another: only the latter was asked.
    let meaning = |piece: &Piece| match &piece.found {
        Found::Certain(meaning) => Some(meaning.clone()),
        Found::Uncertain(_) | Found::Unknown => decisions.get(&piece.key).cloned().flatten(),
    };
    pieces.iter().filter_map(meaning).collect()
}

#[cfg(test)]
mod tests;
