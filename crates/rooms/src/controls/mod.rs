//! Controls: what the lever may do, and what happens to bus, shaft and crew when something opens or is lost.
//! Not for: how it is reckoned.

mod chart;
mod words;

use wakewright_core::controls::{CONTROLS_SHEETS, ControlsStudy};
use wakewright_core::field;
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{AnySheet, Filled};
use wakewright_core::wiring::Verdict;
use wakewright_records::boat::{controls, harness};
use wakewright_units::Quantity;

use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Place, Question, Room, SAMPLES};
use crate::text::{Finding, Paper};
use crate::whatif::{Slider, placed, sized, stock, worded};
use crate::wiring::words::untold;

/// The room.
#[derive(Debug)]
pub struct ControlsRoom;

static CARD: Card = Card {
    key: "controls",
    title: "Controls",
    about: "What the lever may do, and what bus, shaft and crew see when something opens or is lost",
    examples: &[
        "myboat.toml",
        "myboat.toml --set controls.reversing_wait=\"1 s\" --set controls.wire_broken=stops",
    ],
    pictures: &[
        ("events", "Volts of the bus in the first 20 ms of each event"),
        ("reversing", "From full ahead to full astern"),
        ("later", "Volts of the bus in the first 10 s of each event"),
        ("lever", "Demand against lever"),
    ],
    demo: "what does the lever do, and what happens when something opens?",
    samples: SAMPLES,
};

impl Room for ControlsRoom {
    type Found = ControlsStudy;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &[]
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<ControlsStudy, NoAnswer> {
        let (document, spec) = (&asked.boat.document, &asked.boat.spec);
        ControlsStudy::of(spec, harness(document, spec), controls(document))
            .map_err(|error| NoAnswer::input(format!("{}: {error}", asked.boat.name)))
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<ControlsStudy>] {
        &CONTROLS_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, study: &ControlsStudy, paper: &Paper) -> Finding {
        words::finding(&asked.boat.name, study, paper)
    }

    fn blocks(&self, _: &Asked<'_>, study: &ControlsStudy, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let mut blocks = Vec::new();
        if let Some(plot) = chart::first(study) {
            blocks.push(Block::picture("events", "Volts of the bus, first 20 ms", Place::Chart, plot));
        }
        blocks.push(
            Block::words("What fails", words::failing(study, paper))
                .chief(words::counted(study, Verdict::Fails))
                .grave(study.count(Verdict::Fails) > 0),
        );
        blocks.push(Block::sheet(sheets, "events").remark(
            "Highest volts of the bus in the first 20 ms, volts after 10 s at the most, and what stands least of all that sees them. -: \
             cannot be told. Reckoned without losses, at the limit of the motor current. A dashed course that breaks off goes on \
             past what the controller stands.",
        ));
        blocks.push(Block::words("What the crew sees, what acts, what is left", words::event_words(study)));
        if let Some(reversal) = &study.reversal {
            let words = words::reversing(study, reversal, paper);
            let torque = paper.quantity(reversal.shaft_n_m.value, Quantity::Torque);
            blocks.push(Block::words("From full ahead to full astern", words).chief(torque));
            let plot = chart::reversing(reversal, paper);
            let astern = format!("{} astern", paper.quantity(reversal.astern_n.value, Quantity::Force));
            blocks.push(
                Block::picture("reversing", "Shaft, thrust and way by time", Place::Below, plot)
                    .chief(astern),
            );
        }
        if let Some(plot) = chart::later(study) {
            let volts = study.events.iter().flat_map(|event| &event.volts.later).map(|(_, volts)| *volts);
            let most = format!("at most {}", paper.quantity(volts.fold(0.0, f64::max), Quantity::Voltage));
            blocks.push(
                Block::picture("later", "Volts of the bus, first 10 s", Place::Below, plot).chief(most),
            );
        }
        let dead = study.controls.dead_band.map_or_else(
            || "dead band not told".to_owned(),
            |share| format!("dead band {}", paper.quantity(share, Quantity::Share)),
        );
        blocks.push(
            Block::picture("lever", "Demand against lever", Place::Below, chart::lever(study)).chief(dead),
        );
        blocks.push(
            Block::words("What cannot be told", [words::events_untold(study), untold(&study.rules)].concat())
                .chief(words::counted(study, Verdict::CannotTell)),
        );
        blocks.push(Block::sheet(sheets, "rules"));
        blocks
    }

    fn notices<'f>(&self, study: &'f ControlsStudy) -> &'f [Notice] {
        &study.notices
    }

    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider> {
        let seconds = |to: u32| (0..=2 * to).map(|half| format!("{} s", f64::from(half) / 2.0)).collect();
        let volts: Vec<String> = (20..=160).step_by(4).map(|v| format!("{v} V")).collect();
        let amperes = (0..=30).map(|ten| format!("{} A", 10 * ten)).collect();
        let sliders = vec![
            sized(field::controls::RAMP_UP, "ramp up", seconds(10)),
            sized(field::controls::RAMP_DOWN, "ramp down", seconds(10)),
            sized(field::controls::REVERSING_WAIT, "wait on reversing", seconds(5)),
            Slider {
                usual: Some("100 %".to_owned()),
                ..sized(field::controls::REVERSING_TORQUE, "torque on reversing", stock::shares(20, 100))
            },
            sized(field::controller::REGENERATION_CURRENT, "current back into the bank", amperes),
            sized(field::controller::BRAKING_STOPS_AT, "volts at which braking stops", volts),
            worded(field::controls::WIRE_BROKEN, "when the lever's wire breaks"),
            worded(field::controls::STOP_ORDER, "what the stop does first"),
        ];
        placed(sliders, &asked.as_kept().document, asked.tried)
    }

    fn occasion(&self, _: &Asked<'_>, study: &ControlsStudy, paper: &Paper) -> String {
        format!("From full throttle, {}", paper.decimals(study.full_m_s, Quantity::Speed, 1))
    }
}
