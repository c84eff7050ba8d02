//! The rider and the tack: nobody in particular, sitting upright.

use tiny_skia::Color;

use super::front::Front;
use super::ink::{Ink, Px, blob, blobs, curve, faint, gradient, mix, plain, rgb};
use super::palette::Scene;
use super::view::View;
use crate::film::pose::{Point, Pose};

/// The drawing of the rider in one picture.
pub(crate) struct RiderArt<'a> {
    /// The camera.
    pub(crate) view: View,
    /// Colours of the scene.
    pub(crate) scene: &'a Scene,
    /// The moment.
    pub(crate) pose: &'a Pose,
    /// Neck and head of the moment.
    pub(crate) front: &'a Front,
    /// Colour of the saddle cloth.
    pub(crate) cloth: Color,
    /// Colour of the coat.
    pub(crate) jacket: Color,
}

impl RiderArt<'_> {
    fn m(&self, metres: f64) -> f32 {
        (metres * self.view.scale()) as f32
    }

    /// A place on the horse's trunk.
    fn tack(&self, ahead: f64, up: f64) -> Px {
        self.view.pixel(self.pose.trunk.at(ahead, up, 0.0))
    }

    fn shape(&self, points: &[(f64, f64)]) -> Vec<Px> {
        points.iter().map(|&(x, y)| self.tack(x, y)).collect()
    }

    /// A place on the rider above the seat, who stays upright and gives a little
    /// in the back when the horse rises.
    fn above(&self, ahead: f64, up: f64) -> Point {
        let seat = self.pose.trunk.at(SEAT.0, SEAT.1, 0.0);
        let lean = self.pose.lean;
        let give = 1.0 - 0.45 * (self.pose.felt * 1.2).clamp(-0.05, 0.05);
        let (dx, dy) = (ahead - SEAT.0, (up - SEAT.1) * give);
        let yaw = self.pose.trunk.yaw().cos();
        Point::new(
            seat.x + (dx * lean.cos() + dy * lean.sin()) * yaw,
            seat.y + dy * lean.cos() - dx * lean.sin(),
            seat.z,
        )
    }

    fn upper(&self, points: &[(f64, f64)]) -> Vec<Px> {
        points
            .iter()
            .map(|&(x, y)| self.view.pixel(self.above(x, y)))
            .collect()
    }

    fn hand(&self) -> Point {
        let long = self.pose.carriage.long_rein;
        let hand = self.above(0.41 + 0.05 * long, 1.815 - 0.03 * long);
        // The hand belongs to the horse's mouth as much as to the rider.
        let steady = self.pose.trunk.at(0.42 + 0.05 * long, 1.80, 0.0);
        hand.toward(steady, 0.4)
    }

    /// The far arm and far rein, behind the neck.
    pub(crate) fn far(&self, ink: &mut Ink<'_>) {
        let hand = self.hand();
        let sleeve = mix(self.jacket, Color::BLACK, 0.35);
        let points = [
            self.view.pixel(self.above(0.15, 2.12)),
            self.view.pixel(self.above(0.17, 1.90)),
            self.view.pixel(hand),
        ];
        ink.stroke(curve(&points), sleeve, self.m(0.07));
    }

    /// Saddle, rider and near rein.
    pub(crate) fn near(&self, ink: &mut Ink<'_>) {
        self.saddle(ink);
        self.leg(ink);
        self.torso(ink);
        self.head(ink);
        self.rein(ink);
        self.arm(ink);
    }

    fn saddle(&self, ink: &mut Ink<'_>) {
        let edge = mix(self.cloth, self.scene.ink, 0.55);
        let cloth = [
            (0.40, 1.615),
            (0.20, 1.59),
            (-0.02, 1.575),
            (-0.24, 1.585),
            (-0.29, 1.42),
            (-0.27, 1.24),
            (-0.08, 1.16),
            (0.26, 1.14),
            (0.40, 1.22),
            (0.43, 1.42),
        ];
        let shaded = mix(self.cloth, self.scene.shadow, 0.22);
        ink.fill(
            blob(&self.shape(&cloth)),
            &gradient(
                self.tack(0.0, 1.6),
                self.tack(0.0, 1.12),
                &[(0.0, self.cloth), (1.0, shaded)],
            ),
        );
        ink.stroke(
            curve(&self.shape(&[
                (-0.255, 1.57),
                (-0.275, 1.42),
                (-0.255, 1.255),
                (-0.08, 1.18),
                (0.26, 1.16),
                (0.385, 1.235),
                (0.415, 1.42),
                (0.39, 1.60),
            ])),
            faint(edge, 0.8),
            self.m(0.010),
        );
        let leather = rgb(0x003a_241a);
        let lit = rgb(0x0065_412c);
        // Girth.
        ink.stroke(
            curve(&self.shape(&[(0.20, 1.16), (0.235, 1.02), (0.255, 0.905)])),
            mix(leather, Color::BLACK, 0.3),
            self.m(0.055),
        );
        // Flap, then the seat from pommel to cantle.
        ink.fill(
            blob(&self.shape(&[
                (0.30, 1.64),
                (0.42, 1.52),
                (0.455, 1.36),
                (0.40, 1.20),
                (0.22, 1.165),
                (0.09, 1.22),
                (0.05, 1.42),
                (0.04, 1.58),
            ])),
            &gradient(
                self.tack(0.45, 1.5),
                self.tack(0.05, 1.2),
                &[(0.0, lit), (1.0, leather)],
            ),
        );
        ink.fill(
            blob(&self.shape(&[
                (0.355, 1.685),
                (0.325, 1.700),
                (0.24, 1.650),
                (0.10, 1.630),
                (-0.05, 1.645),
                (-0.165, 1.690),
                (-0.195, 1.675),
                (-0.19, 1.61),
                (-0.08, 1.565),
                (0.14, 1.565),
                (0.32, 1.61),
            ])),
            &plain(leather),
        );
    }

    fn torso(&self, ink: &mut Ink<'_>) {
        let dark = mix(self.jacket, Color::BLACK, 0.35);
        let light = mix(self.jacket, self.scene.rim, 0.16);
        let coat = [
            (0.235, 1.735),
            (0.240, 1.84),
            (0.222, 1.95),
            (0.255, 2.07),
            (0.232, 2.19),
            (0.165, 2.255),
            (0.08, 2.255),
            (0.005, 2.185),
            (-0.022, 2.05),
            (0.0, 1.92),
            (-0.045, 1.82),
            (-0.110, 1.73),
            (-0.150, 1.655),
            (-0.135, 1.615),
            (-0.02, 1.63),
            (0.10, 1.69),
            (0.19, 1.71),
        ];
        ink.fill(
            blob(&self.upper(&coat)),
            &gradient(
                self.view.pixel(self.above(-0.02, 2.0)),
                self.view.pixel(self.above(0.27, 2.0)),
                &[(0.0, dark), (1.0, light)],
            ),
        );
        let rim = [(-0.012, 1.90), (-0.012, 2.05), (0.015, 2.17), (0.08, 2.245)];
        ink.stroke(
            curve(&self.upper(&rim)),
            faint(self.scene.rim, 0.35),
            self.m(0.012),
        );
        // Stock.
        ink.fill(
            blob(&self.upper(&[
                (0.135, 2.30),
                (0.215, 2.285),
                (0.235, 2.19),
                (0.185, 2.225),
                (0.12, 2.255),
            ])),
            &plain(rgb(0x00f8_f3e6)),
        );
    }

    fn leg(&self, ink: &mut Ink<'_>) {
        let trunk = &self.pose.trunk;
        let breeches = [
            (0.22, 1.80),
            (0.02, 1.82),
            (-0.085, 1.72),
            (-0.06, 1.640),
            (0.10, 1.625),
            (0.22, 1.67),
        ];
        ink.fill(blob(&self.upper(&breeches)), &plain(white()));
        let hip = self.above(0.075, 1.740);
        let knee = trunk.at(0.425, 1.42, 0.0);
        let ankle = trunk.at(0.205, 1.045, 0.0);
        let out = |p: Point, dx: f64, dy: f64| self.view.pixel(Point::new(p.x + dx, p.y + dy, p.z));
        let cos = trunk.yaw().cos();
        let thigh = [
            out(hip, 0.07 * cos, 0.045),
            out(hip.toward(knee, 0.45), 0.055, 0.068),
            out(hip.toward(knee, 0.85), 0.050, 0.050),
            out(knee, 0.045, 0.0),
            out(knee, 0.0, -0.085),
            out(hip.toward(knee, 0.75), -0.045, -0.070),
            out(hip.toward(knee, 0.40), -0.070, -0.075),
            out(hip, -0.09 * cos, -0.095),
            out(hip, -0.10 * cos, -0.03),
        ];
        let cream = white();
        ink.fill(
            blob(&thigh),
            &gradient(
                out(hip, 0.1, 0.1),
                out(hip.toward(knee, 0.5), -0.06, -0.12),
                &[(0.0, cream), (1.0, mix(cream, self.scene.shadow, 0.32))],
            ),
        );
        let boot = rgb(0x001d_1a1b);
        let shine = rgb(0x0055_504f);
        let toe = trunk.at(0.385, 1.015, 0.0);
        let upper = [
            out(knee, 0.050, 0.055),
            out(knee.toward(ankle, 0.25), 0.055, 0.0),
            out(knee.toward(ankle, 0.6), 0.048, 0.0),
            out(ankle, 0.052, 0.03),
            out(ankle, -0.050, 0.02),
            out(knee.toward(ankle, 0.65), -0.055, 0.01),
            out(knee.toward(ankle, 0.3), -0.075, 0.02),
            out(knee, -0.085, -0.045),
        ];
        let foot = [
            out(ankle, 0.045, 0.07),
            out(toe, -0.05, 0.045),
            out(toe, 0.0, 0.012),
            out(toe, -0.01, -0.02),
            out(ankle, 0.02, -0.05),
            out(ankle, -0.055, -0.058),
            out(ankle, -0.062, 0.02),
        ];
        ink.fill(blobs(&[upper.to_vec(), foot.to_vec()]), &plain(boot));
        ink.stroke(
            curve(&[
                out(knee.toward(ankle, 0.15), 0.02, 0.0),
                out(knee.toward(ankle, 0.5), 0.018, 0.0),
                out(knee.toward(ankle, 0.85), 0.02, 0.0),
            ]),
            faint(shine, 0.8),
            self.m(0.014),
        );
        // Stirrup.
        let iron = rgb(0x00b9_b4ac);
        let at = |x: f64, y: f64| self.view.pixel(trunk.at(x, y, 0.0));
        let arch = [
            at(0.262, 0.990),
            at(0.268, 1.045),
            at(0.292, 1.098),
            at(0.322, 1.045),
            at(0.330, 0.990),
        ];
        ink.stroke(curve(&arch), iron, self.m(0.011));
        ink.stroke(
            curve(&[at(0.256, 0.988), at(0.336, 0.988)]),
            iron,
            self.m(0.014),
        );
    }

    fn head(&self, ink: &mut Ink<'_>) {
        let skin = rgb(0x00d9_a988);
        let shade = rgb(0x00b9_866a);
        ink.fill(
            blob(&self.upper(&[(0.095, 2.24), (0.105, 2.34), (0.175, 2.33), (0.180, 2.25)])),
            &plain(shade),
        );
        ink.fill(
            blob(&self.upper(&[
                (0.095, 2.44),
                (0.080, 2.37),
                (0.125, 2.31),
                (0.185, 2.295),
                (0.222, 2.305),
                (0.228, 2.335),
                (0.233, 2.36),
                (0.248, 2.375),
                (0.233, 2.405),
                (0.230, 2.45),
                (0.16, 2.48),
            ])),
            &plain(skin),
        );
        // A knot of hair under the helmet.
        let hair = rgb(0x004a_3122);
        ink.fill(
            blob(&self.upper(&[
                (0.115, 2.43),
                (0.125, 2.36),
                (0.085, 2.315),
                (0.045, 2.33),
                (0.045, 2.385),
                (0.07, 2.43),
            ])),
            &plain(hair),
        );
        let helmet = rgb(0x0024_242b);
        ink.fill(
            blob(&self.upper(&[
                (0.258, 2.432),
                (0.248, 2.48),
                (0.205, 2.535),
                (0.140, 2.550),
                (0.075, 2.525),
                (0.048, 2.465),
                (0.052, 2.412),
                (0.095, 2.405),
                (0.16, 2.425),
            ])),
            &gradient(
                self.view.pixel(self.above(0.1, 2.55)),
                self.view.pixel(self.above(0.16, 2.40)),
                &[(0.0, rgb(0x004b_4a55)), (0.6, helmet)],
            ),
        );
        ink.fill(
            blob(&self.upper(&[
                (0.225, 2.455),
                (0.285, 2.432),
                (0.305, 2.418),
                (0.27, 2.415),
                (0.20, 2.425),
            ])),
            &plain(helmet),
        );
        ink.stroke(
            curve(&self.upper(&[(0.13, 2.425), (0.150, 2.36), (0.195, 2.300)])),
            faint(helmet, 0.9),
            self.m(0.010),
        );
    }

    fn arm(&self, ink: &mut Ink<'_>) {
        let hand = self.hand();
        let shoulder = self.above(0.105, 2.175);
        let long = self.pose.carriage.long_rein;
        let elbow = self.above(0.075 + 0.07 * long, 1.895);
        let out = |p: Point, dx: f64, dy: f64| self.view.pixel(Point::new(p.x + dx, p.y + dy, p.z));
        let sleeve = mix(self.jacket, self.scene.rim, 0.09);
        let edge = faint(Color::BLACK, 0.28);
        let upper = [
            out(shoulder, 0.035, 0.06),
            out(shoulder, 0.07, -0.02),
            out(elbow, 0.055, 0.03),
            out(elbow, 0.02, -0.06),
            out(elbow, -0.055, -0.03),
            out(elbow, -0.055, 0.08),
            out(shoulder, -0.075, -0.02),
            out(shoulder, -0.045, 0.055),
        ];
        let wrist = elbow.toward(hand, 0.88);
        let lower = [
            out(elbow, 0.02, 0.055),
            out(elbow.toward(hand, 0.5), 0.0, 0.045),
            out(wrist, 0.0, 0.034),
            out(wrist, 0.0, -0.030),
            out(elbow.toward(hand, 0.5), 0.0, -0.042),
            out(elbow, 0.0, -0.062),
            out(elbow, -0.05, -0.02),
        ];
        ink.fill(blobs(&[upper.to_vec(), lower.to_vec()]), &plain(sleeve));
        ink.stroke(
            curve(&[
                out(shoulder, 0.065, -0.05),
                out(elbow, 0.06, 0.055),
                out(elbow.toward(hand, 0.5), 0.0, 0.045),
            ]),
            edge,
            self.m(0.008),
        );
        let glove = rgb(0x00f1_ece0);
        ink.fill(
            blob(&[
                out(wrist, -0.01, 0.034),
                out(hand, 0.035, 0.036),
                out(hand, 0.055, 0.0),
                out(hand, 0.02, -0.038),
                out(wrist, -0.01, -0.032),
            ]),
            &plain(glove),
        );
    }

    fn rein(&self, ink: &mut Ink<'_>) {
        let (hand, bit) = (self.hand(), self.front.bit());
        let sag = 0.02 + 0.20 * self.pose.carriage.long_rein;
        let at = |share: f64| {
            let mut point = hand.toward(bit, share);
            point.y -= sag * 4.0 * share * (1.0 - share);
            self.view.pixel(point)
        };
        let line: Vec<Px> = (0..=6).map(|i| at(f64::from(i) / 6.0)).collect();
        ink.stroke(
            curve(&line),
            mix(self.scene.ink, rgb(0x005b_3a26), 0.3),
            self.m(0.014),
        );
    }
}

/// Where the rider sits: ahead of the middle of the trunk, and up.
const SEAT: (f64, f64) = (0.08, 1.66);

/// Colour of the breeches.
fn white() -> Color {
    rgb(0x00f0_eadc)
}
