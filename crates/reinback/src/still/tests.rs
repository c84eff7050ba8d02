//! Stills read back by another reader of PNG files.

use std::sync::Arc;

use reinback_film::FilmTime;

use super::*;

const COLOURS: Colours = Colours {
    bar: [250, 245, 240],
    ink: [20, 20, 20],
};

/// A frame in which every pixel is another colour.
fn frame(width: u32, height: u32) -> Frame {
    let pixels = (0..width * height).flat_map(|at| {
        let mixed = at.wrapping_mul(2_654_435_761);
        [
            (mixed >> 8) as u8,
            (mixed >> 16) as u8,
            (mixed >> 24) as u8,
            255,
        ]
    });
    Frame {
        time: FilmTime(0),
        end: None,
        width,
        height,
        rgba: pixels.collect::<Vec<u8>>().into(),
    }
}

fn panel(width: u32, height: u32, mirrored: bool) -> Panel {
    Panel {
        frame: frame(width, height),
        mirrored,
        lines: vec![
            "Sonnet, lesson, 20 November 2026".into(),
            "half-pass, left: quarters trailing".into(),
        ],
    }
}

/// The pixel of a frame, left for right where it is mirrored.
fn of_frame(panel: &Panel, x: u32, y: u32) -> [u8; 3] {
    let frame = &panel.frame;
    let x = if panel.mirrored {
        frame.width - 1 - x
    } else {
        x
    };
    let at = (y * frame.width + x) as usize * 4;
    [frame.rgba[at], frame.rgba[at + 1], frame.rgba[at + 2]]
}

#[test]
fn every_pixel_of_the_frame_is_in_the_file_and_the_words_are_beneath() {
    for panels in [
        vec![panel(320, 180, false)],
        vec![panel(161, 121, true)],
        vec![panel(320, 180, false), panel(180, 240, true)],
    ] {
        let still = compose(&panels, COLOURS).unwrap();
        let bytes = still.encode(&[]).unwrap();
        let read = image::load_from_memory_with_format(&bytes, image::ImageFormat::Png);
        let read = read.unwrap().to_rgb8();
        assert_eq!((read.width(), read.height()), (still.width, still.height));
        let mut left = 0;
        for panel in &panels {
            let (wide, high) = (panel.frame.width, panel.frame.height);
            for (x, y) in (0..high).flat_map(|y| (0..wide).map(move |x| (x, y))) {
                let found = read.get_pixel(left + x, y).0;
                assert_eq!(found, of_frame(panel, x, y), "at {x}, {y}");
            }
            // Words in dark ink on the bar, none of it cut off at its lower edge.
            let beneath = (high..still.height)
                .flat_map(|y| (left..left + wide).map(move |x| (x, y)))
                .map(|(x, y)| read.get_pixel(x, y).0);
            let dark = beneath.filter(|pixel| pixel[0] < 80).count();
            assert!(dark > 50, "only {dark} pixels of ink");
            left += wide;
        }
        let last = (0..still.width).map(|x| read.get_pixel(x, still.height - 1).0);
        assert!(last.into_iter().all(|pixel| pixel == COLOURS.bar));
    }
}

/// Decoded by the png crate's reader, which is not what wrote them.
#[test]
fn texts_are_in_the_file_in_any_script() {
    let texts = [
        ("Title", "Sonnet, 20 November 2026".to_owned()),
        ("Description", "traversale à gauche — Ü ж 馬".to_owned()),
    ];
    let still = compose(&[panel(64, 48, false)], COLOURS).unwrap();
    let bytes = still.encode(&texts).unwrap();
    let reader = png::Decoder::new(std::io::Cursor::new(bytes))
        .read_info()
        .unwrap();
    let found: Vec<(String, String)> = reader
        .info()
        .utf8_text
        .iter()
        .map(|chunk| (chunk.keyword.clone(), chunk.get_text().unwrap()))
        .collect();
    let expected = texts.map(|(keyword, text)| (keyword.to_owned(), text));
    assert_eq!(found, expected);
}

#[test]
fn without_words_there_is_no_bar() {
    let mut bare = panel(40, 30, false);
    bare.lines.clear();
    let still = compose(&[bare], COLOURS).unwrap();
    assert_eq!((still.width, still.height), (40, 30));
}

#[test]
fn what_does_not_fit_into_memory_is_refused() {
    let huge = |width| Panel {
        frame: Frame {
            time: FilmTime(0),
            end: None,
            width,
            height: 1,
            rgba: Arc::from([]),
        },
        mirrored: false,
        lines: Vec::new(),
    };
    let found = compose(&[huge(u32::MAX), huge(2)], COLOURS);
    assert!(matches!(found, Err(StillError::TooLarge)));
}
