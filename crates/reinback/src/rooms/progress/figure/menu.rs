//! Copying and saving a figure and its table.

use egui::{Popup, Ui};

use super::{FigureState, Shown};
use crate::action::{Action, FigureOrder, FigureStep};
use crate::figure::Figure;
use crate::said::Say;
use crate::widgets::icon::{Icon, icon_button};

/// A button that opens the menu. What is switched off is not in the picture.
pub(super) fn menu_ui(
    ui: &mut Ui,
    figure: &Figure,
    shown: Shown<'_>,
    state: &FigureState,
    say: &Say,
    out: &mut Vec<Action>,
) {
    let name = say.text("figure-menu", &[("figure", figure.title.as_str().into())]);
    let button = icon_button(ui, Icon::Export, &name, true);
    Popup::menu(&button).show(|ui| {
        for (step, name) in [
            (FigureStep::CopyPicture, say.plain("figure-copy-picture")),
            (FigureStep::SavePng, say.plain("figure-save-png")),
            (FigureStep::SaveSvg, say.plain("figure-save-svg")),
            (FigureStep::CopyTable, say.plain("figure-copy-table")),
            (FigureStep::SaveCsv, say.plain("figure-save-csv")),
        ] {
            if ui.button(name).clicked() {
                let figure = figure.without(&state.off(figure));
                let height = shown.height;
                out.push(Action::Figure(Box::new(FigureOrder {
                    step,
                    figure,
                    height,
                })));
                ui.close();
            }
        }
    });
}
