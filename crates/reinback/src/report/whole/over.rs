//! The rides of a period together.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::NaiveDate;
use reinback_analysis::Pace;
use reinback_analysis::describe::median;
use reinback_analysis::load::{Week, monday};
use reinback_analysis::place::{self, Arena, Spot};
use reinback_analysis::tempo_around::{self, Around};
use reinback_analysis::transitions::{self, Kind, Pooled, Transitions};
use reinback_yard::{Moment, RideId, WordId, day_of};

use super::{RideFigures, WEEKS, WeekOver};

/// Transitions of several rides.
#[derive(Clone, Debug, PartialEq)]
pub struct Steps {
    /// Rides whose paces are noted.
    pub rides: usize,
    /// Counts over the time of all of them.
    pub all: Pooled,
    /// By kind, most frequent first.
    pub by_kind: Vec<(StepsKind, u32)>,
    /// Changes to or from an unnamed variant, and changes in a stretch that is not known: in no
    /// count.
    pub not_counted: u32,
}

/// A kind of transition, with its words.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum StepsKind {
    /// From one pace to another.
    Between(Pace, Pace),
    /// From one variant of a pace to another.
    Within(Pace, WordId, WordId),
}

pub(super) fn steps(rides: &[Arc<RideFigures>]) -> Steps {
    let known: Vec<(&RideFigures, &Transitions)> = rides
        .iter()
        .filter_map(|ride| Some((ride.as_ref(), ride.steps.as_ref()?)))
        .collect();
    let mut by_kind: BTreeMap<StepsKind, u32> = BTreeMap::new();
    let mut not_counted = 0;
    for (ride, steps) in &known {
        not_counted += steps.unnamed + steps.across_unknown;
        for (kind, times) in &steps.by_kind {
            let kind = match *kind {
                Kind::Between { from, to } => Some(StepsKind::Between(from, to)),
                Kind::Within { pace, from, to } => ride
                    .word(from)
                    .zip(ride.word(to))
                    .map(|(from, to)| StepsKind::Within(pace, from.clone(), to.clone())),
            };
            if let Some(kind) = kind {
                *by_kind.entry(kind).or_default() += times;
            }
        }
    }
    let mut by_kind: Vec<(StepsKind, u32)> = by_kind.into_iter().collect();
    by_kind.sort_by(|one, other| other.1.cmp(&one.1).then_with(|| one.0.cmp(&other.0)));
    Steps {
        rides: known.len(),
        all: transitions::pooled(known.iter().map(|(_, steps)| *steps)),
        by_kind,
        not_counted,
    }
}

/// One pace and variant over the rides.
#[derive(Clone, Debug, PartialEq)]
pub struct PaceOver {
    /// The pace.
    pub pace: Pace,
    /// Its variant, if noted.
    pub variant: Option<WordId>,
    /// Ride by ride, oldest first.
    pub points: Vec<PacePoint>,
    /// The middle one of the rides' medians, in strides per minute.
    pub median: f64,
    /// Lapses on straight lines, of the rides that have some.
    pub lapses: u32,
}

/// One ride's tempo in a pace, or that of one month.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PacePoint {
    /// How many rides are behind it: 1, or all of a month.
    pub rides: u32,
    /// The ride; of a month the first.
    pub ride: RideId,
    /// Its day.
    pub date: NaiveDate,
    /// The middle stride, in strides per minute.
    pub median: f64,
    /// Strides behind it.
    pub strides: f64,
    /// Whether they lay on lines known to be straight; else on whatever line, or in turns.
    pub straight: bool,
    /// Its first lapse.
    pub lapse: Option<Moment>,
}

pub(super) fn tempos(rides: &[Arc<RideFigures>]) -> Vec<PaceOver> {
    let mut found: BTreeMap<(Pace, Option<WordId>), PaceOver> = BTreeMap::new();
    for ride in rides {
        let paces = ride.tempo.as_ref().map_or(&[][..], |own| &own.paces.paces);
        for own in paces {
            let (median, strides, straight) = match (&own.straight, &own.not_marked, &own.turns) {
                (Ok(straight), ..) => (straight.median, straight.strides, true),
                (Err(_), Some(apart), _) | (Err(_), None, Some(apart)) => {
                    (apart.median, apart.strides, false)
                }
                (Err(_), None, None) => continue,
            };
            let lapses = own.straight.as_ref().map_or(&[][..], |own| &own.lapses);
            let variant = own.variant.and_then(|key| ride.word(key)).cloned();
            let over = found
                .entry((own.pace, variant.clone()))
                .or_insert_with(|| PaceOver {
                    pace: own.pace,
                    variant,
                    points: Vec::new(),
                    median: 0.0,
                    lapses: 0,
                });
            over.lapses += u32::try_from(lapses.len()).unwrap_or(u32::MAX);
            over.points.push(PacePoint {
                rides: 1,
                ride: ride.ride,
                date: ride.date,
                median,
                strides,
                straight,
                lapse: lapses.first().map(|lapse| lapse.span.from),
            });
        }
    }
    let mut found: Vec<PaceOver> = found.into_values().collect();
    for over in &mut found {
        let medians: Vec<f64> = over.points.iter().map(|point| point.median).collect();
        over.median = median(&medians).unwrap_or_default();
    }
    found
}

/// The last weeks by pace, from their sums and from all rides of the horse.
pub(super) fn weeks(weeks: &[Week], rides: &[Arc<RideFigures>], today: NaiveDate) -> Vec<WeekOver> {
    let shown = &weeks[weeks.len().saturating_sub(WEEKS)..];
    let mut found: BTreeMap<NaiveDate, WeekOver> = shown
        .iter()
        .filter_map(|week| {
            let monday = NaiveDate::from_epoch_days(week.monday.0)?;
            let own = WeekOver {
                monday,
                rides: week.rides,
                nanos: week.nanos,
                paces: BTreeMap::new(),
                pace_unknown: 0,
            };
            Some((monday, own))
        })
        .collect();
    for ride in rides.iter().filter(|ride| ride.date <= today) {
        let monday = NaiveDate::from_epoch_days(monday(day_of(ride.date)).0);
        let Some(week) = monday.and_then(|monday| found.get_mut(&monday)) else {
            continue;
        };
        let (paces, unknown) = &ride.paces;
        week.pace_unknown = week.pace_unknown.saturating_add(*unknown);
        for (pace, nanos) in paces {
            let place = week.paces.entry(*pace).or_default();
            *place = place.saturating_add(*nanos);
        }
    }
    found.into_values().collect()
}

/// What the tempo is looked at about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AroundWhat {
    /// Flying changes.
    Changes,
    /// Corners.
    Corners,
    /// Transitions within a pace.
    Within,
}

pub(super) fn around(rides: &[Arc<RideFigures>]) -> Vec<(AroundWhat, Around)> {
    let of = |what: AroundWhat| {
        let own = rides.iter().filter_map(|ride| ride.tempo.as_ref());
        let parts = own.map(|tempo| match what {
            AroundWhat::Changes => &tempo.changes,
            AroundWhat::Corners => &tempo.corners,
            AroundWhat::Within => &tempo.within,
        });
        (what, tempo_around::pooled(parts))
    };
    [AroundWhat::Changes, AroundWhat::Corners, AroundWhat::Within]
        .map(of)
        .into_iter()
        .filter(|(_, found)| !found.events.is_empty() || found.left_out > 0)
        .collect()
}

/// The faults of one size of arena.
#[derive(Clone, Debug, PartialEq)]
pub struct Places {
    /// Which arena, where that was said. Rides of which nobody said it stand apart.
    pub given: Option<Arena>,
    /// On which plan they are drawn: 20 by 60 metres where it was not said.
    pub arena: Arena,
    /// Rides in it.
    pub rides: usize,
    /// Counts by letter and on the grid.
    pub found: place::Places,
    /// The faults that have a place: what, where, and the moment to look at.
    pub faults: Vec<PlaceMoment>,
}

/// A fault with a place.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceMoment {
    /// The ride.
    pub ride: RideId,
    /// Its day.
    pub date: NaiveDate,
    /// When.
    pub at: Moment,
    /// The exercise, if it belongs to one.
    pub exercise: Option<WordId>,
    /// The fault.
    pub fault: WordId,
    /// Where.
    pub spot: Spot,
}

/// The side of a cell of the grid, in metres. Our own choice: a horse is about half as long.
const CELL: f64 = 5.0;

/// Arenas kept apart, the larger first, and last those of which nobody said how large they are;
/// only those with a fault.
pub(super) fn places(rides: &[Arc<RideFigures>]) -> Vec<Places> {
    let of = |given: Option<Arena>| {
        let arena = given.unwrap_or(Arena::Standard);
        let own = || rides.iter().filter(move |ride| ride.arena == given);
        let faults = || own().flat_map(|ride| ride.faults.iter().map(move |own| (ride, own)));
        let spots: Vec<Spot> = faults().map(|(_, own)| own.spot).collect();
        let moments = faults().filter(|(_, own)| own.spot != Spot::Unplaced);
        Some(Places {
            given,
            arena,
            rides: own().count(),
            found: place::places(&spots, arena, CELL).ok()?,
            faults: moments
                .map(|(ride, own)| PlaceMoment {
                    ride: ride.ride,
                    date: ride.date,
                    at: own.at,
                    exercise: own.of.as_ref().map(|(exercise, _)| exercise.clone()),
                    fault: own.fault.clone(),
                    spot: own.spot,
                })
                .collect(),
        })
        .filter(|_| !spots.is_empty())
    };
    [Some(Arena::Standard), Some(Arena::Small), None]
        .into_iter()
        .filter_map(of)
        .collect()
}
