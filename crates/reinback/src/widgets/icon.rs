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
    /// A hook open to the right.
    Before,
    /// A hook open to the left.
    After,
    /// A plus.
    Plus,
    /// A minus.
    Minus,
    /// Sun and moon.
    Theme,
    /// Two sliders.
    Settings,
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
    /// A loudspeaker.
    Sound,
    /// A loudspeaker with a cross.
    Silent,
    /// A ring that runs back into itself.
    Repeat,
    /// Two frames side by side.
    Beside,
    /// Four corners.
    Fill,
    /// A camera.
    Still,
    /// Rows and columns.
    Table,
    /// An arrow out of a tray.
    Export,
}

/// Draws an icon into a square around `center`.
pub fn paint(painter: &Painter, icon: Icon, center: Pos2, size: f32, ink: Color32) {
    let stroke = Stroke::new((size / 9.0).max(1.3), ink);
    let pen = Pen {
        painter,
        center,
        r: size / 2.0,
        stroke,
        ink,
    };
    match icon {
        Icon::Play | Icon::Pause | Icon::StepForward | Icon::StepBack => pen.transport(icon),
        Icon::Undo => pen.turning(1.0),
        Icon::Redo => pen.turning(-1.0),
        Icon::Close => pen.lines(&[&[(-0.6, -0.6), (0.6, 0.6)], &[(-0.6, 0.6), (0.6, -0.6)]]),
        Icon::Before => pen.lines(&[&[(0.3, -0.6), (-0.3, 0.0), (0.3, 0.6)]]),
        Icon::After => pen.lines(&[&[(-0.3, -0.6), (0.3, 0.0), (-0.3, 0.6)]]),
        Icon::Plus => pen.lines(&[&[(-0.7, 0.0), (0.7, 0.0)], &[(0.0, -0.7), (0.0, 0.7)]]),
        Icon::Minus => pen.lines(&[&[(-0.7, 0.0), (0.7, 0.0)]]),
        Icon::Done => pen.lines(&[&[(-0.7, 0.05), (-0.2, 0.55), (0.7, -0.55)]]),
        Icon::Fit => pen.lines(&[
            &[(-0.9, -0.7), (-0.9, 0.7)],
            &[(0.9, -0.7), (0.9, 0.7)],
            &[(-0.6, 0.0), (0.6, 0.0)],
        ]),
        Icon::Pen => pen.lines(&[
            &[
                (-0.75, 0.75),
                (-0.55, 0.2),
                (0.4, -0.75),
                (0.75, -0.4),
                (-0.2, 0.55),
                (-0.75, 0.75),
            ],
            &[(0.15, -0.5), (0.5, -0.15)],
        ]),
        Icon::Trouble => {
            pen.lines(&[
                &[(0.0, -0.8), (0.85, 0.7), (-0.85, 0.7), (0.0, -0.8)],
                &[(0.0, -0.25), (0.0, 0.2)],
            ]);
            painter.circle_filled(pen.at((0.0, 0.45)), stroke.width * 0.6, ink);
        }
        Icon::Theme => {
            painter.circle_stroke(center, pen.r * 0.75, stroke);
            let half = std::f32::consts::PI / 2.0;
            pen.fill(&arc(-half, half, (0.75, 0.75), 0.0));
        }
        Icon::Settings => {
            pen.lines(&[&[(-0.8, -0.4), (0.8, -0.4)], &[(-0.8, 0.4), (0.8, 0.4)]]);
            for knob in [(-0.3, -0.4), (0.3, 0.4)] {
                painter.circle_filled(pen.at(knob), pen.r * 0.26, ink);
            }
        }
        Icon::Pending => {
            painter.circle_stroke(center, pen.r * 0.7, stroke);
            painter.circle_filled(center, pen.r * 0.28, ink);
        }
        Icon::Horseshoe => {
            let bow = arc(2.2, 2.2 + std::f32::consts::TAU - 1.26, (0.72, 0.85), -0.05);
            let points = bow.iter().map(|point| pen.at(*point)).collect();
            painter.add(Shape::line(points, Stroke::new(size / 5.0, ink)));
        }
        Icon::Sound | Icon::Silent => pen.speaker(icon == Icon::Sound),
        Icon::Repeat => {
            let ring = arc(-2.5, 2.6, (0.75, 0.75), 0.0);
            pen.lines(&[&ring]);
            pen.fill(&[(-0.95, -0.62), (-0.3, -0.62), (-0.62, -0.02)]);
        }
        Icon::Beside => {
            for middle in [-0.5, 0.5] {
                let frame = Rect::from_center_size(pen.at((middle, 0.0)), vec2(0.78, 1.3) * pen.r);
                painter.rect_stroke(frame, 1.0, stroke, egui::StrokeKind::Middle);
            }
        }
        Icon::Fill => {
            for (x, y) in [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)] {
                pen.lines(&[&[
                    (0.35 * x, 0.75 * y),
                    (0.85 * x, 0.75 * y),
                    (0.85 * x, 0.3 * y),
                ]]);
            }
        }
        Icon::Still | Icon::Table | Icon::Export | Icon::Film => pen.kept(icon),
    }
}

/// Points of an arc in the icon's own measure, from -1 to 1 each way.
fn arc(from: f32, to: f32, radii: (f32, f32), down: f32) -> Vec<(f32, f32)> {
    let angle = |i: u8| from + (to - from) * f32::from(i) / 24.0;
    (0..=24)
        .map(angle)
        .map(|a| (radii.0 * a.cos(), down + radii.1 * a.sin()))
        .collect()
}

/// Draws in an icon's own measure, from -1 to 1 each way.
struct Pen<'a> {
    painter: &'a Painter,
    center: Pos2,
    r: f32,
    stroke: Stroke,
    ink: Color32,
}

impl Pen<'_> {
    /// What is looked at or kept: films, stills, tables, files.
    fn kept(&self, icon: Icon) {
        match icon {
            Icon::Still => {
                let body = Rect::from_center_size(self.at((0.0, 0.12)), vec2(1.8, 1.25) * self.r);
                self.painter
                    .rect_stroke(body, 2.0, self.stroke, egui::StrokeKind::Middle);
                self.painter
                    .circle_stroke(self.at((0.0, 0.12)), self.r * 0.34, self.stroke);
                self.fill(&[(-0.4, -0.5), (-0.25, -0.85), (0.25, -0.85), (0.4, -0.5)]);
            }
            Icon::Table => {
                let frame = Rect::from_center_size(self.center, vec2(1.7, 1.5) * self.r);
                self.painter
                    .rect_stroke(frame, 1.0, self.stroke, egui::StrokeKind::Middle);
                self.lines(&[
                    &[(-0.85, -0.25), (0.85, -0.25)],
                    &[(-0.85, 0.25), (0.85, 0.25)],
                    &[(-0.2, -0.75), (-0.2, 0.75)],
                ]);
            }
            Icon::Export => self.lines(&[
                &[(0.0, 0.4), (0.0, -0.85)],
                &[(-0.4, -0.45), (0.0, -0.85), (0.4, -0.45)],
                &[(-0.75, 0.1), (-0.75, 0.8), (0.75, 0.8), (0.75, 0.1)],
            ]),
            Icon::Film => {
                let frame = Rect::from_center_size(self.center, vec2(1.8, 1.4) * self.r);
                self.painter
                    .rect_stroke(frame, 2.0, self.stroke, egui::StrokeKind::Middle);
                self.fill(&[(-0.25, -0.35), (0.4, 0.0), (-0.25, 0.35)]);
            }
            _ => {}
        }
    }

    fn at(&self, (x, y): (f32, f32)) -> Pos2 {
        pos2(self.center.x + x * self.r, self.center.y + y * self.r)
    }

    fn lines(&self, lines: &[&[(f32, f32)]]) {
        for line in lines {
            let points = line.iter().map(|point| self.at(*point)).collect();
            self.painter.add(Shape::line(points, self.stroke));
        }
    }

    fn fill(&self, points: &[(f32, f32)]) {
        let points = points.iter().map(|point| self.at(*point)).collect();
        self.painter
            .add(Shape::convex_polygon(points, self.ink, Stroke::NONE));
    }

    fn bar(&self, x: f32, width: f32, height: f32) {
        let bar = Rect::from_center_size(self.at((x, 0.0)), vec2(width, height) * self.r);
        self.painter.rect_filled(bar, 1.0, self.ink);
    }

    fn transport(&self, icon: Icon) {
        match icon {
            Icon::Pause => {
                self.bar(-0.4, 0.42, 1.5);
                self.bar(0.4, 0.42, 1.5);
            }
            Icon::StepForward => {
                self.bar(-0.55, 0.24, 1.4);
                self.fill(&[(-0.15, -0.7), (0.8, 0.0), (-0.15, 0.7)]);
            }
            Icon::StepBack => {
                self.bar(0.55, 0.24, 1.4);
                self.fill(&[(0.15, -0.7), (-0.8, 0.0), (0.15, 0.7)]);
            }
            _ => self.fill(&[(-0.6, -0.8), (0.85, 0.0), (-0.6, 0.8)]),
        }
    }

    /// A loudspeaker, with sound coming out of it or without.
    fn speaker(&self, sounds: bool) {
        let box_and_horn = [
            (-0.85, -0.28),
            (-0.5, -0.28),
            (-0.05, -0.7),
            (-0.05, 0.7),
            (-0.5, 0.28),
            (-0.85, 0.28),
        ];
        // In two parts, as only what bulges everywhere is filled rightly.
        self.fill(&[
            box_and_horn[0],
            box_and_horn[1],
            box_and_horn[4],
            box_and_horn[5],
        ]);
        self.fill(&box_and_horn[1..5]);
        if sounds {
            for radius in [0.35, 0.7] {
                let wave = arc(-0.85, 0.85, (radius, radius * 1.1), 0.0);
                let wave: Vec<_> = wave.iter().map(|(x, y)| (x + 0.12, *y)).collect();
                self.lines(&[&wave]);
            }
        } else {
            self.lines(&[
                &[(0.25, -0.32), (0.85, 0.32)],
                &[(0.25, 0.32), (0.85, -0.32)],
            ]);
        }
    }

    /// An arrow turning back, or on with a `mirror` of -1.
    fn turning(&self, mirror: f32) {
        let bow = arc(-2.6, 1.1, (0.65, 0.65), 0.15);
        let points = bow.iter().map(|(x, y)| self.at((mirror * x, *y))).collect();
        self.painter.add(Shape::line(points, self.stroke));
        let tip = (-2.6_f32).cos() * 0.65;
        self.fill(&[
            (mirror * (tip - 0.4), -0.3),
            (mirror * (tip + 0.42), -0.42),
            (mirror * (tip - 0.05), 0.35),
        ]);
    }
}

/// A square button with an icon. `name` is read out and shown while the pointer rests on it.
pub fn icon_button(ui: &mut Ui, icon: Icon, name: &str, enabled: bool) -> Response {
    let sense = if enabled {
        Sense::click()
    } else {
        Sense::hover()
    };
    let info = || WidgetInfo::labeled(egui::Role::Button, enabled, name);
    square(ui, icon, (sense, false), info).on_hover_text(name)
}

/// The same for something that is on or off.
pub fn icon_toggle(ui: &mut Ui, icon: Icon, name: &str, on: bool) -> Response {
    let info = || WidgetInfo::selected(egui::Role::CheckBox, true, on, name);
    square(ui, icon, (Sense::click(), on), info).on_hover_text(name)
}

fn square(
    ui: &mut Ui,
    icon: Icon,
    (sense, on): (Sense, bool),
    info: impl Fn() -> WidgetInfo,
) -> Response {
    let side = ui.spacing().interact_size.y;
    let enabled = sense.senses_click();
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(side), sense);
    response.widget_info(info);
    if ui.is_rect_visible(rect) {
        let look = ui.style().interact_selectable(&response, on);
        if on || (enabled && (response.hovered() || response.has_focus())) {
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
    response
}
