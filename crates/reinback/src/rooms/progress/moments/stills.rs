//! The stills of the wall: which are made next, and how. One after the other on a thread, those
//! that came into sight last first, and none that is out of sight again. Where one was made before,
//! another thread looks whether its film is still there.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use egui::{Context, TextureHandle};
use reinback_film::{FilmError, FilmErrorKind, FilmTime, Fingerprint, Frame, Pictures};

use crate::services::OnReady;
use crate::task::{Control, Task, Tasks};
use crate::widgets::picture;

/// Longer side of a still in pixels: sharp on screens of two pixels a point.
const SIDE: u32 = 380;
/// Stills made in one go, of one film that is opened once: few, so that new wishes soon have
/// their turn.
const AT_ONCE: usize = 4;
/// Stills held on the graphics card, at most: some 50 MB.
const MOST: usize = 160;

/// Which picture.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Spot {
    /// The film's file.
    pub(super) path: PathBuf,
    /// The film's time.
    pub(super) at: FilmTime,
}

/// A still that is in sight.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Wish {
    /// Which.
    pub(super) spot: Spot,
    /// What the file holds if it is the film that was marked, where that is known.
    pub(super) print: Option<Fingerprint>,
}

/// Why there is no still.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Trouble {
    /// No file is there.
    Missing,
    /// It is another film than the one that was marked.
    Another,
    /// It cannot be read.
    Unreadable,
}

impl Trouble {
    /// What an error comes to.
    pub(super) fn of(error: &FilmError) -> Self {
        match error.kind() {
            FilmErrorKind::NotFound => Self::Missing,
            _ => Self::Unreadable,
        }
    }
}

/// What was made.
enum Still {
    Ready(TextureHandle),
    None(Trouble),
}

/// What the workers tell.
enum News {
    /// A still was made, or could not be.
    Made(Spot, Result<Frame, Trouble>),
    /// This film is no longer there.
    Gone(PathBuf),
}

/// The stills made so far.
#[derive(Default)]
pub(super) struct Stills {
    tasks: Option<Tasks<News>>,
    made: BTreeMap<Spot, Still>,
    wishes: Wishes,
    making: Option<(Task, Vec<Spot>)>,
    /// Films of which stills were made earlier, and which may have gone since.
    doubted: BTreeSet<PathBuf>,
    looking: Option<Task>,
}

impl Stills {
    /// The still of a place, once it is there, or why there is none.
    pub(super) fn get(&self, spot: &Spot) -> Option<Result<&TextureHandle, Trouble>> {
        Some(match self.made.get(spot)? {
            Still::Ready(texture) => Ok(texture),
            Still::None(trouble) => Err(*trouble),
        })
    }

    /// Looks again for what was not there.
    pub(super) fn forget_troubles(&mut self) {
        self.made
            .retain(|_, still| matches!(still, Still::Ready(_)));
    }

    /// Has it looked whether a film is still there.
    pub(super) fn doubt(&mut self, path: &Path) {
        self.doubted.insert(path.to_owned());
    }

    /// Makes none for now.
    pub(super) fn rest(&mut self) {
        if let Some((task, _)) = &self.making {
            task.cancel();
        }
        self.wishes = Wishes::default();
    }

    /// Takes in what was made, and has made what is in sight.
    pub(super) fn tick(
        &mut self,
        ctx: &Context,
        in_sight: Vec<Wish>,
        folder: impl FnOnce() -> Option<PathBuf>,
        on_ready: &OnReady,
    ) {
        let tasks = self
            .tasks
            .get_or_insert_with(|| Tasks::new(on_ready.clone()));
        while let Some(news) = tasks.poll() {
            match news {
                News::Made(spot, Ok(frame)) => {
                    let texture = picture::texture(ctx, &spot.path, &frame);
                    self.made.insert(spot, Still::Ready(texture));
                }
                News::Made(spot, Err(trouble)) => {
                    self.made.insert(spot, Still::None(trouble));
                }
                News::Gone(path) => {
                    let own = self.made.iter_mut().filter(|(spot, _)| spot.path == path);
                    own.for_each(|(_, still)| *still = Still::None(Trouble::Missing));
                }
            }
        }
        if self.made.len() > MOST {
            let shown: Vec<&Spot> = in_sight.iter().map(|wish| &wish.spot).collect();
            self.made.retain(|spot, _| shown.contains(&spot));
        }
        let ready = |wish: &&Wish| matches!(self.made.get(&wish.spot), Some(Still::Ready(_)));
        let again = in_sight
            .iter()
            .filter(|wish| !self.wishes.holds(&wish.spot));
        let again = again.filter(ready).map(|wish| wish.spot.path.clone());
        self.doubted.extend(again);
        if !self.doubted.is_empty() && !self.looking.as_ref().is_some_and(Task::is_running) {
            let films = std::mem::take(&mut self.doubted);
            self.looking = Some(tasks.start("films there", move |control| look(films, control)));
        }
        self.wishes.follow(in_sight);
        if let Some((task, spots)) = &self.making
            && task.is_running()
        {
            if spots.iter().all(|spot| !self.wishes.holds(spot)) {
                task.cancel();
            }
            // One reader at a time: one that was called back still ends the picture it is at.
            return;
        }
        self.making = None;
        let made = &self.made;
        let next = self.wishes.next(|spot| made.contains_key(spot));
        if let Some(first) = next.first() {
            let spots = next.iter().map(|wish| wish.spot.clone()).collect();
            let (path, print) = (first.spot.path.clone(), first.print);
            let times: Vec<FilmTime> = next.iter().map(|wish| wish.spot.at).collect();
            let pictures = Pictures {
                max_side: SIDE,
                slack: FilmTime::ZERO,
                folder: folder(),
            };
            let task = tasks.start("stills", move |control| {
                make(&pictures, &path, print, &times, control);
            });
            self.making = Some((task, spots));
        }
    }
}

/// Looks which films are gone, on a task's thread.
fn look(films: BTreeSet<PathBuf>, control: &Control<News>) {
    for path in films {
        if control.flow().is_break() {
            return;
        }
        // A disk that does not answer is told when the film is opened.
        if matches!(path.try_exists(), Ok(false)) {
            control.send(News::Gone(path));
        }
    }
}

/// Makes the stills of one film, on a task's thread.
fn make(
    pictures: &Pictures,
    path: &Path,
    print: Option<Fingerprint>,
    times: &[FilmTime],
    control: &Control<News>,
) {
    let mut left = times.to_vec();
    let spot = |at: FilmTime| Spot {
        path: path.to_owned(),
        at,
    };
    let same = match print {
        Some(print) => match reinback_film::fingerprint(path) {
            Ok(found) if found == print => Ok(()),
            Ok(_) => Err(Trouble::Another),
            Err(error) => Err(Trouble::of(&error)),
        },
        None => Ok(()),
    };
    let made = same.and_then(|()| {
        let made = pictures.make(path, times, &mut |at, frame| {
            left.retain(|own| *own != at);
            control.send(News::Made(spot(at), Ok(frame)));
            control.flow()
        });
        made.map_err(|error| {
            log::info!("no still: {error}");
            Trouble::of(&error)
        })
    });
    if let Err(trouble) = made {
        for at in left {
            control.send(News::Made(spot(at), Err(trouble)));
        }
    }
}

/// What is in sight and in which order it is made. Pure.
#[derive(Default)]
struct Wishes(Vec<Wish>);

impl Wishes {
    /// Forgets what is out of sight; what came into sight goes first, as it is read.
    fn follow(&mut self, in_sight: Vec<Wish>) {
        self.0.retain(|old| in_sight.contains(old));
        let mut new = in_sight;
        new.retain(|wish| !self.0.contains(wish));
        new.append(&mut self.0);
        self.0 = new;
    }

    fn holds(&self, spot: &Spot) -> bool {
        self.0.iter().any(|wish| wish.spot == *spot)
    }

    /// The next few, all of one film.
    fn next(&self, made: impl Fn(&Spot) -> bool) -> Vec<Wish> {
        let mut missing = self.0.iter().filter(|wish| !made(&wish.spot));
        let Some(first) = missing.next() else {
            return Vec::new();
        };
        let same = |wish: &&Wish| wish.spot.path == first.spot.path && wish.print == first.print;
        let more = missing.filter(same).take(AT_ONCE - 1);
        std::iter::once(first).chain(more).cloned().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wish(path: &str, second: i64) -> Wish {
        Wish {
            spot: Spot {
                path: path.into(),
                at: FilmTime(second * 1_000_000_000),
            },
            print: None,
        }
    }

    fn said(wishes: &[Wish]) -> Vec<String> {
        let one = |wish: &Wish| {
            let second = wish.spot.at.0 / 1_000_000_000;
            format!("{} {second}", wish.spot.path.display())
        };
        wishes.iter().map(one).collect()
    }

    #[test]
    fn what_came_into_sight_last_is_made_first() {
        let mut wishes = Wishes::default();
        wishes.follow(vec![wish("a", 1), wish("b", 2), wish("a", 3)]);
        assert_eq!(said(&wishes.0), ["a 1", "b 2", "a 3"]);
        wishes.follow(vec![wish("a", 3), wish("c", 4), wish("c", 5)]);
        assert_eq!(said(&wishes.0), ["c 4", "c 5", "a 3"], "and none is left");
        assert!(!wishes.holds(&wish("a", 1).spot));
        wishes.follow(Vec::new());
        assert!(wishes.next(|_| false).is_empty());
    }

    #[test]
    fn few_of_one_film_are_made_in_one_go() {
        let mut wishes = Wishes::default();
        let many = (0..12).map(|at| wish(if at % 2 == 0 { "a" } else { "b" }, at));
        wishes.follow(many.collect());
        let first = wishes.next(|_| false);
        assert_eq!(said(&first), ["a 0", "a 2", "a 4", "a 6"]);
        let made = |spot: &Spot| first.iter().any(|wish| wish.spot == *spot);
        assert_eq!(said(&wishes.next(made)), ["b 1", "b 3", "b 5", "b 7"]);
        assert!(wishes.next(|_| true).is_empty());
    }

    /// What comes of two stills of a file.
    fn made(path: &Path, print: Option<Fingerprint>) -> Vec<Result<u32, Trouble>> {
        let tasks: Tasks<News> = Tasks::new(std::sync::Arc::new(|| ()));
        let pictures = Pictures {
            max_side: SIDE,
            slack: FilmTime::ZERO,
            folder: None,
        };
        let file = path.to_owned();
        let task = tasks.start("stills", move |control| {
            let times = [FilmTime(0), FilmTime(30_000_000_000)];
            make(&pictures, &file, print, &times, control);
        });
        while task.is_running() {
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
        let made = std::iter::from_fn(|| tasks.poll());
        made.map(|news| match news {
            News::Made(_, made) => made.map(|frame| frame.width),
            News::Gone(path) => panic!("nobody asked for {path:?}"),
        })
        .collect()
    }

    #[test]
    fn a_still_is_of_the_film_that_was_marked_or_it_is_told_why_not() {
        let films = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-sessions/films");
        let film = films.join("evening-ride.mp4");
        let print = reinback_film::fingerprint(&film).expect("it is there");
        let other = "ab".repeat(32).parse().expect("a fingerprint");
        assert_eq!(made(&film, None), [Ok(SIDE), Ok(SIDE)]);
        assert_eq!(made(&film, Some(print)), [Ok(SIDE), Ok(SIDE)]);
        for (path, known, trouble) in [
            (&film, Some(other), Trouble::Another),
            (&films.join("gone.mp4"), None, Trouble::Missing),
            (&films.join("gone.mp4"), Some(print), Trouble::Missing),
            (&films.join("README.md"), None, Trouble::Unreadable),
        ] {
            assert_eq!(made(path, known), [Err(trouble), Err(trouble)], "{path:?}");
        }
    }
}
