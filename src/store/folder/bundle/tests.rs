#![expect(
    clippy::disallowed_methods,
    reason = "the files to take in are written by the test"
)]

use super::*;
use crate::store::{Access, Throwaway};
use std::{collections::BTreeMap, fs};

type Files = BTreeMap<PathBuf, Vec<u8>>;

/// Every file under a folder with its bytes, but the lock.
fn files(root: &Path) -> Files {
    let mut out = BTreeMap::new();
    for entry in fs::read_dir(root).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            out.extend(files(&path));
        } else if !path.ends_with("lock") {
            out.insert(path.clone(), fs::read(&path).unwrap());
        }
    }
    out
}

/// What the demo holds.
fn demo() -> Contents {
    let demo = Throwaway::of_demo().unwrap();
    Store::open(demo.path(), Access::Read).unwrap().1
}

fn demo_bundle(oven: Option<&str>) -> Vec<u8> {
    let id = oven.map(|o| OvenId::new(o).unwrap());
    bundle(&demo(), id.as_ref(), Plates::LeftOut).unwrap()
}

fn written(dir: &Path, bytes: &[u8]) -> PathBuf {
    let path = dir.join("bundle.json");
    fs::write(&path, bytes).unwrap();
    path
}

/// A folder that has taken in the wall oven of the demo with all that belongs to it.
fn with_import() -> tempfile::TempDir {
    let (here, there) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let file = written(here.path(), &demo_bundle(Some("wall-oven")));
    imported(&opened(there.path()).0, &file, OnDifference::Refuse);
    there
}

/// Says why a bundle is not taken in.
fn refused(store: &Store, file: &Path, on_difference: OnDifference) -> String {
    let refused = store.import(file, on_difference, false);
    refused.unwrap_err().to_string()
}

fn opened(dir: &Path) -> (Store, Contents) {
    let (store, contents, warnings) = Store::open(dir, Access::Write).unwrap();
    assert_eq!(warnings, []);
    (store, contents)
}

/// Takes a bundle in, whatever it is about things that differ.
fn imported(store: &Store, file: &Path, on_difference: OnDifference) -> Imported {
    store.import(file, on_difference, false).unwrap()
}

#[test]
fn a_kitchen_goes_through_one_file_into_an_empty_folder_and_back_out() {
    let (here, there) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let file = written(here.path(), &demo_bundle(None));
    let (store, _) = opened(there.path());
    let before = files(there.path());
    let dry = store.import(&file, OnDifference::Refuse, true).unwrap();
    assert_eq!(files(there.path()), before, "a dry run changes nothing");
    let done = imported(&store, &file, OnDifference::Refuse);
    let wet = Imported {
        dry_run: false,
        ..dry
    };
    assert_eq!(done, wet);
    assert!(done.added.len() >= 11 && done.same.is_empty(), "{done:?}");
    drop(store);
    let (store, contents) = opened(there.path());
    assert_eq!(contents, demo());
    // Once more: nothing is doubled, and the import that can be taken back is still the first.
    let again = imported(&store, &file, OnDifference::Refuse);
    assert_eq!((again.added.len(), again.same.len()), (0, done.added.len()));
    let undone = store.undo_import().unwrap();
    assert_eq!(
        (undone.undone.len(), undone.left.len()),
        (done.added.len(), 0)
    );
    drop(store);
    let (store, contents) = opened(there.path());
    assert_eq!(contents, Contents::default());
    assert!(matches!(
        store.undo_import(),
        Err(BundleError::NothingToUndo { .. })
    ));
}

#[test]
fn one_oven_takes_its_own_tests_and_bakes_along_and_no_others() {
    let text = String::from_utf8(demo_bundle(Some("counter-oven"))).unwrap();
    let value: Value = serde_json::from_str(&text).unwrap();
    let ids: Vec<&str> = value["things"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|t| t["kind"] != "thermometers" && t["kind"] != "recipes")
        .map(|t| t["id"].as_str().unwrap())
        .collect();
    assert!(
        ids.len() >= 4 && ids.iter().all(|id| id.contains("counter-oven")),
        "{ids:?}"
    );
}

#[test]
fn what_differs_is_refused_kept_or_replaced_as_said_and_replacing_can_be_taken_back() {
    let here = tempfile::tempdir().unwrap();
    let file = written(here.path(), &demo_bundle(None));
    let demo = Throwaway::of_demo().unwrap();
    let (store, mut contents) = opened(demo.path());
    let mut oven = contents.ovens.remove(0);
    oven.note = "another note".to_owned();
    store.save(&oven).unwrap();
    let before = files(demo.path());
    let said = refused(&store, &file, OnDifference::Refuse);
    assert!(said.contains(oven.id.as_str()), "{said}");
    let kept = imported(&store, &file, OnDifference::Keep);
    assert_eq!((kept.kept.len(), kept.added.len()), (1, 0));
    assert_eq!(files(demo.path()), before);
    let replaced = imported(&store, &file, OnDifference::Replace);
    assert_eq!(replaced.replaced.len(), 1);
    let path = demo.path().join("ovens").join(format!("{}.json", oven.id));
    assert!(!fs::read_to_string(&path).unwrap().contains("another note"));
    store.undo_import().unwrap();
    assert!(fs::read_to_string(&path).unwrap().contains("another note"));
}

#[test]
fn what_was_changed_since_the_import_is_left() {
    let there = with_import();
    let (store, contents) = opened(there.path());
    let mut oven = contents.ovens[0].clone();
    oven.note = "scratched door".to_owned();
    store.save(&oven).unwrap();
    let done = store.undo_import().unwrap();
    assert_eq!(done.left, ["ovens/wall-oven"]);
}

#[test]
fn damaged_foreign_newer_and_huge_files_are_told_apart_and_change_nothing() {
    let here = tempfile::tempdir().unwrap();
    let whole = demo_bundle(None);
    let text = String::from_utf8(whole.clone()).unwrap();
    let other = |from: &str, to: &str| {
        let changed = text.replacen(from, to, 1);
        assert_ne!(changed, text, "{from}");
        changed.into_bytes()
    };
    // The last version in the text is that of a file inside.
    let at = text.rfind("\"version\": 1").unwrap();
    let newer_inside = format!("{}\"version\": 99{}", &text[..at], &text[at + 12..]).into_bytes();
    let demo = Throwaway::of_demo().unwrap();
    let (store, _) = opened(demo.path());
    let before = files(demo.path());
    let mut cases: Vec<(Vec<u8>, &str)> = vec![
        (
            b"{\"name\": \"some other program's\"}".to_vec(),
            "is not a file of rackshade's export",
        ),
        (
            b"rack,x_cm,y_cm\n1,2,3\n".to_vec(),
            "is not a file of rackshade's export",
        ),
        (vec![0xff; 4000], "is not a file of rackshade's export"),
        (Vec::new(), "is not a file of rackshade's export"),
        (
            other("\"version\": 2", "\"version\": 3"),
            "written by a newer rackshade",
        ),
        (newer_inside, "written by a newer rackshade"),
        (
            other("\"kind\": \"ovens\"", "\"kind\": \"stoves\""),
            "no kind of file known here",
        ),
        (
            other("\"id\": \"wall-oven\"", "\"id\": \"wall-oven-9\""),
            "its file says wall-oven",
        ),
        (b"[1, 2, 3]".to_vec(), "is not a file of rackshade's export"),
        (other("\"dial\":", "\"di\u{7}al\":"), "is damaged"),
        (
            other("\"id\": \"wall-oven\"", "\"id\": \"../../wall-oven\""),
            "is damaged",
        ),
    ];
    for share in [3, 30, 50, 90, 97, 99] {
        cases.push((whole[..whole.len() * share / 100].to_vec(), "is damaged"));
    }
    let count = cases.len();
    for (bytes, expected) in cases {
        let file = written(here.path(), &bytes);
        let said = refused(&store, &file, OnDifference::Replace);
        assert!(
            said.contains(expected) && said.contains("nothing was taken in"),
            "{expected}: {said}"
        );
        assert_eq!(files(demo.path()), before);
    }
    assert_eq!(count, 17);
    let huge = here.path().join("huge.json");
    fs::File::create(&huge)
        .unwrap()
        .set_len(MOST_BYTES + 1)
        .unwrap();
    let said = refused(&store, &huge, OnDifference::Replace);
    assert!(said.contains("larger than 64 MiB"), "{said}");
    assert_eq!(files(demo.path()), before);
}

/// A folder with the wall oven of the demo alone, changed.
fn with_own_oven(change: fn(&mut Oven)) -> tempfile::TempDir {
    let there = tempfile::tempdir().unwrap();
    let mut ovens = demo().ovens.into_iter();
    let mut oven = ovens.find(|o| o.id.as_str() == "wall-oven").unwrap();
    change(&mut oven);
    let (store, _) = opened(there.path());
    store.save(&oven).unwrap();
    there
}

#[test]
fn a_thing_the_store_would_not_read_again_is_not_taken_in() {
    let (here, there) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let mut contents = demo();
    contents.ovens[0].note = "x".repeat(5 << 20);
    let file = written(
        here.path(),
        &bundle(&contents, None, Plates::LeftOut).unwrap(),
    );
    let (store, _) = opened(there.path());
    let before = files(there.path());
    let said = refused(&store, &file, OnDifference::Refuse);
    assert!(
        said.contains("above 4096 KiB") && said.contains("nothing was taken in"),
        "{said}"
    );
    assert_eq!(files(there.path()), before);
}

#[test]
fn an_oven_and_a_thermometer_that_something_of_mine_belongs_to_are_left() {
    let there = with_import();
    let (store, contents) = opened(there.path());
    let mut round = contents.rounds[0].clone();
    round.id = crate::model::RoundId::of_words("mine");
    round.thermometer = Some(contents.thermometers[0].id.clone());
    store.save(&round).unwrap();
    let done = store.undo_import().unwrap();
    let probe = format!("thermometers/{}", contents.thermometers[0].id);
    assert_eq!(
        done.needed,
        [
            "ovens/wall-oven (by readings/mine)".to_owned(),
            format!("{probe} (by readings/mine)")
        ]
    );
    drop(store);
    let (_, after) = opened(there.path());
    assert_eq!(after.ovens, contents.ovens);
    assert_eq!(after.thermometers, contents.thermometers[..1]);
    assert_eq!(after.rounds, [round]);
    assert!(after.tests.is_empty() && after.bakes.is_empty());
}

#[test]
fn an_import_that_broke_off_and_was_run_again_is_taken_back_as_one() {
    fn full_at_the_second_test(file: &mut fs::File, bytes: &[u8]) -> io::Result<()> {
        let text = String::from_utf8_lossy(bytes);
        if text.contains("\"id\": \"2026-03-08-wall-oven\"") && !text.contains("\"entries\"") {
            return Err(io::ErrorKind::StorageFull.into());
        }
        crate::store::atomic::write_and_flush(file, bytes)
    }
    let here = tempfile::tempdir().unwrap();
    let file = written(here.path(), &demo_bundle(Some("wall-oven")));
    let there = with_own_oven(|oven| oven.note = "mine".to_owned());
    let (mut store, before) = opened(there.path());
    store.write = full_at_the_second_test;
    let error = store
        .import(&file, OnDifference::Replace, false)
        .unwrap_err();
    assert!(
        matches!(error, BundleError::Store(StoreError::Full { .. })),
        "{error}"
    );
    drop(store);
    let (store, half) = opened(there.path());
    assert_eq!(half.tests.len(), 1);
    assert_ne!(half.ovens, before.ovens);
    let done = imported(&store, &file, OnDifference::Replace);
    assert!(done.replaced.is_empty() && done.same.len() == 2, "{done:?}");
    let undone = store.undo_import().unwrap();
    assert_eq!(undone.undone.len(), done.added.len() + done.same.len());
    drop(store);
    let (store, after) = opened(there.path());
    assert_eq!(after, before);
    assert!(store.undo_import().is_err());
}

#[test]
fn taking_back_that_broke_off_goes_on_where_it_was() {
    let here = tempfile::tempdir().unwrap();
    let file = written(here.path(), &demo_bundle(Some("wall-oven")));
    let there = with_own_oven(|oven| oven.note = "mine".to_owned());
    let path = there.path().join("ovens/wall-oven.json");
    let mine = fs::read(&path).unwrap();
    let (store, _) = opened(there.path());
    imported(&store, &file, OnDifference::Replace);
    // As it stands where taking back broke off behind the first file.
    fs::write(&path, &mine).unwrap();
    let undone = store.undo_import().unwrap();
    assert_eq!((undone.left.len(), undone.needed.len()), (0, 0));
    assert!(undone.undone.contains(&"ovens/wall-oven".to_owned()));
    assert_eq!(fs::read(&path).unwrap(), mine);
}

#[test]
fn what_belongs_to_another_oven_of_that_name_is_held_back_and_named() {
    let here = tempfile::tempdir().unwrap();
    let file = written(here.path(), &demo_bundle(Some("wall-oven")));
    let smaller = |oven: &mut Oven| oven.racks.truncate(oven.racks.len() - 1);
    let there = with_own_oven(smaller);
    let (store, before) = opened(there.path());
    let done = imported(&store, &file, OnDifference::Keep);
    assert_eq!(done.kept, ["oven wall-oven"]);
    assert!(
        done.held_back
            .contains(&"toast test 2026-03-07-wall-oven (ovens/wall-oven)".to_owned()),
        "{done:?}"
    );
    drop(store);
    let (_, after) = opened(there.path());
    assert_eq!(
        (&after.ovens, after.tests, after.bakes, after.rounds),
        (&before.ovens, Vec::new(), Vec::new(), Vec::new())
    );
    // The same oven under other words: its tests are mine too.
    let there = with_own_oven(|oven| oven.note = "mine".to_owned());
    let (store, _) = opened(there.path());
    let done = imported(&store, &file, OnDifference::Keep);
    assert_eq!((done.kept.len(), done.held_back.len()), (1, 0));
    drop(store);
    assert_eq!(opened(there.path()).1.tests.len(), 5);
}

#[test]
fn a_journal_that_names_anything_but_our_own_files_moves_nothing() {
    let here = tempfile::tempdir().unwrap();
    let outside = here.path().join("precious.json");
    let file = written(here.path(), &demo_bundle(Some("wall-oven")));
    let there = here.path().join("data");
    fs::create_dir(&there).unwrap();
    let (store, _) = opened(&there);
    imported(&store, &file, OnDifference::Refuse);
    let path = there.join("last-import.json");
    let whole: Value = serde_json::from_str(&fs::read_to_string(&path).unwrap()).unwrap();
    let text = whole["entries"][0]["taken"].as_str().unwrap().to_owned();
    fs::File::create(&outside)
        .and_then(|mut f| io::Write::write_all(&mut f, text.as_bytes()))
        .unwrap();
    let before = files(here.path());
    let count = before.len();
    for (kind, id) in [
        ("..", "precious"),
        ("ovens", "../../precious"),
        ("ovens/../..", "precious"),
        (here.path().to_str().unwrap(), "precious"),
        ("ovens", "wall-oven-9"),
        ("damaged", "wall-oven"),
    ] {
        let mut crafted = whole.clone();
        crafted["entries"][0]["kind"] = kind.into();
        crafted["entries"][0]["id"] = id.into();
        fs::File::create(&path)
            .and_then(|mut f| io::Write::write_all(&mut f, crafted.to_string().as_bytes()))
            .unwrap();
        let said = store.undo_import().unwrap_err().to_string();
        assert!(said.contains("cannot be trusted"), "{kind}/{id}: {said}");
        assert_eq!(fs::read_to_string(&outside).unwrap(), text);
        assert_eq!(files(here.path()).len(), count, "{kind}/{id}");
    }
}

#[cfg(unix)]
#[test]
fn taking_back_follows_no_link_out_of_the_folder() {
    use std::os::unix::fs::symlink;
    let here = tempfile::tempdir().unwrap();
    let file = written(here.path(), &demo_bundle(Some("wall-oven")));
    let there = here.path().join("data");
    fs::create_dir(&there).unwrap();
    let (store, _) = opened(&there);
    imported(&store, &file, OnDifference::Refuse);
    let elsewhere = here.path().join("elsewhere");
    fs::rename(there.join("ovens"), &elsewhere).unwrap();
    symlink(&elsewhere, there.join("ovens")).unwrap();
    let before = files(&elsewhere);
    let said = store.undo_import().unwrap_err().to_string();
    assert!(said.contains("a link that leads elsewhere"), "{said}");
    assert_eq!(files(&elsewhere), before);
}

#[test]
fn plates_stay_here_unless_asked_for_and_survive_an_import() {
    let here = Throwaway::of_demo().unwrap();
    let (store, mut contents) = opened(here.path());
    let mut ovens = contents.ovens.iter_mut();
    let oven = ovens.find(|o| o.id.as_str() == "wall-oven").unwrap();
    "SN-4711".clone_into(&mut oven.plate.serial);
    store.save(oven).unwrap();
    let text = |plates| String::from_utf8(bundle(&contents, None, plates).unwrap()).unwrap();
    assert!(text(Plates::Taken).contains("SN-4711"));
    let bare = text(Plates::LeftOut);
    assert!(!bare.contains("SN-4711") && !bare.contains("serial"));
    let file = written(here.path(), bare.as_bytes());
    let done = imported(&store, &file, OnDifference::Refuse);
    assert!(
        done.added.is_empty() && done.replaced.is_empty(),
        "{done:?}"
    );
    let kept = fs::read_to_string(here.path().join("ovens/wall-oven.json")).unwrap();
    assert!(
        kept.contains("SN-4711") && kept.contains("\"version\": 3"),
        "{kept}"
    );
}

#[test]
fn what_taking_back_removes_does_not_come_back_in_an_older_state() {
    let there = with_import();
    let (store, contents) = opened(there.path());
    let mut oven = contents.ovens[0].clone();
    let name = oven.name.clone();
    for name in ["another", &name] {
        name.clone_into(&mut oven.name);
        store.save(&oven).unwrap();
    }
    assert!(store.undo_import().unwrap().left.is_empty());
    drop(store);
    let (_, contents) = opened(there.path());
    assert!(contents.ovens.is_empty());
}

#[test]
fn an_export_with_doughs_says_that_an_older_program_cannot_read_it() {
    let mut contents = demo();
    contents.recipes.clear();
    let version = |contents: &Contents| {
        let text = String::from_utf8(bundle(contents, None, Plates::LeftOut).unwrap()).unwrap();
        let bundle: Value = serde_json::from_str(&text).unwrap();
        bundle["version"].as_u64()
    };
    contents.doughs.clear();
    assert_eq!(version(&contents), Some(1));
    let text = include_str!("../../../../tests/data/v1/doughs/rolls.json");
    contents.doughs.push(OwnDough::decode(text).unwrap());
    assert_eq!(version(&contents), Some(2));
}
