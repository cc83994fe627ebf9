//! A day and a year of her bank: sun, loads, motoring, sailing, shore power. What only the sun decides is
//! worked out once for the same panels and place, however often loads and bank change.
//! Not for: how it is computed, what is said (`words`), the pictures (`strips`).

mod strips;
mod words;

use std::sync::{Mutex, PoisonError};
use wakewright_core::field;

use jiff::civil::Date;
use wakewright_core::energy::{
    Alternative, Day, ENERGY_SHEETS, EnergyPlan, EnergyRequest, EnergyStudy, LivedOn, Store, UnderWay,
    UnderWayBands, day, sample_energy, summarise_energy, under_way,
};
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{AnySheet, Filled};
use wakewright_core::spread::Sampler;
use wakewright_records::boat::{PanelMount, energy_plan, panel_unit_w, render_faults};

use crate::boats::Loaded;
use crate::boats::has_place;
use crate::left_out::Counted;
use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Place, Question, Room, Samples, read_date, read_month};
use crate::sampling;
use crate::text::Finding;
use crate::text::Paper;
use crate::whatif::USUAL_MONTH;
use crate::whatif::{Slider, counted, month_slider, own, placed, sized, standing_of, stock, worded};

/// The room.
#[derive(Debug)]
pub struct Energy;

static CARD: Card = Card {
    key: "energy",
    title: "Energy",
    about: "A day and a year: sun, loads, motoring, sailing, shore power",
    examples: &[
        "myboat.toml",
        "myboat.toml --date 2026-03-15",
        "myboat.toml --date 2026-06-20 --under-way",
        "myboat.toml --date 2026-12-21 --year",
    ],
    pictures: &[("day", "A day hour by hour, lying still"), ("year", "The year month by month")],
    demo: "when must she plug in?",
    samples: Samples { usual: 200, range: (20, 20_000), settled: 200, quick: 9 },
};

static QUESTIONS: [Question; 4] = [
    Question {
        key: "date",
        value_name: Some("YYYY-MM-DD"),
        help: "A day hour by hour; the year then only with --year",
        read: read_date,
    },
    Question {
        key: "month",
        value_name: Some("MONTH"),
        help: "The sixteenth of a month hour by hour, in place of a date: 6, June or Jun",
        read: read_month,
    },
    Question::flag("under-way", "On that day she goes out as in her week"),
    Question::flag("year", "The year as well (without a day it is always shown)"),
];

/// Year whose sun is taken when no day is asked for: the sun of any year is the same within a tenth of a
/// degree.
pub const USUAL_YEAR: i16 = 2026;

/// Day that stands for its month.
const DAY_OF_MONTH: i8 = 16;

/// Value in the address of a day under way.
const UNDER_WAY: &str = "yes";

impl Room for Energy {
    type Found = LivedOn;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<LivedOn, NoAnswer> {
        let boat = asked.boat;
        if !has_place(boat) {
            return Err(NoAnswer::input(format!(
                "{}'s document does not say where she lies: no sun and no year. Say so on the sheet under place, in the \
                 file under [place]; panels, loads aboard and the week go with it.",
                boat.name
            )));
        }
        let date = date_of(asked)?;
        let plan = plan_of(boat, date.map_or(USUAL_YEAR, Date::year))?;
        let is_under_way = asked.replies.has("under-way");
        let has_year = asked.has_pictures || date.is_none() || asked.replies.has("year");
        let study = if has_year { Some(year_of(asked, &plan)?) } else { None };
        let powers = match &study {
            _ if !is_under_way => None,
            Some(study) => Some(study.under_way),
            None => Some(UnderWayBands::of(sampling::every(asked.samples, asked.seed, |sampler, i| {
                under_way(&boat.spec.sample(sampler, i), &plan, (sampler, i)).0
            }))),
        };
        let day = date.map(|date| day_of(boat, &plan, date, powers.map(|p| p.middle()))).transpose()?;
        Ok(LivedOn { plan, day, study })
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<LivedOn>] {
        &ENERGY_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, found: &LivedOn, paper: &Paper) -> Finding {
        let name = &asked.boat.name;
        match (&found.study, &found.day) {
            (Some(study), _) => words::year_finding(name, &found.plan, study, paper),
            (None, Some(day)) => words::day_finding(name, day, paper),
            (None, None) => Finding::default(),
        }
    }

    fn blocks(&self, asked: &Asked<'_>, found: &LivedOn, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let (name, plan) = (&asked.boat.name, &found.plan);
        let mut blocks = Vec::new();
        if let Some(study) = &found.study {
            let strip = strips::year_strip(name, plan, study, paper);
            blocks.extend([
                Block::picture("year", "A year, week by week", Place::Chart, strip),
                Block::sheet(sheets, "months").remark(
                    "Sun: what the panels could give. Wasted: what the bank did not take. A week: motoring a week on sun \
                     alone, on each of her days under way from the hour of leaving until the bank is at its reserve or the \
                     day ends. Bands hold the weather and every unsure input.",
                ),
                Block::sheet(sheets, "figures").remark(
                    "Each line is the middle of all weathers by itself, so that what came in and what went out need not add up. Of \
                     the shore's energy the charger's losses come on top.",
                ),
                Block::sheet(sheets, "changes").remark(
                    "More or less than without it. One more panel: mounted and shaded as the first. Shore: hours, and \
                     energy into the bank. A week: miles on sun alone, mean of all weeks.",
                ),
                Block::words("How it was reckoned", words::year_basis(&asked.boat.spec, plan, study, paper)),
            ]);
        }
        if let Some(day) = &found.day {
            let strip = strips::day_strip(name, plan, day, paper);
            blocks.push(
                Block::picture("day", "A day, hour by hour", Place::Chart, strip)
                    .chief(words::day_brings(day))
                    .in_text(strips::usual_bars(day)),
            );
            if found.study.is_some() {
                let said = words::day_finding(name, day, paper);
                blocks.push(Block::words("That day", format!("{} {}", said.sentence, said.further)));
            }
            blocks.push(
                Block::sheet(sheets, "hours").remark("From: local mean time at which the hour begins."),
            );
        }
        blocks
    }

    fn notices<'f>(&self, found: &'f LivedOn) -> &'f [Notice] {
        found.study.as_ref().map_or(&[], |study| &study.notices)
    }

    fn samples(&self, found: &LivedOn) -> Vec<Counted> {
        found.study.as_ref().map_or_else(Vec::new, |study| Counted::one(&study.samples))
    }

    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider> {
        let document = &asked.as_kept().document;
        let mut sliders = Vec::new();
        if document.typed(field::panel::first::POWER).is_some() {
            sliders.push(sized(field::panel::first::POWER, "a panel's power", stock::panels()));
            sliders.push(counted(field::panel::first::COUNT, "panels", 1, 8));
            if document.chosen(field::panel::first::MOUNT) != Some(PanelMount::Flat) {
                sliders.push(sized(field::panel::first::TILT, "tilt", stock::tilts()));
            }
            sliders.push(worded(field::panel::first::MOUNT, "mount"));
        }
        sliders.push(counted(field::pack::first::COUNT, "packs", 1, 8));
        sliders.push(if document.rows(field::house::SECTION).is_empty() {
            let usual = Some(standing_of(document));
            Slider { usual, ..sized(field::bank::HOUSE_LOAD, "loads aboard", stock::loads()) }
        } else {
            sized(field::house::first::POWER, "loads aboard, the first", stock::loads())
        });
        sliders.push(sized(field::week::MOTORING, "motoring in a week", stock::hours()));
        sliders.push(sized(field::week::SAILING, "sailing in a week", stock::hours()));
        sliders.push(sized(field::bank::TEMPERATURE, "temperature of the bank", stock::temperatures()));
        let mut sliders = placed(sliders, document, asked.tried);
        sliders.push(month_slider("day in", asked.replies.whole("month").unwrap_or(USUAL_MONTH)));
        let way = if asked.replies.has("under-way") { UNDER_WAY } else { "" };
        sliders.push(own("under-way", "the day", [("", "lying still"), (UNDER_WAY, "under way")], way));
        sliders
    }

    fn occasion(&self, _: &Asked<'_>, _: &LivedOn, _: &Paper) -> String {
        "Lived on as stated".to_owned()
    }
}

/// The day that is asked for; for pictures one of the usual month where none is.
fn date_of(asked: &Asked<'_>) -> Result<Option<Date>, NoAnswer> {
    let replies = &asked.replies;
    let month = replies.whole("month").or(asked.has_pictures.then_some(USUAL_MONTH));
    match (replies.day("date"), month) {
        (Some(_), Some(_)) if replies.has("month") => {
            Err(NoAnswer::input("date and month: a day is one or the other, give one of them"))
        }
        (Some(date), _) => Ok(Some(date)),
        (None, Some(month)) => Ok(Date::new(USUAL_YEAR, month as i8, DAY_OF_MONTH).ok()),
        (None, None) if replies.has("under-way") => {
            Err(NoAnswer::input("under way on which day? Give its date or its month as well"))
        }
        (None, None) => Ok(None),
    }
}

/// The plan of `boat` with the sun of `year`.
/// # Errors
/// The faults of the document, with line and field.
pub fn plan_of(boat: &Loaded, year: i16) -> Result<EnergyPlan, NoAnswer> {
    energy_plan(&boat.document, &boat.spec, year.into())
        .map_err(|faults| NoAnswer::input(render_faults(&faults, boat.document.to_toml(), &boat.place)))
}

/// The day `date` of `plan`, lying still or under way as in her week.
fn day_of(boat: &Loaded, plan: &EnergyPlan, date: Date, powers: Option<UnderWay>) -> Result<Day, NoAnswer> {
    let store = Store::of(&boat.spec.boat).map_err(|error| said(boat, &error))?;
    let date = (date.year().into(), date.month() as u32, date.day() as u32);
    day(plan, &store, date, store.start, powers.as_ref()).map_err(|error| said(boat, &error))
}

/// The last request with its year of sun: a moving slider mostly leaves both as they were.
static LAST: Mutex<Option<EnergyRequest>> = Mutex::new(None);

/// The year of `plan` under as many weathers as are asked for; with one more panel and one more pack where
/// nothing moves.
fn year_of(asked: &Asked<'_>, plan: &EnergyPlan) -> Result<EnergyStudy, NoAnswer> {
    let (boat, spec) = (asked.boat, &asked.boat.spec);
    let last = LAST.lock().unwrap_or_else(PoisonError::into_inner).take();
    let mut request = match last {
        Some(last) if last.plan.has_same_sun_as(plan) => last.for_plan(plan.clone()),
        _ => EnergyRequest::new(plan.clone(), Vec::new()).map_err(|error| said(boat, &error))?,
    };
    *LAST.lock().unwrap_or_else(PoisonError::into_inner) = Some(request.clone());
    if asked.samples > CARD.samples.quick && asked.takes("changes") {
        // Two panels of 100 W see the sun of one of 200 W; one more of them is another thing.
        let panel = panel_unit_w(&boat.document).map(Alternative::MorePanel);
        request.alternatives = panel.into_iter().chain([Alternative::MorePack]).collect();
    }
    let sample = |sampler, i| sample_energy(spec, &request, sampler, i);
    let samples = sampling::every(asked.samples, asked.seed, sample);
    summarise_energy(spec, &request, Sampler::new(asked.seed), &samples)
        .map_err(|error| NoAnswer::of(boat, &error))
}

fn said(boat: &Loaded, error: &dyn std::error::Error) -> NoAnswer {
    NoAnswer::input(format!("{}: {error}", boat.place))
}
