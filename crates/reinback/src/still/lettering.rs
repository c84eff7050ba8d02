//! Words as pixels: lines broken to a width, and their letters filled.

use tiny_skia::{FillRule, Mask, Path, PathBuilder, Transform};
use ttf_parser::{Face, OutlineBuilder};

use super::Still;
use crate::typeface::{self, BOLD, REGULAR};

/// Pixels from base line to base line, in sizes of the letters.
const LEADING: f32 = 1.4;

/// The typeface.
pub(super) struct Lettering(Face<'static>);

/// A line of words that fits.
pub(super) struct Line {
    /// Its letters, the base line at its left end being at nought.
    letters: Option<Path>,
    /// Size of its letters in pixels.
    size: f32,
}

impl Lettering {
    pub(super) fn regular() -> Option<Self> {
        Face::parse(REGULAR, 0).ok().map(Self)
    }

    pub(super) fn bold() -> Option<Self> {
        Face::parse(BOLD, 0).ok().map(Self)
    }

    /// Whether there is a sign for every letter.
    fn spells(&self, words: &str) -> bool {
        let mut letters = words.chars().filter(|letter| !letter.is_whitespace());
        letters.all(|letter| self.0.glyph_index(letter).is_some())
    }

    /// Width of words in sizes of their letters.
    fn width(&self, words: &str) -> f32 {
        typeface::width(&self.0, words)
    }

    /// Breaks words to a width in sizes of their letters, at spaces where there are any.
    fn broken(&self, words: &str, room: f32) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        for word in words.split_whitespace() {
            if let Some(line) = lines.last_mut() {
                let longer = format!("{line} {word}");
                if self.width(&longer) <= room {
                    *line = longer;
                    continue;
                }
            }
            lines.push(String::new());
            for letter in word.chars() {
                let Some(line) = lines.last_mut() else { break };
                let longer = format!("{line}{letter}");
                if self.width(&longer) <= room || line.is_empty() {
                    *line = longer;
                } else {
                    lines.push(letter.to_string());
                }
            }
        }
        lines
    }

    fn line(&self, words: &str, size: f32) -> Line {
        let scale = size / f32::from(self.0.units_per_em().max(1));
        let mut pen = Pen {
            builder: PathBuilder::new(),
            x: 0.0,
        };
        for glyph in words
            .chars()
            .filter_map(|letter| self.0.glyph_index(letter))
        {
            self.0.outline_glyph(glyph, &mut pen);
            pen.x += f32::from(self.0.glyph_hor_advance(glyph).unwrap_or(0));
        }
        let upright = Transform::from_scale(scale, -scale);
        let letters = pen.builder.finish();
        Line {
            letters: letters.and_then(|path| path.transform(upright)),
            size,
        }
    }
}

/// Size of the letters under a picture of so many pixels a row. Our own choice: a sixtieth of the
/// picture, never too small to be read.
fn size_under(width: u32) -> f32 {
    (width as f32 / 60.0).clamp(13.0, 64.0)
}

/// Sets lines under a picture of so many pixels a row; the first stands out.
pub(super) fn set(
    lines: &[String],
    width: u32,
    regular: &Lettering,
    bold: &Lettering,
) -> Vec<Line> {
    let size = size_under(width);
    let room = (width as f32 / size - 2.0).max(1.0);
    let mut set = Vec::new();
    for (at, words) in lines.iter().enumerate() {
        let face = if at == 0 { bold } else { regular };
        let broken = face.broken(words, room);
        set.extend(broken.iter().map(|words| face.line(words, size)));
    }
    set
}

/// Whether there is a sign for every letter of lines as they are set; the first stands out.
pub(super) fn spells(lines: &[String], regular: &Lettering, bold: &Lettering) -> bool {
    let mut lines = lines.iter().enumerate();
    lines.all(|(at, words)| if at == 0 { bold } else { regular }.spells(words))
}

/// Rows of pixels that lines take, with room above and beneath; none without lines.
pub(super) fn height(lines: &[Line]) -> u32 {
    let Some(size) = lines.first().map(|line| line.size) else {
        return 0;
    };
    (size * (LEADING * lines.len() as f32 + 0.9)).ceil() as u32
}

/// Fills the letters of lines into a picture, under its row `top`, from its column `left` on.
pub(super) fn draw(still: &mut Still, lines: &[Line], (left, top): (u32, u32), ink: [u8; 3]) {
    for (at, line) in lines.iter().enumerate() {
        let Some(letters) = &line.letters else {
            continue;
        };
        let bounds = letters.bounds();
        let (wide, high) = (bounds.right().ceil() + 1.0, line.size * 2.0);
        let Some(mut mask) = Mask::new(wide as u32, high.ceil() as u32) else {
            continue;
        };
        // The base line lies at three quarters of the mask.
        let base = (line.size * 1.5).round();
        let placed = Transform::from_translate(0.0, base);
        mask.fill_path(letters, FillRule::Winding, true, placed);
        let baseline = top as f32 + line.size * (LEADING * (at as f32 + 1.0) + 0.1);
        let up = (baseline - base).max(top as f32).round() as u32;
        let start = left + line.size as u32;
        for (row, covers) in (up..).zip(mask.data().chunks_exact(wide as usize)) {
            for (column, cover) in (start..).zip(covers).filter(|(_, cover)| **cover > 0) {
                still.ink((column, row), ink, *cover);
            }
        }
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
        let from = self.x;
        self.builder
            .cubic_to(from + x1, y1, from + x2, y2, from + x, y);
    }

    fn close(&mut self) {
        self.builder.close();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_broken_at_spaces_and_long_ones_within() {
        let face = Lettering::regular().unwrap();
        let lines = face.broken("half-pass left, quarters trailing", 9.0);
        assert!(lines.len() > 1, "{lines:?}");
        assert_eq!(lines.join(" "), "half-pass left, quarters trailing");
        for line in &lines {
            assert!(face.width(line) <= 9.0, "{line}");
        }
        let long = "x".repeat(80);
        let lines = face.broken(&long, 9.0);
        assert!(lines.len() > 1 && lines.concat() == long, "{lines:?}");
        assert!(face.broken("  ", 9.0).is_empty());
    }

    #[test]
    fn a_letter_without_a_sign_is_told() {
        let (regular, bold) = (Lettering::regular().unwrap(), Lettering::bold().unwrap());
        let check = |lines: &[&str], expect| {
            let lines: Vec<String> = lines.iter().map(|own| (*own).to_owned()).collect();
            assert_eq!(spells(&lines, &regular, &bold), expect, "{lines:?}");
        };
        check(&[], true);
        check(&["Sonnet,\tlesson", "half-pass left: Äöüß…"], true);
        check(&["Sonnet 馬", "half-pass"], false);
        check(&["Sonnet", "half-pass", "well 🐴"], false);
    }

    /// The typeface has a sign for everything a caption is made of.
    #[test]
    fn captions_are_spelled_out() {
        for face in [Lettering::regular().unwrap(), Lettering::bold().unwrap()] {
            for letter in "Sonnet, 20 November 2026: −0:12.48 Äöüß é (1/2)…".chars() {
                assert!(face.0.glyph_index(letter).is_some(), "{letter:?}");
            }
        }
    }
}
