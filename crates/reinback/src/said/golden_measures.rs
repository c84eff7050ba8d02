//! The sentences about the whole horse, word for word, in every language. Written by hand.

use reinback_analysis::load::{LoadRide, load};
use reinback_analysis::outline::{Hold, OutlineReport, OutlineSpan, TimerRules, outline};
use reinback_analysis::place::{Arena, Place, Spot, places};
use reinback_analysis::series::{
    Asked, Change, Series, SeriesInput, StrideSource, StrideTime, series,
};
use reinback_analysis::series_count::Verdict;
use reinback_analysis::strides::{Convention, from_taps};
use reinback_analysis::tempo_around::{About, around};
use reinback_analysis::transitions::pooled;
use reinback_analysis::{Day, Key, Moment, Pace, Rein, Span};
use reinback_yard::lower::trouble::Trouble;
use reinback_yard::{RideId, WordId, Words};

use super::*;
use crate::report::figures::about::{Attempt, Kind, TempoAbout, ToTap};
use crate::report::whole::look::What;
use crate::report::whole::{AroundWhat, PaceOver, PacePoint, Places, Steps, StepsKind};

const SECOND: i64 = 1_000_000_000;
const STRIDE: i64 = 617_000_000;

/// One thing said in English and in German.
fn check(say: impl Fn(&Say) -> String, english: &str, german: &str) {
    let [en, de] = [Language::English, Language::German].map(Say::new);
    assert_eq!(say(&en), english);
    assert_eq!(say(&de), german);
}

fn held(minutes: &[(Hold, i64, i64)], ride: i64) -> OutlineReport {
    let span = |from: i64, to: i64| Span::new(Moment(from * 60 * SECOND), Moment(to * 60 * SECOND));
    let marked: Vec<OutlineSpan> = minutes
        .iter()
        .map(|(hold, from, to)| OutlineSpan {
            outline: Key(u32::from(*hold == Hold::Released)),
            hold: *hold,
            span: span(*from, *to),
        })
        .collect();
    outline(&marked, span(0, ride), TimerRules::default()).unwrap()
}

#[test]
fn the_timer() {
    use Hold::{Held, Released};
    for (marked, english, german) in [
        (
            vec![(Held, 0, 5), (Released, 5, 6)],
            "longest held 5 min 00 s",
            "am längsten beibehalten 5 min 00 s",
        ),
        (
            vec![(Held, 0, 9)],
            "held 9 min 00 s without a stretch: longer than 8 minutes, an early notice of our own",
            "9 min 00 s ohne Dehnung: länger als 8 Minuten, ein früher Hinweis nach eigener Wahl",
        ),
        (
            vec![(Held, 0, 5), (Held, 7, 13)],
            "held 11 min 00 s without a stretch or release: about ten minutes or more; not known for 2 min 00 s of it, so perhaps longer",
            "11 min 00 s ohne Dehnung oder Hingeben der Zügel: etwa zehn Minuten oder mehr; davon 2 min 00 s unbekannt, also vielleicht länger",
        ),
        (
            vec![(Released, 0, 5)],
            "no outline was held",
            "keine Haltung beibehalten",
        ),
    ] {
        let end = marked.last().map_or(1, |(_, _, to)| *to);
        check(
            |say| say.outline_timer(&held(&marked, end)),
            english,
            german,
        );
    }
}

#[test]
fn outlines() {
    let report = held(&[(Hold::Held, 0, 6), (Hold::Released, 6, 8)], 10);
    check(
        |say| say.outline_changes(&report),
        "1 change of outline, 1.2 in ten minutes",
        "1 Wechsel der Haltung, 1,2 in zehn Minuten",
    );
}

/// Changes after so many strides each, where so many were asked.
fn ridden(strides: &[i64], every: u32, stride: bool) -> Series {
    let mut at = 0;
    let mut changes = Vec::new();
    for (n, gap) in [0].iter().chain(strides).enumerate() {
        at += gap * STRIDE;
        changes.push(Change {
            at: Moment(at),
            onto: Some([Rein::Left, Rein::Right][n % 2]),
            refined: true,
            feet: None,
        });
    }
    series(&SeriesInput {
        changes,
        asked: Asked { every, count: 5 },
        stride: stride.then(|| StrideTime::new(STRIDE, StrideSource::Taps)),
        frame_nanos: 20_000_000,
    })
    .unwrap()
}

#[test]
fn series_of_changes() {
    for (strides, every, stride, english, german) in [
        (
            vec![3, 3, 3, 3],
            4,
            true,
            "Ridden every third stride where every 4th stride was asked, throughout.",
            "Zu 3 Sprüngen geritten, wo zu 4 Sprüngen verlangt war, und zwar durchgehend.",
        ),
        (
            vec![4, 4, 4, 4],
            4,
            true,
            "All 4 intervals that are sure kept their count: every 4th stride.",
            "Alle 4 sicheren Abstände stimmen: zu 4 Sprüngen.",
        ),
        (
            vec![1, 1, 1, 1],
            1,
            true,
            "All 4 intervals that are sure kept their count: every stride.",
            "Alle 4 sicheren Abstände stimmen: von Sprung zu Sprung.",
        ),
        (
            vec![4, 3, 4, 8],
            4,
            true,
            "2 of 4 intervals wrong (1 early, 1 change missed); at most 2 changes in a row kept the count.",
            "2 von 4 Abständen falsch (1 zu früh, 1 Wechsel ausgelassen); höchstens 2 Wechsel hintereinander stimmten.",
        ),
        (
            vec![8],
            4,
            true,
            "1 of 1 interval wrong (1 change missed); no two changes in a row kept the count.",
            "1 von 1 Abstand falsch (1 Wechsel ausgelassen); keine zwei Wechsel hintereinander stimmten.",
        ),
        (
            vec![2, 2, 2, 2],
            3,
            true,
            "Ridden every second stride where every third stride was asked, throughout.",
            "Zu 2 Sprüngen geritten, wo zu 3 Sprüngen verlangt war, und zwar durchgehend.",
        ),
        (
            vec![4, 4, 4, 4],
            4,
            false,
            "Count not verified: there is no stride time. Tap the canter strides of this ride.",
            "Anzahl nicht geprüft: Die Dauer eines Galoppsprungs ist nicht bekannt. Den Galopp dieses Ritts mittippen.",
        ),
    ] {
        let found = ridden(&strides, every, stride);
        check(
            |say| say.series(&found, true, true)[0].clone(),
            english,
            german,
        );
    }
    let short = ridden(&[4, 4], 4, true);
    check(
        |say| say.series(&short, true, true)[1].clone(),
        "3 changes shown, 5 asked.",
        "3 Wechsel gezeigt, 5 verlangt.",
    );
    check(
        |say| {
            say.series(&short, false, true)
                .last()
                .cloned()
                .unwrap_or_default()
        },
        "Clean or late behind is not measured: landings are not marked. The fault “late behind” is your own mark.",
        "Ob durchgesprungen oder nachgesprungen, ist nicht gemessen: Auftritte sind nicht markiert. Der Fehler „hinten nachgesprungen“ ist die eigene Marke.",
    );
    check(
        |say| say.series_asked(Some(15), Some(1)),
        "asked 15, every stride",
        "verlangt 15, von Sprung zu Sprung",
    );
}

fn canter(straight: bool, lapses: u32) -> PaceOver {
    PaceOver {
        pace: Pace::Canter,
        variant: Some(WordId::new("collected").unwrap()),
        points: vec![PacePoint {
            ride: RideId::from_bits(1),
            date: "2026-05-04".parse().unwrap(),
            median: 97.2,
            rides: 1,
            strides: 40.0,
            straight,
            lapse: None,
        }],
        median: 97.2,
        lapses,
    }
}

#[test]
fn tempo() {
    let said = |over: PaceOver| move |say: &Say| say.tempo(&over, Some("collected")).join("; ");
    check(
        said(canter(true, 0)),
        "collected canter: 97 strides a minute; no lapse on straight lines; published 95 to 103, for orientation only",
        "versammelter Galopp: 97 Galoppsprünge pro Minute; keine Temposchwankung auf geraden Linien; veröffentlicht 95 bis 103, nur zur Orientierung",
    );
    check(
        said(canter(false, 0)),
        "collected canter: 97 strides a minute; no line is known to be straight, so no lapse is claimed; published 95 to 103, for orientation only",
        "versammelter Galopp: 97 Galoppsprünge pro Minute; keine Linie ist sicher gerade, also wird keine Temposchwankung behauptet; veröffentlicht 95 bis 103, nur zur Orientierung",
    );
    let mut taps = vec![Moment(0)];
    for n in 0..18 {
        let step = if n < 9 { 620_000_000 } else { 580_000_000 };
        taps.push(Moment(taps[n].0 + step));
    }
    let found = around(
        &from_taps(&taps, Convention::Strides).strides,
        &[Span::new(taps[8], taps[9]), Span::new(taps[17], taps[18])],
    );
    check(
        |say| say.around(AroundWhat::Changes, &found).join(" "),
        "After one flying change the tempo was quicker once, slower never (by more than 4 %); here 6.9 % quicker. 1 left out: no three strides in a row on both sides.",
        "Nach einem Galoppwechsel: 1-mal eiliger, 0-mal langsamer (um mehr als 4 %); hier 6,9 % eiliger. 1 ausgelassen: nicht auf beiden Seiten drei Bewegungszyklen hintereinander.",
    );
}

/// Every pace and variant there is a word for, and one of the rider's own.
#[test]
fn paces_and_their_variants() {
    for (pace, variant, english, german) in [
        (Pace::Walk, "medium", "medium walk", "Mittelschritt"),
        (Pace::Walk, "free", "free walk", "freier Schritt"),
        (Pace::Walk, "extended", "extended walk", "starker Schritt"),
        (
            Pace::Walk,
            "collected",
            "collected walk",
            "versammelter Schritt",
        ),
        (Pace::Trot, "working", "working trot", "Arbeitstrab"),
        (
            Pace::Trot,
            "collected",
            "collected trot",
            "versammelter Trab",
        ),
        (Pace::Trot, "medium", "medium trot", "Mitteltrab"),
        (Pace::Trot, "extended", "extended trot", "starker Trab"),
        (Pace::Canter, "working", "working canter", "Arbeitsgalopp"),
        (
            Pace::Canter,
            "collected",
            "collected canter",
            "versammelter Galopp",
        ),
        (Pace::Canter, "medium", "medium canter", "Mittelgalopp"),
        (
            Pace::Canter,
            "extended",
            "extended canter",
            "starker Galopp",
        ),
        (Pace::Trot, "our own", "trot, our own", "Trab, our own"),
        (
            Pace::Passage,
            "our own",
            "passage, our own",
            "Passage, our own",
        ),
    ] {
        check(|say| say.going(pace, Some(variant)), english, german);
    }
    let kinds = [
        StepsKind::Between(Pace::Walk, Pace::Trot),
        StepsKind::Within(
            Pace::Trot,
            WordId::new("collected").unwrap(),
            WordId::new("medium").unwrap(),
        ),
    ];
    check(
        |say| kinds.each_ref().map(|kind| say.steps_kind(kind)).join("; "),
        "walk to trot; collected trot to medium trot",
        "Schritt – Trab; versammelter Trab – Mitteltrab",
    );
}

#[test]
fn tempo_of_several_rides_and_of_a_month() {
    let mut over = canter(true, 2);
    over.pace = Pace::Walk;
    over.variant = None;
    over.points.push(over.points[0]);
    check(
        |say| say.tempo(&over, None).join("; "),
        "walk: 97 strides a minute, the median of 2 rides; 2 lapses on straight lines; published 52 to 57, for orientation only",
        "Schritt: 97 Bewegungszyklen pro Minute, Median aus 2 Ritten; 2 Temposchwankungen auf geraden Linien; veröffentlicht 52 bis 57, nur zur Orientierung",
    );
    over.pace = Pace::Canter;
    let mut point = over.points[0];
    check(
        |say| say.tempo_point(&over, &point),
        "4 May 2026: canter, 97.2 strides a minute over 40 strides",
        "4. Mai 2026: Galopp, 97,2 Galoppsprünge pro Minute (40 gezählt)",
    );
    point.rides = 9;
    check(
        |say| say.tempo_month(&over, &point),
        "May 2026: canter, 97.2 strides a minute, the median of 9 rides",
        "Mai 2026: Galopp, 97,2 Galoppsprünge pro Minute, Median aus 9 Ritten",
    );
}

#[test]
fn tempo_about_what_is_not_known() {
    let two = [
        Span::new(Moment(0), Moment(1)),
        Span::new(Moment(5), Moment(6)),
    ];
    let found = around(&[], &two);
    check(
        |say| say.around(AroundWhat::Changes, &found).join(" "),
        "After 2 flying changes the tempo is not known: nowhere are three strides in a row tapped on both sides.",
        "Nach 2 Galoppwechseln: Das Tempo ist nicht bekannt, denn nirgends sind davor und danach drei Bewegungszyklen hintereinander getippt.",
    );
    let none = around(&[], &[]);
    check(
        |say| say.around(AroundWhat::Corners, &none).join(" "),
        "",
        "",
    );
}

#[test]
fn tempo_before_in_and_after() {
    let known = |within: Option<f64>| {
        let about = About {
            event: Span::new(Moment(0), Moment(1)),
            before: 79.6,
            within,
            after: 84.0,
        };
        let attempt = Attempt {
            ride: RideId::from_bits(1),
            day: chrono::NaiveDate::default(),
            kind: Kind::default(),
            about,
        };
        TempoAbout {
            events: vec![attempt],
            left_out: 0,
            to_tap: ToTap::NoAttempt,
        }
    };
    check(
        |say| say.tempo_about(&known(Some(81.2))),
        "In one attempt 80 strides a minute before, 84 after. In it 81.",
        "In einem Versuch davor 80, danach 84 Bewegungszyklen pro Minute. Darin 81.",
    );
    check(
        |say| say.tempo_about(&known(None)),
        "In one attempt 80 strides a minute before, 84 after.",
        "In einem Versuch davor 80, danach 84 Bewegungszyklen pro Minute.",
    );
    let mut more = known(Some(81.2));
    more.events.extend(known(None).events);
    more.events[1].about.before = 83.6;
    more.left_out = 3;
    check(
        |say| say.tempo_about(&more),
        "2 attempts, the median and from least to most: 82 (80 to 84) strides a minute before, 84 (84 to 84) after. In it 81, known in 1 of 2. 3 left out: no three strides in a row on both sides.",
        "2 Versuche, Median und Spanne: davor 82 (80 bis 84), danach 84 (84 bis 84) Bewegungszyklen pro Minute. Darin 81, bekannt in 1 von 2. 3 ausgelassen: nicht auf beiden Seiten drei Bewegungszyklen hintereinander.",
    );
    let mut kinds = more.clone();
    kinds.left_out = 0;
    kinds.events[0].kind.pace = Some(Pace::Trot);
    kinds.events[1].kind.pace = Some(Pace::Canter);
    check(
        |say| say.tempo_about(&kinds),
        "trot: In one attempt 80 strides a minute before, 84 after. In it 81. canter: In one attempt 84 strides a minute before, 84 after.",
        "Trab: In einem Versuch davor 80, danach 84 Bewegungszyklen pro Minute. Darin 81. Galopp: In einem Versuch davor 84, danach 84 Galoppsprünge pro Minute.",
    );
    check(
        |say| say.tempo_about(&TempoAbout::default()),
        "No tempo is known around this exercise in these days. It takes three strides tapped before and three after it.",
        "Um diese Lektion ist in diesen Tagen kein Tempo bekannt. Dafür braucht es drei getippte Bewegungszyklen davor und drei danach.",
    );
}

fn ride_on(day: i32, minutes: i64) -> LoadRide {
    LoadRide {
        id: 0,
        day: Day(day),
        ridden: Span::new(Moment(0), Moment(minutes * 60 * SECOND)),
        paces: Vec::new(),
        work: Vec::new(),
    }
}

#[test]
fn load_and_rest() {
    let said = |days: &[i32], at: usize| {
        let rides: Vec<LoadRide> = days.iter().map(|day| ride_on(20_000 + day, 30)).collect();
        let found = load(&rides, Day(20_000), &[], Some(2010));
        move |say: &Say| say.load(&found)[at].clone()
    };
    for (days, english, german) in [
        (
            &[-9, -4][..],
            "No ride today; the last one was 4 days ago.",
            "Heute kein Ritt; der letzte ist 4 Tage her.",
        ),
        (
            &[-9, -1],
            "No ride today; ridden yesterday.",
            "Heute kein Ritt; gestern wurde geritten.",
        ),
        (
            &[-9, -3, -2, -1],
            "No ride today; ridden on the 3 days before.",
            "Heute kein Ritt; davor an 3 Tagen hintereinander geritten.",
        ),
        (
            &[-9, 0],
            "The last day without a ride was yesterday.",
            "Der letzte Tag ohne Ritt war gestern.",
        ),
        (
            &[-9, -1, 0],
            "The last day without a ride was 2 days ago.",
            "Der letzte Tag ohne Ritt ist 2 Tage her.",
        ),
    ] {
        check(said(days, 2), english, german);
    }
    // Four rides of half an hour in the four weeks before, two in the last seven days.
    check(
        said(&[-40, -30, -20, -12, -8, -3, 0], 1),
        "A usual week is 30 min 00 s; the last seven days are 200 % of it.",
        "Eine übliche Woche sind 30 min 00 s; die letzten sieben Tage sind 200 % davon.",
    );
}

#[test]
fn cautions_about_load() {
    let rides: Vec<LoadRide> = [-40, -30, -20, -12, -8]
        .into_iter()
        .chain(-6..=0)
        .map(|day| ride_on(20_000 + day, 30))
        .collect();
    let found = load(&rides, Day(20_000), &[], Some(2020));
    check(
        |say| say.load_cautions(&found.cautions).join("\n"),
        "Much more in the last seven days than in a usual week. Work that grows slowly is easier on the horse.\n\
         Ridden for 7 days in a row. A day off, or out in the field, may do good.\n\
         A horse of 4 is still growing. Short rides and days off matter more than progress.",
        "In den letzten sieben Tagen viel mehr als in einer üblichen Woche. Arbeit, die langsam wächst, ist leichter für das Pferd.\n\
         7 Tage hintereinander geritten. Ein freier Tag oder die Koppel tut vielleicht gut.\n\
         Ein Pferd von 4 Jahren wächst noch. Kurze Ritte und freie Tage zählen mehr als Fortschritt.",
    );
}

#[test]
fn transitions_and_aids() {
    let minute = 60 * SECOND;
    let mut steps = Steps {
        rides: 1,
        all: pooled(std::iter::empty()),
        by_kind: Vec::new(),
        not_counted: 1,
    };
    steps.all.known_nanos = 10 * minute;
    steps.all.answers.answered = 1;
    check(
        |say| {
            let said = say.steps(&steps);
            [&said[0], &said[3], &said[4]].map(String::as_str).join(" ")
        },
        "10 min 00 s in a known pace, in 1 ride. 1 more cannot be told: a variant is not named, or the pace is not known in between. The horse answered 1 of 1 aid within 5 seconds.",
        "10 min 00 s in bekannter Gangart, in 1 Ritt. Ein weiterer ist nicht zu beurteilen: Eine Variante ist nicht genannt, oder die Gangart dazwischen ist nicht bekannt. Auf 1 von 1 Hilfe reagierte das Pferd innerhalb von 5 Sekunden.",
    );
    steps.not_counted = 3;
    steps.all.answers.unanswered = 2;
    check(
        |say| say.steps(&steps)[3..].join(" "),
        "3 more cannot be told: a variant is not named, or the pace is not known in between. The horse answered 1 of 3 aids within 5 seconds.",
        "3 weitere sind nicht zu beurteilen: Eine Variante ist nicht genannt, oder die Gangart dazwischen ist nicht bekannt. Auf 1 von 3 Hilfen reagierte das Pferd innerhalb von 5 Sekunden.",
    );
}

#[test]
fn intervals_and_leads() {
    for (verdict, english, german) in [
        (Verdict::AsAsked, "4", "4"),
        (Verdict::Unsure { fewest: 3, most: 4 }, "3 or 4", "3 oder 4"),
        (Verdict::Early { by: 1 }, "4 early", "4 zu früh"),
        (Verdict::Late { by: 1 }, "4 late", "4 zu spät"),
        (Verdict::Missed { changes: 1 }, "4 missed", "4 ausgelassen"),
        (Verdict::Extra, "4 too many", "4 zu viel"),
    ] {
        check(|say| say.interval(4.0, verdict), english, german);
    }
    let mut found = ridden(&[4, 3, 4, 8], 4, true);
    found.same_lead_twice = vec![Moment(0)];
    let leads = |found: &Series| {
        let found = found.clone();
        move |say: &Say| {
            let said = say.series(&found, true, true);
            said[said.len() - 4..said.len() - 1].join(" ")
        }
    };
    check(
        leads(&found),
        "Changes to the left: 2 of 2 wrong. Changes to the right: 0 of 2 wrong. Once the same lead is marked twice in a row: a change between is missing, or a lead is wrong.",
        "Wechsel nach links: 2 von 2 falsch. Wechsel nach rechts: 0 von 2 falsch. Einmal ist derselbe Galopp zweimal hintereinander markiert: Ein Wechsel dazwischen fehlt, oder eine Seite ist falsch.",
    );
    let few = ridden(&[4, 4], 4, true);
    let uneven = |say: &Say| say.series(&few, true, false)[2].clone();
    check(
        uneven,
        "Too few changes for evenness: it takes at least four.",
        "Zu wenige Wechsel für die Gleichmäßigkeit: Es braucht mindestens vier.",
    );
}

#[test]
fn places_of_faults() {
    let spots = [
        Spot::Clicked(Place { x: 0.0, y: 20.0 }),
        Spot::Clicked(Place { x: 0.5, y: 20.5 }),
        Spot::Unplaced,
        Spot::Clicked(Place { x: 80.0, y: 20.0 }),
    ];
    let places = Places {
        given: Some(Arena::Small),
        arena: Arena::Small,
        rides: 1,
        found: places(&spots, Arena::Small, 5.0).unwrap(),
        faults: Vec::new(),
    };
    check(
        |say| say.places(&places).join(" "),
        "20 × 40 m, 1 ride: 2 faults have a place. One fault has none: click it on the plan in Review. One lies outside this arena: check its size.",
        "20 × 40 m, 1 Ritt: 2 Fehler haben einen Ort. Ein Fehler hat keinen: in Review auf dem Plan anklicken. Einer liegt außerhalb dieser Bahn: ihre Größe prüfen.",
    );
    let letter = places.found.by_letter[0].0;
    check(
        |say| say.at_letter(letter, 1),
        &format!("{letter}: once"),
        &format!("{letter}: einmal"),
    );
    check(
        |say| say.at_letter(letter, 3),
        &format!("{letter}: 3 times"),
        &format!("{letter}: 3-mal"),
    );
}

#[test]
fn load_without_a_ride() {
    let none = load(&[], Day(20_000), &[], Some(2019));
    check(
        |say| say.load(&none).join(" "),
        "Last seven days: 0 s in 0 rides. No ride up to today yet. 5 years old. Competitions cannot be entered yet, so days to the next one are not told.",
        "Letzte sieben Tage: 0 s in 0 Ritten. Bis heute noch kein Ritt. 5 Jahre alt. Turniere lassen sich noch nicht eintragen, deshalb steht hier nichts über die Tage bis dahin.",
    );
}

#[test]
fn what_stands_in_the_way() {
    let words = Words::default();
    for (what, english, german) in [
        (
            What::InRide(Trouble::LooseFaults(1)),
            "One fault lies in no exercise and so is in no rate.",
            "Ein Fehler liegt in keiner Lektion und ist deshalb in keiner Quote.",
        ),
        (
            What::InRide(Trouble::LooseFaults(3)),
            "3 faults lie in no exercise and so are in no rate.",
            "3 Fehler liegen in keiner Lektion und sind deshalb in keiner Quote.",
        ),
        (
            What::InRide(Trouble::TwoPaces(9 * SECOND)),
            "Two paces are marked at once for 9 s: taken as not known.",
            "Zwei Gangarten sind 9 s lang zugleich markiert: als unbekannt genommen.",
        ),
        (
            What::AllFaulty(WordId::new("half-pass").unwrap(), 8),
            "half-pass: all 8 attempts had a fault. Perhaps it is asked too early; and a better rate than this cannot be ruled out.",
            "Traversale: Alle 8 Versuche hatten einen Fehler. Vielleicht wird sie zu früh verlangt; und eine bessere Quote ist damit nicht ausgeschlossen.",
        ),
    ] {
        check(|say| say.look(&what, &words), english, german);
    }
}
