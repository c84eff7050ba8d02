//! Where in the arena faults happen: by letter and on a grid.
//!
//! Metres from the corner at the end of A, on the side of K: `x` across, `y`
//! along. Letters of the two arenas: 6 m from corner to first letter, then 12 m
//! (60 m arena) or 14 m (40 m arena) apart (FEI Dressage Rules, Art. 429, from
//! published plans).

use std::fmt;

/// The size of the arena.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Arena {
    /// 20 m by 60 m.
    Standard,
    /// 20 m by 40 m.
    Small,
}

impl Arena {
    /// Width and length in metres.
    #[must_use]
    pub fn size(self) -> (f64, f64) {
        match self {
            Self::Standard => (20.0, 60.0),
            Self::Small => (20.0, 40.0),
        }
    }

    /// Its letters with their places, clockwise from A, then along the centre
    /// line.
    #[must_use]
    pub fn letters(self) -> &'static [(Letter, Place)] {
        match self {
            Self::Standard => &STANDARD,
            Self::Small => &SMALL,
        }
    }

    /// Where a letter is; `None` where this arena does not have it.
    #[must_use]
    pub fn place(self, letter: Letter) -> Option<Place> {
        self.letters()
            .iter()
            .find(|(own, _)| *own == letter)
            .map(|(_, place)| *place)
    }

    /// The letter nearest to a place; the first in [`Arena::letters`] of equally
    /// near ones. `None` outside the arena; see [`Arena::holds`].
    ///
    /// ```
    /// use reinback_analysis::place::{Arena, Letter, Place};
    /// let place = Place { x: 1.0, y: 17.0 };
    /// assert_eq!(Arena::Standard.nearest(place), Some(Letter::V));
    /// assert_eq!(Arena::Small.nearest(place), Some(Letter::E));
    /// ```
    #[must_use]
    pub fn nearest(self, place: Place) -> Option<Letter> {
        if !self.holds(place) {
            return None;
        }
        let mut nearest: Option<(Letter, f64)> = None;
        for (letter, own) in self.letters() {
            let distance = own.distance(place);
            if nearest.is_none_or(|(_, best)| distance < best) {
                nearest = Some((*letter, distance));
            }
        }
        nearest.map(|(letter, _)| letter)
    }

    /// Whether a place lies in the arena or not more than a metre outside, as a
    /// click on the rail may.
    #[must_use]
    pub fn holds(self, place: Place) -> bool {
        let (width, length) = self.size();
        let inside = |at: f64, most: f64| (-1.0..=most + 1.0).contains(&at);
        inside(place.x, width) && inside(place.y, length)
    }
}

/// A place in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// From the long side with K.
    pub x: f64,
    /// From the short side with A.
    pub y: f64,
}

impl Place {
    /// Straight distance in metres.
    #[must_use]
    pub fn distance(self, other: Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }

    /// The straight line to another place; `None` where both are one.
    ///
    /// ```
    /// use reinback_analysis::place::{Arena, Letter};
    /// let at = |letter| Arena::Standard.place(letter);
    /// let diagonal = at(Letter::K).zip(at(Letter::M)).and_then(|(k, m)| k.course(m));
    /// assert_eq!(diagonal.map(|line| line.length), Some(52.0)); // the root of 20² + 48²
    /// ```
    #[must_use]
    pub fn course(self, to: Self) -> Option<Course> {
        let (across, along) = ((to.x - self.x).abs(), (to.y - self.y).abs());
        let length = across.hypot(along);
        (length.is_finite() && length > 0.0).then(|| Course {
            length,
            to_long_side: across.atan2(along).to_degrees(),
        })
    }
}

/// A straight line in the arena, from fence to fence: the ridden track is a
/// little shorter. Its angle is the line's, not the horse's to its track.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Course {
    /// In metres; above 0.
    pub length: f64,
    /// Between it and the long sides, in degrees, 0 to 90.
    pub to_long_side: f64,
}

/// The letters of the arena.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the letters speak for themselves")]
pub enum Letter {
    A,
    K,
    V,
    E,
    S,
    H,
    C,
    M,
    R,
    B,
    P,
    F,
    D,
    L,
    X,
    I,
    G,
}

impl Letter {
    /// All of them: clockwise from A, then along the centre line.
    pub const ALL: [Self; 17] = [
        Self::A,
        Self::K,
        Self::V,
        Self::E,
        Self::S,
        Self::H,
        Self::C,
        Self::M,
        Self::R,
        Self::B,
        Self::P,
        Self::F,
        Self::D,
        Self::L,
        Self::X,
        Self::I,
        Self::G,
    ];

    /// The letter from its character, large or small.
    #[must_use]
    pub fn from_char(character: char) -> Option<Self> {
        let character = character.to_ascii_uppercase();
        Self::ALL
            .into_iter()
            .find(|letter| letter.to_string().starts_with(character))
    }
}

impl fmt::Display for Letter {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{self:?}")
    }
}

const fn at(letter: Letter, x: f64, y: f64) -> (Letter, Place) {
    (letter, Place { x, y })
}

const STANDARD: [(Letter, Place); 17] = [
    at(Letter::A, 10.0, 0.0),
    at(Letter::K, 0.0, 6.0),
    at(Letter::V, 0.0, 18.0),
    at(Letter::E, 0.0, 30.0),
    at(Letter::S, 0.0, 42.0),
    at(Letter::H, 0.0, 54.0),
    at(Letter::C, 10.0, 60.0),
    at(Letter::M, 20.0, 54.0),
    at(Letter::R, 20.0, 42.0),
    at(Letter::B, 20.0, 30.0),
    at(Letter::P, 20.0, 18.0),
    at(Letter::F, 20.0, 6.0),
    at(Letter::D, 10.0, 6.0),
    at(Letter::L, 10.0, 18.0),
    at(Letter::X, 10.0, 30.0),
    at(Letter::I, 10.0, 42.0),
    at(Letter::G, 10.0, 54.0),
];

const SMALL: [(Letter, Place); 11] = [
    at(Letter::A, 10.0, 0.0),
    at(Letter::K, 0.0, 6.0),
    at(Letter::E, 0.0, 20.0),
    at(Letter::H, 0.0, 34.0),
    at(Letter::C, 10.0, 40.0),
    at(Letter::M, 20.0, 34.0),
    at(Letter::B, 20.0, 20.0),
    at(Letter::F, 20.0, 6.0),
    at(Letter::D, 10.0, 6.0),
    at(Letter::X, 10.0, 20.0),
    at(Letter::G, 10.0, 34.0),
];

/// Where a mark was made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spot {
    /// At a letter.
    Letter(Letter),
    /// Clicked on the plan.
    Clicked(Place),
    /// Nobody said.
    Unplaced,
}

/// A grid of square cells over the arena.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// Side of a cell in metres; the last column and row may be narrower.
    pub cell: f64,
    /// Cells across.
    pub columns: usize,
    /// Cells along.
    pub rows: usize,
    /// Row by row from the A end, each from the K side.
    pub counts: Vec<u32>,
}

impl Grid {
    /// The count of a cell; `None` outside.
    #[must_use]
    pub fn count(&self, column: usize, row: usize) -> Option<u32> {
        if column >= self.columns {
            return None;
        }
        self.counts.get(row * self.columns + column).copied()
    }
}

/// Counts by place.
#[derive(Debug, Clone, PartialEq)]
pub struct Places {
    /// Named letters and the letters nearest to clicks, most frequent first,
    /// ties clockwise from A.
    pub by_letter: Vec<(Letter, u32)>,
    /// Clicks only: a letter is too rough for a cell.
    pub grid: Grid,
    /// Without a place.
    pub unplaced: u32,
    /// Clicked outside the arena, not a number, or at a letter it does not have.
    pub outside: u32,
}

/// Why there is no count by place. Its text is a sentence for the rider.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, thiserror::Error)]
pub enum PlaceProblem {
    /// A cell below half a metre or above 20 m.
    #[error("A cell of the plan must measure between 0.5 and 20 metres. Choose another size.")]
    Cell,
}

/// Counts marks by place.
///
/// Every mark is counted once: at a letter, outside, or unplaced. These are
/// counts, not rates: how often the horse passed a place is not known, and the
/// corners are passed more often than X.
///
/// # Errors
///
/// [`PlaceProblem::Cell`] for an impossible cell.
///
/// ```
/// use reinback_analysis::place::{Arena, Letter, Place, Spot, places};
/// let marks = [Spot::Letter(Letter::B), Spot::Clicked(Place { x: 19.0, y: 28.0 }), Spot::Unplaced];
/// let found = places(&marks, Arena::Standard, 5.0)?;
/// assert_eq!(found.by_letter, vec![(Letter::B, 2)]);
/// assert_eq!(found.grid.count(3, 5), Some(1));
/// assert_eq!(found.unplaced, 1);
/// # Ok::<(), reinback_analysis::place::PlaceProblem>(())
/// ```
pub fn places(marks: &[Spot], arena: Arena, cell: f64) -> Result<Places, PlaceProblem> {
    if !(0.5..=20.0).contains(&cell) {
        return Err(PlaceProblem::Cell);
    }
    let (width, length) = arena.size();
    let (columns, rows) = (cells(width, cell), cells(length, cell));
    let mut found = Places {
        by_letter: Vec::new(),
        grid: Grid {
            cell,
            columns,
            rows,
            counts: vec![0; columns * rows],
        },
        unplaced: 0,
        outside: 0,
    };
    let mut letters = std::collections::BTreeMap::new();
    for mark in marks {
        let letter = match mark {
            Spot::Unplaced => {
                found.unplaced += 1;
                continue;
            }
            Spot::Letter(letter) => arena.place(*letter).map(|_| *letter),
            Spot::Clicked(place) => arena.nearest(*place),
        };
        let Some(letter) = letter else {
            found.outside += 1;
            continue;
        };
        *letters.entry(letter).or_insert(0_u32) += 1;
        if let Spot::Clicked(place) = mark {
            let column = index(place.x, cell, columns);
            let row = index(place.y, cell, rows);
            found.grid.counts[row * columns + column] += 1;
        }
    }
    found.by_letter = letters.into_iter().collect();
    found
        .by_letter
        .sort_by_key(|(letter, times)| (std::cmp::Reverse(*times), *letter));
    Ok(found)
}

/// Cells needed to cover a side.
fn cells(side: f64, cell: f64) -> usize {
    let mut cells = 1;
    while crate::special::real(cells) * cell < side - 1e-9 {
        cells += 1;
    }
    cells
}

/// The cell of a coordinate; outside, the nearest.
fn index(at: f64, cell: f64, cells: usize) -> usize {
    (1..cells)
        .take_while(|next| crate::special::real(*next) * cell <= at)
        .count()
}
