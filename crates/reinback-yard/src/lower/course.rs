//! On what kind of line a ride went where: straight, in a turn, or nobody said.
//!
//! A line is known where a bout says so: by its letters, or by an exercise that is always ridden on
//! one. Where bouts contradict each other nothing is known. Nothing is guessed from tempo itself.

use reinback_analysis::Span;
use reinback_analysis::tempo::Course;
use reinback_analysis::timeline::{Piece, pieces};

use super::Counting;
use crate::model::Bout;

/// Exercises that turn all along: circles, corners, pirouettes.
const TURNS: [&str; 11] = [
    "circle",
    "volte",
    "serpentine",
    "corner",
    "half-pirouette-in-walk",
    "full-pirouette-in-walk",
    "half-pirouette-in-canter",
    "full-pirouette-in-canter",
    "working-pirouette",
    "turn-on-the-haunches",
    "turn-on-the-forehand",
];

/// Exercises that are always ridden on a straight line.
const STRAIGHT: [&str; 6] = [
    "centre-line",
    "half-pass",
    "changes-every-4th-stride",
    "changes-every-3rd-stride",
    "changes-every-2nd-stride",
    "changes-every-stride",
];

/// What a bout says of its line; [`Course::NotMarked`] where it says nothing.
#[must_use]
pub fn of_bout(bout: &Bout) -> Course {
    let exercise = bout.exercise.as_str();
    if TURNS.contains(&exercise) {
        return Course::Turn;
    }
    match bout.letters {
        (Some(from), Some(to)) if from.eq_ignore_ascii_case(&to) => Course::Turn,
        (Some(_), Some(_)) => Course::Straight,
        _ if STRAIGHT.contains(&exercise) => Course::Straight,
        _ => Course::NotMarked,
    }
}

/// The lines of a ride in order, inside a window.
pub(super) fn lines(counting: &Counting<'_>, window: Span) -> Vec<Piece<Course>> {
    let labels: Vec<(Course, Span)> = counting
        .bouts
        .iter()
        .filter_map(|bout| Some((of_bout(bout), bout.span()?)))
        .filter(|(course, _)| *course != Course::NotMarked)
        .collect();
    pieces(&labels, window)
}
