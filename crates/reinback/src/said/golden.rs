//! The sentences, word for word, in every language. Written by hand.

mod horses;
mod how;
mod question;

use std::sync::Arc;

use chrono::NaiveDate;
use proptest::prelude::*;
use reinback_analysis::{
    Comparison, Day, Estimate, FaultRate, Method, PerMinute, Rein, Reservation, RidePoint,
    Shortage, Tally, Verdict,
};
use reinback_yard::{IdMaker, WordId};

use super::numbers::{fraction, grouped};
use super::*;
use crate::report::numbers::{
    Days, Line, Numbers, OnlyBefore, Question, Reins, Times, Whose, numbers,
};
use crate::report::sample;

fn both() -> [Say; 2] {
    [Language::English, Language::German].map(Say::new)
}

/// One thing said in English and in German.
fn check(say: impl Fn(&Say) -> String, english: &str, german: &str) {
    let [en, de] = both();
    assert_eq!(say(&en), english);
    assert_eq!(say(&de), german);
}

fn rate(faulty: u32, attempts: u32) -> FaultRate {
    FaultRate::new(Tally { faulty, attempts })
}

/// Ranges: Wilson at 95 %, by the published formula with z = 1.959964 (Wilson 1927):
/// 4 of 23 is 0.070 to 0.371; 0 of 23 reaches 0.143; 23 of 23 begins at 0.857; 5 of 10 is 0.237
/// to 0.763; 1 of 6 is 0.030 to 0.564; 19 of 20 is 0.764 to 0.991; 0 of 1000 reaches 0.0038, 3 of
/// 2000 0.0044, 1 of 300 0.0186.
#[test]
fn rates() {
    for (faulty, attempts, english, german) in [
        (
            4,
            23,
            "4 of 23 attempts, about 1 in 6 (probably between 1 in 14 and 2 in 5)",
            "4 von 23 Versuchen mit Fehler, etwa 1 von 6 (wahrscheinlich zwischen 1 von 14 und 2 von 5)",
        ),
        (
            5,
            10,
            "5 of 10 attempts, about 1 in 2 (probably between 1 in 4 and 3 in 4)",
            "5 von 10 Versuchen mit Fehler, etwa 1 von 2 (wahrscheinlich zwischen 1 von 4 und 3 von 4)",
        ),
        (
            1,
            6,
            "1 of 6 attempts, about 1 in 6 (probably between 1 in 33 and 3 in 5)",
            "1 von 6 Versuchen mit Fehler, etwa 1 von 6 (wahrscheinlich zwischen 1 von 33 und 3 von 5)",
        ),
        (
            19,
            20,
            "19 of 20 attempts, about 19 in 20 (probably between 3 in 4 and 99 in 100)",
            "19 von 20 Versuchen mit Fehler, etwa 19 von 20 (wahrscheinlich zwischen 3 von 4 und 99 von 100)",
        ),
        (
            2,
            5,
            "2 of 5 attempts: too few for a rate, which takes 6",
            "2 von 5 Versuchen mit Fehler: zu wenige für eine Quote, ab 6 gibt es eine",
        ),
        (
            1,
            1,
            "1 of 1 attempt: too few for a rate, which takes 6",
            "1 von 1 Versuch mit Fehler: zu wenige für eine Quote, ab 6 gibt es eine",
        ),
        (0, 0, "not ridden", "nicht geritten"),
        (
            0,
            23,
            "0 of 23 attempts: none faulty so far (probably fewer than 1 in 7)",
            "0 von 23 Versuchen mit Fehler, bisher also keiner (wahrscheinlich weniger als 1 von 7)",
        ),
        (
            23,
            23,
            "23 of 23 attempts: every one faulty (probably more than 7 in 8)",
            "23 von 23 Versuchen mit Fehler, also jeder (wahrscheinlich mehr als 7 von 8)",
        ),
        (
            0,
            1000,
            "0 of 1000 attempts: none faulty so far (probably fewer than 1 in 200)",
            "0 von 1000 Versuchen mit Fehler, bisher also keiner (wahrscheinlich weniger als 1 von 200)",
        ),
        (
            3,
            2000,
            "3 of 2000 attempts (probably fewer than 1 in 200)",
            "3 von 2000 Versuchen mit Fehler (wahrscheinlich weniger als 1 von 200)",
        ),
        (
            1,
            300,
            "1 of 300 attempts (probably fewer than 1 in 54)",
            "1 von 300 Versuchen mit Fehler (wahrscheinlich weniger als 1 von 54)",
        ),
        (
            299,
            300,
            "299 of 300 attempts (probably more than 99 in 100)",
            "299 von 300 Versuchen mit Fehler (wahrscheinlich mehr als 99 von 100)",
        ),
        (
            1000,
            1000,
            "1000 of 1000 attempts: every one faulty (probably more than 199 in 200)",
            "1000 von 1000 Versuchen mit Fehler, also jeder (wahrscheinlich mehr als 199 von 200)",
        ),
        (
            7,
            5,
            "7 of 5 attempts. These numbers cannot be right. Check the bouts of this exercise.",
            "7 von 5 Versuchen mit Fehler. Diese Zahlen können nicht stimmen. Die Einträge dieser Lektion prüfen.",
        ),
    ] {
        check(|say| say.rate(&rate(faulty, attempts)), english, german);
    }
}

#[test]
fn shares() {
    for (value, english, german) in [
        (0.0, "none", "keiner"),
        (0.001, "fewer than 1 in 200", "weniger als 1 von 200"),
        (0.01, "1 in 100", "1 von 100"),
        (0.174, "1 in 6", "1 von 6"),
        (0.34, "1 in 3", "1 von 3"),
        (0.5, "1 in 2", "1 von 2"),
        (0.66, "2 in 3", "2 von 3"),
        (0.88, "7 in 8", "7 von 8"),
        (0.997, "more than 199 in 200", "mehr als 199 von 200"),
        (1.0, "all", "alle"),
    ] {
        check(|say| say.share(value), english, german);
    }
}

#[test]
fn numbers_days_and_lengths() {
    check(
        |say| say.decimal(12_043.26, 1),
        "12\u{202f}043.3",
        "12\u{202f}043,3",
    );
    check(|say| say.decimal(-0.04, 1), "0.0", "0,0");
    check(|say| say.decimal(-1.26, 1), "−1.3", "−1,3");
    check(|say| say.count(9_999), "9999", "9999");
    check(
        |say| say.count(1_234_567),
        "1\u{202f}234\u{202f}567",
        "1\u{202f}234\u{202f}567",
    );
    let day = |text: &str| -> NaiveDate { text.parse().expect("a day") };
    check(
        |say| say.day(day("2026-05-04")),
        "4 May 2026",
        "4. Mai 2026",
    );
    check(
        |say| say.day(day("2026-09-28")),
        "28 Sep 2026",
        "28. Sep. 2026",
    );
    check(
        |say| say.day_in_full(day("2026-09-28")),
        "28 September 2026",
        "28. September 2026",
    );
    check(
        |say| say.day_of_month(day("2026-03-01")),
        "1 Mar",
        "1. März",
    );
    check(
        |say| say.month_of_year(day("2026-10-01")),
        "Oct 2026",
        "Okt. 2026",
    );
    let (from, to) = (Some(day("2026-02-05")), Some(day("2026-05-04")));
    check(
        |say| say.days(Days { from, to }),
        "5 Feb 2026 to 4 May 2026",
        "5. Feb. 2026 bis 4. Mai 2026",
    );
    check(
        |say| say.days(Days { from, to: None }),
        "from 5 Feb 2026",
        "ab 5. Feb. 2026",
    );
    check(
        |say| say.days(Days { from: None, to }),
        "up to 4 May 2026",
        "bis 4. Mai 2026",
    );
    check(|say| say.days(Days::default()), "every ride", "alle Ritte");
    check(
        |say| say.length(125_000_000_000),
        "2 min 05 s",
        "2 min 05 s",
    );
    check(
        |say| say.length(4_320_000_000_000),
        "1 h 12 min",
        "1 h 12 min",
    );
    check(|say| say.length(-3), "0 s", "0 s");
}

/// 6 faults in 3 minutes: 2 a minute; exact mid-p range 0.81 to 4.16, by bisection of the Poisson
/// tails with half the observed probability, written out in Python for this.
#[test]
fn faults_a_minute() {
    let minute = 60_000_000_000;
    check(
        |say| say.per_minute(&PerMinute::new(6, 3 * minute)),
        "2.0 faults a minute (0.8 to 4.2) in 3 min 00 s",
        "2,0 Fehler pro Minute (0,8 bis 4,2) in 3 min 00 s",
    );
    check(
        |say| say.per_minute(&PerMinute::new(6, 0)),
        "no time ridden: the bouts have no length",
        "keine gerittene Zeit: die Lektionen haben keine Länge",
    );
}

fn points(attempts: u32, faulty: [u32; 10]) -> Vec<RidePoint> {
    let point = |(ride, faulty): (u32, u32)| RidePoint {
        ride: ride.into(),
        day: Day(3 * i32::try_from(ride).expect("few rides")),
        tally: Tally { faulty, attempts },
    };
    (0..).zip(faulty).map(point).collect()
}

#[test]
fn trends() {
    let steady = points(10, [5, 4, 5, 5, 4, 5, 5, 4, 5, 4]);
    let falling = points(10, [9, 8, 8, 7, 6, 5, 4, 3, 2, 1]);
    let rising = points(10, [1, 2, 3, 4, 5, 6, 7, 8, 8, 9]);
    let one_day: Vec<RidePoint> = steady
        .iter()
        .map(|point| RidePoint {
            day: Day(1),
            ..*point
        })
        .collect();
    for (rides, english, german) in [
        (
            &falling[..],
            "fewer faulty attempts lately, more than luck",
            "zuletzt weniger Versuche mit Fehler, wohl kein Zufall",
        ),
        (
            &rising[..],
            "more faulty attempts lately, more than luck",
            "zuletzt mehr Versuche mit Fehler, wohl kein Zufall",
        ),
        (&steady[..], "no clear trend", "keine klare Tendenz"),
        (
            &steady[..5],
            "not enough rides yet (5 of 8)",
            "noch zu wenige Ritte (5 von 8)",
        ),
        (
            &one_day[..],
            "no trend: all on one day",
            "keine Tendenz: alles an einem Tag",
        ),
    ] {
        let found = reinback_analysis::trend(rides, 7);
        check(|say| say.trend(&found, rides.len()), english, german);
    }
    for (rides, english, german) in [
        (
            &falling[..],
            "Faulty attempts have become fewer, more than luck would explain. 10 rides with this exercise.",
            "Die Versuche mit Fehler werden weniger; mit Zufall allein ist das nicht zu erklären. 10 Ritte mit dieser Lektion.",
        ),
        (
            &steady[..1],
            "Not enough rides yet: 1 ride with this exercise; a trend needs at least 8.",
            "Noch zu wenige Ritte: 1 Ritt mit dieser Lektion; für eine Tendenz braucht es mindestens 8.",
        ),
    ] {
        let found = reinback_analysis::trend(rides, 7);
        check(
            |say| say.trend_in_full(&found, rides.len()),
            english,
            german,
        );
    }
}

/// Left always 6 of 10, right 1 of 10 in so many rides.
fn line_with_reins(rides: u32) -> Line {
    let mut yard = sample::yard();
    let mut ids = IdMaker::seeded(3);
    yard.rides = (0..u64::from(rides))
        .map(|number| {
            let mut ride = sample::blank(&mut ids, sample::day(number));
            for at in 0..20 {
                let left = at % 2 == 0;
                let rein = if left { Rein::Left } else { Rein::Right };
                let faulty = at < 12 && left || at == 1;
                sample::bout(
                    &mut ids,
                    &mut ride,
                    "half-pass",
                    Some(rein),
                    faulty.then_some("tense"),
                );
            }
            (ride.id, Arc::new(ride))
        })
        .collect();
    let question = Question {
        whose: Whose::One(sample::horse()),
        days: Days::default(),
        against: None,
        reins: Reins::Both,
    };
    numbers(&yard, &question).lines.remove(0)
}

#[test]
fn reins() {
    let mut line = line_with_reins(8);
    let found = line.reins.as_mut().expect("both reins");
    found.difference = Ok(estimate(-0.5, -0.63, -0.34));
    check(
        |say| say.reins(&line),
        "Fewer faulty attempts on the right rein: left 48 of 80, right 8 of 80. Of 100 attempts, probably between 34 and 63 fewer are faulty on the right. Counted over the rides that have it on both reins.",
        "Auf der rechten Hand weniger Versuche mit Fehler: links 48 von 80, rechts 8 von 80. Auf 100 Versuche kommen rechts wahrscheinlich 34 bis 63 Versuche mit Fehler weniger. Gezählt sind die Ritte mit der Lektion auf beiden Händen.",
    );
    let found = line.reins.as_mut().expect("both reins");
    found.verdict = Verdict::NoClearDifference;
    found.reservation = Some(Reservation::RangeAlone);
    found.difference = Ok(estimate(-0.2, -0.4, -0.001));
    check(
        |say| say.reins(&line),
        "No clear difference between the reins: left 48 of 80, right 8 of 80. Of 100 attempts, probably up to 40 fewer are faulty on the right. Counted over the rides that have it on both reins. The range leaves out zero, but when whole rides are shuffled between the two sides a difference like this comes up too often. A few unlike rides may be behind it.",
        "Kein klarer Unterschied zwischen den Händen: links 48 von 80, rechts 8 von 80. Auf 100 Versuche kommen rechts wahrscheinlich bis zu 40 Versuche mit Fehler weniger. Gezählt sind die Ritte mit der Lektion auf beiden Händen. Die Spanne schließt die Null aus; werden aber ganze Ritte zwischen beiden Seiten gemischt, kommt ein solcher Unterschied zu oft heraus. Dahinter können einzelne ungewöhnliche Ritte stecken.",
    );
    check(
        |say| say.reins(&line_with_reins(3)),
        "Too few to tell: left 18 of 30, right 3 of 30. At least 4 rides with it on both reins are needed.",
        "Zu wenige für eine Aussage: links 18 von 30, rechts 3 von 30. Es braucht mindestens 4 Ritte mit der Lektion auf beiden Händen.",
    );
    line.reins = None;
    check(
        |say| say.reins(&line),
        "No ride has it on both reins, so the reins cannot be compared. Ride it on both, or choose a longer period.",
        "Kein Ritt enthält die Lektion auf beiden Händen, deshalb sind die Hände nicht zu vergleichen. Auf beiden Händen reiten oder einen längeren Zeitraum wählen.",
    );
}

fn estimate(value: f64, low: f64, high: f64) -> Estimate {
    Estimate::new(value, low, high, 0.95, Method::NewcombeEffective).expect("finite")
}

fn compared(before: (u32, u32), after: (u32, u32), verdict: Verdict) -> Comparison {
    Comparison {
        horses: 1,
        before: rate(before.0, before.1),
        after: rate(after.0, after.1),
        difference: Ok(estimate(-0.25, -0.49, -0.02)),
        permutation_p: Some(0.013),
        adjusted_p: Some(0.026),
        dispersion: 1.0,
        verdict,
        reservation: None,
    }
}

#[test]
fn two_periods() {
    let few = Verdict::TooFew(Shortage::FewerThanFourRides);
    let split = Earlier::Before("2026-05-04".parse().expect("a day"));
    for (before, after, verdict, earlier, english, german) in [
        (
            (9, 21),
            (4, 23),
            Verdict::Fewer,
            Earlier::LastMonth,
            "4 of 23 attempts, about 1 in 6; last month 9 of 21: fewer, and likely more than luck",
            "4 von 23 Versuchen mit Fehler, etwa 1 von 6; im Vormonat 9 von 21: weniger, und das ist wohl kein Zufall",
        ),
        (
            (2, 30),
            (30, 30),
            Verdict::More,
            Earlier::DaysBefore(28),
            "30 of 30 attempts, every one faulty; in the 28 days before 2 of 30: more, and likely more than luck",
            "30 von 30 Versuchen mit Fehler, also jeder; in den 28 Tagen davor 2 von 30: mehr, und das ist wohl kein Zufall",
        ),
        (
            (1, 30),
            (0, 30),
            Verdict::NoClearDifference,
            Earlier::ThreeMonths,
            "0 of 30 attempts, none faulty; in the three months before 1 of 30: no clear difference",
            "0 von 30 Versuchen mit Fehler, also keiner; in den drei Monaten davor 1 von 30: kein klarer Unterschied",
        ),
        (
            (1, 3),
            (1, 1),
            few,
            split,
            "1 of 1 attempt; before 4 May 2026 1 of 3: too few to tell",
            "1 von 1 Versuch mit Fehler; vor dem 4. Mai 2026 1 von 3: zu wenige für eine Aussage",
        ),
        (
            (0, 0),
            (4, 23),
            few,
            Earlier::LastMonth,
            "4 of 23 attempts, about 1 in 6; not ridden last month",
            "4 von 23 Versuchen mit Fehler, etwa 1 von 6; im Vormonat nicht geritten",
        ),
        (
            (9, 21),
            (0, 0),
            few,
            Earlier::LastMonth,
            "not ridden now; last month 9 of 21",
            "jetzt nicht geritten; im Vormonat 9 von 21",
        ),
    ] {
        let found = compared(before, after, verdict);
        check(|say| say.periods(&found, earlier), english, german);
    }
}

#[test]
fn how_far_two_periods_are_apart() {
    let joined = |found: &Comparison| {
        let found = *found;
        move |say: &Say| say.periods_apart(&found).join(" ")
    };
    let mut found = compared((9, 21), (4, 23), Verdict::Fewer);
    check(
        joined(&found),
        "Of 100 attempts, probably between 2 and 49 fewer are faulty than before.",
        "Auf 100 Versuche kommen wahrscheinlich 2 bis 49 Versuche mit Fehler weniger als vorher.",
    );
    found.verdict = Verdict::NoClearDifference;
    found.reservation = Some(Reservation::ManyLines);
    check(
        joined(&found),
        "Of 100 attempts, probably between 2 and 49 fewer are faulty than before. On its own this line would count as a difference, but among this many lines one such is to be expected by luck.",
        "Auf 100 Versuche kommen wahrscheinlich 2 bis 49 Versuche mit Fehler weniger als vorher. Für sich allein gälte das als Unterschied; bei so vielen Lektionen ist einer davon aber schon durch Zufall zu erwarten.",
    );
    check(
        |say| say.periods_apart_in_short(&found).unwrap_or_default(),
        "Of 100 attempts, probably between 2 and 49 fewer are faulty than before. Among so many lines this can still be luck.",
        "Auf 100 Versuche kommen wahrscheinlich 2 bis 49 Versuche mit Fehler weniger als vorher. Bei so vielen Lektionen kann das noch Zufall sein.",
    );
    found.reservation = None;
    found.difference = Ok(estimate(0.01, -0.2, 0.22));
    check(
        joined(&found),
        "Of 100 attempts, anything from 20 fewer to 22 more may be faulty than before.",
        "Auf 100 Versuche kommen wahrscheinlich 20 Versuche mit Fehler weniger bis 22 mehr als vorher.",
    );
    found.difference = Ok(estimate(0.1, -0.003, 0.33));
    check(
        joined(&found),
        "Of 100 attempts, as many may be faulty as before, or up to 33 more.",
        "Auf 100 Versuche kommen wahrscheinlich ebenso viele Versuche mit Fehler wie vorher, oder bis zu 33 mehr.",
    );
    found.difference = Ok(estimate(-0.1, -0.16, 0.004));
    check(
        joined(&found),
        "Of 100 attempts, as many may be faulty as before, or up to 16 fewer.",
        "Auf 100 Versuche kommen wahrscheinlich ebenso viele Versuche mit Fehler wie vorher, oder bis zu 16 weniger.",
    );
    found.difference = Ok(estimate(0.1, 0.001, 0.2));
    check(
        joined(&found),
        "Of 100 attempts, probably up to 20 more are faulty than before.",
        "Auf 100 Versuche kommen wahrscheinlich bis zu 20 Versuche mit Fehler mehr als vorher.",
    );
    found.verdict = Verdict::TooFew(Shortage::FewerThanFourRides);
    check(
        joined(&found),
        "Both periods need at least 4 rides with this exercise.",
        "Beide Zeiträume brauchen mindestens 4 Ritte mit dieser Lektion.",
    );
    found.before = rate(0, 0);
    check(joined(&found), "", "");
}

#[test]
fn periods_with_too_few_rides_and_exercises_given_up() {
    let yard = sample::yard();
    let question = Question {
        whose: Whose::One(sample::horse()),
        days: Days::default(),
        against: None,
        reins: Reins::Both,
    };
    let with = |rides, rides_against| Numbers {
        rides,
        rides_against,
        ..numbers(&yard, &question)
    };
    for (found, english, german) in [
        (
            with(10, 0),
            "No ride last month: nothing to compare with.",
            "Kein Ritt im Vormonat: nichts zum Vergleichen.",
        ),
        (
            with(1, 9),
            "1 ride: too few to compare; at least 4 are needed.",
            "1 Ritt: zu wenige für einen Vergleich; es braucht mindestens 4.",
        ),
        (
            with(4, 3),
            "3 rides last month: too few to compare; at least 4 are needed.",
            "3 Ritte im Vormonat: zu wenige für einen Vergleich; es braucht mindestens 4.",
        ),
        (with(4, 4), "", ""),
    ] {
        let said = |say: &Say| say.few_rides(&found, Earlier::LastMonth);
        check(|say| said(say).unwrap_or_default(), english, german);
    }
    let gone = |name: &str, faulty| OnlyBefore {
        exercise: WordId::new("gone").expect("a word"),
        name: name.into(),
        tally: Tally {
            faulty,
            attempts: 6,
        },
    };
    let mut found = with(4, 4);
    let said = |found: &Numbers| {
        let found = found.clone();
        move |say: &Say| {
            say.only_before(&found, Earlier::DaysBefore(28))
                .unwrap_or_default()
        }
    };
    check(said(&found), "", "");
    found.only_before = vec![gone("travers", 2), gone("our zigzag", 0)];
    check(
        said(&found),
        "Ridden only in the 28 days before: travers 2 of 6; our zigzag 0 of 6",
        "Nur in den 28 Tagen davor geritten: Travers 2 von 6; our zigzag 0 von 6",
    );
}

#[test]
fn what_follows_a_mistake() {
    let line = line_with_reins(1);
    // Faulty are attempts 0, 1, 2, 4, 6, 8 and 10, of 20: 0-1 and 1-2 follow a mistake.
    let after = line.after.expect("figures");
    check(
        |say| say.after_mistake(&after).join("\n"),
        "Ridden again at once after 0 of 7 mistakes.\n\
         The next attempt was faulty 2 of 7 times after a mistake, 4 of 12 times after a clean one.\n\
         No clear pattern from one attempt to the next.",
        "Nach 0 von 7 Fehlern gleich noch einmal geritten.\n\
         Der nächste Versuch misslang nach einem Fehler 2 von 7 Mal, nach einem gelungenen 4 von 12 Mal.\n\
         Von einem Versuch zum nächsten ist kein klares Muster zu sehen.",
    );
    let mut after = after;
    after.repeated = rate(1, 1);
    after.repeat = rate(1, 1);
    after.verdict = reinback_analysis::Sequence::InARow;
    check(
        |say| say.after_mistake(&after)[..2].join("\n"),
        "Ridden again at once after 1 of 1 mistake.\nOf this one repeat, 1 went wrong again.",
        "Nach 1 von 1 Fehler gleich noch einmal geritten.\nWieder misslungen: 1 von 1 Wiederholung.",
    );
    after.repeat = rate(2, 3);
    check(
        |say| say.after_mistake(&after)[1].clone(),
        "Of these 3 repeats, 2 went wrong again.",
        "Wieder misslungen: 2 von 3 Wiederholungen.",
    );
    // The only faulty attempt of a ride was its last, or its first and only one.
    for (faulty, clean, english, german) in [
        (
            (0, 0),
            (4, 12),
            "The next attempt was faulty 4 of 12 times after a clean one.",
            "Der nächste Versuch misslang nach einem gelungenen 4 von 12 Mal.",
        ),
        (
            (2, 7),
            (0, 0),
            "The next attempt was faulty 2 of 7 times after a mistake.",
            "Der nächste Versuch misslang nach einem Fehler 2 von 7 Mal.",
        ),
        (
            (0, 0),
            (0, 0),
            "Mistakes come in a row, more than luck would have it.",
            "Ein Fehler zieht den nächsten nach sich, öfter als durch Zufall.",
        ),
    ] {
        after.after_faulty = rate(faulty.0, faulty.1);
        after.after_clean = rate(clean.0, clean.1);
        check(|say| say.after_mistake(&after)[2].clone(), english, german);
    }
    after.repeated = rate(0, 0);
    check(
        |say| say.after_mistake(&after).join("\n"),
        "No faulty attempts: there was nothing to repeat.",
        "Kein Versuch mit Fehler: Es gab nichts zu wiederholen.",
    );
}

proptest! {
    /// A narrow range is never said to be anything.
    #[test]
    fn a_narrow_range_says_something(attempts in 6_u32..5_000, part in 0.0_f64..=1.0) {
        let found = rate((f64::from(attempts) * part).round() as u32, attempts);
        let range = found.range.expect("enough attempts");
        if range.width() < 0.5 {
            for (say, anything) in both().into_iter().zip(["anything", "alles"]) {
                let said = say.rate(&found);
                prop_assert!(!said.contains(anything), "{said}");
                prop_assert!(!said.contains("about fewer") && !said.contains("etwa weniger"));
            }
        }
    }

    /// The words never turn the order of two shares round, and stay near what they say.
    #[test]
    fn fractions_keep_their_order(a in 0.005_f64..0.995, b in 0.005_f64..0.995) {
        let said = |value| {
            let (some, all) = fraction(value).expect("inside");
            f64::from(some) / f64::from(all)
        };
        let (low, high) = (a.min(b), a.max(b));
        prop_assert!(said(low) <= said(high), "{low} {high}");
        prop_assert!((said(a) - a).abs() <= 0.085, "{a} is not {}", said(a));
    }

    #[test]
    fn every_tally_has_a_sentence(faulty in 0_u32..80, more in 0_u32..80) {
        for (say, of) in both().into_iter().zip(["of", "von"]) {
            let said = say.rate(&rate(faulty, faulty + more));
            prop_assert!(!said.contains("NaN") && !said.contains("inf"), "{said}");
            if faulty + more > 0 {
                let begins = format!("{faulty} {of} {}", faulty + more);
                prop_assert!(said.starts_with(&begins), "{said}");
            }
        }
    }

    /// Taking the thin spaces out gives the number back, and no group has more than three digits.
    #[test]
    fn digits_stand_in_groups(value in 0_u32..) {
        let said = grouped(f64::from(value));
        prop_assert_eq!(said.replace('\u{202f}', ""), value.to_string());
        if value > 9_999 {
            prop_assert!(said.split('\u{202f}').all(|group| group.len() <= 3), "{said}");
        }
    }
}
