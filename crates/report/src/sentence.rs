//! The one sentence with which a page, command or report section opens, made from the results.
//! Not for: tables and pictures.

use wakewright_core::boat::BoatSpec;
use wakewright_core::study::{Figure, SpeedRow, Study};
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, format_number};

use crate::text::Paper;

/// A finding in words: the opening sentence, and what goes with it in one or two more.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// What was found.
    pub sentence: String,
    /// The words of the sentence that name what binds, for emphasis.
    pub binding: String,
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
    Finding { sentence, binding, further }
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
    if let Some(fastest) = reached.last().filter(|row| row.speed_m_s > chosen.speed_m_s) {
        const SURE: f64 = 0.9;
        let doubt = if fastest.share_in_reach < SURE {
            format!(
                ", a speed that she reaches in {} of draws,",
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
    Finding { sentence, binding: String::new(), further }
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
