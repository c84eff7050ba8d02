//! The Progress room exported as one page: asked where, made on a thread, told where it lies.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{RichText, Ui};
use reinback_yard::{Problem, Yard};

use super::file_name::file_name;
use super::{App, Event, Purpose};
use crate::action::Action;
use crate::notice::Notice;
use crate::report::html::{self, Refused, Wish};
use crate::said::Say;
use crate::services::Question;
use crate::task::Task;
use crate::theme;
use crate::widgets::icon::{Icon, icon_button};

/// A page that was asked for, with all that it is made of as it was then: the yard may change, or
/// be left for another, while the rider says where the page should go.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct PageOrder {
    wish: Wish,
    yard: Arc<Yard>,
    /// The yard's own.
    folder: PathBuf,
    problems: Vec<Problem>,
}

/// A page being made.
pub(super) struct Making {
    number: u64,
    /// How far it is, 0 to 1.
    done: f32,
    task: Task,
}

impl Making {
    /// Its number, where whoever made it has come to an end.
    pub(super) fn ended(&self) -> Option<u64> {
        (!self.task.is_running()).then_some(self.number)
    }
}

impl App {
    /// Asks where the page of what Progress shows should go.
    pub(super) fn ask_for_page(&mut self) {
        let Some(open) = &self.open else { return };
        let today = open.today(self.services.today());
        let (yard, revision) = (open.document.yard(), open.document.revision());
        let Some(wish) = self.progress.wish_page(yard, today) else {
            let notice = Notice::told(self.say.plain("report-nothing-yet"));
            let next = self.say.plain("report-nothing-yet-next");
            self.tell(notice.next(next));
            return;
        };
        let horse = match wish.horses.as_slice() {
            [only] => yard.horse(*only).map(|horse| horse.name.as_str()),
            _ => None,
        };
        let day = today.format("%Y-%m-%d").to_string();
        let name = file_name(&[&day, horse.unwrap_or(&yard.name)], "html");
        let order = PageOrder {
            wish,
            yard: self.progress.snapshot(yard, revision),
            folder: open.folder.clone(),
            problems: open.problems.clone(),
        };
        self.ask(
            Purpose::Page(Box::new(order)),
            Question::SaveAs {
                title: self.say.plain("report-title").into(),
                name,
                ending: "html",
                folder: None,
            },
        );
    }

    /// Makes the page and writes it, on a thread. One that was being made is made no further.
    pub(super) fn write_page(&mut self, order: PageOrder, path: PathBuf) {
        let say = self.say.clone();
        self.pages += 1;
        let number = self.pages;
        let task = self.tasks.start("page", move |control| {
            let mut on = |done: f32| {
                let flow: ControlFlow<()> = control.flow();
                if flow.is_continue() {
                    control.send(Event::PageMade(number, done));
                }
                flow
            };
            if let Some(written) = make(&order, &path, &say, &mut on) {
                control.send(Event::PageWritten(number, path, written));
            }
        });
        self.page = Some(Making {
            number,
            done: 0.0,
            task,
        });
    }

    /// How far the page of this number is.
    pub(super) fn page_made(&mut self, number: u64, done: f32) {
        let own = |making: &&mut Making| making.number == number;
        if let Some(making) = self.page.as_mut().filter(own) {
            making.done = done;
        }
    }

    /// The page of this number lies where it was to go, or why not. That is told also of one that
    /// was stopped too late.
    pub(super) fn page_written(&mut self, number: u64, path: &Path, written: Result<(), Refused>) {
        self.page.take_if(|making| making.number == number);
        let notice = match written {
            Ok(()) => {
                let file = path.display().to_string();
                Notice::told(self.say.text("figure-written", &[("file", file.into())]))
            }
            Err(why) => refusal(&why, &self.say),
        };
        self.tell(notice);
    }

    /// The page of this number will not come: whoever made it ended without a word.
    pub(super) fn page_lost(&mut self, number: u64) {
        if self
            .page
            .take_if(|making| making.number == number)
            .is_some()
        {
            self.tell(Notice::trouble(self.say.plain("report-not-made")));
        }
    }
}

/// Makes a page and writes it; nothing where it was told to stop.
fn make(
    order: &PageOrder,
    path: &Path,
    say: &Say,
    on: &mut dyn FnMut(f32) -> ControlFlow<()>,
) -> Option<Result<(), Refused>> {
    let PageOrder {
        wish,
        yard,
        folder,
        problems,
    } = order;
    let place = match html::Place::judge(folder, path) {
        Ok(place) => place,
        Err(why) => return Some(Err(why)),
    };
    let made = html::page(yard, folder, wish, problems, say, on)?;
    if on(1.0).is_break() {
        return None;
    }
    Some(place.write(&made))
}

/// Why a page does not go where it was to go.
fn refusal(why: &Refused, say: &Say) -> Notice {
    let shown = |path: &Path| path.display().to_string();
    let text = match why {
        Refused::InYard(path) => say.text("report-in-yard", &[("file", shown(path).into())]),
        Refused::Folder(path) => say.text("report-is-folder", &[("file", shown(path).into())]),
        Refused::NotOurs(path) => say.text("report-not-ours", &[("file", shown(path).into())]),
        Refused::Disk { file, why } => say.text(
            "figure-not-written",
            &[("file", shown(file).into()), ("why", why.as_str().into())],
        ),
    };
    Notice::trouble(text).next(say.plain("figure-not-written-next"))
}

/// How far the page is, with a button that stops it.
pub(super) fn making_ui(ui: &mut Ui, making: &Making, say: &Say, out: &mut Vec<Action>) {
    if icon_button(ui, Icon::Close, &say.plain("report-stop"), true).clicked() {
        out.push(Action::StopPage);
    }
    let part = say.percent(f64::from(making.done));
    let text = say.text("report-making", &[("part", part.into())]);
    ui.label(RichText::new(text).color(theme::tokens(ui).ink_soft));
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::report::numbers::{Days, Reins};
    use crate::report::parquet::Naming;
    use crate::report::sample;
    use crate::report::shown::Shown;
    use crate::said::Language;

    #[test]
    fn a_page_goes_nowhere_that_it_may_not_and_not_after_it_was_stopped() {
        let [home, other] = [(), ()].map(|()| tempfile::tempdir().expect("a folder"));
        let order = PageOrder {
            wish: Wish {
                horses: vec![sample::horse()],
                asked: Days::default().into(),
                reins: Reins::Both,
                today: sample::day(9),
                naming: Naming::Named,
                stills: 0,
                chosen: Vec::new(),
                shown: Shown::default(),
                together: false,
            },
            yard: Arc::new(sample::yard()),
            folder: home.path().to_owned(),
            problems: Vec::new(),
        };
        let say = Say::new(Language::English);
        let inside = home.path().join("page.html");
        let mut never = |_: f32| panic!("it is refused before it is made");
        let refused = make(&order, &inside, &say, &mut never);
        assert_eq!(refused, Some(Err(Refused::InYard(inside.clone()))));
        assert!(!inside.exists());
        let outside = other.path().join("page.html");
        let mut at_the_end = |done: f32| {
            if done < 1.0 {
                ControlFlow::Continue(())
            } else {
                ControlFlow::Break(())
            }
        };
        assert_eq!(make(&order, &outside, &say, &mut at_the_end), None);
        assert!(!outside.exists());
        let mut on = |_: f32| ControlFlow::Continue(());
        assert_eq!(make(&order, &outside, &say, &mut on), Some(Ok(())));
        let written = fs::read_to_string(&outside).expect("written");
        assert!(written.contains("Juniper"));
    }
}
