//! The form of a new ride: its films, whose it is, and when.

use egui::{Button, ComboBox, RichText, ScrollArea, TextEdit, Ui, WidgetInfo};

use super::YardData;
use crate::action::Action;
use crate::app::RideDraft;
use crate::clock;
use crate::theme;

/// Draws the form.
pub(super) fn draft_ui(
    ui: &mut Ui,
    slot: &mut Option<RideDraft>,
    data: &YardData<'_>,
    out: &mut Vec<Action>,
) {
    let Some(draft) = slot else { return };
    let tokens = theme::tokens(ui);
    ui.label(RichText::new("New ride").font(theme::bold(19.0)));
    ScrollArea::vertical()
        .max_height(ui.available_height() * 0.5)
        .show(ui, |ui| {
            for (path, read) in &draft.films {
                let name = path.file_name().map_or_else(
                    || path.display().to_string(),
                    |n| n.to_string_lossy().into_owned(),
                );
                ui.add(egui::Label::new(RichText::new(name).font(theme::bold(14.0))).truncate())
                    .on_hover_text(path.display().to_string());
                match read {
                    None => {
                        ui.horizontal(|ui| {
                            ui.spinner();
                            ui.label("Reading…");
                        });
                    }
                    Some(Ok(film)) => {
                        let info = &film.info;
                        let length = clock::length(info.duration.0);
                        ui.label(
                            RichText::new(format!(
                                "{length}, {}×{}, {}",
                                info.width, info.height, info.codec
                            ))
                            .color(tokens.ink_soft),
                        );
                    }
                    Some(Err(error)) => {
                        ui.label(RichText::new(error.sentence()).color(tokens.fault));
                        ui.label(RichText::new(error.next_step()).color(tokens.ink_soft));
                    }
                }
                ui.add_space(4.0);
            }
        });
    ui.separator();
    horse_ui(ui, draft, data);
    ui.label("Day");
    let day = ui.add(TextEdit::singleline(&mut draft.date).desired_width(140.0));
    day.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, "Day"));
    draft.date_typed |= day.changed();
    ui.label("What it was");
    let title = ui.add(
        TextEdit::singleline(&mut draft.title)
            .hint_text("lesson, schooling, show…")
            .desired_width(f32::INFINITY),
    );
    title.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, "What it was"));
    ui.add_space(8.0);
    let obstacle = draft.obstacle();
    if let Some(why) = obstacle {
        ui.label(RichText::new(why).color(tokens.caution));
    }
    let mut close = false;
    ui.horizontal(|ui| {
        let make = Button::new(RichText::new("Make the ride").font(theme::bold(14.5)));
        if ui.add_enabled(obstacle.is_none(), make).clicked() {
            out.push(Action::CreateRide(Box::new(draft.clone())));
        }
        close = ui.button("Put away").clicked();
    });
    ui.label(
        RichText::new("The films stay where they are; nothing is copied or changed.")
            .small()
            .color(tokens.ink_soft),
    );
    if close {
        *slot = None;
    }
}

fn horse_ui(ui: &mut Ui, draft: &mut RideDraft, data: &YardData<'_>) {
    ui.label("Horse");
    let name = draft
        .horse
        .and_then(|id| data.yard.horse(id))
        .map_or("a new horse", |horse| &horse.name);
    let combo = ComboBox::from_id_salt("draft horse")
        .width(220.0)
        .selected_text(name.to_owned())
        .show_ui(ui, |ui| {
            for horse in &data.yard.horses {
                ui.selectable_value(&mut draft.horse, Some(horse.id), &horse.name);
            }
            ui.selectable_value(&mut draft.horse, None, "a new horse");
        });
    combo
        .response
        .widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, "Horse"));
    if draft.horse.is_none() {
        let field = ui.add(
            TextEdit::singleline(&mut draft.new_horse)
                .hint_text("its name")
                .desired_width(220.0),
        );
        field.widget_info(|| {
            WidgetInfo::labeled(egui::Role::TextInput, true, "Name of the new horse")
        });
    }
}
