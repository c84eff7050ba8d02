//! Where faults happened.

use reinback_analysis::place::{Arena, Letter};

use super::Say;
use crate::report::whole::Places;

impl Say {
    /// "20 × 60 m, 8 rides".
    #[must_use]
    pub fn arena(&self, arena: Arena) -> String {
        match arena {
            Arena::Standard => self.plain("arena-standard"),
            Arena::Small => self.plain("arena-small"),
        }
    }

    /// A place by its metres from the short side with A and from the long side with K, or from
    /// where to where.
    #[must_use]
    pub fn place(&self, along: String, across: String) -> String {
        self.text(
            "place-at",
            &[("along", along.into()), ("across", across.into())],
        )
    }

    /// How often at a letter: "B: 4 times".
    #[must_use]
    pub fn at_letter(&self, letter: Letter, times: u32) -> String {
        self.text(
            "place-letter",
            &[
                ("letter", letter.to_string().into()),
                ("times", times.into()),
            ],
        )
    }

    /// The places of one arena; one sentence an entry.
    #[must_use]
    pub fn places(&self, places: &Places) -> Vec<String> {
        let with_place: u32 = places.found.by_letter.iter().map(|(_, times)| *times).sum();
        let mut said = vec![
            self.text(
                "place-count",
                &[
                    (
                        "arena",
                        places
                            .given
                            .map_or_else(|| self.plain("arena-not-given"), |own| self.arena(own))
                            .into(),
                    ),
                    ("rides", self.rides(places.rides).into()),
                    ("placed", with_place.into()),
                ],
            ),
        ];
        if places.found.unplaced > 0 {
            said.push(self.text(
                "place-unplaced",
                &[("faults", places.found.unplaced.into())],
            ));
        }
        if places.found.outside > 0 {
            said.push(self.text("place-outside", &[("faults", places.found.outside.into())]));
        }
        said
    }
}
