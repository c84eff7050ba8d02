//! The notes one below the other, each with its moment, its words and what it becomes.

use egui::{Align2, FontId, Rect, ScrollArea, Sense, Ui, WidgetInfo, pos2, vec2};
use reinback_yard::notes::{NoteFlaw, PlacedNote, RawNote};
use reinback_yard::{MarkKind, Rein, Words};

use super::read::ReadNotes;
use super::{NotesImport, Outcome};
use crate::action::Action;
use crate::clock;
use crate::theme;

const ROW: f32 = 40.0;
const HEIGHT: f32 = 280.0;

/// Draws the list; a click chooses a note and goes to its moment.
pub(super) fn list_ui(ui: &mut Ui, import: &mut NotesImport, words: &Words, out: &mut Vec<Action>) {
    let (Some(notes), Some(outcome)) = (import.notes.clone(), import.outcome()) else {
        return;
    };
    let mut clicked = None;
    ScrollArea::vertical()
        .id_salt("notes")
        .max_height(HEIGHT)
        .auto_shrink([false, true])
        .show_rows(ui, ROW, notes.notes.len(), |ui, range| {
            for index in range {
                if row_ui(ui, index, &notes, outcome, import.chosen, words) {
                    clicked = Some(index);
                }
            }
        });
    if let Some(index) = clicked {
        let place = outcome.place_of.get(index).copied().flatten();
        let placed = place.and_then(|at| outcome.placed.get(at));
        // Where no film is there is nothing to see, and the moment being looked for would be lost.
        let at = placed.filter(|own| !own.off_film).map(|own| own.at);
        out.extend(at.map(Action::Seek));
        import.chosen = Some(index);
    }
}

fn row_ui(
    ui: &mut Ui,
    index: usize,
    notes: &ReadNotes,
    outcome: &Outcome,
    chosen: Option<usize>,
    words: &Words,
) -> bool {
    let Some(note) = notes.notes.get(index) else {
        return false;
    };
    let place = outcome.place_of.get(index).copied().flatten();
    let placed = place.and_then(|at| outcome.placed.get(at));
    let at = placed.map_or_else(|| "–".to_owned(), |own| clock::short(own.at));
    let (about, caution) = about(note, placed, outcome, index, words);
    let tokens = theme::tokens(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::click());
    let spoken = format!("Note {at} {}: {about}", note.text);
    let here = chosen == Some(index);
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, here, &spoken));
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        if here || response.hovered() || response.has_focus() {
            let fill = if here { tokens.chosen } else { tokens.stripe };
            painter.rect_filled(rect, 4.0, fill);
        }
        let left = rect.left() + 66.0;
        let line = |y: f32, text: &str, size: f32, ink: egui::Color32| {
            let mut job = egui::text::LayoutJob::simple_singleline(
                text.replace('\n', " "),
                FontId::proportional(size),
                ink,
            );
            job.wrap = egui::text::TextWrapping::truncate_at_width(rect.right() - left - 4.0);
            let galley = painter.layout_job(job);
            painter.galley(pos2(left, y), galley, ink);
        };
        line(rect.top() + 3.0, &note.text, 13.5, tokens.ink);
        let ink = if caution {
            tokens.caution
        } else {
            tokens.ink_soft
        };
        line(rect.top() + 21.0, &about, 12.0, ink);
        let times = Rect::from_min_max(pos2(rect.left() + 6.0, rect.top() + 3.0), rect.max);
        painter.text(
            times.min,
            Align2::LEFT_TOP,
            &at,
            theme::bold(13.0),
            tokens.ink,
        );
        painter.text(
            pos2(times.left(), rect.top() + 21.0),
            Align2::LEFT_TOP,
            short(&note.time),
            FontId::proportional(11.5),
            tokens.ink_soft,
        );
    }
    response
        .on_hover_text(format!("line {}: {} {}", note.line, note.time, note.text))
        .clicked()
}

/// A written time in the room there is for it.
fn short(time: &str) -> String {
    time.chars().take(9).collect()
}

/// What a note becomes and what is odd about it; whether that is a caution.
fn about(
    note: &RawNote,
    placed: Option<&PlacedNote>,
    outcome: &Outcome,
    index: usize,
    words: &Words,
) -> (String, bool) {
    let mut parts: Vec<String> = Vec::new();
    let mut caution = false;
    if let Some(placed) = placed {
        let kinds: Vec<String> = placed
            .kinds
            .iter()
            .map(|kind| kind_name(words, kind))
            .collect();
        let mut said = placed
            .exercise
            .as_ref()
            .map_or_else(String::new, |id| words.exercise_name(id));
        match placed.rein {
            Some(Rein::Left) => said.push_str(" left"),
            Some(Rein::Right) => said.push_str(" right"),
            None => {}
        }
        let kinds = kinds.join(" and ");
        parts.push(match said.trim() {
            "" => kinds,
            said => format!("{said}, {kinds}"),
        });
        if placed.off_film {
            parts.push("outside every film".into());
            caution = true;
        }
        if let Some(other) = &placed.within_other {
            parts.push(format!("but {} is marked here", words.exercise_name(other)));
            caution = true;
        }
    }
    if let Some(flaw) = note.flaw {
        let lost = placed.is_none() && flaw != NoteFlaw::Cut;
        parts.push(if lost {
            format!("not placed: {flaw}")
        } else {
            flaw.to_string()
        });
        caution = true;
    }
    if let Some(remark) = outcome
        .own
        .get(index)
        .copied()
        .flatten()
        .and_then(|own| own.remark)
    {
        parts.push(remark.to_string());
        caution = true;
    }
    (parts.join(", "), caution)
}

fn kind_name(words: &Words, kind: &MarkKind) -> String {
    match kind {
        MarkKind::Fault(id) => format!("fault: {}", words.fault_name(None, id)),
        other => words.mark_name(None, other),
    }
}
