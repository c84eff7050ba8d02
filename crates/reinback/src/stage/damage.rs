//! Where the films of a ride are damaged, as far as they were seen.

use reinback_film::{FilmTime, Flaw, FlawKind};
use reinback_yard::Span;

use super::{Placed, Stage};

/// What is known of a film's damage.
pub(super) struct Damage {
    /// Pieces of the film that were left out.
    pub(super) skipped: u64,
    /// Where something is missing or doubtful.
    pub(super) flaws: Vec<Flaw>,
}

impl Damage {
    /// What was left out before any picture was seen has no place of its own, and counts as one.
    pub(super) fn places(&self) -> usize {
        places(&self.flaws).max(usize::from(self.skipped > 0))
    }
}

impl Stage {
    /// The damaged stretches of the ride.
    #[must_use]
    pub fn flaws(&self) -> Vec<(Span, FlawKind)> {
        let of_film = |placed: &Placed| {
            let on_ride = |time: FilmTime| placed.film.ride_from_film(time.0);
            let damage = self.damage.get(&placed.film.id);
            let flaws = damage.map_or(&[][..], |own| &own.flaws).iter();
            let spans =
                flaws.map(|flaw| (Span::new(on_ride(flaw.from), on_ride(flaw.to)), flaw.kind));
            spans.collect::<Vec<_>>()
        };
        self.films.iter().flat_map(of_film).collect()
    }

    /// In how many places the film under the clock is damaged.
    #[must_use]
    pub fn damaged_places(&self) -> usize {
        let here = self.film_at(self.clock);
        let damage = here.and_then(|placed| self.damage.get(&placed.film.id));
        damage.map_or(0, Damage::places)
    }

    /// Whether the picture on screen is not surely what was filmed.
    #[must_use]
    pub fn is_doubtful(&self) -> bool {
        let Some(showing) = &self.showing else {
            return false;
        };
        let shown = showing.shown.as_ref().map(|frame| frame.time);
        let damage = self.damage.get(&showing.id);
        shown.zip(damage).is_some_and(|(time, damage)| {
            let here = |flaw: &&Flaw| flaw.from <= time && time < flaw.to;
            let mut doubtful = damage.flaws.iter().filter(here);
            doubtful.any(|flaw| flaw.kind == FlawKind::Doubtful)
        })
    }
}

/// Flaws that touch are one place.
fn places(flaws: &[Flaw]) -> usize {
    let mut end = None;
    let mut places = 0;
    for flaw in flaws {
        places += usize::from(end.is_none_or(|end| flaw.from > end));
        end = end.max(Some(flaw.to));
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_touches_is_one_place() {
        for (flaws, expected) in [
            (&[][..], 0),
            (&[(0, 40)], 1),
            (&[(0, 40), (40, 80), (60, 70)], 1),
            (&[(0, 40), (41, 80), (200, 240)], 3),
        ] {
            let flaw = |&(from, to)| Flaw {
                from: FilmTime(from),
                to: FilmTime(to),
                kind: FlawKind::Missing,
            };
            let found: Vec<Flaw> = flaws.iter().map(flaw).collect();
            for skipped in [0, 3] {
                let flaws = found.clone();
                let known = Damage { skipped, flaws };
                // What was left out is somewhere, even if it is not known where.
                let least = usize::from(skipped > 0);
                assert_eq!(known.places(), expected.max(least), "{skipped} {found:?}");
            }
        }
    }
}
