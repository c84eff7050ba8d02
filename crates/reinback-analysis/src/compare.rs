//! Fewer, more, no clear difference, or too few to tell.
//!
//! A verdict needs two witnesses: a range of the difference that leaves out
//! zero, on counts reduced for likeness inside rides, and a permutation test
//! that moves whole rides, after Benjamini-Hochberg over the lines shown.
//!
//! Of several horses, each is compared with itself: the difference is put
//! together from the horses' own, and rides are moved inside a horse only.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use crate::columns::{Block, Rows, Which, by_exercise};
use crate::dispersion::shrunken_rho;
use crate::estimate::{Estimate, InputError, LEVEL, Shortage};
use crate::interval::rate_ratio_mid_p;
use crate::multiple::{FALSE_DISCOVERY_RATE, adjust};
use crate::observation::{Key, Rein, Ride};
use crate::rate::{FaultRate, PerMinute, Tally, minutes};
use crate::shuffle::{MOST_SHUFFLED, mix, sign_p};
use crate::stratified::{Exposed, rate_ratio_stratified};

mod sides;

use sides::{Pair, weighed_difference};
pub(crate) use sides::{SidesDraft, finish_comparisons, period_draft};

/// Fewer rides than this in a period are too few to tell.
///
/// Three rides against three can fall in 20 ways only, so no outcome could
/// ever be clear at 5 %.
pub const MIN_RIDES_PER_PERIOD: usize = 4;

/// What a comparison says about the second side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Fewer faults than on the first side.
    Fewer,
    /// More faults than on the first side.
    More,
    /// The two cannot be told apart. Not the same as "equal".
    NoClearDifference,
    /// Too few rides or attempts for any verdict.
    TooFew(Shortage),
}

/// Why there is no verdict although one witness spoke for a difference.
///
/// Its text is a sentence for the rider.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reservation {
    /// The range leaves out zero, the shuffled rides do not bear it out.
    RangeAlone,
    /// The range leaves out zero and the shuffled rides would bear it out on
    /// their own, but among so many lines one such is to be expected.
    ManyLines,
    /// The shuffled rides differ, but the range still holds zero.
    ShufflesAlone,
}

impl fmt::Display for Reservation {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::RangeAlone => {
                "The range leaves out zero, but when whole rides are shuffled between the two sides a difference like this comes up too often. A few unlike rides may be behind it."
            }
            Self::ManyLines => {
                "On its own this line would count as a difference, but among this many lines one such is to be expected by luck."
            }
            Self::ShufflesAlone => {
                "The rides differ more than shuffled rides usually do, but the range still holds zero. More rides will tell."
            }
        })
    }
}

/// Two sides compared; the second against the first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Comparison {
    /// The first side: the earlier period, or the left rein.
    pub before: FaultRate,
    /// The second side: the later period, or the right rein.
    pub after: FaultRate,
    /// Share after less share before, -1 to 1: negative is fewer.
    pub difference: Result<Estimate, Shortage>,
    /// Share of shuffles at least as far apart; `None` where too few rides.
    pub permutation_p: Option<f64>,
    /// The same after Benjamini-Hochberg over the lines shown together.
    pub adjusted_p: Option<f64>,
    /// The larger dispersion of the two sides; at least 1, at most the
    /// attempts per ride.
    pub dispersion: f64,
    /// What may be said.
    pub verdict: Verdict,
    /// Why one witness was not enough, where that is so.
    pub reservation: Option<Reservation>,
    /// Horses on both sides, each compared with itself; the counts are theirs.
    /// 0 where none is, and then the counts are those of all.
    pub horses: u32,
}

impl Comparison {
    fn judge(&mut self, adjusted_p: f64) {
        self.adjusted_p = Some(adjusted_p);
        let (Ok(difference), Some(raw_p)) = (self.difference, self.permutation_p) else {
            return;
        };
        let apart = !difference.covers(0.0);
        let found = adjusted_p <= FALSE_DISCOVERY_RATE;
        self.verdict = match (apart, found) {
            (true, true) if difference.value < 0.0 => Verdict::Fewer,
            (true, true) => Verdict::More,
            _ => Verdict::NoClearDifference,
        };
        self.reservation = match (apart, found) {
            (true, false) if raw_p <= FALSE_DISCOVERY_RATE => Some(Reservation::ManyLines),
            (true, false) => Some(Reservation::RangeAlone),
            (false, true) => Some(Reservation::ShufflesAlone),
            _ => None,
        };
    }
}

/// Compares two periods, one tally per ride.
///
/// Difference: Newcombe's hybrid score interval of `after - before` on
/// effective counts `n / phi` (Newcombe 1998, method 10; Rao & Scott 1992).
/// `phi` comes from the scatter of the rides inside each period; without other
/// exercises it is pulled towards independence. Permutation: the sum over the
/// first period of `faulty - attempts × pooled rate`, over all ways to deal the
/// rides to the periods. Rides without attempts are left out; fewer than 4
/// rides or 6 attempts on a side are too few to tell.
///
/// ```
/// use reinback_analysis::{Tally, Verdict, compare_periods, Shortage};
/// let rides = |faulty: [u32; 5]| faulty.map(|faulty| Tally { faulty, attempts: 10 });
/// let better = compare_periods(&rides([6, 5, 7, 6, 5]), &rides([1, 2, 0, 2, 1]), 7);
/// assert_eq!(better.verdict, Verdict::Fewer);
/// let difference = better.difference.unwrap();
/// assert!((difference.value + 0.46).abs() < 1e-12 && difference.high < 0.0);
/// let same = compare_periods(&rides([3, 2, 4, 3, 2]), &rides([3, 4, 2, 2, 3]), 7);
/// assert_eq!(same.verdict, Verdict::NoClearDifference);
/// let few = compare_periods(&rides([9; 5])[..3], &rides([0; 5]), 7);
/// assert_eq!(few.verdict, Verdict::TooFew(Shortage::FewerThanFourRides));
/// ```
#[must_use]
pub fn compare_periods(before: &[Tally], after: &[Tally], seed: u64) -> Comparison {
    compare_periods_of_horses(&[(before, after)], seed)
}

/// Compares two periods of several horses, each with itself; one tally per ride.
///
/// As [`compare_periods`]: the difference and its range are put together from
/// the horses ridden in both periods ([`newcombe_stratified`](crate::stratified::newcombe_stratified), with each horse's
/// own effective counts), and the permutation deals a horse's rides among its
/// own periods only. So neither a change of which horses were ridden nor of how
/// often can pass for a change of how it went. At least 4 rides and 6 attempts
/// of those horses together are needed in either period. One horse gives exactly
/// [`compare_periods`].
///
/// ```
/// use reinback_analysis::{Tally, Verdict, compare::compare_periods_of_horses, compare_periods};
/// let rides = |faulty: u32, rides: usize| {
///     vec![Tally { faulty, attempts: 10 }; rides]
/// };
/// // A poor and a good horse, neither changed; the poor one is ridden less now.
/// let (poor, good) = ((rides(6, 12), rides(6, 4)), (rides(1, 4), rides(1, 12)));
/// let apart = compare_periods_of_horses(&[(&poor.0, &poor.1), (&good.0, &good.1)], 7);
/// assert_eq!(apart.verdict, Verdict::NoClearDifference);
/// let pooled = compare_periods(&[poor.0, good.0].concat(), &[poor.1, good.1].concat(), 7);
/// assert_eq!(pooled.verdict, Verdict::Fewer, "thrown together they seem to");
/// ```
#[must_use]
pub fn compare_periods_of_horses(horses: &[(&[Tally], &[Tally])], seed: u64) -> Comparison {
    let pairs: Vec<Pair> = horses
        .iter()
        .map(|(before, after)| Pair::new(before, after))
        .collect();
    let draft = SidesDraft::periods(&pairs, seed);
    draft.finish(shrunken_rho(draft.measured(), 0.0))
}

/// Compares two periods exercise by exercise, judged together; sorted by key.
///
/// As [`compare_periods`], with the likeness inside rides of each exercise
/// pulled towards that of the others (give the rides of one horse), and
/// verdicts after Benjamini-Hochberg over all lines that could be tested.
/// An exercise ridden in one period only is `TooFew`.
///
/// ```
/// use reinback_analysis::{Attempt, Key, Ride, Span, Verdict, compare_lines};
/// let attempt = |faulty: bool| Attempt {
///     exercise: Key(3), variant: None, rein: None, span: Span::default(),
///     faults: if faulty { vec![Key(9)] } else { vec![] }, repeated: false,
/// };
/// let rides = |faulty: usize| -> Vec<Ride> {
///     (0..5).map(|id| Ride {
///         id,
///         attempts: (0..10).map(|n| attempt(n < faulty)).collect(),
///         ..Ride::default()
///     }).collect()
/// };
/// let lines = compare_lines(&rides(7), &rides(2), 7);
/// let (exercise, line) = &lines[0];
/// assert_eq!((*exercise, line.verdict), (Key(3), Verdict::Fewer));
/// assert_eq!(line.after.tally.to_string(), "10 of 50");
/// ```
#[must_use]
pub fn compare_lines(before: &[Ride], after: &[Ride], seed: u64) -> Vec<(Key, Comparison)> {
    let (before, after) = (by_exercise(before), by_exercise(after));
    let keys: BTreeSet<Key> = before.keys().chain(after.keys()).copied().collect();
    let none = Block::default();
    let side = |blocks: &BTreeMap<Key, Block>, key: Key| -> Vec<Tally> {
        let rows = blocks.get(&key).unwrap_or(&none).all();
        rows.tallies(Which::All).to_vec()
    };
    let drafts: Vec<SidesDraft> = keys
        .iter()
        .map(|key| {
            let pair = Pair::new(&side(&before, *key), &side(&after, *key));
            SidesDraft::periods(&[pair], mix(seed, u64::from(key.0)))
        })
        .collect();
    let found = finish_comparisons(&drafts.iter().collect::<Vec<_>>());
    keys.into_iter().zip(found).collect()
}

/// Adjusts the verdicts of comparisons shown on one page.
///
/// [`compare_lines`] has done so already; use this for lists put together from
/// single comparisons.
///
/// ```
/// use reinback_analysis::{Tally, Verdict, compare_periods, compare::judge_together};
/// let side = |faulty: [u32; 4]| faulty.map(|faulty| Tally { faulty, attempts: 10 });
/// let mut clear = compare_periods(&side([6, 5, 7, 6]), &side([1, 2, 0, 2]), 7);
/// assert_eq!(clear.verdict, Verdict::Fewer, "2 of 70 ways: p = 0.029");
/// let mut others = [compare_periods(&side([2, 3, 2, 3]), &side([3, 2, 3, 2]), 7); 3];
/// let mut page: Vec<_> = others.iter_mut().collect();
/// page.push(&mut clear);
/// judge_together(page);
/// assert_eq!(clear.verdict, Verdict::NoClearDifference);
/// assert!(clear.reservation.is_some(), "and says why");
/// ```
pub fn judge_together(comparisons: Vec<&mut Comparison>) {
    let raw: Vec<f64> = comparisons
        .iter()
        .filter_map(|comparison| comparison.permutation_p)
        .collect();
    let mut adjusted = adjust(&raw).into_iter();
    for comparison in comparisons {
        if comparison.permutation_p.is_some() {
            comparison.judge(adjusted.next().unwrap_or(1.0));
        }
    }
}

/// Compares left (`before`) and right (`after`) of one exercise, inside rides.
///
/// Only rides ridden on both reins count, so that a good day cannot pass for a
/// good rein; at least 4 are needed. Difference: as [`compare_periods`].
/// Permutation: the reins are exchanged ride by ride in the sum of
/// `(k_r n_l - k_l n_r) / (n_l + n_r)`, the weights of Cochran (1954,
/// Biometrics 10:417-451) and of Mantel & Haenszel (1959).
/// Where that sum and the pooled difference point opposite ways, the p is 1.
/// [`Verdict::Fewer`] means fewer faults on the right rein.
///
/// ```
/// use reinback_analysis::{Attempt, Day, Key, Rein, Ride, Span, Verdict, compare_reins};
/// let attempt = |rein, faulty: bool| Attempt {
///     exercise: Key(3), variant: None, rein: Some(rein), span: Span::default(),
///     faults: if faulty { vec![Key(9)] } else { vec![] }, repeated: false,
/// };
/// let rides: Vec<Ride> = (0..6).map(|id| Ride {
///     id, day: Day(i32::try_from(id).unwrap()),
///     attempts: (0..8).map(|n| attempt(if n % 2 == 0 { Rein::Left } else { Rein::Right }, n % 2 == 0)).collect(),
///     ..Ride::default()
/// }).collect();
/// assert_eq!(compare_reins(&rides, Key(3), 7).verdict, Verdict::Fewer);
/// ```
#[must_use]
pub fn compare_reins(rides: &[Ride], exercise: Key, seed: u64) -> Comparison {
    let blocks = by_exercise(rides);
    let rows: Vec<Rows<'_>> = blocks.get(&exercise).map(Block::all).into_iter().collect();
    let draft = rein_draft(&rows, seed);
    draft.finish(shrunken_rho(draft.measured(), 0.0))
}

/// [`compare_reins`] for every exercise ridden on both reins, judged together;
/// sorted by key, with likeness pulled towards the other exercises.
#[must_use]
pub fn compare_reins_lines(rides: &[Ride], seed: u64) -> Vec<(Key, Comparison)> {
    let drafts: Vec<(Key, SidesDraft)> = by_exercise(rides)
        .iter()
        .map(|(key, block)| {
            (
                *key,
                rein_draft(&[block.all()], mix(seed, u64::from(key.0))),
            )
        })
        .filter(|(_, draft)| draft.is_sided())
        .collect();
    let found = finish_comparisons(&drafts.iter().map(|(_, draft)| draft).collect::<Vec<_>>());
    drafts.iter().map(|(key, _)| *key).zip(found).collect()
}

/// Left and right of one exercise inside rides, each horse compared with itself.
pub(crate) fn rein_draft(horses: &[Rows<'_>], seed: u64) -> SidesDraft {
    let by_horse: Vec<Vec<(Tally, Tally)>> = horses.iter().map(both_reins).collect();
    let pairs: Vec<Pair> = by_horse
        .iter()
        .map(|rides| {
            let (left, right): (Vec<Tally>, Vec<Tally>) = rides.iter().copied().unzip();
            Pair::new(&left, &right)
        })
        .collect();
    SidesDraft::new(&pairs, |compared| {
        let scores: Vec<f64> = by_horse
            .iter()
            .flatten()
            .map(|(left, right)| rein_score(*left, *right))
            .collect();
        let shown = weighed_difference(compared);
        if shown * scores.iter().sum::<f64>() > 0.0 {
            sign_p(&scores, seed)
        } else {
            1.0
        }
    })
}

/// Left and right of the rides that have both; so few that they are shuffled,
/// in an order of their own.
fn both_reins(rows: &Rows<'_>) -> Vec<(Tally, Tally)> {
    let left = rows.tallies(Which::On(Some(Rein::Left)));
    let right = rows.tallies(Which::On(Some(Rein::Right)));
    let mut both: Vec<(Tally, Tally)> = left
        .iter()
        .copied()
        .zip(right.iter().copied())
        .filter(|(left, right)| left.attempts > 0 && right.attempts > 0)
        .collect();
    if both.len() <= MOST_SHUFFLED {
        both.sort_unstable();
    }
    both
}

fn rein_score(left: Tally, right: Tally) -> f64 {
    let real = f64::from;
    let across =
        real(right.faulty) * real(left.attempts) - real(left.faulty) * real(right.attempts);
    across / (real(left.attempts) + real(right.attempts))
}

/// How many times the faults per minute changed: after over before.
///
/// Conditional mid-p interval; see [`rate_ratio_mid_p`]. Treats faults as
/// coming singly, so it is too narrow where they come in clusters: give the
/// verdict by [`compare_periods`].
///
/// # Errors
///
/// [`Shortage::NoTime`] if either side has none, and
/// [`Shortage::NoFaultsToCompare`] if the first side has no faults.
///
/// ```
/// use reinback_analysis::{PerMinute, compare::compare_per_minute};
/// let hour = 3_600_000_000_000;
/// let ratio = compare_per_minute(&PerMinute::new(20, hour), &PerMinute::new(5, hour)).unwrap();
/// assert!((ratio.value - 0.25).abs() < 1e-12 && ratio.high < 1.0);
/// ```
pub fn compare_per_minute(before: &PerMinute, after: &PerMinute) -> Result<Estimate, Shortage> {
    if before.ridden_nanos <= 0 || after.ridden_nanos <= 0 {
        return Err(Shortage::NoTime);
    }
    if before.faults == 0 {
        return Err(Shortage::NoFaultsToCompare);
    }
    let ratio = rate_ratio_mid_p(
        (after.faults, after.minutes()),
        (before.faults, before.minutes()),
        LEVEL,
    )?;
    Ok(ratio)
}

/// Faults and time of two periods, of the horses ridden in both where there are any.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timed {
    /// Of the first period.
    pub before: PerMinute,
    /// Of the second.
    pub after: PerMinute,
    /// Whether there were no faults before, and so many since that as many a
    /// minute as before is no longer likely. There is no ratio then.
    pub more_than_none: bool,
}

/// Faults and nanoseconds.
type Side = (u32, i64);

fn timed_side(rows: &Rows<'_>) -> Side {
    let faults = rows.timed(Which::All).iter();
    let covered = rows.covered(Which::All).iter();
    (
        faults.fold(0_u32, |sum, faults| sum.saturating_add(*faults)),
        covered.fold(0_i64, |sum, nanos| sum.saturating_add(*nanos)),
    )
}

/// What [`per_minute_of_horses`] rests on.
pub(crate) fn timed_of_horses(horses: &[(Rows<'_>, Rows<'_>)]) -> Timed {
    let both = |pair: &&(Rows<'_>, Rows<'_>)| !pair.0.is_empty() && !pair.1.is_empty();
    let any = horses.iter().any(|pair| both(&pair));
    let sides: Vec<(Side, Side)> = horses
        .iter()
        .filter(|pair| !any || both(pair))
        .map(|(before, after)| (timed_side(before), timed_side(after)))
        .collect();
    let sum = |side: fn(&(Side, Side)) -> Side| {
        let all = sides.iter().map(side);
        let (faults, nanos) = all.fold((0_u32, 0_i64), |sum, own| {
            (sum.0.saturating_add(own.0), sum.1.saturating_add(own.1))
        });
        PerMinute::new(faults, nanos)
    };
    Timed {
        before: sum(|pair| pair.0),
        after: sum(|pair| pair.1),
        more_than_none: more_than_none(&sides),
    }
}

/// Whether all faults came after although as many a minute as before were to be
/// expected: each of a horse's faults falls into the later time by its share of
/// both, so the chance is the product of those shares. Half of it counts, as in
/// the mid-p ranges, against what a 95 % range leaves out below.
///
/// Source: Przyborowski & Wilenski 1940, Biometrika 31:313-323, as for the ratio.
fn more_than_none(horses: &[(Side, Side)]) -> bool {
    let mut chance = 0.5;
    for (before, after) in horses {
        // A horse without time on either side says nothing.
        if before.1 <= 0 || after.1 <= 0 {
            continue;
        }
        if before.0 > 0 {
            return false;
        }
        let (earlier, later) = (minutes(before.1), minutes(after.1));
        chance *= (later / (earlier + later)).powf(f64::from(after.0));
    }
    chance <= 0.5 * (1.0 - LEVEL)
}

/// [`compare_per_minute`] of several horses, each compared with itself.
pub(crate) fn per_minute_of_horses(horses: &[(Rows<'_>, Rows<'_>)]) -> Result<Estimate, Shortage> {
    let sides: Vec<(Side, Side)> = horses
        .iter()
        .map(|(before, after)| (timed_side(before), timed_side(after)))
        .collect();
    if let [(before, after)] = sides.as_slice() {
        let rate = |side: &(u32, i64)| PerMinute::new(side.0, side.1);
        return compare_per_minute(&rate(before), &rate(after));
    }
    let strata: Vec<(Exposed, Exposed)> = sides
        .iter()
        .map(|(before, after)| {
            let side = |(faults, nanos): (u32, i64)| (faults, minutes(nanos));
            (side(*after), side(*before))
        })
        .collect();
    rate_ratio_stratified(&strata, LEVEL).map_err(|error| match error {
        InputError::NothingToDivideBy => Shortage::NoTime,
        InputError::NotFinite => Shortage::NoFaultsToCompare,
        other => Shortage::Contradictory(other),
    })
}
