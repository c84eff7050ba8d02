//! What a yard holds: horses, words and rides; a ride holds films, bouts, marks and spans.
//!
//! Plain data with public fields. [`crate::Edit`] is the only way a [`crate::Document`]
//! changes it, and keeps the invariants named on each type.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{NaiveDate, NaiveTime};
pub use reinback_analysis::Pace;
pub use reinback_analysis::place::Arena;
use reinback_analysis::{Moment, Rein, Span};

use crate::id::{BoutId, FilmId, HorseId, MarkId, ReviewId, RideId, SpanId};
use crate::words::{WordId, Words};

mod follow;
mod test_sheet;
pub use test_sheet::{
    Cost, ErrorRules, Judge, JudgedLine, Known, LineKind, MAX_JUDGES, RiddenTest, Seen, SheetLine,
    Step, TestMark, TestSheet,
};

/// One folder: the horses, the words in use, and all rides.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Yard {
    /// What the rider calls it.
    pub name: String,
    /// Set on the demo yard: every room takes the day of the last ride for today, and says so.
    pub as_of_last_ride: bool,
    /// The editable vocabulary.
    pub words: Words,
    /// Sorted by name, then id.
    pub horses: Vec<Horse>,
    /// Test sheets to choose from; sorted by name, then id.
    pub sheets: Vec<TestSheet>,
    /// Shared, so that a snapshot for a worker costs no copy of the rides.
    pub rides: BTreeMap<RideId, Arc<Ride>>,
}

impl Yard {
    /// The horse with this id.
    #[must_use]
    pub fn horse(&self, id: HorseId) -> Option<&Horse> {
        self.horses.iter().find(|horse| horse.id == id)
    }

    /// The ride with this id.
    #[must_use]
    pub fn ride(&self, id: RideId) -> Option<&Ride> {
        self.rides.get(&id).map(Arc::as_ref)
    }

    /// All rides, oldest first; rides of one day by their time, then by id.
    #[must_use]
    pub fn rides_by_date(&self) -> Vec<&Ride> {
        let mut rides: Vec<&Ride> = self.rides.values().map(Arc::as_ref).collect();
        rides.sort_by_key(|ride| (ride.head.date, ride.head.time, ride.id));
        rides
    }

    /// The day of the newest ride.
    #[must_use]
    pub fn last_day(&self) -> Option<NaiveDate> {
        self.rides.values().map(|ride| ride.head.date).max()
    }
}

/// A horse of the yard.
#[derive(Clone, Debug, PartialEq)]
pub struct Horse {
    /// Unique in the yard.
    pub id: HorseId,
    /// Not empty.
    pub name: String,
    /// Calendar year of birth; ages count from 1 January of it, as in the FEI rules.
    pub foaled: Option<i32>,
    /// Stage of training in the rider's words ("Prix St Georges", "just backed").
    pub stage: String,
    /// Free text.
    pub notes: String,
}

impl Horse {
    /// Age in whole calendar years on a day, `None` when the year of birth is unknown or later.
    #[must_use]
    pub fn age_on(&self, day: NaiveDate) -> Option<i32> {
        use chrono::Datelike as _;
        self.foaled
            .and_then(|year| day.year().checked_sub(year))
            .filter(|age| *age >= 0)
    }
}

/// One session on one horse on one day.
#[derive(Clone, Debug, PartialEq)]
pub struct Ride {
    /// Unique in the yard.
    pub id: RideId,
    /// Whose ride and when.
    pub head: RideHead,
    /// Sorted by offset, then id.
    pub films: Vec<Film>,
    /// Sorted by start, then id.
    pub bouts: Vec<Bout>,
    /// Sorted by moment, then id.
    pub marks: Vec<Mark>,
    /// Sorted by start, then id.
    pub paces: Vec<PaceSpan>,
    /// Sorted by start, then id.
    pub outlines: Vec<OutlineSpan>,
    /// Sorted by the first tap, then id.
    pub tempos: Vec<TempoTrack>,
    /// The test that was ridden, if one was.
    pub test: Option<Box<RiddenTest>>,
}

impl Ride {
    /// A ride in which nothing is known to have happened yet, with one review that counts.
    #[must_use]
    pub fn new(id: RideId, horse: HorseId, date: NaiveDate, review: Review) -> Self {
        let counting = review.id;
        let (title, notes) = (String::new(), String::new());
        let reviews = vec![review];
        let head = RideHead {
            horse,
            date,
            time: None,
            title,
            notes,
            reviews,
            counting,
            arena: None,
        };
        let (films, bouts, marks) = (Vec::new(), Vec::new(), Vec::new());
        Self {
            id,
            head,
            films,
            bouts,
            marks,
            paces: Vec::new(),
            outlines: Vec::new(),
            tempos: Vec::new(),
            test: None,
        }
    }
}

/// What is known of a ride apart from what happened in it.
#[derive(Clone, Debug, PartialEq)]
pub struct RideHead {
    /// The horse ridden.
    pub horse: HorseId,
    /// Local calendar day.
    pub date: NaiveDate,
    /// Local time of day at the ride clock's zero, if known.
    pub time: Option<NaiveTime>,
    /// A few words ("lesson", "show, Prix St Georges"); may be empty.
    pub title: String,
    /// Free text.
    pub notes: String,
    /// The people who reviewed this ride. Never empty.
    pub reviews: Vec<Review>,
    /// The one review whose bouts and marks enter rates; one of `reviews`.
    pub counting: ReviewId,
    /// The arena it was ridden in, where that is known.
    pub arena: Option<Arena>,
}

/// One person's review of a ride.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Review {
    /// Unique in the ride.
    pub id: ReviewId,
    /// Who reviewed; may be empty for the yard's owner.
    pub reviewer: String,
    /// What others marked stays hidden from this review until it is done and compared.
    pub blind: bool,
}

/// One video file placed on the ride clock; the file itself is never copied, moved or changed.
#[derive(Clone, Debug, PartialEq)]
pub struct Film {
    /// Unique in the ride.
    pub id: FilmId,
    /// Relative to the yard's folder where the film lies below it, else absolute. Always `/`.
    pub path: String,
    /// Content fingerprint, so that a moved film is found again.
    pub fingerprint: Option<String>,
    /// Ride clock at the film's first presented frame.
    pub offset: Moment,
    /// How much faster than the ride clock the film runs, in parts per thousand million; 0 is
    /// the rule. Within ±100 million (a tenth).
    pub drift_ppb: i32,
    /// Length in nanoseconds once it has been read, so that the strip is right without the file.
    pub duration_nanos: Option<i64>,
    /// How far the picture is turned clockwise from plumb, in thousandths of a degree, within
    /// ±90 000; `None` while nobody has said.
    pub tilt: Option<i32>,
}

/// The largest drift a film may have, in parts per thousand million. Our own choice.
pub const MAX_DRIFT_PPB: i32 = 100_000_000;

/// The largest tilt a film may have, in thousandths of a degree: beyond it lies on its side.
pub const MAX_TILT: i32 = 90_000;

const BILLION: i128 = 1_000_000_000;

impl Film {
    /// The ride clock at a time of the film (nanoseconds since its first frame).
    #[must_use]
    pub fn ride_from_film(&self, film_nanos: i64) -> Moment {
        let scaled = i128::from(film_nanos) * BILLION;
        let rate = BILLION + i128::from(self.drift_ppb);
        Moment(saturate(
            i128::from(self.offset.0) + rounded_quotient(scaled, rate),
        ))
    }

    /// The film's time (nanoseconds since its first frame) at a moment of the ride clock;
    /// negative before the film starts.
    #[must_use]
    pub fn film_from_ride(&self, moment: Moment) -> i64 {
        let since = i128::from(moment.0) - i128::from(self.offset.0);
        let rate = BILLION + i128::from(self.drift_ppb);
        saturate(rounded_quotient(since * rate, BILLION))
    }

    /// The stretch of the ride clock this film shows, if its length is known.
    #[must_use]
    pub fn span(&self) -> Option<Span> {
        let duration = self.duration_nanos?;
        Some(Span {
            from: self.offset,
            to: self.ride_from_film(duration).max(self.offset),
        })
    }
}

fn rounded_quotient(numerator: i128, denominator: i128) -> i128 {
    (2 * numerator + denominator).div_euclid(2 * denominator)
}

fn saturate(nanos: i128) -> i64 {
    i64::try_from(nanos).unwrap_or(if nanos < 0 { i64::MIN } else { i64::MAX })
}

/// One attempt at one exercise.
#[derive(Clone, Debug, PartialEq)]
pub struct Bout {
    /// Unique in the ride.
    pub id: BoutId,
    /// Whose review this belongs to.
    pub review: ReviewId,
    /// The exercise ridden; a word of the yard, or one it no longer knows.
    pub exercise: WordId,
    /// Start.
    pub from: Moment,
    /// End, not before the start; `None` while the bout is still running.
    pub to: Option<Moment>,
    /// On which rein, where that is known.
    pub rein: Option<Rein>,
    /// Variant of the exercise ("in canter", "10 m").
    pub variant: Option<WordId>,
    /// Numbers asked of a series.
    pub asked: Asked,
    /// The rider's own mark.
    pub score: Option<Score>,
    /// Arena letter where it began and ended.
    pub letters: (Option<char>, Option<char>),
    /// Only reviewed bouts count as attempts. A running bout is never reviewed.
    pub reviewed: bool,
    /// Free text.
    pub note: String,
}

impl Bout {
    /// The bout's extent; `None` while it is still running.
    #[must_use]
    pub fn span(&self) -> Option<Span> {
        Some(Span {
            from: self.from,
            to: self.to?,
        })
    }

    /// The bout's extent; one still running reaches to `now`.
    #[must_use]
    pub fn span_until(&self, now: Moment) -> Span {
        Span {
            from: self.from,
            to: self.to.unwrap_or(now).max(self.from),
        }
    }
}

/// Numbers asked of a series ("five changes every third stride").
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Asked {
    /// How many repetitions; at least 1.
    pub count: Option<u16>,
    /// Every how many strides; at least 1.
    pub every: Option<u16>,
}

/// A mark from 0 to 10 in steps of a half, as judges give it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Score(u8);

impl Score {
    /// From half marks, 0 to 20.
    #[must_use]
    pub const fn from_halves(halves: u8) -> Option<Self> {
        if halves <= 20 {
            Some(Self(halves))
        } else {
            None
        }
    }

    /// In half marks, 0 to 20.
    #[must_use]
    pub const fn halves(self) -> u8 {
        self.0
    }
}

impl std::fmt::Display for Score {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let half = if self.0 % 2 == 1 { ".5" } else { "" };
        write!(f, "{}{half}", self.0 / 2)
    }
}

/// One time-coded entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Unique in the ride.
    pub id: MarkId,
    /// Whose review this belongs to.
    pub review: ReviewId,
    /// When.
    pub at: Moment,
    /// What.
    pub kind: MarkKind,
    /// The bout it belongs to, by the reviewer's choice rather than by its moment: a late
    /// press may fall behind the bout's end. One that is gone counts as none.
    pub bout: Option<BoutId>,
    /// Free text.
    pub note: String,
    /// What it was made of, where it was brought in from elsewhere.
    pub origin: Option<Box<Origin>>,
    /// The press that made it, where that is known.
    pub press: Option<Press>,
    /// Where in the arena, where that was said.
    pub place: Option<ArenaPlace>,
}

impl Mark {
    /// Whether it stands on the very frame it is about: pressed while the film stood, or set to
    /// its frame since. Only such marks count strides.
    #[must_use]
    pub fn is_on_its_frame(&self) -> bool {
        self.press.is_some_and(|press| press.refined)
    }
}

/// The press of a key that made a mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Press {
    /// The frame that was on screen.
    pub shown: Moment,
    /// What was taken off for the reviewer's delay, in nanoseconds of the ride clock; 0 while the
    /// film stood, never negative.
    pub correction: i64,
    /// Whether the mark was made on a film that stood, or was set to its frame since.
    pub refined: bool,
}

/// Where a mark came from that was not made in front of the film.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Origin {
    /// The name of the file, or what else it was ("pasted").
    pub source: String,
    /// The line on which it began there, counted from 1.
    pub line: u32,
    /// The time as it was written there.
    pub time: String,
    /// The words as they were written there.
    pub text: String,
}

/// What a mark says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MarkKind {
    /// What went wrong, in the trade's short words for the exercise.
    Fault(WordId),
    /// Well ridden.
    Praise,
    /// The exercise was ridden again.
    Repeated,
    /// Only its note.
    Note,
    /// A flying change, onto this lead where that was seen.
    Change(Option<Rein>),
    /// The rider gave the aid for what comes next.
    Aid,
    /// Something measured on the frame.
    Measured(Box<Measured>),
}

impl MarkKind {
    /// What kind of entry it is, as files for other programs call it.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Fault(_) => "fault",
            Self::Praise => "praise",
            Self::Repeated => "repeated",
            Self::Note => "note",
            Self::Change(_) => "change",
            Self::Aid => "aid",
            Self::Measured(_) => "measured",
        }
    }
}

/// A place in the arena, in centimetres from the corner at the end of A on the side of K. May lie
/// up to a metre outside, as a place on the rail does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ArenaPlace {
    /// From the long side with K.
    pub across_cm: i32,
    /// From the short side with A.
    pub along_cm: i32,
}

/// Lines drawn on a frame to measure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Measured {
    /// What they measure.
    pub kind: MeasureKind,
    /// On which film.
    pub film: FilmId,
    /// As many as the kind needs, in its order.
    pub points: Vec<Point>,
    /// What is taken for upright.
    pub plumb: Plumb,
}

/// What is measured, and with which points.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MeasureKind {
    /// The line of the nose against plumb: its upper end, its lower end, and a point of the neck,
    /// which says where the horse faces.
    NoseLine,
    /// The neck against the horizontal: its lower end at the withers, its upper end at the poll.
    NeckLine,
    /// The horse against its track: two points of the track, then the horse's hind and fore end.
    Lateral,
    /// Any angle: a point of one arm, where the arms meet, a point of the other.
    Angle,
    /// One length to another: the two ends of one, the two ends of the other.
    Ratio,
}

impl MeasureKind {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::NoseLine,
        Self::NeckLine,
        Self::Lateral,
        Self::Angle,
        Self::Ratio,
    ];

    /// As riders say it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::NoseLine => "nose line",
            Self::NeckLine => "neck line",
            Self::Lateral => "lateral angle",
            Self::Angle => "angle",
            Self::Ratio => "ratio",
        }
    }

    /// How many points it needs.
    #[must_use]
    pub const fn points(self) -> usize {
        match self {
            Self::NeckLine => 2,
            Self::NoseLine | Self::Angle => 3,
            Self::Lateral | Self::Ratio => 4,
        }
    }
}

/// A point of the upright picture with square pixels, in thousandths of a pixel from its upper
/// left corner; `y` goes down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Point {
    /// To the right.
    pub x: i32,
    /// Down.
    pub y: i32,
}

/// What is taken for upright on a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Plumb {
    /// The film's own tilt.
    Film,
    /// A line drawn along something upright, such as a post.
    Edge(Point, Point),
}

/// A stretch ridden in one pace.
#[derive(Clone, Debug, PartialEq)]
pub struct PaceSpan {
    /// Unique in the ride.
    pub id: SpanId,
    /// From where to where.
    pub span: Span,
    /// The pace.
    pub pace: Pace,
    /// Variant ("collected"), if noted.
    pub variant: Option<WordId>,
}

/// A stretch ridden in one posture of neck and head.
#[derive(Clone, Debug, PartialEq)]
pub struct OutlineSpan {
    /// Unique in the ride.
    pub id: SpanId,
    /// From where to where.
    pub span: Span,
    /// Which outline; a word of the yard.
    pub outline: WordId,
}

/// Taps on one footfall, stride by stride, from which the tempo is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TempoTrack {
    /// Unique in the ride.
    pub id: SpanId,
    /// Whose review this belongs to.
    pub review: ReviewId,
    /// The leg whose footfall was tapped.
    pub leg: Leg,
    /// One for each stride, each later than the one before; at least two.
    pub taps: Vec<Moment>,
}

impl TempoTrack {
    /// From its first tap to its last; `None` without taps, which the model does not allow.
    #[must_use]
    pub fn span(&self) -> Option<Span> {
        let (from, to) = (*self.taps.first()?, *self.taps.last()?);
        Some(Span { from, to })
    }
}

/// One of the horse's legs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Leg {
    /// Left hind.
    LeftHind,
    /// Right hind.
    RightHind,
    /// Left fore.
    #[default]
    LeftFore,
    /// Right fore.
    RightFore,
}

impl Leg {
    /// All four.
    pub const ALL: [Self; 4] = [
        Self::LeftHind,
        Self::RightHind,
        Self::LeftFore,
        Self::RightFore,
    ];

    /// As riders say it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::LeftHind => "left hind",
            Self::RightHind => "right hind",
            Self::LeftFore => "left fore",
            Self::RightFore => "right fore",
        }
    }
}

#[cfg(test)]
mod tests;
