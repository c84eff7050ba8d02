//! Two clocks put onto each other by moments seen on both.

use proptest::prelude::*;
use reinback_analysis::Moment;
use reinback_analysis::anchor::{
    Anchor, AnchorError, MAX_DRIFT_PPB, Placement, Plausibility, drift_range,
};

const SECOND: i64 = 1_000_000_000;

fn anchor(own_seconds: f64, ride_seconds: f64) -> Anchor {
    Anchor {
        own: nanos(own_seconds),
        ride: Moment(nanos(ride_seconds)),
    }
}

fn nanos(seconds: f64) -> i64 {
    (seconds * 1e9).round() as i64
}

#[test]
fn one_moment_gives_the_offset() {
    let placement = Placement::at(anchor(38_535.0, 12.5));
    assert_eq!(placement.ride(38_535 * SECOND), Moment(nanos(12.5)));
    assert_eq!(placement.ride(38_595 * SECOND), Moment(nanos(72.5)));
    assert_eq!(placement.ride(38_520 * SECOND), Moment(nanos(-2.5)));
    assert_eq!(placement.own(Moment(0)), nanos(38_522.5));
}

/// A watch that gains a tenth of a second in a thousand: 100 ppm.
#[test]
fn two_moments_give_the_rate() {
    let (one, other) = (anchor(0.0, 0.0), anchor(1_000.1, 1_000.0));
    for (first, second) in [(one, other), (other, one)] {
        let placement = Placement::between(first, second).expect("two clocks");
        assert_eq!(placement.drift_ppb, 100_000);
        assert_eq!(placement.ride(nanos(2_000.2)), Moment(nanos(2_000.0)));
        assert_eq!(placement.ride(nanos(-1_000.1)), Moment(nanos(-1_000.0)));
    }
}

#[test]
fn what_cannot_be_two_clocks_is_refused() {
    let check = |one: Anchor, other: Anchor, expect: AnchorError| {
        assert_eq!(
            Placement::between(one, other),
            Err(expect),
            "{one:?} {other:?}"
        );
    };
    check(anchor(1.0, 5.0), anchor(1.0, 9.0), AnchorError::SameMoment);
    check(anchor(1.0, 5.0), anchor(2.0, 5.0), AnchorError::SameMoment);
    check(anchor(1.0, 5.0), anchor(2.0, 4.0), AnchorError::Reversed);
    check(
        anchor(0.0, 0.0),
        anchor(120.0, 100.0),
        AnchorError::TooFarApart,
    );
    let (first, last) = (i64::MIN, i64::MAX);
    let end = |own, ride| Anchor {
        own,
        ride: Moment(ride),
    };
    check(end(first, 0), end(last, 1), AnchorError::TooFarApart);
}

/// Half a second of doubt at either end makes a second on each clock.
#[test]
fn the_rate_is_told_no_better_than_the_moments() {
    let range = drift_range(anchor(0.0, 0.0), anchor(600.0, 600.0), SECOND / 2).expect("a range");
    assert!(range.value.abs() < 1e-9);
    // (600 ± 1) / (600 ∓ 1) - 1, by hand.
    assert!((range.low - (-3_327.787)).abs() < 0.001, "{range:?}");
    assert!((range.high - 3_338.898).abs() < 0.001, "{range:?}");
    assert_eq!(range.plausibility(), Plausibility::NotToldFromNone);

    let frame = SECOND / 60;
    let watch = drift_range(anchor(0.0, 0.0), anchor(3_600.36, 3_600.0), frame).expect("a range");
    assert!((watch.value - 100.0).abs() < 0.01);
    assert_eq!(watch.plausibility(), Plausibility::Usual);
    let wrong = drift_range(anchor(0.0, 0.0), anchor(605.0, 600.0), SECOND / 2).expect("a range");
    assert_eq!(wrong.plausibility(), Plausibility::Unusual);
    assert_eq!(
        drift_range(anchor(0.0, 0.0), anchor(0.5, 0.5), SECOND / 2),
        None
    );
}

proptest! {
    /// Both anchors come out where they were put, and there is a way back, for days of a ride.
    #[test]
    fn anchors_stay_where_they_were_put(
        own in -1_000_000_000_000_000_i64..1_000_000_000_000_000,
        ride in -1_000_000_000_000_000_i64..1_000_000_000_000_000,
        apart in 1_000_000_000_i64..100_000_000_000_000,
        drift in -MAX_DRIFT_PPB + 1..MAX_DRIFT_PPB,
        elsewhere in -200_000_000_000_000_i64..200_000_000_000_000,
    ) {
        let film = i128::from(apart) * (1_000_000_000 + i128::from(drift)) / 1_000_000_000;
        let one = Anchor { own, ride: Moment(ride) };
        let other = Anchor { own: own + film as i64, ride: Moment(ride + apart) };
        let placement = Placement::between(one, other).expect("two clocks");
        prop_assert!((placement.drift_ppb - drift).abs() <= 1);
        prop_assert_eq!(placement.ride(one.own), one.ride);
        // The drift is kept to a thousand-millionth.
        let slack = apart / 1_000_000_000 + 2;
        prop_assert!((placement.ride(other.own).0 - other.ride.0).abs() <= slack);
        let moment = Moment(ride + elsewhere);
        prop_assert!((placement.ride(placement.own(moment)).0 - moment.0).abs() <= 2);
    }

    /// Nothing overflows.
    #[test]
    fn any_clocks(a in any::<i64>(), b in any::<i64>(), c in any::<i64>(), d in any::<i64>(), e in any::<i64>()) {
        let one = Anchor { own: a, ride: Moment(b) };
        let other = Anchor { own: c, ride: Moment(d) };
        if let Ok(placement) = Placement::between(one, other) {
            let _far = (placement.ride(e), placement.own(Moment(e)));
        }
        if let Some(range) = drift_range(one, other, e) {
            prop_assert!(range.low <= range.value && range.value <= range.high);
            prop_assert!(range.low.is_finite() && range.high.is_finite());
        }
    }
}
