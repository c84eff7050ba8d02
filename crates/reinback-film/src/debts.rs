//! What a decoder was given and what came of it: frames owed, frames lost,
//! frames in doubt, and pieces that could not be decoded.

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
    /// Frames that came with parts made up, or lean on others that did.
    doubtful: BTreeSet<i64>,
    /// Whether the next frames lean on what is lost or made up.
    doubt: bool,
    /// Frames that lie between the last one others lean on and the next.
    bridging: Vec<i64>,
    /// Whether so many of those follow each other that they are none.
    endless: bool,
    /// Whether one of those is made up: others of them may lean on it.
    bridge_broken: bool,
    /// From which tick on frames may lean on what could not be decoded.
    doubt_from: Option<i64>,
    /// Grows whenever what is lost, in doubt or spoiled may have changed.
    changes: u64,
}

/// More frames than this do not lie between two that others lean on: a decoder
/// holds no more (ITU-T H.264, A.3.1, from memory). Where more follow each
/// other, their kind says nothing.
const LONGEST_BRIDGE: usize = 16;

/// What a frame says of itself.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Testimony {
    /// The decoder met damage in it.
    pub(crate) damaged: bool,
    /// Decoding can begin with it: it leans on no other.
    pub(crate) key: bool,
    /// It lies between two others, and those do not lean on it.
    pub(crate) bridges: bool,
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

    /// Reading goes elsewhere, to a key frame: nothing is owed any more, and
    /// nothing leans on what was.
    pub(crate) fn forget(&mut self) {
        self.owed.clear();
        self.bridging.clear();
        self.endless = false;
        self.bridge_broken = false;
        self.doubt = false;
        self.doubt_from = None;
    }

    /// What the frame at `tick`, which came last, says of itself. Until the
    /// next frame that leans on no other, damage spreads.
    pub(crate) fn judge(&mut self, tick: i64, frame: Testimony) {
        if self.doubt_from.is_some_and(|from| tick >= from) {
            self.doubt_from = None;
            self.spread();
        }
        self.doubt &= !frame.key;
        if self.bridging.len() >= LONGEST_BRIDGE {
            self.bridging.clear();
            self.endless = true;
        }
        self.endless &= frame.bridges;
        let bridges = frame.bridges && !self.endless;
        self.bridge_broken &= bridges;
        if frame.damaged {
            if bridges {
                self.bridge_broken = true;
                self.doubtful.extend(self.bridging.iter());
            } else {
                self.spread();
            }
        }
        let changed = if self.doubt || self.bridge_broken || frame.damaged {
            self.doubtful.insert(tick)
        } else {
            self.doubtful.remove(&tick)
        };
        self.changes += u64::from(changed);
        if bridges {
            self.bridging.push(tick);
        } else {
            self.bridging.clear();
        }
    }

    /// Others lean on something that is damaged: those that follow, and those
    /// between it and the one before.
    fn spread(&mut self) {
        self.doubt = true;
        self.changes += 1;
        self.doubtful.extend(self.bridging.drain(..));
    }

    /// The frame at `tick` came, the one before it at `given`. Frames come in
    /// order: those owed between the two are lost. Where none was given since
    /// the seek, the first ones may rightly stay away.
    pub(crate) fn come(&mut self, tick: i64, given: Option<i64>) {
        let later = self.owed.split_off(&tick);
        let missing = std::mem::replace(&mut self.owed, later);
        self.owed.remove(&tick);
        self.changes += u64::from(self.lost.remove(&tick));
        self.lose(&missing, given);
    }

    /// No frame follows the one at `given`.
    pub(crate) fn end(&mut self, given: Option<i64>) {
        let missing = std::mem::take(&mut self.owed);
        self.lose(&missing, given);
    }

    fn lose(&mut self, missing: &BTreeSet<i64>, given: Option<i64>) {
        if let Some(given) = given {
            let mut gone = missing.range(given.saturating_add(1)..).peekable();
            if gone.peek().is_some() {
                self.spread();
            }
            self.lost.extend(gone);
            self.most_lost = self.most_lost.max(self.lost.len());
        }
    }

    /// What was sent at this decoding tick could not be decoded.
    pub(crate) fn spoil(&mut self, sent: Option<i64>) {
        let from = sent.unwrap_or(i64::MIN);
        self.changes += u64::from(self.spoiled.insert(from));
        // Frames before it may still be on their way.
        self.doubt_from = Some(self.doubt_from.map_or(from, |known| known.min(from)));
    }

    /// Pieces that could not be decoded so far.
    pub(crate) fn skipped(&self) -> u64 {
        // A decoder with many threads does not tell every error, and not every
        // error costs a frame.
        self.spoiled.len().max(self.most_lost) as u64
    }

    /// A number that has grown if what is told here may be other than before.
    pub(crate) fn changes(&self) -> u64 {
        self.changes
    }

    /// Ticks of the frames in doubt.
    pub(crate) fn doubtful(&self) -> &BTreeSet<i64> {
        &self.doubtful
    }

    /// Where something is missing: ticks of frames, or, where no frame is known
    /// to be lost, decoding ticks.
    pub(crate) fn missing(&self) -> &BTreeSet<i64> {
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
        let found: Vec<i64> = debts.missing().iter().copied().collect();
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

    #[test]
    fn doubt_spreads_to_the_next_frame_that_leans_on_no_other() {
        // As pictures are called in H.264: what leans on nothing, what others
        // lean on, what lies between; in small letters, with damage in it.
        for (film, expected) in [
            ("IPBPBPIP", ""),
            ("IPpPPIPP", "2 3 4"),
            // Damage in a frame between two others stays there.
            ("IBPbPBPI", "3"),
            // Frames before the damaged one lean on it too.
            ("IPBBpBBPIP", "2 3 4 5 6 7"),
            // One that begins anew, damaged itself.
            ("IPPiPPIP", "3 4 5"),
        ] {
            let mut debts = Debts::default();
            for (tick, sign) in (0..).zip(film.chars()) {
                let frame = Testimony {
                    damaged: sign.is_lowercase(),
                    key: sign.eq_ignore_ascii_case(&'I'),
                    bridges: sign.eq_ignore_ascii_case(&'B'),
                };
                debts.judge(tick, frame);
            }
            let found: Vec<String> = debts.doubtful().iter().map(i64::to_string).collect();
            assert_eq!(found.join(" "), expected, "{film}");
        }
    }

    #[test]
    fn what_follows_a_lost_frame_is_in_doubt() {
        let leaning = Testimony::default();
        let key = Testimony {
            key: true,
            ..leaning
        };
        let mut debts = Debts::default();
        (0..6).for_each(|tick| debts.owe(tick));
        let frames = [(0, key), (1, leaning), (3, leaning), (4, key), (5, leaning)];
        let mut given = None;
        for (tick, frame) in frames {
            debts.come(tick, given.replace(tick));
            debts.judge(tick, frame);
        }
        assert_eq!(debts.missing(), &BTreeSet::from([2]));
        assert_eq!(debts.doubtful(), &BTreeSet::from([3]));
        // Decoded again from a key frame after it.
        debts.forget();
        debts.judge(3, leaning);
        assert!(debts.doubtful().is_empty());
    }

    /// Frames of one kind throughout: nothing is known of who leans on whom.
    #[test]
    fn many_frames_between_two_others_say_nothing_of_their_kind() {
        let mut debts = Debts::default();
        for tick in 0..60 {
            let frame = Testimony {
                damaged: tick == 40,
                key: tick % 50 == 0,
                bridges: tick % 50 != 0,
            };
            debts.judge(tick, frame);
        }
        assert_eq!(*debts.doubtful(), (40..50).collect());
    }

    #[test]
    fn doubt_begins_with_what_could_not_be_decoded() {
        let mut debts = Debts::default();
        debts.judge(
            0,
            Testimony {
                key: true,
                ..Testimony::default()
            },
        );
        // Told while two frames before it are still on their way.
        debts.spoil(Some(3));
        (1..6).for_each(|tick| debts.judge(tick, Testimony::default()));
        assert_eq!(debts.doubtful(), &BTreeSet::from([3, 4, 5]));
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
                prop_assert!(!debts.missing().contains(&tick));
                prop_assert!(debts.skipped() >= most);
                most = debts.skipped();
            }
        }
    }
}
