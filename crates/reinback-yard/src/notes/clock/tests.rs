//! Evenings, and the days on which the clocks are changed.

use chrono_tz::Tz;
use proptest::prelude::*;

use super::super::stamp::read_stamp;
use super::*;

const BERLIN: Tz = chrono_tz::Europe::Berlin;

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn scene(date: &str, time: Option<&str>) -> Scene<'static, Tz> {
    Scene {
        day: day(date),
        time: time.map(|time| time.parse().unwrap()),
        zone: &BERLIN,
    }
}

fn stamps(texts: &[&str]) -> Vec<Stamp> {
    texts.iter().map(|text| read_stamp(text).unwrap()).collect()
}

/// Minutes since the beginning of the day, and the remarks.
fn check(scene: Scene<'_, Tz>, texts: &[&str], minutes: &[i64], remarks: &[Option<TimeRemark>]) {
    let times = own_times(&stamps(texts), TimeKind::OfDay, scene);
    let found: Vec<i64> = times
        .iter()
        .map(|time| time.nanos / (60 * SECOND))
        .collect();
    assert_eq!(found, minutes, "{texts:?}");
    let found: Vec<_> = times.iter().map(|time| time.remark).collect();
    assert_eq!(found, remarks, "{texts:?}");
}

#[test]
fn an_evening_runs_past_midnight() {
    use TimeRemark::{Earlier, PastMidnight};
    let plain = scene("2026-03-01", None);
    check(
        plain,
        &["23:50", "23:59", "0:03", "0:10"],
        &[1430, 1439, 1443, 1450],
        &[None, None, Some(PastMidnight), None],
    );
    check(
        plain,
        &["23:59", "0:01", "23:58"],
        &[1439, 1441, 1438],
        &[None, Some(PastMidnight), Some(Earlier)],
    );
    check(
        plain,
        &["10:00", "9:55", "13:30"],
        &[600, 595, 810],
        &[None, Some(Earlier), None],
    );
    // The ride began shortly before midnight of its day.
    check(
        scene("2026-03-01", Some("23:40:00")),
        &["0:05"],
        &[1445],
        &[None],
    );
    // A written day is believed.
    check(
        plain,
        &["2026-03-02 0:10", "2026-03-01 23:50"],
        &[1450, 1430],
        &[None, Some(Earlier)],
    );
    check(
        plain,
        &["2026-03-01T09:00:00Z", "2026-03-01T10:30:00+01:00"],
        &[600, 630],
        &[None, None],
    );
}

/// One wrong digit moves its own line, and no other.
#[test]
fn a_slip_of_the_pen_moves_nothing_else() {
    use TimeRemark::{Far, TwelveHours};
    let plain = scene("2026-03-01", None);
    check(
        plain,
        &["16:10", "6:20 am", "16:30", "16:31"],
        &[970, 380, 990, 991],
        &[None, Some(Far), None, None],
    );
    check(
        plain,
        &["10:42", "21:43", "10:44", "10:45"],
        &[642, 1303, 644, 645],
        &[None, Some(Far), None, None],
    );
    // On the nearest day, which may be another than the ride's.
    check(
        plain,
        &["10:00", "23:30", "10:05"],
        &[600, -30, 605],
        &[None, Some(Far), None],
    );
    // So in the first line, with and without the ride's own time.
    for time in [None, Some("10:00:00")] {
        let times = own_times(
            &stamps(&["20:30", "10:00", "10:01"]),
            TimeKind::OfDay,
            scene("2026-03-01", time),
        );
        assert_eq!(times[0].remark, Some(Far));
        assert_eq!((times[1].nanos, times[1].remark), (10 * HOUR, None));
        assert_eq!(
            (times[2].nanos, times[2].remark),
            (10 * HOUR + 60 * SECOND, None)
        );
    }
    // Two that agree are a ride of the evening.
    check(
        plain,
        &["10:00", "10:05", "19:30", "19:35"],
        &[600, 605, 1170, 1175],
        &[None, None, None, None],
    );
    // A watch that shows twelve hours.
    let later = Some(TwelveHours);
    check(
        plain,
        &["12:58", "1:02", "1:05", "12:59"],
        &[778, 782, 785, 779],
        &[None, later, later, Some(TimeRemark::Earlier)],
    );
    check(
        scene("2026-03-01", Some("13:00:00")),
        &["1:02", "1:03"],
        &[782, 783],
        &[later, later],
    );
}

/// On 25 October 2026 the clocks of central Europe go from 3:00 back to 2:00 (EU directive
/// 2000/84/EC; the dates are those of the time zone database in `chrono-tz`).
#[test]
fn the_hour_that_comes_twice() {
    use TimeRemark::CameTwice;
    let autumn = scene("2026-10-25", None);
    check(
        autumn,
        &["1:50", "2:10", "2:50", "2:05", "2:55", "3:05"],
        &[110, 130, 170, 185, 235, 245],
        &[
            None,
            Some(CameTwice),
            Some(CameTwice),
            Some(CameTwice),
            Some(CameTwice),
            None,
        ],
    );
    // An ordinary ride of that day is 25 hours from midnight to midnight.
    check(autumn, &["10:00", "13:59"], &[660, 899], &[None, None]);
    check(autumn, &["23:59"], &[1499], &[None]);
    assert_eq!(
        ride_zero(scene("2026-10-25", Some("10:00:00"))),
        Some(11 * HOUR)
    );
}

/// On 29 March 2026 they go from 2:00 forward to 3:00.
#[test]
fn the_hour_that_never_was() {
    use TimeRemark::LeftOut;
    let spring = scene("2026-03-29", None);
    check(
        spring,
        &["1:55", "2:10", "3:15"],
        &[115, 130, 135],
        &[None, Some(LeftOut), None],
    );
    assert_eq!(
        ride_zero(scene("2026-03-29", Some("10:00:00"))),
        Some(9 * HOUR)
    );
    // A day that begins an hour late (Santiago de Chile, 8 September 2024).
    let santiago = Scene {
        day: day("2024-09-08"),
        time: None,
        zone: &chrono_tz::America::Santiago,
    };
    let times = own_times(&stamps(&["1:30"]), TimeKind::OfDay, santiago);
    assert_eq!(times[0].nanos, HOUR / 2);
}

#[test]
fn stop_watches() {
    let texts = stamps(&["-0:05", "0:10", "0:09", "1:02:03"]);
    let times = own_times(&texts, TimeKind::Elapsed, scene("2026-03-01", None));
    let seconds: Vec<i64> = times.iter().map(|time| time.nanos / SECOND).collect();
    assert_eq!(seconds, [-5, 10, 9, 3723]);
    assert_eq!(times[2].remark, Some(TimeRemark::Earlier));
}

#[test]
fn kinds_of_time() {
    use TimeKind::{Elapsed, OfDay};
    let check = |texts: &[&str], time: Option<&str>, kind: TimeKind, sure: bool| {
        let time = time.map(|time| time.parse().unwrap());
        let guess = guess_kind(&stamps(texts), time);
        assert_eq!(guess, KindGuess { kind, sure }, "{texts:?} {time:?}");
    };
    check(&["10:42:15", "10:50:00"], None, OfDay, true);
    check(&["0:42:15", "1:10:00"], None, Elapsed, false);
    check(&["0:42:15", "1:10:00"], Some("18:00:00"), Elapsed, true);
    check(&["10:42", "10:43", "10:45"], None, OfDay, false);
    check(&["10:42", "14:10", "19:03"], None, Elapsed, false);
    check(
        &["10:42", "14:10", "19:03"],
        Some("18:00:00"),
        Elapsed,
        true,
    );
    check(&["10:42", "11:10"], Some("10:30:00"), OfDay, false);
    check(&["10:42 am", "11:10"], None, OfDay, true);
    check(&["-0:05", "10:42"], None, Elapsed, true);
    check(&["10:42 am", "-0:05"], None, OfDay, false);
    check(&["23:50:00", "0:10:00"], None, OfDay, true);
    check(&["12:58:10", "1:02:00", "1:05:00"], None, OfDay, true);
    check(
        &["10:42:15", "10:43:15", "10:44:00", "23:00:00"],
        None,
        OfDay,
        false,
    );
    // One slip among fifty.
    let mut many = vec!["10:42:15"; 50];
    many.push("-0:05");
    check(&many, None, OfDay, true);
    check(&["10:42:15", "10:43:15", "-0:05"], None, OfDay, false);
    let mut minutes = vec!["10:42"; 50];
    minutes.push("75:10");
    check(&minutes, None, OfDay, false);
    check(&[], None, Elapsed, false);
}

proptest! {
    /// Whatever the times are, each has a place, and one behind the other within a day stays so.
    #[test]
    fn any_times(
        times in proptest::collection::vec((0_i64..24, 0_i64..60), 1..30),
        date in 10_000_i32..30_000,
    ) {
        let texts: Vec<Stamp> = times
            .iter()
            .map(|(hour, minute)| read_stamp(&format!("{hour}:{minute:02}")).unwrap())
            .collect();
        let day = NaiveDate::from_ymd_opt(1970, 1, 1).unwrap() + Days::new(u64::from(date.unsigned_abs()));
        let scene = Scene { day, time: None, zone: &BERLIN };
        let own = own_times(&texts, TimeKind::OfDay, scene);
        prop_assert_eq!(own.len(), texts.len());
        for pair in own.windows(2) {
            let apart = (pair[1].nanos - pair[0].nanos).abs();
            prop_assert!(apart < 2 * DAY, "{:?}", own);
        }
    }
}
