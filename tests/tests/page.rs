//! The page of the demo yard, opened as a reader's browser opens it: nothing in its console, nothing
//! wider than the page, every word legible in both looks, and on paper.
//!
//! Needs Chromium, which `cargo xtask test` installs; prints a line and passes where it is absent.
#![expect(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "helpers of tests; what is skipped is said"
)]

use std::fs;
use std::ops::ControlFlow;
use std::process::{Command, Output};
use std::sync::Arc;

use chrono::NaiveDate;
use egui::{Key, Modifiers};
use reinback::report::html::{STILLS, Wish, page};
use reinback::report::numbers::{Days, Reins};
use reinback::report::parquet::Naming;
use reinback::report::period::Asked;
use reinback::report::shown::Shown;
use reinback::said::{Earlier, Language, Say};
use reinback_tests::browser;
use reinback_tests::window::{Window, copy_demo};
use reinback_yard::Yard;
use scraper::{Html, Selector};
use serde_json::Value;
use tempfile::TempDir;

/// A browser, and a page in a folder for it to open.
struct Browser {
    program: &'static str,
    folder: TempDir,
}

impl Browser {
    /// Of this page; nothing, and a line that says so, where there is no browser.
    fn of(page: &str) -> Option<Self> {
        let Some(program) = browser::chromium() else {
            println!("skipped: there is no Chromium on this machine");
            return None;
        };
        let folder = TempDir::new().unwrap();
        fs::write(folder.path().join("page.html"), page).unwrap();
        Some(Self { program, folder })
    }

    /// Opens a file of the folder; begins anew each time.
    fn open(&self, arguments: &[&str], file: &str) -> Output {
        let folder = self.folder.path();
        let profile = format!("--user-data-dir={}", folder.join("profile").display());
        let output = Command::new(self.program)
            .args(["--headless", "--no-sandbox", "--disable-gpu", &profile])
            .args([
                "--no-first-run",
                "--disable-extensions",
                "--hide-scrollbars",
            ])
            .args(["--enable-logging=stderr", "--allow-file-access-from-files"])
            .args(arguments)
            .arg(format!("file://{}", folder.join(file).display()))
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{said}");
        // Whatever a page complains of, and what its policy forbids, stands on a line of this kind.
        let console: Vec<&str> = said
            .lines()
            .filter(|line| line.contains("CONSOLE"))
            .collect();
        assert!(console.is_empty(), "{console:?}");
        output
    }

    /// What is found when the page is looked at in a frame of this width.
    fn look(&self, width: u32, dark: bool, paper: bool) -> Value {
        let page = LOOK.replace("WIDTH", &width.to_string());
        let page = page.replace("PAPER", &paper.to_string());
        fs::write(self.folder.path().join("look.html"), page).unwrap();
        let scheme = i32::from(!dark);
        let scheme = format!("--blink-settings=preferredColorScheme={scheme}");
        let arguments = ["--dump-dom", "--virtual-time-budget=20000", &scheme];
        let output = self.open(&arguments, "look.html");
        let dom = Html::parse_document(&String::from_utf8(output.stdout).unwrap());
        let found = dom
            .select(&Selector::parse("#found").unwrap())
            .next()
            .unwrap();
        let found: String = found.text().collect();
        serde_json::from_str(&found).unwrap()
    }
}

/// The demo yard's page, two periods against each other.
fn demo_page(language: Language) -> String {
    changed_page(language, |_| ())
}

/// The page of the demo yard as it is after a change.
fn changed_page(language: Language, change: impl Fn(&mut Yard)) -> String {
    let folder = TempDir::new().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let (mut found, problems) = reinback_yard::look(&yard).unwrap();
    let today = found.last_day().unwrap();
    change(&mut found);
    let day = |text: &str| text.parse::<NaiveDate>().unwrap();
    let parting = day("2026-10-27");
    let wish = Wish {
        horses: found.horses.iter().map(|horse| horse.id).collect(),
        together: false,
        shown: Shown::default(),
        asked: Asked {
            days: Days {
                from: Some(parting),
                to: None,
            },
            against: Some((
                Days {
                    from: None,
                    to: parting.pred_opt(),
                },
                Earlier::Before(parting),
            )),
            unchosen: None,
        },
        reins: Reins::Both,
        today,
        naming: Naming::Named,
        stills: STILLS,
        chosen: Vec::new(),
    };
    let mut on = |_: f32| ControlFlow::Continue(());
    page(
        &found,
        &yard,
        &wish,
        &problems,
        &Say::new(language),
        &mut on,
    )
    .unwrap()
}

/// Looks at the page from inside a browser, in a frame of this width: what sticks out of it, and
/// words whose contrast is below 4.5 (WCAG 2.2, 1.4.3; luminance as defined there).
const LOOK: &str = r#"<!doctype html><meta charset="utf-8"><title>look</title>
<iframe id="page" src="page.html" style="border:0;height:900px;width:WIDTHpx"></iframe><pre id="found"></pre>
<script>
const light = part => part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
const luminance = ([r, g, b]) =>
  0.2126 * light(r / 255) + 0.7152 * light(g / 255) + 0.0722 * light(b / 255);
const parts = colour => (colour.match(/[\d.]+/g) || []).map(Number);
const behind = (element, view) => {
  for (let at = element; at; at = at.parentElement) {
    const fill = parts(view.getComputedStyle(at).backgroundColor);
    if (fill.length === 3 || fill[3] === 1) return fill;
  }
  return [255, 255, 255];
};
document.getElementById("page").onload = event => {
  const view = event.target.contentWindow, page = view.document;
  for (const folded of page.querySelectorAll("details")) folded.open = true;
  // The rules for paper as rules for the screen: what they show and hide can be measured so.
  for (const sheet of PAPER ? [...page.styleSheets] : [])
    for (const rule of [...sheet.cssRules])
      if (rule.media && rule.media.mediaText === "print") rule.media.mediaText = "screen";
  const seen = element => element.getBoundingClientRect().height > 0;
  const some = (within, css) => [...within.querySelectorAll(css)].filter(seen);
  const wide = [], faint = [];
  // The smallest letters of a picture, in points of a sheet (CSS: 96 px are 72 pt).
  let letters = Infinity;
  for (const text of page.querySelectorAll("svg text")) {
    const svg = text.ownerSVGElement, width = svg.getBoundingClientRect().width;
    const scale = width / svg.viewBox.baseVal.width;
    if (width > 0) letters = Math.min(letters, parseFloat(view.getComputedStyle(text).fontSize) * scale * 0.75);
  }
  let words = 0, pictures = 0, figures = 0, tabled = 0;
  for (const figure of page.querySelectorAll("figure:has(table)")) {
    figures += 1;
    if (some(figure, "table").length === 1) tabled += 1;
  }
  for (const element of page.body.querySelectorAll("*")) {
    const place = element.getBoundingClientRect();
    const name = element.tagName + " " + element.textContent.slice(0, 60);
    if (place.width > 0 && (place.right > view.innerWidth + 0.5 || place.left < -0.5)) wide.push(name);
    const own = [...element.childNodes].some(node => node.nodeType === 3 && node.data.trim());
    if (!own || place.width === 0 || element.closest("svg")) continue;
    words += 1;
    const ink = luminance(parts(view.getComputedStyle(element).color));
    const ground = luminance(behind(element, view));
    const ratio = (Math.max(ink, ground) + 0.05) / (Math.min(ink, ground) + 0.05);
    if (ratio < 4.5) faint.push(ratio.toFixed(2) + " " + name);
  }
  for (const img of page.images) if (img.naturalWidth > 0) pictures += 1;
  const found = {
    wide, faint, words, pictures, figures, tabled, letters,
    folded: some(page, "details").length,
    images: page.images.length,
    width: page.documentElement.scrollWidth,
    dark: view.matchMedia("(prefers-color-scheme: dark)").matches,
  };
  document.getElementById("found").textContent = JSON.stringify(found);
};
</script>"#;

#[test]
fn a_browser_finds_nothing_wrong_with_the_page() {
    for language in Language::ALL {
        let Some(browser) = Browser::of(&demo_page(language)) else {
            return;
        };
        for (width, dark) in [(390, false), (390, true), (1280, false), (1280, true)] {
            let found = browser.look(width, dark, false);
            assert_eq!(found["dark"], dark);
            assert_eq!(found["wide"], Value::Array(Vec::new()), "at {width}");
            assert_eq!(found["width"], width);
            assert_eq!(found["faint"], Value::Array(Vec::new()), "dark: {dark}");
            assert!(found["words"].as_u64() > Some(100), "{found}");
            assert!(found["images"].as_u64() > Some(0), "{found}");
            assert_eq!(found["pictures"], found["images"], "{found}");
            // Each picture's numbers, unfolded, and none of them twice.
            assert!(found["figures"].as_u64() > Some(0), "{found}");
            assert_eq!(found["tabled"], found["figures"], "{found}");
        }
    }
}

/// Without a place where a word may be broken.
fn endless(name: &mut String) {
    *name = name.replace(' ', "").repeat(200);
    *name = name.chars().take(200).collect();
}

#[test]
fn a_page_of_endless_names_or_of_little_fits_a_telephone() {
    let endless_names = |yard: &mut Yard| {
        yard.horses
            .iter_mut()
            .for_each(|own| endless(&mut own.name));
        for exercise in &mut yard.words.exercises {
            endless(&mut exercise.name);
            exercise
                .faults
                .iter_mut()
                .for_each(|own| endless(&mut own.name));
        }
        for ride in yard.rides.values_mut() {
            let ride = Arc::make_mut(ride);
            endless(&mut ride.head.title);
            ride.marks.iter_mut().for_each(|own| endless(&mut own.note));
        }
    };
    let one_ride = |yard: &mut Yard| {
        let newest = yard.rides_by_date().last().map(|ride| ride.id);
        yard.rides.retain(|id, _| Some(*id) == newest);
    };
    let no_ride = |yard: &mut Yard| yard.rides.clear();
    let changes: [&dyn Fn(&mut Yard); 3] = [&endless_names, &one_ride, &no_ride];
    for change in changes {
        let Some(browser) = Browser::of(&changed_page(Language::German, change)) else {
            return;
        };
        for width in [390, 1280] {
            let found = browser.look(width, true, false);
            assert_eq!(found["wide"], Value::Array(Vec::new()), "at {width}");
            assert_eq!(found["width"], width);
            assert_eq!(found["faint"], Value::Array(Vec::new()));
            assert!(found["words"].as_u64() > Some(30), "{found}");
        }
    }
}

#[test]
fn the_page_can_be_printed() {
    for language in Language::ALL {
        let Some(browser) = Browser::of(&demo_page(language)) else {
            return;
        };
        printed(&browser);
    }
}

/// Prints a page, and looks at it as it is on paper.
#[track_caller]
fn printed(browser: &Browser) {
    // A4 and Letter without the margins, 180 of 210 and 186 of 216 mm, in the 96 dots an inch of a
    // browser.
    for width in [680, 703] {
        let found = browser.look(width, false, true);
        assert_eq!(found["wide"], Value::Array(Vec::new()), "on paper");
        assert!(found["figures"].as_u64() > Some(0), "{found}");
        assert_eq!(found["tabled"], found["figures"], "{found}");
        // Common practice for the smallest print, no source.
        assert!(found["letters"].as_f64() >= Some(7.0), "{found}");
        assert_eq!(found["folded"], 0, "a browser may not unfold it on paper");
    }
    let pdf = browser.folder.path().join("page.pdf");
    let to = format!("--print-to-pdf={}", pdf.display());
    browser.open(&["--no-pdf-header-footer", &to], "page.html");
    let pdf = fs::read(pdf).unwrap();
    let pdf = String::from_utf8_lossy(&pdf);
    assert!(pdf.starts_with("%PDF-"));
    let pages = pdf.matches("/Type /Page\n").count();
    // An exercise is not to take more than a page and a half, with all else on the page, as one
    // did once.
    let text = fs::read_to_string(browser.folder.path().join("page.html")).unwrap();
    let lines = text.matches("<section class=\"line\">").count();
    assert!(
        pages > 2 && 2 * pages < 3 * lines,
        "{pages} pages for {lines} exercises"
    );
}

#[test]
fn the_room_is_exported_as_the_page_of_what_it_shows() {
    let folder = TempDir::new().unwrap();
    let yard = copy_demo(folder.path()).unwrap();
    let mut window = Window::open(&[&yard]);
    window.until("the yard is open", |w| w.app().open_yard().is_some());
    window.press_with(Modifiers::COMMAND, Key::Num3);
    window.until("lines are counted", |w| w.shows("faults a minute"));
    let [first, second] = ["first.html", "second.html"].map(|name| folder.path().join(name));
    window.will_answer(vec![first.clone()]);
    window.click("Export as a page…");
    window.until("the page is written", |w| w.shows("Written: "));
    let shown = window.texts().join("\n");
    assert!(shown.contains(&first.display().to_string()), "{shown}");
    let text = fs::read_to_string(&first).unwrap();
    let page = Html::parse_document(&text);
    let of = |css: &str| {
        let selector = Selector::parse(css).unwrap();
        let found = page.select(&selector);
        found
            .map(|own| own.text().collect::<String>())
            .collect::<Vec<_>>()
    };
    assert_eq!(of("h1"), ["Sonnet"], "the horse that the room shows");
    let lines = of("section.line > h3");
    assert!(lines.iter().any(|line| line == "half-pass"), "{lines:?}");
    // Each of them is a line of the room.
    for line in &lines {
        assert!(
            shown.contains(&format!("{line}. ")),
            "{line} is not in the room"
        );
    }
    assert!(
        text.contains("src=\"data:image/jpeg;base64,"),
        "stills of the demo's film"
    );

    let inside = yard.join("page.html");
    window.will_answer(vec![inside.clone()]);
    window.click("Export as a page…");
    window.until("it is told that it may not go there", |w| {
        w.shows("lies in the yard itself")
    });
    assert!(!inside.exists());

    window.will_answer(vec![second.clone()]);
    window.press_with(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::P);
    window.until("the key does the same", |_| second.exists());
    assert_eq!(fs::read_to_string(&second).unwrap(), text);
}
