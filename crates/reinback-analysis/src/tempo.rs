//! Tempo: strides per minute, how steady, how it drifts, where it lapses.
//!
//! A lapse is a stretch in which the tempo left its own band: more than 4 % off
//! the ride's own median for that pace and variant, for three strides or longer,
//! on a straight line. In turns and transitions tempo changes of itself (stride
//! rate is lower on circles: Sensors 2023, 23:4232), so these are reported apart.

use std::collections::BTreeMap;

use crate::describe::{coefficient_of_variation, median, quantile, theil_sen};
use crate::estimate::{Estimate, InputError, LEVEL};
use crate::observation::{Key, Pace};
use crate::special::real;
use crate::strides::Stride;
use crate::time::{Span, seconds};
use crate::timeline::pieces;

/// The line ridden.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Course {
    /// A straight line.
    Straight,
    /// A corner, circle, volte or pirouette.
    Turn,
    /// In or beside a transition.
    Transition,
    /// Not marked.
    NotMarked,
}

/// A stretch of the ride in one pace on one kind of line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Section {
    /// From where to where.
    pub span: Span,
    /// The pace.
    pub pace: Pace,
    /// Its variant, if noted.
    pub variant: Option<Key>,
    /// The line.
    pub course: Course,
}

/// Why there is no figure. Its text is a sentence for the rider.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, thiserror::Error)]
#[non_exhaustive]
pub enum TempoReason {
    /// No strides on straight lines.
    #[error("No straight lines are marked in this pace. Mark them, or the corners.")]
    NoStraight,
    /// Fewer than ten strides on straight lines.
    #[error("Fewer than ten strides on straight lines: too few for a tempo.")]
    FewerThanTen,
    /// Fewer than sixty strides.
    #[error("Fewer than sixty strides on straight lines: too few to see a drift.")]
    FewerThanSixty,
    /// So uneven that its range has no end.
    #[error("The strides are too uneven for a figure. Check the taps: {0}.")]
    TooUneven(InputError),
}

/// Which way the tempo left its band.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Off {
    /// More strides a minute.
    Quicker,
    /// Fewer.
    Slower,
}

/// A stretch off the band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lapse {
    /// From where to where.
    pub span: Span,
    /// Which way.
    pub off: Off,
    /// Strides in it.
    pub strides: f64,
    /// Its mean tempo over the median, less 1: 0.06 is 6 % quicker.
    pub by: f64,
}

/// The tempo on straight lines.
#[derive(Debug, Clone, PartialEq)]
pub struct Tempo {
    /// Strides counted.
    pub strides: f64,
    /// Strides per minute: the middle value.
    pub median: f64,
    /// Nine tenths of the strides lay between these.
    pub middle: (f64, f64),
    /// Coefficient of variation of the stride times, 0.02 for 2 %. Neighbouring
    /// strides resemble each other, so the true range is somewhat wider.
    pub steadiness: Result<Estimate, TempoReason>,
    /// Strides per minute gained or lost in a minute.
    pub drift: Result<Estimate, TempoReason>,
    /// Where it left its band, in order.
    pub lapses: Vec<Lapse>,
}

/// The tempo where it is not judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apart {
    /// Strides counted.
    pub strides: f64,
    /// Strides per minute: the middle value.
    pub median: f64,
    /// Over the median on straight lines, less 1, where there is one.
    pub by: Option<f64>,
}

/// One pace and variant.
#[derive(Debug, Clone, PartialEq)]
pub struct PaceTempo {
    /// The pace.
    pub pace: Pace,
    /// Its variant, if noted.
    pub variant: Option<Key>,
    /// On straight lines.
    pub straight: Result<Tempo, TempoReason>,
    /// In turns.
    pub turns: Option<Apart>,
    /// In and beside transitions.
    pub transitions: Option<Apart>,
    /// Where the line is not marked.
    pub not_marked: Option<Apart>,
}

/// The tempo of a ride.
#[derive(Debug, Clone, PartialEq)]
pub struct TempoReport {
    /// Pace by pace, sorted.
    pub paces: Vec<PaceTempo>,
    /// Strides whose pace is not marked, or marked as two at once.
    pub unplaced: f64,
}

/// The band: a lapse is further off than this share of the median. Our own
/// choice, after a natural scatter of about 2 % (Drevemo and others 1980, Equine
/// Vet J 12:60-65).
pub const BAND: f64 = 0.04;

/// A lapse has at least so many strides. Our own choice.
pub const LAPSE_STRIDES: f64 = 3.0;

const MIN_STRIDES: f64 = 10.0;
/// Drift is seen on blocks of this many strides, at least six of them.
const BLOCK: f64 = 10.0;
const MIN_BLOCKS: usize = 6;

/// The tempo of a ride, pace by pace.
///
/// A stride belongs to the section its middle lies in; sections that contradict
/// each other count as none. Range: 5th to 95th percentile of the stride rates.
/// Steadiness: standard deviation over mean of the stride times, range after
/// `McKay` (1932). Drift: Theil-Sen slope over medians of ten strides each, so
/// that neighbouring strides, which resemble each other, do not count as news.
///
/// ```
/// use reinback_analysis::strides::{Convention, from_taps};
/// use reinback_analysis::tempo::{Course, Off, Section, tempo};
/// use reinback_analysis::{Moment, Pace, Span};
/// // forty strides of 0.62 s, then five of 0.56 s
/// let mut taps = vec![Moment(0)];
/// for n in 0..45 {
///     let last = taps[taps.len() - 1].0;
///     taps.push(Moment(last + if n < 40 { 620_000_000 } else { 560_000_000 }));
/// }
/// let canter = Section {
///     span: Span::new(Moment(0), Moment(60_000_000_000)),
///     pace: Pace::Canter, variant: None, course: Course::Straight,
/// };
/// let found = tempo(&from_taps(&taps, Convention::Strides).strides, &[canter]);
/// let straight = found.paces[0].straight.as_ref().unwrap();
/// assert!((straight.median - 96.8).abs() < 0.1);
/// assert_eq!((straight.lapses.len(), straight.lapses[0].off), (1, Off::Quicker));
/// ```
#[must_use]
pub fn tempo(strides: &[Stride], sections: &[Section]) -> TempoReport {
    let mut sorted = strides.to_vec();
    sorted.sort_by_key(|stride| stride.span);
    let window = sections.iter().fold(None, |window: Option<Span>, section| {
        let Span { from, to } = section.span;
        Some(window.map_or(section.span, |all| Span {
            from: all.from.min(from),
            to: all.to.max(to),
        }))
    });
    let labels: Vec<((Going, Course), Span)> = sections
        .iter()
        .map(|one| (((one.pace, one.variant), one.course), one.span))
        .collect();
    let line = pieces(&labels, window.unwrap_or_default());
    let mut groups: BTreeMap<Going, BTreeMap<Course, Vec<Stride>>> = BTreeMap::new();
    let mut unplaced = 0.0;
    for stride in sorted {
        let at = line.partition_point(|piece| piece.span.to <= stride.middle());
        let piece = line
            .get(at)
            .filter(|one| one.span.contains(stride.middle()));
        match piece.and_then(|piece| piece.state.known()) {
            Some((going, course)) => groups
                .entry(going)
                .or_default()
                .entry(course)
                .or_default()
                .push(stride),
            None => unplaced += stride.strides,
        }
    }
    TempoReport {
        paces: groups
            .into_iter()
            .map(|(going, courses)| pace_tempo(going, &courses))
            .collect(),
        unplaced,
    }
}

type Going = (Pace, Option<Key>);

fn pace_tempo(going: Going, courses: &BTreeMap<Course, Vec<Stride>>) -> PaceTempo {
    let straight = straight(courses.get(&Course::Straight).map_or(&[], Vec::as_slice));
    let usual = straight.as_ref().ok().map(|tempo| tempo.median);
    let apart = |course| {
        let strides = courses.get(&course)?;
        let median = median(&rates(strides))?;
        Some(Apart {
            strides: sum(strides),
            median,
            by: usual.map(|usual| median / usual - 1.0),
        })
    };
    PaceTempo {
        pace: going.0,
        variant: going.1,
        turns: apart(Course::Turn),
        transitions: apart(Course::Transition),
        not_marked: apart(Course::NotMarked),
        straight,
    }
}

fn rates(strides: &[Stride]) -> Vec<f64> {
    strides.iter().map(Stride::rate).collect()
}

fn sum(strides: &[Stride]) -> f64 {
    strides.iter().map(|stride| stride.strides).sum()
}

fn straight(strides: &[Stride]) -> Result<Tempo, TempoReason> {
    let rates = rates(strides);
    let all = sum(strides);
    let usual = median(&rates).ok_or(TempoReason::NoStraight)?;
    // A sum of parts of strides may fall short of ten by a rounding.
    if all < MIN_STRIDES - 1e-9 {
        return Err(TempoReason::FewerThanTen);
    }
    let times: Vec<f64> = rates.iter().map(|rate| 60.0 / rate).collect();
    let end = |share| quantile(&rates, share).unwrap_or(usual);
    Ok(Tempo {
        strides: all,
        median: usual,
        middle: (end(0.05), end(0.95)),
        steadiness: coefficient_of_variation(&times, LEVEL).map_err(TempoReason::TooUneven),
        drift: drift(strides),
        lapses: lapses(strides, usual),
    })
}

fn drift(strides: &[Stride]) -> Result<Estimate, TempoReason> {
    let mut blocks = Vec::new();
    let mut block: Vec<Stride> = Vec::new();
    for stride in strides {
        block.push(*stride);
        if sum(&block) >= BLOCK - 1e-9 {
            let middle: f64 = block
                .iter()
                .map(|stride| seconds(stride.middle().0))
                .sum::<f64>()
                / real(block.len());
            blocks.extend(median(&rates(&block)).map(|rate| (middle / 60.0, rate)));
            block.clear();
        }
    }
    if blocks.len() < MIN_BLOCKS {
        return Err(TempoReason::FewerThanSixty);
    }
    theil_sen(&blocks, LEVEL).map_err(TempoReason::TooUneven)
}

fn lapses(strides: &[Stride], usual: f64) -> Vec<Lapse> {
    let off = |stride: &Stride| {
        let by = stride.rate() / usual - 1.0;
        if by > BAND {
            Some(Off::Quicker)
        } else if by < -BAND {
            Some(Off::Slower)
        } else {
            None
        }
    };
    // Strides with a pause or a turn between them are not one lapse.
    let together =
        |one: &Stride, next: &Stride| off(one) == off(next) && one.span.to == next.span.from;
    let mut found = Vec::new();
    for run in strides.chunk_by(together) {
        let (Some(first), Some(last)) = (run.first(), run.last()) else {
            continue;
        };
        let span = Span::new(first.span.from, last.span.to);
        if let Some(off) = off(first)
            && sum(run) >= LAPSE_STRIDES - 1e-9
        {
            let mean = sum(run) / seconds(span.duration_nanos()) * 60.0;
            found.push(Lapse {
                span,
                off,
                strides: sum(run),
                by: mean / usual - 1.0,
            });
        }
    }
    found
}

/// Published stride rates of a pace over its variants, in strides per minute,
/// for orientation only; `None` where there are none.
///
/// Walk, trot: Clayton 1995 and 1994, as cited by others. Canter: Clayton 1994
/// (recalled) and Deuel & Park (read). Passage and piaffe: recalled.
///
/// ```
/// use reinback_analysis::{Pace, tempo::orientation};
/// assert_eq!((orientation(Pace::Trot), orientation(Pace::Halt)), (Some((76.0, 84.0)), None));
/// ```
#[must_use]
pub fn orientation(pace: Pace) -> Option<(f64, f64)> {
    match pace {
        Pace::Walk => Some((52.0, 57.0)),
        Pace::Trot => Some((76.0, 84.0)),
        Pace::Canter => Some((95.0, 103.0)),
        Pace::Passage | Pace::Piaffe => Some((53.0, 58.0)),
        Pace::Halt | Pace::ReinBack => None,
    }
}
