//! Numbers and texts as bytes, and back with care.

use super::codes::Coded;

/// Bytes being written.
#[derive(Debug, Default)]
pub(crate) struct Output {
    bytes: Vec<u8>,
    /// What [`Output::step`] counts from.
    last: i64,
}

impl Output {
    pub(crate) fn into_bytes(self) -> Vec<u8> {
        self.bytes
    }

    pub(crate) fn raw(&mut self, bytes: &[u8]) {
        self.bytes.extend_from_slice(bytes);
    }

    pub(crate) fn byte(&mut self, byte: u8) {
        self.bytes.push(byte);
    }

    pub(crate) fn flag(&mut self, flag: bool) {
        self.byte(flag.into());
    }

    /// Eight bytes, the lowest first.
    pub(crate) fn fixed(&mut self, bits: u64) {
        self.raw(&bits.to_le_bytes());
    }

    /// Seven bits a byte, the lowest first (LEB128): small numbers take one.
    pub(crate) fn number(&mut self, mut number: u64) {
        while number >= 0x80 {
            self.byte(number as u8 | 0x80);
            number >>= 7;
        }
        self.byte(number as u8);
    }

    /// A number that is small on either side of zero.
    pub(crate) fn signed(&mut self, number: i64) {
        self.number(((number << 1) ^ (number >> 63)).cast_unsigned());
    }

    /// A number near the one before.
    pub(crate) fn step(&mut self, number: i64) {
        self.signed(number.wrapping_sub(self.last));
        self.last = number;
    }

    pub(crate) fn text(&mut self, text: &str) {
        self.number(text.len() as u64);
        self.raw(text.as_bytes());
    }

    pub(crate) fn maybe<T>(&mut self, value: Option<T>, write: impl FnOnce(&mut Self, T)) {
        self.flag(value.is_some());
        if let Some(value) = value {
            write(self, value);
        }
    }

    /// Columns, each with its length before it.
    pub(super) fn columns<const N: usize>(&mut self, count: usize, columns: [Self; N]) {
        self.number(count as u64);
        for column in columns {
            self.number(column.bytes.len() as u64);
            self.raw(&column.bytes);
        }
    }
}

/// Bytes being read. Every reader gives `None` for bytes that were not written by its like.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Input<'a> {
    rest: &'a [u8],
    last: i64,
}

impl<'a> Input<'a> {
    pub(crate) fn new(bytes: &'a [u8]) -> Self {
        Self {
            rest: bytes,
            last: 0,
        }
    }

    /// Whether everything has been read.
    pub(crate) fn ended(&self) -> bool {
        self.rest.is_empty()
    }

    pub(crate) fn raw(&mut self, length: usize) -> Option<&'a [u8]> {
        let (bytes, rest) = self.rest.split_at_checked(length)?;
        self.rest = rest;
        Some(bytes)
    }

    pub(crate) fn byte(&mut self) -> Option<u8> {
        let (byte, rest) = self.rest.split_first()?;
        self.rest = rest;
        Some(*byte)
    }

    pub(crate) fn flag(&mut self) -> Option<bool> {
        match self.byte()? {
            0 => Some(false),
            1 => Some(true),
            _ => None,
        }
    }

    pub(crate) fn fixed(&mut self) -> Option<u64> {
        let (bytes, rest) = self.rest.split_first_chunk()?;
        self.rest = rest;
        Some(u64::from_le_bytes(*bytes))
    }

    pub(crate) fn number(&mut self) -> Option<u64> {
        let mut number = 0_u64;
        for place in (0..64).step_by(7) {
            let byte = self.byte()?;
            let bits = u64::from(byte & 0x7f);
            // The tenth byte holds one bit.
            if place == 63 && bits > 1 {
                return None;
            }
            number |= bits << place;
            if byte < 0x80 {
                return Some(number);
            }
        }
        None
    }

    pub(crate) fn small<T: TryFrom<u64>>(&mut self) -> Option<T> {
        self.number()?.try_into().ok()
    }

    pub(crate) fn signed(&mut self) -> Option<i64> {
        let number = self.number()?;
        Some((number >> 1).cast_signed() ^ -(number & 1).cast_signed())
    }

    pub(crate) fn signed_small<T: TryFrom<i64>>(&mut self) -> Option<T> {
        self.signed()?.try_into().ok()
    }

    pub(crate) fn step(&mut self) -> Option<i64> {
        self.last = self.last.wrapping_add(self.signed()?);
        Some(self.last)
    }

    pub(crate) fn text(&mut self) -> Option<String> {
        self.str().map(str::to_owned)
    }

    pub(crate) fn str(&mut self) -> Option<&'a str> {
        let length = self.small()?;
        std::str::from_utf8(self.raw(length)?).ok()
    }

    pub(super) fn coded<T: Coded>(&mut self) -> Option<T> {
        T::of_code(self.byte()?)
    }

    /// `Some(None)` where nothing was written.
    #[expect(
        clippy::option_option,
        reason = "the outer one is every reader's, the inner one is what is read"
    )]
    pub(crate) fn maybe<T>(
        &mut self,
        read: impl FnOnce(&mut Self) -> Option<T>,
    ) -> Option<Option<T>> {
        if self.flag()? {
            read(self).map(Some)
        } else {
            Some(None)
        }
    }

    /// Reads the things of which [`Output::columns`] has written the columns. `least` is what the
    /// first column holds of each, so that a wrong count takes no memory.
    pub(super) fn columns<const N: usize, T>(
        &mut self,
        least: usize,
        mut read: impl FnMut(&mut [Self; N]) -> Option<T>,
    ) -> Option<Vec<T>> {
        let count: usize = self.small()?;
        let mut columns = [Self::new(&[]); N];
        for column in &mut columns {
            let length = self.small()?;
            *column = Self::new(self.raw(length)?);
        }
        let room = columns.first().map_or(0, |first| first.rest.len());
        if count.checked_mul(least)? > room {
            return None;
        }
        let mut things = Vec::with_capacity(count);
        for _ in 0..count {
            things.push(read(&mut columns)?);
        }
        columns.iter().all(Self::ended).then_some(things)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn numbers_come_back(number: u64, signed: i64, steps: Vec<i64>) {
            let mut out = Output::default();
            out.number(number);
            out.signed(signed);
            for step in &steps {
                out.step(*step);
            }
            let bytes = out.into_bytes();
            let mut input = Input::new(&bytes);
            prop_assert_eq!(input.number(), Some(number));
            prop_assert_eq!(input.signed(), Some(signed));
            for step in &steps {
                prop_assert_eq!(input.step(), Some(*step));
            }
            prop_assert!(input.ended());
        }
    }

    #[test]
    fn a_number_too_long_is_none() {
        assert_eq!(Input::new(&[0xff; 9]).number(), None, "it has no end");
        assert_eq!(Input::new(&[0xff; 11]).number(), None);
        let mut over = [0xff; 10];
        over[9] = 2;
        assert_eq!(Input::new(&over).number(), None, "65 bits");
        over[9] = 1;
        assert_eq!(Input::new(&over).number(), Some(u64::MAX));
    }
}
