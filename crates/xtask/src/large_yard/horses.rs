//! The horses of the large yard: invented, each with a nature of its own.

use super::dice::Dice;
use super::exercises::{ALL, STAGES};

/// A horse, and how it goes.
#[derive(Debug)]
pub(super) struct Horse {
    pub(super) id: u64,
    pub(super) name: &'static str,
    pub(super) foaled: i32,
    /// Days of the yard from and to which it is there.
    pub(super) there: (u32, u32),
    /// Training when it came, and how many levels it comes on in a year.
    level: (f64, f64),
    /// For each exercise, in log odds: how much worse than others it is, how much worse to the
    /// left, and what a year changes.
    nature: Vec<(f64, f64, f64)>,
}

/// All of them invented.
const NAMES: [&str; 40] = [
    "Amberlight",
    "Bramble",
    "Cinder",
    "Dovetail",
    "Ember",
    "Fennel",
    "Garnet",
    "Heron",
    "Isobar",
    "Juniper",
    "Kestrel",
    "Larkspur",
    "Meadow",
    "Nutmeg",
    "Osprey",
    "Pebble",
    "Quill",
    "Rowan",
    "Saffron",
    "Tansy",
    "Umber",
    "Verbena",
    "Willow",
    "Yarrow",
    "Zephyr",
    "Aspen",
    "Birch",
    "Clover",
    "Damson",
    "Elder",
    "Flint",
    "Gorse",
    "Hazel",
    "Indigo",
    "Jasper",
    "Lichen",
    "Marten",
    "Nettle",
    "Otter",
    "Plover",
];

impl Horse {
    /// So many of them, over so many days.
    pub(super) fn all(seed: u64, count: usize, days: u32) -> Vec<Self> {
        let names = NAMES.iter().take(count).zip(0_u64..);
        names
            .map(|(name, number)| Self::new(seed, name, number, days))
            .collect()
    }

    fn new(seed: u64, name: &'static str, number: u64, days: u32) -> Self {
        let mut dice = Dice::of(seed, number ^ (1 << 40));
        let years = f64::from(days) / 365.25;
        // Half of them are there all along; the others come or go.
        let comes = if number.is_multiple_of(4) {
            dice.within(0.0, 0.6)
        } else {
            0.0
        };
        let goes = if number % 4 == 2 {
            dice.within(0.4, 1.0)
        } else {
            1.0
        };
        let there = [comes, goes].map(|part| (part * f64::from(days)) as u32);
        let foaled = 2016 + (comes * years) as i32 - dice.between(4, 11).cast_signed();
        let nature = ALL.iter().map(|_| {
            let worse = 0.5 * dice.normal();
            (worse, 0.35 * dice.normal(), 0.08 * dice.normal() - 0.04)
        });
        let nature = nature.collect();
        let id = dice.bits();
        let level = (dice.within(0.0, 4.0), dice.within(0.1, 0.6));
        Self {
            id,
            name,
            foaled,
            there: (there[0], there[1]),
            level,
            nature,
        }
    }

    /// Whether it is there on a day.
    pub(super) fn is_there(&self, day: u32) -> bool {
        (self.there.0..self.there.1).contains(&day)
    }

    /// Its training on a day, 0 to 4.
    pub(super) fn level_on(&self, day: u32) -> u32 {
        let years = f64::from(day.saturating_sub(self.there.0)) / 365.25;
        ((self.level.0 + self.level.1 * years) as u32).min(4)
    }

    /// What its training is called on the last day.
    pub(super) fn stage(&self) -> &'static str {
        STAGES
            .get(self.level_on(self.there.1) as usize)
            .copied()
            .unwrap_or_default()
    }

    /// The chance that an attempt at an exercise (by its number in the table) is faulty; `ride` is
    /// how this ride goes, in log odds.
    pub(super) fn chance(&self, exercise: usize, left: bool, day: u32, ride: f64) -> f64 {
        let Some((row, nature)) = ALL.get(exercise).zip(self.nature.get(exercise)) else {
            return 0.0;
        };
        let (worse, left_worse, yearly) = *nature;
        let side = if left { left_worse } else { -left_worse };
        let years = f64::from(day) / 365.25;
        let odds = (row.faulty / (1.0 - row.faulty)).ln() + worse + side + yearly * years + ride;
        1.0 / (1.0 + (-odds).exp())
    }
}
