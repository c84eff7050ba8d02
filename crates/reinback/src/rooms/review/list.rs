//! The list of bouts and marks: the strip's twin in text.

use egui::{
    Align2, FontId, Key, Rect, RichText, ScrollArea, Sense, TextEdit, Ui, WidgetInfo, pos2, vec2,
};
use reinback_yard::{Edit, Mark, MarkKind, Moment, Origin, Words};

use super::strip::layout::SignShape;
use super::strip::paint::sign_at;
use super::{ReviewData, ReviewView, bout_name, measure};
use crate::action::{Action, Chosen};
use crate::clock;
use crate::command::Command;
use crate::counted::counted;
use crate::theme;

struct Row {
    at: Moment,
    /// Whether it stands only near its frame.
    about: bool,
    chosen: Chosen,
    shape: Option<SignShape>,
    text: String,
    note: String,
    /// Where it was brought in from, if it was.
    origin: Option<String>,
}

const ROW: f32 = 26.0;

/// Draws the list and the note being written.
pub(super) fn list_ui(
    ui: &mut Ui,
    view: &mut ReviewView,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let rows = rows(data);
    let tokens = theme::tokens(ui);
    ui.horizontal(|ui| {
        ui.label(RichText::new("Marks").font(theme::bold(15.5)));
        ui.label(RichText::new(summary(data)).small().color(tokens.ink_soft));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.menu_button("More…", |ui| {
                for command in [
                    Command::Notes,
                    Command::Clips,
                    Command::ExportTable,
                    Command::ExportCaptions,
                ] {
                    let button =
                        egui::Button::new(command.text()).shortcut_text(command.key_text(ui.ctx()));
                    if ui.add(button).on_hover_text(command.tip()).clicked() {
                        out.push(Action::Run(command));
                        ui.close();
                    }
                }
            });
        });
    });
    note_ui(ui, view, data, out);
    if rows.is_empty() {
        ui.add_space(8.0);
        ui.label(RichText::new("Nothing is marked yet. Play the film, type the letters of an exercise as it begins, and its fault keys as things happen.").color(tokens.ink_soft));
        return;
    }
    let mut area = ScrollArea::vertical()
        .id_salt("marks")
        .auto_shrink([false, false]);
    if std::mem::take(&mut view.reveal)
        && let Some(at) = rows.iter().position(|row| Some(row.chosen) == view.chosen)
    {
        let step = ROW + ui.spacing().item_spacing.y;
        area =
            area.vertical_scroll_offset((at as f32 * step - ui.available_height() / 2.0).max(0.0));
    }
    area.show_rows(ui, ROW, rows.len(), |ui, range| {
        for row in rows.get(range).unwrap_or_default() {
            row_ui(ui, row, view.chosen == Some(row.chosen), out);
        }
    });
}

fn rows(data: &ReviewData<'_>) -> Vec<Row> {
    let words = data.words();
    let bouts = data
        .ride
        .bouts
        .iter()
        .filter(|bout| bout.review == data.review)
        .map(|bout| Row {
            at: bout.from,
            about: false,
            chosen: Chosen::Bout(bout.id),
            shape: None,
            text: bout_name(words, bout),
            note: if bout.reviewed {
                bout.note.clone()
            } else if bout.to.is_none() {
                "running".into()
            } else {
                "does not count".into()
            },
            origin: None,
        });
    let marks = data
        .ride
        .marks
        .iter()
        .filter(|mark| mark.review == data.review)
        .map(|mark| Row {
            at: mark.at,
            about: !mark.is_on_its_frame() && (mark.press.is_some() || mark.origin.is_some()),
            chosen: Chosen::Mark(mark.id),
            shape: Some(SignShape::of(&mark.kind)),
            text: mark_name(words, data, mark),
            note: mark.note.clone(),
            origin: mark.origin.as_deref().map(origin_text),
        });
    let mut rows: Vec<Row> = bouts.chain(marks).collect();
    // A bout stands before the marks of the same frame.
    rows.sort_by_key(|row| (row.at, row.shape.is_some()));
    rows
}

/// "From rail.csv, line 3, 10:42:15: quaters trailing".
fn origin_text(origin: &Origin) -> String {
    let Origin {
        source,
        line,
        time,
        text,
    } = origin;
    format!("From {source}, line {line}, {time}: {text}")
}

/// What a mark says.
pub(super) fn mark_name(words: &Words, data: &ReviewData<'_>, mark: &Mark) -> String {
    if let Some(text) = measure::mark_text(data.ride, &mark.kind) {
        return text;
    }
    let exercise = mark
        .bout
        .and_then(|id| data.ride.bouts.iter().find(|bout| bout.id == id));
    words.mark_name(exercise.map(|bout| &bout.exercise), &mark.kind)
}

fn summary(data: &ReviewData<'_>) -> String {
    let bouts = data
        .ride
        .bouts
        .iter()
        .filter(|bout| bout.review == data.review)
        .count();
    let own = data
        .ride
        .marks
        .iter()
        .filter(|mark| mark.review == data.review);
    let faults = own
        .filter(|mark| matches!(mark.kind, MarkKind::Fault(_)))
        .count();
    format!(
        "{}, {}",
        counted(bouts, "exercise", "exercises"),
        counted(faults, "fault", "faults")
    )
}

fn row_ui(ui: &mut Ui, row: &Row, chosen: bool, out: &mut Vec<Action>) {
    let tokens = theme::tokens(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::click());
    // What was pressed while the film ran, or written at the rail, is not on its very frame.
    let sign = if row.about { "~" } else { "" };
    let spoken = format!(
        "{}{} {}{}{}",
        if row.about { "about " } else { "" },
        clock::short(row.at),
        row.text,
        if row.note.is_empty() { "" } else { ": " },
        row.note
    );
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, chosen, &spoken));
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        if chosen || response.hovered() || response.has_focus() {
            painter.rect_filled(
                rect,
                4.0,
                if chosen { tokens.chosen } else { tokens.stripe },
            );
        }
        let middle = rect.center().y;
        painter.text(
            pos2(rect.left() + 6.0, middle),
            Align2::LEFT_CENTER,
            format!("{sign}{}", clock::short(row.at)),
            FontId::proportional(12.5),
            tokens.ink_soft,
        );
        let mut left = rect.left() + 58.0;
        let font = match row.shape {
            None => theme::bold(13.5),
            Some(shape) => {
                left += 14.0;
                let sign = Rect::from_center_size(pos2(left, middle), egui::Vec2::splat(10.0));
                sign_at(painter, sign, shape, tokens);
                left += 12.0;
                FontId::proportional(13.5)
            }
        };
        let mut job = egui::text::LayoutJob::default();
        job.append(
            &row.text,
            0.0,
            egui::TextFormat {
                font_id: font,
                color: tokens.ink,
                ..Default::default()
            },
        );
        if !row.note.is_empty() {
            let soft = egui::TextFormat {
                font_id: FontId::proportional(12.5),
                color: tokens.ink_soft,
                ..Default::default()
            };
            job.append(&row.note, 8.0, soft);
        }
        job.wrap = egui::text::TextWrapping::truncate_at_width(rect.right() - left - 4.0);
        let galley = painter.layout_job(job);
        painter.galley(
            pos2(left, middle - galley.size().y / 2.0),
            galley,
            tokens.ink,
        );
    }
    let about = row.about.then_some(if row.origin.is_some() {
        "From notes, so its time is only about right; = moves it to the frame on screen"
    } else {
        "Pressed while the film ran; = sets it to the frame on screen"
    });
    let more = [Some(row.note.as_str()), about, row.origin.as_deref()];
    let lines = more.into_iter().flatten().filter(|line| !line.is_empty());
    let hint = lines.collect::<Vec<_>>().join("\n");
    let response = if hint.is_empty() {
        response
    } else {
        response.on_hover_text(hint)
    };
    if response.clicked() {
        out.push(Action::Choose(Some(row.chosen)));
        out.push(Action::Seek(row.at));
    }
}

fn note_ui(ui: &mut Ui, view: &mut ReviewView, data: &ReviewData<'_>, out: &mut Vec<Action>) {
    let Some(draft) = &mut view.note else { return };
    let mark = &draft.mark;
    let what = mark_name(data.words(), data, mark);
    let name = format!("Note on {what} at {}", clock::short(mark.at));
    ui.label(RichText::new(&name).small());
    let field = TextEdit::singleline(&mut draft.text)
        .desired_width(f32::INFINITY)
        .hint_text("Enter keeps it, Escape puts it away");
    let response = ui.add(field);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, &name));
    if std::mem::take(&mut draft.fresh) {
        response.request_focus();
    }
    let put_away = ui.input(|i| i.key_pressed(Key::Escape));
    if response.lost_focus() {
        let text = draft.text.trim().to_owned();
        if !put_away && text != draft.mark.note {
            let noted = Mark {
                note: text,
                ..draft.mark.clone()
            };
            let edit = Edit::Mark(data.ride.id, noted.id, Some(noted));
            out.push(Action::Edit("write a note".into(), edit));
        }
        view.note = None;
    }
}
