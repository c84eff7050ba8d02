//! All horses at a glance.

use egui_kittest::kittest::NodeT as _;
use reinback_yard::{Horse, IdMaker, Rein};

use super::*;

const NAMES: [&str; 6] = ["Alder", "Bryony", "Clover", "Dapple", "Elder", "Fennel"];

/// Rides of each horse. Of the reins in six of them it can be told which is weaker; five are too few.
const RIDES: usize = 12;

fn id(number: usize) -> HorseId {
    HorseId::from_bits(number as u64 + 1)
}

/// Six horses. Bryony's halts got worse, Clover's better; Dapple's go wrong on the left; Elder has
/// no ride; all others are as they were.
fn six() -> Yard {
    let mut ids = IdMaker::seeded(6);
    let mut yard = sample::yard();
    yard.rides.clear();
    yard.horses = (0..NAMES.len())
        .map(|number| Horse {
            id: id(number),
            name: NAMES[number].into(),
            foaled: Some(2015),
            stage: String::new(),
            notes: String::new(),
        })
        .collect();
    for number in [0, 1, 2, 3, 5] {
        for ride in 0..RIDES {
            let late = ride >= RIDES / 2;
            let mut own = sample::blank(&mut ids, sample::day(ride as u64));
            own.head.horse = id(number);
            for attempt in 0..10 {
                let left = attempt % 2 == 0;
                let faulty = match NAMES[number] {
                    "Bryony" => late && attempt < 8,
                    "Clover" => !late && attempt < 8,
                    "Dapple" => left,
                    _ => attempt == 0,
                };
                let rein = Some(if left { Rein::Left } else { Rein::Right });
                let fault = faulty.then_some("not-square");
                sample::bout(&mut ids, &mut own, "halt", rein, fault);
            }
            yard.rides.insert(own.id, Arc::new(own));
        }
    }
    yard
}

/// The rows from top to bottom, by name.
fn rows(harness: &Harness<'_, Room>, names: &[&str]) -> Vec<String> {
    let mut found: Vec<(f32, String)> = names
        .iter()
        .map(|name| {
            let begins = format!("{name}. ");
            let row = harness.get_by(|node| {
                let label = node.label();
                label.is_some_and(|label| label.starts_with(&begins))
            });
            (row.rect().top(), (*name).to_owned())
        })
        .collect();
    found.sort_by(|one, other| one.0.total_cmp(&other.0));
    found.into_iter().map(|(_, name)| name).collect()
}

/// All horses, and the days since the seventh ride against those before.
fn glance(yard: Yard) -> Harness<'static, Room> {
    let mut harness = room(yard);
    let today = sample::day(RIDES as u64 - 1);
    harness.state_mut().today = today;
    let view = &mut harness.state_mut().view;
    view.choose_span(Span::Everything, today);
    view.choice.against = Against::DayBetween;
    view.choice.between = sample::day(RIDES as u64 / 2).to_string();
    harness.get_by_label("Horses").click();
    settle(&mut harness);
    harness
}

#[test]
fn six_horses_are_seen_at_once_and_one_is_opened() {
    let mut harness = glance(six());
    assert_eq!(
        rows(&harness, &NAMES),
        ["Bryony", "Dapple", "Alder", "Fennel", "Clover", "Elder"],
        "worse, one-sided, then by faulty attempts of a ride; none last"
    );
    let window = harness.ctx.content_rect();
    for (name, says) in [
        ("Bryony", "1 worse: halt"),
        ("Clover", "1 better: halt"),
        ("Dapple", "one-sided: halt (worse left)"),
        ("Elder", "no ride yet"),
        ("Fennel", "halt. 6 of 60 attempts"),
    ] {
        let row = harness.get_by(|node| {
            let label = node.label();
            label.is_some_and(|label| label.starts_with(&format!("{name}. ")))
        });
        let label = row.accesskit_node().label().unwrap_or_default();
        assert!(label.contains(says), "{label}");
        assert!(window.contains_rect(row.rect()), "{name}: {}", row.rect());
    }
    harness.get_by_label("By name").click();
    harness.run();
    assert_eq!(rows(&harness, &NAMES), NAMES);

    // Enter opens a horse in the same days.
    harness
        .get_by_label_contains("Bryony. 11 years. 6 rides")
        .focus();
    harness.run();
    harness.key_press(egui::Key::Enter);
    harness.run();
    settle(&mut harness);
    let view = &harness.state().view;
    assert_eq!(view.whose, Some(Whose::One(id(1))));
    let (wanted, counted) = view.counted().expect("an answer");
    assert_eq!(counted.numbers.rides, RIDES / 2);
    assert_eq!(counted.numbers.question.days.from, Some(sample::day(6)));
    assert!(wanted.asked.days.against.is_some());
    harness.get_by_label_contains("halt. 48 of 60 attempts");

    // And back.
    harness.get_by_label("Horses").click();
    settle(&mut harness);
    assert_eq!(rows(&harness, &NAMES), NAMES);
    harness.get_by_label("Exercises").click();
    settle(&mut harness);
    harness.get_by_label_contains("halt. ");
}

#[test]
fn a_row_is_the_answer_of_its_horse() {
    let harness = glance(six());
    let room = harness.state();
    for number in [0, 1, 2, 3, 4, 5] {
        let asked = room.view.asked(room.revision, room.today);
        let days = asked.expect("days").expect("horses").days;
        let question = days.question(Whose::One(id(number)), Reins::default());
        let own = crate::report::numbers::numbers(&room.yard, &question);
        let name = NAMES[number];
        let row = harness.get_by(|node| {
            let label = node.label();
            label.is_some_and(|label| label.starts_with(&format!("{name}. ")))
        });
        let label = row.accesskit_node().label().unwrap_or_default();
        let mut lines = own.lines.iter();
        let faulty = lines.find(|line| line.figures.all.rate.tally.faulty > 0);
        if let Some(first) = faulty {
            let rate = first.compared.expect("compared").rate;
            let (_, earlier) = days.against.expect("earlier days");
            assert!(label.contains(&room.say.periods(&rate, earlier)), "{label}");
        } else if own.rides > 0 {
            assert!(label.contains("nothing faulty in these days"), "{label}");
        } else {
            assert!(label.contains("no ride yet"), "{label}");
        }
    }
}

#[test]
fn an_edit_changes_the_row_and_another_question_begins_anew() {
    let mut harness = glance(six());
    harness.get_by_label_contains("Fennel. 11 years. 6 rides");
    let yard = &mut harness.state_mut().yard;
    let own = yard.rides.values().filter(|ride| ride.head.horse == id(5));
    let newest = own.max_by_key(|ride| ride.head.date).map(|ride| ride.id);
    yard.rides.remove(&newest.expect("a ride"));
    harness.state_mut().revision += 1;
    settle(&mut harness);
    harness.get_by_label_contains("Fennel. 11 years. 5 rides");
    harness.state_mut().view.choice.against = Against::Nothing;
    settle(&mut harness);
    let row = harness.get_by_label_contains("Fennel. 11 years. 11 rides");
    let label = row.accesskit_node().label().unwrap_or_default();
    assert!(label.contains("not compared with other days"), "{label}");
}

/// Six horses were ridden twice each in a new month but Alder, who has four rides in it.
#[test]
fn a_month_gives_way_for_each_row_by_itself_and_a_horse_opens_in_the_days_of_its_row() {
    const WHY: &str = "4 horses have fewer than the 4 reviewed rides in June that a comparison \
                       takes: their rows are of the 28 days up to their newest reviewed ride.";
    let mut yard = six();
    let mut ids = IdMaker::seeded(7);
    let today = "2026-06-08".parse().expect("a day");
    for _ in 0..2 {
        let mut own = sample::blank(&mut ids, today);
        own.head.horse = id(0);
        sample::bout(&mut ids, &mut own, "halt", None, None);
        yard.rides.insert(own.id, Arc::new(own));
    }
    let mut harness = room(yard);
    harness.state_mut().today = today;
    settle(&mut harness);
    harness.get_by_label("Horses").click();
    settle(&mut harness);
    harness.get_by_label(WHY);
    let period = harness.get_by_label("Days").accesskit_node();
    assert_eq!(period.value().as_deref(), Some("June to date"));
    harness.get_by_label_contains("Alder. 11 years. 4 rides");
    // 10 May to 6 June.
    let row = harness.get_by_label_contains("Bryony. 11 years. 10 rides");
    let label = row.accesskit_node().label().unwrap_or_default();
    assert!(label.contains("28 days to 6 Jun 2026"), "{label}");

    for (name, number, from) in [("Alder", 0, "2026-06-01"), ("Bryony", 1, "2026-05-10")] {
        harness
            .get_by_label_contains(&format!("{name}. 11 years. "))
            .click();
        settle(&mut harness);
        let (_, counted) = harness.state().view.counted().expect("an answer");
        let asked = counted.numbers.question;
        assert_eq!(asked.whose, Whose::One(id(number)));
        assert_eq!(asked.days.from, from.parse().ok(), "{name}");
        harness.get_by_label("Horses").click();
        settle(&mut harness);
    }
}

#[test]
fn one_horse_has_no_page_of_horses() {
    let harness = room(sample::yard());
    assert!(harness.query_by_label("Horses").is_none());
    harness.get_by_label("The whole horse");
}
