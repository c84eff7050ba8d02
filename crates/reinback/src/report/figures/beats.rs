//! A series of changes as a row of beats against where the changes asked would have come.

use reinback_analysis::Moment;
use reinback_analysis::series::Series;
use reinback_analysis::series_count::{Interval, Verdict};

use crate::figure::scale::Speaker;
use crate::figure::{
    Anchor, Axis, Column, Dot, Figure, Ink, Layer, Range, Scale, Shape, Sign, Table, Word,
};
use crate::report::whole::SeriesShown;
use crate::said::Say;

/// How many of the changes asked are drawn at most.
const MOST_ASKED: u32 = 200;

/// The figure of a series; `None` with fewer than two changes, or where nothing was found.
#[must_use]
pub fn beats(one: &SeriesShown, title: String, say: &Say) -> Option<Figure> {
    let found = one.found.as_ref().ok().filter(|found| found.shown > 1)?;
    let (first, last) = (*found.moments.first()?, *found.moments.last()?);
    let count = found.count.as_ref().ok();
    let step = count.map(|count| count.stride.nanos as f64 * f64::from(found.asked.every) / 1e9);
    let asked = one.ridden.asked_count.map_or(found.shown, u32::from);
    let asked = asked.min(MOST_ASKED);
    let since = |at: Moment| at.0.saturating_sub(first.0) as f64 / 1e9;
    let asked_end = step.map_or(0.0, |step| step * f64::from(asked.saturating_sub(1)));
    let long = since(last).max(asked_end).max(0.1);
    let layer = |name, ink, shape| Layer { name, ink, shape };
    let mut layers = Vec::new();
    if let Some(step) = step {
        let ticks = (0..asked).map(|n| Range {
            x: step * f64::from(n),
            low: -0.8,
            high: -0.35,
        });
        let ticks = Shape::Ranges(ticks.collect());
        layers.push(layer(say.plain("layer-asked"), Ink::Good, ticks));
    }
    let intervals = count.map_or(&[][..], |count| &count.intervals);
    for (ink, of) in [
        (Ink::Soft, right as fn(&Interval) -> bool),
        (Ink::Fault, wrong),
        (Ink::Caution, unsure),
    ] {
        let words = intervals.iter().filter(|interval| of(interval));
        let words = words.map(|own| {
            let middle = 0.5 * (since(own.from) + since(own.to));
            Word {
                at: [middle, 0.55],
                anchor: Anchor::Middle,
                text: say.interval(own.strides, own.verdict),
            }
        });
        let words: Vec<Word> = words.collect();
        if !words.is_empty() {
            layers.push(layer(String::new(), ink, Shape::Words(words)));
        }
    }
    let dots = |twice: bool| {
        let moments = found.moments.iter().enumerate();
        let own = moments.filter(move |(_, at)| found.same_lead_twice.contains(at) == twice);
        let own = own.map(|(place, at)| Dot {
            at: [since(*at), 0.0],
            radius: 4.5,
            sign: if twice { Sign::Square } else { Sign::Circle },
            filled: true,
            said: change(found, place, say),
        });
        own.collect::<Vec<Dot>>()
    };
    layers.push(layer(
        say.plain("layer-changes"),
        Ink::Leather,
        Shape::Dots(dots(false)),
    ));
    let twice = dots(true);
    if !twice.is_empty() {
        let name = say.plain("layer-same-lead");
        layers.push(layer(name, Ink::Caution, Shape::Dots(twice)));
    }
    let table = Table {
        columns: vec![
            Column::numbers(say.plain("table-change")),
            Column::numbers(say.plain("table-seconds")),
            Column::words(say.plain("table-strides")),
        ],
        rows: found
            .moments
            .iter()
            .enumerate()
            .map(|(place, at)| {
                vec![
                    say.count(u32::try_from(place + 1).unwrap_or(u32::MAX)),
                    say.decimal(since(*at), 2),
                    before(found, place, say),
                ]
            })
            .collect(),
    };
    let said = (0..found.moments.len()).map(|place| change(found, place, say));
    let spoken = format!("{title}. {}", said.collect::<Vec<_>>().join("; "));
    Some(Figure {
        title,
        spoken,
        x: Axis {
            title: say.plain("axis-seconds"),
            from: -0.03 * long,
            to: 1.03 * long,
            scale: Scale::Amounts(Speaker::new(say.clone())),
            grid: false,
        },
        y: Axis {
            from: -1.0,
            to: 1.0,
            ..Axis::default()
        },
        to_scale: false,
        layers,
        table,
    })
}

fn right(interval: &Interval) -> bool {
    !wrong(interval) && !unsure(interval)
}

fn wrong(interval: &Interval) -> bool {
    interval.verdict.is_wrong() == Some(true)
}

fn unsure(interval: &Interval) -> bool {
    matches!(interval.verdict, Verdict::Unsure { .. })
}

/// The strides before a change; empty for the first, or where they are not known.
fn before(found: &Series, place: usize, say: &Say) -> String {
    let Some(before) = place.checked_sub(1) else {
        return String::new();
    };
    let count = found.count.as_ref().ok();
    let own = count.and_then(|count| count.intervals.get(before));
    own.map_or_else(String::new, |own| say.interval(own.strides, own.verdict))
}

/// What a change says.
fn change(found: &Series, place: usize, say: &Say) -> String {
    let number = u32::try_from(place + 1).unwrap_or(u32::MAX);
    let before = before(found, place, say);
    if before.is_empty() {
        say.text("change-said", &[("change", number.into())])
    } else {
        say.text(
            "change-after",
            &[("change", number.into()), ("strides", before.into())],
        )
    }
}
