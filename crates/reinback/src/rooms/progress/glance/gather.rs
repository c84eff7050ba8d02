//! The rows of all horses, gathered by a worker one by one.

use std::collections::HashMap;
use std::sync::{Arc, Mutex};

use reinback_yard::{HorseId, Yard};

use crate::report::books::Books;
use crate::report::horses::{HorseRow, Seen, Stable};
use crate::rooms::progress::Asked;
use crate::rooms::progress::asking::anew_if_left_open;
use crate::services::OnReady;
use crate::task::{Control, Task, Tasks};

/// Whether the yard may have changed, but not what is asked.
fn asks_the_same(one: &Asked, other: &Asked) -> bool {
    let revision = one.revision;
    *one == Asked { revision, ..*other }
}

enum News {
    Row(Box<HorseRow>),
    /// Every horse has its row.
    All,
}

/// The rows there are, and the worker that looks for the others.
///
/// **Invariant:** all rows answer the same question. Only after a change of the yard do rows of
/// before stay until the new ones are there.
pub(super) struct Gathering {
    on_ready: OnReady,
    tasks: Tasks<(Asked, News)>,
    running: Option<(Asked, Task)>,
    /// What a worker could not answer; asked again only when something else was asked.
    failed: Option<Asked>,
    /// What all rows answer.
    asked: Option<Asked>,
    /// With a number that grows with each.
    rows: HashMap<HorseId, (u64, HorseRow)>,
    /// Whether every horse had its row once.
    whole: bool,
    came: u64,
    /// Only workers look into it.
    seen: Arc<Mutex<Seen>>,
}

impl Gathering {
    /// Nothing asked yet; `on_ready` is called from the worker with every row.
    pub(super) fn new(on_ready: OnReady) -> Self {
        Self {
            tasks: Tasks::new(on_ready.clone()),
            on_ready,
            running: None,
            failed: None,
            asked: None,
            rows: HashMap::new(),
            whole: false,
            came: 0,
            seen: Arc::default(),
        }
    }

    /// Forgets everything; rows still on their way go nowhere.
    pub(super) fn forget(&mut self) {
        *self = Self::new(self.on_ready.clone());
    }

    /// Takes in what was found.
    pub(super) fn take_in(&mut self) {
        // Asked before the rows are taken in: one may come between the two.
        let ended = self.running.as_ref().map(|(_, task)| !task.is_running());
        while let Some((asked, news)) = self.tasks.poll() {
            if self.running.as_ref().map(|(wanted, _)| wanted) != Some(&asked) {
                continue;
            }
            match news {
                News::Row(row) => {
                    self.came += 1;
                    self.rows.insert(row.horse, (self.came, *row));
                }
                News::All => {
                    self.came += 1;
                    (self.running, self.whole) = (None, true);
                }
            }
        }
        if ended == Some(true)
            && let Some((asked, _)) = self.running.take()
        {
            self.failed = Some(asked);
        }
    }

    /// Whether a worker should be sent for these rows.
    pub(super) fn is_due(&self, wanted: &Asked) -> bool {
        let running = self.running.as_ref().map(|(wanted, _)| wanted);
        let known = running.or(self.failed.as_ref()).or(self.asked.as_ref());
        known != Some(wanted)
    }

    /// Sends a worker for the rows of all horses, and calls back the one before.
    pub(super) fn ask(&mut self, yard: Arc<Yard>, wanted: Asked, books: &Arc<Mutex<Books>>) {
        if !self
            .asked
            .is_some_and(|asked| asks_the_same(&asked, &wanted))
        {
            self.rows.clear();
            self.whole = false;
        }
        let (books, seen) = (Arc::clone(books), Arc::clone(&self.seen));
        let task = self.tasks.start("horses", move |control| {
            if gathered(&yard, &wanted, &books, &seen, control).is_some() {
                control.send((wanted, News::All));
            }
        });
        self.failed = None;
        self.asked = Some(wanted);
        self.running = Some((wanted, task));
    }

    /// Whether rows are on their way.
    pub(super) fn is_running(&self) -> bool {
        self.running.is_some()
    }

    /// Whether a worker could not answer.
    pub(super) fn has_failed(&self) -> bool {
        self.failed.is_some()
    }

    /// Whether every horse has had its row.
    pub(super) fn is_whole(&self) -> bool {
        self.whole
    }

    /// Grows with every row that comes.
    pub(super) fn came(&self) -> u64 {
        self.came
    }

    /// The row of a horse, and a number that no other row has had.
    pub(super) fn row(&self, horse: HorseId) -> Option<(u64, &HorseRow)> {
        self.rows.get(&horse).map(|(came, row)| (*came, row))
    }

    /// Whether every horse has had its row of what is asked.
    pub(super) fn is_whole_of(&self, asked: &Asked) -> bool {
        let own = self.asked.as_ref();
        self.whole && own.is_some_and(|own| asks_the_same(own, asked))
    }
}

/// Sends row after row. `None` where the worker was called back. The books are left open to others
/// between two horses, so that a question of one horse does not wait for all of them.
fn gathered(
    yard: &Yard,
    wanted: &Asked,
    books: &Mutex<Books>,
    seen: &Mutex<Seen>,
    control: &Control<(Asked, News)>,
) -> Option<()> {
    let stable = Stable::new(yard);
    for horse in &yard.horses {
        let own = stable.own(horse.id, (wanted.days, wanted.reins), wanted.today);
        let numbers = {
            let mut books = anew_if_left_open(books);
            if control.flow().is_break() {
                return None;
            }
            books.answer(yard, &own.question())
        };
        let mut seen = anew_if_left_open(seen);
        let row = stable.row(&own, &numbers, wanted.today, &mut seen);
        control.send((*wanted, News::Row(Box::new(row))));
    }
    Some(())
}
