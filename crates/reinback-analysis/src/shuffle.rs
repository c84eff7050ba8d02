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

/// Up to this many orders every one is tried (8! = 40 320).
const MOST_ORDERS: f64 = 40_320.0;

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
    order_p_within(&[(scores, places)], seed)
}

/// As [`order_p`], with every group's scores put in order among themselves
/// only: what sets the groups apart can then not pass for a course.
///
/// The statistic is the sum over groups; mean and variance over all orders add
/// up. How many scores are too many to shuffle is a matter of all groups
/// together. Groups of one change nothing.
///
/// ```
/// use reinback_analysis::shuffle::order_p_within;
/// // two groups of three in rising order: 1 of 6 orders each, and both ways
/// let rising = [1.0, 2.0, 3.0];
/// let p = order_p_within(&[(&rising, &rising), (&rising, &rising)], 1);
/// assert!((p - 2.0 / 36.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn order_p_within(groups: &[(&[f64], &[f64])], seed: u64) -> f64 {
    let mut groups: Vec<(Vec<f64>, Vec<f64>)> = groups
        .iter()
        .map(|(scores, places)| (scores, places, scores.len().min(places.len())))
        .filter(|(_, _, length)| *length >= 2)
        .map(|(scores, places, length)| (centred(&scores[..length]), centred(&places[..length])))
        .collect();
    let length: usize = groups.iter().map(|(scores, _)| scores.len()).sum();
    if length < 2 {
        return 1.0;
    }
    let observed: f64 = groups
        .iter()
        .map(|(scores, places)| dot(scores, places))
        .sum();
    if length > MOST_SHUFFLED {
        let variance = groups
            .iter()
            .map(|(scores, places)| squares(scores) * squares(places) / (real(scores.len()) - 1.0))
            .sum();
        return normal_p(observed, variance);
    }
    let scale: f64 = groups
        .iter()
        .map(|(scores, places)| squares(scores) * squares(places))
        .sum();
    let mut judge = Judge::new(observed, scale.sqrt());
    let orders: f64 = groups
        .iter()
        .map(|(scores, _)| (1..=scores.len()).map(real).product::<f64>())
        .product();
    if orders <= MOST_ORDERS {
        let values: Vec<Vec<f64>> = groups
            .iter_mut()
            .map(|(scores, places)| {
                let (mut values, length) = (Vec::new(), scores.len());
                every_order(scores, length, &mut |order| values.push(dot(order, places)));
                values
            })
            .collect();
        every_sum(&values, 0.0, &mut |sum| judge.try_one(sum));
        return judge.exact_p();
    }
    let mut dice = Dice::new(seed);
    for _ in 0..SHUFFLES {
        let mut sum = 0.0;
        for (scores, places) in &mut groups {
            let length = scores.len();
            dice.deal(scores, length);
            sum += dot(scores, places);
        }
        judge.try_one(sum);
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

/// Visits every sum of one value out of each group.
fn every_sum(groups: &[Vec<f64>], sum: f64, visit: &mut impl FnMut(f64)) {
    let Some((first, rest)) = groups.split_first() else {
        visit(sum);
        return;
    };
    for value in first {
        every_sum(rest, sum + value, visit);
    }
}

/// Two-sided p of the sum of the first `first` scores over all ways to choose
/// that many of them.
#[must_use]
pub fn split_p(scores: &[f64], first: usize, seed: u64) -> f64 {
    split_p_within(&[(scores, first)], seed)
}

/// As [`split_p`], with the scores of every group dealt among themselves only.
///
/// The statistic is the sum over groups of each group's first scores, which
/// are centred inside the group. Groups that cannot be dealt in more than one
/// way change nothing.
///
/// ```
/// use reinback_analysis::shuffle::split_p_within;
/// // in both groups the two high scores come first: 1 of 6 ways each
/// let high_first = [1.0, 1.0, 0.0, 0.0];
/// let p = split_p_within(&[(&high_first, 2), (&high_first, 2)], 1);
/// assert!((p - 2.0 / 36.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn split_p_within(groups: &[(&[f64], usize)], seed: u64) -> f64 {
    let mut groups: Vec<Deal> = groups
        .iter()
        .filter(|(scores, first)| 0 < *first && *first < scores.len())
        .map(|(scores, first)| Deal::new(scores, *first))
        .collect();
    if groups.is_empty() {
        return 1.0;
    }
    let observed: f64 = groups.iter().map(|group| group.observed).sum();
    let length: usize = groups.iter().map(|group| group.scores.len()).sum();
    if length > MOST_SHUFFLED {
        return normal_p(observed, groups.iter().map(Deal::variance).sum());
    }
    let all_squares: f64 = groups.iter().map(|group| squares(&group.scores)).sum();
    let mut judge = Judge::new(observed, all_squares.sqrt());
    let ways: f64 = groups.iter().map(Deal::ways).product();
    if ways <= f64::from(MOST_ENUMERATED) + 0.5 {
        let values: Vec<Vec<f64>> = groups.iter().map(Deal::every).collect();
        every_sum(&values, 0.0, &mut |sum| judge.try_one(sum));
        return judge.exact_p();
    }
    let mut dice = Dice::new(seed);
    for _ in 0..SHUFFLES {
        judge.try_one(
            groups
                .iter_mut()
                .map(|group| group.shuffled(&mut dice))
                .sum(),
        );
    }
    judge.sampled_p()
}

/// One group of scores that are dealt to two parts.
///
/// The sums of the two parts are opposite, so dealing the smaller one will do.
struct Deal {
    scores: Vec<f64>,
    observed: f64,
    part: usize,
    sign: f64,
}

impl Deal {
    fn new(scores: &[f64], first: usize) -> Self {
        let scores = centred(scores);
        Self {
            observed: scores[..first].iter().sum(),
            part: first.min(scores.len() - first),
            sign: if 2 * first <= scores.len() { 1.0 } else { -1.0 },
            scores,
        }
    }

    fn variance(&self) -> f64 {
        let (n, a) = (real(self.scores.len()), real(self.part));
        a * (n - a) / (n * (n - 1.0)) * squares(&self.scores)
    }

    fn ways(&self) -> f64 {
        (0..self.part)
            .map(|step| real(self.scores.len() - step) / (real(step) + 1.0))
            .product()
    }

    fn every(&self) -> Vec<f64> {
        let mut sums = Vec::new();
        every_choice(&self.scores, self.part, 0.0, &mut |sum| {
            sums.push(self.sign * sum);
        });
        sums
    }

    fn shuffled(&mut self, dice: &mut Dice) -> f64 {
        dice.deal(&mut self.scores, self.part);
        self.sign * self.scores[..self.part].iter().sum::<f64>()
    }
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
        let turned = scores.chunks(64).map(|chunk| {
            let mut bits = dice.bits();
            let signed = chunk.iter().map(|score| {
                // The lowest bit becomes the sign.
                let turned = f64::from_bits(score.to_bits() ^ (bits << 63));
                bits >>= 1;
                turned
            });
            signed.sum::<f64>()
        });
        judge.try_one(turned.sum());
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
