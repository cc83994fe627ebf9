//! The sliders of a page. Each is a choice among values, so that it works as a list where there is no
//! script; the script turns the list into a slider. Not for: what a change does.

use crate::sentence::month_name;
use wakewright_core::field;
use wakewright_records::boat::{
    BoatDocument, CellKind, FieldKind, Row, field_named, mean_house_load, nominal_cell_voltage_v, split_marks,
};
use wakewright_units::{Digits, Quantity, UnitSystem, format_quantity, parse_quantity, read_quantity};

use super::{ALL_CELLS, Change, kept_text, stock};

/// Month and years that a figure is told for when nothing else is said.
pub const USUAL_MONTH: u32 = 6;
/// As above.
pub const USUAL_YEARS: f64 = 6.0;

/// A slider.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slider {
    /// Address in the document; without a dot, a name of the query that only the page knows.
    pub key: &'static str,
    /// In words.
    pub label: &'static str,
    /// Value in the query and words, from low to high.
    pub places: Vec<(String, String)>,
    /// Value when the document does not say, where there is one.
    pub usual: Option<String>,
    /// The place as kept.
    pub kept: usize,
    /// The place as tried.
    pub at: usize,
}

/// The standing load when none is stated: that of the loads by the hour.
pub fn standing_of(document: &BoatDocument) -> String {
    format!("{:.0} W", mean_house_load(document).map_or(0.0, |mean| mean.median))
}

/// The month that the page tells of.
#[must_use]
pub fn month_slider(label: &'static str, month: u32) -> Slider {
    let places: Vec<(String, String)> =
        (1..=12).map(|month| (month.to_string(), month_name(month).to_owned())).collect();
    let (kept, at) = ((USUAL_MONTH - 1) as usize, (month - 1) as usize);
    Slider { key: "month", label, places, usual: None, kept, at }
}

/// The years of ageing that the page tells of.
#[must_use]
pub fn years_slider(years: f64) -> Slider {
    let places: Vec<(String, String)> = (0..=15)
        .map(|years| {
            (years.to_string(), if years == 1 { "1 year".to_owned() } else { format!("{years} years") })
        })
        .collect();
    let place = |years: f64| (years.round() as usize).min(places.len() - 1);
    let (kept, at) = (place(USUAL_YEARS), place(years));
    Slider { key: "years", label: "aged by", places, usual: None, kept, at }
}

/// A choice that only the page knows, the first being the usual one.
#[must_use]
pub fn own<const N: usize>(
    key: &'static str,
    label: &'static str,
    places: [(&str, &str); N],
    asked: &str,
) -> Slider {
    let at = places.iter().position(|(value, _)| *value == asked).unwrap_or(0);
    let places = places.iter().map(|(value, words)| ((*value).to_owned(), (*words).to_owned())).collect();
    Slider { key, label, places, usual: None, kept: 0, at }
}

/// A number of them.
#[must_use]
pub fn counted(key: &'static str, label: &'static str, from: u32, to: u32) -> Slider {
    let places = (from..=to).map(|count| (count.to_string(), count.to_string())).collect();
    Slider { key, label, places, usual: None, kept: 0, at: 0 }
}

/// Among stock sizes.
#[must_use]
pub fn sized(key: &'static str, label: &'static str, values: Vec<String>) -> Slider {
    let places = values.into_iter().map(|value| (value.clone(), value)).collect();
    Slider { key, label, places, usual: None, kept: 0, at: 0 }
}

/// Among the choices of a field.
#[must_use]
pub fn worded(key: &'static str, label: &'static str) -> Slider {
    let choices = match field_named(key).map(|field| field.kind) {
        Some(FieldKind::Choice(choices)) => choices,
        _ => &[],
    };
    let places = choices.iter().map(|choice| (choice.word.to_owned(), choice.word.to_owned())).collect();
    Slider { key, label, places, usual: None, kept: 0, at: 0 }
}

/// Cells in series of the drive's packs.
#[must_use]
pub fn cells_slider(document: &BoatDocument) -> Slider {
    let pack = document.rows(field::pack::SECTION).into_iter().find(Row::is_of_drive);
    let chemistry = pack.and_then(|pack| pack.chosen(field::pack::CHEMISTRY)).unwrap_or(CellKind::Lfp);
    let words =
        |cells: u32| format!("{:.0} V, {cells} cells", nominal_cell_voltage_v(chemistry) * f64::from(cells));
    let places = stock::cells(chemistry).iter().map(|&cells| (cells.to_string(), words(cells))).collect();
    Slider { key: ALL_CELLS, label: "bank", places, usual: None, kept: 0, at: 0 }
}

/// Each slider at its place; values that are no stock size get a place of their own.
#[must_use]
pub fn placed(sliders: Vec<Slider>, document: &BoatDocument, tried: &[Change]) -> Vec<Slider> {
    let place = |mut slider: Slider| {
        let kept = kept_text(document, slider.key).or_else(|| slider.usual.clone())?;
        let at = tried.iter().find(|change| change.address == slider.key);
        let at = at.map_or_else(|| kept.clone(), |change| change.to.clone());
        slider.find_or_add(&kept);
        slider.at = slider.find_or_add(&at);
        slider.kept = slider.find_or_add(&kept);
        Some(slider)
    };
    sliders.into_iter().filter_map(place).collect()
}

impl Slider {
    /// True when only the page knows it, and nothing of it can be kept: a question of the room.
    #[must_use]
    pub fn is_own(&self) -> bool {
        !self.key.contains('.')
    }

    /// The place of `text`, which takes over an equal value's place.
    fn find_or_add(&mut self, text: &str) -> usize {
        if let Some(place) = self.places.iter().position(|(value, _)| value == text) {
            return place;
        }
        let quantity = field_named(self.key).and_then(|field| field.quantity());
        let number = |text: &str| measure(text, quantity);
        let new = number(text);
        let same = self.places.iter().position(|(value, _)| (number(value) - new).abs() <= 1e-6 * new.abs());
        if let Some(place) = same {
            self.places[place] = (text.to_owned(), plain(text).to_owned());
            return place;
        }
        let place =
            self.places.iter().position(|(value, _)| number(value) > new).unwrap_or(self.places.len());
        self.places.insert(place, (text.to_owned(), plain(text).to_owned()));
        place
    }
}

/// The value `words` of the field or question `key` in `units`; as it is written where that is its unit already, and where
/// it is no measure. Trade units are mixed as the trade has them: there it stands as written.
#[must_use]
pub fn in_units(key: &str, words: &str, units: UnitSystem) -> String {
    // What only a page asks has no field; of measures it asks speeds.
    let of_field = field_named(key).map(|field| field.quantity());
    let quantity = of_field.unwrap_or(Some(Quantity::Speed)).filter(|_| units != UnitSystem::Trade);
    let read = quantity.and_then(|quantity| Some((quantity, read_quantity(words, quantity).ok()?)));
    let Some((quantity, read)) = read else { return words.to_owned() };
    let said = format_quantity(read.si, quantity, units, Digits::Usual);
    let unit = read.unit.symbol();
    if unit.is_empty() || said.ends_with(unit) { words.to_owned() } else { said }
}

/// What is written without its band and marks: `8 in` of `8 in ± 0.2 in, assumed`.
fn plain(text: &str) -> &str {
    let unmarked = split_marks(text).map_or(text, |(unmarked, _)| unmarked);
    unmarked.split('±').next().unwrap_or(unmarked).trim()
}

fn measure(text: &str, quantity: Option<Quantity>) -> f64 {
    match quantity {
        Some(quantity) => parse_quantity(plain(text), quantity).unwrap_or(f64::NAN),
        None => text.parse().unwrap_or(f64::NAN),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An inch is 25.4 mm and a knot 1852 m an hour (both exact, international agreements of 1959 and 1929).
    #[test]
    fn a_place_is_told_in_the_units_asked_for() {
        let metric = |key, words| in_units(key, words, UnitSystem::Metric);
        assert_eq!(metric(field::propeller::PITCH, "15 in"), "381 mm");
        assert_eq!(metric(field::propeller::PITCH, "381 mm"), "381 mm");
        assert_eq!(metric(field::reduction::RATIO, "2.2:1"), "2.2:1");
        assert_eq!(metric("throttle", "fully open"), "fully open");
        assert_eq!(in_units(field::propeller::PITCH, "381 mm", UnitSystem::Trade), "381 mm");
        assert_eq!(in_units(field::bank::TEMPERATURE, "10 °C", UnitSystem::Us), "50 °F");
    }
}
