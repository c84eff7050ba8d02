//! The demo yard as it is committed: sound, reproducible, and telling the stories it is for.
#![expect(clippy::expect_used, reason = "helpers of tests")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use chrono::{Datelike as _, NaiveDate};
use reinback::report::digest::digest;
use reinback::report::numbers::{Line, Measure, Numbers, Question, Reins, Whose, numbers};
use reinback::report::period::{Choice, settled};
use reinback::report::shown::Yardstick;
use reinback::said::Earlier;
use reinback_analysis::{
    Direction, ExerciseLine, Key, Rein, Reservation, Shortage, Verdict, compare_lines,
    compare_reins_lines, exercise_lines,
};
use reinback_tests::demo::{demo_dir, write_scripts, write_yard};
use reinback_yard::{
    Filter, HorseId, MarkKind, Moment, Observed, Pace, Ride, Span, Store, WordId, Yard, observe,
};
use serde::Deserialize;
use tempfile::TempDir;

const SEED: u64 = 7;

/// All files below a folder with what they hold; a lock holds nothing.
fn files(dir: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut folders = vec![dir.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("the folder is there") {
            let path = entry.expect("it can be listed").path();
            if path.is_dir() {
                folders.push(path);
            } else if !path.ends_with(".lock") {
                let name = path.strip_prefix(dir).expect("below the folder").to_owned();
                found.insert(name, fs::read(&path).expect("it can be read"));
            }
        }
    }
    found
}

/// The committed yard in a folder of its own, as reading takes a lock.
fn copied() -> TempDir {
    let dir = TempDir::new().expect("a folder");
    for (name, bytes) in files(&demo_dir().join("yard")) {
        let path = dir.path().join(name);
        fs::create_dir_all(path.parent().expect("has one")).expect("a folder");
        fs::write(path, bytes).expect("copied");
    }
    dir
}

fn yard() -> Yard {
    let dir = copied();
    let opened = Store::open(dir.path()).expect("the yard opens");
    assert_eq!(opened.problems, Vec::new());
    opened.yard
}

fn horse(yard: &Yard, name: &str) -> HorseId {
    let found = yard.horses.iter().find(|horse| horse.name == name);
    found.expect("a horse of the yard").id
}

fn rides<'a>(yard: &'a Yard, name: &str) -> Vec<&'a Ride> {
    let id = horse(yard, name);
    let all = yard.rides_by_date().into_iter();
    all.filter(|ride| ride.head.horse == id).collect()
}

fn observed(yard: &Yard, from: Option<NaiveDate>, to: Option<NaiveDate>) -> Observed {
    let horse = Some(horse(yard, "Sonnet"));
    observe(yard, &Filter { horse, from, to })
}

fn key(observed: &Observed, exercise: &str) -> Key {
    let word = WordId::new(exercise).expect("a word");
    observed.keys.key(&word).expect("ridden")
}

fn line(yard: &Yard, exercise: &str) -> ExerciseLine {
    let season = observed(yard, None, None);
    let key = key(&season, exercise);
    let lines = exercise_lines(&season.rides);
    lines
        .into_iter()
        .find(|line| line.exercise == key)
        .expect("a line")
}

#[test]
fn the_files_are_the_generators() {
    let dir = TempDir::new().expect("a folder");
    let (films, yard) = (demo_dir().join("films"), dir.path().join("yard"));
    write_yard(&yard, &films).expect("the yard is written");
    let (made, kept) = (files(&yard), files(&demo_dir().join("yard")));
    assert_eq!(
        made.keys().collect::<Vec<_>>(),
        kept.keys().collect::<Vec<_>>(),
        "run demo_yard and commit what it writes"
    );
    for (name, bytes) in &made {
        assert!(
            kept[name] == *bytes,
            "{} differs; run demo_yard",
            name.display()
        );
    }
    write_scripts(dir.path()).expect("the scripts are written");
    let scripts = files(dir.path()).into_iter();
    for (name, bytes) in scripts.filter(|(name, _)| name.to_string_lossy().ends_with(".script.ron"))
    {
        let kept = fs::read(films.join(&name)).expect("a committed script");
        assert!(kept == bytes, "{} differs; run demo_yard", name.display());
    }
}

/// Films that are drawn on first use are the only thing the yard lacks.
#[test]
fn nothing_is_wrong_but_films_not_drawn_yet() {
    let dir = copied();
    let filmed: usize = yard().rides.values().map(|ride| ride.films.len()).sum();
    let problems = reinback_yard::check(dir.path());
    let (films, others): (Vec<_>, Vec<_>) = problems
        .iter()
        .partition(|problem| problem.message.starts_with("The film “films/"));
    assert_eq!(others, Vec::<&reinback_yard::Problem>::new());
    assert_eq!(films.len(), filmed, "no film lies beside the copy");
}

#[test]
fn the_season_is_as_long_as_it_says() {
    let yard = yard();
    assert!(yard.as_of_last_ride);
    assert_eq!(yard.horses.len(), 3);
    assert_eq!(yard.words, reinback_yard::Words::default());
    assert_eq!(yard.last_day(), NaiveDate::from_ymd_opt(2026, 11, 20));
    for (name, least, minutes) in [
        ("Sonnet", 24, 36..=46),
        ("Quill", 8, 18..=26),
        ("Marlow", 8, 30..=38),
    ] {
        let rides = rides(&yard, name);
        let days = (rides[rides.len() - 1].head.date - rides[0].head.date).num_days();
        assert!(rides.len() >= least, "{name}: {} rides", rides.len());
        assert!((75..=95).contains(&days), "{name}: {days} days");
        // The evening of the last day is its film and little more.
        for ride in rides
            .iter()
            .filter(|ride| ride.head.date != yard.last_day().unwrap())
        {
            let length = ended(ride) / 60_000_000_000;
            assert!(
                minutes.contains(&length),
                "{name}, {}: {length} min",
                ride.head.date
            );
        }
    }
    for ride in rides(&yard, "Sonnet").iter().rev().skip(1) {
        let reviewed = ride.bouts.iter().filter(|bout| bout.reviewed).count();
        assert!(
            (24..=34).contains(&reviewed),
            "{}: {reviewed} bouts",
            ride.head.date
        );
    }
}

fn ended(ride: &Ride) -> i64 {
    ride.paces
        .iter()
        .map(|span| span.span.to.0)
        .max()
        .expect("ridden")
}

/// The strip has no holes: every moment of a ride has one pace and one outline.
#[test]
fn paces_and_outlines_follow_one_another() {
    let check = |spans: Vec<Span>, what: &str| {
        assert_eq!(spans[0].from, Moment(0), "{what}");
        for pair in spans.windows(2) {
            assert_eq!(pair[0].to, pair[1].from, "{what}");
        }
    };
    for ride in yard().rides.values() {
        check(ride.paces.iter().map(|span| span.span).collect(), "paces");
        check(
            ride.outlines.iter().map(|span| span.span).collect(),
            "outlines",
        );
        let end = Moment(ended(ride));
        assert!(
            ride.bouts
                .iter()
                .all(|bout| bout.to.is_some_and(|to| to <= end))
        );
    }
}

#[test]
fn flying_changes_become_better() {
    let yard = yard();
    let change = line(&yard, "flying-change");
    let trend = change.trend.state.expect("enough rides");
    assert_eq!(trend.direction, Direction::Fewer);
    assert_eq!(
        month_against_month(&yard, "flying-change"),
        (Verdict::Fewer, None)
    );
}

#[test]
fn halts_become_worse() {
    let yard = yard();
    let trend = line(&yard, "halt").trend.state.expect("enough rides");
    assert_eq!(trend.direction, Direction::More);
    assert_eq!(month_against_month(&yard, "halt"), (Verdict::More, None));
}

#[test]
fn the_half_pass_is_one_sided_and_stays_so() {
    let yard = yard();
    let season = observed(&yard, None, None);
    let half_pass = key(&season, "half-pass");
    let reins = compare_reins_lines(&season.rides, SEED);
    let (_, right) = reins
        .iter()
        .find(|(key, _)| *key == half_pass)
        .expect("both reins");
    assert_eq!(right.verdict, Verdict::Fewer, "fewer faults on the right");
    let others: Vec<_> = reins
        .iter()
        .filter(|(key, line)| {
            *key != half_pass && matches!(line.verdict, Verdict::Fewer | Verdict::More)
        })
        .collect();
    assert!(others.is_empty(), "nothing else is one-sided: {others:?}");
    let trend = line(&yard, "half-pass").trend.state.expect("enough rides");
    assert_eq!(trend.direction, Direction::NoClearTrend);
    let (verdict, _) = month_against_month(&yard, "half-pass");
    assert_eq!(verdict, Verdict::NoClearDifference);
}

#[test]
fn half_pirouettes_are_too_few() {
    let yard = yard();
    let pirouette = line(&yard, "half-pirouette-in-canter");
    assert_eq!(pirouette.all.rate.tally.attempts, 4);
    assert_eq!(
        pirouette.all.rate.range.err(),
        Some(Shortage::FewerThanSixAttempts)
    );
    assert_eq!(
        pirouette.trend.state.err(),
        Some(Shortage::FewerThanEightRides)
    );
}

/// A story is only clear when nothing else pretends to be one.
#[test]
fn nothing_else_moves() {
    let yard = yard();
    let season = observed(&yard, None, None);
    let moving: BTreeSet<String> = exercise_lines(&season.rides)
        .iter()
        .filter(|line| {
            let direction = line.trend.state.map(|trend| trend.direction);
            matches!(direction, Ok(Direction::Fewer | Direction::More))
        })
        .map(|line| season.keys.word(line.exercise).expect("a word").to_string())
        .collect();
    assert_eq!(moving, ["flying-change", "halt"].map(str::to_owned).into());
}

/// November against October, judged with all the other lines.
fn month_against_month(yard: &Yard, exercise: &str) -> (Verdict, Option<Reservation>) {
    let day = |month, day| NaiveDate::from_ymd_opt(2026, month, day);
    let october = observed(yard, day(10, 1), day(10, 31));
    let november = observed(yard, day(11, 1), day(11, 30));
    let key = key(&october, exercise);
    let lines = compare_lines(&october.rides, &november.rides, SEED);
    let (_, line) = lines
        .iter()
        .find(|(found, _)| *found == key)
        .expect("ridden");
    (line.verdict, line.reservation)
}

/// What the Progress room asks when the demo yard is opened, of Sonnet.
fn asked_at_first(yard: &Yard) -> Numbers {
    let today = yard.last_day().expect("rides");
    let sonnet = horse(yard, "Sonnet");
    let choice = Choice::default().asked(today).expect("nothing is typed");
    let (shown, instead) = settled(yard, &[sonnet], choice, today);
    assert_eq!(instead, None, "the month has enough rides");
    let question = Question {
        whose: Whose::One(sonnet),
        days: shown.days,
        against: shown.against.map(|(days, _)| days),
        reins: Reins::Both,
    };
    numbers(yard, &question)
}

fn names(lines: &[&Line]) -> Vec<String> {
    lines.iter().map(|line| line.name.clone()).collect()
}

/// The four stories of the demo, as the room asks at first: the better, the worse, the one-sided
/// and the too rare.
#[test]
fn the_first_question_tells_the_four_stories() {
    let found = asked_at_first(&yard());
    let month = Yardstick::Days(Earlier::LastMonth);
    let digest = digest(&found, month, Measure::Attempts);
    assert_eq!(names(&digest.better), ["flying change"]);
    assert_eq!(names(&digest.worse), ["halt"]);
    let sided = digest.one_sided.iter();
    let sided: Vec<(&str, Rein)> = sided.map(|(line, rein)| (&*line.name, *rein)).collect();
    assert_eq!(sided, [("half-pass", Rein::Left)]);
    let few = names(&digest.too_few);
    assert!(
        few.iter().any(|name| name == "half pirouette in canter"),
        "{few:?}"
    );
    let first: Vec<&str> = found.lines[..2].iter().map(|line| &*line.name).collect();
    assert_eq!(first, ["halt", "half-pass"], "what asks for work leads");
    let rare = found.lines.iter().find(|line| few.contains(&line.name));
    assert!(
        rare.is_some_and(|line| line.place > 3),
        "what is rare does not"
    );
}

/// What a truth file says of what goes wrong; the rest of it is passed over.
#[derive(Deserialize)]
struct Truth {
    fps: i64,
    frames: i64,
    captions: Vec<(i64, i64, String)>,
    changes: Vec<Change>,
    lapses: Vec<(i64, i64, f64)>,
    breaks: Vec<(i64, i64, Step)>,
    quarters_trailing: Vec<(i64, i64)>,
    paces: Vec<Stretch>,
}

#[derive(Deserialize)]
struct Change {
    at: i64,
    late_behind: u32,
}

#[derive(Deserialize)]
struct Stretch {
    from: i64,
    to: i64,
    pace: Step,
}

#[derive(Clone, Copy, Deserialize, PartialEq)]
enum Step {
    Walk,
    Trot,
    Canter,
    Passage,
    Piaffe,
    Halt,
    ReinBack,
}

impl Truth {
    /// The moments at which something goes wrong, but for steps around a halt.
    fn wrong(&self) -> BTreeSet<i64> {
        let late = self.changes.iter().filter(|change| change.late_behind > 0);
        let late = late.map(|change| change.at);
        let lapses = self.lapses.iter().map(|(at, ..)| *at);
        let breaks = self.breaks.iter().map(|(at, ..)| *at);
        let trailing = self.quarters_trailing.iter().map(|(at, _)| *at);
        late.chain(lapses).chain(breaks).chain(trailing).collect()
    }

    /// The moments at which steps are drawn under the caption of a halt.
    fn steps_at_halts(&self) -> BTreeSet<i64> {
        let halts = self.captions.iter().filter(|(.., words)| words == "Halt");
        let steps = halts.flat_map(|(from, to, _)| {
            let within = self.paces.iter().filter(|s| *from <= s.from && s.to <= *to);
            within.filter(|s| s.pace != Step::Halt).map(|s| s.from)
        });
        steps.collect()
    }
}

/// In a film, what is drawn is marked and nothing else, to the nanosecond.
#[test]
fn marks_in_films_are_what_is_drawn() {
    let yard = yard();
    let mut filmed = Vec::new();
    for ride in yard.rides.values().filter(|ride| !ride.films.is_empty()) {
        let film = &ride.films[0];
        let name = film
            .path
            .trim_start_matches("films/")
            .trim_end_matches(".mp4");
        let path = demo_dir().join("films").join(format!("{name}.truth.ron"));
        let text = fs::read_to_string(path).expect("a truth");
        let truth: Truth = ron::Options::default()
            .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
            .from_str(&text)
            .expect("a truth");
        assert_eq!(
            film.duration_nanos,
            Some(truth.frames * 1_000_000_000 / truth.fps)
        );
        let shown = film.span().expect("it has a length");
        let marked: BTreeSet<i64> = ride
            .marks
            .iter()
            .filter(|mark| matches!(mark.kind, MarkKind::Fault(_)) && shown.contains(mark.at))
            .map(|mark| film.film_from_ride(mark.at))
            .collect();
        let drawn: BTreeSet<i64> = &truth.wrong() | &truth.steps_at_halts();
        assert_eq!(marked, drawn, "{name}");
        let bounds: BTreeSet<i64> = truth
            .captions
            .iter()
            .flat_map(|(a, b, _)| [*a, *b])
            .collect();
        for bout in ride.bouts.iter().filter(|bout| shown.contains(bout.from)) {
            let ends = [Some(bout.from), bout.to].map(|end| film.film_from_ride(end.unwrap()));
            assert!(
                ends.iter().all(|end| bounds.contains(end)),
                "{name}: {ends:?}"
            );
        }
        filmed.push((ride.head.horse, ride.head.date));
    }
    assert!(
        filmed.len() >= 9,
        "the evening and eight more: {}",
        filmed.len()
    );
    for name in ["Sonnet", "Quill", "Marlow"] {
        let id = horse(&yard, name);
        assert!(
            filmed.iter().any(|(horse, _)| *horse == id),
            "{name} has a film"
        );
    }
    let last = yard.last_day().expect("rides");
    let evening = rides(&yard, "Sonnet")
        .into_iter()
        .find(|ride| ride.head.date == last);
    let film = &evening.expect("ridden on the last day").films[0];
    assert_eq!(
        (film.path.as_str(), film.offset),
        ("films/evening-ride.mp4", Moment(0))
    );
}

/// A season to be read (`cargo test -p reinback-tests --test demo -- words --nocapture`), in
/// which no horse is asked for more than it can give.
#[test]
fn a_season_in_words() {
    let yard = yard();
    for name in ["Sonnet", "Quill", "Marlow"] {
        let mut months: BTreeMap<(String, u32), (u32, u32)> = BTreeMap::new();
        for ride in rides(&yard, name) {
            for bout in ride.bouts.iter().filter(|bout| bout.reviewed) {
                let faulty = ride.marks.iter().any(|mark| {
                    mark.bout == Some(bout.id) && matches!(mark.kind, MarkKind::Fault(_))
                });
                let rein = bout
                    .rein
                    .map_or(String::new(), |rein| format!(", {rein:?}"));
                let key = (format!("{}{rein}", bout.exercise), ride.head.date.month());
                let (wrong, all) = months.entry(key).or_default();
                *wrong += u32::from(faulty);
                *all += 1;
            }
        }
        println!("{name}");
        for ((exercise, month), (wrong, all)) in &months {
            println!("  {exercise}, month {month}: {wrong} of {all}");
        }
        let canter = rides(&yard, name)
            .iter()
            .map(|ride| longest(ride, Pace::Canter))
            .max();
        assert!(
            canter < Some(15 * 60),
            "no horse canters for a quarter of an hour: {canter:?} s"
        );
    }
}

/// The longest unbroken stretch in a pace, in seconds.
fn longest(ride: &Ride, pace: Pace) -> i64 {
    let (mut longest, mut now) = (0, 0);
    for span in &ride.paces {
        now = if span.pace == pace {
            now + span.span.duration_nanos()
        } else {
            0
        };
        longest = longest.max(now);
    }
    longest / 1_000_000_000
}
