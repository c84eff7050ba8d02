//! Figures that describe a list of measurements: median, quantiles, evenness,
//! slope, limits of agreement.
//!
//! Nothing here knows what was measured. **Invariant**: values that are not
//! finite are refused, never passed through.

use crate::estimate::{Estimate, InputError, Method};
use crate::special::{gamma_quantile, normal_two_sided, real};

/// The arithmetic mean; `None` for no values.
///
/// ```
/// use reinback_analysis::describe::mean;
/// assert_eq!((mean(&[1.0, 2.0, 6.0]), mean(&[])), (Some(3.0), None));
/// ```
#[must_use]
pub fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / real(values.len()))
}

/// The sample standard deviation (`n - 1`); `None` below two values.
///
/// ```
/// use reinback_analysis::describe::standard_deviation;
/// // deviations -2, 0 and 2: the root of 8 over 2
/// assert_eq!(standard_deviation(&[1.0, 3.0, 5.0]), Some(2.0));
/// assert_eq!(standard_deviation(&[1.0]), None);
/// ```
#[must_use]
pub fn standard_deviation(values: &[f64]) -> Option<f64> {
    let mean = mean(values)?;
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    (values.len() > 1).then(|| (squares / (real(values.len()) - 1.0)).sqrt())
}

/// The value below which this share of the values lies, interpolated linearly
/// between order statistics (definition 7 of Hyndman & Fan 1996, Am Stat
/// 50:361-365). `None` for no values; `share` is held between 0 and 1.
///
/// ```
/// use reinback_analysis::describe::quantile;
/// assert_eq!(quantile(&[4.0, 1.0, 2.0, 3.0], 0.5), Some(2.5));
/// ```
#[must_use]
pub fn quantile(values: &[f64], share: f64) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let last = sorted.len().checked_sub(1)?;
    Some(at_rank(&sorted, share.clamp(0.0, 1.0) * real(last)))
}

/// The middle value; `None` for no values.
///
/// ```
/// use reinback_analysis::describe::median;
/// assert_eq!(median(&[9.0, 1.0, 2.0]), Some(2.0));
/// assert_eq!(median(&[9.0, 1.0]), Some(5.0));
/// ```
#[must_use]
pub fn median(values: &[f64]) -> Option<f64> {
    quantile(values, 0.5)
}

/// The value at a rank counted from 0, between two neighbours linearly; ranks
/// outside are held at the ends. `sorted` must not be empty.
fn at_rank(sorted: &[f64], rank: f64) -> f64 {
    let last = sorted.len() - 1;
    let place = (0..last)
        .take_while(|place| real(place + 1) <= rank)
        .count();
    let next = (place + 1).min(last);
    let beyond = (rank - real(place)).clamp(0.0, 1.0);
    sorted[place] + beyond * (sorted[next] - sorted[place])
}

/// The standard deviation over the mean, with its range.
///
/// Range: `McKay`'s `k / sqrt((u/n - 1) k² + u/(n-1))` with `u` the chi-square
/// quantiles on `n - 1` degrees of freedom (`McKay` 1932, J R Stat Soc
/// 95:695-698). Good for normal values and a coefficient below about a third.
///
/// # Errors
///
/// [`InputError::NothingToDivideBy`] below two values or where their mean is not
/// positive, [`InputError::NotFinite`] where the range has no upper end.
///
/// ```
/// use reinback_analysis::describe::coefficient_of_variation;
/// let strides = [0.42, 0.44, 0.43, 0.45, 0.41, 0.43, 0.46, 0.42, 0.44, 0.43];
/// let even = coefficient_of_variation(&strides, 0.95)?;
/// // SciPy 1.12.0, exact by the noncentral t: 0.0237 to 0.0631
/// assert!((even.low - 0.0237).abs() < 1e-4 && (even.high - 0.0631).abs() < 1e-4);
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn coefficient_of_variation(values: &[f64], level: f64) -> Result<Estimate, InputError> {
    if !(level > 0.0 && level < 1.0) {
        return Err(InputError::Level);
    }
    let (Some(mean), Some(deviation)) = (mean(values), standard_deviation(values)) else {
        return Err(InputError::NothingToDivideBy);
    };
    if mean <= 0.0 {
        return Err(InputError::NothingToDivideBy);
    }
    let (k, n) = (deviation / mean, real(values.len()));
    let end = |share: f64| {
        let chi_square = 2.0 * gamma_quantile(0.5 * (n - 1.0), share);
        k / ((chi_square / n - 1.0) * k * k + chi_square / (n - 1.0)).sqrt()
    };
    let tail = 0.5 * (1.0 - level);
    Estimate::new(k, end(1.0 - tail), end(tail), level, Method::McKay)
}

/// The median of all slopes between two points, with its rank interval.
///
/// Ranks `(N ± z sqrt(v)) / 2` of the `N` slopes, `v` the variance of Kendall's
/// S with ties in `y` (Sen 1968, J Am Stat Assoc 63:1379-1389; ranks between
/// two slopes interpolated as in Gilbert 1987). Points are taken as
/// independent of each other. Time grows with the square of the points.
///
/// # Errors
///
/// [`InputError::NothingToDivideBy`] where no two points differ in `x`.
///
/// ```
/// use reinback_analysis::describe::theil_sen;
/// // Sen 1968, section 6: slope 4
/// let points = [(1., 9.), (2., 15.), (3., 19.), (4., 20.), (10., 45.), (12., 55.), (18., 78.)];
/// assert!((theil_sen(&points, 0.95)?.value - 4.0).abs() < 1e-12);
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn theil_sen(points: &[(f64, f64)], level: f64) -> Result<Estimate, InputError> {
    if !(level > 0.0 && level < 1.0) {
        return Err(InputError::Level);
    }
    let mut slopes = Vec::new();
    for (place, one) in points.iter().enumerate() {
        for other in &points[place + 1..] {
            let run = other.0 - one.0;
            if run != 0.0 {
                slopes.push((other.1 - one.1) / run);
            }
        }
    }
    slopes.sort_by(f64::total_cmp);
    let value = median(&slopes).ok_or(InputError::NothingToDivideBy)?;
    let reach = normal_two_sided(level) * kendall_variance(points).sqrt();
    let all = real(slopes.len());
    Estimate::new(
        value,
        at_rank(&slopes, 0.5 * (all - reach) - 1.0),
        at_rank(&slopes, 0.5 * (all + reach)),
        level,
        Method::TheilSen,
    )
}

/// `(n(n-1)(2n+5) - Σ t(t-1)(2t+5)) / 18`, `t` the sizes of ties in `y`.
fn kendall_variance(points: &[(f64, f64)]) -> f64 {
    // Adding 0 makes one zero of both, which are a tie.
    let mut heights: Vec<f64> = points.iter().map(|point| point.1 + 0.0).collect();
    heights.sort_by(f64::total_cmp);
    let share = |n: f64| n * (n - 1.0) * (2.0 * n + 5.0);
    let ties: f64 = heights
        .chunk_by(|one, other| one.total_cmp(other).is_eq())
        .map(|tie| share(real(tie.len())))
        .sum();
    ((share(real(points.len())) - ties) / 18.0).max(0.0)
}

/// The mean of differences and where the middle `level` of single differences
/// lies, if they are normal: `mean ± z s`.
///
/// Source: Bland & Altman 1986, Lancet i:307-310 (who use 2 for z). The ends
/// say how far two reviewers may be apart on one mark; the mean itself is known
/// better than that.
///
/// # Errors
///
/// [`InputError::NothingToDivideBy`] below two differences.
///
/// ```
/// use reinback_analysis::describe::limits_of_agreement;
/// // mean 1, standard deviation 2: 1 ± 1.96 × 2
/// let found = limits_of_agreement(&[-1.0, 1.0, 3.0], 0.95)?;
/// assert!((found.low + 2.92).abs() < 0.001 && (found.high - 4.92).abs() < 0.001);
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn limits_of_agreement(differences: &[f64], level: f64) -> Result<Estimate, InputError> {
    if !(level > 0.0 && level < 1.0) {
        return Err(InputError::Level);
    }
    let (Some(mean), Some(deviation)) = (mean(differences), standard_deviation(differences)) else {
        return Err(InputError::NothingToDivideBy);
    };
    let reach = normal_two_sided(level) * deviation;
    Estimate::new(
        mean,
        mean - reach,
        mean + reach,
        level,
        Method::LimitsOfAgreement,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn close(got: f64, wanted: f64, tolerance: f64) {
        assert!((got - wanted).abs() <= tolerance, "{got} v {wanted}");
    }

    /// R package cvcqv, README example, `McKay` row (read).
    #[test]
    fn evenness_after_mckay() {
        let values = [
            0.2, 0.5, 1.1, 1.4, 1.8, 2.3, 2.5, 2.7, 3.5, 4.4, 4.6, 5.4, 5.4, 5.7, 5.8, 5.9, 6.0,
            6.6, 7.1, 7.9,
        ];
        let found = coefficient_of_variation(&values, 0.95).expect("a range");
        close(100.0 * found.value, 57.774, 6e-4);
        close(100.0 * found.low, 41.441, 2e-3);
        close(100.0 * found.high, 108.483, 2e-3);
    }

    #[test]
    fn evenness_refuses_what_has_none() {
        for (values, error) in [
            (vec![], InputError::NothingToDivideBy),
            (vec![1.0], InputError::NothingToDivideBy),
            (vec![-1.0, 1.0], InputError::NothingToDivideBy),
            (vec![0.001, 9.0], InputError::NotFinite),
            (vec![f64::NAN, 9.0], InputError::NotFinite),
        ] {
            assert_eq!(coefficient_of_variation(&values, 0.95), Err(error));
        }
        let same = coefficient_of_variation(&[2.0; 5], 0.95).expect("a range");
        assert!(same.high.abs() < 1e-12, "perfectly even");
    }

    /// USEPA 2009 Unified Guidance, Example 17-7 (sodium), in the output of the
    /// R package `EnvStats` (read).
    #[test]
    fn slope_after_the_epa_guidance() {
        let years = [89.6, 90.1, 90.8, 91.1, 92.1, 93.1, 94.1, 95.6, 96.1, 96.3];
        let sodium = [56., 53., 51., 55., 52., 60., 62., 59., 61., 63.];
        let points: Vec<(f64, f64)> = years.into_iter().zip(sodium).collect();
        let found = theil_sen(&points, 0.95).expect("a slope");
        close(found.value, 1.333_333_3, 6e-8);
        close(found.low, 0.399_208_3, 6e-8);
        close(found.high, 2.333_333_3, 6e-8);
        assert!(theil_sen(&[(1.0, 2.0), (1.0, 3.0)], 0.95).is_err());
    }

    /// Bland & Altman 1986 (peak flow of 17 subjects; memory): mean -2.1, s
    /// 38.8. Ends with 1.96 in place of their 2: arithmetic.
    #[test]
    fn limits_after_bland_and_altman() {
        let one = [
            494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427,
        ];
        let other = [
            512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451,
        ];
        let differences: Vec<f64> = one
            .into_iter()
            .zip(other)
            .map(|(a, b)| f64::from(a - b))
            .collect();
        let found = limits_of_agreement(&differences, 0.95).expect("limits");
        close(found.value, -2.1, 0.05);
        close(found.low, -78.095_905_467, 2e-3);
        close(found.high, 73.860_611_346, 2e-3);
        close(standard_deviation(&differences).expect("s"), 38.8, 0.05);
    }

    #[test]
    fn quantiles_hold_their_ends() {
        assert_eq!(quantile(&[], 0.5), None);
        assert_eq!(quantile(&[7.0], 0.9), Some(7.0));
        for (share, wanted) in [(0.0, 1.0), (0.25, 2.0), (1.0, 5.0), (2.0, 5.0)] {
            assert_eq!(quantile(&[5.0, 1.0, 4.0, 2.0, 3.0], share), Some(wanted));
        }
    }
}
