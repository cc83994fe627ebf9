//! `energy` as text: a day hour by hour, the twelve months, the year, one thing more. Not for: computing.

use wakewright_core::boat::BoatSpec;
use wakewright_core::energy::{Alternative, Change, Day, DayHour, EnergyPlan, EnergyStudy};
use wakewright_core::study::Interval;
use wakewright_units::factors::NAUTICAL_MILE_M;
use wakewright_units::{Quantity, format_number};

use super::drive::{finding_text, notices_text, percent};
use super::paper::{Ink, Paper};
use super::table::{Align, Table, Titled};
use crate::sentence::Finding;

const KILOWATT_HOUR_J: f64 = 3.6e6;
/// Months in three letters.
pub const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
/// Columns of the longest bar.
const LONGEST_BAR: f64 = 24.0;
/// Hours on shore in a month below which sun and propeller carry her.
const HARDLY_PLUGS_IN_H: f64 = 3.0;

fn kwh(joules: f64, decimals: usize) -> String {
    format_number(joules / KILOWATT_HOUR_J, decimals)
}

fn span(interval: Interval, unit: f64, decimals: usize) -> String {
    format!(
        "{}-{}",
        format_number(interval.p10 / unit, decimals),
        format_number(interval.p90 / unit, decimals)
    )
}

/// `3 to 7`, or one number where both ends are the same.
fn hours_words(interval: Interval) -> String {
    let (low, high) = (format_number(interval.p10, 0), format_number(interval.p90, 0));
    if low == high { low } else { format!("{low} to {high}") }
}

/// What was found over the year.
#[must_use]
pub fn energy_finding(name: &str, plan: &EnergyPlan, study: &EnergyStudy) -> Finding {
    let alone: Vec<usize> =
        (0..12).filter(|&i| study.months[i].shore_hours.value < HARDLY_PLUGS_IN_H).collect();
    let when = match (alone.first(), alone.last()) {
        _ if alone.len() == 12 => "all year".to_owned(),
        (Some(&first), Some(&last)) if alone.len() == last - first + 1 => {
            format!("from {} to {}", MONTHS[first], MONTHS[last])
        }
        (Some(_), _) => alone.iter().map(|&i| MONTHS[i]).collect::<Vec<_>>().join(", "),
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
            "{lived}, {name} {sun} must plug in in every month: {} h of the year.",
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
    further += &low_bank_words(plan, study);
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
    Finding { sentence, binding: String::new(), figure: String::new(), further }
}

/// What the reserve and the packs' cut-out take from her year, each said only where it comes to an hour.
fn low_bank_words(plan: &EnergyPlan, study: &EnergyStudy) -> String {
    let year = &study.year;
    let has = |interval: Interval| interval.p90 >= 1.0;
    let reserve = percent(plan.reserve);
    let mut said = String::new();
    if has(year.motoring_lost_hours) {
        said += &format!(
            " The drive stops at the reserve of {reserve}: {} h of her motoring in a year fall away, and for {} h the bank \
             is at it or below.",
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

/// The year as text.
#[must_use]
pub fn year_text(
    name: &str,
    spec: &BoatSpec,
    plan: &EnergyPlan,
    study: &EnergyStudy,
    paper: &Paper,
) -> String {
    let mut out = finding_text(&energy_finding(name, plan, study), paper);
    for titled in year_tables(study) {
        out += &titled.render(paper);
    }
    out += &format!("\nHow it was reckoned\n{}", paper.wrap(&year_basis_words(spec, plan, study, paper), 2));
    out += &notices_text(&study.notices, paper);
    out
}

/// The tables of a year: month by month, all together, one thing more.
#[must_use]
pub fn year_tables(study: &EnergyStudy) -> Vec<Titled> {
    let mut tables = vec![
        Titled::new(
            "Month by month, kWh a day",
            months_table(study),
            "Sun: what the panels could give. Wasted: what the bank did not take. Miles: motoring a week on sun alone, on \
             each of her days under way from the hour of leaving until the bank is at its reserve or the day ends. Bands hold the weather and every unsure input.",
        ),
        Titled::new(
            "The year, at the bank",
            year_table(study),
            "Of the shore's energy the charger's losses come on top.",
        ),
    ];
    tables.extend(changes_table(study));
    tables
}

fn months_table(study: &EnergyStudy) -> Table {
    let mut table = Table::new(&[
        ("", Align::Left),
        ("sun", Align::Right),
        ("80 %\nband", Align::Right),
        ("loads", Align::Right),
        ("wasted", Align::Right),
        ("shore\nh", Align::Right),
        ("80 %\nband", Align::Right),
        ("charge\nmean", Align::Right),
        ("least", Align::Right),
        ("miles\na week", Align::Right),
        ("80 %\nband", Align::Right),
    ]);
    for (i, month) in study.months.iter().enumerate() {
        let is_plugged = month.shore_hours.value >= HARDLY_PLUGS_IN_H;
        let (miles, miles_band) = month.miles_week_m.map_or_else(
            || ("-".to_owned(), String::new()),
            |m| (format_number(m.value / NAUTICAL_MILE_M, 0), span(m, NAUTICAL_MILE_M, 0)),
        );
        table.row(
            if is_plugged { Ink::Plain } else { Ink::Passes },
            vec![
                MONTHS[i].to_owned(),
                kwh(month.sun_day_j.value, 2),
                span(month.sun_day_j, KILOWATT_HOUR_J, 2),
                kwh(month.house_day_j.value, 2),
                kwh(month.surplus_day_j.value, 2),
                format_number(month.shore_hours.value, 0),
                span(month.shore_hours, 1.0, 0),
                percent(month.charge.value),
                percent(month.lowest.value),
                miles,
                miles_band,
            ],
        );
    }
    table
}

fn year_table(study: &EnergyStudy) -> Table {
    let mut table = Table::new(&[("", Align::Left), ("kWh", Align::Right), ("80 % band", Align::Right)]);
    let year = &study.year;
    for (words, interval) in [
        ("sun on the panels", year.sun_j),
        ("propeller under sail", year.regeneration_j),
        ("shore, into the bank", year.shore_j),
        ("loads aboard", year.house_j),
        ("motoring", year.motoring_j),
        ("wasted: the bank was full or could not take it", year.surplus_j),
        ("lost in the bank", year.lost_j),
    ] {
        table.row(
            Ink::Plain,
            vec![words.to_owned(), kwh(interval.value, 0), span(interval, KILOWATT_HOUR_J, 0)],
        );
    }
    table
}

/// What is added, in words.
#[must_use]
pub fn change_words(change: &Change) -> String {
    match change.alternative {
        Alternative::MorePanel(power_w) => format!("one more panel of {} W", format_number(power_w, 0)),
        Alternative::MorePack => "one more pack".to_owned(),
    }
}

fn changes_table(study: &EnergyStudy) -> Option<Titled> {
    if study.changes.is_empty() {
        return None;
    }
    let mut table = Table::new(&[
        ("", Align::Left),
        ("shore\nh", Align::Right),
        ("80 % band", Align::Right),
        ("shore\nkWh", Align::Right),
        ("wasted\nkWh", Align::Right),
        ("motoring\nlost, h", Align::Right),
        ("miles a\nweek", Align::Right),
    ]);
    let signed = |value: f64, decimals: usize| {
        let text = format_number(value, decimals);
        if value > 0.0 && !text.trim_matches(['0', '.']).is_empty() { format!("+{text}") } else { text }
    };
    for change in &study.changes {
        let hours = change.shore_hours;
        table.row(
            Ink::Plain,
            vec![
                change_words(change),
                signed(hours.value, 0),
                format!("{} to {}", signed(hours.p10, 0), signed(hours.p90, 0)),
                signed(change.shore_j.value / KILOWATT_HOUR_J, 0),
                signed(change.surplus_j.value / KILOWATT_HOUR_J, 0),
                signed(change.motoring_lost_hours.value, 0),
                change.miles_week_m.map_or_else(|| "-".to_owned(), |m| signed(m.value / NAUTICAL_MILE_M, 1)),
            ],
        );
    }
    Some(Titled::new(
        "What one thing more would change in a year, under the same weather",
        table,
        "One more panel: mounted and shaded as the first. Shore kWh into the bank; miles on sun alone, mean of all weeks.",
    ))
}

/// How the year was reckoned, in words.
#[must_use]
pub fn year_basis_words(spec: &BoatSpec, plan: &EnergyPlan, study: &EnergyStudy, paper: &Paper) -> String {
    let mut said = format!(
        "{} weathers around the monthly clearness [{}]. She plugs in at {} and unplugs at {}, taking {} W. ",
        study.samples.0,
        plan.climate_source,
        percent(plan.shore.plug_in_at),
        percent(plan.shore.until),
        format_number(plan.shore.charge_w, 0),
    );
    const SURE: f64 = 0.95;
    if plan.week.motoring_s > 0.0 && study.reaches_in < SURE {
        said += &format!(
            "In {} of the samples she does not reach {} and motors as fast as she can, for the same hours. ",
            percent(1.0 - study.reaches_in),
            paper.decimals(plan.week.motoring_m_s, Quantity::Speed, 1),
        );
    }
    said += &format!(
        "Motoring at {} takes {} W for the drive",
        paper.decimals(plan.week.motoring_m_s, Quantity::Speed, 1),
        format_number(study.under_way.motoring_w, 0)
    );
    if study.under_way.regeneration_w > 0.0 {
        said += &format!(
            "; sailing at {} brings {} W",
            paper.decimals(plan.week.sailing_m_s, Quantity::Speed, 1),
            format_number(study.under_way.regeneration_w, 0)
        );
    }
    said += ". ";
    said += &format!(
        "Cells at {} all year.",
        paper.quantity(spec.boat.bank.temperature_k, Quantity::Temperature)
    );
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
            said += &format!(" {words} {} kWh.", kwh(missing_j, 2));
        }
    }
    said
}

/// What was found of a day.
#[must_use]
pub fn day_finding(name: &str, day: &Day) -> Finding {
    let (_, month, number) = day.date;
    let sum = |of: fn(&DayHour) -> f64| kwh(day.sum_j(of), 2);
    let date = format!("{number} {}", MONTHS[(month.clamp(1, 12) - 1) as usize]);
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
    let shore = if shore > 0.0 {
        format!(" {} kWh of that come from the shore.", kwh(shore, 2))
    } else {
        String::new()
    };
    let further = format!(
        "{away} from {} she {way} {} points of charge.{shore}{} {}",
        percent(day.start),
        format_number(100.0 * (end - day.start).abs(), 0),
        low_day_words(day),
        sun_words(day),
    );
    Finding { sentence, binding: String::new(), figure: String::new(), further }
}

/// The day as text.
#[must_use]
pub fn day_text(name: &str, day: &Day, paper: &Paper) -> String {
    let mut out = finding_text(&day_finding(name, day), paper);
    out += &hours_table(day, true).render(paper);
    out
}

/// Head of a column, and what stands in it.
type Further = (&'static str, fn(&DayHour) -> f64);

/// The day hour by hour; on paper with a bar for the usual sky, which elsewhere is a picture.
#[must_use]
pub fn hours_table(day: &Day, has_bar: bool) -> Titled {
    let mut heads = vec![
        ("hour", Align::Right),
        ("sun's\nheight", Align::Right),
        ("clear", Align::Right),
        ("usual", Align::Right),
        ("dark", Align::Right),
        ("loads", Align::Right),
    ];
    // Columns in which nothing happens are left out.
    let has = |of: fn(&DayHour) -> f64| day.hours.iter().any(|hour| of(hour) > 0.0);
    let further: [Further; 3] =
        [("drive", |h| h.drive_w), ("back", |h| h.regeneration_w), ("shore", |h| h.shore_w)];
    let further: Vec<_> = further.into_iter().filter(|(_, of)| has(*of)).collect();
    heads.extend(further.iter().map(|(head, _)| (*head, Align::Right)));
    heads.push(("charge", Align::Right));
    if has_bar {
        heads.push(("usual sky", Align::Left));
    }
    let mut table = Table::new(&heads);
    let most = day.hours.iter().map(|h| h.clear_w.max(h.usual_w)).fold(1.0, f64::max);
    let longest = LONGEST_BAR - 7.0 * further.len() as f64;
    for (i, hour) in day.hours.iter().enumerate() {
        let height = hour.height_rad.to_degrees();
        let mut cells = vec![
            format!("{i:02}-{:02}", i + 1),
            if height > 0.0 { format!("{height:.0}°") } else { "-".to_owned() },
            format_number(hour.clear_w, 0),
            format_number(hour.usual_w, 0),
            format_number(hour.dark_w, 0),
            format_number(hour.house_w, 0),
        ];
        cells.extend(further.iter().map(|(_, of)| format_number(of(hour), 0)));
        cells.push(percent(hour.state_of_charge));
        if has_bar {
            cells.push("#".repeat((hour.usual_w / most * longest).round().max(0.0) as usize));
        }
        table.row(Ink::Plain, cells);
    }
    Titled::new("Hour by hour, W into the bank", table, "")
}
