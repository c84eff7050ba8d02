//! A straight line on the log odds of a fault, fitted to rides: one slope, and
//! a level of its own for every horse.

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
///
/// Of several horses it is the line of one whose faults would add up to those
/// of all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Line {
    pub(crate) intercept: f64,
    pub(crate) slope: f64,
    pub(crate) var_intercept: f64,
    pub(crate) var_slope: f64,
    pub(crate) covariance: f64,
    /// Not clamped: below 1 where rides scatter less than chance.
    pub(crate) pearson_ratio: f64,
    /// Rides less the levels and the slope fitted to them; positive.
    pub(crate) freedom: f64,
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
/// has no maximum. `None` where no horse's rides differ in `x`, or where there
/// are no more rides than numbers to fit.
///
/// A horse without a fault, or with nothing else, says nothing of the slope and
/// would send its own level to infinity: where the others have a maximum it is
/// left out of the slope, unless too few rides remain.
pub(crate) fn fit(horses: &[&[Point]]) -> Option<Line> {
    let mixed: Vec<&[Point]> = horses
        .iter()
        .copied()
        .filter(|points| is_mixed(points))
        .collect();
    let plain = if has_maximum(&mixed) {
        Model::climb(&mixed, false).and_then(|model| model.line(horses))
    } else {
        None
    };
    plain.or_else(|| Model::climb(horses, true)?.line(horses))
}

fn is_mixed(points: &[Point]) -> bool {
    points.iter().any(|point| point.faulty > 0.0)
        && points.iter().any(|point| point.faulty < point.attempts)
}

/// Faulty and clean attempts must overlap along `x` in both directions, or the
/// likelihood climbs for ever (Albert & Anderson 1984, Biometrika 71:1-10, for
/// one variable; a level for each horse leaves only the order inside it).
fn has_maximum(horses: &[&[Point]]) -> bool {
    let reach = |points: &[Point], counts: fn(&Point) -> f64| {
        points
            .iter()
            .filter(|point| counts(point) > 0.0)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), point| {
                (low.min(point.x), high.max(point.x))
            })
    };
    let (mut up, mut down) = (false, false);
    for points in horses {
        let faulty = reach(points, |point| point.faulty);
        let clean = reach(points, |point| point.attempts - point.faulty);
        up |= faulty.0 < clean.1;
        down |= clean.0 < faulty.1;
    }
    up && down
}

/// By how much a step may move the log odds of a ride and surely climb.
const SURE: f64 = 0.6;

/// What the rides of one horse add up to at a given line.
#[derive(Clone, Copy, Default)]
struct Sums {
    /// Σ of the weights `n p (1-p)`, with `x` and with `x²`.
    one: f64,
    x: f64,
    xx: f64,
    /// How steeply the log likelihood climbs along the level and along the slope.
    off: f64,
    off_x: f64,
}

impl Sums {
    fn of(points: &[Point], level: f64, slope: f64) -> Self {
        let mut sums = Self::default();
        // Where the climb begins all rides of a horse share one rate.
        let flat = (slope == 0.0).then(|| share(level));
        for point in points {
            let p = flat.unwrap_or_else(|| share(level + slope * point.x));
            let weight = point.attempts * p * (1.0 - p);
            let off = point.faulty - point.attempts * p;
            sums.one += weight;
            sums.x += weight * point.x;
            sums.xx += weight * point.x * point.x;
            sums.off += off;
            sums.off_x += off * point.x;
        }
        sums
    }

    /// The information this horse holds about the slope, its level apart.
    fn about_slope(&self) -> f64 {
        self.xx - self.x * self.x / self.one
    }

    fn middle(&self) -> f64 {
        self.x / self.one
    }
}

/// Levels of all horses and their common slope, with what they add up to there.
struct Model<'a> {
    horses: &'a [&'a [Point]],
    levels: Vec<f64>,
    slope: f64,
    sums: Vec<Sums>,
    firth: bool,
}

impl<'a> Model<'a> {
    fn at(horses: &'a [&'a [Point]], levels: Vec<f64>, slope: f64, firth: bool) -> Self {
        let sums = horses
            .iter()
            .zip(&levels)
            .map(|(points, level)| Sums::of(points, *level, slope))
            .collect();
        Self {
            horses,
            levels,
            slope,
            sums,
            firth,
        }
    }

    /// Newton's method, with steps halved until they climb.
    ///
    /// A step that moves no log odds by more than [`SURE`] climbs without being
    /// tried: the weights change by less than `e^0.6 < 2` on its way, so that
    /// less is lost than won.
    fn climb(horses: &'a [&'a [Point]], firth: bool) -> Option<Self> {
        const MOST_STEPS: u32 = 200;
        /// Newton's own error is the square of its step; Firth's correction
        /// leaves more.
        const ENOUGH: (f64, f64) = (1e-8, 1e-11);
        let points = horses.iter().copied().flatten();
        let reach = points.fold(0.0_f64, |most, point| most.max(point.x.abs()));
        let levels = horses.iter().map(|points| start(points)).collect();
        let mut model = Self::at(horses, levels, 0.0, firth);
        for _ in 0..MOST_STEPS {
            let (mut steps, mut slope_step) = model.step()?;
            let mut next = model.moved(&steps, slope_step);
            let size = |steps: &[f64], slope: f64| {
                let level = steps
                    .iter()
                    .fold(0.0_f64, |most, step| most.max(step.abs()));
                level + slope.abs() * reach
            };
            if firth || size(&steps, slope_step) > SURE {
                let seen = model.likelihood();
                let climbs = |next: &Self| next.likelihood() >= seen - 1e-12 * seen.abs();
                while !climbs(&next) && size(&steps, slope_step) > 1e-13 {
                    for step in &mut steps {
                        *step *= 0.5;
                    }
                    slope_step *= 0.5;
                    next = model.moved(&steps, slope_step);
                }
            }
            model = next;
            let enough = if firth { ENOUGH.1 } else { ENOUGH.0 };
            if size(&steps, slope_step) < enough {
                break;
            }
        }
        Some(model)
    }

    fn likelihood(&self) -> f64 {
        let of_point = |point: &Point, level: f64| {
            let odds = level + self.slope * point.x;
            // n ln(1 + e^odds) without overflow
            let all = odds.max(0.0) + (-odds.abs()).exp().ln_1p();
            point.faulty * odds - point.attempts * all
        };
        let mut likelihood = 0.0;
        for (points, level) in self.horses.iter().zip(&self.levels) {
            likelihood += points
                .iter()
                .map(|point| of_point(point, *level))
                .sum::<f64>();
        }
        if self.firth {
            let levels: f64 = self.sums.iter().map(|sums| sums.one.ln()).sum();
            likelihood += 0.5 * (levels + information(&self.sums).ln());
        }
        likelihood
    }

    fn moved(&self, steps: &[f64], slope_step: f64) -> Self {
        let levels = self.levels.iter().zip(steps);
        let levels = levels.map(|(level, step)| level + step).collect();
        Self::at(self.horses, levels, self.slope + slope_step, self.firth)
    }

    /// The levels' information is diagonal, so that the slope can be solved for
    /// first. `None` where there is no information about one of them.
    fn step(&self) -> Option<(Vec<f64>, f64)> {
        let about_slope = information(&self.sums);
        let known = self.sums.iter().all(|sums| sums.one > 0.0);
        if !known || !about_slope.is_finite() || about_slope <= 0.0 {
            return None;
        }
        let offs: Vec<(f64, f64)> = if self.firth {
            self.corrected(about_slope)
        } else {
            self.sums
                .iter()
                .map(|sums| (sums.off, sums.off_x))
                .collect()
        };
        let slope: f64 = self
            .sums
            .iter()
            .zip(&offs)
            .map(|(sums, (off, off_x))| off_x - sums.middle() * off)
            .sum::<f64>()
            / about_slope;
        let levels = self.sums.iter().zip(&offs);
        let levels = levels.map(|(sums, (off, _))| off / sums.one - sums.middle() * slope);
        Some((levels.collect(), slope))
    }

    /// Firth's (1993) correction of the slopes of the likelihood: every ride
    /// gains `h (1/2 - p)` with its share `h` of the numbers fitted.
    fn corrected(&self, about_slope: f64) -> Vec<(f64, f64)> {
        let horses = self.horses.iter().zip(&self.sums).zip(&self.levels);
        horses
            .map(|((points, sums), level)| {
                let (mut off, mut off_x) = (sums.off, sums.off_x);
                for point in *points {
                    let p = share(level + self.slope * point.x);
                    let weight = point.attempts * p * (1.0 - p);
                    let apart = point.x - sums.middle();
                    let held = weight * (1.0 / sums.one + apart * apart / about_slope);
                    off += held * (0.5 - p);
                    off_x += held * (0.5 - p) * point.x;
                }
                (off, off_x)
            })
            .collect()
    }

    /// The line of all horses given, those left out of the slope among them.
    fn line(&self, all: &[&[Point]]) -> Option<Line> {
        let about_slope = information(&self.sums);
        let rides: usize = self.horses.iter().map(|points| points.len()).sum();
        let freedom = real(rides) - real(self.horses.len()) - 1.0;
        let attempts: Vec<f64> = self
            .horses
            .iter()
            .map(|points| points.iter().map(|point| point.attempts).sum())
            .collect();
        let all_attempts: f64 = attempts.iter().sum();
        // The average horse: each counts by its attempts.
        let (mut level, mut middle, mut spread) = (0.0, 0.0, 0.0);
        for ((sums, own), attempts) in self.sums.iter().zip(&self.levels).zip(&attempts) {
            let weight = attempts / all_attempts;
            level += weight * own;
            middle += weight * sums.middle();
            spread += weight * weight / sums.one;
        }
        let line = Line {
            // Of one horse the fit itself makes them add up.
            intercept: if all.len() > 1 && !self.firth {
                balanced_level(all, self.slope, level)
            } else {
                level
            },
            slope: self.slope,
            var_intercept: spread + middle * middle / about_slope,
            var_slope: 1.0 / about_slope,
            covariance: -middle / about_slope,
            pearson_ratio: self.pearson() / freedom,
            freedom,
            firth: self.firth,
        };
        let finite = [
            line.intercept,
            line.slope,
            line.var_intercept,
            line.var_slope,
            line.covariance,
            line.pearson_ratio,
        ]
        .iter()
        .all(|number| number.is_finite());
        (freedom > 0.0 && about_slope > 0.0 && finite).then_some(line)
    }

    fn pearson(&self) -> f64 {
        let of_horse = |points: &[Point], level: f64| -> f64 {
            points
                .iter()
                .map(|point| {
                    let p = share(level + self.slope * point.x);
                    let off = point.faulty - point.attempts * p;
                    off * off / (point.attempts * p * (1.0 - p)).max(f64::MIN_POSITIVE)
                })
                .sum()
        };
        let horses = self.horses.iter().zip(&self.levels);
        horses.map(|(points, level)| of_horse(points, *level)).sum()
    }
}

/// The information all horses hold about the slope.
fn information(sums: &[Sums]) -> f64 {
    sums.iter().map(Sums::about_slope).sum()
}

/// The level of a horse whose rate does not move, kept off 0 and 1 by half an
/// attempt each way.
fn start(points: &[Point]) -> f64 {
    let (mut faulty, mut clean) = (0.5, 0.5);
    for point in points {
        faulty += point.faulty;
        clean += point.attempts - point.faulty;
    }
    (faulty / clean).ln()
}

/// The level at which the faults expected along the slope add up to those seen.
fn balanced_level(horses: &[&[Point]], slope: f64, near: f64) -> f64 {
    const MOST_STEPS: u32 = 50;
    let mut level = near;
    for _ in 0..MOST_STEPS {
        let (mut off, mut weight, mut bend) = (0.0, 0.0, 0.0);
        for point in horses.iter().copied().flatten() {
            let p = share(level + slope * point.x);
            let own = point.attempts * p * (1.0 - p);
            off += point.faulty - point.attempts * p;
            weight += own;
            bend += own * (1.0 - 2.0 * p);
        }
        // Halley's step: Newton's, bent as the curve is. One too far could
        // overshoot where the curve is flat.
        let step = off / weight;
        let step = (step / (1.0 + 0.5 * step * bend / weight).max(0.5)).clamp(-1.0, 1.0);
        if !step.is_finite() {
            return near;
        }
        level += step;
        // The next one would be of the size of its cube.
        if step.abs() < 1e-4 {
            break;
        }
    }
    level
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
        let smooth = fit(&[&points([
            7.0, 5.0, 9.0, 4.0, 6.0, 3.0, 5.0, 2.0, 4.0, 1.0, 3.0, 2.0,
        ])])
        .expect("a line");
        close(smooth.intercept, -0.756_622_479_549_570_8);
        close(smooth.slope, -0.625_766_315_566_143_7);
        close(smooth.var_slope.sqrt(), 0.258_399_322_828_565_1);
        close(smooth.pearson_ratio, 0.045_164_612_321_233_46);
        let lumpy = fit(&[&points([
            12.0, 1.0, 14.0, 0.0, 9.0, 1.0, 11.0, 0.0, 8.0, 0.0, 6.0, 1.0,
        ])])
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
        let line = fit(&[&[place(0.0, 0.0), place(1.0, 5.0)]]);
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
        let line = fit(&[&rides]).expect("a line");
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
        let line = fit(&[&clean]).expect("a line");
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
        let line = fit(&[&steps]).expect("a line");
        assert!(line.firth && line.slope < -0.5 && line.slope.is_finite());
    }

    #[test]
    fn one_place_gives_no_line() {
        let same = [Point {
            x: 1.0,
            faulty: 1.0,
            attempts: 3.0,
        }; 8];
        assert_eq!(fit(&[&same]), None);
    }
}
