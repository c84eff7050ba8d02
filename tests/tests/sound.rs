//! A rider who listens: the film's sound on a device that the test drives by hand.

#![expect(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey; one that is left out says so"
)]

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use egui::{Key, Modifiers, Pos2, Rect, vec2};
use reinback::rooms::review::strip::{StripData, layout};
use reinback::rooms::review::waves::Wave;
use reinback::sound::stand_in::{Hand, stand_in};
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::{Moment, Span};

const RATE: u32 = 48_000;

/// Puts a sound of a coding under the demo's film; `false`, with a printed line, without `ffmpeg`.
fn put_sound_under(film: &Path, sound: &str) -> bool {
    let with_sound = film.with_extension("with-sound.mp4");
    let made = Command::new("ffmpeg")
        .args(["-v", "error", "-y", "-i"])
        .arg(film)
        .args(["-f", "lavfi", "-i", sound])
        .args(["-c:v", "copy", "-c:a", "aac", "-shortest"])
        .arg(&with_sound)
        .stdin(Stdio::null())
        .status();
    match made {
        Ok(status) if status.success() => {
            std::fs::rename(&with_sound, film).unwrap();
            true
        }
        other => {
            println!("skipped: ffmpeg puts no sound under the film: {other:?}");
            false
        }
    }
}

/// The demo's ride with a tone of 440 Hz, in the Review room.
fn open_with_sound(folder: &Path) -> Option<(Window, Hand)> {
    open_with(folder, "sine=frequency=440:sample_rate=48000")
}

fn open_with(folder: &Path, sound: &str) -> Option<(Window, Hand)> {
    let yard = copy_demo(folder).unwrap();
    let film = yard.join("films/evening-ride.mp4");
    if !put_sound_under(&film, sound) {
        return None;
    }
    let (speaker, hand) = stand_in(RATE);
    let mut window = Window::open_with(&[&yard], Some(speaker));
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num2);
    window.until("the film shows a frame", Window::has_picture);
    Some((window, hand))
}

fn position(window: &Window) -> f64 {
    window.app().review().unwrap().stage.position().0 as f64 / 1e9
}

fn follows_sound(window: &Window) -> bool {
    window.app().review().unwrap().stage.follows_sound()
}

/// Lets the device play so many samples of film, a tenth of a second at a time, waits each time
/// for the picture to follow, and gives back what was heard.
fn listen(window: &mut Window, hand: &Hand, samples: usize) -> Vec<f32> {
    let (mut heard, mut real, started) = (Vec::new(), 0, Instant::now());
    let began = position(window);
    while real < samples {
        let (out, films) = hand.play(4_800.min(samples - real));
        real += films;
        heard.extend(out.iter().take(films).map(|both| both[0]));
        let due = began + f64::from(u32::try_from(real).unwrap()) / f64::from(RATE) - 0.06;
        // The window's time goes on only when it draws: workers may take their own.
        while position(window) < due && started.elapsed() < Duration::from_mins(1) {
            window.steps(1);
            std::thread::sleep(Duration::from_millis(30));
        }
        if films == 0 {
            std::thread::sleep(Duration::from_millis(5));
        }
        assert!(
            started.elapsed() < Duration::from_mins(1),
            "only {real} of {samples} samples came; the window shows:\n{}",
            window.texts().join("\n")
        );
    }
    heard
}

fn level(samples: &[f32]) -> f32 {
    samples
        .iter()
        .fold(0.0, |most, value| most.max(value.abs()))
}

#[test]
fn the_picture_follows_the_sound_and_goes_on_when_the_device_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    let Some((mut window, hand)) = open_with_sound(folder.path()) else {
        return;
    };
    assert!(window.shows("Volume"), "the control is there");
    window.press(Key::Home);
    window.press(Key::Space);
    window.until("the sound plays", follows_sound);
    let began = position(&window);

    let heard = listen(&mut window, &hand, 2 * RATE as usize);
    let played = position(&window) - began;
    assert!(
        (played - 2.0).abs() < 0.1,
        "two seconds heard, {played} s shown"
    );
    assert!(level(&heard) > 0.02, "it is heard");
    let rises = heard.windows(2).filter(|p| p[0] < 0.0 && p[1] >= 0.0);
    let rises = rises.count();
    assert!(
        (875..=885).contains(&rises),
        "440 Hz in two seconds: {rises}"
    );
    // The window draws on, but nothing moves that is not heard.
    let before = position(&window);
    window.steps(10);
    assert!(
        (position(&window) - before).abs() < 1e-9,
        "nothing was heard"
    );

    window.press(Key::F8);
    listen(&mut window, &hand, RATE as usize / 10);
    let muted = listen(&mut window, &hand, RATE as usize);
    assert!(level(&muted) < 1e-6, "muted: {}", level(&muted));
    let played = position(&window) - began;
    assert!((played - 3.1).abs() < 0.15, "the film goes on: {played} s");
    assert!(window.shows("Put the sound on"));
    window.press(Key::F8);
    listen(&mut window, &hand, RATE as usize / 10);
    assert!(level(&listen(&mut window, &hand, 4_800)) > 0.02, "on again");

    hand.lose();
    let before = position(&window);
    window.until("the film goes on without sound", |w| {
        position(w) > before + 0.5
    });
    assert!(window.shows("loudspeaker gone"));
    assert!(window.app().review().unwrap().stage.is_playing());
}

#[test]
fn a_jump_is_heard_from_where_it_leads() {
    let folder = tempfile::tempdir().unwrap();
    let Some((mut window, hand)) = open_with_sound(folder.path()) else {
        return;
    };
    window.press(Key::Home);
    window.press(Key::Space);
    window.until("the sound plays", follows_sound);
    listen(&mut window, &hand, 9_600);
    let before = position(&window);
    for _ in 0..3 {
        window.press_with(Modifiers::SHIFT, Key::ArrowRight);
    }
    window.until("the sound plays from there", follows_sound);
    listen(&mut window, &hand, 48_000);
    let jumped = position(&window) - before;
    assert!(
        (3.8..4.6).contains(&jumped),
        "three seconds and one heard: {jumped} s"
    );
}

/// A tone from ten to twenty seconds: the sound band is high there, and a line elsewhere.
#[test]
fn the_strip_shows_how_loud_the_film_is() {
    let folder = tempfile::tempdir().unwrap();
    let tone = "aevalsrc=0.5*sin(2*PI*440*t)*between(t\\,10\\,20):s=48000";
    let Some((mut window, _hand)) = open_with(folder.path(), tone) else {
        return;
    };
    window.until("the loudness is known", |w| {
        let review = w.app().review().unwrap();
        let film = review.stage.current_film().unwrap();
        matches!(review.waves.of(&film.path), Wave::Ready(_))
    });
    window.steps(2);
    let review = window.app().review().unwrap();
    let films = window.app().open_yard().unwrap().placed(review.ride);
    let waves: Vec<Wave> = films.iter().map(|p| review.waves.of(&p.path)).collect();
    let data = StripData {
        words: &window.yard().words,
        ride: window.ride(),
        review: window.ride().head.counting,
        films: &films,
        waves: &waves,
        sound_band: true,
        extent: review.stage.extent(),
        now: Moment(0),
        playing: false,
        flaws: &[],
        repeated: None,
        notes: &[],
        selected: &std::collections::BTreeSet::new(),
        frames: None,
        may: layout::May::Mark,
    };
    let height = layout::height(&data, true);
    let rect = Rect::from_min_size(Pos2::ZERO, vec2(1_000.0, height));
    for (from, to) in [(0, 40), (5, 25), (9, 11)] {
        let second = |count: i64| Moment(count * 1_000_000_000);
        let view = Span {
            from: second(from),
            to: second(to),
        };
        let shown = layout::layout(&data, view, rect);
        assert!(shown.sound.columns.len() >= 999, "from edge to edge");
        let time = |x: f32| from as f32 + x / 1_000.0 * (to - from) as f32;
        for column in &shown.sound.columns {
            let tall = column.peak.1 - column.peak.0;
            let at = time(column.x);
            let slack = 0.002 * (to - from) as f32 + 0.03;
            if at > 10.0 + slack && at < 20.0 - slack {
                assert!(tall > 18.0, "{at} s: {tall} points");
            } else if at < 10.0 - slack || at > 20.0 + slack {
                assert!(tall < 4.0, "{at} s: {tall} points");
            }
        }
    }
}

#[test]
fn a_film_without_sound_and_a_machine_without_a_device_say_so() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let open = |yard: &Path| {
        let mut window = Window::open(&[yard]);
        window.until("the yard is open", |w| w.app().open_yard().is_some());
        window.press_with(Modifiers::COMMAND, Key::Num2);
        window.until("the film shows a frame", Window::has_picture);
        window
    };
    assert!(open(&yard).shows("This film has no sound"));
    if put_sound_under(&yard.join("films/evening-ride.mp4"), "sine=frequency=440") {
        let mut window = open(&yard);
        assert!(window.shows("No loudspeaker was found"));
        window.press(Key::Home);
        window.press(Key::Space);
        window.until("it plays all the same", |w| position(w) > 0.5);
    }
}
