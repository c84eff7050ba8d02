//! The switches over the pictures: which of the moments are to be shown.

use egui::{Button, RichText, Ui, WidgetInfo, vec2};
use reinback_yard::Rein;

use super::choice::{Choice, has_both_reins, kinds};
use super::wall_ui::Group;
use crate::report::moments::Moments;
use crate::said::{Earlier, Say};

/// Letters of a switch, at most.
const LONGEST_CHIP: usize = 34;

/// Draws them, where there is a choice: over the moments that are shown, and whether those of the
/// days compared with are.
pub(super) fn choice_ui(
    ui: &mut Ui,
    choice: &mut Choice,
    (shown, before): (&[Group<'_>], Option<(Earlier, usize)>),
    say: &Say,
) {
    let lists: Vec<&Moments> = shown.iter().map(|group| group.moments).collect();
    let kinds = kinds(&lists);
    let reins = has_both_reins(&lists);
    let clean: u32 = shown.iter().map(Group::clean).sum();
    let faulty = lists.iter().any(|own| !own.faults.is_empty());
    if kinds.len() < 2 && !reins && clean == 0 && before.is_none() {
        return;
    }
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 4.0);
        ui.horizontal_wrapped(|ui| {
            if kinds.len() > 1 {
                for (name, count) in kinds {
                    let fault = say.fault(name).into_owned();
                    let text = say.text(
                        "only-fault",
                        &[("fault", fault.into()), ("times", count.into())],
                    );
                    if chip(ui, &text, choice.faults.contains(name)) {
                        choice.turn_fault(name);
                    }
                }
            }
            for (rein, text) in [
                (Rein::Left, say.plain("only-left")),
                (Rein::Right, say.plain("only-right")),
            ] {
                let here = choice.rein == Some(rein);
                if reins && chip(ui, &text, here) {
                    choice.rein = (!here).then_some(rein);
                }
            }
            if clean > 0 && faulty {
                let here = lists.iter().all(|own| choice.shows_clean(own));
                let text = say.text("clean-too", &[("attempts", clean.into())]);
                if chip(ui, &text, here) {
                    choice.clean = Some(!here);
                }
            }
            if let Some((earlier, many)) = before {
                let many = u32::try_from(many).unwrap_or(u32::MAX);
                let earlier = say.earlier(earlier);
                let text = say.text(
                    "before-too",
                    &[("earlier", earlier.into()), ("moments", many.into())],
                );
                if chip(ui, &text, choice.before) {
                    choice.before = !choice.before;
                }
            }
        });
    });
    ui.add_space(2.0);
}

/// A small switch; true when it was pressed.
fn chip(ui: &mut Ui, text: &str, on: bool) -> bool {
    let short = shortened(text);
    let button = Button::selectable(on, RichText::new(&short).size(13.0));
    let button = ui.add(button.frame_when_inactive(true));
    button.widget_info(|| WidgetInfo::selected(egui::Role::CheckBox, true, on, text));
    let button = if short == text {
        button
    } else {
        button.on_hover_text(text)
    };
    button.clicked()
}

/// A text without its middle where it is very long: beginning and end tell most.
fn shortened(text: &str) -> String {
    let signs: Vec<char> = text.chars().collect();
    if signs.len() <= LONGEST_CHIP {
        return text.to_owned();
    }
    let (front, back) = (LONGEST_CHIP - 8, 7);
    let front = signs.iter().take(front);
    let back = signs.iter().skip(signs.len() - back);
    front.chain(std::iter::once(&'…')).chain(back).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_names_are_cut_in_their_middle() {
        assert_eq!(shortened("quarters trailing 4"), "quarters trailing 4");
        let long = format!("{} 17", "ä".repeat(200));
        let cut = shortened(&long);
        assert_eq!(cut.chars().count(), LONGEST_CHIP);
        assert!(cut.starts_with("ää") && cut.ends_with("ä 17"), "{cut}");
    }
}
