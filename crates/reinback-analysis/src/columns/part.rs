//! What one ride adds to one exercise. Every figure of a line is a sum over
//! such parts, so that a ride is looked at once and never again.

use crate::observation::{Attempt, Key, Rein, Ride};
use crate::rate::Tally;
use crate::special::count;
use crate::time::covered;

/// Attempts of one ride that share an exercise and a rein or a variant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Side {
    pub(crate) tally: Tally,
    /// Faults marked; one attempt may carry several.
    pub(crate) faults: u32,
    /// Those of attempts that have a length: only they are in a rate per minute.
    pub(crate) timed: u32,
    /// Time ridden, shared time once, in nanoseconds.
    pub(crate) covered: i64,
}

impl Side {
    fn of(attempts: &[&Attempt]) -> Self {
        let faults = |attempts: &mut dyn Iterator<Item = &&Attempt>| {
            count(attempts.map(|attempt| attempt.faults.len()).sum())
        };
        let mut timed = attempts
            .iter()
            .filter(|attempt| attempt.span.duration_nanos() > 0);
        Self {
            tally: attempts
                .iter()
                .map(|attempt| Tally::of(attempt.is_faulty()))
                .sum(),
            faults: faults(&mut attempts.iter()),
            timed: faults(&mut timed),
            covered: covered(attempts.iter().map(|attempt| attempt.span)),
        }
    }
}

/// What one ride adds to one exercise.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Part {
    /// All attempts, those on the left and on the right rein, those without.
    pub(crate) sides: [Side; 4],
    /// Variant by variant, sorted.
    pub(crate) variants: Vec<(Option<Key>, Side)>,
    /// How often each fault was marked, sorted by fault.
    pub(crate) faults: Vec<(Key, u32)>,
    /// Which attempts were faulty, in the order ridden.
    pub(crate) sequence: Vec<bool>,
    /// Faulty attempts ridden again at once, and how many of those went wrong.
    pub(crate) repeats: Tally,
}

/// The parts of a ride, sorted by exercise.
pub(crate) fn parts(ride: &Ride) -> Vec<(Key, Part)> {
    let mut attempts: Vec<&Attempt> = ride.attempts.iter().collect();
    // Stable: the order ridden is kept inside an exercise.
    attempts.sort_by_key(|attempt| attempt.exercise);
    let mut parts: Vec<(Key, Part)> = attempts
        .chunk_by(|one, next| one.exercise == next.exercise)
        .map(|own| (own[0].exercise, part(own)))
        .collect();
    for pair in ride.attempts.windows(2) {
        if let [first, second] = pair
            && first.is_faulty()
            && is_repeat(first, second)
            && let Ok(place) = parts.binary_search_by_key(&first.exercise, |(key, _)| *key)
        {
            let repeats = &mut parts[place].1.repeats;
            *repeats = *repeats + Tally::of(second.is_faulty());
        }
    }
    parts
}

fn part(attempts: &[&Attempt]) -> Part {
    let mut own: Vec<&Attempt> = Vec::with_capacity(attempts.len());
    let mut side = |takes: &dyn Fn(&Attempt) -> bool| {
        own.clear();
        own.extend(attempts.iter().copied().filter(|attempt| takes(attempt)));
        Side::of(&own)
    };
    let on = |rein: Option<Rein>| move |attempt: &Attempt| attempt.rein == rein;
    let sides = [
        Side::of(attempts),
        side(&on(Some(Rein::Left))),
        side(&on(Some(Rein::Right))),
        side(&on(None)),
    ];
    let mut variants: Vec<Option<Key>> = attempts.iter().map(|attempt| attempt.variant).collect();
    variants.sort_unstable();
    variants.dedup();
    let variants = variants
        .into_iter()
        .map(|variant| (variant, side(&|attempt| attempt.variant == variant)))
        .collect();
    let mut marked: Vec<Key> = attempts
        .iter()
        .flat_map(|attempt| attempt.faults.iter().copied())
        .collect();
    marked.sort_unstable();
    Part {
        sides,
        variants,
        faults: marked
            .chunk_by(PartialEq::eq)
            .map(|same| (same[0], count(same.len())))
            .collect(),
        sequence: attempts.iter().map(|attempt| attempt.is_faulty()).collect(),
        repeats: Tally::default(),
    }
}

/// Ridden again at once: the same thing, or marked so by the reviewer.
fn is_repeat(first: &Attempt, second: &Attempt) -> bool {
    first.exercise == second.exercise
        && (second.repeated || (first.variant == second.variant && first.rein == second.rein))
}
