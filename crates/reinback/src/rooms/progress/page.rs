//! The foot of the room: the caution that always stands there, and the room exported as a page.

use chrono::NaiveDate;
use egui::{Align, Layout, RichText, Ui};
use reinback_yard::{HorseId, Yard};

use super::{Page, ProgressView, horse_of_newest_ride, is_there};
use crate::action::Action;
use crate::command::Command;
use crate::report::html::{STILLS, Wish};
use crate::report::numbers::Whose;
use crate::report::parquet::Naming;
use crate::said::Say;
use crate::theme;

/// Draws the foot.
pub(super) fn foot_ui(ui: &mut Ui, say: &Say, out: &mut Vec<Action>) {
    let soft = theme::tokens(ui).ink_soft;
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        let button = ui.button(say.plain("report-export"));
        let tip = Command::ExportPage.tip_with_key(ui.ctx());
        if button.on_hover_text(tip).clicked() {
            out.push(Action::Run(Command::ExportPage));
        }
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            let caution = RichText::new(say.caution()).small().color(soft);
            ui.add(egui::Label::new(caution).wrap());
        });
    });
}

impl ProgressView {
    /// What the room shows, as a page is asked for; nothing where there is no horse or the days
    /// cannot be read.
    #[must_use]
    pub fn wish_page(&self, yard: &Yard, today: NaiveDate) -> Option<Wish> {
        let shown = self.whose.filter(|whose| is_there(*whose, yard));
        let horses: Vec<HorseId> = match shown {
            Some(Whose::One(horse)) => vec![horse],
            Some(Whose::All) => yard.horses.iter().map(|horse| horse.id).collect(),
            None => vec![horse_of_newest_ride(yard)?],
        };
        // On the page of all horses each is looked at by itself, as its row is.
        let each = shown != Some(Whose::All) || self.page_of_all == Page::Horses;
        let asked = self.choice.asked(today).ok()?;
        Some(Wish {
            horses,
            together: !each,
            shown: self.shown(),
            asked,
            reins: self.reins(),
            today,
            naming: Naming::Named,
            stills: STILLS,
            // Which of them are of the days of a horse is the page's to find: they may not be these.
            chosen: self.marked(),
        })
    }
}
