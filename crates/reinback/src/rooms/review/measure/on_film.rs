//! The points on the picture, and the hand that puts and drags them.

use egui::{Painter, Pos2, Rect, Response, Shape, Stroke, Ui, vec2};
use reinback_analysis::angle::Plumb as Upright;
use reinback_yard::{MeasureKind, Measured, Point};

use super::{Measuring, OnFrame, own_marks, tilt_of, words};
use crate::action::Chosen;
use crate::rooms::review::film::lens::{Sight, Spot};
use crate::rooms::review::{ReviewData, ReviewView};
use crate::stage::Stage;
use crate::theme::{self, Tokens};

/// How near a point the pointer takes hold of it, in points of the screen. Our own choice.
const REACH: f64 = 11.0;
/// Half of a handle, in points of the screen.
const RING: f32 = 6.0;

fn spot(point: Point) -> Spot {
    let dot = point.dot();
    Spot { x: dot.x, y: dot.y }
}

fn point(spot: Spot) -> Point {
    Point::from_pixels(spot.x, spot.y)
}

/// Lets the hand put, hold and drag points. Whether it did, so that nothing else takes the press.
pub(in crate::rooms::review) fn hand(
    ui: &Ui,
    measuring: &mut Measuring,
    stage: &Stage,
    response: &Response,
    sight: &Sight,
) -> bool {
    measuring.aim = point(sight.spot(sight.shown().center()));
    measuring.scale = sight.scale() * f64::from(ui.pixels_per_point());
    let Some(frame) = OnFrame::standing(stage) else {
        measuring.grip = None;
        return false;
    };
    let reach = REACH / sight.scale();
    if response.drag_started_by(egui::PointerButton::Primary)
        && let Some(from) = ui.input(|input| input.pointer.press_origin())
        && measuring.is_on(frame)
    {
        take_hold(measuring, point(sight.spot(from)), reach);
    }
    if let Some((handle, (right, down))) = measuring.grip {
        if let Some(to) = response.interact_pointer_pos() {
            let to = sight.spot(to);
            let moved = Point::from_pixels(to.x + right, to.y + down);
            measuring.move_to(handle, moved);
        }
        if !response.dragged() {
            measuring.grip = None;
        }
        return true;
    }
    if response.clicked_by(egui::PointerButton::Primary) {
        let at = response.interact_pointer_pos();
        if let Some(place) = at.and_then(|at| sight.spot_shown(at)).map(point) {
            let near = measuring.near(place, reach);
            match near.filter(|_| measuring.is_on(frame)) {
                Some(handle) => measuring.hold(handle),
                None => {
                    measuring.put(frame, place);
                }
            }
        }
        return true;
    }
    false
}

fn take_hold(measuring: &mut Measuring, from: Point, reach: f64) {
    let near = measuring.near(from, reach);
    let place = near.and_then(|handle| measuring.place(handle));
    measuring.grip = near.zip(place).map(|(handle, place)| {
        let (own, from) = (place.dot(), from.dot());
        (handle, (own.x - from.x, own.y - from.y))
    });
}

/// Draws what is measured on the frame on screen: what is being drawn, and what was kept.
pub(in crate::rooms::review) fn paint(
    ui: &Ui,
    view: &ReviewView,
    data: &ReviewData<'_>,
    sight: &Sight,
) {
    let Some(frame) = OnFrame::standing(&view.stage) else {
        return;
    };
    let pen = Pen {
        painter: ui.painter().with_clip_rect(sight.shown()),
        sight,
        tokens: theme::tokens(ui),
    };
    let tilt = tilt_of(data.ride, frame.film);
    for (mark, measured) in own_marks(data.ride, data.review) {
        let (film, at) = (measured.film, mark.at);
        let chosen = view.chosen == Some(Chosen::Mark(mark.id));
        let loaded = view
            .measuring
            .as_ref()
            .is_some_and(|own| own.mark() == Some(mark.id));
        let shown = chosen || view.measuring.is_some();
        if shown && !loaded && frame.is(OnFrame { film, at }) {
            pen.kept(measured, tilt, chosen);
        }
    }
    let Some(measuring) = view.measuring.as_ref().filter(|own| own.is_on(frame)) else {
        return;
    };
    let plumb = measuring.plumb().and_then(|plumb| plumb.upright(tilt).ok());
    let (kind, points) = (measuring.kind(), measuring.points());
    pen.figure(kind, points, plumb, 2.0);
    if let &[one, other] = measuring.edge() {
        pen.dashes(pen.at(one), pen.at(other), 2.0);
    }
    for (handle, place) in measuring.handles() {
        pen.handle(pen.at(place), measuring.held() == Some(handle));
    }
    if let Some(Ok(reading)) = measuring.reading(tilt) {
        pen.label(kind, points, &words::value(kind, &reading));
    }
}

/// The end of what a line is measured against, as long as the line: down the plumb line for a nose;
/// level, to the side the neck reaches to, for a neck.
fn beside(kind: MeasureKind, plumb: Upright, from: Spot, to: Spot) -> Option<Spot> {
    let (right, down) = (to.x - from.x, to.y - from.y);
    let (sine, cosine) = plumb.tilt().to_radians().sin_cos();
    let (x, y) = match kind {
        MeasureKind::NoseLine => (-sine, cosine),
        MeasureKind::NeckLine => {
            let sign = (right * cosine + down * sine).signum();
            (sign * cosine, sign * sine)
        }
        MeasureKind::Lateral | MeasureKind::Angle | MeasureKind::Ratio => return None,
    };
    let length = right.hypot(down);
    Some(Spot {
        x: from.x + x * length,
        y: from.y + y * length,
    })
}

struct Pen<'a> {
    painter: Painter,
    sight: &'a Sight,
    tokens: &'a Tokens,
}

impl Pen<'_> {
    fn at(&self, point: Point) -> Pos2 {
        self.sight.screen(spot(point))
    }

    fn kept(&self, measured: &Measured, tilt: Option<i32>, chosen: bool) {
        let plumb = measured.plumb.upright(tilt).ok();
        let width = if chosen { 2.0 } else { 1.0 };
        self.figure(measured.kind, &measured.points, plumb, width);
        let reading = measured.read(tilt).and_then(Result::ok);
        let text = words::short(measured.kind, reading.as_ref());
        self.label(measured.kind, &measured.points, &text);
    }

    /// The lines of a kind, as far as its points are put.
    fn figure(&self, kind: MeasureKind, points: &[Point], plumb: Option<Upright>, width: f32) {
        let at: Vec<Pos2> = points.iter().map(|point| self.at(*point)).collect();
        let line = |from: usize, to: usize| Some((*at.get(from)?, *at.get(to)?));
        let (solid, dashed) = match kind {
            MeasureKind::NoseLine => ([line(0, 1), None], line(0, 2)),
            MeasureKind::NeckLine => ([line(0, 1), None], None),
            MeasureKind::Lateral => ([line(2, 3), None], line(0, 1)),
            MeasureKind::Angle => ([line(1, 0), line(1, 2)], None),
            MeasureKind::Ratio => ([line(0, 1), line(2, 3)], None),
        };
        let against = plumb.zip(points.first().zip(points.get(1)));
        let against = against.and_then(|(plumb, (from, to))| {
            let end = beside(kind, plumb, spot(*from), spot(*to))?;
            Some((self.at(*from), self.sight.screen(end)))
        });
        for (from, to) in dashed.into_iter().chain(against) {
            self.dashes(from, to, width);
        }
        for (from, to) in solid.into_iter().flatten() {
            self.line(from, to, width);
        }
    }

    /// Light on dark, so that it is seen on any picture.
    fn line(&self, from: Pos2, to: Pos2, width: f32) {
        let (under, over) = self.strokes(width);
        self.painter.line_segment([from, to], under);
        self.painter.line_segment([from, to], over);
    }

    fn dashes(&self, from: Pos2, to: Pos2, width: f32) {
        let (under, over) = self.strokes(width);
        for stroke in [under, over] {
            let dashes = Shape::dashed_line(&[from, to], stroke, 7.0, 5.0);
            self.painter.extend(dashes);
        }
    }

    fn strokes(&self, width: f32) -> (Stroke, Stroke) {
        let under = self.tokens.stage.gamma_multiply(0.8);
        (
            Stroke::new(width + 2.0, under),
            Stroke::new(width, self.tokens.on_stage),
        )
    }

    /// A ring that leaves the point itself free; the one that is held has a second one around it.
    fn handle(&self, at: Pos2, held: bool) {
        let (under, over) = self.strokes(1.6);
        for stroke in [under, over] {
            self.painter.circle_stroke(at, RING, stroke);
            if held {
                self.painter.circle_stroke(at, RING + 5.0, stroke);
            }
        }
    }

    fn label(&self, kind: MeasureKind, points: &[Point], text: &str) {
        let corner = match (kind, points) {
            (MeasureKind::Angle, [_, vertex, ..]) => *vertex,
            (_, [first, ..]) => *first,
            _ => return,
        };
        let font = theme::bold(14.0);
        let text = self
            .painter
            .layout_no_wrap(text.to_owned(), font, self.tokens.on_stage);
        let wanted = Rect::from_min_size(self.at(corner) + vec2(16.0, -34.0), text.size());
        let place = wanted.expand2(vec2(7.0, 3.0));
        let inside = self.sight.shown().shrink(4.0);
        let back = vec2(
            (inside.right() - place.right()).min(0.0),
            (inside.top() - place.top()).max(0.0),
        );
        let ground = self.tokens.stage.gamma_multiply(0.85);
        self.painter.rect_filled(place.translate(back), 4.0, ground);
        self.painter
            .galley(wanted.min + back, text, self.tokens.on_stage);
    }
}
