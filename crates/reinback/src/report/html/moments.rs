//! The film moments behind a line: a table of the newest, and the stills chosen of them.

use super::behind::Behind;
use super::content::Content;
use super::parts::{self, name, soft, titled};
use super::stills::{NoStill, Stills};
use crate::clock;
use crate::figure::{Column, Table};
use crate::report::moments::{FilmMoment, Seen};
use crate::report::numbers::{Question, Whose};
use crate::said::Say;
use maud::{Markup, html};

/// How many moments are listed; in Progress are all of them.
const LISTED: usize = 12;

/// The moments of a line; `marked` is how many faults there are in all.
pub(super) fn moments(
    behind: &Behind,
    (question, marked): (Question, u32),
    content: &Content<'_>,
    stills: &Stills,
    rank: u8,
) -> Markup {
    let say = content.say;
    let (found, many) = (&behind.moments, question.whose == Whose::All);
    let title = say.plain("heading-moments");
    let listed = &found.faults[..found.faults.len().min(LISTED)];
    let shown = u32::try_from(listed.len()).unwrap_or(u32::MAX);
    html! {
        (titled(rank, &title))
        // Of clean attempts there are only stills, and only of those the rider chose.
        (pictures((behind, question), content, stills))
        @if found.faults.is_empty() {
            @if found.clean.is_empty() {
                p { (say.plain("no-moments")) }
            } @else {
                p { (say.plain("no-faults-to-see")) }
            }
        } @else {
            (parts::table_of_heading(&title, &table((listed, many), content)))
            @if marked > shown {
                (soft(&say.text(
                    "report-moments-newest",
                    &[("moments", shown.into()), ("all", marked.into())],
                )))
            }
        }
    }
}

fn table((listed, many): (&[FilmMoment], bool), content: &Content<'_>) -> Table {
    let say = content.say;
    let noted = content.names() && listed.iter().any(|moment| !note(moment).is_empty());
    let mut columns = Vec::new();
    if many {
        columns.push(Column::words(say.plain("horse")));
    }
    columns.extend([
        Column::words(say.plain("table-day")),
        Column::numbers(say.plain("report-column-time")),
        Column::words(say.plain("report-column-fault")),
    ]);
    if noted {
        columns.push(Column::words(say.plain("report-column-note")));
    }
    let row = |moment: &FilmMoment| {
        let mut row = Vec::new();
        if many {
            row.push(horse(moment, content));
        }
        row.extend([
            say.day(moment.date),
            clock::short(moment.at),
            what(moment, say),
        ]);
        if noted {
            row.push(note(moment).to_owned());
        }
        row
    };
    Table {
        columns,
        rows: listed.iter().map(row).collect(),
    }
}

/// Whose it is.
fn horse(moment: &FilmMoment, content: &Content<'_>) -> String {
    let ride = content.yard.ride(moment.id.ride());
    ride.map_or_else(String::new, |ride| content.horse_name(ride.head.horse))
}

/// What was noted on a fault.
fn note(moment: &FilmMoment) -> &str {
    match &moment.seen {
        Seen::Fault { note, .. } => note,
        Seen::Clean { .. } => "",
    }
}

/// "quarters trailing, in trot, left"; what was noted has a column of its own.
fn what(moment: &FilmMoment, say: &Say) -> String {
    let mut bare = moment.clone();
    if let Seen::Fault { note, .. } = &mut bare.seen {
        note.clear();
    }
    say.moment(&bare)
}

fn pictures(
    (behind, question): (&Behind, Question),
    content: &Content<'_>,
    stills: &Stills,
) -> Markup {
    let say = content.say;
    let found = &behind.moments;
    let listed = || found.faults.iter().chain(&found.clean);
    let apart = behind.chosen.iter();
    let apart = apart.filter(|own| listed().all(|moment| moment.id != own.id));
    let all = listed().chain(apart);
    let own = all.filter_map(|moment| Some((moment, stills.of(moment)?)));
    let own: Vec<_> = own.collect();
    let said = |moment: &FilmMoment| {
        let said = said(moment, question, say);
        if question.whose == Whose::All {
            format!("{}, {said}", horse(moment, content))
        } else {
            said
        }
    };
    html! {
        @if !own.is_empty() {
            div.stills {
                @for (moment, still) in own {
                    figure.still {
                        @match still {
                            Ok(still) => img src=(still.uri) width=(still.width)
                                height=(still.height) alt=(said(moment));,
                            Err(why) => p.nostill { (missing(*why, say)) },
                        }
                        figcaption { (name(&said(moment))) }
                    }
                }
            }
        }
    }
}

/// "4 May 2026 12:03, quarters trailing, in trot, left"; those of the days before say so.
fn said(moment: &FilmMoment, question: Question, say: &Say) -> String {
    format!(
        "{}, {}",
        say.moment_when(moment, &question),
        what(moment, say)
    )
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
