//! The numbers in one breath over the lines, each name one press from its line.

use egui::{RichText, Ui};
use reinback_yard::WordId;

use super::words::Words;
use crate::report::digest::digest;
use crate::report::numbers::{Line, Measure, Numbers};
use crate::report::shown::Yardstick;
use crate::theme;

/// How many names one part of the digest has, and how many while a line stands open beside the list.
/// Our own choice, so that it is about one row.
const MOST_NAMES: [usize; 2] = [6, 3];

/// Draws the digest; gives the line that was pressed. `few` says why there is too little to compare,
/// `beside`, whether a line stands open.
pub(super) fn digest_ui(
    ui: &mut Ui,
    numbers: &Numbers,
    few: Option<String>,
    (words, beside): (Words<'_>, bool),
) -> Option<WordId> {
    let say = words.say;
    let found = digest(numbers, words.yardstick, words.measure);
    let most = MOST_NAMES[usize::from(beside)];
    let named = |lines: &[&Line]| -> Vec<(WordId, String)> {
        let each = lines.iter().take(most);
        each.map(|line| (line.exercise.clone(), say.exercise(&line.name).into_owned()))
            .collect()
    };
    let sided = found.one_sided.iter().take(most);
    let sided = sided.map(|(line, rein)| (line.exercise.clone(), say.weaker_on(line, *rein)));
    let parts = [
        (
            say.plain("digest-worse"),
            found.worse.len(),
            named(&found.worse),
        ),
        (
            match words.measure {
                Measure::Attempts => say.plain("digest-one-sided"),
                // Reins are told apart by their attempts, whatever else is counted.
                Measure::Faults => say.plain("digest-one-sided-attempts"),
            },
            found.one_sided.len(),
            sided.collect(),
        ),
        (
            say.plain("digest-better"),
            found.better.len(),
            named(&found.better),
        ),
        (
            say.plain("digest-too-few"),
            found.too_few.len(),
            named(&found.too_few),
        ),
    ];
    let ink = theme::tokens(ui).ink_soft;
    let mut pressed = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        let quiet = found.is_quiet().then(|| match words.yardstick {
            Yardstick::Reins => say.plain("digest-quiet-reins"),
            Yardstick::Days(_) | Yardstick::Nothing => say.plain("digest-quiet"),
        });
        if let Some(quiet) = few.or(quiet) {
            ui.label(RichText::new(quiet).color(ink));
        }
        for (head, many, names) in parts.into_iter().filter(|(_, many, _)| *many > 0) {
            ui.label(RichText::new(head).font(theme::bold(13.5)));
            let shown = names.len();
            let more = many.saturating_sub(shown);
            for (at, (exercise, mut name)) in names.into_iter().enumerate() {
                if at + 1 < shown {
                    name.push(',');
                }
                if ui.link(RichText::new(name).size(13.5)).clicked() {
                    pressed = Some(exercise);
                }
            }
            if more > 0 {
                let text = say.text("digest-more", &[("more", more.into())]);
                ui.label(RichText::new(text).size(13.5).color(ink));
            }
            ui.add_space(8.0);
        }
    });
    pressed
}
