//! Test sheets that must add up.
//!
//! Totals: Grand Prix 460 (33 movements, 11 of them double, general impression
//! double; read in the press, not on a sheet), Grand Prix Special 470 (36
//! movements, 9 double; read on the printed sheet), freestyles 200 and 200 (Grand Prix: 16 technical, 4
//! double, 5 artistic times 4; Intermediate I: 15 technical, 5 double; read).

use proptest::prelude::*;
use reinback_analysis::sheet::{
    Cost, ErrorRules, Known, Line, Mark, Percentage, Sheet, SheetProblem, SheetResult, Step,
    add_up, lines_so_far, most_points, so_far,
};

fn movements(all: usize, double: usize) -> Vec<Line> {
    (0..all)
        .map(|place| Line::movement(if place < double { 2 } else { 1 }))
        .collect()
}

fn with_general(mut lines: Vec<Line>) -> Vec<Line> {
    lines.push(Line::general(2));
    lines
}

/// Every judge gives every line the same mark, in halves.
fn flat(lines: Vec<Line>, halves: &[u8], errors: u32, rules: ErrorRules) -> Sheet {
    let marks = halves
        .iter()
        .map(|mark| vec![Mark::from_halves(*mark); lines.len()])
        .collect();
    Sheet {
        lines,
        marks,
        errors,
        rules,
        points_off: 0,
        deduction: 0,
        decimals: 3,
    }
}

fn rules(place: usize) -> ErrorRules {
    ErrorRules::proposals().swap_remove(place)
}

#[expect(clippy::expect_used, reason = "shared by the tests")]
fn found(sheet: &Sheet) -> SheetResult {
    add_up(sheet).expect("adds up")
}

fn percentage(sheet: &Sheet) -> String {
    found(sheet)
        .percentage
        .map_or_else(|| "eliminated".to_owned(), |one| one.to_string())
}

#[test]
fn printed_totals_are_reproduced() {
    let artistic = vec![
        Line {
            coefficient: 4,
            step: Step::Tenth,
            movement: false
        };
        5
    ];
    for (lines, most) in [
        (with_general(movements(33, 11)), 460),
        (with_general(movements(36, 9)), 470),
        (movements(16, 4), 200),
        (movements(15, 5), 200),
        (artistic, 200),
    ] {
        assert_eq!(most_points(&lines), most);
        assert_eq!(
            percentage(&flat(lines.clone(), &[20], 0, rules(0))),
            "100.000 %"
        );
        assert_eq!(percentage(&flat(lines, &[14], 0, rules(0))), "70.000 %");
    }
    // before 2018 four marks for the whole took the Grand Prix to 500
    let mut old = movements(33, 11);
    old.extend([1, 1, 2, 2].map(Line::general));
    assert_eq!(most_points(&old), 500);
}

#[test]
fn percentages_are_rounded_half_up() {
    // one half mark below 7 on a double movement: 321 of 460 is 69.7826...
    let mut sheet = flat(with_general(movements(33, 11)), &[14], 0, rules(0));
    sheet.marks[0][0] = Mark::from_halves(13);
    assert_eq!(percentage(&sheet), "69.783 %");
    for (decimals, wanted) in [(2, "69.780 %"), (1, "69.800 %"), (0, "70.000 %")] {
        sheet.decimals = decimals;
        assert_eq!(percentage(&sheet), wanted);
    }
    // 5 of 80 is 6.25 exactly: half up to one decimal
    let eight = Sheet {
        decimals: 1,
        ..flat(movements(8, 0), &[0], 0, rules(0))
    };
    let mut half = eight;
    half.marks[0][0] = Mark::from_halves(10);
    assert_eq!(percentage(&half), "6.300 %");
}

#[test]
fn judges_are_averaged_and_told_apart() {
    let sheet = flat(with_general(movements(33, 11)), &[13, 14, 15], 0, rules(0));
    let result = found(&sheet);
    assert_eq!(result.percentage.map(Percentage::thousandths), Some(70_000));
    let own: Vec<i64> = result
        .judges
        .iter()
        .map(|one| one.percentage.thousandths())
        .collect();
    assert_eq!(own, [65_000, 70_000, 75_000]);
    assert_eq!(result.judges[0].tenths, 2_990);
    assert_eq!(
        (result.lines[0].apart, result.lines[0].lost),
        (10, 2 * (35 + 30 + 25))
    );
    assert_eq!(result.lines[20].lost, 35 + 30 + 25);
}

/// Two points off for another error: 322 less 2 of 460 is 69.5652...
#[test]
fn points_come_off_every_judge() {
    let mut sheet = flat(with_general(movements(33, 11)), &[14, 14], 0, rules(0));
    sheet.points_off = 20;
    assert_eq!(percentage(&sheet), "69.565 %");
    assert_eq!(found(&sheet).judges[1].tenths, 3_220, "before deductions");
}

/// Counted by hand: 6.5 once and 7 twice of 30 points, one line open.
#[test]
fn what_is_marked_so_far_is_told_without_a_percentage() {
    let lines = [Line::movement(1), Line::movement(2), Line::general(2)];
    let given = [
        vec![Mark::from_halves(13), Mark::from_halves(14), None],
        vec![Mark::from_halves(15), None, None],
    ];
    let judges = so_far(&lines, &given);
    assert_eq!((judges[0].tenths, judges[0].most), (205, 30));
    assert_eq!((judges[0].marked, judges[0].missing), (2, 1));
    assert_eq!((judges[1].tenths, judges[1].missing), (75, 2));
    let lost = lines_so_far(&lines, &given);
    assert_eq!(lost[0].map(|one| (one.lost, one.apart)), Some((60, 10)));
    assert_eq!(lost[1].map(|one| (one.lost, one.apart)), Some((60, 0)));
    assert_eq!(lost[2], None);
    assert_eq!(
        so_far(&lines, &[vec![]])[0].missing,
        3,
        "a judge who has not begun"
    );
}

#[test]
fn errors_of_course_follow_their_rules() {
    for (place, errors, wanted) in [
        (0, 0, "70.000 %"),
        (0, 1, "68.000 %"),
        (0, 2, "eliminated"),
        (1, 1, "69.500 %"),
        (1, 2, "68.500 %"),
        (1, 3, "eliminated"),
        // 322 less 2, less 6 of 460
        (2, 1, "69.565 %"),
        (2, 2, "68.696 %"),
        (2, 3, "eliminated"),
        (3, 1, "69.565 %"),
        (3, 3, "68.696 %"),
    ] {
        let sheet = flat(with_general(movements(33, 11)), &[14], errors, rules(place));
        assert_eq!(percentage(&sheet), wanted, "{} {errors}", sheet.rules.name);
    }
    let technical = Sheet {
        deduction: 500,
        ..flat(with_general(movements(36, 9)), &[14], 1, rules(0))
    };
    assert_eq!(percentage(&technical), "67.500 %");
    let none_left = flat(movements(4, 0), &[0], 1, rules(0));
    assert_eq!(percentage(&none_left), "0.000 %", "never below nothing");
    assert!(
        ErrorRules::proposals()
            .iter()
            .any(|one| one.known == Known::Recalled),
        "says so"
    );
}

#[test]
fn a_freestyle_is_the_mean_of_its_halves() {
    let technical = flat(movements(16, 4), &[14], 0, rules(0));
    let mut artistic = flat(
        vec![
            Line {
                coefficient: 4,
                step: Step::Tenth,
                movement: false
            };
            5
        ],
        &[16],
        0,
        rules(0),
    );
    artistic.marks[0][0] = Mark::from_tenths(78);
    let said = |sheet: &Sheet| found(sheet).percentage.expect("rides on").to_string();
    assert_eq!(said(&technical), "70.000 %");
    assert_eq!(said(&artistic), "79.600 %");
    let mut whole = technical;
    whole.lines.extend(artistic.lines);
    whole.marks[0].extend_from_slice(&artistic.marks[0]);
    assert_eq!(said(&whole), "74.800 %");
}

#[test]
fn sheets_that_do_not_add_up_say_why() {
    let good = flat(movements(3, 1), &[12, 13], 0, rules(0));
    let check = |change: &dyn Fn(&mut Sheet), problem| {
        let mut sheet = good.clone();
        change(&mut sheet);
        assert_eq!(add_up(&sheet), Err(problem));
    };
    check(&|sheet| sheet.lines.clear(), SheetProblem::NoLines);
    check(&|sheet| sheet.marks.clear(), SheetProblem::NoJudge);
    check(
        &|sheet| sheet.lines[2].coefficient = 0,
        SheetProblem::Coefficient(2),
    );
    check(
        &|sheet| sheet.marks[1].truncate(2),
        SheetProblem::WrongLength(1),
    );
    check(
        &|sheet| sheet.marks[1][2] = None,
        SheetProblem::Missing { judge: 1, line: 2 },
    );
    check(
        &|sheet| sheet.marks[0][1] = Mark::from_tenths(67),
        SheetProblem::NotAStep { judge: 0, line: 1 },
    );
    check(&|sheet| sheet.errors = 101, SheetProblem::Deductions);
    check(&|sheet| sheet.decimals = 4, SheetProblem::Deductions);
    check(&|sheet| sheet.deduction = 100_001, SheetProblem::Deductions);
    check(
        &|sheet| sheet.points_off = 1_000_000,
        SheetProblem::Deductions,
    );
    check(
        &|sheet| {
            sheet.rules.costs.clear();
            sheet.rules.eliminates = false;
        },
        SheetProblem::Deductions,
    );
    assert_eq!(
        (Mark::from_tenths(101), Mark::from_halves(21)),
        (None, None)
    );
    assert_eq!(
        Mark::from_halves(13).map(|mark| mark.to_string()),
        Some("6.5".to_owned())
    );
    assert_eq!(
        SheetProblem::Missing { judge: 1, line: 2 }.to_string(),
        "Judge 2 has not marked line 3. Enter the mark."
    );
}

proptest! {
    #[test]
    fn a_better_mark_never_costs(
        marks in proptest::collection::vec((1_u32..4, 0_u8..20), 1..40),
        raised in any::<prop::sample::Index>(),
        errors in 0_u32..2,
        points in 0_u32..100,
    ) {
        let lines: Vec<Line> = marks.iter().map(|(coefficient, _)| Line::movement(*coefficient)).collect();
        let given = marks.iter().map(|(_, halves)| Mark::from_halves(*halves)).collect();
        let own = ErrorRules {
            name: "own".to_owned(), as_of: "today".to_owned(), known: Known::Own,
            costs: vec![Cost::Points(points)], eliminates: true,
        };
        let mut sheet = Sheet { lines, marks: vec![given], errors, rules: own, points_off: 0, deduction: 0, decimals: 3 };
        let before = found(&sheet).percentage;
        let place = raised.index(marks.len());
        sheet.marks[0][place] = Mark::from_halves(marks[place].1 + 1);
        let after = found(&sheet).percentage;
        prop_assert!(after >= before);
        prop_assert!(after.is_some_and(|one| (0..=100_000).contains(&one.thousandths())));
    }
}
