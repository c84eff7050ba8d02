//! A long history: 1000 rides of 30 attempts at 20 exercises.
//!
//! `lines` includes the trends of 20 exercises, `compare` the permutation tests
//! in closed form, `small` the shuffles of an ordinary month against another.

use criterion::{Criterion, criterion_group, criterion_main};
use reinback_analysis::shuffle::Dice;
use reinback_analysis::{
    Attempt, Day, Key, Moment, Rein, Ride, Span, after_mistakes, compare_lines, exercise_lines,
    what_first,
};

fn ride(id: u32, dice: &mut Dice) -> Ride {
    let attempts = (0..30)
        .map(|place| Attempt {
            exercise: Key(dice.below(20)),
            variant: (dice.below(3) == 0).then_some(Key(1)),
            rein: Some(if dice.below(2) == 0 {
                Rein::Left
            } else {
                Rein::Right
            }),
            span: Span::new(
                Moment(place * 60_000_000_000),
                Moment((place + 1) * 60_000_000_000),
            ),
            faults: if dice.below(4) == 0 {
                vec![Key(dice.below(8))]
            } else {
                vec![]
            },
            repeated: false,
        })
        .collect();
    Ride {
        id,
        day: Day(i32::try_from(id).unwrap_or(0)),
        attempts,
        ..Ride::default()
    }
}

fn lines(criterion: &mut Criterion) {
    let mut dice = Dice::new(1);
    let rides: Vec<Ride> = (0..1_000).map(|id| ride(id, &mut dice)).collect();
    let (before, after) = rides.split_at(500);
    criterion.bench_function("lines: 1000 rides", |bench| {
        bench.iter(|| exercise_lines(&rides));
    });
    criterion.bench_function("compare: 500 v 500 rides", |bench| {
        bench.iter(|| compare_lines(before, after, 1));
    });
    criterion.bench_function("compare: 15 v 15 rides, shuffled", |bench| {
        bench.iter(|| compare_lines(&before[..15], &after[..15], 1));
    });
    criterion.bench_function("lines: 60 rides, shuffled", |bench| {
        bench.iter(|| exercise_lines(&rides[..60]));
    });
    let table = exercise_lines(&rides);
    criterion.bench_function("what first", |bench| {
        bench.iter(|| what_first(&table, rides.len()));
    });
    criterion.bench_function("after mistakes: 60 rides", |bench| {
        bench.iter(|| after_mistakes(&rides[..60], 1));
    });
    criterion.bench_function("after mistakes: 1000 rides", |bench| {
        bench.iter(|| after_mistakes(&rides, 1));
    });
}

criterion_group!(benches, lines);
criterion_main!(benches);
