//! A day and a year in words. Not for: tables, pictures.

use wakewright_core::boat::BoatSpec;
use wakewright_core::energy::{
    Day, DayHour, EnergyPlan, EnergyStudy, HARDLY_PLUGS_IN_S, HOUR_S, MONTH_WORDS, Shore, Store,
};
use wakewright_core::sheet::Interval;
use wakewright_units::factors::NAUTICAL_MILE_M;
use wakewright_units::{Quantity, format_number};

use crate::text::Finding;
use crate::text::Paper;

const KILOWATT_HOUR_J: f64 = 3.6e6;

fn kwh(joules: f64) -> String {
    format_number(joules / KILOWATT_HOUR_J, 2)
}

/// `3 to 7`, or one number where both ends are the same.
fn hours_words(interval: Interval) -> String {
    let (low, high) = (format_number(interval.p10, 0), format_number(interval.p90, 0));
    if low == high { low } else { format!("{low} to {high}") }
}

/// What was found over the year.
pub fn year_finding(name: &str, plan: &EnergyPlan, study: &EnergyStudy, paper: &Paper) -> Finding {
    let is_alone = |i: &usize| study.months[*i].shore_hours.value * HOUR_S < HARDLY_PLUGS_IN_S;
    let alone: Vec<usize> = (0..12).filter(is_alone).collect();
    let when = match (alone.first(), alone.last()) {
        _ if alone.len() == 12 => "all year".to_owned(),
        (Some(&first), Some(&last)) if alone.len() == last - first + 1 => {
            format!("from {} to {}", MONTH_WORDS[first], MONTH_WORDS[last])
        }
        (Some(_), _) => alone.iter().map(|&i| MONTH_WORDS[i]).collect::<Vec<_>>().join(", "),
        _ => String::new(),
    };
    let sun = if plan.panels.is_empty() {
        "without panels".to_owned()
    } else {
        format!("on {} W of panels", format_number(plan.rated_w(), 0))
    };
    let shore = study.year.shore_hours;
    let is_left_alone = is_left_alone(plan);
    let lived =
        if is_left_alone { "Left alone, with neither loads nor a week stated" } else { "Lived on as stated" };
    let sentence = if when.is_empty() {
        format!(
            "{lived}, {name} {sun} needs shore power in every month: {} h of the year.",
            format_number(shore.value, 0)
        )
    } else if alone.len() == 12 {
        format!("{lived}, {name} {sun} hardly ever plugs in.")
    } else {
        format!(
            "{lived}, {name} {sun} keeps herself {when} and plugs in for {} h of the year.",
            format_number(shore.value, 0)
        )
    };
    let mut further = format!("In four years of five it is {} h.", hours_words(shore));
    further += &low_bank_words(plan, study, paper);
    if let (Some(june), Some(december)) = (study.months[5].miles_week_m, study.months[11].miles_week_m) {
        let miles = |i: Interval| format_number(i.value / NAUTICAL_MILE_M, 0);
        further += &format!(
            " On sun alone, down to her reserve and never plugged in, she can motor {} miles a week in June and {} in December.",
            miles(june),
            miles(december)
        );
    }
    if is_left_alone {
        further += " Describe the loads aboard under [[house]] and her week under [week].";
    }
    let figure =
        if alone.len() == 12 { String::new() } else { format!("{} h", format_number(shore.value, 0)) };
    Finding { sentence, further, figure, ..Finding::default() }
}

/// What the reserve and the packs' cut-out take from her year, each said only where it comes to an hour.
fn low_bank_words(plan: &EnergyPlan, study: &EnergyStudy, paper: &Paper) -> String {
    let year = &study.year;
    let has = |interval: Interval| interval.p90 >= 1.0;
    let reserve = paper.quantity(study.reserve, Quantity::Share);
    let mut said = String::new();
    if has(year.motoring_lost_hours) {
        said += &format!(
            " With shore power from {} to {} of charge the drive stops at the reserve of {reserve}: {} h of her motoring in a year \
             fall away, and for {} h the bank is at it or below.",
            paper.quantity(plan.shore.plug_in_at, Quantity::Share),
            paper.quantity(plan.shore.until, Quantity::Share),
            hours_words(year.motoring_lost_hours),
            hours_words(year.reserve_hours)
        );
    } else if has(year.reserve_hours) {
        said += &format!(
            " The bank is at the reserve of {reserve} or below for {} h of the year.",
            hours_words(year.reserve_hours)
        );
    }
    if has(year.cut_out_hours) {
        said += &format!(
            " Below the reserve the loads run on; for {} h the packs have cut out and loads are not served.",
            hours_words(year.cut_out_hours)
        );
    }
    said
}

/// True when nothing aboard asks for anything and she never goes out.
fn is_left_alone(plan: &EnergyPlan) -> bool {
    plan.house_w().iter().all(|load_w| *load_w == 0.0) && plan.week.motoring_s + plan.week.sailing_s == 0.0
}

/// How the year was reckoned, in words.
pub fn year_basis(spec: &BoatSpec, plan: &EnergyPlan, study: &EnergyStudy, paper: &Paper) -> String {
    let share = |share: f64| paper.quantity(share, Quantity::Share);
    let Shore { charge_w, plug_in_at, until } = plan.shore;
    // The packs may take less than socket and charger give.
    let taken_w = Store::of(&spec.boat).map_or(charge_w, |store| {
        charge_w.min(store.step(plug_in_at.min(until), charge_w, HOUR_S).terminal_j / HOUR_S)
    });
    let mut said = format!(
        "{} weathers around the monthly clearness [{}]. She plugs in at {} and unplugs at {}, taking {} W. ",
        study.samples.asked,
        plan.climate_source,
        share(plug_in_at),
        share(until),
        format_number(taken_w, 0),
    );
    const SURE: f64 = 0.95;
    if plan.week.motoring_s > 0.0 && study.reaches_in < SURE {
        said += &format!(
            "In {} of the samples she does not reach {} and motors as fast as she can, for the same hours. ",
            share(1.0 - study.reaches_in),
            paper.decimals(plan.week.motoring_m_s, Quantity::Speed, 1),
        );
    }
    let watts = |power_w: Interval| {
        let band = paper
            .four_in_five(power_w, Quantity::Power)
            .map_or_else(String::new, |band| format!(" ({band})"));
        format!("{}{band}", paper.quantity(power_w.value, Quantity::Power))
    };
    said += &format!(
        "Motoring at {} takes {} for the drive",
        paper.decimals(plan.week.motoring_m_s, Quantity::Speed, 1),
        watts(study.under_way.motoring_w)
    );
    if study.under_way.regeneration_w.value > 0.0 {
        said += &format!(
            "; sailing at {} brings {}",
            paper.decimals(plan.week.sailing_m_s, Quantity::Speed, 1),
            watts(study.under_way.regeneration_w)
        );
    }
    said += ". ";
    said += &format!(
        "Cells at {} all year.",
        paper.quantity(spec.boat.bank.temperature_k, Quantity::Temperature)
    );
    const FULL: f64 = 0.95;
    if plan.shore.until < FULL && spec.boat.bank.groups.iter().any(|group| group.chemistry.is_lead()) {
        said += " Lead that is seldom filled up loses capacity for good (common practice, no source): unplug it full.";
    }
    said
}

fn clock(hours: f64) -> String {
    let minutes = (hours * 60.0).round() as i64;
    format!("{:02}:{:02}", minutes.div_euclid(60).rem_euclid(24), minutes.rem_euclid(60))
}

/// When the sun rises and sets; beyond the polar circles it may do neither.
fn sun_words(day: &Day) -> String {
    let is_up = day.hours.iter().filter(|hour| hour.height_rad > 0.0).count();
    match (day.rise_h, day.set_h) {
        (Some(rise), Some(set)) => {
            format!("The sun rises at {} and sets at {}, local mean time.", clock(rise), clock(set))
        }
        (Some(rise), None) => format!("The sun rises at {} local mean time and does not set.", clock(rise)),
        (None, Some(set)) => format!("The sun sets at {} local mean time and did not rise.", clock(set)),
        (None, None) if is_up > 0 => "The sun does not set.".to_owned(),
        (None, None) => "The sun does not rise.".to_owned(),
    }
}

/// What the drive and the loads went without.
fn low_day_words(day: &Day) -> String {
    let mut said = String::new();
    for (missing_j, words) in [
        (day.sum_j(|hour| hour.missing_drive_w), "The drive stops at the reserve and goes without"),
        (day.sum_j(|hour| hour.missing_house_w), "The packs cut out and the loads go without"),
    ] {
        if missing_j > 0.005 * KILOWATT_HOUR_J {
            said += &format!(" {words} {} kWh.", kwh(missing_j));
        }
    }
    said
}

/// What the sun brings on a day, in short.
pub fn day_brings(day: &Day) -> String {
    format!("{} kWh of sun", kwh(day.sum_j(|hour| hour.usual_w)))
}

/// What was found of a day.
pub fn day_finding(name: &str, day: &Day, paper: &Paper) -> Finding {
    let (_, month, number) = day.date;
    let sum = |of: fn(&DayHour) -> f64| kwh(day.sum_j(of));
    let date = format!("{number} {}", MONTH_WORDS[(month.clamp(1, 12) - 1) as usize]);
    let end = day.hours[23].state_of_charge;
    let way = if end >= day.start { "gains" } else { "loses" };
    let sentence = format!(
        "On {date} the panels bring {name} {} kWh under a usual sky, {} when clear and {} on a dark day; the loads take {}.",
        sum(|h| h.usual_w),
        sum(|h| h.clear_w),
        sum(|h| h.dark_w),
        sum(|h| h.house_w),
    );
    let away = if day.is_under_way {
        format!(
            "Under way for {} h",
            format_number(day.hours.iter().map(|h| h.motoring + h.sailing).sum::<f64>(), 1)
        )
    } else {
        "Lying still".to_owned()
    };
    let shore = day.sum_j(|h| h.shore_w);
    let shore =
        if shore > 0.0 { format!(" {} kWh of that come from the shore.", kwh(shore)) } else { String::new() };
    let further = format!(
        "{away} from {} she {way} {} points of charge.{shore}{} {}",
        paper.quantity(day.start, Quantity::Share),
        format_number(100.0 * (end - day.start).abs(), 0),
        low_day_words(day),
        sun_words(day),
    );
    Finding { sentence, further, ..Finding::default() }
}
