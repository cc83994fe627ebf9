//! The bank: what it holds, how it sags, one pack lost, charging, years. Not for: how it is computed.

use wakewright_core::battery::Chemistry;
use wakewright_core::battery::ventilation::{opening_m2, ventilation_m3_s};
use wakewright_core::boat::BoatSpec;
use wakewright_core::field;
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{AnySheet, Filled};
use wakewright_core::spread::Sampler;
use wakewright_core::study::{
    BANK_SHEETS, BankQuestions, BankStudy, CRUISING, UsedRow, sample_bank, summarise_bank,
};
use wakewright_records::boat::{charging_sources, usual_reserve};
use wakewright_units::{Quantity, format_number, read_quantity};

use crate::left_out::Counted;
use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Question, Reply, Room, SAMPLES, Samples, Typed};
use crate::sampling;
use crate::text::Finding;
use crate::text::Paper;
use crate::whatif::{Slider, cells_slider, counted, placed, sized, stock};

/// The room.
#[derive(Debug)]
pub struct Bank;

static CARD: Card = Card {
    key: "bank",
    title: "Bank",
    about: "What the bank holds, how it sags, one pack lost, charging, years",
    examples: &[
        "myboat.toml",
        "myboat.toml --set bank.temperature=\"2 °C\"",
        "myboat.toml --used \"170 Ah\"",
    ],
    pictures: &[],
    demo: "what does it hold, and what if a pack drops out?",
    samples: Samples { settled: 400, ..SAMPLES },
};

/// Throttle positions at which a pack is lost.
const THROTTLES: [f64; 5] = [0.3, 0.5, 0.7, 0.85, 1.0];

static QUESTIONS: [Question; 1] = [Question {
    key: "used",
    value_name: Some("CHARGE"),
    help: "Amp-hours counted since full, against what her banks should give, one after the other: \"170 Ah\"",
    read: read_used,
}];

fn read_used(text: &str) -> Result<Reply, String> {
    let coulomb = read_quantity(text.trim(), Quantity::Charge).map_err(|error| error.to_string())?.si;
    if (0.0..=1.0e8).contains(&coulomb) {
        Ok(Reply::Number(coulomb))
    } else {
        Err("out of the bank it counts above nothing: 170 Ah".to_owned())
    }
}

impl Room for Bank {
    type Found = BankStudy;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<BankStudy, NoAnswer> {
        let spec = &asked.boat.spec;
        let questions = BankQuestions {
            throttles: THROTTLES.to_vec(),
            sources: charging_sources(&asked.boat.document),
            used_coulomb: asked.replies.number("used"),
        };
        let samples = sampling::every(asked.samples, asked.seed, |sampler, i| sample_bank(spec, sampler, i));
        summarise_bank(spec, &questions, Sampler::new(asked.seed), &samples)
            .map_err(|error| NoAnswer::of(asked.boat, &error))
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<BankStudy>] {
        &BANK_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, study: &BankStudy, paper: &Paper) -> Finding {
        let mut finding = bank_finding(&asked.boat.name, &asked.boat.spec, study, paper);
        if let Some(used) = asked.replies.number("used") {
            finding.further =
                format!("{} {}", finding.further, used_words(used, study, paper)).trim_start().to_owned();
        }
        finding
    }

    fn blocks(&self, asked: &Asked<'_>, study: &BankStudy, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let spec = &asked.boat.spec;
        let reserve = share(study.reserve, paper);
        let now = paper.quantity(study.temperature_k, Quantity::Temperature);
        let mut blocks = vec![
            Block::sheet(sheets, "used").title(&used_title(asked, paper)).remark(
                "From full to each reserve at the cruising load, cold and age counted. A counter drifts: set it anew when the bank is full.",
            ),
            Block::sheet(sheets, "loads").title(&format!("What it gives at {now}, from full to {reserve} charge")),
            Block::sheet(sheets, "temperatures")
                .title(&format!("What it holds at the same loads, from full to {reserve} charge"))
                .remark(
                    "-: it cannot carry the load. In deep cold at full throttle the cold counts twice: capacities were \
                     tested down to a voltage under load, and the sag is reckoned as well; there is then a little more \
                     than is given.",
                ),
            Block::sheet(sheets, "packs"),
            Block::sheet(sheets, "sag"),
        ];
        blocks.push(if study.lost.is_empty() {
            let alone = "There is only one pack: when it drops out she has no drive.";
            Block::words("One pack lost", alone.to_owned())
        } else {
            Block::sheet(sheets, "one_pack_lost").remark(lost_note(spec))
        });
        blocks.extend([
            Block::sheet(sheets, "charging")
                .title(&format!("Charging from {reserve} charge"))
                .remark(charging_note(spec, study)),
            Block::sheet(sheets, "ageing").remark(
                "Lying charged at mild temperatures; cycling takes its own. Bands hold what is unsure of the packs and \
                 the load. A capacity test goes before it.",
            ),
        ]);
        blocks.extend(gas_words(spec).map(|words| Block::words("Gas", words)));
        blocks.push(Block::sheet(sheets, "further").remark(
            "-: it cannot move her, or does not carry the cruising speed. Switch over with the drive at rest, never join \
             banks of different voltage.",
        ));
        blocks
    }

    fn notices<'f>(&self, study: &'f BankStudy) -> &'f [Notice] {
        &study.notices
    }

    fn samples(&self, study: &BankStudy) -> Vec<Counted> {
        Counted::one(&study.samples)
    }

    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider> {
        let kept = asked.as_kept();
        let reserve = format!("{:.0} %", 100.0 * usual_reserve(&kept.spec.boat.bank));
        let sliders = vec![
            counted(field::pack::first::COUNT, "packs", 1, 8),
            cells_slider(&kept.document),
            sized(field::bank::TEMPERATURE, "temperature of the bank", stock::temperatures()),
            Slider { usual: Some(reserve), ..sized(field::bank::RESERVE, "reserve", stock::shares(0, 50)) },
            sized(field::usage::CRUISING_SPEED, "cruising speed", stock::speeds(4, 14)),
            sized(field::shore::CURRENT, "socket ashore", stock::sockets()),
        ];
        placed(sliders, &kept.document, asked.tried)
    }

    fn typed(&self, _: &Asked<'_>) -> Vec<Typed> {
        vec![Typed::new("used", "Counted since full", "170 Ah")]
    }

    fn occasion(&self, _: &Asked<'_>, _: &BankStudy, _: &Paper) -> String {
        "With the bank as stated".to_owned()
    }
}

fn used_title(asked: &Asked<'_>, paper: &Paper) -> String {
    let used = asked.replies.number("used").unwrap_or_default();
    format!("{} counted since full", paper.quantity(used, Quantity::Charge))
}

/// The count against what all banks should give.
fn used_words(used: f64, study: &BankStudy, paper: &Paper) -> String {
    let sum = |of: fn(&UsedRow) -> f64| study.used.iter().map(of).sum::<f64>();
    let charge = |coulomb: f64| paper.quantity(coulomb, Quantity::Charge);
    let (gives, least, most) =
        (sum(|row| row.gives.value), sum(|row| row.gives.p10), sum(|row| row.gives.p90));
    let counted = charge(used);
    if used > most {
        return format!(
            "{counted} since full are more than her banks should give above their reserves ({}): they are drawn below them, or the counter drifts.",
            charge(gives)
        );
    }
    format!(
        "{counted} since full are {} of the {} that her banks should give above their reserves ({} to {}).",
        share(used / gives.max(1.0), paper),
        charge(gives),
        charge(least),
        charge(most)
    )
}

fn share(share: f64, paper: &Paper) -> String {
    paper.quantity(share, Quantity::Share)
}

fn bank_finding(name: &str, spec: &BoatSpec, study: &BankStudy, paper: &Paper) -> Finding {
    let energy = |si: f64| paper.decimals(si, Quantity::Energy, 1);
    let speed = |si: f64| paper.decimals(si, Quantity::Speed, 1);
    let Some(usable) = study.loads.get(CRUISING).and_then(|load| load.usable_j) else {
        let sentence = format!("{name}'s bank cannot carry her cruising load.");
        return Finding { sentence, further: sag_words(study, paper), ..Finding::default() };
    };
    let sentence = format!(
        "{name}'s bank gives {} from full to her reserve of {} at cruising speed{}.",
        energy(usable.value),
        share(study.reserve, paper),
        one_pack_words(study, spec.fittings.has_usual_discharge_limit, speed, paper),
    );
    let further = format!(
        "Four times in five it is {}. {}",
        paper.band(usable, Quantity::Energy),
        sag_words(study, paper)
    );
    Finding { sentence, further: further.trim_end().to_owned(), ..Finding::default() }
}

/// Top speed full and at the reserve.
fn sag_words(study: &BankStudy, paper: &Paper) -> String {
    let speed = |si: f64| paper.decimals(si, Quantity::Speed, 1);
    let low = study.sag.iter().rfind(|row| row.state_of_charge >= study.reserve - 1e-9);
    let Some((full, low)) = study.sag.first().zip(low) else { return String::new() };
    format!(
        "Full she makes {} at most, at {} charge {}.",
        speed(full.speed_m_s),
        share(low.state_of_charge, paper),
        speed(low.speed_m_s)
    )
}

fn one_pack_words(
    study: &BankStudy,
    is_guessed: bool,
    speed: impl Fn(f64) -> String,
    paper: &Paper,
) -> String {
    let Some(full) = study.lost.last() else {
        return "; it is one pack, and when that drops out she has no drive".to_owned();
    };
    let left = full.left.map_or_else(|| "nothing".to_owned(), |(left, _)| speed(left));
    if full.outcome.surely_holds().is_none() || (is_guessed && full.outcome.holds) {
        return format!(
            "; with one pack lost {left} is left if the others carry full throttle, and nothing says what they may give"
        );
    }
    if full.outcome.holds {
        return format!("; with one pack lost the others carry full throttle and {left} is left");
    }
    let from = match study.holds_up_to {
        Some(throttle) if throttle >= 0.005 => format!("above {} throttle", share(throttle, paper)),
        _ => "at any throttle".to_owned(),
    };
    if is_guessed {
        return format!(
            "; what the others may give when one pack drops out is stated nowhere: if it is an hour's rate they trip too {from}, and \
             {left} is left"
        );
    }
    format!(
        "; when one pack drops out {from} the others trip too unless the throttle is eased at once, and {left} is left"
    )
}

/// What the column "they hold" stands on: nothing, where no limit of the packs is given.
fn lost_note(spec: &BoatSpec) -> &'static str {
    if spec.fittings.has_usual_discharge_limit
        || spec.boat.bank.groups.iter().any(|group| group.bms_discharge_a.is_none())
    {
        "No limit on discharge is given for the packs: whether they hold is not known. Give pack.bms_discharge, or what \
         their maker allows."
    } else {
        ""
    }
}

fn charging_note(spec: &BoatSpec, study: &BankStudy) -> String {
    let mut note = "Sockets at four fifths of their rating, as plugs stand for hours. The end of a charge, where the cells \
                    limit, may take half or twice the time."
        .to_owned();
    if study.charging.iter().any(|row| !row.is_steady) {
        note += " Panels: their shade is counted, and there are no hours to tell, as no noon lasts; energy has their days.";
    }
    if let Some(amperes) = spec.boat.bank.prepare().ok().map(|bank| bank.cold_charge_limit_a)
        && amperes.is_finite()
        && amperes > 0.0
    {
        note += &format!(" At this temperature the cells take {} A at most.", format_number(amperes, 0));
    }
    note
}

/// Gas of vented lead-acid and the openings that let it out; none for other cells.
fn gas_words(spec: &BoatSpec) -> Option<String> {
    /// Gassing current at the end of a charge, for each coulomb of capacity \[A/C\]: 2 A for 100 Ah.
    const GASSING_A_C: f64 = 2.0 / 360_000.0;
    let vented = spec.boat.bank.groups.iter().filter(|group| group.chemistry == Chemistry::LeadFlooded);
    let air_m3_s: f64 = vented
        .map(|group| {
            let cells = group.cells_in_series * group.packs_in_parallel;
            ventilation_m3_s(cells, GASSING_A_C * group.capacity_coulomb)
        })
        .sum();
    (air_m3_s > 0.0).then(|| {
        format!(
            "At the end of a charge the cells ask for {} m3 of fresh air an hour: two openings, low and high, of {} cm2 \
             each. Keep sparks 10 cm and more above them away. [en50272-3]",
            format_number(air_m3_s * 3600.0, 1),
            format_number(opening_m2(air_m3_s) * 1e4, 0)
        )
    })
}
