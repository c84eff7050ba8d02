//! Which rows the list of rides has, and where: worked out anew only when something has changed,
//! since a large yard has tens of thousands.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use chrono::{Datelike as _, NaiveDate};
use reinback_yard::{HorseId, Ride, RideId, RideName};

use super::YardData;
use super::reading::Reading;

/// Height of a ride's row, without the gap below it.
pub(super) const ROW: f32 = 84.0;
/// Height of a month's heading, without the gap below it.
pub(super) const MONTH: f32 = 34.0;
/// Below every row.
pub(super) const GAP: f32 = 6.0;

/// One row of the list.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Row {
    /// The month of those below, where it is known.
    Month(Option<NaiveDate>),
    /// A ride.
    Ride(RideId),
    /// A ride that has not been read yet.
    Unread(RideName),
}

impl Row {
    /// Stays the same while the list scrolls, so that the keyboard's focus does.
    /// What it is called among the rows; `at` is its place, for rows of which two may be alike.
    pub(super) fn name(&self, at: usize) -> String {
        match self {
            Self::Month(Some(day)) => day.format("%Y-%m").to_string(),
            Self::Month(None) => "no day".to_owned(),
            Self::Ride(ride) => ride.to_string(),
            Self::Unread(_) => format!("unread {at}"),
        }
    }

    pub(super) fn height(&self) -> f32 {
        match self {
            Self::Month(_) => MONTH + GAP,
            Self::Ride(_) | Self::Unread(_) => ROW + GAP,
        }
    }
}

/// The rows of the list, and where each begins; after the last one, where the list ends.
#[derive(Debug, Default)]
pub(super) struct Rows {
    pub(super) rows: Vec<Row>,
    pub(super) tops: Vec<f32>,
}

/// What the rows were worked out from.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Key {
    revision: u64,
    horse: Option<HorseId>,
    search: String,
}

/// What is worked out of all rides, kept until they change.
#[derive(Debug, Default)]
pub(super) struct Sums {
    rows: Option<(Key, std::rc::Rc<Rows>)>,
    ridden: Option<(u64, BTreeMap<HorseId, Ridden>)>,
}

/// How often a horse was ridden, and when last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Ridden {
    pub(super) rides: usize,
    pub(super) last: NaiveDate,
}

impl Sums {
    /// The rows for a horse, or all, and the words looked for.
    pub(super) fn rows(
        &mut self,
        horse: Option<HorseId>,
        search: &str,
        data: &YardData<'_>,
    ) -> std::rc::Rc<Rows> {
        let key = Key {
            revision: data.revision,
            horse,
            search: search.trim().to_lowercase(),
        };
        match &self.rows {
            Some((own, rows)) if *own == key => rows.clone(),
            _ => {
                let rows = std::rc::Rc::new(Rows::of(&key, data));
                self.rows = Some((key, rows.clone()));
                rows
            }
        }
    }

    /// How often a horse was ridden; `None` if never.
    pub(super) fn ridden(&mut self, horse: HorseId, data: &YardData<'_>) -> Option<Ridden> {
        let fresh = |(revision, _): &(u64, _)| *revision == data.revision;
        if !self.ridden.as_ref().is_some_and(fresh) {
            self.ridden = Some((data.revision, ridden(data)));
        }
        self.ridden.as_ref()?.1.get(&horse).copied()
    }
}

fn ridden(data: &YardData<'_>) -> BTreeMap<HorseId, Ridden> {
    let mut all: BTreeMap<HorseId, Ridden> = BTreeMap::new();
    for ride in data.yard.rides.values() {
        let last = ride.head.date;
        let own = all
            .entry(ride.head.horse)
            .or_insert(Ridden { rides: 0, last });
        own.rides += 1;
        own.last = own.last.max(last);
    }
    all
}

impl Rows {
    fn of(key: &Key, data: &YardData<'_>) -> Self {
        let name = |horse: HorseId| data.yard.horse(horse).map_or("", |horse| &horse.name);
        let fits = |text: &str| key.search.is_empty() || text.to_lowercase().contains(&key.search);
        let of_horse = |horse: Option<HorseId>| key.horse.is_none() || key.horse == horse;
        let rides = data.yard.rides.values().filter(|ride| {
            let head = &ride.head;
            of_horse(Some(head.horse)) && (key.search.is_empty() || fits(&told(ride, name)))
        });
        let mut found: Vec<_> = rides
            .map(|ride| {
                let head = &ride.head;
                let place = (Some(head.date), head.time, Some(ride.id));
                (Reverse(place), Row::Ride(ride.id))
            })
            .collect();
        let unread = data.reading.into_iter().flat_map(Reading::unread);
        found.extend(
            unread
                .filter(|unread| of_horse(unread.horse))
                .filter_map(|unread| {
                    let horse = unread.horse.map_or("", name);
                    let text = format!("{horse} {}", unread.date.map_or_else(String::new, day));
                    let place = (unread.date, None, unread.ride);
                    fits(&text).then_some((Reverse(place), Row::Unread(*unread)))
                }),
        );
        found.sort_by_key(|(place, _)| *place);
        let days = found
            .into_iter()
            .map(|(Reverse((day, ..)), row)| (day, row));
        Self::by_month(days)
    }

    fn by_month(days: impl Iterator<Item = (Option<NaiveDate>, Row)>) -> Self {
        let mut rows = Vec::new();
        let mut month = None;
        for (day, row) in days {
            let own = day.map(|day| (day.year(), day.month()));
            if month != Some(own) {
                month = Some(own);
                rows.push(Row::Month(day));
            }
            rows.push(row);
        }
        let mut top = 0.0;
        let mut tops = vec![top];
        tops.extend(rows.iter().map(|row| {
            top += row.height();
            top
        }));
        Self { rows, tops }
    }
}

/// What is looked through.
fn told<'a>(ride: &Ride, name: impl Fn(HorseId) -> &'a str) -> String {
    let head = &ride.head;
    format!(
        "{} {} {} {}",
        name(head.horse),
        head.title,
        head.notes,
        day(head.date)
    )
}

fn day(date: NaiveDate) -> String {
    date.format("%Y-%m-%d %-d %B %Y").to_string()
}

#[cfg(test)]
mod tests;
