//! The store at work: opening a kitchen of 500 toast tests, and saving one score.

use rackshade::workflow::kitchen::{Access, Kitchen};
use std::path::{Path, PathBuf};

fn main() {
    divan::main();
}

/// A folder with the demo kitchen and 500 toast tests of 36 slices in it.
fn five_hundred(root: &Path) -> PathBuf {
    let (source, _) = Kitchen::throwaway_copy().expect("the demo kitchen opens");
    let (mut kitchen, _) = Kitchen::open(root, Access::Write).expect("a fresh folder opens");
    for oven in source.ovens() {
        kitchen.save_oven(oven.clone()).expect("an oven is saved");
    }
    let test = &source.tests()[0];
    for _ in 0..500 {
        let mut copy = test.clone();
        copy.id = kitchen.fresh_test_id(&test.setup.oven, test.when.date());
        kitchen.save_test(copy).expect("a test is saved");
    }
    root.to_owned()
}

#[divan::bench]
fn open_500_tests(bencher: divan::Bencher) {
    let dir = tempfile::tempdir().expect("a temporary folder");
    let root = five_hundred(dir.path());
    bencher.bench(|| {
        let (kitchen, warnings) = Kitchen::open(&root, Access::Read).expect("it opens");
        assert!(kitchen.tests().len() == 500 && warnings.is_empty());
    });
}

#[divan::bench]
fn save_one_score(bencher: divan::Bencher) {
    let (mut kitchen, _) = Kitchen::throwaway_copy().expect("the demo kitchen opens");
    let test = kitchen.tests()[0].clone();
    bencher.bench_local(|| kitchen.save_test(test.clone()).expect("it is saved"));
}
