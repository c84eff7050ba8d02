//! Pace and outline, said as they change while the film runs.
//!
//! A press says what holds from here on. The last stretch has no end yet: until it gets one, its
//! end is its start, so that nothing unwatched is taken for ridden.

use reinback_yard::{
    Edit, IdMaker, Moment, OutlineSpan, Pace, PaceSpan, RideId, Span, SpanId, WordId,
};

use super::{Marking, Refusal, Step, one_or_batch};
use crate::rooms::review::second::has_stretches;

/// What a stretch is, beside its extent.
trait Stretch: Clone {
    fn id(&self) -> SpanId;
    fn span(&self) -> Span;
    fn with_span(&self, span: Span) -> Self;
    /// The same stretch, saying this.
    fn saying(&self, like: &Self) -> Self;
    fn says(&self, like: &Self) -> bool;
    fn edit(ride: RideId, id: SpanId, now: Option<Self>) -> Edit;
}

macro_rules! stretch {
    ($thing:ty, $edit:ident, |$own:ident, $like:ident| $says:expr) => {
        impl Stretch for $thing {
            fn id(&self) -> SpanId {
                self.id
            }

            fn span(&self) -> Span {
                self.span
            }

            fn with_span(&self, span: Span) -> Self {
                Self {
                    span,
                    ..self.clone()
                }
            }

            fn saying(&self, like: &Self) -> Self {
                Self {
                    id: self.id,
                    span: self.span,
                    ..like.clone()
                }
            }

            fn says(&self, like: &Self) -> bool {
                let ($own, $like) = (self, like);
                $says
            }

            fn edit(ride: RideId, id: SpanId, now: Option<Self>) -> Edit {
                Edit::$edit(ride, id, now)
            }
        }
    };
}

stretch!(PaceSpan, Pace, |own, like| {
    own.pace == like.pace && own.variant == like.variant
});
stretch!(OutlineSpan, Outline, |own, like| own.outline
    == like.outline);

/// Whether a stretch still runs: it has no end yet. `last` says whether none comes after it.
fn still_runs(span: Span, last: bool) -> bool {
    last && span.to <= span.from
}

/// The extent of a stretch as it is shown: one that still runs reaches to the play head.
#[must_use]
pub fn shown_until(span: Span, last: bool, now: Moment) -> Span {
    let to = if still_runs(span, last) {
        now.max(span.from)
    } else {
        span.to
    };
    Span { to, ..span }
}

impl Marking<'_> {
    /// Whether paces and outlines are seen and changed with the review on screen: there is one set
    /// of them, and it is made with the review that counts.
    ///
    /// # Errors
    /// Another review is on screen.
    pub fn has_stretches(&self) -> Result<(), Refusal> {
        if has_stretches(self.ride, self.review) {
            return Ok(());
        }
        Err(
            "Paces and outlines belong to the review that counts; go back to it to change them"
                .into(),
        )
    }

    /// Says that this pace is ridden from here on; the same pace again: no longer.
    ///
    /// # Errors
    /// As [`Marking::has_stretches`].
    pub fn set_pace(&self, pace: Pace, ids: &mut IdMaker) -> Result<Step, Refusal> {
        self.has_stretches()?;
        let at = self.hand.bout(self.now);
        let new = PaceSpan {
            id: ids.next(),
            span: Span { from: at, to: at },
            pace,
            variant: None,
        };
        Ok(Step {
            label: format!("pace: {}", pace.name()),
            edit: from_here(self.ride.id, &self.ride.paces, &new),
            choose: self.chosen,
        })
    }

    /// Says that this outline is ridden from here on; the same again: no longer.
    ///
    /// # Errors
    /// As [`Marking::has_stretches`].
    pub fn set_outline(&self, outline: &WordId, ids: &mut IdMaker) -> Result<Step, Refusal> {
        self.has_stretches()?;
        let at = self.hand.bout(self.now);
        let new = OutlineSpan {
            id: ids.next(),
            span: Span { from: at, to: at },
            outline: outline.clone(),
        };
        Ok(Step {
            label: format!("outline: {}", self.words.outline_name(outline)),
            edit: from_here(self.ride.id, &self.ride.outlines, &new),
            choose: self.chosen,
        })
    }

    /// The outline on a key (1 to 9).
    ///
    /// # Errors
    /// The key has no outline, or as [`Marking::has_stretches`].
    pub fn outline_on_key(&self, key: usize, ids: &mut IdMaker) -> Result<Step, Refusal> {
        let word = self.words.outlines.get(key.wrapping_sub(1));
        let word = word.ok_or_else(|| format!("Shift+{key} has no outline"))?;
        self.set_outline(&word.id, ids)
    }

    /// The pace at this moment, if one was said and is seen.
    #[must_use]
    pub fn pace(&self) -> Option<Pace> {
        self.has_stretches().ok()?;
        at(&self.ride.paces, self.now).map(|span| span.pace)
    }

    /// The outline at this moment, if one was said and is seen.
    #[must_use]
    pub fn outline(&self) -> Option<&WordId> {
        self.has_stretches().ok()?;
        at(&self.ride.outlines, self.now).map(|span| &span.outline)
    }
}

/// The stretch that holds at a moment. Sorted by start.
fn at<T: Stretch>(all: &[T], now: Moment) -> Option<&T> {
    let place = all.iter().rposition(|own| own.span().from <= now)?;
    let own = all.get(place)?;
    let runs = still_runs(own.span(), place + 1 == all.len());
    (runs || now < own.span().to).then_some(own)
}

/// Has `new` hold from its start on: what held there ends, or becomes it.
fn from_here<T: Stretch>(ride: RideId, all: &[T], new: &T) -> Edit {
    let start = new.span().from;
    let set = |own: &T| T::edit(ride, own.id(), Some(own.clone()));
    let remove = |own: &T| T::edit(ride, own.id(), None);
    let until = |own: &T, to: Moment| {
        own.with_span(Span {
            from: own.span().from,
            to,
        })
    };
    let last = all.last().filter(|own| still_runs(own.span(), true));
    if let Some(running) = last.filter(|own| own.span().from <= start) {
        // Pressed again before any time has passed: it was mistyped.
        if running.span().from == start {
            return if running.says(new) {
                remove(running)
            } else {
                set(&running.saying(new))
            };
        }
        let ended = until(running, start);
        let covers = all.iter().rev().skip(1).any(|own| start < own.span().to);
        if !covers {
            return if running.says(new) {
                set(&ended)
            } else {
                Edit::Batch(vec![set(&ended), set(new)])
            };
        }
    }
    let covering = all
        .iter()
        .rfind(|own| own.span().from <= start && start < own.span().to);
    if let Some(own) = covering {
        let begins = own.span().from == start;
        return match (own.says(new), begins) {
            (true, true) => remove(own),
            (true, false) => set(&until(own, start)),
            (false, true) => set(&own.saying(new)),
            (false, false) => {
                let rest = new.with_span(Span {
                    from: start,
                    to: own.span().to,
                });
                one_or_batch(vec![set(&until(own, start)), set(&rest)])
            }
        };
    }
    match all.iter().find(|own| own.span().from > start) {
        Some(next) if next.says(new) => set(&next.with_span(Span {
            from: start,
            to: if still_runs(next.span(), true) {
                start
            } else {
                next.span().to
            },
        })),
        Some(next) => set(&new.with_span(Span {
            from: start,
            to: next.span().from,
        })),
        None => set(new),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use reinback_yard::{IdMaker, ReviewId, Ride, Words, Yard};

    use super::*;
    use crate::rooms::review::marking::Hand;

    const SECOND: i64 = 1_000_000_000;

    fn press(ride: &Ride, at: i64, pace: Pace, ids: &mut IdMaker) -> Ride {
        let words = Words::default();
        let marking = Marking {
            words: &words,
            ride,
            review: ride.head.counting,
            now: Moment(at * SECOND),
            chosen: None,
            hand: Hand::STILL,
        };
        let step = marking.set_pace(pace, ids).unwrap();
        let mut yard = Yard::default();
        yard.rides
            .insert(ride.id, std::sync::Arc::new(ride.clone()));
        step.edit.apply(&mut yard).unwrap();
        yard.ride(ride.id).unwrap().clone()
    }

    fn ride(ids: &mut IdMaker) -> Ride {
        let review = reinback_yard::Review {
            id: ReviewId::from_bits(1),
            reviewer: String::new(),
            blind: false,
        };
        let day = chrono::NaiveDate::from_ymd_opt(2026, 1, 1).unwrap();
        Ride::new(ids.next(), ids.next(), day, review)
    }

    /// Presses as (second, letter), and the stretches they leave as (from, to, letter).
    fn check(presses: &[(i64, char)], expect: &[(i64, i64, char)]) {
        let of = |letter| match letter {
            'w' => Pace::Walk,
            't' => Pace::Trot,
            _ => Pace::Canter,
        };
        let mut ids = IdMaker::seeded(7);
        let mut ride = ride(&mut ids);
        for (at, letter) in presses {
            ride = press(&ride, *at, of(*letter), &mut ids);
        }
        let found: Vec<(i64, i64, Pace)> = ride
            .paces
            .iter()
            .map(|own| (own.span.from.0 / SECOND, own.span.to.0 / SECOND, own.pace))
            .collect();
        let expect: Vec<_> = expect
            .iter()
            .map(|(from, to, l)| (*from, *to, of(*l)))
            .collect();
        assert_eq!(found, expect, "{presses:?}");
    }

    #[test]
    fn a_pace_holds_until_the_next_is_said() {
        check(&[(3, 'w')], &[(3, 3, 'w')]);
        check(&[(3, 'w'), (10, 't')], &[(3, 10, 'w'), (10, 10, 't')]);
        // Again: no longer.
        check(&[(3, 'w'), (10, 'w')], &[(3, 10, 'w')]);
        // Mistyped.
        check(&[(3, 'w'), (3, 't')], &[(3, 3, 't')]);
        check(&[(3, 'w'), (3, 'w')], &[]);
        // A gap stays unsaid.
        check(
            &[(3, 'w'), (10, 'w'), (20, 't')],
            &[(3, 10, 'w'), (20, 20, 't')],
        );
        // Back in the film: what was said there is divided, and what comes after stays.
        check(
            &[(0, 'w'), (10, 't'), (20, 't'), (15, 'c')],
            &[(0, 10, 'w'), (10, 15, 't'), (15, 20, 'c')],
        );
        check(
            &[(0, 'w'), (10, 't'), (4, 'c')],
            &[(0, 4, 'w'), (4, 10, 'c'), (10, 10, 't')],
        );
        // Before the first: up to it.
        check(
            &[(10, 't'), (20, 't'), (4, 'w')],
            &[(4, 10, 'w'), (10, 20, 't')],
        );
        check(&[(10, 't'), (20, 't'), (4, 't')], &[(4, 20, 't')]);
        check(&[(10, 't'), (4, 't')], &[(4, 4, 't')]);
        check(&[(10, 't'), (4, 'w')], &[(4, 10, 'w'), (10, 10, 't')]);
    }

    #[test]
    fn another_review_than_the_one_that_counts_has_no_stretches() {
        let mut ids = IdMaker::seeded(7);
        let ride = press(&ride(&mut ids), 3, Pace::Walk, &mut ids);
        let words = Words::default();
        let marking = |review| Marking {
            words: &words,
            ride: &ride,
            review,
            now: Moment(3 * SECOND),
            chosen: None,
            hand: Hand::STILL,
        };
        assert_eq!(marking(ride.head.counting).pace(), Some(Pace::Walk));
        let other = marking(ReviewId::from_bits(2));
        assert_eq!(other.pace(), None);
        let refused = other.set_pace(Pace::Trot, &mut ids).unwrap_err();
        assert!(refused.contains("the review that counts"), "{refused}");
        assert_eq!(other.outline_on_key(1, &mut ids), Err(refused));
    }

    proptest! {
        /// Whatever is pressed, stretches never overlap, and only the last may be without an end.
        #[test]
        fn stretches_never_overlap(presses in prop::collection::vec((0..40_i64, 0..3_usize), 0..30)) {
            let mut ids = IdMaker::seeded(7);
            let mut ride = ride(&mut ids);
            for (at, pace) in presses {
                let pace = [Pace::Walk, Pace::Trot, Pace::Canter][pace];
                ride = press(&ride, at, pace, &mut ids);
                let ends = ride.paces.windows(2).all(|two| {
                    two[0].span.from < two[0].span.to && two[0].span.to <= two[1].span.from
                });
                prop_assert!(ends, "{:?}", ride.paces);
            }
        }
    }
}
