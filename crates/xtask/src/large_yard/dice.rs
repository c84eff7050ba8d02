//! Chance that falls the same way every time.

/// A repeatable sequence of throws, `SplitMix64` (Steele, Lea and Flood, "Fast splittable
/// pseudorandom number generators", OOPSLA 2014).
#[derive(Clone, Debug)]
pub(super) struct Dice {
    state: u64,
}

impl Dice {
    /// Throws of their own for the thing of this number: one thing more leaves the others as they
    /// were, and they can be made in any order.
    pub(super) fn of(seed: u64, thing: u64) -> Self {
        let mut dice = Self {
            state: seed ^ thing.wrapping_mul(0x9e37_79b9_7f4a_7c15),
        };
        let state = dice.bits();
        Self { state }
    }

    /// The next 64 bits.
    pub(super) fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number from 0 up to and without 1.
    pub(super) fn unit(&mut self) -> f64 {
        // As many bits as a double holds.
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A number from `low` up to and without `high`.
    pub(super) fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// A whole number from `low` to `high`, both included.
    pub(super) fn between(&mut self, low: u32, high: u32) -> u32 {
        let wide = f64::from(high.saturating_sub(low)) + 1.0;
        low + (self.unit() * wide) as u32
    }

    /// Whether something happens that has this chance.
    pub(super) fn falls(&mut self, chance: f64) -> bool {
        self.unit() < chance
    }

    /// Nearly normal, mean 0, deviation 1: the sum of twelve throws.
    pub(super) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.unit()).sum::<f64>() - 6.0
    }

    /// One of these, each as likely.
    pub(super) fn pick<'a, T>(&mut self, from: &'a [T]) -> Option<&'a T> {
        from.get((self.unit() * from.len() as f64) as usize)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn throws_stay_within_their_bounds_and_come_again() {
        let throws = |thing| {
            let mut dice = Dice::of(7, thing);
            let numbers: Vec<u32> = (0..1000).map(|_| dice.between(3, 5)).collect();
            numbers
        };
        let numbers = throws(1);
        assert!(numbers.iter().all(|number| (3..=5).contains(number)));
        assert!((3..=5).all(|number| numbers.contains(&number)));
        assert_eq!(numbers, throws(1));
        assert_ne!(numbers, throws(2));
    }

    #[test]
    fn the_sum_of_throws_is_nearly_normal() {
        let mut dice = Dice::of(1, 1);
        let throws: Vec<f64> = (0..20_000).map(|_| dice.normal()).collect();
        let count = throws.len() as f64;
        let mean = throws.iter().sum::<f64>() / count;
        let variance = throws.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / count;
        assert!(mean.abs() < 0.05 && (variance - 1.0).abs() < 0.05);
    }
}
