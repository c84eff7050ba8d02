//! The way of the horse over the ground: place, turn, weight of each pace,
//! and where every foot stands. All smooth in time, all from the [`Gait`].
//!
//! World axes in metres: X along the direction of travel, Z to the horse's
//! right, Y up from the ground.

use super::gait::{Contact, Gait, SECOND, Stride};
use super::paces::Limb;
use super::script::{Lateral, Outline, Pace, Script, Side};

/// A rate that is constant in pieces, and what it adds up to.
#[derive(Debug, Clone)]
struct Pieces {
    /// Start of each piece, seconds; the first and last pieces go on for ever.
    from: Vec<f64>,
    rate: Vec<f64>,
    /// First and second integral at the start of each piece.
    sum: Vec<f64>,
    sum_of_sum: Vec<f64>,
}

impl Pieces {
    fn new(pieces: impl Iterator<Item = (f64, f64)>) -> Self {
        let mut all = Self {
            from: Vec::new(),
            rate: Vec::new(),
            sum: Vec::new(),
            sum_of_sum: Vec::new(),
        };
        for (from, rate) in pieces {
            let (sum, sum_of_sum) = match all.from.last() {
                None => (0.0, 0.0),
                Some(_) => (all.sum_at(from), all.sum_of_sum_at(from)),
            };
            all.from.push(from);
            all.rate.push(rate);
            all.sum.push(sum);
            all.sum_of_sum.push(sum_of_sum);
        }
        all
    }

    fn piece(&self, t: f64) -> usize {
        self.from
            .partition_point(|from| *from <= t)
            .saturating_sub(1)
    }

    fn sum_at(&self, t: f64) -> f64 {
        let i = self.piece(t);
        self.sum[i] + self.rate[i] * (t - self.from[i])
    }

    fn sum_of_sum_at(&self, t: f64) -> f64 {
        let i = self.piece(t);
        let dt = t - self.from[i];
        self.sum_of_sum[i] + self.sum[i] * dt + self.rate[i] * dt * dt / 2.0
    }

    /// The rate, averaged over `width` seconds around `t`.
    fn rate(&self, t: f64, width: f64) -> f64 {
        (self.sum_at(t + width / 2.0) - self.sum_at(t - width / 2.0)) / width
    }

    /// The integral, averaged over `width` seconds around `t`.
    fn total(&self, t: f64, width: f64) -> f64 {
        (self.sum_of_sum_at(t + width / 2.0) - self.sum_of_sum_at(t - width / 2.0)) / width
    }
}

/// Posture of neck and head, radians and metres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Carriage {
    /// Rise of the line from the base of the neck to the poll.
    pub(crate) neck: f64,
    /// Length of that line.
    pub(crate) reach: f64,
    /// Direction in which the neck leaves the trunk.
    pub(crate) leave: f64,
    /// Direction in which it arrives at the poll.
    pub(crate) arrive: f64,
    /// Direction of the face from poll to muzzle.
    pub(crate) face: f64,
    /// How long the rein is, 0 to 1.
    pub(crate) long_rein: f64,
}

impl Carriage {
    const fn of(outline: Outline) -> Self {
        let [neck, reach, leave, arrive, face, long_rein] = match outline {
            Outline::Stretched => [0.0, 0.88, 22.0, -22.0, -55.0, 1.0],
            Outline::Deep => [26.0, 0.76, 52.0, -38.0, -98.0, 0.1],
            Outline::Working => [44.0, 0.77, 56.0, 14.0, -77.0, 0.0],
            Outline::Competition => [53.0, 0.77, 64.0, 16.0, -81.0, 0.0],
            Outline::NoseForward => [50.0, 0.78, 56.0, 26.0, -58.0, 0.2],
        };
        let degree = std::f64::consts::PI / 180.0;
        Self {
            neck: neck * degree,
            reach,
            leave: leave * degree,
            arrive: arrive * degree,
            face: face * degree,
            long_rein,
        }
    }

    const fn numbers(self) -> [f64; 6] {
        [
            self.neck,
            self.reach,
            self.leave,
            self.arrive,
            self.face,
            self.long_rein,
        ]
    }
}

/// Where a foot stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Plant {
    /// When it stands there.
    pub(crate) contact: Contact,
    /// World X, metres.
    pub(crate) x: f64,
    /// World Z, metres.
    pub(crate) z: f64,
    /// How far the foot rolls over its toe on leaving, 0 to 1.
    pub(crate) roll: f64,
}

/// A stretch in one pace with its own count of strides.
#[derive(Debug, Clone)]
struct Run {
    pace: Pace,
    /// Stride starts in seconds, with the end of the run after the last.
    starts: Vec<f64>,
    weight: Pieces,
}

/// The ride as motion.
#[derive(Debug, Clone)]
pub(crate) struct Motion {
    forward: Pieces,
    sideways: Pieces,
    yaw: Pieces,
    bend: Pieces,
    carriage: [Pieces; 6],
    runs: Vec<Run>,
    /// Feet of each limb in order of time.
    pub(crate) plants: [Vec<Plant>; 4],
    /// Rein from each time on, seconds, and the Z of the track it is ridden on.
    pub(crate) reins: Vec<(f64, Side, f64)>,
    /// Metres from A when the film begins.
    from_a: f64,
}

/// Neutral place of the hooves under the horse: fore and hind from the middle
/// of the trunk, and half the width between left and right. Metres.
pub(crate) const FORE_X: f64 = 0.50;
/// See [`FORE_X`].
pub(crate) const HIND_X: f64 = -0.60;
/// See [`FORE_X`].
pub(crate) const TRACK_HALF: f64 = 0.13;

const BODY: f64 = 0.45;
const TURN: f64 = 0.9;
const POSTURE: f64 = 1.6;
const BLEND: f64 = 0.4;

impl Motion {
    /// Works out the motion of a ride.
    #[must_use]
    pub(crate) fn new(script: &Script, gait: &Gait) -> Self {
        let strides = &gait.strides;
        let seconds = |ns: i64| ns as f64 / SECOND;
        let per_stride = |value: &dyn Fn(&Stride) -> f64| {
            Pieces::new(
                strides
                    .iter()
                    .map(|stride| (seconds(stride.start), value(stride))),
            )
        };
        let speed =
            |stride: &Stride| stride.length / (seconds(stride.end - stride.start)).max(1e-6);
        let way =
            |stride: &Stride| Way::of(script.segments[stride.segment].lateral, stride.trailing);
        let carriage = |index: usize| {
            per_stride(&|stride| {
                Carriage::of(script.segments[stride.segment].outline).numbers()[index]
            })
        };
        let mut motion = Self {
            forward: per_stride(&|stride| speed(stride) * way(stride).course.cos()),
            sideways: per_stride(&|stride| speed(stride) * way(stride).course.sin()),
            yaw: per_stride(&|stride| way(stride).yaw),
            bend: per_stride(&|stride| way(stride).bend),
            carriage: std::array::from_fn(carriage),
            runs: runs(gait),
            plants: std::array::from_fn(|_| Vec::new()),
            reins: Vec::new(),
            from_a: script.from_a,
        };
        motion.plants = Limb::ALL.map(|limb| {
            gait.of(limb)
                .iter()
                .map(|c| motion.plant(limb, *c))
                .collect()
        });
        motion.reins = motion.reins(script, gait);
        motion
    }

    /// World X of the middle of the trunk.
    #[must_use]
    pub(crate) fn x(&self, t: f64) -> f64 {
        self.forward.total(t, BODY)
    }

    /// World Z of the middle of the trunk.
    #[must_use]
    pub(crate) fn z(&self, t: f64) -> f64 {
        self.sideways.total(t, BODY)
    }

    /// World X smoothed as a camera follows.
    #[must_use]
    pub(crate) fn camera_x(&self, t: f64) -> f64 {
        self.forward.total(t, 1.8)
    }

    /// World Z smoothed as a camera follows.
    #[must_use]
    pub(crate) fn camera_z(&self, t: f64) -> f64 {
        self.sideways.total(t, 1.8)
    }

    /// Metres from A along the track at a world X.
    #[must_use]
    pub(crate) fn along(&self, x: f64) -> f64 {
        self.from_a + x
    }

    /// Forward speed, metres per second.
    #[must_use]
    pub(crate) fn speed(&self, t: f64) -> f64 {
        self.forward.rate(t, BODY)
    }

    /// Turn of the trunk to the right of the direction of travel, radians.
    #[must_use]
    pub(crate) fn yaw(&self, t: f64) -> f64 {
        self.yaw.rate(t, TURN)
    }

    /// Bend of the neck to the right, radians.
    #[must_use]
    pub(crate) fn bend(&self, t: f64) -> f64 {
        self.bend.rate(t, TURN)
    }

    /// Posture of neck and head.
    #[must_use]
    pub(crate) fn carriage(&self, t: f64) -> Carriage {
        let [neck, reach, leave, arrive, face, long_rein] =
            std::array::from_fn(|index| self.carriage[index].rate(t, POSTURE));
        Carriage {
            neck,
            reach,
            leave,
            arrive,
            face,
            long_rein,
        }
    }

    /// Every pace that is under way with its weight (the weights add up to 1)
    /// and the phase of its stride, 0 up to 1.
    pub(crate) fn paces(&self, t: f64) -> impl Iterator<Item = (Pace, f64, f64)> + '_ {
        self.runs.iter().filter_map(move |run| {
            let weight = run.weight.rate(t, BLEND);
            (weight > 1e-6).then(|| (run.pace, weight, run.phase(t)))
        })
    }

    /// The number a pace gives, mixed over the paces under way.
    #[must_use]
    pub(crate) fn mix(&self, t: f64, of: impl Fn(Pace) -> f64) -> f64 {
        self.paces(t)
            .map(|(pace, weight, _)| weight * of(pace))
            .sum()
    }

    fn plant(&self, limb: Limb, contact: Contact) -> Plant {
        /// A foot further from its neutral place would tear the leg out.
        const REACH: f64 = 0.62;
        let (on, off) = (
            contact.on as f64 / SECOND,
            (contact.off as f64 / SECOND).min(1e5),
        );
        let last = self
            .runs
            .last()
            .and_then(|run| run.starts.last())
            .copied()
            .unwrap_or(0.0)
            + 1.0;
        let middle = f64::midpoint(on, off.min(last.max(on)));
        let (x, z) = self.neutral(limb, middle);
        let (early, _) = self.neutral(limb, on);
        let (late, _) = self.neutral(limb, off.min(last.max(on)));
        let (low, high) = (late - REACH, early + REACH);
        let x = if low <= high {
            x.clamp(low, high)
        } else {
            f64::midpoint(low, high)
        };
        // A foot that is pulled back, or stepped up at a halt, does not push off.
        let roll = self.mix(off.min(last.max(on)), |pace| match pace {
            Pace::ReinBack => 0.2,
            Pace::Halt => 0.4,
            Pace::Piaffe => 0.6,
            Pace::Walk | Pace::Trot | Pace::Canter | Pace::Passage => 1.0,
        });
        Plant {
            contact,
            x,
            z,
            roll,
        }
    }

    /// Where a limb would stand straight under the horse at a time.
    #[must_use]
    pub(crate) fn neutral(&self, limb: Limb, t: f64) -> (f64, f64) {
        // Collected paces carry the hind feet further under.
        let under = self.mix(t, |pace| match pace {
            Pace::Canter => 0.10,
            Pace::Passage | Pace::Piaffe => 0.12,
            Pace::Trot => 0.05,
            Pace::Walk | Pace::Halt | Pace::ReinBack => 0.0,
        });
        let ahead = if limb.is_fore() {
            FORE_X
        } else {
            HIND_X + under
        };
        let right = limb.side().sign() * TRACK_HALF;
        let yaw = self.yaw(t);
        (
            self.x(t) + ahead * yaw.cos() - right * yaw.sin(),
            self.z(t) + ahead * yaw.sin() + right * yaw.cos(),
        )
    }

    fn reins(&self, script: &Script, gait: &Gait) -> Vec<(f64, Side, f64)> {
        let mut reins: Vec<(f64, Side, f64)> = Vec::new();
        for (segment, (from, _)) in script.segments.iter().zip(gait.segments()) {
            let t = from as f64 / SECOND;
            let now = reins.last().map(|(_, side, _)| *side);
            let rein = segment.rein.or(now).unwrap_or(Side::Right);
            if now != Some(rein) {
                reins.push((t, rein, self.z(t)));
            }
        }
        reins
    }
}

/// Course, turn and bend of an exercise, radians to the right.
struct Way {
    /// Direction of travel against the long side.
    course: f64,
    /// Direction of the trunk against the long side.
    yaw: f64,
    bend: f64,
}

impl Way {
    /// Angles: shoulder-in about 30 degrees, travers and renvers about 35 (FEI
    /// Art. 412, read second-hand); the course of the half-pass is that of the
    /// long diagonal, 22.6 degrees, and the forehand leads a little. Drawn a
    /// little flatter than ridden, as the trunk has no thickness.
    fn of(lateral: Option<Lateral>, trailing: bool) -> Self {
        let degree = std::f64::consts::PI / 180.0;
        let [course, yaw, bend] = match lateral {
            None => {
                return Self {
                    course: 0.0,
                    yaw: 0.0,
                    bend: 0.0,
                };
            }
            Some(Lateral::ShoulderIn(_)) => [0.0, 26.0, 14.0],
            Some(Lateral::Travers(_)) => [0.0, -28.0, 24.0],
            Some(Lateral::Renvers(_)) => [0.0, 28.0, -24.0],
            Some(Lateral::HalfPass(_)) if trailing => [22.6, 27.0, 14.0],
            Some(Lateral::HalfPass(_)) => [22.6, 5.0, 16.0],
        };
        let side = match lateral {
            Some(
                Lateral::ShoulderIn(side)
                | Lateral::Travers(side)
                | Lateral::Renvers(side)
                | Lateral::HalfPass(side),
            ) => side.sign(),
            None => 0.0,
        };
        Self {
            course: course * degree * side,
            yaw: yaw * degree * side,
            bend: bend * degree * side,
        }
    }
}

impl Run {
    fn phase(&self, t: f64) -> f64 {
        let [first, .., last] = self.starts[..] else {
            return 0.0;
        };
        let count = self.starts.len() - 1;
        let i = self.starts.partition_point(|start| *start <= t);
        let (from, to) = if t < first {
            (first, self.starts[1])
        } else if t >= last {
            // The stride before the last may have been cut short; go on in its time.
            let whole = count.saturating_sub(if count > 1 { 2 } else { 1 });
            return ((t - self.starts[count - 1]) / (self.starts[whole + 1] - self.starts[whole]))
                .rem_euclid(1.0);
        } else if i == count && count > 1 {
            (
                self.starts[count - 1],
                self.starts[count - 1] + self.starts[count - 1] - self.starts[count - 2],
            )
        } else {
            (self.starts[i - 1], self.starts[i])
        };
        ((t - from) / (to - from)).rem_euclid(1.0)
    }
}

fn runs(gait: &Gait) -> Vec<Run> {
    let seconds = |ns: i64| ns as f64 / SECOND;
    let ranges = gait.runs();
    let count = ranges.len();
    ranges
        .into_iter()
        .enumerate()
        .map(|(index, range)| {
            let strides = &gait.strides[range];
            // The way off from a halt is no stride of its own.
            let skip = usize::from(strides.len() > 1 && strides[0].joining);
            let mut starts: Vec<f64> = strides[skip..]
                .iter()
                .map(|stride| seconds(stride.start))
                .collect();
            let end = strides.last().map_or(0.0, |stride| seconds(stride.end));
            starts.push(end);
            let from = if index == 0 {
                f64::MIN / 4.0
            } else {
                seconds(strides[0].start)
            };
            let weight = if index == 0 {
                Pieces::new([(-1e3, 1.0), (end, 0.0)].into_iter())
            } else if index + 1 == count {
                Pieces::new([(-1e3, 0.0), (from, 1.0)].into_iter())
            } else {
                Pieces::new([(-1e3, 0.0), (from, 1.0), (end, 0.0)].into_iter())
            };
            let weight = if count == 1 {
                Pieces::new([(-1e3, 1.0)].into_iter())
            } else {
                weight
            };
            Run {
                pace: strides[0].pace,
                starts,
                weight,
            }
        })
        .collect()
}
