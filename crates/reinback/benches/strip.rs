//! The strip of an hour and a half with 10,000 marks and 600 bouts: laying it out, and laying it
//! out and painting it into triangles, as a frame of the window does.

use std::collections::BTreeSet;
use std::hint::black_box;
use std::sync::Arc;

use chrono::NaiveDate;
use criterion::{Criterion, criterion_group, criterion_main};
use egui::{Pos2, Rect, vec2};
use reinback::action::{Action, Chosen};
use reinback::rooms::review::strip::frames::Frames;
use reinback::rooms::review::strip::roll::Roll;
use reinback::rooms::review::strip::{StripData, StripView, layout, strip_ui};
use reinback::stage::Placed;
use reinback_film::{FilmTime, FrameIndex};
use reinback_yard::{
    Asked, Bout, BoutId, Film, FilmId, HorseId, Mark, MarkId, MarkKind, Moment, OutlineSpan, Pace,
    PaceSpan, Press, Review, ReviewId, Ride, RideId, Span, SpanId, Words,
};

const SECOND: i64 = 1_000_000_000;
const LENGTH: i64 = 5_400 * SECOND;
const BOUTS: i64 = 600;
const MARKS: i64 = 10_000;

fn ride(words: &Words) -> Ride {
    let review = ReviewId::from_bits(1);
    let person = Review {
        id: review,
        reviewer: String::new(),
        blind: false,
    };
    let date = NaiveDate::from_ymd_opt(2026, 11, 20).unwrap_or_default();
    let mut ride = Ride::new(RideId::from_bits(1), HorseId::from_bits(1), date, person);
    let bits = |number: i64| number.unsigned_abs();
    let pick = |number: i64, count: usize| bits(number) as usize % count;
    for number in 0..BOUTS {
        let from = number * LENGTH / BOUTS;
        let exercise = &words.exercises[pick(number * 7, words.exercises.len())];
        ride.bouts.push(Bout {
            id: BoutId::from_bits(bits(number)),
            review,
            exercise: exercise.id.clone(),
            from: Moment(from),
            to: Some(Moment(from + LENGTH / BOUTS - SECOND)),
            rein: None,
            variant: None,
            asked: Asked::default(),
            score: None,
            letters: (None, None),
            reviewed: number % 5 != 0,
            note: String::new(),
        });
    }
    for number in 0..MARKS {
        let at = Moment(number * LENGTH / MARKS);
        let fault = &words.general_faults[pick(number, words.general_faults.len())];
        let kind = match number % 6 {
            0 => MarkKind::Praise,
            1 => MarkKind::Note,
            2 => MarkKind::Repeated,
            _ => MarkKind::Fault(fault.id.clone()),
        };
        ride.marks.push(Mark {
            id: MarkId::from_bits(bits(number)),
            review,
            at,
            kind,
            bout: Some(BoutId::from_bits(bits(number * BOUTS / MARKS))),
            note: String::new(),
            origin: None,
            press: Some(Press {
                shown: at,
                correction: 0,
                refined: number % 2 == 0,
            }),
            place: None,
        });
    }
    for number in 0..200 {
        let span = Span {
            from: Moment(number * LENGTH / 200),
            to: Moment((number + 1) * LENGTH / 200),
        };
        let id = SpanId::from_bits(bits(number));
        ride.paces.push(PaceSpan {
            id,
            span,
            pace: Pace::ALL[pick(number, Pace::ALL.len())],
            variant: None,
        });
        ride.outlines.push(OutlineSpan {
            id,
            span,
            outline: words.outlines[pick(number, words.outlines.len())]
                .id
                .clone(),
        });
    }
    ride
}

fn film() -> Placed {
    Placed {
        film: Film {
            id: FilmId::from_bits(1),
            path: "ride.mp4".into(),
            fingerprint: None,
            offset: Moment(0),
            drift_ppb: 0,
            duration_nanos: Some(LENGTH),
            tilt: None,
        },
        path: "ride.mp4".into(),
        another: false,
    }
}

fn strip(criterion: &mut Criterion) {
    let words = Words::default();
    let ride = ride(&words);
    let films = [film()];
    let frame = |number: i64| FilmTime(number * SECOND / 50);
    let Some(index) = FrameIndex::new((0..5_400 * 50).map(frame).collect()) else {
        return;
    };
    let selected: BTreeSet<Chosen> = [Chosen::Mark(ride.marks[500].id)].into();
    let data = StripData {
        words: &words,
        ride: &ride,
        review: ride.head.counting,
        films: &films,
        waves: &[],
        sound_band: false,
        extent: Span {
            from: Moment(0),
            to: Moment(LENGTH),
        },
        now: Moment(LENGTH / 2),
        playing: false,
        flaws: &[],
        repeated: None,
        notes: &[],
        selected: &selected,
        frames: Some(Frames {
            film: &films[0].film,
            index: &index,
        }),
        may: layout::May::Mark,
    };
    let views = [
        ("the whole ride", LENGTH),
        ("a minute", 60 * SECOND),
        ("single frames", SECOND / 2),
    ];
    for (name, length) in views {
        let view = Span {
            from: Moment((LENGTH - length) / 2),
            to: Moment(LENGTH.midpoint(length)),
        };
        let height = layout::height(&data, length == LENGTH);
        let rect = Rect::from_min_size(Pos2::ZERO, vec2(1_900.0, height));
        criterion.bench_function(&format!("layout: {name}"), |bench| {
            bench.iter(|| layout::layout(black_box(&data), view, rect));
        });
    }
    for (name, length) in views {
        let ctx = egui::Context::default();
        reinback::theme::install(&ctx);
        let mut roll = Roll::new(Arc::new(|| {}), None);
        let mut shown = StripView::default();
        shown.zoom(data.extent, data.now, LENGTH as f64 / length as f64);
        criterion.bench_function(&format!("layout, paint, triangles: {name}"), |bench| {
            bench.iter(|| frame_of(&ctx, &mut shown, &mut roll, &data));
        });
    }
}

/// A frame of a window with nothing but the strip.
fn frame_of(
    ctx: &egui::Context,
    view: &mut StripView,
    roll: &mut Roll,
    data: &StripData<'_>,
) -> usize {
    let input = egui::RawInput {
        screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(1_920.0, 300.0))),
        ..egui::RawInput::default()
    };
    let mut out: Vec<Action> = Vec::new();
    let output = ctx.run_ui(input, |ui| {
        strip_ui(ui, view, roll, data, None, &mut out);
    });
    ctx.tessellate(output.shapes, output.pixels_per_point).len()
}

criterion_group!(benches, strip);
criterion_main!(benches);
