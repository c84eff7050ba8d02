//! Whole rides: transitions, lapses, the truth, and what a script may ask.

use proptest::prelude::*;

use super::super::arena;
use super::super::gait::ride;
use super::super::paces::Limb;
use super::super::script::{Script, Side};
use super::super::truth::Truth;
use super::{gait, near, script};

const PACES: [&str; 10] = [
    "pace: Walk, variant: Medium",
    "pace: Trot",
    "pace: Trot, variant: Extended",
    "pace: Canter",
    "pace: Canter, variant: Extended",
    "pace: Canter, variant: Pirouette",
    "pace: Passage",
    "pace: Piaffe",
    "pace: ReinBack",
    "pace: Halt",
];

fn segments() -> impl Strategy<Value = String> {
    prop::collection::vec((0..PACES.len(), 1_u32..6), 1..7).prop_map(|parts| {
        let lines = parts.into_iter().map(|(pace, count)| match PACES[pace] {
            "pace: Halt" => format!("(pace: Halt, lasts: Seconds({count}.0))"),
            other => format!("({other}, lasts: Strides({count}))"),
        });
        lines.collect::<Vec<_>>().join(", ")
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn no_foot_lands_before_it_has_left(segments in segments(), wander in 0.0..0.05_f64) {
        let mut script = script(&segments);
        script.wander = wander;
        let gait = ride(&script).unwrap();
        for limb in Limb::ALL {
            for pair in gait.of(limb).windows(2) {
                prop_assert!(pair[0].on < pair[0].off, "{limb:?} {pair:?}");
                prop_assert!(pair[0].off < pair[1].on, "{limb:?} {pair:?}");
            }
        }
    }

    #[test]
    fn strides_follow_without_a_gap(segments in segments()) {
        let gait = gait(&segments);
        prop_assert_eq!(gait.strides[0].start, 0);
        for pair in gait.strides.windows(2) {
            prop_assert_eq!(pair[0].end, pair[1].start);
            prop_assert!(pair[0].start < pair[0].end);
        }
        prop_assert_eq!(gait.strides.last().unwrap().end, gait.end);
    }

    #[test]
    fn the_truth_reads_back_as_written(segments in segments()) {
        let truth = Truth::of(&script(&segments)).unwrap();
        let text = truth.text().unwrap();
        prop_assert_eq!(ron::from_str::<Truth>(&text).unwrap(), truth);
    }
}

#[test]
fn between_two_paces_no_limb_cycle_is_under_half_or_over_one_and_a_half_strides() {
    // Our own bound for a transition that does not stumble.
    for (from, to) in [
        ("Walk, variant: Medium", "Trot"),
        ("Trot", "Canter"),
        ("Canter", "Trot"),
        ("Trot", "Walk, variant: Medium"),
        ("Passage", "Piaffe"),
    ] {
        let gait = gait(&format!(
            "(pace: {from}, lasts: Strides(5)), (pace: {to}, lasts: Strides(5))"
        ));
        let time = |index: usize| (gait.strides[index].end - gait.strides[index].start) as f64;
        let (old, new) = (time(0), time(gait.strides.len() - 1));
        for limb in Limb::ALL {
            for pair in gait.of(limb).windows(2) {
                let cycle = (pair[1].on - pair[0].on) as f64;
                assert!(
                    cycle > 0.45 * old.min(new) && cycle < 1.6 * old.max(new),
                    "{from} to {to}, {limb:?}: {cycle}"
                );
            }
        }
    }
}

#[test]
fn a_lapse_changes_the_stride_time_by_its_factor_and_nothing_else() {
    let gait = gait(
        "(pace: Canter, lasts: Strides(12), events: [Lapse(stride: 4, strides: 6, time_factor: 0.925)])",
    );
    for (index, stride) in gait.strides.iter().enumerate() {
        let wanted = 0.612 * if (3..9).contains(&index) { 0.925 } else { 1.0 };
        near(
            (stride.end - stride.start) as f64 / 1e9,
            wanted,
            1e-6,
            &format!("stride {index}"),
        );
    }
    assert_eq!(
        (gait.stretches[0].from, gait.stretches[0].to),
        (gait.strides[3].start, gait.strides[8].end)
    );
}

#[test]
fn a_break_is_in_the_truth_as_another_pace() {
    let truth = Truth::of(&script(
        "(pace: Canter, lasts: Strides(12), events: [Break(stride: 5, strides: 3, to: Trot)])",
    ))
    .unwrap();
    let paces: Vec<String> = truth
        .paces
        .iter()
        .map(|span| format!("{:?}", span.pace))
        .collect();
    assert_eq!(paces, ["Canter", "Trot", "Canter"]);
    assert_eq!(truth.breaks.len(), 1);
    assert!(truth.breaks[0].0 >= truth.paces[0].from && truth.breaks[0].1 <= truth.paces[1].to);
}

#[test]
fn letters_stand_as_in_the_rules() {
    // FEI Art. 429 (read on mirrors): 6 m from the corner, then every 12 m.
    let right: Vec<(f64, char)> = arena::letters(Side::Right, 0.0, 159.0);
    let names: String = right.iter().map(|(_, letter)| letter).collect();
    assert_eq!(names, "AKVESHCMRBPF");
    assert!(
        arena::CORNERS
            .iter()
            .zip([16.0, 64.0, 96.0, 144.0])
            .all(|(corner, letter)| ((corner - letter).abs() - 6.0).abs() < 1e-9)
    );
    for pair in right[1..6].windows(2) {
        near(pair[1].0 - pair[0].0, 12.0, 1e-9, "letter to letter");
    }
    let left: String = arena::letters(Side::Left, 0.0, 159.0)
        .iter()
        .map(|(_, letter)| letter)
        .collect();
    assert_eq!(left, "AFPBRMCHSEVK");
}

#[test]
fn twelve_metres_take_as_long_as_the_speed_says() {
    // 12 m at 3.20 m/s: 3.8 s (arithmetic of the trade).
    let mut ridden = script("(pace: Trot, lasts: Strides(60))");
    ridden.from_a = 10.0;
    let truth = Truth::of(&ridden).unwrap();
    let at = |letter: char| {
        truth
            .letters
            .iter()
            .find(|(_, found)| *found == letter)
            .unwrap()
            .0 as f64
            / 1e9
    };
    near(at('E') - at('V'), 12.0 / 3.20, 0.02, "V to E");
}

#[track_caller]
fn refused(segments: &str, words: &str) {
    let text = format!("(title: \"test\", segments: [{segments}])");
    let error = Script::parse(&text)
        .and_then(|script| {
            script
                .check()
                .and_then(|()| ride(&script).map(|_| ()))
                .map_err(|error| error.to_string())
        })
        .unwrap_err();
    assert!(error.contains(words), "{error}");
}

#[test]
fn a_script_that_cannot_be_ridden_is_refused_in_words() {
    refused("", "at least one segment");
    refused(
        "(pace: Walk, variant: Medium, lasts: Strides(0))",
        "1 to 400",
    );
    refused("(pace: Halt, lasts: Strides(3))", "a halt has no strides");
    refused(
        "(pace: Walk, variant: Medium, lead: Left, lasts: Strides(3))",
        "only the canter has a lead",
    );
    refused(
        "(pace: Trot, variant: Free, lasts: Strides(3))",
        "no such variant",
    );
    refused(
        "(pace: Trot, lasts: Strides(3), events: [Change(stride: 2)])",
        "belong in a canter",
    );
    refused(
        "(pace: Canter, lasts: Strides(3), events: [Change(stride: 9)])",
        "the segment has 3",
    );
    refused(
        "(pace: Canter, lead: Left, lasts: Strides(3)), (pace: Canter, lead: Right, lasts: Strides(3))",
        "segment 2 of the script: the lead differs",
    );
    refused(
        "(pace: Trot, lasts: Strides(9), events: [QuartersTrailing(stride: 1, strides: 2)])",
        "half-pass",
    );
    refused("(pace: Trot, lasts: Strides(9), colour: 3)", "colour");
}
