//! One exercise: its sentence, the two periods, the trend, faults, reins, what follows a mistake.

use maud::{Markup, html};
use reinback_analysis::Cell;

use super::content::{Content, HorseContent};
use super::horse::Place;
use super::parts::{self, heading, name, part, soft, table_of_heading};
use super::stills::Stills;
use super::{moments, whole};
use crate::figure::{Column, Table};
use crate::report::moments::Moments;
use crate::report::numbers::{Line, Times};
use crate::said::Say;

/// What matters most about a line: the two periods where they are compared, else the rate.
pub(super) fn sentence(line: &Line, own: &HorseContent, content: &Content<'_>) -> String {
    match own.compared(line) {
        Some((found, earlier)) => content.say.periods(found, earlier),
        None => content.say.rate(&line.figures.all.rate),
    }
}

/// Everything about one exercise.
pub(super) fn line(
    line: &Line,
    found: &Moments,
    own: &HorseContent,
    content: &Content<'_>,
    stills: &Stills,
    place: Place,
) -> Markup {
    let say = content.say;
    let rank = place.rank + 1;
    let all = &line.figures.all;
    html! {
        section.line {
            (heading(place.rank, Some(&place.line_id(line)), &name(&say.exercise(&line.name))))
            p.lead { (say.rate(&all.rate)) "." }
            (soft(&(say.per_minute(&all.per_minute) + ".")))
            div.parts {
                (periods(line, own, content, rank))
                (rides(line, say, rank))
                (faults(&line.faults, say, rank))
                (reins(line, say, rank))
                (variants(line, say, rank))
                (after(line, say, rank))
                (whole::of_line(&own.whole, &line.exercise, content, rank))
            }
            (moments::moments(found, all.faults, content, stills, rank))
            (how(line, say))
        }
    }
}

/// The two periods, where two are compared.
fn periods(line: &Line, own: &HorseContent, content: &Content<'_>, rank: u8) -> Markup {
    let say = content.say;
    let Some((found, earlier)) = own.compared(line) else {
        return html! {};
    };
    let said = html! {
        p { (say.periods(found, earlier)) "." }
        (parts::sentences(&say.periods_apart(found)))
    };
    part(rank, &say.plain("heading-periods"), &said)
}

fn rides(line: &Line, say: &Say, rank: u8) -> Markup {
    let trend = &line.figures.trend;
    let said = html! { p { (say.trend_in_full(trend, line.rides.len())) } };
    part(rank, &say.plain("heading-rides"), &said)
}

fn faults(faults: &[Times], say: &Say, rank: u8) -> Markup {
    let title = say.plain("heading-faults");
    let table = Table {
        columns: vec![
            Column::words(say.plain("report-column-fault")),
            Column::numbers(say.plain("report-column-times")),
        ],
        rows: faults
            .iter()
            .map(|fault| vec![say.fault(&fault.name).into_owned(), say.count(fault.times)])
            .collect(),
    };
    let shown = html! {
        @if faults.is_empty() {
            p { (say.plain("no-faults")) }
        } @else {
            (table_of_heading(&title, &table))
        }
    };
    part(rank, &title, &shown)
}

/// A table of cells, each with its rate in words.
fn cells(title: &str, cells: &[(String, &Cell)], say: &Say) -> Markup {
    let table = Table {
        columns: vec![
            Column::words(title),
            Column::numbers(say.plain("report-column-faulty")),
            Column::words(say.plain("report-column-rate")),
        ],
        rows: cells
            .iter()
            .map(|(name, cell)| {
                let rate = &cell.rate;
                vec![name.clone(), say.tally(rate.tally), say.rate(rate)]
            })
            .collect(),
    };
    table_of_heading(title, &table)
}

fn reins(line: &Line, say: &Say, rank: u8) -> Markup {
    let figures = &line.figures;
    let sides = [
        (say.plain("side-left-full"), &figures.left),
        (say.plain("side-right-full"), &figures.right),
        (say.plain("side-none"), &figures.unsided),
    ];
    let ridden = |cell: &Cell| cell.rate.tally.attempts > 0;
    let sided = ridden(&figures.left) || ridden(&figures.right);
    let shown: Vec<_> = sides
        .into_iter()
        .enumerate()
        .filter(|(at, (_, cell))| *at < 2 || ridden(cell))
        .map(|(_, side)| side)
        .collect();
    let said = html! {
        p { (say.reins(line)) }
        @if sided { (cells(&say.plain("report-column-rein"), &shown, say)) }
    };
    part(rank, &say.plain("heading-reins"), &said)
}

fn variants(line: &Line, say: &Say, rank: u8) -> Markup {
    if line.variants.len() < 2 {
        return html! {};
    }
    let title = say.plain("heading-variants");
    let shown: Vec<_> = line
        .variants
        .iter()
        .map(|variant| {
            let name = match &variant.name {
                Some(name) => say.variant(name).into_owned(),
                None => say.plain("variant-not-noted"),
            };
            (name, &variant.cell)
        })
        .collect();
    part(rank, &title, &cells(&title, &shown, say))
}

fn after(line: &Line, say: &Say, rank: u8) -> Markup {
    let Some(after) = &line.after else {
        return html! {};
    };
    let said = parts::sentences(&say.after_mistake(after));
    part(rank, &say.plain("heading-after"), &said)
}

fn how(line: &Line, say: &Say) -> Markup {
    let all = &line.figures.all;
    let mut how = say.how(&all.rate, &all.per_minute);
    if let Some(compared) = &line.compared {
        how.extend(say.how_compared(&compared.rate));
        how.extend(say.how_ratio(&compared.per_minute));
    }
    how.extend(say.how_trend(&line.figures.trend));
    how.extend(line.reins.iter().flat_map(|reins| say.how_reins(reins)));
    how.push(say.how_usual(&line.priority.shrunken));
    html! {
        details.how {
            summary { (say.plain("how-heading")) }
            (parts::list(&how))
        }
    }
}
