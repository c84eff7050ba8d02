//! The film moments behind a line: a table of the newest, and the stills chosen of them.

use maud::{Markup, html};
use reinback_yard::Rein;

use super::content::Content;
use super::parts::{self, name, soft, titled};
use super::stills::{NoStill, Stills};
use crate::clock;
use crate::figure::{Column, Table};
use crate::rooms::progress::FaultMoment;
use crate::said::Say;

/// How many moments are listed; in Progress are all of them.
const LISTED: usize = 12;

/// The moments of a line; `marked` is how many there are in all.
pub(super) fn moments(
    found: &[FaultMoment],
    marked: u32,
    content: &Content<'_>,
    stills: &Stills,
    rank: u8,
) -> Markup {
    let say = content.say;
    let title = say.plain("heading-moments");
    let listed = &found[..found.len().min(LISTED)];
    let shown = u32::try_from(listed.len()).unwrap_or(u32::MAX);
    html! {
        (titled(rank, &title))
        @if found.is_empty() {
            p { (say.plain("no-moments")) }
        } @else {
            (pictures(found, content, stills))
            (parts::table_of_heading(&title, &table(listed, content)))
            @if marked > shown {
                (soft(&say.text(
                    "report-moments-newest",
                    &[("moments", shown.into()), ("all", marked.into())],
                )))
            }
        }
    }
}

fn table(listed: &[FaultMoment], content: &Content<'_>) -> Table {
    let say = content.say;
    let noted = content.names() && listed.iter().any(|moment| !moment.note.is_empty());
    let mut columns = vec![
        Column::words(say.plain("table-day")),
        Column::numbers(say.plain("report-column-time")),
        Column::words(say.plain("report-column-fault")),
    ];
    if noted {
        columns.push(Column::words(say.plain("report-column-note")));
    }
    let row = |moment: &FaultMoment| {
        let mut row = vec![
            say.day(moment.date),
            clock::short(moment.at),
            what(moment, say),
        ];
        if noted {
            row.push(moment.note.clone());
        }
        row
    };
    Table {
        columns,
        rows: listed.iter().map(row).collect(),
    }
}

/// "quarters trailing, in trot, left".
fn what(moment: &FaultMoment, say: &Say) -> String {
    let rein = moment.rein.map(|rein| match rein {
        Rein::Left => say.plain("left"),
        Rein::Right => say.plain("right"),
    });
    let fault = say.fault(&moment.fault).into_owned();
    let variant = moment.variant.as_deref();
    let variant = variant.map(|name| say.variant(name).into_owned());
    let parts = [Some(fault), variant, rein];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn pictures(found: &[FaultMoment], content: &Content<'_>, stills: &Stills) -> Markup {
    let say = content.say;
    let own = found
        .iter()
        .filter_map(|moment| Some((moment, stills.of(moment)?)));
    let own: Vec<_> = own.collect();
    html! {
        @if !own.is_empty() {
            div.stills {
                @for (moment, still) in own {
                    figure.still {
                        @match still {
                            Ok(still) => img src=(still.uri) width=(still.width)
                                height=(still.height) alt=(said(moment, say));,
                            Err(why) => p.nostill { (missing(*why, say)) },
                        }
                        figcaption { (name(&said(moment, say))) }
                    }
                }
            }
        }
    }
}

/// "4 May 2026 12:03, quarters trailing, in trot, left".
fn said(moment: &FaultMoment, say: &Say) -> String {
    let day = say.day(moment.date);
    let time = clock::short(moment.at);
    format!("{day} {time}, {}", what(moment, say))
}

/// Why there is no still.
fn missing(why: NoStill, say: &Say) -> String {
    match why {
        NoStill::NoFilm => say.plain("report-still-no-film"),
        NoStill::Gone => say.plain("report-still-gone"),
        NoStill::Another => say.plain("report-still-another"),
        NoStill::Unreadable => say.plain("report-still-unreadable"),
        NoStill::NoRoom => say.plain("report-still-no-room"),
    }
}
