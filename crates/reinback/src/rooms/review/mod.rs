//! The Review room: film, strip, the current exercise with its faults, and the list of marks.

pub mod arena;
pub mod beside;
mod chosen;
pub mod clips;
mod current;
pub mod film;
mod hearing;
pub mod jumps;
pub mod lapses;
mod list;
pub mod marking;
pub mod measure;
pub mod notes;
pub mod second;
pub mod selection;
pub mod sheet;
mod side;
pub mod strip;
mod tapping;
mod transport;
pub mod waves;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use egui::{CentralPanel, Frame, Margin, Panel, RichText, TextureHandle, Ui};
use reinback_film::Searched;
use reinback_yard::{
    Bout, BoutId, FilmId, Mark, Moment, Rein, ReviewId, Ride, RideId, Span, Words, Yard,
};

use crate::action::{Action, Chosen};
use crate::command::Command;
use crate::open_yard::OpenYard;
use crate::stage::{Creep, Placed, Stage};
use crate::theme;
use arena::Plan;
use beside::Beside;
use clips::Clips;
pub use current::KEYS;
use film::lens::{Lens, Sight};
pub use hearing::SoundShown;
pub use marking::Delays;
use marking::{AskedDraft, Used};
use measure::Measuring;
use notes::NotesImport;
use second::{Bare, Compared, Second};
use selection::Selection;
use sheet::SheetPanel;
use strip::frames::Frames;
use strip::layout::May;
use strip::roll::Roll;
use strip::{StripData, StripView};
pub use tapping::Tapping;
use waves::{Wave, Waves};

/// What the Review room remembers.
pub struct ReviewView {
    /// The open ride.
    pub ride: RideId,
    /// Its films and the clock.
    pub stage: Stage,
    /// What is chosen.
    pub chosen: Option<Chosen>,
    /// What is chosen beside it.
    pub selection: Selection,
    /// Letters of a short form typed so far.
    pub typed: String,
    /// How often this horse was ridden in each exercise, when the ride was opened.
    pub used: Used,
    /// Films in whose place another was found.
    pub others: BTreeMap<FilmId, Other>,
    /// The films that were compared: where they lay, and what they should hold.
    pub checked: Vec<(PathBuf, Option<String>)>,
    /// How far the search for missing films is, while it runs.
    pub film_search: Option<Searched>,
    /// The strip's zoom and drag.
    pub strip: StripView,
    /// The small pictures on it.
    pub roll: Roll,
    /// How loud its films are.
    pub waves: Waves,
    /// The note being written.
    pub note: Option<NoteDraft>,
    /// Notes from the rail on their way in; their panel is open while there are any.
    pub notes: Option<NotesImport>,
    /// The clips of the ride; their panel is open while there is one.
    pub clips: Option<Clips>,
    /// What is measured on the frame; its panel is open while there is one.
    pub measuring: Option<Measuring>,
    /// The plan of the arena; its panel is open while there is one.
    pub plan: Option<Plan>,
    /// The test that was ridden; its panel is open while there is one.
    pub sheet: Option<SheetPanel>,
    /// Taps being made for a tempo.
    pub tapping: Option<Tapping>,
    /// Asked numbers being typed.
    pub asked: Option<AskedDraft>,
    /// The review on screen, if another than the one that counts was asked for.
    pub reviewing: Option<ReviewId>,
    /// The reviews of the ride; their panel is open while there are any.
    pub second: Option<Second>,
    /// Two of them, compared.
    pub compared: Compared,
    /// The ride as the strip shows it with a review that does not count.
    bare: Bare,
    /// The picture on the graphics card and its number.
    pub texture: Option<(u64, TextureHandle)>,
    /// Which part of the picture is looked at.
    pub lens: Lens,
    /// Where the picture lay when it was drawn last.
    pub sight: Option<Sight>,
    /// How the film is looked at.
    pub looking: Looking,
    /// Two stretches side by side; their panel is open while there is one.
    pub beside: Option<Beside>,
    /// Set when the list must scroll to what is chosen.
    pub reveal: bool,
    /// Words looked for in the list of exercises.
    exercise_search: String,
    /// Whether the list of exercises is open.
    choosing_exercise: bool,
    /// Whether general faults without a key are shown too.
    all_faults: bool,
}

/// Another film than the one that was marked.
#[derive(Clone, Debug, PartialEq)]
pub struct Other {
    /// Where it lies.
    pub path: PathBuf,
    /// The fingerprint that was expected there.
    pub known: Option<String>,
    /// Its own.
    pub found: String,
}

impl Other {
    /// Whether it lies where this film is thought to be.
    #[must_use]
    pub fn is_at(&self, placed: &Placed) -> bool {
        self.path == placed.path && self.known == placed.film.fingerprint
    }
}

/// How the film is looked at.
#[derive(Clone, Debug, Default)]
pub struct Looking {
    /// A button for a frame is held: the film creeps.
    pub creep: Option<Creep>,
    /// Where the last jump led.
    pub jumped: Option<Moment>,
    /// What is played again and again.
    pub repeat: Option<Repeat>,
    /// Whether the film fills the window.
    pub filling: bool,
}

/// What is played again and again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Repeat {
    /// A bout, wherever its edges are moved.
    Bout(BoutId),
    /// A stretch of the ride clock.
    Stretch(Span),
    /// The shorter of the two side by side.
    Beside,
}

/// A note being written onto a mark.
#[derive(Clone, Debug, PartialEq)]
pub struct NoteDraft {
    /// Onto which mark; a new one becomes part of the ride once it says something.
    pub mark: Mark,
    /// The text so far.
    pub text: String,
    /// Takes the keyboard when it opens.
    pub fresh: bool,
}

impl ReviewView {
    /// The ride's films with their files, and which of those hold another film.
    #[must_use]
    pub fn placed(&self, open: &OpenYard) -> Vec<Placed> {
        let mut films = open.placed(self.ride);
        for placed in &mut films {
            let other = self.others.get(&placed.film.id);
            placed.another = other.is_some_and(|other| other.is_at(placed));
        }
        films
    }

    /// Puts away what stands beside the film, so that something else can.
    pub fn clear_side(&mut self) {
        self.notes = None;
        self.clips = None;
        self.beside = None;
        self.measuring = None;
        self.plan = None;
        self.sheet = None;
        self.second = None;
    }

    /// The review on screen, into which is marked.
    #[must_use]
    pub fn review_of(&self, ride: &Ride) -> ReviewId {
        second::shown(ride, self.reviewing)
    }

    /// Has the pictures and the loudness of a file made anew: it may hold something else now.
    pub fn forget_file(&mut self, path: &Path) {
        self.roll.forget(path);
        self.waves.forget(path);
    }

    /// Looks so many times as close at the middle of what is shown.
    pub fn look_closer(&mut self, factor: f64) {
        if let Some(sight) = self.sight {
            self.lens.zoom_at(&sight, sight.shown().center(), factor);
        }
    }

    /// A ride just opened.
    #[must_use]
    pub fn new(ride: RideId, stage: Stage, roll: Roll, waves: Waves) -> Self {
        Self {
            ride,
            stage,
            chosen: None,
            selection: Selection::default(),
            typed: String::new(),
            used: Used::new(),
            others: BTreeMap::new(),
            checked: Vec::new(),
            film_search: None,
            strip: StripView::default(),
            roll,
            waves,
            note: None,
            notes: None,
            clips: None,
            measuring: None,
            plan: None,
            sheet: None,
            tapping: None,
            asked: None,
            reviewing: None,
            second: None,
            compared: Compared::default(),
            bare: Bare::default(),
            texture: None,
            lens: Lens::default(),
            sight: None,
            looking: Looking::default(),
            beside: None,
            reveal: false,
            exercise_search: String::new(),
            choosing_exercise: false,
            all_faults: false,
        }
    }
}

/// What the Review room shows.
#[derive(Clone, Copy)]
pub struct ReviewData<'a> {
    /// The yard.
    pub yard: &'a Yard,
    /// The open ride.
    pub ride: &'a Ride,
    /// Whose review is made.
    pub review: ReviewId,
    /// Whether that review is blind: nothing of the others may be seen.
    pub blind: bool,
    /// Who reviews, as the settings have it; may be empty.
    pub reviewer: &'a str,
    /// The document's, by which what is worked out from it is kept.
    pub revision: u64,
    /// Whether anything can be changed.
    pub writable: bool,
    /// What the control of the sound shows.
    pub sound: SoundShown,
}

impl<'a> ReviewData<'a> {
    fn words(&self) -> &'a Words {
        &self.yard.words
    }

    fn marking(&self, view: &ReviewView) -> marking::Marking<'a> {
        marking::Marking {
            words: self.words(),
            ride: self.ride,
            review: self.review,
            now: view.stage.position(),
            chosen: view.chosen,
            hand: marking::Hand::STILL,
        }
    }
}

/// Draws the room.
pub fn review_ui(
    ui: &mut Ui,
    view: &mut ReviewView,
    placed: &[Placed],
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let tokens = theme::tokens(ui);
    view.looking.creep = None;
    view.selection.settle(view.chosen);
    if view.looking.filling {
        let slim = Frame::new()
            .fill(tokens.ground)
            .inner_margin(Margin::symmetric(14, 4));
        Panel::bottom("slim transport")
            .frame(slim)
            .show_separator_line(false)
            .show(ui, |ui| {
                list::note_ui(ui, view, data, out);
                transport::slim_ui(ui, view, data, out);
            });
        stage_ui(ui, view, data, out);
        return;
    }
    second::panel::banner_ui(ui, data, out);
    side::side_ui(ui, view, placed, data, out);
    foot_ui(ui, view, placed, data, out);
    stage_ui(ui, view, data, out);
}

/// The transport and the strip.
fn foot_ui(
    ui: &mut Ui,
    view: &mut ReviewView,
    placed: &[Placed],
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let foot = Frame::new()
        .fill(theme::tokens(ui).ground)
        .inner_margin(Margin {
            left: 14,
            right: 14,
            top: 6,
            bottom: 10,
        });
    Panel::bottom("review strip")
        .frame(foot)
        .show_separator_line(false)
        .show(ui, |ui| {
            transport::transport_ui(ui, view, data, out);
            ui.add_space(4.0);
            strip_of(ui, view, placed, data, out);
        });
}

/// The film, in what the panels leave.
fn stage_ui(ui: &mut Ui, view: &mut ReviewView, data: &ReviewData<'_>, out: &mut Vec<Action>) {
    CentralPanel::no_frame().show(ui, |ui| {
        let rect = ui.available_rect_before_wrap();
        film::film_ui(ui, view, data, out);
        over_the_film_ui(ui, view, data, rect);
    });
}

/// The strip with all that it shows of the ride.
fn strip_of(
    ui: &mut Ui,
    view: &mut ReviewView,
    placed: &[Placed],
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let waves: Vec<Wave> = placed.iter().map(|p| view.waves.of(&p.path)).collect();
    let known = waves.iter().any(|wave| !matches!(wave, Wave::Unknown));
    let sounds = view.stage.info().is_some_and(|info| info.has_sound);
    let flaws = view.stage.flaws();
    let notes = view.notes.as_ref().map(NotesImport::moments);
    let index = view.stage.frame_index();
    let frames = index.as_ref().and_then(|(id, index)| {
        let placed = placed.iter().find(|placed| placed.film.id == *id)?;
        let film = &placed.film;
        Some(Frames { film, index })
    });
    let strip = StripData {
        words: data.words(),
        ride: view.bare.of(data.ride, data.review, data.revision),
        review: data.review,
        films: placed,
        waves: &waves,
        sound_band: known || sounds,
        extent: view.stage.extent(),
        now: view.stage.position(),
        playing: view.stage.is_playing(),
        flaws: &flaws,
        repeated: view.stage.repeated(),
        notes: notes.as_deref().unwrap_or_default(),
        selected: view.selection.all(),
        frames,
        may: match (data.writable, &view.clips) {
            (false, _) => May::Look,
            (true, None) => May::Mark,
            (true, Some(_)) => May::PlaceClips,
        },
    };
    view.strip.follow(strip.extent, strip.now);
    strip::strip_ui(
        ui,
        &mut view.strip,
        &mut view.roll,
        &strip,
        view.chosen,
        out,
    );
}

/// What is being typed or tapped, laid over the film.
fn over_the_film_ui(ui: &mut Ui, view: &ReviewView, data: &ReviewData<'_>, film: egui::Rect) {
    let marking = data.marking(view);
    if let Some(tapping) = &view.tapping {
        let keep = Command::Taps.key_text(ui.ctx());
        tapping::overlay_ui(ui, tapping, marking.pace(), &keep, film);
    } else if let Some(asked) = &view.asked {
        let soft = theme::tokens(ui).ink_soft;
        let typed = RichText::new(format!("{} asked", asked.text)).font(theme::bold(18.0));
        let more = "How many; then / and every how many strides, if that is not in its name";
        tapping::card_ui(ui, film, |ui| {
            ui.label(typed);
            ui.label(RichText::new(more).small().color(soft));
        });
    }
}

/// "half-pass, in trot, left".
#[must_use]
pub fn bout_name(words: &Words, bout: &Bout) -> String {
    let mut name = words.exercise_name(&bout.exercise);
    if let Some(variant) = &bout.variant {
        name = format!("{name}, {}", words.variant_name(&bout.exercise, variant));
    }
    match bout.rein {
        Some(Rein::Left) => name.push_str(", left"),
        Some(Rein::Right) => name.push_str(", right"),
        None => {}
    }
    name
}
