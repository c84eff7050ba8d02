//! The small pictures of a line where faults are counted instead of faulty attempts.

use egui::{Pos2, Rect, Stroke, Ui, lerp, pos2};
use reinback_analysis::Cell;

use super::picture::{Bar, Side, dot_radius};
use super::rows;
use crate::report::numbers::Line;
use crate::theme;

/// The faults a minute at the end of the bars that stand together: the upper end of the widest
/// range; nothing where none has one.
pub(super) fn scale(bars: &[(Side, &Cell)]) -> Option<f64> {
    let ends = bars
        .iter()
        .filter_map(|(_, cell)| cell.per_minute.range.ok());
    ends.map(|range| range.high)
        .max_by(f64::total_cmp)
        .filter(|high| *high > 0.0)
}

/// The bar of faults a minute.
pub(super) fn bar(cell: &Cell, scale: Option<f64>) -> Bar {
    match (cell.per_minute.range, scale) {
        (Ok(range), Some(scale)) => Bar::Share {
            value: range.value / scale,
            low: range.low / scale,
            high: range.high / scale,
        },
        _ => Bar::Empty,
    }
}

/// A dot a ride, as high as it has faults; gives the room for words below.
pub(super) fn rides_ui(ui: &Ui, line: &Line, place: Rect) -> Rect {
    let tokens = theme::tokens(ui);
    let painter = ui.painter();
    let (picture, words) = place.split_top_bottom_at_y(place.bottom() - 18.0);
    let inner = picture.shrink2(egui::vec2(7.0, 5.5));
    for y in [inner.top(), inner.bottom()] {
        painter.hline(picture.x_range(), y, Stroke::new(1.0, tokens.line));
    }
    let ink = tokens.ink_soft.gamma_multiply(0.75);
    for dot in dots(line, inner) {
        let radius = dot_radius(dot.attempts);
        if dot.before {
            painter.circle_stroke(dot.at, radius - 0.5, Stroke::new(1.0, ink));
        } else {
            rows::dot(
                painter,
                dot.at,
                radius,
                (ink, Stroke::new(1.0, tokens.raised)),
            );
        }
    }
    words
}

/// A ride in the small picture.
struct Dot {
    at: Pos2,
    attempts: u32,
    /// Whether it is of the days compared with.
    before: bool,
}

/// The dots of the rides, those of the days compared with first.
fn dots(line: &Line, inner: Rect) -> Vec<Dot> {
    let all = || line.course_before.iter().chain(line.course.iter());
    let (Some(first), Some(last)) = (all().next(), all().last()) else {
        return Vec::new();
    };
    let most = all().map(|point| point.faults).max();
    let most = most.unwrap_or(0).max(1) as f32;
    let days = (last.to - first.from).num_days() as f32;
    let early = line.course_before.len();
    let dots = all().enumerate().map(|(number, point)| {
        let middle = (point.from - first.from).num_days() + (point.to - first.from).num_days();
        let along = if days > 0.0 {
            middle as f32 / 2.0 / days
        } else {
            0.5
        };
        let x = lerp(inner.left()..=inner.right(), along);
        let y = lerp(inner.bottom()..=inner.top(), point.faults as f32 / most);
        Dot {
            at: pos2(x, y),
            attempts: point.tally.attempts,
            before: number < early,
        }
    });
    dots.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::numbers::{Days, Question, Reins, Whose, numbers};
    use crate::report::sample;

    fn half_pass() -> Line {
        let question = Question {
            whose: Whose::One(sample::horse()),
            days: Days::default(),
            against: None,
            reins: Reins::Both,
        };
        numbers(&sample::yard(), &question).lines.remove(0)
    }

    #[test]
    fn dots_stand_as_high_as_faults_were_marked() {
        let line = half_pass();
        let inner = Rect::from_min_max(pos2(0.0, 0.0), pos2(90.0, 40.0));
        let found = dots(&line, inner);
        // Two faults in each of the first five of ten rides, one in the others.
        for (number, dot) in found.iter().enumerate() {
            let expect = if number < 5 { 0.0 } else { 20.0 };
            assert!((dot.at.y - expect).abs() < 1e-3, "{:?}", dot.at);
            assert!(
                (dot.at.x - 10.0 * number as f32).abs() < 1e-3,
                "{:?}",
                dot.at
            );
            assert_eq!((dot.attempts, dot.before), (4, false));
        }
        assert_eq!(found.len(), sample::RIDES);
    }

    #[test]
    fn bars_share_one_scale_and_none_is_longer() {
        let line = half_pass();
        let figures = &line.figures;
        let bars = [(Side::Left, &figures.left), (Side::Right, &figures.right)];
        let scale = scale(&bars);
        assert!(scale.is_some());
        for (_, cell) in bars {
            match bar(cell, scale) {
                Bar::Share { value, low, high } => {
                    assert!(0.0 <= low && low <= value && value <= high && high <= 1.0);
                }
                other => panic!("{other:?}"),
            }
        }
        assert!(matches!(bar(&figures.left, None), Bar::Empty));
    }
}
