//! Neck and head: where they are, and how to place things on them.

use crate::film::pose::{Point, Pose};

/// Outline of the head: along the face from the poll, and out from the face.
pub(crate) const HEAD: [(f64, f64); 19] = [
    (-0.045, 0.005),
    (0.03, 0.055),
    (0.13, 0.068),
    (0.25, 0.058),
    (0.38, 0.034),
    (0.50, 0.026),
    (0.575, 0.018),
    (0.622, -0.015),
    (0.632, -0.058),
    (0.605, -0.090),
    (0.612, -0.118),
    (0.575, -0.146),
    (0.520, -0.138),
    (0.460, -0.128),
    (0.340, -0.158),
    (0.220, -0.212),
    (0.110, -0.226),
    (0.020, -0.190),
    (-0.04, -0.10),
];

/// The head against its outline: about 0.4 of the length of the trunk.
const HEAD_SIZE: f64 = 1.06;

/// Neck and head in the world, with the ways to place things on them.
pub(crate) struct Front {
    centre: [Point; 9],
    half: [f64; 9],
    poll: Point,
    face: f64,
    yaw: f64,
}

impl Front {
    /// Solves neck and head of a pose.
    #[must_use]
    pub(crate) fn new(pose: &Pose) -> Self {
        let carriage = &pose.carriage;
        let trunk = &pose.trunk;
        let base = (0.56, 1.34);
        let polar = |(x, y): (f64, f64), angle: f64, length: f64| {
            (x + length * angle.cos(), y + length * angle.sin())
        };
        let poll = polar(base, carriage.neck, carriage.reach);
        let a = polar(base, carriage.leave, carriage.reach * 0.42);
        let b = polar(
            poll,
            carriage.arrive + std::f64::consts::PI,
            carriage.reach * 0.36,
        );
        let bend = pose.bend;
        let place = |(x, y): (f64, f64)| {
            let ahead: f64 = x - base.0;
            trunk.at(base.0 + ahead * bend.cos(), y, ahead * bend.sin())
        };
        let mut centre = [Point::default(); 9];
        let mut half = [0.0; 9];
        for (i, (point, width)) in centre.iter_mut().zip(&mut half).enumerate() {
            let t = i as f64 / 8.0;
            let u = 1.0 - t;
            let cubic = |p: f64, q: f64, r: f64, s: f64| {
                u * u * u * p + 3.0 * u * u * t * q + 3.0 * u * t * t * r + t * t * t * s
            };
            *point = place((
                cubic(base.0, a.0, b.0, poll.0),
                cubic(base.1, a.1, b.1, poll.1),
            ));
            *width = 0.10 + 0.215 * u.powf(1.25) + 0.012 * (t * 3.0).sin();
        }
        let poll_at = centre[8];
        // The head hangs from the top of the neck's end.
        let poll = Point::new(poll_at.x, poll_at.y + 0.085, poll_at.z);
        Self {
            centre,
            half,
            poll,
            face: carriage.face,
            yaw: trunk.yaw() + bend,
        }
    }

    /// A point of the head: along the face from the poll, out from the face.
    #[must_use]
    pub(crate) fn head(&self, along: f64, out: f64) -> Point {
        let (sin, cos) = self.face.sin_cos();
        let (along, out) = (along * HEAD_SIZE, out * HEAD_SIZE);
        let x = along * cos - out * sin;
        let y = along * sin + out * cos;
        Point::new(
            self.poll.x + x * self.yaw.cos(),
            self.poll.y + y,
            self.poll.z + x * self.yaw.sin(),
        )
    }

    /// A point of the neck: share of its length, and across from the throat
    /// side (-1) to the crest (1).
    #[must_use]
    pub(crate) fn neck(&self, share: f64, across: f64) -> Point {
        let place = share.clamp(0.0, 1.0) * 8.0;
        let i = (place.floor() as usize).min(7);
        let at = self.centre[i].toward(self.centre[i + 1], place - i as f64);
        let half = self.half[i] + (self.half[i + 1] - self.half[i]) * (place - i as f64);
        let normal = |i: usize| {
            let (a, b) = (
                self.centre[i.saturating_sub(1)],
                self.centre[(i + 1).min(8)],
            );
            let length = a.distance(b).max(1e-6);
            (-(b.y - a.y) / length, (b.x - a.x) / length)
        };
        let (n0, n1) = (normal(i), normal(i + 1));
        let t = place - i as f64;
        let (nx, ny) = (n0.0 + (n1.0 - n0.0) * t, n0.1 + (n1.1 - n0.1) * t);
        // Under the crest the neck is deep; its throat side tucks into the chest.
        let half = if across < 0.0 {
            half * (0.66 + 0.34 * share.min(0.6) / 0.6)
        } else {
            half
        };
        Point::new(at.x + nx * half * across, at.y + ny * half * across, at.z)
    }

    /// Where the bit lies.
    #[must_use]
    pub(crate) fn bit(&self) -> Point {
        self.head(0.555, -0.088)
    }
}
