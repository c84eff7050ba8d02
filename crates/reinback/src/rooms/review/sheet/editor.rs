//! Changing the sheet: its name, its lines and what errors of course cost. For this ride and for
//! the yard's sheet, which later rides take; rides that have a copy keep theirs.

use egui::{Align, Button, DragValue, Layout, RichText, ScrollArea, TextEdit, Ui, WidgetInfo};
use reinback_yard::{
    Cost, Edit, ErrorRules, JudgedLine, Known, LineKind, RiddenTest, Ride, SheetLine, Step, Yard,
};

use super::panel::{push, soft};
use super::{Change, SheetPanel, changed};
use crate::action::Action;
use crate::counted::counted;
use crate::rooms::review::ReviewData;
use crate::theme;
use crate::widgets::{Icon, icon_button};

/// A text of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Field {
    Name,
    AsOf,
    Line(usize),
}

/// A change of the ride's sheet, and with it of the yard's, if the ride's was still the same: the
/// copy of a ride judged long ago never takes the place of what the yard's sheet has become since.
pub(super) fn change_sheet(
    yard: &Yard,
    ride: &Ride,
    label: &'static str,
    change: impl FnOnce(&mut RiddenTest),
) -> Option<Change> {
    let (label, edit) = changed(ride, label, change)?;
    let Edit::Test(_, Some(test)) = &edit else {
        return Some((label, edit));
    };
    let before = ride.test.as_deref()?;
    if !follows(yard, before) || before.sheet == test.sheet {
        return Some((label, edit));
    }
    let sheet = Box::new(test.sheet.clone());
    Some((
        label,
        Edit::Batch(vec![Edit::Sheet(sheet.id, Some(sheet)), edit]),
    ))
}

/// Whether the yard's sheet is still the ride's, so that it changes with it.
fn follows(yard: &Yard, test: &RiddenTest) -> bool {
    yard.sheets.contains(&test.sheet)
}

/// A line at the end of its kind: movements are numbered on.
pub(super) fn add_line(test: &mut RiddenTest) {
    let movements = |line: &SheetLine| line.kind == LineKind::Movement;
    let lines = &mut test.sheet.lines;
    let at = lines.iter().rposition(movements).map_or(0, |last| last + 1);
    let number = lines.iter().filter_map(|line| line.number).max();
    lines.insert(
        at,
        SheetLine {
            number: Some(number.unwrap_or(0).saturating_add(1)),
            text: String::new(),
            coefficient: 1,
            step: Step::Half,
            kind: LineKind::Movement,
            exercise: None,
        },
    );
    let unmarked = JudgedLine {
        marks: vec![None; test.judges.len()],
        seen: None,
    };
    test.lines.insert(at, unmarked);
    test.sheet.printed_most = None;
}

pub(super) fn remove_line(test: &mut RiddenTest, place: usize) {
    if place < test.lines.len() && test.lines.len() > 1 {
        test.sheet.lines.remove(place);
        test.lines.remove(place);
        test.sheet.printed_most = None;
    }
}

/// Draws the sheet to be changed.
pub(super) fn editor_ui(
    ui: &mut Ui,
    panel: &mut SheetPanel,
    test: &RiddenTest,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    soft(
        ui,
        if follows(data.yard, test) {
            "For this ride and for the yard's sheet. Rides that were judged before keep theirs."
        } else {
            "For this ride only: the yard's sheet is another one by now."
        },
    );
    ScrollArea::vertical()
        .id_salt("sheet editor")
        .auto_shrink([false, false])
        .show(ui, |ui| {
            text_ui(
                ui,
                panel,
                (Field::Name, "Name of the sheet"),
                &test.sheet.name,
                data,
                out,
            );
            let as_of = (Field::AsOf, "Edition, and how well it is known");
            text_ui(ui, panel, as_of, &test.sheet.as_of, data, out);
            rules_ui(ui, test, data, out);
            most_ui(ui, test, data, out);
            ui.separator();
            for (place, line) in test.sheet.lines.iter().enumerate() {
                line_ui(ui, panel, place, line, data, out);
            }
            if ui.button("Add a line").clicked() {
                push(
                    out,
                    change_sheet(data.yard, data.ride, "add a line", add_line),
                );
            }
        });
}

/// A text, kept as one step once it is left.
fn text_ui(
    ui: &mut Ui,
    panel: &mut SheetPanel,
    (field, name): (Field, &str),
    own: &str,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let draft = panel.draft.as_ref().filter(|(of, _)| *of == field);
    let mut text = draft.map_or_else(|| own.to_owned(), |(_, text)| text.clone());
    let wide = TextEdit::singleline(&mut text)
        .id_salt(("sheet text", name))
        .desired_width(ui.available_width());
    let response = ui.add(wide);
    response.widget_info(|| WidgetInfo::text_edit(true, own, &text, name));
    if response.changed() {
        panel.draft = Some((field, text.clone()));
    }
    if response.lost_focus() && panel.draft.take_if(|(of, _)| *of == field).is_some() {
        let text = text.trim().to_owned();
        if field == Field::Name && text.is_empty() {
            return;
        }
        let change = change_sheet(data.yard, data.ride, "words of the sheet", |test| {
            let place = match field {
                Field::Name => Some(&mut test.sheet.name),
                Field::AsOf => Some(&mut test.sheet.as_of),
                Field::Line(line) => test.sheet.lines.get_mut(line).map(|line| &mut line.text),
            };
            if let Some(place) = place {
                *place = text;
            }
        });
        push(out, change);
    }
}

fn rules_ui(ui: &mut Ui, test: &RiddenTest, data: &ReviewData<'_>, out: &mut Vec<Action>) {
    let own = &test.sheet.rules;
    let mut sets = ErrorRules::proposals();
    sets.push(ErrorRules {
        name: "Our own".into(),
        as_of: String::new(),
        costs: vec![Cost::Points(20)],
        eliminates: false,
        known: Known::Own,
    });
    ui.horizontal_wrapped(|ui| {
        ui.label("Errors of course:");
        for set in sets {
            let here = set.name == own.name;
            let button = ui.add(Button::selectable(here, &set.name));
            if button.on_hover_text(rules_text(&set)).clicked() && !here {
                let change = |test: &mut RiddenTest| test.sheet.rules = set;
                push(
                    out,
                    change_sheet(data.yard, data.ride, "rules of errors", change),
                );
            }
        }
    });
    soft(ui, &rules_text(own));
    if own.known == Known::Own {
        own_rules_ui(ui, own, data, out);
    }
}

/// "First error 2 percentage points, then elimination; read on a sheet, 2021".
pub(super) fn rules_text(rules: &ErrorRules) -> String {
    let cost = |cost: &Cost| match *cost {
        Cost::Points(tenths) => counted(f64::from(tenths) / 10.0, "point", "points"),
        Cost::Percent(thousandths) => {
            let points = f64::from(thousandths) / 1e3;
            counted(points, "percentage point", "percentage points")
        }
    };
    let costs: Vec<String> = rules.costs.iter().map(cost).collect();
    let last = if rules.eliminates {
        ", then elimination"
    } else {
        ", each further one as the last"
    };
    let known = match rules.known {
        Known::Read => "read on a sheet or in rules",
        Known::SecondHand => "read second-hand",
        Known::Recalled => "recalled, not confirmed",
        Known::Own => "our own",
    };
    let as_of = if rules.as_of.is_empty() {
        String::new()
    } else {
        format!(", {}", rules.as_of)
    };
    format!(
        "An error costs {}{last}; {known}{as_of}. Check the rules in force.",
        costs.join(", the next ")
    )
}

fn own_rules_ui(ui: &mut Ui, own: &ErrorRules, data: &ReviewData<'_>, out: &mut Vec<Action>) {
    let first = match own.costs.first() {
        Some(Cost::Points(tenths)) => f64::from(*tenths) / 10.0,
        _ => 2.0,
    };
    let mut points = first;
    ui.horizontal(|ui| {
        let number = DragValue::new(&mut points)
            .range(0.0..=50.0)
            .speed(0.1)
            .fixed_decimals(1)
            .suffix(" points an error")
            .update_while_editing(false);
        let response = ui.add(number);
        if response.changed() && !response.dragged() || response.drag_stopped() {
            let cost = Cost::Points((points * 10.0).round() as u32);
            let change = |test: &mut RiddenTest| test.sheet.rules.costs = vec![cost];
            push(
                out,
                change_sheet(data.yard, data.ride, "rules of errors", change),
            );
        }
        let mut eliminates = own.eliminates;
        if ui
            .checkbox(&mut eliminates, "the second eliminates")
            .changed()
        {
            let change = |test: &mut RiddenTest| test.sheet.rules.eliminates = eliminates;
            push(
                out,
                change_sheet(data.yard, data.ride, "rules of errors", change),
            );
        }
    });
}

/// The most points as printed, against which the lines are checked.
fn most_ui(ui: &mut Ui, test: &RiddenTest, data: &ReviewData<'_>, out: &mut Vec<Action>) {
    let lines = test.sheet.most();
    ui.horizontal_wrapped(|ui| {
        ui.label("Most points as printed");
        let mut most = test.sheet.printed_most.unwrap_or(lines);
        let number = DragValue::new(&mut most)
            .range(0..=20_000)
            .update_while_editing(false);
        let response = ui.add(number);
        response.widget_info(|| {
            WidgetInfo::labeled(egui::Role::SpinButton, true, "Most points as printed")
        });
        if response.changed() && !response.dragged() || response.drag_stopped() {
            let change = |test: &mut RiddenTest| test.sheet.printed_most = Some(most);
            push(
                out,
                change_sheet(data.yard, data.ride, "most points", change),
            );
        }
        match test.sheet.printed_most {
            Some(printed) if printed != lines => {
                let ink = theme::tokens(ui).caution;
                ui.label(RichText::new(format!("the lines come to {lines}")).color(ink));
            }
            Some(_) => soft(ui, "as the lines come to"),
            None => soft(ui, &format!("not said; the lines come to {lines}")),
        }
    });
}

fn line_ui(
    ui: &mut Ui,
    panel: &mut SheetPanel,
    place: usize,
    line: &SheetLine,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let set = |label, change: &dyn Fn(&mut SheetLine)| {
        change_sheet(data.yard, data.ride, label, |test| {
            if let Some(line) = test.sheet.lines.get_mut(place) {
                change(line);
            }
        })
    };
    ui.push_id(("sheet line", place), |ui| {
        ui.horizontal(|ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let name = format!("Remove line {}", place + 1);
                if icon_button(ui, Icon::Close, &name, true).clicked() {
                    let change = change_sheet(data.yard, data.ride, "remove a line", |test| {
                        remove_line(test, place);
                    });
                    push(out, change);
                }
                let tenths = line.step == Step::Tenth;
                let steps = if tenths { "tenths" } else { "halves" };
                if ui
                    .small_button(steps)
                    .on_hover_text("In what steps it is marked")
                    .clicked()
                {
                    let step = if tenths { Step::Half } else { Step::Tenth };
                    push(out, set("steps of a line", &|line| line.step = step));
                }
                let (kind, next) = match line.kind {
                    LineKind::Movement => ("movement", LineKind::General),
                    LineKind::General => ("for the whole", LineKind::Artistic),
                    LineKind::Artistic => ("artistic", LineKind::Movement),
                };
                if ui
                    .small_button(kind)
                    .on_hover_text("What it marks")
                    .clicked()
                {
                    push(out, set("kind of a line", &|line| line.kind = next));
                }
                ui.menu_button(format!("×{}", line.coefficient), |ui| {
                    for coefficient in 1..=10_u8 {
                        if ui.button(format!("×{coefficient}")).clicked() {
                            push(
                                out,
                                set("coefficient", &|line| line.coefficient = coefficient),
                            );
                            ui.close();
                        }
                    }
                });
                let name = format!("Words of line {}", place + 1);
                text_ui(
                    ui,
                    panel,
                    (Field::Line(place), &name),
                    &line.text,
                    data,
                    out,
                );
            });
        });
    });
}
