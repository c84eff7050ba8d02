//! The list of rides, with some of them still to be read.

use std::path::Path;
use std::sync::Arc;

use reinback_yard::{Film, Horse, Listed, Progress, Review, Yard};

use super::super::Reading;
use super::*;

const ASTRA: HorseId = HorseId::from_bits(1);
const BORA: HorseId = HorseId::from_bits(2);

fn ride(id: u64, horse: HorseId, day: &str, title: &str) -> Arc<Ride> {
    let review = Review {
        id: 1.into(),
        reviewer: String::new(),
        blind: false,
    };
    let mut ride = Ride::new(id.into(), horse, day.parse().unwrap(), review);
    ride.head.title = title.to_owned();
    Arc::new(ride)
}

fn yard() -> Yard {
    let horse = |id, name: &str| Horse {
        id,
        name: name.to_owned(),
        foaled: None,
        stage: String::new(),
        notes: String::new(),
    };
    Yard {
        horses: vec![horse(ASTRA, "Astra"), horse(BORA, "Bora")],
        ..Yard::default()
    }
}

fn unread(id: u64, horse: Option<HorseId>, day: Option<&str>) -> RideName {
    RideName {
        date: day.map(|day| day.parse().unwrap()),
        horse,
        ride: Some(id.into()),
    }
}

/// The ids of the rows, `-` for a month.
fn shown(
    sums: &mut Sums,
    horse: Option<HorseId>,
    search: &str,
    yard: &Yard,
    reading: Option<&Reading>,
    revision: u64,
) -> String {
    let data = YardData {
        yard,
        today: "2026-03-31".parse().unwrap(),
        writable: reading.is_none(),
        problems: &[],
        film_path: &|film: &Film| film.path.clone().into(),
        folder: Path::new("yard"),
        revision,
        reading,
    };
    let rows = sums.rows(horse, search, &data);
    assert_eq!(rows.tops.len(), rows.rows.len() + 1);
    let of = |row: &Row| match row {
        Row::Month(Some(_)) => "-".to_owned(),
        Row::Month(None) => "?".to_owned(),
        Row::Ride(ride) => ride.bits().to_string(),
        Row::Unread(name) => format!("({})", name.ride.unwrap().bits()),
    };
    rows.rows.iter().map(of).collect::<Vec<_>>().join(" ")
}

#[test]
fn rides_stand_newest_first_by_month_read_or_not() {
    let files = vec![
        unread(4, Some(BORA), Some("2026-03-09")),
        unread(3, Some(ASTRA), Some("2026-03-05")),
        unread(2, None, Some("2026-02-01")),
        unread(1, Some(ASTRA), Some("2026-01-30")),
        unread(9, None, None),
    ];
    let mut reading = Reading::new(Listed {
        yard: yard(),
        files,
    });
    reading.take(
        vec![ride(4, BORA, "2026-03-09", "lesson")],
        Progress { done: 1, total: 5 },
    );
    let mut sums = Sums::default();
    let mut check = |horse, search: &str, expected: &str| {
        let revision = reading.revision();
        let rows = shown(
            &mut sums,
            horse,
            search,
            &reading.yard,
            Some(&reading),
            revision,
        );
        assert_eq!(rows, expected, "{horse:?} {search:?}");
    };
    check(None, "", "- 4 (3) - (2) - (1) ? (9)");
    check(Some(ASTRA), "", "- (3) - (1)");
    check(None, " LESSON ", "- 4");
    check(None, "astra", "- (3) - (1)");
    check(None, "january", "- (1)");
}

#[test]
fn what_was_worked_out_is_kept_until_the_yard_changes() {
    let mut yard = yard();
    let first = ride(1, ASTRA, "2026-03-01", "");
    yard.rides.insert(first.id, first);
    let mut sums = Sums::default();
    assert_eq!(shown(&mut sums, None, "", &yard, None, 1), "- 1");
    let second = ride(2, ASTRA, "2026-03-02", "");
    yard.rides.insert(second.id, second);
    assert_eq!(shown(&mut sums, None, "", &yard, None, 1), "- 1", "kept");
    assert_eq!(shown(&mut sums, None, "", &yard, None, 2), "- 2 1");
}
