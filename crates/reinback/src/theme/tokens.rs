//! Every colour of the window, by what it is for. No other file names a colour.
#![expect(
    clippy::disallowed_methods,
    reason = "this is the one place where colours are made"
)]

use egui::{Color32, Theme};

/// A palette: sand, leather, grass and ink.
#[derive(Debug)]
pub struct Tokens {
    /// Behind everything.
    pub ground: Color32,
    /// Cards and panels that stand out from the ground.
    pub raised: Color32,
    /// Behind the film.
    pub stage: Color32,
    /// Text on the stage.
    pub on_stage: Color32,
    /// Takes the light from a film that does not show the moment.
    pub dimmed: Color32,
    /// Text fields and the beds of bands.
    pub field: Color32,
    /// Every other row.
    pub stripe: Color32,
    /// Buttons at rest.
    pub button: Color32,
    /// Buttons under the pointer.
    pub button_hover: Color32,
    /// What is chosen.
    pub chosen: Color32,
    /// Hairlines.
    pub line: Color32,
    /// Text.
    pub ink: Color32,
    /// Text of second rank.
    pub ink_soft: Color32,
    /// The house colour: what can be acted on, and the play head.
    pub leather: Color32,
    /// Text on the house colour.
    pub on_leather: Color32,
    /// Faults.
    pub fault: Color32,
    /// What went well.
    pub good: Color32,
    /// Cautions.
    pub caution: Color32,
    /// Fills of the families of exercises on the strip, taken in turn.
    pub families: [Color32; 6],
    /// Text on those.
    pub on_family: Color32,
    /// Fills of the paces on the strip: walk, trot, canter, passage, piaffe, halt, rein-back.
    pub paces: [Color32; 7],
}

impl Tokens {
    /// The palette of a theme.
    #[must_use]
    pub const fn of(theme: Theme) -> &'static Self {
        match theme {
            Theme::Light => &LIGHT,
            Theme::Dark => &DARK,
        }
    }
}

const fn rgb(hex: u32) -> Color32 {
    Color32::from_rgb((hex >> 16) as u8, (hex >> 8) as u8, hex as u8)
}

static LIGHT: Tokens = Tokens {
    ground: rgb(0xf7_f2_e8),
    raised: rgb(0xff_fc_f5),
    stage: rgb(0x1d_1a_17),
    on_stage: rgb(0xe9_e0_d0),
    dimmed: rgb(0x80_80_80),
    field: rgb(0xff_fd_f8),
    stripe: rgb(0xf0_e9_db),
    button: rgb(0xee_e5_d4),
    button_hover: rgb(0xe6_da_c3),
    chosen: rgb(0xe7_d3_b3),
    line: rgb(0xd9_cd_b6),
    ink: rgb(0x2b_25_1e),
    ink_soft: rgb(0x5d_52_44),
    leather: rgb(0x84_4f_28),
    on_leather: rgb(0xff_fa_f0),
    fault: rgb(0xa6_36_22),
    good: rgb(0x44_68_2b),
    caution: rgb(0x80_56_00),
    families: [
        rgb(0xd8_bf_95),
        rgb(0xb9_c7_98),
        rgb(0xe0_b0_8e),
        rgb(0xa9_c1_c4),
        rgb(0xcf_b3_c0),
        rgb(0xc9_c2_b2),
    ],
    on_family: rgb(0x2b_25_1e),
    paces: [
        rgb(0x9f_b3_7c),
        rgb(0xc9_a2_63),
        rgb(0xb8_75_4f),
        rgb(0x8d_6a_86),
        rgb(0x6e_83_93),
        rgb(0xa8_9f_90),
        rgb(0x7f_75_68),
    ],
};

static DARK: Tokens = Tokens {
    ground: rgb(0x1e_1b_18),
    raised: rgb(0x28_24_20),
    stage: rgb(0x0f_0d_0c),
    on_stage: rgb(0xd9_cf_bf),
    dimmed: rgb(0x80_80_80),
    field: rgb(0x17_14_12),
    stripe: rgb(0x25_21_1d),
    button: rgb(0x36_30_2a),
    button_hover: rgb(0x43_3b_33),
    chosen: rgb(0x54_41_2d),
    line: rgb(0x45_3d_34),
    ink: rgb(0xee_e5_d6),
    ink_soft: rgb(0xbd_b0_9d),
    leather: rgb(0xd9_a0_6c),
    on_leather: rgb(0x22_18_10),
    fault: rgb(0xf0_8b_72),
    good: rgb(0xa3_c4_80),
    caution: rgb(0xe3_b7_54),
    families: [
        rgb(0x6b_56_35),
        rgb(0x4c_5c_33),
        rgb(0x72_49_30),
        rgb(0x36_56_5b),
        rgb(0x62_46_55),
        rgb(0x54_4e_45),
    ],
    on_family: rgb(0xf3_eb_dd),
    paces: [
        rgb(0x71_86_4f),
        rgb(0xa8_84_4a),
        rgb(0x9b_5f_3c),
        rgb(0x76_55_70),
        rgb(0x56_6c_7d),
        rgb(0x75_6d_61),
        rgb(0x5a_52_48),
    ],
};
