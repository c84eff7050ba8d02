//! A stage whose clock is led from outside, as that of one among several that run together: they
//! go on only when each has its picture.

use std::sync::Arc;

use reinback_film::{Frame, Want};
use reinback_yard::Moment;

use super::play::frame_for;
use super::{Placed, Stage, film_time};

impl Stage {
    /// A stage that shows one film, of which nothing is heard.
    #[must_use]
    pub fn silent(film: Placed) -> Self {
        Self {
            silent: true,
            ..Self::new(vec![film], Moment(0))
        }
    }

    /// Whether the picture of a moment is at hand; or none is to be waited for, because the film
    /// does not reach there or cannot be shown.
    #[must_use]
    pub fn is_at_hand(&self, moment: Moment, speed: f64) -> bool {
        match self.film_at(moment) {
            Some(placed) if !placed.another => {
                let failed = |own: &super::Showing| own.error.is_some();
                let showing = self.showing.as_ref().filter(|own| own.id == placed.film.id);
                showing.is_some_and(failed) || self.at_hand(moment, speed).is_some()
            }
            _ => true,
        }
    }

    /// Shows a moment whose picture is at hand. The clock goes there in any case.
    pub fn lead(&mut self, moment: Moment, speed: f64) {
        let frame = self.at_hand(moment, speed);
        self.clock = moment;
        let (Some(frame), Some((showing, film))) = (frame, self.showing_here()) else {
            return;
        };
        let from = film_time(&film, moment, showing.info.as_ref());
        showing.wanted = Want::Play { from, speed };
        let old = showing.shown.as_ref();
        let new = old.is_none_or(|old| old.time != frame.time);
        showing.shown = Some(frame);
        showing.awaited = false;
        showing.steps = None;
        showing.stepped = 0;
        self.picture += u64::from(new);
    }

    /// Has the film made ready from a moment on, as for playing.
    pub fn prepare(&self, moment: Moment, speed: f64) {
        let Some(placed) = self.film_at(moment) else {
            return;
        };
        let showing = self.showing.as_ref().filter(|own| own.id == placed.film.id);
        let Some(showing) = showing.filter(|own| own.error.is_none()) else {
            return;
        };
        let from = film_time(&placed.film, moment, showing.info.as_ref());
        showing.handle.want(Want::Play { from, speed });
    }

    fn at_hand(&self, moment: Moment, speed: f64) -> Option<Arc<Frame>> {
        let placed = self.film_at(moment)?;
        let showing = self.showing.as_ref();
        let showing = showing.filter(|own| own.id == placed.film.id && own.error.is_none())?;
        let info = showing.info.as_ref()?;
        let at = film_time(&placed.film, moment, Some(info));
        // What was asked for by itself is the answer, whatever the cache holds: past the last
        // frame, where the film is shorter than it says.
        let asked = showing.wanted == Want::Exact(at) && !showing.awaited;
        let asked = showing.shown.clone().filter(|_| asked);
        asked.or_else(|| frame_for(showing, info, at, speed))
    }
}
