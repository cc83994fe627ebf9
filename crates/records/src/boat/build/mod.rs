//! From the document to the boat of the computation: what is stated, what stands in for it, and how
//! sure each is. Not for: reading the file (`document`), computing.

mod bank;
mod controls;
mod electric;
mod energy;
mod hull;
mod propeller;
mod variants;
mod wiring;

pub use controls::controls;
pub use variants::{build_variants, conversion_masses};
pub use wiring::harness;
pub(in crate::boat) use wiring::{is_same, place_name, told};

pub use energy::{charging_sources, energy_plan, house_loads, mean_house_load, panel_unit_w};

use wakewright_core::battery::Bank;
use wakewright_core::boat::{Boat, BoatSpec, Fittings, Input, Uncertain};
use wakewright_core::drive::small_load::{LOADS_UNDER_WAY_W, drawn_within, widened_by_boats};
use wakewright_core::field;
use wakewright_core::spread::Spread;

pub(in crate::boat) use electric::read_drives;
pub(in crate::boat) use hull::growth_since_cleaning;

use super::document::BoatDocument;
use super::fault::{Fault, Severity};

/// What is uncertain, gathered while the boat is built.
#[derive(Default)]
struct Gathered(Vec<Uncertain>);

impl Gathered {
    /// Notes that `input` has `spread`; exact values are not sampled.
    fn add(&mut self, input: Input, spread: Spread, possible: (f64, f64)) {
        if !spread.is_exact() {
            self.0.push(Uncertain { input, spread, possible });
        }
    }

    /// Notes the spread of an estimate that stands for a value which is not known; a stated one counts as exact.
    fn guessed(&mut self, document: &BoatDocument, input: Input) {
        if document.is_guessed(input.key()) {
            self.field(document, input);
        }
    }

    /// Notes the spread of a field that is stated or has a usual value, within its possible range.
    fn field(&mut self, document: &BoatDocument, input: Input) {
        let key = input.key();
        let possible = super::field_named(key).and_then(|field| field.possible);
        if let (Some(stated), Some(possible)) = (document.number(key), possible) {
            self.add(input, stated.spread, possible);
        }
    }
}

/// The boat that `document` describes, with the spread of every uncertain input.
/// # Errors
/// A hull that no published method covers.
pub fn build_spec(document: &BoatDocument) -> Result<BoatSpec, Vec<Fault>> {
    let mut gathered = Gathered::default();
    let hull = hull::read_hull(document, &mut gathered)?;
    let water = hull::read_water(document);
    let drives = electric::read_drives(document);
    let (propeller, stern, blades_sand_height_m) =
        propeller::read_propeller(document, &hull.form, &mut gathered)?;
    let motor = electric::read_motor(document, &mut gathered)?;
    let drive_line = electric::read_drive_line(document, &motor, &mut gathered)?;
    let bank = bank::read_bank(document, &mut gathered)?;
    let controller = electric::read_controller(document, &bank, &mut gathered)?;
    gathered.field(document, Input::MotorAmbient);
    let standing = document.stated_number(field::bank::HOUSE_LOAD);
    let mean_of_hours = energy::mean_house_load(document);
    let house_w = match (&standing, mean_of_hours) {
        (Some(stated), _) => stated.spread,
        (None, Some(mean)) => mean,
        (None, None) => widened_by_boats(LOADS_UNDER_WAY_W),
    };
    gathered.add(Input::HousePower, house_w, drawn_within(house_w));
    let number = |key: &str| document.number(key).map(|stated| stated.value_si);
    let usual_reserve = usual_reserve(&bank);
    let boat = Boat {
        form: hull.form,
        keel: hull.keel,
        rudder: hull.rudder,
        topsides: hull.topsides,
        towed: hull.towed,
        residuary_method: hull.method,
        bottom_sand_height_m: hull.bottom_sand_height_m,
        blades_sand_height_m,
        sea: hull.sea,
        water,
        propeller,
        stern,
        drives,
        drive_line,
        motor,
        // A closed engine space runs warmer than the air outside: some ten degrees (from memory).
        motor_ambient_k: number(field::sea::AIR_TEMPERATURE).unwrap_or(288.15) + ENGINE_SPACE_RISE_K,
        controller,
        further: energy::further_banks(document, &bank),
        bank,
        reserve: number(field::bank::RESERVE).unwrap_or(usual_reserve),
        house_power_w: house_w.median,
    };
    for uncertain in &mut gathered.0 {
        if uncertain.input == Input::MotorAmbient {
            uncertain.spread = shifted(uncertain.spread, ENGINE_SPACE_RISE_K);
            uncertain.possible.1 += ENGINE_SPACE_RISE_K;
        }
    }
    let pack_resistance = gathered.0.iter().find(|uncertain| uncertain.input == Input::PackResistance);
    let old_shaft = number(field::old_engine::RATED_SPEED)
        .map(|speed| speed / number(field::old_engine::GEARBOX_RATIO).unwrap_or(1.0));
    let fittings = Fittings {
        shaft_diameter_m: number(field::propeller::SHAFT_DIAMETER),
        aperture_height_m: number(field::propeller::APERTURE_HEIGHT),
        tip_clearance_m: number(field::propeller::TIP_CLEARANCE),
        old_shaft_rev_s: old_shaft,
        old_power_w: number(field::old_engine::POWER),
        cruising_speed_m_s: number(field::usage::CRUISING_SPEED),
        wished_speed_m_s: number(field::usage::WISHED_SPEED),
        reduction: Some(electric::reduction_kind(document)),
        has_load_from_hours: standing.is_none() && mean_of_hours.is_some(),
        has_usual_load: standing.is_none() && mean_of_hours.is_none(),
        has_told_drives: document.integer(field::motor::RUNNING).is_some(),
        is_on_a_leg: !propeller::arrangement(document).has_water_bearing(),
        has_usual_discharge_limit: bank::has_usual_discharge_limit(document),
        has_usual_pack_resistance: bank::has_usual_resistance(document),
        pack_resistance: pack_resistance.map(|uncertain| uncertain.spread),
    };
    let mut notices = document.guess_notices();
    notices.extend(bank::usual_limit_notice(document, &boat.bank));
    Ok(BoatSpec::new(boat, gathered.0, fittings, notices))
}

/// How much warmer than the air outside it is around the motor \[K\]; from memory.
const ENGINE_SPACE_RISE_K: f64 = 10.0;

fn shifted(spread: Spread, by: f64) -> Spread {
    Spread { p10: spread.p10 + by, median: spread.median + by, p90: spread.p90 + by, ..spread }
}

/// A fault at a field of the document.
fn fault(document: &BoatDocument, address: &str, problem: String, advice: &str) -> Vec<Fault> {
    vec![Fault {
        line: document.line(address).unwrap_or(1),
        column: 1,
        field: address.to_owned(),
        found: document.typed(address).unwrap_or("").to_owned(),
        problem,
        advice: advice.to_owned(),
        severity: Severity::Error,
        also: Vec::new(),
    }]
}

/// Reserve of a bank for which none is stated: lead that is drawn below half of its charge ages fast.
/// Common practice, no source.
#[must_use]
pub fn usual_reserve(bank: &Bank) -> f64 {
    if bank.groups.iter().any(|group| group.chemistry.is_lead()) { 0.5 } else { 0.2 }
}
