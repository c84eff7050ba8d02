//! From labelled stretches, which people mark with gaps and overlaps, to one
//! unbroken line of pieces.
//!
//! **Invariant**: the pieces cover the window exactly once, in order. Time
//! without a label is [`State::Unknown`]; time with two different labels is
//! [`State::Contradicted`], because neither can be trusted. Two overlapping
//! stretches with the same label are one.

use std::collections::BTreeMap;

use crate::time::{Moment, Span};

/// What is known of a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State<T> {
    /// One label.
    Known(T),
    /// No label.
    Unknown,
    /// Different labels at once.
    Contradicted,
}

impl<T> State<T> {
    /// The label, where there is one.
    pub fn known(self) -> Option<T> {
        match self {
            Self::Known(what) => Some(what),
            Self::Unknown | Self::Contradicted => None,
        }
    }
}

/// A stretch of the window in one state; never empty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece<T> {
    /// What is known of it.
    pub state: State<T>,
    /// From where to where.
    pub span: Span,
}

/// Cuts the window into pieces; neighbours of the same state are joined.
///
/// ```
/// use reinback_analysis::timeline::{State, pieces};
/// use reinback_analysis::{Moment, Span};
/// let span = |from, to| Span::new(Moment(from), Moment(to));
/// let line = pieces(&[('a', span(0, 6)), ('b', span(4, 8))], span(0, 10));
/// let states: Vec<_> = line.iter().map(|piece| (piece.state, piece.span.to.0)).collect();
/// assert_eq!(states, [
///     (State::Known('a'), 4), (State::Contradicted, 6), (State::Known('b'), 8), (State::Unknown, 10),
/// ]);
/// ```
#[must_use]
pub fn pieces<T: Copy + Ord>(labels: &[(T, Span)], window: Span) -> Vec<Piece<T>> {
    let mut events: Vec<(Moment, T, bool)> = Vec::with_capacity(2 * labels.len());
    for (what, span) in labels {
        let inside = Span {
            from: span.from.max(window.from),
            to: span.to.min(window.to),
        };
        if inside.from < inside.to {
            events.push((inside.from, *what, true));
            events.push((inside.to, *what, false));
        }
    }
    events.sort_unstable();
    let mut line = Line {
        pieces: Vec::new(),
        reached: window.from,
    };
    let mut open: BTreeMap<T, u32> = BTreeMap::new();
    for (at, what, begins) in events {
        line.reach(at, state(&open));
        let count = open.entry(what).or_default();
        if begins {
            *count += 1;
        } else {
            *count = count.saturating_sub(1);
            if *count == 0 {
                open.remove(&what);
            }
        }
    }
    line.reach(window.to, State::Unknown);
    line.pieces
}

fn state<T: Copy>(open: &BTreeMap<T, u32>) -> State<T> {
    let mut labels = open.keys();
    match (labels.next(), labels.next()) {
        (None, _) => State::Unknown,
        (Some(what), None) => State::Known(*what),
        (Some(_), Some(_)) => State::Contradicted,
    }
}

struct Line<T> {
    pieces: Vec<Piece<T>>,
    reached: Moment,
}

impl<T: Copy + Eq> Line<T> {
    fn reach(&mut self, at: Moment, state: State<T>) {
        if at <= self.reached {
            return;
        }
        match self.pieces.last_mut() {
            Some(last) if last.state == state => last.span.to = at,
            _ => self.pieces.push(Piece {
                state,
                span: Span::new(self.reached, at),
            }),
        }
        self.reached = at;
    }
}

/// Nanoseconds of the pieces that satisfy a condition; saturating.
///
/// ```
/// use reinback_analysis::timeline::{nanos_where, pieces};
/// use reinback_analysis::{Moment, Span};
/// let span = |from, to| Span::new(Moment(from), Moment(to));
/// let line = pieces(&[('a', span(2, 6))], span(0, 10));
/// assert_eq!(nanos_where(&line, |state| state.known().is_some()), 4);
/// ```
#[must_use]
pub fn nanos_where<T: Copy>(line: &[Piece<T>], counts: impl Fn(State<T>) -> bool) -> i64 {
    line.iter()
        .filter(|piece| counts(piece.state))
        .fold(0_i64, |sum, piece| {
            sum.saturating_add(piece.span.duration_nanos())
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn span(from: i64, to: i64) -> Span {
        Span::new(Moment(from), Moment(to))
    }

    #[test]
    fn the_same_label_twice_is_no_contradiction() {
        let line = pieces(
            &[(1, span(0, 6)), (1, span(3, 9)), (1, span(9, 10))],
            span(0, 10),
        );
        assert_eq!(line.len(), 1);
        assert_eq!(line[0].state, State::Known(1));
    }

    #[test]
    fn labels_outside_and_empty_ones_do_not_count() {
        let line = pieces(
            &[(1, span(-9, 0)), (2, span(5, 5)), (3, span(8, 99))],
            span(0, 10),
        );
        assert_eq!(line.len(), 2);
        assert_eq!(nanos_where(&line, |state| state == State::Unknown), 8);
        assert!(pieces(&[(1, span(0, 9))], span(4, 4)).is_empty());
    }

    proptest! {
        #[test]
        fn pieces_cover_the_window_once_and_agree_with_looking(
            labels in proptest::collection::vec((0_u8..3, -5_i64..25, 0_i64..12), 0..12),
        ) {
            let labels: Vec<(u8, Span)> =
                labels.into_iter().map(|(what, from, long)| (what, span(from, from + long))).collect();
            let line = pieces(&labels, span(0, 20));
            prop_assert_eq!(line.iter().map(|piece| piece.span.duration_nanos()).sum::<i64>(), 20);
            for at in 0..20 {
                let mut there: Vec<u8> = labels
                    .iter()
                    .filter(|(_, span)| span.contains(Moment(at)))
                    .map(|(what, _)| *what)
                    .collect();
                there.sort_unstable();
                there.dedup();
                let wanted = match there.as_slice() {
                    [] => State::Unknown,
                    [one] => State::Known(*one),
                    _ => State::Contradicted,
                };
                let covering: Vec<_> = line.iter().filter(|piece| piece.span.contains(Moment(at))).collect();
                prop_assert_eq!(covering.len(), 1);
                prop_assert_eq!(covering[0].state, wanted);
            }
        }
    }
}
