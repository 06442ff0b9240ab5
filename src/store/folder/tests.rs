use super::*;
use crate::{
    model::{
        AirPlace, AirReading, AirRound, Mode, Oven, OvenId, Phase, Reading, RoundId, Shade, Spot,
        ToastTest,
    },
    units::Celsius,
};
use std::fs::File;
use std::io::Write;

const TEST: &str = include_str!("../../../tests/data/v1/tests/2026-04-12-counter-oven.json");
const OVEN: &str = include_str!("../../../tests/data/v1/ovens/wall-oven.json");

fn put(root: &Path, name: &str, text: &str) -> PathBuf {
    let path = root.join(name);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    File::create(&path)
        .unwrap()
        .write_all(text.as_bytes())
        .unwrap();
    path
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> = fs::read_dir(folder)
        .map(|entries| {
            entries
                .map(|e| e.unwrap().file_name().into_string().unwrap())
                .collect()
        })
        .unwrap_or_default();
    names.sort();
    names
}

/// A folder with an oven and a test in it.
fn sound() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    put(dir.path(), "ovens/wall-oven.json", OVEN);
    put(dir.path(), "tests/2026-04-12-counter-oven.json", TEST);
    dir
}

fn darker(test: &ToastTest) -> ToastTest {
    let mut changed = test.clone();
    changed.slices[0].reading = Reading::ByEye(Shade::whole(9).unwrap());
    changed
}

#[test]
fn what_is_saved_is_there_when_opened_again() {
    let dir = sound();
    let changed = {
        let (store, contents, warnings) = Store::open(dir.path(), Access::Write).unwrap();
        assert!(warnings.is_empty(), "{warnings:?}");
        let changed = darker(&contents.tests[0]);
        store.save(&changed).unwrap();
        changed
    };
    let (_, contents, _) = Store::open(dir.path(), Access::Read).unwrap();
    assert_eq!(contents.tests, [changed]);
    assert_eq!(contents.ovens.len(), 1);
    let files = names(&dir.path().join("tests"));
    assert_eq!(
        files,
        [
            "2026-04-12-counter-oven.json",
            "2026-04-12-counter-oven.json.previous"
        ]
    );
}

#[test]
fn a_damaged_file_is_set_aside_and_the_rest_is_usable() {
    let dir = sound();
    put(dir.path(), "tests/bad.json", &TEST[..300]);
    let (store, contents, warnings) = Store::open(dir.path(), Access::Write).unwrap();
    assert_eq!((contents.ovens.len(), contents.tests.len()), (1, 1));
    let said = warnings[0].to_string();
    assert!(
        said.contains("bad.json is damaged: EOF") && said.contains("damaged"),
        "{said}"
    );
    assert_eq!(names(&dir.path().join("damaged")), ["bad.json"]);
    assert!(!dir.path().join("tests/bad.json").exists());
    drop(store);
    // A second one of that name goes beside the first, not over it.
    put(dir.path(), "tests/bad.json", "{");
    Store::open(dir.path(), Access::Write).unwrap();
    assert_eq!(
        names(&dir.path().join("damaged")),
        ["2-bad.json", "bad.json"]
    );
}

#[test]
fn the_version_before_a_damaged_one_is_used_and_put_back() {
    let dir = sound();
    let name = "tests/2026-04-12-counter-oven.json";
    {
        let (store, contents, _) = Store::open(dir.path(), Access::Write).unwrap();
        store.save(&darker(&contents.tests[0])).unwrap();
    }
    put(dir.path(), name, "garbage");
    let (_, looked, warnings) = Store::open(dir.path(), Access::Read).unwrap();
    assert_eq!(looked.tests.len(), 1);
    assert!(
        warnings[0]
            .what
            .contains("the version saved before it is used"),
        "{warnings:?}"
    );
    assert_eq!(
        fs::read_to_string(dir.path().join(name)).unwrap(),
        "garbage",
        "only looked at"
    );
    let (store, contents, warnings) = Store::open(dir.path(), Access::Write).unwrap();
    assert_eq!((contents.tests.len(), warnings.len()), (1, 1));
    assert_eq!(contents, looked);
    drop(store);
    let (_, contents, warnings) = Store::open(dir.path(), Access::Write).unwrap();
    assert_eq!(
        (contents.tests.len(), warnings.len()),
        (1, 0),
        "it is whole again"
    );
    assert_eq!(fs::read_to_string(dir.path().join(name)).unwrap(), TEST);
}

#[test]
fn a_lost_file_is_found_by_the_version_before_it() {
    let dir = sound();
    put(dir.path(), "ovens/wall-oven.json.previous", OVEN);
    fs::remove_file(dir.path().join("ovens/wall-oven.json")).unwrap();
    let (_, contents, warnings) = Store::open(dir.path(), Access::Write).unwrap();
    assert_eq!((contents.ovens.len(), warnings.len()), (1, 1));
    assert!(dir.path().join("ovens/wall-oven.json").exists());
}

#[test]
fn opened_to_look_nothing_is_made_moved_or_saved() {
    let dir = sound();
    put(dir.path(), "tests/bad.json", "{");
    let before = names(dir.path());
    let (store, contents, warnings) = Store::open(dir.path(), Access::Read).unwrap();
    assert!(warnings[0].what.contains("bad.json is damaged"));
    assert!(!warnings[0].to_string().contains("set aside"));
    assert!(dir.path().join("tests/bad.json").exists());
    assert!(matches!(
        store.save(&contents.tests[0]),
        Err(StoreError::ReadOnly { .. })
    ));
    assert_eq!(names(dir.path()), before);
    let nowhere = dir.path().join("nowhere");
    let (_, contents, warnings) = Store::open(&nowhere, Access::Read).unwrap();
    assert_eq!((contents, warnings), (Contents::default(), Vec::new()));
    assert!(!nowhere.exists());
}

#[test]
fn a_newer_programs_file_is_left_alone_and_never_written_over() {
    let dir = sound();
    let newer = OVEN.replace("\"version\": 1", "\"version\": 7");
    put(dir.path(), "ovens/wall-oven.json", &newer);
    let (store, contents, warnings) = Store::open(dir.path(), Access::Write).unwrap();
    assert!(contents.ovens.is_empty());
    assert!(
        warnings[0].what.contains("format version 7"),
        "{warnings:?}"
    );
    assert!(!store.is_free("wall-oven") && store.is_free("other"));
    let oven = Oven::decode(OVEN).unwrap();
    assert!(matches!(store.save(&oven), Err(StoreError::Newer { .. })));
    assert!(matches!(store.remove(&oven), Err(StoreError::Newer { .. })));
    let kept = fs::read_to_string(dir.path().join("ovens/wall-oven.json")).unwrap();
    assert_eq!(kept, newer);
}

#[test]
fn a_file_that_cannot_be_read_is_not_damaged_stays_and_is_never_written_over() {
    // A memory stick with a bad spot, too many open files, another user's file: all may be sound.
    fn refusing(path: &Path, most: u64) -> io::Result<String> {
        if path.ends_with("ovens/wall-oven.json") {
            return Err(io::ErrorKind::PermissionDenied.into());
        }
        read::text(path, most)
    }
    let dir = sound();
    put(dir.path(), "ovens/wall-oven.json.previous", OVEN);
    fs::create_dir(dir.path().join("tests/folder.json")).unwrap();
    let (store, contents, warnings) =
        Store::open_with(dir.path(), Access::Write, refusing).unwrap();
    assert_eq!((contents.ovens.len(), contents.tests.len()), (0, 1));
    assert_eq!(warnings.len(), 2, "{warnings:?}");
    for warning in &warnings {
        assert!(warning.what.contains("cannot be read"), "{warning}");
        assert!(!warning.what.contains("damaged"), "{warning}");
    }
    assert!(!dir.path().join("damaged").exists());
    assert!(dir.path().join("tests/folder.json").is_dir());
    assert!(!store.is_free("wall-oven") && !store.is_free("folder"));
    let oven = Oven::decode(OVEN).unwrap();
    for refused in [store.save(&oven), store.remove(&oven).map(drop)] {
        assert!(matches!(refused, Err(StoreError::Unread { .. })));
    }
    drop(store);
    let (_, contents, _) = Store::open(dir.path(), Access::Write).unwrap();
    assert_eq!(contents.ovens, [oven], "sound as soon as it can be read");
}

#[test]
fn only_one_writer_at_a_time_but_any_number_may_look() {
    let dir = sound();
    let first = Store::open(dir.path(), Access::Write).unwrap();
    let error = Store::open(dir.path(), Access::Write).unwrap_err();
    let said = error.to_string();
    let own = format!("(process {})", std::process::id());
    assert!(
        said.contains("in use by another rackshade") && said.contains(&own),
        "{said}"
    );
    assert!(said.contains("--data DIR"), "{said}");
    assert!(Store::open(dir.path(), Access::Read).is_ok());
    drop(first);
    assert!(Store::open(dir.path(), Access::Write).is_ok());
}

#[test]
fn absurd_and_misnamed_files_are_told_not_read() {
    let dir = sound();
    put(dir.path(), "tests/huge.json", &" ".repeat(5 << 20));
    put(dir.path(), "tests/other-name.json", TEST);
    put(dir.path(), "tests/.writing-x", "left by a crash");
    put(dir.path(), "tests/notes.txt", "not ours");
    fs::create_dir(dir.path().join("tests/folder.json")).unwrap();
    File::create(dir.path().join("tests/binary.json"))
        .unwrap()
        .write_all(&[0xff, 0xfe, 0])
        .unwrap();
    let (_, contents, warnings) = Store::open(dir.path(), Access::Read).unwrap();
    assert_eq!(contents.tests.len(), 1);
    let said: Vec<_> = warnings.iter().map(|w| w.what.clone()).collect();
    assert_eq!(said.len(), 4, "{said:?}");
    assert!(
        said.iter().any(|w| w.contains("larger than 4 MiB")),
        "{said:?}"
    );
    assert!(
        said.iter().any(|w| w.contains("expected other-name")),
        "{said:?}"
    );
}

#[test]
fn a_full_disk_and_a_read_only_one_are_told_apart_and_lose_nothing() {
    fn full(file: &mut File, bytes: &[u8]) -> io::Result<()> {
        file.write_all(&bytes[..10])?;
        Err(io::ErrorKind::StorageFull.into())
    }
    fn read_only(_: &mut File, _: &[u8]) -> io::Result<()> {
        Err(io::ErrorKind::ReadOnlyFilesystem.into())
    }
    let dir = sound();
    let (mut store, contents, _) = Store::open(dir.path(), Access::Write).unwrap();
    let test = darker(&contents.tests[0]);
    store.write = full;
    let error = store.save(&test).unwrap_err();
    assert!(matches!(error, StoreError::Full { .. }));
    assert!(error.to_string().contains("free some space"), "{error}");
    store.write = read_only;
    let error = store.save(&test).unwrap_err();
    assert!(matches!(error, StoreError::NotWritable { .. }));
    let path = dir.path().join("tests/2026-04-12-counter-oven.json");
    assert_eq!(fs::read_to_string(&path).unwrap(), TEST);
    store.write = atomic::write_and_flush;
    store.save(&test).unwrap();
    assert_ne!(fs::read_to_string(&path).unwrap(), TEST);
}

#[test]
fn a_folder_that_cannot_be_made_is_an_error_with_its_name() {
    let dir = tempfile::tempdir().unwrap();
    let file = put(dir.path(), "taken", "a file");
    let said = Store::open(&file, Access::Write).unwrap_err().to_string();
    assert!(said.contains("taken"), "{said}");
}

#[test]
fn what_is_removed_is_set_aside_with_the_version_before_it() {
    let dir = sound();
    let (store, contents, _) = Store::open(dir.path(), Access::Write).unwrap();
    store.save(&darker(&contents.tests[0])).unwrap();
    store.remove(&contents.tests[0]).unwrap();
    assert_eq!(names(&dir.path().join("tests")), Vec::<String>::new());
    assert_eq!(names(&dir.path().join("removed")).len(), 2);
    drop(store);
    let (_, contents, warnings) = Store::open(dir.path(), Access::Write).unwrap();
    assert!(contents.tests.is_empty() && warnings.is_empty());
}

#[test]
fn what_would_not_be_read_again_is_refused_before_a_byte_is_written() {
    let dir = sound();
    let (store, mut contents, _) = Store::open(dir.path(), Access::Write).unwrap();
    let oven = &mut contents.ovens[0];
    oven.note = String::new();
    let room = usize::try_from(MOST_BYTES).unwrap() - oven.encode().unwrap().len();
    oven.note = "x".repeat(room);
    store.save(oven).unwrap();
    let whole = oven.clone();
    oven.note.push('x');
    let error = store.save(oven).unwrap_err();
    assert!(matches!(error, StoreError::TooLarge { .. }));
    assert!(error.to_string().contains("none above 4096 KiB"), "{error}");
    drop(store);
    let (_, contents, warnings) = Store::open(dir.path(), Access::Write).unwrap();
    assert_eq!((contents.ovens, warnings), (vec![whole], Vec::new()));
}

#[test]
fn a_file_that_is_merely_too_large_stays_where_it_is_and_is_never_written_over() {
    let dir = sound();
    // Letters of two bytes: one of them stands across the limit.
    let large = format!("x{}", "é".repeat(3 << 20));
    let path = put(dir.path(), "ovens/wall-oven.json", &large);
    put(dir.path(), "ovens/wall-oven.json.previous", OVEN);
    let (store, contents, warnings) = Store::open(dir.path(), Access::Write).unwrap();
    assert!(contents.ovens.is_empty());
    assert_eq!(warnings.len(), 1);
    let said = warnings[0].to_string();
    assert!(
        said.contains("larger than 4 MiB") && said.contains("stays as it is"),
        "{said}"
    );
    assert!(!said.contains("damaged"), "{said}");
    let oven = Oven::decode(OVEN).unwrap();
    for refused in [store.save(&oven), store.remove(&oven).map(drop)] {
        assert!(matches!(refused, Err(StoreError::LeftLarge { .. })));
    }
    assert!(!store.is_free("wall-oven"));
    assert!(!dir.path().join("damaged").exists());
    assert_eq!(fs::read_to_string(path).unwrap(), large);
}

#[test]
fn as_many_readings_as_a_round_takes_are_read_again_however_long_each_is() {
    let dir = sound();
    let (store, ..) = Store::open(dir.path(), Access::Write).unwrap();
    let begun = jiff::civil::date(2026, 11, 20).at(14, 0, 0, 123_456_789);
    let count = i64::try_from(AirRound::MOST_READINGS).unwrap();
    let round = AirRound {
        id: RoundId::of_words("long"),
        oven: OvenId::of_words("wall-oven"),
        mode: Mode::StillAir,
        thermometer: None,
        readings: (0..count)
            .map(|i| AirReading {
                at: (begun + jiff::SignedDuration::from_secs(i)).into(),
                dial: Celsius(1600.0 / 9.0),
                air: Celsius(1601.0 / 9.0),
                phase: Phase::DoorClosed,
                place: AirPlace::new(Some(255), Spot::FrontRight),
            })
            .collect(),
        note: String::new(),
    };
    store.save(&round).unwrap();
}

#[test]
fn what_waits_beside_a_changed_file_goes_only_when_it_took_its_place() {
    fn full(_: &mut File, _: &[u8]) -> io::Result<()> {
        Err(io::ErrorKind::StorageFull.into())
    }
    let dir = sound();
    let (mut store, contents, _) = Store::open(dir.path(), Access::Write).unwrap();
    let path = put(
        dir.path(),
        "tests/2026-04-12-counter-oven.json",
        &format!("{TEST}\n"),
    );
    let mine = darker(&contents.tests[0]);
    let Err(StoreError::Changed { mine: kept, .. }) = store.save(&mine) else {
        panic!("not told");
    };
    store.overrule(&path).unwrap();
    assert!(
        kept.exists(),
        "until the save has landed it is all there is"
    );
    store.write = full;
    store.save(&mine).unwrap_err();
    assert!(kept.exists());
    store.write = atomic::write_and_flush;
    store.save(&mine).unwrap();
    assert!(!kept.exists() && path.exists());
    // Of the next one that changes, mine is kept beside again, not lost.
    put(dir.path(), "tests/2026-04-12-counter-oven.json", TEST);
    store.save(&mine).unwrap_err();
    assert!(kept.exists());
}
