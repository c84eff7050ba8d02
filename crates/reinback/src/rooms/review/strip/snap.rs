//! What a dragged edge or mark catches on: pure.

use reinback_yard::Moment;

use super::frames::Frames;

/// What something may catch on. Where two lie equally near, the earlier of these is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Catch {
    /// The frame on screen.
    Head,
    /// A mark.
    Mark,
    /// The start or the end of an exercise.
    Exercise,
    /// The start or the end of a pace.
    Pace,
    /// The start or the end of an outline.
    Outline,
    /// The start or the end of a film.
    Film,
    /// The zero of the ride clock.
    Zero,
    /// The start of a frame.
    Frame,
}

impl Catch {
    /// As said beside the line.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Head => "frame on screen",
            Self::Mark => "mark",
            Self::Exercise => "exercise",
            Self::Pace => "pace",
            Self::Outline => "outline",
            Self::Film => "film",
            Self::Zero => "start of the ride",
            Self::Frame => "frame",
        }
    }
}

/// A moment to catch on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Target {
    /// Where.
    pub at: Moment,
    /// What is there.
    pub what: Catch,
}

/// Where something ends up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caught {
    /// The moment.
    pub at: Moment,
    /// What it caught on there, if anything.
    pub on: Option<Target>,
}

/// Catches on the nearest target within reach (in nanoseconds), else on the nearest frame.
#[must_use]
pub fn catch(
    wanted: Moment,
    reach: i64,
    targets: impl Iterator<Item = Target>,
    frames: Option<Frames<'_>>,
) -> Caught {
    let reach = reach.unsigned_abs();
    let near = targets
        .filter(|target| target.at.0.abs_diff(wanted.0) <= reach)
        .min_by_key(|target| (target.at.0.abs_diff(wanted.0), target.what));
    let frame = || {
        let at = frames?.nearest(wanted)?;
        let what = Catch::Frame;
        Some(Target { at, what })
    };
    let on = near.or_else(frame);
    Caught {
        at: on.map_or(wanted, |target| target.at),
        on,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use reinback_film::{FilmTime, FrameIndex};
    use reinback_yard::{Film, FilmId};

    use super::*;

    const FRAME: i64 = 40;

    fn film() -> Film {
        Film {
            id: FilmId::from_bits(1),
            path: "a.mp4".into(),
            fingerprint: None,
            offset: Moment(0),
            drift_ppb: 0,
            duration_nanos: Some(100 * FRAME),
            tilt: None,
        }
    }

    fn target((at, mark): (i64, bool)) -> Target {
        let what = if mark { Catch::Mark } else { Catch::Exercise };
        Target {
            at: Moment(at),
            what,
        }
    }

    #[test]
    fn of_two_equally_near_the_mark_is_taken() {
        let targets = [target((110, false)), target((90, true))];
        let caught = catch(Moment(100), 10, targets.into_iter(), None);
        assert_eq!(caught.on, Some(targets[1]));
    }

    proptest! {
        /// Whatever lies around: it ends on the nearest thing within reach, else on the nearest
        /// frame, else where it was let go.
        #[test]
        fn nothing_nearer_is_passed_by(
            wanted in -500_i64..5_000,
            reach in 0_i64..200,
            targets in prop::collection::vec((-500_i64..5_000, any::<bool>()), 0..20),
            known in any::<bool>(),
        ) {
            let film = film();
            let index = FrameIndex::new((0..100).map(|n| FilmTime(n * FRAME)).collect()).unwrap();
            let frames = known.then_some(Frames { film: &film, index: &index });
            let caught = catch(Moment(wanted), reach, targets.iter().copied().map(target), frames);
            let nearest = targets.iter().map(|(at, _)| (at - wanted).abs()).min();
            match nearest.filter(|near| *near <= reach) {
                Some(near) => {
                    prop_assert_eq!((caught.at.0 - wanted).abs(), near);
                    prop_assert!(targets.iter().any(|(at, _)| *at == caught.at.0));
                }
                None if known && (0..=100 * FRAME).contains(&wanted) => {
                    prop_assert_eq!(caught.at.0 % FRAME, 0);
                    // Behind the last frame there is none nearer.
                    prop_assert!((caught.at.0 - wanted).abs() <= FRAME / 2 || wanted > 99 * FRAME);
                }
                None => prop_assert_eq!(caught.at.0, wanted),
            }
        }
    }
}
