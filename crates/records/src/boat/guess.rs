//! What stands for the figures that an owner does not know, so that name, kind, length and beam are enough for a first
//! verdict: estimated from what is there, with a wide band, marked.
//!
//! All shares here are common practice or from memory, no source, and say so in the fields' `estimated`; no boat that was
//! measured entered. Not for: what a stated boat leaves to the computation (form coefficients, keel area).

use std::collections::BTreeMap;

use wakewright_core::battery::{Chemistry, PackGroup, likely_cells};
use wakewright_core::drive::ReductionKind;
use wakewright_core::field;
use wakewright_core::fouling::FoulingCondition;
use wakewright_core::hull::{HullKind, KeelKind, RudderKind};
use wakewright_core::propeller::Pattern;
use wakewright_core::spread::Spread;

use super::build::growth_since_cleaning;
use super::choice::{BoatKind, CellKind, Chosen, PropellerPlace};
use super::document::{BoatDocument, Row};
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

    fn choose<T: Chosen>(&mut self, address: &str, choice: T) {
        if self.is_open(address) {
            self.document.guesses.insert(address.to_owned(), Said::Word(choice.word(), Origin::Assumed));
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
    // A hull without a published resistance is guessed in the proportions of a sailing yacht.
    let kind =
        f.document.chosen::<BoatKind>(field::hull::KIND)?.hull_kind().unwrap_or(HullKind::SailingYacht);
    let of_kind = |sail: f64, motor: f64, canal: f64| match kind {
        HullKind::SailingYacht => sail,
        HullKind::RoundBilgeMotor => motor,
        HullKind::CanalBoat => canal,
    };
    let overall = f.number(field::hull::LENGTH_OVERALL)?;
    f.put(
        field::hull::LENGTH_WATERLINE,
        of_kind(0.83, 0.92, 0.97) * overall,
        0.92,
        of_kind(1.10, 1.06, 1.02),
    );
    let length = f.number(field::hull::LENGTH_WATERLINE)?;
    if let Some(beam) = f.number(field::hull::BEAM_OVERALL) {
        f.put(field::hull::BEAM_WATERLINE, of_kind(0.88, 0.92, 1.0) * beam, 0.93, of_kind(1.06, 1.06, 1.0));
    }
    let beam = f.number(field::hull::BEAM_WATERLINE)?;
    f.choose(field::hull::KEEL, if kind == HullKind::SailingYacht { KeelKind::Fin } else { KeelKind::None });
    let keel = f.document.chosen(field::hull::KEEL).unwrap_or(KeelKind::None);
    let is_long = matches!(keel, KeelKind::Long | KeelKind::LongWithAperture);
    f.choose(field::hull::RUDDER, if is_long { RudderKind::KeelHung } else { RudderKind::Spade });
    let grown = growth_since_cleaning(f.document).map(|sand| FoulingCondition::nearest(sand.median));
    f.choose(field::hull::BOTTOM, grown.unwrap_or(FoulingCondition::LightSlime));
    let draught = match (kind, keel) {
        (HullKind::SailingYacht, KeelKind::Fin) => 0.21 * length,
        (HullKind::SailingYacht, KeelKind::Twin) => 0.145 * length,
        (HullKind::SailingYacht, KeelKind::None) => 0.075 * length,
        (HullKind::SailingYacht, KeelKind::Long | KeelKind::LongWithAperture) => 0.165 * length,
        (HullKind::RoundBilgeMotor, _) => 0.09 * length,
        (HullKind::CanalBoat, _) => 0.6,
    };
    f.put(field::hull::DRAUGHT, draught, 0.8, 1.25);
    let draught = f.number(field::hull::DRAUGHT)?;
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
    f.put(field::hull::DISPLACEMENT, WATER_KG_M3 * volume, low, high);
    let has_two = f.document.integer(field::motor::COUNT).is_some_and(|count| count > 1);
    f.choose(
        field::propeller::ARRANGEMENT,
        match kind {
            // Two shafts leave her beside the keel.
            _ if has_two => PropellerPlace::PBracket,
            HullKind::SailingYacht if is_long => PropellerPlace::Aperture,
            HullKind::SailingYacht => PropellerPlace::PBracket,
            HullKind::RoundBilgeMotor | HullKind::CanalBoat => PropellerPlace::Deadwood,
        },
    );
    Some(())
}

fn fill_drive(f: &mut Filling<'_>) -> Option<()> {
    let displacement = f.number(field::hull::DISPLACEMENT)?;
    let length = f.number(field::hull::LENGTH_WATERLINE)?;
    f.choose(field::pack::first::CHEMISTRY, CellKind::Lfp);
    let kind = f.document.chosen(field::pack::first::CHEMISTRY).unwrap_or(CellKind::Lfp);
    let is_lead = !matches!(kind, CellKind::Lfp | CellKind::Nmc);
    let cells = f
        .number(field::pack::first::VOLTAGE)
        .map_or(if is_lead { 24 } else { 16 }, |volts| likely_cells(kind.chemistry(), volts));
    f.put(field::pack::first::CELLS_IN_SERIES, f64::from(cells), 1.0, 1.0);
    let cells = f.document.integer(field::pack::first::CELLS_IN_SERIES)?;
    let volts = PackGroup::new(if is_lead { Chemistry::LeadAgm } else { Chemistry::Lfp }, cells, 1.0, 1)
        .nominal_voltage_v();
    let drives = f64::from(f.document.integer(field::motor::COUNT).unwrap_or(1).clamp(1, 2));
    f.put(field::motor::RATED_POWER, POWER_W_KG * displacement / drives, 0.67, 1.6);
    let power = f.number(field::motor::RATED_POWER)?;
    let from_constant =
        f.number(field::motor::SPEED_CONSTANT).map(|constant| constant * volts / NO_LOAD_OVER_RATED);
    f.put(field::motor::RATED_SPEED, from_constant.unwrap_or(MOTOR_REV_S), 0.6, 1.7);
    let speed = f.number(field::motor::RATED_SPEED)?;
    f.put(field::motor::SPEED_CONSTANT, NO_LOAD_OVER_RATED * speed / volts, 0.87, 1.25);
    let constant = f.number(field::motor::SPEED_CONSTANT)?;
    let rated_a = power * constant / speed;
    f.put(field::controller::PHASE_CURRENT, PHASE_OVER_RATED * rated_a, 0.75, 1.6);
    f.put(field::controller::BATTERY_CURRENT, BATTERY_OVER_RATED * power / volts, 0.8, 1.4);
    // An hour at the rated power of all drives.
    f.put(field::pack::first::CAPACITY, 3600.0 * drives * power / volts, 0.5, 2.0);
    f.put(field::pack::first::COUNT, 1.0, 1.0, 1.0);
    // Packs in parallel have the first one's volts; whatever else they lack is as there.
    let capacity = f.number(field::pack::first::CAPACITY)?;
    let chemistry = f.document.chosen(field::pack::first::CHEMISTRY).unwrap_or(CellKind::Lfp);
    let of_drive: Vec<bool> = f.document.rows(field::pack::SECTION).iter().map(Row::is_of_drive).collect();
    for number in (2..=of_drive.len()).filter(|number| of_drive[number - 1]) {
        let of = |key| field::in_row(&format!("{}[{number}]", field::pack::SECTION), key);
        f.choose(&of(field::pack::CHEMISTRY), chemistry);
        f.put(&of(field::pack::CELLS_IN_SERIES), f64::from(cells), 1.0, 1.0);
        f.put(&of(field::pack::CAPACITY), capacity, 0.5, 2.0);
    }
    let is_slow = speed < 1.25 * SHAFT_REV_S;
    let has_ratio = f.number(field::reduction::RATIO).is_some_and(|ratio| (ratio - 1.0).abs() > 1e-6);
    f.choose(
        field::reduction::KIND,
        if is_slow && !has_ratio { ReductionKind::Direct } else { ReductionKind::ToothedBelt },
    );
    let is_direct = f.document.chosen(field::reduction::KIND) == Some(ReductionKind::Direct);
    let band = if is_direct { (1.0, 1.0) } else { (0.75, 1.33) };
    f.put(
        field::reduction::RATIO,
        if is_direct { 1.0 } else { (speed / SHAFT_REV_S).max(1.0) },
        band.0,
        band.1,
    );
    let shaft_rev_s = speed / f.number(field::reduction::RATIO)?;
    f.choose(field::propeller::PATTERN, Pattern::BSeries);
    f.put(field::propeller::BLADES, 3.0, 1.0, 1.0);
    // Eight tenths of an aperture; else by power and revolutions (in inches 632.7 SHP^0.2 / rpm^0.6), as the trade has it.
    let by_power = 0.0254 * 632.7 * (power / 745.7).powf(0.2) / (60.0 * shaft_rev_s).powf(0.6);
    let diameter =
        f.number(field::propeller::APERTURE_HEIGHT).map_or(by_power, |height| by_power.min(0.8 * height));
    f.put(field::propeller::DIAMETER, diameter, 0.87, 1.15);
    // What screws her to her hull speed with a slip of 0.45.
    let hull_speed_m_s = 0.4 * (9.81 * length).sqrt();
    let pitch = hull_speed_m_s / (0.55 * shaft_rev_s);
    let diameter = f.number(field::propeller::DIAMETER)?;
    f.put(field::propeller::PITCH, pitch.clamp(0.45 * diameter, 1.0 * diameter), 0.82, 1.22);
    Some(())
}
