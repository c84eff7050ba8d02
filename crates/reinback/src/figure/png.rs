//! A figure as the pixels of a picture, drawn from its vectors with the typeface that is built in.

use std::sync::Arc;

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};

use super::{Figure, Sheet, svg};
use crate::typeface;

/// Pixels for a point: sharp on a screen of twice the resolution and in print.
const SCALE: f32 = 2.0;
/// The most pixels a picture may have in all.
const MOST: f32 = 40_000_000.0;

/// Why there is no picture, as a sentence for the rider.
#[derive(Debug, thiserror::Error)]
pub enum PictureError {
    /// There are more pixels than a picture may have.
    #[error("The picture is too large")]
    TooLarge,
    /// The vectors could not be read; a fault of the program.
    #[error("The picture could not be drawn: {0}")]
    Vectors(#[from] resvg::usvg::Error),
    /// The bytes could not be made.
    #[error("The picture could not be written: {0}")]
    Png(String),
}

/// Pixels in rows from the top, red, green, blue and opaqueness each.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pixels {
    /// Pixels in a row, and rows.
    pub size: [usize; 2],
    /// Four bytes a pixel; nothing shines through, so that they are the same premultiplied or not.
    pub rgba: Vec<u8>,
}

/// Draws a figure as pixels, two for each point.
///
/// # Errors
/// [`PictureError::TooLarge`], [`PictureError::Vectors`].
pub fn pixels(figure: &Figure, sheet: &Sheet<'_>) -> Result<Pixels, PictureError> {
    let map = pixmap(figure, sheet)?;
    Ok(Pixels {
        size: [map.width() as usize, map.height() as usize],
        rgba: map.take(),
    })
}

/// The bytes of a PNG file, two pixels for each point.
///
/// # Errors
/// Every [`PictureError`].
pub fn png(figure: &Figure, sheet: &Sheet<'_>) -> Result<Vec<u8>, PictureError> {
    let map = pixmap(figure, sheet)?;
    map.encode_png()
        .map_err(|error| PictureError::Png(error.to_string()))
}

fn pixmap(figure: &Figure, sheet: &Sheet<'_>) -> Result<Pixmap, PictureError> {
    let mut fonts = fontdb::Database::new();
    for face in [typeface::REGULAR, typeface::BOLD] {
        fonts.load_font_source(fontdb::Source::Binary(Arc::new(face)));
    }
    let options = Options {
        fontdb: Arc::new(fonts),
        font_family: "Lato".to_owned(),
        ..Options::default()
    };
    let tree = Tree::from_str(&svg(figure, sheet), &options)?;
    let size = tree.size();
    let [width, height] = [size.width(), size.height()].map(|side| (side * SCALE).ceil());
    if width * height > MOST {
        return Err(PictureError::TooLarge);
    }
    let mut map = Pixmap::new(width as u32, height as u32).ok_or(PictureError::TooLarge)?;
    resvg::render(
        &tree,
        Transform::from_scale(SCALE, SCALE),
        &mut map.as_mut(),
    );
    Ok(map)
}
