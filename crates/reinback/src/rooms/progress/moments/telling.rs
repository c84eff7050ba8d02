//! How a moment is told on the wall and side by side: when, whose, what.

use crate::report::moments::FilmMoment;
use crate::report::numbers::Question;
use crate::rooms::progress::ProgressData;
use crate::rooms::progress::choices::named;
use crate::said::Say;

/// What it depends on beside the moment.
#[derive(Clone, Copy)]
pub(super) struct Telling<'a> {
    /// What is asked: moments of the days compared with are told to be of before.
    pub(super) question: Question,
    /// Whether there are many horses, so that each has to be named.
    pub(super) many: bool,
    pub(super) data: &'a ProgressData<'a>,
}

/// A moment in words.
pub(super) struct Told {
    /// "before: 14 Oct 2026 0:30".
    pub(super) when: String,
    /// The horse, where there are many.
    pub(super) horse: Option<String>,
    pub(super) what: String,
}

impl Telling<'_> {
    /// Tells a moment.
    pub(super) fn tell(&self, moment: &FilmMoment) -> Told {
        let (data, say) = (self.data, self.data.say);
        let ride = data.yard.ride(moment.id.ride()).filter(|_| self.many);
        Told {
            when: say.moment_when(moment, &self.question),
            horse: ride.map(|ride| named(data, ride.head.horse)),
            what: say.moment(moment),
        }
    }
}

impl Told {
    /// All of it, for those who hear it.
    pub(super) fn spoken(&self, say: &Say) -> String {
        let (horse, what) = (self.horse.as_deref(), self.what.as_str());
        let what = match horse {
            Some(horse) => say.text(
                "moment-of",
                &[("horse", horse.into()), ("moment", what.into())],
            ),
            None => what.to_owned(),
        };
        format!("{} {what}", self.when)
    }
}
