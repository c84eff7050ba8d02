//! Which stretch of the ride the strip shows: coming closer, moving along, following.

use reinback_yard::{Moment, Span};

/// The shortest stretch the strip shows: some ten frames.
pub const SHORTEST_VIEW: i64 = 400_000_000;

/// Zooms a view by a factor around a moment, within the extent. `None` means the whole ride.
#[must_use]
pub fn zoomed(view: Span, extent: Span, around: Moment, factor: f64) -> Option<Span> {
    let (whole, shown) = (length(extent), length(view));
    let length = ((shown as f64 / factor) as i64).max(SHORTEST_VIEW);
    if length >= whole {
        return None;
    }
    let part = around.0.saturating_sub(view.from.0) as f64 / shown.max(1) as f64;
    Some(moved(
        Span {
            from: Moment(around.0.saturating_sub((part * length as f64) as i64)),
            to: Moment(0),
        },
        length,
        extent,
    ))
}

/// Pans a view by nanoseconds, within the extent.
#[must_use]
pub fn panned(view: Span, extent: Span, nanos: i64) -> Span {
    moved(
        Span {
            from: Moment(view.from.0.saturating_add(nanos)),
            to: Moment(0),
        },
        length(view),
        extent,
    )
}

/// Of any span, however far its ends lie apart, in nanoseconds.
fn length(span: Span) -> i64 {
    span.to.0.saturating_sub(span.from.0)
}

fn moved(start: Span, length: i64, extent: Span) -> Span {
    let latest = extent.to.0.saturating_sub(length).max(extent.from.0);
    let from = start.from.0.clamp(extent.from.0, latest);
    Span {
        from: Moment(from),
        to: Moment(from.saturating_add(length)),
    }
}

/// Pans the view, if need be, so that a moment stays in it.
#[must_use]
pub fn following(view: Span, extent: Span, now: Moment) -> Span {
    if view.from <= now && now <= view.to {
        return view;
    }
    let ahead = now.0.saturating_sub(view.from.0);
    panned(view, extent, ahead.saturating_sub(length(view) / 8))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn span(from: i64, to: i64) -> Span {
        Span {
            from: Moment(from * 1_000_000_000),
            to: Moment(to * 1_000_000_000),
        }
    }

    #[test]
    fn zooming_keeps_the_moment_under_the_pointer() {
        let extent = span(0, 600);
        let around = Moment(150_000_000_000);
        let view = zoomed(extent, extent, around, 4.0).unwrap();
        assert_eq!(view.to.0 - view.from.0, 150_000_000_000);
        let part = (around.0 - view.from.0) as f64 / (view.to.0 - view.from.0) as f64;
        assert!((part - 0.25).abs() < 1e-6, "the moment moved to {part}");
        assert_eq!(
            zoomed(view, extent, around, 0.1),
            None,
            "wide enough is the whole ride"
        );
    }

    /// A file may hold any moment.
    #[test]
    fn a_ride_of_any_length_is_shown() {
        let extent = Span {
            from: Moment(i64::MIN),
            to: Moment(i64::MAX),
        };
        for now in [i64::MIN, -1, 0, i64::MAX] {
            let view = zoomed(extent, extent, Moment(now), 8.0).unwrap();
            for view in [view, following(view, extent, Moment(now))] {
                assert!(view.from < view.to, "{now} {view:?}");
            }
            let far = panned(view, extent, now);
            assert!(far.from < far.to, "{now} {far:?}");
        }
    }

    #[test]
    fn panning_stays_on_the_ride() {
        let extent = span(0, 600);
        assert_eq!(panned(span(10, 20), extent, -60_000_000_000), span(0, 10));
        assert_eq!(
            panned(span(10, 20), extent, 900_000_000_000),
            span(590, 600)
        );
        assert_eq!(
            following(span(10, 20), extent, Moment(15_000_000_000)),
            span(10, 20)
        );
        let followed = following(span(10, 20), extent, Moment(21_000_000_000));
        assert!(
            followed.from.0 < 21_000_000_000 && followed.to.0 > 21_000_000_000,
            "{followed:?}"
        );
    }
}
