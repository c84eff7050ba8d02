//! Whether the files of the open ride's films are the films that were marked, and where those
//! are that were moved.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use reinback_film::{Fingerprint, Searched, Sought, find_films};
use reinback_yard::{Edit, Film, FilmId, RideId, film_text_in};

use super::{App, Event};
use crate::notice::Notice;
use crate::rooms::review::Other;
use crate::stage::Placed;
use crate::task::Control;

/// What was found out about a film that is not simply where it was.
pub(super) enum Look {
    /// Its file holds another film.
    Another(Other),
    /// It lies here now, as the yard would name the place.
    Moved(String),
    /// It is nowhere in the yard's folders; what it holds.
    Nowhere(Fingerprint),
}

/// How often the window hears how far a search is: every so many files, found or compared.
const TELL_EVERY: usize = 16;

impl App {
    /// Compares the open ride's films with what was marked, once and whenever one of them is
    /// placed elsewhere.
    pub(super) fn check_changed_films(&mut self) {
        let (Some(open), Some(review)) = (&self.open, &self.review) else {
            return;
        };
        let films = open.placed(review.ride);
        let known = review.checked.iter().cloned();
        if !films.iter().map(identity).eq(known) {
            self.check_films();
        }
    }

    /// Compares the open ride's films with what was marked, and looks for those that are gone.
    pub(super) fn check_films(&mut self) {
        let (Some(open), Some(review)) = (&self.open, &mut self.review) else {
            return;
        };
        let ride = review.ride;
        let films = open.placed(ride);
        review.checked = films.iter().map(identity).collect();
        let folder = open.folder.clone();
        let places: Vec<PathBuf> = all_films(open.document.yard())
            .map(|film| open.film_path(film))
            .collect();
        review.film_search = None;
        self.films_sought.clear();
        self.film_searches += 1;
        let number = self.film_searches;
        let in_vain = self.sought_in_vain.clone();
        self.film_search = Some(self.tasks.start("check films", move |control| {
            let search = Search {
                ride,
                number,
                in_vain,
                folders: folders(&folder, &places),
                folder,
            };
            search.check(&films, control);
        }));
    }

    /// The same as if none of the open ride's films had been looked for yet.
    pub(super) fn check_films_again(&mut self) {
        for print in self.prints_of_ride() {
            self.sought_in_vain.remove(&print);
        }
        self.check_films();
    }

    /// Looks no further for films, until asked to.
    pub(super) fn stop_film_search(&mut self) {
        self.film_search = None;
        // What it still has to say is of a search that is over.
        self.film_searches += 1;
        self.sought_in_vain.append(&mut self.films_sought);
        if let Some(review) = &mut self.review {
            review.film_search = None;
        }
    }

    fn prints_of_ride(&self) -> Vec<Fingerprint> {
        let (Some(open), Some(review)) = (&self.open, &self.review) else {
            return Vec::new();
        };
        let ride = open.document.yard().ride(review.ride);
        let films = ride.map_or(&[][..], |ride| &ride.films);
        films.iter().filter_map(known_print).collect()
    }

    pub(super) fn film_looked_at(&mut self, ride: RideId, film: FilmId, look: Look) {
        let Some(review) = self.review.as_mut().filter(|review| review.ride == ride) else {
            return;
        };
        match look {
            Look::Another(other) => {
                review.forget_file(&other.path);
                review.others.insert(film, other);
            }
            Look::Moved(text) => self.take_moved(ride, film, &text),
            Look::Nowhere(print) => {
                self.sought_in_vain.insert(print);
            }
        }
    }

    pub(super) fn film_search_began(&mut self, number: u64, sought: BTreeSet<Fingerprint>) {
        if number == self.film_searches {
            self.films_sought = sought;
        }
    }

    pub(super) fn film_search_went_on(&mut self, number: u64, searched: Option<Searched>) {
        if let Some(review) = self
            .review
            .as_mut()
            .filter(|_| number == self.film_searches)
        {
            review.film_search = searched;
        }
    }

    /// The yard learns where the film is now. That is no step of the rider's: undo goes past it.
    fn take_moved(&mut self, ride: RideId, film: FilmId, text: &str) {
        let Some(open) = &mut self.open else { return };
        let Some(known) = film_of(open.document.yard(), ride, film).cloned() else {
            return;
        };
        if !open.writable() {
            self.tell(
                Notice::caution(format!("This film was moved; it is now “{text}”"))
                    .next("It cannot be shown here while the yard is open for reading only"),
            );
            return;
        }
        let moved = Film {
            path: text.to_owned(),
            ..known
        };
        // The film is in the yard, so this cannot be refused.
        let _noted = open.note(Edit::Film(ride, film, Some(moved)), self.now);
        self.tell(Notice::told(format!(
            "This film was moved and is found again: “{text}”"
        )));
    }

    /// From now on the file that lies where the film was is the film of the ride.
    pub(super) fn accept_film(&mut self, film: FilmId) {
        let (Some(open), Some(review)) = (&self.open, &self.review) else {
            return;
        };
        let ride = review.ride;
        let known = film_of(open.document.yard(), ride, film).cloned();
        if let (Some(other), Some(known)) = (review.others.get(&film), known) {
            let accepted = Film {
                fingerprint: Some(other.found.clone()),
                // The other film may be longer or shorter.
                duration_nanos: None,
                ..known
            };
            self.apply("take another film", Edit::Film(ride, film, Some(accepted)));
        }
    }
}

/// What decides whether a film has to be compared anew: where it lies, and what it should hold.
fn identity(placed: &Placed) -> (PathBuf, Option<String>) {
    (placed.path.clone(), placed.film.fingerprint.clone())
}

fn all_films(yard: &reinback_yard::Yard) -> impl Iterator<Item = &Film> {
    yard.rides.values().flat_map(|ride| &ride.films)
}

fn film_of(yard: &reinback_yard::Yard, ride: RideId, film: FilmId) -> Option<&Film> {
    let films = &yard.ride(ride)?.films;
    films.iter().find(|own| own.id == film)
}

/// One comparison of a ride's films, on a task's thread.
struct Search {
    ride: RideId,
    number: u64,
    /// Films that need not be looked for.
    in_vain: BTreeSet<Fingerprint>,
    /// The yard's.
    folder: PathBuf,
    folders: Vec<PathBuf>,
}

impl Search {
    /// Compares, then looks for what is gone.
    fn check(&self, films: &[Placed], control: &Control<Event>) {
        let gone: Vec<(FilmId, Sought)> = films
            .iter()
            .filter_map(|placed| Some((placed.film.id, self.compare(placed, control)?)))
            .filter(|(_, one)| !self.in_vain.contains(&one.print))
            .collect();
        if gone.is_empty() {
            return;
        }
        let sought: Vec<Sought> = gone.iter().map(|(_, one)| one.clone()).collect();
        let prints = sought.iter().map(|one| one.print).collect();
        control.send(Event::FilmsSought(self.number, prints));
        let mut steps = 0_usize;
        let found = find_films(&sought, &self.folders, &mut |searched| {
            if steps.is_multiple_of(TELL_EVERY) {
                control.send(Event::FilmSearch(self.number, Some(searched)));
            }
            steps += 1;
            control.flow()
        });
        if control.flow().is_break() {
            return;
        }
        for (id, one) in gone {
            let place = found.get(&one.print);
            let text = place.map(|path| film_text_in(&self.folder, path));
            let look = text.map_or(Look::Nowhere(one.print), Look::Moved);
            control.send(Event::FilmLookedAt(self.ride, id, look));
        }
        control.send(Event::FilmSearch(self.number, None));
    }

    /// The film as it is to be looked for, where its file is not what was marked.
    fn compare(&self, placed: &Placed, control: &Control<Event>) -> Option<Sought> {
        let known = known_print(&placed.film)?;
        match reinback_film::fingerprint(&placed.path) {
            Ok(print) if print == known => return None,
            Ok(print) => {
                let look = Look::Another(Other {
                    path: placed.path.clone(),
                    known: placed.film.fingerprint.clone(),
                    found: print.to_string(),
                });
                control.send(Event::FilmLookedAt(self.ride, placed.film.id, look));
            }
            Err(_) => {}
        }
        let was = placed.path.clone();
        Some(Sought { print: known, was })
    }
}

pub(super) fn known_print(film: &Film) -> Option<Fingerprint> {
    film.fingerprint.as_ref()?.parse().ok()
}

/// The yard's own folder and those its films lie in, none of them inside another.
fn folders(yard: &Path, places: &[PathBuf]) -> Vec<PathBuf> {
    let parents = places.iter().filter_map(|place| place.parent());
    let mut all: Vec<PathBuf> = std::iter::once(yard)
        .chain(parents)
        .map(Path::to_path_buf)
        .collect();
    all.sort();
    // In sorted order a folder comes before what lies in it.
    all.dedup_by(|later, earlier| later.starts_with(&*earlier));
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_folder_is_searched_twice() {
        let places = [
            "/yard/films/a.mp4",
            "/card/b.mp4",
            "/card/b/c.mp4",
            "/cards/d.mp4",
        ];
        let places = places.map(PathBuf::from);
        let expect = ["/card", "/cards", "/yard"].map(PathBuf::from);
        assert_eq!(folders(Path::new("/yard"), &places), expect);
    }
}
