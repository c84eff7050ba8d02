//! The time at which something was noted, as people and programs write it.

use chrono::NaiveDate;

const SECOND: i64 = 1_000_000_000;
const MINUTE: i64 = 60 * SECOND;
const HOUR: i64 = 60 * MINUTE;
/// Longer than any ride, and far from any overflow. Our own choice.
const MOST_HOURS: i64 = 10_000;

/// A time as it is written, before it is known what clock it is of. All in nanoseconds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stamp {
    /// A time of day, for certain.
    Clock {
        /// The day, where it is written.
        date: Option<NaiveDate>,
        /// Since midnight.
        of_day: i64,
        /// East of Greenwich, in seconds, where it is written.
        zone: Option<i32>,
    },
    /// Time since some beginning, for certain; may be negative.
    Elapsed(i64),
    /// Either of the two, such as "10:42" or "1:02:03".
    Either {
        /// As a time of day, since midnight.
        of_day: i64,
        /// As time since some beginning.
        elapsed: i64,
    },
}

/// Reads a cell that holds nothing but a time; a plain number is seconds.
#[must_use]
pub fn read_stamp(cell: &str) -> Option<Stamp> {
    let cell = cell.trim();
    let cell = unbracketed(cell).unwrap_or(cell);
    if let Some((stamp, rest)) = stamp_at_start(cell, false)
        && rest.trim().is_empty()
    {
        return Some(stamp);
    }
    plain_seconds(cell).map(Stamp::Elapsed)
}

/// Reads the time with which a line begins, and gives what follows it.
pub(super) fn leading_stamp(line: &str) -> Option<(Stamp, &str)> {
    let line = line.trim_start();
    let opened = line.strip_prefix(['[', '(']);
    let (stamp, rest) = stamp_at_start(opened.unwrap_or(line).trim_start(), true)?;
    let rest = rest.trim_start();
    let rest = match opened {
        Some(_) => rest.strip_prefix([']', ')'])?,
        None => rest,
    };
    Some((stamp, rest))
}

/// Reads a day as "2026-03-01", "1.3.2026" or "13/3/2026"; one whose day and month could be each
/// other's is none.
#[must_use]
pub fn read_day(cell: &str) -> Option<NaiveDate> {
    match date_at_start(cell.trim())? {
        (date, "") => date,
        _ => None,
    }
}

fn unbracketed(cell: &str) -> Option<&str> {
    let inner = cell.strip_prefix(['[', '('])?;
    Some(inner.strip_suffix([']', ')'])?.trim())
}

/// A plain number of seconds, with a point or a comma.
fn plain_seconds(cell: &str) -> Option<i64> {
    let (sign, digits) = sign_of(cell);
    let (whole, fraction) = digits.split_once(['.', ',']).unwrap_or((digits, ""));
    if whole.is_empty() || !is_digits(whole) || whole.len() > 8 {
        return None;
    }
    let nanos = whole.parse::<i64>().ok()? * SECOND + fraction_nanos(fraction)?;
    (nanos <= MOST_HOURS * HOUR).then_some(sign.unwrap_or(1) * nanos)
}

/// A sign in front, as a factor.
fn sign_of(text: &str) -> (Option<i64>, &str) {
    if let Some(rest) = text.strip_prefix(['-', '\u{2212}']) {
        (Some(-1), rest)
    } else if let Some(rest) = text.strip_prefix('+') {
        (Some(1), rest)
    } else {
        (None, text)
    }
}

fn is_digits(text: &str) -> bool {
    text.bytes().all(|byte| byte.is_ascii_digit())
}

/// Decimals of a second; no digits are none.
fn fraction_nanos(digits: &str) -> Option<i64> {
    if !is_digits(digits) {
        return None;
    }
    let nine: String = digits
        .chars()
        .chain(std::iter::repeat('0'))
        .take(9)
        .collect();
    nine.parse().ok()
}

fn stamp_at_start(text: &str, in_line: bool) -> Option<(Stamp, &str)> {
    if let Some((date, rest)) = date_at_start(text) {
        let rest = behind_date(rest);
        let (time, rest) = time_at_start(rest)?;
        let of_day = match time {
            Stamp::Either { of_day, .. } | Stamp::Clock { of_day, .. } => of_day,
            Stamp::Elapsed(_) => return None,
        };
        let (zone, rest) = zone_at_start(rest);
        return Some((Stamp::Clock { date, of_day, zone }, rest));
    }
    if let Some((date, rest)) = short_date_at_start(text)
        && let Some((time, rest)) = time_at_start(behind_date(rest))
        && let Stamp::Either { of_day, .. } | Stamp::Clock { of_day, .. } = time
    {
        let stamp = Stamp::Clock {
            date,
            of_day,
            zone: None,
        };
        return Some((stamp, rest));
    }
    let text = text.strip_prefix("at ").unwrap_or(text);
    units_at_start(text, in_line).or_else(|| time_at_start(text))
}

fn behind_date(text: &str) -> &str {
    text.strip_prefix(['T', 't', ','])
        .unwrap_or(text)
        .trim_start()
}

/// A date whose year has two digits, of this century (our own choice), such as "01.03.26": by
/// itself that is a time of day, so that it is a date only where a time with colons follows.
fn short_date_at_start(text: &str) -> Option<(Option<NaiveDate>, &str)> {
    let end = text.find([' ', ',', '\t'])?;
    let (date, rest) = text.split_at_checked(end)?;
    let time = behind_date(rest);
    time.strip_prefix(|sign: char| sign.is_ascii_digit())
        .map(|time| time.trim_start_matches(|sign: char| sign.is_ascii_digit()))
        .filter(|time| time.starts_with(':'))?;
    let sign = ['.', '/'].into_iter().find(|sign| date.contains(*sign))?;
    let (front, year) = date.rsplit_once(sign)?;
    (year.len() == 2 && is_digits(year)).then_some(())?;
    let whole = format!("{front}{sign}20{year}");
    let (date, behind) = date_at_start(&whole)?;
    behind.is_empty().then_some((date, rest))
}

/// Splits digits off the start.
fn digits(text: &str) -> Option<(&str, &str)> {
    let end = text
        .find(|sign: char| !sign.is_ascii_digit())
        .unwrap_or(text.len());
    (end > 0).then(|| text.split_at(end))
}

fn number(text: &str) -> Option<(i64, &str)> {
    let (own, rest) = digits(text)?;
    (own.len() <= 8).then_some(())?;
    Some((own.parse().ok()?, rest))
}

/// A date, `None` inside where day and month cannot be told apart.
fn date_at_start(text: &str) -> Option<(Option<NaiveDate>, &str)> {
    let (first, rest) = digits(text)?;
    let sign = rest
        .chars()
        .next()
        .filter(|sign| ['-', '.', '/'].contains(sign))?;
    let (second, rest) = digits(rest.strip_prefix(sign)?)?;
    let (third, rest) = digits(rest.strip_prefix(sign)?)?;
    let of = |year: &str, month: &str, day: &str| {
        NaiveDate::from_ymd_opt(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
    };
    let lengths = (first.len(), second.len(), third.len());
    match (lengths, sign) {
        ((4, 1..=2, 1..=2), _) => of(first, second, third).map(|date| (Some(date), rest)),
        ((1..=2, 1..=2, 4), '.') => of(third, second, first).map(|date| (Some(date), rest)),
        ((1..=2, 1..=2, 4), _) => {
            let (day_first, month_first) = (of(third, second, first), of(third, first, second));
            match (day_first, month_first) {
                (None, None) => None,
                (Some(one), Some(other)) if one != other => Some((None, rest)),
                (one, other) => Some((one.or(other), rest)),
            }
        }
        _ => None,
    }
}

/// "Z", "+01:00", "+0100" right behind a time.
fn zone_at_start(text: &str) -> (Option<i32>, &str) {
    if let Some(rest) = text.strip_prefix(['Z', 'z']) {
        return (Some(0), rest);
    }
    let read = || {
        let (sign, rest) = sign_of(text);
        let (own, rest) = digits(rest)?;
        let (hours, minutes, rest) = if own.len() == 4 {
            let (hours, minutes) = own.split_at(2);
            (hours, minutes, rest)
        } else {
            let (minutes, rest) = digits(rest.strip_prefix(':')?)?;
            (own, minutes, rest)
        };
        let seconds = hours.parse::<i32>().ok()? * 3_600 + minutes.parse::<i32>().ok()? * 60;
        let east = seconds * i32::try_from(sign?).ok()?;
        (seconds < 86_400).then_some((Some(east), rest))
    };
    read().unwrap_or((None, text))
}

/// "1h02m03s", "12 min 30 s", "90s", "12'30\"". A line that begins with "10 m" begins with ten
/// metres.
fn units_at_start(text: &str, in_line: bool) -> Option<(Stamp, &str)> {
    let (sign, mut rest) = sign_of(text);
    let mut nanos = 0_i64;
    let mut smallest = i64::MAX;
    let mut last = rest;
    let mut metres = in_line;
    while let Some((count, after)) = number(rest) {
        let Some((name, unit, after)) = unit(after.trim_start()) else {
            break;
        };
        if unit >= smallest || count > MOST_HOURS * HOUR / unit {
            return None;
        }
        nanos += count * unit;
        metres &= smallest == i64::MAX && name == "m";
        smallest = unit;
        last = after;
        rest = after.trim_start();
    }
    // Half a unit ("10h42") is a time of day, which is read elsewhere.
    let whole = smallest < i64::MAX && !last.starts_with(|sign: char| sign.is_alphanumeric());
    (whole && !metres).then(|| (Stamp::Elapsed(sign.unwrap_or(1) * nanos), last))
}

fn unit(text: &str) -> Option<(&'static str, i64, &str)> {
    const UNITS: [(&str, i64); 11] = [
        ("min", MINUTE),
        ("sec", SECOND),
        ("hours", HOUR),
        ("hour", HOUR),
        ("h", HOUR),
        ("m", MINUTE),
        ("s", SECOND),
        ("'", MINUTE),
        ("\u{2032}", MINUTE),
        ("\"", SECOND),
        ("\u{2033}", SECOND),
    ];
    UNITS.iter().find_map(|(name, nanos)| {
        let rest = text.strip_prefix(name)?;
        // "3 half passes" begins with no unit.
        let ends = !rest.starts_with(char::is_alphabetic);
        ends.then_some((*name, *nanos, rest))
    })
}

/// "10:42", "1:02:03.5", "10:42 pm", "10.42.15", "10h42", "10.42 Uhr".
fn time_at_start(text: &str) -> Option<(Stamp, &str)> {
    let (sign, text) = sign_of(text);
    let (first, rest) = number(text)?;
    let dotted = rest.starts_with('.');
    let clock_sign = rest.starts_with('h');
    let (second, rest) = two_digits(rest.strip_prefix([':', '.', 'h'])?)?;
    let separator = if dotted { '.' } else { ':' };
    let third = rest.strip_prefix(separator).and_then(two_digits);
    let (seconds, rest) = third.map_or((None, rest), |(seconds, rest)| (Some(seconds), rest));
    // A longer number is no time: "10:425", "1:2:3:4".
    let (fraction, rest) = fraction_at_start(rest, dotted)?;
    if rest.starts_with(|sign: char| sign.is_ascii_digit() || sign == ':') || first > MOST_HOURS {
        return None;
    }
    let (half, rest) = half_of_day(rest);
    let (uhr, rest) = word_behind(rest, &["uhr", "o'clock"]);
    if dotted && seconds.is_none() && half.is_none() && !uhr {
        // "10.42" alone is ten seconds and a bit.
        return None;
    }
    let of_day = of_day(first, second, seconds, fraction, half);
    let certain = half.is_some() || uhr || clock_sign || (dotted && sign.is_none());
    let stamp = match (of_day, sign) {
        (Some(of_day), None) if certain => clock(of_day),
        _ if certain => return None,
        (of_day, sign) => {
            let elapsed = match seconds {
                Some(seconds) => first * HOUR + second * MINUTE + seconds * SECOND,
                None => first * MINUTE + second * SECOND,
            } + fraction.unwrap_or(0);
            // Nobody writes a time of day with decimals but without seconds.
            let plainly = sign.is_some() || (seconds.is_none() && fraction.is_some());
            match of_day.filter(|_| !plainly) {
                Some(of_day) => Stamp::Either { of_day, elapsed },
                None => Stamp::Elapsed(sign.unwrap_or(1) * elapsed),
            }
        }
    };
    Some((stamp, rest))
}

fn clock(of_day: i64) -> Stamp {
    Stamp::Clock {
        date: None,
        of_day,
        zone: None,
    }
}

/// Two digits below sixty.
fn two_digits(text: &str) -> Option<(i64, &str)> {
    let (own, rest) = digits(text)?;
    let value = own.parse().ok().filter(|value| *value < 60)?;
    (own.len() == 2).then_some((value, rest))
}

/// Decimals behind the seconds; none behind a dotted time. `None` outside for a point without
/// decimals that is no end of a sentence.
fn fraction_at_start(text: &str, dotted: bool) -> Option<(Option<i64>, &str)> {
    let sign = if dotted { ',' } else { '.' };
    let decimals = text
        .strip_prefix(sign)
        .or_else(|| text.strip_prefix(','))
        .and_then(digits);
    match decimals {
        Some((own, rest)) => Some((Some(fraction_nanos(own)?), rest)),
        None => Some((None, text)),
    }
}

/// "am" or "pm": whether it is the second half of the day.
fn half_of_day(text: &str) -> (Option<bool>, &str) {
    for (names, late) in [(["am", "a.m."], false), (["pm", "p.m."], true)] {
        let (found, rest) = word_behind(text, &names);
        if found {
            return (Some(late), rest);
        }
    }
    (None, text)
}

/// Whether one of these words follows, in any case, and what is behind it.
fn word_behind<'a>(text: &'a str, words: &[&str]) -> (bool, &'a str) {
    let trimmed = text.trim_start();
    for word in words {
        let Some((own, rest)) = trimmed.split_at_checked(word.len()) else {
            continue;
        };
        if own.eq_ignore_ascii_case(word) && !rest.starts_with(char::is_alphanumeric) {
            return (true, rest);
        }
    }
    (false, text)
}

fn of_day(
    hour: i64,
    minute: i64,
    second: Option<i64>,
    fraction: Option<i64>,
    late: Option<bool>,
) -> Option<i64> {
    let hour = match late {
        None => (0..24).contains(&hour).then_some(hour)?,
        Some(late) => {
            (1..=12).contains(&hour).then_some(())?;
            hour % 12 + if late { 12 } else { 0 }
        }
    };
    Some(hour * HOUR + minute * MINUTE + second.unwrap_or(0) * SECOND + fraction.unwrap_or(0))
}

#[cfg(test)]
mod tests;
