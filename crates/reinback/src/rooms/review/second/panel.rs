//! The panel of the ride's reviews, and the line above the film that says whose is on screen.

use egui::{
    Align, Button, Frame, Layout, Margin, Panel, RichText, ScrollArea, TextEdit, Ui, WidgetInfo,
};
use reinback_yard::reviews::{self, Held};
use reinback_yard::{Review, ReviewId};

use super::compared::compared_ui;
use super::{Compared, Second};
use crate::action::{Action, ReviewsStep};
use crate::command::Command;
use crate::counted::counted;
use crate::rooms::review::ReviewData;
use crate::theme;
use crate::widgets::{Icon, icon_button};

/// Draws the panel's content.
pub(in crate::rooms::review) fn panel_ui(
    ui: &mut Ui,
    (second, compared): (&mut Second, &mut Compared),
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        ui.label(RichText::new("Reviews of this ride").font(theme::bold(17.0)));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if icon_button(ui, Icon::Close, "Put the reviews away", true).clicked() {
                out.push(Action::Run(Command::Reviews));
            }
        });
    });
    ScrollArea::vertical()
        .id_salt("reviews")
        .auto_shrink([false, false])
        .show(ui, |ui| {
            for review in &data.ride.head.reviews {
                review_ui(ui, second, review, data, out);
                ui.add_space(6.0);
            }
            start_ui(ui, second, data, out);
            if data.ride.head.reviews.len() > 1 {
                ui.separator();
                compared_ui(ui, compared, data, out);
            }
        });
}

fn soft(ui: &mut Ui, text: impl Into<String>) {
    let ink = theme::tokens(ui).ink_soft;
    ui.label(RichText::new(text.into()).size(13.0).color(ink));
}

fn held_text(held: Held) -> String {
    let mut text = format!(
        "{}, {}",
        counted(held.bouts as f64, "exercise", "exercises"),
        counted(held.marks as f64, "mark", "marks")
    );
    if held.tempos > 0 {
        text = format!("{text}, {}", counted(held.tempos as f64, "tempo", "tempos"));
    }
    text
}

/// One review: whose, how much, whether it counts, and what can be done with it.
fn review_ui(
    ui: &mut Ui,
    second: &mut Second,
    review: &Review,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let tokens = theme::tokens(ui);
    let head = &data.ride.head;
    let (shown, counts) = (review.id == data.review, review.id == head.counting);
    let name = head.review_name(review.id);
    let fill = if shown { tokens.chosen } else { tokens.stripe };
    let frame = Frame::new()
        .fill(fill)
        .corner_radius(6.0)
        .inner_margin(Margin::symmetric(10, 7));
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.horizontal(|ui| {
            ui.label(RichText::new(&name).font(theme::bold(14.5)));
            let mut says = Vec::new();
            says.extend(counts.then_some("counts in the rates"));
            says.extend(review.blind.then_some("blind"));
            says.extend(shown.then_some("on screen"));
            soft(ui, says.join(", "));
        });
        if hidden(data, review.id) {
            soft(ui, "Hidden until the blind review is compared");
        } else {
            soft(ui, held_text(reviews::held(data.ride, review.id)));
        }
        let (steps, may_go) = (steps(data, review), may_go(data, review.id));
        if steps.is_empty() && !may_go {
            return;
        }
        ui.horizontal_wrapped(|ui| {
            for (text, tip, step) in steps {
                let button = ui.button(text).on_hover_text(tip);
                button.widget_info(|| {
                    let spoken = format!("{text}: {name}");
                    WidgetInfo::labeled(egui::Role::Button, true, spoken)
                });
                if button.clicked() {
                    out.push(Action::Reviews(step));
                }
            }
            if may_go {
                remove_ui(ui, second, review, &name, out);
            }
        });
    });
}

/// Whether a review must not be seen now: another one that is blind is being made.
fn hidden(data: &ReviewData<'_>, id: ReviewId) -> bool {
    data.blind && id != data.review
}

type Choice = (&'static str, &'static str, ReviewsStep);

/// What can be done with a review as things stand.
fn steps(data: &ReviewData<'_>, review: &Review) -> Vec<Choice> {
    let (id, head) = (review.id, &data.ride.head);
    let mut steps: Vec<Choice> = Vec::new();
    if id == data.review && review.blind {
        steps.push((
            "I am done: compare",
            "Shows what the others marked, and where you differ",
            ReviewsStep::Done(id),
        ));
        steps.push((
            "Leave it for later",
            "Back to the review that counts; this one stays blind and can be gone on with",
            ReviewsStep::Show(head.counting),
        ));
    } else if id != data.review && !data.blind {
        steps.push(if review.blind {
            (
                "Go on with it",
                "Shows this review alone and marks into it",
                ReviewsStep::Show(id),
            )
        } else {
            (
                "Show it",
                "Shows this review and marks into it",
                ReviewsStep::Show(id),
            )
        });
    }
    if id != head.counting && !review.blind && !data.blind {
        steps.push((
            "Let it count",
            "The rates are of this review from now on, and of no other",
            ReviewsStep::Count(id),
        ));
    }
    if !data.writable {
        steps.retain(|(_, _, step)| matches!(step, ReviewsStep::Show(_)));
    }
    steps
}

/// Whether a review can be removed now.
fn may_go(data: &ReviewData<'_>, id: ReviewId) -> bool {
    id != data.ride.head.counting && data.writable && !hidden(data, id)
}

/// A review away: asked once more, for its marks go with it.
fn remove_ui(ui: &mut Ui, second: &mut Second, review: &Review, name: &str, out: &mut Vec<Action>) {
    let id = review.id;
    if second.removing != Some(id) {
        let button = ui.button("Remove…");
        button.widget_info(|| {
            WidgetInfo::labeled(egui::Role::Button, true, format!("Remove…: {name}"))
        });
        if button.clicked() {
            second.removing = Some(id);
        }
        return;
    }
    if ui.button("Remove it with all its marks").clicked() {
        second.removing = None;
        out.push(Action::Reviews(ReviewsStep::Remove(id)));
    }
    if ui.button("Keep it").clicked() {
        second.removing = None;
    }
}

/// A further review.
fn start_ui(ui: &mut Ui, second: &mut Second, data: &ReviewData<'_>, out: &mut Vec<Action>) {
    if !data.writable || data.blind {
        return;
    }
    let Some(name) = &mut second.name else {
        let button = ui.button(if data.ride.head.reviews.len() == 1 {
            "Start a second review…"
        } else {
            "Start a further review…"
        });
        let tip =
            "Someone else, or you on another day, marks the same ride without seeing these marks";
        if button.on_hover_text(tip).clicked() {
            second.name = Some(data.reviewer.to_owned());
        }
        return;
    };
    soft(
        ui,
        "It begins empty and blind: what is marked already stays hidden until it is compared. It \
         does not add to the rates.",
    );
    let (mut start, mut leave) = (false, false);
    ui.horizontal(|ui| {
        let label = ui.label("Who reviews").id;
        let field = TextEdit::singleline(name).desired_width(180.0);
        ui.add(field).labelled_by(label);
        start = ui
            .add_enabled(!name.trim().is_empty(), Button::new("Start"))
            .clicked();
        leave = ui.button("Leave it").clicked();
    });
    if start {
        out.push(Action::Reviews(ReviewsStep::Start(name.clone())));
    }
    if start || leave {
        second.name = None;
    }
}

/// A line above the film, while another review than the one that counts is on screen.
pub(in crate::rooms::review) fn banner_ui(
    ui: &mut Ui,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let head = &data.ride.head;
    if data.review == head.counting {
        return;
    }
    let tokens = theme::tokens(ui);
    let (own, counting) = (
        head.review_name(data.review),
        head.review_name(head.counting),
    );
    let frame = Frame::new()
        .fill(tokens.chosen)
        .inner_margin(Margin::symmetric(14, 5));
    Panel::top("whose review").frame(frame).show(ui, |ui| {
        ui.horizontal(|ui| {
            ui.label(RichText::new(format!("Review by {own}")).font(theme::bold(14.0)));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let step = if data.blind && data.writable {
                    Some(("I am done: compare", ReviewsStep::Done(data.review)))
                } else if data.blind {
                    None
                } else {
                    Some((
                        "Back to the one that counts",
                        ReviewsStep::Show(head.counting),
                    ))
                };
                if let Some((text, step)) = step
                    && ui.button(text).clicked()
                {
                    out.push(Action::Reviews(step));
                }
                if ui
                    .button("Reviews…")
                    .on_hover_text(Command::Reviews.tip_with_key(ui.ctx()))
                    .clicked()
                {
                    out.push(Action::Run(Command::Reviews));
                }
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    let text = if data.blind {
                        format!(
                            "blind: what {counting} marked is hidden until you compare; paces and \
                             outlines are hidden too"
                        )
                    } else {
                        format!(
                            "counted in the rates: {counting}; paces and outlines are seen with it only"
                        )
                    };
                    let text = RichText::new(text).color(tokens.ink);
                    ui.add(egui::Label::new(text).truncate());
                });
            });
        });
    });
}
