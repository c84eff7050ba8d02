//! A mark as it stands in the files.

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize};

use super::ride::StoredRein;
use super::text::Text;
use crate::id::{BoutId, FilmId, MarkId, ReviewId};
use crate::model::{
    ArenaPlace, Mark, MarkKind, MeasureKind, Measured, Origin, Plumb, Point, Press,
};
use crate::words::WordId;
use reinback_analysis::Moment;

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Mark", deny_unknown_fields)]
pub(in crate::file) struct StoredMark {
    id: Text<MarkId>,
    review: Text<ReviewId>,
    at: Text<Moment>,
    kind: StoredMarkKind,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    bout: Option<Text<BoutId>>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    origin: Option<StoredOrigin>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    press: Option<StoredPress>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    place: Option<StoredPlace>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "MarkKind")]
enum StoredMarkKind {
    Fault(Text<WordId>),
    Praise,
    Repeated,
    Note,
    Change(Option<StoredRein>),
    Aid,
    Measured(Box<StoredMeasured>),
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Place", deny_unknown_fields)]
struct StoredPlace {
    across_cm: i32,
    along_cm: i32,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Measured", deny_unknown_fields)]
struct StoredMeasured {
    kind: StoredMeasureKind,
    film: Text<FilmId>,
    points: Vec<StoredPoint>,
    /// Left out where the film's own tilt is taken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    edge: Option<(StoredPoint, StoredPoint)>,
}

#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename = "MeasureKind")]
enum StoredMeasureKind {
    NoseLine,
    NeckLine,
    Lateral,
    Angle,
    Ratio,
}

#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename = "Point")]
struct StoredPoint(i32, i32);

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Press", deny_unknown_fields)]
struct StoredPress {
    shown: Text<Moment>,
    #[serde(
        default = "zero",
        skip_serializing_if = "is_zero",
        deserialize_with = "not_negative"
    )]
    correction: Text<Moment>,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    refined: bool,
}

fn not_negative<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Text<Moment>, D::Error> {
    let correction = Text::<Moment>::deserialize(deserializer)?;
    if correction.0.0 < 0 {
        return Err(D::Error::custom(
            "a correction is what was taken off, and cannot be less than zero",
        ));
    }
    Ok(correction)
}

fn zero() -> Text<Moment> {
    Text(Moment(0))
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde hands the field by reference"
)]
fn is_zero(text: &Text<Moment>) -> bool {
    text.0.0 == 0
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Origin", deny_unknown_fields)]
struct StoredOrigin {
    source: String,
    line: u32,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    time: String,
    /// Left out where it is the mark's note: else every import would say everything twice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    text: Option<String>,
}

impl StoredMark {
    pub(super) fn from_model(mark: &Mark) -> Self {
        let origin = |origin: &Origin| StoredOrigin {
            source: origin.source.clone(),
            line: origin.line,
            time: origin.time.clone(),
            text: (origin.text != mark.note).then(|| origin.text.clone()),
        };
        Self {
            id: Text(mark.id),
            review: Text(mark.review),
            at: Text(mark.at),
            kind: StoredMarkKind::from_model(&mark.kind),
            bout: mark.bout.map(Text),
            note: mark.note.clone(),
            origin: mark.origin.as_deref().map(origin),
            press: mark.press.map(|press| StoredPress {
                shown: Text(press.shown),
                correction: Text(Moment(press.correction)),
                refined: press.refined,
            }),
            place: mark.place.map(|place| StoredPlace {
                across_cm: place.across_cm,
                along_cm: place.along_cm,
            }),
        }
    }

    pub(super) fn into_model(self) -> Mark {
        let note = self.note.clone();
        let origin = |origin: StoredOrigin| {
            Box::new(Origin {
                source: origin.source,
                line: origin.line,
                time: origin.time,
                text: origin.text.unwrap_or(note),
            })
        };
        Mark {
            id: self.id.0,
            review: self.review.0,
            at: self.at.0,
            kind: self.kind.into_model(),
            bout: self.bout.map(|bout| bout.0),
            note: self.note,
            origin: self.origin.map(origin),
            press: self.press.map(|press| Press {
                shown: press.shown.0,
                correction: press.correction.0.0,
                refined: press.refined,
            }),
            place: self.place.map(|place| ArenaPlace {
                across_cm: place.across_cm,
                along_cm: place.along_cm,
            }),
        }
    }
}

impl StoredMarkKind {
    fn from_model(kind: &MarkKind) -> Self {
        match kind {
            MarkKind::Fault(fault) => Self::Fault(Text(fault.clone())),
            MarkKind::Praise => Self::Praise,
            MarkKind::Repeated => Self::Repeated,
            MarkKind::Note => Self::Note,
            MarkKind::Change(onto) => Self::Change(onto.map(StoredRein::from_model)),
            MarkKind::Aid => Self::Aid,
            MarkKind::Measured(measured) => {
                Self::Measured(Box::new(StoredMeasured::from_model(measured)))
            }
        }
    }

    fn into_model(self) -> MarkKind {
        match self {
            Self::Fault(fault) => MarkKind::Fault(fault.0),
            Self::Praise => MarkKind::Praise,
            Self::Repeated => MarkKind::Repeated,
            Self::Note => MarkKind::Note,
            Self::Change(onto) => MarkKind::Change(onto.map(StoredRein::into_model)),
            Self::Aid => MarkKind::Aid,
            Self::Measured(measured) => MarkKind::Measured(Box::new(measured.into_model())),
        }
    }
}

impl StoredMeasured {
    fn from_model(measured: &Measured) -> Self {
        let point = |point: &Point| StoredPoint(point.x, point.y);
        Self {
            kind: StoredMeasureKind::from_model(measured.kind),
            film: Text(measured.film),
            points: measured.points.iter().map(point).collect(),
            edge: match &measured.plumb {
                Plumb::Film => None,
                Plumb::Edge(one, other) => Some((point(one), point(other))),
            },
        }
    }

    fn into_model(self) -> Measured {
        let point = |point: StoredPoint| Point {
            x: point.0,
            y: point.1,
        };
        Measured {
            kind: self.kind.into_model(),
            film: self.film.0,
            points: self.points.into_iter().map(point).collect(),
            plumb: self.edge.map_or(Plumb::Film, |(one, other)| {
                Plumb::Edge(point(one), point(other))
            }),
        }
    }
}

impl StoredMeasureKind {
    const fn from_model(value: MeasureKind) -> Self {
        match value {
            MeasureKind::NoseLine => Self::NoseLine,
            MeasureKind::NeckLine => Self::NeckLine,
            MeasureKind::Lateral => Self::Lateral,
            MeasureKind::Angle => Self::Angle,
            MeasureKind::Ratio => Self::Ratio,
        }
    }

    const fn into_model(self) -> MeasureKind {
        match self {
            Self::NoseLine => MeasureKind::NoseLine,
            Self::NeckLine => MeasureKind::NeckLine,
            Self::Lateral => MeasureKind::Lateral,
            Self::Angle => MeasureKind::Angle,
            Self::Ratio => MeasureKind::Ratio,
        }
    }
}
