//! What stands for the figures of a drive that its owner does not know.

use super::choice::CellKind;
use super::document::Row;
use super::guess::Filling;
use wakewright_core::battery::{Chemistry, PackGroup, likely_cells};
use wakewright_core::drive::ReductionKind;
use wakewright_core::field;
use wakewright_core::propeller::Pattern;

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

pub(super) fn fill_drive(f: &mut Filling<'_>) -> Option<()> {
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
    // A diameter that was typed is judged later; one that cannot be gives no pitch.
    let diameter = f.number(field::propeller::DIAMETER).filter(|diameter| *diameter > 0.0)?;
    f.put(field::propeller::PITCH, pitch.clamp(0.45 * diameter, 1.0 * diameter), 0.82, 1.22);
    Some(())
}
