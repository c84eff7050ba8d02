//! A test as it was ridden, with its sheet.

use reinback_analysis::Moment;

use super::bytes::{Input, Output};
use super::codes::Coded as _;
use super::things::{WordsIn, WordsOut};
use crate::model::{
    Cost, ErrorRules, Judge, JudgedLine, RiddenTest, Seen, SheetLine, TestMark, TestSheet,
};

pub(super) fn pack<'a>(out: &mut Output, test: &'a RiddenTest, words: &mut WordsOut<'a>) {
    let RiddenTest {
        sheet,
        judges,
        lines,
        errors,
        points_off,
        percent_off,
    } = test;
    pack_sheet(out, sheet, words);
    out.number(judges.len() as u64);
    for Judge { position, name } in judges {
        out.number(u32::from(*position).into());
        out.text(name);
    }
    out.number(lines.len() as u64);
    for JudgedLine { marks, seen } in lines {
        out.number(marks.len() as u64);
        for mark in marks {
            out.maybe(*mark, |out, mark| out.byte(mark.tenths()));
        }
        out.maybe(*seen, |out, seen| match seen {
            Seen::Bout(bout) => {
                out.flag(false);
                out.fixed(bout.bits());
            }
            Seen::At(at) => {
                out.flag(true);
                out.step(at.0);
            }
        });
    }
    out.number((*errors).into());
    out.number((*points_off).into());
    out.number((*percent_off).into());
}

pub(super) fn unpack(input: &mut Input<'_>, words: &WordsIn) -> Option<RiddenTest> {
    let sheet = unpack_sheet(input, words)?;
    let mut judges = Vec::new();
    for _ in 0..input.number()? {
        judges.push(Judge {
            position: char::from_u32(input.small()?)?,
            name: input.text()?,
        });
    }
    let mut lines = Vec::new();
    for _ in 0..input.number()? {
        lines.push(unpack_judged(input)?);
    }
    Some(RiddenTest {
        sheet,
        judges,
        lines,
        errors: input.small()?,
        points_off: input.small()?,
        percent_off: input.small()?,
    })
}

fn unpack_judged(input: &mut Input<'_>) -> Option<JudgedLine> {
    let mut marks = Vec::new();
    for _ in 0..input.number()? {
        marks.push(input.maybe(|input| TestMark::from_tenths(input.byte()?))?);
    }
    let seen = input.maybe(|input| {
        Some(if input.flag()? {
            Seen::At(Moment(input.step()?))
        } else {
            Seen::Bout(input.fixed()?.into())
        })
    })?;
    Some(JudgedLine { marks, seen })
}

fn pack_sheet<'a>(out: &mut Output, sheet: &'a TestSheet, words: &mut WordsOut<'a>) {
    let TestSheet {
        id,
        name,
        as_of,
        lines,
        printed_most,
        rules,
        decimals,
    } = sheet;
    out.fixed(id.bits());
    out.text(name);
    out.text(as_of);
    out.number(lines.len() as u64);
    for line in lines {
        let SheetLine {
            number,
            text,
            coefficient,
            step,
            kind,
            exercise,
        } = line;
        out.maybe(*number, |out, number| out.number(number.into()));
        out.text(text);
        out.byte(*coefficient);
        out.byte(step.code());
        out.byte(kind.code());
        out.maybe(exercise.as_ref(), |out, word| {
            out.number(words.number(word));
        });
    }
    out.maybe(*printed_most, |out, most| out.number(most.into()));
    pack_rules(out, rules);
    out.byte(*decimals);
}

fn unpack_sheet(input: &mut Input<'_>, words: &WordsIn) -> Option<TestSheet> {
    let (id, name, as_of) = (input.fixed()?.into(), input.text()?, input.text()?);
    let mut lines = Vec::new();
    for _ in 0..input.number()? {
        lines.push(SheetLine {
            number: input.maybe(Input::small)?,
            text: input.text()?,
            coefficient: input.byte()?,
            step: input.coded()?,
            kind: input.coded()?,
            exercise: input.maybe(|input| words.read(input))?,
        });
    }
    Some(TestSheet {
        id,
        name,
        as_of,
        lines,
        printed_most: input.maybe(Input::small)?,
        rules: unpack_rules(input)?,
        decimals: input.byte()?,
    })
}

fn pack_rules(out: &mut Output, rules: &ErrorRules) {
    let ErrorRules {
        name,
        as_of,
        costs,
        eliminates,
        known,
    } = rules;
    out.text(name);
    out.text(as_of);
    out.number(costs.len() as u64);
    for cost in costs {
        let (percent, off) = match cost {
            Cost::Points(off) => (false, off),
            Cost::Percent(off) => (true, off),
        };
        out.flag(percent);
        out.number((*off).into());
    }
    out.flag(*eliminates);
    out.byte(known.code());
}

fn unpack_rules(input: &mut Input<'_>) -> Option<ErrorRules> {
    let (name, as_of) = (input.text()?, input.text()?);
    let mut costs = Vec::new();
    for _ in 0..input.number()? {
        let percent = input.flag()?;
        let off = input.small()?;
        costs.push(if percent {
            Cost::Percent(off)
        } else {
            Cost::Points(off)
        });
    }
    Some(ErrorRules {
        name,
        as_of,
        costs,
        eliminates: input.flag()?,
        known: input.coded()?,
    })
}
