//! What is asked in a ride, in which order.

use reinback_yard::Rein;

use super::dice::Dice;
use super::moves::{
    CANTER_TROT, CANTER_WALK, CIRCLE, COUNTER_CANTER, EXTENDED_CANTER, EXTENDED_TROT,
    FLYING_CHANGE, FOURTHS, FREE_WALK, FULL_PIROUETTE, HALF_PASS, HALF_PIROUETTE, HALT,
    INTO_PIAFFE, MEDIUM_TROT, Move, ONES, PASSAGE, PIAFFE, REIN_BACK, SECONDS, SHOULDER_IN,
    STRETCH, TRAVERS, TROT_CANTER, TROT_WALK, WALK_BREAK, WALK_CANTER, WALK_HALT, WALK_TROT,
    WITHIN_TROT, WORKING_CANTER_BOUT, WORKING_TROT,
};
use super::scenario::{Day, HALF_PIROUETTES, Horse, Kind};

use Rein::{Left, Right};

/// A ride as it is asked: the film, if there is one, comes between the two halves.
#[derive(Clone, Debug, Default)]
pub(super) struct Session {
    pub(super) first: Vec<Move>,
    pub(super) second: Vec<Move>,
}

/// What is asked of a horse on a day.
pub(super) fn session(horse: &Horse, day: Day, dice: &mut Dice) -> Session {
    let side = if dice.percent(50) { Left } else { Right };
    match (horse.name, day.kind) {
        (_, Kind::Evening) => Session {
            first: Vec::new(),
            second: after_the_film(),
        },
        ("Quill", _) => quill(side, day),
        ("Marlow", _) => marlow(side, day),
        _ => sonnet(side, day, dice),
    }
}

const fn other(rein: Rein) -> Rein {
    match rein {
        Left => Right,
        Right => Left,
    }
}

/// On the right rein from K, on the left from F, both to X.
fn half_pass(rein: Rein) -> Move {
    let from = match rein {
        Left => 'F',
        Right => 'K',
    };
    HALF_PASS.on(rein).at(from, Some('X'))
}

fn both(side: Rein, what: Move) -> [Move; 2] {
    [what.on(side), what.on(other(side))]
}

fn sonnet(side: Rein, day: Day, dice: &mut Dice) -> Session {
    let turn = other(side);
    let light = day.kind == Kind::Light;
    let mut first = vec![FREE_WALK];
    match day.kind {
        Kind::Lesson => {}
        Kind::Light => first.extend([WALK_TROT, CIRCLE.on(side), TROT_WALK, CIRCLE.on(turn)]),
        _ => first.push(match dice.below(3) {
            0 => WALK_TROT,
            1 => TROT_CANTER.on(side),
            _ => CIRCLE.on(side),
        }),
    }
    first.push(STRETCH);
    first.extend(match day.kind {
        Kind::Light => [WITHIN_TROT, SHOULDER_IN.on(side)],
        Kind::Schooling => both(side, TRAVERS),
        _ => both(side, SHOULDER_IN),
    });
    first.extend(both(side, HALF_PASS).map(|m| half_pass(m.rein.unwrap_or(side))));
    first.push(HALT.at('X', None));
    first.extend([half_pass(side), half_pass(turn)]);
    first.push(if day.kind == Kind::Test {
        EXTENDED_TROT
    } else {
        MEDIUM_TROT
    });
    if !light {
        first.extend([half_pass(side), half_pass(turn)]);
    }
    first.extend([HALT.at('G', None), WALK_BREAK]);

    let mut second = vec![WALK_CANTER.on(side)];
    second.extend([side, turn, side].map(|rein| FLYING_CHANGE.on(rein)));
    second.push(match dice.below(3) {
        0 => COUNTER_CANTER.on(turn),
        1 => CANTER_WALK.on(turn),
        _ => EXTENDED_CANTER.on(side),
    });
    if let Some((_, rein)) = HALF_PIROUETTES.iter().find(|(on, _)| *on == day.date) {
        second.push(HALF_PIROUETTE.on(*rein));
    }
    if light {
        second.push(FLYING_CHANGE.on(turn));
    } else {
        second.extend([turn, side, turn].map(|rein| FLYING_CHANGE.on(rein)));
        second.push(FOURTHS);
    }
    second.extend([WALK_BREAK, HALT.at('X', None), HALT.at('C', None)]);
    if dice.percent(50) {
        second.push(REIN_BACK);
    }
    second.extend([HALT.at('G', None), STRETCH, FREE_WALK]);
    Session { first, second }
}

/// The evening of the last day: a little of everything the film does not have enough of.
fn after_the_film() -> Vec<Move> {
    vec![
        FLYING_CHANGE.on(Left),
        FLYING_CHANGE.on(Right),
        HALT.at('X', None),
        WALK_BREAK,
        half_pass(Left),
        half_pass(Right),
        HALT.at('G', None),
        FLYING_CHANGE.on(Left),
        HALT.at('C', None),
        STRETCH,
        FREE_WALK,
    ]
}

fn quill(side: Rein, day: Day) -> Session {
    let turn = other(side);
    let walk = WALK_BREAK;
    let first = vec![
        walk,
        WALK_TROT,
        CIRCLE.on(side),
        TROT_WALK,
        WALK_TROT,
        WORKING_TROT,
        STRETCH.in_outline("stretched"),
        walk,
    ];
    let mut second = vec![
        WALK_TROT,
        TROT_CANTER.on(side),
        WORKING_CANTER_BOUT.on(side),
        CANTER_TROT.on(side),
        CIRCLE.on(turn),
    ];
    if day.kind != Kind::Light {
        second.extend([
            TROT_CANTER.on(turn),
            WORKING_CANTER_BOUT.on(turn),
            CANTER_TROT.on(turn),
        ]);
    }
    second.extend([TROT_WALK, WALK_HALT, STRETCH.in_outline("stretched"), walk]);
    Session { first, second }
}

fn marlow(side: Rein, day: Day) -> Session {
    let turn = other(side);
    let mut first = vec![FREE_WALK, STRETCH];
    first.extend(both(side, SHOULDER_IN));
    first.extend([half_pass(side), half_pass(turn), EXTENDED_TROT]);
    first.extend([HALT.at('X', None), WALK_BREAK]);
    let mut second = vec![PASSAGE, INTO_PIAFFE, PIAFFE, PASSAGE];
    if day.kind != Kind::Light {
        second.extend([INTO_PIAFFE, PIAFFE, PASSAGE]);
    }
    second.extend([WALK_BREAK, SECONDS, ONES]);
    if day.kind == Kind::Lesson {
        second.push(ONES);
    }
    second.extend(both(side, FULL_PIROUETTE));
    second.extend([HALT.at('G', None), REIN_BACK, STRETCH, FREE_WALK]);
    Session { first, second }
}
