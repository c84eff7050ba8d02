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

#[cfg(test)]
mod tests {
    use super::*;

    const DAYS: [f64; 12] = [
        0.0, 4.0, 9.0, 15.0, 18.0, 25.0, 30.0, 37.0, 41.0, 50.0, 58.0, 63.0,
    ];
    const ATTEMPTS: [f64; 12] = [
        22.0, 18.0, 30.0, 15.0, 25.0, 14.0, 24.0, 12.0, 26.0, 10.0, 20.0, 18.0,
    ];

    fn points(faulty: [f64; 12]) -> Vec<Point> {
        (0..12)
            .map(|ride| Point {
                x: DAYS[ride] / 30.0,
                faulty: faulty[ride],
                attempts: ATTEMPTS[ride],
            })
            .collect()
    }

    #[track_caller]
    fn close(got: f64, wanted: f64) {
        assert!((got - wanted).abs() < 1e-6, "got {got}, wanted {wanted}");
    }

    /// statsmodels 0.15.0 and R 4.2.2 (`glm`, binomial) on a smooth and on a
    /// lumpy series made for the purpose.
    #[test]
    fn agrees_with_reference_libraries() {
        let smooth = fit(&points([
            7.0, 5.0, 9.0, 4.0, 6.0, 3.0, 5.0, 2.0, 4.0, 1.0, 3.0, 2.0,
        ]))
        .expect("a line");
        close(smooth.intercept, -0.756_622_479_549_570_8);
        close(smooth.slope, -0.625_766_315_566_143_7);
        close(smooth.var_slope.sqrt(), 0.258_399_322_828_565_1);
        close(smooth.pearson_ratio, 0.045_164_612_321_233_46);
        let lumpy = fit(&points([
            12.0, 1.0, 14.0, 0.0, 9.0, 1.0, 11.0, 0.0, 8.0, 0.0, 6.0, 1.0,
        ]))
        .expect("a line");
        close(lumpy.intercept, -0.509_446_384_962_091_3);
        close(lumpy.slope, -0.574_787_060_010_323_1);
        close(lumpy.var_slope.sqrt(), 0.236_293_936_904_806_16);
        close(lumpy.pearson_ratio, 3.869_957_747_922_390_6);
        assert!(!smooth.firth && !lumpy.firth);
    }

    /// Two places make a saturated line, for which Firth's correction is known
    /// to add half a faulty and half a clean attempt to each (Firth 1993,
    /// Biometrika 80:27-38; recalled).
    #[test]
    fn firth_adds_half_an_attempt_each_way() {
        let place = |x, faulty| Point {
            x,
            faulty,
            attempts: 10.0,
        };
        let line = newton(&[place(0.0, 0.0), place(1.0, 5.0)], true);
        // Two rides leave no degrees of freedom, so the whole fit is refused;
        // doubling the places keeps the counts.
        assert_eq!(line, None);
        let half = |x, faulty| Point {
            x,
            faulty,
            attempts: 5.0,
        };
        let rides = [
            half(0.0, 0.0),
            half(0.0, 0.0),
            half(1.0, 2.0),
            half(1.0, 3.0),
        ];
        let line = fit(&rides).expect("a line");
        assert!(line.firth);
        close(line.intercept, (0.5_f64 / 10.5).ln());
        close(line.intercept + line.slope, 0.0);
    }

    #[test]
    fn separated_rides_still_give_a_finite_line() {
        let clean: Vec<Point> = (0..8)
            .map(|ride| Point {
                x: f64::from(ride) - 3.5,
                faulty: 0.0,
                attempts: 5.0,
            })
            .collect();
        let line = fit(&clean).expect("a line");
        assert!(line.firth);
        assert!(
            line.slope.abs() < 1e-9,
            "symmetric rides have no slope: {}",
            line.slope
        );
        assert!(share(line.intercept) < 0.05);
        let steps: Vec<Point> = (0..8)
            .map(|ride| Point {
                x: f64::from(ride) - 3.5,
                faulty: if ride < 4 { 5.0 } else { 0.0 },
                attempts: 5.0,
            })
            .collect();
        let line = fit(&steps).expect("a line");
        assert!(line.firth && line.slope < -0.5 && line.slope.is_finite());
    }

    #[test]
    fn one_place_gives_no_line() {
        let same = [Point {
            x: 1.0,
            faulty: 1.0,
            attempts: 3.0,
        }; 8];
        assert_eq!(fit(&same), None);
    }
}
