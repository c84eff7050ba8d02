//! One horse of a large yard as a whole: 750 rides of 60 bouts and 200 marks each, with paces,
//! outlines and taps, beside 29,250 rides of other horses. Once with nothing known, once after one
//! ride was edited.

use std::hint::black_box;
use std::sync::Arc;

use chrono::{Days as Later, NaiveDate};
use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use reinback::report::numbers::Days;
use reinback::report::whole::{Kept, whole};
use reinback_yard::{
    Asked, Bout, BoutId, Horse, HorseId, Leg, Mark, MarkId, MarkKind, Moment, OutlineSpan, Pace,
    PaceSpan, Press, Rein, Review, ReviewId, Ride, RideId, Span, SpanId, TempoTrack, Yard,
};

const SECOND: i64 = 1_000_000_000;
const RIDES: u64 = 750;
const OTHERS: u64 = 29_250;
const BOUTS: u64 = 60;
const MARKS: u64 = 200;

fn day(number: u64) -> NaiveDate {
    NaiveDate::from_ymd_opt(2016, 1, 1).unwrap_or_default() + Later::new(number * 5)
}

fn empty(id: u64, horse: u64, number: u64) -> Ride {
    let person = Review {
        id: ReviewId::from_bits(1),
        reviewer: String::new(),
        blind: false,
    };
    Ride::new(
        RideId::from_bits(id),
        HorseId::from_bits(horse),
        day(number),
        person,
    )
}

fn at(second: u64) -> Moment {
    Moment(i64::try_from(second).unwrap_or(0) * SECOND)
}

fn ride(yard: &Yard, number: u64) -> Ride {
    let mut ride = empty(number + 1, 1, number);
    let review = ride.head.counting;
    let exercises = &yard.words.exercises;
    for n in 0..BOUTS {
        let exercise = &exercises[(number + n * 7) as usize % exercises.len()];
        ride.bouts.push(Bout {
            id: BoutId::from_bits(n + 1),
            review,
            exercise: exercise.id.clone(),
            from: at(n * 45),
            to: Some(at(n * 45 + 30)),
            rein: Some([Rein::Left, Rein::Right][n as usize % 2]),
            variant: None,
            asked: Asked::default(),
            score: None,
            letters: (None, None),
            reviewed: true,
            note: String::new(),
        });
    }
    let fault = &yard.words.general_faults[0].id;
    for n in 0..MARKS {
        let moment = at(n * 13);
        ride.marks.push(Mark {
            id: MarkId::from_bits(n + 1),
            review,
            at: moment,
            kind: match n % 4 {
                0 => MarkKind::Change(None),
                1 => MarkKind::Aid,
                _ => MarkKind::Fault(fault.clone()),
            },
            bout: Some(BoutId::from_bits(n * 13 / 45 + 1)),
            note: String::new(),
            origin: None,
            press: Some(Press {
                shown: moment,
                correction: 0,
                refined: true,
            }),
            place: None,
        });
    }
    for n in 0..12 {
        let span = Span::new(at(n * 225), at((n + 1) * 225));
        ride.paces.push(PaceSpan {
            id: SpanId::from_bits(n + 1),
            span,
            pace: [Pace::Walk, Pace::Trot, Pace::Canter][n as usize % 3],
            variant: None,
        });
        ride.outlines.push(OutlineSpan {
            id: SpanId::from_bits(n + 100),
            span,
            outline: yard.words.outlines[n as usize % yard.words.outlines.len()]
                .id
                .clone(),
        });
    }
    if number.is_multiple_of(10) {
        ride.tempos.push(TempoTrack {
            id: SpanId::from_bits(900),
            review,
            leg: Leg::LeftFore,
            taps: (0..60)
                .map(|n| Moment(460 * SECOND + n * 617_000_000))
                .collect(),
        });
    }
    ride
}

fn yard() -> Yard {
    let mut yard = Yard {
        horses: vec![Horse {
            id: HorseId::from_bits(1),
            name: "Juniper".into(),
            foaled: Some(2010),
            stage: String::new(),
            notes: String::new(),
        }],
        ..Yard::default()
    };
    let own: Vec<Ride> = (0..RIDES).map(|number| ride(&yard, number)).collect();
    let others = (0..OTHERS).map(|n| empty(1_000_000 + n, 2 + n % 39, n % RIDES));
    for ride in own.into_iter().chain(others) {
        yard.rides.insert(ride.id, Arc::new(ride));
    }
    yard
}

fn of_one_horse(bench: &mut Criterion) {
    let mut yard = yard();
    let ask = |yard: &Yard, kept: &mut Kept| {
        whole(
            yard,
            HorseId::from_bits(1),
            Days::default(),
            day(RIDES),
            kept,
        )
    };
    bench.bench_function("whole horse, nothing known", |b| {
        b.iter_batched_ref(
            Kept::default,
            |kept| black_box(ask(&yard, kept)),
            BatchSize::PerIteration,
        );
    });
    let mut kept = Kept::default();
    ask(&yard, &mut kept);
    bench.bench_function("whole horse, one ride edited", |b| {
        b.iter(|| {
            if let Some(ride) = yard.rides.get_mut(&RideId::from_bits(RIDES)) {
                Arc::make_mut(ride).head.title.push('x');
            }
            black_box(ask(&yard, &mut kept))
        });
    });
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(10);
    targets = of_one_horse
}
criterion_main!(benches);
