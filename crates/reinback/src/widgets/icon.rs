//! Our own drawn icons.

use egui::{
    Color32, Painter, Pos2, Rect, Response, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo, pos2, vec2,
};

/// An icon.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Icon {
    /// A triangle.
    Play,
    /// Two bars.
    Pause,
    /// A bar and a triangle to the right.
    StepForward,
    /// A bar and a triangle to the left.
    StepBack,
    /// An arrow turning back.
    Undo,
    /// An arrow turning on.
    Redo,
    /// A cross.
    Close,
    /// A plus.
    Plus,
    /// A minus.
    Minus,
    /// Sun and moon.
    Theme,
    /// A hook.
    Done,
    /// A dot in a ring.
    Pending,
    /// A triangle with a bar.
    Trouble,
    /// Two arrows apart.
    Fit,
    /// A horseshoe.
    Horseshoe,
    /// A film frame.
    Film,
    /// A pen.
    Pen,
}

/// Draws an icon into a square around `center`.
pub fn paint(painter: &Painter, icon: Icon, center: Pos2, size: f32, ink: Color32) {
    let r = size / 2.0;
    let at = |x: f32, y: f32| pos2(center.x + x * r, center.y + y * r);
    let stroke = Stroke::new((size / 9.0).max(1.3), ink);
    let fill = |points: Vec<Pos2>| {
        painter.add(Shape::convex_polygon(points, ink, Stroke::NONE));
    };
    let line = |points: &[(f32, f32)]| {
        painter.add(Shape::line(
            points.iter().map(|(x, y)| at(*x, *y)).collect(),
            stroke,
        ));
    };
    let bar = |x: f32, w: f32, h: f32| {
        painter.rect_filled(
            Rect::from_center_size(at(x, 0.0), vec2(w * r, h * r)),
            1.0,
            ink,
        );
    };
    match icon {
        Icon::Play => fill(vec![at(-0.6, -0.8), at(0.85, 0.0), at(-0.6, 0.8)]),
        Icon::Pause => {
            bar(-0.4, 0.42, 1.5);
            bar(0.4, 0.42, 1.5);
        }
        Icon::StepForward => {
            bar(-0.55, 0.24, 1.4);
            fill(vec![at(-0.15, -0.7), at(0.8, 0.0), at(-0.15, 0.7)]);
        }
        Icon::StepBack => {
            bar(0.55, 0.24, 1.4);
            fill(vec![at(0.15, -0.7), at(-0.8, 0.0), at(0.15, 0.7)]);
        }
        Icon::Undo | Icon::Redo => {
            let mirror = if icon == Icon::Undo { 1.0 } else { -1.0 };
            let points = (0..=14).map(|i| {
                let angle = -2.6 + 3.7 * i as f32 / 14.0;
                at(mirror * 0.65 * angle.cos(), 0.15 + 0.65 * angle.sin())
            });
            painter.add(Shape::line(points.collect(), stroke));
            let tip = (-2.6_f32).cos() * 0.65;
            fill(vec![
                at(mirror * (tip - 0.4), -0.3),
                at(mirror * (tip + 0.42), -0.42),
                at(mirror * (tip - 0.05), 0.35),
            ]);
        }
        Icon::Close => {
            line(&[(-0.6, -0.6), (0.6, 0.6)]);
            line(&[(-0.6, 0.6), (0.6, -0.6)]);
        }
        Icon::Plus => {
            line(&[(-0.7, 0.0), (0.7, 0.0)]);
            line(&[(0.0, -0.7), (0.0, 0.7)]);
        }
        Icon::Minus => line(&[(-0.7, 0.0), (0.7, 0.0)]),
        Icon::Theme => {
            painter.circle_stroke(center, r * 0.75, stroke);
            let half = (0..=16).map(|i| {
                let angle = std::f32::consts::PI * (i as f32 / 16.0 - 0.5);
                at(0.75 * angle.cos(), 0.75 * angle.sin())
            });
            fill(half.collect());
        }
        Icon::Done => line(&[(-0.7, 0.05), (-0.2, 0.55), (0.7, -0.55)]),
        Icon::Pending => {
            painter.circle_stroke(center, r * 0.7, stroke);
            painter.circle_filled(center, r * 0.28, ink);
        }
        Icon::Trouble => {
            line(&[(0.0, -0.8), (0.85, 0.7), (-0.85, 0.7), (0.0, -0.8)]);
            line(&[(0.0, -0.25), (0.0, 0.2)]);
            painter.circle_filled(at(0.0, 0.45), stroke.width * 0.6, ink);
        }
        Icon::Fit => {
            line(&[(-0.9, -0.7), (-0.9, 0.7)]);
            line(&[(0.9, -0.7), (0.9, 0.7)]);
            line(&[(-0.6, 0.0), (0.6, 0.0)]);
        }
        Icon::Horseshoe => {
            let points = (0..=24).map(|i| {
                let angle = 2.2 + (std::f32::consts::TAU - 1.26) * i as f32 / 24.0;
                at(0.72 * angle.cos(), -0.05 + 0.85 * angle.sin())
            });
            painter.add(Shape::line(points.collect(), Stroke::new(size / 5.0, ink)));
        }
        Icon::Pen => {
            line(&[
                (-0.75, 0.75),
                (-0.55, 0.2),
                (0.4, -0.75),
                (0.75, -0.4),
                (-0.2, 0.55),
                (-0.75, 0.75),
            ]);
            line(&[(0.15, -0.5), (0.5, -0.15)]);
        }
        Icon::Film => {
            painter.rect_stroke(
                Rect::from_center_size(center, vec2(1.8 * r, 1.4 * r)),
                2.0,
                stroke,
                egui::StrokeKind::Middle,
            );
            fill(vec![at(-0.25, -0.35), at(0.4, 0.0), at(-0.25, 0.35)]);
        }
    }
}

/// A square button with an icon. `name` is read out and shown while the pointer rests on it.
pub fn icon_button(ui: &mut Ui, icon: Icon, name: &str, enabled: bool) -> Response {
    let side = ui.spacing().interact_size.y;
    let sense = if enabled {
        Sense::click()
    } else {
        Sense::hover()
    };
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(side), sense);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, enabled, name));
    if ui.is_rect_visible(rect) {
        let look = ui.style().interact(&response);
        if enabled && (response.hovered() || response.has_focus()) {
            ui.painter().rect(
                rect,
                look.corner_radius,
                look.weak_bg_fill,
                look.bg_stroke,
                egui::StrokeKind::Inside,
            );
        }
        let ink = if enabled {
            look.fg_stroke.color
        } else {
            ui.visuals().weak_text_color().gamma_multiply(0.5)
        };
        paint(ui.painter(), icon, rect.center(), side * 0.5, ink);
    }
    response.on_hover_text(name)
}
