//! `sail` as text: what the propeller costs, what cancels it, what comes back.
//! Not for: how it is computed.

use wakewright_core::sail::{Mode, ModeIntervals, ModeState, SailRow, SailStudy};
use wakewright_core::study::Interval;
use wakewright_units::factors::{AMPERE_HOUR_C, KNOT_M_S};
use wakewright_units::{Quantity, format_number, unit_for};

use super::drive::{finding_text, notices_text, number_in};
use super::paper::{Ink, Paper};
use super::table::{Align, Table, Titled};
use crate::sentence::Finding;

/// Settings shown over the range of braking.
const SETTINGS: usize = 7;
const DAY_S: f64 = 86_400.0;

/// What was found.
#[must_use]
pub fn sail_finding(name: &str, study: &SailStudy, paper: &Paper) -> Finding {
    let nothing = |sentence| Finding { sentence, binding: String::new(), further: String::new() };
    let Some(row) = study.finding_row() else {
        return nothing(format!("No speed under sail lies within what is known of {name}'s hull."));
    };
    let speed = paper.decimals(row.speed_m_s, Quantity::Speed, 1);
    let lost = |mode: Mode| {
        row.mode(mode)
            .map_or_else(String::new, |m| paper.decimals(m.state.speed_lost_m_s, Quantity::Speed, 2))
    };
    let watts = |w: f64| format!("{} W", format_number(w, 0));
    if study.is_stowed {
        let drag = row.mode(Mode::Held).map_or_else(String::new, |m| paper.band(m.drag_n, Quantity::Force));
        return Finding {
            sentence: format!(
                "At {speed} under sail {name}'s stowed blades cost her {}; nothing comes back.",
                lost(Mode::Held)
            ),
            binding: String::new(),
            further: format!("Four times in five their drag is {drag}."),
        };
    }
    let cancels = row.mode(Mode::WithoutDrag).map_or(0.0, |m| m.state.bank_w);
    let back = match (row.mode(Mode::WithinLoss), row.refusal) {
        (Some(within), _) => format!(
            "turning the motor it puts {} into the bank for {} more of her speed",
            watts(within.state.stored_w),
            paper.decimals(
                (within.state.speed_lost_m_s
                    - row.mode(Mode::Free).map_or(0.0, |free| free.state.speed_lost_m_s))
                .max(0.0),
                Quantity::Speed,
                2
            )
        ),
        (None, Some(refusal)) => format!("nothing comes back, because {}", refusal.words()),
        (None, None) => "nothing comes back".to_owned(),
    };
    let free = if turns(row) {
        format!(" and {} turning free", lost(Mode::Free))
    } else {
        format!("; left free it does not turn below {}", starts(study, paper))
    };
    let sentence = format!(
        "At {speed} under sail the propeller costs {name} {} held{free}; {} from the bank cancel it, and {back}.",
        lost(Mode::Held),
        watts(cancels),
    );
    let mut further = row.mode(Mode::Held).map_or_else(String::new, |m| {
        format!("Four times in five the held drag is {}.", paper.band(m.drag_n, Quantity::Force))
    });
    if is_braked_by_friction(row) {
        further += &match study.free_drags_less_from_m_s {
            Some(from) => format!(
                " Turning free it drags more than held, braked by its own friction: hold the shaft below {}.",
                paper.decimals(from, Quantity::Speed, 1)
            ),
            None => " Turning free it drags more than held, braked by its own friction: hold the shaft."
                .to_owned(),
        };
    }
    if let Some(within) = row.mode(Mode::WithinLoss) {
        further += &format!(" What comes back lies between {} W.", span(within.stored_w, 1.0, 0, " and "));
    }
    if let Some(onset) = study.onset_m_s {
        further +=
            &format!(" Something comes back from {} on.", paper.decimals(onset.value, Quantity::Speed, 1));
    }
    Finding { sentence, binding: String::new(), further }
}

/// True when the shaft turns where it is left free.
fn turns(row: &SailRow) -> bool {
    row.mode(Mode::Free).is_some_and(|free| free.state.shaft_rev_s > 0.0)
}

/// True when the shaft turns, but so slowly that it drags more than held, by what the table shows.
fn is_braked_by_friction(row: &SailRow) -> bool {
    let drag = |mode: Mode| row.mode(mode).map_or(0.0, |m| m.state.drag_n);
    turns(row) && drag(Mode::Free) > 1.005 * drag(Mode::Held)
}

/// The speed at which the water starts the shaft.
fn starts(study: &SailStudy, paper: &Paper) -> String {
    paper.decimals(study.hazards.starts_turning_m_s, Quantity::Speed, 1)
}

/// The whole text.
#[must_use]
pub fn sail_text(name: &str, study: &SailStudy, paper: &Paper) -> String {
    let mut out = finding_text(&sail_finding(name, study, paper), paper);
    for titled in sail_tables(study, paper) {
        out += &titled.render(paper);
    }
    if !study.is_stowed {
        out += &hazards_text(study, paper);
    }
    out += &stopping_text(study, paper);
    out += &notices_text(&study.notices, paper);
    out
}

/// The tables: what the propeller costs, what comes back, braking harder and harder.
#[must_use]
pub fn sail_tables(study: &SailStudy, paper: &Paper) -> Vec<Titled> {
    let mut tables =
        vec![Titled::new("What the propeller costs", drag_table(study, paper), drag_note(study, paper))];
    if !study.is_stowed {
        tables.push(back_table(study, paper));
        tables.extend(settings_table(study, paper));
    }
    tables
}

fn drag_note(study: &SailStudy, paper: &Paper) -> String {
    let mut note = "Speed is what she makes with the drag. Lost: how much faster the same drive of the sails would take her \
                    without it."
        .to_owned();
    let is_continued = |row: &SailRow| {
        row.modes.iter().flatten().any(|mode| mode.state.is_loss_continued && mode.state.drag_n != 0.0)
    };
    if shown(study).any(is_continued) {
        note += " ~: that is faster than her resistance is known, which is continued as steep as it ends.";
    }
    if study.is_stowed {
        return note;
    }
    note += " No drag: turned by the motor so that the propeller neither drags nor pushes.";
    if shown(study).any(|row| !turns(row)) {
        note += &format!(" -: the shaft stands, the water does not start it below {}.", starts(study, paper));
    }
    if shown(study).any(is_braked_by_friction) {
        note += " Where the shaft just turns, braked by its own friction, the blades drag more than held; so did the tested ones.";
    }
    note
}

/// `120-310`.
fn span(interval: Interval, unit: f64, decimals: usize, between: &str) -> String {
    format!(
        "{}{between}{}",
        format_number(interval.p10 / unit, decimals),
        format_number(interval.p90 / unit, decimals)
    )
}

/// Rows at whole knots: a chart has more.
fn shown(study: &SailStudy) -> impl Iterator<Item = &SailRow> {
    study.rows.iter().filter(|row| {
        let knots = row.speed_m_s / KNOT_M_S;
        (knots - knots.round()).abs() < 1e-6
    })
}

/// Speed lost; `~` before one that lies beyond what is known of the hull.
fn lost_cell(state: &ModeState, paper: &Paper) -> String {
    let number = number_in(state.speed_lost_m_s, Quantity::Speed, paper, 2);
    if state.is_loss_continued { format!("~{number}") } else { number }
}

fn drag_table(study: &SailStudy, paper: &Paper) -> Table {
    let unit = unit_for(Quantity::Speed, paper.units).symbol();
    let force = unit_for(Quantity::Force, paper.units).symbol();
    let held = if study.is_stowed { "stowed" } else { "held" };
    let heads = [
        format!("speed\n{unit}"),
        format!("{held}\n{force}"),
        "80 %\nband".to_owned(),
        format!("lost\n{unit}"),
        format!("free\n{force}"),
        "80 %\nband".to_owned(),
        format!("lost\n{unit}"),
        "\nrpm".to_owned(),
        "no drag\nW".to_owned(),
        "80 %\nband".to_owned(),
        "\nrpm".to_owned(),
    ];
    let count = if study.is_stowed { 4 } else { heads.len() };
    let columns: Vec<(&str, Align)> = heads.iter().take(count).map(|h| (h.as_str(), Align::Right)).collect();
    let mut table = Table::new(&columns);
    let force_unit = unit_for(Quantity::Force, paper.units);
    for row in shown(study) {
        let mut cells = vec![number_in(row.speed_m_s, Quantity::Speed, paper, 0)];
        let drag = |mode: Option<&ModeIntervals>| -> Vec<String> {
            let Some(m) = mode else { return vec!["-".to_owned(); 3] };
            let newtons = Interval {
                value: force_unit.from_si(m.drag_n.value),
                p10: force_unit.from_si(m.drag_n.p10),
                p90: force_unit.from_si(m.drag_n.p90),
            };
            vec![format_number(newtons.value, 0), span(newtons, 1.0, 0, "-"), lost_cell(&m.state, paper)]
        };
        let rpm = |m: &ModeIntervals| format_number(60.0 * m.state.shaft_rev_s, 0);
        cells.extend(drag(row.mode(Mode::Held)));
        if let (Some(free), Some(turned)) = (row.mode(Mode::Free), row.mode(Mode::WithoutDrag)) {
            cells.extend(drag(Some(free)));
            cells.push(if turns(row) { rpm(free) } else { "-".to_owned() });
            cells.push(format_number(turned.bank_w.value, 0));
            cells.push(span(turned.bank_w, 1.0, 0, "-"));
            cells.push(rpm(turned));
        }
        table.row(Ink::Plain, cells);
    }
    table
}

fn back_table(study: &SailStudy, paper: &Paper) -> Titled {
    let unit = unit_for(Quantity::Speed, paper.units).symbol();
    let loss = paper.decimals(study.loss_m_s, Quantity::Speed, 2);
    let heads = [
        format!("speed\n{unit}"),
        format!("W for\n{loss}"),
        "80 %\nband".to_owned(),
        "Ah an\nhour".to_owned(),
        "kWh a\nday".to_owned(),
        "Ah a\nday".to_owned(),
        "W at\nmost".to_owned(),
        "80 %\nband".to_owned(),
        format!("lost\n{unit}"),
        "volts if\ncut off".to_owned(),
    ];
    let columns: Vec<(&str, Align)> = heads.iter().map(|h| (h.as_str(), Align::Right)).collect();
    let mut table = Table::new(&columns);
    for row in shown(study) {
        let mut cells = vec![number_in(row.speed_m_s, Quantity::Speed, paper, 0)];
        match (row.mode(Mode::WithinLoss), row.mode(Mode::Greatest)) {
            (Some(within), Some(most)) => {
                let charge_ah = |seconds: f64| within.state.stored_a * seconds / AMPERE_HOUR_C;
                cells.push(format_number(within.stored_w.value, 0));
                cells.push(span(within.stored_w, 1.0, 0, "-"));
                cells.push(format_number(charge_ah(3600.0), 1));
                cells.push(format_number(within.state.stored_w * DAY_S / 3.6e6, 1));
                cells.push(format_number(charge_ah(DAY_S), 0));
                cells.push(format_number(most.stored_w.value, 0));
                cells.push(span(most.stored_w, 1.0, 0, "-"));
                cells.push(lost_cell(&most.state, paper));
            }
            _ => cells.extend(vec!["-".to_owned(); 8]),
        }
        cells.push(row.volts_without_bank_v.map_or_else(|| "-".to_owned(), |volts| format_number(volts, 0)));
        table.row(Ink::Plain, cells);
    }
    let mut note = format!(
        "For {loss}: for at most so much of her speed beyond what the free shaft costs. Watts and amp-hours that stay in the \
         cells, after motor, controller and charging losses. -: nothing comes back, or no volts because the shaft does \
         not start by itself."
    );
    if let Some(refusal) = study.prepared.refusal() {
        note += &format!(" Nothing comes back at any speed: {}.", refusal.words());
    }
    Titled::new("What comes back", table, note)
}

fn settings_table(study: &SailStudy, paper: &Paper) -> Option<Titled> {
    let row = study.finding_row()?;
    let settings = study.prepared.braking_range(row.speed_m_s, SETTINGS);
    if settings.is_empty() {
        return None;
    }
    let unit = unit_for(Quantity::Speed, paper.units).symbol();
    let lost = format!("lost\n{unit}");
    let mut table = Table::new(&[
        ("motor brakes\nN m", Align::Right),
        ("shaft\nrpm", Align::Right),
        ("drag\nN", Align::Right),
        (&lost, Align::Right),
        ("from the\nbank, W", Align::Right),
        ("into the\ncells, W", Align::Right),
    ]);
    for state in settings {
        table.row(
            Ink::Plain,
            vec![
                format_number(state.brake_torque_n_m, 2),
                format_number(60.0 * state.shaft_rev_s, 0),
                format_number(state.drag_n, 0),
                lost_cell(&state, paper),
                format_number(state.bank_w, 0),
                format_number(state.stored_w, 0),
            ],
        );
    }
    let speed = paper.decimals(row.speed_m_s, Quantity::Speed, 1);
    Some(Titled::new(format!("Braking harder and harder at {speed}"), table, ""))
}

fn hazards_text(study: &SailStudy, paper: &Paper) -> String {
    format!("\nWhat may happen\n{}", paper.wrap(&hazard_words(study, paper), 2))
}

fn stopping_text(study: &SailStudy, paper: &Paper) -> String {
    let words = stopping_words(study, paper);
    if words.is_empty() { words } else { format!("\nTied up, and stopping\n{}", paper.wrap(&words, 2)) }
}

/// Pull ahead and astern and the crash stop, in words; empty when she makes no way.
#[must_use]
pub fn stopping_words(study: &SailStudy, paper: &Paper) -> String {
    let Some(stopping) = &study.stopping else { return String::new() };
    let force = |pull: Interval| {
        format!("{} ({})", paper.quantity(pull.value, Quantity::Force), paper.band(pull, Quantity::Force))
    };
    let mut said = match (stopping.ahead_n, stopping.astern_n) {
        (Some(ahead), Some(astern)) => {
            format!("Tied to a quay she pulls {} ahead and {} astern.", force(ahead), force(astern))
        }
        (Some(ahead), None) => format!(
            "Tied to a quay she pulls {} ahead. What folding blades give astern is not known here: much less than fixed ones, \
             so that she stops late. Try it where there is room, before it is needed.",
            force(ahead)
        ),
        _ => String::new(),
    };
    if let (Some(way), Some(time)) = (stopping.distance_m, stopping.duration_s) {
        said += &format!(
            " From {}, her full speed, a crash stop takes her {} ({}) and {} s ({}), from when the shaft turns astern.",
            paper.decimals(stopping.from_m_s.value, Quantity::Speed, 1),
            paper.quantity(way.value, Quantity::Length),
            paper.band(way, Quantity::Length),
            format_number(time.value, 0),
            span(time, 1.0, 0, " to "),
        );
    }
    said
}

/// What may happen under sail with the bank cut off or the shaft left free, in words.
#[must_use]
pub fn hazard_words(study: &SailStudy, paper: &Paper) -> String {
    let hazards = &study.hazards;
    let speed = |si: f64| paper.decimals(si, Quantity::Speed, 1);
    let volts = |si: f64| paper.quantity(si, Quantity::Voltage);
    let mut said = format!(
        "From about {} through the water, or in a stream at anchor, the propeller starts to turn a shaft that is left free.",
        speed(hazards.starts_turning_m_s)
    );
    match (hazards.controller_limit_v, hazards.controller_limit_at_m_s) {
        (Some(limit), Some(at)) => {
            said += &format!(
                " With the bank cut off the free propeller passes the {} that the controller stands at {}.",
                volts(limit),
                speed(at)
            );
        }
        (Some(limit), None) => {
            said += &format!(
                " With the bank cut off the free propeller does not reach the {} that the controller stands.",
                volts(limit)
            );
        }
        (None, _) => {
            said += &format!(
                " Hold \"volts if cut off\" against what controller and capacitors stand (controller.overvoltage is not \
                 given; the packs end at {}).",
                volts(hazards.bank_highest_v)
            );
        }
    }
    said
}
