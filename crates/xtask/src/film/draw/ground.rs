//! The arena itself: sand, boards, letter markers and flowers.

use tiny_skia::Color;

use super::ink::{Ink, Px, faint, gradient, mix, plain, polygon};
use super::lettering::{Lettering, Stand};
use super::scenery::Scenery;
use super::view::View;
use crate::film::arena;
use crate::film::plan::hash;

impl Scenery {
    pub(crate) fn sand(&self, ink: &mut Ink<'_>, view: &View, from_a: f64) {
        let far = view.at_depth(0.0, 0.0, view.boards() + 0.8).1;
        let bottom = view.height as f32;
        let [pale, deep] = self.scene.sand;
        // The trodden track along the boards lies in it as a darker band.
        let edge = |side: f64| view.at_depth(0.0, 0.0, view.depth(view.track) + side).1;
        let (upper, lower) = (edge(0.55), edge(-0.65));
        ink.rows(far, bottom, |y| {
            let sand = mix(pale, deep, (y - far) / (bottom - far));
            let inside = (1.0 - ((y - upper) / (lower - upper) * 2.0 - 1.0).abs()).max(0.0);
            mix(sand, self.scene.grain[1], 0.16 * inside)
        });
        self.grains(ink, view, from_a);
    }

    /// Marks of hooves and rake in cells of the ground.
    fn grains(&self, ink: &mut Ink<'_>, view: &View, from_a: f64) {
        const ROW: f64 = 0.42;
        const CELL: f64 = 1.15;
        // Rows are counted from the boards, so that they stay with the ground.
        let boards = view.boards();
        let rows = ((boards - view.nearest()) / ROW).floor() as i64;
        for row in 0..=rows {
            let depth = boards - 0.15 - row as f64 * ROW;
            let m = view.scale_at(depth);
            let (low, high) = view.seen(depth, 1.0);
            let first = ((low + from_a) / CELL).floor() as i64;
            let last = ((high + from_a) / CELL).ceil() as i64;
            for index in first..=last {
                let salt = (index.rem_euclid(4096) as u64) * 512 + row.unsigned_abs() * 4;
                let roll = |k: u64| hash(self.seed + 5, salt + k);
                if roll(0) < 0.45 {
                    continue;
                }
                let x = (index as f64 + roll(1)) * CELL - from_a;
                let at = view.at_depth(x, 0.0, depth - ROW * roll(2));
                let size = m * (0.03 + 0.05 * roll(3));
                ink.ellipse(
                    at,
                    (size as f32, (size * 0.26) as f32),
                    faint(self.scene.grain[1], 0.30),
                );
                ink.ellipse(
                    (at.0 - size as f32 * 0.2, at.1 + size as f32 * 0.22),
                    (size as f32 * 0.8, (size * 0.13) as f32),
                    faint(self.scene.grain[0], 0.55),
                );
            }
        }
    }

    pub(crate) fn boards(&self, ink: &mut Ink<'_>, view: &View, from_a: f64) {
        const LENGTH: f64 = 3.0;
        const TALL: f64 = 0.30;
        let depth = view.boards();
        let m = view.scale_at(depth) as f32;
        let (low, high) = view.seen(depth, LENGTH);
        let [lit, shaded] = self.scene.boards;
        let y = |up: f64| view.at_depth(0.0, up, depth).1;
        // Their shadow on the sand.
        ink.rect(
            (0.0, y(0.0)),
            (view.width as f32, y(0.0) + 0.10 * m),
            &gradient(
                (0.0, y(0.0)),
                (0.0, y(0.0) + 0.10 * m),
                &[
                    (0.0, faint(self.scene.shadow, 0.35)),
                    (1.0, faint(self.scene.shadow, 0.0)),
                ],
            ),
        );
        let first = ((low + from_a) / LENGTH).floor() as i64;
        let last = ((high + from_a) / LENGTH).ceil() as i64;
        let face = gradient((0.0, y(TALL)), (0.0, y(0.0)), &[(0.0, lit), (1.0, shaded)]);
        for index in first..=last {
            let left = view
                .at_depth(index as f64 * LENGTH + 0.02 - from_a, 0.0, depth)
                .0;
            let right = view
                .at_depth((index as f64 + 1.0) * LENGTH - 0.02 - from_a, 0.0, depth)
                .0;
            ink.rect((left, y(TALL)), (right, y(0.05)), &face);
            for foot in [0.12, 0.88] {
                let x = left + (right - left) * foot;
                ink.rect(
                    (x - 0.03 * m, y(0.05)),
                    (x + 0.03 * m, y(0.0)),
                    &plain(shaded),
                );
            }
        }
        ink.rect(
            (0.0, y(TALL)),
            (view.width as f32, y(TALL) + 0.02 * m),
            &plain(mix(lit, Color::WHITE, 0.4)),
        );
    }

    pub(crate) fn letters(
        &self,
        ink: &mut Ink<'_>,
        view: &View,
        from_a: f64,
        lettering: &Lettering,
    ) {
        let depth = view.boards() + 0.5;
        let (low, high) = view.seen(depth, 1.5);
        let m = view.scale_at(depth) as f32;
        for (at, letter) in arena::letters(view.rein, low + from_a, high + from_a) {
            self.marker(
                ink,
                view.at_depth(at - from_a, 0.0, depth),
                m,
                letter,
                lettering,
            );
        }
        for round in ((low + from_a) / arena::ROUND).floor() as i64
            ..=((high + from_a) / arena::ROUND).floor() as i64
        {
            for corner in arena::CORNERS {
                let at = corner + round as f64 * arena::ROUND;
                self.planter(ink, view.at_depth(at - from_a, 0.0, depth), m);
            }
        }
    }

    /// A white box with its letter, flowers at its foot.
    fn marker(&self, ink: &mut Ink<'_>, foot: Px, m: f32, letter: char, lettering: &Lettering) {
        let [lit, shaded] = self.scene.boards;
        let (half, tall) = (0.31 * m, 1.02 * m);
        let front = [
            (foot.0 - half, foot.1),
            (foot.0 - half * 0.88, foot.1 - tall),
            (foot.0 + half * 0.88, foot.1 - tall),
            (foot.0 + half, foot.1),
        ];
        ink.fill(
            polygon(&front),
            &gradient(
                (foot.0, foot.1 - tall),
                (foot.0, foot.1),
                &[(0.0, mix(lit, Color::WHITE, 0.5)), (1.0, shaded)],
            ),
        );
        let words = letter.to_string();
        let path = lettering.line(&words, (foot.0, foot.1 - 0.45 * m), 0.44 * m, Stand::Middle);
        ink.fill(path, &plain(self.scene.ink));
        for side in [-1.0, 1.0] {
            self.pot(ink, (foot.0 + side * 0.58 * m, foot.1), m, 0.20);
        }
    }

    fn planter(&self, ink: &mut Ink<'_>, foot: Px, m: f32) {
        ink.rect(
            (foot.0 - 0.50 * m, foot.1 - 0.46 * m),
            (foot.0 + 0.50 * m, foot.1),
            &plain(mix(self.scene.rail, self.scene.boards[1], 0.35)),
        );
        for k in [-0.32, 0.0, 0.32] {
            self.bloom(ink, (foot.0 + k * m, foot.1 - 0.52 * m), 0.24 * m);
        }
    }

    /// A flower pot.
    fn pot(&self, ink: &mut Ink<'_>, foot: Px, m: f32, half: f32) {
        let clay = mix(super::ink::rgb(0x00a9_694a), self.scene.sand[1], 0.2);
        let (h, t) = (half * m, 0.42 * m);
        ink.fill(
            polygon(&[
                (foot.0 - h * 0.65, foot.1),
                (foot.0 - h, foot.1 - t),
                (foot.0 + h, foot.1 - t),
                (foot.0 + h * 0.65, foot.1),
            ]),
            &plain(clay),
        );
        self.bloom(ink, (foot.0, foot.1 - t - 0.05 * m), half * 1.15 * m);
    }

    fn bloom(&self, ink: &mut Ink<'_>, at: Px, size: f32) {
        let leaf = mix(self.scene.trees[0], self.scene.grass[1], 0.25);
        ink.ellipse(at, (size, size * 0.72), leaf);
        let petal = [super::ink::rgb(0x00b9_543f), super::ink::rgb(0x00e7_d9c4)];
        for k in 0..11_u8 {
            // The angle of sunflower seeds spreads them evenly.
            let angle = f32::from(k) * 2.4;
            let far = 0.30 * f32::from(k).sqrt();
            let color = petal[usize::from(k % 4 == 3)];
            ink.ellipse(
                (
                    at.0 + far * size * 0.85 * angle.cos(),
                    at.1 - size * 0.12 - far * size * 0.55 * angle.sin(),
                ),
                (size * 0.15, size * 0.13),
                color,
            );
        }
    }
}
