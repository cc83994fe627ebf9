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

#[tokio::test]
async fn departures_are_looked_for_behind_the_page_and_can_be_stopped() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    let page = "/boats/sea-campion/passage";
    let replies = [
        ("route", "6 nm 218 to the Narrows"),
        ("leg", "all: stream A"),
        ("streams", include_str!("../../../../examples/renn_sound_streams.txt")),
        ("port", "Renn Sound"),
        ("table", include_str!("../../../../examples/renn_sound_waters.txt")),
        ("zone", "UTC"),
        ("day", "2026-09-20"),
        ("leave", "08:00"),
    ];
    let asked = form_urlencoded::Serializer::new(String::new()).extend_pairs(replies).finish();
    let (look, best) = ("Look for the best departure of the next 14 days", "departure of the next 14 days");
    let got = bench.get(&format!("{page}?{asked}")).await;
    assert!(got.text.contains(look) && !got.text.contains("The best departure"), "{}", got.text);
    let begun = bench.post(&format!("{page}/longer"), &asked).await.location;
    let job = begun.rsplit_once("job=").unwrap().1.to_owned();
    let progress = format!("/boats/sea-campion/search/progress?job={job}");
    assert!(
        bench.get(&begun).await.text.contains("<progress") || bench.get(&begun).await.text.contains(best)
    );
    while bench.get(&progress).await.text.contains("\"is_running\":true") {
        tokio::time::sleep(std::time::Duration::from_millis(20)).await;
    }
    let found = bench.get(&begun).await.text;
    assert!(found.contains("leaves more") || found.contains("The best departure"), "{found}");
    assert!(found.contains("departures.svg") && !found.contains(look), "{found}");
    assert!(bench.get(&format!("{page}/picture/departures.svg?{asked}")).await.text.contains("<svg"));
    // What was found for another hour does not stand beside this one.
    let other = bench.get(&begun.replace("leave=08%3A00", "leave=11%3A00")).await.text;
    assert!(other.contains(look) && !other.contains("departures.svg"), "{other}");
    let long = asked.replace("6+nm", "40+nm");
    let begun = bench.post(&format!("{page}/longer"), &long).await.location;
    let job = begun.rsplit_once("job=").unwrap().1.to_owned();
    let stopped = bench.post(&format!("{page}/longer/stop"), &format!("{long}&job={job}")).await.location;
    let text = bench.get(&stopped).await.text;
    assert!(text.contains("was stopped") || text.contains("departures.svg"), "{text}");
    let gone = bench.get(&format!("{page}?{asked}&job=none")).await.text;
    assert!(gone.contains("Ask again"), "{gone}");
}
