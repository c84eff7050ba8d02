//! Each trouble is found, and says where.

use super::*;

#[test]
fn each_trouble_is_named_with_its_moment() {
    assert_eq!(troubles(&changes(4)), []);
    let mut ride = changes(4);
    ride.bouts[0].asked.every = Some(90);
    let bad = Trouble::Series(BoutId::from_bits(1), SeriesProblem::ImpossibleAsked);
    assert_eq!(troubles(&ride), [bad]);

    let mut ride = changes(4);
    let twice = ride.marks[1].at;
    ride.marks[2].at = Moment(twice.0 + 40 * MS);
    let words = Words::default();
    let found = trouble::of_ride(&ride, &words, &series_of_ride(&ride, &words));
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].at, Some(ride.marks[2].at));

    let mut ride = changes(4);
    ride.bouts[0].to = Some(Moment(2 * SECOND));
    ride.marks
        .push(mark(9, 100 * SECOND, MarkKind::Fault(word("tense"))));
    assert_eq!(
        troubles(&ride),
        [Trouble::LooseFaults(1), Trouble::LooseChanges(4)]
    );

    let mut ride = ride_with_two();
    assert_eq!(troubles(&ride), [Trouble::Overlap(BoutId::from_bits(2))]);
    ride.bouts[1].to = Some(ride.bouts[1].from);
    assert_eq!(troubles(&ride), [Trouble::NoLength(BoutId::from_bits(2))]);

    let mut ride = self::ride();
    ride.paces = vec![
        pace(Pace::Walk, None, 0, 60),
        pace(Pace::Trot, None, 50, 90),
    ];
    ride.outlines = vec![held("working", 0, 2), held("competition", 1, 3)];
    assert_eq!(
        troubles(&ride),
        [
            Trouble::TwoPaces(10 * SECOND),
            Trouble::TwoOutlines(60 * SECOND)
        ]
    );
}

fn ride_with_two() -> Ride {
    let mut ride = ride();
    ride.bouts = vec![bout(1, "halt", 0, 9), bout(2, "halt", 5, 12)];
    ride
}

#[test]
fn days_that_cannot_be_are_told() {
    let ride = ride();
    let horse = Horse {
        id: HorseId::from_bits(1),
        name: "Juniper".into(),
        foaled: Some(2027),
        stage: String::new(),
        notes: String::new(),
    };
    let day = |text: &str| text.parse().unwrap();
    assert_eq!(trouble::of_day(&ride, None, day("2026-05-04")), None);
    assert_eq!(
        trouble::of_day(&ride, None, day("2026-05-03")),
        Some(Trouble::Ahead)
    );
    let before = trouble::of_day(&ride, Some(&horse), day("2026-05-04"));
    assert_eq!(before, Some(Trouble::BeforeBirth));
}
