//! From a ride and a stretch of its clock to rectangles: pure, no painting.

use std::collections::BTreeSet;

use egui::{Rect, pos2};
use reinback_film::FlawKind;
use reinback_yard::{FilmId, Moment, ReviewId, Ride, Span, Words};

use super::axis::{Axis, ticks};
use super::bands::{self, Block};
use super::frames::Frames;
use super::overview::{self, Overview};
use super::roll::{self, Tile};
use super::signs::{self, Sign};
use super::sound::{self, SoundBand};
use super::tempo::{self, TempoBand};
use crate::action::Chosen;
use crate::rooms::review::waves::Wave;
use crate::stage::Placed;

const RULER: f32 = 20.0;
const FILMS: f32 = 36.0;
const PACES: f32 = 16.0;
const OUTLINES: f32 = 16.0;
const TEMPO: f32 = 30.0;
const MARKS: f32 = 26.0;
const SOUND: f32 = 26.0;
const OVERVIEW: f32 = 13.0;
/// The exercises' band: as high as this, or as the bands that are not always there leave it.
const BOUTS: f32 = 52.0;
const LEAST_BOUTS: f32 = 32.0;
const GAP: f32 = 2.0;
/// Frames are shown one by one where they are at least this wide, in points.
const FRAME: f32 = 6.0;
/// Room for the name of a band.
const NAME_WIDTH: f32 = 62.0;

/// The beds of the bands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beds {
    /// The whole ride, where only a part of it is shown.
    pub overview: Option<Rect>,
    /// The ruler.
    pub ruler: Rect,
    /// Films.
    pub films: Rect,
    /// Paces.
    pub paces: Rect,
    /// Exercises.
    pub bouts: Rect,
    /// Outlines, where there are any.
    pub outlines: Option<Rect>,
    /// Tempo, where any was tapped.
    pub tempo: Option<Rect>,
    /// Marks.
    pub marks: Rect,
    /// Sound, where there is any.
    pub sound: Option<Rect>,
}

impl Beds {
    /// The beds that are filled, with their names.
    fn named(&self) -> Vec<(Rect, &'static str)> {
        let always = [
            (self.films, "film"),
            (self.paces, "pace"),
            (self.bouts, "exercises"),
            (self.marks, "marks"),
        ];
        let outlines = self.outlines.map(|bed| (bed, "outline"));
        let tempo = self.tempo.map(|bed| (bed, "strides a minute"));
        let sound = self.sound.map(|bed| (bed, "sound"));
        let others = outlines.into_iter().chain(tempo).chain(sound);
        always.into_iter().chain(others).collect()
    }
}

/// Everything of the strip but the play head.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// The mapping used.
    pub axis: Axis,
    /// The whole canvas.
    pub rect: Rect,
    /// Where the bands lie.
    pub beds: Beds,
    /// Their names, where nothing else stands in their place.
    pub names: Vec<(Rect, &'static str)>,
    /// The whole ride, where only a part of it is shown.
    pub overview: Option<Overview>,
    /// Ticks of the ruler with their moments; the text only on the longer ones.
    pub ticks: Vec<(f32, Option<Moment>)>,
    /// What is played again and again, on the ruler.
    pub repeated: Option<Rect>,
    /// Where single frames begin, where they are wide enough.
    pub frames: Vec<f32>,
    /// Extents of the films.
    pub films: Vec<(FilmId, Rect)>,
    /// Small pictures on them.
    pub tiles: Vec<Tile>,
    /// Where two of them show the same time.
    pub overlaps: Vec<Rect>,
    /// Where they are damaged.
    pub flaws: Vec<(Rect, FlawKind)>,
    /// Paces.
    pub paces: Vec<Block>,
    /// Bouts.
    pub bouts: Vec<Block>,
    /// Outlines.
    pub outlines: Vec<Block>,
    /// Tempo.
    pub tempo: TempoBand,
    /// Marks.
    pub signs: Vec<Sign>,
    /// Notes that would be placed here, one for each point of the screen that has any.
    pub notes: Vec<Rect>,
    /// Sound.
    pub sound: SoundBand,
}

impl Layout {
    /// All blocks of stretches.
    #[must_use = "it only goes through them"]
    pub fn blocks(&self) -> impl DoubleEndedIterator<Item = &Block> {
        let (paces, bouts) = (self.paces.iter(), self.bouts.iter());
        paces.chain(bouts).chain(self.outlines.iter())
    }
}

/// What the strip shows.
#[derive(Clone, Copy)]
pub struct StripData<'a> {
    /// The yard's words.
    pub words: &'a Words,
    /// The ride.
    pub ride: &'a Ride,
    /// Whose review.
    pub review: ReviewId,
    /// The films as placed.
    pub films: &'a [Placed],
    /// How loud each of them is, as far as it is known.
    pub waves: &'a [Wave],
    /// Whether there is a band for sound.
    pub sound_band: bool,
    /// First to last moment.
    pub extent: Span,
    /// The frame on screen.
    pub now: Moment,
    /// Whether the film runs.
    pub playing: bool,
    /// Where films are damaged.
    pub flaws: &'a [(Span, FlawKind)],
    /// The stretch that is played again and again.
    pub repeated: Option<Span>,
    /// Moments of notes that are being brought in.
    pub notes: &'a [Moment],
    /// Everything that is chosen.
    pub selected: &'a BTreeSet<Chosen>,
    /// The frames of the film on screen, once they are numbered.
    pub frames: Option<Frames<'a>>,
    /// What the pointer may change.
    pub may: May,
}

/// What the pointer may change on the strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum May {
    /// Nothing: the yard is open for reading only.
    Look,
    /// What is marked.
    Mark,
    /// What is marked, and where the clips lie.
    PlaceClips,
}

impl StripData<'_> {
    /// Whether anything can be changed.
    #[must_use]
    pub fn writable(&self) -> bool {
        self.may != May::Look
    }
}

/// The heights of the bands that are not always there, with their gaps, and of the exercises'.
fn rooms(data: &StripData<'_>, whole: bool) -> (f32, f32) {
    let room = |there: bool, height: f32| if there { height + GAP } else { 0.0 };
    let among = room(!whole, OVERVIEW) + room(!data.ride.outlines.is_empty(), OUTLINES);
    let bouts = (BOUTS - among).max(LEAST_BOUTS);
    let more = room(data.sound_band, SOUND) + room(has_tempo(data), TEMPO);
    (among + more, bouts)
}

fn has_tempo(data: &StripData<'_>) -> bool {
    let mut tracks = data.ride.tempos.iter();
    tracks.any(|track| track.review == data.review)
}

/// Height of the strip in points, when it shows the whole ride or a part of it.
#[must_use]
pub fn height(data: &StripData<'_>, whole: bool) -> f32 {
    let (others, bouts) = rooms(data, whole);
    RULER + FILMS + PACES + MARKS + 4.0 * GAP + others + bouts
}

fn beds(data: &StripData<'_>, whole: bool, rect: Rect) -> Beds {
    let (_, room) = rooms(data, whole);
    let mut top = rect.top();
    let mut bed = |height: f32, gap: f32| {
        let bed = Rect::from_min_max(pos2(rect.left(), top), pos2(rect.right(), top + height));
        top += height + gap;
        bed
    };
    Beds {
        overview: (!whole).then(|| bed(OVERVIEW, GAP)),
        ruler: bed(RULER, 0.0),
        films: bed(FILMS, GAP),
        paces: bed(PACES, GAP),
        bouts: bed(room, GAP),
        outlines: (!data.ride.outlines.is_empty()).then(|| bed(OUTLINES, GAP)),
        tempo: has_tempo(data).then(|| bed(TEMPO, GAP)),
        marks: bed(MARKS, GAP),
        sound: data.sound_band.then(|| bed(SOUND, GAP)),
    }
}

/// Lays the strip out.
#[must_use]
pub fn layout(data: &StripData<'_>, view: Span, rect: Rect) -> Layout {
    let axis = Axis {
        view,
        left: rect.left(),
        right: rect.right(),
    };
    let beds = beds(data, view == data.extent, rect);
    let on_films = |span: Span| stretch_on(&axis, span, beds.films);
    let flaws = data.flaws.iter();
    let flaws = flaws.filter_map(|(span, kind)| Some((on_films(*span)?, *kind)));
    let overlaps = overlaps(data.films).into_iter().filter_map(on_films);
    let films = data.films.iter();
    let films = films.filter_map(|own| Some((own.film.id, on_films(own.film.span()?)?)));
    let outlines = beds.outlines.map(|bed| bands::outlines(data, &axis, bed));
    let tempo = beds.tempo.map(|bed| tempo::band(data, &axis, bed));
    let sound = beds.sound.map(|bed| sound::band(data, &axis, bed));
    let overview = beds.overview.map(|bed| overview::layout(data, view, bed));
    let mut layout = Layout {
        axis,
        rect,
        beds,
        names: beds.named(),
        overview,
        ticks: ticks(&axis),
        repeated: data
            .repeated
            .and_then(|span| stretch_on(&axis, span, beds.ruler)),
        frames: frames(data, &axis),
        films: films.collect(),
        tiles: roll::tiles(&axis, data.films, beds.films),
        flaws: flaws.collect(),
        overlaps: overlaps.collect(),
        paces: bands::paces(data, &axis, beds.paces),
        bouts: bands::bouts(data, &axis, beds.bouts),
        outlines: outlines.unwrap_or_default(),
        tempo: tempo.unwrap_or_default(),
        signs: signs::signs(data, &axis, beds.marks),
        notes: note_ticks(data.notes, &axis, beds.marks),
        sound: sound.unwrap_or_default(),
    };
    hide_names(&mut layout);
    layout
}

/// A band's name stands at its left end until something else does.
fn hide_names(layout: &mut Layout) {
    let within = layout.rect.left() + NAME_WIDTH;
    let blocks = layout.blocks().map(|block| block.rect);
    let signs = layout.signs.iter().map(|sign| sign.rect);
    let columns = layout.sound.columns.iter();
    let columns =
        columns.map(|c| Rect::from_min_max(pos2(c.x, c.peak.0), pos2(c.x + 1.0, c.peak.1)));
    let lines = layout.tempo.tracks.iter().flat_map(|track| &track.lines);
    let lines = lines.map(|line| Rect::from_points(line));
    let taken = blocks.chain(signs).chain(columns).chain(lines);
    let taken: Vec<Rect> = taken.filter(|rect| rect.left() <= within).collect();
    for (bed, name) in &mut layout.names {
        let place = Rect::from_min_size(bed.min, egui::vec2(NAME_WIDTH, bed.height()));
        if taken.iter().any(|rect| rect.intersects(place)) {
            *name = "";
        }
    }
}

/// Where the frames in view begin, if they are wide enough.
fn frames(data: &StripData<'_>, axis: &Axis) -> Vec<f32> {
    let most = ((axis.right - axis.left) / FRAME).max(0.0) as usize;
    let starts = data.frames.and_then(|own| own.within(axis.view, most));
    let starts = starts.unwrap_or_default();
    starts.iter().map(|at| axis.x_from_moment(*at)).collect()
}

/// Stretches that more than one film shows, in the order of their starts.
fn overlaps(films: &[Placed]) -> Vec<Span> {
    let mut spans: Vec<Span> = films.iter().filter_map(|own| own.film.span()).collect();
    spans.sort_unstable();
    let mut reached: Option<Moment> = None;
    let mut shared = Vec::new();
    for span in spans {
        if let Some(end) = reached.filter(|end| span.from < *end) {
            shared.push(Span {
                from: span.from,
                to: span.to.min(end),
            });
        }
        reached = reached.max(Some(span.to));
    }
    shared
}

pub(super) fn stretch_on(axis: &Axis, span: Span, bed: Rect) -> Option<Rect> {
    if span.to < axis.view.from || span.from > axis.view.to {
        return None;
    }
    let left = axis.x_from_moment(span.from).max(bed.left());
    let right = axis.x_from_moment(span.to).min(bed.right()).max(left + 2.0);
    Some(Rect::from_min_max(
        pos2(left, bed.top()),
        pos2(right, bed.bottom()),
    ))
}

fn note_ticks(notes: &[Moment], axis: &Axis, bed: Rect) -> Vec<Rect> {
    let shown = notes
        .iter()
        .filter(|at| axis.view.from <= **at && **at <= axis.view.to);
    let mut places: Vec<i32> = shown.map(|at| axis.x_from_moment(*at) as i32).collect();
    places.sort_unstable();
    places.dedup();
    let tick = |x: i32| {
        Rect::from_center_size(
            pos2(x as f32, bed.center().y),
            egui::vec2(4.0, bed.height() - 4.0),
        )
    };
    places.into_iter().map(tick).collect()
}

#[cfg(test)]
mod tests;
