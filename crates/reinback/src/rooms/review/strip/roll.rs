//! Small pictures of the films along the strip: which, laid out purely, and how they are made.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use egui::{Context, Rect, TextureHandle, pos2};
use reinback_film::{FilmTime, Frame, Pictures};
use reinback_yard::Moment;

use super::axis::Axis;
use crate::services::OnReady;
use crate::stage::Placed;
use crate::task::{Task, Tasks};
use crate::widgets::picture;

/// A picture's width for its height, at most: that of most films.
const SHAPE: f32 = 16.0 / 9.0;
/// The shortest time between two pictures, a frame at 25 a second; longer ones double it, so
/// that a picture made at one zoom is there again at others.
const SHORTEST: i64 = 40_000_000;
/// Longer side of a picture in pixels: sharp on screens of two pixels a point.
const SIDE: u32 = 128;
/// Pictures held on the graphics card, at most: some 22 MB.
const MOST: usize = 600;

/// A place for a picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Tile {
    /// Where; narrower than `width` where the film ends.
    pub rect: Rect,
    /// Points from this picture to the next.
    pub width: f32,
    /// The film's file.
    pub path: PathBuf,
    /// The film's time.
    pub at: FilmTime,
    /// Time to the next picture.
    pub step: FilmTime,
}

/// The places for pictures on the films' bed.
pub(super) fn tiles(axis: &Axis, films: &[Placed], bed: Rect) -> Vec<Tile> {
    let most = f64::from(bed.height() * SHAPE) * axis.nanos_per_point();
    let step = step(most);
    let width = (step as f64 / axis.nanos_per_point()) as f32;
    let mut tiles = Vec::new();
    for placed in films.iter().filter(|placed| !placed.another) {
        let film = &placed.film;
        let Some(span) = film.span() else { continue };
        let from = span.from.max(axis.view.from);
        let to = span.to.min(axis.view.to);
        if from >= to {
            continue;
        }
        let first = film.film_from_ride(from).max(0) / step;
        let end = axis.x_from_moment(span.to).min(bed.right());
        for number in first.. {
            let at = number.saturating_mul(step);
            let moment = film.ride_from_film(at);
            if moment >= to {
                break;
            }
            let left = axis.x_from_moment(Moment(moment.0));
            let rect = Rect::from_min_max(
                pos2(left, bed.top()),
                pos2((left + width).min(end), bed.bottom()),
            );
            tiles.push(Tile {
                rect,
                width,
                path: placed.path.clone(),
                at: FilmTime(at),
                step: FilmTime(step),
            });
        }
    }
    tiles
}

/// The last doubling of the shortest step that is at most this long, in nanoseconds.
fn step(most: f64) -> i64 {
    let mut step = SHORTEST;
    while (step as f64) * 2.0 <= most && step < i64::MAX / 4 {
        step *= 2;
    }
    step
}

/// A picture of a film's file, by its time.
type Key = (PathBuf, FilmTime);

/// The round it was asked for in, and what was made.
struct Made(u64, Key, Option<Frame>);

/// The pictures made so far.
pub struct Roll {
    tasks: Tasks<Made>,
    /// `None` where there is no picture to be had.
    ready: BTreeMap<Key, Option<TextureHandle>>,
    making: Option<(Task, FilmTime)>,
    /// Grows when pictures are forgotten: what was asked for before is not wanted any more.
    round: u64,
    folder: Option<PathBuf>,
}

impl Roll {
    /// No pictures yet; they are kept in a folder, if there is one.
    #[must_use]
    pub fn new(on_ready: OnReady, folder: Option<PathBuf>) -> Self {
        Self {
            tasks: Tasks::new(on_ready),
            ready: BTreeMap::new(),
            making: None,
            round: 0,
            folder,
        }
    }

    /// The picture for a place, once it is there.
    #[must_use]
    pub fn picture(&self, tile: &Tile) -> Option<&TextureHandle> {
        self.ready.get(&(tile.path.clone(), tile.at))?.as_ref()
    }

    /// Forgets the pictures of a file, so that they are made anew.
    pub fn forget(&mut self, path: &Path) {
        self.making = None;
        self.round += 1;
        self.ready.retain(|(own, _), _| own != path);
    }

    /// How many pictures there are, for tests.
    #[must_use]
    pub fn made(&self) -> usize {
        self.ready.values().flatten().count()
    }

    /// Takes in what was made, and has made what is missing unless the machine is `busy`.
    pub(super) fn tick(&mut self, ctx: &Context, tiles: &[Tile], busy: bool) {
        while let Some(Made(round, key, frame)) = self.tasks.poll() {
            if round != self.round {
                continue;
            }
            let texture = frame.map(|frame| picture::texture(ctx, &key.0, &frame));
            self.ready.insert(key, texture);
        }
        if self.ready.len() > MOST {
            let shown: BTreeSet<Key> = tiles.iter().map(key).collect();
            self.ready.retain(|key, _| shown.contains(key));
        }
        let Some(missing) = tiles
            .iter()
            .find(|tile| !self.ready.contains_key(&key(tile)))
            .filter(|_| !busy)
        else {
            if busy {
                self.making = None;
            }
            return;
        };
        // Pictures of a zoom that is no longer shown are given up.
        let going = self.making.as_ref();
        if going.is_some_and(|(task, step)| task.is_running() && *step == missing.step) {
            return;
        }
        self.start(missing, tiles);
    }

    fn start(&mut self, missing: &Tile, tiles: &[Tile]) {
        let (path, round) = (missing.path.clone(), self.round);
        let wanted: Vec<FilmTime> = tiles
            .iter()
            .filter(|tile| tile.path == path && !self.ready.contains_key(&key(tile)))
            .map(|tile| tile.at)
            .collect();
        let pictures = Pictures {
            max_side: SIDE,
            slack: FilmTime(missing.step.0 / 2),
            folder: self.folder.clone(),
        };
        let task = self.tasks.start("strip pictures", move |control| {
            let mut left: BTreeSet<FilmTime> = wanted.iter().copied().collect();
            let made = pictures.make(&path, &wanted, &mut |time, frame| {
                left.remove(&time);
                control.send(Made(round, (path.clone(), time), Some(frame)));
                control.flow()
            });
            if let Err(error) = made {
                log::info!("no pictures on the strip: {error}");
                for time in left {
                    control.send(Made(round, (path.clone(), time), None));
                }
            }
        });
        self.making = Some((task, missing.step));
    }
}

fn key(tile: &Tile) -> Key {
    (tile.path.clone(), tile.at)
}

/// The middle part of a picture of this size that fills a tile without being stretched; the
/// whole picture is 0 to 1.
pub(super) fn crop(picture: egui::Vec2, tile: &Tile) -> Rect {
    let (have, want) = (picture.x / picture.y, tile.width / tile.rect.height());
    let (across, down) = if have > want {
        (want / have, 1.0)
    } else {
        (1.0, have / want)
    };
    let whole = Rect::from_center_size(pos2(0.5, 0.5), egui::vec2(across, down));
    // A tile cut off by the film's end shows the left part of its picture.
    let part = tile.rect.width() / tile.width;
    Rect::from_min_max(
        whole.min,
        pos2(whole.left() + whole.width() * part, whole.bottom()),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use reinback_yard::{Film, IdMaker, Span};

    const SECOND: i64 = 1_000_000_000;

    fn placed(offset: i64, seconds: i64) -> Placed {
        Placed {
            film: Film {
                id: IdMaker::seeded(1).next(),
                path: "a.mp4".to_owned(),
                fingerprint: None,
                offset: Moment(offset * SECOND),
                drift_ppb: 0,
                duration_nanos: Some(seconds * SECOND),
                tilt: None,
            },
            path: PathBuf::from("a.mp4"),
            another: false,
        }
    }

    /// Tiles of a film of `seconds` from `offset` on, in a view of 1,000 points.
    fn laid(offset: i64, seconds: i64, view: (i64, i64)) -> Vec<Tile> {
        let axis = Axis {
            view: Span {
                from: Moment(view.0 * SECOND),
                to: Moment(view.1 * SECOND),
            },
            left: 0.0,
            right: 1_000.0,
        };
        let bed = Rect::from_min_max(pos2(0.0, 0.0), pos2(1_000.0, 36.0));
        tiles(&axis, &[placed(offset, seconds)], bed)
    }

    #[test]
    fn tiles_neither_overlap_nor_leave_the_film() {
        for (offset, seconds, view) in [
            (0, 60, (0, 60)),
            (0, 5_400, (0, 5_400)),
            (0, 5_400, (2_000, 2_001)),
            (30, 10, (0, 60)),
            (-20, 40, (0, 60)),
        ] {
            let tiles = laid(offset, seconds, view);
            assert!(!tiles.is_empty() && tiles.len() < 40, "{}", tiles.len());
            for pair in tiles.windows(2) {
                assert!(pair[0].rect.right() <= pair[1].rect.left() + 0.1);
            }
            for tile in &tiles {
                assert!((0..seconds * SECOND).contains(&tile.at.0), "{tile:?}");
                assert_eq!(tile.at.0 % tile.step.0, 0);
            }
        }
    }

    #[test]
    fn a_film_out_of_view_has_no_tiles() {
        assert_eq!(laid(100, 10, (0, 60)), []);
        assert_eq!(laid(0, 10, (20, 60)), []);
    }

    /// A picture made at one zoom serves the next wider one.
    #[test]
    fn every_second_picture_is_there_again_when_zooming_out() {
        let near: BTreeSet<i64> = laid(0, 600, (0, 300))
            .iter()
            .map(|tile| tile.at.0)
            .collect();
        let far = laid(0, 600, (0, 600));
        let inside = far.iter().filter(|tile| tile.at.0 < 290 * SECOND);
        assert!(inside.clone().count() > 3);
        assert!(inside.into_iter().all(|tile| near.contains(&tile.at.0)));
    }

    #[test]
    fn pictures_are_cropped_not_stretched() {
        let tile = |shown: f32, width: f32| Tile {
            rect: Rect::from_min_max(pos2(0.0, 0.0), pos2(shown, 36.0)),
            width,
            path: PathBuf::new(),
            at: FilmTime(0),
            step: FilmTime(0),
        };
        for (size, shown, width, across, down) in [
            ((128.0, 72.0), 64.0, 64.0, 1.0, 1.0),
            ((72.0, 128.0), 64.0, 64.0, 1.0, 0.316),
            ((128.0, 72.0), 32.0, 32.0, 0.5, 1.0),
            // Cut off by the film's end.
            ((128.0, 72.0), 32.0, 64.0, 0.5, 1.0),
        ] {
            let crop = crop(size.into(), &tile(shown, width));
            assert!((crop.width() - across).abs() < 1e-3, "{crop:?}");
            assert!((crop.height() - down).abs() < 1e-3, "{crop:?}");
        }
    }
}
