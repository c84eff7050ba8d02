//! Measuring on the frame, the plan of the arena and the test sheet: their panels, and what they
//! change.

use reinback_yard::{Edit, Film};

use super::App;
use crate::keys::Pressed;
use crate::notice::Notice;
use crate::open_yard::OpenYard;
use crate::rooms::review::arena::Plan;
use crate::rooms::review::measure::keys::{Meaning, meaning};
use crate::rooms::review::measure::{MeasureStep, Measuring, OnFrame, tilt_of};
use crate::rooms::review::second;
use crate::rooms::review::sheet::SheetPanel;

impl App {
    /// Opens or closes the panel in which one measures.
    pub(super) fn show_measuring(&mut self) {
        if self.has_room_beside() {
            let Some(review) = &mut self.review else {
                return;
            };
            let closed = review.measuring.is_none();
            review.clear_side();
            review.measuring = closed.then(Measuring::default);
            if closed {
                review.stage.pause();
            }
        }
    }

    /// Opens or closes the plan of the arena.
    pub(super) fn show_plan(&mut self) {
        if self.has_room_beside() {
            let Some(review) = &mut self.review else {
                return;
            };
            let closed = review.plan.is_none();
            review.clear_side();
            review.plan = closed.then(Plan::default);
        }
    }

    /// Opens or closes the panel of the test that was ridden.
    pub(super) fn show_test_sheet(&mut self) {
        if self.has_room_beside() {
            let (Some(open), Some(review)) = (&mut self.open, &mut self.review) else {
                return;
            };
            let closed = review.sheet.is_none();
            review.clear_side();
            if let Some(ride) = open.document.yard().ride(review.ride).filter(|_| closed) {
                review.sheet = Some(SheetPanel::new(ride, &mut open.ids));
            }
        }
    }

    /// Has the points shown follow what is chosen, and the picture's size.
    pub(super) fn tick_measuring(&mut self) {
        let (Some(open), Some(review)) = (&self.open, &mut self.review) else {
            return;
        };
        let ride = open.document.yard().ride(review.ride);
        if let (Some(measuring), Some(ride)) = (&mut review.measuring, ride) {
            let shown = second::shown(ride, review.reviewing);
            let size = review.stage.info().map(|info| (info.width, info.height));
            measuring.follow(review.chosen, ride, shown, size);
        }
    }

    /// Takes a press that means something else while the rider measures. Whether it did.
    pub(super) fn measure_by(&mut self, press: Pressed) -> bool {
        let review = self.review.as_ref();
        let Some(measuring) = review.and_then(|review| review.measuring.as_ref()) else {
            return false;
        };
        match meaning(press, measuring.held().is_some()) {
            Meaning::Usual => false,
            Meaning::Nothing => true,
            Meaning::Step(step) => self.measure(step),
        }
    }

    /// Makes a step in measuring. Whether it was one: what there was nothing for leaves the press
    /// to its usual meaning.
    pub(super) fn measure(&mut self, step: MeasureStep) -> bool {
        let Some(review) = &mut self.review else {
            return false;
        };
        let Some(measuring) = &mut review.measuring else {
            return false;
        };
        let frame = OnFrame::standing(&review.stage);
        match step {
            MeasureStep::Kind(kind) => measuring.choose_kind(kind),
            MeasureStep::Nudge(right, down) => measuring.nudge(right, down),
            MeasureStep::HoldNext => measuring.hold_next(),
            MeasureStep::ByEdge(by_edge) => measuring.take_edge(by_edge),
            MeasureStep::OtherPlumb => measuring.take_edge(!measuring.is_by_edge()),
            MeasureStep::LetGo => return measuring.let_go(),
            // With nothing left to take it must not come to what is chosen in the ride.
            MeasureStep::TakeLast if measuring.mark().is_none() => {
                measuring.take_last();
            }
            MeasureStep::TakeLast => return false,
            MeasureStep::SetTilt => self.set_tilt(true),
            MeasureStep::ForgetTilt => self.set_tilt(false),
            MeasureStep::Keep => self.keep_measured(),
            MeasureStep::PutOrKeep => {
                let elsewhere = frame.is_some_and(|frame| !measuring.is_on(frame));
                if measuring.missing().is_none() && !elsewhere {
                    let changed = measuring.is_changed();
                    self.keep_measured();
                    return changed;
                }
                match frame {
                    Some(frame) => {
                        measuring.put_by_key(frame);
                    }
                    None => self.tell(Notice::told(
                        "Pause first: a frame is measured while it stands",
                    )),
                }
            }
        }
        true
    }

    fn keep_measured(&mut self) {
        let Some(review) = &self.review else { return };
        let Some(measuring) = review.measuring.as_ref().filter(|own| own.is_changed()) else {
            return;
        };
        let Some(measured) = measuring.measured() else {
            return;
        };
        let frame = OnFrame::standing(&review.stage);
        if !frame.is_some_and(|frame| measuring.is_on(frame)) {
            self.tell(Notice::told("Go back to the frame that the points lie on"));
            return;
        }
        let ride = self
            .open
            .as_ref()
            .and_then(|open| open.document.yard().ride(review.ride));
        let tilt = ride.and_then(|ride| tilt_of(ride, measured.film));
        if let Some(Err(why)) = measured.read(tilt) {
            self.tell(Notice::told(why.to_string()));
            return;
        }
        let mark = measuring.mark();
        let writable = self.open.as_ref().is_some_and(OpenYard::writable);
        self.mark(|marking, ids| marking.keep_measured(measured, mark, ids));
        let measuring = self.review.as_mut().and_then(|own| own.measuring.as_mut());
        if let Some(measuring) = measuring.filter(|_| writable && mark.is_none()) {
            measuring.start_over();
        }
    }

    /// Says how a whole film is turned, by the edge drawn on a frame of it, or says nothing.
    fn set_tilt(&mut self, known: bool) {
        let Some(review) = &self.review else { return };
        let Some(measuring) = &review.measuring else {
            return;
        };
        let tilt = match (known, measuring.edge_tilt()) {
            (false, _) => None,
            (true, Some(Ok(plumb))) => Some((plumb.tilt() * 1_000.0).round() as i32),
            (true, Some(Err(why))) => {
                self.tell(Notice::told(why.to_string()));
                return;
            }
            (true, None) => {
                self.tell(Notice::told("Draw an edge that is upright first (p)"));
                return;
            }
        };
        let here = review.stage.current_film().map(|placed| placed.film.id);
        let film = measuring.frame().map(|frame| frame.film).or(here);
        let ride = self
            .open
            .as_ref()
            .and_then(|open| open.document.yard().ride(review.ride));
        let Some((ride, film)) = ride.and_then(|ride| {
            let film = ride.films.iter().find(|own| Some(own.id) == film)?;
            Some((ride.id, film.clone()))
        }) else {
            return;
        };
        let edit = Edit::Film(ride, film.id, Some(Film { tilt, ..film }));
        self.apply("say how the film is turned", edit);
        let measuring = self.review.as_mut().and_then(|own| own.measuring.as_mut());
        if let Some(measuring) = measuring.filter(|_| known) {
            measuring.take_edge(false);
        }
    }
}
