//! Filled and stroked shapes on a picture.

use tiny_skia::{
    Color, FillRule, GradientStop, LineCap, LineJoin, LinearGradient, Paint, Path, PathBuilder,
    Pixmap, Point as Pixel, RadialGradient, Rect, Shader, SpreadMode, Stroke, Transform,
};

/// A pixel position.
pub(crate) type Px = (f32, f32);

/// A colour from `0xRRGGBB`.
#[must_use]
pub(crate) fn rgb(hex: u32) -> Color {
    let part = |shift: u32| ((hex >> shift) & 0xff) as u8;
    Color::from_rgba8(part(16), part(8), part(0), 255)
}

/// The same colour, let through by `alpha` from 0 to 1.
#[must_use]
pub(crate) fn faint(color: Color, alpha: f32) -> Color {
    let mut color = color;
    color.set_alpha(alpha.clamp(0.0, 1.0));
    color
}

/// A mix of two colours, `share` of the second.
#[must_use]
pub(crate) fn mix(a: Color, b: Color, share: f32) -> Color {
    let part = |a: f32, b: f32| (a + (b - a) * share).clamp(0.0, 1.0);
    Color::from_rgba(
        part(a.red(), b.red()),
        part(a.green(), b.green()),
        part(a.blue(), b.blue()),
        part(a.alpha(), b.alpha()),
    )
    .unwrap_or(a)
}

/// A shader of one colour.
#[must_use]
pub(crate) fn plain(color: Color) -> Shader<'static> {
    Shader::SolidColor(color)
}

/// A shader that goes through colours from one pixel to another.
#[must_use]
pub(crate) fn gradient(from: Px, to: Px, stops: &[(f32, Color)]) -> Shader<'static> {
    let stop = stops
        .iter()
        .map(|&(at, color)| GradientStop::new(at, color))
        .collect();
    let fallback = stops.first().map_or(Color::BLACK, |(_, color)| *color);
    LinearGradient::new(
        Pixel::from_xy(from.0, from.1),
        Pixel::from_xy(to.0, to.1),
        stop,
        SpreadMode::Pad,
        Transform::identity(),
    )
    .unwrap_or(Shader::SolidColor(fallback))
}

/// A picture being drawn.
pub(crate) struct Ink<'a> {
    /// The picture.
    pub(crate) map: &'a mut Pixmap,
}

impl Ink<'_> {
    /// Fills a path.
    pub(crate) fn fill(&mut self, path: Option<Path>, shader: &Shader<'_>) {
        let Some(path) = path else { return };
        let paint = Paint {
            shader: shader.clone(),
            anti_alias: true,
            ..Paint::default()
        };
        self.map.fill_path(
            &path,
            &paint,
            FillRule::Winding,
            Transform::identity(),
            None,
        );
    }

    /// Strokes a path, `width` in pixels, with round ends.
    pub(crate) fn stroke(&mut self, path: Option<Path>, color: Color, width: f32) {
        let Some(path) = path else { return };
        let paint = Paint {
            shader: plain(color),
            anti_alias: true,
            ..Paint::default()
        };
        let stroke = Stroke {
            width,
            line_cap: LineCap::Round,
            line_join: LineJoin::Round,
            ..Stroke::default()
        };
        self.map
            .stroke_path(&path, &paint, &stroke, Transform::identity(), None);
    }

    /// Fills an upright rectangle.
    pub(crate) fn rect(&mut self, (left, top): Px, (right, bottom): Px, shader: &Shader<'_>) {
        self.fill(
            Rect::from_ltrb(
                left.min(right),
                top.min(bottom),
                left.max(right),
                top.max(bottom),
            )
            .map(PathBuilder::from_rect),
            shader,
        );
    }

    /// Fills whole rows from `top` to `bottom` with the opaque colour of each
    /// row; much faster than a gradient, and the ground takes half the picture.
    pub(crate) fn rows(&mut self, top: f32, bottom: f32, color: impl Fn(f32) -> Color) {
        let (width, height) = (self.map.width() as usize, self.map.height());
        let (first, last) = (top.max(0.0), bottom.min(height as f32));
        let pixels = self.map.pixels_mut();
        for row in first.floor() as usize..last.ceil().max(0.0) as usize {
            let line = &mut pixels[row * width..(row + 1) * width];
            let paint = color(row as f32 + 0.5);
            let cover = (row as f32 + 1.0 - first).clamp(0.0, 1.0);
            if cover >= 1.0 {
                line.fill(paint.premultiply().to_color_u8());
                continue;
            }
            // The first row is shared with what lies above it.
            for pixel in line {
                let below = pixel.demultiply();
                let below = Color::from_rgba8(below.red(), below.green(), below.blue(), 255);
                *pixel = mix(below, paint, cover).premultiply().to_color_u8();
            }
        }
    }

    /// Fills an ellipse.
    pub(crate) fn ellipse(&mut self, centre: Px, (rx, ry): (f32, f32), color: Color) {
        self.fill(oval(centre, (rx, ry)), &plain(color));
    }

    /// A soft ellipse that fades to nothing at its rim.
    pub(crate) fn glow(&mut self, centre: Px, (rx, ry): (f32, f32), color: Color) {
        let stops = vec![
            GradientStop::new(0.0, color),
            GradientStop::new(1.0, faint(color, 0.0)),
        ];
        let origin = Pixel::from_xy(0.0, 0.0);
        let Some(shader) = RadialGradient::new(
            origin,
            0.0,
            origin,
            1.0,
            stops,
            SpreadMode::Pad,
            Transform::from_row(rx, 0.0, 0.0, ry, centre.0, centre.1),
        ) else {
            return;
        };
        self.fill(oval(centre, (rx, ry)), &shader);
    }
}

/// An ellipse as a path.
#[must_use]
pub(crate) fn oval((x, y): Px, (rx, ry): (f32, f32)) -> Option<Path> {
    Rect::from_ltrb(x - rx, y - ry, x + rx, y + ry).and_then(PathBuilder::from_oval)
}

/// A closed shape with straight sides.
#[must_use]
pub(crate) fn polygon(points: &[Px]) -> Option<Path> {
    let mut builder = PathBuilder::new();
    add_polygon(&mut builder, points);
    builder.finish()
}

fn add_polygon(builder: &mut PathBuilder, points: &[Px]) {
    for (index, &(x, y)) in points.iter().enumerate() {
        if index == 0 {
            builder.move_to(x, y);
        } else {
            builder.line_to(x, y);
        }
    }
    builder.close();
}

/// A line that passes smoothly through all points.
#[must_use]
pub(crate) fn curve(points: &[Px]) -> Option<Path> {
    let [first, .., _] = points else { return None };
    let mut builder = PathBuilder::new();
    builder.move_to(first.0, first.1);
    for i in 0..points.len() - 1 {
        let before = points[i.saturating_sub(1)];
        let after = points[(i + 2).min(points.len() - 1)];
        segment(&mut builder, before, points[i], points[i + 1], after);
    }
    builder.finish()
}

/// One piece of a Catmull-Rom spline as a cubic.
fn segment(builder: &mut PathBuilder, before: Px, from: Px, to: Px, after: Px) {
    builder.cubic_to(
        from.0 + (to.0 - before.0) / 6.0,
        from.1 + (to.1 - before.1) / 6.0,
        to.0 - (after.0 - from.0) / 6.0,
        to.1 - (after.1 - from.1) / 6.0,
        to.0,
        to.1,
    );
}

/// Smooth closed shapes as one path, all wound the same way so that they add up.
#[must_use]
pub(crate) fn blobs(shapes: &[Vec<Px>]) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for shape in shapes {
        add_blob(&mut builder, shape);
    }
    builder.finish()
}

/// A smooth closed shape.
#[must_use]
pub(crate) fn blob(points: &[Px]) -> Option<Path> {
    let mut builder = PathBuilder::new();
    add_blob(&mut builder, points);
    builder.finish()
}

fn add_blob(builder: &mut PathBuilder, points: &[Px]) {
    let count = points.len();
    if count < 3 {
        return;
    }
    let area: f32 = (0..count)
        .map(|i| {
            let (a, b) = (points[i], points[(i + 1) % count]);
            a.0 * b.1 - b.0 * a.1
        })
        .sum();
    let at = |i: usize| {
        if area >= 0.0 {
            points[i % count]
        } else {
            points[count - 1 - i % count]
        }
    };
    builder.move_to(at(0).0, at(0).1);
    for i in 0..count {
        segment(builder, at(i + count - 1), at(i), at(i + 1), at(i + 2));
    }
    builder.close();
}
