//! The tide at a place: high and low waters of some days in the place's own time, heights over the hours.
//! Not for: how it is computed (`wakewright_core::tide`), streams, depths.

pub mod chart;
pub mod current;
mod differences;
pub mod known;
pub mod questions;
mod sheets;
pub mod station;
mod table;
pub mod words;

pub use known::Known;
pub use sheets::BAND_DEVIATE;
pub use station::{lies_at, position};

use wakewright_core::notice::Notice;
use wakewright_core::sheet::{AnySheet, Filled};

use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Place, Question, Room, SAMPLES, Typed};
use crate::text::{Finding, Paper};
use crate::whatif::Slider;
use known::seconds;

/// The room.
#[derive(Debug)]
pub struct Tide;

static CARD: Card = Card {
    key: "tide",
    title: "Tide",
    about: "High and low waters at a place, heights over the hours",
    examples: &[
        "\"Saint Malo\"",
        "Boston --day 2026-10-02 --days 7",
        "\"42.35 N 71.05 W\" --pressure \"990 hPa\"",
        "\"at noaa/FPI0901\"",
        "\"my creek\" --table waters.txt --zone Europe/London",
    ],
    pictures: &[("tide", "The height of the tide over the hours")],
    demo: "when is high water?",
    samples: SAMPLES,
};

static QUESTIONS: [Question; 9] = [
    questions::PLACE,
    questions::DAY,
    questions::days("How many days, 1 to 60; 3 when left out"),
    questions::TABLE,
    questions::ZONE,
    questions::CURVE,
    questions::DIFFERENCES,
    questions::PRESSURE,
    questions::WEATHER,
];

/// What was found.
#[derive(Debug)]
pub struct Found {
    /// The water.
    pub known: Known,
    /// Smallest and largest range from high to low water within fifteen days, where they are reckoned.
    pub ranges_m: Option<(f64, f64)>,
    /// The stream instead of the water, where it was asked for.
    pub stream: Option<current::Stream>,
}

impl Found {
    fn range_m(&self) -> Option<f64> {
        let waters: Vec<f64> = self.known.asked_waters().map(|water| water.height_m).collect();
        waters.windows(2).map(|two| (two[0] - two[1]).abs()).reduce(f64::max)
    }

    fn with_weather(&self, height_m: f64) -> wakewright_core::sheet::Interval {
        let off_m = BAND_DEVIATE * self.known.level.sd_m();
        wakewright_core::sheet::Interval { value: height_m, p10: height_m - off_m, p90: height_m + off_m }
    }

    /// Heights at the whole hours of the place.
    fn whole_hours(&self) -> Vec<(f64, f64)> {
        const HOUR_S: f64 = 3600.0;
        let from_s = seconds(&self.known.first);
        let curve = self.known.asked_curve();
        let at = |pair: &[(f64, f64)]| {
            let [(t0, h0), (t1, h1)] = pair else { return None };
            let hour_s = from_s + ((t0 - from_s) / HOUR_S).ceil() * HOUR_S;
            (hour_s < *t1).then(|| (hour_s, h0 + (h1 - h0) * (hour_s - t0) / (t1 - t0)))
        };
        curve.windows(2).filter_map(at).collect()
    }
}

impl Room for Tide {
    type Found = Found;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn is_of_place(&self) -> bool {
        true
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<Found, NoAnswer> {
        const FORTNIGHT_S: f64 = 15.0 * 86_400.0;
        let days = i64::from(asked.replies.whole("days").unwrap_or(3));
        let asked = &*crate::places::at(asked, &QUESTIONS)?;
        if let Some((known, stream)) = current::asked_for(asked, days)? {
            return Ok(Found { known, ranges_m: None, stream: Some(stream) });
        }
        let known = Known::of(asked, days, FORTNIGHT_S)?;
        let ranges = known.waters.windows(2).map(|two| (two[0].height_m - two[1].height_m).abs());
        let ranges_m = ranges.fold(None, |most: Option<(f64, f64)>, range| {
            Some(most.map_or((range, range), |(least, most)| (least.min(range), most.max(range))))
        });
        let ranges_m = ranges_m.filter(|_| known.way != known::Way::Table);
        Ok(Found { known, ranges_m, stream: None })
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<Found>] {
        &sheets::SHEETS
    }

    fn finding(&self, _: &Asked<'_>, found: &Found, paper: &Paper) -> Finding {
        words::finding(found, paper)
    }

    fn blocks(&self, _: &Asked<'_>, found: &Found, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let span_s = (seconds(&found.known.first), seconds(&found.known.last));
        let description = words::finding(found, paper).sentence;
        if let Some(stream) = &found.stream {
            let plot = chart::rates(&found.known, stream, description);
            return vec![
                Block::picture("tide", "The rate of the stream over the hours", Place::Chart, plot),
                Block::sheet(sheets, "events"),
                Block::sheet(sheets, "figures"),
                Block::words("Where these figures come from", found.known.source.clone()),
            ];
        }
        let plot = chart::curve(&found.known, span_s, "Height of the tide over the hours", description);
        vec![
            Block::picture("tide", "The height of the tide over the hours", Place::Chart, plot),
            Block::sheet(sheets, "waters"),
            Block::sheet(sheets, "figures"),
            Block::words("Where these figures come from", found.known.source.clone()),
        ]
    }

    fn notices<'f>(&self, found: &'f Found) -> &'f [Notice] {
        &found.known.notices
    }

    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider> {
        let days = asked.replies.whole("days").unwrap_or(3).to_string();
        let places = ["3", "1", "2", "7", "14", "30"].map(|days| (days, days));
        vec![crate::whatif::own("days", "days", places, &days)]
    }

    fn typed(&self, _: &Asked<'_>) -> Vec<Typed> {
        let mut fields = questions::fields("where she lies");
        fields.push(Typed::new("days", "Days", "3"));
        fields
    }

    fn occasion(&self, _: &Asked<'_>, found: &Found, _: &Paper) -> String {
        format!("At {}", found.known.name)
    }
}
