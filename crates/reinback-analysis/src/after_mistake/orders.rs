//! The order of attempts inside rides, shuffled.

use super::Transitions;
use crate::shuffle::{Dice, SHUFFLES};
use crate::special::{count, real};

/// Up to this many orders of one ride are listed, so that a shuffle of it is
/// one look into the list.
const MOST_LISTED: f64 = 5_000.0;

/// The p of the difference when the order inside each ride is shuffled, and
/// whether the difference seen lies above what shuffles give.
///
/// Two-sided by doubling the smaller side: under shuffling the difference is
/// not centred on zero, because an attempt does not follow itself.
pub(super) fn orders_p(sequences: &[&[bool]], seed: u64) -> (f64, bool) {
    let Some(observed) = Transitions::count(sequences).difference() else {
        return (1.0, false);
    };
    // All clean or all faulty: every order is the same.
    let (mixed, constant): (Vec<&[bool]>, Vec<&[bool]>) = sequences
        .iter()
        .partition(|one| one.contains(&true) && one.contains(&false));
    let fixed = Transitions::count(&constant);
    let mut orders = Orders::of(&mixed);
    let mut dice = Dice::new(seed);
    let (mut at_least, mut at_most) = (0_u32, 0_u32);
    for _ in 0..SHUFFLES {
        // An arrangement without one of the two kinds says nothing either way
        // and so counts against a finding.
        let difference = orders.shuffled(&mut dice).plus(fixed).difference();
        at_least += u32::from(difference.is_none_or(|found| found >= observed - 1e-12));
        at_most += u32::from(difference.is_none_or(|found| found <= observed + 1e-12));
    }
    let one_sided = f64::from(at_least.min(at_most) + 1) / f64::from(SHUFFLES + 1);
    ((2.0 * one_sided).min(1.0), at_least < at_most)
}

/// Rides whose order can be shuffled.
struct Orders {
    /// Every order of a ride with so many attempts and faulty ones among them.
    lists: Vec<((usize, usize), Vec<Transitions>)>,
    /// Which list each short ride draws from.
    short: Vec<usize>,
    /// Rides too long to list.
    long: Vec<Vec<bool>>,
}

impl Orders {
    fn of(sequences: &[&[bool]]) -> Self {
        let mut orders = Self {
            lists: Vec::new(),
            short: Vec::new(),
            long: Vec::new(),
        };
        for sequence in sequences {
            let shape = (
                sequence.len(),
                sequence.iter().filter(|faulty| **faulty).count(),
            );
            if ways(shape) > MOST_LISTED {
                orders.long.push(sequence.to_vec());
                continue;
            }
            let known = orders.lists.iter().position(|(known, _)| *known == shape);
            let place = known.unwrap_or_else(|| {
                orders.lists.push((shape, every(shape)));
                orders.lists.len() - 1
            });
            orders.short.push(place);
        }
        orders
    }

    fn shuffled(&mut self, dice: &mut Dice) -> Transitions {
        let mut sum = Transitions::default();
        for place in &self.short {
            let (_, list) = &self.lists[*place];
            sum = sum.plus(list[dice.below(count(list.len())) as usize]);
        }
        for sequence in &mut self.long {
            let length = sequence.len();
            dice.deal(sequence, length);
            sum = sum.plus(Transitions::count(&[sequence.as_slice()]));
        }
        sum
    }
}

/// In how many ways so many attempts can hold so many faulty ones.
fn ways((attempts, faulty): (usize, usize)) -> f64 {
    (0..faulty)
        .map(|step| real(attempts - step) / (real(step) + 1.0))
        .product()
}

/// The steps of every order.
fn every((attempts, faulty): (usize, usize)) -> Vec<Transitions> {
    let mut found = Vec::new();
    lengthen(&mut vec![], (attempts - faulty, faulty), &mut |order| {
        found.push(Transitions::count(&[order]));
    });
    found
}

/// Visits every way to go on with so many clean and faulty attempts.
fn lengthen(
    order: &mut Vec<bool>,
    (clean, faulty): (usize, usize),
    visit: &mut impl FnMut(&[bool]),
) {
    if clean + faulty == 0 {
        visit(order);
        return;
    }
    if clean > 0 {
        order.push(false);
        lengthen(order, (clean - 1, faulty), visit);
        order.pop();
    }
    if faulty > 0 {
        order.push(true);
        lengthen(order, (clean, faulty - 1), visit);
        order.pop();
    }
}

impl Transitions {
    fn plus(self, other: Self) -> Self {
        Self {
            after_faulty: self.after_faulty + other.after_faulty,
            after_clean: self.after_clean + other.after_clean,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All ten orders of two faulty among five, by their steps.
    #[test]
    fn every_order_is_listed_once() {
        let all = every((5, 2));
        assert_eq!(all.len(), 10);
        let in_a_row = |steps: &&Transitions| steps.after_faulty.faulty == 1;
        assert_eq!(all.iter().filter(in_a_row).count(), 4);
        for steps in &all {
            let tallies = (steps.after_faulty, steps.after_clean);
            assert_eq!(tallies.0.attempts + tallies.1.attempts, 4);
        }
    }

    /// A ride too long to list is shuffled, and both ways agree.
    #[test]
    fn listed_and_dealt_orders_agree() {
        let mean = |orders: &mut Orders, seed: u64| {
            let mut dice = Dice::new(seed);
            let followed: u32 = (0..4_000)
                .map(|_| orders.shuffled(&mut dice).after_faulty.faulty)
                .sum();
            f64::from(followed) / 4_000.0
        };
        let ride = [true, true, true, false, false, false, false, false];
        let mut listed = Orders::of(&[&ride]);
        assert!(listed.long.is_empty());
        let mut dealt = Orders {
            lists: vec![],
            short: vec![],
            long: vec![ride.to_vec()],
        };
        // 7 places, each a pair of faulty ones with chance 3/8 × 2/7: 0.75,
        // give or take 0.65 / sqrt(4000).
        for (orders, seed) in [(&mut listed, 1), (&mut dealt, 2)] {
            assert!((mean(orders, seed) - 0.75).abs() < 0.05);
        }
        assert!(ways((40, 20)) > MOST_LISTED);
    }
}
