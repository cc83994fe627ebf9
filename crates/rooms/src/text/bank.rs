//! `bank` as text: what it holds, how it sags, one pack lost, charging, years. Not for: computing.

use wakewright_core::battery::ventilation::{opening_m2, ventilation_m3_s};
use wakewright_core::battery::{Charging, Chemistry, StoppedBy};
use wakewright_core::boat::BoatSpec;
use wakewright_core::study::{BankStudy, CRUISING, ChargeAtTemperature};
use wakewright_units::factors::{AMPERE_HOUR_C, HOUR_S};
use wakewright_units::{Quantity, format_number, unit_for};

use super::drive::{finding_text, notices_text, number_in, percent};
use super::paper::{Ink, Paper};
use super::table::{Align, Table, Titled};
use crate::sentence::Finding;

const KILOWATT_HOUR_J: f64 = 3.6e6;

/// What was found.
#[must_use]
pub fn bank_finding(name: &str, spec: &BoatSpec, study: &BankStudy, paper: &Paper) -> Finding {
    let reserve = percent(spec.boat.reserve);
    let energy = study.usable_j.get(CRUISING).copied().flatten();
    let sentence = match energy {
        Some(energy) => format!(
            "{name}'s bank gives {} kWh from full to her reserve of {reserve} at cruising speed{}.",
            format_number(energy.value / KILOWATT_HOUR_J, 1),
            one_pack_words(study, paper),
        ),
        None => format!("{name}'s bank cannot carry her cruising load."),
    };
    let mut further = energy.map_or_else(String::new, |e| {
        format!(
            "Four times in five it is {} to {} kWh.",
            format_number(e.p10 / KILOWATT_HOUR_J, 1),
            format_number(e.p90 / KILOWATT_HOUR_J, 1)
        )
    });
    if let (Some(full), Some(low)) =
        (study.sag.first(), study.sag.iter().rfind(|row| row.state_of_charge >= spec.boat.reserve - 1e-9))
    {
        further += &format!(
            " Full she makes {} at most, at {} charge {}.",
            paper.decimals(full.speed_m_s, Quantity::Speed, 1),
            percent(low.state_of_charge),
            paper.decimals(low.speed_m_s, Quantity::Speed, 1)
        );
    }
    Finding { sentence, binding: String::new(), figure: String::new(), further }
}

fn one_pack_words(study: &BankStudy, paper: &Paper) -> String {
    let Some(full) = study.lost.last() else {
        return "; it is one pack, and when that drops out she has no drive".to_owned();
    };
    let speed = |left: Option<(f64, _)>| {
        left.map_or_else(|| "nothing".to_owned(), |(speed, _)| paper.decimals(speed, Quantity::Speed, 1))
    };
    if full.outcome.holds {
        return format!(
            "; with one pack lost the others carry full throttle and {} is left",
            speed(full.left)
        );
    }
    let from = match study.holds_up_to {
        Some(throttle) if throttle >= 0.005 => format!("above {} throttle", percent(throttle)),
        _ => "at any throttle".to_owned(),
    };
    format!(
        "; when one pack drops out {from} the others trip too unless the throttle is eased at once, and {} is left",
        speed(full.left)
    )
}

/// The whole text.
#[must_use]
pub fn bank_text(name: &str, spec: &BoatSpec, study: &BankStudy, paper: &Paper) -> String {
    let mut out = finding_text(&bank_finding(name, spec, study, paper), paper);
    for titled in bank_tables(spec, study, paper) {
        out += &titled.render(paper);
    }
    if study.lost.is_empty() {
        out += "\nOne pack lost\n";
        out += &paper.wrap("There is only one pack: when it drops out she has no drive.", 2);
    }
    out += &gas_text(spec, paper);
    out += &further_text(study, paper);
    out += &notices_text(&study.notices, paper);
    out
}

/// The tables: what it holds, how the packs share, as it empties, one pack lost, charging, years.
#[must_use]
pub fn bank_tables(spec: &BoatSpec, study: &BankStudy, paper: &Paper) -> Vec<Titled> {
    let reserve = percent(spec.boat.reserve);
    let mut tables = vec![
        Titled::new(
            format!("What it holds, from full to {reserve} charge, kWh"),
            holds_table(spec, study, paper),
            "At the loads named, cells as cold as stated. *: the packs' low voltage ends it before the reserve. -: it \
             cannot carry the load. In deep cold at full throttle the cold counts twice: capacities were tested down to a \
             voltage under load, and the sag is reckoned as well; there is then a little more than is given.",
        ),
        Titled::new("How the packs share at full throttle", packs_table(study), ""),
        Titled::new("Full throttle as it empties", sag_table(study, paper), ""),
    ];
    if !study.lost.is_empty() {
        tables.push(Titled::new("One pack lost", lost_table(study, paper), lost_note(spec)));
    }
    tables.push(Titled::new(
        format!("Charging from {reserve} charge"),
        charging_table(study),
        charging_note(spec, study),
    ));
    tables.push(Titled::new(
        "As the years go by",
        ageing_table(study),
        "Lying charged at mild temperatures; cycling takes its own. Bands hold what is unsure of the packs and the load. A \
         capacity test goes before it.",
    ));
    tables
}

/// What the row "they hold" stands on: nothing, where no limit of the packs is given.
fn lost_note(spec: &BoatSpec) -> &'static str {
    if spec.boat.bank.groups.iter().any(|group| group.bms_discharge_a.is_none()) {
        "No limit on discharge is given for the packs: whether they hold is not known. Give pack.bms_discharge, or what \
         their maker allows."
    } else {
        ""
    }
}

fn charging_note(spec: &BoatSpec, study: &BankStudy) -> String {
    let mut note = "Sockets at four fifths of their rating, as plugs stand for hours. The end of a charge, where the cells \
                    limit, may take half or twice the time."
        .to_owned();
    if study.charging.iter().any(|row| !row.is_steady) {
        note += " Panels: their shade is counted, and there are no hours to tell, as no noon lasts; energy has their days.";
    }
    if let Some(amperes) = spec.boat.bank.prepare().ok().map(|bank| bank.cold_charge_limit_a)
        && amperes.is_finite()
        && amperes > 0.0
    {
        note += &format!(" At this temperature the cells take {} A at most.", format_number(amperes, 0));
    }
    note
}

fn holds_table(spec: &BoatSpec, study: &BankStudy, paper: &Paper) -> Table {
    // Nothing stands on the bank: nothing to run it down with.
    let is_load: Vec<bool> = study.loads.iter().map(|load| load.power_w > 0.0).collect();
    let heads: Vec<String> = study
        .loads
        .iter()
        .filter(|load| load.power_w > 0.0)
        .map(|load| format!("{}\n{}", load.words, paper.quantity(load.power_w, Quantity::Power)))
        .collect();
    let temperature = format!("cells\n{}", unit_for(Quantity::Temperature, paper.units).symbol());
    let mut columns: Vec<(&str, Align)> = vec![(&temperature, Align::Right)];
    columns.extend(heads.iter().map(|head| (head.as_str(), Align::Right)));
    columns.push(("may be\ncharged", Align::Left));
    let mut table = Table::new(&columns);
    for row in &study.holds {
        let is_now = (row.temperature_k - spec.boat.bank.temperature_k).abs() < 0.5;
        let mut cells = vec![number_in(row.temperature_k, Quantity::Temperature, paper, 0)];
        let shown = row.energy_j.iter().zip(&is_load).filter(|(_, is_load)| **is_load);
        cells.extend(shown.map(|(found, _)| match found {
            Some((energy, stop)) => {
                let mark = if *stop == StoppedBy::Target { "" } else { "*" };
                format!("{}{mark}", format_number(energy / KILOWATT_HOUR_J, 2))
            }
            None => "-".to_owned(),
        }));
        cells.push(match row.charging {
            ChargeAtTemperature::Nothing => "no".to_owned(),
            ChargeAtTemperature::AtMostA(amperes) => format!("to {} A", format_number(amperes, 0)),
            ChargeAtTemperature::Free => "yes".to_owned(),
        });
        table.row(if is_now { Ink::Strong } else { Ink::Plain }, cells);
    }
    table
}

fn packs_table(study: &BankStudy) -> Table {
    let mut table = Table::new(&[
        ("packs", Align::Right),
        ("each holds\nAh", Align::Right),
        ("of new", Align::Right),
        ("each gives\nA", Align::Right),
        ("of its\nlimit", Align::Right),
    ]);
    for pack in &study.packs {
        let limit = if pack.share_of_limit > 0.0 { percent(pack.share_of_limit) } else { "-".to_owned() };
        let over = pack.share_of_limit > 1.0;
        table.row(
            if over { Ink::Binds } else { Ink::Plain },
            vec![
                pack.count.to_string(),
                format_number(pack.capacity_coulomb / AMPERE_HOUR_C, 0),
                percent(pack.health),
                format_number(pack.current_a, 0),
                limit,
            ],
        );
    }
    table
}

fn sag_table(study: &BankStudy, paper: &Paper) -> Table {
    let speed = format!("speed\n{}", unit_for(Quantity::Speed, paper.units).symbol());
    let mut table = Table::new(&[
        ("charge", Align::Right),
        ("at rest\nV", Align::Right),
        ("loaded\nV", Align::Right),
        (&speed, Align::Right),
        ("what stops her", Align::Left),
    ]);
    for row in &study.sag {
        table.row(
            Ink::Plain,
            vec![
                percent(row.state_of_charge),
                format_number(row.rest_v, 1),
                format_number(row.loaded_v, 1),
                number_in(row.speed_m_s, Quantity::Speed, paper, 2),
                row.limit.words().to_owned(),
            ],
        );
    }
    table
}

fn lost_table(study: &BankStudy, paper: &Paper) -> Table {
    let unit = unit_for(Quantity::Speed, paper.units).symbol();
    let (before, after) = (format!("before\n{unit}"), format!("left\n{unit}"));
    let mut table = Table::new(&[
        ("throttle", Align::Right),
        (&before, Align::Right),
        ("load\nkW", Align::Right),
        ("the rest\ngive, A", Align::Right),
        ("of their\nlimit", Align::Right),
        ("they", Align::Left),
        (&after, Align::Right),
        ("what stops her then", Align::Left),
    ]);
    for row in &study.lost {
        let outcome = &row.outcome;
        let (holds, ink) = if outcome.holds { ("hold", Ink::Plain) } else { ("trip too", Ink::Binds) };
        let limit = outcome.share_of_limit;
        table.row(
            ink,
            vec![
                percent(row.throttle),
                number_in(row.speed_m_s, Quantity::Speed, paper, 1),
                format_number(row.power_w / 1000.0, 2),
                outcome.current_a.map_or_else(|| "-".to_owned(), |a| format_number(a, 0)),
                if limit > 0.0 && limit.is_finite() { percent(limit) } else { "-".to_owned() },
                holds.to_owned(),
                row.left.map_or_else(|| "0".to_owned(), |(v, _)| number_in(v, Quantity::Speed, paper, 1)),
                row.left.map_or_else(String::new, |(_, limit)| short_limit(limit.key())),
            ],
        );
    }
    table
}

fn short_limit(key: &str) -> String {
    key.replace('_', " ")
}

fn charging_table(study: &BankStudy) -> Table {
    let mut table = Table::new(&[
        ("from", Align::Left),
        ("into the\nbank, W", Align::Right),
        ("to 80 %\nh", Align::Right),
        ("to full\nh", Align::Right),
        ("of that the\ncells limit, h", Align::Right),
    ]);
    let hours = |found: Option<Charging>, of: fn(&Charging) -> f64| {
        found.map_or_else(|| "-".to_owned(), |c| format_number(of(&c) / HOUR_S, 1))
    };
    for row in &study.charging {
        table.row(
            Ink::Plain,
            vec![
                row.words.clone(),
                format_number(row.power_w, 0),
                hours(row.to_eighty, |c| c.duration_s),
                hours(row.to_full, |c| c.duration_s),
                hours(row.to_full, |c| c.taper_s),
            ],
        );
    }
    table
}

/// Gas of vented lead-acid and the openings that let it out; empty for other cells.
fn gas_text(spec: &BoatSpec, paper: &Paper) -> String {
    /// Gassing current at the end of a charge, for each coulomb of capacity \[A/C\]: 2 A for 100 Ah.
    const GASSING_A_C: f64 = 2.0 / 360_000.0;
    let vented = spec.boat.bank.groups.iter().filter(|group| group.chemistry == Chemistry::LeadFlooded);
    let air_m3_s: f64 = vented
        .map(|group| {
            let cells = group.cells_in_series * group.packs_in_parallel;
            ventilation_m3_s(cells, GASSING_A_C * group.capacity_coulomb)
        })
        .sum();
    if air_m3_s <= 0.0 {
        return String::new();
    }
    let said = format!(
        "At the end of a charge the cells ask for {} m3 of fresh air an hour: two openings, low and high, of {} cm2 each. \
         Keep sparks 10 cm and more above them away. [en50272-3]",
        format_number(air_m3_s * 3600.0, 1),
        format_number(opening_m2(air_m3_s) * 1e4, 0)
    );
    format!("\nGas\n{}", paper.wrap(&said, 2))
}

fn ageing_table(study: &BankStudy) -> Table {
    let mut table = Table::new(&[
        ("years", Align::Right),
        ("of new", Align::Right),
        ("80 % band", Align::Right),
        ("cruising\nkWh", Align::Right),
        ("80 % band", Align::Right),
    ]);
    for row in &study.ageing {
        let energy = |pick: fn(&wakewright_core::study::Interval) -> f64| {
            row.energy_j.map_or_else(|| "-".to_owned(), |e| format_number(pick(&e) / KILOWATT_HOUR_J, 1))
        };
        table.row(
            Ink::Plain,
            vec![
                format_number(row.years, 0),
                percent(row.health.value),
                format!("{}-{}", percent(row.health.p10).trim_end_matches(" %"), percent(row.health.p90)),
                energy(|e| e.value),
                format!("{}-{}", energy(|e| e.p10), energy(|e| e.p90)),
            ],
        );
    }
    table
}

fn further_text(study: &BankStudy, paper: &Paper) -> String {
    if study.further.is_empty() {
        return String::new();
    }
    let mut out = "\nBanks used after the first\n".to_owned();
    for row in &study.further {
        let full = row.full_throttle.map_or_else(
            || "it cannot move her".to_owned(),
            |(speed, limit)| {
                format!(
                    "full throttle is {}, {} stops her",
                    paper.decimals(speed, Quantity::Speed, 1),
                    limit.words()
                )
            },
        );
        let cruising = row.cruising.map_or_else(
            || "it does not carry the cruising speed".to_owned(),
            |(seconds, joules)| {
                format!(
                    "at cruising speed it lasts {} h and gives {} kWh",
                    format_number(seconds / HOUR_S, 1),
                    format_number(joules / KILOWATT_HOUR_J, 1)
                )
            },
        );
        let volts = paper.quantity(row.nominal_v, Quantity::Voltage);
        out += &paper.wrap_hanging(&format!("- {} ({volts}): {full}; {cruising}.", row.name), 2, 4);
    }
    out += &paper.wrap("Switch over with the drive at rest, never join banks of different voltage.", 2);
    out
}
