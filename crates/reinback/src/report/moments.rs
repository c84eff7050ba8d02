//! The film moments behind a line: its faults and its clean attempts, each at a place of a film.

use chrono::{NaiveDate, NaiveTime};
use reinback_film::FilmTime;
use reinback_yard::{
    Bout, BoutId, Film, Mark, MarkId, MarkKind, Moment, Owners, Rein, Ride, RideId, WordId, Yard,
};

use super::numbers::{Question, Reins};

/// How far before a moment the film starts, so that the eye is there in time.
const LEAD_NANOS: i64 = 2_000_000_000;

/// How many moments of a kind are looked up. Nobody looks through more, and the newest say most.
const MOST_MOMENTS: usize = 500;

/// Which moment: it stays the same while the marks around it change.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MomentId {
    /// A fault, by its mark.
    Fault(RideId, MarkId),
    /// A clean attempt, by its bout.
    Clean(RideId, BoutId),
}

/// What is to be seen at a moment.
#[derive(Clone, Debug, PartialEq)]
pub enum Seen {
    /// A fault of an attempt.
    Fault {
        /// Its name.
        name: String,
        /// What was noted on the mark.
        note: String,
    },
    /// An attempt in which no fault was marked.
    Clean {
        /// Whether it was praised.
        praised: bool,
    },
}

/// A moment of an attempt.
#[derive(Clone, Debug, PartialEq)]
pub struct FilmMoment {
    /// Which one.
    pub id: MomentId,
    /// The day of its ride.
    pub date: NaiveDate,
    /// The time of day the ride began, where it is known.
    pub time: Option<NaiveTime>,
    /// When, on the ride clock: where the fault is marked. A clean attempt has the praise in it,
    /// or else its middle.
    pub at: Moment,
    /// What is to be seen.
    pub seen: Seen,
    /// The rein of the attempt.
    pub rein: Option<Rein>,
    /// The variant of the attempt.
    pub variant: Option<String>,
    /// Whether a film of its ride covers it, as far as the yard knows.
    pub filmed: bool,
}

impl MomentId {
    /// The ride.
    #[must_use]
    pub fn ride(self) -> RideId {
        match self {
            Self::Fault(ride, _) | Self::Clean(ride, _) => ride,
        }
    }
}

impl FilmMoment {
    /// Where the film starts: a little before the moment.
    #[must_use]
    pub fn lead_in(&self) -> Moment {
        lead_in(self.at)
    }
}

/// Where the film starts to show a moment: a little before it.
#[must_use]
pub fn lead_in(at: Moment) -> Moment {
    Moment(at.0.saturating_sub(LEAD_NANOS))
}

/// The moments behind a line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Moments {
    /// The faults, newest ride first and in the order ridden; of many the newest 500.
    pub faults: Vec<FilmMoment>,
    /// The attempts without a fault, in the same order; of many the newest 500.
    pub clean: Vec<FilmMoment>,
}

/// Looks up the moments behind a line.
///
/// The rules of [`reinback_yard::observe`]: only the counting review, only reviewed bouts, and a
/// mark belongs to the bout it names, else to the only one that spans it.
#[must_use]
pub fn moments(yard: &Yard, question: &Question, exercise: &WordId) -> Moments {
    let rides = yard.rides_by_date().into_iter().rev();
    let asked = rides.filter(|ride| question.holds(ride));
    moments_of(yard, asked, question.reins, exercise)
}

/// Those of the days compared with, without days that are asked about as well.
#[must_use]
pub fn moments_before(yard: &Yard, question: &Question, exercise: &WordId) -> Moments {
    let Some(earlier) = question.earlier() else {
        return Moments::default();
    };
    let rides = yard.rides_by_date().into_iter().rev();
    let before = rides.filter(|ride| earlier.holds(ride) && question.is_before(ride.head.date));
    moments_of(yard, before, question.reins, exercise)
}

/// The same of rides of the question that were looked out already, newest first.
#[must_use]
pub fn moments_of<'a>(
    yard: &Yard,
    rides: impl Iterator<Item = &'a Ride>,
    reins: Reins,
    exercise: &WordId,
) -> Moments {
    let mut found = Moments::default();
    for ride in rides {
        if found.faults.len() >= MOST_MOMENTS && found.clean.len() >= MOST_MOMENTS {
            break;
        }
        of_ride(yard, (ride, reins), exercise, &mut found);
    }
    found.faults.truncate(MOST_MOMENTS);
    found.clean.truncate(MOST_MOMENTS);
    found
}

/// A moment of an exercise as it is now, whatever is asked; `None` where it is no more.
#[must_use]
pub fn moment_of(yard: &Yard, exercise: &WordId, id: MomentId) -> Option<FilmMoment> {
    let ride = yard.ride(id.ride())?;
    let mut found = Moments::default();
    of_ride(yard, (ride, Reins::Both), exercise, &mut found);
    let mut all = found.faults.into_iter().chain(found.clean);
    all.find(|moment| moment.id == id)
}

/// The film that shows a moment of its ride, and where in it. Where films overlap it is the one
/// that started last, as on the stage; one whose length is not known yet may be too short.
#[must_use]
pub fn film_at(ride: &Ride, at: Moment) -> Option<(&Film, FilmTime)> {
    let covers = |film: &&Film| {
        let ends = film.span().map(|span| span.to);
        film.offset <= at && ends.is_none_or(|end| at <= end)
    };
    let film = ride
        .films
        .iter()
        .filter(covers)
        .max_by_key(|film| film.offset)?;
    let last = film
        .duration_nanos
        .map_or(i64::MAX, |length| (length - 1).max(0));
    let time = film.film_from_ride(at).clamp(0, last);
    Some((film, FilmTime(time)))
}

fn of_ride(yard: &Yard, (ride, reins): (&Ride, Reins), exercise: &WordId, found: &mut Moments) {
    let counting = ride.head.counting;
    let own = ride.bouts.iter().filter(|bout| bout.review == counting);
    let bouts: Vec<&Bout> = own.collect();
    let counts = |bout: &&Bout| {
        let ridden = bout.exercise == *exercise && bout.span().is_some();
        ridden && bout.reviewed && reins.hold(bout.rein)
    };
    let mut attempts: Vec<Attempt<'_>> = bouts
        .iter()
        .copied()
        .filter(counts)
        .map(|bout| Attempt {
            bout,
            faulty: false,
            praise: None,
        })
        .collect();
    if attempts.is_empty() {
        return;
    }
    let owners = Owners::of(&bouts);
    for mark in ride.marks.iter().filter(|mark| mark.review == counting) {
        let Some(owner) = owners.owner(mark) else {
            continue;
        };
        let mut own = attempts.iter_mut();
        let Some(attempt) = own.find(|attempt| attempt.bout.id == owner.id) else {
            continue;
        };
        match &mark.kind {
            MarkKind::Fault(fault) => {
                attempt.faulty = true;
                let moment = attempt.faulted(yard, ride, mark, fault);
                found.faults.push(moment);
            }
            MarkKind::Praise => {
                let earlier = attempt.praise.is_none_or(|known| mark.at < known);
                attempt.praise = attempt.praise.filter(|_| !earlier).or(Some(mark.at));
            }
            _ => {}
        }
    }
    let clean = attempts.iter().filter(|attempt| !attempt.faulty);
    found
        .clean
        .extend(clean.map(|attempt| attempt.clean(yard, ride)));
}

/// An attempt that counts.
struct Attempt<'a> {
    bout: &'a Bout,
    faulty: bool,
    /// The first praise in it.
    praise: Option<Moment>,
}

impl Attempt<'_> {
    fn faulted(&self, yard: &Yard, ride: &Ride, mark: &Mark, fault: &WordId) -> FilmMoment {
        let name = yard.words.fault_name(Some(&self.bout.exercise), fault);
        let seen = Seen::Fault {
            name,
            note: mark.note.clone(),
        };
        self.moment(
            yard,
            ride,
            MomentId::Fault(ride.id, mark.id),
            (mark.at, seen),
        )
    }

    fn clean(&self, yard: &Yard, ride: &Ride) -> FilmMoment {
        let from = self.bout.from;
        let middle = Moment(from.0.midpoint(self.bout.to.unwrap_or(from).0));
        let seen = Seen::Clean {
            praised: self.praise.is_some(),
        };
        let at = self.praise.unwrap_or(middle);
        self.moment(
            yard,
            ride,
            MomentId::Clean(ride.id, self.bout.id),
            (at, seen),
        )
    }

    fn moment(
        &self,
        yard: &Yard,
        ride: &Ride,
        id: MomentId,
        (at, seen): (Moment, Seen),
    ) -> FilmMoment {
        let variant = self.bout.variant.as_ref();
        FilmMoment {
            id,
            date: ride.head.date,
            time: ride.head.time,
            at,
            seen,
            rein: self.bout.rein,
            variant: variant.map(|own| yard.words.variant_name(&self.bout.exercise, own)),
            filmed: film_at(ride, at).is_some(),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use proptest::prelude::*;
    use reinback_analysis::Cell;
    use reinback_yard::IdMaker;

    use super::*;
    use crate::report::numbers::{Days, Whose, numbers};
    use crate::report::sample;

    const SECOND: i64 = 1_000_000_000;

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
        let newest = &moments(&yard, &all(), &sample::word("half-pass")).faults[0];
        assert_eq!(newest.date, sample::day(9), "the newest ride leads");
        assert_eq!(newest.lead_in(), Moment(newest.at.0 - 2 * SECOND));
        assert!(matches!(&newest.seen, Seen::Fault { name, .. } if name == "quarters trailing"));
    }

    #[test]
    fn a_clean_attempt_is_seen_in_its_middle_or_where_it_was_praised() {
        let mut yard = sample::yard();
        let exercise = sample::word("half-pass");
        let clean = |yard: &Yard| moments(yard, &all(), &exercise).clean[0].clone();
        let first = clean(&yard);
        assert_eq!(first.seen, Seen::Clean { praised: false });
        // The second bout of a ride begins at 120 s and lasts 15.
        assert_eq!(first.at, Moment(127_500_000_000));
        let id = first.id.ride();
        let mut ride = (**yard.rides.get(&id).expect("a ride")).clone();
        for second in [131, 125] {
            ride.marks.push(Mark {
                id: IdMaker::seeded(second).next(),
                review: ride.head.counting,
                at: Moment(i64::try_from(second).expect("small") * SECOND),
                kind: MarkKind::Praise,
                bout: None,
                note: String::new(),
                origin: None,
                press: None,
                place: None,
            });
        }
        yard.rides.insert(id, Arc::new(ride));
        let praised = clean(&yard);
        assert_eq!(praised.seen, Seen::Clean { praised: true });
        assert_eq!(praised.at, Moment(125 * SECOND), "the first praise");
    }

    #[test]
    fn a_moment_is_known_again_until_it_is_gone() {
        let mut yard = sample::yard();
        let exercise = sample::word("half-pass");
        let newest = moments(&yard, &all(), &exercise).faults[0].clone();
        let now = |yard: &Yard| moment_of(yard, &exercise, newest.id);
        assert_eq!(now(&yard).as_ref(), Some(&newest));
        let elsewhere = sample::word("halt");
        assert_eq!(moment_of(&yard, &elsewhere, newest.id), None);
        let id = newest.id.ride();
        let mut ride = (**yard.rides.get(&id).expect("a ride")).clone();
        ride.marks.clear();
        yard.rides.insert(id, Arc::new(ride));
        assert_eq!(now(&yard), None);
        yard.rides.clear();
        assert_eq!(now(&yard), None);
    }

    #[test]
    fn the_film_that_started_last_shows_a_moment() {
        let mut ids = IdMaker::seeded(3);
        let mut ride = sample::blank(&mut ids, sample::day(0));
        for (offset, length) in [(0, Some(60)), (40, Some(30)), (200, None)] {
            ride.films.push(Film {
                id: ids.next(),
                path: format!("{offset}.mp4"),
                fingerprint: None,
                offset: Moment(offset * SECOND),
                drift_ppb: 0,
                duration_nanos: length.map(|seconds: i64| seconds * SECOND),
                tilt: None,
            });
        }
        for (second, expect) in [
            (-1, None),
            (0, Some(("0.mp4", 0))),
            (39, Some(("0.mp4", 39 * SECOND))),
            (40, Some(("40.mp4", 0))),
            (70, Some(("40.mp4", 30 * SECOND - 1))),
            (71, None),
            (260, Some(("200.mp4", 60 * SECOND))),
        ] {
            let found = film_at(&ride, Moment(second * SECOND));
            let found = found.map(|(film, time)| (film.path.as_str(), time.0));
            assert_eq!(found, expect, "at {second} s");
        }
    }

    /// A mark of a made-up ride: at which second, and which bout it names, if any.
    fn marks() -> impl Strategy<Value = Vec<(i64, Option<usize>, bool)>> {
        proptest::collection::vec(
            (0_i64..400, proptest::option::of(0_usize..7), any::<bool>()),
            0..12,
        )
    }

    /// Marks of a made-up ride, and which of its five bouts are reviewed.
    type Marked = (Vec<(i64, Option<usize>, bool)>, Vec<bool>);

    fn marked() -> impl Strategy<Value = Marked> {
        (marks(), proptest::collection::vec(any::<bool>(), 5))
    }

    fn made(ids: &mut IdMaker, date: NaiveDate, (marks, reviewed): Marked) -> Ride {
        let mut ride = sample::blank(ids, date);
        for exercise in ["half-pass", "halt", "half-pass", "halt", "travers"] {
            sample::bout(ids, &mut ride, exercise, None, None);
        }
        for (bout, reviewed) in ride.bouts.iter_mut().zip(reviewed) {
            bout.reviewed = reviewed;
            bout.to = bout.to.map(|to| Moment(to.0 + 50 * SECOND));
        }
        for (second, bout, fault) in marks {
            let bout = bout.map(|at| ride.bouts.get(at).map_or_else(|| ids.next(), |b| b.id));
            let kind = if fault {
                MarkKind::Fault(sample::word("tense"))
            } else {
                MarkKind::Note
            };
            ride.marks.push(Mark {
                id: ids.next(),
                review: ride.head.counting,
                at: Moment(second * SECOND),
                kind,
                bout,
                note: String::new(),
                origin: None,
                press: None,
                place: None,
            });
        }
        ride
    }

    /// How many faults and clean attempts are behind a line.
    fn behind(yard: &Yard, question: &Question, exercise: &WordId) -> (usize, usize) {
        let found = moments(yard, question, exercise);
        (found.faults.len(), found.clean.len())
    }

    /// How many a line counts.
    fn counted(cell: &Cell) -> (usize, usize) {
        let clean = cell.rate.tally.attempts - cell.rate.tally.faulty;
        (cell.faults as usize, clean as usize)
    }

    proptest! {
        // Each case shuffles rides thousands of times.
        #![proptest_config(ProptestConfig::with_cases(64))]

        /// As many moments behind every line as it counts faults and clean attempts, in the days
        /// asked about as in those compared with, wherever marks lie and whichever bouts are
        /// reviewed.
        #[test]
        fn there_are_as_many_moments_as_faults_and_clean_attempts(
            before in marked(),
            now in marked(),
        ) {
            let mut ids = IdMaker::seeded(9);
            let rides = [(0, before), (1, now)];
            let rides = rides.map(|(day, marked)| made(&mut ids, sample::day(day), marked));
            let mut yard = sample::yard();
            yard.rides = rides.map(|ride| (ride.id, Arc::new(ride))).into();
            let only = |day| Days { from: Some(sample::day(day)), to: Some(sample::day(day)) };
            let question = Question { days: only(1), against: Some(only(0)), ..all() };
            let earlier = question.earlier().expect("days compared with");
            let numbers = numbers(&yard, &question);
            for exercise in ["half-pass", "halt", "travers"].map(sample::word) {
                let line = numbers.lines.iter().find(|line| line.exercise == exercise);
                let now = behind(&yard, &question, &exercise);
                let Some(line) = line else {
                    prop_assert_eq!(now, (0, 0), "{} has no line", exercise);
                    continue;
                };
                prop_assert_eq!(now, counted(&line.figures.all), "{}", &exercise);
                let compared = line.compared.expect("days compared with");
                let before = behind(&yard, &earlier, &exercise);
                prop_assert_eq!(before, counted(&compared.earlier), "before, {}", exercise);
            }
        }
    }
}
