//! How the lines of an answer are looked at: against what, by what measure, in which order.

use super::numbers::{Line, Measure};
use crate::said::{Earlier, Say};

/// What the exercises are held against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Yardstick {
    /// Nothing: they stand for themselves.
    Nothing,
    /// Other days.
    Days(Earlier),
    /// The left rein, with the right.
    Reins,
}

/// How the lines are sorted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Order {
    /// What to work on first leads.
    #[default]
    WorkOnFirst,
    /// From A to Z, as they are called in the language of whoever reads.
    Name,
}

/// How lines are looked at where no days are compared yet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Shown {
    /// What is counted.
    pub measure: Measure,
    /// In which order.
    pub order: Order,
    /// Whether the left rein is held against the right, in the place of other days.
    pub reins: bool,
}

impl Shown {
    /// What the lines are held against; `earlier` are the days compared with, if any.
    #[must_use]
    pub fn yardstick(self, earlier: Option<Earlier>) -> Yardstick {
        match earlier {
            _ if self.reins => Yardstick::Reins,
            Some(earlier) => Yardstick::Days(earlier),
            None => Yardstick::Nothing,
        }
    }
}

impl Order {
    /// The places of lines in this order.
    #[must_use]
    pub fn places(self, lines: &[Line], say: &Say) -> Vec<usize> {
        let mut places: Vec<usize> = (0..lines.len()).collect();
        if self == Self::Name {
            places.sort_by_cached_key(|at| {
                let line = lines.get(*at);
                line.map(|line| say.exercise(&line.name).to_lowercase())
            });
        }
        places
    }
}
