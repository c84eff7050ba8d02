//! What the points of a mark measure, and where a place in the arena lies in metres.

use reinback_analysis::angle::{
    AngleProblem, Dot, Plumb as Upright, Reading, angle_at, lateral_angle, neck_line, nose_line,
    ratio,
};
use reinback_analysis::place::Place;

use crate::model::{ArenaPlace, MeasureKind, Measured, Plumb, Point};

impl MeasureKind {
    /// Whether what is upright matters to it.
    #[must_use]
    pub const fn needs_plumb(self) -> bool {
        matches!(self, Self::NoseLine | Self::NeckLine)
    }

    /// What these points measure, in degrees (a ratio has no unit), with plumb where it is needed;
    /// `None` while there are not as many as the kind needs.
    #[must_use]
    pub fn read(
        self,
        points: &[Point],
        plumb: Result<Upright, AngleProblem>,
    ) -> Option<Result<Reading, AngleProblem>> {
        let dots: Vec<Dot> = points.iter().map(|point| point.dot()).collect();
        let reading = match (self, dots.as_slice()) {
            (Self::NoseLine, &[upper, lower, neck]) => {
                plumb.and_then(|plumb| nose_line(upper, lower, neck, plumb))
            }
            (Self::NeckLine, &[withers, poll]) => {
                plumb.and_then(|plumb| neck_line(withers, poll, plumb))
            }
            (Self::Lateral, &[from, to, hind, fore]) => lateral_angle([from, to], [hind, fore]),
            (Self::Angle, &[one, vertex, other]) => angle_at(one, vertex, other),
            (Self::Ratio, &[a, b, c, d]) => ratio([a, b], [c, d]),
            _ => return None,
        };
        Some(reading)
    }
}

impl Plumb {
    /// As a direction of the picture, on a film with this tilt; a film of which nobody has said
    /// how it is turned counts as upright.
    ///
    /// # Errors
    /// The edge is too short, or more level than upright.
    pub fn upright(self, film_tilt: Option<i32>) -> Result<Upright, AngleProblem> {
        match self {
            Self::Film => Upright::from_tilt(f64::from(film_tilt.unwrap_or(0)) / 1_000.0),
            Self::Edge(one, other) => Upright::from_edge(one.dot(), other.dot()),
        }
    }
}

impl Measured {
    /// What the points measure, on a film with this tilt; `None` where there are not as many as
    /// the kind needs.
    #[must_use]
    pub fn read(&self, film_tilt: Option<i32>) -> Option<Result<Reading, AngleProblem>> {
        self.kind.read(&self.points, self.plumb.upright(film_tilt))
    }
}

impl Point {
    /// In pixels.
    #[must_use]
    pub fn dot(self) -> Dot {
        Dot {
            x: f64::from(self.x) / 1_000.0,
            y: f64::from(self.y) / 1_000.0,
        }
    }

    /// From pixels, to the nearest thousandth.
    #[must_use]
    pub fn from_pixels(x: f64, y: f64) -> Self {
        let thousandths = |pixels: f64| (pixels * 1_000.0).round() as i32;
        Self {
            x: thousandths(x),
            y: thousandths(y),
        }
    }
}

impl ArenaPlace {
    /// In metres.
    #[must_use]
    pub fn place(self) -> Place {
        Place {
            x: f64::from(self.across_cm) / 100.0,
            y: f64::from(self.along_cm) / 100.0,
        }
    }

    /// From metres, to the nearest centimetre.
    #[must_use]
    pub fn from_metres(place: Place) -> Self {
        let centimetres = |metres: f64| (metres * 100.0).round() as i32;
        Self {
            across_cm: centimetres(place.x),
            along_cm: centimetres(place.y),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::id::FilmId;

    fn point(x: i32, y: i32) -> Point {
        Point {
            x: x * 1_000,
            y: y * 1_000,
        }
    }

    /// Worked by hand: atan(1/10) = 5.7106 degrees, atan(3/4) = 36.8699.
    #[test]
    fn points_are_read_by_their_kind() {
        use MeasureKind::{Angle, Lateral, NeckLine, NoseLine, Ratio};
        let edge = Plumb::Edge(point(60, 0), point(50, 100));
        let nose = vec![point(400, 100), point(400, 300), point(200, 100)];
        let level = vec![point(200, 100), point(400, 100)];
        for (kind, points, plumb, tilt, expect) in [
            (NoseLine, nose.clone(), Plumb::Film, None, 0.0),
            (NoseLine, nose.clone(), Plumb::Film, Some(5_711), 5.711),
            (NoseLine, nose, edge, Some(90_000), 5.7106),
            (NeckLine, level.clone(), Plumb::Film, Some(-2_500), -2.5),
            (NeckLine, level.clone(), edge, None, 5.7106),
            (
                Lateral,
                vec![point(0, 0), point(99, 0), point(0, 9), point(40, 39)],
                Plumb::Film,
                None,
                36.8699,
            ),
            (
                Angle,
                vec![point(40, 30), point(0, 0), point(40, 0)],
                Plumb::Film,
                None,
                36.8699,
            ),
            (
                Ratio,
                [level.clone(), vec![point(0, 0), point(0, 80)]].concat(),
                Plumb::Film,
                None,
                2.5,
            ),
        ] {
            let measured = Measured {
                kind,
                film: FilmId::from_bits(1),
                points,
                plumb,
            };
            let reading = measured.read(tilt).unwrap().unwrap();
            assert!(
                (reading.value - expect).abs() < 1e-4,
                "{kind:?} {reading:?}"
            );
        }
        let upright = || Plumb::Film.upright(None);
        for kind in MeasureKind::ALL {
            let few = vec![point(0, 0); kind.points() - 1];
            assert_eq!(kind.read(&few, upright()), None, "{kind:?}");
            let one = vec![point(5, 5); kind.points()];
            let problem = kind.read(&one, upright());
            assert_eq!(problem, Some(Err(AngleProblem::TooShort)), "{kind:?}");
        }
    }

    #[test]
    fn places_and_points_are_kept_as_they_were_put() {
        let place = ArenaPlace::from_metres(Place { x: 19.996, y: -0.5 });
        assert_eq!((place.across_cm, place.along_cm), (2_000, -50));
        assert_eq!(place.place(), Place { x: 20.0, y: -0.5 });
        let point = Point::from_pixels(123.4567, -0.0004);
        assert_eq!((point.x, point.y), (123_457, 0));
        assert!((point.dot().x - 123.457).abs() < 1e-12);
    }
}
