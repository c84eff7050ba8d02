//! The page of keys: every command with its keys, and where a rider gives it others.

use egui::{Align2, Button, Context, RichText, ScrollArea, Ui, Window, vec2};

use super::App;
use crate::command::{Command, FIXED, Press};
use crate::keymap::{KeyMap, MOST_KEYS, allowed};
use crate::keys::{self, Caught, KeyListener};
use crate::notice::Notice;
use crate::rooms::review::measure;
use crate::theme;

/// What the page is at.
#[derive(Default)]
pub(super) struct KeysPage {
    /// The command whose key is to be pressed now, and which of its keys.
    waiting: Option<(Command, usize)>,
    /// A change that would take a key from another command.
    clash: Option<Clash>,
    /// Why the last key was not taken.
    refused: Option<(Command, String)>,
}

/// A change that waits for the rider's word.
#[derive(Clone, Copy)]
struct Clash {
    command: Command,
    change: Change,
    press: Press,
    holder: Command,
}

#[derive(Clone, Copy)]
enum Change {
    /// The key of this number becomes the one pressed.
    Give(usize),
    /// The first keys come back.
    Reset,
}

/// What is clicked on the page.
#[derive(Clone, Copy)]
enum Click {
    /// Press a new key for the key of this number.
    Wait(Command, usize),
    /// This key away.
    Without(Command, usize),
    Reset(Command),
    ResetAll,
    /// Take the key from the other.
    Yes(Clash),
    /// Leave everything as it is.
    No,
}

impl App {
    pub(super) fn help_ui(&mut self, ui: &Ui) {
        if !self.help {
            if self.keys_page.waiting.is_some() {
                self.wait_for_key(ui.ctx(), None);
            }
            self.keys_page = KeysPage::default();
            return;
        }
        let mut open = true;
        let height = (ui.content_rect().height() - 210.0).max(240.0);
        let width = ui.content_rect().width() - 80.0;
        let map = keys::map(ui.ctx());
        let mut click = None;
        self.take_caught(ui.ctx(), &map);
        Window::new("Keys")
            .open(&mut open)
            .collapsible(false)
            .resizable(false)
            .anchor(Align2::CENTER_CENTER, vec2(0.0, 0.0))
            .show(ui, |ui| {
                head_ui(ui, &map, &mut click);
                ScrollArea::both()
                    .min_scrolled_height(height)
                    .max_height(height)
                    .min_scrolled_width(width)
                    .max_width(width)
                    .show(ui, |ui| page_ui(ui, &self.keys_page, &map, &mut click));
            });
        if open && ui.input(|i| i.key_pressed(egui::Key::Escape)) {
            open = false;
        }
        if let Some(click) = click {
            self.clicked_keys(ui.ctx(), &map, click);
        }
        self.help = open;
    }

    /// The keys as they were remembered; what cannot be understood is told.
    pub(super) fn remembered_keys(&mut self, ctx: &Context) {
        let (map, spoilt) = KeyMap::from_settings(&self.prefs.keys);
        if !spoilt.is_empty() {
            let text = "Some of your own keys could not be read and are as they were at first";
            let next = "The page of keys shows them all, and changes them";
            self.tell(Notice::caution(text).next(next));
        }
        self.set_keys(ctx, map);
    }

    fn set_keys(&mut self, ctx: &Context, map: KeyMap) {
        self.prefs.keys = map.to_settings();
        ctx.plugin::<KeyListener>().lock().set_map(map);
        ctx.request_repaint();
    }

    fn wait_for_key(&mut self, ctx: &Context, waiting: Option<(Command, usize)>) {
        self.keys_page.waiting = waiting;
        let listener = ctx.plugin::<KeyListener>();
        listener.lock().catch(waiting.is_some());
    }

    /// Takes in the key that was pressed for a command.
    fn take_caught(&mut self, ctx: &Context, map: &KeyMap) {
        let caught = ctx.plugin::<KeyListener>().lock().caught();
        let Some(caught) = caught else { return };
        let Some((command, place)) = self.keys_page.waiting.take() else {
            return;
        };
        let Caught::Press(press) = caught else { return };
        if let Err(why) = allowed(command, press) {
            self.keys_page.refused = Some((command, why.to_string()));
            return;
        }
        let holder = map.holder(press).filter(|holder| *holder != command);
        match holder {
            Some(holder) => {
                self.keys_page.clash = Some(Clash {
                    command,
                    change: Change::Give(place),
                    press,
                    holder,
                });
            }
            None => self.change_keys(ctx, map, command, Change::Give(place), press),
        }
    }

    fn change_keys(
        &mut self,
        ctx: &Context,
        map: &KeyMap,
        command: Command,
        change: Change,
        press: Press,
    ) {
        let mut map = map.clone();
        match change {
            Change::Give(place) => {
                if let Err(why) = map.give(command, place, press) {
                    self.keys_page.refused = Some((command, why.to_string()));
                    return;
                }
            }
            Change::Reset => map.reset(command),
        }
        self.set_keys(ctx, map);
    }

    fn clicked_keys(&mut self, ctx: &Context, map: &KeyMap, click: Click) {
        self.wait_for_key(ctx, None);
        (self.keys_page.clash, self.keys_page.refused) = (None, None);
        match click {
            Click::Wait(command, place) => self.wait_for_key(ctx, Some((command, place))),
            Click::Without(command, place) => {
                if let Some(press) = map.presses(command).get(place) {
                    let mut map = map.clone();
                    map.take_away(command, *press);
                    self.set_keys(ctx, map);
                }
            }
            Click::Reset(command) => {
                if let Some((press, holder)) = map.in_the_way_of_reset(command) {
                    self.keys_page.clash = Some(Clash {
                        command,
                        change: Change::Reset,
                        press,
                        holder,
                    });
                } else {
                    let mut map = map.clone();
                    map.reset(command);
                    self.set_keys(ctx, map);
                }
            }
            Click::ResetAll => self.set_keys(ctx, KeyMap::default()),
            Click::Yes(clash) => {
                self.change_keys(ctx, map, clash.command, clash.change, clash.press);
            }
            Click::No => {}
        }
    }
}

fn head_ui(ui: &mut Ui, map: &KeyMap, click: &mut Option<Click>) {
    let tokens = theme::tokens(ui);
    ui.horizontal(|ui| {
        let text = "Click a key to take another in its place.";
        ui.label(RichText::new(text).color(tokens.ink_soft));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let all = Button::new("All keys as at first");
            if ui.add_enabled(map.is_any_changed(), all).clicked() {
                *click = Some(Click::ResetAll);
            }
        });
    });
    ui.separator();
}

fn page_ui(ui: &mut Ui, page: &KeysPage, map: &KeyMap, click: &mut Option<Click>) {
    let tokens = theme::tokens(ui);
    let mut group = "";
    egui::Grid::new("keys")
        .num_columns(3)
        .spacing(vec2(18.0, 4.0))
        .show(ui, |ui| {
            for &command in Command::ALL {
                if command.group() != group {
                    group = command.group();
                    ui.label(RichText::new(group).font(theme::bold(15.5)));
                    ui.end_row();
                    for (_, keys, text, tip) in FIXED.iter().filter(|row| row.0 == group) {
                        fixed_ui(ui, &map.in_text(keys, ui.ctx()), text, tip);
                    }
                }
                ui.horizontal(|ui| presses_ui(ui, page, map, command, click));
                ui.label(command.text());
                ui.horizontal(|ui| {
                    ui.label(RichText::new(command.tip()).color(tokens.ink_soft));
                    if map.is_changed(command)
                        && small(
                            ui,
                            "as at first",
                            &format!("Keys of “{}” as at first", command.text()),
                        )
                    {
                        *click = Some(Click::Reset(command));
                    }
                });
                ui.end_row();
                below_ui(ui, page, command, click);
                if command == Command::Measure {
                    for (keys, text, tip) in measure::keys::PAGE {
                        let keys = map.in_text(keys, ui.ctx());
                        fixed_ui(ui, &format!("measuring: {keys}"), text, tip);
                    }
                }
            }
        });
}

/// A row that is not changed here.
fn fixed_ui(ui: &mut Ui, keys: &str, text: &str, tip: &str) {
    let tokens = theme::tokens(ui);
    let keys = RichText::new(keys).font(theme::bold(13.5));
    ui.label(keys.color(tokens.leather));
    ui.label(text);
    ui.label(RichText::new(tip).color(tokens.ink_soft));
    ui.end_row();
}

/// The keys of a command, each a button.
fn presses_ui(
    ui: &mut Ui,
    page: &KeysPage,
    map: &KeyMap,
    command: Command,
    click: &mut Option<Click>,
) {
    let tokens = theme::tokens(ui);
    let presses = map.presses(command);
    let waiting = page.waiting.filter(|(of, _)| *of == command);
    for (place, press) in presses.iter().enumerate() {
        if waiting == Some((command, place)) {
            ui.label(RichText::new("press it…").font(theme::bold(13.5)));
            continue;
        }
        let key = press.text(ui.ctx());
        let text = RichText::new(&key).font(theme::bold(13.5));
        let button = ui.add(Button::new(text.color(tokens.leather)).small());
        button.widget_info(|| {
            let name = format!("{key}: another key for “{}”", command.text());
            egui::WidgetInfo::labeled(egui::Role::Button, true, name)
        });
        if button.clicked() {
            *click = Some(Click::Wait(command, place));
        }
    }
    let next = presses.len();
    if waiting == Some((command, next)) {
        ui.label(RichText::new("press it…").font(theme::bold(13.5)));
    } else if next < MOST_KEYS {
        let (text, name) = if presses.is_empty() {
            ("no key", format!("A key for “{}”", command.text()))
        } else {
            ("or…", format!("One more key for “{}”", command.text()))
        };
        if small(ui, text, &name) {
            *click = Some(Click::Wait(command, next));
        }
    }
}

/// A line of its own under a command, while there is something to say about its key.
fn below_ui(ui: &mut Ui, page: &KeysPage, command: Command, click: &mut Option<Click>) {
    let tokens = theme::tokens(ui);
    if let Some((_, place)) = page.waiting.filter(|(of, _)| *of == command) {
        ui.label("");
        ui.label(RichText::new("Press the new key").color(tokens.leather));
        ui.horizontal(|ui| {
            ui.label(RichText::new("Escape leaves it as it is").color(tokens.ink_soft));
            if small(ui, "without this key", "Leave the command without this key") {
                *click = Some(Click::Without(command, place));
            }
        });
        ui.end_row();
    }
    if let Some(clash) = page.clash.filter(|clash| clash.command == command) {
        ui.label("");
        let key = clash.press.text(ui.ctx());
        ui.label(RichText::new("Taken already").color(tokens.caution));
        ui.horizontal(|ui| {
            ui.label(format!(
                "{key} is “{}”. Give it up there?",
                clash.holder.text()
            ));
            if ui.button("Give it up there").clicked() {
                *click = Some(Click::Yes(clash));
            }
            if ui.button("Leave it there").clicked() {
                *click = Some(Click::No);
            }
        });
        ui.end_row();
    }
    if let Some((_, why)) = page.refused.as_ref().filter(|(of, _)| *of == command) {
        ui.label("");
        ui.label(RichText::new("Not taken").color(tokens.caution));
        ui.label(why);
        ui.end_row();
    }
}

/// A small button with a name of its own for screen readers.
fn small(ui: &mut Ui, text: &str, name: &str) -> bool {
    let button = ui.small_button(text).on_hover_text(name);
    button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, name));
    button.clicked()
}
