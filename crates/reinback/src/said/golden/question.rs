//! Which days and what of them, why a line is first, and all lines in one breath.

use reinback_analysis::{Cell, Clear, Timed};

use super::*;
use crate::report::numbers::{Compared, Measure};
use crate::report::period::{Against, Choice, Few, Instead, Span, Unclear};

fn day(text: &str) -> NaiveDate {
    text.parse().expect("a day")
}

#[test]
fn days_by_their_names() {
    let today = day("2026-11-20");
    for (span, english, german) in [
        (Span::Month(0), "November to date", "November bis heute"),
        (Span::Month(11), "December 2025", "Dezember 2025"),
        (Span::FourWeeks, "Last 28 days", "Letzte 28 Tage"),
        (Span::ThreeMonths, "Last three months", "Letzte drei Monate"),
        (Span::Everything, "Everything", "Alles"),
        (Span::Typed, "From, to…", "Von, bis…"),
    ] {
        check(|say| say.span(span, today), english, german);
    }
    let typed = |from: &str, to: &str| Choice {
        span: Span::Typed,
        typed: [from.into(), to.into()],
        ..Choice::default()
    };
    let of = |span| Choice {
        span,
        ..Choice::default()
    };
    for (choice, english, german) in [
        (of(Span::Month(0)), "all of October", "dem ganzen Oktober"),
        (of(Span::Month(2)), "all of August", "dem ganzen August"),
        (
            of(Span::FourWeeks),
            "the 28 days before",
            "den 28 Tagen davor",
        ),
        (
            of(Span::ThreeMonths),
            "the three months before",
            "den drei Monaten davor",
        ),
        (
            typed("2026-11-02", "2026-11-02"),
            "the day before",
            "dem Tag davor",
        ),
        (
            typed("2026-11-02", ""),
            "as many days before",
            "ebenso vielen Tagen davor",
        ),
    ] {
        check(
            |say| say.against(&choice, (choice.span, Against::Earlier), today),
            english,
            german,
        );
    }
}

#[test]
fn earlier_days_in_a_sentence() {
    let others = Days {
        from: Some(day("2025-11-01")),
        to: Some(day("2025-11-30")),
    };
    for (earlier, english, german) in [
        (
            Earlier::Month(day("2026-09-01")),
            "in September 2026",
            "im September 2026",
        ),
        (Earlier::DaysBefore(1), "on the day before", "am Tag davor"),
        (
            Earlier::DaysBefore(33),
            "in the 33 days before",
            "in den 33 Tagen davor",
        ),
        (
            Earlier::Others(others),
            "on the other days (1 Nov 2025 to 30 Nov 2025)",
            "an den anderen Tagen (1. Nov. 2025 bis 30. Nov. 2025)",
        ),
    ] {
        check(|say| say.earlier(earlier), english, german);
    }
}

#[test]
fn other_days_than_the_month_are_told() {
    for (rides, english, german) in [
        (
            0,
            "November has no ride to compare yet; that takes 4. These are the 28 days up to 31 October 2026.",
            "Im November gibt es noch keinen Ritt zum Vergleichen; es braucht 4. Gezeigt sind die 28 Tage bis zum 31. Oktober 2026.",
        ),
        (
            1,
            "November has only 1 ride to compare yet; that takes 4. These are the 28 days up to 31 October 2026.",
            "Im November gibt es erst 1 Ritt zum Vergleichen; es braucht 4. Gezeigt sind die 28 Tage bis zum 31. Oktober 2026.",
        ),
        (
            3,
            "November has only 3 rides to compare yet; that takes 4. These are the 28 days up to 31 October 2026.",
            "Im November gibt es erst 3 Ritte zum Vergleichen; es braucht 4. Gezeigt sind die 28 Tage bis zum 31. Oktober 2026.",
        ),
    ] {
        let why = Instead {
            month: day("2026-11-01"),
            few: Few::Rides(rides),
            latest: day("2026-10-31"),
        };
        check(|say| say.instead(&why), english, german);
        check(
            |say| say.span_instead(&why),
            "28 days to 31 Oct 2026",
            "28 Tage bis 31. Okt. 2026",
        );
    }
    for (enough, english, german) in [
        (
            0,
            "In November none of 6 horses in work has the 4 rides yet that a comparison takes. These are the 28 days up to 31 October 2026, the same for all of them.",
            "Im November hat noch keines von 6 Pferden in Arbeit die 4 Ritte, die ein Vergleich braucht. Gezeigt sind für alle dieselben 28 Tage bis zum 31. Oktober 2026.",
        ),
        (
            1,
            "In November only 1 of 6 horses in work has the 4 rides yet that a comparison takes. These are the 28 days up to 31 October 2026, the same for all of them.",
            "Im November hat erst 1 von 6 Pferden in Arbeit die 4 Ritte, die ein Vergleich braucht. Gezeigt sind für alle dieselben 28 Tage bis zum 31. Oktober 2026.",
        ),
        (
            2,
            "In November only 2 of 6 horses in work have the 4 rides yet that a comparison takes. These are the 28 days up to 31 October 2026, the same for all of them.",
            "Im November haben erst 2 von 6 Pferden in Arbeit die 4 Ritte, die ein Vergleich braucht. Gezeigt sind für alle dieselben 28 Tage bis zum 31. Oktober 2026.",
        ),
    ] {
        let why = Instead {
            month: day("2026-11-01"),
            few: Few::Horses { enough, of: 6 },
            latest: day("2026-10-31"),
        };
        check(|say| say.instead(&why), english, german);
    }
    check(
        |say| say.unclear(&Unclear::TurnedRound),
        "The period ends before it begins. Exchange the two days.",
        "Der Zeitraum endet, bevor er anfängt. Die beiden Tage vertauschen.",
    );
}

#[test]
fn the_reins_in_a_line_of_the_list() {
    let mut line = line_with_reins(8);
    let found = line.reins.as_mut().expect("both reins");
    found.difference = Ok(estimate(-0.5, -0.63, -0.34));
    let joined = |line: &Line| {
        let line = line.clone();
        move |say: &Say| say.reins_in_short(&line).join(" | ")
    };
    check(
        joined(&line),
        "left 48 of 80, right 8 of 80: fewer on the right, and likely more than luck | Of 100 attempts, probably between 34 and 63 fewer are faulty on the right.",
        "links 48 von 80, rechts 8 von 80: rechts weniger, und das ist wohl kein Zufall | Auf 100 Versuche kommen rechts wahrscheinlich 34 bis 63 Versuche mit Fehler weniger.",
    );
    let few = Shortage::FewerThanFourRides;
    if let Some(found) = line.reins.as_mut() {
        found.difference = Err(few);
        found.verdict = Verdict::TooFew(few);
    }
    check(
        joined(&line),
        "left 48 of 80, right 8 of 80: too few to tell | At least 4 rides with it on both reins are needed.",
        "links 48 von 80, rechts 8 von 80: zu wenige für eine Aussage | Es braucht mindestens 4 Ritte mit der Lektion auf beiden Händen.",
    );
}

const MINUTE: i64 = 60_000_000_000;

fn cell(faults: u32, minutes: i64) -> Cell {
    Cell {
        rate: rate(faults.min(20), 20),
        per_minute: PerMinute::new(faults, minutes * MINUTE),
        faults,
    }
}

#[test]
fn faults_a_minute_of_two_periods() {
    let (now, before) = (cell(12, 5), cell(9, 10));
    let mut found = Compared {
        // Of horses ridden in one period only there is more; it is not spoken of.
        earlier: cell(15, 20),
        rate: compared((9, 20), (12, 20), Verdict::More),
        per_minute: Ok(estimate(2.67, 1.13, 6.42)),
        timed: Timed {
            before: before.per_minute,
            after: now.per_minute,
            more_than_none: false,
        },
    };
    let said = |found: &Compared| {
        let found = *found;
        move |say: &Say| {
            let first = say.faults_of_periods(&found, Earlier::LastMonth);
            format!("{first} | {}", say.times_as_many(&found))
        }
    };
    check(
        said(&found),
        "12 faults, 2.4 a minute; last month 9 faults, 0.9 a minute: more, and likely more than luck | Between 1.1 and 6.4 times as many a minute as before, taking faults to come singly.",
        "12 Fehler, 2,4 pro Minute; im Vormonat 9 Fehler, 0,9 pro Minute: mehr, und das ist wohl kein Zufall | Zwischen dem 1,1- und dem 6,4-Fachen pro Minute gegenüber vorher, wenn Fehler einzeln kommen.",
    );
    // Attempts alone bear out no verdict on faults, nor does a range that holds "as many".
    found.per_minute = Ok(estimate(1.9, 0.9, 4.1));
    assert_eq!(found.verdict(Measure::Faults), Verdict::NoClearDifference);
    assert_eq!(found.verdict(Measure::Attempts), Verdict::More);
    found.per_minute = Ok(estimate(0.4, 0.2, 0.9));
    assert_eq!(found.verdict(Measure::Faults), Verdict::NoClearDifference);
    found.per_minute = Err(Shortage::NoFaultsToCompare);
    assert_eq!(found.verdict(Measure::Faults), Verdict::NoClearDifference);
    found.timed.more_than_none = true;
    assert_eq!(found.verdict(Measure::Faults), Verdict::More);
    check(
        |say| say.times_as_many(&found),
        "No fault before: how many times as many it is cannot be said.",
        "Vorher kein Fehler: Das Wievielfache es ist, lässt sich nicht sagen.",
    );
    check(
        |say| say.counts(&now, Measure::Faults),
        "2.4 a min",
        "2,4 je min",
    );
    check(
        |say| say.counts(&now, Measure::Attempts),
        "12 of 20",
        "12 von 20",
    );
    check(
        |say| say.most_faults(1, false),
        "at most 1 fault in a ride",
        "höchstens 1 Fehler in einem Ritt",
    );
    check(
        |say| say.most_faults(7, true),
        "at most 7 faults in a month",
        "höchstens 7 Fehler in einem Monat",
    );
}

#[test]
fn why_a_line_is_first() {
    let yard = sample::yard();
    let question = Question {
        whose: Whose::One(sample::horse()),
        days: Days::default(),
        against: None,
        reins: Reins::Both,
    };
    let mut found = numbers(&yard, &question);
    found.lines[0].clear = Clear {
        against_before: Some(Verdict::More),
        weaker_rein: Some(Rein::Left),
    };
    found.lines[1].clear = Clear::default();
    let why = |at: usize| {
        let found = found.clone();
        move |say: &Say| {
            let line = &found.lines[at];
            say.why_first(line, (&found, Measure::Attempts), Some(Earlier::LastMonth))
                .unwrap_or_default()
        }
    };
    check(
        why(0),
        "more often faulty than last month; the left goes wrong more often than the right",
        "öfter mit Fehler als im Vormonat; links misslingt es öfter als rechts",
    );
    // One halt of ten is faulty, and one is ridden in each ride. More half-passes are faulty,
    // though it is for other reasons that they stand above.
    found.lines[1].priority.faulty_per_ride = 0.14;
    let said = |found: &Numbers, english: &str, german: &str| {
        let line = &found.lines[1];
        let why = |say: &Say| {
            say.why_first(line, (found, Measure::Attempts), None)
                .unwrap_or_default()
        };
        check(why, english, german);
    };
    said(
        &found,
        "about 0.1 faulty attempts a reviewed ride, over 10 rides",
        "etwa 0,1 Versuche mit Fehler je geprüftem Ritt, aus 10 Ritten",
    );
    let mut most = found.clone();
    most.lines[1].priority.faulty_per_ride = 1.74;
    said(
        &most,
        "most faulty attempts: about 1.7 a reviewed ride, over 10 rides",
        "die meisten Versuche mit Fehler: etwa 1,7 je geprüftem Ritt, aus 10 Ritten",
    );
    check(
        |say| say.weaker_on(&found.lines[0].name, Rein::Right),
        "half-pass (worse on the right)",
        "Traversale (rechts schlechter)",
    );
    found.lines[1].place = 4;
    let line = &found.lines[1];
    check(
        |say| {
            say.why_first(line, (&found, Measure::Attempts), None)
                .unwrap_or_default()
        },
        "",
        "",
    );
}
