//! What is ridden in the large yard: some of the words a new yard starts with.

/// One exercise as it is ridden there. Shares and rates are invented.
#[derive(Debug)]
pub(super) struct Exercise {
    /// Its word.
    pub(super) id: &'static str,
    /// Whether there is a left and a right of it.
    pub(super) sided: bool,
    /// The variants ridden.
    pub(super) variants: &'static [&'static str],
    /// The youngest training that rides it, 0 to 4.
    pub(super) level: u32,
    /// How often it is ridden beside the others.
    pub(super) share: f64,
    /// Faulty attempts of a horse like any other, as a chance.
    pub(super) faulty: f64,
    /// Seconds an attempt takes, from and to.
    pub(super) seconds: (f64, f64),
    /// Strides between changes, in a series of them; 0 is a single change.
    pub(super) changes: Option<u32>,
    /// What goes wrong, the most usual first.
    pub(super) faults: &'static [&'static str],
}

const fn row(
    id: &'static str,
    (level, share, faulty_share): (u32, f64, f64),
    seconds: (f64, f64),
    faults: &'static [&'static str],
) -> Exercise {
    Exercise {
        id,
        sided: false,
        variants: &[],
        level,
        share,
        faulty: faulty_share,
        seconds,
        changes: None,
        faults,
    }
}

impl Exercise {
    const fn sided(self, variants: &'static [&'static str]) -> Self {
        Self {
            sided: true,
            variants,
            ..self
        }
    }

    const fn changes(self, every: u32) -> Self {
        Self {
            changes: Some(every),
            ..self
        }
    }
}

/// All of them.
pub(super) const ALL: &[Exercise] = &[
    row(
        "walk",
        (0, 3.0, 0.10),
        (15.0, 28.0),
        &["hurried", "lateral", "short"],
    ),
    row(
        "trot",
        (0, 4.0, 0.14),
        (15.0, 30.0),
        &["hurried", "irregular", "flat"],
    ),
    row(
        "canter",
        (0, 5.0, 0.16),
        (12.0, 26.0),
        &["four-beat", "quarters-in", "flat"],
    )
    .sided(&["working", "collected"]),
    row(
        "circle",
        (0, 5.0, 0.18),
        (14.0, 24.0),
        &["not-round", "fell-out", "bend-lost"],
    )
    .sided(&["20-m", "10-m"]),
    row(
        "trot-canter",
        (0, 4.0, 0.22),
        (4.0, 8.0),
        &["late", "wrong-lead", "hollow"],
    )
    .sided(&[]),
    row(
        "trot-walk",
        (0, 3.0, 0.20),
        (4.0, 8.0),
        &["abrupt", "hollow", "late"],
    ),
    row(
        "leg-yield",
        (0, 4.0, 0.24),
        (8.0, 14.0),
        &["quarters-trailing", "too-much-bend"],
    )
    .sided(&["in-trot", "in-walk"]),
    row(
        "halt",
        (0, 3.0, 0.26),
        (4.0, 9.0),
        &["not-square", "not-immobile", "drifting"],
    ),
    row(
        "shoulder-in",
        (1, 6.0, 0.22),
        (8.0, 15.0),
        &["angle-varied", "neck-bend-only", "tilted"],
    )
    .sided(&["in-trot", "in-canter"]),
    row(
        "travers",
        (1, 4.0, 0.24),
        (8.0, 15.0),
        &["too-little-bend", "tilted", "drifting"],
    )
    .sided(&["in-trot", "in-canter"]),
    row(
        "medium-trot",
        (1, 3.0, 0.20),
        (6.0, 11.0),
        &["hurried", "uneven", "flat"],
    ),
    row(
        "counter-canter",
        (1, 3.0, 0.21),
        (8.0, 15.0),
        &["changed-lead", "quarters-out"],
    )
    .sided(&[]),
    row(
        "simple-change",
        (1, 3.0, 0.28),
        (6.0, 10.0),
        &["trot-steps", "no-walk", "abrupt"],
    )
    .sided(&[]),
    row(
        "half-pass",
        (2, 7.0, 0.30),
        (7.0, 13.0),
        &["quarters-trailing", "not-bent", "tilted"],
    )
    .sided(&["in-trot", "in-canter"]),
    row(
        "rein-back",
        (2, 2.0, 0.25),
        (4.0, 8.0),
        &["not-diagonal", "crooked", "hurried"],
    ),
    row(
        "flying-change",
        (2, 8.0, 0.30),
        (4.0, 8.0),
        &["late-behind", "swinging", "crooked"],
    )
    .sided(&[])
    .changes(0),
    row(
        "changes-every-4th-stride",
        (2, 5.0, 0.32),
        (0.0, 0.0),
        SERIES,
    )
    .changes(4),
    row(
        "changes-every-3rd-stride",
        (2, 6.0, 0.36),
        (0.0, 0.0),
        SERIES,
    )
    .changes(3),
    row(
        "changes-every-2nd-stride",
        (3, 5.0, 0.38),
        (0.0, 0.0),
        SERIES,
    )
    .changes(2),
    row("changes-every-stride", (4, 4.0, 0.42), (0.0, 0.0), SERIES).changes(1),
    row(
        "half-pirouette-in-canter",
        (3, 4.0, 0.34),
        (5.0, 9.0),
        &["too-large", "canter-lost"],
    )
    .sided(&[]),
    row(
        "working-pirouette",
        (3, 3.0, 0.30),
        (6.0, 11.0),
        &["too-quick", "fell-in"],
    )
    .sided(&[]),
    row(
        "piaffe",
        (4, 4.0, 0.36),
        (6.0, 14.0),
        &["irregular", "travelled-forward", "crossing"],
    ),
    row(
        "passage",
        (4, 4.0, 0.30),
        (10.0, 20.0),
        &["irregular", "dragging-behind", "uneven"],
    ),
];

const SERIES: &[&str] = &[
    "miscount",
    "late-behind",
    "swinging",
    "missed-one",
    "uneven",
];

/// What the horse is called at each level of training.
pub(super) const STAGES: [&str; 5] = [
    "young horse",
    "Medium",
    "Prix St Georges",
    "Intermediate II",
    "Grand Prix",
];
