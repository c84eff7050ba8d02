//! Who is named in the files, and by what.

use std::borrow::Cow;
use std::collections::BTreeMap;

use reinback_yard::{HorseId, ReviewId, Ride, Yard};

use super::column::Text;

/// Whether names and free text go into the files.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Naming {
    /// As they are.
    Named,
    /// Horses and reviewers by an id, no free text.
    WithoutNames,
}

/// The names of a yard, or what stands for them.
pub(super) struct Names<'a> {
    yard: &'a Yard,
    naming: Naming,
    /// The oldest review under each name: its id stands for whoever bears it.
    first_reviews: BTreeMap<&'a str, ReviewId>,
}

impl<'a> Names<'a> {
    /// `rides` oldest first.
    pub(super) fn new(yard: &'a Yard, rides: &[&'a Ride], naming: Naming) -> Self {
        let mut first_reviews = BTreeMap::new();
        if naming == Naming::WithoutNames {
            let reviews = rides.iter().flat_map(|ride| &ride.head.reviews);
            for review in reviews.filter(|review| !review.reviewer.is_empty()) {
                first_reviews
                    .entry(review.reviewer.as_str())
                    .or_insert(review.id);
            }
        }
        Self {
            yard,
            naming,
            first_reviews,
        }
    }

    /// A horse; `None` where the yard does not know it.
    pub(super) fn horse(&self, id: HorseId) -> Text<'a> {
        let horse = self.yard.horse(id)?;
        Some(match self.naming {
            Naming::Named => Cow::Borrowed(horse.name.as_str()),
            Naming::WithoutNames => Cow::Owned(id.to_string()),
        })
    }

    /// Who made a review; `None` where it has no name, as the owner's may have none.
    pub(super) fn reviewer(&self, ride: &'a Ride, id: ReviewId) -> Text<'a> {
        let review = ride.head.reviews.iter().find(|review| review.id == id)?;
        let name = review.reviewer.as_str();
        match self.naming {
            _ if name.is_empty() => None,
            Naming::Named => Some(Cow::Borrowed(name)),
            Naming::WithoutNames => {
                let first = self.first_reviews.get(name).copied().unwrap_or(id);
                Some(Cow::Owned(first.to_string()))
            }
        }
    }

    /// What people wrote; `None` where they wrote nothing.
    pub(super) fn free<'t>(&self, text: &'t str) -> Text<'t> {
        let shown = self.naming == Naming::Named && !text.is_empty();
        shown.then_some(Cow::Borrowed(text))
    }

    /// The yard, for its horses and words.
    pub(super) fn yard(&self) -> &'a Yard {
        self.yard
    }
}
