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

/// Further than this from every film no note is about the ride: twelve hours, in nanoseconds. Our
/// own choice.
const TOO_FAR: i64 = 12 * 3_600 * 1_000_000_000;

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
    /// For each of `kinds` the attempt it is about, where the note names the exercise and one is
    /// near. Of several exercises it is the one named last before it.
    pub bouts: Vec<Option<BoutId>>,
    /// It names several exercises, and a fault before any of them: that one is of no attempt.
    pub unclear: bool,
    /// No film shows this moment.
    pub off_film: bool,
    /// The exercise that is marked at this moment, where the note names another and has faults:
    /// they count there.
    pub within_other: Option<WordId>,
}

/// Why a note with a time is not placed. Displays as a clause for a rider.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotPlaced {
    /// More than twelve hours from every film, or from the ride's zero where there is none.
    #[error("more than 12 hours from every film")]
    TooFar,
}

/// What a note makes.
struct Made {
    kind: MarkKind,
    /// The exercise it is said of.
    exercise: Option<WordId>,
    unclear: bool,
}

impl Import<'_> {
    /// All notes that have a time near the ride, in the order of the text.
    #[must_use]
    pub fn placed(&self) -> Vec<PlacedNote> {
        let timed = self.notes.iter().zip(self.own).zip(self.pieces).enumerate();
        timed
            .filter_map(|(note, ((raw, own), pieces))| {
                let at = self.placement.ride(own.as_ref()?.nanos);
                // A time without words says nothing that could be marked.
                let wanted = !raw.text.is_empty() && !self.is_too_far(at);
                wanted.then(|| self.placed_note(note, at, &meanings(pieces, self.decisions)))
            })
            .collect()
    }

    /// The notes that have a time and are not placed all the same, as indices, and why.
    #[must_use]
    pub fn not_placed(&self) -> Vec<(usize, NotPlaced)> {
        let own = self.own.iter().enumerate();
        own.filter_map(|(note, own)| {
            let at = self.placement.ride(own.as_ref()?.nanos);
            self.is_too_far(at).then_some((note, NotPlaced::TooFar))
        })
        .collect()
    }

    fn placed_note(&self, note: usize, at: Moment, said: &[Meaning]) -> PlacedNote {
        let rein = rein(said);
        let made = made(said);
        let found = made.iter().map(|made| match &made.exercise {
            Some(exercise) => self.bout(at, exercise, rein),
            None => (None, None),
        });
        let (bouts, others): (Vec<Option<BoutId>>, Vec<Option<WordId>>) = found.unzip();
        let mut of_faults = made
            .iter()
            .zip(others)
            .filter_map(|(made, other)| other.filter(|_| matches!(made.kind, MarkKind::Fault(_))));
        PlacedNote {
            note,
            at,
            exercise: match exercises(said).as_slice() {
                [only] => Some((*only).clone()),
                _ => None,
            },
            rein,
            bouts,
            unclear: made.iter().any(|made| made.unclear),
            off_film: self.is_off_film(at),
            within_other: of_faults.next(),
            kinds: made.into_iter().map(|made| made.kind).collect(),
        }
    }

    /// The marks of these notes as one change. Whether the ride's file can hold them is told by
    /// [`crate::fits`], before it is applied.
    pub fn edit(&self, placed: &[PlacedNote], ids: &mut IdMaker) -> Edit {
        let mut edits = Vec::with_capacity(placed.len());
        for own in placed {
            let Some(raw) = self.notes.get(own.note) else {
                continue;
            };
            let bouts = own.bouts.iter().copied().chain(std::iter::repeat(None));
            for (kind, bout) in own.kinds.iter().zip(bouts) {
                let mark = Mark {
                    id: ids.next(),
                    review: self.review,
                    at: own.at,
                    kind: kind.clone(),
                    bout,
                    note: raw.text.clone(),
                    origin: Some(Box::new(Origin {
                        source: self.source.to_owned(),
                        line: raw.line,
                        time: raw.time.clone(),
                        text: raw.text.clone(),
                    })),
                    press: None,
                    place: None,
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

    fn is_too_far(&self, at: Moment) -> bool {
        let far = |from: i64, to: i64| {
            let before = from.saturating_sub(at.0);
            before.max(at.0.saturating_sub(to)) > TOO_FAR
        };
        let mut films = self.ride.films.iter().peekable();
        if films.peek().is_none() {
            return far(0, 0);
        }
        // Of a film whose length is not known yet its start counts.
        films.all(|film| match film.span() {
            Some(span) => far(span.from.0, span.to.0),
            None => far(film.offset.0, film.offset.0),
        })
    }

    /// The attempt at an exercise that a note is about, and the exercise of another one that lies
    /// there.
    fn bout(
        &self,
        at: Moment,
        exercise: &WordId,
        rein: Option<Rein>,
    ) -> (Option<BoutId>, Option<WordId>) {
        let own = || {
            self.ride
                .bouts
                .iter()
                .filter(|bout| bout.review == self.review)
        };
        let near = own()
            .filter(|bout| bout.exercise == *exercise && fits_rein(bout, rein))
            .filter_map(|bout| Some((distance(bout, at)?, bout)))
            .min_by_key(|(far, bout)| (*far, bout.id));
        if let Some((_, bout)) = near {
            return (Some(bout.id), None);
        }
        let other = own().find(|bout| bout.from <= at && bout.to.is_none_or(|to| at < to));
        (None, other.map(|bout| bout.exercise.clone()))
    }
}

/// The exercises a note names, each once.
fn exercises(said: &[Meaning]) -> Vec<&WordId> {
    let mut named: Vec<&WordId> = Vec::new();
    for meaning in said {
        if let Meaning::Exercise(id) = meaning
            && !named.contains(&id)
        {
            named.push(id);
        }
    }
    named
}

/// The rein a note names; none if it names both.
fn rein(said: &[Meaning]) -> Option<Rein> {
    let mut reins = said.iter().filter_map(|meaning| match meaning {
        Meaning::Rein(rein) => Some(*rein),
        _ => None,
    });
    let first = reins.next()?;
    reins.all(|rein| rein == first).then_some(first)
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

/// What a note makes: one mark for each fault, else praise; a repetition; or else a plain note.
fn made(said: &[Meaning]) -> Vec<Made> {
    let named = exercises(said);
    let mut last = None;
    let mut all: Vec<Made> = Vec::new();
    for meaning in said {
        let kind = match meaning {
            Meaning::Exercise(id) => {
                last = Some(id);
                continue;
            }
            Meaning::Fault(id) => MarkKind::Fault(id.clone()),
            Meaning::Praise => MarkKind::Praise,
            Meaning::Repeated => MarkKind::Repeated,
            Meaning::Variant(_) | Meaning::Rein(_) => continue,
        };
        let exercise = match named.as_slice() {
            [only] => Some(*only),
            _ => last,
        };
        let fault = matches!(kind, MarkKind::Fault(_));
        let known = |made: &Made| {
            // The same fault of two exercises is two faults; the rest is said once.
            made.kind == kind && (!fault || made.exercise.as_ref() == exercise)
        };
        if !all.iter().any(known) {
            all.push(Made {
                unclear: fault && exercise.is_none() && !named.is_empty(),
                exercise: exercise.cloned(),
                kind,
            });
        }
    }
    let is_fault = |made: &Made| matches!(made.kind, MarkKind::Fault(_));
    if all.iter().any(is_fault) {
        all.retain(|made| made.kind != MarkKind::Praise);
    }
    // Faults first, then praise, then the repetition.
    all.sort_by_key(|made| (!is_fault(made), made.kind == MarkKind::Repeated));
    if all.is_empty() {
        all.push(Made {
            kind: MarkKind::Note,
            exercise: match named.as_slice() {
                [only] => Some((*only).clone()),
                _ => None,
            },
            unclear: false,
        });
    }
    all
}
