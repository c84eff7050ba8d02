//! Figures drawn, picked, written and read back.

use std::collections::BTreeSet;

use egui::{Pos2, Rect, Theme, pos2, vec2};
use proptest::prelude::*;
use resvg::usvg::roxmltree;
use ttf_parser::Face;

use super::layout::{LETTERS, Map, View};
use super::*;
use crate::theme::Tokens;
use crate::typeface;

fn sheet(size: [f32; 2]) -> Sheet<'static> {
    Sheet {
        size,
        tokens: Tokens::of(Theme::Light),
        heading: true,
    }
}

fn axis(from: f64, to: f64, marks: &[(f64, &str)]) -> Axis {
    let marks = marks.iter().map(|(at, text)| AxisMark {
        at: *at,
        text: (*text).to_owned(),
    });
    Axis {
        title: "of attempts".to_owned(),
        from,
        to,
        scale: Scale::Names(marks.collect()),
        grid: true,
    }
}

fn dot(at: [f64; 2], sign: Sign, said: &str) -> Dot {
    Dot {
        at,
        radius: 5.0,
        sign,
        filled: true,
        said: said.to_owned(),
    }
}

fn layer(name: &str, ink: Ink, shape: Shape) -> Layer {
    Layer {
        name: name.to_owned(),
        ink,
        shape,
    }
}

/// One of everything, called by this name, at these values.
fn figure(name: &str, values: &[f64]) -> Figure {
    let at = |place: usize| values.get(place).copied().unwrap_or(0.5);
    let signs = [
        Sign::Circle,
        Sign::Square,
        Sign::Diamond,
        Sign::Up,
        Sign::Down,
        Sign::Cross,
        Sign::Plus,
    ];
    let dots = signs.iter().enumerate();
    let dots = dots.map(|(place, sign)| dot([at(place), at(place + 1)], *sign, name));
    let ranges: Vec<Range> = (0..4)
        .map(|place| Range {
            x: at(place),
            low: at(place + 1),
            high: at(place + 2),
        })
        .collect();
    let span = |place: usize| Span {
        y: at(place),
        low: at(place + 1),
        high: at(place + 2),
    };
    let filled = Filled {
        x: [at(0), at(1)],
        y: [at(2), at(3)],
        strength: at(4) as f32,
        written: name.to_owned(),
        said: name.to_owned(),
    };
    let event = |x: f64| Event {
        x,
        name: name.to_owned(),
        said: name.to_owned(),
    };
    Figure {
        title: name.to_owned(),
        spoken: name.to_owned(),
        x: axis(0.0, 10.0, &[(0.0, name), (5.0, "middle"), (10.0, "end")]),
        y: axis(-1.0, 1.0, &[(-1.0, name), (0.0, "0 %"), (1.0, "100 %")]),
        to_scale: false,
        layers: vec![
            layer("band", Ink::Leather, Shape::Band(ranges.clone())),
            layer(
                "",
                Ink::Leather,
                Shape::Line {
                    points: vec![[at(0), at(1)], [at(2), at(3)], [at(4), at(5)]],
                    width: 2.0,
                    dashed: true,
                },
            ),
            layer(name, Ink::Kind(1), Shape::Boxes(vec![filled])),
            layer("ranges", Ink::Soft, Shape::Ranges(ranges)),
            layer("spans", Ink::Good, Shape::Spans(vec![span(0), span(3)])),
            layer("dots", Ink::Fault, Shape::Dots(dots.collect())),
            layer(
                "shows",
                Ink::Caution,
                Shape::Events(vec![event(at(0)), event(at(1))]),
            ),
            layer(
                "words",
                Ink::Ink,
                Shape::Words(
                    [Anchor::Start, Anchor::Middle, Anchor::End]
                        .map(|anchor| Word {
                            at: [at(0), at(1)],
                            anchor,
                            text: "word".to_owned(),
                        })
                        .to_vec(),
                ),
            ),
        ],
        table: Table::default(),
    }
}

fn check_xml(figure: &Figure) -> String {
    let text = svg(figure, &sheet([480.0, 240.0]));
    let read = roxmltree::Document::parse(&text);
    assert!(read.is_ok(), "{:?}\n{text}", read.err());
    text
}

#[test]
fn a_picture_is_xml_whatever_the_names() {
    let long = "half-pass ".repeat(20);
    for name in [
        "<script>alert(\"x\")</script>",
        "a & b ]]> <!-- &lt;",
        long.as_str(),
        "🐎 流 שלום",
        "tab\there\u{0}\u{b}\u{1f}\u{ffff}\nline",
        "",
    ] {
        let text = check_xml(&figure(name, &[1.0, 0.5, 3.0, -0.5, 0.4, 0.2, 7.0, 0.1]));
        assert!(!text.contains("<script"), "{text}");
        let read = roxmltree::Document::parse(&text).unwrap();
        let root = read.root_element();
        assert_eq!(root.attribute("role"), Some("img"));
        let first = root.first_element_child().unwrap();
        assert_eq!(first.tag_name().name(), "title");
        let kept: String = name
            .chars()
            .map(|sign| {
                if matches!(sign, '\n' | '\t') {
                    ' '
                } else {
                    sign
                }
            })
            .filter(|sign| !sign.is_control() && *sign != '\u{ffff}')
            .collect();
        assert_eq!(first.text().unwrap_or_default(), kept);
    }
}

/// What is no number is left out, and nothing else.
#[test]
fn what_is_no_number_is_not_drawn() {
    for wrong in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let mut own = figure("name", &[1.0, 0.5]);
        own.layers = vec![layer(
            "dots",
            Ink::Fault,
            Shape::Dots(vec![
                dot([wrong, 0.5], Sign::Circle, "lost"),
                dot([5.0, wrong], Sign::Circle, "lost"),
                dot([5.0, 0.5], Sign::Circle, "kept"),
            ]),
        )];
        own.x.to = wrong;
        let text = check_xml(&own);
        assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
        assert!(!text.contains("lost"), "{text}");
        own.x.to = 10.0;
        assert!(check_xml(&own).contains("<title>kept</title>"));
    }
}

fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => -2.0..12.0_f64,
        1 => proptest::num::f64::ANY,
        1 => Just(f64::NAN),
        1 => Just(f64::MAX),
    ]
}

proptest! {
    /// Nothing is drawn outside the picture, and no two marks of an axis over each other.
    #[test]
    fn everything_is_inside(
        values in proptest::collection::vec(number(), 8),
        name in ".{0,40}",
        size in (0.0_f32..900.0, 0.0_f32..500.0),
        ends in (number(), number()),
        to_scale: bool,
    ) {
        let mut own = figure(&name, &values);
        (own.x.from, own.x.to) = ends;
        own.to_scale = to_scale;
        let (whole, parts) = svg::drawn(&own, &sheet([size.0, size.1]));
        let whole = Rect::from_min_size(pos2(0.0, 0.0), whole).expand(0.5);
        let face = Face::parse(typeface::REGULAR, 0).ok();
        let wide = |words: &str| svg::width_of(face.as_ref(), words, LETTERS);
        for (part, _) in &parts {
            for at in parts::reach(part, &wide) {
                prop_assert!(whole.contains(at), "{at} of {part:?} is not in {whole}");
            }
        }
        check_xml(&own);
    }

    #[test]
    fn marks_keep_apart(many in 1_usize..200, width in 160.0_f32..900.0) {
        let mut own = figure("name", &[]);
        own.layers.clear();
        let names = (0..many)
            .map(|at| AxisMark { at: 10.0 * at as f64 / many as f64, text: format!("{at} May") });
        own.x.scale = Scale::Names(names.collect());
        let (_, parts) = svg::drawn(&own, &sheet([width, 200.0]));
        let face = Face::parse(typeface::REGULAR, 0).ok();
        let wide = |words: &str| svg::width_of(face.as_ref(), words, LETTERS);
        let mut last = f32::NEG_INFINITY;
        let mut found = 0;
        for (part, _) in &parts {
            if let parts::Part::Text { text, .. } = part && text.ends_with(" May") {
                let [left, right] = parts::reach(part, &wide)[..] else { panic!("a text") };
                prop_assert!(left.x > last, "{text} lies over the one before");
                last = right.x;
                found += 1;
            }
        }
        prop_assert!(found >= 1);
    }
}

/// The finer the closer: on the smallest picture of the room as in the largest.
#[test]
fn what_is_looked_at_closer_is_marked_finer() {
    use super::scale::Speaker;
    use crate::said::{Language, Say};

    let speaker = || Speaker::new(Say::new(Language::German));
    let face = Face::parse(typeface::REGULAR, 0).ok();
    let wide = |words: &str| svg::width_of(face.as_ref(), words, LETTERS);
    let days = [18_000.0, 21_650.0];
    for (scale, ends) in [
        (Scale::Days(speaker()), days),
        (Scale::Days(speaker()), [20_500.0, 20_545.0]),
        (Scale::Amounts(speaker()), [52.0, 112.0]),
        (Scale::Fractions(speaker()), [-0.06, 1.06]),
        (Scale::Percent(speaker()), [0.0, 1.0]),
    ] {
        for (upright, width, zoom, place) in [false, true].into_iter().flat_map(|upright| {
            let zooms = [1.0, 2.0, 5.0, 20.0];
            let all = [340.0, 560.0, 1200.0].into_iter();
            let all = all.flat_map(move |width| zooms.map(|zoom| (width, zoom)));
            let places = [0.1, 0.37, 0.5, 0.81];
            all.flat_map(move |(width, zoom)| places.map(|place| (upright, width, zoom, place)))
        }) {
            let mut own = figure("name", &[]);
            own.layers.clear();
            own.x = Axis::default();
            own.y = Axis::default();
            let axis = Axis {
                scale: scale.clone(),
                from: ends[0],
                to: ends[1],
                ..Axis::default()
            };
            let long = (ends[1] - ends[0]) / zoom;
            let from = ends[0] + place * (ends[1] - ends[0] - long);
            let mut view = View {
                x: [0.0, 1.0],
                y: [0.0, 1.0],
            };
            if upright {
                (own.y, view.y) = (axis, [from, from + long]);
            } else {
                (own.x, view.x) = (axis, [from, from + long]);
            }
            let off = BTreeSet::new();
            let room = Rect::from_min_size(pos2(0.0, 0.0), vec2(width, 210.0));
            let laid = layout::lay(&own, &off, view, room, &wide);
            let texts = laid
                .parts
                .iter()
                .filter(|part| matches!(part, parts::Part::Text { .. }));
            let texts: Vec<Rect> = texts
                .map(|part| Rect::from_points(&parts::reach(part, &wide)))
                .collect();
            let told = format!("{scale:?} of {width}, {zoom} times closer, upright {upright}");
            assert!(texts.len() >= 2, "{told}: {:?}", laid.parts);
            for (at, one) in texts.iter().enumerate() {
                assert!(
                    texts[at + 1..].iter().all(|next| !one.intersects(*next)),
                    "{told}"
                );
            }
        }
    }
}

/// A line that runs through leaves the field where it crosses its rim, and nowhere runs along it.
#[test]
fn a_line_and_its_band_end_at_the_rim_where_they_cross_it() {
    let mut own = figure("name", &[]);
    let range = |x: f64, low: f64, high: f64| Range { x, low, high };
    let slope = [(0.0, 0.0), (10.0, 10.0)];
    let line = Shape::Line {
        points: slope.map(|(x, y)| [x, y]).to_vec(),
        width: 2.0,
        dashed: false,
    };
    let band = Shape::Band(slope.map(|(x, y)| range(x, y, y + 1.0)).to_vec());
    own.layers = vec![layer("line", Ink::Ink, line), layer("band", Ink::Ink, band)];
    let map = Map {
        plot: Rect::from_min_size(pos2(0.0, 0.0), vec2(100.0, 100.0)),
        view: View {
            x: [2.0, 7.0],
            y: [4.0, 9.0],
        },
    };
    let wide = |_: &str| 0.0;
    let parts = parts::layers(&own, &BTreeSet::new(), &map, &wide);
    let [
        (parts::Part::Stroke { points, .. }, _),
        (parts::Part::Band { low, high, .. }, _),
    ] = &parts[..]
    else {
        panic!("a line and a band: {parts:?}")
    };
    let near = |one: Pos2, x: f32, y: f32| {
        assert!(one.distance(pos2(x, y)) < 0.01, "{one:?} is not {x}, {y}");
    };
    // From 4, 4 at the lower rim to 7, 7 at the right one. The band's lower edge is at the rim up to
    // there, and its upper one from 3 on above it.
    assert_eq!(points.len(), 2);
    near(points[0], 40.0, 100.0);
    near(points[1], 100.0, 40.0);
    let last = low.len() - 1;
    near(low[0], 0.0, 100.0);
    let corner = low.iter().position(|own| own.distance(points[0]) < 0.01);
    near(
        high[corner.expect("a corner where the edge leaves the rim")],
        40.0,
        80.0,
    );
    let risen = high
        .iter()
        .position(|own| own.distance(pos2(20.0, 100.0)) < 0.01);
    near(
        low[risen.expect("one where the upper edge does")],
        20.0,
        100.0,
    );
    near(low[last], 100.0, 40.0);
    near(high[last], 100.0, 20.0);
}

#[test]
fn long_words_are_cut_to_their_room() {
    let wide = |words: &str| words.chars().count() as f32;
    for (text, room, expect) in [
        ("half-pass", 9.0, "half-pass"),
        ("half-pass", 5.0, "half…"),
        ("half pass", 6.0, "half…"),
        ("half-pass", 0.0, "…"),
        ("", 0.0, ""),
    ] {
        assert_eq!(layout::short(text, room, &wide), expect);
    }
}

/// A layer without a name goes with the one before it.
#[test]
fn a_layer_is_switched_off_with_what_belongs_to_it() {
    let own = figure("boxes", &[1.0, 0.5, 3.0]);
    let names: Vec<&str> = own.legend().map(|(_, layer)| layer.name.as_str()).collect();
    let expect = ["band", "boxes", "ranges", "spans", "dots", "shows", "words"];
    assert_eq!(names, expect);
    let left = own.without(&BTreeSet::from([0]));
    assert_eq!(left.layers.len(), own.layers.len() - 2);
    assert_eq!(left.layers[0].name, "boxes");
}

#[test]
fn the_nearest_dot_is_meant_and_none_that_is_off() {
    let own = Figure {
        x: axis(0.0, 10.0, &[]),
        y: axis(0.0, 10.0, &[]),
        layers: vec![
            layer(
                "boxes",
                Ink::Fault,
                Shape::Boxes(vec![Filled {
                    x: [0.0, 5.0],
                    y: [0.0, 10.0],
                    strength: 1.0,
                    written: String::new(),
                    said: "a box".to_owned(),
                }]),
            ),
            layer(
                "dots",
                Ink::Ink,
                Shape::Dots(vec![
                    dot([2.0, 5.0], Sign::Circle, "left"),
                    dot([3.0, 5.0], Sign::Circle, "right"),
                ]),
            ),
        ],
        ..figure("name", &[])
    };
    let map = Map {
        plot: Rect::from_min_size(pos2(0.0, 0.0), vec2(100.0, 100.0)),
        view: View::whole(&own),
    };
    let check = |off: &[usize], at: (f32, f32), expect: Option<&str>| {
        let off: BTreeSet<usize> = off.iter().copied().collect();
        let found = pick::nearest(&own, &off, &map, pos2(at.0, at.1));
        assert_eq!(found.and_then(|pick| own.said(pick)), expect, "{at:?}");
    };
    check(&[], (22.0, 51.0), Some("left"));
    check(&[], (28.0, 50.0), Some("right"));
    check(&[], (10.0, 5.0), Some("a box"));
    check(&[1], (22.0, 51.0), Some("a box"));
    check(&[], (80.0, 80.0), None);
}

/// The pixel of a dot has the colour of its layer, and the words are drawn.
#[test]
fn a_picture_has_the_colours_of_the_figure() {
    let own = Figure {
        layers: vec![layer(
            "",
            Ink::Fault,
            Shape::Dots(vec![dot([5.0, 0.0], Sign::Square, "a dot")]),
        )],
        ..figure("Half-pass", &[])
    };
    let paper = sheet([400.0, 200.0]);
    let found = png::pixels(&own, &paper).unwrap();
    let (size, parts) = svg::drawn(&own, &paper);
    assert_eq!(
        found.size,
        [(2.0 * size.x) as usize, (2.0 * size.y) as usize]
    );
    let middle = parts.iter().find_map(|(part, pick)| match part {
        parts::Part::Area { points, .. } if pick.is_some() => {
            Some(points[0] + (points[2] - points[0]) / 2.0)
        }
        _ => None,
    });
    let middle = middle.expect("the dot");
    let pixel = |x: f32, y: f32| {
        let at = ((2.0 * y) as usize * found.size[0] + (2.0 * x) as usize) * 4;
        <[u8; 4]>::try_from(&found.rgba[at..at + 4]).unwrap()
    };
    let tokens = paper.tokens;
    assert_eq!(pixel(middle.x, middle.y), tokens.fault.to_array());
    assert_eq!(pixel(1.0, 1.0), tokens.raised.to_array());
    let ink = tokens.ink.to_array();
    let heading = found.rgba[..found.size[0] * 4 * 60].chunks_exact(4);
    assert!(
        heading.filter(|own| **own == ink).count() > 50,
        "no heading"
    );
    let bytes = png::png(&own, &paper).unwrap();
    let read = image::load_from_memory(&bytes).unwrap();
    assert_eq!(read.to_rgba8().into_raw(), found.rgba);
    let huge = png::pixels(&own, &sheet([4000.0, 4000.0]));
    assert!(matches!(huge, Err(png::PictureError::TooLarge)));
}

#[test]
fn a_table_is_written_for_spreadsheets() {
    let table = Table {
        columns: vec![Column::words("=day"), Column::numbers("share")],
        rows: vec![
            vec!["4 May, \"windy\"".to_owned(), "-0.5".to_owned()],
            vec!["@cmd".to_owned(), "–".to_owned()],
        ],
    };
    let csv = String::from_utf8(table.csv().unwrap()).unwrap();
    let expect = "'=day,share\r\n\"4 May, \"\"windy\"\"\",-0.5\r\n'@cmd,–\r\n";
    assert_eq!(csv, expect);
    let tabbed = table.tabbed().unwrap();
    assert_eq!(tabbed.lines().nth(2), Some("'@cmd\t–"));
}
