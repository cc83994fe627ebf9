//! The offer: parts with their prices, alternatives with what each gives, a year of energy and money against the old
//! engine. Not for: prices, of which none is built in.

mod asked;
mod parts;

pub(crate) use asked::money;

use wakewright_core::caution;
use wakewright_core::notice::Notice;
use wakewright_core::offer::{OFFER_SHEETS, OfferStudy, Year, YearAsked, sums};
use wakewright_core::sheet::{AnySheet, Filled};
use wakewright_core::study::{Questions, StateFigure};
use wakewright_units::{Quantity, format_number};

use crate::no_answer::NoAnswer;
use crate::options::Options;
use crate::room::{AnyRoom, Asked, Block, Card, Question, Replies, Room, SAMPLES, Typed};
use crate::sampling;
use crate::text::{Finding, Paper};
use crate::whatif::Slider;
use crate::wiring::Wiring;

/// The room.
#[derive(Debug)]
pub struct Quote;

static CARD: Card = Card {
    key: "quote",
    title: "Offer",
    about: "Parts with typed prices, alternatives, a year of energy and money against the old engine",
    examples: &[
        "myboat.toml --prices prices.txt --labour \"55 EUR\" --contingency \"10 %\" --valid-until 2026-12-31",
        "myboat.toml --hours 120 --at \"5 kn\" --fuel \"1.45 EUR\" --power \"0.32 EUR\"",
    ],
    pictures: &[],
    demo: "what does it cost, and what does she get for it?",
    samples: SAMPLES,
};

static NOTICES: [Notice; 2] = [caution::PAPER, caution::REMEDIES];

impl Room for Quote {
    type Found = OfferStudy;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &asked::QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<OfferStudy, NoAnswer> {
        let replies = &asked.replies;
        let parts = asked::priced(parts::parts_of(asked.boat), replies)?;
        let contingency = replies.number("contingency").unwrap_or(0.0);
        let labour = asked::typed_money(replies, "labour");
        let sums = sums(&parts, labour.as_ref(), (contingency * 1000.0).round() as u64);
        let year = replies.number("hours").map(|time_s| year_of(asked, time_s)).transpose()?;
        Ok(OfferStudy { parts, sums, year })
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<OfferStudy>] {
        &OFFER_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, study: &OfferStudy, paper: &Paper) -> Finding {
        let name = &asked.boat.name;
        let totals: Vec<String> = study.sums.iter().map(|sum| sum.total.to_string()).collect();
        let open = study.parts.iter().filter(|part| part.priced.is_none()).count();
        let all = study.parts.len();
        let sentence = match (totals.is_empty(), open) {
            (true, _) => {
                format!("For {name} no price is typed: {all} parts are listed, and this is no offer yet.")
            }
            (false, 0) => format!("For {name} all {all} parts come to {}.", totals.join(" and ")),
            (false, open) => format!(
                "For {name} what has a price comes to {}; {open} of {all} parts have none, and this is no offer yet.",
                totals.join(" and ")
            ),
        };
        let until = asked.replies.day("valid-until").map_or_else(
            || "Until when it holds is not said.".to_owned(),
            |day| format!("It holds until {day}."),
        );
        let year = study.year.as_ref().map_or_else(
            || " Hours under way in a year are not told: nothing is said of energy and fuel.".to_owned(),
            |year| {
                format!(
                    " A year of {} h at {} takes {} from the plug ({}) where an engine burns {} of diesel ({}).",
                    format_number(year.asked.time_s / 3600.0, 0),
                    paper.quantity(year.asked.speed_m_s, Quantity::Speed),
                    paper.quantity(year.plug_j.value, Quantity::Energy),
                    paper.band(year.plug_j, Quantity::Energy),
                    paper.quantity(year.fuel_m3.value, Quantity::Volume),
                    paper.band(year.fuel_m3, Quantity::Volume),
                )
            },
        );
        let currencies = if totals.len() > 1 { " Currencies are never added to each other." } else { "" };
        Finding {
            figure: totals.join(" and "),
            sentence,
            further: format!("{until}{currencies}{year}"),
            ..Finding::default()
        }
    }

    fn blocks(&self, asked: &Asked<'_>, _: &OfferStudy, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let beside = |room: &dyn AnyRoom| {
            let asked = Asked {
                replies: Replies::default(),
                has_pictures: false,
                seeks_remedy: false,
                ..asked.clone()
            };
            room.answer(&asked, None, paper).ok()
        };
        let mut blocks = vec![
            Block::sheet(sheets, "parts").remark(
                "From her document; what is not in it is not here. A run of cable in metres as told, one way, its price that of all \
                 its conductors; cable, fuse and contactor of a pack for every pack. Prices as typed, each \
                 with its day.",
            ),
            Block::sheet(sheets, "sums").remark("To the cent, each currency by itself; taxes as in the prices that were typed."),
            Block::sheet(sheets, "figures"),
        ];
        if asked.takes("Laid beside her")
            && !asked.boat.document.rows("alternative").is_empty()
            && let Some(answer) = beside(&Options)
        {
            blocks.push(Block::words(
                "Alternatives, what each gives and how sure",
                vec![answer.finding.sentence, answer.finding.further],
            ));
            blocks.extend(
                answer.blocks.into_iter().filter(
                    |block| matches!(block, Block::Words { title, .. } if title == "Laid beside her"),
                ),
            );
        }
        if asked.takes("Her wiring as it stands")
            && let Some(answer) = beside(&Wiring)
        {
            blocks.push(Block::words("Her wiring as it stands", answer.finding.sentence));
        }
        blocks.push(Block::words(
            "A line for the assessment",
            "A conversion that changes the means of propulsion of a craft of 2.5 to 24 m is a major craft conversion by Directive \
             2013/53/EU: whoever puts her into service has the assessment after construction to do. Ask a notified body what it \
             costs and whether she falls under it; it is not in the sums unless a price was typed for it. [directive2013-53]"
                .to_owned(),
        ));
        blocks
    }

    fn notices<'f>(&self, _: &'f OfferStudy) -> &'f [Notice] {
        &NOTICES
    }

    fn sliders(&self, _: &Asked<'_>) -> Vec<Slider> {
        Vec::new()
    }

    fn typed(&self, _: &Asked<'_>) -> Vec<Typed> {
        asked::fields()
    }

    fn occasion(&self, _: &Asked<'_>, _: &OfferStudy, _: &Paper) -> String {
        "In the year that was told".to_owned()
    }
}

/// Energy and fuel of so many seconds at the speed that was told.
fn year_of(asked: &Asked<'_>, time_s: f64) -> Result<Year, NoAnswer> {
    let boat = asked.boat;
    let speed_m_s = asked.replies.number("at").or(boat.spec.fittings.cruising_speed_m_s);
    let speed_m_s = speed_m_s.ok_or_else(|| {
        NoAnswer::input("at which speed does she spend those hours? Give it (at 5 kn), or her cruising speed in the document")
    })?;
    let questions = Questions { speeds_m_s: vec![speed_m_s], ..Questions::default() };
    let study = sampling::study(&boat.spec, &questions, asked.samples, asked.seed)
        .map_err(|error| NoAnswer::of(boat, &error))?;
    let row = study.speeds.iter().find(|row| !row.is_full && (row.speed_m_s - speed_m_s).abs() < 1e-9);
    let figure = |figure| row.filter(|row| row.share_in_reach >= 0.5)?.figure(figure);
    let (Some(delivered_w), Some(bank_w)) =
        (figure(StateFigure::DeliveredPower), figure(StateFigure::BankPower))
    else {
        return Err(NoAnswer::Finding(format!(
            "{} does not reach that speed: ask for a slower one.",
            boat.name
        )));
    };
    let (fuel, shore) =
        (asked::typed_money(&asked.replies, "fuel"), asked::typed_money(&asked.replies, "power"));
    Ok(Year::of(YearAsked { time_s, speed_m_s, delivered_w, bank_w, fuel, shore }))
}
