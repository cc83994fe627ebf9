//! The sheets of a day and a year. Not for: how they are worked out (`day`, `study`).

use wakewright_units::Quantity;

use super::HOUR_S;
use super::day::{Day, DayHour};
use super::figure::{ENERGY_FIGURES, MILES_WEEK, MOTORING_LOST, SHORE, SHORE_HOURS, SURPLUS};
use super::plan::EnergyPlan;
use super::study::{Alternative, Change, EnergyStudy, MonthIntervals, WeekIntervals};
use crate::sheet::{
    AnySheet, Column, Figure, Form, Interval, List, Origin, Sheet, Tone, Word, itself, plain,
};

/// A boat lived on: what with, and the day and the year that were asked for.
#[derive(Debug, Clone)]
pub struct LivedOn {
    /// What she is lived on with.
    pub plan: EnergyPlan,
    /// The day.
    pub day: Option<Day>,
    /// The year.
    pub study: Option<EnergyStudy>,
}

/// Every sheet, in its order in files.
pub static ENERGY_SHEETS: [&dyn AnySheet<LivedOn>; 7] =
    [&SUMMARY, &FIGURES, &MONTHS, &WEEKS, &CHANGES, &DAY, &HOURS];

/// Months in three letters.
pub const MONTH_WORDS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// Time on shore power in a month below which sun and propeller carry her \[s\].
pub const HARDLY_PLUGS_IN_S: f64 = 3.0 * HOUR_S;

type OfFound = Column<LivedOn>;
type OfYear = Column<EnergyStudy>;
type OfMonth = Column<Month>;
type OfWeek = Column<Week>;
type OfChange = Column<Change>;
type OfDay = Column<Day>;
type OfHour = Column<Hour>;

fn hours(count: Interval) -> Interval {
    count.scaled(HOUR_S)
}

static PANELS: Figure = Figure::asked("panels", "panels", "rated power of all panels", Quantity::Power);
static CLIMATE_SOURCE: Figure =
    Figure::plain("climate_source", "climate", "key of the climate's source, or as stated", Origin::Asked);
static RESERVE: Figure =
    Figure::asked("reserve", "reserve", "state of charge at which the drive stops", Quantity::Share);
static WEATHERS: Figure = Figure::plain("weathers", "weathers", "weathers sampled", Origin::Asked);
static MOTORING_POWER: Figure = Figure::part(
    "motoring_power",
    "motoring",
    "power of the drive while motoring",
    Quantity::Power,
    "motoring_year",
);
static REGENERATION_POWER: Figure = Figure::part(
    "regeneration_power",
    "sailing",
    "power into the bank while sailing",
    Quantity::Power,
    "regeneration_year",
);
static REACHED: Figure = Figure::part(
    "motoring_speed_reached",
    "reached",
    "share of samples in which she reaches the motoring speed",
    Quantity::Share,
    "motoring_year",
);

static SUMMARY: Sheet<LivedOn, LivedOn> = Sheet {
    key: "summary",
    title: "What she is lived on with",
    form: Form::Files,
    columns: &[&List(&[
        OfFound::number(&PANELS, |f| Some(f.plan.rated_w())),
        OfFound::text(&CLIMATE_SOURCE, |f| Some(f.plan.climate_source.to_owned())),
        OfFound::number(&RESERVE, |f| Some(f.plan.reserve)),
        OfFound::count(&WEATHERS, |f| Some(f.study.as_ref()?.samples.asked as u64)),
        OfFound::band(&MOTORING_POWER, |f| Some(f.study.as_ref()?.under_way.motoring_w)),
        OfFound::band(&REGENERATION_POWER, |f| Some(f.study.as_ref()?.under_way.regeneration_w)),
        OfFound::number(&REACHED, |f| Some(f.study.as_ref()?.reaches_in)),
    ])],
    rows: itself,
    tone: plain,
};

static LOST: Figure = Figure::computed(
    "lost_year",
    "lost",
    "lost in the bank in a year",
    Quantity::Energy,
    Origin::Because(
        "it is what the hours leave of charging and discharging: in the cells' resistance, and of charge not given back",
    ),
);

static FIGURES: Sheet<LivedOn, EnergyStudy> = Sheet {
    key: "figures",
    title: "The year, at the bank",
    form: Form::List,
    columns: &[&ENERGY_FIGURES, &List(&[OfYear::band(&LOST, |s| Some(s.year.lost_j))])],
    rows: |found, see| found.study.iter().for_each(see),
    tone: plain,
};

/// A month with its number from 1.
struct Month {
    number: usize,
    found: MonthIntervals,
}

static MONTH: Figure = Figure::plain("month", "month", "month from 1 to 12", Origin::Asked);
static MONTH_NAME: Figure = Figure::plain("month_name", "", "its name", Origin::Asked);
static SUN_DAY: Figure =
    Figure::part("sun_day", "sun", "what the panels could give in a day", Quantity::Energy, "sun_year");
static HOUSE_DAY: Figure =
    Figure::part("house_day", "loads", "loads aboard in a day", Quantity::Energy, "house_year");
static SURPLUS_DAY: Figure = Figure::part(
    "surplus_day",
    "wasted",
    "sun and propeller not taken by the bank in a day",
    Quantity::Energy,
    "surplus_year",
);
static SHORE_MONTH: Figure = Figure::part(
    "shore_hours",
    "shore",
    "time on shore power in the month",
    Quantity::Duration,
    "shore_hours",
);
static MEAN_CHARGE: Figure =
    Figure::part("mean_charge", "charge\nmean", "mean state of charge", Quantity::Share, "reserve_hours");
static LOWEST_CHARGE: Figure =
    Figure::part("lowest_charge", "least", "lowest state of charge", Quantity::Share, "reserve_hours");
static MILES_MONTH: Figure = Figure::part(
    "miles_a_week_on_sun",
    "a week",
    "motoring a week that the sun alone carries",
    Quantity::Distance,
    "miles_a_week_on_sun",
);

static MONTHS: Sheet<LivedOn, Month> = Sheet {
    key: "months",
    title: "Month by month, energies of a day",
    form: Form::Table,
    columns: &[&List(&[
        OfMonth::count(&MONTH, |r| Some(r.number as u64)).in_files(),
        OfMonth::text(&MONTH_NAME, |r| MONTH_WORDS.get(r.number - 1).map(|&word| word.to_owned())),
        OfMonth::band(&SUN_DAY, |r| Some(r.found.sun_day_j)).unit("kWh"),
        OfMonth::value(&HOUSE_DAY, |r| Some(r.found.house_day_j)).unit("kWh"),
        OfMonth::value(&SURPLUS_DAY, |r| Some(r.found.surplus_day_j)).unit("kWh"),
        OfMonth::band(&SHORE_MONTH, |r| Some(hours(r.found.shore_hours))).unit("h").decimals(0),
        OfMonth::value(&MEAN_CHARGE, |r| Some(r.found.charge)),
        OfMonth::value(&LOWEST_CHARGE, |r| Some(r.found.lowest)),
        OfMonth::band(&MILES_MONTH, |r| r.found.miles_week_m).decimals(0),
    ])],
    rows: |found, see| {
        let months = found.study.iter().flat_map(|study| &study.months);
        months.enumerate().for_each(|(i, found)| see(&Month { number: i + 1, found: *found }));
    },
    tone: |_, row| {
        let is_plugged = hours(row.found.shore_hours).value >= HARDLY_PLUGS_IN_S;
        if is_plugged { Tone::Plain } else { Tone::Passes }
    },
};

/// A week with its number from 1.
struct Week {
    number: usize,
    found: WeekIntervals,
}

static WEEK: Figure = Figure::plain("week", "week", "week from 1 January on", Origin::Asked);
static LOWEST_WEEK: Figure = Figure::part(
    "lowest_charge",
    "least",
    "state of charge than which it is never lower in nine weathers of ten",
    Quantity::Share,
    "reserve_hours",
);
static HIGHEST_WEEK: Figure = Figure::part(
    "highest_charge",
    "most",
    "state of charge than which it is never higher in nine weathers of ten",
    Quantity::Share,
    "reserve_hours",
);

static WEEKS: Sheet<LivedOn, Week> = Sheet {
    key: "weeks",
    title: "State of charge week by week",
    form: Form::FileTable,
    columns: &[&List(&[
        OfWeek::count(&WEEK, |r| Some(r.number as u64)),
        OfWeek::number(&LOWEST_WEEK, |r| Some(r.found.lowest)),
        OfWeek::number(&MEAN_CHARGE, |r| Some(r.found.mean)),
        OfWeek::number(&HIGHEST_WEEK, |r| Some(r.found.highest)),
    ])],
    rows: |found, see| {
        let weeks = found.study.iter().flat_map(|study| &study.weeks);
        weeks.enumerate().for_each(|(i, found)| see(&Week { number: i + 1, found: *found }));
    },
    tone: plain,
};

static ONE_MORE: Figure = Figure::plain("one_more", "", "what there is one more of", Origin::Asked);
static PANEL: Figure = Figure::asked("panel", "of", "power of the panel", Quantity::Power);

static CHANGES: Sheet<LivedOn, Change> = Sheet {
    key: "changes",
    title: "What one thing more would change in a year, under the same weather",
    form: Form::Table,
    columns: &[&List(&[
        OfChange::word(&ONE_MORE, |r| {
            Some(match r.alternative {
                Alternative::MorePanel(_) => Word { key: "panel", words: "one more panel" },
                Alternative::MorePack => Word { key: "pack", words: "one more pack" },
            })
        }),
        OfChange::number(&PANEL, |r| match r.alternative {
            Alternative::MorePanel(power_w) => Some(power_w),
            Alternative::MorePack => None,
        }),
        OfChange::band(&SHORE_HOURS, |r| Some(hours(r.shore_hours))).head("shore").unit("h").decimals(0),
        OfChange::value(&SHORE, |r| Some(r.shore_j)).head("shore").unit("kWh").decimals(0),
        OfChange::value(&SURPLUS, |r| Some(r.surplus_j)).head("wasted").unit("kWh").decimals(0),
        OfChange::value(&MOTORING_LOST, |r| Some(hours(r.motoring_lost_hours)))
            .head("motoring\nlost")
            .unit("h")
            .decimals(0),
        OfChange::value(&MILES_WEEK, |r| r.miles_week_m).head("a week"),
    ])],
    rows: |found, see| found.study.iter().flat_map(|study| &study.changes).for_each(see),
    tone: plain,
};

static DATE: Figure = Figure::plain("date", "date", "the day", Origin::Asked);
static SUNRISE: Figure = Figure::part(
    "sunrise",
    "rises",
    "hours of local mean time at which the sun rises; none when it does not",
    Quantity::Duration,
    "sun_year",
);
static SUNSET: Figure = Figure::part(
    "sunset",
    "sets",
    "hours of local mean time at which the sun sets; none when it does not",
    Quantity::Duration,
    "sun_year",
);
static CLEARNESS: Figure =
    Figure::asked("clearness", "clearness", "mean clearness of the month", Quantity::Share);
static START: Figure = Figure::asked("start", "start", "state of charge at the start", Quantity::Share);
static IS_UNDER_WAY: Figure = Figure::plain("is_under_way", "under way", "she goes out on it", Origin::Asked);

static DAY: Sheet<LivedOn, Day> = Sheet {
    key: "day",
    title: "The day",
    form: Form::Files,
    columns: &[&List(&[
        OfDay::text(&DATE, |r| {
            let (year, month, number) = r.date;
            Some(format!("{year:04}-{month:02}-{number:02}"))
        }),
        OfDay::number(&SUNRISE, |r| Some(r.rise_h? * HOUR_S)),
        OfDay::number(&SUNSET, |r| Some(r.set_h? * HOUR_S)),
        OfDay::number(&CLEARNESS, |r| Some(r.clearness)),
        OfDay::number(&START, |r| Some(r.start)),
        OfDay::flag(&IS_UNDER_WAY, |r| Some(r.is_under_way)),
    ])],
    rows: |found, see| found.day.iter().for_each(see),
    tone: plain,
};

/// An hour with the time at which it begins.
struct Hour {
    begins: usize,
    found: DayHour,
}

const fn of_hour(key: &'static str, head: &'static str, label: &'static str, of: &'static str) -> Figure {
    Figure::part(key, head, label, Quantity::Power, of)
}

static HOUR: Figure = Figure::plain("hour", "from", "local mean hour that begins", Origin::Asked);
static SUN_HEIGHT: Figure =
    Figure::part("sun_height", "sun's\nheight", "height of the sun", Quantity::Angle, "sun_year");
static CLEAR: Figure = of_hour("clear", "clear", "panels under a clear sky", "sun_year");
static USUAL: Figure = of_hour("usual", "usual", "panels under the month's mean clearness", "sun_year");
static DARK: Figure = of_hour("dark", "dark", "panels on a day that one in ten is darker than", "sun_year");
static HOUSE_SERVED: Figure = of_hour("loads", "loads", "loads aboard, as served", "house_year");
static HOUSE_MISSING: Figure =
    of_hour("loads_missing", "missing", "asked for by the loads with the packs cut out", "cut_out_hours");
static DRIVE: Figure = of_hour("drive", "drive", "drive, as served", "motoring_year");
static DRIVE_MISSING: Figure =
    of_hour("drive_missing", "missing", "asked for by the drive at the reserve", "motoring_lost_hours");
static BACK: Figure = of_hour("regeneration", "back", "from the propeller", "regeneration_year");
static FROM_SHORE: Figure = of_hour("shore", "shore", "from the shore", "shore_year");
static WASTED: Figure =
    of_hour("surplus", "wasted", "of sun and propeller, what the bank did not take", "surplus_year");
static STATE_OF_CHARGE: Figure = Figure::part(
    "state_of_charge",
    "charge",
    "state of charge at the end of the hour, usual sky",
    Quantity::Share,
    "reserve_hours",
);

static HOURS: Sheet<LivedOn, Hour> = Sheet {
    key: "hours",
    title: "Hour by hour, into the bank",
    form: Form::Table,
    columns: &[&List(&[
        OfHour::count(&HOUR, |r| Some(r.begins as u64)),
        OfHour::number(&SUN_HEIGHT, |r| Some(r.found.height_rad)).decimals(0),
        OfHour::number(&CLEAR, |r| Some(r.found.clear_w)).unit("W"),
        OfHour::number(&USUAL, |r| Some(r.found.usual_w)).unit("W"),
        OfHour::number(&DARK, |r| Some(r.found.dark_w)).unit("W"),
        OfHour::number(&HOUSE_SERVED, |r| Some(r.found.house_w)).unit("W"),
        OfHour::number(&HOUSE_MISSING, |r| Some(r.found.missing_house_w)).in_files(),
        OfHour::number(&DRIVE, |r| Some(r.found.drive_w)).unit("W"),
        OfHour::number(&DRIVE_MISSING, |r| Some(r.found.missing_drive_w)).in_files(),
        OfHour::number(&BACK, |r| Some(r.found.regeneration_w)).unit("W"),
        OfHour::number(&FROM_SHORE, |r| Some(r.found.shore_w)).unit("W"),
        OfHour::number(&WASTED, |r| Some(r.found.surplus_w)).in_files(),
        OfHour::number(&STATE_OF_CHARGE, |r| Some(r.found.state_of_charge)),
    ])],
    rows: |found, see| {
        let hours = found.day.iter().flat_map(|day| &day.hours);
        hours.enumerate().for_each(|(begins, found)| see(&Hour { begins, found: *found }));
    },
    tone: plain,
};
