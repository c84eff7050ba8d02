//! Opens the file of a film, chooses its picture stream and reads its facts.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use chrono::DateTime;
use ffmpeg_the_third as av;

use av::dictionary::Dictionary;
use av::format::context::Input;
use av::format::stream::Disposition;
use av::media::Type;

use crate::colour::transfer;
use crate::error::{FilmError, FilmErrorKind};
use crate::info::FilmInfo;
use crate::libav;
use crate::orient::Orientation;
use crate::reader::{Picture, Reader};
use crate::shape::Shape;
use crate::time::{Clock, FilmTime};

/// Containers that are looked into. Others that libav knows (texts, play
/// lists, single pictures, addresses of other files) are not films.
const CONTAINERS: &str = "mov,matroska,avi,mpegts,mpeg,mpegvideo,mxf,flv,asf,ogg,dv,h264,hevc,\
                          mp3,wav,aac,flac,aiff,ac3,amr";

/// An opened file with the stream that is shown.
pub(crate) struct Opened {
    pub(crate) input: Input,
    pub(crate) stream: usize,
    pub(crate) clock: Clock,
    /// Ticks of an average frame; at least one.
    pub(crate) frame_ticks: i64,
}

/// Opens the film at `path`.
pub(crate) fn open(path: &Path) -> Result<Opened, FilmError> {
    libav::prepare();
    let head = look(path)?;
    let input = open_container(path, &head)?;
    let stream = picture_stream(&input)
        .ok_or_else(|| FilmError::new(FilmErrorKind::NoPicture, path, "no picture stream"))?;
    let clock = clock_of(&input, stream);
    let frame_ticks = (clock.second() as f64 / average_rate(&input, stream)).round() as i64;
    Ok(Opened {
        input,
        stream,
        clock,
        frame_ticks: frame_ticks.max(1),
    })
}

/// The first bytes of the file, or why they cannot be had.
fn look(path: &Path) -> Result<Vec<u8>, FilmError> {
    let io = |error: std::io::Error| FilmError::from_io(path, &error);
    let facts = std::fs::metadata(path).map_err(io)?;
    if facts.is_dir() {
        return Err(FilmError::new(FilmErrorKind::NotAFilm, path, "a folder"));
    }
    let mut head = Vec::new();
    File::open(path)
        .and_then(|file| file.take(1024).read_to_end(&mut head))
        .map_err(io)?;
    if head.is_empty() {
        return Err(FilmError::new(FilmErrorKind::Empty, path, "no bytes"));
    }
    Ok(head)
}

fn open_container(path: &Path, head: &[u8]) -> Result<Input, FilmError> {
    // With the protocol named, a file called `http:x` stays a file, and no
    // film can make us read from elsewhere.
    let mut address = std::ffi::OsString::from("file:");
    address.push(path);
    let options: Dictionary = [
        ("protocol_whitelist", "file"),
        ("format_whitelist", CONTAINERS),
    ]
    .into_iter()
    .collect();
    av::format::input_with_dictionary(&address, options).map_err(|error| {
        let kind = if begins_like_a_film(head) {
            FilmErrorKind::Damaged
        } else {
            FilmErrorKind::NotAFilm
        };
        FilmError::new(kind, path, error.to_string())
    })
}

/// Whether the first bytes are those of a film's container: tells a film that
/// was cut off from a file that never was one.
fn begins_like_a_film(head: &[u8]) -> bool {
    let box_name = head.get(4..8).unwrap_or_default();
    [&b"ftyp"[..], b"moov", b"mdat", b"wide", b"skip", b"free"].contains(&box_name)
        || head.starts_with(&[0x1A, 0x45, 0xDF, 0xA3])
        || (head.starts_with(b"RIFF") && head.get(8..12) == Some(b"AVI "))
        || (head.first() == Some(&0x47) && head.get(188) == Some(&0x47))
        || (head.get(4) == Some(&0x47) && head.get(196) == Some(&0x47))
}

/// The first picture stream that moves: cover pictures do not count.
fn picture_stream(input: &Input) -> Option<usize> {
    input
        .streams()
        .find(|stream| {
            stream.parameters().medium() == Type::Video
                && !stream.disposition().contains(Disposition::ATTACHED_PIC)
        })
        .map(|stream| stream.index())
}

/// The ticks of a stream, from their own zero.
pub(crate) fn clock_of(input: &Input, stream: usize) -> Clock {
    let base = input.stream(stream).map(|stream| stream.time_base());
    base.map_or(Clock::new(0, 0, 0), |base| {
        Clock::new(base.numerator(), base.denominator(), 0)
    })
}

fn average_rate(input: &Input, stream: usize) -> f64 {
    let usable = |rate: av::Rational| {
        let rate = f64::from(rate);
        (rate.is_finite() && (0.01..=10_000.0).contains(&rate)).then_some(rate)
    };
    input
        .stream(stream)
        .and_then(|stream| usable(stream.avg_frame_rate()).or_else(|| usable(stream.rate())))
        // A film that does not say: 25 frames, so that lengths stay sensible.
        .unwrap_or(25.0)
}

/// How the film's pixels are to be shown.
pub(crate) fn shape(reader: &Reader, first: &Picture) -> Shape {
    let matrix = libav::display_matrix(reader.input(), reader.stream());
    let of_frame = || {
        let kind = av::frame::side_data::Type::DisplayMatrix;
        let data = first.frame.side_data(kind)?;
        Orientation::from_bytes(data.data())
    };
    let orientation = matrix
        .and_then(|bytes| Orientation::from_bytes(&bytes))
        .or_else(of_frame)
        .unwrap_or_default();
    Shape {
        orientation,
        pixel_aspect: pixel_aspect(reader, first),
    }
}

/// The container's word goes before the decoder's, as in libav's own players.
fn pixel_aspect(reader: &Reader, first: &Picture) -> f64 {
    let stream = reader.input().stream(reader.stream());
    let usable = |ratio: av::Rational| {
        let ratio = f64::from(ratio);
        // Beyond one to eight it is a mistake, not a lens.
        (0.125..=8.0).contains(&ratio).then_some(ratio)
    };
    stream
        .and_then(|stream| usable(stream.sample_aspect_ratio()))
        .or_else(|| usable(first.frame.aspect_ratio()))
        .unwrap_or(1.0)
}

/// The facts of an open film.
pub(crate) fn info(reader: &Reader, first: &Picture, shape: &Shape) -> FilmInfo {
    let (input, stream) = (reader.input(), reader.stream());
    let stored = (first.frame.width(), first.frame.height());
    let (width, height) = shape.shown_size(stored);
    let average_rate = average_rate(input, stream);
    let listed = listed_frames(input, stream);
    let interlaced = libav::is_interlaced(&first.frame);
    FilmInfo {
        width,
        height,
        duration: duration(reader),
        average_rate,
        variable_rate: listed.as_ref().map_or_else(
            || rates_disagree(input, stream, average_rate),
            |ticks| steps_vary(ticks),
        ),
        codec: codec(input, stream),
        has_sound: input
            .streams()
            .any(|stream| stream.parameters().medium() == Type::Audio),
        recorded_at: recorded_at(input, stream),
        rotation_degrees: shape.orientation.degrees(),
        mirrored: shape.orientation.mirrored(),
        interlaced,
        high_dynamic_range: transfer(first.frame.color_transfer_characteristic()).is_some(),
        frames: listed.map(|ticks| ticks.len() as u64),
    }
}

fn codec(input: &Input, stream: usize) -> String {
    let id = input.stream(stream).map(|stream| stream.parameters().id());
    id.map_or_else(String::new, |id| id.name().to_owned())
}

pub(crate) fn duration(reader: &Reader) -> FilmTime {
    let (input, clock) = (reader.input(), reader.clock());
    let unknown = av::ffi::AV_NOPTS_VALUE;
    let of_stream = input.stream(reader.stream()).and_then(|stream| {
        let (start, length) = (stream.start_time(), stream.duration());
        (start != unknown && length != unknown && length > 0)
            .then(|| clock.time(start.saturating_add(length)))
    });
    let of_file = || {
        let length = input.duration();
        // In libav's microseconds, from the file's first time stamp.
        let start = libav::start_microseconds(input);
        (length > 0).then(|| {
            let end = FilmTime(start.saturating_add(length).saturating_mul(1000));
            end - FilmTime(clock.length(clock.zero()))
        })
    };
    of_stream
        .filter(|length| *length > FilmTime::ZERO)
        .or_else(of_file)
        .unwrap_or_default()
        .max(FilmTime::ZERO)
}

/// Decoding ticks of every presented frame, where the container lists all of
/// its frames: MP4, MOV and AVI do.
fn listed_frames(input: &Input, stream: usize) -> Option<Vec<i64>> {
    let name = input.format().name().to_owned();
    let complete = name.split(',').any(|part| part == "mov" || part == "avi");
    let frames = complete.then(|| libav::indexed_frames(input, stream))?;
    (!frames.is_empty()).then_some(frames)
}

/// Whether more than one in fifty steps differs from the usual one by more
/// than a tenth: a film with a few holes is not one of variable rate, and the
/// rounding of coarse ticks stays below. Our own bounds.
fn steps_vary(ticks: &[i64]) -> bool {
    let mut steps: Vec<i64> = ticks.windows(2).map(|pair| pair[1] - pair[0]).collect();
    steps.sort_unstable();
    let Some(usual) = steps.get(steps.len() / 2).copied() else {
        return false;
    };
    let odd = steps
        .iter()
        .filter(|step| (**step - usual).abs() * 10 > usual);
    odd.count() * 50 > steps.len()
}

/// Where frames are not listed: whether the container's two rates disagree,
/// the finest common step and the average. Twice is no disagreement: fields
/// and frames.
fn rates_disagree(input: &Input, stream: usize, average: f64) -> bool {
    let Some(stream) = input.stream(stream) else {
        return false;
    };
    let ratio = f64::from(stream.rate()) / average;
    let near = |whole: f64| (ratio / whole - 1.0).abs() < 0.01;
    ratio.is_finite() && ratio > 0.0 && !near(1.0) && !near(2.0)
}

/// The moment of filming. Apple's own entry goes first: it keeps the moment of
/// filming where the general one is the moment of the last export.
fn recorded_at(input: &Input, stream: usize) -> Option<i64> {
    let file = input.metadata();
    let own = input.stream(stream);
    let own = own.as_ref().map(|stream| stream.metadata());
    let texts = [
        file.get("com.apple.quicktime.creationdate"),
        file.get("creation_time"),
        own.as_ref().and_then(|data| data.get("creation_time")),
    ];
    texts.into_iter().flatten().find_map(unix_seconds)
}

/// Seconds since 1970 of an ISO 8601 moment with its zone. Zero and earlier
/// are clocks that were never set.
fn unix_seconds(text: &str) -> Option<i64> {
    DateTime::parse_from_rfc3339(text)
        .or_else(|_| DateTime::parse_from_str(text, "%Y-%m-%dT%H:%M:%S%.f%z"))
        .ok()
        .map(|moment| moment.timestamp())
        .filter(|seconds| *seconds > 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Seconds from `date -u -d ... +%s` of GNU coreutils.
    #[test]
    fn moments_are_read_with_their_zone() {
        for (text, expected) in [
            ("2016-01-20T22:24:47.000000Z", Some(1_453_328_687)),
            ("2017-09-20T11:12:13+0200", Some(1_505_898_733)),
            ("1904-01-01T00:00:00.000000Z", None),
            ("yesterday", None),
        ] {
            assert_eq!(unix_seconds(text), expected, "{text}");
        }
    }

    #[test]
    fn a_few_holes_are_no_variable_rate() {
        let even: Vec<i64> = (0..100).map(|n| n * 20 + n / 3).collect();
        let mut hole = even.clone();
        hole.iter_mut().skip(50).for_each(|tick| *tick += 60);
        let uneven: Vec<i64> = (0..100).map(|n| n * 20 + n % 4 * 7).collect();
        for (ticks, expected) in [
            (even, false),
            (hole, false),
            (uneven, true),
            (vec![], false),
        ] {
            assert_eq!(steps_vary(&ticks), expected, "{ticks:?}");
        }
    }

    #[test]
    fn a_film_cut_off_is_told_from_a_text() {
        for (head, expected) in [
            (&b"\0\0\0\x20ftypisom"[..], true),
            (b"RIFF\0\0\0\0AVI LIST", true),
            (b"RIFF\0\0\0\0WAVEfmt ", false),
            (b"Dear Anna, the ride went well", false),
            (b"", false),
        ] {
            assert_eq!(begins_like_a_film(head), expected, "{head:?}");
        }
    }
}
