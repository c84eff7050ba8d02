//! The words a new yard starts with.
//!
//! The faults are the trade's short terms. Those that rules and published glossaries name
//! (FEI Dressage Rules on the paces, lateral movements, changes, pirouettes, piaffe and passage;
//! the USDF glossary of judging terms) stand beside common judges' language without one source.
//! None carries a deduction: those belong to a rule set and its year.
//!
//! Every short form has two letters, so none is the beginning of another and the second letter
//! always starts the bout.

use super::{Exercise, Fault, Word, WordId, Words};
use crate::model::Pace;

mod changes;
mod collected;
mod figures;
mod lateral;
mod paces;
mod transitions;

/// One exercise. Ids are made from the names.
#[derive(Clone, Copy, Debug)]
struct Row {
    short: &'static str,
    name: &'static str,
    pace: Option<Pace>,
    sided: bool,
    series: bool,
    every: Option<u16>,
    variants: &'static [&'static str],
    /// The most usual first: the first nine are on the keys 1 to 9.
    faults: &'static [&'static str],
}

impl Row {
    const fn new(short: &'static str, name: &'static str, faults: &'static [&'static str]) -> Self {
        Self {
            short,
            name,
            pace: None,
            sided: false,
            series: false,
            every: None,
            variants: &[],
            faults,
        }
    }

    const fn pace(self, pace: Pace) -> Self {
        Self {
            pace: Some(pace),
            ..self
        }
    }

    const fn sided(self) -> Self {
        Self {
            sided: true,
            ..self
        }
    }

    const fn series(self) -> Self {
        Self {
            series: true,
            ..self
        }
    }

    /// A series that is asked every so many strides.
    const fn every(self, strides: u16) -> Self {
        Self {
            every: Some(strides),
            ..self.series()
        }
    }

    const fn variants(self, variants: &'static [&'static str]) -> Self {
        Self { variants, ..self }
    }

    fn exercise(self, family: &str) -> Exercise {
        Exercise {
            id: id_of(self.name),
            name: self.name.to_owned(),
            short: self.short.to_owned(),
            family: family.to_owned(),
            pace: self.pace,
            sided: self.sided,
            series: self.series,
            every: self.every,
            variants: self.variants.iter().map(|name| word(name)).collect(),
            faults: self.faults.iter().map(|name| fault(name)).collect(),
        }
    }
}

const FAMILIES: [(&str, &[Row]); 7] = [
    ("Paces", paces::ROWS),
    ("Figures", figures::ROWS),
    ("Lateral work", lateral::ROWS),
    ("Changes", changes::ROWS),
    ("Pirouettes, piaffe and passage", collected::ROWS),
    ("Transitions", transitions::ROWS),
    ("Halt and rest", transitions::HALT_ROWS),
];

const GENERAL: &[&str] = &[
    "tempo ran",
    "tempo dropped",
    "contact unsteady",
    "not straight",
    "not attentive",
    "answer to the leg late",
    "tense",
    "against the hand",
    "on the forehand",
    "behind the bit",
    "above the bit",
    "head tilted",
    "mouth open",
    "out behind",
    "stuck",
];

const OUTLINES: &[&str] = &[
    "stretched",
    "long and low",
    "deep and round",
    "working",
    "competition",
    "nose forward",
];

pub(super) fn words() -> Words {
    let family = |(family, rows): &(&'static str, &'static [Row])| {
        let family = *family;
        rows.iter().map(move |row| row.exercise(family))
    };
    Words {
        exercises: FAMILIES.iter().flat_map(family).collect(),
        general_faults: GENERAL.iter().map(|name| fault(name)).collect(),
        outlines: OUTLINES.iter().map(|name| word(name)).collect(),
    }
}

fn word(name: &str) -> Word {
    Word {
        id: id_of(name),
        name: name.to_owned(),
    }
}

fn fault(name: &str) -> Fault {
    Fault {
        id: id_of(name),
        name: name.to_owned(),
    }
}

/// "late behind" is `late-behind`. A test reads every one of them back.
fn id_of(name: &str) -> WordId {
    WordId(name.to_lowercase().replace(' ', "-").into())
}
