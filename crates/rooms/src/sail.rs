//! Under sail: what the propeller costs, what cancels it, what comes back.
//! Not for: how it is computed, the pictures (`draw::sail`).

use wakewright_core::field;
use wakewright_core::notice::Notice;
use wakewright_core::sail::{Mode, NoHarvest, SAIL_SHEETS, SailQuestions, SailRow, SailStudy};
use wakewright_core::sheet::{AnySheet, Filled, Interval};
use wakewright_records::boat::{BoatDocument, BoatKind, PropellerPlace};
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, format_number};

use crate::draw::{sail_drag_picture, sail_power_picture};
use crate::left_out::Counted;
use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Place, Question, Room, SAMPLES, read_speed_within};
use crate::sampling;
use crate::text::Finding;
use crate::text::Paper;
use crate::whatif::{Slider, placed, sized, stock, worded};

/// The room.
#[derive(Debug)]
pub struct Sail;

static CARD: Card = Card {
    key: "sail",
    title: "Under sail",
    about: "Under sail: what the propeller costs, what cancels it, what comes back",
    examples: &[
        "myboat.toml",
        "myboat.toml --speed \"6 kn\" --loss \"0.3 kn\" --set bank.state_of_charge=\"60 %\"",
    ],
    pictures: &[
        ("sail-drag", "Drag of the propeller under sail"),
        ("sail-power", "Watts that cancel that drag, and that come back"),
    ],
    demo: "what does the propeller cost, and what comes back?",
    samples: SAMPLES,
};

static QUESTIONS: [Question; 2] = [
    Question {
        key: "loss",
        value_name: Some("SPEED"),
        help: "Speed that regeneration may cost beyond the freely turning propeller; that of her week when left out",
        read: |text| read_speed_within(text, 0.0, 2.0),
    },
    Question {
        key: "speed",
        value_name: Some("SPEED"),
        help: "Speed that the finding tells of; that of her week when left out",
        read: |text| read_speed_within(text, 1.0, 12.0),
    },
];

impl Room for Sail {
    type Found = SailStudy;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<SailStudy, NoAnswer> {
        let replies = &asked.replies;
        // A chart has a station at each half knot.
        let steps_a_knot = if asked.has_pictures { 2 } else { 1 };
        let questions =
            questions(&asked.boat.document, replies.number("loss"), replies.number("speed"), steps_a_knot);
        sampling::sail_study(&asked.boat.spec, &questions, asked.samples, asked.seed)
            .map_err(|error| NoAnswer::of(asked.boat, &error))
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<SailStudy>] {
        &SAIL_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, study: &SailStudy, paper: &Paper) -> Finding {
        let is_charge_told = asked.boat.document.typed(field::bank::STATE_OF_CHARGE).is_some();
        let document = &asked.boat.document;
        let found = sail_finding(&asked.boat.name, study, is_charge_told, paper);
        let is_leg = document.chosen(field::propeller::ARRANGEMENT) == Some(PropellerPlace::OutboardLeg);
        let sails = document
            .chosen(field::hull::KIND)
            .is_none_or(|kind| !matches!(kind, BoatKind::RoundBilge | BoatKind::CanalBoat));
        let held_for = match (is_leg, sails) {
            (true, _) => {
                "That holds for the leg in the water: tilted up it costs nothing and gives nothing back. "
            }
            (_, false) => "She is described as no sailing boat: that holds when she is towed. ",
            _ => "",
        };
        Finding { further: format!("{held_for}{}", found.further), ..found }
    }

    fn blocks(&self, asked: &Asked<'_>, study: &SailStudy, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let is_charge_told = asked.boat.document.typed(field::bank::STATE_OF_CHARGE).is_some();
        let mut blocks = vec![Block::picture(
            "sail-drag",
            "Drag of the propeller against speed under sail",
            Place::Chart,
            sail_drag_picture(study, paper),
        )];
        if let Some(power) = sail_power_picture(study, paper) {
            let caption = "Watts from the bank, and back into it";
            let cancels = study.finding_row().and_then(|row| row.mode(Mode::WithoutDrag));
            let chief =
                cancels.map(|m| format!("{} cancel it", paper.quantity(m.bank_w.value, Quantity::Power)));
            let picture = Block::picture("sail-power", caption, Place::Chart, power);
            blocks.push(picture.chief(chief.unwrap_or_default()));
        }
        blocks.push(Block::sheet(sheets, "cost").remark(drag_note(study, paper)));
        if !study.is_stowed {
            blocks.push(Block::sheet(sheets, "return").remark(return_note(study, is_charge_told, paper)));
            if let Some(row) = study.finding_row() {
                let speed = paper.decimals(row.speed_m_s, Quantity::Speed, 1);
                let braking =
                    Block::sheet(sheets, "braking").title(&format!("Braking harder and harder at {speed}"));
                blocks.push(match row.speed_m_s < study.hazards.starts_turning_m_s {
                    true => braking.remark(format!(
                        "The water does not start the shaft below {}: the motor must turn it first.",
                        starts(study, paper)
                    )),
                    false => braking,
                });
            }
            blocks.push(Block::caution("What may happen", hazard_words(study, paper)));
        }
        let stopping = stopping_words(study, paper);
        if !stopping.is_empty() {
            blocks.push(Block::words("Tied up, and stopping", stopping));
        }
        blocks
    }

    fn notices<'f>(&self, study: &'f SailStudy) -> &'f [Notice] {
        &study.notices
    }

    fn samples(&self, study: &SailStudy) -> Vec<Counted> {
        Counted::one(&study.samples)
    }

    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider> {
        let charge = sized(field::bank::STATE_OF_CHARGE, "state of charge", stock::shares(20, 100));
        let is_charge_told = asked.boat.document.typed(field::bank::STATE_OF_CHARGE).is_some();
        let mut sliders = vec![
            sized(field::week::SAILING_SPEED, "boat speed", stock::speeds(4, 18)),
            sized(field::week::REGENERATION_LOSS, "speed that charging may cost", stock::losses()),
            sized(field::propeller::PITCH, "pitch", stock::propeller_sizes(4.0, 26.0)),
            sized(field::propeller::DIAMETER, "diameter", stock::propeller_sizes(9.0, 30.0)),
            worded(field::propeller::PATTERN, "pattern"),
            sized(field::bank::TEMPERATURE, "temperature of the bank", stock::temperatures()),
        ];
        // What decides whether anything comes back is asked first where nobody told it.
        sliders.insert(if is_charge_told { 5 } else { 0 }, charge);
        placed(sliders, &asked.as_kept().document, asked.tried)
    }

    fn occasion(&self, _: &Asked<'_>, study: &SailStudy, paper: &Paper) -> String {
        study.finding_row().map_or_else(
            || "Under sail".to_owned(),
            |row| format!("At {} under sail", paper.decimals(row.speed_m_s, Quantity::Speed, 1)),
        )
    }
}

fn return_note(study: &SailStudy, is_charge_told: bool, paper: &Paper) -> String {
    let loss = paper.decimals(study.loss_m_s, Quantity::Speed, 2);
    let mut note = format!(
        "Within loss: for at most {loss} of her speed beyond what the free shaft costs. Watts and amp-hours that stay in the \
         cells, after motor, controller and charging losses. -: nothing comes back, or no volts because the shaft does \
         not start by itself."
    );
    if let Some(refusal) = study.prepared.refusal() {
        note += &match refusal {
            NoHarvest::Full if !is_charge_told => {
                " Nothing comes back into a full bank, and full it is taken to be where her charge is not told.".to_owned()
            }
            _ => format!(" Nothing comes back at any speed: {}.", refusal.words()),
        };
    }
    note
}

/// What was found.
fn sail_finding(name: &str, study: &SailStudy, is_charge_told: bool, paper: &Paper) -> Finding {
    let nothing = |sentence| Finding { sentence, ..Finding::default() };
    let Some(row) = study.finding_row() else {
        return nothing(format!("No speed under sail lies within what is known of {name}'s hull."));
    };
    let speed = paper.decimals(row.speed_m_s, Quantity::Speed, 1);
    let lost = |mode: Mode| {
        row.mode(mode)
            .map_or_else(String::new, |m| paper.decimals(m.state.speed_lost_m_s, Quantity::Speed, 2))
    };
    let watts = |w: f64| format!("{} W", format_number(w, 0));
    if study.is_stowed {
        let drag = row.mode(Mode::Held).map_or_else(String::new, |m| paper.band(m.drag_n, Quantity::Force));
        return Finding {
            sentence: format!(
                "At {speed} under sail {name}'s stowed blades cost her {}; nothing comes back.",
                lost(Mode::Held)
            ),
            figure: speed,
            further: format!("Four times in five their drag is {drag}."),
            ..Finding::default()
        };
    }
    let cancels = row.mode(Mode::WithoutDrag).map_or(0.0, |m| m.bank_w.value);
    let back = match (row.mode(Mode::WithinLoss), row.refusal) {
        (Some(within), _) => format!(
            "turning the motor it puts {} into the bank for {} more of her speed",
            watts(within.stored_w.value),
            paper.decimals(
                (within.state.speed_lost_m_s
                    - row.mode(Mode::Free).map_or(0.0, |free| free.state.speed_lost_m_s))
                .max(0.0),
                Quantity::Speed,
                2
            )
        ),
        (None, Some(NoHarvest::Full)) if !is_charge_told => {
            "what comes back depends on her charge, which is not told: a full bank takes nothing".to_owned()
        }
        (None, Some(refusal)) => format!("nothing comes back, because {}", refusal.words()),
        (None, None) => "nothing comes back".to_owned(),
    };
    let free = if turns(row) {
        format!(" and {} turning free", lost(Mode::Free))
    } else {
        format!("; left free it does not turn below {}", starts(study, paper))
    };
    let sentence = format!(
        "At {speed} under sail the propeller costs {name} {} held{free}; {} from the bank cancel it, and {back}.",
        lost(Mode::Held),
        watts(cancels),
    );
    let mut further = row.mode(Mode::Held).map_or_else(String::new, |m| {
        format!("Four times in five the held drag is {}.", paper.band(m.drag_n, Quantity::Force))
    });
    if is_braked_by_friction(row) {
        further += &match study.free_drags_less_from_m_s {
            Some(from) => format!(
                " Turning free it drags more than held, braked by its own friction: hold the shaft below {}.",
                paper.decimals(from, Quantity::Speed, 1)
            ),
            None => " Turning free it drags more than held, braked by its own friction: hold the shaft."
                .to_owned(),
        };
    }
    if let Some(within) = row.mode(Mode::WithinLoss) {
        further += &format!(" What comes back lies between {} W.", span(within.stored_w, 1.0, 0, " and "));
    }
    if let Some(onset) = study.onset_m_s {
        further +=
            &format!(" Something comes back from {} on.", paper.decimals(onset.value, Quantity::Speed, 1));
    }
    Finding { sentence, figure: speed, further, ..Finding::default() }
}

/// True when the shaft turns where it is left free.
fn turns(row: &SailRow) -> bool {
    row.mode(Mode::Free).is_some_and(|free| free.state.shaft_rev_s > 0.0)
}

/// True when the shaft turns, but so slowly that it drags more than held, by what the table shows.
fn is_braked_by_friction(row: &SailRow) -> bool {
    let drag = |mode: Mode| row.mode(mode).map_or(0.0, |m| m.state.drag_n);
    turns(row) && drag(Mode::Free) > 1.005 * drag(Mode::Held)
}

/// The speed at which the water starts the shaft.
fn starts(study: &SailStudy, paper: &Paper) -> String {
    paper.decimals(study.hazards.starts_turning_m_s, Quantity::Speed, 1)
}

fn drag_note(study: &SailStudy, paper: &Paper) -> String {
    let mut note = "Speed is what she makes with the drag. Lost: how much faster the same drive of the sails would take her \
                    without it."
        .to_owned();
    let is_continued = |row: &SailRow| {
        row.modes.iter().flatten().any(|mode| mode.state.is_loss_continued && mode.state.drag_n != 0.0)
    };
    if study.rows.iter().any(is_continued) {
        note += " In the fastest rows that is faster than her resistance is known, which is continued as steep as it ends.";
    }
    if study.is_stowed {
        return note;
    }
    note += " Cancel it: turned by the motor so that the propeller neither drags nor pushes.";
    if study.rows.iter().any(|row| !turns(row)) {
        note += &format!(" -: the shaft stands, the water does not start it below {}.", starts(study, paper));
    }
    if study.rows.iter().any(is_braked_by_friction) {
        note += " Where the shaft just turns, braked by its own friction, the blades drag more than held; so did the tested ones.";
    }
    note
}

/// `120-310`.
fn span(interval: Interval, unit: f64, decimals: usize, between: &str) -> String {
    format!(
        "{}{between}{}",
        format_number(interval.p10 / unit, decimals),
        format_number(interval.p90 / unit, decimals)
    )
}

/// Pull ahead and astern and the crash stop, in words; empty when she makes no way.
fn stopping_words(study: &SailStudy, paper: &Paper) -> String {
    let Some(stopping) = &study.stopping else { return String::new() };
    let force = |pull: Interval| {
        format!("{} ({})", paper.quantity(pull.value, Quantity::Force), paper.band(pull, Quantity::Force))
    };
    let mut said = match (stopping.ahead_n, stopping.astern_n) {
        (Some(ahead), Some(astern)) => {
            format!("Tied to a quay she pulls {} ahead and {} astern.", force(ahead), force(astern))
        }
        (Some(ahead), None) => format!(
            "Tied to a quay she pulls {} ahead. What folding blades give astern is not known here: much less than fixed ones, \
             so that she stops late. Try it where there is room, before it is needed.",
            force(ahead)
        ),
        _ => String::new(),
    };
    if let (Some(way), Some(time)) = (stopping.distance_m, stopping.duration_s) {
        said += &format!(
            " From {}, her full speed, a crash stop takes her {} ({}) and {} s ({}), from when the shaft turns astern.",
            paper.decimals(stopping.from_m_s.value, Quantity::Speed, 1),
            paper.quantity(way.value, Quantity::Length),
            paper.band(way, Quantity::Length),
            format_number(time.value, 0),
            span(time, 1.0, 0, " to "),
        );
    }
    said
}

/// What may happen under sail with the bank cut off or the shaft left free, in words.
fn hazard_words(study: &SailStudy, paper: &Paper) -> String {
    let hazards = &study.hazards;
    let speed = |si: f64| paper.decimals(si, Quantity::Speed, 1);
    let volts = |si: f64| paper.quantity(si, Quantity::Voltage);
    let mut said = format!(
        "From about {} through the water, or in a stream at anchor, the propeller starts to turn a shaft that is left free.",
        speed(hazards.starts_turning_m_s)
    );
    match (hazards.controller_limit_v, hazards.controller_limit_at_m_s) {
        (Some(limit), Some(at)) => {
            said += &format!(
                " With the bank cut off the propeller that turns freely passes the {} that the controller stands at {}; when \
                 the protection opens while the controller brakes they are passed within milliseconds at any speed.",
                volts(limit),
                speed(at)
            );
        }
        (Some(limit), None) => {
            said += &format!(
                " With the bank cut off the propeller that turns freely does not by itself reach the {} that the controller \
                 stands; a controller that brakes when the protection opens passes them within milliseconds all the same.",
                volts(limit)
            );
        }
        (None, _) => {
            said += &format!(
                " Hold \"volts if cut off\" against what controller and capacitors stand (controller.overvoltage is not \
                 given; the packs end at {}).",
                volts(hazards.bank_highest_v)
            );
        }
    }
    said
}

/// Questions over 2 to 9 kn in steps of `1 / steps_a_knot`, and at the speed that is told of. What is not
/// said is as in the week of her document.
#[must_use]
pub fn questions(
    document: &BoatDocument,
    loss_m_s: Option<f64>,
    finding_speed_m_s: Option<f64>,
    steps_a_knot: u32,
) -> SailQuestions {
    let week = |field: &str| document.number(field).map_or(0.0, |stated| stated.value_si);
    let finding_speed_m_s = finding_speed_m_s.unwrap_or_else(|| week(field::week::SAILING_SPEED));
    let steps = 2 * steps_a_knot..=9 * steps_a_knot;
    let mut speeds_m_s: Vec<f64> =
        steps.map(|step| f64::from(step) / f64::from(steps_a_knot) * KNOT_M_S).collect();
    if speeds_m_s.iter().all(|speed| (speed / finding_speed_m_s - 1.0).abs() > 1e-6) {
        speeds_m_s.push(finding_speed_m_s);
        speeds_m_s.sort_by(f64::total_cmp);
    }
    let loss_m_s = loss_m_s.unwrap_or_else(|| week(field::week::REGENERATION_LOSS));
    SailQuestions { speeds_m_s, loss_m_s, finding_speed_m_s }
}
