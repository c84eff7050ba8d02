//! The window of the trial that tells how late a reviewer's keys are.

use egui::{Align2, Button, DragValue, Event, Key, RichText, Sense, Ui, Window, vec2};

use super::App;
use crate::rooms::review::Delays;
use crate::rooms::review::marking::MOST_DELAY;
use crate::theme;
use crate::trial::{LEAST, Outcome, Scene, Task, Trial, figure};

impl App {
    /// The delays on the page of settings, and the way to measure them.
    pub(super) fn delays_ui(&mut self, ui: &mut Ui) {
        let mut delays = self.prefs.delays();
        let mut measure = None;
        egui::Grid::new("delays").num_columns(3).show(ui, |ui| {
            for (text, ms, task) in [
                ("Faults and other marks", &mut delays.fault_ms, Task::Faults),
                ("Start of an exercise", &mut delays.bout_ms, Task::Starts),
            ] {
                let name = ui.label(text).id;
                let value = DragValue::new(ms).range(0..=MOST_DELAY).speed(5);
                let value = value.suffix(" ms").update_while_editing(false);
                ui.add_sized(vec2(76.0, 24.0), value).labelled_by(name);
                if ui.button("Measure…").clicked() {
                    measure = Some(task);
                }
                ui.end_row();
            }
        });
        if delays != self.prefs.delays() {
            self.prefs.set_delays(delays);
        }
        if let Some(task) = measure {
            if let Some(review) = &mut self.review {
                review.stage.pause();
            }
            self.trial = Some(Trial::new(task, self.now, self.now.to_bits()));
        }
    }

    pub(super) fn trial_ui(&mut self, ui: &Ui) {
        let Some(trial) = &mut self.trial else { return };
        take_keys(ui, trial, self.now);
        let (mut open, mut chosen) = (true, None);
        Window::new("How late are your keys?")
            .open(&mut open)
            .collapsible(false)
            .resizable(false)
            .anchor(Align2::CENTER_CENTER, vec2(0.0, 0.0))
            .show(ui, |ui| {
                ui.set_width(460.0);
                chosen = body(ui, trial, self.now);
            });
        ui.ctx().request_repaint();
        let task = trial.task();
        match chosen {
            Some(Choice::Use(ms)) => {
                let delays = self.prefs.delays();
                self.prefs.set_delays(match task {
                    Task::Faults => Delays {
                        fault_ms: ms,
                        ..delays
                    },
                    Task::Starts => Delays {
                        bout_ms: ms,
                        ..delays
                    },
                });
                open = false;
            }
            Some(Choice::Again) => {
                self.trial = Some(Trial::new(task, self.now, self.now.to_bits()));
            }
            None => {}
        }
        if !open || ui.input(|i| i.key_pressed(Key::Escape)) {
            self.trial = None;
            self.settings = true;
        }
    }
}

/// What the rider makes of a trial.
enum Choice {
    /// This delay, in milliseconds.
    Use(u32),
    Again,
}

/// Presses of this window frame.
fn take_keys(ui: &Ui, trial: &mut Trial, now: f64) {
    ui.input(|input| {
        for event in &input.events {
            let Event::Key {
                key,
                pressed: true,
                repeat: false,
                ..
            } = event
            else {
                continue;
            };
            if *key == Key::Space {
                trial.space(now);
            } else if (Key::A..=Key::Z).contains(key) {
                trial.letter(now);
            }
        }
    });
}

fn body(ui: &mut Ui, trial: &Trial, now: f64) -> Option<Choice> {
    let tokens = theme::tokens(ui);
    let scene = trial.scene(now);
    let task = match trial.task() {
        Task::Faults => {
            "Press Space whenever the halt is not square: a hind leg is left behind. \
                         Leave the square ones alone."
        }
        Task::Starts => {
            "Type two letters, as you would to start a half-pass (hp), whenever the \
                         horse begins to go sideways."
        }
    };
    ui.label(task);
    ui.add_space(6.0);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 200.0), Sense::hover());
    figure::paint(ui.painter(), rect, trial.task(), scene, tokens);
    ui.add_space(6.0);
    let (shown, of) = trial.progress(now);
    let outcome = trial.outcome();
    if scene != Scene::Over {
        ui.label(RichText::new(format!("Picture {shown} of {of}")).color(tokens.ink_soft));
        return None;
    }
    ui.label(sentence(&outcome));
    ui.add_space(6.0);
    ui.horizontal(|ui| {
        let mut choice = None;
        if let Some([_, median, _]) = outcome.delay_ms {
            let ms = median.round().clamp(0.0, f64::from(MOST_DELAY)) as u32;
            if ui.add(Button::new(format!("Use {ms} ms"))).clicked() {
                choice = Some(Choice::Use(ms));
            }
        }
        if ui.button("Once more").clicked() {
            choice = Some(Choice::Again);
        }
        choice
    })
    .inner
}

fn sentence(outcome: &Outcome) -> String {
    let Outcome {
        hits,
        missed,
        wrong,
        delay_ms,
    } = outcome;
    let counts = format!("{hits} pressed, {missed} missed, {wrong} pressed for nothing.");
    match delay_ms {
        Some([low, median, high]) => format!(
            "Your key comes {median:.0} ms after the picture; half of your presses lie between \
             {low:.0} and {high:.0} ms. {counts} The screen's own delay is part of it."
        ),
        None => format!("Too few presses to tell: at least {LEAST} are needed. {counts}"),
    }
}
