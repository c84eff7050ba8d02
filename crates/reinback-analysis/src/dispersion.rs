//! How far attempts of one ride resemble each other.
//!
//! A horse that is tight today is tight in every attempt today: ten attempts
//! of one ride say less than ten attempts of ten rides. The likeness is the
//! intraclass correlation `rho` between attempts of the same ride; a count of
//! `n` attempts, `m` a ride, is then worth `n / phi` independent ones with
//! `phi = 1 + (m - 1) rho`, the design effect of Kish (1965, Survey Sampling).
//! So `phi >= 1`, and `phi` cannot exceed the attempts per ride.

use crate::rate::Tally;
use crate::special::real;

/// How firmly a line's own likeness is pulled towards the horse's other
/// exercises: as if those had been measured with a standard error of 0.1.
/// Our own choice.
const PRIOR_PRECISION: f64 = 100.0;

/// A measured likeness and how much it weighs.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Likeness {
    /// Moment estimate of the intraclass correlation; may be negative.
    pub rho: f64,
    /// Reciprocal of its approximate variance; 0 where nothing was measured.
    pub precision: f64,
}

/// Likeness within rides, from groups of rides that may have different rates.
///
/// With `X² = Σ n_i (p_i - p)² / (p (1-p))` inside each group,
/// `E[X²] = (S-1) + rho ((N - Σ n_i²/N) - (S-1))`, which is solved for `rho`
/// over all groups (moment estimate after Williams 1982, Appl Stat 31:144-148;
/// form derived here). Its variance is taken from that of chi-square.
/// Groups with one ride, or all clean, or all faulty, tell nothing. Rides with
/// a single attempt carry no information on likeness and so no weight.
///
/// ```
/// use reinback_analysis::{Tally, dispersion::likeness};
/// let ride = |faulty| Tally { faulty, attempts: 5 };
/// // all of a ride or none of it: attempts are copies of each other
/// let copies = likeness(&[&[ride(0), ride(5), ride(0), ride(5)]]);
/// assert!(copies.rho > 0.9);
/// ```
#[must_use]
pub fn likeness(groups: &[&[Tally]]) -> Likeness {
    let (mut chi_square, mut freedom, mut leverage) = (0.0, 0.0, 0.0);
    for group in groups {
        let Some((group_chi, group_freedom, group_leverage)) = group_scatter(group) else {
            continue;
        };
        chi_square += group_chi;
        freedom += group_freedom;
        leverage += group_leverage;
    }
    if leverage <= 1e-9 || freedom <= 0.0 {
        return Likeness::default();
    }
    Likeness {
        rho: (chi_square - freedom) / leverage,
        // Var(X²) = 2 freedom, so Var(rho) = 2 freedom / leverage².
        precision: leverage * leverage / (2.0 * freedom),
    }
}

/// Pearson's X², its degrees of freedom, and what X² gains per unit of rho.
fn group_scatter(group: &[Tally]) -> Option<(f64, f64, f64)> {
    let rides = || {
        let usable = |ride: &&Tally| ride.attempts > 0 && ride.faulty <= ride.attempts;
        group.iter().filter(usable)
    };
    let total: Tally = rides().copied().sum();
    let mean = total.share()?;
    if mean <= 0.0 || mean >= 1.0 {
        return None;
    }
    let attempts = f64::from(total.attempts);
    let (mut chi_square, mut squares, mut count) = (0.0, 0.0, 0_usize);
    for ride in rides() {
        let n = f64::from(ride.attempts);
        let off = f64::from(ride.faulty) - n * mean;
        chi_square += off * off / (n * mean * (1.0 - mean));
        squares += n * n;
        count += 1;
    }
    if count < 2 {
        return None;
    }
    let freedom = real(count) - 1.0;
    Some((chi_square, freedom, attempts - squares / attempts - freedom))
}

/// What all lines together say, as the point each line is pulled towards.
///
/// The precision-weighted mean, 0 where nothing was measured or where it is
/// negative.
#[must_use]
pub fn pooled_rho(lines: &[Likeness]) -> f64 {
    let weight: f64 = lines.iter().map(|line| line.precision).sum();
    if weight <= 0.0 {
        return 0.0;
    }
    let sum: f64 = lines.iter().map(|line| line.precision * line.rho).sum();
    (sum / weight).clamp(0.0, 1.0)
}

/// A line's likeness pulled towards `pooled`, the less the more is known of it.
///
/// Result between 0 and 1.
#[must_use]
pub fn shrunken_rho(line: Likeness, pooled: f64) -> f64 {
    let sum = line.precision * line.rho + PRIOR_PRECISION * pooled;
    (sum / (line.precision + PRIOR_PRECISION)).clamp(0.0, 1.0)
}

/// The dispersion of the total of these rides, given the likeness within them.
///
/// `1 + (m - 1) rho` with the attempt-weighted attempts per ride
/// `m = Σ n_i² / Σ n_i` (Kish 1965). Never below 1.
///
/// ```
/// use reinback_analysis::{Tally, dispersion::design_effect};
/// let rides = [Tally { faulty: 1, attempts: 5 }; 4];
/// assert!((design_effect(&rides, 0.25) - 2.0).abs() < 1e-12);
/// assert!((design_effect(&rides, 1.0) - 5.0).abs() < 1e-12, "never above the attempts per ride");
/// ```
#[must_use]
pub fn design_effect(rides: &[Tally], rho: f64) -> f64 {
    let squares = rides.iter().copied().map(squared_attempts).sum();
    design_effect_of(rides.iter().copied().sum(), squares, rho)
}

/// What one ride adds to the sum of squares of [`design_effect_of`].
pub(crate) fn squared_attempts(ride: Tally) -> f64 {
    f64::from(ride.attempts) * f64::from(ride.attempts)
}

/// [`design_effect`] from the sums over rides.
pub(crate) fn design_effect_of(total: Tally, squares: f64, rho: f64) -> f64 {
    if total.attempts == 0 {
        return 1.0;
    }
    let per_ride = squares / f64::from(total.attempts);
    (1.0 + (per_ride - 1.0) * rho.clamp(0.0, 1.0)).max(1.0)
}
