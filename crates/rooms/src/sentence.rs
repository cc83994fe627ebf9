//! The one sentence with which a page, command or report section opens, made from the results.
//! Not for: tables and pictures.

use wakewright_core::boat::BoatSpec;
use wakewright_core::study::{Figure, Interval, LONGEST_S, SpeedRow, Study};
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, format_number};

use crate::text::Paper;

/// A finding in words: the opening sentence, and what goes with it in one or two more.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Finding {
    /// What was found.
    pub sentence: String,
    /// The words of the sentence that name what binds, for emphasis.
    pub binding: String,
    /// The figure of the sentence that is set apart.
    pub figure: String,
    /// How sure, and what comes next.
    pub further: String,
}

/// What stops her at full throttle.
#[must_use]
pub fn drive_finding(name: &str, spec: &BoatSpec, study: &Study, paper: &Paper) -> Finding {
    let full = &study.answers.full;
    let speed = study.at_full(Figure::Speed);
    let shaft = study.at_full(Figure::ShaftSpeed);
    let binding = full.held.limit.words().to_owned();
    let shown = |si| paper.decimals(si, Quantity::Speed, 1);
    let sentence = match &full.burst {
        Some(burst) => format!(
            "Held for hours {name} makes {} at {}; {binding} stops her. For some minutes she makes {}.",
            shown(speed.value),
            paper.quantity(shaft.value, Quantity::RotationalSpeed),
            shown(burst.state.speed_m_s),
        ),
        None => format!(
            "At full throttle {name} makes {} at {}; {binding} stops her.",
            shown(speed.value),
            paper.quantity(shaft.value, Quantity::RotationalSpeed),
        ),
    };
    let mut further = format!("Four times in five she makes {}.", paper.band(speed, Quantity::Speed));
    if let Some(wished) = spec.fittings.wished_speed_m_s {
        let gap = wished - speed.value;
        // Half a step of the figures shown.
        if gap > 0.05 * KNOT_M_S {
            further += &format!(" That is {} short of the {} wished for.", shown(gap), shown(wished));
        } else {
            further += &format!(" The {} wished for is within reach.", shown(wished));
        }
    }
    if let Some(next) = &full.next {
        let gain = next.state.speed_m_s - speed.value;
        if gain > 0.02 * speed.value {
            further += &format!(
                " With that out of the way {} would stop her at {}: {} lies unused.",
                next.limit.words(),
                shown(next.state.speed_m_s),
                shown(gain)
            );
        } else {
            further += &format!(" Close behind it {} would stop her.", next.limit.words());
        }
    }
    Finding { sentence, binding, figure: String::new(), further }
}

/// How far she goes.
#[must_use]
pub fn range_finding(name: &str, spec: &BoatSpec, study: &Study, paper: &Paper) -> Finding {
    let reserve = paper.quantity(spec.boat.reserve, Quantity::Share);
    let reached: Vec<&SpeedRow> = study.speeds.iter().filter(|row| row.distance_m.is_some()).collect();
    let Some(slowest) = reached.first() else {
        return Finding {
            sentence: format!(
                "{name} has nothing above her reserve of {reserve}: charge before setting out."
            ),
            binding: String::new(),
            figure: String::new(),
            further: String::new(),
        };
    };
    let chosen = chosen_speed(spec, study).unwrap_or(slowest);
    let miles = |row: &SpeedRow| {
        row.distance_m.map_or(String::new(), |d| paper.quantity(d.value, Quantity::Distance))
    };
    let hours = chosen.duration_s.map_or(String::new(), |d| format_number(d.value / 3600.0, 1));
    let sentence = format!(
        "At {} {name} goes {} in {hours} h down to a reserve of {reserve}.",
        paper.decimals(chosen.speed_m_s, Quantity::Speed, 1),
        miles(chosen),
    );
    let mut further = chosen.distance_m.map_or(String::new(), |d| {
        format!("Four times in five it is {}.", paper.band(d, Quantity::Distance))
    });
    further += &beyond_words(study, chosen, paper);
    if let Some(fastest) = reached.last().filter(|row| row.speed_m_s > chosen.speed_m_s) {
        const SURE: f64 = 0.9;
        let doubt = if fastest.share_in_reach < SURE {
            format!(
                ", a speed that she reaches in {} of samples,",
                paper.quantity(fastest.share_in_reach, Quantity::Share)
            )
        } else {
            String::new()
        };
        further += &format!(
            " At {}{doubt} it is {}.",
            paper.decimals(fastest.speed_m_s, Quantity::Speed, 1),
            miles(fastest)
        );
    }
    Finding { sentence, binding: String::new(), figure: String::new(), further }
}

/// What sun and years make of the miles at `row`, as far as asked; each sentence after a blank.
fn beyond_words(study: &Study, row: &SpeedRow, paper: &Paper) -> String {
    let miles = |interval: Interval| paper.quantity(interval.value, Quantity::Distance);
    let mut said = String::new();
    if let (Some(sun), Some(with_sun), Some(alone)) =
        (&study.beyond.sun, row.beyond.with_sun_m, row.beyond.sun_alone_day_m)
    {
        let month = month_name(sun.month);
        said += &if is_endless(with_sun.value, row.speed_m_s) {
            format!(" With the sun of {month} there is no end to it:")
        } else {
            format!(" With the sun of {month} it is {},", miles(with_sun))
        };
        said += &format!(" and {} a day leave the bank as it was.", miles(alone));
    }
    if let (Some(years), Some(aged)) = (study.beyond.years, row.beyond.aged_m) {
        said += &format!(" After {} years of ageing it is {}.", format_number(years, 0), miles(aged));
    }
    said
}

/// True when a distance at `speed_m_s` is the longest that is followed: sun and loads hold each other.
#[must_use]
pub fn is_endless(distance_m: f64, speed_m_s: f64) -> bool {
    distance_m >= LONGEST_S * speed_m_s * (1.0 - 1e-9)
}

/// The name of a month from 1 to 12.
#[must_use]
pub fn month_name(month: u32) -> &'static str {
    const NAMES: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    NAMES[(month.clamp(1, 12) - 1) as usize]
}

/// The speed that a finding tells of: the cruising speed, else one in the middle of those in reach.
#[must_use]
pub fn chosen_speed<'a>(spec: &BoatSpec, study: &'a Study) -> Option<&'a SpeedRow> {
    let reached: Vec<&SpeedRow> = study.speeds.iter().filter(|row| row.distance_m.is_some()).collect();
    let cruise = spec.fittings.cruising_speed_m_s.and_then(|cruise| {
        let far = |row: &SpeedRow| (row.speed_m_s - cruise).abs();
        reached.iter().min_by(|a, b| far(a).total_cmp(&far(b)))
    });
    cruise.or_else(|| reached.iter().rev().nth(reached.len() / 2)).or(reached.first()).copied()
}

/// What the rival methods for the hull's waves give at full throttle; `None` for a towed hull.
#[must_use]
pub fn second_opinions_sentence(study: &Study, paper: &Paper) -> Option<String> {
    let said: Vec<String> = study
        .second_opinions
        .iter()
        .map(|rival| {
            let speed = paper.decimals(rival.speed_m_s, Quantity::Speed, 1);
            format!("{speed} by {}", rival.method.words())
        })
        .collect();
    (!said.is_empty()).then(|| format!("At full throttle {}.", said.join(", ")))
}
