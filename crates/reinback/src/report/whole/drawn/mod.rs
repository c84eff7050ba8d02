//! The whole horse as figures: outlines, transitions, load, tempo, series and places.
//!
//! - `outline`, `steps`, `weeks`, `tempo`: one figure a file; the others are those of an exercise
//!
//! **Invariant:** pure; made once for an answer and a language, never in a frame.

mod outline;
mod steps;
mod tempo;
#[cfg(test)]
mod tests;
mod weeks;

use chrono::{Datelike as _, NaiveDate};
use reinback_yard::Words;

use super::{Places, SeriesShown, Whole};
use crate::figure::{Figure, Layer};
use crate::report::figures::axes::{self, number};
use crate::report::figures::bars;
use crate::report::figures::beats::beats;
use crate::report::figures::plan::plan;
use crate::said::Say;

pub use crate::report::figures::{Lead, Leading};

/// All figures of a horse.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// How the time was shared among outlines, ride by ride; `None` where none is marked.
    pub outline: Option<Leading>,
    /// The rides whose outline was held for long, in words, the newest first.
    pub noticed: Vec<(String, Lead)>,
    /// Transitions a minute, ride by ride; `None` where no pace is noted.
    pub steps: Option<Leading>,
    /// Minutes by pace, week by week; `None` where nothing was ridden.
    pub weeks: Option<Leading>,
    /// Tempo by pace, with the median of each month; `None` where none is known.
    pub tempo: Option<Leading>,
    /// Transitions by kind, the most frequent ones.
    pub kinds: Option<Figure>,
    /// Time ridden by pace.
    pub paces: Option<Figure>,
    /// The beats of each series that has any, as they come.
    pub series: Vec<Option<Figure>>,
    /// The plan of each arena with a fault that has a place, as they come.
    pub plans: Vec<Option<Leading>>,
}

/// How many kinds of transitions are drawn.
const KINDS: usize = 8;

impl Drawn {
    /// Draws what a horse's rides show.
    #[must_use]
    pub fn new(whole: &Whole, words: &Words, say: &Say) -> Self {
        let beats = |one: &SeriesShown| {
            let name = words.exercise_name(&one.ridden.exercise);
            beats(one, say.series_title(&say.exercise(&name), one), say)
        };
        let plan = |places: &Places| {
            let arena = places.given.map(|own| say.arena(own));
            let arena = arena.unwrap_or_else(|| say.plain("arena-not-given"));
            plan(places, arena, say)
        };
        Self {
            kinds: bars::transitions(&whole.steps, KINDS, say),
            paces: bars::paces(&whole.ridden.all, say),
            series: whole.series.iter().map(beats).collect(),
            plans: whole.places.iter().map(plan).collect(),
            outline: outline::drawn(whole, words, say),
            noticed: outline::noticed(whole, say),
            steps: steps::drawn(whole, say),
            weeks: weeks::drawn(whole, say),
            tempo: tempo::drawn(whole, say),
        }
    }
}

/// More rides than this are drawn month by month.
pub(super) const MOST_DRAWN: usize = 120;

/// Ride by ride, or month by month where they are many; they come oldest first.
fn together<T>(rides: &[T], date: impl Fn(&T) -> NaiveDate) -> Vec<&[T]> {
    if rides.len() <= MOST_DRAWN {
        return rides.chunks(1).collect();
    }
    rides
        .chunk_by(|one, next| month(date(one)) == month(date(next)))
        .collect()
}

fn month(date: NaiveDate) -> (i32, u32) {
    (date.year(), date.month())
}

/// When a ride or a month of rides was.
fn when(rides: usize, date: NaiveDate, say: &Say) -> String {
    if rides > 1 {
        say.month_of_year(date)
    } else {
        say.day(date)
    }
}

/// Layers, each with where its parts lead.
#[derive(Default)]
struct Layers {
    layers: Vec<Layer>,
    leads: Vec<Vec<Option<Lead>>>,
}

impl Layers {
    fn add(&mut self, layer: Layer, leads: Vec<Option<Lead>>) {
        self.layers.push(layer);
        self.leads.push(leads);
    }
}
