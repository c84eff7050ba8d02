//! The arena's geometry and counts by place.
//!
//! Lengths of lines and their angles to the long side: worked by hand from the
//! published letter distances (6, 12 and 14 m).

use proptest::prelude::*;
use reinback_analysis::place::{Arena, Letter, Place, PlaceProblem, Spot, places};

#[expect(clippy::expect_used, reason = "shared by the tests")]
fn at(arena: Arena, letter: char) -> Place {
    let letter = Letter::from_char(letter).expect("a letter");
    arena.place(letter).expect("in this arena")
}

#[test]
fn lines_have_their_lengths_and_angles() {
    for (arena, line, length, angle) in [
        (Arena::Standard, "KM", 52.0, 22.6),
        (Arena::Standard, "FH", 52.0, 22.6),
        (Arena::Standard, "KX", 26.0, 22.6),
        (Arena::Standard, "FX", 26.0, 22.6),
        (Arena::Standard, "XM", 26.0, 22.6),
        (Arena::Standard, "XH", 26.0, 22.6),
        (Arena::Standard, "KB", 31.2, 39.8),
        (Arena::Standard, "BH", 31.2, 39.8),
        (Arena::Standard, "PS", 31.2, 39.8),
        (Arena::Standard, "KR", 41.2, 29.1),
        (Arena::Standard, "HP", 41.2, 29.1),
        (Arena::Standard, "FS", 41.2, 29.1),
        (Arena::Standard, "DM", 49.0, 11.8),
        (Arena::Standard, "EB", 20.0, 90.0),
        (Arena::Standard, "VR", 31.2, 39.8),
        (Arena::Standard, "MV", 41.2, 29.1),
        (Arena::Standard, "DH", 49.0, 11.8),
        (Arena::Small, "KM", 34.4, 35.5),
        (Arena::Small, "KB", 24.4, 55.0),
        (Arena::Standard, "DG", 48.0, 0.0),
    ] {
        let mut ends = line.chars().map(|letter| at(arena, letter));
        let (from, to) = (ends.next().expect("two"), ends.next().expect("two"));
        let found = from.course(to).expect("two places");
        assert!((found.length - length).abs() < 0.06, "{line} {found:?}");
        assert!(
            (found.to_long_side - angle).abs() < 0.06,
            "{line} {found:?}"
        );
        assert_eq!(to.course(from), Some(found), "{line} back");
    }
}

#[test]
fn letters_stand_twelve_or_fourteen_metres_apart() {
    for (arena, side, step) in [
        (Arena::Standard, "KVESH", 12.0),
        (Arena::Small, "KEH", 14.0),
    ] {
        let places: Vec<Place> = side.chars().map(|letter| at(arena, letter)).collect();
        assert!(
            places
                .windows(2)
                .all(|pair| (pair[0].distance(pair[1]) - step).abs() < 1e-12)
        );
    }
    assert_eq!(Arena::Small.place(Letter::V), None);
    assert_eq!(Letter::from_char('x'), Some(Letter::X));
    assert_eq!(Letter::from_char('Q'), None);
    let here = at(Arena::Standard, 'X');
    assert_eq!(here.course(here), None, "no line to where it is");
    for letter in Letter::ALL {
        assert_eq!(
            letter
                .to_string()
                .chars()
                .next()
                .and_then(Letter::from_char),
            Some(letter)
        );
    }
}

/// Half-way between two letters the first counts, clockwise from A: K before V, D before L.
#[test]
fn equally_near_letters_go_to_the_first() {
    for (x, y, letter) in [
        (0.0, 12.0, Letter::K),
        (0.0, 24.0, Letter::V),
        (20.0, 48.0, Letter::M),
    ] {
        assert_eq!(
            Arena::Standard.nearest(Place { x, y }),
            Some(letter),
            "{x} {y}"
        );
    }
    assert_eq!(
        Arena::Small.nearest(Place { x: 0.0, y: 13.0 }),
        Some(Letter::K)
    );
}

#[test]
fn clicks_off_the_plan_are_told_apart() {
    let click = |x, y| Spot::Clicked(Place { x, y });
    let marks = [
        click(-0.9, 30.0),
        click(-1.1, 30.0),
        click(10.0, 61.0),
        click(f64::NAN, 3.0),
        click(10.0, f64::INFINITY),
        Spot::Letter(Letter::S),
        Spot::Unplaced,
    ];
    let found = places(&marks, Arena::Standard, 5.0).expect("a cell");
    assert_eq!((found.outside, found.unplaced), (3, 1));
    assert_eq!(
        found.by_letter,
        [(Letter::E, 1), (Letter::S, 1), (Letter::C, 1)]
    );
    assert_eq!(
        found.grid.count(0, 6),
        Some(1),
        "just outside counts at the rail"
    );
    assert_eq!(found.grid.count(2, 11), Some(1));
    assert_eq!(
        (found.grid.count(4, 0), found.grid.count(0, 12)),
        (None, None)
    );
    let small = places(&marks[5..], Arena::Small, 5.0).expect("a cell");
    assert_eq!(small.outside, 1, "no S in the small arena");
    for cell in [0.4, 20.1, f64::NAN, -5.0] {
        assert_eq!(
            places(&marks, Arena::Standard, cell),
            Err(PlaceProblem::Cell)
        );
    }
}

proptest! {
    #[test]
    fn every_mark_is_counted_once_and_at_the_nearest_letter(
        clicks in proptest::collection::vec((-3.0..23.0_f64, -3.0..63.0_f64), 0..40),
        cell in 0.5..20.0_f64,
        small in any::<bool>(),
    ) {
        let arena = if small { Arena::Small } else { Arena::Standard };
        let marks: Vec<Spot> = clicks.iter().map(|(x, y)| Spot::Clicked(Place { x: *x, y: *y })).collect();
        let found = places(&marks, arena, cell).expect("a cell");
        let counted: u32 = found.by_letter.iter().map(|(_, times)| times).sum();
        prop_assert_eq!((counted + found.outside) as usize, marks.len());
        prop_assert_eq!(found.grid.counts.iter().sum::<u32>(), counted);
        prop_assert_eq!(found.grid.counts.len(), found.grid.columns * found.grid.rows);
        for (x, y) in clicks {
            let place = Place { x, y };
            if let Some(nearest) = arena.nearest(place) {
                let own = arena.place(nearest).expect("its own letter").distance(place);
                prop_assert!(arena.letters().iter().all(|(_, other)| other.distance(place) >= own));
            }
        }
    }
}
