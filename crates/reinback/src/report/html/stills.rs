//! The pictures of films on the page: which, and made.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use image::ExtendedColorType;
use image::codecs::jpeg::JpegEncoder;
use reinback_film::{Frame, fingerprint, thumbnail};
use reinback_yard::{Film, Moment, Ride, RideId, film_path_in};

use super::MOST_STILLS;
use super::content::Content;
use crate::report::moments::{FilmMoment, film_at};
use crate::services::Progress;

/// Longer side in pixels: half the width of a printed page at 150 dots an inch.
const SIDE: u32 = 560;
/// JPEG quality from 1 to 100. Our own choice.
const QUALITY: u8 = 80;
/// Bytes of all pictures together, so that the page can be sent by mail. Our own choice.
const ROOM: usize = 6 << 20;
/// Lines of a horse that have stills of themselves, and how many each.
const LINES: usize = 3;
const EACH: usize = 2;

/// A picture of a film as it stands in the page.
pub(super) struct Still {
    /// The picture itself (RFC 2397).
    pub(super) uri: String,
    /// Pixels.
    pub(super) width: u32,
    /// Pixels.
    pub(super) height: u32,
}

/// Why there is no picture of a moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum NoStill {
    /// No film shows it.
    NoFilm,
    /// The film is not where it was.
    Gone,
    /// Another film lies there.
    Another,
    /// The film cannot be read.
    Unreadable,
    /// The page would become too large.
    NoRoom,
}

/// A moment of a ride.
type At = (RideId, Moment);

/// The pictures made, by their moments.
#[derive(Default)]
pub(super) struct Stills(BTreeMap<At, Result<Still, NoStill>>);

impl Stills {
    /// The picture of a moment, if one was asked for.
    pub(super) fn of(&self, moment: &FilmMoment) -> Option<&Result<Still, NoStill>> {
        self.0.get(&(moment.id.ride(), moment.at))
    }
}

/// Makes the pictures; nothing where it was told to stop.
pub(super) fn make(folder: &Path, content: &Content<'_>, progress: Progress<'_>) -> Option<Stills> {
    let wanted = chosen(content);
    let (mut made, mut bytes) = (BTreeMap::new(), 0);
    let mut films = Films::default();
    for (place, at) in wanted.iter().enumerate() {
        let done = 0.5 + 0.5 * place as f32 / wanted.len() as f32;
        if progress(done) == ControlFlow::Break(()) {
            return None;
        }
        let ride = content.yard.ride(at.0);
        let found = ride.map_or(Err(NoStill::NoFilm), |ride| films.still(folder, ride, at.1));
        let found = found.and_then(|still| {
            bytes += still.uri.len();
            if bytes > ROOM {
                Err(NoStill::NoRoom)
            } else {
                Ok(still)
            }
        });
        made.insert(*at, found);
    }
    Some(Stills(made))
}

/// Which moments: those chosen by the rider, then the newest filmed ones of the first lines, horse
/// by horse.
fn chosen(content: &Content<'_>) -> Vec<At> {
    let most = content.wish.stills.min(MOST_STILLS);
    if !content.names() || most == 0 {
        return Vec::new();
    }
    let there: Vec<&FilmMoment> = content
        .horses
        .iter()
        .flat_map(|own| &own.behind)
        .flat_map(|found| &found.chosen)
        .collect();
    let asked = content.wish.chosen.iter().filter_map(|(_, id)| {
        let moment = there.iter().find(|moment| moment.id == *id)?;
        Some((id.ride(), moment.at))
    });
    let filmed = |moment: &&FilmMoment| {
        let ride = content.yard.ride(moment.id.ride());
        ride.is_some_and(|ride| film_at(ride, moment.at).is_some())
    };
    let of_horse = |line: usize, nth: usize| {
        content.horses.iter().filter_map(move |own| {
            let moment = own
                .behind
                .get(line)?
                .moments
                .faults
                .iter()
                .filter(filmed)
                .nth(nth)?;
            Some((moment.id.ride(), moment.at))
        })
    };
    let newest = (0..EACH).flat_map(|nth| (0..LINES).flat_map(move |line| of_horse(line, nth)));
    let mut seen = BTreeSet::new();
    let each_once = asked.chain(newest).filter(|at| seen.insert(*at));
    each_once.take(most).collect()
}

/// Whether the file of a film holds that film, looked at once each. Two rides may name the same
/// file and have marked another film in it.
#[derive(Default)]
struct Films(BTreeMap<(PathBuf, Option<String>), Result<(), NoStill>>);

impl Films {
    fn still(&mut self, folder: &Path, ride: &Ride, at: Moment) -> Result<Still, NoStill> {
        let (film, time) = film_at(ride, at).ok_or(NoStill::NoFilm)?;
        let path = film_path_in(folder, film);
        let known = self.0.entry((path.clone(), film.fingerprint.clone()));
        (*known.or_insert_with(|| look(&path, film)))?;
        let frame = thumbnail(&path, Some(time), SIDE);
        encode(&frame.map_err(|_why| NoStill::Unreadable)?)
    }
}

fn look(path: &Path, film: &Film) -> Result<(), NoStill> {
    if !path.is_file() {
        return Err(NoStill::Gone);
    }
    let Some(known) = &film.fingerprint else {
        return Ok(());
    };
    match fingerprint(path) {
        Ok(found) if found.to_string() == *known => Ok(()),
        Ok(_) => Err(NoStill::Another),
        Err(_) => Err(NoStill::Unreadable),
    }
}

fn encode(frame: &Frame) -> Result<Still, NoStill> {
    let rgb: Vec<u8> = frame
        .rgba
        .chunks_exact(4)
        .flat_map(|pixel| [pixel[0], pixel[1], pixel[2]])
        .collect();
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, QUALITY)
        .encode(&rgb, frame.width, frame.height, ExtendedColorType::Rgb8)
        .map_err(|_why| NoStill::Unreadable)?;
    Ok(Still {
        uri: format!("data:image/jpeg;base64,{}", STANDARD.encode(&bytes)),
        width: frame.width,
        height: frame.height,
    })
}

#[cfg(test)]
mod tests {
    use std::fs;

    use reinback_yard::IdMaker;

    use super::*;
    use crate::report::sample;

    #[test]
    fn a_file_is_judged_anew_for_each_film_that_it_should_hold() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("a.mp4");
        fs::write(&path, "no film, but a file that can be compared").expect("written");
        let print = fingerprint(&path).expect("it can be read").to_string();
        let other = folder.path().join("b.mp4");
        fs::write(&other, "something else that lay there once").expect("written");
        let was = fingerprint(&other).expect("it can be read").to_string();
        let mut ids = IdMaker::seeded(5);
        let mut ride_of = |print: &str| {
            let mut ride = sample::blank(&mut ids, sample::day(3));
            ride.films.push(Film {
                id: ids.next(),
                path: "a.mp4".into(),
                fingerprint: Some(print.to_owned()),
                offset: Moment(0),
                drift_ppb: 0,
                duration_nanos: None,
                tilt: None,
            });
            ride
        };
        let rides = [ride_of(&was), ride_of(&print), ride_of(&was)];
        let mut films = Films::default();
        let found = rides.map(|ride| films.still(folder.path(), &ride, Moment(0)).err());
        // The one in the middle is the file that lies there, though no film.
        let expect = [NoStill::Another, NoStill::Unreadable, NoStill::Another];
        assert_eq!(found, expect.map(Some));
    }
}
