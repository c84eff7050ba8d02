//! One line per exercise: rates, rein by rein, variant by variant, ride by ride.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::columns::{Rows, Side, Which, by_exercise};
use crate::dispersion::{
    Likeness, design_effect_of, likeness, pooled_rho, shrunken_rho, squared_attempts,
};
use crate::observation::{Key, Rein, Ride};
use crate::rate::{FaultRate, PerMinute, Tally};
use crate::shuffle::mix;
use crate::time::Day;
use crate::trend::{TREND_SEED, Trend, judge_together, trend_of_horses};

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
    pub points: Arc<[RidePoint]>,
    /// Faults marked on the rides of `points`, in their order.
    pub point_faults: Arc<[u32]>,
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
    /// Faults per minute ridden; attempts without length and their faults are
    /// in no rate per minute.
    pub per_minute: PerMinute,
    /// Faults marked; one attempt may carry several.
    pub faults: u32,
}

/// One ride in the course of an exercise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RidePoint {
    /// The caller's number of the ride.
    pub ride: u64,
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
    let drafts: Vec<(Key, LineDraft)> = by_exercise(rides)
        .iter()
        .map(|(key, block)| {
            let seed = mix(TREND_SEED, u64::from(key.0));
            (*key, LineDraft::of(&[block.all()], seed))
        })
        .collect();
    finish_lines(
        &drafts
            .iter()
            .map(|(key, draft)| (*key, draft))
            .collect::<Vec<_>>(),
    )
}

/// Puts lines shown together together: likeness is pulled towards the other
/// lines, and trends are judged with them.
pub(crate) fn finish_lines(drafts: &[(Key, &LineDraft)]) -> Vec<ExerciseLine> {
    let measured: Vec<Likeness> = drafts.iter().map(|(_, draft)| draft.measured).collect();
    let pooled = pooled_rho(&measured);
    let mut trends: Vec<Trend> = drafts.iter().map(|(_, draft)| draft.trend).collect();
    judge_together(trends.iter_mut().collect());
    drafts
        .iter()
        .zip(measured)
        .zip(trends)
        .map(|(((exercise, draft), measured), trend)| {
            draft.finish(*exercise, shrunken_rho(measured, pooled), trend)
        })
        .collect()
}

/// A cell before its likeness is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CellDraft {
    total: Tally,
    squares: f64,
    faults: u32,
    per_minute: PerMinute,
}

impl CellDraft {
    pub(crate) fn of(horses: &[Rows<'_>], which: Which) -> Self {
        let mut sum = CellSum::default();
        for rows in horses {
            let columns = rows
                .tallies(which)
                .iter()
                .zip(rows.faults(which))
                .zip(rows.timed(which))
                .zip(rows.covered(which));
            for (((tally, faults), timed), covered) in columns {
                sum.add(Side {
                    tally: *tally,
                    faults: *faults,
                    timed: *timed,
                    covered: *covered,
                });
            }
        }
        sum.finish()
    }

    pub(crate) fn total(&self) -> Tally {
        self.total
    }

    pub(crate) fn finish(&self, rho: f64) -> Cell {
        let phi = design_effect_of(self.total, self.squares, rho);
        Cell {
            rate: FaultRate::with_dispersion(self.total, phi),
            per_minute: self.per_minute,
            faults: self.faults,
        }
    }
}

/// A cell while rides are still being added.
#[derive(Debug, Clone, Copy, Default)]
struct CellSum {
    total: Tally,
    squares: f64,
    faults: u32,
    timed: u32,
    covered: i64,
}

impl CellSum {
    fn add(&mut self, side: Side) {
        self.total = self.total + side.tally;
        // Whole numbers below 2^53: their sum does not depend on the order.
        self.squares += squared_attempts(side.tally);
        self.faults = self.faults.saturating_add(side.faults);
        self.timed = self.timed.saturating_add(side.timed);
        self.covered = self.covered.saturating_add(side.covered);
    }

    fn finish(&self) -> CellDraft {
        CellDraft {
            total: self.total,
            squares: self.squares,
            faults: self.faults,
            per_minute: PerMinute::new(self.timed, self.covered),
        }
    }
}

/// Everything of a line that does not depend on the other lines shown.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LineDraft {
    all: CellDraft,
    left: CellDraft,
    right: CellDraft,
    unsided: CellDraft,
    variants: Vec<(Option<Key>, CellDraft)>,
    faults: Vec<(Key, u32)>,
    points: Arc<[RidePoint]>,
    point_faults: Arc<[u32]>,
    measured: Likeness,
    trend: Trend,
}

/// The rides of each horse by day, and the faults marked on each.
pub(crate) fn course_of(horses: &[Rows<'_>]) -> (Arc<[RidePoint]>, Arc<[u32]>) {
    let by_horse: Vec<Vec<RidePoint>> = horses.iter().map(|rows| rows.points().collect()).collect();
    let by_horse: Vec<&[RidePoint]> = by_horse.iter().map(Vec::as_slice).collect();
    course(horses, &by_horse)
}

impl LineDraft {
    /// The rides of each horse.
    pub(crate) fn of(horses: &[Rows<'_>], seed: u64) -> Self {
        let by_horse: Vec<Vec<RidePoint>> =
            horses.iter().map(|rows| rows.points().collect()).collect();
        let by_horse: Vec<&[RidePoint]> = by_horse.iter().map(Vec::as_slice).collect();
        let groups: Vec<&[Tally]> = horses.iter().map(|rows| rows.tallies(Which::All)).collect();
        let (points, point_faults) = course(horses, &by_horse);
        Self {
            all: CellDraft::of(horses, Which::All),
            left: CellDraft::of(horses, Which::On(Some(Rein::Left))),
            right: CellDraft::of(horses, Which::On(Some(Rein::Right))),
            unsided: CellDraft::of(horses, Which::On(None)),
            variants: variants(horses),
            faults: kinds(horses),
            points,
            point_faults,
            measured: likeness(&groups),
            trend: trend_of_horses(&by_horse, seed),
        }
    }

    /// The rides by day, with the faults marked on each.
    pub(crate) fn points(&self) -> impl Iterator<Item = (&RidePoint, u32)> {
        self.points.iter().zip(self.point_faults.iter().copied())
    }

    fn finish(&self, exercise: Key, rho: f64, trend: Trend) -> ExerciseLine {
        let variants = self.variants.iter();
        ExerciseLine {
            exercise,
            all: self.all.finish(rho),
            left: self.left.finish(rho),
            right: self.right.finish(rho),
            unsided: self.unsided.finish(rho),
            variants: variants
                .map(|(variant, cell)| (*variant, cell.finish(rho)))
                .collect(),
            faults: self.faults.clone(),
            points: self.points.clone(),
            point_faults: self.point_faults.clone(),
            rho,
            trend,
        }
    }
}

/// All rides by day, whichever horse they are of, and the faults of each.
fn course(horses: &[Rows<'_>], by_horse: &[&[RidePoint]]) -> (Arc<[RidePoint]>, Arc<[u32]>) {
    let rides = || {
        let faults = horses.iter().map(|rows| rows.faults(Which::All));
        let own = by_horse.iter().zip(faults);
        own.flat_map(|(points, faults)| points.iter().copied().zip(faults.iter().copied()))
    };
    if horses.len() < 2 {
        return (
            rides().map(|(point, _)| point).collect(),
            rides().map(|(_, faults)| faults).collect(),
        );
    }
    let mut rides: Vec<(RidePoint, u32)> = by_day(by_horse, rides());
    for day in rides.chunk_by_mut(|(one, _), (next, _)| one.day == next.day) {
        day.sort_by_key(|(point, _)| point.ride);
    }
    (
        rides.iter().map(|(point, _)| *point).collect(),
        rides.iter().map(|(_, faults)| *faults).collect(),
    )
}

/// The rides sorted by day. In a large yard there are many on each: they are
/// dealt to the days, which is several times quicker than comparing them.
fn by_day(
    by_horse: &[&[RidePoint]],
    rides: impl Iterator<Item = (RidePoint, u32)>,
) -> Vec<(RidePoint, u32)> {
    let day = |point: Option<&RidePoint>| point.map(|point| i64::from(point.day.0));
    let first = by_horse
        .iter()
        .filter_map(|points| day(points.first()))
        .min();
    let last = by_horse
        .iter()
        .filter_map(|points| day(points.last()))
        .max();
    let all: usize = by_horse.iter().map(|points| points.len()).sum();
    let first = first.unwrap_or(0);
    let days = usize::try_from(last.unwrap_or(first) - first + 1).unwrap_or(usize::MAX);
    if days > all {
        let mut rides: Vec<(RidePoint, u32)> = rides.collect();
        rides.sort_by_key(|(point, _)| point.day);
        return rides;
    }
    let place = |point: &RidePoint| usize::try_from(i64::from(point.day.0) - first).unwrap_or(0);
    // Where the next ride of each day goes.
    let mut next = vec![0_usize; days + 1];
    for point in by_horse.iter().copied().flatten() {
        next[place(point) + 1] += 1;
    }
    for day in 1..next.len() {
        next[day] += next[day - 1];
    }
    let nothing = RidePoint {
        ride: 0,
        day: Day(0),
        tally: Tally::default(),
    };
    let mut sorted = vec![(nothing, 0_u32); all];
    for (point, faults) in rides {
        let next = &mut next[place(&point)];
        sorted[*next] = (point, faults);
        *next += 1;
    }
    sorted
}

fn variants(horses: &[Rows<'_>]) -> Vec<(Option<Key>, CellDraft)> {
    let mut sums: Vec<(Option<Key>, CellSum)> = Vec::new();
    for (variant, side) in horses.iter().flat_map(Rows::variants) {
        // A handful of variants: looking along them is quicker than a map.
        let place = sums.iter().position(|(known, _)| known == variant);
        let place = place.unwrap_or_else(|| {
            sums.push((*variant, CellSum::default()));
            sums.len() - 1
        });
        sums[place].1.add(*side);
    }
    sums.sort_unstable_by_key(|(variant, _)| *variant);
    sums.iter()
        .map(|(variant, sum)| (*variant, sum.finish()))
        .collect()
}

fn kinds(horses: &[Rows<'_>]) -> Vec<(Key, u32)> {
    let mut sums: Vec<(Key, u32)> = Vec::new();
    for (kind, times) in horses.iter().flat_map(Rows::kinds) {
        match sums.iter_mut().find(|(known, _)| known == kind) {
            Some((_, sum)) => *sum = sum.saturating_add(*times),
            None => sums.push((*kind, *times)),
        }
    }
    most_frequent_first(sums)
}

pub(crate) fn most_frequent_first(mut counts: Vec<(Key, u32)>) -> Vec<(Key, u32)> {
    counts.sort_unstable_by_key(|(key, times)| (std::cmp::Reverse(*times), *key));
    counts
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
    Remainder {
        unreviewed,
        loose_faults: most_frequent_first(loose.into_iter().collect()),
    }
}
