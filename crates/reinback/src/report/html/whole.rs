//! Everything but the exercises: outlines, series, tempo, transitions, load, places, and what
//! stands in the way of right numbers.

use maud::{Markup, html};
use reinback_analysis::outline::{Notice, longest_run};
use reinback_yard::WordId;

use super::content::Content;
use super::horse::Place;
use super::parts::{self, list, part, sentences, soft, titled};
use crate::clock;
use crate::figure::{Column, Figure, Table};
use crate::report::figures::bars::height;
use crate::report::figures::beats::beats;
use crate::report::figures::plan::{of_exercise, plan};
use crate::report::whole::drawn::{Drawn, Leading};
use crate::report::whole::{Places, RideFigures, SeriesShown, Whole};
use crate::said::Say;

/// A figure, where there is one.
fn figure(drawn: Option<&Leading>, say: &Say) -> Markup {
    html! { @if let Some(drawn) = drawn { (parts::figure_over_days(&drawn.figure, say)) } }
}

/// Bars, where there are any.
fn bars(drawn: Option<&Figure>, say: &Say) -> Markup {
    html! { @if let Some(drawn) = drawn { (parts::figure(drawn, height(drawn), say)) } }
}

/// Everything but the exercises of one horse.
pub(super) fn whole(whole: &Whole, content: &Content<'_>, place: Place) -> Markup {
    let (say, rank) = (content.say, place.rank);
    let drawn = Drawn::new(whole, &content.yard.words, say);
    html! {
        (look(whole, content, rank))
        @if whole.rides.is_empty() {
            p { (say.plain("whole-no-rides")) }
        } @else {
            (outlines(whole, &drawn, content, rank))
        }
        (load(whole, &drawn, content, rank))
        @if !whole.rides.is_empty() {
            (tempo(whole, &drawn, say, rank))
            (steps(whole, &drawn, say, rank))
            (series(whole, content, rank))
            (places(whole, &drawn, say, rank))
        }
    }
}

/// What of it belongs to an exercise: its series and its places.
pub(super) fn of_line(whole: &Whole, exercise: &WordId, content: &Content<'_>, rank: u8) -> Markup {
    let say = content.say;
    let own: Vec<&SeriesShown> = whole
        .series
        .iter()
        .filter(|one| one.ridden.exercise == *exercise)
        .collect();
    let placed: Vec<Markup> = whole
        .places
        .iter()
        .filter_map(|places| plan_of(places, exercise, say))
        .collect();
    html! {
        @if !own.is_empty() {
            (part(rank, &say.plain("series-heading"), &series_rows(&own, content)))
        }
        @if !placed.is_empty() {
            (part(rank, &say.plain("place-heading"), &html! {
                @for table in &placed { (table) }
                (soft(&say.plain("place-caution")))
            }))
        }
    }
}

/// The faults of an exercise on the plan of one arena.
fn plan_of(places: &Places, exercise: &WordId, say: &Say) -> Option<Markup> {
    let own = of_exercise(places, exercise)?;
    let drawn = plan(&own, arena(&own, say), say)?;
    Some(parts::figure(&drawn.figure, PLAN, say))
}

/// Which arena.
fn arena(places: &Places, say: &Say) -> String {
    let given = places.given.map(|own| say.arena(own));
    given.unwrap_or_else(|| say.plain("arena-not-given"))
}

fn look(whole: &Whole, content: &Content<'_>, rank: u8) -> Markup {
    let say = content.say;
    let rows: Vec<String> = whole
        .look
        .iter()
        .map(|look| {
            let what = say.look(&look.what, &content.yard.words);
            let Some((_, day, at)) = look.at else {
                return what;
            };
            let mut place = say.day(day);
            if let Some(at) = at {
                place.push(' ');
                place.push_str(&clock::short(at));
            }
            say.text(
                "look-row",
                &[("where", place.into()), ("what", what.into())],
            )
        })
        .collect();
    html! {
        @if !rows.is_empty() {
            section {
                (titled(rank, &say.plain("look-heading")))
                (list(&rows))
            }
        }
    }
}

fn outlines(whole: &Whole, drawn: &Drawn, content: &Content<'_>, rank: u8) -> Markup {
    let say = content.say;
    let marked = whole.rides.iter().rev();
    let marked: Vec<&RideFigures> = marked
        .map(AsRef::as_ref)
        .filter(|ride| ride.outline.is_some())
        .collect();
    let outlined = u32::try_from(marked.len()).unwrap_or(u32::MAX);
    let rides = say.in_rides(whole.rides.len());
    let table = Table {
        columns: vec![
            Column::words(say.plain("table-day")),
            Column::words(say.plain("report-column-timer")),
            Column::words(say.plain("report-column-changes")),
        ],
        rows: marked.iter().map(|ride| outline_row(ride, say)).collect(),
    };
    html! {
        section {
            (titled(rank, &say.plain("outline-heading")))
            @if marked.is_empty() {
                p { (say.plain("outline-none")) }
            } @else {
                p {
                    (say.text(
                        "outline-timed",
                        &[("outlined", outlined.into()), ("rides", rides.into())],
                    ))
                }
                (figure(drawn.outline.as_ref(), say))
                (parts::table_of_heading(&say.plain("outline-heading"), &table))
                (soft(&say.plain("outline-caution")))
            }
        }
    }
}

fn outline_row(ride: &RideFigures, say: &Say) -> Vec<String> {
    let day = say.day(ride.date);
    let report = match &ride.outline {
        Some(Ok(report)) => report,
        Some(Err(problem)) => {
            let why = say.outline_problem(*problem);
            return vec![day, why, String::new()];
        }
        None => return vec![day, String::new(), String::new()],
    };
    let noticed = longest_run(report).is_some_and(|run| run.notice() != Notice::Quiet);
    let sign = if noticed { "⚠ " } else { "" };
    vec![
        day,
        format!("{sign}{}", say.outline_timer(report)),
        say.outline_changes(report),
    ]
}

fn load(whole: &Whole, drawn: &Drawn, content: &Content<'_>, rank: u8) -> Markup {
    let say = content.say;
    html! {
        section {
            (titled(rank, &say.plain("load-heading")))
            @for said in say.load_cautions(&whole.load.cautions) { (parts::caution(&said)) }
            (sentences(&say.load(&whole.load)))
            (figure(drawn.weeks.as_ref(), say))
            (paces(whole, drawn, content))
            (soft(&say.plain("load-caution")))
        }
    }
}

fn paces(whole: &Whole, drawn: &Drawn, content: &Content<'_>) -> Markup {
    let say = content.say;
    let ridden = &whole.ridden.all;
    if ridden.all <= 0 {
        return html! {};
    }
    let caption = say.text(
        "load-in-days",
        &[
            ("length", say.length(ridden.all).into()),
            ("rides", say.in_rides(ridden.rides as usize).into()),
        ],
    );
    let listed: Vec<String> = whole
        .ridden
        .exercises
        .iter()
        .map(|(word, nanos)| {
            say.text(
                "load-exercise",
                &[
                    ("exercise", content.exercise(word).into()),
                    ("length", say.length(*nanos).into()),
                ],
            )
        })
        .collect();
    html! {
        p { (caption) }
        (bars(drawn.paces.as_ref(), say))
        @if !listed.is_empty() { (soft(&(listed.join("; ") + "."))) }
        @if ridden.left + ridden.right > 0 { (soft(&say.on_reins(ridden))) }
    }
}

fn tempo(whole: &Whole, drawn: &Drawn, say: &Say, rank: u8) -> Markup {
    html! {
        section {
            (titled(rank, &say.plain("tempo-heading")))
            @if whole.tempos.is_empty() {
                p { (say.plain("tempo-none")) }
            } @else {
                @for over in &whole.tempos {
                    @let variant = over.variant.as_ref().map(WordId::spelled);
                    p { (say.tempo(over, variant.as_deref()).join("; ")) "." }
                }
                (figure(drawn.tempo.as_ref(), say))
                @for (what, found) in &whole.around { (sentences(&say.around(*what, found))) }
                (soft(&say.plain("tempo-caution")))
            }
        }
    }
}

fn steps(whole: &Whole, drawn: &Drawn, say: &Say, rank: u8) -> Markup {
    html! {
        section {
            (titled(rank, &say.plain("steps-heading")))
            @if whole.steps.rides == 0 {
                p { (say.plain("steps-none")) }
            } @else {
                (sentences(&say.steps(&whole.steps)))
                (bars(drawn.kinds.as_ref(), say))
                (figure(drawn.steps.as_ref(), say))
            }
        }
    }
}

fn series(whole: &Whole, content: &Content<'_>, rank: u8) -> Markup {
    let say = content.say;
    let all: Vec<&SeriesShown> = whole.series.iter().collect();
    html! {
        section {
            (titled(rank, &say.plain("series-heading")))
            @if all.is_empty() {
                p { (say.plain("series-none")) }
            } @else {
                (series_rows(&all, content))
            }
            @if whole.unreviewed_series > 0 {
                (soft(&say.text(
                    "series-unreviewed",
                    &[("count", whole.unreviewed_series.into())],
                )))
            }
        }
    }
}

/// Height of a row of beats, and of the plan of the arena.
const BEATS: f32 = 110.0;
const PLAN: f32 = 200.0;

fn series_rows(series: &[&SeriesShown], content: &Content<'_>) -> Markup {
    let say = content.say;
    let (marked, bare): (Vec<&SeriesShown>, Vec<&SeriesShown>) = series
        .iter()
        .copied()
        .partition(|one| one.ridden.changes.len() > 1 || one.found.is_err());
    let rows: Vec<Markup> = marked
        .iter()
        .map(|one| {
            let found = match &one.found {
                Ok(found) => {
                    let counted = one.ridden.asked_count.is_some();
                    say.series(found, one.ridden.every.is_some(), counted)
                }
                Err(problem) => vec![say.series_problem(*problem)],
            };
            let exercise = content.exercise(&one.ridden.exercise);
            let asked = say.series_asked(one.ridden.asked_count, one.ridden.every);
            let row = say.text(
                "series-row",
                &[
                    ("day", say.day(one.date).into()),
                    ("exercise", exercise.as_str().into()),
                    ("asked", asked.into()),
                    ("found", found.join(" ").into()),
                ],
            );
            let title = format!("{}, {exercise}", say.day(one.date));
            let drawn = beats(one, title, say);
            html! {
                p { (row) }
                @if let Some(drawn) = drawn { (parts::figure(&drawn, BEATS, say)) }
            }
        })
        .collect();
    let bare = u32::try_from(bare.len()).unwrap_or(u32::MAX);
    html! {
        @for row in &rows { (row) }
        @if bare > 0 { (soft(&say.text("series-bare", &[("count", bare.into())]))) }
    }
}

fn places(whole: &Whole, drawn: &Drawn, say: &Say, rank: u8) -> Markup {
    html! {
        section {
            (titled(rank, &say.plain("place-heading")))
            @if whole.places.is_empty() {
                p { (say.plain("place-none")) }
            } @else {
                @for (places, plan) in whole.places.iter().zip(&drawn.plans) {
                    (sentences(&say.places(places)))
                    @if let Some(plan) = plan { (parts::figure(&plan.figure, PLAN, say)) }
                }
                (soft(&say.plain("place-caution")))
            }
        }
    }
}
