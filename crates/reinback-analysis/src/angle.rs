//! Angles and lengths between points that were put on one frame of a film.
//!
//! Points are in pixels of the upright picture with square pixels; `x` goes to
//! the right, `y` down. A picture shows a projection: these are angles of the
//! picture, and those of the horse only as far as the camera stands square to
//! the plane they lie in. Nothing here judges: there is no good or bad angle.
//!
//! **Invariant**: a reading is finite and `low <= value <= high`. The range is
//! a worst case: every point may be off by [`POINT_PIXELS`] in any direction.
//! It knows nothing of the camera, of the moment of the stride, or of whether
//! the right spot of the horse was found.

use crate::describe::{mean, standard_deviation};

/// How far a point may be off, in pixels, in any direction. Our own choice.
pub const POINT_PIXELS: f64 = 1.0;

/// An edge that is taken for upright may lean so far from straight down the
/// picture, in degrees: beyond it is more level than upright. Our own choice.
pub const MOST_LEAN: f64 = 45.0;

/// Fewer readings than this say little about a stretch of riding: the head nods
/// in every stride. Our own choice.
pub const FEW_READINGS: usize = 10;

/// A point of the picture, in pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dot {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

/// What came of measuring, in degrees (a ratio has no unit).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The value of the points as they are.
    pub value: f64,
    /// The smallest that points within [`POINT_PIXELS`] could give.
    pub low: f64,
    /// The largest.
    pub high: f64,
}

/// Why points tell nothing. Its text is a sentence for the rider.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, thiserror::Error)]
pub enum AngleProblem {
    /// The ends of a line may be one and the same point.
    #[error("The two ends of a line lie too close together; put them further apart")]
    TooShort,
    /// An edge that leans too far to be upright.
    #[error("This edge is more level than upright; draw one along a post or a door frame")]
    NotUpright,
    /// The neck lies right above or below the head.
    #[error("This does not say where the horse faces; put the point of the neck further back")]
    NoFacing,
    /// The lower end of the nose is the higher one.
    #[error("The lower end of the nose lies above its upper end; put the points in their order")]
    UpsideDown,
    /// A coordinate that is no number.
    #[error("A point lies nowhere on the picture; put it again")]
    NotFinite,
}

/// The direction in which a stone would fall on the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plumb {
    /// How far the picture is turned clockwise, in degrees.
    tilt: f64,
    /// How far that may be off, in degrees.
    within: f64,
}

impl Plumb {
    /// Of a picture that is turned clockwise by so many degrees; nothing is
    /// known of how well they were found.
    ///
    /// # Errors
    ///
    /// [`AngleProblem::NotFinite`].
    pub fn from_tilt(degrees: f64) -> Result<Self, AngleProblem> {
        if !degrees.is_finite() {
            return Err(AngleProblem::NotFinite);
        }
        let (tilt, within) = (degrees, 0.0);
        Ok(Self { tilt, within })
    }

    /// Along something upright, drawn from either end.
    ///
    /// # Errors
    ///
    /// [`AngleProblem::NotUpright`] beyond [`MOST_LEAN`],
    /// [`AngleProblem::TooShort`], [`AngleProblem::NotFinite`].
    ///
    /// ```
    /// use reinback_analysis::angle::{Dot, Plumb};
    /// // A post whose foot stands 10 pixels to the left of its top, 100 pixels
    /// // below it: the picture is turned clockwise by atan(1/10) = 5.71 degrees.
    /// let post = Plumb::from_edge(Dot { x: 60.0, y: 0.0 }, Dot { x: 50.0, y: 100.0 })?;
    /// assert!((post.tilt() - 5.7106).abs() < 1e-4);
    /// # Ok::<(), reinback_analysis::angle::AngleProblem>(())
    /// ```
    pub fn from_edge(one: Dot, other: Dot) -> Result<Self, AngleProblem> {
        let edge = Line::between(one, other)?;
        let (across, down) = if edge.y < 0.0 {
            (-edge.x, -edge.y)
        } else {
            (edge.x, edge.y)
        };
        let tilt = (-across).atan2(down).to_degrees();
        if tilt.abs() > MOST_LEAN {
            return Err(AngleProblem::NotUpright);
        }
        let within = edge.slack();
        Ok(Self { tilt, within })
    }

    /// How far the picture is turned clockwise, in degrees.
    #[must_use]
    pub fn tilt(self) -> f64 {
        self.tilt
    }

    /// How far the points of the edge leave that open, in degrees; 0 where it
    /// was not drawn.
    #[must_use]
    pub fn within(self) -> f64 {
        self.within
    }

    /// A line as to the right of and down the plumb line.
    fn right_and_down(self, line: Line) -> (f64, f64) {
        let (sine, cosine) = self.tilt.to_radians().sin_cos();
        // Straight down is (-sine, cosine) on a picture turned clockwise.
        (
            line.x * cosine + line.y * sine,
            line.y * cosine - line.x * sine,
        )
    }
}

/// From one point to another, long enough to have a direction.
#[derive(Clone, Copy)]
struct Line {
    x: f64,
    y: f64,
    length: f64,
}

/// Both ends off by so much, in opposite directions.
const BOTH_ENDS: f64 = 2.0 * POINT_PIXELS;

impl Line {
    fn between(from: Dot, to: Dot) -> Result<Self, AngleProblem> {
        let (x, y) = (to.x - from.x, to.y - from.y);
        let length = x.hypot(y);
        if !length.is_finite() {
            Err(AngleProblem::NotFinite)
        } else if length <= BOTH_ENDS {
            Err(AngleProblem::TooShort)
        } else {
            Ok(Self { x, y, length })
        }
    }

    /// How far its direction may be off, in degrees: the end of the line lies
    /// in a circle of two points' error around where it is, and the line
    /// furthest off touches it.
    fn slack(self) -> f64 {
        (BOTH_ENDS / self.length).asin().to_degrees()
    }

    /// The angle between two directions, 0 to 180 degrees.
    fn angle_to(self, other: Self) -> f64 {
        let cross = self.x * other.y - self.y * other.x;
        let dot = self.x * other.x + self.y * other.y;
        cross.abs().atan2(dot).to_degrees()
    }
}

fn reading(value: f64, slack: f64, (least, most): (f64, f64)) -> Reading {
    Reading {
        value,
        low: (value - slack).max(least),
        high: (value + slack).min(most),
    }
}

/// The line of the nose against plumb, in degrees: positive in front of the
/// vertical, negative behind it, -90 to 90. `neck` is any point of the neck or
/// the withers: the horse faces away from it.
///
/// "Behind the vertical" is the nose behind a plumb line from above, as the
/// glossary of the USDF has it (seen on a mirror); that it is written with a
/// sign against plumb is common in studies (Kienapfel et al. 2021, bioRxiv
/// 2021.12.17.473217, abstract).
///
/// # Errors
///
/// [`AngleProblem::NoFacing`], [`AngleProblem::UpsideDown`],
/// [`AngleProblem::TooShort`], [`AngleProblem::NotFinite`].
///
/// ```
/// use reinback_analysis::angle::{Dot, Plumb, nose_line};
/// let at = |x, y| Dot { x, y };
/// let plumb = Plumb::from_tilt(0.0)?;
/// // Faces right; the nose is 10 pixels ahead and 100 below: atan(1/10).
/// let nose = nose_line(at(500.0, 100.0), at(510.0, 200.0), at(300.0, 150.0), plumb)?;
/// assert!((nose.value - 5.7106).abs() < 1e-4);
/// # Ok::<(), reinback_analysis::angle::AngleProblem>(())
/// ```
pub fn nose_line(upper: Dot, lower: Dot, neck: Dot, plumb: Plumb) -> Result<Reading, AngleProblem> {
    let nose = Line::between(upper, lower)?;
    let ahead = Line::between(neck, upper)?;
    let (right, down) = plumb.right_and_down(ahead);
    // How far the neck's direction is from straight up or down.
    let aside = right.abs().atan2(down.abs()).to_degrees();
    if aside <= ahead.slack() + plumb.within {
        return Err(AngleProblem::NoFacing);
    }
    let (nose_right, nose_down) = plumb.right_and_down(nose);
    if nose_down < 0.0 {
        return Err(AngleProblem::UpsideDown);
    }
    let value = (nose_right * right.signum()).atan2(nose_down).to_degrees();
    let slack = nose.slack() + plumb.within;
    Ok(reading(value, slack, (-180.0, 180.0)))
}

/// The neck against the horizontal, in degrees: positive where the poll is
/// higher than the withers' end, -90 to 90.
///
/// # Errors
///
/// [`AngleProblem::TooShort`], [`AngleProblem::NotFinite`].
///
/// ```
/// use reinback_analysis::angle::{Dot, Plumb, neck_line};
/// // the poll 100 pixels ahead and 100 above: 45 degrees
/// let (withers, poll) = (Dot { x: 0.0, y: 200.0 }, Dot { x: 100.0, y: 100.0 });
/// let found = neck_line(withers, poll, Plumb::from_tilt(0.0)?)?;
/// assert!((found.value - 45.0).abs() < 1e-9);
/// # Ok::<(), reinback_analysis::angle::AngleProblem>(())
/// ```
pub fn neck_line(withers: Dot, poll: Dot, plumb: Plumb) -> Result<Reading, AngleProblem> {
    let neck = Line::between(withers, poll)?;
    let (right, down) = plumb.right_and_down(neck);
    let value = (-down).atan2(right.abs()).to_degrees();
    Ok(reading(value, neck.slack() + plumb.within, (-90.0, 90.0)))
}

/// The horse's line against its track, in degrees, 0 to 90. Which way either
/// was drawn does not matter.
///
/// # Errors
///
/// [`AngleProblem::TooShort`], [`AngleProblem::NotFinite`].
///
/// ```
/// use reinback_analysis::angle::{Dot, lateral_angle};
/// let at = |x, y| Dot { x, y };
/// // along the track, and half as far across as along: atan(1/2)
/// let found = lateral_angle([at(0.0, 0.0), at(300.0, 0.0)], [at(0.0, 0.0), at(200.0, 100.0)])?;
/// assert!((found.value - 26.565).abs() < 1e-3);
/// # Ok::<(), reinback_analysis::angle::AngleProblem>(())
/// ```
pub fn lateral_angle(track: [Dot; 2], horse: [Dot; 2]) -> Result<Reading, AngleProblem> {
    let track = Line::between(track[0], track[1])?;
    let horse = Line::between(horse[0], horse[1])?;
    let turn = track.angle_to(horse);
    let value = turn.min(180.0 - turn);
    Ok(reading(value, track.slack() + horse.slack(), (0.0, 90.0)))
}

/// The angle at a point between two others, in degrees, 0 to 180.
///
/// The range takes the two arms' errors together, although they share a point:
/// it is never too narrow, and somewhat wide where both arms are short.
///
/// # Errors
///
/// [`AngleProblem::TooShort`], [`AngleProblem::NotFinite`].
///
/// ```
/// use reinback_analysis::angle::{Dot, angle_at};
/// let at = |x, y| Dot { x, y };
/// let found = angle_at(at(100.0, 0.0), at(0.0, 0.0), at(0.0, 100.0))?;
/// assert!((found.value - 90.0).abs() < 1e-9);
/// # Ok::<(), reinback_analysis::angle::AngleProblem>(())
/// ```
pub fn angle_at(one: Dot, vertex: Dot, other: Dot) -> Result<Reading, AngleProblem> {
    let one = Line::between(vertex, one)?;
    let other = Line::between(vertex, other)?;
    let slack = one.slack() + other.slack();
    Ok(reading(one.angle_to(other), slack, (0.0, 180.0)))
}

/// One length over another.
///
/// # Errors
///
/// [`AngleProblem::TooShort`], [`AngleProblem::NotFinite`].
///
/// ```
/// use reinback_analysis::angle::{Dot, ratio};
/// let at = |x, y| Dot { x, y };
/// let found = ratio([at(0.0, 0.0), at(300.0, 0.0)], [at(0.0, 0.0), at(0.0, 200.0)])?;
/// assert!((found.value - 1.5).abs() < 1e-9 && found.low < 1.5 && 1.5 < found.high);
/// # Ok::<(), reinback_analysis::angle::AngleProblem>(())
/// ```
pub fn ratio(one: [Dot; 2], other: [Dot; 2]) -> Result<Reading, AngleProblem> {
    let one = Line::between(one[0], one[1])?.length;
    let other = Line::between(other[0], other[1])?.length;
    let reading = Reading {
        value: one / other,
        low: (one - BOTH_ENDS) / (other + BOTH_ENDS),
        high: (one + BOTH_ENDS) / (other - BOTH_ENDS),
    };
    if reading.high.is_finite() {
        Ok(reading)
    } else {
        Err(AngleProblem::TooShort)
    }
}

/// Where a nose line lies, as far as its range tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Against {
    /// In front of the vertical.
    InFront,
    /// The range holds the vertical itself.
    On,
    /// Behind the vertical.
    Behind,
}

impl Reading {
    /// On which side of the vertical a nose line lies.
    #[must_use]
    pub fn against_vertical(self) -> Against {
        if self.low > 0.0 {
            Against::InFront
        } else if self.high < 0.0 {
            Against::Behind
        } else {
            Against::On
        }
    }
}

/// Several readings of one kind, taken together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Together {
    /// How many.
    pub count: usize,
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation (`n - 1`); `None` of one.
    pub spread: Option<f64>,
}

impl Together {
    /// Of these values; `None` of none.
    #[must_use]
    pub fn of(values: &[f64]) -> Option<Self> {
        Some(Self {
            count: values.len(),
            mean: mean(values)?,
            spread: standard_deviation(values),
        })
    }

    /// Whether they are fewer than [`FEW_READINGS`].
    #[must_use]
    pub fn is_few(self) -> bool {
        self.count < FEW_READINGS
    }
}
