//! The list of bouts and marks: the strip's twin in text.

use egui::{
    Align2, FontId, Key, Rect, RichText, ScrollArea, Sense, TextEdit, Ui, WidgetInfo, pos2, vec2,
};
use reinback_yard::{Edit, Mark, MarkKind, Moment, Origin};

use super::selection::{Thing, things};
use super::strip::names::{mark_name, tempo_name};
use super::strip::paint::sign_at;
use super::strip::signs::{SignShape, is_about};
use super::{ReviewData, ReviewView, bout_name, chosen};
use crate::action::{Action, Chosen, Select};
use crate::clock;
use crate::command::Command;
use crate::counted::counted;
use crate::theme;

/// A line of the list. Only those in view are made.
struct Row {
    at: Moment,
    /// Whether it stands only near its frame.
    about: bool,
    chosen: Chosen,
    kind: Kind,
    text: String,
    note: String,
    /// Where it was brought in from, if it was.
    origin: Option<String>,
}

/// How a line looks.
#[derive(Clone, Copy)]
enum Kind {
    Bout,
    Stretch,
    Mark(SignShape),
}

const ROW: f32 = 26.0;

/// Draws the list and the note being written.
pub(super) fn list_ui(
    ui: &mut Ui,
    view: &mut ReviewView,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let things = things(data.ride, data.review);
    let tokens = theme::tokens(ui);
    ui.horizontal(|ui| {
        ui.label(RichText::new("Marks").font(theme::bold(15.5)));
        ui.label(RichText::new(summary(data)).small().color(tokens.ink_soft));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.menu_button("More…", |ui| {
                for command in [
                    Command::Notes,
                    Command::Clips,
                    Command::Measure,
                    Command::Plan,
                    Command::Reviews,
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
    chosen::chosen_ui(ui, view, data, out);
    if things.is_empty() {
        ui.add_space(8.0);
        ui.label(RichText::new("Nothing is marked yet. Play the film, type the letters of an exercise as it begins, and its fault keys as things happen.").color(tokens.ink_soft));
        return;
    }
    let mut area = ScrollArea::vertical()
        .id_salt("marks")
        .auto_shrink([false, false]);
    if std::mem::take(&mut view.reveal)
        && let Some(at) = things
            .iter()
            .position(|thing| Some(thing.chosen) == view.chosen)
    {
        let step = ROW + ui.spacing().item_spacing.y;
        area =
            area.vertical_scroll_offset((at as f32 * step - ui.available_height() / 2.0).max(0.0));
    }
    area.show_rows(ui, ROW, things.len(), |ui, range| {
        for thing in things.get(range).unwrap_or_default() {
            if let Some(row) = row(data, thing) {
                let chosen = view.selection.all().contains(&row.chosen);
                row_ui(ui, &row, chosen, out);
            }
        }
    });
}

fn row(data: &ReviewData<'_>, thing: &Thing) -> Option<Row> {
    let (words, ride, index) = (data.words(), data.ride, thing.index);
    let mut row = Row {
        at: thing.at,
        about: false,
        chosen: thing.chosen,
        kind: Kind::Stretch,
        text: String::new(),
        note: String::new(),
        origin: None,
    };
    let until = |to: Moment| format!("until {}", clock::short(to));
    match thing.chosen {
        Chosen::Bout(_) => {
            let bout = ride.bouts.get(index)?;
            row.kind = Kind::Bout;
            row.text = bout_name(words, bout);
            row.note = if bout.reviewed {
                bout.note.clone()
            } else if bout.to.is_none() {
                "running".into()
            } else {
                "does not count".into()
            };
        }
        Chosen::Mark(_) => {
            let mark = ride.marks.get(index)?;
            row.kind = Kind::Mark(SignShape::of(&mark.kind));
            row.about = is_about(mark);
            row.text = mark_name(words, ride, mark);
            row.note.clone_from(&mark.note);
            row.origin = mark.origin.as_deref().map(origin_text);
        }
        Chosen::Pace(_) => {
            let pace = ride.paces.get(index)?;
            row.text = format!("pace: {}", pace.pace.name());
            row.note = until(pace.span.to);
        }
        Chosen::Outline(_) => {
            let outline = ride.outlines.get(index)?;
            row.text = format!("outline: {}", words.outline_name(&outline.outline));
            row.note = until(outline.span.to);
        }
        Chosen::Tempo(_) => {
            let track = ride.tempos.get(index)?;
            row.text = tempo_name(track);
            row.note = until(track.span()?.to);
        }
        // Taps are lines of the strip only; their tempo is the line here.
        Chosen::Tap(..) => return None,
    }
    Some(row)
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
        let font = match row.kind {
            Kind::Bout => theme::bold(13.5),
            Kind::Stretch => FontId::proportional(12.5),
            Kind::Mark(shape) => {
                left += 14.0;
                let sign = Rect::from_center_size(pos2(left, middle), egui::Vec2::splat(10.0));
                sign_at(painter, sign, shape, row.about, tokens);
                left += 12.0;
                FontId::proportional(13.5)
            }
        };
        let ink = match row.kind {
            Kind::Stretch => tokens.ink_soft,
            Kind::Bout | Kind::Mark(_) => tokens.ink,
        };
        let mut job = egui::text::LayoutJob::default();
        job.append(
            &row.text,
            0.0,
            egui::TextFormat {
                font_id: font,
                color: ink,
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
        let modifiers = ui.input(|i| i.modifiers);
        if modifiers.command {
            out.push(Action::Select(Select::Toggle(row.chosen)));
        } else if modifiers.shift {
            out.push(Action::Select(Select::Through(row.chosen)));
        } else {
            out.push(Action::Choose(Some(row.chosen)));
            out.push(Action::Seek(row.at));
        }
    }
}

/// The note that is being written, if any.
pub(super) fn note_ui(
    ui: &mut Ui,
    view: &mut ReviewView,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let Some(draft) = &mut view.note else { return };
    let mark = &draft.mark;
    let what = mark_name(data.words(), data.ride, mark);
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
