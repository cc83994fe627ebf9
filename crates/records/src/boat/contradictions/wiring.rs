//! Runs, fuses and contactors against each other and against the bank. What cannot be is an error; what is there and
//! dangerous is doubted, so that every room still answers. Not for: the rules of the wiring (its room).

use super::Checks;
use crate::boat::build::{is_same, place_name, told};
use crate::boat::choice::{CellKind, VoltsKind};
use crate::boat::document::Row;
use wakewright_core::field;
use wakewright_core::wiring::{CONTROLLER, MOTOR, PACK, Poles, STUDS, Size, read_studs};

/// Share of the battery's limit below which a motor's limit is doubted: the bank never gives more than the motor takes, so
/// that such figures are likely exchanged.
const LESS_BY: f64 = 0.75;
/// Length of a run that is doubted \[m\].
const LONG_M: f64 = 25.0;
/// Places that a run may end at.
const KNOWN: [&str; 12] = [
    CONTROLLER,
    MOTOR,
    "busbar",
    "charger",
    "panels",
    "house",
    "radio",
    "navigation lights",
    "lights",
    "12 v",
    "bilge pump",
    "pump",
];

pub(super) fn check(checks: &mut Checks<'_>) {
    let document = checks.document;
    let cables = document.rows(field::cable::SECTION);
    check_names(checks, &cables, field::cable::NAME);
    check_names(checks, &document.rows(field::fuse::SECTION), field::fuse::NAME);
    check_names(checks, &document.rows(field::contactor::SECTION), field::contactor::NAME);
    for row in &cables {
        check_size(checks, row);
    }
    if !cables.is_empty() {
        check_ways(checks, &cables);
        check_apart(checks, &cables);
    }
    for row in document.rows(field::panel::SECTION) {
        let count = row.integer(field::panel::COUNT).unwrap_or(1);
        if let Some(in_series) = row.integer(field::panel::IN_SERIES).filter(|n| *n > 0 && count % n != 0) {
            checks.doubt(
                &[&row.address_of(field::panel::IN_SERIES), &row.address_of(field::panel::COUNT)],
                format!("{count} panels in strings of {in_series}"),
                "Strings side by side have as many panels each: give the panels of another string a section of their own.",
            );
        }
    }
    let fuses = document.rows(field::fuse::SECTION);
    for row in &fuses {
        check_home(checks, row, &cables, field::fuse::CABLE);
        check_fuse(checks, row, &cables);
    }
    for row in &document.rows(field::contactor::SECTION) {
        check_home(checks, row, &cables, field::contactor::CABLE);
    }
    if document.chosen(field::wiring::POLES) == Some(Poles::Floating)
        && document.flag(field::wiring::BOTH_POLES_FUSED) == Some(false)
    {
        checks.doubt(
            &[field::wiring::BOTH_POLES_FUSED, field::wiring::POLES],
            "a floating bank with one pole unfused".to_owned(),
            "A fault between the unfused pole and another one has nothing that opens it: fuse and switch both poles at the source.",
        );
    }
    if document.flag(field::wiring::SHUNT) == Some(false) {
        checks.doubt(
            &[field::wiring::SHUNT],
            "no shunt: what is left in the bank is anybody's guess".to_owned(),
            "Fit one in the negative with every current through it; volts tell little of a lithium bank's charge.",
        );
    }
    if let (Some(phase), Some(battery)) =
        (checks.written(field::controller::PHASE_CURRENT), checks.written(field::controller::BATTERY_CURRENT))
        && !cables.is_empty()
        && phase < LESS_BY * battery
    {
        checks.doubt(
            &[field::controller::PHASE_CURRENT, field::controller::BATTERY_CURRENT],
            format!("a motor current of {phase:.0} A below the battery's {battery:.0} A"),
            "The motor's leads carry at least what the bank gives, at low throttle several times it: look at the controller's settings.",
        );
    }
}

/// Two alike.
fn check_names(checks: &mut Checks<'_>, rows: &[Row<'_>], key: &str) {
    for (place, row) in rows.iter().enumerate() {
        let Some(name) = row.text(key) else { continue };
        let alike =
            rows[..place].iter().find(|other| other.text(key).is_some_and(|other| is_same(&other, &name)));
        if let Some(other) = alike {
            let fields = [row.address_of(key), other.address_of(key)];
            checks.error(
                &[&fields[0], &fields[1]],
                format!("two are named {name}"),
                "Give each a name of its own.",
            );
        }
    }
}

fn check_size(checks: &mut Checks<'_>, row: &Row<'_>) {
    let size = row.address_of(field::cable::SIZE);
    if let Some(text) = row.text(field::cable::SIZE)
        && Size::parse(&text).is_none()
    {
        let sizes: Vec<String> = Size::all().map(Size::words).collect();
        let advice = format!("Write a stock size: {}.", sizes.join(", "));
        checks.error(&[&size], format!("{text} is no stock size of a conductor"), &advice);
    }
    let stud = row.address_of(field::cable::STUD);
    if let Some(text) = row.text(field::cable::STUD).filter(|text| read_studs(text).is_none()) {
        let advice = format!("Write one of {}, or two with a comma between.", STUDS.join(", "));
        checks.error(&[&stud], format!("{text} is no stud for which lugs are stocked"), &advice);
    }
    let length = row.address_of(field::cable::LENGTH);
    if let Some(metres) = checks.written(&length).filter(|metres| *metres > LONG_M) {
        checks.doubt(
            &[&length],
            format!("a run of {metres:.0} m aboard"),
            "Give the length one way, along the conductor.",
        );
    }
}

/// Each run begins and ends somewhere that is known or that another run touches; the controller hangs on a pack.
fn check_ways(checks: &mut Checks<'_>, cables: &[Row<'_>]) {
    let packs: u32 = checks
        .document
        .rows(field::pack::SECTION)
        .iter()
        .filter(|row| row.is_of_drive())
        .filter_map(|row| row.integer(field::pack::COUNT))
        .sum();
    let ends: Vec<(usize, &str, String)> = cables
        .iter()
        .enumerate()
        .flat_map(|(place, row)| {
            [field::cable::FROM, field::cable::TO].map(|key| Some((place, key, place_name(&row.text(key)?))))
        })
        .flatten()
        .collect();
    for (place, key, name) in &ends {
        let touching = ends.iter().filter(|(.., other)| other == name).count();
        let pack = name.strip_prefix(PACK).and_then(|number| number.trim().parse::<u32>().ok());
        let is_pack = name == PACK || pack.is_some_and(|number| (1..=packs).contains(&number));
        if !is_pack && !KNOWN.contains(&name.as_str()) && touching < 2 {
            checks.error(
                &[&cables[*place].address_of(key)],
                format!("a cable to {name}, where nothing else is"),
                "Name a place that another run touches, or pack, pack 2, busbar, controller, motor, charger, panels, house, radio, \
                 navigation lights or bilge pump.",
            );
        }
    }
    for pair in ends.chunks(2) {
        if let [(place, key, from), (_, _, to)] = pair
            && from == to
        {
            checks.error(
                &[&cables[*place].address_of(key)],
                format!("both ends of a cable are at {from}"),
                "Tell the place that it leads to, or leave it out.",
            );
        }
    }
    // Spread from the packs along the runs.
    let mut fed: Vec<String> =
        ends.iter().map(|(.., name)| name.clone()).filter(|name| name.starts_with(PACK)).collect();
    for _ in cables {
        for pair in ends.chunks(2) {
            let [(_, _, from), (_, _, to)] = pair else { continue };
            if fed.contains(from) != fed.contains(to) {
                fed.extend([from.clone(), to.clone()]);
            }
        }
    }
    let name = |place: usize, key: &str| cables[place].address_of(key);
    if !fed.iter().any(|name| name == CONTROLLER) {
        checks.error(
            &[&name(0, field::cable::TO)],
            "no run leads from the packs to the controller".to_owned(),
            "Tell every run on the way from a pack to the controller, or none.",
        );
    }
    for (place, key, _) in ends.iter().filter(|(.., end)| !fed.contains(end) && end != MOTOR) {
        checks.error(
            &[&name(*place, key)],
            "a run that hangs on no source".to_owned(),
            "Tell the run that joins it to a pack or the busbar.",
        );
    }
}

/// A run is at least as long as its ends stand apart, and a mass that says which place it is names one of the runs' ends.
fn check_apart(checks: &mut Checks<'_>, cables: &[Row<'_>]) {
    let parts = told(checks.document);
    for row in cables {
        let cable = parts
            .cables
            .iter()
            .find(|cable| row.text(field::cable::NAME).is_some_and(|name| name == cable.name));
        if let Some((cable, apart_m)) = cable.and_then(|cable| Some((cable, parts.apart_m(cable)?)))
            && cable.length_m < apart_m - PLACED_WITHIN_M
        {
            checks.doubt(
                &[&row.address_of(field::cable::LENGTH)],
                format!("a run of {:.1} m between ends that stand {apart_m:.1} m apart", cable.length_m),
                "Measure along its way, or mend where the masses say that its ends stand (mass.aft, height, aside).",
            );
        }
    }
    for row in checks.document.rows(field::mass::SECTION) {
        let Some(text) = row.text(field::mass::PLACE) else { continue };
        let name = place_name(&text);
        if !parts.cables.iter().any(|cable| cable.from == name || cable.to == name) {
            checks.doubt(
                &[&row.address_of(field::mass::PLACE)],
                format!("no run of cable begins or ends at {text}"),
                "Name a place as the runs name it, or leave it out.",
            );
        }
    }
}

/// Ends are placed by their middles and within so much \[m\]; judgement.
const PLACED_WITHIN_M: f64 = 0.5;

/// The cable that a fuse or contactor names.
fn check_home(checks: &mut Checks<'_>, row: &Row<'_>, cables: &[Row<'_>], key: &str) {
    let Some(wanted) = row.text(key) else { return };
    if !cables.iter().any(|cable| cable.text(field::cable::NAME).is_some_and(|name| is_same(&name, &wanted)))
    {
        let names: Vec<String> = cables.iter().filter_map(|cable| cable.text(field::cable::NAME)).collect();
        let advice = if names.is_empty() {
            "Give its run a [[cable]] table with this name.".to_owned()
        } else {
            format!("The runs are {}.", names.join(", "))
        };
        checks.error(&[&row.address_of(key)], format!("there is no cable named {wanted}"), &advice);
    }
}

/// Volts to which the bank is charged, equalising with it.
pub(super) fn highest_bank_v(checks: &Checks<'_>) -> Option<f64> {
    let rows = checks.document.rows(field::pack::SECTION);
    let first = rows.iter().find(|row| row.is_of_drive())?;
    let cells = first.integer(field::pack::CELLS_IN_SERIES)?;
    let chemistry = first.chosen::<CellKind>(field::pack::CHEMISTRY)?.chemistry();
    Some(f64::from(cells) * chemistry.window().equalising_v)
}

fn check_fuse(checks: &mut Checks<'_>, row: &Row<'_>, cables: &[Row<'_>]) {
    let voltage = row.address_of(field::fuse::VOLTAGE);
    let kind = row.address_of(field::fuse::VOLTAGE_KIND);
    if row.chosen(field::fuse::VOLTAGE_KIND) == Some(VoltsKind::Alternating) {
        checks.doubt(
            &[&kind, &voltage],
            "a fuse whose sheet tells alternating volts alone".to_owned(),
            "It says nothing of direct current, which does not put out its own arc: look for direct volts on the sheet.",
        );
    }
    let highest = highest_bank_v(checks);
    if let (Some(volts), Some(highest)) = (checks.written(&voltage), highest)
        && volts < highest
    {
        checks.doubt(
            &[&voltage],
            format!("a fuse of {volts:.0} V on a bank that is charged to {highest:.1} V"),
            "It may go on burning: take one for more direct volts.",
        );
    }
    let rating = row.address_of(field::fuse::RATING);
    let is_main = cables.iter().any(|cable| {
        let is_its = cable
            .text(field::cable::NAME)
            .zip(row.text(field::fuse::CABLE))
            .is_some_and(|(a, b)| is_same(&a, &b));
        is_its && cable.text(field::cable::TO).is_some_and(|to| place_name(&to) == CONTROLLER)
    });
    if let (true, Some(amperes), Some(limit)) =
        (is_main, checks.written(&rating), checks.written(field::controller::BATTERY_CURRENT))
        && amperes < limit
    {
        checks.doubt(
            &[&rating, field::controller::BATTERY_CURRENT],
            format!("a fuse of {amperes:.0} A before a controller that takes {limit:.0} A"),
            "It opens at full throttle: take a larger one with a conductor to match, or lower the controller's limit.",
        );
    }
}
