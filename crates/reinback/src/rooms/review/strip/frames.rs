//! The frames of the film on screen along the ride clock: pure.

use reinback_film::{FilmTime, FrameIndex};
use reinback_yard::{Film, Moment, Span};

/// Where the frames of one film begin.
#[derive(Clone, Copy, Debug)]
pub struct Frames<'a> {
    /// The film as it is placed.
    pub film: &'a Film,
    /// The times of its frames.
    pub index: &'a FrameIndex,
}

impl Frames<'_> {
    /// The start of the frame nearest to a moment that the film shows.
    #[must_use]
    pub fn nearest(&self, at: Moment) -> Option<Moment> {
        let here = self.number(at)?;
        let near = [here, here + 1].into_iter();
        near.filter_map(|number| self.start(number))
            .min_by_key(|start| start.0.abs_diff(at.0))
    }

    /// How long the frame at a moment is shown, in nanoseconds.
    #[must_use]
    pub fn length(&self, at: Moment) -> Option<i64> {
        let number = self.number(at)?;
        let (from, to) = (number.checked_sub(1), number);
        // The last frame has no next one: it is taken for as long as the one before.
        let next = self.start(number + 1).zip(self.start(number));
        let last = || self.start(to).zip(self.start(from?));
        next.or_else(last).map(|(to, from)| to.0 - from.0)
    }

    /// The starts of the frames of a stretch; `None` where there are more than so many, or none.
    #[must_use]
    pub fn within(&self, span: Span, most: usize) -> Option<Vec<Moment>> {
        let shown = self.film.span()?;
        let (from, to) = (span.from.max(shown.from), span.to.min(shown.to));
        if from > to {
            return None;
        }
        let (first, last) = (self.number(from)?, self.number(to)?);
        let few = last.saturating_sub(first) < most as u64;
        few.then(|| {
            let starts = (first..=last).filter_map(|number| self.start(number));
            starts.filter(|at| (from..=to).contains(at)).collect()
        })
    }

    fn number(&self, at: Moment) -> Option<u64> {
        let shown = self.film.span()?;
        (shown.from <= at && at <= shown.to)
            .then(|| self.index.number(FilmTime(self.film.film_from_ride(at))))
    }

    fn start(&self, number: u64) -> Option<Moment> {
        let time = self.index.time(number)?;
        Some(self.film.ride_from_film(time.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use reinback_yard::FilmId;

    const MS: i64 = 1_000_000;

    fn film() -> Film {
        Film {
            id: FilmId::from_bits(1),
            path: "a.mp4".into(),
            fingerprint: None,
            offset: Moment(1_000 * MS),
            drift_ppb: 0,
            duration_nanos: Some(200 * MS),
            tilt: None,
        }
    }

    /// Five frames, 40 ms apart but for one that came late.
    fn index() -> FrameIndex {
        FrameIndex::new([0, 40, 80, 130, 160].map(|ms| FilmTime(ms * MS)).to_vec()).unwrap()
    }

    #[test]
    fn frames_are_found_where_the_film_lies() {
        let (film, index) = (film(), index());
        let frames = Frames {
            film: &film,
            index: &index,
        };
        for (at, nearest, length) in [
            (999, None, None),
            (1_000, Some(1_000), Some(40)),
            (1_019, Some(1_000), Some(40)),
            (1_021, Some(1_040), Some(40)),
            (1_100, Some(1_080), Some(50)),
            (1_106, Some(1_130), Some(50)),
            (1_199, Some(1_160), Some(30)),
            (1_201, None, None),
        ] {
            let moment = |ms: i64| Moment(ms * MS);
            assert_eq!(frames.nearest(moment(at)), nearest.map(moment), "{at}");
            let known = frames.length(moment(at)).map(|nanos| nanos / MS);
            assert_eq!(known, length, "{at}");
        }
    }

    #[test]
    fn frames_of_a_stretch_are_listed_while_they_are_few() {
        let (film, index) = (film(), index());
        let frames = Frames {
            film: &film,
            index: &index,
        };
        let stretch = |from: i64, to: i64| Span {
            from: Moment(from * MS),
            to: Moment(to * MS),
        };
        let all: Vec<i64> = frames
            .within(stretch(0, 5_000), 5)
            .unwrap()
            .iter()
            .map(|at| at.0 / MS)
            .collect();
        assert_eq!(all, [1_000, 1_040, 1_080, 1_130, 1_160]);
        assert_eq!(frames.within(stretch(0, 5_000), 4), None);
        assert_eq!(frames.within(stretch(1_041, 1_081), 4).unwrap().len(), 1);
        assert_eq!(frames.within(stretch(3_000, 5_000), 4), None);
    }
}
