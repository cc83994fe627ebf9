//! Dated records on their pages: begun, typed from two devices, photographs taken in and refused.

use super::*;

const CHECKUP: &str = "/boats/sea-campion/kept/checkup/1";

impl Bench {
    async fn send_photograph(&self, name: &str, bytes: &[u8]) -> Got {
        let mut body =
            format!("--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{name}\"\r\n\r\n")
                .into_bytes();
        body.extend_from_slice(bytes);
        body.extend_from_slice(b"\r\n--edge--\r\n");
        self.ask("POST", "/bring-in/sea-campion/kept/checkup/1", "multipart/form-data; boundary=edge", body)
            .await
    }
}

#[tokio::test]
async fn a_check_up_is_begun_typed_and_shelved() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    assert!(
        bench.get("/boats/sea-campion/checkup").await.text.contains("No check-up of Sea Campion is kept")
    );
    assert_eq!(bench.post("/boats/sea-campion/kept/checkup", "").await.location, CHECKUP);
    let page = bench.get(CHECKUP).await.text;
    assert!(page.contains("name=\"t:item.belt.found\"") && !page.contains("t:item.acid.found"), "{page}");
    let draft = |form: &'static str| bench.post("/boats/sea-campion/kept/checkup/1/draft", form);
    let got = draft("version=1&t:item.belt.found=act+now&was:item.belt.found=").await.text;
    assert!(got.contains("\"version\":2") && got.contains("Kept at"), "{got}");
    let got = draft("version=1&t:item.belt.found=good&was:item.belt.found=").await.text;
    assert!(got.contains("is in the note"), "{got}");
    let got = draft("version=3&t:item.gland.value=many&was:item.gland.value=").await.text;
    assert!(got.contains("\"invalid\":[\"item-gland-value\"]"), "{got}");
    assert_eq!(draft("t:item.rudder.found=good").await.status, StatusCode::BAD_REQUEST);
    let over = bench.get("/boats/sea-campion/checkup").await.text;
    assert!(
        over.contains("Check-up 1, item.gland.value"),
        "what follows the records is not remembered: {over}"
    );
    bench.post("/boats/sea-campion/kept/checkup/1/remove", "").await;
    assert!(
        bench.get("/boats/sea-campion/checkup").await.text.contains("No check-up of Sea Campion is kept")
    );
    bench.post("/boats/sea-campion/kept/checkup/1/reinstate", "").await;
    assert!(bench.get(CHECKUP).await.text.contains("good"));
}

#[tokio::test]
async fn photographs_come_in_or_are_refused_by_name() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    bench.post("/boats/sea-campion/kept/checkup", "").await;
    let got = bench.send_photograph("../gland.gif", b"GIF89a").await;
    assert_eq!(got.status, StatusCode::BAD_REQUEST);
    assert!(got.text.contains("gland.gif: neither JPEG nor PNG"), "{}", got.text);
    let png = include_bytes!("../../../../docs/pictures/drive.png");
    assert!(bench.send_photograph("gland.png", png).await.status.is_redirection());
    let page = bench.get(CHECKUP).await.text;
    assert!(page.contains("alt=\"gland.jpg\""), "{page}");
    bench.post("/boats/sea-campion/kept/checkup/1/photographs/1/remove", "").await;
    assert!(!bench.get(CHECKUP).await.text.contains("gland.jpg"));
    let gone = bench.get("/boats/sea-campion/kept/checkup/1/photographs/1").await;
    assert_eq!(gone.status, StatusCode::NOT_FOUND, "one that was taken off is shown to nobody");
    let nowhere = bench.get("/boats/sea-campion/kept/checkup/1/photographs/9").await;
    assert_eq!(nowhere.status, StatusCode::NOT_FOUND, "{}", nowhere.text);
}

/// 5,000 photographs and twenty boats: the pages take less than a tenth of a second each, read from the store.
#[tokio::test]
async fn thousands_of_photographs_slow_no_page() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    {
        let mut store = bench.site.store();
        for boat in 1..20 {
            store.create(&format!("Boat {boat}"), DEMO_BOAT, "", UnixMs(1)).unwrap();
        }
        let boats: Vec<_> = store.list().unwrap();
        let bytes = vec![7_u8; 20_000];
        for boat in &boats {
            for _ in 0..10 {
                let record = store
                    .enter_record(boat.boat.id, "checkup", "date = \"2025-05-02\"\n", &[], UnixMs(2))
                    .unwrap()
                    .id;
                for number in 0..25 {
                    let digest = format!("{number}");
                    let new = wakewright_store::NewEnclosure {
                        name: "gland.jpg",
                        place: "gland",
                        plain_bytes: 20_000,
                        digest: &digest,
                        bytes: &bytes,
                    };
                    store.add_enclosure(record, &new, UnixMs(3)).unwrap();
                }
            }
        }
    }
    for path in ["/boats/sea-campion/checkup", CHECKUP] {
        bench.get(path).await;
        let begun = std::time::Instant::now();
        assert_eq!(bench.get(path).await.status, StatusCode::OK);
        let took = begun.elapsed();
        println!("{path}: {took:?}");
        assert!(cfg!(debug_assertions) || took.as_millis() < 100, "{path}: {took:?}");
    }
}

/// A call is begun with what was said on its page, goes on as a record with its finding, and is scored when its end is
/// known; the readings of a commissioning are judged as they are typed.
#[tokio::test]
async fn calls_and_commissionings_are_kept() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    let page = bench.get("/boats/sea-campion/call?danger=none&symptom=weak").await.text;
    assert!(page.contains("name=\"symptom\" value=\"weak\"") && page.contains("Begin a call"), "{page}");
    let here = bench.post("/boats/sea-campion/kept/call", "danger=none&symptom=weak").await.location;
    assert_eq!(here, "/boats/sea-campion/kept/call/1");
    let got = bench.post(&format!("{here}/draft"), "version=2&t:said.volts=52&was:said.volts=").await.text;
    assert!(got.contains("\"invalid\":[\"said-volts\"]") && got.contains("52 of what?"), "{got}");
    bench.post(&format!("{here}/draft"), "t:said.volts=&t:said.last=rope&t:said.when=suddenly").await;
    let live = bench.get(&format!("{here}/live")).await.text;
    assert!(live.contains("round the propeller"), "{live}");
    bench.post(&format!("{here}/draft"), "t:outcome=rope").await;
    let over = bench.get("/boats/sea-campion/call?danger=none&symptom=weak").await.text;
    assert!(
        over.contains("How often kept calls were right") && over.contains("it was something is round"),
        "{over}"
    );

    let here = bench.post("/boats/sea-campion/kept/commission", "").await.location;
    bench.post(&format!("{here}/draft"), "t:said.rest-volts=20+V").await;
    let page = bench.get(&here).await.text;
    assert!(page.contains("1 reading of Sea Campion fails"), "{page}");

    // A place is kept from what was typed of it; the room finds it by its name.
    let form = "place=Boston&ground=1.7+m+%C2%B1+0.1+m&draught=1.48+m&day=2026-10-02";
    let here = bench.post("/boats/sea-campion/kept/dryout", form).await.location;
    bench.post(&format!("{here}/draft"), "t:name=Creek+quay").await;
    let page = bench.get(&here).await.text;
    assert!(
        page.contains("by which every boat finds it") && page.contains("Sunday's afternoon low water"),
        "{page}"
    );
    let room = bench.get("/boats/sea-campion/dryout?place=creek+quay&day=2026-10-02").await.text;
    assert!(room.contains("At Creek quay, by Boston (US) Sea Campion touches"), "{room}");
    assert_eq!(bench.get("/boats/sea-campion/kept/mast/1").await.status, StatusCode::NOT_FOUND);
}
