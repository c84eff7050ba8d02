//! Differences and ratios put together from several horses, each compared with
//! itself.
//!
//! Adding up the counts of all horses first would let a change of which horse
//! was ridden pass for a change of how it went (Simpson 1951, J R Stat Soc B
//! 13:238-241). Here every horse is a stratum: only what changed inside strata
//! enters, weighed by how much each can tell.

use crate::estimate::{Estimate, InputError, Method};
use crate::interval::{newcombe_effective, wilson_ends};
use crate::special::normal_two_sided;

/// One horse on both sides of a question.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stratum {
    /// Faulty attempts and attempts of the first side.
    pub one: (u32, u32),
    /// Faulty attempts and attempts of the second side.
    pub other: (u32, u32),
    /// Dispersion of either side, held between 1 and its attempts.
    pub dispersions: (f64, f64),
}

impl Stratum {
    fn is_ridden_on_both(&self) -> bool {
        self.one.1 > 0 && self.other.1 > 0
    }

    /// Weight of Cochran (1954) and of Mantel & Haenszel (1959).
    fn weight(&self) -> f64 {
        let (n, m) = (f64::from(self.one.1), f64::from(self.other.1));
        n * m / (n + m)
    }

    fn check(&self) -> Result<(), InputError> {
        if self.one.0 > self.one.1 || self.other.0 > self.other.1 {
            Err(InputError::MoreThanAll)
        } else if self.dispersions.0.is_nan() || self.dispersions.1.is_nan() {
            Err(InputError::NotFinite)
        } else {
            Ok(())
        }
    }
}

/// One side of all strata: shares, effective counts and weights.
struct Side<'a> {
    shares: Vec<f64>,
    counts: Vec<f64>,
    weights: &'a [f64],
}

impl Side<'_> {
    fn share(&self) -> f64 {
        let weighed = self.shares.iter().zip(self.weights);
        weighed.map(|(share, weight)| share * weight).sum()
    }

    fn lambda(&self) -> f64 {
        let weighed = self.counts.iter().zip(self.weights);
        weighed.map(|(count, weight)| weight * weight / count).sum()
    }

    /// The weighed sum of Wilson's ends of the strata, each taken at a lower
    /// quantile because not all of them will err the same way.
    fn ends(&self, z: f64) -> (f64, f64) {
        let spread = |index: usize| {
            let share = self.shares[index];
            self.weights[index] * (share * (1.0 - share) / self.counts[index]).sqrt()
        };
        let spreads: Vec<f64> = (0..self.shares.len()).map(spread).collect();
        let sum: f64 = spreads.iter().sum();
        let length = |values: &[f64]| values.iter().map(|v| v * v).sum::<f64>().sqrt();
        let narrowed = if sum > 0.0 {
            z * length(&spreads) / sum
        } else {
            // All clean or all faulty: the limit of equal spreads.
            z * length(self.weights)
        };
        let mut ends = (0.0, 0.0);
        for ((share, count), weight) in self.shares.iter().zip(&self.counts).zip(self.weights) {
            let (low, high) = wilson_ends(*share, *count, narrowed);
            ends.0 += weight * low;
            ends.1 += weight * high;
        }
        ends
    }
}

/// The difference `one - other` inside strata, from -1 to 1, with its range.
///
/// Value: `Σ w_h (p_h1 - p_h2)` with `w_h` proportional to
/// `n_h1 n_h2 / (n_h1 + n_h2)`. Range: with `λ_i = Σ w_h² / n_hi` and the
/// stratified Wilson ends `l_i = Σ w_h L_hi`, `u_i = Σ w_h U_hi`,
/// `d - z sqrt(λ_1 l_1(1-l_1) + λ_2 u_2(1-u_2))` to
/// `d + z sqrt(λ_1 u_1(1-u_1) + λ_2 l_2(1-l_2))`. `L_hi` and `U_hi` are taken at
/// `z sqrt(Σ w_h² v_hi) / Σ w_h sqrt(v_hi)`, `v_hi = p_hi(1-p_hi)/n_hi`; where
/// every `v_hi` is 0 at `z sqrt(Σ w_h²)`, its limit for equal `v_hi`. All `n_hi`
/// of the range are effective counts, those of the weights are not.
///
/// Source: Yan & Su 2010, Stat Biopharm Res 2:329-335; formulas as the R
/// package tern computes them, which cites that paper (read there, not in the
/// paper). One stratum gives Newcombe's interval. Strata ridden on one side
/// only are left out.
///
/// # Errors
///
/// [`InputError::NothingToDivideBy`] if no stratum is ridden on both sides,
/// [`InputError::MoreThanAll`], [`InputError::NotFinite`] or
/// [`InputError::Level`].
///
/// ```
/// use reinback_analysis::stratified::{Stratum, newcombe_stratified};
/// let horse = |one, other| Stratum { one, other, dispersions: (1.0, 1.0) };
/// // Each horse is as good as before; only which of them was ridden changed.
/// let found = newcombe_stratified(&[horse((30, 60), (5, 10)), horse((1, 10), (6, 60))], 0.95)?;
/// assert!(found.value.abs() < 1e-12 && found.covers(0.0));
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn newcombe_stratified(strata: &[Stratum], level: f64) -> Result<Estimate, InputError> {
    if !(level > 0.0 && level < 1.0) {
        return Err(InputError::Level);
    }
    strata.iter().try_for_each(Stratum::check)?;
    let strata: Vec<&Stratum> = strata
        .iter()
        .filter(|stratum| stratum.is_ridden_on_both())
        .collect();
    match strata.as_slice() {
        [] => return Err(InputError::NothingToDivideBy),
        [only] => return newcombe_effective(only.one, only.other, only.dispersions, level),
        _ => {}
    }
    let total: f64 = strata.iter().map(|stratum| stratum.weight()).sum();
    let weights: Vec<f64> = strata
        .iter()
        .map(|stratum| stratum.weight() / total)
        .collect();
    let side = |pairs: Vec<(u32, u32)>, dispersions: Vec<f64>| {
        let (shares, counts) = pairs
            .into_iter()
            .zip(dispersions)
            .map(|((faulty, attempts), phi)| {
                let n = f64::from(attempts);
                (f64::from(faulty) / n, n / phi.clamp(1.0, n))
            })
            .unzip();
        Side {
            shares,
            counts,
            weights: &weights,
        }
    };
    let one = side(
        strata.iter().map(|stratum| stratum.one).collect(),
        strata.iter().map(|stratum| stratum.dispersions.0).collect(),
    );
    let other = side(
        strata.iter().map(|stratum| stratum.other).collect(),
        strata.iter().map(|stratum| stratum.dispersions.1).collect(),
    );
    let z = normal_two_sided(level);
    let difference = one.share() - other.share();
    let (one_ends, other_ends) = (one.ends(z), other.ends(z));
    let (one_lambda, other_lambda) = (one.lambda(), other.lambda());
    let half = |of_one: f64, of_other: f64| {
        let spread =
            one_lambda * of_one * (1.0 - of_one) + other_lambda * of_other * (1.0 - of_other);
        z * spread.max(0.0).sqrt()
    };
    Estimate::new(
        difference,
        (difference - half(one_ends.0, other_ends.1)).max(-1.0),
        (difference + half(one_ends.1, other_ends.0)).min(1.0),
        level,
        Method::NewcombeStratified,
    )
}

/// A count and what it was counted over.
pub type Exposed = (u32, f64);

/// The ratio of two rates inside strata, `one` over `other`, each given as
/// counts over exposures.
///
/// `Σ (a_h T_h2 / T_h) / Σ (b_h T_h1 / T_h)` with `T_h = T_h1 + T_h2`; the
/// variance of its logarithm is `Σ (a_h+b_h) T_h1 T_h2 / T_h²` over the product
/// of the two sums. Source: Greenland & Robins 1985, Biometrics 41:55-68
/// (formula recalled; checked by simulation). Strata without exposure on either
/// side are left out.
///
/// # Errors
///
/// [`InputError::NothingToDivideBy`] where no stratum has exposure on both
/// sides, [`InputError::NotFinite`] where either side has no count, because the
/// range of the ratio then has no end.
///
/// ```
/// use reinback_analysis::stratified::rate_ratio_stratified;
/// // Twice the rate in each stratum, whatever their own rates are.
/// let ratio = rate_ratio_stratified(&[((40, 10.0), (20, 10.0)), ((8, 20.0), (2, 10.0))], 0.95)?;
/// assert!((ratio.value - 2.0).abs() < 1e-12 && ratio.low > 1.0);
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn rate_ratio_stratified(
    strata: &[(Exposed, Exposed)],
    level: f64,
) -> Result<Estimate, InputError> {
    if !(level > 0.0 && level < 1.0) {
        return Err(InputError::Level);
    }
    let (mut above, mut below, mut variance, mut exposed) = (0.0, 0.0, 0.0, false);
    for ((one, one_time), (other, other_time)) in strata {
        if !(one_time.is_finite() && other_time.is_finite()) {
            return Err(InputError::NotFinite);
        }
        if *one_time <= 0.0 || *other_time <= 0.0 {
            continue;
        }
        exposed = true;
        let time = one_time + other_time;
        let (one, other) = (f64::from(*one), f64::from(*other));
        above += one * other_time / time;
        below += other * one_time / time;
        variance += (one + other) * one_time * other_time / (time * time);
    }
    if !exposed {
        return Err(InputError::NothingToDivideBy);
    }
    if above <= 0.0 || below <= 0.0 {
        return Err(InputError::NotFinite);
    }
    let ratio = above / below;
    let half = normal_two_sided(level) * (variance / (above * below)).sqrt();
    Estimate::new(
        ratio,
        ratio * (-half).exp(),
        ratio * half.exp(),
        level,
        Method::RateRatioStratified,
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::estimate::LEVEL;
    use crate::interval::newcombe;

    fn stratum(one: (u32, u32), other: (u32, u32)) -> Stratum {
        Stratum {
            one,
            other,
            dispersions: (1.0, 1.0),
        }
    }

    /// The general formula must agree with Newcombe's where strata are copies
    /// of each other that add up to one, up to what the smaller strata cost.
    #[test]
    fn two_large_like_strata_come_close_to_one() {
        let whole = newcombe((600, 2000), (500, 2000), LEVEL).expect("a range");
        let half = stratum((300, 1000), (250, 1000));
        let found = newcombe_stratified(&[half, half], LEVEL).expect("a range");
        assert!((found.value - whole.value).abs() < 1e-12);
        assert!((found.low - whole.low).abs() < 5e-5 && (found.high - whole.high).abs() < 5e-5);
    }

    /// One stratum twice, the second time with no attempts on one side.
    #[test]
    fn a_horse_of_one_side_only_changes_nothing() {
        let ridden = stratum((3, 20), (9, 25));
        let alone = newcombe_stratified(&[ridden], LEVEL).expect("a range");
        let with = newcombe_stratified(&[ridden, stratum((0, 0), (50, 60))], LEVEL);
        assert_eq!(with, Ok(alone));
        assert_eq!(alone, newcombe((3, 20), (9, 25), LEVEL).expect("a range"));
    }

    #[test]
    fn all_clean_strata_still_have_a_range() {
        let clean = stratum((0, 8), (0, 8));
        let found = newcombe_stratified(&[clean, clean, clean], LEVEL).expect("a range");
        let single = newcombe((0, 24), (0, 24), LEVEL).expect("a range");
        assert!(found.low < -0.05 && found.high > 0.05);
        assert!(found.width() > 0.5 * single.width() && found.width() < 2.0 * single.width());
    }

    #[test]
    fn impossible_strata_are_refused() {
        assert_eq!(
            newcombe_stratified(&[stratum((3, 2), (1, 2))], LEVEL),
            Err(InputError::MoreThanAll)
        );
        assert_eq!(
            newcombe_stratified(&[], LEVEL),
            Err(InputError::NothingToDivideBy)
        );
        assert_eq!(
            rate_ratio_stratified(&[((0, 1.0), (3, 1.0))], LEVEL),
            Err(InputError::NotFinite)
        );
        assert_eq!(
            rate_ratio_stratified(&[((2, 0.0), (3, 1.0))], LEVEL),
            Err(InputError::NothingToDivideBy)
        );
    }
}
