//! What somebody gets wrong about a boat's life with the drive, one thing after the other, as it is typed: each is answered with what is
//! wrong, where, and what to do; nothing of it is used, and nothing that was kept before is lost.

use std::io::Write;
use std::process::Output;

use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use super::cli::{Folder, complaint, example, text};

const BOAT: &str = "Sea Campion";

/// Everything that was said.
fn said(output: &Output) -> String {
    (text(output) + &complaint(output)).split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A boat with a check-up of one good entry.
fn shop(name: &str) -> Folder {
    let folder = Folder::new(name);
    for args in [&["import", &example("sea_campion.toml")][..], &["checkup", "add", BOAT]] {
        let output = folder.run(args);
        assert_eq!(output.status.code(), Some(0), "{args:?}: {}", said(&output));
    }
    folder.run(&["checkup", "set", BOAT, "1", "date=2026-01-10", "item.gland.found=good"]);
    folder
}

#[test]
fn what_is_typed_into_a_check_up() {
    let folder = shop("bad-checkup");
    let test = ["test.amps=40 A", "test.hours=7 h", "test.temperature=18 °C"];
    // What is typed beside a sound test, and what the answer must say: where, what, and what to do.
    let cases: [(&[&str], [&str; 3]); 9] = [
        (&["date=2199-01-01"], ["date", "has not come yet", "today is"]),
        (&["test.amps=52.1 V"], ["test.amps", "V", "A"]),
        (&["test.amps=-40 A"], ["test.amps", "the current is -40.0 A", "without the sign"]),
        (
            &["test.begun=09:00", "test.ended=17:30"],
            ["test.pause", "it broke off and went on", "test again in one go"],
        ),
        (&["test.counted=150 Ah"], ["test.counted", "150.0 Ah by the counter", "leaving the other out"]),
        (&["test.of=pack 99"], ["test.of", "pack 1 to pack", "leave it empty"]),
        (
            &["item.joint_drop.value=31 mV"],
            ["item.joint_drop.value", "volts alone do not compare", "31 mV at 100 A"],
        ),
        (&["item.insulation.value=3 mohm"], ["item.insulation.value", "next to nothing", "20 Mohm"]),
        (&["item.gland.found=fine"], ["item.gland.found", "\"fine\" is none of", "act now"]),
    ];
    for (typed, answers) in cases {
        folder.run(&[&["checkup", "set", BOAT, "1"][..], &test].concat());
        let output = folder.run(&[&["checkup", "set", BOAT, "1"], typed].concat());
        let said = said(&output);
        for answer in answers {
            assert!(said.contains(answer), "{typed:?}: {answer} is not in: {said}");
        }
        let back: Vec<String> =
            typed.iter().map(|one| format!("{}=", one.split_once('=').unwrap().0)).collect();
        let back: Vec<&str> = back.iter().map(String::as_str).collect();
        folder.run(&[&["checkup", "set", BOAT, "1"][..], &back, &["date=2026-01-10"]].concat());
    }
    let kept = text(&folder.run(&["checkup", "show", BOAT, "1"]));
    assert!(kept.contains("gland"), "{kept}");
}

fn chunk(kind_and_content: &[u8]) -> Vec<u8> {
    let mut crc = !0_u32;
    for byte in kind_and_content {
        crc ^= u32::from(*byte);
        (0..8).for_each(|_| crc = (crc >> 1) ^ (0xedb8_8320 & (crc & 1).wrapping_neg()));
    }
    let length = u32::try_from(kind_and_content.len() - 4).unwrap();
    [&length.to_be_bytes(), kind_and_content, &(!crc).to_be_bytes()].concat()
}

/// A PNG whose head says so many points, and whose body holds next to none.
fn png_of(width: u32, height: u32) -> Vec<u8> {
    let head = [b"IHDR", &width.to_be_bytes()[..], &height.to_be_bytes(), &[8, 2, 0, 0, 0]].concat();
    // Deflate by hand: one stored block of four bytes, a row's filter and one point.
    let body = b"IDAT\x78\x01\x01\x04\x00\xfb\xff\x00\x01\x02\x03\x00\x0e\x00\x07";
    [b"\x89PNG\r\n\x1a\n".to_vec(), chunk(&head), chunk(body), chunk(b"IEND")].concat()
}

#[test]
fn photographs_that_are_none() {
    let folder = shop("bad-photographs");
    let huge = std::fs::File::create(folder.0.join("huge.jpg")).unwrap();
    huge.set_len(80_000_000).unwrap();
    std::fs::write(folder.0.join("lie.png"), png_of(60_000, 60_000)).unwrap();
    std::fs::write(folder.0.join("point.png"), png_of(1, 1)).unwrap();
    std::fs::write(folder.0.join("text.jpg"), b"GIF89a and no more").unwrap();
    for (file, answers) in [
        ("huge.jpg", ["huge.jpg", "MB", "30"]),
        ("lie.png", ["lie.png", "points", "million"]),
        ("point.png", ["point.png", "1", "point"]),
        ("text.jpg", ["text.jpg", "JPEG", "PNG"]),
        ("nowhere.jpg", ["nowhere.jpg", "no", "file"]),
    ] {
        let output = folder.run(&["checkup", "photo", BOAT, "1", "--of", "gland", file]);
        assert_eq!(output.status.code(), Some(2), "{file}: {}", said(&output));
        for answer in answers {
            assert!(said(&output).contains(answer), "{file}: {answer} is not in: {}", said(&output));
        }
    }
    // A name with slashes stays a name: what goes out lands inside the folder that was named.
    let drive = std::fs::read(example("../docs/pictures/drive.png")).unwrap();
    std::fs::create_dir_all(folder.0.join("up")).unwrap();
    std::fs::write(folder.0.join("up/..\\..\\gland.png"), drive).unwrap();
    let taken = folder.run(&["checkup", "photo", BOAT, "1", "--of", "gland", "up/..\\..\\gland.png"]);
    assert_eq!(taken.status.code(), Some(0), "{}", said(&taken));
    let out = folder.run(&["checkup", "export", BOAT, "1", "out"]);
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    let names: Vec<String> = std::fs::read_dir(folder.0.join("out"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    assert!(names.iter().any(|name| name.contains("gland")), "{names:?}");
    assert!(names.iter().all(|name| !name.contains(['/', '\\']) && !name.starts_with("..")), "{names:?}");
}

#[test]
fn rolls_and_rigs() {
    let (folder, boat) = (Folder::new("bad-rolls"), example("sea_campion.toml"));
    let two = ["--roll", "3.8 s", "--roll-before", "3.6 s"];
    for (rolls, answers) in [
        (&["--roll", "0.8 s"][..], ["roll", "1 to 20 s", "time ten"]),
        (&two, ["rig", "at both rolls?", "same or another"]),
        (&[&two[..], &["--rig", "another"]].concat(), ["roll-before", "do not compare", "leave it out"]),
        (&["--roll", "3.8 kg"], ["roll", "kg", "s"]),
    ] {
        let output = folder.run(&[&["weights", &boat], rolls].concat());
        assert_eq!(output.status.code(), Some(2), "{rolls:?}: {}", said(&output));
        for answer in answers {
            assert!(said(&output).contains(answer), "{rolls:?}: {answer} is not in: {}", said(&output));
        }
    }
    let output = folder.run(&[&["weights", &boat][..], &two, &["--rig", "same"]].concat());
    assert!(said(&output).contains("of the metacentric height that she had"), "{}", said(&output));
}

#[test]
fn archives_that_climb_or_swell() {
    let folder = shop("bad-archives");
    let list = |file: &str| {
        format!(
            "{{\"format\": \"wakewright/archive\", \"version\": 1, \"boat\": \"Wolf\", \"trials\": [], \"forecasts\": [], \"records\": [], \
             \"revisions\": [{{\"file\": \"{file}\", \"time_ms\": 1}}]}}"
        )
    };
    // A thousandfold: eight million blanks pack into eight thousand bytes.
    let swells = vec![b' '; 8_000_000];
    for (file, inside, bytes, answers) in [
        (
            "climbs.zip",
            "../../climbed.toml",
            &b"[boat]"[..],
            ["../../climbed.toml", "climbs out of its folder"],
        ),
        ("swells.zip", "a.toml", &swells, ["swells.zip", "longer than"]),
    ] {
        let mut zip = ZipWriter::new(std::fs::File::create(folder.0.join(file)).unwrap());
        for (name, bytes) in [("manifest.json", list(inside).as_bytes()), (inside, bytes)] {
            zip.start_file(name, SimpleFileOptions::default()).unwrap();
            zip.write_all(bytes).unwrap();
        }
        zip.finish().unwrap();
        let output = folder.run(&["import", file]);
        assert_eq!(output.status.code(), Some(2), "{file}: {}", said(&output));
        for answer in answers {
            assert!(said(&output).contains(answer), "{file}: {answer} is not in: {}", said(&output));
        }
        assert!(!folder.0.parent().unwrap().parent().unwrap().join("climbed.toml").exists());
    }
    assert!(!text(&folder.run(&["boats"])).contains("Wolf"));
}
