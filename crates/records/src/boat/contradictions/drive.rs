//! Contradictions among packs, bank, controller and motor.

use super::Checks;
use std::collections::BTreeMap;
use wakewright_units::factors::RPM_REV_S;
use wakewright_units::{Digits, Quantity, UnitSystem, format_quantity};

/// The group from which the motor runs.
const DRIVE_GROUP: &str = "drive";

/// Nominal voltage of one cell by the word for its chemistry \[V\]; common practice, no source.
#[must_use]
pub fn nominal_cell_voltage_v(chemistry: &str) -> Option<f64> {
    match chemistry {
        "LFP" => Some(3.2),
        "NMC" => Some(3.65),
        "lead flooded" | "AGM" | "gel" => Some(2.0),
        _ => None,
    }
}

/// Voltages of one cell between which a nominal voltage may be printed \[V\]: from nearly empty to
/// fully charged; common practice, no source.
fn printed_cell_voltage_v(chemistry: &str) -> (f64, f64) {
    match chemistry {
        "LFP" => (3.0, 3.5),
        "NMC" => (3.4, 3.9),
        _ => (1.95, 2.2),
    }
}

pub(super) fn check(checks: &mut Checks<'_>) {
    check_pack_voltages(checks);
    check_groups(checks);
    check_reserve(checks);
    check_currents(checks);
    check_motor(checks);
}

fn text(si: f64, kind: Quantity) -> String {
    format_quantity(si, kind, UnitSystem::Trade, Digits::Usual)
}

fn check_pack_voltages(checks: &mut Checks<'_>) {
    for row in checks.document.rows("pack") {
        let (Some(voltage), Some(chemistry), Some(cells)) =
            (row.stated_number("voltage"), row.choice("chemistry"), row.integer("cells_in_series"))
        else {
            continue;
        };
        let (low, high) = printed_cell_voltage_v(chemistry);
        let each_v = voltage.value_si / f64::from(cells.max(1));
        if !(low - 0.01..=high + 0.01).contains(&each_v) {
            let usual_v = nominal_cell_voltage_v(chemistry).unwrap_or_default() * f64::from(cells);
            let fields =
                [row.address_of("voltage"), row.address_of("cells_in_series"), row.address_of("chemistry")];
            checks.error(
                &fields.each_ref().map(String::as_str),
                format!(
                    "{} is not the voltage of {cells} cells of {chemistry} in series, which is about {}",
                    text(voltage.value_si, Quantity::Voltage),
                    text(usual_v, Quantity::Voltage)
                ),
                "Count the cells, or correct the voltage; the voltage may be left out.",
            );
        }
    }
}

/// Packs in parallel must be alike.
fn check_groups(checks: &mut Checks<'_>) {
    let mut first_of: BTreeMap<String, String> = BTreeMap::new();
    for row in checks.document.rows("pack") {
        let group = row.text("group").unwrap_or_else(|| DRIVE_GROUP.to_owned());
        let Some(first) = first_of.get(&group).cloned() else {
            first_of.insert(group, row.address().to_owned());
            continue;
        };
        let other = |name: &str| format!("{first}.{name}");
        if let (Some(own), Some(of_first)) =
            (row.choice("chemistry"), checks.document.choice(&other("chemistry")))
            && own != of_first
        {
            checks.error(
                &[&row.address_of("chemistry"), &other("chemistry")],
                format!("{own} and {of_first} are in parallel in the group {group}"),
                "Never put different chemistries in parallel: give one of them another group.",
            );
        }
        if let (Some(own), Some(of_first)) =
            (row.integer("cells_in_series"), checks.document.integer(&other("cells_in_series")))
            && own != of_first
        {
            checks.error(
                &[&row.address_of("cells_in_series"), &other("cells_in_series")],
                format!("packs with {own} and with {of_first} cells in series are in parallel in the group {group}"),
                "Packs of different voltage must not be in parallel: give one of them another group.",
            );
        }
    }
    let has_packs = !first_of.is_empty();
    if has_packs && checks.document.has_section("motor") && !first_of.contains_key(DRIVE_GROUP) {
        checks.error(
            &["pack[1].group", "pack[1]"],
            "no pack belongs to the group drive, from which the motor runs".to_owned(),
            "Leave the group out, or write drive, for the packs that feed the motor.",
        );
    }
}

fn check_reserve(checks: &mut Checks<'_>) {
    let fields = ["bank.reserve", "bank.state_of_charge"];
    if !checks.document.has_section("bank") {
        return;
    }
    if let (Some(reserve), Some(charge)) = (checks.value(fields[0]), checks.value(fields[1]))
        && reserve >= charge
    {
        checks.error(
            &fields,
            format!(
                "nothing is left to use: the reserve is {:.0} %, the state of charge {:.0} %",
                reserve * 100.0,
                charge * 100.0
            ),
            "Charge first, or plan with a smaller reserve.",
        );
    }
    let is_lead = checks
        .document
        .rows("pack")
        .iter()
        .any(|row| matches!(row.choice("chemistry"), Some("lead flooded" | "AGM" | "gel")));
    if let Some(reserve) = checks.value(fields[0])
        && is_lead
        && reserve < 0.4
    {
        checks.doubt(
            &[fields[0]],
            format!("a reserve of {:.0} % takes lead-acid deeper than it lasts", reserve * 100.0),
            "Half the charge is the usual reserve for lead-acid.",
        );
    }
}

/// Sum over the drive packs of `each` times their number; `None` when a pack does not say.
fn drive_sum(checks: &Checks<'_>, each: &str) -> Option<f64> {
    let rows = checks.document.rows("pack");
    let drive = rows.iter().filter(|row| row.text("group").as_deref() == Some(DRIVE_GROUP));
    let mut sum = None;
    for row in drive {
        let value = row.stated_number(each)?.value_si * f64::from(row.integer("count")?);
        sum = Some(sum.unwrap_or(0.0) + value);
    }
    sum
}

/// Nominal voltage of the drive packs \[V\].
fn drive_voltage_v(checks: &Checks<'_>) -> Option<f64> {
    let rows = checks.document.rows("pack");
    let row = rows.iter().find(|row| row.text("group").as_deref() == Some(DRIVE_GROUP))?;
    Some(nominal_cell_voltage_v(row.choice("chemistry")?)? * f64::from(row.integer("cells_in_series")?))
}

fn check_currents(checks: &mut Checks<'_>) {
    let current = "controller.battery_current";
    if let (Some(limit_a), Some(packs_a)) = (checks.written(current), drive_sum(checks, "bms_discharge"))
        && limit_a > packs_a
    {
        checks.doubt(
            &[current, "pack[1].bms_discharge"],
            format!(
                "the controller may take {}, but the packs hold only {} together",
                text(limit_a, Quantity::Current),
                text(packs_a, Quantity::Current)
            ),
            "At full throttle the packs may switch off: set the controller lower, so low that it holds with one pack out.",
        );
    }
    let undervoltage = "controller.undervoltage";
    if let (Some(cut_v), Some(bank_v)) = (checks.written(undervoltage), drive_voltage_v(checks))
        && cut_v >= bank_v
    {
        checks.error(
            &[undervoltage, "pack[1].cells_in_series"],
            format!(
                "the controller cuts back at {}, not below the bank's nominal {}",
                text(cut_v, Quantity::Voltage),
                text(bank_v, Quantity::Voltage)
            ),
            "Check the setting and the cells in series.",
        );
    }
}

fn check_motor(checks: &mut Checks<'_>) {
    let (rated, peak) = ("motor.rated_power", "motor.peak_power");
    let Some(rated_w) = checks.value(rated) else { return };
    if let Some(peak_w) = checks.written(peak)
        && peak_w < rated_w
    {
        checks.error(
            &[peak, rated],
            "the peak power is below the rated power".to_owned(),
            "Check which of the two is wrong, or whether they are swapped.",
        );
    }
    if let Some(limit_w) = checks.written("controller.power_limit")
        && limit_w < 0.5 * rated_w
    {
        checks.doubt(
            &["controller.power_limit", rated],
            format!(
                "the controller is set to {}, less than half of the motor's {}",
                text(limit_w, Quantity::Power),
                text(rated_w, Quantity::Power)
            ),
            "Leave it if that is meant.",
        );
    }
    let Some(bank_v) = drive_voltage_v(checks) else { return };
    let current = "controller.battery_current";
    if let Some(limit_a) = checks.written(current)
        && limit_a * bank_v < 0.6 * rated_w
    {
        checks.doubt(
            &[current, rated, "pack[1].cells_in_series"],
            format!(
                "{} from {} is {}, far below the motor's {}",
                text(limit_a, Quantity::Current),
                text(bank_v, Quantity::Voltage),
                text(limit_a * bank_v, Quantity::Power),
                text(rated_w, Quantity::Power)
            ),
            "The motor cannot be used fully; check the limit.",
        );
    }
    let (speed, constant) = ("motor.rated_speed", "motor.speed_constant");
    if let (Some(rated_rev_s), Some(constant_rev_s_v)) = (checks.value(speed), checks.value(constant)) {
        let free_rev_s = constant_rev_s_v * bank_v;
        if checks.document.flag("controller.field_weakening") != Some(true) && rated_rev_s > free_rev_s {
            checks.doubt(
                &[speed, constant, "pack[1].cells_in_series"],
                format!(
                    "the rated speed of {:.0} rpm is not reached from {}: unloaded it turns {:.0} rpm",
                    rated_rev_s / RPM_REV_S,
                    text(bank_v, Quantity::Voltage),
                    free_rev_s / RPM_REV_S
                ),
                "Check the speed constant and the cells in series.",
            );
        }
    }
}
