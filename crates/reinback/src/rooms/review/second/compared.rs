//! Two reviews side by side: figures, differences each a click from the film, and what is merged.

use egui::{
    Align, Button, ComboBox, CursorIcon, DragValue, Frame, Layout, Margin, RichText, Sense, Ui,
    WidgetInfo,
};
use reinback_yard::reviews::{Choices, Comparison, Difference, Keep, Thing, lie_over};
use reinback_yard::{ReviewId, Ride};

use super::Compared;
use super::text::{BOUTS, Line, MARKS, Names, difference, figures};
use crate::action::{Action, Chosen, ReviewsStep};
use crate::clock;
use crate::counted::counted;
use crate::rooms::review::ReviewData;
use crate::theme;

/// Most seconds that two things may be apart and still be the same. Our own choice; the analysis
/// takes up to a minute.
const WIDEST: f64 = 30.0;

/// Draws the comparison, or why there is none yet.
pub(super) fn compared_ui(
    ui: &mut Ui,
    compared: &mut Compared,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    ui.label(RichText::new("Compared").font(theme::bold(15.5)));
    if data.blind {
        soft(ui, "When this review is done; until then it is blind.");
        return;
    }
    let head = &data.ride.head;
    let open: Vec<ReviewId> = head
        .reviews
        .iter()
        .filter(|review| !review.blind)
        .map(|review| review.id)
        .collect();
    if open.len() < 2 {
        soft(ui, "The other review is not done yet: it is still blind.");
        return;
    }
    pair_ui(ui, compared, &open, data);
    tolerance_ui(ui, compared);
    let Some(comparison) = compared.comparison(data.ride, data.revision).cloned() else {
        soft(ui, "Choose two different reviews.");
        return;
    };
    let (first, other) = (
        head.review_name(comparison.first),
        head.review_name(comparison.second),
    );
    let names = Names {
        first: &first,
        second: &other,
    };
    figures_ui(ui, "Exercises", &figures(&comparison.bouts, names, BOUTS));
    figures_ui(ui, "Marks", &figures(&comparison.marks, names, MARKS));
    differences_ui(ui, compared, &comparison, names, data, out);
    merge_ui(ui, compared, &comparison, names, data, out);
}

fn soft(ui: &mut Ui, text: impl Into<String>) {
    let ink = theme::tokens(ui).ink_soft;
    ui.label(RichText::new(text.into()).size(13.0).color(ink));
}

/// Which two.
fn pair_ui(ui: &mut Ui, compared: &mut Compared, open: &[ReviewId], data: &ReviewData<'_>) {
    let head = &data.ride.head;
    let known = |id: &ReviewId| open.contains(id);
    let (first, other) = compared
        .pair
        .filter(|(first, other)| known(first) && known(other))
        .unwrap_or_else(|| usual_pair(head.counting, open));
    let (mut a, mut b) = (first, other);
    ui.horizontal(|ui| {
        for (salt, spoken, choice) in [
            ("first", "First review", &mut a),
            ("second", "Second review", &mut b),
        ] {
            let response = ComboBox::from_id_salt(salt)
                .width(150.0)
                .selected_text(head.review_name(*choice))
                .show_ui(ui, |ui| {
                    for id in open {
                        ui.selectable_value(choice, *id, head.review_name(*id));
                    }
                });
            response
                .response
                .widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, spoken));
            if salt == "first" {
                ui.label("and");
            }
        }
    });
    if compared.pair != Some((a, b)) {
        compared.compare(a, b);
    }
}

/// The one that counts with the first of the others.
fn usual_pair(counting: ReviewId, open: &[ReviewId]) -> (ReviewId, ReviewId) {
    let first = if open.contains(&counting) {
        counting
    } else {
        open.first().copied().unwrap_or(counting)
    };
    let other = open.iter().copied().find(|id| *id != first);
    (first, other.unwrap_or(first))
}

fn tolerance_ui(ui: &mut Ui, compared: &mut Compared) {
    ui.horizontal_wrapped(|ui| {
        ui.label("The same if within");
        for (spoken, nanos, text) in [
            (
                "Seconds between marks",
                &mut compared.tolerance.marks,
                "for marks,",
            ),
            (
                "Seconds between starts",
                &mut compared.tolerance.bouts,
                "for starts",
            ),
        ] {
            let mut seconds = *nanos as f64 / 1e9;
            let value = DragValue::new(&mut seconds)
                .range(0.0..=WIDEST)
                .speed(0.05)
                .max_decimals(2)
                .suffix(" s")
                .update_while_editing(false);
            let response = ui.add(value);
            response.widget_info(|| WidgetInfo::labeled(egui::Role::SpinButton, true, spoken));
            if response.changed() {
                *nanos = (seconds * 1e9).round() as i64;
            }
            ui.label(text);
        }
    });
}

fn figures_ui(ui: &mut Ui, heading: &str, lines: &[Line]) {
    ui.add_space(4.0);
    ui.label(RichText::new(heading).font(theme::bold(14.0)));
    for line in lines {
        if line.soft {
            soft(ui, &line.text);
        } else {
            ui.label(&line.text);
        }
    }
}

fn differences_ui(
    ui: &mut Ui,
    compared: &mut Compared,
    comparison: &Comparison,
    names: Names<'_>,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    ui.add_space(6.0);
    let count = comparison.differences.len();
    let text = match count {
        0 => "No differences".to_owned(),
        _ => counted(count as f64, "difference", "differences"),
    };
    ui.horizontal(|ui| {
        ui.label(RichText::new(text).font(theme::bold(14.0)));
        soft(ui, format!("{} alike", comparison.alike.len()));
    });
    for it in &comparison.differences {
        difference_ui(ui, &mut compared.choices, it, names, data, out);
    }
}

fn difference_ui(
    ui: &mut Ui,
    choices: &mut Choices,
    it: &Difference,
    names: Names<'_>,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let tokens = theme::tokens(ui);
    let text = difference(it, data.ride, data.words(), names);
    let frame = Frame::new()
        .fill(tokens.stripe)
        .corner_radius(5.0)
        .inner_margin(Margin::symmetric(8, 4));
    let line = format!("{}  {text}", clock::short(it.at));
    let keeps = if data.writable {
        keeps(it, names, both_may_stay(it, data.ride))
    } else {
        Vec::new()
    };
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        // In or out stands behind the line; four choices need one of their own.
        let behind = keeps.len() <= 2;
        ui.horizontal(|ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if behind {
                    for choice in keeps.iter().rev() {
                        keep_ui(ui, choices, it, *choice, &line);
                    }
                }
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    moment_ui(ui, it, own(it, data), &line, out);
                });
            });
        });
        if !behind {
            ui.horizontal_wrapped(|ui| {
                for choice in &keeps {
                    keep_ui(ui, choices, it, *choice, &line);
                }
            });
        }
    });
    ui.add_space(2.0);
}

/// What the review on screen has of a difference.
fn own(it: &Difference, data: &ReviewData<'_>) -> Option<Chosen> {
    let shown = |thing: &Thing| match thing {
        Thing::Bout(id) => {
            let mut bouts = data.ride.bouts.iter();
            let own = bouts.any(|bout| bout.id == *id && bout.review == data.review);
            own.then_some(Chosen::Bout(*id))
        }
        Thing::Mark(id) => {
            let mut marks = data.ride.marks.iter();
            let own = marks.any(|mark| mark.id == *id && mark.review == data.review);
            own.then_some(Chosen::Mark(*id))
        }
        Thing::Tempo(_) => None,
    };
    [it.first, it.second].iter().flatten().find_map(shown)
}

/// The line of a difference, a click from the film.
fn moment_ui(
    ui: &mut Ui,
    it: &Difference,
    chosen: Option<Chosen>,
    line: &str,
    out: &mut Vec<Action>,
) {
    let label = egui::Label::new(line).truncate().sense(Sense::click());
    let response = ui.add(label).on_hover_cursor(CursorIcon::PointingHand);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Link, true, line));
    if response.on_hover_text(line).clicked() {
        out.push(Action::Choose(chosen));
        out.push(Action::Seek(it.at));
    }
}

fn keep_ui(
    ui: &mut Ui,
    choices: &mut Choices,
    it: &Difference,
    (keep, word): (Keep, &str),
    line: &str,
) {
    let chosen = choices.get(&it.key()) == Some(&keep);
    let response = ui.add(Button::new(word).small().selected(chosen));
    response.widget_info(|| {
        let spoken = format!("{word}: {line}");
        WidgetInfo::selected(egui::Role::RadioButton, true, chosen, spoken)
    });
    if response.clicked() {
        choices.insert(it.key(), keep);
    }
}

/// Whether both of a difference may be kept: of one riding, only one exercise can count.
fn both_may_stay(it: &Difference, ride: &Ride) -> bool {
    let bout = |thing: Option<Thing>| match thing? {
        Thing::Bout(id) => ride.bouts.iter().find(|bout| bout.id == id),
        Thing::Mark(_) | Thing::Tempo(_) => None,
    };
    let bouts = bout(it.first).zip(bout(it.second));
    bouts.is_none_or(|(one, other)| !lie_over(one, other))
}

/// What can be chosen: where only one has it, it is in or out.
fn keeps<'a>(it: &Difference, names: Names<'a>, both: bool) -> Vec<(Keep, &'a str)> {
    match (it.first, it.second) {
        (Some(_), None) => vec![(Keep::First, "keep"), (Keep::Neither, "leave out")],
        (None, Some(_)) => vec![(Keep::Second, "keep"), (Keep::Neither, "leave out")],
        _ => {
            let both = both.then_some((Keep::Both, "both"));
            let sides = [(Keep::First, names.first), (Keep::Second, names.second)];
            let sides = sides.into_iter().chain(both);
            sides.chain([(Keep::Neither, "neither")]).collect()
        }
    }
}

fn merge_ui(
    ui: &mut Ui,
    compared: &mut Compared,
    comparison: &Comparison,
    names: Names<'_>,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    if !data.writable {
        return;
    }
    ui.add_space(6.0);
    let open = |compared: &Compared| {
        let differences = comparison.differences.iter();
        differences
            .filter(|it| !compared.choices.contains_key(&it.key()))
            .count()
    };
    let left = open(compared);
    if left > 0 {
        let text = format!(
            "{} still to decide.",
            counted(left as f64, "difference", "differences")
        );
        ui.label(text);
        ui.horizontal_wrapped(|ui| {
            ui.label("Decide the rest:");
            // The last part of each: what becomes of something that both have in their way.
            for (text, only_first, only_second, both) in [
                (
                    format!("as {}", names.first),
                    Keep::First,
                    Keep::Neither,
                    Keep::First,
                ),
                (
                    format!("as {}", names.second),
                    Keep::Neither,
                    Keep::Second,
                    Keep::Second,
                ),
                (
                    format!("all of both, {}'s where they differ", names.first),
                    Keep::First,
                    Keep::Second,
                    Keep::First,
                ),
                (
                    "leave all out".to_owned(),
                    Keep::Neither,
                    Keep::Neither,
                    Keep::Neither,
                ),
            ] {
                if !ui.button(text).clicked() {
                    continue;
                }
                for it in &comparison.differences {
                    let keep = match (it.first, it.second) {
                        (Some(_), None) => only_first,
                        (None, _) => only_second,
                        (Some(_), Some(_)) => both,
                    };
                    compared.choices.entry(it.key()).or_insert(keep);
                }
            }
        });
    }
    let merge = Button::new("Merge into a third review, which counts");
    let tip = "Holds what both have alike and what you chose; the two stay as they are";
    if ui
        .add_enabled(left == 0, merge)
        .on_hover_text(tip)
        .clicked()
    {
        out.push(Action::Reviews(ReviewsStep::Merge));
    }
}
