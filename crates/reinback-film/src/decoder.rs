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

/// Whether each packet is one frame and tells its tick, and frames that no
/// other refers to are marked so surely that leaving them out changes no other:
/// H.264 says it of each picture (`nal_ref_idc`, ITU-T H.264, 7.4.1), HEVC only
/// within a temporal layer.
pub(crate) fn one_each(input: &Input, stream: usize) -> bool {
    let name = input.format().name().to_owned();
    let timed = name
        .split(',')
        .any(|part| part == "mov" || part == "matroska");
    let stream = input.stream(stream);
    timed && stream.is_some_and(|stream| stream.parameters().id() == av::codec::Id::H264)
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
