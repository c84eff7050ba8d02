//! Seeded shuffles and exact enumerations for permutation tests.
//!
//! The question is always: of all the ways these rides could have fallen, in
//! how many would the picture be at least this clear? Rides are moved whole,
//! because attempts of one ride belong together. Few rides are enumerated
//! completely, many are shuffled [`SHUFFLES`] times, and above
//! [`MOST_SHUFFLED`] rides the exact mean and variance over all orders with a
//! normal tail are used (Hoeffding 1951, Ann Math Stat 22:558-566).
//!
//! **Invariant**: the same seed gives the same answer on every machine.

use crate::special::{normal_upper, real};

/// Shuffles where enumeration would take longer.
pub const SHUFFLES: u32 = 10_000;

/// Above this many rides the closed form replaces shuffling.
pub const MOST_SHUFFLED: usize = 200;

/// Up to this many rides every order is tried (8! = 40 320).
const MOST_ORDERED: usize = 8;

/// Up to this many splits or sign patterns every one is tried.
const MOST_ENUMERATED: u32 = 10_000;

/// A small repeatable source of random numbers: `SplitMix64` (Steele, Lea &
/// Flood 2014, OOPSLA; constants recalled). Not for secrets.
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// Dice that fall the same way for the same seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 random bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number from 0 up to but not including `bound`; 0 for a bound of 0.
    ///
    /// Multiply and shift; the bias is below `bound / 2^32`.
    pub fn below(&mut self, bound: u32) -> u32 {
        let product = (self.bits() >> 32) * u64::from(bound);
        u32::try_from(product >> 32).unwrap_or(0)
    }

    /// A number from 0 up to but not including 1.
    pub fn unit(&mut self) -> f64 {
        let high = u32::try_from(self.bits() >> 32).unwrap_or(0);
        f64::from(high) / 4_294_967_296.0
    }

    /// Puts the first `places` items in random order, drawn from all.
    pub fn deal<T>(&mut self, items: &mut [T], places: usize) {
        for place in 0..places.min(items.len()) {
            let left = crate::special::count(items.len() - place);
            items.swap(place, place + self.below(left) as usize);
        }
    }
}

/// Mixes a number, such as a key, into a seed.
#[must_use]
pub fn mix(seed: u64, number: u64) -> u64 {
    Dice::new(seed ^ number.wrapping_mul(0x9E37_79B9_7F4A_7C15)).bits()
}

/// Counts how many of the tried arrangements are at least as clear as the one
/// observed; differences within rounding count as equal.
struct Judge {
    threshold: f64,
    tried: u32,
    at_least: u32,
}

impl Judge {
    fn new(observed: f64, scale: f64) -> Self {
        Self {
            threshold: observed.abs() - 1e-10 * scale,
            tried: 0,
            at_least: 0,
        }
    }

    fn try_one(&mut self, statistic: f64) {
        self.tried += 1;
        if statistic.abs() >= self.threshold {
            self.at_least += 1;
        }
    }

    /// All arrangements were tried, the one seen among them.
    fn exact_p(&self) -> f64 {
        f64::from(self.at_least) / f64::from(self.tried.max(1))
    }

    /// A sample was tried; the one seen counts as one more (Phipson & Smyth
    /// 2010, Stat Appl Genet Mol Biol 9:39).
    fn sampled_p(&self) -> f64 {
        f64::from(self.at_least + 1) / f64::from(self.tried + 1)
    }
}

fn centred(values: &[f64]) -> Vec<f64> {
    let mean = values.iter().sum::<f64>() / real(values.len()).max(1.0);
    values.iter().map(|value| value - mean).collect()
}

fn dot(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(a, b)| a * b).sum()
}

fn squares(values: &[f64]) -> f64 {
    dot(values, values)
}

fn normal_p(statistic: f64, variance: f64) -> f64 {
    if variance <= 0.0 {
        return 1.0;
    }
    (2.0 * normal_upper(statistic.abs() / variance.sqrt())).min(1.0)
}

/// Two-sided p of `Σ scores_i places_i` over all orders of the scores.
///
/// Both are centred first, so the mean over all orders is 0. Lists of unequal
/// length are cut to the shorter; fewer than 2 give 1.
#[must_use]
pub fn order_p(scores: &[f64], places: &[f64], seed: u64) -> f64 {
    let length = scores.len().min(places.len());
    if length < 2 {
        return 1.0;
    }
    let mut scores = centred(&scores[..length]);
    let places = centred(&places[..length]);
    let observed = dot(&scores, &places);
    let scale = (squares(&scores) * squares(&places)).sqrt();
    if length > MOST_SHUFFLED {
        return normal_p(observed, scale * scale / (real(length) - 1.0));
    }
    let mut judge = Judge::new(observed, scale);
    if length <= MOST_ORDERED {
        every_order(&mut scores, length, &mut |order| {
            judge.try_one(dot(order, &places));
        });
        return judge.exact_p();
    }
    let mut dice = Dice::new(seed);
    for _ in 0..SHUFFLES {
        dice.deal(&mut scores, length);
        judge.try_one(dot(&scores, &places));
    }
    judge.sampled_p()
}

/// Visits every order of the first `length` items (Heap 1963, Comput J 6:293).
fn every_order(items: &mut [f64], length: usize, visit: &mut impl FnMut(&[f64])) {
    if length <= 1 {
        visit(items);
        return;
    }
    for place in 0..length {
        every_order(items, length - 1, visit);
        let other = if length.is_multiple_of(2) { place } else { 0 };
        items.swap(other, length - 1);
    }
}

/// Two-sided p of the sum of the first `first` scores over all ways to choose
/// that many of them.
#[must_use]
pub fn split_p(scores: &[f64], first: usize, seed: u64) -> f64 {
    let length = scores.len();
    if first == 0 || first >= length {
        return 1.0;
    }
    let scores = centred(scores);
    let observed: f64 = scores[..first].iter().sum();
    let all_squares = squares(&scores);
    if length > MOST_SHUFFLED {
        let (n, a) = (real(length), real(first));
        return normal_p(observed, a * (n - a) / (n * (n - 1.0)) * all_squares);
    }
    // The sums of the two parts are opposite, so the smaller part will do.
    let part = first.min(length - first);
    let mut judge = Judge::new(observed, all_squares.sqrt());
    if few_ways(length, part) {
        every_choice(&scores, part, 0.0, &mut |sum| judge.try_one(sum));
        return judge.exact_p();
    }
    let mut dice = Dice::new(seed);
    let mut dealt = scores;
    for _ in 0..SHUFFLES {
        dice.deal(&mut dealt, part);
        judge.try_one(dealt[..part].iter().sum());
    }
    judge.sampled_p()
}

fn few_ways(length: usize, part: usize) -> bool {
    let ways: f64 = (0..part)
        .map(|step| real(length - step) / (real(step) + 1.0))
        .product();
    ways <= f64::from(MOST_ENUMERATED) + 0.5
}

/// Visits the sum of every choice of `part` values.
fn every_choice(values: &[f64], part: usize, sum: f64, visit: &mut impl FnMut(f64)) {
    if part == 0 {
        visit(sum);
        return;
    }
    for first in 0..=values.len() - part {
        every_choice(&values[first + 1..], part - 1, sum + values[first], visit);
    }
}

/// Two-sided p of `Σ scores_i` over all ways to turn the sign of each.
///
/// For pairs whose two sides could have been exchanged. Scores of 0 change
/// nothing and are left out.
#[must_use]
pub fn sign_p(scores: &[f64], seed: u64) -> f64 {
    let scores: Vec<f64> = scores
        .iter()
        .copied()
        .filter(|score| *score != 0.0)
        .collect();
    let observed: f64 = scores.iter().sum();
    let all_squares = squares(&scores);
    if scores.len() > MOST_SHUFFLED {
        return normal_p(observed, all_squares);
    }
    let mut judge = Judge::new(observed, all_squares.sqrt());
    if 2.0_f64.powf(real(scores.len())) <= f64::from(MOST_ENUMERATED) {
        every_sign(&scores, 0.0, &mut |sum| judge.try_one(sum));
        return judge.exact_p();
    }
    let mut dice = Dice::new(seed);
    for _ in 0..SHUFFLES {
        judge.try_one(
            scores
                .iter()
                .map(|score| {
                    if dice.bits() >> 63 == 0 {
                        *score
                    } else {
                        -score
                    }
                })
                .sum(),
        );
    }
    judge.sampled_p()
}

fn every_sign(values: &[f64], sum: f64, visit: &mut impl FnMut(f64)) {
    let Some((first, rest)) = values.split_first() else {
        visit(sum);
        return;
    };
    every_sign(rest, sum + first, visit);
    every_sign(rest, sum - first, visit);
}
