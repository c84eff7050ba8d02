//! The colours of a film: sand, leather, grass, ink and the sky of its light.

use tiny_skia::Color;

use super::ink::{mix, rgb};
use crate::film::plan::hash;
use crate::film::script::{Coat, Light};

/// The colours of one horse.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Horse {
    /// Coat from the back to the ground: lit, full, shaded, leg.
    pub(crate) coat: [Color; 4],
    /// Mane and tail.
    pub(crate) mane: Color,
    /// Mane and tail, lit.
    pub(crate) mane_lit: Color,
    /// Muzzle.
    pub(crate) muzzle: Color,
    /// Hooves.
    pub(crate) hoof: Color,
    /// White on the limbs in the order of `Limb::ALL`: height in metres.
    pub(crate) socks: [f64; 4],
    /// White on the face: a blaze.
    pub(crate) blaze: bool,
}

impl Horse {
    /// Colours of a coat; markings vary with the film's seed.
    #[must_use]
    pub(crate) fn new(coat: Coat, seed: u64) -> Self {
        let (coat_tones, mane, mane_lit, muzzle) = match coat {
            Coat::Chestnut => (
                [0x00c4_7a45, 0x00a4_582d, 0x007c_3d1f, 0x008a_4724],
                0x006b_3117,
                0x00a6_5c30,
                0x006d_3a24,
            ),
            Coat::Bay => (
                [0x009a_6038, 0x0077_4224, 0x004e_2a18, 0x001d_1614],
                0x0019_1415,
                0x003a_2d2a,
                0x002a_1c17,
            ),
            Coat::Grey => (
                [0x00e9_e7e2, 0x00cb_c8c3, 0x0098_9591, 0x0074_716f],
                0x008d_8a88,
                0x00d9_d6d2,
                0x0055_504e,
            ),
            Coat::Black => (
                [0x004a_4240, 0x002f_2928, 0x001f_1b1b, 0x0019_1616],
                0x0014_1213,
                0x003b_3534,
                0x001b_1717,
            ),
        };
        let sock = |limb: u64| {
            let chance = hash(seed, 900 + limb);
            match coat {
                Coat::Grey => 0.0,
                _ if chance < 0.40 => 0.0,
                _ if chance < 0.75 => 0.20,
                _ => 0.34,
            }
        };
        Self {
            coat: coat_tones.map(rgb),
            mane: rgb(mane),
            mane_lit: rgb(mane_lit),
            muzzle: rgb(muzzle),
            hoof: rgb(if coat == Coat::Chestnut {
                0x004a_3a30
            } else {
                0x002b_2624
            }),
            socks: [sock(0), sock(1), sock(2), sock(3)],
            blaze: coat != Coat::Grey && hash(seed, 910) > 0.35,
        }
    }
}

/// The colours of the scene.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Scene {
    /// Sky from the top to the horizon.
    pub(crate) sky: [Color; 4],
    /// Where the sun stands, as shares of the picture, and its glow.
    pub(crate) sun: (f32, f32),
    /// How plainly the sun's disc shows, 0 behind cloud to 1.
    pub(crate) disc: f32,
    /// Glow round the sun.
    pub(crate) glow: Color,
    /// Clouds.
    pub(crate) cloud: Color,
    /// Far and near hills.
    pub(crate) hills: [Color; 2],
    /// Trees, shaded and lit.
    pub(crate) trees: [Color; 2],
    /// Grass far and near.
    pub(crate) grass: [Color; 2],
    /// Sand far and near.
    pub(crate) sand: [Color; 2],
    /// Grains and hoof marks in the sand.
    pub(crate) grain: [Color; 2],
    /// Boards and letter markers: lit and shaded.
    pub(crate) boards: [Color; 2],
    /// Rails of the paddock fence.
    pub(crate) rail: Color,
    /// Words and letters.
    pub(crate) ink: Color,
    /// Shadows on the ground.
    pub(crate) shadow: Color,
    /// Light along the horse's topline.
    pub(crate) rim: Color,
    /// Paper.
    pub(crate) paper: Color,
}

impl Scene {
    /// Colours of a light.
    #[must_use]
    pub(crate) fn new(light: Light) -> Self {
        let warm = Self::evening();
        match light {
            Light::Evening => warm,
            Light::Morning => Self {
                sky: [0x0086_a9bd, 0x00a9_c4cf, 0x00cf_dedd, 0x00ee_ead9].map(rgb),
                sun: (0.24, 0.20),
                glow: rgb(0x00ff_f6dd),
                cloud: rgb(0x00f6_f4ec),
                hills: [0x009f_b3b4, 0x0084_a092].map(rgb),
                trees: [0x0058_7a5c, 0x007f_9b6a].map(rgb),
                grass: [0x00a3_b481, 0x007f_9a5e].map(rgb),
                sand: [0x00d6_c8a8, 0x00c4_b38d].map(rgb),
                rim: rgb(0x00ff_f3d6),
                ..warm
            },
            Light::Overcast => Self {
                sky: [0x009a_a3a8, 0x00b0_b6b8, 0x00c9_cbc8, 0x00de_dcd2].map(rgb),
                sun: (0.6, 0.1),
                disc: 0.0,
                glow: rgb(0x00e9_e7df),
                cloud: rgb(0x00d9_d9d4),
                hills: [0x0098_a29f, 0x0082_908a].map(rgb),
                trees: [0x0056_6b58, 0x0071_836a].map(rgb),
                grass: [0x009a_a583, 0x007c_8c66].map(rgb),
                sand: [0x00cd_bfa3, 0x00b8_a784].map(rgb),
                shadow: mix(rgb(0x003b_332d), rgb(0x006b_6055), 0.4),
                rim: rgb(0x00e8_e4da),
                ..warm
            },
        }
    }

    fn evening() -> Self {
        Self {
            sky: [0x007d_8ea3, 0x00b9_a9a4, 0x00e8_c29a, 0x00f7_dfb2].map(rgb),
            sun: (0.74, 0.285),
            disc: 0.9,
            glow: rgb(0x00ff_f0c4),
            cloud: rgb(0x00f3_cfae),
            hills: [0x00b5_9f97, 0x0093_907f].map(rgb),
            trees: [0x005c_6a4b, 0x0086_864f].map(rgb),
            grass: [0x00b3_a765, 0x008a_8f52].map(rgb),
            sand: [0x00dc_c39a, 0x00c9_a877].map(rgb),
            grain: [0x00ef_dcb8, 0x009c_7d52].map(rgb),
            boards: [0x00fb_f6ea, 0x00d6_c9b6].map(rgb),
            rail: rgb(0x006f_5843),
            ink: rgb(0x002a_2521),
            shadow: rgb(0x004a_3524),
            rim: rgb(0x00ff_e3b0),
            paper: rgb(0x00f3_e9d6),
        }
    }
}
