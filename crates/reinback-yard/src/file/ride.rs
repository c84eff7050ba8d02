//! A ride's file.

use chrono::{NaiveDate, NaiveTime};
use reinback_analysis::{Moment, Rein, Span};
use serde::{Deserialize, Serialize};

use super::format;
use super::mark::StoredMark;
use super::sheet::StoredTest;
use super::text::Text;
use super::yard::{StoredPace, is_false};
use crate::id::{BoutId, FilmId, HorseId, ReviewId, RideId, SpanId};
use crate::model::{
    Arena, Asked, Bout, Film, Leg, OutlineSpan, PaceSpan, Review, Ride, RideHead, Score, TempoTrack,
};
use crate::words::WordId;

/// `rides/<year>/<date>-<horse>-<id>.ron`.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Ride", deny_unknown_fields)]
pub(in crate::file) struct StoredRide {
    format: u32,
    id: Text<RideId>,
    horse: Text<HorseId>,
    date: Text<NaiveDate>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    time: Option<Text<NaiveTime>>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    title: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    notes: String,
    reviews: Vec<StoredReview>,
    counting: Text<ReviewId>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    arena: Option<StoredArena>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    films: Vec<StoredFilm>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    bouts: Vec<StoredBout>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    marks: Vec<StoredMark>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    paces: Vec<StoredPaceSpan>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    outlines: Vec<StoredOutlineSpan>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    tempos: Vec<StoredTempoTrack>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    test: Option<StoredTest>,
}

/// A ride's head on its own, in the journal.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "RideHead", deny_unknown_fields)]
pub(in crate::file) struct StoredHead {
    horse: Text<HorseId>,
    date: Text<NaiveDate>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    time: Option<Text<NaiveTime>>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    title: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    notes: String,
    reviews: Vec<StoredReview>,
    counting: Text<ReviewId>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    arena: Option<StoredArena>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Review", deny_unknown_fields)]
struct StoredReview {
    id: Text<ReviewId>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    reviewer: String,
    #[serde(default, skip_serializing_if = "is_false")]
    blind: bool,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Film", deny_unknown_fields)]
pub(in crate::file) struct StoredFilm {
    id: Text<FilmId>,
    path: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    fingerprint: Option<String>,
    offset: Text<Moment>,
    #[serde(default, skip_serializing_if = "is_zero")]
    drift_ppb: i32,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    duration: Option<Text<Moment>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    tilt: Option<i32>,
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde calls it with a reference"
)]
fn is_zero(value: &i32) -> bool {
    *value == 0
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Bout", deny_unknown_fields)]
pub(in crate::file) struct StoredBout {
    id: Text<BoutId>,
    review: Text<ReviewId>,
    exercise: Text<WordId>,
    from: Text<Moment>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    to: Option<Text<Moment>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    rein: Option<StoredRein>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    variant: Option<Text<WordId>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    asked_count: Option<u16>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    asked_every: Option<u16>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    score: Option<Text<Score>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    letter_from: Option<Text<char>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    letter_to: Option<Text<char>>,
    #[serde(default)]
    reviewed: bool,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename = "Rein")]
pub(super) enum StoredRein {
    Left,
    Right,
}

#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename = "Arena")]
enum StoredArena {
    Standard,
    Small,
}

#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename = "Leg")]
enum StoredLeg {
    LeftHind,
    RightHind,
    LeftFore,
    RightFore,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "TempoTrack", deny_unknown_fields)]
pub(in crate::file) struct StoredTempoTrack {
    id: Text<SpanId>,
    review: Text<ReviewId>,
    leg: StoredLeg,
    taps: Vec<Text<Moment>>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "PaceSpan", deny_unknown_fields)]
pub(in crate::file) struct StoredPaceSpan {
    id: Text<SpanId>,
    from: Text<Moment>,
    to: Text<Moment>,
    pace: StoredPace,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    variant: Option<Text<WordId>>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "OutlineSpan", deny_unknown_fields)]
pub(in crate::file) struct StoredOutlineSpan {
    id: Text<SpanId>,
    from: Text<Moment>,
    to: Text<Moment>,
    outline: Text<WordId>,
}

impl StoredRide {
    pub(in crate::file) fn from_model(ride: &Ride) -> Self {
        let head = StoredHead::from_model(&ride.head);
        Self {
            format: format::of_ride(ride),
            id: Text(ride.id),
            horse: head.horse,
            date: head.date,
            time: head.time,
            title: head.title,
            notes: head.notes,
            reviews: head.reviews,
            counting: head.counting,
            arena: head.arena,
            films: ride.films.iter().map(StoredFilm::from_model).collect(),
            bouts: ride.bouts.iter().map(StoredBout::from_model).collect(),
            marks: ride.marks.iter().map(StoredMark::from_model).collect(),
            paces: ride.paces.iter().map(StoredPaceSpan::from_model).collect(),
            outlines: ride
                .outlines
                .iter()
                .map(StoredOutlineSpan::from_model)
                .collect(),
            tempos: ride
                .tempos
                .iter()
                .map(StoredTempoTrack::from_model)
                .collect(),
            test: ride.test.as_deref().map(StoredTest::from_model),
        }
    }

    pub(in crate::file) fn into_model(self) -> Ride {
        let head = StoredHead {
            horse: self.horse,
            date: self.date,
            time: self.time,
            title: self.title,
            notes: self.notes,
            reviews: self.reviews,
            counting: self.counting,
            arena: self.arena,
        };
        Ride {
            id: self.id.0,
            head: head.into_model(),
            films: self.films.into_iter().map(StoredFilm::into_model).collect(),
            bouts: self.bouts.into_iter().map(StoredBout::into_model).collect(),
            marks: self.marks.into_iter().map(StoredMark::into_model).collect(),
            paces: self
                .paces
                .into_iter()
                .map(StoredPaceSpan::into_model)
                .collect(),
            outlines: self
                .outlines
                .into_iter()
                .map(StoredOutlineSpan::into_model)
                .collect(),
            tempos: self
                .tempos
                .into_iter()
                .map(StoredTempoTrack::into_model)
                .collect(),
            test: self.test.map(|test| Box::new(test.into_model())),
        }
    }
}

impl StoredHead {
    pub(super) fn from_model(head: &RideHead) -> Self {
        let review = |review: &Review| StoredReview {
            id: Text(review.id),
            reviewer: review.reviewer.clone(),
            blind: review.blind,
        };
        Self {
            horse: Text(head.horse),
            date: Text(head.date),
            time: head.time.map(Text),
            title: head.title.clone(),
            notes: head.notes.clone(),
            reviews: head.reviews.iter().map(review).collect(),
            counting: Text(head.counting),
            arena: head.arena.map(StoredArena::from_model),
        }
    }

    pub(super) fn into_model(self) -> RideHead {
        let review = |review: StoredReview| Review {
            id: review.id.0,
            reviewer: review.reviewer,
            blind: review.blind,
        };
        RideHead {
            horse: self.horse.0,
            date: self.date.0,
            time: self.time.map(|time| time.0),
            title: self.title,
            notes: self.notes,
            reviews: self.reviews.into_iter().map(review).collect(),
            counting: self.counting.0,
            arena: self.arena.map(StoredArena::into_model),
        }
    }
}

impl StoredFilm {
    pub(super) fn from_model(film: &Film) -> Self {
        Self {
            id: Text(film.id),
            path: film.path.clone(),
            fingerprint: film.fingerprint.clone(),
            offset: Text(film.offset),
            drift_ppb: film.drift_ppb,
            duration: film.duration_nanos.map(|nanos| Text(Moment(nanos))),
            tilt: film.tilt,
        }
    }

    pub(super) fn into_model(self) -> Film {
        Film {
            id: self.id.0,
            path: self.path,
            fingerprint: self.fingerprint,
            offset: self.offset.0,
            drift_ppb: self.drift_ppb,
            duration_nanos: self.duration.map(|duration| duration.0.0),
            tilt: self.tilt,
        }
    }
}

impl StoredBout {
    pub(super) fn from_model(bout: &Bout) -> Self {
        Self {
            id: Text(bout.id),
            review: Text(bout.review),
            exercise: Text(bout.exercise.clone()),
            from: Text(bout.from),
            to: bout.to.map(Text),
            rein: bout.rein.map(StoredRein::from_model),
            variant: bout.variant.clone().map(Text),
            asked_count: bout.asked.count,
            asked_every: bout.asked.every,
            score: bout.score.map(Text),
            letter_from: bout.letters.0.map(Text),
            letter_to: bout.letters.1.map(Text),
            reviewed: bout.reviewed,
            note: bout.note.clone(),
        }
    }

    pub(super) fn into_model(self) -> Bout {
        Bout {
            id: self.id.0,
            review: self.review.0,
            exercise: self.exercise.0,
            from: self.from.0,
            to: self.to.map(|to| to.0),
            rein: self.rein.map(StoredRein::into_model),
            variant: self.variant.map(|variant| variant.0),
            asked: Asked {
                count: self.asked_count,
                every: self.asked_every,
            },
            score: self.score.map(|score| score.0),
            letters: (
                self.letter_from.map(|letter| letter.0),
                self.letter_to.map(|letter| letter.0),
            ),
            reviewed: self.reviewed,
            note: self.note,
        }
    }
}

impl StoredPaceSpan {
    pub(super) fn from_model(span: &PaceSpan) -> Self {
        Self {
            id: Text(span.id),
            from: Text(span.span.from),
            to: Text(span.span.to),
            pace: StoredPace::from_model(span.pace),
            variant: span.variant.clone().map(Text),
        }
    }

    pub(super) fn into_model(self) -> PaceSpan {
        PaceSpan {
            id: self.id.0,
            span: Span {
                from: self.from.0,
                to: self.to.0,
            },
            pace: self.pace.into_model(),
            variant: self.variant.map(|variant| variant.0),
        }
    }
}

impl StoredOutlineSpan {
    pub(super) fn from_model(span: &OutlineSpan) -> Self {
        Self {
            id: Text(span.id),
            from: Text(span.span.from),
            to: Text(span.span.to),
            outline: Text(span.outline.clone()),
        }
    }

    pub(super) fn into_model(self) -> OutlineSpan {
        OutlineSpan {
            id: self.id.0,
            span: Span {
                from: self.from.0,
                to: self.to.0,
            },
            outline: self.outline.0,
        }
    }
}

impl StoredRein {
    pub(super) const fn from_model(value: Rein) -> Self {
        match value {
            Rein::Left => Self::Left,
            Rein::Right => Self::Right,
        }
    }

    pub(super) const fn into_model(self) -> Rein {
        match self {
            Self::Left => Rein::Left,
            Self::Right => Rein::Right,
        }
    }
}

impl StoredArena {
    const fn from_model(value: Arena) -> Self {
        match value {
            Arena::Standard => Self::Standard,
            Arena::Small => Self::Small,
        }
    }

    const fn into_model(self) -> Arena {
        match self {
            Self::Standard => Arena::Standard,
            Self::Small => Arena::Small,
        }
    }
}

impl StoredLeg {
    const fn from_model(value: Leg) -> Self {
        match value {
            Leg::LeftHind => Self::LeftHind,
            Leg::RightHind => Self::RightHind,
            Leg::LeftFore => Self::LeftFore,
            Leg::RightFore => Self::RightFore,
        }
    }

    const fn into_model(self) -> Leg {
        match self {
            Self::LeftHind => Leg::LeftHind,
            Self::RightHind => Leg::RightHind,
            Self::LeftFore => Leg::LeftFore,
            Self::RightFore => Leg::RightFore,
        }
    }
}

impl StoredTempoTrack {
    pub(super) fn from_model(track: &TempoTrack) -> Self {
        Self {
            id: Text(track.id),
            review: Text(track.review),
            leg: StoredLeg::from_model(track.leg),
            taps: track.taps.iter().copied().map(Text).collect(),
        }
    }

    pub(super) fn into_model(self) -> TempoTrack {
        TempoTrack {
            id: self.id.0,
            review: self.review.0,
            leg: self.leg.into_model(),
            taps: self.taps.into_iter().map(|tap| tap.0).collect(),
        }
    }
}
