//! A figure of an opened exercise read as a table, changed by its legend, saved, and left for taps.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use reinback::action::Room;
use reinback_tests::window::{Window, copy_demo};

/// Opens the demo yard's flying changes of every ride.
fn open_changes(yard: &std::path::Path) -> Window {
    let mut window = Window::open(&[yard]);
    // High enough to have the whole line in sight.
    window.harness.set_size(egui::vec2(1_600.0, 2_400.0));
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("lines are counted", |w| w.shows("flying change. "));
    window.harness.get_by_value("November to date").click();
    window.steps(3);
    window.click("Everything");
    window.until("every ride is counted", |w| w.shows("75 of 174 attempts"));
    window.click_part("flying change. ");
    window.until("its rides are drawn", |w| {
        w.shows("Share of faulty attempts in 30 rides of flying change")
    });
    window
}

#[test]
fn a_figure_is_a_table_and_can_be_saved() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let mut window = open_changes(&yard);

    window.click("flying change, ride by ride as a table");
    window.until("the newest ride is a row", |w| {
        w.shows("Day: 20 Nov 2026; Attempts: 4")
    });
    window.click("flying change, ride by ride as a table");

    // What is switched off is not in the picture, and is in the table.
    window.click("Trend with its range");
    let mut saved = |part: &str, name: &str| {
        let path = folder.path().join(name);
        window.will_answer(vec![path.clone()]);
        window.click("flying change, ride by ride: copy or save");
        window.click(part);
        window.until("it is written", |w| w.shows(&format!("Written: {name}")));
        std::fs::read(path).unwrap()
    };
    let svg = String::from_utf8(saved("Save picture (SVG)…", "changes.svg")).unwrap();
    assert!(
        svg.starts_with("<svg") && svg.contains(">Rides</text>"),
        "{svg}"
    );
    assert!(
        !svg.contains(">Trend with its range</text>"),
        "it was switched off"
    );
    let png = saved("Save picture (PNG)…", "changes.png");
    assert_eq!(&png[..8], b"\x89PNG\r\n\x1a\n");
    let csv = String::from_utf8(saved("Save table (CSV)…", "changes.csv")).unwrap();
    assert!(
        csv.starts_with("Day,Attempts,Faulty,Faults,Share,Range,Trend"),
        "{csv}"
    );
    assert!(
        csv.lines().filter(|line| line.contains(" 2026,")).count() >= 30,
        "{csv}"
    );
}

#[test]
fn where_no_tempo_is_known_the_newest_ride_opens_for_taps() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let mut window = open_changes(&yard);
    assert!(window.shows("No tempo is known around this exercise"));
    window.click_part("Tap the tempo of the newest ride");
    window.until("the ride is open", |w| w.app().room() == Room::Review);
    let tapping = |w: &Window| {
        w.app()
            .review()
            .is_some_and(|review| review.tapping.is_some())
    };
    window.until("taps are taken", tapping);
}
