//! Makes a film's decoder, and tells what its errors mean.

use std::ffi::c_int;
use std::path::Path;

use ffmpeg_the_third as av;

use av::codec::decoder;
use av::format::context::Input;
use av::threading;

use crate::error::{FilmError, FilmErrorKind};
use crate::hardware::{self, Hardware};
use crate::libav;

/// Larger pictures are refused: twice the size of 8K (ITU-R BT.2020).
const MOST_PIXELS: i64 = 2 * 7680 * 4320;

/// Whether each packet is one shown frame and tells its tick: in MP4, MOV and
/// Matroska by their rules, in MPEG-TS because libav's parser cuts the stream
/// into pictures. Codings whose packets may hold two frames or a hidden one
/// (MPEG-4 Part 2 as AVI packs it, VP8) are left out; fields are told apart
/// once a frame is there.
pub(crate) fn one_each(input: &Input, stream: usize) -> bool {
    use av::codec::Id;
    let Some(id) = coding(input, stream) else {
        return false;
    };
    let cut = matches!(id, Id::H264 | Id::HEVC);
    let whole = matches!(id, Id::VP9 | Id::AV1 | Id::MJPEG | Id::PRORES | Id::DNXHD);
    let named = |name: &str| input.format().name().split(',').any(|part| part == name);
    let boxed = named("mov") || named("matroska");
    (boxed && (cut || whole)) || (named("mpegts") && cut)
}

/// Whether, besides, frames that no other refers to are marked so surely that
/// leaving them out changes no other. H.264 says it of each picture
/// (`nal_ref_idc`, ITU-T H.264, 7.4.1). HEVC says it within a temporal
/// sub-layer only (sub-layer non-reference pictures, ITU-T H.265, 7.4.2.2), so
/// it does where there is just one.
pub(crate) fn marks_unused(input: &Input, stream: usize) -> bool {
    use av::codec::Id;
    let cut = input.format().name() == "mpegts";
    let marks = match coding(input, stream) {
        Some(Id::H264) => true,
        Some(Id::HEVC) => {
            let header = libav::extra_data(input, stream);
            header.is_some_and(|header| one_layer(&header))
        }
        _ => false,
    };
    one_each(input, stream) && !cut && marks
}

/// Whether the header of an HEVC stream says that it has one temporal
/// sub-layer: `numTemporalLayers` of its `HEVCDecoderConfigurationRecord` is 1
/// (ISO/IEC 14496-15, 8.3.3.1; 0 is "unknown").
fn one_layer(header: &[u8]) -> bool {
    let version = header.first() == Some(&1);
    version && header.get(21).is_some_and(|byte| byte >> 3 & 7 == 1)
}

fn coding(input: &Input, stream: usize) -> Option<av::codec::Id> {
    Some(input.stream(stream)?.parameters().id())
}

/// A decoder for a stream; `threads` is 0 for all. With `hardware` it is one of
/// the machine's own, where there is one for this coding and it starts.
pub(crate) fn open(
    path: &Path,
    input: &Input,
    stream: usize,
    threads: usize,
    hardware: Hardware,
) -> Result<decoder::Video, FilmError> {
    let unsupported =
        |error: av::Error| FilmError::new(FilmErrorKind::Unsupported, path, error.to_string());
    let stream = input
        .stream(stream)
        .ok_or_else(|| FilmError::new(FilmErrorKind::NoPicture, path, "no picture stream"))?;
    let mut context =
        av::codec::Context::from_parameters(stream.parameters()).map_err(unsupported)?;
    context.set_threading(threading::Config {
        kind: threading::Type::Frame,
        count: threads,
        ..threading::Config::default()
    });
    let time_base = stream.time_base();
    let mut decoder = context.decoder();
    libav::set_packet_time_base(&mut decoder, time_base);
    libav::set_most_pixels(&mut decoder, MOST_PIXELS);
    if hardware == Hardware::On && !hardware::attach(&mut decoder) {
        log::info!("no hardware decodes this film here");
    }
    decoder.video().map_err(unsupported)
}

/// `EAGAIN`: 35 on Apple's systems and the BSDs, 11 on Linux and Windows.
const AGAIN: c_int = if cfg!(any(target_vendor = "apple", target_os = "freebsd")) {
    35
} else {
    11
};

pub(crate) fn is_again(error: av::Error) -> bool {
    matches!(error, av::Error::Other { errno } if errno == AGAIN)
}

/// `ESTALE`: 70 on Apple's systems and the BSDs, 116 on Linux. Windows has no such error; there
/// 116 is `ENETDOWN`, which says the same of a film on another machine. All three as in the `libc`
/// crate, 0.2.191.
const STALE: c_int = if cfg!(any(target_vendor = "apple", target_os = "freebsd")) {
    70
} else {
    116
};

/// Errors that say that the disk or the connection to it is gone: `ENOENT`, `EIO`, `ENXIO` and
/// `ENODEV`, which have one number everywhere, and `ESTALE`.
pub(crate) fn is_disk_error(errno: c_int) -> bool {
    matches!(errno, 2 | 5 | 6 | 19) || errno == STALE
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The record's 22nd byte: rate (2 bits), layers (3), nested (1), length size (2).
    #[test]
    fn one_temporal_layer_is_told_from_more_and_from_unknown() {
        for (version, byte, expected) in [
            (1, 0b0000_1111, true),
            (1, 0b1100_1000, true),
            (1, 0b0001_0111, false),
            (1, 0b0000_0111, false),
            (0, 0b0000_1111, false),
        ] {
            let mut header = vec![0; 23];
            (header[0], header[21]) = (version, byte);
            assert_eq!(one_layer(&header), expected, "{version} {byte:08b}");
        }
        assert!(!one_layer(&[1; 10]));
    }
}
