//! Style sheet, script and fonts, built into the program. Their addresses carry a mark of their
//! contents, so that a browser may keep them for good and never shows an old one.

use std::sync::LazyLock;

use axum::extract::Path;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};

use super::error::WebError;

/// Start of the addresses of all of them.
pub const PREFIX: &str = "/static/";

struct Asset {
    name: &'static str,
    kind: &'static str,
    bytes: &'static [u8],
}

macro_rules! font {
    ($name:literal) => {
        Asset {
            name: concat!("fonts/", $name),
            kind: "font/woff2",
            bytes: include_bytes!(concat!("../../picture/fonts/", $name)),
        }
    };
}

macro_rules! script {
    ($name:literal) => {
        Asset {
            name: $name,
            kind: "text/javascript; charset=utf-8",
            bytes: include_bytes!(concat!("../static/", $name)),
        }
    };
}

static ASSETS: &[Asset] = &[
    Asset {
        name: "style.css",
        kind: "text/css; charset=utf-8",
        bytes: include_bytes!("../static/style.css"),
    },
    script!("app.js"),
    script!("live.js"),
    script!("folds.js"),
    script!("readout.js"),
    script!("sheet.js"),
    script!("search.js"),
    script!("later.js"),
    script!("save.js"),
    script!("typed.js"),
    script!("strip.js"),
    script!("trial.js"),
    script!("typing.js"),
    script!("longer.js"),
    font!("sans-regular.woff2"),
    font!("sans-semibold.woff2"),
    font!("serif-regular.woff2"),
    font!("serif-semibold.woff2"),
];

/// One mark for all of them, so that the style sheet finds its fonts and a script its parts by
/// relative addresses.
static MARK: LazyLock<String> = LazyLock::new(|| {
    // FNV-1a, 64 bits: not against malice, only to tell builds apart.
    let hash = ASSETS.iter().flat_map(|asset| asset.bytes).fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    });
    format!("{hash:016x}")
});

static ADDRESSES: LazyLock<Vec<String>> =
    LazyLock::new(|| ASSETS.iter().map(|asset| format!("{PREFIX}{}/{}", *MARK, asset.name)).collect());

/// The address of a file by its name; an unknown name gives an address where nothing is.
pub fn address(name: &str) -> &'static str {
    let place = ASSETS.iter().position(|asset| asset.name == name);
    place.and_then(|place| ADDRESSES.get(place)).map_or(PREFIX, String::as_str)
}

/// Serves a file.
///
/// # Errors
/// [`WebError::NoSuchPage`] for another name or the mark of another build.
pub async fn serve(Path((mark, name)): Path<(String, String)>) -> Result<Response, WebError> {
    let asset = ASSETS.iter().find(|asset| asset.name == name && mark == *MARK);
    let asset = asset.ok_or(WebError::NoSuchPage)?;
    let headers = [(CONTENT_TYPE, asset.kind), (CACHE_CONTROL, "public, max-age=31536000, immutable")];
    Ok((headers, asset.bytes).into_response())
}
