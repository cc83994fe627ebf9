//! Panels against the room aboard, hours against the day, months against what can be. Not for: computing.

use super::Checks;
use crate::boat::build::mean_house_load;
use crate::boat::build_months::read_months;
use wakewright_core::field;
use wakewright_units::factors::HOUR_S;

/// Power of a square metre of panel \[W/m²\], good cells with their frames. From memory.
const PANEL_W_M2: f64 = 200.0;
/// Share of length times beam that panels can cover before it is doubted.
const MUCH_OF_DECK: f64 = 0.5;

pub(super) fn check(checks: &mut Checks<'_>) {
    check_room(checks);
    check_week(checks);
    check_months(checks);
    check_hours(checks);
    check_standing(checks);
    if let (Some(plug), Some(until)) =
        (checks.written(field::shore::PLUG_IN_AT), checks.value(field::shore::UNTIL))
        && plug >= until
    {
        let problem = "she would plug in at a charge at which she unplugs".to_owned();
        checks.error(&[field::shore::PLUG_IN_AT, field::shore::UNTIL], problem, "Unplug at a higher charge.");
    }
}

/// Part of the larger at which two figures of one load are doubted.
const DIFFERS: f64 = 0.5;

/// One boat has one standing load: what feeds range and bank against the loads by the hour that feed the year.
fn check_standing(checks: &mut Checks<'_>) {
    let (Some(standing), Some(mean)) =
        (checks.written(field::bank::HOUSE_LOAD), mean_house_load(checks.document))
    else {
        return;
    };
    let mean = mean.median;
    if (standing - mean).abs() > DIFFERS * standing.max(mean) {
        let problem = format!(
            "a standing load of {standing:.0} W, and the loads by the hour are {mean:.0} W in the mean"
        );
        checks.doubt(
            &[field::bank::HOUSE_LOAD, field::house::first::POWER],
            problem,
            "Range and bank take the one, the year the others. Make them agree, or leave bank.house_load out.",
        );
    }
}

fn check_room(checks: &mut Checks<'_>) {
    let Some(length) = checks.value(field::hull::LENGTH_OVERALL) else { return };
    let beam = checks.value(field::hull::BEAM_OVERALL).or_else(|| checks.value(field::hull::BEAM_WATERLINE));
    let Some(beam) = beam else { return };
    let rows = checks.document.rows(field::panel::SECTION);
    let power: f64 = rows
        .iter()
        .filter_map(|row| {
            Some(row.number(field::panel::POWER)?.value_si * f64::from(row.integer(field::panel::COUNT)?))
        })
        .sum();
    let Some(first) = rows.first().map(|row| row.address_of(field::panel::POWER)) else { return };
    let (area, deck) = (power / PANEL_W_M2, length * beam);
    let problem = format!(
        "{:.1} kW of panels need about {area:.0} m2, and length times beam is {deck:.0} m2",
        power / 1000.0
    );
    if area > deck {
        checks.error(
            &[&first, field::hull::LENGTH_OVERALL],
            problem,
            "Check power and number of the panels.",
        );
    } else if area > MUCH_OF_DECK * deck {
        checks.doubt(&[&first, field::hull::LENGTH_OVERALL], problem, "Make sure that they find room.");
    }
}

fn check_week(checks: &mut Checks<'_>) {
    let hours = |checks: &Checks<'_>, field: &str| checks.value(field).unwrap_or(0.0) / HOUR_S;
    let asked = hours(checks, field::week::MOTORING) + hours(checks, field::week::SAILING);
    let days = checks.value(field::week::DAYS).unwrap_or(2.0);
    let room = days * (24.0 - checks.value(field::week::LEAVES_AT).unwrap_or(10.0));
    if asked > room + 1e-9 {
        let problem =
            format!("{asked:.0} h under way in a week, and {room:.0} h are left from leaving to midnight");
        checks.error(
            &[field::week::MOTORING, field::week::SAILING, field::week::DAYS],
            problem,
            "Give more days, an earlier hour of leaving or fewer hours.",
        );
    }
}

fn check_months(checks: &mut Checks<'_>) {
    for (field, highest) in [(field::place::CLEARNESS, 0.85), (field::place::SUN, 12.0)] {
        let Some(text) = checks.document.text(field).map(str::to_owned) else { continue };
        if let Err(problem) = read_months(&text, highest) {
            checks.error(&[field], problem, "Write twelve numbers from January, with blanks between them.");
        }
    }
}

fn check_hours(checks: &mut Checks<'_>) {
    let alike: Vec<String> = checks
        .document
        .rows(field::house::SECTION)
        .iter()
        .filter(|row| row.integer(field::house::FROM) == row.integer(field::house::TO))
        .map(|row| row.address_of(field::house::FROM))
        .collect();
    for field in alike {
        let problem = "a load that is on from an hour to the same hour".to_owned();
        checks.error(&[&field], problem, "Round the clock is from 0 to 24.");
    }
}
