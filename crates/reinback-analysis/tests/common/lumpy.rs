//! What ranges and trends say of rides whose attempts resemble each other.

use reinback_analysis::dispersion::{design_effect, likeness, pooled_rho, shrunken_rho};
use reinback_analysis::shuffle::Dice;
use reinback_analysis::{Day, Direction, FaultRate, RidePoint, Tally, trend};

use crate::common::Horse;

/// Share of repeats in which the range of a rate holds the truth: so many rides of 6 to 14
/// attempts, the likeness pulled towards so many other exercises of the same horse.
pub(crate) fn covered(
    horse: Horse,
    rides: usize,
    others: usize,
    repeats: u32,
    dice: &mut Dice,
) -> f64 {
    let mut held = 0;
    for _ in 0..repeats {
        let own = horse.rides(rides, (6, 14), dice);
        let mut lines = vec![likeness(&[&own])];
        for _ in 0..others {
            lines.push(likeness(&[&horse.rides(rides, (6, 14), dice)]));
        }
        let rho = shrunken_rho(lines[0], pooled_rho(&lines));
        let total: Tally = own.iter().copied().sum();
        let rate = FaultRate::with_dispersion(total, design_effect(&own, rho));
        held += u32::from(rate.range.is_ok_and(|range| range.covers(horse.rate)));
    }
    f64::from(held) / f64::from(repeats)
}

/// How many of so many courses show a trend: rides every third day, 2 to 25 attempts each, the
/// rate changing by `slope` over the whole course.
pub(crate) fn trend_shown(
    horse: Horse,
    slope: f64,
    rides: u32,
    repeats: u32,
    dice: &mut Dice,
) -> u32 {
    let mut shown = 0;
    for repeat in 0..repeats {
        let points: Vec<RidePoint> = (0..rides)
            .zip(0..)
            .map(|(ride, day)| {
                let along = f64::from(ride) / f64::from(rides - 1);
                let rate = horse.rate + slope * along;
                let attempts = 2 + dice.below(24);
                RidePoint {
                    ride: ride.into(),
                    day: Day(3 * day),
                    tally: Horse { rate, ..horse }.ride(attempts, dice),
                }
            })
            .collect();
        let found = trend(&points, u64::from(repeat)).state;
        shown += u32::from(found.is_ok_and(|state| state.direction != Direction::NoClearTrend));
    }
    shown
}
