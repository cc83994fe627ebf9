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
        std::fs::write(shop.path().join("campion.toml"), document).unwrap();
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
    let nowhere = shop.run(&["drive", "Sea Campion"]);
    assert_eq!(nowhere.code, 2);
    assert!(nowhere.err.contains("no such file, and no boat of that name"), "{}", nowhere.err);
    assert!(!shop.path().join("data").exists(), "asking makes no store");
    assert_eq!(shop.run(&["import", "campion.toml"]).code, 0);
    let by_name = shop.run(&["drive", "sea  campion", "--samples", "50"]);
    let by_path = shop.run(&["drive", "campion.toml", "--samples", "50"]);
    assert_eq!((by_name.code, &by_name.out), (0, &by_path.out));
    let near = shop.run(&["range", "See Campion"]);
    assert!(near.err.contains("Did you mean Sea Campion?"), "{}", near.err);
    // A path that exists wins over a boat of the same name.
    std::fs::write(shop.path().join("Sea Campion"), "[boat]\n").unwrap();
    assert_eq!(shop.run(&["drive", "Sea Campion"]).code, 2);
}

#[test]
fn documents_and_the_store_come_back_as_they_were() {
    let shop = Shop::open();
    std::fs::write(shop.path().join("odd.toml"), "nonsense").unwrap();
    let mixed = shop.run(&["import", "odd.toml", "campion.toml", "missing.toml"]);
    assert_eq!(mixed.code, 2);
    assert!(mixed.out.contains("Sea Campion: a new boat") && mixed.err.contains("odd.toml"));
    let again = shop.run(&["import", "campion.toml"]);
    assert!(again.err.contains("--add-revision"), "{}", again.err);
    let original = std::fs::read_to_string(shop.path().join("campion.toml")).unwrap();
    assert_eq!(shop.run(&["export", "Sea Campion", "-"]).out, original);
    assert_eq!(shop.run(&["export", "--all", "out"]).code, 0);
    assert_eq!(std::fs::read_to_string(shop.path().join("out/sea-campion.toml")).unwrap(), original);
    assert!(shop.run(&["export", "--all", "out"]).err.contains("--overwrite"));
    assert_eq!(shop.run(&["backup", "all.wakewright"]).code, 0);
    std::fs::write(shop.path().join("tern.toml"), original.replace("Sea Campion", "Tern")).unwrap();
    shop.run(&["import", "tern.toml"]);
    assert!(shop.run(&["boats"]).out.contains("2 boats."));
    let restored = shop.run(&["restore", "all.wakewright"]);
    assert!(restored.out.contains("is kept as"), "{}", restored.out);
    assert!(shop.run(&["boats"]).out.contains("1 boat."));
    assert_eq!(shop.run(&["restore", "campion.toml"]).code, 2);
}

#[test]
fn numbers_with_two_readings_are_refused_when_typed_and_doubted_in_a_file() {
    let shop = Shop::open();
    let typed = shop.run(&["bank", "campion.toml", "--set", "bank.house_load=1.200 W"]);
    assert_eq!(typed.code, 2);
    assert!(typed.err.contains("1.2 W") && typed.err.contains("1200 W"), "{}", typed.err);
    assert_eq!(shop.run(&["bank", "campion.toml", "--set", "bank.house_load=1200 W"]).code, 0);
    let text = std::fs::read_to_string(shop.path().join("campion.toml")).unwrap();
    let doubtful = text.replace("house_load = \"110 W\"", "house_load = \"1.200 W\"");
    std::fs::write(shop.path().join("doubtful.toml"), doubtful).unwrap();
    let read = shop.run(&["bank", "doubtful.toml", "--json"]);
    assert_eq!(read.code, 0, "{}", read.err);
    assert!(read.err.contains("may mean 1.2 W or 1200 W; it is taken as 1.2 W"), "{}", read.err);
    let plain = shop.run(&["bank", "campion.toml", "--set", "bank.house_load=1.2 W", "--json"]);
    let finding = |out: &str| serde_json::from_str::<serde_json::Value>(out).unwrap()["result"].clone();
    assert_eq!(finding(&read.out), finding(&plain.out));
    let money = shop.run(&["search", "campion.toml", "--price", "propeller=1.200", "--budget", "600"]);
    assert_eq!(money.code, 2);
    assert!(money.err.contains("1200 or 1,200"), "{}", money.err);
}

#[test]
fn a_trial_refuses_what_is_typed_with_two_readings() {
    let shop = Shop::open();
    shop.run(&["import", "campion.toml"]);
    std::fs::write(shop.path().join("log.csv"), "time,speed over ground (kn)\n2026-05-02T10:00:00Z,4.5\n")
        .unwrap();
    let made = shop.run(&["trial", "import", "log.csv", "--boat", "Sea Campion"]);
    assert_eq!(made.code, 0, "{}", made.err);
    let set = |change: &str| shop.run(&["trial", "set", "Sea Campion", "1", change]);
    for (change, readings) in [
        ("depth=2,500", ["2.5 m", "2500 m"]),
        ("house=1.200 W", ["1.2 W", "1200 W"]),
        ("shift=1:1.500 s", ["1.5 s", "1500 s"]),
    ] {
        let said = set(change);
        assert_eq!(said.code, 2, "{change}: {}", said.out);
        assert!(readings.iter().all(|reading| said.err.contains(reading)), "{change}: {}", said.err);
    }
    assert_eq!(set("house=1200 W").code, 0);
}

/// What a full disk does: the file grows to a limit and no further. The system's own limit stands for
/// the disk; its signal is waved off, so that writing fails as it does there.
#[cfg(unix)]
#[test]
fn a_full_disk_leaves_the_old_file_whole() {
    let shop = Shop::open();
    let text = std::fs::read_to_string(shop.path().join("campion.toml")).unwrap();
    std::fs::write(shop.path().join("long.toml"), text + &"# remark\n".repeat(16_000)).unwrap();
    assert_eq!(shop.run(&["import", "long.toml"]).code, 0);
    for (args, blocks) in [
        (vec!["export", "Sea Campion", "old", "--overwrite"], 128),
        (vec!["backup", "old", "--overwrite"], 128),
        (vec!["draw", "campion.toml", "profile", "--out", "old.svg", "--force"], 1),
    ] {
        let old = shop.path().join(if args[0] == "draw" { "old.svg" } else { "old" });
        std::fs::write(&old, "the old file").unwrap();
        let before = std::fs::read_dir(shop.path()).unwrap().count();
        let full = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"");
        let done = Command::new("sh")
            .args(["-c", &full, env!("CARGO_BIN_EXE_wakewright")])
            .args(&args)
            .current_dir(shop.path())
            .env("WAKEWRIGHT_DATA", shop.path().join("data"))
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&done.stderr);
        assert_eq!(done.status.code(), Some(2), "{args:?}: {said}");
        assert!(said.starts_with("old"), "the file is named: {args:?}: {said}");
        assert_eq!(std::fs::read_to_string(&old).unwrap(), "the old file", "{args:?}");
        assert_eq!(
            std::fs::read_dir(shop.path()).unwrap().count(),
            before,
            "{args:?} leaves nothing beside it"
        );
        // With room again it is replaced.
        let said = shop.run(&args);
        assert_eq!(said.code, 0, "{args:?}: {}", said.err);
        assert_ne!(std::fs::read(&old).unwrap(), b"the old file");
    }
}

#[test]
fn bad_files_exit_2_with_a_reason() {
    let shop = Shop::open();
    let write = |name: &str, bytes: &[u8]| std::fs::write(shop.path().join(name), bytes).unwrap();
    write("cr.toml", b"# a\rb\n# c\r\n");
    write("latin.toml", b"[boat]\nname = \"\xc9toile\"\n");
    write("long.toml", &vec![b'#'; 300_000]);
    write("wide.toml", b"\xff\xfe[\0b\0");
    write("empty.toml", b"");
    for file in ["cr.toml", "latin.toml", "long.toml", "wide.toml", "empty.toml", "missing.toml", "."] {
        for command in ["check", "drive", "range", "bank", "options", "import"] {
            let said = shop.run(&[command, file]);
            assert_eq!(said.code, 2, "{command} {file}: {}{}", said.out, said.err);
            assert!(
                !said.err.contains("0 faults in") && said.err.len() > 20,
                "{command} {file}: {}",
                said.err
            );
        }
    }
    let text = std::fs::read_to_string(shop.path().join("campion.toml")).unwrap();
    write("old.toml", text.replace('\n', "\r").as_bytes());
    assert_eq!(shop.run(&["check", "old.toml"]).code, shop.run(&["check", "campion.toml"]).code);
}

#[test]
fn a_name_cannot_move_the_cursor_and_files_are_not_written_over_a_store() {
    let shop = Shop::open();
    let text = std::fs::read_to_string(shop.path().join("campion.toml")).unwrap();
    let evil = text.replace("name = \"Sea Campion\"", "name = \"Tern\\u001b[2J\\u0007\\u001b]0;x\"");
    std::fs::write(shop.path().join("evil.toml"), evil).unwrap();
    for command in ["check", "drive", "range", "bank"] {
        let said = shop.run(&[command, "evil.toml"]);
        assert!(!said.out.contains(['\u{1b}', '\u{7}']) && !said.err.contains('\u{1b}'), "{command}");
    }
    shop.run(&["import", "campion.toml"]);
    let store = "data/boats.sqlite";
    for args in [
        ["export", "Sea Campion", store, "--overwrite"],
        ["backup", "data/boats.sqlite-wal", "--overwrite", "--overwrite"],
    ] {
        let args: Vec<&str> = args.into_iter().take(if args[0] == "backup" { 3 } else { 4 }).collect();
        let said = shop.run(&args);
        assert_eq!(said.code, 2, "{args:?}: {}{}", said.out, said.err);
        assert!(shop.run(&["boats"]).out.contains("1 boat."));
    }
}

/// A check-up as a fitter enters it in a terminal, and what comes out with its photograph.
#[test]
fn a_check_up_is_entered_shown_and_taken_out() {
    let shop = Shop::open();
    shop.run(&["import", "campion.toml"]);
    let begun = shop.run(&["checkup", "add", "Sea Campion", "--on", "2026-05-02"]);
    assert!(begun.out.contains("Check-up 1 of Sea Campion"), "{}{}", begun.out, begun.err);
    assert_eq!(shop.run(&["checkup", "add", "Sea Campion", "--on", "2199-05-02"]).code, 2);
    let noted = shop.run(&["checkup", "set", "Sea Campion", "1", "belt=act now", "gland.value=many"]);
    assert!(noted.code == 0 && noted.out.contains("item.gland.value: "), "{}", noted.out);
    let unknown = shop.run(&["checkup", "set", "Sea Campion", "1", "mast=good"]);
    assert!(unknown.code == 2 && unknown.err.contains("nothing of this name"), "{}", unknown.err);
    let over = shop.run(&["checkup", "Sea Campion", "--on", "2026-10-01"]);
    assert_eq!(over.code, 1, "something to act on: {}", over.out);
    assert!(over.out.contains("To act on: belt."), "{}", over.out);
    std::fs::write(shop.path().join("gland.jpg"), "no photograph").unwrap();
    let refused = shop.run(&["checkup", "photo", "Sea Campion", "1", "gland.jpg"]);
    assert!(refused.code == 2 && refused.err.contains("neither JPEG nor PNG"), "{}", refused.err);
    let picture = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/pictures/drive.png");
    assert_eq!(shop.run(&["checkup", "photo", "Sea Campion", "1", "--of", "belt", picture]).code, 0);
    assert_eq!(shop.run(&["checkup", "export", "Sea Campion", "1", "out"]).code, 0);
    let taken_out: Vec<_> = std::fs::read_dir(shop.path().join("out")).unwrap().collect();
    assert_eq!(taken_out.len(), 2);
    shop.run(&["checkup", "remove", "Sea Campion", "1"]);
    assert!(shop.run(&["checkup", "list", "Sea Campion"]).out.contains("has no check-up"));
    shop.run(&["checkup", "reinstate", "Sea Campion", "1"]);
    assert!(shop.run(&["checkup", "list", "Sea Campion"]).out.contains("3 entries, 1 photograph"));
}
