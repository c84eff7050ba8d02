//! From typed letters to the exercise they stand for.

use reinback_yard::{Exercise, Words};

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

/// Looks the typed letters up among the short forms, then among the names.
#[must_use]
pub fn look_up<'a>(words: &'a Words, typed: &str) -> Typed<'a> {
    let by_short: Vec<&Exercise> = words
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
        return Typed::Several(by_short);
    }
    let by_name: Vec<&Exercise> = words
        .exercises
        .iter()
        .filter(|e| e.name.to_lowercase().contains(typed))
        .collect();
    if by_name.is_empty() {
        Typed::Nothing
    } else {
        Typed::Several(by_name)
    }
}
