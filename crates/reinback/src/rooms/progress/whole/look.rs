//! What stands in the way of right numbers, each a click from its ride.

use egui::{FontId, RichText, Ui, pos2};

use super::{lead_in, parts};
use crate::action::Action;
use crate::clock;
use crate::report::whole::Whole;
use crate::report::whole::look::Look;
use crate::rooms::progress::{ProgressData, rows};
use crate::theme;
use crate::widgets::icon::{self, Icon};

const FIRST: usize = 5;

/// Draws the list; nothing where all is well.
pub(super) fn look_ui(
    ui: &mut Ui,
    whole: &Whole,
    full: &mut bool,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    if whole.look.is_empty() {
        return;
    }
    parts::card(ui, &data.say.plain("look-heading"), |ui| {
        let many = if *full { whole.look.len() } else { FIRST };
        ui.scope(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            for look in whole.look.iter().take(many) {
                row_ui(ui, look, data, out);
            }
        });
        let count = u32::try_from(whole.look.len()).unwrap_or(u32::MAX);
        let text = data.say.text("whole-show-all", &[("count", count.into())]);
        parts::more(ui, text, full, whole.look.len(), FIRST);
    });
}

fn row_ui(ui: &mut Ui, look: &Look, data: &ProgressData<'_>, out: &mut Vec<Action>) {
    let tokens = theme::tokens(ui);
    let what = data.say.look(&look.what, &data.yard.words);
    let Some((leads_to, day, at)) = look.at else {
        ui.label(RichText::new(what).size(13.5));
        return;
    };
    let mut place = data.say.day(day);
    if let Some(at) = at {
        place.push(' ');
        place.push_str(&clock::short(at));
    }
    let spoken = data.say.text(
        "look-row",
        &[
            ("where", place.as_str().into()),
            ("what", what.as_str().into()),
        ],
    );
    let (rect, response) = rows::row(ui, 26.0, &spoken, false);
    if ui.is_rect_visible(rect) {
        let middle = rect.center().y;
        let sign = pos2(rect.left() + 12.0, middle);
        icon::paint(ui.painter(), Icon::Trouble, sign, 13.0, tokens.caution);
        let small = FontId::proportional(12.5);
        let left = rect.left() + 28.0;
        rows::text(
            ui,
            pos2(left, middle),
            left + 132.0,
            &place,
            small,
            tokens.ink_soft,
        );
        let font = FontId::proportional(13.5);
        let from = pos2(left + 136.0, middle);
        rows::text(ui, from, rect.right() - 6.0, &what, font, tokens.ink);
    }
    let opens = data
        .say
        .text("whole-open", &[("day", data.say.day(day).into())]);
    if response.on_hover_text(format!("{what}\n{opens}")).clicked() {
        out.push(Action::OpenRide(leads_to, at.map(lead_in)));
    }
}
