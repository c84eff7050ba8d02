//! The short films: what is ridden in each, and their scripts for `cargo xtask film`.

use std::fs;
use std::path::Path;

use super::Failure;
use super::scene::{Drawn, LEFT, RIGHT, Scene};

use Drawn::{Broke, Clean, Dropped, LateBehind, Ran, SteppedBack, ThroughWalk, Trailing};
use Scene::{
    CanterTrot, Change, Fourths, HalfPass, Halt, LongRein, Ones, Onto, Passage, Piaffe, ShoulderIn,
    Stretching, Strike, Trot, TrotCanter, TrotWalk, Walk, WalkTrot, WorkingCanter, WorkingTrot,
};

/// A horse as it is drawn: its coat, and the seed of its markings and of the yard behind it.
struct Drawing {
    coat: &'static str,
    seed: u32,
}

/// As in the film of the evening ride.
const SONNET: Drawing = Drawing {
    coat: "Chestnut",
    seed: 23,
};
const QUILL: Drawing = Drawing {
    coat: "Bay",
    seed: 31,
};
const MARLOW: Drawing = Drawing {
    coat: "Grey",
    seed: 47,
};

/// A short film as it is to be drawn.
struct Film {
    /// `<date>-<horse>`.
    name: &'static str,
    title: &'static str,
    horse: Drawing,
    light: &'static str,
    /// Metres from A.
    from_a: u32,
    scenes: &'static [Scene],
}

const FILMS: &[Film] = &[
    Film {
        name: "2026-09-01-sonnet",
        title: "Sonnet, 1 September",
        horse: SONNET,
        light: "Evening",
        from_a: 20,
        scenes: &[
            Trot(5),
            HalfPass(RIGHT, Clean),
            Onto(LEFT),
            HalfPass(LEFT, Trailing),
            Onto(RIGHT),
            Strike(RIGHT),
            Change(LEFT, LateBehind),
            Change(RIGHT, Clean),
            Change(LEFT, LateBehind),
            Change(RIGHT, LateBehind),
            Trot(3),
            Halt(Clean),
            LongRein(5),
        ],
    },
    Film {
        name: "2026-09-12-sonnet",
        title: "Sonnet, 12 September",
        horse: SONNET,
        light: "Morning",
        from_a: 60,
        scenes: &[
            Walk(4),
            Trot(4),
            HalfPass(RIGHT, Clean),
            Onto(LEFT),
            HalfPass(LEFT, Clean),
            Onto(RIGHT),
            Halt(Clean),
            Trot(3),
            Strike(RIGHT),
            Change(LEFT, LateBehind),
            Change(RIGHT, Ran),
            Change(LEFT, Clean),
            Trot(3),
            Halt(Clean),
            LongRein(4),
        ],
    },
    Film {
        name: "2026-09-25-sonnet",
        title: "Sonnet, 25 September",
        horse: SONNET,
        light: "Overcast",
        from_a: 10,
        scenes: &[
            Trot(4),
            ShoulderIn(RIGHT),
            HalfPass(RIGHT, Clean),
            Onto(LEFT),
            HalfPass(LEFT, Trailing),
            Onto(RIGHT),
            Strike(RIGHT),
            Change(LEFT, LateBehind),
            Change(RIGHT, LateBehind),
            Fourths(LateBehind),
            Trot(3),
            Halt(Clean),
            LongRein(4),
        ],
    },
    Film {
        name: "2026-10-10-sonnet",
        title: "Sonnet, 10 October",
        horse: SONNET,
        light: "Morning",
        from_a: 30,
        scenes: &[
            Trot(4),
            HalfPass(RIGHT, Clean),
            Onto(LEFT),
            HalfPass(LEFT, Trailing),
            Onto(RIGHT),
            HalfPass(RIGHT, Clean),
            Onto(RIGHT),
            Strike(RIGHT),
            Change(LEFT, Clean),
            Change(RIGHT, LateBehind),
            Change(LEFT, Clean),
            Change(RIGHT, Ran),
            Trot(3),
            Halt(Clean),
            LongRein(3),
        ],
    },
    Film {
        name: "2026-10-24-sonnet",
        title: "Sonnet, 24 October",
        horse: SONNET,
        light: "Overcast",
        from_a: 75,
        scenes: &[
            Walk(3),
            Trot(3),
            Halt(Clean),
            Trot(4),
            HalfPass(RIGHT, Clean),
            Onto(LEFT),
            HalfPass(LEFT, Clean),
            Onto(RIGHT),
            Strike(RIGHT),
            Change(LEFT, Clean),
            Change(RIGHT, LateBehind),
            Change(LEFT, Clean),
            Trot(4),
            Halt(ThroughWalk),
            LongRein(4),
        ],
    },
    Film {
        name: "2026-11-07-sonnet",
        title: "Sonnet, 7 November",
        horse: SONNET,
        light: "Overcast",
        from_a: 15,
        scenes: &[
            Trot(4),
            HalfPass(RIGHT, Clean),
            Onto(LEFT),
            HalfPass(LEFT, Trailing),
            Onto(RIGHT),
            Halt(SteppedBack),
            Trot(3),
            Strike(RIGHT),
            Change(LEFT, Clean),
            Change(RIGHT, Clean),
            Change(LEFT, Clean),
            Change(RIGHT, Clean),
            Trot(4),
            Halt(ThroughWalk),
            LongRein(3),
        ],
    },
    Film {
        name: "2026-11-14-sonnet",
        title: "Sonnet, 14 November",
        horse: SONNET,
        light: "Morning",
        from_a: 45,
        scenes: &[
            Trot(3),
            Halt(ThroughWalk),
            Trot(3),
            HalfPass(RIGHT, Clean),
            Onto(LEFT),
            HalfPass(LEFT, Clean),
            Onto(RIGHT),
            Strike(RIGHT),
            Change(LEFT, Clean),
            Change(RIGHT, Clean),
            Fourths(Clean),
            Trot(3),
            Halt(Clean),
            LongRein(5),
        ],
    },
    Film {
        name: "2026-09-19-quill",
        title: "Quill, 19 September",
        horse: QUILL,
        light: "Morning",
        from_a: 5,
        scenes: &[
            LongRein(3),
            WalkTrot(Clean),
            WorkingTrot(10, Ran),
            TrotWalk(Broke),
            WalkTrot(Ran),
            TrotCanter(RIGHT, Clean),
            WorkingCanter(RIGHT, 10, Broke),
            CanterTrot(RIGHT),
            Stretching(7),
            LongRein(3),
        ],
    },
    Film {
        name: "2026-11-08-quill",
        title: "Quill, 8 November",
        horse: QUILL,
        light: "Overcast",
        from_a: 50,
        scenes: &[
            WalkTrot(Clean),
            WorkingTrot(9, Clean),
            TrotWalk(Clean),
            WalkTrot(Clean),
            TrotCanter(RIGHT, Ran),
            WorkingCanter(RIGHT, 12, Clean),
            CanterTrot(RIGHT),
            Stretching(8),
            Halt(ThroughWalk),
            LongRein(3),
        ],
    },
    Film {
        name: "2026-10-18-marlow",
        title: "Marlow, 18 October",
        horse: MARLOW,
        light: "Morning",
        from_a: 25,
        scenes: &[
            Trot(4),
            Passage(9, Clean),
            Piaffe(8),
            Passage(8, Dropped),
            Trot(3),
            Strike(RIGHT),
            Ones(LateBehind),
            Trot(3),
            Halt(Clean),
            LongRein(5),
        ],
    },
];

/// Writes every script into the folder of the films.
///
/// # Errors
/// A file cannot be written.
pub fn write_scripts(folder: &Path) -> Result<(), Failure> {
    fs::create_dir_all(folder)?;
    for film in FILMS {
        let path = folder.join(format!("{}.script.ron", film.name));
        fs::write(path, film.text())?;
    }
    Ok(())
}

impl Film {
    fn text(&self) -> String {
        let mut text = format!(
            "// A short film of the demo yard, written by `demo_yard`. Horse, rider and day are made up.\n\
             // The format is described in README.md.\n(\n    title: \"{}\",\n    fps: 25,\n    \
             size: (854, 480),\n    seed: {},\n    coat: {},\n    light: {},\n    from_a: {}.0,\n    \
             wander: 0.012,\n    segments: [\n",
            self.title, self.horse.seed, self.horse.coat, self.light, self.from_a
        );
        for scene in self.scenes {
            text.push_str(&scene.text());
        }
        text.push_str("    ],\n)\n");
        text
    }
}
