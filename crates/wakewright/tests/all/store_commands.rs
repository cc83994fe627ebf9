//! The commands on the store, run as a fitter runs them, in a folder of their own.

use std::path::Path;
use std::process::Command;

use tempfile::TempDir;

/// A folder with a document in it and a data folder.
struct Shop(TempDir);

/// What a command said.
struct Said {
    code: i32,
    out: String,
    err: String,
}

impl Shop {
    fn open() -> Self {
        let shop = Self(tempfile::tempdir().unwrap());
        let document = shop.run(&["demo", "--document"]).out;
        std::fs::write(shop.path().join("wagtail.toml"), document).unwrap();
        shop
    }

    fn path(&self) -> &Path {
        self.0.path()
    }

    fn run(&self, args: &[&str]) -> Said {
        let done = Command::new(env!("CARGO_BIN_EXE_wakewright"))
            .args(args)
            .current_dir(self.path())
            .env("WAKEWRIGHT_DATA", self.path().join("data"))
            .output()
            .unwrap();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        Said { code: done.status.code().unwrap(), out: text(done.stdout), err: text(done.stderr) }
    }
}

#[test]
fn a_command_takes_a_path_or_a_name() {
    let shop = Shop::open();
    let nowhere = shop.run(&["drive", "Grey Wagtail"]);
    assert_eq!(nowhere.code, 2);
    assert!(nowhere.err.contains("no such file, and no boat of that name"), "{}", nowhere.err);
    assert!(!shop.path().join("data").exists(), "asking makes no store");
    assert_eq!(shop.run(&["import", "wagtail.toml"]).code, 0);
    let by_name = shop.run(&["drive", "grey  wagtail", "--samples", "50"]);
    let by_path = shop.run(&["drive", "wagtail.toml", "--samples", "50"]);
    assert_eq!((by_name.code, &by_name.out), (0, &by_path.out));
    let near = shop.run(&["range", "Gray Wagtail"]);
    assert!(near.err.contains("Did you mean Grey Wagtail?"), "{}", near.err);
    // A path that exists wins over a boat of the same name.
    std::fs::write(shop.path().join("Grey Wagtail"), "[boat]\n").unwrap();
    assert_eq!(shop.run(&["drive", "Grey Wagtail"]).code, 2);
}

#[test]
fn documents_and_the_store_come_back_as_they_were() {
    let shop = Shop::open();
    std::fs::write(shop.path().join("odd.toml"), "nonsense").unwrap();
    let mixed = shop.run(&["import", "odd.toml", "wagtail.toml", "missing.toml"]);
    assert_eq!(mixed.code, 2);
    assert!(mixed.out.contains("Grey Wagtail: a new boat") && mixed.err.contains("odd.toml"));
    let again = shop.run(&["import", "wagtail.toml"]);
    assert!(again.err.contains("--add-revision"), "{}", again.err);
    let original = std::fs::read_to_string(shop.path().join("wagtail.toml")).unwrap();
    assert_eq!(shop.run(&["export", "Grey Wagtail", "-"]).out, original);
    assert_eq!(shop.run(&["export", "--all", "out"]).code, 0);
    assert_eq!(std::fs::read_to_string(shop.path().join("out/grey-wagtail.toml")).unwrap(), original);
    assert!(shop.run(&["export", "--all", "out"]).err.contains("--overwrite"));
    assert_eq!(shop.run(&["backup", "all.wakewright"]).code, 0);
    std::fs::write(shop.path().join("tern.toml"), original.replace("Grey Wagtail", "Tern")).unwrap();
    shop.run(&["import", "tern.toml"]);
    assert!(shop.run(&["boats"]).out.contains("2 boats."));
    let restored = shop.run(&["restore", "all.wakewright"]);
    assert!(restored.out.contains("is kept as"), "{}", restored.out);
    assert!(shop.run(&["boats"]).out.contains("1 boat."));
    assert_eq!(shop.run(&["restore", "wagtail.toml"]).code, 2);
}
