//! The numbers in one breath over the lines, each name one press from its line.

use egui::{RichText, Ui};
use reinback_yard::WordId;

use super::words::Words;
use crate::report::digest::digest;
use crate::report::numbers::{Line, Measure, Numbers};
use crate::report::shown::Yardstick;
use crate::said::Say;
use crate::theme;

/// How many names one part of the digest has, and how many while a line stands open beside the list.
/// Our own choice, so that it is about one row.
const MOST_NAMES: [usize; 2] = [6, 3];

/// The digest in words, made once for an answer.
#[derive(Default)]
pub(super) struct Digested {
    /// Why there is too little to compare, or that nothing clear was found.
    first: Option<String>,
    parts: Vec<Part>,
}

/// Lines of which the same is so.
struct Part {
    head: String,
    /// As many as are ever shown, each with its exercise.
    names: Vec<(WordId, String)>,
    /// How many more there are, beside as many names as [`MOST_NAMES`] says.
    more: [Option<String>; 2],
}

impl Part {
    fn new(
        head: String,
        lines: &[&Line],
        name: impl Fn(usize, &Line) -> String,
        say: &Say,
    ) -> Self {
        let most = MOST_NAMES.into_iter().max().unwrap_or_default();
        let shown = lines.iter().take(most).enumerate();
        Self {
            head,
            names: shown
                .map(|(at, line)| (line.exercise.clone(), name(at, line)))
                .collect(),
            more: MOST_NAMES.map(|most| {
                let more = lines.len().saturating_sub(most);
                (more > 0).then(|| say.text("digest-more", &[("more", more.into())]))
            }),
        }
    }
}

impl Digested {
    /// Puts an answer into words; `few` says why there is too little to compare.
    pub(super) fn new(numbers: &Numbers, few: Option<String>, words: Words<'_>) -> Self {
        let say = words.say;
        let found = digest(numbers, words.yardstick, words.measure);
        let plain = |_: usize, line: &Line| say.exercise(&line.name).into_owned();
        let (sided, reins): (Vec<&Line>, Vec<_>) = found.one_sided.iter().copied().unzip();
        let weaker = |at: usize, line: &Line| match reins.get(at) {
            Some(rein) => say.weaker_on(&line.name, *rein),
            None => plain(at, line),
        };
        let one_sided = match words.measure {
            Measure::Attempts => say.plain("digest-one-sided"),
            // Reins are told apart by their attempts, whatever else is counted.
            Measure::Faults => say.plain("digest-one-sided-attempts"),
        };
        let parts = [
            Part::new(say.plain("digest-worse"), &found.worse, plain, say),
            Part::new(one_sided, &sided, weaker, say),
            Part::new(say.plain("digest-better"), &found.better, plain, say),
            Part::new(say.plain("digest-too-few"), &found.too_few, plain, say),
        ];
        let quiet = found.is_quiet().then(|| match words.yardstick {
            Yardstick::Reins => say.plain("digest-quiet-reins"),
            Yardstick::Days(_) | Yardstick::Nothing => say.plain("digest-quiet"),
        });
        Self {
            first: few.or(quiet),
            parts: parts
                .into_iter()
                .filter(|part| !part.names.is_empty())
                .collect(),
        }
    }
}

/// Draws the digest; gives the line that was pressed. `beside` says whether a line stands open.
pub(super) fn digest_ui(ui: &mut Ui, digested: &Digested, beside: bool) -> Option<WordId> {
    let most = MOST_NAMES[usize::from(beside)];
    let ink = theme::tokens(ui).ink_soft;
    let mut pressed = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        if let Some(first) = &digested.first {
            ui.label(RichText::new(first).color(ink));
        }
        for part in &digested.parts {
            ui.label(RichText::new(&part.head).font(theme::bold(13.5)));
            let shown = part.names.len().min(most);
            for (at, (exercise, name)) in part.names.iter().take(most).enumerate() {
                let comma = if at + 1 < shown { "," } else { "" };
                let name = RichText::new(format!("{name}{comma}")).size(13.5);
                if ui.link(name).clicked() {
                    pressed = Some(exercise.clone());
                }
            }
            if let Some(more) = &part.more[usize::from(beside)] {
                ui.label(RichText::new(more).size(13.5).color(ink));
            }
            ui.add_space(8.0);
        }
    });
    pressed
}
