//! The panel beside the film in which notes from the rail are read, corrected and placed.

use egui::{Button, ComboBox, Panel, RichText, ScrollArea, TextEdit, Ui, WidgetInfo};
use reinback_analysis::anchor::{Plausibility, USUAL_PPM};
use reinback_yard::Moment;
use reinback_yard::notes::{Column, DELIMITERS, Layout, PlacedNote, Table, TimeKind, table_with};

use super::list::list_ui;
use super::questions::questions_ui;
use super::read::{ReadNotes, cut_sentence};
use super::{NotesImport, Outcome, PlacedBy};
use crate::action::{Action, NotesStep};
use crate::clock;
use crate::counted::counted;
use crate::rooms::review::ReviewData;
use crate::theme;
use crate::widgets::{Icon, icon_button};

/// Draws the panel's content.
pub(in crate::rooms::review) fn panel_ui(
    ui: &mut Ui,
    import: &mut NotesImport,
    now: Moment,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    if let Some(ride) = data.yard.rides.get(&data.ride.id) {
        import.work_out(ride, data.review, &chrono::Local);
    }
    ui.horizontal(|ui| {
        ui.label(RichText::new("Notes from the rail").font(theme::bold(17.0)));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if icon_button(ui, Icon::Close, "Put the notes away", true).clicked() {
                out.push(Action::Notes(NotesStep::PutAway));
            }
        });
    });
    let Some(notes) = import.notes.clone() else {
        source_ui(ui, import, out);
        return;
    };
    Panel::bottom("notes foot")
        .frame(egui::Frame::new().inner_margin(egui::Margin::symmetric(0, 6)))
        .show(ui, |ui| foot_ui(ui, import, data.writable, out));
    ScrollArea::vertical()
        .id_salt("notes page")
        .auto_shrink([false, false])
        .show(ui, |ui| {
            read_ui(ui, &notes, out);
            trouble_ui(ui, import);
            heading(ui, "Their times");
            times_ui(ui, import);
            moments_ui(ui, import, now);
            ui.add_space(6.0);
            questions_ui(ui, import, data.words());
            heading(ui, "The notes");
            list_ui(ui, import, data.words(), out);
        });
}

fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(8.0);
    ui.label(RichText::new(text).font(theme::bold(14.0)));
}

fn soft(ui: &mut Ui, text: impl Into<String>) {
    let ink = theme::tokens(ui).ink_soft;
    ui.label(RichText::new(text.into()).size(13.0).color(ink));
}

/// A box to paste into, and the way to a file.
fn source_ui(ui: &mut Ui, import: &mut NotesImport, out: &mut Vec<Action>) {
    soft(
        ui,
        "Paste them here, one a line with its time. Or take a file: a table saved as CSV, captions (WebVTT), or text. You can also drop it onto the window.",
    );
    ui.add_space(4.0);
    let lines = TextEdit::multiline(&mut import.pasted)
        .desired_rows(10)
        .desired_width(f32::INFINITY)
        .hint_text(
            "For example:\n10:42:15 half pass left, quarters trailing\n10:44 flying change late behind",
        );
    let height = (ui.available_height() - 130.0).clamp(80.0, 260.0);
    let response = ScrollArea::vertical()
        .id_salt("paste")
        .max_height(height)
        .show(ui, |ui| ui.add(lines));
    response
        .inner
        .widget_info(|| WidgetInfo::labeled(egui::Role::MultilineTextInput, true, "Notes to read"));
    ui.add_space(6.0);
    if import.reading.is_some() {
        ui.horizontal(|ui| {
            ui.spinner();
            ui.label("Reading…");
            if ui.button("Stop").clicked() {
                out.push(Action::Notes(NotesStep::Stop));
            }
        });
        return;
    }
    ui.horizontal(|ui| {
        let read = Button::new(RichText::new("Read these notes").font(theme::bold(14.0)));
        if ui
            .add_enabled(!import.pasted.trim().is_empty(), read)
            .clicked()
        {
            out.push(Action::Notes(NotesStep::ReadPasted(import.pasted.clone())));
        }
        if ui.button("Choose a file…").clicked() {
            out.push(Action::Notes(NotesStep::ChooseFile));
        }
    });
    trouble_ui(ui, import);
}

/// Why nothing was read, the first time or another.
fn trouble_ui(ui: &mut Ui, import: &NotesImport) {
    if let Some(why) = &import.trouble {
        let ink = theme::tokens(ui).fault;
        ui.label(RichText::new(why).color(ink));
    }
}

/// What was read and how, to be corrected.
fn read_ui(ui: &mut Ui, notes: &ReadNotes, out: &mut Vec<Action>) {
    let mut about = format!(
        "{}: {}",
        notes.source,
        counted(notes.notes.len(), "note", "notes")
    );
    if let Some(more) = &notes.about {
        about = format!("{about}, {more}");
    }
    ui.label(about);
    if notes.cut {
        let ink = theme::tokens(ui).caution;
        ui.label(RichText::new(cut_sentence()).color(ink));
    }
    let table = match &notes.layout {
        Layout::Table(table) => Some(table),
        Layout::Lines | Layout::Cues => None,
    };
    let mut again = None;
    ui.horizontal(|ui| {
        ui.label("Read as");
        let lines = notes.layout == Layout::Lines;
        if ui.selectable_label(lines, "lines").clicked() && !lines {
            again = Some(Layout::Lines);
        }
        if ui.selectable_label(table.is_some(), "a table").clicked() && table.is_none() {
            again = Some(Layout::Table(table_with(&notes.text, b',')));
        }
        let cues = notes.layout == Layout::Cues;
        if ui.selectable_label(cues, "captions").clicked() && !cues {
            again = Some(Layout::Cues);
        }
    });
    if let Some(table) = table {
        again = again.or_else(|| table_ui(ui, &notes.text, table));
    }
    out.extend(again.map(|layout| Action::Notes(NotesStep::ReadAgain(layout))));
}

fn delimiter_name(sign: u8) -> &'static str {
    match sign {
        b',' => "comma",
        b';' => "semicolon",
        b'\t' => "tab",
        _ => "upright stroke",
    }
}

const COLUMNS: [(Column, &str); 4] = [
    (Column::Time, "time"),
    (Column::Day, "day"),
    (Column::Text, "words"),
    (Column::Unused, "not wanted"),
];

fn column_name(column: Column) -> &'static str {
    COLUMNS
        .iter()
        .find(|(own, _)| *own == column)
        .map_or("", |(_, name)| name)
}

/// What parts the columns and what each holds; gives what the rider made of it.
fn table_ui(ui: &mut Ui, text: &str, table: &Table) -> Option<Layout> {
    let mut again = None;
    ui.horizontal(|ui| {
        ui.label("Columns parted by");
        let name = delimiter_name(table.delimiter);
        let response = ComboBox::from_id_salt("delimiter")
            .selected_text(name)
            .show_ui(ui, |ui| {
                for sign in DELIMITERS {
                    let here = sign == table.delimiter;
                    if ui.selectable_label(here, delimiter_name(sign)).clicked() && !here {
                        again = Some(table_with(text, sign));
                    }
                }
            });
        response.response.widget_info(|| {
            WidgetInfo::labeled(
                egui::Role::ComboBox,
                true,
                format!("Columns parted by, {name}"),
            )
        });
    });
    let mut header = table.header;
    if ui
        .checkbox(&mut header, "The first row names the columns")
        .changed()
    {
        again = Some(Table {
            header,
            ..table.clone()
        });
    }
    ui.horizontal_wrapped(|ui| {
        for (index, column) in table.columns.iter().enumerate() {
            let title = table.names.get(index).filter(|name| !name.is_empty());
            let title = title
                .cloned()
                .unwrap_or_else(|| format!("column {}", index + 1));
            ui.label(RichText::new(&title).font(theme::bold(13.0)));
            let name = column_name(*column);
            let response = ComboBox::from_id_salt(("column", index))
                .width(92.0)
                .selected_text(name)
                .show_ui(ui, |ui| {
                    for (other, name) in COLUMNS {
                        if ui.selectable_label(other == *column, name).clicked() && other != *column
                        {
                            let mut changed = table.clone();
                            changed.set(index, other);
                            again = Some(changed);
                        }
                    }
                });
            response.response.widget_info(|| {
                WidgetInfo::labeled(
                    egui::Role::ComboBox,
                    true,
                    format!("Column {title}, {name}"),
                )
            });
        }
    });
    again.map(Layout::Table)
}

fn times_ui(ui: &mut Ui, import: &mut NotesImport) {
    let Some(outcome) = import.outcome() else {
        return;
    };
    let (mut kind, guess) = (outcome.kind, outcome.guess);
    ui.horizontal(|ui| {
        ui.radio_value(&mut kind, TimeKind::OfDay, "times of day");
        ui.radio_value(&mut kind, TimeKind::Elapsed, "a stop watch");
        if !guess.sure && import.kind.is_none() {
            soft(ui, "guessed");
        }
    });
    if kind != outcome_kind(import) {
        import.kind = Some(kind);
        import.anchors.clear();
        import.changed();
    }
}

fn outcome_kind(import: &NotesImport) -> TimeKind {
    import
        .outcome()
        .map_or(TimeKind::Elapsed, |outcome| outcome.kind)
}

/// What the notes are placed by, and the moments that were matched.
fn moments_ui(ui: &mut Ui, import: &mut NotesImport, now: Moment) {
    let tokens = theme::tokens(ui);
    let Some(outcome) = import.outcome() else {
        return;
    };
    match outcome.placement {
        Ok(_) => soft(ui, placed_sentence(outcome)),
        Err(why) => {
            ui.label(RichText::new(why.to_string()).color(tokens.caution));
        }
    }
    if let Some((text, caution)) = drift_sentence(outcome) {
        let ink = if caution {
            tokens.caution
        } else {
            tokens.ink_soft
        };
        ui.label(RichText::new(text).size(13.0).color(ink));
    }
    let mut gone = None;
    if let Some(notes) = &import.notes {
        for (index, (note, at)) in import.anchors.iter().enumerate() {
            let text = notes.notes.get(*note).map_or("", |note| note.time.as_str());
            ui.horizontal(|ui| {
                ui.label(format!("{text} is {} on the ride", clock::exact(*at)));
                let name = format!("Forget the moment of {text}");
                if icon_button(ui, Icon::Close, &name, true).clicked() {
                    gone = Some(index);
                }
            });
        }
    }
    if let Some(index) = gone {
        import.anchors.remove(index);
        import.changed();
    }
    let timed = |note: &usize| {
        let own = import
            .outcome()
            .and_then(|outcome| outcome.own.get(*note).copied().flatten());
        own.is_some()
    };
    let chosen = import.chosen.filter(timed);
    let text = format!("The chosen note is at this moment ({})", clock::exact(now));
    let button = ui.add_enabled(chosen.is_some(), Button::new(text));
    let button = button.on_disabled_hover_text(
        "Choose a note in the list first, then find its moment on the film",
    );
    if button.clicked()
        && let Some(note) = chosen
    {
        import.match_moment(note, now);
    }
}

fn placed_sentence(outcome: &Outcome) -> String {
    match outcome.by {
        PlacedBy::TimeOfDay => "Placed by the ride's time of day. A watch and a camera seldom agree to the second: match one note with its moment on the film.".into(),
        PlacedBy::FilmStart => "Placed as if the watch was started with the first film. Match one note with its moment on the film.".into(),
        PlacedBy::OneMoment => "Placed by one moment. A second one, far from it, tells whether the watch ran fast or slow.".into(),
        PlacedBy::TwoMoments => "Placed by two moments.".into(),
    }
}

/// How fast the notes' clock runs, and whether that is a caution.
fn drift_sentence(outcome: &Outcome) -> Option<(String, bool)> {
    if outcome.by != PlacedBy::TwoMoments || outcome.placement.is_err() {
        return None;
    }
    let Some(drift) = outcome.drift else {
        return Some((
            "The two moments lie too close together to tell how the watch ran".into(),
            true,
        ));
    };
    let what = if drift.value < 0.0 { "slow" } else { "fast" };
    let amount = format!(
        "The watch ran {:.0} parts per million {what} (between {:+.0} and {:+.0})",
        drift.value.abs(),
        drift.low,
        drift.high
    );
    Some(match drift.plausibility() {
        Plausibility::Usual => (amount, false),
        Plausibility::NotToldFromNone => (format!("{amount}: as good as none"), false),
        Plausibility::Unusual => (
            format!(
                "{amount}. Watches and cameras stay below {USUAL_PPM:.0}: one of the two is probably another moment"
            ),
            true,
        ),
    })
}

fn foot_ui(ui: &mut Ui, import: &mut NotesImport, writable: bool, out: &mut Vec<Action>) {
    let tokens = theme::tokens(ui);
    let (placed, far, off, unclear) = import.outcome().map_or((0, 0, 0, 0), |outcome| {
        let of =
            |what: fn(&PlacedNote) -> bool| outcome.placed.iter().filter(|own| what(own)).count();
        let (off, unclear) = (of(|own| own.off_film), of(|own| own.unclear));
        (outcome.placed.len(), outcome.far, off, unclear)
    });
    let all = import.notes.as_ref().map_or(0, |notes| notes.notes.len());
    let mut about = Vec::new();
    let none = all.saturating_sub(placed + far);
    if none > 0 {
        let text = counted(none, "note", "notes");
        about.push(format!("{text} without a place"));
    }
    if far > 0 {
        let text = counted(far, "note", "notes");
        about.push(format!("{text} more than 12 hours from every film"));
    }
    if unclear > 0 {
        about.push(format!("{unclear} with a fault of no clear exercise"));
    }
    if off > 0 {
        about.push(format!("{off} outside every film"));
    }
    let open = import.open_questions().count();
    if open > 0 {
        about.push(format!("{} not decided", counted(open, "word", "words")));
    }
    if !about.is_empty() {
        ui.label(
            RichText::new(about.join(", "))
                .size(13.0)
                .color(tokens.caution),
        );
    }
    ui.horizontal(|ui| {
        let text = format!("Place {}", counted(placed, "note", "notes"));
        let place = Button::new(RichText::new(text).font(theme::bold(14.5)));
        let response = ui.add_enabled(writable && placed > 0, place);
        if response
            .on_hover_text("Each becomes a mark that keeps where it came from; one step to undo")
            .clicked()
        {
            out.push(Action::Notes(NotesStep::Place));
        }
        if ui.button("Other notes…").clicked() {
            out.push(Action::Notes(NotesStep::Others));
        }
        if import.reading.is_some() {
            ui.spinner();
        }
    });
}
