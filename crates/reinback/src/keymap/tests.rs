//! No key belongs to two commands, whatever a rider does and whatever is remembered.

use proptest::prelude::*;

use super::*;

fn key(modifiers: Modifiers, key: Key) -> Press {
    Press::Key(KeyboardShortcut::new(modifiers, key))
}

fn check_sound(map: &KeyMap) {
    let mut seen = BTreeSet::new();
    for &command in Command::ALL {
        for press in map.presses(command) {
            assert!(
                seen.insert(to_setting(*press)),
                "{press:?} belongs to two commands, one is {command:?}"
            );
            assert_eq!(map.holder(*press), Some(command));
        }
    }
}

#[test]
fn keys_are_at_first_those_of_the_list() {
    let map = KeyMap::default();
    for &command in Command::ALL {
        assert_eq!(map.presses(command), command.presses(), "{command:?}");
        assert!(!map.is_changed(command));
    }
    assert!(!map.is_any_changed());
    assert!(map.to_settings().is_empty());
}

#[test]
fn every_first_key_may_be_given_again() {
    for &command in Command::ALL {
        for press in command.presses() {
            assert_eq!(allowed(command, *press), Ok(()), "{command:?}");
        }
    }
}

#[test]
fn a_key_taken_from_another_comes_back_when_it_is_free() {
    let mut map = KeyMap::default();
    let f2 = key(Modifiers::NONE, Key::F2);
    assert_eq!(map.holder(f2), Some(Command::Slower));
    map.give(Command::Praise, 0, f2).unwrap();
    assert_eq!(map.presses(Command::Slower), []);
    assert_eq!(map.presses(Command::Praise), [f2]);
    assert_eq!(
        map.in_the_way_of_reset(Command::Slower),
        Some((f2, Command::Praise))
    );
    map.give(Command::Praise, 0, Press::Sign('!')).unwrap();
    assert_eq!(
        map.presses(Command::Slower),
        [f2],
        "nobody else wants it any more"
    );
    assert_eq!(map.holder(Press::Sign('+')), None);
    map.reset(Command::Praise);
    assert_eq!(map, KeyMap::default());
}

#[test]
fn a_reset_takes_its_keys_back() {
    let mut map = KeyMap::default();
    let f2 = key(Modifiers::NONE, Key::F2);
    map.give(Command::Praise, 1, f2).unwrap();
    assert_eq!(map.presses(Command::Praise), [Press::Sign('+'), f2]);
    map.reset(Command::Slower);
    assert_eq!(map.presses(Command::Slower), [f2]);
    assert_eq!(map.presses(Command::Praise), [Press::Sign('+')]);
    assert!(!map.is_any_changed());
}

#[test]
fn a_command_can_be_without_a_key() {
    let mut map = KeyMap::default();
    map.take_away(Command::Praise, Press::Sign('+'));
    assert_eq!(map.presses(Command::Praise), []);
    let (again, spoilt) = KeyMap::from_settings(&map.to_settings());
    assert_eq!((again, spoilt), (map, Vec::new()));
}

fn check_refused(command: Command, press: Press, why: Refused) {
    let mut map = KeyMap::default();
    assert_eq!(map.give(command, 0, press), Err(why), "{press:?}");
    assert_eq!(map, KeyMap::default(), "nothing is changed");
}

#[test]
fn what_marks_stays() {
    check_refused(Command::Praise, Press::Sign('h'), Refused::Letters);
    check_refused(Command::Praise, Press::Sign('ß'), Refused::Letters);
    check_refused(Command::Praise, Press::Sign('4'), Refused::Faults);
    check_refused(
        Command::Praise,
        key(Modifiers::NONE, Key::H),
        Refused::Letters,
    );
    check_refused(
        Command::Praise,
        key(Modifiers::ALT, Key::Num4),
        Refused::Faults,
    );
    check_refused(
        Command::Praise,
        key(Modifiers::SHIFT, Key::Num4),
        Refused::Outlines,
    );
    check_refused(
        Command::Praise,
        key(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::Num4),
        Refused::Variants,
    );
    check_refused(
        Command::Praise,
        key(Modifiers::SHIFT, Key::Tab),
        Refused::Tab,
    );
    check_refused(
        Command::Praise,
        key(Modifiers::NONE, Key::Escape),
        Refused::Escape,
    );
    check_refused(Command::Save, Press::Sign('!'), Refused::NeedsModifier);
    check_refused(
        Command::Save,
        key(Modifiers::SHIFT, Key::S),
        Refused::NeedsModifier,
    );
}

fn check_spoilt(settings: &[(&str, &[&str])], expect: &[&str]) {
    let settings: Settings = settings
        .iter()
        .map(|(name, keys)| {
            let keys = keys.iter().map(|key| (*key).to_owned()).collect();
            ((*name).to_owned(), keys)
        })
        .collect();
    let (map, spoilt) = KeyMap::from_settings(&settings);
    assert_eq!(spoilt, expect, "{settings:?}");
    check_sound(&map);
}

#[test]
fn what_is_spoilt_is_left_out_and_named() {
    check_spoilt(&[("Praise", &["sign !"])], &[]);
    check_spoilt(&[("Praise", &["sign !!"])], &["Praise"]);
    check_spoilt(&[("Praise", &["Hyper+P"])], &["Praise"]);
    check_spoilt(&[("Praise", &[""])], &["Praise"]);
    check_spoilt(&[("Praise", &["sign h"])], &["Praise"]);
    check_spoilt(&[("NoSuchThing", &["F2"])], &["NoSuchThing"]);
    check_spoilt(
        &[("NextVariant", &["F2"]), ("Praise", &["F2", "F3"])],
        &["Praise"],
    );
    check_spoilt(&[("Praise", &["F2", "F2"])], &["Praise"]);
}

#[test]
fn keys_are_remembered_as_words() {
    assert_eq!(
        to_setting(key(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::Plus)),
        "Command+Shift+Plus"
    );
    assert_eq!(to_setting(Press::Sign('+')), "sign +");
}

#[test]
fn a_text_shows_the_riders_own_key() {
    let ctx = egui::Context::default();
    let mut map = KeyMap::default();
    assert_eq!(
        map.in_text("end it ({EndBout}) first", &ctx),
        "end it (0) first"
    );
    map.give(Command::EndBout, 0, Press::Sign('!')).unwrap();
    assert_eq!(
        map.in_text("end it ({EndBout}) first", &ctx),
        "end it (!) first"
    );
    map.take_away(Command::EndBout, Press::Sign('!'));
    assert_eq!(map.in_text("end it ({EndBout})", &ctx), "end it (no key)");
    assert_eq!(map.in_text("{Nothing} {", &ctx), "{Nothing} {");
}

fn command() -> impl Strategy<Value = Command> {
    proptest::sample::select(Command::ALL)
}

fn press() -> impl Strategy<Value = Press> {
    let modifiers = proptest::sample::select(vec![
        Modifiers::NONE,
        Modifiers::SHIFT,
        Modifiers::ALT,
        Modifiers::COMMAND,
        Modifiers::COMMAND.plus(Modifiers::SHIFT),
    ]);
    prop_oneof![
        (modifiers, proptest::sample::select(Key::ALL)).prop_map(|(held, of)| key(held, of)),
        proptest::sample::select("+-*/=0!?,.;:aZ7".chars().collect::<Vec<_>>())
            .prop_map(Press::Sign),
    ]
}

#[derive(Clone, Debug)]
enum Act {
    Give(Command, usize, Press),
    Swap(Command, Command),
    TakeAway(Command),
    Reset(Command),
}

fn act() -> impl Strategy<Value = Act> {
    prop_oneof![
        (command(), 0..4_usize, press()).prop_map(|(c, place, p)| Act::Give(c, place, p)),
        (command(), command()).prop_map(|(to, from)| Act::Swap(to, from)),
        command().prop_map(Act::TakeAway),
        command().prop_map(Act::Reset),
    ]
}

proptest! {
    /// Whatever is given, taken and reset, no key belongs to two; and it is remembered as it is.
    #[test]
    fn whatever_a_rider_does(acts in proptest::collection::vec(act(), 0..24)) {
        let mut map = KeyMap::default();
        for act in acts {
            match act {
                Act::Give(command, place, press) => {
                    let given = map.give(command, place, press).is_ok();
                    prop_assert_eq!(given, allowed(command, press).is_ok());
                    if given {
                        prop_assert_eq!(map.holder(press), Some(command));
                    }
                }
                Act::Swap(to, from) => {
                    if let Some(press) = map.presses(from).first().copied() {
                        let _refused = map.give(to, 0, press);
                    }
                }
                Act::TakeAway(command) => {
                    if let Some(press) = map.presses(command).first().copied() {
                        map.take_away(command, press);
                        prop_assert_ne!(map.holder(press), Some(command));
                    }
                }
                Act::Reset(command) => {
                    map.reset(command);
                    prop_assert_eq!(map.presses(command), command.presses());
                }
            }
            check_sound(&map);
            let (again, spoilt) = KeyMap::from_settings(&map.to_settings());
            prop_assert_eq!(spoilt, Vec::<String>::new());
            prop_assert_eq!(&again, &map);
        }
    }

    /// Whatever the file of preferences holds.
    #[test]
    fn whatever_is_remembered(
        settings in proptest::collection::btree_map(
            prop_oneof![command().prop_map(|c| c.name().to_owned()), ".{0,8}"],
            proptest::collection::vec(
                prop_oneof![press().prop_map(to_setting), ".{0,8}"],
                0..4,
            ),
            0..8,
        ),
    ) {
        let (map, _spoilt) = KeyMap::from_settings(&settings);
        check_sound(&map);
    }
}
