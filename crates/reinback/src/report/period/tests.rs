//! Choices become the days they say, in every month.

use std::sync::Arc;

use reinback_yard::IdMaker;

use super::*;
use crate::report::sample;

fn day(text: &str) -> NaiveDate {
    text.parse().expect("a day")
}

fn days(from: &str, to: &str) -> Days {
    Days {
        from: Some(day(from)),
        to: Some(day(to)),
    }
}

fn of(span: Span) -> Choice {
    Choice {
        span,
        ..Choice::default()
    }
}

#[test]
fn days_before_end_where_the_days_asked_about_begin() {
    for (span, today, now, before, called) in [
        (
            Span::FourWeeks,
            "2026-05-28",
            ["2026-05-01", "2026-05-28"],
            ["2026-04-03", "2026-04-30"],
            Earlier::DaysBefore(28),
        ),
        // A month to date is set against the whole month before, also where that is shorter.
        (
            Span::Month(0),
            "2026-03-31",
            ["2026-03-01", "2026-03-31"],
            ["2026-02-01", "2026-02-28"],
            Earlier::LastMonth,
        ),
        (
            Span::Month(0),
            "2026-01-01",
            ["2026-01-01", "2026-01-01"],
            ["2025-12-01", "2025-12-31"],
            Earlier::LastMonth,
        ),
        // Months gone by are whole, over the turn of the year and from the 31st of a month.
        (
            Span::Month(1),
            "2026-03-31",
            ["2026-02-01", "2026-02-28"],
            ["2026-01-01", "2026-01-31"],
            Earlier::Month(day("2026-01-01")),
        ),
        (
            Span::Month(3),
            "2026-03-05",
            ["2025-12-01", "2025-12-31"],
            ["2025-11-01", "2025-11-30"],
            Earlier::Month(day("2025-11-01")),
        ),
        // February has no 31st: three months before 31 May is its last day.
        (
            Span::ThreeMonths,
            "2026-05-31",
            ["2026-03-01", "2026-05-31"],
            ["2025-12-01", "2026-02-28"],
            Earlier::ThreeMonths,
        ),
    ] {
        let found = of(span).asked(day(today)).expect("days");
        let [now, before] = [now, before].map(|[from, to]| days(from, to));
        assert_eq!(found.days, now, "{span:?} of {today}");
        assert_eq!(found.against, Some((before, called)), "{span:?} of {today}");
        assert!(!now.share_a_day(before));
    }
}

#[test]
fn months_are_stepped_through_and_nothing_else_is() {
    assert_eq!(Span::Month(0).stepped(false), Some(Span::Month(1)));
    assert_eq!(Span::Month(1).stepped(true), Some(Span::Month(0)));
    assert_eq!(Span::Month(0).stepped(true), None, "no month to come");
    assert_eq!(Span::FourWeeks.stepped(false), None);
    assert_eq!(Span::Month(MOST_MONTHS_BACK).stepped(false), None);
    let first = of(Span::Month(MOST_MONTHS_BACK)).asked(day("2026-05-28"));
    assert!(first.is_ok_and(|asked| asked.days == days("1926-05-01", "1926-05-31")));
}

#[test]
fn typed_days_are_read_or_refused_in_words() {
    let typed = |from: &str, to: &str| {
        let choice = Choice {
            typed: [from.into(), to.into()],
            ..of(Span::Typed)
        };
        choice.asked(day("2026-05-28"))
    };
    let found = typed("2026-03-01", " 2.4.2026 ").expect("days");
    assert_eq!(found.days, days("2026-03-01", "2026-04-02"));
    let before = (days("2026-01-27", "2026-02-28"), Earlier::DaysBefore(33));
    assert_eq!(found.against, Some(before), "as many days right before");
    assert_eq!(typed("", ""), Ok(Asked::from(Days::default())));
    let not_a_day = |text: &str| Unclear::NotADay(text.to_owned());
    for (from, to, expect) in [
        ("soon", "", not_a_day("soon")),
        ("2026-02-30", "", not_a_day("2026-02-30")),
        ("2026-03-02", "2026-03-01", Unclear::TurnedRound),
    ] {
        assert_eq!(typed(from, to), Err(expect));
    }
}

#[test]
fn any_two_periods_can_be_typed() {
    let mut choice = Choice {
        against: Against::Typed,
        ..of(Span::FourWeeks)
    };
    let today = day("2026-05-28");
    assert_eq!(
        choice.asked(today).expect("days").against,
        None,
        "not typed yet"
    );
    choice.others = ["2025-05-01".into(), "2025-05-31".into()];
    let others = days("2025-05-01", "2025-05-31");
    let found = choice.asked(today).expect("days");
    assert_eq!(found.against, Some((others, Earlier::Others(others))));
    choice.others = ["then".into(), String::new()];
    assert_eq!(choice.asked(today), Err(Unclear::NotADay("then".into())));
}

#[test]
fn a_day_parts_all_rides_in_two() {
    let mut choice = of(Span::Everything);
    let today = day("2026-05-28");
    assert_eq!(choice.asked(today), Ok(Asked::from(Days::default())));
    choice.between = "4.5.2026".into();
    let found = choice.asked(today).expect("days");
    let [later, before] = [
        (Some(day("2026-05-04")), None),
        (None, Some(day("2026-05-03"))),
    ]
    .map(|(from, to)| Days { from, to });
    assert_eq!(found.days, later);
    let when = Earlier::Before(day("2026-05-04"));
    assert_eq!(found.against, Some((before, when)));
    // A day outside leaves one part empty, and never a day in both.
    choice.span = Span::Typed;
    choice.against = Against::DayBetween;
    for typed in [["2026-06-01", "2026-06-30"], ["2026-01-01", "2026-02-01"]] {
        choice.typed = typed.map(str::to_owned);
        let found = choice.asked(today).expect("days");
        let (before, _) = found.against.expect("two parts");
        assert!(!found.days.share_a_day(before), "{found:?}");
    }
    choice.between = "soon".into();
    assert_eq!(choice.asked(today), Err(Unclear::NotADay("soon".into())));
}

#[test]
fn what_cannot_be_compared_gives_way_to_what_can() {
    let mut choice = of(Span::Everything);
    assert_eq!(choice.against(), Against::DayBetween);
    for against in [Against::Nothing, Against::Reins] {
        choice.against = against;
        choice.span = Span::Everything;
        assert_eq!(choice.against(), against);
        choice.span = Span::Month(0);
        assert_eq!(choice.against(), against);
        let asked = choice.asked(day("2026-05-28")).expect("days");
        assert_eq!(asked.against, None);
    }
}

/// The sample's rides are one every third day from 4 to 31 May 2026, all of one horse.
#[test]
fn a_month_with_too_few_rides_gives_way_where_nobody_chose_it() {
    let mut yard = sample::yard();
    let horses = [sample::horse()];
    let settle = |yard: &Yard, today: NaiveDate, by_hand: bool| {
        let choice = Choice {
            by_hand,
            ..Choice::default()
        };
        settled(yard, &horses, choice.asked(today).expect("days"), today)
    };
    let may = sample::day(9);
    let (shown, why) = settle(&yard, may, false);
    assert_eq!((shown.days.to, why), (Some(may), None), "ten rides in May");

    let june = day("2026-06-02");
    let (shown, why) = settle(&yard, june, false);
    let latest = sample::day(9);
    assert_eq!(shown.days, four_weeks(latest));
    let earlier = shown.against.expect("the 28 before");
    assert_eq!(earlier.0.to, shown.days.from.and_then(|day| day.pred_opt()));
    assert_eq!(earlier.1, Earlier::DaysBefore(28));
    let expect = Instead {
        month: day("2026-06-01"),
        few: Few::Rides(0),
        latest,
    };
    assert_eq!(why, Some(expect));

    let (shown, why) = settle(&yard, june, true);
    assert_eq!(shown.days, days("2026-06-01", "2026-06-02"), "as chosen");
    assert_eq!(why, None);

    // Rides nobody has reviewed are none to compare, and of none there is nothing to show.
    for ride in yard.rides.values_mut() {
        for bout in &mut Arc::make_mut(ride).bouts {
            bout.reviewed = false;
        }
    }
    let (shown, why) = settle(&yard, june, false);
    assert_eq!(shown.days, days("2026-06-01", "2026-06-02"));
    assert_eq!(why, None);
}

/// Beside the sample's horse with its ten rides in May: horses with rides on these days of May, and
/// one that was ridden in January only.
fn stable(days: &[&[u32]]) -> (Yard, Vec<HorseId>) {
    let mut yard = sample::yard();
    let mut ids = IdMaker::seeded(9);
    let mut horses = vec![sample::horse()];
    let resting: &[NaiveDate] = &[day("2026-01-05")];
    let ridden = days.iter().map(|days| {
        let dates = days.iter();
        let dates = dates.map(|of_may| NaiveDate::from_ymd_opt(2026, 5, *of_may).expect("a day"));
        dates.collect::<Vec<_>>()
    });
    for (number, dates) in ridden.chain([resting.to_vec()]).enumerate() {
        let horse = HorseId::from_bits(0x100 + number as u64);
        horses.push(horse);
        for date in dates {
            let mut ride = sample::blank(&mut ids, date);
            ride.head.horse = horse;
            sample::bout(&mut ids, &mut ride, "halt", None, None);
            yard.rides.insert(ride.id, Arc::new(ride));
        }
    }
    (yard, horses)
}

#[test]
fn a_month_gives_way_for_all_horses_or_for_none() {
    let today = day("2026-05-31");
    let asked = Choice::default().asked(today).expect("days");
    // Two of four have enough: half is enough.
    let (yard, horses) = stable(&[&[1, 2, 3, 4], &[5], &[6]]);
    assert_eq!(settled(&yard, &horses, asked, today), (asked, None));
    // However many rides there are together.
    let (yard, horses) = stable(&[&[1, 2, 3], &[5, 6, 7], &[8, 9, 30]]);
    let (shown, why) = settled(&yard, &horses, asked, today);
    assert_eq!(shown.days, four_weeks(sample::day(9)));
    let few = Few::Horses { enough: 1, of: 4 };
    assert_eq!(
        why.map(|why| why.few),
        Some(few),
        "who rests does not count"
    );
    // Of each by itself, the sample's keeps the month.
    assert_eq!(settled(&yard, &horses[..1], asked, today), (asked, None));
    let (_, why) = settled(&yard, &horses[1..2], asked, today);
    assert_eq!(why.map(|why| why.few), Some(Few::Rides(3)));
}

#[test]
fn days_typed_to_compare_with_keep_the_month() {
    let today = day("2026-06-02");
    let choice = Choice {
        against: Against::Typed,
        others: ["2026-05-01".into(), "2026-05-10".into()],
        ..Choice::default()
    };
    let asked = choice.asked(today).expect("days");
    let shown = settled(&sample::yard(), &[sample::horse()], asked, today);
    assert_eq!(shown, (asked, None));
    let others = days("2026-05-01", "2026-05-10");
    assert_eq!(asked.against, Some((others, Earlier::Others(others))));
    // Nothing to compare with stays nothing where the month gives way.
    let choice = Choice {
        against: Against::Nothing,
        ..Choice::default()
    };
    let asked = choice.asked(today).expect("days");
    let (shown, why) = settled(&sample::yard(), &[sample::horse()], asked, today);
    assert_eq!((shown.against, why.is_some()), (None, true));
}
