//! 400 exercises, with names of 200 characters for all that a rider can name.

use egui_kittest::kittest::NodeT as _;
use reinback_yard::IdMaker;

use super::*;

/// A name of 200 characters that begins like this.
fn long(begins: &str) -> String {
    let mut name = begins.to_owned();
    while name.len() < 200 {
        name.push_str(" ridden quietly from letter to letter");
    }
    name.truncate(200);
    name
}

/// Two horses, each with one ride of 400 exercises, of which every third went wrong.
fn yard() -> Yard {
    let mut ids = IdMaker::seeded(4);
    let mut yard = sample::yard();
    yard.rides.clear();
    let like = yard.words.exercises[0].clone();
    yard.words.exercises = (0..400)
        .map(|number| reinback_yard::Exercise {
            id: sample::word(&format!("exercise-{number}")),
            name: long(&format!("exercise {number}")),
            short: String::new(),
            ..like.clone()
        })
        .collect();
    let mut other = yard.horses[0].clone();
    other.id = HorseId::from_bits(0x22);
    yard.horses.push(other);
    for (number, horse) in yard.horses.iter_mut().enumerate() {
        horse.name = long(&format!("Horse {number}"));
        let mut ride = sample::blank(&mut ids, sample::day(9));
        ride.head.horse = horse.id;
        for exercise in 0..400 {
            let fault = (exercise % 3 == 0).then_some("tense");
            let exercise = format!("exercise-{exercise}");
            sample::bout(&mut ids, &mut ride, &exercise, None, fault);
        }
        yard.rides.insert(ride.id, Arc::new(ride));
    }
    yard
}

/// Nothing that is said reaches out of the window to the side.
fn within(harness: &Harness<'_, Room>, page: &str) {
    let window = harness.ctx.content_rect();
    for node in harness.root().children_recursive() {
        let label = node.accesskit_node().label().unwrap_or_default();
        if label.is_empty() {
            continue;
        }
        let rect = node.rect();
        assert!(
            rect.left() >= -0.5 && rect.right() <= window.right() + 0.5,
            "{page} in {window}: {label} reaches from {} to {}",
            rect.left(),
            rect.right()
        );
    }
}

#[test]
fn many_exercises_with_long_names_fit_every_page() {
    for size in [[960.0, 560.0], [1280.0, 756.0]] {
        let mut harness = room_of_size(yard(), size);
        harness
            .state_mut()
            .view
            .choose_span(Span::Everything, sample::day(9));
        settle(&mut harness);
        let begins = |name: &str| long(name)[..60].to_owned();
        harness.get_by_label("Exercises");
        within(&harness, "the list");
        let rows = harness
            .query_all_by_label_contains(" ridden quietly")
            .count();
        assert!((40..200).contains(&rows), "{rows} of 400 lines are made");

        let first = harness
            .get_all_by_label_contains(" of 1 attempt")
            .next()
            .expect("a line");
        first.click_accesskit();
        settle(&mut harness);
        within(&harness, "an open line");

        harness.get_by_label("Horses").click();
        settle(&mut harness);
        within(&harness, "all horses");
        let second = begins("Horse 1");
        let row = harness.get_by_label_contains(&second);
        let label = row.accesskit_node().label().unwrap_or_default();
        assert!(label.contains(&long("Horse 1")), "the whole name: {label}");
        row.click_accesskit();
        settle(&mut harness);
        harness.get_by_label("The whole horse").click();
        settle(&mut harness);
        within(&harness, "the whole horse");
    }
}
