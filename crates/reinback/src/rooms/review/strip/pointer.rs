//! What the pointer does on the strip: a click chooses, a drag moves the play head, the window of
//! the overview, an edge, marks or a clip, and with Shift draws a lasso.

use egui::{CursorIcon, Modifiers, PointerButton, Pos2, Rect, Response, Ui};
use reinback_yard::{Edit, Moment, Ride, Span};

use super::StripView;
use super::grip::{self, Grip, Hold};
use super::layout::{Layout, StripData};
use super::overview::{self, Part};
use super::snap::{Catch, Caught, catch};
use super::tempo;
use super::under::{Under, inside, under};
use crate::action::{Action, Chosen, Select};
use crate::notice::Notice;
use crate::stage::Placed;

/// How near something must come to catch, in points.
const CATCH_REACH: f32 = 6.0;
/// Catching on a frame is told from this width of a frame on, in points.
const TOLD_FRAME: f32 = 3.0;

/// A drag under way.
#[derive(Clone, Debug)]
pub(super) enum Drag {
    /// The play head follows the pointer.
    Head,
    /// The window of the overview does, from this view and this moment under the pointer on.
    Window(Part, Span, Moment),
    /// A lasso is drawn from this place; whether it adds to what is chosen.
    Lasso(Pos2, bool),
    /// Something is moved.
    Held(Box<Held>),
}

/// Something that is moved.
#[derive(Clone, Debug)]
pub(super) struct Held {
    grip: Grip,
    /// Where the pointer took hold of it.
    pressed: Moment,
    /// Where it was.
    origin: Moment,
    /// Where the pointer is, and whether it catches on things.
    pointer: Option<(Moment, bool)>,
    /// What would happen if it let go.
    pull: Option<Pull>,
}

#[derive(Clone, Debug)]
struct Pull {
    edit: Edit,
    /// The ride as it would be.
    ride: Ride,
    /// Where the line is drawn, and what it says.
    line: Option<(Moment, &'static str)>,
}

impl Held {
    fn new(grip: Grip, pressed: Moment, data: &StripData<'_>) -> Option<Self> {
        let origin = grip.at(data.ride)?;
        Some(Self {
            grip,
            pressed,
            origin,
            pointer: None,
            pull: None,
        })
    }

    /// Follows the pointer.
    fn follow(&mut self, data: &StripData<'_>, layout: &Layout, at: Moment, catches: bool) {
        if self.pointer.replace((at, catches)) == Some((at, catches)) {
            return;
        }
        let by = at.0.saturating_sub(self.pressed.0);
        let wanted = Moment(self.origin.0.saturating_add(by));
        let hold = Hold {
            ride: data.ride,
            review: data.review,
            extent: data.extent,
            now: data.now,
            playing: data.playing,
        };
        let is_clip = matches!(self.grip, Grip::Clip(_));
        let caught = if catches {
            let reach = f64::from(CATCH_REACH) * layout.axis.nanos_per_point();
            let frames = data.frames.filter(|_| !is_clip);
            catch(wanted, reach as i64, self.grip.targets(&hold), frames)
        } else {
            Caught {
                at: wanted,
                on: None,
            }
        };
        self.pull = self.grip.moved(caught.at, &hold).and_then(|edit| {
            let ride = grip::after(data.ride, &edit)?;
            // A line only where it really came to lie there.
            let there = self.grip.at(&ride) == Some(caught.at);
            let line = caught.on.filter(|_| there).and_then(|on| {
                let told = on.what != Catch::Frame || frames_told(data, layout, on.at);
                told.then(|| (self.line_at(&ride, on.at), on.what.name()))
            });
            Some(Pull { edit, ride, line })
        });
    }

    /// Where the line of what was caught on is drawn: a clip may have met it with its end.
    fn line_at(&self, ride: &Ride, at: Moment) -> Moment {
        let Grip::Clip(id) = self.grip else { return at };
        let own = ride.films.iter().find(|film| film.id == id);
        let others = ride.films.iter().filter(|film| film.id != id);
        let mut others = others.filter_map(reinback_yard::Film::span);
        let starts_there = others.any(|span| span.from == at || span.to == at);
        match own.and_then(reinback_yard::Film::span) {
            Some(span) if !starts_there && at != Moment(0) => span.to,
            _ => at,
        }
    }

    /// The ride as it would be if the pointer let go now.
    pub(super) fn ride(&self) -> Option<&Ride> {
        self.pull.as_ref().map(|pull| &pull.ride)
    }

    /// The films as they would lie, where a clip is moved.
    pub(super) fn films(&self, films: &[Placed]) -> Option<Vec<Placed>> {
        let (Grip::Clip(id), Some(ride)) = (&self.grip, self.ride()) else {
            return None;
        };
        let moved = ride.films.iter().find(|film| film.id == *id)?;
        let mut films = films.to_vec();
        for placed in films.iter_mut().filter(|placed| placed.film.id == *id) {
            placed.film.clone_from(moved);
        }
        Some(films)
    }

    /// What it has caught on: where, and its name.
    pub(super) fn line(&self) -> Option<(Moment, &'static str)> {
        self.pull.as_ref()?.line
    }
}

fn frames_told(data: &StripData<'_>, layout: &Layout, at: Moment) -> bool {
    let length = data.frames.and_then(|frames| frames.length(at));
    let points = length.map(|nanos| nanos as f64 / layout.axis.nanos_per_point());
    points.is_some_and(|points| points >= f64::from(TOLD_FRAME))
}

/// Takes in what the pointer does.
pub(super) fn point_at(
    ui: &Ui,
    view: &mut StripView,
    data: &StripData<'_>,
    layout: &Layout,
    response: &Response,
    out: &mut Vec<Action>,
) {
    // The strip may have been away when the button was let go.
    if !response.dragged() && !response.drag_stopped() {
        view.drag = None;
    }
    let Some(pointer) = response.interact_pointer_pos().or(response.hover_pos()) else {
        return;
    };
    let modifiers = ui.input(|i| i.modifiers);
    if view.drag.is_none() {
        hover(ui, layout, data, pointer, response);
    }
    if response.drag_started_by(PointerButton::Primary) {
        let pressed = ui.input(|i| i.pointer.press_origin()).unwrap_or(pointer);
        view.drag = Some(begin(view, data, layout, pressed, modifiers));
    }
    if response.dragged_by(PointerButton::Primary) {
        go_on(view, data, layout, pointer, modifiers, out);
    }
    if response.drag_stopped() {
        end(view, data, layout, pointer, out);
    }
    if response.clicked() {
        click(data, layout, pointer, modifiers, out);
    }
    if response.double_clicked() && !modifiers.any() {
        let on_tempo = layout.beds.tempo.is_some_and(|bed| bed.contains(pointer));
        if on_tempo && data.writable() {
            out.push(add_tap(data, layout.axis.moment_from_x(pointer.x)));
        } else if !on_tempo {
            view.fit();
        }
    }
}

/// A tap at a moment, on the start of its frame where that is known.
fn add_tap(data: &StripData<'_>, at: Moment) -> Action {
    let on_frame = data.frames.and_then(|frames| frames.nearest(at));
    match tempo::add_tap(data.ride, data.review, on_frame.unwrap_or(at)) {
        Ok(edit) => Action::Edit("add a tap".to_owned(), edit),
        Err(why) => Action::Tell(Box::new(Notice::told(why))),
    }
}

fn begin(
    view: &StripView,
    data: &StripData<'_>,
    layout: &Layout,
    pressed: Pos2,
    modifiers: Modifiers,
) -> Drag {
    let found = under(layout, data, pressed);
    if let (Under::Overview(part), Some(overview)) = (found, &layout.overview) {
        let at = overview.axis.moment_from_x(pressed.x);
        let now = view.view(data.extent);
        // Beside the window, the window comes there first.
        return match part {
            Some(part) => Drag::Window(part, now, at),
            None => Drag::Window(Part::Whole, overview::around(now, data.extent, at), at),
        };
    }
    if modifiers.shift {
        return Drag::Lasso(pressed, modifiers.command);
    }
    let together = |chosen: Chosen| {
        let all = data.selected;
        if all.len() > 1 && all.contains(&chosen) {
            Some(Grip::Things(chosen, grip::with_their_marks(data.ride, all)))
        } else {
            let alone = matches!(chosen, Chosen::Mark(_) | Chosen::Tap(..));
            alone.then(|| Grip::Things(chosen, [chosen].into()))
        }
    };
    let grip = match found {
        _ if !data.writable() => None,
        Under::Edge(chosen, end) => Some(Grip::Edge(chosen, end)),
        Under::Clip(film) => Some(Grip::Clip(film)),
        // One sign of several marks would not say which of them it moves.
        Under::Sign(mark, several) if !several || data.selected.contains(&Chosen::Mark(mark)) => {
            together(Chosen::Mark(mark))
        }
        Under::Block(chosen) => together(chosen),
        Under::Tap(track, at) => together(Chosen::Tap(track, at)),
        Under::Tempo(Some(track)) => together(Chosen::Tempo(track)),
        Under::Sign(..) | Under::Tempo(None) | Under::Overview(_) | Under::Nothing => None,
    };
    let at = layout.axis.moment_from_x(pressed.x);
    let held = grip.and_then(|grip| Held::new(grip, at, data));
    held.map_or(Drag::Head, |held| Drag::Held(Box::new(held)))
}

fn go_on(
    view: &mut StripView,
    data: &StripData<'_>,
    layout: &Layout,
    pointer: Pos2,
    modifiers: Modifiers,
    out: &mut Vec<Action>,
) {
    let moment = layout.axis.moment_from_x(pointer.x);
    match &mut view.drag {
        Some(Drag::Head) => out.push(Action::Drag(moment)),
        Some(Drag::Held(held)) => held.follow(data, layout, moment, !modifiers.alt),
        Some(Drag::Window(part, from, pressed)) => {
            if let Some(overview) = &layout.overview {
                let at = overview.axis.moment_from_x(pointer.x);
                let by = at.0.saturating_sub(pressed.0);
                let moved = overview::moved(*from, data.extent, *part, by);
                view.zoom = (moved != data.extent).then_some(moved);
            }
        }
        Some(Drag::Lasso(..)) | None => {}
    }
}

fn end(
    view: &mut StripView,
    data: &StripData<'_>,
    layout: &Layout,
    pointer: Pos2,
    out: &mut Vec<Action>,
) {
    match view.drag.take() {
        Some(Drag::Head) => out.push(Action::Seek(layout.axis.moment_from_x(pointer.x))),
        Some(Drag::Held(held)) => {
            let label = held.grip.label();
            if let Some(pull) = held.pull {
                // A tap is known by its moment, which is another now.
                let names = held.grip.renamed(data.ride, &pull.ride);
                out.push(Action::Edit(label, pull.edit));
                out.extend(names.map(|names| Action::Select(Select::These(names))));
            }
        }
        Some(Drag::Lasso(from, add)) => {
            let found = inside(layout, data, Rect::from_two_pos(from, pointer));
            let select = if add {
                Select::Add(found)
            } else {
                Select::These(found)
            };
            out.push(Action::Select(select));
        }
        Some(Drag::Window(..)) | None => {}
    }
}

fn click(
    data: &StripData<'_>,
    layout: &Layout,
    pointer: Pos2,
    modifiers: Modifiers,
    out: &mut Vec<Action>,
) {
    let moment = layout.axis.moment_from_x(pointer.x);
    let (chosen, seek) = match under(layout, data, pointer) {
        Under::Overview(_) => return,
        Under::Sign(id, _) => {
            let mark = data.ride.marks.iter().find(|mark| mark.id == id);
            (Some(Chosen::Mark(id)), mark.map_or(moment, |mark| mark.at))
        }
        Under::Edge(chosen, _) | Under::Block(chosen) => (Some(chosen), moment),
        Under::Tap(track, at) => (Some(Chosen::Tap(track, at)), at),
        Under::Tempo(track) => (track.map(Chosen::Tempo), moment),
        Under::Clip(_) | Under::Nothing => (None, moment),
    };
    match chosen {
        Some(chosen) if modifiers.command => {
            out.push(Action::Select(Select::Toggle(chosen)));
            return;
        }
        Some(chosen) if modifiers.shift => {
            out.push(Action::Select(Select::Through(chosen)));
            return;
        }
        _ => out.push(Action::Choose(chosen)),
    }
    out.push(Action::Seek(seek));
}

/// Shows what can be held, and says what stands under the pointer where that is not written.
fn hover(ui: &Ui, layout: &Layout, data: &StripData<'_>, pointer: Pos2, response: &Response) {
    let found = under(layout, data, pointer);
    match found {
        Under::Edge(..) | Under::Overview(Some(Part::From | Part::To)) => {
            ui.set_cursor_icon(CursorIcon::ResizeHorizontal);
        }
        Under::Overview(Some(Part::Whole)) | Under::Clip(_) => {
            ui.set_cursor_icon(CursorIcon::Grab);
        }
        _ => {}
    }
    let text = match found {
        Under::Sign(id, _) => {
            let sign = layout.signs.iter().find(|sign| sign.id == id);
            match sign.map_or(1, |sign| sign.count) {
                1 => super::names::name(data.words, data.ride, Chosen::Mark(id), data.now),
                count => Some(format!("{count} marks; come closer to tell them apart")),
            }
        }
        Under::Tempo(Some(id)) => {
            let mut tracks = data.ride.tempos.iter();
            let at = layout.axis.moment_from_x(pointer.x);
            let rate = tracks
                .find(|track| track.id == id)
                .and_then(|track| tempo::rate_at(track, at));
            rate.map(|rate| format!("{rate:.1} strides a minute"))
        }
        _ => None,
    };
    if let Some(text) = text {
        response.clone().on_hover_text_at_pointer(text);
    }
}
