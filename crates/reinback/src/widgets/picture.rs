//! From a film's frame to what egui paints.

use std::path::Path;

use egui::{Color32, ColorImage, Context, TextureHandle, TextureOptions};
use reinback_film::Frame;

/// The frame's pixels. They are opaque, so premultiplied and plain colours are the same bytes.
#[must_use]
pub fn image(frame: &Frame) -> ColorImage {
    let pixels: &[Color32] = bytemuck::cast_slice(&frame.rgba);
    ColorImage::new(
        [frame.width as usize, frame.height as usize],
        pixels.to_vec(),
    )
}

/// Hands a picture of the film at a path to the graphics card.
pub fn texture(ctx: &Context, path: &Path, frame: &Frame) -> TextureHandle {
    let name = path.display().to_string();
    ctx.load_texture(name, image(frame), TextureOptions::LINEAR)
}
