//! Turning and mirroring pixels, from a container's display matrix.

/// How stored pixels are laid on the screen: mirrored and turned in steps of
/// a quarter.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Orientation {
    /// Stored rows become columns.
    transposed: bool,
    /// The screen's left is the stored right (or, transposed, bottom).
    flip_x: bool,
    /// The screen's top is the stored bottom (or, transposed, right).
    flip_y: bool,
}

impl Orientation {
    /// Shown as stored.
    pub(crate) const UPRIGHT: Self = Self {
        transposed: false,
        flip_x: false,
        flip_y: false,
    };

    /// From a display matrix: nine 32-bit numbers in rows `a b u`, `c d v`,
    /// `x y w`, by which a stored point `(p, q)` is shown at
    /// `(a p + c q + x, b p + d q + y)` (ISO/IEC 14496-12, 8.2.2, and libav's
    /// `display.h`). Turns between quarters are taken as the nearest quarter;
    /// a matrix that is none is taken as upright.
    pub(crate) fn from_matrix(matrix: [i32; 9]) -> Self {
        let [a, b, _, c, d, ..] = matrix.map(i64::from);
        let straight = a.abs() + d.abs();
        let crossed = b.abs() + c.abs();
        if crossed > straight {
            Self {
                transposed: true,
                flip_x: c < 0,
                flip_y: b < 0,
            }
        } else {
            Self {
                transposed: false,
                flip_x: a < 0,
                flip_y: d < 0,
            }
        }
    }

    /// From the bytes of libav's side data, in the machine's byte order.
    pub(crate) fn from_bytes(bytes: &[u8]) -> Option<Self> {
        let mut matrix = [0; 9];
        if bytes.len() < 36 {
            return None;
        }
        for (cell, four) in matrix.iter_mut().zip(bytes.chunks_exact(4)) {
            *cell = i32::from_ne_bytes([four[0], four[1], four[2], four[3]]);
        }
        Some(Self::from_matrix(matrix))
    }

    /// Whether the picture is mirrored, however turned.
    pub(crate) fn mirrored(self) -> bool {
        self.transposed ^ self.flip_x ^ self.flip_y
    }

    /// The clockwise turn in degrees that follows a left-right mirroring
    /// where there is one.
    pub(crate) fn degrees(self) -> i32 {
        match (self.transposed, self.flip_x, self.flip_y) {
            (false, _, false) => 0,
            (false, _, true) => 180,
            (true, true, _) => 90,
            (true, false, _) => 270,
        }
    }

    /// Width and height on screen of `width` by `height` stored pixels; the
    /// same turns a screen size back into a stored one.
    pub(crate) fn turn_size(self, (width, height): (u32, u32)) -> (u32, u32) {
        if self.transposed {
            (height, width)
        } else {
            (width, height)
        }
    }

    /// Lays `source` (rows of `stride` bytes, `size` stored pixels of four
    /// bytes) into `target`, tightly packed, `size` turned.
    pub(crate) fn lay(self, source: &[u8], stride: usize, size: (u32, u32), target: &mut [u8]) {
        let (width, height) = self.turn_size(size);
        let (width, height) = (width as usize, height as usize);
        if self.transposed {
            self.lay_transposed(source, stride, (width, height), target);
            return;
        }
        for (y, row) in target.chunks_exact_mut(width * 4).take(height).enumerate() {
            let from = if self.flip_y { height - 1 - y } else { y };
            let stored = &source[from * stride..from * stride + width * 4];
            if self.flip_x {
                for (to, pixel) in row.chunks_exact_mut(4).zip(stored.chunks_exact(4).rev()) {
                    to.copy_from_slice(pixel);
                }
            } else {
                row.copy_from_slice(stored);
            }
        }
    }

    /// In tiles, so that neither side is walked across the whole picture.
    fn lay_transposed(
        self,
        source: &[u8],
        stride: usize,
        (width, height): (usize, usize),
        target: &mut [u8],
    ) {
        const TILE: usize = 32;
        for top in (0..height).step_by(TILE) {
            for left in (0..width).step_by(TILE) {
                for y in top..(top + TILE).min(height) {
                    let column = if self.flip_y { height - 1 - y } else { y };
                    let right = (left + TILE).min(width);
                    let row = &mut target[(y * width + left) * 4..(y * width + right) * 4];
                    for (to, x) in row.chunks_exact_mut(4).zip(left..) {
                        let line = if self.flip_x { width - 1 - x } else { x };
                        let at = line * stride + column * 4;
                        to.copy_from_slice(&source[at..at + 4]);
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ONE: i32 = 1 << 16;

    fn turned([a, b, c, d]: [i32; 4]) -> Orientation {
        Orientation::from_matrix([a * ONE, b * ONE, 0, c * ONE, d * ONE, 0, 0, 0, 1 << 30])
    }

    /// A picture of 3 by 2 pixels, named row by row `abc def`.
    fn laid(orientation: Orientation) -> String {
        let stored: Vec<u8> = b"abcdef".iter().flat_map(|name| [*name; 4]).collect();
        let mut target = vec![0; stored.len()];
        orientation.lay(&stored, 12, (3, 2), &mut target);
        target
            .chunks_exact(4)
            .map(|pixel| char::from(pixel[0]))
            .collect()
    }

    /// The four quarter turns as ISO/IEC 14496-12 writes them, and each of
    /// them after a left-right mirroring.
    #[test]
    fn all_eight_matrices_lay_pixels_and_tell_their_turn() {
        for (matrix, expected, degrees, mirrored) in [
            ([1, 0, 0, 1], "abcdef", 0, false),
            ([0, 1, -1, 0], "daebfc", 90, false),
            ([-1, 0, 0, -1], "fedcba", 180, false),
            ([0, -1, 1, 0], "cfbead", 270, false),
            ([-1, 0, 0, 1], "cbafed", 0, true),
            ([0, -1, -1, 0], "fcebda", 90, true),
            ([1, 0, 0, -1], "defabc", 180, true),
            ([0, 1, 1, 0], "adbecf", 270, true),
        ] {
            let orientation = turned(matrix);
            assert_eq!(laid(orientation), expected, "{matrix:?}");
            let told = (orientation.degrees(), orientation.mirrored());
            assert_eq!(told, (degrees, mirrored), "{matrix:?}");
        }
    }

    #[test]
    fn turning_twice_gives_the_size_back() {
        let orientation = turned([0, 1, -1, 0]);
        assert_eq!(orientation.turn_size((3, 2)), (2, 3));
        assert_eq!(orientation.turn_size(orientation.turn_size((3, 2))), (3, 2));
    }

    #[test]
    fn short_side_data_is_no_orientation() {
        assert_eq!(Orientation::from_bytes(&[0; 35]), None);
    }

    /// Large enough for several tiles with a rest on both sides.
    #[test]
    fn tiles_meet_without_gaps() {
        let (width, height) = (70_u32, 45_u32);
        let stored: Vec<u8> = (0..width * height).flat_map(u32::to_le_bytes).collect();
        let mut target = vec![0xff; stored.len()];
        turned([0, 1, -1, 0]).lay(&stored, width as usize * 4, (width, height), &mut target);
        for (at, pixel) in target.chunks_exact(4).enumerate() {
            let (x, y) = (at as u32 % height, at as u32 / height);
            let number = u32::from_le_bytes([pixel[0], pixel[1], pixel[2], pixel[3]]);
            assert_eq!(number, (height - 1 - x) * width + y, "at {x}, {y}");
        }
    }
}
