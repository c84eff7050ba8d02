//! Putting one clock onto another by moments that were seen on both.
//!
//! One moment gives the offset. Two give the offset and the rate, and with them
//! how far the rate can be told at all: two moments read to half a second each,
//! ten minutes apart, leave the rate open by more than 3300 parts per million.

use crate::time::Moment;

/// One moment on both clocks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Anchor {
    /// On the clock that is to be placed, in nanoseconds from its own zero.
    pub own: i64,
    /// On the ride clock.
    pub ride: Moment,
}

/// A clock placed on the ride clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placement {
    /// The moment that is right for certain.
    pub anchor: Anchor,
    /// How much faster than the ride clock the own clock runs, in parts per
    /// thousand million. Within ±[`MAX_DRIFT_PPB`].
    pub drift_ppb: i32,
}

/// How well two anchors tell the rate. All in parts per million.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DriftRange {
    /// How much faster than the ride clock the own clock runs.
    pub value: f64,
    /// The least it can be, if both moments were read as exactly as assumed.
    pub low: f64,
    /// The most it can be.
    pub high: f64,
}

/// What a drift says about the anchors.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Plausibility {
    /// The range holds zero: the two clocks may run alike, and the moments lie
    /// too close to each other to tell.
    NotToldFromNone,
    /// A drift that watches and cameras have.
    Usual,
    /// More than [`USUAL_PPM`]: one of the moments is probably another one.
    Unusual,
}

/// Watches, phones and cameras drift by less than this, in parts per million.
///
/// Common practice, no source: the quartz in them is sold with ±20 to ±100
/// ppm, and what comes on top with warmth and age stays below that again.
pub const USUAL_PPM: f64 = 200.0;

/// The largest drift that is taken at all, in parts per thousand million: a
/// tenth, as for films.
pub const MAX_DRIFT_PPB: i32 = 100_000_000;

/// Why anchors do not place a clock. Displays as a sentence for a rider.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum AnchorError {
    /// Both anchors have the same moment on one of the clocks.
    #[error("The two moments are one and the same on one of the clocks; choose two that lie apart")]
    SameMoment,
    /// What comes first on one clock comes second on the other.
    #[error(
        "The two moments come in the opposite order on the two clocks; one of them is another moment"
    )]
    Reversed,
    /// The clocks would have to run more than a tenth apart.
    #[error(
        "The two clocks would have to run more than a tenth apart; one of the moments is another one"
    )]
    TooFarApart,
}

const BILLION: i128 = 1_000_000_000;

impl Placement {
    /// By one moment; both clocks run alike.
    #[must_use]
    pub const fn at(anchor: Anchor) -> Self {
        Self {
            anchor,
            drift_ppb: 0,
        }
    }

    /// By two moments, given in either order.
    ///
    /// # Errors
    /// [`AnchorError`] where the two cannot be moments of two clocks that run
    /// nearly alike.
    pub fn between(one: Anchor, other: Anchor) -> Result<Self, AnchorError> {
        let own = i128::from(other.own) - i128::from(one.own);
        let ride = i128::from(other.ride.0) - i128::from(one.ride.0);
        if own == 0 || ride == 0 {
            return Err(AnchorError::SameMoment);
        }
        if (own < 0) != (ride < 0) {
            return Err(AnchorError::Reversed);
        }
        let drift = rounded_quotient((own - ride) * BILLION * ride.signum(), ride.abs());
        let drift_ppb = i32::try_from(drift)
            .ok()
            .filter(|ppb| ppb.abs() <= MAX_DRIFT_PPB)
            .ok_or(AnchorError::TooFarApart)?;
        Ok(Self {
            anchor: if ride < 0 { other } else { one },
            drift_ppb,
        })
    }

    /// The ride clock at a time of the own clock. Saturates.
    #[must_use]
    pub fn ride(&self, own: i64) -> Moment {
        let since = i128::from(own) - i128::from(self.anchor.own);
        let rate = BILLION + i128::from(self.drift_ppb);
        let ride = i128::from(self.anchor.ride.0) + rounded_quotient(since * BILLION, rate);
        Moment(saturate(ride))
    }

    /// The own clock at a moment of the ride. Saturates.
    #[must_use]
    pub fn own(&self, ride: Moment) -> i64 {
        let since = i128::from(ride.0) - i128::from(self.anchor.ride.0);
        let rate = BILLION + i128::from(self.drift_ppb);
        saturate(i128::from(self.anchor.own) + rounded_quotient(since * rate, BILLION))
    }
}

/// The rate that two anchors tell, if each of their four readings may be wrong
/// by `reading_nanos` either way.
///
/// `None` where the two moments do not lie further apart than that.
///
/// ```
/// use reinback_analysis::Moment;
/// use reinback_analysis::anchor::{Anchor, drift_range};
/// let at = |seconds: i64| Anchor { own: seconds * 1_000_000_000, ride: Moment(seconds * 1_000_000_000) };
/// // ten minutes apart, each reading half a second off at worst
/// let found = drift_range(at(0), at(600), 500_000_000).unwrap();
/// assert!(found.low < 0.0 && 0.0 < found.high);
/// assert_eq!(drift_range(at(0), at(0), 500_000_000), None);
/// ```
#[must_use]
#[expect(
    clippy::cast_precision_loss,
    reason = "parts per million of spans of hours, shown with three digits"
)]
pub fn drift_range(one: Anchor, other: Anchor, reading_nanos: i64) -> Option<DriftRange> {
    let own = (i128::from(other.own) - i128::from(one.own)).abs() as f64;
    let ride = (i128::from(other.ride.0) - i128::from(one.ride.0)).abs() as f64;
    let wrong = 2.0 * reading_nanos.unsigned_abs() as f64;
    if ride <= wrong || own <= wrong {
        return None;
    }
    let ppm = |own: f64, ride: f64| (own / ride - 1.0) * 1e6;
    Some(DriftRange {
        value: ppm(own, ride),
        low: ppm(own - wrong, ride + wrong),
        high: ppm(own + wrong, ride - wrong),
    })
}

impl DriftRange {
    /// What it says about the anchors.
    #[must_use]
    pub fn plausibility(&self) -> Plausibility {
        if self.low > USUAL_PPM || self.high < -USUAL_PPM {
            Plausibility::Unusual
        } else if self.low <= 0.0 && 0.0 <= self.high {
            Plausibility::NotToldFromNone
        } else {
            Plausibility::Usual
        }
    }
}

fn rounded_quotient(numerator: i128, denominator: i128) -> i128 {
    (2 * numerator + denominator).div_euclid(2 * denominator)
}

fn saturate(nanos: i128) -> i64 {
    i64::try_from(nanos).unwrap_or(if nanos < 0 { i64::MIN } else { i64::MAX })
}
