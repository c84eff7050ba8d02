//! Intervals for one rate, a difference of rates and a ratio of rates.
//!
//! Choice of methods after Newcombe RG 1998 (Stat Med 17:857-872 and 873-890):
//! score intervals for showing, exact ones where a guaranteed level is wanted.
//! Every function refuses impossible input with an [`InputError`] and never
//! returns NaN.

use crate::estimate::{Estimate, InputError, Method};
use crate::special::{
    beta_quantile, beta_tails, binomial_point, gamma_tails, normal_two_sided, poisson_point, root,
};

fn check_level(level: f64) -> Result<(), InputError> {
    if level > 0.0 && level < 1.0 {
        Ok(())
    } else {
        Err(InputError::Level)
    }
}

fn check_counts(k: u32, n: u32, level: f64) -> Result<(f64, f64), InputError> {
    check_level(level)?;
    if n == 0 {
        Err(InputError::NothingToDivideBy)
    } else if k > n {
        Err(InputError::MoreThanAll)
    } else {
        Ok((f64::from(k), f64::from(n)))
    }
}

fn check_exposure(exposure: f64, level: f64) -> Result<(), InputError> {
    check_level(level)?;
    if !exposure.is_finite() {
        Err(InputError::NotFinite)
    } else if exposure <= 0.0 {
        Err(InputError::NothingToDivideBy)
    } else {
        Ok(())
    }
}

/// Wilson's score interval of `k` faulty attempts in `n`, as shares 0 to 1.
///
/// Centre `(p + z²/2n) / (1 + z²/n)`, half width
/// `z sqrt(p(1-p)/n + z²/4n²) / (1 + z²/n)`. Source: Wilson 1927, J Am Stat
/// Assoc 22:209-212. Lower end exactly 0 at `k = 0`, upper exactly 1 at `k = n`.
///
/// # Errors
///
/// No attempts, more faulty attempts than attempts, or an impossible level.
///
/// ```
/// use reinback_analysis::interval::wilson;
/// // Newcombe 1998, Table I, method 3: 15 of 148 gives 0.0624 to 0.1605
/// let range = wilson(15, 148, 0.95)?;
/// assert!((range.low - 0.0624).abs() < 6e-5 && (range.high - 0.1605).abs() < 6e-5);
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn wilson(k: u32, n: u32, level: f64) -> Result<Estimate, InputError> {
    wilson_effective(k, n, 1.0, level)
}

/// Wilson's interval with the count divided by a dispersion of 1 or more.
///
/// The value stays `k/n`; the range is that of `n / dispersion` attempts.
/// Source of the effective count: Rao & Scott 1992, Biometrics 48:577-585.
/// Dispersions below 1 count as 1; above `n` as `n`.
///
/// # Errors
///
/// As [`wilson`], and [`InputError::NotFinite`] for a dispersion that is NaN.
pub fn wilson_effective(
    k: u32,
    n: u32,
    dispersion: f64,
    level: f64,
) -> Result<Estimate, InputError> {
    let (k, n) = check_counts(k, n, level)?;
    if dispersion.is_nan() {
        return Err(InputError::NotFinite);
    }
    let phi = dispersion.clamp(1.0, n);
    let method = if phi > 1.0 {
        Method::WilsonEffective
    } else {
        Method::Wilson
    };
    let (low, high) = wilson_ends(k / n, n / phi, normal_two_sided(level));
    Estimate::new(k / n, low, high, level, method)
}

/// Wilson's ends for a share `p` of `n` attempts, which may be a fraction.
pub(crate) fn wilson_ends(p: f64, n: f64, z: f64) -> (f64, f64) {
    let z2 = z * z;
    let centre = (p + z2 / (2.0 * n)) / (1.0 + z2 / n);
    let half = z * (p * (1.0 - p) / n + z2 / (4.0 * n * n)).sqrt() / (1.0 + z2 / n);
    let low = if p <= 0.0 {
        0.0
    } else {
        (centre - half).max(0.0)
    };
    let high = if p >= 1.0 {
        1.0
    } else {
        (centre + half).min(1.0)
    };
    (low, high)
}

/// Clopper and Pearson's exact interval, as shares 0 to 1: coverage is never
/// below the level, at the price of width.
///
/// Ends are beta quantiles: `B(α/2; k, n-k+1)` and `B(1-α/2; k+1, n-k)`.
/// Source: Clopper & Pearson 1934, Biometrika 26:404-413.
///
/// # Errors
///
/// As [`wilson`].
///
/// ```
/// use reinback_analysis::interval::clopper_pearson;
/// // Newcombe 1998, Table I, method 5: 0 of 20 gives 0 to 0.1684
/// assert!((clopper_pearson(0, 20, 0.95)?.high - 0.1684).abs() < 6e-5);
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn clopper_pearson(k: u32, n: u32, level: f64) -> Result<Estimate, InputError> {
    let (k, n) = check_counts(k, n, level)?;
    let tail = 0.5 * (1.0 - level);
    let low = if k == 0.0 {
        0.0
    } else {
        beta_quantile(k, n - k + 1.0, tail)
    };
    let high = if k >= n {
        1.0
    } else {
        // Mirrored, so that the interval of n-k is the exact mirror image.
        1.0 - beta_quantile(n - k, k + 1.0, tail)
    };
    Estimate::new(k / n, low, high, level, Method::ClopperPearson)
}

/// The exact interval with half the probability of the observed count: mean
/// coverage close to the level.
///
/// The lower end solves `P(X > k) + P(X = k)/2 = α/2`, the upper end its mirror
/// image. Source: Lancaster 1961, J Am Stat Assoc 56:223-234; as interval
/// method 6 in Newcombe 1998, Stat Med 17:857-872.
///
/// # Errors
///
/// As [`wilson`].
///
/// ```
/// use reinback_analysis::interval::binomial_mid_p;
/// // Newcombe 1998, Table I, method 6: 0 of 20 gives 0 to 0.1391
/// assert!((binomial_mid_p(0, 20, 0.95)?.high - 0.1391).abs() < 6e-5);
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn binomial_mid_p(k: u32, n: u32, level: f64) -> Result<Estimate, InputError> {
    let (k, n) = check_counts(k, n, level)?;
    let tail = 0.5 * (1.0 - level);
    let low = mid_p_low(k, n, tail);
    let high = 1.0 - mid_p_low(n - k, n, tail);
    Estimate::new(k / n, low, high, level, Method::MidP)
}

fn mid_p_low(k: f64, n: f64, tail: f64) -> f64 {
    if k == 0.0 {
        return 0.0;
    }
    root(0.0, 1.0, |p| {
        beta_tails(k, n - k + 1.0, p).lower - 0.5 * binomial_point(k, n, p) - tail
    })
}

/// Garwood's exact interval of a count over an exposure, in counts per unit of
/// exposure.
///
/// Ends are gamma quantiles: `G(α/2; k)` and `G(1-α/2; k+1)` over the exposure.
/// Source: Garwood 1936, Biometrika 28:437-442.
///
/// # Errors
///
/// An exposure of 0 or less or not finite, or an impossible level.
///
/// ```
/// use reinback_analysis::interval::garwood;
/// // 0 events: upper limit 3.689 (help of pois.exact, R package epitools)
/// assert!((garwood(0, 1.0, 0.95)?.high - 3.689).abs() < 6e-4);
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn garwood(count: u32, exposure: f64, level: f64) -> Result<Estimate, InputError> {
    poisson_range(count, exposure, level, 0.0, Method::Garwood)
}

/// As [`garwood`], with half the probability of the observed count: mean
/// coverage close to the level.
///
/// # Errors
///
/// As [`garwood`].
///
/// ```
/// use reinback_analysis::interval::poisson_mid_p;
/// // 0 events: exp(-m)/2 = 0.025, so m = -ln 0.05
/// assert!((poisson_mid_p(0, 1.0, 0.95)?.high + 0.05_f64.ln()).abs() < 1e-9);
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn poisson_mid_p(count: u32, exposure: f64, level: f64) -> Result<Estimate, InputError> {
    poisson_range(count, exposure, level, 0.5, Method::PoissonMidP)
}

/// `kept_out` is the share of the observed count's probability left out of
/// both tails: 0 for the exact interval, a half for mid-p.
fn poisson_range(
    count: u32,
    exposure: f64,
    level: f64,
    kept_out: f64,
    method: Method,
) -> Result<Estimate, InputError> {
    check_exposure(exposure, level)?;
    let k = f64::from(count);
    let tail = 0.5 * (1.0 - level);
    let low = if count == 0 {
        0.0
    } else {
        root(0.0, k + 1.0, |mean| {
            gamma_tails(k, mean).lower - kept_out * poisson_point(k, mean) - tail
        })
    };
    let z = normal_two_sided(level);
    // Well above the upper end for every count: 2 (k + z²) + 10.
    let far = 2.0 * (k + z * z) + 10.0;
    let high = root(k.min(low), far, |mean| {
        gamma_tails(k + 1.0, mean).upper - kept_out * poisson_point(k, mean) - tail
    });
    Estimate::new(k / exposure, low / exposure, high / exposure, level, method)
}

/// Newcombe's hybrid score interval of the difference `k1/n1 - k2/n2`, from
/// -1 to 1.
///
/// With Wilson limits `l1..u1` and `l2..u2`:
/// `d - sqrt((p1-l1)² + (u2-p2)²)` to `d + sqrt((u1-p1)² + (p2-l2)²)`.
/// Source: Newcombe 1998, Stat Med 17:873-890, method 10.
///
/// # Errors
///
/// As [`wilson`], for either pair.
///
/// ```
/// use reinback_analysis::interval::newcombe;
/// // Newcombe 1998, Table II, method 10: 56/70 v 48/80 gives 0.0524 to 0.3339
/// let range = newcombe((56, 70), (48, 80), 0.95)?;
/// assert!((range.low - 0.0524).abs() < 6e-5 && (range.high - 0.3339).abs() < 6e-5);
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn newcombe(one: (u32, u32), other: (u32, u32), level: f64) -> Result<Estimate, InputError> {
    newcombe_effective(one, other, (1.0, 1.0), level)
}

/// Newcombe's interval with each count divided by its dispersion of 1 or more.
///
/// # Errors
///
/// As [`wilson_effective`], for either pair.
pub fn newcombe_effective(
    one: (u32, u32),
    other: (u32, u32),
    dispersions: (f64, f64),
    level: f64,
) -> Result<Estimate, InputError> {
    let first = wilson_effective(one.0, one.1, dispersions.0, level)?;
    let second = wilson_effective(other.0, other.1, dispersions.1, level)?;
    let difference = first.value - second.value;
    let down = (first.value - first.low).hypot(second.high - second.value);
    let up = (first.high - first.value).hypot(second.value - second.low);
    let method = if first.method == Method::Wilson && second.method == Method::Wilson {
        Method::NewcombeScore
    } else {
        Method::NewcombeEffective
    };
    Estimate::new(
        difference,
        (difference - down).max(-1.0),
        (difference + up).min(1.0),
        level,
        method,
    )
}

/// The ratio of two rates, `(k1/t1) / (k2/t2)`, given the sum of their counts.
///
/// Given `k1 + k2` events, `k1` is binomial with chance `q = rt1/(rt1 + t2)`
/// where `r` is the ratio; the mid-p interval of `q` is turned back into `r`.
/// Source: Przyborowski & Wilenski 1940, Biometrika 31:313-323, with
/// Lancaster's mid-p.
///
/// # Errors
///
/// As [`garwood`] for either exposure; [`InputError::NotFinite`] where the
/// second count is 0, because the ratio then has no upper end.
///
/// ```
/// use reinback_analysis::interval::rate_ratio_mid_p;
/// let ratio = rate_ratio_mid_p((5, 30.0), (5, 60.0), 0.95)?;
/// assert!((ratio.value - 2.0).abs() < 1e-12 && ratio.covers(1.0));
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn rate_ratio_mid_p(
    one: (u32, f64),
    other: (u32, f64),
    level: f64,
) -> Result<Estimate, InputError> {
    check_exposure(one.1, level)?;
    check_exposure(other.1, level)?;
    if other.0 == 0 {
        return Err(InputError::NotFinite);
    }
    let total = one.0.checked_add(other.0).ok_or(InputError::NotFinite)?;
    let share = binomial_mid_p(one.0, total, level)?;
    let ratio = |q: f64| q / (1.0 - q) * (other.1 / one.1);
    Estimate::new(
        ratio(share.value),
        ratio(share.low),
        ratio(share.high),
        level,
        Method::RateRatioMidP,
    )
}
