//! What is typed into a test sheet, and what it says. Percentages worked by hand.

use reinback_yard::{Cost, ErrorRules, IdMaker, LineKind, Moment, SheetId};

use super::*;
use crate::report::sample;

fn mark(tenths: u8) -> Option<TestMark> {
    TestMark::from_tenths(tenths)
}

/// A ride with a test on a sheet of three lines: once, twice, and twice for the whole.
fn ridden() -> (Yard, Ride) {
    let mut ids = IdMaker::seeded(7);
    let mut ride = sample::blank(&mut ids, sample::day(0));
    let mut sheet = sheets::empty(ids.next(), "Three lines");
    let line = sheet.lines[0].clone();
    let of = |number, text: &str, coefficient| SheetLine {
        number,
        text: text.into(),
        coefficient,
        kind: if number.is_some() {
            LineKind::Movement
        } else {
            LineKind::General
        },
        ..line.clone()
    };
    sheet.lines = vec![
        of(Some(1), "halt", 1),
        of(Some(2), "half-pass left", 2),
        of(None, "impression", 2),
    ];
    let yard = Yard {
        sheets: vec![sheet.clone()],
        ..Yard::default()
    };
    ride.test = Some(Box::new(RiddenTest::new(sheet)));
    (yard, ride)
}

/// The ride as a change leaves it.
fn turned(ride: &Ride, change: Option<Change>) -> Ride {
    let mut ride = ride.clone();
    if let Some((_, Edit::Test(_, test))) = change {
        ride.test = test;
    }
    ride
}

#[test]
fn marks_are_typed_with_point_or_comma() {
    for (text, step, wanted) in [
        ("6.5", Step::Half, Ok(mark(65))),
        ("6,5", Step::Half, Ok(mark(65))),
        (" 7 ", Step::Half, Ok(mark(70))),
        ("7.", Step::Half, Ok(mark(70))),
        ("10", Step::Half, Ok(mark(100))),
        ("0", Step::Half, Ok(mark(0))),
        ("7,8", Step::Tenth, Ok(mark(78))),
        ("", Step::Half, Ok(None)),
    ] {
        assert_eq!(typed_mark(text, step), wanted, "{text:?}");
    }
    for text in ["11", "10.5", "6.55", "six", "-1", "6.5.1", ".5x", "300"] {
        assert!(typed_mark(text, Step::Tenth).is_err(), "{text:?}");
    }
    assert!(typed_mark("7.8", Step::Half).is_err(), "halves only");
}

#[test]
fn enter_goes_down_the_lines_and_on_to_the_next_judge() {
    let (_, ride) = ridden();
    let ride = turned(&ride, add_judge(&ride));
    let test = ride.test.as_deref().unwrap();
    assert_eq!(
        (test.judges[0].position, test.judges[1].position),
        ('C', 'H')
    );
    let mut at = Cell::default();
    let mut way = vec![(at.line, at.judge)];
    for _ in 0..6 {
        at = after(test, at);
        way.push((at.line, at.judge));
    }
    assert_eq!(
        way,
        [(0, 0), (1, 0), (2, 0), (0, 1), (1, 1), (2, 1), (2, 1)]
    );
    assert_eq!(first_gap(test), Cell::default());
}

/// 7, 6.5 twice and 8 twice are 36 of 50: 72 %. With H at 6, 6 and 6: 60 %, mean 66 %.
#[test]
fn totals_are_live_and_gaps_are_told() {
    let (_, mut ride) = ridden();
    for (line, tenths) in [(0, 70), (1, 65)] {
        let cell = Cell { line, judge: 0 };
        ride = turned(&ride, set_mark(&ride, cell, mark(tenths)));
    }
    let test = ride.test.as_deref().unwrap();
    assert_eq!(judge_texts(test), ["C: 20 of 30 so far, 1 mark missing"]);
    assert_eq!(
        overall(test),
        Err("Not whole: no percentage yet, 1 mark missing".into())
    );
    assert_eq!(first_gap(test), Cell { line: 2, judge: 0 });
    ride = turned(&ride, set_mark(&ride, Cell { line: 2, judge: 0 }, mark(80)));
    let test = ride.test.as_deref().unwrap();
    assert_eq!(judge_texts(test), ["C: 36 of 50, 72.000 %"]);
    assert_eq!(overall(test), Ok("72.000 %".into()));
    assert_eq!(most_lost(test, 2), [(1, 700), (2, 400)]);
    assert_eq!(most_apart(test), None);
    ride = turned(&ride, add_judge(&ride));
    for line in 0..3 {
        ride = turned(&ride, set_mark(&ride, Cell { line, judge: 1 }, mark(60)));
    }
    let test = ride.test.as_deref().unwrap();
    assert_eq!(overall(test), Ok("66.000 %, the mean of the judges".into()));
    assert_eq!(most_apart(test), Some((2, 20)));
    assert_eq!(
        turned(&ride, remove_judge(&ride, 0)).test.unwrap().judges[0].position,
        'H'
    );
    assert_eq!(
        set_mark(&ride, Cell::default(), mark(70)),
        None,
        "nothing new, no step"
    );
}

#[test]
fn what_is_no_mark_stays_to_be_mended() {
    let (_, ride) = ridden();
    let test = ride.test.as_deref().unwrap();
    let mut panel = SheetPanel::new(&ride, &mut IdMaker::seeded(1));
    panel.typed = Some("6.3".into());
    assert!(panel.take(&ride, test).is_err());
    assert_eq!(panel.typed.as_deref(), Some("6.3"));
    panel.typed = Some("6,5".into());
    let taken = panel.take(&ride, test).unwrap();
    assert_eq!(taken, set_mark(&ride, Cell::default(), mark(65)));
    assert_eq!(panel.take(&ride, test), Ok(None));
}

#[test]
fn a_sheet_is_kept_by_the_yard_once() {
    let (yard, ride) = ridden();
    let known = yard.sheets[0].clone();
    assert!(matches!(take_sheet(&yard, &ride, &known).1, Edit::Test(..)));
    let other = sheets::empty(SheetId::from_bits(99), "New");
    assert!(matches!(take_sheet(&yard, &ride, &other).1, Edit::Batch(edits) if edits.len() == 2));
    let panel = SheetPanel::new(&ride, &mut IdMaker::seeded(1));
    assert_eq!(
        panel.offered(&yard).count(),
        3,
        "two that are known, and an empty one"
    );
}

#[test]
fn lines_come_and_go_with_their_marks() {
    let (yard, mut ride) = ridden();
    ride = turned(&ride, set_seen(&ride, 2, Some(Seen::At(Moment(5)))));
    let (_, edit) = editor::change_sheet(&yard, &ride, "add", editor::add_line).unwrap();
    let Edit::Batch(edits) = edit else {
        panic!("the yard's sheet as well: {edit:?}")
    };
    let [Edit::Sheet(_, Some(sheet)), Edit::Test(_, Some(test))] = &edits[..] else {
        panic!("{edits:?}")
    };
    assert_eq!((sheet.lines.len(), test.lines.len()), (4, 4));
    assert_eq!(sheet.lines[2].number, Some(3), "after the last movement");
    assert_eq!(
        test.lines[3].seen,
        Some(Seen::At(Moment(5))),
        "the whole's film stays with it"
    );
    let mut fewer = test.clone();
    editor::remove_line(&mut fewer, 2);
    assert_eq!(fewer.lines.len(), 3);
    assert_eq!(Some(&*fewer), ride.test.as_deref());
}

/// Last year's ride has last year's lines: a comma changed there stays there.
#[test]
fn an_old_ride_does_not_bring_its_lines_back() {
    let (mut yard, old) = ridden();
    let Some((_, Edit::Batch(edits))) = editor::change_sheet(&yard, &old, "add", editor::add_line)
    else {
        panic!("the yard's sheet as well");
    };
    for edit in edits {
        if let Edit::Sheet(_, Some(sheet)) = edit {
            yard.sheets = vec![*sheet];
        }
    }
    let comma = |test: &mut RiddenTest| test.sheet.lines[0].text.push(',');
    let change = editor::change_sheet(&yard, &old, "words", comma);
    assert!(matches!(change, Some((_, Edit::Test(..)))), "{change:?}");
    // A ride with the sheet as it is now takes it along.
    let mut new = old.clone();
    new.test = Some(Box::new(RiddenTest::new(yard.sheets[0].clone())));
    let change = editor::change_sheet(&yard, &new, "words", comma);
    assert!(matches!(change, Some((_, Edit::Batch(_)))), "{change:?}");
}

#[test]
fn means_of_what_was_lost_keep_their_hundredths() {
    let (_, mut ride) = ridden();
    ride = turned(&ride, add_judge(&ride));
    for (cell, tenths) in [((0, 0), 60), ((0, 1), 65)] {
        let (line, judge) = cell;
        ride = turned(&ride, set_mark(&ride, Cell { line, judge }, mark(tenths)));
    }
    let test = ride.test.as_deref().unwrap();
    assert_eq!(most_lost(test, 1), [(0, 375)], "4 and 3.5 points");
    let said: Vec<String> = [375, 370, 400, 5].map(hundredths).to_vec();
    assert_eq!(said, ["3.75", "3.7", "4", "0.05"]);
}

#[test]
fn who_is_eliminated_has_points_and_no_percentage() {
    let (_, mut ride) = ridden();
    for (line, tenths) in [(0, 60), (1, 65), (2, 70)] {
        ride = turned(
            &ride,
            set_mark(&ride, Cell { line, judge: 0 }, mark(tenths)),
        );
    }
    let test = ride.test.as_deref_mut().unwrap();
    assert_eq!(judge_texts(test), ["C: 33 of 50, 66.000 %"]);
    test.sheet.rules = ErrorRules::proposals().remove(0);
    test.errors = 2;
    assert_eq!(overall(test), Ok("Eliminated by errors of course".into()));
    assert_eq!(judge_texts(test), ["C: 33 of 50"]);
}

#[test]
fn what_errors_cost_is_said_once_and_in_the_right_number() {
    let said: Vec<String> = ErrorRules::proposals()
        .iter()
        .map(editor::rules_text)
        .collect();
    assert_eq!(
        said[1],
        "An error costs 0.5 percentage points, the next 1 percentage point, then elimination; \
         recalled, not confirmed, about 2021. Check the rules in force."
    );
    let one = ErrorRules {
        costs: vec![Cost::Points(10)],
        ..ErrorRules::proposals().remove(3)
    };
    assert!(editor::rules_text(&one).starts_with("An error costs 1 point, each further one"));
}
