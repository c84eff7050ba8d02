//! One ride, measure by measure.

use chrono::NaiveDate;
use reinback_analysis::load::ridden;
use reinback_analysis::outline::{OutlineProblem, OutlineReport, TimerRules, outline};
use reinback_analysis::place::Arena;
use reinback_analysis::tempo::{TempoReport, tempo};
use reinback_analysis::tempo_around::{Around, around};
use reinback_analysis::transitions::{Transitions, transitions};
use reinback_analysis::{Key, Pace, Span};
use reinback_yard::lower::place::{PlacedFault, placed_faults};
use reinback_yard::lower::series::{SeriesOfRide, series_of_ride};
use reinback_yard::lower::trouble::{self, Found};
use reinback_yard::lower::{self, extent};
use reinback_yard::{Keys, Ride, RideId, WordId, Words};

/// What one ride shows.
#[derive(Clone, Debug, PartialEq)]
pub struct RideFigures {
    /// The ride.
    pub ride: RideId,
    /// Its day.
    pub date: NaiveDate,
    /// From where to where it is known.
    pub extent: Option<Span>,
    /// The outlines; `None` where none is marked.
    pub outline: Option<Outlines>,
    /// The transitions; `None` where no pace is noted.
    pub steps: Option<Transitions>,
    /// The tempo; `None` where nothing is tapped.
    pub tempo: Option<Tempos>,
    /// The series of changes.
    pub series: SeriesOfRide,
    /// The faults with their places.
    pub faults: Vec<PlacedFault>,
    /// The arena, where somebody said how large it is.
    pub arena: Option<Arena>,
    /// The time in each pace, and where none is noted, in nanoseconds.
    pub paces: (Vec<(Pace, i64)>, i64),
    /// What is wrong with it, whatever the day.
    pub troubles: Vec<Found>,
    keys: Keys,
}

/// The outlines of a ride, or why they cannot be looked at.
pub type Outlines = Result<OutlineReport, OutlineProblem>;

/// The tempo of a ride.
#[derive(Clone, Debug, PartialEq)]
pub struct Tempos {
    /// Pace by pace.
    pub paces: TempoReport,
    /// About flying changes.
    pub changes: Around,
    /// About corners.
    pub corners: Around,
    /// About transitions within a pace.
    pub within: Around,
}

impl RideFigures {
    /// Looks at a ride.
    #[must_use]
    pub fn new(ride: &Ride, words: &Words) -> Self {
        let mut keys = Keys::default();
        let extent = extent(ride);
        let outlines = lower::outline::outlines(ride, words, &mut keys);
        let paces = lower::transitions::paces(ride, &mut keys);
        let aids = lower::transitions::aids(ride);
        let series = series_of_ride(ride, words);
        Self {
            ride: ride.id,
            date: ride.head.date,
            extent,
            outline: extent
                .filter(|_| !outlines.is_empty())
                .map(|all| outline(&outlines, all, TimerRules::default())),
            steps: extent
                .filter(|_| !paces.is_empty())
                .map(|all| transitions(&paces, &aids, all)),
            tempo: tempos(ride, words, &mut keys),
            faults: placed_faults(ride, words),
            arena: ride.head.arena,
            paces: paces_of(ride, &mut keys),
            troubles: trouble::of_ride(ride, words, &series),
            series,
            keys,
        }
    }

    /// The word behind a key of this ride's figures.
    #[must_use]
    pub fn word(&self, key: Key) -> Option<&WordId> {
        self.keys.word(key)
    }
}

fn paces_of(ride: &Ride, keys: &mut Keys) -> (Vec<(Pace, i64)>, i64) {
    let found = ridden(&[lower::load::load_ride(ride, 0, keys)]);
    (found.paces, found.pace_unknown)
}

fn tempos(ride: &Ride, words: &Words, keys: &mut Keys) -> Option<Tempos> {
    let review = ride.head.counting;
    let strides = lower::tempo::strides(ride, review);
    if strides.is_empty() {
        return None;
    }
    let going = lower::tempo::going(ride, words, review, None, keys);
    let sections = lower::tempo::sections(ride, review, &going);
    let events = lower::tempo::events(ride, &going);
    Some(Tempos {
        paces: tempo(&strides, &sections),
        changes: around(&strides, &events.changes),
        corners: around(&strides, &events.corners),
        within: around(&strides, &events.within),
    })
}
