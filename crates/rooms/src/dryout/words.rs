//! What is said of a dry-out, and its plan as a sheet to take along.

use wakewright_core::drying_out::foot::Stands;
use wakewright_core::drying_out::{First, Visit, WAYS_OFF, WayOff};
use wakewright_units::{Quantity, format_number};

use super::Found;
use super::asked::Case;
use crate::sentence::{capitalised, cases};
use crate::text::{Finding, Paper, percent};
use crate::tide::words::how_known;

/// Never more than there are: 2.97 h are not the three that are wanted.
fn hours(seconds: f64) -> String {
    format!("{} h", format_number((seconds / 360.0 + 1e-6).floor() / 10.0, 1))
}

/// "Saturday's forenoon tide".
fn tide_of(found: &Found, visit: &Visit) -> String {
    let low = found.known.local(visit.standing.low.unix_s);
    let part = match low.hour() {
        4..=11 => "forenoon",
        12..=17 => "afternoon",
        18..=21 => "evening",
        _ => "night",
    };
    format!("{}'s {part} low water ({})", low.strftime("%A"), low.strftime("%d %b %H:%M"))
}

/// What is said where her first water off may be the last for long, or is not likely to take her.
fn trap(found: &Found, visit: &Visit) -> Option<String> {
    let way = visit.ways_off.first()?;
    let is_unlikely = way.floats < 0.5;
    if !visit.is_neap_trap() && !is_unlikely {
        return None;
    }
    let first = found.known.local(way.high.unix_s);
    let (day, hour) = (first.strftime("%A"), first.strftime("%H:%M"));
    let missed = if is_unlikely {
        format!("{day}'s {hour} floats her in {} only", cases(way.floats))
    } else {
        format!("miss {day}'s {hour}")
    };
    Some(match &visit.after_missed {
        Some(WayOff { high, floats, .. }) => format!(
            "{missed} and the next water that floats her more likely than not is {}, {}",
            found.known.local(high.unix_s).strftime("%A the %-d at %H:%M"),
            cases(*floats)
        ),
        None => format!(
            "{missed} and no water until {} floats her more likely than not",
            found.known.local(found.last_s).strftime("%A the %-d of %B")
        ),
    })
}

/// Past this nobody leaves a boat on her keel \[rad\]: ten degrees; judgement.
const TOO_STEEP_RAD: f64 = 10.0 * std::f64::consts::PI / 180.0;

/// The sentence.
pub fn finding(found: &Found, name: &str, paper: &Paper) -> Finding {
    let wanted = hours(found.case.wanted.dry_s);
    let Some(best) = found.advised() else {
        return Finding {
            sentence: no_tide(found, name),
            further: format!("At {}. {}", found.known.place(), notes(found, paper)),
            fails: true,
            ..Finding::default()
        };
    };
    let light = match (found.case.has_hours, found.case.has_no_light) {
        (true, _) => " within the hours",
        (_, true) => ", light not known",
        _ => " by daylight",
    };
    let figure = format!("{} dry{light}", hours(best.work_s));
    let sure = format!("floats off at the first water in {}", cases(best.first_off()));
    let own_trap = trap(found, best);
    let start = match &own_trap {
        Some(trap) => format!("{} gives {figure}, but {trap}.", capitalised(&tide_of(found, best))),
        None => format!("{} gives {figure} and {sure}.", capitalised(&tide_of(found, best))),
    };
    let other = found.chosen.iter().skip(1).filter(|_| own_trap.is_none()).find_map(|place| {
        let visit = found.visits.get(*place)?;
        Some(format!(" Not so {}: {}.", tide_of(found, visit), trap(found, visit)?))
    });
    let other = other.unwrap_or_default();
    let is_short = |visit: &Visit| visit.work_s < found.case.wanted.dry_s - 60.0;
    let short = match (is_short(best), found.visits.iter().all(is_short)) {
        (false, _) => String::new(),
        (true, true) => format!(" No tide gives the {wanted} that are wanted."),
        (true, false) => {
            format!(" The {wanted} that are wanted come with tides that float her off less surely.")
        }
    };
    let steep_rad = found.case.list_rad.unwrap_or(0.0).abs().max(found.case.along_rad.abs());
    let steep = if steep_rad > TOO_STEEP_RAD {
        format!(
            " The ground slopes by {}° there: too steep to stand her on.",
            format_number(steep_rad.to_degrees(), 0)
        )
    } else {
        String::new()
    };
    let by = found.sure_by.map_or_else(
        || format!("not inside these {} days", found.days),
        |at| format!("by {}", found.known.local(at).strftime("%A %d %b %H:%M")),
    );
    let on = if best.on_floats < 0.8 {
        format!(" She floats on in {} only.", cases(best.on_floats))
    } else {
        String::new()
    };
    let tips = match found.case.stands {
        Some(Stands::TipsOnNose) => " She may tip on her nose there.",
        Some(Stands::TipsOnStern) => " She may tip on her stern there.",
        Some(Stands::On) | None => "",
    };
    let fills = match found.case.lying.map(|lying| lying.first()) {
        Some(First::Fills) => " Lying over she fills before she floats.",
        _ => "",
    };
    let give_up = found.give_up_s(best).map_or_else(String::new, |at| {
        format!(" Latest hour to give up and stay off: {}.", found.hour(at, best))
    });
    Finding {
        sentence: format!("{start}{steep}{tips}{fills}{short}{on}"),
        binding: own_trap.unwrap_or_default(),
        fails: !steep.is_empty() || !fills.is_empty(),
        figure,
        further: format!(
            "At {} {name} touches at {}, is dry from {} to {} and {}. In nineteen cases of twenty she is off {by}.{give_up}{other} {}",
            found.known.place(),
            found.told(best, &best.standing.touches),
            found.told(best, &best.standing.dry),
            found.told(best, &best.standing.wet),
            match best.standing.floats.median_s {
                Some(_) => format!("floats at {}", found.told(best, &best.standing.floats)),
                None => "in the middle case is not floated by the next water".to_owned(),
            },
            notes(found, paper)
        ),
        ..Finding::default()
    }
}

fn no_tide(found: &Found, name: &str) -> String {
    let level = found.case.berth.floats_at_m();
    let highs = || found.known.asked_waters().filter(|water| water.is_high).map(|water| water.height_m);
    let lows = || found.known.asked_waters().filter(|water| !water.is_high).map(|water| water.height_m);
    let (highest, lowest) = (highs().fold(f64::NEG_INFINITY, f64::max), lows().fold(f64::INFINITY, f64::min));
    let two = |metres: f64| format!("{metres:.2} m");
    if highest < level {
        format!(
            "{name} never floats on there in these {} days: she needs {}, and the highest water has {}.",
            found.days,
            two(level),
            two(highest)
        )
    } else if lowest > level {
        format!(
            "{name} never takes the ground there: she needs the water below {}, and the lowest has {}.",
            two(level),
            two(lowest)
        )
    } else if found.visits.iter().all(|visit| visit.dry_s <= 0.0) {
        format!(
            "{} never falls dry there in these {} days: it lies at {}, and the lowest water has {}.",
            capitalised(&found.case.work),
            found.days,
            two(found.case.berth.ground_m + found.case.berth.work_above_keel_m),
            two(lowest)
        )
    } else if let Some(visit) =
        found.visits.iter().find(|visit| visit.work_s > 0.0 && visit.ways_off.len() < WAYS_OFF)
    {
        format!(
            "Which tide to take for {name} cannot be told: one dries the work for {}, but fewer than {WAYS_OFF} of the waters after it \
             are known, and these take her off. Give more days of the table.",
            hours(visit.work_s)
        )
    } else {
        format!("No tide of these {} days dries the work while work may be done.", found.days)
    }
}

/// On what it stands.
fn notes(found: &Found, paper: &Paper) -> String {
    let case = &found.case;
    let metres = |m: f64| paper.decimals(m, Quantity::Length, 2);
    let draught =
        if case.has_document_draught { "the document's, not measured today" } else { "as measured" };
    let ground = match case.landings {
        0 if case.has_usual_ground_band => "as typed, its spread usual".to_owned(),
        0 => "as typed".to_owned(),
        1 => "from one landing: ground and that day's weather are one sum".to_owned(),
        count if case.landings_worth < 1.5 => {
            format!("from {count} landings in like weather: ground and weather are still one sum")
        }
        count => format!(
            "from {count} landings, as good as {} on days far apart",
            format_number(case.landings_worth, 1)
        ),
    };
    let weather = match case.landings {
        0 => String::new(),
        _ => format!(
            " Weather there, one sigma with these landings: {}{}.",
            metres(case.error.weather_sd_m),
            case.mean_m.map_or_else(String::new, |(mean, within)| {
                format!(
                    "; the water stands {} ± {} above its predictions on the whole",
                    metres(mean),
                    metres(within)
                )
            })
        ),
    };
    format!(
        "Draught {} ± {} ({draught}), ground {} ± {} ({ground}).{weather} {}",
        metres(case.draught_m.0),
        metres(case.draught_m.1),
        metres(case.ground_m.0),
        metres(case.ground_m.1),
        how_known(&found.known, paper)
    )
}

/// Why these three, each in a line.
pub fn reasons(found: &Found) -> Vec<String> {
    let reason = |place: &usize| {
        let visit = found.visits.get(*place)?;
        let next = visit
            .ways_off
            .get(1)
            .map_or_else(String::new, |way| format!(", by the water after it in {}", percent(way.by_then)));
        let trap = trap(found, visit).map_or_else(String::new, |trap| format!("; {trap}"));
        let short = if visit.work_s < found.case.wanted.dry_s { ", less than wanted" } else { "" };
        Some(format!(
            "{}: {} to work{short}, dry at all in {}; on in {}; off at the first water in {}{next}{trap}.",
            capitalised(&tide_of(found, visit)),
            hours(visit.work_s),
            percent(visit.dries),
            percent(visit.on_floats),
            percent(visit.first_off())
        ))
    };
    found.chosen.iter().filter_map(reason).collect()
}

/// How she stands.
pub fn standing(found: &Found) -> Vec<String> {
    let case = &found.case;
    let stands = match case.stands {
        Some(Stands::On) => "Her weight is well within her keel's foot: she stands on it.".to_owned(),
        Some(Stands::TipsOnNose) => "Her weight is before her keel's foot or within a tenth of its fore end: she may tip on her nose.".to_owned(),
        Some(Stands::TipsOnStern) => "Her weight is behind her keel's foot or within a tenth of its after end: she may tip on her stern.".to_owned(),
        None => "Whether she stands on her keel or tips on nose or stern cannot be told: type where her keel's foot begins and ends, \
                 and give the centre of buoyancy in her document.".to_owned(),
    };
    let degrees = |rad: f64| format!("{}°", format_number(rad.to_degrees(), 1));
    let list = case.list_rad.map_or_else(
        || "Her list cannot be told: the slope across her is not typed.".to_owned(),
        |list| format!("She lists by {} with the ground.", degrees(list)),
    );
    let along = (case.along_rad.abs() > 1e-3).then(|| {
        let end = if case.along_rad > 0.0 { "bow" } else { "stern" };
        format!("Along her the ground falls by {} to the {end}.", degrees(case.along_rad.abs()))
    });
    let rake = case.rake_m.filter(|rake| rake.abs() > 0.005).map(|rake| {
        let end = if rake > 0.0 { "bow" } else { "stern" };
        format!(
            "Over the length of her keel she comes down by the {end} by {} cm.",
            format_number(rake.abs() * 100.0, 0)
        )
    });
    let held = match case.held.as_deref() {
        Some(held @ ("wall" | "piles")) => format!(
            "Against the {held}: she leans to it by a list of her own, lines at least three times the range."
        ),
        Some(held @ ("legs" | "two keels")) => {
            format!("On {held}: both sides on ground that is evenly firm.")
        }
        _ => lies_over(case),
    };
    let bottom = match (case.is_soft, case.has_sinking) {
        (Some(true), false) => Some(
            "The ground is soft: how far she sinks is not typed, and she floats later and less surely by as much as she settles \
             and sticks.",
        ),
        (Some(true), true) => Some(
            "The ground is soft: boards under her keel's foot and under legs; mud holds her as she lifts.",
        ),
        (Some(false), _) => Some("The ground is hard: what stands up out of it is under her keel."),
        (None, _) => None,
    };
    [Some(stands), Some(list), along, rake, Some(held), bottom.map(str::to_owned)]
        .into_iter()
        .flatten()
        .collect()
}

/// What comes of her where nothing holds her upright.
fn lies_over(case: &Case) -> String {
    let Some(lying) = case.lying else {
        return "What holds her upright is not typed. Whether she fills before she floats when she lies over cannot be told: type her \
                lowest opening (opening 0.9 m out, 2.4 m up: from the middle line, and above the keel's foot), and give her freeboard \
                in her document; without a keel it cannot be told here at all."
            .to_owned();
    };
    let two = |metres: f64| format_number(metres, 2);
    let (low, high) = lying.lifts_m;
    let what = match lying.first() {
        First::Floats => "she lifts before water comes in",
        First::Fills => "she fills before she floats: shut and seal it, or do not let her lie over",
        First::CannotTell => {
            "whether she fills before she floats cannot be told, they are too near each other: shut and seal it"
        }
    };
    format!(
        "Nothing holds her upright: on her side she heels by {}°, her lowest opening {} m above her keel's foot, and the water lifts her at \
         {} to {} m there: {what}.",
        format_number(lying.heel_rad.to_degrees(), 0),
        two(lying.opening_m),
        two(low),
        two(high)
    )
}

/// What to take and to do, for the sheet that is taken along.
pub fn kit(found: &Found) -> Vec<String> {
    let allowed = found.case.allowed.as_ref().map_or_else(
        || "ask who allows it and what may be scrubbed".to_owned(),
        |who| format!("allowed by {who}: ask what may be scrubbed"),
    );
    vec![
        "Lines: bow, stern, two springs, three times the range long; fenders or a fender board; a list to the wall before she is hard \
         on. Somebody aboard and at the lines from half an hour before touching until hard on, and from the first lift until clear.".to_owned(),
        "Kit: pads and boards, ladder, sheets and bags for what comes off, spare anode, keys, cotter pins, propeller puller, scrapers, \
         paint within its hours; charge in the bank for two tries at getting off.".to_owned(),
        format!("Before: inspect the ground at the low water before; settled weather for both high waters; {allowed}."),
    ]
}
