//! Decoding with the machine's own decoder: VAAPI, `VideoToolbox` or D3D11VA,
//! where libav and the machine have it. Whatever fails, software takes over.

use std::ffi::c_int;
use std::ptr;

use ffmpeg_the_third as av;
use ffmpeg_the_third::ffi;

use av::codec::decoder::Decoder;
use av::frame::Video;
use ffi::{AVCodecContext, AVHWDeviceType, AVPixelFormat};

/// Who is to decode.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hardware {
    /// Software.
    Off,
    /// The machine's own decoder, as far as there is one.
    On,
    /// Software in the place of a machine's decoder that fails, once `after`
    /// calls went well; for checks without such a machine.
    Failing {
        /// What fails.
        fault: Fault,
        /// Calls before that.
        after: u32,
    },
}

/// How a machine's decoder can fail.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// It does not take a packet.
    Send,
    /// It does not give a frame.
    Receive,
    /// It takes all and gives nothing.
    Mute,
}

impl Hardware {
    /// Whether there is software left to take over.
    pub(crate) fn can_give_way(self) -> bool {
        self != Self::Off
    }

    /// Counts a call that would meet a fault of this kind; whether it fails.
    pub(crate) fn fails(&mut self, kind: Fault) -> bool {
        match self {
            Self::Failing { fault, after } if *fault == kind => {
                let fails = *after == 0;
                *after = after.saturating_sub(1);
                fails
            }
            _ => false,
        }
    }
}

/// The systems' own interfaces.
const KINDS: [AVHWDeviceType; 3] = [
    AVHWDeviceType::VAAPI,
    AVHWDeviceType::VIDEOTOOLBOX,
    AVHWDeviceType::D3D11VA,
];
/// The formats by which their frames are known.
const FORMATS: [AVPixelFormat; 3] = [
    AVPixelFormat::VAAPI,
    AVPixelFormat::VIDEOTOOLBOX,
    AVPixelFormat::D3D11,
];

/// Gives a decoder that is not open yet a device, if there is one for its
/// coding. Whether there is.
pub(crate) fn attach(decoder: &mut Decoder) -> bool {
    KINDS.into_iter().any(|kind| {
        #[expect(unsafe_code, reason = "the binding does not know hardware")]
        // SAFETY: the context is live, ours and not open yet. The device is
        // made by libav; its reference goes to the context, which frees it.
        unsafe {
            let context = decoder.as_mut_ptr();
            if !decodes((*context).codec_id, kind) {
                return false;
            }
            let mut device = ptr::null_mut();
            let made =
                ffi::av_hwdevice_ctx_create(&raw mut device, kind, ptr::null(), ptr::null_mut(), 0);
            if made < 0 {
                return false;
            }
            (*context).hw_device_ctx = device;
            (*context).get_format = Some(choose);
        }
        true
    })
}

/// Whether the usual decoder of a coding can work with a device of a kind.
fn decodes(coding: ffi::AVCodecID, kind: AVHWDeviceType) -> bool {
    #[expect(unsafe_code, reason = "the binding does not know hardware")]
    // SAFETY: decoders and their configurations are static tables of libav;
    // the list ends with a null pointer.
    let configuration = |number: c_int| unsafe {
        let codec = ffi::avcodec_find_decoder(coding);
        if codec.is_null() {
            return None;
        }
        let found = ffi::avcodec_get_hw_config(codec, number).as_ref()?;
        let method = ffi::AV_CODEC_HW_CONFIG_METHOD_HW_DEVICE_CTX.0;
        let by_device = found.methods & c_int::try_from(method).unwrap_or(0);
        Some(by_device != 0 && found.device_type == kind)
    };
    (0..).map_while(configuration).any(|fits| fits)
}

/// libav asks which of the formats it offers, best first, is wanted; where a
/// hardware one then fails it asks again without it.
#[expect(unsafe_code, reason = "libav calls this with C pointers")]
unsafe extern "C" fn choose(
    context: *mut AVCodecContext,
    offered: *const AVPixelFormat,
) -> AVPixelFormat {
    let mut at = offered;
    // SAFETY: the list is libav's and ends with NONE.
    while unsafe { *at } != AVPixelFormat::NONE {
        // SAFETY: as above, before the end.
        let format = unsafe { *at };
        if FORMATS.contains(&format) {
            return format;
        }
        // SAFETY: as above; NONE is still ahead.
        at = unsafe { at.add(1) };
    }
    // SAFETY: both pointers are those libav called with.
    unsafe { ffi::avcodec_default_get_format(context, offered) }
}

/// Whether a frame's pixels are on the device.
pub(crate) fn is_there(frame: &Video) -> bool {
    #[expect(unsafe_code, reason = "the binding does not know hardware")]
    // SAFETY: the frame is live; one pointer is compared.
    unsafe {
        !(*frame.as_ptr()).hw_frames_ctx.is_null()
    }
}

/// A frame's pixels in memory, with its time and colours; `None` where they
/// cannot be had.
pub(crate) fn fetch(frame: &Video) -> Option<Video> {
    if !is_there(frame) {
        return None;
    }
    let mut fetched = Video::empty();
    #[expect(unsafe_code, reason = "the binding does not know hardware")]
    // SAFETY: both frames are live, the first with pixels on a device, which
    // libav does not check itself; it allocates the empty one's pixels and
    // copies what it knows of the first.
    let code = unsafe {
        let copied = ffi::av_hwframe_transfer_data(fetched.as_mut_ptr(), frame.as_ptr(), 0);
        if copied < 0 {
            copied
        } else {
            ffi::av_frame_copy_props(fetched.as_mut_ptr(), frame.as_ptr())
        }
    };
    (code >= 0).then_some(fetched)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What libav says of its own decoders; nothing is asked of the machine.
    #[test]
    fn the_phones_codings_have_hardware_decoders_where_libav_was_built_so() {
        let known = |coding| KINDS.into_iter().any(|kind| decodes(coding, kind));
        assert!(!known(ffi::AVCodecID::PRORES) || cfg!(target_vendor = "apple"));
        assert!(!known(ffi::AVCodecID::NONE));
        if cfg!(target_os = "linux") && known(ffi::AVCodecID::H264) {
            assert!(decodes(ffi::AVCodecID::HEVC, AVHWDeviceType::VAAPI));
        }
    }

    #[test]
    fn a_frame_in_memory_is_not_on_a_device() {
        let frame = Video::new(av::format::Pixel::YUV420P, 32, 32);
        assert!(!is_there(&frame));
        assert!(fetch(&frame).is_none());
    }
}
