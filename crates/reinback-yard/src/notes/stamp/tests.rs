//! Times in every spelling, and what is none.

use super::*;

fn hms(hours: i64, minutes: i64, seconds: i64) -> i64 {
    hours * HOUR + minutes * MINUTE + seconds * SECOND
}

fn either(of_day: i64, elapsed: i64) -> Stamp {
    Stamp::Either { of_day, elapsed }
}

fn dated(text: &str, of_day: i64, zone: Option<i32>) -> Stamp {
    let date = text.parse().ok();
    Stamp::Clock { date, of_day, zone }
}

#[test]
fn times_as_people_write_them() {
    let check = |text: &str, expect: Stamp| assert_eq!(read_stamp(text), Some(expect), "{text}");
    check("10:42:15", either(hms(10, 42, 15), hms(10, 42, 15)));
    check("10:42", either(hms(10, 42, 0), hms(0, 10, 42)));
    check(" [9:05] ", either(hms(9, 5, 0), hms(0, 9, 5)));
    check(
        "0:01:02.5",
        either(hms(0, 1, 2) + SECOND / 2, hms(0, 1, 2) + SECOND / 2),
    );
    check("12:30.25", Stamp::Elapsed(hms(0, 12, 30) + SECOND / 4));
    check("75:10", Stamp::Elapsed(hms(1, 15, 10)));
    check("25:00:00", Stamp::Elapsed(hms(25, 0, 0)));
    check("-0:05", Stamp::Elapsed(-hms(0, 0, 5)));
    check("\u{2212}1:02:03", Stamp::Elapsed(-hms(1, 2, 3)));
    check("+2:00", Stamp::Elapsed(hms(0, 2, 0)));
    check("10:42 pm", clock(hms(22, 42, 0)));
    check("12:05:00 AM", clock(hms(0, 5, 0)));
    check("12:05pm", clock(hms(12, 5, 0)));
    check("2:15 p.m.", clock(hms(14, 15, 0)));
    check("10.42 Uhr", clock(hms(10, 42, 0)));
    check("10.42.15", clock(hms(10, 42, 15)));
    check("10h42", clock(hms(10, 42, 0)));
    check(
        "2026-03-01 10:42:15",
        dated("2026-03-01", hms(10, 42, 15), None),
    );
    check(
        "2026-03-01T10:42:15Z",
        dated("2026-03-01", hms(10, 42, 15), Some(0)),
    );
    check(
        "2026-03-01T10:42:15.5+01:00",
        dated("2026-03-01", hms(10, 42, 15) + SECOND / 2, Some(3_600)),
    );
    check(
        "2026-03-01T10:42:15-0330",
        dated("2026-03-01", hms(10, 42, 15), Some(-12_600)),
    );
    check("1.3.2026, 10:42", dated("2026-03-01", hms(10, 42, 0), None));
    check(
        "01.03.26 10:42:15",
        dated("2026-03-01", hms(10, 42, 15), None),
    );
    check("1.3.26, 10:42", dated("2026-03-01", hms(10, 42, 0), None));
    check("13/3/26 10:42", dated("2026-03-13", hms(10, 42, 0), None));
    check("01.03.26", clock(hms(1, 3, 26)));
    check("13/3/2026 10:42", dated("2026-03-13", hms(10, 42, 0), None));
    check(
        "3/13/2026 10:42 pm",
        dated("2026-03-13", hms(22, 42, 0), None),
    );
    // March or January? The time is still good.
    check("3/1/2026 10:42", dated("", hms(10, 42, 0), None));
    check("83", Stamp::Elapsed(83 * SECOND));
    check("83,5", Stamp::Elapsed(83 * SECOND + SECOND / 2));
    check("-1.25", Stamp::Elapsed(-(SECOND + SECOND / 4)));
    check("90s", Stamp::Elapsed(90 * SECOND));
    check("1h02m03s", Stamp::Elapsed(hms(1, 2, 3)));
    check("12 min 30 sec", Stamp::Elapsed(hms(0, 12, 30)));
    check("12'30\"", Stamp::Elapsed(hms(0, 12, 30)));
}

#[test]
fn what_is_no_time() {
    for text in [
        "",
        "half pass",
        "10:60",
        "10:4",
        "10:425",
        "1:2:3",
        "1:02:03:04",
        "10:42 x",
        "13:00 pm",
        "0:30 am",
        "24:00 pm",
        "1.2.3",
        "-",
        "10:",
        ":10",
        "2026-13-01 10:00",
        "31.2.2026 10:00",
        "99999999999:00",
        "999999999",
        "1e5",
        "3 half passes",
        "10 m",
        "NaN",
        "１０：４２",
    ] {
        let stamp = read_stamp(text);
        // "10 m" alone in a column of times is ten minutes.
        let expect = (text == "10 m").then_some(Stamp::Elapsed(10 * MINUTE));
        assert_eq!(stamp, expect, "{text:?}");
    }
}

#[test]
fn a_line_is_parted_behind_its_time() {
    let check = |line: &str, rest: Option<&str>| {
        assert_eq!(
            leading_stamp(line).map(|(_, rest)| rest.trim()),
            rest,
            "{line:?}"
        );
    };
    check("10:42:15 half pass left", Some("half pass left"));
    check("[10:42] - late", Some("- late"));
    check("(0:03) late", Some("late"));
    check("at 10:42, late", Some(", late"));
    check("10:42pm late", Some("late"));
    check("10:42 pmx", Some("pmx"));
    check("2026-03-01 10:42 late", Some("late"));
    check("10:42. Late again", Some(". Late again"));
    check("12m30s late", Some("late"));
    check("12 min late", Some("late"));
    check("12' late", Some("late"));
    check("01.03.26 10:42:15 half pass", Some("half pass"));
    check("10.42.15 10 m circle", Some("10 m circle"));
    check("3 half passes", None);
    check("10 m circle left", None);
    check("20 metre circle", None);
    check("[10:42 late", None);
}

#[test]
fn days() {
    assert_eq!(read_day("2026-03-01"), NaiveDate::from_ymd_opt(2026, 3, 1));
    assert_eq!(read_day(" 1.3.2026 "), NaiveDate::from_ymd_opt(2026, 3, 1));
    assert_eq!(read_day("3/1/2026"), None);
    assert_eq!(read_day("2026-03-01 10"), None);
}

proptest::proptest! {
    #[test]
    fn any_text(text in "\\PC{0,40}|[-+0-9:.,hms'apmTZ/ ]{0,24}") {
        let _cell = read_stamp(&text);
        let _line = leading_stamp(&text);
        let _day = read_day(&text);
    }
}
