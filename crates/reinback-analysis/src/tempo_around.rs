//! Does the tempo run after a change, a transition, a corner?

use crate::describe::median;
use crate::rate::{FaultRate, Tally};
use crate::special::count;
use crate::strides::Stride;
use crate::tempo::BAND;
use crate::time::{Span, seconds};

/// One event with the tempo about it, in strides per minute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct About {
    /// The event.
    pub event: Span,
    /// Over the three strides before.
    pub before: f64,
    /// Over the strides that touch it; `None` where there are none.
    pub within: Option<f64>,
    /// Over the three strides after.
    pub after: f64,
}

impl About {
    /// Tempo after over tempo before, less 1.
    #[must_use]
    pub fn by(&self) -> f64 {
        self.after / self.before - 1.0
    }
}

/// Events of one kind together.
#[derive(Debug, Clone, PartialEq)]
pub struct Around {
    /// One by one, in order.
    pub events: Vec<About>,
    /// Events without three strides in a row on either side: in no figure.
    pub left_out: u32,
    /// The middle of the changes in tempo, 0.02 for 2 % quicker after; `None`
    /// without events.
    pub median_by: Option<f64>,
    /// Of the events, how many were more than 4 % quicker after: `faulty`
    /// counts those.
    pub quicker: FaultRate,
    /// Of the events, how many were more than 4 % slower after.
    pub slower: FaultRate,
}

const SIDE: usize = 3;

/// The tempo before, in and after each event.
///
/// Before: the last three strides that end by its beginning, without a pause
/// between them and not more than a stride away; after: likewise. Give events
/// of one kind in one pace: after a transition from trot to canter the tempo
/// must differ. Strides from taps are expected, one each.
///
/// ```
/// use reinback_analysis::strides::{Convention, from_taps};
/// use reinback_analysis::tempo_around::around;
/// use reinback_analysis::{Moment, Span};
/// // nine strides of 0.62 s, then quicker ones of 0.58 s
/// let mut taps = vec![Moment(0)];
/// for n in 0..18 {
///     let last = taps[taps.len() - 1].0;
///     taps.push(Moment(last + if n < 9 { 620_000_000 } else { 580_000_000 }));
/// }
/// let change = Span::new(taps[8], taps[9]);
/// let found = around(&from_taps(&taps, Convention::Strides).strides, &[change]);
/// assert_eq!(found.quicker.tally.to_string(), "1 of 1");
/// assert!((found.events[0].by() - (0.62 / 0.58 - 1.0)).abs() < 1e-9);
/// ```
#[must_use]
pub fn around(strides: &[Stride], events: &[Span]) -> Around {
    let mut sorted = strides.to_vec();
    sorted.sort_by_key(|stride| stride.span);
    let mut events = events.to_vec();
    events.sort_unstable();
    let found: Vec<About> = events
        .iter()
        .filter_map(|event| about(&sorted, *event))
        .collect();
    let left_out = count(events.len() - found.len());
    together(found, left_out)
}

/// Events of several rides together: each once, ride after ride.
///
/// ```
/// use reinback_analysis::tempo_around::{around, pooled};
/// let none = around(&[], &[]);
/// assert_eq!(pooled([&none, &none]), none);
/// ```
#[must_use]
pub fn pooled<'a>(rides: impl IntoIterator<Item = &'a Around>) -> Around {
    let (mut events, mut left_out) = (Vec::new(), 0);
    for ride in rides {
        events.extend_from_slice(&ride.events);
        left_out += ride.left_out;
    }
    together(events, left_out)
}

fn together(events: Vec<About>, left_out: u32) -> Around {
    let changes: Vec<f64> = events.iter().map(About::by).collect();
    let tally = |test: fn(f64) -> bool| -> FaultRate {
        FaultRate::new(changes.iter().map(|by| Tally::of(test(*by))).sum())
    };
    Around {
        left_out,
        median_by: median(&changes),
        quicker: tally(|by| by > BAND),
        slower: tally(|by| by < -BAND),
        events,
    }
}

fn about(strides: &[Stride], event: Span) -> Option<About> {
    let before = strides.partition_point(|stride| stride.span.to <= event.from);
    let after = strides.partition_point(|stride| stride.span.from < event.to);
    let left = strides.get(before.checked_sub(SIDE)?..before)?;
    let right = strides.get(after..after + SIDE)?;
    let near = |gap: i64, stride: Stride| gap <= stride.span.duration_nanos();
    let gaps = (
        event.from.0.saturating_sub(left[SIDE - 1].span.to.0),
        right[0].span.from.0.saturating_sub(event.to.0),
    );
    if !near(gaps.0, left[SIDE - 1]) || !near(gaps.1, right[0]) {
        return None;
    }
    Some(About {
        event,
        before: unbroken_rate(left)?,
        within: strides.get(before..after).and_then(rate),
        after: unbroken_rate(right)?,
    })
}

fn unbroken_rate(strides: &[Stride]) -> Option<f64> {
    let unbroken = strides
        .windows(2)
        .all(|pair| pair[0].span.to == pair[1].span.from);
    rate(strides).filter(|_| unbroken)
}

fn rate(strides: &[Stride]) -> Option<f64> {
    let time: f64 = strides
        .iter()
        .map(|stride| seconds(stride.span.duration_nanos()))
        .sum();
    let all: f64 = strides.iter().map(|stride| stride.strides).sum();
    (time > 0.0).then(|| all / time * 60.0)
}
