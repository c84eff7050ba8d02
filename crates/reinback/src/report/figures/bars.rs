//! Counts and rates side by side, as bars that lie down, so that long names have room.

use reinback_analysis::{Estimate, FaultRate};

use crate::figure::{Axis, AxisMark, Column, Figure, Filled, Ink, Layer, Shape, Span, Table};
use crate::report::numbers::{Line, Times};
use crate::said::Say;

/// Height of a bar with the room around it, in points.
const BAR: f32 = 24.0;
/// Half the height of a bar; one is the distance between two.
const HALF: f64 = 0.3;

/// Height of a figure of so many bars, in points.
#[must_use]
pub fn height(figure: &Figure) -> f32 {
    let below = if figure.x.marks.is_empty() { 0.0 } else { 17.0 };
    let above = if figure.y.title.is_empty() { 0.0 } else { 17.0 };
    (BAR * figure.table.rows.len() as f32 + 18.0 + below + above).max(60.0)
}

/// "8 % to 67 %"; empty where there are too few attempts for a range.
pub(super) fn range(rate: &FaultRate, say: &Say) -> String {
    let range = rate.range.as_ref().ok();
    range.map_or_else(String::new, |range| from_to(range, say))
}

pub(super) fn from_to(range: &Estimate, say: &Say) -> String {
    say.text(
        "table-from-to",
        &[
            ("low", say.percent(range.low).into()),
            ("high", say.percent(range.high).into()),
        ],
    )
}

/// A title and what each bar says.
fn spoken(title: &str, said: &[String]) -> String {
    format!("{title}. {}", said.join("; "))
}

/// Names from top to bottom.
fn names<'a>(names: impl ExactSizeIterator<Item = &'a str>) -> Axis {
    let many = names.len();
    // Marks rise, and the first name stands on top.
    let mut marks: Vec<AxisMark> = names
        .enumerate()
        .map(|(at, name)| AxisMark {
            at: level(at, many),
            text: name.to_owned(),
        })
        .collect();
    marks.reverse();
    Axis {
        title: String::new(),
        from: -0.5,
        to: many.max(1) as f64 - 0.5,
        marks,
        grid: false,
    }
}

/// The height of a bar by its place from the top.
fn level(at: usize, many: usize) -> f64 {
    (many - 1 - at) as f64
}

fn bar(to: f64, y: f64, said: String) -> Filled {
    Filled {
        x: [0.0, to],
        y: [y - HALF, y + HALF],
        strength: 1.0,
        said,
    }
}

/// How often each kind of fault was marked, most frequent first; `None` without any.
#[must_use]
pub fn faults(line: &Line, say: &Say) -> Option<Figure> {
    let most = line.faults.iter().map(|fault| fault.times).max()?;
    let many = line.faults.len();
    let name = |fault: &Times| say.fault(&fault.name).into_owned();
    let spelled: Vec<String> = line.faults.iter().map(name).collect();
    let long = f64::from(most.max(1));
    let said = line.faults.iter().zip(&spelled).map(|(fault, name)| {
        say.text(
            "fault-times",
            &[
                ("fault", name.as_str().into()),
                ("times", fault.times.into()),
            ],
        )
    });
    let said: Vec<String> = said.collect();
    let boxes = line.faults.iter().zip(&said).enumerate();
    let boxes =
        boxes.map(|(at, (fault, said))| bar(f64::from(fault.times), level(at, many), said.clone()));
    let counts = line.faults.iter().enumerate().map(|(at, fault)| {
        let text = say.count(fault.times);
        (f64::from(fault.times) + 0.05 * long, level(at, many), text)
    });
    let layer = |ink, shape| Layer {
        name: String::new(),
        ink,
        shape,
    };
    let layers = vec![
        layer(Ink::Fault, Shape::Boxes(boxes.collect())),
        layer(Ink::Ink, Shape::Words(counts.collect())),
    ];
    let rows = line.faults.iter().zip(&spelled);
    let rows = rows.map(|(fault, name)| vec![name.clone(), say.count(fault.times)]);
    let exercise = say.exercise(&line.name).into_owned();
    let title = say.text("faults-title", &[("exercise", exercise.into())]);
    Some(Figure {
        spoken: spoken(&title, &said),
        title,
        x: Axis {
            to: 1.1 * long,
            ..Axis::default()
        },
        y: names(spelled.iter().map(String::as_str)),
        to_scale: false,
        layers,
        table: Table {
            columns: vec![
                Column::words(say.plain("table-fault")),
                Column::numbers(say.plain("table-times")),
            ],
            rows: rows.collect(),
        },
    })
}

/// Rates with their ranges, one a name. Where there are too few attempts for a rate the counts stand
/// alone.
fn rates(title: String, own: &[(String, FaultRate)], say: &Say) -> Figure {
    let many = own.len();
    let mut boxes = Vec::new();
    let mut spans = Vec::new();
    let mut counts = Vec::new();
    let mut all_said = Vec::new();
    for (at, (name, rate)) in own.iter().enumerate() {
        let y = level(at, many);
        let said = say.text(
            "variant-rate",
            &[
                ("variant", name.as_str().into()),
                ("rate", say.rate(rate).into()),
            ],
        );
        let tally = say.tally(rate.tally);
        all_said.push(said.clone());
        if let Ok(range) = &rate.range {
            boxes.push(bar(range.value, y, said));
            spans.push(Span {
                y,
                low: range.low,
                high: range.high,
            });
        }
        counts.push((1.12, y, tally));
    }
    let layer = |name, ink, shape| Layer { name, ink, shape };
    let mut layers = Vec::new();
    if !boxes.is_empty() {
        layers.push(layer(
            say.plain("layer-faulty"),
            Ink::Fault,
            Shape::Boxes(boxes),
        ));
        layers.push(layer(
            say.plain("layer-ranges"),
            Ink::Ink,
            Shape::Spans(spans),
        ));
    }
    let rows = own.iter().map(|(name, rate)| {
        let share = rate.tally.share().filter(|_| rate.range.is_ok());
        vec![
            name.clone(),
            say.count(rate.tally.attempts),
            say.count(rate.tally.faulty),
            share.map_or_else(String::new, |share| say.percent(share)),
            range(rate, say),
        ]
    });
    let rows = rows.collect();
    let spelled = own.iter().map(|(name, _)| name.as_str());
    let y = names(spelled.collect::<Vec<_>>().into_iter());
    let marks = [0.0, 0.25, 0.5, 0.75, 1.0].map(|at| AxisMark {
        at,
        text: say.share(at),
    });
    // The counts belong to no layer that can be switched off.
    let unnamed = layer(String::new(), Ink::Ink, Shape::Words(counts));
    layers.insert(0, unnamed);
    Figure {
        spoken: spoken(&title, &all_said),
        title,
        x: Axis {
            title: String::new(),
            from: -0.01,
            to: 1.24,
            marks: marks.to_vec(),
            grid: true,
        },
        y,
        to_scale: false,
        layers,
        table: Table {
            columns: vec![
                Column::words(say.plain("table-which")),
                Column::numbers(say.plain("table-attempts")),
                Column::numbers(say.plain("table-faulty")),
                Column::numbers(say.plain("table-share")),
                Column::numbers(say.plain("table-range")),
            ],
            rows,
        },
    }
}

/// The reins; `None` where none was noted.
#[must_use]
pub fn reins(line: &Line, say: &Say) -> Option<Figure> {
    let figures = &line.figures;
    let noted = figures.left.rate.tally.attempts + figures.right.rate.tally.attempts;
    if noted == 0 {
        return None;
    }
    let mut own = vec![
        (say.plain("side-left-full"), figures.left.rate),
        (say.plain("side-right-full"), figures.right.rate),
    ];
    if figures.unsided.rate.tally.attempts > 0 {
        own.push((say.plain("side-none"), figures.unsided.rate));
    }
    let exercise = say.exercise(&line.name).into_owned();
    let title = say.text("reins-title", &[("exercise", exercise.into())]);
    Some(rates(title, &own, say))
}

/// The variants; `None` with fewer than two.
#[must_use]
pub fn variants(line: &Line, say: &Say) -> Option<Figure> {
    if line.variants.len() < 2 {
        return None;
    }
    let own = line.variants.iter().map(|variant| {
        let name = match &variant.name {
            Some(name) => say.variant(name).into_owned(),
            None => say.plain("variant-not-noted"),
        };
        (name, variant.cell.rate)
    });
    let exercise = say.exercise(&line.name).into_owned();
    let title = say.text("variants-title", &[("exercise", exercise.into())]);
    Some(rates(title, &own.collect::<Vec<_>>(), say))
}

/// The next attempt after a mistake and after a clean one; `None` where nothing came next.
#[must_use]
pub fn after(line: &Line, say: &Say) -> Option<Figure> {
    let after = line.after.as_ref()?;
    let own = [
        (say.plain("after-bar-mistake"), after.after_faulty),
        (say.plain("after-bar-clean"), after.after_clean),
        (say.plain("after-bar-repeat"), after.repeat),
    ];
    let ridden = own.into_iter().filter(|(_, rate)| rate.tally.attempts > 0);
    let ridden: Vec<(String, FaultRate)> = ridden.collect();
    if ridden.is_empty() {
        return None;
    }
    let exercise = say.exercise(&line.name).into_owned();
    let title = say.text("after-title", &[("exercise", exercise.into())]);
    Some(rates(title, &ridden, say))
}
