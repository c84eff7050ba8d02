//! What stands in the place of the lines where there are none, and what to do next.

use chrono::NaiveDate;
use egui::{RichText, Ui};
use reinback_yard::RideId;

use super::{ProgressData, ProgressView};
use crate::action::Action;
use crate::command::Command;
use crate::report::numbers::Whose;
use crate::report::period::{Choice, Span};
use crate::said::Say;
use crate::theme;

/// Nobody to ask about.
pub(super) fn no_horse_ui(ui: &mut Ui, say: &Say, out: &mut Vec<Action>) {
    let (head, next) = (
        say.plain("empty-no-horse"),
        say.plain("empty-no-horse-next"),
    );
    if empty_ui(ui, &head, &next, &say.plain("to-the-yard")) {
        out.push(Action::Run(Command::ToYard));
    }
}

/// Another horse was chosen while the typed days make no sense.
pub(super) fn unreadable_days_ui(
    ui: &mut Ui,
    view: &mut ProgressView,
    data: &ProgressData<'_>,
    why: &str,
) {
    let offer = Span::ThreeMonths;
    let head = data.say.plain("empty-days");
    if empty_ui(ui, &head, why, &show(data, offer)) {
        view.choose_span(offer, data.today);
    }
}

/// A horse without a counted exercise in these days, with so many rides in them and with its
/// newest ride of all days.
pub(super) fn nothing_ui(
    ui: &mut Ui,
    view: &mut ProgressView,
    (rides, newest): (usize, Option<(NaiveDate, RideId)>),
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let Some(whose) = view.whose else { return };
    let say = data.say;
    let name = match whose {
        // As it follows "of": in German another case than where it stands alone.
        Whose::One(horse) => match data.yard.horse(horse) {
            Some(horse) => horse.name.clone(),
            None => say.plain("this-horse"),
        },
        Whose::All => say.plain("the-horses"),
    };
    let Some((day, newest)) = newest else {
        let head = say.text("empty-no-ride", &[("horse", name.into())]);
        let next = say.plain("empty-no-ride-next");
        if empty_ui(ui, &head, &next, &say.plain("new-ride")) {
            out.push(Action::ChooseFilms(whose.horse()));
        }
        return;
    };
    if rides > 0 {
        let head = say.text("empty-nothing-counts", &[("horse", name.into())]);
        let next = say.plain("empty-nothing-counts-next");
        if empty_ui(ui, &head, &next, &say.plain("open-newest")) {
            out.push(Action::OpenRide(newest, None));
        }
        return;
    }
    let holds = |span: &Span| {
        let choice = Choice {
            span: *span,
            ..Choice::default()
        };
        let days = choice.days(data.today);
        days.is_ok_and(|days| days.hold(day))
    };
    let mut offers = [Span::FourWeeks, Span::Month(0), Span::ThreeMonths].into_iter();
    let offer = offers.find(holds).unwrap_or(Span::Everything);
    let head = say.text("empty-not-in-days", &[("horse", name.into())]);
    let day = say.day_in_full(day);
    let last = say.text("newest-ride", &[("day", day.into())]);
    if empty_ui(ui, &head, &last, &show(data, offer)) {
        view.choose_span(offer, data.today);
    }
}

/// On a button that offers other days.
fn show(data: &ProgressData<'_>, span: Span) -> String {
    let name = data.say.span(span, data.today);
    data.say.text("show-period", &[("period", name.into())])
}

/// A heading, what to do next, and a button for it; true when that was pressed.
fn empty_ui(ui: &mut Ui, head: &str, next: &str, button: &str) -> bool {
    let tokens = theme::tokens(ui);
    let mut pressed = false;
    ui.vertical_centered(|ui| {
        ui.add_space(ui.available_height() * 0.3);
        ui.label(RichText::new(head).font(theme::bold(18.0)));
        ui.label(RichText::new(next).color(tokens.ink_soft));
        ui.add_space(8.0);
        pressed = ui.button(button).clicked();
    });
    pressed
}
