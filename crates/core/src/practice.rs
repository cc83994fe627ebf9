//! The boat held against common practice: what a fitter would raise an eyebrow at. None of these
//! rules is a published limit unless it says so; a value outside is a question, not a fault.
//! Not for: contradictions in a document (`wakewright-records`), physical limits (`steady`).

use wakewright_units::Quantity;

use crate::battery::TOUCH_LIMIT_V;
use crate::boat::BoatSpec;
use crate::hull::form::hull_speed_m_s;
use crate::propeller::cavitation::QUIET_TIP_SPEED_M_S;
use crate::propeller::installation::{SHAFT_SAFETY_FACTOR, Service, least_shaft_diameter_m};
use crate::steady::{Ask, Limit};
use crate::study::{StateFigure, Study};

/// How a value stands against practice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Within what is usual.
    Usual,
    /// Outside: worth a second look.
    Unusual,
    /// Somebody or something can be hurt, or something will break.
    Danger,
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

/// Holds the boat and what was found about her against common practice.
#[must_use]
pub fn check_practice(spec: &BoatSpec, study: &Study) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut add = |topic, value: f64, quantity, usual: (f64, f64), bad, meaning, source| {
        let is_usual = value >= usual.0 && value <= usual.1;
        let standing = if is_usual { Standing::Usual } else { bad };
        findings.push(Finding { topic, value, quantity, usual, standing, meaning, source });
    };
    use Standing::{Danger, Unusual};

    let boat = &spec.boat;
    let tonnes = boat.form.displacement_kg / 1000.0;
    let full = &study.answers.full.held;
    let hull_speed = hull_speed_m_s(boat.form.length_waterline_m);
    add(
        "motor power for each tonne",
        boat.motor.rated_power_w / tonnes,
        Quantity::Power,
        (700.0, 2500.0),
        Unusual,
        "half a kilowatt a tonne makes about 70 % of hull speed in calm, two for head wind and sea; more is rarely used",
        PRACTICE,
    );
    add(
        "full throttle against hull speed",
        full.state.speed_m_s / hull_speed,
        Quantity::Share,
        (0.8, 1.1),
        Unusual,
        "below four fifths of hull speed a drive is thought weak; above it she is heavier or longer than stated",
        PRACTICE,
    );
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
    fit(spec, study, &mut add);
    bank(spec, study, &mut add);
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
    let highest = boat.bank.groups.iter().map(|group| group.highest_charging_v()).fold(0.0, f64::max);
    add(
        "bank voltage while charging, at most",
        highest,
        Quantity::Voltage,
        (0.0, TOUCH_LIMIT_V),
        Danger,
        "above 60 V direct current can kill: lock off, prove dead, work by the rules for high voltage and leave it to a \
         qualified person (30 V where it is wet)",
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
            "energy a mile at two thirds of hull speed, for each tonne",
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

fn fit(spec: &BoatSpec, study: &Study, add: &mut Add<'_>) {
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
    if let Some(shaft) = spec.fittings.shaft_diameter_m {
        let motor = study.prepared.motor();
        let peak_torque = study.prepared.controller().phase_current_limit_a
            * motor.torque_constant_n_m_a
            * study.prepared.drive_line().ratio;
        let usual_torque = study.answers.full.held.state.shaft_torque_n_m;
        // Bronze and stainless shafts of small craft start to yield in shear near here (from memory).
        const SHEAR_YIELD_PA: f64 = 120.0e6;
        if let Ok(least) =
            least_shaft_diameter_m(peak_torque.max(usual_torque), SHEAR_YIELD_PA, SHAFT_SAFETY_FACTOR)
        {
            add(
                "shaft diameter against the torque that the controller allows",
                shaft / least,
                Quantity::Ratio,
                (1.0, 4.0),
                Standing::Danger,
                "a shaft thinner than this can twist off when the propeller is stopped by a rope at full phase current",
                "from memory",
            );
        }
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
    add(
        "time that the bank would last at full throttle",
        energy / full.bank_power_w(),
        Quantity::Duration,
        (3600.0, f64::INFINITY),
        Standing::Unusual,
        "emptied in less than an hour a bank of this sort runs warm and gives less than its rated charge",
        PRACTICE,
    );
    if let Ok(Some(lost)) = boat.bank.after_one_pack_trips(full.bank_power_w())
        && lost.remaining.discharge_limit_a.is_finite()
    {
        add(
            "load on the packs that are left when one drops out at full throttle, share of their limit",
            lost.share_of_limit,
            Quantity::Share,
            (0.0, 1.0),
            Standing::Danger,
            "the packs that are left trip one after the other: she goes dark and silent; let the controller fold back its battery \
             current to what one pack less can give",
            "parallelpacks2023",
        );
    }
}
