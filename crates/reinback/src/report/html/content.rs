//! What a page is about, counted and looked up, before any of it is markup.

use std::borrow::Cow;
use std::collections::BTreeSet;

use reinback_analysis::Method;
use reinback_yard::{HorseId, Problem, Severity, WordId, Yard};

use super::Wish;
use super::behind::{Behind, behind};
use crate::report::books::Books;
use crate::report::figures::{Happened, TempoAbout, happened};
use crate::report::horses::{HorseRow, Seen, Stable};
use crate::report::numbers::{Compared, Line, Numbers, Whose};
use crate::report::parquet::Naming;
use crate::report::period::{Asked, Instead, settled};
use crate::report::shown::Yardstick;
use crate::report::whole::{Kept, Whole, whole};
use crate::said::{Earlier, Say};
use crate::services::Progress;

/// Everything on the page but its pictures of films.
pub(super) struct Content<'a> {
    pub(super) yard: &'a Yard,
    pub(super) wish: &'a Wish,
    pub(super) say: &'a Say,
    /// What is wrong with the yard's files, notes left out.
    pub(super) problems: Vec<&'a Problem>,
    pub(super) horses: Vec<HorseContent>,
}

/// One horse on the page, or all of them as one.
pub(super) struct HorseContent {
    pub(super) whose: Whose,
    /// Its days, and those it is compared with.
    pub(super) asked: Asked,
    /// Why these are not those asked for.
    pub(super) instead: Option<Instead>,
    pub(super) numbers: Numbers,
    /// What stands in the table of several horses; of one horse only.
    pub(super) row: Option<HorseRow>,
    /// Everything but the exercises; of one horse only.
    pub(super) whole: Option<Whole>,
    /// Competitions and notes of those days.
    pub(super) happened: Vec<Happened>,
    /// What stands behind each line, in the order of the lines.
    pub(super) behind: Vec<Behind>,
}

impl<'a> Content<'a> {
    /// Counts what is asked for; nothing where it was told to stop.
    pub(super) fn count(
        yard: &'a Yard,
        wish: &'a Wish,
        problems: &'a [Problem],
        say: &'a Say,
        progress: Progress<'_>,
    ) -> Option<Self> {
        let (mut books, mut kept) = (Books::default(), Kept::default());
        let (stable, mut seen) = (Stable::new(yard), Seen::default());
        let mut horses = Vec::new();
        let each: Vec<Whose> = if wish.together {
            vec![Whose::All]
        } else {
            wish.horses.iter().copied().map(Whose::One).collect()
        };
        for (at, whose) in each.iter().copied().enumerate() {
            // Decoding the stills is the other half. Of a horse the numbers are one half, and what
            // stands behind them the other.
            let done = |own: f32| 0.5 * (at as f32 + own) / each.len() as f32;
            if progress(done(0.0)).is_break() {
                return None;
            }
            // Each horse by itself, as on its own page; all as one in the same days.
            let own = whose
                .horse()
                .map(|horse| stable.own(horse, (wish.asked, wish.reins), wish.today));
            let (asked, instead) = match &own {
                Some(own) => (own.days, own.instead),
                None => settled(yard, &wish.horses, wish.asked, wish.today),
            };
            let question = asked.question(whose, wish.reins);
            let numbers = books.answer(yard, &question);
            let mut on = |own: f32| progress(done(0.5 + 0.5 * own));
            horses.push(HorseContent {
                whose,
                behind: behind(yard, &question, (&numbers.lines, &wish.chosen), &mut on)?,
                whole: whose
                    .horse()
                    .map(|horse| whole(yard, horse, asked.days, wish.today, &mut kept)),
                row: own
                    .as_ref()
                    .map(|own| stable.row(own, &numbers, wish.today, &mut seen)),
                numbers,
                // What happened is told in people's own words.
                happened: match wish.naming {
                    Naming::Named => happened(yard, &question),
                    Naming::WithoutNames => Vec::new(),
                },
                asked,
                instead,
            });
        }
        let serious = problems.iter();
        Some(Self {
            yard,
            wish,
            say,
            problems: serious
                .filter(|problem| problem.severity > Severity::Note)
                .collect(),
            horses,
        })
    }

    /// The days of the page: those of the only one on it, else those asked for.
    pub(super) fn asked(&self) -> Asked {
        match self.horses.as_slice() {
            [only] => only.asked,
            _ => self.wish.asked,
        }
    }

    /// Why some of it, or all, is of other days than asked for.
    pub(super) fn instead(&self) -> Option<String> {
        match self.horses.as_slice() {
            [only] => only.instead.as_ref().map(|why| self.say.instead(why)),
            several => {
                let rows = several.iter().filter_map(|own| own.row.as_ref());
                self.say.horses_instead(rows)
            }
        }
    }

    /// What a horse, or all of them, is called on the page.
    pub(super) fn name_of(&self, whose: Whose) -> String {
        match whose {
            Whose::One(horse) => self.horse_name(horse),
            Whose::All => self.say.plain("horse-all"),
        }
    }

    /// What a horse is called on the page.
    pub(super) fn horse_name(&self, id: HorseId) -> String {
        match (self.wish.naming, self.yard.horse(id)) {
            (Naming::Named, Some(horse)) => horse.name.clone(),
            (Naming::Named, None) => self.say.plain("horse-unnamed"),
            (Naming::WithoutNames, _) => id.to_string(),
        }
    }

    /// The tempo about an exercise, with what its horses are called on the page.
    pub(super) fn tempo_without_names<'t>(&self, found: &'t TempoAbout) -> Cow<'t, TempoAbout> {
        if self.names() || found.events.iter().all(|event| event.kind.horse.is_none()) {
            return Cow::Borrowed(found);
        }
        let mut found = found.clone();
        for event in &mut found.events {
            let ride = self.yard.ride(event.ride);
            event.kind.horse = ride.map(|ride| self.horse_name(ride.head.horse));
        }
        Cow::Owned(found)
    }

    /// What the yard is called; nothing without names.
    pub(super) fn yard_name(&self) -> Option<&str> {
        let name = Some(self.yard.name.as_str());
        name.filter(|name| self.names() && !name.is_empty())
    }

    /// Whether people, horses and their free text are on the page.
    pub(super) fn names(&self) -> bool {
        self.wish.naming == Naming::Named
    }

    /// The name of an exercise in the language of the page.
    pub(super) fn exercise(&self, word: &WordId) -> String {
        let name = self.yard.words.exercise_name(word);
        self.say.exercise(&name).into_owned()
    }
}

impl HorseContent {
    /// What the lines are held against.
    pub(super) fn yardstick(&self, content: &Content<'_>) -> Yardstick {
        content.wish.shown.yardstick(self.earlier())
    }

    /// The lines with what stands behind them, in the order asked for.
    pub(super) fn in_order(&self, content: &Content<'_>) -> Vec<(&Line, &Behind)> {
        let lines = &self.numbers.lines;
        let places = content.wish.shown.order.places(lines, content.say);
        let both = places.into_iter();
        both.filter_map(|at| Some((lines.get(at)?, self.behind.get(at)?)))
            .collect()
    }

    /// Which days a line is compared with; nothing where nobody rode in them.
    pub(super) fn earlier(&self) -> Option<Earlier> {
        let earlier = self.asked.earlier();
        earlier.filter(|_| self.numbers.rides_against > 0)
    }

    /// The comparison of a line, if there is one to show.
    pub(super) fn compared<'l>(&self, line: &'l Line) -> Option<(&'l Compared, Earlier)> {
        Some((line.compared.as_ref()?, self.earlier()?))
    }

    /// Every method that a range on the page was found by.
    pub(super) fn methods(&self) -> BTreeSet<Method> {
        self.numbers.lines.iter().flat_map(methods).collect()
    }
}

fn methods(line: &Line) -> Vec<Method> {
    let figures = &line.figures;
    let cells = [
        &figures.all,
        &figures.left,
        &figures.right,
        &figures.unsided,
    ];
    let variants = line.variants.iter().map(|variant| &variant.cell);
    let mut found = vec![line.priority.shrunken.method];
    for cell in cells.into_iter().chain(variants) {
        found.extend(cell.rate.range.ok().map(|range| range.method));
        found.extend(cell.per_minute.range.ok().map(|range| range.method));
    }
    let compared = line.compared.as_ref();
    let differences = compared
        .into_iter()
        .flat_map(|compared| [compared.rate.difference, compared.per_minute])
        .chain(line.reins.map(|reins| reins.difference));
    found.extend(differences.filter_map(|range| Some(range.ok()?.method)));
    let trend = figures.trend.state.ok();
    found.extend(trend.map(|trend| trend.odds_per_month().method));
    found
}
