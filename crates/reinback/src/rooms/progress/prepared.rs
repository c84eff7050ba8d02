//! An answer put into words, and its lines in their order: once for an answer, not in every frame.

use std::cell::Cell;

use super::Counted;
use super::digest::Digested;
use super::words::Words;
use crate::report::numbers::{Measure, Numbers};
use crate::report::shown::{Order, Yardstick};
use crate::said::{Language, Say};

/// The lines in words.
#[derive(Default)]
pub(super) struct Prepared {
    made: Option<Made>,
    lines: Vec<PreparedLine>,
    digested: Digested,
    /// How many rides of which days, and what is in no rate.
    summary: String,
    /// Why other days are shown than those asked for.
    instead: Option<String>,
    /// What was ridden only in the days compared with.
    gone: Option<String>,
}

/// What they were made from.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Made {
    /// How many answers had come.
    answers: u64,
    order: Order,
    yardstick: Yardstick,
    measure: Measure,
    language: Language,
}

/// A line in words.
pub(super) struct PreparedLine {
    /// Its place among the lines of the answer.
    pub(super) at: usize,
    /// Why it is one of the first, if it is.
    pub(super) reason: Option<String>,
    /// What matters most, and what stands under it.
    pub(super) sentences: [String; 2],
    /// All of it for those who hear it.
    pub(super) spoken: String,
    /// How high it is in a list of some width, once it was drawn.
    height: Cell<(f32, f32)>,
}

/// The height of a line that was not drawn yet: its name, two sentences, and room around them.
const HEIGHT: f32 = 88.0;

impl PreparedLine {
    /// Its height in a list of this width, near enough to leave its room.
    pub(super) fn height(&self, width: f32) -> f32 {
        let (own, height) = self.height.get();
        if (own - width).abs() < 0.5 {
            height
        } else {
            HEIGHT
        }
    }

    /// Keeps the height it was drawn with.
    pub(super) fn keep_height(&self, width: f32, height: f32) {
        self.height.set((width, height));
    }
}

impl Prepared {
    /// Makes them anew where anything they depend on has changed; `answers` grows with each answer.
    pub(super) fn make(&mut self, counted: &Counted, answers: u64, order: Order, words: Words<'_>) {
        let made = Made {
            answers,
            order,
            yardstick: words.yardstick,
            measure: words.measure,
            language: words.say.language(),
        };
        if self.made != Some(made) {
            let (numbers, say) = (&counted.numbers, words.say);
            let few = counted.earlier;
            let few = few.and_then(|earlier| say.few_rides(numbers, earlier));
            *self = Self {
                made: Some(made),
                lines: lines(counted, order, words),
                digested: Digested::new(numbers, few, words),
                summary: summary(numbers, say),
                instead: counted.instead.as_ref().map(|why| say.instead(why)),
                gone: counted
                    .earlier()
                    .and_then(|earlier| words.say.only_before(&counted.numbers, earlier)),
            };
        }
    }

    /// The lines in their order.
    pub(super) fn lines(&self) -> &[PreparedLine] {
        &self.lines
    }

    /// All of them in one breath.
    pub(super) fn digested(&self) -> &Digested {
        &self.digested
    }

    /// How many rides of which days, and what is in no rate.
    pub(super) fn summary(&self) -> &str {
        &self.summary
    }

    /// Why other days are shown than those asked for.
    pub(super) fn instead(&self) -> Option<&str> {
        self.instead.as_deref()
    }

    /// What was ridden only in the days compared with.
    pub(super) fn gone(&self) -> Option<&str> {
        self.gone.as_deref()
    }
}

fn summary(numbers: &Numbers, say: &Say) -> String {
    let rides = say.rides(numbers.rides);
    let days = say.days(numbers.question.days);
    let mut parts = vec![say.text("summary", &[("rides", rides.into()), ("days", days.into())])];
    parts.extend(say.left_out(numbers));
    parts.join("; ")
}

fn lines(counted: &Counted, order: Order, words: Words<'_>) -> Vec<PreparedLine> {
    let (numbers, say) = (&counted.numbers, words.say);
    let reasoned = order == Order::WorkOnFirst;
    let places = order.places(&numbers.lines, say).into_iter();
    places
        .filter_map(|at| {
            let line = numbers.lines.get(at)?;
            let reason = say.why_first(line, (numbers, words.measure), counted.earlier());
            let reason = reason.filter(|_| reasoned);
            Some(PreparedLine {
                at,
                sentences: words.sentences(line),
                spoken: words.spoken(line, reason.as_deref()),
                reason,
                height: Cell::new((0.0, 0.0)),
            })
        })
        .collect()
}
