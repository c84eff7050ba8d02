//! Presses on a ride, and what the ride is afterwards.

use chrono::NaiveDate;
use reinback_yard::{Document, Edit, Horse, HorseId, IdMaker, Rein, Review, RideId, WordId, Yard};

use super::*;

const SECOND: i64 = 1_000_000_000;

/// A yard with one ride, pressed upon.
struct Desk {
    document: Document,
    ids: IdMaker,
    ride: RideId,
    chosen: Option<Chosen>,
    refusals: Vec<Refusal>,
    hand: Hand,
}

impl Desk {
    fn new() -> Self {
        let mut ids = IdMaker::seeded(1);
        let (horse, ride, review): (HorseId, RideId, ReviewId) =
            (ids.next(), ids.next(), ids.next());
        let mut document = Document::new(Yard::default());
        let known = Horse {
            id: horse,
            name: "Wren".into(),
            foaled: None,
            stage: String::new(),
            notes: String::new(),
        };
        let date = NaiveDate::from_ymd_opt(2026, 11, 20).unwrap();
        let empty = Ride::new(
            ride,
            horse,
            date,
            Review {
                id: review,
                reviewer: String::new(),
                blind: false,
            },
        );
        document
            .apply("horse", Edit::Horse(horse, Some(known)))
            .unwrap();
        document
            .apply("ride", Edit::Ride(ride, Some(Box::new(empty))))
            .unwrap();
        Self {
            document,
            ids,
            ride,
            chosen: None,
            refusals: Vec::new(),
            hand: Hand::STILL,
        }
    }

    fn ride(&self) -> &Ride {
        self.document.yard().ride(self.ride).unwrap()
    }

    fn at(&mut self, seconds: i64, press: &str) -> &mut Self {
        self.at_nanos(seconds * SECOND, press)
    }

    fn at_nanos(&mut self, nanos: i64, press: &str) -> &mut Self {
        let yard = self.document.yard().clone();
        let ride = yard.ride(self.ride).unwrap();
        let marking = Marking {
            words: &yard.words,
            ride,
            review: ride.head.counting,
            now: Moment(nanos),
            chosen: self.chosen,
            hand: self.hand,
        };
        let ids = &mut self.ids;
        let step = match press {
            "0" => marking.end_bout(),
            "," => marking.set_rein(Rein::Left),
            "." => marking.set_rein(Rein::Right),
            "-" => marking.toggle_reviewed(),
            "+" => Ok(marking.remark(MarkKind::Praise, ids)),
            "*" => Ok(marking.remark(MarkKind::Repeated, ids)),
            "F4" => marking.next_variant(),
            "=" => marking.set_to_frame(),
            "Delete" => marking.remove(),
            key if key.len() == 1 => marking.fault_on_key(key.parse().unwrap(), ids),
            key if key.starts_with("Alt+") => {
                marking.general_fault_on_key(key[4..].parse().unwrap(), ids)
            }
            short => match look_up(&yard.words, &Used::new(), short) {
                Typed::One(exercise) => marking.start_bout(&exercise.id, ids),
                other => panic!("{short} is no exercise: {other:?}"),
            },
        };
        match step {
            Ok(step) => {
                self.document.apply(step.label, step.edit).unwrap();
                self.chosen = step.choose;
            }
            Err(refusal) => self.refusals.push(refusal),
        }
        self
    }

    /// "half-pass 2-9 left 2 faults", a line a bout; a running one has no end, one that does
    /// not count is in brackets.
    fn check(&self, expect: &[&str]) {
        let line = |bout: &Bout| {
            let to = bout
                .to
                .map_or_else(String::new, |to| (to.0 / SECOND).to_string());
            let rein = match bout.rein {
                Some(Rein::Left) => " left",
                Some(Rein::Right) => " right",
                None => "",
            };
            let of_it = |mark: &&Mark| {
                mark.bout == Some(bout.id) && matches!(mark.kind, MarkKind::Fault(_))
            };
            let faults = self.ride().marks.iter().filter(of_it).count();
            let text = format!(
                "{} {}-{to}{rein} {faults}",
                bout.exercise,
                bout.from.0 / SECOND
            );
            if bout.reviewed || bout.to.is_none() {
                text
            } else {
                format!("({text})")
            }
        };
        let lines: Vec<String> = self.ride().bouts.iter().map(line).collect();
        assert_eq!(lines, expect, "refusals: {:?}", self.refusals);
    }
}

#[test]
fn the_next_exercise_ends_the_last() {
    let mut desk = Desk::new();
    desk.at(2, "hp")
        .at(3, ",")
        .at(4, "1")
        .at(9, "fc")
        .at(10, "1")
        .at(11, "2")
        .at(12, "0");
    desk.check(&["half-pass 2-9 left 1", "flying-change 9-12 2"]);
    assert!(desk.refusals.is_empty(), "{:?}", desk.refusals);
}

#[test]
fn a_late_fault_belongs_to_the_exercise_that_has_just_ended() {
    let mut desk = Desk::new();
    desk.at(2, "hp").at(9, "0").at(12, "1").at(60, "1");
    desk.check(&["half-pass 2-9 1"]);
    assert_eq!(
        desk.refusals.len(),
        1,
        "a minute later it is too late: {:?}",
        desk.refusals
    );
}

#[test]
fn the_same_rein_again_says_nothing() {
    let mut desk = Desk::new();
    desk.at(2, "hp").at(3, ",").at(4, ".");
    desk.check(&["half-pass 2- right 0"]);
    desk.at(5, ".");
    desk.check(&["half-pass 2- 0"]);
}

#[test]
fn what_does_not_count_can_count_again() {
    let mut desk = Desk::new();
    desk.at(2, "hp").at(3, "-");
    assert_eq!(
        desk.refusals.len(),
        1,
        "a running exercise neither counts nor does not"
    );
    desk.at(9, "0").at(9, "-");
    desk.check(&["(half-pass 2-9 0)"]);
    desk.at(9, "-");
    desk.check(&["half-pass 2-9 0"]);
}

#[test]
fn going_back_while_an_exercise_runs_is_refused_in_words() {
    let mut desk = Desk::new();
    desk.at(20, "hp").at(10, "fc").at(10, "0").at(10, "1");
    desk.check(&["half-pass 20- 0"]);
    assert_eq!(desk.refusals.len(), 3, "{:?}", desk.refusals);
    assert!(
        desk.refusals[0].contains("half-pass is running since 0:20"),
        "{}",
        desk.refusals[0]
    );
}

#[test]
fn keys_without_a_fault_say_so() {
    let mut desk = Desk::new();
    desk.at(2, "1")
        .at(2, "Alt+1")
        .at(2, "0")
        .at(2, ",")
        .at(2, "F4")
        .at(2, "Delete");
    assert_eq!(desk.refusals.len(), 6);
    assert!(desk.ride().marks.is_empty());
}

#[test]
fn general_faults_belong_to_the_exercise_too() {
    let mut desk = Desk::new();
    desk.at(2, "hp").at(3, "Alt+1").at(9, "0");
    desk.check(&["half-pass 2-9 1"]);
}

#[test]
fn removing_a_bout_takes_its_marks_and_undo_brings_both_back() {
    let mut desk = Desk::new();
    desk.at(2, "hp").at(3, "1").at(4, "2").at(9, "0");
    let before = desk.ride().clone();
    desk.chosen = Some(Chosen::Bout(before.bouts[0].id));
    desk.at(9, "Delete");
    assert!(desk.ride().bouts.is_empty() && desk.ride().marks.is_empty());
    desk.document.undo().unwrap();
    assert_eq!(desk.ride(), &before);
}

#[test]
fn variants_go_round() {
    let mut desk = Desk::new();
    desk.at(2, "hp");
    let count = desk
        .document
        .yard()
        .words
        .exercise(&WordId::new("half-pass").unwrap())
        .unwrap()
        .variants
        .len();
    assert!(count > 0);
    for _ in 0..count {
        desk.at(3, "F4");
        assert!(desk.ride().bouts[0].variant.is_some());
    }
    desk.at(3, "F4");
    assert_eq!(desk.ride().bouts[0].variant, None);
}

#[test]
fn neighbours_are_found_both_ways() {
    let mut desk = Desk::new();
    desk.at(2, "hp").at(3, "1").at(9, "0");
    let yard = desk.document.yard();
    let ride = yard.ride(desk.ride).unwrap();
    let find = |seconds: i64, forward| {
        let now = Moment(seconds * SECOND);
        let marking = Marking {
            words: &yard.words,
            ride,
            review: ride.head.counting,
            now,
            chosen: None,
            hand: Hand::STILL,
        };
        marking.neighbour(forward).map(|(at, _)| at.0 / SECOND)
    };
    assert_eq!(
        (find(0, true), find(2, true), find(3, true)),
        (Some(2), Some(3), None)
    );
    assert_eq!(
        (find(9, false), find(3, false), find(2, false)),
        (Some(3), Some(2), None)
    );
}

#[test]
fn every_exercise_is_reached_by_its_letters() {
    let words = Words::default();
    assert!(words.exercises.len() >= 25);
    for exercise in &words.exercises {
        assert_eq!(
            look_up(&words, &Used::new(), &exercise.short),
            Typed::One(exercise),
            "{}",
            exercise.short
        );
        assert!(
            exercise.short.chars().count() <= 2,
            "two letters at the most: {}",
            exercise.short
        );
    }
    assert_eq!(look_up(&words, &Used::new(), "zzz"), Typed::Nothing);
}

#[test]
fn what_stands_between_two_frames_is_passed() {
    let mut desk = Desk::new();
    desk.at(2, "hp").at(5, "1").at(9, "0");
    let yard = desk.document.yard();
    let ride = yard.ride(desk.ride).unwrap();
    // The frame that shows the start of the bout is a little earlier than the start.
    let marking = Marking {
        words: &yard.words,
        ride,
        review: ride.head.counting,
        now: Moment(2 * SECOND - 20_000_000),
        chosen: Some(Chosen::Bout(ride.bouts[0].id)),
        hand: Hand::STILL,
    };
    assert_eq!(
        marking.neighbour(true).map(|(at, _)| at.0 / SECOND),
        Some(5)
    );
    assert_eq!(marking.neighbour(false), None);
}

#[test]
fn a_bout_chosen_to_be_looked_at_takes_no_faults_of_the_next() {
    let mut desk = Desk::new();
    desk.at(2, "hp").at(9, "fc").at(15, "0");
    desk.chosen = Some(Chosen::Bout(desk.ride().bouts[0].id));
    desk.at(5, "1");
    desk.check(&["half-pass 2-9 1", "flying-change 9-15 0"]);
    for (seconds, faults) in [(12, 1), (20, 2)] {
        desk.chosen = Some(Chosen::Bout(desk.ride().bouts[0].id));
        desk.at(seconds, "1");
        desk.check(&["half-pass 2-9 1", &format!("flying-change 9-15 {faults}")]);
    }
}

#[test]
fn a_mistyped_exercise_is_replaced_and_leaves_no_attempt() {
    let mut desk = Desk::new();
    desk.at(2, "hp").at(2, "0");
    assert_eq!(
        desk.refusals.len(),
        1,
        "an attempt of no length is none: {:?}",
        desk.refusals
    );
    desk.at(2, "fc").at(9, "0");
    desk.check(&["flying-change 2-9 0"]);
    // One in which a fault was seen was ridden, however short it is.
    let mut desk = Desk::new();
    desk.at(2, "hp").at(2, "1").at(2, "fc").at(9, "0");
    desk.check(&["half-pass 2-2 1", "flying-change 2-9 0"]);
}

/// A hand that is one second late with exercises and two with faults, on a film that runs.
const LATE: Hand = Hand {
    speed: Some(1.0),
    floor: Moment(0),
    delays: Delays {
        bout_ms: 1_000,
        fault_ms: 2_000,
    },
};

#[test]
fn what_is_pressed_while_the_film_runs_is_meant_for_an_earlier_frame() {
    let mut desk = Desk::new();
    desk.hand = LATE;
    desk.at(5, "hp").at(8, "1").at(9, "fc").at(15, "0");
    desk.check(&["half-pass 4-8 1", "flying-change 8-14 0"]);
    let press = |desk: &Desk| (desk.ride().marks[0].at, desk.ride().marks[0].press);
    let made = Press {
        shown: Moment(8 * SECOND),
        correction: 2 * SECOND,
        refined: false,
    };
    assert_eq!(press(&desk), (Moment(6 * SECOND), Some(made)));
    assert!(!desk.ride().marks[0].is_on_its_frame());
    // Set to its frame on a film that stands; what was pressed stays known.
    desk.hand = Hand::STILL;
    desk.chosen = Some(Chosen::Mark(desk.ride().marks[0].id));
    desk.at(7, "=");
    let set = Press {
        refined: true,
        ..made
    };
    assert_eq!(press(&desk), (Moment(7 * SECOND), Some(set)));
    assert!(desk.ride().marks[0].is_on_its_frame());
    // And the start of an exercise.
    desk.chosen = Some(Chosen::Bout(desk.ride().bouts[1].id));
    desk.at(10, "=").at(20, "=");
    desk.check(&["half-pass 4-8 1", "flying-change 10-14 0"]);
    assert_eq!(desk.refusals, ["This exercise has ended by this frame"]);
}

#[test]
fn a_delay_does_not_reach_back_over_the_exercise_before() {
    let mut desk = Desk::new();
    // Begun on a film that stood, and ended within the delay.
    desk.at(5, "hp");
    desk.hand = LATE;
    desk.hand.delays.bout_ms = 1_500;
    desk.at(6, "fc").at(7, "0");
    desk.check(&["half-pass 5-6 0", "flying-change 6-7 0"]);
    // Mistyped, and typed right a moment later.
    let mut desk = Desk::new();
    desk.hand = LATE;
    desk.at(6, "hp").at_nanos(6_400_000_000, "fc").at(9, "0");
    desk.check(&["flying-change 5-8 0"]);
    assert_eq!(desk.ride().bouts[0].from, Moment(5_400_000_000));
}

#[test]
fn what_another_follows_at_once_was_mistyped_unless_something_was_marked() {
    let tenth = SECOND / 10;
    // The speed of play, when the second is typed in tenths of a second of the film after the
    // first, and whether both are there.
    for (speed, tenths, both) in [
        (1.0, 9, false),
        (1.0, 10, true),
        (2.0, 19, false),
        (2.0, 20, true),
        (0.5, 4, false),
        (0.5, 5, true),
    ] {
        let mut desk = Desk::new();
        desk.hand = Hand {
            speed: Some(speed),
            ..LATE
        };
        desk.at(20, "hp")
            .at_nanos(20 * SECOND + tenths * tenth, "fc");
        let count = desk.ride().bouts.len();
        assert_eq!(count == 2, both, "{speed} {tenths}");
    }
    let mut desk = Desk::new();
    desk.hand = LATE;
    desk.at(20, "hp")
        .at_nanos(204 * tenth, "1")
        .at_nanos(208 * tenth, "fc");
    assert_eq!(desk.ride().bouts.len(), 2, "a fault was seen in it");
    // On a film that stands only the very frame counts.
    let mut desk = Desk::new();
    desk.at(20, "hp").at_nanos(204 * tenth, "fc");
    assert_eq!(desk.ride().bouts.len(), 2);
}

#[test]
fn at_the_start_of_a_film_no_exercise_has_no_length() {
    // The delay of both presses reaches back before the film's first frame, at 10 s.
    let mut desk = Desk::new();
    desk.hand = LATE;
    desk.hand.floor = Moment(10 * SECOND);
    desk.hand.delays.bout_ms = 2_000;
    desk.at_nanos(10_200_000_000, "hp")
        .at_nanos(11_800_000_000, "fc");
    let spans: Vec<_> = desk.ride().bouts.iter().map(|b| (b.from.0, b.to)).collect();
    let between = 11_800_000_000;
    assert_eq!(
        spans,
        [(10 * SECOND, Some(Moment(between))), (between, None)]
    );
    let mut desk = Desk::new();
    desk.hand = LATE;
    desk.hand.floor = Moment(10 * SECOND);
    desk.at_nanos(10_200_000_000, "hp")
        .at_nanos(10_900_000_000, "0");
    assert_eq!(desk.ride().bouts[0].to, Some(Moment(10_900_000_000)));
}

#[test]
fn only_on_a_film_that_stands_is_a_mark_set_to_its_frame() {
    let mut desk = Desk::new();
    desk.hand = LATE;
    desk.at(5, "hp").at(8, "1");
    let before = desk.ride().clone();
    desk.chosen = Some(Chosen::Mark(before.marks[0].id));
    desk.at(9, "=");
    assert_eq!(desk.ride(), &before);
    assert!(desk.refusals[0].starts_with("Pause first"));
    // What no press made is moved, and no press is made up for it.
    let bare = Mark {
        press: None,
        ..before.marks[0].clone()
    };
    let edit = Edit::Mark(desk.ride, bare.id, Some(bare));
    desk.document.apply("bare", edit).unwrap();
    desk.hand = Hand::STILL;
    desk.at(9, "=");
    let mark = &desk.ride().marks[0];
    assert_eq!((mark.at, mark.press), (Moment(9 * SECOND), None));
    assert!(!mark.is_on_its_frame());
}
