//! Check-ups: what to look at on her, what is due, what was measured and where it goes, how her bank fades.
//! Not for: how it is reckoned (`wakewright_core::upkeep`), entering one (`dated`).

mod chart;
mod kept;
mod words;

pub(crate) use kept::history;

use wakewright_core::caution::of_checkups;
use wakewright_core::notice::{Notice, Severity};
use wakewright_core::sheet::{AnySheet, Filled, Interval};
use wakewright_core::study::sample_bank;
use wakewright_core::upkeep::{UPKEEP_SHEETS, UpkeepAsked, UpkeepStudy};
use wakewright_units::{Quantity, read_quantity};

use crate::moment;
use crate::no_answer::NoAnswer;
use crate::room::{
    Asked, Block, Card, Place, Question, Reply, Room, SAMPLES, Samples, read_date, read_share_within,
};
use crate::sampling;
use crate::text::{Finding, Paper};
use crate::whatif::Slider;

/// The room.
#[derive(Debug)]
pub struct CheckUp;

static CARD: Card = Card {
    key: "checkup",
    title: "Check-ups",
    about: "What to look at on her and when, what was measured and where it goes, how her bank fades",
    examples: &[
        "\"Sea Campion\"",
        "\"Sea Campion\" --trip \"18 nm\" --worn \"75 %\"",
        "myboat.toml --csv list",
    ],
    pictures: &[
        ("capacity", "what her bank holds by its tests, with the line and its band"),
        ("value", "the value that reaches its limit first"),
    ],
    demo: "what is looked at every year, and how does her bank fade?",
    samples: Samples { usual: 400, settled: 200, ..SAMPLES },
};

/// Share of the rated capacity at which a bank counts as worn: the usual end of a warranty. Common practice, no source.
pub(crate) const WORN_SHARE: f64 = 0.8;

fn read_trip(text: &str) -> Result<Reply, String> {
    let metres = read_quantity(text.trim(), Quantity::Distance).map_err(|error| error.to_string())?.si;
    if (100.0..=1.0e6).contains(&metres) {
        Ok(Reply::Number(metres))
    } else {
        Err("give the longest trip on one charge: 18 nm".to_owned())
    }
}

/// # Errors
/// What to write instead.
pub(crate) fn read_worn(text: &str) -> Result<Reply, String> {
    read_share_within(text, 30, 95)
}

static QUESTIONS: [Question; 3] = [
    Question {
        key: "trip",
        value_name: Some("DISTANCE"),
        help: "Her owner's longest trip on one charge, at cruising speed: \"18 nm\"",
        read: read_trip,
    },
    Question {
        key: "worn",
        value_name: Some("SHARE"),
        help: "Share of the rated capacity at which the bank counts as worn [default: 80 %]",
        read: read_worn,
    },
    Question {
        key: "on",
        value_name: Some("DAY"),
        help: "As of this day; today when left out",
        read: read_date,
    },
];

impl Room for CheckUp {
    type Found = UpkeepStudy;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<UpkeepStudy, NoAnswer> {
        let today = asked.replies.day("on").unwrap_or_else(moment::today);
        let history = history(asked.as_kept(), &asked.as_kept().records, today);
        let trip_share = match asked.replies.number("trip") {
            Some(metres) => Some(trip_share(asked, metres)?),
            None => None,
        };
        let mut notices = of_checkups();
        notices
            .extend(history.unread.into_iter().map(|text| Notice::Read { severity: Severity::Weak, text }));
        let study = UpkeepAsked {
            today,
            checkups: history.checkups,
            list: history.list,
            tests: history.tests,
            worn_share: asked.replies.number("worn").unwrap_or(WORN_SHARE),
            trip_share,
        };
        Ok(UpkeepStudy::of(study, notices))
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<UpkeepStudy>] {
        &UPKEEP_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, study: &UpkeepStudy, paper: &Paper) -> Finding {
        words::finding(&asked.boat.name, study, paper)
    }

    fn blocks(&self, asked: &Asked<'_>, study: &UpkeepStudy, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let mut blocks = Vec::new();
        let sentence = words::finding(&asked.boat.name, study, paper).further;
        if let Some(plot) = chart::capacity(study, sentence) {
            blocks.push(Block::picture("capacity", "What her bank holds, by its tests", Place::Chart, plot));
        }
        if let Some((row, plot)) = chart::value(study, paper) {
            let caption = format!("{}, by its readings", crate::sentence::capitalised(row.measured.what));
            let readings = crate::sentence::counted(row.readings.len(), "reading", "readings");
            blocks.push(Block::picture("value", &caption, Place::Below, plot).chief(readings));
        }
        blocks.extend([
            Block::sheet(sheets, "values").remark(
                "A year: by a straight line. At limit: as often before as after, if it goes on as it went; files have the band and \
                 the smallest change that the readings would show. The maker's limit goes before the list's.",
            ),
            Block::sheet(sheets, "parts"),
            Block::sheet(sheets, "tests"),
        ]);
        blocks.extend(words::stages(study).into_iter().map(|(title, lines)| {
            let due = lines.iter().filter(|line| line.is_due).count();
            let text: Vec<String> = lines.into_iter().map(|line| line.text).collect();
            Block::words(title, text).chief(if due == 0 {
                "nothing due".to_owned()
            } else {
                format!("{due} due")
            })
        }));
        blocks
    }

    fn notices<'f>(&self, study: &'f UpkeepStudy) -> &'f [Notice] {
        &study.notices
    }

    fn sliders(&self, _: &Asked<'_>) -> Vec<Slider> {
        Vec::new()
    }

    fn typed(&self, _: &Asked<'_>) -> Vec<crate::room::Typed> {
        vec![
            crate::room::Typed::new("trip", "Longest trip on one charge", "18 nm"),
            crate::room::Typed::new("worn", "Bank counts as worn at", "80 %"),
        ]
    }

    fn occasion(&self, _: &Asked<'_>, study: &UpkeepStudy, _: &Paper) -> String {
        format!("As of {}", study.asked.today)
    }
}

/// Share of the rated capacity that a trip takes, from full to the reserve at cruising speed.
fn trip_share(asked: &Asked<'_>, metres: f64) -> Result<Interval, NoAnswer> {
    let spec = &asked.boat.spec;
    let Some(speed_m_s) = spec.fittings.cruising_speed_m_s else {
        return Err(NoAnswer::input(
            "a trip needs her cruising speed: give it in the document (use.cruising_speed)",
        ));
    };
    let groups = &spec.boat.bank.groups;
    let rated: f64 = groups.iter().map(|g| g.capacity_coulomb * f64::from(g.packs_in_parallel)).sum();
    let now: f64 = groups.iter().map(wakewright_core::battery::PackGroup::aged_capacity_coulomb).sum();
    let samples = sampling::every(asked.samples, asked.seed, |sampler, i| sample_bank(spec, sampler, i));
    let shares = samples
        .iter()
        .flatten()
        .filter_map(|sample| Some(now / rated * sample.share_of_cruise(metres / speed_m_s)?));
    let mut shares: Vec<f64> = shares.collect();
    let spread = wakewright_core::spread::quantiles(&mut shares);
    spread
        .map(|spread| Interval { value: spread.median, p10: spread.p10, p90: spread.p90 })
        .ok_or_else(|| NoAnswer::input("her bank cannot carry her cruising speed: no trip can be reckoned"))
}
