//! From film files to a ride, and finding a missing film again.

use std::path::{Path, PathBuf};

use chrono::{DateTime, Local, NaiveDate, NaiveTime};
use reinback_film::{FilmError, FilmInfo};
use reinback_yard::{Edit, Film, FilmId, Horse, HorseId, Moment, Ride, RideId};

use super::{App, Event};
use crate::action::{Action, Room};
use crate::notice::Notice;
use crate::open_yard::OpenYard;

/// What was found in a film file.
pub type ReadFilm = Result<(FilmInfo, String), FilmError>;

/// A ride about to be made, as the rider sees and corrects it.
#[derive(Clone, Debug)]
pub struct RideDraft {
    /// The films in their order, each with what was found in it once it has been read.
    pub films: Vec<(PathBuf, Option<ReadFilm>)>,
    /// An existing horse, or `None` for a new one.
    pub horse: Option<HorseId>,
    /// Name of the new horse.
    pub new_horse: String,
    /// The day as text, so that it can be typed.
    pub date: String,
    /// Whether the rider has typed the day: films no longer change it then.
    pub date_typed: bool,
    /// A few words.
    pub title: String,
}

impl RideDraft {
    /// The day, if the text is one.
    #[must_use]
    pub fn day(&self) -> Option<NaiveDate> {
        NaiveDate::parse_from_str(self.date.trim(), "%Y-%m-%d").ok()
    }

    /// Takes in what was found in a film.
    pub fn film_read(&mut self, path: &Path, read: ReadFilm) {
        if let Some((_, slot)) = self.films.iter_mut().find(|(own, _)| own == path) {
            *slot = Some(read);
        }
        let first = self
            .films
            .iter()
            .find_map(|(_, read)| recorded(read.as_ref()?.as_ref().ok()?));
        if let Some(first) = first.filter(|_| !self.date_typed) {
            self.date = first.date_naive().format("%Y-%m-%d").to_string();
        }
    }

    /// Why the ride cannot be made yet, as a sentence.
    #[must_use]
    pub fn obstacle(&self) -> Option<&'static str> {
        let good = self
            .films
            .iter()
            .any(|(_, read)| matches!(read, Some(Ok(_))));
        if self.films.iter().any(|(_, read)| read.is_none()) {
            Some("Reading the films…")
        } else if !good {
            Some("None of these files can be used as a film")
        } else if self.horse.is_none() && self.new_horse.trim().is_empty() {
            Some("Whose ride is it? Choose the horse or write its name")
        } else if self.day().is_none() {
            Some("The day is written as year-month-day, such as 2026-03-21")
        } else {
            None
        }
    }
}

fn recorded(film: &(FilmInfo, String)) -> Option<DateTime<Local>> {
    DateTime::from_timestamp(film.0.recorded_at?, 0).map(|utc| utc.with_timezone(&Local))
}

/// Places films, given by their recording time in seconds and their length in nanoseconds, one
/// after the other: at the recording time where it is known and does not run back into the film
/// before, else right behind it.
fn place(films: &[(Option<i64>, i64)]) -> Vec<Moment> {
    let first = films.first().and_then(|(recorded, _)| *recorded);
    let mut end = 0_i64;
    let mut offsets = Vec::with_capacity(films.len());
    for (recorded, length) in films {
        let since =
            |(at, first): (i64, i64)| at.saturating_sub(first).saturating_mul(1_000_000_000);
        let by_clock = recorded.zip(first).map(since);
        // Half a day apart is another ride's clock, or a camera with a wrong one.
        let near = by_clock.filter(|at| (end..end.saturating_add(HALF_A_DAY)).contains(at));
        let offset = near.unwrap_or(end);
        end = offset.saturating_add(*length);
        offsets.push(Moment(offset));
    }
    offsets
}

const HALF_A_DAY: i64 = 43_200_000_000_000;

impl App {
    pub(super) fn start_new_ride(&mut self, horse: Option<HorseId>, paths: Vec<PathBuf>) {
        let Some(open) = &self.open else {
            self.tell(Notice::caution(
                "Open or make a yard first, then choose the films of a ride",
            ));
            return;
        };
        if !open.writable() {
            self.tell(Notice::told(
                "This yard is open for reading only; no ride can be added",
            ));
            return;
        }
        let horses = &open.document.yard().horses;
        let last_ridden = || {
            open.document
                .yard()
                .rides_by_date()
                .last()
                .map(|ride| ride.head.horse)
        };
        let horse = horse
            .or_else(last_ridden)
            .or_else(|| horses.first().map(|horse| horse.id));
        let today = self.services.today();
        self.yard_view.draft = Some(RideDraft {
            films: paths.iter().map(|path| (path.clone(), None)).collect(),
            horse,
            new_horse: String::new(),
            date: today.format("%Y-%m-%d").to_string(),
            date_typed: false,
            title: String::new(),
        });
        self.room = Room::Yard;
        let task = self.tasks.start("read films", move |control| {
            for path in paths {
                if control.flow().is_break() {
                    return;
                }
                let print = reinback_film::fingerprint(&path);
                let read =
                    print.and_then(|print| Ok((reinback_film::probe(&path)?, print.to_string())));
                control.send(Event::FilmRead(path, Box::new(read)));
            }
        });
        self.running.push(task);
    }

    pub(super) fn create_ride(&mut self, draft: RideDraft) {
        let Some(date) = draft.day() else { return };
        let Some(open) = &mut self.open else { return };
        let mut edits = Vec::new();
        let horse = draft.horse.unwrap_or_else(|| {
            let id = open.ids.next();
            let name = draft.new_horse.trim().to_owned();
            edits.push(Edit::Horse(
                id,
                Some(Horse {
                    id,
                    name,
                    foaled: None,
                    stage: String::new(),
                    notes: String::new(),
                }),
            ));
            id
        });
        let mut ride = open.blank_ride(horse, date, &self.prefs.reviewer);
        draft.title.trim().clone_into(&mut ride.head.title);
        fill_films(open, &mut ride, draft.films);
        let id = ride.id;
        edits.push(Edit::Ride(id, Some(Box::new(ride))));
        self.apply("new ride", Edit::Batch(edits));
        self.yard_view.draft = None;
        self.actions.push(Action::OpenRide(id, None));
    }

    pub(super) fn look_at_located(&mut self, ride: RideId, film: FilmId, path: PathBuf) {
        let task = self.tasks.start("look at film", move |control| {
            let print = reinback_film::fingerprint(&path)
                .ok()
                .map(|print| print.to_string());
            control.send(Event::FilmLocated(ride, film, path, print));
        });
        self.running.push(task);
    }

    pub(super) fn film_located(
        &mut self,
        ride: RideId,
        film: FilmId,
        path: &Path,
        print: Option<String>,
    ) {
        let Some(open) = &self.open else { return };
        let known = open
            .document
            .yard()
            .ride(ride)
            .and_then(|r| r.films.iter().find(|f| f.id == film))
            .cloned();
        let Some(known) = known else { return };
        let other = known.fingerprint.is_some() && print.is_some() && known.fingerprint != print;
        let text = open.film_text(path);
        let placed = Film {
            path: text,
            fingerprint: print.or(known.fingerprint.clone()),
            ..known
        };
        self.apply("film found again", Edit::Film(ride, film, Some(placed)));
        if other {
            self.tell(
                Notice::caution("This is another film than the one that was marked")
                    .next("The marks stay at their times; undo if it was the wrong file")
                    .offer("Undo", Action::Run(crate::command::Command::Undo)),
            );
        }
        if let Some(review) = &mut self.review {
            review.stage.reopen();
        }
    }
}

fn fill_films(open: &mut OpenYard, ride: &mut Ride, films: Vec<(PathBuf, Option<ReadFilm>)>) {
    let mut good: Vec<(PathBuf, FilmInfo, String)> = films
        .into_iter()
        .filter_map(|(path, read)| read?.ok().map(|(info, print)| (path, info, print)))
        .collect();
    good.sort_by_key(|(path, info, _)| (info.recorded_at.unwrap_or(i64::MAX), path.clone()));
    let times: Vec<_> = good
        .iter()
        .map(|(_, info, _)| (info.recorded_at, info.duration.0))
        .collect();
    for ((path, info, print), offset) in good.iter().zip(place(&times)) {
        ride.films.push(Film {
            id: open.ids.next(),
            path: open.film_text(path),
            fingerprint: Some(print.clone()),
            offset,
            drift_ppb: 0,
            duration_nanos: Some(info.duration.0),
        });
    }
    let start = good.first().and_then(|(_, info, _)| info.recorded_at);
    ride.head.time = start
        .and_then(|at| DateTime::from_timestamp(at, 0))
        .map(|utc| -> NaiveTime { utc.with_timezone(&Local).time() });
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(films: &[(Option<i64>, i64)], expect_seconds: &[i64]) {
        let films: Vec<_> = films
            .iter()
            .map(|(at, seconds)| (*at, seconds * 1_000_000_000))
            .collect();
        let seconds: Vec<i64> = place(&films)
            .iter()
            .map(|offset| offset.0 / 1_000_000_000)
            .collect();
        assert_eq!(seconds, expect_seconds);
    }

    #[test]
    fn clips_are_placed_by_their_clock_or_behind_each_other() {
        check(&[(Some(1_000), 60)], &[0]);
        check(&[(Some(1_000), 60), (Some(1_300), 60)], &[0, 300]);
        check(&[(None, 60), (None, 30), (None, 30)], &[0, 60, 90]);
        // A clock that runs back into the clip before, or is a day off, is not believed.
        check(&[(Some(1_000), 60), (Some(1_010), 60)], &[0, 60]);
        check(&[(Some(1_000), 60), (Some(87_400), 60)], &[0, 60]);
        check(&[(Some(i64::MIN), 60), (Some(i64::MAX), 60)], &[0, 60]);
    }
}
