//! The sheets of an offer. Not for: how they are worked out (`study`).

use wakewright_units::{Quantity, format_number};

use super::study::{Choice, OfferStudy, Part, Sum};
use crate::field;
use crate::options::MASS_CHANGE;
use crate::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, plain};
use crate::study::{BINDING_LIMIT, RANGE, STATE, StateFigure};

/// Every sheet, in its order in files.
pub static OFFER_SHEETS: [&dyn AnySheet<OfferStudy>; 4] = [&PARTS, &SUMS, &FIGURES, &CHOICES];

static NAME: Figure = Figure::plain("offer_part", "part", "part", Origin::Asked);
static RATING: Figure = Figure::plain("offer_rating", "rating", "rating or size", Origin::Asked);
static NUMBER: Figure = Figure::plain("offer_number", "number", "how many, or metres", Origin::Asked);
static MASS: Figure = Figure::asked("offer_mass", "mass", "mass of all of it", Quantity::Mass);
static EACH: Figure =
    Figure::plain("offer_price", "each", "price of one or of a metre, as typed", Origin::Asked);
static DAY: Figure = Figure::plain("offer_price_day", "of", "day of the price", Origin::Asked);
static HOURS: Figure = Figure::plain("offer_hours", "hours", "hours of work, as typed", Origin::Asked);
static COST: Figure = Figure::plain(
    "offer_cost",
    "cost",
    "price times number",
    Origin::Because("a sum of what was typed, to the cent"),
);
const SUM: Origin = Origin::Because("a sum of what was typed, to the cent, in one currency");
static PARTS_SUM: Figure =
    Figure::plain("offer_parts_sum", "parts", "sum of the parts that have a price", SUM);
static LABOUR: Figure = Figure::plain("offer_labour", "work", "hours times the price of an hour", SUM);
static CONTINGENCY: Figure = Figure::plain(
    "offer_contingency",
    "contingency",
    "for what nobody foresees, a share of parts and work",
    SUM,
);
static TOTAL: Figure = Figure::plain("offer_total", "total", "all of it", SUM);

type OfPart = Column<Part>;
type OfSum = Column<Sum>;
type OfAll = Column<OfferStudy>;

static PARTS: Sheet<OfferStudy, Part> = Sheet {
    key: "parts",
    title: "Parts",
    form: Form::Table,
    columns: &[&List(&[
        OfPart::text(&NAME, |part| Some(part.name.clone())),
        OfPart::text(&RATING, |part| Some(part.rating.clone())),
        OfPart::text(&NUMBER, |part| Some(number(part))),
        OfPart::number(&MASS, |part| Some(part.mass_kg? * part.thousandths as f64 / 1000.0)),
        OfPart::text(&EACH, |part| Some(part.priced.as_ref()?.each.to_string())),
        OfPart::text(&DAY, |part| Some(part.priced.as_ref()?.day.clone())).in_files(),
        OfPart::text(&HOURS, |part| {
            let hundredths = part.priced.as_ref()?.hours_hundredths;
            (hundredths > 0).then(|| format_number(hundredths as f64 / 100.0, 1))
        }),
        OfPart::text(&COST, |part| Some(part.cost()?.to_string())),
    ])],
    rows: |study, see| study.parts.iter().for_each(see),
    tone: |_, part| if part.priced.is_some() { Tone::Plain } else { Tone::Faint },
};

fn number(part: &Part) -> String {
    let many = part.thousandths as f64 / 1000.0;
    if part.in_metres { format!("{} m", format_number(many, 2)) } else { format_number(many, 0) }
}

static SUMS: Sheet<OfferStudy, Sum> = Sheet {
    key: "sums",
    title: "Sums, each currency by itself",
    form: Form::Table,
    columns: &[&List(&[
        OfSum::text(&PARTS_SUM, |sum| Some(sum.parts.to_string())),
        OfSum::text(&LABOUR, |sum| Some(sum.labour.to_string())),
        OfSum::text(&CONTINGENCY, |sum| Some(sum.contingency.to_string())),
        OfSum::text(&TOTAL, |sum| Some(sum.total.to_string())),
    ])],
    rows: |study, see| study.sums.iter().for_each(see),
    tone: plain,
};

static TIME: Figure =
    Figure::plain("offer_year_hours", "hours", "hours under way in the year, as told", Origin::Asked);
static SPEED: Figure =
    Figure::asked("offer_speed", "speed", "speed through the water in them", Quantity::Speed);
static BANK: Figure = Figure::computed(
    "offer_bank_energy",
    "bank",
    "energy out of the bank in them",
    Quantity::Energy,
    Origin::Formula {
        formula: "power out of the bank at that speed x hours",
        sources: &["krause2013", "keuning1998"],
        inputs: &[
            field::hull::DISPLACEMENT,
            field::hull::BOTTOM,
            field::propeller::PITCH,
            field::bank::HOUSE_LOAD,
            field::sea::HEAD_WIND,
        ],
        validity: "one speed and one wind stand for all hours; as the power out of the bank",
    },
);
static PLUG: Figure = Figure::computed(
    "offer_plug_energy",
    "plug",
    "energy from the plug for it",
    Quantity::Energy,
    Origin::Formula {
        formula: "out of the bank / share that the charger gives, 0.85 to 0.95",
        sources: &["common practice, no source"],
        inputs: &[field::hull::DISPLACEMENT, field::hull::BOTTOM, field::propeller::PITCH],
        validity: "charger from memory; what sun and propeller give is not taken off: energy has the year as she is lived on",
    },
);
static FUEL: Figure = Figure::computed(
    "offer_fuel",
    "diesel",
    "diesel that an engine burns for the same work at the propeller",
    Quantity::Volume,
    Origin::Formula {
        formula: "V = (E b + t i) / rho, b = 220 to 350 g/kWh at the shaft, i = 0.2 to 0.6 L/h for turning over, rho = 832.36 kg/m3",
        sources: &["ukghg2025"],
        inputs: &[
            field::hull::DISPLACEMENT,
            field::hull::BOTTOM,
            field::propeller::PITCH,
            field::sea::HEAD_WIND,
        ],
        validity: "consumption from memory, turning over counted; charging through an alternator takes more than this",
    },
);
static HEAT: Figure =
    Figure::part("offer_fuel_heat", "heat", "heat in that diesel", Quantity::Energy, "offer_fuel");
static CARBON: Figure = Figure::computed(
    "offer_carbon",
    "CO2",
    "carbon dioxide and equivalents from that diesel",
    Quantity::Mass,
    Origin::Formula {
        formula: "2.571 kg a litre",
        sources: &["ukghg2025"],
        inputs: &[field::hull::DISPLACEMENT, field::hull::BOTTOM, field::propeller::PITCH],
        validity: "burning alone; what the shore's energy emits depends on the grid and is not in it",
    },
);
static FUEL_COST: Figure = Figure::plain(
    "offer_fuel_cost",
    "diesel",
    "money for that diesel, at the price typed",
    Origin::Of("offer_fuel"),
);
static PLUG_COST: Figure = Figure::plain(
    "offer_plug_cost",
    "plug",
    "money for the energy from the plug, at the price typed",
    Origin::Of("offer_plug_energy"),
);

static FIGURES: Sheet<OfferStudy, OfferStudy> = Sheet {
    key: "figures",
    title: "A year against the old engine",
    form: Form::List,
    columns: &[&List(&[
        OfAll::count(&TIME, |study| Some((study.year.as_ref()?.asked.time_s / 3600.0).round() as u64)),
        OfAll::number(&SPEED, |study| Some(study.year.as_ref()?.asked.speed_m_s)),
        OfAll::band(&BANK, |study| Some(study.year.as_ref()?.drawn.bank_j)),
        OfAll::band(&PLUG, |study| Some(study.year.as_ref()?.drawn.plug_j)),
        OfAll::band(&FUEL, |study| Some(study.year.as_ref()?.fuel_m3)),
        OfAll::band(&HEAT, |study| Some(study.year.as_ref()?.heat_j)),
        OfAll::band(&CARBON, |study| Some(study.year.as_ref()?.carbon_kg)),
        OfAll::text(&PLUG_COST, |study| study.year.as_ref()?.drawn.cost.clone()),
        OfAll::text(&FUEL_COST, |study| study.year.as_ref()?.fuel_cost.clone()),
    ])],
    rows: |study, see| study.year.iter().for_each(|_| see(study)),
    tone: plain,
};

static CHOICE: Figure =
    Figure::plain("offer_choice", "", "the boat as she is, or an alternative by its name", Origin::Asked);
const OF_SAMPLES: Origin = Origin::Because("it is a count of the samples");
static FASTER_IN: Figure =
    share("offer_faster_in", "faster in", "share of the samples in which it is faster than she is");
static FURTHER_IN: Figure =
    share("offer_further_in", "goes further in", "share of the samples in which its range is more than hers");
static LIMIT_IN: Figure =
    share("offer_limit_in", "that in", "share of the samples in which that limit stops her");
static PRICE: Figure = Figure::plain(
    "offer_choice_price",
    "price",
    "price with its work and what nobody foresees, as typed with its day, else as the document has it",
    Origin::Asked,
);

const fn share(key: &'static str, head: &'static str, label: &'static str) -> Figure {
    Figure { key, head, label, quantity: Quantity::Share, origin: OF_SAMPLES }
}

type OfChoice = Column<Choice>;

static CHOICES: Sheet<OfferStudy, Choice> = Sheet {
    key: "choices",
    title: "Alternatives, what each gives and how sure",
    form: Form::Across,
    columns: &[&List(&[
        OfChoice::text(&CHOICE, |choice| Some(choice.name.clone())),
        OfChoice::band(&STATE[StateFigure::Speed as usize], |choice| choice.speed_m_s)
            .decimals(2)
            .head("top speed"),
        OfChoice::number(&FASTER_IN, |choice| choice.faster_in),
        OfChoice::word(&BINDING_LIMIT, |choice| Some(choice.limit.word())),
        OfChoice::number(&LIMIT_IN, |choice| choice.limit_in),
        OfChoice::band(&RANGE, |choice| choice.range_m).head("range"),
        OfChoice::number(&FURTHER_IN, |choice| choice.further_in),
        OfChoice::band(&MASS_CHANGE, |choice| choice.mass_kg).value_only().head("mass gained"),
        OfChoice::text(&PRICE, |choice| choice.price.clone()),
        OfChoice::band(&BANK, |choice| Some(choice.drawn.as_ref()?.bank_j)).in_files(),
        OfChoice::band(&PLUG, |choice| Some(choice.drawn.as_ref()?.plug_j))
            .head("a year from the plug")
            .decimals(0),
        OfChoice::text(&PLUG_COST, |choice| choice.drawn.as_ref()?.cost.clone()).head("money for it"),
    ])],
    rows: |study, see| study.choices.iter().for_each(see),
    tone: plain,
};
