//! The frame on screen, saved as a picture with its time and a caption beneath.

use std::path::{Path, PathBuf};

use egui::Theme;
use reinback_film::{FilmTime, Frame, thumbnail};
use reinback_yard::{Bout, Film, Mark, MarkKind, Moment, Ride, Span, Yard};

use super::export::write_whole;
use super::file_name::file_name as new_name;
use super::{App, Event, Purpose};
use crate::action::Chosen;
use crate::clock;
use crate::notice::Notice;
use crate::rooms::review::beside::{bout_of, caption};
use crate::rooms::review::strip::names::mark_name;
use crate::services::Question;
use crate::stage::Screen;
use crate::still::{Colours, Panel, compose, is_spelled_out};
use crate::theme::Tokens;

/// How long a frame is taken to last whose end is not known, in nanoseconds: 25 a second.
const LAST_FRAME: i64 = 40_000_000;

/// The pictures a still is made of, and what is written into it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct StillWish {
    pictures: Vec<Picture>,
}

/// How the caption of a still came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Spelled {
    /// Every letter of it is there.
    Wholly,
    /// The typeface has no sign for some of its letters.
    InPart,
}

/// One frame of one film.
#[derive(Clone, Debug, PartialEq)]
struct Picture {
    film: PathBuf,
    at: FilmTime,
    mirrored: bool,
    lines: Vec<String>,
}

impl Picture {
    /// Says so beneath a picture that is not surely what was filmed.
    fn doubted(mut self, doubtful: bool) -> Self {
        let doubt = "The film is damaged here: parts of this picture are made up";
        self.lines.extend(doubtful.then(|| doubt.to_owned()));
        self
    }
}

impl App {
    /// Asks where the frame on screen should be saved; with two side by side, both.
    pub(super) fn ask_for_still(&mut self) {
        self.with_stage(crate::stage::Stage::pause);
        match self.wish_still() {
            Ok((wish, name)) => self.ask(
                Purpose::Still(wish),
                Question::SaveAs {
                    title: "The frame on screen as a picture".into(),
                    name,
                    ending: "png",
                    folder: None,
                },
            ),
            Err(why) => self.tell(Notice::told(why)),
        }
    }

    /// What is on screen, and a name for its file.
    fn wish_still(&self) -> Result<(StillWish, String), &'static str> {
        let none = "There is no picture on screen to save";
        let (Some(open), Some(review)) = (&self.open, &self.review) else {
            return Err(none);
        };
        let (stage, yard) = (&review.stage, open.document.yard());
        let ride = yard.ride(review.ride).ok_or(none)?;
        let placed = stage.current_film().ok_or(none)?;
        let (Screen::Picture, Some((_, frame))) = (stage.screen(), stage.picture()) else {
            return Err(none);
        };
        if stage.is_waiting() {
            return Err("The frame is still on its way; try again when it is there");
        }
        let at = stage.position();
        let chosen = match review.chosen {
            Some(Chosen::Mark(id)) => ride.marks.iter().find(|mark| mark.id == id),
            _ => None,
        };
        let bout = self.marking().and_then(|marking| marking.current());
        let own = Picture {
            film: placed.path.clone(),
            at: frame.time,
            mirrored: false,
            lines: words(
                yard,
                ride,
                (bout, chosen),
                lasting(&placed.film, at, frame),
                (&placed.path, frame.time),
            ),
        };
        let mut pictures = vec![own.doubted(stage.is_doubtful())];
        let second = review.beside.as_ref().and_then(|own| own.second);
        if let (Some(beside), Some(shown), Some(second)) = (stage.beside(), stage.second(), second)
            && let Some((ride, bout)) = bout_of(yard, second)
        {
            let time = shown.frame.time;
            let other = Picture {
                film: beside.path.clone(),
                at: time,
                mirrored: review.beside.as_ref().is_some_and(|own| own.mirrored),
                lines: words(
                    yard,
                    ride,
                    (Some(bout), None),
                    lasting(&beside.film, shown.at, &shown.frame),
                    (&beside.path, time),
                ),
            };
            pictures.push(other.doubted(shown.doubtful));
        }
        let horse = yard
            .horse(ride.head.horse)
            .map_or("ride", |horse| &horse.name);
        let day = ride.head.date.format("%Y-%m-%d").to_string();
        let time = clock::exact(at).replace([':', '.'], "-");
        Ok((
            StillWish { pictures },
            new_name(&[&day, horse, &time], "png"),
        ))
    }

    /// Decodes the frames at their full size and writes them, on a thread.
    pub(super) fn write_still(&mut self, wish: StillWish, path: PathBuf) {
        let task = self.tasks.start("still", move |control| {
            let written = make(&wish).and_then(|(bytes, spelled)| {
                let written = write_whole(&path, &bytes).map_err(|error| error.to_string());
                written.map(|()| spelled)
            });
            control.send(Event::StillWritten(path, written));
        });
        self.keep(task);
    }

    pub(super) fn still_written(&mut self, path: &Path, written: &Result<Spelled, String>) {
        let name = file_name(path);
        self.tell(match written {
            Ok(Spelled::Wholly) => Notice::told(format!("Written: {name}")),
            Ok(Spelled::InPart) => Notice::caution(format!(
                "Written: {name}, but some signs of its caption could not be drawn"
            )),
            Err(why) => Notice::trouble(format!("{name} could not be written: {why}"))
                .next("Choose another place for it"),
        });
    }
}

/// From a moment of the ride at which a frame came on to when the next one does.
fn lasting(film: &Film, from: Moment, frame: &Frame) -> Span {
    let end = frame.end.map(|end| film.ride_from_film(end.0));
    let to = end.unwrap_or(Moment(from.0.saturating_add(LAST_FRAME)));
    Span { from, to }
}

fn file_name(path: &Path) -> String {
    let name = path.file_name().unwrap_or(path.as_os_str());
    name.to_string_lossy().into_owned()
}

/// The lines beneath a picture: whose ride, when in it, what was ridden, what was marked.
fn words(
    yard: &Yard,
    ride: &Ride,
    (bout, mark): (Option<&Bout>, Option<&Mark>),
    shown: Span,
    (film, time): (&Path, FilmTime),
) -> Vec<String> {
    let [whose, what] = caption(yard, ride, bout, shown.from);
    let title = ride.head.title.trim();
    let first = if title.is_empty() {
        whose
    } else {
        format!("{whose}, {title}")
    };
    let what = if bout.is_some() {
        what
    } else {
        format!("at {what}")
    };
    let of_film = format!("{} in {}", clock::exact(Moment(time.0)), file_name(film));
    let mut lines = vec![first, format!("{what} ({of_film})")];
    if let Some(mark) = mark {
        let note = mark.note.trim();
        let kind = Some(mark_name(&yard.words, ride, mark)).filter(|_| mark.kind != MarkKind::Note);
        let note = Some(note.to_owned()).filter(|note| !note.is_empty());
        let said: Vec<String> = kind.into_iter().chain(note).collect();
        if !said.is_empty() {
            let said = said.join(": ");
            lines.push(if is_of(mark, bout, shown) {
                said
            } else {
                format!("at {}: {said}", clock::exact(mark.at))
            });
        }
    }
    lines
}

/// Whether a mark is of this frame, or of the exercise that the caption names; another may lie
/// minutes away.
fn is_of(mark: &Mark, bout: Option<&Bout>, shown: Span) -> bool {
    let on_frame = shown.from <= mark.at && mark.at < shown.to;
    on_frame || bout.is_some_and(|bout| mark.bout == Some(bout.id))
}

/// The file's bytes and how its caption came out, or a sentence.
fn make(wish: &StillWish) -> Result<(Vec<u8>, Spelled), String> {
    let mut panels = Vec::new();
    for picture in &wish.pictures {
        let frame = thumbnail(&picture.film, Some(picture.at), u32::MAX);
        panels.push(Panel {
            frame: frame.map_err(|error| error.sentence().to_owned())?,
            mirrored: picture.mirrored,
            lines: picture.lines.clone(),
        });
    }
    let tokens = Tokens::of(Theme::Light);
    let rgb = |colour: egui::Color32| [colour.r(), colour.g(), colour.b()];
    let colours = Colours {
        bar: rgb(tokens.raised),
        ink: rgb(tokens.ink),
    };
    let all = |find: fn(&Picture) -> String| {
        let parts: Vec<String> = wish.pictures.iter().map(find).collect();
        parts.join("\n\n")
    };
    let first = |picture: &Picture| picture.lines.first().cloned().unwrap_or_default();
    let texts = [
        ("Title", all(first)),
        ("Description", all(|picture| picture.lines.join("\n"))),
        ("Source", all(|picture| file_name(&picture.film))),
        ("Software", "Reinback".to_owned()),
    ];
    let made = compose(&panels, colours).and_then(|still| {
        let spelled = if is_spelled_out(&panels)? {
            Spelled::Wholly
        } else {
            Spelled::InPart
        };
        Ok((still.encode(&texts)?, spelled))
    });
    made.map_err(|error| error.to_string())
}

#[cfg(test)]
mod tests {
    use reinback_yard::{Asked, BoutId, MarkId, ReviewId, WordId};

    use super::*;

    fn mark(at: i64, bout: Option<u64>) -> Mark {
        Mark {
            id: MarkId::from_bits(1),
            review: ReviewId::from_bits(1),
            at: Moment(at),
            kind: MarkKind::Praise,
            bout: bout.map(BoutId::from_bits),
            note: String::new(),
            origin: None,
            press: None,
            place: None,
        }
    }

    #[test]
    fn a_mark_is_of_its_frame_or_of_the_exercise_that_is_named() {
        let bout = Bout {
            id: BoutId::from_bits(3),
            review: ReviewId::from_bits(1),
            exercise: WordId::new("half-pass").unwrap(),
            from: Moment(0),
            to: None,
            rein: None,
            variant: None,
            asked: Asked::default(),
            score: None,
            letters: (None, None),
            reviewed: false,
            note: String::new(),
        };
        let shown = Span {
            from: Moment(100),
            to: Moment(140),
        };
        let check = |mark: Mark, bout: Option<&Bout>, expect| {
            assert_eq!(is_of(&mark, bout, shown), expect, "{mark:?}");
        };
        check(mark(100, None), None, true);
        check(mark(139, Some(3)), None, true);
        check(mark(140, None), None, false);
        check(mark(99, None), Some(&bout), false);
        check(mark(99, Some(4)), Some(&bout), false);
        check(mark(9_000, Some(3)), Some(&bout), true);
    }
}
