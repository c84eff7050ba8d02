//! What of a line or a band is in the field of a plot. Pure.

use egui::{Pos2, Rect};

/// The stretches of a line that are in the field, cut off at its rim.
pub(super) fn inside(points: &[Pos2], field: Rect) -> Vec<Vec<Pos2>> {
    let mut stretches: Vec<Vec<Pos2>> = Vec::new();
    for pair in points.windows(2) {
        let Some([from, to]) = cut([pair[0], pair[1]], field) else {
            continue;
        };
        match stretches.last_mut() {
            Some(own) if own.last() == Some(&from) => own.push(to),
            _ => stretches.push(vec![from, to]),
        }
    }
    stretches
}

/// A band, by its lower and upper edge from left to right: cut off at the sides of the field, and
/// what of it lies above or below held at its rim. Where an edge crosses the rim both get a place, as
/// an edge is a number and may nowhere be drawn beside it.
pub(super) fn within(ends: &[(Pos2, Pos2)], field: Rect) -> (Vec<Pos2>, Vec<Pos2>) {
    let mut kept: Vec<(Pos2, Pos2)> = Vec::new();
    let mut keep = |low: Pos2, high: Pos2| {
        // Where a side is crossed a rounding may lie beside it.
        if field.x_range().expand(0.01).contains(low.x) {
            kept.push((field.clamp(low), field.clamp(high)));
        }
    };
    for (place, (low, high)) in ends.iter().enumerate() {
        if let Some((low_before, high_before)) = place.checked_sub(1).map(|at| ends[at]) {
            let [below, above] = [[low_before, *low], [high_before, *high]];
            let mut shares: Vec<f32> = crossings(below[0].x, below[1].x, field.x_range()).collect();
            for edge in [below, above] {
                shares.extend(crossings(edge[0].y, edge[1].y, field.y_range()));
            }
            shares.sort_by(f32::total_cmp);
            for share in shares {
                let [low, high] = [below, above].map(|[from, to]| from + share * (to - from));
                keep(low, high);
            }
        }
        keep(*low, *high);
    }
    kept.into_iter().unzip()
}

/// Where, as shares of the way, something crosses the ends of a range.
fn crossings(from: f32, to: f32, range: egui::Rangef) -> impl Iterator<Item = f32> {
    let shares = [range.min, range.max].map(|end| (end - from) / (to - from));
    // Without any way there is none, or no number.
    shares
        .into_iter()
        .filter(|share| 0.0 < *share && *share < 1.0)
}

/// What of a straight line is in the field: each side cuts off what lies beyond it.
fn cut([from, to]: [Pos2; 2], field: Rect) -> Option<[Pos2; 2]> {
    let way = to - from;
    let (mut begin, mut end) = (0.0_f32, 1.0_f32);
    for (way, room) in [
        (-way.x, from.x - field.left()),
        (way.x, field.right() - from.x),
        (-way.y, from.y - field.top()),
        (way.y, field.bottom() - from.y),
    ] {
        if way == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if way > 0.0 {
            end = end.min(room / way);
        } else {
            begin = begin.max(room / way);
        }
    }
    let at = |share: f32| match share {
        0.0 => from,
        1.0 => to,
        _ => field.clamp(from + way * share),
    };
    (begin <= end).then(|| [at(begin), at(end)])
}
