//! Draws the frame around the rooms: top bar, the open room, notices, keys.

use egui::{Align, Align2, Area, CentralPanel, Frame, Layout, Margin, Panel, RichText, Ui, vec2};
use reinback_yard::{Access, film_path_in};

use super::App;
use crate::action::{Action, Room};
use crate::command::Command;
use crate::keeper::Safety;
use crate::keys;
use crate::notice::{Level, Notice};
use crate::rooms::progress::{ProgressData, progress_ui};
use crate::rooms::review::{ReviewData, SoundShown, review_ui};
use crate::rooms::yard::{Reading, YardData, yard_ui};
use crate::theme;
use crate::widgets::icon::{self, Icon, icon_button};

impl App {
    pub(super) fn on_ui(&mut self, ui: &mut Ui) {
        let mut out = Vec::new();
        let filled = self
            .review
            .as_ref()
            .is_some_and(|review| review.looking.filling);
        if !(filled && self.room == Room::Review && self.open.is_some()) {
            self.top_bar(ui, &mut out);
            self.hint_ui(ui);
        }
        if self.open.is_some() {
            self.room_ui(ui, &mut out);
            self.opening_ui(ui, &mut out);
        } else if !self.reading_ui(ui, &mut out) {
            self.welcome_ui(ui, &mut out);
            self.opening_ui(ui, &mut out);
        }
        self.notices_ui(ui, &mut out);
        self.help_ui(ui);
        self.settings_ui(ui);
        self.words_ui(ui);
        self.trial_ui(ui);
        if !out.is_empty() {
            self.actions.append(&mut out);
            ui.request_repaint();
        }
    }

    fn top_bar(&mut self, ui: &mut Ui, out: &mut Vec<Action>) {
        let tokens = theme::tokens(ui);
        let frame = Frame::new()
            .fill(tokens.raised)
            .inner_margin(Margin::symmetric(14, 7));
        Panel::top("top bar").frame(frame).show(ui, |ui| {
            ui.horizontal(|ui| {
                let (_, mark) = ui.allocate_space(vec2(24.0, 28.0));
                icon::paint(
                    ui.painter(),
                    Icon::Horseshoe,
                    mark.center(),
                    22.0,
                    tokens.leather,
                );
                ui.label(
                    RichText::new("Reinback")
                        .font(theme::bold(17.0))
                        .color(tokens.leather),
                );
                ui.add_space(10.0);
                if self.open.is_some() {
                    for (room, command) in [
                        (Room::Yard, Command::ToYard),
                        (Room::Review, Command::ToReview),
                        (Room::Progress, Command::ToProgress),
                    ] {
                        room_tab(ui, self.room == room, command, out);
                    }
                }
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    self.bar_end(ui, out);
                });
            });
        });
    }

    fn bar_end(&self, ui: &mut Ui, out: &mut Vec<Action>) {
        let tokens = theme::tokens(ui);
        let keys = ui.button(Command::Help.text());
        let keys = keys.on_hover_text(Command::Help.tip_with_key(ui.ctx()));
        if keys.clicked() {
            out.push(Action::Run(Command::Help));
        }
        if icon_button(ui, Icon::Theme, &Command::Theme.named(ui.ctx()), true).clicked() {
            out.push(Action::Run(Command::Theme));
        }
        if icon_button(ui, Icon::Settings, &Command::Settings.named(ui.ctx()), true).clicked() {
            out.push(Action::Run(Command::Settings));
        }
        let Some(open) = &self.open else { return };
        let (undo, redo) = (open.document.undo_label(), open.document.redo_label());
        for (icon, command, label) in [
            (Icon::Redo, Command::Redo, redo),
            (Icon::Undo, Command::Undo, undo),
        ] {
            let name = label.map_or_else(
                || command.named(ui.ctx()),
                |label| format!("{}: {label}", command.named(ui.ctx())),
            );
            if icon_button(ui, icon, &name, label.is_some()).clicked() {
                out.push(Action::Run(command));
            }
        }
        safety_ui(ui, open, out);
        if let Some(indexing) = &self.indexing {
            ui.separator();
            indexing_ui(ui, indexing.progress, out);
        }
        if let Some(making) = &self.page {
            ui.separator();
            super::page::making_ui(ui, making, &self.say, out);
        }
        ui.separator();
        let yard = open.document.yard();
        if yard.as_of_last_ride
            && let Some(day) = open.last_day()
        {
            let text = format!("as of its last ride, {}", day.format("%-d %B %Y"));
            ui.label(RichText::new(text).color(tokens.leather))
                .on_hover_text("This demo yard takes the day of its last ride for today");
        }
        ui.add(egui::Label::new(RichText::new(&yard.name).font(theme::bold(14.5))).truncate());
    }

    fn room_ui(&mut self, ui: &mut Ui, out: &mut Vec<Action>) {
        let Some(open) = &self.open else { return };
        let yard = open.document.yard();
        let real = self.services.today();
        match self.room {
            Room::Yard => {
                let data = YardData {
                    yard,
                    today: open.today(real),
                    writable: open.writable(),
                    problems: &open.problems,
                    film_path: &|film| open.film_path(film),
                    folder: &open.folder,
                    revision: open.document.revision(),
                    reading: None,
                };
                yard_ui(ui, &mut self.yard_view, &data, out);
            }
            Room::Review => {
                let Some(view) = &mut self.review else {
                    CentralPanel::default().show(ui, |_| {});
                    return;
                };
                let Some(ride) = yard.ride(view.ride) else {
                    return;
                };
                let review = view.review_of(ride);
                let data = ReviewData {
                    yard,
                    ride,
                    review,
                    blind: ride.head.review(review).is_some_and(|own| own.blind),
                    reviewer: &self.prefs.reviewer,
                    revision: open.document.revision(),
                    writable: open.writable(),
                    sound: SoundShown {
                        hearing: view.stage.hearing(self.speaker.state()),
                        volume: self.prefs.volume,
                        muted: self.prefs.muted,
                    },
                };
                let placed = view.placed(open);
                review_ui(ui, view, &placed, &data, out);
            }
            Room::Progress => {
                let data = ProgressData {
                    yard,
                    revision: open.document.revision(),
                    today: open.today(real),
                    say: &self.say,
                };
                progress_ui(ui, &mut self.progress, &data, out);
            }
        }
    }

    fn welcome_ui(&self, ui: &mut Ui, out: &mut Vec<Action>) {
        let tokens = theme::tokens(ui);
        CentralPanel::default().show(ui, |ui| {
            ui.vertical_centered(|ui| {
                ui.add_space((ui.available_height() * 0.22).max(24.0));
                let (_, mark) = ui.allocate_space(vec2(84.0, 84.0));
                icon::paint(ui.painter(), Icon::Horseshoe, mark.center(), 72.0, tokens.leather);
                ui.label(RichText::new("Reinback").font(theme::bold(34.0)));
                ui.label(RichText::new("Go back over the ride: film, marks, and what they say.").size(16.0).color(tokens.ink_soft));
                ui.add_space(22.0);
                if self.opening.is_some() {
                    return;
                }
                let big = |text: &str| egui::Button::new(RichText::new(text).size(16.0)).min_size(vec2(280.0, 42.0));
                if ui.add(big("Make a new yard…")).on_hover_text("A yard is a folder with your horses and rides").clicked() {
                    out.push(Action::ChooseNewYard);
                }
                ui.add_space(4.0);
                if ui.add(big("Open a yard…")).clicked() {
                    out.push(Action::ChooseYard);
                }
                ui.add_space(18.0);
                ui.label(RichText::new("Or drop a yard's folder onto this window.").color(tokens.ink_soft));
                ui.label(RichText::new("A yard is a plain folder: your horses, your words and one file for each ride. Films stay where they are.").color(tokens.ink_soft));
            });
        });
    }

    fn opening_ui(&mut self, ui: &Ui, out: &mut Vec<Action>) {
        let Some(opening) = &self.opening else { return };
        let mut cancel = false;
        Area::new(egui::Id::unique("opening"))
            .anchor(Align2::CENTER_CENTER, vec2(0.0, 120.0))
            .show(ui, |ui| {
                Frame::window(ui.style()).show(ui, |ui| {
                    ui.set_width(320.0);
                    ui.label(format!("Opening {}", opening.folder.display()));
                    let part = opening
                        .progress
                        .map_or(0.0, |p| p.done as f32 / p.total.max(1) as f32);
                    let text = opening
                        .progress
                        .map_or_else(String::new, |p| format!("{} of {} rides", p.done, p.total));
                    ui.add(egui::ProgressBar::new(part).text(text));
                    cancel = ui.button("Cancel").clicked();
                });
            });
        if cancel {
            self.stop_opening(out);
        }
    }

    fn stop_opening(&mut self, out: &mut Vec<Action>) {
        self.opening = None;
        let notice = Notice::told("The yard was not opened");
        out.push(Action::Tell(Box::new(notice)));
    }

    /// The rides of a yard that is being read, as far as they are there; whether there is one.
    fn reading_ui(&mut self, ui: &mut Ui, out: &mut Vec<Action>) -> bool {
        let Some(opening) = &self.opening else {
            return false;
        };
        let Some(reading) = &opening.reading else {
            return false;
        };
        let cancel = reading_bar(ui, reading);
        let yard = &reading.yard;
        let last_day = reading.last_day().filter(|_| yard.as_of_last_ride);
        let data = YardData {
            yard,
            today: last_day.unwrap_or_else(|| self.services.today()),
            writable: false,
            problems: &[],
            film_path: &|film| film_path_in(&opening.folder, film),
            folder: &opening.folder,
            revision: reading.revision(),
            reading: Some(reading),
        };
        yard_ui(ui, &mut self.yard_view, &data, out);
        if cancel {
            self.stop_opening(out);
        }
        true
    }

    fn notices_ui(&mut self, ui: &Ui, out: &mut Vec<Action>) {
        let tokens = theme::tokens(ui);
        let keys = keys::map(ui.ctx());
        let mut dismiss = None;
        Area::new(egui::Id::unique("notices"))
            .anchor(Align2::LEFT_BOTTOM, vec2(16.0, -224.0))
            .show(ui, |ui| {
                for (at, notice) in self.notices.iter().enumerate() {
                    let (icon, ink) = match notice.level {
                        Level::Told => (Icon::Done, tokens.good),
                        Level::Caution => (Icon::Trouble, tokens.caution),
                        Level::Trouble => (Icon::Trouble, tokens.fault),
                    };
                    Frame::window(ui.style())
                        .inner_margin(Margin::symmetric(12, 8))
                        .show(ui, |ui| {
                            ui.set_max_width(460.0);
                            ui.horizontal(|ui| {
                                let (_, place) = ui.allocate_space(vec2(18.0, 18.0));
                                icon::paint(ui.painter(), icon, place.center(), 16.0, ink);
                                ui.vertical(|ui| {
                                    ui.set_max_width(380.0);
                                    let text = keys.in_text(&notice.text, ui.ctx());
                                    ui.label(RichText::new(text).font(theme::bold(14.0)));
                                    if let Some(next) = &notice.next {
                                        ui.label(keys.in_text(next, ui.ctx()));
                                    }
                                    if let Some((label, action)) = &notice.offer
                                        && ui.button(label).clicked()
                                    {
                                        out.push(action.clone());
                                        dismiss = Some(at);
                                    }
                                });
                                if notice.level != Level::Told
                                    && icon_button(ui, Icon::Close, "Put away", true).clicked()
                                {
                                    dismiss = Some(at);
                                }
                            });
                        });
                }
            });
        if let Some(at) = dismiss {
            self.notices.dismiss(at);
        }
    }
}

/// How far reading is; whether to stop it.
fn reading_bar(ui: &mut Ui, reading: &Reading) -> bool {
    let tokens = theme::tokens(ui);
    let frame = Frame::new()
        .fill(tokens.raised)
        .inner_margin(Margin::symmetric(14, 6));
    let mut cancel = false;
    Panel::top("reading").frame(frame).show(ui, |ui| {
        ui.horizontal(|ui| {
            ui.label(RichText::new("Reading the rides, the newest first").font(theme::bold(14.5)));
            let progress = reading.progress;
            let bar = egui::ProgressBar::new(reading.part())
                .desired_width(260.0)
                .text(format!("{} of {}", progress.done, progress.total));
            ui.add(bar);
            cancel = ui.button("Cancel").clicked();
            let text = "They can be opened and changed once all are read";
            ui.label(RichText::new(text).color(tokens.ink_soft));
        });
    });
    cancel
}

/// How far the index of the open yard is, and a way to stop it; from the right.
fn indexing_ui(ui: &mut Ui, progress: reinback_yard::Progress, out: &mut Vec<Action>) {
    let stop = "Make no index this time: the yard then takes longer to open";
    if icon_button(ui, Icon::Close, stop, true).clicked() {
        out.push(Action::StopIndexing);
    }
    let part = 100 * progress.done / progress.total.max(1);
    let text = RichText::new(format!("Index {part} %")).color(theme::tokens(ui).ink_soft);
    ui.label(text).on_hover_text(
        "With it this yard opens in less time. You can go on meanwhile; it lies in your own cache \
         folder, not in the yard.",
    );
}

fn room_tab(ui: &mut Ui, here: bool, command: Command, out: &mut Vec<Action>) {
    let tokens = theme::tokens(ui);
    let text = RichText::new(command.text())
        .font(theme::bold(15.0))
        .color(if here { tokens.on_leather } else { tokens.ink });
    let fill = if here { tokens.leather } else { tokens.raised };
    let button = egui::Button::new(text)
        .fill(fill)
        .min_size(vec2(78.0, 30.0))
        .selected(here);
    if ui
        .add(button)
        .on_hover_text(command.tip_with_key(ui.ctx()))
        .clicked()
    {
        out.push(Action::Run(command));
    }
}

fn safety_ui(ui: &mut Ui, open: &crate::open_yard::OpenYard, out: &mut Vec<Action>) {
    let tokens = theme::tokens(ui);
    let safety = match (&open.access, &open.keeper) {
        (Access::ReadOnly(why), _) => {
            Err((format!("Read only: {why}"), why.next_step().to_owned()))
        }
        (Access::Write, Some(keeper)) => Ok(keeper.safety(&open.document)),
        (Access::Write, None) => return,
    };
    let mut sign = |icon: Icon, ink: egui::Color32, text: &str, tip: &str| {
        ui.label(RichText::new(text).color(ink)).on_hover_text(tip);
        let (_, place) = ui.allocate_space(vec2(16.0, 18.0));
        icon::paint(ui.painter(), icon, place.center(), 13.0, ink);
    };
    match safety {
        Err((text, next)) => sign(Icon::Trouble, tokens.caution, &text, &next),
        Ok(Safety::Saved) => sign(
            Icon::Done,
            tokens.good,
            "Saved",
            "Everything is in the yard's files",
        ),
        Ok(Safety::Journaled) => sign(
            Icon::Done,
            tokens.good,
            "Saved",
            "Everything is in the yard's journal; the files follow in a moment",
        ),
        Ok(Safety::Writing) => sign(
            Icon::Pending,
            tokens.ink_soft,
            "Saving",
            "On its way to the disk",
        ),
        Ok(Safety::Failing { what, next }) => {
            if ui.button("Save again").clicked() {
                out.push(Action::RetrySave);
            }
            ui.label(RichText::new("Not saved").color(tokens.fault))
                .on_hover_text(format!("{what}. {next}"));
            let (_, place) = ui.allocate_space(vec2(16.0, 18.0));
            icon::paint(
                ui.painter(),
                Icon::Trouble,
                place.center(),
                14.0,
                tokens.fault,
            );
        }
    }
}
