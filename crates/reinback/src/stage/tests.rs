//! The stage with films that are made up: frames every 40 ms, there at once or only later.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::path::Path;
use std::sync::Mutex;

use chrono::NaiveDate;
use reinback_film::{Alignment, FilmErrorKind, Reply};
use reinback_yard::IdMaker;

use super::*;
use crate::services::{Progress, Question, SoundHandle};
use crate::sound::NoSpeaker;
use reinback_film::sound::{Playhead, SoundState, SoundStream, Waveform};

mod beside;
mod looking;
mod sound;
mod together;

const FRAME: i64 = 40_000_000;

/// Answers at once, from frames that are all the same picture.
struct MadeUp {
    replies: RefCell<VecDeque<Reply>>,
    nanos: i64,
    /// Frames from this time on have not been decoded yet.
    decoded: Arc<Mutex<i64>>,
    /// The newest answer is held back until another wish comes.
    late: Arc<Mutex<bool>>,
    /// Only every so many frames are kept, as the engine does when the film runs fast.
    thinned: i64,
    /// The disk is gone.
    lost: Arc<Mutex<bool>>,
    /// What was asked for last.
    asked: Arc<Mutex<Option<Want>>>,
}

fn frame_kept(time: FilmTime, every: i64) -> FilmTime {
    FilmTime(time.0.div_euclid(FRAME * every) * FRAME * every)
}

fn frame(at: i64) -> Arc<Frame> {
    Arc::new(Frame {
        time: FilmTime(at),
        end: Some(FilmTime(at + FRAME)),
        width: 1,
        height: 1,
        rgba: vec![0, 0, 0, 255].into(),
    })
}

impl MadeUp {
    fn frame_at(&self, time: FilmTime) -> Arc<Frame> {
        let last = (self.nanos - 1).max(0).div_euclid(FRAME) * FRAME;
        frame((time.0.div_euclid(FRAME) * FRAME).clamp(0, last))
    }
}

impl FilmHandle for MadeUp {
    fn want(&self, want: Want) {
        *self.asked.lock().unwrap() = Some(want);
        if self.nanos == 0 {
            return;
        }
        if *self.lost.lock().unwrap() {
            let gone = FilmError::new(FilmErrorKind::NotFound, Path::new("10"), "");
            self.replies.borrow_mut().push_back(Reply::Failed(gone));
            return;
        }
        let shown = match want {
            Want::Exact(time) | Want::Near(time) => self.frame_at(time),
            Want::Play { .. } => return,
            Want::Step { from, frames } => {
                self.frame_at(FilmTime(from.0 + i64::from(frames) * FRAME))
            }
        };
        let last = self.frame_at(FilmTime(i64::MAX)).time;
        let past = match want {
            Want::Step { from, frames } => from.0 + i64::from(frames) * FRAME,
            _ => 0,
        };
        let mut replies = self.replies.borrow_mut();
        replies.push_back(Reply::Shown {
            want,
            frame: shown,
            exact: true,
        });
        if past > last.0 {
            replies.push_back(Reply::AtEnd { last });
        } else if past < 0 {
            replies.push_back(Reply::AtStart);
        }
    }

    fn poll(&self) -> Option<Reply> {
        if *self.late.lock().unwrap() && self.replies.borrow().len() < 2 {
            return None;
        }
        self.replies.borrow_mut().pop_front()
    }

    fn frame_of_second(&self, time: FilmTime) -> Option<u32> {
        u32::try_from(time.0.rem_euclid(1_000_000_000) / FRAME).ok()
    }

    fn latest_cached(&self, time: FilmTime) -> Option<Arc<Frame>> {
        let kept = frame_kept(time, self.thinned);
        (time.0 < *self.decoded.lock().unwrap()).then(|| self.frame_at(kept))
    }

    fn cached(&self, time: FilmTime) -> Option<Arc<Frame>> {
        let shown = FilmTime(time.0.div_euclid(FRAME) * FRAME);
        if frame_kept(shown, self.thinned) != shown {
            return None;
        }
        (time.0 < *self.decoded.lock().unwrap()).then(|| self.frame_at(time))
    }
}

/// Films by their path: "10" is ten seconds long, "missing" is not there.
struct Shelf {
    decoded: Arc<Mutex<i64>>,
    late: Arc<Mutex<bool>>,
    thinned: i64,
    lost: Arc<Mutex<bool>>,
    asked: Arc<Mutex<Option<Want>>>,
    sounding: bool,
}

/// Silence that counts as sound.
struct Hum;

impl SoundHandle for Hum {
    fn state(&self) -> SoundState {
        SoundState::Ready
    }

    fn play(&self, from: FilmTime, speed: f64, rate: u32) -> (SoundStream, Playhead) {
        SoundStream::silence(from, speed, rate)
    }
}

impl Services for Shelf {
    fn today(&self) -> NaiveDate {
        NaiveDate::default()
    }

    fn open_film(
        &self,
        path: &Path,
        _settings: Settings,
        _on_ready: OnReady,
    ) -> Box<dyn FilmHandle> {
        Box::new(self.made_up(path))
    }

    fn open_pair(
        &self,
        paths: [&Path; 2],
        alignment: Alignment,
        _settings: Settings,
        _on_ready: OnReady,
    ) -> Box<dyn FilmHandle> {
        let films = paths.map(|path| self.made_up(path));
        Box::new(beside::MadeUpPair::new(films, alignment))
    }

    fn picture_folder(&self) -> Option<PathBuf> {
        None
    }

    fn open_sound(&self, _path: &Path, _on_ready: OnReady) -> Box<dyn SoundHandle> {
        Box::new(Hum)
    }

    fn speaker(&self, _on_ready: OnReady) -> Box<dyn Speaker> {
        Box::new(NoSpeaker)
    }

    fn waveform(
        &self,
        _path: &Path,
        _progress: Progress<'_>,
    ) -> Result<Option<Waveform>, FilmError> {
        Ok(None)
    }

    fn ask(&self, _question: Question) -> Vec<PathBuf> {
        Vec::new()
    }
}

impl Shelf {
    fn made_up(&self, path: &Path) -> MadeUp {
        let seconds: Option<i64> = path.to_str().and_then(|text| text.parse().ok());
        let nanos = seconds.unwrap_or(0) * 1_000_000_000;
        let first = match seconds {
            Some(_) => Reply::Opened(info(nanos, self.sounding)),
            None => Reply::Failed(FilmError::new(FilmErrorKind::NotFound, path, "")),
        };
        MadeUp {
            replies: RefCell::new([first].into()),
            nanos,
            decoded: self.decoded.clone(),
            late: self.late.clone(),
            thinned: self.thinned,
            lost: self.lost.clone(),
            asked: self.asked.clone(),
        }
    }
}

fn info(nanos: i64, has_sound: bool) -> FilmInfo {
    FilmInfo {
        duration: FilmTime(nanos),
        has_sound,
        ..FilmInfo::default()
    }
}

/// A stage, its clock, and hands.
struct Theatre {
    stage: Stage,
    shelf: Shelf,
    speaker: Box<dyn Speaker>,
    now: f64,
}

impl Theatre {
    /// Films as (path, seconds on the ride clock).
    fn new(films: &[(&str, i64)]) -> Self {
        Self::thinned(films, 1)
    }

    fn thinned(films: &[(&str, i64)], thinned: i64) -> Self {
        Self::equipped(films, thinned, None)
    }

    fn equipped(films: &[(&str, i64)], thinned: i64, speaker: Option<Box<dyn Speaker>>) -> Self {
        let mut ids = IdMaker::seeded(3);
        let placed = films.iter().map(|(path, offset)| Placed {
            film: Film {
                id: ids.next(),
                path: (*path).to_owned(),
                fingerprint: None,
                offset: Moment(offset * 1_000_000_000),
                drift_ppb: 0,
                duration_nanos: path
                    .parse::<i64>()
                    .ok()
                    .map(|seconds| seconds * 1_000_000_000),
                tilt: None,
            },
            path: PathBuf::from(path),
            another: false,
        });
        let shelf = Shelf {
            decoded: Arc::new(Mutex::new(i64::MAX)),
            late: Arc::default(),
            thinned,
            lost: Arc::default(),
            asked: Arc::default(),
            sounding: speaker.is_some(),
        };
        let mut theatre = Self {
            stage: Stage::new(placed.collect(), Moment(0)),
            shelf,
            speaker: speaker.unwrap_or(Box::new(NoSpeaker)),
            now: 0.0,
        };
        theatre.ticks(3);
        theatre
    }

    fn ticks(&mut self, count: usize) -> &mut Self {
        for _ in 0..count {
            self.now += 0.02;
            self.stage.tick(
                self.now,
                &self.shelf,
                Settings::default(),
                &(Arc::new(|| ()) as OnReady),
                self.speaker.as_mut(),
            );
        }
        self
    }

    fn check(&self, expect_millis: i64) {
        let millis = self.stage.position().0 / 1_000_000;
        assert_eq!(
            millis, expect_millis,
            "the frame on screen stands at {millis} ms"
        );
    }
}

#[test]
fn steps_go_frame_by_frame_and_quick_presses_add_up() {
    let mut theatre = Theatre::new(&[("10", 0)]);
    theatre.check(0);
    theatre.stage.step(1);
    theatre.ticks(1).check(40);
    for _ in 0..5 {
        theatre.stage.step(1);
    }
    theatre.ticks(1).check(240);
    assert_eq!(theatre.stage.frame_of_second(), Some(6));
    theatre.stage.step(-2);
    theatre.stage.step(-1);
    theatre.ticks(1).check(120);
    theatre.stage.step(-100);
    theatre.ticks(1).check(0);
}

/// The engine brings a frame once more, sharp, after it was asked for by itself.
#[test]
fn a_pause_asks_for_the_frame_on_screen() {
    let mut theatre = Theatre::new(&[("10", 0)]);
    theatre.stage.toggle(theatre.now);
    theatre.ticks(30);
    let asked = |theatre: &Theatre| *theatre.shelf.asked.lock().unwrap();
    assert!(matches!(asked(&theatre), Some(Want::Play { .. })));
    theatre.stage.toggle(theatre.now);
    let position = theatre.stage.position();
    assert_eq!(asked(&theatre), Some(Want::Exact(FilmTime(position.0))));
    assert!(
        !theatre.stage.is_waiting(),
        "the frame is on screen already"
    );
    theatre.ticks(5);
    assert_eq!(theatre.stage.position(), position);
}

#[test]
fn the_clock_stands_still_while_a_frame_is_not_there() {
    let mut theatre = Theatre::new(&[("10", 0)]);
    *theatre.shelf.decoded.lock().unwrap() = 1_000_000_000;
    theatre.stage.toggle(theatre.now);
    theatre.ticks(200).check(960);
    assert!(theatre.stage.is_playing(), "it waits, it does not stop");
    *theatre.shelf.decoded.lock().unwrap() = i64::MAX;
    theatre.ticks(51).check(2_000);
}

#[test]
fn speed_is_that_of_the_clock() {
    for (speed, expect) in [(0.5, 480), (1.0, 1_000), (1.5, 1_520)] {
        let mut theatre = Theatre::new(&[("10", 0)]);
        theatre.stage.set_speed(speed);
        theatre.stage.toggle(theatre.now);
        theatre.ticks(51).check(expect);
    }
}

#[test]
fn speeds_go_up_and_down_the_scale() {
    let mut theatre = Theatre::new(&[("10", 0)]);
    for _ in 0..20 {
        theatre.stage.change_speed(false);
    }
    assert!((theatre.stage.speed() - 0.1).abs() < 1e-9);
    for _ in 0..20 {
        theatre.stage.change_speed(true);
    }
    assert!((theatre.stage.speed() - 4.0).abs() < 1e-9);
}

#[test]
fn the_end_pauses_on_the_last_frame_and_play_starts_over() {
    let mut theatre = Theatre::new(&[("2", 0)]);
    theatre.stage.toggle(theatre.now);
    theatre.ticks(200).check(1_960);
    assert!(!theatre.stage.is_playing());
    theatre.stage.toggle(theatre.now);
    theatre.ticks(27).check(520);
}

#[test]
fn a_gap_between_films_is_skipped_while_playing() {
    let mut theatre = Theatre::new(&[("2", 0), ("3", 600)]);
    theatre.stage.toggle(theatre.now);
    theatre.ticks(150);
    assert!(
        theatre.stage.position().0 >= 600_000_000_000,
        "{:?}",
        theatre.stage.position()
    );
    assert!(matches!(theatre.stage.screen(), Screen::Picture));
}

#[test]
fn a_moment_without_film_says_so() {
    let mut theatre = Theatre::new(&[("2", 0), ("3", 600)]);
    theatre.stage.seek(Moment(300_000_000_000), false);
    theatre.ticks(2);
    assert!(matches!(theatre.stage.screen(), Screen::Gap));
    assert_eq!(
        theatre.stage.position(),
        Moment(300_000_000_000),
        "marks can be made there"
    );
    theatre.stage.seek(Moment(601_000_000_000), false);
    theatre.ticks(2);
    assert!(matches!(theatre.stage.screen(), Screen::Picture));
    theatre.check(601_000);
}

#[test]
fn a_missing_film_is_told_and_found_again() {
    let mut theatre = Theatre::new(&[("missing", 0)]);
    assert!(matches!(theatre.stage.screen(), Screen::Failed(_)));
    theatre.stage.toggle(theatre.now);
    theatre.ticks(5);
    let mut found = theatre.stage.films.clone();
    found[0].path = PathBuf::from("10");
    theatre.stage.set_films(found, Moment(0));
    theatre.ticks(3);
    assert!(matches!(theatre.stage.screen(), Screen::Picture));
}

#[test]
fn a_ride_without_film_has_a_clock() {
    let mut theatre = Theatre::new(&[]);
    assert!(matches!(theatre.stage.screen(), Screen::NoFilms));
    theatre.stage.set_films(Vec::new(), Moment(90_000_000_000));
    theatre.stage.seek(Moment(45_000_000_000), false);
    theatre.ticks(1).check(45_000);
    theatre.stage.seek(Moment(i64::MAX), false);
    theatre.ticks(1).check(90_000);
}

#[test]
fn a_film_later_on_the_clock_is_mapped() {
    let mut theatre = Theatre::new(&[("10", 120)]);
    theatre.stage.seek(Moment(125_010_000_000), false);
    theatre.ticks(1).check(125_000);
    theatre.stage.step(1);
    theatre.ticks(1).check(125_040);
}

#[test]
fn quick_jumps_add_up_while_frames_are_on_their_way() {
    let mut theatre = Theatre::new(&[("10", 0)]);
    *theatre.shelf.decoded.lock().unwrap() = 0;
    *theatre.shelf.late.lock().unwrap() = true;
    for _ in 0..3 {
        let here = theatre.stage.position();
        theatre.stage.seek(Moment(here.0 + 1_000_000_000), false);
        theatre.ticks(1);
    }
    *theatre.shelf.late.lock().unwrap() = false;
    theatre.ticks(1).check(3_000);
}

#[test]
fn fast_play_goes_on_over_frames_that_are_left_out() {
    for (speed, every) in [(3.0, 2), (4.0, 2)] {
        let mut theatre = Theatre::thinned(&[("100", 0)], every);
        theatre.stage.set_speed(speed);
        theatre.stage.toggle(theatre.now);
        theatre.ticks(101);
        let played = theatre.stage.position().0 as f64 / 1e9;
        assert!(
            (played - 2.0 * speed).abs() < 0.2,
            "{speed} times for 2 s played {played} s"
        );
    }
}

#[test]
fn a_film_lost_while_it_is_open_is_told_and_marks_stay_put() {
    let mut theatre = Theatre::new(&[("10", 0)]);
    theatre.stage.seek(Moment(4_010_000_000), false);
    theatre.ticks(1).check(4_000);
    *theatre.shelf.lost.lock().unwrap() = true;
    theatre.stage.step(1);
    theatre.ticks(2);
    assert!(matches!(theatre.stage.screen(), Screen::Failed(_)));
    theatre.check(4_000);
    // Found again: it goes on from there.
    *theatre.shelf.lost.lock().unwrap() = false;
    theatre.stage.reopen();
    theatre.ticks(3);
    assert!(matches!(theatre.stage.screen(), Screen::Picture));
    theatre.check(4_000);
}

#[test]
fn play_overtakes_a_step_that_is_still_on_its_way() {
    let mut theatre = Theatre::new(&[("10", 0)]);
    *theatre.shelf.late.lock().unwrap() = true;
    theatre.stage.step(1);
    theatre.ticks(1);
    theatre.stage.toggle(theatre.now);
    theatre.ticks(100);
    theatre.stage.pause();
    *theatre.shelf.late.lock().unwrap() = false;
    theatre.ticks(1);
    let before = theatre.stage.position();
    theatre.stage.step(1);
    theatre.ticks(1);
    assert_eq!(
        theatre.stage.position().0 - before.0,
        FRAME,
        "one frame on from where it stopped"
    );
}

#[test]
fn steps_go_on_into_the_next_film_and_back() {
    let mut theatre = Theatre::new(&[("2", 0), ("3", 600)]);
    theatre.stage.seek(Moment(1_960_000_000), false);
    theatre.ticks(1).check(1_960);
    theatre.stage.step(1);
    theatre.ticks(3).check(600_000);
    theatre.stage.step(-1);
    theatre.ticks(3).check(1_960);
}
