//! The numbers of one horse, or of all, in one period, and against another: what the Progress
//! room shows and the report prints.
//!
//! **Invariant:** pure; the same yard and question give the same numbers everywhere.

use std::sync::Arc;

use chrono::NaiveDate;
use reinback_analysis::{
    AfterMistake, Cell, Clear, Comparison, Estimate, ExerciseLine, Priority, Shortage, Tally,
    Timed, Verdict,
};
use reinback_yard::{HorseId, Rein, Ride, RideId, WordId, Yard};

use super::books::Books;

/// Whose numbers, of which days, against which, and of which attempts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Question {
    /// One horse's, or those of all.
    pub whose: Whose,
    /// The days asked about.
    pub days: Days,
    /// Other days to compare them with.
    pub against: Option<Days>,
    /// Which attempts.
    pub reins: Reins,
}

impl Question {
    /// Whether a ride is one of those asked about.
    #[must_use]
    pub fn holds(&self, ride: &Ride) -> bool {
        let horse = self.whose.horse();
        horse.is_none_or(|horse| ride.head.horse == horse) && self.days.hold(ride.head.date)
    }

    /// The same of the days compared with alone; `None` where there are none.
    #[must_use]
    pub fn earlier(&self) -> Option<Self> {
        self.against.map(|days| Self {
            days,
            against: None,
            ..*self
        })
    }

    /// Whether a day is one of those compared with and not also of those asked about.
    #[must_use]
    pub fn is_before(&self, day: NaiveDate) -> bool {
        let against = self.against.is_some_and(|days| days.hold(day));
        against && !self.days.hold(day)
    }
}

/// Attempts by their rein.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Reins {
    /// All of them, also those without a rein.
    #[default]
    Both,
    /// Those on this rein only.
    Only(Rein),
}

impl Reins {
    /// Whether an attempt on this rein is one of them.
    #[must_use]
    pub fn hold(self, rein: Option<Rein>) -> bool {
        match self {
            Self::Both => true,
            Self::Only(only) => rein == Some(only),
        }
    }
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

    /// The horses of a yard that are meant.
    #[must_use]
    pub fn horses(self, yard: &Yard) -> Vec<HorseId> {
        match self {
            Self::One(horse) => vec![horse],
            Self::All => yard.horses.iter().map(|horse| horse.id).collect(),
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

    /// Whether these days end the day before others begin.
    #[must_use]
    pub fn lead_to(self, other: Self) -> bool {
        let next = self.to.and_then(|day| day.succ_opt());
        next.is_some() && next == other.from
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
    /// Of those, rides with a reviewed attempt.
    pub reviewed: usize,
    /// Rides in the days compared with, marked or not; 0 where none were asked for.
    pub rides_against: usize,
    /// Horses ridden in the days asked about.
    pub horses: usize,
    /// Their newest ride, whatever its day.
    pub newest: Option<(NaiveDate, RideId)>,
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
    /// The faults and the time behind that: of all horses, of those ridden in both.
    pub timed: Timed,
}

impl Compared {
    /// What may be said where this is counted.
    ///
    /// Of faults a minute less may be said than of faulty attempts: their range takes faults to come
    /// singly, so it must leave out "as many" and the attempts must have gone the same way.
    #[must_use]
    pub fn verdict(&self, measure: Measure) -> Verdict {
        match (measure, self.rate.verdict, self.per_minute) {
            (Measure::Attempts, verdict, _) => verdict,
            (Measure::Faults, Verdict::TooFew(why), _)
            | (Measure::Faults, _, Err(why @ Shortage::NoTime)) => Verdict::TooFew(why),
            // Over none before there is no ratio, yet they may be clearly more.
            (Measure::Faults, Verdict::More, Err(Shortage::NoFaultsToCompare))
                if self.timed.more_than_none =>
            {
                Verdict::More
            }
            (Measure::Faults, Verdict::Fewer, Ok(ratio)) if ratio.high < 1.0 => Verdict::Fewer,
            (Measure::Faults, Verdict::More, Ok(ratio)) if ratio.low > 1.0 => Verdict::More,
            (Measure::Faults, ..) => Verdict::NoClearDifference,
        }
    }
}

/// What of the attempts is counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Measure {
    /// How many of them were faulty.
    #[default]
    Attempts,
    /// Their faults, over the time ridden.
    Faults,
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
    /// What that place rests on: how often it goes wrong,
    pub priority: Priority,
    /// and what is clear about it beyond that.
    pub clear: Clear,
    /// Rates, reins, and the trend.
    pub figures: ExerciseLine,
    /// Faults by kind, most frequent first.
    pub faults: Vec<Times>,
    /// Variant by variant by name; attempts without one come last.
    pub variants: Vec<VariantLine>,
    /// Right rein against left, where it was ridden on both in one ride.
    pub reins: Option<Comparison>,
    /// What happens after a mistake.
    pub after: Option<AfterMistake>,
    /// The days compared with, where some were asked for.
    pub compared: Option<Compared>,
    /// The rides behind it, oldest first.
    pub rides: Arc<[RideLine]>,
    /// The same to be drawn: ride by ride, or month by month where they are many.
    pub course: Arc<[CoursePoint]>,
    /// That of the days compared with, where they end the day before the others begin.
    pub course_before: Arc<[CoursePoint]>,
}

/// One ride of a course, or one month of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CoursePoint {
    /// The ride; `None` for a month.
    pub ride: Option<RideId>,
    /// Its first day with a ride.
    pub from: NaiveDate,
    /// Its last day with a ride.
    pub to: NaiveDate,
    /// How many rides.
    pub rides: u32,
    /// Faulty attempts of attempts.
    pub tally: Tally,
    /// Faults marked in those attempts.
    pub faults: u32,
}

/// The attempts of one variant.
#[derive(Clone, Debug, PartialEq)]
pub struct VariantLine {
    /// Its word; `None` for attempts without one.
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

/// Answers one question about a yard. Whoever has another to ask keeps the [`Books`].
#[must_use]
pub fn numbers(yard: &Yard, question: &Question) -> Numbers {
    Books::default().answer(yard, question)
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
            reins: Reins::Both,
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
            reins: Reins::Both,
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
            reins: Reins::Both,
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

    /// Days further apart would leave a picture of them empty in the middle.
    #[test]
    fn the_rides_before_are_drawn_where_their_days_lead_to_the_others() {
        for (ends, expect) in [(sample::day(5).pred_opt(), 5), (Some(sample::day(4)), 0)] {
            let question = Question {
                whose: Whose::One(sample::horse()),
                days: days(5, 9),
                against: Some(Days {
                    from: None,
                    to: ends,
                }),
                reins: Reins::Both,
            };
            let found = numbers(&sample::yard(), &question);
            let drawn: Vec<NaiveDate> = found.lines[0]
                .course_before
                .iter()
                .map(|ride| ride.from)
                .collect();
            let all = [0, 1, 2, 3, 4].map(sample::day);
            assert_eq!(drawn, all[..expect]);
        }
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
