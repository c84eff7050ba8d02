//! A row says what the horse's own answer says.

use reinback_yard::{Horse, IdMaker, Moment, OutlineSpan, Span, SpanId};

use super::*;
use crate::report::books::Books;
use crate::report::numbers::numbers;
use crate::report::period::{Choice, Few};
use crate::report::sample;

const SECOND: i64 = 1_000_000_000;
const OTHER: HorseId = HorseId::from_bits(0x22);

fn days(from: u64, to: u64) -> Days {
    Days {
        from: Some(sample::day(from)),
        to: Some(sample::day(to)),
    }
}

/// Rides of the second horse: six in each half, as with five on both reins no shuffling of the
/// reins is rare enough (2 in 2^5 is above one in twenty).
const RIDES: u64 = 12;

/// The sample with a second horse: its canter pirouettes got worse and go wrong on the right.
fn two_horses() -> Yard {
    let mut yard = sample::yard();
    yard.horses.push(Horse {
        id: OTHER,
        name: "Kestrel".into(),
        foaled: Some(2022),
        stage: String::new(),
        notes: String::new(),
    });
    let mut ids = IdMaker::seeded(8);
    for number in 0..RIDES {
        let mut ride = sample::blank(&mut ids, sample::day(number));
        ride.head.horse = OTHER;
        for attempt in 0..12_u64 {
            let rein = [Rein::Left, Rein::Right][usize::from(attempt % 2 == 1)];
            let faulty = number >= RIDES / 2 && rein == Rein::Right;
            let fault = faulty.then_some("tense");
            sample::bout(&mut ids, &mut ride, "canter-pirouette", Some(rein), fault);
        }
        yard.rides.insert(ride.id, Arc::new(ride));
    }
    yard
}

fn row_of(yard: &Yard, own: &Own) -> HorseRow {
    let numbers = numbers(yard, &own.question());
    Stable::new(yard).row(own, &numbers, sample::day(RIDES - 1), &mut Seen::default())
}

fn asked(horse: HorseId, days: Days, before: Days) -> Own {
    let asked = period::Asked {
        against: Some((before, Earlier::Others(before))),
        ..days.into()
    };
    Own {
        horse,
        days: asked,
        instead: None,
        reins: Reins::default(),
    }
}

fn of(horse: HorseId) -> Own {
    asked(horse, days(RIDES / 2, RIDES - 1), days(0, RIDES / 2 - 1))
}

#[test]
fn a_row_says_what_the_horses_own_answer_says() {
    let yard = two_horses();
    let mut books = Books::default();
    for horse in [sample::horse(), OTHER] {
        let question = of(horse).question();
        let own = numbers(&yard, &question);
        // Of books that were asked about the other horse before.
        let asked = books.answer(&yard, &question);
        let today = sample::day(RIDES - 1);
        let row = Stable::new(&yard).row(&of(horse), &asked, today, &mut Seen::default());
        // Something was faulty in the first line of either.
        assert_eq!(row.first.as_ref(), own.lines.first());
        assert_eq!(row.rides, own.rides);
        let named = |wanted: Verdict| -> Vec<String> {
            let own = own.lines.iter();
            let own = own.filter(|line| line.clear.against_before == Some(wanted));
            own.map(|line| line.name.clone()).collect()
        };
        assert_eq!(row.better, named(Verdict::Fewer));
        assert_eq!(row.worse, named(Verdict::More));
    }
}

#[test]
fn what_became_worse_and_what_is_one_sided_is_found() {
    let yard = two_horses();
    let row = row_of(&yard, &of(OTHER));
    assert_eq!(row.worse, ["canter pirouette"]);
    assert_eq!(row.judged, 1);
    assert_eq!(row.one_sided, [("canter pirouette".into(), Rein::Right)]);
    // 2026 less 2022.
    assert_eq!(row.age, Some(4));
    assert!(row.cautions.contains(&Caution::Young { age: 4 }));
    assert!(!row.asks_for_care(), "that a horse is young is no news");
    // From 60 s to 12 * 60 + 15 s, in six rides.
    assert_eq!(row.ridden_nanos, 6 * (12 * 60 + 15 - 60) * SECOND);
}

/// Half-passes that all go wrong lead the horse's list, but were not ridden in the days before: what
/// can be told leads its row.
#[test]
fn what_leads_a_row_can_be_told_where_anything_can() {
    let mut yard = sample::yard();
    let mut ids = IdMaker::seeded(10);
    for ride in yard.rides.values_mut() {
        let ride = Arc::make_mut(ride);
        let late = ride.head.date >= sample::day(5);
        (ride.bouts, ride.marks) = (Vec::new(), Vec::new());
        for attempt in 0..4 {
            let fault = (attempt == 0).then_some("not-square");
            sample::bout(&mut ids, ride, "halt", None, fault);
            if late {
                sample::bout(&mut ids, ride, "half-pass", None, Some("tense"));
            }
        }
    }
    let question = asked(sample::horse(), days(5, 9), days(0, 4));
    let own = numbers(&yard, &question.question());
    assert_eq!(own.lines[0].name, "half-pass");
    let row = row_of(&yard, &question);
    assert_eq!(row.first.map(|line| line.name), Some("halt".into()));
    // Where nothing can, the first that is faulty does.
    for ride in yard.rides.values_mut() {
        let halts = |bout: &reinback_yard::Bout| bout.exercise.as_str() == "halt";
        Arc::make_mut(ride).bouts.retain(|bout| !halts(bout));
    }
    let row = row_of(&yard, &question);
    assert_eq!(row.first.map(|line| line.name), Some("half-pass".into()));
}

/// The sample's horse was ridden ten times up to 31 May, the other up to 6 June, twice of them in
/// June; of the rides of the first none is reviewed any more but the oldest, of 4 May, in the last two.
#[test]
fn a_month_gives_way_for_the_horse_that_has_too_few_rides_in_it() {
    let choice = Choice::default();
    let day = |text: &str| text.parse::<NaiveDate>().expect("a day");
    let [may, june] = [sample::day(9), sample::day(RIDES - 1)];
    for (horse, today, reviewed, few, from, to, rests) in [
        (sample::horse(), may, true, None, "2026-05-01", may, false),
        (OTHER, may, true, None, "2026-05-01", may, false),
        (
            sample::horse(),
            june,
            true,
            Some(0),
            "2026-05-04",
            may,
            false,
        ),
        (OTHER, june, true, Some(2), "2026-05-10", june, false),
        (
            sample::horse(),
            june,
            false,
            Some(0),
            "2026-04-07",
            day("2026-05-04"),
            true,
        ),
    ] {
        let mut yard = two_horses();
        for ride in yard.rides.values_mut() {
            let late = ride.head.date > day("2026-05-04") && ride.head.horse == sample::horse();
            for bout in &mut Arc::make_mut(ride).bouts {
                bout.reviewed &= reviewed || !late;
            }
        }
        let asked = choice.asked(today).expect("days");
        let own = Stable::new(&yard).own(horse, (asked, Reins::default()), today);
        let expect = Days {
            from: Some(day(from)),
            to: Some(to),
        };
        assert_eq!(own.days.days, expect, "{horse} on {today}");
        let row = row_of(&yard, &own);
        let counted = row.instead.map(|why| why.few);
        assert_eq!(counted, few.map(Few::Rides), "{horse} on {today}");
        assert_eq!(row.rests, rests, "{horse} on {today}");
    }
}

#[test]
fn a_horse_without_rides_has_a_row() {
    let mut yard = two_horses();
    yard.rides.retain(|_, ride| ride.head.horse != OTHER);
    let row = row_of(&yard, &of(OTHER));
    assert_eq!((row.rides, row.newest, row.ridden_nanos), (0, None, 0));
    assert!(row.first.is_none() && !row.counts && row.weeks.is_empty());
    assert_eq!(row.held, Held::default());
}

/// Outlines held for 7, 9 and 11 minutes: below the early notice of 8 minutes, between it and the
/// notice of ten, and past it.
#[test]
fn outlines_held_long_ask_for_care() {
    let mut yard = two_horses();
    let outline = yard
        .words
        .outlines
        .iter()
        .find(|one| one.id.as_str() == "competition");
    let outline = outline.expect("an outline that is held").id.clone();
    let mut minutes = [7, 9, 11].into_iter();
    let mut own: Vec<RideId> = yard.rides_by_date().iter().map(|ride| ride.id).collect();
    own.retain(|id| yard.ride(*id).is_some_and(|ride| ride.head.horse == OTHER));
    for id in own.iter().rev().take(3) {
        let ride = Arc::make_mut(yard.rides.get_mut(id).expect("a ride"));
        let end = Moment(minutes.next().expect("minutes") * 60 * SECOND);
        ride.outlines.push(OutlineSpan {
            id: SpanId::from_bits(1),
            span: Span::new(Moment(0), end),
            outline: outline.clone(),
        });
    }
    let row = row_of(&yard, &of(OTHER));
    let expect = Held {
        timed: 3,
        early: 1,
        full: 1,
    };
    assert_eq!(row.held, expect);
    assert!(row.asks_for_care());
}

#[test]
fn an_edited_ride_is_seen_anew_and_others_are_not() {
    let mut yard = two_horses();
    let mut seen = Seen::default();
    let question = of(OTHER);
    let ask = |yard: &Yard, seen: &mut Seen| {
        let numbers = numbers(yard, &question.question());
        Stable::new(yard).row(&question, &numbers, sample::day(RIDES - 1), seen)
    };
    let before = ask(&yard, &mut seen);
    let newest = yard.rides.values().filter(|ride| ride.head.horse == OTHER);
    let newest = newest.max_by_key(|ride| ride.head.date).map(|ride| ride.id);
    let ride = newest
        .and_then(|id| yard.rides.get_mut(&id))
        .expect("a ride");
    Arc::make_mut(ride).bouts.truncate(6);
    let after = ask(&yard, &mut seen);
    assert_eq!(before.ridden_nanos - after.ridden_nanos, 6 * 60 * SECOND);
    assert_eq!(after, ask(&yard, &mut Seen::default()));
}

#[test]
fn care_comes_before_worse_before_one_sided_before_faulty_and_who_rests_is_last() {
    let yard = two_horses();
    let quiet = row_of(&yard, &of(sample::horse()));
    assert!(quiet.worse.is_empty() && !quiet.asks_for_care());
    let one_sided = HorseRow {
        one_sided: vec![("travers".into(), Rein::Left)],
        first: None,
        ..quiet.clone()
    };
    let worse = HorseRow {
        worse: vec!["halt".into()],
        one_sided: Vec::new(),
        ..one_sided.clone()
    };
    let care = HorseRow {
        cautions: vec![Caution::MuchMore],
        worse: Vec::new(),
        ..worse.clone()
    };
    let nothing = HorseRow {
        first: None,
        one_sided: Vec::new(),
        ..quiet.clone()
    };
    let quiet = HorseRow {
        one_sided: Vec::new(),
        ..quiet
    };
    let resting = HorseRow {
        rests: true,
        ..care.clone()
    };
    let mut rows = [&resting, &nothing, &quiet, &one_sided, &worse, &care];
    by_need(&mut rows);
    let expect = [&care, &worse, &one_sided, &quiet, &nothing, &resting];
    let found = rows.iter().zip(expect);
    for (at, (found, expect)) in found.enumerate() {
        assert!(std::ptr::eq(*found, expect), "place {at}: {found:?}");
    }
}
