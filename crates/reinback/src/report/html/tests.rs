//! The page of yards whose counts are known, and of yards that are hostile.

use std::collections::BTreeSet;
use std::ops::ControlFlow;
use std::path::PathBuf;
use std::sync::Arc;

use proptest::prelude::*;
use reinback_yard::{Horse, IdMaker, Moment};
use scraper::{ElementRef, Html, Selector};

use super::*;
use crate::report::numbers::Days;
use crate::report::sample;
use crate::said::{Earlier, Language};

mod shown;

fn wish(horses: Vec<HorseId>) -> Wish {
    Wish {
        horses,
        together: false,
        shown: Shown::default(),
        asked: Days::default().into(),
        reins: Reins::Both,
        today: sample::day(9),
        naming: Naming::Named,
        stills: STILLS,
        chosen: Vec::new(),
    }
}

fn all(yard: &Yard) -> Wish {
    wish(yard.horses.iter().map(|horse| horse.id).collect())
}

fn text(yard: &Yard, wish: &Wish, language: Language) -> String {
    let mut on = |_: f32| ControlFlow::Continue(());
    let say = Say::new(language);
    page(yard, Path::new("/no/such/yard"), wish, &[], &say, &mut on).expect("nobody stops it")
}

fn select<'a>(page: &'a Html, css: &str) -> Vec<ElementRef<'a>> {
    let selector = Selector::parse(css).expect("a selector");
    page.select(&selector).collect()
}

fn words(element: ElementRef<'_>) -> String {
    element.text().collect()
}

/// Reads a page as a browser does (HTML Living Standard, "Parsing HTML documents"), and holds it
/// against what every page must be.
#[track_caller]
fn checked(text: &str, language: Language) -> Html {
    let page = Html::parse_document(text);
    assert!(page.errors.is_empty(), "{:?}", page.errors);
    let root = page.root_element();
    assert_eq!(root.attr("lang"), Some(language.code()));
    assert_eq!(select(&page, "head > title").len(), 1);
    headings(&page);
    tables(&page);
    stands_alone(&page);
    let ids: Vec<&str> = select(&page, "[id]")
        .iter()
        .filter_map(|element| element.attr("id"))
        .collect();
    let known: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(known.len(), ids.len(), "an address is there twice");
    for link in select(&page, "a") {
        let to = link.attr("href").expect("a link leads somewhere");
        let to = to.strip_prefix('#').expect("it stays on the page");
        assert!(known.contains(to), "{to} is nowhere");
    }
    // Messages that are not there stand as their ids.
    let shown = words(root);
    assert!(!shown.contains("report-"), "{shown}");
    page
}

/// One heading of the first rank, and no rank left out on the way down.
#[track_caller]
fn headings(page: &Html) {
    assert_eq!(select(page, "h1").len(), 1);
    let mut before = 0;
    for heading in select(page, "h1, h2, h3, h4, h5, h6") {
        let name = heading.value().name();
        let rank: u8 = name[1..].parse().expect("a rank");
        let said = words(heading);
        assert!(!said.trim().is_empty(), "an empty {name}");
        assert!(rank <= before + 1, "{name} “{said}” after h{before}");
        before = rank;
    }
}

/// Every table has a caption, names its columns, and each of its rows its own.
#[track_caller]
fn tables(page: &Html) {
    for table in select(page, "table") {
        let of = |css: &str| {
            let selector = Selector::parse(css).expect("a selector");
            table.select(&selector).collect::<Vec<_>>()
        };
        let captions = of("caption");
        assert_eq!(captions.len(), 1);
        let caption = words(captions[0]);
        assert!(!caption.trim().is_empty());
        let columns = of("thead th[scope=col]");
        assert!(!columns.is_empty(), "{caption}");
        let named = columns
            .iter()
            .all(|column| !words(*column).trim().is_empty());
        assert!(named, "{caption}");
        let rows = of("tbody tr");
        assert!(!rows.is_empty(), "{caption} is empty");
        assert_eq!(of("tbody th[scope=row]").len(), rows.len(), "{caption}");
        let fields = of("tbody th, tbody td").len();
        assert_eq!(fields, rows.len() * columns.len(), "{caption}");
    }
}

/// Nothing runs, and nothing is fetched.
#[track_caller]
fn stands_alone(page: &Html) {
    for bad in [
        "script",
        "iframe",
        "object",
        "embed",
        "link",
        "base",
        "form",
        "style ~ style",
    ] {
        assert!(select(page, bad).is_empty(), "{bad}");
    }
    for element in select(page, "*") {
        for (name, value) in element.value().attrs() {
            assert!(!name.starts_with("on"), "{name}={value}");
            let inside = match name {
                "href" => value.starts_with('#'),
                "src" => value.starts_with("data:image/"),
                _ => true,
            };
            assert!(inside, "{name}={value}");
        }
    }
    let policy = select(page, "meta[http-equiv=Content-Security-Policy]");
    assert_eq!(policy.len(), 1);
    let sheet = words(select(page, "style")[0]);
    assert!(!sheet.contains("url(") && !sheet.contains("@import"));
}

fn of_sample() -> Yard {
    sample::yard()
}

#[test]
fn the_page_says_what_the_sample_holds_in_every_language() {
    let yard = of_sample();
    for (language, counts, exercise) in [
        (Language::English, "15 of 40 attempts", "half-pass"),
        (Language::German, "15 von 40 Versuchen", "Traversale"),
    ] {
        let page = checked(&text(&yard, &all(&yard), language), language);
        let h1 = words(select(&page, "h1")[0]);
        assert_eq!(h1, "Juniper");
        let line = select(&page, "section.line")[0];
        let said = words(line);
        assert!(said.contains(counts) && said.contains(exercise), "{said}");
        // Ten on the left, five on the right, as the sample was made.
        let rows: Vec<String> = select(&page, "table.overview tbody tr")
            .into_iter()
            .map(words)
            .collect();
        assert!(rows[0].contains(exercise), "{rows:?}");
        assert_eq!(rows.len(), 2);
    }
}

#[test]
fn two_periods_stand_against_each_other() {
    let yard = of_sample();
    let halves = Wish {
        asked: period::Asked {
            days: Days {
                from: Some(sample::day(5)),
                to: None,
            },
            against: Some((
                Days {
                    from: None,
                    to: Some(sample::day(4)),
                },
                Earlier::Before(sample::day(5)),
            )),
            unchosen: None,
        },
        ..all(&yard)
    };
    let page = checked(&text(&yard, &halves, Language::English), Language::English);
    let first = words(
        select(&page, "main ol > li a")[0]
            .parent()
            .and_then(ElementRef::wrap)
            .expect("an item"),
    );
    assert!(first.contains("half-pass"), "{first}");
    let said = words(page.root_element());
    assert!(
        said.contains("5 of 20 attempts, about 1 in 4; before 19 May 2026 10 of 20"),
        "{said}"
    );
}

#[test]
fn names_are_words_and_never_markup() {
    let hostile = "<script>alert(1)</script>\"' onload=x &amp; </title></style><b>";
    let mut yard = of_sample();
    yard.name = hostile.into();
    yard.horses[0].name = hostile.into();
    let second = Horse {
        id: HorseId::from(0x12),
        name: "\u{202e}سوسن\u{2067} ".repeat(20),
        foaled: None,
        stage: hostile.into(),
        notes: hostile.into(),
    };
    yard.horses.push(second);
    for exercise in &mut yard.words.exercises {
        exercise.name = hostile.into();
        for fault in &mut exercise.faults {
            fault.name = hostile.into();
        }
    }
    for ride in yard.rides.values_mut() {
        for mark in &mut Arc::make_mut(ride).marks {
            mark.note = hostile.into();
        }
    }
    let text = text(&yard, &all(&yard), Language::English);
    let page = checked(&text, Language::English);
    assert!(select(&page, "b").is_empty());
    assert_eq!(words(select(&page, "h1")[0]), hostile);
    let notes = select(&page, "td bdi").into_iter().map(words);
    assert!(notes.into_iter().any(|note| note == hostile));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]
    #[test]
    fn a_horse_is_called_as_it_is_called(name in "\\PC{1,60}") {
        let mut yard = of_sample();
        yard.rides.clear();
        yard.horses[0].name = name.clone();
        let page = checked(&text(&yard, &all(&yard), Language::English), Language::English);
        prop_assert_eq!(words(select(&page, "h1")[0]), name);
    }
}

#[test]
fn four_hundred_exercises_with_long_names_are_all_there() {
    let mut yard = of_sample();
    let mut ids = IdMaker::seeded(7);
    let model = yard.words.exercises[0].clone();
    let mut ride = sample::blank(&mut ids, sample::day(3));
    for number in 0..400 {
        let word = format!("made-up-{number}");
        let mut exercise = model.clone();
        exercise.id = sample::word(&word);
        exercise.name = format!("{}{number}", "long ".repeat(40));
        yard.words.exercises.push(exercise);
        sample::bout(
            &mut ids,
            &mut ride,
            &word,
            None,
            (number % 3 == 0).then_some("late"),
        );
    }
    yard.rides.insert(ride.id, Arc::new(ride));
    let page = checked(
        &text(&yard, &all(&yard), Language::German),
        Language::German,
    );
    assert_eq!(select(&page, "section.line").len(), 402);
}

#[test]
fn a_yard_with_little_in_it_has_a_page_that_says_so() {
    let check = |yard: &Yard, wish: &Wish, expect: &str| {
        let page = checked(&text(yard, wish, Language::English), Language::English);
        let said = words(page.root_element());
        assert!(said.contains(expect), "“{expect}” is not in {said}");
    };
    let empty = Yard::default();
    check(&empty, &all(&empty), "No horse yet");
    let page = text(&empty, &all(&empty), Language::English);
    assert!(!page.contains("<nav"), "nothing to find one's way in");
    let mut nobody_rode = of_sample();
    nobody_rode.rides.clear();
    check(&nobody_rode, &all(&nobody_rode), "No ride of Juniper yet");
    let mut one = of_sample();
    let (first, ride) = one.rides.pop_first().expect("a ride");
    one.rides = [(first, ride)].into();
    check(&one, &all(&one), "1 ride");
    let yard = of_sample();
    let later = Days {
        from: Some(sample::day(20)),
        to: None,
    };
    let none = Wish {
        asked: later.into(),
        ..all(&yard)
    };
    check(&yard, &none, "The newest ride is of 31 May 2026");
}

#[test]
fn without_names_nobody_is_known_by_the_page() {
    let mut yard = of_sample();
    for ride in yard.rides.values_mut() {
        let ride = Arc::make_mut(ride);
        // A title stands on the page where it names a show.
        ride.head.title = "show with Hazel".into();
        for mark in &mut ride.marks {
            mark.note = "Hazel says so".into();
        }
    }
    let named = all(&yard);
    let page = text(&yard, &named, Language::English);
    for known in ["Juniper", "Hazel says so", "show with Hazel", "Sample yard"] {
        assert!(page.contains(known), "{known}");
    }
    let nameless = Wish {
        naming: Naming::WithoutNames,
        ..named
    };
    let page = text(&yard, &nameless, Language::English);
    checked(&page, Language::English);
    for known in ["Juniper", "Hazel", "Sample yard"] {
        assert!(!page.contains(known), "{known}");
    }
    assert!(page.contains(&sample::horse().to_string()));
}

#[test]
fn a_moment_without_its_film_says_so() {
    let mut yard = of_sample();
    let newest = *yard.rides.keys().next_back().expect("a ride");
    let mark = yard.rides[&newest].marks[0].id;
    let chosen = Wish {
        chosen: vec![(sample::word("half-pass"), MomentId::Fault(newest, mark))],
        ..all(&yard)
    };
    let page = text(&yard, &chosen, Language::English);
    assert!(
        page.contains("No film shows this moment."),
        "no ride has one"
    );
    let page = text(&yard, &all(&yard), Language::English);
    assert!(!page.contains("class=\"still\""), "no other is asked for");
    for ride in yard.rides.values_mut() {
        Arc::make_mut(ride).films.push(reinback_yard::Film {
            id: IdMaker::seeded(3).next(),
            path: "films/gone.mp4".into(),
            fingerprint: None,
            offset: Moment(0),
            drift_ppb: 0,
            duration_nanos: None,
            tilt: None,
        });
    }
    let page = text(&yard, &all(&yard), Language::English);
    assert!(page.contains("The film is not where it was."));
    let few = Wish {
        stills: 1,
        ..all(&yard)
    };
    let page = checked(&text(&yard, &few, Language::English), Language::English);
    assert_eq!(select(&page, ".still").len(), 1);
    let none = Wish {
        stills: 0,
        ..all(&yard)
    };
    assert!(!text(&yard, &none, Language::English).contains("class=\"still\""));
}

#[test]
fn a_problem_names_its_file_as_the_yard_does() {
    let yard = of_sample();
    let home = Path::new("/home/somebody/yards/mine");
    let file = home.join("rides").join("a.ron");
    let mut problem = Problem {
        file: file.clone(),
        line: Some(3),
        severity: reinback_yard::Severity::Error,
        message: format!("{} cannot be read.", file.display()),
    };
    let say = Say::new(Language::English);
    let of = |problem: &Problem| {
        let mut on = |_: f32| ControlFlow::Continue(());
        let problems = std::slice::from_ref(problem);
        page(&yard, home, &all(&yard), problems, &say, &mut on).expect("nobody stops it")
    };
    let name = Path::new("rides").join("a.ron").display().to_string();
    let made = of(&problem);
    let expect = format!("{name}:3: error: {name} cannot be read.");
    assert!(made.contains(&expect) && !made.contains("somebody"));
    problem.file = "/home/somebody/else.ron".into();
    let made = of(&problem);
    assert!(made.contains("else.ron:3: error") && !made.contains("somebody"));
}

#[test]
fn the_head_leads_to_the_parts_of_the_page() {
    let yard = of_sample();
    let made = text(&yard, &all(&yard), Language::English);
    let page = checked(&made, Language::English);
    let links: Vec<String> = select(&page, "nav a").into_iter().map(words).collect();
    let parts = [
        "What to work on first",
        "Exercises",
        "The whole horse",
        "How these numbers were found",
    ];
    assert_eq!(links, parts);
    // A picture's numbers stand there for paper, where nothing is unfolded.
    let folded = select(&page, "figure details table").len();
    assert!(folded > 0);
    assert_eq!(select(&page, "figure .paper table").len(), folded);
}

#[test]
fn who_is_told_to_stop_makes_no_page() {
    let yard = of_sample();
    let say = Say::new(Language::English);
    let newest = yard.rides.values().next_back().expect("a ride");
    let wish = Wish {
        chosen: vec![(
            sample::word("half-pass"),
            MomentId::Fault(newest.id, newest.marks[0].id),
        )],
        ..all(&yard)
    };
    let lines = select(
        &checked(&text(&yard, &wish, Language::English), Language::English),
        "section.line",
    )
    .len();
    // Before the one horse is counted, before each of its lines, and before the one still is decoded.
    for stop in 1..=lines + 2 {
        let mut asked = 0;
        let mut on = |_: f32| {
            asked += 1;
            if asked == stop {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        };
        let made = page(&yard, Path::new("/"), &wish, &[], &say, &mut on);
        assert!(made.is_none() && asked == stop, "asked {asked} times");
    }
}

#[test]
fn only_a_page_of_ours_is_written_over() {
    let (home, other) = (
        tempfile::tempdir().expect("a folder"),
        tempfile::tempdir().expect("a folder"),
    );
    let yard = of_sample();
    let page = text(&yard, &all(&yard), Language::English);
    let write = |into: &Path| Place::judge(home.path(), into)?.write(&page);
    let refused = |into: PathBuf, expect: &str| {
        let why = write(&into).expect_err("refused").to_string();
        assert!(why.contains(expect), "{why}");
    };
    refused(home.path().join("page.html"), "in the yard itself");
    refused(other.path().to_owned(), "is a folder");
    let notes = other.path().join("notes.html");
    std::fs::write(&notes, "<p>somebody else's").expect("written");
    refused(notes.clone(), "no page of Reinback's");
    refused(notes.join("page.html"), "could not be written");
    assert_eq!(
        std::fs::read_to_string(notes).expect("there"),
        "<p>somebody else's"
    );
    let own = other.path().join("page.html");
    std::fs::write(&own, "").expect("a file with nothing in it");
    for _ in 0..2 {
        write(&own).expect("written");
    }
    assert_eq!(std::fs::read_to_string(own).expect("there"), page);
    #[cfg(unix)]
    {
        let link = other.path().join("link.html");
        let hidden = home.path().join("horse.ron");
        std::fs::write(&hidden, "").expect("written");
        std::os::unix::fs::symlink(&hidden, &link).expect("a link");
        refused(link, "in the yard itself");
    }
}
