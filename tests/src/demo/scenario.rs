//! Who is ridden, on which days, and how often what goes wrong.
//!
//! All of it is made up. The rates are what the season is to be about: Sonnet's flying changes
//! come good, her halts get worse, her half-pass to the left stays the harder one, and her
//! half pirouettes are too few to say anything about.

use chrono::{Datelike as _, NaiveDate};
use reinback_yard::Rein;

/// One horse and its season.
#[derive(Clone, Copy, Debug)]
pub(super) struct Horse {
    pub(super) name: &'static str,
    pub(super) foaled: i32,
    pub(super) stage: &'static str,
    pub(super) notes: &'static str,
    pub(super) days: &'static [Day],
    pub(super) habits: &'static [Habit],
    /// Shortest and longest ride, in minutes.
    pub(super) minutes: (u32, u32),
}

/// One ride as it was planned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Day {
    /// Month and day of 2026.
    pub(super) date: (u32, u32),
    pub(super) kind: Kind,
    pub(super) film: Filmed,
}

/// What the ride was for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Lesson,
    Schooling,
    Light,
    Test,
    /// A short ride around the film of the evening.
    Evening,
}

/// Whether there is a film of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Filmed {
    No,
    /// A short film named after the day and the horse.
    Short,
    /// The film of the evening ride, which opens the ride.
    Evening,
}

/// How often one exercise goes wrong, and how.
#[derive(Clone, Copy, Debug)]
pub(super) struct Habit {
    pub(super) exercise: &'static str,
    pub(super) often: Faulty,
    /// Its own faults by weight.
    pub(super) faults: &'static [(&'static str, u32)],
}

/// Faulty attempts in a hundred.
#[derive(Clone, Copy, Debug)]
pub(super) enum Faulty {
    Steady(u32),
    Reins {
        left: u32,
        right: u32,
    },
    /// Up to the end of September, in October, from November on.
    Months([u32; 3]),
}

impl Faulty {
    pub(super) fn percent(self, month: u32, rein: Option<Rein>) -> u32 {
        match self {
            Self::Steady(percent) => percent,
            Self::Reins { left, right } => match rein {
                Some(Rein::Left) => left,
                _ => right,
            },
            Self::Months([september, october, november]) => match month {
                ..=9 => september,
                10 => october,
                _ => november,
            },
        }
    }
}

impl Day {
    pub(super) fn date(self) -> Option<NaiveDate> {
        NaiveDate::from_ymd_opt(2026, self.date.0, self.date.1)
    }

    /// Saturday or Sunday.
    pub(super) fn is_weekend(self) -> bool {
        self.date()
            .is_some_and(|date| date.weekday().number_from_monday() > 5)
    }
}

impl Horse {
    pub(super) fn habit(&self, exercise: &str) -> Option<&'static Habit> {
        self.habits.iter().find(|habit| habit.exercise == exercise)
    }
}

/// General faults, by weight, where an exercise goes wrong in no way of its own.
pub(super) const GENERAL: &[(&str, u32)] = &[
    ("tempo-ran", 30),
    ("contact-unsteady", 25),
    ("answer-to-the-leg-late", 15),
    ("tense", 10),
    ("not-straight", 10),
    ("against-the-hand", 10),
];

/// When Sonnet's half pirouettes were tried.
pub(super) const HALF_PIROUETTES: [((u32, u32), Rein); 4] = [
    ((10, 13), Rein::Left),
    ((10, 27), Rein::Right),
    ((11, 3), Rein::Left),
    ((11, 17), Rein::Right),
];

pub(super) const SEASON: [&Horse; 3] = [&SONNET, &QUILL, &MARLOW];

const fn day(month: u32, day: u32, kind: Kind) -> Day {
    Day {
        date: (month, day),
        kind,
        film: Filmed::No,
    }
}

const fn filmed(month: u32, day: u32, kind: Kind) -> Day {
    Day {
        date: (month, day),
        kind,
        film: Filmed::Short,
    }
}

const fn habit(
    exercise: &'static str,
    often: Faulty,
    faults: &'static [(&'static str, u32)],
) -> Habit {
    Habit {
        exercise,
        often,
        faults,
    }
}

use Faulty::{Months, Reins, Steady};
use Kind::{Lesson, Light, Schooling, Test};

const SONNET: Horse = Horse {
    name: "Sonnet",
    foaled: 2017,
    stage: "Intermediate I",
    notes: "Chestnut mare. Eager in the canter; the left half-pass has always been the stiffer one.",
    days: &[
        day(8, 25, Light),
        day(8, 29, Schooling),
        filmed(9, 1, Schooling),
        day(9, 3, Lesson),
        day(9, 5, Light),
        day(9, 8, Schooling),
        filmed(9, 12, Schooling),
        day(9, 15, Lesson),
        day(9, 20, Test),
        day(9, 22, Light),
        filmed(9, 25, Lesson),
        day(9, 29, Schooling),
        day(10, 1, Lesson),
        day(10, 3, Light),
        day(10, 6, Schooling),
        filmed(10, 10, Schooling),
        day(10, 13, Lesson),
        day(10, 15, Schooling),
        day(10, 17, Test),
        day(10, 21, Light),
        filmed(10, 24, Schooling),
        day(10, 27, Lesson),
        day(10, 31, Test),
        day(11, 3, Schooling),
        filmed(11, 7, Schooling),
        day(11, 9, Light),
        day(11, 11, Lesson),
        filmed(11, 14, Test),
        day(11, 17, Schooling),
        Day {
            date: (11, 20),
            kind: Kind::Evening,
            film: Filmed::Evening,
        },
    ],
    habits: SONNETS,
    minutes: (36, 45),
};

const SONNETS: &[Habit] = &[
    habit(
        "flying-change",
        Months([59, 44, 13]),
        &[
            ("late-behind", 62),
            ("quickened", 14),
            ("croup-high", 8),
            ("swinging", 6),
            ("late-to-the-aid", 6),
            ("crooked", 4),
        ],
    ),
    habit(
        "halt",
        Months([10, 14, 50]),
        &[
            ("not-square", 50),
            ("not-immobile", 30),
            ("through-walk", 8),
            ("hind-leg-resting", 7),
            ("abrupt", 5),
        ],
    ),
    habit(
        "half-pass",
        Reins {
            left: 46,
            right: 10,
        },
        &[
            ("quarters-trailing", 60),
            ("not-bent", 16),
            ("tilted", 9),
            ("impulsion-lost", 8),
            ("rhythm-lost", 7),
        ],
    ),
    habit(
        "half-pirouette-in-canter",
        Steady(50),
        &[("too-large", 60), ("four-beat", 20), ("fell-in", 20)],
    ),
    habit(
        "changes-every-4th-stride",
        Steady(33),
        &[
            ("late-behind", 40),
            ("miscount", 30),
            ("swinging", 15),
            ("missed-one", 15),
        ],
    ),
    habit(
        "shoulder-in",
        Steady(18),
        &[
            ("angle-varied", 50),
            ("too-little-angle", 20),
            ("neck-bend-only", 15),
            ("quarters-out", 15),
        ],
    ),
    habit(
        "travers",
        Steady(20),
        &[
            ("angle-varied", 40),
            ("too-little-bend", 40),
            ("tilted", 20),
        ],
    ),
    habit(
        "extended-trot",
        Steady(24),
        &[
            ("hurried", 45),
            ("not-overtracking", 25),
            ("transition-out-late", 30),
        ],
    ),
    habit(
        "medium-trot",
        Steady(20),
        &[("hurried", 50), ("no-difference-shown", 50)],
    ),
    habit(
        "extended-canter",
        Steady(20),
        &[("transition-out-late", 60), ("quarters-in", 40)],
    ),
    habit(
        "counter-canter",
        Steady(15),
        &[
            ("bend-lost", 40),
            ("changed-lead", 30),
            ("quarters-out", 30),
        ],
    ),
    habit(
        "walk-canter",
        Steady(20),
        &[("hollow", 40), ("trot-steps", 35), ("quarters-in", 25)],
    ),
    habit(
        "canter-walk",
        Steady(28),
        &[("trot-steps", 60), ("abrupt", 20), ("late", 20)],
    ),
    habit(
        "trot-canter",
        Steady(10),
        &[("hollow", 60), ("quarters-in", 40)],
    ),
    habit("walk-trot", Steady(8), &[("late", 60), ("hollow", 40)]),
    habit(
        "transition-within-trot",
        Steady(20),
        &[("not-clear", 60), ("late", 40)],
    ),
    habit(
        "circle",
        Steady(12),
        &[("fell-in", 50), ("not-round", 30), ("quarters-out", 20)],
    ),
    habit(
        "rein-back",
        Steady(25),
        &[("crooked", 45), ("not-diagonal", 30), ("hurried", 25)],
    ),
    habit(
        "stretching-on-a-long-rein",
        Steady(15),
        &[("hurried", 50), ("not-far-enough", 50)],
    ),
    habit(
        "free-walk",
        Steady(8),
        &[("jogging", 60), ("neck-not-longer", 40)],
    ),
];

const QUILL: Horse = Horse {
    name: "Quill",
    foaled: 2022,
    stage: "four years old, started this spring",
    notes: "Bay gelding. Short rides, long breaks; everything is new, so everything is praised.",
    days: &[
        day(8, 30, Light),
        day(9, 6, Schooling),
        day(9, 13, Schooling),
        filmed(9, 19, Lesson),
        day(9, 27, Schooling),
        day(10, 4, Light),
        day(10, 18, Lesson),
        day(10, 25, Schooling),
        filmed(11, 8, Schooling),
        day(11, 15, Light),
    ],
    habits: QUILLS,
    minutes: (18, 25),
};

const QUILLS: &[Habit] = &[
    habit(
        "walk-trot",
        Steady(25),
        &[("late", 40), ("hollow", 35), ("hurried-off", 25)],
    ),
    habit(
        "trot-walk",
        Steady(28),
        &[("dribbling", 50), ("hollow", 30), ("not-clear", 20)],
    ),
    habit(
        "trot-canter",
        Reins {
            left: 30,
            right: 40,
        },
        &[("wrong-lead", 35), ("hurried-off", 40), ("late", 25)],
    ),
    habit(
        "canter-trot",
        Steady(33),
        &[("dribbling", 30), ("lost-balance", 50), ("late", 20)],
    ),
    habit(
        "canter",
        Steady(30),
        &[("broke-to-trot", 60), ("hurried", 40)],
    ),
    habit("trot", Steady(25), &[("hurried", 60), ("irregular", 40)]),
    habit(
        "circle",
        Steady(30),
        &[("fell-in", 40), ("fell-out", 30), ("not-round", 30)],
    ),
    habit(
        "halt",
        Steady(35),
        &[("not-square", 55), ("not-immobile", 45)],
    ),
    habit(
        "stretching-on-a-long-rein",
        Steady(20),
        &[("did-not-stretch", 60), ("hurried", 40)],
    ),
    habit("free-walk", Steady(15), &[("jogging", 100)]),
];

const MARLOW: Horse = Horse {
    name: "Marlow",
    foaled: 2009,
    stage: "Grand Prix schoolmaster",
    notes: "Grey gelding. Knows it all and teaches it; ridden for suppleness now, with many breaks.",
    days: &[
        day(8, 28, Schooling),
        day(9, 6, Light),
        day(9, 16, Lesson),
        day(9, 26, Schooling),
        day(10, 7, Lesson),
        filmed(10, 18, Schooling),
        day(10, 28, Light),
        day(11, 6, Lesson),
        day(11, 16, Schooling),
    ],
    habits: MARLOWS,
    minutes: (30, 37),
};

const MARLOWS: &[Habit] = &[
    habit(
        "piaffe",
        Steady(22),
        &[
            ("travelled-forward", 40),
            ("irregular", 30),
            ("too-few-steps", 30),
        ],
    ),
    habit(
        "passage",
        Steady(18),
        &[
            ("irregular", 30),
            ("dragging-behind", 40),
            ("rhythm-lost-in-the-corner", 30),
        ],
    ),
    habit(
        "piaffe-passage-transition",
        Steady(30),
        &[("rhythm-lost", 50), ("extra-steps", 30), ("not-clear", 20)],
    ),
    habit(
        "changes-every-stride",
        Steady(35),
        &[("missed-one", 40), ("swinging", 35), ("late-behind", 25)],
    ),
    habit(
        "changes-every-2nd-stride",
        Steady(15),
        &[("swinging", 50), ("miscount", 50)],
    ),
    habit(
        "full-pirouette-in-canter",
        Steady(28),
        &[("too-large", 50), ("four-beat", 30), ("too-quick", 20)],
    ),
    habit(
        "half-pass",
        Steady(10),
        &[("not-bent", 50), ("little-crossing", 50)],
    ),
    habit("shoulder-in", Steady(8), &[("too-little-angle", 100)]),
    habit(
        "extended-trot",
        Steady(20),
        &[("not-overtracking", 60), ("flat", 40)],
    ),
    habit(
        "halt",
        Steady(8),
        &[("hind-leg-resting", 70), ("not-square", 30)],
    ),
    habit("rein-back", Steady(10), &[("dragging", 100)]),
    habit(
        "stretching-on-a-long-rein",
        Steady(6),
        &[("not-far-enough", 100)],
    ),
    habit("free-walk", Steady(4), &[("neck-not-longer", 100)]),
];
