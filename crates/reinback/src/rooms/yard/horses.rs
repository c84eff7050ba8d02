//! The horses of the yard, down the left side.

use egui::{Button, RichText, ScrollArea, Sense, TextEdit, Ui, WidgetInfo, vec2};
use reinback_yard::{Edit, Horse, HorseId};

use super::rows::Ridden;
use super::{YardData, YardView};
use crate::action::Action;
use crate::command::Command;
use crate::counted::counted;
use crate::theme;

/// A horse being added or changed.
#[derive(Clone, Debug)]
pub(super) struct HorseDraft {
    horse: Option<HorseId>,
    name: String,
    foaled: String,
    stage: String,
    notes: String,
}

impl HorseDraft {
    fn new() -> Self {
        Self {
            horse: None,
            name: String::new(),
            foaled: String::new(),
            stage: String::new(),
            notes: String::new(),
        }
    }

    fn of(horse: &Horse) -> Self {
        Self {
            horse: Some(horse.id),
            name: horse.name.clone(),
            foaled: horse
                .foaled
                .map_or_else(String::new, |year| year.to_string()),
            stage: horse.stage.clone(),
            notes: horse.notes.clone(),
        }
    }

    fn year(&self) -> Result<Option<i32>, &'static str> {
        match self.foaled.trim() {
            "" => Ok(None),
            text => match text.parse() {
                Ok(year @ 1950..=2200) => Ok(Some(year)),
                _ => Err("The year is written with four digits"),
            },
        }
    }
}

/// Draws the horses; choosing one filters the rides.
pub(super) fn horses_ui(
    ui: &mut Ui,
    view: &mut YardView,
    data: &YardData<'_>,
    out: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        ui.label(RichText::new("Horses").font(theme::bold(19.0)));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui
                .add_enabled(data.writable, Button::new("Add a horse"))
                .clicked()
            {
                view.editing = Some(HorseDraft::new());
            }
            let words = Button::new("Words…");
            if ui
                .add_enabled(data.writable, words)
                .on_hover_text(Command::Words.tip())
                .clicked()
            {
                out.push(Action::Run(Command::Words));
            }
        });
    });
    if view.editing.is_some() {
        form_ui(ui, &mut view.editing, out);
        ui.separator();
    }
    ScrollArea::vertical()
        .auto_shrink([false, false])
        .show(ui, |ui| {
            if data.yard.horses.is_empty() {
                let text =
                    "No horse yet. Add one, or make a ride from a film and name the horse there.";
                ui.label(RichText::new(text).color(theme::tokens(ui).ink_soft));
            } else if card(ui, view.horse.is_none(), "All horses", &all_rides(data), "").clicked() {
                view.horse = None;
            }
            for horse in &data.yard.horses {
                horse_ui(ui, horse, view, data, out);
            }
        });
}

fn all_rides(data: &YardData<'_>) -> String {
    if let Some(reading) = data.reading {
        let progress = reading.progress;
        return format!("{} of {} rides read", progress.done, progress.total);
    }
    match data.yard.rides.len() {
        1 => "1 ride".into(),
        n => format!("{n} rides"),
    }
}

fn horse_ui(
    ui: &mut Ui,
    horse: &Horse,
    view: &mut YardView,
    data: &YardData<'_>,
    out: &mut Vec<Action>,
) {
    let here = view.horse == Some(horse.id);
    let age = horse.age_on(data.today).map(|age| {
        if age == 1 {
            "1 year".into()
        } else {
            format!("{age} years")
        }
    });
    let about: Vec<String> = age
        .into_iter()
        .chain((!horse.stage.is_empty()).then(|| horse.stage.clone()))
        .collect();
    let ridden = ridden(view.sums.ridden(horse.id, data), data);
    let response = card(ui, here, &horse.name, &about.join(", "), &ridden);
    if response.clicked() {
        view.horse = if here { None } else { Some(horse.id) };
    }
    if here {
        ui.horizontal(|ui| {
            if ui
                .add_enabled(data.reading.is_none(), Button::new("Progress"))
                .on_hover_text("Fault rates and trends of this horse")
                .on_disabled_hover_text("Once all rides are read")
                .clicked()
            {
                out.push(Action::ShowProgress(horse.id));
            }
            if ui
                .add_enabled(data.writable, Button::new("New ride…"))
                .clicked()
            {
                out.push(Action::ChooseFilms(Some(horse.id)));
            }
            if ui
                .add_enabled(data.writable, Button::new("Change"))
                .clicked()
            {
                view.editing = Some(HorseDraft::of(horse));
            }
        });
        if !horse.notes.is_empty() {
            ui.label(RichText::new(&horse.notes).color(theme::tokens(ui).ink_soft));
        }
        ui.add_space(4.0);
    }
}

fn ridden(ridden: Option<Ridden>, data: &YardData<'_>) -> String {
    let Some(Ridden { rides, last }) = ridden else {
        let none = if data.reading.is_some() {
            "no ride read yet"
        } else {
            "no ride yet"
        };
        return none.to_owned();
    };
    let ago = match (data.today - last).num_days() {
        0 => "today".to_owned(),
        1 => "yesterday".to_owned(),
        days @ 2..=13 => format!("{days} days ago"),
        _ => last.format("%-d %b %Y").to_string(),
    };
    let rides = counted(u32::try_from(rides).unwrap_or(u32::MAX), "ride", "rides");
    if data.reading.is_some() {
        format!("{rides} read so far")
    } else {
        format!("{rides}, last {ago}")
    }
}

fn card(ui: &mut Ui, chosen: bool, name: &str, about: &str, more: &str) -> egui::Response {
    let tokens = theme::tokens(ui);
    let lines = [about, more].iter().filter(|line| !line.is_empty()).count();
    let height = 34.0 + 18.0 * lines as f32;
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::click());
    response.widget_info(|| {
        WidgetInfo::selected(
            egui::Role::Button,
            true,
            chosen,
            format!("{name}, {about}, {more}"),
        )
    });
    if ui.is_rect_visible(rect) {
        let fill = if chosen {
            tokens.chosen
        } else if response.hovered() || response.has_focus() {
            tokens.button_hover
        } else {
            tokens.ground
        };
        let painter = ui.painter();
        painter.rect(
            rect,
            8.0,
            fill,
            egui::Stroke::new(1.0, tokens.line),
            egui::StrokeKind::Inside,
        );
        let width = rect.width() - 24.0;
        let mut y = rect.top() + 8.0;
        let texts = [
            (name, theme::bold(15.5), tokens.ink),
            (about, egui::FontId::proportional(13.0), tokens.ink_soft),
            (more, egui::FontId::proportional(13.0), tokens.ink_soft),
        ];
        for (text, font, ink) in texts {
            if text.is_empty() {
                continue;
            }
            let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, ink);
            job.wrap = egui::text::TextWrapping::truncate_at_width(width);
            let galley = painter.layout_job(job);
            let height = galley.size().y;
            painter.galley(egui::pos2(rect.left() + 12.0, y), galley, ink);
            y += height + 1.0;
        }
    }
    response
}

fn form_ui(ui: &mut Ui, editing: &mut Option<HorseDraft>, out: &mut Vec<Action>) {
    let Some(draft) = editing else { return };
    let field = |ui: &mut Ui, name: &str, text: &mut String, hint: &str| {
        ui.label(name);
        let response = ui.add(
            TextEdit::singleline(text)
                .hint_text(hint)
                .desired_width(f32::INFINITY),
        );
        response.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, name));
    };
    field(ui, "Name", &mut draft.name, "");
    field(ui, "Foaled in", &mut draft.foaled, "year, such as 2017");
    field(
        ui,
        "Stage of training",
        &mut draft.stage,
        "such as Prix St Georges",
    );
    field(ui, "Notes", &mut draft.notes, "");
    let year = draft.year();
    if let Err(why) = year {
        ui.label(RichText::new(why).color(theme::tokens(ui).caution));
    }
    let ready = !draft.name.trim().is_empty() && year.is_ok();
    let mut close = false;
    ui.horizontal(|ui| {
        if ui.add_enabled(ready, Button::new("Keep")).clicked() {
            out.push(Action::KeepHorse {
                horse: draft.horse,
                name: draft.name.trim().to_owned(),
                foaled: year.ok().flatten(),
                stage: draft.stage.trim().to_owned(),
                notes: draft.notes.trim().to_owned(),
            });
            close = true;
        }
        close |= ui.button("Put away").clicked();
        if let Some(id) = draft.horse
            && ui
                .button("Remove")
                .on_hover_text("Only a horse without rides can be removed")
                .clicked()
        {
            out.push(Action::Edit("remove horse".into(), Edit::Horse(id, None)));
            close = true;
        }
    });
    if close {
        *editing = None;
    }
}
