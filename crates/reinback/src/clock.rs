//! Times as a rider reads them.

use reinback_yard::Moment;

const SECOND: i64 = 1_000_000_000;

/// "12:03" or "1:02:03".
#[must_use]
pub fn short(moment: Moment) -> String {
    let (sign, seconds) = split(moment.0.div_euclid(SECOND));
    let (h, m, s) = (seconds / 3_600, seconds / 60 % 60, seconds % 60);
    if h > 0 {
        format!("{sign}{h}:{m:02}:{s:02}")
    } else {
        format!("{sign}{m}:{s:02}")
    }
}

/// With hundredths: "12:03.48".
#[must_use]
pub fn exact(moment: Moment) -> String {
    let (sign, hundredths) = split(moment.0.div_euclid(SECOND / 100));
    let (whole, rest) = (hundredths / 100, hundredths % 100);
    let whole = i64::try_from(whole).unwrap_or(i64::MAX / SECOND);
    format!(
        "{sign}{}.{rest:02}",
        short(Moment(whole.saturating_mul(SECOND)))
    )
}

/// The hours, minutes and seconds of a length, to the nearest second; none below zero.
#[must_use]
pub fn parts(nanos: i64) -> (i64, i64, i64) {
    let seconds = nanos.max(0).saturating_add(SECOND / 2) / SECOND;
    (seconds / 3_600, seconds / 60 % 60, seconds % 60)
}

/// A length: "8 s", "2 min 05 s", "1 h 12 min".
#[must_use]
pub fn length(nanos: i64) -> String {
    match parts(nanos) {
        (0, 0, s) => format!("{s} s"),
        (0, m, s) => format!("{m} min {s:02} s"),
        (h, m, _) => format!("{h} h {m:02} min"),
    }
}

fn split(value: i64) -> (&'static str, u64) {
    (if value < 0 { "−" } else { "" }, value.unsigned_abs())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_read_well() {
        for (nanos, expect_short, expect_exact) in [
            (0, "0:00", "0:00.00"),
            (723_480_000_000, "12:03", "12:03.48"),
            (3_723_000_000_000, "1:02:03", "1:02:03.00"),
            (-500_000_000, "−0:01", "−0:00.50"),
            (i64::MAX, "2562047:47:16", "2562047:47:16.85"),
        ] {
            assert_eq!(short(Moment(nanos)), expect_short);
            assert_eq!(exact(Moment(nanos)), expect_exact);
        }
    }

    #[test]
    fn lengths_read_well() {
        for (seconds, expect) in [
            (0, "0 s"),
            (8, "8 s"),
            (125, "2 min 05 s"),
            (4_320, "1 h 12 min"),
            (-3, "0 s"),
        ] {
            assert_eq!(length(seconds * SECOND), expect);
        }
    }
}
