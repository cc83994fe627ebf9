//! What is said of the way home.

use wakewright_core::passage::Stage;
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, format_number};

use super::Found;
use crate::sentence::cases;
use crate::text::{Finding, Paper, percent};

fn speed(m_s: f64, paper: &Paper) -> String {
    paper.decimals(m_s, Quantity::Speed, 1)
}

/// She stems the stream at no speed.
pub fn never(name: &str, full_m_s: f64, stages: &[Stage]) -> String {
    let against = stages.iter().map(|stage| -stage.along_m_s).fold(0.0, f64::max);
    format!(
        "{name} cannot stem this stream: {} kn against her, and she makes {} kn at full throttle. Say when it ends (until 23:40)",
        format_number(against / KNOT_M_S, 1),
        format_number(full_m_s / KNOT_M_S, 1)
    )
}

/// The sentence.
pub fn finding(name: &str, found: &Found, paper: &Paper) -> Finding {
    let Some(best) = found.best() else { return Finding::default() };
    let leaves = if best.tried.leaves_s > 0.0 {
        format!("wait until {} and leave", found.clock(best.tried.leaves_s))
    } else {
        "leave now".to_owned()
    };
    let figure = speed(best.tried.speed_m_s, paper);
    let left = percent(best.charge.value);
    let home = format!("at {figure} she is home by {} with {left} left", found.clock(best.after_s.value));
    let reserve = percent(found.reserve);
    let is_below = found.charge < found.reserve && found.further.is_none();
    let (sentence, binding) = match best.above_share {
        share if share >= 0.9 => (format!("Yes: {leaves}, and {home}."), String::new()),
        share if share >= 0.1 => (
            format!("Not sure: {leaves}; {home}, above the reserve of {reserve} in {}.", cases(share)),
            "Not sure".to_owned(),
        ),
        _ if is_below => {
            let arrives = match best.there_share {
                there if there >= 0.9 => format!("{home}, at the speed of least energy"),
                there if there >= 0.1 => {
                    format!("{figure}, the speed of least energy, brings her home in {}", cases(there))
                }
                _ => "the bank is empty before she is home".to_owned(),
            };
            let now = percent(found.charge);
            (format!("No: {now} is below the reserve of {reserve} already; {arrives}."), "No".to_owned())
        }
        share => {
            let there = match best.there_share {
                there if there >= 0.9 => "she is home, but below the reserve".to_owned(),
                there if there >= 0.1 => {
                    format!(
                        "she is home below the reserve in {}, else the bank is empty before",
                        cases(there)
                    )
                }
                _ => "the bank is empty before".to_owned(),
            };
            let word = format!("No: she is home above the reserve of {reserve} in {}", cases(share));
            (format!("{word}; at {figure}, the speed of least energy, {there}."), "No".to_owned())
        }
    };
    let lie = found.lie.and_then(|place| found.study.rows.get(place)).map_or_else(String::new, |row| {
        format!(
            " The place to lie: there by {} at {} with {} left, above the reserve in {}.",
            found.clock(row.after_s.value),
            speed(row.tried.speed_m_s, paper),
            percent(row.charge.value),
            cases(row.above_share)
        )
    });
    let stemmed = {
        let way =
            wakewright_core::passage::Way { distance_m: found.distance_m, stages: found.stages.clone() };
        let at_that = way.not_stemmed_until_s(best.tried.leaves_s, best.tried.speed_m_s);
        match (found.stems_from_s, at_that) {
            (Some(until), _) => format!(" She cannot stem it before {}.", found.clock(until)),
            (None, Some(until)) => {
                format!(" At that speed she cannot stem the stream before {}.", found.clock(until))
            }
            (None, None) => String::new(),
        }
    };
    let fastest = found.fastest_m_s.map_or_else(String::new, |most| {
        format!(" Leaving now, faster than {} she does not arrive above the reserve", speed(most, paper))
            + &found.sure_m_s.map_or_else(
                || ".".to_owned(),
                |sure| format!("; up to {} in nine cases of ten.", speed(sure, paper)),
            )
    });
    let turn = found.turn_back_s.map_or_else(
        || " Going on is cheaper than going back from the start.".to_owned(),
        |at| format!(" Going back takes less than going on until {}.", found.clock(at)),
    );
    let is_known = found.tidal.as_ref().is_some_and(|(known_s, _)| best.after_s.p90 < *known_s);
    let after = if is_known {
        ""
    } else if found.stages.len() == 1 && found.is_last_assumed {
        " No stream was told: slack was taken, and a turn tried in the band."
    } else if found.is_last_assumed {
        " What the stream does after the last stated one is not known: slack was taken, and a turn tried in the band."
    } else {
        ""
    };
    let between = match best.there_share {
        there if there < 0.5 => String::new(),
        _ => {
            format!(", home between {} and {}", found.clock(best.after_s.p10), found.clock(best.after_s.p90))
        }
    };
    let left_between = match best.charge {
        charge if charge.p90 <= 0.0 => String::new(),
        charge => {
            format!(", between {} and {} in eight cases of ten", percent(charge.p10), percent(charge.p90))
        }
    };
    let of_first = if found.further.is_some() { " in the bank that is used first" } else { "" };
    let further_banks = found.further.map_or_else(String::new, |charge| {
        format!(
            ", {} in what is used after it, as her document has it; on arrival all of them are told of together",
            percent(charge)
        )
    });
    Finding {
        sentence,
        binding,
        figure: left.clone(),
        fails: best.above_share < 0.1,
        further: format!(
            "{} left now{of_first}{further_banks}; above the reserve of {reserve} in {}{left_between}{between}.{stemmed}{fastest}{turn}{lie}{after} {name}: not \
             for navigation.",
            percent(found.charge),
            cases(best.above_share),
        ),
        ..Finding::default()
    }
}

/// A tidal stream from turn to turn over the next day, with the fastest of each along her way.
fn turns(found: &Found, paper: &Paper) -> Vec<String> {
    const DAY_S: f64 = 86_400.0;
    let of_day = found.stages.iter().take_while(|stage| stage.until_s <= DAY_S).collect::<Vec<_>>();
    let runs = of_day.chunk_by(|a, b| (a.along_m_s > 0.0) == (b.along_m_s > 0.0));
    runs.filter_map(|run| {
        let fastest = run
            .iter()
            .map(|stage| stage.along_m_s)
            .fold(0.0, |a: f64, b| if b.abs() > a.abs() { b } else { a });
        let side = if fastest > 0.0 { "with" } else { "against" };
        let until = found.clock(run.last()?.until_s);
        Some(format!("up to {} {side} her until {until}", speed(fastest.abs(), paper)))
    })
    .collect()
}

/// What runs beside the drive.
fn loads(found: &Found, paper: &Paper) -> String {
    let (is_by_hour, mean_w) = found.loads;
    let mean = paper.quantity(mean_w, Quantity::Power);
    if is_by_hour {
        return format!(
            "Beside the drive her loads by the hour of the day are counted, {mean} over a whole day."
        );
    }
    format!(
        "Beside the drive {mean} are counted, by day and by night: where that is without her navigation lights, add them to the standing \
         load, or give her loads by the hour."
    )
}

/// The streams, and how unsure each is.
pub fn streams(found: &Found, paper: &Paper) -> Vec<String> {
    let told = |stage: &Stage| {
        let what = match stage.along_m_s {
            along if along > 0.0 => format!("{} with her", speed(along, paper)),
            along if along < 0.0 => format!("{} against her", speed(-along, paper)),
            _ => "slack".to_owned(),
        };
        if found.stages.len() == 1 {
            what
        } else if stage.until_s.is_finite() {
            format!("{what} until {}", found.clock(stage.until_s))
        } else {
            format!("then {what}")
        }
    };
    let spreads = found.spreads;
    let stated = match &found.tidal {
        None => found.stages.iter().map(told).collect::<Vec<_>>().join(", ") + ".",
        Some((_, whose)) => {
            format!("{}: {}.", crate::sentence::capitalised(whose), turns(found, paper).join(", "))
        }
    };
    vec![
        stated,
        loads(found, paper),
        format!(
            "In the band each rate is off by {} and {}, the time of its change by {} min, the wind along her way by {}, in eight \
             cases of ten less (own estimate, no source; the wind's from memory).",
            percent(spreads.stream_share),
            paper.decimals(spreads.stream_m_s, Quantity::Speed, 1),
            format_number(spreads.change_s / 60.0, 0),
            paper.decimals(spreads.wind_m_s, Quantity::Speed, 0)
        ),
    ]
}
