//! The stretch around a mark that is played, once or again and again. Pure: times are nanoseconds
//! from the mark, below zero before it.

/// A stretch around a mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lap {
    before: i64,
    after: i64,
}

/// Where playing goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Onward {
    /// Here.
    To(i64),
    /// From the start once more.
    Again(i64),
    /// At its end it stands.
    Ended(i64),
}

impl Lap {
    /// The shortest and the longest part on either side of the mark. Our own choice: what can
    /// still be seen, and what is still one thing to look at.
    pub const PART: std::ops::RangeInclusive<i64> = 200_000_000..=15_000_000_000;

    /// So many nanoseconds before the mark and after it, each within [`Lap::PART`].
    #[must_use]
    pub fn new(before: i64, after: i64) -> Self {
        let within = |nanos: i64| nanos.clamp(*Self::PART.start(), *Self::PART.end());
        Self {
            before: within(before),
            after: within(after),
        }
    }

    /// Nanoseconds before the mark; above zero.
    #[must_use]
    pub fn before(self) -> i64 {
        self.before
    }

    /// Nanoseconds after the mark; above zero.
    #[must_use]
    pub fn after(self) -> i64 {
        self.after
    }

    /// Its start.
    #[must_use]
    pub fn start(self) -> i64 {
        -self.before
    }

    /// A time within it.
    #[must_use]
    pub fn within(self, time: i64) -> i64 {
        time.clamp(self.start(), self.after)
    }

    /// Where playing goes on, `passed` after `clock`.
    #[must_use]
    pub fn onward(self, clock: i64, passed: i64, repeat: bool) -> Onward {
        let target = clock.saturating_add(passed).max(self.start());
        if target < self.after {
            Onward::To(target)
        } else if repeat {
            Onward::Again(self.start())
        } else {
            Onward::Ended(self.after)
        }
    }

    /// Which part of it lies before a time, 0 to 1.
    #[must_use]
    pub fn part(self, time: i64) -> f32 {
        let length = (self.before + self.after) as f64;
        ((self.within(time) - self.start()) as f64 / length) as f32
    }

    /// The time at a part of it.
    #[must_use]
    pub fn at_part(self, part: f32) -> i64 {
        let length = (self.before + self.after) as f64;
        let since = f64::from(part.clamp(0.0, 1.0)) * length;
        self.within(self.start().saturating_add(since.round() as i64))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const SECOND: i64 = 1_000_000_000;

    #[test]
    fn it_goes_on_begins_again_or_ends() {
        let lap = Lap::new(2 * SECOND, 2 * SECOND);
        for (clock, passed, repeat, expect) in [
            (-2 * SECOND, SECOND, true, Onward::To(-SECOND)),
            (-SECOND, SECOND, false, Onward::To(0)),
            (SECOND, SECOND, true, Onward::Again(-2 * SECOND)),
            (SECOND, SECOND, false, Onward::Ended(2 * SECOND)),
            // A stretch that was made shorter while it played.
            (5 * SECOND, 1, true, Onward::Again(-2 * SECOND)),
            (-5 * SECOND, 1, true, Onward::To(-2 * SECOND)),
        ] {
            let found = lap.onward(clock, passed, repeat);
            assert_eq!(found, expect, "{passed} after {clock}, repeat {repeat}");
        }
    }

    fn laps() -> impl Strategy<Value = Lap> {
        (any::<i64>(), any::<i64>()).prop_map(|(before, after)| Lap::new(before, after))
    }

    proptest! {
        #[test]
        fn playing_never_leaves_it(
            lap in laps(), clock in any::<i64>(), passed in 0..=SECOND, repeat in any::<bool>(),
        ) {
            let (Onward::To(at) | Onward::Again(at) | Onward::Ended(at)) =
                lap.onward(clock, passed, repeat);
            prop_assert_eq!(lap.within(at), at);
        }

        /// However long the ticks, a lap that repeats comes by its start within its length.
        #[test]
        fn one_that_repeats_comes_by_its_start(
            lap in laps(), ticks in proptest::collection::vec(1_000_000..=250_000_000_i64, 1..50),
        ) {
            let mut clock = lap.start();
            let mut since = 0;
            for passed in ticks.into_iter().cycle().take(40_000) {
                match lap.onward(clock, passed, true) {
                    Onward::To(at) => {
                        prop_assert_eq!(at, clock + passed);
                        (clock, since) = (at, since + passed);
                        prop_assert!(since < lap.before() + lap.after());
                    }
                    Onward::Again(at) => {
                        prop_assert_eq!(at, lap.start());
                        (clock, since) = (at, 0);
                    }
                    Onward::Ended(_) => prop_assert!(false, "it ended"),
                }
            }
        }

        #[test]
        fn a_part_of_it_and_its_time_belong_together(lap in laps(), part in 0.0_f32..=1.0) {
            let back = lap.part(lap.at_part(part));
            prop_assert!((back - part).abs() < 1e-4, "{} {}", part, back);
            prop_assert!(lap.part(i64::MIN) <= 0.0 && lap.part(i64::MAX) >= 1.0);
        }
    }
}
