//! The numbers of an exercise as figures, for the Progress room and the report.
//!
//! - [`about`]: the tempo before, in and after it
//! - [`mod@across`]: ride by ride, with the trend and what happened on those days
//! - [`bars`]: counts and rates side by side
//! - [`beats`]: a series of changes; [`plan`]: faults on the plan of the arena
//! - `axes`: days, amounts and shares along an axis
//!
//! **Invariant:** pure; made once for an answer, not in every frame.

pub mod about;
pub mod across;
pub(crate) mod axes;
pub mod bars;
pub mod beats;
pub mod plan;
#[cfg(test)]
mod tests;

use reinback_yard::{Moment, RideId};

use crate::figure::{Figure, Pick};

pub use about::{TempoAbout, ToTap, tempo_about};
pub use across::{Happened, Occasion, across, happened};

/// A ride, and the moment of it to be seen.
pub type Lead = (RideId, Option<Moment>);

/// A figure whose parts lead to rides.
#[derive(Clone, Debug, PartialEq)]
pub struct Leading {
    /// The figure.
    pub figure: Figure,
    /// For each layer, and each thing it draws: where it leads; nowhere for a month of rides.
    /// Layers whose parts lead nowhere may be empty here.
    pub leads: Vec<Vec<Option<Lead>>>,
    /// The same for the rows of its table.
    pub rows: Vec<Option<Lead>>,
}

impl Leading {
    /// Where a mark leads.
    #[must_use]
    pub fn of_mark(&self, pick: Pick) -> Option<Lead> {
        let layer = self.leads.get(pick.layer)?;
        layer.get(pick.item).copied().flatten()
    }

    /// Where a row of the table leads.
    #[must_use]
    pub fn of_row(&self, row: usize) -> Option<Lead> {
        self.rows.get(row).copied().flatten()
    }
}
