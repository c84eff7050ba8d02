//! A ride's file.

use chrono::{NaiveDate, NaiveTime};
use reinback_analysis::{Moment, Rein, Span};
use serde::{Deserialize, Serialize};

use super::super::text::Text;
use super::PaceV1;
use crate::id::{BoutId, FilmId, HorseId, MarkId, ReviewId, RideId, SpanId};
use crate::model::{
    Asked, Bout, Film, Mark, MarkKind, OutlineSpan, PaceSpan, Review, Ride, RideHead, Score,
};
use crate::words::WordId;

/// A mark as one of the formats has it; everything around it is the same in all of them.
pub(in crate::file) trait FormatMark: Sized {
    /// The format.
    const FORMAT: u32;

    fn from_model(mark: &Mark) -> Self;
    fn into_model(self) -> Mark;
}

/// `rides/<year>/<date>-<horse>-<id>.ron`.
#[derive(Debug, Serialize, Deserialize)]
#[serde(
    rename = "Ride",
    deny_unknown_fields,
    bound(deserialize = "M: Deserialize<'de>")
)]
pub(in crate::file) struct RideV1<M = MarkV1> {
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
    reviews: Vec<ReviewV1>,
    counting: Text<ReviewId>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    films: Vec<FilmV1>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    bouts: Vec<BoutV1>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    marks: Vec<M>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    paces: Vec<PaceSpanV1>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    outlines: Vec<OutlineSpanV1>,
}

/// A ride's head on its own, in the journal.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "RideHead", deny_unknown_fields)]
pub(in crate::file) struct HeadV1 {
    horse: Text<HorseId>,
    date: Text<NaiveDate>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    time: Option<Text<NaiveTime>>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    title: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    notes: String,
    reviews: Vec<ReviewV1>,
    counting: Text<ReviewId>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Review", deny_unknown_fields)]
struct ReviewV1 {
    id: Text<ReviewId>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    reviewer: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Film", deny_unknown_fields)]
pub(in crate::file) struct FilmV1 {
    id: Text<FilmId>,
    path: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    fingerprint: Option<String>,
    offset: Text<Moment>,
    #[serde(default, skip_serializing_if = "is_zero")]
    drift_ppb: i32,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    duration: Option<Text<Moment>>,
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
pub(in crate::file) struct BoutV1 {
    id: Text<BoutId>,
    review: Text<ReviewId>,
    exercise: Text<WordId>,
    from: Text<Moment>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    to: Option<Text<Moment>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    rein: Option<ReinV1>,
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
enum ReinV1 {
    Left,
    Right,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Mark", deny_unknown_fields)]
pub(in crate::file) struct MarkV1 {
    id: Text<MarkId>,
    review: Text<ReviewId>,
    at: Text<Moment>,
    kind: MarkKindV1,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    bout: Option<Text<BoutId>>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "MarkKind")]
pub(in crate::file) enum MarkKindV1 {
    Fault(Text<WordId>),
    Praise,
    Repeated,
    Note,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "PaceSpan", deny_unknown_fields)]
pub(in crate::file) struct PaceSpanV1 {
    id: Text<SpanId>,
    from: Text<Moment>,
    to: Text<Moment>,
    pace: PaceV1,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    variant: Option<Text<WordId>>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "OutlineSpan", deny_unknown_fields)]
pub(in crate::file) struct OutlineSpanV1 {
    id: Text<SpanId>,
    from: Text<Moment>,
    to: Text<Moment>,
    outline: Text<WordId>,
}

impl<M: FormatMark> RideV1<M> {
    pub(in crate::file) fn from_model(ride: &Ride) -> Self {
        let head = HeadV1::from_model(&ride.head);
        Self {
            format: M::FORMAT,
            id: Text(ride.id),
            horse: head.horse,
            date: head.date,
            time: head.time,
            title: head.title,
            notes: head.notes,
            reviews: head.reviews,
            counting: head.counting,
            films: ride.films.iter().map(FilmV1::from_model).collect(),
            bouts: ride.bouts.iter().map(BoutV1::from_model).collect(),
            marks: ride.marks.iter().map(M::from_model).collect(),
            paces: ride.paces.iter().map(PaceSpanV1::from_model).collect(),
            outlines: ride
                .outlines
                .iter()
                .map(OutlineSpanV1::from_model)
                .collect(),
        }
    }

    pub(in crate::file) fn into_model(self) -> Ride {
        let head = HeadV1 {
            horse: self.horse,
            date: self.date,
            time: self.time,
            title: self.title,
            notes: self.notes,
            reviews: self.reviews,
            counting: self.counting,
        };
        Ride {
            id: self.id.0,
            head: head.into_model(),
            films: self.films.into_iter().map(FilmV1::into_model).collect(),
            bouts: self.bouts.into_iter().map(BoutV1::into_model).collect(),
            marks: self.marks.into_iter().map(M::into_model).collect(),
            paces: self.paces.into_iter().map(PaceSpanV1::into_model).collect(),
            outlines: self
                .outlines
                .into_iter()
                .map(OutlineSpanV1::into_model)
                .collect(),
        }
    }
}

impl HeadV1 {
    pub(super) fn from_model(head: &RideHead) -> Self {
        let review = |review: &Review| ReviewV1 {
            id: Text(review.id),
            reviewer: review.reviewer.clone(),
        };
        Self {
            horse: Text(head.horse),
            date: Text(head.date),
            time: head.time.map(Text),
            title: head.title.clone(),
            notes: head.notes.clone(),
            reviews: head.reviews.iter().map(review).collect(),
            counting: Text(head.counting),
        }
    }

    pub(super) fn into_model(self) -> RideHead {
        let review = |review: ReviewV1| Review {
            id: review.id.0,
            reviewer: review.reviewer,
        };
        RideHead {
            horse: self.horse.0,
            date: self.date.0,
            time: self.time.map(|time| time.0),
            title: self.title,
            notes: self.notes,
            reviews: self.reviews.into_iter().map(review).collect(),
            counting: self.counting.0,
        }
    }
}

impl FilmV1 {
    pub(super) fn from_model(film: &Film) -> Self {
        Self {
            id: Text(film.id),
            path: film.path.clone(),
            fingerprint: film.fingerprint.clone(),
            offset: Text(film.offset),
            drift_ppb: film.drift_ppb,
            duration: film.duration_nanos.map(|nanos| Text(Moment(nanos))),
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
        }
    }
}

impl BoutV1 {
    pub(super) fn from_model(bout: &Bout) -> Self {
        Self {
            id: Text(bout.id),
            review: Text(bout.review),
            exercise: Text(bout.exercise.clone()),
            from: Text(bout.from),
            to: bout.to.map(Text),
            rein: bout.rein.map(|rein| match rein {
                Rein::Left => ReinV1::Left,
                Rein::Right => ReinV1::Right,
            }),
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
            rein: self.rein.map(|rein| match rein {
                ReinV1::Left => Rein::Left,
                ReinV1::Right => Rein::Right,
            }),
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

impl FormatMark for MarkV1 {
    const FORMAT: u32 = 1;

    /// Format 1 knows no origin: what has one is written in a newer format.
    fn from_model(mark: &Mark) -> Self {
        Self {
            id: Text(mark.id),
            review: Text(mark.review),
            at: Text(mark.at),
            kind: MarkKindV1::from_model(&mark.kind),
            bout: mark.bout.map(Text),
            note: mark.note.clone(),
        }
    }

    fn into_model(self) -> Mark {
        Mark {
            id: self.id.0,
            review: self.review.0,
            at: self.at.0,
            kind: self.kind.into_model(),
            bout: self.bout.map(|bout| bout.0),
            note: self.note,
            origin: None,
            press: None,
        }
    }
}

impl MarkKindV1 {
    pub(in crate::file) fn from_model(kind: &MarkKind) -> Self {
        match kind {
            MarkKind::Fault(fault) => Self::Fault(Text(fault.clone())),
            MarkKind::Praise => Self::Praise,
            MarkKind::Repeated => Self::Repeated,
            MarkKind::Note => Self::Note,
        }
    }

    pub(in crate::file) fn into_model(self) -> MarkKind {
        match self {
            Self::Fault(fault) => MarkKind::Fault(fault.0),
            Self::Praise => MarkKind::Praise,
            Self::Repeated => MarkKind::Repeated,
            Self::Note => MarkKind::Note,
        }
    }
}

impl PaceSpanV1 {
    pub(super) fn from_model(span: &PaceSpan) -> Self {
        Self {
            id: Text(span.id),
            from: Text(span.span.from),
            to: Text(span.span.to),
            pace: PaceV1::from_model(span.pace),
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

impl OutlineSpanV1 {
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
