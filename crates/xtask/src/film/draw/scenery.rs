//! What lies beyond the arena: sky, hills, trees, meadow and paddock fence.

use tiny_skia::{Color, Pixmap};

use super::ink::{Ink, Px, blob, blobs, faint, gradient, mix, plain, polygon};
use super::lettering::Lettering;
use super::palette::Scene;
use super::view::View;
use crate::film::plan::hash;

/// The scenery of a film.
pub(crate) struct Scenery {
    /// Its colours.
    pub(crate) scene: Scene,
    /// Varies what stands where.
    pub(crate) seed: u64,
    sky: Pixmap,
}

impl Scenery {
    /// Paints the sky once for all pictures.
    #[must_use]
    pub(crate) fn new(scene: &Scene, seed: u64, (width, height): (u32, u32)) -> Option<Self> {
        let mut sky = Pixmap::new(width, height)?;
        let (w, h) = (width as f32, height as f32);
        let mut ink = Ink { map: &mut sky };
        let [top, high, low, horizon] = scene.sky;
        ink.rect(
            (0.0, 0.0),
            (w, h),
            &gradient(
                (0.0, 0.0),
                (0.0, h * 0.43),
                &[(0.0, top), (0.45, high), (0.8, low), (1.0, horizon)],
            ),
        );
        let sun = (scene.sun.0 * w, scene.sun.1 * h);
        ink.glow(sun, (w * 0.42, w * 0.30), faint(scene.glow, 0.55));
        ink.glow(sun, (w * 0.12, w * 0.12), faint(scene.glow, 0.8));
        ink.ellipse(
            sun,
            (w * 0.022, w * 0.022),
            faint(mix(scene.glow, Color::WHITE, 0.5), scene.disc),
        );
        for i in 0..9 {
            let at = (
                hash(seed, 300 + i) as f32 * w,
                (0.05 + 0.26 * hash(seed, 320 + i) as f32) * h,
            );
            let wide = (0.08 + 0.16 * hash(seed, 340 + i) as f32) * w;
            for part in 0..3 {
                let shift = (hash(seed, 360 + i * 3 + part) as f32 - 0.5) * wide;
                ink.glow(
                    (at.0 + shift, at.1 + shift * 0.04),
                    (wide, wide * 0.045),
                    faint(scene.cloud, 0.42),
                );
            }
        }
        Some(Self {
            scene: *scene,
            seed,
            sky,
        })
    }

    /// Draws everything behind the horse.
    pub(crate) fn behind(
        &self,
        ink: &mut Ink<'_>,
        view: &View,
        from_a: f64,
        lettering: &Lettering,
    ) {
        // Below the horizon the ground covers every pixel.
        let sky = (view.horizon().ceil() as usize + 2) * self.sky.width() as usize * 4;
        let sky = sky.min(self.sky.data().len());
        ink.map.data_mut()[..sky].copy_from_slice(&self.sky.data()[..sky]);
        self.hills(
            ink,
            view,
            from_a,
            700.0,
            (10.0, 38.0),
            self.scene.hills[0],
            0,
        );
        self.hills(
            ink,
            view,
            from_a,
            380.0,
            (3.0, 15.0),
            self.scene.hills[1],
            1,
        );
        self.meadow(ink, view);
        self.hedge(ink, view, from_a);
        self.stables(ink, view, from_a);
        self.trees(ink, view, from_a);
        self.tufts(ink, view, from_a);
        self.fence(ink, view, from_a);
        self.sand(ink, view, from_a);
        self.letters(ink, view, from_a, lettering);
        self.boards(ink, view, from_a);
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "one row of numbers per range of hills"
    )]
    fn hills(
        &self,
        ink: &mut Ink<'_>,
        view: &View,
        from_a: f64,
        depth: f64,
        (low, high): (f64, f64),
        color: Color,
        salt: u64,
    ) {
        let shift = hash(self.seed, 40 + salt) * 900.0;
        let mut points: Vec<Px> = vec![
            (view.width as f32, view.horizon() as f32 + 4.0),
            (0.0, view.horizon() as f32 + 4.0),
        ];
        let step = view.width / 80.0;
        for i in 0..=80 {
            let column = f64::from(i) * step;
            let x = view.x_at(column, depth) + from_a + shift;
            let wave = 0.5
                + 0.28 * (x / 95.0).sin()
                + 0.14 * (x / 41.0 + 1.0).sin()
                + 0.05 * (x / 15.0).sin();
            points.push((
                column as f32,
                view.at_depth(0.0, low + (high - low) * wave, depth).1,
            ));
        }
        let top = view.at_depth(0.0, high, depth).1;
        let base = mix(color, self.scene.sky[3], 0.45);
        ink.fill(
            polygon(&points),
            &gradient(
                (0.0, top),
                (0.0, view.horizon() as f32),
                &[(0.0, color), (1.0, base)],
            ),
        );
    }

    fn meadow(&self, ink: &mut Ink<'_>, view: &View) {
        let horizon = view.horizon() as f32;
        let near = view.at_depth(0.0, 0.0, view.boards()).1;
        let [far, close] = self.scene.grass;
        let hazy = mix(far, self.scene.sky[3], 0.35);
        ink.rows(horizon, near, |y| {
            let share = (y - horizon) / (near - horizon);
            if share < 0.25 {
                mix(hazy, far, share / 0.25)
            } else {
                mix(far, close, (share - 0.25) / 0.75)
            }
        });
    }

    fn trees(&self, ink: &mut Ink<'_>, view: &View, from_a: f64) {
        for (row, depth, cell, haze) in [(0, 150.0, 9.0, 0.50), (1, 95.0, 15.0, 0.16)] {
            let (low, high) = view.seen(depth, 8.0);
            let (first, last) = (
                ((low + from_a) / cell).floor() as i64,
                ((high + from_a) / cell).ceil() as i64,
            );
            for index in first..=last {
                self.tree(ink, view, index, (row, depth, cell, haze), from_a);
            }
        }
    }

    fn tree(
        &self,
        ink: &mut Ink<'_>,
        view: &View,
        index: i64,
        (row, depth, cell, haze): (u64, f64, f64, f32),
        offset: f64,
    ) {
        let roll = |salt: u64| {
            hash(
                self.seed + row * 77,
                (index.rem_euclid(100_000) as u64) * 16 + salt,
            )
        };
        let gap = if row == 0 { 0.12 } else { 0.42 };
        if roll(0) < gap {
            return;
        }
        let x = (index as f64 + 0.15 + 0.7 * roll(1)) * cell - offset;
        let height = if row == 0 {
            5.0 + 3.5 * roll(2)
        } else {
            5.0 + 4.0 * roll(2)
        };
        let (dark, lit) = (
            mix(self.scene.trees[0], self.scene.sky[3], haze),
            mix(self.scene.trees[1], self.scene.sky[3], haze),
        );
        let foot = view.at_depth(x, 0.0, depth);
        let m = view.scale_at(depth) as f32;
        let wide = height as f32 * m * (0.36 + 0.16 * roll(3) as f32);
        let tall = height as f32 * m;
        ink.rect(
            (foot.0 - 0.14 * m, foot.1 - 0.4 * tall),
            (foot.0 + 0.14 * m, foot.1),
            &plain(mix(self.scene.rail, dark, 0.5)),
        );
        if roll(4) > 0.78 && row == 1 {
            // A poplar.
            let crown = [
                (foot.0, foot.1 - tall * 1.25),
                (foot.0 + wide * 0.34, foot.1 - tall * 0.6),
                (foot.0 + wide * 0.2, foot.1 - tall * 0.08),
                (foot.0 - wide * 0.2, foot.1 - tall * 0.08),
                (foot.0 - wide * 0.34, foot.1 - tall * 0.6),
            ];
            ink.fill(
                blob(&crown),
                &gradient(
                    (foot.0 - wide * 0.3, 0.0),
                    (foot.0 + wide * 0.3, 0.0),
                    &[(0.0, dark), (1.0, lit)],
                ),
            );
            return;
        }
        // A crown of a few round masses, lit from the sun's side.
        let mass = |dx: f32, up: f32, r: f32| {
            let r = r * wide;
            let lumps: Vec<Px> = (0..7_u8)
                .map(|k| {
                    let angle = std::f32::consts::TAU * f32::from(k) / 7.0;
                    let bulge = 0.92 + 0.16 * roll(5 + u64::from(k)) as f32;
                    (
                        foot.0 + dx * wide + r * bulge * angle.cos(),
                        foot.1 - up * tall - r * 0.86 * bulge * angle.sin(),
                    )
                })
                .collect();
            lumps
        };
        let lean = (roll(13) as f32 - 0.5) * 0.3;
        let crown = [
            mass(-0.52, 0.44, 0.50),
            mass(0.50, 0.42, 0.52),
            mass(lean, 0.70, 0.62),
            mass(-0.22, 0.55, 0.60),
            mass(0.26, 0.52, 0.58),
        ];
        ink.fill(
            blobs(&crown),
            &gradient(
                (foot.0, foot.1 - tall),
                (foot.0, foot.1 - tall * 0.18),
                &[(0.0, lit), (0.85, dark)],
            ),
        );
        ink.fill(
            blob(&mass(lean + 0.16, 0.74, 0.36)),
            &plain(faint(mix(lit, self.scene.glow, 0.35), 0.40)),
        );
        ink.fill(
            blob(&mass(0.55, 0.47, 0.28)),
            &plain(faint(mix(lit, self.scene.glow, 0.35), 0.32)),
        );
    }

    /// A hedge along the far end of the meadow.
    fn hedge(&self, ink: &mut Ink<'_>, view: &View, from_a: f64) {
        let depth = 160.0;
        let foot = view.at_depth(0.0, 0.0, depth).1;
        let mut points: Vec<Px> = vec![(view.width as f32 + 8.0, foot), (-8.0, foot)];
        for i in 0..=100 {
            let column = f64::from(i) * view.width / 100.0;
            let u = view.x_at(column, depth) + from_a;
            let up = 2.0
                + 0.5 * (u * 0.61).sin()
                + 0.35 * (u * 1.37 + 2.0).sin()
                + 0.25 * (u * 0.17).sin();
            points.push((column as f32, view.at_depth(0.0, up, depth).1));
        }
        ink.fill(
            polygon(&points),
            &plain(mix(self.scene.trees[0], self.scene.sky[3], 0.34)),
        );
    }

    /// Now and then a long low stable with a tiled roof.
    fn stables(&self, ink: &mut Ink<'_>, view: &View, from_a: f64) {
        const CELL: f64 = 130.0;
        let depth = 135.0;
        let (low, high) = view.seen(depth, 30.0);
        for index in ((low + from_a) / CELL).floor() as i64..=((high + from_a) / CELL).ceil() as i64
        {
            let roll = |salt: u64| hash(self.seed + 11, (index.rem_euclid(4096) as u64) * 8 + salt);
            let x = (index as f64 + 0.2 + 0.6 * roll(0)) * CELL - from_a;
            let half = 9.0 + 5.0 * roll(1);
            let at = |dx: f64, up: f64| view.at_depth(x + dx, up, depth);
            let haze = |color: Color| mix(color, self.scene.sky[3], 0.28);
            let wall = haze(mix(self.scene.boards[1], self.scene.sand[1], 0.35));
            ink.rect(at(-half, 3.4), at(half, 0.0), &plain(wall));
            let roof = [
                at(-half - 0.8, 3.2),
                at(-half + 1.6, 6.2),
                at(half - 1.6, 6.2),
                at(half + 0.8, 3.2),
            ];
            ink.fill(polygon(&roof), &plain(haze(super::ink::rgb(0x008d_5340))));
            let count = (half / 2.2) as i32;
            for door in -count..=count {
                let dx = f64::from(door) * 2.0;
                ink.rect(
                    at(dx - 0.5, 2.4),
                    at(dx + 0.5, 0.2),
                    &plain(haze(self.scene.rail)),
                );
            }
        }
    }

    /// Tufts in the grass.
    fn tufts(&self, ink: &mut Ink<'_>, view: &View, from_a: f64) {
        const CELL: f64 = 1.9;
        for row in 0..9_u64 {
            let depth = view.boards() + 1.2 + 2.1 * row as f64;
            let m = view.scale_at(depth) as f32;
            let (low, high) = view.seen(depth, 1.0);
            for index in
                ((low + from_a) / CELL).floor() as i64..=((high + from_a) / CELL).ceil() as i64
            {
                let roll = |k: u64| {
                    hash(
                        self.seed + 9,
                        (index.rem_euclid(4096) as u64) * 64 + row * 5 + k,
                    )
                };
                if roll(0) < 0.4 {
                    continue;
                }
                let at = view.at_depth(
                    (index as f64 + roll(1)) * CELL - from_a,
                    0.0,
                    depth + 2.0 * roll(2),
                );
                let size = (0.10 + 0.14 * roll(3) as f32) * m;
                let color = if roll(4) < 0.5 {
                    mix(self.scene.grass[1], self.scene.trees[0], 0.45)
                } else {
                    mix(self.scene.grass[0], self.scene.glow, 0.25)
                };
                ink.ellipse(at, (size * 1.6, size * 0.22), faint(color, 0.42));
            }
        }
    }

    fn fence(&self, ink: &mut Ink<'_>, view: &View, from_a: f64) {
        let depth = view.boards() + 21.0;
        let (low, high) = view.seen(depth, 4.0);
        let spacing = 3.0;
        let m = view.scale_at(depth) as f32;
        let color = mix(self.scene.rail, self.scene.grass[0], 0.25);
        for up in [0.55, 1.1] {
            let y = view.at_depth(0.0, up, depth).1;
            ink.rect((0.0, y), (view.width as f32, y + 0.10 * m), &plain(color));
        }
        let first = ((low + from_a) / spacing).floor() as i64;
        let last = ((high + from_a) / spacing).ceil() as i64;
        for index in first..=last {
            let foot = view.at_depth(index as f64 * spacing - from_a, 0.0, depth);
            ink.rect(
                (foot.0 - 0.07 * m, foot.1 - 1.25 * m),
                (foot.0 + 0.07 * m, foot.1),
                &plain(color),
            );
        }
    }
}
