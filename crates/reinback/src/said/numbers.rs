//! Numbers, shares, days and lengths as they are written in a language.

use chrono::{Datelike as _, NaiveDate};

use super::Say;
use crate::clock;
use crate::figure::scale::Wording;
use crate::report::numbers::Days;

/// Stands between groups of three digits. A thin space that no line is broken at (ISO 80000-1,
/// 7.3.1, from memory), the same in every language, so that it is never taken for a decimal sign.
const GROUP: char = '\u{202f}';

/// A count with its digits in groups of three, from five digits on: "4310", "12 043".
pub(super) fn grouped(value: f64) -> String {
    let digits = format!("{:.0}", value.abs());
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        let left = digits.len() - at;
        if at > 0 && left.is_multiple_of(3) && digits.len() > 4 {
            text.push(GROUP);
        }
        text.push(digit);
    }
    if value < 0.0 && digits != "0" {
        text.insert(0, '−');
    }
    text
}

/// Above a third, the fractions a rider says; below, one in so many.
const FRACTIONS: [(u32, u32); 12] = [
    (1, 3),
    (2, 5),
    (1, 2),
    (3, 5),
    (2, 3),
    (3, 4),
    (4, 5),
    (5, 6),
    (7, 8),
    (9, 10),
    (19, 20),
    (99, 100),
];

/// A share, 0 to 1, as "so many in so many"; `None` at the very ends.
pub(super) fn fraction(share: f64) -> Option<(u32, u32)> {
    if !(0.005..=0.995).contains(&share) {
        return None;
    }
    if share < 1.0 / 3.0 {
        return Some((1, (1.0 / share).round() as u32));
    }
    let far = |(some, all): &(u32, u32)| (f64::from(*some) / f64::from(*all) - share).abs();
    FRACTIONS
        .iter()
        .copied()
        .min_by(|one, other| far(one).total_cmp(&far(other)))
}

impl Say {
    /// A count: "12 043".
    #[must_use]
    pub fn count(&self, count: u32) -> String {
        grouped(f64::from(count))
    }

    /// A number with so many decimals, and the language's decimal sign.
    #[must_use]
    pub fn decimal(&self, value: f64, places: usize) -> String {
        // Adding zero turns -0 into 0.
        let text = format!("{:.places$}", value.abs() + 0.0);
        let zero = text.bytes().all(|byte| matches!(byte, b'0' | b'.'));
        let (whole, rest) = text.split_once('.').unwrap_or((&text, ""));
        let mut said = whole.parse().map_or_else(|_| whole.to_owned(), grouped);
        if !rest.is_empty() {
            said.push_str(&self.plain("decimal-sign"));
            said.push_str(rest);
        }
        if value < 0.0 && !zero {
            said.insert(0, '−');
        }
        said
    }

    /// A rate with no more digits than it can bear.
    pub(super) fn measured(&self, value: f64) -> String {
        if value >= 9.95 {
            self.decimal(value, 0)
        } else if value >= 0.095 || value == 0.0 {
            self.decimal(value, 1)
        } else {
            self.decimal(value, 2)
        }
    }

    /// A share, 0 to 1: "1 in 6", "none", "all".
    #[must_use]
    pub fn share(&self, value: f64) -> String {
        match fraction(value) {
            Some((some, all)) => self.text("share", &[("some", some.into()), ("all", all.into())]),
            None if value >= 1.0 => self.plain("share-all"),
            None if value <= 0.0 => self.plain("share-none"),
            None if value > 0.5 => self.plain("share-nearly-all"),
            None => self.plain("share-tiny"),
        }
    }

    /// "4 May 2026", long months shortened: in lists and tables.
    #[must_use]
    pub fn day(&self, date: NaiveDate) -> String {
        let month = self.text("month-short", &[("month", date.month().into())]);
        self.day_with(date, &month)
    }

    /// "28 September 2026": in sentences.
    #[must_use]
    pub fn day_in_full(&self, date: NaiveDate) -> String {
        self.day_with(date, &self.month(date))
    }

    fn day_with(&self, date: NaiveDate, month: &str) -> String {
        self.text(
            "day",
            &[
                ("day", date.day().into()),
                ("month", month.into()),
                ("year", date.year().to_string().into()),
            ],
        )
    }

    /// "May".
    #[must_use]
    pub fn month(&self, date: NaiveDate) -> String {
        self.text("month", &[("month", date.month().into())])
    }

    /// "4 May": along an axis.
    #[must_use]
    pub fn day_of_month(&self, date: NaiveDate) -> String {
        let month = self.text("month-short", &[("month", date.month().into())]);
        self.text(
            "day-of-month",
            &[("day", date.day().into()), ("month", month.into())],
        )
    }

    /// "May 2026": along an axis.
    #[must_use]
    pub fn month_of_year(&self, date: NaiveDate) -> String {
        let month = self.text("month-short", &[("month", date.month().into())]);
        self.text(
            "month-of-year",
            &[
                ("month", month.into()),
                ("year", date.year().to_string().into()),
            ],
        )
    }

    /// "5 February to 4 May 2026"; open on a side without a day.
    #[must_use]
    pub fn days(&self, days: Days) -> String {
        let [from, to] = [days.from, days.to].map(|day| day.map(|day| self.day(day)));
        match (from, to) {
            (None, None) => self.plain("days-every"),
            (Some(from), None) => self.text("days-from", &[("from", from.into())]),
            (None, Some(to)) => self.text("days-to", &[("to", to.into())]),
            (Some(from), Some(to)) => {
                self.text("days-between", &[("from", from.into()), ("to", to.into())])
            }
        }
    }

    /// A length: "8 s", "2 min 05 s", "1 h 12 min".
    #[must_use]
    pub fn length(&self, nanos: i64) -> String {
        match clock::parts(nanos) {
            (0, 0, seconds) => self.text("length-seconds", &[("seconds", seconds.into())]),
            (0, minutes, seconds) => self.text(
                "length-minutes",
                &[
                    ("minutes", minutes.into()),
                    ("seconds", format!("{seconds:02}").into()),
                ],
            ),
            (hours, minutes, _) => self.text(
                "length-hours",
                &[
                    ("hours", hours.into()),
                    ("minutes", format!("{minutes:02}").into()),
                ],
            ),
        }
    }
}

/// Along an axis.
impl Wording for Say {
    fn name(&self) -> &str {
        self.language().code()
    }

    fn number(&self, value: f64, decimals: usize) -> String {
        self.decimal(value, decimals)
    }

    fn percent(&self, share: f64, decimals: usize) -> String {
        let percent = self.decimal(share * 100.0, decimals);
        self.text("percent", &[("percent", percent.into())])
    }

    fn fraction(&self, share: f64) -> String {
        self.share(share)
    }

    fn day(&self, day: NaiveDate, with_year: bool) -> String {
        if with_year {
            self.day(day)
        } else {
            self.day_of_month(day)
        }
    }

    fn month(&self, day: NaiveDate) -> String {
        self.month_of_year(day)
    }
}
