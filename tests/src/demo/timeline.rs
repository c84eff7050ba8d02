//! How a ride went, laid on the ride clock.

use super::dice::Dice;
use super::moves::{Going, Move, TROT};
use super::scenario::{GENERAL, Horse};
use super::session::Session;
use super::truth::{Named, Shown};

const SECOND: i64 = 1_000_000_000;
const TENTH: i64 = SECOND / 10;

/// A ride on its clock, in nanoseconds.
#[derive(Debug, Default)]
pub(super) struct Timeline {
    pub(super) attempts: Vec<Attempt>,
    pub(super) paces: Vec<(i64, i64, Going)>,
    pub(super) outlines: Vec<(i64, i64, &'static str)>,
    /// Where the film begins.
    pub(super) film_at: Option<i64>,
}

/// One attempt as it went.
#[derive(Debug)]
pub(super) struct Attempt {
    pub(super) what: Named,
    pub(super) letters: (Option<char>, Option<char>),
    pub(super) from: i64,
    pub(super) to: i64,
    pub(super) faults: Vec<(i64, &'static str)>,
    pub(super) again: bool,
}

/// A move with how it went, before it has its place on the clock.
#[derive(Clone, Copy)]
struct Outcome {
    asked: Move,
    tenths: u32,
    /// The faults, each so many hundredths into the bout.
    faults: [Option<(&'static str, u32)>; 2],
    again: bool,
    /// What it takes of the riding between the bouts.
    share: u32,
}

/// Rides a session: chance decides how each move goes, the film knows how its own went.
pub(super) fn ride(
    horse: &Horse,
    month: u32,
    session: &Session,
    film: Option<&Shown>,
    dice: &mut Dice,
) -> Timeline {
    let (mut first, mut second) = (session.first.clone(), session.second.clone());
    if let Some(film) = film.filter(|_| !first.is_empty()) {
        take_out(&mut first, &mut second, film);
    }
    let first = go(horse, month, &first, dice);
    let second = go(horse, month, &second, dice);
    let minutes = dice.between(horse.minutes);
    let seconds = if session.first.is_empty() {
        dice.between((11 * 60, 12 * 60))
    } else {
        minutes * 60 + dice.below(60)
    };
    let bouts: u32 = first.iter().chain(&second).map(|one| one.tenths).sum();
    let filmed = film.map_or(0, |film| tenths(film.duration));
    let between = (seconds * 10).saturating_sub(bouts + filmed);
    let shares: u32 = first.iter().chain(&second).map(|one| one.share).sum();

    let mut clock = Clock {
        now: 0,
        between,
        shares: shares.max(1),
        timeline: Timeline::default(),
    };
    for outcome in &first {
        clock.ride(outcome);
    }
    if let Some(film) = film {
        clock.show(film);
    }
    for outcome in &second {
        clock.ride(outcome);
    }
    clock.timeline
}

fn tenths(nanos: i64) -> u32 {
    u32::try_from(nanos / TENTH).unwrap_or(0)
}

/// What is in the film is not ridden again outside it.
fn take_out(first: &mut Vec<Move>, second: &mut Vec<Move>, film: &Shown) {
    let calm = |exercise: &str| exercise == "free-walk";
    for bout in film.bouts.iter().filter(|bout| !calm(bout.what.exercise)) {
        let same =
            |asked: &Move| asked.exercise == bout.what.exercise && asked.rein == bout.what.rein;
        if let Some(at) = second.iter().position(same) {
            second.remove(at);
        } else if let Some(at) = first.iter().rposition(same) {
            first.remove(at);
        }
    }
}

/// How the moves go; a few that went wrong are ridden again at once.
fn go(horse: &Horse, month: u32, moves: &[Move], dice: &mut Dice) -> Vec<Outcome> {
    let mut outcomes = Vec::new();
    for asked in moves {
        let mut outcome = attempt(horse, month, *asked, dice);
        let repeats = outcomes.iter().filter(|one: &&Outcome| one.again).count();
        let wrong = outcome.faults[0].is_some();
        outcome.again = wrong && may_repeat(asked) && dice.percent(25) && repeats < 2;
        outcomes.push(outcome);
        if outcome.again {
            let share = 35;
            outcomes.push(Outcome {
                share,
                ..attempt(horse, month, *asked, dice)
            });
        }
    }
    outcomes
}

fn may_repeat(asked: &Move) -> bool {
    !matches!(
        asked.exercise,
        "free-walk" | "stretching-on-a-long-rein" | "half-pirouette-in-canter"
    )
}

fn attempt(horse: &Horse, month: u32, asked: Move, dice: &mut Dice) -> Outcome {
    let habit = horse.habit(asked.exercise);
    let percent = habit.map_or(12, |habit| habit.often.percent(month, asked.rein));
    let own = habit.map_or(GENERAL, |habit| habit.faults);
    let first = if dice.percent(percent) {
        let words = if dice.percent(10) { GENERAL } else { own };
        dice.weighted(words)
    } else {
        None
    };
    let second = if first.is_some() && dice.percent(10) {
        dice.weighted(GENERAL).filter(|word| Some(*word) != first)
    } else {
        None
    };
    let early = dice.between((25, 60));
    let late = dice.between((62, 90));
    Outcome {
        asked,
        tenths: dice.between(asked.tenths),
        faults: [
            first.map(|word| (word, early)),
            second.map(|word| (word, late)),
        ],
        again: false,
        share: dice.between(between(asked.exercise)),
    }
}

/// How much of the riding between the bouts comes before this one: little within the canter
/// work, so that it does not go on for ever.
fn between(exercise: &str) -> (u32, u32) {
    match exercise {
        "flying-change" | "changes-every-4th-stride" | "extended-canter" => (30, 70),
        "half-pirouette-in-canter" | "full-pirouette-in-canter" => (40, 80),
        _ => (60, 140),
    }
}

/// The ride clock while the ride is laid on it.
struct Clock {
    now: i64,
    /// Riding between the bouts, in tenths of a second, to be shared out.
    between: u32,
    shares: u32,
    timeline: Timeline,
}

impl Clock {
    fn ride(&mut self, outcome: &Outcome) {
        let asked = &outcome.asked;
        let pause = u64::from(self.between) * u64::from(outcome.share) / u64::from(self.shares);
        let from = self.now + i64::try_from(pause).unwrap_or(0) * TENTH;
        let to = from + i64::from(outcome.tenths) * TENTH;
        let half = from + i64::from(outcome.tenths / 2) * TENTH;
        self.pace(self.now, from, asked.approach);
        if asked.is_transition() {
            self.pace(from, half, asked.approach);
            self.pace(half, to, asked.going);
        } else {
            self.pace(from, to, asked.going);
        }
        self.outline(self.now, to, asked.outline);
        let marked = |(word, hundredths): (&'static str, u32)| {
            (from + (to - from) / 100 * i64::from(hundredths), word)
        };
        self.timeline.attempts.push(Attempt {
            what: Named {
                exercise: asked.exercise,
                variant: asked.variant,
                rein: asked.rein,
                asked: asked.asked,
            },
            letters: asked.letters,
            from,
            to,
            faults: outcome.faults.into_iter().flatten().map(marked).collect(),
            again: outcome.again,
        });
        self.now = to;
    }

    /// Puts the film here; what it shows comes from its truth.
    fn show(&mut self, film: &Shown) {
        let start = if self.now == 0 {
            0
        } else {
            let start = self.now + 12 * SECOND;
            self.pace(self.now, start, TROT);
            self.outline(self.now, start, "working");
            start
        };
        self.timeline.film_at = Some(start);
        for (from, to, going) in &film.paces {
            self.pace(start + from, start + to, *going);
        }
        for (from, to, outline) in &film.outlines {
            self.outline(start + from, start + to, outline);
        }
        let mut bouts = film.bouts.iter().peekable();
        while let Some(bout) = bouts.next() {
            let next = bouts.peek().map(|next| next.what);
            self.timeline.attempts.push(Attempt {
                what: bout.what,
                letters: (None, None),
                from: start + bout.from,
                to: start + bout.to,
                faults: bout
                    .faults
                    .iter()
                    .map(|(at, word)| (start + at, *word))
                    .collect(),
                again: !bout.faults.is_empty() && next == Some(bout.what),
            });
        }
        self.leave(start + film.duration);
    }

    /// Goes on as the film ended, up to the next tenth of a second.
    fn leave(&mut self, end: i64) {
        let going = self
            .timeline
            .paces
            .last()
            .map(|(_, to, going)| (*to, *going));
        let outline = self
            .timeline
            .outlines
            .last()
            .map(|(_, to, word)| (*to, *word));
        let last = going.map_or(end, |(to, _)| to).max(end);
        self.now = (last / TENTH + 1) * TENTH;
        if let Some((to, going)) = going {
            self.pace(to, self.now, going);
        }
        if let Some((to, word)) = outline {
            self.outline(to, self.now, word);
        }
    }

    fn pace(&mut self, from: i64, to: i64, going: Going) {
        extend(&mut self.timeline.paces, from, to, going);
    }

    fn outline(&mut self, from: i64, to: i64, outline: &'static str) {
        extend(&mut self.timeline.outlines, from, to, outline);
    }
}

/// Adds a stretch; one that goes on as before makes the last one longer.
fn extend<T: PartialEq>(spans: &mut Vec<(i64, i64, T)>, from: i64, to: i64, what: T) {
    match spans.last_mut() {
        Some((_, end, last)) if *last == what && *end == from => *end = to,
        _ if from < to => spans.push((from, to, what)),
        _ => {}
    }
}
