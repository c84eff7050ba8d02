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
/// So far behind the middle of a letter is its count, in metres.
const BEHIND: f64 = 0.8;
/// So far a letter and its count stand outside of the fence, in metres.
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
        word(
            beside(*place, (across, along)),
            Anchor::Middle,
            letter.to_string(),
        )
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
        let [x, y] = beside(place, (across, along));
        // Between A and the fence is no room.
        let (x, anchor) = if x < 0.0 {
            (x - BEHIND, Anchor::End)
        } else {
            (x + BEHIND, Anchor::Start)
        };
        Some(word([x, y], anchor, say.count(*times)))
    });
    layers.push(Layer {
        name: say.plain("layer-letters"),
        ink: Ink::Ink,
        shape: Shape::Words(counts.collect()),
    });
    let (table, rows) = table(places, say);
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
        rows,
        figure: Figure {
            title,
            spoken,
            x: edge(along),
            y: edge(across),
            to_scale: true,
            layers,
            table,
        },
    })
}

fn word(at: [f64; 2], anchor: Anchor, text: String) -> Word {
    Word { at, anchor, text }
}

/// The counts at letters, those of squares, and each click, which leads to its moment. The columns
/// keep them apart: a clicked fault is in all three, one at a letter in the first only.
fn table(places: &Places, say: &Say) -> (Table, Vec<Option<Lead>>) {
    let row = |what: &str, place: String, times: u32, day: String| {
        vec![say.plain(what), place, say.count(times), day]
    };
    let metres = |at: f64| say.decimal(at, 1);
    let letters = places.found.by_letter.iter();
    let letters = letters.map(|(letter, times)| {
        let place = letter.to_string();
        (row("layer-letters", place, *times, String::new()), None)
    });
    let (size, grid) = (places.arena.size(), &places.found.grid);
    let squares = counted(grid, size).map(|([along, across], times)| {
        let span = |[from, to]: [f64; 2]| format!("{from:.0}–{to:.0}");
        let place = say.place(span(along), span(across));
        (row("layer-squares", place, times, String::new()), None)
    });
    let clicks = clicked(places).rev().map(|(fault, place)| {
        let there = say.place(metres(place.y), metres(place.x));
        let row = row("layer-clicks", there, 1, say.day(fault.date));
        (row, Some(lead(fault)))
    });
    let (rows, leads) = letters.chain(squares).chain(clicks).unzip();
    let columns = vec![
        Column::words(say.plain("table-counted")),
        Column::words(say.plain("table-place")),
        Column::numbers(say.plain("table-times")),
        Column::words(say.plain("table-day")),
    ];
    (Table { columns, rows }, leads)
}

/// The faults whose place was clicked, oldest first.
fn clicked(places: &Places) -> impl DoubleEndedIterator<Item = (&PlaceMoment, Place)> {
    let faults = places.faults.iter();
    faults.filter_map(|fault| match fault.spot {
        Spot::Clicked(place) => Some((fault, place)),
        Spot::Letter(_) | Spot::Unplaced => None,
    })
}

fn lead(fault: &PlaceMoment) -> Lead {
    (fault.ride, Some(lead_in(fault.at)))
}

/// The faults whose place was clicked, and where each leads.
fn clicks(places: &Places, say: &Say) -> (Vec<Dot>, Vec<Option<Lead>>) {
    clicked(places)
        .map(|(fault, place)| {
            let dot = Dot {
                at: [place.y, place.x],
                radius: 3.0,
                sign: Sign::Circle,
                filled: true,
                said: say.day(fault.date),
            };
            (dot, Some(lead(fault)))
        })
        .unzip()
}

/// Where a letter is written: outside of the fence; one on the centre line, to its side.
fn beside(place: Place, (across, along): (f64, f64)) -> [f64; 2] {
    let out = |at: f64, long: f64| {
        if at <= 0.0 {
            -BESIDE
        } else if at >= long {
            BESIDE
        } else {
            0.0
        }
    };
    let (up, on) = (out(place.x, across), out(place.y, along));
    let (up, on) = if up == 0.0 && on == 0.0 {
        (BESIDE * 0.8, 0.0)
    } else {
        (up, on)
    };
    [place.y + on, place.x + up]
}

/// The squares with a click: from where to where along and across, and how many.
fn counted(grid: &Grid, (across, along): (f64, f64)) -> impl Iterator<Item = ([[f64; 2]; 2], u32)> {
    let side = |at: usize, long: f64| {
        let from = at as f64 * grid.cell;
        [from, (from + grid.cell).min(long)]
    };
    let places = (0..grid.rows).flat_map(|row| (0..grid.columns).map(move |column| (row, column)));
    places.filter_map(move |(row, column)| {
        let times = grid.count(column, row).filter(|times| *times > 0)?;
        Some(([side(row, along), side(column, across)], times))
    })
}

/// The squares with a click, the fuller the stronger; more than one is written in its square.
fn squares(grid: &Grid, size: (f64, f64), say: &Say) -> Vec<Filled> {
    let most = grid.counts.iter().copied().max().unwrap_or(1);
    let squares = counted(grid, size).map(|([x, y], times)| Filled {
        x,
        y,
        strength: 0.1 + 0.4 * times as f32 / most as f32,
        written: if times > 1 {
            say.count(times)
        } else {
            String::new()
        },
        said: say.text("square-said", &[("times", times.into())]),
    });
    squares.collect()
}
