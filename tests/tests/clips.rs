//! Two clips of one ride, put onto each other by what both microphones heard, and by a moment.

#![expect(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey; one that is left out says so"
)]

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::Moment;

const RATE: usize = 8_000;

/// An hour at the rail in a minute and a half: knocks and calls at times of their own, over a little
/// noise. Repeatable: `SplitMix64` (Steele, Lea and Flood 2014).
fn heard() -> Vec<f64> {
    let mut state = 11_u64;
    let mut dice = || {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut samples: Vec<f64> = (0..90 * RATE).map(|_| 0.01 * (dice() - 0.5)).collect();
    let mut at = 0.3;
    while at < 89.0 {
        let loud = 0.2 + 0.6 * dice();
        let from = (at * RATE as f64) as usize;
        for (index, sample) in samples.iter_mut().skip(from).take(RATE / 4).enumerate() {
            *sample += loud * (dice() - 0.5) * (-(index as f64) / 400.0).exp();
        }
        at += 0.3 + 1.6 * dice();
    }
    samples
}

/// A small film of these samples; `false`, with a printed line, without `ffmpeg`. One that fails
/// fails the journey.
fn film(path: &Path, samples: &[f64], gain: f64) -> bool {
    let bytes: Vec<u8> = samples
        .iter()
        .flat_map(|sample| ((sample * gain * 32_000.0) as i16).to_le_bytes())
        .collect();
    let seconds = (samples.len() / RATE).to_string();
    let child = Command::new("ffmpeg")
        .args([
            "-v", "error", "-y", "-f", "s16le", "-ar", "8000", "-ac", "1", "-i", "pipe:0",
        ])
        .args([
            "-f",
            "lavfi",
            "-i",
            "testsrc=size=160x120:rate=25",
            "-t",
            &seconds,
        ])
        .args([
            "-c:v",
            "libx264",
            "-preset",
            "ultrafast",
            "-pix_fmt",
            "yuv420p",
            "-c:a",
            "aac",
        ])
        .arg(path)
        .stdin(Stdio::piped())
        .spawn();
    let Ok(mut child) = child else {
        println!("skipped: ffmpeg makes no films");
        return false;
    };
    child.stdin.take().unwrap().write_all(&bytes).unwrap();
    let status = child.wait().unwrap();
    assert!(status.success(), "ffmpeg: {status}");
    true
}

/// A ride of two clips that lie one behind the other, as the second has no recording time; in
/// truth it begins 35.4 s into the first.
fn open(folder: &Path) -> Option<Window> {
    let samples = heard();
    let (first, second) = (folder.join("a first.mp4"), folder.join("b second.mp4"));
    let from = 354 * RATE / 10;
    let made = film(&first, &samples[..60 * RATE], 0.9)
        && film(&second, &samples[from..from + 50 * RATE], 0.2);
    if !made {
        return None;
    }
    let yard = copy_demo(folder).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    let films: Vec<PathBuf> = vec![first, second];
    window.will_answer(films);
    window.press_with(Modifiers::COMMAND, Key::N);
    window.until("both films are read", |w| {
        w.shows("160×120") && !w.shows("Reading")
    });
    window.click("Make the ride");
    window.until("the film shows a frame", Window::has_picture);
    assert_eq!(window.ride().films.len(), 2);
    Some(window)
}

fn start_of_second(window: &Window) -> f64 {
    let films = &window.ride().films;
    let second = films
        .iter()
        .find(|film| film.path.ends_with("b second.mp4"));
    second.unwrap().offset.0 as f64 / 1e9
}

#[test]
fn a_clip_is_put_where_both_microphones_heard_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let Some(mut window) = open(folder.path()) else {
        return;
    };
    assert!((start_of_second(&window) - 60.0).abs() < 0.2);
    window.press_with(Modifiers::COMMAND, Key::L);
    window.click("b second.mp4");
    window.until("both sounds are known", |w| {
        w.shows("Compare with a first.mp4")
    });
    window.click("Compare with a first.mp4");
    window.until("the sounds are compared", |w| w.shows("Put it there"));
    assert!(window.shows("Sure"), "{:?}", window.texts());
    window.click("Put it there");
    let start = start_of_second(&window);
    assert!((start - 35.4).abs() < 0.02, "{start}");
    assert!(
        window.shows("24 s on two films") || window.shows("25 s on two films"),
        "{:?}",
        window.texts()
    );
    window.press_with(Modifiers::COMMAND, Key::Z);
    assert!((start_of_second(&window) - 60.0).abs() < 0.2, "one step");
}

#[test]
fn a_clip_is_put_where_a_moment_says() {
    let folder = tempfile::tempdir().unwrap();
    let Some(mut window) = open(folder.path()) else {
        return;
    };
    window.press_with(Modifiers::COMMAND, Key::L);
    window.click("b second.mp4");
    window.press(Key::End);
    window.until("the second clip is on screen", |w| {
        let stage = &w.app().review().unwrap().stage;
        let film = stage.current_film();
        !stage.is_waiting() && film.is_some_and(|film| film.path.ends_with("b second.mp4"))
    });
    let seen = window.app().review().unwrap().stage.position();
    let own = seen.0 as f64 / 1e9 - start_of_second(&window);
    window.click("It is this moment of the clip");
    window.press(Key::Home);
    window.until("the first clip is on screen", |w| {
        let stage = &w.app().review().unwrap().stage;
        !stage.is_waiting() && stage.position() == Moment(0)
    });
    window.click("The same moment is here");
    window.click("Put the clip there");
    let start = start_of_second(&window);
    assert!((start + own).abs() < 1e-6, "{start} {own}");
}

#[test]
fn a_clip_is_dragged_on_the_strip_and_catches_on_the_end_of_the_other() {
    let folder = tempfile::tempdir().unwrap();
    let Some(mut window) = open(folder.path()) else {
        return;
    };
    let end_of_first = {
        let films = &window.ride().films;
        let first = films.iter().find(|film| film.path.ends_with("a first.mp4"));
        first.unwrap().span().unwrap().to.0 as f64 / 1e9
    };
    let before = window.ride().clone();
    let canvas = |w: &Window| w.harness.get_by_label_contains("Strip of the ride").rect();
    // The ride is 110 s long; the films' band begins below the ruler of 20 points.
    let place = |w: &Window, seconds: f64, whole: f64| {
        let strip = canvas(w);
        let x = strip.left() + (seconds / whole) as f32 * strip.width();
        egui::pos2(x, strip.top() + 40.0)
    };
    let whole = 110.0;
    let (from, to) = (place(&window, 80.0, whole), place(&window, 90.0, whole));
    window.drag(Modifiers::NONE, from, to);
    assert_eq!(*window.ride(), before, "only while the clips are open");

    window.press_with(Modifiers::COMMAND, Key::L);
    let (from, to) = (place(&window, 80.0, whole), place(&window, 90.0, whole));
    window.drag(Modifiers::NONE, from, to);
    let start = start_of_second(&window);
    assert!((start - 70.0).abs() < 0.6, "{start}");

    // Now the ride is 10 s longer; it is brought back to within half a second.
    let (from, to) = (place(&window, 90.0, 120.0), place(&window, 80.4, 120.0));
    window.drag(Modifiers::NONE, from, to);
    let start = start_of_second(&window);
    assert!((start - end_of_first).abs() < 1e-6, "{start}");
    for _ in 0..2 {
        window.press_with(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(*window.ride(), before, "each was one step");
}
