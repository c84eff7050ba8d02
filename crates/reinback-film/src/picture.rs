//! From a decoded frame to pixels for the screen: size, colour, orientation.

use std::sync::Arc;

use ffmpeg_the_third as av;

use av::format::Pixel;
use av::frame::Video;

use crate::colour::{Look, has_alpha};
use crate::libav;
use crate::orient::Orientation;
use crate::scaler::{Plan, Scaler};
use crate::shape::Shape;
use crate::tone::ToneMap;

/// Finished pixels.
pub(crate) struct Pixels {
    pub(crate) width: u32,
    pub(crate) height: u32,
    pub(crate) rgba: Arc<[u8]>,
}

/// A picture as the decoder or a scaler left it, and all that is needed to
/// paint it.
pub(crate) struct Negative {
    pub(crate) frame: Video,
    /// The size to paint, still unturned.
    pub(crate) target: (u32, u32),
    pub(crate) orientation: Orientation,
    pub(crate) look: Look,
}

impl Negative {
    /// Of a decoded frame, sharing its pixels, to be painted with no side
    /// above `max_side`. A frame of two fields is shown by its earlier field
    /// alone: the moment of its time stamp, without combs.
    pub(crate) fn of(frame: &Video, shape: &Shape, max_side: u32) -> Result<Self, av::Error> {
        let stored = (frame.width(), frame.height());
        let source = if libav::is_interlaced(frame) && frame.height() >= 4 {
            libav::field(frame, !libav::is_top_first(frame))
        } else {
            None
        };
        let source = source.or_else(|| libav::share(frame));
        Ok(Self {
            look: Look::of(frame, stored),
            frame: source.ok_or(av::Error::Bug)?,
            target: shape.scaled(stored, max_side),
            orientation: shape.orientation,
        })
    }

    /// Bytes of memory it holds.
    pub(crate) fn byte_count(&self) -> usize {
        libav::held_bytes(&self.frame)
    }

    pub(crate) fn stored(&self) -> (u32, u32) {
        (self.frame.width(), self.frame.height())
    }

    fn plan(&self) -> Plan {
        Plan {
            from: self.frame.format(),
            from_size: self.stored(),
            to: if self.look.transfer.is_some() {
                Pixel::RGBA64LE
            } else {
                Pixel::RGBA
            },
            to_size: self.target,
            look: self.look,
        }
    }
}

/// Turns pictures into pixels for the screen.
#[derive(Default)]
pub(crate) struct Painter {
    scaler: Scaler,
    scaled: Option<(Pixel, Video)>,
    tone: Option<ToneMap>,
    toned: Vec<u8>,
}

impl Painter {
    /// The pixels of a picture.
    pub(crate) fn paint(&mut self, negative: &Negative) -> Result<Pixels, av::Error> {
        let (width, height) = negative.target;
        let row = width as usize * 4;
        let mut rgba: Arc<[u8]> = std::iter::repeat_n(0, row * height as usize).collect();
        if let Some(pixels) = Arc::get_mut(&mut rgba) {
            if !self.paint_directly(negative, pixels, row)? {
                self.paint_turned(negative, pixels)?;
            }
            if has_alpha(negative.frame.format()) {
                pixels.iter_mut().skip(3).step_by(4).for_each(|a| *a = 255);
            }
        }
        let (width, height) = negative.orientation.turn_size(negative.target);
        Ok(Pixels {
            width,
            height,
            rgba,
        })
    }

    /// Where nothing is left to do after scaling.
    fn paint_directly(
        &mut self,
        negative: &Negative,
        pixels: &mut [u8],
        row: usize,
    ) -> Result<bool, av::Error> {
        let upright = negative.orientation == Orientation::UPRIGHT;
        if !upright || negative.look.transfer.is_some() {
            return Ok(false);
        }
        let plan = negative.plan();
        self.scaler.run_packed(plan, &negative.frame, pixels, row)
    }

    fn paint_turned(&mut self, negative: &Negative, pixels: &mut [u8]) -> Result<(), av::Error> {
        let plan = negative.plan();
        let fits = |(format, video): &(Pixel, Video)| {
            *format == plan.to && (video.width(), video.height()) == plan.to_size
        };
        let mut scaled = match self.scaled.take().filter(fits) {
            Some((_, video)) => video,
            None => Video::empty(),
        };
        self.scaler.run(plan, &negative.frame, &mut scaled)?;
        if self.tone.as_ref().map(ToneMap::transfer) != negative.look.transfer {
            self.tone = negative.look.transfer.map(ToneMap::new);
        }
        let row = negative.target.0 as usize * 4;
        let (source, stride) = if let Some(tone) = &self.tone {
            self.toned.resize(pixels.len(), 0);
            let (deep, stride) = (scaled.data(0), scaled.stride(0));
            tone.rows(deep, stride, negative.target.0 as usize, &mut self.toned);
            (self.toned.as_slice(), row)
        } else {
            (scaled.data(0), scaled.stride(0))
        };
        negative
            .orientation
            .lay(source, stride, negative.target, pixels);
        self.scaled = Some((plan.to, scaled));
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use av::color::{Range, Space};

    /// A flat picture of one colour in limited-range YCbCr, shown by `matrix`.
    fn flat(ycbcr: [u8; 3], matrix: Space, size: (u32, u32)) -> Negative {
        let mut frame = Video::new(Pixel::YUV420P, size.0, size.1);
        for (plane, value) in ycbcr.into_iter().enumerate() {
            frame.data_mut(plane).fill(value);
        }
        frame.set_color_space(matrix);
        frame.set_color_range(Range::MPEG);
        let shape = Shape {
            orientation: Orientation::UPRIGHT,
            pixel_aspect: 1.0,
        };
        Negative::of(&frame, &shape, 4000).unwrap()
    }

    /// 75 % red in 8-bit YCbCr, computed from the luma weights of ITU-R BT.601
    /// (0.299, 0.114) and ITU-R BT.709 (0.2126, 0.0722):
    /// Y = 16 + 219 Kr 0.75, Cb and Cr by the standards' own formula.
    #[test]
    fn colour_matrices_give_back_the_red_they_were_made_from() {
        let (sd, hd) = ([65, 100, 212], [51, 109, 212]);
        for (ycbcr, matrix, size) in [
            (sd, Space::SMPTE170M, (64, 64)),
            (sd, Space::Unspecified, (720, 576)),
            (sd, Space::SMPTE170M, (61, 63)),
            (hd, Space::BT709, (64, 64)),
            (hd, Space::Unspecified, (1280, 720)),
            (hd, Space::Unspecified, (1281, 721)),
        ] {
            let negative = flat(ycbcr, matrix, size);
            let pixels = Painter::default().paint(&negative).unwrap();
            assert_eq!((pixels.width, pixels.height), size);
            for pixel in pixels.rgba.chunks_exact(4) {
                let [r, g, b, a] = [pixel[0], pixel[1], pixel[2], pixel[3]];
                assert!(
                    r.abs_diff(191) <= 3 && g <= 4 && b <= 4 && a == 255,
                    "{matrix:?} at {size:?}: {r} {g} {b}"
                );
            }
        }
    }
}
