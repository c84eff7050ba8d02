//! Where the small pictures of a line put their parts. Pure.

use egui::{Pos2, Rect, pos2, vec2};
use reinback_analysis::{Cell, Day, ExerciseLine, MIN_ATTEMPTS_FOR_RATE, RidePoint};
use reinback_yard::RideId;

use crate::report::numbers::CoursePoint;

use crate::said::Say;

/// Room around the contents of a row.
const PAD: f32 = 12.0;
/// Room between its columns.
const GAP: f32 = 18.0;
/// Below this width the pictures go under the text.
const NARROW: f32 = 600.0;
/// Height of the pictures.
const PICTURES: f32 = 64.0;

/// The parts of a row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct RowLayout {
    /// Height of the whole row.
    pub(super) height: f32,
    /// Name and sentences.
    pub(super) text: Rect,
    /// The reins side by side.
    pub(super) reins: Rect,
    /// The trend with its words.
    pub(super) trend: Rect,
}

fn picture_widths(width: f32) -> (f32, f32) {
    (
        (width * 0.22).clamp(152.0, 280.0),
        (width * 0.3).clamp(204.0, 480.0),
    )
}

/// How wide the text of a row may be.
pub(super) fn text_width(width: f32) -> f32 {
    if in_columns(width) {
        let (reins, trend) = picture_widths(width);
        width - 2.0 * PAD - 2.0 * GAP - reins - trend
    } else {
        width - 2.0 * PAD
    }
}

/// Whether the pictures stand beside the text, in columns.
pub(super) fn in_columns(width: f32) -> bool {
    width >= NARROW
}

/// Lays a row out from its upper left corner.
pub(super) fn row_layout(at: Pos2, width: f32, text_height: f32) -> RowLayout {
    let text = Rect::from_min_size(at + vec2(PAD, PAD), vec2(text_width(width), text_height));
    if !in_columns(width) {
        let top = text.bottom() + 8.0;
        let half = (width - 2.0 * PAD - GAP) / 2.0;
        let reins = Rect::from_min_size(pos2(text.left(), top), vec2(half, PICTURES));
        let trend = reins.translate(vec2(half + GAP, 0.0));
        return RowLayout {
            height: reins.bottom() + PAD - at.y,
            text,
            reins,
            trend,
        };
    }
    let (reins_width, trend_width) = picture_widths(width);
    let height = text_height.max(PICTURES) + 2.0 * PAD;
    let picture = |left: f32, wide: f32| {
        let top = at.y + (height - PICTURES) / 2.0;
        Rect::from_min_size(pos2(left, top), vec2(wide, PICTURES))
    };
    let trend_left = at.x + width - PAD - trend_width;
    RowLayout {
        height,
        text,
        reins: picture(trend_left - GAP - reins_width, reins_width),
        trend: picture(trend_left, trend_width),
    }
}

/// Whose attempts a bar shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    /// All attempts.
    All,
    /// Those on the left rein.
    Left,
    /// Those on the right rein.
    Right,
    /// Those without a rein.
    Unsided,
}

impl Side {
    /// What stands before the bar.
    pub(super) fn short(self, say: &Say) -> String {
        match self {
            Self::All => say.plain("side-all"),
            Self::Left => say.plain("side-left"),
            Self::Right => say.plain("side-right"),
            Self::Unsided => say.plain("side-none"),
        }
    }
}

/// The bars of an exercise and their attempts.
pub(super) fn bars(figures: &ExerciseLine) -> Vec<(Side, &Cell)> {
    let ridden = |cell: &Cell| cell.rate.tally.attempts > 0;
    if !ridden(&figures.left) && !ridden(&figures.right) {
        return vec![(Side::All, &figures.all)];
    }
    let mut bars = vec![(Side::Left, &figures.left), (Side::Right, &figures.right)];
    if ridden(&figures.unsided) {
        bars.push((Side::Unsided, &figures.unsided));
    }
    bars
}

/// Room for the names before bars that stand together.
pub(super) fn name_width(names: &[String]) -> f32 {
    match names.iter().map(|name| name.chars().count()).max() {
        Some(0 | 1) | None => 18.0,
        Some(2 | 3) => 28.0,
        Some(4) => 38.0,
        Some(_) => 54.0,
    }
}

/// What a bar shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Bar {
    /// Nothing ridden.
    Empty,
    /// Too few for a rate: so many faulty of so many, one by one.
    Single {
        /// Faulty attempts.
        faulty: u32,
        /// All attempts.
        attempts: u32,
    },
    /// A share with its range, 0 to 1.
    Share {
        /// The share.
        value: f64,
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
}

/// What the bar of some attempts shows.
pub(super) fn bar(cell: &Cell) -> Bar {
    let tally = cell.rate.tally;
    match cell.rate.range {
        Ok(range) => Bar::Share {
            value: range.value,
            low: range.low,
            high: range.high,
        },
        Err(_) if tally.attempts > 0 && tally.attempts < MIN_ATTEMPTS_FOR_RATE => Bar::Single {
            faulty: tally.faulty,
            attempts: tally.attempts,
        },
        Err(_) => Bar::Empty,
    }
}

/// The largest dot.
const LARGEST: f32 = 5.5;

/// The size of a ride's dot: its area grows with the attempts.
pub(super) fn dot_radius(attempts: u32) -> f32 {
    (1.6 * (attempts as f32).sqrt()).clamp(1.6, LARGEST)
}

/// Where the dots of a course stand: a ride on its day, a month in the middle of its days.
pub(super) fn drawn(course: &[CoursePoint]) -> Vec<RidePoint> {
    let point = |point: &CoursePoint| {
        let (from, to) = (point.from.to_epoch_days(), point.to.to_epoch_days());
        RidePoint {
            ride: point.ride.map_or(0, RideId::bits),
            day: Day(from + (to - from) / 2),
            tally: point.tally,
        }
    };
    course.iter().map(point).collect()
}

/// From days and shares to places in a picture.
#[derive(Clone, Copy, Debug)]
pub(super) struct Course {
    rect: Rect,
    first: f64,
    last: f64,
}

impl Course {
    /// The course of these rides in a picture; `None` without any.
    pub(super) fn new(points: &[RidePoint], rect: Rect) -> Option<Self> {
        let days = || points.iter().map(|point| f64::from(point.day.0));
        Some(Self {
            rect: rect.shrink(LARGEST),
            first: days().reduce(f64::min)?,
            last: days().reduce(f64::max)?,
        })
    }

    /// The place of a share, 0 to 1, on a day.
    pub(super) fn place(&self, day: f64, share: f64) -> Pos2 {
        let along = if self.last > self.first {
            ((day - self.first) / (self.last - self.first)).clamp(0.0, 1.0)
        } else {
            0.5
        };
        let share = share.clamp(0.0, 1.0) as f32;
        pos2(
            self.rect.left() + along as f32 * self.rect.width(),
            self.rect.bottom() - share * self.rect.height(),
        )
    }

    /// Days spread evenly over the course, at most `most` of them, first and last included.
    pub(super) fn days(&self, most: u32) -> Vec<Day> {
        days_between(Day(self.first as i32), Day(self.last as i32), most)
    }
}

/// Days spread evenly from one to another, at most `most` of them, both included.
pub(super) fn days_between(first: Day, last: Day, most: u32) -> Vec<Day> {
    let steps = f64::from(most.max(2) - 1);
    let span = f64::from(last.0) - f64::from(first.0);
    let mut days: Vec<Day> = (0..most.max(2))
        .map(|step| Day((f64::from(first.0) + span * f64::from(step) / steps).round() as i32))
        .collect();
    days.dedup();
    days
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use reinback_analysis::{FaultRate, PerMinute, Tally};

    use super::*;

    proptest! {
        /// Nothing is cut off and nothing lies over another part, down to the narrowest list.
        #[test]
        fn the_parts_of_a_row_keep_apart(width in 380.0_f32..2000.0, text_height in 20.0_f32..160.0) {
            let row = row_layout(pos2(7.0, 11.0), width, text_height);
            let whole = Rect::from_min_size(pos2(7.0, 11.0), vec2(width, row.height));
            for part in [row.text, row.reins, row.trend] {
                prop_assert!(whole.contains_rect(part), "{part} is not in {whole}");
                prop_assert!(part.width() >= 150.0, "{part} is too narrow");
            }
            prop_assert!(!row.text.intersects(row.reins));
            prop_assert!(!row.text.intersects(row.trend));
            prop_assert!(!row.reins.intersects(row.trend));
        }

        #[test]
        fn dots_stay_in_the_picture(
            rides in proptest::collection::vec((-400_i32..30_000, 0_u32..40, 0_u32..40), 1..30),
        ) {
            let rect = Rect::from_min_size(pos2(3.0, 4.0), vec2(180.0, 46.0));
            let points: Vec<RidePoint> = rides.iter().map(|(day, faulty, clean)| RidePoint {
                ride: 0,
                day: Day(*day),
                tally: Tally { faulty: *faulty, attempts: faulty + clean },
            }).collect();
            let course = Course::new(&points, rect).expect("rides");
            for point in &points {
                let share = point.tally.share().unwrap_or(0.0);
                let at = course.place(f64::from(point.day.0), share);
                let dot = Rect::from_center_size(at, vec2(2.0, 2.0) * dot_radius(point.tally.attempts));
                prop_assert!(rect.expand(0.01).contains_rect(dot), "{dot} is not in {rect}");
            }
        }

        #[test]
        fn days_are_in_order(first in -1000_i32..1000, span in 0_i32..5000, most in 2_u32..60) {
            let days = days_between(Day(first), Day(first + span), most);
            prop_assert!(days.len() <= most as usize);
            prop_assert!(days.windows(2).all(|pair| pair[0] < pair[1]));
            prop_assert_eq!(days.first(), Some(&Day(first)));
            prop_assert_eq!(days.last(), Some(&Day(first + span)));
        }
    }

    fn check_bar(faulty: u32, attempts: u32, expect: fn(Bar) -> bool) {
        let cell = Cell {
            rate: FaultRate::new(Tally { faulty, attempts }),
            per_minute: PerMinute::new(faulty, 1),
            faults: faulty,
        };
        let found = bar(&cell);
        assert!(expect(found), "{faulty} of {attempts}: {found:?}");
    }

    #[test]
    fn a_few_attempts_are_no_share() {
        check_bar(0, 0, |bar| bar == Bar::Empty);
        check_bar(2, 5, |bar| {
            bar == Bar::Single {
                faulty: 2,
                attempts: 5,
            }
        });
        check_bar(
            2,
            6,
            |bar| matches!(bar, Bar::Share { low, high, .. } if low < high),
        );
    }
}
