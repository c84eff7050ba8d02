//! From film files to a ride, and finding a missing film again.

use std::path::{Path, PathBuf};

use chrono::{DateTime, Local, NaiveDate};
use reinback_film::{FilmError, FilmInfo};
use reinback_yard::{Edit, Film, FilmId, Horse, HorseId, Moment, Ride, RideId, film_text_in};

use super::{App, Event};
use crate::action::{Action, Room};
use crate::notice::Notice;
use crate::open_yard::OpenYard;

/// What was found in a film file.
pub type ReadFilm = Result<FoundFilm, FilmError>;

/// A film that can be used.
#[derive(Clone, Debug)]
pub struct FoundFilm {
    /// Its size, length and rate.
    pub info: FilmInfo,
    /// What it is like inside.
    pub fingerprint: String,
    /// How the yard names its file.
    pub text: String,
}

impl FoundFilm {
    /// Reads a film for a yard's folder. Waits for the disk.
    fn read(path: &Path, folder: &Path) -> ReadFilm {
        Ok(Self {
            fingerprint: reinback_film::fingerprint(path)?.to_string(),
            info: reinback_film::probe(path)?,
            text: film_text_in(folder, path),
        })
    }
}

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

fn recorded(film: &FoundFilm) -> Option<DateTime<Local>> {
    DateTime::from_timestamp(film.info.recorded_at?, 0).map(|utc| utc.with_timezone(&Local))
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
        let folder = open.folder.clone();
        let draft = self.yard_view.draft.get_or_insert_with(|| RideDraft {
            films: Vec::new(),
            horse,
            new_horse: String::new(),
            date: today.format("%Y-%m-%d").to_string(),
            date_typed: false,
            title: String::new(),
        });
        // Films that come while the form is open are further clips of the same ride.
        let known = |path: &PathBuf| draft.films.iter().any(|(own, _)| own == path);
        let fresh: Vec<PathBuf> = paths.into_iter().filter(|path| !known(path)).collect();
        draft
            .films
            .extend(fresh.iter().map(|path| (path.clone(), None)));
        self.room = Room::Yard;
        let task = self.tasks.start("read films", move |control| {
            for path in fresh {
                if control.flow().is_break() {
                    return;
                }
                let read = FoundFilm::read(&path, &folder);
                control.send(Event::FilmRead(path, Box::new(read)));
            }
        });
        self.keep(task);
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
        let Some(folder) = self.open.as_ref().map(|open| open.folder.clone()) else {
            return;
        };
        let task = self.tasks.start("look at film", move |control| {
            let print = reinback_film::fingerprint(&path)
                .ok()
                .map(|print| print.to_string());
            let text = film_text_in(&folder, &path);
            control.send(Event::FilmLocated(ride, film, text, print));
        });
        self.keep(task);
    }

    pub(super) fn film_located(
        &mut self,
        ride: RideId,
        film: FilmId,
        text: String,
        print: Option<String>,
    ) {
        let Some(open) = &self.open else { return };
        let films = open
            .document
            .yard()
            .ride(ride)
            .map_or(&[][..], |ride| &ride.films);
        let Some(known) = films.iter().find(|own| own.id == film).cloned() else {
            return;
        };
        let other = known.fingerprint.is_some() && print.is_some() && known.fingerprint != print;
        let fingerprint = print.or_else(|| known.fingerprint.clone());
        let placed = Film {
            path: text,
            fingerprint,
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
    let good = films
        .into_iter()
        .filter_map(|(path, read)| Some((path, read?.ok()?)));
    let mut good: Vec<(PathBuf, FoundFilm)> = good.collect();
    good.sort_by_key(|(path, film)| (film.info.recorded_at.unwrap_or(i64::MAX), path.clone()));
    let times: Vec<_> = good
        .iter()
        .map(|(_, film)| (film.info.recorded_at, film.info.duration.0))
        .collect();
    ride.head.time = good
        .first()
        .and_then(|(_, film)| recorded(film))
        .map(|at| at.time());
    for ((_, film), offset) in good.into_iter().zip(place(&times)) {
        ride.films.push(Film {
            id: open.ids.next(),
            path: film.text,
            fingerprint: Some(film.fingerprint),
            offset,
            drift_ppb: 0,
            duration_nanos: Some(film.info.duration.0),
            tilt: None,
        });
    }
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
