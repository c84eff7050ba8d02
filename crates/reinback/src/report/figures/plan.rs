//! Faults on the plan of the arena: how many in each square, at each letter, and each click.

use reinback_analysis::place::{self, Grid, Letter, Place, Spot};
use reinback_yard::WordId;

use super::Leading;
use crate::figure::{
    Anchor, Axis, Column, Dot, Figure, Filled, Ink, Layer, Shape, Sign, Table, Word,
};
use crate::report::moments::lead_in;
use crate::report::whole::drawn::Lead;
use crate::report::whole::{PlaceMoment, Places};
use crate::said::Say;

/// Room around the fence for the letters, in metres.
const AROUND: f64 = 5.0;
/// So far a letter stands outside of the fence, and its count inside, in metres.
const BESIDE: f64 = 2.6;

/// The faults of one exercise alone; `None` where none of them has a place.
#[must_use]
pub fn of_exercise(places: &Places, exercise: &WordId) -> Option<Places> {
    let own = places.faults.iter();
    let own = own.filter(|fault| fault.exercise.as_ref() == Some(exercise));
    let faults: Vec<PlaceMoment> = own.cloned().collect();
    let spots: Vec<Spot> = faults.iter().map(|fault| fault.spot).collect();
    let cell = places.found.grid.cell;
    let found = place::places(&spots, places.arena, cell).ok()?;
    (!faults.is_empty()).then_some(Places {
        found,
        faults,
        given: places.given,
        arena: places.arena,
        rides: places.rides,
    })
}

/// The arena lying on its side, A at the left and K below; `None` without a fault that has a place.
#[must_use]
pub fn plan(places: &Places, title: String, say: &Say) -> Option<Leading> {
    if places.found.by_letter.is_empty() {
        return None;
    }
    let (across, along) = places.arena.size();
    let fence = vec![
        [0.0, 0.0],
        [along, 0.0],
        [along, across],
        [0.0, across],
        [0.0, 0.0],
    ];
    let line = |points, ink, width| Layer {
        name: String::new(),
        ink,
        shape: Shape::Line {
            points,
            width,
            dashed: false,
        },
    };
    let middle = vec![[0.0, across / 2.0], [along, across / 2.0]];
    let letters = places.arena.letters().iter().map(|(letter, place)| {
        let [x, y] = beside(*place, (across, along), BESIDE);
        word([x, y], letter.to_string())
    });
    let mut layers = vec![
        line(middle, Ink::Hairline, 1.0),
        line(fence, Ink::Soft, 1.2),
        Layer {
            name: String::new(),
            ink: Ink::Soft,
            shape: Shape::Words(letters.collect()),
        },
    ];
    let squares = squares(&places.found.grid, (across, along), say);
    if !squares.is_empty() {
        layers.push(Layer {
            name: say.plain("layer-squares"),
            ink: Ink::Fault,
            shape: Shape::Boxes(squares),
        });
    }
    let (dots, goals) = clicks(places, say);
    let mut leads = vec![Vec::new(); layers.len()];
    if !dots.is_empty() {
        leads.push(goals);
        layers.push(Layer {
            name: say.plain("layer-clicks"),
            ink: Ink::Fault,
            shape: Shape::Dots(dots),
        });
    }
    let counts = places.found.by_letter.iter().filter_map(|(letter, times)| {
        let place = places.arena.place(*letter)?;
        let [x, y] = beside(place, (across, along), -BESIDE);
        Some(word([x, y], say.count(*times)))
    });
    layers.push(Layer {
        name: say.plain("layer-letters"),
        ink: Ink::Ink,
        shape: Shape::Words(counts.collect()),
    });
    let rows = places.found.by_letter.iter();
    let rows = rows.map(|(letter, times)| vec![letter.to_string(), say.count(*times)]);
    let rows: Vec<Vec<String>> = rows.collect();
    let at = |(letter, times): &(Letter, u32)| say.at_letter(*letter, *times);
    let said: Vec<String> = places.found.by_letter.iter().map(at).collect();
    let spoken = format!("{title}. {}", said.join(", "));
    let edge = |long: f64| Axis {
        from: -AROUND,
        to: long + AROUND,
        ..Axis::default()
    };
    Some(Leading {
        leads,
        rows: vec![None; rows.len()],
        figure: Figure {
            title,
            spoken,
            x: edge(along),
            y: edge(across),
            to_scale: true,
            layers,
            table: Table {
                columns: vec![
                    Column::words(say.plain("table-letter")),
                    Column::numbers(say.plain("table-times")),
                ],
                rows,
            },
        },
    })
}

fn word(at: [f64; 2], text: String) -> Word {
    Word {
        at,
        anchor: Anchor::Middle,
        text,
    }
}

/// The faults whose place was clicked, and where each leads.
fn clicks(places: &Places, say: &Say) -> (Vec<Dot>, Vec<Option<Lead>>) {
    let clicked = places.faults.iter().filter_map(|fault| match fault.spot {
        Spot::Clicked(place) => Some((fault, place)),
        Spot::Letter(_) | Spot::Unplaced => None,
    });
    clicked
        .map(|(fault, place)| {
            let dot = Dot {
                at: [place.y, place.x],
                radius: 3.0,
                sign: Sign::Circle,
                filled: true,
                said: say.day(fault.date),
            };
            (dot, Some((fault.ride, Some(lead_in(fault.at)))))
        })
        .unzip()
}

/// A place so far outside of the fence from a letter, or, below nought, inside; of one on the centre
/// line, to its side.
fn beside(place: Place, (across, along): (f64, f64), far: f64) -> [f64; 2] {
    let out = |at: f64, long: f64| {
        if at <= 0.0 {
            -far
        } else if at >= long {
            far
        } else {
            0.0
        }
    };
    let (up, on) = (out(place.x, across), out(place.y, along));
    let (up, on) = if up == 0.0 && on == 0.0 {
        (far * 0.8, 0.0)
    } else {
        (up, on)
    };
    [place.y + on, place.x + up]
}

/// The squares with a click, the fuller the stronger.
fn squares(grid: &Grid, (across, along): (f64, f64), say: &Say) -> Vec<Filled> {
    let most = grid.counts.iter().copied().max().unwrap_or(0);
    let mut squares = Vec::new();
    for row in 0..grid.rows {
        for column in 0..grid.columns {
            let times = grid.count(column, row).unwrap_or(0);
            if times == 0 {
                continue;
            }
            let side = |at: usize, long: f64| {
                let from = at as f64 * grid.cell;
                [from, (from + grid.cell).min(long)]
            };
            squares.push(Filled {
                x: side(row, along),
                y: side(column, across),
                strength: 0.12 + 0.5 * times as f32 / most as f32,
                said: say.text("square-said", &[("times", times.into())]),
            });
        }
    }
    squares
}
