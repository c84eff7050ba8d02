//! One picture of a film.
//!
//! | module | draws |
//! |---|---|
//! | [`view`] | nothing: turns metres into pixels |
//! | [`palette`] | nothing: names the colours |
//! | [`ink`] | smooth shapes, strokes, soft light |
//! | [`lettering`] | words |
//! | [`scenery`] | sky, hills, trees, meadow |
//! | [`ground`] | sand, boards, letters |
//! | [`front`] | nothing: places neck and head |
//! | [`limbs`], [`horse`], [`rider`] | what moves |

mod front;
mod ground;
mod horse;
mod ink;
mod lettering;
mod limbs;
mod palette;
mod rider;
mod scenery;
mod view;

use tiny_skia::{Pixmap, PixmapPaint, Transform};

use self::front::Front;
use self::horse::HorseArt;
use self::ink::{Ink, faint, mix, plain, rgb};
use self::lettering::{Lettering, Stand};
use self::palette::{Horse, Scene};
use self::rider::RiderArt;
use self::scenery::Scenery;
use self::view::View;
use super::error::FilmError;
use super::gait::{Gait, SECOND};
use super::motion::Motion;
use super::plan::hash;
use super::pose::{Pose, pose};
use super::script::Script;
use super::truth;

/// Everything needed to draw any picture of a film.
pub(crate) struct Studio {
    size: (u32, u32),
    title: String,
    captions: Vec<(f64, f64, String)>,
    motion: Motion,
    from_a: f64,
    scenery: Scenery,
    horse: Horse,
    cloth: tiny_skia::Color,
    jacket: tiny_skia::Color,
    lettering: Lettering,
}

/// Seconds of the dissolve from one rein's view to the other's.
const DISSOLVE: f64 = 0.5;

impl Studio {
    /// Prepares the drawing of a ride.
    ///
    /// # Errors
    /// The picture is too large or the typeface damaged.
    pub(crate) fn new(script: &Script, gait: &Gait, motion: Motion) -> Result<Self, FilmError> {
        let scene = Scene::new(script.light);
        let size = script.size;
        let cloths = [0x00f7_f2e6, 0x002f_4a3e, 0x003a_4661, 0x006d_2f2f];
        let jackets = [0x002b_3040, 0x003b_2b26, 0x002e_3a34, 0x0031_303a];
        let pick =
            |from: [u32; 4], salt: u64| rgb(from[(hash(script.seed, salt) * 4.0) as usize % 4]);
        Ok(Self {
            size,
            title: script.title.clone(),
            captions: truth::captions(script, gait)
                .into_iter()
                .map(|(from, to, words)| (from as f64 / SECOND, to as f64 / SECOND, words))
                .collect(),
            from_a: script.from_a,
            scenery: Scenery::new(&scene, script.seed, size)
                .ok_or(FilmError::Size(size.0, size.1))?,
            horse: Horse::new(script.coat, script.seed),
            cloth: pick(cloths, 920),
            jacket: pick(jackets, 921),
            lettering: Lettering::open()?,
            motion,
        })
    }

    /// An empty picture of the film's size.
    ///
    /// # Errors
    /// The size is out of bounds.
    pub(crate) fn blank(&self) -> Result<Pixmap, FilmError> {
        Pixmap::new(self.size.0, self.size.1).ok_or(FilmError::Size(self.size.0, self.size.1))
    }

    /// Draws the moment `t` (seconds) over whatever `picture` shows.
    pub(crate) fn draw(&self, picture: &mut Pixmap, t: f64) {
        let pose = pose(&self.motion, t);
        let reins = &self.motion.reins;
        let now = reins
            .iter()
            .rposition(|(from, ..)| *from <= t + DISSOLVE / 2.0)
            .unwrap_or(0);
        self.scene(picture, &pose, t, now);
        let since = t - (reins[now].0 - DISSOLVE / 2.0);
        if now > 0 && since < DISSOLVE {
            self.dissolve(picture, &pose, t, now - 1, (since / DISSOLVE) as f32);
        }
        self.words(picture, t);
    }

    /// Lets the view of the rein before show through.
    fn dissolve(&self, picture: &mut Pixmap, pose: &Pose, t: f64, before: usize, share: f32) {
        let Some(mut old) = Pixmap::new(self.size.0, self.size.1) else {
            return;
        };
        self.scene(&mut old, pose, t, before);
        let paint = PixmapPaint {
            opacity: 1.0 - share,
            ..PixmapPaint::default()
        };
        picture.draw_pixmap(0, 0, old.as_ref(), &paint, Transform::identity(), None);
    }

    fn view(&self, t: f64, rein: usize) -> View {
        let (_, side, track) = self.motion.reins[rein];
        // A hand holds the camera: it breathes.
        let sway = 0.10 * (t * 0.53).sin() + 0.05 * (t * 1.21 + 1.0).sin();
        View {
            width: f64::from(self.size.0),
            height: f64::from(self.size.1),
            x: self.motion.camera_x(t) + 0.16 + sway,
            z: self.motion.camera_z(t),
            rein: side,
            track,
        }
    }

    fn scene(&self, picture: &mut Pixmap, pose: &Pose, t: f64, rein: usize) {
        let view = self.view(t, rein);
        let scene = &self.scenery.scene;
        let mut ink = Ink { map: picture };
        self.scenery
            .behind(&mut ink, &view, self.from_a, &self.lettering);
        self.shadow(&mut ink, &view, pose);
        let front = Front::new(pose);
        let rider = RiderArt {
            view,
            scene,
            pose,
            front: &front,
            cloth: self.cloth,
            jacket: self.jacket,
        };
        rider.far(&mut ink);
        let horse = HorseArt {
            view,
            horse: &self.horse,
            scene,
            pose,
            front: &front,
        };
        horse.draw(&mut ink, |ink| rider.near(ink));
    }

    fn shadow(&self, ink: &mut Ink<'_>, view: &View, pose: &Pose) {
        let color = self.scenery.scene.shadow;
        let ground = pose.trunk.ground();
        let m = view.scale() as f32;
        let (x, y) = view.pixel(ground);
        // The sky gives the light here, so the shadow lies under the horse on both reins.
        ink.glow(
            (x - 0.12 * m, y + 0.03 * m),
            (1.75 * m, 0.20 * m),
            faint(color, 0.50),
        );
        ink.glow(
            (x - 0.05 * m, y + 0.015 * m),
            (1.05 * m, 0.10 * m),
            faint(color, 0.38),
        );
        for limb in &pose.limbs {
            let sole = limb.foot.sole;
            let height = sole.y.max(0.0) as f32;
            let at = view.pixel(super::pose::Point { y: 0.0, ..sole });
            ink.glow(
                at,
                ((0.20 + height * 0.3) * m, 0.032 * m),
                faint(color, 0.60 * (1.0 - 2.2 * height).max(0.1)),
            );
        }
    }

    fn words(&self, picture: &mut Pixmap, t: f64) {
        let (w, h) = (self.size.0 as f32, self.size.1 as f32);
        let scene = &self.scenery.scene;
        let size = (h * 0.0215).max(9.0);
        let (margin, base) = (h * 0.045, h - h * 0.045);
        let mut ink = Ink { map: picture };
        if let Some((from, to, words)) = self
            .captions
            .iter()
            .find(|(from, to, _)| (*from..*to).contains(&t))
        {
            let share = ((t - from) / 0.3).min((to - t) / 0.3).clamp(0.0, 1.0) as f32;
            let path = self
                .lettering
                .line(words, (margin, base), size, Stand::Left);
            ink.fill(path, &plain(faint(scene.ink, 0.78 * share)));
        }
        let whole = t as u64;
        let clock = format!(
            "{}:{:02}.{}",
            whole / 60,
            whole % 60,
            (t * 10.0) as u64 % 10
        );
        let path = self
            .lettering
            .line(&clock, (w - margin, base), size, Stand::Right);
        ink.fill(path, &plain(faint(scene.ink, 0.62)));
        let shown = 3.6;
        if t < shown {
            let share = ((t - 0.4) / 0.5).min((shown - t) / 0.6).clamp(0.0, 1.0) as f32;
            let path =
                self.lettering
                    .line(&self.title, (margin, h * 0.115), h * 0.046, Stand::Left);
            ink.fill(
                path,
                &plain(faint(mix(scene.ink, scene.sky[0], 0.1), 0.86 * share)),
            );
        }
    }
}
