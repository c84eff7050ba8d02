//! The series of changes of a ride, each with its changes, what was asked and a stride time.

use reinback_analysis::series::{Asked, Change, SeriesInput, StrideSource, StrideTime};
use reinback_analysis::{Moment, Rein, Span};

use super::{Counting, shifted, tempo};
use crate::id::BoutId;
use crate::model::{MarkKind, Ride};
use crate::observe::Keys;
use crate::words::{WordId, Words};

/// How long a frame is taken to be, in nanoseconds: that of 24 frames a second, the slowest a film
/// is usually made with. A ride does not keep its films' rates. For films of 24 frames a second or
/// more a count is at least as sure as it is said to be; for slower ones (time lapse, some webcams)
/// it is less sure.
pub const LONGEST_USUAL_FRAME: i64 = 41_666_667;

/// Taps so long before and after a series are taps around it: 10 s, our own choice.
const AROUND: i64 = 10_000_000_000;

/// A bout of a series.
#[derive(Clone, Debug, PartialEq)]
pub struct RiddenSeries {
    /// The bout.
    pub bout: BoutId,
    /// Its exercise.
    pub exercise: WordId,
    /// Where it lies.
    pub span: Span,
    /// The rein it was ridden on.
    pub rein: Option<Rein>,
    /// Only reviewed ones count.
    pub reviewed: bool,
    /// Every how many strides: asked of the bout, or by the exercise's name.
    pub every: Option<u16>,
    /// How many were asked, where that was noted.
    pub asked_count: Option<u16>,
    /// Its changes, in order.
    pub changes: Vec<Change>,
    /// The stride time of this ride: tapped around the series, else elsewhere in its canter.
    pub stride: Option<StrideTime>,
}

impl RiddenSeries {
    /// What the analysis looks at; `earlier` is the stride time tapped in an earlier canter of this
    /// horse, for a ride without one of its own. It is at most as well known as another day's can
    /// be.
    ///
    /// Where nobody noted how many changes were asked, as many as were shown are taken for asked.
    /// Without a number of strides the count cannot be looked at: the stride time is left out.
    #[must_use]
    pub fn input(&self, earlier: Option<StrideTime>) -> SeriesInput {
        let shown = u32::try_from(self.changes.len()).unwrap_or(u32::MAX).max(2);
        let own = self.stride.or_else(|| {
            let of_now = earlier?;
            let mut own = StrideTime::new(of_now.nanos, StrideSource::EarlierCanter);
            own.uncertainty = own.uncertainty.max(of_now.uncertainty);
            Some(own)
        });
        SeriesInput {
            changes: self.changes.clone(),
            asked: Asked {
                every: self.every.map_or(1, u32::from),
                count: self.asked_count.map_or(shown, u32::from),
            },
            stride: own.filter(|_| self.every.is_some()),
            frame_nanos: LONGEST_USUAL_FRAME,
        }
    }
}

/// The series of a ride, and the stride time of its canter for later rides.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SeriesOfRide {
    /// In the order ridden. Bouts that still run are not among them.
    pub series: Vec<RiddenSeries>,
    /// The time of a canter stride tapped in this ride; one that a horse can canter.
    pub canter_stride: Option<StrideTime>,
    /// The first of taps on the canter that come to a stride no horse has: they are used nowhere,
    /// neither in this ride nor in later ones.
    pub impossible_taps: Option<Moment>,
    /// Flying changes marked in no bout.
    pub loose_changes: u32,
}

impl SeriesOfRide {
    /// The time, if a horse can canter like this; else where it was tapped is remembered.
    fn possible(&mut self, tapped: Option<tempo::Tapped>) -> Option<StrideTime> {
        let tapped = tapped?;
        if tapped.time.is_possible() {
            return Some(tapped.time);
        }
        self.impossible_taps.get_or_insert(tapped.at);
        None
    }
}

/// Lowers the series of a ride.
#[must_use]
pub fn series_of_ride(ride: &Ride, words: &Words) -> SeriesOfRide {
    let counting = Counting::of(ride);
    let review = ride.head.counting;
    let strides = tempo::strides(ride, review);
    let sections = if strides.is_empty() {
        Vec::new()
    } else {
        let going = tempo::going(ride, words, review, None, &mut Keys::default());
        tempo::sections(ride, review, &going)
    };
    let mut found = SeriesOfRide::default();
    found.canter_stride = found.possible(tempo::canter_stride(&strides, &sections, None));
    let mut changes: Vec<(Option<BoutId>, Change)> = Vec::new();
    let owners = counting.owners();
    for mark in &counting.marks {
        if let MarkKind::Change(onto) = mark.kind {
            let owner = owners.owner(mark).map(|bout| bout.id);
            found.loose_changes += u32::from(owner.is_none());
            let change = Change {
                at: mark.at,
                onto,
                refined: mark.is_on_its_frame(),
                feet: None,
            };
            changes.push((owner, change));
        }
    }
    for bout in &counting.bouts {
        let exercise = words.exercise(&bout.exercise);
        let every = bout.asked.every.or(exercise.and_then(|own| own.every));
        let is_series =
            every.is_some() || bout.asked.count.is_some() || exercise.is_some_and(|own| own.series);
        let Some(span) = bout.span().filter(|_| is_series) else {
            continue;
        };
        let own: Vec<Change> = changes
            .iter()
            .filter(|(owner, _)| *owner == Some(bout.id))
            .map(|(_, change)| *change)
            .collect();
        let near = Span {
            from: shifted(span.from, -AROUND),
            to: shifted(span.to, AROUND),
        };
        let around = found.possible(tempo::canter_stride(&strides, &sections, Some(near)));
        let stride = around.or(found.canter_stride);
        found.series.push(RiddenSeries {
            bout: bout.id,
            exercise: bout.exercise.clone(),
            span,
            rein: bout.rein,
            reviewed: bout.reviewed,
            every,
            asked_count: bout.asked.count,
            changes: own,
            stride,
        });
    }
    found
}

/// The moment a series begins to be looked at: its first change, or its own beginning.
#[must_use]
pub fn begins(series: &RiddenSeries) -> Moment {
    series
        .changes
        .first()
        .map_or(series.span.from, |one| one.at)
}
