//! The lines of the journal.

use serde::{Deserialize, Serialize};

use super::super::Entry;
use super::super::text::Text;
use super::ride::{BoutV1, FilmV1, FormatMark, HeadV1, MarkV1, OutlineSpanV1, PaceSpanV1, RideV1};
use super::{HorseV1, WordsV1};
use crate::FileKey;
use crate::edit::Edit;
use crate::id::{BoutId, FilmId, HorseId, MarkId, RideId, SpanId};

/// What one line says.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Line", bound(deserialize = "M: Deserialize<'de>"))]
pub(in crate::file) enum LineV1<M = MarkV1> {
    /// The rider changed something.
    Changed(EditV1<M>),
    /// These files hold everything that stands above this line.
    Saved(Vec<FileV1>),
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "File")]
pub(in crate::file) enum FileV1 {
    Yard,
    Ride(Text<RideId>),
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(
    rename = "Edit",
    deny_unknown_fields,
    bound(deserialize = "M: Deserialize<'de>")
)]
pub(in crate::file) enum EditV1<M = MarkV1> {
    YardName(String),
    Words(WordsV1),
    Horse(Text<HorseId>, Option<HorseV1>),
    Ride(Text<RideId>, Option<Box<RideV1<M>>>),
    RideHead(Text<RideId>, Box<HeadV1>),
    Film(Text<RideId>, Text<FilmId>, Option<FilmV1>),
    Bout(Text<RideId>, Text<BoutId>, Option<BoutV1>),
    Mark(Text<RideId>, Text<MarkId>, Option<M>),
    Pace(Text<RideId>, Text<SpanId>, Option<PaceSpanV1>),
    Outline(Text<RideId>, Text<SpanId>, Option<OutlineSpanV1>),
    Batch(Vec<EditV1<M>>),
}

impl<M: FormatMark> LineV1<M> {
    pub(in crate::file) fn changed(edit: &Edit) -> Self {
        Self::Changed(EditV1::from_model(edit))
    }

    pub(in crate::file) fn saved(files: impl IntoIterator<Item = FileKey>) -> Self {
        let file = |key| match key {
            FileKey::Yard => FileV1::Yard,
            FileKey::Ride(id) => FileV1::Ride(Text(id)),
        };
        Self::Saved(files.into_iter().map(file).collect())
    }

    pub(in crate::file) fn into_entry(self) -> Entry {
        let file = |file| match file {
            FileV1::Yard => FileKey::Yard,
            FileV1::Ride(id) => FileKey::Ride(id.0),
        };
        match self {
            Self::Changed(edit) => Entry::Changed(edit.into_model()),
            Self::Saved(files) => Entry::Saved(files.into_iter().map(file).collect()),
        }
    }
}

impl<M: FormatMark> EditV1<M> {
    fn from_model(edit: &Edit) -> Self {
        match edit {
            Edit::YardName(name) => Self::YardName(name.clone()),
            Edit::Words(words) => Self::Words(WordsV1::from_model(words)),
            Edit::Horse(id, now) => Self::Horse(Text(*id), now.as_ref().map(HorseV1::from_model)),
            Edit::Ride(id, now) => Self::Ride(
                Text(*id),
                now.as_ref().map(|ride| Box::new(RideV1::from_model(ride))),
            ),
            Edit::RideHead(id, head) => {
                Self::RideHead(Text(*id), Box::new(HeadV1::from_model(head)))
            }
            Edit::Film(ride, id, now) => {
                Self::Film(Text(*ride), Text(*id), now.as_ref().map(FilmV1::from_model))
            }
            Edit::Bout(ride, id, now) => {
                Self::Bout(Text(*ride), Text(*id), now.as_ref().map(BoutV1::from_model))
            }
            Edit::Mark(ride, id, now) => {
                Self::Mark(Text(*ride), Text(*id), now.as_ref().map(M::from_model))
            }
            Edit::Pace(ride, id, now) => Self::Pace(
                Text(*ride),
                Text(*id),
                now.as_ref().map(PaceSpanV1::from_model),
            ),
            Edit::Outline(ride, id, now) => Self::Outline(
                Text(*ride),
                Text(*id),
                now.as_ref().map(OutlineSpanV1::from_model),
            ),
            Edit::Batch(edits) => Self::Batch(edits.iter().map(Self::from_model).collect()),
        }
    }

    fn into_model(self) -> Edit {
        match self {
            Self::YardName(name) => Edit::YardName(name),
            Self::Words(words) => Edit::Words(Box::new(words.into_model())),
            Self::Horse(id, now) => Edit::Horse(id.0, now.map(HorseV1::into_model)),
            Self::Ride(id, now) => Edit::Ride(id.0, now.map(|ride| Box::new(ride.into_model()))),
            Self::RideHead(id, head) => Edit::RideHead(id.0, Box::new(head.into_model())),
            Self::Film(ride, id, now) => Edit::Film(ride.0, id.0, now.map(FilmV1::into_model)),
            Self::Bout(ride, id, now) => Edit::Bout(ride.0, id.0, now.map(BoutV1::into_model)),
            Self::Mark(ride, id, now) => Edit::Mark(ride.0, id.0, now.map(M::into_model)),
            Self::Pace(ride, id, now) => Edit::Pace(ride.0, id.0, now.map(PaceSpanV1::into_model)),
            Self::Outline(ride, id, now) => {
                Edit::Outline(ride.0, id.0, now.map(OutlineSpanV1::into_model))
            }
            Self::Batch(edits) => Edit::Batch(edits.into_iter().map(Self::into_model).collect()),
        }
    }
}
