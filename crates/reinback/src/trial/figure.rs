//! The pictures of the trial: a horse from behind or the side, in a few lines.

use egui::{Painter, Pos2, Rect, Stroke, pos2, vec2};

use super::{Scene, Task};
use crate::theme::Tokens;

/// Draws what is to be seen into `rect`.
pub fn paint(painter: &Painter, rect: Rect, task: Task, scene: Scene, tokens: &Tokens) {
    painter.rect_filled(rect, 6.0, tokens.field);
    let ground = rect.bottom() - rect.height() * 0.2;
    painter.hline(
        rect.shrink(18.0).x_range(),
        ground,
        Stroke::new(1.5, tokens.line),
    );
    let middle = pos2(rect.center().x, ground);
    let unit = rect.height() / 10.0;
    match (task, scene) {
        (_, Scene::Over) | (Task::Faults, Scene::Waiting) => {}
        (Task::Faults, Scene::Picture(fault)) => halt(painter, middle, unit, fault, tokens),
        (Task::Starts, Scene::Waiting) => from_behind(painter, middle, unit, 0.0, tokens),
        (Task::Starts, Scene::Picture(_)) => from_behind(painter, middle, unit, 0.9, tokens),
    }
}

/// A halt from the side; square, or with a hind leg left behind.
fn halt(painter: &Painter, foot: Pos2, unit: f32, fault: bool, tokens: &Tokens) {
    let line = Stroke::new(unit * 0.35, tokens.ink);
    let at = |x: f32, y: f32| foot + vec2(x * unit, -y * unit);
    let limb = |from: Pos2, to: Pos2| {
        painter.line_segment([from, to], line);
    };
    let behind = if fault { -3.3 } else { -2.0 };
    limb(at(-2.1, 3.2), at(behind, 0.0));
    limb(at(-1.8, 3.2), at(-1.7, 0.0));
    limb(at(1.7, 3.2), at(1.6, 0.0));
    limb(at(2.0, 3.2), at(2.0, 0.0));
    let body = Rect::from_two_pos(at(-2.6, 4.6), at(2.4, 3.0));
    painter.rect_filled(body, unit * 0.7, tokens.ink);
    painter.line_segment(
        [at(2.0, 4.2), at(3.2, 6.0)],
        Stroke::new(unit * 0.8, tokens.ink),
    );
    painter.line_segment(
        [at(3.2, 6.0), at(3.7, 5.0)],
        Stroke::new(unit * 0.5, tokens.ink),
    );
}

/// A horse from behind; straight, or crossing its legs to the side.
fn from_behind(painter: &Painter, foot: Pos2, unit: f32, side: f32, tokens: &Tokens) {
    let line = Stroke::new(unit * 0.35, tokens.ink);
    let at = |x: f32, y: f32| foot + vec2(x * unit, -y * unit);
    painter.line_segment([at(-0.7, 3.4), at(-0.7 + 2.0 * side, 0.0)], line);
    painter.line_segment([at(0.7, 3.4), at(0.7 + side * 0.4, 0.0)], line);
    let croup = at(0.0, 4.4);
    painter.circle_filled(croup, unit * 1.3, tokens.ink);
    painter.circle_filled(at(side * 0.6, 6.1), unit * 0.6, tokens.ink);
}
