//! The rides of one horse in one exercise, in columns sorted by day.

use std::ops::Range;

use super::part::{Part, Side};
use crate::exercise::RidePoint;
use crate::observation::{Key, Rein};
use crate::rate::Tally;
use crate::time::Day;

/// Lists of unequal length, one for each row, end to end.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ragged<T> {
    /// Where each row's list ends.
    ends: Vec<usize>,
    items: Vec<T>,
}

impl<T> Default for Ragged<T> {
    fn default() -> Self {
        Self {
            ends: Vec::new(),
            items: Vec::new(),
        }
    }
}

impl<T: Copy> Ragged<T> {
    fn start(&self, row: usize) -> usize {
        row.checked_sub(1).map_or(0, |before| self.ends[before])
    }

    pub(super) fn insert(&mut self, row: usize, list: &[T]) {
        let start = self.start(row);
        self.items.splice(start..start, list.iter().copied());
        self.ends.insert(row, start);
        for end in &mut self.ends[row..] {
            *end += list.len();
        }
    }

    pub(super) fn remove(&mut self, row: usize) {
        let (start, end) = (self.start(row), self.ends[row]);
        self.items.drain(start..end);
        self.ends.remove(row);
        for later in &mut self.ends[row..] {
            *later -= end - start;
        }
    }

    pub(super) fn row(&self, row: usize) -> &[T] {
        &self.items[self.start(row)..self.ends[row]]
    }

    /// All lists of these rows, end to end.
    pub(super) fn rows(&self, rows: Range<usize>) -> &[T] {
        let end = rows.end.checked_sub(1).map_or(0, |last| self.ends[last]);
        &self.items[self.start(rows.start).min(end)..end]
    }
}

/// The columns of one rein, or of all.
#[derive(Debug, Clone, Default, PartialEq)]
struct SideColumns {
    tallies: Vec<Tally>,
    faults: Vec<u32>,
    timed: Vec<u32>,
    covered: Vec<i64>,
}

impl SideColumns {
    fn insert(&mut self, row: usize, side: Side) {
        self.tallies.insert(row, side.tally);
        self.faults.insert(row, side.faults);
        self.timed.insert(row, side.timed);
        self.covered.insert(row, side.covered);
    }

    fn remove(&mut self, row: usize) {
        self.tallies.remove(row);
        self.faults.remove(row);
        self.timed.remove(row);
        self.covered.remove(row);
    }

    fn row(&self, row: usize) -> Side {
        Side {
            tally: self.tallies[row],
            faults: self.faults[row],
            timed: self.timed[row],
            covered: self.covered[row],
        }
    }
}

/// The rides of one horse in one exercise.
///
/// **Invariant**: all columns are of equal length; rows are sorted by day, then
/// by the caller's number of the ride.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Block {
    days: Vec<Day>,
    ids: Vec<u64>,
    sides: [SideColumns; 4],
    repeats: Vec<Tally>,
    variants: Ragged<(Option<Key>, Side)>,
    faults: Ragged<(Key, u32)>,
    sequences: Ragged<bool>,
    /// Grows with every change.
    pub(super) version: u64,
}

/// Which attempts of a ride.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Which {
    All,
    On(Option<Rein>),
}

impl Which {
    fn index(self) -> usize {
        match self {
            Self::All => 0,
            Self::On(Some(Rein::Left)) => 1,
            Self::On(Some(Rein::Right)) => 2,
            Self::On(None) => 3,
        }
    }
}

impl Block {
    pub(super) fn is_empty(&self) -> bool {
        self.days.is_empty()
    }

    /// Adds a ride's part; one ride may come more than once.
    pub(crate) fn insert(&mut self, day: Day, id: u64, part: &Part) {
        let key = (day, id, part.sides[0].tally);
        let row = self.row_where(|row| self.key(row) <= key);
        self.days.insert(row, day);
        self.ids.insert(row, id);
        for (column, side) in self.sides.iter_mut().zip(part.sides) {
            column.insert(row, side);
        }
        self.repeats.insert(row, part.repeats);
        self.variants.insert(row, &part.variants);
        self.faults.insert(row, &part.faults);
        self.sequences.insert(row, &part.sequence);
    }

    fn key(&self, row: usize) -> (Day, u64, Tally) {
        (self.days[row], self.ids[row], self.sides[0].tallies[row])
    }

    /// The first row of which this does not hold; it must hold of a beginning.
    fn row_where(&self, holds: impl Fn(usize) -> bool) -> usize {
        let length = self.days.len();
        // Rides mostly come in order.
        if length == 0 || holds(length - 1) {
            return length;
        }
        let (mut low, mut high) = (0, length - 1);
        while low < high {
            let middle = low.midpoint(high);
            if holds(middle) {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        low
    }

    /// Takes a ride's part out again.
    pub(super) fn remove(&mut self, day: Day, id: u64) {
        let Some(row) = self.find(day, id) else {
            return;
        };
        self.days.remove(row);
        self.ids.remove(row);
        for column in &mut self.sides {
            column.remove(row);
        }
        self.repeats.remove(row);
        self.variants.remove(row);
        self.faults.remove(row);
        self.sequences.remove(row);
    }

    fn find(&self, day: Day, id: u64) -> Option<usize> {
        let row = self.row_where(|row| (self.days[row], self.ids[row]) < (day, id));
        (self.days.get(row) == Some(&day) && self.ids.get(row) == Some(&id)).then_some(row)
    }

    /// Whether exactly this part of the ride is here.
    pub(super) fn holds(&self, day: Day, id: u64, part: &Part) -> bool {
        self.find(day, id).is_some_and(|row| {
            self.repeats[row] == part.repeats
                && self
                    .sides
                    .iter()
                    .zip(part.sides)
                    .all(|(column, side)| column.row(row) == side)
                && self.variants.row(row) == part.variants
                && self.faults.row(row) == part.faults
                && self.sequences.row(row) == part.sequence
        })
    }

    /// All rows.
    pub(crate) fn all(&self) -> Rows<'_> {
        Rows {
            block: self,
            rows: 0..self.days.len(),
        }
    }

    /// The rows of these days, their ends among them.
    pub(crate) fn between(&self, (first, last): (Day, Day)) -> Rows<'_> {
        let start = self.days.partition_point(|day| *day < first);
        let end = self.days.partition_point(|day| *day <= last);
        Rows {
            block: self,
            rows: start..end.max(start),
        }
    }
}

/// Some rides of one horse in one exercise.
#[derive(Debug, Clone)]
pub(crate) struct Rows<'a> {
    block: &'a Block,
    rows: Range<usize>,
}

impl<'a> Rows<'a> {
    pub(crate) fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    pub(crate) fn tallies(&self, which: Which) -> &'a [Tally] {
        &self.block.sides[which.index()].tallies[self.rows.clone()]
    }

    pub(crate) fn faults(&self, which: Which) -> &'a [u32] {
        &self.block.sides[which.index()].faults[self.rows.clone()]
    }

    /// Faults of attempts that have a length.
    pub(crate) fn timed(&self, which: Which) -> &'a [u32] {
        &self.block.sides[which.index()].timed[self.rows.clone()]
    }

    pub(crate) fn covered(&self, which: Which) -> &'a [i64] {
        &self.block.sides[which.index()].covered[self.rows.clone()]
    }

    pub(crate) fn repeats(&self) -> &'a [Tally] {
        &self.block.repeats[self.rows.clone()]
    }

    pub(crate) fn variants(&self) -> &'a [(Option<Key>, Side)] {
        self.block.variants.rows(self.rows.clone())
    }

    /// Faults by kind, ride after ride.
    pub(crate) fn kinds(&self) -> &'a [(Key, u32)] {
        self.block.faults.rows(self.rows.clone())
    }

    pub(crate) fn sequences(&self) -> impl Iterator<Item = &'a [bool]> + use<'a> {
        let block = self.block;
        self.rows.clone().map(|row| block.sequences.row(row))
    }

    pub(crate) fn points(&self) -> impl Iterator<Item = RidePoint> + use<'a> {
        let block = self.block;
        self.rows.clone().map(|row| RidePoint {
            ride: block.ids[row],
            day: block.days[row],
            tally: block.sides[0].tallies[row],
        })
    }
}
