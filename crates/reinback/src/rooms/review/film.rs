//! The film itself, with what is being typed laid over it.
//!
//! - `lens`: which part of the picture is looked at; `pane`: a picture seen through it
//! - `pair`: the second of two pictures, and what is said of both

pub mod lens;
mod pair;
mod pane;

use egui::{Align2, FontId, Rect, Response, TextureOptions, Ui, UiBuilder, vec2};
use reinback_yard::Moment;

use super::marking::{Typed, look_up};
use super::{ReviewData, ReviewView, measure};
use crate::action::Action;
use crate::stage::{Placed, Screen, Stage};
use crate::theme;
use crate::widgets;
use crate::widgets::icon::{self, Icon};
use lens::Sight;
use pair::{above_caption, beside_ui};
use pane::{Pane, pane_ui};

/// Draws the film, or says why there is none.
pub(super) fn film_ui(
    ui: &mut Ui,
    view: &mut ReviewView,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let tokens = theme::tokens(ui);
    let rect = ui.available_rect_before_wrap();
    ui.painter().rect_filled(rect, 0.0, tokens.stage);
    upload(ui, view);
    match view.stage.screen() {
        Screen::Picture => picture(ui, view, data, rect, out),
        Screen::Opening => {
            message(ui, rect, Icon::Film, "Opening the film…", None);
        }
        Screen::Gap => {
            message(
                ui,
                rect,
                Icon::Film,
                "No film covers this moment of the ride",
                Some("Marks can be made all the same"),
            );
        }
        Screen::NoFilms => {
            message(
                ui,
                rect,
                Icon::Film,
                "This ride has no film",
                Some("Marks and rates are here; there is nothing to play"),
            );
        }
        Screen::Another(placed) => another(ui, view, data, rect, &placed, out),
        Screen::Failed(error) => failed(ui, view, data, rect, &error, out),
    }
    typed_ui(ui, view, data, rect);
}

/// Hands a new picture to the graphics card.
fn upload(ui: &Ui, view: &mut ReviewView) {
    let Some((number, frame)) = view.stage.picture() else {
        view.texture = None;
        return;
    };
    if view
        .texture
        .as_ref()
        .is_some_and(|(shown, _)| *shown == number)
    {
        return;
    }
    let image = widgets::picture::image(frame);
    match &mut view.texture {
        Some((shown, texture)) => {
            texture.set(image, TextureOptions::LINEAR);
            *shown = number;
        }
        None => {
            view.texture = Some((
                number,
                ui.load_texture("film", image, TextureOptions::LINEAR),
            ));
        }
    }
}

fn picture(
    ui: &mut Ui,
    view: &mut ReviewView,
    data: &ReviewData<'_>,
    rect: Rect,
    out: &mut Vec<Action>,
) {
    let Some(info) = view.stage.info() else {
        return;
    };
    let size = (info.width, info.height);
    let shown = view.beside.as_ref().is_some_and(|own| own.second.is_some());
    let (left, right) = if shown {
        let (left, right) = rect.split_left_right_at_fraction(0.5);
        (
            left.with_max_x(left.right() - 3.0),
            Some(right.with_min_x(right.left() + 3.0)),
        )
    } else {
        (rect, None)
    };
    let area = if shown { above_caption(left) } else { left };
    let texture = view.texture.as_ref().map(|(_, texture)| texture.id());
    let name = view.measuring.as_ref().map_or_else(
        || "Film; a click plays or pauses".to_owned(),
        measure::panel::described,
    );
    let pane = Pane {
        area,
        texture,
        size,
        mirrored: false,
        doubtful: view.stage.is_doubtful(),
        id: "film",
        name: &name,
        stands: stands(&view.stage),
    };
    let (measuring, stage) = (&mut view.measuring, &view.stage);
    let draws = |ui: &Ui, response: &Response, sight: &Sight| {
        let measuring = measuring.as_mut();
        measuring.is_some_and(|own| measure::on_film::hand(ui, own, stage, response, sight))
    };
    let sight = pane_ui(ui, &pane, &mut view.lens, draws, out);
    measure::on_film::paint(ui, view, data, &sight);
    view.sight = Some(sight);
    if let Some(right) = right {
        beside_ui(ui, view, data, (left, right), out);
    }
}

/// Where the film stands, unless it runs.
fn stands(stage: &Stage) -> Option<Moment> {
    (!stage.is_playing()).then(|| stage.position())
}

fn message(ui: &Ui, rect: Rect, shape: Icon, text: &str, more: Option<&str>) {
    let tokens = theme::tokens(ui);
    let center = rect.center();
    icon::paint(
        ui.painter(),
        shape,
        center - vec2(0.0, 44.0),
        44.0,
        tokens.on_stage.gamma_multiply(0.6),
    );
    ui.painter().text(
        center,
        Align2::CENTER_CENTER,
        text,
        theme::bold(17.0),
        tokens.on_stage,
    );
    if let Some(more) = more {
        let ink = tokens.on_stage.gamma_multiply(0.75);
        ui.painter().text(
            center + vec2(0.0, 26.0),
            Align2::CENTER_CENTER,
            more,
            FontId::proportional(14.0),
            ink,
        );
    }
}

fn failed(
    ui: &mut Ui,
    view: &ReviewView,
    data: &ReviewData<'_>,
    rect: Rect,
    error: &reinback_film::FilmError,
    out: &mut Vec<Action>,
) {
    let path = error.path().display().to_string();
    let lines = [error.sentence(), &path, error.next_step()];
    trouble(ui, view, rect, lines, out, |ui, out| {
        if let Some(placed) = view.stage.current_film() {
            locate_button(ui, data, placed, out);
        }
        if error.can_retry() && ui.button("Try again").clicked() {
            out.push(Action::RetryFilm);
        }
    });
}

/// Another film lies where the one that was marked had been.
fn another(
    ui: &mut Ui,
    view: &ReviewView,
    data: &ReviewData<'_>,
    rect: Rect,
    placed: &Placed,
    out: &mut Vec<Action>,
) {
    let path = placed.path.display().to_string();
    let lines = [
        "Another film lies here than the one that was marked",
        &path,
        "Say where the right one is, or take this one if it is the same ride in another form.",
    ];
    trouble(ui, view, rect, lines, out, |ui, out| {
        locate_button(ui, data, placed, out);
        if ui
            .add_enabled(data.writable, egui::Button::new("Take this film"))
            .clicked()
        {
            out.push(Action::AcceptFilm(placed.film.id));
        }
        let idle = view.film_search.is_none();
        if ui
            .add_enabled(idle, egui::Button::new("Look again"))
            .clicked()
        {
            out.push(Action::RetryFilm);
        }
    });
}

fn locate_button(ui: &mut Ui, data: &ReviewData<'_>, placed: &Placed, out: &mut Vec<Action>) {
    let button = egui::Button::new("Where is it now?…");
    if ui.add_enabled(data.writable, button).clicked() {
        out.push(Action::LocateFilm(placed.film.id));
    }
}

/// Why there is no picture: what is wrong, with which file, and what to do.
fn trouble(
    ui: &mut Ui,
    view: &ReviewView,
    rect: Rect,
    [what, path, next]: [&str; 3],
    out: &mut Vec<Action>,
    buttons: impl FnOnce(&mut Ui, &mut Vec<Action>),
) {
    let tokens = theme::tokens(ui);
    let width = (rect.width() - 48.0).min(560.0);
    let inner = Rect::from_center_size(rect.center(), vec2(width, 280.0));
    let line = |text: &str, size: f32| {
        egui::RichText::new(text.to_owned())
            .color(tokens.on_stage)
            .size(size)
    };
    ui.scope_builder(UiBuilder::new().max_rect(inner), |ui| {
        ui.vertical_centered(|ui| {
            let (_, place) = ui.allocate_space(vec2(48.0, 52.0));
            icon::paint(
                ui.painter(),
                Icon::Trouble,
                place.center(),
                40.0,
                tokens.on_stage,
            );
            let bold = egui::FontFamily::Name(theme::BOLD.into());
            ui.add(egui::Label::new(line(what, 16.0).family(bold)).wrap());
            ui.add(egui::Label::new(line(path, 12.5)).wrap());
            ui.add_space(4.0);
            ui.add(egui::Label::new(line(next, 14.0)).wrap());
            let safe = "Your marks are safe; they do not depend on the film file.";
            ui.add(egui::Label::new(line(safe, 14.0)).wrap());
            ui.add_space(10.0);
            let wide = 300.0_f32.min(width);
            ui.allocate_ui_with_layout(
                vec2(wide, 32.0),
                egui::Layout::left_to_right(egui::Align::Center),
                |ui| buttons(ui, out),
            );
            // Beneath the buttons, so that they stay where they are when it comes and goes.
            if let Some(searched) = view.film_search {
                let looking = format!(
                    "Looking for it in the yard's folders: {} of {} films compared…",
                    searched.files, searched.of
                );
                ui.add(egui::Label::new(line(&looking, 14.0)).wrap());
                if ui.button("Look no further").clicked() {
                    out.push(Action::StopFilmSearch);
                }
            }
        });
    });
}

/// What is typed so far, with the exercises it may become.
fn typed_ui(ui: &mut Ui, view: &ReviewView, data: &ReviewData<'_>, rect: Rect) {
    if view.typed.is_empty() {
        return;
    }
    let tokens = theme::tokens(ui);
    let (candidates, hint) = match look_up(data.words(), &view.used, &view.typed) {
        Typed::One(exercise) => (vec![exercise], "Enter starts it"),
        Typed::Several(several) => (several, "Enter starts the first, Escape puts it away"),
        Typed::Nothing => (
            Vec::new(),
            "No exercise begins like this; Backspace or Escape",
        ),
    };
    let shown = &candidates[..candidates.len().min(8)];
    let height = 58.0 + 24.0 * shown.len() as f32;
    let area = Rect::from_min_size(rect.min + vec2(18.0, 18.0), vec2(330.0, height));
    let painter = ui.painter();
    painter.rect_filled(area, 8.0, tokens.raised);
    painter.rect_stroke(
        area,
        8.0,
        egui::Stroke::new(1.0, tokens.line),
        egui::StrokeKind::Inside,
    );
    let mut at = area.left_top() + vec2(14.0, 10.0);
    painter.text(
        at,
        Align2::LEFT_TOP,
        &view.typed,
        theme::bold(18.0),
        tokens.leather,
    );
    at.y += 28.0;
    for (row, exercise) in shown.iter().enumerate() {
        let ink = if row == 0 {
            tokens.ink
        } else {
            tokens.ink_soft
        };
        painter.text(
            at,
            Align2::LEFT_TOP,
            &exercise.short,
            theme::bold(14.5),
            ink,
        );
        painter.text(
            at + vec2(48.0, 0.0),
            Align2::LEFT_TOP,
            &exercise.name,
            FontId::proportional(14.5),
            ink,
        );
        at.y += 24.0;
    }
    painter.text(
        at,
        Align2::LEFT_TOP,
        hint,
        FontId::proportional(12.0),
        tokens.ink_soft,
    );
}
