//! Paints the signs of marks.

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, pos2};

use crate::rooms::review::strip::signs::{Sign, SignShape};
use crate::theme::Tokens;

/// Width of the line around a sign whose upper half is open, in points.
const LINE: f32 = 1.3;
/// Width of the lines that are a sign, and of their open half, in points.
const THICK: f32 = 2.2;
const THIN: f32 = 0.9;

/// Paints the sign of a mark.
pub(super) fn sign_of(painter: &Painter, sign: &Sign, tokens: &Tokens) {
    sign_at(painter, sign.rect, sign.shape, sign.about, tokens);
    if sign.chosen {
        painter.circle_stroke(sign.rect.center(), 10.0, Stroke::new(2.0, tokens.ink));
    }
}

/// Paints a shape of mark into a rectangle. One that stands only near its frame is filled in its
/// lower half alone.
pub fn sign_at(painter: &Painter, rect: Rect, shape: SignShape, about: bool, tokens: &Tokens) {
    let ink = ink(shape, tokens);
    match shape {
        SignShape::Fault => {
            let points = [rect.left_top(), rect.right_top(), rect.center_bottom()];
            let middle = rect.center().y;
            let (left, right) = (
                pos2(rect.left() + rect.width() / 4.0, middle),
                pos2(rect.right() - rect.width() / 4.0, middle),
            );
            let half = [left, right, rect.center_bottom()];
            filled(painter, &points, &half, about, ink);
        }
        SignShape::Praise => {
            let radius = rect.width() / 2.0;
            if about {
                painter.circle_stroke(rect.center(), radius - LINE / 2.0, Stroke::new(LINE, ink));
                let half = arc(rect.center(), radius - LINE / 2.0);
                painter.add(Shape::convex_polygon(half, ink, Stroke::NONE));
            } else {
                painter.circle_filled(rect.center(), radius, ink);
            }
        }
        SignShape::Repeated => {
            let radius = rect.width() / 2.4;
            if about {
                painter.circle_stroke(rect.center(), radius, Stroke::new(THIN, ink));
                let half = arc(rect.center(), radius);
                painter.add(Shape::line(half, Stroke::new(THICK, ink)));
            } else {
                painter.circle_stroke(rect.center(), radius, Stroke::new(THICK, ink));
            }
        }
        SignShape::Note => {
            let rect = rect.shrink(1.5);
            if about {
                let lower = rect.with_min_y(rect.center().y);
                painter.rect_filled(lower, 1.0, ink);
                let line = Stroke::new(LINE, ink);
                painter.rect_stroke(rect, 1.0, line, egui::StrokeKind::Inside);
            } else {
                painter.rect_filled(rect, 1.0, ink);
            }
        }
        SignShape::Change => {
            let rect = rect.shrink(1.5);
            let middle = rect.center();
            let feet = [rect.left_bottom(), middle, rect.right_bottom()];
            let arms = [rect.left_top(), middle, rect.right_top()];
            lines(painter, &[&feet, &arms], &feet, about, ink);
        }
        SignShape::Aid => {
            let (left, top, right) = (rect.left_bottom(), rect.center_top(), rect.right_bottom());
            let (from, to) = (left.lerp(top, 0.5), right.lerp(top, 0.5));
            let whole = [left, top, right];
            lines(painter, &[&whole], &[left, from], about, ink);
            if about {
                painter.line_segment([to, right], Stroke::new(THICK, ink));
            }
        }
        SignShape::Measured => {
            let (top, left) = (rect.center_top(), rect.left_bottom());
            let half = [top.lerp(left, 0.5), left, rect.right_bottom()];
            let whole = [top, left, rect.right_bottom()];
            lines(painter, &[&whole], &half, about, ink);
        }
    }
}

fn ink(shape: SignShape, tokens: &Tokens) -> Color32 {
    match shape {
        SignShape::Fault => tokens.fault,
        SignShape::Praise => tokens.good,
        SignShape::Repeated | SignShape::Measured => tokens.leather,
        SignShape::Note | SignShape::Aid => tokens.ink_soft,
        SignShape::Change => tokens.ink,
    }
}

fn filled(painter: &Painter, whole: &[Pos2], half: &[Pos2], about: bool, ink: Color32) {
    if about {
        painter.add(Shape::closed_line(whole.to_vec(), Stroke::new(LINE, ink)));
        painter.add(Shape::convex_polygon(half.to_vec(), ink, Stroke::NONE));
    } else {
        painter.add(Shape::convex_polygon(whole.to_vec(), ink, Stroke::NONE));
    }
}

/// Lines, thick in their lower half alone where the mark stands only near its frame.
fn lines(painter: &Painter, whole: &[&[Pos2]], half: &[Pos2], about: bool, ink: Color32) {
    let width = if about { THIN } else { THICK };
    for line in whole {
        painter.add(Shape::line(line.to_vec(), Stroke::new(width, ink)));
    }
    if about {
        painter.add(Shape::line(half.to_vec(), Stroke::new(THICK, ink)));
    }
}

/// The lower half of a circle, from right to left.
fn arc(center: Pos2, radius: f32) -> Vec<Pos2> {
    const STEPS: u8 = 8;
    let point = |step: u8| {
        let angle = std::f32::consts::PI * f32::from(step) / f32::from(STEPS);
        center + radius * egui::Vec2::angled(angle)
    };
    (0..=STEPS).map(point).collect()
}
