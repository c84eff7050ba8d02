//! The handle an app holds: asks, and looks for answers, without waiting.

use std::fmt;
use std::ops::RangeInclusive;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use crate::cache::{Cache, Next};
use crate::damage::Flaw;
use crate::error::FilmError;
use crate::frame::Frame;
use crate::index::IndexState;
use crate::info::FilmInfo;
use crate::kept::{Counter, Kept};
use crate::lock::lock;
use crate::settings::Settings;
use crate::time::FilmTime;
use crate::worker;

/// What to show next. A newer want replaces one that is not answered yet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Want {
    /// The frame on screen at this time: paused, stepping, jumping. Before the
    /// first frame it is the first, after the last frame the last.
    Exact(FilmTime),
    /// While dragging: at once a frame near this time (`exact: false`), then
    /// the exact one.
    Near(FilmTime),
    /// Decode ahead from here until the cache's share is full. Answered once
    /// with the frame at `from`, then quietly into the cache; send it again
    /// every so often as the film goes on.
    Play {
        /// Where the film is now.
        from: FilmTime,
        /// Film seconds per second of the day; only its size counts.
        speed: f64,
    },
    /// The frame this many presented frames after (or, below zero, before) the
    /// one shown at `from`. Past either end it is the last or first frame,
    /// with [`Reply::AtEnd`] or [`Reply::AtStart`] after it.
    Step {
        /// A time at which the starting frame is shown.
        from: FilmTime,
        /// Frames to go; zero is the frame at `from`.
        frames: i32,
    },
}

/// An answer.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub enum Reply {
    /// The film is open; comes once, before any frame.
    Opened(FilmInfo),
    /// A frame to show.
    Shown {
        /// What it answers.
        want: Want,
        /// The picture.
        frame: Arc<Frame>,
        /// Whether it is the very frame wanted; a later answer to the same
        /// want replaces one that is not.
        exact: bool,
    },
    /// A step went past the last frame, or playing has decoded it.
    AtEnd {
        /// Time of the last frame.
        last: FilmTime,
    },
    /// A step went before the first frame.
    AtStart,
    /// The frame shown last for a want other than playing, once more, larger:
    /// as filmed, up to [`Settings::full_side`]. Comes when the newest want is
    /// a short while old. Show it if its time is still that of the frame on
    /// screen. It is not in the cache.
    Sharp(Arc<Frame>),
    /// Every frame is known now: [`Film::index`] numbers them.
    Indexed {
        /// How many frames there are.
        frames: u64,
    },
    /// Some of the film could not be decoded, or not surely; the rest still
    /// plays, with holes.
    Damaged {
        /// Pieces skipped so far; never falls.
        skipped: u64,
        /// Where it is damaged, as far as is known.
        flaws: Vec<Flaw>,
    },
    /// The film cannot be shown, or no longer. Nothing follows.
    Failed(FilmError),
}

/// An open film, or one that is being opened.
///
/// Dropping it tells its thread to stop and does not wait for that.
pub struct Film {
    shared: Arc<Shared>,
    outbox: Outbox,
    replies: Mutex<Receiver<Reply>>,
}

/// What the handle and its worker both hold.
pub(crate) struct Shared {
    mailbox: Mutex<Mailbox>,
    bell: Condvar,
    /// Number of the newest want, readable without the lock; follows that in
    /// the mailbox.
    newest: AtomicU64,
    stop: AtomicBool,
    /// Whether the worker has ended by a failure.
    failed: AtomicBool,
    cache: Mutex<Cache>,
    counter: Counter,
    passes: AtomicU64,
    index: Mutex<IndexState>,
}

/// **Invariant**: `number` is that of `want` while one waits, of the last one
/// taken otherwise; both change under the one lock.
#[derive(Default)]
struct Mailbox {
    want: Option<Waiting>,
    number: u64,
    /// Whether the worker is to look at its limit of memory.
    limited: bool,
}

impl Mailbox {
    /// The waiting want, with its own number.
    fn posted(&self) -> Option<Posted> {
        self.want.map(|waiting| Posted {
            number: self.number,
            want: waiting.want,
            known: waiting.known,
        })
    }
}

#[derive(Clone, Copy, Debug)]
struct Waiting {
    want: Want,
    known: Known,
}

/// What the handle knows of a want that it posts.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Known {
    Nothing,
    /// It is answered already, by the frame at this time.
    Answered(FilmTime),
    /// It leads on from the frame shown at this time.
    From(FilmTime),
}

/// A want as the worker finds it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Posted {
    pub(crate) number: u64,
    pub(crate) want: Want,
    pub(crate) known: Known,
}

impl Film {
    /// Starts opening the film at `path` and returns at once.
    ///
    /// The result comes by [`Film::poll`] as [`Reply::Opened`] or
    /// [`Reply::Failed`]. `on_ready` is called from the worker after each
    /// reply of its own: it should wake the window and return. A playing window
    /// looks into the cache on its own.
    #[must_use]
    pub fn open(
        path: impl Into<PathBuf>,
        settings: Settings,
        on_ready: Arc<dyn Fn() + Send + Sync>,
    ) -> Self {
        Self::start(path.into(), settings, None, on_ready)
    }

    /// As [`Film::open`], and numbers the film's frames on a second thread:
    /// from the copy kept in `folder`, or by reading through the film once and
    /// keeping one there. Nothing waits for it; [`Reply::Indexed`] says when it
    /// is done. [`index_folder`](crate::index_folder) names a fit folder, which
    /// any number of windows may share.
    #[must_use]
    pub fn open_indexed(
        path: impl Into<PathBuf>,
        settings: Settings,
        folder: impl Into<PathBuf>,
        on_ready: Arc<dyn Fn() + Send + Sync>,
    ) -> Self {
        Self::start(path.into(), settings, Some(folder.into()), on_ready)
    }

    fn start(
        path: PathBuf,
        settings: Settings,
        index: Option<PathBuf>,
        on_ready: Arc<dyn Fn() + Send + Sync>,
    ) -> Self {
        let shared = Arc::new(Shared::new(settings.cache_bytes));
        let (sender, replies) = channel();
        let outbox = Outbox::new(sender, on_ready);
        worker::start(path, settings, index, Arc::clone(&shared), outbox.clone());
        Self {
            shared,
            outbox,
            replies: Mutex::new(replies),
        }
    }

    /// How far numbering the frames has come.
    #[must_use]
    pub fn index(&self) -> IndexState {
        lock(&self.shared.index).clone()
    }

    /// Asks for a frame; an older want that is not answered yet is dropped.
    ///
    /// A single step to a frame in the cache is answered at once: the reply is
    /// there for [`Film::poll`] on return, which takes about a millisecond, as
    /// [`Film::cached`] does. So the decoder is not held up while a key is held.
    /// An answer to an older want may still come after it.
    pub fn want(&self, want: Want) {
        let known = self.step_in_cache(want).map_or(Known::Nothing, |frame| {
            let time = frame.time;
            let exact = true;
            self.outbox.tell(Reply::Shown { want, frame, exact });
            Known::Answered(time)
        });
        self.shared.post(want, known);
    }

    /// As `want` of the exact frame at `to`, coming there from the frame shown
    /// at `from`: backwards, what lies before is made ready as by steps.
    pub(crate) fn follow(&self, from: FilmTime, to: FilmTime) {
        self.shared.post(Want::Exact(to), Known::From(from));
    }

    fn step_in_cache(&self, want: Want) -> Option<Arc<Frame>> {
        if self.shared.failed.load(Ordering::Acquire) {
            return None;
        }
        let Want::Step {
            from,
            frames: frames @ (1 | -1),
        } = want
        else {
            return None;
        };
        let kept = lock(&self.shared.cache).neighbour(from, frames > 0)?;
        self.paint(&kept)
    }

    /// From now on holds at most this many bytes of pixels, in place of
    /// [`Settings::cache_bytes`](crate::Settings::cache_bytes): for films that
    /// share one limit. Full-size frames around the hand, a quarter of the old
    /// limit at most, follow when the worker wakes.
    pub fn hold_at_most(&self, bytes: usize) {
        self.shared.limit(bytes);
    }

    /// The next answer, if one is there. Take all of them in each window frame.
    pub fn poll(&self) -> Option<Reply> {
        lock(&self.replies).try_recv().ok()
    }

    /// The frame on screen at `time`, if it is in the cache now and known to
    /// be the right one. It is turned into RGBA on the way, which takes about
    /// a millisecond, but not again when the same frame is asked for next.
    pub fn cached(&self, time: FilmTime) -> Option<Arc<Frame>> {
        self.paint(&self.kept_at(time)?)
    }

    /// As [`Film::cached`], as memory keeps it.
    pub(crate) fn kept_at(&self, time: FilmTime) -> Option<Arc<Kept>> {
        lock(&self.shared.cache).shown_at(time)
    }

    /// A frame as it is handed out; `None` where it cannot be painted.
    pub(crate) fn paint(&self, kept: &Arc<Kept>) -> Option<Arc<Frame>> {
        self.shared.hand_out(kept).ok()
    }

    /// The newest cached frame at or before `time`. While playing fast, frames
    /// between it and `time` may have been left out; check its distance.
    pub fn latest_cached(&self, time: FilmTime) -> Option<Arc<Frame>> {
        let kept = lock(&self.shared.cache).latest_until(time)?;
        self.paint(&kept)
    }

    /// Time of the newest cached frame at or before `time`, without its
    /// picture.
    #[must_use]
    pub fn latest_cached_time(&self, time: FilmTime) -> Option<FilmTime> {
        let kept = lock(&self.shared.cache).latest_until(time);
        kept.map(|kept| kept.time)
    }

    /// Bytes of pixels held in memory now, full-size frames included; at most
    /// [`Settings::cache_bytes`](crate::Settings::cache_bytes), or one frame.
    #[must_use]
    pub fn cache_bytes_used(&self) -> usize {
        let cache = lock(&self.shared.cache);
        cache.bytes() + cache.aside()
    }

    /// How often a stretch before the frame on screen was decoded since the
    /// film was opened, for the cache or for full-size frames; for
    /// measurements.
    #[must_use]
    pub fn passes_back(&self) -> u64 {
        self.shared.passes.load(Ordering::Relaxed)
    }
}

impl Drop for Film {
    fn drop(&mut self) {
        self.shared.stop.store(true, Ordering::Release);
        // With the lock, so that a worker about to sleep cannot miss the bell.
        let _mailbox = lock(&self.shared.mailbox);
        self.shared.bell.notify_one();
    }
}

impl fmt::Debug for Film {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Film").finish_non_exhaustive()
    }
}

impl Shared {
    pub(crate) fn new(cache_bytes: usize) -> Self {
        Self {
            mailbox: Mutex::default(),
            bell: Condvar::new(),
            newest: AtomicU64::new(0),
            stop: AtomicBool::new(false),
            failed: AtomicBool::new(false),
            cache: Mutex::new(Cache::new(cache_bytes)),
            counter: Counter::default(),
            passes: AtomicU64::new(0),
            index: Mutex::default(),
        }
    }

    /// Puts a want in the place of one that still waits.
    fn post(&self, want: Want, known: Known) {
        let mut mailbox = lock(&self.mailbox);
        mailbox.want = Some(Waiting { want, known });
        mailbox.number += 1;
        self.newest.store(mailbox.number, Ordering::Release);
        self.bell.notify_one();
    }

    /// The worker has failed: nothing is answered any more.
    pub(crate) fn fail(&self) {
        self.failed.store(true, Ordering::Release);
    }

    /// Whether the handle is gone.
    pub(crate) fn stopped(&self) -> bool {
        self.stop.load(Ordering::Acquire)
    }

    /// Whether the want numbered `number` was replaced, or the handle is gone.
    pub(crate) fn outdated(&self, number: u64) -> bool {
        self.stopped() || self.newest.load(Ordering::Acquire) != number
    }

    /// As [`Shared::outdated`], but a step that waits does not count.
    pub(crate) fn outdated_by_other_than_step(&self, number: u64) -> bool {
        self.outdated(number) && !self.waits(|want| matches!(want, Want::Step { .. }))
    }

    /// As [`Shared::outdated`], but playing on does not count.
    pub(crate) fn outdated_by_other_than_play(&self, number: u64) -> bool {
        self.outdated(number) && !self.waits(|want| matches!(want, Want::Play { .. }))
    }

    fn waits(&self, kind: impl Fn(&Want) -> bool) -> bool {
        let waiting = || lock(&self.mailbox).want;
        !self.stopped() && waiting().is_some_and(|waiting| kind(&waiting.want))
    }

    /// The newest want, if there is one to take.
    pub(crate) fn take(&self) -> Option<Posted> {
        let mut mailbox = lock(&self.mailbox);
        let taken = mailbox.posted();
        mailbox.want = None;
        taken
    }

    /// The waiting want, left where it is.
    pub(crate) fn peek(&self) -> Option<Posted> {
        lock(&self.mailbox).posted()
    }

    /// Takes the waiting want if it is still the one numbered `number`.
    pub(crate) fn take_numbered(&self, number: u64) -> bool {
        let mut mailbox = lock(&self.mailbox);
        mailbox.number == number && mailbox.want.take().is_some()
    }

    /// Sleeps until there is a want, another limit or the handle is gone.
    pub(crate) fn wait(&self) {
        let mut mailbox = lock(&self.mailbox);
        while mailbox.want.is_none() && !mailbox.limited && !self.stopped() {
            mailbox = self
                .bell
                .wait(mailbox)
                .unwrap_or_else(PoisonError::into_inner);
        }
        mailbox.limited = false;
    }

    /// Sets the limit of memory. The cache keeps to it at once; the worker,
    /// with its full-size frames, when it wakes.
    fn limit(&self, bytes: usize) {
        lock(&self.cache).set_limit(bytes);
        lock(&self.mailbox).limited = true;
        self.bell.notify_one();
    }

    /// As [`Shared::wait`], but for no longer than `time`.
    pub(crate) fn wait_for(&self, time: Duration) {
        let mailbox = lock(&self.mailbox);
        let nothing = |mailbox: &mut Mailbox| mailbox.want.is_none() && !self.stopped();
        let waited = self.bell.wait_timeout_while(mailbox, time, nothing);
        drop(waited);
    }

    /// The cache, locked; hold it briefly, the window waits for it.
    pub(crate) fn cache(&self) -> MutexGuard<'_, Cache> {
        lock(&self.cache)
    }

    /// Tells how far numbering has come.
    pub(crate) fn set_index(&self, state: IndexState) {
        *lock(&self.index) = state;
    }

    /// Counts a stretch decoded for going back.
    pub(crate) fn count_pass(&self) {
        self.passes.fetch_add(1, Ordering::Relaxed);
    }

    /// A frame as it is handed out.
    pub(crate) fn hand_out(&self, kept: &Arc<Kept>) -> Result<Arc<Frame>, ffmpeg_the_third::Error> {
        self.counter.hand_out(kept)
    }

    /// Puts a frame into the cache.
    pub(crate) fn hold(&self, frame: Arc<Kept>, next: Next, keep: &RangeInclusive<FilmTime>) {
        self.cache().insert(frame, next, keep);
    }
}

/// The way to answer, of the worker and of the handle itself.
#[derive(Clone)]
pub(crate) struct Outbox {
    sender: Sender<Reply>,
    on_ready: Arc<dyn Fn() + Send + Sync>,
}

impl Outbox {
    pub(crate) fn new(sender: Sender<Reply>, on_ready: Arc<dyn Fn() + Send + Sync>) -> Self {
        Self { sender, on_ready }
    }

    /// Sends a reply and wakes the window.
    pub(crate) fn send(&self, reply: Reply) {
        if self.tell(reply) {
            (self.on_ready)();
        }
    }

    /// Sends a reply to a window that is awake; whether there still is one.
    fn tell(&self, reply: Reply) -> bool {
        // A closed channel means the handle is gone: nobody to tell.
        self.sender.send(reply).is_ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::thread;

    /// Each want carries its place in the order as its time.
    fn number_of(want: Want) -> i64 {
        match want {
            Want::Exact(time) => time.0,
            other => panic!("{other:?} was not posted"),
        }
    }

    /// A want taken with a newer one's number would be answered to its end,
    /// as not outdated.
    #[test]
    fn a_want_keeps_its_own_number_while_newer_ones_come() {
        const WANTS: i64 = 200_000;
        let shared = Arc::new(Shared::new(0));
        let posting = Arc::clone(&shared);
        let window = thread::spawn(move || {
            (1..=WANTS).for_each(|at| posting.post(Want::Exact(FilmTime(at)), Known::Nothing));
        });
        let mut last = 0;
        while last < WANTS {
            for posted in shared.peek().into_iter().chain(shared.take()) {
                last = number_of(posted.want);
                assert_eq!(u64::try_from(last), Ok(posted.number));
            }
        }
        window.join().unwrap();
        assert!(shared.take().is_none() && shared.peek().is_none());
    }

    #[test]
    fn a_want_is_taken_by_its_number_alone() {
        let shared = Shared::new(0);
        shared.post(Want::Exact(FilmTime(1)), Known::Nothing);
        shared.post(Want::Exact(FilmTime(2)), Known::Nothing);
        for (number, taken) in [(1, false), (3, false), (2, true), (2, false)] {
            assert_eq!(shared.take_numbered(number), taken, "{number}");
        }
        assert!(!shared.outdated(2) && shared.outdated(1));
    }
}
