//! Headings, tables and figures, as every part of the page has them.

use egui::Theme;
use maud::{Markup, PreEscaped, html};

use super::style;
use crate::figure::{Align, Column, Figure, Sheet, Table, svg};
use crate::said::Say;
use crate::theme::Tokens;

/// A heading of this rank, 1 to 6; what is below the sixth is of the sixth.
pub(super) fn heading(rank: u8, id: Option<&str>, inside: &Markup) -> Markup {
    html! {
        @match rank {
            0 | 1 => h1 id=[id] { (inside) },
            2 => h2 id=[id] { (inside) },
            3 => h3 id=[id] { (inside) },
            4 => h4 id=[id] { (inside) },
            5 => h5 id=[id] { (inside) },
            _ => h6 id=[id] { (inside) },
        }
    }
}

/// A heading of words.
pub(super) fn titled(rank: u8, text: &str) -> Markup {
    heading(rank, None, &html! { (text) })
}

/// A part of an exercise: its heading and what is under it.
pub(super) fn part(rank: u8, title: &str, inside: &Markup) -> Markup {
    html! { section.part { (titled(rank, title)) (inside) } }
}

/// A name somebody gave; it may run from right to left in a page that does not.
pub(super) fn name(name: &str) -> Markup {
    html! { bdi { (name) } }
}

/// A paragraph of second rank.
pub(super) fn soft(text: &str) -> Markup {
    html! { p.soft { (text) } }
}

/// One paragraph a sentence.
pub(super) fn sentences<T: AsRef<str>>(sentences: &[T]) -> Markup {
    html! { @for sentence in sentences { p { (sentence.as_ref()) } } }
}

/// One item a sentence.
pub(super) fn list<T: AsRef<str>>(sentences: &[T]) -> Markup {
    html! { ul { @for sentence in sentences { li { (sentence.as_ref()) } } } }
}

/// A caution: its sign and its place say so, not its colour alone.
pub(super) fn caution(text: &str) -> Markup {
    html! { p.caution { span aria-hidden="true" { "⚠ " } (text) } }
}

/// Numbers in rows and columns; the first field of a row says which row it is. It stands right under
/// a heading that says what the caption would: that is only heard, not seen twice.
pub(super) fn table_of_heading(caption: &str, table: &Table) -> Markup {
    captioned(&html! { caption.unseen { (caption) } }, table)
}

fn captioned(caption: &Markup, table: &Table) -> Markup {
    let head = |column: &Column| html! { th scope="col" class=[class(column)] { (column.name) } };
    let row = |fields: &[String]| {
        let fields = fields.iter().zip(&table.columns).enumerate();
        html! {
            tr {
                @for (at, (field, column)) in fields {
                    @if at == 0 {
                        th scope="row" class=[class(column)] { (name(field)) }
                    } @else {
                        td class=[class(column)] { (name(field)) }
                    }
                }
            }
        }
    };
    html! {
        table {
            (caption)
            thead { tr { @for column in &table.columns { (head(column)) } } }
            tbody { @for fields in &table.rows { (row(fields)) } }
        }
    }
}

/// Width of a figure in points; on the page it is as wide as there is room for. Its letters are of
/// 12 points here, and above 7 where it takes half of a sheet of paper.
const WIDTH: f32 = 400.0;
/// Height of a figure of values over days.
const HIGH: f32 = 184.0;
/// Rows of a table that is about as high as its figure, and letters that fit beside one on paper.
const SHORT: usize = 14;
const NARROW: usize = 44;

/// A figure, and its numbers as a table that can be unfolded.
pub(super) fn figure(figure: &Figure, high: f32, say: &Say) -> Markup {
    drawn(figure, high, false, say)
}

/// The same of values over days, whose table is wide and long.
pub(super) fn figure_over_days(figure: &Figure, say: &Say) -> Markup {
    drawn(figure, HIGH, true, say)
}

fn drawn(figure: &Figure, high: f32, days_along: bool, say: &Say) -> Markup {
    let short = is_short(&figure.table);
    let sheet = Sheet {
        size: [WIDTH, high],
        tokens: Tokens::of(Theme::Light),
        heading: false,
    };
    html! {
        figure.days-along[days_along].short[short] {
            (PreEscaped(style::in_both_looks(&svg(figure, &sheet))))
            figcaption { (figure.title) }
            @if !figure.table.rows.is_empty() {
                details.screen {
                    summary { (say.plain("report-numbers")) }
                    (table_of_heading(&figure.title, &figure.table))
                }
                // What is folded away cannot be unfolded on paper by every browser.
                div.paper { (table_of_heading(&figure.title, &figure.table)) }
            }
        }
    }
}

/// Whether a table fits beside its figure on paper: no word of its heads is broken there.
fn is_short(table: &Table) -> bool {
    let longest = |column: &Column| {
        let words = column.name.split_whitespace();
        words.map(|word| word.chars().count()).max().unwrap_or(0)
    };
    let letters: usize = table.columns.iter().map(longest).sum();
    table.rows.len() <= SHORT && letters <= NARROW
}

fn class(column: &Column) -> Option<&'static str> {
    (column.align == Align::Right).then_some("number")
}
