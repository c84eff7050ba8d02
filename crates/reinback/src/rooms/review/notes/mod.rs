//! Notes from the rail on their way onto the ride clock: what was read, what the rider corrected,
//! and where everything would come to lie. Nothing here paints; `panel` does.

mod list;
pub(super) mod panel;
mod questions;
pub mod read;

use std::sync::Arc;

use chrono::TimeZone;
use reinback_analysis::anchor::{Anchor, AnchorError, DriftRange, Placement, drift_range};
use reinback_yard::notes::{
    Decisions, Import, KindGuess, Layout, Meaning, OwnTime, PlacedNote, Question, Scene, Stamp,
    TimeKind, guess_kind, own_clock, plain_placement,
};
use reinback_yard::{Edit, IdMaker, Moment, Rein, ReviewId, Ride, Words};

use crate::counted::counted;
use read::ReadNotes;

/// How far off a person reads a clock or stops a film, in nanoseconds: half a second. Our own
/// choice.
const READING: i64 = 500_000_000;

/// Notes that are being brought in.
#[derive(Default)]
pub struct NotesImport {
    /// What is pasted or written into the box.
    pub pasted: String,
    /// The number of the reading that is waited for.
    pub reading: Option<u64>,
    /// Why nothing was read.
    pub trouble: Option<String>,
    /// What was read.
    pub notes: Option<Arc<ReadNotes>>,
    /// The kind of time, where the rider says another than was guessed.
    kind: Option<TimeKind>,
    /// Notes that the rider has found on the film, with their moments; two at most.
    anchors: Vec<(usize, Moment)>,
    /// What the rider decided on words.
    decisions: Decisions,
    /// The chosen note.
    chosen: Option<usize>,
    /// Everything worked out, and what of.
    outcome: Option<(Basis, Outcome)>,
    /// Counts the rider's corrections.
    changes: u64,
}

/// What an outcome was worked out of, to notice when it is out of date.
struct Basis {
    changes: u64,
    /// Held, so that no other can come to lie in its place.
    ride: Arc<Ride>,
    review: ReviewId,
}

impl Basis {
    /// A ride that was changed is another one.
    fn is(&self, other: &Self) -> bool {
        self.changes == other.changes
            && Arc::ptr_eq(&self.ride, &other.ride)
            && self.review == other.review
    }
}

/// Where the notes lie.
pub struct Outcome {
    /// The kind of time that was guessed.
    pub guess: KindGuess,
    /// The kind that is taken.
    pub kind: TimeKind,
    /// Times on the notes' own clock.
    pub own: Vec<Option<OwnTime>>,
    /// Where that clock lies, or why it cannot be told.
    pub placement: Result<Placement, Unplaced>,
    /// How it was found.
    pub by: PlacedBy,
    /// How well the rate is known, with two moments.
    pub drift: Option<DriftRange>,
    /// The notes that have a place.
    pub placed: Vec<PlacedNote>,
    /// Notes too far from every film to be of this ride.
    pub far: usize,
    /// For each note its index in `placed`.
    pub place_of: Vec<Option<usize>>,
}

/// Why notes have no place yet. Displays as a sentence.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum Unplaced {
    /// Times of day, and nobody knows when the ride was.
    #[error(
        "The ride's time of day is not known: choose a note below, find its moment on the film, and match the two"
    )]
    NoTimeOfDay,
    /// The two moments do not fit.
    #[error("{0}")]
    Anchors(#[from] AnchorError),
}

/// What tells where notes lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlacedBy {
    /// The ride's time of day.
    TimeOfDay,
    /// The start of the first film.
    FilmStart,
    /// One matched moment.
    OneMoment,
    /// Two matched moments.
    TwoMoments,
}

impl NotesImport {
    /// Takes in what was read; everything the rider had corrected for another text is gone.
    pub fn take(&mut self, number: u64, result: Result<ReadNotes, String>) {
        if self.reading != Some(number) {
            return;
        }
        self.reading = None;
        match result {
            Ok(notes) => {
                let same = self
                    .notes
                    .as_ref()
                    .is_some_and(|old| old.text == notes.text);
                if !same {
                    self.decisions.clear();
                }
                self.anchors.clear();
                self.kind = None;
                self.chosen = None;
                self.trouble = None;
                self.notes = Some(Arc::new(notes));
            }
            Err(why) => self.trouble = Some(why),
        }
        self.changed();
    }

    /// Forgets what was read; what stands in the box stays.
    pub fn start_over(&mut self) {
        let pasted = std::mem::take(&mut self.pasted);
        *self = Self {
            pasted,
            ..Self::default()
        };
    }

    /// The text again, to read it another way.
    #[must_use]
    pub fn again(&self, layout: Layout) -> Option<read::Source> {
        let notes = self.notes.as_ref()?;
        Some(read::Source::Text {
            name: notes.source.clone(),
            text: notes.text.clone(),
            about: notes.about.clone(),
            layout: Some(layout),
        })
    }

    /// Says that the chosen note is at this moment of the film. A third moment takes the place of
    /// the one nearer to it.
    fn match_moment(&mut self, note: usize, at: Moment) {
        self.anchors.retain(|(own, _)| *own != note);
        if self.anchors.len() == 2 {
            let far = |(_, own): &(usize, Moment)| own.0.abs_diff(at.0);
            let near = (0..2).min_by_key(|index| self.anchors.get(*index).map(far));
            self.anchors.remove(near.unwrap_or(0));
        }
        self.anchors.push((note, at));
        self.anchors.sort_by_key(|(_, at)| *at);
        self.changed();
    }

    fn changed(&mut self) {
        self.changes += 1;
    }

    /// Works everything out where something has changed.
    pub fn work_out<Zone: TimeZone>(&mut self, ride: &Arc<Ride>, review: ReviewId, zone: &Zone) {
        let Some(notes) = self.notes.clone() else {
            self.outcome = None;
            return;
        };
        let basis = Basis {
            changes: self.changes,
            ride: ride.clone(),
            review,
        };
        if self.outcome.as_ref().is_some_and(|(own, _)| own.is(&basis)) {
            return;
        }
        let scene = Scene {
            day: ride.head.date,
            time: ride.head.time,
            zone,
        };
        let stamps: Vec<Stamp> = notes.notes.iter().filter_map(|note| note.stamp).collect();
        let guess = guess_kind(&stamps, ride.head.time);
        let kind = self.kind.unwrap_or(guess.kind);
        let own = own_clock(&notes.notes, kind, scene);
        let anchor = |(note, ride): &(usize, Moment)| {
            let nanos = own.get(*note).copied().flatten()?.nanos;
            Some(Anchor {
                own: nanos,
                ride: *ride,
            })
        };
        let anchors: Vec<Anchor> = self.anchors.iter().filter_map(anchor).collect();
        let (placement, by, drift) = match anchors.as_slice() {
            [one, other, ..] => (
                Placement::between(*one, *other).map_err(Unplaced::from),
                PlacedBy::TwoMoments,
                drift_range(*one, *other, READING),
            ),
            [one] => (Ok(Placement::at(*one)), PlacedBy::OneMoment, None),
            [] => {
                let by = match kind {
                    TimeKind::OfDay => PlacedBy::TimeOfDay,
                    TimeKind::Elapsed => PlacedBy::FilmStart,
                };
                let plain = plain_placement(ride, kind, scene).ok_or(Unplaced::NoTimeOfDay);
                (plain, by, None)
            }
        };
        let (placed, far) = placement.map_or_else(
            |_| (Vec::new(), 0),
            |placement| {
                let import = Import {
                    ride,
                    review,
                    source: &notes.source,
                    placement,
                    notes: &notes.notes,
                    own: &own,
                    pieces: &notes.pieces,
                    decisions: &self.decisions,
                };
                (import.placed(), import.not_placed().len())
            },
        );
        let mut place_of = vec![None; notes.notes.len()];
        for (index, own) in placed.iter().enumerate() {
            if let Some(slot) = place_of.get_mut(own.note) {
                *slot = Some(index);
            }
        }
        let outcome = Outcome {
            guess,
            kind,
            own,
            placement,
            by,
            drift,
            placed,
            far,
            place_of,
        };
        self.outcome = Some((basis, outcome));
    }

    /// Where everything lies, once it has been worked out.
    #[must_use]
    pub fn outcome(&self) -> Option<&Outcome> {
        self.outcome.as_ref().map(|(_, outcome)| outcome)
    }

    /// The moments of the notes, to be shown on the strip.
    #[must_use]
    pub fn moments(&self) -> Vec<Moment> {
        let placed = self.outcome().map_or(&[][..], |outcome| &outcome.placed);
        placed.iter().map(|own| own.at).collect()
    }

    /// The marks of the notes as one step with its name; `None` if nothing has a place.
    #[must_use]
    pub fn step(&self, ride: &Ride, review: ReviewId, ids: &mut IdMaker) -> Option<(String, Edit)> {
        let (notes, outcome) = (self.notes.as_ref()?, self.outcome()?);
        let import = Import {
            ride,
            review,
            source: &notes.source,
            placement: outcome.placement.ok()?,
            notes: &notes.notes,
            own: &outcome.own,
            pieces: &notes.pieces,
            decisions: &self.decisions,
        };
        let placed = &outcome.placed;
        let label = format!("place {}", counted(placed.len(), "note", "notes"));
        (!placed.is_empty()).then(|| (label, import.edit(placed, ids)))
    }

    /// Words that wait for a decision: those that might mean something.
    fn open_questions(&self) -> impl Iterator<Item = &Question> {
        let all = self
            .notes
            .as_ref()
            .map_or(&[][..], |notes| &notes.questions);
        all.iter().filter(|question| {
            !question.candidates.is_empty() && !self.decisions.contains_key(&question.key)
        })
    }
}

/// A meaning in words, with what kind of word it is.
fn meaning_name(words: &Words, meaning: &Meaning) -> String {
    match meaning {
        Meaning::Exercise(id) => format!("{} (exercise)", words.exercise_name(id)),
        Meaning::Fault(id) => format!("{} (fault)", words.fault_name(None, id)),
        Meaning::Variant(id) => format!("{} (variant)", id.spelled()),
        Meaning::Rein(Rein::Left) => "left rein".into(),
        Meaning::Rein(Rein::Right) => "right rein".into(),
        Meaning::Praise => "well ridden".into(),
        Meaning::Repeated => "ridden again".into(),
    }
}

#[cfg(test)]
mod tests;
