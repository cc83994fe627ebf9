//! Pages of trials with a log: a throttle that was held, and thousands of runs.

use std::fmt::Write;

use super::*;

const TRIAL: &str = "/boats/sea-campion/trials/1";

impl Bench {
    /// Brings a table into a new trial.
    async fn bring_in(&self, table: &str) {
        let body = format!(
            "--edge\r\nContent-Disposition: form-data; name=\"log\"; filename=\"phone.csv\"\r\n\r\n{table}\r\n--edge--\r\n"
        );
        let kind = "multipart/form-data; boundary=edge";
        let got = self.ask("POST", "/bring-in/sea-campion", kind, body).await;
        assert!(got.status.is_redirection() || got.status.is_success(), "{} {}", got.status, got.text);
    }
}

/// A phone's track out and back, so many times, with a turn between.
fn there_and_back(times: usize) -> String {
    let mut table = String::from("time (s),SOG (kn),COG (°)\n");
    for leg in 0..2 * times {
        for second in 0..100 {
            let (speed, course) = match (leg % 2, second) {
                (0, 0..80) => (4.7, 45),
                (_, 0..80) => (3.7, 225),
                _ => (1.8, 130),
            };
            let _ = writeln!(table, "{},{speed:.1},{course}", leg * 100 + second);
        }
    }
    table
}

#[tokio::test]
async fn a_held_throttle_is_said_with_a_button_and_taken_back() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    bench.bring_in(&there_and_back(2)).await;
    let page = bench.get(TRIAL).await.text;
    assert!(page.contains("They are pairs if the throttle was not touched"), "{page}");
    for (is_held, words) in [(true, "Take that back"), (false, "It was not touched")] {
        let version = page_version(&bench.get(TRIAL).await.text);
        let pressed = bench.post(TRIAL, &format!("version={version}&do=hold-throttle")).await;
        assert_eq!(pressed.status, StatusCode::SEE_OTHER, "{}", pressed.text);
        let page = bench.get(TRIAL).await.text;
        assert!(page.contains(words), "{page}");
        assert_eq!(page.contains("Opposite pairs"), is_held, "{page}");
        let document = bench.get(&format!("{TRIAL}/trial.json")).await.text;
        assert_eq!(document.contains("\"is_throttle_held\": true"), is_held, "{document}");
    }
}

/// A forecast is held against a trial where that is kept; pages that are only looked at write nothing.
#[tokio::test]
async fn looking_holds_no_forecast() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    let log = include_str!("../../../../examples/logs/2025-10-12_after_the_work.csv");
    bench.bring_in(log).await;
    // To bring it in was to keep it: what that holds is done before there is a forecast.
    std::thread::sleep(std::time::Duration::from_secs(4));
    let measures = ["full_speed_m_s", "cruise_speed_m_s", "full_shaft_rev_s", "full_power_w"].map(|measure| {
        serde_json::json!({ "measure": measure, "now": [1, 2, 3], "after": [1, 2, 3], "gain": [0, 0.1, 0.2],
            "after_quantiles": vec![2.0; 19] })
    });
    let forecast = serde_json::json!({ "format": "wakewright/forecast", "version": 1, "boat": "invented",
        "made_on": "2024-05-01", "from_trial": "as found", "from_number": null, "remedy": "clean",
        "changes": [{ "change": "clean_bottom" }], "cruise_power_w": 1000.0, "helps_probability": 0.9, "measures": measures });
    let boat = bench.site.store().find_by_slug("sea-campion").unwrap().id;
    bench.site.store().keep_forecast(boat, &forecast.to_string(), UnixMs(2)).unwrap();
    let page = bench.get(&format!("{TRIAL}/causes?now=1")).await;
    assert!(page.status.is_success(), "{}", page.text);
    for path in [
        "/fleet",
        "/boats/sea-campion/drive",
        "/boats/sea-campion/growth",
        "/boats/sea-campion/trials",
        TRIAL,
    ] {
        assert!(bench.get(path).await.status.is_success(), "{path}");
    }
    assert_eq!(bench.site.store().records_of_all("held").unwrap().len(), 0);
    // Asked where a trial is kept, the same is written once.
    crate::pages::trials::hold(&bench.site, "sea-campion", Some(1)).unwrap();
    assert_eq!(bench.site.store().records_of_all("held").unwrap().len(), 1);
}

fn page_version(page: &str) -> u32 {
    let at = page.split("name=\"version\" value=\"").nth(1).unwrap();
    at.split('"').next().unwrap().parse().unwrap()
}

/// Two hundred runs stand on the page at once, to be read and to be trimmed; what is typed about others stays.
#[tokio::test]
async fn thousands_of_runs_stand_in_windows() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    bench.bring_in(&there_and_back(230)).await;
    let count = |page: &str, what: &str| page.matches(what).count();
    let page = bench.get(TRIAL).await.text;
    assert!(page.contains("Of 460 runs 200 stand"), "{page}");
    // The last row is the one to be filled in.
    assert_eq!(count(&page, "data-mark="), 201);
    let rows =
        |page: &str| count(page.split("id=\"results\"").nth(1).unwrap_or_default(), "<th scope=\"row\"");
    assert!(rows(&page) <= 320, "{}", rows(&page));
    let far = bench.get(&format!("{TRIAL}?runs-from=401")).await.text;
    assert_eq!(count(&far, "data-mark="), 61);
    assert!(far.contains("data-mark=\"459\"") && !far.contains("data-mark=\"399\""));
    // A run of the last window is dropped: the others are kept as they were found.
    let version = page_version(&far);
    let typed = format!("version={version}&do=check&switch=marks.459.dropped&t:marks.459.dropped=yes");
    assert_eq!(bench.post(TRIAL, &typed).await.status, StatusCode::SEE_OTHER);
    let document: serde_json::Value =
        serde_json::from_str(&bench.get(&format!("{TRIAL}/trial.json")).await.text).unwrap();
    let marks = document["marks"].as_array().unwrap();
    assert_eq!(marks.len(), 460);
    assert!(marks[459]["is_dropped"].as_bool().unwrap() && marks[0]["is_dropped"].is_null());
    assert!(bench.get(TRIAL).await.text.contains("Of 459 runs 200 stand"));
}
