//! The shop's boats: who is due, whose bank fades, how forecasts and calls fared, where each stands among them. Asked of
//! the shop and of no boat. Not for: how it is reckoned (`wakewright_core::fleet`), reading the store (`shop`).

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::{Mutex, PoisonError};

use jiff::civil::Date;
use rayon::prelude::*;
use wakewright_core::causes::Measure;
use wakewright_core::fleet::{FLEET_SHEETS, FleetBoat, FleetStudy};
use wakewright_core::notice::{Notice, Severity};
use wakewright_core::sheet::{AnySheet, Filled};
use wakewright_core::steady::PreparedBoat;
use wakewright_core::upkeep::{UpkeepAsked, UpkeepStudy};
use wakewright_store::{KeptForecast, Record};

use crate::boats::{Loaded, understand};
use crate::causes::{ForecastRecord, held_of};
use crate::checkup::{WORN_SHARE, history, read_worn};
use crate::moment;
use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Question, Room, Samples, read_date};
use crate::sentence::{capitalised, counted};
use crate::shop::{Over, ShopBoat};
use crate::text::{Finding, Paper};
use crate::whatif::Slider;

/// The room.
#[derive(Debug)]
pub struct Fleet;

static CARD: Card = Card {
    key: "fleet",
    title: "Fleet",
    about: "The boats of the store: who is due, whose bank fades, how forecasts held",
    examples: &["", "--worn \"75 %\"", "--csv boats"],
    pictures: &[],
    demo: "of all boats of a shop, who is due?",
    samples: Samples { usual: 50, range: (50, 200_000), settled: 50, quick: 50 },
};

static QUESTIONS: [Question; 2] = [
    Question {
        key: "worn",
        value_name: Some("SHARE"),
        help: "Share of the rated capacity at which a bank counts as worn [default: 80 %]",
        read: read_worn,
    },
    Question {
        key: "on",
        value_name: Some("DAY"),
        help: "As of this day; today when left out",
        read: read_date,
    },
];

impl Room for Fleet {
    type Found = FleetStudy;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn over(&self) -> Over {
        Over::Boats
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<FleetStudy, NoAnswer> {
        let today = asked.replies.day("on").unwrap_or_else(moment::today);
        let worn_share = asked.replies.number("worn").unwrap_or(WORN_SHARE);
        let of = |boat: &Loaded, records: &[Record], kept: &[KeptForecast]| {
            fleet_boat(boat, records, kept, (today, worn_share))
        };
        // Without a shop the boat that is asked about is all there is.
        let Some(shop) = asked.shop else {
            let (boat, notices) = of(asked.as_kept(), &asked.as_kept().records, &[]);
            return Ok(FleetStudy::of(today, vec![boat], Default::default(), notices));
        };
        if shop.boats.is_empty() {
            return Err(NoAnswer::input(
                "there is no boat in the store yet; `wakewright import myboat.toml` or the page enters one",
            ));
        }
        let read = shop.boats.par_iter().map(|boat| {
            remembered(boat, (today, worn_share), || match understand(&boat.text, &boat.entry.name, &[]) {
                Ok(loaded) => {
                    let (mut of_her, notices) = of(&loaded, &boat.records, &boat.forecasts);
                    of_her.name.clone_from(&boat.entry.name);
                    (Some(of_her), notices)
                }
                Err(_) => (None, vec![said(&boat.entry.name, "her document has faults, she is left out")]),
            })
        });
        let (boats, notices): (Vec<_>, Vec<_>) = read.collect::<Vec<_>>().into_iter().unzip();
        let calls = crate::call::score(&shop.calls);
        let (boats, notices) =
            (boats.into_iter().flatten().collect(), notices.into_iter().flatten().collect());
        Ok(FleetStudy::of(today, boats, calls, notices))
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<FleetStudy>] {
        &FLEET_SHEETS
    }

    fn finding(&self, _: &Asked<'_>, study: &FleetStudy, _: &Paper) -> Finding {
        finding(study)
    }

    fn blocks(&self, _: &Asked<'_>, _: &FleetStudy, sheets: &[Filled], _: &Paper) -> Vec<Block> {
        vec![
            Block::sheet(sheets, "boats").remark(
                "Those first that want somebody most. A bank is said to fade where its tests show it, wrong one time in twenty. Out: forecasts of speed at full \
                 throttle outside their 80 % band, as one in five is by chance.",
            ),
            Block::sheet(sheets, "coverage").remark(
                "Sound bands hold four of five. A score below that of no change is worth its work. A forecast counts once somebody held it against a \
                 later trial; those put aside do not.",
            ),
            Block::sheet(sheets, "failed").remark(
                "Each by the first trial after it that it was held against. Found: the middle of what that trial's own runs tell.",
            ),
            Block::sheet(sheets, "ranks").remark("Among the shop's own boats: no sample of any others."),
            Block::sheet(sheets, "calls"),
        ]
    }

    fn notices<'f>(&self, study: &'f FleetStudy) -> &'f [Notice] {
        &study.notices
    }

    fn sliders(&self, _: &Asked<'_>) -> Vec<Slider> {
        Vec::new()
    }

    fn occasion(&self, _: &Asked<'_>, study: &FleetStudy, _: &Paper) -> String {
        format!("As of {}", study.today)
    }
}

/// A boat as she was read, with what of hers cannot be.
type Read = (Option<FleetBoat>, Vec<Notice>);

/// Boats of this many shops of 200 are remembered.
const MOST_REMEMBERED: usize = 2000;

/// What `read` makes of a boat, remembered for as long as nothing that it follows from changes: of a shop's boats few do
/// between two looks, and reading ten years of check-ups of all of them takes a second.
fn remembered(boat: &ShopBoat, (today, worn_share): (Date, f64), read: impl FnOnce() -> Read) -> Read {
    static READ: Mutex<BTreeMap<u64, Read>> = Mutex::new(BTreeMap::new());
    let mut mark = DefaultHasher::new();
    (&boat.entry.name, &boat.text, today, worn_share.to_bits()).hash(&mut mark);
    boat.records.iter().for_each(|record| (&record.kind, record.number, &record.text).hash(&mut mark));
    boat.forecasts.iter().for_each(|kept| kept.text.hash(&mut mark));
    let (mark, held) = (mark.finish(), || READ.lock().unwrap_or_else(PoisonError::into_inner));
    if let Some(known) = held().get(&mark) {
        return known.clone();
    }
    let made = read();
    let mut all = held();
    if all.len() >= MOST_REMEMBERED {
        all.clear();
    }
    all.insert(mark, made.clone());
    made
}

fn said(name: &str, why: &str) -> Notice {
    Notice::Read { severity: Severity::Weak, text: format!("{name}: {}.", why.trim_end_matches('.')) }
}

/// What the shop looks at of one boat, and what of hers cannot be read.
fn fleet_boat(
    boat: &Loaded,
    records: &[Record],
    kept: &[KeptForecast],
    (today, worn_share): (Date, f64),
) -> (FleetBoat, Vec<Notice>) {
    let mut history = history(boat, records, today);
    // The lines of single values are of her own page.
    history.list.iter_mut().for_each(|listed| listed.readings.clear());
    let last = history.list.iter().filter_map(|listed| listed.last).map(|look| look.day).max();
    let mut notices: Vec<Notice> = Vec::new();
    if !history.unread.is_empty() {
        let count = counted(history.unread.len(), "entry", "entries");
        notices
            .push(said(&boat.name, &format!("{count} of her check-ups cannot be used; her page says which")));
    }
    let forecasts: Vec<_> = kept.iter().filter_map(|kept| ForecastRecord::read(&kept.text).ok()).collect();
    if forecasts.len() < kept.len() {
        let count = counted(kept.len() - forecasts.len(), "forecast", "forecasts");
        notices.push(said(&boat.name, &format!("{count} cannot be read and left out")));
    }
    let (held, waiting) = held_of(&forecasts, records);
    let upkeep = UpkeepStudy::of(
        UpkeepAsked {
            today,
            checkups: history.checkups,
            list: history.list,
            tests: history.tests,
            worn_share,
            trip_share: None,
        },
        Vec::new(),
    );
    let cruise_j_m_kg = boat.spec.fittings.cruising_speed_m_s.and_then(|speed| {
        let state = PreparedBoat::new(&boat.spec.boat).ok()?.value.state_at(speed)?;
        Some(state.drive_power_w / speed / boat.spec.boat.form.displacement_kg)
    });
    (FleetBoat { name: boat.name.clone(), upkeep, last, held, waiting, cruise_j_m_kg }, notices)
}

/// Names that a sentence can carry.
const NAMED: usize = 3;

fn names<'f>(boats: impl Iterator<Item = &'f FleetBoat>) -> Option<String> {
    listed(&boats.map(|boat| boat.name.clone()).collect::<Vec<_>>())
}

fn listed(all: &[String]) -> Option<String> {
    let more = all.len().saturating_sub(NAMED);
    let mut named: Vec<String> = all.iter().take(NAMED).cloned().collect();
    named.extend((more > 0).then(|| format!("{more} more")));
    let last = named.pop()?;
    Some(if named.is_empty() { last } else { format!("{} and {last}", named.join(", ")) })
}

fn finding(study: &FleetStudy) -> Finding {
    let boats = &study.boats;
    let due = boats.iter().filter(|boat| boat.due() > 0).count();
    let is = if due == 1 { "is" } else { "are" };
    let due_of = match boats.as_slice() {
        [one] => format!("{} is {}due for a look", one.name, if due == 0 { "not " } else { "" }),
        all => format!("of {} boats {due} {is} due for a look", all.len()),
    };
    let sentence = match names(boats.iter().filter(|boat| boat.act_now() > 0)) {
        Some(who) => format!("On {who} something is to be put right before she goes; {due_of}."),
        None => format!("{}; nothing stands that was to be put right at once.", capitalised(&due_of)),
    };
    let tested = boats.iter().filter(|boat| !boat.upkeep.parts.is_empty()).count();
    let fades = match names(boats.iter().filter(|boat| boat.fades() || boat.is_worn())) {
        Some(who) => format!("The bank fades, or is worn, of {who}."),
        None if tested == 0 => "No bank was tested: whether one fades is not known.".to_owned(),
        None => format!(
            "Of {} no tests show that it fades.",
            counted(tested, "bank that was tested", "banks that were tested")
        ),
    };
    let held = match study.coverage.iter().find(|of| of.measure == Measure::FullSpeed) {
        None => "No forecast was held against a later trial yet.".to_owned(),
        Some(of) => {
            let failed = study.failed().filter(|(_, held)| held.measure == Measure::FullSpeed);
            let failed: Vec<String> = failed
                .map(|(who, held)| format!("{} of {}, \"{}\"", who.name, held.made_on, held.remedy))
                .collect();
            let failed = listed(&failed).map_or(String::new(), |which| format!("; outside {which}"));
            let of_all =
                counted(of.held, "forecast that a later trial held", "forecasts that later trials held");
            format!("Of {of_all} {} came out inside the 80 % band{failed}.", of.inside)
        }
    };
    Finding { sentence, further: format!("{fades} {held}"), ..Finding::default() }
}
