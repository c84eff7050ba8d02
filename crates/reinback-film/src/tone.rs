//! Bringing films of high dynamic range down to an ordinary screen.

/// Nits of a white sheet of paper in HDR pictures (ITU-R BT.2408, table 1).
const PAPER: f32 = 203.0;
/// Peak of the reference HLG screen in nits (ITU-R BT.2100, table 5).
const HLG_PEAK: f32 = 1000.0;
/// Entries of each table: fine enough that neighbours differ by less than one
/// of 255 output steps.
const SIZE: usize = 4096;
/// Below this part of paper white nothing is changed, above it brightness
/// rolls off towards the screen's white. Our own choice.
const KNEE: f32 = 0.6;

/// How brightness is coded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Transfer {
    /// SMPTE ST 2084, "PQ".
    Pq,
    /// ARIB STD-B67, "HLG".
    Hlg,
}

/// Tables for one kind of coding.
pub(crate) struct ToneMap {
    transfer: Transfer,
    /// Signal to light; paper white is 1 for PQ, the sensor's peak for HLG.
    light: Vec<f32>,
    /// For HLG: the gain of the screen's own curve by scene brightness.
    gain: Vec<f32>,
    /// Light 0..1 to 8-bit sRGB.
    screen: Vec<u8>,
}

impl ToneMap {
    pub(crate) fn new(transfer: Transfer) -> Self {
        let curve = match transfer {
            Transfer::Pq => pq_light,
            Transfer::Hlg => hlg_light,
        };
        Self {
            transfer,
            light: table(curve),
            // BT.2100: the exponent of the HLG screen is 1.2 at 1000 nits.
            gain: table(|y| HLG_PEAK / PAPER * y.powf(0.2)),
            screen: table(|x| (srgb(x) * 255.0).round() as u8),
        }
    }

    pub(crate) fn transfer(&self) -> Transfer {
        self.transfer
    }

    /// One pixel: BT.2020 red, green, blue of 16 bits each.
    pub(crate) fn pixel(&self, signal: [u16; 3]) -> [u8; 4] {
        let mut light = signal.map(|part| self.light[usize::from(part) >> 4]);
        if self.transfer == Transfer::Hlg {
            let [r, g, b] = light;
            // Brightness weights of BT.2020.
            let gain = pick(&self.gain, 0.2627 * r + 0.6780 * g + 0.0593 * b);
            light = light.map(|part| part * gain);
        }
        let light = narrow(light);
        let peak = light[0].max(light[1]).max(light[2]);
        let scale = if peak > KNEE {
            roll_off(peak) / peak
        } else {
            1.0
        };
        let [r, g, b] = light.map(|part| pick(&self.screen, part * scale));
        [r, g, b, 255]
    }

    /// Rows of little-endian 16-bit RGBA to tightly packed 8-bit RGBA.
    pub(crate) fn rows(&self, source: &[u8], stride: usize, width: usize, target: &mut [u8]) {
        let rows = target.chunks_exact_mut(width * 4);
        for (row, stored) in rows.zip(source.chunks(stride)) {
            for (to, from) in row.chunks_exact_mut(4).zip(stored.chunks_exact(8)) {
                let part = |at: usize| u16::from_le_bytes([from[at], from[at + 1]]);
                to.copy_from_slice(&self.pixel([part(0), part(2), part(4)]));
            }
        }
    }
}

fn table<T>(curve: impl Fn(f32) -> T) -> Vec<T> {
    (0..SIZE)
        .map(|at| curve(at as f32 / (SIZE - 1) as f32))
        .collect()
}

fn pick<T: Copy>(table: &[T], at: f32) -> T {
    // `as` saturates below; the upper border is held here.
    let index = at * (SIZE - 1) as f32 + 0.5;
    table[(index as usize).min(SIZE - 1)]
}

/// SMPTE ST 2084 (also ITU-R BT.2100, table 4): signal to light, in parts of
/// paper white.
fn pq_light(signal: f32) -> f32 {
    const M1: f32 = 2610.0 / 16384.0;
    const M2: f32 = 2523.0 / 4096.0 * 128.0;
    const C1: f32 = 3424.0 / 4096.0;
    const C2: f32 = 2413.0 / 4096.0 * 32.0;
    const C3: f32 = 2392.0 / 4096.0 * 32.0;
    let power = signal.powf(1.0 / M2);
    let light = ((power - C1).max(0.0) / (C2 - C3 * power)).powf(1.0 / M1);
    light * 10_000.0 / PAPER
}

/// ITU-R BT.2100, table 5: HLG signal to scene light, 0..1.
fn hlg_light(signal: f32) -> f32 {
    const A: f32 = 0.178_832_77;
    const B: f32 = 1.0 - 4.0 * A;
    if signal <= 0.5 {
        signal * signal / 3.0
    } else {
        let c = 0.5 - A * (4.0 * A).ln();
        (((signal - c) / A).exp() + B) / 12.0
    }
}

/// BT.2020 to BT.709 primaries in linear light (ITU-R BT.2407, 2.2);
/// colours outside are cut off.
fn narrow([r, g, b]: [f32; 3]) -> [f32; 3] {
    [
        (1.6605 * r - 0.5876 * g - 0.0728 * b).max(0.0),
        (-0.1246 * r + 1.1329 * g - 0.0083 * b).max(0.0),
        (-0.0182 * r - 0.1006 * g + 1.1187 * b).max(0.0),
    ]
}

/// Above the knee the curve of Reinhard and others, "Photographic tone
/// reproduction for digital images" (2002), equation 4, with the HLG peak as
/// the light that becomes white. Continuous in value and slope, at most 1.
fn roll_off(light: f32) -> f32 {
    const ROOM: f32 = 1.0 - KNEE;
    const WHITE: f32 = (HLG_PEAK / PAPER - KNEE) / ROOM;
    let over = (light - KNEE) / ROOM;
    (KNEE + ROOM * over * (1.0 + over / (WHITE * WHITE)) / (1.0 + over)).min(1.0)
}

/// IEC 61966-2-1: linear light to the sRGB signal.
fn srgb(light: f32) -> f32 {
    if light <= 0.003_130_8 {
        light * 12.92
    } else {
        1.055 * light.powf(1.0 / 2.4) - 0.055
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grey(transfer: Transfer, signal: f32) -> u8 {
        let part = (signal * 65_535.0).round() as u16;
        let [r, g, b, a] = ToneMap::new(transfer).pixel([part; 3]);
        assert!(r.abs_diff(g) <= 1 && g.abs_diff(b) <= 1 && a == 255);
        g
    }

    /// Signal levels from ITU-R BT.2408, table 1: paper white is 58 % PQ and
    /// 75 % HLG; an 18 % grey card 38 % PQ and 38 % HLG.
    #[test]
    fn both_codings_put_paper_and_grey_card_at_the_same_place() {
        for (level, pq, hlg, low, high) in [
            ("black", 0.0, 0.0, 0, 0),
            ("grey card", 0.38, 0.38, 100, 140),
            ("paper", 0.58, 0.75, 222, 240),
            ("peak", 0.76, 1.0, 250, 255),
        ] {
            for (transfer, signal) in [(Transfer::Pq, pq), (Transfer::Hlg, hlg)] {
                let found = grey(transfer, signal);
                assert!(
                    (low..=high).contains(&found),
                    "{level} {transfer:?}: {found}"
                );
            }
        }
    }

    #[test]
    fn brighter_never_becomes_darker() {
        for transfer in [Transfer::Pq, Transfer::Hlg] {
            let steps: Vec<u8> = (0..=100)
                .map(|n| grey(transfer, n as f32 / 100.0))
                .collect();
            assert!(steps.is_sorted(), "{transfer:?}: {steps:?}");
        }
    }
}
