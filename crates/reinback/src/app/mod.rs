//! The application: what is open, and the loop that turns presses, clicks and news from
//! workers into changes.
//!
//! - `logic`: takes in everything that happened since the last frame
//! - `dispatch`: from an action or a command to its effect
//! - `ui`: draws the frame, the open room, the notices
//! - `figure`: figures and their tables, copied and written as files
//! - `file_name`: a name for a new file
//! - `films`: whether a ride's films are those that were marked, and where they are now
//! - `choosing`: more than one thing at once in the Review room
//! - `new_ride`: from film files to a ride
//! - `marking`: what a press marks; `modes`: presses while numbers are typed or a tempo is tapped
//! - `measure`: measuring on the frame, and the plan of the arena
//! - `notes`: notes from the rail; `export`: marks for other programs; `page`: Progress as a page;
//!   `reviews`: two reviewers
//! - `hints`: what a new rider is told; `keys_page`: every key, and changing them
//! - `looking`: creeping, jumps, a stretch repeated; `beside`: two of them side by side; `still`:
//!   the frame on screen as a picture
//! - `side`: what may take the panel beside the film
//! - `settings`: the page of settings; `trial`: how late a reviewer's keys are
//! - `words_page`: the yard's words
//! - `yards`: opening and leaving a yard, closing the window

mod beside;
mod choosing;
mod dispatch;
mod export;
mod figure;
mod file_name;
mod films;
mod hints;
mod keys_page;
mod logic;
mod looking;
mod marking;
mod measure;
mod modes;
mod new_ride;
mod notes;
mod page;
mod reviews;
mod settings;
mod side;
mod still;
mod trial;
mod ui;
mod words_page;
mod yards;

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::Arc;

use eframe::CreationContext;
use reinback_film::Fingerprint;
use reinback_yard::{Opened, RideId, StoreError};

use crate::action::{Action, FigureFile, FigureShown, Room, Table};
use crate::keys::KeyListener;
use crate::notice::{Notice, Notices};
use crate::open_yard::OpenYard;
use crate::prefs::Prefs;
use crate::report::html::Refused;
use crate::rooms::progress::ProgressView;
use crate::rooms::review::ReviewView;
use crate::rooms::review::notes::read::ReadNotes;
use crate::rooms::words::WordsDraft;
use crate::rooms::yard::YardView;
use crate::said::Say;
use crate::services::{OnReady, Services};
use crate::sound::Speaker;
use crate::task::{Task, Tasks};
use crate::theme;
use crate::trial::Trial;
pub use new_ride::{FoundFilm, ReadFilm, RideDraft};
use yards::{Closing, Opening};

/// What workers report.
enum Event {
    /// Part of a yard has been read.
    YardNews(u64, reinback_yard::News),
    /// A yard was read.
    YardOpened(u64, Box<Result<Opened, StoreError>>),
    /// So much of the index of the yard of this number is written; `None` when that has ended.
    Indexed(u64, Option<reinback_yard::Progress>),
    /// The rider answered a dialog.
    Answered(Purpose, Vec<PathBuf>),
    /// A film for a new ride was read.
    FilmRead(PathBuf, Box<ReadFilm>),
    /// A missing film was looked at: which, how the yard names its file, and its fingerprint.
    FilmLocated(RideId, reinback_yard::FilmId, String, Option<String>),
    /// A film of the open ride is not simply where it was.
    FilmLookedAt(RideId, reinback_yard::FilmId, films::Look),
    /// Notes from the rail were read, by the reading of this number.
    NotesRead(u64, Box<Result<ReadNotes, String>>),
    /// A file for another program was written, or why it was not.
    Exported(PathBuf, Result<export::Written, String>),
    /// The file of the film beside the open ride's holds another film.
    SecondIsAnother(reinback_yard::FilmId),
    /// A still was written, or why it was not.
    StillWritten(PathBuf, Result<still::Spelled, String>),
    /// How far the page of this number is, 0 to 1.
    PageMade(u64, f32),
    /// The page of this number was written, or why it was not.
    PageWritten(u64, PathBuf, Result<(), Refused>),
    /// A figure or its table was written, or why it was not.
    FigureWritten(PathBuf, Result<(), String>),
    /// A figure or its table is ready to be copied, or why it is not.
    FigureCopied(Result<figure::Copied, String>),
    /// The search of this number for missing films has begun; what they hold.
    FilmsSought(u64, BTreeSet<Fingerprint>),
    /// How far the search of this number for missing films is; `None` when it has ended.
    FilmSearch(u64, Option<reinback_film::Searched>),
}

/// What a dialog was opened for.
#[derive(Clone, Debug, PartialEq)]
enum Purpose {
    NewRide(Option<reinback_yard::HorseId>),
    Locate(RideId, reinback_yard::FilmId),
    OpenYard,
    CreateYard,
    Notes,
    Export(RideId, Table, Option<reinback_yard::FilmId>),
    Still(still::StillWish),
    Page(Box<page::PageOrder>),
    Figure(FigureFile, Box<FigureShown>),
}

/// The window's application.
pub struct App {
    services: Arc<dyn Services>,
    speaker: Box<dyn Speaker>,
    prefs: Prefs,
    /// Says things in the language of the preferences.
    say: Say,
    opening: Option<Opening>,
    open: Option<OpenYard>,
    room: Room,
    review: Option<ReviewView>,
    progress: ProgressView,
    yard_view: YardView,
    notices: Notices,
    help: bool,
    /// What the page of keys is at.
    keys_page: keys_page::KeysPage,
    /// Whether the page of settings is open.
    settings: bool,
    /// The yard's words being changed.
    words: Option<WordsDraft>,
    /// A trial of the reviewer's keys under way.
    trial: Option<Trial>,
    actions: Vec<Action>,
    /// Films named on the command line, for a new ride once a yard is open.
    films: Vec<PathBuf>,
    tasks: Tasks<Event>,
    running: Vec<Task>,
    /// Compares the open ride's films and looks for those that are gone.
    film_search: Option<Task>,
    /// Writes the index of the open yard.
    indexing: Option<yards::Indexing>,
    /// Makes a page of Progress.
    page: Option<page::Making>,
    /// Counts such pages.
    pages: u64,
    /// Counts such searches.
    film_searches: u64,
    /// Films that are being looked for.
    films_sought: BTreeSet<Fingerprint>,
    /// Films that were looked for and are nowhere in the yard's folders: looked for once more only
    /// when asked.
    sought_in_vain: BTreeSet<Fingerprint>,
    /// Counts the readings of notes.
    notes_readings: u64,
    /// Reads notes.
    notes_reading: Option<Task>,
    /// How the open film was opened: memory and decoder as in the preferences.
    film_wish: (Option<u32>, bool),
    on_ready: OnReady,
    now: f64,
    title: String,
    /// Whether the rider has been told that the disk refuses.
    told_failing: bool,
    /// Counts the yards that were asked for.
    openings: u64,
    closing: Closing,
    /// Threads that finish yards which were left for another.
    leaving: Vec<std::thread::JoinHandle<()>>,
}

impl App {
    /// Starts with a yard's folder among the paths, the yard of the last time, or the welcome
    /// page; other paths are films of a new ride.
    #[must_use]
    pub fn new(cc: &CreationContext<'_>, services: Arc<dyn Services>, paths: Vec<PathBuf>) -> Self {
        let (prefs, spoilt) = Prefs::read(cc.storage);
        let ctx = cc.egui_ctx.clone();
        theme::install(&ctx);
        if let Some(dark) = prefs.dark {
            ctx.set_theme(if dark {
                egui::Theme::Dark
            } else {
                egui::Theme::Light
            });
        }
        ctx.add_plugin(KeyListener::default());
        let repaint = ctx.clone();
        let on_ready: OnReady = Arc::new(move || repaint.request_repaint());
        let (folders, films): (Vec<_>, Vec<_>) = paths.into_iter().partition(|path| path.is_dir());
        let last_time = || prefs.yard.clone().filter(|yard| yard.is_dir());
        let picture_folder = services.picture_folder();
        let first = folders.into_iter().next().or_else(last_time);
        let mut app = Self {
            speaker: services.speaker(on_ready.clone()),
            say: Say::new(Self::language(&prefs, &*services)),
            services,
            film_wish: (prefs.film_memory, prefs.hardware),
            prefs,
            opening: None,
            open: None,
            room: Room::default(),
            review: None,
            progress: ProgressView::new(on_ready.clone()),
            yard_view: YardView::new(on_ready.clone(), picture_folder),
            notices: Notices::default(),
            help: false,
            keys_page: keys_page::KeysPage::default(),
            settings: false,
            words: None,
            trial: None,
            actions: first.map(Action::OpenYard).into_iter().collect(),
            films,
            tasks: Tasks::new(on_ready.clone()),
            running: Vec::new(),
            film_search: None,
            indexing: None,
            page: None,
            pages: 0,
            film_searches: 0,
            films_sought: BTreeSet::new(),
            sought_in_vain: BTreeSet::new(),
            notes_readings: 0,
            notes_reading: None,
            on_ready,
            now: 0.0,
            title: String::new(),
            told_failing: false,
            openings: 0,
            closing: Closing::default(),
            leaving: Vec::new(),
        };
        if spoilt {
            let text = "The settings could not be read, so they are as they were at first";
            let next = "Your rides and marks are kept elsewhere and are safe";
            app.tell(Notice::caution(text).next(next));
        }
        app.remembered_keys(&ctx);
        app
    }

    /// Keeps work going that would be cancelled if it were dropped; forgets what has ended.
    fn keep(&mut self, task: Task) {
        self.running.retain(Task::is_running);
        self.running.push(task);
    }

    /// The open yard, for tests.
    #[must_use]
    pub fn open_yard(&self) -> Option<&OpenYard> {
        self.open.as_ref()
    }

    /// The Review room's state, for tests.
    #[must_use]
    pub fn review(&self) -> Option<&ReviewView> {
        self.review.as_ref()
    }

    /// The Progress room's state, for tests.
    #[must_use]
    pub fn progress(&self) -> &ProgressView {
        &self.progress
    }

    /// The room on screen, for tests.
    #[must_use]
    pub fn room(&self) -> Room {
        self.room
    }

    /// How many films were looked for and are nowhere in the yard's folders.
    #[must_use]
    pub fn sought_in_vain(&self) -> usize {
        self.sought_in_vain.len()
    }

    /// Whether everything is in the yard's files, for tests.
    #[must_use]
    pub fn is_saved(&self) -> bool {
        self.open.as_ref().is_none_or(|open| {
            open.keeper
                .as_ref()
                .is_none_or(|keeper| keeper.safety(&open.document) == crate::keeper::Safety::Saved)
        })
    }
}

impl eframe::App for App {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.on_logic(ctx);
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.on_ui(ui);
    }

    fn save(&mut self, storage: &mut dyn eframe::Storage) {
        eframe::set_value(storage, eframe::APP_KEY, &self.prefs);
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.leave_for_good();
    }
}
