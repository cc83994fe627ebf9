//! What a form with files sends, as boats to be brought in. Not for: logs.

use axum::extract::Multipart;

use crate::error::WebError;
use crate::pages::boats::{Parcel, Sent};

/// The files and texts of `form`.
///
/// # Errors
/// It did not arrive whole.
pub async fn parcel_of(mut form: Multipart) -> Result<Parcel, WebError> {
    let mut parcel = Parcel::default();
    let broken = |_| WebError::BadRequest("The file did not arrive whole. Send it again.".to_owned());
    while let Some(part) = form.next_field().await.map_err(broken)? {
        let (name, file) = (part.name().unwrap_or_default().to_owned(), part.file_name().map(str::to_owned));
        let bytes = part.bytes().await.map_err(broken)?.to_vec();
        let is_blank = bytes.iter().all(u8::is_ascii_whitespace);
        match name.as_str() {
            "file" if file.as_ref().is_some_and(|file| !file.is_empty()) => {
                parcel.texts.push(Sent { file, bytes });
            }
            "text" if !is_blank => parcel.texts.push(Sent { file: None, bytes: plain_ends_of_line(&bytes) }),
            "name" if !is_blank => parcel.name = String::from_utf8(bytes).ok(),
            "adds" => parcel.adds_revision = true,
            _ => {}
        }
    }
    Ok(parcel)
}

/// A form sends every end of line as two characters.
fn plain_ends_of_line(bytes: &[u8]) -> Vec<u8> {
    String::from_utf8_lossy(bytes).replace("\r\n", "\n").into_bytes()
}
