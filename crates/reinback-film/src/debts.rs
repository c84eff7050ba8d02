//! What a decoder was given and what came of it: frames owed, frames lost, and
//! pieces that could not be decoded.

use std::collections::BTreeSet;

/// The account of one decoder, by ticks.
///
/// **Invariant**: a frame that came last of all is not among those lost, and
/// [`Debts::skipped`] never falls.
#[derive(Default)]
pub(crate) struct Debts {
    /// Frames that the decoder owes since the last seek.
    owed: BTreeSet<i64>,
    /// Frames that never came, of films whose packets are frames.
    lost: BTreeSet<i64>,
    /// Decoding ticks of what could not be decoded; once each, however often
    /// it is passed.
    spoiled: BTreeSet<i64>,
    /// The most frames that were lost at one time.
    most_lost: usize,
}

impl Debts {
    /// A packet went to the decoder whose frame is to be shown at `tick`.
    pub(crate) fn owe(&mut self, tick: i64) {
        self.owed.insert(tick);
    }

    /// Whether frames are owed.
    pub(crate) fn any(&self) -> bool {
        !self.owed.is_empty()
    }

    /// Reading goes elsewhere: nothing is owed any more.
    pub(crate) fn forget(&mut self) {
        self.owed.clear();
    }

    /// The frame at `tick` came, the one before it at `given`. Frames come in
    /// order: those owed between the two are lost. Where none was given since
    /// the seek, the first ones may rightly stay away.
    pub(crate) fn come(&mut self, tick: i64, given: Option<i64>) {
        let later = self.owed.split_off(&tick);
        let missing = std::mem::replace(&mut self.owed, later);
        self.owed.remove(&tick);
        self.lost.remove(&tick);
        self.lose(&missing, given);
    }

    /// No frame follows the one at `given`.
    pub(crate) fn end(&mut self, given: Option<i64>) {
        let missing = std::mem::take(&mut self.owed);
        self.lose(&missing, given);
    }

    fn lose(&mut self, missing: &BTreeSet<i64>, given: Option<i64>) {
        if let Some(given) = given {
            self.lost.extend(missing.range(given.saturating_add(1)..));
            self.most_lost = self.most_lost.max(self.lost.len());
        }
    }

    /// What was sent at this decoding tick could not be decoded.
    pub(crate) fn spoil(&mut self, sent: Option<i64>) {
        self.spoiled.insert(sent.unwrap_or(i64::MIN));
    }

    /// Pieces that could not be decoded so far.
    pub(crate) fn skipped(&self) -> u64 {
        // A decoder with many threads does not tell every error, and not every
        // error costs a frame.
        self.spoiled.len().max(self.most_lost) as u64
    }

    /// Where something is missing: ticks of frames, or, where no frame is known
    /// to be lost, decoding ticks.
    pub(crate) fn ticks(&self) -> &BTreeSet<i64> {
        if self.lost.is_empty() {
            &self.spoiled
        } else {
            &self.lost
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    enum Event {
        /// Frames at these ticks are sent.
        Sent(&'static [i64]),
        /// These come, one after the other.
        Came(&'static [i64]),
        Sought,
        Ended,
    }
    use Event::{Came, Ended, Sent, Sought};

    #[track_caller]
    fn check(events: &[Event], lost: &[i64], skipped: u64) {
        let (mut debts, mut given) = (Debts::default(), None);
        for event in events {
            match event {
                Sent(ticks) => ticks.iter().for_each(|tick| debts.owe(*tick)),
                Came(ticks) => {
                    for &tick in *ticks {
                        debts.come(tick, given.replace(tick));
                    }
                }
                Sought => {
                    debts.forget();
                    given = None;
                }
                Ended => debts.end(given),
            }
        }
        let found: Vec<i64> = debts.ticks().iter().copied().collect();
        assert_eq!((found.as_slice(), debts.skipped()), (lost, skipped));
    }

    #[test]
    fn frames_are_lost_only_after_one_that_came() {
        let all = || Sent(&[0, 1, 2, 3]);
        check(&[all(), Came(&[0, 1, 2, 3]), Ended], &[], 0);
        check(&[all(), Came(&[0, 3]), Ended], &[1, 2], 2);
        check(&[all(), Came(&[0, 1]), Ended], &[2, 3], 2);
        // Frames before the first one may lean on what was not read.
        check(&[all(), Came(&[2, 3]), Ended], &[], 0);
        check(&[all(), Ended], &[], 0);
        check(&[all(), Sought, Sent(&[8]), Came(&[8]), Ended], &[], 0);
        check(&[all(), Came(&[0]), Sought, Sent(&[8]), Ended], &[], 0);
    }

    #[test]
    fn a_frame_that_comes_after_all_is_lost_no_more() {
        let first = || {
            [
                Sent(&[0, 1, 2, 3]),
                Came(&[0, 3]),
                Sought,
                Sent(&[0, 1, 2, 3]),
            ]
        };
        let again = |came| first().into_iter().chain([Came(came)]).collect::<Vec<_>>();
        check(&again(&[0, 1, 2, 3]), &[], 2);
        check(&again(&[0, 1, 3]), &[2], 2);
        check(&again(&[2]), &[1], 2);
    }

    proptest! {
        #[test]
        fn the_count_never_falls_and_what_came_last_is_not_lost(
            ticks in prop::collection::vec((0..30_i64, any::<bool>()), 1..80),
        ) {
            let (mut debts, mut given, mut most) = (Debts::default(), None, 0);
            for (tick, seeks) in ticks {
                if seeks || given.is_some_and(|given| given >= tick) {
                    debts.forget();
                    given = None;
                }
                (0..30).for_each(|tick| debts.owe(tick));
                debts.come(tick, given.replace(tick));
                prop_assert!(!debts.ticks().contains(&tick));
                prop_assert!(debts.skipped() >= most);
                most = debts.skipped();
            }
        }
    }
}
