//! The shaft line: revolutions to pass and not to hold, balance, pitch as measured, the hub, what makes her shake.
//! Not for: how it is reckoned (`wakewright_core::shaft`).

use wakewright_core::boat::{BoatSpec, Input};
use wakewright_core::field;
use wakewright_core::notice::Notice;
use wakewright_core::shaft::{AtFull, MeasuredPitch, Metal, SHAFT_SHEETS, ShaftAsked, ShaftStudy};
use wakewright_core::sheet::{AnySheet, Filled};
use wakewright_core::study::{Questions, StateFigure};
use wakewright_records::boat::PropellerPlace;
use wakewright_units::{Quantity, format_number, read_quantity};

use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Question, Replies, Reply, Room, SAMPLES, Typed};
use crate::sampling;
use crate::text::{Finding, Paper};
use crate::whatif::{Slider, placed, sized, stock};

/// The room.
#[derive(Debug)]
pub struct Shaft;

static CARD: Card = Card {
    key: "shaft",
    title: "Shaft",
    about: "Revolutions to pass and not to hold, balance and pitch of the propeller, what makes her shake",
    examples: &[
        "myboat.toml --span \"1.2 m\" --overhang \"0.15 m\"",
        "myboat.toml --shakes \"640 rpm\" --felt \"32 Hz\" --pitches \"11.8 12 12.1 / 11.7 11.9 12 / 12.4 12.5 12.6 in\"",
        "myboat.toml --hub \"bronze, 80 K\"",
    ],
    pictures: &[],
    demo: "which revolutions does she pass and not hold?",
    samples: SAMPLES,
};

fn read_length(text: &str, from_m: f64, to_m: f64, advice: &str) -> Result<Reply, String> {
    let metres = read_quantity(text.trim(), Quantity::Length).map_err(|error| error.to_string())?.si;
    if (from_m..=to_m).contains(&metres) { Ok(Reply::Number(metres)) } else { Err(advice.to_owned()) }
}

fn read_mass(text: &str) -> Result<Reply, String> {
    let kg = read_quantity(text.trim(), Quantity::Mass).map_err(|error| error.to_string())?.si;
    let is_one = (0.3..=300.0).contains(&kg);
    is_one.then_some(Reply::Number(kg)).ok_or_else(|| "give 0.3 to 300 kg, as weighed dry".to_owned())
}

fn read_metal(text: &str) -> Result<Reply, String> {
    metal(text).map(|metal| Reply::Text(metal.words().to_owned()))
}

fn metal(text: &str) -> Result<Metal, String> {
    let wanted = text.trim().to_lowercase();
    Metal::ALL
        .into_iter()
        .find(|metal| metal.words() == wanted)
        .ok_or_else(|| format!("{text} is none of {}", Metal::ALL.map(Metal::words).join(", ")))
}

/// Revolutions of the shaft, or of the motor where that is said, below zero.
fn read_shakes(text: &str) -> Result<Reply, String> {
    let lower = text.to_lowercase();
    let (figure, sign) =
        lower.split_once("motor").map_or((lower.as_str(), 1.0), |(figure, _)| (figure, -1.0));
    let figure = figure.trim().trim_end_matches("of the").trim().trim_end_matches("shaft");
    let revs = read_quantity(figure.trim(), Quantity::RotationalSpeed).map_err(|error| error.to_string())?.si;
    if (0.5..=170.0).contains(&revs) {
        Ok(Reply::Number(sign * revs))
    } else {
        Err("give 30 to 10,000 rpm of the shaft, or write \"1600 rpm motor\"".to_owned())
    }
}

fn hertz(text: &str) -> Result<f64, String> {
    let figure = text.trim().to_lowercase();
    let number = figure.strip_suffix("hz").unwrap_or(&figure).trim().replace(',', ".");
    match number.parse::<f64>() {
        Ok(hertz) if (0.3..=400.0).contains(&hertz) => Ok(hertz),
        _ => Err(format!("{text} is no beat from 0.3 to 400 Hz; write 6.5 Hz")),
    }
}

fn read_felt(text: &str) -> Result<Reply, String> {
    hertz(text).map(Reply::Number)
}

fn read_beats(text: &str) -> Result<Reply, String> {
    let beats = text.split([';', '/']).map(hertz).collect::<Result<Vec<f64>, String>>()?;
    if beats.len() <= 8 { Ok(Reply::Numbers(beats)) } else { Err("give eight beats at the most".to_owned()) }
}

/// Rows of blades, each of the same number of radii, with the unit behind the last.
fn read_pitches(text: &str) -> Result<Reply, String> {
    const ADVICE: &str = "write a row for each blade, hub to tip, with the unit at the end: \
                          \"11.8 12 12.1 / 11.7 11.9 12 / 12.4 12.5 12.6 in\"";
    let unit: String = text.chars().rev().take_while(|c| c.is_alphabetic() || *c == '"').collect();
    let unit: String = unit.chars().rev().collect();
    let figures = text.strip_suffix(unit.as_str()).unwrap_or(text);
    let unit = if unit.is_empty() { "in" } else { &unit };
    let mut found = Vec::new();
    let mut radii = None;
    for blade in figures.split('/') {
        let blade = blade.split_whitespace().map(|one| {
            let read = read_quantity(&format!("{one} {unit}"), Quantity::PropellerLength);
            read.map_err(|error| error.to_string()).and_then(|read| {
                let is_pitch = (0.05..=3.0).contains(&read.si);
                is_pitch.then_some(read.si).ok_or_else(|| format!("{one} {unit} is no pitch of 50 mm to 3 m"))
            })
        });
        let blade = blade.collect::<Result<Vec<f64>, String>>()?;
        if blade.is_empty() || blade.len() > 12 || *radii.get_or_insert(blade.len()) != blade.len() {
            return Err(ADVICE.to_owned());
        }
        found.extend(blade);
    }
    let radii = radii.unwrap_or(1);
    if found.len() / radii > 8 {
        return Err(ADVICE.to_owned());
    }
    // The number of radii first, then blade by blade.
    found.insert(0, radii as f64);
    Ok(Reply::Numbers(found))
}

/// `bronze, 80 K` and, where it was warmed too, `, 20 K` of the shaft.
fn read_hub(text: &str) -> Result<Reply, String> {
    let mut parts = text.split(',');
    let of = metal(parts.next().unwrap_or_default())?;
    let mut kelvin = |usual: Option<f64>| match parts.next() {
        None => usual.ok_or_else(|| "tell how much warmer the hub is: \"bronze, 80 K\"".to_owned()),
        Some(part) => {
            let number = part.trim().trim_end_matches(['K', 'k', 'C', 'c', '°', ' ']);
            match number.parse::<f64>() {
                Ok(warmer) if (0.0..=150.0).contains(&warmer) => Ok(warmer),
                _ => {
                    Err(format!("{part} is no warming of 0 to 150 K: past it seals, paint and temper suffer"))
                }
            }
        }
    };
    let (hub_k, shaft_k) = (kelvin(None)?, kelvin(Some(0.0))?);
    let place = Metal::ALL.iter().position(|one| *one == of).unwrap_or(0);
    Ok(Reply::Numbers(vec![place as f64, hub_k, shaft_k]))
}

static QUESTIONS: [Question; 9] = [
    Question {
        key: "span",
        value_name: Some("LENGTH"),
        help: "Between the last bearing of the shaft and the next, middle to middle",
        read: |text| read_length(text, 0.1, 8.0, "give a span of 0.1 to 8 m between two bearings"),
    },
    Question {
        key: "overhang",
        value_name: Some("LENGTH"),
        help: "From the middle of the last bearing to the middle of the propeller's hub",
        read: |text| read_length(text, 0.01, 1.0, "give 10 mm to 1 m from the last bearing to the hub"),
    },
    Question {
        key: "shaft-metal",
        value_name: Some("stainless|duplex|age-hardened|nickel-copper|bronze|aluminium-bronze"),
        help: "Of what the shaft is",
        read: read_metal,
    },
    Question {
        key: "propeller-mass",
        value_name: Some("MASS"),
        help: "What the propeller weighs, dry",
        read: read_mass,
    },
    Question {
        key: "beats",
        value_name: Some("HZ; HZ"),
        help: "Beats of hull or rig that were measured, \"6.5 Hz; 11 Hz\"",
        read: read_beats,
    },
    Question {
        key: "shakes",
        value_name: Some("RPM"),
        help: "Shaft revolutions at which she shakes, or \"1600 rpm motor\"",
        read: read_shakes,
    },
    Question {
        key: "felt",
        value_name: Some("HZ"),
        help: "Beat of the shaking, as a phone laid on the hull shows it",
        read: read_felt,
    },
    Question {
        key: "pitches",
        value_name: Some("BLADE / BLADE"),
        help: "Pitch as measured at the same radii of each blade, \"11.8 12 12.1 / 11.7 11.9 12 in\"",
        read: read_pitches,
    },
    Question {
        key: "hub",
        value_name: Some("METAL, K"),
        help: "Metal of the hub and how much warmer it is made than the shaft, \"bronze, 80 K\"",
        read: read_hub,
    },
];

fn asked_of(asked: &Asked<'_>) -> ShaftAsked {
    let replies: &Replies = &asked.replies;
    let ratio = asked.boat.spec.boat.drive_line.ratio;
    let pitch = match replies.numbers("pitches") {
        [radii, values @ ..] => {
            // A count that was put there as a whole number.
            let blades_m = values.chunks(*radii as usize).map(<[f64]>::to_vec).collect();
            Some(MeasuredPitch { blades_m, nominal_m: asked.boat.spec.boat.propeller.pitch_m })
        }
        [] => None,
    };
    let hub = match replies.numbers("hub") {
        [place, hub_k, shaft_k] => Some((Metal::ALL[*place as usize % Metal::ALL.len()], *hub_k, *shaft_k)),
        _ => None,
    };
    ShaftAsked {
        metal: replies.text("shaft-metal").and_then(|text| metal(text).ok()).unwrap_or_default(),
        span_m: replies.number("span"),
        overhang_m: replies.number("overhang"),
        propeller_kg: replies.number("propeller-mass"),
        beats_hz: replies.numbers("beats").to_vec(),
        shakes_rev_s: replies.number("shakes").map(|revs| if revs < 0.0 { -revs / ratio } else { revs }),
        felt_hz: replies.number("felt"),
        pitch,
        hub,
    }
}

impl Room for Shaft {
    type Found = ShaftStudy;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<ShaftStudy, NoAnswer> {
        let question = asked_of(asked);
        if question.felt_hz.is_some() && question.shakes_rev_s.is_none() {
            return Err(NoAnswer::input(
                "a beat that was felt without the revolutions at which she shakes: tell them (shakes)",
            ));
        }
        if question.overhang_m.is_some() && question.span_m.is_none() {
            return Err(NoAnswer::input(
                "an overhang without the span before it: tell the span between the last two bearings (span)",
            ));
        }
        let spec = &asked.boat.spec;
        let full = at_full(asked, spec)?;
        let as_measured = question.pitch.as_ref().map(|pitch| {
            let mut measured = spec.clone();
            measured.boat.propeller.pitch_m = pitch.mean_m();
            measured.uncertain.retain(|uncertain| uncertain.input != Input::PropellerPitch);
            at_full(asked, &measured)
        });
        ShaftStudy::of(spec, question, full, as_measured.and_then(Result::ok))
            .map_err(|error| NoAnswer::input(format!("{}: {error}", asked.boat.name)))
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<ShaftStudy>] {
        &SHAFT_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, study: &ShaftStudy, paper: &Paper) -> Finding {
        let place: Option<PropellerPlace> = asked.boat.document.chosen(field::propeller::ARRANGEMENT);
        let is_in_leg = matches!(
            place,
            Some(PropellerPlace::Saildrive | PropellerPlace::Pod | PropellerPlace::OutboardLeg)
        );
        finding(&asked.boat.name, study, is_in_leg, paper)
    }

    fn blocks(&self, _: &Asked<'_>, study: &ShaftStudy, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let mut blocks = Vec::new();
        if !study.suspects.is_empty() {
            let words = study.suspects.iter().enumerate();
            let words =
                words.map(|(at, one)| format!("{}. {}: {}.", at + 1, one.cause.words(), one.cause.test()));
            blocks.push(
                Block::words("Where to look for what shakes, in this order", words.collect::<Vec<_>>())
                    .chief(study.suspects[0].cause.words()),
            );
        }
        if !study.avoid.is_empty() {
            blocks.push(Block::sheet(sheets, "avoid").remark("In faint letters: above what she turns."));
        }
        if study.asked.pitch.is_some() {
            blocks.push(Block::sheet(sheets, "pitches").remark(
                "Held against the pitch of the document. A class is kept where each radius, each blade and the propeller keep it.",
            ));
        }
        let further = fit_of_hub(study, paper);
        if !further.is_empty() {
            blocks.push(Block::words("Shaft end and hub", further));
        }
        blocks.push(Block::sheet(sheets, "balance"));
        blocks
    }

    fn notices<'f>(&self, study: &'f ShaftStudy) -> &'f [Notice] {
        &study.notices
    }

    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider> {
        let sliders = vec![
            sized(field::propeller::PITCH, "pitch", stock::propeller_sizes(5.0, 24.0)),
            sized(
                field::propeller::SHAFT_DIAMETER,
                "shaft",
                (4..=16).map(|fifth| format!("{} mm", 5 * fifth)).collect(),
            ),
        ];
        placed(sliders, &asked.as_kept().document, asked.tried)
    }

    fn typed(&self, _: &Asked<'_>) -> Vec<Typed> {
        vec![
            Typed::new("span", "Between the last two bearings", "1.2 m"),
            Typed::new("overhang", "Last bearing to hub", "0.15 m"),
            Typed::new("propeller-mass", "Propeller weighs", "6 kg"),
            Typed::new("shakes", "She shakes at", "640 rpm"),
            Typed::new("felt", "Beat on the phone", "32 Hz"),
            Typed::new("beats", "Beats of hull or rig", "6.5 Hz; 11 Hz"),
            Typed::new("pitches", "Pitch, blade / blade", "11.8 12 12.1 / 11.7 11.9 12 in"),
            Typed::new("hub", "Hub warmed", "bronze, 80 K"),
        ]
    }

    fn occasion(&self, _: &Asked<'_>, study: &ShaftStudy, paper: &Paper) -> String {
        format!(
            "At full throttle, {}",
            paper.quantity(study.full.shaft_rev_s.value, Quantity::RotationalSpeed)
        )
    }
}

/// Full throttle by the samples of `drive`.
fn at_full(asked: &Asked<'_>, spec: &BoatSpec) -> Result<AtFull, NoAnswer> {
    let study = sampling::study(spec, &Questions::default(), asked.samples, asked.seed);
    let study = study.map_err(|error| NoAnswer::of(asked.boat, &error))?;
    Ok(AtFull {
        speed_m_s: study.at_full(StateFigure::Speed),
        shaft_rev_s: study.at_full(StateFigure::ShaftSpeed),
    })
}

/// Further off the pitch that is told than any class allows, as a share; judgement.
const ANOTHER: f64 = 0.06;

fn finding(name: &str, study: &ShaftStudy, is_in_leg: bool, paper: &Paper) -> Finding {
    let rpm = |rev_s: f64| paper.quantity(rev_s, Quantity::RotationalSpeed);
    let full = rpm(study.full.shaft_rev_s.value);
    let within = study.whirls_within();
    let is_of_none = study.asked.is_of_none(study.blades, study.ratio);
    let sentence = match (study.suspects.first(), study.asked.shakes_rev_s) {
        (Some(first), Some(shakes)) => format!(
            "{name} shakes at {}, where the shaft beats at {} Hz and her {} blades at {} Hz: {}.",
            rpm(shakes),
            format_number(shakes, 1),
            study.blades,
            format_number(shakes * f64::from(study.blades), 1),
            if is_of_none {
                "what was felt is none of these, so that what shakes her cannot be told".to_owned()
            } else {
                format!("look first for {}", first.cause.words())
            }
        ),
        _ => match (study.whirls_rev_s, within) {
            (None, _) if is_in_leg => format!(
                "At full throttle {name}'s shaft turns {full} ({}) in its leg: no length of it is free to whirl.",
                paper.band(study.full.shaft_rev_s, Quantity::RotationalSpeed)
            ),
            (None, _) => format!(
                "At full throttle {name}'s shaft turns {full} ({}); whether it whirls there cannot be told before the span between its last \
                 two bearings is given (span).",
                paper.band(study.full.shaft_rev_s, Quantity::RotationalSpeed)
            ),
            (Some(whirls), None) => format!(
                "{name}'s shaft whirls first at about {} ({}), clear of the {full} of full throttle.",
                rpm(whirls.value),
                paper.band(whirls, Quantity::RotationalSpeed)
            ),
            (Some(whirls), Some(_)) => format!(
                "{name}'s shaft may whirl within what she turns: first at about {} ({}), less than a fifth above the {full} of full \
                 throttle or below it.",
                rpm(whirls.value),
                paper.band(whirls, Quantity::RotationalSpeed)
            ),
        },
    };
    let mut further = Vec::new();
    if is_of_none {
        further.push(
            "Nor does the motor beat so at these revolutions: read both again, or it comes from elsewhere (charger, fan, pump, rig)."
                .to_owned(),
        );
    }
    if study.asked.shakes_rev_s.is_some() && study.asked.felt_hz.is_none() {
        further.push(
            "A phone laid on the hull shows the beat (felt), which parts shaft, blades and motor.".to_owned(),
        );
    }
    if study.asked.span_m.is_some() && study.asked.overhang_m.is_none() {
        further.push(
            "Without the overhang (overhang) the propeller is not in it: it whirls lower than this."
                .to_owned(),
        );
    }
    if let Some(span_m) = study.asked.span_m {
        further.push(format!(
            "The handbook's spacing of bearings at full throttle is {}, which is the length that whirls, without margin: hers is {} % of it.",
            paper.quantity(study.spacing_m, Quantity::Length),
            format_number(100.0 * span_m / study.spacing_m, 0)
        ));
    }
    if let Some(pitch) = &study.asked.pitch {
        let class = pitch.class().map_or_else(
            || "keep no class of ISO 484-2".to_owned(),
            |class| format!("keep class {class:?} of ISO 484-2"),
        );
        let mean = paper.decimals(pitch.mean_m(), Quantity::PropellerLength, 2);
        let other = if (pitch.mean_m() / pitch.nominal_m - 1.0).abs() > ANOTHER {
            " So much is no fault of making: it is another propeller than the document tells, or was measured otherwise."
        } else {
            ""
        };
        let effect = study.full_as_measured.map_or_else(String::new, |measured| {
            format!(
                "; with it she reaches {} at {} in place of {} at {full}. To keep it: propeller.pitch = \"{mean}\"",
                paper.decimals(measured.speed_m_s.value, Quantity::Speed, 1),
                rpm(measured.shaft_rev_s.value),
                paper.decimals(study.full.speed_m_s.value, Quantity::Speed, 1)
            )
        });
        further.push(format!(
            "Her blades {class}: the mean pitch is {mean} where {} is told, {} % between blades{effect}.{other}",
            paper.decimals(pitch.nominal_m, Quantity::PropellerLength, 1),
            format_number(100.0 * pitch.between_blades(), 1)
        ));
    }
    Finding { sentence, further: further.join(" "), fails: within.is_some(), ..Finding::default() }
}

fn fit_of_hub(study: &ShaftStudy, paper: &Paper) -> Vec<String> {
    let mut said = Vec::new();
    if let Some(taper) = study.taper {
        let small = |metres: f64| paper.decimals(metres, Quantity::SmallLength, 1);
        said.push(format!(
            "SAE J755 for this shaft: taper 1 in 16 on the diameter over {}, small end {}, bore {}, keyway {} wide, thread {}. Measure before \
             ordering: metric shafts and other tapers are as common.",
            small(taper.taper_length_m),
            small(taper.small_end_m),
            small(taper.bore_small_end_m),
            small(taper.keyway_width_m),
            taper.thread
        ));
    }
    if let (Some(gap_m), Some((hub, hub_k, shaft_k))) = (study.gap_m, study.asked.hub) {
        let kelvin = |k: f64| format_number(k, 0);
        said.push(if gap_m > 0.0 {
            format!(
                "A hub of {} made {} K warmer, its shaft {} K, opens by {} mm on the diameter (some tenths of that either way).",
                hub.words(),
                kelvin(hub_k),
                kelvin(shaft_k),
                format_number(1e3 * gap_m, 3)
            )
        } else {
            format!(
                "A hub of {} made {} K warmer does not open on a shaft that gets {} K warmer: warm the hub alone, and faster.",
                hub.words(),
                kelvin(hub_k),
                kelvin(shaft_k)
            )
        });
    }
    said
}
