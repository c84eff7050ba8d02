//! One row for each horse, exercise, cell and measure.

use std::borrow::Cow;

use reinback_analysis::{Cell, Comparison, Estimate, FaultRate, Shortage, Tally, TrendEstimate};
use reinback_yard::{HorseId, WordId};

use super::column::{Columns, Text};
use super::names::Names;
use crate::report::document::{Part, direction_name, sequence_name, verdict_name};
use crate::report::numbers::{Compared, Days, Line, Numbers};

/// Whose estimate, and of what.
#[derive(Clone)]
struct Whose {
    horse: HorseId,
    horse_name: Option<String>,
    days: Days,
    against: Option<Days>,
    exercise: WordId,
    exercise_name: String,
    place: Option<i32>,
}

/// An estimate, or why there is none.
#[derive(Default)]
struct Found {
    cell: &'static str,
    variant: Option<WordId>,
    variant_name: Option<String>,
    measure: &'static str,
    estimate: Option<Estimate>,
    reason: Option<String>,
    tally: Option<Tally>,
    other: Option<Tally>,
    dispersion: Option<f64>,
    faults: Option<i64>,
    ridden: Option<i64>,
    rides: Option<i32>,
    verdict: Option<&'static str>,
    p: (Option<f64>, Option<f64>),
}

/// A row.
pub(super) struct EstimateRow {
    whose: Whose,
    found: Found,
}

/// Everything the numbers of a horse say, exercise by exercise.
pub(super) fn rows<'n>(
    horse: HorseId,
    numbers: &'n Numbers,
    names: &'n Names<'_>,
) -> impl Iterator<Item = EstimateRow> + 'n {
    let horse_name = names.horse(horse).map(Cow::into_owned);
    numbers.lines.iter().flat_map(move |line| {
        let whose = Whose {
            horse,
            horse_name: horse_name.clone(),
            days: numbers.question.days,
            against: numbers.question.against,
            exercise: line.exercise.clone(),
            exercise_name: line.name.clone(),
            place: i32::try_from(line.place).ok(),
        };
        let found = of_line(line).into_iter();
        found.map(move |found| EstimateRow {
            whose: whose.clone(),
            found,
        })
    })
}

fn of_line(line: &Line) -> Vec<Found> {
    let figures = &line.figures;
    let mut all = Vec::new();
    for (part, name, cell) in [
        (Part::All, "all", &figures.all),
        (Part::Left, "left", &figures.left),
        (Part::Right, "right", &figures.right),
        (Part::Unsided, "unsided", &figures.unsided),
    ] {
        all.extend(of_cell(name, cell, part.empty()));
    }
    for variant in &line.variants {
        let found = of_cell("variant", &variant.cell, None);
        all.extend(found.map(|found| Found {
            variant: variant.word.clone(),
            variant_name: variant.name.clone(),
            ..found
        }));
    }
    let rides = i32::try_from(line.rides.len()).ok();
    for found in all.iter_mut().filter(|found| found.cell == "all") {
        found.rides = rides;
    }
    all.push(Found {
        tally: Some(line.priority.tally),
        ..found("all", "shrunken_fault_rate", Ok(line.priority.shrunken))
    });
    all.push(of_trend(figures.trend.state, rides));
    all.extend(line.reins.as_ref().map(of_reins));
    all.extend(line.compared.iter().flat_map(of_before));
    if let Some(after) = &line.after {
        let shares = [
            ("ridden_again", &after.repeated),
            ("repeat_faulty", &after.repeat),
            ("faulty_after_faulty", &after.after_faulty),
            ("faulty_after_clean", &after.after_clean),
        ];
        all.extend(shares.map(|(measure, rate)| of_rate("all", measure, rate)));
        all.push(Found {
            tally: Some(after.after_faulty.tally),
            other: Some(after.after_clean.tally),
            verdict: Some(sequence_name(after.verdict)),
            p: (after.permutation_p, after.adjusted_p),
            ..found("all", "after_faulty_minus_after_clean", after.difference)
        });
    }
    all
}

fn found(cell: &'static str, measure: &'static str, estimate: Result<Estimate, Shortage>) -> Found {
    Found {
        cell,
        measure,
        reason: estimate.as_ref().err().map(Shortage::to_string),
        estimate: estimate.ok(),
        ..Found::default()
    }
}

/// `empty` says why a cell without attempts has none.
fn of_cell(
    name: &'static str,
    cell: &Cell,
    empty: Option<&'static str>,
) -> impl Iterator<Item = Found> + use<> {
    let tally = cell.rate.tally;
    let why = empty.filter(|_| tally.attempts == 0).map(str::to_owned);
    let rate = Found {
        faults: Some(i64::from(cell.faults)),
        ..of_rate(name, "fault_rate", &cell.rate)
    };
    let per_minute = Found {
        tally: Some(tally),
        faults: Some(i64::from(cell.per_minute.faults)),
        ridden: Some(cell.per_minute.ridden_nanos),
        ..found(name, "faults_per_minute", cell.per_minute.range)
    };
    [rate, per_minute].into_iter().map(move |found| Found {
        reason: why.clone().or(found.reason),
        ..found
    })
}

fn of_rate(cell: &'static str, measure: &'static str, rate: &FaultRate) -> Found {
    Found {
        tally: Some(rate.tally),
        dispersion: Some(rate.dispersion),
        ..found(cell, measure, rate.range)
    }
}

fn of_trend(state: Result<TrendEstimate, Shortage>, rides: Option<i32>) -> Found {
    let odds = state.map(|trend| trend.odds_per_month());
    let trend = state.ok();
    Found {
        rides,
        verdict: trend.map(|trend| direction_name(trend.direction)),
        p: (
            trend.map(|trend| trend.permutation_p),
            trend.map(|trend| trend.adjusted_p),
        ),
        ..found("all", "odds_per_month", odds)
    }
}

fn of_reins(reins: &Comparison) -> Found {
    Found {
        tally: Some(reins.after.tally),
        other: Some(reins.before.tally),
        dispersion: Some(reins.dispersion),
        verdict: Some(verdict_name(reins.verdict)),
        p: (reins.permutation_p, reins.adjusted_p),
        ..found("all", "right_minus_left", reins.difference)
    }
}

/// The period against the days compared with.
fn of_before(found_before: &Compared) -> Vec<Found> {
    let (rate, earlier) = (&found_before.rate, &found_before.earlier);
    let mut all: Vec<Found> = of_cell("before", earlier, None).collect();
    all.push(Found {
        tally: Some(rate.after.tally),
        other: Some(rate.before.tally),
        dispersion: Some(rate.dispersion),
        verdict: Some(verdict_name(rate.verdict)),
        p: (rate.permutation_p, rate.adjusted_p),
        ..found("all", "now_minus_before", rate.difference)
    });
    all.push(found(
        "all",
        "per_minute_now_over_before",
        found_before.per_minute,
    ));
    all
}

/// `docs/report.md` has this list; a test keeps it so.
pub(super) fn columns() -> Columns<EstimateRow> {
    counts(values(whose(Columns::new())))
}

fn whose(columns: Columns<EstimateRow>) -> Columns<EstimateRow> {
    columns
        .id("horse", |row| Some(row.whose.horse.bits()), "whose")
        .text(
            "horse_name",
            |row| borrowed(row.whose.horse_name.as_deref()),
            "the horse's name, or its id without names",
        )
        .or_null()
        .day(
            "period_from",
            |row| row.whose.days.from,
            "the first day asked for; null where that side is open",
        )
        .or_null()
        .day(
            "period_to",
            |row| row.whose.days.to,
            "the last day asked for, included; null where that side is open",
        )
        .or_null()
        .day(
            "against_from",
            |row| row.whose.against?.from,
            "the first day compared with; null where that side is open, or nothing is compared",
        )
        .or_null()
        .day(
            "against_to",
            |row| row.whose.against?.to,
            "the last day compared with, included; null where that side is open, or nothing is compared",
        )
        .or_null()
        .text(
            "exercise",
            |row| borrowed(Some(row.whose.exercise.as_str())),
            "the yard's word",
        )
        .text(
            "exercise_name",
            |row| borrowed(Some(&row.whose.exercise_name)),
            "as the yard calls it",
        )
        .whole(
            "work_on_first",
            |row| row.whose.place,
            "the exercise's place in what to work on first, from 1",
        )
        .text(
            "cell",
            |row| borrowed(Some(row.found.cell)),
            "which attempts: `all`, `left`, `right`, `unsided`, `variant`, or `before`: all of the days compared with",
        )
        .text(
            "variant",
            |row| borrowed(row.found.variant.as_ref().map(WordId::as_str)),
            "for cell `variant`: the yard's word, null for attempts without one",
        )
        .or_null()
        .text(
            "variant_name",
            |row| borrowed(row.found.variant_name.as_deref()),
            "as the yard calls it",
        )
        .or_null()
        .text(
            "measure",
            |row| borrowed(Some(row.found.measure)),
            "what was estimated; see below",
        )
}

fn values(columns: Columns<EstimateRow>) -> Columns<EstimateRow> {
    columns
        .number(
            "value",
            |row| Some(row.found.estimate?.value),
            "the best single value",
        )
        .or_null()
        .number(
            "low",
            |row| Some(row.found.estimate?.low),
            "lower end of its range",
        )
        .or_null()
        .number(
            "high",
            |row| Some(row.found.estimate?.high),
            "upper end of its range",
        )
        .or_null()
        .number(
            "level",
            |row| Some(row.found.estimate?.level),
            "how often such a range is meant to hold the true value; 0.95",
        )
        .or_null()
        .text(
            "method",
            |row| borrowed(Some(row.found.estimate?.method.name())),
            "how the range was found",
        )
        .or_null()
        .text(
            "source",
            |row| borrowed(Some(row.found.estimate?.method.source())),
            "where that method was published",
        )
        .or_null()
        .text(
            "reason",
            |row| borrowed(row.found.reason.as_deref()),
            "why there is no value; null where there is one",
        )
        .or_null()
        .text(
            "verdict",
            |row| borrowed(row.found.verdict),
            "what may be said, in the words of the JSON report; null for measures without one",
        )
        .or_null()
        .number(
            "permutation_p",
            |row| row.found.p.0,
            "share of shuffles of whole rides at least as far apart",
        )
        .or_null()
        .number(
            "adjusted_p",
            |row| row.found.p.1,
            "the same after Benjamini-Hochberg over the horse's exercises",
        )
        .or_null()
}

fn counts(columns: Columns<EstimateRow>) -> Columns<EstimateRow> {
    columns
        .long(
            "n",
            |row| Some(row.found.tally?.attempts.into()),
            "the denominator, in attempts",
        )
        .or_null()
        .long(
            "faulty",
            |row| Some(row.found.tally?.faulty.into()),
            "how many of them",
        )
        .or_null()
        .number(
            "dispersion",
            |row| row.found.dispersion,
            "how much more rides differ than single attempts would; 1 or more",
        )
        .or_null()
        .number(
            "effective_n",
            |row| Some(f64::from(row.found.tally?.attempts) / row.found.dispersion?),
            "`n` over `dispersion`: what the range was made from",
        )
        .or_null()
        .long(
            "other_n",
            |row| Some(row.found.other?.attempts.into()),
            "for a difference: the attempts of the side that is taken off",
        )
        .or_null()
        .long(
            "other_faulty",
            |row| Some(row.found.other?.faulty.into()),
            "how many of those",
        )
        .or_null()
        .long(
            "faults",
            |row| row.found.faults,
            "faults marked in the attempts; for `faults_per_minute` in those that have a length",
        )
        .or_null()
        .long(
            "ridden_ns",
            |row| row.found.ridden,
            "reviewed time, in nanoseconds; time that two bouts share counts once",
        )
        .or_null()
        .whole(
            "rides",
            |row| row.found.rides,
            "rides behind it, for cell `all`",
        )
        .or_null()
}

fn borrowed(text: Option<&str>) -> Text<'_> {
    text.map(Cow::Borrowed)
}
