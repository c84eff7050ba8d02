//! What to work on first.
//!
//! One fault in three attempts would top every list sorted by percentage. So
//! each exercise is pulled towards the horse's usual rate, the more the less
//! often it was ridden, and then weighed by how often it is ridden.

use statrs::function::gamma::digamma;

use crate::compare::{Comparison, Verdict};
use crate::estimate::{Estimate, LEVEL, Method};
use crate::exercise::ExerciseLine;
use crate::observation::{Key, Rein};
use crate::rate::{FaultRate, MIN_ATTEMPTS_FOR_RATE, Tally};
use crate::special::{beta_quantile, count, ln_beta, real, root};

/// A beta distribution of the horse's rates over its exercises.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// Faulty attempts it is worth; positive.
    pub alpha: f64,
    /// Clean attempts it is worth; positive.
    pub beta: f64,
}

/// Bounds of `alpha + beta`: from hardly any pull to practically equal rates.
/// Our own choice; the lower one keeps a few exercises from claiming that the
/// others say nothing.
const WORTH: (f64, f64) = (2.0, 1.0e4);

/// Half the width around the peak found by looking at values alone.
const PEAK: f64 = 1e-2;

/// With fewer exercises than this the spread between them cannot be learned.
const MIN_EXERCISES: usize = 4;

/// What the prior is worth, in attempts, where it cannot be learned. Our own
/// choice.
const DEFAULT_WORTH: f64 = 10.0;

impl Prior {
    /// The prior that makes these counts most likely.
    ///
    /// Maximises the beta-binomial likelihood `Π B(k+α, n-k+β) / B(α, β)`
    /// (Skellam 1948, J R Stat Soc B 10:257-261) over `α/(α+β)` and `α+β`, the
    /// latter between 2 and 10 000. With fewer than 4 exercises it is the
    /// pooled rate, worth 10 attempts. Counts may be fractions; entries without
    /// attempts or with more faulty than all are left out; with none at all it
    /// is even, worth 2.
    ///
    /// ```
    /// use reinback_analysis::rank::Prior;
    /// let prior = Prior::learn(&[(1.0, 10.0), (3.0, 10.0), (2.0, 20.0), (5.0, 12.0), (0.0, 9.0)]);
    /// assert!(prior.mean() > 0.1 && prior.mean() < 0.3);
    /// ```
    #[must_use]
    pub fn learn(counts: &[(f64, f64)]) -> Self {
        let usable: Vec<(f64, f64)> = counts
            .iter()
            .copied()
            .filter(|(k, n)| *n > 0.0 && *k >= 0.0 && k <= n)
            .collect();
        let faulty: f64 = usable.iter().map(|(k, _)| k).sum();
        let attempts: f64 = usable.iter().map(|(_, n)| n).sum();
        if usable.is_empty() {
            return Self {
                alpha: 1.0,
                beta: 1.0,
            };
        }
        // Half an attempt each way keeps the mean off 0 and 1.
        let pooled = (faulty + 0.5) / (attempts + 1.0);
        if usable.len() < MIN_EXERCISES {
            return Self::from_mean(pooled, DEFAULT_WORTH);
        }
        let best_mean = |worth: f64| {
            root(1e-6, 1.0 - 1e-6, |mean| {
                slopes(&usable, Self::from_mean(mean, worth)).0
            })
        };
        let worth_slope = |log_worth: f64| {
            let worth = log_worth.exp();
            slopes(&usable, Self::from_mean(best_mean(worth), worth)).1
        };
        let near = maximum((WORTH.0.ln(), WORTH.1.ln()), |log_worth| {
            let worth = log_worth.exp();
            likelihood(&usable, Self::from_mean(best_mean(worth), worth))
        });
        // Values near a maximum are flat; the zero of the slope is not. At an
        // end of the bounds the slope has none.
        let bracket = (
            (near - PEAK).max(WORTH.0.ln()),
            (near + PEAK).min(WORTH.1.ln()),
        );
        let inside = worth_slope(bracket.0) > 0.0 && worth_slope(bracket.1) < 0.0;
        let log_worth = if inside {
            root(bracket.0, bracket.1, worth_slope)
        } else {
            near
        };
        let worth = log_worth.exp();
        Self::from_mean(best_mean(worth), worth)
    }

    fn from_mean(mean: f64, worth: f64) -> Self {
        Self {
            alpha: mean * worth,
            beta: (1.0 - mean) * worth,
        }
    }

    /// The usual rate, 0 to 1.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.alpha / (self.alpha + self.beta)
    }

    /// The rate of `k` faulty in `n` attempts, pulled towards the usual rate.
    ///
    /// Mean and central range of `Beta(α+k, β+n-k)`. Source: Casella 1985, Am
    /// Stat 39:83-87, for empirical Bayes estimates. The range takes the prior
    /// as known, so it is somewhat too narrow with few exercises.
    ///
    /// ```
    /// use reinback_analysis::rank::Prior;
    /// let prior = Prior { alpha: 2.0, beta: 8.0 };
    /// let pulled = prior.shrink(1.0, 3.0);
    /// assert!((pulled.value - 3.0 / 13.0).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn shrink(&self, k: f64, n: f64) -> Estimate {
        let (alpha, beta) = (self.alpha + k, self.beta + (n - k).max(0.0));
        let tail = 0.5 * (1.0 - LEVEL);
        let value = alpha / (alpha + beta);
        Estimate {
            value,
            low: beta_quantile(alpha, beta, tail).min(value),
            high: beta_quantile(alpha, beta, 1.0 - tail).max(value),
            level: LEVEL,
            method: Method::BetaBinomial,
        }
    }
}

fn likelihood(counts: &[(f64, f64)], prior: Prior) -> f64 {
    let none = ln_beta(prior.alpha, prior.beta);
    counts
        .iter()
        .map(|(k, n)| ln_beta(k + prior.alpha, n - k + prior.beta) - none)
        .sum()
}

/// Slopes of the log likelihood along the mean (over the worth, which does not
/// move its zero) and along the log of the worth.
fn slopes(counts: &[(f64, f64)], prior: Prior) -> (f64, f64) {
    let Prior { alpha, beta } = prior;
    let (mut by_alpha, mut by_beta) = (0.0, 0.0);
    let (of_alpha, of_beta, of_both) = (digamma(alpha), digamma(beta), digamma(alpha + beta));
    for (k, n) in counts {
        let both = digamma(n + alpha + beta) - of_both;
        by_alpha += digamma(k + alpha) - of_alpha - both;
        by_beta += digamma(n - k + beta) - of_beta - both;
    }
    (by_alpha - by_beta, alpha * by_alpha + beta * by_beta)
}

/// Where a function with one peak is largest (golden section, Kiefer 1953).
pub(crate) fn maximum((mut low, mut high): (f64, f64), function: impl Fn(f64) -> f64) -> f64 {
    const STEPS: u32 = 30;
    let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
    let mut left = high - golden * (high - low);
    let mut right = low + golden * (high - low);
    let (mut at_left, mut at_right) = (function(left), function(right));
    for _ in 0..STEPS {
        if at_left >= at_right {
            (high, right, at_right) = (right, left, at_left);
            left = high - golden * (high - low);
            at_left = function(left);
        } else {
            (low, left, at_left) = (left, right, at_right);
            right = low + golden * (high - low);
            at_right = function(right);
        }
    }
    0.5 * (low + high)
}

/// One exercise in the order of what to work on first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Priority {
    /// The exercise.
    pub exercise: Key,
    /// Its counts; shown first.
    pub tally: Tally,
    /// Its rate pulled towards the horse's usual rate, 0 to 1.
    pub shrunken: Estimate,
    /// Attempts per ride, over the number of rides given.
    pub attempts_per_ride: f64,
    /// `shrunken × attempts_per_ride`: what the order goes by.
    pub faulty_per_ride: f64,
    /// Its place by the pulled rate alone, from 1.
    pub place_by_rate: u32,
}

/// Exercises in the order of what to work on first.
///
/// By expected faulty attempts per ride: the rate pulled towards the horse's
/// usual rate, times how often the exercise is ridden. Ties go to the higher
/// rate, then to the line given first. The counts are the effective ones,
/// `n / dispersion`. `rides` is the number of rides the lines came from, those
/// with any attempt; 0 counts as 1. Exercises without attempts do not appear.
///
/// An order to think about, not a plan: it knows nothing of what the horse can
/// do yet, or of what a fault costs.
///
/// ```
/// use reinback_analysis::{Attempt, Key, Ride, Span, exercise_lines, what_first};
/// let attempt = |exercise, faulty: bool| Attempt {
///     exercise: Key(exercise), variant: None, rein: None, span: Span::default(),
///     faults: if faulty { vec![Key(9)] } else { vec![] }, repeated: false,
/// };
/// let mut attempts = vec![attempt(1, true), attempt(1, false)];
/// attempts.extend((0..20).map(|n| attempt(2, n % 2 == 0)));
/// let lines = exercise_lines(&[Ride { attempts, ..Ride::default() }]);
/// let order = what_first(&lines, 1);
/// assert_eq!(order[0].exercise, Key(2), "equally bad, but ridden ten times as often");
/// ```
#[must_use]
pub fn what_first<'a>(
    lines: impl IntoIterator<Item = &'a ExerciseLine>,
    rides: usize,
) -> Vec<Priority> {
    let ridden: Vec<(Key, FaultRate)> = lines
        .into_iter()
        .map(|line| (line.exercise, line.all.rate))
        .filter(|(_, rate)| rate.tally.attempts > 0)
        .collect();
    let counts: Vec<(f64, f64)> = ridden.iter().map(|(_, rate)| effective(rate)).collect();
    let prior = Prior::learn(&counts);
    let mut order: Vec<Priority> = ridden
        .iter()
        .zip(counts)
        .map(|((exercise, rate), (k, n))| {
            let shrunken = prior.shrink(k, n);
            let attempts_per_ride = f64::from(rate.tally.attempts) / real(rides.max(1));
            Priority {
                exercise: *exercise,
                tally: rate.tally,
                shrunken,
                attempts_per_ride,
                faulty_per_ride: shrunken.value * attempts_per_ride,
                place_by_rate: 0,
            }
        })
        .collect();
    // Stable, here and below, so that ties keep the order of the lines.
    order.sort_by(|one, other| other.shrunken.value.total_cmp(&one.shrunken.value));
    for (place, priority) in order.iter_mut().enumerate() {
        priority.place_by_rate = count(place + 1);
    }
    order.sort_by(|one, other| other.faulty_per_ride.total_cmp(&one.faulty_per_ride));
    order
}

/// What is clear about an exercise beyond how often it goes wrong: with a
/// range that leaves out zero, and shuffled rides that bear it out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Clear {
    /// How it goes now against the days compared with: [`Verdict::Fewer`] or
    /// [`Verdict::More`] faulty attempts.
    pub against_before: Option<Verdict>,
    /// The rein on which it goes wrong more often.
    pub weaker_rein: Option<Rein>,
}

impl Clear {
    /// What two comparisons make clear: with the days before, and of the right
    /// rein with the left.
    #[must_use]
    pub fn of(with_before: Option<&Comparison>, reins: Option<&Comparison>) -> Self {
        let found = with_before.map(|found| found.verdict);
        Self {
            against_before: found.filter(|found| matches!(found, Verdict::Fewer | Verdict::More)),
            weaker_rein: match reins.map(|found| found.verdict) {
                Some(Verdict::Fewer) => Some(Rein::Left),
                Some(Verdict::More) => Some(Rein::Right),
                _ => None,
            },
        }
    }

    /// Whether it asks for work: more faulty than before, or one-sided.
    #[must_use]
    pub fn asks_for_work(&self) -> bool {
        self.against_before == Some(Verdict::More) || self.weaker_rein.is_some()
    }
}

/// Brings what clearly asks for work to the front of an order, and what is too
/// rare for a rate to its end; otherwise the order stays.
///
/// First what has clearly more faulty attempts than before or is clearly
/// one-sided, then the others, last those with fewer than
/// [`MIN_ATTEMPTS_FOR_RATE`] attempts. Our own choice: a rider who can work on
/// three things only should see first what is not luck, and never what nobody
/// can tell yet.
///
/// ```
/// use reinback_analysis::{Attempt, Key, Rein, Ride, Span, Verdict, exercise_lines, what_first};
/// use reinback_analysis::rank::{Clear, clear_first};
/// let attempt = |exercise, faulty: bool| Attempt {
///     exercise: Key(exercise), variant: None, rein: None, span: Span::default(),
///     faults: if faulty { vec![Key(9)] } else { vec![] }, repeated: false,
/// };
/// let mut attempts: Vec<_> = (0..20).map(|n| attempt(1, n % 2 == 0)).collect();
/// attempts.extend((0..8).map(|n| attempt(2, n == 0)));
/// let order = what_first(&exercise_lines(&[Ride { attempts, ..Ride::default() }]), 1);
/// assert_eq!(order[0].exercise, Key(1));
/// let found = clear_first(order, |exercise| match exercise {
///     Key(2) => Clear { weaker_rein: Some(Rein::Left), ..Clear::default() },
///     _ => Clear { against_before: Some(Verdict::Fewer), ..Clear::default() },
/// });
/// assert_eq!(found[0].0.exercise, Key(2), "one-sided leads, and better does not");
/// ```
#[must_use]
pub fn clear_first(order: Vec<Priority>, clear: impl Fn(Key) -> Clear) -> Vec<(Priority, Clear)> {
    let mut found: Vec<(Priority, Clear)> = order
        .into_iter()
        .map(|priority| (priority, clear(priority.exercise)))
        .collect();
    // Stable, so that the order stays inside each part.
    found.sort_by_key(|(priority, clear)| {
        if clear.asks_for_work() {
            0
        } else if priority.tally.attempts >= MIN_ATTEMPTS_FOR_RATE {
            1
        } else {
            2
        }
    });
    found
}

fn effective(rate: &FaultRate) -> (f64, f64) {
    let attempts = f64::from(rate.tally.attempts);
    let phi = rate.dispersion.clamp(1.0, attempts.max(1.0));
    (
        f64::from(rate.tally.faulty.min(rate.tally.attempts)) / phi,
        attempts / phi,
    )
}
