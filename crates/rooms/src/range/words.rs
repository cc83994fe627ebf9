//! What is said of the range: the finding, what the miles stand on, how the tables are read.

use wakewright_core::study::{Interval, SpeedRow, StateFigure, Study};
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, format_number};

use crate::sentence::month_name;
use crate::text::Finding;
use crate::text::{Paper, percent};

/// A speed that fewer samples than this reach is told of with its share.
const SURE: f64 = 0.9;

/// How far she goes at her cruising speed or the one that was asked for; or why not there.
pub fn finding(name: &str, study: &Study, paper: &Paper) -> Finding {
    let reserve = percent(study.boat.reserve);
    let reached: Vec<&SpeedRow> = study.speeds.iter().filter(|row| row.distance_m.is_some()).collect();
    let (Some(chosen), Some(fastest)) = (study.finding_row(), reached.last()) else {
        let sentence =
            format!("{name} has nothing above her reserve of {reserve}: charge before setting out.");
        return Finding { sentence, ..Finding::default() };
    };
    let knots = |m_s: f64| paper.decimals(m_s, Quantity::Speed, 1);
    let miles = |row: &SpeedRow| {
        row.distance_m.map_or_else(String::new, |d| paper.quantity(d.value, Quantity::Distance))
    };
    let hours = chosen.duration_s.map_or_else(String::new, |d| format_number(d.value / 3600.0, 1));
    let figure = miles(chosen);
    let asked_m_s = study.questions.finding_speed_m_s;
    let out_of_reach = asked_m_s.filter(|asked| (asked / chosen.speed_m_s - 1.0).abs() > 1e-6);
    let (who, before) = match out_of_reach {
        Some(asked) => {
            let full = study.at_full(StateFigure::Speed).value;
            let (asked, full) = apart(asked, full, paper);
            ("she", format!("{name} does not reach {asked}: full throttle is {full}. "))
        }
        None => (name, String::new()),
    };
    let sentence = format!(
        "{before}At {} {who} goes {figure} in {hours} h down to a reserve of {reserve}.",
        fine_speed(chosen.speed_m_s, paper)
    );
    let mut further = chosen.distance_m.map_or_else(String::new, |d| {
        format!("Four times in five it is {}.", paper.band(d, Quantity::Distance))
    });
    if chosen.share_in_reach < SURE {
        further += &format!(" She reaches that speed in {} of samples.", percent(chosen.share_in_reach));
    }
    further += &beyond(study, chosen, paper);
    if fastest.speed_m_s > chosen.speed_m_s {
        let at = knots(fastest.speed_m_s);
        let at = if fastest.is_full { format!("full throttle, {at},") } else { at };
        further += &format!(" At {at} it is {}.", miles(fastest));
    }
    Finding { sentence, figure, further, ..Finding::default() }
}

/// A speed that was asked for, with as many decimals as it has.
pub fn fine_speed(m_s: f64, paper: &Paper) -> String {
    let tenths = 10.0 * m_s / KNOT_M_S;
    let is_tenth = (tenths - tenths.round()).abs() < 0.05;
    paper.decimals(m_s, Quantity::Speed, if is_tenth { 1 } else { 2 })
}

/// Two speeds with as many digits as it takes to tell them apart, at most two.
fn apart(one: f64, other: f64, paper: &Paper) -> (String, String) {
    let written = |decimals| {
        (paper.decimals(one, Quantity::Speed, decimals), paper.decimals(other, Quantity::Speed, decimals))
    };
    let (a, b) = written(1);
    if a == b { written(2) } else { (fine_speed(one, paper), b) }
}

/// What sun and years make of the miles at `row`, as far as asked; each sentence after a blank.
fn beyond(study: &Study, row: &SpeedRow, paper: &Paper) -> String {
    let miles = |interval: Interval| paper.quantity(interval.value, Quantity::Distance);
    let asked = &study.questions.beyond;
    let mut said = String::new();
    if let (Some(sun), Some(with_sun), Some(alone)) =
        (&asked.sun, row.with_sun_m(), row.beyond.sun_alone_day_m)
    {
        let month = month_name(sun.month);
        said += &if with_sun.value.is_infinite() {
            format!(" With the sun of {month} there is no end to it,")
        } else {
            format!(" With the sun of {month} it is {},", miles(with_sun))
        };
        said += &format!(" and {} a day leave the bank as it was.", miles(alone));
    }
    if let (Some(years), Some(aged)) = (asked.years, row.beyond.aged_m) {
        said += &format!(" After {} of ageing it is {}.", years_words(years), miles(aged));
    }
    said
}

fn years_words(years: f64) -> String {
    if years == 1.0 {
        return "1 year".to_owned();
    }
    format!("{} years", format_number(years, usize::from(years.fract() != 0.0)))
}

/// What the miles stand on.
pub fn stands_on(study: &Study, paper: &Paper) -> String {
    let boat = &study.boat;
    let further = boat.further.iter().map(|further| {
        let volts = paper.quantity(further.nominal_v(), Quantity::Voltage);
        if further.follows(&boat.bank) {
            format!(
                " Then on \"{}\" ({volts}) down to {}, at speeds that it carries.",
                further.name,
                percent(further.reserve(boat.reserve))
            )
        } else {
            format!(" \"{}\" ({volts}) is not counted: no bank for this drive.", further.name)
        }
    });
    let said = format!(
        "Charge {} to {}, standing load {}, wind {} from ahead, sea margin {}.",
        paper.quantity(boat.bank.state_of_charge, Quantity::Share),
        paper.quantity(boat.reserve, Quantity::Share),
        paper.quantity(study.standing_load_w, Quantity::Power),
        paper.quantity(boat.sea.true_head_wind_m_s, Quantity::Speed),
        paper.quantity(boat.sea.sea_margin, Quantity::Share),
    );
    said + &further.collect::<String>()
}

/// How the table of speeds is read.
pub fn how_to_read(study: &Study, paper: &Paper) -> String {
    let full_m_s = study.at_full(StateFigure::Speed).value;
    let held = match study.speeds.iter().find(|row| row.is_full) {
        Some(row) if row.distance_m.is_none() && study.boat.bank.state_of_charge > study.boat.reserve => {
            " It stands at the bank's own limit and fades from the first minute as the volts fall: no miles are given for it, a \
             little less is held."
        }
        _ => "",
    };
    format!(
        "Full throttle is {}, each sample's own.{held} Miles are through the water: a stream adds or takes its own. \"reached in\" is the share of \
         all samples of the unsure inputs in which she reaches the speed; the bands of a row are over those samples.",
        paper.decimals(full_m_s, Quantity::Speed, 1)
    )
}

/// `with the sun of June`, `after 6 years`, as far as asked.
fn beyond_parts(study: &Study) -> Vec<String> {
    let asked = &study.questions.beyond;
    let sun = asked.sun.as_ref().map(|sun| format!("with the sun of {}", month_name(sun.month)));
    let years = asked.years.map(|years| format!("after {}", years_words(years)));
    sun.into_iter().chain(years).collect()
}

/// `With the sun of June, and after 6 years`.
pub fn beyond_heading(study: &Study) -> String {
    let said = beyond_parts(study).join(", and ");
    let mut letters = said.chars();
    let first = letters.next().map_or_else(String::new, |first| first.to_uppercase().collect());
    first + letters.as_str()
}

/// How the table of sun and years is read.
pub fn beyond_note(study: &Study) -> String {
    let asked = &study.questions.beyond;
    let mut notes = Vec::new();
    if let Some(sun) = &asked.sun {
        notes.push(format!(
            "With sun: leaving at {:02}:00 local mean time, every day one of {}. On sun a day: what leaves the bank as it \
             was, the loads aboard served round the clock.",
            sun.leaves_at,
            month_name(sun.month)
        ));
    }
    if asked.years.is_some() {
        notes.push("Years: lying charged at mild temperatures; cycling takes its own.".to_owned());
    }
    notes.join(" ")
}

/// `At 3.5 kn, with the sun of June or after 6 years where the figure says so`.
pub fn occasion(study: &Study, paper: &Paper) -> String {
    let Some(row) = study.finding_row() else { return "At any speed".to_owned() };
    let speed = format!("At {}", fine_speed(row.speed_m_s, paper));
    let parts = beyond_parts(study);
    if parts.is_empty() { speed } else { format!("{speed}, {} where the figure says so", parts.join(" or ")) }
}
