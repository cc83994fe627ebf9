//! Letters that overtake each other, long forms beside short ones, odd buttons, and what keeping says.

use std::cell::Cell;
use wakewright_core::field;

use axum::http::StatusCode;
use wakewright_rooms::demo::DEMO_BOAT;

use super::{Bench, DRAFT};

/// Letters of one page overtake each other and the button's form; that is not another device.
#[tokio::test]
async fn a_letter_that_a_button_overtook_changes_nothing() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    bench.post("/boats/sea-campion/trials", "").await;
    let trial = "/boats/sea-campion/trials/1";
    let first = "page=aaaaaaaaaaaaaaaa&turn=1&version=1&t:title=May&was:title=";
    let pressed =
        "page=aaaaaaaaaaaaaaaa&turn=2&version=1&t:title=May+and+June&was:title=&was:title=May&do=check";
    let kept = bench.post(trial, pressed).await;
    assert!(!kept.location.contains("aside"), "{}", kept.location);
    let late: serde_json::Value =
        serde_json::from_str(&bench.post(&format!("{trial}/draft"), first).await.text).unwrap();
    let status = late["status"].as_str().unwrap();
    assert!(status.starts_with("Kept at") && !status.contains("another device"), "{status}");
    let document = bench.get(&format!("{trial}/trial.json")).await.text;
    assert!(document.contains("May and June") && !document.contains("written on"), "{document}");
    // In the other order, with the answer of the first not yet come.
    let first = "page=bbbbbbbbbbbbbbbb&turn=1&version=1&t:note=quay&was:note=";
    bench.post(&format!("{trial}/draft"), first).await;
    let pressed = "page=bbbbbbbbbbbbbbbb&turn=2&version=1&t:note=the+quay&was:note=&was:note=quay&do=check";
    let kept = bench.post(trial, pressed).await;
    assert!(!kept.location.contains("aside"), "{}", kept.location);
    let document = bench.get(&format!("{trial}/trial.json")).await.text;
    assert!(document.contains("the quay") && !document.contains("written on"), "{document}");
}

#[tokio::test]
async fn a_draft_that_arrives_after_the_sheet_was_kept_is_not_kept_again() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    let page = format!("page=aaaaaaaaaaaaaaaa&{DRAFT}");
    let pressed = format!("{page}&turn=2&do=keep&f:hull.draught=1.57+m");
    assert!(bench.post("/boats/sea-campion/boat", &pressed).await.location.contains("done=kept"));
    let late = bench.post("/boats/sea-campion/draft", &format!("{page}&turn=1&f:hull.draught=1.5+m")).await;
    assert_eq!(late.status, StatusCode::OK);
    let store = bench.site.store();
    assert_eq!(store.drafts(store.find("Sea Campion").unwrap().id).unwrap().len(), 0);
}

#[tokio::test]
async fn a_button_that_no_page_has_is_answered() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    for word in
        ["add:%00", "add:x%0d%0aSet-Cookie:a", "add:", "remove:%00", "remove:mass%5B99999999999%5D", "%00"]
    {
        let got = bench.post("/boats/sea-campion/boat", &format!("{DRAFT}&do={word}")).await;
        assert_eq!(got.status, StatusCode::SEE_OTHER, "{word}: {}", got.text);
        assert!(!got.location.contains('#'), "{word}: {}", got.location);
    }
}

/// A form of 2,000 changed fields is put in in one pass, and a draft about another boat does not wait for it.
#[tokio::test]
async fn a_form_of_two_thousand_fields_is_taken_and_keeps_nobody_waiting() {
    let rows = "\n[[mass]]\nof = \"x\"\nmass = \"1 kg\"\nat = \"0 m\"\nheight = \"0 m\"\n".repeat(500);
    let text = format!("{DEMO_BOAT}{rows}");
    let bench = Bench::with("Sea Campion", &text);
    bench.site.store().create("Sweet Gale", DEMO_BOAT, "", wakewright_store::UnixMs(2)).unwrap();
    let mut form = form_urlencoded::Serializer::new(format!("{DRAFT}&"));
    form.append_pair("text", &text);
    for row in 1..=500 {
        for (field, value) in [("of", "y"), ("mass", "2 kg"), ("at", "0.5 m"), ("height", "0.7 m")] {
            form.append_pair(&format!("f:mass[{row}].{field}"), value);
        }
    }
    let form = form.finish();
    let is_taken = Cell::new(false);
    let long = async {
        let got = bench.post("/boats/sea-campion/draft", &form).await;
        is_taken.set(true);
        got
    };
    let others = async {
        let mut count = 0;
        while !is_taken.get() {
            let own = "draft=bbbbbbbbbbbbbbbb&base=1&f:boat.note=meanwhile";
            assert_eq!(bench.post("/boats/sweet-gale/draft", own).await.status, StatusCode::OK);
            count += 1;
        }
        count
    };
    let (got, count) = tokio::join!(long, others);
    assert_eq!(got.status, StatusCode::OK, "{}", got.text);
    let store = bench.site.store();
    let drafts = store.drafts(store.find("Sea Campion").unwrap().id).unwrap();
    let kept = drafts.iter().find(|draft| draft.device.ends_with("aaaa")).unwrap();
    assert_eq!(kept.text.matches("mass = \"2 kg\"").count(), 500);
    // Waiting for the long form the first draft would have been the last.
    assert!(count > 1, "{count} drafts were taken meanwhile");
}

#[tokio::test]
async fn keeping_says_what_was_kept_under_which_name_and_how_to_undo_it() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    let keep = "set=propeller.pitch%3D14+in&room=drive&name=14+in+%3Cb%3E&copy=Dipper";
    let kept = bench.post("/boats/sea-campion/keep", &format!("{keep}&as=alternative&base=1")).await;
    let page = bench.get(&kept.location).await.text;
    assert!(page.contains("“14 in &lt;b&gt;” is kept as an alternative"), "{}", kept.location);
    assert!(page.contains("compare?old=1&amp;new=2") && page.contains("action=\"/boats/sea-campion/undo\""));
    let kept = bench.post("/boats/sea-campion/keep", &format!("{keep}&as=revision&base=2")).await;
    let page = bench.get(&kept.location).await.text;
    assert!(page.contains("Kept as revision 3: pitch 14 in instead of 15 in."), "{}", kept.location);
    assert!(page.contains("name=\"at\" value=\"drive\""), "{page}");
    let undone = bench.post("/boats/sea-campion/undo", "base=3&at=drive").await;
    assert_eq!(undone.location, "/boats/sea-campion/drive?done=brought-back", "where one was");
    assert!(bench.get(&undone.location).await.text.contains("Brought back as a new revision"));
    assert!(!bench.get(&kept.location).await.text.contains("Kept as revision"), "another has followed");
    let beside = bench.post("/boats/sea-campion/keep", &format!("{keep}&as=copy&base=4")).await;
    let page = bench.get(&beside.location).await.text;
    assert!(page.contains("Kept as a boat of her own, “Dipper”"), "{}", beside.location);
}

/// An unfinished boat keeps her navigation on every page; what she lacks stands there in the fields' words, each a
/// way to its field, and what is typed and not kept is counted in.
#[tokio::test]
async fn an_unfinished_boat_says_what_she_lacks_without_syntax() {
    let text = "[boat]\nname = \"Half\"\n[hull]\nlength_overall = \"9 m\"\ndraught = \"wet\"\n[propeller]\npich = \"12 in\"\n";
    let bench = Bench::with("Half", text);
    for page in [
        "drive",
        "range",
        "sail",
        "bank",
        "energy",
        "options",
        "search",
        "drive/live",
        "explain/speed",
        "options.csv",
    ] {
        let got = bench.get(&format!("/boats/half/{page}")).await;
        assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY, "{page}");
        assert!(
            got.text.contains("href=\"/boats/half/range\"")
                && got.text.contains("href=\"/boats/half/trials\""),
            "{page}"
        );
        assert!(
            got.text.contains("href=\"/boats/half/boat#hull-draught\">Hull: draught</a>"),
            "{page}: {}",
            got.text
        );
        for syntax in ["^", field::hull::DRAUGHT, "[hull]", "draught = "] {
            assert!(!got.text.contains(syntax), "{page}: {syntax}");
        }
    }
    let sheet = bench.get("/boats/half/boat").await.text;
    assert!(sheet.contains("href=\"#hull-draught\">Hull: draught</a>"), "{sheet}");
    let count = |text: &str| text.matches("<li><a href=\"/boats/half/boat#").count();
    let before = count(&bench.get("/boats/half/drive").await.text);
    bench.post("/boats/half/draft", &format!("{DRAFT}&f:hull.draught=1.5+m")).await;
    let after = bench.get("/boats/half/drive").await.text;
    assert!(count(&after) == before - 1 && after.contains("and is not kept yet is counted in"), "{after}");
}

/// Two texts and two revisions are compared in the fields' words.
#[tokio::test]
async fn what_differs_stands_in_the_fields_words() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    let typed = |pitch: u32| format!("{DRAFT}&do=keep&f:propeller.pitch={pitch}+in");
    bench.post("/boats/sea-campion/boat", &typed(14)).await;
    let collided = bench.post("/boats/sea-campion/boat", &typed(13)).await;
    for page in [collided.location.as_str(), "/boats/sea-campion/compare?old=1&new=2"] {
        let text = bench.get(page).await.text;
        assert!(text.contains("Propeller and shaft: pitch"), "{page}: {text}");
        let pitch = field::propeller::PITCH;
        assert!(!text.replace(&format!("pick:{pitch}"), "").contains(pitch), "{page}: {text}");
    }
}

/// At the foot of the sheet: the verdict with its band for what is typed, and the way to what would narrow it most.
#[tokio::test]
async fn the_verdict_follows_what_is_typed() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    let verdict = "/boats/sea-campion/verdict?draft=aaaaaaaaaaaaaaaa";
    let kept = bench.get(verdict).await.text;
    assert!(kept.contains("at full throttle, four times in five") && kept.contains("<a href=\"#"), "{kept}");
    bench.post("/boats/sea-campion/draft", &format!("{DRAFT}&f:propeller.pitch=11+in")).await;
    let typed = bench.get(verdict).await.text;
    assert!(typed.contains("four times in five") && typed != kept, "{typed}");
    bench.post("/boats/sea-campion/draft", &format!("{DRAFT}&f:propeller.pitch=eleven")).await;
    let none = bench.get(verdict).await.text;
    let way = "<a href=\"#propeller-pitch\">Propeller and shaft: pitch</a>";
    assert!(none.contains("No verdict yet") && none.contains(way), "{none}");
}
