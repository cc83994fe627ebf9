//! How much a packed spreadsheet becomes once it is unpacked and what it says to repeat has been repeated: a few
//! bytes may stand for more than any memory holds. Not for: reading the sheet.

use std::io::{self, BufReader, Cursor, Read};

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

use crate::LogError;

/// Most bytes of the tables of a spreadsheet, unpacked, and of the texts of its cells, repeated ones counted.
const MOST_BYTES: u64 = 400 << 20;

/// Refuses a spreadsheet that becomes too large.
pub(crate) fn check(bytes: &[u8]) -> Result<(), LogError> {
    // What is no archive the reader itself refuses, with its reason.
    let Ok(mut archive) = zip::ZipArchive::new(Cursor::new(bytes)) else { return Ok(()) };
    let mut unpacked = 0_u64;
    for number in 0..archive.len() {
        if let Ok(part) = archive.by_index_raw(number)
            && part.name().is_ok_and(|name| name.ends_with(".xml"))
        {
            unpacked = unpacked.saturating_add(part.size());
        }
    }
    if unpacked > MOST_BYTES {
        return Err(too_large());
    }
    match archive.by_name("content.xml") {
        // A part that says less than it holds is read no further than it says.
        Ok(part) => check_repeats(part.take(MOST_BYTES)),
        Err(_) => Ok(()),
    }
}

fn too_large() -> LogError {
    LogError::Io(io::Error::other(format!(
        "a spreadsheet of more than {} MB unpacked; save the hours of the trial as CSV",
        MOST_BYTES >> 20
    )))
}

/// Refuses an open document whose repeated rows and cells hold too much text.
fn check_repeats(reader: impl Read) -> Result<(), LogError> {
    let mut xml = Reader::from_reader(BufReader::new(reader));
    xml.config_mut().check_end_names = false;
    let mut buffer = Vec::new();
    let (mut all, mut row, mut cell) = (0_u64, 0_u64, 0_u64);
    let (mut rows, mut cells) = (1_u64, 1_u64);
    loop {
        buffer.clear();
        match xml.read_event_into(&mut buffer) {
            Ok(Event::Start(element)) => match element.local_name().as_ref() {
                "table-row" => (row, rows) = (0, repeated(&element, "number-rows-repeated")),
                "table-cell" => (cell, cells) = (0, repeated(&element, "number-columns-repeated")),
                _ => {}
            },
            Ok(Event::Text(text)) => cell = cell.saturating_add(text.len() as u64),
            Ok(Event::CData(text)) => cell = cell.saturating_add(text.len() as u64),
            Ok(Event::End(element)) => match element.local_name().as_ref() {
                "table-cell" => row = row.saturating_add(cell.saturating_mul(cells)),
                "table-row" => all = all.saturating_add(row.saturating_mul(rows)),
                _ => {}
            },
            // What is no XML the reader itself refuses, with its reason.
            Ok(Event::Eof) | Err(_) => return Ok(()),
            Ok(_) => {}
        }
        if all > MOST_BYTES || row > MOST_BYTES || cell > MOST_BYTES {
            return Err(too_large());
        }
    }
}

fn repeated(element: &BytesStart<'_>, name: &str) -> u64 {
    let found = element.attributes().flatten().find(|attribute| attribute.key.local_name().as_ref() == name);
    found.and_then(|attribute| attribute.value.parse().ok()).unwrap_or(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    const NAMES: &str = "xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" \
                         xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" \
                         xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\"";

    fn open_document(rows: u32, columns: u32, text: &str) -> Vec<u8> {
        use std::io::Write;
        let mut archive = zip::ZipWriter::new(Cursor::new(Vec::new()));
        let plain = zip::write::SimpleFileOptions::default();
        let stored = plain.compression_method(zip::CompressionMethod::Stored);
        archive.start_file("mimetype", stored).unwrap();
        archive.write_all(b"application/vnd.oasis.opendocument.spreadsheet").unwrap();
        archive.start_file("META-INF/manifest.xml", plain).unwrap();
        archive.write_all(b"<manifest/>").unwrap();
        archive.start_file("content.xml", plain).unwrap();
        let cell = format!(
            "<table:table-cell table:number-columns-repeated=\"{columns}\" \
             office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
        );
        let row = format!("<table:table-row table:number-rows-repeated=\"{rows}\">{cell}</table:table-row>");
        let table = format!("<table:table table:name=\"log\">{row}</table:table>");
        let body = format!("<office:body><office:spreadsheet>{table}</office:spreadsheet></office:body>");
        archive
            .write_all(
                format!("<office:document-content {NAMES}>{body}</office:document-content>").as_bytes(),
            )
            .unwrap();
        archive.finish().unwrap().into_inner()
    }

    /// 5 kB that stand for a thousand rows of a thousand texts: it would take a gigabyte.
    #[test]
    fn a_long_text_repeated_a_million_times_is_refused_before_it_is() {
        let said = check(&open_document(1000, 1000, &"x".repeat(1000))).unwrap_err().to_string();
        assert!(said.contains("400 MB"), "{said}");
        assert!(crate::sheet::rows(&open_document(1000, 1000, &"x".repeat(1000))[..], &[]).is_err());
        assert!(check(&open_document(u32::MAX, u32::MAX, &"x".repeat(1000))).is_err());
        assert!(check(&open_document(1000, 20, "12.5")).is_ok());
        assert!(check(b"PK but no archive").is_ok());
    }
}
