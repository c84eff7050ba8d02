//! Columns that were changed ride by ride say what a slice of rides says, to the last bit.

use std::collections::BTreeMap;

use proptest::prelude::*;
use reinback_analysis::columns::{Asked, Columns, Draft, Lowered, Outside, Sheet, finish};
use reinback_analysis::shuffle::mix;
use reinback_analysis::trend::TREND_SEED;
use reinback_analysis::{
    Attempt, Day, Key, Moment, Rein, Ride, Span, after_mistakes, compare_reins_lines,
    exercise_lines, remainder,
};

fn attempt() -> impl Strategy<Value = Attempt> {
    let rein = proptest::option::of(prop_oneof![Just(Rein::Left), Just(Rein::Right)]);
    (
        0_u32..3,
        proptest::option::of(10_u32..12),
        rein,
        (0_i64..500, 0_i64..60),
        proptest::collection::vec(20_u32..23, 0..2),
        any::<bool>(),
    )
        .prop_map(
            |(exercise, variant, rein, (from, length), faults, repeated)| Attempt {
                exercise: Key(exercise),
                variant: variant.map(Key),
                rein,
                span: Span::new(Moment(from), Moment(from + length)),
                faults: faults.into_iter().map(Key).collect(),
                repeated,
            },
        )
}

/// What is done to the columns: a ride put on a horse, or taken away.
fn change() -> impl Strategy<Value = (u64, Option<(u64, Ride)>)> {
    let ride = (
        1_u64..3,
        -5_i32..9,
        proptest::collection::vec(attempt(), 0..9),
        0_u32..3,
    );
    (0_u64..24, proptest::option::weighted(0.85, ride)).prop_map(|(id, ride)| {
        let ride = ride.map(|(horse, day, attempts, unreviewed)| {
            let ride = Ride {
                id,
                day: Day(day),
                attempts,
                unreviewed,
                loose_faults: vec![(Key(20), unreviewed)],
            };
            (horse, ride)
        });
        (id, ride)
    })
}

fn ask(columns: &Columns, asked: &Asked) -> (Vec<Sheet>, Outside) {
    let drafts: Vec<(Key, Draft)> = columns
        .exercises()
        .filter_map(|key| {
            let seed = mix(TREND_SEED, u64::from(key.0));
            Some((key, columns.draft(asked, key, seed)?))
        })
        .collect();
    let sheets = finish(
        &drafts
            .iter()
            .map(|(key, draft)| (*key, draft))
            .collect::<Vec<_>>(),
    );
    (sheets, columns.outside(asked))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn changed_ride_by_ride_or_made_anew(changes in proptest::collection::vec(change(), 0..60)) {
        let mut columns = Columns::default();
        let mut rides: BTreeMap<u64, (u64, Ride)> = BTreeMap::new();
        for (id, change) in changes {
            if let Some((horse, ride)) = change {
                columns.put(&Lowered::new(horse, &ride, 0));
                rides.insert(id, (horse, ride));
            } else {
                columns.remove(id);
                rides.remove(&id);
            }
        }
        let mut anew = Columns::default();
        for (horse, ride) in rides.values().rev() {
            anew.put(&Lowered::new(*horse, ride, 0));
        }
        let days = (Day(-2), Day(6));
        for horse in [None, Some(1), Some(2)] {
            let asked = Asked { horse, days };
            prop_assert_eq!(ask(&columns, &asked), ask(&anew, &asked));
        }
        let own: Vec<Ride> = rides
            .values()
            .filter(|(horse, ride)| *horse == 1 && days.0 <= ride.day && ride.day <= days.1)
            .map(|(_, ride)| ride.clone())
            .collect();
        let (sheets, outside) = ask(&columns, &Asked { horse: Some(1), days });
        prop_assert_eq!(
            sheets.iter().map(|sheet| sheet.figures.clone()).collect::<Vec<_>>(),
            exercise_lines(&own)
        );
        prop_assert_eq!(
            sheets.iter().filter_map(|sheet| sheet.reins).collect::<Vec<_>>(),
            compare_reins_lines(&own, TREND_SEED).into_iter().map(|(_, reins)| reins).collect::<Vec<_>>()
        );
        prop_assert_eq!(
            sheets.iter().map(|sheet| sheet.after).collect::<Vec<_>>(),
            after_mistakes(&own, TREND_SEED)
        );
        let left_out = remainder(&own);
        prop_assert_eq!(outside.unreviewed, left_out.unreviewed);
        prop_assert_eq!(outside.loose_faults, left_out.loose_faults);
        prop_assert_eq!(outside.rides, own.len());
        let reviewed = own.iter().filter(|ride| !ride.attempts.is_empty());
        prop_assert_eq!(outside.reviewed, reviewed.count());
    }

    /// A version that stays the same means that nothing was counted differently.
    #[test]
    fn a_kept_version_keeps_the_figures(
        before in proptest::collection::vec(change(), 0..20),
        after in change(),
    ) {
        let mut columns = Columns::default();
        let apply = |columns: &mut Columns, (id, change): &(u64, Option<(u64, Ride)>)| match change {
            Some((horse, ride)) => columns.put(&Lowered::new(*horse, ride, 0)),
            None => columns.remove(*id),
        };
        for change in &before {
            apply(&mut columns, change);
        }
        let old = columns.clone();
        apply(&mut columns, &after);
        for horse in [None, Some(1), Some(2)] {
            let asked = Asked { horse, days: (Day(-2), Day(6)) };
            for key in (0..3).map(Key) {
                if old.version(&asked, key) == columns.version(&asked, key) {
                    prop_assert_eq!(old.draft(&asked, key, 1), columns.draft(&asked, key, 1));
                }
            }
        }
    }
}
