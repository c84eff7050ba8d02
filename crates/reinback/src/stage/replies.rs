//! What the film answers, and what that means for the clock and the screen.

use reinback_film::{Reply, Want};

use super::damage::Damage;
use super::{News, Stage};

impl Stage {
    pub(super) fn take_replies(&mut self) {
        let playing = self.run.is_some();
        let mut border = 0;
        let Some(showing) = &mut self.showing else {
            return;
        };
        let placed = self.films.iter().find(|p| p.film.id == showing.id);
        while let Some(reply) = showing.handle.poll() {
            match reply {
                Reply::Opened(info) => {
                    self.news.push(News::Length(showing.id, info.duration.0));
                    showing.info = Some(info);
                }
                Reply::Shown { want, frame, exact } => {
                    let answers = want == showing.wanted;
                    let use_it = match (want, showing.steps) {
                        (Want::Step { from, frames }, Some(steps)) => steps == (from, frames),
                        (Want::Step { .. }, None) | (_, Some(_)) => false,
                        (Want::Play { .. }, None) => playing && showing.shown.is_none(),
                        (Want::Exact(_) | Want::Near(_), None) => showing.awaited,
                    };
                    if !use_it {
                        continue;
                    }
                    match want {
                        Want::Step { from, frames } if showing.steps == Some((from, frames)) => {
                            showing.stepped = frames;
                            showing.steps = None;
                            showing.awaited = false;
                            if let Some(placed) = placed {
                                self.clock = placed.film.ride_from_film(frame.time.0);
                            }
                        }
                        // An answer to an older wish is something to look at, not the frame
                        // asked for.
                        Want::Exact(_) | Want::Near(_) if answers && exact => {
                            showing.awaited = false;
                        }
                        _ => {}
                    }
                    showing.shown = Some(frame);
                    self.picture += 1;
                }
                Reply::Sharp(frame) => {
                    let same = showing
                        .shown
                        .as_ref()
                        .is_some_and(|old| old.time == frame.time);
                    if same && !playing {
                        showing.shown = Some(frame);
                        self.picture += 1;
                    }
                }
                Reply::Damaged { skipped, flaws } => {
                    let damage = Damage { skipped, flaws };
                    let damaged = damage.places() > 0;
                    let before = self.damage.insert(showing.id, damage);
                    let known = before.is_some_and(|own| own.places() > 0);
                    self.news
                        .extend((damaged && !known).then_some(News::Damaged));
                }
                Reply::Failed(error) => {
                    // Marks go on from the last frame that was seen.
                    if let (Some(placed), Some(frame)) = (placed, &showing.shown)
                        && !showing.awaited
                    {
                        self.clock = placed.film.ride_from_film(frame.time.0);
                    }
                    showing.error = Some(error);
                    showing.awaited = false;
                    showing.steps = None;
                    self.run = None;
                    self.voice = None;
                }
                Reply::AtEnd { .. } if !playing && showing.stepped > 0 => border = 1,
                Reply::AtStart if !playing && showing.stepped < 0 => border = -1,
                _ => {}
            }
        }
        self.cross_border(border);
    }

    /// A step that went past the end of a film goes on in the next one, or back in the one before.
    fn cross_border(&mut self, border: i32) {
        let Some(here) = self.current_film().map(|placed| placed.film.offset) else {
            return;
        };
        let others = self
            .films
            .iter()
            .filter(|placed| placed.film.offset != here);
        let to = match border {
            1 => others
                .map(|p| p.film.offset)
                .filter(|offset| *offset > here)
                .min(),
            -1 => others
                .map(|p| self.film_span(p).to)
                .filter(|end| *end <= here)
                .max(),
            _ => None,
        };
        if let Some(to) = to {
            self.seek(to, false);
        }
    }
}
