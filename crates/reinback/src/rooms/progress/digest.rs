//! The numbers in one breath over the lines, each name one press from its line.

use egui::{RichText, Ui};
use reinback_yard::WordId;

use crate::report::digest::digest;
use crate::report::numbers::{Line, Numbers};
use crate::said::Say;
use crate::theme;

/// How many names one part of the digest has. Our own choice: two rows of them at the most.
const MOST_NAMES: usize = 6;

/// Draws the digest; gives the line that was pressed. `held` says whether the lines are held
/// against anything, so that nothing clear may be found; `few`, why there is too little to compare.
pub(super) fn digest_ui(
    ui: &mut Ui,
    numbers: &Numbers,
    (held, few): (bool, Option<String>),
    say: &Say,
) -> Option<WordId> {
    let found = digest(numbers);
    let named = |lines: &[&Line]| -> Vec<(WordId, String)> {
        let each = lines.iter();
        each.map(|line| (line.exercise.clone(), say.exercise(&line.name).into_owned()))
            .collect()
    };
    let sided = found.one_sided.iter();
    let sided = sided.map(|(line, rein)| (line.exercise.clone(), say.weaker_on(line, *rein)));
    let parts = [
        (say.plain("digest-worse"), named(&found.worse)),
        (say.plain("digest-one-sided"), sided.collect()),
        (say.plain("digest-better"), named(&found.better)),
        (say.plain("digest-too-few"), named(&found.too_few)),
    ];
    let ink = theme::tokens(ui).ink_soft;
    let mut pressed = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        let quiet = (held && found.is_quiet()).then(|| say.plain("digest-quiet"));
        if let Some(quiet) = few.or(quiet) {
            ui.label(RichText::new(quiet).color(ink));
        }
        for (head, names) in parts.into_iter().filter(|(_, names)| !names.is_empty()) {
            ui.label(RichText::new(head).font(theme::bold(13.5)));
            let more = names.len().saturating_sub(MOST_NAMES);
            let shown = names.len() - more;
            for (at, (exercise, mut name)) in names.into_iter().take(MOST_NAMES).enumerate() {
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
