//! What is said of a passage.

use wakewright_core::passage::NoPlan;
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, format_number};

use super::asked::Case;
use super::reckoned::Found;
use crate::sentence::cases;
use crate::text::{Finding, Paper, percent};

/// Under the points.
pub const OF_POINTS: &str = "Left: of all cases, 0 where she does not come there. Plan kept and speed anew: cases that come there without having \
                             fallen to the reserve; anew each half hour by what the drive is seen to take, the window given up before the \
                             reserve is. Strong: the end of the weakest leg.";

/// Why there is no plan.
#[must_use]
pub fn no_plan(name: &str, case: &Case, full_m_s: f64, why: NoPlan) -> String {
    let knots = |m_s: f64| format_number(m_s / KNOT_M_S, 1);
    match why {
        NoPlan::CannotStem { leg, at_s, until_s } => {
            let to = &case.route.legs[leg].to;
            let when = until_s.map_or_else(
                || "nor within two days. Say when it ends, or take another way".to_owned(),
                |until_s| {
                    format!(
                        "before {}. Leave later, or give a stop where she may wait for it",
                        case.clock(until_s)
                    )
                },
            );
            format!(
                "{name} cannot stem the stream on the way to {to} that she meets at {}, {} kn through the water at full throttle, {when}.",
                case.clock(at_s),
                knots(full_m_s)
            )
        }
        NoPlan::TooLate { earliest_s } => format!(
            "{name} is not there in time: even at full throttle she arrives at {}, after the window has closed. Leave earlier, or \
             arrive later.",
            case.clock(earliest_s)
        ),
        NoPlan::NoWay => format!(
            "{name}: no speed takes her there inside the window; a stream holds her on the way. Leave at another hour, or give a stop \
             where she may wait."
        ),
    }
}

fn speeds(found: &Found, paper: &Paper) -> String {
    let all = || found.steps.iter().filter_map(|step| step.speed_m_s);
    let (low, high) = (all().fold(f64::INFINITY, f64::min), all().fold(0.0, f64::max));
    let told = |speed: f64| paper.decimals(speed, Quantity::Speed, 1);
    if high - low < 0.05 * KNOT_M_S { told(high) } else { format!("{} to {}", told(low), told(high)) }
}

/// Where what is left falls to the reserve, as expected.
fn falls(found: &Found) -> String {
    // The boat as expected may run out where the middle of the samples does not.
    let has_left = found.study.rows.last().is_some_and(|row| row.share.value > 0.005);
    if !found.kept.run.is_there && !has_left {
        return "the bank is empty before".to_owned();
    }
    let mut ends = found.study.rows.iter().enumerate().skip(1).filter(|(_, row)| row.above_kept < 0.5);
    let last = found.study.rows.len() - 1;
    let before = ends.next().filter(|(place, _)| *place < last);
    before.map_or_else(
        || "she arrives below the reserve".to_owned(),
        |(place, _)| format!("she falls to it before {}", found.point(place)),
    )
}

/// The sentence.
#[must_use]
pub fn finding(name: &str, found: &Found, paper: &Paper) -> Finding {
    let case = &found.case;
    let Some(last) = found.study.rows.last() else { return Finding::default() };
    let (kept, anew) = (last.above_kept, last.above_anew);
    let end = found.point(case.route.legs.len());
    let leaves = case.clock(0.0);
    let reserve = percent(found.reserve);
    let arrives = found.kept.run.at_s.last().copied().unwrap_or(f64::INFINITY);
    let by = case.clock(arrives);
    // There before the gate opens she lies there and waits.
    let waits =
        case.window_s.0.filter(|open_s| open_s - arrives > 300.0).map_or_else(String::new, |open_s| {
            format!(
                ", {} before the window opens at {},",
                paper.decimals(open_s - arrives, Quantity::Duration, 1),
                case.clock(open_s)
            )
        });
    let way = format!("leaving at {leaves}, at {} she is at {end} by {by}{waits}", speeds(found, paper));
    let left = percent(last.share.value);
    // Whoever named an hour asks for it as much as for the bank.
    let in_hour = found.study.in_time.map(|(kept, anew)| kept.max(anew)).filter(|in_hour| *in_hour < 0.9);
    let (sentence, binding) = match (kept, anew) {
        (kept, anew) if kept.max(anew) >= 0.9 && in_hour.is_some() => (
            format!(
                "The bank does, the hour is not sure: {way} with {left} left, before the window closes in {}.",
                cases(in_hour.unwrap_or(0.0))
            ),
            "the hour is not sure".to_owned(),
        ),
        (kept, _) if kept >= 0.9 => (format!("Yes: {way} with {left} left."), String::new()),
        (_, anew) if anew >= 0.9 => (
            format!(
                "Yes, if the speed is chosen anew on the way: {way} with {left} left, or later where the bank asks for it."
            ),
            "chosen anew on the way".to_owned(),
        ),
        (kept, anew) if kept.max(anew) >= 0.1 => (
            format!("Not sure: {way} with {left} left, above the reserve in {}.", cases(kept.max(anew))),
            "Not sure".to_owned(),
        ),
        (kept, anew) => (
            format!(
                "No: leaving at {leaves} she is at {end} above the reserve of {reserve} in {}; {}.",
                cases(kept.max(anew)),
                falls(found)
            ),
            "No".to_owned(),
        ),
    };
    let chosen = if (kept - anew).abs() >= 0.015 {
        format!("{} with the plan kept, {} chosen anew each half hour", percent(kept), percent(anew))
    } else {
        format!("{} with the plan kept and with the speed chosen anew", percent(kept))
    };
    let in_time = found.study.in_time.map_or_else(String::new, |(kept, anew)| {
        format!(
            " There before the window closes: {} with the plan kept, {} chosen anew, then by {} in nine cases of ten.",
            percent(kept),
            percent(anew),
            case.clock(found.study.anew_at_s.p90)
        )
    });
    let weakest = found
        .study
        .weakest()
        .map_or_else(String::new, |leg| format!(" The weakest leg is that to {}.", found.point(leg + 1)));
    let turn = match found.turn {
        None => " Turning back does not help: nowhere on the way is she sure to be back above the reserve."
            .to_owned(),
        Some(turn) if turn.is_end => {
            " She can turn back anywhere on the way and be home above the reserve.".to_owned()
        }
        Some(turn) => format!(
            " Turn back by {} at the latest, {} short of {}.",
            case.clock(turn.at_s),
            paper.decimals(case.route.legs[turn.leg].distance_m - turn.along_m, Quantity::Distance, 1),
            found.point(turn.leg + 1)
        ),
    };
    let later = departures(found).map_or_else(String::new, |best| format!(" {best}"));
    let night = found.night_s.filter(|night| *night > 600.0).map_or_else(String::new, |night| {
        format!(" {} of it in the dark.", paper.decimals(night, Quantity::Duration, 1))
    });
    Finding {
        sentence,
        binding,
        figure: left.clone(),
        further: format!(
            "Above the reserve of {reserve} all the way: {chosen}; between {} and {} left in eight cases of ten.{in_time}{weakest}{turn}{later}{night} {name}: not for \
             navigation.",
            percent(last.share.p10),
            percent(last.share.p90),
        ),
        ..Finding::default()
    }
}

/// The best hour to leave, where there are others.
#[must_use]
pub fn departures(found: &Found) -> Option<String> {
    let best = found.best_departure()?;
    let now = found.departures.first().filter(|first| first.leaves_s == 0.0);
    let days = (found.departures.last()?.leaves_s / 86_400.0).round();
    let when = found.case.local(best.leaves_s).strftime("%a %d %b %H:%M");
    let beside =
        now.map_or_else(String::new, |now| format!(", against {} leaving as asked", percent(now.share)));
    if now.is_some_and(|now| best.share - now.share < 0.01) {
        return Some(format!("No other departure of the next {} days leaves more.", format_number(days, 0)));
    }
    Some(format!(
        "The best departure of the next {} days is {when}: {} left{beside}.",
        format_number(days, 0),
        percent(best.share)
    ))
}

/// Under the steps.
#[must_use]
pub fn of_steps(found: &Found) -> String {
    let plan = found.planned.plan.at_s.last().zip(found.kept.run.at_s.last());
    let late = plan.map_or(0.0, |(plan, kept)| (kept - plan) / 60.0);
    let off = if late.abs() < 1.0 {
        String::new()
    } else {
        format!(
            " In these steps she is there {} min {} than by the plan itself.",
            format_number(late.abs(), 0),
            if late > 0.0 { "later" } else { "earlier" }
        )
    };
    format!("Speeds through the water in tenths of a knot, kept until the next line; left as expected.{off}")
}

/// What stands behind the figures.
#[must_use]
pub fn basis(found: &Found, paper: &Paper) -> Vec<String> {
    let spreads = &found.case.spreads;
    let mut said = vec![format!(
        "In the band each rate of a stream is off by {} and {}, its time by {} min, the wind along her way by {}, in eight cases of ten less (own estimate, no source); charge, \
         hull and capacity as the document has them.",
        percent(spreads.stream_share),
        paper.decimals(spreads.stream_m_s, Quantity::Speed, 1),
        format_number(spreads.change_s / 60.0, 0),
        paper.decimals(spreads.wind_m_s, Quantity::Speed, 0)
    )];
    if found.case.has_slack {
        said.push(
            "Legs of which no stream was said have slack water, which is seldom so: the band tries no other."
                .to_owned(),
        );
    }
    if found.sun_w > 0.0 {
        said.push(format!(
            "The sun on {} of panels is counted hour by hour as on a usual day of the month, in the band as on days of all kinds.",
            paper.quantity(found.sun_w, Quantity::Power)
        ));
    }
    said.extend(found.case.source.iter().map(|source| format!("Where the streams come from: {source}")));
    said
}
