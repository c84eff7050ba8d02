//! The page of words: opened over any room, kept as one step.

use egui::{Align2, Ui, Window, vec2};
use reinback_yard::Edit;

use super::App;
use crate::notice::Notice;
use crate::open_yard::OpenYard;
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
            Some(Asked::Keep) => self.keep_words(),
            Some(Asked::PutAway) => self.words = None,
            None if escaped => self.words = None,
            None => {}
        }
    }

    /// Keeps the words of the page, if they were made from those the yard has.
    fn keep_words(&mut self) {
        let (Some(open), Some(draft)) = (&self.open, &self.words) else {
            return;
        };
        if !draft.began_from(&open.document.yard().words) {
            let what = "Not kept: the words of this yard have changed since this page was opened";
            let next = "Leave them as they were and open the page again, so that nothing is lost";
            self.tell(Notice::caution(what).next(next));
            return;
        }
        let (words, revision) = (draft.words(), open.document.revision());
        self.apply("change words", Edit::Words(Box::new(words)));
        let kept = |open: &OpenYard| open.document.revision() != revision;
        if self.open.as_ref().is_some_and(kept) {
            self.words = None;
        }
    }
}
