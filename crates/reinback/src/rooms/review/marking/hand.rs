//! From the frame on screen at a press back to the frame the press was meant for.

use reinback_yard::{Moment, Press};

/// How long after seeing something a reviewer's key goes down, in milliseconds of the day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(default)]
pub struct Delays {
    /// For the start and the end of an exercise.
    pub bout_ms: u32,
    /// For faults and all other marks.
    pub fault_ms: u32,
}

/// The longest delay that is believed, in milliseconds. Simple reactions take a quarter of a
/// second, judging what was seen up to about one (common knowledge, from memory); beyond two it
/// is not a reaction.
pub const MOST_DELAY: u32 = 2_000;

/// The hand on the keys.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hand {
    /// Film seconds per second of the day; `None` while the film stands.
    pub speed: Option<f64>,
    /// Where the film on screen begins: no press is meant for a frame before it.
    pub floor: Moment,
    /// How late it is.
    pub delays: Delays,
}

impl Hand {
    /// A hand on a film that stands.
    pub const STILL: Self = Self {
        speed: None,
        floor: Moment(i64::MIN),
        delays: Delays {
            bout_ms: 0,
            fault_ms: 0,
        },
    };

    /// The moment an exercise was meant to start or end at.
    #[must_use]
    pub fn bout(&self, shown: Moment) -> Moment {
        self.meant(shown, self.delays.bout_ms)
    }

    /// The moment a mark is about, and its press.
    #[must_use]
    pub fn mark(&self, shown: Moment) -> (Moment, Press) {
        let at = self.meant(shown, self.delays.fault_ms);
        let press = Press {
            shown,
            correction: shown.0.saturating_sub(at.0),
            refined: self.speed.is_none(),
        };
        (at, press)
    }

    /// So much of the day as time of the film that plays, in nanoseconds; none while it stands.
    #[must_use]
    pub fn on_film(&self, day_nanos: i64) -> i64 {
        let speed = self.speed.filter(|speed| speed.is_finite() && *speed > 0.0);
        speed.map_or(0, |speed| (day_nanos as f64 * speed).round() as i64)
    }

    fn meant(&self, shown: Moment, delay_ms: u32) -> Moment {
        let late = self.on_film(i64::from(delay_ms.min(MOST_DELAY)) * 1_000_000);
        if late == 0 {
            return shown;
        }
        let at = Moment(shown.0.saturating_sub(late));
        at.max(self.floor).min(shown)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const SECOND: i64 = 1_000_000_000;

    fn hand(speed: Option<f64>) -> Hand {
        Hand {
            speed,
            floor: Moment(10 * SECOND),
            delays: Delays {
                bout_ms: 700,
                fault_ms: 400,
            },
        }
    }

    /// A delay of the day is that much film at the speed of play.
    #[test]
    fn a_delay_is_taken_off_at_the_speed_of_play() {
        for (speed, shown, mark, bout) in [
            (Some(1.0), 20.0, 19.6, 19.3),
            (Some(0.5), 20.0, 19.8, 19.65),
            (Some(2.0), 20.0, 19.2, 18.6),
            (Some(4.0), 20.0, 18.4, 17.2),
            // Not before the film's first frame.
            (Some(1.0), 10.3, 10.0, 10.0),
            // A film that stands shows the very frame.
            (None, 20.0, 20.0, 20.0),
            (Some(f64::NAN), 20.0, 20.0, 20.0),
        ] {
            let moment = |seconds: f64| Moment((seconds * SECOND as f64).round() as i64);
            let (at, press) = hand(speed).mark(moment(shown));
            assert_eq!(at, moment(mark), "{speed:?} {shown}");
            assert_eq!(
                hand(speed).bout(moment(shown)),
                moment(bout),
                "{speed:?} {shown}"
            );
            assert_eq!(press.refined, speed.is_none());
        }
    }

    proptest! {
        #[test]
        fn the_press_and_its_correction_give_the_moment(
            shown in -1_000 * SECOND..1_000 * SECOND,
            floor in -1_000 * SECOND..1_000 * SECOND,
            speed in prop::option::of(0.1..4.0_f64),
            fault_ms in 0..5_000_u32,
        ) {
            let delays = Delays { bout_ms: 0, fault_ms };
            let hand = Hand { speed, floor: Moment(floor), delays };
            let (at, press) = hand.mark(Moment(shown));
            prop_assert_eq!(at.0 + press.correction, shown);
            prop_assert!(press.correction >= 0);
            prop_assert!(at.0 >= floor.min(shown));
            prop_assert!(press.correction <= i64::from(MOST_DELAY) * 4_000_000);
        }
    }
}
