//! One line per exercise: rates, rein by rein, variant by variant, ride by ride.

use std::collections::BTreeMap;

use crate::dispersion::{design_effect, likeness, pooled_rho, shrunken_rho};
use crate::observation::{Attempt, Key, Rein, Ride};
use crate::rate::{FaultRate, PerMinute, Tally};
use crate::special::count;
use crate::time::{Day, Span, covered_nanos};
use crate::trend::{TREND_SEED, Trend, trends};

/// Everything about one exercise that a line shows.
#[derive(Debug, Clone, PartialEq)]
pub struct ExerciseLine {
    /// The exercise.
    pub exercise: Key,
    /// All its attempts.
    pub all: Cell,
    /// Those on the left rein.
    pub left: Cell,
    /// Those on the right rein.
    pub right: Cell,
    /// Those without a rein.
    pub unsided: Cell,
    /// Variant by variant, sorted; attempts without one under `None`.
    pub variants: Vec<(Option<Key>, Cell)>,
    /// How often each fault was marked, most frequent first, ties by key.
    pub faults: Vec<(Key, u32)>,
    /// One point per ride that has attempts, by day.
    pub points: Vec<RidePoint>,
    /// How far attempts of one ride resemble each other, 0 to 1, pulled
    /// towards the horse's other exercises.
    pub rho: f64,
    /// Whether the rate moves from ride to ride, judged together with the
    /// other lines.
    pub trend: Trend,
}

/// The attempts of one exercise that share a rein or a variant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Faulty attempts of attempts.
    pub rate: FaultRate,
    /// Faults per minute ridden.
    pub per_minute: PerMinute,
    /// Faults marked; one attempt may carry several.
    pub faults: u32,
}

/// One ride in the course of an exercise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RidePoint {
    /// The caller's number of the ride.
    pub ride: u32,
    /// Its day.
    pub day: Day,
    /// Faulty attempts of attempts on that ride.
    pub tally: Tally,
}

/// The lines of all exercises ridden, sorted by key.
///
/// Only reviewed attempts count. Rates use the effective count
/// `attempts / dispersion`, with the likeness inside rides pulled towards the
/// other exercises in `rides`; give the rides of one horse. Time that two
/// attempts of a cell share counts once. No rides give no lines.
///
/// See the crate's front page for an example; another:
///
/// ```
/// use reinback_analysis::{Attempt, Day, Key, Rein, Ride, Span, exercise_lines};
/// let attempt = |rein, faults: &[u32]| Attempt {
///     exercise: Key(3), variant: None, rein: Some(rein), span: Span::default(),
///     faults: faults.iter().copied().map(Key).collect(), repeated: false,
/// };
/// let ride = Ride {
///     id: 1, day: Day(0), unreviewed: 2, loose_faults: vec![],
///     attempts: vec![attempt(Rein::Left, &[8, 8, 9]), attempt(Rein::Right, &[])],
/// };
/// let line = &exercise_lines(&[ride])[0];
/// assert_eq!(line.left.rate.tally.to_string(), "1 of 1");
/// assert_eq!(line.right.rate.tally.to_string(), "0 of 1");
/// assert_eq!(line.faults, vec![(Key(8), 2), (Key(9), 1)]);
/// ```
#[must_use]
pub fn exercise_lines(rides: &[Ride]) -> Vec<ExerciseLine> {
    let mut drafts: BTreeMap<Key, Draft> = BTreeMap::new();
    for ride in rides {
        for (exercise, attempts) in by_exercise(ride) {
            drafts.entry(exercise).or_default().add(ride, &attempts);
        }
    }
    for draft in drafts.values_mut() {
        draft.sort();
    }
    let measured: Vec<_> = drafts
        .values()
        .map(|draft| likeness(&[&draft.all.rides]))
        .collect();
    let pooled = pooled_rho(&measured);
    let courses: Vec<&[RidePoint]> = drafts
        .values()
        .map(|draft| draft.points.as_slice())
        .collect();
    let trends = trends(&courses, TREND_SEED);
    drafts
        .iter()
        .zip(measured)
        .zip(trends)
        .map(|(((exercise, draft), measured), trend)| {
            draft.finish(*exercise, shrunken_rho(measured, pooled), trend)
        })
        .collect()
}

/// The attempts of a ride, exercise by exercise, in the order ridden.
pub(crate) fn by_exercise(ride: &Ride) -> BTreeMap<Key, Vec<&Attempt>> {
    let mut sorted: BTreeMap<Key, Vec<&Attempt>> = BTreeMap::new();
    for attempt in &ride.attempts {
        sorted.entry(attempt.exercise).or_default().push(attempt);
    }
    sorted
}

/// Faulty attempts of these attempts.
pub(crate) fn tally<'a>(attempts: impl IntoIterator<Item = &'a Attempt>) -> Tally {
    attempts
        .into_iter()
        .map(|attempt| Tally::of(attempt.is_faulty()))
        .sum()
}

/// A cell while rides are still being added.
#[derive(Debug, Default)]
struct CellDraft {
    rides: Vec<Tally>,
    faults: u32,
    covered: i64,
}

impl CellDraft {
    fn add(&mut self, attempts: &[&Attempt]) {
        if attempts.is_empty() {
            return;
        }
        self.rides.push(tally(attempts.iter().copied()));
        let faults: usize = attempts.iter().map(|attempt| attempt.faults.len()).sum();
        self.faults = self.faults.saturating_add(count(faults));
        let spans: Vec<Span> = attempts.iter().map(|attempt| attempt.span).collect();
        self.covered = self.covered.saturating_add(covered_nanos(&spans));
    }

    fn finish(&self, rho: f64) -> Cell {
        let total = self.rides.iter().copied().sum();
        Cell {
            rate: FaultRate::with_dispersion(total, design_effect(&self.rides, rho)),
            per_minute: PerMinute::new(self.faults, self.covered),
            faults: self.faults,
        }
    }
}

/// A line while rides are still being added.
#[derive(Debug, Default)]
struct Draft {
    all: CellDraft,
    left: CellDraft,
    right: CellDraft,
    unsided: CellDraft,
    variants: BTreeMap<Option<Key>, CellDraft>,
    faults: BTreeMap<Key, u32>,
    points: Vec<RidePoint>,
}

impl Draft {
    fn add(&mut self, ride: &Ride, attempts: &[&Attempt]) {
        self.all.add(attempts);
        for (cell, rein) in [
            (&mut self.left, Some(Rein::Left)),
            (&mut self.right, Some(Rein::Right)),
            (&mut self.unsided, None),
        ] {
            let on_rein: Vec<&Attempt> = attempts
                .iter()
                .copied()
                .filter(|attempt| attempt.rein == rein)
                .collect();
            cell.add(&on_rein);
        }
        let mut variants: BTreeMap<Option<Key>, Vec<&Attempt>> = BTreeMap::new();
        for attempt in attempts {
            variants.entry(attempt.variant).or_default().push(attempt);
            for fault in &attempt.faults {
                let times = self.faults.entry(*fault).or_default();
                *times = times.saturating_add(1);
            }
        }
        for (variant, attempts) in variants {
            self.variants.entry(variant).or_default().add(&attempts);
        }
        self.points.push(RidePoint {
            ride: ride.id,
            day: ride.day,
            tally: tally(attempts.iter().copied()),
        });
    }

    /// Puts rides in an order of their own, so that sums do not depend on the
    /// order they came in.
    fn sort(&mut self) {
        self.points
            .sort_unstable_by_key(|point| (point.day, point.ride, point.tally));
        let cells = [
            &mut self.all,
            &mut self.left,
            &mut self.right,
            &mut self.unsided,
        ];
        for cell in cells.into_iter().chain(self.variants.values_mut()) {
            cell.rides.sort_unstable();
        }
    }

    fn finish(&self, exercise: Key, rho: f64, trend: Trend) -> ExerciseLine {
        let mut faults: Vec<(Key, u32)> = self
            .faults
            .iter()
            .map(|(key, times)| (*key, *times))
            .collect();
        faults.sort_by_key(|(key, times)| (std::cmp::Reverse(*times), *key));
        ExerciseLine {
            exercise,
            all: self.all.finish(rho),
            left: self.left.finish(rho),
            right: self.right.finish(rho),
            unsided: self.unsided.finish(rho),
            variants: self
                .variants
                .iter()
                .map(|(variant, cell)| (*variant, cell.finish(rho)))
                .collect(),
            faults,
            points: self.points.clone(),
            rho,
            trend,
        }
    }
}

/// What is in no rate: shown beside the lines so that nothing is hidden.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Remainder {
    /// Bouts that nobody has set to reviewed.
    pub unreviewed: u32,
    /// Faults noted without a bout, most frequent first, ties by key.
    pub loose_faults: Vec<(Key, u32)>,
}

/// Collects what is in no rate.
///
/// ```
/// use reinback_analysis::{Key, Ride, remainder};
/// let ride = Ride { unreviewed: 3, loose_faults: vec![(Key(5), 2)], ..Ride::default() };
/// let left_out = remainder(&[ride.clone(), ride]);
/// assert_eq!(left_out.unreviewed, 6);
/// assert_eq!(left_out.loose_faults, vec![(Key(5), 4)]);
/// ```
#[must_use]
pub fn remainder(rides: &[Ride]) -> Remainder {
    let mut loose: BTreeMap<Key, u32> = BTreeMap::new();
    let mut unreviewed = 0_u32;
    for ride in rides {
        unreviewed = unreviewed.saturating_add(ride.unreviewed);
        for (fault, times) in &ride.loose_faults {
            let sum = loose.entry(*fault).or_default();
            *sum = sum.saturating_add(*times);
        }
    }
    let mut loose_faults: Vec<(Key, u32)> = loose.into_iter().collect();
    loose_faults.sort_by_key(|(key, times)| (std::cmp::Reverse(*times), *key));
    Remainder {
        unreviewed,
        loose_faults,
    }
}
