//! A rider at work whose every gesture is drawn by lot: the same seed does the same to the same
//! yard, so that what must be on disk can be worked out without the one who wrote it.

use reinback::open_yard::OpenYard;
use reinback_yard::{
    Bout, BoutId, Document, Edit, EditError, IdMaker, Mark, MarkId, MarkKind, Moment, ReviewId,
    Ride, WordId,
};

use crate::demo::dice::Dice;

const MINUTE: u32 = 60_000;

/// One gesture.
#[derive(Clone, Debug)]
pub enum Gesture {
    /// A change.
    Do(Box<Edit>),
    /// The last one back.
    Undo,
    /// The last one taken back again.
    Redo,
}

/// A rider at work on the first ride of a yard.
pub struct Work {
    dice: Dice,
    ids: IdMaker,
}

impl Work {
    /// Work of its own for each seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self {
            dice: Dice::named(&format!("work {seed}")),
            ids: IdMaker::seeded(seed),
        }
    }

    /// The next gesture on a yard as it is.
    pub fn next(&mut self, document: &Document) -> Option<Gesture> {
        let ride = document.yard().rides.values().next()?;
        Some(match self.dice.below(12) {
            0 => Gesture::Undo,
            1 => Gesture::Redo,
            2..=4 => Gesture::Do(Box::new(self.bout(ride)?)),
            5 => {
                let mut head = ride.head.clone();
                head.title = self.words();
                Gesture::Do(Box::new(Edit::RideHead(ride.id, Box::new(head))))
            }
            6 => Gesture::Do(Box::new(Edit::YardName(self.words()))),
            7 => {
                let many = (0..self.dice.between((2, 5))).map(|_| self.mark(ride));
                Gesture::Do(Box::new(Edit::Batch(many.collect())))
            }
            _ => Gesture::Do(Box::new(self.mark(ride))),
        })
    }

    fn words(&mut self) -> String {
        format!("the {}th look at it, “louder”", self.dice.below(1_000))
    }

    fn moment(&mut self) -> Moment {
        Moment(i64::from(self.dice.below(40 * MINUTE)) * 1_000_000)
    }

    fn review(ride: &Ride) -> ReviewId {
        ride.head.counting
    }

    /// A new mark, or another moment and note for one that is there, or one away.
    fn mark(&mut self, ride: &Ride) -> Edit {
        let old = self.dice.percent(40).then(|| self.dice.pick(&ride.marks));
        let (id, gone) = match old.flatten() {
            Some(mark) => (mark.id, self.dice.percent(30)),
            None => (self.ids.next::<MarkId>(), false),
        };
        let mark = Mark {
            id,
            review: Self::review(ride),
            at: self.moment(),
            kind: MarkKind::Praise,
            bout: None,
            note: self.words(),
            origin: None,
            press: None,
            place: None,
        };
        Edit::Mark(ride.id, id, (!gone).then_some(mark))
    }

    fn bout(&mut self, ride: &Ride) -> Option<Edit> {
        let old = self.dice.percent(40).then(|| self.dice.pick(&ride.bouts));
        let (id, gone) = match old.flatten() {
            Some(bout) => (bout.id, self.dice.percent(30)),
            None => (self.ids.next::<BoutId>(), false),
        };
        let from = self.moment();
        let bout = Bout {
            id,
            review: Self::review(ride),
            exercise: WordId::new("half-pass").ok()?,
            from,
            to: Some(Moment(
                from.0 + i64::from(self.dice.below(MINUTE)) * 1_000_000,
            )),
            rein: None,
            variant: None,
            asked: reinback_yard::Asked::default(),
            score: None,
            letters: (None, None),
            reviewed: self.dice.percent(50),
            note: String::new(),
        };
        Some(Edit::Bout(ride.id, id, (!gone).then_some(bout)))
    }
}

/// Does a gesture in a document that nobody keeps.
///
/// # Errors
/// As [`Document::apply`].
pub fn in_document(document: &mut Document, gesture: Gesture) -> Result<(), EditError> {
    match gesture {
        Gesture::Do(edit) => return document.apply("work", *edit),
        Gesture::Undo => drop(document.undo()),
        Gesture::Redo => drop(document.redo()),
    }
    Ok(())
}

/// Does a gesture in an open yard, at a time of the window in seconds.
///
/// # Errors
/// As [`OpenYard::apply`].
pub fn in_yard(open: &mut OpenYard, gesture: Gesture, now: f64) -> Result<(), EditError> {
    match gesture {
        Gesture::Do(edit) => return open.apply("work", *edit, now),
        Gesture::Undo => drop(open.turn(true, now)),
        Gesture::Redo => drop(open.turn(false, now)),
    }
    Ok(())
}
