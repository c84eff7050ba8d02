//! The two sides of a comparison, horse by horse, before any verdict.

use super::{Comparison, MIN_RIDES_PER_PERIOD, Verdict, judge_together};
use crate::columns::{Rows, Which};
use crate::dispersion::{
    Likeness, design_effect_of, likeness, pooled_rho, shrunken_rho, squared_attempts,
};
use crate::estimate::{InputError, LEVEL, Shortage};
use crate::rate::{FaultRate, MIN_ATTEMPTS_FOR_RATE, Tally};
use crate::shuffle::{MOST_SHUFFLED, split_p_within};
use crate::special::count;
use crate::stratified::{Stratum, newcombe_stratified};

/// Two sides of one horse, ride by ride.
#[derive(Debug, Default)]
pub(super) struct Pair {
    before: Vec<Tally>,
    after: Vec<Tally>,
}

impl Pair {
    /// Keeps rides with attempts; so few that they are shuffled, in an order of
    /// their own.
    pub(super) fn new(before: &[Tally], after: &[Tally]) -> Self {
        let keep = |rides: &[Tally]| {
            let mut kept: Vec<Tally> = rides
                .iter()
                .copied()
                .filter(|ride| ride.attempts > 0)
                .collect();
            if kept.len() <= MOST_SHUFFLED {
                kept.sort_unstable();
            }
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
    pub(super) fn new(pairs: &[Pair], p: impl FnOnce(&[&Pair]) -> f64) -> Self {
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
    pub(super) fn periods(pairs: &[Pair], seed: u64) -> Self {
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
    pub(super) fn finish(&self, rho: f64) -> Comparison {
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

    /// Whether there is anything on both sides.
    pub(crate) fn is_sided(&self) -> bool {
        !self.horses.is_empty()
    }

    pub(crate) fn measured(&self) -> Likeness {
        self.measured
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

/// The difference that will be shown, up to a positive factor; see
/// [`newcombe_stratified`].
pub(super) fn weighed_difference(pairs: &[&Pair]) -> f64 {
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
