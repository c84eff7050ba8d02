//! From notes to marks on the ride clock.

use chrono::TimeZone;
use reinback_analysis::anchor::{Anchor, Placement};
use reinback_analysis::{Moment, Rein};

use super::clock::{OwnTime, Scene, TimeKind, own_times, ride_zero};
use super::read::RawNote;
use super::recognise::{Decisions, Piece, meanings};
use super::vocabulary::Meaning;
use crate::edit::Edit;
use crate::id::{BoutId, IdMaker, ReviewId};
use crate::model::{Bout, Mark, MarkKind, Origin, Ride};
use crate::words::WordId;

/// How long after an attempt its note may come, and how long before, in nanoseconds: people write
/// after they have seen, and clocks are read to the second. Our own choice.
const AFTER: i64 = 10_000_000_000;
const BEFORE: i64 = 2_000_000_000;

/// The times of notes on their own clock; `None` for notes without one.
#[must_use]
pub fn own_clock<Zone: TimeZone>(
    notes: &[RawNote],
    kind: TimeKind,
    scene: Scene<'_, Zone>,
) -> Vec<Option<OwnTime>> {
    let stamps: Vec<_> = notes.iter().filter_map(|note| note.stamp).collect();
    let mut times = own_times(&stamps, kind, scene).into_iter();
    notes
        .iter()
        .map(|note| note.stamp.and_then(|_| times.next()))
        .collect()
}

/// Where the notes' clock lies before anybody has matched a moment: a watch by the ride's time of
/// day, a stop watch started with the first film. `None` where nothing tells.
#[must_use]
pub fn plain_placement<Zone: TimeZone>(
    ride: &Ride,
    kind: TimeKind,
    scene: Scene<'_, Zone>,
) -> Option<Placement> {
    let anchor = match kind {
        TimeKind::OfDay => Anchor {
            own: ride_zero(scene)?,
            ride: Moment(0),
        },
        TimeKind::Elapsed => Anchor {
            own: 0,
            ride: ride.films.first().map_or(Moment(0), |film| film.offset),
        },
    };
    Some(Placement::at(anchor))
}

/// Notes ready to become marks of a ride.
#[derive(Clone, Copy, Debug)]
pub struct Import<'a> {
    /// The ride.
    pub ride: &'a Ride,
    /// Whose review the marks belong to; one of the ride's.
    pub review: ReviewId,
    /// The name of the file, or what else the notes came from.
    pub source: &'a str,
    /// Where the notes' clock lies on the ride clock.
    pub placement: Placement,
    /// The notes.
    pub notes: &'a [RawNote],
    /// Their times, as [`own_clock`] gives them.
    pub own: &'a [Option<OwnTime>],
    /// Their pieces, as [`super::Recogniser`] gives them.
    pub pieces: &'a [Vec<Piece>],
    /// What the rider decided.
    pub decisions: &'a Decisions,
}

/// A note with its place and what it becomes there.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedNote {
    /// Which note, as an index.
    pub note: usize,
    /// When it was, on the ride clock.
    pub at: Moment,
    /// The marks it makes: one for each fault, else praise or a repetition, else a plain note.
    pub kinds: Vec<MarkKind>,
    /// The exercise it names, if it names exactly one.
    pub exercise: Option<WordId>,
    /// The rein it names.
    pub rein: Option<Rein>,
    /// The attempt it is about, where it names the exercise and one is near.
    pub bout: Option<BoutId>,
    /// No film shows this moment.
    pub off_film: bool,
    /// The exercise that is marked at this moment, where the note names another and has faults:
    /// they count there.
    pub within_other: Option<WordId>,
}

impl Import<'_> {
    /// All notes that have a time, in the order of the text.
    #[must_use]
    pub fn placed(&self) -> Vec<PlacedNote> {
        let timed = self.notes.iter().zip(self.own).zip(self.pieces).enumerate();
        timed
            .filter_map(|(note, ((raw, own), pieces))| {
                let at = self.placement.ride(own.as_ref()?.nanos);
                let said = meanings(pieces, self.decisions);
                let kinds = kinds(&said);
                let faulty = kinds.iter().any(|kind| matches!(kind, MarkKind::Fault(_)));
                let (bout, other) = self.bout(at, &said);
                // A time without words says nothing that could be marked.
                (!raw.text.is_empty()).then(|| PlacedNote {
                    note,
                    at,
                    kinds,
                    exercise: match exercises(&said).as_slice() {
                        [only] => Some((*only).clone()),
                        _ => None,
                    },
                    rein: rein(&said),
                    bout,
                    off_film: self.is_off_film(at),
                    within_other: other.filter(|_| faulty),
                })
            })
            .collect()
    }

    /// The marks of these notes as one change.
    pub fn edit(&self, placed: &[PlacedNote], ids: &mut IdMaker) -> Edit {
        let mut edits = Vec::with_capacity(placed.len());
        for own in placed {
            let Some(raw) = self.notes.get(own.note) else {
                continue;
            };
            for kind in &own.kinds {
                let mark = Mark {
                    id: ids.next(),
                    review: self.review,
                    at: own.at,
                    kind: kind.clone(),
                    bout: own.bout,
                    note: raw.text.clone(),
                    origin: Some(Box::new(Origin {
                        source: self.source.to_owned(),
                        line: raw.line,
                        time: raw.time.clone(),
                        text: raw.text.clone(),
                    })),
                    press: None,
                };
                edits.push(Edit::Mark(self.ride.id, mark.id, Some(mark)));
            }
        }
        Edit::Batch(edits)
    }

    fn is_off_film(&self, at: Moment) -> bool {
        // A film whose length is not known yet may go on for ever.
        let shows = |film: &crate::Film| match film.span() {
            Some(span) => span.from <= at && at <= span.to,
            None => film.offset <= at,
        };
        !self.ride.films.iter().any(shows)
    }

    /// The attempt a note is about, and the exercise of another one that lies there.
    fn bout(&self, at: Moment, said: &[Meaning]) -> (Option<BoutId>, Option<WordId>) {
        let named = exercises(said);
        if named.is_empty() {
            return (None, None);
        }
        let rein = rein(said);
        let own = || {
            self.ride
                .bouts
                .iter()
                .filter(|bout| bout.review == self.review)
        };
        let near = own()
            .filter(|bout| named.contains(&&bout.exercise) && fits_rein(bout, rein))
            .filter_map(|bout| Some((distance(bout, at)?, bout)))
            .min_by_key(|(far, bout)| (*far, bout.id));
        if let Some((_, bout)) = near {
            return (Some(bout.id), None);
        }
        let other = own().find(|bout| bout.from <= at && bout.to.is_none_or(|to| at < to));
        (None, other.map(|bout| bout.exercise.clone()))
    }
}

fn exercises(said: &[Meaning]) -> Vec<&WordId> {
    said.iter()
        .filter_map(|meaning| match meaning {
            Meaning::Exercise(id) => Some(id),
            _ => None,
        })
        .collect()
}

fn rein(said: &[Meaning]) -> Option<Rein> {
    said.iter().find_map(|meaning| match meaning {
        Meaning::Rein(rein) => Some(*rein),
        _ => None,
    })
}

fn fits_rein(bout: &Bout, rein: Option<Rein>) -> bool {
    bout.rein.is_none() || rein.is_none() || bout.rein == rein
}

/// How far from an attempt a note lies; `None` if too far to be about it.
fn distance(bout: &Bout, at: Moment) -> Option<i64> {
    let before = bout.from.0.saturating_sub(at.0);
    let after = bout.to.map_or(0, |to| at.0.saturating_sub(to.0));
    (before <= BEFORE && after <= AFTER).then(|| before.max(after).max(0))
}

fn kinds(said: &[Meaning]) -> Vec<MarkKind> {
    let mut kinds: Vec<MarkKind> = Vec::new();
    for meaning in said {
        if let Meaning::Fault(id) = meaning {
            let kind = MarkKind::Fault(id.clone());
            if !kinds.contains(&kind) {
                kinds.push(kind);
            }
        }
    }
    if kinds.is_empty() && said.contains(&Meaning::Praise) {
        kinds.push(MarkKind::Praise);
    }
    if said.contains(&Meaning::Repeated) {
        kinds.push(MarkKind::Repeated);
    }
    if kinds.is_empty() {
        kinds.push(MarkKind::Note);
    }
    kinds
}
