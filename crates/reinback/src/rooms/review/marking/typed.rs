//! From typed letters to the exercise they stand for.

use std::collections::BTreeMap;

use reinback_yard::{Exercise, HorseId, WordId, Words, Yard};

/// How often each exercise was ridden.
pub type Used = BTreeMap<WordId, u32>;

/// How often this horse was ridden in each exercise.
#[must_use]
pub fn used(yard: &Yard, horse: HorseId) -> Used {
    let mut used = Used::new();
    let own = yard.rides.values().filter(|ride| ride.head.horse == horse);
    for bout in own.flat_map(|ride| &ride.bouts) {
        *used.entry(bout.exercise.clone()).or_default() += 1;
    }
    used
}

/// Puts what was ridden most often first, and leaves the rest in its order.
pub fn most_used_first(exercises: &mut [&Exercise], used: &Used) {
    exercises.sort_by_key(|e| std::cmp::Reverse(used.get(&e.id).copied().unwrap_or(0)));
}

/// What the letters typed so far point at.
#[derive(Clone, Debug, PartialEq)]
pub enum Typed<'a> {
    /// Exactly this exercise.
    One(&'a Exercise),
    /// Several still, the first of which Enter takes.
    Several(Vec<&'a Exercise>),
    /// None.
    Nothing,
}

/// Looks the typed letters up among the short forms, then among the names; the most used first.
#[must_use]
pub fn look_up<'a>(words: &'a Words, used: &Used, typed: &str) -> Typed<'a> {
    let mut by_short: Vec<&Exercise> = words
        .exercises
        .iter()
        .filter(|e| e.short.starts_with(typed))
        .collect();
    if let [one] = by_short[..]
        && one.short == typed
    {
        return Typed::One(one);
    }
    if !by_short.is_empty() {
        most_used_first(&mut by_short, used);
        return Typed::Several(by_short);
    }
    let mut by_name: Vec<&Exercise> = words
        .exercises
        .iter()
        .filter(|e| e.name.to_lowercase().contains(typed))
        .collect();
    if by_name.is_empty() {
        Typed::Nothing
    } else {
        most_used_first(&mut by_name, used);
        Typed::Several(by_name)
    }
}
