//! The boat held against common practice: what a fitter would raise an eyebrow at. None of these
//! rules is a published limit unless it says so; a value outside is a question, not a fault.
//! Not for: contradictions in a document (`wakewright-records`), physical limits (`steady`).

use wakewright_units::Quantity;
use wakewright_units::factors::KNOT_M_S;

use crate::battery::peukert::depletion_factor;
use crate::battery::{PackGroup, TOUCH_LIMIT_V, WET_TOUCH_LIMIT_V};
use crate::boat::{Boat, BoatSpec, Fittings};
use crate::hull::form::hull_speed_m_s;
use crate::propeller::cavitation::QUIET_TIP_SPEED_M_S;
use crate::propeller::installation::{SHAFT_SAFETY_FACTOR, Service, least_shaft_diameter_m};
use crate::steady::{Ask, Limit, PreparedBoat, State};
use crate::study::answer::HELD_S;
use crate::study::{StateFigure, Study};
use crate::wiring::FuseClass;

/// How a value stands against practice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Within what is usual.
    Usual,
    /// Outside: worth a second look.
    Unusual,
    /// It may be so, and it brings a duty: who may work on it, and what has to be fitted.
    Duty,
    /// It must not be so: something breaks, goes dark or cannot be switched off. Never a pick, a best or a remedy.
    Forbidden,
}

impl Standing {
    /// Stable name for files.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Usual => "usual",
            Self::Unusual => "unusual",
            Self::Duty => "duty",
            Self::Forbidden => "forbidden",
        }
    }
}

/// One rule, applied.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// What is looked at, in words.
    pub topic: &'static str,
    /// Value found (SI).
    pub value: f64,
    /// Kind of quantity of value and range.
    pub quantity: Quantity,
    /// What is usual (SI); an end may be 0 or infinite.
    pub usual: (f64, f64),
    /// How it stands.
    pub standing: Standing,
    /// What it means when outside, in one sentence.
    pub meaning: &'static str,
    /// Key of the source, "common practice, no source" or "from memory".
    pub source: &'static str,
}

const PRACTICE: &str = "common practice, no source";

/// What must not be so of a boat at full throttle, whoever would recommend her.
#[must_use]
pub fn forbidden(boat: &Boat, fittings: &Fittings, prepared: &PreparedBoat, full: &State) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut add = |topic, value: f64, quantity, usual: (f64, f64), bad, meaning, source| {
        if bad == Standing::Forbidden && !(value >= usual.0 && value <= usual.1) {
            findings.push(Finding { topic, value, quantity, usual, standing: bad, meaning, source });
        }
    };
    what_forbids(boat, fittings, prepared, full, &mut add);
    findings
}

/// The duty that a bank of so many volts while charging brings; `None` up to 30 V.
///
/// # Source
/// 60 V as the highest direct voltage that may be touched, half of that where it is wet \[iec60598-2008\]. What it
/// costs: common practice, no source.
/// # Example
/// By hand: 58.4 V, 16 cells of iron phosphate while charging, are safe to touch only where it is dry.
/// ```
/// # use wakewright_core::practice::duty_of_volts;
/// assert!(duty_of_volts(58.4).unwrap().starts_with("above 30 V"));
/// assert_eq!(duty_of_volts(29.2), None);
/// ```
#[must_use]
pub fn duty_of_volts(highest_v: f64) -> Option<&'static str> {
    if highest_v > TOUCH_LIMIT_V {
        Some(
            "above 60 V direct current can kill (above 30 V where it is wet): a qualified person, covers over every live \
             part, lock-off and proving dead, and their cost with it",
        )
    } else if highest_v > WET_TOUCH_LIMIT_V {
        Some(
            "above 30 V it is safe to touch only where it is dry: covers over every live part where spray, bilge water or wet \
             hands come, and their cost with it",
        )
    } else {
        None
    }
}

/// The duty that volts bring to a boat which does not have it already, by the highest volts before and after.
#[must_use]
pub fn duty_brought(before_v: f64, after_v: f64) -> Option<&'static str> {
    duty_of_volts(after_v).filter(|duty| duty_of_volts(before_v) != Some(duty) && after_v > before_v)
}

/// How a sentence that recommends something ends where it brings `duty`; empty where it brings none.
#[must_use]
pub fn duty_words(duty: Option<&'static str>) -> String {
    duty.map_or_else(String::new, |duty| format!("; it brings a duty, for {duty}"))
}

/// Speed below which volts that bring a duty are not worth having \[m/s\]: two tenths of a knot, within what any forecast
/// here leaves open. Judgement, no source.
pub const DUTY_WORTH_M_S: f64 = 0.2 * KNOT_M_S;

/// Holds the boat and what was found about her against common practice.
#[must_use]
pub fn check_practice(spec: &BoatSpec, study: &Study) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut add = |topic, value: f64, quantity, usual: (f64, f64), bad, meaning, source| {
        let is_usual = value >= usual.0 && value <= usual.1;
        let standing = if is_usual { Standing::Usual } else { bad };
        findings.push(Finding { topic, value, quantity, usual, standing, meaning, source });
    };
    use Standing::Unusual;

    let boat = &spec.boat;
    let tonnes = boat.form.displacement_kg / 1000.0;
    let full = &study.answers.full.held;
    let hull_speed = hull_speed_m_s(boat.form.length_waterline_m);
    add(
        "motor power for each tonne",
        f64::from(boat.drives.running) * boat.motor.rated_power_w / tonnes,
        Quantity::Power,
        (700.0, 2500.0),
        Unusual,
        "half a kilowatt a tonne makes about 70 % of hull speed in calm, two for head wind and sea; more is rarely used",
        PRACTICE,
    );
    // In a canal her own hole in the water holds her long before hull speed.
    if spec.boat.sea.canal_width_m.is_none() {
        add(
            "full throttle against hull speed",
            full.state.speed_m_s / hull_speed,
            Quantity::Share,
            (0.8, 1.1),
            Unusual,
            "below four fifths of hull speed a drive is thought weak; above it she is heavier or longer than stated",
            PRACTICE,
        );
    }
    add(
        "apparent slip at full throttle",
        study.at_full(StateFigure::Slip).value,
        Quantity::Share,
        (0.25, 0.55),
        Unusual,
        "a displacement boat with a small propeller slips 30 to 50 %; far from it, pitch, ratio or speed is not as stated",
        PRACTICE,
    );
    let pitch_ratio = boat.propeller.pitch_ratio();
    add(
        "pitch over diameter",
        pitch_ratio,
        Quantity::Ratio,
        (0.5, 1.0),
        Unusual,
        "auxiliaries run between 0.5 and 1.0; far outside, diameter and pitch may have been swapped",
        PRACTICE,
    );
    add(
        "blade tip speed at full throttle",
        study.at_full(StateFigure::TipSpeed).value,
        Quantity::LocalSpeed,
        (0.0, QUIET_TIP_SPEED_M_S),
        Unusual,
        "faster tips are heard aboard",
        "from memory",
    );
    add(
        "blade loading, share of the cavitation limit",
        full.usage[Limit::Cavitation as usize],
        Quantity::Share,
        (0.0, 0.9),
        Unusual,
        "near or above the limit cavitation takes thrust; more blade area or diameter carries it",
        "burrill1943",
    );
    economy(spec, study, hull_speed, &mut add);
    fit(spec, &mut add);
    bank(spec, study, &mut add);
    what_forbids(boat, &spec.fittings, &study.prepared, &full.state, &mut add);
    if let Some(old) = spec.fittings.old_shaft_rev_s {
        add(
            "shaft speed against the old engine's",
            full.state.shaft_rev_s / old,
            Quantity::Share,
            (0.85, 1.1),
            Unusual,
            slower_than_the_diesel(full.limit),
            PRACTICE,
        );
    }
    if let Some(old_w) = spec.fittings.old_power_w {
        add(
            "motor power against the old engine's",
            f64::from(boat.drives.fitted()) * boat.motor.rated_power_w / old_w,
            Quantity::Share,
            (0.15, 0.8),
            Unusual,
            "a diesel was sized with much to spare, so that a sixth to four fifths of its power is usual; far outside, watts and \
             horsepower may have been taken for each other",
            PRACTICE,
        );
    }
    let highest = boat.bank.highest_charging_v();
    add(
        "bank voltage while charging, at most",
        highest,
        Quantity::Voltage,
        (0.0, WET_TOUCH_LIMIT_V),
        Standing::Duty,
        duty_of_volts(highest).unwrap_or_default(),
        "iec60598-2008",
    );
    findings
}

/// What a shaft speed outside the usual means: what gives it back depends on what holds it.
fn slower_than_the_diesel(limit: Limit) -> &'static str {
    match limit {
        Limit::BankVolts => {
            "a drive that turns the shaft slower than the old engine leaves power unused with the same propeller; volts hold this \
             one: more pitch, less reduction or more volts"
        }
        Limit::PhaseAmps => {
            "a drive that turns the shaft slower than the old engine leaves power unused with the same propeller; motor current \
             holds this one: more reduction or a larger controller; less pitch turns it faster for little more speed"
        }
        _ => {
            "a drive that turns the shaft slower than the old engine leaves power unused with the same propeller, where it is volts \
             or motor current that hold it; `drive` names what does"
        }
    }
}

type Add<'a> = dyn FnMut(&'static str, f64, Quantity, (f64, f64), Standing, &'static str, &'static str) + 'a;

fn economy(spec: &BoatSpec, study: &Study, hull_speed: f64, add: &mut Add<'_>) {
    let tonnes = spec.boat.form.displacement_kg / 1000.0;
    if let Ok(easy) = study.prepared.solve(Ask::Speed(0.65 * hull_speed)) {
        add(
            "energy per mile at two thirds of hull speed, for each tonne",
            easy.state.energy_per_metre_j() / tonnes,
            Quantity::EnergyPerDistance,
            (30.0 * 3600.0 / 1852.0, 200.0 * 3600.0 / 1852.0),
            Standing::Unusual,
            "owners measure about 40 to 150 Wh/nm for each tonne at such speeds",
            PRACTICE,
        );
    }
    let top = study.answers.full.held.state;
    use wakewright_units::factors::KNOT_M_S;
    if top.speed_m_s > 2.5 * KNOT_M_S
        && let Ok(slower) = study.prepared.solve(Ask::Speed(top.speed_m_s - KNOT_M_S))
    {
        add(
            "power for the last knot, times the power a knot slower",
            top.drive_power_w / slower.state.drive_power_w,
            Quantity::Ratio,
            (1.5, 3.5),
            Standing::Unusual,
            "adding 1 to 1.5 kn about doubles the power of such boats",
            PRACTICE,
        );
    }
}

fn fit(spec: &BoatSpec, add: &mut Add<'_>) {
    let boat = &spec.boat;
    let diameter = boat.propeller.diameter_m;
    let least = Service::Slow.least_clearance_fraction();
    if let Some(clearance) = spec.fittings.tip_clearance_at_m(diameter) {
        add(
            "tip clearance, share of the diameter",
            clearance / diameter,
            Quantity::Share,
            (least, f64::INFINITY),
            Standing::Unusual,
            "closer than a tenth of the diameter she will drum, and lose thrust in the aperture's edges",
            "from memory",
        );
    }
}

fn bank(spec: &BoatSpec, study: &Study, add: &mut Add<'_>) {
    let boat = &spec.boat;
    let energy: f64 =
        boat.bank.groups.iter().map(|g| g.aged_capacity_coulomb() * g.nominal_voltage_v()).sum();
    add(
        "energy in the bank",
        energy,
        Quantity::Energy,
        (4.0 * 3.6e6, 25.0 * 3.6e6),
        Standing::Unusual,
        "such boats carry from a few to some twenty-five kilowatt-hours: with less there is little left for the way home against \
             wind, with more weight and cost weigh",
        PRACTICE,
    );
    let full = &study.answers.full.held.state;
    // Full to empty as it is: lead gives less the faster it is emptied, and cold cells give less.
    let mut whole = boat.clone();
    (whole.bank.state_of_charge, whole.reserve) = (1.0, 0.0);
    let held_s = whole.discharge_at(full.bank_power_w()).map_or(0.0, |discharge| discharge.duration_s);
    // A bank at its own limit of current holds that, while the power fades with the volts.
    let at_its_limit_s = whole.bank.prepare().map_or(0.0, |bank| {
        let factor =
            depletion_factor(bank.capacity_coulomb, bank.rating_s, full.bank_a, bank.peukert_exponent);
        bank.capacity_coulomb / (factor * full.bank_a)
    });
    let lasts_s = if held_s >= HELD_S { held_s } else { at_its_limit_s };
    add(
        "time that the bank would last at full throttle",
        lasts_s,
        Quantity::Duration,
        (3600.0, f64::INFINITY),
        Standing::Unusual,
        "emptied in less than an hour a bank of this sort runs warm and gives less than its rated charge",
        PRACTICE,
    );
}

/// Short-circuit current at the bank's terminals, all packs of it full and warm \[A\]: least and greatest, by the packs' own
/// resistance as `wiring` takes it.
fn short_circuit_a(boat: &Boat, fittings: &Fittings) -> (f64, f64) {
    let banks = f64::from(boat.bank.banks.max(1));
    let of_group = |group: &PackGroup| {
        let (packs, ohm) =
            (f64::from(group.packs_in_parallel) / banks, group.fault_ohm(fittings.pack_resistance));
        (packs * group.rest_v(1.0) / ohm.p90, packs * group.rest_v(1.0) / ohm.p10)
    };
    let each = boat.bank.groups.iter().filter(|group| group.fault_ohm(None).p10 > 0.0).map(of_group);
    each.fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
}

fn what_forbids(boat: &Boat, fittings: &Fittings, prepared: &PreparedBoat, full: &State, add: &mut Add<'_>) {
    if let Some(shaft) = fittings.shaft_diameter_m {
        let peak_torque = prepared.controller().phase_current_limit_a
            * prepared.motor().torque_constant_n_m_a
            * prepared.drive_line().ratio;
        // Bronze and stainless shafts of small craft start to yield in shear near here (from memory).
        const SHEAR_YIELD_PA: f64 = 120.0e6;
        if let Ok(least) = least_shaft_diameter_m(
            peak_torque.max(full.shaft_torque_n_m),
            SHEAR_YIELD_PA,
            SHAFT_SAFETY_FACTOR,
        ) {
            // By the factor of the rule it is thinner than usual; near yield it twists off.
            const AT_LEAST: f64 = 2.0;
            let margin = SHAFT_SAFETY_FACTOR * (shaft / least).powi(3);
            add(
                "shaft diameter against the torque that the controller allows",
                shaft / least,
                Quantity::Ratio,
                (1.0, 4.0),
                if margin < AT_LEAST { Standing::Forbidden } else { Standing::Unusual },
                "a shaft thinner than this can twist off when the propeller is stopped by a rope at full phase current",
                "from memory",
            );
        }
    }
    if let Ok(Some(lost)) = boat.bank.after_one_pack_trips(full.bank_power_w())
        && lost.remaining.discharge_limit_a.is_finite()
    {
        // By a limit that was guessed nothing is forbidden.
        let standing =
            if fittings.has_usual_discharge_limit { Standing::Unusual } else { Standing::Forbidden };
        add(
            "load on the packs that are left when one drops out at full throttle, share of their limit",
            lost.share_of_limit,
            Quantity::Share,
            (0.0, 1.0),
            standing,
            "the packs that are left trip one after the other: she goes dark and silent; let the controller fold back its battery \
             current to what one pack less can give",
            "parallelpacks2023",
        );
    }
    let (low_a, high_a) = short_circuit_a(boat, fittings);
    if let Some(most_a) = FuseClass::most_broken_a(boat.bank.highest_charging_v()).filter(|_| high_a > 0.0) {
        // What was guessed of the packs forbids nothing.
        let (standing, meaning) = if low_a > most_a && !fittings.has_usual_pack_resistance {
            (
                Standing::Forbidden,
                "no usual fuse breaks such a current: it goes on as an arc. Fuse every pack by itself, before packs are joined",
            )
        } else {
            (
                Standing::Unusual,
                "it may be more than usual fuses break: `wiring` counts the cables, and pack.instant_resistance narrows it; fuse every pack by \
                 itself, before packs are joined",
            )
        };
        add(
            "short-circuit current at the bank's terminals, cables left out, at most",
            high_a,
            Quantity::Current,
            (0.0, most_a),
            standing,
            meaning,
            "from memory",
        );
    }
    if let Some(stands_v) = boat.controller.overvoltage_v {
        add(
            "volts that the controller stands, over the bank's highest while it is charged",
            stands_v / boat.bank.highest_charging_v(),
            Quantity::Ratio,
            (1.0, f64::INFINITY),
            Standing::Forbidden,
            "a controller that stands less than its bank is destroyed when the contactor closes, or by the charger",
            PRACTICE,
        );
    }
}
