//! What the pointer holds on the strip, and the change it makes when it lets go: pure.

use std::collections::BTreeSet;
use std::sync::Arc;

use reinback_yard::{
    Bout, BoutId, Edit, FilmId, Mark, MarkKind, Moment, OutlineSpan, PaceSpan, Press, ReviewId,
    Ride, Span, SpanId, TempoTrack, Yard,
};

use super::snap::{Catch, Target};
use crate::action::Chosen;
use crate::rooms::review::marking::shown_until;

/// What stretches keep at least while an edge of theirs is dragged: a frame at 25 a second.
pub const SHORTEST: i64 = 40_000_000;

/// An end of a stretch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Its start.
    Start,
    /// Its end.
    End,
}

/// What is held.
#[derive(Clone, Debug, PartialEq)]
pub enum Grip {
    /// An end of a bout, a pace or an outline.
    Edge(Chosen, End),
    /// Things that move together, and the one of them that is under the pointer.
    Things(Chosen, BTreeSet<Chosen>),
    /// A clip.
    Clip(FilmId),
}

/// The ride while something is held.
#[derive(Clone, Copy, Debug)]
pub struct Hold<'a> {
    /// The ride as it is.
    pub ride: &'a Ride,
    /// Whose review is made.
    pub review: ReviewId,
    /// First to last moment.
    pub extent: Span,
    /// The frame on screen.
    pub now: Moment,
    /// Whether the film runs.
    pub playing: bool,
}

impl Grip {
    /// Where it is held.
    #[must_use]
    pub fn at(&self, ride: &Ride) -> Option<Moment> {
        match self {
            Self::Edge(chosen, end) => {
                let (from, to) = ends(ride, *chosen)?;
                match end {
                    End::Start => Some(from),
                    End::End => to,
                }
            }
            Self::Things(lead, _) => ends(ride, *lead).map(|(from, _)| from),
            Self::Clip(id) => {
                let film = ride.films.iter().find(|film| film.id == *id)?;
                Some(film.offset)
            }
        }
    }

    /// What the change is called in "Undo …".
    #[must_use]
    pub fn label(&self) -> String {
        match self {
            Self::Edge(Chosen::Bout(_), _) => "move the edge of an exercise".to_owned(),
            Self::Edge(Chosen::Pace(_), _) => "move the edge of a pace".to_owned(),
            Self::Edge(..) => "move the edge of an outline".to_owned(),
            Self::Things(_, all) => {
                let name = super::super::selection::counted_name(all);
                format!("move {name}")
            }
            Self::Clip(_) => "place a clip".to_owned(),
        }
    }

    /// The change that brings it to a moment, as near as it may go; `None` where it stays.
    #[must_use]
    pub fn moved(&self, to: Moment, hold: &Hold<'_>) -> Option<Edit> {
        let edit = match self {
            Self::Edge(Chosen::Bout(id), end) => bout_edge(*id, *end, to, hold)?,
            Self::Edge(Chosen::Pace(id), end) => {
                let spans: Vec<_> = hold
                    .ride
                    .paces
                    .iter()
                    .map(|own| (own.id, own.span))
                    .collect();
                let spans = push_edge(&spans, *id, *end, to, hold);
                pace_edits(hold.ride, &spans)
            }
            Self::Edge(Chosen::Outline(id), end) => {
                let outlines = hold.ride.outlines.iter();
                let spans: Vec<_> = outlines.map(|own| (own.id, own.span)).collect();
                let spans = push_edge(&spans, *id, *end, to, hold);
                outline_edits(hold.ride, &spans)
            }
            Self::Edge(Chosen::Mark(_) | Chosen::Tempo(_) | Chosen::Tap(..), _) => return None,
            Self::Things(_, all) => {
                let by = to.0.saturating_sub(self.at(hold.ride)?.0);
                together(all, by, hold)
            }
            Self::Clip(id) => {
                let film = hold.ride.films.iter().find(|film| film.id == *id)?;
                if film.offset == to {
                    return None;
                }
                let film = reinback_yard::Film {
                    offset: to,
                    ..film.clone()
                };
                reinback_yard::place_film(hold.ride, &film)?
            }
        };
        match edit {
            Edit::Batch(edits) if edits.is_empty() => None,
            edit => Some(edit),
        }
    }

    /// What is chosen after a change, where taps were moved: they are known by their moments.
    #[must_use]
    pub fn renamed(&self, before: &Ride, after: &Ride) -> Option<Vec<Chosen>> {
        let Self::Things(lead, all) = self else {
            return None;
        };
        if !all.iter().any(|own| matches!(own, Chosen::Tap(..))) {
            return None;
        }
        let now = |own: &Chosen| match *own {
            Chosen::Tap(id, at) => {
                let track = |ride: &Ride| ride.tempos.iter().find(|own| own.id == id).cloned();
                let place = track(before)?.taps.binary_search(&at).ok()?;
                Some(Chosen::Tap(id, *track(after)?.taps.get(place)?))
            }
            other => Some(other),
        };
        let others = all.iter().filter(|own| *own != lead);
        Some(
            std::iter::once(lead)
                .chain(others)
                .filter_map(now)
                .collect(),
        )
    }

    /// What it may catch on, with where its held end would be then. A clip catches with both its
    /// ends.
    #[must_use]
    pub fn targets<'a>(&'a self, hold: &Hold<'a>) -> Box<dyn Iterator<Item = Target> + 'a> {
        match self {
            Self::Clip(id) => Box::new(clip_targets(hold.ride, *id).into_iter()),
            Self::Edge(own, _) => {
                let own = *own;
                Box::new(thing_targets(hold, move |chosen| chosen != own))
            }
            Self::Things(_, all) => Box::new(thing_targets(hold, |chosen| !all.contains(&chosen))),
        }
    }
}

/// The ride as it will be after a change.
#[must_use]
pub fn after(ride: &Ride, edit: &Edit) -> Option<Ride> {
    let mut yard = Yard::default();
    yard.rides.insert(ride.id, Arc::new(ride.clone()));
    edit.clone().apply(&mut yard).ok()?;
    yard.rides.remove(&ride.id).map(Arc::unwrap_or_clone)
}

/// Start and end; a mark has no end, nor has a running bout.
#[must_use]
pub fn ends(ride: &Ride, chosen: Chosen) -> Option<(Moment, Option<Moment>)> {
    match chosen {
        Chosen::Bout(id) => {
            let bout = ride.bouts.iter().find(|bout| bout.id == id)?;
            Some((bout.from, bout.to))
        }
        Chosen::Mark(id) => {
            let mark = ride.marks.iter().find(|mark| mark.id == id)?;
            Some((mark.at, None))
        }
        Chosen::Pace(id) => {
            let pace = ride.paces.iter().find(|pace| pace.id == id)?;
            Some((pace.span.from, Some(pace.span.to)))
        }
        Chosen::Outline(id) => {
            let outline = ride.outlines.iter().find(|own| own.id == id)?;
            Some((outline.span.from, Some(outline.span.to)))
        }
        Chosen::Tempo(id) => {
            let span = ride.tempos.iter().find(|own| own.id == id)?.span()?;
            Some((span.from, Some(span.to)))
        }
        Chosen::Tap(id, at) => {
            let track = ride.tempos.iter().find(|own| own.id == id)?;
            track.taps.contains(&at).then_some((at, None))
        }
    }
}

fn bout_edge(id: BoutId, end: End, to: Moment, hold: &Hold<'_>) -> Option<Edit> {
    let mut bout = hold.ride.bouts.iter().find(|own| own.id == id)?.clone();
    let before = (bout.from, bout.to);
    match (end, bout.to) {
        (End::Start, Some(last)) => {
            let latest = last.0.saturating_sub(SHORTEST);
            bout.from = Moment(to.0.min(latest).max(hold.extent.from.0.min(latest)));
        }
        (End::Start, None) => {
            bout.from = Moment(to.0.min(hold.now.0).max(hold.extent.from.0));
        }
        (End::End, Some(_)) => {
            let earliest = bout.from.0.saturating_add(SHORTEST);
            bout.to = Some(Moment(
                to.0.max(earliest).min(hold.extent.to.0.max(earliest)),
            ));
        }
        (End::End, None) => return None,
    }
    ((bout.from, bout.to) != before).then_some(Edit::Bout(hold.ride.id, id, Some(bout)))
}

/// Whether a stretch has no end yet, and so is shown up to wherever the play head is.
fn still_runs(span: Span, last: bool) -> bool {
    shown_until(span, last, Moment(i64::MAX)).to != span.to
}

/// How late a stretch that still runs may have begun: by the frame on screen, unless the film has
/// gone back to before it.
fn begun_by(span: Span, hold: &Hold<'_>) -> Moment {
    hold.now.min(hold.extent.to).max(span.from)
}

/// Moves an end of one of the stretches of a band. One that it touches, or is pushed onto, gives
/// way with its near end, down to the shortest length. The last one may still run, and has no end
/// yet: it has begun by the frame on screen, and gives way as a whole.
fn push_edge(
    spans: &[(SpanId, Span)],
    id: SpanId,
    end: End,
    to: Moment,
    hold: &Hold<'_>,
) -> Vec<(SpanId, Span)> {
    let Some(place) = spans.iter().position(|(own, _)| *own == id) else {
        return Vec::new();
    };
    let mut own = spans[place].1;
    let runs = |place: usize| still_runs(spans[place].1, place + 1 == spans.len());
    let own_runs = runs(place);
    let neighbour = match end {
        End::Start => place.checked_sub(1),
        End::End => Some(place + 1).filter(|place| *place < spans.len()),
    };
    let other_runs = neighbour.is_some_and(runs);
    let mut other = neighbour.map(|place| spans[place]);
    let (least, most) = match end {
        End::Start => {
            let wall = other.map_or(hold.extent.from, |(_, span)| {
                Moment(span.from.0.saturating_add(SHORTEST))
            });
            let latest = if own_runs {
                begun_by(own, hold).0
            } else {
                own.to.0.saturating_sub(SHORTEST)
            };
            (wall.0, latest)
        }
        End::End => {
            let wall = other.map_or(hold.extent.to, |(_, span)| {
                if other_runs {
                    begun_by(span, hold)
                } else {
                    Moment(span.to.0.saturating_sub(SHORTEST))
                }
            });
            (own.from.0.saturating_add(SHORTEST), wall.0)
        }
    };
    // What still runs does not end before it has begun.
    if least > most || (own_runs && end == End::End && to.0 < least) {
        return Vec::new();
    }
    let to = Moment(to.0.clamp(least, most));
    match end {
        End::Start => {
            if let Some((_, span)) = &mut other {
                let touches = span.to == own.from;
                if touches || span.to > to {
                    span.to = to;
                }
            }
            own.from = to;
            if own_runs {
                own.to = to;
            }
        }
        End::End => {
            if let Some((_, span)) = &mut other {
                let touches = span.from == own.to;
                if touches || span.from < to {
                    span.from = to;
                    if other_runs {
                        span.to = to;
                    }
                }
            }
            own.to = to;
        }
    }
    let all = [Some((id, own)), other].into_iter().flatten();
    all.filter(|changed| !spans.contains(changed)).collect()
}

fn pace_edits(ride: &Ride, spans: &[(SpanId, Span)]) -> Edit {
    let edits = spans.iter().filter_map(|(id, span)| {
        let pace = ride.paces.iter().find(|own| own.id == *id)?;
        let pace = PaceSpan {
            span: *span,
            ..pace.clone()
        };
        Some(Edit::Pace(ride.id, *id, Some(pace)))
    });
    Edit::Batch(edits.collect())
}

fn outline_edits(ride: &Ride, spans: &[(SpanId, Span)]) -> Edit {
    let edits = spans.iter().filter_map(|(id, span)| {
        let outline = ride.outlines.iter().find(|own| own.id == *id)?;
        let outline = OutlineSpan {
            span: *span,
            ..outline.clone()
        };
        Some(Edit::Outline(ride.id, *id, Some(outline)))
    });
    Edit::Batch(edits.collect())
}

/// Moves things by the same time, as far as all of them can go.
fn together(all: &BTreeSet<Chosen>, by: i64, hold: &Hold<'_>) -> Edit {
    let ride = hold.ride;
    let room = room(all, hold);
    let by = by.clamp(room.0, room.1);
    if by == 0 {
        return Edit::Batch(Vec::new());
    }
    let later = |at: Moment| Moment(at.0.saturating_add(by));
    let span = |span: Span| Span {
        from: later(span.from),
        to: later(span.to),
    };
    let marks = ride.marks.iter().filter(|mark| is_movable(mark));
    let marks = marks.filter(|mark| all.contains(&Chosen::Mark(mark.id)));
    let marks: Vec<Edit> = marks
        .map(|mark| Edit::Mark(ride.id, mark.id, Some(mark_at(mark, later(mark.at), hold))))
        .collect();
    let mut edits = Vec::new();
    if !marks.is_empty() {
        // Among themselves, as many marks at once are set faster.
        edits.push(Edit::Batch(marks));
    }
    let bouts = ride.bouts.iter();
    for bout in bouts.filter(|bout| all.contains(&Chosen::Bout(bout.id))) {
        let bout = Bout {
            from: later(bout.from),
            to: bout.to.map(later),
            ..bout.clone()
        };
        edits.push(Edit::Bout(ride.id, bout.id, Some(bout)));
    }
    let paces = ride.paces.iter();
    let paces = paces.filter(|own| all.contains(&Chosen::Pace(own.id)));
    let paces: Vec<_> = paces.map(|own| (own.id, span(own.span))).collect();
    let outlines = ride.outlines.iter();
    let outlines = outlines.filter(|own| all.contains(&Chosen::Outline(own.id)));
    let outlines: Vec<_> = outlines.map(|own| (own.id, span(own.span))).collect();
    edits.extend(tempo_edits(ride, all, by));
    for edit in [pace_edits(ride, &paces), outline_edits(ride, &outlines)] {
        if let Edit::Batch(more) = edit {
            edits.extend(more);
        }
    }
    Edit::Batch(edits)
}

/// Things that move together, with the marks that belong to the bouts among them.
#[must_use]
pub fn with_their_marks(ride: &Ride, all: &BTreeSet<Chosen>) -> BTreeSet<Chosen> {
    let moves = |bout: BoutId| all.contains(&Chosen::Bout(bout));
    let marks = ride.marks.iter().filter(|mark| is_movable(mark));
    let marks = marks.filter(|mark| mark.bout.is_some_and(moves));
    let marks = marks.map(|mark| Chosen::Mark(mark.id));
    all.iter().copied().chain(marks).collect()
}

/// What was measured belongs to its frame, and stays there.
fn is_movable(mark: &Mark) -> bool {
    !matches!(mark.kind, MarkKind::Measured(_))
}

/// Whether a tap moves: chosen itself, or with all of its stretch.
fn taps_along(all: &BTreeSet<Chosen>, track: &TempoTrack, tap: Moment) -> bool {
    all.contains(&Chosen::Tempo(track.id)) || all.contains(&Chosen::Tap(track.id, tap))
}

fn tempo_edits(ride: &Ride, all: &BTreeSet<Chosen>, by: i64) -> Vec<Edit> {
    let moved = |track: &TempoTrack| {
        let taps = track.taps.iter().map(|tap| {
            if taps_along(all, track, *tap) {
                Moment(tap.0.saturating_add(by))
            } else {
                *tap
            }
        });
        TempoTrack {
            taps: taps.collect(),
            ..track.clone()
        }
    };
    let edits = ride.tempos.iter().filter_map(|track| {
        let moved = moved(track);
        (moved != *track).then_some(Edit::Tempo(ride.id, track.id, Some(moved)))
    });
    edits.collect()
}

/// A mark put to a moment. Only the frame on screen is known to be the one it is about.
fn mark_at(mark: &Mark, at: Moment, hold: &Hold<'_>) -> Mark {
    let refined = at == hold.now && !hold.playing;
    Mark {
        at,
        press: mark.press.map(|press| Press { refined, ..press }),
        ..mark.clone()
    }
}

/// How far back and how far on all of these things can go, in nanoseconds: within the ride, and
/// without running into another stretch of their band.
fn room(all: &BTreeSet<Chosen>, hold: &Hold<'_>) -> (i64, i64) {
    let (mut back, mut on) = (i64::MIN + 1, i64::MAX);
    let mut keep = |span: Span, within: Span| {
        back = back.max(within.from.0.saturating_sub(span.from.0));
        on = on.min(within.to.0.saturating_sub(span.to.0));
    };
    let ride = hold.ride;
    for mark in ride.marks.iter().filter(|mark| is_movable(mark)) {
        if all.contains(&Chosen::Mark(mark.id)) {
            let (from, to) = (mark.at, mark.at);
            keep(Span { from, to }, hold.extent);
        }
    }
    for bout in &ride.bouts {
        if all.contains(&Chosen::Bout(bout.id)) {
            let span = bout.span_until(bout.from);
            // A running bout has begun by the frame on screen.
            let to = bout.to.map_or(hold.now, |_| hold.extent.to);
            let from = hold.extent.from;
            keep(span, Span { from, to });
        }
    }
    let paces = ride.paces.iter();
    let paces: Vec<_> = paces.map(|own| (Chosen::Pace(own.id), own.span)).collect();
    let outlines = ride.outlines.iter();
    let outlines: Vec<_> = outlines
        .map(|own| (Chosen::Outline(own.id), own.span))
        .collect();
    for band in [paces, outlines] {
        for (place, (chosen, span)) in band.iter().enumerate() {
            if !all.contains(chosen) {
                continue;
            }
            let others = |own: &&(Chosen, Span)| !all.contains(&own.0);
            let before = band[..place].iter().rfind(others);
            let behind = band[place + 1..].iter().find(others);
            let from = before.map_or(hold.extent.from, |(_, other)| other.to);
            let last = place + 1 == band.len();
            let end = if still_runs(*span, last) {
                begun_by(*span, hold)
            } else {
                hold.extent.to
            };
            let to = behind.map_or(end, |(_, other)| other.from);
            keep(*span, Span { from, to });
        }
    }
    for track in &ride.tempos {
        for (place, tap) in track.taps.iter().enumerate() {
            if !taps_along(all, track, *tap) {
                continue;
            }
            let stays = |own: &&Moment| !taps_along(all, track, **own);
            let before = track.taps[..place].last().filter(stays);
            let behind = track.taps.get(place + 1).filter(stays);
            let from = before.map_or(hold.extent.from.0, |own| own.0.saturating_add(SHORTEST));
            let to = behind.map_or(hold.extent.to.0, |own| own.0.saturating_sub(SHORTEST));
            let (from, to) = (Moment(from), Moment(to));
            let here = Span {
                from: *tap,
                to: *tap,
            };
            keep(here, Span { from, to });
        }
    }
    (back.min(0), on.max(0))
}

fn thing_targets<'a, F: Fn(Chosen) -> bool + Copy + 'a>(
    hold: &Hold<'a>,
    wanted: F,
) -> impl Iterator<Item = Target> + use<'a, F> {
    let (ride, review) = (hold.ride, hold.review);
    let target = |what: Catch, at: Moment| Target { at, what };
    let head = (!hold.playing).then_some(target(Catch::Head, hold.now));
    let bouts = ride.bouts.iter().filter(move |own| own.review == review);
    let bouts = bouts.filter(move |own| wanted(Chosen::Bout(own.id)));
    let bouts = bouts.flat_map(|own| [Some(own.from), own.to]).flatten();
    let marks = ride.marks.iter().filter(move |own| own.review == review);
    let marks = marks.filter(move |own| wanted(Chosen::Mark(own.id)));
    let paces = ride.paces.iter();
    let paces = paces.filter(move |own| wanted(Chosen::Pace(own.id)));
    let paces = paces.flat_map(|own| [own.span.from, own.span.to]);
    let outlines = ride.outlines.iter();
    let outlines = outlines.filter(move |own| wanted(Chosen::Outline(own.id)));
    let outlines = outlines.flat_map(|own| [own.span.from, own.span.to]);
    let films = ride.films.iter().filter_map(reinback_yard::Film::span);
    let films = films.flat_map(|span| [span.from, span.to]);
    head.into_iter()
        .chain(bouts.map(move |at| target(Catch::Exercise, at)))
        .chain(marks.map(move |own| target(Catch::Mark, own.at)))
        .chain(paces.map(move |at| target(Catch::Pace, at)))
        .chain(outlines.map(move |at| target(Catch::Outline, at)))
        .chain(films.map(move |at| target(Catch::Film, at)))
}

/// The starts of a clip at which one of its ends meets an end of another film, and zero.
fn clip_targets(ride: &Ride, id: FilmId) -> Vec<Target> {
    let own = ride.films.iter().find(|film| film.id == id);
    let length = own
        .and_then(reinback_yard::Film::span)
        .map_or(0, Span::duration_nanos);
    let others = ride.films.iter().filter(|film| film.id != id);
    let ends = others
        .filter_map(reinback_yard::Film::span)
        .flat_map(|span| [span.from, span.to]);
    let starts = ends.flat_map(|end| [end, Moment(end.0.saturating_sub(length))]);
    let films = starts.map(|at| Target {
        at,
        what: Catch::Film,
    });
    let zero = Target {
        at: Moment(0),
        what: Catch::Zero,
    };
    films.chain([zero]).collect()
}

#[cfg(test)]
mod tests;
