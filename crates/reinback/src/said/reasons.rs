//! Why there is no number, and what every reader should know.

use reinback_analysis::Shortage;

use super::Say;

impl Say {
    /// Why there is no number, and what to do: a sentence.
    #[must_use]
    pub fn why(&self, shortage: Shortage) -> String {
        match shortage {
            Shortage::NoAttempts => self.plain("why-no-attempts"),
            Shortage::FewerThanSixAttempts => self.plain("why-six-attempts"),
            Shortage::NoTime => self.plain("why-no-time"),
            Shortage::FewerThanFourRides => self.plain("why-four-rides"),
            Shortage::FewerThanEightRides => self.plain("why-eight-rides"),
            Shortage::OneDayOnly => self.plain("why-one-day"),
            Shortage::NoFaultsToCompare => self.plain("why-no-faults"),
            Shortage::AllAlike => self.plain("why-alike"),
            Shortage::PeriodsOverlap => self.plain("why-overlap"),
            Shortage::NoMistakes => self.plain("why-no-mistakes"),
            Shortage::Contradictory(_) => self.plain("why-contradictory"),
            // A new one is at least told in the words it comes with.
            other => other.to_string(),
        }
    }

    /// The one caution that always stands at the foot of the room.
    #[must_use]
    pub fn caution(&self) -> String {
        self.plain("caution-foot")
    }

    /// What every reader of a report should know.
    #[must_use]
    pub fn cautions(&self) -> [String; 4] {
        [
            self.plain("caution-judge"),
            self.plain("caution-range"),
            self.plain("caution-reviewer"),
            self.plain("caution-vet"),
        ]
    }
}
