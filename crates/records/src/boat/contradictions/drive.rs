//! Contradictions among packs, bank, controller and motor.

use super::Checks;
use crate::boat::build::read_drives;
use crate::boat::choice::{CellKind, Chosen};
use crate::boat::document::DRIVE_GROUP;
use std::collections::BTreeMap;
use wakewright_core::field;
use wakewright_units::factors::RPM_REV_S;
use wakewright_units::{Digits, Quantity, UnitSystem, format_quantity};

/// Nominal voltage of one cell \[V\]; common practice, no source.
#[must_use]
pub fn nominal_cell_voltage_v(cells: CellKind) -> f64 {
    match cells {
        CellKind::Lfp => 3.2,
        CellKind::Nmc => 3.65,
        CellKind::LeadFlooded | CellKind::Agm | CellKind::Gel => 2.0,
    }
}

/// Voltages of one cell between which a nominal voltage may be printed \[V\]: from nearly empty to
/// fully charged; common practice, no source.
fn printed_cell_voltage_v(cells: CellKind) -> (f64, f64) {
    match cells {
        CellKind::Lfp => (3.0, 3.5),
        CellKind::Nmc => (3.4, 3.9),
        CellKind::LeadFlooded | CellKind::Agm | CellKind::Gel => (1.95, 2.2),
    }
}

pub(super) fn check(checks: &mut Checks<'_>) {
    check_pack_voltages(checks);
    check_groups(checks);
    check_further_banks(checks);
    check_reserve(checks);
    check_currents(checks);
    check_volts(checks);
    check_charge(checks);
    check_side_by_side(checks);
    check_house_bank(checks);
    check_motor(checks);
    check_drives(checks);
}

fn check_drives(checks: &mut Checks<'_>) {
    let document = checks.document;
    let fitted = document.integer(field::motor::COUNT).unwrap_or(1);
    let running = document.integer(field::motor::RUNNING).unwrap_or(fitted);
    if running > fitted {
        checks.error(
            &[field::motor::RUNNING, field::motor::COUNT],
            format!("{running} drives run, but she has {fitted}"),
            "State how many like drives she has, or that fewer run.",
        );
    }
    if fitted < 2 && document.flag(field::bank::FOR_EACH_DRIVE) == Some(true) {
        checks.error(
            &[field::bank::FOR_EACH_DRIVE, field::motor::COUNT],
            "a bank for each drive, but she has one".to_owned(),
            "State that she has 2 like drives, or leave this out.",
        );
    }
}

fn text(si: f64, kind: Quantity) -> String {
    format_quantity(si, kind, UnitSystem::Trade, Digits::Usual)
}

fn check_pack_voltages(checks: &mut Checks<'_>) {
    for row in checks.document.rows(field::pack::SECTION) {
        let address = row.address_of(field::pack::VOLTAGE);
        if let Some(volts) = checks.written(&address).filter(|volts| *volts < 0.0) {
            checks.error(
                &[&address],
                format!("a pack of {volts:.1} V stands with its poles reversed"),
                "Turn it before its last lug is set, prove the poles of each pack with a meter, and write its volts without a minus.",
            );
            continue;
        }
        let (Some(voltage), Some(chemistry), Some(cells)) = (
            row.stated_number(field::pack::VOLTAGE),
            row.chosen::<CellKind>(field::pack::CHEMISTRY),
            row.integer(field::pack::CELLS_IN_SERIES),
        ) else {
            continue;
        };
        let (low, high) = printed_cell_voltage_v(chemistry);
        let each_v = voltage.value_si / f64::from(cells.max(1));
        if !(low - 0.01..=high + 0.01).contains(&each_v) {
            let usual_v = nominal_cell_voltage_v(chemistry) * f64::from(cells);
            let fields = [
                row.address_of(field::pack::VOLTAGE),
                row.address_of(field::pack::CELLS_IN_SERIES),
                row.address_of(field::pack::CHEMISTRY),
            ];
            checks.error(
                &fields.each_ref().map(String::as_str),
                format!(
                    "{} is not the voltage of {cells} cells of {} in series, which is about {}",
                    text(voltage.value_si, Quantity::Voltage),
                    chemistry.word(),
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
    for row in checks.document.rows(field::pack::SECTION) {
        let group = row.text(field::pack::GROUP).unwrap_or_else(|| DRIVE_GROUP.to_owned());
        let Some(first) = first_of.get(&group).cloned() else {
            first_of.insert(group, row.address().to_owned());
            continue;
        };
        let other = |key: &str| field::in_row(&first, key);
        if let (Some(own), Some(of_first)) =
            (row.choice(field::pack::CHEMISTRY), checks.document.choice(&other(field::pack::CHEMISTRY)))
            && own != of_first
        {
            checks.error(
                &[&row.address_of(field::pack::CHEMISTRY), &other(field::pack::CHEMISTRY)],
                format!("{own} and {of_first} are in parallel in the group {group}"),
                "Never put different chemistries in parallel: give one of them another group.",
            );
        }
        if let (Some(own), Some(of_first)) = (
            row.integer(field::pack::CELLS_IN_SERIES),
            checks.document.integer(&other(field::pack::CELLS_IN_SERIES)),
        ) && own != of_first
        {
            checks.error(
                &[&row.address_of(field::pack::CELLS_IN_SERIES), &other(field::pack::CELLS_IN_SERIES)],
                format!("packs with {own} and with {of_first} cells in series are in parallel in the group {group}"),
                "Packs of different voltage must not be in parallel: give one of them another group.",
            );
        }
    }
    let in_first = format!("{}[1]", field::pack::SECTION);
    let has_packs = !first_of.is_empty();
    if has_packs && checks.document.has_section(field::motor::SECTION) && !first_of.contains_key(DRIVE_GROUP)
    {
        checks.error(
            &[field::pack::first::GROUP, &in_first],
            "no pack belongs to the group drive, from which the motor runs".to_owned(),
            "Leave the group out, or write drive, for the packs that feed the motor.",
        );
    }
}

/// A pack outside the drive's group is not estimated: what it lacks leaves it out, and that is said.
fn check_further_banks(checks: &mut Checks<'_>) {
    for row in checks.document.rows(field::pack::SECTION) {
        let Some(group) = row.text(field::pack::GROUP).filter(|_| !row.is_of_drive()) else { continue };
        let has_cells =
            row.integer(field::pack::CELLS_IN_SERIES).is_some() || row.number(field::pack::VOLTAGE).is_some();
        let has_capacity = row.number(field::pack::CAPACITY).is_some();
        let missing = match (has_capacity, has_cells) {
            (true, true) => continue,
            (false, true) => "capacity is",
            (true, false) => "voltage is",
            (false, false) => "capacity and voltage are",
        };
        checks.doubt(
            &[row.address()],
            format!("the {missing} not given for a pack of the group {group}, which is left out"),
            "Give the pack's capacity, and its voltage or its cells in series.",
        );
    }
}

fn check_reserve(checks: &mut Checks<'_>) {
    let fields = [field::bank::RESERVE, field::bank::STATE_OF_CHARGE];
    if !checks.document.has_section(field::bank::SECTION) {
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
        .rows(field::pack::SECTION)
        .iter()
        .filter_map(|row| row.chosen::<CellKind>(field::pack::CHEMISTRY))
        .any(|cells| cells.chemistry().is_lead());
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
    let rows = checks.document.rows(field::pack::SECTION);
    let drive = rows.iter().filter(|row| row.is_of_drive());
    let mut sum = None;
    for row in drive {
        let value = row.stated_number(each)?.value_si * f64::from(row.integer(field::pack::COUNT)?);
        sum = Some(sum.unwrap_or(0.0) + value);
    }
    sum
}

/// Nominal voltage of the drive packs \[V\].
fn drive_voltage_v(checks: &Checks<'_>) -> Option<f64> {
    let rows = checks.document.rows(field::pack::SECTION);
    let row = rows.iter().find(|row| row.is_of_drive())?;
    Some(
        nominal_cell_voltage_v(row.chosen(field::pack::CHEMISTRY)?)
            * f64::from(row.integer(field::pack::CELLS_IN_SERIES)?),
    )
}

fn check_currents(checks: &mut Checks<'_>) {
    let current = field::controller::BATTERY_CURRENT;
    let drives = read_drives(checks.document);
    // Of a bank for each drive those count that feed a drive that runs, and they are alike.
    let has_bank_each = checks.document.flag(field::bank::FOR_EACH_DRIVE) == Some(true);
    let running = f64::from(if has_bank_each { drives.fitted() } else { drives.running });
    if let (Some(limit_a), Some(packs_a)) =
        (checks.written(current), drive_sum(checks, field::pack::BMS_DISCHARGE))
        && running * limit_a > packs_a
    {
        checks.doubt(
            &[current, field::pack::first::BMS_DISCHARGE],
            format!(
                "{} may take {}, but the packs hold only {} together",
                if running > 1.0 { "the controllers" } else { "the controller" },
                text(running * limit_a, Quantity::Current),
                text(packs_a, Quantity::Current)
            ),
            "At full throttle the packs may switch off: set the controller lower, so low that it holds with one pack out.",
        );
    }
    let undervoltage = field::controller::UNDERVOLTAGE;
    if let (Some(cut_v), Some(bank_v)) = (checks.written(undervoltage), drive_voltage_v(checks))
        && cut_v >= bank_v
    {
        checks.error(
            &[undervoltage, field::pack::first::CELLS_IN_SERIES],
            format!(
                "the controller cuts back at {}, not below the bank's nominal {}",
                text(cut_v, Quantity::Voltage),
                text(bank_v, Quantity::Voltage)
            ),
            "Check the setting and the cells in series.",
        );
    }
}

/// Nominal volts of the drive's bank as printed, else by its cells \[V\].
fn bank_volts_v(checks: &Checks<'_>) -> Option<f64> {
    let rows = checks.document.rows(field::pack::SECTION);
    let first = rows.iter().find(|row| row.is_of_drive())?;
    first
        .stated_number(field::pack::VOLTAGE)
        .map(|stated| stated.value_si)
        .or_else(|| drive_voltage_v(checks))
}

/// A controller that stands less than its own bank, at rest or while it is charged.
fn check_volts(checks: &mut Checks<'_>) {
    /// Charging lifts a bank about so far above its nominal volts; common practice, no source.
    const WHILE_CHARGED: f64 = 1.14;
    let stands = field::controller::OVERVOLTAGE;
    let (Some(stands_v), Some(bank_v)) = (checks.written(stands), bank_volts_v(checks)) else { return };
    let fields = [stands, field::pack::first::VOLTAGE, field::pack::first::CELLS_IN_SERIES];
    let volts = |si: f64| text(si, Quantity::Voltage);
    if stands_v <= bank_v {
        checks.error(
            &fields,
            format!("the controller stands {}, no more than the bank's nominal {}", volts(stands_v), volts(bank_v)),
            "It is destroyed when the contactor closes: another controller, or fewer cells in series. Check both figures.",
        );
    } else if stands_v < WHILE_CHARGED * bank_v {
        checks.doubt(
            &fields,
            format!(
                "the controller stands {}, and charging lifts a bank of {} to about {}",
                volts(stands_v),
                volts(bank_v),
                volts(WHILE_CHARGED * bank_v)
            ),
            "It may be destroyed by the charger or by its own braking: another controller, or fewer cells in series.",
        );
    }
}

/// Braking that pushes more into the packs than they take.
fn check_charge(checks: &mut Checks<'_>) {
    let braking = field::controller::REGENERATION_CURRENT;
    if let (Some(pushed_a), Some(taken_a)) =
        (checks.written(braking), drive_sum(checks, field::pack::BMS_CHARGE))
        && pushed_a > taken_a
    {
        checks.doubt(
            &[braking, field::pack::first::BMS_CHARGE],
            format!(
                "braking may push {} into packs that take {} together",
                text(pushed_a, Quantity::Current),
                text(taken_a, Quantity::Current)
            ),
            "The packs open while she brakes, and the controller lifts its own volts: set the braking current lower.",
        );
    }
}

/// Batteries that are taken side by side where the motor would draw currents that no such wiring has.
fn check_side_by_side(checks: &mut Checks<'_>) {
    const UNLIKELY_A: f64 = 300.0;
    let document = checks.document;
    let rows = document.rows(field::pack::SECTION);
    let packs: u32 = rows
        .iter()
        .filter(|row| row.is_of_drive())
        .map(|row| row.integer(field::pack::COUNT).unwrap_or(1))
        .sum();
    let Some(bank_v) = bank_volts_v(checks) else { return };
    let Some(rated_w) = checks.value(field::motor::RATED_POWER) else { return };
    let drawn_a = rated_w / bank_v;
    if packs < 2 || drawn_a < UNLIKELY_A || bank_v > 30.0 {
        return;
    }
    checks.doubt(
        &[field::pack::first::COUNT, field::pack::first::VOLTAGE],
        format!(
            "{packs} packs side by side are {}, from which the motor's {} take {}",
            text(bank_v, Quantity::Voltage),
            text(rated_w, Quantity::Power),
            text(drawn_a, Quantity::Current)
        ),
        "Leave it if that is meant. Where they are wired one behind the other, write them as one pack with all their cells in series.",
    );
}

/// Loads by the hour, and a bank of low volts beside the drive's: which of the two feeds them is not said.
fn check_house_bank(checks: &mut Checks<'_>) {
    const OF_HOUSE_V: f64 = 30.0;
    let document = checks.document;
    let Some(drive_v) = bank_volts_v(checks).filter(|volts| *volts > OF_HOUSE_V) else { return };
    let rows = document.rows(field::pack::SECTION);
    let house = rows.iter().filter(|row| !row.is_of_drive()).find_map(|row| {
        let volts = row.stated_number(field::pack::VOLTAGE)?.value_si;
        (volts <= OF_HOUSE_V).then(|| (row.address().to_owned(), volts))
    });
    let Some((address, volts)) = house.filter(|_| !document.rows(field::house::SECTION).is_empty()) else {
        return;
    };
    checks.doubt(
        &[&address],
        format!(
            "the loads of [[house]] are drawn from the drive's bank of {}, though there is one of {}",
            text(drive_v, Quantity::Voltage),
            text(volts, Quantity::Voltage)
        ),
        "Leave it where a converter feeds that bank from the drive's; take out of [[house]] what it carries by itself.",
    );
}

fn check_motor(checks: &mut Checks<'_>) {
    let (rated, peak) = (field::motor::RATED_POWER, field::motor::PEAK_POWER);
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
    if let Some(limit_w) = checks.written(field::controller::POWER_LIMIT)
        && limit_w < 0.5 * rated_w
    {
        checks.doubt(
            &[field::controller::POWER_LIMIT, rated],
            format!(
                "the controller is set to {}, less than half of the motor's {}",
                text(limit_w, Quantity::Power),
                text(rated_w, Quantity::Power)
            ),
            "Leave it if that is meant.",
        );
    }
    let Some(bank_v) = drive_voltage_v(checks) else { return };
    let current = field::controller::BATTERY_CURRENT;
    if let Some(limit_a) = checks.written(current)
        && limit_a * bank_v < 0.6 * rated_w
    {
        checks.doubt(
            &[current, rated, field::pack::first::CELLS_IN_SERIES],
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
    let (speed, constant) = (field::motor::RATED_SPEED, field::motor::SPEED_CONSTANT);
    if let (Some(rated_rev_s), Some(constant_rev_s_v)) = (checks.value(speed), checks.value(constant)) {
        let free_rev_s = constant_rev_s_v * bank_v;
        if checks.document.flag(field::controller::FIELD_WEAKENING) != Some(true) && rated_rev_s > free_rev_s
        {
            checks.doubt(
                &[speed, constant, field::pack::first::CELLS_IN_SERIES],
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
