//! Reads and decodes one sound stream of a film.

use std::path::{Path, PathBuf};

use ffmpeg_the_third as av;

use av::codec::decoder;
use av::format::context::Input;
use av::format::stream::Disposition;
use av::frame::Audio;
use av::media::Type;

use crate::error::{FilmError, FilmErrorKind};
use crate::identity::Identity;
use crate::libav;
use crate::open;
use crate::reader::Reader;
use crate::time::{Clock, FilmTime};

/// Decoded before a place that is jumped to, so that the decoder has settled.
/// Opus asks for 80 ms (RFC 7845, 4.6), the most of the codings met in films.
const PREROLL: FilmTime = FilmTime(100_000_000);
/// First distance, in seconds, to go further back where a seek came too late.
const FIRST_RETREAT: i64 = 1;
/// Retreats before the start of the film is taken; each is four times the last.
const RETREATS: u32 = 4;
/// Failed reads in a row after which the rest of the file is given up.
const PATIENCE: u32 = 64;

/// A piece of decoded sound and the moment of its first sample.
pub(crate) struct Heard {
    pub(crate) frame: Audio,
    /// `None` where the film does not say: it goes on from the piece before.
    pub(crate) at: Option<FilmTime>,
}

/// An open film: demultiplexer and decoder of its sound stream.
///
/// Samples that the film hides (encoder priming, edit lists) do not come.
pub(crate) struct Source {
    path: PathBuf,
    identity: Identity,
    input: Input,
    picture: usize,
    stream: usize,
    clock: Clock,
    /// Nanoseconds from the container's zero to the first presented frame.
    zero: i64,
    length: FilmTime,
    decoder: decoder::Audio,
    packet: av::Packet,
    draining: bool,
    drain_errors: u32,
    /// Nothing has been read yet.
    fresh: bool,
    /// The way back to the start is gone: silence until the next seek.
    mute: bool,
}

impl Source {
    /// Opens the sound of the film at `path`; `None` where it has none.
    ///
    /// The first picture is decoded too: it sets the zero of all times.
    pub(crate) fn open(path: &Path) -> Result<Option<Self>, FilmError> {
        let identity = Identity::of(path)?;
        let (zero, length) = {
            let (reader, _first) = Reader::open(path, 1)?;
            let clock = reader.clock();
            (clock.length(clock.zero()), open::duration(&reader))
        };
        let opened = open::open(path)?;
        let mut input = opened.input;
        let Some(stream) = sound_stream(&input, path)? else {
            return Ok(None);
        };
        libav::read_only(&mut input, stream);
        Ok(Some(Self {
            path: path.to_path_buf(),
            identity,
            picture: opened.stream,
            clock: open::clock_of(&input, stream),
            decoder: decoder_of(path, &input, stream)?,
            stream,
            input,
            zero,
            length,
            packet: av::Packet::empty(),
            draining: false,
            drain_errors: 0,
            fresh: true,
            mute: false,
        }))
    }

    /// Length of the picture.
    pub(crate) fn length(&self) -> FilmTime {
        self.length
    }

    /// Samples a second, as the decoder knows it before the first piece; at
    /// least one.
    pub(crate) fn rate(&self) -> u32 {
        self.decoder.rate().max(1)
    }

    /// The next piece; `None` at the end of the sound, or where the file
    /// cannot be read on.
    pub(crate) fn next(&mut self) -> Option<Heard> {
        self.fresh = false;
        if self.mute {
            return None;
        }
        loop {
            let mut frame = Audio::empty();
            match self.decoder.receive_frame(&mut frame) {
                Ok(()) if frame.samples() == 0 || frame.rate() == 0 => {}
                Ok(()) => {
                    let tick = frame.pts().or_else(|| frame.timestamp());
                    let at = tick.map(|tick| FilmTime(self.clock.length(tick)));
                    let at = at.map(|at| at.saturating_sub(FilmTime(self.zero)));
                    return Some(Heard { frame, at });
                }
                Err(av::Error::Eof) => return None,
                // It needs more, or a piece is damaged: the next one tells by
                // its time how much is missing.
                Err(_) if self.draining => {
                    self.drain_errors += 1;
                    if self.drain_errors > PATIENCE {
                        return None;
                    }
                }
                Err(_) => self.feed(),
            }
        }
    }

    fn feed(&mut self) {
        let sent = if self.read_packet() {
            self.decoder.send_packet(&self.packet)
        } else {
            self.draining = true;
            self.decoder.send_eof()
        };
        if let Err(error) = sent {
            log::debug!("a piece of sound could not be decoded: {error}");
        }
    }

    fn read_packet(&mut self) -> bool {
        let mut failures = 0;
        loop {
            match self.packet.read(&mut self.input) {
                Ok(()) if self.packet.stream() == self.stream => return true,
                Ok(()) => {}
                Err(av::Error::Eof) => return false,
                Err(error) => {
                    log::debug!("a packet could not be read for its sound: {error}");
                    failures += 1;
                    if failures >= PATIENCE {
                        return false;
                    }
                }
            }
        }
    }

    /// Goes to a place from which the sound at `to` will be reached by
    /// [`Source::next`], and gives the first piece found there. It may begin
    /// later than `to`: then there is no sound before it. `None` where there
    /// is none after it either, or where another file took the film's place.
    pub(crate) fn seek(&mut self, to: FilmTime) -> Option<Heard> {
        let mut retreat = FilmTime::ZERO;
        for attempt in 0..=RETREATS {
            let target = to - PREROLL - retreat;
            if target <= self.start() {
                return self.rewind();
            }
            if !self.jump(target) {
                return self.rewind();
            }
            if let Some(heard) = self.next()
                && heard.at.is_some_and(|at| at <= to)
            {
                return Some(heard);
            }
            retreat = FilmTime::from_secs_f64((FIRST_RETREAT << (2 * attempt)) as f64);
        }
        self.rewind()
    }

    /// Where the container says the sound begins; the film's start if it does
    /// not say.
    fn start(&self) -> FilmTime {
        let stream = self.input.stream(self.stream);
        let start = stream.map(|stream| stream.start_time());
        start
            .filter(|start| *start != av::ffi::AV_NOPTS_VALUE)
            .map_or(FilmTime::ZERO, |start| {
                FilmTime(self.clock.length(start)).saturating_sub(FilmTime(self.zero))
            })
    }

    fn jump(&mut self, target: FilmTime) -> bool {
        let absolute = target.saturating_add(FilmTime(self.zero));
        // MP4, MOV and AVI list their sound; other containers list at most
        // their pictures, and a seek by sound would read all the way.
        let name = self.input.format().name().to_owned();
        let listed = name.split(',').any(|part| part == "mov" || part == "avi");
        let by = if listed { self.stream } else { self.picture };
        let tick = open::clock_of(&self.input, by).tick(absolute);
        if let Err(error) = libav::seek_back(&mut self.input, by, tick) {
            log::debug!("seeking the sound to {target:?} failed: {error}");
            return false;
        }
        self.restart();
        true
    }

    fn restart(&mut self) {
        self.decoder.flush();
        self.draining = false;
        self.drain_errors = 0;
        self.fresh = false;
        self.mute = false;
    }

    /// The first piece of the film. Opening it again always leads there.
    fn rewind(&mut self) -> Option<Heard> {
        if !self.fresh {
            let opened = self.identity.check(&self.path);
            let opened = opened.and_then(|()| {
                let opened = open::open(&self.path)?;
                let decoder = decoder_of(&self.path, &opened.input, self.stream)?;
                Ok((opened.input, decoder))
            });
            match opened {
                Ok((input, decoder)) => (self.input, self.decoder) = (input, decoder),
                Err(error) => {
                    log::debug!("the sound cannot be opened again: {error}");
                    self.mute = true;
                    return None;
                }
            }
            libav::read_only(&mut self.input, self.stream);
            self.restart();
        }
        self.next()
    }
}

/// The sound stream to hear: the one the film marks as its default, else the
/// first, among those that can be decoded here. `None` without any.
fn sound_stream(input: &Input, path: &Path) -> Result<Option<usize>, FilmError> {
    let mut best: Option<(bool, usize)> = None;
    let mut unknown = false;
    for stream in input.streams() {
        if stream.parameters().medium() != Type::Audio {
            continue;
        }
        if decoder::find(stream.parameters().id()).is_none() {
            unknown = true;
            continue;
        }
        let default = stream.disposition().contains(Disposition::DEFAULT);
        if best.is_none_or(|(before, _)| default && !before) {
            best = Some((default, stream.index()));
        }
    }
    match best {
        None if unknown => Err(FilmError::new(
            FilmErrorKind::Unsupported,
            path,
            "no decoder for the sound",
        )),
        found => Ok(found.map(|(_, stream)| stream)),
    }
}

fn decoder_of(path: &Path, input: &Input, stream: usize) -> Result<decoder::Audio, FilmError> {
    let unsupported =
        |error: av::Error| FilmError::new(FilmErrorKind::Unsupported, path, error.to_string());
    let stream = input
        .stream(stream)
        .ok_or_else(|| FilmError::new(FilmErrorKind::Unsupported, path, "no sound stream"))?;
    let context = av::codec::Context::from_parameters(stream.parameters()).map_err(unsupported)?;
    let mut decoder = context.decoder();
    // Without it the decoder cannot move the time of a piece whose first
    // samples it takes away.
    libav::set_packet_time_base(&mut decoder, stream.time_base());
    decoder.audio().map_err(unsupported)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::process::Command;

    /// A film of two seconds with a tone, or `None` with a printed line.
    fn film(path: &Path) -> Option<()> {
        let made = Command::new("ffmpeg")
            .args(["-v", "error", "-nostdin", "-y", "-f", "lavfi", "-i"])
            .arg("testsrc2=size=64x64:rate=25:duration=2")
            .args(["-f", "lavfi", "-i", "sine=duration=2", "-c:a", "pcm_s16le"])
            .arg(path)
            .status();
        let made = made.is_ok_and(|status| status.success());
        if !made {
            println!("skipped: no ffmpeg program that makes a film");
        }
        made.then_some(())
    }

    fn read_on(source: &mut Source) {
        for _ in 0..5 {
            assert!(source.next().is_some());
        }
    }

    #[test]
    fn another_film_in_its_place_is_not_heard() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("film.mkv");
        let Some(()) = film(&path) else { return };
        let mut source = Source::open(&path).unwrap().unwrap();
        read_on(&mut source);
        assert_eq!(
            source.seek(FilmTime::ZERO).unwrap().at,
            Some(FilmTime::ZERO)
        );
        read_on(&mut source);

        let mut other = std::fs::read(&path).unwrap();
        other.push(0);
        std::fs::remove_file(&path).unwrap();
        std::fs::write(&path, other).unwrap();
        assert!(source.seek(FilmTime::ZERO).is_none());
        assert!(source.next().is_none(), "silence, not the sound read on");
        // The film itself is still open.
        assert!(source.seek(FilmTime::from_secs_f64(1.5)).is_some());
    }
}
