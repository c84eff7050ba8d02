//! Words that are not certain: each with what it may mean, for the rider to decide.

use egui::{ComboBox, RichText, Ui, WidgetInfo};
use reinback_yard::Words;
use reinback_yard::notes::{Meaning, Question};

use super::{NotesImport, meaning_name};
use crate::counted::counted;
use crate::theme;

/// Words of each sort that are listed at most; the rest is counted.
const LISTED: usize = 60;

/// Draws the uncertain words, then those the yard does not know.
pub(super) fn questions_ui(ui: &mut Ui, import: &mut NotesImport, words: &Words) {
    let Some(notes) = import.notes.clone() else {
        return;
    };
    let tokens = theme::tokens(ui);
    let (uncertain, unknown): (Vec<&Question>, Vec<&Question>) = notes
        .questions
        .iter()
        .partition(|question| !question.candidates.is_empty());
    if !uncertain.is_empty() {
        let open = import.open_questions().count();
        let text = if open == 0 {
            "Words to decide: all decided".to_owned()
        } else {
            format!("Words to decide: {open} of {}", uncertain.len())
        };
        ui.label(RichText::new(text).font(theme::bold(14.0)));
        if open > 0 {
            let why = "An undecided word stays in the note and makes no fault.";
            ui.label(RichText::new(why).size(13.0).color(tokens.ink_soft));
        }
        listed_ui(ui, import, &uncertain, words);
    }
    if unknown.is_empty() {
        return;
    }
    ui.add_space(4.0);
    let title = format!(
        "{} the yard does not know",
        counted(unknown.len(), "word", "words")
    );
    egui::CollapsingHeader::new(title)
        .id_salt("unknown words")
        .show(ui, |ui| {
            listed_ui(ui, import, &unknown, words);
        });
}

fn listed_ui(ui: &mut Ui, import: &mut NotesImport, questions: &[&Question], words: &Words) {
    for question in questions.iter().take(LISTED) {
        question_ui(ui, import, question, words);
    }
    if questions.len() > LISTED {
        let ink = theme::tokens(ui).ink_soft;
        let rest = format!(
            "and {} rarer ones, which stay words",
            questions.len() - LISTED
        );
        ui.label(RichText::new(rest).size(13.0).color(ink));
    }
}

fn question_ui(ui: &mut Ui, import: &mut NotesImport, question: &Question, words: &Words) {
    let tokens = theme::tokens(ui);
    let decided = import.decisions.get(&question.key).cloned();
    let shown = match &decided {
        None if question.candidates.is_empty() => "just words".to_owned(),
        None => "not decided".to_owned(),
        Some(None) => "just words".to_owned(),
        Some(Some(meaning)) => meaning_name(words, meaning),
    };
    let mut choice = None;
    ui.horizontal(|ui| {
        let name = format!("“{}”", question.key);
        let times = counted(question.notes, "note", "notes");
        ui.add(egui::Label::new(name).truncate())
            .on_hover_text(format!("in {times}"));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let response = ComboBox::from_id_salt(("meaning", &question.key))
                .width(190.0)
                .selected_text(shown.clone())
                .show_ui(ui, |ui| {
                    for meaning in &question.candidates {
                        let name = meaning_name(words, meaning);
                        let here = decided.as_ref() == Some(&Some(meaning.clone()));
                        if ui.selectable_label(here, name).clicked() {
                            choice = Some(Some(meaning.clone()));
                        }
                    }
                    if ui
                        .selectable_label(decided == Some(None), "just words")
                        .clicked()
                    {
                        choice = Some(None);
                    }
                    ui.separator();
                    for meaning in all_meanings(words) {
                        if !question.candidates.contains(&meaning)
                            && ui
                                .selectable_label(false, meaning_name(words, &meaning))
                                .clicked()
                        {
                            choice = Some(Some(meaning));
                        }
                    }
                });
            response.response.widget_info(|| {
                WidgetInfo::labeled(
                    egui::Role::ComboBox,
                    true,
                    format!("Meaning of {}, {shown}", question.key),
                )
            });
            ui.label(
                RichText::new(format!("{}×", question.notes))
                    .small()
                    .color(tokens.ink_soft),
            );
        });
    });
    if let Some(choice) = choice {
        import.decisions.insert(question.key.clone(), choice);
        import.changed();
    }
}

/// Everything a word could stand for: praise, exercises, faults by their name.
fn all_meanings(words: &Words) -> Vec<Meaning> {
    let exercises = words
        .exercises
        .iter()
        .map(|own| Meaning::Exercise(own.id.clone()));
    let faults = words
        .exercises
        .iter()
        .flat_map(|exercise| &exercise.faults)
        .chain(&words.general_faults);
    let mut faults: Vec<Meaning> = faults.map(|own| Meaning::Fault(own.id.clone())).collect();
    faults.sort_unstable();
    faults.dedup();
    [Meaning::Praise, Meaning::Repeated]
        .into_iter()
        .chain(exercises)
        .chain(faults)
        .collect()
}
