//! The page of the whole horse in the real window: read it, and go from it to a ride and back.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use reinback_tests::window::{Window, copy_demo};

#[test]
fn from_the_whole_horse_to_a_ride_and_back() {
    let folder = tempfile::tempdir().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("lines are counted", |w| w.shows("faults a minute"));
    window.click("The whole horse");
    window.until("outlines are shown", |w| w.shows("have outlines marked"));
    for part in [
        "check the current rules",
        "in a known pace",
        "Last seven days",
        "faults have a place",
        "fewer than two changes marked",
        "No tempo is known in these days",
    ] {
        assert!(window.shows(part), "{part}: {:?}", window.texts());
    }
    window.click("Outline, ride by ride as a table");
    window.until("the table is shown", |w| w.shows("Day: 20 Nov 2026; "));
    let row = window
        .harness
        .get_all_by_label_contains("Day: 20 Nov 2026; ");
    row.into_iter().next().unwrap().click_accesskit();
    window.until("the ride is open", |w| w.app().review().is_some());
    assert_eq!(window.ride().head.date.to_string(), "2026-11-20");
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("the page is still there", |w| {
        w.shows("have outlines marked")
    });
}
