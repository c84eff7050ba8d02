//! Ridden tests and what they come to; percentages worked by hand beside each.

use reinback_analysis::sheet::{ErrorRules, SheetProblem};

use super::*;
use crate::id::IdMaker;
use crate::model::{Judge, Step, TestMark};
use crate::sheets;

/// The Grand Prix with every mark of every judge the same, in tenths.
fn marked(judges: &[u8]) -> RiddenTest {
    let sheet = sheets::offered(&mut IdMaker::seeded(3)).swap_remove(0);
    let mut test = RiddenTest::new(sheet);
    test.judges = judges
        .iter()
        .map(|_| Judge {
            position: 'C',
            name: String::new(),
        })
        .collect();
    for line in &mut test.lines {
        line.marks = judges
            .iter()
            .map(|tenths| TestMark::from_tenths(*tenths))
            .collect();
    }
    test
}

fn percent(test: &RiddenTest) -> String {
    match result(test) {
        Ok(result) => result
            .percentage
            .map_or("eliminated".to_owned(), |percent| percent.to_string()),
        Err(problem) => problem.to_string(),
    }
}

/// 65, 70 and 75 % of 460; 322 points less 2 for an error by the rules of 2016, less 6 for two.
#[test]
fn a_grand_prix_comes_to_its_percentage() {
    let mut test = marked(&[65, 70, 75]);
    assert_eq!(percent(&test), "70.000 %");
    test.errors = 1;
    assert_eq!(percent(&test), "68.000 %", "2 percentage points");
    test.errors = 2;
    assert_eq!(percent(&test), "eliminated");
    let mut one = marked(&[70]);
    one.sheet.rules = ErrorRules::proposals().swap_remove(2);
    one.errors = 2;
    assert_eq!(percent(&one), "68.696 %");
    one.errors = 0;
    one.points_off = 20;
    one.percent_off = 500;
    // 320 of 460 is 69.5652 %, less half a point
    assert_eq!(percent(&one), "69.065 %");
}

#[test]
fn missing_marks_are_told_and_no_percentage_is_given() {
    let mut test = marked(&[70, 60]);
    test.lines[4].marks[1] = None;
    test.lines[9].marks[0] = None;
    assert_eq!(missing(&test), 2);
    assert_eq!(result(&test), Err(TestProblem::NotWhole(2)));
    test.judges.clear();
    for line in &mut test.lines {
        line.marks.clear();
    }
    assert_eq!(
        result(&test),
        Err(TestProblem::Sheet(SheetProblem::NoJudge))
    );
}

#[test]
fn a_sheet_that_is_copied_wrongly_is_noticed() {
    let mut test = marked(&[70]);
    test.sheet.lines[1].coefficient = 2;
    assert_eq!(
        result(&test),
        Err(TestProblem::PrintedMost {
            lines: 470,
            printed: 460
        })
    );
    test.sheet.printed_most = None;
    assert_eq!(percent(&test), "70.000 %");
    test.sheet.lines[1].coefficient = 0;
    assert_eq!(
        result(&test),
        Err(TestProblem::Sheet(SheetProblem::Coefficient(1)))
    );
    let mut between = marked(&[70]);
    between.lines[2].marks[0] = TestMark::from_tenths(63);
    assert_eq!(
        result(&between),
        Err(TestProblem::Sheet(SheetProblem::NotAStep {
            judge: 0,
            line: 2
        }))
    );
}

/// 16 technical movements, 4 of them twice, and 5 artistic marks four times: 200 and 200, as on
/// the sheet of the Grand Prix freestyle (read). 70 % and 80 % are 75 %.
#[test]
fn a_freestyle_counts_both_halves_alike() {
    let mut test = marked(&[70]);
    test.sheet.lines.truncate(21);
    test.lines.truncate(21);
    test.sheet.printed_most = Some(400);
    for (place, line) in test.sheet.lines.iter_mut().enumerate() {
        let artistic = place >= 16;
        line.coefficient = match place {
            0..4 => 2,
            4..16 => 1,
            _ => 4,
        };
        if artistic {
            line.kind = LineKind::Artistic;
            line.step = Step::Tenth;
            test.lines[place].marks[0] = TestMark::from_tenths(80);
        }
    }
    assert_eq!(percent(&test), "75.000 %");
    test.sheet.lines[20].coefficient = 5;
    test.sheet.printed_most = None;
    assert_eq!(
        result(&test),
        Err(TestProblem::Halves {
            technical: 200,
            artistic: 210
        })
    );
}
