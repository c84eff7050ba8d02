//! The page of settings: what the window remembers of how it should work. None of it is the
//! rider's work.

use egui::{Align2, Checkbox, DragValue, RichText, ScrollArea, TextEdit, Theme, Ui, Window, vec2};
use reinback_film::Settings;

use super::App;
use crate::prefs::Prefs;
use crate::said::{Language, Say};
use crate::services::Services;
use crate::theme;

/// Least and most memory for frames, in MiB. Below, stepping back halts; above, a film of an
/// hour gains nothing. Our own choice.
const MEMORY: std::ops::RangeInclusive<u32> = 128..=4096;
const MIB: usize = 1 << 20;

impl App {
    /// How the film of the Review room is opened, where textures may have so many pixels a side.
    pub(super) fn film_settings(prefs: &Prefs, largest: usize) -> Settings {
        let reviewing = Settings::reviewing();
        let largest = u32::try_from(largest).unwrap_or(u32::MAX);
        let memory = prefs
            .film_memory
            .map(|mib| mib.clamp(*MEMORY.start(), *MEMORY.end()) as usize * MIB);
        Settings {
            full_side: reviewing.full_side.min(largest),
            cache_bytes: memory.unwrap_or(reviewing.cache_bytes),
            hardware: prefs.hardware,
            ..reviewing
        }
    }

    /// The language chosen; that of the system if none is, and English where that is not spoken.
    pub(super) fn language(prefs: &Prefs, services: &dyn Services) -> Language {
        prefs.language.unwrap_or_else(|| {
            let locale = services.locale();
            locale.map_or_else(Language::default, |locale| Language::of_locale(&locale))
        })
    }

    pub(super) fn settings_ui(&mut self, ui: &Ui) {
        let mut open = self.settings;
        let mut change_keys = false;
        Window::new("Settings")
            .open(&mut open)
            .collapsible(false)
            .resizable(false)
            .anchor(Align2::CENTER_CENTER, vec2(0.0, 0.0))
            .show(ui, |ui| {
                ui.set_width(420.0);
                let height = (ui.ctx().content_rect().height() - 110.0).max(240.0);
                let scroll = ScrollArea::vertical().min_scrolled_height(height).max_height(height);
                scroll.show(ui, |ui| {
                    reviewer(ui, &mut self.prefs);
                    heading(ui, "How late your keys are");
                    self.delays_ui(ui);
                    note(
                        ui,
                        "Taken off each press made while a film plays, at its speed. A mark made so \
                         stands near its frame (~) until you set it there.",
                    );
                    language(ui, &mut self.prefs);
                    look(ui, &mut self.prefs);
                    films(ui, &mut self.prefs);
                    change_keys = keys_and_hints(ui, &mut self.prefs);
                });
            });
        if change_keys {
            (open, self.help) = (false, true);
        }
        if open && ui.input(|i| i.key_pressed(egui::Key::Escape)) {
            open = false;
        }
        let wanted = Self::language(&self.prefs, &*self.services);
        if self.say.language() != wanted {
            self.say = Say::new(wanted);
        }
        // The trial takes the page's place.
        self.settings = open && self.trial.is_none();
        // Once the page is closed: a value that is dragged changes with every frame.
        let wish = (self.prefs.film_memory, self.prefs.hardware);
        if !open && self.film_wish != wish {
            self.film_wish = wish;
            if let Some(review) = &mut self.review {
                review.stage.reopen();
            }
        }
    }
}

fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(10.0);
    ui.label(RichText::new(text).font(theme::bold(15.5)));
}

fn note(ui: &mut Ui, text: &str) {
    let ink = theme::tokens(ui).ink_soft;
    ui.label(RichText::new(text).size(13.0).color(ink));
}

fn reviewer(ui: &mut Ui, prefs: &mut Prefs) {
    heading(ui, "Who reviews");
    let name = ui.label("Name of the reviewer").id;
    ui.add(TextEdit::singleline(&mut prefs.reviewer).desired_width(f32::INFINITY))
        .labelled_by(name);
    note(ui, "Written into the reviews of new rides.");
}

fn language(ui: &mut Ui, prefs: &mut Prefs) {
    heading(ui, "Language");
    ui.horizontal(|ui| {
        ui.radio_value(&mut prefs.language, None, "Of the system");
        for language in Language::ALL {
            ui.radio_value(&mut prefs.language, Some(language), language.name());
        }
    });
    note(
        ui,
        "German so far: the Progress room and the page it exports. The other rooms are in English.",
    );
}

fn look(ui: &mut Ui, prefs: &mut Prefs) {
    heading(ui, "Look");
    ui.horizontal(|ui| {
        for (dark, text) in [
            (None, "As the system"),
            (Some(false), "Light"),
            (Some(true), "Dark"),
        ] {
            if ui.radio_value(&mut prefs.dark, dark, text).clicked() {
                ui.ctx().set_theme(match dark {
                    None => egui::ThemePreference::System,
                    Some(true) => Theme::Dark.into(),
                    Some(false) => Theme::Light.into(),
                });
            }
        }
    });
}

fn films(ui: &mut Ui, prefs: &mut Prefs) {
    heading(ui, "Films");
    let automatic = u32::try_from(Settings::reviewing().cache_bytes / MIB).unwrap_or(u32::MAX);
    let mut own = prefs.film_memory.is_some();
    let text = format!("Choose how much memory films may use (else {automatic} MB)");
    if ui.add(Checkbox::new(&mut own, text)).changed() {
        prefs.film_memory = own.then_some(automatic);
    }
    if let Some(mib) = &mut prefs.film_memory {
        let value = DragValue::new(mib).range(MEMORY).speed(8).suffix(" MB");
        ui.add(value.update_while_editing(false));
    }
    note(
        ui,
        "More memory keeps more frames at hand, so that going back never has to wait.",
    );
    ui.add_space(4.0);
    ui.checkbox(&mut prefs.hardware, "Let the graphics card play films");
    note(
        ui,
        "Spares the processor. Where the card cannot, the processor does it as before.",
    );
}

/// Whether the rider wants to change keys.
fn keys_and_hints(ui: &mut Ui, prefs: &mut Prefs) -> bool {
    heading(ui, "Keys and hints");
    ui.horizontal(|ui| {
        let change = ui.button("Change keys…").clicked();
        let again = egui::Button::new("Show the hints again");
        if ui
            .add_enabled(!prefs.hints_gone.is_empty(), again)
            .clicked()
        {
            prefs.hints_gone.clear();
        }
        change
    })
    .inner
}
