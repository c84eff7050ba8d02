//! Minutes by pace, week by week.

use std::collections::BTreeSet;

use chrono::Days;
use reinback_analysis::Pace;

use super::{Layers, Leading, axes, number};
use crate::figure::{Column, Figure, Filled, Ink, Layer, Shape, Table};
use crate::report::whole::{WeekOver, Whole};
use crate::said::Say;

const MINUTE: f64 = 60e9;

pub(super) fn drawn(whole: &Whole, say: &Say) -> Option<Leading> {
    let weeks = &whole.weeks;
    let most = weeks
        .iter()
        .map(|week| week.nanos)
        .max()
        .filter(|most| *most > 0)?;
    let (first, last) = (weeks.first()?.monday, weeks.last()?.monday);
    let paces = paces(weeks);
    let mut layers = Layers::default();
    let mut bottoms = vec![0.0; weeks.len()];
    for pace in &paces {
        let name = name(*pace, say);
        let mut boxes = Vec::new();
        for (week, bottom) in weeks.iter().zip(&mut bottoms) {
            let nanos = week.of(*pace);
            if nanos <= 0 {
                continue;
            }
            let minutes = nanos as f64 / MINUTE;
            let x = number(week.monday);
            boxes.push(Filled {
                x: [x + 0.7, x + 6.3],
                y: [*bottom, *bottom + minutes],
                strength: if pace.is_some() { 1.0 } else { 0.6 },
                said: said(week, &name, nanos, say),
            });
            *bottom += minutes;
        }
        let leads = vec![None; boxes.len()];
        let layer = Layer {
            name,
            ink: pace.map_or(Ink::Soft, |pace| Ink::Pace(pace as usize)),
            shape: Shape::Boxes(boxes),
        };
        layers.add(layer, leads);
    }
    let mut high = most as f64 / MINUTE;
    if let Ok(usual) = whole.load.usual_week {
        let usual = usual as f64 / MINUTE;
        high = high.max(usual);
        let layer = Layer {
            name: say.plain("load-usual-line"),
            ink: Ink::Leather,
            shape: Shape::Line {
                points: vec![[number(first), usual], [number(last) + 7.0, usual]],
                width: 1.5,
                dashed: true,
            },
        };
        layers.add(layer, Vec::new());
    }
    let ends = last.checked_add_days(Days::new(6)).unwrap_or(last);
    Some(Leading {
        figure: Figure {
            title: say.plain("load-figure"),
            spoken: say.text(
                "load-figure-spoken",
                &[("weeks", (weeks.len() as u32).into())],
            ),
            x: axes::days(first, ends, say),
            y: axes::amounts(say.plain("load-axis"), 0.0, high, say),
            to_scale: false,
            layers: layers.layers,
            table: table(weeks, &paces, say),
        },
        leads: layers.leads,
        rows: vec![None; weeks.len()],
    })
}

/// The paces there are, in their order; what is not noted lies on top.
fn paces(weeks: &[WeekOver]) -> Vec<Option<Pace>> {
    let there = weeks.iter().flat_map(|week| week.paces.keys().copied());
    let there: BTreeSet<Pace> = there.collect();
    let mut paces: Vec<Option<Pace>> = there.into_iter().map(Some).collect();
    if weeks.iter().any(|week| week.of(None) > 0) {
        paces.push(None);
    }
    paces
}

fn name(pace: Option<Pace>, say: &Say) -> String {
    pace.map_or_else(|| say.plain("load-no-pace"), |pace| say.pace(pace))
}

fn said(week: &WeekOver, name: &str, nanos: i64, say: &Say) -> String {
    say.text(
        "load-box",
        &[
            ("day", say.day(week.monday).into()),
            ("pace", name.into()),
            ("length", say.length(nanos).into()),
            ("all", say.length(week.nanos).into()),
            ("rides", say.in_rides(week.rides as usize).into()),
        ],
    )
}

/// The newest week at the top.
fn table(weeks: &[WeekOver], paces: &[Option<Pace>], say: &Say) -> Table {
    let mut columns = vec![
        Column::words(say.plain("load-column-week")),
        Column::numbers(say.plain("load-column-rides")),
        Column::numbers(say.plain("load-column-all")),
    ];
    columns.extend(paces.iter().map(|pace| Column::numbers(name(*pace, say))));
    let row = |week: &WeekOver| {
        let mut row = vec![
            say.day(week.monday),
            say.count(week.rides),
            say.length(week.nanos),
        ];
        row.extend(paces.iter().map(|pace| say.length(week.of(*pace))));
        row
    };
    Table {
        columns,
        rows: weeks.iter().rev().map(row).collect(),
    }
}

impl WeekOver {
    /// Time in a pace, or in none that is noted; in nanoseconds.
    fn of(&self, pace: Option<Pace>) -> i64 {
        match pace {
            Some(pace) => self.paces.get(&pace).copied().unwrap_or_default(),
            None => self.pace_unknown,
        }
    }
}
