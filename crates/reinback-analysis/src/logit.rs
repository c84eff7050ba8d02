//! A straight line on the log odds of a fault, fitted to rides.

use crate::special::real;

/// One ride: where it lies, faulty attempts and attempts.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Point {
    pub(crate) x: f64,
    pub(crate) faulty: f64,
    pub(crate) attempts: f64,
}

/// A fitted line `intercept + slope x` with the covariance of its two numbers
/// (before dispersion) and Pearson's X² over its degrees of freedom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Line {
    pub(crate) intercept: f64,
    pub(crate) slope: f64,
    pub(crate) var_intercept: f64,
    pub(crate) var_slope: f64,
    pub(crate) covariance: f64,
    /// Not clamped: below 1 where rides scatter less than chance.
    pub(crate) pearson_ratio: f64,
    pub(crate) firth: bool,
}

impl Line {
    /// Log odds at `x`, and their variance before dispersion.
    pub(crate) fn at(&self, x: f64) -> (f64, f64) {
        let variance = self.var_intercept + 2.0 * x * self.covariance + x * x * self.var_slope;
        (self.intercept + self.slope * x, variance.max(0.0))
    }
}

/// The share that belongs to these log odds.
pub(crate) fn share(log_odds: f64) -> f64 {
    1.0 / (1.0 + (-log_odds).exp())
}

/// Fits by maximum likelihood, or with Firth's correction where the likelihood
/// has no maximum. `None` where the rides do not differ in `x`.
pub(crate) fn fit(points: &[Point]) -> Option<Line> {
    newton(points, !has_maximum(points))
}

/// Faulty and clean attempts must overlap along `x`, or the likelihood climbs
/// for ever (Albert & Anderson 1984, Biometrika 71:1-10, for one variable).
fn has_maximum(points: &[Point]) -> bool {
    let reach = |counts: fn(&Point) -> f64| {
        points
            .iter()
            .filter(|point| counts(point) > 0.0)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), point| {
                (low.min(point.x), high.max(point.x))
            })
    };
    let faulty = reach(|point| point.faulty);
    let clean = reach(|point| point.attempts - point.faulty);
    faulty.0 < clean.1 && clean.0 < faulty.1
}

/// Information matrix of the two numbers.
#[derive(Clone, Copy, Default)]
struct Information {
    one: f64,
    x: f64,
    xx: f64,
}

impl Information {
    fn determinant(self) -> f64 {
        self.one * self.xx - self.x * self.x
    }
}

fn information(points: &[Point], line: (f64, f64)) -> Information {
    let mut sum = Information::default();
    for point in points {
        let p = share(line.0 + line.1 * point.x);
        let weight = point.attempts * p * (1.0 - p);
        sum.one += weight;
        sum.x += weight * point.x;
        sum.xx += weight * point.x * point.x;
    }
    sum
}

fn log_likelihood(points: &[Point], line: (f64, f64), firth: bool) -> f64 {
    let fit: f64 = points
        .iter()
        .map(|point| {
            let odds = line.0 + line.1 * point.x;
            // ln(1 + e^odds) without overflow
            point.faulty * odds - point.attempts * (odds.max(0.0) + (-odds.abs()).exp().ln_1p())
        })
        .sum();
    let penalty = if firth {
        0.5 * information(points, line).determinant().ln()
    } else {
        0.0
    };
    fit + penalty
}

fn score(points: &[Point], line: (f64, f64), matrix: Information, firth: bool) -> (f64, f64) {
    let determinant = matrix.determinant();
    let mut sum = (0.0, 0.0);
    for point in points {
        let p = share(line.0 + line.1 * point.x);
        let mut off = point.faulty - point.attempts * p;
        if firth {
            let weight = point.attempts * p * (1.0 - p);
            let spread = matrix.xx - 2.0 * matrix.x * point.x + matrix.one * point.x * point.x;
            off += weight * spread / determinant * (0.5 - p);
        }
        sum.0 += off;
        sum.1 += off * point.x;
    }
    sum
}

fn newton(points: &[Point], firth: bool) -> Option<Line> {
    const MOST_STEPS: u32 = 200;
    let mut line = (0.0, 0.0);
    let mut likelihood = log_likelihood(points, line, firth);
    for _ in 0..MOST_STEPS {
        let matrix = information(points, line);
        let determinant = matrix.determinant();
        if !determinant.is_finite() || determinant <= 0.0 {
            return None;
        }
        let (u, v) = score(points, line, matrix, firth);
        let mut step = (
            (matrix.xx * u - matrix.x * v) / determinant,
            (matrix.one * v - matrix.x * u) / determinant,
        );
        let mut next = (line.0 + step.0, line.1 + step.1);
        let mut climbed = log_likelihood(points, next, firth);
        while (climbed.is_nan() || climbed < likelihood - 1e-12 * likelihood.abs())
            && step.0.abs() + step.1.abs() > 1e-13
        {
            step = (0.5 * step.0, 0.5 * step.1);
            next = (line.0 + step.0, line.1 + step.1);
            climbed = log_likelihood(points, next, firth);
        }
        line = next;
        likelihood = climbed;
        if step.0.abs() + step.1.abs() < 1e-11 {
            break;
        }
    }
    finish(points, line, firth)
}

fn finish(points: &[Point], line: (f64, f64), firth: bool) -> Option<Line> {
    let matrix = information(points, line);
    let determinant = matrix.determinant();
    let pearson: f64 = points
        .iter()
        .map(|point| {
            let p = share(line.0 + line.1 * point.x);
            let off = point.faulty - point.attempts * p;
            off * off / (point.attempts * p * (1.0 - p)).max(f64::MIN_POSITIVE)
        })
        .sum();
    let fitted = Line {
        intercept: line.0,
        slope: line.1,
        var_intercept: matrix.xx / determinant,
        var_slope: matrix.one / determinant,
        covariance: -matrix.x / determinant,
        pearson_ratio: pearson / (real(points.len()) - 2.0),
        firth,
    };
    let finite = [
        fitted.var_intercept,
        fitted.var_slope,
        fitted.covariance,
        fitted.pearson_ratio,
    ]
    .iter()
    .all(|number| number.is_finite());
    (determinant > 0.0 && finite).then_some(fitted)
}
