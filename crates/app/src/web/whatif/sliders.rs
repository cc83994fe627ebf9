//! The sliders of a page. Each is a choice among values, so that it works as a list where there is no
//! script; the script turns the list into a slider. Not for: what a change does.

use maud::{Markup, html};
use wakewright_records::boat::{
    BoatDocument, FieldKind, field_named, mean_house_load, nominal_cell_voltage_v, usual_reserve,
};
use wakewright_report::sentence::month_name;
use wakewright_units::{Quantity, parse_quantity};

use super::{ALL_CELLS, Tried, kept_text, stock};
use crate::cli::range::{read_month, read_years};
use crate::explain::{USUAL_MONTH, USUAL_YEARS};
use crate::web::query::Query;

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

/// Lever positions, per cent.
const LEVERS: std::ops::RangeInclusive<u32> = 4..=20;

/// The lever of a query, 0..1; `None` when it is fully open.
#[must_use]
pub fn lever_of(query: &Query) -> Option<f64> {
    let share = query.get("lever")?.trim_end_matches(['%', ' ']).parse::<f64>().ok()? / 100.0;
    (0.05..0.995).contains(&share).then_some(share)
}

/// What a fitter plays with at full throttle.
#[must_use]
pub fn drive_sliders(document: &BoatDocument, tried: &Tried, query: &Query) -> Vec<Slider> {
    let mut sliders = vec![
        sized("propeller.pitch", "pitch", stock::propeller_sizes(4.0, 26.0)),
        sized("propeller.diameter", "diameter", stock::propeller_sizes(9.0, 30.0)),
    ];
    // A motor on the shaft has nothing to change there.
    if document.choice("reduction.kind") != Some("direct") {
        sliders.push(sized("reduction.ratio", "reduction", stock::ratios()));
    }
    sliders.push(cells_slider(document));
    sliders.push(worded("hull.bottom", "bottom"));
    sliders.push(worded("propeller.blades_state", "blades"));
    sliders.push(sized("sea.head_wind", "wind from ahead", stock::winds()));
    let mut sliders = placed(sliders, document, tried);
    sliders.push(lever_slider(query));
    sliders
}

/// What changes how far she goes.
#[must_use]
pub fn range_sliders(document: &BoatDocument, tried: &Tried, query: &Query, has_sun: bool) -> Vec<Slider> {
    let reserve = format!("{:.0} %", 100.0 * usual_reserve(&tried.loaded.spec.boat.bank));
    let standing = standing_of(document);
    let sliders = vec![
        sized("bank.state_of_charge", "state of charge", stock::shares(20, 100)),
        Slider { usual: Some(reserve), ..sized("bank.reserve", "reserve", stock::shares(0, 50)) },
        Slider { usual: Some(standing), ..sized("bank.house_load", "standing load", stock::loads()) },
        sized("sea.head_wind", "wind from ahead", stock::winds()),
        sized("sea.sea_margin", "sea margin", stock::shares(0, 50)),
        worded("hull.bottom", "bottom"),
        sized("propeller.pitch", "pitch", stock::propeller_sizes(4.0, 26.0)),
        sized("propeller.diameter", "diameter", stock::propeller_sizes(9.0, 30.0)),
    ];
    let mut sliders = placed(sliders, document, tried);
    if has_sun {
        sliders.push(month_slider("sun of", query));
    }
    sliders.push(years_slider(query));
    sliders
}

/// The standing load when none is stated: that of the loads by the hour.
fn standing_of(document: &BoatDocument) -> String {
    format!("{:.0} W", mean_house_load(document).map_or(0.0, |mean| mean.median))
}

/// What decides drag and watts under sail.
#[must_use]
pub fn sail_sliders(document: &BoatDocument, tried: &Tried) -> Vec<Slider> {
    let sliders = vec![
        sized("week.sailing_speed", "boat speed", stock::speeds(4, 18)),
        sized("week.regeneration_loss", "speed that charging may cost", stock::losses()),
        sized("propeller.pitch", "pitch", stock::propeller_sizes(4.0, 26.0)),
        sized("propeller.diameter", "diameter", stock::propeller_sizes(9.0, 30.0)),
        worded("propeller.pattern", "pattern"),
        sized("bank.state_of_charge", "state of charge", stock::shares(20, 100)),
        sized("bank.temperature", "temperature of the bank", stock::temperatures()),
    ];
    placed(sliders, document, tried)
}

/// What decides a day and a year of her bank.
#[must_use]
pub fn energy_sliders(document: &BoatDocument, tried: &Tried, query: &Query) -> Vec<Slider> {
    let mut sliders = Vec::new();
    if document.typed("panel[1].power").is_some() {
        sliders.push(sized("panel[1].power", "a panel's power", stock::panels()));
        sliders.push(counted("panel[1].count", "panels", 1, 8));
        if document.choice("panel[1].mount") == Some("flat") {
            sliders.push(worded("panel[1].mount", "mount"));
        } else {
            sliders.push(sized("panel[1].tilt", "tilt", stock::tilts()));
            sliders.push(worded("panel[1].mount", "mount"));
        }
    }
    sliders.push(counted("pack[1].count", "packs", 1, 8));
    if document.rows("house").is_empty() {
        let standing = standing_of(document);
        sliders.push(Slider {
            usual: Some(standing),
            ..sized("bank.house_load", "loads aboard", stock::loads())
        });
    } else {
        sliders.push(sized("house[1].power", "loads aboard, the first", stock::loads()));
    }
    sliders.push(sized("week.motoring", "motoring in a week", stock::hours()));
    sliders.push(sized("week.sailing", "sailing in a week", stock::hours()));
    sliders.push(sized("bank.temperature", "temperature of the bank", stock::temperatures()));
    let mut sliders = placed(sliders, document, tried);
    sliders.push(month_slider("day in", query));
    sliders.push(own("day", "the day", [("", "lying still"), (UNDER_WAY, "under way")], query));
    sliders
}

const UNDER_WAY: &str = "under way";

/// Whether the day of a query is one under way.
#[must_use]
pub fn is_under_way(query: &Query) -> bool {
    query.get("day") == Some(UNDER_WAY)
}

/// The month of a query, 1 to 12.
#[must_use]
pub fn month_of(query: &Query) -> u32 {
    query.get("month").and_then(|text| read_month(text).ok()).unwrap_or(USUAL_MONTH)
}

/// The years of ageing of a query.
#[must_use]
pub fn years_of(query: &Query) -> f64 {
    query.get("years").and_then(|text| read_years(text).ok()).unwrap_or(USUAL_YEARS)
}

/// Names of a query that are no changes to her document.
pub const OWN: [&str; 4] = ["lever", "month", "day", "years"];

fn month_slider(label: &'static str, query: &Query) -> Slider {
    let places: Vec<(String, String)> =
        (1..=12).map(|month| (month.to_string(), month_name(month).to_owned())).collect();
    let (kept, at) = ((USUAL_MONTH - 1) as usize, (month_of(query) - 1) as usize);
    Slider { key: "month", label, places, usual: None, kept, at }
}

fn years_slider(query: &Query) -> Slider {
    let places: Vec<(String, String)> = (0..=15)
        .map(|years| {
            (years.to_string(), if years == 1 { "1 year".to_owned() } else { format!("{years} years") })
        })
        .collect();
    let place = |years: f64| (years.round() as usize).min(places.len() - 1);
    let (kept, at) = (place(USUAL_YEARS), place(years_of(query)));
    Slider { key: "years", label: "aged by", places, usual: None, kept, at }
}

/// A choice that only the page knows, the first being the usual one.
fn own<const N: usize>(
    key: &'static str,
    label: &'static str,
    places: [(&str, &str); N],
    query: &Query,
) -> Slider {
    let asked = query.get(key).unwrap_or_default();
    let at = places.iter().position(|(value, _)| *value == asked).unwrap_or(0);
    let places = places.iter().map(|(value, words)| ((*value).to_owned(), (*words).to_owned())).collect();
    Slider { key, label, places, usual: None, kept: 0, at }
}

fn counted(key: &'static str, label: &'static str, from: u32, to: u32) -> Slider {
    let places = (from..=to).map(|count| (count.to_string(), count.to_string())).collect();
    Slider { key, label, places, usual: None, kept: 0, at: 0 }
}

fn sized(key: &'static str, label: &'static str, values: Vec<String>) -> Slider {
    let places = values.into_iter().map(|value| (value.clone(), value)).collect();
    Slider { key, label, places, usual: None, kept: 0, at: 0 }
}

fn worded(key: &'static str, label: &'static str) -> Slider {
    let choices = match field_named(key).map(|field| field.kind) {
        Some(FieldKind::Choice(choices)) => choices,
        _ => &[],
    };
    let places = choices.iter().map(|choice| (choice.word.to_owned(), choice.word.to_owned())).collect();
    Slider { key, label, places, usual: None, kept: 0, at: 0 }
}

fn cells_slider(document: &BoatDocument) -> Slider {
    let pack = document.rows("pack").into_iter().next();
    let chemistry = pack.and_then(|pack| pack.choice("chemistry")).unwrap_or("LFP");
    let words = |cells: u32| {
        let volts = nominal_cell_voltage_v(chemistry).map(|each| each * f64::from(cells));
        volts.map_or_else(|| format!("{cells} cells"), |volts| format!("{volts:.0} V, {cells} cells"))
    };
    let places = stock::cells(chemistry).iter().map(|&cells| (cells.to_string(), words(cells))).collect();
    Slider { key: ALL_CELLS, label: "bank", places, usual: None, kept: 0, at: 0 }
}

fn lever_slider(query: &Query) -> Slider {
    let places: Vec<(String, String)> = LEVERS
        .map(|step| {
            let share = 5 * step;
            let words = if share == 100 { "fully open".to_owned() } else { format!("{share} %") };
            (format!("{share} %"), words)
        })
        .collect();
    let kept = places.len() - 1;
    let lever = lever_of(query).map(|lever| format!("{:.0} %", 100.0 * lever));
    let at = lever.and_then(|lever| places.iter().position(|(value, _)| *value == lever));
    Slider { key: "lever", label: "lever", places, usual: None, kept, at: at.unwrap_or(kept) }
}

/// Each slider at its place; values that are no stock size get a place of their own.
fn placed(sliders: Vec<Slider>, document: &BoatDocument, tried: &Tried) -> Vec<Slider> {
    let place = |mut slider: Slider| {
        let kept = kept_text(document, slider.key).or_else(|| slider.usual.clone())?;
        let at = tried.changes.iter().find(|change| change.address == slider.key);
        let at = at.map_or_else(|| kept.clone(), |change| change.to.clone());
        slider.find_or_add(&kept);
        slider.at = slider.find_or_add(&at);
        slider.kept = slider.find_or_add(&kept);
        Some(slider)
    };
    sliders.into_iter().filter_map(place).collect()
}

impl Slider {
    /// True when only the page knows it, and nothing of it can be kept.
    fn is_own(&self) -> bool {
        OWN.contains(&self.key)
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

/// What is written without its band and marks: `8 in` of `8 in ± 0.2 in, assumed`.
fn plain(text: &str) -> &str {
    text.split(['±', ',']).next().unwrap_or(text).trim()
}

fn measure(text: &str, quantity: Option<Quantity>) -> f64 {
    match quantity {
        Some(quantity) => parse_quantity(plain(text), quantity).unwrap_or(f64::NAN),
        None => text.parse().unwrap_or(f64::NAN),
    }
}

/// The sliders as a form that shows the page `action` with what is chosen.
#[must_use]
pub fn slider_form(sliders: &[Slider], action: &str) -> Markup {
    html! {
        form.sliders method="get" action=(action) data-sliders aria-label="Try, without keeping" {
            @for slider in sliders { (control(slider)) }
            button.show { "Show" }
        }
    }
}

fn control(slider: &Slider) -> Markup {
    let id = format!("try-{}", slider.key.replace(['.', '[', ']'], "-"));
    html! {
        div.slot {
            div.slider data-slider=(slider.key) data-kept=(slider.kept) {
                label for=(id) { (slider.label) }
                output for=(id) { (slider.places.get(slider.at).map_or("", |place| place.1.as_str())) }
                select id=(id) name=(if slider.is_own() { slider.key } else { "set" }) {
                    @for (place, (value, words)) in slider.places.iter().enumerate() {
                        option value=(option_value(slider, place, value)) selected[place == slider.at] { (words) }
                    }
                }
            }
        }
    }
}

/// What is kept needs no word in the query.
fn option_value(slider: &Slider, place: usize, value: &str) -> String {
    match () {
        () if place == slider.kept => String::new(),
        () if slider.is_own() => value.to_owned(),
        () => format!("{}={value}", slider.key),
    }
}
