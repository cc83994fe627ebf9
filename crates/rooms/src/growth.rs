//! Growth: what it takes from month to month since she was cleaned, when the next scrub pays, and on which of the tides
//! that suit. Not for: how it is reckoned (`wakewright_core::growth`), reading her trials (`shop`).

use jiff::ToSpan;
use wakewright_core::caution;
use wakewright_core::field;
use wakewright_core::growth::{After, GROWTH_SHEETS, GrowthAsked, GrowthStudy, Month};
use wakewright_core::notice::Notice;
use wakewright_core::offer::Money;
use wakewright_core::sheet::{AnySheet, Filled, Interval};
use wakewright_picture::{Axis, Band, Line, Plot, Weight};
use wakewright_units::factors::DAY_S;
use wakewright_units::{Quantity, format_number, unit_for};

use crate::boats::water_k;
use crate::dryout::DryOut;
use crate::moment;
use crate::no_answer::NoAnswer;
use crate::quote::money;
use crate::room::{
    Asked, Block, Card, Place, Question, Replies, Reply, Room, SAMPLES, Typed, read_date, read_speed_within,
};
use crate::sentence::counted;
use crate::shop::Over;
use crate::text::{Finding, Paper, percent};
use crate::whatif::Slider;

/// The room.
#[derive(Debug)]
pub struct Growth;

static CARD: Card = Card {
    key: "growth",
    title: "Growth",
    about: "Knots lost by month since she was cleaned, and when the next scrub pays",
    examples: &[
        "\"Sea Campion\" --cleaned 2026-04-18 --hours 12 --scrub \"90 EUR\" --power \"0.32 EUR\"",
        "\"Sea Campion\" \"Creek quay\" --cleaned 2026-04-18 --lost \"0.4 kn\"",
    ],
    pictures: &[("growth", "speed lost at the cruise's power, by month since she was cleaned")],
    demo: "what does growth take, and when is she scrubbed?",
    samples: SAMPLES,
};

fn read_hours(text: &str) -> Result<Reply, String> {
    match text.trim().trim_end_matches('h').trim().parse::<f64>() {
        Ok(hours) if (0.1..=744.0).contains(&hours) => Ok(Reply::Number(hours * 3600.0)),
        _ => Err("give hours under power in a month, 0.1 to 744".to_owned()),
    }
}

static QUESTIONS: [Question; 7] = [
    Question {
        key: "place",
        value_name: Some("PLACE"),
        help: "A kept place to dry out on (`dryout list`): the tides that suit are looked for there",
        read: |text| Ok(Reply::Text(text.trim().to_owned())),
    },
    Question {
        key: "cleaned",
        value_name: Some("YYYY-MM-DD"),
        help: "Day on which the bottom was cleaned last; by the document's bottom_cleaned when left out",
        read: read_date,
    },
    Question {
        key: "hours",
        value_name: Some("HOURS"),
        help: "Hours under power in a month, for what growth costs: 12",
        read: read_hours,
    },
    Question {
        key: "scrub",
        value_name: Some("PRICE"),
        help: "What a scrub costs, with lift or quay: \"90 EUR\"",
        read: money,
    },
    Question {
        key: "power",
        value_name: Some("PRICE"),
        help: "Price of a kilowatt-hour into the bank: \"0.32 EUR\"",
        read: money,
    },
    Question {
        key: "lost",
        value_name: Some("SPEED"),
        help: "Loss at the cruise's power at which she is scrubbed: \"0.4 kn\"",
        read: |text| read_speed_within(text, 0.05, 5.0),
    },
    Question {
        key: "on",
        value_name: Some("DAY"),
        help: "As of this day; today when left out",
        read: read_date,
    },
];

impl Room for Growth {
    type Found = GrowthStudy;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn over(&self) -> Over {
        Over::HerTrials
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<GrowthStudy, NoAnswer> {
        let (boat, replies) = (asked.boat, &asked.replies);
        let spec = &boat.spec;
        let Some(cruise_m_s) = spec.fittings.cruising_speed_m_s else {
            return Err(NoAnswer::input(
                "growth is told at her cruising speed: give it in the document (use.cruising_speed)",
            ));
        };
        if spec.boat.towed.is_some() {
            return Err(NoAnswer::input(
                "her resistance is a towing table, which holds the growth of its day: what growth adds cannot be told",
            ));
        }
        let today = replies.day("on").unwrap_or_else(moment::today);
        if let Some(day) = replies.day("cleaned").filter(|day| *day > today) {
            return Err(NoAnswer::input(format!("cleaned: {day} has not come yet; it is {today}")));
        }
        let by_document = || {
            let stated = boat.document.number(field::hull::BOTTOM_CLEANED)?;
            today.checked_sub(((stated.value_si / DAY_S).round() as i64).days()).ok()
        };
        let cleaned = replies.day("cleaned").or_else(by_document);
        let price = |key: &str| replies.text(key).and_then(|text| Money::read(text).ok());
        let scrub_j = match (price("scrub"), price("power"), replies.number("hours")) {
            (None, None, None) => None,
            (Some(scrub), Some(power), Some(_)) if scrub.currency == power.currency && power.cents > 0 => {
                Some(scrub.cents as f64 / power.cents as f64 * 3.6e6)
            }
            (Some(_), Some(_), Some(_)) => {
                return Err(NoAnswer::input("give scrub and power in one currency, and power above nothing"));
            }
            _ => {
                return Err(NoAnswer::input(
                    "whether a scrub pays takes all three: its price (scrub), that of a kilowatt-hour (power), hours under power in a \
                     month (hours)",
                ));
            }
        };
        let mut found = GrowthStudy::of(
            spec,
            GrowthAsked {
                today,
                cleaned,
                trials: asked.shop.map(|shop| shop.trials.clone()).unwrap_or_default(),
                water_k: water_k(boat),
                cruise_m_s,
                month_s: replies.number("hours"),
                scrub_j,
                lost_m_s: replies.number("lost"),
            },
        )
        .map_err(|error| NoAnswer::of(boat, &error))?;
        found.notices.extend([caution::TURNING_SHAFT, caution::SCRUBBING]);
        if let Some(place) = replies.text("place") {
            let wanted =
                found.reached.or(found.pays).zip(cleaned).and_then(|(after, day)| after.days(day)[1]);
            let from = wanted.map_or(today, |day| day.max(today));
            let replies =
                Replies::default().with("place", Reply::Text(place.to_owned())).with("day", Reply::Day(from));
            let asked = Asked { replies, shop: None, ..asked.clone() };
            let dry = DryOut.answer(&asked)?;
            let said = DryOut.finding(&asked, &dry, &Paper::plain(wakewright_units::UnitSystem::Trade));
            found.tides = format!("At {place}, from {from} on: {} {}", said.sentence, said.further);
            for notice in DryOut.notices(&dry) {
                wakewright_core::notice::push_once(&mut found.notices, notice.clone());
            }
        }
        Ok(found)
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<GrowthStudy>] {
        &GROWTH_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, found: &GrowthStudy, paper: &Paper) -> Finding {
        finding(&asked.boat.name, found, paper)
    }

    fn blocks(&self, asked: &Asked<'_>, found: &GrowthStudy, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let sentence = finding(&asked.boat.name, found, paper).sentence;
        let mut blocks = vec![Block::picture(
            "growth",
            "Speed lost at the cruise's power",
            Place::Chart,
            chart(found, sentence, paper),
        )];
        if !found.tides.is_empty() {
            blocks.push(Block::words("On which tide", found.tides.clone()));
        }
        blocks.push(Block::sheet(sheets, "months").remark(
            "Against clean antifouling as it is rolled on. The cruise's power is what her cruising speed takes so.",
        ));
        blocks.push(Block::sheet(sheets, "figures"));
        blocks
    }

    fn notices<'f>(&self, found: &'f GrowthStudy) -> &'f [Notice] {
        &found.notices
    }

    fn sliders(&self, _: &Asked<'_>) -> Vec<Slider> {
        Vec::new()
    }

    fn typed(&self, _: &Asked<'_>) -> Vec<Typed> {
        vec![
            Typed::new("cleaned", "Cleaned last on", "by her document"),
            Typed::new("lost", "Scrub at a loss of", "not said"),
            Typed::new("hours", "Hours under power a month", "not said"),
            Typed::new("scrub", "A scrub costs", "not said"),
            Typed::new("power", "A kilowatt-hour", "not said"),
            Typed::new("place", "Kept place to dry out on", "none"),
        ]
    }

    fn occasion(&self, _: &Asked<'_>, found: &GrowthStudy, _: &Paper) -> String {
        format!("As of {}", found.asked.today)
    }
}

fn chart(study: &GrowthStudy, description: String, paper: &Paper) -> Plot {
    let unit = unit_for(Quantity::Speed, paper.units);
    let at = |of: fn(&Month) -> f64| {
        let rest = study.months.iter().map(move |month| (month.months, unit.from_si(of(month))));
        rest.collect::<Vec<_>>()
    };
    let middle = at(|month| month.cruise_m_s.value);
    let ends = at(|month| month.cruise_m_s.p10).into_iter().zip(at(|month| month.cruise_m_s.p90));
    let bands = ends.map(|((months, low), (_, high))| (months, low, high)).collect();
    Plot {
        title: "speed lost".to_owned(),
        description,
        x: Axis::new("months since she was cleaned", "", 0),
        y: Axis::new("lost", unit.symbol(), 1),
        bands: vec![Band { label: "80 % band".into(), points: bands, ..Band::default() }],
        lines: vec![Line { points: middle, weight: Weight::Heavy, has_readout: true, ..Line::default() }],
        ..Plot::default()
    }
}

fn finding(name: &str, found: &GrowthStudy, paper: &Paper) -> Finding {
    let lost = |month: &Month| {
        let Interval { value, p10, p90 } = month.cruise_m_s;
        let lost = Interval { value: value.max(0.0), p10: p10.max(0.0), p90: p90.max(0.0) };
        format!(
            "{} ({}) at the power that her cruising speed takes clean",
            paper.decimals(lost.value, Quantity::Speed, 2),
            paper.band_decimals(lost, Quantity::Speed, 2)
        )
    };
    let sentence = match (&found.now, found.months.get(5)) {
        (Some(now), _) => format!(
            "{} months after she was cleaned {name} has lost {}.",
            format_number(now.months, 1),
            lost(now)
        ),
        (None, Some(sixth)) => format!("In the six months after a cleaning {name} loses {}.", lost(sixth)),
        (None, None) => String::new(),
    };
    let when = |what: &str, after: After| {
        let late = || "later than in five years, if ever".to_owned();
        let [from, middle, to] = match found.asked.cleaned {
            Some(day) => after.days(day).map(|day| day.map_or_else(late, |day| day.to_string())),
            None => after.0.map(|months| {
                months.map_or_else(late, |months| format!("{} months after", format_number(months, 1)))
            }),
        };
        format!("{what}: {middle} (four times in five between {from} and {to}).")
    };
    let mut further: Vec<String> = Vec::new();
    further.extend(found.reached.map(|after| when("The loss at which she is scrubbed is reached", after)));
    further.extend(found.pays.map(|after| when("A scrub pays by energy alone", after)));
    further.push(match found.told {
        0 => "No trial of hers says how long she had been clean and holds power by speed: all of it is what such bottoms do in water of \
              that warmth, by judgement."
            .to_owned(),
        1 => "One trial is in it: it tells the boat more than the rate; one more at another age of the bottom would.".to_owned(),
        told => format!(
            "Learned from {}: the sand height rises by {} a month in water of 15 °C ({} to {}).",
            counted(told, "trial", "trials"),
            percent(found.rise.value),
            percent(found.rise.p10),
            percent(found.rise.p90)
        ),
    });
    if found.now.is_none() {
        further.push("When she was cleaned last is not told (cleaned), so that no day is.".to_owned());
    }
    Finding { sentence, further: further.join(" "), ..Finding::default() }
}
