//! A page as the command line asks for it.

use std::ops::ControlFlow;
use std::path::Path;

use chrono::NaiveDate;
use reinback_yard::{Problem, Yard};

use super::{MOST_STILLS, Place, STILLS, Wish, page};
use crate::report::numbers::Days;
use crate::report::period::{self, Choice, Span};
use crate::said::{Earlier, Language, Say};
use crate::services::{Services as _, System};

/// What can be asked of a page alone.
#[derive(Debug, Default, clap::Args)]
pub struct Asked {
    /// The language of an html page, en or de; the system's without it.
    #[arg(long, value_name = "CODE")]
    pub language: Option<String>,
    /// How many stills of the film moments an html page has at most, up to 60; 6 without it.
    #[arg(long, value_name = "COUNT", conflicts_with = "without_stills")]
    pub stills: Option<usize>,
    /// No stills in an html page.
    #[arg(long)]
    pub without_stills: bool,
}

impl Asked {
    /// Whether anything is.
    pub(in crate::report) fn is_asked(&self) -> bool {
        self.language.is_some() || self.stills.is_some() || self.without_stills
    }

    /// How many stills there are at most.
    pub(in crate::report) fn stills(&self) -> usize {
        if self.without_stills {
            0
        } else {
            self.stills.unwrap_or(STILLS)
        }
    }

    fn language(&self) -> Result<Language, String> {
        let Some(asked) = self.language.as_deref() else {
            return Ok(System
                .locale()
                .map_or_else(Language::default, |locale| Language::of_locale(&locale)));
        };
        let known = Language::ALL.into_iter();
        let mut known = known.filter(|known| known.code().eq_ignore_ascii_case(asked.trim()));
        known.next().ok_or_else(|| {
            let codes = Language::ALL.map(Language::code).join(", ");
            format!("no page is made in “{asked}”; the languages are {codes}")
        })
    }
}

/// The days of a page: those the room shows at first, or days that were named against others, or
/// against as many right before.
pub(in crate::report) fn days(
    days: Days,
    against: Option<Days>,
    today: NaiveDate,
) -> period::Asked {
    if let Some(others) = against {
        return period::Asked {
            against: Some((others, Earlier::Others(others))),
            ..days.into()
        };
    }
    let mut choice = Choice::default();
    if days != Days::default() {
        let typed = |day: Option<NaiveDate>| day.map_or_else(String::new, |day| day.to_string());
        choice.typed = [typed(days.from), typed(days.to)];
        (choice.span, choice.by_hand) = (Span::Typed, true);
    }
    // Days that were days already can be read.
    choice.asked(today).unwrap_or_else(|_| days.into())
}

/// What is printed: the page, or where it lies now.
///
/// # Errors
/// A clause for whoever asked; nothing has been written then.
pub(in crate::report) fn answer(
    yard: &Yard,
    folder: &Path,
    wish: &Wish,
    problems: &[Problem],
    (asked, into): (&Asked, Option<&Path>),
) -> Result<Vec<u8>, String> {
    if wish.stills > MOST_STILLS {
        return Err(format!(
            "a page has at most {MOST_STILLS} stills; ask for fewer than {}",
            wish.stills
        ));
    }
    let say = Say::new(asked.language()?);
    // Before anything is made: making a page takes a while.
    let judged = into.map(|into| Place::judge(folder, into)).transpose();
    let place = judged.map_err(|why| why.to_string())?;
    let mut on = |_done: f32| ControlFlow::Continue(());
    // Nobody can tell it to stop.
    let page = page(yard, folder, wish, problems, &say, &mut on).unwrap_or_default();
    let Some(place) = place else {
        return Ok(page.into_bytes());
    };
    place.write(&page).map_err(|why| why.to_string())?;
    Ok(format!("{}\n", place.asked().display()).into_bytes())
}
