//! One horse: what it is about, what to work on first, its exercises, and the whole of it.

use maud::{Markup, html};
use reinback_analysis::{Cell, Verdict};

use super::content::{Content, HorseContent};
use super::parts::{self, heading, name, titled};
use super::stills::Stills;
use super::{digest, line, whole};
use crate::figure::{Column, Table};
use crate::report::numbers::{Line, Measure, Whose};
use crate::report::shown::Order;
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

    /// The address of a part of it.
    pub(super) fn part_id(self, part: Part) -> String {
        let part = match part {
            Part::First => "first",
            Part::Exercises => "exercises",
            Part::Whole => "whole",
        };
        format!("horse-{}-{part}", self.horse + 1)
    }

    /// The address of a line of it.
    pub(super) fn line_id(self, line: &Line) -> String {
        format!("horse-{}-exercise-{}", self.horse + 1, line.place)
    }
}

/// A part of what is about one horse.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    First,
    Exercises,
    Whole,
}

impl Part {
    /// Which there are of a horse.
    pub(super) fn of(own: &HorseContent) -> &'static [Self] {
        match (own.numbers.lines.is_empty(), own.whole.is_some()) {
            (true, true) => &[Self::Whole],
            (true, false) => &[],
            (false, true) => &[Self::First, Self::Exercises, Self::Whole],
            (false, false) => &[Self::First, Self::Exercises],
        }
    }

    /// Its heading.
    pub(super) fn title(self, say: &Say) -> String {
        match self {
            Self::First => say.plain("order-first"),
            Self::Exercises => say.plain("page-exercises"),
            Self::Whole => say.plain("page-whole"),
        }
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
                (part_heading(Part::First, place, say))
                (digest::digest(own, content, place))
                (first(own, content, place))
                (parts::soft(&say.plain("order-first-tip")))
            }
            section {
                (part_heading(Part::Exercises, place, say))
                (overview(own, content, place))
                (only_before(own, content))
                @for (found, behind) in own.in_order(content) {
                    (line::line(found, behind, own, content, stills, place.below()))
                }
            }
        }
        @if let Some(found) = &own.whole {
            section {
                (part_heading(Part::Whole, place, say))
                (whole::whole(found, content, place.below()))
            }
        } @else {
            (parts::soft(&say.plain("report-whole-apart")))
        }
    }
}

fn part_heading(part: Part, place: Place, say: &Say) -> Markup {
    let title = part.title(say);
    heading(place.rank, Some(&place.part_id(part)), &html! { (title) })
}

/// How many rides, and what is in no rate.
fn about(own: &HorseContent, content: &Content<'_>) -> Markup {
    let (say, numbers) = (content.say, &own.numbers);
    let rides = say.rides(numbers.rides);
    let days = say.days(numbers.question.days);
    let mut said = vec![say.text("summary", &[("rides", rides.into()), ("days", days.into())])];
    if let Some(earlier) = own.asked.earlier() {
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
    let horse = match own.whose {
        Whose::One(horse) => content.horse_name(horse),
        Whose::All => say.plain("the-horses"),
    };
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
                    @if let Some(why) = why_first(line, own, content) {
                        " (" (why) ")"
                    }
                    "."
                }
            }
        }
    }
}

fn why_first(line: &Line, own: &HorseContent, content: &Content<'_>) -> Option<String> {
    let numbers = (&own.numbers, content.wish.shown.measure);
    content.say.why_first(line, numbers, own.earlier())
}

/// Every line in one table.
fn overview(own: &HorseContent, content: &Content<'_>, place: Place) -> Markup {
    let say = content.say;
    let compared = own.earlier().is_some();
    let shown = content.wish.shown;
    let [counted, verdicts] = match shown.measure {
        Measure::Attempts => [
            say.plain("report-column-faulty"),
            say.plain("report-column-verdict"),
        ],
        Measure::Faults => [
            say.measure(Measure::Faults),
            say.plain("report-column-verdict-faults"),
        ],
    };
    let caption = match shown.order {
        Order::WorkOnFirst => say.plain("report-overview"),
        Order::Name => say.plain("report-overview-name"),
    };
    html! {
        table.overview {
            caption { (caption) }
            thead {
                tr {
                    th scope="col" { (say.plain("column-exercise")) }
                    th.number scope="col" { (counted) }
                    @if compared {
                        th.number scope="col" { (say.plain("report-column-before")) }
                        th scope="col" { (verdicts) }
                    }
                    th.number scope="col" { (say.plain("side-left-full")) }
                    th.number scope="col" { (say.plain("side-right-full")) }
                    @if shown.reins { th scope="col" { (say.plain("report-column-reins")) } }
                }
            }
            tbody {
                @for (line, _) in own.in_order(content) {
                    tr {
                        th scope="row" {
                            a href={ "#" (place.line_id(line)) } {
                                (name(&say.exercise(&line.name)))
                            }
                        }
                        td.number { (say.counts(&line.figures.all, shown.measure)) }
                        @if compared { (verdict(line, own, content)) }
                        (side(&line.figures.left, content))
                        (side(&line.figures.right, content))
                        @if shown.reins { td { (weaker(line, say)) } }
                    }
                }
            }
        }
    }
}

/// The attempts on a rein; a dash where there are none.
fn side(cell: &Cell, content: &Content<'_>) -> Markup {
    let counts = content.say.counts(cell, content.wish.shown.measure);
    html! { td.number { @if cell.rate.tally.attempts > 0 { (counts) } @else { "–" } } }
}

/// On which rein more attempts are faulty; a dash where it was not ridden on both.
fn weaker(line: &Line, say: &Say) -> String {
    match line.reins.as_ref().map(|reins| reins.verdict) {
        // The right against the left.
        Some(Verdict::Fewer) => say.plain("report-reins-left"),
        Some(Verdict::More) => say.plain("report-reins-right"),
        Some(Verdict::NoClearDifference) => say.plain("report-verdict-unclear"),
        Some(Verdict::TooFew(_)) => say.plain("report-verdict-few"),
        None => "–".to_owned(),
    }
}

fn verdict(line: &Line, own: &HorseContent, content: &Content<'_>) -> Markup {
    let say = content.say;
    let Some((found, _)) = own.compared(line) else {
        return html! { td.number {} td {} };
    };
    let measure = content.wish.shown.measure;
    let before = match measure {
        Measure::Attempts => say.tally(found.rate.before.tally),
        Measure::Faults => say.faults_in_short(&found.timed.before),
    };
    let (sign, said) = match found.verdict(measure) {
        Verdict::Fewer => ("↓ ", say.plain("report-verdict-fewer")),
        Verdict::More => ("↑ ", say.plain("report-verdict-more")),
        Verdict::NoClearDifference => ("", say.plain("report-verdict-unclear")),
        Verdict::TooFew(_) => ("", say.plain("report-verdict-few")),
    };
    html! {
        td.number { (before) }
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
    let compared = content.wish.asked.against.is_some();
    let gave_way = content.horses.iter().any(|own| own.instead.is_some());
    let mut columns = vec![
        Column::words(say.plain("horse")),
        Column::numbers(say.plain("report-column-rides")),
    ];
    if gave_way {
        columns.push(Column::words(say.plain("period-label")));
    }
    if compared {
        columns.push(Column::words(say.plain("report-column-better")));
        columns.push(Column::words(say.plain("report-column-worse")));
    }
    columns.push(Column::words(say.plain("report-column-sided")));
    columns.push(Column::words(say.plain("order-first")));
    columns.push(Column::words(say.plain("report-column-cautions")));
    let row = |own: &HorseContent| {
        let found = own.row.as_ref()?;
        let rides = u32::try_from(own.numbers.rides).unwrap_or(u32::MAX);
        let mut row = vec![content.name_of(own.whose), say.count(rides)];
        if gave_way {
            row.push(say.days(own.numbers.question.days));
        }
        if compared {
            row.push(named(&found.better, content));
            row.push(named(&found.worse, content));
        }
        let sided = found.one_sided.iter();
        let sided: Vec<String> = sided
            .map(|(name, rein)| say.weaker_on(name, *rein))
            .collect();
        row.push(or_dash(sided.join(", ")));
        row.push(match say.horse_first(found) {
            Ok([exercise, sentence]) => format!("{exercise}: {sentence}"),
            Err(why) => why,
        });
        row.push(or_dash(say.horse_cautions_in_full(found).join("; ")));
        Some(row)
    };
    let rows = content.horses.iter().filter_map(row).collect();
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
    let said = content.name_of(own.whose);
    heading(rank, Some(&place.horse_id()), &name(&said))
}
