//! Paints a laid-out strip.

mod marks;

use egui::{
    Align2, Color32, CornerRadius, FontId, Painter, Rect, Shape, Stroke, StrokeKind, Ui, pos2, vec2,
};
use reinback_film::FlawKind;
use reinback_yard::Moment;

use super::bands::{Block, WORDY};
use super::layout::Layout;
use super::overview::Overview;
use super::roll::{self, Roll, Tile};
use super::sound::{self, SoundBand};
use crate::clock;
use crate::theme::{self, Tokens};
pub use marks::sign_at;

/// A stretch narrower than this, in points, is a plain bar.
const NARROW: f32 = 6.0;

/// Paints everything.
pub fn paint(ui: &Ui, layout: &Layout, roll: &Roll, now: Moment) {
    let tokens = theme::tokens(ui);
    let painter = ui.painter_at(layout.rect.expand(1.0));
    for (bed, name) in &layout.names {
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
    if let Some(rect) = layout.repeated {
        repeated(&painter, rect, tokens);
    }
    if let Some(overview) = &layout.overview {
        whole_ride(&painter, overview, now, tokens);
    }
    ruler(&painter, layout, tokens);
    films(&painter, layout, roll, ui.visuals().dark_mode, tokens);
    for block in &layout.paces {
        let fill = tokens.paces[block.fill % tokens.paces.len()];
        block_of(&painter, block, fill, tokens.on_leather, tokens);
    }
    for block in &layout.outlines {
        let fill = tokens.families[block.fill % tokens.families.len()];
        block_of(&painter, block, fill, tokens.on_family, tokens);
    }
    for block in &layout.bouts {
        bout(&painter, block, tokens);
    }
    tempo_of(&painter, layout, tokens);
    sound_of(&painter, &layout.sound, tokens);
    for sign in &layout.signs {
        marks::sign_of(&painter, sign, tokens);
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

/// A stretch that is repeated: filled on the ruler, with a bracket at each end.
fn repeated(painter: &Painter, rect: Rect, tokens: &Tokens) {
    painter.rect_filled(rect, 0.0, tokens.chosen);
    let pen = Stroke::new(2.0, tokens.leather);
    for (x, inward) in [(rect.left(), 5.0), (rect.right(), -5.0)] {
        painter.vline(x, rect.y_range(), pen);
        painter.hline(
            egui::Rangef::new(x, x + inward).as_positive(),
            rect.top() + 1.0,
            pen,
        );
    }
}

/// Paints where what is dragged has caught, and on what.
pub fn caught(ui: &Ui, layout: &Layout, at: Moment, name: &str) {
    let tokens = theme::tokens(ui);
    let painter = ui.painter_at(layout.rect.expand(1.0));
    let x = layout.axis.x_from_moment(at);
    let (top, bottom) = (layout.beds.ruler.top(), layout.rect.bottom());
    painter.vline(x, top..=bottom, Stroke::new(1.0, tokens.ink));
    let text = painter.layout_no_wrap(name.to_owned(), FontId::proportional(11.5), tokens.ground);
    // To the right of the line, or to its left where there is no room.
    let size = text.size() + vec2(8.0, 4.0);
    let right = x + 4.0 + size.x < layout.rect.right();
    let left = if right { x + 4.0 } else { x - 4.0 - size.x };
    let tag = Rect::from_min_size(pos2(left, top), size);
    painter.rect_filled(tag, 3.0, tokens.ink);
    painter.galley(tag.min + vec2(4.0, 2.0), text, tokens.ground);
}

/// Paints the lasso.
pub fn lasso(ui: &Ui, layout: &Layout, lasso: Rect) {
    let tokens = theme::tokens(ui);
    let painter = ui.painter_at(layout.rect.expand(1.0));
    painter.rect(
        lasso,
        2.0,
        tokens.leather.gamma_multiply(0.15),
        Stroke::new(1.0, tokens.leather),
        StrokeKind::Inside,
    );
}

fn films(painter: &Painter, layout: &Layout, roll: &Roll, dark: bool, tokens: &Tokens) {
    for (_, film) in &layout.films {
        painter.rect_filled(
            film.shrink2(vec2(0.0, 2.0)),
            3.0,
            tokens.leather.gamma_multiply(0.55),
        );
    }
    for tile in &layout.tiles {
        picture(painter, tile, roll, dark);
    }
    for overlap in &layout.overlaps {
        let foot = overlap.with_min_y(overlap.bottom() - 9.0);
        painter.rect_filled(foot, 0.0, tokens.field);
        hatch(painter, foot, tokens.caution);
    }
    for (rect, kind) in &layout.flaws {
        damage(painter, *rect, *kind, tokens);
    }
}

/// The whole ride at a glance, with the part that the strip shows.
fn whole_ride(painter: &Painter, overview: &Overview, now: Moment, tokens: &Tokens) {
    let bed = overview.bed;
    painter.rect_filled(bed, 3.0, tokens.field);
    for (rect, fill) in &overview.bouts {
        let fill = tokens.families[fill % tokens.families.len()];
        painter.rect_filled(*rect, 0.0, fill);
    }
    for x in &overview.faults {
        let foot = bed.bottom() - 4.0..=bed.bottom();
        painter.vline(*x, foot, Stroke::new(1.0, tokens.fault));
    }
    let window = overview.window;
    for side in [
        bed.with_max_x(window.left()),
        bed.with_min_x(window.right()),
    ] {
        painter.rect_filled(side, 3.0, tokens.ground.gamma_multiply(0.6));
    }
    let line = Stroke::new(1.5, tokens.leather);
    painter.rect_stroke(window, 3.0, line, StrokeKind::Inside);
    let x = overview.axis.x_from_moment(now);
    painter.vline(x, bed.y_range(), Stroke::new(1.5, tokens.leather));
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
    let bed = layout.beds.ruler;
    for x in &layout.frames {
        let foot = bed.bottom() - 4.0..=bed.bottom();
        painter.vline(*x, foot, Stroke::new(1.0, tokens.ink_soft));
    }
    for (x, moment) in &layout.ticks {
        let long = moment.is_some();
        // Among single frames, short ticks would be taken for frames.
        if !long && !layout.frames.is_empty() {
            continue;
        }
        let from = bed.top() + if long { 12.0 } else { 16.0 };
        painter.vline(*x, from..=bed.bottom(), Stroke::new(1.0, tokens.line));
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
            pos2(*x + 3.0, bed.top()),
            Align2::LEFT_TOP,
            text,
            FontId::proportional(11.0),
            tokens.ink_soft,
        );
    }
}

/// The line of the strides with the ends of its scale, and the taps.
fn tempo_of(painter: &Painter, layout: &Layout, tokens: &Tokens) {
    let (Some(bed), band) = (layout.beds.tempo, &layout.tempo) else {
        return;
    };
    let room = bed.shrink(1.0);
    for tap in &band.taps {
        let (range, line) = if tap.chosen {
            (room.y_range(), Stroke::new(2.5, tokens.ink))
        } else {
            let foot = room.bottom() - 8.0..=room.bottom();
            (foot.into(), Stroke::new(1.0, tokens.ink_soft))
        };
        painter.vline(tap.x, range, line);
    }
    for track in &band.tracks {
        let width = if track.chosen { 3.0 } else { 1.6 };
        for line in &track.lines {
            let stroke = Stroke::new(width, tokens.leather);
            painter.add(Shape::line(line.clone(), stroke));
        }
    }
    let Some((low, high)) = band.scale else {
        return;
    };
    for (rate, at, align) in [
        (high, bed.right_top() + vec2(-4.0, 1.0), Align2::RIGHT_TOP),
        (
            low,
            bed.right_bottom() + vec2(-4.0, -1.0),
            Align2::RIGHT_BOTTOM,
        ),
    ] {
        let font = FontId::proportional(10.0);
        let text = painter.layout_no_wrap(format!("{rate:.0}"), font, tokens.ink_soft);
        let place = align.anchor_size(at, text.size());
        painter.rect_filled(place.expand2(vec2(3.0, 0.0)), 2.0, tokens.field);
        painter.galley(place.min, text, tokens.ink_soft);
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

fn block_of(painter: &Painter, block: &Block, fill: Color32, ink: Color32, tokens: &Tokens) {
    painter.rect_filled(block.rect, 3.0, fill);
    if block.marked {
        let line = Stroke::new(2.0, tokens.ink);
        painter.rect_stroke(block.rect, 3.0, line, StrokeKind::Inside);
    }
    let room = block.rect.shrink2(vec2(4.0, 0.0));
    label(painter, room, &block.text, 11.0, ink);
}

fn bout(painter: &Painter, block: &Block, tokens: &Tokens) {
    let fill = tokens.families[block.fill % tokens.families.len()];
    let rect = block.rect;
    // Too narrow for corners and lines, of which a whole ride has many.
    let narrow = rect.width() < NARROW;
    let round = if narrow { 0 } else { 4 };
    let radius = CornerRadius::same(round);
    if block.counts {
        painter.rect_filled(rect, radius, fill);
    } else {
        painter.rect_filled(rect, radius, fill.gamma_multiply(0.35));
        if !narrow {
            hatch(painter, rect, fill);
        }
    }
    if block.faulty {
        let foot = Rect::from_min_max(pos2(rect.left(), rect.bottom() - 4.0), rect.max);
        painter.rect_filled(
            foot,
            CornerRadius {
                sw: round,
                se: round,
                ..CornerRadius::ZERO
            },
            tokens.fault,
        );
    }
    if block.marked {
        let line = Stroke::new(2.0, tokens.ink);
        painter.rect_stroke(rect, radius, line, StrokeKind::Inside);
    }
    let ink = if block.counts {
        tokens.on_family
    } else {
        tokens.ink
    };
    let room = rect.shrink2(vec2(5.0, 3.0));
    label(painter, room, &block.text, 12.0, ink);
}

/// Slanting lines. They are cut off here rather than by a clipping painter, which would make a
/// draw call of every stretch.
fn hatch(painter: &Painter, rect: Rect, ink: Color32) {
    let line = Stroke::new(1.5, ink.gamma_multiply(0.8));
    let mut foot = rect.left() - rect.height();
    while foot < rect.right() {
        let (from, to) = (
            foot.max(rect.left()),
            (foot + rect.height()).min(rect.right()),
        );
        let y = |x: f32| rect.bottom() - (x - foot);
        painter.line_segment([pos2(from, y(from)), pos2(to, y(to))], line);
        foot += 8.0;
    }
}

/// A text that is cut off rather than leaving its block.
fn label(painter: &Painter, rect: Rect, text: &str, size: f32, ink: Color32) {
    if text.is_empty() || rect.width() < WORDY {
        return;
    }
    let mut job =
        egui::text::LayoutJob::simple_singleline(text.to_owned(), FontId::proportional(size), ink);
    job.wrap = egui::text::TextWrapping::truncate_at_width(rect.width());
    let galley = painter.layout_job(job);
    let at = pos2(rect.left(), rect.center().y - galley.size().y / 2.0);
    painter.galley(at, galley, ink);
}

fn play_head(painter: &Painter, layout: &Layout, now: Moment, tokens: &Tokens) {
    if now < layout.axis.view.from || now > layout.axis.view.to {
        return;
    }
    let x = layout.axis.x_from_moment(now);
    let (top, bottom) = (layout.beds.ruler.top(), layout.rect.bottom());
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
