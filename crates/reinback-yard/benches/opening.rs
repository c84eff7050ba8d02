//! Opening a yard with its index and without.
//!
//! The yard is the one `cargo xtask large-yard --rides 1000` makes in the build folder, or the one
//! that `REINBACK_LARGE_YARD` names.
#![expect(clippy::expect_used, reason = "it stops where it cannot go on")]

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::process::Command;

use criterion::{Criterion, criterion_group, criterion_main};
use reinback_yard::{Opened, Store, index_file};

fn open(folder: &Path, index: Option<&Path>) -> Opened {
    Store::open_with(folder, index, &mut |_| ControlFlow::Continue(())).expect("the yard opens")
}

/// The yard to open.
fn yard() -> PathBuf {
    if let Some(named) = std::env::var_os("REINBACK_LARGE_YARD") {
        return named.into();
    }
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("yard-of-1000-rides");
    if !folder.exists() {
        let made = Command::new(env!("CARGO"))
            .args(["xtask", "large-yard", "--rides", "1000", "--into"])
            .arg(&folder)
            .status()
            .expect("cargo runs");
        assert!(made.success(), "the yard is made");
        // A file that was written a moment ago is in no index.
        std::thread::sleep(std::time::Duration::from_secs(5));
    }
    folder
}

fn opening(c: &mut Criterion) {
    let folder = yard();
    let keep = tempfile::TempDir::new().expect("a folder");
    let index = index_file(keep.path(), &folder);
    let mut group = c.benchmark_group("opening");
    group.sample_size(10);
    group.bench_function("without its index", |b| b.iter(|| open(&folder, None)));
    let draft = open(&folder, Some(&index)).index.expect("worth an index");
    group.bench_function("writing the index", |b| {
        b.iter(|| {
            draft
                .write(&mut |_| ControlFlow::Continue(()))
                .expect("written");
        });
    });
    drop(draft);
    group.bench_function("with its index", |b| b.iter(|| open(&folder, Some(&index))));
    group.finish();
}

criterion_group!(benches, opening);
criterion_main!(benches);
