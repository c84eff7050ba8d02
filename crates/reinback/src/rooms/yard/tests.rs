//! The room in a window without a screen, while a yard is read and after.

use std::sync::Arc;

use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use reinback_yard::{Listed, Progress, RideName};

use super::*;
use crate::report::sample;

struct Room {
    view: YardView,
    /// While it is read.
    reading: Option<Reading>,
    /// Once it is whole.
    yard: Yard,
    out: Vec<Action>,
}

fn room(reading: Option<Reading>) -> Harness<'static, Room> {
    let room = Room {
        view: YardView::new(Arc::new(|| {}), None),
        reading,
        yard: sample::yard(),
        out: Vec::new(),
    };
    Harness::builder()
        .with_size([1280.0, 756.0])
        .with_context_setup(theme::install)
        .build_ui_state(
            |ui, room: &mut Room| {
                let reading = room.reading.as_ref();
                let data = YardData {
                    yard: reading.map_or(&room.yard, |reading| &reading.yard),
                    today: sample::day(9),
                    writable: reading.is_none(),
                    problems: &[],
                    film_path: &|film| film.path.clone().into(),
                    folder: Path::new("yard"),
                    revision: reading.map_or(0, Reading::revision),
                    reading,
                };
                yard_ui(ui, &mut room.view, &data, &mut room.out);
            },
            room,
        )
}

/// The sample, of which the newest ride has been read and the others have not.
fn half_read() -> Reading {
    let yard = sample::yard();
    let mut rides: Vec<_> = yard.rides.values().cloned().collect();
    rides.sort_by_key(|ride| std::cmp::Reverse(ride.head.date));
    let files = rides.iter().map(|ride| RideName {
        date: Some(ride.head.date),
        horse: Some(ride.head.horse),
        ride: Some(ride.id),
    });
    let files: Vec<_> = files.collect();
    let progress = Progress {
        done: 1,
        total: files.len(),
    };
    let bare = Yard {
        rides: std::collections::BTreeMap::new(),
        ..yard
    };
    let mut reading = Reading::new(Listed { yard: bare, files });
    reading.take(rides.into_iter().take(1).collect(), progress);
    reading
}

#[test]
fn what_is_not_read_is_said_to_be_so_and_nothing_can_be_opened() {
    let reading = half_read();
    let whole = reading.progress.total;
    let mut room = room(Some(reading));
    room.run_steps(3);
    room.get_by_label_contains(&format!("1 of {whole} rides read"));
    assert!(room.query_all_by_label_contains("not read yet").count() >= 2);
    let read = room.get_by_label_contains("Review ");
    assert!(read.accesskit_node().is_disabled());
    read.click();
    room.run_steps(3);
    assert!(room.state().out.is_empty(), "{:?}", room.state().out);
}

#[test]
fn a_whole_yard_opens_its_rides() {
    let mut room = room(None);
    room.run_steps(3);
    assert_eq!(room.query_all_by_label_contains("not read yet").count(), 0);
    let newest = room.query_all_by_label_contains("Review ").next();
    newest.expect("a ride").click();
    room.run_steps(3);
    assert!(
        matches!(room.state().out[..], [Action::OpenRide(_, None)]),
        "{:?}",
        room.state().out
    );
}
