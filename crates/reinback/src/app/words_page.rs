//! The page of words: opened over any room, kept as one step.

use egui::{Align2, Ui, Window, vec2};
use reinback_yard::Edit;

use super::App;
use crate::notice::Notice;
use crate::rooms::words::WordsDraft;
use crate::rooms::words::panel::{Asked, words_ui};

impl App {
    /// Opens the page, or puts it away if nothing was changed on it.
    pub(super) fn turn_words(&mut self) {
        if let Some(draft) = &self.words {
            if draft.is_changed() {
                self.tell(Notice::told(
                    "Keep the words or leave them as they were first",
                ));
            } else {
                self.words = None;
            }
            return;
        }
        let Some(open) = &self.open else { return };
        if open.writable() {
            self.words = Some(WordsDraft::new(&open.document.yard().words));
        } else {
            let what = "This yard is open for reading only; its words cannot be changed";
            self.tell(Notice::told(what));
        }
    }

    pub(super) fn words_ui(&mut self, ui: &Ui) {
        let Some(draft) = &mut self.words else { return };
        if self.open.is_none() {
            self.words = None;
            return;
        }
        let room = ui.content_rect().size() - vec2(80.0, 140.0);
        let size = room.min(vec2(860.0, 640.0));
        let mut asked = None;
        Window::new("Words")
            .collapsible(false)
            .resizable(false)
            .anchor(Align2::CENTER_CENTER, vec2(0.0, 0.0))
            .show(ui, |ui| {
                ui.set_width(size.x);
                asked = words_ui(ui, draft, size.y);
            });
        let escaped = ui.input(|i| i.key_pressed(egui::Key::Escape)) && !draft.is_changed();
        match asked {
            Some(Asked::Keep) => {
                let words = draft.words();
                self.words = None;
                self.apply("change words", Edit::Words(Box::new(words)));
            }
            Some(Asked::PutAway) => self.words = None,
            None if escaped => self.words = None,
            None => {}
        }
    }
}
