//! Letters as outlines of the project's typeface.

use tiny_skia::{Path, PathBuilder, Transform};
use ttf_parser::{Face, OutlineBuilder};

use super::ink::Px;
use crate::film::error::FilmError;

static BOLD: &[u8] = include_bytes!(concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../../assets/fonts/Lato-Bold.ttf"
));

/// Where a line of words stands against its position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stand {
    /// Begins at the position.
    Left,
    /// Has the position in its middle.
    Middle,
    /// Ends at the position.
    Right,
}

/// The typeface.
pub(crate) struct Lettering {
    face: Face<'static>,
}

impl Lettering {
    /// Opens the typeface that is built in.
    ///
    /// # Errors
    /// The file in assets is damaged.
    pub(crate) fn open() -> Result<Self, FilmError> {
        let face = Face::parse(BOLD, 0).map_err(|error| FilmError::Typeface(error.to_string()))?;
        Ok(Self { face })
    }

    /// A line of words as a path: its base line at `at`, capitals `size` pixels high.
    #[must_use]
    pub(crate) fn line(&self, words: &str, at: Px, size: f32, stand: Stand) -> Option<Path> {
        let units = f32::from(self.face.capital_height().unwrap_or(1433));
        let scale = size / units;
        let mut pen = Pen {
            builder: PathBuilder::new(),
            x: 0.0,
        };
        for letter in words.chars() {
            let Some(glyph) = self.face.glyph_index(letter) else {
                continue;
            };
            self.face.outline_glyph(glyph, &mut pen);
            // Figures stand still when they change: each as wide as a nought.
            let wide = if letter.is_ascii_digit() {
                self.face.glyph_index('0').unwrap_or(glyph)
            } else {
                glyph
            };
            pen.x += f32::from(self.face.glyph_hor_advance(wide).unwrap_or(0));
        }
        let share = match stand {
            Stand::Left => 0.0,
            Stand::Middle => 0.5,
            Stand::Right => 1.0,
        };
        let left = at.0 - share * pen.x * scale;
        pen.builder
            .finish()?
            .transform(Transform::from_row(scale, 0.0, 0.0, -scale, left, at.1))
    }
}

struct Pen {
    builder: PathBuilder,
    x: f32,
}

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.builder.move_to(self.x + x, y);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.builder.line_to(self.x + x, y);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.builder.quad_to(self.x + x1, y1, self.x + x, y);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.builder
            .cubic_to(self.x + x1, y1, self.x + x2, y2, self.x + x, y);
    }

    fn close(&mut self) {
        self.builder.close();
    }
}
