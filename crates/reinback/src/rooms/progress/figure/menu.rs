//! Copying and saving a figure and its table.

use egui::{Popup, Ui};

use super::{FigureState, Shown};
use crate::action::{Action, FigureCopy, FigureFile, FigureShown, FigureStep};
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
    let (copy, save) = (FigureStep::Copy, FigureStep::Save);
    Popup::menu(&button).show(|ui| {
        for (step, name) in [
            (copy(FigureCopy::Picture), say.plain("figure-copy-picture")),
            (save(FigureFile::Png), say.plain("figure-save-png")),
            (save(FigureFile::Svg), say.plain("figure-save-svg")),
            (copy(FigureCopy::Table), say.plain("figure-copy-table")),
            (save(FigureFile::Csv), say.plain("figure-save-csv")),
        ] {
            if ui.button(name).clicked() {
                let figure = figure.without(&state.off(figure));
                let height = shown.height;
                let shown = Box::new(FigureShown { figure, height });
                out.push(Action::Figure(step, shown));
                ui.close();
            }
        }
    });
}
