//! Where two clips of one ride overlap, by what both microphones heard.
//!
//! What is compared is not the sound but how suddenly it gets louder: hoofs,
//! voices and doors stand out in that for every microphone, near or far.
//!
//! 1. *Onsets*: the rise of the logarithm of the loudness from step to step,
//!    falls set to zero, smoothed over three steps. Loudness is taken above a
//!    floor of half its own median, so that a louder microphone gives the very
//!    same onsets.
//! 2. *Correlation*: Pearson's coefficient of the two onsets over the part in
//!    which they overlap, for every shift, by Fourier transform.
//! 3. *Score*: the coefficient times the root of the number of independent
//!    steps in the overlap (steps over the sum of the products of both
//!    autocorrelations; Bartlett's formula for the variance of the correlation
//!    of two independent series, 1946, from memory). A score is about standard
//!    normal where nothing was heard in common.
//! 4. *Rule*: the best shift is taken if it scores at least [`LEAST_SCORE`],
//!    correlates at least [`LEAST_CORRELATION`], and every shift further from
//!    it than [`PEAK_NANOS`] scores at most [`MOST_RIVAL`] of it. Hoofbeats
//!    alone repeat with every stride, and so fail the last of these.
//!
//! The bounds are our own choice: among a million shifts that have nothing in
//! common the highest score is about 5.

use realfft::RealFftPlanner;

/// The least score of a match.
pub const LEAST_SCORE: f64 = 8.0;
/// The least correlation of a match.
pub const LEAST_CORRELATION: f64 = 0.1;
/// The most that the next best shift may score, as a part of the best.
pub const MOST_RIVAL: f64 = 0.8;
/// The least overlap, in nanoseconds.
pub const LEAST_OVERLAP_NANOS: i64 = 10_000_000_000;
/// Shifts nearer than this to the best one, in nanoseconds, are the same peak.
/// Less than the time between two footfalls of a trot.
pub const PEAK_NANOS: i64 = 150_000_000;
/// A match of at least this score, whose rival has at most [`SURE_RIVAL`] of it, is sure.
pub const SURE_SCORE: f64 = 12.0;
/// The most that the next best shift of a sure match may score, as a part of the best.
pub const SURE_RIVAL: f64 = 0.7;
/// A good step of the loudness, in nanoseconds: the result is told to a
/// quarter of it and better.
pub const STEP_NANOS: i64 = 20_000_000;

/// Most steps of one clip that are compared: eleven hours at [`STEP_NANOS`].
pub const MOST_STEPS: usize = 2_000_000;

/// Autocorrelation further apart than this is taken for none.
const MEMORY_NANOS: i64 = 1_000_000_000;

/// Where the second clip lies on the first, and how sure that is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SoundMatch {
    /// The second clip's start on the first clip's clock, in nanoseconds.
    pub offset_nanos: i64,
    /// Correlation of the onsets at that shift, 0 to 1.
    pub correlation: f64,
    /// The correlation in standard deviations of none.
    pub score: f64,
    /// The best score of any other shift, as a part of `score`; 0 where no
    /// other shift has any.
    pub rival: f64,
    /// How long the two clips overlap at that shift, in nanoseconds.
    pub overlap_nanos: i64,
}

/// How sure a match is, in a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Confidence {
    /// No other shift comes near.
    Sure,
    /// Above the bounds, but to be checked by eye.
    Likely,
}

impl SoundMatch {
    /// In a word, by [`SURE_SCORE`] and [`SURE_RIVAL`].
    #[must_use]
    pub fn confidence(&self) -> Confidence {
        if self.score >= SURE_SCORE && self.rival <= SURE_RIVAL {
            Confidence::Sure
        } else {
            Confidence::Likely
        }
    }
}

/// Why two clips were not matched. Displays as a sentence for a rider.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoMatch {
    /// A clip is shorter than the least overlap.
    #[error("One of the clips has too little sound: at least ten seconds are needed")]
    TooShort,
    /// A clip is longer than is compared.
    #[error("One of the clips is too long to compare")]
    TooLong,
    /// A clip in which nothing gets louder.
    #[error("One of the clips is silent or evenly loud, so there is nothing to match")]
    NoOnsets,
    /// No shift correlates enough: most likely the clips do not overlap.
    #[error("Nothing was heard on both clips; they may not overlap, or not for long enough")]
    NothingInCommon {
        /// The best score of any shift.
        score: f64,
    },
    /// Several shifts fit alike.
    #[error(
        "Several places fit equally well, as hoofbeats alone do; match a moment by eye instead"
    )]
    NotDistinct {
        /// The best score.
        score: f64,
        /// The best score of any other shift, as a part of it.
        rival: f64,
    },
    /// A step that is not above zero, or a loudness that is no number.
    #[error("The loudness of one of the clips cannot be used")]
    BadInput,
}

/// Finds where the second clip lies on the first, from how loud each was step
/// by step (root mean square, full loudness 1), with steps of `step_nanos`.
///
/// # Errors
/// [`NoMatch`]: nothing is guessed.
///
/// ```
/// use reinback_analysis::sound_match::match_sound;
/// // a second of sound is too little to tell anything by
/// assert!(match_sound(&[0.1; 50], &[0.1; 50], 20_000_000).is_err());
/// ```
pub fn match_sound(first: &[f32], second: &[f32], step_nanos: i64) -> Result<SoundMatch, NoMatch> {
    if step_nanos <= 0 || first.iter().chain(second).any(|value| !value.is_finite()) {
        return Err(NoMatch::BadInput);
    }
    let steps = |nanos: i64| {
        usize::try_from(nanos / step_nanos)
            .unwrap_or(usize::MAX)
            .max(1)
    };
    let least = steps(LEAST_OVERLAP_NANOS);
    if first.len().min(second.len()) < least {
        return Err(NoMatch::TooShort);
    }
    if first.len().max(second.len()) > MOST_STEPS {
        return Err(NoMatch::TooLong);
    }
    let (one, other) = (onsets(first), onsets(second));
    let memory = steps(MEMORY_NANOS).min(least);
    let inflation = inflation(&one, &other, memory).ok_or(NoMatch::NoOnsets)?;
    let shifts = Shifts::new(&one, &other, least)?;
    let (best, score) = shifts.best(inflation, |_| true).ok_or(NoMatch::NoOnsets)?;
    let peak = PEAK_NANOS.unsigned_abs() / step_nanos.unsigned_abs();
    let rival = shifts
        .best(inflation, |shift| shift.abs_diff(best) > peak.max(1))
        .map_or(0.0, |(_, score)| score.max(0.0));
    let correlation = shifts.correlation(best);
    if score < LEAST_SCORE || correlation < LEAST_CORRELATION {
        return Err(NoMatch::NothingInCommon { score });
    }
    let rival = rival / score;
    if rival > MOST_RIVAL {
        return Err(NoMatch::NotDistinct { score, rival });
    }
    Ok(SoundMatch {
        offset_nanos: between_steps(&shifts, best, step_nanos),
        correlation: correlation.min(1.0),
        score,
        rival,
        overlap_nanos: signed(shifts.overlap(best)).saturating_mul(step_nanos),
    })
}

/// How suddenly it gets louder, step by step, with a mean of zero.
fn onsets(loudness: &[f32]) -> Vec<f64> {
    let floor = floor(loudness);
    let logs: Vec<f64> = loudness
        .iter()
        .map(|value| (f64::from(value.max(0.0)) + floor).ln())
        .collect();
    let rise = |at: usize| match (at.checked_sub(1).and_then(|at| logs.get(at)), logs.get(at)) {
        (Some(before), Some(now)) => (now - before).max(0.0),
        _ => 0.0,
    };
    let mut smooth: Vec<f64> = (0..logs.len())
        .map(|at| (at.checked_sub(1).map_or(0.0, rise) + 2.0 * rise(at) + rise(at + 1)) / 4.0)
        .collect();
    let mean = smooth.iter().sum::<f64>() / count(smooth.len().max(1));
    for value in &mut smooth {
        *value -= mean;
    }
    smooth
}

/// Half the median, or what is half of the mean where most is silent.
fn floor(loudness: &[f32]) -> f64 {
    let mut sorted: Vec<f32> = loudness.iter().map(|value| value.max(0.0)).collect();
    let middle = sorted.len() / 2;
    let median = if sorted.is_empty() {
        0.0
    } else {
        f64::from(*sorted.select_nth_unstable_by(middle, f32::total_cmp).1)
    };
    let mean =
        sorted.iter().map(|value| f64::from(*value)).sum::<f64>() / count(sorted.len().max(1));
    let floor = if median > 0.0 { median } else { mean } / 2.0;
    // Silence throughout has no onsets, whatever it is measured against.
    if floor > 0.0 { floor } else { 1.0 }
}

/// By how much fewer independent steps there are than steps; `None` if one of the two never
/// changes.
fn inflation(one: &[f64], other: &[f64], memory: usize) -> Option<f64> {
    let own = autocorrelation(one, memory)?;
    let second = autocorrelation(other, memory)?;
    let both: f64 = own.iter().zip(&second).map(|(a, b)| a * b).sum();
    Some((1.0 + 2.0 * both).max(1.0))
}

/// Autocorrelation at 1 to `memory` steps.
fn autocorrelation(series: &[f64], memory: usize) -> Option<Vec<f64>> {
    let power: f64 = series.iter().map(|value| value * value).sum();
    if power <= f64::MIN_POSITIVE {
        return None;
    }
    let at = |lag: usize| {
        let later = series.get(lag..).unwrap_or_default();
        series.iter().zip(later).map(|(a, b)| a * b).sum::<f64>() / power
    };
    Some((1..=memory).map(at).collect())
}

/// Everything needed to tell the correlation at any shift.
struct Shifts {
    /// Sums of products by shift, from the lowest shift on.
    products: Vec<f64>,
    lowest: i64,
    first: Sums,
    second: Sums,
}

/// Sums over the beginning of a series.
struct Sums {
    values: Vec<f64>,
    squares: Vec<f64>,
}

impl Sums {
    fn new(series: &[f64]) -> Self {
        let running = |of: &dyn Fn(f64) -> f64| {
            let mut sum = 0.0;
            std::iter::once(0.0)
                .chain(series.iter().map(|value| {
                    sum += of(*value);
                    sum
                }))
                .collect()
        };
        Self {
            values: running(&|value| value),
            squares: running(&|value| value * value),
        }
    }

    /// Sum and sum of squares over a range.
    fn over(&self, from: usize, to: usize) -> (f64, f64) {
        let between = |sums: &[f64]| match (sums.get(from), sums.get(to)) {
            (Some(from), Some(to)) => to - from,
            _ => 0.0,
        };
        (between(&self.values), between(&self.squares))
    }

    fn len(&self) -> usize {
        self.values.len().saturating_sub(1)
    }
}

impl Shifts {
    fn new(first: &[f64], second: &[f64], least: usize) -> Result<Self, NoMatch> {
        let lowest = signed(least) - signed(second.len());
        let highest = signed(first.len()) - signed(least);
        let all = cross_products(first, second).ok_or(NoMatch::BadInput)?;
        let length = signed(all.len());
        let products = (lowest..=highest)
            .map(|shift| {
                // Shifts below zero stand at the end of a transform.
                let at = usize::try_from(shift.rem_euclid(length.max(1))).unwrap_or(0);
                all.get(at).copied().unwrap_or(0.0)
            })
            .collect();
        Ok(Self {
            products,
            lowest,
            first: Sums::new(first),
            second: Sums::new(second),
        })
    }

    /// Where the overlap begins in the first and in the second series, and how long it is.
    fn part(&self, shift: i64) -> (usize, usize, usize) {
        let in_first = usize::try_from(shift).unwrap_or(0);
        let in_second = usize::try_from(shift.saturating_neg()).unwrap_or(0);
        let rest = |len: usize, from: usize| len.saturating_sub(from);
        let length = rest(self.first.len(), in_first).min(rest(self.second.len(), in_second));
        (in_first, in_second, length)
    }

    fn overlap(&self, shift: i64) -> usize {
        self.part(shift).2
    }

    /// Pearson's coefficient over the overlap at this shift; 0 where one side is flat.
    fn correlation(&self, shift: i64) -> f64 {
        let at = usize::try_from(shift - self.lowest).ok();
        let Some(product) = at.and_then(|at| self.products.get(at)) else {
            return 0.0;
        };
        let (in_first, in_second, length) = self.part(shift);
        let n = count(length.max(1));
        let (sum_one, square_one) = self.first.over(in_first, in_first + length);
        let (sum_two, square_two) = self.second.over(in_second, in_second + length);
        let spread_one = square_one - sum_one * sum_one / n;
        let spread_two = square_two - sum_two * sum_two / n;
        // What is left of a flat stretch is the rounding of the sums before it.
        let flat =
            |spread: f64, sums: &Sums| spread <= 1e-9 * sums.squares.last().copied().unwrap_or(0.0);
        if flat(spread_one, &self.first) || flat(spread_two, &self.second) {
            return 0.0;
        }
        (product - sum_one * sum_two / n) / (spread_one * spread_two).sqrt()
    }

    /// The shift of the best score among those that are wanted.
    fn best(&self, inflation: f64, wanted: impl Fn(i64) -> bool) -> Option<(i64, f64)> {
        (self.lowest..)
            .take(self.products.len())
            .filter(|shift| wanted(*shift))
            .map(|shift| {
                let independent = count(self.overlap(shift)) / inflation;
                (shift, self.correlation(shift) * independent.sqrt())
            })
            .max_by(|(_, one), (_, other)| one.total_cmp(other))
    }
}

/// Sums of `first[i + shift] * second[i]` for every shift, those below zero from the end on.
fn cross_products(first: &[f64], second: &[f64]) -> Option<Vec<f64>> {
    let size = (first.len() + second.len()).next_power_of_two();
    let mut planner = RealFftPlanner::<f64>::new();
    let forward = planner.plan_fft_forward(size);
    let backward = planner.plan_fft_inverse(size);
    let spectrum = |series: &[f64]| {
        let mut padded = series.to_vec();
        padded.resize(size, 0.0);
        let mut spectrum = forward.make_output_vec();
        forward.process(&mut padded, &mut spectrum).ok()?;
        Some(spectrum)
    };
    let mut product = spectrum(first)?;
    for (own, other) in product.iter_mut().zip(spectrum(second)?) {
        *own *= other.conj();
    }
    // The first and the last value are real; rounding must not leave them otherwise.
    for end in [0, product.len().saturating_sub(1)] {
        if let Some(value) = product.get_mut(end) {
            value.im = 0.0;
        }
    }
    let mut sums = backward.make_output_vec();
    backward.process(&mut product, &mut sums).ok()?;
    let scale = count(size);
    for sum in &mut sums {
        *sum /= scale;
    }
    Some(sums)
}

/// The top of the parabola through the best shift and its neighbours.
fn between_steps(shifts: &Shifts, best: i64, step_nanos: i64) -> i64 {
    let (before, here, after) = (
        shifts.correlation(best - 1),
        shifts.correlation(best),
        shifts.correlation(best + 1),
    );
    let bend = before - 2.0 * here + after;
    let part = if bend < 0.0 {
        (0.5 * (before - after) / bend).clamp(-0.5, 0.5)
    } else {
        0.0
    };
    let whole = best.saturating_mul(step_nanos);
    whole.saturating_add(part_of(step_nanos, part))
}

#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    reason = "at most half a step of some milliseconds"
)]
fn part_of(step_nanos: i64, part: f64) -> i64 {
    (step_nanos as f64 * part).round() as i64
}

#[expect(
    clippy::cast_precision_loss,
    reason = "a number of steps, far below the 53 bits of a float"
)]
fn count(steps: usize) -> f64 {
    steps as f64
}

fn signed(steps: usize) -> i64 {
    i64::try_from(steps).unwrap_or(i64::MAX)
}
