//! Values that stand as text in the files, each with exactly one spelling.

use std::fmt;
use std::marker::PhantomData;

use chrono::{NaiveDate, NaiveTime};
use reinback_analysis::Moment;
use serde::de::{Deserialize, Deserializer, Visitor};
use serde::ser::{Serialize, Serializer};

use crate::id::{BoutId, FilmId, HorseId, MarkId, ReviewId, RideId, SheetId, SpanId};
use crate::model::{Score, TestMark};
use crate::words::WordId;

/// A value with a text form. `read(&write(x)) == x`, and nothing but `write(x)` reads as `x`.
pub(super) trait AsText: Sized {
    fn write(&self) -> String;
    /// The error is a sentence that names the text and what was expected.
    fn read(text: &str) -> Result<Self, String>;
}

/// Puts a value into a file as its text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Text<T>(pub(super) T);

impl<T: AsText> Serialize for Text<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0.write())
    }
}

impl<'de, T: AsText> Deserialize<'de> for Text<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct TextVisitor<T>(PhantomData<T>);
        impl<T: AsText> Visitor<'_> for TextVisitor<T> {
            type Value = Text<T>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a text between double quotes")
            }

            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Text<T>, E> {
                T::read(text).map(Text).map_err(E::custom)
            }
        }
        deserializer.deserialize_str(TextVisitor(PhantomData))
    }
}

/// Enough of a text to recognise it by in a message.
fn shown(text: &str) -> String {
    text.chars().take(40).collect()
}

macro_rules! text_by_display {
    ($($id:ty),*) => { $(
        impl AsText for $id {
            fn write(&self) -> String {
                self.to_string()
            }

            fn read(text: &str) -> Result<Self, String> {
                text.parse().map_err(|error: crate::id::IdError| error.to_string())
            }
        }
    )* };
}

text_by_display!(
    HorseId, RideId, FilmId, BoutId, MarkId, SpanId, ReviewId, SheetId
);

impl AsText for WordId {
    fn write(&self) -> String {
        self.to_string()
    }

    fn read(text: &str) -> Result<Self, String> {
        Self::new(text).map_err(|error| error.to_string())
    }
}

/// A letter of the arena. Text rather than a RON character, which may break a line in two.
impl AsText for char {
    fn write(&self) -> String {
        self.to_string()
    }

    fn read(text: &str) -> Result<Self, String> {
        let mut chars = text.chars();
        chars
            .next()
            .filter(|_| chars.next().is_none())
            .ok_or_else(|| format!("“{}” is not one letter, as is expected here", shown(text)))
    }
}

impl AsText for NaiveDate {
    fn write(&self) -> String {
        self.format("%Y-%m-%d").to_string()
    }

    fn read(text: &str) -> Result<Self, String> {
        let date = Self::parse_from_str(text, "%Y-%m-%d").ok();
        // Reading is more lenient than the format; writing it back is the test.
        date.filter(|date| date.write() == text).ok_or_else(|| {
            format!(
                "“{}” is not a day: year-month-day is expected, as in 2026-03-01",
                shown(text)
            )
        })
    }
}

impl AsText for NaiveTime {
    fn write(&self) -> String {
        self.format("%H:%M:%S%.f").to_string()
    }

    fn read(text: &str) -> Result<Self, String> {
        let time = Self::parse_from_str(text, "%H:%M:%S%.f").ok();
        time.filter(|time| time.write() == text).ok_or_else(|| {
            format!(
                "“{}” is not a time of day: hours:minutes:seconds is expected, as in 18:05:00",
                shown(text)
            )
        })
    }
}

impl AsText for Score {
    fn write(&self) -> String {
        self.to_string()
    }

    fn read(text: &str) -> Result<Self, String> {
        let (whole, half) = match text.strip_suffix(".5") {
            Some(whole) => (whole, 1),
            None => (text, 0),
        };
        let score = whole.parse::<u8>().ok().filter(|whole| *whole <= 10);
        score
            .and_then(|whole| Self::from_halves(whole * 2 + half))
            .filter(|score| score.to_string() == text)
            .ok_or_else(|| {
                format!(
                    "“{}” is not a mark: 0 to 10 in steps of a half is expected, as in 6.5",
                    shown(text)
                )
            })
    }
}

/// A judge's mark, in tenths where it has any.
impl AsText for TestMark {
    fn write(&self) -> String {
        match (self.tenths() / 10, self.tenths() % 10) {
            (whole, 0) => whole.to_string(),
            (whole, tenth) => format!("{whole}.{tenth}"),
        }
    }

    fn read(text: &str) -> Result<Self, String> {
        let (whole, tenth) = text.split_once('.').unwrap_or((text, "0"));
        let digits = || Some((whole.parse::<u8>().ok()?, tenth.parse::<u8>().ok()?));
        digits()
            .and_then(|(whole, tenth)| whole.checked_mul(10)?.checked_add(tenth))
            .and_then(Self::from_tenths)
            .filter(|mark| mark.write() == text)
            .ok_or_else(|| {
                format!(
                    "“{}” is not a judge's mark: 0 to 10, at most one decimal, is expected, as in 6.5",
                    shown(text)
                )
            })
    }
}

const NANOS_PER_SECOND: u64 = 1_000_000_000;

impl AsText for Moment {
    fn write(&self) -> String {
        let sign = if self.0 < 0 { "-" } else { "" };
        let nanos = self.0.unsigned_abs();
        let seconds = nanos / NANOS_PER_SECOND;
        let (hours, minutes, rest) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
        format!(
            "{sign}{hours}:{minutes:02}:{rest:02}.{:09}",
            nanos % NANOS_PER_SECOND
        )
    }

    fn read(text: &str) -> Result<Self, String> {
        moment_from_text(text)
            .filter(|moment| moment.write() == text)
            .ok_or_else(|| {
                format!(
                    "“{}” is not a time: h:mm:ss with nine decimals is expected, as in 0:01:30.500000000",
                    shown(text)
                )
            })
    }
}

fn moment_from_text(text: &str) -> Option<Moment> {
    let (negative, digits) = match text.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text),
    };
    let (clock, fraction) = digits.split_once('.')?;
    let mut parts = clock.split(':');
    let mut next = || parts.next()?.parse::<i128>().ok();
    let (hours, minutes, seconds) = (next()?, next()?, next()?);
    if parts.next().is_some() || minutes > 59 || seconds > 59 || fraction.len() != 9 {
        return None;
    }
    let whole = hours
        .checked_mul(3600)?
        .checked_add(minutes * 60 + seconds)?;
    let nanos = whole
        .checked_mul(i128::from(NANOS_PER_SECOND))?
        .checked_add(fraction.parse().ok()?)?;
    i64::try_from(if negative { -nanos } else { nanos })
        .ok()
        .map(Moment)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check<T: AsText + PartialEq + fmt::Debug>(value: T, text: &str) {
        assert_eq!(value.write(), text, "the one spelling of {value:?}");
        assert_eq!(
            T::read(text),
            Ok(value),
            "{text:?} must read as what it was written from"
        );
    }

    fn check_refused<T: AsText + fmt::Debug>(texts: &[&str]) {
        for text in texts {
            let message = T::read(text).expect_err("must be refused");
            assert!(
                message.contains("expected") || message.contains("use"),
                "{message} must say what to write"
            );
        }
    }

    #[test]
    fn times() {
        check(Moment(0), "0:00:00.000000000");
        check(Moment(90_500_000_000), "0:01:30.500000000");
        check(Moment(-1), "-0:00:00.000000001");
        check(Moment(3_600_000_000_000 * 12), "12:00:00.000000000");
        check(Moment(i64::MAX), "2562047:47:16.854775807");
        check(Moment(i64::MIN), "-2562047:47:16.854775808");
        check_refused::<Moment>(&[
            "",
            "1",
            "0:00:00",
            "0:00:00.5",
            "0:60:00.000000000",
            "0:00:60.000000000",
            "00:00:00.000000000",
            "0:0:0.000000000",
            "-0:00:00.000000000",
            "0:00:00.0000000000",
            "2562047:47:16.854775808",
            "0:00:00,000000000",
            "0:00:-1.000000000",
            "0:00:00.+00000001",
            "9999999999999999999999999999999999999999:00:00.000000000",
        ]);
    }

    #[test]
    fn marks() {
        check(Score::from_halves(15).unwrap(), "7.5");
        check(Score::from_halves(0).unwrap(), "0");
        check(Score::from_halves(20).unwrap(), "10");
        check_refused::<Score>(&["", "10.5", "11", "7.0", "07", "+7", "-1", "7,5", "300"]);
    }

    #[test]
    fn judges_marks() {
        check(TestMark::from_tenths(78).unwrap(), "7.8");
        check(TestMark::from_halves(13).unwrap(), "6.5");
        check(TestMark::from_halves(0).unwrap(), "0");
        check(TestMark::from_halves(20).unwrap(), "10");
        check_refused::<TestMark>(&[
            "", "10.1", "11", "7.0", "07", "+7", "-1", "7,5", "7.", ".5", "7.55", "300",
        ]);
    }

    #[test]
    fn letters() {
        check('K', "K");
        check('\n', "\n");
        check_refused::<char>(&["", "KX"]);
    }

    #[test]
    fn days_and_hours() {
        check(NaiveDate::from_ymd_opt(2026, 3, 1).unwrap(), "2026-03-01");
        check_refused::<NaiveDate>(&["", "2026-3-1", "2026-02-30", "01.03.2026", " 2026-03-01"]);
        check(NaiveTime::from_hms_opt(18, 5, 0).unwrap(), "18:05:00");
        check(
            NaiveTime::from_hms_milli_opt(0, 0, 0, 250).unwrap(),
            "00:00:00.250",
        );
        check_refused::<NaiveTime>(&["", "18:05", "24:00:00", "6pm", "18:05:00.5"]);
    }
}
