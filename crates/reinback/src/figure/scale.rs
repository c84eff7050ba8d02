//! What is written along an axis: names where they belong, or days, amounts and shares, made for
//! what is in sight and as fine as there is room for. Pure.

use std::fmt;
use std::sync::Arc;

use chrono::{Datelike as _, Months, NaiveDate};

/// How days and numbers are written. A language does it, which a figure does not know.
pub trait Wording: fmt::Debug + Send + Sync {
    /// Two with one name write alike.
    fn name(&self) -> &str;
    /// A number with so many decimals.
    fn number(&self, value: f64, decimals: usize) -> String;
    /// A share, 0 to 1, in percent with so many decimals.
    fn percent(&self, share: f64, decimals: usize) -> String;
    /// A share, 0 to 1, as so many in so many.
    fn fraction(&self, share: f64) -> String;
    /// A day, with its year or without.
    fn day(&self, day: NaiveDate, with_year: bool) -> String;
    /// A month with its year.
    fn month(&self, day: NaiveDate) -> String;
}

/// Who writes days and numbers.
#[derive(Clone, Debug)]
pub struct Speaker(Arc<dyn Wording>);

impl Speaker {
    /// Whoever speaks a language.
    pub fn new(wording: impl Wording + 'static) -> Self {
        Self(Arc::new(wording))
    }
}

impl PartialEq for Speaker {
    fn eq(&self, other: &Self) -> bool {
        self.0.name() == other.0.name()
    }
}

/// What is written along an axis.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Scale {
    /// Nothing; the axis is not drawn.
    #[default]
    Bare,
    /// Names at their places, in rising order; where they are too many, every so many of them.
    Names(Vec<AxisMark>),
    /// Days since 1 January 1970: days, weeks from Monday, or firsts of months.
    Days(Speaker),
    /// Round numbers from nought on.
    Amounts(Speaker),
    /// Shares from none to all, as so many in so many; between quarters in percent.
    Fractions(Speaker),
    /// Shares from none to all in percent.
    Percent(Speaker),
}

/// Something written along an axis.
#[derive(Clone, Debug, PartialEq)]
pub struct AxisMark {
    /// Where.
    pub at: f64,
    /// What.
    pub text: String,
}

/// From one mark to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Step {
    Even(f64),
    Days(u32),
    Months(u32),
}

/// Steps of days, the widest first.
const DAYS: [Step; 15] = [
    Step::Months(1200),
    Step::Months(600),
    Step::Months(240),
    Step::Months(120),
    Step::Months(60),
    Step::Months(24),
    Step::Months(12),
    Step::Months(6),
    Step::Months(3),
    Step::Months(2),
    Step::Months(1),
    Step::Days(14),
    Step::Days(7),
    Step::Days(2),
    Step::Days(1),
];
/// The first Monday of 1970, from which weeks are counted: 5 January.
const MONDAY: f64 = 4.0;
/// More marks than any axis has room for.
const TOO_MANY: f64 = 1000.0;

impl Scale {
    /// Whether anything is written.
    #[must_use]
    pub fn is_bare(&self) -> bool {
        *self == Self::Bare
    }

    /// So much is always in sight, in the unit of the axis: nothing is finer than a day.
    #[must_use]
    pub fn least(&self) -> f64 {
        if matches!(self, Self::Days(_)) {
            2.0
        } else {
            0.0
        }
    }

    /// What is written between two places: at most so many, in rising order, the finest that stand
    /// apart; `apart` says whether two may follow each other. Names are as many as have room.
    pub(crate) fn marks(
        &self,
        seen: [f64; 2],
        most: usize,
        apart: impl Fn(&AxisMark, &AxisMark) -> bool,
    ) -> Vec<AxisMark> {
        if let Self::Names(names) = self {
            return thinned(names, seen, apart);
        }
        let mut fine: Vec<(Step, Vec<f64>)> = Vec::new();
        for step in self.steps(seen) {
            let Some(places) = self.places(seen, step) else {
                break;
            };
            // A single mark says little: rather too many than that.
            let enough = fine.last().is_some_and(|(_, places)| places.len() > 1);
            if places.len() > most && enough {
                break;
            }
            fine.push((step, places));
        }
        let clear = |marks: &[AxisMark]| marks.windows(2).all(|two| apart(&two[0], &two[1]));
        let written = |(step, places): &(Step, Vec<f64>)| self.written(places, *step);
        let Some(((step, places), wider)) = fine.split_last() else {
            return Vec::new();
        };
        let finest = self.written(places, *step);
        if clear(&finest) {
            return finest;
        }
        let mut wider = wider.iter().rev().map(written);
        if let Some(wider) = wider.find(|marks| marks.len() > 1 && clear(marks)) {
            return wider;
        }
        let kept = thinned(&finest, seen, &apart);
        // The day that had the year may be gone.
        let places: Vec<f64> = kept.iter().map(|mark| mark.at).collect();
        let anew = self.written(&places, *step);
        if clear(&anew) { anew } else { kept }
    }

    /// The steps there are, the widest first.
    fn steps(&self, [from, to]: [f64; 2]) -> Vec<Step> {
        let long = to - from;
        if !long.is_finite() || long <= 0.0 {
            return Vec::new();
        }
        match self {
            Self::Bare | Self::Names(_) => Vec::new(),
            Self::Days(_) => DAYS.to_vec(),
            Self::Amounts(_) => finer(long.log10().ceil() as i32),
            Self::Fractions(_) | Self::Percent(_) => {
                let quarters = [1.0, 0.5, 0.25].map(Step::Even);
                quarters.into_iter().chain(finer(-1)).collect()
            }
        }
    }

    /// Where the marks of a step are; nothing where they are beyond counting.
    fn places(&self, [from, to]: [f64; 2], step: Step) -> Option<Vec<f64>> {
        match step {
            Step::Even(step) => {
                let from = from.max(0.0);
                let to = if matches!(self, Self::Amounts(_)) {
                    to
                } else {
                    to.min(1.0)
                };
                evenly_placed([from, to], step, 0.0)
            }
            Step::Days(step) => evenly_placed([from, to], f64::from(step), MONDAY),
            Step::Months(step) => months([from, to], step),
        }
    }

    /// What is written there.
    fn written(&self, places: &[f64], step: Step) -> Vec<AxisMark> {
        let mut year = None;
        let places = places.iter().map(|at| AxisMark {
            at: *at,
            text: match (self, step) {
                (Self::Days(speaker), Step::Months(_)) => {
                    day(*at).map_or_else(String::new, |day| speaker.0.month(day))
                }
                // The year stands at the first day, and where it is another.
                (Self::Days(speaker), _) => day(*at).map_or_else(String::new, |day| {
                    let before = year.replace(day.year());
                    speaker.0.day(day, before != year)
                }),
                (Self::Amounts(speaker), Step::Even(step)) => speaker.0.number(*at, decimals(step)),
                (Self::Fractions(speaker), Step::Even(step)) if step >= 0.25 => {
                    speaker.0.fraction(*at)
                }
                (Self::Fractions(speaker) | Self::Percent(speaker), Step::Even(step)) => {
                    speaker.0.percent(*at, decimals(100.0 * step))
                }
                _ => String::new(),
            },
        });
        places.collect()
    }
}

/// Every so many of the names in sight, so that none lies over the next. Counted over all of them,
/// so that they stay when they are moved.
fn thinned(
    names: &[AxisMark],
    [from, to]: [f64; 2],
    apart: impl Fn(&AxisMark, &AxisMark) -> bool,
) -> Vec<AxisMark> {
    let seen = names.iter().enumerate();
    let seen: Vec<(usize, &AxisMark)> = seen
        .filter(|(_, name)| from <= name.at && name.at <= to)
        .collect();
    let every = |step: usize| {
        let kept = seen.iter().filter(move |(place, _)| place % step == 0);
        kept.map(|(_, name)| *name)
    };
    let clear = |step: &usize| {
        let kept: Vec<&AxisMark> = every(*step).collect();
        kept.windows(2).all(|pair| apart(pair[0], pair[1]))
    };
    let step = (1..seen.len()).find(clear).unwrap_or(seen.len().max(1));
    every(step).cloned().collect()
}

/// Finer and finer round steps, from a power of ten on.
fn finer(power: i32) -> Vec<Step> {
    let powers = (0..6).map(|at| 10_f64.powi(power - at));
    let steps = powers.flat_map(|power| [power, 0.5 * power, 0.2 * power]);
    steps.map(Step::Even).collect()
}

/// How many decimals tell one step from the next.
fn decimals(step: f64) -> usize {
    (-step.log10() - 1e-9).ceil().clamp(0.0, 9.0) as usize
}

/// Every so much between two places, counted from a third.
fn evenly_placed([from, to]: [f64; 2], step: f64, origin: f64) -> Option<Vec<f64>> {
    let slack = 1e-9;
    let first = ((from - origin) / step - slack).ceil();
    let last = ((to - origin) / step + slack).floor();
    if !first.is_finite() || !last.is_finite() || last - first > TOO_MANY {
        return None;
    }
    let many = (last - first + 1.0).max(0.0) as u32;
    let places = (0..many).map(|at| origin + (first + f64::from(at)) * step);
    let mut places: Vec<f64> = places.collect();
    // Far from nought a number has no room for a small step.
    places.dedup();
    Some(places)
}

/// The firsts of every so many months, counted from January of a year that they divide.
fn months([from, to]: [f64; 2], step: u32) -> Option<Vec<f64>> {
    let (first, last) = (day(from)?, day(to)?);
    let since = |date: NaiveDate| date.year() * 12 + date.month0().cast_signed();
    let step = i32::try_from(step).ok()?;
    let begin = since(first).div_euclid(step) * step;
    let begin = NaiveDate::from_ymd_opt(
        begin.div_euclid(12),
        begin.rem_euclid(12).unsigned_abs() + 1,
        1,
    )?;
    let many = (since(last) - since(begin)) / step;
    if f64::from(many) > TOO_MANY {
        return None;
    }
    let months = (0..=many.unsigned_abs())
        .filter_map(|at| begin.checked_add_months(Months::new(at * step.unsigned_abs())));
    let months = months.map(|day| f64::from(day.to_epoch_days()));
    Some(months.filter(|at| from <= *at && *at <= to).collect())
}

fn day(at: f64) -> Option<NaiveDate> {
    NaiveDate::from_epoch_days(at.floor() as i32)
}

#[cfg(test)]
mod tests {
    use chrono::Days;
    use proptest::prelude::*;

    use super::*;
    use crate::said::{Language, Say};

    fn speaker() -> Speaker {
        Speaker::new(Say::new(Language::English))
    }

    fn texts(scale: &Scale, seen: [f64; 2]) -> Vec<String> {
        let marks = scale.marks(seen, 7, |_, _| true);
        marks.into_iter().map(|mark| mark.text).collect()
    }

    #[test]
    fn days_are_marked_where_a_rider_counts() {
        let check = |first: &str, span: u64, expect: &[&str]| {
            let first: NaiveDate = first.parse().expect("a day");
            let ends = [first, first + Days::new(span)].map(|day| f64::from(day.to_epoch_days()));
            assert_eq!(texts(&Scale::Days(speaker()), ends), expect);
        };
        check("2026-05-04", 1, &["4 May 2026", "5 May"]);
        check(
            "2026-05-04",
            27,
            &["4 May 2026", "11 May", "18 May", "25 May"],
        );
        check("2025-12-20", 20, &["22 Dec 2025", "29 Dec", "5 Jan 2026"]);
        check(
            "2026-01-20",
            120,
            &["Feb 2026", "Mar 2026", "Apr 2026", "May 2026"],
        );
        check(
            "2019-03-01",
            2500,
            &[
                "Jan 2020", "Jan 2021", "Jan 2022", "Jan 2023", "Jan 2024", "Jan 2025", "Jan 2026",
            ],
        );
    }

    #[test]
    fn numbers_are_round_and_shares_end_at_all() {
        let check = |scale: fn(Speaker) -> Scale, seen, expect: &[&str]| {
            assert_eq!(texts(&scale(speaker()), seen), expect);
        };
        check(
            Scale::Amounts,
            [-3.0, 103.0],
            &["0", "20", "40", "60", "80", "100"],
        );
        check(
            Scale::Amounts,
            [71.9, 73.1],
            &["72.0", "72.2", "72.4", "72.6", "72.8", "73.0"],
        );
        let quarters = ["none", "1 in 4", "1 in 2", "3 in 4", "all"];
        check(Scale::Fractions, [-0.06, 1.24], &quarters);
        check(
            Scale::Fractions,
            [0.21, 0.42],
            &["25 %", "30 %", "35 %", "40 %"],
        );
        check(
            Scale::Percent,
            [0.0, 1.14],
            &["0 %", "25 %", "50 %", "75 %", "100 %"],
        );
        check(
            Scale::Percent,
            [0.5, 0.512],
            &[
                "50.0 %", "50.2 %", "50.4 %", "50.6 %", "50.8 %", "51.0 %", "51.2 %",
            ],
        );
    }

    proptest! {
        /// In order, inside and not too many, whatever is in sight.
        #[test]
        fn marks_are_few_in_order_and_inside(
            kind in 0_usize..4,
            from in -1e5_f64..1e5,
            power in -6.0_f64..5.0,
            most in 6_usize..9,
        ) {
            let kinds = [Scale::Days, Scale::Amounts, Scale::Fractions, Scale::Percent];
            let scale = kinds[kind](speaker());
            let seen = [from, from + 10_f64.powf(power)];
            let marks = scale.marks(seen, most, |_, _| true);
            prop_assert!(marks.len() <= 3 * most, "{marks:?}");
            prop_assert!(marks.windows(2).all(|pair| pair[0].at < pair[1].at), "{marks:?}");
            let slack = 1e-6 * (seen[1] - seen[0]);
            let inside = |mark: &AxisMark| seen[0] - slack <= mark.at && mark.at <= seen[1] + slack;
            prop_assert!(marks.iter().all(inside), "{marks:?} in {seen:?}");
        }
    }
}
