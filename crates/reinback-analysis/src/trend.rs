//! Does the fault rate of an exercise move from ride to ride?
//!
//! The verdict comes from a permutation test of the attempt-weighted slope,
//! the line and its band from a binomial logit whose dispersion is at least 1.
//! With likeness inside rides, the plain p values of such a logit raise false
//! alarms in about one case of five, which is why they are not used.
//!
//! Of several horses, each is held against itself: rides are shuffled inside a
//! horse, and the line gives each horse its own level. Riding a better horse
//! more often is then no trend.

use std::borrow::Cow;

use crate::estimate::{Estimate, LEVEL, Method, Shortage};
use crate::exercise::RidePoint;
use crate::logit::{Line, Point, fit, share};
use crate::multiple::{FALSE_DISCOVERY_RATE, adjust};
use crate::rate::Tally;
use crate::shuffle::{mix, order_p_within};
use crate::special::{count, real, student_two_sided};
use crate::time::Day;

/// Below this many rides there is no trend. With fewer, a rate that falls to a
/// quarter over the time shown would still be missed three times in four.
pub const MIN_RIDES_FOR_TREND: usize = 8;

/// The seed of trends that are not given another.
pub const TREND_SEED: u64 = 0x00C0_FFEE_0000_0011;

/// What a trend says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Direction {
    /// Faults become rarer.
    Fewer,
    /// Faults become more frequent.
    More,
    /// Neither can be told apart from luck. Not the same as "no change".
    NoClearTrend,
}

/// The trend of one exercise, or why there is none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trend {
    /// The trend, or why there is none.
    pub state: Result<TrendEstimate, Shortage>,
}

/// A line through the rides and how far it may be trusted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrendEstimate {
    /// The verdict: [`adjusted_p`](Self::adjusted_p) at or below 5 %.
    pub direction: Direction,
    /// Rides with attempts that can show a trend.
    pub rides: u32,
    /// Horses they are of, each held against itself.
    pub horses: u32,
    /// Share of shuffles in which the slope is at least as steep.
    pub permutation_p: f64,
    /// The same after Benjamini-Hochberg over the exercises shown together.
    pub adjusted_p: f64,
    /// How much more the rides scatter about the line than single attempts
    /// would; at least 1.
    pub dispersion: f64,
    line: Line,
    middle: f64,
    scale: f64,
    student: f64,
}

impl TrendEstimate {
    /// The fitted share of faulty attempts on a day, 0 to 1, with its band.
    ///
    /// `logit⁻¹(a + bx ± t sqrt(φ v))` with `t` on rides less two degrees of
    /// freedom (of several horses: less one more for each further horse). Of
    /// several horses this is the course of one whose faults would add up to
    /// those of all. Outside the days ridden this is a guess into the blue.
    #[must_use]
    pub fn fitted(&self, day: Day) -> Estimate {
        let (log_odds, variance) = self.line.at((f64::from(day.0) - self.middle) / self.scale);
        let half = self.student * (self.dispersion * variance).sqrt();
        self.estimate(
            share(log_odds),
            share(log_odds - half),
            share(log_odds + half),
        )
    }

    /// By what factor the odds of a fault change in 30 days, with its range.
    ///
    /// Below 1 they fall. Held between `e^-700` and `e^700`.
    #[must_use]
    pub fn odds_per_month(&self) -> Estimate {
        let months = 30.0 / self.scale;
        let factor = |change: f64| (change * months).clamp(-700.0, 700.0).exp();
        let half = self.student * (self.dispersion * self.line.var_slope).sqrt();
        let slope = self.line.slope;
        self.estimate(factor(slope), factor(slope - half), factor(slope + half))
    }

    /// All numbers are finite by construction of the line.
    fn estimate(&self, value: f64, low: f64, high: f64) -> Estimate {
        Estimate {
            value,
            low: low.min(value),
            high: high.max(value),
            level: LEVEL,
            method: if self.line.firth {
                Method::LogitFirth
            } else {
                Method::Logit
            },
        }
    }

    fn judge(&mut self, adjusted_p: f64) {
        self.adjusted_p = adjusted_p;
        self.direction = if adjusted_p > FALSE_DISCOVERY_RATE {
            Direction::NoClearTrend
        } else if self.line.slope < 0.0 {
            Direction::Fewer
        } else {
            Direction::More
        };
    }
}

/// The trend of one exercise on its own.
///
/// Statistic: `Σ (faulty_i - attempts_i × pooled rate) × day_i`, compared with
/// its values when whole rides are shuffled over the days (Cochran 1954,
/// Biometrics 10:417-451, and Armitage 1955, Biometrics 11:375-386, made a
/// permutation test). Line: binomial logit, dispersion after `McCullagh` & Nelder
/// 1989 held at 1 or above, Firth's correction where plain likelihood has no
/// maximum. Rides without attempts are left out.
///
/// ```
/// use reinback_analysis::{Day, Direction, RidePoint, Shortage, Tally, trend};
/// let point = |ride: u32, faulty: u32| RidePoint {
///     ride: ride.into(),
///     day: Day(20_000 + 3 * ride as i32),
///     tally: Tally { faulty, attempts: 10 },
/// };
/// let falling: Vec<_> = [8, 7, 7, 6, 5, 5, 3, 3, 2, 1].into_iter().zip(0..).map(|(k, r)| point(r, k)).collect();
/// let found = trend(&falling, 7).state.unwrap();
/// assert_eq!(found.direction, Direction::Fewer);
/// let first = found.fitted(Day(20_000));
/// assert!(first.low < 0.8 && 0.8 < first.high);
/// assert_eq!(trend(&falling[..7], 7).state, Err(Shortage::FewerThanEightRides));
/// ```
#[must_use]
pub fn trend(points: &[RidePoint], seed: u64) -> Trend {
    trend_of_horses(&[points], seed)
}

/// The trend of one exercise over several horses, each held against itself.
///
/// As [`trend`]: the statistic is the sum of each horse's own
/// `Σ (faulty_i - attempts_i × the horse's rate) × day_i`, whole rides are
/// shuffled inside each horse, and the logit has one slope and a level for each
/// horse. Horses with one ride, or all of whose rides are on one day, cannot
/// show a trend and are left out. One horse gives exactly [`trend`].
///
/// ```
/// use reinback_analysis::{Day, Direction, RidePoint, Tally, trend::trend_of_horses};
/// let rides = |faulty: u32, days: std::ops::Range<i32>| -> Vec<RidePoint> {
///     days.map(|day| RidePoint {
///         ride: day.unsigned_abs().into(),
///         day: Day(day),
///         tally: Tally { faulty: faulty + day.unsigned_abs() % 2, attempts: 10 },
///     }).collect()
/// };
/// // A poor horse was ridden first, a good one later; neither changed.
/// let (poor, good) = (rides(6, 0..20), rides(1, 15..40));
/// let apart = trend_of_horses(&[&poor, &good], 7).state.unwrap();
/// assert_eq!(apart.direction, Direction::NoClearTrend);
/// let pooled = trend_of_horses(&[&[poor, good].concat()], 7).state.unwrap();
/// assert_eq!(pooled.direction, Direction::Fewer, "thrown together they seem to");
/// ```
#[must_use]
pub fn trend_of_horses(horses: &[&[RidePoint]], seed: u64) -> Trend {
    Trend {
        state: trend_estimate(horses, seed),
    }
}

/// The trends of several exercises shown together, judged together.
///
/// Each list of points has its own seed, mixed from `seed` and its place.
#[must_use]
pub fn trends(lines: &[&[RidePoint]], seed: u64) -> Vec<Trend> {
    let mut found: Vec<Trend> = lines
        .iter()
        .zip(0..)
        .map(|(points, place)| trend(points, mix(seed, place)))
        .collect();
    judge_together(found.iter_mut().collect());
    found
}

/// Adjusts the verdicts of trends shown on one page.
pub(crate) fn judge_together(found: Vec<&mut Trend>) {
    let raw: Vec<f64> = found
        .iter()
        .filter_map(|trend| trend.state.ok())
        .map(|state| state.permutation_p)
        .collect();
    let mut adjusted = adjust(&raw).into_iter();
    for trend in found {
        if let Ok(state) = &mut trend.state {
            state.judge(adjusted.next().unwrap_or(1.0));
        }
    }
}

fn trend_estimate(horses: &[&[RidePoint]], seed: u64) -> Result<TrendEstimate, Shortage> {
    let mut horses: Vec<Cow<'_, [RidePoint]>> = horses
        .iter()
        .map(|points| ridden(points))
        .filter(|points| !points.is_empty())
        .collect();
    if horses.is_empty() {
        return Err(Shortage::NoAttempts);
    }
    let mut points = horses.iter().flat_map(|points| points.iter());
    if points.any(|point| point.tally.faulty > point.tally.attempts) {
        return Err(Shortage::Contradictory(crate::InputError::MoreThanAll));
    }
    let rides =
        |horses: &[Cow<'_, [RidePoint]>]| horses.iter().map(|rides| rides.len()).sum::<usize>();
    if rides(&horses) < MIN_RIDES_FOR_TREND {
        return Err(Shortage::FewerThanEightRides);
    }
    horses.retain(|points| {
        points.first().map(|point| point.day) != points.last().map(|point| point.day)
    });
    if horses.is_empty() {
        return Err(Shortage::OneDayOnly);
    }
    let rides = rides(&horses);
    if rides < MIN_RIDES_FOR_TREND {
        return Err(Shortage::FewerThanEightRides);
    }
    let day = |point: &RidePoint| f64::from(point.day.0);
    let points = || horses.iter().flat_map(|points| points.iter());
    let middle = points().map(day).sum::<f64>() / real(rides);
    let scale = points()
        .map(|point| (day(point) - middle).abs())
        .fold(0.0, f64::max);
    let places: Vec<Vec<f64>> = horses
        .iter()
        .map(|points| {
            let place = |point| (day(point) - middle) / scale;
            points.iter().map(place).collect()
        })
        .collect();
    let fitted: Vec<Vec<Point>> = horses
        .iter()
        .zip(&places)
        .map(|(points, places)| logit_points(points, places))
        .collect();
    let fitted: Vec<&[Point]> = fitted.iter().map(Vec::as_slice).collect();
    let line = fit(&fitted).ok_or(Shortage::OneDayOnly)?;
    let scores: Vec<Vec<f64>> = horses.iter().map(|points| scores(points)).collect();
    let groups: Vec<(&[f64], &[f64])> = scores
        .iter()
        .zip(&places)
        .map(|(scores, places)| (scores.as_slice(), places.as_slice()))
        .collect();
    let permutation_p = order_p_within(&groups, seed);
    let mut estimate = TrendEstimate {
        direction: Direction::NoClearTrend,
        rides: count(rides),
        horses: count(horses.len()),
        permutation_p,
        adjusted_p: permutation_p,
        dispersion: line.pearson_ratio.max(1.0),
        line,
        middle,
        scale,
        student: student_two_sided(LEVEL, line.freedom),
    };
    estimate.judge(permutation_p);
    Ok(estimate)
}

/// The rides with attempts, in an order of their own.
fn ridden(points: &[RidePoint]) -> Cow<'_, [RidePoint]> {
    let order = |point: &RidePoint| (point.day, point.ride, point.tally);
    let is_ridden = |point: &RidePoint| point.tally.attempts > 0;
    if points.iter().all(is_ridden) && points.is_sorted_by_key(order) {
        return Cow::Borrowed(points);
    }
    let mut ridden: Vec<RidePoint> = points.iter().copied().filter(is_ridden).collect();
    ridden.sort_unstable_by_key(order);
    Cow::Owned(ridden)
}

fn scores(ridden: &[RidePoint]) -> Vec<f64> {
    let total: Tally = ridden.iter().map(|point| point.tally).sum();
    let pooled = total.share().unwrap_or(0.0);
    ridden
        .iter()
        .map(|point| f64::from(point.tally.faulty) - f64::from(point.tally.attempts) * pooled)
        .collect()
}

fn logit_points(ridden: &[RidePoint], places: &[f64]) -> Vec<Point> {
    ridden
        .iter()
        .zip(places)
        .map(|(point, place)| Point {
            x: *place,
            faulty: f64::from(point.tally.faulty),
            attempts: f64::from(point.tally.attempts),
        })
        .collect()
}
