//! Which days are looked at, and which they are compared with: a rider's choice, turned into days.
//!
//! **Invariant:** pure; the same choice, yard and day give the same days everywhere.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{Datelike as _, Months, NaiveDate};
use reinback_analysis::compare::MIN_RIDES_PER_PERIOD;
use reinback_yard::{HorseId, Ride, Yard};

use super::numbers::{Days, Question, Reins, Whose};
use crate::said::Earlier;

/// How many days are looked at, and compared with as many, in the place of a month with too few
/// rides. Four whole weeks, so that every day of the week is in both as often. Our own choice.
const FOUR_WEEKS: u32 = 28;

/// How far months are stepped back: longer than anybody rides.
const MOST_MONTHS_BACK: u32 = 1_200;

/// A choice of days.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Span {
    /// A calendar month: so many months before the one that runs. That one is looked at up to
    /// today.
    Month(u32),
    /// Today and the 27 days before.
    FourWeeks,
    /// Up to and with today, from the day after the same day three months ago.
    ThreeMonths,
    /// Every ride.
    Everything,
    /// Typed days.
    Typed,
}

impl Span {
    /// One month back or forward; `None` where there is no such step.
    #[must_use]
    pub const fn stepped(self, forward: bool) -> Option<Self> {
        match self {
            Self::Month(back) if !forward && back < MOST_MONTHS_BACK => Some(Self::Month(back + 1)),
            Self::Month(back) if forward && back > 0 => Some(Self::Month(back - 1)),
            _ => None,
        }
    }

    /// What its days can be compared with; what is compared at first leads.
    #[must_use]
    pub const fn comparisons(self) -> &'static [Against] {
        use Against::{DayBetween, Earlier, Nothing, Reins, Typed};
        match self {
            Self::Month(_) | Self::FourWeeks | Self::ThreeMonths => {
                &[Earlier, Typed, Reins, Nothing]
            }
            Self::Everything => &[DayBetween, Reins, Nothing],
            Self::Typed => &[Earlier, Typed, DayBetween, Reins, Nothing],
        }
    }

    /// The first day of the month it is, where it is one.
    #[must_use]
    pub fn month(self, today: NaiveDate) -> Option<NaiveDate> {
        match self {
            Self::Month(back) => today.checked_sub_months(Months::new(back))?.with_day(1),
            _ => None,
        }
    }
}

/// What the days are compared with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Against {
    /// The whole month before a month, else as many days right before.
    Earlier,
    /// Typed days.
    Typed,
    /// The days before a typed day with those from it on.
    DayBetween,
    /// Not other days: the left rein with the right.
    Reins,
    /// Nothing.
    Nothing,
}

/// What a rider has chosen and typed. What was typed stays while something else is chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// Which days.
    pub span: Span,
    /// Whether they were chosen, and are shown however few rides they have.
    pub by_hand: bool,
    /// What they are compared with, where that can be; see [`Choice::against`].
    pub against: Against,
    /// The days typed to be looked at, first and last.
    pub typed: [String; 2],
    /// The days typed to be compared with, first and last.
    pub others: [String; 2],
    /// The day typed that parts earlier from later; it belongs to the later.
    pub between: String,
}

impl Default for Choice {
    fn default() -> Self {
        Self {
            span: Span::Month(0),
            by_hand: false,
            against: Against::Earlier,
            typed: Default::default(),
            others: Default::default(),
            between: String::new(),
        }
    }
}

/// The days asked about, and those they are compared with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// The days asked about.
    pub days: Days,
    /// The days they are compared with.
    pub against: Option<(Days, Earlier)>,
    /// Where these are a month that nobody chose, and days to compare it with neither, its first
    /// day: with too few rides in it, other days are looked at.
    pub unchosen: Option<NaiveDate>,
}

impl Asked {
    /// How the days compared with are called.
    #[must_use]
    pub fn earlier(&self) -> Option<Earlier> {
        self.against.map(|(_, earlier)| earlier)
    }

    /// The question about somebody in these days.
    #[must_use]
    pub fn question(&self, whose: Whose, reins: Reins) -> Question {
        Question {
            whose,
            days: self.days,
            against: self.against.map(|(days, _)| days),
            reins,
        }
    }
}

impl From<Days> for Asked {
    fn from(days: Days) -> Self {
        Self {
            days,
            against: None,
            unchosen: None,
        }
    }
}

/// Why other days are shown than the running month.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Instead {
    /// The first day of the month.
    pub month: NaiveDate,
    /// What it has too few of.
    pub few: Few,
    /// The day of the newest ride that counts: the last of the days shown.
    pub latest: NaiveDate,
}

impl Instead {
    /// Whether the days shown end before the last 28.
    #[must_use]
    pub fn is_old(&self, today: NaiveDate) -> bool {
        four_weeks(today)
            .from
            .is_some_and(|first| self.latest < first)
    }
}

/// What a month has too few of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Few {
    /// Rides that count, of the one horse in work.
    Rides(usize),
    /// Horses with enough rides that count, of those in work.
    Horses {
        /// So many have enough.
        enough: usize,
        /// Of so many.
        of: usize,
    },
}

/// What is wrong with typed days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unclear {
    /// This is not a day.
    NotADay(String),
    /// The last day is before the first.
    TurnedRound,
}

impl Choice {
    /// What the days are compared with.
    #[must_use]
    pub fn against(&self) -> Against {
        let offered = self.span.comparisons();
        if offered.contains(&self.against) {
            self.against
        } else {
            offered[0]
        }
    }

    /// The days chosen and those compared with; nothing to compare with where it is not typed yet.
    ///
    /// # Errors
    /// What is wrong with what was typed.
    pub fn asked(&self, today: NaiveDate) -> Result<Asked, Unclear> {
        let days = self.days(today)?;
        let against = match self.against() {
            Against::Nothing | Against::Reins => None,
            Against::Earlier => self.earlier(self.span, today),
            Against::Typed => {
                let others = typed_days(&self.others)?;
                (others != Days::default()).then_some((others, Earlier::Others(others)))
            }
            Against::DayBetween => match parse(&self.between)? {
                Some(day) => return Ok(parted(days, day)),
                None => None,
            },
        };
        // Who types days to compare with means the month they are typed against.
        let chosen = self.by_hand || self.against() == Against::Typed;
        let running = self.span.month(today);
        Ok(Asked {
            days,
            against,
            unchosen: running.filter(|_| !chosen && self.span == Span::Month(0)),
        })
    }

    /// The days that are before those of a span by themselves; nothing where there are none, or
    /// where what was typed is unclear.
    #[must_use]
    pub fn earlier(&self, span: Span, today: NaiveDate) -> Option<(Days, Earlier)> {
        let days = self.days_of(span, today).ok()?;
        earlier(span, days, today)
    }

    /// The days chosen.
    ///
    /// # Errors
    /// What is wrong with what was typed.
    pub fn days(&self, today: NaiveDate) -> Result<Days, Unclear> {
        self.days_of(self.span, today)
    }

    fn days_of(&self, span: Span, today: NaiveDate) -> Result<Days, Unclear> {
        let since = |from: Option<NaiveDate>| Days {
            from,
            to: Some(today),
        };
        Ok(match span {
            Span::Month(0) => since(today.with_day(1)),
            Span::Month(_) => {
                let first = span.month(today);
                Days {
                    from: first,
                    to: first.and_then(last_of_month),
                }
            }
            Span::FourWeeks => four_weeks(today),
            Span::ThreeMonths => since(after_months_back(today, 3)),
            Span::Everything => Days::default(),
            Span::Typed => typed_days(&self.typed)?,
        })
    }
}

/// What is shown of what was asked: a month that nobody chose gives way, where it has too few rides
/// to compare, to the latest 28 days that have some, against the 28 before.
///
/// Several horses are counted as one here, in the same days: the month gives way for all of them
/// where fewer than half of those in work have enough rides in it. In work is a horse with a ride in
/// the month or in the 28 days. Our own choice. Where each is looked at by itself, each is settled
/// by itself.
///
/// A ride counts here if it has a reviewed attempt.
#[must_use]
pub fn settled(
    yard: &Yard,
    horses: &[HorseId],
    asked: Asked,
    today: NaiveDate,
) -> (Asked, Option<Instead>) {
    let rides = yard.rides.values();
    let own = rides.filter(|ride| horses.contains(&ride.head.horse));
    settled_of(own, asked, today)
}

/// The same of the rides of those horses.
pub(super) fn settled_of<'a>(
    rides: impl IntoIterator<Item = &'a Arc<Ride>>,
    asked: Asked,
    today: NaiveDate,
) -> (Asked, Option<Instead>) {
    let Some(month) = asked.unchosen else {
        return (asked, None);
    };
    let rides: Vec<(HorseId, NaiveDate)> = rides
        .into_iter()
        .filter(|ride| counts(ride))
        .map(|ride| (ride.head.horse, ride.head.date))
        .collect();
    let ridden = rides.iter().map(|(_, date)| *date);
    let Some(latest) = ridden.filter(|date| *date <= today).max() else {
        return (asked, None);
    };
    let days = four_weeks(latest);
    // Rides in the month of each horse in work.
    let mut in_work: BTreeMap<HorseId, usize> = BTreeMap::new();
    for (horse, date) in rides {
        let in_month = asked.days.hold(date);
        if in_month || days.hold(date) {
            *in_work.entry(horse).or_default() += usize::from(in_month);
        }
    }
    let has_enough = |rides: &usize| *rides >= MIN_RIDES_PER_PERIOD;
    let enough = in_work.values().copied().filter(has_enough).count();
    let of = in_work.len();
    if enough * 2 >= of {
        return (asked, None);
    }
    let shown = Asked {
        days,
        against: asked
            .against
            .and_then(|_| earlier(Span::FourWeeks, days, latest)),
        unchosen: None,
    };
    let why = Instead {
        month,
        few: match of {
            1 => Few::Rides(in_work.into_values().sum()),
            _ => Few::Horses { enough, of },
        },
        latest,
    };
    (shown, Some(why))
}

/// Whether a ride has an attempt that is in a rate.
fn counts(ride: &Ride) -> bool {
    let counting = ride.head.counting;
    let mut bouts = ride.bouts.iter();
    bouts.any(|bout| bout.review == counting && bout.reviewed && bout.to.is_some())
}

/// The days compared with by themselves: the whole month before a month, else as many days right
/// before. Nothing where there are none, or too many to count.
fn earlier(span: Span, days: Days, today: NaiveDate) -> Option<(Days, Earlier)> {
    let first = days.from?;
    let ends = first.pred_opt()?;
    let (begins, called) = match span {
        Span::Month(0) => (ends.with_day(1)?, Earlier::LastMonth),
        Span::Month(_) => (ends.with_day(1)?, Earlier::Month(ends.with_day(1)?)),
        Span::ThreeMonths => (after_months_back(today, 6)?, Earlier::ThreeMonths),
        Span::FourWeeks | Span::Typed => {
            let many = u32::try_from((days.to? - first).num_days()).ok()?;
            let begins = ends.checked_sub_days(chrono::Days::new(many.into()))?;
            (begins, Earlier::DaysBefore(many.saturating_add(1)))
        }
        Span::Everything => return None,
    };
    let days = Days {
        from: Some(begins),
        to: Some(ends),
    };
    Some((days, called))
}

/// The same days in two parts; the day itself belongs to the later.
fn parted(days: Days, day: NaiveDate) -> Asked {
    let last = day.pred_opt().unwrap_or(day);
    let earlier = Days {
        to: Some(days.to.map_or(last, |to| to.min(last))),
        ..days
    };
    Asked {
        days: Days {
            from: days.from.max(Some(day)),
            ..days
        },
        against: Some((earlier, Earlier::Before(day))),
        unchosen: None,
    }
}

/// A day and the 27 before.
fn four_weeks(last: NaiveDate) -> Days {
    Days {
        from: last.checked_sub_days(chrono::Days::new(u64::from(FOUR_WEEKS) - 1)),
        to: Some(last),
    }
}

fn last_of_month(first: NaiveDate) -> Option<NaiveDate> {
    first.checked_add_months(Months::new(1))?.pred_opt()
}

/// The day after the same day so many months ago.
fn after_months_back(today: NaiveDate, months: u32) -> Option<NaiveDate> {
    today.checked_sub_months(Months::new(months))?.succ_opt()
}

fn typed_days([from, to]: &[String; 2]) -> Result<Days, Unclear> {
    let (from, to) = (parse(from)?, parse(to)?);
    match (from, to) {
        (Some(first), Some(last)) if last < first => Err(Unclear::TurnedRound),
        _ => Ok(Days { from, to }),
    }
}

/// A typed day; an empty field leaves the period open on that side.
fn parse(text: &str) -> Result<Option<NaiveDate>, Unclear> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    ["%Y-%m-%d", "%d.%m.%Y"]
        .iter()
        .find_map(|format| NaiveDate::parse_from_str(text, format).ok())
        .map(Some)
        .ok_or_else(|| Unclear::NotADay(text.to_owned()))
}

#[cfg(test)]
mod tests;
