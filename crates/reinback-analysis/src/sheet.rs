//! The arithmetic of a dressage test: marks times coefficients to percentages.
//!
//! Every figure is worked in whole tenths of a point and thousandths of a
//! percent, so that no result depends on how a computer holds fractions. Rules
//! change every year: each set of errors of course names its date and how well
//! it is known, and all are only proposals to be edited.

use std::fmt;

/// A mark in tenths: 0 to 100.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Mark(u8);

impl Mark {
    /// A mark from tenths, 0 to 100. Movements are marked in halves, artistic
    /// marks may be given in tenths; see [`Step`].
    #[must_use]
    pub fn from_tenths(tenths: u8) -> Option<Self> {
        (tenths <= 100).then_some(Self(tenths))
    }

    /// A mark from halves, 0 to 20.
    #[must_use]
    pub fn from_halves(halves: u8) -> Option<Self> {
        (halves <= 20).then(|| Self(halves * 5))
    }

    /// The mark in tenths.
    #[must_use]
    pub fn tenths(self) -> u8 {
        self.0
    }
}

impl fmt::Display for Mark {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}.{}", self.0 / 10, self.0 % 10)
    }
}

/// In what steps a line may be marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Step {
    /// Halves, as for movements.
    Half,
    /// Tenths, as seen for artistic marks.
    Tenth,
}

/// One line of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Line {
    /// What the mark is multiplied by; 1 to 10.
    pub coefficient: u32,
    /// In what steps it is marked.
    pub step: Step,
    /// A movement, or a mark for the whole (general impression; collective
    /// marks of older sheets).
    pub movement: bool,
}

impl Line {
    /// A movement marked in halves.
    #[must_use]
    pub fn movement(coefficient: u32) -> Self {
        Self {
            coefficient,
            step: Step::Half,
            movement: true,
        }
    }

    /// A mark for the whole, in halves.
    #[must_use]
    pub fn general(coefficient: u32) -> Self {
        Self {
            movement: false,
            ..Self::movement(coefficient)
        }
    }
}

/// What an error costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cost {
    /// Tenths of a point off every judge's total.
    Points(u32),
    /// Thousandths of a percentage point off every judge's percentage.
    Percent(u32),
}

/// How a rule set came to be known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Known {
    /// Read on a sheet or in a rule text.
    Read,
    /// Read in another's words.
    SecondHand,
    /// Recalled; nothing read confirmed it.
    Recalled,
    /// The rider's own.
    Own,
}

/// What errors of course cost, in order; one more than listed eliminates.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ErrorRules {
    /// What to call it.
    pub name: String,
    /// For when it was seen.
    pub as_of: String,
    /// The cost of the first, second, ... error, each on top of the ones before.
    pub costs: Vec<Cost>,
    /// Whether one error more than listed eliminates; if not, each further one
    /// costs as much as the last.
    pub eliminates: bool,
    /// How it came to be known.
    pub known: Known,
}

impl ErrorRules {
    /// The sets that come with the program, newest first; all to be checked
    /// against the rules in force.
    ///
    /// ```
    /// use reinback_analysis::sheet::ErrorRules;
    /// for rules in ErrorRules::proposals() {
    ///     assert!(!rules.as_of.is_empty(), "every set has its date");
    /// }
    /// ```
    #[must_use]
    pub fn proposals() -> Vec<Self> {
        let rules = |name: &str, as_of: &str, costs: &[Cost], eliminates, known| Self {
            name: name.to_owned(),
            as_of: as_of.to_owned(),
            costs: costs.to_vec(),
            eliminates,
            known,
        };
        let (percent, points) = (Cost::Percent, Cost::Points);
        vec![
            rules(
                "FEI, Grand Prix sheets",
                "Grand Prix Special sheet with general impression, 2021 or later",
                &[percent(2_000)],
                true,
                Known::Read,
            ),
            rules(
                "FEI, small tour and youth",
                "about 2021",
                &[percent(500), percent(1_000)],
                true,
                Known::Recalled,
            ),
            rules(
                "Olympic Games 2016",
                "2016",
                &[points(20), points(40)],
                true,
                Known::Read,
            ),
            rules(
                "Two marks an error",
                "a British and Irish organiser of shows by film, undated",
                &[points(20)],
                false,
                Known::SecondHand,
            ),
        ]
    }

    /// The cost of so many errors: points in tenths, percentage points in
    /// thousandths; `None` for elimination.
    fn cost(&self, errors: u32) -> Option<(i64, i64)> {
        let mut sum = (0, 0);
        for error in 0..errors {
            let listed = self.costs.get(error as usize);
            let cost = match listed {
                Some(cost) => *cost,
                None if self.eliminates => return None,
                None => *self.costs.last()?,
            };
            match cost {
                Cost::Points(tenths) => sum.0 += i64::from(tenths),
                Cost::Percent(thousandths) => sum.1 += i64::from(thousandths),
            }
        }
        Some(sum)
    }
}

/// A ridden test.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// The lines, in order.
    pub lines: Vec<Line>,
    /// Judge by judge, a mark for every line; `None` where not given yet.
    pub marks: Vec<Vec<Option<Mark>>>,
    /// Errors of course; at most 100.
    pub errors: u32,
    /// What they cost.
    pub rules: ErrorRules,
    /// Further points off every judge's total, in tenths, as for "other errors" of a
    /// freestyle; no more than the sheet has.
    pub points_off: u32,
    /// Further deductions in thousandths of a percentage point, as for
    /// technical faults; 0 to 100 000.
    pub deduction: u32,
    /// Decimals of a percentage, 0 to 3: three at the Games of 2016.
    pub decimals: u32,
}

/// A percentage in thousandths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Percentage(i64);

impl Percentage {
    /// Thousandths of a percent; from 0 to 100 000.
    #[must_use]
    pub fn thousandths(self) -> i64 {
        self.0
    }
}

impl fmt::Display for Percentage {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}.{:03} %", self.0 / 1000, self.0 % 1000)
    }
}

/// One judge's result.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JudgeResult {
    /// Points before deductions, in tenths.
    pub tenths: u32,
    /// The percentage after deductions, never below 0.
    pub percentage: Percentage,
}

/// What a sheet adds up to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetResult {
    /// The most points possible.
    pub most: u32,
    /// Judge by judge.
    pub judges: Vec<JudgeResult>,
    /// The mean of the judges' percentages; `None` if eliminated.
    pub percentage: Option<Percentage>,
    /// Line by line: tenths of a point lost to a 10, coefficient included,
    /// summed over the judges; and how far the judges' marks lie apart.
    pub lines: Vec<LineResult>,
}

/// One line over all judges, in tenths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LineResult {
    /// Lost to a 10, coefficient included, over all judges.
    pub lost: u32,
    /// Highest less lowest mark.
    pub apart: u32,
}

/// A sheet that does not add up. Its text is a sentence for the rider.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, thiserror::Error)]
#[non_exhaustive]
pub enum SheetProblem {
    /// No lines, or too many.
    #[error("The sheet has no lines, or more than 200. Add its movements.")]
    NoLines,
    /// No judge, or too many.
    #[error("The sheet has no judge, or more than 20. Add the marks of at least one.")]
    NoJudge,
    /// A coefficient outside 1 to 10.
    #[error("Line {} has a coefficient outside 1 to 10. Correct it.", .0 + 1)]
    Coefficient(usize),
    /// A judge with more or fewer marks than lines.
    #[error("Judge {} has another number of marks than the sheet has lines. Check them.", .0 + 1)]
    WrongLength(usize),
    /// A mark not given yet.
    #[error("Judge {} has not marked line {}. Enter the mark.", .judge + 1, .line + 1)]
    Missing {
        /// The judge, from 0.
        judge: usize,
        /// The line, from 0.
        line: usize,
    },
    /// A mark between the steps its line allows.
    #[error("Line {} is marked in halves; judge {} gave something in between.", .line + 1, .judge + 1)]
    NotAStep {
        /// The judge, from 0.
        judge: usize,
        /// The line, from 0.
        line: usize,
    },
    /// More than 100 errors, more than 3 decimals, more than all deducted, or
    /// rules that cost nothing and do not eliminate.
    #[error("The errors, deductions or decimals cannot be right. Check them.")]
    Deductions,
}

/// The most points possible: the sum of the coefficients times 10.
#[must_use]
pub fn most_points(lines: &[Line]) -> u32 {
    lines.iter().fold(0_u32, |sum, line| {
        sum.saturating_add(line.coefficient.saturating_mul(10))
    })
}

/// Adds up a sheet.
///
/// Per judge `Σ mark × coefficient / most × 100`, points off before and
/// percentage points off after, rounded half up to the decimals; the result is
/// the mean of the judges, rounded likewise (arithmetic of the Olympic rules of
/// 2016, as quoted in a public collection; read).
///
/// # Errors
///
/// A [`SheetProblem`] where something is missing or cannot be.
///
/// ```
/// use reinback_analysis::sheet::{ErrorRules, Line, Mark, Sheet, add_up};
/// let sheet = Sheet {
///     lines: vec![Line::movement(1), Line::movement(2), Line::general(2)],
///     marks: vec![vec![Mark::from_halves(13), Mark::from_halves(14), Mark::from_halves(12)]],
///     errors: 0,
///     rules: ErrorRules::proposals()[0].clone(),
///     points_off: 0,
///     deduction: 0,
///     decimals: 3,
/// };
/// // (6.5 + 2 × 7 + 2 × 6) of 50
/// assert_eq!(add_up(&sheet)?.percentage.unwrap().to_string(), "65.000 %");
/// # Ok::<(), reinback_analysis::sheet::SheetProblem>(())
/// ```
pub fn add_up(sheet: &Sheet) -> Result<SheetResult, SheetProblem> {
    check(sheet)?;
    let most = most_points(&sheet.lines);
    let marks = marks(sheet)?;
    let cost = sheet.rules.cost(sheet.errors);
    let (points, percent) = cost.unwrap_or((0, 0));
    let judges: Vec<JudgeResult> = marks
        .iter()
        .map(|judge| {
            let tenths = total(&sheet.lines, judge);
            let after = i64::from(tenths) - points - i64::from(sheet.points_off);
            // tenths × 10 000 / most: thousandths of a percent, then rounded
            let exact = (after * 10_000, i64::from(most));
            let off = percent + i64::from(sheet.deduction);
            JudgeResult {
                tenths,
                percentage: rounded((exact.0 - off * exact.1).max(0), exact.1, sheet.decimals),
            }
        })
        .collect();
    let sum: i64 = judges.iter().map(|judge| judge.percentage.0).sum();
    let count = i64::from(crate::special::count(judges.len()));
    Ok(SheetResult {
        most,
        percentage: cost.map(|_| rounded(sum, count, sheet.decimals)),
        lines: lines(sheet, &marks),
        judges,
    })
}

/// `numerator / denominator` thousandths, half up to so many decimals.
fn rounded(numerator: i64, denominator: i64, decimals: u32) -> Percentage {
    let unit = 10_i64.pow(3 - decimals.min(3));
    let steps = (2 * numerator + denominator * unit) / (2 * denominator * unit);
    Percentage(steps * unit)
}

fn check(sheet: &Sheet) -> Result<(), SheetProblem> {
    if sheet.lines.is_empty() || sheet.lines.len() > 200 {
        return Err(SheetProblem::NoLines);
    }
    if sheet.marks.is_empty() || sheet.marks.len() > 20 {
        return Err(SheetProblem::NoJudge);
    }
    let odd = |line: &Line| !(1..=10).contains(&line.coefficient);
    if let Some(place) = sheet.lines.iter().position(odd) {
        return Err(SheetProblem::Coefficient(place));
    }
    let rules_cost = !sheet.rules.costs.is_empty() || sheet.rules.eliminates;
    let points_off = sheet.points_off > most_points(&sheet.lines).saturating_mul(10);
    let too_much = sheet.errors > 100 || sheet.deduction > 100_000 || points_off;
    if too_much || sheet.decimals > 3 || !rules_cost {
        return Err(SheetProblem::Deductions);
    }
    Ok(())
}

fn marks(sheet: &Sheet) -> Result<Vec<Vec<Mark>>, SheetProblem> {
    let mut all = Vec::new();
    for (judge, given) in sheet.marks.iter().enumerate() {
        if given.len() != sheet.lines.len() {
            return Err(SheetProblem::WrongLength(judge));
        }
        let mut own = Vec::new();
        for (line, mark) in given.iter().enumerate() {
            let mark = mark.ok_or(SheetProblem::Missing { judge, line })?;
            if sheet.lines[line].step == Step::Half && !mark.0.is_multiple_of(5) {
                return Err(SheetProblem::NotAStep { judge, line });
            }
            own.push(mark);
        }
        all.push(own);
    }
    Ok(all)
}

fn total(lines: &[Line], marks: &[Mark]) -> u32 {
    lines
        .iter()
        .zip(marks)
        .map(|(line, mark)| line.coefficient * u32::from(mark.0))
        .sum()
}

fn lines(sheet: &Sheet, marks: &[Vec<Mark>]) -> Vec<LineResult> {
    sheet
        .lines
        .iter()
        .enumerate()
        .map(|(place, line)| {
            let given = || marks.iter().map(|judge| u32::from(judge[place].0));
            LineResult {
                lost: given().map(|mark| line.coefficient * (100 - mark)).sum(),
                apart: given().max().unwrap_or(0) - given().min().unwrap_or(0),
            }
        })
        .collect()
}

/// What a judge has given so far, while marks are still missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, PartialOrd, Ord, Hash)]
pub struct SoFar {
    /// Points given, coefficients included, in tenths.
    pub tenths: u32,
    /// The most points the lines marked so far could have.
    pub most: u32,
    /// Lines marked.
    pub marked: u32,
    /// Lines without a mark.
    pub missing: u32,
}

/// Judge by judge what has been given so far. No percentage is made of it: the lines that are
/// missing may be the dearest ones.
///
/// ```
/// use reinback_analysis::sheet::{Line, Mark, so_far};
/// let lines = [Line::movement(1), Line::movement(2)];
/// let given = so_far(&lines, &[vec![Mark::from_halves(13), None]]);
/// assert_eq!((given[0].tenths, given[0].most, given[0].missing), (65, 10, 1));
/// ```
#[must_use]
pub fn so_far(lines: &[Line], marks: &[Vec<Option<Mark>>]) -> Vec<SoFar> {
    let judge = |given: &Vec<Option<Mark>>| {
        let given = given.iter().copied().chain(std::iter::repeat(None));
        lines
            .iter()
            .zip(given)
            .fold(SoFar::default(), |sum, (line, mark)| match mark {
                Some(mark) => SoFar {
                    tenths: sum
                        .tenths
                        .saturating_add(line.coefficient.saturating_mul(u32::from(mark.0))),
                    most: sum.most.saturating_add(line.coefficient.saturating_mul(10)),
                    marked: sum.marked + 1,
                    ..sum
                },
                None => SoFar {
                    missing: sum.missing + 1,
                    ..sum
                },
            })
    };
    marks.iter().map(judge).collect()
}

/// Line by line what was lost and how far the judges lie apart, over the judges who marked it;
/// `None` where none did.
#[must_use]
pub fn lines_so_far(lines: &[Line], marks: &[Vec<Option<Mark>>]) -> Vec<Option<LineResult>> {
    let line = |(place, line): (usize, &Line)| {
        let given: Vec<u32> = marks
            .iter()
            .filter_map(|judge| judge.get(place).copied().flatten())
            .map(|mark| u32::from(mark.0))
            .collect();
        let (highest, lowest) = (*given.iter().max()?, *given.iter().min()?);
        let lost = given
            .iter()
            .map(|mark| line.coefficient.saturating_mul(100 - mark));
        Some(LineResult {
            lost: lost.fold(0, u32::saturating_add),
            apart: highest - lowest,
        })
    };
    lines.iter().enumerate().map(line).collect()
}
