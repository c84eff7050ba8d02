//! The paces ridden for themselves.

use super::{Pace, Row};

pub(super) const ROWS: &[Row] = &[
    Row::new("wa", "walk", WALK)
        .pace(Pace::Walk)
        .variants(&["medium", "collected"]),
    Row::new("we", "extended walk", EXTENDED_WALK).pace(Pace::Walk),
    Row::new("wf", "free walk", EXTENDED_WALK).pace(Pace::Walk),
    Row::new("tr", "trot", TROT)
        .pace(Pace::Trot)
        .variants(&["working", "collected"]),
    Row::new("tm", "medium trot", LONGER_TROT).pace(Pace::Trot),
    Row::new("te", "extended trot", LONGER_TROT).pace(Pace::Trot),
    Row::new("ca", "canter", CANTER)
        .pace(Pace::Canter)
        .sided()
        .variants(&["working", "collected"]),
    Row::new("cm", "medium canter", LONGER_CANTER)
        .pace(Pace::Canter)
        .sided(),
    Row::new("ce", "extended canter", LONGER_CANTER)
        .pace(Pace::Canter)
        .sided(),
    Row::new("cc", "counter-canter", COUNTER_CANTER)
        .pace(Pace::Canter)
        .sided(),
];

const WALK: &[&str] = &[
    "lateral",
    "jogging",
    "hurried",
    "irregular",
    "short",
    "unequal",
    "not marching",
    "not over the back",
    "nod lost",
];

const EXTENDED_WALK: &[&str] = &[
    "not overtracking",
    "lateral",
    "jogging",
    "hurried",
    "neck not longer",
    "irregular",
    "unequal",
    "not over the back",
    "nod lost",
];

const TROT: &[&str] = &[
    "irregular",
    "hurried",
    "flat",
    "hind legs idle",
    "not through the back",
    "short in the neck",
    "broke to canter",
    "broke to walk",
    "uneven",
];

const LONGER_TROT: &[&str] = &[
    "hurried",
    "uneven",
    "no difference shown",
    "not overtracking",
    "flat",
    "wide behind",
    "broke to canter",
    "short in the neck",
    "lost balance",
    "transition out late",
];

const CANTER: &[&str] = &[
    "four-beat",
    "quarters in",
    "flat",
    "croup high",
    "wrong lead",
    "disunited",
    "broke to trot",
    "changed lead",
    "hurried",
];

const LONGER_CANTER: &[&str] = &[
    "no difference shown",
    "hurried",
    "quarters in",
    "flat",
    "four-beat",
    "croup high",
    "changed lead",
    "lost balance",
    "transition out late",
];

const COUNTER_CANTER: &[&str] = &[
    "changed lead",
    "broke to trot",
    "disunited",
    "quarters out",
    "bend lost",
    "four-beat",
    "lost balance",
    "fell in",
    "hurried",
];
