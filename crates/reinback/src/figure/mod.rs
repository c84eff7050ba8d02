//! A picture of numbers, described once: the window plots it, reports and exports draw the same as
//! SVG, and its table holds every number that it shows.
//!
//! - [`table`]: the twin of a figure in rows and columns
//! - [`scale`]: what is written along an axis
//! - `ink`: its colours; `layout`: where its parts stand; `clip`: what of them is in sight; `parts`: what is drawn, in strokes and
//!   areas, the same in the window and in a file
//! - [`pick`]: what is pointed at
//! - [`mod@svg`], [`mod@png`]: the figure as a file
//!
//! **Invariant:** pure; a figure knows no window, file or language. What it says has been said by
//! whoever made it.
//!
//! **Invariant:** whatever a figure shows, its table has as a number too.

mod clip;
mod ink;
pub(crate) mod layout;
pub(crate) mod parts;
pub mod pick;
pub mod png;
pub mod scale;
pub mod svg;
pub mod table;
#[cfg(test)]
mod tests;

use std::collections::BTreeSet;

pub use pick::Pick;
pub use scale::{AxisMark, Scale};
pub use svg::{Sheet, svg};
pub use table::{Align, Column, Table};

/// A picture of numbers and the same numbers as a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What is shown, in a few words; heads an export and names its file.
    pub title: String,
    /// One or two sentences for those who do not see it.
    pub spoken: String,
    /// From left to right.
    pub x: Axis,
    /// From bottom to top.
    pub y: Axis,
    /// Whether one unit is as long either way, as in a plan.
    pub to_scale: bool,
    /// What is drawn, the undermost first.
    pub layers: Vec<Layer>,
    /// The same as numbers.
    pub table: Table,
}

/// One direction of a figure.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Axis {
    /// What is measured and in which unit; empty where the marks say it.
    pub title: String,
    /// Where it begins.
    pub from: f64,
    /// Where it ends; greater than `from`.
    pub to: f64,
    /// What is written along it.
    pub scale: Scale,
    /// Whether a hairline crosses the figure at each mark.
    pub grid: bool,
}

/// Things of one kind, told apart from other layers by colour and by shape.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// In the legend, where it can be switched off; empty for what belongs to the layer before
    /// it and goes with that.
    pub name: String,
    /// Its colour.
    pub ink: Ink,
    /// What is drawn.
    pub shape: Shape,
}

/// A colour by what it stands for; the palette in use gives it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// Words and whatever is measured.
    Ink,
    /// Less important than that.
    Soft,
    /// Hardly there: outlines, edges.
    Hairline,
    /// Fitted, or picked out.
    Leather,
    /// Faults.
    Fault,
    /// What went well.
    Good,
    /// What asks for care.
    Caution,
    /// A pace, by its place among the paces.
    Pace(usize),
    /// A kind that is none of these, by its place among them.
    Kind(usize),
}

/// What a layer draws, in the units of the axes.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// One sign a value.
    Dots(Vec<Dot>),
    /// Upright lines with ends, such as the range of a value.
    Ranges(Vec<Range>),
    /// The same lying down.
    Spans(Vec<Span>),
    /// The area between two curves.
    Band(Vec<Range>),
    /// One curve through these points.
    Line {
        /// From the first to the last.
        points: Vec<[f64; 2]>,
        /// In points of the screen.
        width: f32,
        /// Broken, to be told from another without colour.
        dashed: bool,
    },
    /// Filled boxes: bars, stacks of them, cells of a plan.
    Boxes(Vec<Filled>),
    /// Upright lines over the whole height with a word, such as a competition.
    Events(Vec<Event>),
    /// Words at a place or beside it.
    Words(Vec<Word>),
}

/// One value.
#[derive(Clone, Debug, PartialEq)]
pub struct Dot {
    /// Where.
    pub at: [f64; 2],
    /// In points of the screen.
    pub radius: f32,
    /// Its outline.
    pub sign: Sign,
    /// Filled, or only an outline.
    pub filled: bool,
    /// What it says when it is pointed at.
    pub said: String,
}

/// The outline of a dot.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sign {
    /// ●
    #[default]
    Circle,
    /// ■
    Square,
    /// ◆
    Diamond,
    /// ▲
    Up,
    /// ▼
    Down,
    /// ×
    Cross,
    /// +
    Plus,
}

/// A stretch upwards at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Where.
    pub x: f64,
    /// From here.
    pub low: f64,
    /// To here.
    pub high: f64,
}

/// A stretch to the right at one height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Where.
    pub y: f64,
    /// From here.
    pub low: f64,
    /// To here.
    pub high: f64,
}

/// A filled box.
#[derive(Clone, Debug, PartialEq)]
pub struct Filled {
    /// Left and right edge.
    pub x: [f64; 2],
    /// Lower and upper edge.
    pub y: [f64; 2],
    /// How strongly it is filled, 0 to 1.
    pub strength: f32,
    /// What is written in its corner, where that has room.
    pub written: String,
    /// What it says when it is pointed at.
    pub said: String,
}

/// Words at a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Word {
    /// Where.
    pub at: [f64; 2],
    /// How they stand there.
    pub anchor: Anchor,
    /// What.
    pub text: String,
}

/// How words stand at their place. At either end of them a little room is left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// They begin there.
    Start,
    /// Their middle is there.
    Middle,
    /// They end there.
    End,
}

/// Something that happened at one place of the x axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// Where.
    pub x: f64,
    /// A word or two.
    pub name: String,
    /// What it says when it is pointed at.
    pub said: String,
}

impl Figure {
    /// The layers that have a name, each with its place among all.
    pub fn legend(&self) -> impl Iterator<Item = (usize, &Layer)> {
        let layers = self.layers.iter().enumerate();
        layers.filter(|(_, layer)| !layer.name.is_empty())
    }

    /// The named layer that a layer goes with: itself, or the one before it; none for what stands
    /// before all names.
    #[must_use]
    pub fn named(&self, layer: usize) -> Option<usize> {
        let before = self.legend().map(|(at, _)| at);
        before.take_while(|at| *at <= layer).last()
    }

    /// The layers that are drawn while these named ones are switched off.
    pub fn shown<'a>(
        &'a self,
        off: &'a BTreeSet<usize>,
    ) -> impl Iterator<Item = (usize, &'a Layer)> {
        let layers = self.layers.iter().enumerate();
        layers.filter(|(at, _)| self.named(*at).is_none_or(|named| !off.contains(&named)))
    }

    /// The same without the layers that are switched off; its table stays whole.
    #[must_use]
    pub fn without(&self, off: &BTreeSet<usize>) -> Self {
        Self {
            layers: self.shown(off).map(|(_, layer)| layer.clone()).collect(),
            ..self.clone()
        }
    }
}
