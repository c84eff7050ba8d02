//! Faulty attempts of attempts, and faults per minute ridden.

use std::fmt;
use std::iter::Sum;
use std::ops::Add;

use crate::estimate::{Estimate, InputError, LEVEL, Shortage};
use crate::interval::{poisson_mid_p, wilson_effective};
use crate::time::seconds;

/// Below this many attempts only the counts are shown.
///
/// With 3 to 6 attempts the worst-case coverage of Wilson's interval drops to
/// about 83 % (exact enumeration, see the coverage tests).
pub const MIN_ATTEMPTS_FOR_RATE: u32 = 6;

/// Faulty attempts of attempts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Tally {
    /// Attempts with at least one fault.
    pub faulty: u32,
    /// All reviewed attempts.
    pub attempts: u32,
}

impl Tally {
    /// The tally of one attempt.
    #[must_use]
    pub fn of(faulty: bool) -> Self {
        Self {
            faulty: u32::from(faulty),
            attempts: 1,
        }
    }

    /// Attempts without a fault; 0 if the tally contradicts itself.
    #[must_use]
    pub fn clean(self) -> u32 {
        self.attempts.saturating_sub(self.faulty)
    }

    /// Faulty attempts over attempts, if there are any.
    #[must_use]
    pub fn share(self) -> Option<f64> {
        (self.attempts > 0).then(|| f64::from(self.faulty) / f64::from(self.attempts))
    }
}

impl fmt::Display for Tally {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} of {}", self.faulty, self.attempts)
    }
}

impl Add for Tally {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            faulty: self.faulty.saturating_add(other.faulty),
            attempts: self.attempts.saturating_add(other.attempts),
        }
    }
}

impl Sum for Tally {
    fn sum<I: Iterator<Item = Self>>(tallies: I) -> Self {
        tallies.fold(Self::default(), Add::add)
    }
}

/// The share of attempts that went wrong, 0 to 1, with its range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FaultRate {
    /// The counts; always shown first.
    pub tally: Tally,
    /// How much more the rides scatter than single attempts would: at least 1.
    /// The range is that of `attempts / dispersion`.
    pub dispersion: f64,
    /// The share with its range, or why there is none.
    pub range: Result<Estimate, Shortage>,
}

impl FaultRate {
    /// The rate of a tally whose attempts are independent of each other.
    ///
    /// Wilson's interval; see [`wilson`](crate::interval::wilson). Below
    /// [`MIN_ATTEMPTS_FOR_RATE`] attempts the range is a [`Shortage`].
    ///
    /// ```
    /// use reinback_analysis::{FaultRate, Shortage, Tally};
    /// let few = FaultRate::new(Tally { faulty: 2, attempts: 5 });
    /// assert_eq!(few.range, Err(Shortage::FewerThanSixAttempts));
    /// let enough = FaultRate::new(Tally { faulty: 2, attempts: 10 });
    /// assert!(enough.range.unwrap().covers(0.2));
    /// ```
    #[must_use]
    pub fn new(tally: Tally) -> Self {
        Self::with_dispersion(tally, 1.0)
    }

    /// The rate of attempts that resemble each other within a ride.
    ///
    /// `dispersion` is held between 1 and the number of attempts, NaN counts as 1; see
    /// [`dispersion`](crate::dispersion).
    #[must_use]
    pub fn with_dispersion(tally: Tally, dispersion: f64) -> Self {
        let most = f64::from(tally.attempts.max(1));
        let dispersion = dispersion.max(1.0).min(most);
        Self {
            tally,
            dispersion,
            range: rate_range(tally, dispersion),
        }
    }
}

fn rate_range(tally: Tally, dispersion: f64) -> Result<Estimate, Shortage> {
    if tally.faulty > tally.attempts {
        Err(Shortage::Contradictory(InputError::MoreThanAll))
    } else if tally.attempts == 0 {
        Err(Shortage::NoAttempts)
    } else if tally.attempts < MIN_ATTEMPTS_FOR_RATE {
        Err(Shortage::FewerThanSixAttempts)
    } else {
        Ok(wilson_effective(
            tally.faulty,
            tally.attempts,
            dispersion,
            LEVEL,
        )?)
    }
}

/// Faults per minute ridden, with its range.
///
/// Every mark counts, so one attempt may carry several. The range treats
/// faults as coming singly; where they come in clusters it is too narrow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PerMinute {
    /// Faults marked on attempts that have a length.
    pub faults: u32,
    /// Reviewed time of this exercise; shared time counts once.
    pub ridden_nanos: i64,
    /// Faults per minute with their range, or why there is none.
    pub range: Result<Estimate, Shortage>,
}

impl PerMinute {
    /// Poisson mid-p range of faults over minutes; see
    /// [`poisson_mid_p`].
    ///
    /// ```
    /// use reinback_analysis::{PerMinute, Shortage};
    /// let rate = PerMinute::new(6, 180_000_000_000);
    /// assert!((rate.range.unwrap().value - 2.0).abs() < 1e-12);
    /// assert_eq!(PerMinute::new(6, 0).range, Err(Shortage::NoTime));
    /// ```
    #[must_use]
    pub fn new(faults: u32, ridden_nanos: i64) -> Self {
        let range = if ridden_nanos <= 0 {
            Err(Shortage::NoTime)
        } else {
            poisson_mid_p(faults, minutes(ridden_nanos), LEVEL).map_err(Shortage::from)
        };
        Self {
            faults,
            ridden_nanos,
            range,
        }
    }

    /// Time ridden, in minutes.
    #[must_use]
    pub fn minutes(&self) -> f64 {
        minutes(self.ridden_nanos)
    }
}

pub(crate) fn minutes(nanos: i64) -> f64 {
    seconds(nanos) / 60.0
}
