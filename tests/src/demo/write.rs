//! The season as a yard, written through the yard's own store.

use std::collections::BTreeMap;
use std::path::Path;

use chrono::{NaiveDate, NaiveTime};
use reinback_yard::{
    Asked, Bout, BoutId, Document, Edit, Film, HorseId, IdMaker, Mark, MarkKind, Moment,
    OutlineSpan, PaceSpan, Review, ReviewId, Ride, Score, Span, Store, WordId, Yard,
};

use super::Failure;
use super::dice::Dice;
use super::notes;
use super::scenario::{Day, Filmed, Horse, Kind, SEASON};
use super::session::session;
use super::timeline::{self, Attempt, Timeline};
use super::truth;

/// Writes the demo yard into a folder that holds none yet. `films` is the folder of the scripts
/// and their truths.
///
/// # Errors
/// A truth is missing, or the folder cannot be written to.
pub fn write_yard(folder: &Path, films: &Path) -> Result<(), Failure> {
    let opened = Store::create(folder, "Hollow Oak, demo yard")?;
    let mut store = opened.store;
    let mut yard = Yard {
        as_of_last_ride: true,
        ..opened.yard
    };
    let mut rides = BTreeMap::new();
    for horse in SEASON {
        let id: HorseId = maker(&format!("horse {}", horse.name)).next();
        yard.horses.push(reinback_yard::Horse {
            id,
            name: horse.name.to_owned(),
            foaled: Some(horse.foaled),
            stage: horse.stage.to_owned(),
            notes: horse.notes.to_owned(),
        });
        for day in horse.days {
            let ride = ride(horse, id, *day, films)?;
            rides.insert(ride.id, ride);
        }
    }
    yard.horses.sort_by(|a, b| a.name.cmp(&b.name));
    let mut document = Document::new(yard);
    for (id, ride) in rides {
        document.apply("ride", Edit::Ride(id, Some(Box::new(ride))))?;
    }
    let mut unsaved = document.take_unsaved();
    unsaved.insert(reinback_yard::FileKey::Yard);
    store.save(document.yard(), &unsaved)?;
    Ok(())
}

fn maker(name: &str) -> IdMaker {
    IdMaker::seeded(Dice::named(name).bits())
}

fn ride(horse: &Horse, id: HorseId, day: Day, films: &Path) -> Result<Ride, Failure> {
    let date = day.date().ok_or("there is no such day")?;
    let name = format!("{date} {}", horse.name);
    let mut dice = Dice::named(&name);
    let film_name = match day.film {
        Filmed::No => None,
        Filmed::Short => Some(format!("{date}-{}", horse.name.to_lowercase())),
        Filmed::Evening => Some("evening-ride".to_owned()),
    };
    let film = film_name
        .as_deref()
        .map(|name| truth::read(films, name))
        .transpose()?;
    let asked = session(horse, day, &mut dice);
    let timeline = timeline::ride(horse, day.date.0, &asked, film.as_ref(), &mut dice);

    let mut pen = Pen::new(id, date, &name, dice);
    pen.head(horse, day);
    if let (Some(name), Some(film), Some(at)) = (film_name, film, timeline.film_at) {
        pen.ride.films.push(Film {
            id: pen.ids.next(),
            path: format!("films/{name}.mp4"),
            // The bytes of a film depend on the encoder that drew it.
            fingerprint: None,
            offset: Moment(at),
            drift_ppb: 0,
            duration_nanos: Some(film.duration),
            tilt: None,
        });
    }
    pen.spans(&timeline)?;
    for attempt in &timeline.attempts {
        pen.attempt(attempt, day.kind)?;
    }
    pen.asides(&timeline);
    Ok(pen.ride)
}

/// Writes one ride.
struct Pen {
    ids: IdMaker,
    review: ReviewId,
    dice: Dice,
    ride: Ride,
}

impl Pen {
    fn new(horse: HorseId, date: NaiveDate, name: &str, dice: Dice) -> Self {
        let mut ids = maker(name);
        let id = ids.next();
        let review = ids.next();
        Self {
            ids,
            review,
            dice,
            ride: Ride::new(
                id,
                horse,
                date,
                Review {
                    id: review,
                    reviewer: String::new(),
                    blind: false,
                },
            ),
        }
    }

    fn head(&mut self, horse: &Horse, day: Day) {
        let quarter = self.dice.below(5);
        // In November the evenings are dark before five.
        let hour = match (day.is_weekend(), day.date.0) {
            (true, _) => 9,
            (false, ..=10) => 17,
            (false, _) => 15,
        };
        let later = match horse.name {
            "Sonnet" => 0,
            _ => 1,
        };
        let head = &mut self.ride.head;
        head.time = NaiveTime::from_hms_opt(hour + later + quarter / 4, quarter % 4 * 15, 0);
        // Only some rides of the young one have a title at all.
        if (horse.name, day.kind) != ("Quill", Kind::Schooling) {
            notes::title(day.kind).clone_into(&mut head.title);
        }
        notes::on_ride(horse, day, &mut self.dice).clone_into(&mut head.notes);
    }

    fn spans(&mut self, timeline: &Timeline) -> Result<(), Failure> {
        for (from, to, (pace, variant)) in &timeline.paces {
            self.ride.paces.push(PaceSpan {
                id: self.ids.next(),
                span: Span::new(Moment(*from), Moment(*to)),
                pace: *pace,
                variant: variant.map(WordId::new).transpose()?,
            });
        }
        for (from, to, outline) in &timeline.outlines {
            self.ride.outlines.push(OutlineSpan {
                id: self.ids.next(),
                span: Span::new(Moment(*from), Moment(*to)),
                outline: WordId::new(*outline)?,
            });
        }
        Ok(())
    }

    fn attempt(&mut self, attempt: &Attempt, kind: Kind) -> Result<(), Failure> {
        let id: BoutId = self.ids.next();
        let what = attempt.what;
        let clean = attempt.faults.is_empty();
        let bout = Bout {
            id,
            review: self.review,
            exercise: WordId::new(what.exercise)?,
            from: Moment(attempt.from),
            to: Some(Moment(attempt.to)),
            rein: what.rein,
            variant: what.variant.map(WordId::new).transpose()?,
            asked: Asked {
                count: what.asked.map(|(count, _)| count),
                every: what.asked.map(|(_, every)| every),
            },
            score: self.score(clean, kind),
            letters: attempt.letters,
            reviewed: !self.dice.percent(2),
            note: String::new(),
        };
        self.ride.bouts.push(bout);
        for (at, fault) in &attempt.faults {
            let note = notes::on_fault(fault, &mut self.dice);
            self.mark(*at, MarkKind::Fault(WordId::new(*fault)?), Some(id), note);
        }
        let end = attempt.to - 1;
        if attempt.again {
            self.mark(end, MarkKind::Repeated, Some(id), "");
        } else if clean && self.dice.percent(11) {
            let note = notes::on_praise(what.exercise, &mut self.dice);
            self.mark(end, MarkKind::Praise, Some(id), note);
        }
        Ok(())
    }

    /// Marks are given to every movement of a test, and now and then otherwise.
    fn score(&mut self, clean: bool, kind: Kind) -> Option<Score> {
        let given = match kind {
            Kind::Test => 90,
            Kind::Lesson => 18,
            _ => 5,
        };
        let halves = self.dice.between(if clean { (13, 15) } else { (9, 12) });
        Score::from_halves(u8::try_from(halves).ok()?).filter(|_| self.dice.percent(given))
    }

    /// Up to two notes that belong to no bout, after one has ended.
    fn asides(&mut self, timeline: &Timeline) {
        let mut taken = None;
        for _ in 0..self.dice.between((0, 2)) {
            let note = notes::aside(&mut self.dice);
            let near = self.dice.pick(&timeline.attempts).map(|near| near.to);
            if let Some(at) = near.filter(|_| near != taken) {
                self.mark(at + 2_000_000_000, MarkKind::Note, None, note);
                taken = near;
            }
        }
    }

    fn mark(&mut self, at: i64, kind: MarkKind, bout: Option<BoutId>, note: &str) {
        self.ride.marks.push(Mark {
            id: self.ids.next(),
            review: self.review,
            at: Moment(at),
            kind,
            bout,
            note: note.to_owned(),
            origin: None,
            press: None,
            place: None,
        });
    }
}
