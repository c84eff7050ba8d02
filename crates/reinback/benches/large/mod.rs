//! A large yard made in memory: 30 000 rides in ten years on 40 horses, 60 bouts and 200 marks a
//! ride at 25 exercises, with rates that differ from horse to horse and drift.

use std::sync::Arc;

use chrono::{Days as Later, NaiveDate};
use reinback_analysis::shuffle::Dice;
use reinback_yard::{
    Asked, Bout, Horse, HorseId, IdMaker, Mark, MarkKind, Moment, Rein, Review, Ride, WordId, Yard,
};

const HORSES: u32 = 40;
const EXERCISES: u32 = 25;
const BOUTS: i64 = 60;
/// Marks that are no faults: changes, aids, notes and praise.
const OTHER_MARKS: u32 = 180;
const SECOND: i64 = 1_000_000_000;

/// How many rides; `RIDES` in the environment asks for fewer.
pub(crate) fn rides() -> u32 {
    let asked = std::env::var("RIDES").ok();
    asked.and_then(|rides| rides.parse().ok()).unwrap_or(30_000)
}

/// The day of the first ride.
pub(crate) fn first_day() -> NaiveDate {
    NaiveDate::from_ymd_opt(2016, 1, 1).unwrap_or_default()
}

fn words(stem: &str, many: u32) -> Vec<WordId> {
    (0..many)
        .filter_map(|number| WordId::new(format!("{stem}-{number}")).ok())
        .collect()
}

/// Makes the yard.
pub(crate) struct Maker {
    ids: IdMaker,
    dice: Dice,
    exercises: Vec<WordId>,
    faults: Vec<WordId>,
    variants: Vec<WordId>,
}

impl Maker {
    /// With words of its own.
    pub(crate) fn new() -> Self {
        Self::of(EXERCISES)
    }

    /// With so many exercises.
    pub(crate) fn of(exercises: u32) -> Self {
        Self {
            ids: IdMaker::seeded(1),
            dice: Dice::new(1),
            exercises: words("exercise", exercises),
            faults: words("fault", 8),
            variants: words("variant", 2),
        }
    }

    /// The yard.
    pub(crate) fn yard(&mut self) -> Yard {
        let horse = |number: u32| Horse {
            id: HorseId::from_bits(number.into()),
            name: format!("Horse {number}"),
            foaled: None,
            stage: String::new(),
            notes: String::new(),
        };
        let mut yard = Yard {
            horses: (0..HORSES).map(horse).collect(),
            ..Yard::default()
        };
        for number in 0..rides() {
            let ride = self.ride(number);
            yard.rides.insert(ride.id, Arc::new(ride));
        }
        yard
    }

    fn ride(&mut self, number: u32) -> Ride {
        let horse = number % HORSES;
        let day = u64::from(number) * 3_652 / u64::from(rides());
        let review = Review {
            id: self.ids.next(),
            reviewer: String::new(),
            blind: false,
        };
        let date = first_day() + Later::new(day);
        let id = self.ids.next();
        let mut ride = Ride::new(id, HorseId::from_bits(horse.into()), date, review);
        #[expect(clippy::cast_precision_loss, reason = "days of ten years")]
        let drift = 1.2 - 0.4 * day as f64 / 3_652.0;
        for place in 0..BOUTS {
            self.bout(&mut ride, place, drift);
        }
        for other in 0..OTHER_MARKS {
            let kind = match other % 4 {
                0 => MarkKind::Change(Some(Rein::Left)),
                1 => MarkKind::Aid,
                2 => MarkKind::Note,
                _ => MarkKind::Praise,
            };
            let at = Moment(i64::from(self.dice.below(3_000)) * SECOND);
            self.mark(&mut ride, at, kind, None);
        }
        ride.marks.sort_by_key(|mark| (mark.at, mark.id));
        ride
    }

    fn bout(&mut self, ride: &mut Ride, place: i64, drift: f64) {
        let exercise = self.dice.below(self.exercises.len() as u32);
        let horse = u32::try_from(ride.head.horse.bits()).unwrap_or(0);
        let rate = 0.08 + 0.3 * f64::from((horse * 7 + exercise * 13) % 40) / 40.0;
        let id = self.ids.next();
        let from = Moment(place * 50 * SECOND);
        let variant = self.dice.below(6) as usize;
        ride.bouts.push(Bout {
            id,
            review: ride.head.counting,
            exercise: self.exercises[exercise as usize].clone(),
            from,
            to: Some(Moment(from.0 + 30 * SECOND)),
            rein: [Some(Rein::Left), Some(Rein::Right), None][self.dice.below(3) as usize],
            variant: self.variants.get(variant).cloned(),
            asked: Asked::default(),
            score: None,
            letters: (None, None),
            reviewed: self.dice.below(20) > 0,
            note: String::new(),
        });
        if self.dice.unit() < rate * drift {
            for _ in 0..=u32::from(self.dice.below(4) == 0) {
                let fault = self.faults[self.dice.below(8) as usize].clone();
                let at = Moment(from.0 + i64::from(self.dice.below(29)) * SECOND);
                self.mark(ride, at, MarkKind::Fault(fault), Some(id));
            }
        }
    }

    fn mark(
        &mut self,
        ride: &mut Ride,
        at: Moment,
        kind: MarkKind,
        bout: Option<reinback_yard::BoutId>,
    ) {
        ride.marks.push(Mark {
            id: self.ids.next(),
            review: ride.head.counting,
            at,
            kind,
            bout,
            note: String::new(),
            origin: None,
            press: None,
            place: None,
        });
    }
}

/// One bout of the newest ride of the horse set to reviewed or back: one edit of the document.
pub(crate) fn edit(yard: &mut Yard, horse: HorseId) {
    let own = yard
        .rides
        .values_mut()
        .filter(|ride| ride.head.horse == horse);
    if let Some(ride) = own.max_by_key(|ride| (ride.head.date, ride.id))
        && let Some(bout) = Arc::make_mut(ride).bouts.first_mut()
    {
        bout.reviewed = !bout.reviewed;
    }
}
