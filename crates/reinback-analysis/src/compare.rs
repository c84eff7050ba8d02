//! Fewer, more, no clear difference, or too few to tell.
//!
//! A verdict needs two witnesses: a range of the difference that leaves out
//! zero, on counts reduced for likeness inside rides, and a permutation test
//! that moves whole rides, after Benjamini-Hochberg over the lines shown.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use crate::dispersion::{Likeness, design_effect, likeness, pooled_rho, shrunken_rho};
use crate::estimate::{Estimate, InputError, LEVEL, Shortage};
use crate::exercise::{by_exercise, tally};
use crate::interval::{newcombe_effective, rate_ratio_mid_p};
use crate::multiple::{FALSE_DISCOVERY_RATE, adjust};
use crate::observation::{Key, Rein, Ride};
use crate::rate::{FaultRate, MIN_ATTEMPTS_FOR_RATE, PerMinute, Tally};
use crate::shuffle::{mix, sign_p, split_p};

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

/// Two sides of one question, ride by ride, before any verdict.
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

    fn totals(&self) -> (Tally, Tally) {
        (
            self.before.iter().copied().sum(),
            self.after.iter().copied().sum(),
        )
    }

    fn likeness(&self) -> Likeness {
        likeness(&[&self.before, &self.after])
    }

    fn shortage(&self) -> Option<Shortage> {
        let (before, after) = self.totals();
        let mut rides = self.before.iter().chain(&self.after);
        if rides.any(|ride| ride.faulty > ride.attempts) {
            Some(Shortage::Contradictory(InputError::MoreThanAll))
        } else if before.attempts == 0 || after.attempts == 0 {
            Some(Shortage::NoAttempts)
        } else if self.before.len().min(self.after.len()) < MIN_RIDES_PER_PERIOD {
            Some(Shortage::FewerThanFourRides)
        } else if before.attempts.min(after.attempts) < MIN_ATTEMPTS_FOR_RATE {
            Some(Shortage::FewerThanSixAttempts)
        } else {
            None
        }
    }

    /// The comparison with its ranges; `p` asks the shuffles only where there
    /// is enough to shuffle.
    fn compare(&self, rho: f64, p: impl FnOnce() -> f64) -> Comparison {
        let (before, after) = self.totals();
        let phi = (
            design_effect(&self.before, rho),
            design_effect(&self.after, rho),
        );
        let shortage = self.shortage();
        let mut comparison = Comparison {
            before: FaultRate::with_dispersion(before, phi.0),
            after: FaultRate::with_dispersion(after, phi.1),
            difference: Err(shortage.unwrap_or(Shortage::NoAttempts)),
            permutation_p: None,
            adjusted_p: None,
            dispersion: phi.0.max(phi.1),
            verdict: Verdict::TooFew(shortage.unwrap_or(Shortage::NoAttempts)),
            reservation: None,
        };
        if shortage.is_some() {
            return comparison;
        }
        let pairs = (
            (after.faulty, after.attempts),
            (before.faulty, before.attempts),
        );
        match newcombe_effective(pairs.0, pairs.1, (phi.1, phi.0), LEVEL) {
            Ok(difference) => comparison.difference = Ok(difference),
            Err(error) => {
                comparison.difference = Err(error.into());
                comparison.verdict = Verdict::TooFew(error.into());
                return comparison;
            }
        }
        let p = p();
        comparison.permutation_p = Some(p);
        comparison.judge(p);
        comparison
    }

    /// Each ride's faulty attempts beyond the pooled rate, moved whole.
    fn period_p(&self, seed: u64) -> f64 {
        let (before, after) = self.totals();
        let pooled = (before + after).share().unwrap_or(0.0);
        let scores: Vec<f64> = self
            .before
            .iter()
            .chain(&self.after)
            .map(|ride| f64::from(ride.faulty) - f64::from(ride.attempts) * pooled)
            .collect();
        split_p(&scores, self.before.len(), seed)
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
    let pair = Pair::new(before, after);
    let rho = shrunken_rho(pair.likeness(), 0.0);
    pair.compare(rho, || pair.period_p(seed))
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
    let (mut first, mut second) = (ride_tallies(before), ride_tallies(after));
    let keys: BTreeSet<Key> = first.keys().chain(second.keys()).copied().collect();
    let pairs: Vec<(Key, Pair)> = keys
        .into_iter()
        .map(|key| {
            let rides = (
                first.remove(&key).unwrap_or_default(),
                second.remove(&key).unwrap_or_default(),
            );
            (key, Pair::new(&rides.0, &rides.1))
        })
        .collect();
    let measured: Vec<Likeness> = pairs.iter().map(|(_, pair)| pair.likeness()).collect();
    let pooled = pooled_rho(&measured);
    let mut lines: Vec<(Key, Comparison)> = pairs
        .iter()
        .zip(measured)
        .map(|((key, pair), measured)| {
            let own_seed = mix(seed, u64::from(key.0));
            (
                *key,
                pair.compare(shrunken_rho(measured, pooled), || pair.period_p(own_seed)),
            )
        })
        .collect();
    judge_together(lines.iter_mut().map(|(_, comparison)| comparison).collect());
    lines
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

fn ride_tallies(rides: &[Ride]) -> BTreeMap<Key, Vec<Tally>> {
    let mut lines: BTreeMap<Key, Vec<Tally>> = BTreeMap::new();
    for ride in rides {
        for (exercise, attempts) in by_exercise(ride) {
            lines.entry(exercise).or_default().push(tally(attempts));
        }
    }
    lines
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
    rein_comparison(&both_reins(rides, exercise), 0.0, seed)
}

/// [`compare_reins`] for every exercise ridden on both reins, judged together;
/// sorted by key, with likeness pulled towards the other exercises.
#[must_use]
pub fn compare_reins_lines(rides: &[Ride], seed: u64) -> Vec<(Key, Comparison)> {
    let mut sided: BTreeMap<Key, Vec<(Tally, Tally)>> = BTreeMap::new();
    for ride in rides {
        for (exercise, attempts) in by_exercise(ride) {
            if let Some(pair) = rein_tallies(&attempts) {
                sided.entry(exercise).or_default().push(pair);
            }
        }
    }
    let measured: Vec<Likeness> = sided
        .values()
        .map(|pairs| rein_pair(pairs).likeness())
        .collect();
    let pooled = pooled_rho(&measured);
    let mut lines: Vec<(Key, Comparison)> = sided
        .iter()
        .map(|(key, pairs)| {
            (
                *key,
                rein_comparison(pairs, pooled, mix(seed, u64::from(key.0))),
            )
        })
        .collect();
    judge_together(lines.iter_mut().map(|(_, comparison)| comparison).collect());
    lines
}

fn both_reins(rides: &[Ride], exercise: Key) -> Vec<(Tally, Tally)> {
    rides
        .iter()
        .filter_map(|ride| {
            let attempts: Vec<_> = ride
                .attempts
                .iter()
                .filter(|attempt| attempt.exercise == exercise)
                .collect();
            rein_tallies(&attempts)
        })
        .collect()
}

/// Left and right of one ride, if it has both.
fn rein_tallies(attempts: &[&crate::Attempt]) -> Option<(Tally, Tally)> {
    let on = |rein| {
        tally(
            attempts
                .iter()
                .copied()
                .filter(|attempt| attempt.rein == Some(rein)),
        )
    };
    let (left, right) = (on(Rein::Left), on(Rein::Right));
    (left.attempts > 0 && right.attempts > 0).then_some((left, right))
}

fn rein_pair(rides: &[(Tally, Tally)]) -> Pair {
    let (left, right): (Vec<Tally>, Vec<Tally>) = rides.iter().copied().unzip();
    Pair::new(&left, &right)
}

fn rein_comparison(rides: &[(Tally, Tally)], pooled: f64, seed: u64) -> Comparison {
    let mut rides = rides.to_vec();
    rides.sort_unstable();
    let pair = rein_pair(&rides);
    let rho = shrunken_rho(pair.likeness(), pooled);
    let scores: Vec<f64> = rides
        .iter()
        .map(|(left, right)| rein_score(*left, *right))
        .collect();
    let (left, right) = pair.totals();
    let pooled_difference = right.share().unwrap_or(0.0) - left.share().unwrap_or(0.0);
    let agree = pooled_difference * scores.iter().sum::<f64>() > 0.0;
    pair.compare(rho, || if agree { sign_p(&scores, seed) } else { 1.0 })
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
