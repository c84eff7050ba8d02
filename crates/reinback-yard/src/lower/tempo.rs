//! The strides of a ride, the paces and lines they lie in, and the events they are looked at
//! around.

use reinback_analysis::series::{StrideSource, StrideTime};
use reinback_analysis::strides::{Convention, Stride, from_taps};
use reinback_analysis::tempo::{Course, Section};
use reinback_analysis::timeline::pieces;
use reinback_analysis::{Moment, Pace, PaceSpan, Span};

use super::{Counting, course, shifted};
use crate::id::ReviewId;
use crate::model::{MarkKind, Ride};
use crate::observe::Keys;
use crate::words::Words;

/// So long before and after a transition its strides belong to it: 2 s, our own choice.
pub const BESIDE_TRANSITION: i64 = 2_000_000_000;

/// Half a canter stride: a change set to its frame takes so long before and after it.
const HALF_STRIDE: i64 = 300_000_000;

/// The strides tapped in a review, in order. Each track is read by itself; where a second one was
/// tapped over the first, the first holds.
///
/// Taps are on one leg's footfall, so each begins a stride.
#[must_use]
pub fn strides(ride: &Ride, review: ReviewId) -> Vec<Stride> {
    let tracks = ride.tempos.iter().filter(|track| track.review == review);
    let mut kept: Vec<Stride> = Vec::new();
    for track in tracks {
        let reached = kept.last().map(|last| last.span.to);
        let read = from_taps(&track.taps, Convention::Strides).strides;
        let fresh = read.into_iter();
        kept.extend(fresh.filter(|one| reached.is_none_or(|reached| reached <= one.span.from)));
    }
    kept
}

/// The paces of a ride: those noted, or where none is, those of the exercises that have only one.
///
/// What still runs reaches to `until`, if one is given; else it is left out.
#[must_use]
pub fn going(
    ride: &Ride,
    words: &Words,
    review: ReviewId,
    until: Option<Moment>,
    keys: &mut Keys,
) -> Vec<PaceSpan> {
    let last = ride.paces.last().map(|own| own.id);
    if !ride.paces.is_empty() {
        let noted = ride.paces.iter().map(|own| {
            let runs = last == Some(own.id) && own.span.to <= own.span.from;
            let to = until.filter(|_| runs).unwrap_or(own.span.to);
            PaceSpan {
                pace: own.pace,
                variant: own.variant.as_ref().map(|word| keys.learned(word)),
                span: Span {
                    from: own.span.from,
                    to: to.max(own.span.from),
                },
            }
        });
        return noted.collect();
    }
    let own = ride.bouts.iter().filter(|bout| bout.review == review);
    own.filter_map(|bout| {
        Some(PaceSpan {
            pace: words.exercise(&bout.exercise)?.pace?,
            variant: bout.variant.as_ref().map(|word| keys.learned(word)),
            span: Span {
                from: bout.from,
                to: bout.to.or(until)?.max(bout.from),
            },
        })
    })
    .collect()
}

/// The sections of a ride: its paces cut by the lines ridden, and the strides beside transitions
/// apart.
#[must_use]
pub fn sections(ride: &Ride, review: ReviewId, going: &[PaceSpan]) -> Vec<Section> {
    let Some(window) = super::hull(going.iter().map(|one| one.span)) else {
        return Vec::new();
    };
    let labels: Vec<_> = going
        .iter()
        .map(|one| ((one.pace, one.variant), one.span))
        .collect();
    let line = pieces(&labels, window);
    let courses = course::lines(&Counting::of_review(ride, review), window);
    let beside: Vec<Span> = line
        .windows(2)
        .filter(|pair| pair[0].state.known().is_some() && pair[1].state.known().is_some())
        .map(|pair| around(pair[1].span.from, BESIDE_TRANSITION))
        .collect();
    let mut found = Vec::new();
    for piece in &line {
        let Some((pace, variant)) = piece.state.known() else {
            continue;
        };
        let inside = |at: &Moment| piece.span.from < *at && *at < piece.span.to;
        let mut cuts = vec![piece.span.from, piece.span.to];
        cuts.extend(
            beside
                .iter()
                .flat_map(|one| [one.from, one.to])
                .filter(inside),
        );
        cuts.extend(courses.iter().map(|one| one.span.from).filter(inside));
        cuts.sort_unstable();
        cuts.dedup();
        for ends in cuts.windows(2) {
            let from = ends[0];
            let course = if beside.iter().any(|one| one.contains(from)) {
                Course::Transition
            } else {
                let at = courses.iter().find(|one| one.span.contains(from));
                at.and_then(|one| one.state.known())
                    .unwrap_or(Course::NotMarked)
            };
            found.push(Section {
                span: Span::new(from, ends[1]),
                pace,
                variant,
                course,
            });
        }
    }
    found
}

/// What the tempo is looked at around.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Events {
    /// Flying changes.
    pub changes: Vec<Span>,
    /// Corners marked as bouts.
    pub corners: Vec<Span>,
    /// Transitions within a pace, from one variant to another. Between two paces the tempo must
    /// differ, so these are not among them.
    pub within: Vec<Span>,
}

/// The events of a ride. A mark that is not set to its frame may be a stride off and takes twice
/// the time.
#[must_use]
pub fn events(ride: &Ride, going: &[PaceSpan]) -> Events {
    let counting = Counting::of(ride);
    let changes = counting.marks.iter().filter_map(|mark| {
        let half = HALF_STRIDE * if mark.is_on_its_frame() { 1 } else { 2 };
        matches!(mark.kind, MarkKind::Change(_)).then(|| around(mark.at, half))
    });
    let corners = counting
        .bouts
        .iter()
        .filter(|bout| bout.exercise.as_str() == "corner");
    let mut sorted = going.to_vec();
    sorted.sort_by_key(|one| one.span);
    let named = |one: &PaceSpan, next: &PaceSpan| {
        one.pace == next.pace
            && one.variant.is_some()
            && next.variant.is_some()
            && one.variant != next.variant
            && one.span.to == next.span.from
    };
    let within = sorted.windows(2).filter(|pair| named(&pair[0], &pair[1]));
    Events {
        changes: changes.collect(),
        corners: corners.filter_map(|bout| bout.span()).collect(),
        within: within
            .map(|pair| around(pair[1].span.from, HALF_STRIDE))
            .collect(),
    }
}

fn around(at: Moment, half: i64) -> Span {
    Span {
        from: shifted(at, -half),
        to: shifted(at, half),
    }
}

/// Fewer strides than this are no stride time. Our own choice.
const LEAST_STRIDES: usize = 5;

/// What a change adds to or takes from an unbroken run of one leg's cycles, in strides.
const OF_A_CHANGE: f64 = 0.25;

/// The time of a canter stride, over the strides inside a window or over all.
///
/// Total time over strides, so that the short and long cycles a foot shows in changes cancel out.
/// Where an unbroken run of them begins and ends with the same kind, a quarter stride stays over:
/// the uncertainty is at least that, for each run. Strides in turns are left out: a pirouette is
/// slower by a third.
#[must_use]
pub(super) fn canter_stride(
    strides: &[Stride],
    sections: &[Section],
    window: Option<Span>,
) -> Option<Tapped> {
    let counts = |one: &&Stride| {
        let middle = one.middle();
        let section = sections
            .iter()
            .find(|section| section.span.contains(middle));
        section
            .is_some_and(|section| section.pace == Pace::Canter && section.course != Course::Turn)
            && window.is_none_or(|window| window.contains(middle))
    };
    let own: Vec<&Stride> = strides.iter().filter(counts).collect();
    if own.len() < LEAST_STRIDES {
        return None;
    }
    let count = u32::try_from(own.len()).ok()?;
    let runs = own.chunk_by(|one, next| one.span.to == next.span.from);
    let left_over = OF_A_CHANGE * f64::from(u32::try_from(runs.count()).ok()?);
    let nanos: i64 = own.iter().map(|one| one.span.duration_nanos()).sum();
    let mut time = StrideTime::new(nanos.checked_div(i64::from(count))?, StrideSource::Taps);
    time.uncertainty = time.uncertainty.max(left_over / f64::from(count));
    let at = own.first()?.span.from;
    Some(Tapped { at, time })
}

/// A stride time as tapped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Tapped {
    /// The first of its taps.
    pub(super) at: Moment,
    /// The time of a stride; nobody has looked yet whether a horse can canter like this.
    pub(super) time: StrideTime,
}
