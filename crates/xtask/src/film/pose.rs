//! The horse at one moment: where every joint is.
//!
//! A foot on the ground stays on its plant; the joints above are solved from
//! it. In the fore limb the leg from elbow to fetlock is straight under load
//! and folds at the knee (forward) in the air; in the hind limb stifle and
//! hock fold together, as the muscles and tendons of a horse make them do.

use std::f64::consts::{PI, TAU};

use super::gait::SECOND;
use super::motion::{Carriage, Motion, Plant};
use super::paces::Limb;
use super::script::Pace;

/// A point in the world, metres: along the way, up, to the horse's right.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Point {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) z: f64,
}

impl Point {
    /// A point.
    #[must_use]
    pub(crate) const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }

    /// The point a share of the way to another.
    #[must_use]
    pub(crate) fn toward(self, other: Self, share: f64) -> Self {
        let mix = |a: f64, b: f64| a + (b - a) * share;
        Self::new(
            mix(self.x, other.x),
            mix(self.y, other.y),
            mix(self.z, other.z),
        )
    }

    /// Distance in the plane of the picture.
    #[must_use]
    pub(crate) fn distance(self, other: Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }
}

/// Place and turn of the trunk.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Trunk {
    x: f64,
    z: f64,
    height: f64,
    pitch: f64,
    yaw: f64,
}

impl Trunk {
    /// A point of the trunk: ahead of its middle, above the ground when
    /// standing, and to the right, in metres.
    #[must_use]
    pub(crate) fn at(&self, ahead: f64, up: f64, right: f64) -> Point {
        const PIVOT: (f64, f64) = (-0.1, 1.3);
        let (sin, cos) = self.pitch.sin_cos();
        let (dx, dy) = (ahead - PIVOT.0, up - PIVOT.1);
        let ahead = PIVOT.0 + cos * dx - sin * dy;
        let y = PIVOT.1 + sin * dx + cos * dy + self.height;
        let (sin, cos) = self.yaw.sin_cos();
        Point::new(
            self.x + ahead * cos - right * sin,
            y,
            self.z + ahead * sin + right * cos,
        )
    }

    /// The middle of the trunk on the ground.
    #[must_use]
    pub(crate) const fn ground(&self) -> Point {
        Point::new(self.x, 0.0, self.z)
    }

    /// Turn to the right of the way, radians.
    #[must_use]
    pub(crate) const fn yaw(&self) -> f64 {
        self.yaw
    }
}

/// A foot: the middle of its hoof and how the hoof is tipped.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Foot {
    /// Middle of the sole.
    pub(crate) sole: Point,
    /// Toe down, radians.
    pub(crate) tip: f64,
    /// Centre of the fetlock joint.
    pub(crate) fetlock: Point,
}

/// A limb from top to bottom. For a fore limb: top of the shoulder, elbow,
/// knee; for a hind limb: hip, stifle, hock.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LimbPose {
    /// Which limb.
    pub(crate) limb: Limb,
    /// The three joints above the fetlock.
    pub(crate) joints: [Point; 3],
    /// The foot.
    pub(crate) foot: Foot,
}

/// The horse at one moment.
#[derive(Debug, Clone)]
pub(crate) struct Pose {
    /// The trunk.
    pub(crate) trunk: Trunk,
    /// The limbs in the order of [`Limb::ALL`].
    pub(crate) limbs: [LimbPose; 4],
    /// Neck and head.
    pub(crate) carriage: Carriage,
    /// Bend of the neck to the right, radians.
    pub(crate) bend: f64,
    /// Swing of the tail, -1 to 1, and how far it streams behind, 0 to 1.
    pub(crate) tail: (f64, f64),
    /// Rise of the trunk, metres, a moment ago: what the rider has felt.
    pub(crate) felt: f64,
    /// Lean of the rider's trunk, radians forward.
    pub(crate) lean: f64,
}

/// Rise, pitch and nod of the trunk in a pace at a phase of its stride.
struct Rock {
    rise: f64,
    pitch: f64,
    nod: f64,
}

/// The rhythm of the trunk: in trot it is highest in the suspension before
/// each diagonal lands; in canter the forehand is up over the trailing hind
/// and down over the leading fore. Amplitudes by design.
fn rock(pace: Pace, phase: f64) -> Rock {
    let wave = |beats: f64, peak: f64| (TAU * beats * (phase - peak)).cos();
    match pace {
        Pace::Walk => Rock {
            rise: -0.012 + 0.010 * wave(2.0, 0.1),
            pitch: 0.008 * wave(2.0, 0.2),
            nod: 0.045 * wave(2.0, 0.12),
        },
        Pace::Trot => Rock {
            rise: -0.012 + 0.032 * wave(2.0, 0.485),
            pitch: 0.006 * wave(2.0, 0.1),
            nod: 0.012 * wave(2.0, 0.2),
        },
        Pace::Passage => Rock {
            rise: 0.0 + 0.042 * wave(2.0, 0.49),
            pitch: 0.02,
            nod: 0.015 * wave(2.0, 0.2),
        },
        Pace::Piaffe => Rock {
            rise: -0.03 + 0.016 * wave(2.0, 0.49),
            pitch: 0.045,
            nod: 0.012 * wave(2.0, 0.2),
        },
        Pace::Canter => Rock {
            rise: -0.015 + 0.045 * wave(1.0, 0.97),
            pitch: 0.012 + 0.072 * wave(1.0, 0.13),
            nod: -0.075 * wave(1.0, 0.16),
        },
        Pace::ReinBack => Rock {
            rise: -0.02 + 0.008 * wave(2.0, 0.1),
            pitch: 0.012,
            nod: 0.01 * wave(2.0, 0.0),
        },
        Pace::Halt => Rock {
            rise: 0.0,
            pitch: 0.0,
            nod: 0.0,
        },
    }
}

/// How high a hoof is lifted in a pace, fore and hind, metres.
const fn lift(pace: Pace, fore: bool) -> f64 {
    let (of_fore, of_hind) = match pace {
        Pace::Walk => (0.12, 0.10),
        Pace::Trot => (0.23, 0.17),
        Pace::Passage => (0.38, 0.26),
        Pace::Piaffe => (0.38, 0.20),
        Pace::Canter => (0.24, 0.18),
        Pace::ReinBack => (0.12, 0.09),
        Pace::Halt => (0.08, 0.08),
    };
    if fore { of_fore } else { of_hind }
}

/// The horse at a time in seconds.
#[must_use]
pub(crate) fn pose(motion: &Motion, t: f64) -> Pose {
    let rocked = |t: f64| {
        let mut sum = Rock {
            rise: 0.0,
            pitch: 0.0,
            nod: 0.0,
        };
        for (pace, weight, phase) in motion.paces(t) {
            let part = rock(pace, phase);
            sum.rise += weight * part.rise;
            sum.pitch += weight * part.pitch;
            sum.nod += weight * part.nod;
        }
        sum
    };
    let now = rocked(t);
    let trunk = Trunk {
        x: motion.x(t),
        z: motion.z(t),
        height: now.rise,
        pitch: now.pitch,
        yaw: motion.yaw(t),
    };
    let mut carriage = motion.carriage(t);
    carriage.neck += now.nod - 0.5 * now.pitch;
    carriage.leave += 0.6 * now.nod;
    carriage.face += 0.4 * now.nod + 0.35 * now.pitch;
    let beat = rocked(t - 0.12);
    Pose {
        limbs: Limb::ALL.map(|limb| limb_pose(limb, &trunk, foot(motion, limb, t))),
        trunk,
        carriage,
        bend: motion.bend(t),
        tail: (
            (TAU * t / 2.7).sin() * 0.5 + beat.pitch * 6.0 + beat.rise * 6.0,
            motion.speed(t).abs() / 4.0,
        ),
        felt: beat.rise,
        lean: -0.55 * now.pitch - 0.4 * (now.rise - beat.rise)
            + motion.mix(t, |pace| if pace == Pace::ReinBack { 0.03 } else { -0.02 }),
    }
}

const SOLE_TOE: f64 = 0.075;
const PASTERN: (f64, f64) = (-0.105, 0.20);

fn foot(motion: &Motion, limb: Limb, t: f64) -> Foot {
    let plants = &motion.plants[limb as usize];
    let at = (t * SECOND) as i64;
    let index = plants
        .partition_point(|plant| plant.contact.on <= at)
        .saturating_sub(1);
    let plant = plants[index];
    match plants.get(index + 1) {
        Some(next) if at >= plant.contact.off => in_the_air(motion, limb, t, &plant, next),
        _ => on_the_ground(&plant, t),
    }
}

fn on_the_ground(plant: &Plant, t: f64) -> Foot {
    let (on, off) = (
        plant.contact.on as f64 / SECOND,
        plant.contact.off as f64 / SECOND,
    );
    // The heel leaves before the toe does, in the last quarter of a step.
    let share = ((t - on) / (off - on)).clamp(0.0, 1.0);
    let rolling = 0.18_f64.min(0.30 * (off - on));
    let end = ((t - (off - rolling)) / rolling).clamp(0.0, 1.0);
    let tip = BREAK_OVER * plant.roll * end * end;
    let load = (PI * share).sin() * (1.0 / (off - on)).clamp(0.35, 1.0);
    let (dx, dy) = rotate((-SOLE_TOE, 0.0), -tip);
    let sole = Point::new(plant.x + SOLE_TOE + dx, dy, plant.z);
    // The cannon comes forward over the foot and takes the fetlock with it.
    let over = ROLL * plant.roll * smooth((share - 0.5) / 0.5);
    with_fetlock(sole, tip, 0.35 * tip - over, load * 0.035)
}

/// How far the pastern has come upright when the foot leaves, radians.
const ROLL: f64 = 0.30;

/// Tip of the hoof as it leaves the ground.
const BREAK_OVER: f64 = 0.62;

fn in_the_air(motion: &Motion, limb: Limb, t: f64, from: &Plant, to: &Plant) -> Foot {
    let (off, on) = (
        from.contact.off as f64 / SECOND,
        to.contact.on as f64 / SECOND,
    );
    let s = ((t - off) / (on - off)).clamp(0.0, 1.0);
    let backwards = to.x < from.x;
    // A little late, as the foot is drawn up before it goes forward.
    let late = s.powf(1.15);
    let go = late * late * late * (late * (6.0 * late - 15.0) + 10.0);
    let height = motion.mix(t, |pace| lift(pace, limb.is_fore()));
    let rise = height * (PI * s.powf(0.82)).sin().powf(1.15);
    let fold = if limb.is_fore() { 1.0 } else { 0.75 };
    let curl = (BREAK_OVER * from.roll + (height * 3.6 * fold) * (PI * (s * 1.45).min(1.0)).sin())
        * (1.0 - smooth((s - 0.30) / 0.58));
    // The toe is a little up as the foot reaches for the ground.
    let tip = if backwards {
        curl * (1.0 - 0.6 * smooth(s / 0.4))
    } else {
        curl - 0.10 * (PI * smooth((s - 0.55) / 0.45)).sin()
    };
    let (dx, dy) = rotate((-SOLE_TOE, 0.0), -tip);
    let toe_share = 1.0 - smooth(s / 0.35);
    let sole = Point::new(
        from.x + (to.x - from.x) * go + (SOLE_TOE + dx) * toe_share,
        rise + dy.max(0.0) * toe_share,
        from.z + (to.z - from.z) * smooth(s),
    );
    with_fetlock(
        sole,
        tip,
        (0.35 * BREAK_OVER - ROLL) * from.roll * (1.0 - smooth(s / 0.5)),
        0.0,
    )
}

/// The fetlock above a hoof tipped by `tip`; `straighten` opens the pastern,
/// `sink` presses the fetlock down.
fn with_fetlock(sole: Point, tip: f64, straighten: f64, sink: f64) -> Foot {
    let (dx, dy) = rotate((PASTERN.0 - 0.6 * sink, PASTERN.1 - sink), straighten - tip);
    Foot {
        sole,
        tip,
        fetlock: Point::new(sole.x + dx, sole.y + dy, sole.z),
    }
}

fn rotate((x, y): (f64, f64), angle: f64) -> (f64, f64) {
    let (sin, cos) = angle.sin_cos();
    (x * cos - y * sin, x * sin + y * cos)
}

fn smooth(s: f64) -> f64 {
    let s = s.clamp(0.0, 1.0);
    s * s * (3.0 - 2.0 * s)
}

/// Width of the limbs apart, half, at their tops.
const TOP_HALF: f64 = 0.12;

fn limb_pose(limb: Limb, trunk: &Trunk, foot: Foot) -> LimbPose {
    let right = limb.side().sign() * TOP_HALF;
    let joints = if limb.is_fore() {
        fore(trunk.at(0.46, 1.40, right), &foot)
    } else {
        hind(trunk.at(-0.54, 1.29, right), &foot)
    };
    LimbPose { limb, joints, foot }
}

/// Elbow to knee and knee to fetlock, metres.
const FOREARM: f64 = 0.45;
const FORE_CANNON: f64 = 0.325;

fn fore(shoulder: Point, foot: &Foot) -> [Point; 3] {
    /// Shortest and longest way from the top of the shoulder to the elbow.
    const CLOSED: f64 = 0.35;
    const OPEN: f64 = 0.60;
    /// Share of its length at which the leg counts as straight.
    const STRAIGHT: f64 = 0.995;
    let fetlock = foot.fetlock;
    let straight = (FOREARM + FORE_CANNON) * STRAIGHT;
    let shoulder = within(shoulder, fetlock, straight + OPEN);
    let distance = shoulder.distance(fetlock);
    // The shoulder opens as long as it can, then the knee folds; the two run
    // into one another softly.
    let spare = distance - straight - CLOSED;
    let upper = CLOSED + f64::midpoint(spare, spare.hypot(0.03));
    let elbow = shoulder.toward(fetlock, upper / distance);
    let knee = bend(elbow, fetlock, FOREARM, FORE_CANNON);
    [shoulder, elbow, knee]
}

/// The top of a limb, drawn towards its foot when that is out of reach, as
/// shoulder blade and pelvis turn with the limb.
fn within(top: Point, fetlock: Point, reach: f64) -> Point {
    let distance = top.distance(fetlock);
    if distance <= reach {
        top
    } else {
        top.toward(fetlock, (distance - reach) / distance)
    }
}

/// Thigh, gaskin and hind cannon, metres, and the fixed angle between thigh
/// and cannon: stifle and hock fold together.
const THIGH: f64 = 0.34;
const GASKIN: f64 = 0.53;
const HIND_CANNON: f64 = 0.40;
const RECIPROCAL: f64 = -0.60;

fn hind(hip: Point, foot: &Foot) -> [Point; 3] {
    /// The hock never opens further than this, radians from straight.
    const HOCK: f64 = 0.12;
    let fetlock = foot.fetlock;
    // Thigh and cannon keep their angle, so together they are one rigid bone.
    let (cx, cy) = rotate((HIND_CANNON, 0.0), RECIPROCAL);
    let (sx, sy) = (THIGH + cx, cy);
    let (rigid, offset) = (sx.hypot(sy), sy.atan2(sx));
    let (gx, gy) = rotate((GASKIN, 0.0), RECIPROCAL - HOCK);
    let hip = within(hip, fetlock, (sx + gx).hypot(sy + gy));
    let bent = bend(hip, fetlock, rigid, GASKIN);
    // `bent` closes the triangle rigid bone + gaskin; turn it back into joints.
    let along = (bent.y - hip.y).atan2(bent.x - hip.x) - offset;
    let stifle = Point::new(
        hip.x + THIGH * along.cos(),
        hip.y + THIGH * along.sin(),
        hip.z,
    );
    let hock = Point::new(
        fetlock.x - HIND_CANNON * (along + RECIPROCAL).cos(),
        fetlock.y - HIND_CANNON * (along + RECIPROCAL).sin(),
        hip.toward(fetlock, 0.6).z,
    );
    [hip, stifle, hock]
}

/// The joint between two bones, on the forward side.
fn bend(top: Point, bottom: Point, upper: f64, lower: f64) -> Point {
    let distance = top.distance(bottom).max(1e-9);
    let along = (upper * upper - lower * lower + distance * distance) / (2.0 * distance);
    let off = (upper * upper - along * along).max(0.0).sqrt();
    let (ux, uy) = ((bottom.x - top.x) / distance, (bottom.y - top.y) / distance);
    // Forward of a line that points down is to its left.
    Point {
        x: top.x + ux * along - uy * off,
        y: top.y + uy * along + ux * off,
        z: top.toward(bottom, along / distance).z,
    }
}
