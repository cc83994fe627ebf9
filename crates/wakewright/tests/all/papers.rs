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
    let wrong = [
        "motor=3",
        "motor=1.900 EUR, 2026-11-20",
        "motor=5 EUR",
        "sail=5 EUR, 2026-11-20",
        "pack=5 EUR, 2026-11-20, 3 V",
        "motor=5 EUR, 2026-11-20, 40 kg",
        "pack=5 EUR, 2026-11-20, 3 h, 4 h",
    ];
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
    let priced = ["quote", "campion.toml", "--price", "pack fuse=31.10 EUR, 2026-11-20, 0.2 kg"];
    assert!(run(&shop, &[&priced[..], &["--csv", "parts"]].concat()).1.contains(",0.6,31.10 EUR"));
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

/// By hand: 640 and three hours at 55 are 805, with a tenth for what nobody foresees 885.50 EUR. Every figure is that of `options`.
#[test]
fn alternatives_stand_side_by_side_with_what_each_gives_and_how_sure() {
    let (shop, document) = shop();
    let asked = [
        ["--price", "3:1 pulleys=640 EUR, 2026-09-01, 3 h"],
        ["--labour", "55 EUR"],
        ["--contingency", "10 %"],
        ["--hours", "120"],
        ["--power", "0.32 EUR"],
    ];
    let sold = [&["quote", "campion.toml"][..], asked.as_flattened()].concat();
    let quote = [&sold[..], &["--samples", "400"]].concat();
    let json = |args: &[&str]| -> serde_json::Value {
        serde_json::from_str(&run(&shop, &[args, &["--json"]].concat()).1).unwrap()
    };
    let (offer, options) = (json(&quote), json(&["options", "campion.toml", "--samples", "400"]));
    let choices = offer["result"]["choices"].as_array().unwrap();
    let names: Vec<&str> = choices.iter().map(|one| one["offer_choice"].as_str().unwrap()).collect();
    assert_eq!(names, ["as she is", "3:1 pulleys", "re-pitch to 13 in", "320 A controller"]);
    assert_eq!(choices[1]["offer_choice_price"], "885.50 EUR of 2026-09-01");
    assert_eq!(choices[2]["offer_choice_price"], "310 EUR, no day");
    let rows = options["result"]["rows"].as_array().unwrap();
    let mut compared = 0;
    for choice in choices {
        let of = |measure: &str| {
            let is_it = |row: &&serde_json::Value| {
                row["variant"] == choice["offer_choice"] && row["measure"] == measure
            };
            rows.iter().find(is_it).unwrap()
        };
        for own in ["speed_kn", "range_nmi"] {
            assert_eq!(choice[own]["value"], of(own)["value"]["value"], "{choice}");
            assert_eq!(choice[own]["p90"], of(own)["value"]["p90"], "{choice}");
            compared += 1;
        }
        assert_eq!(choice["offer_faster_in_share"], of("speed_kn")["better_in_share"], "{choice}");
    }
    assert_eq!(compared, 8);
    // As she is takes from the plug what the year says.
    assert_eq!(choices[0]["offer_plug_energy_wh"], offer["result"]["figures"]["offer_plug_energy_wh"]);
    // In a terminal and on paper a column each, and 80 characters hold it.
    let text = run(&shop, &quote).1;
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    assert!(text.lines().any(|line| line.matches("limit").count() >= 3), "{text}");
    let sold = run(&shop, &[&sold[..], &["--out", "offer.html"]].concat());
    assert_eq!(sold.0, 0, "{}", sold.2);
    let paper = std::fs::read_to_string(shop.path().join("offer.html")).unwrap();
    for name in &names {
        assert!(paper.contains(&format!("scope=\"col\">{name}</th>")), "{name}");
    }
    assert!(paper.contains("885.50 EUR of 2026-09-01"));
    // Two currencies are never one sum, and work without hours is none of it.
    let two = [&quote[..], &["--price", "re-pitch to 13 in=300 GBP, 2026-09-01, 2 h"]].concat();
    assert_eq!(
        json(&two)["result"]["choices"][2]["offer_choice_price"],
        "330.00 GBP and 121.00 EUR of 2026-09-01"
    );
    // More than three: the first three, and that there are others is said; what cannot be is said too.
    let more = format!(
        "{document}\n[[alternative]]\nname = \"finer\"\nchanges = {{ \"propeller.pitch\" = \"12 in\" }}\n"
    );
    std::fs::write(shop.path().join("more.toml"), more).unwrap();
    let said = run(&shop, &["quote", "more.toml", "--samples", "100"]).1;
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("The first 3 of 4") && !said.contains("finer"), "{said}");
}

/// No trial: said, and no forecast is told of.
#[test]
fn a_boat_without_trials_has_a_report_that_says_so() {
    let (shop, _) = shop();
    assert_eq!(run(&shop, &["import", "campion.toml"]).0, 0);
    let written = run(&shop, &["report", "Sea Campion", "--for", "surveyor", "--out", "r.html"]);
    assert_eq!(written.0, 0, "{}", written.2);
    let report = std::fs::read_to_string(shop.path().join("r.html")).unwrap();
    assert!(report.contains("No trial is kept of her"));
}
