//! The page of words.

use egui::{
    Align, Button, Checkbox, DragValue, Grid, Layout, RichText, ScrollArea, TextEdit, Ui,
    WidgetInfo, vec2,
};

use super::{ExerciseDraft, Shown, WordDraft, WordsDraft};
use crate::keys::OUTLINES;
use crate::rooms::review::KEYS;
use crate::theme;

/// What the page asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// The words as they are now, kept.
    Keep,
    /// Everything as it was.
    PutAway,
}

/// Width of a word's field.
const FIELD: f32 = 230.0;
/// Width of the list on the left.
const LIST: f32 = 250.0;

/// Draws the page in so much height.
pub fn words_ui(ui: &mut Ui, draft: &mut WordsDraft, height: f32) -> Option<Asked> {
    let soft = theme::tokens(ui).ink_soft;
    ui.label(
        RichText::new(
            "The words of this yard. A new name changes every ride that uses the word; a word that \
             is removed stays in its rides, spelled out.",
        )
        .color(soft),
    );
    ui.add_space(4.0);
    let height = height - 110.0;
    let (room, side_by_side) = (
        vec2(ui.available_width(), height),
        Layout::left_to_right(Align::Min),
    );
    ui.allocate_ui_with_layout(room, side_by_side, |ui| {
        ui.vertical(|ui| {
            ui.set_width(LIST);
            list_ui(ui, draft, height);
        });
        ui.separator();
        ui.vertical(|ui| {
            ui.set_width(ui.available_width());
            ScrollArea::vertical()
                .id_salt("word")
                .max_height(height)
                .auto_shrink([false, false])
                .show(ui, |ui| shown_ui(ui, draft));
        });
    });
    ui.add_space(6.0);
    foot_ui(ui, draft)
}

fn list_ui(ui: &mut Ui, draft: &mut WordsDraft, height: f32) {
    let search = TextEdit::singleline(&mut draft.search)
        .hint_text("Look for an exercise")
        .desired_width(f32::INFINITY);
    named(&ui.add(search), "Look for a word");
    for (shown, text) in [
        (Shown::GeneralFaults, "Faults of any exercise"),
        (Shown::Outlines, "Outlines"),
    ] {
        if ui.selectable_label(draft.shown == shown, text).clicked() {
            draft.shown = shown;
        }
    }
    let wanted = draft.search.to_lowercase();
    ScrollArea::vertical()
        .id_salt("words")
        .max_height(height - 116.0)
        .auto_shrink([false, false])
        .show(ui, |ui| {
            let mut family = "";
            for (place, own) in draft.exercises.iter().enumerate() {
                let exercise = &own.exercise;
                let fits = exercise.name.to_lowercase().contains(&wanted)
                    || exercise.short.starts_with(&wanted);
                if !fits {
                    continue;
                }
                if exercise.family != family {
                    family = &exercise.family;
                    let ink = theme::tokens(ui).ink_soft;
                    ui.label(RichText::new(family).small().color(ink));
                }
                let name = if exercise.name.is_empty() {
                    "new exercise"
                } else {
                    &exercise.name
                };
                let text = format!("{}   {name}", exercise.short);
                let chosen = draft.shown == Shown::Exercise(place);
                if ui.selectable_label(chosen, text).clicked() {
                    draft.shown = Shown::Exercise(place);
                }
            }
        });
    if ui.button("New exercise").clicked() {
        draft.add_exercise();
    }
}

fn shown_ui(ui: &mut Ui, draft: &mut WordsDraft) {
    match draft.shown {
        Shown::GeneralFaults => {
            heading(ui, "Faults of any exercise");
            list_of_words(ui, &mut draft.general_faults, ("Alt+", KEYS), "fault");
        }
        Shown::Outlines => {
            heading(ui, "Outlines");
            list_of_words(ui, &mut draft.outlines, ("Shift+", OUTLINES), "outline");
        }
        Shown::Exercise(place) => {
            let mut remove = false;
            if let Some(exercise) = draft.exercises.get_mut(place) {
                remove = exercise_ui(ui, exercise);
            }
            if remove {
                draft.remove_exercise(place);
            }
        }
    }
}

/// Draws an exercise; whether it is to be removed.
fn exercise_ui(ui: &mut Ui, own: &mut ExerciseDraft) -> bool {
    let mut remove = false;
    let exercise = &mut own.exercise;
    Grid::new("exercise")
        .num_columns(2)
        .spacing([10.0, 6.0])
        .show(ui, |ui| {
            for (label, text, width) in [
                ("Name", &mut exercise.name, 280.0),
                ("Letters to type", &mut exercise.short, 60.0),
                ("Heading", &mut exercise.family, 280.0),
            ] {
                ui.label(label);
                named(
                    &ui.add(TextEdit::singleline(text).desired_width(width)),
                    label,
                );
                ui.end_row();
            }
        });
    ui.add(Checkbox::new(
        &mut exercise.sided,
        "Left and right are compared",
    ));
    ui.horizontal(|ui| {
        let series = "A series: so many are asked";
        ui.add(Checkbox::new(&mut exercise.series, series));
        if exercise.series {
            let mut every = exercise.every.unwrap_or(0);
            let value = DragValue::new(&mut every)
                .range(0..=20)
                .custom_formatter(|n, _| {
                    if n < 1.0 {
                        "not said by its name".to_owned()
                    } else {
                        format!("every {n:.0} strides")
                    }
                });
            named(&ui.add(value), "Every so many strides");
            exercise.every = (every > 0).then_some(every);
        }
    });
    heading(ui, "Its faults, in the order of their keys");
    list_of_words(ui, &mut own.faults, ("", KEYS), "fault");
    heading(ui, "Its variants");
    list_of_words(ui, &mut own.variants, ("Ctrl+Shift+", KEYS), "variant");
    ui.add_space(10.0);
    if ui.button("Remove this exercise").clicked() {
        remove = true;
    }
    remove
}

/// Draws a list of words with their keys; words can be renamed, moved, removed and added.
fn list_of_words(
    ui: &mut Ui,
    words: &mut Vec<WordDraft>,
    (prefix, keys): (&str, usize),
    kind: &str,
) {
    let leather = theme::tokens(ui).leather;
    let (mut swap, mut remove) = (None, None);
    let count = words.len();
    Grid::new((kind, prefix))
        .min_col_width(20.0)
        .num_columns(3)
        .spacing([8.0, 4.0])
        .show(ui, |ui| {
            for (place, word) in words.iter_mut().enumerate() {
                let key = if place < keys {
                    format!("{prefix}{}", place + 1)
                } else {
                    String::new()
                };
                ui.label(RichText::new(key).font(theme::bold(12.0)).color(leather));
                let field = TextEdit::singleline(&mut word.name);
                let height = ui.spacing().interact_size.y;
                named(
                    &ui.add_sized([FIELD, height], field),
                    &format!("{kind} {}", place + 1),
                );
                ui.horizontal(|ui| {
                    for (text, to, tip) in [
                        ("Up", place.checked_sub(1), "One key before"),
                        (
                            "Down",
                            Some(place + 1).filter(|to| *to < count),
                            "One key after",
                        ),
                    ] {
                        let button = ui.add_enabled(to.is_some(), Button::new(text).small());
                        if button.on_hover_text(tip).clicked() {
                            swap = to.map(|to| (place, to));
                        }
                    }
                    if ui.small_button("Remove").clicked() {
                        remove = Some(place);
                    }
                });
                ui.end_row();
            }
        });
    if let Some((one, other)) = swap {
        words.swap(one, other);
    }
    if let Some(place) = remove {
        words.remove(place);
    }
    if ui.button(format!("Add a {kind}")).clicked() {
        words.push(WordDraft::default());
    }
}

fn foot_ui(ui: &mut Ui, draft: &WordsDraft) -> Option<Asked> {
    let (bars, thoughts) = draft.problems();
    let caution = theme::tokens(ui).caution;
    if let Some(problem) = bars.first().or(thoughts.first()) {
        ui.label(RichText::new(problem.to_string()).color(caution));
    } else {
        ui.label("");
    }
    let mut asked = None;
    ui.horizontal(|ui| {
        let may = bars.is_empty() && draft.is_changed();
        if ui
            .add_enabled(may, Button::new("Keep these words"))
            .clicked()
        {
            asked = Some(Asked::Keep);
        }
        if ui.button("Leave them as they were").clicked() {
            asked = Some(Asked::PutAway);
        }
    });
    asked
}

fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(8.0);
    ui.label(RichText::new(text).font(theme::bold(14.5)));
}

fn named(response: &egui::Response, name: &str) {
    response.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, name));
}
