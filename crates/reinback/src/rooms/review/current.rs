//! The current exercise: its rein and variant, and its faults on their keys.

use egui::{
    Align2, Button, FontId, Response, RichText, ScrollArea, Sense, TextEdit, Ui, WidgetInfo, vec2,
};
use reinback_yard::{Bout, Exercise, Fault, Pace, Rein};

use super::marking::{Marking, asked_text, most_used_first};
use super::{ReviewData, ReviewView};
use crate::action::Action;
use crate::clock;
use crate::command::Command;
use crate::keys::OUTLINES;
use crate::theme;

/// How many exercises stand at the head of the list. Our own choice.
const MOST_USED: usize = 6;
/// How many words of a list have a key.
pub const KEYS: usize = 9;
/// Below this height, in points, a window is low. Our own choice.
const LOW_WINDOW: f32 = 900.0;
/// Width of a menu of paces or outlines.
const MENU: f32 = 220.0;
/// Height of a button with its key.
const BUTTON: f32 = 25.0;

/// Draws the card of the current exercise, or the list to start one from.
pub(super) fn current_ui(
    ui: &mut Ui,
    view: &mut ReviewView,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let marking = data.marking(view);
    ui.add_enabled_ui(data.writable, |ui| {
        match marking.current() {
            Some(bout) if !view.choosing_exercise => {
                bout_ui(ui, view, data, bout, out);
            }
            _ => exercises_ui(ui, view, data, out),
        }
        going_ui(ui, data, &marking, out);
    });
}

/// The pace and the outline at this moment, each a list that sets it from here on.
fn going_ui(ui: &mut Ui, data: &ReviewData<'_>, marking: &Marking<'_>, out: &mut Vec<Action>) {
    const PACES: [(Pace, Command); 7] = [
        (Pace::Walk, Command::Walk),
        (Pace::Trot, Command::Trot),
        (Pace::Canter, Command::Canter),
        (Pace::Passage, Command::Passage),
        (Pace::Piaffe, Command::Piaffe),
        (Pace::Halt, Command::Halt),
        (Pace::ReinBack, Command::ReinBack),
    ];
    let (pace, outline) = (marking.pace(), marking.outline());
    ui.add_space(2.0);
    ui.horizontal_wrapped(|ui| {
        if marking.has_stretches().is_err() {
            command_button(ui, "tempo", Command::Taps, false, out);
            return;
        }
        let said = pace.map_or("pace…", Pace::name);
        let tip = "What the horse goes from here on";
        ui.menu_button(said, |ui| {
            for (own, command) in PACES {
                let key = command.key_text(ui.ctx());
                if keyed_button(ui, own.name(), &key, pace == Some(own), Some(MENU)).clicked() {
                    out.push(Action::Run(command));
                    ui.close();
                }
            }
        })
        .response
        .on_hover_text(tip);
        let said = outline.map_or_else(
            || "outline…".to_owned(),
            |own| data.words().outline_name(own),
        );
        let tip = "The posture of neck and head from here on";
        ui.menu_button(said, |ui| {
            for (number, word) in (1..).zip(&data.words().outlines) {
                let key = if number <= OUTLINES {
                    format!("Shift+{number}")
                } else {
                    String::new()
                };
                let on = outline == Some(&word.id);
                if keyed_button(ui, &word.name, &key, on, Some(MENU)).clicked() {
                    out.push(Action::SetOutline(word.id.clone()));
                    ui.close();
                }
            }
        })
        .response
        .on_hover_text(tip);
        let taps = Command::Taps;
        command_button(ui, "tempo", taps, false, out);
    });
}

fn bout_ui(
    ui: &mut Ui,
    view: &mut ReviewView,
    data: &ReviewData<'_>,
    bout: &Bout,
    out: &mut Vec<Action>,
) {
    let tokens = theme::tokens(ui);
    let words = data.words();
    let known = words.exercise(&bout.exercise);
    ui.horizontal(|ui| {
        let name = RichText::new(words.exercise_name(&bout.exercise)).font(theme::bold(18.0));
        ui.add(egui::Label::new(name).truncate());
    });
    ui.horizontal(|ui| {
        ui.label(RichText::new(state_of(view, bout)).color(tokens.ink_soft));
    });
    ui.horizontal_wrapped(|ui| {
        rein_ui(ui, bout, out);
        if known.is_some_and(|exercise| !exercise.variants.is_empty()) {
            let variant = bout.variant.as_ref().map_or_else(
                || "variant".to_owned(),
                |v| words.variant_name(&bout.exercise, v),
            );
            command_button(
                ui,
                &variant,
                Command::NextVariant,
                bout.variant.is_some(),
                out,
            );
        }
        if known.is_some_and(|exercise| exercise.series) {
            let asked = asked_text(bout.asked);
            let text = if asked.is_empty() { "asked…" } else { &asked };
            command_button(ui, text, Command::Ask, !asked.is_empty(), out);
        }
        if bout.to.is_some() {
            let text = if bout.reviewed {
                "counts"
            } else {
                "does not count"
            };
            command_button(ui, text, Command::ToggleReviewed, bout.reviewed, out);
        }
    });
    ui.add_space(2.0);
    if let Some(exercise) = known {
        faults_ui(ui, &exercise.faults, "", out);
    }
    general_faults_ui(ui, view, &words.general_faults, out);
    ui.add_space(2.0);
    ui.horizontal_wrapped(|ui| {
        command_button(ui, "praise", Command::Praise, false, out);
        command_button(ui, "ridden again", Command::Repeated, false, out);
        command_button(ui, "note", Command::WriteNote, false, out);
        if bout.to.is_none() {
            command_button(ui, "end it", Command::EndBout, false, out);
        }
        if keyed_button(ui, "next…", "letters", false, None)
            .on_hover_text("Type the letters of the next exercise, or choose it")
            .clicked()
        {
            view.choosing_exercise = true;
            view.exercise_search.clear();
        }
    });
}

/// The general faults that have a key; the others on demand.
fn general_faults_ui(ui: &mut Ui, view: &mut ReviewView, faults: &[Fault], out: &mut Vec<Action>) {
    // In a low window the list of marks needs the room; the keys work all the same.
    let low = ui.content_rect().height() < LOW_WINDOW;
    let keys = faults.len().min(KEYS);
    let (keyed, others) = faults.split_at(if low { 0 } else { keys });
    ui.horizontal(|ui| {
        let heading = if low && !view.all_faults {
            format!("In any exercise: Alt+1 to Alt+{keys}")
        } else {
            "In any exercise".to_owned()
        };
        ui.label(
            RichText::new(heading)
                .small()
                .color(theme::tokens(ui).ink_soft),
        );
        if !others.is_empty() {
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let text = if view.all_faults { "fewer" } else { "more" };
                if ui
                    .small_button(text)
                    .on_hover_text("The faults that are not shown")
                    .clicked()
                {
                    view.all_faults = !view.all_faults;
                }
            });
        }
    });
    faults_ui(
        ui,
        if view.all_faults { faults } else { keyed },
        "Alt+",
        out,
    );
}

fn state_of(view: &ReviewView, bout: &Bout) -> String {
    let now = view.stage.position();
    match bout.to {
        None => format!(
            "running since {}, {}",
            clock::short(bout.from),
            clock::length(now.0 - bout.from.0)
        ),
        Some(to) => format!(
            "{} to {}, {}",
            clock::short(bout.from),
            clock::short(to),
            clock::length(to.0 - bout.from.0)
        ),
    }
}

fn rein_ui(ui: &mut Ui, bout: &Bout, out: &mut Vec<Action>) {
    for (rein, text, command) in [
        (Rein::Left, "left", Command::LeftRein),
        (Rein::Right, "right", Command::RightRein),
    ] {
        if keyed_button(
            ui,
            text,
            &command.key_text(ui.ctx()),
            bout.rein == Some(rein),
            None,
        )
        .clicked()
        {
            out.push(Action::SetRein(rein));
        }
    }
}

fn command_button(ui: &mut Ui, text: &str, command: Command, on: bool, out: &mut Vec<Action>) {
    let response = keyed_button(ui, text, &command.key_text(ui.ctx()), on, None);
    if response.on_hover_text(command.tip()).clicked() {
        out.push(Action::Run(command));
    }
}

/// Faults in two columns, the first nine with their keys.
fn faults_ui(ui: &mut Ui, faults: &[Fault], key_prefix: &str, out: &mut Vec<Action>) {
    let gap = 6.0;
    let width = (ui.available_width() - gap) / 2.0;
    let rows = faults.len().div_ceil(2);
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing = vec2(gap, 4.0);
        ui.spacing_mut().interact_size.y = BUTTON;
        for row in 0..rows {
            ui.horizontal(|ui| {
                for at in [row, row + rows] {
                    let Some(fault) = faults.get(at) else {
                        continue;
                    };
                    let key = if at < KEYS {
                        format!("{key_prefix}{}", at + 1)
                    } else {
                        String::new()
                    };
                    if keyed_button(ui, &fault.name, &key, false, Some(width)).clicked() {
                        out.push(Action::MarkFault(fault.id.clone()));
                    }
                }
            });
        }
    });
}

/// A button with its key in a small cap before the text.
pub(super) fn keyed_button(
    ui: &mut Ui,
    text: &str,
    key: &str,
    on: bool,
    width: Option<f32>,
) -> Response {
    let tokens = theme::tokens(ui);
    let cap_font = theme::bold(11.5);
    let cap = ui
        .painter()
        .layout_no_wrap(key.to_owned(), cap_font, tokens.leather);
    let cap_width = if key.is_empty() {
        0.0
    } else {
        cap.size().x + 14.0
    };
    let mut job = egui::text::LayoutJob::simple_singleline(
        text.to_owned(),
        FontId::proportional(13.5),
        tokens.ink,
    );
    let room = width.map_or(f32::INFINITY, |width| width - cap_width - 14.0);
    job.wrap = egui::text::TextWrapping::truncate_at_width(room);
    let galley = ui.painter().layout_job(job);
    let natural = cap_width + galley.size().x + 16.0;
    let (rect, response) =
        ui.allocate_exact_size(vec2(width.unwrap_or(natural), BUTTON), Sense::click());
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, ui.is_enabled(), on, text));
    if ui.is_rect_visible(rect) {
        let look = ui.style().interact_selectable(&response, on);
        let painter = ui.painter();
        painter.rect(
            rect,
            5.0,
            look.weak_bg_fill,
            look.bg_stroke,
            egui::StrokeKind::Inside,
        );
        let mut x = rect.left() + 7.0;
        if !key.is_empty() {
            painter.text(
                egui::pos2(x, rect.center().y),
                Align2::LEFT_CENTER,
                key,
                theme::bold(11.5),
                tokens.leather,
            );
            x += cap_width - 6.0;
        }
        painter.galley(
            egui::pos2(x, rect.center().y - galley.size().y / 2.0),
            galley.clone(),
            tokens.ink,
        );
    }
    if galley.elided {
        response.on_hover_text(text)
    } else {
        response
    }
}

fn exercises_ui(ui: &mut Ui, view: &mut ReviewView, data: &ReviewData<'_>, out: &mut Vec<Action>) {
    let tokens = theme::tokens(ui);
    ui.horizontal(|ui| {
        ui.label(RichText::new("Start an exercise").font(theme::bold(18.0)));
        let back = data.marking(view).current().is_some();
        if back
            && ui
                .with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    ui.button("Back")
                })
                .inner
                .clicked()
        {
            view.choosing_exercise = false;
        }
    });
    ui.label(
        RichText::new("Type its letters while the film runs, or choose it here")
            .color(tokens.ink_soft),
    );
    let search = TextEdit::singleline(&mut view.exercise_search)
        .hint_text("Look for an exercise")
        .desired_width(f32::INFINITY);
    let response = ui.add(search);
    response
        .widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, "Look for an exercise"));
    let wanted = view.exercise_search.to_lowercase();
    let fits =
        |e: &&Exercise| e.name.to_lowercase().contains(&wanted) || e.short.starts_with(&wanted);
    let found: Vec<&Exercise> = data.words().exercises.iter().filter(fits).collect();
    let mut often = found.clone();
    often.retain(|exercise| view.used.contains_key(&exercise.id));
    most_used_first(&mut often, &view.used);
    often.truncate(MOST_USED);
    let height = (ui.available_height() * 0.46).max(120.0);
    ScrollArea::vertical()
        .id_salt("exercises")
        .max_height(height)
        .auto_shrink([false, true])
        .show(ui, |ui| {
            if found.is_empty() {
                ui.label(
                    RichText::new("No exercise of this yard is called that").color(tokens.ink_soft),
                );
            }
            let mut family = "";
            let often = often.into_iter().map(|exercise| ("Most used", exercise));
            let all = found.into_iter().map(|own| (own.family.as_str(), own));
            for (heading, exercise) in often.chain(all) {
                if heading != family {
                    family = heading;
                    ui.add_space(2.0);
                    ui.label(RichText::new(family).small().color(tokens.ink_soft));
                }
                let width = ui.available_width();
                if keyed_button(ui, &exercise.name, &exercise.short, false, Some(width)).clicked() {
                    out.push(Action::StartBout(exercise.id.clone()));
                    view.choosing_exercise = false;
                }
            }
        });
    ui.horizontal_wrapped(|ui| {
        for (text, command) in [("praise", Command::Praise), ("note", Command::WriteNote)] {
            let button = Button::new(format!("{text}   {}", command.key_text(ui.ctx())));
            if ui.add(button).on_hover_text(command.tip()).clicked() {
                out.push(Action::Run(command));
            }
        }
    });
}
