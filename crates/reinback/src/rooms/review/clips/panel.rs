//! The panel beside the film in which clips are placed.

use egui::{Button, DragValue, RichText, ScrollArea, Ui, WidgetInfo};
use reinback_analysis::anchor::{Anchor, USUAL_PPM};
use reinback_analysis::sound_match::Confidence;
use reinback_yard::{Film, FilmId, Moment, on_film};

use super::{Between, Clips, Heard, along, between, by_moments, by_sound};
use crate::action::Action;
use crate::clock;
use crate::command::Command;
use crate::rooms::review::ReviewData;
use crate::rooms::review::waves::{Wave, Waves};
use crate::stage::Placed;
use crate::stage::Stage;
use crate::theme;
use crate::widgets::{Icon, icon_button};

/// Draws the panel's content.
pub(in crate::rooms::review) fn panel_ui(
    ui: &mut Ui,
    clips: &mut Clips,
    (stage, waves): (&Stage, &Waves),
    placed: &[Placed],
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    clips.take_news();
    clips.follow(&data.ride.films);
    let shown = placed.iter().filter(|own| !own.another);
    let shown = shown.map(|own| (own.film.id, own.path.clone()));
    clips.recorded.read(shown.collect());
    ui.horizontal(|ui| {
        ui.label(RichText::new("Clips of this ride").font(theme::bold(17.0)));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if icon_button(ui, Icon::Close, "Put the clips away", true).clicked() {
                out.push(Action::Run(Command::Clips));
            }
        });
    });
    let films = &data.ride.films;
    if films.len() < 2 {
        soft(
            ui,
            "This ride has one film only; there is nothing to place.",
        );
        return;
    }
    ScrollArea::vertical()
        .id_salt("clips")
        .auto_shrink([false, false])
        .show(ui, |ui| {
            soft(
                ui,
                "Choose the clip that lies wrongly, or drag it on the strip; Alt lets it go past what it would catch on.",
            );
            for (film, before) in films.iter().zip(between(films)) {
                clip_ui(ui, clips, film, before);
            }
            let chosen = clips
                .clip
                .and_then(|id| films.iter().find(|film| film.id == id));
            let Some(film) = chosen else { return };
            ui.separator();
            start_ui(ui, clips, film, data, out);
            ui.separator();
            recorded_ui(ui, clips, film, data, out);
            ui.separator();
            sound_ui(ui, clips, film, placed, waves, data, out);
            ui.separator();
            moments_ui(ui, clips, film, stage, data, out);
        });
}

fn soft(ui: &mut Ui, text: impl Into<String>) {
    let ink = theme::tokens(ui).ink_soft;
    ui.label(RichText::new(text.into()).size(13.0).color(ink));
}

fn heading(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(theme::bold(14.0)));
}

/// The last part of a film's path.
fn name(film: &Film) -> &str {
    film.path.rsplit('/').next().unwrap_or(&film.path)
}

fn clip_ui(ui: &mut Ui, clips: &mut Clips, film: &Film, before: Between) {
    let tokens = theme::tokens(ui);
    if ui.radio(clips.clip == Some(film.id), name(film)).clicked() {
        clips.choose(film.id);
    }
    let length = film
        .duration_nanos
        .map_or_else(|| "length not known".to_owned(), clock::length);
    let (text, caution) = match before {
        Between::First | Between::None => (String::new(), false),
        Between::Gap(nanos) => (
            format!(", {} without film before it", clock::length(nanos)),
            false,
        ),
        Between::Overlap(nanos) => (format!(", {} on two films", clock::length(nanos)), true),
        Between::Unknown => (", the film before it has no known end".to_owned(), true),
    };
    let drift = match film.drift_ppb {
        0 => String::new(),
        ppb => format!(", runs {:+.0} parts per million", f64::from(ppb) / 1e3),
    };
    let about = format!("from {}, {length}{drift}{text}", clock::exact(film.offset));
    let ink = if caution {
        tokens.caution
    } else {
        tokens.ink_soft
    };
    ui.indent(film.id.bits(), |ui| {
        ui.label(RichText::new(about).size(13.0).color(ink));
    });
}

/// Puts a clip to its place, with what was marked on it alone.
fn place(film: &Film, data: &ReviewData<'_>, out: &mut Vec<Action>) {
    let edit = reinback_yard::place_film(data.ride, film);
    out.extend(edit.map(|edit| Action::Edit("place a clip".into(), edit)));
}

/// How far from the start of the ride clock a clip is put by hand, in seconds: two days, beyond
/// any ride. Our own choice.
const FURTHEST: f64 = 172_800.0;

/// The start as a number that can be dragged.
fn start_ui(
    ui: &mut Ui,
    clips: &mut Clips,
    film: &Film,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    heading(ui, "Move it");
    let found = on_film(data.ride, film.id);
    let counts = [
        found.bouts.len(),
        found.marks.len(),
        found.paces.len(),
        found.outlines.len(),
        found.tempos.len(),
        found.lines.len(),
    ];
    if let Some(text) = along(counts) {
        soft(ui, text);
    }
    let own = film.offset.0 as f64 / 1e9;
    let mut start = clips.start.unwrap_or(own);
    ui.horizontal(|ui| {
        ui.label("It starts at");
        let value = DragValue::new(&mut start)
            .speed(0.02)
            .range(-FURTHEST..=FURTHEST)
            .max_decimals(3)
            .suffix(" s");
        let response = ui.add_enabled(data.writable, value);
        response.widget_info(|| {
            WidgetInfo::labeled(egui::Role::SpinButton, true, "Start of the clip in seconds")
        });
        ui.label("of the ride");
        if response.changed() {
            clips.start = Some(start);
        }
        // One step for one drag or one number typed.
        if (response.drag_stopped() || response.lost_focus())
            && let Some(start) = clips.start.take()
            && (start - own).abs() > 5e-4
        {
            let offset = Moment((start * 1e9).round() as i64);
            clips.forget();
            place(
                &Film {
                    offset,
                    ..film.clone()
                },
                data,
                out,
            );
        }
    });
}

/// Where the clip belongs by the clocks of the cameras.
fn recorded_ui(
    ui: &mut Ui,
    clips: &mut Clips,
    film: &Film,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    heading(ui, "By when it was recorded");
    match clips.recorded.place(film, &data.ride.films) {
        Ok(moved) => {
            let text = format!(
                "By the cameras' clocks it starts at {} of the ride. They tell the second, and are as far apart as the clocks are.",
                clock::short(moved.offset)
            );
            soft(ui, text);
            let away = data.writable && moved.offset != film.offset;
            let button = ui.add_enabled(away, Button::new("Put it by recording time"));
            if button.clicked() {
                clips.forget();
                place(&moved, data, out);
            }
        }
        Err(_) if clips.recorded.is_reading() => soft(ui, "Reading the films…"),
        Err(why) => soft(ui, why.to_string()),
    }
}

fn sound_ui(
    ui: &mut Ui,
    clips: &mut Clips,
    film: &Film,
    placed: &[Placed],
    waves: &Waves,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    heading(ui, "By what both heard");
    let wave = |id: FilmId| {
        let path = placed
            .iter()
            .find(|own| own.film.id == id)
            .map(|own| &own.path);
        path.map_or(Wave::Unknown, |path| waves.of(path))
    };
    let Wave::Ready(own) = wave(film.id) else {
        soft(
            ui,
            "The sound of this clip is not known: it has none, or is still being listened to.",
        );
        return;
    };
    if clips.listening.is_some() {
        ui.horizontal(|ui| {
            ui.spinner();
            ui.label("Comparing…");
            if ui.button("Stop").clicked() {
                clips.listening = None;
            }
        });
        return;
    }
    for other in data.ride.films.iter().filter(|other| other.id != film.id) {
        if let Wave::Ready(sound) = wave(other.id)
            && ui.button(format!("Compare with {}", name(other))).clicked()
        {
            clips.listen((film.id, own.clone()), (other.id, sound));
        }
    }
    if let Some(heard) = clips.heard {
        heard_ui(ui, clips, film, &heard, data, out);
    }
}

fn heard_ui(
    ui: &mut Ui,
    clips: &mut Clips,
    film: &Film,
    heard: &Heard,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let tokens = theme::tokens(ui);
    let found = match &heard.result {
        Ok(found) => found,
        Err(why) => {
            ui.label(RichText::new(why.to_string()).color(tokens.caution));
            return;
        }
    };
    let Some(other) = data.ride.films.iter().find(|own| own.id == heard.other) else {
        return;
    };
    let moved = by_sound(film, other, found);
    let (word, ink) = match found.confidence() {
        Confidence::Sure => ("Sure", tokens.good),
        Confidence::Likely => ("Likely; look at it before you trust it", tokens.caution),
    };
    ui.label(RichText::new(word).font(theme::bold(13.5)).color(ink));
    let text = format!(
        "It starts at {} of the ride. Both films have {} in common, alike to {:.0} %; the next best place comes to {:.0} % of this one.",
        clock::exact(moved.offset),
        clock::length(found.overlap_nanos),
        found.correlation * 100.0,
        found.rival * 100.0
    );
    ui.label(text);
    if ui
        .add_enabled(data.writable, Button::new("Put it there"))
        .clicked()
    {
        clips.forget();
        place(&moved, data, out);
    }
}

fn moments_ui(
    ui: &mut Ui,
    clips: &mut Clips,
    film: &Film,
    stage: &Stage,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    heading(ui, "By a moment seen on two films");
    let tokens = theme::tokens(ui);
    let now = stage.position();
    let on_clip = stage
        .current_film()
        .is_some_and(|own| own.film.id == film.id);
    soft(
        ui,
        "Find the moment on the clip, then the same moment on another film. A second moment, far from the first, gives the clip's rate as well.",
    );
    let seen = ui.add_enabled(on_clip, Button::new("It is this moment of the clip"));
    if seen
        .on_disabled_hover_text("Go to where the clip is on screen")
        .clicked()
    {
        clips.seen = Some(film.film_from_ride(now));
    }
    if let Some(own) = clips.seen {
        ui.label(format!(
            "{} of the clip is the moment",
            clock::exact(Moment(own))
        ));
        let same = ui.add_enabled(
            !on_clip && stage.current_film().is_some(),
            Button::new("The same moment is here"),
        );
        if same
            .on_disabled_hover_text("Go to the other film")
            .clicked()
        {
            clips.seen = None;
            if clips.anchors.len() == 2 {
                clips.anchors.remove(0);
            }
            clips.anchors.push(Anchor { own, ride: now });
        }
    }
    for anchor in &clips.anchors {
        ui.label(format!(
            "{} of the clip is {} of the ride",
            clock::exact(Moment(anchor.own)),
            clock::exact(anchor.ride)
        ));
    }
    match by_moments(film, &clips.anchors) {
        None => {}
        Some(Err(why)) => {
            ui.label(RichText::new(why.to_string()).color(tokens.caution));
        }
        Some(Ok(moved)) => {
            let ppm = f64::from(moved.drift_ppb) / 1e3;
            let mut text = format!("It starts at {} of the ride", clock::exact(moved.offset));
            if clips.anchors.len() > 1 {
                text = format!("{text} and runs {ppm:+.0} parts per million");
            }
            ui.label(text);
            if ppm.abs() > USUAL_PPM {
                let why = format!(
                    "Cameras stay below {USUAL_PPM:.0}: one of the two is probably another moment"
                );
                ui.label(RichText::new(why).color(tokens.caution));
            }
            if ui
                .add_enabled(data.writable, Button::new("Put the clip there"))
                .clicked()
            {
                clips.forget();
                place(&moved, data, out);
            }
        }
    }
}
