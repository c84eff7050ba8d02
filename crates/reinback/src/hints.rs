//! Short hints where a new rider stands. Each is gone once the thing was done, or put away.
//!
//! Pure; `app/hints.rs` shows them.

use std::collections::BTreeSet;

use reinback_yard::{Edit, MarkKind};

use crate::action::Room;

/// The names of hints that are gone, as preferences keep them.
pub type Gone = BTreeSet<String>;

/// A hint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hint {
    /// The yard has no ride.
    NewRide,
    /// A ride is open and no exercise was ever started.
    FirstBout,
    /// An exercise is there, and no fault was ever marked.
    FirstFault,
    /// A fault was marked, and no note ever written.
    FirstNote,
}

/// Where the rider stands.
#[derive(Clone, Copy, Debug)]
pub struct Here {
    /// The room on screen.
    pub room: Room,
    /// Whether anything can be changed.
    pub writable: bool,
    /// Whether the yard has a ride.
    pub has_rides: bool,
    /// Whether there is an exercise at this moment of the film.
    pub in_bout: bool,
}

impl Hint {
    /// All of them, in the order in which a rider comes to them.
    pub const ALL: [Self; 4] = [
        Self::NewRide,
        Self::FirstBout,
        Self::FirstFault,
        Self::FirstNote,
    ];

    /// The name by which preferences know it; never shown.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::NewRide => "new ride",
            Self::FirstBout => "first bout",
            Self::FirstFault => "first fault",
            Self::FirstNote => "first note",
        }
    }

    /// What it says; names of commands in braces stand for their keys.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::NewRide => {
                "Begin with a ride: choose its films ({NewRide}), or drop them onto this window"
            }
            Self::FirstBout => {
                "Play the film ({PlayPause}) and type the letters of an exercise as it begins; \
                 the letters stand beside the film"
            }
            Self::FirstFault => {
                "When something goes wrong, press the number of the fault beside the film; \
                 {Undo} takes back, {EndBout} ends the exercise"
            }
            Self::FirstNote => {
                "{WriteNote} writes a note onto the last mark, and {SetToFrame} sets it to the \
                 frame on screen"
            }
        }
    }

    fn fits(self, here: Here, is_gone: impl Fn(Self) -> bool) -> bool {
        let review = here.room == Room::Review && here.has_rides;
        match self {
            Self::NewRide => here.room == Room::Yard && !here.has_rides,
            Self::FirstBout => review,
            Self::FirstFault => review && here.in_bout,
            Self::FirstNote => review && is_gone(Self::FirstFault),
        }
    }
}

/// The hint for a rider who stands here; one at a time.
#[must_use]
pub fn due(gone: &Gone, here: Here) -> Option<Hint> {
    let is_gone = |hint: Hint| gone.contains(hint.name());
    let mut all = Hint::ALL.into_iter();
    all.find(|hint| here.writable && !is_gone(*hint) && hint.fits(here, is_gone))
}

/// The hints that are no longer needed by someone who made this change.
#[must_use]
pub fn done_by(edit: &Edit) -> Vec<Hint> {
    match edit {
        Edit::Ride(_, Some(_)) => vec![Hint::NewRide],
        Edit::Bout(_, _, Some(_)) => vec![Hint::FirstBout],
        Edit::Mark(_, _, Some(mark)) => {
            let fault = matches!(mark.kind, MarkKind::Fault(_)).then_some(Hint::FirstFault);
            let note = (!mark.note.is_empty()).then_some(Hint::FirstNote);
            fault.into_iter().chain(note).collect()
        }
        Edit::Batch(edits) => edits.iter().flat_map(done_by).collect(),
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NEW: Here = Here {
        room: Room::Yard,
        writable: true,
        has_rides: false,
        in_bout: false,
    };
    const REVIEW: Here = Here {
        room: Room::Review,
        has_rides: true,
        ..NEW
    };

    fn check(gone: &[Hint], here: Here, expect: Option<Hint>) {
        let names = gone.iter().map(|hint| hint.name().to_owned()).collect();
        assert_eq!(due(&names, here), expect, "{gone:?} in {here:?}");
    }

    #[test]
    fn each_comes_where_it_is_of_use_and_goes() {
        use Hint::{FirstBout, FirstFault, FirstNote, NewRide};
        check(&[], NEW, Some(NewRide));
        check(&[NewRide], NEW, None);
        check(
            &[],
            Here {
                writable: false,
                ..NEW
            },
            None,
        );
        check(
            &[],
            Here {
                has_rides: true,
                ..NEW
            },
            None,
        );
        check(&[], REVIEW, Some(FirstBout));
        check(&[FirstBout], REVIEW, None);
        let in_bout = Here {
            in_bout: true,
            ..REVIEW
        };
        check(&[FirstBout], in_bout, Some(FirstFault));
        check(&[FirstBout, FirstFault], in_bout, Some(FirstNote));
        check(&Hint::ALL, in_bout, None);
        let progress = Here {
            room: Room::Progress,
            ..REVIEW
        };
        check(&[], progress, None);
    }

    #[test]
    fn every_key_a_hint_names_is_one() {
        let ctx = egui::Context::default();
        let map = crate::keymap::KeyMap::default();
        for hint in Hint::ALL {
            let text = map.in_text(hint.text(), &ctx);
            assert!(!text.contains(['{', '}']), "{text}");
        }
    }
}
