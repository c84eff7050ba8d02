//! Which stretch of the ride stands where on the strip, zooming and the ruler: pure.

use reinback_yard::{Moment, Span};

/// Which stretch is shown where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// The stretch of the ride clock.
    pub view: Span,
    /// Left edge in points.
    pub left: f32,
    /// Right edge in points.
    pub right: f32,
}

impl Axis {
    /// Where a moment stands.
    #[must_use]
    pub fn x_from_moment(&self, moment: Moment) -> f32 {
        let part = (moment.0 - self.view.from.0) as f64 / self.nanos();
        self.left + (part * f64::from(self.right - self.left)) as f32
    }

    /// Which moment stands at a place.
    #[must_use]
    pub fn moment_from_x(&self, x: f32) -> Moment {
        let part = f64::from(x - self.left) / f64::from((self.right - self.left).max(1.0));
        Moment(
            self.view
                .from
                .0
                .saturating_add((part * self.nanos()) as i64),
        )
    }

    /// Nanoseconds to a point.
    #[must_use]
    pub fn nanos_per_point(&self) -> f64 {
        self.nanos() / f64::from((self.right - self.left).max(1.0))
    }

    fn nanos(&self) -> f64 {
        (self.view.to.0.saturating_sub(self.view.from.0)).max(1) as f64
    }
}

/// Steps of the ruler, in milliseconds.
const STEPS: [i64; 17] = [
    40, 100, 200, 500, 1_000, 2_000, 5_000, 10_000, 15_000, 30_000, 60_000, 120_000, 300_000,
    600_000, 900_000, 1_800_000, 3_600_000,
];

/// Points between two ticks with a text.
const TICK_POINTS: f64 = 84.0;

/// Ticks of the ruler with their moments; the text only on the longer ones.
pub(super) fn ticks(axis: &Axis) -> Vec<(f32, Option<Moment>)> {
    let wanted = axis.nanos_per_point() * TICK_POINTS / 1e6;
    let step = STEPS
        .iter()
        .copied()
        .find(|step| *step as f64 >= wanted)
        .unwrap_or(3_600_000)
        * 1_000_000;
    let part = step / 5;
    let first = axis.view.from.0.div_euclid(part);
    let last = axis.view.to.0.div_euclid(part);
    (first..=last.min(first.saturating_add(2_000)))
        .map(|n| {
            let moment = Moment(n.saturating_mul(part));
            (
                axis.x_from_moment(moment),
                (n.rem_euclid(5) == 0).then_some(moment),
            )
        })
        .filter(|(x, _)| (axis.left..=axis.right).contains(x))
        .collect()
}

/// The shortest stretch the strip shows: some ten frames.
pub const SHORTEST_VIEW: i64 = 400_000_000;

/// Zooms a view by a factor around a moment, within the extent. `None` means the whole ride.
#[must_use]
pub fn zoomed(view: Span, extent: Span, around: Moment, factor: f64) -> Option<Span> {
    let whole = extent.to.0 - extent.from.0;
    let length = (((view.to.0 - view.from.0) as f64 / factor) as i64).max(SHORTEST_VIEW);
    if length >= whole {
        return None;
    }
    let part = (around.0 - view.from.0) as f64 / (view.to.0 - view.from.0).max(1) as f64;
    Some(moved(
        Span {
            from: Moment(around.0 - (part * length as f64) as i64),
            to: Moment(0),
        },
        length,
        extent,
    ))
}

/// Pans a view by nanoseconds, within the extent.
#[must_use]
pub fn panned(view: Span, extent: Span, nanos: i64) -> Span {
    let length = view.to.0 - view.from.0;
    moved(
        Span {
            from: Moment(view.from.0.saturating_add(nanos)),
            to: Moment(0),
        },
        length,
        extent,
    )
}

fn moved(start: Span, length: i64, extent: Span) -> Span {
    let latest = (extent.to.0 - length).max(extent.from.0);
    let from = start.from.0.clamp(extent.from.0, latest);
    Span {
        from: Moment(from),
        to: Moment(from + length),
    }
}

/// Pans the view, if need be, so that a moment stays in it.
#[must_use]
pub fn following(view: Span, extent: Span, now: Moment) -> Span {
    if view.from <= now && now <= view.to {
        return view;
    }
    let length = view.to.0 - view.from.0;
    panned(view, extent, now.0 - view.from.0 - length / 8)
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
    fn a_place_and_its_moment_agree() {
        let axis = Axis {
            view: span(60, 180),
            left: 100.0,
            right: 1_100.0,
        };
        for seconds in [60, 61, 90, 179, 180] {
            let moment = Moment(seconds * 1_000_000_000);
            let back = axis.moment_from_x(axis.x_from_moment(moment));
            assert!(
                (back.0 - moment.0).abs() < 20_000_000,
                "{moment:?} came back as {back:?}"
            );
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

    #[test]
    fn rulers_are_never_crowded() {
        for seconds in [1, 10, 60, 600, 5_400] {
            let axis = Axis {
                view: span(0, seconds),
                left: 0.0,
                right: 1_200.0,
            };
            let texts = ticks(&axis)
                .iter()
                .filter(|(_, text)| text.is_some())
                .count();
            assert!((1..=16).contains(&texts), "{texts} texts over {seconds} s");
        }
    }
}
