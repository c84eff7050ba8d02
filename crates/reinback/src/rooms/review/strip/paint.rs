//! Paints a laid-out strip.

use egui::{
    Align2, Color32, CornerRadius, FontId, Painter, Rect, Shape, Stroke, StrokeKind, Ui, pos2, vec2,
};
use reinback_film::FlawKind;
use reinback_yard::Moment;

use super::layout::{Block, Layout, Sign, SignShape};
use super::roll::{self, Roll, Tile};
use super::sound::{self, SoundBand};
use crate::action::Chosen;
use crate::clock;
use crate::theme::{self, Tokens};

/// Paints everything.
pub fn paint(ui: &Ui, layout: &Layout, roll: &Roll, now: Moment, chosen: Option<Chosen>) {
    let tokens = theme::tokens(ui);
    let painter = ui.painter_at(layout.rect.expand(1.0));
    for (bed, name) in &layout.beds {
        painter.rect_filled(*bed, 3.0, tokens.field);
        if bed.height() >= 16.0 {
            painter.text(
                bed.left_center() + vec2(6.0, 0.0),
                Align2::LEFT_CENTER,
                name,
                FontId::proportional(11.0),
                tokens.ink_soft.gamma_multiply(0.65),
            );
        }
    }
    ruler(&painter, layout, tokens);
    for film in &layout.films {
        painter.rect_filled(
            film.shrink2(vec2(0.0, 2.0)),
            3.0,
            tokens.leather.gamma_multiply(0.55),
        );
    }
    for tile in &layout.tiles {
        picture(&painter, tile, roll, ui.visuals().dark_mode);
    }
    for overlap in &layout.overlaps {
        let foot = overlap.with_min_y(overlap.bottom() - 9.0);
        painter.rect_filled(foot, 0.0, tokens.field);
        hatch(&painter, foot, tokens.caution);
    }
    for (rect, kind) in &layout.flaws {
        damage(&painter, *rect, *kind, tokens);
    }
    for block in &layout.paces {
        block_of(
            &painter,
            block,
            tokens.paces[block.fill % tokens.paces.len()],
            tokens.on_leather,
            11.0,
        );
    }
    for block in &layout.outlines {
        block_of(
            &painter,
            block,
            tokens.families[block.fill % tokens.families.len()],
            tokens.on_family,
            11.0,
        );
    }
    for block in &layout.bouts {
        bout(
            &painter,
            block,
            chosen == Some(Chosen::Bout(block.id)),
            tokens,
        );
    }
    sound_of(&painter, &layout.sound, tokens);
    for sign in &layout.signs {
        let ring = chosen == Some(Chosen::Mark(sign.id));
        sign_of(&painter, sign, ring, tokens);
    }
    for tick in &layout.notes {
        painter.rect(
            *tick,
            2.0,
            tokens.field,
            Stroke::new(1.0, tokens.leather),
            StrokeKind::Inside,
        );
    }
    play_head(&painter, layout, now, tokens);
}

/// A damaged stretch of film: hatched over its height where nothing can be shown, along its foot
/// where what is shown is in doubt; plain where there is no room for lines.
fn damage(painter: &Painter, rect: Rect, kind: FlawKind, tokens: &Tokens) {
    let area = match kind {
        FlawKind::Missing => rect,
        FlawKind::Doubtful => rect.with_min_y(rect.bottom() - rect.height() / 3.0),
    };
    if area.width() < 8.0 {
        painter.rect_filled(area, 0.0, tokens.fault);
        return;
    }
    painter.rect_filled(area, 0.0, tokens.field);
    hatch(painter, area, tokens.fault);
}

/// A small picture of the film, a little dimmed in the dark.
fn picture(painter: &Painter, tile: &Tile, roll: &Roll, dark: bool) {
    let Some(texture) = roll.picture(tile) else {
        return;
    };
    let part = roll::crop(texture.size_vec2(), tile);
    let tint = Color32::WHITE.gamma_multiply(if dark { 0.85 } else { 1.0 });
    painter.image(texture.id(), tile.rect, part, tint);
}

fn ruler(painter: &Painter, layout: &Layout, tokens: &Tokens) {
    let top = layout.rect.top();
    for (x, moment) in &layout.ticks {
        let long = moment.is_some();
        let (from, to) = (if long { top + 12.0 } else { top + 16.0 }, top + 20.0);
        painter.vline(*x, from..=to, Stroke::new(1.0, tokens.line));
        // A text that would leave the strip is left out.
        let Some(moment) = moment.filter(|_| x + 44.0 < layout.rect.right()) else {
            continue;
        };
        let text = if layout.axis.nanos_per_point() < 5e6 {
            clock::exact(moment)
        } else {
            clock::short(moment)
        };
        painter.text(
            pos2(*x + 3.0, top),
            Align2::LEFT_TOP,
            text,
            FontId::proportional(11.0),
            tokens.ink_soft,
        );
    }
}

/// The reach of the samples pale, what is heard most of the time over it; all in one mesh, as
/// there are a thousand columns and more.
fn sound_of(painter: &Painter, band: &SoundBand, tokens: &Tokens) {
    for (rect, part) in &band.making {
        let line = sound::hairline(*rect, *part);
        painter.rect_filled(line, 0.0, tokens.ink_soft.gamma_multiply(0.6));
    }
    let (pale, full) = (
        tokens.ink_soft.gamma_multiply(0.38),
        tokens.ink_soft.gamma_multiply(0.85),
    );
    let mut mesh = egui::Mesh::default();
    for column in &band.columns {
        let mut bar = |(top, bottom): (f32, f32), ink| {
            // Silence is a line, not nothing: it is known to be silent.
            let (top, bottom) = (top.min(bottom - 0.8), bottom);
            let bar = Rect::from_min_max(pos2(column.x, top), pos2(column.x + 1.0, bottom));
            mesh.add_colored_rect(bar, ink);
        };
        bar(column.peak, pale);
        bar(column.body, full);
    }
    painter.add(Shape::mesh(mesh));
}

fn block_of<Id>(painter: &Painter, block: &Block<Id>, fill: Color32, ink: Color32, size: f32) {
    painter.rect_filled(block.rect, 3.0, fill);
    label(
        painter,
        block.rect.shrink2(vec2(4.0, 0.0)),
        &block.text,
        size,
        ink,
    );
}

fn bout(painter: &Painter, block: &Block<reinback_yard::BoutId>, chosen: bool, tokens: &Tokens) {
    let fill = tokens.families[block.fill % tokens.families.len()];
    let rect = block.rect;
    let radius = CornerRadius::same(4);
    if block.counts {
        painter.rect_filled(rect, radius, fill);
    } else {
        painter.rect_filled(rect, radius, fill.gamma_multiply(0.35));
        hatch(painter, rect, fill);
    }
    if block.faulty {
        let foot = Rect::from_min_max(pos2(rect.left(), rect.bottom() - 4.0), rect.max);
        painter.rect_filled(
            foot,
            CornerRadius {
                sw: 4,
                se: 4,
                ..CornerRadius::ZERO
            },
            tokens.fault,
        );
    }
    if chosen {
        painter.rect_stroke(
            rect,
            radius,
            Stroke::new(2.0, tokens.ink),
            StrokeKind::Inside,
        );
    }
    let ink = if block.counts {
        tokens.on_family
    } else {
        tokens.ink
    };
    label(
        painter,
        rect.shrink2(vec2(5.0, 3.0)),
        &block.text,
        12.0,
        ink,
    );
}

fn hatch(painter: &Painter, rect: Rect, ink: Color32) {
    let clipped = painter.with_clip_rect(rect.intersect(painter.clip_rect()));
    let mut x = rect.left() - rect.height();
    while x < rect.right() {
        clipped.line_segment(
            [pos2(x, rect.bottom()), pos2(x + rect.height(), rect.top())],
            Stroke::new(1.5, ink.gamma_multiply(0.8)),
        );
        x += 8.0;
    }
}

/// A text that is cut off rather than leaving its block.
fn label(painter: &Painter, rect: Rect, text: &str, size: f32, ink: Color32) {
    if rect.width() < 14.0 {
        return;
    }
    let mut job =
        egui::text::LayoutJob::simple_singleline(text.to_owned(), FontId::proportional(size), ink);
    job.wrap = egui::text::TextWrapping::truncate_at_width(rect.width());
    let galley = painter.layout_job(job);
    let at = pos2(rect.left(), rect.center().y - galley.size().y / 2.0);
    painter.galley(at, galley, ink);
}

/// Paints the sign of a mark.
pub fn sign_of(painter: &Painter, sign: &Sign, ring: bool, tokens: &Tokens) {
    sign_at(painter, sign.rect, sign.shape, tokens);
    if ring {
        painter.circle_stroke(sign.rect.center(), 10.0, Stroke::new(2.0, tokens.ink));
    }
}

/// Paints a shape of mark into a rectangle.
pub fn sign_at(painter: &Painter, rect: Rect, shape: SignShape, tokens: &Tokens) {
    match shape {
        SignShape::Fault => {
            let points = vec![rect.left_top(), rect.right_top(), rect.center_bottom()];
            painter.add(Shape::convex_polygon(points, tokens.fault, Stroke::NONE));
        }
        SignShape::Praise => {
            painter.circle_filled(rect.center(), rect.width() / 2.0, tokens.good);
        }
        SignShape::Repeated => {
            painter.circle_stroke(
                rect.center(),
                rect.width() / 2.4,
                Stroke::new(2.2, tokens.leather),
            );
        }
        SignShape::Note => {
            painter.rect_filled(rect.shrink(1.5), 1.0, tokens.ink_soft);
        }
        SignShape::Change => {
            let (stroke, rect) = (Stroke::new(2.2, tokens.ink), rect.shrink(1.5));
            painter.line_segment([rect.left_top(), rect.right_bottom()], stroke);
            painter.line_segment([rect.left_bottom(), rect.right_top()], stroke);
        }
        SignShape::Aid => {
            let stroke = Stroke::new(2.2, tokens.ink_soft);
            let points = vec![rect.left_bottom(), rect.center_top(), rect.right_bottom()];
            painter.add(Shape::line(points, stroke));
        }
        SignShape::Measured => {
            let stroke = Stroke::new(2.2, tokens.leather);
            let points = vec![rect.center_top(), rect.left_bottom(), rect.right_bottom()];
            painter.add(Shape::line(points, stroke));
        }
    }
}

fn play_head(painter: &Painter, layout: &Layout, now: Moment, tokens: &Tokens) {
    if now < layout.axis.view.from || now > layout.axis.view.to {
        return;
    }
    let x = layout.axis.x_from_moment(now);
    let (top, bottom) = (layout.rect.top(), layout.rect.bottom());
    painter.vline(x, top + 8.0..=bottom, Stroke::new(2.0, tokens.leather));
    let head = vec![
        pos2(x - 6.0, top + 2.0),
        pos2(x + 6.0, top + 2.0),
        pos2(x + 6.0, top + 9.0),
        pos2(x, top + 15.0),
        pos2(x - 6.0, top + 9.0),
    ];
    painter.add(Shape::convex_polygon(head, tokens.leather, Stroke::NONE));
}
