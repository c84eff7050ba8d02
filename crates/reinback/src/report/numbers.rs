//! One horse's numbers in one period: what the Progress room shows and the report prints.
//!
//! **Invariant:** pure; the same yard and question give the same numbers everywhere.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use reinback_analysis::trend::TREND_SEED;
use reinback_analysis::{
    AfterMistake, Cell, Comparison, ExerciseLine, Key, Priority, Ride as Ridden, Tally,
    after_mistakes, compare_reins_lines, exercise_lines, remainder, what_first,
};
use reinback_yard::{Filter, HorseId, Observed, RideId, WordId, Yard, observe};

/// The seed of every shuffle, so that a number never changes by itself.
const SEED: u64 = TREND_SEED;

/// Whose numbers, and of which days.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Question {
    /// The horse.
    pub horse: HorseId,
    /// From this day on; from the first ride if `None`.
    pub from: Option<NaiveDate>,
    /// Up to and with this day; to the last ride if `None`.
    pub to: Option<NaiveDate>,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Numbers {
    /// What was asked.
    pub question: Question,
    /// Rides of the horse in the period, marked or not.
    pub rides: usize,
    /// One line for each exercise with a reviewed attempt, what to work on first at the top.
    pub lines: Vec<Line>,
    /// Bouts that are not reviewed: in no rate.
    pub unreviewed: u32,
    /// Faults of those bouts.
    pub waiting_faults: u32,
    /// Faults noted without a bout, most frequent first: in no rate.
    pub loose_faults: Vec<Times>,
}

/// How often something was marked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Times {
    /// Its word.
    pub word: WordId,
    /// As the yard calls it.
    pub name: String,
    /// How often.
    pub times: u32,
}

/// Everything about one exercise.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its word.
    pub exercise: WordId,
    /// As the yard calls it.
    pub name: String,
    /// Its place in what to work on first, from 1.
    pub place: usize,
    /// What that place rests on.
    pub priority: Priority,
    /// Rates, reins, and the trend.
    pub figures: ExerciseLine,
    /// Faults by kind, most frequent first.
    pub faults: Vec<Times>,
    /// Variant by variant by name; attempts without one under `None`.
    pub variants: Vec<(Option<String>, Cell)>,
    /// Right rein against left, where it was ridden on both in one ride.
    pub reins: Option<Comparison>,
    /// What happens after a mistake.
    pub after: Option<AfterMistake>,
    /// The rides behind it, oldest first.
    pub rides: Vec<RideLine>,
}

/// One ride's part in an exercise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RideLine {
    /// Which ride.
    pub ride: RideId,
    /// Its day.
    pub date: NaiveDate,
    /// Faulty attempts of attempts.
    pub tally: Tally,
    /// Faults marked in those attempts.
    pub faults: u32,
}

/// Answers a question about a yard.
#[must_use]
pub fn numbers(yard: &Yard, question: &Question) -> Numbers {
    let observed = observe(
        yard,
        &Filter {
            horse: Some(question.horse),
            from: question.from,
            to: question.to,
        },
    );
    let left_out = remainder(&observed.rides);
    let loose_faults = left_out.loose_faults.iter();
    Numbers {
        question: *question,
        rides: observed.rides.len(),
        lines: lines(yard, &observed),
        unreviewed: left_out.unreviewed,
        waiting_faults: observed.waiting_faults,
        loose_faults: loose_faults
            .filter_map(|count| times(yard, &observed, None, *count))
            .collect(),
    }
}

fn lines(yard: &Yard, observed: &Observed) -> Vec<Line> {
    let rides = &observed.rides;
    let figures = exercise_lines(rides);
    let order = what_first(&figures, rides.len());
    let mut figures: BTreeMap<Key, ExerciseLine> = figures
        .into_iter()
        .map(|line| (line.exercise, line))
        .collect();
    let reins: BTreeMap<Key, Comparison> = compare_reins_lines(rides, SEED).into_iter().collect();
    let after: BTreeMap<Key, AfterMistake> = after_mistakes(rides, SEED)
        .into_iter()
        .map(|found| (found.exercise, found))
        .collect();
    let line = |(place, priority): (usize, Priority)| {
        let key = priority.exercise;
        let figures = figures.remove(&key)?;
        let exercise = observed.keys.word(key)?.clone();
        let faults = figures.faults.iter();
        let faults = faults.filter_map(|count| times(yard, observed, Some(&exercise), *count));
        Some(Line {
            name: yard.words.exercise_name(&exercise),
            place: place + 1,
            priority,
            faults: faults.collect(),
            variants: variants(yard, observed, &exercise, &figures),
            reins: reins.get(&key).copied(),
            after: after.get(&key).copied(),
            rides: ride_lines(yard, observed, &figures),
            exercise,
            figures,
        })
    };
    order.into_iter().enumerate().filter_map(line).collect()
}

fn times(
    yard: &Yard,
    observed: &Observed,
    exercise: Option<&WordId>,
    (key, times): (Key, u32),
) -> Option<Times> {
    let word = observed.keys.word(key)?.clone();
    Some(Times {
        name: yard.words.fault_name(exercise, &word),
        word,
        times,
    })
}

fn variants(
    yard: &Yard,
    observed: &Observed,
    exercise: &WordId,
    figures: &ExerciseLine,
) -> Vec<(Option<String>, Cell)> {
    let name = |key: Key| {
        let word = observed.keys.word(key)?;
        Some(yard.words.variant_name(exercise, word))
    };
    let mut named: Vec<(Option<String>, Cell)> = figures
        .variants
        .iter()
        .map(|(key, cell)| (key.and_then(name), *cell))
        .collect();
    named.sort_by(|one, other| {
        (one.0.is_none(), one.0.as_deref()).cmp(&(other.0.is_none(), other.0.as_deref()))
    });
    named
}

fn ride_lines(yard: &Yard, observed: &Observed, figures: &ExerciseLine) -> Vec<RideLine> {
    let ridden: BTreeMap<u32, &Ridden> =
        observed.rides.iter().map(|ride| (ride.id, ride)).collect();
    let faults = |number: u32| {
        let attempts = ridden.get(&number).map_or(&[][..], |ride| &ride.attempts);
        let own = attempts
            .iter()
            .filter(|attempt| attempt.exercise == figures.exercise);
        u32::try_from(own.map(|attempt| attempt.faults.len()).sum::<usize>()).unwrap_or(u32::MAX)
    };
    let line = |point: &reinback_analysis::RidePoint| {
        let ride = yard.ride(observed.ride_id(point.ride)?)?;
        Some(RideLine {
            ride: ride.id,
            date: ride.head.date,
            tally: point.tally,
            faults: faults(point.ride),
        })
    };
    figures.points.iter().filter_map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample;

    fn of_sample(yard: &Yard) -> Numbers {
        let question = Question {
            horse: sample::horse(),
            from: None,
            to: None,
        };
        numbers(yard, &question)
    }

    #[test]
    fn the_sample_is_counted_as_it_was_made() {
        let found = of_sample(&sample::yard());
        assert_eq!(found.rides, sample::RIDES);
        let names: Vec<&str> = found.lines.iter().map(|line| line.name.as_str()).collect();
        assert_eq!(
            names,
            ["half-pass", "halt"],
            "what goes wrong oftener leads"
        );
        let half_pass = &found.lines[0];
        assert_eq!(half_pass.figures.all.rate.tally, sample::HALF_PASS);
        assert_eq!(half_pass.rides.len(), sample::RIDES);
        let faults: u32 = half_pass.rides.iter().map(|ride| ride.faults).sum();
        assert_eq!(faults, half_pass.figures.all.faults);
        assert!(
            half_pass.reins.is_some(),
            "half-pass was ridden on both reins"
        );
        assert_eq!(found.unreviewed, sample::UNREVIEWED);
    }

    #[test]
    fn a_period_leaves_the_other_rides_out() {
        let yard = sample::yard();
        let question = Question {
            horse: sample::horse(),
            from: Some(sample::day(2)),
            to: Some(sample::day(3)),
        };
        let found = numbers(&yard, &question);
        assert_eq!(found.rides, 2);
        let days: Vec<NaiveDate> = found.lines[0].rides.iter().map(|ride| ride.date).collect();
        assert_eq!(days, [sample::day(2), sample::day(3)]);
    }

    #[test]
    fn reins_and_rides_add_up() {
        for line in of_sample(&sample::yard()).lines {
            let figures = &line.figures;
            let by_rein =
                figures.left.rate.tally + figures.right.rate.tally + figures.unsided.rate.tally;
            assert_eq!(by_rein, figures.all.rate.tally, "{}", line.name);
            let by_ride: Tally = line.rides.iter().map(|ride| ride.tally).sum();
            assert_eq!(by_ride, figures.all.rate.tally, "{}", line.name);
        }
    }
}
