//! What holds of any two reviews.

use proptest::prelude::*;

use super::*;
use crate::arbitrary;

/// What a review holds, whatever its ids are.
fn content(ride: &Ride, review: ReviewId) -> Vec<String> {
    let own = only(ride, review);
    let nobody = ReviewId::from_bits(0);
    let of_bout = |id: BoutId| own.bouts.iter().find(|bout| bout.id == id);
    let bouts = own.bouts.iter().map(|bout| {
        let bout = Bout {
            id: BoutId::from_bits(0),
            review: nobody,
            ..bout.clone()
        };
        format!("{bout:?}")
    });
    let marks = own.marks.iter().map(|mark| {
        // Where several bouts are alike, which of them it is in cannot be told.
        let at = mark.bout.and_then(of_bout).map(|bout| bout.from);
        let mark = Mark {
            id: MarkId::from_bits(0),
            review: nobody,
            bout: None,
            ..mark.clone()
        };
        format!("{at:?} {mark:?}")
    });
    let tempos = own
        .tempos
        .iter()
        .map(|track| format!("{:?} {:?}", track.leg, track.taps));
    let mut all: Vec<String> = bouts.chain(marks).chain(tempos).collect();
    all.sort();
    all
}

/// Any legal ride.
fn a_ride() -> impl Strategy<Value = Ride> {
    let of_yard = |yard: Yard| yard.rides.into_values().next();
    arbitrary::yard()
        .prop_filter_map("a yard without a ride", of_yard)
        .prop_map(std::sync::Arc::unwrap_or_clone)
}

/// An arbitrary ride in which Jon has marked the very same as Mara.
fn twice(ride: Ride) -> Ride {
    let date = ride.head.date;
    let mut both = self::ride(vec![], vec![]);
    both.head.date = date;
    let mut ids = IdMaker::seeded(9);
    let mut partner = std::collections::BTreeMap::new();
    for bout in ride.bouts {
        let id: BoutId = ids.next();
        partner.insert(bout.id, id);
        both.bouts.push(Bout {
            review: MARA,
            ..bout.clone()
        });
        both.bouts.push(Bout {
            id,
            review: JON,
            ..bout
        });
    }
    for mark in ride.marks {
        let bout = mark.bout.filter(|bout| partner.contains_key(bout));
        let other = bout.and_then(|bout| partner.get(&bout).copied());
        let id: MarkId = ids.next();
        both.marks.push(Mark {
            review: MARA,
            bout,
            ..mark.clone()
        });
        both.marks.push(Mark {
            id,
            review: JON,
            bout: other,
            ..mark
        });
    }
    for track in ride.tempos {
        let id: SpanId = ids.next();
        both.tempos.push(TempoTrack {
            review: MARA,
            ..track.clone()
        });
        both.tempos.push(TempoTrack {
            id,
            review: JON,
            ..track
        });
    }
    both
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// Two reviews that say the same differ in nothing, and their merged one says the same.
    #[test]
    fn the_same_twice_is_the_same(ride in a_ride()) {
        let both = twice(ride);
        let mut yard = yard(both);
        let both = yard.ride(RIDE).expect("the ride").clone();
        let found = compare(&both, MARA, JON, Tolerance::default());
        prop_assert_eq!(&found.differences, &Vec::new());
        let (review, edit) =
            merge(&both, &found, &Choices::new(), &mut IdMaker::seeded(4)).expect("nothing differs");
        edit.apply(&mut yard).expect("it applies");
        let after = yard.ride(RIDE).expect("the ride");
        prop_assert_eq!(content(after, review), content(&both, MARA));
        prop_assert_eq!(content(after, MARA), content(&both, MARA), "the reviews stay");
        prop_assert_eq!(content(after, JON), content(&both, JON));
    }

    /// Whatever two reviews hold: everything of both is alike or differs, and nothing twice; keeping
    /// one side throughout gives that side but for what is alike.
    #[test]
    fn everything_is_accounted_for(one in a_ride(), other in a_ride()) {
        let mut both = twice(one);
        both.bouts.retain(|bout| bout.review == MARA);
        both.marks.retain(|mark| mark.review == MARA);
        both.tempos.retain(|track| track.review == MARA);
        let other = only(&twice(other), JON);
        both.bouts.extend(other.bouts);
        both.marks.extend(other.marks);
        both.tempos.extend(other.tempos);
        let yard = yard(both);
        let both = yard.ride(RIDE).expect("the ride");
        let found = compare(both, MARA, JON, Tolerance::default());
        let mut things: Vec<Thing> = found.alike.iter().flat_map(|(a, b)| [*a, *b]).collect();
        things.extend(found.differences.iter().flat_map(|d| [d.first, d.second]).flatten());
        things.sort_unstable();
        let mut all: Vec<Thing> = both.bouts.iter().map(|b| Thing::Bout(b.id)).collect();
        all.extend(both.marks.iter().map(|m| Thing::Mark(m.id)));
        all.extend(both.tempos.iter().map(|t| Thing::Tempo(t.id)));
        all.sort_unstable();
        prop_assert_eq!(things, all);
        for (keep, side) in [(Keep::First, MARA), (Keep::Second, JON)] {
            let choices = decide_all(&found, keep);
            let merged = merge(both, &found, &choices, &mut IdMaker::seeded(4));
            // What is alike is taken from Mara, and may be in the way of what only Jon has.
            let in_the_way = matches!(merged, Err(NotMerged::Overlapping { .. }));
            prop_assume!(keep == Keep::First || !in_the_way);
            let (review, edit) = merged.expect("decided");
            let mut merged = yard.clone();
            edit.apply(&mut merged).expect("it applies");
            let merged = merged.ride(RIDE).expect("the ride");
            prop_assert_eq!(held(merged, review), held(both, side));
        }
    }

    /// Whatever is kept of two reviews: no two exercises of the merged one lie over each other
    /// unless they do in a review that had both.
    #[test]
    fn no_riding_is_merged_into_two(
        one in short_bouts(MARA, 100),
        other in short_bouts(JON, 200),
        keeps in prop::collection::vec(0..4_usize, 24),
    ) {
        let before = ride([one, other].concat(), vec![]);
        let found = compare(&before, MARA, JON, Tolerance::default());
        let choices: Choices = found.differences.iter().zip(keeps).map(|(difference, keep)| {
            let keep = [Keep::First, Keep::Second, Keep::Both, Keep::Neither][keep];
            (difference.key(), keep)
        }).collect();
        if let Ok((review, edit)) = merge(&before, &found, &choices, &mut IdMaker::seeded(4)) {
            let mut merged = yard(before.clone());
            edit.apply(&mut merged).expect("it applies");
            let merged = only(merged.ride(RIDE).expect("the ride"), review).bouts;
            for (place, bout) in merged.iter().enumerate() {
                prop_assert!(bout.to.is_none_or(|to| bout.from < to), "{bout:?}");
                for later in &merged[place + 1..] {
                    prop_assert!(!lie_over(bout, later), "{bout:?} {later:?}");
                }
            }
        }
    }
}

/// Up to a dozen exercises of a review, one after the other, the last perhaps still running.
fn short_bouts(review: ReviewId, first_id: u64) -> impl Strategy<Value = Vec<Bout>> {
    let lengths = prop::collection::vec((0..9_000_i64, 1..15_000_i64, 0..2_usize), 0..12);
    (lengths, any::<bool>()).prop_map(move |(lengths, runs)| {
        let mut at = 0;
        let mut bouts = Vec::new();
        for (id, (gap, length, exercise)) in (first_id..).zip(lengths) {
            let from = at + gap;
            at = from + length;
            let exercise = ["half-pass", "halt"][exercise];
            let (from, to) = (from as f64 / 1e3, at as f64 / 1e3);
            bouts.push(bout(id, review, exercise, from, to));
        }
        if let Some(last) = bouts.last_mut().filter(|_| runs) {
            (last.to, last.reviewed) = (None, false);
        }
        bouts
    })
}
