//! What happens after a mistake.

use reinback_analysis::{AfterMistake, Sequence};

use super::Say;

impl Say {
    /// What happens after a mistake; one sentence an entry.
    #[must_use]
    pub fn after_mistake(&self, after: &AfterMistake) -> Vec<String> {
        let repeated = after.repeated.tally;
        if repeated.attempts == 0 {
            return vec![self.plain("after-none")];
        }
        let mut lines = vec![self.text(
            "after-again",
            &[
                ("faulty", repeated.faulty.into()),
                ("attempts", repeated.attempts.into()),
            ],
        )];
        let repeat = after.repeat.tally;
        if repeat.attempts > 0 {
            lines.push(self.text(
                "after-repeats",
                &[
                    ("faulty", repeat.faulty.into()),
                    ("attempts", repeat.attempts.into()),
                ],
            ));
        }
        // Where nothing came next there is nothing to say of it.
        let (faulty, clean) = (after.after_faulty.tally, after.after_clean.tally);
        lines.extend(match (faulty.attempts > 0, clean.attempts > 0) {
            (true, true) => Some(self.text(
                "after-next",
                &[
                    ("after", self.tally(faulty).into()),
                    ("clean", self.tally(clean).into()),
                ],
            )),
            (true, false) => Some(self.text(
                "after-next-mistake",
                &[("after", self.tally(faulty).into())],
            )),
            (false, true) => {
                Some(self.text("after-next-clean", &[("clean", self.tally(clean).into())]))
            }
            (false, false) => None,
        });
        lines.push(match after.verdict {
            Sequence::InARow => self.plain("after-in-a-row"),
            Sequence::SettlesAfter => self.plain("after-settles"),
            Sequence::NoClearPattern => self.plain("after-no-pattern"),
            Sequence::TooFew(_) => self.plain("after-few"),
        });
        lines
    }
}
