//! Papers as a fitter writes them: a report and what becomes of it, an offer with what a spreadsheet would take for a formula.

use std::process::Command;

use tempfile::TempDir;

fn run(shop: &TempDir, args: &[&str]) -> (i32, String, String) {
    let done = Command::new(env!("CARGO_BIN_EXE_wakewright"))
        .args(args)
        .current_dir(shop.path())
        .env("WAKEWRIGHT_DATA", shop.path().join("data"))
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (done.status.code().unwrap(), text(done.stdout), text(done.stderr))
}

fn shop() -> (TempDir, String) {
    let shop = tempfile::tempdir().unwrap();
    let document = run(&shop, &["demo", "--document"]).1;
    std::fs::write(shop.path().join("campion.toml"), &document).unwrap();
    (shop, document)
}

#[test]
fn a_report_is_same_changed_or_unknown() {
    let (shop, document) = shop();
    assert_eq!(run(&shop, &["import", "campion.toml"]).0, 0);
    let written = run(&shop, &["report", "Sea Campion", "--for", "owner", "--out", "r.html"]);
    assert_eq!(written.0, 0, "{}", written.2);
    assert!(written.1.contains("No certificate and no signature"), "{}", written.1);
    let again = run(&shop, &["report", "Sea Campion", "--out", "r.html"]);
    assert!(again.0 == 2 && again.2.contains("--force"), "{}", again.2);
    let same = run(&shop, &["report", "--verify", "r.html"]);
    assert!(same.0 == 0 && same.1.contains(": same") && same.1.contains("A fingerprint is"), "{}", same.1);
    std::fs::write(shop.path().join("campion.toml"), document.replace("12.7 m", "12.8 m")).unwrap();
    assert_eq!(run(&shop, &["import", "campion.toml", "--add-revision"]).0, 0);
    let changed = run(&shop, &["report", "--verify", "r.html"]);
    let said = changed.1.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(changed.0 == 1 && said.contains("from revision 1, and she is at revision 2 now"), "{said}");
    let unknown = run(&shop, &["report", "--verify", "campion.toml"]);
    assert!(unknown.0 == 1 && unknown.1.contains("unknown"), "{}", unknown.1);
}

#[test]
fn cells_of_an_offer_are_no_formulas_and_every_wrong_price_is_said() {
    let (shop, document) = shop();
    let odd = document.replace("\"main cable\"", "\"=1+1\"").replace("\"main fuse\"", "\"@sum\"");
    std::fs::write(shop.path().join("odd.toml"), odd).unwrap();
    let (code, csv, err) =
        run(&shop, &["quote", "odd.toml", "--price", "=1+1=11.40 EUR, 2026-11-20, 1.5 h", "--csv", "parts"]);
    assert_eq!(code, 0, "{err}");
    assert!(csv.contains("\n'=1+1,") && csv.contains("\n'@sum,"), "{csv}");
    assert!(csv.contains("11.40 EUR") && csv.contains("27.36 EUR"), "{csv}");
    let wrong = ["motor=3", "motor=1.900 EUR, 2026-11-20", "motor=5 EUR", "sail=5 EUR, 2026-11-20"];
    let args: Vec<&str> =
        ["quote", "campion.toml"].into_iter().chain(wrong.iter().flat_map(|one| ["--price", *one])).collect();
    let (code, _, err) = run(&shop, &args);
    assert_eq!(code, 2);
    assert!(wrong.iter().all(|one| err.contains(one)), "{err}");
}

/// By hand from the demo's document: three packs, each with its run of 0.8 m and its fuse; one main cable of 2.4 m.
#[test]
fn an_offer_is_a_file_and_counts_what_every_pack_has() {
    let (shop, _) = shop();
    let csv = run(&shop, &["quote", "campion.toml", "--csv", "parts"]).1;
    let number = |part: &str| {
        let line = csv.lines().find(|line| line.starts_with(part)).unwrap();
        line.split(',').find(|cell| cell.ends_with(" m") || cell.parse::<u32>().is_ok()).unwrap().to_owned()
    };
    for (part, count) in [
        ("pack,", "3"),
        ("pack cable", "2.40 m"),
        ("pack fuse", "3"),
        ("main cable", "2.40 m"),
        ("main fuse", "1"),
    ] {
        assert_eq!(number(part), count, "{part}: {csv}");
    }
    let priced = ["quote", "campion.toml", "--price", "pack fuse=31.10 EUR, 2026-11-20"];
    let to = |file| [&priced[..], &["--out", file]].concat();
    let written = run(&shop, &to("offer.html"));
    assert_eq!(written.0, 0, "{}", written.2);
    let offer = std::fs::read_to_string(shop.path().join("offer.html")).unwrap();
    // Three times 31.10, and no offer yet.
    for said in
        ["93.30 EUR", "this is no offer yet", "No certificate", "ask a notified body", "is kept nowhere"]
    {
        assert!(offer.to_lowercase().contains(&said.to_lowercase()), "{said}");
    }
    assert!(run(&shop, &to("offer.html")).2.contains("--force"));
    let pdf = run(&shop, &to("offer.pdf"));
    if cfg!(feature = "pdf") {
        assert_eq!(pdf.0, 0, "{}", pdf.2);
    } else {
        assert!(pdf.0 == 2 && pdf.2.contains("--features pdf") && pdf.2.contains("print"), "{}", pdf.2);
        assert!(!shop.path().join("offer.pdf").exists());
    }
    assert_eq!(run(&shop, &["report", "--verify", "offer.html"]).0, 1);
}
