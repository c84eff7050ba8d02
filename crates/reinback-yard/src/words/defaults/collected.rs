//! Pirouettes, piaffe and passage.

use super::{Pace, Row};

pub(super) const ROWS: &[Row] = &[
    Row::new("hw", "half pirouette in walk", WALK_PIROUETTE)
        .pace(Pace::Walk)
        .sided(),
    Row::new("pw", "full pirouette in walk", WALK_PIROUETTE)
        .pace(Pace::Walk)
        .sided(),
    Row::new("hc", "half pirouette in canter", CANTER_PIROUETTE)
        .pace(Pace::Canter)
        .sided(),
    Row::new("pc", "full pirouette in canter", CANTER_PIROUETTE)
        .pace(Pace::Canter)
        .sided(),
    Row::new("wo", "working pirouette", CANTER_PIROUETTE)
        .pace(Pace::Canter)
        .sided(),
    Row::new("pi", "piaffe", PIAFFE).pace(Pace::Piaffe),
    Row::new("pa", "passage", PASSAGE).pace(Pace::Passage),
    Row::new("pp", "piaffe-passage transition", BETWEEN)
        .variants(&["into piaffe", "out of piaffe"]),
];

const WALK_PIROUETTE: &[&str] = &[
    "too large",
    "rhythm lost",
    "inside hind stood",
    "stepped back",
    "bend lost",
    "crossed behind",
    "hurried",
    "not centred",
    "fell out",
];

const CANTER_PIROUETTE: &[&str] = &[
    "too large",
    "too quick",
    "four-beat",
    "canter lost",
    "changed lead",
    "hopping",
    "bend lost",
    "fell in",
    "not centred",
    "too many strides",
    "too few strides",
    "too small",
    "fell out",
];

const PIAFFE: &[&str] = &[
    "irregular",
    "travelled forward",
    "stepped back",
    "swinging",
    "not diagonal",
    "croup high",
    "crossing",
    "wide behind",
    "too few steps",
    "double beat",
    "uneven",
    "hollow",
    "leaning on the forehand",
];

const PASSAGE: &[&str] = &[
    "irregular",
    "dragging behind",
    "swinging",
    "uneven",
    "hurried",
    "hovering",
    "broke to trot",
    "rhythm lost in the corner",
    "jerky",
    "double beat",
];

const BETWEEN: &[&str] = &[
    "rhythm lost",
    "stopped",
    "extra steps",
    "not clear",
    "rushed",
    "blocked",
    "crooked",
    "early",
    "late",
];
