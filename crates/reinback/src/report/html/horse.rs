//! One horse: what it is about, what to work on first, its exercises, and the whole of it.

use maud::{Markup, html};
use reinback_analysis::{Cell, Verdict};

use super::content::{Content, HorseContent};
use super::parts::{self, heading, name, titled};
use super::stills::Stills;
use super::{line, whole};
use crate::figure::{Column, Table};
use crate::report::numbers::Line;
use crate::said::Say;

/// How many lines say what to work on first.
const FIRST: usize = 3;

/// A place on the page: how deep its headings are, and what its addresses begin with.
#[derive(Clone, Copy)]
pub(super) struct Place {
    /// The rank of the headings of the horse's sections.
    pub(super) rank: u8,
    /// Which horse of the page, from 0.
    pub(super) horse: usize,
}

impl Place {
    /// One rank deeper.
    pub(super) fn below(self) -> Self {
        Self {
            rank: self.rank + 1,
            ..self
        }
    }

    /// The address of the horse.
    pub(super) fn horse_id(self) -> String {
        format!("horse-{}", self.horse + 1)
    }

    /// The address of a line of it.
    pub(super) fn line_id(self, line: &Line) -> String {
        format!("horse-{}-exercise-{}", self.horse + 1, line.place)
    }
}

/// Everything about one horse.
pub(super) fn horse(
    own: &HorseContent,
    content: &Content<'_>,
    stills: &Stills,
    place: Place,
) -> Markup {
    let say = content.say;
    html! {
        (about(own, content))
        @if own.numbers.lines.is_empty() {
            (nothing(own, content))
        } @else {
            section {
                (titled(place.rank, &say.plain("order-first")))
                (first(own, content, place))
                (parts::soft(&say.plain("order-first-tip")))
            }
            section {
                (titled(place.rank, &say.plain("page-exercises")))
                (overview(own, content, place))
                (only_before(own, content))
                @for (found, moments) in own.numbers.lines.iter().zip(&own.moments) {
                    (line::line(found, moments, own, content, stills, place.below()))
                }
            }
        }
        section {
            (titled(place.rank, &say.plain("page-whole")))
            (whole::whole(&own.whole, content, place.below()))
        }
    }
}

/// How many rides, and what is in no rate.
fn about(own: &HorseContent, content: &Content<'_>) -> Markup {
    let (say, numbers) = (content.say, &own.numbers);
    let rides = say.rides(numbers.rides);
    let days = say.days(numbers.question.days);
    let mut said = vec![say.text("summary", &[("rides", rides.into()), ("days", days.into())])];
    if let Some(earlier) = own.against {
        said.extend(say.few_rides(numbers, earlier));
    }
    said.extend(say.left_out(numbers));
    html! {
        p { (said.join("; ")) "." }
        @if numbers.rides > 0 { (parts::soft(&say.plain("summary-tip"))) }
    }
}

/// Why there is no line.
fn nothing(own: &HorseContent, content: &Content<'_>) -> Markup {
    let (say, numbers) = (content.say, &own.numbers);
    let horse = content.horse_name(own.horse);
    let said = match numbers.newest {
        None => vec![say.text("empty-no-ride", &[("horse", horse.into())])],
        Some(_) if numbers.rides > 0 => vec![
            say.text("empty-nothing-counts", &[("horse", horse.into())]),
            say.plain("empty-nothing-counts-next"),
        ],
        Some((day, _)) => vec![
            say.text("empty-not-in-days", &[("horse", horse.into())]),
            say.text("newest-ride", &[("day", say.day_in_full(day).into())]),
        ],
    };
    parts::sentences(&said)
}

/// The first lines, each with its sentence.
fn first(own: &HorseContent, content: &Content<'_>, place: Place) -> Markup {
    html! {
        ol {
            @for line in own.numbers.lines.iter().take(FIRST) {
                li {
                    a href={ "#" (place.line_id(line)) } {
                        (name(&content.say.exercise(&line.name)))
                    }
                    ": " (line::sentence(line, own, content))
                    @if let Some(why) = content.say.why_first(line, &own.numbers, own.earlier()) {
                        " (" (why) ")"
                    }
                    "."
                }
            }
        }
    }
}

/// Every line in one table.
fn overview(own: &HorseContent, content: &Content<'_>, place: Place) -> Markup {
    let say = content.say;
    let compared = own.earlier().is_some();
    html! {
        table.overview {
            caption { (say.plain("report-overview")) }
            thead {
                tr {
                    th scope="col" { (say.plain("column-exercise")) }
                    th.number scope="col" { (say.plain("report-column-faulty")) }
                    @if compared {
                        th.number scope="col" { (say.plain("report-column-before")) }
                        th scope="col" { (say.plain("report-column-verdict")) }
                    }
                    th.number scope="col" { (say.plain("side-left-full")) }
                    th.number scope="col" { (say.plain("side-right-full")) }
                }
            }
            tbody {
                @for line in &own.numbers.lines {
                    tr {
                        th scope="row" {
                            a href={ "#" (place.line_id(line)) } {
                                (name(&say.exercise(&line.name)))
                            }
                        }
                        td.number { (say.tally(line.figures.all.rate.tally)) }
                        @if compared { (verdict(line, own, content)) }
                        (side(&line.figures.left, say))
                        (side(&line.figures.right, say))
                    }
                }
            }
        }
    }
}

/// The attempts on a rein; a dash where there are none.
fn side(cell: &Cell, say: &Say) -> Markup {
    let tally = cell.rate.tally;
    html! { td.number { @if tally.attempts > 0 { (say.tally(tally)) } @else { "–" } } }
}

fn verdict(line: &Line, own: &HorseContent, content: &Content<'_>) -> Markup {
    let say = content.say;
    let Some((found, _)) = own.compared(line) else {
        return html! { td.number {} td {} };
    };
    let (sign, said) = match found.verdict {
        Verdict::Fewer => ("↓ ", say.plain("report-verdict-fewer")),
        Verdict::More => ("↑ ", say.plain("report-verdict-more")),
        Verdict::NoClearDifference => ("", say.plain("report-verdict-unclear")),
        Verdict::TooFew(_) => ("", say.plain("report-verdict-few")),
    };
    html! {
        td.number { (say.tally(found.before.tally)) }
        td { span aria-hidden="true" { (sign) } (said) }
    }
}

/// What was ridden before and not since.
fn only_before(own: &HorseContent, content: &Content<'_>) -> Markup {
    let gone = own.earlier();
    let gone = gone.and_then(|earlier| content.say.only_before(&own.numbers, earlier));
    html! { @if let Some(gone) = gone { p { (gone) "." } } }
}

/// The horses of the page in one table: what their rows say among all horses in the room.
pub(super) fn horses(content: &Content<'_>, rank: u8) -> Markup {
    let say = content.say;
    let compared = content.asked.against.is_some();
    let mut columns = vec![
        Column::words(say.plain("horse")),
        Column::numbers(say.plain("report-column-rides")),
    ];
    if compared {
        columns.push(Column::words(say.plain("report-column-better")));
        columns.push(Column::words(say.plain("report-column-worse")));
    }
    columns.push(Column::words(say.plain("report-column-sided")));
    columns.push(Column::words(say.plain("order-first")));
    columns.push(Column::words(say.plain("report-column-cautions")));
    let row = |own: &HorseContent| {
        let rides = u32::try_from(own.numbers.rides).unwrap_or(u32::MAX);
        let mut row = vec![content.horse_name(own.horse), say.count(rides)];
        if compared {
            row.push(named(&own.row.better, content));
            row.push(named(&own.row.worse, content));
        }
        let sided = own.row.one_sided.iter();
        let sided: Vec<String> = sided
            .map(|(name, rein)| say.weaker_on(name, *rein))
            .collect();
        row.push(or_dash(sided.join(", ")));
        row.push(match say.horse_first(&own.row, own.earlier()) {
            Ok([exercise, sentence]) => format!("{exercise}: {sentence}"),
            Err(why) => why,
        });
        row.push(or_dash(say.horse_cautions_in_full(&own.row).join("; ")));
        row
    };
    let rows = content.horses.iter().map(row).collect();
    html! {
        section {
            (titled(rank, &say.plain("report-horses")))
            (parts::table_of_heading(&say.plain("report-horses"), &Table { columns, rows }))
        }
    }
}

fn named(exercises: &[String], content: &Content<'_>) -> String {
    let named = exercises.iter().map(|name| content.say.exercise(name));
    or_dash(named.collect::<Vec<_>>().join(", "))
}

/// A dash where there is nothing.
fn or_dash(said: String) -> String {
    if said.is_empty() {
        "–".to_owned()
    } else {
        said
    }
}

/// A horse's own heading, where the page has several.
pub(super) fn own_heading(
    own: &HorseContent,
    content: &Content<'_>,
    rank: u8,
    place: Place,
) -> Markup {
    let said = content.horse_name(own.horse);
    heading(rank, Some(&place.horse_id()), &name(&said))
}
