//! Test sheets and ridden tests as they stand in the files.

use serde::{Deserialize, Serialize};

use super::text::Text;
use super::yard::is_false;
use crate::id::{BoutId, SheetId};
use crate::model::{
    Cost, ErrorRules, Judge, JudgedLine, Known, LineKind, RiddenTest, Seen, SheetLine, Step,
    TestMark, TestSheet,
};
use crate::words::WordId;
use reinback_analysis::Moment;

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Sheet", deny_unknown_fields)]
pub(in crate::file) struct StoredSheet {
    id: Text<SheetId>,
    name: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    as_of: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    printed_most: Option<u32>,
    rules: StoredRules,
    #[serde(default = "three", skip_serializing_if = "is_three")]
    decimals: u8,
    lines: Vec<StoredLine>,
}

fn three() -> u8 {
    3
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde calls it with a reference"
)]
fn is_three(value: &u8) -> bool {
    *value == 3
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "ErrorRules", deny_unknown_fields)]
struct StoredRules {
    name: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    as_of: String,
    costs: Vec<StoredCost>,
    #[serde(default, skip_serializing_if = "is_false")]
    eliminates: bool,
    known: StoredKnown,
}

#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename = "Cost")]
enum StoredCost {
    Points(u32),
    Percent(u32),
}

#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename = "Known")]
enum StoredKnown {
    Read,
    SecondHand,
    Recalled,
    Own,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "SheetLine", deny_unknown_fields)]
struct StoredLine {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    number: Option<u16>,
    text: String,
    #[serde(default = "one", skip_serializing_if = "is_one")]
    coefficient: u8,
    #[serde(default, skip_serializing_if = "is_false")]
    tenths: bool,
    #[serde(default, skip_serializing_if = "StoredKind::is_movement")]
    kind: StoredKind,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    exercise: Option<Text<WordId>>,
}

fn one() -> u8 {
    1
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde calls it with a reference"
)]
fn is_one(value: &u8) -> bool {
    *value == 1
}

#[derive(Clone, Copy, Debug, Default, Serialize, Deserialize)]
#[serde(rename = "LineKind")]
enum StoredKind {
    #[default]
    Movement,
    General,
    Artistic,
}

/// A test in a ride's file.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Test", deny_unknown_fields)]
pub(in crate::file) struct StoredTest {
    sheet: StoredSheet,
    #[serde(default, skip_serializing_if = "is_zero")]
    errors: u16,
    #[serde(default, skip_serializing_if = "is_nothing")]
    points_off: u32,
    #[serde(default, skip_serializing_if = "is_nothing")]
    percent_off: u32,
    judges: Vec<StoredJudge>,
    marks: Vec<StoredMarks>,
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde calls it with a reference"
)]
fn is_zero(value: &u16) -> bool {
    *value == 0
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde calls it with a reference"
)]
fn is_nothing(value: &u32) -> bool {
    *value == 0
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Judge", deny_unknown_fields)]
struct StoredJudge {
    position: Text<char>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    name: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "LineMarks", deny_unknown_fields)]
struct StoredMarks {
    given: Vec<Option<Text<TestMark>>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    seen: Option<StoredSeen>,
}

#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename = "Seen")]
enum StoredSeen {
    Bout(Text<BoutId>),
    At(Text<Moment>),
}

impl StoredSheet {
    pub(super) fn from_model(sheet: &TestSheet) -> Self {
        Self {
            id: Text(sheet.id),
            name: sheet.name.clone(),
            as_of: sheet.as_of.clone(),
            printed_most: sheet.printed_most,
            rules: StoredRules::from_model(&sheet.rules),
            decimals: sheet.decimals,
            lines: sheet.lines.iter().map(StoredLine::from_model).collect(),
        }
    }

    pub(super) fn into_model(self) -> TestSheet {
        TestSheet {
            id: self.id.0,
            name: self.name,
            as_of: self.as_of,
            lines: self.lines.into_iter().map(StoredLine::into_model).collect(),
            printed_most: self.printed_most,
            rules: self.rules.into_model(),
            decimals: self.decimals,
        }
    }
}

impl StoredRules {
    fn from_model(rules: &ErrorRules) -> Self {
        let cost = |cost: &Cost| match *cost {
            Cost::Points(tenths) => StoredCost::Points(tenths),
            Cost::Percent(thousandths) => StoredCost::Percent(thousandths),
        };
        Self {
            name: rules.name.clone(),
            as_of: rules.as_of.clone(),
            costs: rules.costs.iter().map(cost).collect(),
            eliminates: rules.eliminates,
            known: match rules.known {
                Known::Read => StoredKnown::Read,
                Known::SecondHand => StoredKnown::SecondHand,
                Known::Recalled => StoredKnown::Recalled,
                Known::Own => StoredKnown::Own,
            },
        }
    }

    fn into_model(self) -> ErrorRules {
        let cost = |cost| match cost {
            StoredCost::Points(tenths) => Cost::Points(tenths),
            StoredCost::Percent(thousandths) => Cost::Percent(thousandths),
        };
        ErrorRules {
            name: self.name,
            as_of: self.as_of,
            costs: self.costs.into_iter().map(cost).collect(),
            eliminates: self.eliminates,
            known: match self.known {
                StoredKnown::Read => Known::Read,
                StoredKnown::SecondHand => Known::SecondHand,
                StoredKnown::Recalled => Known::Recalled,
                StoredKnown::Own => Known::Own,
            },
        }
    }
}

impl StoredLine {
    fn from_model(line: &SheetLine) -> Self {
        Self {
            number: line.number,
            text: line.text.clone(),
            coefficient: line.coefficient,
            tenths: line.step == Step::Tenth,
            kind: match line.kind {
                LineKind::Movement => StoredKind::Movement,
                LineKind::General => StoredKind::General,
                LineKind::Artistic => StoredKind::Artistic,
            },
            exercise: line.exercise.clone().map(Text),
        }
    }

    fn into_model(self) -> SheetLine {
        SheetLine {
            number: self.number,
            text: self.text,
            coefficient: self.coefficient,
            step: if self.tenths { Step::Tenth } else { Step::Half },
            kind: match self.kind {
                StoredKind::Movement => LineKind::Movement,
                StoredKind::General => LineKind::General,
                StoredKind::Artistic => LineKind::Artistic,
            },
            exercise: self.exercise.map(|exercise| exercise.0),
        }
    }
}

impl StoredKind {
    #[expect(
        clippy::trivially_copy_pass_by_ref,
        reason = "serde calls it with a reference"
    )]
    fn is_movement(&self) -> bool {
        matches!(self, Self::Movement)
    }
}

impl StoredTest {
    pub(super) fn from_model(test: &RiddenTest) -> Self {
        let judge = |judge: &Judge| StoredJudge {
            position: Text(judge.position),
            name: judge.name.clone(),
        };
        let marks = |line: &JudgedLine| StoredMarks {
            given: line.marks.iter().map(|mark| mark.map(Text)).collect(),
            seen: line.seen.map(|seen| match seen {
                Seen::Bout(bout) => StoredSeen::Bout(Text(bout)),
                Seen::At(at) => StoredSeen::At(Text(at)),
            }),
        };
        Self {
            sheet: StoredSheet::from_model(&test.sheet),
            errors: test.errors,
            points_off: test.points_off,
            percent_off: test.percent_off,
            judges: test.judges.iter().map(judge).collect(),
            marks: test.lines.iter().map(marks).collect(),
        }
    }

    pub(super) fn into_model(self) -> RiddenTest {
        let judge = |judge: StoredJudge| Judge {
            position: judge.position.0,
            name: judge.name,
        };
        let line = |line: StoredMarks| JudgedLine {
            marks: line
                .given
                .into_iter()
                .map(|mark| mark.map(|mark| mark.0))
                .collect(),
            seen: line.seen.map(|seen| match seen {
                StoredSeen::Bout(bout) => Seen::Bout(bout.0),
                StoredSeen::At(at) => Seen::At(at.0),
            }),
        };
        RiddenTest {
            sheet: self.sheet.into_model(),
            judges: self.judges.into_iter().map(judge).collect(),
            lines: self.marks.into_iter().map(line).collect(),
            errors: self.errors,
            points_off: self.points_off,
            percent_off: self.percent_off,
        }
    }
}
