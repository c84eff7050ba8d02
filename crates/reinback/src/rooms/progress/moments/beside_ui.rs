//! Draws the moments that are side by side, over the whole room.

use egui::{
    Align, Align2, Color32, DragValue, FontId, Label, Layout, Rect, RichText, Sense, Ui, UiBuilder,
    WidgetInfo, pos2, vec2,
};

use super::beside::Beside;
use super::grid::{fit, side_by_side};
use super::telling::Telling;
use super::tile::bar;
use crate::action::Action;
use crate::command::Command;
use crate::said::Say;
use crate::stage::lap::Lap;
use crate::stage::together::Covers;
use crate::theme;
use crate::widgets::icon::{self, Icon, icon_button};

/// Points for what stands beneath a picture.
const CAPTION: f32 = 50.0;
/// Points for the bar and the buttons beneath all.
const CONTROLS: f32 = 74.0;

/// Draws the moments side by side.
pub(super) fn beside_ui(
    ui: &mut Ui,
    beside: &mut Beside,
    telling: &Telling<'_>,
    out: &mut Vec<Action>,
) {
    let say = telling.data.say;
    let name = telling.data.yard.words.exercise_name(&beside.of);
    let now = ui.input(|input| input.time);
    let mut asked = None;
    ui.horizontal(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let back = say.plain("beside-back");
            press_ui(ui, (Icon::Close, &back, Command::Cancel), &mut asked);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let text = say.text(
                    "beside-heading",
                    &[("exercise", say.exercise(&name).into())],
                );
                let heading = RichText::new(&text).font(theme::bold(19.0));
                let heading = ui.add(Label::new(heading).truncate());
                heading.widget_info(|| WidgetInfo::labeled(egui::Role::Heading, true, &text));
            });
        });
    });
    let area = ui.available_rect_before_wrap();
    let pictures = area.with_max_y((area.bottom() - CONTROLS).max(area.top()));
    let places = side_by_side(pictures, beside.moments.len(), CAPTION);
    for (at, place) in places.into_iter().enumerate() {
        pane_ui(ui, beside, (at, place), telling, out);
    }
    let controls = area.with_min_y(pictures.bottom());
    ui.scope_builder(UiBuilder::new().max_rect(controls), |ui| {
        course_ui(ui, beside, say);
        controls_ui(ui, beside, say, &mut asked);
    });
    ui.allocate_rect(area, Sense::hover());
    if let Some(command) = asked {
        beside.run(command, now);
        ui.request_repaint();
    }
}

/// One of them.
fn pane_ui(
    ui: &mut Ui,
    beside: &Beside,
    (at, place): (usize, Rect),
    telling: &Telling<'_>,
    out: &mut Vec<Action>,
) {
    let (say, tokens) = (telling.data.say, theme::tokens(ui));
    let Some(moment) = beside.moments.get(at) else {
        return;
    };
    let picture = place.with_max_y((place.bottom() - CAPTION).max(place.top()));
    ui.painter().rect_filled(picture, 4.0, tokens.stage);
    let told = telling.tell(moment);
    let when = match told.horse {
        Some(horse) => format!("{horse}, {}", told.when),
        None => told.when,
    };
    let whole = format!("{when} {}", told.what);
    let mut state = None;
    match beside.member(at) {
        Err(lack) => {
            let (text, next) = lack.said(say);
            message(ui, picture, &text, next.as_deref());
            state = Some(text);
        }
        Ok(member) => match member.and_then(|at| Some((at, beside.screens.get(at)?))) {
            None => message(ui, picture, &say.plain("beside-opening"), None),
            Some((member, texture)) => {
                let shown = fit(picture, texture.size_vec2());
                let part = if beside.is_mirrored(at) {
                    Rect::from_min_max(pos2(1.0, 0.0), pos2(0.0, 1.0))
                } else {
                    Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0))
                };
                let covers = beside.together.covers(member);
                let tint = if covers == Covers::Here {
                    Color32::WHITE
                } else {
                    tokens.dimmed
                };
                ui.painter().image(texture.id(), shown, part, tint);
                let (lap, clock) = (beside.together.lap(), beside.together.clock());
                bar(ui, shown, lap.part(clock), lap.part(0));
                state = match covers {
                    Covers::Here => beside.is_mirrored(at).then(|| say.plain("beside-mirrored")),
                    Covers::Later => Some(say.plain("beside-later")),
                    Covers::Over => Some(say.plain("beside-over")),
                };
                if let Some(state) = &state {
                    tag(ui, shown, state);
                }
            }
        },
    }
    let spoken = state.map_or_else(|| whole.clone(), |state| format!("{whole}; {state}"));
    let response = ui.interact(picture, ui.scope_id().with(("beside", at)), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, &spoken));
    let beneath = place.with_min_y(picture.bottom() + 4.0);
    ui.scope_builder(UiBuilder::new().max_rect(beneath), |ui| {
        ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
            let button = ui.button(say.plain("beside-open"));
            let name = say.text("beside-open-this", &[("moment", whole.into())]);
            button.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, &name));
            if button.clicked() {
                out.push(Action::OpenRide(moment.id.ride(), Some(moment.lead_in())));
            }
            ui.with_layout(Layout::top_down(Align::Min), |ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                let soft = RichText::new(when).size(13.0).color(tokens.ink_soft);
                ui.add(Label::new(soft).truncate());
                ui.add(Label::new(RichText::new(told.what).size(14.5)).truncate());
            });
        });
    });
}

fn message(ui: &Ui, place: Rect, text: &str, next: Option<&str>) {
    let tokens = theme::tokens(ui);
    let center = place.center();
    let soft = tokens.on_stage.gamma_multiply(0.75);
    icon::paint(
        ui.painter(),
        Icon::Film,
        center - vec2(0.0, 34.0),
        32.0,
        soft,
    );
    let painter = ui.painter();
    let bold = theme::bold(16.0);
    painter.text(center, Align2::CENTER_CENTER, text, bold, tokens.on_stage);
    if let Some(next) = next {
        let at = center + vec2(0.0, 24.0);
        let font = FontId::proportional(14.0);
        painter.text(at, Align2::CENTER_CENTER, next, font, soft);
    }
}

/// A few words in a corner of a picture.
fn tag(ui: &Ui, picture: Rect, text: &str) {
    let tokens = theme::tokens(ui);
    let (painter, font) = (ui.painter(), FontId::proportional(13.0));
    let words = painter.layout_no_wrap(text.to_owned(), font, tokens.on_stage);
    let corner = picture.left_top() + vec2(8.0, 8.0);
    let bed = Rect::from_min_size(corner, words.size() + vec2(12.0, 6.0));
    painter.rect_filled(bed, 4.0, tokens.stage.gamma_multiply(0.8));
    painter.galley(corner + vec2(6.0, 3.0), words, tokens.on_stage);
}

/// Where in the stretch they are; a press goes there.
fn course_ui(ui: &mut Ui, beside: &mut Beside, say: &Say) {
    let tokens = theme::tokens(ui);
    let size = vec2(ui.available_width(), 20.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::CLICK | Sense::DRAG);
    let (lap, clock) = (beside.together.lap(), beside.together.clock());
    let seconds = clock as f64 / 1e9;
    response.widget_info(|| {
        let name = say.text(
            "beside-time",
            &[("seconds", say.decimal(seconds, 2).into())],
        );
        // Keys move it wherever the focus is, so it is a picture of where they are.
        WidgetInfo::labeled(egui::Role::Label, true, name)
    });
    let bed = rect.shrink2(vec2(0.0, 7.0));
    let painter = ui.painter();
    painter.rect_filled(bed, 3.0, tokens.line);
    let at = |time: i64| bed.left() + bed.width() * lap.part(time);
    painter.rect_filled(bed.with_max_x(at(clock)), 3.0, tokens.leather);
    let sign = Rect::from_center_size(pos2(at(0), rect.center().y), vec2(2.0, 18.0));
    painter.rect_filled(sign, 0.0, tokens.ink);
    painter.circle_filled(pos2(at(clock), rect.center().y), 6.0, tokens.leather);
    if let Some(pointer) = response.interact_pointer_pos() {
        let part = (pointer.x - bed.left()) / bed.width().max(1.0);
        beside.together.go(lap.at_part(part));
        ui.request_repaint();
    }
}

/// A button for what a key does too; its name tells the key.
fn press_ui(
    ui: &mut Ui,
    (sign, name, command): (Icon, &str, Command),
    asked: &mut Option<Command>,
) {
    let name = command.with_key(name, ui.ctx());
    if icon_button(ui, sign, &name, true).clicked() {
        *asked = Some(command);
    }
}

fn controls_ui(ui: &mut Ui, beside: &mut Beside, say: &Say, asked: &mut Option<Command>) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 8.0;
        let playing = beside.together.is_playing();
        let (sign, name) = if playing {
            (Icon::Pause, say.plain("beside-pause"))
        } else {
            (Icon::Play, say.plain("beside-play"))
        };
        press_ui(ui, (sign, &name, Command::PlayPause), asked);
        let name = say.plain("beside-step-back");
        press_ui(ui, (Icon::StepBack, &name, Command::StepBack), asked);
        let name = say.plain("beside-step-on");
        press_ui(ui, (Icon::StepForward, &name, Command::StepForward), asked);
        if ui.button(say.plain("beside-at-marks")).clicked() {
            *asked = Some(Command::NextMark);
        }
        let seconds = beside.together.clock() as f64 / 1e9;
        let time = say.text(
            "beside-time",
            &[("seconds", say.decimal(seconds, 2).into())],
        );
        // Of one width, so that nothing moves while it runs.
        let label = Label::new(RichText::new(time).monospace());
        ui.add_sized(vec2(78.0, 24.0), label);
        ui.separator();
        let name = say.plain("beside-slower");
        press_ui(ui, (Icon::Minus, &name, Command::Slower), asked);
        let speed = beside.together.speed();
        let places = if (speed * 10.0).fract().abs() > 1e-9 {
            2
        } else {
            1
        };
        let text = say.text(
            "beside-speed",
            &[("speed", say.decimal(speed, places).into())],
        );
        ui.add_sized(vec2(44.0, 24.0), Label::new(text));
        let name = say.plain("beside-faster");
        press_ui(ui, (Icon::Plus, &name, Command::Faster), asked);
        ui.separator();
        let mut repeats = beside.together.repeats();
        if ui
            .checkbox(&mut repeats, say.plain("beside-repeat"))
            .changed()
        {
            beside.together.set_repeats(repeats);
        }
        let mirror = if beside.has_opposite() {
            say.plain("beside-mirror")
        } else {
            say.plain("beside-mirror-all")
        };
        ui.checkbox(&mut beside.mirrored, mirror);
        ui.separator();
        around_ui(ui, beside, say);
    });
}

/// How much is played before the marks and after them.
fn around_ui(ui: &mut Ui, beside: &mut Beside, say: &Say) {
    let lap = beside.together.lap();
    let part = |ui: &mut Ui, text: String, nanos: i64| {
        let label = ui.label(text);
        let mut seconds = nanos as f64 / 1e9;
        let range = (*Lap::PART.start() as f64 / 1e9)..=(*Lap::PART.end() as f64 / 1e9);
        let value = DragValue::new(&mut seconds)
            .range(range)
            .speed(0.05)
            .custom_formatter(|value, _| {
                say.text(
                    "beside-seconds",
                    &[("seconds", say.decimal(value, 1).into())],
                )
            })
            .custom_parser(|text| {
                let sign = |sign: &char| sign.is_ascii_digit() || matches!(sign, '.' | ',');
                let digits: String = text.chars().filter(sign).collect();
                digits.replace(',', ".").parse().ok()
            });
        ui.add(value).labelled_by(label.id);
        (seconds * 1e9).round() as i64
    };
    let before = part(ui, say.plain("beside-before"), lap.before());
    let after = part(ui, say.plain("beside-after"), lap.after());
    let asked = Lap::new(before, after);
    if asked != lap {
        beside.together.set_lap(asked);
    }
}
