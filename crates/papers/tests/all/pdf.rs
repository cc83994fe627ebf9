//! The report as a PDF: read back by another program (poppler), tags in reading order, the same words as the page, the
//! same bytes twice. Only with the feature `pdf`.

use std::path::PathBuf;
use std::process::Command;
use std::time::Instant;

use wakewright_papers::{Claim, Reader, Record, Report, Verdict, verify};
use wakewright_rooms::ROOMS;
use wakewright_rooms::boats::understand;
use wakewright_rooms::room::Replies;
use wakewright_rooms::text::Paper;
use wakewright_units::UnitSystem;

use super::demo;
use super::report::all_assumed;

/// What a program of poppler says of `pdf`.
fn read_back(program: &str, options: &[&str], pdf: &[u8]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("paper.pdf");
    std::fs::write(&file, pdf).unwrap();
    let to = if program == "pdftotext" { vec!["-"] } else { vec![] };
    let done = Command::new(program).args(options).arg(&file).args(to).output();
    let done = done.expect("this test needs poppler-utils: apt-get install poppler-utils");
    assert!(done.status.success(), "{program}: {}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).unwrap()
}

fn record(text: &str) -> Record {
    Record::of_file(understand(text, "demo", &[]).unwrap())
}

fn pdf_of(record: &Record, reader: Reader) -> (Vec<u8>, String) {
    let report = Report::of(&ROOMS, record, reader, &Paper::plain(UnitSystem::Trade));
    let pdf = report.to_pdf().unwrap();
    kept(reader.word(), &pdf);
    (pdf, report.to_html())
}

/// Leaves the paper where somebody wants to look at it.
fn kept(name: &str, pdf: &[u8]) {
    if let Some(folder) = std::env::var_os("WAKEWRIGHT_PAPERS") {
        std::fs::write(PathBuf::from(folder).join(format!("{name}.pdf")), pdf).unwrap();
    }
}

/// Lines of the tree of tags as poppler prints it: tags, and what stands in them between quotes.
fn tree_of(pdf: &[u8]) -> Vec<String> {
    let tree = read_back("pdfinfo", &["-struct-text"], pdf);
    tree.lines().map(|line| line.trim().to_owned()).collect()
}

fn count(tree: &[String], tag: &str) -> usize {
    tree.iter().filter(|line| line.split([' ', ':']).next() == Some(tag)).count()
}

/// What is read aloud in the order of the tags, without blanks, and without what pictures say by letters.
fn said(tree: &[String]) -> String {
    let mut in_figure = false;
    let mut all = String::new();
    for line in tree {
        match line.strip_prefix('"').and_then(|line| line.strip_suffix('"')) {
            Some(text) if !in_figure => all.extend(text.chars().filter(|c| !c.is_whitespace())),
            Some(_) => {}
            // What a figure has, its caption too, is left out here and of the page.
            None if line.starts_with("Figure") => in_figure = true,
            None if line.starts_with('/') => {}
            None if in_figure && line.starts_with("Caption") => {}
            None => in_figure = false,
        }
    }
    all
}

/// The same of the page: its text without pictures and captions of pictures.
fn written(html: &str) -> String {
    let body = html.split_once("<main>").unwrap().1.split_once("<p class=\"foot\">").unwrap().0;
    let mut text = body.to_owned();
    while let Some(start) = text.find("<figure>") {
        let end = text[start..].find("</figure>").unwrap() + start;
        text.replace_range(start..end, "");
    }
    let mut plain = String::new();
    let mut is_tag = false;
    for c in text.chars() {
        match c {
            '<' => is_tag = true,
            '>' if is_tag => is_tag = false,
            c if !is_tag && !c.is_whitespace() => plain.push(c),
            _ => {}
        }
    }
    plain.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
}

#[test]
fn the_whole_report_reads_back_tagged_in_order_with_its_fonts() {
    let record = Record::of_file(demo());
    let (pdf, html) = pdf_of(&record, Reader::Fitter);
    let report = Report::of(&ROOMS, &record, Reader::Fitter, &Paper::plain(UnitSystem::Trade));
    let started = Instant::now();
    let again = report.to_pdf().unwrap();
    eprintln!("written in {:?}", started.elapsed());
    assert!(again == pdf, "the same bytes");

    let about = read_back("pdfinfo", &[], &pdf);
    for said in [
        "Title:           Sea Campion: report for her fitter",
        "Tagged:          yes",
        "(A4)",
        "JavaScript:      no",
    ] {
        assert!(about.contains(said), "{said}: {about}");
    }
    assert!(!about.contains("CreationDate"), "a document from a file has no day");
    let fonts = read_back("pdffonts", &[], &pdf);
    for font in fonts.lines().skip(2) {
        let is_whole = font.contains("+Wakewright") && font.contains("yes yes yes");
        assert!(is_whole, "embedded, a subset, with its letters told: {fonts}");
    }

    let tree = tree_of(&pdf);
    for (tag, mark) in [
        ("Table", "<table"),
        ("Figure", "<figure>"),
        ("H1", "<h1"),
        ("H2", "<h2"),
        ("H3", "<h3"),
        ("TR", "<tr"),
        ("LI", "<li>"),
    ] {
        let more = if tag == "LI" { html.matches("<li ").count() + html.matches("<dt").count() } else { 0 };
        assert_eq!(count(&tree, tag), html.matches(mark).count() + more, "{tag}");
    }
    assert_eq!(
        count(&tree, "TH") + count(&tree, "TD"),
        html.matches("<th ").count() + html.matches("<td").count()
    );
    let (said, written) = (said(&tree), written(&html));
    let differs = said.chars().zip(written.chars()).position(|(one, other)| one != other);
    let at = differs.unwrap_or(said.len().min(written.len())).saturating_sub(40);
    let near = |text: &str| text.chars().skip(at).take(120).collect::<String>();
    assert!(said == written, "read {:?}, written {:?}", near(&said), near(&written));

    // In the foot of every page, not among what is read; in full at the end.
    let first = wakewright_papers::first_digits(&record.fingerprint());
    let pages = read_back("pdftotext", &["-layout"], &pdf);
    let pages: Vec<&str> = pages.trim_end_matches('\u{c}').split('\u{c}').collect();
    for (place, page) in pages.iter().enumerate() {
        assert!(
            page.contains(&format!("{} of {}", place + 1, pages.len())) && page.contains(&first),
            "{page}"
        );
    }
    assert!(pages.last().unwrap().contains(&record.fingerprint()));
}

#[test]
fn a_pdf_is_the_same_changed_or_unknown() {
    let record = record(&all_assumed());
    let (pdf, _) = pdf_of(&record, Reader::Owner);
    let claim = Claim::of(&pdf).unwrap();
    assert_eq!((claim.boat.as_str(), claim.reader), ("Sea Campion", Reader::Owner));
    assert_eq!(verify(&ROOMS, &pdf, &record, &[]), Verdict::Same);
    let mut touched = pdf.clone();
    let last = touched.len() - 10;
    touched[last] ^= 1;
    assert!(
        matches!(verify(&ROOMS, &touched, &record, &[]), Verdict::Changed(why) if why.contains("the paper itself"))
    );
    let longer = self::record(&all_assumed().replace("12.7 m", "12.8 m"));
    assert!(matches!(verify(&ROOMS, &pdf, &longer, &[]), Verdict::Changed(_)));
    assert!(matches!(verify(&ROOMS, b"%PDF-1.7", &record, &[]), Verdict::Unknown(_)));
}

/// Letters that no embedded font has are shown by their numbers, and are whole where they are copied or read aloud.
#[test]
fn names_in_any_script_and_a_long_note_are_whole() {
    let note = format!("{} end of the note", "<b>&\"' ".repeat(12_500));
    let one = "Ý".repeat(3000);
    for (name, shown) in
        [("Ἁλκυών", "[U+1F09]"), ("海の花", "[U+6D77]"), ("Žuvėdra & <b>, =1+1", "Žuvėdra & <b>, =1+1")]
    {
        let text = all_assumed().replace("name = \"Sea Campion\"", &format!("name = \"{name}\"")).replace(
            "note = \"Measured on the slip",
            &format!("note = \"{} {one} # ", note.replace('"', "\\\"")),
        );
        let (pdf, _) = pdf_of(&record(&text), Reader::Owner);
        assert_eq!(Claim::of(&pdf).unwrap().boat, name);
        let text = read_back("pdftotext", &["-raw"], &pdf);
        assert!(text.contains(name), "{name} can be copied");
        assert!(text.contains("end of the note"), "{name}");
        assert_eq!(text.matches('Ý').count(), 3000, "{name}: a word longer than a line is whole");
        assert_eq!(text.matches("<b>&\"'").count(), 12_500, "{name}");
        let foot = text.lines().filter(|line| line.contains(shown)).count();
        assert!(foot > 1, "{name} is shown as {shown} in the foot");
    }
}

/// One room as a paper: the offer, with prices that stand in it alone.
#[test]
fn an_offer_is_a_paper_of_its_own() {
    let record = Record::of_file(demo());
    let room = ROOMS.iter().copied().find(|room| room.card().key == "quote").unwrap();
    let typed = [
        ("price", "motor=2,900 EUR, 2026-09-01, 16 h\npack fuse=31.10 EUR, 2026-09-01"),
        ("labour", "55 EUR"),
    ];
    let replies = Replies::read(room.questions(), typed.into_iter()).unwrap();
    let offer = Report::of_room(&ROOMS, &record, room, replies, &Paper::plain(UnitSystem::Trade)).unwrap();
    let (pdf, html) = (offer.to_pdf().unwrap(), offer.to_html());
    kept("offer", &pdf);
    assert_eq!(said(&tree_of(&pdf)), written(&html));
    // 2,900 and three fuses at 31.10; sixteen hours at 55.
    for money in ["2993.30EUR", "880.00EUR", "3873.30EUR"] {
        assert!(written(&html).replace(',', "").contains(money), "{money}: {}", written(&html));
    }
    assert!(Claim::of(&pdf).is_none(), "nobody can write it again to compare");
}
