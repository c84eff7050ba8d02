//! The whole content of the Progress room for a large yard made in memory: 30 000 rides in ten
//! years on 40 horses, 60 bouts and 200 marks a ride at 25 exercises, with rates that differ from
//! horse to horse and drift. On one thread, and on all for what uses them.
//!
//! `RIDES=3000 cargo bench -p reinback --bench books` makes a smaller one.
#![expect(
    clippy::print_stdout,
    reason = "it says how large the yard is that it counts"
)]

use std::hint::black_box;
use std::sync::Arc;
use std::time::{Duration, Instant};

use chrono::{Days as Later, NaiveDate};
use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use rayon::ThreadPoolBuilder;
use reinback::report::books::Books;
use reinback::report::numbers::{Days, Question, Reins, Whose};
use reinback_analysis::shuffle::Dice;
use reinback_yard::{
    Asked, Bout, Horse, HorseId, IdMaker, Ledger, Mark, MarkKind, Moment, Rein, Review, Ride,
    WordId, Yard,
};

const HORSES: u32 = 40;
const EXERCISES: u32 = 25;
const BOUTS: i64 = 60;
/// Marks that are no faults: changes, aids, notes and praise.
const OTHER_MARKS: u32 = 180;
const SECOND: i64 = 1_000_000_000;

fn rides() -> u32 {
    let asked = std::env::var("RIDES").ok();
    asked.and_then(|rides| rides.parse().ok()).unwrap_or(30_000)
}

fn first_day() -> NaiveDate {
    NaiveDate::from_ymd_opt(2016, 1, 1).unwrap_or_default()
}

fn words(stem: &str, many: u32) -> Vec<WordId> {
    (0..many)
        .filter_map(|number| WordId::new(format!("{stem}-{number}")).ok())
        .collect()
}

struct Maker {
    ids: IdMaker,
    dice: Dice,
    exercises: Vec<WordId>,
    faults: Vec<WordId>,
    variants: Vec<WordId>,
}

impl Maker {
    fn new() -> Self {
        Self {
            ids: IdMaker::seeded(1),
            dice: Dice::new(1),
            exercises: words("exercise", EXERCISES),
            faults: words("fault", 8),
            variants: words("variant", 2),
        }
    }

    fn yard(&mut self) -> Yard {
        let horse = |number: u32| Horse {
            id: HorseId::from_bits(number.into()),
            name: format!("Horse {number}"),
            foaled: None,
            stage: String::new(),
            notes: String::new(),
        };
        let mut yard = Yard {
            horses: (0..HORSES).map(horse).collect(),
            ..Yard::default()
        };
        for number in 0..rides() {
            let ride = self.ride(number);
            yard.rides.insert(ride.id, Arc::new(ride));
        }
        yard
    }

    fn ride(&mut self, number: u32) -> Ride {
        let horse = number % HORSES;
        let day = u64::from(number) * 3_652 / u64::from(rides());
        let review = Review {
            id: self.ids.next(),
            reviewer: String::new(),
            blind: false,
        };
        let date = first_day() + Later::new(day);
        let id = self.ids.next();
        let mut ride = Ride::new(id, HorseId::from_bits(horse.into()), date, review);
        #[expect(clippy::cast_precision_loss, reason = "days of ten years")]
        let drift = 1.2 - 0.4 * day as f64 / 3_652.0;
        for place in 0..BOUTS {
            self.bout(&mut ride, place, drift);
        }
        for other in 0..OTHER_MARKS {
            let kind = match other % 4 {
                0 => MarkKind::Change(Some(Rein::Left)),
                1 => MarkKind::Aid,
                2 => MarkKind::Note,
                _ => MarkKind::Praise,
            };
            let at = Moment(i64::from(self.dice.below(3_000)) * SECOND);
            self.mark(&mut ride, at, kind, None);
        }
        ride.marks.sort_by_key(|mark| (mark.at, mark.id));
        ride
    }

    fn bout(&mut self, ride: &mut Ride, place: i64, drift: f64) {
        let exercise = self.dice.below(EXERCISES);
        let horse = u32::try_from(ride.head.horse.bits()).unwrap_or(0);
        let rate = 0.08 + 0.3 * f64::from((horse * 7 + exercise * 13) % 40) / 40.0;
        let id = self.ids.next();
        let from = Moment(place * 50 * SECOND);
        let variant = self.dice.below(6) as usize;
        ride.bouts.push(Bout {
            id,
            review: ride.head.counting,
            exercise: self.exercises[exercise as usize].clone(),
            from,
            to: Some(Moment(from.0 + 30 * SECOND)),
            rein: [Some(Rein::Left), Some(Rein::Right), None][self.dice.below(3) as usize],
            variant: self.variants.get(variant).cloned(),
            asked: Asked::default(),
            score: None,
            letters: (None, None),
            reviewed: self.dice.below(20) > 0,
            note: String::new(),
        });
        if self.dice.unit() < rate * drift {
            for _ in 0..=u32::from(self.dice.below(4) == 0) {
                let fault = self.faults[self.dice.below(8) as usize].clone();
                let at = Moment(from.0 + i64::from(self.dice.below(29)) * SECOND);
                self.mark(ride, at, MarkKind::Fault(fault), Some(id));
            }
        }
    }

    fn mark(
        &mut self,
        ride: &mut Ride,
        at: Moment,
        kind: MarkKind,
        bout: Option<reinback_yard::BoutId>,
    ) {
        ride.marks.push(Mark {
            id: self.ids.next(),
            review: ride.head.counting,
            at,
            kind,
            bout,
            note: String::new(),
            origin: None,
            press: None,
            place: None,
        });
    }
}

/// One bout of the newest ride of the horse set to reviewed or back: one edit of the document.
fn edit(yard: &mut Yard, horse: HorseId) {
    let own = yard
        .rides
        .values_mut()
        .filter(|ride| ride.head.horse == horse);
    if let Some(ride) = own.max_by_key(|ride| (ride.head.date, ride.id))
        && let Some(bout) = Arc::make_mut(ride).bouts.first_mut()
    {
        bout.reviewed = !bout.reviewed;
    }
}

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
