//! Bouts and marks written for other programs.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use reinback_yard::export::{CaptionClock, marks_as_csv, marks_as_vtt};
use reinback_yard::{FilmId, ReviewId, Ride, RideId, Yard, replace_file, reviews};

use super::file_name::file_name;
use super::{App, Event, Purpose};
use crate::action::Table;
use crate::counted::counted;
use crate::notice::Notice;
use crate::rooms::review::second;
use crate::services::Question;

/// What was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Written {
    /// Everything there is.
    Table,
    /// Captions over a film, and how many entries it does not show.
    OverFilm(usize),
    /// Captions by the ride clock, and how many entries lie before its zero.
    OnRideClock(usize),
}

impl App {
    /// Asks where the table or the captions of the open ride should go.
    pub(super) fn export(&mut self, table: Table) {
        let (Some(open), Some(review)) = (&self.open, &self.review) else {
            return;
        };
        let Some(ride) = open.document.yard().ride(review.ride) else {
            return;
        };
        let horse = open.document.yard().horse(ride.head.horse);
        let horse = horse.map_or("ride", |horse| &horse.name);
        let day = ride.head.date.format("%Y-%m-%d").to_string();
        let film = review.stage.current_film();
        // Players take captions that lie beside the film under its name.
        let beside = film.filter(|_| table == Table::Captions);
        let name = beside.and_then(|film| film.path.file_stem()).map_or_else(
            || file_name(&[&day, horse], table.ending()),
            |stem| format!("{}.{}", stem.to_string_lossy(), table.ending()),
        );
        let folder = beside
            .and_then(|film| film.path.parent())
            .map(Path::to_path_buf);
        let film = film.map(|film| film.film.id);
        self.ask(
            Purpose::Export(ride.id, table, film),
            Question::SaveAs {
                title: table.title().into(),
                name,
                ending: table.ending(),
                folder,
            },
        );
    }

    /// Writes what was asked for; it is made, and the disk waited for, on a thread.
    pub(super) fn write_export(
        &mut self,
        ride: RideId,
        table: Table,
        film: Option<FilmId>,
        path: PathBuf,
    ) {
        let yard = self.open.as_ref().map(|open| open.document.yard());
        let Some((yard, ride)) = yard.and_then(|yard| Some((yard, yard.rides.get(&ride)?))) else {
            let what = "Nothing was written: the ride is no longer in the open yard";
            self.tell(Notice::caution(what));
            return;
        };
        let has = |id: FilmId| ride.films.iter().any(|own| own.id == id);
        if table == Table::Captions && film.is_some_and(|id| !has(id)) {
            let what = "Nothing was written: the film that the captions are for is no longer part of the ride";
            self.tell(Notice::caution(what).next("Go to another film of it and export again"));
            return;
        }
        // The review on screen, where it is of this ride; while it is blind nothing else goes out.
        let view = self.review.as_ref().filter(|view| view.ride == ride.id);
        let shown = second::shown(ride, view.and_then(|view| view.reviewing));
        let blind = ride.head.review(shown).is_some_and(|review| review.blind);
        let alone = blind.then(|| Arc::new(reviews::only(ride, shown)));
        // Rides are shared, so this copies little.
        let (yard, ride) = (yard.clone(), alone.unwrap_or_else(|| Arc::clone(ride)));
        let task = self.tasks.start("export", move |control| {
            let made = make(&yard, &ride, shown, table, film);
            let written = made.and_then(|(bytes, written)| {
                let done = write_whole(&path, &bytes).map_err(|error| error.to_string());
                done.map(|()| written)
            });
            control.send(Event::Exported(path, written));
        });
        self.keep(task);
    }

    pub(super) fn exported(&mut self, path: &Path, written: &Result<Written, String>) {
        let name = path
            .file_name()
            .unwrap_or(path.as_os_str())
            .to_string_lossy();
        self.tell(match written {
            Ok(written) => told(&name, *written),
            Err(why) => Notice::trouble(format!("{name} could not be written: {why}"))
                .next("Choose another place for it"),
        });
    }
}

fn told(name: &str, written: Written) -> Notice {
    let what = format!("Written: {name}");
    match written {
        Written::Table | Written::OverFilm(0) => Notice::told(what),
        Written::OverFilm(left_out) => Notice::caution(what).next(format!(
            "{} not on this film and not in it",
            counted(left_out, "entry is", "entries are")
        )),
        Written::OnRideClock(0) => Notice::caution(what)
            .next("No film is on screen, so its times are those of the ride"),
        Written::OnRideClock(left_out) => Notice::caution(what).next(format!(
            "No film is on screen, so its times are those of the ride; {} before its start and not in it",
            counted(left_out, "entry is", "entries are")
        )),
    }
}

/// The file's content. A table has every review, named in a column of its own; captions, which
/// cannot tell them apart, the one on screen.
fn make(
    yard: &Yard,
    ride: &Ride,
    shown: ReviewId,
    table: Table,
    film: Option<FilmId>,
) -> Result<(Vec<u8>, Written), String> {
    if table == Table::Csv {
        let bytes = marks_as_csv(yard, ride).map_err(|error| error.to_string())?;
        return Ok((bytes, Written::Table));
    }
    let ride = reviews::only(ride, shown);
    let clock = film.map_or(CaptionClock::Ride, CaptionClock::Film);
    let captions = marks_as_vtt(&yard.words, &ride, clock);
    let captions = captions.ok_or("the film is no longer part of the ride")?;
    let written = match clock {
        CaptionClock::Ride => Written::OnRideClock(captions.left_out),
        CaptionClock::Film(_) => Written::OverFilm(captions.left_out),
    };
    Ok((captions.text.into_bytes(), written))
}

/// What was there before stays whole until the new content is; what a link points at is replaced,
/// not the link.
pub(super) fn write_whole(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    replace_file(&path, bytes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample;

    #[test]
    fn a_file_is_replaced_whole_or_not_at_all() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("marks.csv");
        for text in ["a long first content", "short"] {
            write_whole(&path, text.as_bytes()).unwrap();
            assert_eq!(fs::read_to_string(&path).unwrap(), text);
        }
        // A folder is not replaced by a file.
        let taken = folder.path().join("taken");
        fs::create_dir_all(taken.join("inside")).unwrap();
        assert!(write_whole(&taken, b"text").is_err());
        let mut left: Vec<_> = fs::read_dir(folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name())
            .collect();
        left.sort();
        assert_eq!(left, ["marks.csv", "taken"], "nothing is left beside");
    }

    #[test]
    fn captions_have_the_review_that_counts_and_say_by_which_clock() {
        let yard = sample::yard();
        let mut ride = yard.rides_by_date()[0].clone();
        let own = |ride: &Ride| {
            let made = make(&yard, ride, ride.head.counting, Table::Captions, None).unwrap();
            (String::from_utf8(made.0).unwrap(), made.1)
        };
        let before = own(&ride);
        let bout = ride.bouts[0].clone();
        assert!(before.0.contains(&bout.id.to_string()));
        // The same once more, by somebody whose review does not count.
        let other = reinback_yard::Bout {
            id: reinback_yard::BoutId::from_bits(77),
            review: ReviewId::from_bits(78),
            ..bout
        };
        ride.bouts.push(other);
        assert_eq!(own(&ride), before);
        ride.bouts[0].from.0 = -60_000_000_000;
        ride.bouts[0].to = Some(reinback_yard::Moment(-50_000_000_000));
        assert_eq!(own(&ride).1, Written::OnRideClock(1));
        let notice = told("film.vtt", Written::OnRideClock(1));
        let next = notice.next.unwrap_or_default();
        assert!(next.contains("1 entry is before its start"), "{next}");
        let gone = FilmId::from_bits(99);
        assert!(
            make(
                &yard,
                &ride,
                ride.head.counting,
                Table::Captions,
                Some(gone)
            )
            .is_err()
        );
    }
}
