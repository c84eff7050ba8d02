//! Exact tests of two counts: for two rates of attempts Fisher's, for two rates
//! over exposures the conditional one, each also with mid-p.
//!
//! They take every attempt and every fault for independent, so no measure bases
//! its verdict on them: the rides of a horse resemble each other, and whole
//! rides are dealt instead ([`crate::shuffle`]). They are here to check that
//! against, and for counts of which nothing more than a table is known.

use crate::estimate::InputError;
use crate::special::{binomial_point, real};

/// The p values of an exact test, each between 0 and 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExactTest {
    /// That the first count comes out so low or lower.
    pub less: f64,
    /// That it comes out so high or higher.
    pub greater: f64,
    /// That something no more likely than this comes out, on either side.
    pub two_sided: f64,
    /// Probability of exactly this; half of it is what mid-p takes off.
    pub point: f64,
}

impl ExactTest {
    /// Two-sided mid-p: without half the probability of what was seen.
    /// Source: Lancaster 1961, J Am Stat Assoc 56:223-234.
    #[must_use]
    pub fn mid_p(&self) -> f64 {
        (self.two_sided - 0.5 * self.point).clamp(0.0, 1.0)
    }

    /// One-sided mid-p towards more in the first count.
    #[must_use]
    pub fn greater_mid_p(&self) -> f64 {
        (self.greater - 0.5 * self.point).clamp(0.0, 1.0)
    }

    /// From the chances of every outcome, lowest first, and which was seen.
    fn new(chances: &[f64], seen: usize) -> Self {
        let point = chances.get(seen).copied().unwrap_or(0.0);
        let sum = |own: &mut dyn Iterator<Item = &f64>| own.sum::<f64>().clamp(0.0, 1.0);
        Self {
            less: sum(&mut chances.iter().take(seen + 1)),
            greater: sum(&mut chances.iter().skip(seen)),
            two_sided: sum(&mut chances.iter().filter(|one| **one <= point * (1.0 + TIE))),
            point,
        }
    }
}

/// Chances as close as this, as a share, are equally likely; as R and `SciPy`
/// take it.
const TIE: f64 = 1e-7;

/// More trials than this are refused: nobody rides so often, and every outcome
/// is gone through.
const MOST: u32 = 10_000_000;

/// Fisher's exact test of `k1` in `n1` against `k2` in `n2`.
///
/// With all margins fixed `k1` is hypergeometric. The two-sided p adds what is
/// no more likely than what was seen (Fisher-Irwin). Source: Fisher 1934,
/// Statistical Methods for Research Workers, 5th ed., section 21.02 (recalled).
///
/// # Errors
///
/// No trials, more successes than trials, or more than ten million trials.
///
/// ```
/// use reinback_analysis::exact::fisher;
/// // Fisher's tea: 3 of 4 against 1 of 4, one-sided p 0.2429 (Agresti 1990, p. 61)
/// let tea = fisher((3, 4), (1, 4))?;
/// assert!((tea.greater - 17.0 / 70.0).abs() < 1e-12);
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn fisher(one: (u32, u32), other: (u32, u32)) -> Result<ExactTest, InputError> {
    if one.1 == 0 || other.1 == 0 {
        return Err(InputError::NothingToDivideBy);
    }
    if one.0 > one.1 || other.0 > other.1 {
        return Err(InputError::MoreThanAll);
    }
    if one.1 > MOST || other.1 > MOST {
        return Err(InputError::NotFinite);
    }
    let together = one.0 + other.0;
    let (lowest, highest) = (together.saturating_sub(other.1), together.min(one.1));
    let (n1, n2, k) = (f64::from(one.1), f64::from(other.1), f64::from(together));
    // From the likeliest outcome both ways, so that nothing overflows; then so that all make one.
    let step = |x: f64| (n1 - x) * (k - x) / ((x + 1.0) * (n2 - k + x + 1.0));
    let mut chances = vec![1.0; (highest - lowest) as usize + 1];
    let likeliest = (0..chances.len() - 1)
        .find(|place| step(f64::from(lowest) + real(*place)) < 1.0)
        .unwrap_or(chances.len() - 1);
    for place in likeliest + 1..chances.len() {
        chances[place] = chances[place - 1] * step(f64::from(lowest) + real(place - 1));
    }
    for place in (0..likeliest).rev() {
        chances[place] = chances[place + 1] / step(f64::from(lowest) + real(place));
    }
    let all: f64 = chances.iter().sum();
    for chance in &mut chances {
        *chance /= all;
    }
    Ok(ExactTest::new(&chances, (one.0 - lowest) as usize))
}

/// The exact conditional test of two rates over exposures, `k1` in `t1` against
/// `k2` in `t2`.
///
/// Given `k1 + k2` events and equal rates, `k1` is binomial with chance
/// `t1/(t1 + t2)`. Source: Przyborowski & Wilenski 1940, Biometrika 31:313-323.
///
/// # Errors
///
/// An exposure of 0 or less or not finite; no event at all; more than ten
/// million.
///
/// ```
/// use reinback_analysis::exact::rates;
/// let found = rates((2, 10.0), (2, 10.0))?;
/// assert!((found.greater - 11.0 / 16.0).abs() < 1e-12);
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn rates(one: (u32, f64), other: (u32, f64)) -> Result<ExactTest, InputError> {
    for exposure in [one.1, other.1] {
        if !exposure.is_finite() {
            return Err(InputError::NotFinite);
        }
        if exposure <= 0.0 {
            return Err(InputError::NothingToDivideBy);
        }
    }
    let together = one.0.saturating_add(other.0);
    if together == 0 {
        return Err(InputError::NothingToDivideBy);
    }
    if together > MOST {
        return Err(InputError::NotFinite);
    }
    let share = one.1 / (one.1 + other.1);
    let chances: Vec<f64> = (0..=together)
        .map(|k| binomial_point(f64::from(k), f64::from(together), share))
        .collect();
    Ok(ExactTest::new(&chances, one.0 as usize))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(got: f64, wanted: f64, tolerance: f64) {
        assert!((got - wanted).abs() <= tolerance, "{got}, wanted {wanted}");
    }

    /// Fagerland, Lydersen & Laake 2017, Statistical Analysis of Contingency Tables, chapter 4
    /// (Ritland 2007), seen second-hand in the tests of the authors' R package; the tea as in the
    /// help of R's fisher.test (read); the convictions as R computes its help's example (Fisher
    /// 1962).
    #[test]
    fn fishers_test_gives_the_published_values() -> Result<(), InputError> {
        let ritland = fisher((0, 16), (15, 72))?;
        close(ritland.two_sided, 0.062_87, 6e-6);
        close(ritland.mid_p(), 0.044_66, 6e-6);
        close(fisher((3, 4), (1, 4))?.greater, 0.2429, 6e-5);
        close(
            fisher((2, 17), (10, 13))?.less,
            0.000_465_180_943_362_905,
            1e-12,
        );
        Ok(())
    }

    /// Gu, Ng, Tang & Schucany 2008, Biom J 50:283-298, breast cancer, seen second-hand in the
    /// tests of statsmodels; Fay 2010, R Journal 2:53-58, seen second-hand in the vignette of
    /// exactci, whose central p (twice the one-sided) `SciPy` gives as 0.060556.
    #[test]
    fn the_test_of_two_rates_gives_the_published_values() -> Result<(), InputError> {
        let cancer = rates((60, 51_477.5), (30, 54_308.7))?;
        close(cancer.greater, 0.000_428, 6e-7);
        close(cancer.greater_mid_p(), 0.000_31, 6e-7);
        let fay = rates((2, 17_877.0), (10, 20_000.0))?;
        close(fay.two_sided, 0.042_13, 6e-6);
        close(2.0 * fay.less, 0.060_556_448_433_675_55, 1e-12);
        Ok(())
    }

    #[test]
    fn sides_mirror_each_other_and_bad_input_is_refused() -> Result<(), InputError> {
        for (one, other) in [((3, 9), (7, 12)), ((0, 5), (5, 5)), ((4, 4), (4, 4))] {
            let (here, there) = (fisher(one, other)?, fisher(other, one)?);
            close(here.less, there.greater, 1e-12);
            close(here.two_sided, there.two_sided, 1e-12);
            close(here.less + here.greater - here.point, 1.0, 1e-12);
            assert!(here.mid_p() <= here.two_sided && here.point > 0.0);
        }
        close(fisher((4, 4), (4, 4))?.two_sided, 1.0, 1e-12);
        // likeliest far from both ends, where a start there would underflow
        let many = fisher((50_000, 100_000), (50_000, 100_000))?;
        close(many.two_sided, 1.0, 1e-9);
        assert_eq!(fisher((1, 0), (1, 2)), Err(InputError::NothingToDivideBy));
        assert_eq!(fisher((3, 2), (1, 2)), Err(InputError::MoreThanAll));
        assert_eq!(
            rates((0, 1.0), (0, 1.0)),
            Err(InputError::NothingToDivideBy)
        );
        assert_eq!(rates((1, f64::NAN), (1, 1.0)), Err(InputError::NotFinite));
        assert_eq!(
            rates((1, 0.0), (1, 1.0)),
            Err(InputError::NothingToDivideBy)
        );
        Ok(())
    }
}
