//! A column that says in words whether the bank is charged or drawn from, beside amps without a sign.
//! Source: common practice, no source; the words of eleven languages. Not for: signed amps.

use super::propose::Sheet;
use crate::fold::fold;

const CHARGED: [&str; 24] = [
    "charging",
    "charge",
    "chg",
    "chrg",
    "in",
    "laden",
    "ladend",
    "ladung",
    "laedt",
    "ladt",
    "en charge",
    "recharge",
    "laadt",
    "opladen",
    "carica",
    "in carica",
    "cargando",
    "carga",
    "laddar",
    "laddning",
    "lader",
    "opladning",
    "lataus",
    "carregando",
];
const DRAWN: [&str; 24] = [
    "discharging",
    "discharge",
    "dchg",
    "dsg",
    "dischg",
    "out",
    "entladen",
    "entladend",
    "entladung",
    "entlaedt",
    "entladt",
    "decharge",
    "en decharge",
    "ontladen",
    "ontlaadt",
    "scarica",
    "in scarica",
    "descargando",
    "descarga",
    "urladdning",
    "afladning",
    "utlading",
    "purku",
    "descarregando",
];
const STILL: [&str; 12] =
    ["idle", "standby", "stand by", "rest", "resting", "none", "off", "float", "full", "static", "ruhe", "-"];

/// The sign that a word gives: drawn is positive.
fn sign(word: &str) -> Option<f64> {
    let folded = fold(word.trim()).replace('_', " ");
    if CHARGED.contains(&folded.as_str()) {
        Some(-1.0)
    } else if DRAWN.contains(&folded.as_str()) {
        Some(1.0)
    } else {
        None
    }
}

/// The size of what flows with the sign of the word beside it; as it stands beside another word.
pub(super) fn signed(si: f64, word: Option<&[u8]>) -> f64 {
    let word = word.and_then(|word| std::str::from_utf8(word).ok());
    word.and_then(sign).map_or(si, |sign| sign * si.abs())
}

/// The column whose cells are such words and nothing else.
pub(super) fn column_of(sheet: &Sheet) -> Option<usize> {
    (0..sheet.heads.len()).find(|column| {
        let mut cells = sheet.column(*column);
        cells.sort_unstable();
        cells.dedup();
        cells.len() <= 8
            && cells.iter().any(|cell| sign(cell).is_some())
            && cells.iter().all(|cell| sign(cell).is_some() || STILL.contains(&fold(cell).as_str()))
    })
}
