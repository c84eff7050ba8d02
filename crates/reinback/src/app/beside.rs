//! Two stretches side by side: which film is opened beside the ride's own, and when no more.

use reinback_yard::Span;

use super::App;
use crate::command::Command;
use crate::notice::Notice;
use crate::rooms::review::beside::{Beside, bout_of, pairing, strides};
use crate::stage;

impl App {
    pub(super) fn look_beside(&mut self, command: Command) {
        match command {
            Command::Beside => self.toggle_beside(),
            _ => self.mirror(),
        }
    }

    fn toggle_beside(&mut self) {
        let Some(review) = &mut self.review else {
            return;
        };
        if review.beside.take().is_some() {
            return;
        }
        let Some(bout) = self.marking().and_then(|marking| marking.current()) else {
            let what = "Choose an exercise, on the strip or in the list; another ride of it is then shown beside it";
            self.tell(Notice::told(what));
            return;
        };
        let bout = bout.id;
        if let Some(review) = &mut self.review {
            review.notes = None;
            (review.clips, review.second) = (None, None);
            review.beside = Some(Beside::new(bout));
        }
    }

    fn mirror(&mut self) {
        let beside = self.review.as_mut().and_then(|view| view.beside.as_mut());
        match beside.filter(|beside| beside.second.is_some()) {
            Some(beside) => beside.mirrored = !beside.mirrored,
            None => {
                let what =
                    "There is no second picture to mirror; show two stretches side by side first";
                self.tell(Notice::told(what));
            }
        }
    }

    /// Has the stage show what is to be seen beside the film, and puts it away where it cannot be.
    pub(super) fn follow_beside(&mut self) {
        let wanted = self.wanted_beside();
        let Some(review) = &mut self.review else {
            return;
        };
        let trouble = match wanted {
            Ok(wanted) => {
                review.stage.set_beside(wanted);
                let error = review.stage.second_error();
                error.map(|error| {
                    let what = format!("The second film cannot be shown: {}", error.sentence());
                    let next = format!("{}: {}", error.path().display(), error.next_step());
                    Notice::caution(what).next(next)
                })
            }
            Err(why) => Some(Notice::caution(why)),
        };
        if let Some(notice) = trouble {
            if let Some(beside) = &mut review.beside {
                beside.second = None;
            }
            review.stage.set_beside(None);
            self.tell(notice);
        }
    }

    /// The stretch of the ride in which both are ridden.
    pub(super) fn shorter_beside(&self) -> Option<Span> {
        let review = self.review.as_ref()?;
        let beside = review.beside.as_ref()?;
        let yard = self.open.as_ref()?.document.yard();
        let (own, first) = bout_of(yard, (review.ride, beside.first))?;
        let (ride, other) = bout_of(yard, beside.second?)?;
        let ratio = strides::ratio((first, own), (other, ride)).ok();
        let now = review.stage.position();
        Some(beside.shorter(first.span_until(now), other.span_until(other.from), ratio))
    }

    /// What the stage is to show beside its film, or why it cannot.
    fn wanted_beside(&self) -> Result<Option<stage::Beside>, String> {
        let (Some(open), Some(review)) = (&self.open, &self.review) else {
            return Ok(None);
        };
        let Some(beside) = &review.beside else {
            return Ok(None);
        };
        let Some(second) = beside.second else {
            return Ok(None);
        };
        let yard = open.document.yard();
        let first = bout_of(yard, (review.ride, beside.first));
        let (Some((own, first)), Some((ride, bout))) = (first, bout_of(yard, second)) else {
            return Err("One of the two exercises is no longer in the yard".into());
        };
        let film = pairing::film_at(ride, bout.from);
        let film = film.ok_or("No film of that ride shows the exercise any more")?;
        let ratio = strides::ratio((first, own), (bout, ride)).ok();
        let ((here, there), rate) = beside.aligned(ratio);
        Ok(Some(stage::Beside {
            film: film.clone(),
            path: open.film_path(film),
            here,
            there,
            rate,
        }))
    }
}
