//! swscale's context: one way of scaling and colouring.

use std::ffi::c_int;

use ffmpeg_the_third as av;
use ffmpeg_the_third::ffi;

use av::format::Pixel;
use av::frame::Video;
use av::software::scaling;

use crate::colour::Look;

/// Rows whose bytes are a multiple of this are written without going past
/// their end, whatever vector unit swscale uses.
const WHOLE: usize = 64;

/// What a scaler is made for.
#[derive(Clone, Copy, PartialEq)]
pub(crate) struct Plan {
    pub(crate) from: Pixel,
    pub(crate) from_size: (u32, u32),
    pub(crate) to: Pixel,
    pub(crate) to_size: (u32, u32),
    pub(crate) look: Look,
}

/// A scaler for one plan at a time, made anew when the plan changes.
#[derive(Default)]
pub(crate) struct Scaler {
    made: Option<(Plan, Context)>,
}

struct Context(scaling::Context);

#[expect(
    unsafe_code,
    reason = "the binding keeps scalers on one thread; swscale does not"
)]
// SAFETY: an SwsContext holds plain memory of its own and nothing of the thread
// that made it; libswscale asks only that two threads do not use it at once,
// and every use here goes through `&mut`.
unsafe impl Send for Context {}

impl Scaler {
    /// Scales `source` into `target`, which is made if it is empty.
    pub(crate) fn run(
        &mut self,
        plan: Plan,
        source: &Video,
        target: &mut Video,
    ) -> Result<(), av::Error> {
        self.context(plan)?.0.run(source, target)
    }

    /// Scales `source` into packed rows of `row` bytes. `false`, and nothing
    /// done, where such rows could be written past their end.
    pub(crate) fn run_packed(
        &mut self,
        plan: Plan,
        source: &Video,
        target: &mut [u8],
        row: usize,
    ) -> Result<bool, av::Error> {
        let whole = row.is_multiple_of(WHOLE) && target.len() >= row * plan.to_size.1 as usize;
        let sized = (source.width(), source.height()) == plan.from_size;
        let Ok(stride) = c_int::try_from(row) else {
            return Ok(false);
        };
        if !whole || !sized || source.format() != plan.from {
            return Ok(false);
        }
        let context = self.context(plan)?;
        let targets = [target.as_mut_ptr()];
        let strides = [stride];
        #[expect(unsafe_code, reason = "the binding scales into its own frames only")]
        // SAFETY: the context was made for the source's format and size (just
        // compared) and for one packed target plane of `to_size` with `row`
        // bytes a row, which `target` has room for (just compared); packed
        // output uses the first plane only.
        let rows = unsafe {
            ffi::sws_scale(
                context.0.as_mut_ptr(),
                (*source.as_ptr()).data.as_ptr().cast(),
                (*source.as_ptr()).linesize.as_ptr(),
                0,
                (*source.as_ptr()).height,
                targets.as_ptr(),
                strides.as_ptr(),
            )
        };
        if rows < 0 {
            return Err(av::Error::from(rows));
        }
        Ok(true)
    }

    fn context(&mut self, plan: Plan) -> Result<&mut Context, av::Error> {
        if !matches!(&self.made, Some((made, _)) if *made == plan) {
            self.made = None;
            self.made = Some((plan, Context::new(plan)?));
        }
        self.made
            .as_mut()
            .map(|(_, context)| context)
            .ok_or(av::Error::Bug)
    }
}

impl Context {
    fn new(plan: Plan) -> Result<Self, av::Error> {
        let (from, to) = (plan.from_size, plan.to_size);
        let flags = scaling::Flags::BILINEAR;
        let mut scaler =
            scaling::Context::get(plan.from, from.0, from.1, plan.to, to.0, to.1, flags)?;
        set_colours(&mut scaler, plan);
        Ok(Self(scaler))
    }
}

/// Tells a scaler the colour matrix and range of its source. A target of
/// brightness and colour differences keeps both; another is full-range RGB.
fn set_colours(scaler: &mut scaling::Context, plan: Plan) {
    let kept = plan.to == Pixel::YUV420P;
    let range = c_int::from(plan.look.full_range);
    let (matrix, to_range) = if kept {
        (plan.look.matrix, range)
    } else {
        (ffi::SWS_CS_DEFAULT, 1)
    };
    #[expect(unsafe_code, reason = "the binding has no call for colour details")]
    // SAFETY: the scaler is live and ours; sws_getCoefficients returns a static
    // table for every number. A format without a matrix makes the call fail
    // without effect, which is right for it.
    unsafe {
        let from = ffi::sws_getCoefficients(plan.look.matrix);
        let to = ffi::sws_getCoefficients(matrix);
        let neutral = 1 << 16;
        let context = scaler.as_mut_ptr();
        ffi::sws_setColorspaceDetails(context, from, range, to, to_range, 0, neutral, neutral);
    }
}
