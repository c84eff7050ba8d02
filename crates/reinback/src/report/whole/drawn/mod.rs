//! The whole horse as figures: outlines, transitions, load and tempo.
//!
//! - `axes`: days and values along an axis
//! - `outline`, `steps`, `weeks`, `tempo`: one figure a file
//!
//! **Invariant:** pure; made once for an answer and a language, never in a frame.

mod axes;
mod outline;
mod steps;
mod tempo;
#[cfg(test)]
mod tests;
mod weeks;

use chrono::{Datelike as _, NaiveDate};
use reinback_yard::Words;

use super::Whole;
use crate::figure::Layer;
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
}

impl Drawn {
    /// Draws what a horse's rides show.
    #[must_use]
    pub fn new(whole: &Whole, words: &Words, say: &Say) -> Self {
        Self {
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

/// Days since the beginning of 1970, as figures count them.
fn number(date: NaiveDate) -> f64 {
    f64::from(date.to_epoch_days())
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
