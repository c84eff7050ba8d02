//! Two films in step, as one film to the stage: the first is what it plays, and what belongs beside
//! each of its frames is looked up here.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::sync::Arc;

use reinback_film::{
    Alignment, Film, FilmError, FilmInfo, FilmTime, Flaw, FlawKind, Frame, FrameIndex, InStep,
    IndexState, PairReply, Reply, Side, Want,
};

use crate::services::FilmHandle;

/// The film beside the one that is played.
pub trait Second {
    /// The frame that belongs beside the first film's frame of this time, once both are there.
    fn frame(&self, first: FilmTime) -> Option<Arc<Frame>>;
    /// What is known of it, once it is open.
    fn info(&self) -> Option<FilmInfo>;
    /// Why it cannot be shown, or no longer; then neither film is.
    fn error(&self) -> Option<FilmError>;
    /// Whether its picture at a time is not surely what was filmed.
    fn is_doubtful(&self, at: FilmTime) -> bool;
    /// From the next wish on, other moments belong together.
    fn align(&self, alignment: Alignment);
}

/// Pairs remembered: an answer may be looked at only after the next has come.
const REMEMBERED: usize = 8;

/// Two open films in step.
pub struct Pair(RefCell<Inner>);

struct Inner {
    films: InStep,
    /// Times of the first film's frames, and what is beside them; the newest last.
    pairs: VecDeque<(FilmTime, Arc<Frame>)>,
    info: Option<FilmInfo>,
    error: Option<FilmError>,
    flaws: Vec<Flaw>,
}

impl Pair {
    /// Puts two films in step, on this many bytes of pixels together.
    #[must_use]
    pub fn new(films: [Film; 2], alignment: Alignment, cache_bytes: usize) -> Self {
        Self(RefCell::new(Inner {
            films: InStep::new(films, alignment, cache_bytes),
            pairs: VecDeque::new(),
            info: None,
            error: None,
            flaws: Vec::new(),
        }))
    }
}

impl Inner {
    /// Hands the first frame out and remembers the second.
    fn hand_out(&mut self, [first, second]: [Arc<Frame>; 2]) -> Arc<Frame> {
        self.pairs.retain(|(time, _)| *time != first.time);
        self.pairs.push_back((first.time, second));
        if self.pairs.len() > REMEMBERED {
            self.pairs.pop_front();
        }
        first
    }

    /// What the stage is told of an answer; nothing where only the second is concerned.
    fn told(&mut self, reply: PairReply) -> Option<Reply> {
        match reply {
            PairReply::Opened(Side::First, info) => Some(Reply::Opened(info)),
            PairReply::Opened(Side::Second, info) => {
                self.info = Some(info);
                None
            }
            PairReply::Shown {
                want,
                frames,
                exact,
            } => {
                let frame = self.hand_out(frames);
                Some(Reply::Shown { want, frame, exact })
            }
            PairReply::Sharp(Side::First, frame) => Some(Reply::Sharp(frame)),
            PairReply::Sharp(Side::Second, frame) => {
                let own = self.pairs.iter_mut().rev();
                for (_, second) in own.filter(|(_, old)| old.time == frame.time).take(1) {
                    *second = Arc::clone(&frame);
                }
                None
            }
            PairReply::AtEnd {
                side: Side::First,
                last,
            } => Some(Reply::AtEnd { last }),
            PairReply::AtStart => Some(Reply::AtStart),
            PairReply::Damaged {
                side,
                skipped,
                flaws,
            } => {
                if side == Side::First {
                    return Some(Reply::Damaged { skipped, flaws });
                }
                self.flaws = flaws;
                None
            }
            PairReply::Indexed {
                side: Side::First,
                frames,
            } => Some(Reply::Indexed { frames }),
            PairReply::Failed(Side::First, error) => Some(Reply::Failed(error)),
            PairReply::Failed(Side::Second, error) => {
                self.error = Some(error);
                None
            }
            _ => None,
        }
    }
}

impl FilmHandle for Pair {
    fn want(&self, want: Want) {
        self.0.borrow_mut().films.want(want);
    }

    fn poll(&self) -> Option<Reply> {
        let mut inner = self.0.borrow_mut();
        while let Some(reply) = inner.films.poll() {
            if let Some(told) = inner.told(reply) {
                return Some(told);
            }
        }
        None
    }

    fn frame_of_second(&self, time: FilmTime) -> Option<u32> {
        let index = FilmHandle::index(self)?;
        Some(index.within_second(time))
    }

    fn index(&self) -> Option<Arc<FrameIndex>> {
        match self.0.borrow().films.index(Side::First) {
            IndexState::Ready(index) => Some(index),
            _ => None,
        }
    }

    fn latest_cached(&self, time: FilmTime) -> Option<Arc<Frame>> {
        let mut inner = self.0.borrow_mut();
        let frames = inner.films.latest_cached(time)?;
        Some(inner.hand_out(frames))
    }

    fn cached(&self, time: FilmTime) -> Option<Arc<Frame>> {
        let mut inner = self.0.borrow_mut();
        let frames = inner.films.cached(time)?;
        Some(inner.hand_out(frames))
    }

    fn second(&self) -> Option<&dyn Second> {
        Some(self)
    }
}

impl Second for Pair {
    fn frame(&self, first: FilmTime) -> Option<Arc<Frame>> {
        let inner = self.0.borrow();
        let pair = inner.pairs.iter().find(|(time, _)| *time == first);
        pair.map(|(_, second)| Arc::clone(second))
    }

    fn info(&self) -> Option<FilmInfo> {
        self.0.borrow().info.clone()
    }

    fn error(&self) -> Option<FilmError> {
        self.0.borrow().error.clone()
    }

    fn is_doubtful(&self, at: FilmTime) -> bool {
        let inner = self.0.borrow();
        let here = |flaw: &&Flaw| flaw.from <= at && at < flaw.to;
        let mut flaws = inner.flaws.iter().filter(here);
        flaws.any(|flaw| flaw.kind == FlawKind::Doubtful)
    }

    fn align(&self, alignment: Alignment) {
        self.0.borrow_mut().films.align(alignment);
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;
    use std::time::{Duration, Instant};

    use super::*;
    use reinback_film::Settings;

    /// The film of the demo, 1280 pixels wide, beside itself; small until it is rested on.
    #[test]
    fn the_second_comes_with_the_first_and_sharp_after_it() {
        let film = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../../demo-sessions/films/evening-ride.mp4");
        let settings = Settings {
            max_side: 320,
            full_side: 1280,
            cache_bytes: 64 << 20,
            hardware: false,
        };
        let films = [(); 2].map(|()| Film::open(&film, settings, Arc::new(|| {})));
        let alignment = Alignment {
            first: FilmTime(2_000_000_000),
            second: FilmTime(9_000_000_000),
            rate: 1.0,
        };
        let pair = Pair::new(films, alignment, settings.cache_bytes);
        let wanted = Want::Exact(FilmTime(3_000_000_000));
        pair.want(wanted);
        let (mut shown, mut sharp) = (None, false);
        let started = Instant::now();
        let both_sharp = |shown: Option<FilmTime>, sharp: bool| {
            let second = shown.and_then(|first| pair.frame(first));
            sharp && second.is_some_and(|frame| frame.width == 1280)
        };
        while !both_sharp(shown, sharp) {
            assert!(
                started.elapsed() < Duration::from_mins(2),
                "{shown:?} {sharp}"
            );
            match pair.poll() {
                Some(Reply::Shown { want, frame, .. }) => {
                    assert_eq!((want, frame.width), (wanted, 320));
                    let second = Second::frame(&pair, frame.time).unwrap();
                    let apart = second.time.0 - frame.time.0;
                    assert!((apart - 7_000_000_000).abs() < 34_000_000, "{apart}");
                    shown = Some(frame.time);
                }
                Some(Reply::Sharp(frame)) => {
                    assert_eq!((Some(frame.time), frame.width), (shown, 1280));
                    sharp = true;
                }
                Some(Reply::Failed(error)) => panic!("{error}"),
                Some(_) => {}
                None => std::thread::sleep(Duration::from_millis(2)),
            }
        }
        assert_eq!(Second::info(&pair).unwrap().width, 1280);
    }

    #[test]
    fn a_second_that_is_not_there_is_told_apart_from_the_first() {
        let film = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../../demo-sessions/films/evening-ride.mp4");
        let gone = film.with_extension("gone");
        let settings = Settings::default();
        let films = [film, gone].map(|path| Film::open(path, settings, Arc::new(|| {})));
        let alignment = Alignment {
            first: FilmTime(0),
            second: FilmTime(0),
            rate: 1.0,
        };
        let pair = Pair::new(films, alignment, settings.cache_bytes);
        pair.want(Want::Exact(FilmTime(0)));
        let started = Instant::now();
        while pair.error().is_none() {
            assert!(started.elapsed() < Duration::from_mins(2));
            let reply = pair.poll();
            assert!(!matches!(
                reply,
                Some(Reply::Failed(_) | Reply::Shown { .. })
            ));
            std::thread::sleep(Duration::from_millis(2));
        }
        let path = pair.error().map(|error| error.path().to_owned());
        assert!(path.is_some_and(|path| path.ends_with("evening-ride.gone")));
    }
}
