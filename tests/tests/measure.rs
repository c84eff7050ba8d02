//! Measuring on the frame: by keys alone, and by the mouse on a film whose pixels are not square
//! and whose picture lies on its side.

#![expect(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey; one that is left out says so"
)]

use std::path::{Path, PathBuf};
use std::process::Command;

use egui::{Key, Modifiers, Pos2, Rect, pos2};
use egui_kittest::kittest::Queryable as _;
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::{MarkKind, MeasureKind, Measured, Plumb, Point, Store};

const CTRL: Modifiers = Modifiers::COMMAND;

fn open_demo(folder: &Path) -> Window {
    let yard = copy_demo(folder).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(CTRL, Key::Num2);
    until_still(&mut window);
    window
}

fn until_still(window: &mut Window) {
    window.until("a frame stands on the screen", |w| {
        let stage = w.app().review().map(|review| &review.stage);
        stage.is_some_and(|stage| stage.picture().is_some() && !stage.is_waiting())
    });
}

fn measured(window: &Window) -> Vec<Measured> {
    let marks = window.ride().marks.iter();
    marks
        .filter_map(|mark| match &mark.kind {
            MarkKind::Measured(measured) => Some(measured.as_ref().clone()),
            _ => None,
        })
        .collect()
}

fn value(window: &Window, measured: &Measured) -> f64 {
    let mut films = window.ride().films.iter();
    let tilt = films.find(|film| film.id == measured.film).unwrap().tilt;
    measured.read(tilt).unwrap().unwrap().value
}

#[test]
fn an_angle_by_keys_is_kept_changed_and_undone() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    let before = window.ride().clone();
    window.press(Key::F10);
    assert!(window.shows("Measure on the frame"));
    window.types("4");
    // The first point in the middle of the picture (1280 by 720), the vertex below it, and the
    // other arm 40 to the right of that: a right angle.
    window.press(Key::Enter);
    window.press(Key::Enter);
    window.press(Key::Enter);
    for _ in 0..6 {
        window.press(Key::ArrowUp);
    }
    for _ in 0..54 {
        window.press(Key::ArrowUp);
    }
    for _ in 0..4 {
        window.press_with(Modifiers::SHIFT, Key::ArrowRight);
    }
    assert_eq!(
        window.ride(),
        &before,
        "nothing is marked while points are put, and no frame was stepped"
    );
    assert!(window.shows("90.0°"), "{:?}", window.texts());
    // Letters begin no exercise meanwhile, and digits mark no fault.
    window.types("hp9");
    assert_eq!(window.ride(), &before);

    window.press(Key::Enter);
    let kept = measured(&window);
    let [angle] = kept.as_slice() else {
        panic!("one measure: {kept:?}");
    };
    let pixels = |x: i32, y: i32| Point {
        x: x * 1_000,
        y: y * 1_000,
    };
    assert_eq!(angle.kind, MeasureKind::Angle);
    let points = [pixels(640, 360), pixels(640, 420), pixels(680, 420)];
    assert_eq!(angle.points, points);
    let mark = window
        .ride()
        .marks
        .iter()
        .find(|mark| matches!(&mark.kind, MarkKind::Measured(_)));
    let mark = mark.unwrap().clone();
    assert!(mark.is_on_its_frame());
    let now = window.app().review().unwrap().stage.position();
    assert_eq!(mark.at, now);

    // Its points come back when it is chosen, and changing them is one step.
    window.click_part("angle 90.0°");
    until_still(&mut window);
    window.types("nnn");
    window.press_with(Modifiers::SHIFT, Key::ArrowLeft);
    for _ in 0..10 {
        window.press(Key::ArrowLeft);
    }
    window.press(Key::Enter);
    let changed = measured(&window);
    assert_eq!(changed[0].points[2], pixels(660, 420));
    window.press_with(CTRL, Key::Z);
    assert_eq!(measured(&window), kept, "one step back");
    window.press_with(CTRL, Key::Z);
    assert_eq!(window.ride(), &before, "and nothing was measured");
    window.press_with(CTRL | Modifiers::SHIFT, Key::Z);
    assert_eq!(measured(&window), kept);

    // It is there when the yard is opened again.
    window.press_with(CTRL, Key::S);
    window.until("everything is saved", |w| w.app().is_saved());
    let ride = window.ride().clone();
    drop(window);
    let reopened = Store::open(&folder.path().join("yard")).unwrap();
    assert_eq!(reopened.yard.ride(ride.id), Some(&ride));
}

#[test]
fn escape_lets_go_and_the_film_steps_again() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open_demo(folder.path());
    window.press(Key::F10);
    window.press(Key::Enter);
    let here = window.app().review().unwrap().stage.position();
    window.press(Key::ArrowRight);
    until_still(&mut window);
    assert_eq!(window.app().review().unwrap().stage.position(), here);
    window.press(Key::Escape);
    window.press(Key::ArrowRight);
    until_still(&mut window);
    assert!(window.app().review().unwrap().stage.position() > here);
    assert!(window.shows("The points lie on the frame at"));
    window.press(Key::F10);
    assert!(!window.shows("Measure on the frame"));
}

/// A black film of 320 by 320 stored pixels, each twice as wide as high, that is to be turned
/// clockwise by 90 degrees; with white squares of 8 pixels around these stored places. `None`, with
/// a printed line, where this `ffmpeg` makes none.
fn film(folder: &Path, dots: &[(i32, i32)]) -> Option<PathBuf> {
    let squares: Vec<String> = dots
        .iter()
        .map(|(x, y)| format!("drawbox={}:{}:8:8:white:fill", x - 4, y - 4))
        .collect();
    let filter = format!("{},setsar=2/1", squares.join(","));
    let (flat, turned) = (folder.join("flat.mp4"), folder.join("turned.mp4"));
    let run = |args: &[&str], to: &Path| {
        let mut command = Command::new("ffmpeg");
        let status = command
            .args(["-v", "error", "-y"])
            .args(args)
            .arg(to)
            .status();
        status.is_ok_and(|status| status.success())
    };
    let source = [
        "-f",
        "lavfi",
        "-i",
        "color=black:size=320x320:rate=25:duration=2",
    ];
    let coded = ["-vf", &filter, "-c:v", "libx264", "-pix_fmt", "yuv420p"];
    if !run(&[source.as_slice(), &coded].concat(), &flat) {
        println!("skipped: ffmpeg makes no films");
        return None;
    }
    // Versions of ffmpeg disagree on the sign; what it wrote is read by ffprobe, which tells a turn
    // clockwise as negative.
    for turn in ["rotate=90", "rotate=270"] {
        let args = ["-i", flat.to_str()?, "-c", "copy", "-metadata:s:v:0", turn];
        let mut probe = Command::new("ffprobe");
        probe.args(["-v", "error", "-of", "csv=p=0"]);
        probe.args(["-show_entries", "stream_side_data=rotation"]);
        let told = run(&args, &turned).then(|| probe.arg(&turned).output());
        if let Some(Ok(told)) = told
            && String::from_utf8_lossy(&told.stdout).trim() == "-90"
        {
            return Some(turned);
        }
    }
    println!("skipped: this ffmpeg writes no turn from metadata");
    None
}

/// Opens a ride of one film.
fn open_film(folder: &Path, film: PathBuf) -> Window {
    let yard = copy_demo(folder).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.will_answer(vec![film]);
    window.press_with(CTRL, Key::N);
    window.until("the film is read", |w| {
        w.shows("320×640") && !w.shows("Reading")
    });
    window.click("Make the ride");
    until_still(&mut window);
    window
}

/// How bright the picture is at a place of it, 0 to 255.
fn brightness(window: &Window, x: u32, y: u32) -> u8 {
    let (_, frame) = window.app().review().unwrap().stage.picture().unwrap();
    frame.rgba[((y * frame.width + x) * 4) as usize]
}

#[test]
fn points_are_put_where_they_are_seen_on_a_turned_film_of_wide_pixels() {
    let folder = tempfile::tempdir().unwrap();
    // Stored places of the upper and the lower end of a nose, a neck, and both ends of a post.
    let stored = [(40, 200), (120, 180), (60, 280), (20, 60), (140, 20)];
    let Some(film) = film(folder.path(), &stored) else {
        return;
    };
    let mut window = open_film(folder.path(), film);
    let info = window.app().review().unwrap().stage.info().unwrap().clone();
    // By hand: each stored (x, y) is shown at (2x, y) in 640 by 320, and after a quarter turn
    // clockwise at (320 - y, 2x) in 320 by 640.
    assert_eq!((info.width, info.height), (320, 640));
    let shown = [(120, 80), (140, 240), (40, 120), (260, 40), (300, 280)];
    for (x, y) in shown {
        assert!(brightness(&window, x, y) > 200, "white at {x}, {y}");
    }
    assert!(brightness(&window, 160, 320) < 50);

    window.press(Key::F10);
    let area = film_area(&window);
    // The picture fills the area from top to bottom or from side to side, in its middle.
    let scale = (area.width() / 320.0).min(area.height() / 640.0);
    let on_screen = |(x, y): (u32, u32)| {
        let from_middle = egui::vec2(x as f32 - 160.0, y as f32 - 320.0);
        area.center() + from_middle * scale
    };
    for place in &shown[..3] {
        click(&mut window, on_screen(*place));
    }
    window.press(Key::Enter);
    let nose = newest(&window, &[]);
    for (point, (x, y)) in nose.points.iter().zip(shown) {
        let dot = point.dot();
        let off = (dot.x - f64::from(x)).hypot(dot.y - f64::from(y));
        assert!(off < 0.01, "{dot:?} instead of {x}, {y}");
    }
    // It faces right; the nose is 20 ahead and 160 below: atan(1/8) = 7.1250 degrees in front.
    assert_eq!(nose.plumb, Plumb::Film);
    assert!((value(&window, &nose) - 7.125).abs() < 0.01);

    // By the post: 40 to the right on 240 down, so the picture is turned anticlockwise by
    // atan(1/6) = 9.4623 degrees, and the nose is 2.3373 degrees behind it.
    window.types("p");
    for place in [3, 4, 0, 1, 2] {
        click(&mut window, on_screen(shown[place]));
    }
    assert!(window.shows("behind the vertical"), "{:?}", window.texts());
    window.press(Key::Enter);
    let by_post = newest(&window, &[&nose]);
    assert!((value(&window, &by_post) + 2.3373).abs() < 0.01);

    // The whole film is turned so: the first mark follows, as it goes by the film's tilt.
    for place in [3, 4] {
        click(&mut window, on_screen(shown[place]));
    }
    window.types("t");
    let tilt = window.ride().films[0].tilt.unwrap();
    assert!((tilt + 9_462).abs() <= 5, "{tilt} thousandths of a degree");
    assert!((value(&window, &nose) + 2.3373).abs() < 0.02);
    // Both stand outside exercises, where nothing says that they are of one and the same thing.
    assert!(!window.shows("mean of"), "{:?}", window.texts());

    // A point is dragged: the nose straight down is on the post's other side.
    window.press(Key::Escape);
    for place in &shown[..3] {
        click(&mut window, on_screen(*place));
    }
    window.harness.drag_at(on_screen(shown[1]));
    window.steps(2);
    window.harness.hover_at(on_screen((130, 200)));
    window.steps(2);
    window.harness.drop_at(on_screen((120, 240)));
    window.steps(3);
    window.press(Key::Enter);
    let dragged = newest(&window, &[&nose, &by_post]);
    let dot = dragged.points[1].dot();
    assert!((dot.x - 120.0).hypot(dot.y - 240.0) < 0.01, "{dot:?}");
    assert!((value(&window, &dragged) + 9.462).abs() < 0.01);
}

/// What was measured beside these: marks of one frame are in no order that can be relied on.
fn newest(window: &Window, known: &[&Measured]) -> Measured {
    let mut all = measured(window);
    assert_eq!(all.len(), known.len() + 1);
    all.retain(|own| !known.contains(&own));
    all.pop().unwrap()
}

/// Where the film is shown.
fn film_area(window: &Window) -> Rect {
    let film = window.harness.get_by_label_contains("Film; a click");
    film.rect()
}

fn click(window: &mut Window, at: Pos2) {
    window.harness.hover_at(pos2(at.x, at.y));
    window.steps(1);
    window.harness.drag_at(at);
    window.steps(1);
    window.harness.drop_at(at);
    window.steps(2);
}
