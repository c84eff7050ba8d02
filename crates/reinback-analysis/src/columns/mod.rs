//! All rides in columns, exercise by exercise and horse by horse, so that a
//! question reads only what it is about.
//!
//! A ride is lowered to its parts once. Every figure of every line is a
//! function of such parts, the same one whether they come from [`Columns`] or
//! from a slice of rides: [`exercise_lines`](crate::exercise_lines) and its like
//! put their rides into blocks first. So a line of columns that were changed
//! ride by ride is, to the last bit, the line of columns made anew.
//!
//! What a line shows is found in two steps. A [`Draft`] holds what depends on
//! one exercise alone: sums, shuffles, the fitted trend; it is worth keeping
//! until the exercise changes ([`Columns::version`]). [`finish`] then does what
//! needs all lines shown: pulling likenesses together and judging verdicts side
//! by side. It is cheap.

mod block;
mod draft;
mod part;

use std::collections::BTreeMap;

use crate::observation::{Key, Ride};
use crate::rate::Tally;
use crate::special::count;
use crate::time::Day;

pub(crate) use block::{Block, Rows, Which};
pub use draft::{ComparedDraft, ComparedLine, Draft, Sheet, finish, finish_compared};
pub(crate) use part::Side;
use part::{Part, parts};

/// The rides of a slice in blocks, exercise by exercise.
pub(crate) fn by_exercise(rides: &[Ride]) -> BTreeMap<Key, Block> {
    let mut blocks: BTreeMap<Key, Block> = BTreeMap::new();
    for ride in rides {
        for (exercise, part) in parts(ride) {
            let block = blocks.entry(exercise).or_default();
            block.insert(ride.day, ride.id, &part);
        }
    }
    blocks
}

/// Which rides a question is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Asked {
    /// The caller's number of the horse; `None` for all horses, each compared
    /// with itself.
    pub horse: Option<u64>,
    /// The first and the last day, both among them.
    pub days: (Day, Day),
}

/// A ride ready to be put into columns.
#[derive(Debug, Clone, PartialEq)]
pub struct Lowered {
    head: Head,
    parts: Vec<(Key, Part)>,
}

impl Lowered {
    /// Counts a ride. `waiting` are faults of bouts that are not reviewed yet.
    #[must_use]
    pub fn new(horse: u64, ride: &Ride, waiting: u32) -> Self {
        Self {
            head: Head {
                horse,
                day: ride.day,
                id: ride.id,
                unreviewed: ride.unreviewed,
                waiting,
                reviewed: !ride.attempts.is_empty(),
                loose: ride.loose_faults.clone(),
            },
            parts: parts(ride),
        }
    }
}

/// What is known of a ride apart from its exercises.
#[derive(Debug, Clone, PartialEq)]
struct Head {
    horse: u64,
    day: Day,
    id: u64,
    unreviewed: u32,
    waiting: u32,
    /// Whether it has an attempt.
    reviewed: bool,
    loose: Vec<(Key, u32)>,
}

/// What is in no rate, and how many rides there were.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Outside {
    /// Rides, with or without attempts.
    pub rides: usize,
    /// Of those, rides with an attempt.
    pub reviewed: usize,
    /// Horses they are of.
    pub horses: usize,
    /// Bouts that nobody has set to reviewed.
    pub unreviewed: u32,
    /// Faults of those bouts.
    pub waiting: u32,
    /// Faults noted without a bout, most frequent first, ties by key.
    pub loose_faults: Vec<(Key, u32)>,
    /// The newest ride of these horses, whatever its day: its day and its number.
    pub newest: Option<(Day, u64)>,
}

/// All rides, counted.
///
/// ```
/// use reinback_analysis::columns::{Asked, Columns, Lowered, finish};
/// use reinback_analysis::{Attempt, Day, Key, Ride, Span, exercise_lines};
/// let attempt = |faulty: bool| Attempt {
///     exercise: Key(3), variant: None, rein: None, span: Span::default(),
///     faults: if faulty { vec![Key(9)] } else { vec![] }, repeated: false,
/// };
/// let ride = |id: u64, faulty: usize| Ride {
///     id, day: Day(20_000), attempts: (0..8).map(|n| attempt(n < faulty)).collect(),
///     ..Ride::default()
/// };
/// let mut columns = Columns::default();
/// columns.put(&Lowered::new(1, &ride(5, 2), 0));
/// columns.put(&Lowered::new(1, &ride(6, 7), 0));
/// columns.put(&Lowered::new(1, &ride(6, 3), 0)); // marked anew
/// let asked = Asked { horse: Some(1), days: (Day(20_000), Day(20_001)) };
/// let draft = columns.draft(&asked, Key(3), 7).unwrap();
/// let sheet = &finish(&[(Key(3), &draft)])[0];
/// assert_eq!(sheet.figures.all, exercise_lines(&[ride(5, 2), ride(6, 3)])[0].all);
/// assert_eq!(sheet.figures.all.rate.tally.to_string(), "5 of 16");
/// ```
#[derive(Debug, Clone, Default)]
pub struct Columns {
    /// Exercise by exercise, horse by horse. No block is empty.
    exercises: BTreeMap<Key, BTreeMap<u64, Block>>,
    /// Grows with every change of an exercise.
    versions: BTreeMap<Key, u64>,
    /// Horse by horse, sorted by day and then by number. No list is empty.
    heads: BTreeMap<u64, Vec<Head>>,
    /// Where the head of a ride is: its horse and its day.
    places: BTreeMap<u64, (u64, Day)>,
    /// Which exercises a ride is in.
    ridden: BTreeMap<u64, Vec<Key>>,
    changes: u64,
}

impl Columns {
    /// Adds a ride, in the place of the one with its number.
    ///
    /// Exercises in which it changes nothing keep their version.
    pub fn put(&mut self, ride: &Lowered) {
        let Head { horse, day, id, .. } = ride.head;
        let moved = self.places.get(&id).is_some_and(|old| *old != (horse, day));
        if moved {
            self.remove(id);
        }
        let gone = self.ridden.remove(&id).unwrap_or_default();
        for exercise in gone {
            if ride.parts.iter().all(|(key, _)| *key != exercise) {
                self.take_out(exercise, (horse, day, id));
            }
        }
        for (exercise, part) in &ride.parts {
            let blocks = self.exercises.entry(*exercise).or_default();
            let block = blocks.entry(horse).or_default();
            if block.holds(day, id, part) {
                continue;
            }
            self.changes += 1;
            block.remove(day, id);
            block.insert(day, id, part);
            block.version = self.changes;
            self.versions.insert(*exercise, self.changes);
        }
        let keys = ride.parts.iter().map(|(key, _)| *key).collect();
        self.ridden.insert(id, keys);
        self.places.insert(id, (horse, day));
        let own = self.heads.entry(horse).or_default();
        match own.binary_search_by_key(&(day, id), |head| (head.day, head.id)) {
            Ok(place) => own[place] = ride.head.clone(),
            Err(place) => own.insert(place, ride.head.clone()),
        }
    }

    /// Takes a ride out; one that is not there changes nothing.
    pub fn remove(&mut self, id: u64) {
        let Some((horse, day)) = self.places.remove(&id) else {
            return;
        };
        if let Some(own) = self.heads.get_mut(&horse) {
            own.retain(|head| head.id != id);
            if own.is_empty() {
                self.heads.remove(&horse);
            }
        }
        for exercise in self.ridden.remove(&id).unwrap_or_default() {
            self.take_out(exercise, (horse, day, id));
        }
    }

    fn take_out(&mut self, exercise: Key, (horse, day, id): (u64, Day, u64)) {
        let Some(blocks) = self.exercises.get_mut(&exercise) else {
            return;
        };
        self.changes += 1;
        if let Some(block) = blocks.get_mut(&horse) {
            block.remove(day, id);
            block.version = self.changes;
            if block.is_empty() {
                blocks.remove(&horse);
            }
        }
        if blocks.is_empty() {
            self.exercises.remove(&exercise);
        }
        self.versions.insert(exercise, self.changes);
    }

    /// The exercises with attempts, sorted by key.
    pub fn exercises(&self) -> impl Iterator<Item = Key> + '_ {
        self.exercises.keys().copied()
    }

    /// What was counted of an exercise for this question has not changed while
    /// this number stays the same.
    #[must_use]
    pub fn version(&self, asked: &Asked, exercise: Key) -> u64 {
        let whole = self.versions.get(&exercise).copied().unwrap_or(0);
        let own = asked.horse.and_then(|horse| {
            let block = self.exercises.get(&exercise)?.get(&horse)?;
            Some(block.version)
        });
        // Without a block of the horse's own, any change could have taken it.
        own.unwrap_or(whole)
    }

    /// The horses with attempts in an exercise.
    pub fn horses(&self, exercise: Key) -> impl Iterator<Item = u64> + '_ {
        let blocks = self.exercises.get(&exercise).into_iter();
        blocks.flat_map(|blocks| blocks.keys().copied())
    }

    /// Faulty attempts of attempts, ride by ride, of one horse in these days.
    #[must_use]
    pub fn tallies(&self, horse: u64, days: (Day, Day), exercise: Key) -> &[Tally] {
        let block = self.exercises.get(&exercise);
        let block = block.and_then(|blocks| blocks.get(&horse));
        block.map_or(&[], |block| block.between(days).tallies(Which::All))
    }

    /// What one exercise comes to by itself; `None` without attempts in these
    /// rides. `seed` is that of its shuffles.
    #[must_use]
    pub fn draft(&self, asked: &Asked, exercise: Key, seed: u64) -> Option<Draft> {
        let rows = self.rows(asked, exercise);
        (!rows.is_empty()).then(|| Draft::of(exercise, &rows, seed))
    }

    /// One exercise in two periods; `None` where it was ridden in neither.
    #[must_use]
    pub fn compared(
        &self,
        (before, after): (&Asked, &Asked),
        exercise: Key,
        seed: u64,
    ) -> Option<ComparedDraft> {
        let blocks = self.exercises.get(&exercise)?;
        let horses: Vec<(Rows<'_>, Rows<'_>)> = blocks
            .iter()
            .filter(|(horse, _)| before.horse.is_none_or(|asked| asked == **horse))
            .map(|(_, block)| (block.between(before.days), block.between(after.days)))
            .filter(|(before, after)| !before.is_empty() || !after.is_empty())
            .collect();
        (!horses.is_empty()).then(|| ComparedDraft::of(&horses, seed))
    }

    /// The rides asked about, horse by horse.
    fn rows(&self, asked: &Asked, exercise: Key) -> Vec<Rows<'_>> {
        let Some(blocks) = self.exercises.get(&exercise) else {
            return Vec::new();
        };
        blocks
            .iter()
            .filter(|(horse, _)| asked.horse.is_none_or(|asked| asked == **horse))
            .map(|(_, block)| block.between(asked.days))
            .filter(|rows| !rows.is_empty())
            .collect()
    }

    /// How many rides there were, and what of them is in no rate.
    #[must_use]
    pub fn outside(&self, asked: &Asked) -> Outside {
        let mut found = Outside::default();
        let mut loose: BTreeMap<Key, u32> = BTreeMap::new();
        let (first, last) = asked.days;
        let own = self
            .heads
            .iter()
            .filter(|(horse, _)| asked.horse.is_none_or(|asked| asked == **horse));
        for (_, heads) in own {
            let newest = heads.last().map(|head| (head.day, head.id));
            found.newest = found.newest.max(newest);
            let start = heads.partition_point(|head| head.day < first);
            let end = heads.partition_point(|head| head.day <= last).max(start);
            let heads = &heads[start..end];
            found.rides += heads.len();
            found.horses += usize::from(!heads.is_empty());
            for head in heads {
                found.unreviewed = found.unreviewed.saturating_add(head.unreviewed);
                found.waiting = found.waiting.saturating_add(head.waiting);
                found.reviewed += usize::from(head.reviewed);
                for (fault, times) in &head.loose {
                    let sum = loose.entry(*fault).or_default();
                    *sum = sum.saturating_add(*times);
                }
            }
        }
        found.loose_faults = crate::exercise::most_frequent_first(loose.into_iter().collect());
        found
    }

    /// Rides counted.
    #[must_use]
    pub fn rides(&self) -> u32 {
        count(self.places.len())
    }
}
