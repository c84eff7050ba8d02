//! Transitions, and standing, stepping back and resting.

use super::{Pace, Row};

pub(super) const ROWS: &[Row] = &[
    Row::new("wt", "walk-trot", UPWARD),
    Row::new("tw", "trot-walk", DOWNWARD),
    Row::new("tc", "trot-canter", STRIKE_OFF).sided(),
    Row::new("ct", "canter-trot", DOWNWARD).sided(),
    Row::new("wc", "walk-canter", STRIKE_OFF).sided(),
    Row::new("cw", "canter-walk", DOWNWARD).sided(),
    Row::new("ht", "halt-trot", UPWARD),
    Row::new("th", "trot-halt", DOWNWARD),
    Row::new("wi", "transition within walk", WITHIN)
        .pace(Pace::Walk)
        .variants(LONGER_SHORTER),
    Row::new("ti", "transition within trot", WITHIN)
        .pace(Pace::Trot)
        .variants(LONGER_SHORTER),
    Row::new("cn", "transition within canter", WITHIN)
        .pace(Pace::Canter)
        .variants(LONGER_SHORTER),
];

pub(super) const HALT_ROWS: &[Row] = &[
    Row::new("ha", "halt", HALT).pace(Pace::Halt),
    Row::new("rb", "rein-back", REIN_BACK).pace(Pace::ReinBack),
    Row::new("sl", "stretching on a long rein", STRETCHING).variants(&[
        "in trot",
        "in walk",
        "in canter",
    ]),
    Row::new("gr", "give and retake", GIVE).variants(&["in canter", "in trot"]),
];

const LONGER_SHORTER: &[&str] = &["to longer", "to shorter"];

const UPWARD: &[&str] = &[
    "late",
    "early",
    "hollow",
    "abrupt",
    "walk steps",
    "not clear",
    "hurried off",
    "dribbling",
    "lost balance",
];

const DOWNWARD: &[&str] = &[
    "late",
    "early",
    "abrupt",
    "trot steps",
    "hollow",
    "dribbling",
    "not clear",
    "quarters in",
    "lost balance",
];

const STRIKE_OFF: &[&str] = &[
    "wrong lead",
    "late",
    "early",
    "hollow",
    "quarters in",
    "trot steps",
    "hurried off",
    "disunited",
    "lost balance",
];

const WITHIN: &[&str] = &[
    "not clear",
    "late",
    "abrupt",
    "hurried",
    "rhythm lost",
    "hollow",
    "broke the pace",
    "early",
    "lost balance",
];

const HALT: &[&str] = &[
    "not square",
    "not immobile",
    "hind leg resting",
    "abrupt",
    "through walk",
    "stepped back",
    "drifting",
    "quarters in",
    "wide behind",
];

const REIN_BACK: &[&str] = &[
    "not diagonal",
    "dragging",
    "hurried",
    "crooked",
    "wrong number of steps",
    "resisted",
    "hollow",
    "wide behind",
    "no halt before",
    "stepped sideways",
];

const STRETCHING: &[&str] = &[
    "did not stretch",
    "hurried",
    "snatching",
    "curled up",
    "rhythm lost",
    "lost balance",
    "not far enough",
    "retaken roughly",
];

const GIVE: &[&str] = &[
    "not clearly given",
    "came above",
    "hurried",
    "dived down",
    "lost balance",
    "fell in",
    "retaken late",
];
