//! From a ride and a stretch of its clock to rectangles: pure, no painting.

use egui::{Rect, pos2};
use reinback_film::FlawKind;
use reinback_yard::{Bout, BoutId, MarkId, MarkKind, Moment, Pace, ReviewId, Ride, Span, Words};

use super::axis::{Axis, ticks};
use super::roll::{self, Tile};
use super::sound::{self, SoundBand};
use crate::rooms::review::waves::Wave;
use crate::stage::Placed;

/// Height of the strip without its sound band, in points.
const HEIGHT: f32 = 158.0;

const RULER: f32 = 20.0;
const FILMS: f32 = 36.0;
const PACES: f32 = 16.0;
const OUTLINES: f32 = 16.0;
const MARKS: f32 = 26.0;
const SOUND: f32 = 26.0;
const GAP: f32 = 2.0;
/// Room for the name of a band.
const NAME_WIDTH: f32 = 62.0;

/// A filled stretch with a word.
#[derive(Clone, Debug, PartialEq)]
pub struct Block<Id> {
    /// What it stands for.
    pub id: Id,
    /// Where.
    pub rect: Rect,
    /// Shown inside as far as it fits.
    pub text: String,
    /// Which of the palette's fills.
    pub fill: usize,
    /// Drawn solid; else hatched: not in the count.
    pub counts: bool,
    /// Has a fault.
    pub faulty: bool,
}

/// A sign for a mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Sign {
    /// Which mark.
    pub id: MarkId,
    /// Where.
    pub rect: Rect,
    /// Which shape.
    pub shape: SignShape,
}

/// Shapes of marks, so that colour is never alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SignShape {
    /// A triangle pointing down.
    Fault,
    /// A disc.
    Praise,
    /// A ring.
    Repeated,
    /// A square.
    Note,
    /// A cross.
    Change,
    /// An arrow head pointing up.
    Aid,
    /// Two lines that meet.
    Measured,
}

impl SignShape {
    /// The shape of a kind of mark.
    #[must_use]
    pub fn of(kind: &MarkKind) -> Self {
        match kind {
            MarkKind::Fault(_) => Self::Fault,
            MarkKind::Praise => Self::Praise,
            MarkKind::Repeated => Self::Repeated,
            MarkKind::Note => Self::Note,
            MarkKind::Change(_) => Self::Change,
            MarkKind::Aid => Self::Aid,
            MarkKind::Measured(_) => Self::Measured,
        }
    }
}

/// Everything of the strip but the play head.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// The mapping used.
    pub axis: Axis,
    /// The whole canvas.
    pub rect: Rect,
    /// Beds of the bands with their names.
    pub beds: Vec<(Rect, &'static str)>,
    /// Ticks of the ruler with their moments; the text only on the longer ones.
    pub ticks: Vec<(f32, Option<Moment>)>,
    /// Extents of the films.
    pub films: Vec<Rect>,
    /// Small pictures on them.
    pub tiles: Vec<Tile>,
    /// Where two of them show the same time.
    pub overlaps: Vec<Rect>,
    /// Where they are damaged.
    pub flaws: Vec<(Rect, FlawKind)>,
    /// Paces.
    pub paces: Vec<Block<Pace>>,
    /// Bouts.
    pub bouts: Vec<Block<BoutId>>,
    /// Outlines.
    pub outlines: Vec<Block<()>>,
    /// Marks.
    pub signs: Vec<Sign>,
    /// Notes that would be placed here, one for each point of the screen that has any.
    pub notes: Vec<Rect>,
    /// Sound.
    pub sound: SoundBand,
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
    /// Moments of notes that are being brought in.
    pub notes: &'a [Moment],
}

/// Height of the strip, in points.
#[must_use]
pub fn height(data: &StripData<'_>) -> f32 {
    HEIGHT + sound_room(data)
}

fn sound_room(data: &StripData<'_>) -> f32 {
    if data.sound_band { SOUND + GAP } else { 0.0 }
}

/// Lays the strip out.
#[must_use]
pub fn layout(data: &StripData<'_>, view: Span, rect: Rect) -> Layout {
    let axis = Axis {
        view,
        left: rect.left(),
        right: rect.right(),
    };
    let mut top = rect.top() + RULER;
    let mut bed = |height: f32| {
        let bed = Rect::from_min_max(pos2(rect.left(), top), pos2(rect.right(), top + height));
        top += height + GAP;
        bed
    };
    let outline_room = if data.ride.outlines.is_empty() {
        0.0
    } else {
        OUTLINES + GAP
    };
    // The exercises take what the other bands leave.
    let others = RULER + FILMS + PACES + MARKS + outline_room + sound_room(data);
    let room = rect.height() - others - 4.0 * GAP;
    let (films, paces, bouts) = (bed(FILMS), bed(PACES), bed(room));
    let outlines = (outline_room > 0.0).then(|| bed(OUTLINES));
    let marks = bed(MARKS);
    let sound = data.sound_band.then(|| bed(SOUND));

    let mut beds = vec![
        (films, "film"),
        (paces, "pace"),
        (bouts, "exercises"),
        (marks, "marks"),
    ];
    beds.extend(outlines.map(|bed| (bed, "outline")));
    beds.extend(sound.map(|bed| (bed, "sound")));
    let stretch = |span: Span, bed: Rect| stretch_on(&axis, span, bed);

    let flaws = data
        .flaws
        .iter()
        .filter_map(|(span, kind)| Some((stretch(*span, films)?, *kind)))
        .collect();
    let tiles = roll::tiles(&axis, data.films, films);
    let overlaps = overlaps(data.films)
        .into_iter()
        .filter_map(|span| stretch(span, films))
        .collect();
    let films: Vec<Rect> = data
        .films
        .iter()
        .filter_map(|p| stretch(p.film.span()?, films))
        .collect();
    let paces = pace_blocks(data, &axis, paces);
    let bouts = bout_blocks(data, &axis, bouts);
    let outlines = outlines.map_or_else(Vec::new, |bed| outline_blocks(data, &axis, bed));
    let signs = signs(data, &axis, marks);
    let notes = note_ticks(data.notes, &axis, marks);
    let sound = sound.map_or_else(SoundBand::default, |bed| sound::band(data, &axis, bed));

    // A band's name stands at its left end until something else does.
    let taken = paces.iter().map(|block| block.rect);
    let taken = taken.chain(bouts.iter().map(|block| block.rect));
    let taken = taken.chain(outlines.iter().map(|block| block.rect));
    let columns = sound.columns.iter();
    let columns =
        columns.map(|c| Rect::from_min_max(pos2(c.x, c.peak.0), pos2(c.x + 1.0, c.peak.1)));
    let taken = taken.chain(columns);
    let taken: Vec<Rect> = taken.chain(signs.iter().map(|sign| sign.rect)).collect();
    for (bed, name) in &mut beds {
        let place = Rect::from_min_size(bed.min, egui::vec2(NAME_WIDTH, bed.height()));
        if taken.iter().any(|rect| rect.intersects(place)) {
            *name = "";
        }
    }
    Layout {
        axis,
        rect,
        beds,
        ticks: ticks(&axis),
        films,
        tiles,
        flaws,
        overlaps,
        paces,
        bouts,
        outlines,
        signs,
        notes,
        sound,
    }
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

fn own_bouts<'a>(data: &StripData<'a>) -> impl Iterator<Item = &'a Bout> + use<'a> {
    let review = data.review;
    data.ride
        .bouts
        .iter()
        .filter(move |bout| bout.review == review)
}

/// The paces as noted; where none are noted at all, those of the exercises.
fn pace_blocks(data: &StripData<'_>, axis: &Axis, bed: Rect) -> Vec<Block<Pace>> {
    let noted = data.ride.paces.iter().map(|span| (span.pace, span.span));
    let of_exercises = || {
        own_bouts(data).filter_map(|bout| {
            Some((
                data.words.exercise(&bout.exercise)?.pace?,
                bout.span_until(data.now),
            ))
        })
    };
    let all: Vec<(Pace, Span)> = if data.ride.paces.is_empty() {
        of_exercises().collect()
    } else {
        noted.collect()
    };
    let block = |(pace, span): (Pace, Span)| {
        Some(Block {
            id: pace,
            rect: stretch_on(axis, span, bed)?,
            text: pace.name().to_owned(),
            fill: Pace::ALL.iter().position(|p| *p == pace).unwrap_or(0),
            counts: true,
            faulty: false,
        })
    };
    all.into_iter().filter_map(block).collect()
}

fn bout_blocks(data: &StripData<'_>, axis: &Axis, bed: Rect) -> Vec<Block<BoutId>> {
    let families = families(data.words);
    let faulty = |id: BoutId| {
        let is_fault = |kind: &MarkKind| matches!(kind, MarkKind::Fault(_));
        data.ride
            .marks
            .iter()
            .any(|mark| mark.bout == Some(id) && is_fault(&mark.kind))
    };
    let block = |bout: &Bout| {
        let rect = stretch_on(axis, bout.span_until(data.now), bed)?;
        let exercise = data.words.exercise(&bout.exercise);
        let family = exercise.and_then(|e| families.iter().position(|f| *f == e.family));
        Some(Block {
            id: bout.id,
            rect,
            text: super::super::bout_name(data.words, bout),
            fill: family.unwrap_or(0),
            counts: bout.reviewed,
            faulty: faulty(bout.id),
        })
    };
    own_bouts(data).filter_map(block).collect()
}

fn outline_blocks(data: &StripData<'_>, axis: &Axis, bed: Rect) -> Vec<Block<()>> {
    let block = |span: &reinback_yard::OutlineSpan| {
        Some(Block {
            id: (),
            rect: stretch_on(axis, span.span, bed)?,
            text: data.words.outline_name(&span.outline),
            fill: data
                .words
                .outlines
                .iter()
                .position(|w| w.id == span.outline)
                .unwrap_or(0),
            counts: true,
            faulty: false,
        })
    };
    data.ride.outlines.iter().filter_map(block).collect()
}

/// The families of exercises in the order of the words.
fn families(words: &Words) -> Vec<&str> {
    let mut families: Vec<&str> = Vec::new();
    for exercise in &words.exercises {
        if !families.contains(&exercise.family.as_str()) {
            families.push(&exercise.family);
        }
    }
    families
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

fn signs(data: &StripData<'_>, axis: &Axis, bed: Rect) -> Vec<Sign> {
    let own = data
        .ride
        .marks
        .iter()
        .filter(|mark| mark.review == data.review);
    own.filter(|mark| axis.view.from <= mark.at && mark.at <= axis.view.to)
        .map(|mark| Sign {
            id: mark.id,
            rect: Rect::from_center_size(
                pos2(axis.x_from_moment(mark.at), bed.center().y),
                egui::Vec2::splat(13.0),
            ),
            shape: SignShape::of(&mark.kind),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use reinback_yard::{Film, FilmId};

    use super::*;

    #[test]
    fn what_two_films_show() {
        let film = |from: i64, length: i64| Placed {
            film: Film {
                id: FilmId::from_bits(from.unsigned_abs()),
                path: String::new(),
                fingerprint: None,
                offset: Moment(from),
                drift_ppb: 0,
                duration_nanos: Some(length),
                tilt: None,
            },
            path: std::path::PathBuf::new(),
            another: false,
        };
        let films = [film(90, 30), film(0, 100), film(10, 20), film(130, 5)];
        let shared: Vec<(i64, i64)> = overlaps(&films)
            .iter()
            .map(|span| (span.from.0, span.to.0))
            .collect();
        assert_eq!(shared, [(10, 30), (90, 100)]);
    }
}
