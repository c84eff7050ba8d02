//! What is around the horses: the head, cautions, contents, methods, and the yard's files.

use std::collections::BTreeSet;

use maud::{DOCTYPE, Markup, PreEscaped, html};
use reinback_analysis::Method;

use super::content::Content;
use super::horse::{self, Place};
use super::parts::{self, name, titled};
use super::stills::Stills;
use super::style::style;
use crate::report::numbers::Reins;

/// What made a page, in its head; by it a page of ours is known again.
pub(super) const GENERATOR: &str = concat!("reinback ", env!("CARGO_PKG_VERSION"));

/// Nothing is run and nothing fetched (W3C Content Security Policy Level 3).
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; \
                      base-uri 'none'; form-action 'none'";

/// How many problems with files are listed.
const PROBLEMS: usize = 30;

/// The whole page.
pub(super) fn page(content: &Content<'_>, stills: &Stills) -> Markup {
    let say = content.say;
    let title = title(content);
    let days = say.days(content.asked.days);
    html! {
        (DOCTYPE)
        html lang=(say.language().code()) {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content=(GENERATOR);
                title { (title) ": " (days) }
                style { (PreEscaped(style())) }
            }
            body {
                (header(content, &title))
                main {
                    (cautions(content))
                    (horses(content, stills))
                    (methods(content))
                    (files(content))
                }
                (footer(content))
            }
        }
    }
}

/// Whose page it is.
fn title(content: &Content<'_>) -> String {
    match content.horses.as_slice() {
        [only] => content.horse_name(only.horse),
        _ => {
            let yard = content.yard_name().map(str::to_owned);
            yard.unwrap_or_else(|| content.say.plain("horse-all"))
        }
    }
}

fn header(content: &Content<'_>, title: &str) -> Markup {
    let (say, shown) = (content.say, content.asked);
    let asked = say.text("report-days", &[("days", say.days(shown.days).into())]);
    let against = match shown.against {
        Some((days, _)) => say.text("report-against", &[("days", say.days(days).into())]),
        None => say.plain("report-against-nothing"),
    };
    let yard = content.yard_name().filter(|yard| *yard != title);
    html! {
        header {
            h1 { (name(title)) }
            p { (asked) " " (against) }
            @if let Some(why) = &content.instead { p { (say.instead(why)) } }
            @if content.wish.reins != Reins::Both {
                p { (say.reins_counted(content.wish.reins)) "." }
            }
            @if let Some(yard) = yard { p.soft { (name(yard)) } }
            (contents(content))
        }
    }
}

/// What is on the page, each a link.
fn contents(content: &Content<'_>) -> Markup {
    let say = content.say;
    let several = content.horses.len() > 1;
    html! {
        nav aria-label=(say.plain("report-contents")) {
            ol {
                @for (at, own) in content.horses.iter().enumerate() {
                    @let place = Place { rank: 2, horse: at };
                    @if several {
                        li {
                            a href={ "#" (place.horse_id()) } {
                                (name(&content.horse_name(own.horse)))
                            }
                        }
                    } @else {
                        @for line in &own.numbers.lines {
                            li {
                                a href={ "#" (place.line_id(line)) } {
                                    (name(&say.exercise(&line.name)))
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// What every reader should know, before anything else.
fn cautions(content: &Content<'_>) -> Markup {
    let say = content.say;
    html! {
        section {
            (titled(2, &say.plain("report-cautions")))
            (parts::list(&say.cautions()))
        }
    }
}

fn horses(content: &Content<'_>, stills: &Stills) -> Markup {
    match content.horses.as_slice() {
        [] => html! { p { (content.say.plain("empty-no-horse")) } },
        [only] => {
            let place = Place { rank: 2, horse: 0 };
            horse::horse(only, content, stills, place)
        }
        several => html! {
            (horse::horses(content, 2))
            @for (at, own) in several.iter().enumerate() {
                @let place = Place { rank: 3, horse: at };
                section {
                    (horse::own_heading(own, content, 2, place))
                    (horse::horse(own, content, stills, place))
                }
            }
        },
    }
}

/// The methods used, in words, with where they were published.
fn methods(content: &Content<'_>) -> Markup {
    let say = content.say;
    let used: BTreeSet<Method> = content
        .horses
        .iter()
        .flat_map(|own| own.methods())
        .collect();
    html! {
        section {
            (titled(2, &say.plain("report-methods")))
            p { (say.plain("how-reviewed")) }
            p { (say.plain("report-methods-more")) }
            @if !used.is_empty() {
                dl {
                    @for method in used {
                        div {
                            dt { (say.method(method)) }
                            // Sources are named as they were published.
                            dd lang="en" { (method.source()) }
                        }
                    }
                }
            }
        }
    }
}

/// What is wrong with the files of the yard. Paths have names of horses in them.
fn files(content: &Content<'_>) -> Markup {
    let say = content.say;
    let count = u32::try_from(content.problems.len()).unwrap_or(u32::MAX);
    html! {
        section {
            (titled(2, &say.plain("report-files")))
            @if content.problems.is_empty() {
                p { (say.plain("report-files-fine")) }
            } @else {
                p { (say.text("report-files-problems", &[("problems", count.into())])) }
                @if content.names() {
                    ul lang="en" {
                        @for problem in content.problems.iter().take(PROBLEMS) {
                            li { (name(&problem.to_string())) }
                        }
                    }
                }
            }
        }
    }
}

fn footer(content: &Content<'_>) -> Markup {
    let (say, wish) = (content.say, content.wish);
    let made = say.text(
        "report-made",
        &[
            ("version", env!("CARGO_PKG_VERSION").into()),
            ("day", say.day_in_full(wish.today).into()),
        ],
    );
    html! { footer { p { (made) } p { (say.caution()) } } }
}
