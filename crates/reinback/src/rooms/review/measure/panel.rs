//! The panel beside the film: what is measured, what it comes to, and what to keep in mind.

use egui::{Button, Label, RichText, ScrollArea, Ui};
use reinback_yard::{MeasureKind, Moment};

use super::{Handle, MeasureStep, Measuring, OnFrame, own_marks, tilt_of, together, words};
use crate::action::{Action, Chosen};
use crate::clock;
use crate::command::Command;
use crate::keys;
use crate::rooms::review::current::keyed_button;
use crate::rooms::review::{ReviewData, bout_name};
use crate::stage::Stage;
use crate::theme;
use crate::widgets::{Icon, icon_button};

/// Draws the panel's content.
pub(in crate::rooms::review) fn panel_ui(
    ui: &mut Ui,
    measuring: &Measuring,
    (stage, chosen): (&Stage, Option<Chosen>),
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        ui.label(RichText::new("Measure on the frame").font(theme::bold(17.0)));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if icon_button(ui, Icon::Close, "Put measuring away", true).clicked() {
                out.push(Action::Run(Command::Measure));
            }
        });
    });
    ScrollArea::vertical()
        .id_salt("measure")
        .auto_shrink([false, false])
        .show(ui, |ui| {
            kinds_ui(ui, measuring, out);
            ui.add_space(2.0);
            next_ui(ui, measuring, stage, data);
            if measuring.kind().needs_plumb() {
                plumb_ui(ui, measuring, stage, data, out);
            }
            result_ui(ui, measuring, data, out);
            ui.separator();
            all_ui(ui, measuring, (stage, chosen), data, out);
            ui.separator();
            cautions_ui(ui, measuring.kind());
        });
}

fn soft(ui: &mut Ui, text: impl Into<String>) {
    let ink = theme::tokens(ui).ink_soft;
    ui.label(RichText::new(text.into()).size(13.0).color(ink));
}

fn step(out: &mut Vec<Action>, step: MeasureStep) {
    out.push(Action::Measure(step));
}

fn kinds_ui(ui: &mut Ui, measuring: &Measuring, out: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        for (at, kind) in MeasureKind::ALL.into_iter().enumerate() {
            let key = (at + 1).to_string();
            let here = measuring.kind() == kind;
            if keyed_button(ui, kind.name(), &key, here, None).clicked() {
                step(out, MeasureStep::Kind(kind));
            }
        }
    });
}

/// What to do next.
fn next_ui(ui: &mut Ui, measuring: &Measuring, stage: &Stage, data: &ReviewData<'_>) {
    let tokens = theme::tokens(ui);
    let frame = OnFrame::standing(stage);
    let strong = |ui: &mut Ui, text: String| ui.label(RichText::new(text).font(theme::bold(14.0)));
    if stage.is_playing() {
        strong(
            ui,
            "Pause the film: a frame is measured while it stands".into(),
        );
        return;
    }
    let Some(frame) = frame else {
        strong(ui, "There is no frame of a film here to measure on".into());
        return;
    };
    if let Some(own) = measuring.frame().filter(|own| !own.is(frame)) {
        let text = format!(
            "The points lie on the frame at {}; the next one begins anew on this frame",
            clock::exact(own.at)
        );
        ui.label(RichText::new(text).color(tokens.caution));
        return;
    }
    match measuring.missing() {
        Some(missing) => {
            let name = words::point_name(measuring.kind(), missing);
            strong(ui, format!("Click {name}"));
        }
        None if data.writable && measuring.is_changed() => {
            strong(
                ui,
                "Drag the points until they lie right, then keep it".into(),
            );
        }
        None => {}
    }
    let text = "{WriteNote} puts a point without the mouse; {StepBack}, {StepForward}, {PreviousMark} and {NextMark} move it by a pixel.";
    soft(ui, keys::map(ui.ctx()).in_text(text, ui.ctx()));
}

fn plumb_ui(
    ui: &mut Ui,
    measuring: &Measuring,
    stage: &Stage,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let tokens = theme::tokens(ui);
    ui.add_space(4.0);
    ui.label(RichText::new("Plumb").font(theme::bold(14.0)));
    let film = measuring.frame().map(|frame| frame.film);
    let film = film.or_else(|| stage.current_film().map(|placed| placed.film.id));
    let tilt = film.and_then(|film| tilt_of(data.ride, film));
    ui.horizontal_wrapped(|ui| {
        for (by_edge, text) in [(false, "the film's tilt"), (true, "an edge on this frame")] {
            let here = measuring.is_by_edge() == by_edge;
            let key = if here { "" } else { "p" };
            if keyed_button(ui, text, key, here, None).clicked() {
                step(out, MeasureStep::ByEdge(by_edge));
            }
        }
    });
    if !measuring.is_by_edge() {
        if let Some(tilt) = tilt {
            soft(ui, words::turned(f64::from(tilt) / 1_000.0));
            let forget = Button::new("Say nothing of the tilt");
            if ui.add_enabled(data.writable, forget).clicked() {
                step(out, MeasureStep::ForgetTilt);
            }
        } else {
            let text = "Nobody has said how this film is turned; the edge of the picture is taken for upright. Draw along a post or a door frame instead.";
            ui.label(RichText::new(text).size(13.0).color(tokens.caution));
        }
        return;
    }
    match measuring.edge_tilt() {
        None => soft(
            ui,
            "Draw along something upright, near the horse: a post, a door frame. The frame of the picture is no plumb line.",
        ),
        Some(Err(why)) => {
            ui.label(RichText::new(why.to_string()).color(tokens.caution));
        }
        Some(Ok(plumb)) => {
            soft(ui, words::edge(plumb));
            ui.add_enabled_ui(data.writable, |ui| {
                let button = keyed_button(ui, "the whole film is turned so", "t", false, None);
                let tip = "For a camera that stood still on its stand. What was measured by the film's tilt follows it";
                if button.on_hover_text(tip).clicked() {
                    step(out, MeasureStep::SetTilt);
                }
            });
        }
    }
}

fn result_ui(ui: &mut Ui, measuring: &Measuring, data: &ReviewData<'_>, out: &mut Vec<Action>) {
    let tokens = theme::tokens(ui);
    let tilt = measuring
        .frame()
        .and_then(|frame| tilt_of(data.ride, frame.film));
    ui.add_space(4.0);
    let kind = measuring.kind();
    let reading = measuring.reading(tilt);
    match &reading {
        None => {}
        Some(Err(why)) => {
            ui.label(RichText::new(why.to_string()).color(tokens.caution));
        }
        Some(Ok(reading)) => {
            let value = RichText::new(words::value(kind, reading)).font(theme::bold(18.0));
            ui.add(Label::new(value).wrap());
            soft(ui, words::range(kind, reading));
            if measuring.scale > 0.0 && measuring.scale < 1.0 {
                let text = "The picture is shown smaller than it was filmed: look closer to put points to the pixel.";
                soft(ui, text);
            }
        }
    }
    ui.horizontal_wrapped(|ui| {
        let may = data.writable && matches!(reading, Some(Ok(_))) && measuring.is_changed();
        ui.add_enabled_ui(may, |ui| {
            let text = if measuring.mark().is_some() {
                "keep the change"
            } else {
                "keep"
            };
            let key = Command::WriteNote.key_text(ui.ctx());
            if keyed_button(ui, text, &key, false, None).clicked() {
                step(out, MeasureStep::Keep);
            }
        });
        ui.add_enabled_ui(!measuring.is_empty(), |ui| {
            let key = if measuring.held().is_some() {
                ""
            } else {
                "Esc"
            };
            if keyed_button(ui, "start over", key, false, None).clicked() {
                // Once for what is held, once for what is drawn.
                if measuring.held().is_some() {
                    step(out, MeasureStep::LetGo);
                }
                step(out, MeasureStep::LetGo);
            }
        });
    });
}

/// What was measured in each exercise, taken together where it may be, and everything one by one.
fn all_ui(
    ui: &mut Ui,
    measuring: &Measuring,
    (stage, chosen): (&Stage, Option<Chosen>),
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let tokens = theme::tokens(ui);
    let own: Vec<_> = own_marks(data.ride, data.review).collect();
    if own.is_empty() {
        soft(ui, "Nothing is measured in this ride yet.");
        return;
    }
    for (bout, all) in together(data.ride, data.review, measuring.kind()) {
        let name = bout_name(data.words(), bout);
        let name = format!("{name}, {}", clock::short(bout.from));
        ui.label(RichText::new(name).font(theme::bold(13.5)));
        let kind = measuring.kind().name();
        ui.label(format!(
            "{kind}, {}",
            words::together(measuring.kind(), all)
        ));
        if all.is_few() {
            let text = "Few frames: measure more, spread over several strides";
            ui.label(RichText::new(text).size(13.0).color(tokens.caution));
        }
    }
    let now = stage.position();
    for (mark, measured) in own {
        let reading = measured
            .read(tilt_of(data.ride, measured.film))
            .and_then(Result::ok);
        let text = format!(
            "{}   {}",
            clock::exact(mark.at),
            words::short(measured.kind, reading.as_ref())
        );
        let here = chosen == Some(Chosen::Mark(mark.id));
        let ink = if near(mark.at, now) {
            tokens.leather
        } else {
            tokens.ink
        };
        let row = Button::selectable(here, RichText::new(text).size(13.0).color(ink));
        if ui.add(row).clicked() {
            out.push(Action::Choose(Some(Chosen::Mark(mark.id))));
            out.push(Action::Seek(mark.at));
        }
    }
}

fn near(one: Moment, other: Moment) -> bool {
    one.0.abs_diff(other.0) < super::SAME_NANOS
}

fn cautions_ui(ui: &mut Ui, kind: MeasureKind) {
    ui.label(RichText::new("To keep in mind").font(theme::bold(14.0)));
    for text in std::iter::once(words::camera(kind)).chain(words::CAUTIONS) {
        soft(ui, text);
        ui.add_space(2.0);
    }
}

/// The name of a point, for the picture's description.
pub(in crate::rooms::review) fn described(measuring: &Measuring) -> String {
    let name = |handle: Handle| words::point_name(measuring.kind(), handle);
    match (measuring.missing(), measuring.held()) {
        (Some(missing), _) => format!("Film; a click puts {}", name(missing)),
        (None, Some(held)) => format!("Film; holding {}", name(held)),
        (None, None) => "Film; every point is put".into(),
    }
}
