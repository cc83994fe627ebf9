//! What stops her at full throttle, what she makes over the throttle, and where each watt goes.
//! Not for: how it is computed, its sentences (`words`), its chart (`chart`).

mod chart;
mod glance;
mod remedy;
mod words;

pub use glance::{Glance, glance};

use wakewright_core::battery::TOUCH_LIMIT_V;
use wakewright_core::drive::ReductionKind;
use wakewright_core::field;
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{AnySheet, Filled};
use wakewright_core::steady::{BoatError, PreparedBoat};
use wakewright_core::study::{DRIVE_SHEETS, Questions, StateFigure, Study, WidthShare};
use wakewright_units::Quantity;

use crate::draw::{TorqueSheet, ladder_picture, resistance_picture};
use crate::left_out::Counted;
use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Place, Question, Room, SAMPLES, read_share_within};
use crate::sampling;
use crate::text::Finding;
use crate::text::Paper;
use crate::whatif::{Slider, cells_slider, placed, sized, stock, worded};

/// The room.
#[derive(Debug)]
pub struct Drive;

static CARD: Card = Card {
    key: "drive",
    title: "Drive",
    about: "What stops her at full throttle, and where each watt goes",
    examples: &[
        "myboat.toml",
        "myboat.toml --set propeller.pitch=\"11 in\"",
        "myboat.toml --throttle \"65 %\"",
    ],
    pictures: &[
        ("torque", "Torque against shaft speed: what the drive can reach, what the propeller asks"),
        ("ladder", "Where each watt goes at full throttle"),
        ("resistance", "What the resistance is made of, against speed"),
    ],
    demo: "what stops her at full throttle?",
    samples: SAMPLES,
};

static QUESTIONS: [Question; 1] = [Question {
    key: "throttle",
    value_name: Some("SHARE"),
    help: "How far the throttle is open, as well as the usual steps of it, for example \"65 %\"",
    read: |text| read_share_within(text, 5, 100),
}];

/// Throttle positions of the table.
const THROTTLES: [f64; 9] = [0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0];

/// Where the throttle is fully open.
const FULLY_OPEN: f64 = 0.995;

/// The throttle that is looked at, where it is not fully open.
fn eased(asked: &Asked<'_>) -> Option<f64> {
    asked.replies.number("throttle").filter(|throttle| *throttle < FULLY_OPEN)
}

fn is_near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

/// What is asked of her; for a chart also what her propeller takes over the shaft speed.
fn questions(asked: &Asked<'_>) -> Result<Questions, BoatError> {
    let mut throttles = THROTTLES.to_vec();
    throttles.extend(eased(asked).filter(|eased| THROTTLES.iter().all(|usual| !is_near(*usual, *eased))));
    throttles.sort_by(f64::total_cmp);
    let mut questions = Questions { throttles, ..Questions::default() };
    if asked.has_pictures {
        let prepared = PreparedBoat::new(&asked.boat.spec.boat)?.value;
        let sheet = TorqueSheet::of(&prepared, prepared.reach().as_ref(), &asked.boat.spec.fittings);
        questions.shafts_rev_s = sheet.stations_rev_s();
    }
    Ok(questions)
}

impl Room for Drive {
    type Found = Study;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<Study, NoAnswer> {
        questions(asked)
            .and_then(|questions| sampling::study(&asked.boat.spec, &questions, asked.samples, asked.seed))
            .map_err(|error| NoAnswer::of(asked.boat, &error))
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<Study>] {
        &DRIVE_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, study: &Study, paper: &Paper) -> Finding {
        let finding = words::finding(
            &asked.boat.name,
            asked.boat.spec.fittings.wished_speed_m_s,
            eased(asked),
            study,
            paper,
        );
        let remedy = asked.seeks_remedy.then(|| remedy::remedy(asked, study, &self.sliders(asked), paper));
        Finding { remedy, ..finding }
    }

    fn blocks(&self, asked: &Asked<'_>, study: &Study, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let mut blocks = Vec::new();
        if !study.demand.is_empty() {
            let caption = "What the drive can reach, what the propeller asks";
            let chart = chart::torque(asked, eased(asked), study, paper);
            blocks.push(Block::picture("torque", caption, Place::Chart, chart));
        }
        let volts = study.prepared.bank().high_voltage_v;
        if volts > TOUCH_LIMIT_V {
            blocks.push(Block::caution("Above 60 V", words::high_voltage(volts, paper)));
        }
        let throttle = eased(asked).unwrap_or(1.0);
        let looked_at = study.throttles.iter().position(|row| is_near(row.throttle, throttle));
        blocks.extend([
            Block::sheet(sheets, "limits").remark(words::never(study)).chief(words::next_limit(study)),
            Block::sheet(sheets, "throttle")
                .remark(words::without_way(study))
                .looking_at(looked_at)
                .chief(words::eased(study, paper)),
            Block::picture(
                "ladder",
                "Where each watt goes at full throttle",
                Place::Below,
                ladder_picture(study),
            )
            .in_text(words::ladder(study, paper))
            .chief(words::reaches_water(study)),
            Block::sheet(sheets, "full_throttle"),
        ]);
        if let Some(said) = words::second_opinions(study, paper) {
            blocks.push(Block::words("Second opinions on the hull", said));
        }
        if let Some(said) = words::width_of_speed(study) {
            let chief = words::widest(study);
            blocks.push(Block::words("What makes the top speed unsure", said).chief(chief));
        }
        let caption = "What the resistance is made of";
        let chief = paper.quantity(study.at_full(StateFigure::Resistance).value, Quantity::Force);
        blocks.push(
            Block::picture("resistance", caption, Place::Below, resistance_picture(study)).chief(chief),
        );
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
        let mut sliders = vec![
            sized(field::propeller::PITCH, "pitch", stock::propeller_sizes(4.0, 26.0)),
            sized(field::propeller::DIAMETER, "diameter", stock::propeller_sizes(9.0, 30.0)),
        ];
        // A motor on the shaft has nothing to change there.
        if document.chosen(field::reduction::KIND) != Some(ReductionKind::Direct) {
            sliders.push(sized(field::reduction::RATIO, "reduction", stock::ratios()));
        }
        sliders.extend([
            cells_slider(document),
            worded(field::hull::BOTTOM, "bottom"),
            worded(field::propeller::BLADES_STATE, "blades"),
            sized(field::sea::HEAD_WIND, "wind from ahead", stock::winds()),
        ]);
        let mut sliders = placed(sliders, document, asked.tried);
        sliders.push(throttle_slider(eased(asked)));
        sliders
    }

    fn occasion(&self, _: &Asked<'_>, _: &Study, _: &Paper) -> String {
        "At full throttle".to_owned()
    }

    fn widths(&self, study: &Study, key: &str) -> Vec<WidthShare> {
        StateFigure::from_key(key).map_or_else(Vec::new, |figure| study.width_of(figure))
    }
}

/// The throttle in steps of five per cent, fully open as kept.
fn throttle_slider(eased: Option<f64>) -> Slider {
    const STEPS: std::ops::RangeInclusive<u32> = 4..=20;
    let step = |share: f64| (20.0 * share).round() as usize;
    let places = STEPS.map(|step| {
        let share = format!("{} %", 5 * step);
        (share.clone(), if step == *STEPS.end() { "fully open".to_owned() } else { share })
    });
    let places: Vec<(String, String)> = places.collect();
    let kept = places.len() - 1;
    let at = eased.map_or(kept, |share| step(share).saturating_sub(*STEPS.start() as usize).min(kept));
    Slider { key: "throttle", label: "throttle", places, usual: None, kept, at }
}
