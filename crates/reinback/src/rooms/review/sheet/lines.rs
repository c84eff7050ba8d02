//! The lines of a test with the marks of its judges, and where each is to be seen on film.

use egui::{
    Align, Button, Key, Layout, Modifiers, RichText, ScrollArea, TextEdit, Ui, WidgetInfo, vec2,
};
use reinback_yard::{JudgedLine, LineKind, RiddenTest, Ride, Seen, SheetLine};

use super::panel::{push, soft};
use super::{Cell, SheetPanel, after, line_name, mark_at, mark_text, set_seen};
use crate::action::{Action, Chosen};
use crate::clock;
use crate::rooms::review::{ReviewData, bout_name};
use crate::stage::Stage;
use crate::theme;

/// Width of a mark.
const MARK: f32 = 40.0;
/// Width of the coefficient.
const TIMES: f32 = 26.0;
/// Height of a line.
const LINE: f32 = 24.0;
/// Width kept for the sign of a line that has its film.
const FILM: f32 = 44.0;

/// Draws the lines.
pub(super) fn lines_ui(
    ui: &mut Ui,
    panel: &mut SheetPanel,
    ridden: &RiddenTest,
    film: (&Stage, Option<Chosen>),
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    ScrollArea::vertical()
        .id_salt("test lines")
        .auto_shrink([false, false])
        .show(ui, |ui| {
            let mut before = None;
            for (place, (line, judged)) in ridden.sheet.lines.iter().zip(&ridden.lines).enumerate()
            {
                if before.is_some_and(|before| before != line.kind) {
                    ui.add_space(6.0);
                }
                before = Some(line.kind);
                line_ui(ui, panel, place, (line, judged), ridden, data, out);
                if panel.cell.line == place {
                    if let Some(why) = panel.refused {
                        let ink = theme::tokens(ui).caution;
                        ui.label(RichText::new(why).color(ink));
                    }
                    film_ui(ui, place, (line, judged), film, data, out);
                }
            }
        });
}

fn line_ui(
    ui: &mut Ui,
    panel: &mut SheetPanel,
    place: usize,
    (line, judged): (&SheetLine, &JudgedLine),
    ridden: &RiddenTest,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let here = panel.cell.line == place;
    let marks = judged.marks.len() as f32 * (MARK + 4.0);
    ui.horizontal(|ui| {
        let width = (ui.available_width() - marks - TIMES - FILM - 12.0).max(60.0);
        let name = match line.kind {
            LineKind::Movement => RichText::new(line_name(line)),
            LineKind::General | LineKind::Artistic => RichText::new(line_name(line)).italics(),
        };
        let name = if here {
            name.font(theme::bold(14.0))
        } else {
            name
        };
        ui.allocate_ui_with_layout(
            vec2(width, LINE),
            Layout::left_to_right(Align::Center),
            |ui| {
                ui.set_min_width(width);
                ui.add(egui::Label::new(name).truncate());
            },
        );
        ui.allocate_ui_with_layout(
            vec2(TIMES, LINE),
            Layout::left_to_right(Align::Center),
            |ui| {
                ui.set_min_width(TIMES);
                if line.coefficient != 1 {
                    soft(ui, &format!("×{}", line.coefficient));
                }
            },
        );
        for judge in 0..judged.marks.len() {
            let cell = Cell { line: place, judge };
            cell_ui(ui, panel, cell, ridden, data, out);
        }
        if let Some(at) = seen_at(data.ride, judged) {
            let jump = ui.small_button(clock::short(at));
            if jump.on_hover_text("To where it is seen on film").clicked() {
                out.push(Action::Seek(at));
            }
        }
    });
}

/// Where a line is seen; `None` for a bout that is gone.
fn seen_at(ride: &Ride, judged: &JudgedLine) -> Option<reinback_yard::Moment> {
    match judged.seen? {
        Seen::At(at) => Some(at),
        Seen::Bout(id) => ride
            .bouts
            .iter()
            .find(|bout| bout.id == id)
            .map(|bout| bout.from),
    }
}

/// One mark: a field where the keyboard is, else what was given.
fn cell_ui(
    ui: &mut Ui,
    panel: &mut SheetPanel,
    cell: Cell,
    ridden: &RiddenTest,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let position = ridden
        .judges
        .get(cell.judge)
        .map_or('C', |judge| judge.position);
    let line = ridden.sheet.lines.get(cell.line);
    let name = format!(
        "Mark of {position} for {}",
        line.map(line_name).unwrap_or_default()
    );
    let given = mark_text(mark_at(ridden, cell));
    if panel.cell != cell || !data.writable {
        let text = if given.is_empty() { "–" } else { &given };
        let button = Button::new(text).min_size(vec2(MARK, LINE));
        let response = ui.add_enabled(data.writable, button);
        response.widget_info(|| {
            WidgetInfo::labeled(egui::Role::Button, data.writable, format!("{name}: {text}"))
        });
        if response.clicked() {
            match panel.take(data.ride, ridden) {
                Ok(change) => {
                    push(out, change);
                    panel.go(cell);
                }
                Err(why) => panel.refused = Some(why),
            }
        }
        return;
    }
    let mut text = panel.typed.clone().unwrap_or_else(|| given.clone());
    let (up, down) = if panel.reach {
        (false, false)
    } else {
        ui.input_mut(|input| {
            (
                input.consume_key(Modifiers::NONE, Key::ArrowUp),
                input.consume_key(Modifiers::NONE, Key::ArrowDown),
            )
        })
    };
    let field = TextEdit::singleline(&mut text)
        .id_salt(("test mark", cell.line, cell.judge))
        .desired_width(MARK)
        .char_limit(4);
    let response = ui.add(field);
    response.widget_info(|| WidgetInfo::text_edit(true, &given, &text, &name));
    if panel.reach {
        panel.reach = false;
        response.request_focus();
        response.scroll_to_me(None);
    }
    if response.changed() {
        panel.refused = None;
        panel.typed = Some(text.clone());
    }
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    if !(entered || up || down || response.lost_focus()) {
        return;
    }
    match panel.take(data.ride, ridden) {
        Ok(change) => {
            push(out, change);
            if up {
                let line = cell.line.saturating_sub(1);
                panel.go(Cell { line, ..cell });
            } else if entered || down {
                panel.go(after(ridden, cell));
            }
        }
        Err(why) => {
            panel.refused = Some(why);
            panel.reach = entered || up || down;
        }
    }
}

/// The film of the line where the keyboard is.
fn film_ui(
    ui: &mut Ui,
    place: usize,
    (line, judged): (&SheetLine, &JudgedLine),
    (stage, chosen): (&Stage, Option<Chosen>),
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    ui.indent("film of the line", |ui| {
        ui.horizontal_wrapped(|ui| {
            if let Some(at) = seen_at(data.ride, judged) {
                soft(ui, &format!("On film at {}", clock::short(at)));
                let away = Button::new("Take the film away").small();
                if ui.add_enabled(data.writable, away).clicked() {
                    push(out, set_seen(data.ride, place, None));
                }
            }
            let now = stage.position();
            let here = Button::new(format!("It is here, {}", clock::short(now))).small();
            if ui.add_enabled(data.writable, here).clicked() {
                push(out, set_seen(data.ride, place, Some(Seen::At(now))));
            }
            let own = data
                .ride
                .bouts
                .iter()
                .filter(|bout| bout.review == data.review);
            // The one that is chosen, and those of the line's own exercise.
            let offered = own.filter(|bout| {
                chosen == Some(Chosen::Bout(bout.id))
                    || line.exercise.as_ref() == Some(&bout.exercise)
            });
            for bout in offered.filter(|bout| judged.seen != Some(Seen::Bout(bout.id))) {
                let name = format!(
                    "{}, {}",
                    bout_name(data.words(), bout),
                    clock::short(bout.from)
                );
                if ui
                    .add_enabled(data.writable, Button::new(name).small())
                    .clicked()
                {
                    push(out, set_seen(data.ride, place, Some(Seen::Bout(bout.id))));
                }
            }
        });
    });
}
