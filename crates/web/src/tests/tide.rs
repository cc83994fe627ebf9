//! Pages that ask by fields to type in: what is typed stays, whatever it says.

use super::*;

#[tokio::test]
async fn a_place_is_typed_on_the_page_and_stays_as_typed() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    let page = "/boats/sea-campion/tide";
    // Where she lies there is no station near: the page says so and asks.
    let got = bench.get(page).await;
    assert_eq!(got.status, StatusCode::OK);
    assert!(got.text.contains("No station of the built-in set lies within 20 nm"), "{}", got.text);
    let got = bench.get(&format!("{page}?place=Boston&day=2026-10-02")).await;
    assert!(
        got.text.contains("high water at 03:50") && got.text.contains("value=\"Boston\""),
        "{}",
        got.text
    );
    for (query, said) in [
        ("place=Bostom", "names like it"),
        ("place=Boston&day=soon", "First day: soon is no day"),
        ("table=2026-10-02+07:50+2.8&zone=UTC", "give two waters at least"),
        ("table=2026-10-02+07:50+2.8%0A13:50+0.4", "in which time the table stands"),
    ] {
        for part in ["", "/live"] {
            let got = bench.get(&format!("{page}{part}?{query}")).await;
            assert_eq!(got.status, StatusCode::OK, "{query}");
            let text = got.text.to_lowercase();
            assert!(text.contains(&said.to_lowercase()), "{query}: {}", got.text);
        }
    }
}
