//! A film is placed elsewhere on the ride clock, and what was marked on it goes along. Pure.

use reinback_analysis::{Moment, Span};

use crate::edit::Edit;
use crate::id::FilmId;
use crate::model::{
    Bout, Film, Mark, MarkKind, OutlineSpan, PaceSpan, Press, Ride, Seen, TempoTrack,
};

/// What was marked on one film and on no other.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OnFilm<'a> {
    /// Ended bouts that lie wholly on it.
    pub bouts: Vec<&'a Bout>,
    /// Marks, and whatever was measured on its frames.
    pub marks: Vec<&'a Mark>,
    /// Ended stretches in one pace that lie wholly on it.
    pub paces: Vec<&'a PaceSpan>,
    /// Ended stretches in one outline that lie wholly on it.
    pub outlines: Vec<&'a OutlineSpan>,
    /// Taps of stretches that lie wholly on it.
    pub tempos: Vec<&'a TempoTrack>,
    /// Lines of the ridden test that are seen from a moment of it, by their place in the sheet.
    pub lines: Vec<usize>,
}

/// Whether a film may show any of a stretch. One whose length is not known may go on for ever.
/// A film shows its start and not its end, so that one that begins there has it.
fn may_show(film: &Film, span: Span) -> bool {
    let ends_before = |at: Moment| film.span().is_some_and(|own| own.to <= at);
    if span.from == span.to {
        film.offset <= span.from && !ends_before(span.from)
    } else {
        film.offset < span.to && !ends_before(span.from)
    }
}

/// What lies only on this film: what another film shows as well may have been seen there, and
/// what still runs has no end yet. Nothing but what was measured where its length is not known.
#[must_use]
pub fn on_film(ride: &Ride, film: FilmId) -> OnFilm<'_> {
    let own = ride.films.iter().find(|own| own.id == film);
    let shown = own.and_then(Film::span);
    let only_here = |span: Span| {
        let here = shown.is_some_and(|own| own.from <= span.from && span.to <= own.to);
        let mut others = ride.films.iter().filter(|own| own.id != film);
        here && !others.any(|other| may_show(other, span))
    };
    // A stretch without length is one that still runs.
    let ended = |span: Span| span.from < span.to && only_here(span);
    let bout = |bout: &&Bout| {
        let span = bout.to.map(|to| Span {
            from: bout.from,
            to,
        });
        span.is_some_and(only_here)
    };
    let mark = |mark: &&Mark| match &mark.kind {
        MarkKind::Measured(measured) => own.is_some() && measured.film == film,
        _ => only_here(Span {
            from: mark.at,
            to: mark.at,
        }),
    };
    let lines = ride.test.iter().flat_map(|test| &test.lines).enumerate();
    let line = |(place, line): (usize, &crate::model::JudgedLine)| match line.seen {
        Some(Seen::At(at)) if only_here(Span { from: at, to: at }) => Some(place),
        _ => None,
    };
    OnFilm {
        lines: lines.filter_map(line).collect(),
        bouts: ride.bouts.iter().filter(bout).collect(),
        marks: ride.marks.iter().filter(mark).collect(),
        paces: ride.paces.iter().filter(|own| ended(own.span)).collect(),
        outlines: ride.outlines.iter().filter(|own| ended(own.span)).collect(),
        tempos: ride
            .tempos
            .iter()
            .filter(|own| own.span().is_some_and(only_here))
            .collect(),
    }
}

/// Where a moment of a film lies once the film has been placed elsewhere.
fn carried(before: &Film, after: &Film, at: Moment) -> Moment {
    if before.drift_ppb == after.drift_ppb {
        // The same as through the film's time, and without rounding.
        let by = after.offset.0.saturating_sub(before.offset.0);
        return Moment(at.0.saturating_add(by));
    }
    after.ride_from_film(before.film_from_ride(at))
}

/// The stretches that go along: one that would come to lie on another that stays does not.
fn movable<'a, T>(
    band: &'a [T],
    along: &[&'a T],
    span: impl Fn(&T) -> Span,
    to: impl Fn(Span) -> Span,
) -> Vec<(&'a T, Span)> {
    let mut along: Vec<(&T, Span)> = along.iter().map(|own| (*own, to(span(own)))).collect();
    loop {
        let stays = |own: &&T| !along.iter().any(|(other, _)| std::ptr::eq(*own, *other));
        let staying: Vec<Span> = band.iter().filter(stays).map(&span).collect();
        let before = along.len();
        along.retain(|(_, moved)| {
            // What still runs reaches to wherever it will end.
            let hit =
                |own: &Span| own.from < moved.to && (own.from == own.to || moved.from < own.to);
            !staying.iter().any(hit)
        });
        if along.len() == before {
            return along;
        }
    }
}

/// Places a film as it is given here, and with it what was marked on it and on no other film;
/// all of it as one change. `None` where the ride has no such film.
#[must_use]
pub fn place_film(ride: &Ride, film: &Film) -> Option<Edit> {
    let before = ride.films.iter().find(|own| own.id == film.id)?;
    let later = |at: Moment| carried(before, film, at);
    let span = |span: Span| Span {
        from: later(span.from),
        to: later(span.to),
    };
    let along = on_film(ride, film.id);
    let mut edits = vec![Edit::Film(ride.id, film.id, Some(film.clone()))];
    let mark = |mark: &&Mark| {
        let press = mark.press.map(|press| Press {
            shown: later(press.shown),
            ..press
        });
        let mark = Mark {
            at: later(mark.at),
            press,
            ..(*mark).clone()
        };
        Edit::Mark(ride.id, mark.id, Some(mark))
    };
    if !along.marks.is_empty() {
        // Among themselves, as many marks at once are set faster.
        edits.push(Edit::Batch(along.marks.iter().map(mark).collect()));
    }
    for bout in along.bouts {
        let bout = Bout {
            from: later(bout.from),
            to: bout.to.map(later),
            ..bout.clone()
        };
        edits.push(Edit::Bout(ride.id, bout.id, Some(bout)));
    }
    for (own, span) in movable(&ride.paces, &along.paces, |own| own.span, span) {
        let pace = PaceSpan {
            span,
            ..own.clone()
        };
        edits.push(Edit::Pace(ride.id, pace.id, Some(pace)));
    }
    for (own, span) in movable(&ride.outlines, &along.outlines, |own| own.span, span) {
        let outline = OutlineSpan {
            span,
            ..own.clone()
        };
        edits.push(Edit::Outline(ride.id, outline.id, Some(outline)));
    }
    for own in along.tempos {
        let taps: Vec<Moment> = own.taps.iter().map(|tap| later(*tap)).collect();
        // Another rate may round two that are all but one onto each other.
        if !taps.is_sorted_by(|one, next| one < next) {
            continue;
        }
        let track = TempoTrack {
            taps,
            ..own.clone()
        };
        edits.push(Edit::Tempo(ride.id, track.id, Some(track)));
    }
    if let Some(test) = ride.test.as_ref().filter(|_| !along.lines.is_empty()) {
        let mut test = test.clone();
        for place in along.lines {
            if let Some(Seen::At(at)) = test.lines.get_mut(place).and_then(|l| l.seen.as_mut()) {
                *at = later(*at);
            }
        }
        edits.push(Edit::Test(ride.id, Some(test)));
    }
    Some(Edit::Batch(edits))
}

#[cfg(test)]
mod tests;
