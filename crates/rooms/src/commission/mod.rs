//! Commissioning: what to do step by step, what each meter should read, what was read, which part explains it, the card for the trial.
//! Not for: how it is reckoned (`wakewright_core::commission`), keeping readings.

mod asked;

use wakewright_core::commission::{
    COMMISSION_SHEETS, CommissionStudy, FLAGS, INSULATION, POINTS, ReadyHarness, Suspect,
};
use wakewright_core::field;
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{AnySheet, Filled};
use wakewright_core::spread::Sampler;
use wakewright_core::wiring::Verdict;
use wakewright_records::boat::harness;
use wakewright_units::Quantity;

use crate::diagnosing::AllCores;
use crate::left_out::Counted;
use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Question, Room, SAMPLES, Samples, Typed};
use crate::sentence::cases;
use crate::text::{Finding, Paper};
use crate::whatif::{Slider, placed, sized, stock};

/// The room.
#[derive(Debug)]
pub struct Commission;

static CARD: Card = Card {
    key: "commission",
    title: "Commission",
    about: "What each meter should read on the day, what was read, and what explains it",
    examples: &[
        "myboat.toml",
        "myboat.toml --quay-amps \"148 A\" --quay-volts \"49.1 V\" --quay-motor \"2050 rpm\" --drop \"main cable=610 mV\"",
    ],
    pictures: &[],
    demo: "what should each meter read?",
    samples: Samples { usual: 600, settled: 300, ..SAMPLES },
};

impl Room for Commission {
    type Found = CommissionStudy;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &asked::QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<CommissionStudy, NoAnswer> {
        let boat = asked.boat;
        let ready = ReadyHarness::new(harness(&boat.document, &boat.spec), &boat.spec.boat);
        let said = asked::read(asked, &ready)?;
        CommissionStudy::of(&boat.spec, &ready, said, Sampler::new(asked.seed), asked.samples, &AllCores)
            .ok_or_else(|| {
                NoAnswer::input(format!("{}: her document contradicts itself; `check` says where", boat.name))
            })
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<CommissionStudy>] {
        &COMMISSION_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, study: &CommissionStudy, paper: &Paper) -> Finding {
        finding(&asked.boat.name, study, paper)
    }

    fn blocks(&self, _: &Asked<'_>, study: &CommissionStudy, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let mut blocks = Vec::new();
        if !study.suspects.is_empty() {
            const SHOWN: usize = 5;
            let looks: Vec<String> = study
                .suspects
                .iter()
                .take(3)
                .filter(|row| row.share > 0.05)
                // What fails is no reason to go on.
                .filter(|row| row.suspect != Some(Suspect::Sound) || study.count(Verdict::Fails) == 0)
                .filter_map(|row| Some(format!("{}: {}", row.words, row.suspect?.look_at())))
                .collect();
            blocks.push(Block::sheet(sheets, "suspects").with_rows(|row| row < SHOWN));
            blocks.push(Block::words("Look at", looks));
        }
        blocks.push(Block::sheet(sheets, "readings").remark(
            "Four sound readings of five lie between these, the meter's own error counted in. Empty: cannot be told from her document.",
        ));
        blocks.push(Block::sheet(sheets, "runs").remark(
            "From clip to clip over both conductors, lugs and fuse. Less is no fault; a run far above is taken apart dead.",
        ));
        blocks.push(Block::words("Step by step", steps(study, paper)));
        blocks.push(Block::sheet(sheets, "card"));
        let is_tried = study.flags.iter().any(|row| row.verdict.is_some());
        blocks.push(Block::sheet(sheets, "tried").with_rows(|_| is_tried));
        blocks
    }

    fn notices<'f>(&self, study: &'f CommissionStudy) -> &'f [Notice] {
        &study.notices
    }

    fn samples(&self, study: &CommissionStudy) -> Vec<Counted> {
        Counted::one(&study.taken)
    }

    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider> {
        let sliders = vec![sized(field::bank::STATE_OF_CHARGE, "state of charge", stock::shares(20, 100))];
        placed(sliders, &asked.as_kept().document, asked.tried)
    }

    fn typed(&self, asked: &Asked<'_>) -> Vec<Typed> {
        asked::fields(crate::boats::example_volts(asked.boat))
    }

    fn occasion(&self, _: &Asked<'_>, _: &CommissionStudy, _: &Paper) -> String {
        "On the day of commissioning".to_owned()
    }
}

fn finding(name: &str, study: &CommissionStudy, paper: &Paper) -> Finding {
    let [passes, unsure, fails] =
        [Verdict::Passes, Verdict::CannotTell, Verdict::Fails].map(|verdict| study.count(verdict));
    if passes + unsure + fails == 0 {
        let row = study
            .points
            .iter()
            .find(|row| row.point.key == "quay-amps")
            .and_then(|row| Some((row, row.expected?)));
        let amps = row.map_or_else(String::new, |(_, band)| {
            format!(
                " At full lever against a quay the bank should give {}.",
                paper.band(band, Quantity::Current)
            )
        });
        return Finding {
            sentence: format!(
                "What each meter of {name} should read stands below, in the order in which it is read.{amps}"
            ),
            further: "Type what was read: it passes, fails, or points at the part that explains it."
                .to_owned(),
            ..Finding::default()
        };
    }
    let readings = |count: usize| if count == 1 { "reading".to_owned() } else { "readings".to_owned() };
    let counted = match (fails, unsure) {
        (0, 0) => format!("All {passes} {} of {name} pass.", readings(passes)),
        (0, _) => format!(
            "{passes} {} of {name} pass, {unsure} cannot be told: read these again.",
            readings(passes)
        ),
        _ => format!(
            "{fails} {} of {name} {}, {passes} pass, {unsure} cannot be told.",
            readings(fails),
            if fails == 1 { "fails" } else { "fail" }
        ),
    };
    let points_at = study.suspects.first().map_or_else(String::new, |first| match first.suspect {
        Some(Suspect::Sound) if fails == 0 => String::new(),
        Some(Suspect::Sound) => {
            " No part in the list explains that better than chance: read what fails again.".to_owned()
        }
        None => " No part in the list explains them together: read them again, then look further.".to_owned(),
        Some(_) => format!(" What explains them best is {}, in {} like it.", first.words, cases(first.share)),
    });
    let binding = study
        .suspects
        .first()
        .filter(|first| fails > 0 && first.suspect.is_some())
        .map_or_else(String::new, |first| first.words.clone());
    let failing: Vec<&str> = study
        .points
        .iter()
        .filter(|row| row.verdict == Some(Verdict::Fails))
        .map(|row| row.point.label)
        .chain(
            study.drops.iter().filter(|row| row.verdict == Some(Verdict::Fails)).map(|row| row.name.as_str()),
        )
        .collect();
    // No part makes a reading three times too large: it is another point, unit or instrument.
    const NO_PART: f64 = 3.0;
    let odd: String = (study.points.iter())
        .filter_map(|row| Some((row, row.read?, row.expected?)))
        .filter(|(row, read, band)| {
            let is_rest = row.point.key == "rest-volts";
            *read > if is_rest { 1.5 } else { NO_PART } * band.p90 || (is_rest && *read < 0.5 * band.p10)
        })
        .map(|(row, read, _)| {
            format!(
                " {} of {} is nothing that she can have: another unit, another point or another instrument?",
                paper.quantity(read, row.point.quantity),
                row.point.label
            )
        })
        .collect();
    let stop = match study.unsafe_readings().as_slice() {
        [] => study.burning().map_or_else(String::new, |row| {
            format!("Stop: lever to neutral, main switch off: {} heats until something burns. ", row.words)
        }),
        wrong => format!(
            "Stop, switch off and lock off: what fails is {}, and she does not turn under power until that is mended. ",
            wrong.join(", ")
        ),
    };
    Finding {
        sentence: format!("{stop}{counted}{points_at}"),
        binding,
        further: if failing.is_empty() {
            String::new()
        } else {
            format!("Outside: {}.{odd}", failing.join("; "))
        },
        fails: fails > 0,
        ..Finding::default()
    }
}

/// What is done, in its order, each caution where the hand goes.
fn steps(study: &CommissionStudy, paper: &Paper) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    let mut last = String::new();
    let mut number = 0;
    let mut step = |caution: &Notice, words: String| {
        number += 1;
        let caution = caution.text();
        let opening = if caution == last { String::new() } else { format!("{caution} ") };
        last = caution;
        said.push(format!("{number}. {opening}{words}"));
    };
    step(
        &INSULATION,
        format!(
            "Each pole against hull and water: {} at least (insulation).",
            paper.quantity(study.insulation_ohm, Quantity::Resistance)
        ),
    );
    let is_shut = study.points.iter().all(|row| !row.point.is_of_open_line || row.expected.is_none());
    for (place, row) in
        study.points.iter().enumerate().filter(|(_, row)| !(is_shut && row.point.is_of_open_line))
    {
        let expected = row.expected.map_or_else(
            || "It cannot be told from her document.".to_owned(),
            |band| format!("It should be {}.", paper.band(band, row.point.quantity)),
        );
        step(&row.point.caution, format!("{} {expected}", row.point.to_do));
        // With nothing to turn, before she is coupled.
        if POINTS.get(place).is_some_and(|point| point.key == "precharge") {
            FLAGS.iter().for_each(|flag| step(&flag.caution, flag.to_do.to_owned()));
        }
    }
    said
}
