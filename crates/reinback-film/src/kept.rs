//! Pictures as memory keeps them: small, and as 4:2:0 where that is enough.

use std::sync::{Arc, Mutex};

use ffmpeg_the_third as av;

use av::format::Pixel;
use av::frame::Video;

use crate::frame::Frame;
use crate::lock::lock;
use crate::picture::{Negative, Painter, Pixels};
use crate::scaler::{Plan, Scaler};
use crate::shape::Shape;
use crate::time::FilmTime;

/// A frame of the film in memory.
pub(crate) struct Kept {
    pub(crate) time: FilmTime,
    /// Time of the frame after it, known or guessed.
    pub(crate) end: Option<FilmTime>,
    /// Whether decoding can begin with it.
    pub(crate) key: bool,
    pub(crate) form: Form,
}

/// How a frame is kept.
pub(crate) enum Form {
    /// Painted when it is handed out.
    Negative(Negative),
    /// Painted already.
    Painted(Pixels),
}

impl Kept {
    /// Bytes of memory it holds.
    pub(crate) fn byte_count(&self) -> usize {
        match &self.form {
            Form::Negative(negative) => negative.byte_count(),
            Form::Painted(pixels) => pixels.rgba.len(),
        }
    }

    /// The frame as it is handed out.
    pub(crate) fn frame(&self, painter: &mut Painter) -> Result<Frame, av::Error> {
        let (width, height, rgba) = match &self.form {
            Form::Painted(done) => (done.width, done.height, Arc::clone(&done.rgba)),
            Form::Negative(negative) => {
                let done = painter.paint(negative)?;
                (done.width, done.height, done.rgba)
            }
        };
        Ok(Frame {
            time: self.time,
            end: self.end,
            width,
            height,
            rgba,
        })
    }
}

/// How a decoded frame becomes a kept one.
#[derive(Debug, PartialEq)]
enum Way {
    /// It has the right size and form: its pixels are shared.
    Share,
    /// Scaled to 4:2:0.
    Reduce,
    /// No 4:2:0 of 8 bits could hold it: painted at once.
    Paint,
}

impl Way {
    fn of(negative: &Negative) -> Self {
        let format = negative.frame.format();
        if negative.look.transfer.is_some() || !fits_420(format) {
            Self::Paint
        } else if negative.stored() == negative.target && is_420(format) {
            Self::Share
        } else {
            Self::Reduce
        }
    }
}

fn is_420(format: Pixel) -> bool {
    matches!(format, Pixel::YUV420P | Pixel::YUVJ420P | Pixel::NV12)
}

/// Opaque formats with colour at half the width. High dynamic range apart,
/// their further bits and rows of colour are less than a screen shows.
fn fits_420(format: Pixel) -> bool {
    is_420(format)
        || matches!(
            format,
            Pixel::NV21
                | Pixel::YUV422P
                | Pixel::YUVJ422P
                | Pixel::YUYV422
                | Pixel::UYVY422
                | Pixel::YUV420P10LE
                | Pixel::YUV420P12LE
                | Pixel::YUV422P10LE
                | Pixel::YUV422P12LE
                | Pixel::P010LE
        )
}

/// Makes kept frames of decoded ones.
pub(crate) struct Shrinker {
    shape: Shape,
    max_side: u32,
    scaler: Scaler,
    painter: Painter,
}

impl Shrinker {
    pub(crate) fn new(shape: Shape, max_side: u32) -> Self {
        Self {
            shape,
            max_side: max_side.max(1),
            scaler: Scaler::default(),
            painter: Painter::default(),
        }
    }

    /// The longest side of what is kept.
    pub(crate) fn max_side(&self) -> u32 {
        self.max_side
    }

    /// A decoded frame at the size at which frames are kept.
    pub(crate) fn shrink(&mut self, frame: &Video) -> Result<Form, av::Error> {
        let negative = Negative::of(frame, &self.shape, self.max_side)?;
        match Way::of(&negative) {
            Way::Share => Ok(Form::Negative(negative)),
            Way::Paint => self.painter.paint(&negative).map(Form::Painted),
            Way::Reduce => {
                let plan = Plan {
                    from: negative.frame.format(),
                    from_size: negative.stored(),
                    to: Pixel::YUV420P,
                    to_size: negative.target,
                    look: negative.look,
                };
                let mut reduced = Video::empty();
                self.scaler.run(plan, &negative.frame, &mut reduced)?;
                Ok(Form::Negative(Negative {
                    frame: reduced,
                    ..negative
                }))
            }
        }
    }
}

/// Paints kept frames for whoever asks, the same one only once in a row.
#[derive(Default)]
pub(crate) struct Counter {
    inner: Mutex<Served>,
}

#[derive(Default)]
struct Served {
    painter: Painter,
    last: Option<(Arc<Kept>, Arc<Frame>)>,
}

impl Counter {
    /// The frame as it is handed out.
    pub(crate) fn hand_out(&self, kept: &Arc<Kept>) -> Result<Arc<Frame>, av::Error> {
        let mut served = lock(&self.inner);
        if let Some((last, frame)) = &served.last
            && Arc::ptr_eq(last, kept)
        {
            return Ok(Arc::clone(frame));
        }
        let frame = Arc::new(kept.frame(&mut served.painter)?);
        served.last = Some((Arc::clone(kept), Arc::clone(&frame)));
        Ok(frame)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orient::Orientation;
    use av::color::{Range, Space, TransferCharacteristic};

    const SHAPE: Shape = Shape {
        orientation: Orientation::UPRIGHT,
        pixel_aspect: 1.0,
    };

    fn picture(format: Pixel, (width, height): (u32, u32)) -> Video {
        let mut frame = Video::new(format, width, height);
        for plane in 0..frame.planes() {
            let rows = frame.data_mut(plane).iter_mut().enumerate();
            rows.for_each(|(at, byte)| *byte = (at * 7 % 200) as u8 + 20);
        }
        frame.set_color_space(Space::BT709);
        frame.set_color_range(Range::MPEG);
        frame
    }

    #[test]
    fn each_format_goes_its_way() {
        let (large, small) = ((640, 360), (320, 180));
        for (format, size, expected) in [
            (Pixel::YUV420P, small, Way::Share),
            (Pixel::YUV420P, large, Way::Reduce),
            (Pixel::YUV422P, small, Way::Reduce),
            (Pixel::YUV420P10LE, small, Way::Reduce),
            (Pixel::YUV444P, small, Way::Paint),
            (Pixel::RGB24, large, Way::Paint),
            (Pixel::YUVA420P, small, Way::Paint),
            (Pixel::GRAY8, small, Way::Paint),
        ] {
            let negative = Negative::of(&picture(format, size), &SHAPE, 320).unwrap();
            assert_eq!(Way::of(&negative), expected, "{format:?} at {size:?}");
        }
        let mut bright = picture(Pixel::YUV420P10LE, large);
        bright.set_color_transfer_characteristic(TransferCharacteristic::SMPTE2084);
        let negative = Negative::of(&bright, &SHAPE, 320).unwrap();
        assert_eq!(Way::of(&negative), Way::Paint);
    }

    /// Odd sizes too, and as many bytes as were asked of the system: a frame
    /// of 4:2:0 takes one and a half bytes a pixel, and some padding.
    #[test]
    fn kept_frames_have_the_size_asked_for_and_count_their_bytes() {
        for (size, max_side, expected) in [
            ((1920, 1080), 1280, (1280, 720)),
            ((161, 121), 80, (80, 60)),
            ((161, 121), 400, (161, 121)),
            ((4000, 1), 100, (100, 1)),
            ((1, 1), 100, (1, 1)),
        ] {
            let frame = picture(Pixel::YUV422P, size);
            let form = Shrinker::new(SHAPE, max_side).shrink(&frame).unwrap();
            let kept = Kept {
                time: FilmTime::ZERO,
                end: None,
                key: true,
                form,
            };
            let pixels = u64::from(expected.0) * u64::from(expected.1);
            let bytes = kept.byte_count() as u64;
            let padding = 64 * (u64::from(expected.1) * 2 + 128);
            assert!(bytes >= pixels * 3 / 2, "{size:?}: {bytes}");
            assert!(bytes <= pixels * 3 / 2 + padding, "{size:?}: {bytes}");
            let frame = kept.frame(&mut Painter::default()).unwrap();
            assert_eq!((frame.width, frame.height), expected);
            assert_eq!(frame.byte_count() as u64, pixels * 4);
        }
    }

    /// Going through 4:2:0 shows the picture that painting at once shows, but
    /// for rounding: flat colours, where neither way has anything to smooth.
    #[test]
    fn colours_survive_the_way_through_small_frames() {
        for full in [false, true] {
            for matrix in [Space::BT709, Space::SMPTE170M, Space::BT2020NCL] {
                for ycbcr in [[65, 100, 212], [180, 120, 90], [235, 128, 128]] {
                    let mut frame = picture(Pixel::YUV422P, (640, 360));
                    for (plane, value) in ycbcr.into_iter().enumerate() {
                        frame.data_mut(plane).fill(value);
                    }
                    frame.set_color_space(matrix);
                    frame.set_color_range(if full { Range::JPEG } else { Range::MPEG });
                    let Form::Negative(small) = Shrinker::new(SHAPE, 320).shrink(&frame).unwrap()
                    else {
                        panic!("painted at once");
                    };
                    let through = Painter::default().paint(&small).unwrap();
                    let straight = Negative::of(&frame, &SHAPE, 320).unwrap();
                    let straight = Painter::default().paint(&straight).unwrap();
                    let pairs = through.rgba.iter().zip(straight.rgba.iter());
                    let most = pairs.map(|(a, b)| a.abs_diff(*b)).max().unwrap();
                    assert!(most <= 3, "{matrix:?} {full} {ycbcr:?}: {most}");
                }
            }
        }
    }

    #[test]
    fn the_same_frame_is_painted_once() {
        let counter = Counter::default();
        let kept = |time| {
            let frame = picture(Pixel::YUV420P, (64, 48));
            Arc::new(Kept {
                time: FilmTime(time),
                end: None,
                key: false,
                form: Shrinker::new(SHAPE, 64).shrink(&frame).unwrap(),
            })
        };
        let (a, b) = (kept(0), kept(1));
        let first = counter.hand_out(&a).unwrap();
        assert!(Arc::ptr_eq(&first, &counter.hand_out(&a).unwrap()));
        assert_eq!(counter.hand_out(&b).unwrap().time, FilmTime(1));
        assert!(!Arc::ptr_eq(&first, &counter.hand_out(&a).unwrap()));
    }
}
