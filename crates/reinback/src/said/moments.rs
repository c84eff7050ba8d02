//! A moment of a film, in few words.

use reinback_yard::Rein;

use super::Say;
use crate::clock;
use crate::report::moments::{FilmMoment, Seen};

impl Say {
    /// What is to be seen, of which attempt, with the note: "quarters trailing, in trot, left".
    #[must_use]
    pub fn moment(&self, moment: &FilmMoment) -> String {
        let (seen, note) = match &moment.seen {
            Seen::Fault { name, note } => (self.fault(name).into_owned(), note.as_str()),
            Seen::Clean { praised: true } => (self.plain("moment-praised"), ""),
            Seen::Clean { praised: false } => (self.plain("moment-clean"), ""),
        };
        let variant = moment.variant.as_deref();
        let variant = variant.map(|name| self.variant(name).into_owned());
        let rein = moment.rein.map(|rein| match rein {
            Rein::Left => self.plain("left"),
            Rein::Right => self.plain("right"),
        });
        let parts = [Some(seen), variant, rein];
        let what = parts.into_iter().flatten().collect::<Vec<_>>().join(", ");
        if note.is_empty() {
            what
        } else {
            format!("{what}: {note}")
        }
    }

    /// When it was: "4 Nov 2026 12:03".
    #[must_use]
    pub fn moment_time(&self, moment: &FilmMoment) -> String {
        format!("{} {}", self.day(moment.date), clock::short(moment.at))
    }
}
