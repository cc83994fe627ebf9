//! The sheets of the bank. Not for: how they are worked out.

use wakewright_units::Quantity;

use super::BankStudy;
use super::figure::{BANK_FIGURES, USABLE};
use super::rows::{
    AgeRow, ChargeAtTemperature, ChargeRow, FurtherRow, HoldRow, LoadOnBank, LostRow, PackRow, SagRow,
};
use super::used::UsedRow;
use crate::battery::StoppedBy;
use crate::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, Word, itself, plain};
use crate::steady::Limit;
use crate::study::{STATE, StateFigure};

/// Every sheet, in its order in files.
pub static BANK_SHEETS: [&dyn AnySheet<BankStudy>; 11] = [
    &SUMMARY,
    &FIGURES,
    &LOADS,
    &TEMPERATURES,
    &PACKS,
    &SAG,
    &ONE_PACK_LOST,
    &CHARGING,
    &AGEING,
    &FURTHER,
    &USED,
];

type OfStudy = Column<BankStudy>;
type OfLoad = Column<LoadOnBank>;
type OfHold = Column<HoldRow>;
type OfPack = Column<PackRow>;
type OfSag = Column<SagRow>;
type OfLost = Column<LostRow>;
type OfCharge = Column<ChargeRow>;
type OfAge = Column<AgeRow>;
type OfFurther = Column<FurtherRow>;

static FIGURES: Sheet<BankStudy, BankStudy> = Sheet {
    key: "figures",
    title: "The bank",
    form: Form::List,
    columns: &[&BANK_FIGURES],
    rows: itself,
    tone: plain,
};

static RESERVE: Figure =
    Figure::asked("reserve", "reserve", "state of charge at which the drive stops", Quantity::Share);
static HOLDS_UP_TO: Figure = Figure::part(
    "holds_up_to_throttle",
    "hold to",
    "throttle up to which the others carry on when one pack drops out; none when they do at every one asked",
    Quantity::Share,
    "current_with_pack_lost",
);

static SUMMARY: Sheet<BankStudy, BankStudy> = Sheet {
    key: "summary",
    title: "Reserve, and the throttle that a lost pack allows",
    form: Form::Files,
    columns: &[&List(&[
        OfStudy::number(&RESERVE, |s| Some(s.reserve)),
        OfStudy::number(&HOLDS_UP_TO, |s| s.holds_up_to),
    ])],
    rows: itself,
    tone: plain,
};

static LOAD: Figure = Figure::plain("load", "load", "what runs the bank down", Origin::Asked);
static BANK_POWER: &Figure = &STATE[StateFigure::BankPower as usize];

static LOADS: Sheet<BankStudy, LoadOnBank> = Sheet {
    key: "loads",
    title: "What it gives, from full to the reserve",
    form: Form::Table,
    columns: &[&List(&[
        OfLoad::word(&LOAD, |r| Some(r.load)),
        OfLoad::number(BANK_POWER, |r| Some(r.power_w)).head("power").unit("W"),
        OfLoad::band(&USABLE, |r| r.usable_j).head("energy"),
    ])],
    rows: |study, see| study.loads.iter().for_each(see),
    tone: plain,
};

static CELLS: Figure = Figure::asked("cells", "cells", "temperature of the cells", Quantity::Temperature);
static AT_STANDING: Figure = at_load("standing_energy", "standing\nload");
static AT_CRUISING: Figure = at_load("cruising_energy", "cruising");
static AT_FULL: Figure = at_load("full_throttle_energy", "full\nthrottle");
static STANDING_REACHES: Figure = reaches("standing_reaches_reserve");
static CRUISING_REACHES: Figure = reaches("cruising_reaches_reserve");
static FULL_REACHES: Figure = reaches("full_throttle_reaches_reserve");
static ENDS_EARLY: Figure = Figure::plain(
    "ends_early",
    "cut off\nbefore the reserve",
    "loads at which the packs' low voltage ends it before the reserve",
    Origin::Of("usable_energy"),
);
static MAY_CHARGE: Figure =
    Figure::plain("may_charge", "may be\ncharged", "may be charged at all", Origin::Of("charging_time"));
static AT_MOST: Figure = Figure::part(
    "charge_at_most",
    "at most",
    "no more than this into cold cells; none where the cold does not limit it",
    Quantity::Current,
    "charging_time",
);

const fn at_load(key: &'static str, head: &'static str) -> Figure {
    Figure::part(key, head, "energy from full to the reserve at that load", Quantity::Energy, "usable_energy")
}

const fn reaches(key: &'static str) -> Figure {
    let label = "the reserve is reached at that load before the packs cut out";
    Figure::plain(key, "reaches", label, Origin::Of("usable_energy"))
}

fn at(row: &HoldRow, load: usize) -> Option<f64> {
    Some((*row.energy_j.get(load)?)?.0)
}

fn is_reached(row: &HoldRow, load: usize) -> Option<bool> {
    Some((*row.energy_j.get(load)?)?.1 == StoppedBy::Target)
}

fn ends_early(row: &HoldRow) -> Option<String> {
    let is_early = |(i, _): &(usize, &Word)| is_reached(row, *i) == Some(false);
    let loads: Vec<&str> =
        super::LOADS.iter().enumerate().filter(is_early).map(|(_, load)| load.words).collect();
    (!loads.is_empty()).then(|| loads.join(", "))
}

static TEMPERATURES: Sheet<BankStudy, HoldRow> = Sheet {
    key: "temperatures",
    title: "What it holds, from full to the reserve",
    form: Form::Table,
    columns: &[&List(&[
        OfHold::number(&CELLS, |r| Some(r.temperature_k)),
        OfHold::number(&AT_STANDING, |r| at(r, 0)),
        OfHold::number(&AT_CRUISING, |r| at(r, 1)),
        OfHold::number(&AT_FULL, |r| at(r, 2)),
        OfHold::flag(&STANDING_REACHES, |r| is_reached(r, 0)).in_files(),
        OfHold::flag(&CRUISING_REACHES, |r| is_reached(r, 1)).in_files(),
        OfHold::flag(&FULL_REACHES, |r| is_reached(r, 2)).in_files(),
        OfHold::flag(&MAY_CHARGE, |r| Some(r.charging != ChargeAtTemperature::Nothing)),
        OfHold::number(&AT_MOST, |r| match r.charging {
            ChargeAtTemperature::AtMostA(current_a) => Some(current_a),
            ChargeAtTemperature::Nothing | ChargeAtTemperature::Free => None,
        }),
        OfHold::text(&ENDS_EARLY, ends_early),
    ])],
    rows: |study, see| study.holds.iter().for_each(see),
    tone: |study, row| {
        let is_now = (row.temperature_k - study.temperature_k).abs() < 0.5;
        if is_now { Tone::Strong } else { Tone::Plain }
    },
};

static COUNT: Figure = Figure::plain("count", "packs", "packs alike", Origin::Asked);
static CAPACITY: Figure =
    Figure::asked("capacity", "each\nholds", "capacity of one as aged", Quantity::Charge);
static HEALTH: Figure = Figure::part(
    "health",
    "of new",
    "capacity left over that when new",
    Quantity::Share,
    "capacity_after_years",
);
static CURRENT: Figure = Figure::part(
    "current",
    "each\ngives",
    "current of one at full throttle",
    Quantity::Current,
    "pack_current",
);
static SHARE_OF_LIMIT: Figure = Figure::part(
    "of_limit",
    "of its\nlimit",
    "that current over what the packs' protection lets out",
    Quantity::Share,
    "pack_current",
);

static PACKS: Sheet<BankStudy, PackRow> = Sheet {
    key: "packs",
    title: "How the packs share at full throttle",
    form: Form::Table,
    columns: &[&List(&[
        OfPack::count(&COUNT, |r| Some(r.count.into())),
        OfPack::number(&CAPACITY, |r| Some(r.capacity_coulomb)).decimals(0),
        OfPack::number(&HEALTH, |r| Some(r.health)),
        OfPack::number(&CURRENT, |r| Some(r.current_a)).decimals(0),
        OfPack::number(&SHARE_OF_LIMIT, |r| Some(r.share_of_limit).filter(|share| *share > 0.0)),
    ])],
    rows: |study, see| study.packs.iter().for_each(see),
    tone: |_, row| if row.share_of_limit > 1.0 { Tone::Binds } else { Tone::Plain },
};

static STATE_OF_CHARGE: Figure =
    Figure::asked("state_of_charge", "charge", "state of charge", Quantity::Share);
static REST: Figure =
    Figure::part("rest", "at rest", "volts of the bank at rest", Quantity::Voltage, "volts_when_low");
static LOADED: Figure =
    Figure::part("loaded", "loaded", "volts at the controller", Quantity::Voltage, "volts_when_low");
static SPEED: &Figure = &STATE[StateFigure::Speed as usize];
static BINDING: Figure =
    Figure::plain("binding_limit", "what stops her", "the limit that binds", Origin::Of("speed"));

static SAG: Sheet<BankStudy, SagRow> = Sheet {
    key: "sag",
    title: "Full throttle as it empties",
    form: Form::Table,
    columns: &[&List(&[
        OfSag::number(&STATE_OF_CHARGE, |r| Some(r.state_of_charge)),
        OfSag::number(&REST, |r| Some(r.rest_v)),
        OfSag::number(&LOADED, |r| Some(r.loaded_v)),
        OfSag::number(SPEED, |r| Some(r.speed_m_s)).head("speed").decimals(2),
        OfSag::word(&BINDING, |r| Some(r.limit.word())),
    ])],
    rows: |study, see| study.sag.iter().for_each(see),
    tone: plain,
};

static THROTTLE: Figure = Figure::asked("throttle", "throttle", "throttle position", Quantity::Share);
static SPEED_BEFORE: Figure =
    Figure::part("speed_before", "before", "speed with all packs", Quantity::Speed, "speed_with_pack_lost");
static REST_CURRENT: Figure = Figure::part(
    "rest_current",
    "the rest\ngive",
    "current that the others then give; none when they cannot",
    Quantity::Current,
    "current_with_pack_lost",
);
static REST_HOLDS: Figure =
    Figure::plain("rest_holds", "they\nhold", "the others do not trip", Origin::Of("current_with_pack_lost"));
static REST_POWER: Figure = Figure::part(
    "rest_power",
    "they can\ngive",
    "power that the others can give",
    Quantity::Power,
    "current_with_pack_lost",
);
static SPEED_LEFT: Figure = Figure::part(
    "speed_left",
    "left",
    "speed left on the others; none when they cannot move her",
    Quantity::Speed,
    "speed_with_pack_lost",
);
static BINDING_LEFT: Figure = Figure::plain(
    "binding_limit_left",
    "what stops\nher then",
    "the limit that binds then",
    Origin::Of("speed_with_pack_lost"),
);

/// A limit in as few words as a narrow column has room for.
fn brief_word(limit: Limit) -> Word {
    let words = match limit {
        Limit::Throttle => "throttle",
        Limit::BankVolts => "bank volts",
        Limit::BatteryAmps => "battery amps",
        Limit::PhaseAmps => "phase amps",
        Limit::Power => "power",
        Limit::MotorPower => "motor power",
        Limit::Bms => "packs' BMS",
        Limit::LowVoltage => "low voltage",
        Limit::MotorHeat => "motor heat",
        Limit::Cavitation => "cavitation",
        Limit::HullMethod => "hull method",
    };
    Word { key: limit.key(), words }
}

static ONE_PACK_LOST: Sheet<BankStudy, LostRow> = Sheet {
    key: "one_pack_lost",
    title: "One pack lost",
    form: Form::Table,
    columns: &[&List(&[
        OfLost::number(&THROTTLE, |r| Some(r.throttle)),
        OfLost::number(&SPEED_BEFORE, |r| Some(r.speed_m_s)),
        OfLost::number(BANK_POWER, |r| Some(r.power_w)).head("load"),
        OfLost::number(&REST_CURRENT, |r| r.outcome.current_a).decimals(0),
        OfLost::number(&SHARE_OF_LIMIT, |r| {
            Some(r.outcome.share_of_limit).filter(|share| *share > 0.0 && share.is_finite())
        })
        .head("of their\nlimit"),
        OfLost::flag(&REST_HOLDS, |r| r.outcome.surely_holds()),
        OfLost::number(&REST_POWER, |r| Some(r.outcome.power_available_w)).in_files(),
        OfLost::number(&SPEED_LEFT, |r| Some(r.left?.0)),
        OfLost::word(&BINDING_LEFT, |r| Some(brief_word(r.left?.1))),
    ])],
    rows: |study, see| study.lost.iter().for_each(see),
    tone: |_, row| if row.outcome.holds { Tone::Plain } else { Tone::Binds },
};

static SOURCE: Figure = Figure::plain("source", "from", "what it is charged from", Origin::Asked);
static CHARGE_POWER: Figure = Figure::part(
    "power",
    "into the\nbank",
    "power into the bank's terminals",
    Quantity::Power,
    "charging_time",
);
static IS_STEADY: Figure =
    Figure::plain("is_steady", "steady", "it gives that power for hours", Origin::Asked);
static TO_EIGHTY: Figure = Figure::part(
    "to_80_percent",
    "to 80 %",
    "time from the reserve to 80 %; none where no charge is taken or the source is not steady",
    Quantity::Duration,
    "charging_time",
);
static TO_FULL: Figure =
    Figure::part("to_full", "to full", "time from the reserve to full", Quantity::Duration, "charging_time");
static TAPER: Figure = Figure::part(
    "taper",
    "of that the\ncells limit",
    "part of the time to full in which the cells limit",
    Quantity::Duration,
    "charging_time",
);

static CHARGING: Sheet<BankStudy, ChargeRow> = Sheet {
    key: "charging",
    title: "Charging from the reserve",
    form: Form::Table,
    columns: &[&List(&[
        OfCharge::text(&SOURCE, |r| Some(r.words.clone())),
        OfCharge::number(&CHARGE_POWER, |r| Some(r.power_w)).unit("W"),
        OfCharge::flag(&IS_STEADY, |r| Some(r.is_steady)).in_files(),
        OfCharge::number(&TO_EIGHTY, |r| Some(r.to_eighty?.duration_s)).unit("h"),
        OfCharge::number(&TO_FULL, |r| Some(r.to_full?.duration_s)).unit("h"),
        OfCharge::number(&TAPER, |r| Some(r.to_full?.taper_s)).unit("h"),
    ])],
    rows: |study, see| study.charging.iter().for_each(see),
    tone: plain,
};

static YEARS: Figure = Figure::asked("years", "years", "years from now", Quantity::Ratio);

static AGEING: Sheet<BankStudy, AgeRow> = Sheet {
    key: "ageing",
    title: "As the years go by",
    form: Form::Table,
    columns: &[&List(&[
        OfAge::number(&YEARS, |r| Some(r.years)).decimals(0),
        OfAge::band(&HEALTH, |r| Some(r.health)),
        OfAge::band(&USABLE, |r| r.energy_j).head("cruising"),
    ])],
    rows: |study, see| study.ageing.iter().for_each(see),
    tone: plain,
};

static GROUP: Figure = Figure::plain("group", "bank", "group of the packs in the document", Origin::Asked);
static NOMINAL: Figure = Figure::asked("nominal", "nominal", "name-plate volts", Quantity::Voltage);
static FULL_THROTTLE: Figure = Figure::part(
    "full_throttle",
    "full\nthrottle",
    "speed at full throttle on it; none when it cannot move her",
    Quantity::Speed,
    "speed",
);
static CRUISING_TIME: Figure = Figure::part(
    "cruising",
    "cruising",
    "time at cruising speed from its charge to the reserve; none when it does not carry that speed",
    Quantity::Duration,
    "usable_energy",
);

static FURTHER: Sheet<BankStudy, FurtherRow> = Sheet {
    key: "further",
    title: "Banks used after the first",
    form: Form::Table,
    columns: &[&List(&[
        OfFurther::text(&GROUP, |r| Some(r.name.clone())),
        OfFurther::number(&NOMINAL, |r| Some(r.nominal_v)),
        OfFurther::number(&FULL_THROTTLE, |r| Some(r.full_throttle?.0)),
        OfFurther::word(&BINDING_LEFT, |r| Some(brief_word(r.full_throttle?.1))).head("what\nstops her"),
        OfFurther::number(&CRUISING_TIME, |r| Some(r.cruising?.0)).unit("h"),
        OfFurther::number(&AT_CRUISING, |r| Some(r.cruising?.1)).head("and gives"),
    ])],
    rows: |study, see| study.further.iter().for_each(see),
    tone: plain,
};

const COUNTED: Origin = Origin::Of("usable_energy");
static USED_BANK: Figure =
    Figure::plain("used_bank", "bank", "bank, in the order in which they are used", Origin::Asked);
static USED_GIVES: Figure = Figure::computed(
    "used_gives",
    "gives",
    "charge from full to its reserve at the cruising load",
    Quantity::Charge,
    COUNTED,
);
static USED_GIVEN: Figure = Figure::computed(
    "used_given",
    "has given",
    "what of the count came out of it",
    Quantity::Charge,
    COUNTED,
);
static USED_LEFT: Figure =
    Figure::computed("used_left", "left", "charge that is left above its reserve", Quantity::Charge, COUNTED);

type OfUsed = Column<UsedRow>;

static USED: Sheet<BankStudy, UsedRow> = Sheet {
    key: "used",
    title: "Counted since full",
    form: Form::Table,
    columns: &[&List(&[
        OfUsed::text(&USED_BANK, |r| Some(r.name.clone().unwrap_or_else(|| "the drive's".to_owned()))),
        OfUsed::band(&USED_GIVES, |r| Some(r.gives)),
        OfUsed::value(&USED_GIVEN, |r| Some(r.given)),
        OfUsed::band(&USED_LEFT, |r| Some(r.left)),
    ])],
    rows: |study, see| study.used.iter().for_each(see),
    tone: plain,
};
