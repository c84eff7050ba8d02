//! Order, duty and suspension of the footfalls, and the flying change.

use super::super::gait::Gait;
use super::super::paces::{Lead, Limb, footing};
use super::super::script::{Pace, Side, Variant};
use super::{gait, landings, near};

/// Speeds in m/s and stride times in s as printed; the films' stride length
/// and time must give them back.
#[test]
fn speeds_and_stride_times_are_the_published_ones() {
    let rows = [
        // Clayton 1995, Am J Vet Res 56:849-852 (second-hand).
        (Pace::Walk, Variant::Collected, 1.37, 1.159),
        (Pace::Walk, Variant::Extended, 1.82, 1.064),
        // Clayton 1994, Equine Vet J 26:230-234, speeds as cited in Clayton &
        // Hobbs 2021, Animals 11:436; times by division from the lengths.
        (Pace::Trot, Variant::Collected, 3.20, 0.781),
        (Pace::Trot, Variant::Working, 3.61, 0.756),
        (Pace::Trot, Variant::Medium, 4.47, 0.729),
        (Pace::Trot, Variant::Extended, 4.93, 0.720),
        // Clayton 1994, Equine Vet J Suppl 17:16-19 (from memory).
        (Pace::Canter, Variant::Collected, 3.27, 0.612),
        (Pace::Canter, Variant::Working, 3.91, 0.601),
        (Pace::Canter, Variant::Medium, 4.90, 0.600),
        (Pace::Canter, Variant::Extended, 5.97, 0.581),
    ];
    for (pace, variant, speed, time) in rows {
        let found = footing(pace, variant, Lead::both(Side::Right)).unwrap();
        near(
            found.length / found.time,
            speed,
            0.02,
            &format!("speed of {variant:?} {pace:?}"),
        );
        near(
            found.time,
            time,
            0.0005,
            &format!("stride time of {variant:?} {pace:?}"),
        );
    }
    // Burns & Clayton 1997, Equine Vet J Suppl 23 (second-hand).
    let pirouette = footing(Pace::Canter, Variant::Pirouette, Lead::both(Side::Right)).unwrap();
    near(
        pirouette.time,
        0.879,
        0.0005,
        "stride time of the pirouette",
    );
}

/// The limbs in order of landing from the start of the fifth stride.
fn order(gait: &Gait) -> Vec<(Limb, f64)> {
    let (start, next) = (gait.strides[4].start, gait.strides[5].start);
    let mut found: Vec<(Limb, f64)> = Limb::ALL
        .iter()
        .flat_map(|&limb| {
            gait.of(limb)
                .iter()
                .filter(|contact| (start..next).contains(&contact.on))
                .map(move |contact| (limb, (contact.on - start) as f64 / (next - start) as f64))
        })
        .collect();
    found.sort_by(|a, b| a.1.total_cmp(&b.1));
    found
}

#[track_caller]
fn check_order(segments: &str, wanted: &[(Limb, f64)]) {
    let found = order(&gait(segments));
    assert_eq!(
        found.len(),
        4,
        "{segments}: each limb lands once a stride: {found:?}"
    );
    for ((limb, phase), (wanted_limb, wanted_phase)) in found.iter().zip(wanted) {
        assert_eq!(limb, wanted_limb, "{segments}: {found:?}");
        near(*phase, *wanted_phase, 0.002, segments);
    }
}

#[test]
fn feet_land_in_the_order_of_the_pace() {
    use Limb::{LF, LH, RF, RH};
    // Muybridge 1887 by way of later pages: four beats LH LF RH RF; measured
    // limb phase 0.20 to 0.24 (Renders & Vincelette 2023, second-hand).
    check_order(
        "(pace: Walk, variant: Medium, lasts: Strides(9))",
        &[(LH, 0.0), (LF, 0.22), (RH, 0.5), (RF, 0.72)],
    );
    // Clayton & Hobbs 2019, Animals 9:763: hind a little before its diagonal fore.
    check_order(
        "(pace: Trot, lasts: Strides(9))",
        &[(LH, 0.0), (RF, 0.025), (RH, 0.5), (LF, 0.525)],
    );
    // FEI Art. 405 and the FEI glossary; 0 / .25 / .25 / .50 by derivation.
    check_order(
        "(pace: Canter, lead: Right, lasts: Strides(9))",
        &[(LH, 0.0), (LF, 0.25), (RH, 0.25), (RF, 0.5)],
    );
    check_order(
        "(pace: Canter, lead: Left, lasts: Strides(9))",
        &[(RH, 0.0), (LH, 0.25), (RF, 0.25), (LF, 0.5)],
    );
    // Burns & Clayton 1997: leading hind 0.187 before the trailing fore.
    check_order(
        "(pace: Canter, variant: Pirouette, lead: Right, lasts: Strides(9))",
        &[(LH, 0.0), (RH, 0.30), (LF, 0.487), (RF, 0.72)],
    );
    // FEI Art. 406: rein-back in diagonal pairs.
    check_order(
        "(pace: ReinBack, lasts: Strides(9))",
        &[(LH, 0.0), (RF, 0.0), (LF, 0.5), (RH, 0.5)],
    );
}

/// Share of the fifth stride in which fewest to most feet stand, sampled.
fn support(gait: &Gait) -> (usize, f64, f64) {
    let (start, next) = (gait.strides[4].start, gait.strides[5].start);
    let (mut least, mut suspended, mut standing) = (4, 0, 0);
    let samples = 20_000;
    for i in 0..samples {
        let at = start + (next - start) * i / samples;
        let stand = |limb: &Limb| {
            gait.of(*limb)
                .iter()
                .any(|contact| (contact.on..contact.off).contains(&at))
        };
        let feet = Limb::ALL.iter().filter(|limb| stand(limb)).count();
        least = least.min(feet);
        suspended += i64::from(feet == 0);
        standing += i64::try_from(feet).unwrap();
    }
    (
        least,
        suspended as f64 / samples as f64,
        standing as f64 / samples as f64 / 4.0,
    )
}

#[test]
fn duty_and_suspension_are_those_of_the_pace() {
    // (segment, fewest feet down, suspension, mean duty), all shares of a stride.
    let rows = [
        // No suspension, two and three feet in turn; hind duty 0.62 to 0.63.
        (
            "(pace: Walk, variant: Medium, lasts: Strides(9))",
            2,
            0.0,
            0.62,
        ),
        // Running gaits with duty under 0.5 (Clayton & Hobbs 2019); 0.44 design.
        ("(pace: Trot, lasts: Strides(9))", 0, 0.07, 0.44),
        ("(pace: Passage, lasts: Strides(9))", 0, 0.05, 0.45),
        // Piaffe: no aerial phase (Clayton & Hobbs 2019, abstract).
        ("(pace: Piaffe, lasts: Strides(9))", 2, 0.0, 0.55),
        // About 1 to 2 % suspended when collected, 15 % extended (Clayton;
        // Burns & Clayton 1997: 2.1 %).
        ("(pace: Canter, lasts: Strides(9))", 0, 0.02, 0.48),
        (
            "(pace: Canter, variant: Medium, lasts: Strides(9))",
            0,
            0.10,
            0.40,
        ),
        (
            "(pace: Canter, variant: Extended, lasts: Strides(9))",
            0,
            0.15,
            0.35,
        ),
        // Rein-back without suspension (FEI Art. 406).
        ("(pace: ReinBack, lasts: Strides(9))", 2, 0.0, 0.60),
    ];
    for (segments, least, suspension, duty) in rows {
        let (found_least, found_suspension, found_duty) = support(&gait(segments));
        assert_eq!(found_least, least, "{segments}");
        near(found_suspension, suspension, 0.002, segments);
        near(found_duty, duty, 0.002, segments);
    }
}

#[test]
fn the_pirouette_has_no_suspension_and_the_published_overlap() {
    let gait = gait("(pace: Canter, variant: Pirouette, lead: Right, lasts: Strides(9))");
    assert!(support(&gait).0 >= 1);
    // Burns & Clayton 1997: leading fore and trailing hind together 18.5 % of the stride.
    let stride = &gait.strides[4];
    let hind = gait
        .of(Limb::LH)
        .iter()
        .find(|contact| contact.on == stride.end)
        .unwrap();
    let fore = gait
        .of(Limb::RF)
        .iter()
        .find(|contact| (stride.start..stride.end).contains(&contact.on))
        .unwrap();
    near(
        (fore.off - hind.on) as f64 / (stride.end - stride.start) as f64,
        0.185,
        0.001,
        "overlap",
    );
}

/// Limb cycles in strides, counted from the landing in the stride before the one at `index`.
fn cycle(gait: &Gait, limb: Limb, index: usize) -> f64 {
    let stride = &gait.strides[index];
    let time = (stride.end - stride.start) as f64 / 1e9;
    let start = stride.start as f64 / 1e9;
    let all = landings(gait, limb);
    // The last landing before the stride, or in its first beat for none.
    let at = all.partition_point(|on| *on < start - 1e-6);
    (all[at] - all[at - 1]) / time
}

/// Derived from the phases 0 / .25 / .25 / .50: in a change the new trailing
/// pair repeats after 0.75 T and the new leading pair after 1.25 T.
#[track_caller]
fn check_change(gait: &Gait, index: usize, short: &[Limb], long: &[Limb]) {
    for &limb in short {
        near(
            cycle(gait, limb, index),
            0.75,
            1e-6,
            &format!("{limb:?} in stride {index}"),
        );
    }
    for &limb in long {
        near(
            cycle(gait, limb, index),
            1.25,
            1e-6,
            &format!("{limb:?} in stride {index}"),
        );
    }
    for limb in Limb::ALL
        .iter()
        .filter(|limb| !short.contains(limb) && !long.contains(limb))
    {
        near(
            cycle(gait, *limb, index),
            1.0,
            1e-6,
            &format!("{limb:?} in stride {index}"),
        );
    }
}

#[test]
fn a_clean_change_shows_short_and_long_cycles_in_the_same_stride() {
    use Limb::{LF, LH, RF, RH};
    let gait = gait("(pace: Canter, lead: Left, lasts: Strides(12), events: [Change(stride: 5)])");
    check_change(&gait, 3, &[], &[]);
    check_change(&gait, 4, &[LH, LF], &[RH, RF]);
    check_change(&gait, 5, &[], &[]);
    let change = gait.changes[0];
    assert_eq!(
        (change.fore, change.hind, change.to),
        (gait.strides[4].start, Some(change.fore), Side::Right)
    );
}

#[test]
fn a_change_late_behind_shows_the_hind_cycles_strides_later() {
    use Limb::{LF, LH, RF, RH};
    for late in 1..=2 {
        let gait = gait(&format!(
            "(pace: Canter, lead: Left, lasts: Strides(12), events: [Change(stride: 5, late_behind: {late})])"
        ));
        check_change(&gait, 4, &[LF], &[RF]);
        check_change(&gait, 4 + late, &[LH], &[RH]);
        let change = gait.changes[0];
        assert_eq!(change.hind, Some(gait.strides[4 + late].start));
    }
}

#[test]
fn changes_every_stride_alternate_short_and_long() {
    use Limb::{LF, LH, RF, RH};
    let events: Vec<String> = (3..=8)
        .map(|stride| format!("Change(stride: {stride})"))
        .collect();
    let gait = gait(&format!(
        "(pace: Canter, lead: Left, lasts: Strides(10), events: [{}])",
        events.join(", ")
    ));
    for index in 2..8 {
        let (left, right) = ([LH, LF], [RH, RF]);
        let (short, long) = if index % 2 == 0 {
            (left, right)
        } else {
            (right, left)
        };
        check_change(&gait, index, &short, &long);
    }
}

#[test]
fn a_fore_leaves_first_when_moving_off() {
    // Tans, Nauwelaerts & Clayton 2009: the first limb to move was always a fore.
    let gait =
        gait("(pace: Halt, lasts: Seconds(2.0)), (pace: Walk, variant: Medium, lasts: Strides(4))");
    let first = Limb::ALL
        .into_iter()
        .min_by_key(|limb| gait.of(*limb)[0].off)
        .unwrap();
    assert!(first.is_fore(), "{first:?} left first");
    assert!(gait.of(first)[0].off >= 2_000_000_000);
}
