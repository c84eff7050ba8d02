//! What a line says first, whatever it is held against and whatever is counted.

use super::Say;
use crate::report::numbers::{Line, Measure};
use crate::report::shown::Yardstick;

impl Say {
    /// What matters most about a line, and what stands under it.
    #[must_use]
    pub fn sentences(&self, line: &Line, yardstick: Yardstick, measure: Measure) -> [String; 2] {
        let figures = &line.figures;
        let all = &figures.all;
        match (yardstick, measure, &line.compared) {
            (Yardstick::Days(earlier), Measure::Attempts, Some(found)) => {
                let apart = self.periods_apart_in_short(&found.rate);
                let second = apart.unwrap_or_else(|| self.per_minute(&all.per_minute));
                [self.periods(&found.rate, earlier), second]
            }
            (Yardstick::Days(earlier), Measure::Faults, Some(found)) => [
                self.faults_of_periods(found, earlier),
                self.times_as_many(found),
            ],
            (Yardstick::Reins, Measure::Attempts, _) => self.reins_in_short(line),
            (Yardstick::Reins, Measure::Faults, _) => {
                let [first, _] = self.reins_in_short(line);
                [self.faults_of_reins(figures), first]
            }
            (_, Measure::Attempts, _) => [self.rate(&all.rate), self.per_minute(&all.per_minute)],
            (_, Measure::Faults, _) => [self.per_minute(&all.per_minute), self.rate(&all.rate)],
        }
    }
}
