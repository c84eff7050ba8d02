//! The drawn horse keeps its bones, its joints bend the right way, and its
//! feet neither slide nor sink.

use super::super::gait::{SECOND, ride};
use super::super::motion::Motion;
use super::super::paces::Limb;
use super::super::pose::{LimbPose, pose};
use super::super::script::Script;
use super::script;

const RIDE: &str = "(pace: Walk, variant: Medium, lasts: Strides(3)), (pace: Trot, lasts: Strides(4)),
    (pace: Trot, variant: Extended, lasts: Strides(4)), (pace: Passage, lasts: Strides(3)), (pace: Piaffe, lasts: Strides(3)),
    (pace: Canter, lead: Right, lasts: Strides(8), events: [Change(stride: 4, late_behind: 1)]),
    (pace: Trot, lasts: Strides(3)), (pace: Halt, lasts: Seconds(2.0)), (pace: ReinBack, lasts: Strides(2)),
    (pace: Walk, variant: Free, lasts: Strides(3), outline: Stretched)";

/// Every limb every hundredth of a second, with its time and whether it stands.
fn every(script: &Script, mut check: impl FnMut(f64, bool, &LimbPose)) {
    let gait = ride(script).unwrap();
    let motion = Motion::new(script, &gait);
    let end = gait.end as f64 / SECOND;
    let mut t = 0.0;
    while t < end {
        for limb in &pose(&motion, t).limbs {
            let at = (t * SECOND) as i64;
            let stands = gait
                .of(limb.limb)
                .iter()
                .any(|contact| (contact.on..contact.off).contains(&at));
            check(t, stands, limb);
        }
        t += 0.01;
    }
}

#[test]
fn a_standing_toe_stays_where_it_is() {
    let mut held: [Option<(f64, f64)>; 4] = [None; 4];
    every(&script(RIDE), |t, stands, limb| {
        let sole = limb.foot.sole;
        let toe = (
            sole.x + 0.075 * limb.foot.tip.cos(),
            sole.y - 0.075 * limb.foot.tip.sin(),
        );
        let slot = &mut held[limb.limb as usize];
        if !stands {
            *slot = None;
            assert!(sole.y > -0.005, "{:?} sinks at {t}: {}", limb.limb, sole.y);
            return;
        }
        assert!(
            toe.1.abs() < 1e-9,
            "{:?} is off the ground at {t}: {}",
            limb.limb,
            toe.1
        );
        if let Some((x, _)) = *slot {
            assert!((toe.0 - x).abs() < 1e-9, "{:?} slides at {t}", limb.limb);
        }
        *slot = Some(toe);
    });
}

#[test]
fn knees_bend_forward_and_hocks_backward() {
    every(&script(RIDE), |t, _, limb| {
        let [top, middle, low] = limb.joints;
        let fetlock = limb.foot.fetlock;
        // Which side of the line a to c the joint b lies on; positive is forward of a line that goes down.
        let side = |a: (f64, f64), b: (f64, f64), c: (f64, f64)| {
            (c.0 - a.0) * (b.1 - a.1) - (c.1 - a.1) * (b.0 - a.0)
        };
        let at = |p: super::super::pose::Point| (p.x, p.y);
        if limb.limb.is_fore() {
            assert!(
                side(at(middle), at(low), at(fetlock)) > -1e-9,
                "{:?} knee at {t}",
                limb.limb
            );
        } else {
            assert!(
                side(at(middle), at(low), at(fetlock)) < 1e-9,
                "{:?} hock at {t}",
                limb.limb
            );
            assert!(
                side(at(top), at(middle), at(low)) > -1e-9,
                "{:?} stifle at {t}",
                limb.limb
            );
        }
    });
}

#[test]
fn bones_keep_their_length() {
    every(&script(RIDE), |t, _, limb| {
        let [top, middle, low] = limb.joints;
        let lengths = if limb.limb.is_fore() {
            [
                (middle.distance(low), 0.45),
                (low.distance(limb.foot.fetlock), 0.325),
            ]
        } else {
            [
                (top.distance(middle), 0.34),
                (low.distance(limb.foot.fetlock), 0.40),
            ]
        };
        for (found, wanted) in lengths {
            assert!(
                (found - wanted).abs() < 1e-9,
                "{:?} at {t}: {found} for {wanted}",
                limb.limb
            );
        }
        if !limb.limb.is_fore() {
            let gaskin = middle.distance(low);
            assert!(
                (gaskin - 0.53).abs() < 1e-9,
                "{:?} at {t}: gaskin {gaskin}",
                limb.limb
            );
        }
    });
}

#[test]
fn limbs_move_without_jumps() {
    let script = script(RIDE);
    let gait = ride(&script).unwrap();
    let motion = Motion::new(&script, &gait);
    let (step, end) = (0.002, gait.end as f64 / SECOND);
    let mut t = 0.0;
    let mut before = pose(&motion, 0.0);
    while t + step < end {
        t += step;
        let now = pose(&motion, t);
        for limb in Limb::ALL {
            let (a, b) = (&before.limbs[limb as usize], &now.limbs[limb as usize]);
            let moved = [
                a.foot.sole.distance(b.foot.sole),
                a.joints[2].distance(b.joints[2]),
            ];
            // Nothing on a horse at these paces goes faster than 25 m/s.
            assert!(
                moved.iter().all(|moved| *moved < 25.0 * step),
                "{limb:?} jumps at {t}: {moved:?}"
            );
        }
        before = now;
    }
}
