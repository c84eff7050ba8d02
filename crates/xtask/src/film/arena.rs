//! The letters of the 20 x 60 m arena along its track, drawn unrolled.
//!
//! Distances in metres from A, wall to wall (FEI Art. 429, read on mirrors;
//! see the geometry of the arena in the rules of the sport): 6 m from the
//! corner to the first letter of a long side, then 12 m from letter to letter.

use super::gait::{Gait, SECOND, ns};
use super::motion::Motion;
use super::script::Side;

/// Once round the track.
pub(crate) const ROUND: f64 = 160.0;

/// Metres from A to each letter, going away from A on the right rein.
const RIGHT_REIN: [(f64, char); 12] = [
    (0.0, 'A'),
    (16.0, 'K'),
    (28.0, 'V'),
    (40.0, 'E'),
    (52.0, 'S'),
    (64.0, 'H'),
    (80.0, 'C'),
    (96.0, 'M'),
    (108.0, 'R'),
    (120.0, 'B'),
    (132.0, 'P'),
    (144.0, 'F'),
];

/// Metres from A to the corners.
pub(crate) const CORNERS: [f64; 4] = [10.0, 70.0, 90.0, 150.0];

/// The letters between two distances from A, with their distance.
#[must_use]
pub(crate) fn letters(rein: Side, from: f64, to: f64) -> Vec<(f64, char)> {
    let mut found = Vec::new();
    let mut round = (from / ROUND).floor() as i64;
    while round as f64 * ROUND <= to {
        for (index, (at, letter)) in RIGHT_REIN.iter().enumerate() {
            let place = round as f64 * ROUND + at;
            // The arena is the same from both sides of A, with its letters exchanged.
            let shown = match rein {
                Side::Right => *letter,
                Side::Left => RIGHT_REIN[(12 - index) % 12].1,
            };
            if (from..=to).contains(&place) {
                found.push((place, shown));
            }
        }
        round += 1;
    }
    found
}

/// The moments at which the middle of the trunk passes a letter of the track.
#[must_use]
pub(crate) fn passed(gait: &Gait, motion: &Motion) -> Vec<(i64, char)> {
    const STEP: f64 = 0.05;
    let end = gait.end as f64 / SECOND;
    let place = |t: f64| motion.along(motion.x(t));
    let mut found = Vec::new();
    let mut t = 0.0;
    while t < end {
        let next = (t + STEP).min(end);
        let (a, b) = (place(t), place(next));
        let rein = motion
            .reins
            .iter()
            .rev()
            .find(|(from, ..)| *from <= t)
            .map_or(Side::Right, |(_, side, _)| *side);
        for (at, letter) in letters(rein, a.min(b), a.max(b)) {
            // The first of two bounds belongs to the step before.
            if (at - a).abs() > 1e-12 {
                let share = (at - a) / (b - a);
                found.push((ns(t + share * (next - t)), letter));
            }
        }
        t = next;
    }
    found
}
