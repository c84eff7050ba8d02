//! Axes that figures share: days, amounts, shares.

use chrono::NaiveDate;

use crate::figure::scale::Speaker;
use crate::figure::{Axis, Scale};
use crate::said::Say;

/// The place of a day on an axis: days since 1 January 1970.
pub(crate) fn number(date: NaiveDate) -> f64 {
    f64::from(date.to_epoch_days())
}

/// From one day to another, with room at both ends for what stands on them.
pub(crate) fn days(first: NaiveDate, last: NaiveDate, say: &Say) -> Axis {
    let edge = ((number(last) - number(first)) * 0.03).max(1.0);
    Axis {
        title: String::new(),
        from: number(first) - edge,
        to: number(last) + edge,
        scale: Scale::Days(Speaker::new(say.clone())),
        grid: true,
    }
}

/// From one amount to another, widened to round numbers; with a name.
pub(crate) fn amounts(title: String, low: f64, high: f64, say: &Say) -> Axis {
    let step = round_step((high - low).max(f64::EPSILON) / 4.0);
    let from = (low / step).floor().max(0.0);
    let to = (high / step).ceil().max(from + 1.0);
    Axis {
        title,
        from: from * step,
        to: to * step,
        scale: Scale::Amounts(Speaker::new(say.clone())),
        grid: true,
    }
}

/// Shares of attempts between two places beside none and all, as a rider says them.
pub(crate) fn shares(title: String, from: f64, to: f64, say: &Say) -> Axis {
    Axis {
        title,
        from,
        to,
        scale: Scale::Fractions(Speaker::new(say.clone())),
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
        fn amounts_are_within_their_axis(low in 0.0_f64..1e4, more in 0.0_f64..1e4) {
            let axis = amounts(String::new(), low, low + more, &Say::new(Language::English));
            prop_assert!(axis.from <= low && low + more <= axis.to, "{axis:?}");
            prop_assert!(axis.from < axis.to);
        }

        #[test]
        fn days_are_within_their_axis(first in 0_i32..30_000, span in 0_i32..6_000) {
            let day = |number| NaiveDate::from_epoch_days(number).expect("a day");
            let axis = days(day(first), day(first + span), &Say::new(Language::German));
            prop_assert!(axis.from < f64::from(first) && f64::from(first + span) < axis.to);
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
