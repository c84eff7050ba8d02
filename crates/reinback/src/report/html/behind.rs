//! What stands behind the lines of a horse: their film moments, and the tempo about them.

use std::collections::{BTreeMap, BTreeSet};

use reinback_yard::{Ride, WordId, Yard};

use crate::report::figures::TempoAbout;
use crate::report::figures::about::tempo_about_of;
use crate::report::moments::{FilmMoment, MomentId, Moments, moment_of, moments_of};
use crate::report::numbers::{Line, Question};
use crate::services::Progress;

/// What stands behind one line.
pub(super) struct Behind {
    pub(super) moments: Moments,
    pub(super) tempo: TempoAbout,
    /// Those of its moments that were chosen for stills, also of the days compared with.
    pub(super) chosen: Vec<FilmMoment>,
}

/// Looks it up for each of the lines, in their order; nothing where it was told to stop.
///
/// All rides are looked through once, and for a line only those that have it.
pub(super) fn behind(
    yard: &Yard,
    question: &Question,
    (lines, chosen): (&[Line], &[(WordId, MomentId)]),
    progress: Progress<'_>,
) -> Option<Vec<Behind>> {
    let rides = by_exercise(yard, question);
    let mut found = Vec::with_capacity(lines.len());
    for (at, line) in lines.iter().enumerate() {
        if progress(at as f32 / lines.len() as f32).is_break() {
            return None;
        }
        let word = &line.exercise;
        let own = rides.get(word).map_or(&[][..], Vec::as_slice);
        let (newest_first, oldest_first) = (own.iter().rev().copied(), own.iter().copied());
        found.push(Behind {
            moments: moments_of(yard, newest_first, question.reins, word),
            tempo: tempo_about_of(yard, oldest_first, question, word),
            chosen: of_line(yard, question, word, chosen),
        });
    }
    Some(found)
}

/// The chosen moments of an exercise, as far as they are of the question or of the days before.
fn of_line(
    yard: &Yard,
    question: &Question,
    word: &WordId,
    chosen: &[(WordId, MomentId)],
) -> Vec<FilmMoment> {
    let earlier = question.earlier();
    let own = chosen.iter().filter(|(of, _)| of == word);
    own.filter_map(|(_, id)| {
        let ride = yard.ride(id.ride())?;
        let before = earlier.is_some_and(|earlier| earlier.holds(ride));
        if !before && !question.holds(ride) {
            return None;
        }
        moment_of(yard, word, *id).filter(|moment| question.reins.hold(moment.rein))
    })
    .collect()
}

/// The rides of a question by what was ridden in them, oldest first.
fn by_exercise<'a>(yard: &'a Yard, question: &Question) -> BTreeMap<&'a WordId, Vec<&'a Ride>> {
    let mut found: BTreeMap<&WordId, Vec<&Ride>> = BTreeMap::new();
    let rides = yard.rides_by_date().into_iter();
    for ride in rides.filter(|ride| question.holds(ride)) {
        let ridden: BTreeSet<&WordId> = ride.bouts.iter().map(|bout| &bout.exercise).collect();
        for word in ridden {
            found.entry(word).or_default().push(ride);
        }
    }
    found
}
