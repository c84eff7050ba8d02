//! What to work on first and why, and the numbers in one breath.

use reinback_analysis::{Rein, Verdict};

use super::Say;
use super::compare::Earlier;
use crate::report::numbers::{Line, Measure, Numbers};

/// How many lines say why they are first.
const REASONED: usize = 3;

impl Say {
    /// Why one of the first three lines is there; nothing where nothing can be said. The order goes
    /// by attempts: where faults a minute stand beside it, that is said.
    #[must_use]
    pub fn why_first(
        &self,
        line: &Line,
        (numbers, measure): (&Numbers, Measure),
        earlier: Option<Earlier>,
    ) -> Option<String> {
        if line.place > REASONED {
            return None;
        }
        let mut reasons = Vec::new();
        if line.clear.against_before == Some(Verdict::More)
            && let Some(earlier) = earlier
        {
            let earlier = self.earlier(earlier);
            reasons.push(match measure {
                Measure::Attempts => self.text("first-more", &[("earlier", earlier.into())]),
                Measure::Faults => self.text("first-more-attempts", &[("earlier", earlier.into())]),
            });
        }
        match line.clear.weaker_rein {
            Some(Rein::Left) => reasons.push(self.plain("first-left")),
            Some(Rein::Right) => reasons.push(self.plain("first-right")),
            None => {}
        }
        if reasons.is_empty() {
            reasons.extend(self.faulty_a_ride(line, numbers));
        }
        (!reasons.is_empty()).then(|| reasons.join("; "))
    }

    /// "most faulty attempts: about 1.7 a reviewed ride, over 7 rides". Most is said of what leads
    /// all lines in this, also those that stand above it for a clear change.
    fn faulty_a_ride(&self, line: &Line, numbers: &Numbers) -> Option<String> {
        let rate = &line.figures.all.rate;
        rate.range.ok().filter(|_| rate.tally.faulty > 0)?;
        let many = self.measured(line.priority.faulty_per_ride);
        let rides = self.in_rides(numbers.reviewed);
        let own = line.priority.faulty_per_ride;
        let mut all = numbers.lines.iter();
        Some(if all.all(|other| other.priority.faulty_per_ride <= own) {
            self.text(
                "first-most",
                &[("faulty", many.into()), ("rides", rides.into())],
            )
        } else {
            self.text(
                "first-many",
                &[("faulty", many.into()), ("rides", rides.into())],
            )
        })
    }

    /// An exercise with the rein it goes wrong on: "half-pass (worse on the left)".
    #[must_use]
    pub fn weaker_on(&self, name: &str, rein: Rein) -> String {
        let exercise = self.exercise(name);
        match rein {
            Rein::Left => self.text("weaker-left", &[("exercise", exercise.into())]),
            Rein::Right => self.text("weaker-right", &[("exercise", exercise.into())]),
        }
    }
}
