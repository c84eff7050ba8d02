//! Rates over time pulled towards the usual one, as attempts are in
//! [`crate::rank`]: a fault in the only half minute ridden is no rate of two a
//! minute.

use statrs::function::gamma::{digamma, ln_gamma};

use crate::estimate::{Estimate, LEVEL, Method};
use crate::special::{gamma_quantile, real, root};

/// A gamma distribution of the horse's rates over its exercises.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GammaPrior {
    /// Events it is worth; positive.
    pub shape: f64,
    /// Exposure it is worth, in the unit of the exposures; positive.
    pub exposure: f64,
}

/// Bounds of the exposure a prior is worth, in mean exposures: from hardly any
/// pull to practically equal rates. Our own choice.
const WORTH: (f64, f64) = (0.1, 1.0e4);

/// With fewer than this the spread between rates cannot be learned; as for
/// attempts.
const MIN_RATES: usize = 4;

impl GammaPrior {
    /// The prior that makes these counts most likely: (events, exposure).
    ///
    /// Maximises the gamma-Poisson (negative binomial) likelihood
    /// `Π Γ(k+a) b^a t^k / (Γ(a) k! (b+t)^(k+a))` (Greenwood & Yule 1920, J R
    /// Stat Soc 83:255-279; recalled) over the mean `a/b` and over `b`, the
    /// latter between a tenth and 10 000 mean exposures. With fewer than 4
    /// rates, or no event, it is the pooled rate, worth one mean exposure. Entries without
    /// exposure are left out; `None` where nothing is left.
    ///
    /// ```
    /// use reinback_analysis::gamma_prior::GammaPrior;
    /// let minutes = [(0.0, 2.0), (9.0, 6.0), (1.0, 5.0), (4.0, 3.0), (2.0, 9.0)];
    /// let prior = GammaPrior::learn(&minutes).unwrap();
    /// assert!(prior.mean() > 0.3 && prior.mean() < 1.2);
    /// ```
    #[must_use]
    pub fn learn(counts: &[(f64, f64)]) -> Option<Self> {
        let usable: Vec<(f64, f64)> = counts
            .iter()
            .copied()
            .filter(|(k, t)| *t > 0.0 && t.is_finite() && *k >= 0.0 && k.is_finite())
            .collect();
        let events: f64 = usable.iter().map(|(k, _)| k).sum();
        let exposure: f64 = usable.iter().map(|(_, t)| t).sum();
        if usable.is_empty() {
            return None;
        }
        let middle = exposure / real(usable.len());
        // Half an event keeps the mean off 0.
        let pooled = (events + 0.5) / exposure;
        if usable.len() < MIN_RATES || events <= 0.0 {
            return Some(Self::from_mean(pooled, middle));
        }
        let best_mean = |worth: f64| {
            let slope = |mean: f64| slope_of_shape(&usable, Self::from_mean(mean, worth));
            root(1e-6 * pooled, 1e3 * pooled, slope)
        };
        let value = |log_worth: f64| {
            let worth = log_worth.exp();
            likelihood(&usable, Self::from_mean(best_mean(worth), worth))
        };
        let bounds = ((WORTH.0 * middle).ln(), (WORTH.1 * middle).ln());
        let worth = crate::rank::maximum(bounds, value).exp();
        Some(Self::from_mean(best_mean(worth), worth))
    }

    fn from_mean(mean: f64, exposure: f64) -> Self {
        Self {
            shape: mean * exposure,
            exposure,
        }
    }

    /// The usual rate, in events per unit of exposure.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.shape / self.exposure
    }

    /// The rate of `k` events in `exposure`, pulled towards the usual rate.
    ///
    /// Mean and central range of `Gamma(a+k, b+t)`. Source: Gelman and others,
    /// Bayesian Data Analysis, 3rd ed., section 2.7 (recalled). The range takes
    /// the prior as known, so it is somewhat too narrow with few rates.
    ///
    /// ```
    /// use reinback_analysis::gamma_prior::GammaPrior;
    /// // cancer of the kidney: Gamma(20, 430 000), no death in 10 000 person-years
    /// let prior = GammaPrior { shape: 20.0, exposure: 430_000.0 };
    /// assert!((prior.shrink(0.0, 10_000.0).value - 4.55e-5).abs() < 6e-8);
    /// ```
    #[must_use]
    pub fn shrink(&self, k: f64, exposure: f64) -> Estimate {
        let (shape, all) = (self.shape + k, self.exposure + exposure.max(0.0));
        let tail = 0.5 * (1.0 - LEVEL);
        let value = shape / all;
        Estimate {
            value,
            low: (gamma_quantile(shape, tail) / all).min(value),
            high: (gamma_quantile(shape, 1.0 - tail) / all).max(value),
            level: LEVEL,
            method: Method::GammaPoisson,
        }
    }
}

/// Without the terms that no prior changes.
fn likelihood(counts: &[(f64, f64)], prior: GammaPrior) -> f64 {
    let GammaPrior { shape, exposure } = prior;
    counts
        .iter()
        .map(|(k, t)| {
            ln_gamma(k + shape)
                - ln_gamma(shape)
                - shape * (t / exposure).ln_1p()
                - k * (exposure + t).ln()
        })
        .sum()
}

/// Slope of the log likelihood along the shape, the exposure held.
fn slope_of_shape(counts: &[(f64, f64)], prior: GammaPrior) -> f64 {
    let GammaPrior { shape, exposure } = prior;
    let none = digamma(shape);
    counts
        .iter()
        .map(|(k, t)| digamma(k + shape) - none - (t / exposure).ln_1p())
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Ten invented rates; `SciPy` 1.12.0 finds the likeliest prior at a mean of 0.168607, and with
    /// `Gamma(10, 100)` the means below.
    const EVENTS: [(f64, f64); 10] = [
        (0.0, 12.0),
        (2.0, 20.0),
        (5.0, 25.0),
        (1.0, 15.0),
        (9.0, 30.0),
        (3.0, 18.0),
        (0.0, 10.0),
        (4.0, 22.0),
        (7.0, 28.0),
        (1.0, 9.0),
    ];

    #[test]
    fn the_likeliest_prior_agrees_with_scipy() {
        let found = GammaPrior::learn(&EVENTS).map(|prior| prior.mean());
        assert!(
            found.is_some_and(|mean| (mean - 0.168_606_977_086_250_16).abs() < 1e-4),
            "{found:?}"
        );
        let fixed = GammaPrior {
            shape: 10.0,
            exposure: 100.0,
        };
        let wanted = [(0, 10.0 / 112.0), (4, 19.0 / 130.0), (9, 11.0 / 109.0)];
        for (place, wanted) in wanted {
            let (k, t) = EVENTS[place];
            assert!((fixed.shrink(k, t).value - wanted).abs() < 1e-12);
        }
    }

    /// Gelman and others, Bayesian Data Analysis, 3rd ed., section 2.7: memory.
    #[test]
    fn cancer_of_the_kidney_is_pulled_as_published() {
        let prior = GammaPrior {
            shape: 20.0,
            exposure: 430_000.0,
        };
        assert!((prior.mean() - 4.65e-5).abs() < 6e-8);
        for (deaths, wanted) in [(0.0, 4.55e-5), (1.0, 4.77e-5), (2.0, 5.00e-5)] {
            let found = prior.shrink(deaths, 10_000.0);
            assert!((found.value - wanted).abs() < 6e-8, "{found:?}");
            assert!(found.low < wanted && wanted < found.high);
        }
    }

    #[test]
    fn few_and_impossible_counts_still_give_a_prior() {
        assert_eq!(GammaPrior::learn(&[]), None);
        assert_eq!(GammaPrior::learn(&[(3.0, 0.0), (1.0, f64::NAN)]), None);
        let one = GammaPrior::learn(&[(0.0, 4.0)]).map(|prior| (prior.mean(), prior.exposure));
        assert_eq!(one, Some((0.125, 4.0)));
    }

    proptest! {
        #[test]
        fn a_pulled_rate_lies_between_its_own_and_the_usual_one(
            counts in proptest::collection::vec((0_u32..20, 1_u32..40), 4..12),
        ) {
            let counts: Vec<(f64, f64)> = counts
                .into_iter()
                .map(|(k, t)| (f64::from(k), f64::from(t)))
                .collect();
            let prior = GammaPrior::learn(&counts).expect("four rates");
            prop_assert!(prior.shape > 0.0 && prior.exposure.is_finite());
            for (k, t) in counts {
                let (own, usual) = (k / t, prior.mean());
                let found = prior.shrink(k, t);
                prop_assert!(found.value >= own.min(usual) - 1e-12);
                prop_assert!(found.value <= own.max(usual) + 1e-12);
                prop_assert!(found.low <= found.value && found.value <= found.high);
            }
        }
    }
}
