//! Which days are looked at.

use chrono::{Datelike as _, Days, Months, NaiveDate};

use crate::report::numbers::Days as Stretch;
use crate::said::Say;

/// A choice of days.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Period {
    /// Today and the 27 days before.
    FourWeeks,
    /// From the first of this month to today.
    ThisMonth,
    /// Up to and with today, from the day after the same day three months ago.
    #[default]
    ThreeMonths,
    /// Every ride.
    Everything,
    /// Typed days.
    Days,
}

impl Period {
    /// All of them, in the order shown.
    pub(super) const ALL: [Self; 5] = [
        Self::FourWeeks,
        Self::ThisMonth,
        Self::ThreeMonths,
        Self::Everything,
        Self::Days,
    ];

    /// On its button.
    pub(super) fn name(self, say: &Say, today: NaiveDate) -> String {
        match self {
            Self::FourWeeks => say.plain("period-28-days"),
            Self::ThisMonth => say.text("period-this-month", &[("month", say.month(today).into())]),
            Self::ThreeMonths => say.plain("period-three-months"),
            Self::Everything => say.plain("period-everything"),
            Self::Days => say.plain("period-days"),
        }
    }
}

/// What is wrong with typed days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Unclear {
    /// This is not a day.
    NotADay(String),
    /// The last day is before the first.
    TurnedRound,
}

impl Unclear {
    /// A sentence about it.
    pub(super) fn said(&self, say: &Say) -> String {
        match self {
            Self::NotADay(text) => say.text("day-unread", &[("text", text.as_str().into())]),
            Self::TurnedRound => say.plain("days-turned"),
        }
    }
}

/// The days of a choice; `typed` are the two fields.
///
/// # Errors
/// What is wrong with what was typed.
pub(super) fn bounds(
    period: Period,
    typed: &[String; 2],
    today: NaiveDate,
) -> Result<Stretch, Unclear> {
    let since = |from: Option<NaiveDate>| {
        Ok(Stretch {
            from,
            to: Some(today),
        })
    };
    match period {
        Period::FourWeeks => since(today.checked_sub_days(Days::new(27))),
        Period::ThisMonth => since(today.with_day(1)),
        Period::ThreeMonths => since(after_months_back(today, 3)),
        Period::Everything => Ok(Stretch::default()),
        Period::Days => {
            let (from, to) = (parse(&typed[0])?, parse(&typed[1])?);
            match (from, to) {
                (Some(first), Some(last)) if last < first => Err(Unclear::TurnedRound),
                _ => Ok(Stretch { from, to }),
            }
        }
    }
}

/// The day after the same day so many months ago.
pub(super) fn after_months_back(today: NaiveDate, months: u32) -> Option<NaiveDate> {
    today.checked_sub_months(Months::new(months))?.succ_opt()
}

/// A typed day; an empty field leaves the period open on that side.
pub(super) fn parse(text: &str) -> Result<Option<NaiveDate>, Unclear> {
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
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().expect("a day")
    }

    fn check(period: Period, today: &str, from: &str) {
        let found = bounds(period, &Default::default(), day(today));
        let expect = Stretch {
            from: Some(day(from)),
            to: Some(day(today)),
        };
        assert_eq!(found, Ok(expect), "{period:?}");
    }

    #[test]
    fn periods_reach_back_as_they_say() {
        check(Period::FourWeeks, "2026-05-28", "2026-05-01");
        check(Period::ThisMonth, "2026-05-28", "2026-05-01");
        check(Period::ThisMonth, "2026-05-01", "2026-05-01");
        check(Period::ThreeMonths, "2026-05-28", "2026-03-01");
        // February has no 31st: three months before 31 May is its last day.
        check(Period::ThreeMonths, "2026-05-31", "2026-03-01");
        let all = bounds(Period::Everything, &Default::default(), day("2026-05-28"));
        assert_eq!(all, Ok(Stretch::default()));
    }

    #[test]
    fn typed_days_are_read_or_refused_in_words() {
        let typed = |from: &str, to: &str| {
            bounds(Period::Days, &[from.into(), to.into()], day("2026-05-28"))
        };
        assert_eq!(
            typed("2026-03-01", " 2.4.2026 "),
            Ok(Stretch {
                from: Some(day("2026-03-01")),
                to: Some(day("2026-04-02"))
            })
        );
        assert_eq!(typed("", ""), Ok(Stretch::default()));
        let not_a_day = |text: &str| Unclear::NotADay(text.to_owned());
        for (from, to, expect) in [
            ("soon", "", not_a_day("soon")),
            ("2026-02-30", "", not_a_day("2026-02-30")),
            ("2026-03-02", "2026-03-01", Unclear::TurnedRound),
        ] {
            assert_eq!(typed(from, to), Err(expect));
        }
    }
}
