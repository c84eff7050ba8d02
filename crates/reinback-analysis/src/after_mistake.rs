//! After a mistake: was it ridden again at once, did that come off, and does
//! one mistake follow another?
//!
//! Attempts of the same exercise inside one ride form a sequence. Transitions
//! are pooled over rides: averaging each ride's own share of mistakes after
//! mistakes would be biased low even for a coin (Miller & Sanjurjo 2018,
//! Econometrica 86:2019-2047).

use crate::columns::{Rows, Which, by_exercise};
use crate::estimate::{Estimate, LEVEL, Shortage};
use crate::interval::newcombe;
use crate::multiple::{FALSE_DISCOVERY_RATE, adjust};
use crate::observation::{Key, Ride};
use crate::rate::{FaultRate, MIN_ATTEMPTS_FOR_RATE, Tally};
use crate::shuffle::{MOST_SHUFFLED, mix};
use crate::special::{normal_upper, real};

mod orders;

use orders::orders_p;

/// Whether mistakes come in a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sequence {
    /// A mistake is more likely after a mistake than after a clean attempt.
    InARow,
    /// A mistake is less likely after a mistake.
    SettlesAfter,
    /// The two cannot be told apart. Not the same as "no connection".
    NoClearPattern,
    /// Too little to tell.
    TooFew(Shortage),
}

/// What happens after a mistake in one exercise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AfterMistake {
    /// The exercise.
    pub exercise: Key,
    /// Of the faulty attempts, how many were ridden again at once: `faulty`
    /// counts those repeated, `attempts` all faulty attempts.
    pub repeated: FaultRate,
    /// Of the repeats, how many went wrong again.
    pub repeat: FaultRate,
    /// Of the next attempts after a faulty one, how many were faulty.
    pub after_faulty: FaultRate,
    /// Of the next attempts after a clean one, how many were faulty.
    pub after_clean: FaultRate,
    /// Share after a mistake less share after a clean attempt, -1 to 1.
    /// Treats attempts as independent; the verdict does not rest on it alone.
    pub difference: Result<Estimate, Shortage>,
    /// Share of shuffles inside rides at least as far apart.
    pub permutation_p: Option<f64>,
    /// Whether mistakes follow mistakes more often than when the order inside
    /// rides is shuffled. Rides that are good or bad as a whole can set
    /// `difference` above 0 without that.
    pub more_in_a_row: bool,
    /// The same after Benjamini-Hochberg over the exercises shown together.
    pub adjusted_p: Option<f64>,
    /// Runs over all rides against what their counts would give by chance.
    pub runs: Result<RunsTest, Shortage>,
    /// What may be said.
    pub verdict: Sequence,
}

/// After-a-mistake figures for every exercise, sorted by key.
///
/// *Next* is the next reviewed attempt of the same exercise in the same ride.
/// *Repeated at once* is stricter: the very next attempt of the ride, with the
/// same exercise, variant and rein, or one of the same exercise that the
/// reviewer marked as a repeat. The last attempt of a ride has no next one but
/// counts among the faulty attempts that could have been repeated.
///
/// Verdict: shuffles the order inside each ride, whole counts kept (permutation
/// test advised by Miller & Sanjurjo 2018), at 5 % after Benjamini-Hochberg over
/// the exercises, with at least 6 transitions after either kind. Above 200 rides
/// the runs test takes the place of the shuffles.
///
/// ```
/// use reinback_analysis::{Attempt, Key, Ride, Span, after_mistakes};
/// let attempt = |faulty: bool| Attempt {
///     exercise: Key(3), variant: None, rein: None, span: Span::default(),
///     faults: if faulty { vec![Key(9)] } else { vec![] }, repeated: false,
/// };
/// let ride = Ride {
///     attempts: [false, true, false, true, true].map(attempt).to_vec(),
///     ..Ride::default()
/// };
/// let found = &after_mistakes(&[ride], 7)[0];
/// assert_eq!(found.repeated.tally.to_string(), "2 of 3", "the last one was not repeated");
/// assert_eq!(found.repeat.tally.to_string(), "1 of 2");
/// assert_eq!(found.after_faulty.tally.to_string(), "1 of 2");
/// assert_eq!(found.after_clean.tally.to_string(), "2 of 2");
/// ```
#[must_use]
pub fn after_mistakes(rides: &[Ride], seed: u64) -> Vec<AfterMistake> {
    let drafts: Vec<AfterMistake> = by_exercise(rides)
        .iter()
        .map(|(key, block)| after_draft(*key, &[block.all()], mix(seed, u64::from(key.0))))
        .collect();
    finish_after(&drafts.iter().collect::<Vec<_>>())
}

/// The figures of one exercise, judged as if it stood alone.
pub(crate) fn after_draft(exercise: Key, horses: &[Rows<'_>], seed: u64) -> AfterMistake {
    let sequences: Vec<&[bool]> = horses.iter().flat_map(Rows::sequences).collect();
    let sum = |tallies: &mut dyn Iterator<Item = &Tally>| tallies.copied().sum::<Tally>();
    let repeats = sum(&mut horses.iter().flat_map(Rows::repeats));
    let all = sum(&mut horses.iter().flat_map(|rows| rows.tallies(Which::All)));
    let steps = Transitions::count(&sequences);
    let runs = runs_over(&sequences);
    let judged = steps.shortage().is_none().then(|| match runs {
        // Runs count the same steps, and their mean and variance over all
        // orders inside rides are known.
        Ok(runs) if sequences.len() > MOST_SHUFFLED => (runs.p, runs.z < 0.0),
        _ => orders_p(&sequences, seed),
    });
    let permutation_p = judged.map(|(p, _)| p);
    let mut found = AfterMistake {
        exercise,
        repeated: FaultRate::new(Tally {
            faulty: repeats.attempts,
            attempts: all.faulty,
        }),
        repeat: FaultRate::new(repeats),
        after_faulty: FaultRate::new(steps.after_faulty),
        after_clean: FaultRate::new(steps.after_clean),
        difference: steps.difference_range(),
        permutation_p,
        more_in_a_row: judged.is_some_and(|(_, more)| more),
        adjusted_p: permutation_p,
        runs,
        verdict: Sequence::NoClearPattern,
    };
    found.judge();
    found
}

/// Judges exercises shown together together.
pub(crate) fn finish_after(drafts: &[&AfterMistake]) -> Vec<AfterMistake> {
    let mut lines: Vec<AfterMistake> = drafts.iter().map(|draft| **draft).collect();
    let raw: Vec<f64> = lines.iter().filter_map(|line| line.permutation_p).collect();
    let tested = lines.iter_mut().filter(|line| line.permutation_p.is_some());
    for (line, adjusted_p) in tested.zip(adjust(&raw)) {
        line.adjusted_p = Some(adjusted_p);
        line.judge();
    }
    lines
}

impl AfterMistake {
    fn judge(&mut self) {
        let steps = Transitions {
            after_faulty: self.after_faulty.tally,
            after_clean: self.after_clean.tally,
        };
        self.verdict = match (steps.shortage(), self.adjusted_p) {
            (Some(shortage), _) => Sequence::TooFew(shortage),
            (None, Some(p)) if p <= FALSE_DISCOVERY_RATE => {
                if self.more_in_a_row {
                    Sequence::InARow
                } else {
                    Sequence::SettlesAfter
                }
            }
            _ => Sequence::NoClearPattern,
        };
    }
}

/// What followed on what, over all sequences.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Transitions {
    /// Attempts that came straight after a faulty one.
    pub after_faulty: Tally,
    /// Attempts that came straight after a clean one.
    pub after_clean: Tally,
}

impl Transitions {
    /// Counts the steps inside each sequence; none lead from one to the next.
    ///
    /// ```
    /// use reinback_analysis::after_mistake::Transitions;
    /// let steps = Transitions::count(&[vec![true, true, false], vec![false, true]]);
    /// assert_eq!(steps.after_faulty.to_string(), "1 of 2");
    /// assert_eq!(steps.after_clean.to_string(), "1 of 1");
    /// ```
    #[must_use]
    pub fn count<S: AsRef<[bool]>>(sequences: &[S]) -> Self {
        // By what came first and what second: no guess which way a step goes.
        let mut steps = [[0_u32; 2]; 2];
        for sequence in sequences {
            for pair in sequence.as_ref().windows(2) {
                let place = &mut steps[usize::from(pair[0])][usize::from(pair[1])];
                *place = place.saturating_add(1);
            }
        }
        let tally = |[clean, faulty]: [u32; 2]| Tally {
            faulty,
            attempts: clean.saturating_add(faulty),
        };
        Self {
            after_faulty: tally(steps[1]),
            after_clean: tally(steps[0]),
        }
    }

    /// Share after a mistake less share after a clean attempt.
    fn difference(self) -> Option<f64> {
        Some(self.after_faulty.share()? - self.after_clean.share()?)
    }

    fn shortage(self) -> Option<Shortage> {
        let fewest = self.after_faulty.attempts.min(self.after_clean.attempts);
        if self.after_faulty.attempts + self.after_clean.attempts == 0 {
            Some(Shortage::NoAttempts)
        } else if fewest == 0 {
            Some(Shortage::AllAlike)
        } else if fewest < MIN_ATTEMPTS_FOR_RATE {
            Some(Shortage::FewerThanSixAttempts)
        } else {
            None
        }
    }

    fn difference_range(self) -> Result<Estimate, Shortage> {
        if let Some(shortage) = self.shortage() {
            return Err(shortage);
        }
        let pair = |tally: Tally| (tally.faulty, tally.attempts);
        Ok(newcombe(
            pair(self.after_faulty),
            pair(self.after_clean),
            LEVEL,
        )?)
    }
}

/// Wald and Wolfowitz's runs test: few runs mean that like follows like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunsTest {
    /// Runs of like attempts counted, summed over sequences.
    pub runs: u32,
    /// Runs expected by chance for these counts.
    pub expected: f64,
    /// Standardised difference without continuity correction; negative means
    /// fewer runs than expected. 0 where nothing could vary.
    pub z: f64,
    /// Two-sided p: exact for one sequence of up to 1000 attempts, normal
    /// approximation otherwise.
    pub p: f64,
}

/// The runs test of one sequence.
///
/// With `n1` and `n0` of the two kinds and `n` in all, expected runs are
/// `1 + 2 n1 n0 / n` with variance `2 n1 n0 (2 n1 n0 - n) / (n² (n-1))`. Exact
/// distribution: Wald & Wolfowitz 1940, Ann Math Stat 11:147-162; two-sided p
/// is twice the smaller tail.
///
/// # Errors
///
/// [`Shortage::NoAttempts`] for an empty sequence, [`Shortage::AllAlike`] if
/// there is only one kind.
///
/// ```
/// use reinback_analysis::after_mistake::runs_test;
/// let found = runs_test(&[true, true, true, false, false, false]).unwrap();
/// assert_eq!(found.runs, 2);
/// assert!((found.p - 0.2).abs() < 1e-12, "2 of 20 orders have 2 runs; twice that");
/// ```
pub fn runs_test(sequence: &[bool]) -> Result<RunsTest, Shortage> {
    let mut found = runs_over(&[sequence])?;
    if sequence.len() <= 1000 {
        let faulty = sequence.iter().filter(|faulty| **faulty).count();
        found.p = exact_runs_p(faulty, sequence.len() - faulty, found.runs);
    }
    Ok(found)
}

/// Runs summed over sequences; chance means and variances add up.
fn runs_over(sequences: &[&[bool]]) -> Result<RunsTest, Shortage> {
    if sequences.iter().all(|sequence| sequence.is_empty()) {
        return Err(Shortage::NoAttempts);
    }
    let (mut runs, mut expected, mut variance) = (0_u32, 0.0, 0.0);
    for sequence in sequences {
        let n = real(sequence.len());
        let faulty = real(sequence.iter().filter(|faulty| **faulty).count());
        let twice = 2.0 * faulty * (n - faulty);
        if twice == 0.0 {
            continue;
        }
        let changes = sequence
            .windows(2)
            .filter(|pair| pair[0] != pair[1])
            .count();
        runs = runs.saturating_add(crate::special::count(changes + 1));
        expected += 1.0 + twice / n;
        variance += twice * (twice - n) / (n * n * (n - 1.0));
    }
    if runs == 0 {
        return Err(Shortage::AllAlike);
    }
    let z = if variance > 0.0 {
        (f64::from(runs) - expected) / variance.sqrt()
    } else {
        0.0
    };
    Ok(RunsTest {
        runs,
        expected,
        z,
        p: (2.0 * normal_upper(z.abs())).min(1.0),
    })
}

/// Twice the smaller tail of the exact distribution of runs, at most 1.
fn exact_runs_p(ones: usize, zeros: usize, observed: u32) -> f64 {
    let (mut few, mut many) = (0.0, 0.0);
    let total = ln_choose(ones + zeros, ones);
    let most = 2 * ones.min(zeros) + 1;
    for runs in 2..=most {
        let half = runs / 2;
        let ways = |first: usize, second: usize| {
            (ln_choose(ones - 1, first - 1) + ln_choose(zeros - 1, second - 1) - total).exp()
        };
        let chance = if runs.is_multiple_of(2) {
            2.0 * ways(half, half)
        } else {
            ways(half, half + 1) + ways(half + 1, half)
        };
        if crate::special::count(runs) <= observed {
            few += chance;
        }
        if crate::special::count(runs) >= observed {
            many += chance;
        }
    }
    (2.0_f64 * few.min(many)).min(1.0)
}

/// Log of the ways to choose; minus infinity where there are none.
fn ln_choose(n: usize, k: usize) -> f64 {
    if k > n {
        return f64::NEG_INFINITY;
    }
    statrs::function::factorial::ln_binomial(n as u64, k as u64)
}
