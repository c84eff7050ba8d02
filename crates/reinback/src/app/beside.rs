//! Two stretches side by side: which film is opened beside the ride's own, and when no more.

use reinback_film::fingerprint;
use reinback_yard::{FilmId, Span};

use super::films::known_print;
use super::{App, Event};
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
        if !self.has_room_beside() {
            return;
        }
        if let Some(review) = &mut self.review {
            review.clear_side();
            review.beside = Some(Beside::new(bout));
        }
    }

    fn mirror(&mut self) {
        let beside = self.review.as_mut().and_then(|view| view.beside.as_mut());
        if let Some(beside) = beside.filter(|beside| beside.second.is_some()) {
            beside.mirrored = !beside.mirrored;
        } else {
            let what =
                "There is no second picture to mirror; show two stretches side by side first";
            self.tell(Notice::told(what));
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
                    let path = error.path().display();
                    Notice::caution(what).next(format!("{path}; open its own ride to find it"))
                })
            }
            Err(why) => Some(Notice::caution(why)),
        };
        match trouble {
            Some(notice) => self.put_second_away(notice),
            None => self.compare_second(),
        }
    }

    fn put_second_away(&mut self, notice: Notice) {
        if let Some(review) = &mut self.review {
            if let Some(beside) = &mut review.beside {
                beside.second = None;
            }
            review.stage.set_beside(None);
        }
        self.tell(notice);
    }

    /// Compares the file of the second with the film that was marked, once.
    fn compare_second(&mut self) {
        let Some(review) = &mut self.review else {
            return;
        };
        let (Some(view), Some(shown)) = (&mut review.beside, review.stage.beside()) else {
            return;
        };
        let (id, path) = (shown.film.id, shown.path.clone());
        let known = known_print(&shown.film).filter(|_| view.compared != Some(id));
        view.compared = Some(id);
        let Some(known) = known else { return };
        let task = self.tasks.start("compare second", move |control| {
            // A file that cannot be read is told by the film itself.
            let found = fingerprint(&path).ok();
            if found.is_some_and(|found| found != known) {
                control.send(Event::SecondIsAnother(id));
            }
        });
        self.keep(task);
    }

    pub(super) fn second_is_another(&mut self, film: FilmId) {
        let review = self.review.as_ref();
        let shown = review.and_then(|review| review.stage.beside());
        if let Some(shown) = shown.filter(|shown| shown.film.id == film) {
            let path = shown.path.display().to_string();
            let what = "Another film lies where the second was marked";
            let next = format!("{path}; open its own ride to say where the right one is");
            self.put_second_away(Notice::caution(what).next(next));
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
