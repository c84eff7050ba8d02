//! One exercise: its sentence, the two periods, the trend, faults, reins, what follows a mistake.

use std::collections::BTreeSet;

use maud::{Markup, html};

use super::behind::Behind;
use super::content::{Content, HorseContent};
use super::horse::Place;
use super::parts::{self, heading, name, part, soft};
use super::stills::Stills;
use super::{moments, whole};
use crate::figure::Figure;
use crate::report::figures::about::about;
use crate::report::figures::across::notes_layer;
use crate::report::figures::{across, bars};
use crate::report::numbers::{Line, Measure};
use crate::said::Say;

/// What matters most about a line: what it is held against, else by itself.
pub(super) fn sentence(line: &Line, own: &HorseContent, content: &Content<'_>) -> String {
    let (against, measure) = (own.yardstick(content), content.wish.shown.measure);
    let [first, _] = content.say.sentences(line, against, measure);
    first
}

/// Everything about one exercise.
pub(super) fn line(
    line: &Line,
    behind: &Behind,
    own: &HorseContent,
    content: &Content<'_>,
    stills: &Stills,
    place: Place,
) -> Markup {
    let say = content.say;
    let rank = place.rank + 1;
    let all = &line.figures.all;
    let by_itself = [say.rate(&all.rate), say.per_minute(&all.per_minute)];
    let [lead, under] = match content.wish.shown.measure {
        Measure::Attempts => by_itself,
        Measure::Faults => {
            let [attempts, faults] = by_itself;
            [faults, attempts]
        }
    };
    html! {
        section.line {
            (heading(place.rank, Some(&place.line_id(line)), &name(&say.exercise(&line.name))))
            p.lead { (lead) "." }
            (soft(&(under + ".")))
            // A sentence or two: they would be broken in half the width.
            @if content.wish.shown.reins { (reins(line, own, content, rank)) }
            (periods(line, own, content, rank))
            div.parts {
                (rides(line, own, say, rank))
                (faults(line, say, rank))
                @if !content.wish.shown.reins { (reins(line, own, content, rank)) }
                (variants(line, say, rank))
                (after(line, say, rank))
                (tempo(line, behind, own, content, rank))
                @if let Some(found) = &own.whole {
                    (whole::of_line(found, &line.exercise, content, rank))
                }
            }
            (moments::moments(behind, (own.numbers.question, all.faults), content, stills, rank))
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
        @if content.wish.shown.measure == Measure::Faults {
            p { (say.faults_of_periods(found, earlier)) "." }
            p { (say.times_as_many(found)) }
        }
        p { (say.periods(&found.rate, earlier)) "." }
        (parts::sentences(&say.periods_apart(&found.rate)))
    };
    part(rank, &say.plain("heading-periods"), &said)
}

fn rides(line: &Line, own: &HorseContent, say: &Say, rank: u8) -> Markup {
    // Notes would crowd a picture that nobody can switch them off in; its table has them.
    let drawn = across(line, &own.happened, say).map(|drawn| {
        let layers = drawn.figure.legend();
        let notes = layers.filter(|(_, layer)| layer.name == notes_layer(say));
        let off: BTreeSet<usize> = notes.map(|(at, _)| at).collect();
        drawn.figure.without(&off)
    });
    let said = html! {
        p { (say.trend_in_full(&line.figures.trend, line.rides.len())) }
        @if let Some(drawn) = drawn { (parts::figure_over_days(&drawn, say)) }
    };
    part(rank, &say.plain("heading-rides"), &said)
}

/// A figure of bars, where there is one.
fn bars(figure: Option<&Figure>, say: &Say) -> Markup {
    html! {
        @if let Some(figure) = figure { (parts::figure(figure, bars::height(figure), say)) }
    }
}

fn faults(line: &Line, say: &Say, rank: u8) -> Markup {
    let figure = bars::faults(line, say);
    let shown = html! {
        @if figure.is_none() { p { (say.plain("no-faults")) } }
        (bars(figure.as_ref(), say))
    };
    part(rank, &say.plain("heading-faults"), &shown)
}

fn reins(line: &Line, own: &HorseContent, content: &Content<'_>, rank: u8) -> Markup {
    let say = content.say;
    let faults = content.wish.shown.reins && content.wish.shown.measure == Measure::Faults;
    let said = html! {
        @if faults { p { (sentence(line, own, content)) "." } }
        p { (say.reins(line)) }
        (bars(bars::reins(line, say).as_ref(), say))
    };
    part(rank, &say.plain("heading-reins"), &said)
}

fn variants(line: &Line, say: &Say, rank: u8) -> Markup {
    let Some(figure) = bars::variants(line, say) else {
        return html! {};
    };
    part(
        rank,
        &say.plain("heading-variants"),
        &bars(Some(&figure), say),
    )
}

fn after(line: &Line, say: &Say, rank: u8) -> Markup {
    let Some(after) = &line.after else {
        return html! {};
    };
    let said = html! {
        (parts::sentences(&say.after_mistake(after)))
        (bars(bars::after(line, say).as_ref(), say))
    };
    part(rank, &say.plain("heading-after"), &said)
}

/// Height of the tempo about an exercise, in points.
const TEMPO: f32 = 160.0;

/// The tempo about its attempts, and about its changes or corners; nothing where nobody tapped one.
fn tempo(
    line: &Line,
    behind: &Behind,
    own: &HorseContent,
    content: &Content<'_>,
    rank: u8,
) -> Markup {
    let say = content.say;
    let around = own.whole.as_ref();
    let around = around.and_then(|whole| whole.around_of(&line.exercise));
    let found = content.tempo_without_names(&behind.tempo);
    let drawn = about(&found, &say.exercise(&line.name), say);
    if drawn.is_none() && around.is_none() {
        return html! {};
    }
    let said = html! {
        @if let Some(drawn) = drawn {
            p { (say.tempo_about(&found)) }
            (parts::figure(&drawn.figure, TEMPO, say))
        }
        @if let Some((what, found)) = around { (parts::sentences(&say.around(*what, found))) }
    };
    part(rank, &say.plain("tempo-heading"), &said)
}

fn how(line: &Line, say: &Say) -> Markup {
    html! {
        details.how {
            summary { (say.plain("how-heading")) }
            (parts::list(&say.how_line(line)))
        }
    }
}
