//! A picture of numbers, described once: the window plots it, reports and exports draw the same as
//! SVG, and its table holds every number that it shows.
//!
//! - [`table`]: the twin of a figure in rows and columns
//!
//! **Invariant:** pure; a figure knows no window, file or language. What it says has been said by
//! whoever made it.
//!
//! **Invariant:** whatever a figure shows, its table has as a number too.

pub mod table;

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
    /// Where something is written, in rising order. Without any the axis is not drawn.
    pub marks: Vec<AxisMark>,
    /// Whether a hairline crosses the figure at each mark.
    pub grid: bool,
}

/// Something written along an axis.
#[derive(Clone, Debug, PartialEq)]
pub struct AxisMark {
    /// Where.
    pub at: f64,
    /// What.
    pub text: String,
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
    /// Words at a place, in the middle of it.
    Words(Vec<(f64, f64, String)>),
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

/// A filled box.
#[derive(Clone, Debug, PartialEq)]
pub struct Filled {
    /// Left and right edge.
    pub x: [f64; 2],
    /// Lower and upper edge.
    pub y: [f64; 2],
    /// How strongly it is filled, 0 to 1.
    pub strength: f32,
    /// What it says when it is pointed at.
    pub said: String,
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
