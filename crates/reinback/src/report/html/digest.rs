//! The exercises of a horse in one breath, each name a link to its line.

use maud::{Markup, html};

use super::content::{Content, HorseContent};
use super::horse::Place;
use super::parts::name;
use crate::report::digest;
use crate::report::numbers::{Line, Measure};
use crate::report::shown::Yardstick;

/// What is clearly worse, one-sided, better, and what nobody can tell.
pub(super) fn digest(own: &HorseContent, content: &Content<'_>, place: Place) -> Markup {
    let (say, measure) = (content.say, content.wish.shown.measure);
    let against = own.yardstick(content);
    let found = digest::digest(&own.numbers, against, measure);
    let named = |lines: &[&Line]| -> Vec<(String, String)> {
        let each = lines.iter();
        each.map(|line| (place.line_id(line), say.exercise(&line.name).into_owned()))
            .collect()
    };
    let sided = found.one_sided.iter();
    let sided = sided.map(|(line, rein)| (place.line_id(line), say.weaker_on(&line.name, *rein)));
    let one_sided = match measure {
        Measure::Attempts => say.plain("digest-one-sided"),
        Measure::Faults => say.plain("digest-one-sided-attempts"),
    };
    let parts = [
        (say.plain("digest-worse"), named(&found.worse)),
        (one_sided, sided.collect()),
        (say.plain("digest-better"), named(&found.better)),
        (say.plain("digest-too-few"), named(&found.too_few)),
    ];
    let few = own.earlier();
    let few = few.and_then(|earlier| say.few_rides(&own.numbers, earlier));
    let quiet = match against {
        Yardstick::Reins => say.plain("digest-quiet-reins"),
        Yardstick::Days(_) | Yardstick::Nothing => say.plain("digest-quiet"),
    };
    html! {
        @if few.is_none() && found.is_quiet() { p { (quiet) } }
        @for (head, lines) in parts.iter().filter(|(_, lines)| !lines.is_empty()) {
            p {
                strong { (head) }
                @for (at, (id, said)) in lines.iter().enumerate() {
                    @if at > 0 { "," }
                    " " a href={ "#" (id) } { (name(said)) }
                }
            }
        }
    }
}
