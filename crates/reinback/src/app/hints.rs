//! The line of the hint, below the room: it covers nothing.

use egui::{Align, Frame, Layout, Margin, Panel, RichText, Ui};

use super::App;
use crate::hints::{self, Here, Hint};
use crate::keys;
use crate::theme;
use crate::widgets::icon::{self, Icon};

impl App {
    pub(super) fn hint_ui(&mut self, ui: &mut Ui) {
        let Some(hint) = self.hint() else { return };
        let tokens = theme::tokens(ui);
        let frame = Frame::new()
            .fill(tokens.chosen)
            .inner_margin(Margin::symmetric(14, 5));
        let mut put_away = false;
        Panel::bottom("hint").frame(frame).show(ui, |ui| {
            ui.horizontal(|ui| {
                let (_, place) = ui.allocate_space(egui::vec2(18.0, 18.0));
                icon::paint(
                    ui.painter(),
                    Icon::Horseshoe,
                    place.center(),
                    14.0,
                    tokens.leather,
                );
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    let button = ui.button("Got it");
                    put_away = button.on_hover_text("Puts this hint away").clicked();
                    ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                        let text = keys::map(ui.ctx()).in_text(hint.text(), ui.ctx());
                        ui.add(egui::Label::new(RichText::new(text).color(tokens.ink)).truncate());
                    });
                });
            });
        });
        if put_away {
            self.prefs.hints_gone.insert(hint.name().to_owned());
        }
    }

    fn hint(&self) -> Option<Hint> {
        let open = self.open.as_ref()?;
        let here = Here {
            room: self.room,
            writable: open.writable(),
            has_rides: !open.document.yard().rides.is_empty(),
            in_bout: self
                .marking()
                .is_some_and(|marking| marking.current().is_some()),
        };
        hints::due(&self.prefs.hints_gone, here)
    }

    /// A hint is gone once the rider has done the thing.
    pub(super) fn hints_done(&mut self, done: &[Hint]) {
        let names = done.iter().map(|hint| hint.name().to_owned());
        self.prefs.hints_gone.extend(names);
    }
}
