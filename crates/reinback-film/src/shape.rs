//! How large a picture is on screen, and how it is laid there.

use crate::orient::Orientation;

/// How the pixels of one film have to be shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Shape {
    pub(crate) orientation: Orientation,
    /// Width of a stored pixel by its height; above zero.
    pub(crate) pixel_aspect: f64,
}

impl Shape {
    /// The size on screen of a stored picture. The longer side of a pixel is
    /// stretched, so that nothing that was filmed is lost.
    pub(crate) fn shown_size(&self, stored: (u32, u32)) -> (u32, u32) {
        self.orientation.turn_size(self.square(stored))
    }

    fn square(&self, (width, height): (u32, u32)) -> (u32, u32) {
        let stretch = |side: u32, by: f64| ((f64::from(side) * by).round() as u32).max(1);
        if self.pixel_aspect >= 1.0 {
            (stretch(width, self.pixel_aspect), height)
        } else {
            (width, stretch(height, 1.0 / self.pixel_aspect))
        }
    }

    /// The size to scale a stored picture to, still unturned.
    pub(crate) fn scaled(&self, stored: (u32, u32), max_side: u32) -> (u32, u32) {
        let (width, height) = self.square(stored);
        let longer = width.max(height);
        if longer <= max_side {
            return (width, height);
        }
        let by = f64::from(max_side) / f64::from(longer);
        let fit = |side: u32| ((f64::from(side) * by).round() as u32).clamp(1, max_side);
        (fit(width), fit(height))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shape(pixel_aspect: f64) -> Shape {
        Shape {
            orientation: Orientation::UPRIGHT,
            pixel_aspect,
        }
    }

    #[test]
    fn pixels_that_are_not_square_are_stretched() {
        for (stored, aspect, expected) in [
            ((800, 640), 1137.0 / 800.0, (1137, 640)),
            ((1440, 1080), 4.0 / 3.0, (1920, 1080)),
            ((100, 100), 0.5, (100, 200)),
            ((161, 121), 1.0, (161, 121)),
        ] {
            assert_eq!(shape(aspect).shown_size(stored), expected);
        }
    }

    #[test]
    fn neither_side_exceeds_the_largest_wanted() {
        for (stored, max_side, expected) in [
            ((3840, 2160), 1920, (1920, 1080)),
            ((1080, 1920), 960, (540, 960)),
            ((640, 480), 1920, (640, 480)),
            ((4000, 1), 100, (100, 1)),
        ] {
            assert_eq!(shape(1.0).scaled(stored, max_side), expected);
        }
    }
}
