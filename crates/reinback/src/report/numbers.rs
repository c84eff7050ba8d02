//! The numbers of one horse, or of all, in one period, and against another: what the Progress
//! room shows and the report prints.
//!
//! **Invariant:** pure; the same yard and question give the same numbers everywhere.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use reinback_analysis::compare::{compare_lines, compare_per_minute};
use reinback_analysis::trend::TREND_SEED;
use reinback_analysis::{
    AfterMistake, Cell, Comparison, Estimate, ExerciseLine, FaultRate, Key, PerMinute, Priority,
    Ride as Ridden, Shortage, Tally, after_mistakes, compare_reins_lines, exercise_lines,
    remainder, what_first,
};
use reinback_yard::{Filter, HorseId, Observed, RideId, WordId, Yard, observe};

/// The seed of every shuffle, so that a number never changes by itself.
const SEED: u64 = TREND_SEED;

/// Whose numbers, of which days, and against which.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Question {
    /// One horse's, or those of all.
    pub whose: Whose,
    /// The days asked about.
    pub days: Days,
    /// Earlier days to compare them with.
    pub against: Option<Days>,
}

/// Whose numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Whose {
    /// One horse's.
    One(HorseId),
    /// Those of all horses, each compared with itself only.
    All,
}

impl Whose {
    /// The horse; `None` for all.
    #[must_use]
    pub const fn horse(self) -> Option<HorseId> {
        match self {
            Self::One(horse) => Some(horse),
            Self::All => None,
        }
    }
}

/// A stretch of days, its ends among them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Days {
    /// From this day on; from the first ride if `None`.
    pub from: Option<NaiveDate>,
    /// Up to and with this day; to the last ride if `None`.
    pub to: Option<NaiveDate>,
}

impl Days {
    /// Whether a day is one of them.
    #[must_use]
    pub fn hold(self, day: NaiveDate) -> bool {
        self.from.is_none_or(|from| from <= day) && self.to.is_none_or(|to| day <= to)
    }

    /// Whether any day is in both.
    #[must_use]
    pub fn share_a_day(self, other: Self) -> bool {
        let apart = |end: Option<NaiveDate>, start: Option<NaiveDate>| {
            end.zip(start).is_some_and(|(end, start)| end < start)
        };
        !apart(self.to, other.from) && !apart(other.to, self.from)
    }
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Numbers {
    /// What was asked.
    pub question: Question,
    /// Rides in the days asked about, marked or not.
    pub rides: usize,
    /// Rides in the days compared with, marked or not; 0 where none were asked for.
    pub rides_against: usize,
    /// Horses ridden in the days asked about.
    pub horses: usize,
    /// One line for each exercise with a reviewed attempt, what to work on first at the top.
    pub lines: Vec<Line>,
    /// Bouts that are not reviewed: in no rate.
    pub unreviewed: u32,
    /// Faults of those bouts.
    pub waiting_faults: u32,
    /// Faults noted without a bout, most frequent first: in no rate.
    pub loose_faults: Vec<Times>,
    /// Exercises with reviewed attempts in the days compared with and none in those asked about,
    /// by name.
    pub only_before: Vec<OnlyBefore>,
}

/// An exercise that was ridden before and not since.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OnlyBefore {
    /// Its word.
    pub exercise: WordId,
    /// As the yard calls it.
    pub name: String,
    /// Faulty attempts of attempts in the days compared with.
    pub tally: Tally,
}

/// An exercise against the days before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Compared {
    /// The attempts of the days compared with.
    pub earlier: Cell,
    /// Those days (`before`) and the days asked about (`after`), judged together with the other
    /// lines shown. Of all horses: of those ridden in both.
    pub rate: Comparison,
    /// How many times the faults per minute, after over before. Takes faults to come singly, so
    /// the range is too narrow where they cluster; the verdict is that of `rate`.
    pub per_minute: Result<Estimate, Shortage>,
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
    /// Variant by variant by name, attempts without one last.
    pub variants: Vec<VariantLine>,
    /// Right rein against left, where it was ridden on both in one ride.
    pub reins: Option<Comparison>,
    /// What happens after a mistake.
    pub after: Option<AfterMistake>,
    /// The days compared with, where some were asked for.
    pub compared: Option<Compared>,
    /// The rides behind it, oldest first.
    pub rides: Vec<RideLine>,
}

/// One variant's part in an exercise.
#[derive(Clone, Debug, PartialEq)]
pub struct VariantLine {
    /// Its word; `None` for the attempts without a variant.
    pub word: Option<WordId>,
    /// As the yard calls it.
    pub name: Option<String>,
    /// Their rates.
    pub cell: Cell,
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
    let observed = observed(yard, question.whose, question.days);
    let earlier = question
        .against
        .map(|days| self::observed(yard, question.whose, days));
    let left_out = remainder(&observed.rides);
    let loose_faults = left_out.loose_faults.iter();
    let horses: BTreeSet<HorseId> = observed
        .rides
        .iter()
        .filter_map(|ride| Some(yard.ride(observed.ride_id(ride.id)?)?.head.horse))
        .collect();
    let figures = exercise_lines(&observed.rides);
    let earlier_figures = earlier
        .as_ref()
        .map(|earlier| exercise_lines(&earlier.rides));
    Numbers {
        question: *question,
        rides: observed.rides.len(),
        rides_against: earlier.as_ref().map_or(0, |earlier| earlier.rides.len()),
        horses: horses.len(),
        only_before: only_before(yard, &observed, &figures, earlier_figures.as_deref()),
        unreviewed: left_out.unreviewed,
        waiting_faults: observed.waiting_faults,
        loose_faults: loose_faults
            .filter_map(|count| times(yard, &observed, None, *count))
            .collect(),
        lines: lines(
            (yard, question.whose),
            &observed,
            figures,
            earlier.as_ref().zip(earlier_figures),
        ),
    }
}

fn observed(yard: &Yard, whose: Whose, days: Days) -> Observed {
    observe(
        yard,
        &Filter {
            horse: whose.horse(),
            from: days.from,
            to: days.to,
        },
    )
}

fn only_before(
    yard: &Yard,
    observed: &Observed,
    now: &[ExerciseLine],
    before: Option<&[ExerciseLine]>,
) -> Vec<OnlyBefore> {
    let ridden: BTreeSet<Key> = now.iter().map(|line| line.exercise).collect();
    let gone = before
        .into_iter()
        .flatten()
        .filter(|line| !ridden.contains(&line.exercise));
    let mut named: Vec<OnlyBefore> = gone
        .filter_map(|line| {
            let exercise = observed.keys.word(line.exercise)?.clone();
            Some(OnlyBefore {
                name: yard.words.exercise_name(&exercise),
                tally: line.all.rate.tally,
                exercise,
            })
        })
        .collect();
    named.sort_by(|one, other| (&one.name, &one.exercise).cmp(&(&other.name, &other.exercise)));
    named
}

fn lines(
    (yard, whose): (&Yard, Whose),
    observed: &Observed,
    figures: Vec<ExerciseLine>,
    earlier: Option<(&Observed, Vec<ExerciseLine>)>,
) -> Vec<Line> {
    let rides = &observed.rides;
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
    let mut compared: BTreeMap<Key, Compared> = earlier
        // Of all horses together a difference could be one of which horse was ridden.
        .filter(|_| whose != Whose::All)
        .map(|(earlier, lines)| comparisons(&earlier.rides, &lines, rides, &figures))
        .unwrap_or_default();
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
            compared: compared.remove(&key),
            rides: ride_lines(yard, observed, &figures),
            exercise,
            figures,
        })
    };
    order.into_iter().enumerate().filter_map(line).collect()
}

fn comparisons(
    before: &[Ridden],
    before_lines: &[ExerciseLine],
    after: &[Ridden],
    after_lines: &BTreeMap<Key, ExerciseLine>,
) -> BTreeMap<Key, Compared> {
    let nothing = Cell {
        rate: FaultRate::new(Tally::default()),
        per_minute: PerMinute::new(0, 0),
        faults: 0,
    };
    let earlier: BTreeMap<Key, Cell> = before_lines
        .iter()
        .map(|line| (line.exercise, line.all))
        .collect();
    let compared = compare_lines(before, after, SEED);
    compared
        .into_iter()
        .filter_map(|(key, rate)| {
            let now = after_lines.get(&key)?.all;
            let earlier = earlier.get(&key).copied().unwrap_or(nothing);
            let per_minute = compare_per_minute(&earlier.per_minute, &now.per_minute);
            let compared = Compared {
                earlier,
                rate,
                per_minute,
            };
            Some((key, compared))
        })
        .collect()
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
) -> Vec<VariantLine> {
    let line = |(key, cell): &(Option<Key>, Cell)| {
        let word = key.and_then(|key| observed.keys.word(key)).cloned();
        VariantLine {
            name: word
                .as_ref()
                .map(|word| yard.words.variant_name(exercise, word)),
            word,
            cell: *cell,
        }
    };
    let mut named: Vec<VariantLine> = figures.variants.iter().map(line).collect();
    named.sort_by(|one, other| {
        (one.name.is_none(), &one.name, &one.word).cmp(&(
            other.name.is_none(),
            &other.name,
            &other.word,
        ))
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
            whose: Whose::One(sample::horse()),
            days: Days::default(),
            against: None,
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
            whose: Whose::One(sample::horse()),
            days: days(2, 3),
            against: None,
        };
        let found = numbers(&yard, &question);
        assert_eq!(found.rides, 2);
        let days: Vec<NaiveDate> = found.lines[0].rides.iter().map(|ride| ride.date).collect();
        assert_eq!(days, [sample::day(2), sample::day(3)]);
    }

    fn days(from: u64, to: u64) -> Days {
        Days {
            from: Some(sample::day(from)),
            to: Some(sample::day(to)),
        }
    }

    #[test]
    fn days_share_a_day_only_where_they_meet() {
        let ever = Days::default();
        assert!(ever.share_a_day(days(2, 3)) && days(2, 3).share_a_day(ever));
        assert!(days(0, 2).share_a_day(days(2, 4)));
        assert!(!days(0, 1).share_a_day(days(2, 4)) && !days(2, 4).share_a_day(days(0, 1)));
    }

    #[test]
    fn two_periods_are_compared_line_by_line() {
        let question = Question {
            whose: Whose::One(sample::horse()),
            days: days(5, 9),
            against: Some(days(0, 4)),
        };
        let found = numbers(&sample::yard(), &question);
        assert_eq!((found.rides, found.rides_against), (5, 5));
        let half_pass = found.lines.iter().find(|line| line.name == "half-pass");
        let compared = half_pass.and_then(|line| line.compared).expect("compared");
        // One on each rein faulty in the first five rides, one on the left in the others.
        assert_eq!(compared.earlier.rate.tally.to_string(), "10 of 20");
        assert_eq!(compared.rate.after.tally.to_string(), "5 of 20");
        let halved = compared.per_minute.expect("a ratio");
        assert!((halved.value - 0.5).abs() < 1e-12, "{halved:?}");
        assert!(found.only_before.is_empty());
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
