//! Days and values along an axis.

use chrono::{Datelike as _, Months, NaiveDate};

use super::number;
use crate::figure::{Axis, AxisMark};
use crate::said::Say;

/// Marks along an axis, at most.
const MARKS: u32 = 7;

/// Days from one to another, with room at both ends for what stands on them.
pub(super) fn days(first: NaiveDate, last: NaiveDate, say: &Say) -> Axis {
    let span = last.signed_duration_since(first).num_days().max(0);
    let edge = (span as f64 * 0.03).max(1.0);
    Axis {
        title: String::new(),
        from: number(first) - edge,
        to: number(last) + edge,
        marks: day_marks(first, last, say),
        grid: false,
    }
}

/// Over up to four months days, then the first of months.
fn day_marks(first: NaiveDate, last: NaiveDate, say: &Say) -> Vec<AxisMark> {
    let span = last.signed_duration_since(first).num_days().max(0) as u32;
    let mark = |day: NaiveDate, text: String| AxisMark {
        at: number(day),
        text,
    };
    if span < 120 {
        let step = span.div_ceil(MARKS - 1).max(1);
        let days = first.iter_days().step_by(step as usize);
        let days = days.take_while(|day| *day <= last);
        return days.map(|day| mark(day, say.day_of_month(day))).collect();
    }
    let months = (last.year() - first.year()).unsigned_abs() * 12 + last.month();
    let months = months.saturating_sub(first.month());
    let step = months.div_ceil(MARKS - 1).max(1);
    let begins = first.with_day(1).unwrap_or(first);
    (0..=months / step)
        .filter_map(|at| begins.checked_add_months(Months::new(at * step)))
        .filter(|day| (first..=last).contains(day))
        .map(|day| mark(day, say.month_of_year(day)))
        .collect()
}

/// From one value to another, widened to round numbers with a hairline at each.
pub(super) fn values(low: f64, high: f64, say: &Say) -> Axis {
    let step = round_step((high - low).max(f64::EPSILON) / 4.0);
    let from = (low / step).floor();
    let to = (high / step).ceil().max(from + 1.0);
    let places = if step >= 1.0 {
        0
    } else {
        (-step.log10()).ceil().clamp(0.0, 6.0) as usize
    };
    let count = (to - from).min(20.0) as u32;
    let marks = (0..=count).map(|at| {
        let at = (from + f64::from(at)) * step;
        AxisMark {
            at,
            text: say.decimal(at, places),
        }
    });
    Axis {
        title: String::new(),
        from: from * step,
        to: to * step,
        marks: marks.collect(),
        grid: true,
    }
}

/// 1, 2 or 5 times a power of ten, not below this.
fn round_step(least: f64) -> f64 {
    let power = 10_f64.powf(least.log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0].map(|times| times * power);
    let step = steps.into_iter().find(|step| *step >= least * (1.0 - 1e-9));
    step.unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::said::Language;

    proptest! {
        #[test]
        fn values_are_within_their_axis(low in -1e4_f64..1e4, more in 0.0_f64..1e4) {
            let axis = values(low, low + more, &Say::new(Language::English));
            prop_assert!(axis.from <= low && low + more <= axis.to, "{axis:?}");
            prop_assert!(axis.from < axis.to);
            prop_assert!((2..=8).contains(&axis.marks.len()), "{axis:?}");
            prop_assert!(axis.marks.windows(2).all(|pair| pair[0].at < pair[1].at));
        }

        #[test]
        fn days_are_within_their_axis(first in 0_i32..30_000, span in 0_i32..6_000) {
            let day = |number| NaiveDate::from_epoch_days(number).expect("a day");
            let axis = days(day(first), day(first + span), &Say::new(Language::German));
            prop_assert!(axis.from < f64::from(first) && f64::from(first + span) < axis.to);
            prop_assert!((1..=8).contains(&axis.marks.len()), "{axis:?}");
            let inside = |mark: &AxisMark| axis.from <= mark.at && mark.at <= axis.to;
            prop_assert!(axis.marks.iter().all(inside), "{axis:?}");
            prop_assert!(axis.marks.windows(2).all(|pair| pair[0].at < pair[1].at));
        }
    }

    #[test]
    fn steps_are_round() {
        for (least, step) in [
            (0.3, 0.5),
            (0.5, 0.5),
            (1.1, 2.0),
            (26.0, 50.0),
            (90.0, 100.0),
        ] {
            let found = round_step(least);
            assert!((found - step).abs() < 1e-9, "{least}: {found}");
        }
    }
}
