//! The page of the whole horse.

use reinback_yard::{
    IdMaker, Leg, OutlineSpan, Pace, PaceSpan, Ride, RideId, Span, SpanId, TempoTrack,
};

use egui::Shape;
use egui_kittest::kittest::NodeT as _;

use super::*;
use crate::said::catalog;

const SECOND: i64 = 1_000_000_000;

fn span(from: i64, to: i64) -> Span {
    Span::new(Moment(from * SECOND), Moment(to * SECOND))
}

/// The sample yard with its last ride changed, and the id of that.
fn with_last(edit: impl FnOnce(&mut Ride)) -> (Yard, RideId) {
    let mut yard = sample::yard();
    let id = yard.rides_by_date().last().expect("a ride").id;
    edit(Arc::make_mut(yard.rides.get_mut(&id).expect("a ride")));
    (yard, id)
}

fn page(yard: Yard) -> Harness<'static, Room> {
    let mut harness = room(yard);
    harness.get_by_label("The whole horse").click();
    settle(&mut harness);
    harness
}

/// What was asked for last: a ride at a moment.
fn opened(harness: &Harness<'_, Room>) -> Option<(RideId, Option<Moment>)> {
    match harness.state().out.last() {
        Some(Action::OpenRide(ride, at)) => Some((*ride, *at)),
        _ => None,
    }
}

#[test]
fn an_outline_held_too_long_is_noticed_and_leads_to_its_moment() {
    let (yard, id) = with_last(|ride| {
        ride.outlines = vec![OutlineSpan {
            id: SpanId::from_bits(1),
            span: span(0, 660),
            outline: sample::word("competition"),
        }];
    });
    let mut harness = page(yard);
    harness.get_by_label_contains("check the current rules. A reminder, never a verdict");
    harness
        .get_by_label_contains("held 11 min 00 s without a stretch or release: about ten minutes")
        .click_accesskit();
    harness.run();
    assert_eq!(opened(&harness), Some((id, Some(Moment(598 * SECOND)))));
}

/// Five changes every third stride where every fourth was asked, with taps on the canter.
fn thirds(ride: &mut Ride) {
    let mut ids = IdMaker::seeded(3);
    sample::bout(&mut ids, ride, "changes-every-4th-stride", None, None);
    let bout = ride.bouts.last_mut().expect("the bout");
    bout.asked.count = Some(5);
    sample::changes(&mut ids, ride, 3 * 617_000_000);
    ride.paces.push(PaceSpan {
        id: SpanId::from_bits(1),
        span: span(0, 30),
        pace: Pace::Canter,
        variant: None,
    });
    ride.tempos.push(TempoTrack {
        id: SpanId::from_bits(2),
        review: ride.head.counting,
        leg: Leg::LeftFore,
        taps: (0..20).map(|n| Moment(n * 617_000_000)).collect(),
    });
}

/// Presses the link that begins with these words.
fn press_link(harness: &mut Harness<'_, Room>, begins: &str) {
    harness
        .get_all_by_role(egui::Role::Link)
        .find(|link| {
            let label = link.accesskit_node().label().unwrap_or_default();
            label.starts_with(begins)
        })
        .expect("a link")
        .click_accesskit();
    harness.run();
}

#[test]
fn a_series_of_the_wrong_number_is_told_and_can_be_watched() {
    let (yard, id) = with_last(thirds);
    let first = yard
        .ride(id)
        .and_then(|ride| ride.bouts.last())
        .map(|bout| bout.from);
    let mut harness = page(yard);
    let told = "Ridden every third stride where every 4th stride was asked, throughout.";
    harness.get_by_label(told);
    press_link(
        &mut harness,
        "31 May 2026: changes every 4th stride, asked 5, every 4th stride",
    );
    let wanted = first.map(|from| Moment(from.0 - SECOND));
    assert_eq!(opened(&harness), Some((id, wanted)));
    harness.get_by_label_contains("canter: 97 strides a minute;");
}

#[test]
fn without_a_stride_time_the_count_is_not_verified() {
    let (yard, _) = with_last(|ride| {
        thirds(ride);
        ride.tempos.clear();
    });
    let harness = page(yard);
    harness.get_by_label(
        "Count not verified: there is no stride time. Tap the canter strides of this ride.",
    );
}

#[test]
fn without_any_film_there_is_nothing_to_tap_along() {
    let (yard, _) = with_last(|_| ());
    let harness = page(yard);
    harness.get_by_label_contains("None of these rides has a film to tap along with");
    let offered = harness.query_by_label_contains("Tap the tempo");
    assert!(offered.is_none());
}

#[test]
fn without_any_tempo_the_newest_ride_with_a_film_opens_for_taps() {
    let (yard, id) = with_last(|ride| {
        ride.films.push(reinback_yard::Film {
            id: reinback_yard::FilmId::from_bits(7),
            path: "films/a.mp4".into(),
            fingerprint: None,
            offset: Moment(0),
            drift_ppb: 0,
            duration_nanos: None,
            tilt: None,
        });
    });
    let mut harness = page(yard);
    harness
        .get_by_label_contains("Tap the tempo of the newest ride")
        .click_accesskit();
    harness.run();
    let asked = harness.state().out.last();
    assert!(
        matches!(asked, Some(Action::TapTempo(ride, _)) if *ride == id),
        "{asked:?}"
    );
}

#[test]
fn what_stands_in_the_way_leads_to_its_ride() {
    let (yard, id) = with_last(|ride| {
        let from = ride.bouts[0].from;
        ride.bouts[1].from = from;
    });
    let mut harness = page(yard);
    harness.get_by_label("To look at");
    harness
        .get_by_label_contains("Two attempts at one exercise overlap")
        .click_accesskit();
    harness.run();
    assert_eq!(opened(&harness), Some((id, Some(Moment(58 * SECOND)))));
}

/// Turns every figure into its table.
fn turn_into_tables(harness: &mut Harness<'_, Room>, ends: &str) {
    let nodes = harness.root().children_recursive();
    let switches: Vec<_> = nodes
        .filter(|node| {
            let label = node.accesskit_node().label();
            label.is_some_and(|label| label.ends_with(ends))
        })
        .collect();
    assert!(switches.len() > 1, "only {} figures", switches.len());
    for switch in switches {
        switch.click_accesskit();
    }
    harness.run();
}

/// With all that can be there, at the smallest window and at a large one, in both pictures and
/// tables.
#[test]
fn nothing_is_cut_off() {
    for size in [[960.0, 560.0], [1280.0, 756.0], [1920.0, 1040.0]] {
        let (yard, _) = with_last(|ride| {
            thirds(ride);
            ride.outlines = vec![OutlineSpan {
                id: SpanId::from_bits(9),
                span: span(0, 660),
                outline: sample::word("competition"),
            }];
        });
        let mut harness = room_of_size(yard, size);
        harness.get_by_label("The whole horse").click();
        settle(&mut harness);
        for table in [false, true] {
            for label in [
                "31 May 2026: held 11 min 00 s",
                "Ridden every third stride where every 4th stride was asked",
                "Last seven days",
            ] {
                let rect = harness.get_by_label_contains(label).rect();
                assert!(
                    rect.left() >= 0.0 && rect.right() <= size[0],
                    "{label} reaches from {} to {} in {size:?}, table {table}",
                    rect.left(),
                    rect.right()
                );
            }
            turn_into_tables(&mut harness, " as a table");
        }
    }
}

#[test]
fn an_opened_exercise_shows_its_series() {
    let (yard, id) = with_last(thirds);
    let mut harness = room(yard);
    harness
        .get_by_label_contains("changes every 4th stride. ")
        .click();
    settle(&mut harness);
    press_link(&mut harness, "31 May 2026: changes every 4th stride");
    assert_eq!(opened(&harness).map(|(ride, _)| ride), Some(id));
}

/// An outline held too long on both sides of a stretch that is not known.
fn paused(ride: &mut Ride) {
    let held = |id, from, to| OutlineSpan {
        id: SpanId::from_bits(id),
        span: span(from, to),
        outline: sample::word("competition"),
    };
    ride.outlines = vec![held(9, 0, 300), held(10, 330, 760)];
}

/// The texts drawn that were cut off with dots, and all others.
fn drawn(shape: &Shape, cut: &mut Vec<String>, whole: &mut Vec<String>) {
    match shape {
        Shape::Vec(shapes) => shapes.iter().for_each(|shape| drawn(shape, cut, whole)),
        Shape::Text(text) => {
            let said = text.galley.job.text.clone();
            if text.galley.elided { cut } else { whole }.push(said);
        }
        _ => {}
    }
}

/// The longest sentence of the timer is drawn to its end after its day, in both languages.
#[test]
fn the_timer_is_drawn_to_its_end() {
    for (language, begins) in [
        (Language::English, "held 12 min 10 s without a stretch"),
        (Language::German, "12 min 10 s ohne Dehnung"),
    ] {
        for size in [[960.0, 900.0], [1280.0, 900.0], [1920.0, 1040.0]] {
            let (yard, _) = with_last(paused);
            let mut harness = room_of_size(yard, size);
            harness.get_by_label("The whole horse").click();
            harness.state_mut().say = Say::new(language);
            settle(&mut harness);
            let (mut cut, mut whole) = (Vec::new(), Vec::new());
            for shape in &harness.output().shapes {
                drawn(&shape.shape, &mut cut, &mut whole);
            }
            let is_it = |text: &String| text.contains(begins) && text.len() > 100;
            assert!(whole.iter().any(is_it), "{language:?} {size:?}: {whole:?}");
            assert!(!cut.iter().any(is_it), "{language:?} {size:?}: {cut:?}");
        }
    }
}

/// Nothing of the page is said in English where German is spoken.
#[test]
fn the_whole_horse_is_german_where_german_is_spoken() {
    let (yard, _) = with_last(|ride| {
        thirds(ride);
        paused(ride);
        ride.paces[0].variant = Some(sample::word("working"));
        ride.paces.push(PaceSpan {
            id: SpanId::from_bits(3),
            span: span(40, 90),
            pace: Pace::Trot,
            variant: Some(sample::word("medium")),
        });
        ride.bouts[1].from = ride.bouts[0].from;
    });
    let mut harness = page(yard);
    harness.state_mut().say = Say::new(Language::German);
    settle(&mut harness);
    let english = catalog::only_in_english();
    assert!(english.len() > 150, "only {} pieces", english.len());
    let mut heard = String::new();
    for table in [false, true] {
        let mut texts = 0;
        for node in harness.root().children_recursive() {
            let node = node.accesskit_node();
            for text in [node.label(), node.value()].into_iter().flatten() {
                texts += 1;
                let left = english.iter().find(|piece| text.contains(piece.as_str()));
                assert_eq!(left, None, "in “{text}”, table {table}");
                heard.push_str(&text);
            }
        }
        assert!(texts > 40, "only {texts} texts");
        turn_into_tables(&mut harness, " als Tabelle");
    }
    for said in [
        "Kopf-Hals-Haltung",
        "Arbeitsgalopp: 97 Galoppsprünge pro Minute",
    ] {
        assert!(heard.contains(said), "{said} is not said");
    }
}
