//! What lies where, and what clicks say.

use chrono::NaiveDate;
use egui::vec2;
use proptest::prelude::*;
use reinback_yard::{HorseId, IdMaker, Moment, Review, RideId, WordId};

use super::*;

fn ride() -> (Ride, ReviewId, IdMaker) {
    let mut ids = IdMaker::seeded(5);
    let (horse, ride, review): (HorseId, RideId, ReviewId) = (ids.next(), ids.next(), ids.next());
    let date = NaiveDate::from_ymd_opt(2026, 11, 20).unwrap();
    let own = Review {
        id: review,
        reviewer: String::new(),
        blind: false,
    };
    (Ride::new(ride, horse, date, own), review, ids)
}

fn bout(ids: &mut IdMaker, review: ReviewId, letters: (Option<char>, Option<char>)) -> Bout {
    Bout {
        id: ids.next(),
        review,
        exercise: WordId::new("half-pass").unwrap(),
        from: Moment(0),
        to: Some(Moment(9)),
        rein: None,
        variant: None,
        asked: reinback_yard::Asked::default(),
        score: None,
        letters,
        reviewed: true,
        note: String::new(),
    }
}

fn fault(ids: &mut IdMaker, review: ReviewId, bout: Option<BoutId>, at: Option<Place>) -> Mark {
    Mark {
        id: ids.next(),
        review,
        at: Moment(1),
        kind: MarkKind::Fault(WordId::new("tilted").unwrap()),
        bout,
        note: String::new(),
        origin: None,
        press: None,
        place: at.map(ArenaPlace::from_metres),
    }
}

fn at(x: f64, y: f64) -> Place {
    Place { x, y }
}

#[test]
fn a_below_c_above_k_at_the_left() {
    let area = Rect::from_min_size(pos2(10.0, 20.0), vec2(300.0, 660.0));
    let layout = Layout::new(area, Arena::Standard);
    // 26 by 66 metres with what lies around: ten points a metre, and 20 to spare at each side.
    assert!((layout.scale - 10.0).abs() < 1e-4);
    let of = |letter| layout.screen(Arena::Standard.place(letter).unwrap());
    assert!((of(Letter::A) - pos2(160.0, 650.0)).length() < 1e-3);
    assert!((of(Letter::C) - pos2(160.0, 50.0)).length() < 1e-3);
    assert!((of(Letter::K) - pos2(60.0, 590.0)).length() < 1e-3);
    assert!((of(Letter::M) - pos2(260.0, 110.0)).length() < 1e-3);
}

proptest! {
    #[test]
    fn from_metres_to_the_screen_and_back(
        wide in 40.0..900.0_f32, high in 40.0..900.0_f32,
        x in -1.0..21.0_f64, y in -1.0..41.0_f64,
        small: bool,
    ) {
        let arena = if small { Arena::Small } else { Arena::Standard };
        let area = Rect::from_min_size(pos2(7.0, 9.0), vec2(wide, high));
        let layout = Layout::new(area, arena);
        prop_assert!(area.expand(0.01).contains_rect(layout.fence));
        let back = layout.place(layout.screen(at(x, y)));
        prop_assert!(back.distance(at(x, y)) < 0.01, "{back:?}");
    }
}

#[test]
fn nothing_is_given_a_place_that_nobody_said() {
    let (mut ride, review, mut ids) = ride();
    let diagonal = bout(&mut ids, review, (Some('K'), Some('M')));
    let circle = bout(&mut ids, review, (Some('A'), Some('A')));
    let open = bout(&mut ids, review, (Some('B'), None));
    let in_bout = fault(&mut ids, review, Some(diagonal.id), None);
    let placed = fault(&mut ids, review, Some(diagonal.id), Some(at(19.0, 31.0)));
    let loose = fault(&mut ids, review, None, Some(at(19.5, 28.0)));
    let far = fault(&mut ids, review, None, Some(at(3.0, 55.0)));
    let foreign = fault(&mut ids, ids_review(), None, Some(at(1.0, 1.0)));
    ride.bouts = vec![diagonal.clone(), circle.clone(), open];
    ride.marks = vec![in_bout, placed.clone(), loose, far, foreign];
    let shown = Shown::of(&ride, review);
    assert_eq!(shown.marks.len(), 3);
    assert_eq!(shown.faults, [(Letter::B, 2), (Letter::H, 1)]);
    assert_eq!((shown.unplaced, shown.outside), (1, 0));
    let line = shown.bouts[0].course.unwrap();
    // The root of 20² + 48², atan(20/48).
    assert!((line.length - 52.0).abs() < 1e-9 && (line.to_long_side - 22.6199).abs() < 1e-4);
    assert_eq!(shown.bouts[1].course, None, "it ends where it began");
    assert_eq!(shown.bouts.len(), 2, "one end alone is no line");
    // A mark lies over the line of its bout; further along there is only the line.
    let near = |x, y| shown.near(at(x, y), 0.8);
    assert_eq!(near(19.2, 31.2), Some(Chosen::Mark(placed.id)));
    assert_eq!(near(10.2, 30.0), Some(Chosen::Bout(diagonal.id)));
    assert_eq!(near(10.0, 0.5), Some(Chosen::Bout(circle.id)));
    assert_eq!(near(3.0, 40.0), None);
    // In the smaller arena H's mark lies outside.
    ride.head.arena = Some(Arena::Small);
    let shown = Shown::of(&ride, review);
    assert_eq!(shown.outside, 1);
    let line = shown.bouts[0].course.unwrap();
    assert!((line.length - 34.4093).abs() < 1e-4 && (line.to_long_side - 35.5377).abs() < 1e-4);
}

/// Somebody else's review.
fn ids_review() -> ReviewId {
    ReviewId::from_bits(99)
}

#[test]
fn two_clicks_say_from_letter_to_letter() {
    let (mut ride, review, mut ids) = ride();
    let own = bout(&mut ids, review, (None, Some('X')));
    ride.bouts = vec![own.clone()];
    let chosen = Some(Chosen::Bout(own.id));
    let mut plan = Plan::default();
    let mut click = |place| plan.click((&ride, review), chosen, place, 1.0);
    assert_eq!(click(at(0.4, 5.0)), Clicked::Nothing, "from K");
    let clicked = click(at(19.0, 31.0));
    let placed = Bout {
        letters: (Some('K'), Some('B')),
        ..own.clone()
    };
    let edit = Edit::Bout(ride.id, own.id, Some(placed));
    assert_eq!(clicked, Clicked::Change("say from letter to letter", edit));
    assert_eq!(plan.begun(chosen), None);
    // What was begun for one bout is not ended in another.
    plan.click((&ride, review), chosen, at(0.0, 6.0), 1.0);
    assert_eq!(plan.begun(chosen), Some(Letter::K));
    assert_eq!(plan.begun(None), None);
    // Far outside there is no letter.
    let outside = plan.click((&ride, review), chosen, at(40.0, 6.0), 1.0);
    assert_eq!(outside, Clicked::Nothing);
    assert_eq!(
        plan.begun(chosen),
        Some(Letter::K),
        "the first letter stands"
    );
}

#[test]
fn a_click_says_where_a_mark_was() {
    let (mut ride, review, mut ids) = ride();
    let own = fault(&mut ids, review, None, None);
    ride.marks = vec![own.clone()];
    let chosen = Some(Chosen::Mark(own.id));
    let mut plan = Plan::default();
    let clicked = plan.click((&ride, review), chosen, at(12.345_6, 30.0), 1.0);
    let place = Some(ArenaPlace {
        across_cm: 1_235,
        along_cm: 3_000,
    });
    let placed = Mark {
        place,
        ..own.clone()
    };
    let edit = Edit::Mark(ride.id, own.id, Some(placed.clone()));
    assert_eq!(clicked, Clicked::Change("say where it was", edit));
    let outside = plan.click((&ride, review), chosen, at(22.0, 30.0), 1.0);
    assert_eq!(outside, Clicked::Nothing);
    ride.marks = vec![placed];
    let again = plan.click((&ride, review), chosen, at(12.345_6, 30.0), 1.0);
    assert_eq!(again, Clicked::Nothing, "it is known");
    let found = plan.click((&ride, review), None, at(12.0, 30.2), 1.0);
    assert_eq!(found, Clicked::Choose(Chosen::Mark(own.id)));
}

#[test]
fn letters_and_sizes_are_typed() {
    assert_eq!(typed_letter(Arena::Standard, "kv"), Some(Letter::V));
    assert_eq!(typed_letter(Arena::Small, "v"), None, "not in this arena");
    assert_eq!(typed_letter(Arena::Standard, "q"), None);
    let (mut ride, ..) = ride();
    assert!(
        set_arena(&ride, Arena::Standard).is_some(),
        "to have it said"
    );
    ride.head.arena = Some(Arena::Standard);
    assert!(set_arena(&ride, Arena::Standard).is_none());
    let Some((_, Edit::RideHead(_, head))) = set_arena(&ride, Arena::Small) else {
        panic!("a change of the head");
    };
    assert_eq!(head.arena, Some(Arena::Small));
    assert_eq!(head.reviews, ride.head.reviews);
}
