//! The camera: from metres in the arena to pixels of the picture.

use crate::film::pose::Point;
use crate::film::script::Side;

/// Distance from the camera to the horse, metres.
const DISTANCE: f64 = 13.0;
/// Height of the camera over the ground, metres.
const HEIGHT: f64 = 1.75;
/// Height of the horizon in the picture, from the top, as a share of it.
const HORIZON: f64 = 0.44;
/// Metres across the picture at the horse.
const ACROSS: f64 = 7.5;

/// A camera that looks square at the long side from inside the arena.
#[derive(Debug, Clone, Copy)]
pub(crate) struct View {
    /// Width of the picture in pixels.
    pub(crate) width: f64,
    /// Height of the picture in pixels.
    pub(crate) height: f64,
    /// World X in the middle of the picture.
    pub(crate) x: f64,
    /// World Z at [`DISTANCE`].
    pub(crate) z: f64,
    /// Rein as seen: on the right rein the horse goes to the right.
    pub(crate) rein: Side,
    /// World Z of the track along the far long side.
    pub(crate) track: f64,
}

impl View {
    /// Pixels in a metre at the horse.
    #[must_use]
    pub(crate) fn scale(&self) -> f64 {
        self.width / ACROSS
    }

    /// Pixels from the top to the horizon.
    #[must_use]
    pub(crate) fn horizon(&self) -> f64 {
        self.height * HORIZON
    }

    /// +1 when the horse goes to the right of the picture.
    #[must_use]
    pub(crate) const fn way(&self) -> f64 {
        self.rein.sign()
    }

    /// Pixels in a metre at a depth behind the horse's plane, metres.
    #[must_use]
    pub(crate) fn scale_at(&self, depth: f64) -> f64 {
        self.scale() * DISTANCE / (DISTANCE + depth)
    }

    /// Depth behind the plane of the horse of a world Z.
    #[must_use]
    pub(crate) const fn depth(&self, z: f64) -> f64 {
        (self.z - z) * self.rein.sign()
    }

    /// Depth of the long side's boards: a metre outside the track.
    #[must_use]
    pub(crate) const fn boards(&self) -> f64 {
        self.depth(self.track) + 1.0
    }

    /// Pixel of a point of the world.
    #[must_use]
    pub(crate) fn pixel(&self, point: Point) -> (f32, f32) {
        self.at_depth(point.x, point.y, self.depth(point.z))
    }

    /// Pixel of a world X, a height and a depth.
    #[must_use]
    pub(crate) fn at_depth(&self, x: f64, y: f64, depth: f64) -> (f32, f32) {
        let scale = self.scale_at(depth);
        (
            (self.width / 2.0 + self.way() * (x - self.x) * scale) as f32,
            (self.horizon() + (HEIGHT - y) * scale) as f32,
        )
    }

    /// World X seen at a pixel column, at a depth.
    #[must_use]
    pub(crate) fn x_at(&self, column: f64, depth: f64) -> f64 {
        self.x + self.way() * (column - self.width / 2.0) / self.scale_at(depth)
    }

    /// World X range seen at a depth, with a margin in metres.
    #[must_use]
    pub(crate) fn seen(&self, depth: f64, margin: f64) -> (f64, f64) {
        let half = self.width / 2.0 / self.scale_at(depth) + margin;
        (self.x - half, self.x + half)
    }

    /// Depth of the ground at the foot of the picture.
    #[must_use]
    pub(crate) fn nearest(&self) -> f64 {
        HEIGHT * self.scale() * DISTANCE / (self.height - self.horizon()) - DISTANCE
    }
}
