//! Cards, tables and rows that the sections share.

use egui::{Align, FontId, Frame, Layout, Margin, RichText, Ui, WidgetInfo, pos2};

use crate::action::Action;
use crate::report::whole::drawn::{Lead, Leading};
use crate::rooms::progress::chart::leading_ui;
pub(super) use crate::rooms::progress::detail::soft;
use crate::rooms::progress::figure::Figures;
use crate::rooms::progress::{ProgressData, rows};
use crate::theme;
use crate::widgets::icon::{self, Icon};

/// A card with a heading.
pub(super) fn card(ui: &mut Ui, heading: &str, fill: impl FnOnce(&mut Ui)) {
    let tokens = theme::tokens(ui);
    Frame::new()
        .fill(tokens.raised)
        .corner_radius(8)
        .inner_margin(Margin::symmetric(14, 10))
        .outer_margin(Margin {
            bottom: 8,
            ..Margin::ZERO
        })
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            // Columns would justify the text.
            ui.with_layout(Layout::top_down(Align::Min), |ui| {
                self::heading(ui, heading);
                fill(ui);
            });
        });
}

/// A card with a heading; where there is nothing to show, a sentence that says so.
pub(super) fn section(
    ui: &mut Ui,
    heading: &str,
    nothing: Option<String>,
    fill: impl FnOnce(&mut Ui),
) {
    card(ui, heading, |ui| match nothing {
        Some(sentence) => {
            soft(ui, sentence);
        }
        None => fill(ui),
    });
}

/// A heading.
pub(super) fn heading(ui: &mut Ui, text: &str) {
    let ink = theme::tokens(ui).ink;
    ui.add_space(2.0);
    let label = ui.label(RichText::new(text).font(theme::bold(16.0)).color(ink));
    label.widget_info(|| WidgetInfo::labeled(egui::Role::Heading, true, text));
}

/// A button that shows the rest; true when it was pressed.
pub(super) fn more(ui: &mut Ui, text: String, full: &mut bool, all: usize, first: usize) {
    if !*full && all > first {
        *full = ui.button(text).clicked();
    }
}

/// Rows of what to be careful about that are shown at first.
const NOTICED: usize = 4;

/// Rides to be careful about, each a press from its moment, in as many lines as their words take.
pub(super) fn noticed(
    ui: &mut Ui,
    rides: &[(String, Lead)],
    full: &mut bool,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let many = if *full { rides.len() } else { NOTICED };
    let ink = theme::tokens(ui).caution;
    let width = ui.available_width() - 28.0;
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for (said, (ride, at)) in rides.iter().take(many) {
            let font = FontId::proportional(13.0);
            let galley = ui.painter().layout(said.clone(), font, ink, width);
            let (rect, response) = rows::row(ui, galley.size().y + 8.0, said, false);
            if ui.is_rect_visible(rect) {
                let sign = pos2(rect.left() + 11.0, rect.top() + 12.0);
                icon::paint(ui.painter(), Icon::Trouble, sign, 12.0, ink);
                let place = pos2(rect.left() + 24.0, rect.top() + 4.0);
                ui.painter().galley(place, galley, ink);
            }
            if response.clicked() {
                out.push(Action::OpenRide(*ride, *at));
            }
        }
    });
    let count = u32::try_from(rides.len()).unwrap_or(u32::MAX);
    let text = data.say.text("whole-show-all", &[("count", count.into())]);
    more(ui, text, full, rides.len(), NOTICED);
}

/// Height of a figure.
const FIGURE: f32 = 210.0;

/// A figure, where there is one; what is pressed in it opens the ride it leads to.
pub(super) fn figure(
    ui: &mut Ui,
    name: &str,
    leading: Option<&Leading>,
    figures: &mut Figures,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    if let Some(leading) = leading {
        let shown = (name, FIGURE);
        leading_ui(ui, leading, shown, figures.of(name), data.say, out);
    }
}
