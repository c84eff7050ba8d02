//! The horse: trunk, mane, tail, face and bridle.

use tiny_skia::{Color, Shader};

use super::front::{Front, HEAD};
use super::ink::{Ink, Px, blob, blobs, curve, faint, gradient, mix, plain};
use super::limbs::{self, Tone};
use super::palette::{Horse, Scene};
use super::view::View;
use crate::film::pose::{Point, Pose};

/// Outline of the trunk from the withers over back, quarters, belly and chest.
const TRUNK: [(f64, f64); 22] = [
    (0.40, 1.635),
    (0.26, 1.605),
    (0.08, 1.560),
    (-0.14, 1.555),
    (-0.32, 1.595),
    (-0.50, 1.625),
    (-0.68, 1.575),
    (-0.815, 1.46),
    (-0.885, 1.30),
    (-0.875, 1.14),
    (-0.78, 1.02),
    (-0.58, 1.00),
    (-0.38, 1.01),
    (-0.16, 0.935),
    (0.10, 0.885),
    (0.34, 0.865),
    (0.54, 0.895),
    (0.70, 0.985),
    (0.805, 1.12),
    (0.815, 1.26),
    (0.72, 1.42),
    (0.56, 1.56),
];

/// The drawing of one horse in one picture.
pub(crate) struct HorseArt<'a> {
    /// The camera.
    pub(crate) view: View,
    /// Colours of the horse.
    pub(crate) horse: &'a Horse,
    /// Colours of the scene.
    pub(crate) scene: &'a Scene,
    /// The moment.
    pub(crate) pose: &'a Pose,
    /// Neck and head of the moment.
    pub(crate) front: &'a Front,
}

impl HorseArt<'_> {
    fn px(&self, point: Point) -> Px {
        self.view.pixel(point)
    }

    /// Pixels of a length in metres at the horse.
    fn m(&self, metres: f64) -> f32 {
        (metres * self.view.scale()) as f32
    }

    fn trunk(&self, points: &[(f64, f64)]) -> Vec<Px> {
        points
            .iter()
            .map(|&(x, y)| self.px(self.pose.trunk.at(x, y, 0.0)))
            .collect()
    }

    /// The coat from the back to the ground; far limbs stand in the shade.
    fn coat(&self, tone: Tone) -> Shader<'static> {
        let [lit, full, shaded, leg] = self.horse.coat.map(|color| self.toned(color, tone));
        let ground = self.pose.trunk.ground();
        let top = self.px(Point { y: 1.72, ..ground });
        let foot = self.px(ground);
        gradient(
            (0.0, top.1),
            (0.0, foot.1),
            &[
                (0.0, lit),
                (0.26, full),
                (0.49, shaded),
                (0.60, mix(shaded, leg, 0.6)),
                (0.78, leg),
                (1.0, leg),
            ],
        )
    }

    fn toned(&self, color: Color, tone: Tone) -> Color {
        match tone {
            Tone::Near => color,
            Tone::Far => mix(mix(color, Color::BLACK, 0.42), self.scene.shadow, 0.25),
        }
    }

    /// Everything from the far limbs to the bridle; `between` draws what lies
    /// between the trunk and the near fore limb.
    pub(crate) fn draw(&self, ink: &mut Ink<'_>, between: impl FnOnce(&mut Ink<'_>)) {
        self.limbs(ink, Tone::Far);
        self.tail(ink);
        self.body(ink);
        self.limbs(ink, Tone::Near);
        self.muscles(ink);
        self.mane(ink);
        self.face(ink);
        between(ink);
    }

    fn limbs(&self, ink: &mut Ink<'_>, tone: Tone) {
        let near = self.view.rein;
        let coat = self.coat(tone);
        for limb in &self.pose.limbs {
            if (limb.limb.side() == near) == (tone == Tone::Near) {
                let sock = self.horse.socks[limb.limb as usize];
                limbs::draw(
                    ink,
                    &self.view,
                    limb,
                    &limbs::Dress {
                        coat: &coat,
                        crease: faint(Color::BLACK, 0.20),
                        sock: (sock > 0.0).then_some((
                            sock,
                            self.toned(mix(Color::WHITE, self.scene.sand[0], 0.25), tone),
                        )),
                        hoof: self.toned(self.horse.hoof, tone),
                        tone,
                    },
                );
            }
        }
    }

    fn body(&self, ink: &mut Ink<'_>) {
        let coat = self.coat(Tone::Near);
        let neck = self.neck_outline();
        let head: Vec<Px> = HEAD
            .iter()
            .map(|&(along, out)| self.px(self.front.head(along, out)))
            .collect();
        self.ear(ink, 0.035, Tone::Far);
        ink.fill(blobs(&[self.trunk(&TRUNK), neck, head]), &coat);
    }

    fn neck_outline(&self) -> Vec<Px> {
        let steps = [0.0, 0.16, 0.33, 0.5, 0.66, 0.82, 0.95];
        let mut outline: Vec<Px> = steps
            .iter()
            .map(|&t| self.px(self.front.neck(t, 1.0)))
            .collect();
        outline.extend(
            steps
                .iter()
                .rev()
                .map(|&t| self.px(self.front.neck(t, -1.0))),
        );
        outline
    }

    /// Light and shade that give the trunk its roundness.
    fn muscles(&self, ink: &mut Ink<'_>) {
        let [lit, _, shaded, _] = self.horse.coat;
        let glow = |ink: &mut Ink<'_>, (x, y): (f64, f64), (rx, ry): (f64, f64), color: Color| {
            ink.glow(
                self.px(self.pose.trunk.at(x, y, 0.0)),
                (self.m(rx), self.m(ry)),
                color,
            );
        };
        glow(ink, (-0.60, 1.40), (0.26, 0.20), faint(lit, 0.55));
        glow(ink, (0.00, 1.32), (0.42, 0.20), faint(lit, 0.35));
        glow(ink, (0.60, 1.27), (0.20, 0.24), faint(lit, 0.42));
        glow(ink, (-0.36, 1.14), (0.16, 0.17), faint(shaded, 0.50));
        glow(ink, (0.36, 1.12), (0.12, 0.24), faint(shaded, 0.42));
        glow(ink, (0.12, 0.95), (0.55, 0.10), faint(Color::BLACK, 0.16));
        // The edge of the shoulder and of the thigh.
        let edge = faint(shaded, 0.55);
        ink.stroke(
            curve(&self.trunk(&[(0.40, 1.50), (0.50, 1.36), (0.62, 1.22), (0.72, 1.12)])),
            faint(shaded, 0.30),
            self.m(0.016),
        );
        ink.stroke(
            curve(&self.trunk(&[(-0.34, 1.46), (-0.37, 1.30), (-0.36, 1.18), (-0.33, 1.08)])),
            edge,
            self.m(0.014),
        );
        let neck = |share: f64, across: f64| self.px(self.front.neck(share, across));
        ink.stroke(
            curve(&[
                neck(0.10, -0.62),
                neck(0.4, -0.58),
                neck(0.7, -0.52),
                neck(0.92, -0.45),
            ]),
            faint(shaded, 0.40),
            self.m(0.014),
        );
        ink.glow(
            neck(0.45, 0.15),
            (self.m(0.20), self.m(0.20)),
            faint(lit, 0.30),
        );
        // Low sun along the topline.
        let rim = faint(self.scene.rim, 0.55);
        ink.stroke(
            curve(&self.trunk(&[
                (-0.30, 1.592),
                (-0.50, 1.618),
                (-0.67, 1.570),
                (-0.805, 1.46),
                (-0.872, 1.32),
            ])),
            rim,
            self.m(0.014),
        );
    }

    fn mane(&self, ink: &mut Ink<'_>) {
        let crest = |t: f64| self.front.neck(t, 1.02);
        let bounce = self.pose.felt * 1.2;
        let mut outline: Vec<Px> = Vec::new();
        for i in 0..=10 {
            outline.push(self.px(crest(0.06 + 0.9 * f64::from(i) / 10.0)));
        }
        for i in (0..=14).rev() {
            let t = 0.06 + 0.9 * f64::from(i) / 14.0;
            let length = 0.105 + 0.055 * (t * 3.1).sin() + if i % 2 == 0 { 0.012 } else { -0.008 };
            let root = self.front.neck(t, 1.0);
            let sway = -0.05 - 0.02 * (f64::from(i) * 1.7).sin();
            outline.push(self.px(Point::new(root.x + sway, root.y - length + bounce, root.z)));
        }
        ink.fill(blob(&outline), &plain(self.horse.mane));
        for i in 0..9 {
            let t = 0.12 + 0.09 * f64::from(i);
            let (root, mut tip) = (self.front.neck(t, 1.0), self.front.neck(t, 1.0));
            tip.x -= 0.045;
            tip.y += bounce - 0.10;
            ink.stroke(
                curve(&[self.px(root), self.px(tip)]),
                faint(self.horse.mane_lit, 0.55),
                self.m(0.010),
            );
        }
        ink.stroke(
            curve(
                &(0..=8)
                    .map(|i| self.px(crest(0.1 + 0.85 * f64::from(i) / 8.0)))
                    .collect::<Vec<_>>(),
            ),
            faint(self.scene.rim, 0.5),
            self.m(0.012),
        );
    }

    fn tail(&self, ink: &mut Ink<'_>) {
        let (swing, stream) = self.pose.tail;
        let swing = swing.clamp(-1.0, 1.0) * 0.07;
        let stream = stream.clamp(0.0, 1.2);
        let dock = self.pose.trunk.at(-0.80, 1.475, 0.0);
        let line = |t: f64| {
            let back =
                (0.10 + 0.10 * stream) * (t * 3.0).min(1.0) + (0.10 * stream + swing) * t * t;
            let down = 0.93 * t.powf(1.15) - 0.05 * (t * 6.0).min(1.0) * (1.0 - t);
            Point::new(dock.x - back, dock.y - down, dock.z)
        };
        let half = |t: f64| {
            0.026
                + 0.085
                    * (std::f64::consts::PI * (0.10 + 0.84 * t))
                        .sin()
                        .max(0.0)
                        .powf(1.2)
                - 0.014 * t
        };
        let steps: Vec<f64> = (0..=10).map(|i| f64::from(i) / 10.0).collect();
        let side = |way: f64| {
            steps.iter().map(move |&t| {
                let at = line(t);
                (at, way * half(t))
            })
        };
        let mut outline: Vec<Px> = side(1.0)
            .map(|(at, w)| self.px(Point::new(at.x + w, at.y, at.z)))
            .collect();
        outline.extend(
            side(-1.0)
                .map(|(at, w)| self.px(Point::new(at.x + w, at.y, at.z)))
                .collect::<Vec<_>>()
                .into_iter()
                .rev(),
        );
        ink.fill(blob(&outline), &plain(self.horse.mane));
        for k in [-0.55, -0.1, 0.4] {
            let strand: Vec<Px> = steps[1..10]
                .iter()
                .map(|&t| {
                    let at = line(t);
                    self.px(Point::new(at.x + k * half(t), at.y, at.z))
                })
                .collect();
            ink.stroke(
                curve(&strand),
                faint(self.horse.mane_lit, 0.5),
                self.m(0.012),
            );
        }
    }

    fn ear(&self, ink: &mut Ink<'_>, forward: f64, tone: Tone) {
        let head = |along: f64, out: f64| self.px(self.front.head(along, out));
        let ear = [
            head(0.012 + forward * 0.4, 0.030),
            head(-0.06 + forward, 0.075),
            head(-0.155 + forward, 0.070),
            head(-0.09 + forward, 0.015),
            head(-0.025, -0.022),
        ];
        let color = self.toned(self.horse.coat[1], tone);
        ink.fill(blob(&ear), &plain(color));
        if tone == Tone::Near {
            ink.stroke(
                curve(&[head(-0.03, 0.02), head(-0.085, 0.050), head(-0.135, 0.062)]),
                faint(self.horse.coat[2], 0.8),
                self.m(0.014),
            );
        }
    }

    fn face(&self, ink: &mut Ink<'_>) {
        let head = |along: f64, out: f64| self.px(self.front.head(along, out));
        let [lit, _, shaded, _] = self.horse.coat;
        ink.fill(
            blob(&[
                head(0.545, 0.020),
                head(0.590, 0.012),
                head(0.622, -0.018),
                head(0.630, -0.058),
                head(0.603, -0.090),
                head(0.610, -0.118),
                head(0.575, -0.144),
                head(0.525, -0.136),
                head(0.53, -0.06),
            ]),
            &plain(faint(self.horse.muzzle, 0.55)),
        );
        ink.glow(
            head(0.15, -0.10),
            (self.m(0.12), self.m(0.12)),
            faint(lit, 0.40),
        );
        ink.stroke(
            curve(&[
                head(0.03, -0.175),
                head(0.11, -0.20),
                head(0.20, -0.185),
                head(0.255, -0.13),
            ]),
            faint(shaded, 0.55),
            self.m(0.012),
        );
        ink.stroke(
            curve(&[head(0.27, -0.045), head(0.36, -0.050), head(0.46, -0.055)]),
            faint(shaded, 0.40),
            self.m(0.012),
        );
        if self.horse.blaze {
            ink.fill(
                blob(&[
                    head(0.13, 0.067),
                    head(0.26, 0.056),
                    head(0.40, 0.031),
                    head(0.50, 0.025),
                    head(0.50, 0.010),
                    head(0.40, 0.014),
                    head(0.26, 0.038),
                    head(0.15, 0.054),
                ]),
                &plain(faint(mix(Color::WHITE, self.scene.paper, 0.5), 0.92)),
            );
        }
        let dark = self.scene.ink;
        ink.fill(
            blob(&[
                head(0.155, 0.018),
                head(0.175, 0.030),
                head(0.200, 0.018),
                head(0.178, 0.004),
            ]),
            &plain(dark),
        );
        ink.ellipse(
            head(0.178, 0.021),
            (self.m(0.005), self.m(0.005)),
            faint(Color::WHITE, 0.9),
        );
        ink.stroke(
            curve(&[head(0.150, 0.030), head(0.175, 0.042), head(0.203, 0.030)]),
            faint(shaded, 0.9),
            self.m(0.008),
        );
        ink.fill(
            blob(&[
                head(0.567, -0.012),
                head(0.590, -0.016),
                head(0.598, -0.036),
                head(0.578, -0.030),
            ]),
            &plain(faint(dark, 0.85)),
        );
        ink.stroke(
            curve(&[
                head(0.606, -0.090),
                head(0.580, -0.096),
                head(0.552, -0.094),
            ]),
            faint(dark, 0.7),
            self.m(0.007),
        );
        self.ear(ink, 0.0, Tone::Near);
        self.bridle(ink);
    }

    fn bridle(&self, ink: &mut Ink<'_>) {
        let head = |along: f64, out: f64| self.px(self.front.head(along, out));
        let leather = mix(self.scene.ink, self.horse.coat[2], 0.12);
        let strap =
            |ink: &mut Ink<'_>, points: &[Px]| ink.stroke(curve(points), leather, self.m(0.017));
        strap(
            ink,
            &[
                head(-0.02, 0.012),
                head(0.10, -0.062),
                head(0.34, -0.086),
                head(0.545, -0.085),
            ],
        );
        strap(
            ink,
            &[head(0.06, 0.060), head(0.055, 0.01), head(0.075, -0.05)],
        );
        strap(
            ink,
            &[head(0.03, -0.03), head(0.035, -0.10), head(0.055, -0.19)],
        );
        strap(
            ink,
            &[head(0.385, 0.034), head(0.395, -0.05), head(0.400, -0.142)],
        );
        let bit = self.px(self.front.bit());
        ink.stroke(
            super::ink::oval(bit, (self.m(0.022), self.m(0.022))),
            mix(Color::WHITE, self.scene.ink, 0.25),
            self.m(0.009),
        );
    }
}
