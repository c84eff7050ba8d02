//! The outline of neck and head: how the time was shared, how often it
//! changed, and how long it was held.
//!
//! The timer follows the guidance to stewards of the FEI of 2010 (Stewards
//! Manual Dressage, Annex XIII): in the warm-up no sustained head and neck
//! position for more than about ten minutes without a change, a change being a
//! release or a stretch. It may have been superseded: check the current rules.
//! It is a reminder, never a verdict.

use std::collections::BTreeMap;
use std::fmt;

use crate::observation::Key;
use crate::special::count;
use crate::time::{Moment, Span, seconds};
use crate::timeline::{Piece, State, nanos_where, pieces};

/// What an outline is to the timer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hold {
    /// A position that is kept: the timer runs.
    Held,
    /// A stretch, or the reins given: the timer ends if it lasts.
    Released,
}

/// A stretch in one outline, as marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OutlineSpan {
    /// Which outline.
    pub outline: Key,
    /// What it is to the timer.
    pub hold: Hold,
    /// From where to where.
    pub span: Span,
}

/// When the timer speaks and what ends it, in nanoseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TimerRules {
    /// Early notice: 8 min, our own choice.
    pub early: i64,
    /// Notice: 10 min, after the guidance of 2010.
    pub notice: i64,
    /// The shortest release that ends the timer: 10 s, our own choice.
    pub release: i64,
    /// The shortest stay in an outline that counts as a change to it: 3 s, our
    /// own choice.
    pub stay: i64,
}

impl Default for TimerRules {
    fn default() -> Self {
        Self {
            early: 480_000_000_000,
            notice: 600_000_000_000,
            release: 10_000_000_000,
            stay: 3_000_000_000,
        }
    }
}

/// How far a run of the timer went.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Notice {
    /// Below the early notice.
    Quiet,
    /// At or above it.
    Early,
    /// At or above the notice.
    Full,
}

impl fmt::Display for Notice {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::Quiet => "A stretch or release came in good time.",
            Self::Early => {
                "Held for a good while without a stretch or release. Think of a pause."
            }
            Self::Full => {
                "Held for about ten minutes or more without a stretch or release. Guidance to stewards of 2010 advises a change by then in the warm-up; check the current rules."
            }
        })
    }
}

/// What ended a run of the timer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ended {
    /// A stretch or release that lasted.
    ByRelease,
    /// The end of the ride.
    WithTheRide,
}

/// A run of the timer, from the first held moment to a lasting release.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TimerRun {
    /// From where to where.
    pub span: Span,
    /// Time on the timer: held, and released too briefly to end it.
    pub timed_nanos: i64,
    /// Time within the run in which the outline is not known; the timer
    /// paused. The true time held may be longer by up to this.
    pub paused_nanos: i64,
    /// Releases too brief to end it.
    pub brief_releases: u32,
    /// When the early notice was due.
    pub early_at: Option<Moment>,
    /// When the notice was due.
    pub notice_at: Option<Moment>,
    /// What ended it.
    pub ended: Ended,
}

impl TimerRun {
    /// How far it went.
    #[must_use]
    pub fn notice(&self) -> Notice {
        match (self.early_at, self.notice_at) {
            (_, Some(_)) => Notice::Full,
            (Some(_), None) => Notice::Early,
            (None, None) => Notice::Quiet,
        }
    }
}

/// The time spent in one outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Which.
    pub outline: Key,
    /// Nanoseconds in it.
    pub nanos: i64,
    /// Of the time in which the outline is known, 0 to 1.
    pub share: f64,
    /// Its longest unbroken stretch.
    pub longest: Span,
}

/// Changes of outline over the time in which it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Changes {
    /// Changes from one outline to another that was kept for a while.
    pub changes: u32,
    /// Of these, how many happened somewhere in a stretch that is not known.
    pub across_unknown: u32,
    /// Stays too short to count as a change.
    pub short_stays: u32,
    /// Changes in ten minutes known; `None` below a minute known.
    pub per_ten_minutes: Option<f64>,
}

/// Input that cannot be right. Its text is a sentence for the rider.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, thiserror::Error)]
#[non_exhaustive]
pub enum OutlineProblem {
    /// The ride has no length.
    #[error("The ride has no length, so there is nothing to time. Place its film or mark its end.")]
    NoRide,
    /// Rules that contradict themselves.
    #[error(
        "The timer's times must be positive, with the early notice before the notice. Correct them in the words of the yard."
    )]
    Rules,
    /// One outline that is both held and released.
    #[error(
        "One outline is marked both as held and as released. Choose one in the words of the yard."
    )]
    HeldAndReleased(Key),
}

/// What the outlines of a ride show.
#[derive(Debug, Clone, PartialEq)]
pub struct OutlineReport {
    /// Longest first, ties by key.
    pub shares: Vec<Share>,
    /// Time without an outline marked.
    pub unknown_nanos: i64,
    /// Time with two different outlines marked at once; taken as not known.
    pub contradicted_nanos: i64,
    /// How often it changed.
    pub changes: Changes,
    /// The timer, run by run.
    pub runs: Vec<TimerRun>,
}

/// Below this much known time no changes per ten minutes are given. Our own
/// choice.
const LEAST_KNOWN: f64 = 60.0;

/// Looks at the outlines of a ride.
///
/// Stretches may be given in any order. What two of them claim differently at
/// once is taken as not known and counted; so is what none claims. Shares are of
/// the time known. Two releases of different outlines that touch are one release
/// to the timer.
///
/// # Errors
///
/// An [`OutlineProblem`] where the input cannot be right.
///
/// ```
/// use reinback_analysis::outline::{Hold, Notice, OutlineSpan, TimerRules, outline};
/// use reinback_analysis::{Key, Moment, Span};
/// let minutes = |from: i64, to: i64| Span::new(Moment(from * 60_000_000_000), Moment(to * 60_000_000_000));
/// let marked = [
///     OutlineSpan { outline: Key(1), hold: Hold::Held, span: minutes(0, 9) },
///     OutlineSpan { outline: Key(2), hold: Hold::Released, span: minutes(9, 10) },
///     OutlineSpan { outline: Key(1), hold: Hold::Held, span: minutes(10, 15) },
/// ];
/// let found = outline(&marked, minutes(0, 20), TimerRules::default())?;
/// assert_eq!(found.runs[0].notice(), Notice::Early);
/// assert_eq!(found.runs[1].notice(), Notice::Quiet);
/// assert_eq!(found.changes.changes, 2);
/// assert_eq!(found.unknown_nanos, 5 * 60_000_000_000);
/// # Ok::<(), reinback_analysis::outline::OutlineProblem>(())
/// ```
pub fn outline(
    marked: &[OutlineSpan],
    ride: Span,
    rules: TimerRules,
) -> Result<OutlineReport, OutlineProblem> {
    if ride.duration_nanos() <= 0 {
        return Err(OutlineProblem::NoRide);
    }
    let TimerRules {
        early,
        notice,
        release,
        stay,
    } = rules;
    if early.min(release).min(stay) <= 0 || early > notice {
        return Err(OutlineProblem::Rules);
    }
    one_hold_each(marked)?;
    let labels: Vec<((Key, Hold), Span)> = marked
        .iter()
        .map(|one| ((one.outline, one.hold), one.span))
        .collect();
    let line = pieces(&labels, ride);
    let known = nanos_where(&line, |state| state.known().is_some());
    Ok(OutlineReport {
        shares: shares(&line, known),
        unknown_nanos: nanos_where(&line, |state| state == State::Unknown),
        contradicted_nanos: nanos_where(&line, |state| state == State::Contradicted),
        changes: changes(&line, rules, known),
        runs: runs(&line, rules),
    })
}

fn one_hold_each(marked: &[OutlineSpan]) -> Result<(), OutlineProblem> {
    let mut holds: BTreeMap<Key, Hold> = BTreeMap::new();
    for one in marked {
        if *holds.entry(one.outline).or_insert(one.hold) != one.hold {
            return Err(OutlineProblem::HeldAndReleased(one.outline));
        }
    }
    Ok(())
}

type Outlines = [Piece<(Key, Hold)>];

fn shares(line: &Outlines, known: i64) -> Vec<Share> {
    let mut spent: BTreeMap<Key, (i64, Span)> = BTreeMap::new();
    for piece in line {
        if let State::Known((outline, _)) = piece.state {
            let (nanos, longest) = spent.entry(outline).or_insert((0, piece.span));
            *nanos = nanos.saturating_add(piece.span.duration_nanos());
            if piece.span.duration_nanos() > longest.duration_nanos() {
                *longest = piece.span;
            }
        }
    }
    let mut shares: Vec<Share> = spent
        .into_iter()
        .map(|(outline, (nanos, longest))| Share {
            outline,
            nanos,
            share: seconds(nanos) / seconds(known.max(1)),
            longest,
        })
        .collect();
    shares.sort_by_key(|share| (std::cmp::Reverse(share.nanos), share.outline));
    shares
}

fn changes(line: &Outlines, rules: TimerRules, known: i64) -> Changes {
    let mut found = Changes {
        changes: 0,
        across_unknown: 0,
        short_stays: 0,
        per_ten_minutes: None,
    };
    let mut last: Option<Key> = None;
    let mut gap = false;
    for piece in line {
        match piece.state {
            State::Known((_, _)) if piece.span.duration_nanos() < rules.stay => {
                found.short_stays += 1;
            }
            State::Known((outline, _)) => {
                if last.is_some_and(|last| last != outline) {
                    found.changes += 1;
                    found.across_unknown += u32::from(gap);
                }
                last = Some(outline);
                gap = false;
            }
            State::Unknown | State::Contradicted => gap = true,
        }
    }
    found.per_ten_minutes =
        (seconds(known) >= LEAST_KNOWN).then(|| f64::from(found.changes) / seconds(known) * 600.0);
    found
}

/// What the timer sees: outlines of the same hold are one.
fn runs(line: &Outlines, rules: TimerRules) -> Vec<TimerRun> {
    let holds: Vec<(Option<Hold>, Span)> = line
        .iter()
        .map(|piece| (piece.state.known().map(|(_, hold)| hold), piece.span))
        .collect();
    let mut runs = Vec::new();
    let mut open: Option<TimerRun> = None;
    for same in holds.chunk_by(|one, other| one.0 == other.0) {
        let (Some(first), Some(last)) = (same.first(), same.last()) else {
            continue;
        };
        let span = Span::new(first.1.from, last.1.to);
        match first.0 {
            Some(Hold::Held) => time(open.get_or_insert(fresh(span.from)), span, rules),
            Some(Hold::Released) if span.duration_nanos() >= rules.release => {
                runs.extend(open.take().map(|run| close(run, Ended::ByRelease)));
            }
            Some(Hold::Released) => {
                if let Some(run) = &mut open {
                    run.brief_releases += 1;
                    time(run, span, rules);
                }
            }
            None => {
                if let Some(run) = &mut open {
                    run.paused_nanos = run.paused_nanos.saturating_add(span.duration_nanos());
                    run.span.to = span.to;
                }
            }
        }
    }
    runs.extend(open.map(|run| close(run, Ended::WithTheRide)));
    runs
}

fn fresh(from: Moment) -> TimerRun {
    TimerRun {
        span: Span { from, to: from },
        timed_nanos: 0,
        paused_nanos: 0,
        brief_releases: 0,
        early_at: None,
        notice_at: None,
        ended: Ended::WithTheRide,
    }
}

/// Lets the timer run through a stretch.
fn time(run: &mut TimerRun, span: Span, rules: TimerRules) {
    let before = run.timed_nanos;
    run.timed_nanos = before.saturating_add(span.duration_nanos());
    run.span.to = span.to;
    let due = |at: i64| {
        (before < at && at <= run.timed_nanos)
            .then(|| Moment(span.from.0.saturating_add(at - before)))
    };
    run.early_at = run.early_at.or(due(rules.early));
    run.notice_at = run.notice_at.or(due(rules.notice));
}

fn close(run: TimerRun, ended: Ended) -> TimerRun {
    TimerRun { ended, ..run }
}

/// The longest run of the timer by time held; `None` without any.
///
/// ```
/// use reinback_analysis::outline::{Hold, OutlineSpan, TimerRules, longest_run, outline};
/// use reinback_analysis::{Key, Moment, Span};
/// let span = |from: i64, to: i64| Span::new(Moment(from * 60_000_000_000), Moment(to * 60_000_000_000));
/// let marked = [
///     OutlineSpan { outline: Key(1), hold: Hold::Held, span: span(0, 3) },
///     OutlineSpan { outline: Key(2), hold: Hold::Released, span: span(3, 4) },
///     OutlineSpan { outline: Key(1), hold: Hold::Held, span: span(4, 13) },
/// ];
/// let found = outline(&marked, span(0, 13), TimerRules::default())?;
/// assert_eq!(longest_run(&found).map(|run| run.timed_nanos), Some(9 * 60_000_000_000));
/// # Ok::<(), reinback_analysis::outline::OutlineProblem>(())
/// ```
#[must_use]
pub fn longest_run(report: &OutlineReport) -> Option<&TimerRun> {
    report
        .runs
        .iter()
        .max_by_key(|run| (run.timed_nanos, std::cmp::Reverse(run.span)))
}

/// How many runs reached the early notice or the notice.
///
/// ```
/// use reinback_analysis::outline::{Hold, OutlineSpan, TimerRules, notices, outline};
/// use reinback_analysis::{Key, Moment, Span};
/// let span = |from: i64, to: i64| Span::new(Moment(from * 60_000_000_000), Moment(to * 60_000_000_000));
/// let marked = [
///     OutlineSpan { outline: Key(1), hold: Hold::Held, span: span(0, 3) },
///     OutlineSpan { outline: Key(2), hold: Hold::Released, span: span(3, 4) },
///     OutlineSpan { outline: Key(1), hold: Hold::Held, span: span(4, 13) },
/// ];
/// let found = outline(&marked, span(0, 13), TimerRules::default())?;
/// assert_eq!(notices(&found), 1);
/// # Ok::<(), reinback_analysis::outline::OutlineProblem>(())
/// ```
#[must_use]
pub fn notices(report: &OutlineReport) -> u32 {
    count(
        report
            .runs
            .iter()
            .filter(|run| run.notice() != Notice::Quiet)
            .count(),
    )
}
