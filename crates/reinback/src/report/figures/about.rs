//! The tempo before, in and after an exercise, of the rides in which it was tapped.

use chrono::NaiveDate;
use reinback_analysis::Span;
use reinback_analysis::describe::median;
use reinback_analysis::tempo_around::{About, around};
use reinback_yard::lower::tempo::strides;
use reinback_yard::{Bout, Moment, Ride, RideId, WordId, Yard};

use super::Leading;
use crate::figure::{Axis, AxisMark, Column, Dot, Figure, Ink, Layer, Shape, Sign, Table};
use crate::report::numbers::{Question, Reins};
use crate::said::Say;

/// So long before an exercise the film starts where its tempo is to be tapped: three strides of the
/// slowest pace take about 4 s. Our own choice.
const BEFORE: i64 = 5_000_000_000;
/// How many attempts are drawn, the newest; more would be a tangle.
const DRAWN: usize = 40;

/// The tempo about the attempts at an exercise.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TempoAbout {
    /// Attempt by attempt, oldest ride first.
    pub events: Vec<(RideId, NaiveDate, About)>,
    /// Attempts without three strides in a row on either side, in rides with taps.
    pub left_out: u32,
    /// The newest ride with this exercise, shortly before its first attempt.
    pub newest: Option<(RideId, Moment)>,
}

/// Looks at every ride of a question with this exercise.
#[must_use]
pub fn tempo_about(yard: &Yard, question: &Question, exercise: &WordId) -> TempoAbout {
    let mut found = TempoAbout::default();
    for ride in yard.rides_by_date() {
        let asked = question.days.hold(ride.head.date)
            && question
                .whose
                .horse()
                .is_none_or(|own| own == ride.head.horse);
        if asked {
            found.add(ride, exercise, question.reins);
        }
    }
    found
}

impl TempoAbout {
    fn add(&mut self, ride: &Ride, exercise: &WordId, reins: Reins) {
        let counting = ride.head.counting;
        let own = |bout: &&Bout| {
            bout.review == counting
                && bout.exercise == *exercise
                && bout.reviewed
                && reins.hold(bout.rein)
        };
        let spans = ride.bouts.iter().filter(own);
        let spans = spans.filter_map(|bout| Some(Span::new(bout.from, bout.to?)));
        let spans: Vec<Span> = spans.collect();
        let Some(first) = spans.iter().map(|span| span.from).min() else {
            return;
        };
        self.newest = Some((ride.id, Moment(first.0.saturating_sub(BEFORE).max(0))));
        let strides = strides(ride, counting);
        if strides.is_empty() {
            return;
        }
        let about = around(&strides, &spans);
        self.left_out += about.left_out;
        let events = about.events.into_iter();
        self.events
            .extend(events.map(|event| (ride.id, ride.head.date, event)));
    }

    /// The middle of the tempo before, in and after; without any attempt nothing.
    #[must_use]
    pub fn medians(&self) -> [Option<f64>; 3] {
        [0, 1, 2].map(|part| {
            let all = self.events.iter();
            let all = all.filter_map(|(_, _, about)| parts(about)[part]);
            median(&all.collect::<Vec<f64>>())
        })
    }
}

fn parts(about: &About) -> [Option<f64>; 3] {
    [Some(about.before), about.within, Some(about.after)]
}

/// A line for each of the newest attempts, and their middle; `None` where no tempo is known.
#[must_use]
pub fn about(found: &TempoAbout, exercise: &str, say: &Say) -> Option<Leading> {
    let from = found.events.len().saturating_sub(DRAWN);
    let drawn = found.events.get(from..)?;
    let values = drawn.iter().flat_map(|(_, _, about)| parts(about));
    let values: Vec<f64> = values.flatten().filter(|value| value.is_finite()).collect();
    let least = values.iter().copied().reduce(f64::min)?;
    let most = values.iter().copied().reduce(f64::max)?;
    let names = [
        say.plain("tempo-before"),
        say.plain("tempo-in"),
        say.plain("tempo-after"),
    ];
    let single = |value: f64| say.decimal(value, 0);
    let mut layers: Vec<Layer> = Vec::new();
    let mut dots = Vec::new();
    let mut goals = Vec::new();
    for (ride, date, about) in drawn {
        let known = parts(about);
        let points = (1..).zip(known);
        let points = points.filter_map(|(at, value)| Some([f64::from(at), value?]));
        let points: Vec<[f64; 2]> = points.collect();
        let said = say.text(
            "tempo-about-said",
            &[
                ("day", say.day(*date).into()),
                ("before", single(about.before).into()),
                (
                    "within",
                    about.within.map_or_else(|| "–".to_owned(), single).into(),
                ),
                ("after", single(about.after).into()),
            ],
        );
        for point in &points {
            dots.push(Dot {
                at: *point,
                radius: 3.5,
                sign: Sign::Circle,
                filled: true,
                said: said.clone(),
            });
            goals.push(Some((*ride, Some(lead_in(about)))));
        }
        // The first has the name of all, the others go with it.
        let name = if layers.is_empty() {
            say.plain("layer-attempts")
        } else {
            String::new()
        };
        layers.push(Layer {
            name,
            ink: Ink::Hairline,
            shape: Shape::Line {
                points,
                width: 1.0,
                dashed: false,
            },
        });
    }
    let mut leads = vec![Vec::new(); layers.len()];
    leads.push(goals);
    layers.push(Layer {
        name: String::new(),
        ink: Ink::Soft,
        shape: Shape::Dots(dots),
    });
    let middle = (1..).zip(found.medians());
    let middle = middle.filter_map(|(at, value)| Some([f64::from(at), value?]));
    layers.push(Layer {
        name: say.plain("layer-middle"),
        ink: Ink::Leather,
        shape: Shape::Line {
            points: middle.collect(),
            width: 2.4,
            dashed: false,
        },
    });
    let title = say.text("tempo-about-title", &[("exercise", exercise.into())]);
    Some(Leading {
        figure: Figure {
            spoken: title.clone(),
            title,
            x: Axis {
                title: String::new(),
                from: 0.6,
                to: 3.4,
                marks: (1..)
                    .zip(&names)
                    .map(|(at, text)| AxisMark {
                        at: f64::from(at),
                        text: text.clone(),
                    })
                    .collect(),
                grid: true,
            },
            y: strides_a_minute(least, most, say),
            to_scale: false,
            layers,
            table: table(found, names, say),
        },
        leads,
        rows: found
            .events
            .iter()
            .rev()
            .map(|(ride, _, about)| Some((*ride, Some(lead_in(about)))))
            .collect(),
    })
}

fn lead_in(about: &About) -> Moment {
    Moment(about.event.from.0.saturating_sub(BEFORE).max(0))
}

/// Whole numbers in steps that a rider counts in, about the values with some room.
fn strides_a_minute(least: f64, most: f64, say: &Say) -> Axis {
    let step = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0];
    let step = step.into_iter().find(|step| (most - least) / step <= 5.0);
    let step = step.unwrap_or(100.0);
    let from = ((least / step).floor() * step).max(0.0);
    let to = ((most / step).ceil() * step).max(from + step);
    let many = ((to - from) / step).round() as u32;
    let marks = (0..=many).map(|at| from + f64::from(at) * step);
    Axis {
        title: say.plain("tempo-axis"),
        from: from - 0.2 * step,
        to: to + 0.2 * step,
        marks: marks
            .map(|at| AxisMark {
                at,
                text: say.decimal(at, 0),
            })
            .collect(),
        grid: true,
    }
}

/// Newest first.
fn table(found: &TempoAbout, [before, within, after]: [String; 3], say: &Say) -> Table {
    let rows = found.events.iter().rev().map(|(_, date, about)| {
        let mut row = vec![say.day(*date)];
        let known = parts(about).into_iter();
        row.extend(
            known.map(|value| value.map_or_else(String::new, |value| say.decimal(value, 1))),
        );
        row
    });
    let rows = rows.collect();
    Table {
        columns: vec![
            Column::words(say.plain("table-day")),
            Column::numbers(before),
            Column::numbers(within),
            Column::numbers(after),
        ],
        rows,
    }
}
