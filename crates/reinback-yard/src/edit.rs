//! Every legal change to a yard. Applying one gives back its own inverse.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use reinback_analysis::Moment;

use crate::FileKey;
use crate::id::{BoutId, FilmId, HorseId, MarkId, RideId, SheetId, SpanId};
use crate::model::{
    Bout, Film, Horse, MAX_DRIFT_PPB, MAX_TILT, Mark, MarkKind, OutlineSpan, PaceSpan, RiddenTest,
    Ride, RideHead, TempoTrack, TestSheet, Yard,
};
use crate::words::Words;

/// One change. Most say "this thing is now so", with `None` for "gone": replaying one twice
/// does no harm, which is what the journal relies on.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// The yard's name.
    YardName(String),
    /// The whole vocabulary.
    Words(Box<Words>),
    /// A horse; only one without rides can go.
    Horse(HorseId, Option<Horse>),
    /// A test sheet of the yard. Rides keep their own copies.
    Sheet(SheetId, Option<Box<TestSheet>>),
    /// A whole ride, new or gone.
    Ride(RideId, Option<Box<Ride>>),
    /// What is known of a ride apart from what happened in it.
    RideHead(RideId, Box<RideHead>),
    /// A film of a ride.
    Film(RideId, FilmId, Option<Film>),
    /// A bout of a ride. Marks that belong to a bout that goes stay, and count as without one.
    Bout(RideId, BoutId, Option<Bout>),
    /// A mark of a ride.
    Mark(RideId, MarkId, Option<Mark>),
    /// A stretch in one pace.
    Pace(RideId, SpanId, Option<PaceSpan>),
    /// A stretch in one outline.
    Outline(RideId, SpanId, Option<OutlineSpan>),
    /// Taps of a stretch.
    Tempo(RideId, SpanId, Option<TempoTrack>),
    /// The test that was ridden.
    Test(RideId, Option<Box<RiddenTest>>),
    /// Several at once: all or none.
    Batch(Vec<Edit>),
}

/// Why a change was refused; nothing was changed.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The ride is not in the yard.
    #[error("this ride is no longer in the yard")]
    NoSuchRide(RideId),
    /// The ride names a horse that is not in the yard.
    #[error("the ride's horse is not in the yard")]
    NoSuchHorse(HorseId),
    /// The horse still has rides.
    #[error("this horse still has {0} rides; remove those first")]
    HorseHasRides(usize),
    /// A thing was given under another id than its own.
    #[error("a thing was given under another id than its own")]
    IdMismatch,
    /// A horse needs a name.
    #[error("a horse needs a name")]
    NoName,
    /// A ride needs a review that counts, and marks and bouts one they belong to.
    #[error("the review it belongs to is not part of this ride")]
    NoSuchReview,
    /// A span ends before it starts.
    #[error("the end lies before the start")]
    EndBeforeStart,
    /// A running bout cannot be reviewed.
    #[error("a bout that is still running cannot be set to reviewed")]
    ReviewedWhileRunning,
    /// An asked number of zero.
    #[error("an asked number must be at least 1")]
    AskedZero,
    /// A film's drift beyond a tenth.
    #[error("a film cannot run more than a tenth faster or slower than the ride")]
    DriftTooLarge,
    /// A film's tilt beyond a right angle.
    #[error("a film cannot be turned by more than 90 degrees from plumb")]
    TiltTooLarge,
    /// Taps that are too few, or not one after the other.
    #[error("a tempo needs two taps or more, each later than the one before")]
    TapsNotInOrder,
    /// A measure with too few or too many points.
    #[error("a measure does not have the points it needs")]
    WrongPoints,
    /// A sheet needs a name.
    #[error("a test sheet needs a name")]
    SheetWithoutName,
    /// A ridden test with another number of lines or marks than its sheet and judges ask for.
    #[error("each line of a test needs a mark, or a gap, for each of at most 20 judges")]
    TestDoesNotFit,
    /// Two things of one kind have the same id.
    #[error("two things here have the same id")]
    DuplicateId,
}

impl Edit {
    /// The ride this edit touches, if it touches exactly one.
    #[must_use]
    pub fn ride(&self) -> Option<RideId> {
        match self {
            Self::YardName(_) | Self::Words(_) | Self::Horse(..) | Self::Sheet(..) => None,
            Self::Ride(ride, _)
            | Self::RideHead(ride, _)
            | Self::Film(ride, ..)
            | Self::Bout(ride, ..)
            | Self::Mark(ride, ..)
            | Self::Pace(ride, ..)
            | Self::Outline(ride, ..)
            | Self::Tempo(ride, ..)
            | Self::Test(ride, _) => Some(*ride),
            Self::Batch(edits) => {
                let first = edits.first()?.ride()?;
                edits
                    .iter()
                    .all(|edit| edit.ride() == Some(first))
                    .then_some(first)
            }
        }
    }

    /// Makes the change and returns the change that takes it back.
    ///
    /// # Errors
    /// [`EditError`] when an invariant of the model would break; the yard is then as it was.
    pub fn apply(self, yard: &mut Yard) -> Result<Self, EditError> {
        self.apply_in(yard, Horses::Known)
    }

    /// Makes the change again over files that may already hold it, or later changes to other
    /// files of the yard: a ride and its horse need not be there together at every step.
    pub(crate) fn replay(self, yard: &mut Yard) -> Result<Self, EditError> {
        self.apply_in(yard, Horses::Any)
    }

    /// The files this edit changes.
    pub(crate) fn files(&self) -> BTreeSet<FileKey> {
        match self {
            Self::Batch(edits) => edits.iter().flat_map(Self::files).collect(),
            other => [other.ride().map_or(FileKey::Yard, FileKey::Ride)].into(),
        }
    }

    fn apply_in(self, yard: &mut Yard, horses: Horses) -> Result<Self, EditError> {
        match self {
            Self::YardName(name) => Ok(Self::YardName(std::mem::replace(&mut yard.name, name))),
            Self::Words(words) => Ok(Self::Words(Box::new(std::mem::replace(
                &mut yard.words,
                *words,
            )))),
            Self::Horse(id, horse) => set_horse(yard, id, horse, horses),
            Self::Sheet(id, sheet) => set_sheet(yard, id, sheet),
            Self::Ride(id, ride) => set_ride(yard, id, ride, horses),
            Self::RideHead(id, head) => set_head(yard, id, *head, horses),
            Self::Film(ride, id, film) => {
                film.as_ref().map_or(Ok(()), check_film)?;
                let films = &mut ride_mut(yard, ride)?.films;
                Ok(Self::Film(ride, id, set_sorted(films, id, film)?))
            }
            Self::Bout(ride, id, bout) => set_bout(yard, ride, id, bout),
            Self::Mark(ride, id, mark) => {
                let target = ride_mut(yard, ride)?;
                if let Some(mark) = &mark {
                    check_mark(&target.head, mark)?;
                }
                Ok(Self::Mark(
                    ride,
                    id,
                    set_sorted(&mut target.marks, id, mark)?,
                ))
            }
            Self::Pace(ride, id, span) => {
                let target = ride_mut(yard, ride)?;
                check_span(span.as_ref().map(|s| s.span))?;
                Ok(Self::Pace(
                    ride,
                    id,
                    set_sorted(&mut target.paces, id, span)?,
                ))
            }
            Self::Outline(ride, id, span) => {
                let target = ride_mut(yard, ride)?;
                check_span(span.as_ref().map(|s| s.span))?;
                Ok(Self::Outline(
                    ride,
                    id,
                    set_sorted(&mut target.outlines, id, span)?,
                ))
            }
            Self::Tempo(ride, id, track) => {
                let target = ride_mut(yard, ride)?;
                if let Some(track) = &track {
                    check_tempo(&target.head, track)?;
                }
                let before = set_sorted(&mut target.tempos, id, track)?;
                Ok(Self::Tempo(ride, id, before))
            }
            Self::Test(ride, test) => {
                let target = ride_mut(yard, ride)?;
                test.as_deref().map_or(Ok(()), check_test)?;
                Ok(Self::Test(ride, std::mem::replace(&mut target.test, test)))
            }
            Self::Batch(edits) => apply_all(yard, edits, horses),
        }
    }
}

/// Whether a ride's horse must be in the yard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Horses {
    Known,
    Any,
}

fn apply_all(yard: &mut Yard, edits: Vec<Edit>, horses: Horses) -> Result<Edit, EditError> {
    if let Some(ride) = ride_of_marks(&edits) {
        return set_marks(ride_mut(yard, ride)?, edits).map(Edit::Batch);
    }
    let mut inverses = Vec::with_capacity(edits.len());
    for edit in edits {
        match edit.apply_in(yard, horses) {
            Ok(inverse) => inverses.push(inverse),
            Err(error) => {
                for inverse in inverses.into_iter().rev() {
                    let undone = inverse.apply_in(yard, horses);
                    debug_assert!(undone.is_ok(), "an inverse must always apply: {undone:?}");
                }
                return Err(error);
            }
        }
    }
    inverses.reverse();
    Ok(Edit::Batch(inverses))
}

/// The ride whose marks alone are changed, where they are many: finding the place of each by itself
/// takes time with the square of their number. From how many on is our own choice.
fn ride_of_marks(edits: &[Edit]) -> Option<RideId> {
    const MANY: usize = 64;
    let Some(Edit::Mark(ride, ..)) = edits.first().filter(|_| edits.len() >= MANY) else {
        return None;
    };
    let alike = |edit: &Edit| matches!(edit, Edit::Mark(own, ..) if own == ride);
    edits.iter().all(alike).then_some(*ride)
}

/// Sets many marks of one ride, all or none; as setting one after the other, in less time.
fn set_marks(ride: &mut Ride, edits: Vec<Edit>) -> Result<Vec<Edit>, EditError> {
    let mut marks: BTreeMap<MarkId, Mark> = ride
        .marks
        .iter()
        .map(|mark| (mark.id, mark.clone()))
        .collect();
    let mut inverses = Vec::with_capacity(edits.len());
    for edit in edits {
        let Edit::Mark(of, id, mark) = edit else {
            continue;
        };
        let before = match mark {
            Some(mark) => {
                check_mark(&ride.head, &mark)?;
                if mark.id != id {
                    return Err(EditError::IdMismatch);
                }
                marks.insert(id, mark)
            }
            None => marks.remove(&id),
        };
        inverses.push(Edit::Mark(of, id, before));
    }
    inverses.reverse();
    ride.marks = marks.into_values().collect();
    ride.marks.sort_by_key(Placed::key);
    Ok(inverses)
}

fn set_horse(
    yard: &mut Yard,
    id: HorseId,
    horse: Option<Horse>,
    horses: Horses,
) -> Result<Edit, EditError> {
    if let Some(horse) = &horse {
        check_horse_name(horse)?;
    } else if horses == Horses::Known {
        let rides = yard
            .rides
            .values()
            .filter(|ride| ride.head.horse == id)
            .count();
        if rides > 0 {
            return Err(EditError::HorseHasRides(rides));
        }
    }
    Ok(Edit::Horse(id, set_sorted(&mut yard.horses, id, horse)?))
}

fn set_sheet(
    yard: &mut Yard,
    id: SheetId,
    sheet: Option<Box<TestSheet>>,
) -> Result<Edit, EditError> {
    let sheet = sheet.map(|sheet| *sheet);
    sheet.as_ref().map_or(Ok(()), check_sheet)?;
    let before = set_sorted(&mut yard.sheets, id, sheet)?;
    Ok(Edit::Sheet(id, before.map(Box::new)))
}

fn set_ride(
    yard: &mut Yard,
    id: RideId,
    ride: Option<Box<Ride>>,
    horses: Horses,
) -> Result<Edit, EditError> {
    let before = match ride {
        Some(ride) => {
            if ride.id != id {
                return Err(EditError::IdMismatch);
            }
            check_horse(yard, &ride.head, horses)?;
            if let Some((_, flaw)) = flaw_in_ride(&ride) {
                return Err(flaw);
            }
            yard.rides.insert(id, Arc::new(in_order(*ride)))
        }
        None => yard.rides.remove(&id),
    };
    Ok(Edit::Ride(
        id,
        before.map(|ride| Box::new(Arc::unwrap_or_clone(ride))),
    ))
}

fn set_head(
    yard: &mut Yard,
    id: RideId,
    head: RideHead,
    horses: Horses,
) -> Result<Edit, EditError> {
    check_horse(yard, &head, horses)?;
    check_reviews(&head)?;
    let ride = ride_mut(yard, id)?;
    let used = ride
        .bouts
        .iter()
        .map(|b| b.review)
        .chain(ride.marks.iter().map(|m| m.review))
        .chain(ride.tempos.iter().map(|t| t.review));
    for review in used {
        check_review(&head, review)?;
    }
    Ok(Edit::RideHead(
        id,
        Box::new(std::mem::replace(&mut ride.head, head)),
    ))
}

fn set_bout(
    yard: &mut Yard,
    ride: RideId,
    id: BoutId,
    bout: Option<Bout>,
) -> Result<Edit, EditError> {
    let target = ride_mut(yard, ride)?;
    if let Some(bout) = &bout {
        check_bout(&target.head, bout)?;
    }
    Ok(Edit::Bout(
        ride,
        id,
        set_sorted(&mut target.bouts, id, bout)?,
    ))
}

fn ride_mut(yard: &mut Yard, id: RideId) -> Result<&mut Ride, EditError> {
    yard.rides
        .get_mut(&id)
        .map(Arc::make_mut)
        .ok_or(EditError::NoSuchRide(id))
}

fn check_horse(yard: &Yard, head: &RideHead, horses: Horses) -> Result<(), EditError> {
    if horses == Horses::Known && yard.horse(head.horse).is_none() {
        return Err(EditError::NoSuchHorse(head.horse));
    }
    Ok(())
}

fn check_reviews(head: &RideHead) -> Result<(), EditError> {
    check_review(head, head.counting)?;
    let mut seen = BTreeSet::new();
    if head.reviews.iter().all(|review| seen.insert(review.id)) {
        Ok(())
    } else {
        Err(EditError::DuplicateId)
    }
}

fn check_review(head: &RideHead, id: crate::ReviewId) -> Result<(), EditError> {
    if head.reviews.iter().any(|review| review.id == id) {
        Ok(())
    } else {
        Err(EditError::NoSuchReview)
    }
}

fn check_bout(head: &RideHead, bout: &Bout) -> Result<(), EditError> {
    check_review(head, bout.review)?;
    if bout.to.is_some_and(|to| to < bout.from) {
        return Err(EditError::EndBeforeStart);
    }
    if bout.to.is_none() && bout.reviewed {
        return Err(EditError::ReviewedWhileRunning);
    }
    if bout.asked.count == Some(0) || bout.asked.every == Some(0) {
        return Err(EditError::AskedZero);
    }
    Ok(())
}

fn check_mark(head: &RideHead, mark: &Mark) -> Result<(), EditError> {
    check_review(head, mark.review)?;
    match &mark.kind {
        MarkKind::Measured(measured) if measured.points.len() != measured.kind.points() => {
            Err(EditError::WrongPoints)
        }
        _ => Ok(()),
    }
}

fn check_tempo(head: &RideHead, track: &TempoTrack) -> Result<(), EditError> {
    check_review(head, track.review)?;
    if track.taps.len() < 2 || !track.taps.is_sorted_by(|one, next| one < next) {
        return Err(EditError::TapsNotInOrder);
    }
    Ok(())
}

fn check_sheet(sheet: &TestSheet) -> Result<(), EditError> {
    if sheet.name.trim().is_empty() {
        Err(EditError::SheetWithoutName)
    } else {
        Ok(())
    }
}

fn check_test(test: &RiddenTest) -> Result<(), EditError> {
    check_sheet(&test.sheet)?;
    if test.fits() {
        Ok(())
    } else {
        Err(EditError::TestDoesNotFit)
    }
}

fn check_span(span: Option<reinback_analysis::Span>) -> Result<(), EditError> {
    match span {
        Some(span) if span.to < span.from => Err(EditError::EndBeforeStart),
        _ => Ok(()),
    }
}

fn check_film(film: &Film) -> Result<(), EditError> {
    if film.drift_ppb.unsigned_abs() > MAX_DRIFT_PPB.unsigned_abs() {
        return Err(EditError::DriftTooLarge);
    }
    if film
        .tilt
        .is_some_and(|tilt| tilt.unsigned_abs() > MAX_TILT.unsigned_abs())
    {
        return Err(EditError::TiltTooLarge);
    }
    Ok(())
}

/// The first thing in a ride that breaks an invariant of the model, by its id.
pub(crate) fn flaw_in_ride(ride: &Ride) -> Option<(String, EditError)> {
    let head = &ride.head;
    let of_head = check_reviews(head)
        .err()
        .map(|flaw| (ride.id.to_string(), flaw));
    of_head
        .or_else(|| first_flaw(&ride.films, check_film))
        .or_else(|| first_flaw(&ride.bouts, |bout| check_bout(head, bout)))
        .or_else(|| first_flaw(&ride.marks, |mark| check_mark(head, mark)))
        .or_else(|| first_flaw(&ride.paces, |pace| check_span(Some(pace.span))))
        .or_else(|| first_flaw(&ride.outlines, |outline| check_span(Some(outline.span))))
        .or_else(|| first_flaw(&ride.tempos, |track| check_tempo(head, track)))
        .or_else(|| {
            let test = ride.test.as_deref()?;
            let flaw = check_test(test).err()?;
            Some((test.sheet.id.to_string(), flaw))
        })
}

/// The first horse or sheet that breaks an invariant of the model, by its id.
pub(crate) fn flaw_in_yard(yard: &Yard) -> Option<(String, EditError)> {
    first_flaw(&yard.horses, check_horse_name).or_else(|| first_flaw(&yard.sheets, check_sheet))
}

fn check_horse_name(horse: &Horse) -> Result<(), EditError> {
    if horse.name.trim().is_empty() {
        Err(EditError::NoName)
    } else {
        Ok(())
    }
}

fn first_flaw<T: Placed>(
    things: &[T],
    check: impl Fn(&T) -> Result<(), EditError>,
) -> Option<(String, EditError)> {
    let mut seen = BTreeSet::new();
    things.iter().find_map(|thing| {
        let unique = if seen.insert(thing.id()) {
            Ok(())
        } else {
            Err(EditError::DuplicateId)
        };
        unique
            .and_then(|()| check(thing))
            .err()
            .map(|flaw| (thing.id().to_string(), flaw))
    })
}

/// Puts the horses and sheets of a yard in the model's order.
pub(crate) fn sort_yard(yard: &mut Yard) {
    yard.horses.sort_by_cached_key(Placed::key);
    yard.sheets.sort_by_cached_key(Placed::key);
}

/// Puts everything in a ride in the model's order.
pub(crate) fn in_order(mut ride: Ride) -> Ride {
    ride.films.sort_by_key(Placed::key);
    ride.bouts.sort_by_key(Placed::key);
    ride.marks.sort_by_key(Placed::key);
    ride.paces.sort_by_key(Placed::key);
    ride.outlines.sort_by_key(Placed::key);
    ride.tempos.sort_by_key(Placed::key);
    ride
}

/// A thing that has its place in a sorted list. The place depends on nothing but the thing,
/// so taking it out and putting it back restores the list exactly.
trait Placed {
    type Id: Copy + Ord + std::fmt::Display;
    type Key: Ord;
    fn id(&self) -> Self::Id;
    fn key(&self) -> Self::Key;
}

macro_rules! placed {
    ($($thing:ty, $id:ty, $key:ty, |$it:ident| $place:expr;)*) => { $(
        impl Placed for $thing {
            type Id = $id;
            type Key = ($key, $id);
            fn id(&self) -> $id {
                self.id
            }
            fn key(&self) -> Self::Key {
                let $it = self;
                ($place, self.id)
            }
        }
    )* };
}

placed! {
    Horse, HorseId, String, |it| it.name.clone();
    TestSheet, SheetId, String, |it| it.name.clone();
    Film, FilmId, Moment, |it| it.offset;
    Bout, BoutId, Moment, |it| it.from;
    Mark, MarkId, Moment, |it| it.at;
    PaceSpan, SpanId, Moment, |it| it.span.from;
    OutlineSpan, SpanId, Moment, |it| it.span.from;
    TempoTrack, SpanId, Option<Moment>, |it| it.taps.first().copied();
}

/// Puts `new` in the place of whatever has this id, and gives back what that was.
fn set_sorted<T: Placed>(
    list: &mut Vec<T>,
    id: T::Id,
    new: Option<T>,
) -> Result<Option<T>, EditError> {
    if new.as_ref().is_some_and(|thing| thing.id() != id) {
        return Err(EditError::IdMismatch);
    }
    let before = list
        .iter()
        .position(|thing| thing.id() == id)
        .map(|at| list.remove(at));
    if let Some(thing) = new {
        let at = list.partition_point(|other| other.key() < thing.key());
        list.insert(at, thing);
    }
    Ok(before)
}

#[cfg(test)]
mod tests;
