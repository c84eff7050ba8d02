//! A trial of about a minute that tells how late a reviewer's keys are: pictures come at uneven
//! times, and a key is pressed for some of them. Pure; `figure` draws it.

pub mod figure;

use reinback_analysis::describe::quantile;

/// What is pressed for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Task {
    /// The space bar, whenever a halt is not square: seeing and judging, as with faults.
    Faults,
    /// Two letters, whenever the horse begins to go sideways: as when an exercise starts.
    Starts,
}

/// Presses that a delay is taken from, at least. Our own choice.
pub const LEAST: usize = 8;
/// A picture stays this long, in seconds. Our own choice.
const STAY: f64 = 1.1;
/// A press earlier than this after its picture, in seconds, was on its way before: people do not
/// react that fast (common knowledge, from memory).
const EARLIEST: f64 = 0.1;
/// A press later than this after its picture, in seconds, is none for it. Our own choice.
const LATEST: f64 = 1.5;
/// A second letter later than this, in seconds, does not belong to the first. Our own choice.
const LETTERS: f64 = 1.5;
/// From one picture to the next, in seconds: uneven, so that it cannot be foreseen. Our own choice.
const APART: (f64, f64) = (1.7, 3.0);
/// Pictures in all, and those among them that are pressed for. Our own choice.
const PICTURES: [(Task, usize, usize); 2] = [(Task::Faults, 20, 12), (Task::Starts, 12, 12)];

/// A trial under way. Times are seconds of the window.
#[derive(Clone, Debug)]
pub struct Trial {
    task: Task,
    pictures: Vec<Picture>,
    presses: Vec<f64>,
    /// When a first letter came, for which the second is awaited.
    begun: Option<f64>,
}

#[derive(Clone, Copy, Debug)]
struct Picture {
    at: f64,
    press: bool,
}

/// What is to be seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Scene {
    /// Nothing yet, or nothing between two pictures.
    Waiting,
    /// A picture; whether it is one to press for.
    Picture(bool),
    /// It is done.
    Over,
}

/// What came of a trial.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outcome {
    /// Presses that answered a picture.
    pub hits: usize,
    /// Pictures that no press answered.
    pub missed: usize,
    /// Presses that answered none.
    pub wrong: usize,
    /// Milliseconds from a picture to its press: lower quartile, median, upper quartile; `None`
    /// below [`LEAST`] presses.
    pub delay_ms: Option<[f64; 3]>,
}

impl Trial {
    /// A trial that begins at `now`; equal seeds give equal trials.
    #[must_use]
    pub fn new(task: Task, now: f64, seed: u64) -> Self {
        let mut dice = Dice(seed);
        let of_task = PICTURES.into_iter().find(|(of, ..)| *of == task);
        let (_, count, mut left) = of_task.unwrap_or(PICTURES[0]);
        let mut at = now + 1.0;
        let pictures = (0..count)
            .map(|number| {
                at += APART.0 + (APART.1 - APART.0) * dice.next();
                // Each order is as likely as any other.
                let press = dice.next() * ((count - number) as f64) < left as f64;
                left -= usize::from(press);
                Picture { at, press }
            })
            .collect();
        Self {
            task,
            pictures,
            presses: Vec::new(),
            begun: None,
        }
    }

    /// What is pressed for.
    #[must_use]
    pub fn task(&self) -> Task {
        self.task
    }

    /// What is to be seen at `now`.
    #[must_use]
    pub fn scene(&self, now: f64) -> Scene {
        let last = self.pictures.last().map_or(now, |picture| picture.at);
        if now > last + LATEST {
            return Scene::Over;
        }
        let shown = |picture: &&Picture| (picture.at..picture.at + STAY).contains(&now);
        let picture = self.pictures.iter().find(shown);
        picture.map_or(Scene::Waiting, |picture| Scene::Picture(picture.press))
    }

    /// Pictures that were shown, of how many.
    #[must_use]
    pub fn progress(&self, now: f64) -> (usize, usize) {
        let shown = self.pictures.iter().filter(|picture| picture.at <= now);
        (shown.count(), self.pictures.len())
    }

    /// The space bar.
    pub fn space(&mut self, now: f64) {
        if self.task == Task::Faults {
            self.presses.push(now);
        }
    }

    /// A letter; the second of two counts. A first one that none follows in time, or before the
    /// next picture, is forgotten: one stray letter does not make all later pairs wrong.
    pub fn letter(&mut self, now: f64) {
        if self.task != Task::Starts {
            return;
        }
        let pictures = &self.pictures;
        let came = |first: f64| pictures.iter().any(|own| first < own.at && own.at <= now);
        let first = self.begun.take();
        match first.filter(|first| now - first <= LETTERS && !came(*first)) {
            Some(_) => self.presses.push(now),
            None => self.begun = Some(now),
        }
    }

    /// What came of it so far.
    #[must_use]
    pub fn outcome(&self) -> Outcome {
        let mut delays = Vec::new();
        let mut answered = 0;
        let mut missed = 0;
        for picture in self.pictures.iter().filter(|picture| picture.press) {
            let answers =
                |press: &&f64| (picture.at + EARLIEST..picture.at + LATEST).contains(*press);
            match self.presses.iter().find(answers) {
                Some(press) => {
                    answered += 1;
                    delays.push((press - picture.at) * 1e3);
                }
                None => missed += 1,
            }
        }
        delays.sort_by(f64::total_cmp);
        let quartiles = [0.25, 0.5, 0.75].map(|part| quantile(&delays, part));
        Outcome {
            hits: answered,
            missed,
            wrong: self.presses.len() - answered,
            delay_ms: match quartiles {
                [Some(low), Some(middle), Some(high)] if answered >= LEAST => {
                    Some([low, middle, high])
                }
                _ => None,
            },
        }
    }
}

/// Numbers from 0 to below 1 that look random (`SplitMix64`; Steele, Lea and Flood 2014).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        bits ^= bits >> 31;
        (bits >> 11) as f64 / (1_u64 << 53) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Presses for every picture that asks for it so late, but for the last `missed`, and once
    /// for one that does not.
    fn ridden(task: Task, late: impl Fn(usize) -> f64, missed: usize, wrong: bool) -> Outcome {
        let mut trial = Trial::new(task, 100.0, 7);
        let pictures = trial.pictures.clone();
        let asked: Vec<f64> = pictures.iter().filter(|p| p.press).map(|p| p.at).collect();
        for (number, at) in asked.iter().take(asked.len() - missed).enumerate() {
            match task {
                Task::Faults => trial.space(at + late(number)),
                Task::Starts => {
                    trial.letter(at + late(number) - 0.1);
                    trial.letter(at + late(number));
                }
            }
        }
        if let Some(other) = pictures.iter().find(|p| !p.press).filter(|_| wrong) {
            trial.space(other.at + 0.3);
        }
        trial.outcome()
    }

    #[test]
    fn the_median_delay_and_its_quartiles_are_told() {
        for (task, hits) in [(Task::Faults, 12), (Task::Starts, 12)] {
            // 0.30, 0.31, ... 0.41 s: the quartiles of type 7 (Hyndman and Fan 1996; numpy's
            // default) lie at 0.3275, 0.355 and 0.3825.
            let outcome = ridden(task, |number| 0.30 + 0.01 * number as f64, 0, false);
            assert_eq!((outcome.hits, outcome.missed, outcome.wrong), (hits, 0, 0));
            let found = outcome.delay_ms.unwrap();
            for (found, expected) in found.iter().zip([327.5, 355.0, 382.5]) {
                assert!(
                    (found - expected).abs() < 1e-6,
                    "{task:?} {found} {expected}"
                );
            }
        }
    }

    #[test]
    fn misses_and_wrong_presses_are_counted_and_few_presses_say_nothing() {
        let outcome = ridden(Task::Faults, |_| 0.4, 4, true);
        assert_eq!((outcome.hits, outcome.missed, outcome.wrong), (8, 4, 1));
        assert!(outcome.delay_ms.is_some());
        let outcome = ridden(Task::Faults, |_| 0.4, 5, false);
        assert_eq!(outcome.delay_ms, None, "seven presses");
        // So late that it may be meant for anything.
        let outcome = ridden(Task::Faults, |_| 1.6, 0, false);
        assert_eq!((outcome.hits, outcome.delay_ms), (0, None));
    }

    #[test]
    fn a_stray_letter_spoils_one_pair_at_most() {
        // A letter so long before the first picture; then every picture is answered well.
        for before in [0.05, 0.5, 5.0] {
            let mut trial = Trial::new(Task::Starts, 100.0, 7);
            let pictures = trial.pictures.clone();
            trial.letter(pictures[0].at - before);
            for picture in &pictures {
                trial.letter(picture.at + 0.3);
                trial.letter(picture.at + 0.4);
            }
            let outcome = trial.outcome();
            assert_eq!(
                (outcome.hits, outcome.missed, outcome.wrong),
                (12, 0, 0),
                "{before}"
            );
        }
        // A third letter after a pair is a first one that none follows.
        let mut trial = Trial::new(Task::Starts, 100.0, 7);
        for picture in trial.pictures.clone() {
            for late in [0.3, 0.4, 0.5] {
                trial.letter(picture.at + late);
            }
        }
        assert_eq!((trial.outcome().hits, trial.outcome().wrong), (12, 0));
    }

    #[test]
    fn a_press_faster_than_people_react_is_no_answer() {
        let outcome = ridden(Task::Faults, |_| 0.09, 0, false);
        assert_eq!((outcome.hits, outcome.missed, outcome.wrong), (0, 12, 12));
        let outcome = ridden(Task::Faults, |_| 0.11, 0, false);
        assert_eq!((outcome.hits, outcome.missed, outcome.wrong), (12, 0, 0));
    }

    #[test]
    fn pictures_come_one_at_a_time_at_uneven_moments() {
        for seed in 0..50 {
            for (task, count, asked) in PICTURES {
                let trial = Trial::new(task, 0.0, seed);
                assert_eq!(trial.pictures.len(), count);
                let press = trial.pictures.iter().filter(|p| p.press).count();
                assert_eq!(press, asked, "{task:?} {seed}");
                for pair in trial.pictures.windows(2) {
                    let apart = pair[1].at - pair[0].at;
                    assert!((APART.0..APART.1).contains(&apart), "{apart}");
                    // A press is for one picture only.
                    assert!(apart > LATEST);
                }
                assert_eq!(trial.scene(0.0), Scene::Waiting);
                let first = trial.pictures[0];
                assert_eq!(trial.scene(first.at), Scene::Picture(first.press));
                assert_eq!(trial.scene(first.at + STAY), Scene::Waiting);
                assert_eq!(trial.scene(1e6), Scene::Over);
            }
        }
    }
}
