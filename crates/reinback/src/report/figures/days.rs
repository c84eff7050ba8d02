//! Which days are written along an axis.

use chrono::{Datelike as _, Months, NaiveDate};

use crate::figure::{Axis, AxisMark};
use crate::said::Say;

/// Marks along the days, at most.
const MARKS: usize = 7;

/// The place of a day on an axis: days since 1 January 1970.
pub(crate) fn number(date: NaiveDate) -> f64 {
    f64::from(date.to_epoch_days())
}

/// An axis from one day to another, with a little room at its ends.
pub(crate) fn axis(first: NaiveDate, last: NaiveDate, say: &Say) -> Axis {
    let edge = ((number(last) - number(first)) * 0.03).max(1.0);
    let marks = marks(first, last, MARKS);
    let marks = marks.into_iter().map(|day| AxisMark {
        at: number(day),
        text: day_label(say, number(day), first, last),
    });
    Axis {
        title: String::new(),
        from: number(first) - edge,
        to: number(last) + edge,
        marks: marks.collect(),
        grid: true,
    }
}

/// "4 May", with the year where more than one is shown.
fn day_label(say: &Say, value: f64, first: NaiveDate, last: NaiveDate) -> String {
    let Some(day) = NaiveDate::from_epoch_days(value.round() as i32) else {
        return String::new();
    };
    if last - first > chrono::TimeDelta::days(500) {
        say.month_of_year(day)
    } else {
        say.day_of_month(day)
    }
}

/// Days to mark between two days, at most so many: every day, every week, or firsts of months.
fn marks(first: NaiveDate, last: NaiveDate, most: usize) -> Vec<NaiveDate> {
    let most = most.max(2);
    for step in [1_u64, 2, 7, 14] {
        let marks: Vec<NaiveDate> = first
            .iter_days()
            .step_by(step as usize)
            .take_while(|day| *day <= last)
            .take(most + 1)
            .collect();
        if marks.len() <= most {
            return marks;
        }
    }
    for step in [1, 2, 3, 6, 12, 24, 60, 120] {
        let marks = months(first, last, step, most + 1);
        if marks.len() <= most {
            return marks;
        }
    }
    vec![first, last]
}

/// The firsts of every so many months, counted from January.
fn months(first: NaiveDate, last: NaiveDate, step: u32, most: usize) -> Vec<NaiveDate> {
    let january = NaiveDate::from_ymd_opt(first.year(), 1, 1).unwrap_or(first);
    (0..)
        .map_while(|at| january.checked_add_months(Months::new(at * step)))
        .take_while(|day| *day <= last)
        .filter(|day| *day >= first)
        .take(most)
        .collect()
}

#[cfg(test)]
mod tests {
    use chrono::Days;
    use proptest::prelude::*;

    use super::*;

    fn check_marks(first: &str, span: u64, expect: &[&str]) {
        let first: NaiveDate = first.parse().expect("a day");
        let marks = marks(first, first + Days::new(span), MARKS);
        let found: Vec<String> = marks.iter().map(ToString::to_string).collect();
        assert_eq!(found, expect);
    }

    #[test]
    fn marks_stand_where_a_rider_counts() {
        check_marks("2026-05-04", 0, &["2026-05-04"]);
        check_marks(
            "2026-05-04",
            27,
            &["2026-05-04", "2026-05-11", "2026-05-18", "2026-05-25"],
        );
        check_marks(
            "2026-01-20",
            120,
            &["2026-02-01", "2026-03-01", "2026-04-01", "2026-05-01"],
        );
    }

    proptest! {
        #[test]
        fn marks_are_few_in_order_and_inside(start in 0_u64..20_000, span in 0_u64..30_000) {
            let first = NaiveDate::from_ymd_opt(1990, 1, 1).expect("a day") + Days::new(start);
            let last = first + Days::new(span);
            let marks = marks(first, last, MARKS);
            prop_assert!(!marks.is_empty() && marks.len() <= MARKS, "{marks:?}");
            prop_assert!(marks.windows(2).all(|pair| pair[0] < pair[1]), "{marks:?}");
            prop_assert!(marks.iter().all(|day| first <= *day && *day <= last), "{marks:?}");
        }
    }
}
