//! The offer: parts with their prices, alternatives with what each gives, a year of energy and money against the old
//! engine. Not for: prices, of which none is built in.

mod asked;
mod parts;

pub(crate) use asked::money;

use wakewright_core::caution;
use wakewright_core::notice::Notice;
use wakewright_core::offer::{Choice, OFFER_SHEETS, OfferStudy, Year, YearAsked, sums};
use wakewright_core::options::Comparison;
use wakewright_core::sheet::{AnySheet, Filled};
use wakewright_core::study::{Questions, StateFigure};
use wakewright_units::{Quantity, format_number};

use crate::no_answer::NoAnswer;
use crate::options::{Beside, alternative_words, lay, options_finding, usual_speed};
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
        let mut alternatives = asked.boat.document.alternatives();
        alternatives.truncate(MOST_BESIDE);
        let mut parts = parts::parts_of(asked.boat);
        let own = parts.len();
        parts.extend(alternatives.iter().map(|alternative| parts::unpriced(&alternative.name)));
        let mut parts = asked::priced(parts::told_apart(parts), replies)?;
        let priced = parts.split_off(own);
        let contingency = (replies.number("contingency").unwrap_or(0.0) * 1000.0).round() as u64;
        let labour = asked::typed_money(replies, "labour");
        let sums = sums(&parts, labour.as_ref(), contingency);
        let year = replies.number("hours").map(|time_s| year_of(asked, time_s)).transpose()?;
        let beside = (!alternatives.is_empty() && asked.takes("choices")).then(|| {
            let samples = (asked.samples, asked.seed);
            lay(asked.boat, &alternatives, &[speed_of(asked)], samples).map_err(|no| no.message().to_owned())
        });
        let drawn = (replies.number("hours"), asked::typed_money(replies, "power"));
        let price = |number: usize| {
            let place = number.checked_sub(1)?;
            let typed = asked::price_of(&priced[place], labour.as_ref(), contingency);
            typed.or_else(|| Some(format!("{}, no day", alternatives[place].cost.as_ref()?.text)))
        };
        let choices = beside.iter().flatten().flat_map(|found: &Comparison| {
            let choice = |number| Choice::of(found, number, (drawn.0, drawn.1.as_ref()), price(number));
            (0..found.columns.len()).map(choice).collect::<Vec<_>>()
        });
        let choices = choices.collect();
        Ok(OfferStudy { parts, sums, year, beside, choices })
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
                    paper.quantity(year.drawn.plug_j.value, Quantity::Energy),
                    paper.band(year.drawn.plug_j, Quantity::Energy),
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

    fn blocks(&self, asked: &Asked<'_>, study: &OfferStudy, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let mut blocks = vec![
            Block::sheet(sheets, "parts").remark(
                "From her document; what is not in it is not here. A run of cable in metres as told, one way, its price that of all \
                 its conductors; cable, fuse and contactor of a pack for every pack. Prices as typed, each \
                 with its day.",
            ),
            Block::sheet(sheets, "sums").remark("To the cent, each currency by itself; taxes as in the prices that were typed."),
            Block::sheet(sheets, "figures"),
        ];
        let all = asked.boat.document.rows("alternative").len();
        match &study.beside {
            None => {}
            Some(Err(why)) => {
                blocks.push(Block::words("Her alternatives cannot be laid beside her", why.clone()))
            }
            Some(Ok(found)) => {
                let beside = Beside::of(asked.boat, found, paper);
                let said = options_finding(&beside);
                let speed = paper.decimals(speed_of(asked), Quantity::Speed, 1);
                let others = if all > MOST_BESIDE {
                    format!(" The first {MOST_BESIDE} of {all}; options has all of them.")
                } else {
                    String::new()
                };
                blocks.push(Block::sheet(sheets, "choices").chief(said.figure.clone()).remark(format!(
                    "Range and energy at {speed}. Bands are four times in five, each for itself; shares are counted sample by sample in the \
                     same sea with the same hull: 50 % is no difference. Where a sample of her cannot hold \
                     that speed it has no range there: what holds it more often counts the harder samples too, so a middle may be lower and each sample \
                     further. A price is on top of the parts above.{others}"
                )));
                let laid = (1..found.columns.len()).map(|number| alternative_words(&beside, number));
                blocks.push(Block::words(
                    "Laid beside her",
                    [said.sentence, said.further].into_iter().chain(laid).collect::<Vec<_>>(),
                ));
            }
        }
        let wiring = || {
            let replies = Replies::default();
            let asked = Asked { replies, has_pictures: false, seeks_remedy: false, ..asked.clone() };
            AnyRoom::answer(&Wiring, &asked, None, paper).ok()
        };
        if asked.takes("Her wiring as it stands")
            && let Some(answer) = wiring()
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

/// More alternatives than these do not stand side by side on a sheet of paper.
const MOST_BESIDE: usize = 3;

/// The speed that the offer is about.
fn speed_of(asked: &Asked<'_>) -> f64 {
    asked.replies.number("at").unwrap_or_else(|| usual_speed(&asked.boat.spec))
}

/// Energy and fuel of so many seconds at the speed that was told.
fn year_of(asked: &Asked<'_>, time_s: f64) -> Result<Year, NoAnswer> {
    let (boat, speed_m_s) = (asked.boat, speed_of(asked));
    if asked.replies.number("at").or(boat.spec.fittings.cruising_speed_m_s).is_none() {
        let ask = "at which speed does she spend those hours? Give it (at 5 kn), or her cruising speed in the document";
        return Err(NoAnswer::input(ask));
    }
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
