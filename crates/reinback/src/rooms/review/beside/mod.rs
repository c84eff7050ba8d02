//! Two stretches side by side, in step: which they are, and which of their moments belong together.
//!
//! - `pairing`: what could stand beside a bout, and how two stretches lie on each other; pure
//! - `strides`: how fast the second runs so that strides keep step; pure
//! - `panel`: the panel beside the film in which that is said

pub mod pairing;
pub(super) mod panel;
pub mod strides;

use egui::TextureHandle;
use reinback_film::FilmTime;
use reinback_yard::{Bout, BoutId, FilmId, Horse, Moment, Ride, RideId, Span, Yard};

use super::bout_name;
use super::film::lens::Lens;
use crate::clock;

/// A bout of a ride.
pub type Stretch = (RideId, BoutId);

/// How fast a second runs that is held still: nothing is seen of it, and it stays above zero.
const STILL: f64 = 1e-9;

/// What is shown side by side, or is about to be.
pub struct Beside {
    /// The bout of the open ride.
    pub first: BoutId,
    /// The bout beside it, once it is chosen.
    pub second: Option<Stretch>,
    /// The moments that belong together, each on the clock of its own ride.
    pub together: (Moment, Moment),
    /// Where the first was when the second was held, and the moment at which that is held while
    /// the first alone moves.
    pub held: Option<(Moment, Moment)>,
    /// The film of the second whose file was compared with what was marked, or is being.
    pub compared: Option<FilmId>,
    /// Whether the second is shown left for right.
    pub mirrored: bool,
    /// Whether the second is stretched so that its strides take as long as the first's.
    pub equal_strides: bool,
    /// Which part of the second picture is looked at.
    pub lens: Lens,
    /// The second picture on the graphics card, and which frame of which width it is.
    pub texture: Option<((FilmTime, u32), TextureHandle)>,
}

impl Beside {
    /// A bout that something is to be shown beside.
    #[must_use]
    pub fn new(first: BoutId) -> Self {
        Self {
            first,
            second: None,
            together: (Moment(0), Moment(0)),
            held: None,
            compared: None,
            mirrored: false,
            equal_strides: false,
            lens: Lens::default(),
            texture: None,
        }
    }

    /// Puts a bout beside the first, both at their starts; mirrored where their reins differ.
    pub fn choose(&mut self, second: Stretch, first: &Bout, other: &Bout) {
        self.second = Some(second);
        self.texture = None;
        self.compared = None;
        self.lens = Lens::default();
        self.mirrored = first.rein.is_some() && other.rein.is_some() && first.rein != other.rein;
        self.at_starts(first, other);
    }

    /// Has the starts belong together again.
    pub fn at_starts(&mut self, first: &Bout, other: &Bout) {
        self.together = (first.from, other.from);
        self.held = None;
    }

    /// Holds the second at a moment of its ride, or has it belong from now on to the moment that
    /// the first shows.
    pub fn hold(&mut self, here: Moment, there: Moment) {
        match self.held.take() {
            Some((_, held)) => self.together = (here, held),
            None => self.held = Some((here, there)),
        }
    }

    /// Moves the second against the first, by nanoseconds of its ride.
    pub fn nudge(&mut self, nanos: i64) {
        let moved = |moment: &mut Moment| moment.0 = moment.0.saturating_add(nanos);
        match &mut self.held {
            Some((_, held)) => moved(held),
            None => moved(&mut self.together.1),
        }
    }

    /// Which moments belong together, and seconds of the second for each of the first, where
    /// strides of equal time would take `strides`.
    #[must_use]
    pub fn aligned(&self, strides: Option<f64>) -> ((Moment, Moment), f64) {
        match self.held {
            Some(held) => (held, STILL),
            None => (self.together, self.rate(strides)),
        }
    }

    fn rate(&self, strides: Option<f64>) -> f64 {
        strides.filter(|_| self.equal_strides).unwrap_or(1.0)
    }

    /// The stretch of the first's clock in which both are ridden.
    #[must_use]
    pub fn shorter(&self, first: Span, other: Span, strides: Option<f64>) -> Span {
        pairing::shared(first, other, self.together, self.rate(strides))
    }
}

/// The bout of a ride.
#[must_use]
pub fn bout_of(yard: &Yard, (ride, bout): Stretch) -> Option<(&Ride, &Bout)> {
    let ride = yard.ride(ride)?;
    let bout = ride.bouts.iter().find(|own| own.id == bout)?;
    Some((ride, bout))
}

/// "Sonnet, 20 November 2026" and "half-pass, left, at 12:03.48": what is seen in a picture.
#[must_use]
pub fn caption(yard: &Yard, ride: &Ride, bout: Option<&Bout>, at: Moment) -> [String; 2] {
    let day = ride.head.date.format("%-d %B %Y").to_string();
    let horse = yard.horse(ride.head.horse).map(named);
    let whose = horse.map_or_else(|| day.clone(), |horse| format!("{horse}, {day}"));
    let time = clock::exact(at);
    let what = bout.map_or_else(
        || time.clone(),
        |bout| format!("{}, at {time}", bout_name(&yard.words, bout)),
    );
    [whose, what]
}

fn named(horse: &Horse) -> &str {
    &horse.name
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample;
    use reinback_yard::Rein;

    const SECOND: i64 = 1_000_000_000;

    fn moment(seconds: i64) -> Moment {
        Moment(seconds * SECOND)
    }

    /// Two bouts of the sample beside each other: left at 1:00, right at 2:00 of the same ride.
    fn beside() -> (Beside, Bout, Bout) {
        let yard = sample::yard();
        let ride = yard.rides_by_date()[0];
        let (first, other) = (ride.bouts[0].clone(), ride.bouts[1].clone());
        let mut beside = Beside::new(first.id);
        beside.choose((ride.id, other.id), &first, &other);
        (beside, first, other)
    }

    #[test]
    fn two_reins_are_mirrored_and_lie_at_their_starts() {
        let (mut own, first, other) = beside();
        assert_eq!(
            (first.rein, other.rein, own.mirrored),
            (Some(Rein::Left), Some(Rein::Right), true)
        );
        assert_eq!(own.aligned(None), ((moment(60), moment(120)), 1.0));
        own.choose((RideId::from_bits(1), first.id), &first, &first);
        assert!(!own.mirrored, "the same rein is not");
    }

    #[test]
    fn what_is_held_belongs_to_where_the_first_has_gone() {
        let (mut own, first, other) = beside();
        own.hold(moment(61), moment(121));
        let ((_, there), rate) = own.aligned(None);
        assert!(there == moment(121) && rate > 0.0 && rate < 1e-6);
        own.nudge(SECOND);
        own.hold(moment(65), moment(999));
        assert_eq!(own.aligned(None), ((moment(65), moment(122)), 1.0));
        own.nudge(-2 * SECOND);
        assert_eq!(own.aligned(None).0, (moment(65), moment(120)));
        own.at_starts(&first, &other);
        assert_eq!(own.aligned(None).0, (moment(60), moment(120)));
    }

    #[test]
    fn strides_keep_step_only_where_it_is_asked_for_and_known() {
        let (mut own, first, other) = beside();
        let spans = (first.span_until(first.from), other.span_until(other.from));
        for (asked, known, rate, until) in [
            (false, Some(1.25), 1.0, 75),
            (true, None, 1.0, 75),
            (true, Some(1.25), 1.25, 72),
        ] {
            own.equal_strides = asked;
            let found = own.aligned(known).1;
            assert!((found - rate).abs() < 1e-12, "{asked} {known:?}: {found}");
            let both = own.shorter(spans.0, spans.1, known);
            assert_eq!((both.from, both.to), (moment(60), moment(until)));
        }
    }
}
