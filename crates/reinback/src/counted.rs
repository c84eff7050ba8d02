//! Counts with the word for what is counted.

use std::fmt::Display;

/// "1 note", "3 notes".
#[must_use]
pub fn counted<N: Copy + Display + PartialEq + From<u8>>(
    count: N,
    one: &str,
    many: &str,
) -> String {
    let word = if count == N::from(1) { one } else { many };
    format!("{count} {word}")
}
