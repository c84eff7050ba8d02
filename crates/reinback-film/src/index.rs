//! Which frames a film has: the time of each, to number them.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use ffmpeg_the_third as av;

use crate::error::FilmError;
use crate::file_cache;
use crate::film::{Outbox, Reply, Shared};
use crate::fingerprint::fingerprint;
use crate::index_file;
use crate::libav;
use crate::open;
use crate::reader::{Picture, Reader};
use crate::time::FilmTime;

/// Films of more frames are not numbered: nine hours of 120 a second.
pub(crate) const MOST_FRAMES: usize = 4_000_000;
/// Packets between two looks at whether anybody still waits.
const PAUSE: usize = 256;

/// The time of every frame that a film presents, in order.
///
/// **Invariant**: times rise strictly, the first is [`FilmTime::ZERO`], and
/// there is at least one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FrameIndex {
    times: Vec<FilmTime>,
}

impl FrameIndex {
    /// From rising times that start at zero; `None` for others, and for more than four million.
    #[must_use]
    pub fn new(times: Vec<FilmTime>) -> Option<Self> {
        let rising = times.windows(2).all(|pair| pair[0] < pair[1]);
        let usable = rising && times.first() == Some(&FilmTime::ZERO) && times.len() <= MOST_FRAMES;
        usable.then_some(Self { times })
    }

    /// How many frames the film has; at least 1. A frame that is stored but
    /// turns out damaged counts: only decoding it would tell.
    #[must_use]
    pub fn frames(&self) -> u64 {
        self.times.len() as u64
    }

    /// The number of the frame on screen at `time`, from 0.
    #[must_use]
    pub fn number(&self, time: FilmTime) -> u64 {
        let after = self.times.partition_point(|shown| *shown <= time);
        after.saturating_sub(1) as u64
    }

    /// The time of a frame by its number from 0; `None` past the last.
    #[must_use]
    pub fn time(&self, number: u64) -> Option<FilmTime> {
        self.times.get(usize::try_from(number).ok()?).copied()
    }

    /// The number, from 0, of the frame on screen at `time` among those that
    /// begin in the same second of film: the last part of a time written as
    /// minutes, seconds and frames, for films of any rate.
    #[must_use]
    pub fn within_second(&self, time: FilmTime) -> u32 {
        const SECOND: i64 = 1_000_000_000;
        let number = self.number(time);
        let shown = self.time(number).unwrap_or_default();
        let start = FilmTime(shown.0.div_euclid(SECOND) * SECOND);
        let before = self.times.partition_point(|other| *other < start);
        u32::try_from(number - before as u64).unwrap_or(u32::MAX)
    }

    /// Every time, rising.
    pub(crate) fn times(&self) -> &[FilmTime] {
        &self.times
    }
}

/// How far numbering the frames of an open film has come.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub enum IndexState {
    /// Not asked for, or not possible for this film.
    #[default]
    Absent,
    /// Under way; the part done, 0 to 1.
    Building(f32),
    /// Every frame is known.
    Ready(Arc<FrameIndex>),
}

/// Finds or makes the index of the film at `path`, with its kept copy in
/// `folder`, and tells it by `shared` and a reply.
pub(crate) fn provide(
    path: &Path,
    folder: &Path,
    shared: &Shared,
    outbox: &Outbox,
) -> Result<(), FilmError> {
    let print = fingerprint(path)?;
    let kept = index_file::path(folder, &print);
    if let Some(index) = index_file::read(&kept) {
        tell(index, shared, outbox);
        return Ok(());
    }
    let progress = |part: f32| {
        shared.set_index(IndexState::Building(part.clamp(0.0, 1.0)));
        !shared.stopped()
    };
    let found = make(path, &progress)?;
    // A film that was replaced meanwhile keeps no index under its old name.
    if let Some(index) = found
        && fingerprint(path)? == print
    {
        if let Err(error) = index_file::write(&kept, &index) {
            log::info!("the frame index is not kept: {error}");
        }
        tell(index, shared, outbox);
    } else {
        shared.set_index(IndexState::Absent);
    }
    Ok(())
}

fn tell(index: FrameIndex, shared: &Shared, outbox: &Outbox) {
    let frames = index.frames();
    shared.set_index(IndexState::Ready(Arc::new(index)));
    outbox.send(Reply::Indexed { frames });
}

/// Makes the index; `progress` answers whether to go on. `None` when told to
/// stop, or where frames cannot be numbered.
pub(crate) fn make(
    path: &Path,
    progress: &dyn Fn(f32) -> bool,
) -> Result<Option<FrameIndex>, FilmError> {
    let (mut reader, first) = Reader::open(path, 1)?;
    let ticks = if needs_decoding(&reader, &first) {
        decoded_ticks(&mut reader, first.tick, progress)?
    } else {
        match packet_ticks(path, first.tick, progress)? {
            Scan::Ticks(ticks) => Some(ticks),
            Scan::Stopped => None,
            Scan::Unclear => decoded_ticks(&mut reader, first.tick, progress)?,
        }
    };
    let times = ticks.map(|ticks| ticks.into_iter().map(|tick| reader.time(tick)).collect());
    Ok(times.and_then(FrameIndex::new))
}

/// Whether packets are not the frames: two fields may come in two packets,
/// and AVI may hold two frames in one.
fn needs_decoding(reader: &Reader, first: &Picture) -> bool {
    libav::is_interlaced(&first.frame) || reader.input().format().name() == "avi"
}

enum Scan {
    Ticks(Vec<i64>),
    Stopped,
    /// Packets without or with equal time stamps.
    Unclear,
}

/// The time stamps of all packets that are to be shown, read without decoding.
fn packet_ticks(path: &Path, zero: i64, progress: &dyn Fn(f32) -> bool) -> Result<Scan, FilmError> {
    let mut opened = open::open(path)?;
    let size = std::fs::metadata(path).map_or(1, |facts| facts.len().max(1));
    let (mut packet, mut ticks, mut count) = (av::Packet::empty(), Vec::new(), 0_usize);
    // Any error ends the list, as the end does: what comes after it is
    // unclear, and decoding then tells.
    loop {
        match packet.read(&mut opened.input) {
            Ok(()) => {}
            Err(av::Error::Eof) => break,
            Err(_) => return Ok(Scan::Unclear),
        }
        count += 1;
        if count.is_multiple_of(PAUSE) {
            let part = packet.position().max(0) as f32 / size as f32;
            if !progress(part) {
                return Ok(Scan::Stopped);
            }
        }
        if packet.stream() != opened.stream || libav::is_hidden(&packet) {
            continue;
        }
        match packet.pts() {
            Some(tick) if tick >= zero && ticks.len() < MOST_FRAMES => ticks.push(tick),
            Some(tick) if tick < zero => {}
            _ => return Ok(Scan::Unclear),
        }
    }
    ticks.sort_unstable();
    let clear = ticks.windows(2).all(|pair| pair[0] < pair[1]);
    Ok(if clear {
        Scan::Ticks(ticks)
    } else {
        Scan::Unclear
    })
}

fn decoded_ticks(
    reader: &mut Reader,
    first: i64,
    progress: &dyn Fn(f32) -> bool,
) -> Result<Option<Vec<i64>>, FilmError> {
    let length = open::duration(reader).as_secs_f64().max(0.001);
    let mut ticks = vec![first];
    while let Some(picture) = reader.next()? {
        if ticks.len() >= MOST_FRAMES {
            return Ok(None);
        }
        ticks.push(picture.tick);
        let part = reader.time(picture.tick).as_secs_f64() / length;
        if ticks.len().is_multiple_of(16) && !progress(part as f32) {
            return Ok(None);
        }
    }
    Ok(Some(ticks))
}

/// The folder for indexes in the user's own cache folder; `None` where the
/// system names none.
#[must_use]
pub fn index_folder() -> Option<PathBuf> {
    file_cache::folder("frames")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn index(times: &[i64]) -> Option<FrameIndex> {
        FrameIndex::new(times.iter().copied().map(FilmTime).collect())
    }

    #[test]
    fn only_rising_times_from_zero_are_an_index() {
        for (times, usable) in [
            (&[0, 5, 9][..], true),
            (&[0], true),
            (&[], false),
            (&[1, 2], false),
            (&[0, 5, 5], false),
            (&[0, 9, 5], false),
        ] {
            assert_eq!(index(times).is_some(), usable, "{times:?}");
        }
    }

    #[test]
    fn frames_are_numbered_in_the_film_and_in_their_second() {
        let half = 500_000_000;
        let index = index(&[0, half, 2 * half, 2 * half + 7, 5 * half]).unwrap();
        for (time, number, within) in [
            (-1, 0, 0),
            (0, 0, 0),
            (half - 1, 0, 0),
            (half, 1, 1),
            (2 * half, 2, 0),
            (2 * half + 7, 3, 1),
            // On screen since the second before.
            (4 * half + 1, 3, 1),
            (i64::MAX, 4, 0),
        ] {
            let time = FilmTime(time);
            let found = (index.number(time), index.within_second(time));
            assert_eq!(found, (number, within), "{time:?}");
        }
        assert_eq!(index.time(4), Some(FilmTime(5 * half)));
        assert_eq!(index.time(5), None);
    }
}
