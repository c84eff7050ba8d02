//! Circles, lines and corners.

use super::Row;

pub(super) const ROWS: &[Row] = &[
    Row::new("ci", "circle", CIRCLE)
        .sided()
        .variants(&["20 m", "15 m", "10 m"]),
    Row::new("vo", "volte", CIRCLE)
        .sided()
        .variants(&["10 m", "8 m", "6 m"]),
    Row::new("se", "serpentine", SERPENTINE).variants(&["three loops", "four loops", "one loop"]),
    Row::new("co", "corner", CORNER).sided(),
    Row::new("cl", "centre line", LINE),
    Row::new("di", "change of rein", LINE).variants(&["diagonal", "short diagonal", "half volte"]),
];

const CIRCLE: &[&str] = &[
    "not round",
    "too large",
    "too small",
    "fell in",
    "fell out",
    "bend lost",
    "quarters out",
    "quarters in",
    "wrong bend",
];

const SERPENTINE: &[&str] = &[
    "loops unequal",
    "change of bend late",
    "bend lost",
    "not straight between",
    "fell in",
    "fell out",
    "missed the line",
    "quarters out",
];

const CORNER: &[&str] = &[
    "cut",
    "bend lost",
    "fell in",
    "quarters out",
    "wrong bend",
    "lost balance",
    "half-halt missed",
];

const LINE: &[&str] = &[
    "wavering",
    "overshot",
    "turned too soon",
    "quarters in",
    "quarters out",
    "missed the letter",
    "drifting",
];
