//! Limbs as smooth outlines round their joints.

use tiny_skia::{Color, Shader};

use super::ink::{Ink, Px, blob, curve, plain, polygon};
use super::view::View;
use crate::film::pose::{LimbPose, Point};

/// Whether a limb is on the camera's side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tone {
    /// On the camera's side.
    Near,
    /// Behind, in the shade.
    Far,
}

/// How a limb is coloured.
pub(crate) struct Dress<'a> {
    /// The coat.
    pub(crate) coat: &'a Shader<'a>,
    /// Creases at knee and hock.
    pub(crate) crease: Color,
    /// Height and colour of a white sock.
    pub(crate) sock: Option<(f64, Color)>,
    /// The hoof.
    pub(crate) hoof: Color,
    /// Near or far.
    pub(crate) tone: Tone,
}

/// A place on the middle line of a limb, and how far its front and its back
/// are from there, metres.
type Girth = (Point, f64, f64);

/// Draws a limb.
pub(crate) fn draw(ink: &mut Ink<'_>, view: &View, limb: &LimbPose, dress: &Dress<'_>) {
    let girths = if limb.limb.is_fore() {
        fore(limb)
    } else {
        hind(limb)
    };
    ink.fill(blob(&outline(view, &girths)), dress.coat);
    if let Some((height, color)) = dress.sock {
        sock(ink, view, limb, height, color);
    }
    hoof(ink, view, limb, dress.hoof);
    let m = |metres: f64| (metres * view.scale()) as f32;
    if dress.tone == Tone::Near {
        let [_, _, low] = limb.joints;
        let tick = |a: Point, b: Point| curve(&[view.pixel(a), view.pixel(b)]);
        let off = |p: Point, dx: f64, dy: f64| Point::new(p.x + dx, p.y + dy, p.z);
        if limb.limb.is_fore() {
            ink.stroke(
                tick(off(low, 0.022, 0.035), off(low, 0.026, -0.03)),
                dress.crease,
                m(0.010),
            );
        } else {
            ink.stroke(
                tick(off(low, -0.015, 0.045), off(low, 0.012, -0.02)),
                dress.crease,
                m(0.012),
            );
        }
    }
}

fn fore(limb: &LimbPose) -> Vec<Girth> {
    let [shoulder, elbow, knee] = limb.joints;
    let fetlock = limb.foot.fetlock;
    let coronet = coronet(limb);
    vec![
        (shoulder.toward(elbow, 0.30), 0.13, 0.12),
        (shoulder.toward(elbow, 0.70), 0.145, 0.125),
        (elbow.toward(knee, 0.02), 0.115, 0.105),
        (elbow.toward(knee, 0.30), 0.082, 0.078),
        (elbow.toward(knee, 0.62), 0.056, 0.055),
        (elbow.toward(knee, 0.88), 0.050, 0.043),
        (knee, 0.053, 0.046),
        (knee.toward(fetlock, 0.16), 0.041, 0.043),
        (knee.toward(fetlock, 0.36), 0.030, 0.037),
        (knee.toward(fetlock, 0.74), 0.030, 0.037),
        (knee.toward(fetlock, 0.95), 0.037, 0.050),
        (fetlock.toward(coronet, 0.22), 0.037, 0.044),
        (fetlock.toward(coronet, 0.60), 0.033, 0.033),
        (fetlock.toward(coronet, 1.0), 0.046, 0.046),
    ]
}

fn hind(limb: &LimbPose) -> Vec<Girth> {
    let [hip, stifle, hock] = limb.joints;
    let fetlock = limb.foot.fetlock;
    let coronet = coronet(limb);
    let back = |p: Point, dx: f64| Point { x: p.x + dx, ..p };
    vec![
        (back(hip, 0.0), 0.22, 0.25),
        (back(hip.toward(stifle, 0.55), -0.06), 0.20, 0.215),
        (back(stifle, -0.095), 0.135, 0.165),
        (back(stifle.toward(hock, 0.25), -0.045), 0.112, 0.120),
        (back(stifle.toward(hock, 0.50), -0.015), 0.085, 0.080),
        (stifle.toward(hock, 0.80), 0.058, 0.056),
        (stifle.toward(hock, 0.97), 0.056, 0.064),
        (hock.toward(fetlock, 0.08), 0.052, 0.060),
        (hock.toward(fetlock, 0.26), 0.039, 0.044),
        (hock.toward(fetlock, 0.50), 0.033, 0.038),
        (hock.toward(fetlock, 0.80), 0.033, 0.039),
        (hock.toward(fetlock, 0.96), 0.039, 0.051),
        (fetlock.toward(coronet, 0.22), 0.038, 0.045),
        (fetlock.toward(coronet, 0.60), 0.034, 0.034),
        (fetlock.toward(coronet, 1.0), 0.046, 0.046),
    ]
}

/// Height of the hoof, metres.
const HOOF: f64 = 0.075;

/// A point of the hoof: ahead of the middle of the sole, and up from the sole.
fn hoof_at(limb: &LimbPose, ahead: f64, up: f64) -> Point {
    let (sin, cos) = (-limb.foot.tip).sin_cos();
    let sole = limb.foot.sole;
    Point::new(
        sole.x + ahead * cos - up * sin,
        sole.y + ahead * sin + up * cos,
        sole.z,
    )
}

fn coronet(limb: &LimbPose) -> Point {
    hoof_at(limb, -0.022, HOOF)
}

fn hoof(ink: &mut Ink<'_>, view: &View, limb: &LimbPose, color: Color) {
    let at = |ahead: f64, up: f64| view.pixel(hoof_at(limb, ahead, up));
    let shape = [
        at(0.080, 0.0),
        at(0.030, 0.082),
        at(-0.072, 0.060),
        at(-0.064, 0.0),
    ];
    ink.fill(polygon(&shape), &plain(color));
}

/// White from the hoof up to a height, over pastern, fetlock and cannon.
fn sock(ink: &mut Ink<'_>, view: &View, limb: &LimbPose, height: f64, color: Color) {
    let fetlock = limb.foot.fetlock;
    let coronet = coronet(limb);
    let above = limb.joints[2];
    let mut girths: Vec<Girth> = Vec::new();
    if height > 0.2 {
        let share = 1.0 - (height - 0.2) / above.distance(fetlock).max(0.1);
        girths.push((above.toward(fetlock, share), 0.031, 0.038));
        girths.push((above.toward(fetlock, 0.95), 0.038, 0.051));
    } else {
        girths.push((fetlock.toward(coronet, 0.05), 0.039, 0.049));
    }
    girths.push((fetlock.toward(coronet, 0.25), 0.038, 0.044));
    girths.push((fetlock.toward(coronet, 0.60), 0.034, 0.034));
    girths.push((fetlock.toward(coronet, 1.0), 0.046, 0.046));
    ink.fill(blob(&outline(view, &girths)), &plain(color));
}

/// The outline round a middle line: down the front, up the back.
fn outline(view: &View, girths: &[Girth]) -> Vec<Px> {
    let count = girths.len();
    let mut front = Vec::with_capacity(count * 2);
    let mut back = Vec::with_capacity(count);
    for (i, &(point, ahead, behind)) in girths.iter().enumerate() {
        let (a, b) = (
            girths[i.saturating_sub(1)].0,
            girths[(i + 1).min(count - 1)].0,
        );
        let length = a.distance(b).max(1e-6);
        // Forward of a line that goes down.
        let (nx, ny) = (-(b.y - a.y) / length, (b.x - a.x) / length);
        front.push(view.pixel(Point::new(
            point.x + nx * ahead,
            point.y + ny * ahead,
            point.z,
        )));
        back.push(view.pixel(Point::new(
            point.x - nx * behind,
            point.y - ny * behind,
            point.z,
        )));
    }
    back.reverse();
    front.extend(back);
    front
}
