//! Masses and floating: what the conversion takes out and puts in, and what that does to how she lies.
//! Not for: how it is reckoned (`wakewright_core::weights`).

use wakewright_core::field;
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{AnySheet, Filled};
use wakewright_core::weights::{Inclining, WEIGHTS_SHEETS, WeightsAsked, WeightsStudy};
use wakewright_records::boat::conversion_masses;
use wakewright_units::{Quantity, format_number, read_quantity};

use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Question, Reply, Room, SAMPLES, Typed};
use crate::sentence::capitalised;
use crate::text::{Finding, Paper};
use crate::whatif::{Slider, placed, sized};

/// The room.
#[derive(Debug)]
pub struct Weights;

static CARD: Card = Card {
    key: "weights",
    title: "Weights",
    about: "What comes out and goes in, how she floats with it, and her initial stability",
    examples: &[
        "myboat.toml",
        "myboat.toml --moved \"70 kg by 2.2 m\" --heel \"2.4 deg\" --roll \"3.8 s\" --roll-before \"3.6 s\" --rig same",
    ],
    pictures: &[],
    demo: "how does she float with it?",
    samples: SAMPLES,
};

fn read_moved(text: &str) -> Result<Reply, String> {
    let parts = ["by", "over", "x"].iter().find_map(|word| text.split_once(word));
    let (mass, way) = parts.ok_or("write what was carried and how far: 70 kg by 2.2 m")?;
    let kg = read_quantity(mass.trim(), Quantity::Mass).map_err(|error| error.to_string())?.si;
    let metres = read_quantity(way.trim(), Quantity::Length).map_err(|error| error.to_string())?.si;
    if !(1.0..=5000.0).contains(&kg) || !(0.1..=12.0).contains(&metres) {
        return Err("give 1 to 5,000 kg carried 0.1 to 12 m across her".to_owned());
    }
    Ok(Reply::Numbers(vec![kg, metres]))
}

fn read_heel(text: &str) -> Result<Reply, String> {
    let heel = read_quantity(text.trim(), Quantity::Angle).map_err(|error| error.to_string())?.si;
    let degrees = heel.to_degrees().abs();
    match degrees {
        0.5..=6.0 => Ok(Reply::Number(heel.abs())),
        _ => {
            Err("heel her by 1 to 4 degrees: less is not read surely, more is no initial stability"
                .to_owned())
        }
    }
}

fn read_roll(text: &str) -> Result<Reply, String> {
    let seconds = read_quantity(text.trim(), Quantity::ShortDuration).map_err(|error| error.to_string())?.si;
    if (1.0..=20.0).contains(&seconds) {
        Ok(Reply::Number(seconds))
    } else {
        Err("a whole roll, port to port, lasts from 1 to 20 s: time ten of them and divide".to_owned())
    }
}

static QUESTIONS: [Question; 5] = [
    Question {
        key: "moved",
        value_name: Some("MASS BY WAY"),
        help: "Inclining test: what was carried across her and how far, \"70 kg by 2.2 m\"",
        read: read_moved,
    },
    Question {
        key: "heel",
        value_name: Some("ANGLE"),
        help: "Heel that it made, as a plumb line or a phone shows it: \"2.4 deg\"",
        read: read_heel,
    },
    Question {
        key: "roll",
        value_name: Some("SECONDS"),
        help: "Period of a whole roll, port to port, as she is now",
        read: read_roll,
    },
    Question {
        key: "roll-before",
        value_name: Some("SECONDS"),
        help: "The same before the masses moved",
        read: read_roll,
    },
    Question {
        key: "rig",
        value_name: Some("same|another"),
        help: "Whether mast, boom, sails and what hangs aloft were the same at both rolls",
        read: |text| match text.trim() {
            word @ ("same" | "another") => Ok(Reply::Text(word.to_owned())),
            _ => Err("write same or another".to_owned()),
        },
    },
];

impl Room for Weights {
    type Found = WeightsStudy;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<WeightsStudy, NoAnswer> {
        let inclining = match (asked.replies.numbers("moved"), asked.replies.number("heel")) {
            ([moved_kg, by_m], Some(heel_rad)) => {
                Some(Inclining { moved_kg: *moved_kg, by_m: *by_m, heel_rad })
            }
            ([], None) => None,
            ([], Some(_)) => {
                return Err(NoAnswer::input(
                    "a heel without what made it: tell what was carried across her (moved)",
                ));
            }
            _ => {
                return Err(NoAnswer::input(
                    "what was carried across her without the heel that it made: tell it (heel)",
                ));
            }
        };
        if replies_of_two_rolls(asked) {
            match asked.replies.text("rig") {
                Some("same") => {}
                Some(_) => {
                    return Err(NoAnswer::input(
                        "roll-before: with another rig the two periods do not compare, for a mast aloft slows the roll by itself; roll her \
                         again as she was rigged then, or leave it out",
                    ));
                }
                None => {
                    return Err(NoAnswer::input(
                        "were mast, boom, sails and what hangs aloft the same at both rolls? Say rig: same or another; only then do the periods \
                         compare",
                    ));
                }
            }
        }
        let question = WeightsAsked {
            moved: conversion_masses(&asked.boat.document),
            inclining,
            roll_s: asked.replies.number("roll"),
            roll_before_s: asked.replies.number("roll-before"),
        };
        let form = &asked.boat.spec.boat.form;
        let out_kg: f64 = question.moved.iter().map(|moved| (-moved.mass.mass_kg).max(0.0)).sum();
        if out_kg >= form.displacement_kg {
            return Err(NoAnswer::input(format!(
                "what comes out, {out_kg:.0} kg, is no less than her displacement, {:.0} kg: look at the [[mass]] tables",
                form.displacement_kg
            )));
        }
        let is_off = |aft: f64| !(-0.3..=1.4).contains(&(aft / form.length_waterline_m));
        if let Some(moved) = question.moved.iter().find(|moved| moved.mass.aft_m.is_some_and(is_off)) {
            return Err(NoAnswer::input(format!(
                "{}: {:.1} m aft of the fore end of her waterline, which is {:.1} m long, lies off her",
                moved.mass.what,
                moved.mass.aft_m.unwrap_or(0.0),
                form.length_waterline_m
            )));
        }
        if question.moved.is_empty() && inclining.is_none() && question.roll_s.is_none() {
            return Err(NoAnswer::input(
                "no mass is told: give what the conversion takes out and puts in as [[mass]] tables without an alternative, or an \
                 inclining test, or the period of her roll",
            ));
        }
        WeightsStudy::of(&asked.boat.spec, question)
            .map_err(|error| NoAnswer::input(format!("{}: {error}", asked.boat.name)))
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<WeightsStudy>] {
        &WEIGHTS_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, study: &WeightsStudy, paper: &Paper) -> Finding {
        finding(&asked.boat.name, study, paper)
    }

    fn blocks(&self, _: &Asked<'_>, study: &WeightsStudy, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let mut blocks = vec![Block::sheet(sheets, "masses").remark(
            "Below zero it leaves her. Heights are above the waterline, places aft of its fore end, to starboard of the middle line. What \
             stands in faint letters is taken from its part's own section and has no place.",
        )];
        let said = stability(study, paper);
        if !said.is_empty() {
            blocks.push(Block::words("Initial stability", said));
        }
        blocks
    }

    fn notices<'f>(&self, study: &'f WeightsStudy) -> &'f [Notice] {
        &study.notices
    }

    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider> {
        let tonnes = (4..=60).map(|half| format!("{} t", f64::from(half) / 2.0)).collect();
        placed(
            vec![sized(field::hull::DISPLACEMENT, "displacement", tonnes)],
            &asked.as_kept().document,
            asked.tried,
        )
    }

    fn typed(&self, _: &Asked<'_>) -> Vec<Typed> {
        vec![
            Typed::new("moved", "Carried across her", "70 kg by 2.2 m"),
            Typed::new("heel", "Heel that it made", "2.4 deg"),
            Typed::new("roll", "A whole roll lasts", "3.8 s"),
            Typed::new("roll-before", "Before the masses moved", "3.6 s"),
            Typed::choice(
                "rig",
                "Rigged at both rolls",
                "not said",
                vec![("same", "the same"), ("another", "otherwise")],
            ),
        ]
    }

    fn occasion(&self, _: &Asked<'_>, _: &WeightsStudy, _: &Paper) -> String {
        "With these masses".to_owned()
    }
}

fn replies_of_two_rolls(asked: &Asked<'_>) -> bool {
    asked.replies.has("roll") && asked.replies.has("roll-before")
}

fn centimetres(metres: f64, paper: &Paper) -> String {
    paper.quantity(metres.abs(), Quantity::SmallLength)
}

/// `2 cm deeper`.
fn deeper(metres: f64, paper: &Paper) -> String {
    /// Less than this is told of nobody's waterline \[m\].
    const SAME_M: f64 = 0.002;
    match metres {
        same if same.abs() < SAME_M => "as before".to_owned(),
        more if more > 0.0 => format!("{} deeper", centimetres(more, paper)),
        less => format!("{} higher", centimetres(less, paper)),
    }
}

fn finding(name: &str, study: &WeightsStudy, paper: &Paper) -> Finding {
    let kilograms = |kg: f64| paper.quantity(kg, Quantity::Mass);
    let net = study.net_kg.value;
    let share = format_number(100.0 * net.abs() / study.displacement_kg.value, 1);
    let sentence = if study.asked.moved.is_empty() {
        format!("What {name}'s conversion takes out and puts in is not told.")
    } else {
        let change = if net >= 0.0 { "heavier" } else { "lighter" };
        let ends = if study.unplaced_kg > 0.0 && study.bow_m.value == study.stern_m.value {
            format!(
                "she floats {} at both ends, as far as no mass tells its place",
                deeper(study.bow_m.value, paper)
            )
        } else {
            format!(
                "she floats {} at the bow and {} at the stern",
                deeper(study.bow_m.value, paper),
                deeper(study.stern_m.value, paper)
            )
        };
        format!(
            "{} come out of {name} and {} go in: she is {} {change} ({share} % of her displacement), and {ends}.",
            kilograms(study.out_kg),
            kilograms(study.in_kg),
            kilograms(net.abs())
        )
    };
    let looked: Vec<&str> = study.looked.iter().map(|looked| looked.words()).collect();
    let (binding, looked) = match looked.as_slice() {
        [] => (String::new(), String::new()),
        all => (
            "A naval architect must look".to_owned(),
            format!(" A naval architect must look: {}.", all.join("; ")),
        ),
    };
    let band = |interval| paper.band(interval, Quantity::SmallLength);
    let mut further = if study.asked.moved.is_empty() {
        String::new()
    } else {
        format!(
            "Four times in five deeper by {} at the bow and {} at the stern. ",
            band(study.bow_m),
            band(study.stern_m)
        )
    };
    let mut aboard = study.asked.moved.iter().filter(|moved| moved.mass.mass_kg > 0.0);
    if !study.asked.moved.is_empty() && aboard.all(|moved| moved.is_from_part) {
        further += "Packs, controller and cables are not in it: list them with their masses ([[mass]]). ";
    }
    further += &format!("A centimetre takes {}.", kilograms(study.per_centimetre_kg.value));
    if study.unplaced_kg > 0.0 {
        further += &format!(
            " {} of what moves tell no place along her and trim her by nothing here.",
            kilograms(study.unplaced_kg)
        );
    }
    match (study.heel_rad, study.heeling_n_m) {
        (Some(heel), _) if heel.value.abs() > 0.001 => {
            let side = if heel.value > 0.0 { "starboard" } else { "port" };
            further +=
                &format!(" They list her to {side} by {}°.", format_number(heel.value.to_degrees().abs(), 1));
        }
        (None, Some(moment)) if moment.abs() > 1.0 => {
            further += " They list her: by how much an inclining test tells (moved, heel).";
        }
        _ => {}
    }
    if let Some(rises) = study.gravity_rises_m {
        let way = if rises.value >= 0.0 { "rises" } else { "falls" };
        further += &format!(
            " Her centre of gravity {way} by {} ({}).",
            centimetres(rises.value, paper),
            paper.band(rises, Quantity::SmallLength)
        );
    }
    Finding {
        sentence: format!("{sentence}{looked}"),
        binding,
        further: further.trim().to_owned(),
        ..Finding::default()
    }
}

fn stability(study: &WeightsStudy, paper: &Paper) -> Vec<String> {
    let metres = |gm: wakewright_core::sheet::Interval| {
        format!("{} ({})", paper.decimals(gm.value, Quantity::Length, 2), paper.band(gm, Quantity::Length))
    };
    let by_weight = study.gm_by_inclining_m.map(|gm| {
        format!("By the weight that was moved her metacentric height is {}; the error of the displacement is in the band.", metres(gm))
    });
    let by_roll = study.gm_by_roll_m.map(|gm| {
        format!(
            "By the period of her roll it is {}: the constant differs from boat to boat, so that the ratio of two periods says more.",
            metres(gm)
        )
    });
    let ratio = study.gm_ratio.map(|ratio| {
        let percent = |share: f64| format_number(100.0 * share, 0);
        format!(
            "By the two periods she has {} % of the metacentric height that she had ({} to {} %).",
            percent(ratio.value),
            percent(ratio.p10),
            percent(ratio.p90)
        )
    });
    let apart = study.gm_by_inclining_m.zip(study.gm_by_roll_m).and_then(|(one, other)| {
        (one.p90 < other.p10 || other.p90 < one.p10).then(|| {
            "The two do not agree: heel, weight and way, displacement or period are wrong, or the roll's constant is not hers.".to_owned()
        })
    });
    [by_weight, by_roll, apart, ratio].into_iter().flatten().map(|said| capitalised(&said)).collect()
}
