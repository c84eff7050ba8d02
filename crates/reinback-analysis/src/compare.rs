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
use crate::dispersion::{
    Likeness, design_effect_of, likeness, pooled_rho, shrunken_rho, squared_attempts,
};
use crate::estimate::{Estimate, InputError, LEVEL, Shortage};
use crate::interval::rate_ratio_mid_p;
use crate::multiple::{FALSE_DISCOVERY_RATE, adjust};
use crate::observation::{Key, Rein, Ride};
use crate::rate::{FaultRate, MIN_ATTEMPTS_FOR_RATE, PerMinute, Tally, minutes};
use crate::shuffle::{mix, sign_p, split_p_within};
use crate::special::count;
use crate::stratified::{Stratum, newcombe_stratified, rate_ratio_stratified};

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

/// Two sides of one horse, ride by ride.
#[derive(Debug, Default)]
struct Pair {
    before: Vec<Tally>,
    after: Vec<Tally>,
}

impl Pair {
    /// Keeps rides with attempts, in an order of their own.
    fn new(before: &[Tally], after: &[Tally]) -> Self {
        let keep = |rides: &[Tally]| {
            let mut kept: Vec<Tally> = rides
                .iter()
                .copied()
                .filter(|ride| ride.attempts > 0)
                .collect();
            kept.sort_unstable();
            kept
        };
        Self {
            before: keep(before),
            after: keep(after),
        }
    }

    fn has_both(&self) -> bool {
        !self.before.is_empty() && !self.after.is_empty()
    }

    fn sums(&self) -> (Sum, Sum) {
        (Sum::of(&self.before), Sum::of(&self.after))
    }

    /// Each ride's faulty attempts beyond the horse's rate, and how many of
    /// them are of the first side.
    fn scores(&self) -> (Vec<f64>, usize) {
        let (before, after) = self.sums();
        let pooled = (before.total + after.total).share().unwrap_or(0.0);
        let scores = self.before.iter().chain(&self.after);
        let scores = scores.map(|ride| f64::from(ride.faulty) - f64::from(ride.attempts) * pooled);
        (scores.collect(), self.before.len())
    }
}

/// One side of one horse.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Sum {
    total: Tally,
    squares: f64,
    rides: usize,
}

impl Sum {
    fn of(rides: &[Tally]) -> Self {
        Self {
            total: rides.iter().copied().sum(),
            squares: rides.iter().copied().map(squared_attempts).sum(),
            rides: rides.len(),
        }
    }

    fn plus(self, other: Self) -> Self {
        Self {
            total: self.total + other.total,
            squares: self.squares + other.squares,
            rides: self.rides + other.rides,
        }
    }

    fn phi(&self, rho: f64) -> f64 {
        design_effect_of(self.total, self.squares, rho)
    }
}

/// A comparison before its likeness is known and before it is judged: the sums
/// of every horse, and what the shuffles say.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SidesDraft {
    /// Horses on both sides.
    horses: Vec<(Sum, Sum)>,
    before: Sum,
    after: Sum,
    measured: Likeness,
    /// The shuffles' answer, or why they were not asked.
    p: Result<f64, Shortage>,
}

impl SidesDraft {
    /// `p` asks the shuffles about the horses on both sides only where there is
    /// enough to shuffle.
    fn new(pairs: &[Pair], p: impl FnOnce(&[&Pair]) -> f64) -> Self {
        let compared: Vec<&Pair> = pairs.iter().filter(|pair| pair.has_both()).collect();
        let shown: Vec<&Pair> = if compared.is_empty() {
            pairs.iter().collect()
        } else {
            compared.clone()
        };
        let groups: Vec<&[Tally]> = shown
            .iter()
            .flat_map(|pair| [pair.before.as_slice(), pair.after.as_slice()])
            .collect();
        let (before, after) = shown
            .iter()
            .map(|pair| pair.sums())
            .fold((Sum::default(), Sum::default()), |sums, pair| {
                (sums.0.plus(pair.0), sums.1.plus(pair.1))
            });
        let p = match shortage(&shown, before, after) {
            Some(shortage) => Err(shortage),
            None => Ok(p(&compared)),
        };
        Self {
            horses: compared.iter().map(|pair| pair.sums()).collect(),
            before,
            after,
            measured: likeness(&groups),
            p,
        }
    }

    /// One tally per ride and side, horse by horse.
    fn periods(pairs: &[Pair], seed: u64) -> Self {
        Self::new(pairs, |compared| {
            let scores: Vec<(Vec<f64>, usize)> =
                compared.iter().map(|pair| pair.scores()).collect();
            let groups: Vec<(&[f64], usize)> = scores
                .iter()
                .map(|(scores, first)| (scores.as_slice(), *first))
                .collect();
            split_p_within(&groups, seed)
        })
    }

    /// The comparison with its ranges, judged as if it stood alone.
    fn finish(&self, rho: f64) -> Comparison {
        let phi = (self.before.phi(rho), self.after.phi(rho));
        let mut comparison = Comparison {
            before: FaultRate::with_dispersion(self.before.total, phi.0),
            after: FaultRate::with_dispersion(self.after.total, phi.1),
            difference: Err(Shortage::NoAttempts),
            permutation_p: None,
            adjusted_p: None,
            dispersion: phi.0.max(phi.1),
            verdict: Verdict::TooFew(Shortage::NoAttempts),
            reservation: None,
            horses: count(self.horses.len()),
        };
        let strata: Vec<Stratum> = self
            .horses
            .iter()
            .map(|(before, after)| Stratum {
                one: (after.total.faulty, after.total.attempts),
                other: (before.total.faulty, before.total.attempts),
                dispersions: (after.phi(rho), before.phi(rho)),
            })
            .collect();
        let found = self.p.and_then(|p| {
            let difference = newcombe_stratified(&strata, LEVEL).map_err(Shortage::from)?;
            Ok((p, difference))
        });
        match found {
            Ok((p, difference)) => {
                comparison.difference = Ok(difference);
                comparison.permutation_p = Some(p);
                comparison.judge(p);
            }
            Err(shortage) => {
                comparison.difference = Err(shortage);
                comparison.verdict = Verdict::TooFew(shortage);
            }
        }
        comparison
    }
}

fn shortage(pairs: &[&Pair], before: Sum, after: Sum) -> Option<Shortage> {
    let mut rides = pairs
        .iter()
        .flat_map(|pair| pair.before.iter().chain(&pair.after));
    if rides.any(|ride| ride.faulty > ride.attempts) {
        Some(Shortage::Contradictory(InputError::MoreThanAll))
    } else if !pairs.iter().any(|pair| pair.has_both()) {
        Some(Shortage::NoAttempts)
    } else if before.rides.min(after.rides) < MIN_RIDES_PER_PERIOD {
        Some(Shortage::FewerThanFourRides)
    } else if before.total.attempts.min(after.total.attempts) < MIN_ATTEMPTS_FOR_RATE {
        Some(Shortage::FewerThanSixAttempts)
    } else {
        None
    }
}

/// Puts comparisons shown together together: likeness is pulled towards the
/// other lines, and verdicts are judged with them.
pub(crate) fn finish_comparisons(drafts: &[&SidesDraft]) -> Vec<Comparison> {
    let measured: Vec<Likeness> = drafts.iter().map(|draft| draft.measured).collect();
    let pooled = pooled_rho(&measured);
    let mut found: Vec<Comparison> = drafts
        .iter()
        .zip(measured)
        .map(|(draft, measured)| draft.finish(shrunken_rho(measured, pooled)))
        .collect();
    judge_together(found.iter_mut().collect());
    found
}

/// Two periods of one exercise, each horse compared with itself.
pub(crate) fn period_draft(horses: &[(Rows<'_>, Rows<'_>)], seed: u64) -> SidesDraft {
    let pairs: Vec<Pair> = horses
        .iter()
        .map(|(before, after)| Pair::new(before.tallies(Which::All), after.tallies(Which::All)))
        .collect();
    SidesDraft::periods(&pairs, seed)
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
/// the horses ridden in both periods ([`newcombe_stratified`], with each horse's
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
    draft.finish(shrunken_rho(draft.measured, 0.0))
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
    draft.finish(shrunken_rho(draft.measured, 0.0))
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

impl SidesDraft {
    /// Whether there is anything on both sides.
    pub(crate) fn is_sided(&self) -> bool {
        !self.horses.is_empty()
    }

    pub(crate) fn measured(&self) -> Likeness {
        self.measured
    }
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

/// Left and right of the rides that have both, in an order of their own.
fn both_reins(rows: &Rows<'_>) -> Vec<(Tally, Tally)> {
    let left = rows.tallies(Which::On(Some(Rein::Left)));
    let right = rows.tallies(Which::On(Some(Rein::Right)));
    let mut both: Vec<(Tally, Tally)> = left
        .iter()
        .copied()
        .zip(right.iter().copied())
        .filter(|(left, right)| left.attempts > 0 && right.attempts > 0)
        .collect();
    both.sort_unstable();
    both
}

/// The difference that will be shown, up to a positive factor; see
/// [`newcombe_stratified`].
fn weighed_difference(pairs: &[&Pair]) -> f64 {
    pairs
        .iter()
        .map(|pair| {
            let (before, after) = pair.sums();
            let (n, m) = (before.total, after.total);
            let apart = m.share().unwrap_or(0.0) - n.share().unwrap_or(0.0);
            let (n, m) = (f64::from(n.attempts), f64::from(m.attempts));
            apart * n * m / (n + m)
        })
        .sum()
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

/// [`compare_per_minute`] of several horses, each compared with itself.
pub(crate) fn per_minute_of_horses(horses: &[(Rows<'_>, Rows<'_>)]) -> Result<Estimate, Shortage> {
    let side = |rows: &Rows<'_>| {
        let faults = rows.faults(Which::All).iter();
        let covered = rows.covered(Which::All).iter();
        (
            faults.fold(0_u32, |sum, faults| sum.saturating_add(*faults)),
            covered.fold(0_i64, |sum, nanos| sum.saturating_add(*nanos)),
        )
    };
    let sides: Vec<((u32, i64), (u32, i64))> = horses
        .iter()
        .map(|(before, after)| (side(before), side(after)))
        .collect();
    if let [(before, after)] = sides.as_slice() {
        let rate = |side: &(u32, i64)| PerMinute::new(side.0, side.1);
        return compare_per_minute(&rate(before), &rate(after));
    }
    let strata: Vec<((u32, f64), (u32, f64))> = sides
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
