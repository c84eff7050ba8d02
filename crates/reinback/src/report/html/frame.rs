//! What is around the horses: the head, cautions, contents, methods, and the yard's files.

use std::collections::BTreeSet;
use std::path::{MAIN_SEPARATOR, Path};

use maud::{DOCTYPE, Markup, PreEscaped, html};
use reinback_analysis::Method;
use reinback_yard::Problem;

use super::content::Content;
use super::horse::{self, Part, Place};
use super::parts::{self, heading, name, titled};
use super::stills::Stills;
use super::style::style;
use crate::report::numbers::{Measure, Reins};

/// What made a page, in its head; by it a page of ours is known again.
pub(super) const GENERATOR: &str = concat!("reinback ", env!("CARGO_PKG_VERSION"));

/// Nothing is run and nothing fetched (W3C Content Security Policy Level 3).
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; \
                      base-uri 'none'; form-action 'none'";

/// The address of the methods.
const METHODS: &str = "methods";

/// How many problems with files are listed.
const PROBLEMS: usize = 30;

/// The whole page; `folder` is the yard's own.
pub(super) fn page(content: &Content<'_>, folder: &Path, stills: &Stills) -> Markup {
    let say = content.say;
    let title = title(content);
    let days = say.days(content.asked().days);
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
                    (files(content, folder))
                }
                (footer(content))
            }
        }
    }
}

/// Whose page it is.
fn title(content: &Content<'_>) -> String {
    if let [only] = content.horses.as_slice() {
        return content.name_of(only.whose);
    }
    let yard = content.yard_name().map(str::to_owned);
    yard.unwrap_or_else(|| content.say.plain("horse-all"))
}

fn header(content: &Content<'_>, title: &str) -> Markup {
    let (say, shown) = (content.say, content.asked());
    let asked = say.text("report-days", &[("days", say.days(shown.days).into())]);
    let against = match shown.against {
        Some((days, _)) => say.text("report-against", &[("days", say.days(days).into())]),
        None if content.wish.shown.reins => say.plain("report-against-reins"),
        None => say.plain("report-against-nothing"),
    };
    let yard = content.yard_name().filter(|yard| *yard != title);
    html! {
        header {
            h1 { (name(title)) }
            p { (asked) " " (against) }
            @if let Some(why) = content.instead() { p { (why) } }
            @if content.wish.reins != Reins::Both {
                p { (say.reins_counted(content.wish.reins)) "." }
            }
            @if content.wish.shown.measure == Measure::Faults {
                p { (say.plain("report-measure-faults")) }
            }
            @if let Some(yard) = yard { p.soft { (name(yard)) } }
            (contents(content))
        }
    }
}

/// What is on the page, each a link: the horses, or the parts of the page of one.
fn contents(content: &Content<'_>) -> Markup {
    let say = content.say;
    let mut links: Vec<(String, String)> = match content.horses.as_slice() {
        [] => return html! {},
        [only] => {
            let place = Place { rank: 2, horse: 0 };
            let own = Part::of(only).iter();
            own.map(|part| (place.part_id(*part), part.title(say)))
                .collect()
        }
        several => {
            let places = (0..several.len()).map(|horse| Place { rank: 2, horse });
            let named = several.iter().zip(places);
            named
                .map(|(own, place)| (place.horse_id(), content.name_of(own.whose)))
                .collect()
        }
    };
    links.push((METHODS.to_owned(), say.plain("report-methods")));
    html! {
        nav aria-label=(say.plain("report-contents")) {
            ul { @for (id, text) in &links { li { a href={ "#" (id) } { (name(text)) } } } }
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
        .flat_map(super::content::HorseContent::methods)
        .collect();
    html! {
        section {
            (heading(2, Some(METHODS), &html! { (say.plain("report-methods")) }))
            p { (say.plain("how-reviewed")) }
            p {
                // Paper has each method once, here.
                span.screen { (say.plain("report-methods-each")) " " }
                (say.plain("report-methods-more"))
            }
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

/// What is wrong with the files of the yard. Paths have names of horses in them, and those of the
/// folders above the yard are nobody's business but the rider's.
fn files(content: &Content<'_>, folder: &Path) -> Markup {
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
                            li { (name(&in_the_yard(problem, folder))) }
                        }
                    }
                }
            }
        }
    }
}

/// A problem, with its file as the yard names it.
fn in_the_yard(problem: &Problem, folder: &Path) -> String {
    let file = problem.file.strip_prefix(folder);
    let file = file.ok().or(problem.file.file_name().map(Path::new));
    let above = format!("{}{MAIN_SEPARATOR}", folder.display());
    let bare = Problem {
        file: file.map(Path::to_path_buf).unwrap_or_default(),
        message: problem.message.replace(&above, ""),
        ..problem.clone()
    };
    bare.to_string()
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
