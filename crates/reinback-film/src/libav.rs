//! The few things of libav that the binding has no safe way for.

use std::ffi::c_int;
use std::sync::Once;

use ffmpeg_the_third as av;
use ffmpeg_the_third::ffi;

use av::format::context::Input;

/// Sets up the library once in this process: its messages go to `log`.
pub(crate) fn prepare() {
    static ONCE: Once = Once::new();
    ONCE.call_once(messages::redirect);
}

/// Seeks so that reading goes on at or before `tick` of `stream`.
pub(crate) fn seek_back(input: &mut Input, stream: usize, tick: i64) -> Result<(), av::Error> {
    let stream = c_int::try_from(stream).unwrap_or(c_int::MAX);
    seek(input, stream, tick, ffi::AVSEEK_FLAG_BACKWARD)
}

/// Seeks to the first byte, for containers without an index.
pub(crate) fn seek_first_byte(input: &mut Input) -> Result<(), av::Error> {
    seek(input, -1, 0, ffi::AVSEEK_FLAG_BYTE)
}

fn seek(input: &mut Input, stream: c_int, tick: i64, flags: c_int) -> Result<(), av::Error> {
    #[expect(
        unsafe_code,
        reason = "Input::seek cannot name a stream, and its default stream may be another"
    )]
    // SAFETY: the pointer is a live context that `input` owns and lends us
    // exclusively; libav checks the stream number itself.
    let code = unsafe { ffi::av_seek_frame(input.as_mut_ptr(), stream, tick, flags) };
    if code < 0 {
        Err(av::Error::from(code))
    } else {
        Ok(())
    }
}

/// Lets reading skip the packets of all streams but one; containers with an
/// index then do not even read them from the disk.
pub(crate) fn read_only(input: &mut Input, stream: usize) {
    let count = input.nb_streams() as usize;
    #[expect(unsafe_code, reason = "the binding can only read this setting")]
    // SAFETY: the context is live and lent to us exclusively; its array has
    // `count` streams that live as long as it; one setting of each is changed.
    unsafe {
        let streams = (*input.as_mut_ptr()).streams;
        for number in (0..count).filter(|number| *number != stream) {
            (**streams.add(number)).discard = ffi::AVDiscard::ALL;
        }
    }
}

/// Keeps a chain of filters on the thread that feeds it; it must not have been
/// made ready yet.
pub(crate) fn on_this_thread(graph: &mut av::filter::Graph) {
    #[expect(unsafe_code, reason = "the binding has no call for it")]
    // SAFETY: the graph is live and ours; one number is set.
    unsafe {
        (*graph.as_mut_ptr()).nb_threads = 1;
    }
}

/// The decoding time of the key frame that a seek to `tick` would land on,
/// where the container has an index.
pub(crate) fn indexed_key(input: &Input, stream: usize, tick: i64) -> Option<i64> {
    let stream = input.stream(stream)?;
    #[expect(unsafe_code, reason = "the binding does not show a stream's index")]
    // SAFETY: the stream lives as long as `input`; the call only reads its
    // index, and the entry is copied out before anything can change it.
    unsafe {
        let entry = ffi::avformat_index_get_entry_from_timestamp(
            stream.as_ptr().cast_mut(),
            tick,
            ffi::AVSEEK_FLAG_BACKWARD,
        );
        entry.as_ref().map(|entry| entry.timestamp)
    }
}

/// Decoding ticks of a stream's presented frames, as far as the container's
/// index lists them; those an edit list hides are left out.
pub(crate) fn indexed_frames(input: &Input, stream: usize) -> Vec<i64> {
    let Some(stream) = input.stream(stream) else {
        return Vec::new();
    };
    #[expect(unsafe_code, reason = "the binding does not show a stream's index")]
    // SAFETY: the stream lives as long as `input`; the calls only read its
    // index, and each entry is looked at before anything can change it.
    let entry = |number: c_int| unsafe {
        let entry = ffi::avformat_index_get_entry(stream.as_ptr().cast_mut(), number);
        entry.as_ref().map(|entry| (entry.timestamp, entry.flags()))
    };
    (0..)
        .map_while(entry)
        .filter(|(_, flags)| flags & ffi::AVINDEX_DISCARD_FRAME == 0)
        .map(|(tick, _)| tick)
        .collect()
}

/// The decoder's header that the container keeps for a stream, if it has one.
pub(crate) fn extra_data(input: &Input, stream: usize) -> Option<Vec<u8>> {
    let stream = input.stream(stream)?;
    #[expect(unsafe_code, reason = "the binding does not show a stream's header")]
    // SAFETY: the parameters live as long as `input`; the bytes and their count
    // come from the same structure, and they are copied at once.
    unsafe {
        let parameters = &*(*stream.as_ptr()).codecpar;
        let size = usize::try_from(parameters.extradata_size).ok()?;
        let data = parameters.extradata;
        (!data.is_null()).then(|| std::slice::from_raw_parts(data, size).to_vec())
    }
}

/// The display matrix stored with a stream.
pub(crate) fn display_matrix(input: &Input, stream: usize) -> Option<Vec<u8>> {
    let stream = input.stream(stream)?;
    #[cfg(not(libav_8))]
    #[expect(
        unsafe_code,
        reason = "the binding's side data iterator stops the program at kinds it does not know"
    )]
    // SAFETY: the stream lives as long as `input`; libav sets `size` to the
    // length of what it returns, and the bytes are copied at once.
    unsafe {
        let mut size = 0;
        let kind = ffi::AVPacketSideDataType::DISPLAYMATRIX;
        let data = ffi::av_stream_get_side_data(stream.as_ptr(), kind, &raw mut size);
        (!data.is_null()).then(|| std::slice::from_raw_parts(data, size).to_vec())
    }
    #[cfg(libav_8)]
    #[expect(unsafe_code, reason = "the binding does not show coded side data")]
    // SAFETY: the parameters live as long as `input`; the array and its length
    // come from the same structure, and the bytes are copied at once.
    unsafe {
        let parameters = (*stream.as_ptr()).codecpar;
        let found = ffi::av_packet_side_data_get(
            (*parameters).coded_side_data,
            (*parameters).nb_coded_side_data,
            ffi::AVPacketSideDataType::DISPLAYMATRIX,
        );
        found
            .as_ref()
            .map(|entry| std::slice::from_raw_parts(entry.data, entry.size as usize).to_vec())
    }
}

/// The file's first time stamp in microseconds; zero where it has none.
pub(crate) fn start_microseconds(input: &Input) -> i64 {
    #[expect(unsafe_code, reason = "the binding does not show the file's start")]
    // SAFETY: the pointer is a live context that `input` owns; one number is
    // read from it.
    let start = unsafe { (*input.as_ptr()).start_time };
    if start == ffi::AV_NOPTS_VALUE {
        0
    } else {
        start
    }
}

/// Makes a decoder refuse pictures of more than `pixels`: a broken header must
/// not take all memory.
pub(crate) fn set_most_pixels(decoder: &mut av::codec::decoder::Decoder, pixels: i64) {
    #[expect(unsafe_code, reason = "the binding has no call for it")]
    // SAFETY: the decoder is live, ours and not open yet; one number is set.
    unsafe {
        (*decoder.as_mut_ptr()).max_pixels = pixels;
    }
}

/// Tells a decoder the length of a packet's tick; some decoders guess missing
/// time stamps with it.
pub(crate) fn set_packet_time_base(decoder: &mut av::codec::decoder::Decoder, base: av::Rational) {
    #[expect(unsafe_code, reason = "the binding has no call for it")]
    // SAFETY: the decoder is live, ours and not open yet; one number is set.
    unsafe {
        (*decoder.as_mut_ptr()).pkt_timebase = base.into();
    }
}

/// Whether a frame is made of two fields.
pub(crate) fn is_interlaced(frame: &av::frame::Video) -> bool {
    #[cfg(not(libav_8))]
    {
        frame.is_interlaced()
    }
    #[cfg(libav_8)]
    {
        has_flag(frame, ffi::AV_FRAME_FLAG_INTERLACED)
    }
}

/// Whether the upper field of a frame is the earlier one.
pub(crate) fn is_top_first(frame: &av::frame::Video) -> bool {
    #[cfg(not(libav_8))]
    {
        frame.is_top_first()
    }
    #[cfg(libav_8)]
    {
        has_flag(frame, ffi::AV_FRAME_FLAG_TOP_FIELD_FIRST)
    }
}

#[cfg(libav_8)]
fn has_flag(frame: &av::frame::Video, flag: c_int) -> bool {
    #[expect(unsafe_code, reason = "the binding keeps only one of the flags")]
    // SAFETY: a frame of the binding always points to a live AVFrame.
    unsafe {
        (*frame.as_ptr()).flags & flag != 0
    }
}

/// One field of a frame as a picture of half the height that shares its
/// pixels: every second row, from the first (`bottom: false`) or second.
pub(crate) fn field(frame: &av::frame::Video, bottom: bool) -> Option<av::frame::Video> {
    let planes = frame.planes();
    let mut half = av::frame::Video::empty();
    #[expect(
        unsafe_code,
        reason = "the binding cannot share or re-stride a picture"
    )]
    // SAFETY: both pointers are live frames; `half` gets its own reference to
    // the buffers, so the pixels outlive it. With twice the stride and half
    // the height (a multiple of four rows is asked for the bottom field, so
    // that colour planes of half height split evenly too) every row read lies
    // within the rows of the original.
    unsafe {
        if ffi::av_frame_ref(half.as_mut_ptr(), frame.as_ptr()) < 0 {
            return None;
        }
        let raw = &mut *half.as_mut_ptr();
        for plane in 0..planes.min(4) {
            if bottom && raw.height % 4 == 0 {
                raw.data[plane] = raw.data[plane].offset(raw.linesize[plane] as isize);
            }
            raw.linesize[plane] *= 2;
        }
        raw.height /= 2;
    }
    Some(half)
}

/// Whether an edit list keeps a packet's frame from being shown.
pub(crate) fn is_hidden(packet: &av::Packet) -> bool {
    use av::packet::Ref;
    #[expect(unsafe_code, reason = "the binding does not know this flag")]
    // SAFETY: the packet is live; one number is read from it.
    let flags = unsafe { (*packet.as_ptr()).flags };
    flags & ffi::AV_PKT_FLAG_DISCARD != 0
}

/// MD5 of a picture's planes, in rows without padding.
pub(crate) fn native_md5(frame: &av::frame::Video) -> [u8; 16] {
    let mut sum = [0; 16];
    #[expect(unsafe_code, reason = "the binding has neither packing nor MD5")]
    // SAFETY: the frame is live; the buffer has the size libav asks for and is
    // written by its own copy, which checks that size; the sum takes 16 bytes.
    unsafe {
        let raw = &*frame.as_ptr();
        let format = ffi::AVPixelFormat::from(frame.format());
        let size = ffi::av_image_get_buffer_size(format, raw.width, raw.height, 1);
        let mut packed = vec![0_u8; usize::try_from(size).unwrap_or(0)];
        let written = ffi::av_image_copy_to_buffer(
            packed.as_mut_ptr(),
            size,
            raw.data.as_ptr().cast(),
            raw.linesize.as_ptr(),
            format,
            raw.width,
            raw.height,
            1,
        );
        packed.truncate(usize::try_from(written).unwrap_or(0));
        ffi::av_md5_sum(sum.as_mut_ptr(), packed.as_ptr(), packed.len() as _);
    }
    sum
}

/// The release of libav in use.
pub(crate) fn release() -> String {
    #[expect(unsafe_code, reason = "the binding does not show the release")]
    // SAFETY: libav returns a terminated text that lives for ever.
    let text = unsafe { std::ffi::CStr::from_ptr(ffi::av_version_info()) };
    text.to_string_lossy().into_owned()
}

/// Whether the decoder met damage in a frame, and what it shows is partly
/// made up from others.
pub(crate) fn is_damaged(frame: &av::frame::Video) -> bool {
    #[expect(unsafe_code, reason = "the binding does not show a frame's errors")]
    // SAFETY: the frame is live; one number is read from it.
    let errors = unsafe { (*frame.as_ptr()).decode_error_flags };
    errors != 0 || frame.is_corrupt()
}

/// Bytes of memory that a picture keeps from being used otherwise: its
/// buffers whole, with their padding.
pub(crate) fn held_bytes(frame: &av::frame::Video) -> usize {
    #[expect(unsafe_code, reason = "the binding does not show a frame's buffers")]
    // SAFETY: the frame is live; each buffer reference it lists is live with
    // it, and one number of each is read.
    unsafe {
        let buffers = (*frame.as_ptr()).buf;
        let sizes = buffers.iter().filter_map(|buffer| buffer.as_ref());
        sizes.map(|buffer| buffer.size).sum()
    }
}

/// The same picture once more, sharing its pixels.
pub(crate) fn share(frame: &av::frame::Video) -> Option<av::frame::Video> {
    let mut other = av::frame::Video::empty();
    #[expect(unsafe_code, reason = "the binding copies pixels when it clones")]
    // SAFETY: both pointers are live frames; the new one gets its own
    // reference to the buffers, so the pixels outlive it.
    let code = unsafe { ffi::av_frame_ref(other.as_mut_ptr(), frame.as_ptr()) };
    (code >= 0).then_some(other)
}

/// libav's own messages.
mod messages {
    use super::ffi;
    use std::ffi::{CStr, c_char, c_int, c_void};

    /// Sends warnings and errors to `log` at debug level: a damaged packet is
    /// told to the rider by us, in words.
    pub(super) fn redirect() {
        #[expect(unsafe_code, reason = "the binding can only set the level")]
        // SAFETY: `take` is a function and lives for ever; libav may call it
        // from any thread, and it touches nothing but its arguments.
        unsafe {
            ffi::av_log_set_callback(Some(take));
        }
    }

    /// The last argument is the C list of values for `format`. Its type
    /// differs between machines, so it is left alone: the text is logged with
    /// its place holders.
    #[expect(unsafe_code, reason = "libav calls this with C pointers")]
    unsafe extern "C" fn take<V>(
        _source: *mut c_void,
        level: c_int,
        format: *const c_char,
        _values: V,
    ) {
        if level > ffi::AV_LOG_WARNING || format.is_null() || !log::log_enabled!(log::Level::Debug)
        {
            return;
        }
        // SAFETY: libav passes a terminated string that lives for this call.
        let text = unsafe { CStr::from_ptr(format) };
        log::debug!("libav: {}", text.to_string_lossy().trim_end());
    }
}
