//! Where a film is damaged.

use std::collections::BTreeSet;

use crate::time::{Clock, FilmTime};

/// A stretch of film that is damaged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Flaw {
    /// Where it begins.
    pub from: FilmTime,
    /// Where it ends.
    pub to: FilmTime,
    /// What is wrong there.
    pub kind: FlawKind,
}

/// What is wrong with a stretch of film.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FlawKind {
    /// No frame could be decoded.
    Missing,
    /// Frames are shown, but the decoder made up parts of them, or they lean on
    /// frames that are missing or made up: nothing fine is to be judged by
    /// them.
    Doubtful,
}

/// The flaws that these ticks of missing and of doubtful frames make, in order
/// of time, each `frame` ticks long: what is of one kind and lies less than
/// half a frame apart is one.
pub(crate) fn flaws(
    missing: &BTreeSet<i64>,
    doubtful: &BTreeSet<i64>,
    frame: i64,
    clock: Clock,
) -> Vec<Flaw> {
    let stretch = |kind| {
        move |(from, to)| Flaw {
            from: clock.time(from).max(FilmTime::ZERO),
            to: clock.time(to).max(FilmTime::ZERO),
            kind,
        }
    };
    let missing = stretches(missing, frame).into_iter();
    let doubtful = stretches(doubtful, frame).into_iter();
    let mut flaws: Vec<Flaw> = missing
        .map(stretch(FlawKind::Missing))
        .chain(doubtful.map(stretch(FlawKind::Doubtful)))
        .collect();
    flaws.sort_by_key(|flaw| (flaw.from, flaw.to));
    flaws
}

fn stretches(ticks: &BTreeSet<i64>, frame: i64) -> Vec<(i64, i64)> {
    let frame = frame.max(1);
    let mut found: Vec<(i64, i64)> = Vec::new();
    // A packet sent before any that had a time stands at the very least.
    for &tick in ticks.iter().filter(|tick| **tick > i64::MIN) {
        let end = tick.saturating_add(frame);
        match found.last_mut() {
            Some(last) if tick <= last.1.saturating_add(frame / 2) => last.1 = end,
            _ => found.push((tick, end)),
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use FlawKind::{Doubtful, Missing};

    #[track_caller]
    fn check(missing: &[i64], doubtful: &[i64], expected: &[(i64, i64, FlawKind)]) {
        // Ticks of a millisecond, the first presented frame at tick 1000, frames of 40.
        let clock = Clock::new(1, 1000, 1000);
        let set = |ticks: &[i64]| ticks.iter().copied().collect();
        let found = flaws(&set(missing), &set(doubtful), 40, clock);
        let millis = |time: FilmTime| time.0 / 1_000_000;
        let found: Vec<_> = found
            .iter()
            .map(|flaw| (millis(flaw.from), millis(flaw.to), flaw.kind))
            .collect();
        assert_eq!(found, expected, "{missing:?} {doubtful:?}");
    }

    #[test]
    fn neighbours_of_one_kind_are_one_flaw() {
        check(&[], &[], &[]);
        check(&[1400], &[], &[(400, 440, Missing)]);
        check(
            &[1400, 1440, 1480, 2000],
            &[],
            &[(400, 520, Missing), (1000, 1040, Missing)],
        );
        // Time stamps are not always even.
        check(&[1400, 1453], &[], &[(400, 493, Missing)]);
        check(
            &[1400, 1480],
            &[],
            &[(400, 440, Missing), (480, 520, Missing)],
        );
        // Before the first frame, and without any time.
        check(
            &[i64::MIN, 900, 980],
            &[],
            &[(0, 0, Missing), (0, 20, Missing)],
        );
        check(
            &[1400, 2000],
            &[1440, 1480],
            &[
                (400, 440, Missing),
                (440, 520, Doubtful),
                (1000, 1040, Missing),
            ],
        );
    }
}
