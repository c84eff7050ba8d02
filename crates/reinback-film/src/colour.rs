//! What a decoded frame says about its colours.

use std::ffi::c_int;

use ffmpeg_the_third as av;

use av::color::{Range, Space, TransferCharacteristic};
use av::ffi;
use av::format::Pixel;
use av::frame::Video;

use crate::tone::Transfer;

/// How the numbers of a picture become colours.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Look {
    /// swscale's number for the colour matrix.
    pub(crate) matrix: c_int,
    pub(crate) full_range: bool,
    pub(crate) transfer: Option<Transfer>,
}

impl Look {
    /// Of a frame as decoded; `film` is its width and height, by which a
    /// frame that does not say is judged.
    pub(crate) fn of(frame: &Video, film: (u32, u32)) -> Self {
        Self {
            matrix: matrix(frame.color_space(), film),
            full_range: frame.color_range() == Range::JPEG || is_full_range(frame.format()),
            transfer: transfer(frame.color_transfer_characteristic()),
        }
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
pub(crate) fn has_alpha(format: Pixel) -> bool {
    format == Pixel::PAL8
        || format
            .descriptor()
            .is_some_and(|description| matches!(description.nb_components(), 2 | 4))
}
