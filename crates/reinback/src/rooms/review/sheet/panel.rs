//! The panel beside the film with the test sheet.

use egui::{Align, Button, DragValue, Layout, RichText, TextEdit, Ui, WidgetInfo};
use reinback_yard::{Edit, Judge, RiddenTest, TestSheet};

use super::{
    Cell, Change, SheetPanel, add_judge, changed, editor, hundredths, judge_texts, line_name,
    lines, most_apart, most_lost, overall, remove_judge, take_sheet, tenths,
};
use crate::action::{Action, Chosen};
use crate::command::Command;
use crate::counted::counted;
use crate::rooms::review::ReviewData;
use crate::stage::Stage;
use crate::theme;
use crate::widgets::{Icon, icon_button};

/// Width of the field for a judge's letter.
const LETTER: f32 = 34.0;

/// Draws the panel's content.
pub(in crate::rooms::review) fn panel_ui(
    ui: &mut Ui,
    panel: &mut SheetPanel,
    (stage, chosen): (&Stage, Option<Chosen>),
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        ui.label(RichText::new("Test sheet").font(theme::bold(17.0)));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if icon_button(ui, Icon::Close, "Put the test sheet away", true).clicked() {
                out.push(Action::Run(Command::TestSheet));
            }
        });
    });
    let Some(ridden) = data.ride.test.as_deref() else {
        choose_ui(ui, panel, data, out);
        return;
    };
    panel.follow(ridden);
    head_ui(ui, panel, ridden, data, out);
    if panel.editing {
        editor::editor_ui(ui, panel, ridden, data, out);
        return;
    }
    judges_ui(ui, panel, ridden, data, out);
    result_ui(ui, ridden);
    off_ui(ui, ridden, data, out);
    ui.separator();
    lines::lines_ui(ui, panel, ridden, (stage, chosen), data, out);
}

pub(super) fn soft(ui: &mut Ui, text: &str) {
    let ink = theme::tokens(ui).ink_soft;
    ui.label(RichText::new(text).size(13.0).color(ink));
}

pub(super) fn push(out: &mut Vec<Action>, change: Option<Change>) {
    out.extend(change.map(|(label, edit)| Action::Edit(label.into(), edit)));
}

fn choose_ui(ui: &mut Ui, panel: &mut SheetPanel, data: &ReviewData<'_>, out: &mut Vec<Action>) {
    soft(
        ui,
        "Which test was ridden? The ride keeps its own copy of the sheet.",
    );
    ui.add_space(4.0);
    let own = data.yard.sheets.iter();
    let mut taken = None;
    for sheet in own.chain(panel.offered(data.yard)) {
        let name = format!(
            "{}, {}, {} points",
            sheet.name,
            counted(sheet.lines.len() as f64, "line", "lines"),
            sheet.most()
        );
        let button = Button::new(name).min_size(egui::vec2(ui.available_width(), 30.0));
        if ui.add_enabled(data.writable, button).clicked() {
            taken = Some(take_sheet(data.yard, data.ride, sheet));
        }
        if !sheet.as_of.is_empty() {
            soft(ui, &sheet.as_of);
        }
        ui.add_space(4.0);
    }
    if taken.is_some() {
        panel.go(Cell::default());
        push(out, taken);
    }
}

fn head_ui(
    ui: &mut Ui,
    panel: &mut SheetPanel,
    ridden: &RiddenTest,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    ui.horizontal_wrapped(|ui| {
        let TestSheet { name, .. } = &ridden.sheet;
        ui.label(RichText::new(name).font(theme::bold(14.5)));
        soft(ui, &format!("{} points", ridden.sheet.most()));
        let (text, tip) = if panel.editing {
            ("Back to the marks", "The sheet as it now stands is kept")
        } else {
            (
                "Change the sheet…",
                "Its lines, coefficients and rules, for this ride and for those to come",
            )
        };
        let button = ui.add_enabled(data.writable, Button::new(text).small());
        if button.on_hover_text(tip).clicked() {
            panel.editing = !panel.editing;
            panel.draft = None;
        }
        let take = Button::new("Take it away").small();
        let take = ui.add_enabled(data.writable, take);
        if take
            .on_hover_text(
                "No test was ridden, or another: the marks go with it; undo brings them back",
            )
            .clicked()
        {
            panel.editing = false;
            let gone = Edit::Test(data.ride.id, None);
            push(out, Some(("take the test away", gone)));
        }
    });
    if !ridden.sheet.as_of.is_empty() {
        soft(ui, &ridden.sheet.as_of);
    }
}

fn judges_ui(
    ui: &mut Ui,
    panel: &mut SheetPanel,
    ridden: &RiddenTest,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    ui.horizontal_wrapped(|ui| {
        ui.label("Judges at");
        for (place, judge) in ridden.judges.iter().enumerate() {
            judge_ui(ui, place, judge, ridden, data, out);
        }
        let more = icon_button(ui, Icon::Plus, "Another judge", data.writable);
        if more.clicked() {
            panel.reach = true;
            push(out, add_judge(data.ride));
        }
    });
}

fn judge_ui(
    ui: &mut Ui,
    place: usize,
    judge: &Judge,
    ridden: &RiddenTest,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let mut letter = judge.position.to_string();
    let field = TextEdit::singleline(&mut letter).desired_width(LETTER);
    let response = ui.add_enabled(data.writable, field);
    response.widget_info(|| {
        let name = format!("Letter of judge {}", place + 1);
        WidgetInfo::labeled(egui::Role::TextInput, true, name)
    });
    let typed = letter.chars().rfind(|sign| sign.is_alphabetic());
    if response.changed()
        && let Some(typed) = typed
    {
        let position = typed.to_ascii_uppercase();
        let change = changed(data.ride, "letter of a judge", |test| {
            if let Some(judge) = test.judges.get_mut(place) {
                judge.position = position;
            }
        });
        push(out, change);
    }
    if ridden.judges.len() > 1 {
        let name = format!("Remove the judge at {}", judge.position);
        if icon_button(ui, Icon::Minus, &name, data.writable).clicked() {
            push(out, remove_judge(data.ride, place));
        }
    }
}

fn result_ui(ui: &mut Ui, ridden: &RiddenTest) {
    let tokens = theme::tokens(ui);
    match overall(ridden) {
        Ok(text) => {
            ui.label(RichText::new(text).font(theme::bold(17.0)));
        }
        Err(text) => {
            ui.label(RichText::new(text).color(tokens.caution));
        }
    }
    for text in judge_texts(ridden) {
        ui.label(text);
    }
    let lost: Vec<String> = most_lost(ridden, 3)
        .into_iter()
        .filter_map(|(line, lost)| {
            let name = line_name(ridden.sheet.lines.get(line)?);
            Some(format!("{name} {}", hundredths(lost)))
        })
        .collect();
    if !lost.is_empty() {
        soft(ui, &format!("Most points lost: {}", lost.join("; ")));
    }
    if let Some((line, apart)) = most_apart(ridden)
        && let Some(line) = ridden.sheet.lines.get(line)
    {
        let text = format!(
            "Judges furthest apart: {}, by {}",
            line_name(line),
            tenths(apart)
        );
        soft(ui, &text);
    }
}

/// Errors of course, and what else comes off.
fn off_ui(ui: &mut Ui, ridden: &RiddenTest, data: &ReviewData<'_>, out: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        ui.label("Errors of course");
        let fewer = icon_button(
            ui,
            Icon::Minus,
            "One error fewer",
            data.writable && ridden.errors > 0,
        );
        ui.label(ridden.errors.to_string());
        let more = icon_button(ui, Icon::Plus, "One error more", data.writable);
        let errors = if more.clicked() {
            ridden.errors.saturating_add(1)
        } else if fewer.clicked() {
            ridden.errors.saturating_sub(1)
        } else {
            ridden.errors
        };
        push(
            out,
            changed(data.ride, "errors of course", |test| test.errors = errors),
        );
        soft(ui, &ridden.sheet.rules.name);
        for (points, name, suffix) in [
            (true, "Further points off, each judge", " points off"),
            (false, "Further percent off", " % off"),
        ] {
            let own = if points {
                f64::from(ridden.points_off) / 10.0
            } else {
                f64::from(ridden.percent_off) / 1_000.0
            };
            let mut value = own;
            let number = DragValue::new(&mut value)
                .speed(0.05)
                .range(0.0..=100.0)
                .fixed_decimals(1)
                .suffix(suffix)
                .update_while_editing(false);
            let response = ui.add_enabled(data.writable, number);
            response.widget_info(|| WidgetInfo::labeled(egui::Role::SpinButton, true, name));
            if response.changed() && !response.dragged() || response.drag_stopped() {
                let change = changed(data.ride, "points off", |test| {
                    if points {
                        test.points_off = (value * 10.0).round() as u32;
                    } else {
                        test.percent_off = (value * 10.0).round() as u32 * 100;
                    }
                });
                push(out, change);
            }
        }
    });
}
