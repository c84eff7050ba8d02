//! The strides between the changes of a series against the number asked.
//!
//! What an interval says depends on its neighbours: twice the number asked is a
//! change missed, two short ones that together make the number asked are a
//! change too many.

use crate::rate::Tally;
use crate::series::{Asked, StrideTime};
use crate::special::count as length;
use crate::time::{Moment, seconds};

/// What the strides of an interval say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// The number asked.
    AsAsked,
    /// The change came too soon.
    Early {
        /// By so many strides.
        by: u32,
    },
    /// The change came too late.
    Late {
        /// By so many strides.
        by: u32,
    },
    /// A multiple of the number asked: so many changes were left out.
    Missed {
        /// Changes left out.
        changes: u32,
    },
    /// Together with its neighbour the number asked: a change too many in
    /// between.
    Extra,
    /// More than one whole number is possible.
    Unsure {
        /// The fewest strides possible.
        fewest: u32,
        /// The most strides possible.
        most: u32,
    },
}

impl Verdict {
    /// Whether the interval was wrong; `None` where that is not sure.
    #[must_use]
    pub fn is_wrong(self) -> Option<bool> {
        match self {
            Self::AsAsked => Some(false),
            Self::Unsure { .. } => None,
            _ => Some(true),
        }
    }
}

/// The way from one change to the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// The first change.
    pub from: Moment,
    /// The next.
    pub to: Moment,
    /// Time over stride time.
    pub strides: f64,
    /// What that says.
    pub verdict: Verdict,
}

/// The count of a series.
#[derive(Debug, Clone, PartialEq)]
pub struct Count {
    /// The stride time it rests on, with its source.
    pub stride: StrideTime,
    /// From change to change.
    pub intervals: Vec<Interval>,
    /// Wrong intervals of those whose strides are sure.
    pub wrong: Tally,
    /// Intervals whose strides are not sure.
    pub unsure: u32,
    /// Changes left out between those shown.
    pub missed: u32,
    /// Changes too many between those asked.
    pub extra: u32,
    /// Changes that came too soon.
    pub early: u32,
    /// Changes that came too late.
    pub late: u32,
    /// The most changes in a row that kept the number asked; 1 if none did.
    pub longest_run: u32,
    /// Where every interval is sure and all have the same wrong number, that
    /// number: another series was ridden than was asked.
    pub steady_every: Option<u32>,
    /// Changes shown less changes asked; negative if the series was short.
    pub surplus: i64,
}

/// Whole numbers of strides possible between two moments.
fn possible(nanos: i64, stride: StrideTime, frame_nanos: i64) -> (u32, u32) {
    let (time, frame, one) = (seconds(nanos), seconds(frame_nanos), seconds(stride.nanos));
    let fewest = (time - frame) / (one * (1.0 + stride.uncertainty));
    let most = (time + frame) / (one * (1.0 - stride.uncertainty));
    (whole(fewest), whole(most))
}

/// To the nearest whole number, at least 1.
fn whole(strides: f64) -> u32 {
    let mut number = 1_u32;
    while number < 100_000 && f64::from(number) + 0.5 <= strides {
        number += 1;
    }
    number
}

/// Counts the strides between sorted moments. At least two are expected.
pub(crate) fn count(
    moments: &[Moment],
    asked: Asked,
    stride: StrideTime,
    frame_nanos: i64,
) -> Count {
    let mut intervals: Vec<Interval> = moments
        .windows(2)
        .map(|pair| {
            let nanos = pair[1].0.saturating_sub(pair[0].0);
            Interval {
                from: pair[0],
                to: pair[1],
                strides: seconds(nanos) / seconds(stride.nanos),
                verdict: alone(possible(nanos, stride, frame_nanos), asked.every),
            }
        })
        .collect();
    let steady_every = steady(&intervals, asked.every);
    let extra = join_extra(&mut intervals, asked.every);
    let of = |test: fn(Verdict) -> u32| intervals.iter().map(|one| test(one.verdict)).sum();
    Count {
        stride,
        wrong: intervals
            .iter()
            .filter_map(|one| one.verdict.is_wrong())
            .map(Tally::of)
            .sum(),
        unsure: of(|verdict| u32::from(verdict.is_wrong().is_none())),
        missed: of(|verdict| match verdict {
            Verdict::Missed { changes } => changes,
            _ => 0,
        }),
        extra,
        early: of(|verdict| u32::from(matches!(verdict, Verdict::Early { .. }))),
        late: of(|verdict| u32::from(matches!(verdict, Verdict::Late { .. }))),
        longest_run: longest_run(&intervals),
        steady_every,
        surplus: i64::from(length(moments.len())) - i64::from(asked.count),
        intervals,
    }
}

/// The verdict of an interval without its neighbours.
fn alone((fewest, most): (u32, u32), every: u32) -> Verdict {
    if fewest != most {
        Verdict::Unsure { fewest, most }
    } else if fewest == every {
        Verdict::AsAsked
    } else if fewest < every {
        Verdict::Early { by: every - fewest }
    } else if fewest.is_multiple_of(every) {
        Verdict::Missed {
            changes: fewest / every - 1,
        }
    } else {
        Verdict::Late { by: fewest - every }
    }
}

/// Strides of an interval that are sure, from its verdict alone.
fn sure(verdict: Verdict, every: u32) -> Option<u32> {
    match verdict {
        Verdict::AsAsked => Some(every),
        Verdict::Early { by } => Some(every - by),
        Verdict::Late { by } => Some(every + by),
        Verdict::Missed { changes } => Some(every * (changes + 1)),
        Verdict::Extra | Verdict::Unsure { .. } => None,
    }
}

fn steady(intervals: &[Interval], every: u32) -> Option<u32> {
    let mut numbers = intervals.iter().map(|one| sure(one.verdict, every));
    let first = numbers.next()??;
    (first != every && intervals.len() > 1 && numbers.all(|number| number == Some(first)))
        .then_some(first)
}

/// Marks pairs of short neighbours that together make the number asked.
fn join_extra(intervals: &mut [Interval], every: u32) -> u32 {
    let mut extra = 0;
    for place in 1..intervals.len() {
        let (one, other) = (intervals[place - 1].verdict, intervals[place].verdict);
        if let (Verdict::Early { by: first }, Verdict::Early { by: second }) = (one, other)
            && first + second == every
        {
            intervals[place - 1].verdict = Verdict::Extra;
            intervals[place].verdict = Verdict::Extra;
            extra += 1;
        }
    }
    extra
}

fn longest_run(intervals: &[Interval]) -> u32 {
    let runs = intervals.chunk_by(|one, other| {
        (one.verdict == Verdict::AsAsked) == (other.verdict == Verdict::AsAsked)
    });
    runs.filter(|run| {
        run.first()
            .is_some_and(|one| one.verdict == Verdict::AsAsked)
    })
    .map(|run| length(run.len()))
    .max()
    .unwrap_or(0)
        + 1
}
