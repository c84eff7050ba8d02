//! Changes of lead.

use super::{Pace, Row};

pub(super) const ROWS: &[Row] = &[
    Row::new("sc", "simple change", SIMPLE)
        .pace(Pace::Canter)
        .sided(),
    Row::new("fc", "flying change", SINGLE)
        .pace(Pace::Canter)
        .sided(),
    Row::new("ff", "changes every 4th stride", SERIES)
        .pace(Pace::Canter)
        .every(4),
    Row::new("ft", "changes every 3rd stride", SERIES)
        .pace(Pace::Canter)
        .every(3),
    Row::new("fw", "changes every 2nd stride", SERIES)
        .pace(Pace::Canter)
        .every(2),
    Row::new("fo", "changes every stride", SERIES)
        .pace(Pace::Canter)
        .every(1),
];

const SIMPLE: &[&str] = &[
    "no walk",
    "trot steps",
    "too many walk steps",
    "abrupt",
    "wrong lead",
    "walk not clear",
    "quarters in",
    "early",
    "late",
    "lost balance",
];

const SINGLE: &[&str] = &[
    "late behind",
    "late in front",
    "late to the aid",
    "early to the aid",
    "croup high",
    "swinging",
    "quickened",
    "flat",
    "crooked",
    "not through",
    "in two stages",
    "not clean",
];

const SERIES: &[&str] = &[
    "miscount",
    "late behind",
    "late in front",
    "swinging",
    "quickened",
    "missed one",
    "croup high",
    "little ground",
    "crooked",
    "uneven",
    "too many",
    "too few",
];
