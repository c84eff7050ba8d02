//! Moments and lengths in a film, in whole nanoseconds.

use std::ops::{Add, Sub};

/// Nanoseconds in one second.
const NANOS: i64 = 1_000_000_000;

/// A moment in a film, or a length of film: nanoseconds since the first
/// *presented* frame of the film.
///
/// A film whose container starts at ten seconds still has its first frame at
/// [`FilmTime::ZERO`]. Frames that an edit list hides do not count.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FilmTime(pub i64);

impl FilmTime {
    /// The first presented frame.
    pub const ZERO: Self = Self(0);
    /// Later than every frame.
    pub const MAX: Self = Self(i64::MAX);

    /// From seconds, rounded to the nearest nanosecond. What is no number
    /// becomes zero; what does not fit is held at the border.
    #[must_use]
    pub fn from_secs_f64(seconds: f64) -> Self {
        // `as` saturates and turns NaN into zero, which is what is promised.
        Self((seconds * 1e9).round() as i64)
    }

    /// As seconds; exact to the nanosecond up to about 104 days.
    #[must_use]
    pub fn as_secs_f64(self) -> f64 {
        self.0 as f64 / 1e9
    }

    /// The later of `self - other` and the smallest value.
    #[must_use]
    pub fn saturating_sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }

    /// The earlier of `self + other` and the largest value.
    #[must_use]
    pub fn saturating_add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Add for FilmTime {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        self.saturating_add(other)
    }
}

impl Sub for FilmTime {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self.saturating_sub(other)
    }
}

/// The ticks of one stream and the tick at which its first presented frame
/// stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Clock {
    numerator: i64,
    denominator: i64,
    zero: i64,
}

impl Clock {
    /// `numerator / denominator` seconds a tick. A base that is not positive
    /// becomes nanoseconds, so that no later division fails.
    pub(crate) fn new(numerator: i32, denominator: i32, zero: i64) -> Self {
        let (numerator, denominator) = if numerator > 0 && denominator > 0 {
            (i64::from(numerator), i64::from(denominator))
        } else {
            (1, NANOS)
        };
        Self {
            numerator,
            denominator,
            zero,
        }
    }

    /// Seconds a tick, as numerator and denominator.
    pub(crate) fn base(self) -> (i32, i32) {
        // Both were made from 32 bits.
        (self.numerator as i32, self.denominator as i32)
    }

    /// The tick of the first presented frame.
    pub(crate) fn zero(self) -> i64 {
        self.zero
    }

    /// The same ticks, counted from another first frame.
    pub(crate) fn with_zero(self, zero: i64) -> Self {
        Self { zero, ..self }
    }

    /// The moment of a tick, rounded down to the nanosecond.
    pub(crate) fn time(self, tick: i64) -> FilmTime {
        FilmTime(self.length(tick.saturating_sub(self.zero)))
    }

    /// Ticks in a second; at least one.
    pub(crate) fn second(self) -> i64 {
        (self.denominator / self.numerator).max(1)
    }

    /// The nanoseconds in a number of ticks, rounded down.
    pub(crate) fn length(self, ticks: i64) -> i64 {
        let nanos = i128::from(ticks) * i128::from(self.numerator) * i128::from(NANOS);
        saturate(nanos.div_euclid(i128::from(self.denominator)))
    }

    /// The last tick whose moment is at or before `time`.
    pub(crate) fn tick(self, time: FilmTime) -> i64 {
        // time() rounds down, so the tick wanted is the greatest k with
        // k * n * 10^9 < (time + 1) * d.
        let step = i128::from(self.numerator) * i128::from(NANOS);
        let limit = (i128::from(time.0) + 1) * i128::from(self.denominator) - 1;
        saturate(limit.div_euclid(step)).saturating_add(self.zero)
    }
}

fn saturate(value: i128) -> i64 {
    i64::try_from(value).unwrap_or(if value < 0 { i64::MIN } else { i64::MAX })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn seconds_go_there_and_back() {
        for (seconds, nanos) in [
            (0.0, 0),
            (1.5, 1_500_000_000),
            (-0.25, -250_000_000),
            (f64::NAN, 0),
            (f64::INFINITY, i64::MAX),
        ] {
            assert_eq!(FilmTime::from_secs_f64(seconds).0, nanos, "{seconds}");
        }
        assert!((FilmTime(1_500_000_000).as_secs_f64() - 1.5).abs() < f64::EPSILON);
    }

    #[test]
    fn a_bad_time_base_is_not_divided_by() {
        assert_eq!(Clock::new(0, 0, 0).time(7), FilmTime(7));
    }

    proptest! {
        /// The tick of a tick's own moment is that tick, in every base met in
        /// films (600, 90 000, 1/1001, milliseconds).
        #[test]
        fn ticks_survive_the_way_through_nanoseconds(
            tick in -10_000_000_i64..9_000_000_000,
            zero in -1000_i64..1_000_000,
            base in prop::sample::select(vec![
                (1, 600), (1, 90_000), (1001, 30_000), (1, 1000), (1, 1), (33_333, 1_000_000),
            ]),
        ) {
            let clock = Clock::new(base.0, base.1, zero);
            prop_assert_eq!(clock.tick(clock.time(tick)), tick);
            prop_assert_eq!(clock.tick(FilmTime(clock.time(tick).0 - 1)), tick - 1);
        }
    }
}
