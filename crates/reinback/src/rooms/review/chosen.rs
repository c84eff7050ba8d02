//! What can be done with what is chosen, in a row above the list.

use egui::{Button, RichText, Ui};

use super::{ReviewData, ReviewView};
use crate::action::{Action, Chosen};
use crate::command::Command;
use crate::theme;
use crate::widgets::{Icon, icon_button};

/// Draws the row, where anything is chosen.
pub(super) fn chosen_ui(
    ui: &mut Ui,
    view: &ReviewView,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let Some(chosen) = view.chosen else { return };
    let count = view.selection.all().len();
    let commands: &[Command] = match chosen {
        _ if count > 1 => &[Command::ToggleReviewed, Command::Remove],
        Chosen::Tempo(_) => &[Command::Remove],
        Chosen::Mark(_) | Chosen::Tap(..) => &[Command::SetToFrame, Command::Remove],
        Chosen::Bout(_) | Chosen::Pace(_) | Chosen::Outline(_) => {
            &[Command::StartHere, Command::EndHere, Command::Remove]
        }
    };
    ui.horizontal_wrapped(|ui| {
        if count > 1 {
            let text = RichText::new(format!("{count} chosen")).small();
            ui.label(text.color(theme::tokens(ui).ink_soft));
        }
        for command in commands {
            let button = Button::new(RichText::new(command.text()).size(13.0));
            let response = ui.add_enabled(data.writable, button);
            let tip = command.tip_with_key(ui.ctx());
            if response.on_hover_text(tip).clicked() {
                out.push(Action::Run(*command));
            }
        }
        if icon_button(ui, Icon::Close, "Choose none", true).clicked() {
            out.push(Action::Choose(None));
        }
    });
}
