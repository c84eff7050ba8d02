//! A value with its range and method, or the reason why there is none.

use std::fmt;

/// Default coverage of every range: 95 %.
pub const LEVEL: f64 = 0.95;

/// A value with the range it may plausibly have.
///
/// **Invariant**: all fields are finite and `low <= value <= high`, if it was
/// made by this crate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The best single value, in the unit the producing function states.
    pub value: f64,
    /// Lower end of the range.
    pub low: f64,
    /// Upper end of the range.
    pub high: f64,
    /// Nominal coverage of the range, between 0 and 1.
    pub level: f64,
    /// How the range was found.
    pub method: Method,
}

impl Estimate {
    /// Puts an estimate together, widening the range to hold its value where
    /// rounding or a very low level left it outside.
    ///
    /// # Errors
    ///
    /// [`InputError::NotFinite`] if any number is NaN or infinite.
    pub fn new(
        value: f64,
        low: f64,
        high: f64,
        level: f64,
        method: Method,
    ) -> Result<Self, InputError> {
        if ![value, low, high, level]
            .iter()
            .all(|number| number.is_finite())
        {
            return Err(InputError::NotFinite);
        }
        Ok(Self {
            value,
            low: low.min(value),
            high: high.max(value),
            level,
            method,
        })
    }

    /// Whether the range holds this value, ends included.
    #[must_use]
    pub fn covers(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// Width of the range, never negative.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.high - self.low
    }
}

/// How a range was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum Method {
    /// Score interval of one proportion.
    Wilson,
    /// The same on a count reduced for likeness within rides.
    WilsonEffective,
    /// Exact interval of one proportion.
    ClopperPearson,
    /// Exact interval of one proportion with half the observed probability.
    MidP,
    /// Exact interval of a count over an exposure.
    Garwood,
    /// The same with half the observed probability.
    PoissonMidP,
    /// Hybrid score interval of a difference of two proportions.
    NewcombeScore,
    /// The same on counts reduced for likeness within rides.
    NewcombeEffective,
    /// The same put together from several horses, each compared with itself.
    NewcombeStratified,
    /// Conditional interval of the ratio of two rates over exposures.
    RateRatioMidP,
    /// Ratio of two rates put together from several horses.
    RateRatioStratified,
    /// Fitted line on the log odds, with overdispersion and Student's t.
    Logit,
    /// The same with Firth's correction, where plain likelihood has no maximum.
    LogitFirth,
    /// Posterior range under a beta prior learned from the other exercises.
    BetaBinomial,
    /// Posterior range under a gamma prior learned from the other rates.
    GammaPoisson,
    /// Interval of a coefficient of variation.
    McKay,
    /// Median of pairwise slopes with its rank interval.
    TheilSen,
    /// Where nineteen of twenty single differences lie: not a range of a mean.
    LimitsOfAgreement,
    /// Large-sample interval of Cohen's kappa.
    Kappa,
    /// Large-sample interval of Gwet's AC1.
    Ac1,
}

impl Method {
    /// The usual name of the method.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Wilson => "Wilson score interval",
            Self::WilsonEffective => "Wilson score interval on the effective count",
            Self::ClopperPearson => "Clopper-Pearson exact interval",
            Self::MidP => "exact mid-p interval",
            Self::Garwood => "Garwood exact interval",
            Self::PoissonMidP => "exact Poisson mid-p interval",
            Self::NewcombeScore => "Newcombe hybrid score interval",
            Self::NewcombeEffective => "Newcombe hybrid score interval on effective counts",
            Self::NewcombeStratified => {
                "stratified Newcombe hybrid score interval on effective counts"
            }
            Self::RateRatioMidP => "conditional mid-p interval of a rate ratio",
            Self::RateRatioStratified => "Mantel-Haenszel interval of a rate ratio",
            Self::Logit => "binomial logit with dispersion at least 1",
            Self::LogitFirth => "binomial logit with Firth's correction and dispersion at least 1",
            Self::BetaBinomial => "beta-binomial empirical Bayes interval",
            Self::GammaPoisson => "gamma-Poisson empirical Bayes interval",
            Self::McKay => "McKay's interval of a coefficient of variation",
            Self::TheilSen => "Theil-Sen slope with its rank interval",
            Self::LimitsOfAgreement => "limits of agreement",
            Self::Kappa => "Cohen's kappa with its large-sample interval",
            Self::Ac1 => "Gwet's AC1 with its large-sample interval",
        }
    }

    /// Where the method was published.
    #[must_use]
    pub fn source(self) -> &'static str {
        match self {
            Self::Wilson => "Wilson EB 1927, J Am Stat Assoc 22:209-212",
            Self::WilsonEffective => {
                "Wilson EB 1927, J Am Stat Assoc 22:209-212; effective count after Kish L 1965, Survey Sampling, and Rao JNK, Scott AJ 1992, Biometrics 48:577-585"
            }
            Self::ClopperPearson => "Clopper CJ, Pearson ES 1934, Biometrika 26:404-413",
            Self::MidP => {
                "Lancaster HO 1961, J Am Stat Assoc 56:223-234; Newcombe RG 1998, Stat Med 17:857-872, method 6"
            }
            Self::Garwood => "Garwood F 1936, Biometrika 28:437-442",
            Self::PoissonMidP => {
                "Garwood F 1936, Biometrika 28:437-442, with Lancaster's mid-p (1961, J Am Stat Assoc 56:223-234)"
            }
            Self::NewcombeScore => "Newcombe RG 1998, Stat Med 17:873-890, method 10",
            Self::NewcombeEffective => {
                "Newcombe RG 1998, Stat Med 17:873-890, method 10; effective counts after Rao JNK, Scott AJ 1992, Biometrics 48:577-585"
            }
            Self::NewcombeStratified => {
                "Yan X, Su XG 2010, Stat Biopharm Res 2:329-335; effective counts after Kish L 1965, Survey Sampling, and Rao JNK, Scott AJ 1992, Biometrics 48:577-585"
            }
            Self::RateRatioStratified => "Greenland S, Robins JM 1985, Biometrics 41:55-68",
            Self::RateRatioMidP => {
                "Przyborowski J, Wilenski H 1940, Biometrika 31:313-323, with Lancaster's mid-p (1961)"
            }
            Self::Logit => {
                "McCullagh P, Nelder JA 1989, Generalized Linear Models, 2nd ed., sections 4.4-4.5"
            }
            Self::LogitFirth => "Firth D 1993, Biometrika 80:27-38",
            Self::BetaBinomial => {
                "Skellam JG 1948, J R Stat Soc B 10:257-261; Casella G 1985, Am Stat 39:83-87"
            }
            Self::GammaPoisson => {
                "Greenwood M, Yule GU 1920, J R Stat Soc 83:255-279; Gelman A and others, Bayesian Data Analysis, 3rd ed., section 2.7"
            }
            Self::McKay => "McKay AT 1932, J R Stat Soc 95:695-698",
            Self::TheilSen => {
                "Sen PK 1968, J Am Stat Assoc 63:1379-1389; ranks interpolated as in Gilbert RO 1987, Statistical Methods for Environmental Pollution Monitoring"
            }
            Self::LimitsOfAgreement => "Bland JM, Altman DG 1986, Lancet i:307-310",
            Self::Kappa => {
                "Cohen J 1960, Educ Psychol Meas 20:37-46; standard error of Fleiss JL, Cohen J, Everitt BS 1969, Psychol Bull 72:323-327"
            }
            Self::Ac1 => "Gwet KL 2008, Br J Math Stat Psychol 61:29-48",
        }
    }
}

impl fmt::Display for Method {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.name())
    }
}

/// Numbers that cannot be the outcome of anything.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, thiserror::Error)]
#[non_exhaustive]
pub enum InputError {
    /// No trials, or no exposure.
    #[error("there is nothing to divide by")]
    NothingToDivideBy,
    /// More successes than trials.
    #[error("there are more faulty attempts than attempts")]
    MoreThanAll,
    /// A level of 0 or less, of 1 or more, or NaN.
    #[error("the level of a range lies between 0 and 1")]
    Level,
    /// A result that is not a finite number.
    #[error("the numbers do not give a finite result")]
    NotFinite,
}

/// Why there is no number. Its text is a sentence for the rider.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, thiserror::Error)]
#[non_exhaustive]
pub enum Shortage {
    /// Nothing reviewed.
    #[error("No reviewed attempts yet. Set the bouts you have looked at to reviewed.")]
    NoAttempts,
    /// Fewer than [`MIN_ATTEMPTS_FOR_RATE`](crate::MIN_ATTEMPTS_FOR_RATE).
    #[error(
        "Fewer than 6 attempts: the count alone says more than a percentage. Review more bouts."
    )]
    FewerThanSixAttempts,
    /// Nothing ridden, or bouts without length.
    #[error("No time ridden: the bouts have no length. Give them an end.")]
    NoTime,
    /// A period or pair with fewer than 4 rides.
    #[error("Fewer than 4 rides on one side: too few to tell. Choose a longer period.")]
    FewerThanFourRides,
    /// Fewer than 8 rides for a trend.
    #[error("Not enough rides yet: a trend needs at least 8 with this exercise.")]
    FewerThanEightRides,
    /// All rides on one calendar day.
    #[error("All rides are on one day: a trend needs days apart.")]
    OneDayOnly,
    /// No fault on one side, so that a ratio has no finite range.
    #[error("No faults on one side: a ratio cannot be given. Look at the counts.")]
    NoFaultsToCompare,
    /// Only faulty or only clean attempts.
    #[error("All attempts are alike: nothing can follow from one to the next.")]
    AllAlike,
    /// Two periods to be compared share a day.
    #[error("The two periods share days. Compare with days that end before these begin.")]
    PeriodsOverlap,
    /// No faulty attempt, so nothing to repeat.
    #[error("No faulty attempts: there was nothing to repeat.")]
    NoMistakes,
    /// The input contradicts itself.
    #[error("These numbers cannot be right: {0}. Check the bouts of this exercise.")]
    Contradictory(InputError),
}

impl From<InputError> for Shortage {
    fn from(error: InputError) -> Self {
        match error {
            InputError::NothingToDivideBy => Self::NoAttempts,
            other => Self::Contradictory(other),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_estimate_is_finite_and_ordered() {
        assert_eq!(
            Estimate::new(f64::NAN, 0.0, 1.0, LEVEL, Method::Wilson),
            Err(InputError::NotFinite)
        );
        let widened = Estimate::new(0.5, 0.6, 0.4, LEVEL, Method::Wilson).expect("finite");
        assert!(widened.covers(0.5));
        assert!(widened.width() >= 0.0);
    }

    #[test]
    fn every_shortage_is_a_sentence() {
        for shortage in [
            Shortage::NoAttempts,
            Shortage::NoTime,
            Shortage::Contradictory(InputError::MoreThanAll),
        ] {
            let text = shortage.to_string();
            assert!(text.ends_with('.'), "{text}");
            assert!(text.starts_with(char::is_uppercase), "{text}");
        }
    }
}
