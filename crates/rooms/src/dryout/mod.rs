//! Drying out: on which tide she stands dry for the work, when she floats again, and what if that water is missed.
//! Not for: the law of floating off (`wakewright_core::drying_out`), the state of the ground.

mod asked;
mod calendar;
mod chart;
mod fields;
mod sheets;
mod words;

use wakewright_core::caution;
use wakewright_core::drying_out::{Moment, Visit, recommended, visits};
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{AnySheet, Filled};

use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Place, Question, Room, SAMPLES, Typed};
use crate::text::{Finding, Paper};
use crate::tide::known::{is_far, seconds};
use crate::tide::{Known, lies_at};
use crate::whatif::Slider;
use asked::Case;

/// The room.
#[derive(Debug)]
pub struct DryOut;

static CARD: Card = Card {
    key: "dryout",
    title: "Dry out",
    about: "When she may stand on the ground to be worked on, and how she gets off",
    examples: &[
        "myboat.toml Boston --ground \"1.70 m ± 0.10 m\" --draught \"1.48 m\" --hours 4",
        "myboat.toml \"Saint Malo\" --touched \"2026-09-28 10:42 with 1.48 m\" --work propeller",
        "myboat.toml \"Creek quay\"",
        "myboat.toml \"my creek\" --table waters.txt --zone Europe/London --ground \"1.2 m\"",
    ],
    pictures: &[("dryout", "The tide that is advised, with touching, dry hours and the way off")],
    demo: "on which tide can she be painted, and does she float again?",
    samples: SAMPLES,
};

const DAYS: u32 = 30;

/// What was found.
#[derive(Debug)]
pub struct Found {
    known: Known,
    case: Case,
    visits: Vec<Visit>,
    /// Places of those that are advised, best first.
    chosen: Vec<usize>,
    /// When she is off in nineteen cases of twenty, on the best of them.
    sure_by: Option<f64>,
    days: i64,
    last_s: f64,
    notices: Vec<Notice>,
}

impl Found {
    fn advised(&self) -> Option<&Visit> {
        self.visits.get(*self.chosen.first()?)
    }

    fn named(&self, visit: &Visit) -> String {
        self.known.local(visit.standing.low.unix_s).strftime("%a %d %b").to_string()
    }

    /// Half the 80 % band of a moment, level and time of the curve together \[s\].
    fn within_s(&self, moment: &Moment) -> Option<f64> {
        let (early, late) = moment.band_s()?;
        Some((0.5 * (late - early)).hypot(self.known.between_s))
    }

    /// The hour, with the day where it is not that of the low water.
    fn hour(&self, at_s: f64, visit: &Visit) -> String {
        let at = self.known.local(at_s);
        let is_same_day = at.date() == self.known.local(visit.standing.low.unix_s).date();
        at.strftime(if is_same_day { "%H:%M" } else { "%a %H:%M" }).to_string()
    }

    /// "11:38 ± 18 min".
    fn told(&self, visit: &Visit, moment: &Moment) -> String {
        let Some(at) = moment.median_s else { return "never".to_owned() };
        let at = self.hour(at, visit);
        match self.within_s(moment) {
            Some(within) => format!("{at} ± {:.0} min", (within / 60.0).ceil()),
            None => format!("{at} or not at all"),
        }
    }

    /// The same for a table: "11:38 ±18".
    fn short(&self, visit: &Visit, moment: &Moment) -> String {
        self.told(visit, moment).replace(" ± ", " ±").replace(" min", "").replace(" at all", "")
    }

    /// The last moment at which she is afloat in nine cases of ten.
    fn give_up_s(&self, visit: &Visit) -> Option<f64> {
        let touches = &visit.standing.touches;
        Some(touches.median_s? - self.within_s(touches)?)
    }
}

impl Room for DryOut {
    type Found = Found;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &fields::QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<Found, NoAnswer> {
        const FORTNIGHT_S: f64 = 15.0 * 86_400.0;
        let asked = &*crate::places::at(asked, &fields::QUESTIONS)?;
        let days = i64::from(asked.replies.whole("days").unwrap_or(DAYS));
        let mut known = Known::of(asked, days, FORTNIGHT_S)?;
        let case = Case::of(asked, &known)?;
        known.level.weather_sd_m = case.error.weather_sd_m;
        if let Some(landed) = case.error.landed {
            known.raise(|at_s| landed.raises_m(at_s));
        }
        let mut visits = visits(&known.curve, &known.waters, &case.berth, &case.error, &case.wanted);
        let (from_s, to_s) = (seconds(&known.first), seconds(&known.last));
        visits.retain(|visit| (from_s..to_s).contains(&visit.standing.low.unix_s));
        let chosen = recommended(&visits, &case.wanted, 3);
        let mut sure_by = None;
        for (rank, place) in chosen.iter().enumerate() {
            let all = visits[*place].reckon_by_then(&known.waters, &case.berth, &case.error);
            if rank == 0 {
                sure_by = all.iter().find(|(_, share)| *share >= 0.95).map(|(at, _)| *at);
            }
        }
        let last_s = known.waters.last().map_or(to_s, |water| water.unix_s);
        let days = days.min(((last_s - from_s) / 86_400.0).ceil() as i64);
        let mut notices = vec![caution::DRYING_OUT, caution::UNDER_HER, caution::SCRUBBING];
        notices.extend(known.notices.iter().cloned());
        if is_far(known.position, lies_at(asked.boat)) {
            notices.push(caution::FAR_STATION);
        }
        Ok(Found { known, case, visits, chosen, sure_by, days, last_s, notices })
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<Found>] {
        &sheets::SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, found: &Found, paper: &Paper) -> Finding {
        words::finding(found, &asked.boat.name, paper)
    }

    fn blocks(&self, asked: &Asked<'_>, found: &Found, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let mut blocks = Vec::new();
        if let Some(best) = found.advised() {
            let sentence = words::finding(found, &asked.boat.name, paper).sentence;
            let plot = chart::picture(found, best, sentence);
            blocks.push(Block::picture("dryout", "The tide that is advised", Place::Chart, plot));
            blocks.push(Block::words("Which tides, and why", words::reasons(found)));
            blocks.push(Block::sheet(sheets, "ways_off").remark(
                "Then: by that water alone. By then: at any water up to it. One error of ground, datum and draught is in all \
                 of them, and weather lasts: they are not independent.",
            ));
        }
        blocks.extend([
            Block::sheet(sheets, "tides").remark(
                "Times are of the place, each with half its 80 % band in minutes; the work is dry between dry and wet. To work: hours of \
                 that by daylight or within the hours given. Marked: the tides advised.",
            ),
            Block::words("How she stands", words::standing(found)),
            Block::sheet(sheets, "figures"),
            Block::words("To take along", words::kit(found)),
            Block::words("Where the waters come from", found.known.source.clone()),
        ]);
        blocks
    }

    fn file_kinds(&self) -> &'static [&'static str] {
        &["ics"]
    }

    fn files(&self, found: &Found) -> Vec<(&'static str, String)> {
        if found.chosen.is_empty() { Vec::new() } else { vec![("ics", calendar::file(found))] }
    }

    fn notices<'f>(&self, found: &'f Found) -> &'f [Notice] {
        &found.notices
    }

    fn sliders(&self, _: &Asked<'_>) -> Vec<Slider> {
        Vec::new()
    }

    fn typed(&self, asked: &Asked<'_>) -> Vec<Typed> {
        fields::fields(asked.boat)
    }

    fn occasion(&self, _: &Asked<'_>, found: &Found, _: &Paper) -> String {
        format!("At {}", found.known.place())
    }
}
