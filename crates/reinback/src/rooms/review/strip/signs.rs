//! The signs of the marks on the strip: pure.

use egui::{Rect, pos2};
use reinback_yard::{Mark, MarkId, MarkKind};

use super::axis::Axis;
use super::layout::StripData;
use crate::action::Chosen;

/// Width and height of a sign, in points.
const SIGN: f32 = 13.0;
/// Signs of one kind that stand nearer than this, in points, are one sign: more could not be told
/// apart. Our own choice.
const MERGED: f32 = 3.0;
/// Where more marks than this are in view, signs of one kind do not overlap at all: painting
/// thousands of them over each other takes long and shows nothing. Our own choice.
const CROWDED: usize = 400;

/// A sign for a mark, or for some of one kind that are too near to be told apart.
#[derive(Clone, Debug, PartialEq)]
pub struct Sign {
    /// Which mark; the first of them.
    pub id: MarkId,
    /// Where.
    pub rect: Rect,
    /// Which shape.
    pub shape: SignShape,
    /// Whether it stands only near its frame.
    pub about: bool,
    /// Whether it is chosen.
    pub chosen: bool,
    /// How many marks it stands for.
    pub count: u32,
}

/// Shapes of marks, so that colour is never alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SignShape {
    /// A triangle pointing down.
    Fault,
    /// A disc.
    Praise,
    /// A ring.
    Repeated,
    /// A square.
    Note,
    /// A cross.
    Change,
    /// An arrow head pointing up.
    Aid,
    /// Two lines that meet.
    Measured,
}

impl SignShape {
    const COUNT: usize = 7;

    /// The shape of a kind of mark.
    #[must_use]
    pub fn of(kind: &MarkKind) -> Self {
        match kind {
            MarkKind::Fault(_) => Self::Fault,
            MarkKind::Praise => Self::Praise,
            MarkKind::Repeated => Self::Repeated,
            MarkKind::Note => Self::Note,
            MarkKind::Change(_) => Self::Change,
            MarkKind::Aid => Self::Aid,
            MarkKind::Measured(_) => Self::Measured,
        }
    }
}

/// Whether a mark stands only near its frame: pressed while the film ran, or written at the rail.
#[must_use]
pub fn is_about(mark: &Mark) -> bool {
    !mark.is_on_its_frame() && (mark.press.is_some() || mark.origin.is_some())
}

/// The signs of the marks in view.
pub(super) fn signs(data: &StripData<'_>, axis: &Axis, bed: Rect) -> Vec<Sign> {
    let marks = &data.ride.marks;
    let first = marks.partition_point(|mark| mark.at < axis.view.from);
    let behind = marks.partition_point(|mark| mark.at <= axis.view.to);
    let shown = marks.get(first..behind).unwrap_or_default();
    let merged = if shown.len() > CROWDED { SIGN } else { MERGED };
    let mut signs: Vec<Sign> = Vec::new();
    // Of each kind the last sign and its place, as the marks are in the order of time.
    let mut last: [Option<(i32, usize)>; SignShape::COUNT * 4] = [None; SignShape::COUNT * 4];
    for mark in shown.iter().filter(|mark| mark.review == data.review) {
        let x = axis.x_from_moment(mark.at);
        let (shape, about) = (SignShape::of(&mark.kind), is_about(mark));
        let chosen = !data.selected.is_empty() && data.selected.contains(&Chosen::Mark(mark.id));
        let kind = shape as usize * 4 + usize::from(about) * 2 + usize::from(chosen);
        let place = (x / merged).floor() as i32;
        if let Some((there, number)) = last[kind]
            && there == place
            && let Some(sign) = signs.get_mut(number)
        {
            sign.count += 1;
            continue;
        }
        last[kind] = Some((place, signs.len()));
        signs.push(Sign {
            id: mark.id,
            rect: Rect::from_center_size(pos2(x, bed.center().y), egui::Vec2::splat(SIGN)),
            shape,
            about,
            chosen,
            count: 1,
        });
    }
    signs
}
