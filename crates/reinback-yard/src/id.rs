//! Random, stable names for things, so that two copies of a yard merge thing by thing.

use std::fmt;
use std::str::FromStr;

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident;)*) => { $(
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(u64);

        impl $name {
            /// The id with exactly these bits; for readers of files and for tests.
            #[must_use]
            pub const fn from_bits(bits: u64) -> Self {
                Self(bits)
            }

            /// The bits behind the id.
            #[must_use]
            pub const fn bits(self) -> u64 {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{:016x}", self.0)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{}({self})", stringify!($name))
            }
        }

        impl FromStr for $name {
            type Err = IdError;

            /// Reads the 16 hexadecimal digits that `Display` writes.
            fn from_str(text: &str) -> Result<Self, IdError> {
                bits_from_text(text).map($name)
            }
        }

        impl From<u64> for $name {
            fn from(bits: u64) -> Self {
                Self(bits)
            }
        }
    )* };
}

ids! {
    /// Names a horse.
    HorseId;
    /// Names a ride.
    RideId;
    /// Names a film within a ride.
    FilmId;
    /// Names a bout within a ride.
    BoutId;
    /// Names a mark within a ride.
    MarkId;
    /// Names a pace or outline span within a ride.
    SpanId;
    /// Names one person's review of a ride.
    ReviewId;
    /// Names a test sheet.
    SheetId;
}

/// Why a text is no id.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("“{text}” is not an id: 16 digits 0-9 or a-f are expected")]
pub struct IdError {
    /// What was found instead.
    pub text: String,
}

fn bits_from_text(text: &str) -> Result<u64, IdError> {
    let hex = |b: u8| b.is_ascii_digit() || (b'a'..=b'f').contains(&b);
    let error = || IdError {
        text: text.chars().take(40).collect(),
    };
    if text.len() != 16 || !text.bytes().all(hex) {
        return Err(error());
    }
    u64::from_str_radix(text, 16).ok().ok_or_else(error)
}

/// Makes ids: unpredictable for a rider's yard, repeatable from a seed for tests and the demo.
///
/// The generator is `SplitMix64` (Steele, Lea and Flood, "Fast splittable pseudorandom number
/// generators", OOPSLA 2014).
#[derive(Clone, Debug)]
pub struct IdMaker {
    state: u64,
}

impl IdMaker {
    /// Always gives the same ids in the same order.
    #[must_use]
    pub const fn seeded(seed: u64) -> Self {
        Self { state: seed }
    }

    /// Starts from the operating system's randomness.
    #[must_use]
    pub fn from_entropy() -> Self {
        use std::hash::{BuildHasher as _, Hasher as _};
        // The standard library seeds `RandomState` from the system's random source.
        let mut state = 0_u64;
        for _ in 0..2 {
            let hasher = std::collections::hash_map::RandomState::new().build_hasher();
            state = hasher.finish() ^ state.rotate_left(17);
        }
        Self { state }
    }

    /// The next id, of whatever kind is asked for.
    #[expect(
        clippy::should_implement_trait,
        reason = "an iterator could give ids of one kind only"
    )]
    pub fn next<Id: From<u64>>(&mut self) -> Id {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        Id::from(z ^ (z >> 31))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_round_trip() {
        let mut maker = IdMaker::seeded(7);
        for _ in 0..100 {
            let id: BoutId = maker.next();
            assert_eq!(
                id.to_string().parse(),
                Ok(id),
                "an id must survive its text"
            );
        }
    }

    #[test]
    fn rejects_what_is_no_id() {
        for text in [
            "",
            "12",
            "0123456789abcdeg",
            "0123456789ABCDEF",
            "0123456789abcdef0",
            "+123456789abcdef",
        ] {
            assert!(
                text.parse::<MarkId>().is_err(),
                "{text:?} must not read as an id"
            );
        }
    }

    /// First outputs of `SplitMix64` from seed 0, as the reference C implementation by
    /// S. Vigna (prng.di.unimi.it, splitmix64.c) gives them; values recalled from memory.
    #[test]
    fn generator_matches_reference() {
        let mut maker = IdMaker::seeded(0);
        let got: Vec<u64> = (0..3).map(|_| maker.next::<BoutId>().bits()).collect();
        assert_eq!(
            got,
            [
                0xe220_a839_7b1d_cdaf,
                0x6e78_9e6a_a1b9_65f4,
                0x06c4_5d18_8009_454f
            ]
        );
    }

    #[test]
    fn entropy_differs() {
        let (mut a, mut b) = (IdMaker::from_entropy(), IdMaker::from_entropy());
        assert_ne!(a.next::<RideId>(), b.next::<RideId>());
    }
}
