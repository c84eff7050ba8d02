//! The plan of the arena: what lies where, and what a click on it says. Pure; `panel` paints.

pub(super) mod panel;

use egui::{Pos2, Rect, pos2, vec2};
use reinback_analysis::place::{Arena, Course, Letter, Place, Spot, places};
use reinback_yard::{
    ArenaPlace, Bout, BoutId, Edit, Mark, MarkId, MarkKind, ReviewId, Ride, RideHead,
};

use crate::action::Chosen;

/// What the plan remembers.
#[derive(Debug, Default)]
pub struct Plan {
    /// The letter a bout was clicked to begin at, until the one it ends at is clicked.
    from: Option<(BoutId, Letter)>,
    /// Metres being dragged or typed for a mark.
    typed: Option<(MarkId, [Option<f64>; 2])>,
}

/// The arena of a ride; one of which nobody has said how large it is counts as 20 by 60 metres.
fn arena_of(ride: &Ride) -> Arena {
    ride.head.arena.unwrap_or(Arena::Standard)
}

/// The plan on the screen: A below, C above, so that K lies at the left.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Layout {
    /// The fence.
    fence: Rect,
    arena: Arena,
    /// Points of the screen for a metre.
    scale: f32,
}

/// Metres around the fence, for letters and for places on the rail.
const AROUND: f32 = 3.0;

impl Layout {
    /// As large as the room allows, in its middle.
    fn new(room: Rect, arena: Arena) -> Self {
        let (width, length) = arena.size();
        let (width, length) = (width as f32, length as f32);
        let scale = (room.width() / (width + 2.0 * AROUND))
            .min(room.height() / (length + 2.0 * AROUND))
            .max(0.1);
        let fence = Rect::from_center_size(room.center(), vec2(width, length) * scale);
        Self {
            fence,
            arena,
            scale,
        }
    }

    fn screen(&self, place: Place) -> Pos2 {
        pos2(
            self.fence.left() + place.x as f32 * self.scale,
            self.fence.bottom() - place.y as f32 * self.scale,
        )
    }

    fn place(&self, at: Pos2) -> Place {
        let metres = |points: f32| f64::from(points) / f64::from(self.scale);
        Place {
            x: metres(at.x - self.fence.left()),
            y: metres(self.fence.bottom() - at.y),
        }
    }
}

/// A bout from letter to letter.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Ridden {
    bout: BoutId,
    from: (Letter, Place),
    to: (Letter, Place),
    /// `None` for one that ends where it began, as a circle.
    course: Option<Course>,
}

/// What lies where.
#[derive(Clone, Debug, Default, PartialEq)]
struct Shown {
    /// Marks with a place of their own.
    marks: Vec<(MarkId, Place)>,
    /// Bouts between two letters of this arena.
    bouts: Vec<Ridden>,
    /// Faults by the letter they lie nearest to, most first.
    faults: Vec<(Letter, u32)>,
    /// Faults without a place. That their bout has letters places none of them.
    unplaced: u32,
    /// Faults that lie outside this arena.
    outside: u32,
    /// Letters of bouts that this arena does not have.
    strange: Vec<char>,
}

impl Shown {
    fn of(ride: &Ride, review: ReviewId) -> Self {
        let arena = arena_of(ride);
        let own = || ride.marks.iter().filter(|mark| mark.review == review);
        let mut shown = Self {
            marks: own()
                .filter_map(|mark| Some((mark.id, mark.place?.place())))
                .collect(),
            ..Self::default()
        };
        for bout in ride.bouts.iter().filter(|bout| bout.review == review) {
            let ends = [bout.letters.0, bout.letters.1];
            for letter in ends.into_iter().flatten() {
                if find(arena, letter).is_none() && !shown.strange.contains(&letter) {
                    shown.strange.push(letter);
                }
            }
            let [from, to] = ends.map(|letter| find(arena, letter?));
            if let (Some(from), Some(to)) = (from, to) {
                shown.bouts.push(Ridden {
                    bout: bout.id,
                    from,
                    to,
                    course: from.1.course(to.1),
                });
            }
        }
        let spots: Vec<Spot> = own()
            .filter(|mark| matches!(mark.kind, MarkKind::Fault(_)))
            .map(|mark| {
                let place = mark.place.map(ArenaPlace::place);
                place.map_or(Spot::Unplaced, Spot::Clicked)
            })
            .collect();
        if let Ok(counted) = places(&spots, arena, CELL) {
            shown.faults = counted.by_letter;
            shown.unplaced = counted.unplaced;
            shown.outside = counted.outside;
        }
        shown
    }

    /// The mark or bout next to a place, of those not further than `within` metres.
    fn near(&self, place: Place, within: f64) -> Option<Chosen> {
        let marks = self
            .marks
            .iter()
            .map(|(id, own)| (Chosen::Mark(*id), own.distance(place)));
        let bouts = self
            .bouts
            .iter()
            .map(|own| (Chosen::Bout(own.bout), from_line(own, place)));
        // A mark lies over the line of its bout.
        let nearest = |found: &mut dyn Iterator<Item = (Chosen, f64)>| {
            found
                .filter(|(_, far)| *far <= within)
                .min_by(|one, other| one.1.total_cmp(&other.1))
                .map(|(chosen, _)| chosen)
        };
        nearest(&mut marks.into_iter()).or_else(|| nearest(&mut bouts.into_iter()))
    }
}

/// The side of a cell in metres; only counts by letter are shown.
const CELL: f64 = 5.0;

/// A letter of this arena and its place.
fn find(arena: Arena, letter: char) -> Option<(Letter, Place)> {
    let letter = Letter::from_char(letter)?;
    Some((letter, arena.place(letter)?))
}

/// How far a place lies from the line of a bout, in metres.
fn from_line(own: &Ridden, place: Place) -> f64 {
    let (from, to) = (own.from.1, own.to.1);
    let (x, y) = (to.x - from.x, to.y - from.y);
    let length = x * x + y * y;
    let along = (place.x - from.x) * x + (place.y - from.y) * y;
    let along = if length > 0.0 {
        (along / length).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let on_line = Place {
        x: from.x + along * x,
        y: from.y + along * y,
    };
    on_line.distance(place)
}

/// A step that the plan asks for: its name, and the change.
type Step = (&'static str, Edit);

/// What a click asks for.
#[derive(Clone, Debug, PartialEq)]
enum Clicked {
    Change(&'static str, Edit),
    Choose(Chosen),
    Nothing,
}

impl Plan {
    /// The letter a bout was clicked to begin at.
    fn begun(&self, chosen: Option<Chosen>) -> Option<Letter> {
        let (bout, letter) = self.from?;
        (chosen == Some(Chosen::Bout(bout))).then_some(letter)
    }

    /// Takes a click. With a mark chosen it says where that was; with a bout chosen the first
    /// click says from which letter and the second to which; else it chooses what lies there.
    fn click(
        &mut self,
        (ride, review): (&Ride, ReviewId),
        chosen: Option<Chosen>,
        place: Place,
        within: f64,
    ) -> Clicked {
        let arena = arena_of(ride);
        let step = match chosen {
            Some(Chosen::Mark(id)) => set_place((ride, review), id, Some(place)),
            Some(Chosen::Bout(id)) => {
                let (Some(bout), Some(letter)) = (own_bout(ride, review, id), arena.nearest(place))
                else {
                    return Clicked::Nothing;
                };
                match self.begun(chosen) {
                    None => {
                        self.from = Some((id, letter));
                        return Clicked::Nothing;
                    }
                    Some(from) => {
                        self.from = None;
                        set_letters(ride, bout, (Some(from), Some(letter)))
                    }
                }
            }
            _ => {
                let near = Shown::of(ride, review).near(place, within);
                return near.map_or(Clicked::Nothing, Clicked::Choose);
            }
        };
        step.map_or(Clicked::Nothing, |(label, edit)| {
            Clicked::Change(label, edit)
        })
    }
}

fn own_bout(ride: &Ride, review: ReviewId, id: BoutId) -> Option<&Bout> {
    let mut bouts = ride.bouts.iter();
    bouts.find(|bout| bout.id == id && bout.review == review)
}

fn own_mark(ride: &Ride, review: ReviewId, id: MarkId) -> Option<&Mark> {
    let mut marks = ride.marks.iter();
    marks.find(|mark| mark.id == id && mark.review == review)
}

/// Says where a mark was, or that nobody knows; `None` outside the arena, or where nothing changes.
fn set_place((ride, review): (&Ride, ReviewId), id: MarkId, place: Option<Place>) -> Option<Step> {
    let mark = own_mark(ride, review, id)?;
    let inside = place.is_none_or(|place| arena_of(ride).holds(place));
    let place = place.map(ArenaPlace::from_metres);
    if !inside || place == mark.place {
        return None;
    }
    let label = if place.is_some() {
        "say where it was"
    } else {
        "take the place away"
    };
    let placed = Mark {
        place,
        ..mark.clone()
    };
    Some((label, Edit::Mark(ride.id, id, Some(placed))))
}

/// Says from which letter to which a bout went; `None` where nothing changes.
fn set_letters(ride: &Ride, bout: &Bout, ends: (Option<Letter>, Option<Letter>)) -> Option<Step> {
    let letter = |letter: Option<Letter>| letter.and_then(|own| own.to_string().chars().next());
    let letters = (letter(ends.0), letter(ends.1));
    if letters == bout.letters {
        return None;
    }
    let placed = Bout {
        letters,
        ..bout.clone()
    };
    let edit = Edit::Bout(ride.id, bout.id, Some(placed));
    Some(("say from letter to letter", edit))
}

/// Says how large the arena was; `None` where that is known.
fn set_arena(ride: &Ride, arena: Arena) -> Option<Step> {
    let known = ride.head.arena == Some(arena);
    let head = RideHead {
        arena: Some(arena),
        ..ride.head.clone()
    };
    let edit = Edit::RideHead(ride.id, Box::new(head));
    (!known).then_some(("say which arena", edit))
}

/// What the letter typed last stands for in this arena.
fn typed_letter(arena: Arena, text: &str) -> Option<Letter> {
    let last = text.chars().next_back()?;
    find(arena, last).map(|(letter, _)| letter)
}

#[cfg(test)]
mod tests;
