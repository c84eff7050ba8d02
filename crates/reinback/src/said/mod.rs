//! Everything the program says about numbers, in the rider's language: the one place where
//! estimates become sentences.
//!
//! - [`language`]: the languages there are, and their files in `assets/lang`
//! - `numbers`: numbers, shares, days and lengths as they are written in a language
//! - `rate`, `compare`, `trend`, `after`, `reasons`, `method`: the sentences about attempts, one
//!   subject a file
//! - `outline`, `series`, `tempo`, `load`, `places`, `look`: those about the whole horse
//! - `horses`: all horses at a glance
//! - `moments`: moments of a film
//! - `trade`: the trade's own words for exercises, faults and outlines
//!
//! The text itself is in `assets/lang/<language>/*.ftl` (Project Fluent), so that another language
//! is another folder and its line in `language`. `docs/languages.md` says how, and where the
//! trade's terms come from.
//!
//! # A sentence for another measure
//!
//! 1. Put the messages into `assets/lang/en/measures.ftl` and `assets/lang/de/measures.ftl`; a new
//!    file is named in `language::files` of each language.
//! 2. Write a file beside `said/outline.rs` with an `impl Say` that takes the estimate and chooses the message:
//!    `self.text("outline-share", &[("share", self.share(found.value).into())])`, or
//!    `self.plain("outline-none")` where nothing is filled in. Counts go in as numbers (then
//!    plurals work), everything else as text made by [`Say::share`], [`Say::decimal`],
//!    [`Say::day`], [`Say::length`].
//! 3. Write the id and the names of what is filled in right there as literals. A test reads them
//!    from the source and compares them with every language: a message that is missing, unused,
//!    or filled in with other names fails it.
//! 4. Add its cases, in both languages and written by hand, to `said/golden.rs` or
//!    `said/golden_measures.rs`.
//!
//! **Invariant:** a sentence names its denominator, and where there is too little behind a number
//! it says so instead.

mod after;
#[cfg(test)]
pub(crate) mod catalog;
mod compare;
mod faults;
mod first;
#[cfg(test)]
mod golden;
#[cfg(test)]
mod golden_measures;
mod horses;
pub mod language;
mod lines;
mod load;
mod look;
mod method;
mod moments;
mod numbers;
mod outline;
mod period;
mod places;
mod rate;
mod reasons;
mod series;
mod tempo;
mod trade;
mod trend;

use std::fmt;
use std::sync::Arc;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};

pub use compare::Earlier;
pub use language::Language;
pub use trade::Kind;

/// What is filled into a message: a count or a text.
pub type Value<'a> = FluentValue<'a>;

/// Says things in one language. Cheap to clone, and the same on every thread.
#[derive(Clone)]
pub struct Say {
    language: Language,
    messages: Arc<FluentBundle<FluentResource>>,
    /// The trade's words as a new yard has them, by which a yard's word is known again.
    defaults: Arc<FluentBundle<FluentResource>>,
}

impl fmt::Debug for Say {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Say").field(&self.language).finish()
    }
}

impl Say {
    /// Reads the messages of a language.
    #[must_use]
    pub fn new(language: Language) -> Self {
        Self {
            language,
            messages: Arc::new(bundle(language, language.files())),
            defaults: Arc::new(bundle(Language::English, &[language::TRADE_OF_A_NEW_YARD])),
        }
    }

    /// The language.
    #[must_use]
    pub fn language(&self) -> Language {
        self.language
    }

    /// A message with what is filled in.
    #[must_use]
    pub fn text(&self, id: &str, filled: &[(&str, Value<'_>)]) -> String {
        let mut args = FluentArgs::with_capacity(filled.len());
        for (name, value) in filled {
            args.set(*name, value.clone());
        }
        format(&self.messages, id, &args).unwrap_or_else(|why| {
            // Tests compare every id with every language, so this is a file that was not built.
            log::error!("{why}");
            id.to_owned()
        })
    }

    /// A message with nothing filled in.
    #[must_use]
    pub fn plain(&self, id: &str) -> String {
        self.text(id, &[])
    }
}

fn bundle(language: Language, files: &[&str]) -> FluentBundle<FluentResource> {
    let mut bundle = FluentBundle::new_concurrent(vec![language.identifier()]);
    // The marks would be drawn as boxes, and every language here runs from left to right.
    bundle.set_use_isolating(false);
    bundle.set_formatter(Some(|value, _| match value {
        FluentValue::Number(number) => Some(numbers::grouped(number.value)),
        _ => None,
    }));
    for file in files {
        let resource = FluentResource::try_new((*file).to_owned()).unwrap_or_else(|(rest, why)| {
            log::error!("a file of {language:?} cannot be read: {why:?}");
            rest
        });
        if let Err(why) = bundle.add_resource(resource) {
            log::error!("a message of {language:?} is there twice: {why:?}");
        }
    }
    bundle
}

/// The message, or what is wrong with it.
fn format(
    bundle: &FluentBundle<FluentResource>,
    id: &str,
    args: &FluentArgs<'_>,
) -> Result<String, String> {
    let pattern = bundle
        .get_message(id)
        .and_then(|message| message.value())
        .ok_or_else(|| format!("there is no message “{id}”"))?;
    let mut wrong = Vec::new();
    let text = bundle.format_pattern(pattern, Some(args), &mut wrong);
    if wrong.is_empty() {
        Ok(text.into_owned())
    } else {
        Err(format!("“{id}” cannot be said: {wrong:?}"))
    }
}
