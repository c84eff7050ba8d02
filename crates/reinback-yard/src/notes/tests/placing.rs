//! From notes to marks on the ride clock.

use reinback_analysis::Moment;
use reinback_analysis::anchor::{Anchor, Placement};

use super::super::*;
use super::read;
use crate::id::{BoutId, FilmId, HorseId, IdMaker};
use crate::model::{Asked, Bout, Film, MarkKind, Review, Ride, Yard};
use crate::words::{WordId, Words};
use crate::{Document, Edit, Horse};

const SECOND: i64 = 1_000_000_000;

fn word(text: &str) -> WordId {
    WordId::new(text).unwrap()
}

/// Ten minutes of film from 10:40:00 on, with a half-pass in the third minute.
fn ride() -> Ride {
    let review = Review {
        id: crate::ReviewId::from_bits(9),
        reviewer: String::new(),
        blind: false,
    };
    let date = "2026-03-01".parse().unwrap();
    let mut ride = Ride::new(
        crate::RideId::from_bits(1),
        HorseId::from_bits(1),
        date,
        review,
    );
    ride.head.time = Some("10:40:00".parse().unwrap());
    ride.films.push(Film {
        id: FilmId::from_bits(1),
        path: "films/a.mp4".into(),
        fingerprint: None,
        offset: Moment(0),
        drift_ppb: 0,
        duration_nanos: Some(600 * SECOND),
        tilt: None,
    });
    ride.bouts.push(Bout {
        id: BoutId::from_bits(7),
        review: ride.head.counting,
        exercise: word("half-pass"),
        from: Moment(130 * SECOND),
        to: Some(Moment(140 * SECOND)),
        rein: Some(crate::Rein::Left),
        variant: None,
        asked: Asked::default(),
        score: None,
        letters: (None, None),
        reviewed: true,
        note: String::new(),
    });
    ride
}

struct Setup {
    ride: Ride,
    notes: RawNotes,
    own: Vec<Option<OwnTime>>,
    pieces: Vec<Vec<Piece>>,
    placement: Option<Placement>,
}

fn setup(text: &str) -> Setup {
    let ride = ride();
    let notes = read(text).1;
    let stamps: Vec<Stamp> = notes.notes.iter().filter_map(|note| note.stamp).collect();
    let kind = guess_kind(&stamps, ride.head.time).kind;
    let scene = Scene {
        day: ride.head.date,
        time: ride.head.time,
        zone: &chrono_tz::Europe::Berlin,
    };
    let own = own_clock(&notes.notes, kind, scene);
    let placement = plain_placement(&ride, kind, scene);
    let vocabulary = Vocabulary::new(&Words::default());
    let mut recogniser = Recogniser::new(&vocabulary);
    let pieces = notes
        .notes
        .iter()
        .map(|note| recogniser.pieces(&note.text))
        .collect();
    Setup {
        ride,
        notes,
        own,
        pieces,
        placement,
    }
}

fn import<'a>(setup: &'a Setup, placement: Placement, decisions: &'a Decisions) -> Import<'a> {
    Import {
        ride: &setup.ride,
        review: setup.ride.head.counting,
        source: "rail.txt",
        placement,
        notes: &setup.notes.notes,
        own: &setup.own,
        pieces: &setup.pieces,
        decisions,
    }
}

#[test]
fn a_watch_is_placed_by_the_time_of_the_ride() {
    let setup = setup(
        "10:39:50 warming up\n10:42:15 half pass left, quarters trailing, tense\n10:42:20 half pass right, late\n\
         10:42:18 travers, tilted\n10:45 lovely\nno time\n10:51 done\n10:46\n",
    );
    let placement = setup.placement.unwrap();
    let decisions = Decisions::new();
    let placed = import(&setup, placement, &decisions).placed();
    let fault = |text: &str| MarkKind::Fault(word(text));
    let seen: Vec<(i64, Vec<MarkKind>, Option<u64>, bool)> = placed
        .iter()
        .map(|own| {
            (
                own.at.0 / SECOND,
                own.kinds.clone(),
                own.bouts[0].map(BoutId::bits),
                own.off_film,
            )
        })
        .collect();
    assert_eq!(
        seen,
        [
            (-10, vec![MarkKind::Note], None, true),
            (
                135,
                vec![fault("quarters-trailing"), fault("tense")],
                Some(7),
                false
            ),
            // The other rein: not that attempt.
            (140, vec![MarkKind::Note], None, false),
            (138, vec![fault("tilted")], None, false),
            (300, vec![MarkKind::Praise], None, false),
            (660, vec![MarkKind::Note], None, true),
        ]
    );
    assert_eq!(placed[3].within_other, Some(word("half-pass")));
}

/// Of several exercises a fault belongs to the one named before it.
#[test]
fn a_fault_belongs_to_the_exercise_named_before_it() {
    let setup = setup(
        "10:42:15 half pass quarters trailing, travers tense\n\
         10:42:16 travers tense, half pass quarters trailing\n\
         10:42:17 tense, travers, half pass\n\
         10:42:18 half pass left, half pass right, quarters trailing\n",
    );
    let decisions = Decisions::new();
    let placed = import(&setup, setup.placement.unwrap(), &decisions).placed();
    let seen: Vec<(Vec<Option<u64>>, bool)> = placed
        .iter()
        .map(|own| {
            let bouts = own.bouts.iter().map(|bout| bout.map(BoutId::bits));
            (bouts.collect(), own.unclear)
        })
        .collect();
    assert_eq!(
        seen,
        [
            (vec![Some(7), None], false),
            (vec![None, Some(7)], false),
            (vec![None], true),
            (vec![Some(7)], false),
        ]
    );
    assert_eq!(placed[3].rein, None, "two reins are none");
    assert_eq!(placed[0].rein, None);
}

#[test]
fn notes_of_another_day_are_not_placed() {
    let setup = setup(
        "2026-03-01 10:42 late\n2026-03-02 10:42 late\n2026-02-28 22:00 late\n1700-01-01 1:00 late\n",
    );
    let decisions = Decisions::new();
    let import = import(&setup, setup.placement.unwrap(), &decisions);
    let placed: Vec<usize> = import.placed().iter().map(|own| own.note).collect();
    assert_eq!(placed, [0]);
    let reasons = import.not_placed();
    assert_eq!(reasons, [1, 2, 3].map(|note| (note, NotPlaced::TooFar)));
    assert_eq!(
        reasons[0].1.to_string(),
        "more than 12 hours from every film"
    );
}

#[test]
fn anchors_give_offset_and_rate() {
    let setup = setup("0:10 late\n5:10 tense\n10:10 stuck\n");
    let decisions = Decisions::new();
    let anchor = |own: i64, ride: i64| Anchor {
        own: own * SECOND,
        ride: Moment(ride * SECOND),
    };
    let at = |placement: Placement| -> Vec<i64> {
        let import = import(&setup, placement, &decisions);
        import
            .placed()
            .iter()
            .map(|own| own.at.0 / 1_000_000)
            .collect()
    };
    assert_eq!(
        at(setup.placement.unwrap()),
        [10_000, 310_000, 610_000],
        "from the first film's start"
    );
    assert_eq!(
        at(Placement::at(anchor(10, 30))),
        [30_000, 330_000, 630_000]
    );
    let drifting = Placement::between(anchor(0, 20), anchor(500, 519)).unwrap();
    assert_eq!(at(drifting), [29_980, 329_380, 628_780]);
}

/// One step, which can be taken back, and every mark tells where it came from.
#[test]
fn an_import_is_one_step_with_its_origin() {
    let setup = setup("10:42:15 half pass left, quarters trailing, tense\n\n10:45 lovely\n");
    let decisions = Decisions::new();
    let import = import(&setup, setup.placement.unwrap(), &decisions);
    let mut ids = IdMaker::seeded(3);
    let edit = import.edit(&import.placed(), &mut ids);
    let horse = Horse {
        id: HorseId::from_bits(1),
        name: "Astra".into(),
        foaled: None,
        stage: String::new(),
        notes: String::new(),
    };
    let mut yard = Yard {
        horses: vec![horse],
        ..Yard::default()
    };
    Edit::Ride(setup.ride.id, Some(Box::new(setup.ride.clone())))
        .apply(&mut yard)
        .unwrap();
    let mut document = Document::new(yard.clone());
    document.apply("place 2 notes", edit).unwrap();
    let marks = &document.yard().ride(setup.ride.id).unwrap().marks;
    let origins: Vec<(u32, &str, &str)> = marks
        .iter()
        .filter_map(|mark| mark.origin.as_deref())
        .map(|origin| (origin.line, origin.time.as_str(), origin.source.as_str()))
        .collect();
    assert_eq!(
        origins,
        [
            (1, "10:42:15", "rail.txt"),
            (1, "10:42:15", "rail.txt"),
            (3, "10:45", "rail.txt")
        ]
    );
    assert_eq!(marks[2].note, "lovely");
    document.undo().unwrap();
    assert_eq!(document.yard(), &yard);
}
