//! How long a stride takes in a bout, as it was tapped. Pure.

use reinback_analysis::describe::median;
use reinback_analysis::strides::{Convention, from_taps};
use reinback_yard::{Bout, Moment, Ride};

/// Seconds of the second for each of the first with which their strides take equal time.
///
/// # Errors
/// A sentence for the rider: the tempo of one is not known.
pub fn ratio(first: (&Bout, &Ride), second: (&Bout, &Ride)) -> Result<f64, &'static str> {
    match (stride_time(first), stride_time(second)) {
        (Some(first), Some(second)) => Ok(second / first),
        (None, None) => Err("The tempo of neither is known: tap it along in both first"),
        (None, _) => Err("The tempo of the first is not known: tap it along first"),
        (_, None) => Err("The tempo of the second is not known: tap it along in its ride first"),
    }
}

/// The middle time from tap to tap within a bout, in nanoseconds; above zero. Where a tap seems to
/// be missing no stride is made up.
fn stride_time((bout, ride): (&Bout, &Ride)) -> Option<f64> {
    let span = bout.span_until(bout.from);
    let own = ride
        .tempos
        .iter()
        .filter(|track| track.review == bout.review);
    let strides = own.flat_map(|track| {
        let within = track.taps.iter().copied();
        let taps: Vec<Moment> = within
            .filter(|tap| span.from <= *tap && *tap <= span.to)
            .collect();
        from_taps(&taps, Convention::Strides).strides
    });
    let times: Vec<f64> = strides
        .map(|stride| stride.span.duration_nanos() as f64 / stride.strides)
        .collect();
    median(&times).filter(|time| *time > 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample;
    use reinback_yard::{IdMaker, Leg, SpanId, TempoTrack};

    /// A ride with one bout of a minute, tapped every so many milliseconds from a little before it.
    fn tapped(step: Option<i64>) -> Ride {
        let mut ids = IdMaker::seeded(1);
        let mut ride = sample::blank(&mut ids, sample::day(0));
        sample::bout(&mut ids, &mut ride, "half-pass", None, None);
        let from = ride.bouts[0].from.0 - 3_000_000_000;
        ride.tempos = step
            .into_iter()
            .map(|step| TempoTrack {
                id: SpanId::from_bits(1),
                review: ride.head.counting,
                leg: Leg::LeftHind,
                taps: (0..20)
                    .map(|n| Moment(from + n * step * 1_000_000))
                    .collect(),
            })
            .collect();
        ride
    }

    #[test]
    fn the_slower_of_two_runs_faster() {
        for (first, second, expected) in [
            (Some(600), Some(660), Ok(1.1)),
            (Some(660), Some(600), Ok(600.0 / 660.0)),
            (None, None, Err("neither")),
            (None, Some(600), Err("the first")),
            (Some(600), None, Err("the second")),
        ] {
            let (first, second) = (tapped(first), tapped(second));
            let found = ratio((&first.bouts[0], &first), (&second.bouts[0], &second));
            match (found, expected) {
                (Ok(found), Ok(expected)) => {
                    let expected: f64 = expected;
                    assert!((found - expected).abs() < 1e-12, "{found} {expected}");
                }
                (Err(found), Err(expected)) => assert!(found.contains(expected), "{found}"),
                (found, expected) => panic!("{found:?} {expected:?}"),
            }
        }
    }

    /// Taps outside the bout do not count, nor a pause in the tapping.
    #[test]
    fn only_strides_within_the_bout_count() {
        let mut ride = tapped(Some(600));
        let from = ride.bouts[0].from.0;
        let taps = [-900, -100, 0, 600, 1_200, 4_800, 5_400, 6_000];
        ride.tempos[0].taps = taps.map(|ms| Moment(from + ms * 1_000_000)).into();
        let found = stride_time((&ride.bouts[0], &ride));
        assert_eq!(found, Some(600e6));
    }
}
