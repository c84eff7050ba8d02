//! Which picture of the wall plays: the one the pointer rests on, or the one it was asked of by
//! key; one at a time. And which one keys act on: the one pointed at or gone to last. Pure.

use crate::report::moments::MomentId;

/// Seconds the pointer rests on a picture until it plays, so that not every picture passed on the
/// way opens a film. Our own choice.
const REST: f64 = 0.15;

/// What is seen of the rider's hands in a frame.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Hands {
    /// The picture under the pointer.
    pub(super) pointer: Option<MomentId>,
    /// Whether the pointer moved: what is scrolled beneath it was not pointed at.
    pub(super) moved: bool,
    /// The picture that has the focus.
    pub(super) focus: Option<MomentId>,
    /// Whether the key was pressed that plays it.
    pub(super) pressed: bool,
    /// Window time, in seconds.
    pub(super) now: f64,
}

/// Who asked for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum By {
    Pointer,
    Key,
}

/// What the pointer rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Rest {
    on: MomentId,
    since: f64,
    /// Whether it has played, or was stopped by key: it does not begin by itself again.
    done: bool,
}

/// Which picture plays.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Attention {
    /// What was last under the pointer and had the focus, and which of the two was chosen last.
    pointer: Option<MomentId>,
    focus: Option<MomentId>,
    by_pointer: bool,
    rest: Option<Rest>,
    plays: Option<(MomentId, By)>,
}

impl Attention {
    /// Which one plays.
    pub(super) fn plays(&self) -> Option<MomentId> {
        self.plays.map(|(own, _)| own)
    }

    /// Which one a key means.
    pub(super) fn at(&self) -> Option<MomentId> {
        let (pointer, focus) = (self.pointer, self.focus);
        if self.by_pointer {
            pointer.or(focus)
        } else {
            focus.or(pointer)
        }
    }

    /// Seconds until the one under the pointer plays.
    pub(super) fn due_in(&self, now: f64) -> Option<f64> {
        let rest = self.rest.filter(|rest| !rest.done)?;
        Some((rest.since + REST - now).max(0.0))
    }

    /// Follows the hands.
    pub(super) fn follow(&mut self, hands: Hands) {
        if hands.focus != self.focus {
            self.by_pointer = false;
        }
        if hands.moved && hands.pointer.is_some() {
            self.by_pointer = true;
        }
        (self.pointer, self.focus) = (hands.pointer, hands.focus);
        if self.rest.map(|rest| rest.on) != hands.pointer {
            self.rest = hands.pointer.map(|on| Rest {
                on,
                since: hands.now,
                done: false,
            });
            self.plays = self.plays.filter(|(_, by)| *by == By::Key);
        }
        let left = |(own, by): (MomentId, By)| by == By::Key && hands.focus != Some(own);
        self.plays = self.plays.filter(|plays| !left(*plays));
        if let Some(meant) = self.at().filter(|_| hands.pressed) {
            let stops = self.plays() == Some(meant);
            let by = if hands.focus == Some(meant) {
                By::Key
            } else {
                By::Pointer
            };
            self.plays = (!stops).then_some((meant, by));
            if let Some(rest) = &mut self.rest {
                rest.done = true;
            }
        }
        if self.due_in(hands.now) == Some(0.0)
            && let Some(rest) = &mut self.rest
        {
            rest.done = true;
            self.plays = Some((rest.on, By::Pointer));
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use reinback_yard::{BoutId, RideId};

    use super::*;

    fn moment(number: u64) -> MomentId {
        MomentId::Clean(RideId::from(1), BoutId::from(number))
    }

    /// (pointer, focus, pressed, tenths of a second passed, what plays then); 0 is none.
    type Turn = (u64, u64, bool, u32, u64);

    fn check(turns: &[Turn]) {
        let some = |number: u64| (number > 0).then(|| moment(number));
        let mut attention = Attention::default();
        let (mut now, mut last) = (0.0, 0);
        for (at, &(pointer, focus, pressed, passed, plays)) in turns.iter().enumerate() {
            now += f64::from(passed) / 10.0;
            let moved = std::mem::replace(&mut last, pointer) != pointer;
            attention.follow(Hands {
                pointer: some(pointer),
                moved,
                focus: some(focus),
                pressed,
                now,
            });
            assert_eq!(attention.plays(), some(plays), "turn {at} of {turns:?}");
        }
    }

    #[test]
    fn the_pointer_plays_what_it_rests_on() {
        check(&[
            (1, 0, false, 0, 0),
            (1, 0, false, 2, 1),
            (1, 0, false, 90, 1),
            (2, 0, false, 1, 0),
            (3, 0, false, 1, 0),
            (3, 0, false, 2, 3),
            (0, 0, false, 1, 0),
        ]);
    }

    #[test]
    fn a_key_plays_and_stops_the_one_with_the_focus() {
        check(&[
            (0, 4, false, 0, 0),
            (0, 4, true, 1, 4),
            (0, 4, false, 50, 4),
            (0, 4, true, 1, 0),
            (0, 4, true, 1, 4),
            // Left.
            (0, 5, false, 1, 0),
            (0, 4, false, 1, 0),
        ]);
    }

    #[test]
    fn the_hand_that_moved_last_has_its_way() {
        check(&[
            (1, 0, false, 0, 0),
            (1, 4, false, 2, 1),
            // The pointer lies still on 1.
            (1, 4, true, 1, 4),
            (1, 4, false, 50, 4),
            (2, 4, false, 1, 4),
            (2, 4, false, 2, 2),
            // A press on the one that plays stops it, and resting there does not begin it again.
            (2, 2, false, 1, 2),
            (2, 2, true, 1, 0),
            (2, 2, false, 50, 0),
        ]);
    }

    #[test]
    fn a_key_means_what_was_pointed_at_or_gone_to_last() {
        // Without any focus, the one under the pointer.
        check(&[
            (1, 0, false, 0, 0),
            (1, 0, true, 1, 1),
            (1, 0, true, 1, 0),
            (1, 0, false, 50, 0),
            (1, 0, true, 1, 1),
            (0, 0, false, 1, 0),
        ]);
        // The pointer moved last, then the focus.
        check(&[
            (0, 4, false, 0, 0),
            (1, 4, false, 1, 0),
            (1, 4, true, 0, 1),
            (1, 4, true, 0, 0),
            (1, 5, false, 0, 0),
            (1, 5, true, 0, 5),
        ]);
        // What is scrolled beneath a pointer that lies still was not pointed at.
        let mut attention = Attention::default();
        for (pointer, moved, meant) in [(1, true, 1), (2, false, 2), (0, false, 3), (2, false, 3)] {
            let focus = if meant == 3 { 3 } else { 0 };
            let some = |number: u64| (number > 0).then(|| moment(number));
            attention.follow(Hands {
                pointer: some(pointer),
                moved,
                focus: some(focus),
                ..Hands::default()
            });
            assert_eq!(attention.at(), some(meant), "{pointer}");
        }
    }

    proptest! {
        /// Only what is under the pointer or has the focus ever plays, or is meant by a key.
        #[test]
        fn nothing_plays_that_was_left(
            turns in proptest::collection::vec(
                (0_u64..4, 0_u64..4, any::<bool>(), any::<bool>(), 0_u32..4), 1..60,
            ),
        ) {
            let some = |number: u64| (number > 0).then(|| moment(number));
            let mut attention = Attention::default();
            let mut now = 0.0;
            for (pointer, focus, moved, pressed, passed) in turns {
                now += f64::from(passed) / 10.0;
                let (pointer, focus) = (some(pointer), some(focus));
                attention.follow(Hands { pointer, moved, focus, pressed, now });
                let plays = attention.plays();
                prop_assert!(plays.is_none() || plays == pointer || plays == focus);
                let meant = attention.at();
                prop_assert!(meant == pointer || meant == focus);
                prop_assert_eq!(meant.is_none(), pointer.is_none() && focus.is_none());
            }
        }
    }
}
