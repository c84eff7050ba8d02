//! Format 2: format 1, and marks that tell where they came from and which press made them. Private;
//! frozen once released.

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize};

use super::text::Text;
use super::v1::{FormatMark, LineV1, MarkKindV1, RideV1};
use crate::id::{BoutId, MarkId, ReviewId};
use crate::model::{Mark, Origin, Press};
use reinback_analysis::Moment;

/// A ride's file.
pub(super) type RideV2 = RideV1<MarkV2>;
/// A line of the journal.
pub(super) type LineV2 = LineV1<MarkV2>;

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Mark", deny_unknown_fields)]
pub(super) struct MarkV2 {
    id: Text<MarkId>,
    review: Text<ReviewId>,
    at: Text<Moment>,
    kind: MarkKindV1,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    bout: Option<Text<BoutId>>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    origin: Option<OriginV2>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    press: Option<PressV2>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Press", deny_unknown_fields)]
struct PressV2 {
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
struct OriginV2 {
    source: String,
    line: u32,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    time: String,
    /// Left out where it is the mark's note: else every import would say everything twice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    text: Option<String>,
}

impl FormatMark for MarkV2 {
    const FORMAT: u32 = 2;

    fn from_model(mark: &Mark) -> Self {
        let origin = |origin: &Origin| OriginV2 {
            source: origin.source.clone(),
            line: origin.line,
            time: origin.time.clone(),
            text: (origin.text != mark.note).then(|| origin.text.clone()),
        };
        Self {
            id: Text(mark.id),
            review: Text(mark.review),
            at: Text(mark.at),
            kind: MarkKindV1::from_model(&mark.kind),
            bout: mark.bout.map(Text),
            note: mark.note.clone(),
            origin: mark.origin.as_deref().map(origin),
            press: mark.press.map(|press| PressV2 {
                shown: Text(press.shown),
                correction: Text(Moment(press.correction)),
                refined: press.refined,
            }),
        }
    }

    fn into_model(self) -> Mark {
        let note = self.note.clone();
        let origin = |origin: OriginV2| {
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
        }
    }
}
