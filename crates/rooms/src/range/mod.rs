//! What each speed costs and how far it carries. Not for: how it is computed, its sentences (`words`).

mod words;

use wakewright_core::energy::DaySun;
use wakewright_core::field;
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{AnySheet, Filled};
use wakewright_core::steady::{BoatError, PreparedBoat};
use wakewright_core::study::{Beyond, Questions, RANGE_SHEETS, SpeedRow, Study};
use wakewright_records::boat::usual_reserve;
use wakewright_units::factors::KNOT_M_S;

use crate::boats::Loaded;
use crate::boats::has_place;
use crate::draw::range_picture;
use crate::energy::{USUAL_YEAR, plan_of};
use crate::left_out::Counted;
use crate::no_answer::NoAnswer;
use crate::room::{
    Asked, Block, Card, Place, Question, Room, SAMPLES, Samples, read_month, read_speed_within, read_years,
};
use crate::sampling;
use crate::text::Finding;
use crate::text::Paper;
use crate::whatif::{Slider, month_slider, placed, sized, standing_of, stock, worded, years_slider};
use crate::whatif::{USUAL_MONTH, USUAL_YEARS};

/// The room.
#[derive(Debug)]
pub struct Range;

static CARD: Card = Card {
    key: "range",
    title: "Range",
    about: "Speed, power, energy per mile, hours and miles",
    examples: &[
        "myboat.toml --speed \"4 kn\" --set bank.state_of_charge=\"60 %\"",
        "myboat.toml --month June --years 6 --set sea.head_wind=\"12 kn\" --set sea.sea_margin=\"15 %\"",
    ],
    pictures: &[("range", "Miles and power against speed")],
    demo: "how far does she go?",
    // Each sample runs through a day of sun at every speed.
    samples: Samples { quick: 40, ..SAMPLES },
};

static QUESTIONS: [Question; 3] = [
    Question {
        key: "speed",
        value_name: Some("SPEED"),
        help: "Speed that the finding tells of; her cruising speed when left out",
        read: |text| read_speed_within(text, 1.0, 20.0),
    },
    Question {
        key: "month",
        value_name: Some("MONTH"),
        help: "With the sun of a month on her panels: 6, June or Jun",
        read: read_month,
    },
    Question {
        key: "years",
        value_name: Some("YEARS"),
        help: "After so many years of ageing as well",
        read: read_years,
    },
];

/// What is asked beyond the bank as she is: the sun of a month, years. A page tells both without being asked.
fn beyond(asked: &Asked<'_>, finding_speed_m_s: Option<f64>) -> Result<Beyond, NoAnswer> {
    let boat = asked.boat;
    let usual_month = (asked.has_pictures && has_place(boat)).then_some(USUAL_MONTH);
    let sun = match asked.replies.whole("month").or(usual_month) {
        Some(month) => {
            let plan = plan_of(boat, USUAL_YEAR)?;
            let sun = DaySun::of_month(&plan, month);
            Some(sun.map_err(|error| NoAnswer::input(format!("{}: {error}", boat.place)))?)
        }
        None => None,
    };
    let years = asked.replies.number("years").or(asked.has_pictures.then_some(USUAL_YEARS));
    // A curve's further stations are for the bank as she is. Where the speed that is told of is none, or out of reach,
    // another row stands for it.
    let full = PreparedBoat::new(&boat.spec.boat).ok().and_then(|boat| boat.value.full_throttle().ok());
    let full_m_s = full.map_or(0.0, |full| full.held.state.speed_m_s);
    let only_at_m_s = match finding_speed_m_s.filter(|speed| *speed < 0.95 * full_m_s) {
        Some(speed) if !asked.takes("beyond") => Some(vec![speed]),
        Some(speed) if asked.has_pictures => Some(half_knots(boat).into_iter().chain([speed]).collect()),
        _ => None,
    };
    Ok(Beyond { sun, years, only_at_m_s })
}

/// Every half knot from 1.5 kn to where the hull methods end.
fn half_knots(boat: &Loaded) -> Vec<f64> {
    const FASTEST_FROUDE: f64 = 0.5;
    let length = boat.spec.boat.form.length_waterline_m;
    let fastest = FASTEST_FROUDE * (wakewright_core::constants::GRAVITY_M_S2 * length).sqrt();
    (3..).map(|half| 0.5 * f64::from(half) * KNOT_M_S).take_while(|speed| *speed <= fastest).collect()
}

/// The half knots and the speed that the finding tells of; for a curve also the quarters between them, and not far
/// beyond full throttle.
/// # Errors
/// [`BoatError`] when the boat as expected has no answer.
pub fn speeds(boat: &Loaded, finding_speed_m_s: Option<f64>, is_curve: bool) -> Result<Vec<f64>, BoatError> {
    const BEYOND_FULL: f64 = 1.18;
    let mut speeds = half_knots(boat);
    if is_curve {
        let full_m_s = PreparedBoat::new(&boat.spec.boat)?.value.full_throttle()?.held.state.speed_m_s;
        let quarters: Vec<f64> = speeds.windows(2).map(|pair| 0.5 * (pair[0] + pair[1])).collect();
        speeds.extend(quarters);
        speeds.retain(|speed| *speed < BEYOND_FULL * full_m_s);
    }
    if let Some(asked) =
        finding_speed_m_s.filter(|asked| speeds.iter().all(|speed| (speed / asked - 1.0).abs() > 1e-6))
    {
        speeds.push(asked);
    }
    speeds.sort_by(f64::total_cmp);
    Ok(speeds)
}

/// True for a row of the tables: a chart has more, and beyond the first speed that no sample reaches there is
/// nothing to plan with.
fn is_shown(study: &Study, row: &SpeedRow) -> bool {
    let is = |speed_m_s: f64| (row.speed_m_s / speed_m_s - 1.0).abs() < 1e-6;
    let unreached = study.speeds.iter().find(|row| row.share_in_reach == 0.0);
    let last_m_s = unreached.map_or(f64::INFINITY, |row| row.speed_m_s);
    let is_asked = study.questions.finding_speed_m_s.is_some_and(is);
    is_asked || (row.is_half_knot() || row.is_full) && row.speed_m_s <= last_m_s && !row.figures.is_empty()
}

/// The sheet without the rows that are not for reading.
fn for_reading<'s>(
    sheets: &[Filled],
    key: &str,
    study: &Study,
    rows: impl Iterator<Item = &'s SpeedRow>,
) -> Block {
    let mut block = Block::sheet(sheets, key);
    if let Block::Sheet(filled) = &mut block {
        let mut shown = rows.map(|row| is_shown(study, row));
        filled.rows.retain(|_| shown.next().unwrap_or(false));
    }
    block
}

impl Room for Range {
    type Found = Study;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<Study, NoAnswer> {
        let spec = &asked.boat.spec;
        let finding_speed_m_s = asked.replies.number("speed").or(spec.fittings.cruising_speed_m_s);
        let failed = |error: BoatError| NoAnswer::of(asked.boat, &error);
        let questions = Questions {
            speeds_m_s: speeds(asked.boat, finding_speed_m_s, asked.has_pictures).map_err(failed)?,
            beyond: beyond(asked, finding_speed_m_s)?,
            how_far_at_full: true,
            finding_speed_m_s,
            ..Questions::default()
        };
        sampling::study(spec, &questions, asked.samples, asked.seed).map_err(failed)
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<Study>] {
        &RANGE_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, study: &Study, paper: &Paper) -> Finding {
        words::finding(&asked.boat.name, study, paper)
    }

    fn blocks(&self, _: &Asked<'_>, study: &Study, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let reached = study.speeds.iter().filter(|row| row.distance_m.is_some());
        let mut blocks = vec![
            Block::picture(
                "range",
                "Miles to the reserve and power, against speed",
                Place::Chart,
                range_picture(study, paper),
            ),
            Block::words("", words::stands_on(study, paper)),
            for_reading(sheets, "speeds", study, study.speeds.iter())
                .remark(words::how_to_read(study, paper)),
            for_reading(sheets, "beyond", study, reached)
                .title(&words::beyond_heading(study))
                .remark(words::beyond_note(study)),
        ];
        if let Some(row) = study.finding_row() {
            let speed = words::fine_speed(row.speed_m_s, paper);
            blocks.push(Block::sheet(sheets, "figures").title(&format!("Miles to the reserve at {speed}")));
        }
        let caution = "Plan with official charts and tide tables, and with more in hand than the reserve.";
        blocks.push(Block::caution("Not for navigation", caution));
        blocks
    }

    fn notices<'f>(&self, study: &'f Study) -> &'f [Notice] {
        &study.notices
    }

    fn samples(&self, study: &Study) -> Vec<Counted> {
        Counted::one(&study.samples)
    }

    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider> {
        let document = &asked.as_kept().document;
        let reserve = format!("{:.0} %", 100.0 * usual_reserve(&asked.boat.spec.boat.bank));
        let sliders = vec![
            sized(field::usage::CRUISING_SPEED, "speed", stock::speeds(3, 16)),
            sized(field::bank::STATE_OF_CHARGE, "state of charge", stock::shares(20, 100)),
            Slider { usual: Some(reserve), ..sized(field::bank::RESERVE, "reserve", stock::shares(0, 50)) },
            Slider {
                usual: Some(standing_of(document)),
                ..sized(field::bank::HOUSE_LOAD, "standing load", stock::loads())
            },
            sized(field::sea::HEAD_WIND, "wind from ahead", stock::winds()),
            sized(field::sea::SEA_MARGIN, "sea margin", stock::shares(0, 50)),
            worded(field::hull::BOTTOM, "bottom"),
            sized(field::propeller::PITCH, "pitch", stock::propeller_sizes(4.0, 26.0)),
            sized(field::propeller::DIAMETER, "diameter", stock::propeller_sizes(9.0, 30.0)),
        ];
        let mut sliders = placed(sliders, document, asked.tried);
        if has_place(asked.boat) {
            sliders.push(month_slider("sun of", asked.replies.whole("month").unwrap_or(USUAL_MONTH)));
        }
        sliders.push(years_slider(asked.replies.number("years").unwrap_or(USUAL_YEARS)));
        sliders
    }

    fn occasion(&self, _: &Asked<'_>, study: &Study, paper: &Paper) -> String {
        words::occasion(study, paper)
    }
}
