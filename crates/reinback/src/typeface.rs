//! The typeface that is built in, for the window and for pictures.

use ttf_parser::Face;

/// Plain letters.
pub static REGULAR: &[u8] = include_bytes!("../../../assets/fonts/Lato-Regular.ttf");
/// Bold letters.
pub static BOLD: &[u8] = include_bytes!("../../../assets/fonts/Lato-Bold.ttf");

/// Width of words in sizes of their letters; letters that the face lacks take no room.
#[must_use]
pub fn width(face: &Face<'_>, words: &str) -> f32 {
    let glyphs = words.chars().filter_map(|letter| face.glyph_index(letter));
    let units: u32 = glyphs
        .map(|glyph| u32::from(face.glyph_hor_advance(glyph).unwrap_or(0)))
        .sum();
    units as f32 / f32::from(face.units_per_em().max(1))
}
