//! Which format a thing needs: the oldest that can hold it.
//!
//! Formats only add entries, so one reader does for all of them; a file that holds an entry of a
//! later format than it says is told so. What an entry means never changes.

use crate::edit::Edit;
use crate::model::{Film, Mark, MarkKind, Review, Ride, RideHead, Yard};
use crate::words::Words;

/// The newest format this version reads and writes.
pub const FORMAT: u32 = 4;

/// The format of `yard.ron`.
pub(super) fn of_yard(yard: &Yard) -> u32 {
    of_words(&yard.words).max(newer_if(!yard.sheets.is_empty(), 4))
}

/// The format of a ride's file.
pub(super) fn of_ride(ride: &Ride) -> u32 {
    let films = most(ride.films.iter().map(of_film));
    let marks = most(ride.marks.iter().map(of_mark));
    let tempos = newer_if(!ride.tempos.is_empty(), 3);
    let test = newer_if(ride.test.is_some(), 4);
    let things = films.max(marks).max(tempos).max(test);
    of_head(&ride.head).max(things)
}

/// The format of a journal line with this change.
pub(super) fn of_edit(edit: &Edit) -> u32 {
    match edit {
        Edit::Words(words) => of_words(words),
        Edit::Ride(_, Some(ride)) => of_ride(ride),
        Edit::RideHead(_, head) => of_head(head),
        Edit::Film(_, _, Some(film)) => of_film(film),
        Edit::Mark(_, _, Some(mark)) => of_mark(mark),
        // Even one that says a tempo is gone: an older version does not know the word.
        Edit::Tempo(..) => 3,
        Edit::Sheet(..) | Edit::Test(..) => 4,
        Edit::Batch(edits) => most(edits.iter().map(of_edit)),
        Edit::YardName(_)
        | Edit::Horse(..)
        | Edit::Bout(..)
        | Edit::Pace(..)
        | Edit::Outline(..)
        | Edit::Ride(_, None)
        | Edit::Film(_, _, None)
        | Edit::Mark(_, _, None) => 1,
    }
}

fn of_words(words: &Words) -> u32 {
    let counted = words.exercises.iter().any(|e| e.every.is_some());
    newer_if(counted, 3)
}

fn of_head(head: &RideHead) -> u32 {
    let blind = |review: &Review| review.blind;
    newer_if(head.arena.is_some() || head.reviews.iter().any(blind), 3)
}

fn of_film(film: &Film) -> u32 {
    newer_if(film.tilt.is_some(), 3)
}

fn of_mark(mark: &Mark) -> u32 {
    let of_kind = match mark.kind {
        MarkKind::Fault(_) | MarkKind::Praise | MarkKind::Repeated | MarkKind::Note => 1,
        MarkKind::Change(_) | MarkKind::Aid | MarkKind::Measured(_) => 3,
    };
    let press = newer_if(mark.origin.is_some() || mark.press.is_some(), 2);
    of_kind.max(press).max(newer_if(mark.place.is_some(), 3))
}

pub(super) fn newer_if(needs: bool, format: u32) -> u32 {
    if needs { format } else { 1 }
}

fn most(formats: impl Iterator<Item = u32>) -> u32 {
    formats.max().unwrap_or(1)
}
