//! From one moment of the ride to the next of its kind: pure.

use reinback_yard::{MarkKind, Moment, ReviewId, Ride};

use crate::action::Chosen;

/// No film shows a frame for longer than this, in nanoseconds: ten frames a second.
const FRAME_AT_MOST: i64 = 100_000_000;

/// Where a jump may end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stop {
    /// When.
    pub at: Moment,
    /// What is chosen there.
    pub choose: Option<Chosen>,
}

/// The stop next to the frame on screen. Where the last jump led between two frames, the earlier
/// one is on screen: `jumped` says so, else the same stop would be jumped to again and again.
#[must_use]
pub fn neighbour(
    stops: &[Stop],
    now: Moment,
    jumped: Option<Moment>,
    forward: bool,
) -> Option<Stop> {
    let shown = |at: &Moment| (0..FRAME_AT_MOST).contains(&at.0.saturating_sub(now.0));
    let here = jumped.filter(shown).unwrap_or(now);
    let stops = stops.iter().copied();
    if forward {
        stops
            .filter(|stop| stop.at > here)
            .min_by_key(|stop| stop.at)
    } else {
        stops
            .filter(|stop| stop.at < here)
            .max_by_key(|stop| stop.at)
    }
}

/// Where the exercises of a review start.
#[must_use]
pub fn bouts(ride: &Ride, review: ReviewId) -> Vec<Stop> {
    let own = ride.bouts.iter().filter(|bout| bout.review == review);
    own.map(|bout| Stop {
        at: bout.from,
        choose: Some(Chosen::Bout(bout.id)),
    })
    .collect()
}

/// Where the flying changes of a review are.
#[must_use]
pub fn changes(ride: &Ride, review: ReviewId) -> Vec<Stop> {
    let own = ride.marks.iter().filter(|mark| mark.review == review);
    own.filter(|mark| matches!(mark.kind, MarkKind::Change(_)))
        .map(|mark| Stop {
            at: mark.at,
            choose: Some(Chosen::Mark(mark.id)),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stop(at: i64) -> Stop {
        Stop {
            at: Moment(at),
            choose: None,
        }
    }

    #[test]
    fn the_next_one_either_way() {
        let stops = [stop(300), stop(100), stop(200), stop(200)];
        for (now, forward, expect) in [
            (0, true, Some(100)),
            (100, true, Some(200)),
            (150, true, Some(200)),
            (300, true, None),
            (300, false, Some(200)),
            (100, false, None),
            (900, false, Some(300)),
        ] {
            let found = neighbour(&stops, Moment(now), None, forward);
            assert_eq!(found, expect.map(stop), "{now} {forward}");
        }
    }

    /// Frames of 40 ms, stops between them: the frame on screen stands before the stop.
    #[test]
    fn jumping_on_and_on_meets_each_stop_once() {
        let stops: Vec<Stop> = [55, 1_010, 1_030, 2_000]
            .map(|ms| stop(ms * 1_000_000))
            .into();
        let shown = |at: Moment| Moment(at.0.div_euclid(40_000_000) * 40_000_000);
        let mut met = Vec::new();
        let (mut now, mut jumped) = (Moment(0), None);
        while let Some(next) = neighbour(&stops, now, jumped, true) {
            met.push(next);
            (now, jumped) = (shown(next.at), Some(next.at));
        }
        assert_eq!(met, stops);
        let mut back = vec![stops[3]];
        while let Some(next) = neighbour(&stops, now, jumped, false) {
            back.push(next);
            (now, jumped) = (shown(next.at), Some(next.at));
        }
        back.reverse();
        assert_eq!(back, stops);
    }

    #[test]
    fn a_jump_long_ago_does_not_count() {
        let stops = [stop(100), stop(200)];
        let jumped = Some(Moment(100 + FRAME_AT_MOST));
        assert_eq!(neighbour(&stops, Moment(0), jumped, true), Some(stops[0]));
    }
}
