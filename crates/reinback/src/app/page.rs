//! The Progress room exported as one page: asked where, made on a thread, told where it lies.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use egui::{RichText, Ui};

use super::{App, Event, Purpose};
use crate::action::Action;
use crate::notice::Notice;
use crate::report::html::{Wish, page};
use crate::services::Question;
use crate::task::Task;
use crate::theme;
use crate::widgets::icon::{Icon, icon_button};

/// A page being made.
pub(super) struct Making {
    /// How far it is, 0 to 1.
    done: f32,
    _task: Task,
}

impl App {
    /// Asks where the page of what Progress shows should go.
    pub(super) fn ask_for_page(&mut self) {
        let Some(open) = &self.open else { return };
        let today = open.today(self.services.today());
        let yard = open.document.yard();
        let Some(wish) = self.progress.wish_page(yard, today) else {
            let what = "There is nothing to export yet";
            self.tell(Notice::told(what).next("Numbers begin with a horse and the film of a ride"));
            return;
        };
        let horse = match wish.horses.as_slice() {
            [only] => yard.horse(*only).map(|horse| horse.name.as_str()),
            _ => None,
        };
        let day = today.format("%Y-%m-%d");
        let name = format!("{day} {}.html", in_a_name(horse.unwrap_or(&yard.name)));
        self.ask(
            Purpose::Page(Box::new(wish)),
            Question::SaveAs {
                title: "Progress as a page".into(),
                name,
                ending: "html",
                folder: None,
            },
        );
    }

    /// Makes the page and writes it, on a thread. One that was being made is made no further.
    pub(super) fn write_page(&mut self, wish: Wish, path: PathBuf) {
        let Some(open) = &self.open else { return };
        let (yard, folder) = (open.document.yard().clone(), open.folder.clone());
        let (problems, say) = (open.problems.clone(), self.say.clone());
        let task = self.tasks.start("page", move |control| {
            let mut on = |done: f32| {
                let flow: ControlFlow<()> = control.flow();
                if flow.is_continue() {
                    control.send(Event::PageMade(done));
                }
                flow
            };
            let Some(made) = page(&yard, &folder, &wish, &problems, &say, &mut on) else {
                return;
            };
            let written = reinback_yard::replace_file(&path, made.as_bytes());
            control.send(Event::PageWritten(
                path,
                written.map_err(|error| error.to_string()),
            ));
        });
        self.page = Some(Making {
            done: 0.0,
            _task: task,
        });
    }

    /// How far the page is.
    pub(super) fn page_made(&mut self, done: f32) {
        if let Some(making) = &mut self.page {
            making.done = done;
        }
    }

    /// The page lies where it was to go, or why not.
    pub(super) fn page_written(&mut self, path: &Path, written: &Result<(), String>) {
        self.page = None;
        let place = path.display();
        self.tell(match written {
            Ok(()) => Notice::caution(format!("Written: {place}"))
                .next("Any browser shows and prints it; it needs no network"),
            Err(why) => Notice::trouble(format!("{place} could not be written: {why}"))
                .next("Choose another place for it"),
        });
    }
}

/// How far the page is, with a button that stops it.
pub(super) fn making_ui(ui: &mut Ui, making: &Making, out: &mut Vec<Action>) {
    let stop = "Stop making the page; nothing is written then";
    if icon_button(ui, Icon::Close, stop, true).clicked() {
        out.push(Action::StopPage);
    }
    let part = (100.0 * making.done).round();
    ui.label(RichText::new(format!("Page {part} %")).color(theme::tokens(ui).ink_soft));
}

/// How long the name of a horse may be in the name of a file.
const LONGEST: usize = 60;

/// A name as part of a file's: without the signs that part folders or that a system forbids.
fn in_a_name(name: &str) -> String {
    let kept = name
        .chars()
        .filter(|sign| !sign.is_control() && !"/\\:*?\"<>|".contains(*sign));
    let kept: String = kept.take(LONGEST).collect();
    match kept.trim() {
        "" => "progress".to_owned(),
        kept => kept.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_horse_gives_a_file_its_name_whatever_it_is_called() {
        assert_eq!(in_a_name("Sonnet"), "Sonnet");
        assert_eq!(in_a_name("../a\\b: \"c\"?"), "..ab c");
        assert_eq!(in_a_name("///"), "progress");
        assert_eq!(in_a_name(&"x".repeat(200)).len(), LONGEST);
    }
}
