//! From a decoded frame to pixels for the screen: size, colour, orientation.

use std::ffi::c_int;
use std::sync::Arc;

use ffmpeg_the_third as av;

use av::color::{Range, Space, TransferCharacteristic};
use av::ffi;
use av::format::Pixel;
use av::frame::Video;
use av::software::scaling;

use crate::libav;
use crate::orient::Orientation;
use crate::tone::{ToneMap, Transfer};

/// Finished pixels.
pub(crate) struct Pixels {
    pub(crate) width: u32,
    pub(crate) height: u32,
    pub(crate) rgba: Arc<[u8]>,
}

/// How the pixels of one film have to be shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Shape {
    pub(crate) orientation: Orientation,
    /// Width of a stored pixel by its height; above zero.
    pub(crate) pixel_aspect: f64,
}

impl Shape {
    /// The size on screen of a stored picture. The longer side of a pixel is
    /// stretched, so that nothing that was filmed is lost.
    pub(crate) fn shown_size(&self, stored: (u32, u32)) -> (u32, u32) {
        self.orientation.turn_size(self.square(stored))
    }

    fn square(&self, (width, height): (u32, u32)) -> (u32, u32) {
        let stretch = |side: u32, by: f64| ((f64::from(side) * by).round() as u32).max(1);
        if self.pixel_aspect >= 1.0 {
            (stretch(width, self.pixel_aspect), height)
        } else {
            (width, stretch(height, 1.0 / self.pixel_aspect))
        }
    }

    /// The size to scale a stored picture to, still unturned.
    fn scaled(&self, stored: (u32, u32), max_side: u32) -> (u32, u32) {
        let (width, height) = self.square(stored);
        let longer = width.max(height);
        if longer <= max_side {
            return (width, height);
        }
        let by = f64::from(max_side) / f64::from(longer);
        let fit = |side: u32| ((f64::from(side) * by).round() as u32).clamp(1, max_side);
        (fit(width), fit(height))
    }
}

/// What a scaler is made for.
#[derive(Clone, Copy, PartialEq)]
struct Plan {
    format: Pixel,
    stored: (u32, u32),
    target: (u32, u32),
    matrix: c_int,
    full_range: bool,
    transfer: Option<Transfer>,
}

/// Turns decoded frames into pixels. Belongs to one thread: swscale's context
/// must not move between threads.
pub(crate) struct Painter {
    shape: Shape,
    max_side: u32,
    scaler: Option<(Plan, scaling::Context)>,
    scaled: Video,
    tone: Option<ToneMap>,
    toned: Vec<u8>,
}

impl Painter {
    pub(crate) fn new(shape: Shape, max_side: u32) -> Self {
        Self {
            shape,
            max_side: max_side.max(1),
            scaler: None,
            scaled: Video::empty(),
            tone: None,
            toned: Vec::new(),
        }
    }

    /// The longest side of what is painted.
    pub(crate) fn max_side(&self) -> u32 {
        self.max_side
    }

    /// The pixels of a frame. A frame of two fields is shown by its earlier
    /// field alone: the moment of its time stamp, without combs.
    pub(crate) fn paint(&mut self, frame: &Video) -> Result<Pixels, av::Error> {
        let stored = (frame.width(), frame.height());
        let target = self.shape.scaled(stored, self.max_side);
        let half = if libav::is_interlaced(frame) && frame.height() >= 4 {
            libav::field(frame, !libav::is_top_first(frame))
        } else {
            None
        };
        let source = half.as_ref().unwrap_or(frame);
        let plan = Plan::new(source, stored, target);
        self.scale(source, plan)?;
        Ok(self.finish(plan))
    }

    fn scale(&mut self, source: &Video, plan: Plan) -> Result<(), av::Error> {
        if !matches!(&self.scaler, Some((made, _)) if *made == plan) {
            self.scaler = None;
            self.scaled = Video::empty();
            self.scaler = Some((plan, plan.scaler()?));
        }
        if self.tone.as_ref().map(ToneMap::transfer) != plan.transfer {
            self.tone = plan.transfer.map(ToneMap::new);
        }
        let Some((_, scaler)) = &mut self.scaler else {
            return Err(av::Error::Bug);
        };
        scaler.run(source, &mut self.scaled)
    }

    fn finish(&mut self, plan: Plan) -> Pixels {
        let (width, height) = plan.target;
        let bytes = width as usize * height as usize * 4;
        let (source, stride) = if let Some(tone) = &self.tone {
            self.toned.resize(bytes, 0);
            let (deep, stride) = (self.scaled.data(0), self.scaled.stride(0));
            tone.rows(deep, stride, width as usize, &mut self.toned);
            (self.toned.as_slice(), width as usize * 4)
        } else {
            (self.scaled.data(0), self.scaled.stride(0))
        };
        let mut rgba: Arc<[u8]> = std::iter::repeat_n(0, bytes).collect();
        if let Some(pixels) = Arc::get_mut(&mut rgba) {
            let orientation = self.shape.orientation;
            orientation.lay(source, stride, plan.target, pixels);
            if has_alpha(plan.format) {
                pixels.iter_mut().skip(3).step_by(4).for_each(|a| *a = 255);
            }
        }
        let (width, height) = self.shape.orientation.turn_size(plan.target);
        Pixels {
            width,
            height,
            rgba,
        }
    }
}

impl Plan {
    fn new(source: &Video, film: (u32, u32), target: (u32, u32)) -> Self {
        Self {
            format: source.format(),
            stored: (source.width(), source.height()),
            target,
            matrix: matrix(source.color_space(), film),
            full_range: source.color_range() == Range::JPEG || is_full_range(source.format()),
            transfer: transfer(source.color_transfer_characteristic()),
        }
    }

    fn scaler(&self) -> Result<scaling::Context, av::Error> {
        let output = if self.transfer.is_some() {
            Pixel::RGBA64LE
        } else {
            Pixel::RGBA
        };
        let (stored, target) = (self.stored, self.target);
        let flags = scaling::Flags::BILINEAR;
        let mut scaler = scaling::Context::get(
            self.format,
            stored.0,
            stored.1,
            output,
            target.0,
            target.1,
            flags,
        )?;
        libav::set_colours(&mut scaler, self.matrix, self.full_range);
        Ok(scaler)
    }
}

/// The transfer of a film of high dynamic range.
pub(crate) fn transfer(stated: TransferCharacteristic) -> Option<Transfer> {
    match stated {
        TransferCharacteristic::SMPTE2084 => Some(Transfer::Pq),
        TransferCharacteristic::ARIB_STD_B67 => Some(Transfer::Hlg),
        _ => None,
    }
}

/// swscale's number for a colour matrix. Films that do not say are taken as
/// ITU-R BT.601 up to 576 rows and 1024 columns (ITU-R BT.601 has at most
/// 576), as ITU-R BT.709 above.
fn matrix(stated: Space, (width, height): (u32, u32)) -> c_int {
    match stated {
        Space::BT709 => ffi::SWS_CS_ITU709,
        Space::FCC => ffi::SWS_CS_FCC,
        Space::BT470BG | Space::SMPTE170M => ffi::SWS_CS_ITU601,
        Space::SMPTE240M => ffi::SWS_CS_SMPTE240M,
        Space::BT2020NCL | Space::BT2020CL => ffi::SWS_CS_BT2020,
        _ if width.min(height) > 576 || width.max(height) > 1024 => ffi::SWS_CS_ITU709,
        _ => ffi::SWS_CS_ITU601,
    }
}

/// The old pixel formats whose name already says full range.
fn is_full_range(format: Pixel) -> bool {
    matches!(
        format,
        Pixel::YUVJ420P | Pixel::YUVJ422P | Pixel::YUVJ444P | Pixel::YUVJ440P | Pixel::YUVJ411P
    )
}

/// Formats whose pixels may be see-through: grey or colour with one more part,
/// or a palette.
fn has_alpha(format: Pixel) -> bool {
    format == Pixel::PAL8
        || format
            .descriptor()
            .is_some_and(|description| matches!(description.nb_components(), 2 | 4))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shape(pixel_aspect: f64) -> Shape {
        Shape {
            orientation: Orientation::default(),
            pixel_aspect,
        }
    }

    #[test]
    fn pixels_that_are_not_square_are_stretched() {
        for (stored, aspect, expected) in [
            ((800, 640), 1137.0 / 800.0, (1137, 640)),
            ((1440, 1080), 4.0 / 3.0, (1920, 1080)),
            ((100, 100), 0.5, (100, 200)),
            ((161, 121), 1.0, (161, 121)),
        ] {
            assert_eq!(shape(aspect).shown_size(stored), expected);
        }
    }

    #[test]
    fn neither_side_exceeds_the_largest_wanted() {
        for (stored, max_side, expected) in [
            ((3840, 2160), 1920, (1920, 1080)),
            ((1080, 1920), 960, (540, 960)),
            ((640, 480), 1920, (640, 480)),
            ((4000, 1), 100, (100, 1)),
        ] {
            assert_eq!(shape(1.0).scaled(stored, max_side), expected);
        }
    }

    /// A flat picture of one colour in limited-range YCbCr, shown by `matrix`.
    fn colour(ycbcr: [u8; 3], matrix: Space, size: (u32, u32)) -> [u8; 4] {
        let mut frame = Video::new(Pixel::YUV420P, size.0, size.1);
        for (plane, value) in ycbcr.into_iter().enumerate() {
            frame.data_mut(plane).fill(value);
        }
        frame.set_color_space(matrix);
        frame.set_color_range(Range::MPEG);
        let pixels = Painter::new(shape(1.0), 4000).paint(&frame).unwrap();
        pixels.rgba[..4].try_into().unwrap()
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
            (hd, Space::BT709, (64, 64)),
            (hd, Space::Unspecified, (1280, 720)),
        ] {
            let [r, g, b, a] = colour(ycbcr, matrix, size);
            assert!(
                r.abs_diff(191) <= 3 && g <= 4 && b <= 4 && a == 255,
                "{matrix:?} at {size:?}: {r} {g} {b}"
            );
        }
    }
}
