//! The Progress room: fault rates and trends of a horse.
//!
//! - `moments`: the film moments behind a line, as pictures
//! - `choices`, `list`, `detail`, `chart`: the parts of the page, each with its drawing; `open`: what
//!   the detail is of
//! - `page`: the foot of the room, and what of it goes on an exported page
//! - `asking`: the newest question and its worker
//! - `picture`: where the small pictures of a line put their dots and bars; `faults`: the same
//!   where faults are counted
//! - `words`: what a line says, `prepared` once for an answer; `digest`: all of them in one breath; `empty`: what stands in their
//!   place where there are none
//! - `whole`: the other page, with everything but the exercises
//! - `glance`: all horses, a row for each
//!
//! **Invariant:** nothing is counted on the window's thread. The old picture stays, with a sign,
//! until the new one is there.

mod asking;
mod chart;
mod choices;
mod detail;
mod digest;
mod empty;
mod faults;
mod figure;
mod glance;
mod list;
mod moments;
mod open;
mod page;
mod picture;
mod prepared;
mod rows;
#[cfg(test)]
mod tests;
mod whole;
mod words;

use std::sync::{Arc, Mutex};

use chrono::NaiveDate;
use egui::{CentralPanel, Frame, Margin, Panel, Ui};
use reinback_yard::{HorseId, WordId, Yard};

use crate::action::Action;
use crate::report::books::Books;
use crate::report::figures::{Happened, TempoAbout, happened, tempo_about};
use crate::report::moments::{Moments, moments, moments_before};
use crate::report::numbers::{Days, Measure, Numbers, Reins, Whose};
use crate::report::period::{self, Against, Choice, Instead, Span, Unclear};
use crate::report::shown::{Order, Shown, Yardstick};
use crate::said::{Earlier, Say};
use crate::services::OnReady;
use crate::theme;
use asking::{Asking, Snapshot, anew_if_left_open};
use chart::{LineFigures, WholeFigures};
use figure::Figures;
use glance::Glance;
use moments::Wall;
pub use moments::{ChosenMoment, World};
use open::{DrawnOf, DrawnOfWhole};
use prepared::Prepared;
use whole::WholeView;
use words::Words;

/// What the Progress room remembers.
pub struct ProgressView {
    /// Whose numbers; nobody's before the first horse.
    whose: Option<Whose>,
    /// Which days, and what they are compared with.
    choice: Choice,
    /// Which attempts.
    reins: Reins,
    /// What of them.
    measure: Measure,
    order: Order,
    /// The page of one horse, and that of all.
    page: Page,
    page_of_all: Page,
    whole: WholeView,
    glance: Glance,
    /// The line that is open.
    open: Option<WordId>,
    /// A line that is brought into sight, for so many frames more.
    reveal: Option<(WordId, u8)>,
    /// What is remembered of the figures on screen.
    figures: Figures,
    /// Those that rest on the whole horse, and what they were made of.
    drawn_whole: Option<(DrawnOfWhole, Arc<WholeFigures>)>,
    /// The figures of the open line, and what they were made of.
    drawn: Option<(DrawnOf, Arc<LineFigures>)>,
    /// The film moments of the open line.
    wall: Wall,
    counting: Asking<Wanted, Counted>,
    /// The lines of the last answer in words.
    prepared: Prepared,
    snapshot: Snapshot,
    /// What was counted so far. Only workers open them, one at a time.
    books: Arc<Mutex<Books>>,
}

/// What the middle of the room shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Page {
    /// One line an exercise.
    #[default]
    Exercises,
    /// Everything but the exercises.
    Whole,
    /// One line a horse.
    Horses,
}

/// What is asked, and of which state of the yard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Asked {
    revision: u64,
    whose: Whose,
    days: period::Asked,
    reins: Reins,
    today: NaiveDate,
}

/// What is wanted on screen.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Wanted {
    asked: Asked,
    /// The line whose film moments are wanted too.
    open: Option<WordId>,
}

/// What a worker found.
struct Counted {
    numbers: Numbers,
    /// How the days compared with are called.
    earlier: Option<Earlier>,
    /// Why these are not the days asked for.
    instead: Option<Instead>,
    /// Those of the open line.
    moments: Moments,
    /// Those of it in the days compared with that are not also asked about.
    before: Moments,
    /// Competitions and notes of the days, while a line is open.
    happened: Vec<Happened>,
    /// The tempo about the open line.
    tempo: TempoAbout,
}

impl ProgressView {
    /// Nothing computed yet; `on_ready` is called from the worker when something is.
    #[must_use]
    pub fn new(on_ready: OnReady) -> Self {
        Self {
            whose: None,
            choice: Choice::default(),
            reins: Reins::default(),
            measure: Measure::default(),
            order: Order::default(),
            page: Page::default(),
            page_of_all: Page::Horses,
            whole: WholeView::new(on_ready.clone()),
            glance: Glance::new(on_ready.clone()),
            open: None,
            reveal: None,
            figures: Figures::default(),
            drawn: None,
            drawn_whole: None,
            wall: Wall::default(),
            counting: Asking::new(on_ready),
            prepared: Prepared::default(),
            snapshot: Snapshot::default(),
            books: Arc::default(),
        }
    }

    /// Another yard has been opened.
    pub fn forget(&mut self) {
        self.whose = None;
        self.open = None;
        self.wall = Wall::default();
        self.counting.forget();
        self.books = Arc::default();
        self.snapshot = Snapshot::default();
        self.whole.forget();
        self.glance.forget();
    }

    /// The yard as it is now, for a worker; `revision` grows with every change of it.
    pub fn snapshot(&mut self, yard: &Yard, revision: u64) -> Arc<Yard> {
        self.snapshot.of(yard, revision)
    }

    /// Shows this horse.
    pub fn choose_horse(&mut self, horse: HorseId) {
        self.whose = Some(Whose::One(horse));
    }

    /// Shows what the days are compared with. Days that were typed are compared with those looked
    /// at.
    fn choose_against(&mut self, against: Against, today: NaiveDate) {
        if against == Against::Typed
            && let Some((days, _)) = self.stands_in(today)
        {
            self.choose_days(days, today);
        }
        self.choice.against = against;
    }

    /// The days that took the place of a month, and why. Among the rows of all horses it may have
    /// given way for some and not for others.
    fn stands_in(&self, today: NaiveDate) -> Option<(Days, Instead)> {
        if self.shown_page() == Page::Horses {
            return None;
        }
        let (wanted, counted) = self.counted()?;
        let asked = self.choice.asked(today).ok()?;
        let why = counted.instead.filter(|_| wanted.asked.days == asked)?;
        Some((counted.numbers.question.days, why))
    }

    /// Shows these days, however few rides they have. Typed ones begin with those looked at.
    fn choose_span(&mut self, span: Span, today: NaiveDate) {
        let choice = &mut self.choice;
        if span == Span::Typed
            && choice.typed.iter().all(String::is_empty)
            && let Ok(days) = choice.days(today)
        {
            choice.typed =
                [days.from, days.to].map(|day| day.map_or_else(String::new, |day| day.to_string()));
        }
        (choice.span, choice.by_hand) = (span, true);
    }

    /// Keeps to these days, also where they took the place of a month.
    fn choose_days(&mut self, days: Days, today: NaiveDate) {
        let choice = &mut self.choice;
        choice.by_hand = true;
        if choice.days(today) != Ok(days) {
            // What was not offered for the month does not come back with other days.
            choice.against = choice.against();
            choice.span = Span::Typed;
            choice.typed =
                [days.from, days.to].map(|day| day.map_or_else(String::new, |day| day.to_string()));
        }
    }

    /// Shows the last 28 days against the 28 before, or, where these are shown, the running month
    /// against the last.
    pub fn turn_four_weeks(&mut self) {
        // The month comes back as it was at first, and gives way where it has too few rides.
        let month = self.choice.span == Span::FourWeeks;
        self.choice = Choice {
            span: if month {
                Span::Month(0)
            } else {
                Span::FourWeeks
            },
            by_hand: !month,
            against: Against::Earlier,
            ..std::mem::take(&mut self.choice)
        };
    }

    /// Takes in results and starts what is due.
    pub fn tick(&mut self, yard: &Yard, revision: u64, today: NaiveDate) {
        self.counting.take_in();
        if !self.whose.is_some_and(|whose| is_there(whose, yard)) {
            self.whose = horse_of_newest_ride(yard).map(Whose::One);
        }
        let asked = self.asked(revision, today).ok().flatten();
        // The page of the whole horse and an open line are made of it.
        let looked_at = self.shown_page() == Page::Whole || self.open.is_some();
        let whole = asked.filter(|_| looked_at).and_then(|asked| {
            // A month that nobody chose may give way to other days: a worker says.
            let counted = self.counted().filter(|_| asked.days.unchosen.is_some());
            let days = match counted {
                Some((_, counted)) => counted.numbers.question.days,
                None => asked.days.days,
            };
            Some((asked.whose.horse()?, days))
        });
        let snapshot = &mut self.snapshot;
        self.whole.tick((yard, revision), whole, today, snapshot);
        let glance = asked.filter(|_| self.shown_page() == Page::Horses);
        let snapshot = &mut self.snapshot;
        self.glance.tick(yard, glance, snapshot, &self.books);
        let Some(asked) = asked else {
            return;
        };
        let wanted = Wanted {
            asked,
            open: self.open.clone(),
        };
        if self.counting.is_due(&wanted) {
            let yard = self.snapshot.of(yard, revision);
            self.start(yard, wanted);
        }
    }

    /// Whether the numbers on screen are not those asked for yet.
    fn is_counting(&self) -> bool {
        let shown = self.counting.answered();
        let shown = shown.map(|(wanted, _)| wanted.asked);
        let wanted = self.counting.on_its_way();
        wanted.is_some_and(|wanted| Some(wanted.asked) != shown)
    }

    /// What should be on screen; `None` without a horse.
    ///
    /// # Errors
    /// What is wrong with typed days.
    fn asked(&self, revision: u64, today: NaiveDate) -> Result<Option<Asked>, Unclear> {
        let days = self.choice.asked(today)?;
        let reins = self.reins();
        Ok(self.whose.map(|whose| Asked {
            revision,
            whose,
            days,
            reins,
            today,
        }))
    }

    /// Which attempts. The reins are compared with each other over the attempts on both.
    fn reins(&self) -> Reins {
        if self.shown().reins {
            Reins::Both
        } else {
            self.reins
        }
    }

    fn start(&mut self, yard: Arc<Yard>, wanted: Wanted) {
        let books = Arc::clone(&self.books);
        self.counting
            .ask(wanted, "progress", move |wanted, control| {
                let mut books = anew_if_left_open(&books);
                // One that was called back while it waited has nothing to find.
                if control.flow().is_break() {
                    return None;
                }
                let Asked {
                    whose, days, reins, ..
                } = wanted.asked;
                let horses = whose.horses(&yard);
                let (shown, instead) = period::settled(&yard, &horses, days, wanted.asked.today);
                let question = shown.question(whose, reins);
                let numbers = books.answer(&yard, &question);
                let open = wanted.open.as_ref();
                let now = open.map(|exercise| moments(&yard, &question, exercise));
                let before = open.map(|exercise| moments_before(&yard, &question, exercise));
                let happened = open.map(|_| happened(&yard, &question));
                let tempo = open.map(|exercise| tempo_about(&yard, &question, exercise));
                Some(Counted {
                    happened: happened.unwrap_or_default(),
                    tempo: tempo.unwrap_or_default(),
                    moments: now.unwrap_or_default(),
                    before: before.unwrap_or_default(),
                    earlier: shown.earlier(),
                    instead,
                    numbers,
                })
            });
    }

    /// The page that is shown.
    fn shown_page(&self) -> Page {
        match self.whose {
            Some(Whose::All) => self.page_of_all,
            Some(Whose::One(_)) | None => self.page,
        }
    }

    /// Turns to a page; that of the horses belongs to all of them.
    fn turn_to(&mut self, page: Page) {
        if page == Page::Horses {
            self.whose = Some(Whose::All);
        }
        match self.whose {
            Some(Whose::All) => self.page_of_all = page,
            Some(Whose::One(_)) | None => self.page = page,
        }
    }

    /// The horse, where one was chosen.
    fn horse(&self) -> Option<HorseId> {
        self.whose.and_then(Whose::horse)
    }

    /// The numbers on screen, if they are of whom was chosen.
    fn counted(&self) -> Option<&(Wanted, Counted)> {
        let shown = self.counting.answered();
        shown.filter(|(wanted, _)| Some(wanted.asked.whose) == self.whose)
    }

    /// What the lines are held against.
    fn yardstick(&self, counted: &Counted) -> Yardstick {
        self.shown().yardstick(counted.earlier())
    }

    /// How the lines are looked at.
    fn shown(&self) -> Shown {
        Shown {
            measure: self.measure,
            order: self.order,
            reins: self.choice.against() == Against::Reins,
        }
    }

    /// How the lines speak.
    fn words<'a>(&self, counted: &Counted, say: &'a Say) -> Words<'a> {
        Words {
            say,
            yardstick: self.yardstick(counted),
            measure: self.measure,
        }
    }

    /// Puts the answer on screen into words, where it is another.
    fn prepare(&mut self, say: &Say) {
        // Taken out for as long as the answer is looked at, which is in the view as well.
        let mut prepared = std::mem::take(&mut self.prepared);
        if let Some((_, counted)) = self.counted() {
            let words = self.words(counted, say);
            prepared.make(counted, self.counting.answers(), self.order, words);
        }
        self.prepared = prepared;
    }
}

impl Counted {
    /// Which days were compared with; nothing where nobody rode in them.
    fn earlier(&self) -> Option<Earlier> {
        self.earlier.filter(|_| self.numbers.rides_against > 0)
    }
}

/// Whether somebody can still be asked about.
fn is_there(whose: Whose, yard: &Yard) -> bool {
    match whose {
        Whose::One(horse) => yard.horse(horse).is_some(),
        Whose::All => !yard.horses.is_empty(),
    }
}

fn horse_of_newest_ride(yard: &Yard) -> Option<HorseId> {
    let newest = yard
        .rides
        .values()
        .max_by_key(|ride| (ride.head.date, ride.head.time, ride.id));
    newest
        .map(|ride| ride.head.horse)
        .filter(|horse| yard.horse(*horse).is_some())
        .or_else(|| yard.horses.first().map(|horse| horse.id))
}

/// What the Progress room shows.
#[derive(Clone, Copy)]
pub struct ProgressData<'a> {
    /// The yard.
    pub yard: &'a Yard,
    /// Grows with every change of the yard.
    pub revision: u64,
    /// The day that counts as today.
    pub today: NaiveDate,
    /// Says everything the room says.
    pub say: &'a Say,
}

/// Draws the room.
pub fn progress_ui(
    ui: &mut Ui,
    view: &mut ProgressView,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    let tokens = theme::tokens(ui);
    let side = |fill| {
        Frame::new()
            .fill(fill)
            .inner_margin(Margin::symmetric(18, 10))
    };
    let over = Frame::new()
        .fill(tokens.ground)
        .inner_margin(Margin::symmetric(18, 8));
    if view.has_side_by_side() {
        CentralPanel::default()
            .frame(over)
            .show(ui, |ui| moments::over_room_ui(ui, view, data, out));
        return;
    }
    view.prepare(data.say);
    Panel::top("progress choices")
        .frame(side(tokens.ground))
        .show_separator_line(false)
        .show(ui, |ui| choices::choices_ui(ui, view, data));
    Panel::bottom("progress caution")
        .frame(side(tokens.raised))
        .show(ui, |ui| {
            page::foot_ui(ui, data.say, out);
        });
    if view.shown_page() == Page::Exercises && view.open_line().is_some() {
        let width = (ui.available_width() * 0.43).clamp(430.0, 780.0);
        Panel::right("progress detail")
            .resizable(false)
            .exact_size(width)
            .frame(side(tokens.raised))
            .show(ui, |ui| detail::detail_ui(ui, view, data, out));
    }
    CentralPanel::default()
        .frame(Frame::new().fill(tokens.ground).inner_margin(Margin {
            left: 18,
            right: 10,
            top: 2,
            bottom: 8,
        }))
        .show(ui, |ui| match view.shown_page() {
            Page::Horses => {
                if let Err(why) = view.asked(data.revision, data.today) {
                    empty::unreadable_days_ui(ui, view, data, &data.say.unclear(&why));
                    return;
                }
                let order = view.order;
                let pressed = glance::glance_ui(ui, &mut view.glance, order, data);
                if let Some(horse) = pressed {
                    view.choose_horse(horse);
                    view.turn_to(Page::Exercises);
                }
            }
            Page::Exercises => list::list_ui(ui, view, data, out),
            Page::Whole => {
                let horse = view.horse();
                whole::whole_ui(ui, &mut view.whole, horse, data, out);
            }
        });
}
