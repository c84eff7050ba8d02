//! Every figure shows what the horse's rides say, and its table says it too.

use std::sync::Arc;

use reinback_yard::{
    IdMaker, Leg, Moment, OutlineSpan, Pace, PaceSpan, Span, SpanId, TempoTrack, Yard,
};

use super::*;
use crate::figure::{Ink, Shape};
use crate::report::numbers::Days;
use crate::report::sample;
use crate::report::whole::{Kept, whole};
use crate::said::Language;

const SECOND: i64 = 1_000_000_000;

fn span(from: i64, to: i64) -> Span {
    Span::new(Moment(from * SECOND), Moment(to * SECOND))
}

/// So many rides, each of ten minutes: six in trot and four in canter with a change back, seven
/// minutes in one outline, more in the last, and a stretch, and taps in trot.
fn yard(rides: u64) -> Yard {
    let mut yard = sample::yard();
    yard.rides.clear();
    let mut ids = IdMaker::seeded(3);
    for number in 0..rides {
        let mut ride = sample::blank(&mut ids, sample::day(number));
        let last = number + 1 == rides;
        let held = if last { 660 } else { 420 };
        let outlines = [("competition", 0, held), ("stretched", held, held + 180)];
        for (at, (outline, from, to)) in outlines.into_iter().enumerate() {
            ride.outlines.push(OutlineSpan {
                id: SpanId::from_bits(at as u64 + 1),
                span: span(from, to),
                outline: sample::word(outline),
            });
        }
        let paces = [
            (Pace::Trot, 0, 180),
            (Pace::Canter, 180, 420),
            (Pace::Trot, 420, 600),
        ];
        for (at, (pace, from, to)) in paces.into_iter().enumerate() {
            ride.paces.push(PaceSpan {
                id: SpanId::from_bits(at as u64 + 10),
                span: span(from, to),
                pace,
                variant: None,
            });
        }
        // 80 strides a minute.
        ride.tempos.push(TempoTrack {
            id: SpanId::from_bits(20),
            review: ride.head.counting,
            leg: Leg::LeftFore,
            taps: (0..40)
                .map(|tap| Moment(10 * SECOND + tap * 750_000_000))
                .collect(),
        });
        yard.rides.insert(ride.id, Arc::new(ride));
    }
    yard
}

fn found(rides: u64) -> (Whole, Drawn, Yard) {
    let yard = yard(rides);
    let today = sample::day(rides - 1);
    let whole = whole(
        &yard,
        sample::horse(),
        Days::default(),
        today,
        &mut Kept::default(),
    );
    let drawn = Drawn::new(&whole, &yard.words, &Say::new(Language::English));
    (whole, drawn, yard)
}

/// Every thing a layer draws has its place in the leads, and every row of the table too.
fn fits(leading: &Leading) {
    let figure = &leading.figure;
    assert_eq!(leading.leads.len(), figure.layers.len(), "{}", figure.title);
    for (layer, leads) in figure.layers.iter().zip(&leading.leads) {
        let many = match &layer.shape {
            Shape::Dots(dots) => dots.len(),
            Shape::Boxes(boxes) => boxes.len(),
            _ => 0,
        };
        assert_eq!(leads.len(), many, "{} of {}", layer.name, figure.title);
    }
    assert_eq!(
        leading.rows.len(),
        figure.table.rows.len(),
        "{}",
        figure.title
    );
    for row in &figure.table.rows {
        assert_eq!(row.len(), figure.table.columns.len(), "{row:?}");
    }
    assert!(figure.x.from < figure.x.to && figure.y.from < figure.y.to);
}

fn all(drawn: &Drawn) -> [&Leading; 4] {
    [&drawn.outline, &drawn.steps, &drawn.weeks, &drawn.tempo]
        .map(|one| one.as_ref().expect("a figure"))
}

#[test]
fn every_figure_has_its_table_and_its_rides() {
    for rides in [3, 10, 130] {
        let (_, drawn, _) = found(rides);
        all(&drawn).into_iter().for_each(fits);
    }
}

#[test]
fn outlines_fill_their_bars_and_the_timer_stands_above() {
    let (whole, drawn, _) = found(10);
    let outline = drawn.outline.expect("outlines");
    let tops = outline
        .figure
        .layers
        .iter()
        .filter_map(|layer| match &layer.shape {
            Shape::Boxes(boxes) => Some(boxes.iter().map(|one| one.y[1])),
            _ => None,
        });
    let full = tops
        .flatten()
        .filter(|top| (top - 1.0).abs() < 1e-9)
        .count();
    assert_eq!(full, 10, "every ride reaches 100 %");
    let signs = outline
        .figure
        .layers
        .iter()
        .filter_map(|layer| match &layer.shape {
            Shape::Dots(dots) => Some((layer.name.as_str(), dots.len())),
            _ => None,
        });
    // Eleven minutes held in the last ride, seven in the others.
    assert_eq!(
        signs.collect::<Vec<_>>(),
        [("about ten minutes or more", 1)]
    );
    let newest = whole.rides.last().expect("a ride").ride;
    assert_eq!(outline.rows[0].map(|(ride, _)| ride), Some(newest));
    let row = outline
        .figure
        .table
        .rows
        .last()
        .expect("the oldest")
        .join("; ");
    assert_eq!(
        row,
        "4 May 2026; 30 %; 70 %; 0 s; longest held 7 min 00 s; 1 change of outline, 1.0 in ten minutes"
    );
}

#[test]
fn transitions_are_counts_over_known_time() {
    let (_, drawn, _) = found(3);
    let steps = drawn.steps.expect("transitions");
    let Shape::Dots(dots) = &steps.figure.layers[0].shape else {
        panic!("dots come first");
    };
    // Two between paces in ten minutes.
    assert!(
        dots.iter().all(|dot| (dot.at[1] - 0.2).abs() < 1e-9),
        "{dots:?}"
    );
    let row = &steps.figure.table.rows[0];
    assert_eq!(row[..3], ["10 May 2026", "10 min 00 s", "2"], "{row:?}");
}

/// 4 May 2026 was a Monday; rides are three days apart: 4, 7, 10 and 13 May.
#[test]
fn weeks_are_stacked_by_pace() {
    let (whole, drawn, _) = found(4);
    assert_eq!(whole.weeks.len(), 2);
    let week = &whole.weeks[0];
    // The last ride has 14 minutes marked, the others ten.
    assert_eq!((week.rides, week.nanos), (3, 30 * 60 * SECOND));
    let paces: Vec<i64> = week
        .paces
        .values()
        .map(|nanos| nanos / (60 * SECOND))
        .collect();
    assert_eq!((paces, week.pace_unknown), (vec![18, 12], 0));
    let weeks = drawn.weeks.expect("weeks");
    let Shape::Boxes(boxes) = &weeks.figure.layers[1].shape else {
        panic!("boxes of canter");
    };
    assert!((boxes[0].y[0] - 18.0).abs() < 1e-9 && (boxes[0].y[1] - 30.0).abs() < 1e-9);
    let row = weeks.figure.table.rows[0].join("; ");
    assert_eq!(
        row,
        "11 May 2026; 1; 14 min 00 s; 6 min 00 s; 4 min 00 s; 4 min 00 s"
    );
    // A ride ahead is in no week.
    let ahead = {
        let yard = yard(4);
        let today = sample::day(2);
        super::super::whole(
            &yard,
            sample::horse(),
            Days::default(),
            today,
            &mut Kept::default(),
        )
    };
    assert_eq!(ahead.weeks.len(), 1);
}

#[test]
fn months_have_medians_with_how_many_rides() {
    // Three days apart from 4 May: ten rides in May, two in June.
    let (_, drawn, _) = found(12);
    let tempo = drawn.tempo.expect("tempo");
    let rows: Vec<String> = tempo
        .figure
        .table
        .rows
        .iter()
        .map(|row| row[..4].join("; "))
        .collect();
    assert_eq!(rows[0], "trot; Jun 2026; 80.0; 2");
    assert_eq!(rows[3], "trot; May 2026; 80.0; 10");
    let (from, to) = (tempo.figure.x.from, tempo.figure.x.to);
    for layer in &tempo.figure.layers {
        if let Shape::Dots(dots) = &layer.shape {
            assert!(dots.iter().all(|dot| from < dot.at[0] && dot.at[0] < to));
        }
    }
    let medians = tempo
        .figure
        .layers
        .iter()
        .filter(|layer| layer.name.is_empty());
    let points = medians.filter_map(|layer| match &layer.shape {
        Shape::Line { points, .. } => Some(points.len()),
        _ => None,
    });
    assert_eq!(points.collect::<Vec<_>>(), [2]);
}

/// Trot to canter and back in each of three rides; 18 minutes in trot, 12 in canter, and in the last
/// ride four more without a pace.
#[test]
fn kinds_and_paces_are_bars() {
    let (_, drawn, _) = found(3);
    let rows = |figure: &Figure| {
        let rows = figure.table.rows.iter();
        rows.map(|row| row.join("; ")).collect::<Vec<_>>()
    };
    let kinds = drawn.kinds.expect("transitions");
    assert_eq!(rows(&kinds), ["trot to canter; 3", "canter to trot; 3"]);
    let paces = drawn.paces.expect("time ridden");
    assert_eq!(
        rows(&paces),
        [
            "trot; 18 min 00 s; 53 %",
            "canter; 12 min 00 s; 35 %",
            "no pace noted; 4 min 00 s; 12 %"
        ]
    );
    let lengths = paces.layers.iter().filter_map(|layer| match &layer.shape {
        Shape::Boxes(boxes) => Some((layer.ink, (boxes[0].x[1] / 60e9).round())),
        _ => None,
    });
    let lengths: Vec<_> = lengths.collect();
    assert_eq!(
        lengths,
        [
            (Ink::Pace(Pace::Trot as usize), 18.0),
            (Ink::Pace(Pace::Canter as usize), 12.0),
            (Ink::Soft, 4.0)
        ]
    );
}

#[test]
fn where_nothing_is_known_nothing_is_drawn() {
    let mut yard = sample::yard();
    yard.rides.clear();
    let whole = whole(
        &yard,
        sample::horse(),
        Days::default(),
        sample::day(0),
        &mut Kept::default(),
    );
    let drawn = Drawn::new(&whole, &yard.words, &Say::new(Language::German));
    let Drawn {
        outline,
        noticed,
        steps,
        weeks,
        tempo,
        kinds,
        paces,
        series,
        plans,
    } = drawn;
    assert!(kinds.is_none() && paces.is_none() && series.is_empty() && plans.is_empty());
    assert!(noticed.is_empty());
    assert!(outline.is_none() && steps.is_none() && weeks.is_none() && tempo.is_none());
}
