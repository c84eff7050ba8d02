//! The thread behind a film: takes the newest want, answers it, and uses the
//! time that is left to decode what will probably be wanted next.

use std::cell::Cell;
use std::num::NonZero;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::thread;
use std::time::{Duration, Instant};

use crate::cache::Next;
use crate::error::{FilmError, FilmErrorKind};
use crate::film::{Outbox, Reply, Shared, Want};
use crate::frame::Frame;
use crate::index::{self, IndexState};
use crate::projector::Projector;
use crate::reader::Reader;
use crate::settings::Settings;
use crate::time::FilmTime;

/// Decoder threads at most: more only add delay to a jump.
const MOST_THREADS: usize = 8;
/// A hand that asked for nothing this long rests: longer than the pause
/// between two steps of a held key. Our own choice.
const REST: Duration = Duration::from_millis(60);
/// Frames made ready around a resting place.
const READY: usize = 8;
/// Film seconds decoded ahead at ordinary speed, at most.
const SECONDS_AHEAD: f64 = 10.0;
/// Frames decoded ahead, at most: well below what the cache counts.
const FRAMES_AHEAD: usize = 3000;
/// Pictures a second beyond which playing fast leaves frames out.
const SCREEN_RATE: f64 = 60.0;
/// A quick frame this near to the wanted one is not worth showing.
const QUICK: FilmTime = FilmTime(150_000_000);

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
        guard(&path, &outbox, || {
            run(&path, settings, index, &shared, &outbox)
        });
    };
    if let Err(error) = name.spawn(body) {
        let kind = FilmErrorKind::WorkerStopped;
        let error = FilmError::new(kind, &kept_path, error.to_string());
        kept_outbox.send(Reply::Failed(error));
    }
}

/// Turns an error and a panic of the thread's body into a reply.
fn guard(path: &Path, outbox: &Outbox, body: impl FnOnce() -> Result<(), FilmError>) {
    if let Err(error) = guarded(path, body) {
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
    let threads = thread::available_parallelism().map_or(1, NonZero::get);
    let (reader, first) = Reader::open(path, threads.min(MOST_THREADS))?;
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
        share: settings.cache_bytes / 4 * 3,
        run: None,
        told_skipped: 0,
    };
    worker.tell_damage();
    while !shared.stopped() {
        match shared.take() {
            Some((number, want)) => {
                worker.serve(number, want)?;
                worker.tell_damage();
            }
            None => shared.wait(),
        }
    }
    Ok(())
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

struct Worker<'a> {
    projector: Projector,
    shared: &'a Shared,
    outbox: &'a Outbox,
    /// Bytes of the cache that playing may fill ahead.
    share: usize,
    run: Option<Run>,
    told_skipped: u64,
}

/// A stretch decoded for playing.
#[derive(Clone, Copy)]
struct Run {
    /// Where the film was when it was last asked for.
    from: FilmTime,
    /// The last frame decoded.
    head: FilmTime,
    /// What follows it.
    next: Next,
    /// The last frame that was painted.
    painted: FilmTime,
    told_end: bool,
}

impl Worker<'_> {
    fn serve(&mut self, number: u64, want: Want) -> Result<(), FilmError> {
        if !matches!(want, Want::Play { .. }) {
            self.run = None;
        }
        match want {
            Want::Exact(time) => self.show(number, want, time),
            Want::Near(time) => self.drag(number, want, time),
            Want::Step { from, frames } => self.step(number, want, from, frames),
            Want::Play { from, speed } => self.play(number, want, from, speed),
        }
    }

    fn shown(&self, want: Want, frame: &Arc<Frame>, exact: bool) {
        let frame = Arc::clone(frame);
        self.outbox.send(Reply::Shown { want, frame, exact });
    }

    fn tell_damage(&mut self) {
        let skipped = self.projector.skipped();
        if skipped > self.told_skipped {
            self.told_skipped = skipped;
            self.outbox.send(Reply::Damaged { skipped });
        }
    }

    fn show(&mut self, number: u64, want: Want, time: FilmTime) -> Result<(), FilmError> {
        let shared = self.shared;
        let go_on = || !shared.outdated(number);
        let Some(frame) = self.projector.exact(time, &go_on)? else {
            return Ok(());
        };
        self.shown(want, &frame, true);
        self.settle(number, frame.time, Ready::Ahead)
    }

    fn drag(&mut self, number: u64, want: Want, time: FilmTime) -> Result<(), FilmError> {
        let shared = self.shared;
        let go_on = || !shared.outdated(number);
        let cached = shared.cache().shown_at(time);
        if let Some(frame) = cached {
            self.shown(want, &frame, true);
            return self.settle(number, frame.time, Ready::Neither);
        }
        if let Some(frame) = self.projector.near(time)?
            && time - frame.time > QUICK
        {
            self.shown(want, &frame, false);
        }
        if go_on()
            && let Some(frame) = self.projector.exact(time, &go_on)?
        {
            self.shown(want, &frame, true);
            return self.settle(number, frame.time, Ready::Neither);
        }
        Ok(())
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
        let Some((time, left)) = self.walk(start.time, frames, &go_on)? else {
            return Ok(());
        };
        let Some(frame) = self.projector.exact(time, &go_on)? else {
            return Ok(());
        };
        self.shown(want, &frame, true);
        if left > 0 {
            self.outbox.send(Reply::AtEnd { last: frame.time });
        } else if left < 0 {
            self.outbox.send(Reply::AtStart);
        }
        let ready = if frames < 0 {
            Ready::Behind
        } else {
            Ready::Ahead
        };
        self.settle(number, frame.time, ready)
    }

    /// Uses the time after an answer: makes neighbours ready, and once the
    /// hand rests, shows the frame sharp. Steps that the cache can answer are
    /// answered meanwhile.
    fn settle(&mut self, number: u64, time: FilmTime, ready: Ready) -> Result<(), FilmError> {
        let (shared, outbox) = (self.shared, self.outbox);
        let served = Cell::new(Served {
            number,
            time,
            at: Instant::now(),
        });
        let current = || {
            step_from_cache(shared, outbox, &served);
            !shared.outdated(served.get().number)
        };
        if !self.projector.enlarges() {
            return self.make_ready(time, ready, &current);
        }
        let moving = || current() && served.get().at.elapsed() < REST;
        let resting = || !shared.outdated(served.get().number);
        loop {
            self.make_ready(served.get().time, ready, &moving)?;
            while current() {
                let left = REST.saturating_sub(served.get().at.elapsed());
                if left.is_zero() {
                    break;
                }
                shared.wait_for(left);
            }
            if !resting() {
                return Ok(());
            }
            let rested = served.get();
            if let Some(frame) = self.projector.sharp(rested.time, &resting)? {
                outbox.send(Reply::Sharp(frame));
            }
            self.make_ready(rested.time, ready, &current)?;
            // A step answered meanwhile rests on another frame.
            if served.get().number == rested.number {
                return Ok(());
            }
        }
    }

    fn make_ready(
        &mut self,
        time: FilmTime,
        ready: Ready,
        idle: &dyn Fn() -> bool,
    ) -> Result<(), FilmError> {
        match ready {
            Ready::Ahead => self.ready_ahead(time, idle),
            Ready::Behind => self.ready_behind(time, idle),
            Ready::Neither => Ok(()),
        }
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
                    Some(Next::End | Next::Unknown) => break,
                    None => return Ok(None),
                }
            } else {
                match self.projector.behind(time, shown, go_on)? {
                    Some(before) => time = before,
                    None if time <= FilmTime::ZERO => break,
                    None => return Ok(None),
                }
            }
            left -= left.signum();
        }
        Ok(Some((time, left)))
    }

    /// Makes the next frames ready while nothing else is wanted.
    fn ready_ahead(&mut self, time: FilmTime, idle: &dyn Fn() -> bool) -> Result<(), FilmError> {
        let Some((mut head, mut next)) = self.shared.cache().run_end(time) else {
            return Ok(());
        };
        for _ in 0..READY {
            let (count, bytes) = self.shared.cache().between(time, head);
            let Next::At(following) = next else { break };
            if bytes > self.share || count > READY || !idle() {
                break;
            }
            let keep = time..=following;
            next = self.projector.ahead(following, true, &keep)?;
            head = following;
        }
        Ok(())
    }

    /// Makes earlier frames ready, so that stepping back does not halt where
    /// a group of frames begins.
    fn ready_behind(&mut self, time: FilmTime, idle: &dyn Fn() -> bool) -> Result<(), FilmError> {
        let mut first = time;
        for _ in 0..READY {
            let known = self.shared.cache().before(first);
            match known {
                Some(before) => first = before,
                None if idle() => {
                    self.projector.behind(first, time, idle)?;
                    break;
                }
                None => break,
            }
        }
        Ok(())
    }

    fn play(
        &mut self,
        number: u64,
        want: Want,
        from: FilmTime,
        speed: f64,
    ) -> Result<(), FilmError> {
        let shared = self.shared;
        let go_on = || !shared.outdated(number);
        // The first picture is owed even where the next Play is here already.
        let still_play = || !shared.outdated_by_other_than_play(number);
        let Some(frame) = self.projector.exact(from, &still_play)? else {
            return Ok(());
        };
        self.shown(want, &frame, true);
        let gap = thinning(speed);
        let mut run = self.run_from(&frame, gap);
        if run.next == Next::Unknown {
            // Found while dragging, alone.
            let next = self.projector.successor(run.head, &still_play)?;
            run.next = next.unwrap_or(Next::Unknown);
        }
        while go_on() && !self.is_full(frame.time, &run, speed) {
            let Next::At(time) = run.next else { break };
            let painted = (time - run.painted).0 >= gap;
            let keep = frame.time..=time;
            run.next = self.projector.ahead(time, painted, &keep)?;
            run.head = time;
            if painted {
                run.painted = time;
            }
        }
        if run.next == Next::End && !run.told_end {
            run.told_end = true;
            self.outbox.send(Reply::AtEnd { last: run.head });
        }
        self.run = Some(run);
        Ok(())
    }

    /// The stretch that is being played, or a new one from this frame.
    fn run_from(&self, frame: &Frame, gap: i64) -> Run {
        let from = frame.time;
        let going = self.run.filter(|run| (run.from..=run.head).contains(&from));
        // With frames left out the cache cannot tell how far it goes.
        if let Some(run) = going.filter(|_| gap > 0) {
            return Run { from, ..run };
        }
        let known = self.shared.cache().run_end(from);
        let (head, next) = known.unwrap_or((from, Next::Unknown));
        Run {
            from,
            head,
            next,
            painted: head,
            told_end: going.is_some_and(|run| run.told_end),
        }
    }

    fn is_full(&self, from: FilmTime, run: &Run, speed: f64) -> bool {
        let (count, bytes) = self.shared.cache().between(from, run.head);
        let seconds = SECONDS_AHEAD * speed.abs().max(1.0);
        (bytes >= self.share && count > 2)
            || count >= FRAMES_AHEAD
            || (run.head - from).as_secs_f64() >= seconds
    }
}

/// What is made ready after an answer.
#[derive(Clone, Copy)]
enum Ready {
    Ahead,
    Behind,
    Neither,
}

/// The answer given last.
#[derive(Clone, Copy)]
struct Served {
    number: u64,
    time: FilmTime,
    at: Instant,
}

/// Answers a waiting single step that the cache can answer, so that making
/// frames ready goes on while a key is held, and does not begin anew at each
/// step.
fn step_from_cache(shared: &Shared, outbox: &Outbox, served: &Cell<Served>) {
    let Some((number, want @ Want::Step { from, frames })) = shared.peek() else {
        return;
    };
    if frames.abs() != 1 {
        return;
    }
    let found = shared.cache().neighbour(from, frames > 0);
    if let Some(frame) = found
        && shared.take_numbered(number)
    {
        served.set(Served {
            number,
            time: frame.time,
            at: Instant::now(),
        });
        let exact = true;
        outbox.send(Reply::Shown { want, frame, exact });
    }
}

/// Nanoseconds of film that one screen picture lasts at this speed, less a
/// little, so that a film of just the screen's rate loses nothing.
fn thinning(speed: f64) -> i64 {
    let speed = speed.abs();
    if speed <= 1.0 || !speed.is_finite() {
        return 0;
    }
    FilmTime::from_secs_f64(0.9 * speed / SCREEN_RATE).0
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
        guard(Path::new("ride.mp4"), &outbox, || panic!("out of oats"));
        let Ok(Reply::Failed(error)) = replies.try_recv() else {
            panic!("no reply");
        };
        assert_eq!(error.kind(), FilmErrorKind::WorkerStopped);
        assert_eq!(error.detail(), "out of oats");
        assert!(error.can_retry());
        assert_eq!(woken.load(Ordering::Relaxed), 1);
    }

    #[test]
    fn frames_are_left_out_only_beyond_the_screens_rate() {
        for (speed, rate, expected) in [
            (1.0, 240, false),
            (2.0, 30, false),
            (4.0, 30, true),
            (-4.0, 30, true),
            (2.0, 60, true),
            (f64::NAN, 60, false),
        ] {
            let step = 1_000_000_000 / rate;
            assert_eq!(step < thinning(speed), expected, "{speed} x at {rate}");
        }
    }
}
