//! The thread behind a film: takes the newest want, answers it, and uses the
//! time that is left to decode what will probably be wanted next.

use std::num::NonZero;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::thread;

use crate::behind::Stretch;
use crate::cache::Next;
use crate::damage::Flaw;
use crate::error::{FilmError, FilmErrorKind};
use crate::film::{Known, Outbox, Posted, Reply, Shared, Want};
use crate::hardware::Hardware;
use crate::index::{self, IndexState};
use crate::kept::Kept;
use crate::play::Run;
use crate::projector::Projector;
use crate::reader::Reader;
use crate::rest::Ready;
use crate::settings::Settings;
use crate::time::FilmTime;

/// Decoder threads at most: more only add delay to a jump.
const MOST_THREADS: usize = 9;
/// Frames that are decoded in about the time that showing another one takes:
/// one decoded that few before the wanted one is not worth showing. Our own
/// choice.
const QUICK: i64 = 2;
/// While dragging, a frame in the cache this near will do at first.
const NEAR: FilmTime = FilmTime(1_000_000_000);

/// Starts the thread of a film; with a folder for its index, another for that
/// once the film is open. Its end, however it comes, is told through `outbox`.
pub(crate) fn start(
    path: PathBuf,
    settings: Settings,
    index: Option<PathBuf>,
    shared: Arc<Shared>,
    outbox: Outbox,
) {
    let name = thread::Builder::new().name("film".to_owned());
    let (kept_path, kept_outbox) = (path.clone(), outbox.clone());
    let body = move || {
        let failed = || shared.fail();
        guard(&path, &outbox, failed, || {
            run(&path, settings, index, &shared, &outbox)
        });
    };
    if let Err(error) = name.spawn(body) {
        let kind = FilmErrorKind::WorkerStopped;
        let error = FilmError::new(kind, &kept_path, error.to_string());
        kept_outbox.send(Reply::Failed(error));
    }
}

/// Turns an error and a panic of the thread's body into a reply, the last one:
/// `failed` sees to that.
fn guard(
    path: &Path,
    outbox: &Outbox,
    failed: impl FnOnce(),
    body: impl FnOnce() -> Result<(), FilmError>,
) {
    if let Err(error) = guarded(path, body) {
        failed();
        log::warn!("{error} ({})", error.detail());
        outbox.send(Reply::Failed(error));
    }
}

/// Turns a panic into an error: a film nobody foresaw must not take the app
/// with it.
pub(crate) fn guarded<T>(
    path: &Path,
    body: impl FnOnce() -> Result<T, FilmError>,
) -> Result<T, FilmError> {
    // Nothing of the body is used after a panic but the cache, whose every
    // change is whole.
    catch_unwind(AssertUnwindSafe(body)).unwrap_or_else(|cause| {
        let detail = cause
            .downcast_ref::<&str>()
            .map(|text| (*text).to_owned())
            .or_else(|| cause.downcast_ref::<String>().cloned());
        let kind = FilmErrorKind::WorkerStopped;
        Err(FilmError::new(kind, path, detail.unwrap_or_default()))
    })
}

fn run(
    path: &Path,
    settings: Settings,
    index: Option<PathBuf>,
    shared: &Arc<Shared>,
    outbox: &Outbox,
) -> Result<(), FilmError> {
    let hardware = if settings.hardware {
        Hardware::On
    } else {
        Hardware::Off
    };
    let (reader, first) = Reader::open_with(path, decoder_threads(), hardware)?;
    let projector = Projector::new(reader, first, settings, Arc::clone(shared));
    if index.is_some() {
        shared.set_index(IndexState::Building(0.0));
    }
    outbox.send(Reply::Opened(projector.info().clone()));
    if let Some(folder) = index {
        start_index(path, folder, shared, outbox);
    }
    let mut worker = Worker {
        projector,
        shared,
        outbox,
        run: None,
        heard_of: 0,
        told_damage: (0, Vec::new()),
    };
    worker.tell_damage();
    while !shared.stopped() {
        if let Some(posted) = shared.take() {
            worker.serve(posted)?;
            worker.tell_damage();
        } else {
            worker.projector.keep_to_limit();
            shared.wait();
        }
    }
    Ok(())
}

/// One more than there are processors, as libav itself chooses: a thread that
/// waits for another's rows leaves its processor to the third.
fn decoder_threads() -> usize {
    let processors = thread::available_parallelism().map_or(1, NonZero::get);
    let more = if processors > 1 { processors + 1 } else { 1 };
    more.min(MOST_THREADS)
}

/// Numbers the film's frames on a thread of its own; a film whose frames
/// cannot be numbered is shown all the same.
fn start_index(path: &Path, folder: PathBuf, shared: &Arc<Shared>, outbox: &Outbox) {
    let kept = shared;
    let (path, shared, outbox) = (path.to_path_buf(), Arc::clone(shared), outbox.clone());
    let body = move || {
        let made = guarded(&path, || index::provide(&path, &folder, &shared, &outbox));
        if let Err(error) = made {
            log::info!("frames are not numbered: {error} ({})", error.detail());
            shared.set_index(IndexState::Absent);
        }
    };
    let name = thread::Builder::new().name("film index".to_owned());
    if let Err(error) = name.spawn(body) {
        log::info!("frames are not numbered: {error}");
        kept.set_index(IndexState::Absent);
    }
}

/// What the thread of an open film works with.
pub(crate) struct Worker<'a> {
    pub(crate) projector: Projector,
    pub(crate) shared: &'a Shared,
    pub(crate) outbox: &'a Outbox,
    /// The stretch that is being played.
    pub(crate) run: Option<Run>,
    /// How far the reader's changes of damage were looked at.
    heard_of: u64,
    /// The damage told last: pieces, and where.
    told_damage: (u64, Vec<Flaw>),
}

impl Worker<'_> {
    fn serve(&mut self, posted: Posted) -> Result<(), FilmError> {
        let Posted {
            number,
            want,
            known,
        } = posted;
        if !matches!(want, Want::Play { .. }) {
            self.run = None;
        }
        match want {
            Want::Step { frames, .. } if let Known::Answered(time) = known => {
                self.settle(number, time, Ready::after_step(frames))
            }
            Want::Exact(time) if let Known::From(from) = known => {
                self.follow(number, want, from, time)
            }
            Want::Exact(time) => self.show(number, want, time),
            Want::Near(time) => self.drag(number, want, time),
            Want::Step { from, frames } => self.step(number, want, from, frames),
            Want::Play { from, speed } => self.play(number, want, from, speed),
        }
    }

    /// Whether so many frames of so many bytes, from the one on screen on, are
    /// as many as are to be held ahead: three quarters of the room there is,
    /// but never so many that one more would push one of them out.
    pub(crate) fn is_full(&self, frames: usize, bytes: usize) -> bool {
        // What full-size frames take of the memory changes all the time.
        let room = self.shared.cache().room();
        let each = bytes / frames.max(1);
        (bytes >= room / 4 * 3 && frames > 2) || bytes.saturating_add(each) > room
    }

    pub(crate) fn shown(&self, want: Want, kept: &Arc<Kept>, exact: bool) -> Result<(), FilmError> {
        let frame = self.shared.hand_out(kept);
        let frame = frame.map_err(|error| self.projector.unsupported(error))?;
        self.outbox.send(Reply::Shown { want, frame, exact });
        Ok(())
    }

    pub(crate) fn tell_damage(&mut self) {
        let changes = self.projector.damage_changes();
        if changes == self.heard_of {
            return;
        }
        self.heard_of = changes;
        let (skipped, flaws) = (self.projector.skipped(), self.projector.flaws());
        let told = &mut self.told_damage;
        if (skipped, &flaws) != (told.0, &told.1) {
            *told = (skipped, flaws.clone());
            self.outbox.send(Reply::Damaged { skipped, flaws });
        }
    }

    fn show(&mut self, number: u64, want: Want, time: FilmTime) -> Result<(), FilmError> {
        let shared = self.shared;
        let go_on = || !shared.outdated(number);
        let Some(kept) = self.projector.exact(time, &go_on)? else {
            return Ok(());
        };
        self.shown(want, &kept, true)?;
        self.settle(number, kept.time, Ready::Ahead)
    }

    /// As [`Worker::show`], from the frame shown at `from`: a little way back
    /// is gone frame by frame, as a held key does.
    fn follow(
        &mut self,
        number: u64,
        want: Want,
        from: FilmTime,
        time: FilmTime,
    ) -> Result<(), FilmError> {
        let time = time.max(FilmTime::ZERO);
        if time >= from || from - time > NEAR {
            return self.show(number, want, time);
        }
        let shared = self.shared;
        let go_on = || !shared.outdated(number);
        let Some(start) = self.projector.exact(from, &go_on)? else {
            return Ok(());
        };
        self.projector.face(start.time, true);
        let mut here = start.time;
        while here > time {
            let stretch = Stretch {
                low: here,
                shown: start.time,
                urgent: true,
            };
            match self.projector.behind(stretch, &go_on)? {
                Some(before) => here = before,
                None => return Ok(()),
            }
        }
        let Some(kept) = self.projector.exact(here, &go_on)? else {
            return Ok(());
        };
        self.shown(want, &kept, true)?;
        self.settle(number, kept.time, Ready::Behind)
    }

    fn drag(&mut self, number: u64, want: Want, time: FilmTime) -> Result<(), FilmError> {
        let shared = self.shared;
        let go_on = || !shared.outdated(number);
        let cached = shared.cache().shown_at(time);
        if let Some(kept) = cached {
            self.shown(want, &kept, true)?;
            return self.settle(number, kept.time, Ready::Neither);
        }
        self.show_near(want, time)?;
        if go_on()
            && let Some(kept) = self.projector.exact(time, &go_on)?
        {
            self.shown(want, &kept, true)?;
            return self.settle(number, kept.time, Ready::Neither);
        }
        Ok(())
    }

    /// Shows a frame of the cache near `time`, or else the one that decoding
    /// begins with.
    fn show_near(&mut self, want: Want, time: FilmTime) -> Result<(), FilmError> {
        let near = |kept: &Arc<Kept>| time - kept.time <= NEAR;
        let cached = self.shared.cache().latest_until(time).filter(near);
        let quick = if cached.is_some() {
            cached
        } else {
            let length = self.projector.info().frame_length();
            let least = FilmTime(length.0.saturating_mul(QUICK));
            let found = self.projector.near(time)?;
            found.filter(|kept| time - kept.time > least)
        };
        quick.map_or(Ok(()), |kept| self.shown(want, &kept, false))
    }

    fn step(
        &mut self,
        number: u64,
        want: Want,
        from: FilmTime,
        frames: i32,
    ) -> Result<(), FilmError> {
        let shared = self.shared;
        // Held keys send steps faster than a long jump decodes: a step lets
        // another step wait, or none would ever be shown.
        let go_on = || !shared.outdated_by_other_than_step(number);
        let Some(start) = self.projector.exact(from, &go_on)? else {
            return Ok(());
        };
        self.projector.face(start.time, frames < 0);
        let Some((time, left)) = self.walk(start.time, frames, &go_on)? else {
            return Ok(());
        };
        let Some(kept) = self.projector.exact(time, &go_on)? else {
            return Ok(());
        };
        self.shown(want, &kept, true)?;
        if left > 0 {
            self.outbox.send(Reply::AtEnd { last: kept.time });
        } else if left < 0 {
            self.outbox.send(Reply::AtStart);
        }
        self.settle(number, kept.time, Ready::after_step(frames))
    }

    /// The frame `frames` away from the one at exactly `time`, and the frames
    /// that were not there any more; `None` when told to stop first.
    fn walk(
        &mut self,
        mut time: FilmTime,
        frames: i32,
        go_on: &dyn Fn() -> bool,
    ) -> Result<Option<(FilmTime, i32)>, FilmError> {
        let shown = time;
        let mut left = frames;
        while left != 0 {
            if left > 0 {
                match self.projector.successor(time, go_on)? {
                    Some(Next::At(next)) => time = next,
                    Some(Next::End) => break,
                    // What is not known to be the end is not told as it.
                    Some(Next::Unknown) | None => return Ok(None),
                }
            } else {
                let stretch = Stretch {
                    low: time,
                    shown,
                    urgent: true,
                };
                match self.projector.behind(stretch, go_on)? {
                    Some(before) => time = before,
                    None if time <= FilmTime::ZERO => break,
                    None => return Ok(None),
                }
            }
            left -= left.signum();
        }
        Ok(Some((time, left)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::sync::mpsc::channel;

    #[test]
    fn a_death_of_the_thread_is_a_reply_and_wakes_the_window() {
        let (sender, replies) = channel();
        let woken = Arc::new(AtomicUsize::new(0));
        let count = Arc::clone(&woken);
        let on_ready = Arc::new(move || {
            count.fetch_add(1, Ordering::Relaxed);
        });
        let outbox = Outbox::new(sender, on_ready);
        guard(
            Path::new("ride.mp4"),
            &outbox,
            || (),
            || panic!("out of oats"),
        );
        let Ok(Reply::Failed(error)) = replies.try_recv() else {
            panic!("no reply");
        };
        assert_eq!(error.kind(), FilmErrorKind::WorkerStopped);
        assert_eq!(error.detail(), "out of oats");
        assert!(error.can_retry());
        assert_eq!(woken.load(Ordering::Relaxed), 1);
    }
}
