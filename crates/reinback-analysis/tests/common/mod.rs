//! Rides made up by an urn, so that likeness inside rides is known exactly.

use reinback_analysis::Tally;
use reinback_analysis::shuffle::Dice;

/// A horse whose attempts of one ride resemble each other.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Horse {
    /// Share of attempts that go wrong in the long run.
    pub(crate) rate: f64,
    /// Intraclass correlation of attempts of the same ride, 0 to below 1.
    pub(crate) rho: f64,
}

impl Horse {
    /// A ride of so many attempts, beta-binomial: Polya's urn (Eggenberger &
    /// Polya 1923), whose draws have correlation `1 / (alpha + beta + 1)`.
    pub(crate) fn ride(self, attempts: u32, dice: &mut Dice) -> Tally {
        let mut faulty = 0;
        for drawn in 0..attempts {
            let chance = if self.rho > 0.0 {
                let balls = 1.0 / self.rho - 1.0;
                (self.rate * balls + f64::from(faulty)) / (balls + f64::from(drawn))
            } else {
                self.rate
            };
            faulty += u32::from(dice.unit() < chance);
        }
        Tally { faulty, attempts }
    }

    /// Rides of `least` to `most` attempts.
    pub(crate) fn rides(
        self,
        rides: usize,
        (least, most): (u32, u32),
        dice: &mut Dice,
    ) -> Vec<Tally> {
        (0..rides)
            .map(|_| {
                let attempts = least + dice.below(most - least + 1);
                self.ride(attempts, dice)
            })
            .collect()
    }
}

/// The likeness that gives this dispersion at so many attempts a ride.
pub(crate) fn rho_for(dispersion: f64, attempts: u32) -> f64 {
    (dispersion - 1.0) / (f64::from(attempts) - 1.0)
}
