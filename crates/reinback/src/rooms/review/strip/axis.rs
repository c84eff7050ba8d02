//! Which stretch of the ride stands where on the strip, and its ruler: pure.

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
