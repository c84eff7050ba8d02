//! The load, always as information.

use reinback_analysis::load::{Caution, Load, LoadReason, Ridden};

use super::Say;

impl Say {
    /// "8 rides", as it follows "in".
    #[must_use]
    pub fn in_rides(&self, rides: usize) -> String {
        let rides = u32::try_from(rides).unwrap_or(u32::MAX);
        self.text("rides-in", &[("rides", rides.into())])
    }

    /// The load as of today; one sentence an entry.
    #[must_use]
    pub fn load(&self, load: &Load) -> Vec<String> {
        let week = &load.last_seven;
        let mut said = vec![self.text(
            "load-week",
            &[
                ("length", self.length(week.all).into()),
                ("rides", self.in_rides(week.rides as usize).into()),
            ],
        )];
        said.push(match (load.usual_week, load.against_usual) {
            (Ok(usual), Ok(against)) => self.text(
                "load-usual",
                &[
                    ("length", self.length(usual).into()),
                    ("percent", self.percent(against).into()),
                ],
            ),
            (Err(why), _) | (_, Err(why)) => self.load_reason(why),
        });
        said.push(match load.days_since_rest {
            Ok(0) => self.text(
                "load-rest-today",
                &[
                    ("row", load.days_in_a_row.into()),
                    ("days", load.days_since_ride.unwrap_or_default().into()),
                ],
            ),
            Ok(days) => self.text("load-rest", &[("days", days.into())]),
            Err(why) => self.load_reason(why),
        });
        said.push(match load.age {
            Ok(age) => self.text("load-age", &[("age", age.into())]),
            Err(why) => self.load_reason(why),
        });
        said.push(self.plain("load-no-competitions"));
        if load.ahead > 0 {
            said.push(self.text("load-ahead", &[("rides", load.ahead.into())]));
        }
        if load.without_length > 0 {
            said.push(self.text("load-lengthless", &[("rides", load.without_length.into())]));
        }
        // Where there is no ride, two figures have the same reason.
        said.dedup();
        said
    }

    /// Things to think about.
    #[must_use]
    pub fn load_cautions(&self, cautions: &[Caution]) -> Vec<String> {
        let mut said: Vec<String> = cautions
            .iter()
            .map(|caution| match *caution {
                Caution::MuchMore => self.plain("load-much-more"),
                Caution::NoDayOff { days } => {
                    self.text("load-no-day-off", &[("days", days.into())])
                }
                Caution::LongRide { .. } => self.plain("load-long-ride"),
                Caution::PerhapsLongRide { .. } => self.plain("load-perhaps-long-ride"),
                Caution::Young { age } => self.text("load-young", &[("age", age.into())]),
                other => other.to_string(),
            })
            .collect();
        said.dedup();
        said
    }

    fn load_reason(&self, why: LoadReason) -> String {
        match why {
            LoadReason::NoRides => self.plain("load-no-rides"),
            LoadReason::TooShort => self.plain("load-short"),
            LoadReason::NothingBefore => self.plain("load-nothing-before"),
            LoadReason::NoRestRecorded => self.plain("load-no-rest"),
            LoadReason::NoCompetition => self.plain("load-no-competitions"),
            LoadReason::NoAge => self.plain("load-no-age"),
            other => other.to_string(),
        }
    }

    /// "on the left rein 12 min 00 s, on the right 9 min 30 s".
    #[must_use]
    pub fn on_reins(&self, ridden: &Ridden) -> String {
        self.text(
            "load-reins",
            &[
                ("left", self.length(ridden.left).into()),
                ("right", self.length(ridden.right).into()),
            ],
        )
    }
}
