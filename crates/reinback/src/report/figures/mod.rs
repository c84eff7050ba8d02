//! The numbers of an exercise as figures, for the Progress room and the report.
//!
//! - [`about`]: the tempo before, in and after it
//! - [`across`]: ride by ride, with the trend and what happened on those days
//! - [`bars`]: counts and rates side by side
//! - [`beats`]: a series of changes; [`plan`]: faults on the plan of the arena
//! - `days`: which days are written along an axis
//!
//! **Invariant:** pure; made once for an answer, not in every frame.

pub mod about;
pub mod across;
pub mod bars;
pub mod beats;
pub(crate) mod days;
pub mod plan;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use reinback_yard::{Moment, RideId};

use crate::figure::{Figure, Pick};

pub use about::{TempoAbout, tempo_about};
pub use across::{Happened, Occasion, across, happened};

/// A ride, and the moment of it to be seen.
pub type Goal = (RideId, Option<Moment>);

/// A figure, and where its marks and the rows of its table lead to.
#[derive(Clone, Debug, PartialEq)]
pub struct Leading {
    /// The figure.
    pub figure: Figure,
    /// By mark.
    pub marks: BTreeMap<Pick, Goal>,
    /// Row by row.
    pub rows: Vec<Option<Goal>>,
}
