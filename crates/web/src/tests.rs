//! The routes as a browser sees them, called in-process, without a port.

mod dated;
mod meanwhile;
mod tide;

use std::sync::Arc;

use axum::body::{Body, to_bytes};
use axum::http::header::{CONTENT_TYPE, COOKIE, LOCATION, SET_COOKIE};
use axum::http::{Request, StatusCode};
use tempfile::TempDir;
use tower::ServiceExt;
use wakewright_store::{Store, UnixMs};

use super::router::router;
use super::state::Site;
use wakewright_rooms::demo::DEMO_BOAT;

mod trials;

const DEVICE: &str = "wakewright_device=0123456789abcdef";
const DRAFT: &str = "draft=aaaaaaaaaaaaaaaa&base=1";

/// A site with a store of its own.
struct Bench {
    folder: TempDir,
    site: Arc<Site>,
}

/// What came back.
struct Got {
    status: StatusCode,
    location: String,
    cookie: String,
    text: String,
}

impl Bench {
    fn empty() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(folder.path().join("boats.sqlite")).unwrap();
        Self { folder, site: Arc::new(Site::new(store, &wakewright_rooms::ROOMS)) }
    }

    fn with(name: &str, text: &str) -> Self {
        let bench = Self::empty();
        bench.site.store().create(name, text, "", UnixMs(1)).unwrap();
        bench
    }

    async fn ask(&self, method: &str, path: &str, kind: &str, body: impl Into<Body>) -> Got {
        let request = Request::builder().method(method).uri(path).header(COOKIE, DEVICE);
        let request = request.header(CONTENT_TYPE, kind).body(body.into()).unwrap();
        let response = router(self.site.clone()).oneshot(request).await.unwrap();
        let header = |name| response.headers().get(name).map_or("", |v| v.to_str().unwrap()).to_owned();
        let (status, location, cookie) = (response.status(), header(LOCATION), header(SET_COOKIE));
        let bytes = to_bytes(response.into_body(), 10_000_000).await.unwrap();
        Got { status, location, cookie, text: String::from_utf8(bytes.to_vec()).unwrap() }
    }

    async fn get(&self, path: &str) -> Got {
        self.ask("GET", path, "", Body::empty()).await
    }

    async fn post(&self, path: &str, form: &str) -> Got {
        self.ask("POST", path, "application/x-www-form-urlencoded", form.to_owned()).await
    }
}

#[tokio::test]
async fn an_empty_store_has_pages() {
    let bench = Bench::empty();
    let got = bench.get("/").await;
    assert_eq!(got.status, StatusCode::OK);
    assert!(got.text.contains("No boat yet"));
    assert!(bench.get("/new").await.text.contains("length overall"));
    let made = bench.post("/demo", "").await;
    assert_eq!((made.status, made.location.as_str()), (StatusCode::SEE_OTHER, "/boats/sea-campion/drive"));
    assert_eq!(bench.post("/demo", "").await.location, made.location, "once only");
}

#[tokio::test]
async fn what_is_nowhere_says_so_on_a_page() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    for (path, words) in [
        ("/boats/see-campion/boat", "Did you mean Sea Campion?"),
        ("/boats/see-campion/drive", "Did you mean"),
        ("/boats/%3Cscript%3E/boat", "&lt;script&gt;"),
        ("/boats/%FF/boat", "no such page"),
        ("/boats/sea-campion/aside/x", "no such page"),
        ("/boats/sea-campion/aside/99", "kept aside"),
        ("/boats/sea-campion/compare?old=1&new=7", "no revision 7"),
        ("/boats/sea-campion/compare?old=1&draft=x", "no such page"),
        ("/boats/sea-campion/document.toml?revision=9", "no revision 9"),
        ("/static/0/style.css", "no such page"),
        ("/nowhere", "no such page"),
    ] {
        let got = bench.get(path).await;
        assert!(got.status.is_client_error(), "{path}: {}", got.status);
        assert!(got.text.contains(words) && got.text.contains("To the boats"), "{path}: {}", got.text);
        assert!(!got.text.contains("<script>"), "{path}");
    }
    assert_eq!(bench.ask("DELETE", "/", "", "").await.status, StatusCode::METHOD_NOT_ALLOWED);
}

#[tokio::test]
async fn names_of_any_kind_are_shown_and_never_run() {
    let bench = Bench::empty();
    let form = "f:boat.name=%3Cimg+src%3Dx+onerror%3Dalert(1)%3E+%C3%89toile+%22%27%26";
    let got = bench.post("/new", form).await;
    assert_eq!(got.status, StatusCode::SEE_OTHER, "{}", got.text);
    assert!(got.location.is_ascii(), "{}", got.location);
    let boat = got.location.trim_end_matches("boat");
    for path in ["/".to_owned(), format!("{boat}boat"), format!("{boat}history"), format!("{boat}text")] {
        let page = bench.get(&path).await;
        assert_eq!(page.status, StatusCode::OK, "{path}");
        assert!(!page.text.contains("<img"), "{path}");
        assert!(page.text.contains("&lt;img src=x"), "{path}");
    }
}

#[tokio::test]
async fn a_boat_needs_a_name_and_keeps_the_rest_as_typed() {
    let bench = Bench::empty();
    let got = bench.post("/new", "f:boat.name=&f:hull.draught=wet").await;
    assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(got.text.contains("She needs a name") && got.text.contains("value=\"wet\""), "{}", got.text);
    bench.post("/new", "f:boat.name=Tern").await;
    let again = bench.post("/new", "f:boat.name=tern&f:hull.draught=1.5+m").await;
    assert!(again.text.contains("already a boat called") && again.text.contains("value=\"1.5 m\""));
}

#[tokio::test]
async fn typing_is_on_the_disk_when_it_is_acknowledged() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    let got = bench.post("/boats/sea-campion/draft", &format!("{DRAFT}&f:propeller.pitch=ninety")).await;
    assert_eq!(got.status, StatusCode::OK, "{}", got.text);
    let answer: serde_json::Value = serde_json::from_str(&got.text).unwrap();
    assert_eq!(answer["fields"]["propeller-pitch"]["invalid"], true);
    assert!(answer["picture"].is_null(), "the page keeps its last good one");
    // Another program opens the same file, as after a crash.
    let other = Store::open(bench.folder.path().join("boats.sqlite")).unwrap();
    let boat = other.find("sea campion").unwrap();
    let drafts = other.drafts(boat.id).unwrap();
    assert!(drafts[0].text.contains("pitch = \"ninety\"") && drafts[0].text.contains("# lorry scale"));
    let page = bench.get("/boats/sea-campion/boat").await.text;
    assert!(page.contains("value=\"ninety\"") && page.contains("is here as it was"));
    // Typed back to what it was, nothing is left to keep.
    bench.post("/boats/sea-campion/draft", &format!("{DRAFT}&f:propeller.pitch=15+in")).await;
    assert!(other.drafts(boat.id).unwrap().is_empty());
}

#[tokio::test]
async fn a_collision_keeps_both_and_the_choice_is_kept() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    let keep = |pitch: &str| format!("{DRAFT}&do=keep&f:propeller.pitch={pitch}+in");
    assert!(bench.post("/boats/sea-campion/boat", &keep("13")).await.location.contains("done=kept"));
    let late = bench.post("/boats/sea-campion/boat", &keep("17")).await;
    assert_eq!(late.location, "/boats/sea-campion/aside/1");
    let page = bench.get(&late.location).await.text;
    assert!(page.contains("17 in") && page.contains("13 in") && page.contains("changed by both"), "{page}");
    let decided = bench.post(&late.location, "base=2&do=merge&pick:propeller.pitch=mine").await;
    assert!(decided.location.contains("done=settled"));
    let store = bench.site.store();
    let boat = store.find("Sea Campion").unwrap();
    assert!(store.latest(boat.id).unwrap().text.contains("pitch = \"17 in\""));
    assert!(store.unsettled(boat.id).unwrap().is_empty());
    assert_eq!(
        store.get(boat.id, 2).unwrap().text,
        DEMO_BOAT.replace("pitch = \"15 in\"", "pitch = \"13 in\"")
    );
}

#[tokio::test]
async fn a_form_that_is_not_ours_changes_nothing() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    for form in
        ["", "do=keep&text=x", "draft=../../x&base=1&text=x&do=keep", "draft=aaaaaaaaaaaaaaaa&base=x&do=keep"]
    {
        let got = bench.post("/boats/sea-campion/boat", form).await;
        assert_eq!(got.status, StatusCode::BAD_REQUEST, "{form}");
    }
    let none = bench.post("/boats/sea-campion/undo", "base=1").await;
    assert_eq!(none.status, StatusCode::CONFLICT);
    assert!(none.text.contains("nothing before it"));
    let store = bench.site.store();
    let boat = store.find("Sea Campion").unwrap();
    assert_eq!(store.latest(boat.id).unwrap().head.number, 1);
    assert!(store.drafts(boat.id).unwrap().is_empty());
}

#[tokio::test]
async fn typing_about_a_boat_that_was_taken_off_is_kept_and_said() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    bench.post("/boats/sea-campion/remove", "").await;
    let draft = bench.post("/boats/sea-campion/draft", &format!("{DRAFT}&f:hull.draught=1.55+m")).await;
    assert_eq!(draft.status, StatusCode::OK);
    assert!(draft.text.contains("was taken off the list at"), "{}", draft.text);
    let kept = bench.post("/boats/sea-campion/boat", &format!("{DRAFT}&do=keep&f:hull.draught=1.56+m")).await;
    assert_eq!(kept.status, StatusCode::CONFLICT);
    assert!(kept.text.contains("Put her back") && kept.text.contains("Keep as a new boat"), "{}", kept.text);
    assert!(bench.get("/boats/sea-campion/drive").await.text.contains("Put her back"));
    let new = "name=Campion+kept&typed=0123456789abcdef.aaaaaaaaaaaaaaaa";
    assert_eq!(bench.post("/boats/sea-campion/copy", new).await.location, "/boats/campion-kept/boat");
    assert!(bench.get("/boats/campion-kept/text").await.text.contains("1.56 m"));
    let id = bench.site.store().find_even_removed("sea-campion").unwrap().id.0;
    bench.post("/reinstate", &format!("boat={id}")).await;
    assert!(bench.get("/boats/sea-campion/boat").await.text.contains("1.56 m"));
}

#[tokio::test]
async fn a_number_with_two_readings_is_refused_when_new_and_doubted_when_old() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    let form = format!("{DRAFT}&f:bank.house_load=1.200+W");
    let draft = bench.post("/boats/sea-campion/draft", &form).await;
    let said: serde_json::Value = serde_json::from_str(&draft.text).unwrap();
    assert!(said["errors"].as_u64() > Some(0) && draft.text.contains("1200 W"), "{}", draft.text);
    let kept = bench.post("/boats/sea-campion/boat", &format!("{form}&do=keep")).await;
    assert!(kept.location.contains("done=doubtful"), "{}", kept.location);
    assert_eq!(
        bench.site.store().revisions(bench.site.store().find("Sea Campion").unwrap().id).unwrap().len(),
        1
    );
    let old =
        Bench::with("Sea Campion", &DEMO_BOAT.replace("house_load = \"110 W\"", "house_load = \"1.200 W\""));
    let page = old.get("/boats/sea-campion/drive").await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text.contains("may mean 1.2 W or 1200 W"), "{}", page.text);
    let other = old.post("/boats/sea-campion/boat", &format!("{DRAFT}&do=keep&f:hull.draught=1.55+m")).await;
    assert!(other.location.contains("done=kept"), "{}", other.location);
}

#[tokio::test]
async fn a_held_store_keeps_nobody_waiting() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    let held = bench.site.store();
    let page = tokio::time::timeout(std::time::Duration::from_secs(20), bench.get("/boats/sea-campion/boat"));
    assert_eq!(page.await.unwrap().status, StatusCode::OK);
    drop(held);
}

#[tokio::test]
async fn a_device_is_named_once() {
    let bench = Bench::empty();
    assert_eq!(bench.get("/").await.cookie, "");
    let request = Request::builder().uri("/").body(Body::empty()).unwrap();
    let response = router(bench.site.clone()).oneshot(request).await.unwrap();
    let cookie = response.headers().get(SET_COOKIE).unwrap().to_str().unwrap();
    assert!(
        cookie.starts_with("wakewright_device=")
            && cookie.contains("HttpOnly; ")
            && cookie.contains("SameSite=Strict")
    );
}

#[tokio::test]
async fn renaming_reaches_list_and_document_and_leaves_the_address() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    bench.post("/boats/sea-campion/rename", "name=Dipper").await;
    let page = bench.get("/boats/sea-campion/text").await.text;
    assert!(page.contains("name = &quot;Dipper&quot;"));
    // The other way round: the name typed on the sheet.
    let form = "draft=aaaaaaaaaaaaaaaa&base=2&do=keep&f:boat.name=Redshank";
    bench.post("/boats/sea-campion/boat", form).await;
    assert!(bench.get("/").await.text.contains("Redshank"));
}

#[tokio::test]
async fn an_alternative_that_cannot_be_comes_back_as_typed() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    let form = "do=keep&base=1&name=%3Cb%3Esteep&field=propeller.pitch&value=%22steep%22+%3C&cost=";
    let got = bench.post("/boats/sea-campion/options", form).await;
    assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(got.text.contains("value=\"&quot;steep&quot; &lt;\""), "{}", got.text);
    assert!(got.text.contains("Nothing was kept") && !got.text.contains("<b>steep"), "{}", got.text);
    assert_eq!(bench.site.store().find("Sea Campion").unwrap().slug, "sea-campion");
    for form in ["", "do=keep", "do=remove&base=1", "do=remove&base=1&number=9", "do=earlier&base=1&number=1"]
    {
        let got = bench.post("/boats/sea-campion/options", form).await;
        assert!(got.status.is_client_error(), "{form}: {}", got.status);
    }
    let store = bench.site.store();
    let boat = store.find("Sea Campion").unwrap();
    assert_eq!(store.latest(boat.id).unwrap().head.number, 1);
}

/// One that has no steady state does not keep the others off the page.
#[tokio::test]
async fn an_alternative_without_an_answer_is_left_out() {
    let text = format!(
        "{DEMO_BOAT}\n[[alternative]]\nname = \"flat\"\nchanges = {{ \"propeller.pitch\" = \"2 in\", \
         \"propeller.diameter\" = \"5 in\" }}\n"
    );
    let bench = Bench::with("Sea Campion", &text);
    let got = bench.get("/boats/sea-campion/options").await;
    assert_eq!(got.status, StatusCode::OK, "{}", got.text);
    assert!(got.text.contains("320 A controller"), "{}", got.text);
    assert!(got.text.contains("“flat” cannot be computed: no steady state"), "{}", got.text);
    // The same is said at the form, before anything is kept.
    let form =
        "do=keep&base=1&name=flatter&field=propeller.pitch&value=2+in&field=propeller.diameter&value=5+in";
    let refused = bench.post("/boats/sea-campion/options", form).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text.contains("she cannot be computed: no steady state"), "{}", refused.text);
}

#[tokio::test]
async fn a_search_that_is_not_held_says_so_and_keeps_what_was_asked() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    let search = "/boats/sea-campion/search";
    let got = bench.get(&format!("{search}?mass=190+kg&job=0123456789abcdef")).await;
    assert!(got.text.contains("no longer held") && got.text.contains("value=\"190 kg\""), "{}", got.text);
    for path in ["search/progress?job=x", "search/progress", "search.csv?job=x", "search.json"] {
        let got = bench.get(&format!("/boats/sea-campion/{path}")).await;
        assert!(got.status.is_client_error(), "{path}: {}", got.status);
    }
    let kept = bench.post(&format!("{search}/keep"), "job=x&chosen=0&name=y").await;
    assert_eq!(kept.status, StatusCode::BAD_REQUEST);
    let wrong = bench.post(search, "diameter=%3Cwide%3E&cells=0").await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(wrong.text.contains("value=\"&lt;wide&gt;\"") && wrong.text.contains("id=\"cells-note\""));
}

#[tokio::test]
async fn a_candidate_is_kept_once_under_each_name_and_not_after_the_boat_has_changed() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    let search = "/boats/sea-campion/search";
    let asked = "keep=motor&keep=voltage&keep=packs&keep=reduction&allow-over-60-v=on";
    let page = bench.post(search, asked).await.location;
    let job = page.rsplit_once("job=").unwrap().1.to_owned();
    while bench.get(&format!("{search}/progress?job={job}")).await.text.contains("\"is_running\":true") {
        tokio::time::sleep(std::time::Duration::from_millis(20)).await;
    }
    assert!(bench.get(&page).await.text.contains("front-picture"));
    let keep = format!("{asked}&job={job}&chosen=0&name=found");
    for name in ["found", "found+%282%29"] {
        let kept = bench.post(&format!("{search}/keep"), &keep).await;
        assert!(kept.location.contains(&format!("kept={name}")), "{}", kept.location);
    }
    let csv = bench.get(&format!("/boats/sea-campion/search.csv?job={job}")).await.text;
    assert!(csv.starts_with("is_picked,") && csv.lines().count() > 2);
    // Another hull is another search.
    let changed = "draft=aaaaaaaaaaaaaaaa&base=3&do=keep&f:hull.displacement=17+t";
    bench.post("/boats/sea-campion/boat", changed).await;
    assert!(bench.get(&page).await.text.contains("was changed since"));
    let late = bench.post(&format!("{search}/keep"), &keep).await;
    assert_eq!(late.status, StatusCode::BAD_REQUEST);
    assert!(late.text.contains("Search again"), "{}", late.text);
}

#[tokio::test]
async fn a_pasted_table_is_taken_row_by_row() {
    let bench = Bench::with("Sea Campion", DEMO_BOAT);
    bench.post("/boats/sea-campion/trials", "").await;
    let trial = "/boats/sea-campion/trials/1";
    let table = "direction%09shaft+rpm%09speed+(kn)%09pull+(kgf)%0Aout%09600%095.1%09%0A%09600%09%09310%0A";
    let taken = bench.post(trial, &format!("version=1&do=paste&pasted={table}")).await;
    assert_eq!(taken.status, StatusCode::SEE_OTHER, "{}", taken.text);
    let document = bench.get(&format!("{trial}/trial.json")).await.text;
    assert!(document.contains("5.1 kn") && document.contains("310 kgf"), "{document}");
    let page = bench.get(trial).await.text;
    assert!(page.contains("3,040 N on the line"), "{page}");
    assert!(page.contains("One steady run and one pull against a quay found"), "{page}");
    let refused = bench.post(trial, "version=2&do=paste&pasted=out%09600").await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text.to_lowercase().contains("write a heading over each column"), "{}", refused.text);
    assert!(refused.text.contains("out\t600"), "it stands there to be mended: {}", refused.text);
}
