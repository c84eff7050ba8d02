//! Transitions: how many a minute, of which kind, and how soon after the aid.

use std::collections::BTreeMap;

use crate::describe::{median, quantile};
use crate::estimate::{Estimate, LEVEL, Shortage};
use crate::interval::poisson_mid_p;
use crate::observation::{Key, Pace, PaceSpan};
use crate::special::count;
use crate::time::{Moment, Span, seconds};
use crate::timeline::{Piece, State, nanos_where, pieces};

/// Between two paces, or from one variant of a pace to another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// From one pace to another.
    Between {
        /// The pace left.
        from: Pace,
        /// The pace taken up.
        to: Pace,
    },
    /// From one variant to another of the same pace; both are named.
    Within {
        /// The pace.
        pace: Pace,
        /// The variant left.
        from: Key,
        /// The variant taken up.
        to: Key,
    },
}

/// One transition.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Transition {
    /// When the new pace began.
    pub at: Moment,
    /// From what to what.
    pub kind: Kind,
}

/// A count over minutes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frequency {
    /// How many.
    pub count: u32,
    /// How many a minute, with range; or why not.
    pub per_minute: Result<Estimate, Shortage>,
}

/// How soon transitions followed their aids, in seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Answers {
    /// Aids that were answered.
    pub answered: u32,
    /// Aids after which no transition came in time.
    pub unanswered: u32,
    /// Aids that fall where the pace is not known, or that were followed by
    /// such a stretch before an answer: in neither count.
    pub not_known: u32,
    /// Quickest, middle and slowest answer, and the middle half; `None` below 3.
    pub times: Option<AnswerTimes>,
}

/// Seconds from aid to answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AnswerTimes {
    /// The quickest.
    pub quickest: f64,
    /// A quarter were quicker.
    pub lower_quarter: f64,
    /// The middle one.
    pub median: f64,
    /// A quarter were slower.
    pub upper_quarter: f64,
    /// The slowest.
    pub slowest: f64,
}

/// What the transitions of a ride show.
#[derive(Debug, Clone, PartialEq)]
pub struct Transitions {
    /// One by one, in order.
    pub all: Vec<Transition>,
    /// Between paces.
    pub between: Frequency,
    /// Within paces.
    pub within: Frequency,
    /// By kind, most frequent first, ties by kind.
    pub by_kind: Vec<(Kind, u32)>,
    /// Changes to or from a stretch whose variant is not named: whether they
    /// are transitions is not known.
    pub unnamed: u32,
    /// Changes of pace somewhere in a stretch that is not known, longer than
    /// [`LONGEST_GAP`]. In no count, because there may be several.
    pub across_unknown: u32,
    /// Time in a known pace.
    pub known_nanos: i64,
    /// Time with two different paces marked at once; taken as not known.
    pub contradicted_nanos: i64,
    /// How soon transitions followed their aids.
    pub answers: Answers,
    /// Seconds from aid to answer, aid by aid.
    pub waits: Vec<f64>,
}

/// The transitions of several rides together.
#[derive(Debug, Clone, PartialEq)]
pub struct Pooled {
    /// Between paces.
    pub between: Frequency,
    /// Within paces.
    pub within: Frequency,
    /// Time in a known pace.
    pub known_nanos: i64,
    /// How soon transitions followed their aids.
    pub answers: Answers,
}

/// Pools rides: counts over the time of all of them, never means of rates.
///
/// ```
/// use reinback_analysis::transitions::{pooled, transitions};
/// use reinback_analysis::{Moment, Pace, PaceSpan, Span};
/// let minute = 60_000_000_000;
/// let pace = |pace, from: i64, to: i64| PaceSpan {
///     pace, variant: None, span: Span::new(Moment(from * minute), Moment(to * minute)),
/// };
/// let ride = Span::new(Moment(0), Moment(9 * minute));
/// let one = transitions(&[pace(Pace::Walk, 0, 1), pace(Pace::Trot, 1, 3)], &[], ride);
/// let other = transitions(&[pace(Pace::Walk, 0, 7)], &[], ride);
/// let both = pooled([&one, &other]);
/// assert_eq!(both.between.count, 1);
/// assert!((both.between.per_minute.unwrap().value - 0.1).abs() < 1e-12);
/// ```
#[must_use]
pub fn pooled<'a>(rides: impl IntoIterator<Item = &'a Transitions>) -> Pooled {
    let (mut between, mut within, mut known_nanos) = (0, 0, 0_i64);
    let mut answers = Answers {
        answered: 0,
        unanswered: 0,
        not_known: 0,
        times: None,
    };
    let mut waits = Vec::new();
    for ride in rides {
        between += ride.between.count;
        within += ride.within.count;
        known_nanos = known_nanos.saturating_add(ride.known_nanos);
        answers.answered += ride.answers.answered;
        answers.unanswered += ride.answers.unanswered;
        answers.not_known += ride.answers.not_known;
        waits.extend_from_slice(&ride.waits);
    }
    answers.times = answer_times(&waits);
    Pooled {
        between: frequency(between, known_nanos),
        within: frequency(within, known_nanos),
        known_nanos,
        answers,
    }
}

/// A pause in the marking of up to this, in nanoseconds, belongs to the
/// transition: 2 s, our own choice.
pub const LONGEST_GAP: i64 = 2_000_000_000;

/// A transition later than this after an aid, in nanoseconds, is no answer to
/// it: 5 s, our own choice.
pub const LATEST_ANSWER: i64 = 5_000_000_000;

const MIN_ANSWERS: usize = 3;

/// Looks at the transitions of a ride.
///
/// Stretches may come in any order; what two of them claim differently at once
/// is taken as not known. Per minute: Poisson mid-p range over the minutes in a
/// known pace. An aid is answered by the first transition that begins after it,
/// within 5 s and before the next aid; the time runs to where the new pace was
/// marked to begin.
///
/// ```
/// use reinback_analysis::transitions::{Kind, transitions};
/// use reinback_analysis::{Moment, Pace, PaceSpan, Span};
/// let second = 1_000_000_000;
/// let pace = |pace, from: i64, to: i64| PaceSpan {
///     pace, variant: None, span: Span::new(Moment(from * second), Moment(to * second)),
/// };
/// let ridden = [pace(Pace::Walk, 0, 60), pace(Pace::Trot, 60, 110), pace(Pace::Walk, 110, 120)];
/// let aids = [Moment(59 * second), Moment(108 * second)];
/// let found = transitions(&ridden, &aids, Span::new(Moment(0), Moment(120 * second)));
/// assert_eq!(found.all[0].kind, Kind::Between { from: Pace::Walk, to: Pace::Trot });
/// assert!((found.between.per_minute.unwrap().value - 1.0).abs() < 1e-12);
/// assert_eq!((found.answers.answered, found.answers.unanswered), (2, 0));
/// ```
#[must_use]
pub fn transitions(ridden: &[PaceSpan], aids: &[Moment], ride: Span) -> Transitions {
    let labels: Vec<(Going, Span)> = ridden
        .iter()
        .map(|one| ((one.pace, one.variant), one.span))
        .collect();
    let line = pieces(&labels, ride);
    let known_nanos = nanos_where(&line, |state| state.known().is_some());
    let steps = steps(&line);
    let mut by_kind: BTreeMap<Kind, u32> = BTreeMap::new();
    for step in &steps.all {
        *by_kind.entry(step.kind).or_default() += 1;
    }
    let mut by_kind: Vec<(Kind, u32)> = by_kind.into_iter().collect();
    by_kind.sort_by_key(|(kind, times)| (std::cmp::Reverse(*times), *kind));
    let (answers, waits) = answers(&steps.all, aids, &line);
    let times = |between: bool| {
        let chosen = |step: &&Transition| matches!(step.kind, Kind::Between { .. }) == between;
        frequency(count(steps.all.iter().filter(chosen).count()), known_nanos)
    };
    Transitions {
        between: times(true),
        within: times(false),
        by_kind,
        unnamed: steps.unnamed,
        across_unknown: steps.across_unknown,
        known_nanos,
        contradicted_nanos: nanos_where(&line, |state| state == State::Contradicted),
        answers,
        waits,
        all: steps.all,
    }
}

fn frequency(times: u32, known_nanos: i64) -> Frequency {
    let minutes = seconds(known_nanos) / 60.0;
    Frequency {
        count: times,
        per_minute: if known_nanos > 0 {
            poisson_mid_p(times, minutes, LEVEL).map_err(Shortage::from)
        } else {
            Err(Shortage::NoTime)
        },
    }
}

type Going = (Pace, Option<Key>);

#[derive(Default)]
struct Steps {
    all: Vec<Transition>,
    unnamed: u32,
    across_unknown: u32,
}

fn steps(line: &[Piece<Going>]) -> Steps {
    let mut found = Steps::default();
    let mut last: Option<(Going, Moment)> = None;
    for piece in line {
        let State::Known(now) = piece.state else {
            continue;
        };
        if let Some((before, until)) = last
            && before != now
        {
            let gap = piece.span.from.0.saturating_sub(until.0);
            match kind(before, now) {
                None => found.unnamed += 1,
                Some(_) if gap > LONGEST_GAP => found.across_unknown += 1,
                Some(kind) => found.all.push(Transition {
                    at: piece.span.from,
                    kind,
                }),
            }
        }
        last = Some((now, piece.span.to));
    }
    found
}

/// `None` where a variant is not named.
fn kind(before: Going, now: Going) -> Option<Kind> {
    if before.0 != now.0 {
        return Some(Kind::Between {
            from: before.0,
            to: now.0,
        });
    }
    Some(Kind::Within {
        pace: now.0,
        from: before.1?,
        to: now.1?,
    })
}

fn answers(steps: &[Transition], aids: &[Moment], line: &[Piece<Going>]) -> (Answers, Vec<f64>) {
    let mut aids = aids.to_vec();
    aids.sort_unstable();
    aids.dedup();
    let mut found = Answers {
        answered: 0,
        unanswered: 0,
        not_known: 0,
        times: None,
    };
    let mut times = Vec::new();
    for (place, aid) in aids.iter().enumerate() {
        let next = aids.get(place + 1).copied().unwrap_or(Moment(i64::MAX));
        let latest = Moment(aid.0.saturating_add(LATEST_ANSWER)).min(next);
        let answer = steps
            .iter()
            .find(|step| *aid <= step.at && step.at <= latest);
        match answer {
            Some(step) => {
                found.answered += 1;
                times.push(seconds(step.at.0 - aid.0));
            }
            None if unseen(line, *aid, latest) => found.not_known += 1,
            None => found.unanswered += 1,
        }
    }
    found.times = answer_times(&times);
    (found, times)
}

/// Whether any of the time in which an answer could have come is not known.
fn unseen(line: &[Piece<Going>], from: Moment, to: Moment) -> bool {
    let ends = (
        line.first().map_or(to, |piece| piece.span.from),
        line.last().map_or(from, |piece| piece.span.to),
    );
    let window = Span::new(from, to);
    from < ends.0
        || to > ends.1
        || line
            .iter()
            .any(|piece| piece.state.known().is_none() && piece.span.overlaps(window))
}

fn answer_times(times: &[f64]) -> Option<AnswerTimes> {
    if times.len() < MIN_ANSWERS {
        return None;
    }
    Some(AnswerTimes {
        quickest: quantile(times, 0.0)?,
        lower_quarter: quantile(times, 0.25)?,
        median: median(times)?,
        upper_quarter: quantile(times, 0.75)?,
        slowest: quantile(times, 1.0)?,
    })
}
