//! The lines of the journal.

use serde::{Deserialize, Serialize};

use super::Entry;
use super::mark::StoredMark;
use super::ride::{
    StoredBout, StoredFilm, StoredHead, StoredOutlineSpan, StoredPaceSpan, StoredRide,
    StoredTempoTrack,
};
use super::sheet::{StoredSheet, StoredTest};
use super::text::Text;
use super::yard::{StoredHorse, StoredWords};
use crate::FileKey;
use crate::edit::Edit;
use crate::id::{BoutId, FilmId, HorseId, MarkId, RideId, SheetId, SpanId};

/// What one line says.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Line")]
pub(in crate::file) enum StoredLine {
    /// The rider changed something.
    Changed(StoredEdit),
    /// These files hold everything that stands above this line.
    Saved(Vec<StoredFile>),
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "File")]
pub(in crate::file) enum StoredFile {
    Yard,
    Ride(Text<RideId>),
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename = "Edit", deny_unknown_fields)]
pub(in crate::file) enum StoredEdit {
    YardName(String),
    Words(StoredWords),
    Horse(Text<HorseId>, Option<StoredHorse>),
    Sheet(Text<SheetId>, Option<Box<StoredSheet>>),
    Ride(Text<RideId>, Option<Box<StoredRide>>),
    RideHead(Text<RideId>, Box<StoredHead>),
    Film(Text<RideId>, Text<FilmId>, Option<StoredFilm>),
    Bout(Text<RideId>, Text<BoutId>, Option<StoredBout>),
    Mark(Text<RideId>, Text<MarkId>, Option<StoredMark>),
    Pace(Text<RideId>, Text<SpanId>, Option<StoredPaceSpan>),
    Outline(Text<RideId>, Text<SpanId>, Option<StoredOutlineSpan>),
    Tempo(Text<RideId>, Text<SpanId>, Option<StoredTempoTrack>),
    Test(Text<RideId>, Option<Box<StoredTest>>),
    Batch(Vec<StoredEdit>),
}

impl StoredLine {
    pub(in crate::file) fn changed(edit: &Edit) -> Self {
        Self::Changed(StoredEdit::from_model(edit))
    }

    pub(in crate::file) fn saved(files: impl IntoIterator<Item = FileKey>) -> Self {
        let file = |key| match key {
            FileKey::Yard => StoredFile::Yard,
            FileKey::Ride(id) => StoredFile::Ride(Text(id)),
        };
        Self::Saved(files.into_iter().map(file).collect())
    }

    pub(in crate::file) fn into_entry(self) -> Entry {
        let file = |file| match file {
            StoredFile::Yard => FileKey::Yard,
            StoredFile::Ride(id) => FileKey::Ride(id.0),
        };
        match self {
            Self::Changed(edit) => Entry::Changed(edit.into_model()),
            Self::Saved(files) => Entry::Saved(files.into_iter().map(file).collect()),
        }
    }
}

impl StoredEdit {
    fn from_model(edit: &Edit) -> Self {
        match edit {
            Edit::YardName(name) => Self::YardName(name.clone()),
            Edit::Words(words) => Self::Words(StoredWords::from_model(words)),
            Edit::Horse(id, now) => {
                Self::Horse(Text(*id), now.as_ref().map(StoredHorse::from_model))
            }
            Edit::Sheet(id, now) => Self::Sheet(
                Text(*id),
                now.as_ref()
                    .map(|sheet| Box::new(StoredSheet::from_model(sheet))),
            ),
            Edit::Ride(id, now) => Self::Ride(
                Text(*id),
                now.as_ref()
                    .map(|ride| Box::new(StoredRide::from_model(ride))),
            ),
            Edit::RideHead(id, head) => {
                Self::RideHead(Text(*id), Box::new(StoredHead::from_model(head)))
            }
            Edit::Film(ride, id, now) => Self::Film(
                Text(*ride),
                Text(*id),
                now.as_ref().map(StoredFilm::from_model),
            ),
            Edit::Bout(ride, id, now) => Self::Bout(
                Text(*ride),
                Text(*id),
                now.as_ref().map(StoredBout::from_model),
            ),
            Edit::Mark(ride, id, now) => Self::Mark(
                Text(*ride),
                Text(*id),
                now.as_ref().map(StoredMark::from_model),
            ),
            Edit::Pace(ride, id, now) => Self::Pace(
                Text(*ride),
                Text(*id),
                now.as_ref().map(StoredPaceSpan::from_model),
            ),
            Edit::Outline(ride, id, now) => Self::Outline(
                Text(*ride),
                Text(*id),
                now.as_ref().map(StoredOutlineSpan::from_model),
            ),
            Edit::Tempo(ride, id, now) => Self::Tempo(
                Text(*ride),
                Text(*id),
                now.as_ref().map(StoredTempoTrack::from_model),
            ),
            Edit::Test(ride, now) => Self::Test(
                Text(*ride),
                now.as_ref()
                    .map(|test| Box::new(StoredTest::from_model(test))),
            ),
            Edit::Batch(edits) => Self::Batch(edits.iter().map(Self::from_model).collect()),
        }
    }

    fn into_model(self) -> Edit {
        match self {
            Self::YardName(name) => Edit::YardName(name),
            Self::Words(words) => Edit::Words(Box::new(words.into_model())),
            Self::Horse(id, now) => Edit::Horse(id.0, now.map(StoredHorse::into_model)),
            Self::Sheet(id, now) => {
                Edit::Sheet(id.0, now.map(|sheet| Box::new(sheet.into_model())))
            }
            Self::Ride(id, now) => Edit::Ride(id.0, now.map(|ride| Box::new(ride.into_model()))),
            Self::RideHead(id, head) => Edit::RideHead(id.0, Box::new(head.into_model())),
            Self::Film(ride, id, now) => Edit::Film(ride.0, id.0, now.map(StoredFilm::into_model)),
            Self::Bout(ride, id, now) => Edit::Bout(ride.0, id.0, now.map(StoredBout::into_model)),
            Self::Mark(ride, id, now) => Edit::Mark(ride.0, id.0, now.map(StoredMark::into_model)),
            Self::Pace(ride, id, now) => {
                Edit::Pace(ride.0, id.0, now.map(StoredPaceSpan::into_model))
            }
            Self::Outline(ride, id, now) => {
                Edit::Outline(ride.0, id.0, now.map(StoredOutlineSpan::into_model))
            }
            Self::Tempo(ride, id, now) => {
                Edit::Tempo(ride.0, id.0, now.map(StoredTempoTrack::into_model))
            }
            Self::Test(ride, now) => {
                Edit::Test(ride.0, now.map(|test| Box::new(test.into_model())))
            }
            Self::Batch(edits) => Edit::Batch(edits.into_iter().map(Self::into_model).collect()),
        }
    }
}
