//! One ride of the large yard, as the text of its file (`docs/file-format.md`, format 3).

use std::fmt::Write as _;

use chrono::NaiveDate;

use super::dice::Dice;
use super::exercises::{ALL, Exercise};
use super::horses::Horse;

const SECOND: f64 = 1e9;

/// A ride's text, and how much is in it.
pub(super) struct Ride {
    pub(super) id: u64,
    pub(super) text: String,
    pub(super) bouts: usize,
    pub(super) marks: usize,
}

/// Who rides when.
pub(super) struct Wish<'a> {
    pub(super) seed: u64,
    /// Counted through all rides of the yard.
    pub(super) number: u64,
    pub(super) horse: &'a Horse,
    /// Counted from the yard's first day.
    pub(super) day: u32,
    pub(super) date: NaiveDate,
    /// Hour of the day.
    pub(super) hour: u32,
}

const TITLES: [&str; 4] = [
    "schooling",
    "lesson",
    "hacking first, then the arena",
    "test riding",
];
const NOTES: [&str; 6] = [
    "better after the walk break",
    "hand quieter",
    "keep the shoulders in front",
    "ride more forward before it",
    "sit still, then ask",
    "wait for the answer",
];
const OUTLINES: [&str; 4] = ["long-and-low", "working", "competition", "stretched"];

/// Makes a ride.
pub(super) fn make(wish: &Wish<'_>) -> Ride {
    let mut maker = Maker::new(wish);
    let marked = !maker.dice.falls(0.03);
    if marked {
        maker.bouts();
        maker.remarks();
        maker.spans();
        maker.tempos();
    }
    maker.finish(wish)
}

struct Maker<'a> {
    dice: Dice,
    horse: &'a Horse,
    day: u32,
    id: u64,
    /// The review that counts, and another in some rides.
    reviews: (u64, Option<u64>),
    /// Seconds the ride lasts.
    length: f64,
    /// How this ride goes, in log odds.
    form: f64,
    /// Each with its moment, for the order of the file.
    bouts: Vec<(i64, String)>,
    marks: Vec<(i64, String)>,
    spans: [Vec<String>; 2],
    tempos: Vec<String>,
}

/// A mark before it has an id.
struct Mark<'a> {
    at: i64,
    kind: &'a str,
    bout: Option<u64>,
    note: &'a str,
    /// Set to its frame.
    refined: bool,
}

impl<'a> Maker<'a> {
    fn new(wish: &Wish<'a>) -> Self {
        let mut dice = Dice::of(wish.seed, wish.number);
        let (id, own, other) = (dice.bits(), dice.bits(), dice.bits());
        let other = dice.falls(0.02).then_some(other);
        Self {
            horse: wish.horse,
            day: wish.day,
            id,
            reviews: (own, other),
            length: dice.within(2_400.0, 3_300.0),
            form: 0.5 * dice.normal(),
            dice,
            bouts: Vec::new(),
            marks: Vec::new(),
            spans: [Vec::new(), Vec::new()],
            tempos: Vec::new(),
        }
    }

    /// Attempts from one end of the ride to the other, each with what is marked in it.
    fn bouts(&mut self) {
        let count = self.dice.between(50, 70);
        let level = self.horse.level_on(self.day);
        let shares: f64 = ridden_at(level).map(|(_, row)| row.share).sum();
        let slot = (self.length - 120.0) / f64::from(count);
        let mut again = None;
        for number in 0..count {
            let start = 60.0 + slot * f64::from(number) + self.dice.within(0.0, slot * 0.3);
            let throw = self.dice.within(0.0, shares);
            let chosen = again.take().or_else(|| choose(level, throw));
            let Some((place, row)) = chosen else { continue };
            let faulty = self.bout(place, row, start, slot * 0.65);
            if faulty && self.dice.falls(0.25) {
                again = Some((place, row));
                let at = nanos(start + slot);
                self.mark(&Mark::plain(at, "Repeated"));
            }
        }
    }

    /// One attempt; whether it was faulty.
    fn bout(&mut self, place: usize, row: &Exercise, start: f64, room: f64) -> bool {
        let (id, own) = (self.dice.bits(), self.reviews.0);
        let left = self.dice.falls(0.5);
        let chance = self.horse.chance(place, left, self.day, self.form);
        let faulty = self.dice.falls(chance);
        let from = nanos(start);
        let stride = self.dice.within(0.58, 0.66);
        let asked = row.changes.filter(|every| *every > 0).map(|every| {
            let most = if every == 1 { 11 } else { 7 };
            (self.dice.between(5, most), every)
        });
        let seconds = match asked {
            Some((count, every)) => f64::from(count * every) * stride + 2.0,
            None => self.dice.within(row.seconds.0, row.seconds.1),
        };
        let to = nanos(start + seconds.min(room));
        let rein = if left { "Left" } else { "Right" };
        let mut rest = String::new();
        if row.sided {
            let _infallible = write!(rest, ", rein: {rein}");
        }
        if let Some(variant) = self.dice.pick(row.variants) {
            let _infallible = write!(rest, ", variant: \"{variant}\"");
        }
        if let Some((count, every)) = asked {
            let _infallible = write!(rest, ", asked_count: {count}, asked_every: {every}");
        }
        if self.dice.falls(0.2) {
            let score = self.dice.between(5, if faulty { 6 } else { 8 });
            let half = if self.dice.falls(0.5) { ".5" } else { "" };
            let _infallible = write!(rest, ", score: \"{score}{half}\"");
        }
        if self.dice.falls(0.3) {
            let letters = ["K", "E", "H", "M", "B", "F"];
            let (one, other) = (self.dice.pick(&letters), self.dice.pick(&letters));
            if let Some((one, other)) = one.zip(other) {
                let _infallible = write!(rest, ", letter_from: \"{one}\", letter_to: \"{other}\"");
            }
        }
        let reviewed = !self.dice.falls(0.04);
        let line = |id: u64, review: u64| {
            format!(
                "(id: \"{id:016x}\", review: \"{review:016x}\", exercise: \"{}\", from: \"{}\", \
                 to: \"{}\"{rest}, reviewed: {reviewed})",
                row.id,
                clock(from),
                clock(to)
            )
        };
        self.bouts.push((from, line(id, own)));
        if let Some(other) = self.reviews.1 {
            let id = self.dice.bits();
            self.bouts.push((from, line(id, other)));
        }
        self.marks_of(row, (id, from, to), faulty, stride, asked);
        faulty
    }

    /// Aids, changes, faults and praise of an attempt.
    fn marks_of(
        &mut self,
        row: &Exercise,
        (id, from, to): (u64, i64, i64),
        faulty: bool,
        stride: f64,
        asked: Option<(u32, u32)>,
    ) {
        let own = Some(id);
        for _ in 0..self.dice.between(1, 2) {
            let at = from - nanos(self.dice.within(0.4, 1.2));
            self.mark(&Mark {
                bout: own,
                ..Mark::plain(at, "Aid")
            });
        }
        let fault = faulty.then(|| self.fault_of(row)).flatten();
        if row.changes.is_some() {
            let (count, every) = asked.unwrap_or((1, 1));
            let mut onto_left = self.dice.falls(0.5);
            let wrong = self.dice.between(1, count.max(2) - 1);
            let mut at = from as f64 + SECOND;
            for number in 0..count {
                let kind = if onto_left {
                    "Change(Left)"
                } else {
                    "Change(Right)"
                };
                let refined = self.dice.falls(0.9);
                self.mark(&Mark {
                    bout: own,
                    refined,
                    ..Mark::plain(at as i64, kind)
                });
                let more = u32::from(fault == Some("miscount") && number == wrong);
                let steady = 1.0 + 0.02 * self.dice.normal();
                at += f64::from(every + more) * stride * steady * SECOND;
                onto_left = !onto_left;
            }
        }
        if let Some(fault) = fault {
            let more = self.dice.falls(0.3).then(|| self.fault_of(row)).flatten();
            for fault in [Some(fault), more].into_iter().flatten() {
                let at = self.dice.within(from as f64, to as f64) as i64;
                let kind = format!("Fault(\"{fault}\")");
                self.mark(&Mark {
                    bout: own,
                    ..Mark::plain(at, &kind)
                });
            }
        } else if self.dice.falls(0.25) {
            self.mark(&Mark {
                bout: own,
                ..Mark::plain(to, "Praise")
            });
        }
    }

    /// What went wrong: the usual more often than the rest.
    fn fault_of(&mut self, row: &Exercise) -> Option<&'static str> {
        let throw = self.dice.unit() * self.dice.unit();
        row.faults
            .get((throw * row.faults.len() as f64) as usize)
            .copied()
    }

    /// Notes here and there.
    fn remarks(&mut self) {
        for _ in 0..self.dice.between(18, 36) {
            let at = nanos(self.dice.within(30.0, self.length));
            let note = self.dice.pick(&NOTES).copied().unwrap_or_default();
            self.mark(&Mark {
                note,
                ..Mark::plain(at, "Note")
            });
        }
    }

    fn mark(&mut self, mark: &Mark<'_>) {
        let (id, review) = (self.dice.bits(), self.reviews.0);
        let mut rest = String::new();
        if let Some(bout) = mark.bout {
            let _infallible = write!(rest, ", bout: \"{bout:016x}\"");
        }
        if !mark.note.is_empty() {
            let _infallible = write!(rest, ", note: \"{}\"", mark.note);
        }
        if mark.refined {
            let shown = clock(mark.at);
            let _infallible = write!(rest, ", press: (shown: \"{shown}\", refined: true)");
        }
        if mark.kind.starts_with("Fault") && self.dice.falls(0.1) {
            let place = (self.dice.between(0, 2_000), self.dice.between(0, 6_000));
            let _infallible = write!(
                rest,
                ", place: (across_cm: {}, along_cm: {})",
                place.0, place.1
            );
        }
        let line = format!(
            "(id: \"{id:016x}\", review: \"{review:016x}\", at: \"{}\", kind: {}{rest})",
            clock(mark.at),
            mark.kind
        );
        self.marks.push((mark.at, line));
    }

    /// Paces from end to end, and outlines in most rides.
    fn spans(&mut self) {
        let mut at = 0.0;
        let mut turn = 0_usize;
        while at < self.length {
            let until = (at + self.dice.within(120.0, 360.0)).min(self.length);
            let pace = ["Walk", "Trot", "Canter", "Trot"]
                .get(turn % 4)
                .copied()
                .unwrap_or("Walk");
            let line = self.span(at, until, &format!("pace: {pace}"));
            self.spans[0].push(line);
            (at, turn) = (until, turn + 1);
        }
        if self.dice.falls(0.2) {
            return;
        }
        let mut at = self.dice.within(60.0, 300.0);
        while at < self.length {
            let until = (at + self.dice.within(60.0, 900.0)).min(self.length);
            let outline = self.dice.pick(&OUTLINES).copied().unwrap_or("working");
            let line = self.span(at, until, &format!("outline: \"{outline}\""));
            self.spans[1].push(line);
            at = until + self.dice.within(0.0, 60.0);
        }
    }

    fn span(&mut self, from: f64, to: f64, what: &str) -> String {
        let id = self.dice.bits();
        let (from, to) = (clock(nanos(from)), clock(nanos(to)));
        format!("(id: \"{id:016x}\", from: \"{from}\", to: \"{to}\", {what})")
    }

    /// A canter tapped in one ride of four.
    fn tempos(&mut self) {
        if !self.dice.falls(0.25) {
            return;
        }
        let (id, review) = (self.dice.bits(), self.reviews.0);
        let stride = self.dice.within(0.58, 0.66);
        let mut at = self.dice.within(600.0, self.length - 120.0);
        let taps = (0..self.dice.between(20, 60)).map(|_| {
            at += stride * (1.0 + 0.015 * self.dice.normal());
            format!("\"{}\"", clock(nanos(at)))
        });
        let taps = taps.collect::<Vec<_>>().join(", ");
        let line = format!(
            "(id: \"{id:016x}\", review: \"{review:016x}\", leg: LeftHind, taps: [{taps}])"
        );
        self.tempos.push(line);
    }

    fn finish(mut self, wish: &Wish<'_>) -> Ride {
        self.bouts.sort();
        self.marks.sort();
        let (film, minutes) = (self.dice.bits(), wish.number % 60);
        let title = self.dice.pick(&TITLES).copied().unwrap_or_default();
        let (own, other) = self.reviews;
        let other = other.map_or_else(String::new, |id| {
            format!(", (id: \"{id:016x}\", reviewer: \"Trainer\")")
        });
        let length = clock(nanos(self.length));
        let mut text = format!(
            "(\n  format: 3,\n  id: \"{:016x}\",\n  horse: \"{:016x}\",\n  date: \"{}\",\n  \
             time: \"{:02}:{minutes:02}:00\",\n  title: \"{title}\",\n  \
             reviews: [(id: \"{own:016x}\"){other}],\n  counting: \"{own:016x}\",\n  \
             arena: Standard,\n",
            self.id, wish.horse.id, wish.date, wish.hour,
        );
        let film = format!(
            "(id: \"{film:016x}\", path: \"films/{}.mp4\", offset: \"0:00:00.000000000\", \
             duration: \"{length}\")",
            wish.number
        );
        let lines = |things: Vec<(i64, String)>| things.into_iter().map(|(_, line)| line).collect();
        let (bouts, marks) = (self.bouts.len(), self.marks.len());
        let [paces, outlines] = self.spans;
        list(&mut text, "films", &[film]);
        list::<Vec<String>>(&mut text, "bouts", &lines(self.bouts));
        list::<Vec<String>>(&mut text, "marks", &lines(self.marks));
        list(&mut text, "paces", &paces);
        list(&mut text, "outlines", &outlines);
        list(&mut text, "tempos", &self.tempos);
        text.push_str(")\n");
        Ride {
            id: self.id,
            text,
            bouts,
            marks,
        }
    }
}

impl<'a> Mark<'a> {
    const fn plain(at: i64, kind: &'a str) -> Self {
        Self {
            at,
            kind,
            bout: None,
            note: "",
            refined: false,
        }
    }
}

/// The exercises of a level of training, with their numbers in the table.
fn ridden_at(level: u32) -> impl Iterator<Item = (usize, &'static Exercise)> {
    ALL.iter()
        .enumerate()
        .filter(move |(_, row)| row.level <= level)
}

/// The exercise on which a throw among the shares falls.
fn choose(level: u32, throw: f64) -> Option<(usize, &'static Exercise)> {
    let mut so_far = 0.0;
    ridden_at(level).find(|(_, row)| {
        so_far += row.share;
        throw < so_far
    })
}

/// A list of the file, one thing a line; nothing where there is none.
fn list<T: AsRef<[String]> + ?Sized>(text: &mut String, name: &str, lines: &T) {
    let lines = lines.as_ref();
    if lines.is_empty() {
        return;
    }
    let _infallible = writeln!(text, "  {name}: [");
    for line in lines {
        let _infallible = writeln!(text, "    {line},");
    }
    text.push_str("  ],\n");
}

fn nanos(seconds: f64) -> i64 {
    (seconds * SECOND) as i64
}

/// `h:mm:ss.nnnnnnnnn`.
fn clock(nanos: i64) -> String {
    let sign = if nanos < 0 { "-" } else { "" };
    let (seconds, rest) = (
        nanos.unsigned_abs() / 1_000_000_000,
        nanos.unsigned_abs() % 1_000_000_000,
    );
    let (hours, minutes) = (seconds / 3600, seconds / 60 % 60);
    format!("{sign}{hours}:{minutes:02}:{:02}.{rest:09}", seconds % 60)
}
