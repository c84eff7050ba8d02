//! Any bytes as a film: containers, packets, decoders, the index.

#![no_main]

use std::io::Write;

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let mut file = tempfile::NamedTempFile::new().expect("a temporary file");
    file.write_all(bytes).expect("room for it");
    if let Err(words) = reinback_film::proof::chew(file.path()) {
        panic!("{words}");
    }
});
