//! The sentences about the whole horse, word for word, in every language. Written by hand.

use reinback_analysis::load::load;
use reinback_analysis::outline::{Hold, OutlineReport, OutlineSpan, TimerRules, outline};
use reinback_analysis::series::{
    Asked, Change, Series, SeriesInput, StrideSource, StrideTime, series,
};
use reinback_analysis::strides::{Convention, from_taps};
use reinback_analysis::tempo_around::around;
use reinback_analysis::{Day, Key, Moment, Pace, Rein, Span};
use reinback_yard::lower::trouble::Trouble;
use reinback_yard::{RideId, WordId, Words};

use super::*;
use crate::report::whole::look::What;
use crate::report::whole::{AroundWhat, PaceOver, PacePoint};

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
            "11 min 00 s ohne Dehnung oder Zügel-aus-der-Hand-kauen: etwa zehn Minuten oder mehr; davon 2 min 00 s unbekannt, also vielleicht länger",
        ),
        (
            vec![(Released, 0, 5)],
            "no outline was held",
            "keine Haltung lange beibehalten",
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
    let names = ["competition".to_owned(), "stretched".to_owned()];
    check(
        |say| say.outline_shares(&names, &report),
        "competition 75 %, stretched 25 %, 2 min 00 s not known",
        "Turnierhaltung 75 %, gedehnt 25 %, 2 min 00 s unbekannt",
    );
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
            "Ridden every 3 strides where every 4 strides was asked, throughout.",
            "Zu 3 Sprüngen geritten, wo zu 4 Sprüngen verlangt war, und zwar durchgehend.",
        ),
        (
            vec![4, 4, 4, 4],
            4,
            true,
            "All 4 intervals that are sure kept their count: every 4 strides.",
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
            "2 of 4 intervals wrong (1 early, 1 missed); at most 2 changes in a row kept the count.",
            "2 von 4 Abständen falsch (1 zu früh, 1 ausgelassen); höchstens 2 Wechsel hintereinander stimmten.",
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
        "canter, collected: 97 strides a minute, the middle of 1 ride; no lapse on straight lines; published 95 to 103, for orientation only",
        "Galopp, versammelt: 97 Takte pro Minute, die Mitte aus 1 Ritt; keine Temposchwankung auf geraden Linien; veröffentlicht 95 bis 103, nur zur Orientierung",
    );
    check(
        said(canter(false, 0)),
        "canter, collected: 97 strides a minute, the middle of 1 ride; no line is known to be straight, so no lapse is claimed; published 95 to 103, for orientation only",
        "Galopp, versammelt: 97 Takte pro Minute, die Mitte aus 1 Ritt; keine Linie ist sicher gerade, also wird keine Temposchwankung behauptet; veröffentlicht 95 bis 103, nur zur Orientierung",
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
        "After one flying change the tempo ran in 1 and dropped in 0; typically 6.9 % quicker after. 1 left out: no three strides in a row on both sides.",
        "Nach einem Galoppwechsel wurde das Tempo in 1 eiliger und in 0 langsamer; meist 6,9 % eiliger danach. 1 ausgelassen: nicht auf beiden Seiten drei Takte hintereinander.",
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
            "Traversale: Alle 8 Versuche hatten einen Fehler. Vielleicht wird zu früh verlangt; und eine bessere Quote ist damit nicht ausgeschlossen.",
        ),
    ] {
        check(|say| say.look(&what, &words), english, german);
    }
}
