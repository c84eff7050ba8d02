//! Tempo pace by pace: rides as dots, and the median of each month.

use reinback_analysis::describe::median;
use reinback_yard::WordId;

use super::{Layers, Lead, Leading, axes, month, number};
use crate::figure::{Column, Dot, Figure, Ink, Layer, Shape, Sign, Table};
use crate::report::moments::lead_in;
use crate::report::whole::{PaceOver, PacePoint, Whole};
use crate::said::Say;

/// One for each pace, so that they are told apart without colour.
const SIGNS: [Sign; 7] = [
    Sign::Square,
    Sign::Circle,
    Sign::Diamond,
    Sign::Up,
    Sign::Down,
    Sign::Cross,
    Sign::Plus,
];

/// The rides of one month in one pace.
struct Month<'a> {
    rides: &'a [PacePoint],
    median: f64,
}

impl<'a> Month<'a> {
    fn all(over: &'a PaceOver) -> Vec<Self> {
        over.points
            .chunk_by(|one, next| month(one.date) == month(next.date))
            .filter_map(|rides| {
                let medians: Vec<f64> = rides.iter().map(|point| point.median).collect();
                Some(Self {
                    rides,
                    median: median(&medians)?,
                })
            })
            .collect()
    }

    /// In the middle of its rides, which lie in the figure as no day of the month must.
    fn x(&self) -> f64 {
        let ends = [self.rides.first(), self.rides.last()];
        let [first, last] = ends.map(|ride| ride.map_or(0.0, |ride| number(ride.date)));
        f64::midpoint(first, last)
    }

    /// The same as one point, which has its words.
    fn point(&self, over: &PaceOver) -> Option<PacePoint> {
        let first = self.rides.first().or(over.points.first())?;
        Some(PacePoint {
            rides: self.rides.len() as u32,
            median: self.median,
            strides: self.rides.iter().map(|ride| ride.strides).sum(),
            straight: self.rides.iter().all(|ride| ride.straight),
            lapse: None,
            ..*first
        })
    }
}

pub(super) fn drawn(whole: &Whole, say: &Say) -> Option<Leading> {
    let points = || whole.tempos.iter().flat_map(|over| over.points.iter());
    let dates = || points().map(|point| point.date);
    let (first, last) = (dates().min()?, dates().max()?);
    let low = points().map(|point| point.median).reduce(f64::min)?;
    let high = points().map(|point| point.median).reduce(f64::max)?;
    let mut layers = Layers::default();
    for over in &whole.tempos {
        rides(&mut layers, over, say);
        months(&mut layers, over, say);
    }
    let (table, rows) = table(whole, say);
    Some(Leading {
        figure: Figure {
            title: say.plain("tempo-figure"),
            spoken: say.plain("tempo-figure-spoken"),
            x: axes::days(first, last, say),
            y: axes::amounts(say.plain("tempo-axis"), low - 1.0, high + 1.0, say),
            to_scale: false,
            layers: layers.layers,
            table,
        },
        leads: layers.leads,
        rows,
    })
}

fn lead(point: &PacePoint) -> Lead {
    (point.ride, point.lapse.map(lead_in))
}

fn named(over: &PaceOver, say: &Say) -> String {
    let variant = over.variant.as_ref().map(WordId::spelled);
    say.going(over.pace, variant.as_deref())
}

fn rides(layers: &mut Layers, over: &PaceOver, say: &Say) {
    let place = over.pace as usize;
    let dots = over.points.iter().map(|point| Dot {
        at: [number(point.date), point.median],
        radius: 4.0,
        sign: SIGNS[place % SIGNS.len()],
        filled: point.straight,
        said: say.tempo_point(over, point),
    });
    let layer = Layer {
        name: named(over, say),
        ink: Ink::Pace(place),
        shape: Shape::Dots(dots.collect()),
    };
    layers.add(
        layer,
        over.points.iter().map(|point| Some(lead(point))).collect(),
    );
}

/// The medians of the months as a line, with a larger sign at each; nothing where all rides are of
/// one month.
fn months(layers: &mut Layers, over: &PaceOver, say: &Say) {
    let months = Month::all(over);
    if months.len() < 2 {
        return;
    }
    let place = over.pace as usize;
    let line = Layer {
        name: String::new(),
        ink: Ink::Pace(place),
        shape: Shape::Line {
            points: months
                .iter()
                .map(|month| [month.x(), month.median])
                .collect(),
            width: 1.5,
            dashed: false,
        },
    };
    layers.add(line, Vec::new());
    let there = months.iter().filter_map(|month| {
        let point = month.point(over)?;
        Some(Dot {
            at: [month.x(), month.median],
            radius: 6.5,
            sign: SIGNS[place % SIGNS.len()],
            filled: false,
            said: say.tempo_month(over, &point),
        })
    });
    let dots: Vec<Dot> = there.collect();
    let leads = vec![None; dots.len()];
    let medians = Layer {
        name: String::new(),
        ink: Ink::Pace(place),
        shape: Shape::Dots(dots),
    };
    layers.add(medians, leads);
}

/// Pace by pace: each month, the newest at the top, and under it its rides.
fn table(whole: &Whole, say: &Say) -> (Table, Vec<Option<Lead>>) {
    let (mut rows, mut leads) = (Vec::new(), Vec::new());
    for over in &whole.tempos {
        let row = |when: String, point: &PacePoint| {
            vec![
                named(over, say),
                when,
                say.decimal(point.median, 1),
                say.count(point.rides),
                say.decimal(point.strides, 0),
            ]
        };
        for month in Month::all(over).iter().rev() {
            if let Some(point) = month.point(over) {
                rows.push(row(say.month_of_year(point.date), &point));
                leads.push(None);
            }
            for point in month.rides.iter().rev() {
                rows.push(row(say.day(point.date), point));
                leads.push(Some(lead(point)));
            }
        }
    }
    let columns = vec![
        Column::words(say.plain("tempo-column-pace")),
        Column::words(say.plain("tempo-column-when")),
        Column::numbers(say.plain("tempo-axis")),
        Column::numbers(say.plain("load-column-rides")),
        Column::numbers(say.plain("tempo-column-strides")),
    ];
    (Table { columns, rows }, leads)
}
