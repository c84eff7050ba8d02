//! The tempo of a stretch that was tapped along, one tap a stride.

use crate::describe::{median, theil_sen};
use crate::estimate::{Estimate, InputError, LEVEL};
use crate::special::real;
use crate::time::{Moment, seconds};

/// Fewer strides than this give no figure. Our own choice: a tap misplaced by a tenth of a second
/// at either end is then about three per cent of the stretch.
pub const MIN_STRIDES: usize = 6;

/// Two taps closer than this are one, tapped twice; as in [`crate::strides`].
const DOUBLE_TAP: f64 = 0.15;

/// As in [`crate::strides`]: rates a horse may have, in strides per minute.
const RATES: std::ops::RangeInclusive<f64> = 20.0..=200.0;

/// A gap of more strides than this is a pause. Our own choice: beyond it, how many strides fit into
/// the gap would be guessed.
const LONGEST_GAP: f64 = 3.0;

/// What taps tell of the tempo.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tapped {
    /// Strides from the first tap to the last, a whole number.
    pub strides: f64,
    /// Strides per minute.
    pub rate: Estimate,
    /// Places where a tap seems to be missing.
    pub missing: usize,
    /// Taps that came almost at once with the one before, and were left out.
    pub doubled: usize,
    /// Taps before or after a pause, which were left out: the longest run counts.
    pub apart: usize,
}

/// Why taps give no figure. Its text is a sentence for the rider.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum TapsReason {
    /// Fewer than [`MIN_STRIDES`] strides.
    #[error("{strides} of {MIN_STRIDES} strides: too few for a tempo")]
    TooFew {
        /// Strides tapped.
        strides: usize,
    },
    /// A rate no horse has, as when steps or hands are tapped rather than strides.
    #[error("{per_minute} taps a minute are no horse's strides: tap one foot, once a stride")]
    NoHorse {
        /// Taps per minute, rounded.
        per_minute: u32,
    },
    /// So uneven that its range has no end.
    #[error("The taps are too uneven for a figure: {0}")]
    TooUneven(InputError),
}

/// Strides per minute from taps on one footfall.
///
/// The stride time is the median slope of the taps' times over their numbers, with its rank
/// interval ([`theil_sen`]): one tap that came late hardly moves it. A gap of up
/// to three strides counts as many as fit into it best, so that a tap left out does no harm; at a
/// longer one the taps begin anew, and the longest run counts. Taps may come in any
/// order.
///
/// # Errors
///
/// [`TapsReason`], as below [`MIN_STRIDES`] strides.
///
/// ```
/// use reinback_analysis::{Moment, taps::tapped};
/// // A metronome at 96, one beat left out.
/// let beats = (0..12).filter(|beat| *beat != 5).map(|beat| Moment(beat * 625_000_000));
/// let found = tapped(&beats.collect::<Vec<_>>())?;
/// assert!((found.rate.value - 96.0).abs() < 1e-9);
/// assert_eq!((found.strides, found.missing), (11.0, 1));
/// # Ok::<(), reinback_analysis::taps::TapsReason>(())
/// ```
pub fn tapped(taps: &[Moment]) -> Result<Tapped, TapsReason> {
    let mut sorted = taps.to_vec();
    sorted.sort_unstable();
    let first = sorted.first().copied().unwrap_or_default();
    let mut times: Vec<f64> = Vec::with_capacity(sorted.len());
    let mut doubled = 0;
    for tap in sorted {
        let time = seconds(tap.0.saturating_sub(first.0));
        match times.last() {
            Some(last) if time - last < DOUBLE_TAP => doubled += 1,
            _ => times.push(time),
        }
    }
    let intervals: Vec<f64> = times.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let middle = median(&intervals).ok_or(TapsReason::TooFew { strides: 0 })?;
    let gap = |interval: f64| (interval / middle).round().max(1.0);
    let mut longest = Run::default();
    let mut run = Run::from(times.first().copied());
    for (interval, time) in intervals.iter().zip(times.iter().skip(1)) {
        if gap(*interval) > LONGEST_GAP {
            longest = longest.longer(std::mem::replace(&mut run, Run::from(Some(*time))));
        } else {
            run.add(gap(*interval), *time);
        }
    }
    let run = longest.longer(run);
    if run.strides < real(MIN_STRIDES) {
        return Err(TapsReason::TooFew {
            strides: run.points.len().saturating_sub(1),
        });
    }
    let missing = run
        .points
        .windows(2)
        .filter(|two| two[1].0 - two[0].0 > 1.0);
    let missing = missing.count();
    let apart = times.len() - run.points.len();
    let time = theil_sen(&run.points, LEVEL).map_err(TapsReason::TooUneven)?;
    let rate = |seconds: f64| 60.0 / seconds;
    let rate = Estimate::new(
        rate(time.value),
        rate(time.high),
        rate(time.low),
        LEVEL,
        time.method,
    );
    let rate = rate.map_err(TapsReason::TooUneven)?;
    if !RATES.contains(&rate.value) {
        let per_minute = nearest(rate.value);
        return Err(TapsReason::NoHorse { per_minute });
    }
    Ok(Tapped {
        strides: run.strides,
        rate,
        missing,
        doubled,
        apart,
    })
}

/// The whole number next to a rate, which is at most that of two taps 0.15 s apart.
fn nearest(rate: f64) -> u32 {
    (0..=400)
        .rfind(|whole| f64::from(*whole) <= rate + 0.5)
        .unwrap_or(0)
}

/// Taps that follow each other.
#[derive(Default)]
struct Run {
    /// The number of the stride and its time in seconds.
    points: Vec<(f64, f64)>,
    /// Strides from the first to the last.
    strides: f64,
}

impl Run {
    fn from(first: Option<f64>) -> Self {
        Self {
            points: first.map(|time| (0.0, time)).into_iter().collect(),
            strides: 0.0,
        }
    }

    fn add(&mut self, strides: f64, time: f64) {
        self.strides += strides;
        self.points.push((self.strides, time));
    }

    fn longer(self, other: Self) -> Self {
        if other.strides > self.strides {
            other
        } else {
            self
        }
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;
    use proptest::prelude::*;

    fn at(times: &[f64]) -> Vec<Moment> {
        times
            .iter()
            .map(|time| Moment(i64::try_from(Duration::from_secs_f64(*time).as_nanos()).unwrap()))
            .collect()
    }

    #[test]
    fn too_few_strides_say_so() {
        for (times, strides) in [
            (&[][..], 0),
            (&[1.0], 0),
            (&[0.0, 0.6, 1.2, 1.8, 2.4, 3.0], 5),
            // Seven taps, two of which are one.
            (&[0.0, 0.6, 0.65, 1.2, 1.8, 2.4, 3.0], 5),
        ] {
            assert_eq!(
                tapped(&at(times)),
                Err(TapsReason::TooFew { strides }),
                "{times:?}"
            );
        }
    }

    /// By hand: taps at n · 0.6 s but the third, 90 ms late. Slopes between the six true taps are
    /// 0.6, and they are 15 of 21, so the middle one is 0.6 s: 100 strides a minute. The difference
    /// of the ends alone would be right here too, but not with the last tap late.
    #[test]
    fn one_late_tap_does_not_move_the_tempo() {
        for late in [2, 6] {
            let times: Vec<f64> = (0..7)
                .map(|n| 0.6 * f64::from(n) + if n == late { 0.09 } else { 0.0 })
                .collect();
            let found = tapped(&at(&times)).unwrap();
            assert!((found.rate.value - 100.0).abs() < 1e-6, "{found:?}");
            assert!(
                found.rate.low < 100.0 && found.rate.covers(100.0),
                "{found:?}"
            );
        }
    }

    /// Steps tapped in canter, and a hand that rests.
    #[test]
    fn what_no_horse_does_is_no_tempo() {
        for (interval, per_minute) in [(0.25, 240), (4.0, 15)] {
            let times: Vec<f64> = (0..9).map(|n| interval * f64::from(n)).collect();
            assert_eq!(tapped(&at(&times)), Err(TapsReason::NoHorse { per_minute }));
        }
    }

    /// A pause is not filled with strides that nobody tapped.
    #[test]
    fn the_longest_run_counts() {
        let run = |from: f64, count: i32| (0..count).map(move |n| from + 0.6 * f64::from(n));
        let times: Vec<f64> = run(0.0, 4)
            .chain(run(30.0, 9))
            .chain(run(60.0, 3))
            .collect();
        let found = tapped(&at(&times)).unwrap();
        assert_eq!((found.strides, found.apart), (8.0, 7));
        assert!((found.rate.value - 100.0).abs() < 1e-6, "{found:?}");
    }

    proptest! {
        /// Whatever the hand, the range holds the value, and a steady beat is found exactly.
        #[test]
        fn steady_taps_give_their_rate(
            rate in 25.0..190.0_f64,
            count in 7_usize..60,
            start in 1.0..1.0e4_f64,
            jitter in prop::collection::vec(-0.03..0.03_f64, 60),
        ) {
            let beat = |n: usize| start + real(n) * 60.0 / rate;
            let steady: Vec<f64> = (0..count).map(beat).collect();
            let found = tapped(&at(&steady)).unwrap();
            prop_assert!((found.rate.value - rate).abs() < 1e-4 * rate);
            prop_assert_eq!((found.strides, found.missing, found.doubled), (real(count - 1), 0, 0));
            let uneven: Vec<f64> = (0..count).map(|n| beat(n) + jitter[n]).collect();
            let found = tapped(&at(&uneven)).unwrap();
            prop_assert!(found.rate.low <= found.rate.value && found.rate.value <= found.rate.high);
            // Slopes can be off by no more than twice the jitter in one step, far less over many.
            prop_assert!((found.rate.value / rate - 1.0).abs() < 0.25);
        }

        #[test]
        fn no_taps_panic(times in prop::collection::vec(any::<i64>(), 0..40)) {
            let taps: Vec<Moment> = times.into_iter().map(Moment).collect();
            if let Ok(found) = tapped(&taps) {
                prop_assert!(found.rate.value.is_finite() && found.rate.low <= found.rate.high);
            }
        }
    }
}
