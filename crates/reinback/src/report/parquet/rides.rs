//! One row a ride.

use std::borrow::Cow;

use chrono::Timelike as _;
use reinback_yard::{Arena, Horse, Ride};

use super::column::{Columns, Text};
use super::names::Names;

/// A ride.
pub(super) struct RideRow<'a> {
    pub(super) ride: &'a Ride,
    pub(super) names: &'a Names<'a>,
}

impl<'a> RideRow<'a> {
    fn horse(&self) -> Option<&'a Horse> {
        self.names.yard().horse(self.ride.head.horse)
    }
}

/// `docs/report.md` has this list; a test keeps it so.
pub(super) fn columns<'a>() -> Columns<RideRow<'a>> {
    Columns::<RideRow<'a>>::new()
        .id(
            "ride",
            |row| Some(row.ride.id.bits()),
            "the ride; one row each",
        )
        .unique()
        .id("horse", |row| Some(row.ride.head.horse.bits()), "its horse")
        .text(
            "horse_name",
            |row| row.names.horse(row.ride.head.horse),
            "the horse's name, or its id without names. Null where `yard.ron` does not have it",
        )
        .or_null()
        .whole(
            "foaled",
            |row| row.horse()?.foaled,
            "the year the horse was born",
        )
        .or_null()
        .text(
            "stage",
            |row| row.names.free(&row.horse()?.stage),
            "its stage of training in the rider's words",
        )
        .or_null()
        .day(
            "day",
            |row| Some(row.ride.head.date),
            "the local calendar day",
        )
        .long(
            "starts_ns",
            start,
            "nanoseconds from local midnight to the zero of the ride clock",
        )
        .or_null()
        .text(
            "title",
            |row| row.names.free(&row.ride.head.title),
            "a few words on it",
        )
        .or_null()
        .text(
            "notes",
            |row| row.names.free(&row.ride.head.notes),
            "free text",
        )
        .or_null()
        .text("arena", arena, "`20x60` or `20x40`, where that is known")
        .or_null()
        .whole("films", |row| count(row.ride.films.len()), "films of it")
        .whole(
            "reviews",
            |row| count(row.ride.head.reviews.len()),
            "people who reviewed it; one of the reviews counts",
        )
        .id(
            "counting_review",
            |row| Some(row.ride.head.counting.bits()),
            "the review that counts",
        )
        .unique()
        .text(
            "counting_reviewer",
            |row| row.names.reviewer(row.ride, row.ride.head.counting),
            "who made it: a name, or an id without names",
        )
        .or_null()
}

fn start(row: &RideRow<'_>) -> Option<i64> {
    let time = row.ride.head.time?;
    let seconds = i64::from(time.num_seconds_from_midnight());
    Some(seconds * 1_000_000_000 + i64::from(time.nanosecond()))
}

fn arena<'r>(row: &'r RideRow<'_>) -> Text<'r> {
    row.ride.head.arena.map(|arena| {
        Cow::Borrowed(match arena {
            Arena::Standard => "20x60",
            Arena::Small => "20x40",
        })
    })
}

fn count(things: usize) -> Option<i32> {
    i32::try_from(things).ok()
}
