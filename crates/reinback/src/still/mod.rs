//! A still of a film: the frame as filmed, with nothing drawn on it, and its words on a bar beneath.
//! Pure: from pixels and words to the bytes of a PNG file.
//!
//! - `lettering`: words as pixels

mod lettering;

use reinback_film::Frame;

use lettering::{Lettering, Line};

/// One picture of a still with the words beneath it; the first line stands out.
pub struct Panel {
    /// The frame.
    pub frame: Frame,
    /// Left for right.
    pub mirrored: bool,
    /// What stands beneath, from top to bottom.
    pub lines: Vec<String>,
}

/// Rows of opaque RGB pixels.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Still {
    /// Pixels in a row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// `width * height * 3` bytes.
    pub rgb: Vec<u8>,
}

/// Why there is no still, as a sentence for the rider.
#[derive(Debug, thiserror::Error)]
pub enum StillError {
    /// There are more pixels than fit into memory.
    #[error("The picture is too large")]
    TooLarge,
    /// The bytes could not be made.
    #[error("The picture could not be written: {0}")]
    Png(#[from] png::EncodingError),
    /// The typeface that is built in is damaged.
    #[error("The typeface of the caption cannot be read")]
    Typeface,
}

/// Colours of the bar and its words.
#[derive(Clone, Copy, Debug)]
pub struct Colours {
    /// Behind the words.
    pub bar: [u8; 3],
    /// The words.
    pub ink: [u8; 3],
}

/// Lays pictures side by side, each with its words beneath it. No pixel of a frame is changed.
///
/// # Errors
/// [`StillError::TooLarge`], [`StillError::Typeface`].
pub fn compose(panels: &[Panel], colours: Colours) -> Result<Still, StillError> {
    let faces = (Lettering::regular(), Lettering::bold());
    let (Some(regular), Some(bold)) = faces else {
        return Err(StillError::Typeface);
    };
    let bars: Vec<Vec<Line>> = panels
        .iter()
        .map(|panel| lettering::set(&panel.lines, panel.frame.width, &regular, &bold))
        .collect();
    let bar = bars.iter().map(|lines| lettering::height(lines)).max();
    let tallest = panels.iter().map(|panel| panel.frame.height).max();
    let width = panels
        .iter()
        .try_fold(0_u32, |sum, panel| sum.checked_add(panel.frame.width))
        .ok_or(StillError::TooLarge)?;
    let height = tallest
        .unwrap_or(0)
        .checked_add(bar.unwrap_or(0))
        .ok_or(StillError::TooLarge)?;
    let bytes = u64::from(width) * u64::from(height) * 3;
    let bytes = usize::try_from(bytes).map_err(|_beyond| StillError::TooLarge)?;
    let mut rgb = Vec::new();
    rgb.try_reserve_exact(bytes)
        .map_err(|_beyond| StillError::TooLarge)?;
    rgb.extend(std::iter::repeat_n(colours.bar, bytes / 3).flatten());
    let mut still = Still { width, height, rgb };
    let mut left = 0;
    for (panel, lines) in panels.iter().zip(&bars) {
        still.lay(panel, left);
        let top = panel.frame.height;
        lettering::draw(&mut still, lines, (left, top), colours.ink);
        left += panel.frame.width;
    }
    Ok(still)
}

/// Whether the typeface has a sign for every letter of what stands beneath the pictures; one that
/// it lacks is left out.
///
/// # Errors
/// [`StillError::Typeface`].
pub fn is_spelled_out(panels: &[Panel]) -> Result<bool, StillError> {
    let faces = (Lettering::regular(), Lettering::bold());
    let (Some(regular), Some(bold)) = faces else {
        return Err(StillError::Typeface);
    };
    let spells = |panel: &Panel| lettering::spells(&panel.lines, &regular, &bold);
    Ok(panels.iter().all(spells))
}

impl Still {
    fn lay(&mut self, panel: &Panel, left: u32) {
        let frame = &panel.frame;
        let row = frame.width as usize * 4;
        let stride = self.width as usize * 3;
        let start = left as usize * 3;
        let rows = frame.rgba.chunks_exact(row.max(1));
        for (target, source) in self.rgb.chunks_exact_mut(stride.max(1)).zip(rows) {
            let target = &mut target[start..start + frame.width as usize * 3];
            let source = source.chunks_exact(4);
            if panel.mirrored {
                copy(target, source.rev());
            } else {
                copy(target, source);
            }
        }
    }

    /// Lays ink over a pixel, so opaque from 0 to 255; outside the picture nothing.
    fn ink(&mut self, (x, y): (u32, u32), ink: [u8; 3], cover: u8) {
        if x >= self.width || y >= self.height {
            return;
        }
        let at = (y as usize * self.width as usize + x as usize) * 3;
        for (own, ink) in self.rgb[at..at + 3].iter_mut().zip(ink) {
            let (cover, under) = (u16::from(cover), u16::from(*own));
            let mixed = (u16::from(ink) * cover + under * (255 - cover) + 127) / 255;
            *own = u8::try_from(mixed).unwrap_or(u8::MAX);
        }
    }

    /// The bytes of a PNG file with these texts, as keyword and text. Keywords are those that the
    /// PNG specification registers ("Title", "Description", "Source", "Software"; from memory),
    /// written as international text so that any name can stand in them.
    ///
    /// # Errors
    /// [`StillError::Png`].
    pub fn encode(&self, texts: &[(&str, String)]) -> Result<Vec<u8>, StillError> {
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, self.width, self.height);
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_depth(png::BitDepth::Eight);
        encoder.set_source_srgb(png::SrgbRenderingIntent::Perceptual);
        for (keyword, text) in texts {
            encoder.add_itxt_chunk((*keyword).to_owned(), text.clone())?;
        }
        let mut writer = encoder.write_header()?;
        writer.write_image_data(&self.rgb)?;
        writer.finish()?;
        Ok(bytes)
    }
}

fn copy<'a>(target: &mut [u8], source: impl Iterator<Item = &'a [u8]>) {
    for (to, from) in target.chunks_exact_mut(3).zip(source) {
        to.copy_from_slice(&from[..3]);
    }
}

#[cfg(test)]
mod tests;
