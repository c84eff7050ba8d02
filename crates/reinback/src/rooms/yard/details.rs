//! What is known of a ride, to be corrected: whose, when, what it was.

use chrono::NaiveDate;
use egui::{Button, ComboBox, RichText, TextEdit, Ui, WidgetInfo};
use reinback_yard::{Edit, HorseId, Ride, RideHead, RideId};

use super::YardData;
use crate::action::Action;
use crate::theme;

/// A ride's details being changed.
#[derive(Clone, Debug)]
pub(super) struct Details {
    ride: RideId,
    horse: HorseId,
    date: String,
    title: String,
    notes: String,
}

impl Details {
    /// Those of a ride.
    pub(super) fn of(ride: &Ride) -> Self {
        let head = &ride.head;
        Self {
            ride: ride.id,
            horse: head.horse,
            date: head.date.format("%Y-%m-%d").to_string(),
            title: head.title.clone(),
            notes: head.notes.clone(),
        }
    }

    fn day(&self) -> Option<NaiveDate> {
        NaiveDate::parse_from_str(self.date.trim(), "%Y-%m-%d").ok()
    }

    /// The ride's head as written, if the day is one.
    fn changed(&self, head: &RideHead) -> Option<RideHead> {
        Some(RideHead {
            horse: self.horse,
            date: self.day()?,
            title: self.title.trim().to_owned(),
            notes: self.notes.trim().to_owned(),
            ..head.clone()
        })
    }
}

/// Draws the form.
pub(super) fn details_ui(
    ui: &mut Ui,
    slot: &mut Option<Details>,
    data: &YardData<'_>,
    out: &mut Vec<Action>,
) {
    let Some(details) = slot else { return };
    let Some(ride) = data.yard.ride(details.ride) else {
        *slot = None;
        return;
    };
    ui.label(RichText::new("This ride").font(theme::bold(19.0)));
    ui.label("Horse");
    let name = data
        .yard
        .horse(details.horse)
        .map_or("a horse", |horse| &horse.name)
        .to_owned();
    let combo = ComboBox::from_id_salt("ride's horse")
        .width(220.0)
        .selected_text(name)
        .show_ui(ui, |ui| {
            for horse in &data.yard.horses {
                ui.selectable_value(&mut details.horse, horse.id, &horse.name);
            }
        });
    combo
        .response
        .widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, "Horse"));
    field(
        ui,
        "Day",
        TextEdit::singleline(&mut details.date).desired_width(140.0),
    );
    field(
        ui,
        "What it was",
        TextEdit::singleline(&mut details.title)
            .hint_text("lesson, schooling, show…")
            .desired_width(f32::INFINITY),
    );
    field(
        ui,
        "Notes",
        TextEdit::multiline(&mut details.notes)
            .desired_rows(5)
            .desired_width(f32::INFINITY),
    );
    let changed = details.changed(&ride.head);
    if changed.is_none() {
        let text = "The day is written as year-month-day, such as 2026-03-21";
        ui.label(RichText::new(text).color(theme::tokens(ui).caution));
    }
    ui.add_space(8.0);
    let mut close = false;
    ui.horizontal(|ui| {
        let keep = Button::new(RichText::new("Keep").font(theme::bold(14.5)));
        if ui.add_enabled(changed.is_some(), keep).clicked() {
            if let Some(head) = changed.filter(|head| *head != ride.head) {
                let edit = Edit::RideHead(ride.id, Box::new(head));
                out.push(Action::Edit("change the ride's details".into(), edit));
            }
            close = true;
        }
        close |= ui.button("Put away").clicked();
    });
    if close {
        *slot = None;
    }
}

fn field(ui: &mut Ui, name: &str, field: TextEdit<'_>) {
    ui.label(name);
    ui.add(field)
        .widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, name));
}
