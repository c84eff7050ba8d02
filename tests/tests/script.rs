//! The keys a ride takes: a script of sixty exercises and a hundred and fifty marks on a film of
//! forty minutes, typed while it plays.

#![expect(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a step of a journey that fails, fails the journey; one that is left out says so"
)]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

use egui::{Event, Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use reinback_tests::demo::dice::Dice;
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::{Bout, Exercise, MarkKind, Moment, Rein, Words};

const MINUTES: usize = 40;
const BOUTS: usize = 60;
const MARKS: usize = 150;
/// As the aim of the room has it: exercise, rein and variant.
const KEYS_A_BOUT: usize = 4;

/// A small film of forty minutes: one minute made, and the same packets again and again.
fn film(folder: &Path) -> Option<PathBuf> {
    let (minute, whole) = (folder.join("minute.mp4"), folder.join("ride.mp4"));
    let ffmpeg = |args: &[&str], to: &Path| {
        let made = Command::new("ffmpeg")
            .args(["-v", "error", "-y"])
            .args(args)
            .arg(to)
            .status();
        made.is_ok_and(|status| status.success())
    };
    let drawn = [
        "-f",
        "lavfi",
        "-i",
        "testsrc=size=160x120:rate=25",
        "-t",
        "60",
        "-c:v",
    ];
    let how = [
        "libx264",
        "-preset",
        "ultrafast",
        "-g",
        "50",
        "-pix_fmt",
        "yuv420p",
    ];
    if !ffmpeg(&[&drawn[..], &how[..]].concat(), &minute) {
        println!("skipped: ffmpeg makes no films");
        return None;
    }
    let again = (MINUTES - 1).to_string();
    let from = minute.to_str().unwrap();
    let joined = ["-stream_loop", &again, "-i", from, "-c", "copy"];
    assert!(ffmpeg(&joined, &whole), "the minute is there");
    Some(whole)
}

/// What the script has marked of one exercise.
#[derive(Clone, Debug)]
struct Part {
    exercise: Exercise,
    rein: Option<Rein>,
    /// From 1, the variant ridden.
    variant: Option<usize>,
    /// Keys of faults, and signs of praise and "ridden again".
    marks: Vec<char>,
}

/// The script, the same each time: exercises that have faults on keys, sided ones on a rein, those
/// with variants in one of them.
fn script(words: &Words) -> Vec<Part> {
    let mut dice = Dice::named("forty minutes");
    let rideable: Vec<&Exercise> = words
        .exercises
        .iter()
        .filter(|e| e.faults.len() > 3)
        .collect();
    let mut parts: Vec<Part> = (0..BOUTS)
        .map(|_| {
            let exercise = rideable[dice.below(rideable.len() as u32) as usize].clone();
            let rein = [Rein::Left, Rein::Right][dice.below(2) as usize];
            let variants = exercise.variants.len() as u32;
            Part {
                rein: exercise.sided.then_some(rein),
                variant: (variants > 0).then(|| 1 + dice.below(variants) as usize),
                marks: Vec::new(),
                exercise,
            }
        })
        .collect();
    for _ in 0..MARKS {
        let part = &mut parts[dice.below(BOUTS as u32) as usize];
        let keys = part.exercise.faults.len().min(9) as u32;
        let mark = match dice.below(12) {
            0 => '+',
            1 => '*',
            _ => char::from_digit(1 + dice.below(keys), 10).unwrap(),
        };
        part.marks.push(mark);
    }
    parts
}

/// A hand on the keyboard that counts.
struct Hand {
    window: Window,
    keys: usize,
    /// The frame on screen at the key of each mark.
    shown: Vec<Moment>,
}

impl Hand {
    fn sign(&mut self, sign: char) {
        self.keys += 1;
        self.window.harness.event(Event::Text(sign.to_string()));
        self.window.steps(1);
    }

    fn key(&mut self, modifiers: Modifiers, key: Key) {
        self.keys += 1;
        self.window.harness.key_press_modifiers(modifiers, key);
        self.window.steps(1);
    }

    /// The time until the rider's next key, which nobody wants to sit through: a jump on the ruler
    /// while the film plays on.
    fn wait_until(&mut self, second: f64) {
        let strip = self
            .window
            .harness
            .get_by_label_contains("Strip of the ride")
            .rect();
        let share = (second / (60 * MINUTES) as f64) as f32;
        let at = egui::pos2(strip.left() + share * strip.width(), strip.top() + 8.0);
        self.window.harness.drag_at(at);
        self.window.harness.drop_at(at);
        self.window.steps(1);
        self.window.until("the film has come there", |w| {
            let stage = &w.app().review().unwrap().stage;
            !stage.is_waiting() && (stage.position().0 as f64 / 1e9 - second).abs() < 8.0
        });
        self.plays();
    }

    fn plays(&self) {
        let playing = self.window.app().review().unwrap().stage.is_playing();
        assert!(playing, "the film never stops");
    }

    /// Types one exercise, and gives the keys it took.
    fn start(&mut self, part: &Part, before: Option<&str>) -> usize {
        let from = self.keys;
        for letter in part.exercise.short.chars() {
            self.sign(letter);
        }
        match part.rein {
            Some(Rein::Left) => self.sign(','),
            Some(Rein::Right) => self.sign('.'),
            None => {}
        }
        let wanted = part
            .variant
            .map(|n| part.exercise.variants[n - 1].id.as_str());
        // What was ridden last of this exercise is said already.
        if let Some(number) = part.variant
            && before != wanted
        {
            let digits = [
                Key::Num1,
                Key::Num2,
                Key::Num3,
                Key::Num4,
                Key::Num5,
                Key::Num6,
            ];
            self.key(Modifiers::COMMAND | Modifiers::SHIFT, digits[number - 1]);
        }
        self.keys - from
    }
}

#[test]
fn sixty_exercises_and_a_hundred_and_fifty_marks_while_the_film_runs() {
    let folder = tempfile::tempdir().unwrap();
    let Some(film) = film(folder.path()) else {
        return;
    };
    let yard = copy_demo(folder.path()).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.will_answer(vec![film]);
    window.press_with(Modifiers::COMMAND, Key::N);
    window.until("the film is read", |w| {
        w.shows("160×120") && !w.shows("Reading")
    });
    window.click("Make the ride");
    window.until("the film shows a frame", Window::has_picture);
    let parts = script(&window.yard().words);
    assert_eq!(
        parts.iter().map(|part| part.marks.len()).sum::<usize>(),
        MARKS
    );

    window.press(Key::Space);
    let mut hand = Hand {
        window,
        keys: 0,
        shown: Vec::new(),
    };
    let mut last: BTreeMap<String, String> = BTreeMap::new();
    let each = (60 * MINUTES) as f64 / (BOUTS + 1) as f64;
    let mut fewest = usize::MAX;
    let mut most = 0;
    for (number, part) in parts.iter().enumerate() {
        let second = 5.0 + each * number as f64;
        hand.wait_until(second);
        let name = part.exercise.id.as_str();
        let keys = hand.start(part, last.get(name).map(String::as_str));
        assert!(keys <= KEYS_A_BOUT, "{name} took {keys} keys");
        (fewest, most) = (fewest.min(keys), most.max(keys));
        if let Some(number) = part.variant {
            let variant = part.exercise.variants[number - 1].id.to_string();
            last.insert(name.into(), variant);
        }
        for (mark, key) in part.marks.iter().enumerate() {
            hand.wait_until(second + 6.0 + 3.0 * mark as f64);
            let before = hand.keys;
            let stage = &hand.window.app().review().unwrap().stage;
            hand.shown.push(stage.position());
            hand.sign(*key);
            assert_eq!(hand.keys - before, 1, "one key a mark");
        }
    }
    hand.plays();
    // The first key that is not for a mark: the last exercise has none after it that ends it.
    hand.wait_until(60.0 * MINUTES as f64 - 12.0);
    hand.sign('0');
    println!("{fewest} to {most} keys an exercise, {} in all", hand.keys);

    let (window, shown) = (hand.window, hand.shown);
    let ride = window.ride();
    assert_eq!((ride.bouts.len(), ride.marks.len()), (BOUTS, MARKS));
    // Each on the frame that was on screen, made while the film ran; no delay was set.
    let mut pressed: Vec<Moment> = Vec::new();
    for mark in &ride.marks {
        let press = mark.press.unwrap();
        assert_eq!(
            (mark.at, press.correction, press.refined),
            (press.shown, 0, false)
        );
        pressed.push(press.shown);
    }
    assert_eq!(pressed, shown);
    for (bout, part) in ride.bouts.iter().zip(&parts) {
        let found = (&bout.exercise, bout.rein, bout.variant.as_ref());
        let variant = part.variant.map(|n| &part.exercise.variants[n - 1].id);
        assert_eq!(found, (&part.exercise.id, part.rein, variant));
        assert!(bout.reviewed && bout.to.is_some(), "{bout:?}");
        assert_eq!(marks_of(ride, bout), expected(part), "{bout:?}");
    }
}

fn marks_of(ride: &reinback_yard::Ride, bout: &Bout) -> Vec<MarkKind> {
    let own = ride.marks.iter().filter(|mark| mark.bout == Some(bout.id));
    own.map(|mark| mark.kind.clone()).collect()
}

fn expected(part: &Part) -> Vec<MarkKind> {
    let kind = |key: &char| match key {
        '+' => MarkKind::Praise,
        '*' => MarkKind::Repeated,
        digit => {
            let at = digit.to_digit(10).unwrap() as usize - 1;
            MarkKind::Fault(part.exercise.faults[at].id.clone())
        }
    };
    part.marks.iter().map(kind).collect()
}
