//! What stands in the way of right numbers.

use reinback_yard::Words;
use reinback_yard::lower::trouble::Trouble;

use super::Say;
use crate::report::whole::look::What;

impl Say {
    /// What there is to look at, and what becomes of it until then.
    #[must_use]
    pub fn look(&self, what: &What, words: &Words) -> String {
        let exercise = |word| self.exercise(&words.exercise_name(word)).into_owned();
        match what {
            What::InRide(trouble) => self.trouble(*trouble),
            What::SameFilm => self.plain("look-same-film"),
            What::OneRide => self.plain("look-one-ride"),
            What::NoTime(word) => self.text("look-no-time", &[("exercise", exercise(word).into())]),
            What::AllFaulty(word, attempts) => self.text(
                "look-all-faulty",
                &[
                    ("exercise", exercise(word).into()),
                    ("attempts", (*attempts).into()),
                ],
            ),
            What::NoneFaulty(word, attempts) => self.text(
                "look-none-faulty",
                &[
                    ("exercise", exercise(word).into()),
                    ("attempts", (*attempts).into()),
                ],
            ),
        }
    }

    fn trouble(&self, trouble: Trouble) -> String {
        match trouble {
            Trouble::Ahead => self.plain("look-ahead"),
            Trouble::BeforeBirth => self.plain("look-before-birth"),
            Trouble::FarApart => self.plain("look-far-apart"),
            Trouble::NoLength(_) => self.plain("look-no-length"),
            Trouble::Overlap(_) => self.plain("look-overlap"),
            Trouble::LooseFaults(faults) => {
                self.text("look-loose-faults", &[("faults", faults.into())])
            }
            Trouble::LooseChanges(changes) => {
                self.text("look-loose-changes", &[("changes", changes.into())])
            }
            Trouble::TwoPaces(nanos) => {
                self.text("look-two-paces", &[("length", self.length(nanos).into())])
            }
            Trouble::TwoOutlines(nanos) => self.text(
                "look-two-outlines",
                &[("length", self.length(nanos).into())],
            ),
            Trouble::ImpossibleTaps => self.plain("series-impossible-stride"),
            Trouble::Series(_, problem) => self.series_problem(problem),
        }
    }
}
