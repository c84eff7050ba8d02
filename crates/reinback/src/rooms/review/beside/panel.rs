//! The panel beside the film in which two stretches are chosen and laid on each other.

use egui::{Button, RichText, ScrollArea, Ui};
use reinback_yard::{Bout, Moment, Ride};

use super::pairing::{Candidate, candidates};
use super::{Beside, bout_of, strides};
use crate::action::Action;
use crate::clock;
use crate::command::Command;
use crate::counted::counted;
use crate::rooms::review::{ReviewData, bout_name};
use crate::stage::{SecondPicture, Stage};
use crate::theme;
use crate::widgets::{Icon, icon_button};

/// A second, in nanoseconds.
const SECOND: i64 = 1_000_000_000;

/// Draws the panel's content.
pub(in crate::rooms::review) fn panel_ui(
    ui: &mut Ui,
    beside: &mut Beside,
    stage: &Stage,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        ui.label(RichText::new("Side by side").font(theme::bold(17.0)));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if icon_button(ui, Icon::Close, "Show only this ride", true).clicked() {
                out.push(Action::Run(Command::Beside));
            }
        });
    });
    let own = |bout: &&Bout| bout.id == beside.first;
    let Some(first) = data.ride.bouts.iter().find(own) else {
        soft(
            ui,
            "The exercise that was shown here is no longer in the ride.",
        );
        return;
    };
    let shown = beside
        .second
        .and_then(|stretch| bout_of(data.yard, stretch));
    stretch_ui(ui, "First", data.ride, first, data);
    ui.add_space(4.0);
    let Some((ride, other)) = shown else {
        choice_ui(ui, beside, first, data, out);
        return;
    };
    ScrollArea::vertical()
        .id_salt("beside")
        .auto_shrink([false, false])
        .show(ui, |ui| {
            stretch_ui(ui, "Second", ride, other, data);
            if ui.button("Another one…").clicked() {
                beside.second = None;
                return;
            }
            ui.separator();
            together_ui(ui, beside, stage, first, other);
            ui.separator();
            ways_ui(ui, beside, (first, data.ride), (other, ride), out);
        });
}

fn soft(ui: &mut Ui, text: impl Into<String>) {
    let ink = theme::tokens(ui).ink_soft;
    ui.label(RichText::new(text.into()).size(13.0).color(ink));
}

fn heading(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(theme::bold(14.0)));
}

fn stretch_ui(ui: &mut Ui, which: &str, ride: &Ride, bout: &Bout, data: &ReviewData<'_>) {
    heading(ui, which);
    ui.label(bout_name(data.words(), bout));
    let day = ride.head.date.format("%-d %B %Y");
    let text = format!("{day}, {}", extent(bout));
    soft(ui, text);
}

/// "at 12:03, 8 s".
fn extent(bout: &Bout) -> String {
    let at = clock::short(bout.from);
    match bout.to {
        Some(to) => format!(
            "at {at}, {}",
            clock::length(to.0.saturating_sub(bout.from.0))
        ),
        None => format!("at {at}, still running"),
    }
}

/// The list to choose the second from.
fn choice_ui(
    ui: &mut Ui,
    beside: &mut Beside,
    first: &Bout,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    heading(ui, "Choose what is shown beside it");
    let found = candidates(data.yard, data.ride, first);
    if found.is_empty() {
        soft(
            ui,
            "This horse has no other finished attempt at this exercise. Mark one, here or in another ride.",
        );
        return;
    }
    let (filmed, bare): (Vec<_>, Vec<_>) = found.into_iter().partition(|own| own.filmed);
    if !bare.is_empty() {
        soft(
            ui,
            format!(
                "{} not on any film",
                counted(bare.len(), "more is", "more are")
            ),
        );
    }
    ScrollArea::vertical()
        .id_salt("beside choice")
        .auto_shrink([false, false])
        .show(ui, |ui| {
            let mut day = None;
            for candidate in &filmed {
                if day != Some((candidate.date, candidate.same_ride)) {
                    day = Some((candidate.date, candidate.same_ride));
                    ui.add_space(4.0);
                    let ridden = candidate.date.format("%-d %B %Y");
                    let this = if candidate.same_ride {
                        ", this ride"
                    } else {
                        ""
                    };
                    heading(ui, &format!("{ridden}{this}"));
                }
                candidate_ui(ui, beside, first, candidate, data, out);
            }
        });
}

fn candidate_ui(
    ui: &mut Ui,
    beside: &mut Beside,
    first: &Bout,
    candidate: &Candidate,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let Some((_, bout)) = bout_of(data.yard, candidate.stretch) else {
        return;
    };
    let mut text = format!("{}, {}", bout_name(data.words(), bout), extent(bout));
    if candidate.other_rein {
        text.push_str(" (mirrored)");
    }
    let button = Button::new(text)
        .truncate()
        .min_size(egui::vec2(ui.available_width(), 26.0));
    if ui.add(button).clicked() {
        beside.choose(candidate.stretch, first, bout);
        out.push(Action::Seek(first.from));
    }
}

/// Which moments belong together, and how to move the one against the other.
fn together_ui(ui: &mut Ui, beside: &mut Beside, stage: &Stage, first: &Bout, other: &Bout) {
    heading(ui, "Moments that belong together");
    let now = stage.position();
    let second = stage.second();
    let there = second.as_ref().map(|picture| picture.at);
    let text = if beside.held.is_some() {
        "The second stands still. Go to the frame of the first that belongs to it, then let it go."
            .to_owned()
    } else {
        let (here, there) = beside.together;
        format!(
            "{} here and {} there",
            clock::exact(here),
            clock::exact(there)
        )
    };
    soft(ui, text);
    ui.horizontal_wrapped(|ui| {
        let hold = if beside.held.is_some() {
            "These two belong together"
        } else {
            "Hold the second"
        };
        let button = Button::new(hold).selected(beside.held.is_some());
        let tip = "Holds the second picture while you move the first; press again when both show the same moment";
        if ui
            .add_enabled(there.is_some(), button)
            .on_hover_text(tip)
            .clicked()
        {
            beside.hold(now, there.unwrap_or(Moment(0)));
        }
        if ui
            .button("Both at their starts")
            .on_hover_text("The first frames of the two exercises belong together")
            .clicked()
        {
            beside.at_starts(first, other);
        }
    });
    nudge_ui(ui, beside, second.as_ref());
}

/// Moves the second alone.
fn nudge_ui(ui: &mut Ui, beside: &mut Beside, second: Option<&SecondPicture>) {
    let frame = second.map_or(SECOND / 25, |picture| picture.frame_nanos);
    ui.label("Move the second alone");
    ui.horizontal_wrapped(|ui| {
        for (text, name, nanos) in [
            ("−1 s", "Second alone: one second back", -SECOND),
            ("−1 frame", "Second alone: one frame back", -frame),
            ("+1 frame", "Second alone: one frame on", frame),
            ("+1 s", "Second alone: one second on", SECOND),
        ] {
            let response = ui.add_enabled(second.is_some(), Button::new(text));
            response.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::Button, second.is_some(), name)
            });
            if response.clicked() {
                beside.nudge(nanos);
            }
        }
    });
}

/// Mirrored, at the tempo of the first, again and again.
fn ways_ui(
    ui: &mut Ui,
    beside: &mut Beside,
    first: (&Bout, &Ride),
    other: (&Bout, &Ride),
    out: &mut Vec<Action>,
) {
    let mut mirrored = beside.mirrored;
    let text = format!("Mirror the second ({})", Command::Mirror.key_text(ui.ctx()));
    if ui.checkbox(&mut mirrored, text).changed() {
        out.push(Action::Run(Command::Mirror));
    }
    let found = strides::ratio(first, other);
    ui.add_enabled(
        found.is_ok(),
        egui::Checkbox::new(&mut beside.equal_strides, "Same time for a stride"),
    );
    match found {
        Ok(ratio) if beside.equal_strides => soft(
            ui,
            format!("The second runs at {ratio:.2} of its speed, so that the strides keep step."),
        ),
        Ok(_) => soft(ui, "Both run at the same speed."),
        Err(why) => soft(ui, why),
    }
    let text = format!(
        "{} plays the shorter of the two again and again, {} puts both over the whole window.",
        Command::Repeat.key_text(ui.ctx()),
        Command::Fill.key_text(ui.ctx())
    );
    soft(ui, text);
}
