//! Where the film of a moment is, or why there is none to see, and what is said then.

use std::path::PathBuf;

use reinback_film::{FilmTime, Settings};
use reinback_yard::{Film, Moment, Yard};

use super::stills::{Spot, Trouble, Wish};
use crate::report::moments::{MomentId, film_at};
use crate::said::Say;
use crate::services::{OnReady, Services};
use crate::stage::Placed;

/// What the room works with outside of a frame.
pub struct World<'a> {
    /// The yard.
    pub yard: &'a Yard,
    /// Grows with every change of the yard.
    pub revision: u64,
    /// The outside.
    pub services: &'a dyn Services,
    /// Where the file of a film is.
    pub film_path: &'a dyn Fn(&Film) -> PathBuf,
    /// How films are opened for reviewing.
    pub settings: Settings,
    /// Wakes the window.
    pub on_ready: &'a OnReady,
    /// Window time, in seconds.
    pub now: f64,
}

/// Where to look for a moment.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Place {
    /// In this film, at this time of it.
    On(Placed, FilmTime),
    /// Nowhere.
    None(Lack),
}

/// Why a moment cannot be seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lack {
    /// Its ride has no film.
    NoFilm,
    /// No film of the ride covers it.
    NotFilmed,
    /// There is a film, but it cannot be shown.
    Trouble(Trouble),
}

impl Place {
    /// Where a moment is to be seen; `None` where its ride is gone.
    pub(super) fn find(world: &World<'_>, id: MomentId, at: Moment) -> Option<Self> {
        let ride = world.yard.ride(id.ride())?;
        if ride.films.is_empty() {
            return Some(Self::None(Lack::NoFilm));
        }
        let found = film_at(ride, at).map(|(film, time)| {
            let placed = Placed {
                film: film.clone(),
                path: (world.film_path)(film),
                another: false,
            };
            Self::On(placed, time)
        });
        Some(found.unwrap_or(Self::None(Lack::NotFilmed)))
    }

    /// The film, where there is one.
    pub(super) fn film(&self) -> Result<&Placed, Lack> {
        match self {
            Self::On(placed, _) => Ok(placed),
            Self::None(lack) => Err(*lack),
        }
    }

    /// The still that is wanted of it.
    pub(super) fn wish(&self) -> Option<Wish> {
        let print = self.film().ok()?.film.fingerprint.as_ref();
        Some(Wish {
            spot: self.spot()?,
            print: print.and_then(|print| print.parse().ok()),
        })
    }

    /// Which still it is.
    pub(super) fn spot(&self) -> Option<Spot> {
        match self {
            Self::On(placed, at) => Some(Spot {
                path: placed.path.clone(),
                at: *at,
            }),
            Self::None(_) => None,
        }
    }
}

impl Lack {
    /// In a few words, and what can be done.
    pub(super) fn said(self, say: &Say) -> (String, Option<String>) {
        let look = || Some(say.plain("moment-look-for-film"));
        match self {
            Self::NoFilm => (say.plain("no-film"), None),
            Self::NotFilmed => (say.plain("moment-not-filmed"), None),
            Self::Trouble(Trouble::Missing) => (say.plain("moment-film-missing"), look()),
            Self::Trouble(Trouble::Another) => (say.plain("moment-film-another"), look()),
            Self::Trouble(Trouble::Unreadable) => (
                say.plain("moment-film-unreadable"),
                Some(say.plain("moment-see-why")),
            ),
        }
    }
}
