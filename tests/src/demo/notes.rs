//! What the rider writes beside it.

use super::dice::Dice;
use super::scenario::{Day, Horse, Kind};

/// Words to a fault, for some of them.
pub(super) fn on_fault(fault: &str, dice: &mut Dice) -> &'static str {
    let words: &[&str] = match fault {
        "late-behind" => &[
            "right hind a stride late",
            "asked too late, my own doing",
            "flat canter before, so late behind",
            "needs more jump first",
            "half-halt came too late",
        ],
        "quickened" => &[
            "rushed away after it",
            "breathe, then ask",
            "tempo up after it",
        ],
        "quarters-trailing" => &[
            "quarters left behind from the middle on",
            "more outside leg before it starts",
            "too much sideways too soon",
            "ran out of room, shoulders too far ahead",
        ],
        "not-bent" => &["no bend left of it at X", "lost my inside leg"],
        "not-square" => &[
            "left hind out behind",
            "square in front only",
            "rode the last step with my hand",
            "a hind leg left out again",
        ],
        "not-immobile" => &[
            "looked at the door",
            "a step before I saluted",
            "counted to two, no further",
        ],
        "through-walk" => &["two walk steps into it", "dribbled into it"],
        "hind-leg-resting" => &["stood too long"],
        "stepped-back" => &["took too long with the hand"],
        "miscount" => &["counted one short", "lost count at the third"],
        "missed-one" => &["the last one did not come"],
        "angle-varied" => &["lost the angle at B", "steeper and flatter by turns"],
        "hurried" => &["running, not reaching"],
        "trot-steps" => &["two trot steps", "needs to sit more before"],
        "fell-in" => &["fell in towards the gate"],
        "wrong-lead" => &["wrong lead, quietly again"],
        "travelled-forward" => &["a hoof's width each step is plenty"],
        "too-large" => &["a volte, not a pirouette"],
        "tempo-ran" => &["tempo up, did not notice at the time"],
        "contact-unsteady" => &["my left hand"],
        _ => &["again from a better preparation", "half-halt missing"],
    };
    if dice.percent(38) {
        dice.pick(words).copied().unwrap_or_default()
    } else {
        ""
    }
}

/// Words to praise.
pub(super) fn on_praise(exercise: &str, dice: &mut Dice) -> &'static str {
    let words: &[&str] = match exercise {
        "flying-change" => &[
            "through and straight",
            "that one was light",
            "clean, uphill",
        ],
        "half-pass" => &["could have gone on for ever", "bent and forward"],
        "halt" => &["square, on the aids, still", "all four and a chewing mouth"],
        "piaffe" => &["sat down and waited", "even, on the spot"],
        "passage" => &["like a swing"],
        "trot-canter" | "walk-trot" => &["from the seat alone", "right on the aid"],
        _ => &["more of this", "soft", "good"],
    };
    if dice.percent(60) {
        dice.pick(words).copied().unwrap_or_default()
    } else {
        ""
    }
}

/// A note on its own somewhere in the ride.
pub(super) fn aside(dice: &mut Dice) -> &'static str {
    const WORDS: &[&str] = &[
        "tractor along the fence, all ears",
        "blowing out, walk now",
        "much looser after the break",
        "look at this on the film again",
        "my shoulders!",
        "wind in the hedge",
        "sand deep at C after the rain",
        "trainer: ride the corner, then the line",
        "trainer: less hand, more patience",
        "long rein, snorting, happy",
    ];
    dice.pick(WORDS).copied().unwrap_or_default()
}

/// A few words over the ride.
pub(super) const fn title(kind: Kind) -> &'static str {
    match kind {
        Kind::Lesson => "lesson",
        Kind::Schooling => "schooling",
        Kind::Light => "hack and light work",
        Kind::Test => "test riding, Intermediate I",
        Kind::Evening => "schooling, filmed",
    }
}

/// What the rider writes about the ride, for most of them.
pub(super) fn on_ride(horse: &Horse, day: Day, dice: &mut Dice) -> &'static str {
    if day.kind == Kind::Evening {
        return "Filmed from B. The changes wait for me now. The halts stood tonight, for once.";
    }
    let words: &[&str] = match (horse.name, day.kind) {
        ("Sonnet", Kind::Light) => &[
            "Forty minutes round the fields first, then easy work. Fresh.",
            "Hacked out, then suppleness only.",
        ],
        ("Sonnet", Kind::Test) => &[
            "Rode the test through twice in pieces. Lines good.",
            "Test lines without the pressure. Centre line straight, halts not.",
        ],
        ("Sonnet", _) if day.date.0 >= 11 => &[
            "The changes wait for me now. The halts do not.",
            "Stopped the changes early, they were good. Halts next.",
            "Left half-pass still asks for more preparation than the right.",
        ],
        ("Sonnet", _) if day.date.0 == 10 => &[
            "Canter has more jump; fewer late changes when I wait.",
            "Better balance before the change. Half-pass left as ever.",
            "Good work in the middle, tired at the end, stopped there.",
        ],
        ("Sonnet", _) => &[
            "Late changes again. More canter, fewer changes?",
            "Half-halts before the change, not in it.",
            "Warm evening. Plenty of walk.",
        ],
        ("Quill", _) => &[
            "Brave past the mounting block. Canter is coming.",
            "Short and sweet. Stretched right down at the end.",
            "A little strong at first, then all ears.",
        ],
        _ => &[
            "He teaches, I listen. Piaffe from a breath.",
            "Long warm-up, short work, long walk.",
            "Stiff at first, much freer after the first canter.",
        ],
    };
    if dice.percent(75) {
        dice.pick(words).copied().unwrap_or_default()
    } else {
        ""
    }
}
