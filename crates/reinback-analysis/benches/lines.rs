//! What the Progress room shows, from short histories to that of a large yard.
//!
//! The large yard: 30 000 rides in ten years on 40 horses, 60 attempts a ride at 25 exercises,
//! with rates that differ from horse to horse and drift. One core. "Edited" counts one ride anew,
//! in which one attempt became faulty, and works out the one exercise it is in. "Taken out" takes a
//! ride away or puts it back, and works out the exercises it was in.
//!
//! Of the large yard the time is that of the processor (on Linux; elsewhere the clock's), so that
//! others at work on the machine matter little.

use std::hint::black_box;
use std::time::{Duration, Instant};

use criterion::measurement::{Measurement, ValueFormatter, WallTime};
use criterion::{Criterion, criterion_group, criterion_main};
use reinback_analysis::columns::{Asked, Columns, Draft, Lowered, Sheet, finish, finish_compared};
use reinback_analysis::shuffle::Dice;
use reinback_analysis::{
    Attempt, Day, Key, Moment, Rein, Ride, Span, after_mistakes, compare_lines, exercise_lines,
    what_first,
};

const HORSES: u32 = 40;
const EXERCISES: u32 = 25;
const RIDES: u32 = 30_000;
const DAYS: u32 = 3_652;
const MINUTE: i64 = 60_000_000_000;

/// A ride of so many attempts at so many exercises, on a horse with its own rates.
fn ride(id: u32, (attempts, exercises): (i64, u32), dice: &mut Dice) -> Ride {
    let (horse, day) = (id % HORSES, id / (RIDES / DAYS).max(1) % DAYS);
    let drift = 1.2 - 0.4 * f64::from(day) / f64::from(DAYS);
    let attempt = |place: i64, dice: &mut Dice| {
        let exercise = dice.below(exercises);
        let rate = 0.08 + 0.3 * f64::from((horse * 7 + exercise * 13) % 40) / 40.0;
        let faults = if dice.unit() < rate * drift {
            1 + usize::from(dice.below(4) == 0)
        } else {
            0
        };
        Attempt {
            exercise: Key(exercise),
            variant: (dice.below(3) == 0).then_some(Key(100)),
            rein: Some(if dice.below(2) == 0 {
                Rein::Left
            } else {
                Rein::Right
            }),
            span: Span::new(Moment(place * MINUTE), Moment((place + 1) * MINUTE)),
            faults: (0..faults).map(|_| Key(200 + dice.below(8))).collect(),
            repeated: false,
        }
    };
    Ride {
        id: id.into(),
        day: Day(i32::try_from(day).unwrap_or(0)),
        attempts: (0..attempts).map(|place| attempt(place, dice)).collect(),
        ..Ride::default()
    }
}

/// Time that this thread had the processor for.
struct Processor;

/// Nanoseconds of the processor, where the system tells them.
fn processor() -> Option<u64> {
    // The system counts up to the last time it looked at this thread; now it does.
    std::thread::yield_now();
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    told.split_whitespace().next()?.parse().ok()
}

impl Measurement for Processor {
    type Intermediate = (Instant, Option<u64>);
    type Value = Duration;

    fn start(&self) -> Self::Intermediate {
        (Instant::now(), processor())
    }

    fn end(&self, (begun, spent): Self::Intermediate) -> Duration {
        let nanos = processor().zip(spent).map(|(now, then)| now - then);
        nanos.map_or_else(|| begun.elapsed(), Duration::from_nanos)
    }

    fn add(&self, one: &Duration, other: &Duration) -> Duration {
        *one + *other
    }

    fn zero(&self) -> Duration {
        Duration::ZERO
    }

    fn to_f64(&self, value: &Duration) -> f64 {
        WallTime.to_f64(value)
    }

    fn formatter(&self) -> &dyn ValueFormatter {
        const CLOCK: &WallTime = &WallTime;
        CLOCK.formatter()
    }
}

fn short(criterion: &mut Criterion) {
    let mut dice = Dice::new(1);
    let rides: Vec<Ride> = (0..1_000).map(|id| ride(id, (30, 20), &mut dice)).collect();
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

/// Everything of one question, put together.
fn page(columns: &Columns, asked: &Asked) -> (Vec<(Key, Draft)>, Vec<Sheet>) {
    let drafts: Vec<(Key, Draft)> = columns
        .exercises()
        .filter_map(|key| Some((key, columns.draft(asked, key, u64::from(key.0))?)))
        .collect();
    let sheets = together(&drafts);
    (drafts, sheets)
}

fn together(drafts: &[(Key, Draft)]) -> Vec<Sheet> {
    let sheets = finish(
        &drafts
            .iter()
            .map(|(key, draft)| (*key, draft))
            .collect::<Vec<_>>(),
    );
    black_box(what_first(sheets.iter().map(|sheet| &sheet.figures), 1_000));
    sheets
}

fn large(criterion: &mut Criterion<Processor>) {
    let mut dice = Dice::new(2);
    let mut columns = Columns::default();
    let lowered = |ride: &Ride| Lowered::new(ride.id % u64::from(HORSES), ride, 0);
    let mut kept = None;
    for id in 0..RIDES {
        let ride = ride(id, (60, EXERCISES), &mut dice);
        columns.put(&lowered(&ride));
        if id == RIDES / 2 {
            kept = Some(ride);
        }
    }
    let ever = (Day(i32::MIN), Day(i32::MAX));
    let half = Day(i32::try_from(DAYS / 2).unwrap_or(0));
    let all = |days| Asked { horse: None, days };
    let one = |days| Asked {
        horse: Some(u64::from(RIDES / 2 % HORSES)),
        days,
    };
    let mut group = criterion.benchmark_group("30 000 rides");
    group.sample_size(10);
    group.bench_function("one horse's lines", |bench| {
        bench.iter(|| page(&columns, &one(ever)));
    });
    group.bench_function("one horse's last year, shuffled", |bench| {
        bench.iter(|| {
            page(
                &columns,
                &one((Day(i32::try_from(DAYS - 365).unwrap_or(0)), Day(i32::MAX))),
            )
        });
    });
    group.bench_function("all horses' lines", |bench| {
        bench.iter(|| page(&columns, &all(ever)));
    });
    group.bench_function("all horses, two periods", |bench| {
        let (before, after) = (
            all((Day(i32::MIN), half)),
            all((Day(half.0 + 1), Day(i32::MAX))),
        );
        bench.iter(|| {
            let drafts: Vec<_> = columns
                .exercises()
                .filter_map(|key| columns.compared((&before, &after), key, 1))
                .collect();
            finish_compared(&drafts.iter().collect::<Vec<_>>())
        });
    });
    let questions = [one(ever), all(ever)];
    let mut pages = questions.map(|asked| page(&columns, &asked).0);
    let Some(mut edited) = kept else { return };
    let anew = |columns: &Columns, pages: &mut [Vec<(Key, Draft)>; 2], changed: &[Key]| {
        for (drafts, asked) in pages.iter_mut().zip(questions) {
            for key in changed {
                let draft = columns.draft(&asked, *key, u64::from(key.0));
                let place = drafts.iter().position(|(known, _)| known == key);
                if let (Some(place), Some(draft)) = (place, draft) {
                    drafts[place].1 = draft;
                }
            }
            black_box(together(drafts));
        }
    };
    group.bench_function("both, one ride edited", |bench| {
        bench.iter(|| {
            let attempt = &mut edited.attempts[7];
            if attempt.faults.pop().is_none() {
                attempt.faults.push(Key(200));
            }
            let key = attempt.exercise;
            columns.put(&lowered(&edited));
            anew(&columns, &mut pages, &[key]);
        });
    });
    let mut changed: Vec<Key> = edited
        .attempts
        .iter()
        .map(|attempt| attempt.exercise)
        .collect();
    changed.sort_unstable();
    changed.dedup();
    let mut there = true;
    group.bench_function("both, one ride taken out", |bench| {
        bench.iter(|| {
            if there {
                columns.remove(edited.id);
            } else {
                columns.put(&lowered(&edited));
            }
            there = !there;
            anew(&columns, &mut pages, &changed);
        });
    });
    group.bench_function("what is in no rate, all horses", |bench| {
        bench.iter(|| columns.outside(&all(ever)));
    });
    group.finish();
}

criterion_group!(benches, short);
criterion_group! {
    name = large_yard;
    config = Criterion::default().with_measurement(Processor);
    targets = large
}
criterion_main!(benches, large_yard);
