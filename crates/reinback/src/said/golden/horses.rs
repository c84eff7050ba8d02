//! All horses at a glance.

use reinback_analysis::load::Caution;

use super::*;
use crate::report::horses::{Held, HorseRow};
use crate::report::numbers::Reins;
use crate::report::period::{Few, Instead};

fn row() -> HorseRow {
    HorseRow {
        horse: sample::horse(),
        earlier: Some(Earlier::LastMonth),
        instead: None,
        rests: false,
        rides: 8,
        newest: Some(sample::day(9)),
        counts: true,
        ridden_nanos: 18_600_000_000_000,
        better: vec!["flying change".into(), "halt".into()],
        worse: vec!["half-pass".into()],
        judged: 9,
        first: None,
        one_sided: vec![
            ("half-pass".into(), Rein::Left),
            ("travers".into(), Rein::Right),
        ],
        weeks: Vec::new(),
        age: Some(9),
        cautions: vec![Caution::MuchMore, Caution::NoDayOff { days: 8 }],
        held: Held {
            timed: 6,
            early: 2,
            full: 1,
        },
    }
}

#[test]
fn a_horse_its_age_and_its_rides() {
    let row = row();
    check(|say| say.horse_age(&row), "9 years", "9 Jahre");
    let young = HorseRow {
        age: Some(4),
        cautions: vec![Caution::Young { age: 4 }],
        ..row.clone()
    };
    check(
        |say| say.horse_age(&young),
        "4 years, still growing",
        "4 Jahre, wächst noch",
    );
    let ageless = HorseRow {
        age: None,
        ..row.clone()
    };
    check(
        |say| say.horse_age(&ageless),
        "age not given",
        "Alter nicht angegeben",
    );
    check(
        |say| say.horse_ridden(&row),
        "8 rides, 5 h 10 min",
        "8 Ritte, 5 h 10 min",
    );
    let unridden = HorseRow { rides: 0, ..row };
    check(
        |say| say.horse_ridden(&unridden),
        "no ride in these days, the newest on 31 May 2026",
        "in diesen Tagen kein Ritt, der neueste am 31. Mai 2026",
    );
    let never = HorseRow {
        newest: None,
        ..unridden
    };
    check(
        |say| say.horse_ridden(&never),
        "no ride yet",
        "noch kein Ritt",
    );
}

#[test]
fn rows_that_are_not_of_the_month() {
    let moved = HorseRow {
        instead: Some(Instead {
            month: NaiveDate::from_ymd_opt(2026, 11, 1).expect("a day"),
            few: Few::Rides(2),
            latest: NaiveDate::from_ymd_opt(2026, 11, 6).expect("a day"),
        }),
        ..row()
    };
    let said = |rows: &[&HorseRow], say: &Say| {
        let found = say.horses_instead(rows.iter().copied());
        found.unwrap_or_default()
    };
    check(|say| said(&[&row()], say), "", "");
    check(
        |say| said(&[&row(), &moved], say),
        "1 horse has fewer than the 4 reviewed rides in November that a comparison takes: its row is of the 28 days up to its newest reviewed ride.",
        "1 Pferd hat im November noch keine 4 durchgesehenen Ritte zum Vergleichen: Seine Zeile zeigt die 28 Tage bis zu seinem neuesten durchgesehenen Ritt.",
    );
    check(
        |say| said(&[&moved, &row(), &moved], say),
        "2 horses have fewer than the 4 reviewed rides in November that a comparison takes: their rows are of the 28 days up to their newest reviewed ride.",
        "2 Pferde haben im November noch keine 4 durchgesehenen Ritte zum Vergleichen: Ihre Zeilen zeigen die 28 Tage bis zu ihrem neuesten durchgesehenen Ritt.",
    );
}

#[test]
fn what_became_better_or_worse_and_what_is_one_sided() {
    let row = row();
    let shown = |text: Option<String>| text.unwrap_or_default();
    check(
        |say| shown(say.horse_better(&row)),
        "2 better: flying change, halt",
        "2 besser: fliegender Galoppwechsel, Halten",
    );
    check(
        |say| shown(say.horse_worse(&row)),
        "1 worse: half-pass",
        "1 schlechter: Traversale",
    );
    check(
        |say| shown(say.horse_one_sided(&row)),
        "one-sided: half-pass (worse left), travers (worse right)",
        "einseitig: Traversale (links schlechter), Travers (rechts schlechter)",
    );
    check(|say| shown(say.horse_unchanged(&row)), "", "");
    let same = HorseRow {
        better: Vec::new(),
        worse: Vec::new(),
        ..row
    };
    check(
        |say| shown(say.horse_unchanged(&same)),
        "none clearly better or worse, of 9",
        "von 9 keine klar besser oder schlechter",
    );
    let alone = HorseRow {
        earlier: None,
        ..same.clone()
    };
    check(
        |say| shown(say.horse_unchanged(&alone)),
        "not compared with other days",
        "nicht mit anderen Tagen verglichen",
    );
    let few = HorseRow { judged: 0, ..same };
    check(
        |say| shown(say.horse_unchanged(&few)),
        "too few to tell what became better",
        "zu wenig, um zu sagen, was besser wurde",
    );
}

#[test]
fn cautions_in_short() {
    let row = row();
    check(
        |say| say.horse_cautions(&row).join("; "),
        "much more in seven days than usual; ridden for 8 days in a row; 1 ride of 6 with an outline held about ten minutes or more without a stretch",
        "in sieben Tagen viel mehr als üblich; 8 Tage hintereinander geritten; 1 Ritt von 6 mit einer Haltung von etwa zehn Minuten oder mehr ohne Dehnung",
    );
    let early = HorseRow {
        cautions: vec![Caution::LongRide { ride: 1 }, Caution::Young { age: 4 }],
        held: Held {
            full: 0,
            ..row.held
        },
        ..row
    };
    check(
        |say| say.horse_cautions(&early).join("; "),
        "a ride of more than an hour outside the walk; 2 rides of 6 with an outline held longer than 8 minutes without a stretch",
        "ein Ritt mit mehr als einer Stunde außerhalb des Schritts; 2 Ritte von 6 mit einer Haltung über 8 Minuten ohne Dehnung",
    );
}

#[test]
fn what_to_work_on_first() {
    let found = numbers(
        &sample::yard(),
        &Question {
            whose: Whose::One(sample::horse()),
            days: Days::default(),
            against: None,
            reins: Reins::default(),
        },
    );
    let told = |row: &HorseRow, say: &Say| match say.horse_first(row) {
        Ok(first) => first.join(": "),
        Err(why) => why,
    };
    let row = HorseRow {
        first: found.lines.first().cloned(),
        ..row()
    };
    // Wilson on an effective count: the golden sentences of rates and the analysis test the range.
    let [en, de] = both();
    let begins = told(&row, &en);
    assert!(
        begins.starts_with("half-pass: 15 of 40 attempts, about 2 in 5 ("),
        "{begins}"
    );
    let begins = told(&row, &de);
    assert!(
        begins.starts_with("Traversale: 15 von 40 Versuchen mit Fehler, etwa 2 von 5 ("),
        "{begins}"
    );
    let clean = HorseRow { first: None, ..row };
    check(
        |say| told(&clean, say),
        "nothing faulty in these days",
        "in diesen Tagen nichts mit Fehler",
    );
    let uncounted = HorseRow {
        counts: false,
        ..clean
    };
    check(
        |say| told(&uncounted, say),
        "no exercise counts in these days",
        "in diesen Tagen zählt keine Lektion",
    );
    let unridden = HorseRow {
        rides: 0,
        ..uncounted
    };
    check(
        |say| told(&unridden, say),
        "no ride in these days",
        "in diesen Tagen kein Ritt",
    );
}
