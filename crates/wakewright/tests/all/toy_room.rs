//! A question added the public way, by one file and one line in a register, has command, JSON, CSV, schema,
//! explain and page.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use axum::body::{Body, to_bytes};
use axum::http::Request;
use tower::ServiceExt;
use wakewright_store::Store;

#[path = "../../examples/toy_room/toy.rs"]
mod toy;

const BOAT: &str = include_str!("../../../../examples/water_avens.toml");

/// The example beside this test's own program.
fn program() -> PathBuf {
    let own = std::env::current_exe().unwrap();
    own.parent().and_then(Path::parent).unwrap().join("examples/toy_room")
}

fn run(args: &[&str]) -> Output {
    Command::new(program()).args(args).output().unwrap()
}

fn said(args: &[&str]) -> String {
    let output = run(args);
    assert!(output.status.success(), "{args:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn a_new_question_has_every_output() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("boat.toml");
    std::fs::write(&file, BOAT).unwrap();
    let boat = file.to_str().unwrap();

    assert!(said(&["toy", "--help"]).contains("How many times at most"));
    let text = said(&["toy", boat, "--most", "3"]);
    assert!(text.starts_with("Water Avens is ") && text.contains("One after the other"), "{text}");
    let json: serde_json::Value = serde_json::from_str(&said(&["toy", boat, "--json"])).unwrap();
    assert_eq!(json["format"], "wakewright/toy");
    let one = json["result"]["lengths"][0]["length_so_many_times_m"].as_f64().unwrap();
    let all = json["result"]["figures"]["all_lengths_m"].as_f64().unwrap();
    assert!((all / one - 3.0).abs() < 1e-12);
    assert!(said(&["toy", boat, "--csv", "lengths"]).starts_with("times,length_so_many_times_m\n1,"));
    let schema: serde_json::Value = serde_json::from_str(&said(&["schema", "toy"])).unwrap();
    let described = &schema["properties"]["result"]["properties"]["lengths"]["items"]["properties"];
    assert_eq!(described["length_so_many_times_m"]["description"], "her length so many times [m]");
    assert!(said(&["explain", boat, "all_lengths"]).contains("L (1 + 2 + ... + n)"));
    assert!(said(&["explain", boat]).contains("all her lengths in a row"));

    assert_eq!(run(&["toy", boat, "--most", "9"]).status.code(), Some(1), "no answer is a finding");
    assert_eq!(run(&["toy", boat, "--most", "x"]).status.code(), Some(2));
}

#[tokio::test]
async fn a_new_question_has_a_page() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = Store::open(folder.path().join("boats.store")).unwrap();
    store.create("Water Avens", BOAT, "", wakewright_store::UnixMs(1_760_000_000_000)).unwrap();
    let site = wakewright_web::site(store, &toy::TOYS);
    let ask = async |place: &str| {
        let request = Request::builder().uri(place).body(Body::empty()).unwrap();
        let response = site.clone().oneshot(request).await.unwrap();
        assert!(response.status().is_success(), "{place}: {}", response.status());
        String::from_utf8(to_bytes(response.into_body(), 10_000_000).await.unwrap().to_vec()).unwrap()
    };
    let page = ask("/boats/water-avens/toy").await;
    for part in ["One after the other", "Before she is sawn in two", "wind from ahead", ">Toy</a>"] {
        assert!(page.contains(part), "{part} is not on the page");
    }
    assert!(ask("/boats/water-avens/toy/live?quick=1&most=4").await.contains("data-live=\"rest\""));
    assert!(ask("/boats/water-avens/explain/all_lengths").await.contains("L (1 + 2 + ... + n)"));
}
