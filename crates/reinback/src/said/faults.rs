//! Faults counted and faults a minute, where these are asked for in the place of faulty attempts.

use reinback_analysis::{Cell, ExerciseLine, PerMinute, Shortage};

use super::Say;
use super::compare::Earlier;
use crate::report::numbers::{Compared, Measure};

impl Say {
    /// What is counted: "Faulty attempts", "Faults a minute".
    #[must_use]
    pub fn measure(&self, measure: Measure) -> String {
        match measure {
            Measure::Attempts => self.plain("measure-attempts"),
            Measure::Faults => self.plain("measure-faults"),
        }
    }

    /// The counts behind a bar: "4 of 23", or "1.2 a min".
    #[must_use]
    pub fn counts(&self, cell: &Cell, measure: Measure) -> String {
        match (measure, &cell.per_minute.range) {
            (Measure::Attempts, _) => self.tally(cell.rate.tally),
            (Measure::Faults, Ok(_)) => self.faults_in_short(&cell.per_minute),
            (Measure::Faults, Err(_)) => self.count(cell.faults),
        }
    }

    /// "1.2 a min", or how many faults where there is no time.
    #[must_use]
    pub fn faults_in_short(&self, rate: &PerMinute) -> String {
        match &rate.range {
            Ok(range) => self.text(
                "faults-a-minute-short",
                &[("rate", self.measured(range.value).into())],
            ),
            Err(_) => self.count(rate.faults),
        }
    }

    /// "12 faults, 2.3 a minute; last month 9 faults, 1.1 a minute: more, and likely more than
    /// luck".
    #[must_use]
    pub fn faults_of_periods(&self, found: &Compared, earlier: Earlier) -> String {
        let tallies = [found.rate.after.tally, found.rate.before.tally];
        let sides = [&found.timed.after, &found.timed.before];
        let [now, before] = sides.map(|rate| self.faults_in_time(rate));
        self.two_periods(
            (now, before),
            earlier,
            tallies.map(|tally| tally.attempts),
            found.verdict(Measure::Faults),
        )
    }

    /// "12 faults, 2.3 a minute".
    fn faults_in_time(&self, rate: &PerMinute) -> String {
        match &rate.range {
            Ok(range) => self.text(
                "faults-now",
                &[
                    ("faults", rate.faults.into()),
                    ("rate", self.measured(range.value).into()),
                ],
            ),
            Err(_) => self.text("faults-now-untimed", &[("faults", rate.faults.into())]),
        }
    }

    /// "Between 1.2 and 3.1 times as many a minute, taking faults to come singly.", or why that
    /// cannot be said.
    #[must_use]
    pub fn times_as_many(&self, found: &Compared) -> String {
        match &found.per_minute {
            Ok(ratio) => self.text(
                "times-as-many",
                &[
                    ("low", self.measured(ratio.low).into()),
                    ("high", self.measured(ratio.high).into()),
                ],
            ),
            Err(Shortage::NoFaultsToCompare) => self.plain("times-as-many-none"),
            Err(why) => self.why(*why),
        }
    }

    /// "left 2.1 faults a minute (1.2 to 3.4) in 5 min 10 s; right …".
    #[must_use]
    pub fn faults_of_reins(&self, figures: &ExerciseLine) -> String {
        let left = self.per_minute(&figures.left.per_minute);
        let right = self.per_minute(&figures.right.per_minute);
        self.text(
            "faults-of-reins",
            &[("left", left.into()), ("right", right.into())],
        )
    }

    /// What stands under the dots of the rides: "at most 7 faults in a ride".
    #[must_use]
    pub fn most_faults(&self, most: u32, by_month: bool) -> String {
        if by_month {
            self.text("most-faults-month", &[("faults", most.into())])
        } else {
            self.text("most-faults-ride", &[("faults", most.into())])
        }
    }
}
