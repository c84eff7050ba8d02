//! Counts and rates side by side, as bars that lie down, so that long names have room.

use reinback_analysis::load::Ridden;
use reinback_analysis::{Estimate, FaultRate};

use super::axes;
use crate::figure::{
    Anchor, Axis, AxisMark, Column, Figure, Filled, Ink, Layer, Scale, Shape, Span, Table, Word,
};
use crate::report::numbers::{Line, Times};
use crate::report::whole::Steps;
use crate::said::Say;

/// Height of a bar with the room around it, in points.
const BAR: f32 = 24.0;
/// Half the height of a bar; one is the distance between two.
const HALF: f64 = 0.3;

/// Height of a figure of so many bars, in points.
#[must_use]
pub fn height(figure: &Figure) -> f32 {
    let below = if figure.x.scale.is_bare() { 0.0 } else { 17.0 };
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
        scale: Scale::Names(marks),
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

/// One bar of a figure of counts or lengths.
struct Counted {
    name: String,
    /// How long the bar is.
    long: f64,
    /// What stands behind it.
    behind: String,
    said: String,
    ink: Ink,
    /// Its row of the table.
    row: Vec<String>,
}

/// Counts or lengths from nought; what stands behind a bar takes up to this share of the longest.
fn counts(title: String, own: &[Counted], behind: f64, columns: Vec<Column>) -> Figure {
    let many = own.len();
    let longest = own.iter().map(|bar| bar.long).fold(0.0, f64::max);
    let longest = if longest > 0.0 { longest } else { 1.0 };
    let placed: Vec<(f64, &Counted)> = own
        .iter()
        .enumerate()
        .map(|(at, bar)| (level(at, many), bar))
        .collect();
    let layer = |ink, shape| Layer {
        name: String::new(),
        ink,
        shape,
    };
    let of_one_ink = placed.chunk_by(|(_, one), (_, next)| one.ink == next.ink);
    let mut layers: Vec<Layer> = of_one_ink
        .map(|bars| {
            let boxes = bars.iter();
            let boxes = boxes.map(|(y, own)| bar(own.long, *y, own.said.clone()));
            let ink = bars.first().map_or(Ink::Ink, |(_, own)| own.ink);
            layer(ink, Shape::Boxes(boxes.collect()))
        })
        .collect();
    let words = placed.iter().map(|(y, own)| Word {
        at: [own.long, *y],
        anchor: Anchor::Start,
        text: own.behind.clone(),
    });
    layers.push(layer(Ink::Ink, Shape::Words(words.collect())));
    let said: Vec<String> = own.iter().map(|bar| bar.said.clone()).collect();
    Figure {
        spoken: spoken(&title, &said),
        title,
        x: Axis {
            to: (1.0 + behind) * longest,
            ..Axis::default()
        },
        y: names(own.iter().map(|bar| bar.name.as_str())),
        to_scale: false,
        layers,
        table: Table {
            columns,
            rows: own.iter().map(|bar| bar.row.clone()).collect(),
        },
    }
}

/// Room behind a bar for a count, and for a length with its share.
const COUNT: f64 = 0.1;
const LENGTH: f64 = 0.6;

/// How often each kind of fault was marked, most frequent first; `None` without any.
#[must_use]
pub fn faults(line: &Line, say: &Say) -> Option<Figure> {
    let own = line.faults.iter().map(|fault: &Times| {
        let name = say.fault(&fault.name).into_owned();
        let said = say.text(
            "fault-times",
            &[
                ("fault", name.as_str().into()),
                ("times", fault.times.into()),
            ],
        );
        let times = say.count(fault.times);
        Counted {
            row: vec![name.clone(), times.clone()],
            name,
            long: f64::from(fault.times),
            behind: times,
            said,
            ink: Ink::Fault,
        }
    });
    let own: Vec<Counted> = own.collect();
    if own.is_empty() {
        return None;
    }
    let exercise = say.exercise(&line.name).into_owned();
    let title = say.text("faults-title", &[("exercise", exercise.into())]);
    let columns = vec![
        Column::words(say.plain("table-fault")),
        Column::numbers(say.plain("table-times")),
    ];
    Some(counts(title, &own, COUNT, columns))
}

/// How many transitions of each kind, most frequent first, at most so many; `None` without any.
#[must_use]
pub fn transitions(steps: &Steps, most: usize, say: &Say) -> Option<Figure> {
    let own = steps.by_kind.iter().take(most).map(|(kind, times)| {
        let (name, times) = (say.steps_kind(kind), (say.count(*times), f64::from(*times)));
        Counted {
            said: format!("{name}: {}", times.0),
            row: vec![name.clone(), times.0.clone()],
            name,
            long: times.1,
            behind: times.0,
            ink: Ink::Leather,
        }
    });
    let own: Vec<Counted> = own.collect();
    if own.is_empty() {
        return None;
    }
    let columns = vec![
        Column::words(say.plain("report-column-transition")),
        Column::numbers(say.plain("table-times")),
    ];
    Some(counts(say.plain("steps-kinds"), &own, COUNT, columns))
}

/// Time ridden in each pace, and without one that is noted; `None` where nothing was ridden.
#[must_use]
pub fn paces(ridden: &Ridden, say: &Say) -> Option<Figure> {
    if ridden.all <= 0 {
        return None;
    }
    let paces = ridden.paces.iter();
    let paces = paces.map(|(pace, nanos)| (say.pace(*pace), Ink::Pace(*pace as usize), *nanos));
    let unknown = Some(ridden.pace_unknown).filter(|nanos| *nanos > 0);
    let unknown = unknown.map(|nanos| (say.plain("load-no-pace"), Ink::Soft, nanos));
    let own = paces.chain(unknown).map(|(name, ink, nanos)| {
        let length = say.length(nanos);
        let share = say.percent(nanos as f64 / ridden.all as f64);
        let behind = format!("{length}, {share}");
        Counted {
            said: format!("{name}: {behind}"),
            row: vec![name.clone(), length, share],
            name,
            long: nanos as f64,
            behind,
            ink,
        }
    });
    let columns = vec![
        Column::words(say.plain("report-column-pace")),
        Column::numbers(say.plain("report-column-length")),
        Column::numbers(say.plain("report-column-share")),
    ];
    Some(counts(
        say.plain("load-paces"),
        &own.collect::<Vec<_>>(),
        LENGTH,
        columns,
    ))
}

/// Where the counts end, beyond all.
const END: f64 = 1.24;

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
        counts.push(Word {
            at: [END, y],
            anchor: Anchor::End,
            text: tally,
        });
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
    // The counts belong to no layer that can be switched off.
    let unnamed = layer(String::new(), Ink::Ink, Shape::Words(counts));
    layers.insert(0, unnamed);
    Figure {
        spoken: spoken(&title, &all_said),
        title,
        x: axes::shares(String::new(), -0.01, END, say),
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
