//! A ridden test, lowered to the arithmetic of test sheets.

use reinback_analysis::sheet::{self, Sheet, SheetProblem, SheetResult};

use crate::model::{LineKind, RiddenTest, SheetLine};

/// Why a test has no percentage. Its text is a sentence for the rider.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum TestProblem {
    /// The arithmetic refuses it.
    #[error(transparent)]
    Sheet(#[from] SheetProblem),
    /// Marks are missing.
    #[error("{0} {is} missing, so there is no percentage yet.", is = if *.0 == 1 { "mark is" } else { "marks are" })]
    NotWhole(u32),
    /// The lines come to something else than the sheet prints.
    #[error(
        "The lines come to {lines} points, and the sheet says {printed}. Compare the coefficients with the sheet."
    )]
    PrintedMost {
        /// What the lines come to.
        lines: u32,
        /// What the sheet prints.
        printed: u32,
    },
    /// A freestyle whose halves do not have the same most points.
    #[error(
        "The technical lines come to {technical} points and the artistic ones to {artistic}; a freestyle counts both halves alike. Compare the coefficients with the sheet."
    )]
    Halves {
        /// Most points of the technical half.
        technical: u32,
        /// Most points of the artistic half.
        artistic: u32,
    },
}

/// The test as the arithmetic takes it, judge by judge.
#[must_use]
pub fn lowered(test: &RiddenTest) -> Sheet {
    let of = |judge: usize| {
        let lines = test.lines.iter();
        lines
            .map(|line| line.marks.get(judge).copied().flatten())
            .collect()
    };
    Sheet {
        lines: test.sheet.lines.iter().map(SheetLine::lowered).collect(),
        marks: (0..test.judges.len()).map(of).collect(),
        errors: u32::from(test.errors),
        rules: test.sheet.rules.clone(),
        points_off: test.points_off,
        deduction: test.percent_off,
        decimals: u32::from(test.sheet.decimals),
    }
}

/// What a test comes to.
///
/// The result of a freestyle is the mean of its technical and its artistic half, which is the
/// share of all points where both halves have the same most points; other sheets are refused.
///
/// # Errors
/// A [`TestProblem`] where there is no percentage to be trusted.
pub fn result(test: &RiddenTest) -> Result<SheetResult, TestProblem> {
    check_totals(test)?;
    let missing = missing(test);
    if missing > 0 && !test.judges.is_empty() {
        return Err(TestProblem::NotWhole(missing));
    }
    Ok(sheet::add_up(&lowered(test))?)
}

/// How many marks are missing.
#[must_use]
pub fn missing(test: &RiddenTest) -> u32 {
    let marks = test.lines.iter().flat_map(|line| &line.marks);
    u32::try_from(marks.filter(|mark| mark.is_none()).count()).unwrap_or(u32::MAX)
}

fn check_totals(test: &RiddenTest) -> Result<(), TestProblem> {
    let lines = test.sheet.most();
    if let Some(printed) = test.sheet.printed_most.filter(|printed| *printed != lines) {
        return Err(TestProblem::PrintedMost { lines, printed });
    }
    let all = test.sheet.lines.iter();
    let artistic = all
        .filter(|line| line.kind == LineKind::Artistic)
        .fold(0_u32, |sum, line| sum + 10 * u32::from(line.coefficient));
    let technical = lines.saturating_sub(artistic);
    if artistic > 0 && artistic != technical {
        return Err(TestProblem::Halves {
            technical,
            artistic,
        });
    }
    Ok(())
}

#[cfg(test)]
mod tests;
