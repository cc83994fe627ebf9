//! A candidate that a search found, as an alternative of the boat's document: the fields that differ.
//! An alternative cannot leave a line out, so what the search estimates for a part that is exchanged
//! is written where the document states the old one's. Not for: judging the candidate.

use wakewright_core::boat::Boat;
use wakewright_core::drive::{Motor, ReductionKind};
use wakewright_core::field;
use wakewright_core::propeller::PropellerChange;
use wakewright_core::search::{Candidate, NEW_BLADES};
use wakewright_records::boat::{BoatDocument, Change, Chosen};
use wakewright_units::factors::{INCH_M, RPM_REV_S};

use crate::boats::Loaded;

/// The fields in which `candidate` differs from the boat as she is.
/// # Errors
/// In words, when an alternative cannot say it.
pub fn changes_of(boat: &Loaded, candidate: &Candidate) -> Result<Vec<Change>, String> {
    let document = &boat.document;
    let (before, after) = (&boat.spec.boat, &candidate.boat);
    let mut changes = Changes { document, lines: Vec::new() };
    if candidate.change.propeller != PropellerChange::None {
        changes.propeller(before, after);
    }
    if candidate.change.propeller == PropellerChange::New
        && before.blades_sand_height_m != after.blades_sand_height_m
    {
        changes.say(field::propeller::BLADES_STATE, NEW_BLADES.word());
    }
    if candidate.change.reduction {
        changes.reduction(after);
    }
    if candidate.change.motor {
        let motor = after.motor.motor().map_err(|error| error.to_string())?.value;
        changes.motor(after, &motor);
    }
    // The document estimates a shaft's diameter, and from it its friction, from the propeller; the shaft itself stays.
    let is_typed = |address: &str| boat.document.typed(address).is_some();
    if candidate.change.propeller != PropellerChange::None
        && !is_typed(field::propeller::SHAFT_FRICTION)
        && !is_typed(field::propeller::SHAFT_DIAMETER)
    {
        let friction = format!("{} N m, assumed", number(after.drive_line.bearing_torque_n_m));
        changes.say(field::propeller::SHAFT_FRICTION, &friction);
    }
    if candidate.change.voltage || candidate.change.packs != 0 {
        changes.bank(before, after)?;
    }
    if candidate.change.motor || candidate.change.voltage {
        changes.controller(after, candidate.change.motor);
    }
    Ok(changes.lines)
}

struct Changes<'a> {
    document: &'a BoatDocument,
    lines: Vec<Change>,
}

impl Changes<'_> {
    fn say(&mut self, address: &str, text: &str) {
        if self.document.typed(address) != Some(text) {
            self.lines.push(Change::new(address, text));
        }
    }

    /// Says what stands in the way of the new part only where the old one's is stated.
    fn restate(&mut self, address: &str, text: &str) {
        if self.document.typed(address).is_some() {
            self.say(address, text);
        }
    }

    fn propeller(&mut self, before: &Boat, after: &Boat) {
        let (old, new) = (&before.propeller, &after.propeller);
        let differs = |a: f64, b: f64| (a - b).abs() > 1e-6;
        if old.pattern != new.pattern {
            self.say(field::propeller::PATTERN, new.pattern.word());
        }
        if old.blades != new.blades {
            self.say(field::propeller::BLADES, &new.blades.to_string());
        }
        if differs(old.diameter_m, new.diameter_m) {
            self.say(field::propeller::DIAMETER, &format!("{} in", number(new.diameter_m / INCH_M)));
        }
        if differs(old.pitch_m, new.pitch_m) {
            self.say(field::propeller::PITCH, &format!("{} in", number(new.pitch_m / INCH_M)));
        }
        if differs(old.area_ratio, new.area_ratio)
            || old.blades != new.blades && self.document.typed(field::propeller::AREA_RATIO).is_none()
        {
            self.say(field::propeller::AREA_RATIO, &number(new.area_ratio));
        }
    }

    fn reduction(&mut self, after: &Boat) {
        let ratio = after.drive_line.ratio;
        let kind = self.document.chosen::<ReductionKind>(field::reduction::KIND);
        if (ratio - 1.0).abs() < 1e-9 {
            self.say(field::reduction::KIND, ReductionKind::Direct.word());
            self.restate(field::reduction::EFFICIENCY, "100 %");
        } else if kind == Some(ReductionKind::Direct) {
            self.say(field::reduction::KIND, ReductionKind::ToothedBelt.word());
            let percent = 100.0 * ReductionKind::ToothedBelt.efficiency().median;
            self.restate(field::reduction::EFFICIENCY, &format!("{} %, assumed", number(percent)));
        }
        self.say(field::reduction::RATIO, &format!("{}:1", number(ratio)));
    }

    fn motor(&mut self, after: &Boat, motor: &Motor) {
        let plate = &after.motor;
        let assumed = |text: String| format!("{text}, assumed");
        let per_volt = number(plate.no_load_speed_rev_s_v / RPM_REV_S);
        self.say(field::motor::SPEED_CONSTANT, &assumed(format!("{per_volt} rpm/V")));
        self.say(field::motor::RATED_POWER, &format!("{} W", number(plate.rated_power_w)));
        let rated = number(plate.rated_speed_rev_s / RPM_REV_S);
        self.say(field::motor::RATED_SPEED, &format!("{rated} rpm"));
        if let Some(peak) = plate.peak_power_w {
            self.say(field::motor::PEAK_POWER, &assumed(format!("{} W", number(peak))));
        }
        self.say(field::motor::COOLING, plate.cooling.word());
        self.restate(
            field::motor::RESISTANCE,
            &assumed(format!("{} mohm", number(1000.0 * motor.resistance_ohm))),
        );
        let idle = motor.no_load_current_a(motor.rated_speed_rad_s);
        self.restate(field::motor::NO_LOAD_CURRENT, &assumed(format!("{} A", number(idle))));
        self.restate(field::motor::MASS, &assumed(format!("{} kg", number(motor.mass_kg))));
        // The usual value of the document is another one than the rating's.
        self.say(
            field::motor::WINDING_LIMIT,
            &assumed(format!("{} °C", number(motor.winding_limit_k - 273.15))),
        );
        self.restate(
            field::motor::NOTE,
            "typical values of the rating; put in its plate before it is bought",
        );
    }

    fn controller(&mut self, after: &Boat, is_new: bool) {
        let controller = &after.controller;
        let volts = |volts: f64| format!("{} V, assumed", number(volts));
        if is_new {
            let phase = number(controller.phase_current_limit_a);
            self.say(field::controller::PHASE_CURRENT, &format!("{phase} A, assumed"));
            let battery = number(controller.battery_current_limit_a);
            self.say(field::controller::BATTERY_CURRENT, &format!("{battery} A, assumed"));
            self.restate(field::controller::REGENERATION_CURRENT, &format!("{battery} A, assumed"));
            let duty = format!("{} %, assumed", number(100.0 * controller.maximum_duty));
            self.restate(field::controller::MAXIMUM_DUTY, &duty);
            if self.document.flag(field::controller::FIELD_WEAKENING) == Some(true) {
                self.say(field::controller::FIELD_WEAKENING, "false");
            }
        }
        let Some(group) = after.bank.groups.first() else { return };
        let (lowest_v, highest_v) = (group.cut_out_v(), group.voltage_window_v().1);
        // A controller of which nothing is known cuts where the packs do.
        self.restate(field::controller::UNDERVOLTAGE, &volts(controller.undervoltage_v.unwrap_or(lowest_v)));
        let most_v = f64::from(group.cells_in_series) * group.chemistry.window().equalising_v;
        self.restate(
            field::controller::OVERVOLTAGE,
            &volts(controller.overvoltage_v.unwrap_or(1.1 * most_v)),
        );
        if controller.power_limit_w.is_none() {
            let most_w = controller.battery_current_limit_a * highest_v;
            self.restate(field::controller::POWER_LIMIT, &format!("{} W, assumed", number(most_w)));
        }
    }

    fn bank(&mut self, before: &Boat, after: &Boat) -> Result<(), String> {
        let rows = self.document.rows(field::pack::SECTION);
        let own: Vec<_> = rows.iter().filter(|row| row.is_of_drive()).collect();
        let ([row], [old], [new]) =
            (own.as_slice(), before.bank.groups.as_slice(), after.bank.groups.as_slice())
        else {
            return Err(
                "her bank is of packs of several kinds, and an alternative cannot take a pack out: make \
                        them one kind in her document first"
                    .to_owned(),
            );
        };
        let address = |name: &str| row.address_of(name);
        if old.cells_in_series != new.cells_in_series {
            self.say(&address(field::pack::CELLS_IN_SERIES), &new.cells_in_series.to_string());
            self.restate(&address(field::pack::VOLTAGE), &format!("{} V", number(new.nominal_voltage_v())));
            if let Some(ohm) = new.resistance_ohm {
                self.restate(
                    &address(field::pack::RESISTANCE),
                    &format!("{} mohm, assumed", number(1000.0 * ohm)),
                );
            }
        }
        if old.packs_in_parallel != new.packs_in_parallel {
            self.say(&address(field::pack::COUNT), &new.packs_in_parallel.to_string());
        }
        Ok(())
    }
}

/// Six significant digits: nothing of the candidate is lost, and no figure here is known better.
fn number(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".to_owned();
    }
    let decimals = (5 - value.abs().log10().floor() as i32).clamp(0, 9) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::AtomicBool;

    use wakewright_core::search::Keep;
    use wakewright_core::steady::PreparedBoat;
    use wakewright_records::boat::{Alternative, build_spec};

    use super::*;
    use crate::boats::load;
    use crate::room::Watch;
    use crate::search::{Wish, run};

    /// The document with the alternative in it is the boat that the search found: by the steady state she
    /// makes the same speed at the same limit.
    #[test]
    fn an_alternative_is_the_boat_that_was_found() {
        let all = &Keep::ALL[..];
        // What may change: a part of its own each, then everything.
        let open: [&[Keep]; 5] =
            [&[Keep::Propeller], &[Keep::Reduction], &[Keep::Motor], &[Keep::Voltage, Keep::Packs], all];
        for name in ["sea_campion", "sweet_gale"] {
            let file = format!("{}/../../examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
            let boat = load(&file, &[]).unwrap();
            for open in open {
                let wish = Wish {
                    keep: Keep::ALL.into_iter().filter(|part| !open.contains(part)).collect(),
                    ratios: "1,2,3".to_owned(),
                    cells: "16,20,24".to_owned(),
                    may_exceed_touch_limit: true,
                    cruise: vec!["3 kn".to_owned()],
                    ..Wish::default()
                };
                let search = wish.search(&boat).unwrap();
                let watch = Watch { progress: &|_, _| {}, cancelled: &AtomicBool::new(false) };
                let outcome = run(&search, &[], &boat.spec, (0, 0), &watch).unwrap();
                let stride = (outcome.candidates.len() / 12).max(1);
                let mut held = 0;
                for candidate in outcome.candidates.iter().step_by(stride) {
                    if candidate.change.parts() == 0 {
                        continue;
                    }
                    let changes = changes_of(&boat, candidate).unwrap();
                    let wanted = Alternative {
                        name: "found".to_owned(),
                        note: None,
                        cost: None,
                        changes: changes.clone(),
                    };
                    boat.document.with_alternative(&wanted).unwrap();
                    let mut spec = build_spec(&boat.document.with_changes(&changes).unwrap()).unwrap();
                    spec.boat.motor.field_weakening = None;
                    let full = PreparedBoat::new(&spec.boat).unwrap().value.full_throttle().unwrap();
                    let (found, said) = (candidate.full.held.state.speed_m_s, full.held.state.speed_m_s);
                    assert!(
                        (found - said).abs() < 2e-3 * found && candidate.full.held.limit == full.held.limit,
                        "{name}: {found} is {said}, {:?} is {:?}, {changes:#?}",
                        candidate.full.held.limit,
                        full.held.limit
                    );
                    held += 1;
                }
                assert!(held > 0 || outcome.candidates.len() < 2, "{name} {open:?}");
            }
        }
    }
}
