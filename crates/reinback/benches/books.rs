//! The whole content of the Progress room for a large yard made in memory. On one thread, and on all
//! for what uses them.
//!
//! `RIDES=3000 cargo bench -p reinback --bench books` makes a smaller one.
#![expect(
    clippy::print_stdout,
    reason = "it says how large the yard is that it counts"
)]

use std::hint::black_box;
use std::time::{Duration, Instant};

use chrono::Days as Later;
use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use rayon::ThreadPoolBuilder;
use reinback::report::books::Books;
use reinback::report::numbers::{Days, Question, Reins, Whose};
use reinback_yard::{HorseId, Ledger};

use large::{Maker, edit, first_day};

mod large;

fn questions(horse: HorseId) -> [Question; 2] {
    let middle = first_day() + Later::new(1_826);
    let (before, after) = (
        Days {
            from: None,
            to: Some(middle),
        },
        Days {
            from: middle.succ_opt(),
            to: None,
        },
    );
    [Whose::One(horse), Whose::All].map(|whose| Question {
        whose,
        days: after,
        against: Some(before),
        reins: Reins::Both,
    })
}

fn large(criterion: &mut Criterion) {
    let mut yard = Maker::new().yard();
    let marks: usize = yard.rides.values().map(|ride| ride.marks.len()).sum();
    let bouts: usize = yard.rides.values().map(|ride| ride.bouts.len()).sum();
    println!("{} rides, {bouts} bouts, {marks} marks", yard.rides.len());
    let horse = HorseId::from_bits(3);
    let [one, all] = questions(horse);
    let ever = [one, all].map(|question| Question {
        days: Days::default(),
        against: None,
        reins: Reins::Both,
        ..question
    });
    for threads in [1, 0] {
        let Ok(pool) = ThreadPoolBuilder::new().num_threads(threads).build() else {
            return;
        };
        let name = format!("large yard, {} threads", pool.current_num_threads());
        let mut group = criterion.benchmark_group(name);
        group.sample_size(10);
        group.bench_function("lowered into columns", |bench| {
            bench.iter(|| {
                pool.install(|| {
                    let mut ledger = Ledger::default();
                    ledger.follow(&yard);
                    black_box(ledger.columns().rides())
                })
            });
        });
        for (name, questions) in [
            ("one horse and all, ever", ever),
            ("one horse and all, two periods", [one, all]),
        ] {
            // Counted already, nothing worked out.
            group.bench_function(name, |bench| {
                let counted = || {
                    let mut books = Books::default();
                    books.follow(&yard);
                    books
                };
                bench.iter_batched(
                    counted,
                    |mut books| {
                        pool.install(|| {
                            for question in &questions {
                                black_box(books.answer(&yard, question));
                            }
                        });
                        books
                    },
                    BatchSize::PerIteration,
                );
            });
        }
        let mut books = Books::default();
        for question in &ever {
            books.answer(&yard, question);
        }
        group.bench_function("both, ever, one bout edited", |bench| {
            bench.iter_custom(|times| {
                let mut spent = Duration::ZERO;
                for _ in 0..times {
                    edit(&mut yard, horse);
                    let begun = Instant::now();
                    pool.install(|| {
                        for question in &ever {
                            black_box(books.answer(&yard, question));
                        }
                    });
                    spent += begun.elapsed();
                }
                spent
            });
        });
        group.finish();
    }
}

criterion_group!(benches, large);
criterion_main!(benches);
