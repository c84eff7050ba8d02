//! Test sheets, and a test as it was ridden and judged.
//!
//! A ridden test keeps its own copy of the sheet: what was ridden last year does not change when
//! this year's sheet is corrected, and a ride's file tells the whole of it.

pub use reinback_analysis::sheet::{Cost, ErrorRules, Known, Mark as TestMark, Step};
use reinback_analysis::{Moment, sheet};

use crate::id::{BoutId, SheetId};
use crate::words::WordId;

/// A sheet as the yard keeps it, to be chosen for a ride.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TestSheet {
    /// Unique in the yard.
    pub id: SheetId,
    /// Not blank.
    pub name: String,
    /// Which edition it is and how well it is known, in the rider's words.
    pub as_of: String,
    /// In the order they are ridden, marks for the whole at the end.
    pub lines: Vec<SheetLine>,
    /// The most points as the sheet prints them, to check the lines by.
    pub printed_most: Option<u32>,
    /// What errors of course cost.
    pub rules: ErrorRules,
    /// Decimals of a percentage; 0 to 3 make sense.
    pub decimals: u8,
}

impl TestSheet {
    /// The most points its lines come to.
    #[must_use]
    pub fn most(&self) -> u32 {
        let lines = self.lines.iter();
        lines.fold(0, |sum: u32, line| {
            sum.saturating_add(10 * u32::from(line.coefficient))
        })
    }
}

/// One line of a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetLine {
    /// As printed, where it has a number.
    pub number: Option<u16>,
    /// A few words.
    pub text: String,
    /// What the mark is multiplied by; 1 to 10 make sense.
    pub coefficient: u8,
    /// In what steps it is marked.
    pub step: Step,
    /// What is marked.
    pub kind: LineKind,
    /// The exercise ridden, where the yard has a word for it: its bouts are offered as the film of
    /// this line.
    pub exercise: Option<WordId>,
}

/// What a line of a sheet marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LineKind {
    /// A movement.
    Movement,
    /// The whole ride: general impression, collective marks.
    General,
    /// The artistic half of a freestyle.
    Artistic,
}

impl LineKind {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Movement, Self::General, Self::Artistic];
}

/// A test as it was ridden.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RiddenTest {
    /// A copy of the sheet as it then was.
    pub sheet: TestSheet,
    /// At most [`MAX_JUDGES`].
    pub judges: Vec<Judge>,
    /// As many as the sheet has lines.
    pub lines: Vec<JudgedLine>,
    /// Errors of course.
    pub errors: u16,
    /// Further points off every judge's total, in tenths of a point.
    pub points_off: u32,
    /// Further percentage points off, in thousandths.
    pub percent_off: u32,
}

/// The most judges a test can have. Our own choice; at the largest shows there are seven.
pub const MAX_JUDGES: usize = 20;

/// One judge.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Judge {
    /// The letter at which the judge sits.
    pub position: char,
    /// May be empty.
    pub name: String,
}

/// One line as it was judged.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct JudgedLine {
    /// As many as there are judges; `None` where the mark is missing.
    pub marks: Vec<Option<TestMark>>,
    /// Where it is to be seen on film.
    pub seen: Option<Seen>,
}

/// Where a line of a test is to be seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seen {
    /// As this bout. One that is gone counts as none.
    Bout(BoutId),
    /// From this moment.
    At(Moment),
}

impl RiddenTest {
    /// A test on this sheet that nobody has judged yet, with one judge at C.
    #[must_use]
    pub fn new(sheet: TestSheet) -> Self {
        let unmarked = JudgedLine {
            marks: vec![None],
            seen: None,
        };
        Self {
            lines: vec![unmarked; sheet.lines.len()],
            sheet,
            judges: vec![Judge {
                position: 'C',
                name: String::new(),
            }],
            errors: 0,
            points_off: 0,
            percent_off: 0,
        }
    }

    /// Whether it has a line for every line of its sheet, and in each a mark or a gap for every
    /// judge.
    pub(crate) fn fits(&self) -> bool {
        let judges = self.judges.len();
        judges <= MAX_JUDGES
            && self.lines.len() == self.sheet.lines.len()
            && self.lines.iter().all(|line| line.marks.len() == judges)
    }
}

impl SheetLine {
    /// The line as the arithmetic takes it.
    pub(crate) fn lowered(&self) -> sheet::Line {
        sheet::Line {
            coefficient: u32::from(self.coefficient),
            step: self.step,
            movement: self.kind == LineKind::Movement,
        }
    }
}
