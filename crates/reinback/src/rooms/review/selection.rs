//! What is chosen: one thing that the keys are about, and others beside it that are moved,
//! removed or taken out of the count together. Pure.

use std::collections::BTreeSet;

use reinback_yard::{Bout, BoutId, Edit, Mark, MarkId, Moment, ReviewId, Ride, TempoTrack};

use super::marking::{Refusal, Step};
use super::second::has_stretches;
use crate::action::{Chosen, Select};

/// Everything chosen.
///
/// The one thing that the keys are about is kept by the Review room itself; what is chosen beside
/// it counts only as long as that has not changed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Selection {
    /// The one thing, as it was when others were chosen beside it.
    first: Option<Chosen>,
    /// Where choosing a range began.
    anchor: Option<Chosen>,
    all: BTreeSet<Chosen>,
}

impl Selection {
    /// Follows what is chosen: where that has changed, nothing is chosen beside it.
    pub fn settle(&mut self, chosen: Option<Chosen>) {
        if self.first != chosen {
            self.first = chosen;
            self.anchor = chosen;
            self.all = chosen.into_iter().collect();
        }
    }

    /// All that is chosen.
    #[must_use]
    pub fn all(&self) -> &BTreeSet<Chosen> {
        &self.all
    }

    /// Whether more than one thing is chosen.
    #[must_use]
    pub fn is_many(&self) -> bool {
        self.all.len() > 1
    }

    /// Chooses; gives what the keys are about from now on.
    pub fn select(&mut self, select: Select, ride: &Ride, review: ReviewId) -> Option<Chosen> {
        match select {
            Select::Toggle(one) => {
                self.anchor = Some(one);
                if self.all.remove(&one) {
                    self.first = self.all.last().copied();
                } else {
                    self.all.insert(one);
                    self.first = Some(one);
                }
            }
            Select::Through(one) => {
                let things = things(ride, review);
                let place =
                    |own: Option<Chosen>| things.iter().position(|thing| Some(thing.chosen) == own);
                if let Some(to) = place(Some(one)) {
                    let from = place(self.anchor).unwrap_or(to);
                    let range = &things[from.min(to)..=from.max(to)];
                    self.all = range.iter().map(|thing| thing.chosen).collect();
                    self.anchor = Some(things[from].chosen);
                    self.first = Some(one);
                }
            }
            Select::These(these) => {
                self.first = these.first().copied();
                self.anchor = self.first;
                self.all = these.into_iter().collect();
            }
            Select::Add(more) => {
                self.first = self.first.or_else(|| more.first().copied());
                self.anchor = self.first;
                self.all.extend(more);
            }
        }
        self.first
    }

    /// The thing one line further in the list than what is chosen; without anything chosen the
    /// next one from a moment on.
    #[must_use]
    pub fn beyond(
        &self,
        forward: bool,
        now: Moment,
        ride: &Ride,
        review: ReviewId,
    ) -> Option<Chosen> {
        let things = things(ride, review);
        let here = things
            .iter()
            .position(|thing| Some(thing.chosen) == self.first);
        let next = match (here, forward) {
            (Some(here), true) => (here + 1).min(things.len() - 1),
            (Some(here), false) => here.saturating_sub(1),
            (None, true) => things.partition_point(|thing| thing.at < now),
            (None, false) => things
                .partition_point(|thing| thing.at <= now)
                .checked_sub(1)?,
        };
        things.get(next).map(|thing| thing.chosen)
    }
}

/// A line of the list: what stands on the strip, in the order of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thing {
    /// Its moment, or its start.
    pub at: Moment,
    /// What it is.
    pub chosen: Chosen,
    /// Its place in its list of the ride.
    pub index: usize,
}

/// Everything of a review and, with the one that counts, the stretches of the ride. At the same moment a stretch stands
/// before a bout, and a bout before its marks.
#[must_use]
pub fn things(ride: &Ride, review: ReviewId) -> Vec<Thing> {
    let mut things = Vec::with_capacity(ride.bouts.len() + ride.marks.len());
    let thing = |at, chosen, index| Thing { at, chosen, index };
    if has_stretches(ride, review) {
        let paces = ride.paces.iter().enumerate();
        things.extend(paces.map(|(i, own)| thing(own.span.from, Chosen::Pace(own.id), i)));
        let outlines = ride.outlines.iter().enumerate();
        things.extend(outlines.map(|(i, own)| thing(own.span.from, Chosen::Outline(own.id), i)));
    }
    let bouts = ride.bouts.iter().enumerate();
    let bouts = bouts.filter(|(_, own)| own.review == review);
    things.extend(bouts.map(|(i, own)| thing(own.from, Chosen::Bout(own.id), i)));
    let marks = ride.marks.iter().enumerate();
    let marks = marks.filter(|(_, own)| own.review == review);
    things.extend(marks.map(|(i, own)| thing(own.at, Chosen::Mark(own.id), i)));
    let tempos = ride.tempos.iter().enumerate();
    let tempos = tempos.filter(|(_, own)| own.review == review);
    things.extend(
        tempos.filter_map(|(i, own)| Some(thing(own.span()?.from, Chosen::Tempo(own.id), i))),
    );
    // Each list is in order already, which a stable sort makes use of.
    things.sort_by_key(|thing| thing.at);
    things
}

/// "the mark", "5 things".
#[must_use]
pub fn counted_name(all: &BTreeSet<Chosen>) -> String {
    match (all.len(), all.first()) {
        (1, Some(Chosen::Bout(_))) => "exercise".to_owned(),
        (1, Some(Chosen::Mark(_))) => "mark".to_owned(),
        (1, Some(Chosen::Pace(_))) => "pace".to_owned(),
        (1, Some(Chosen::Outline(_))) => "outline".to_owned(),
        (1, Some(Chosen::Tempo(_))) => "tempo".to_owned(),
        (1, Some(Chosen::Tap(..))) => "tap".to_owned(),
        (count, _) => format!("{count} things"),
    }
}

fn bouts<'a>(ride: &'a Ride, all: &BTreeSet<Chosen>) -> impl Iterator<Item = &'a Bout> {
    ride.bouts
        .iter()
        .filter(move |bout| all.contains(&Chosen::Bout(bout.id)))
}

/// Removes everything chosen as one step. A bout takes its marks along.
///
/// # Errors
/// Nothing that is in the ride is chosen.
pub fn remove(ride: &Ride, all: &BTreeSet<Chosen>) -> Result<Step, Refusal> {
    let gone: BTreeSet<BoutId> = bouts(ride, all).map(|bout| bout.id).collect();
    let goes = |mark: &&Mark| {
        all.contains(&Chosen::Mark(mark.id)) || mark.bout.is_some_and(|bout| gone.contains(&bout))
    };
    let marks: Vec<MarkId> = ride.marks.iter().filter(goes).map(|mark| mark.id).collect();
    let mut edits: Vec<Edit> = Vec::new();
    if !marks.is_empty() {
        // Among themselves, as many marks at once are set faster.
        let marks = marks.iter().map(|id| Edit::Mark(ride.id, *id, None));
        edits.push(Edit::Batch(marks.collect()));
    }
    edits.extend(gone.iter().map(|id| Edit::Bout(ride.id, *id, None)));
    for pace in &ride.paces {
        if all.contains(&Chosen::Pace(pace.id)) {
            edits.push(Edit::Pace(ride.id, pace.id, None));
        }
    }
    for outline in &ride.outlines {
        if all.contains(&Chosen::Outline(outline.id)) {
            edits.push(Edit::Outline(ride.id, outline.id, None));
        }
    }
    edits.extend(
        ride.tempos
            .iter()
            .filter_map(|track| without(ride, track, all)),
    );
    if edits.is_empty() {
        return Err("Choose a mark or an exercise first".into());
    }
    Ok(Step {
        label: format!("remove {}", counted_name(all)),
        edit: Edit::Batch(edits),
        choose: None,
    })
}

/// A tempo without the taps that are chosen; fewer than two are none.
fn without(ride: &Ride, track: &TempoTrack, all: &BTreeSet<Chosen>) -> Option<Edit> {
    let mut left = track.clone();
    left.taps
        .retain(|tap| !all.contains(&Chosen::Tap(track.id, *tap)));
    let whole = all.contains(&Chosen::Tempo(track.id)) || left.taps.len() < 2;
    if left.taps.len() == track.taps.len() && !whole {
        return None;
    }
    Some(Edit::Tempo(ride.id, track.id, (!whole).then_some(left)))
}

/// Takes the chosen bouts that have ended out of the count where all of them are in it, else into
/// it.
///
/// # Errors
/// No bout that has ended is chosen.
pub fn toggle_reviewed(
    ride: &Ride,
    all: &BTreeSet<Chosen>,
    chosen: Option<Chosen>,
) -> Result<Step, Refusal> {
    let ended: Vec<&Bout> = bouts(ride, all).filter(|bout| bout.to.is_some()).collect();
    if ended.is_empty() {
        return Err("None of what is chosen is an exercise that has ended".into());
    }
    let reviewed = !ended.iter().all(|bout| bout.reviewed);
    let edits = ended.into_iter().map(|bout| {
        let bout = Bout {
            reviewed,
            ..bout.clone()
        };
        Edit::Bout(ride.id, bout.id, Some(bout))
    });
    Ok(Step {
        label: "change what counts".into(),
        edit: Edit::Batch(edits.collect()),
        choose: chosen,
    })
}

#[cfg(test)]
mod tests;
