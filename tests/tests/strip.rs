//! Hands on the strip: edges dragged with what they catch on, lassos, several things at once, and
//! the band of the whole ride.

#![expect(
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey"
)]

use std::path::Path;

use egui::{Key, Modifiers, Pos2, Rect, pos2};
use egui_kittest::kittest::Queryable as _;
use reinback::action::Chosen;
use reinback::rooms::review::strip::layout::{Layout, May, layout};
use reinback::rooms::review::strip::{StripData, bands::Block};
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::{Bout, Moment, Ride};

const SECOND: i64 = 1_000_000_000;
const NONE: Modifiers = Modifiers::NONE;

fn open(folder: &Path) -> Window {
    let yard = copy_demo(folder).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num2);
    window.until("the film shows a frame", Window::has_picture);
    window
}

/// As [`open`], where the left hind was tapped at each of these seconds.
fn open_tapped(folder: &Path, taps: &[f64]) -> Window {
    let yard = copy_demo(folder).unwrap();
    let rides = yard.join("rides/2026");
    let files = std::fs::read_dir(&rides).unwrap();
    let newest = files.map(|file| file.unwrap().path()).max().unwrap();
    let text = std::fs::read_to_string(&newest).unwrap();
    let taps: Vec<String> = taps
        .iter()
        .map(|at| format!("\"0:00:{at:012.9}\""))
        .collect();
    let review = text.split("counting: \"").nth(1).unwrap();
    let review = &review[..16];
    let track = format!(
        "  tempos: [(id: \"00000000000000a1\", review: \"{review}\", leg: LeftHind, taps: [{}])],\n)\n",
        taps.join(", ")
    );
    let head = text.lines().nth(1).unwrap();
    let body = text.replacen(head, "  format: 3,", 1);
    let body = body.trim_end().strip_suffix(')').unwrap();
    std::fs::write(&newest, format!("{body}{track}")).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num2);
    window.until("the film shows a frame", Window::has_picture);
    window
}

/// The strip as it is on screen.
fn strip(window: &Window) -> Layout {
    let review = window.app().review().unwrap();
    let films = window.app().open_yard().unwrap().placed(review.ride);
    let data = StripData {
        words: &window.yard().words,
        ride: window.ride(),
        review: window.ride().head.counting,
        films: &films,
        waves: &[],
        sound_band: false,
        extent: review.stage.extent(),
        now: review.stage.position(),
        playing: false,
        flaws: &[],
        repeated: None,
        notes: &[],
        selected: review.selection.all(),
        frames: None,
        may: May::Mark,
    };
    let canvas = window.harness.get_by_label_contains("Strip of the ride");
    layout(&data, review.strip.view(data.extent), canvas.rect())
}

fn moment(seconds: f64) -> Moment {
    Moment((seconds * SECOND as f64) as i64)
}

/// A place on a bed at a second of the ride.
fn place(strip: &Layout, bed: Rect, seconds: f64) -> Pos2 {
    pos2(strip.axis.x_from_moment(moment(seconds)), bed.center().y)
}

/// Shows some 44 seconds of the ride that begin a little before this one.
fn come_close(window: &mut Window, seconds: f64) {
    zoom_in(window, seconds, 4);
}

/// Doubles the zoom so many times around a second of the ride.
fn zoom_in(window: &mut Window, seconds: f64, times: usize) {
    let whole = strip(window);
    window.click_at(NONE, place(&whole, whole.beds.ruler, seconds));
    window.until("the frame is there", |w| {
        !w.app().review().unwrap().stage.is_waiting()
    });
    for _ in 0..times {
        window.press(Key::F6);
    }
}

fn bout_at(window: &Window, seconds: f64) -> Bout {
    let at = moment(seconds);
    let mut bouts = window.ride().bouts.iter();
    let holds = |bout: &&Bout| bout.from <= at && bout.to.is_some_and(|to| at < to);
    bouts.find(holds).unwrap().clone()
}

fn block<'a>(strip: &'a Layout, bout: &Bout) -> &'a Block {
    let chosen = Some(Chosen::Bout(bout.id));
    strip.bouts.iter().find(|own| own.chosen == chosen).unwrap()
}

fn chosen(window: &Window) -> usize {
    window.app().review().unwrap().selection.all().len()
}

fn undo(window: &mut Window) {
    window.press_with(Modifiers::COMMAND, Key::Z);
}

/// The half-pass to the right ends at 26.0 s, the one to the left begins at 28.4 s.
#[test]
fn an_edge_catches_on_its_neighbour_unless_alt_is_held() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open(folder.path());
    come_close(&mut window, 24.0);
    let (right, left) = (bout_at(&window, 24.0), bout_at(&window, 30.0));
    let before: Ride = window.ride().clone();

    let shown = strip(&window);
    let edge = block(&shown, &right).rect.right_center();
    let near = block(&shown, &left).rect.left_center() + egui::vec2(3.0, 0.0);
    window.drag(NONE, edge, near);
    let after = bout_at(&window, 24.0);
    assert_eq!((after.from, after.to), (right.from, Some(left.from)));
    undo(&mut window);
    assert_eq!(*window.ride(), before, "one step");

    window.drag(Modifiers::ALT, edge, near);
    let to = bout_at(&window, 24.0).to.unwrap();
    assert!(to > left.from && to.0 < left.from.0 + SECOND, "{to:?}");
    undo(&mut window);
    assert_eq!(*window.ride(), before);
}

#[test]
fn escape_puts_back_what_is_dragged() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open(folder.path());
    come_close(&mut window, 24.0);
    let before: Ride = window.ride().clone();
    let shown = strip(&window);
    let edge = block(&shown, &bout_at(&window, 24.0)).rect.right_center();
    let away = edge - egui::vec2(60.0, 0.0);
    window.take_hold(NONE, edge);
    window.move_to(away);
    window.press(Key::Escape);
    window.move_to(away - egui::vec2(20.0, 0.0));
    window.let_go(away);
    assert_eq!(*window.ride(), before);
    window.press_with(Modifiers::COMMAND, Key::Z);
    assert!(window.shows("Nothing to undo"), "{:?}", window.texts());
}

#[test]
fn what_is_dragged_is_let_go_while_the_strip_is_away() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open(folder.path());
    come_close(&mut window, 24.0);
    let before: Ride = window.ride().clone();
    let shown = strip(&window);
    let rect = block(&shown, &bout_at(&window, 24.0)).rect;
    window.click_at(NONE, rect.center());
    assert!(window.app().review().unwrap().chosen.is_some());
    let away = rect.right_center() - egui::vec2(60.0, 0.0);
    window.take_hold(NONE, rect.right_center());
    window.move_to(away);
    window.press(Key::F11);
    window.let_go(away);
    window.press(Key::F11);
    window.move_to(away - egui::vec2(20.0, 0.0));
    assert_eq!(*window.ride(), before);
    // Nothing is held that Escape would put back first.
    window.press(Key::Escape);
    assert_eq!(window.app().review().unwrap().chosen, None);
}

/// Trot touches canter at 37.9 s: they share that edge.
#[test]
fn paces_that_touch_share_their_edge() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open(folder.path());
    come_close(&mut window, 38.0);
    let before: Ride = window.ride().clone();
    let shown = strip(&window);
    let bed = shown.beds.paces;
    window.drag(
        Modifiers::ALT,
        place(&shown, bed, 37.92),
        place(&shown, bed, 40.0),
    );
    let (trot, canter) = (&window.ride().paces[1], &window.ride().paces[2]);
    assert_eq!(trot.span.to, canter.span.from);
    let at = trot.span.to.0 as f64 / SECOND as f64;
    assert!((at - 40.0).abs() < 0.2, "{at}");
    undo(&mut window);
    assert_eq!(*window.ride(), before, "one step");
}

/// Marks stand at 30.7, 44.7 and 57.3 s.
#[test]
fn a_lasso_takes_marks_that_are_moved_and_removed_together() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open(folder.path());
    zoom_in(&mut window, 31.0, 3);
    let before: Ride = window.ride().clone();
    let shown = strip(&window);
    let bed = shown.beds.marks;
    let lasso = |window: &mut Window, from: f64, to: f64| {
        let (from, to) = (place(&shown, bed, from), place(&shown, bed, to));
        window.drag(Modifiers::SHIFT, from, to);
    };
    lasso(&mut window, 28.0, 60.0);
    assert_eq!(chosen(&window), 3, "{:?}", window.texts());
    assert!(window.shows("3 chosen") && window.shows("3 things chosen"));

    let mark = place(&shown, bed, 44.667);
    window.drag(Modifiers::ALT, mark, place(&shown, bed, 46.667));
    let moved: Vec<i64> = (0..3)
        .map(|n| window.ride().marks[n].at.0 - before.marks[n].at.0)
        .collect();
    assert!((moved[0] - 2 * SECOND).abs() < SECOND / 5, "{moved:?}");
    assert!(moved[1] == moved[0] && moved[2] == moved[0], "{moved:?}");
    assert_eq!(window.ride().marks[3], before.marks[3]);
    undo(&mut window);
    assert_eq!(*window.ride(), before, "moving is one step");

    lasso(&mut window, 28.0, 60.0);
    window.press(Key::Delete);
    assert_eq!(window.ride().marks[..], before.marks[3..]);
    undo(&mut window);
    assert_eq!(*window.ride(), before, "removing is one step");
}

#[test]
fn lines_are_chosen_with_shift_and_taken_out_of_the_count_together() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open(folder.path());
    let shown = strip(&window);
    let first = bout_at(&window, 3.0);
    window.click_at(NONE, block(&shown, &first).rect.center());
    assert_eq!(chosen(&window), 1);
    let walk = "; chosen: walk, medium from 0:00.00 to 0:07.28";
    assert!(window.shows(walk), "{:?}", window.texts());
    let shift = Modifiers::SHIFT;
    // The next lines: trot as a pace, its outline, and trot as an exercise.
    for _ in 0..3 {
        window.press_with(shift, Key::ArrowDown);
    }
    assert_eq!(chosen(&window), 4);
    window.press_with(shift, Key::ArrowUp);
    assert_eq!(chosen(&window), 3);
    window.press_with(shift, Key::ArrowDown);

    let counted = |window: &Window| {
        let bouts = window.ride().bouts.iter();
        bouts.filter(|bout| bout.reviewed).count()
    };
    let before = counted(&window);
    window.types("-");
    assert_eq!(counted(&window), before - 2);
    assert_eq!(chosen(&window), 4, "still chosen");
    window.types("-");
    assert_eq!(counted(&window), before);
    window.types("=");
    assert!(window.shows("only one can be set to a frame"));

    window.press_with(Modifiers::COMMAND, Key::A);
    let ride = window.ride();
    let all = ride.bouts.len() + ride.marks.len() + ride.paces.len() + ride.outlines.len();
    assert_eq!(chosen(&window), all);
    window.press(Key::ArrowDown);
    assert_eq!(chosen(&window), 1, "going on chooses one thing again");
}

#[test]
fn a_pace_starts_and_ends_where_the_film_stands() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open(folder.path());
    come_close(&mut window, 20.0);
    let here = window.app().review().unwrap().stage.position();
    let shown = strip(&window);
    let trot = window.ride().paces[1].clone();
    let chosen = Some(Chosen::Pace(trot.id));
    let block = shown.paces.iter().find(|own| own.chosen == chosen).unwrap();
    window.click_at(Modifiers::COMMAND, block.rect.center());
    window.click("Starts here");
    let paces = &window.ride().paces;
    assert_eq!((paces[0].span.to, paces[1].span.from), (here, here));
    undo(&mut window);
    window.press_with(Modifiers::SHIFT, Key::F6);
    let paces = &window.ride().paces;
    assert_eq!((paces[1].span.to, paces[2].span.from), (here, here));
}

#[test]
fn the_band_of_the_whole_ride_moves_what_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open(folder.path());
    assert!(strip(&window).overview.is_none(), "the whole ride is shown");
    come_close(&mut window, 60.0);
    let shown = strip(&window);
    let overview = shown.overview.as_ref().unwrap();
    let from = overview.window.center();
    let by = 300.0;
    window.drag(NONE, from, from + egui::vec2(by, 0.0));
    let moved = strip(&window);
    let nanos = moved.axis.view.from.0 - shown.axis.view.from.0;
    let expect = f64::from(by) * overview.axis.nanos_per_point();
    assert!((nanos as f64 - expect).abs() < 2e9, "{nanos} {expect}");
    assert_eq!(
        moved.axis.view.duration_nanos(),
        shown.axis.view.duration_nanos()
    );

    let edge = moved.overview.as_ref().unwrap().window.right_center();
    window.drag(NONE, edge, edge + egui::vec2(100.0, 0.0));
    let wider = strip(&window).axis.view;
    assert_eq!(wider.from, moved.axis.view.from);
    assert!(wider.to.0 > moved.axis.view.to.0 + 30 * SECOND);
}

#[test]
fn taps_are_moved_removed_and_added() {
    let folder = tempfile::tempdir().unwrap();
    let even: Vec<f64> = (0..10).map(|tap| 20.0 + 0.8 * f64::from(tap)).collect();
    let mut window = open_tapped(folder.path(), &even);
    come_close(&mut window, 21.0);
    let before: Ride = window.ride().clone();
    let shown = strip(&window);
    let bed = shown.beds.tempo.unwrap();
    assert_eq!(shown.tempo.taps.len(), 10);
    window.click_at(NONE, place(&shown, bed, 23.6));
    let said = "tempo of the left hind: 75.0 strides a minute";
    assert!(window.shows(&format!("chosen: {said} from 0:20.00 to 0:27.20")));
    assert!(window.shows(&format!("0:20 {said}")), "a line of the list");
    let (tap, away) = (place(&shown, bed, 21.6), place(&shown, bed, 21.9));
    window.drag(Modifiers::ALT, tap, away);
    let taps = window.ride().tempos[0].taps.clone();
    let at = taps[2].0 as f64 / SECOND as f64;
    assert!((at - 21.9).abs() < 0.05, "{at}");
    let others = |taps: &[Moment]| [&taps[..2], &taps[3..]].concat();
    assert_eq!(others(&taps), others(&before.tempos[0].taps));

    // It is still chosen, by its new moment.
    window.press(Key::Delete);
    assert_eq!(window.ride().tempos[0].taps, others(&taps));
    for _ in 0..2 {
        window.press_with(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(*window.ride(), before, "each was one step");

    let gap = place(&shown, bed, 22.0);
    window.take_hold(NONE, gap);
    window.harness.drop_at(gap);
    window.harness.drag_at(gap);
    window.let_go(gap);
    assert_eq!(window.ride().tempos[0].taps.len(), 11);
    window.press_with(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.ride(), before);
}
