//! Measuring on the frame: which points are put, which one is held, and what they come to. Pure.
//!
//! - `keys`: what the keys mean meanwhile
//! - `on_film`: the points on the picture, and the hand that puts them there
//! - `panel`: what they come to, beside the film
//! - `words`: how it is said

pub mod keys;
pub(super) mod on_film;
pub(super) mod panel;
mod words;

use reinback_analysis::angle::{AngleProblem, Plumb as Upright, Reading, Together};
use reinback_yard::{
    Bout, BoutId, FilmId, Mark, MarkId, MarkKind, MeasureKind, Measured, Moment, Plumb, Point,
    ReviewId, Ride,
};

use crate::action::Chosen;
use crate::stage::Stage;

/// Something that is asked for while measuring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MeasureStep {
    /// Measure this.
    Kind(MeasureKind),
    /// Put the next point somewhere in sight, or keep what is measured where none is missing.
    PutOrKeep,
    /// Move what is held by so many pixels to the right and down.
    Nudge(i32, i32),
    /// Hold the next point.
    HoldNext,
    /// Take the last point away.
    TakeLast,
    /// Let go of what is held, then start over.
    LetGo,
    /// Take plumb from the film's tilt, or from an edge drawn on this frame.
    ByEdge(bool),
    /// Take plumb from the other of the two.
    OtherPlumb,
    /// Say that the whole film is turned as the edge drawn on it.
    SetTilt,
    /// Say nothing any more of how the film is turned.
    ForgetTilt,
    /// Keep what is measured.
    Keep,
}

/// A point that can be held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Handle {
    /// Of what is measured.
    Point(usize),
    /// Of the upright edge.
    Edge(usize),
}

/// The frame that points lie on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OnFrame {
    /// Of which film.
    pub film: FilmId,
    /// Its moment on the ride clock.
    pub at: Moment,
}

impl OnFrame {
    /// The frame that stands on the screen; `None` while the film plays or its frame is awaited.
    #[must_use]
    pub fn standing(stage: &Stage) -> Option<Self> {
        let still = !stage.is_playing() && !stage.is_waiting() && stage.picture().is_some();
        let film = stage.current_film().filter(|_| still)?.film.id;
        let at = stage.position();
        Some(Self { film, at })
    }

    /// Whether both are one frame: their moments may differ by the rounding of the film's rate.
    #[must_use]
    pub fn is(self, other: Self) -> bool {
        self.film == other.film && self.at.0.abs_diff(other.at.0) < SAME_NANOS
    }
}

/// A millisecond: no film changes its frame so fast.
const SAME_NANOS: u64 = 1_000_000;

/// What the rider measures.
#[derive(Debug)]
pub struct Measuring {
    kind: MeasureKind,
    points: Vec<Point>,
    /// Ends of something upright.
    edge: Vec<Point>,
    by_edge: bool,
    held: Option<Handle>,
    frame: Option<OnFrame>,
    /// The mark whose points these are, as it was kept.
    loaded: Option<(MarkId, Measured)>,
    /// What was chosen when that was looked at last.
    chosen: Option<Chosen>,
    /// Where a point goes that is put by a key: the middle of what is seen of the picture.
    pub(super) aim: Point,
    /// Pixels of the screen for one of the picture; 0 while none is shown.
    pub(super) scale: f64,
    /// The picture's size in pixels; no point leaves it.
    size: (u32, u32),
    /// From the pointer to the point it drags.
    pub(super) grip: Option<(Handle, (f64, f64))>,
}

impl Default for Measuring {
    fn default() -> Self {
        Self {
            kind: MeasureKind::NoseLine,
            points: Vec::new(),
            edge: Vec::new(),
            by_edge: false,
            held: None,
            frame: None,
            loaded: None,
            chosen: None,
            aim: Point { x: 0, y: 0 },
            scale: 0.0,
            size: (0, 0),
            grip: None,
        }
    }
}

impl Measuring {
    /// What is measured.
    #[must_use]
    pub fn kind(&self) -> MeasureKind {
        self.kind
    }

    /// The points put so far, in the order of the kind.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The ends of the upright edge drawn so far.
    #[must_use]
    pub fn edge(&self) -> &[Point] {
        &self.edge
    }

    /// What is held.
    #[must_use]
    pub fn held(&self) -> Option<Handle> {
        self.held
    }

    /// The frame the points lie on, once there is one.
    #[must_use]
    pub fn frame(&self) -> Option<OnFrame> {
        self.frame
    }

    /// Whether the points lie on this frame.
    #[must_use]
    pub fn is_on(&self, frame: OnFrame) -> bool {
        self.frame.is_some_and(|own| own.is(frame))
    }

    /// The mark whose points these are.
    #[must_use]
    pub fn mark(&self) -> Option<MarkId> {
        self.loaded.as_ref().map(|(id, _)| *id)
    }

    /// Whether plumb is taken from an edge drawn on the frame.
    #[must_use]
    pub fn is_by_edge(&self) -> bool {
        self.by_edge
    }

    /// Whether nothing is drawn.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.points.is_empty() && self.edge.is_empty()
    }

    /// The point to be put next.
    #[must_use]
    pub fn missing(&self) -> Option<Handle> {
        if self.wants_edge() && self.edge.len() < 2 {
            return Some(Handle::Edge(self.edge.len()));
        }
        let next = self.points.len();
        (next < self.kind.points()).then_some(Handle::Point(next))
    }

    fn wants_edge(&self) -> bool {
        self.by_edge && self.kind.needs_plumb()
    }

    /// Every point that was put.
    pub fn handles(&self) -> impl Iterator<Item = (Handle, Point)> + '_ {
        let edge = self.edge.iter().enumerate();
        let edge = edge.map(|(at, point)| (Handle::Edge(at), *point));
        let points = self.points.iter().enumerate();
        edge.chain(points.map(|(at, point)| (Handle::Point(at), *point)))
    }

    /// The point nearest to a place, of those not further than `within` pixels.
    #[must_use]
    pub fn near(&self, place: Point, within: f64) -> Option<Handle> {
        let distance = |point: Point| {
            let (own, other) = (point.dot(), place.dot());
            (own.x - other.x).hypot(own.y - other.y)
        };
        self.handles()
            .map(|(handle, point)| (handle, distance(point)))
            .filter(|(_, far)| *far <= within)
            .min_by(|one, other| one.1.total_cmp(&other.1))
            .map(|(handle, _)| handle)
    }

    /// Measures something else; its points are put anew.
    pub fn choose_kind(&mut self, kind: MeasureKind) {
        if kind != self.kind {
            self.kind = kind;
            self.points.clear();
            self.loaded = None;
            self.held = None;
            self.by_edge = self.by_edge && kind.needs_plumb();
            if !self.by_edge {
                self.edge.clear();
            }
        }
    }

    /// Puts the next point onto a frame; points of another frame are gone then. Whether one was
    /// missing.
    pub fn put(&mut self, frame: OnFrame, place: Point) -> bool {
        if !self.is_on(frame) {
            self.start_over();
            self.frame = Some(frame);
        }
        let Some(missing) = self.missing() else {
            return false;
        };
        let list = match missing {
            Handle::Edge(_) => &mut self.edge,
            Handle::Point(_) => &mut self.points,
        };
        list.push(place);
        self.move_to(missing, place);
        true
    }

    /// Puts the next point by a key: beside the one that is held, or in the middle of what is seen.
    pub fn put_by_key(&mut self, frame: OnFrame) -> bool {
        let held = self.held.and_then(|handle| self.place(handle));
        let own = held.filter(|_| self.is_on(frame));
        let below = i32::try_from(self.size.1.saturating_mul(1_000) / BESIDE).unwrap_or(0);
        let place = own.map_or(self.aim, |point| Point {
            x: point.x,
            y: point.y.saturating_add(below),
        });
        self.put(frame, place)
    }

    fn place(&self, handle: Handle) -> Option<Point> {
        match handle {
            Handle::Edge(at) => self.edge.get(at).copied(),
            Handle::Point(at) => self.points.get(at).copied(),
        }
    }

    /// Holds a point.
    pub fn hold(&mut self, handle: Handle) {
        if self.place(handle).is_some() {
            self.held = Some(handle);
        }
    }

    /// Holds the next point, the first after the last.
    pub fn hold_next(&mut self) {
        let handles: Vec<Handle> = self.handles().map(|(handle, _)| handle).collect();
        let now = self.held.and_then(|held| {
            let mut handles = handles.iter();
            handles.position(|handle| *handle == held)
        });
        let next = now.map_or(0, |at| at + 1);
        self.held = handles.get(next).or(handles.first()).copied();
    }

    /// Holds a point and moves it to a place, within the picture.
    pub fn move_to(&mut self, handle: Handle, place: Point) {
        let within = |at: i32, size: u32| {
            let most = i32::try_from(size.saturating_mul(1_000)).unwrap_or(i32::MAX);
            if size == 0 { at } else { at.clamp(0, most) }
        };
        let place = Point {
            x: within(place.x, self.size.0),
            y: within(place.y, self.size.1),
        };
        let point = match handle {
            Handle::Edge(at) => self.edge.get_mut(at),
            Handle::Point(at) => self.points.get_mut(at),
        };
        if let Some(point) = point {
            *point = place;
            self.held = Some(handle);
        }
    }

    /// Moves what is held by so many pixels.
    pub fn nudge(&mut self, right: i32, down: i32) {
        let Some((handle, point)) = self
            .held
            .and_then(|handle| self.place(handle).map(|point| (handle, point)))
        else {
            return;
        };
        let moved = Point {
            x: point.x.saturating_add(right.saturating_mul(1_000)),
            y: point.y.saturating_add(down.saturating_mul(1_000)),
        };
        self.move_to(handle, moved);
    }

    /// Takes the point away that was put last. Whether there was one.
    pub fn take_last(&mut self) -> bool {
        let taken = self.points.pop().or_else(|| self.edge.pop()).is_some();
        if self.held.is_some_and(|held| self.place(held).is_none()) {
            self.held = self.handles().last().map(|(handle, _)| handle);
        }
        taken
    }

    /// Lets go of what is held, or else starts over. Whether there was anything.
    pub fn let_go(&mut self) -> bool {
        if self.held.take().is_some() {
            return true;
        }
        let drawn = !self.is_empty();
        self.start_over();
        drawn
    }

    /// Takes plumb from an edge of the frame, or from the film's tilt.
    pub fn take_edge(&mut self, by_edge: bool) {
        if self.by_edge != by_edge {
            self.by_edge = by_edge && self.kind.needs_plumb();
            self.edge.clear();
            if self.held.is_some_and(|held| self.place(held).is_none()) {
                self.held = None;
            }
        }
    }

    /// Nothing is drawn any more; what is measured and how stays.
    pub fn start_over(&mut self) {
        self.points.clear();
        self.edge.clear();
        self.held = None;
        self.grip = None;
        self.loaded = None;
        self.frame = None;
    }

    /// What is taken for upright; `None` while its edge is not drawn.
    #[must_use]
    pub fn plumb(&self) -> Option<Plumb> {
        match (self.wants_edge(), self.edge.as_slice()) {
            (false, _) => Some(Plumb::Film),
            (true, &[one, other]) => Some(Plumb::Edge(one, other)),
            (true, _) => None,
        }
    }

    /// What the drawn edge says of how the picture is turned.
    #[must_use]
    pub fn edge_tilt(&self) -> Option<Result<Upright, AngleProblem>> {
        let &[one, other] = self.edge.as_slice() else {
            return None;
        };
        Some(Plumb::Edge(one, other).upright(None))
    }

    /// What would be kept; `None` while a point is missing.
    #[must_use]
    pub fn measured(&self) -> Option<Measured> {
        let complete = self.points.len() == self.kind.points();
        Some(Measured {
            kind: self.kind,
            film: self.frame.filter(|_| complete)?.film,
            points: self.points.clone(),
            plumb: self.plumb()?,
        })
    }

    /// What the points come to, on a film with this tilt; `None` while one is missing.
    #[must_use]
    pub fn reading(&self, tilt: Option<i32>) -> Option<Result<Reading, AngleProblem>> {
        self.measured()?.read(tilt)
    }

    /// Whether keeping would change anything.
    #[must_use]
    pub fn is_changed(&self) -> bool {
        let kept = self.loaded.as_ref().map(|(_, kept)| kept);
        self.measured()
            .is_some_and(|measured| Some(&measured) != kept)
    }

    /// Looks at what is chosen: a mark that measures shows its points, and shows them anew when it
    /// was changed elsewhere, as by undo.
    pub fn follow(
        &mut self,
        chosen: Option<Chosen>,
        ride: &Ride,
        review: ReviewId,
        size: Option<(u32, u32)>,
    ) {
        self.size = size.unwrap_or(self.size);
        let newly = chosen != self.chosen;
        self.chosen = chosen;
        let mark = match chosen {
            Some(Chosen::Mark(id)) => own_marks(ride, review).find(|(mark, _)| mark.id == id),
            _ => None,
        };
        let kept = self.loaded.as_ref();
        match mark {
            Some((mark, measured)) => {
                let other = kept.is_none_or(|(id, kept)| *id != mark.id || kept != measured);
                if newly || (kept.is_some() && other) {
                    self.load(mark, measured);
                }
            }
            None if kept.is_some() => self.start_over(),
            None => {}
        }
    }

    fn load(&mut self, mark: &Mark, measured: &Measured) {
        self.start_over();
        self.kind = measured.kind;
        self.points.clone_from(&measured.points);
        self.frame = Some(OnFrame {
            film: measured.film,
            at: mark.at,
        });
        self.by_edge = matches!(measured.plumb, Plumb::Edge(..));
        if let Plumb::Edge(one, other) = measured.plumb {
            self.edge = vec![one, other];
        }
        self.loaded = Some((mark.id, measured.clone()));
    }
}

/// A point put by a key lies this part of the picture's height below the one before. Our own
/// choice.
const BESIDE: u32 = 12;

/// The marks of a review that measure something.
pub(super) fn own_marks(
    ride: &Ride,
    review: ReviewId,
) -> impl Iterator<Item = (&Mark, &Measured)> + '_ {
    ride.marks.iter().filter_map(move |mark| match &mark.kind {
        MarkKind::Measured(measured) if mark.review == review => Some((mark, measured.as_ref())),
        _ => None,
    })
}

/// How the film of this id is turned, where that was said.
#[must_use]
pub(crate) fn tilt_of(ride: &Ride, film: FilmId) -> Option<i32> {
    ride.films.iter().find(|own| own.id == film)?.tilt
}

/// What a mark measures, in words: "nose line −5.4°"; `None` of a mark that measures nothing.
#[must_use]
pub(super) fn mark_text(ride: &Ride, kind: &MarkKind) -> Option<String> {
    let MarkKind::Measured(measured) = kind else {
        return None;
    };
    let reading = measured.read(tilt_of(ride, measured.film));
    let reading = reading.and_then(Result::ok);
    Some(words::short(measured.kind, reading.as_ref()))
}

/// Whether frames of a bout tell of one and the same thing, so that they have a mean. Any angle
/// and any ratio may be of other things on every frame.
fn is_averaged(kind: MeasureKind) -> bool {
    match kind {
        MeasureKind::NoseLine | MeasureKind::NeckLine | MeasureKind::Lateral => true,
        MeasureKind::Angle | MeasureKind::Ratio => false,
    }
}

/// What the marks of one kind come to together, bout by bout where that may be said; what cannot
/// be read counts for none.
fn together(ride: &Ride, review: ReviewId, kind: MeasureKind) -> Vec<(&Bout, Together)> {
    if !is_averaged(kind) {
        return Vec::new();
    }
    let of_bout = |bout: &Bout| {
        let values: Vec<f64> = own_marks(ride, review)
            .filter(|(mark, measured)| mark.bout == Some(bout.id) && measured.kind == kind)
            .filter_map(|(_, measured)| measured.read(tilt_of(ride, measured.film))?.ok())
            .map(|reading| reading.value)
            .collect();
        Together::of(&values)
    };
    let mut bouts: Vec<BoutId> = own_marks(ride, review)
        .filter_map(|(mark, _)| mark.bout)
        .collect();
    bouts.sort_unstable();
    let measured = |bout: &&Bout| bouts.binary_search(&bout.id).is_ok();
    let bouts = ride.bouts.iter().filter(measured);
    bouts
        .filter_map(|bout| Some((bout, of_bout(bout)?)))
        .collect()
}

#[cfg(test)]
mod tests;
