//! Where a film could not be decoded.

use std::collections::BTreeSet;

use crate::time::{Clock, FilmTime};

/// A stretch of film of which no frame could be decoded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// Where it begins.
    pub from: FilmTime,
    /// Where it ends.
    pub to: FilmTime,
}

/// The stretches that these ticks of lost frames make, each `frame` ticks long: what lies less
/// than half a frame apart is one.
pub(crate) fn gaps(ticks: &BTreeSet<i64>, frame: i64, clock: Clock) -> Vec<Gap> {
    let frame = frame.max(1);
    let mut gaps: Vec<(i64, i64)> = Vec::new();
    // A packet sent before any that had a time stands at the very least.
    for &tick in ticks.iter().filter(|tick| **tick > i64::MIN) {
        let end = tick.saturating_add(frame);
        match gaps.last_mut() {
            Some(last) if tick <= last.1.saturating_add(frame / 2) => last.1 = end,
            _ => gaps.push((tick, end)),
        }
    }
    let gap = |(from, to)| Gap {
        from: clock.time(from).max(FilmTime::ZERO),
        to: clock.time(to).max(FilmTime::ZERO),
    };
    gaps.into_iter().map(gap).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(ticks: &[i64], expected: &[(i64, i64)]) {
        // Ticks of a millisecond, the first presented frame at tick 1000, frames of 40.
        let clock = Clock::new(1, 1000, 1000);
        let found = gaps(&ticks.iter().copied().collect(), 40, clock);
        let millis = |time: FilmTime| time.0 / 1_000_000;
        let found: Vec<_> = found
            .iter()
            .map(|gap| (millis(gap.from), millis(gap.to)))
            .collect();
        assert_eq!(found, expected, "{ticks:?}");
    }

    #[test]
    fn neighbours_are_one_gap() {
        check(&[], &[]);
        check(&[1400], &[(400, 440)]);
        check(&[1400, 1440, 1480, 2000], &[(400, 520), (1000, 1040)]);
        // Time stamps are not always even.
        check(&[1400, 1453], &[(400, 493)]);
        check(&[1400, 1480], &[(400, 440), (480, 520)]);
        // Before the first frame, and without any time.
        check(&[i64::MIN, 900, 980], &[(0, 0), (0, 20)]);
    }
}
