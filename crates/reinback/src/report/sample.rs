//! A small made-up yard for tests: one horse, ten rides, faults at known places.

use chrono::{Days, NaiveDate};
use reinback_analysis::Tally;
use reinback_yard::{
    Asked, Bout, Horse, HorseId, IdMaker, Mark, MarkKind, Moment, Press, Rein, Review, Ride,
    WordId, Yard,
};
use std::sync::Arc;

/// How many rides the sample has, three days apart.
pub(crate) const RIDES: usize = 10;
/// Half-passes in all: four a ride, one on each rein faulty in the first five rides, one on the
/// left in the other five.
pub(crate) const HALF_PASS: Tally = Tally {
    faulty: 15,
    attempts: 40,
};
/// Bouts that do not count: one in the last ride.
pub(crate) const UNREVIEWED: u32 = 1;

const SECOND: i64 = 1_000_000_000;

/// The horse.
pub(crate) fn horse() -> HorseId {
    HorseId::from(0x11)
}

/// The day of a ride, from 0.
pub(crate) fn day(ride: u64) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 5, 4).expect("a day") + Days::new(3 * ride)
}

/// The yard.
pub(crate) fn yard() -> Yard {
    let mut ids = IdMaker::seeded(5);
    let mut yard = Yard {
        name: "Sample yard".into(),
        horses: vec![Horse {
            id: horse(),
            name: "Juniper".into(),
            foaled: Some(2018),
            stage: "Prix St Georges".into(),
            notes: String::new(),
        }],
        ..Yard::default()
    };
    for number in 0..RIDES as u64 {
        let ride = ride(&mut ids, number);
        yard.rides.insert(ride.id, Arc::new(ride));
    }
    yard
}

fn ride(ids: &mut IdMaker, number: u64) -> Ride {
    let mut ride = blank(ids, day(number));
    for attempt in 0..4_u64 {
        let rein = [Rein::Left, Rein::Right][usize::from(attempt % 2 == 1)];
        let early = number < RIDES as u64 / 2;
        let faulty = attempt == 0 || (early && attempt == 1);
        bout(
            ids,
            &mut ride,
            "half-pass",
            Some(rein),
            faulty.then_some("quarters-trailing"),
        );
    }
    bout(
        ids,
        &mut ride,
        "halt",
        None,
        (number == 0).then_some("not-square"),
    );
    if number + 1 == RIDES as u64 {
        bout(ids, &mut ride, "halt", None, None);
        if let Some(last) = ride.bouts.last_mut() {
            last.reviewed = false;
        }
    }
    ride
}

/// A ride with nothing in it.
pub(crate) fn blank(ids: &mut IdMaker, date: NaiveDate) -> Ride {
    let review = Review {
        id: ids.next(),
        reviewer: String::new(),
        blind: false,
    };
    Ride::new(ids.next(), horse(), date, review)
}

/// Adds a bout of 15 s after the last, with a fault 5 s into it.
pub(crate) fn bout(
    ids: &mut IdMaker,
    ride: &mut Ride,
    exercise: &str,
    rein: Option<Rein>,
    fault: Option<&str>,
) {
    let before = i64::try_from(ride.bouts.len()).expect("few bouts");
    let from = Moment(60 * SECOND * (1 + before));
    let id = ids.next();
    ride.bouts.push(Bout {
        id,
        review: ride.head.counting,
        exercise: word(exercise),
        from,
        to: Some(Moment(from.0 + 15 * SECOND)),
        rein,
        variant: None,
        asked: Asked::default(),
        score: None,
        letters: (None, None),
        reviewed: true,
        note: String::new(),
    });
    if let Some(fault) = fault {
        ride.marks.push(Mark {
            id: ids.next(),
            review: ride.head.counting,
            at: Moment(from.0 + 5 * SECOND),
            kind: MarkKind::Fault(word(fault)),
            bout: Some(id),
            note: String::new(),
            origin: None,
            press: None,
            place: None,
        });
    }
}

/// Marks five changes of the last bout, set to their frames, the first a second after it begins.
pub(crate) fn changes(ids: &mut IdMaker, ride: &mut Ride, apart: i64) {
    let bout = ride.bouts.last().expect("a bout");
    let (id, from) = (bout.id, bout.from);
    for n in 0..5 {
        let at = Moment(from.0 + SECOND + n * apart);
        ride.marks.push(Mark {
            id: ids.next(),
            review: ride.head.counting,
            at,
            kind: MarkKind::Change(None),
            bout: Some(id),
            note: String::new(),
            origin: None,
            press: Some(Press {
                shown: at,
                correction: 0,
                refined: true,
            }),
            place: None,
        });
    }
}

/// A word.
pub(crate) fn word(text: &str) -> WordId {
    WordId::new(text).expect("a word")
}
