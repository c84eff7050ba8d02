//! The numbers in one breath: what is clearly better, worse or one-sided, and what nobody can tell.
//!
//! **Invariant:** pure; no exercise is called better, worse or one-sided that its line does not call
//! so.

use reinback_analysis::compare::MIN_RIDES_PER_PERIOD;
use reinback_analysis::{MIN_ATTEMPTS_FOR_RATE, Rein, Shortage, Verdict};

use super::numbers::{Line, Numbers};

/// The lines by what is clear about them; one may be in more than one list.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Digest<'a> {
    /// Clearly fewer faulty attempts than in the days compared with.
    pub better: Vec<&'a Line>,
    /// Clearly more.
    pub worse: Vec<&'a Line>,
    /// Clearly more faulty attempts on one rein, and on which.
    pub one_sided: Vec<(&'a Line, Rein)>,
    /// Too few attempts or rides to tell; those that went wrong at all come first.
    pub too_few: Vec<&'a Line>,
}

impl Digest<'_> {
    /// Whether nothing is clearly better, worse or one-sided.
    #[must_use]
    pub fn is_quiet(&self) -> bool {
        self.better.is_empty() && self.worse.is_empty() && self.one_sided.is_empty()
    }
}

/// Sorts the lines of an answer, each list in their order.
#[must_use]
pub fn digest(numbers: &Numbers) -> Digest<'_> {
    let many = |rides: usize| rides >= MIN_RIDES_PER_PERIOD;
    // Where a whole period has too few rides that is said once, and not of every line.
    let comparable = many(numbers.rides) && many(numbers.rides_against);
    let mut found = Digest::default();
    for line in &numbers.lines {
        match line.clear.against_before {
            Some(Verdict::Fewer) => found.better.push(line),
            Some(Verdict::More) => found.worse.push(line),
            _ => {}
        }
        let weaker = line.clear.weaker_rein;
        found.one_sided.extend(weaker.map(|rein| (line, rein)));
        if is_too_few(line, comparable) {
            found.too_few.push(line);
        }
    }
    found
        .too_few
        .sort_by_key(|line| line.figures.all.rate.tally.faulty == 0);
    found
}

fn is_too_few(line: &Line, comparable: bool) -> bool {
    let verdict = line.compared.as_ref().map(|found| found.rate.verdict);
    let few_to_compare = matches!(
        verdict,
        Some(Verdict::TooFew(
            Shortage::FewerThanFourRides | Shortage::FewerThanSixAttempts
        ))
    );
    line.figures.all.rate.tally.attempts < MIN_ATTEMPTS_FOR_RATE || (comparable && few_to_compare)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::numbers::{Days, Question, Reins, Whose, numbers};
    use crate::report::sample;

    fn names(lines: &[&Line]) -> Vec<String> {
        lines.iter().map(|line| line.name.clone()).collect()
    }

    /// Of the sample's half-passes one on the left rein is faulty in each of ten rides, of those on
    /// the right in the first five; one halt a ride.
    #[test]
    fn lines_are_sorted_by_what_is_clear_about_them() {
        let question = Question {
            whose: Whose::One(sample::horse()),
            days: Days::default(),
            against: None,
            reins: Reins::Both,
        };
        let season = numbers(&sample::yard(), &question);
        let found = digest(&season);
        assert!(found.better.is_empty() && found.worse.is_empty());
        assert!(found.too_few.is_empty(), "{:?}", names(&found.too_few));
        let sided = season.lines[0].clear.weaker_rein;
        assert_eq!(found.one_sided.len(), usize::from(sided.is_some()));

        let halves = Question {
            days: Days {
                from: Some(sample::day(5)),
                to: None,
            },
            against: Some(Days {
                from: None,
                to: Some(sample::day(4)),
            }),
            ..question
        };
        let halves = numbers(&sample::yard(), &halves);
        assert_eq!(names(&digest(&halves).too_few), ["halt"], "five in each");

        // Against days without a ride every line is too few, and the digest does not repeat it.
        let alone = Question {
            against: Some(Days {
                from: None,
                to: sample::day(0).pred_opt(),
            }),
            ..question
        };
        let alone = numbers(&sample::yard(), &alone);
        assert!(digest(&alone).too_few.is_empty());
    }
}
