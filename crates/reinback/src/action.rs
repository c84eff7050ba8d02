//! What a room asks the application to do. Rooms draw and ask; only `app` changes anything.

use std::path::PathBuf;

use reinback_yard::notes::Layout;
use reinback_yard::{
    BoutId, Edit, FilmId, HorseId, MarkId, Moment, Rein, ReviewId, RideId, SpanId, WordId,
};

use crate::app::RideDraft;
use crate::command::Command;
use crate::figure::Figure;
use crate::notice::Notice;
use crate::rooms::review::measure::MeasureStep;

/// The screens.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Room {
    /// Horses and rides.
    #[default]
    Yard,
    /// Film, strip and marks of one ride.
    Review,
    /// Fault rates and trends.
    Progress,
}

/// What is chosen in the Review room.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Chosen {
    /// A bout.
    Bout(BoutId),
    /// A mark.
    Mark(MarkId),
    /// A stretch in one pace.
    Pace(SpanId),
    /// A stretch in one outline.
    Outline(SpanId),
    /// The taps of a stretch.
    Tempo(SpanId),
    /// One of those taps, by its moment.
    Tap(SpanId, Moment),
}

/// Choosing more than one thing.
#[derive(Clone, Debug)]
pub enum Select {
    /// This one too, or no longer.
    Toggle(Chosen),
    /// Everything of the list from where choosing began to this one.
    Through(Chosen),
    /// These and no others.
    These(Vec<Chosen>),
    /// These beside what is chosen.
    Add(Vec<Chosen>),
}

/// A request.
#[derive(Clone, Debug)]
pub enum Action {
    /// Run a command.
    Run(Command),
    /// Change the yard, as one undoable step of this name.
    Edit(String, Edit),
    /// Show a ride, at a moment of it.
    OpenRide(RideId, Option<Moment>),
    /// Show a ride at a moment, ready for the tempo to be tapped.
    TapTempo(RideId, Moment),
    /// Show a moment of the open ride.
    Seek(Moment),
    /// Show a moment of the open ride while the pointer still moves.
    Drag(Moment),
    /// Play at this speed, 1 being life.
    Speed(f64),
    /// Play so loud, 0 to 1.
    Volume(f32),
    /// Choose a bout or a mark, or nothing.
    Choose(Option<Chosen>),
    /// Choose more than one thing.
    Select(Select),
    /// Start a bout of an exercise at the frame on screen.
    StartBout(WordId),
    /// Mark a fault at the frame on screen.
    MarkFault(WordId),
    /// Say in which outline the horse goes from here on.
    SetOutline(WordId),
    /// Say on which rein the current bout is ridden.
    SetRein(Rein),
    /// Choose a horse's rides in the Progress room.
    ShowProgress(HorseId),
    /// Choose films for a new ride; of this horse, where it is known.
    ChooseFilms(Option<HorseId>),
    /// Make a ride of films.
    NewRide(HorseId, Vec<PathBuf>),
    /// Keep what was written of a horse; a new one without id.
    KeepHorse {
        /// Which one, if it is in the yard already.
        horse: Option<HorseId>,
        /// Its name.
        name: String,
        /// Year of birth.
        foaled: Option<i32>,
        /// Stage of training.
        stage: String,
        /// Free text.
        notes: String,
    },
    /// Make the ride that was drafted.
    CreateRide(Box<RideDraft>),
    /// Choose where a missing film of the open ride is now.
    LocateFilm(FilmId),
    /// Take the file that lies where the film was for the film of the ride.
    AcceptFilm(FilmId),
    /// Try to open the film again, and look for it.
    RetryFilm,
    /// Look no further for a film that was moved.
    StopFilmSearch,
    /// Choose a folder and open it as a yard.
    ChooseYard,
    /// Choose a folder and make a new yard in it.
    ChooseNewYard,
    /// Open this yard.
    OpenYard(PathBuf),
    /// Close the window although something is not saved.
    CloseAnyway,
    /// Make no index of the open yard this time.
    StopIndexing,
    /// Make the page of Progress no further.
    StopPage,
    /// Try to save again.
    RetrySave,
    /// Show a notice.
    Tell(Box<Notice>),
    /// Go on with notes from the rail.
    Notes(NotesStep),
    /// Go on with measuring on the frame.
    Measure(MeasureStep),
    /// Write the bouts and marks of the open ride for another program.
    Export(Table),
    /// Go on with the reviews of the open ride.
    Reviews(ReviewsStep),
    /// Copy a figure or its table, or write it as a file.
    Figure(FigureStep, Box<FigureShown>),
}

/// A figure that something is to be done with.
#[derive(Clone, Debug, PartialEq)]
pub struct FigureShown {
    /// The figure as it is shown.
    pub figure: Figure,
    /// Height of its picture, in points.
    pub height: f32,
}

/// What can be done with a figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FigureStep {
    /// Copy it.
    Copy(FigureCopy),
    /// Write it as a file.
    Save(FigureFile),
}

/// What of a figure is copied.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FigureCopy {
    /// It, as pixels.
    Picture,
    /// Its table, for a spreadsheet.
    Table,
}

/// What a figure is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FigureFile {
    /// It, as pixels.
    Png,
    /// It, as vectors.
    Svg,
    /// Its table.
    Csv,
}

/// A step with the reviews of a ride.
#[derive(Clone, Debug)]
pub enum ReviewsStep {
    /// Start another, blind one by this reviewer.
    Start(String),
    /// Show this one, and mark into it.
    Show(ReviewId),
    /// This blind one is done: compare it.
    Done(ReviewId),
    /// Let this one count in the rates.
    Count(ReviewId),
    /// Remove this one with all its marks.
    Remove(ReviewId),
    /// Merge the two that are compared.
    Merge,
}

/// A step with notes from the rail.
#[derive(Clone, Debug)]
pub enum NotesStep {
    /// Open their panel.
    Open,
    /// Choose a file of them.
    ChooseFile,
    /// Read a text.
    ReadPasted(String),
    /// Read the same text another way.
    ReadAgain(Layout),
    /// Read no further.
    Stop,
    /// Back to the box and the file.
    Others,
    /// Close their panel.
    PutAway,
    /// Make marks of them.
    Place,
}

/// What bouts and marks are written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Table {
    /// A table.
    Csv,
    /// Captions for the film.
    Captions,
}

impl Table {
    /// The ending of the file's name.
    #[must_use]
    pub const fn ending(self) -> &'static str {
        match self {
            Self::Csv => "csv",
            Self::Captions => "vtt",
        }
    }

    /// The title of the dialog.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Csv => "Marks as a table",
            Self::Captions => "Marks as captions for the film",
        }
    }
}
