//! The sheets of growth. Not for: how they are worked out (`study`).

use wakewright_units::Quantity;

use super::study::{After, GrowthStudy, Month};
use crate::field;
use crate::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, figure_list, itself, plain};

/// Every sheet, in its order in files.
pub static GROWTH_SHEETS: [&dyn AnySheet<GrowthStudy>; 2] = [&FIGURES, &MONTHS];

figure_list! {
    /// The figures of growth that can be asked where they come from.
    GROWTH_FIGURES of GrowthStudy {
    /// The rate.
    GROWTH_A_MONTH { "growth_a_month", "rise of the bottom's sand height in a month, in water of 15 °C", Share,
        formula: "exp(r) - 1; r before any trial 0.33 a month (80 % band a factor of 1.6), then by Bayes over her trials: \
                  ln P / P_clean = h + g(r months 2^((T - 15 °C)/10 K)) + e, h 12 % in all of them, e 6 % of a day and heights of one rate \
                  a factor of 1.8",
        sources: [], inputs: [field::sea::WATER_TEMPERATURE],
        validity: "judgement, no source, before her trials; one trial tells the boat more than the rate, two at different months tell it; blades are taken as clean",
        value: |s| Some(s.rise) }
    /// Today.
    GROWTH_LOST_NOW { "growth_lost_now", "speed lost today at the power that her cruising speed takes clean", Speed,
        formula: "V_cruise - V(P_cruise, k_s); k_s = 30 um exp(r months 2^((T - 15 °C)/10 K)), at most 5 mm", sources: ["granville1987"],
        inputs: [field::hull::BOTTOM_CLEANED, field::usage::CRUISING_SPEED],
        validity: "one roughness all over; clean antifouling as rolled on is nothing lost", value: |s| Some(s.now?.cruise_m_s) }
    /// Power.
    GROWTH_MORE_NOW { "growth_more_now", "more power today for her cruising speed", Share,
        formula: "P(V_cruise, k_s) / P(V_cruise, 30 um) - 1", sources: ["granville1987"],
        inputs: [field::hull::BOTTOM_CLEANED, field::usage::CRUISING_SPEED],
        validity: "as growth_lost_now", value: |s| Some(s.now?.more) }
    }
}

const PAYS: Origin = Origin::Formula {
    formula: "least of (S + integral of p) / T: T p(T) - integral of p = S; p = (P(V_cruise, k_s) - P(V_cruise, 30 um)) x time under power in a month",
    sources: [].as_slice(),
    inputs: &[field::usage::CRUISING_SPEED],
    validity: "economic life, textbook; money at one price a kilowatt-hour; growth begins anew with each scrub",
};
const REACHED: Origin = Origin::Of("growth_lost_now");

static TOLD: Figure = Figure::plain(
    "growth_trials",
    "trials",
    "trials that told something of the rate",
    Origin::Of("growth_a_month"),
);

const fn months(key: &'static str, head: &'static str, label: &'static str, origin: Origin) -> Figure {
    Figure { key, head, label, quantity: Quantity::Duration, origin }
}
static PAYS_FROM: Figure =
    months("scrub_pays_from", "pays from", "a scrub pays after, one time in ten before", PAYS);
static PAYS_AT: Figure =
    months("scrub_pays", "pays", "a scrub pays so long after the last, as often before as after", PAYS);
static PAYS_TO: Figure =
    months("scrub_pays_to", "pays to", "a scrub pays after, one time in ten after", PAYS);
static LOST_FROM: Figure = months(
    "growth_reached_from",
    "from",
    "the stated loss is reached after, one time in ten before",
    REACHED,
);
static LOST_AT: Figure = months(
    "growth_reached",
    "reached",
    "the stated loss is reached after, as often before as after",
    REACHED,
);
static LOST_TO: Figure =
    months("growth_reached_to", "to", "the stated loss is reached after, one time in ten after", REACHED);

fn seconds(after: Option<After>, place: usize) -> Option<f64> {
    Some(after?.0[place]? * wakewright_units::factors::MONTH_S)
}

type Of = Column<GrowthStudy>;

static FIGURES: Sheet<GrowthStudy, GrowthStudy> = Sheet {
    key: "figures",
    title: "Growth and scrubs",
    form: Form::List,
    columns: &[
        &GROWTH_FIGURES,
        &List(&[
            Of::count(&TOLD, |s| Some(s.told as u64)),
            Of::number(&PAYS_FROM, |s| seconds(s.pays, 0)).unit("months"),
            Of::number(&PAYS_AT, |s| seconds(s.pays, 1)).unit("months"),
            Of::number(&PAYS_TO, |s| seconds(s.pays, 2)).unit("months"),
            Of::number(&LOST_FROM, |s| seconds(s.reached, 0)).unit("months"),
            Of::number(&LOST_AT, |s| seconds(s.reached, 1)).unit("months"),
            Of::number(&LOST_TO, |s| seconds(s.reached, 2)).unit("months"),
        ]),
    ],
    rows: itself,
    tone: plain,
};

static MONTH: Figure = Figure::plain("growth_month", "months", "months since she was cleaned", Origin::Asked);
static FULL: Figure = Figure::part(
    "growth_lost_full",
    "lost, full\nthrottle",
    "speed lost at full throttle",
    Quantity::Speed,
    "growth_lost_now",
);
static CRUISE: Figure = Figure::part(
    "growth_lost_cruise",
    "lost, at the\ncruise's power",
    "speed lost at the power that her cruising speed takes clean",
    Quantity::Speed,
    "growth_lost_now",
);
static MORE: Figure = Figure::part(
    "growth_more",
    "more\npower",
    "more power for her cruising speed",
    Quantity::Share,
    "growth_more_now",
);

type OfMonth = Column<Month>;

static MONTHS: Sheet<GrowthStudy, Month> = Sheet {
    key: "months",
    title: "Month by month since she was cleaned",
    form: Form::Table,
    columns: &[&List(&[
        OfMonth::count(&MONTH, |m| Some(m.months.round() as u64)),
        OfMonth::value(&FULL, |m| Some(m.full_m_s)).decimals(2),
        OfMonth::band(&CRUISE, |m| Some(m.cruise_m_s)).decimals(2),
        OfMonth::value(&MORE, |m| Some(m.more)),
    ])],
    rows: |study, see| study.months.iter().for_each(see),
    tone: plain,
};
