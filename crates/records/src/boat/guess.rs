//! What stands for the figures that an owner does not know, so that name, kind, length and beam are enough for a first
//! verdict: estimated from what is there, with a wide band, marked.
//!
//! All shares here are common practice or from memory, no source, and say so in the fields' `estimated`; no boat that was
//! measured entered. Not for: what a stated boat leaves to the computation (form coefficients, keel area).

use std::collections::BTreeMap;

use wakewright_core::battery::{Chemistry, PackGroup};
use wakewright_core::hull::HullKind;
use wakewright_core::spread::Spread;

use super::document::BoatDocument;
use super::fields::field_named;
use super::reading::Said;
use super::stated::{Origin, Stated};

/// Values by address.
pub(super) type Guesses = BTreeMap<String, Said>;

/// Words that say that a value is not known.
pub(super) fn is_not_known(text: &str) -> bool {
    let text = text.trim();
    text.eq_ignore_ascii_case("not known") || text.eq_ignore_ascii_case("unknown")
}

/// Salt water \[kg/m³\]; a few per cent do not matter here.
const WATER_KG_M3: f64 = 1025.0;
/// Continuous power for each tonne \[W/kg\]: 1.5 kW, between 1 and 2.5 as the trade has it.
const POWER_W_KG: f64 = 1.5;
/// Motor speed when nothing tells it \[rev/s\].
const MOTOR_REV_S: f64 = 25.0;
/// Shaft speed that a reduction is chosen for \[rev/s\]: 1,100 rpm.
const SHAFT_REV_S: f64 = 1100.0 / 60.0;
/// No-load speed over rated speed, phase and battery current over those of the rating, as the trade has them.
const NO_LOAD_OVER_RATED: f64 = 1.15;
const PHASE_OVER_RATED: f64 = 1.5;
const BATTERY_OVER_RATED: f64 = 1.3;

struct Filling<'a> {
    document: &'a mut BoatDocument,
}

impl Filling<'_> {
    fn number(&self, address: &str) -> Option<f64> {
        self.document.number(address).map(|stated| stated.value_si)
    }

    fn is_open(&self, address: &str) -> bool {
        self.document.is_open(address)
    }

    /// Puts `value` with a band from `low` to `high` times it where nothing stands, inside what the field allows.
    fn put(&mut self, address: &str, value: f64, low: f64, high: f64) {
        let Some(field) = field_named(address).filter(|_| self.is_open(address)) else { return };
        let (least, most) = field.possible.unwrap_or((f64::MIN, f64::MAX));
        if !value.is_finite() {
            return;
        }
        let value_si = value.clamp(least, most);
        let spread = Spread::factor(low * value_si, value_si, high * value_si);
        let text = field.value_text(value_si);
        let stated = Stated { value_si, origin: Origin::Assumed, spread, text, line: None };
        self.document.guesses.insert(address.to_owned(), Said::Number(stated));
    }

    fn choose(&mut self, address: &str, word: &'static str) {
        if self.is_open(address) {
            self.document.guesses.insert(address.to_owned(), Said::Word(word, Origin::Assumed));
        }
    }
}

/// Fills what is open in `document`; where even the basis is missing it stays open.
pub(super) fn fill_guesses(document: &mut BoatDocument) {
    let mut filling = Filling { document };
    if fill_hull(&mut filling).is_some() {
        fill_drive(&mut filling);
    }
}

fn fill_hull(f: &mut Filling<'_>) -> Option<()> {
    let kind = match f.document.choice("hull.kind")? {
        "round-bilge motor boat" => HullKind::RoundBilgeMotor,
        "canal boat" => HullKind::CanalBoat,
        _ => HullKind::SailingYacht,
    };
    let of_kind = |sail: f64, motor: f64, canal: f64| match kind {
        HullKind::SailingYacht => sail,
        HullKind::RoundBilgeMotor => motor,
        HullKind::CanalBoat => canal,
    };
    let overall = f.number("hull.length_overall")?;
    f.put("hull.length_waterline", of_kind(0.83, 0.92, 0.97) * overall, 0.92, of_kind(1.10, 1.06, 1.02));
    let length = f.number("hull.length_waterline")?;
    if let Some(beam) = f.number("hull.beam_overall") {
        f.put("hull.beam_waterline", of_kind(0.88, 0.92, 1.0) * beam, 0.93, of_kind(1.06, 1.06, 1.0));
    }
    let beam = f.number("hull.beam_waterline")?;
    f.choose("hull.keel", if kind == HullKind::SailingYacht { "fin" } else { "none" });
    let keel = f.document.choice("hull.keel").unwrap_or("none");
    let is_long = keel.starts_with("long");
    f.choose("hull.rudder", if is_long { "keel-hung" } else { "spade" });
    f.choose("hull.bottom", "light slime");
    let draught = match (kind, keel) {
        (HullKind::SailingYacht, "fin") => 0.21 * length,
        (HullKind::SailingYacht, "twin") => 0.145 * length,
        (HullKind::SailingYacht, "none") => 0.075 * length,
        (HullKind::SailingYacht, _) => 0.165 * length,
        (HullKind::RoundBilgeMotor, _) => 0.09 * length,
        (HullKind::CanalBoat, _) => 0.6,
    };
    f.put("hull.draught", draught, 0.8, 1.25);
    let draught = f.number("hull.draught")?;
    // Canoe body of a sailing yacht from beam over its draught, since the keel hides it; of others from the draught, of a
    // motor boat less its skeg.
    let (volume, low, high) = match kind {
        HullKind::SailingYacht => {
            let beam_over_draught = if is_long { 4.2 } else { 5.2 };
            (1.04 * 0.392 * length * beam * beam / beam_over_draught, 0.74, 1.35)
        }
        HullKind::RoundBilgeMotor => (0.46 * length * beam * 0.8 * draught, 0.75, 1.35),
        HullKind::CanalBoat => (0.85 * length * beam * draught, 0.88, 1.08),
    };
    f.put("hull.displacement", WATER_KG_M3 * volume, low, high);
    f.choose(
        "propeller.arrangement",
        match kind {
            HullKind::SailingYacht if is_long => "aperture",
            HullKind::SailingYacht => "P-bracket",
            _ => "skeg or deadwood",
        },
    );
    Some(())
}

fn fill_drive(f: &mut Filling<'_>) -> Option<()> {
    let displacement = f.number("hull.displacement")?;
    let length = f.number("hull.length_waterline")?;
    f.choose("pack[1].chemistry", "LFP");
    let is_lead = f.document.choice("pack[1].chemistry").is_some_and(|word| !matches!(word, "LFP" | "NMC"));
    if let Some(volts) = f.number("pack[1].voltage") {
        let cell = if is_lead { 2.0 } else { 3.2 };
        f.put("pack[1].cells_in_series", (volts / cell).round(), 1.0, 1.0);
    }
    f.put("pack[1].cells_in_series", if is_lead { 24.0 } else { 16.0 }, 1.0, 1.0);
    let cells = f.document.integer("pack[1].cells_in_series")?;
    let volts = PackGroup::new(if is_lead { Chemistry::LeadAgm } else { Chemistry::Lfp }, cells, 1.0, 1)
        .nominal_voltage_v();
    f.put("motor.rated_power", POWER_W_KG * displacement, 0.67, 1.6);
    let power = f.number("motor.rated_power")?;
    let from_constant =
        f.number("motor.speed_constant").map(|constant| constant * volts / NO_LOAD_OVER_RATED);
    f.put("motor.rated_speed", from_constant.unwrap_or(MOTOR_REV_S), 0.6, 1.7);
    let speed = f.number("motor.rated_speed")?;
    f.put("motor.speed_constant", NO_LOAD_OVER_RATED * speed / volts, 0.87, 1.25);
    let constant = f.number("motor.speed_constant")?;
    let rated_a = power * constant / speed;
    f.put("controller.phase_current", PHASE_OVER_RATED * rated_a, 0.75, 1.6);
    f.put("controller.battery_current", BATTERY_OVER_RATED * power / volts, 0.8, 1.4);
    // An hour at the rated power.
    f.put("pack[1].capacity", 3600.0 * power / volts, 0.5, 2.0);
    f.put("pack[1].count", 1.0, 1.0, 1.0);
    let is_slow = speed < 1.25 * SHAFT_REV_S;
    let has_ratio = f.number("reduction.ratio").is_some_and(|ratio| (ratio - 1.0).abs() > 1e-6);
    f.choose("reduction.kind", if is_slow && !has_ratio { "direct" } else { "toothed belt" });
    let is_direct = f.document.choice("reduction.kind") == Some("direct");
    let band = if is_direct { (1.0, 1.0) } else { (0.75, 1.33) };
    f.put("reduction.ratio", if is_direct { 1.0 } else { (speed / SHAFT_REV_S).max(1.0) }, band.0, band.1);
    let shaft_rev_s = speed / f.number("reduction.ratio")?;
    f.choose("propeller.pattern", "fixed");
    f.put("propeller.blades", 3.0, 1.0, 1.0);
    // Eight tenths of an aperture; else by power and revolutions (in inches 632.7 SHP^0.2 / rpm^0.6), as the trade has it.
    let by_power = 0.0254 * 632.7 * (power / 745.7).powf(0.2) / (60.0 * shaft_rev_s).powf(0.6);
    let diameter =
        f.number("propeller.aperture_height").map_or(by_power, |height| by_power.min(0.8 * height));
    f.put("propeller.diameter", diameter, 0.87, 1.15);
    // What screws her to her hull speed with a slip of 0.45.
    let hull_speed_m_s = 0.4 * (9.81 * length).sqrt();
    let pitch = hull_speed_m_s / (0.55 * shaft_rev_s);
    let diameter = f.number("propeller.diameter")?;
    f.put("propeller.pitch", pitch.clamp(0.45 * diameter, 1.0 * diameter), 0.82, 1.22);
    Some(())
}
