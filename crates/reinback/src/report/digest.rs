//! The numbers in one breath: what is clearly better, worse or one-sided, and what nobody can tell.
//!
//! **Invariant:** pure; no exercise is called better, worse or one-sided that its line does not call
//! so.

use reinback_analysis::compare::MIN_RIDES_PER_PERIOD;
use reinback_analysis::{MIN_ATTEMPTS_FOR_RATE, Rein, Shortage, Verdict};

use super::numbers::{Line, Measure, Numbers};
use super::shown::Yardstick;

/// The lines by what is clear about them; one may be in more than one list.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Digest<'a> {
    /// Clearly less of what is counted than in the days compared with.
    pub better: Vec<&'a Line>,
    /// Clearly more.
    pub worse: Vec<&'a Line>,
    /// Clearly more faulty attempts on one rein, and on which.
    pub one_sided: Vec<(&'a Line, Rein)>,
    /// Too few attempts or rides to tell; those that went wrong at all come first.
    pub too_few: Vec<&'a Line>,
    /// Whether of any line something clear could have been found.
    pub told: bool,
}

impl Digest<'_> {
    /// Whether nothing is clearly better, worse or one-sided, and that could be told.
    #[must_use]
    pub fn is_quiet(&self) -> bool {
        self.told && self.better.is_empty() && self.worse.is_empty() && self.one_sided.is_empty()
    }
}

/// Sorts the lines of an answer, each list in their order. One-sided they are in their attempts,
/// whatever is counted.
#[must_use]
pub fn digest(numbers: &Numbers, against: Yardstick, measure: Measure) -> Digest<'_> {
    let many = |rides: usize| rides >= MIN_RIDES_PER_PERIOD;
    // Where a whole period has too few rides that is said once, and not of every line.
    let comparable = many(numbers.rides) && many(numbers.rides_against);
    let mut found = Digest::default();
    for line in &numbers.lines {
        let days = line.compared.as_ref();
        let days = days.map(|compared| compared.verdict(measure));
        let reins = line.reins.as_ref().map(|reins| reins.verdict);
        match days {
            Some(Verdict::Fewer) => found.better.push(line),
            Some(Verdict::More) => found.worse.push(line),
            _ => {}
        }
        found.told |= match against {
            Yardstick::Nothing => false,
            Yardstick::Days(_) => is_told(days) || is_told(reins),
            Yardstick::Reins => is_told(reins),
        };
        let weaker = line.clear.weaker_rein;
        found.one_sided.extend(weaker.map(|rein| (line, rein)));
        let few_to_compare = match against {
            Yardstick::Reins => is_few(reins),
            Yardstick::Days(_) => comparable && is_few(days),
            Yardstick::Nothing => false,
        };
        if few_to_compare || line.figures.all.rate.tally.attempts < MIN_ATTEMPTS_FOR_RATE {
            found.too_few.push(line);
        }
    }
    found
        .too_few
        .sort_by_key(|line| line.figures.all.rate.tally.faulty == 0);
    found
}

/// Whether a verdict could have been a clear one.
fn is_told(verdict: Option<Verdict>) -> bool {
    verdict.is_some_and(|verdict| !matches!(verdict, Verdict::TooFew(_)))
}

/// Whether there were too few rides or attempts for one.
fn is_few(verdict: Option<Verdict>) -> bool {
    matches!(
        verdict,
        Some(Verdict::TooFew(
            Shortage::FewerThanFourRides | Shortage::FewerThanSixAttempts
        ))
    )
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use reinback_yard::IdMaker;

    use super::*;
    use crate::report::numbers::{Days, Question, Reins, Whose, numbers};
    use crate::report::sample;
    use crate::said::Earlier;

    fn names(lines: &[&Line]) -> Vec<String> {
        lines.iter().map(|line| line.name.clone()).collect()
    }

    fn ever() -> Question {
        Question {
            whose: Whose::One(sample::horse()),
            days: Days::default(),
            against: None,
            reins: Reins::Both,
        }
    }

    fn halves() -> Question {
        Question {
            days: Days {
                from: Some(sample::day(5)),
                to: None,
            },
            against: Some(Days {
                from: None,
                to: Some(sample::day(4)),
            }),
            ..ever()
        }
    }

    const EARLIER: Yardstick = Yardstick::Days(Earlier::LastMonth);

    /// Of the sample's half-passes one on the left rein is faulty in each of ten rides, of those on
    /// the right in the first five; one halt a ride.
    #[test]
    fn lines_are_sorted_by_what_is_clear_about_them() {
        let season = numbers(&sample::yard(), &ever());
        let found = digest(&season, Yardstick::Nothing, Measure::Attempts);
        assert!(found.better.is_empty() && found.worse.is_empty());
        assert!(found.too_few.is_empty(), "{:?}", names(&found.too_few));
        // 10 of 20 against 5 of 20 is nothing clear.
        assert!(found.one_sided.is_empty());

        let halves = numbers(&sample::yard(), &halves());
        let found = digest(&halves, EARLIER, Measure::Attempts);
        assert_eq!(names(&found.too_few), ["halt"], "five in each");

        // Against days without a ride every line is too few, and the digest does not repeat it.
        let alone = Question {
            against: Some(Days {
                from: None,
                to: sample::day(0).pred_opt(),
            }),
            ..ever()
        };
        let alone = numbers(&sample::yard(), &alone);
        let found = digest(&alone, EARLIER, Measure::Attempts);
        assert!(found.too_few.is_empty());
    }

    /// The sample with eight more travers a ride: four clean ones on the right rein, and four on the
    /// left that are all faulty.
    #[test]
    fn the_weaker_rein_is_named() {
        let mut yard = sample::yard();
        let mut ids = IdMaker::seeded(41);
        for ride in yard.rides.values_mut() {
            for attempt in 0..8 {
                let (rein, fault) = match attempt % 2 {
                    0 => (Rein::Left, Some("tense")),
                    _ => (Rein::Right, None),
                };
                let ride = Arc::make_mut(ride);
                sample::bout(&mut ids, ride, "travers", Some(rein), fault);
            }
        }
        let season = numbers(&yard, &ever());
        let found = digest(&season, Yardstick::Reins, Measure::Attempts);
        let sided = found.one_sided.iter();
        let sided = sided.map(|(line, rein)| (line.name.as_str(), *rein));
        assert_eq!(sided.collect::<Vec<_>>(), [("travers", Rein::Left)]);
        assert!(!found.is_quiet());
    }

    /// Reins of one ride cannot be told apart, so it is not said that nothing is one-sided.
    #[test]
    fn reins_of_a_single_ride_are_too_few() {
        let first = Days {
            from: None,
            to: Some(sample::day(0)),
        };
        let one = numbers(
            &sample::yard(),
            &Question {
                days: first,
                ..ever()
            },
        );
        let found = digest(&one, Yardstick::Reins, Measure::Attempts);
        assert!(!found.told && !found.is_quiet());
        assert_eq!(names(&found.too_few), ["half-pass", "halt"]);
        let season = numbers(&sample::yard(), &ever());
        assert!(digest(&season, Yardstick::Reins, Measure::Attempts).is_quiet());
    }

    /// Clean attempts of a minute become faulty ones of ten: more attempts, not more faults a minute.
    #[test]
    fn what_is_counted_is_what_is_called_worse() {
        let mut yard = sample::yard();
        yard.rides.clear();
        let mut ids = IdMaker::seeded(42);
        for number in 0..10 {
            let (later, minutes) = if number < 5 { (false, 1) } else { (true, 10) };
            let mut ride = sample::blank(&mut ids, sample::day(number));
            for attempt in 0..4 {
                let fault = (later || (number == 0 && attempt == 0)).then_some("tense");
                sample::bout(&mut ids, &mut ride, "halt", None, fault);
            }
            for (place, bout) in ride.bouts.iter_mut().enumerate() {
                let moved = 540_000_000_000 * i64::try_from(place).expect("few bouts");
                bout.from.0 += moved;
                bout.to = Some(reinback_yard::Moment(
                    bout.from.0 + minutes * 60_000_000_000,
                ));
            }
            yard.rides.insert(ride.id, Arc::new(ride));
        }
        let found = numbers(&yard, &halves());
        let of = |measure| names(&digest(&found, EARLIER, measure).worse);
        assert_eq!(of(Measure::Attempts), ["halt"]);
        assert!(of(Measure::Faults).is_empty());
    }
}
