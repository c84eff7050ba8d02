//! Damaged and odd yards, and what the check says of them.

use std::fs;

use tempfile::TempDir;

use super::*;

const YARD: &str = r#"(
  format: 1,
  horses: [(id: "0000000000000001", name: "Astra")],
  words: (
    exercises: [
      (id: "half-pass", name: "half-pass", short: "hp",
        variants: [(id: "in-trot", name: "in trot")], faults: [(id: "trailing", name: "trailing")]),
    ],
    general_faults: [(id: "tense", name: "tense")],
    outlines: [(id: "working", name: "working")],
  ),
)
"#;

const RIDE: &str = r#"(
  format: 1,
  id: "00000000000000aa",
  horse: "0000000000000001",
  date: "2026-03-01",
  reviews: [(id: "00000000000000f1")],
  counting: "00000000000000f1",
  films: [
    (id: "00000000000000d1", path: "film.mp4", offset: "0:00:00.000000000"),
  ],
  bouts: [
    (id: "00000000000000b1", review: "00000000000000f1", exercise: "half-pass", variant: "in-trot",
      from: "0:01:00.000000000", to: "0:01:10.000000000", reviewed: true),
    (id: "00000000000000b2", review: "00000000000000f1", exercise: "half-pass",
      from: "0:02:00.000000000", to: "0:02:10.000000000", reviewed: true),
  ],
  marks: [
    (id: "00000000000000c1", review: "00000000000000f1", at: "0:01:05.000000000",
      kind: Fault("trailing"), bout: "00000000000000b1"),
    (id: "00000000000000c2", review: "00000000000000f1", at: "0:01:06.000000000", kind: Fault("tense")),
  ],
  outlines: [
    (id: "00000000000000e1", from: "0:00:00.000000000", to: "0:00:10.000000000", outline: "working"),
  ],
)
"#;

/// `old` becomes `new` in the file; the only problem must name this line and say this.
fn check_file(file: &str, old: &str, new: &str, line: Option<u32>, severity: Severity, says: &str) {
    let dir = TempDir::new().unwrap();
    let ride = dir
        .path()
        .join("rides/2026/2026-03-01-astra-00000000000000aa.ron");
    fs::create_dir_all(ride.parent().unwrap()).unwrap();
    fs::write(dir.path().join("yard.ron"), YARD).unwrap();
    fs::write(&ride, RIDE).unwrap();
    fs::write(dir.path().join("film.mp4"), "").unwrap();
    let path = if file == "yard.ron" {
        dir.path().join(file)
    } else {
        ride
    };
    let text = fs::read_to_string(&path).unwrap();
    assert!(text.contains(old), "{old:?} must be in {file}");
    fs::write(&path, text.replacen(old, new, 1)).unwrap();
    let problems = check(dir.path());
    if says.is_empty() {
        assert_eq!(problems, [], "{new:?}");
        return;
    }
    let [problem] = &problems[..] else {
        panic!("{new:?}: {problems:?}")
    };
    assert_eq!(
        (&problem.file, problem.line, problem.severity),
        (&path, line, severity),
        "{problem}"
    );
    assert!(
        problem.message.contains(says),
        "{new:?}: {problem} must say {says:?}"
    );
}

#[test]
fn a_sound_yard_has_no_problems() {
    check_file("yard.ron", "Astra", "Bora", None, Severity::Note, "");
}

#[test]
fn rides_are_checked() {
    use Severity::{Error, Note, Warning};
    let check = |old, new, line, severity, says| {
        check_file("ride", old, new, Some(line), severity, says);
    };
    check(
        "exercise: \"half-pass\",\n",
        "exercise: \"volte\",\n",
        14,
        Warning,
        "exercise “volte” is not among",
    );
    check(
        "\"in-trot\"",
        "\"in-walk\"",
        12,
        Warning,
        "variant “in-walk” is not among",
    );
    check(
        "Fault(\"tense\")",
        "Fault(\"late-behind\")",
        20,
        Warning,
        "shown as “late behind”",
    );
    check(
        "\"working\"",
        "\"deep\"",
        23,
        Warning,
        "outline “deep” is not among",
    );
    check(
        "bout: \"00000000000000b1\"",
        "bout: \"00000000000000bf\"",
        18,
        Note,
        "a bout that is gone",
    );
    check(
        "path: \"film.mp4\"",
        "path: \"gone.mp4\"",
        9,
        Warning,
        "The film “gone.mp4” is not there",
    );
    check(
        ", to: \"0:02:10.000000000\", reviewed: true",
        "",
        14,
        Warning,
        "was never closed",
    );
    check(
        "from: \"0:02:00",
        "from: \"0:01:09",
        14,
        Note,
        "begins before one of half-pass has ended",
    );
    check(
        "counting",
        "countign",
        7,
        Error,
        "“countign” is not an entry of a ride",
    );
}

#[test]
fn a_strange_horse_is_told() {
    check_file(
        "ride",
        "horse: \"0000000000000001\"",
        "horse: \"0000000000000002\"",
        None,
        Severity::Warning,
        "is not in yard.ron",
    );
}

#[test]
fn words_are_checked() {
    let check = |old, new, line, says| {
        check_file("yard.ron", old, new, line, Severity::Warning, says);
    };
    check(
        "short: \"hp\"",
        "short: \"HP\"",
        Some(6),
        "one to three letters",
    );
    check("name: \"in trot\"", "name: \"\"", Some(7), "has no name");
    check_file(
        "yard.ron",
        "(\n  format",
        "(\n  formt",
        Some(1),
        Severity::Error,
        "does not begin with",
    );
}

#[test]
fn copies_are_told() {
    let dir = TempDir::new().unwrap();
    let year = dir.path().join("rides/2026");
    fs::create_dir_all(&year).unwrap();
    fs::write(dir.path().join("yard.ron"), YARD).unwrap();
    fs::write(dir.path().join("film.mp4"), "").unwrap();
    for name in ["2026-03-01-astra-00000000000000aa.ron", "copy.ron"] {
        fs::write(year.join(name), RIDE).unwrap();
    }
    let problems = check(dir.path());
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert_eq!(
        (&problems[0].file, problems[0].severity),
        (&year.join("copy.ron"), Severity::Note)
    );
}

#[test]
fn no_yard_is_a_problem() {
    let dir = TempDir::new().unwrap();
    let problems = check(dir.path());
    assert!(
        problems[0].to_string().contains("error: “"),
        "{}",
        problems[0]
    );
    assert!(problems[0].message.contains("there is no yard.ron in it"));
}

#[test]
fn problems_print_as_compilers_print_them() {
    let problem = Problem {
        file: "yard.ron".into(),
        line: Some(3),
        severity: Severity::Warning,
        message: "Look here.".into(),
    };
    assert_eq!(problem.to_string(), "yard.ron:3: warning: Look here.");
}
