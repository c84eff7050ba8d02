//! An answer put into words, and its lines in their order: once for an answer, not in every frame,
//! and a line only when it comes near what is in sight.

use std::cell::{Cell, OnceCell};

use super::Counted;
use super::digest::Digested;
use super::words::Words;
use crate::report::numbers::{Line, Measure, Numbers};
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

/// A line of the list.
pub(super) struct PreparedLine {
    /// Its place among the lines of the answer.
    pub(super) at: usize,
    said: OnceCell<LineSaid>,
    /// How high it is in a list of some width, once it was drawn.
    height: Cell<(f32, f32)>,
}

/// What a line says.
pub(super) struct LineSaid {
    /// Why it is one of the first, if it is.
    pub(super) reason: Option<String>,
    /// What matters most, and what stands under it.
    pub(super) sentences: [String; 2],
    /// All of it for those who hear it.
    pub(super) spoken: String,
}

impl LineSaid {
    fn new(line: &Line, counted: &Counted, order: Order, words: Words<'_>) -> Self {
        let numbers = (&counted.numbers, words.measure);
        let first = order == Order::WorkOnFirst;
        let reason = first.then(|| words.say.why_first(line, numbers, counted.earlier()));
        let reason = reason.flatten();
        let sentences = words.sentences(line);
        Self {
            spoken: words.spoken(line, &sentences, reason.as_deref()),
            sentences,
            reason,
        }
    }
}

/// The height of a line that was not drawn yet: its name, two sentences, and room around them.
const HEIGHT: f32 = 88.0;

impl PreparedLine {
    fn new(at: usize) -> Self {
        Self {
            at,
            said: OnceCell::new(),
            height: Cell::new((0.0, 0.0)),
        }
    }

    /// What it says, put into words at the first call.
    pub(super) fn said(
        &self,
        line: &Line,
        counted: &Counted,
        order: Order,
        words: Words<'_>,
    ) -> &LineSaid {
        self.said
            .get_or_init(|| LineSaid::new(line, counted, order, words))
    }

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
                lines: order
                    .places(&numbers.lines, say)
                    .into_iter()
                    .map(PreparedLine::new)
                    .collect(),
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
