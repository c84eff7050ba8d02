//! The film moments behind a line: every fault of its attempts, one click from playing.

use chrono::NaiveDate;
use reinback_yard::{Bout, Mark, MarkKind, Moment, Owners, Rein, Ride, RideId, WordId, Yard};

use crate::report::numbers::Question;

/// How far before a mark the film starts, so that the eye is there in time.
const LEAD_NANOS: i64 = 2_000_000_000;

/// How many moments are looked up. Nobody looks through more, and the newest say most.
pub(super) const MOST_MOMENTS: usize = 500;

/// One fault of an attempt.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct FaultMoment {
    /// The ride.
    pub(super) ride: RideId,
    /// Its day.
    pub(super) date: NaiveDate,
    /// When, on the ride clock.
    pub(super) at: Moment,
    /// Its name.
    pub(super) fault: String,
    /// The rein of the attempt.
    pub(super) rein: Option<Rein>,
    /// The variant of the attempt.
    pub(super) variant: Option<String>,
    /// What was noted on the mark.
    pub(super) note: String,
}

impl FaultMoment {
    /// Where the film starts: a little before the mark.
    pub(super) fn lead_in(&self) -> Moment {
        Moment(self.at.0.saturating_sub(LEAD_NANOS))
    }
}

/// The faults behind a line, newest ride first and in the order ridden; of many the newest
/// [`MOST_MOMENTS`].
///
/// The rules of [`reinback_yard::observe`]: only the counting review, only reviewed bouts, and a
/// mark belongs to the bout it names, else to the only one that spans it.
pub(super) fn moments(yard: &Yard, question: &Question, exercise: &WordId) -> Vec<FaultMoment> {
    let mut found = Vec::new();
    for ride in yard.rides_by_date().into_iter().rev() {
        if found.len() >= MOST_MOMENTS {
            break;
        }
        if asked(question, ride) {
            of_ride(yard, question, (ride, exercise), &mut found);
        }
    }
    found.truncate(MOST_MOMENTS);
    found
}

fn of_ride(
    yard: &Yard,
    question: &Question,
    (ride, exercise): (&Ride, &WordId),
    found: &mut Vec<FaultMoment>,
) {
    let counting = ride.head.counting;
    let own = ride.bouts.iter().filter(|bout| bout.review == counting);
    let bouts: Vec<&Bout> = own.collect();
    if bouts.iter().all(|bout| bout.exercise != *exercise) {
        return;
    }
    let owners = Owners::of(&bouts);
    for mark in ride.marks.iter().filter(|mark| mark.review == counting) {
        if let MarkKind::Fault(fault) = &mark.kind
            && let Some(bout) = owners.owner(mark)
            && bout.exercise == *exercise
            && bout.reviewed
            && bout.to.is_some()
            && question.reins.hold(bout.rein)
        {
            found.push(moment(yard, ride, bout, mark, fault));
        }
    }
}

fn asked(question: &Question, ride: &Ride) -> bool {
    let horse = question.whose.horse();
    horse.is_none_or(|horse| ride.head.horse == horse) && question.days.hold(ride.head.date)
}

fn moment(yard: &Yard, ride: &Ride, bout: &Bout, mark: &Mark, fault: &WordId) -> FaultMoment {
    FaultMoment {
        ride: ride.id,
        date: ride.head.date,
        at: mark.at,
        fault: yard.words.fault_name(Some(&bout.exercise), fault),
        rein: bout.rein,
        variant: bout
            .variant
            .as_ref()
            .map(|variant| yard.words.variant_name(&bout.exercise, variant)),
        note: mark.note.clone(),
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use proptest::prelude::*;
    use reinback_yard::{IdMaker, MarkKind};

    use super::*;
    use crate::report::numbers::{Days, Reins, Whose, numbers};
    use crate::report::sample;

    fn all() -> Question {
        Question {
            whose: Whose::One(sample::horse()),
            days: Days::default(),
            against: None,
            reins: Reins::Both,
        }
    }

    #[test]
    fn the_film_starts_two_seconds_before_the_mark() {
        let yard = sample::yard();
        let newest = &moments(&yard, &all(), &sample::word("half-pass"))[0];
        assert_eq!(newest.date, sample::day(9), "the newest ride leads");
        assert_eq!(newest.lead_in(), Moment(newest.at.0 - 2_000_000_000));
        assert_eq!(newest.fault, "quarters trailing");
    }

    /// A mark of a made-up ride: at which second, and which bout it names, if any.
    fn marks() -> impl Strategy<Value = Vec<(i64, Option<usize>, bool)>> {
        proptest::collection::vec(
            (0_i64..400, proptest::option::of(0_usize..7), any::<bool>()),
            0..12,
        )
    }

    proptest! {
        // Each case shuffles rides thousands of times.
        #![proptest_config(ProptestConfig::with_cases(64))]

        /// As many moments behind every line as it counts faults, wherever marks lie and
        /// whichever bouts are reviewed.
        #[test]
        fn there_are_as_many_moments_as_faults(
            marks in marks(),
            reviewed in proptest::collection::vec(any::<bool>(), 5),
        ) {
            let mut ids = IdMaker::seeded(9);
            let mut ride = sample::blank(&mut ids, sample::day(0));
            for exercise in ["half-pass", "halt", "half-pass", "halt", "travers"] {
                sample::bout(&mut ids, &mut ride, exercise, None, None);
            }
            for (bout, reviewed) in ride.bouts.iter_mut().zip(reviewed) {
                bout.reviewed = reviewed;
                bout.to = bout.to.map(|to| Moment(to.0 + 50_000_000_000));
            }
            for (second, bout, fault) in marks {
                let bout = bout.map(|at| ride.bouts.get(at).map_or_else(|| ids.next(), |b| b.id));
                let kind = if fault { MarkKind::Fault(sample::word("tense")) } else { MarkKind::Note };
                ride.marks.push(Mark {
                    id: ids.next(),
                    review: ride.head.counting,
                    at: Moment(second * 1_000_000_000),
                    kind,
                    bout,
                    note: String::new(),
                    origin: None,
                    press: None, place: None, });
            }
            let mut yard = sample::yard();
            yard.rides = [(ride.id, Arc::new(ride))].into();
            let numbers = numbers(&yard, &all());
            for exercise in ["half-pass", "halt", "travers"].map(sample::word) {
                let line = numbers.lines.iter().find(|line| line.exercise == exercise);
                let counted = line.map_or(0, |line| line.figures.all.faults);
                let behind = moments(&yard, &all(), &exercise).len();
                prop_assert_eq!(behind as u32, counted, "{}", exercise);
            }
        }
    }
}
