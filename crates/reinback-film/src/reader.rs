//! Reads a film from its file, frame after frame; `seek` finds a place in it.

mod seek;

use std::path::{Path, PathBuf};

use ffmpeg_the_third as av;

use av::codec::decoder;
use av::codec::discard::Discard;
use av::format::context::Input;
use av::frame::Video;

use crate::damage::{self, Flaw};
use crate::debts::{Debts, Testimony};
use crate::decoder::{self as decoders, is_again, is_disk_error, marks_unused, one_each};
use crate::error::{FilmError, FilmErrorKind};
use crate::hardware::{self, Fault, Hardware};
use crate::identity::Identity;
use crate::libav;
use crate::open;
use crate::time::{Clock, FilmTime};

/// Failed reads in a row after which the rest of the file is given up.
const PATIENCE: u32 = 64;
/// Frames decoded in full before a wanted one, where those further back may be
/// skimmed: enough for a decoder that is not told how far frames are out of
/// order to learn it again. Our own choice, three times what cameras use.
const FULL: i64 = 10;

/// A decoded frame and its tick.
pub(crate) struct Picture {
    pub(crate) frame: Video,
    pub(crate) tick: i64,
}

/// An open film: demultiplexer and decoder of its picture stream.
///
/// **Invariant**: [`Reader::next`] gives rising ticks between two seeks, and
/// after a seek never a frame whose references were not decoded.
///
/// **Invariant**: from [`Reader::whole_from`] on no frame is missing.
pub(crate) struct Reader {
    path: PathBuf,
    identity: Identity,
    threads: usize,
    /// Whether hardware is to decode, as far as it does.
    hardware: Hardware,
    input: Input,
    decoder: decoder::Video,
    stream: usize,
    clock: Clock,
    /// Ticks of an average frame; at least one.
    frame_ticks: i64,
    packet: av::Packet,
    place: Place,
    /// Whether frames that no other refers to may be left out on the way; no
    /// longer once damage was met, as decoders fill holes from any frame.
    skims: bool,
    /// Whether each packet is one frame and tells its tick.
    one_each: bool,
    /// What the decoder owes, and what is missing.
    debts: Debts,
    /// Packets whose frames could be left out so far.
    skimmed: u64,
}

/// Where reading stands since the last seek.
#[derive(Clone, Copy)]
struct Place {
    /// Whether packets before the first key frame are left out.
    wait_for_key: bool,
    /// Frames before this tick lack references.
    floor: Option<i64>,
    /// Decoding tick of the last packet sent.
    sent: Option<i64>,
    /// Tick of the last frame given out.
    given: Option<i64>,
    /// Frames before this tick that no other refers to may be left out.
    skim_to: Option<i64>,
    /// Greatest presentation tick of the packets sent.
    sent_most: i64,
    /// Frames before this tick may have been left out.
    whole_from: i64,
    /// Whether the end was read a second time, from further back.
    again: bool,
    /// The decoder has been told that no packet follows.
    draining: bool,
    drain_errors: u32,
}

impl Place {
    const START: Self = Self {
        wait_for_key: false,
        floor: None,
        sent: None,
        given: None,
        skim_to: None,
        sent_most: i64::MIN,
        whole_from: i64::MIN,
        again: false,
        draining: false,
        drain_errors: 0,
    };
    const AFTER_SEEK: Self = Self {
        wait_for_key: true,
        ..Self::START
    };
}

/// What the decoder answered.
enum Answer {
    Frame(Video),
    NeedsMore,
    Over,
    /// Hardware failed, or what it was given is damaged: software tells.
    HardwareFailed,
}

impl Reader {
    /// Opens the film at `path` and decodes its first presented frame, which
    /// sets the zero of all times. `threads` is for the decoder, 0 for all.
    pub(crate) fn open(path: &Path, threads: usize) -> Result<(Self, Picture), FilmError> {
        Self::open_with(path, threads, Hardware::Off)
    }

    /// As [`Reader::open`]; with `hardware`, decodes with the machine's own
    /// decoder as long as that works.
    pub(crate) fn open_with(
        path: &Path,
        threads: usize,
        hardware: Hardware,
    ) -> Result<(Self, Picture), FilmError> {
        let identity = Identity::of(path)?;
        let opened = open::open(path)?;
        let mut reader = Self {
            path: path.to_path_buf(),
            identity,
            threads,
            decoder: decoders::open(path, &opened.input, opened.stream, threads, hardware)?,
            hardware,
            clock: opened.clock,
            frame_ticks: opened.frame_ticks,
            skims: marks_unused(&opened.input, opened.stream),
            one_each: one_each(&opened.input, opened.stream),
            debts: Debts::default(),
            stream: opened.stream,
            input: opened.input,
            packet: av::Packet::empty(),
            place: Place::START,
            skimmed: 0,
        };
        let Some(first) = reader.next()? else {
            if reader.hardware.can_give_way() {
                log::info!("hardware gave no frame; the film is opened in software");
                return Self::open(path, threads);
            }
            let detail = "no frame could be decoded";
            return Err(FilmError::new(FilmErrorKind::Damaged, path, detail));
        };
        reader.clock = reader.clock.with_zero(first.tick);
        Ok((reader, first))
    }

    pub(crate) fn input(&self) -> &Input {
        &self.input
    }

    pub(crate) fn stream(&self) -> usize {
        self.stream
    }

    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// The moment of a picture.
    pub(crate) fn time(&self, tick: i64) -> FilmTime {
        self.clock.time(tick)
    }

    /// The last tick at or before a moment.
    pub(crate) fn tick(&self, time: FilmTime) -> i64 {
        self.clock.tick(time)
    }

    pub(crate) fn clock(&self) -> Clock {
        self.clock
    }

    /// Pieces that could not be decoded so far.
    pub(crate) fn skipped(&self) -> u64 {
        self.debts.skipped()
    }

    /// A number that has grown if more, or other, damage is known than before.
    pub(crate) fn damage_changes(&self) -> u64 {
        self.debts.changes()
    }

    /// Where the film is damaged so far. Films whose packets are no frames tell
    /// what is missing by decoding times, which are a few frames early.
    pub(crate) fn flaws(&self) -> Vec<Flaw> {
        let (missing, doubtful) = (self.debts.missing(), self.debts.doubtful());
        damage::flaws(missing, doubtful, self.frame_ticks, self.clock)
    }

    /// The first tick from which on no frame is missing; frames before it may
    /// have lost neighbours to skimming.
    pub(crate) fn whole_from(&self) -> i64 {
        let skimmed = self.place.whole_from > i64::MIN;
        if skimmed && !self.skims {
            return i64::MAX;
        }
        self.place.whole_from
    }

    /// From the next packet on, frames before `tick` may be left out where no
    /// other refers to them, but for the last few: on the way to `tick` they
    /// are not needed.
    pub(crate) fn skim_to(&mut self, tick: i64) {
        if self.skims {
            let limit = tick.saturating_sub(FULL.saturating_mul(self.frame_ticks));
            self.place.skim_to = Some(limit);
        }
    }

    /// Packets read so far whose frames could be left out.
    pub(crate) fn skimmed(&self) -> u64 {
        self.skimmed
    }

    /// From the next packet on nothing is left out.
    pub(crate) fn skim_no_more(&mut self) {
        self.place.skim_to = None;
    }

    /// The next presented frame; `None` at the end of the film.
    pub(crate) fn next(&mut self) -> Result<Option<Picture>, FilmError> {
        loop {
            match self.receive() {
                Answer::Frame(frame) => {
                    if let Some(picture) = self.accept(frame) {
                        return Ok(Some(picture));
                    }
                }
                Answer::NeedsMore => self.feed()?,
                Answer::HardwareFailed => self.go_on_in_software()?,
                Answer::Over if self.lacks_end() => self.read_end_again(),
                Answer::Over => {
                    self.debts.end(self.place.given);
                    return Ok(None);
                }
            }
        }
    }

    /// Decodes once more from the key frame before, without hardware; what was
    /// given already is not given again.
    fn go_on_in_software(&mut self) -> Result<(), FilmError> {
        log::info!("hardware failed; decoding goes on in software");
        self.hardware = Hardware::Off;
        let Place {
            given,
            whole_from,
            again,
            floor,
            ..
        } = self.place;
        let Some(target) = given.or(floor) else {
            return self.reopen();
        };
        self.decoder = decoders::open(
            &self.path,
            &self.input,
            self.stream,
            self.threads,
            self.hardware,
        )?;
        if let Err(error) = libav::seek_back(&mut self.input, self.stream, target) {
            log::debug!("seeking to tick {target} failed: {error}");
        }
        self.restart(Place {
            given,
            whole_from,
            again,
            ..Place::AFTER_SEEK
        });
        Ok(())
    }

    /// Whether the decoder kept the film's last frames to itself: after a seek
    /// to a key frame that does not begin anew (an open group of frames), some
    /// releases of libav do not let go of frames that were not preceded by
    /// others enough.
    fn lacks_end(&self) -> bool {
        let after = self.place.given >= Some(self.place.whole_from);
        let sought = self.place.floor.is_some() && !self.place.again;
        self.one_each && after && sought && self.debts.any()
    }

    /// Reads once more from the group of frames before; what was given already
    /// is not given again.
    fn read_end_again(&mut self) {
        let floor = self.place.floor.unwrap_or_default();
        let (given, whole_from) = (self.place.given, self.place.whole_from);
        let target = floor.saturating_sub(self.frame_ticks);
        if let Err(error) = libav::seek_back(&mut self.input, self.stream, target) {
            log::debug!("seeking to tick {target} failed: {error}");
            self.place.again = true;
            return;
        }
        self.restart(Place {
            given,
            whole_from,
            again: true,
            ..Place::AFTER_SEEK
        });
    }

    fn receive(&mut self) -> Answer {
        let mut frame = Video::empty();
        match self.ask_decoder(&mut frame) {
            Ok(()) if hardware::is_there(&frame) => match hardware::fetch(&frame) {
                Some(frame) => Answer::Frame(frame),
                None => Answer::HardwareFailed,
            },
            Ok(()) => Answer::Frame(frame),
            Err(av::Error::Eof) => Answer::Over,
            Err(error) if is_again(error) => Answer::NeedsMore,
            Err(error) if self.hardware.can_give_way() => {
                log::info!("hardware could not decode a frame: {error}");
                Answer::HardwareFailed
            }
            Err(error) => {
                log::debug!("a frame could not be decoded: {error}");
                self.spoil();
                // While draining an error uses up its frame; the bound is for
                // a decoder that does not keep to that.
                if self.place.draining {
                    self.place.drain_errors += 1;
                }
                if self.place.drain_errors > PATIENCE {
                    return Answer::Over;
                }
                Answer::NeedsMore
            }
        }
    }

    fn ask_decoder(&mut self, frame: &mut Video) -> Result<(), av::Error> {
        if self.hardware.fails(Fault::Receive) {
            return Err(av::Error::External);
        }
        loop {
            self.decoder.receive_frame(frame)?;
            if !self.hardware.fails(Fault::Mute) {
                return Ok(());
            }
        }
    }

    /// Gives a frame its tick; `None` for one that is not to be shown.
    fn accept(&mut self, frame: Video) -> Option<Picture> {
        if libav::is_interlaced(&frame) {
            self.one_each = false;
        }
        let damaged = libav::is_damaged(&frame);
        self.skims &= self.one_each && !damaged;
        let given = self.place.given;
        let tick = frame
            .timestamp()
            .or_else(|| frame.pts())
            .unwrap_or_else(|| given.map_or(self.clock.zero(), |last| last + self.frame_ticks));
        if self.place.floor.is_some_and(|floor| tick < floor) {
            return None;
        }
        // What is read once more is judged once more: later ones lean on it.
        let testimony = Testimony {
            damaged,
            key: frame.is_key(),
            bridges: frame.kind() == av::picture::Type::B,
        };
        if given.is_some_and(|last| tick <= last) {
            self.debts.judge(tick, testimony);
            log::debug!("a frame at tick {tick} comes after a later one and is left out");
            return None;
        }
        if self.one_each {
            self.debts.come(tick, given);
        }
        self.debts.judge(tick, testimony);
        self.place.given = Some(tick);
        Some(Picture { frame, tick })
    }

    /// Hands the decoder the next packet, or the news that there is none.
    fn feed(&mut self) -> Result<(), FilmError> {
        if self.place.draining {
            return Ok(());
        }
        if !self.read_packet()? {
            self.place.draining = true;
            if let Err(error) = self.decoder.send_eof() {
                log::debug!("the decoder did not take the end: {error}");
            }
            return Ok(());
        }
        self.place.sent = self.packet.dts().or(self.packet.pts());
        let discard = self.discard();
        self.note_debt(discard);
        self.decoder.skip_frame(discard);
        let sent = if self.hardware.fails(Fault::Send) {
            Err(av::Error::External)
        } else {
            self.decoder.send_packet(&self.packet)
        };
        match sent {
            Ok(()) => {}
            Err(error) if self.hardware.can_give_way() => {
                log::info!("hardware did not take a packet: {error}");
                self.go_on_in_software()?;
            }
            Err(error) => {
                log::debug!("a packet could not be decoded: {error}");
                self.spoil();
            }
        }
        Ok(())
    }

    fn note_debt(&mut self, discard: Discard) {
        let shown = !libav::is_hidden(&self.packet) && discard == Discard::Default;
        if let Some(tick) = self.packet.pts().filter(|_| self.one_each && shown)
            && self.place.floor.is_none_or(|floor| tick >= floor)
        {
            self.debts.owe(tick);
        }
    }

    /// What the decoder may leave out from this packet on. Once a packet at or
    /// past the limit is on its way nothing is left out any more: decoders may
    /// look at this after they took the next packet.
    fn discard(&mut self) -> Discard {
        let place = &mut self.place;
        place.sent_most = place.sent_most.max(self.packet.pts().unwrap_or(i64::MAX));
        match place.skim_to {
            Some(limit) if place.sent_most < limit => {
                place.whole_from = limit;
                self.skimmed += 1;
                Discard::NonReference
            }
            _ => Discard::Default,
        }
    }

    /// Reads on to the next packet of the picture that is to be decoded;
    /// `false` at the end.
    fn read_packet(&mut self) -> Result<bool, FilmError> {
        let mut failures = 0;
        loop {
            match self.packet.read(&mut self.input) {
                Ok(()) if self.packet.stream() == self.stream && self.is_wanted() => {
                    return Ok(true);
                }
                Ok(()) => {}
                Err(av::Error::Eof) => return Ok(false),
                Err(av::Error::Other { errno }) if is_disk_error(errno) => {
                    let detail = av::Error::Other { errno }.to_string();
                    return Err(FilmError::new(
                        FilmErrorKind::Unreadable,
                        &self.path,
                        detail,
                    ));
                }
                Err(error) => {
                    log::debug!("a packet could not be read: {error}");
                    self.spoil();
                    failures += 1;
                    if failures >= PATIENCE {
                        return Ok(false);
                    }
                }
            }
        }
    }

    fn is_wanted(&mut self) -> bool {
        if self.place.wait_for_key {
            if !self.packet.is_key() {
                return false;
            }
            self.place.wait_for_key = false;
            self.place.floor = self.packet.pts();
        }
        true
    }

    fn spoil(&mut self) {
        self.skims = false;
        self.debts.spoil(self.place.sent);
    }
}
