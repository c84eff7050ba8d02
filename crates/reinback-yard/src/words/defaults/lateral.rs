//! Work on two and more tracks.

use super::{Pace, Row};

pub(super) const ROWS: &[Row] = &[
    Row::new("si", "shoulder-in", SHOULDER_IN)
        .sided()
        .variants(&["in trot", "in walk", "in canter"]),
    Row::new("ta", "travers", TRAVERS)
        .sided()
        .variants(&["in trot", "in canter", "in walk"]),
    Row::new("re", "renvers", TRAVERS)
        .sided()
        .variants(&["in trot", "in canter", "in walk"]),
    Row::new("hp", "half-pass", HALF_PASS)
        .sided()
        .variants(&["in trot", "in canter"]),
    Row::new("ch", "counter-change of hand", COUNTER_CHANGE)
        .series()
        .variants(&["in trot", "in canter"]),
    Row::new("ly", "leg-yield", LEG_YIELD)
        .sided()
        .variants(&["in trot", "in walk"]),
    Row::new("tu", "turn on the haunches", TURN)
        .pace(Pace::Walk)
        .sided(),
];

const SHOULDER_IN: &[&str] = &[
    "angle varied",
    "too little angle",
    "too much angle",
    "neck bend only",
    "quarters out",
    "tilted",
    "on four tracks",
    "rhythm lost",
    "drifting",
];

const TRAVERS: &[&str] = &[
    "angle varied",
    "too little bend",
    "too little angle",
    "too much angle",
    "forehand off the line",
    "tilted",
    "rhythm lost",
    "drifting",
];

const HALF_PASS: &[&str] = &[
    "quarters trailing",
    "quarters leading",
    "not bent",
    "wrong bend",
    "tilted",
    "rhythm lost",
    "impulsion lost",
    "too steep",
    "missed the letter",
    "not parallel",
    "irregular",
    "little crossing",
];

const COUNTER_CHANGE: &[&str] = &[
    "change of bend late",
    "quarters led at the turn",
    "not straightened",
    "strides unequal",
    "not symmetrical",
    "quarters trailing",
    "change late behind",
    "change missed",
    "rhythm lost",
];

const LEG_YIELD: &[&str] = &[
    "quarters trailing",
    "quarters leading",
    "shoulder fell out",
    "too much bend",
    "not parallel",
    "little crossing",
    "rhythm lost",
    "missed the letter",
    "tilted",
];

const TURN: &[&str] = &[
    "too large",
    "stepped back",
    "inside hind stood",
    "bend lost",
    "rhythm lost",
    "fell out",
    "crossed behind",
    "hurried",
];
