//! The slim band above a strip that shows a part of the ride: the whole of it, and which part.
//! Pure.

use egui::{Rect, pos2};
use reinback_yard::{MarkKind, Moment, Span};

use super::axis::Axis;
use super::bands;
use super::layout::StripData;
use super::view::SHORTEST_VIEW;

/// Reach of the window's edges for the pointer, in points.
const REACH: f32 = 5.0;
/// The window is drawn at least this wide, in points, so that it can be taken hold of.
const LEAST: f32 = 8.0;

/// The band as laid out.
#[derive(Clone, Debug, PartialEq)]
pub struct Overview {
    /// The whole ride on the band.
    pub axis: Axis,
    /// The band.
    pub bed: Rect,
    /// Bouts with their fills.
    pub bouts: Vec<(Rect, usize)>,
    /// Where faults are, each point once.
    pub faults: Vec<f32>,
    /// The part that is shown.
    pub window: Rect,
}

/// A part of the window that can be held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Its left edge.
    From,
    /// Its right edge.
    To,
    /// All of it.
    Whole,
}

/// Lays the band out.
pub(super) fn layout(data: &StripData<'_>, view: Span, bed: Rect) -> Overview {
    let axis = Axis {
        view: data.extent,
        left: bed.left(),
        right: bed.right(),
    };
    let bouts = bands::bouts_on(data, &axis, bed.shrink2(egui::vec2(0.0, 2.0)));
    let faults = data.ride.marks.iter();
    let faults = faults.filter(|mark| mark.review == data.review);
    let faults = faults.filter(|mark| matches!(mark.kind, MarkKind::Fault(_)));
    let mut faults: Vec<f32> = faults
        .map(|mark| axis.x_from_moment(mark.at).round())
        .collect();
    faults.dedup();
    let (from, to) = (axis.x_from_moment(view.from), axis.x_from_moment(view.to));
    let lack = ((LEAST - (to - from)) / 2.0).max(0.0);
    let window = Rect::from_min_max(pos2(from - lack, bed.top()), pos2(to + lack, bed.bottom()));
    Overview {
        axis,
        bed,
        bouts,
        faults,
        window: window.intersect(bed),
    }
}

impl Overview {
    /// What is under the pointer; `None` beside the window.
    #[must_use]
    pub fn part_at(&self, x: f32) -> Option<Part> {
        let (left, right) = (self.window.left(), self.window.right());
        let (to_left, to_right) = ((x - left).abs(), (x - right).abs());
        // A narrow window has its edges outside, so that its middle moves it.
        let inside = (self.window.width() / 4.0).min(REACH);
        let at_left = x < left + inside && to_left <= REACH;
        let at_right = x > right - inside && to_right <= REACH;
        if at_left {
            Some(Part::From)
        } else if at_right {
            Some(Part::To)
        } else {
            (left..=right).contains(&x).then_some(Part::Whole)
        }
    }
}

/// The view after a part of the window was moved by nanoseconds.
#[must_use]
pub fn moved(view: Span, extent: Span, part: Part, nanos: i64) -> Span {
    let from = view.from.0.saturating_add(nanos);
    let to = view.to.0.saturating_add(nanos);
    match part {
        Part::Whole => super::view::panned(view, extent, nanos),
        Part::From => {
            let latest = view.to.0.saturating_sub(SHORTEST_VIEW);
            Span {
                from: Moment(from.min(latest).max(extent.from.0.min(latest))),
                to: view.to,
            }
        }
        Part::To => {
            let earliest = view.from.0.saturating_add(SHORTEST_VIEW);
            Span {
                from: view.from,
                to: Moment(to.max(earliest).min(extent.to.0.max(earliest))),
            }
        }
    }
}

/// The view of the same length around a moment.
#[must_use]
pub fn around(view: Span, extent: Span, middle: Moment) -> Span {
    let here = view.from.0.midpoint(view.to.0);
    super::view::panned(view, extent, middle.0.saturating_sub(here))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn span(from: i64, to: i64) -> Span {
        Span {
            from: Moment(from * 1_000_000_000),
            to: Moment(to * 1_000_000_000),
        }
    }

    #[test]
    fn edges_resize_and_the_middle_moves() {
        let (extent, second) = (span(0, 600), 1_000_000_000);
        for (part, by, expect) in [
            (Part::Whole, 30, span(130, 190)),
            (Part::Whole, -900, span(0, 60)),
            (Part::From, 20, span(120, 160)),
            (Part::From, -900, span(0, 160)),
            (Part::To, 40, span(100, 200)),
            (Part::To, 900, span(100, 600)),
        ] {
            assert_eq!(moved(span(100, 160), extent, part, by * second), expect);
        }
        assert_eq!(
            around(span(0, 60), extent, span(300, 0).from),
            span(270, 330)
        );
    }

    #[test]
    fn a_narrow_window_can_still_be_moved_and_resized() {
        let bed = Rect::from_min_max(pos2(0.0, 0.0), pos2(1_000.0, 12.0));
        let axis = Axis {
            view: span(0, 600),
            left: 0.0,
            right: 1_000.0,
        };
        let window = Rect::from_min_max(pos2(500.0, 0.0), pos2(508.0, 12.0));
        let overview = Overview {
            axis,
            bed,
            bouts: Vec::new(),
            faults: Vec::new(),
            window,
        };
        for (x, part) in [
            (490.0, None),
            (498.0, Some(Part::From)),
            (504.0, Some(Part::Whole)),
            (510.0, Some(Part::To)),
            (520.0, None),
        ] {
            assert_eq!(overview.part_at(x), part, "{x}");
        }
    }

    proptest! {
        #[test]
        fn the_view_stays_on_the_ride_and_long_enough(
            from in 0_i64..500, length in 1_i64..100, by in -2_000_i64..2_000,
            part in prop::sample::select(vec![Part::From, Part::To, Part::Whole]),
        ) {
            let extent = span(0, 600);
            let moved = moved(span(from, from + length), extent, part, by * 1_000_000_000);
            prop_assert!(moved.from >= extent.from && moved.to <= extent.to);
            prop_assert!(moved.to.0 - moved.from.0 >= SHORTEST_VIEW);
        }
    }
}
