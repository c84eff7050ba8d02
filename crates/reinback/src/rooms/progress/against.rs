//! What the days looked at are compared with.

use chrono::{Datelike as _, Months, NaiveDate};

use super::period::{self, Period, Unclear};
use crate::report::numbers::Days;
use crate::said::{Earlier, Say};

/// What was chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Against {
    /// Whether anything is compared.
    pub(super) wanted: bool,
    /// The day typed that parts earlier from later, where a period has none before it of itself.
    pub(super) parting: String,
}

impl Default for Against {
    fn default() -> Self {
        Self {
            wanted: true,
            parting: String::new(),
        }
    }
}

/// The days asked about, and those before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Asked {
    /// The days asked about.
    pub(super) days: Days,
    /// The days they are compared with.
    pub(super) against: Option<(Days, Earlier)>,
}

impl Against {
    /// Whether a day has to be typed to part these days.
    pub(super) const fn needs_a_day(period: Period) -> bool {
        matches!(period, Period::Everything | Period::Days)
    }

    /// In the list.
    pub(super) fn name(wanted: bool, period: Period, say: &Say, today: NaiveDate) -> String {
        match period {
            _ if !wanted => say.plain("against-nothing"),
            Period::FourWeeks => say.plain("against-28-days"),
            Period::ThisMonth => {
                let last = today.checked_sub_months(Months::new(1)).unwrap_or(today);
                say.text("against-last-month", &[("month", say.month(last).into())])
            }
            Period::ThreeMonths => say.plain("against-three-months"),
            Period::Everything | Period::Days => say.plain("against-before"),
        }
    }

    /// The days of a choice and those before; nothing before where the day between is not typed
    /// yet.
    ///
    /// # Errors
    /// What is wrong with what was typed.
    pub(super) fn asked(
        &self,
        period: Period,
        typed: &[String; 2],
        today: NaiveDate,
    ) -> Result<Asked, Unclear> {
        let days = period::bounds(period, typed, today)?;
        let alone = Asked {
            days,
            against: None,
        };
        if !self.wanted {
            return Ok(alone);
        }
        if !Self::needs_a_day(period) {
            let against = before(period, days, today);
            return Ok(Asked { against, ..alone });
        }
        Ok(match period::parse(&self.parting)? {
            Some(day) => parted(days, day),
            None => alone,
        })
    }
}

/// The stretch as long right before; the whole month before a month that runs.
fn before(period: Period, days: Days, today: NaiveDate) -> Option<(Days, Earlier)> {
    let ends = days.from?.pred_opt()?;
    let (begins, earlier) = match period {
        Period::FourWeeks => (
            ends.checked_sub_days(chrono::Days::new(27))?,
            Earlier::Days28,
        ),
        Period::ThisMonth => (ends.with_day(1)?, Earlier::LastMonth),
        Period::ThreeMonths => (period::after_months_back(today, 6)?, Earlier::ThreeMonths),
        Period::Everything | Period::Days => return None,
    };
    let days = Days {
        from: Some(begins),
        to: Some(ends),
    };
    Some((days, earlier))
}

/// The same days in two parts; the day itself belongs to the later.
fn parted(days: Days, day: NaiveDate) -> Asked {
    let later = Days {
        from: days.from.max(Some(day)),
        ..days
    };
    let last = day.pred_opt().unwrap_or(day);
    let earlier = Days {
        to: Some(days.to.map_or(last, |to| to.min(last))),
        ..days
    };
    Asked {
        days: later,
        against: Some((earlier, Earlier::Before(day))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().expect("a day")
    }

    fn check(period: Period, today: &str, now: [&str; 2], before: [&str; 2]) {
        let asked = Against::default().asked(period, &Default::default(), day(today));
        let asked = asked.expect("days");
        let of = |[from, to]: [&str; 2]| Days {
            from: Some(day(from)),
            to: Some(day(to)),
        };
        assert_eq!(asked.days, of(now), "{period:?}");
        assert_eq!(
            asked.against.map(|(days, _)| days),
            Some(of(before)),
            "{period:?}"
        );
    }

    #[test]
    fn days_before_end_where_the_days_asked_about_begin() {
        check(
            Period::FourWeeks,
            "2026-05-28",
            ["2026-05-01", "2026-05-28"],
            ["2026-04-03", "2026-04-30"],
        );
        // A month to date is set against the whole month before, also where that is shorter.
        check(
            Period::ThisMonth,
            "2026-03-31",
            ["2026-03-01", "2026-03-31"],
            ["2026-02-01", "2026-02-28"],
        );
        check(
            Period::ThisMonth,
            "2026-01-01",
            ["2026-01-01", "2026-01-01"],
            ["2025-12-01", "2025-12-31"],
        );
        check(
            Period::ThreeMonths,
            "2026-05-28",
            ["2026-03-01", "2026-05-28"],
            ["2025-11-29", "2026-02-28"],
        );
    }

    #[test]
    fn a_day_parts_all_rides_in_two() {
        let mut against = Against::default();
        let asked = |against: &Against, from: &str, to: &str| {
            let typed = [from.into(), to.into()];
            let period = if from.is_empty() && to.is_empty() {
                Period::Everything
            } else {
                Period::Days
            };
            against.asked(period, &typed, day("2026-05-28"))
        };
        let nothing_typed = asked(&against, "", "").expect("days");
        assert_eq!(nothing_typed.against, None);
        against.parting = "4.5.2026".into();
        let found = asked(&against, "", "").expect("days");
        assert_eq!(
            found.days,
            Days {
                from: Some(day("2026-05-04")),
                to: None
            }
        );
        let before = Days {
            from: None,
            to: Some(day("2026-05-03")),
        };
        let when = Earlier::Before(day("2026-05-04"));
        assert_eq!(found.against, Some((before, when)));
        // A day outside leaves one part empty, and never a day in both.
        for (from, to) in [("2026-06-01", "2026-06-30"), ("2026-01-01", "2026-02-01")] {
            let found = asked(&against, from, to).expect("days");
            let (before, _) = found.against.expect("two parts");
            assert!(!found.days.share_a_day(before), "{found:?}");
        }
        against.parting = "soon".into();
        let why = asked(&against, "", "");
        assert_eq!(why, Err(Unclear::NotADay("soon".into())));
        against.wanted = false;
        assert!(asked(&against, "", "").is_ok_and(|asked| asked.against.is_none()));
    }
}
