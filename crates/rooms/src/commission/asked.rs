//! Readings of a commissioning as they are typed. Not for: what comes of them.

use std::sync::LazyLock;

use wakewright_core::commission::{COUNT, CommissionAsked, FLAGS, POINTS, ReadyHarness};
use wakewright_units::{Quantity, parse_certain};

use crate::no_answer::NoAnswer;
use crate::room::{Asked, Question, Reply, Typed};

fn words(text: &str) -> Result<Reply, String> {
    Ok(Reply::Text(text.trim().to_owned()))
}

fn yes_or_no(text: &str) -> Result<Reply, String> {
    match text.trim().to_lowercase().as_str() {
        "yes" | "y" | "ok" | "right" => Ok(Reply::Whole(1)),
        "no" | "n" | "wrong" => Ok(Reply::Whole(0)),
        _ => Err(format!("{text}: say yes where it is so, no where it is not")),
    }
}

/// Everything that may be asked: readings, runs, what must be so, insulation.
pub static QUESTIONS: LazyLock<Vec<Question>> = LazyLock::new(|| {
    let mut all: Vec<Question> = POINTS
        .iter()
        .map(|point| Question { key: point.key, value_name: Some("READING"), help: point.to_do, read: words })
        .collect();
    all.push(Question {
        key: "drop",
        value_name: Some("RUN=VOLTS"),
        help: "Volts over a run at full lever against a quay, again and again: \"main cable=210 mV\"",
        read: |text| {
            Ok(Reply::Texts(
                text.lines().map(str::trim).filter(|line| !line.is_empty()).map(str::to_owned).collect(),
            ))
        },
    });
    all.extend(FLAGS.iter().map(|flag| Question {
        key: flag.key,
        value_name: Some("YES"),
        help: flag.to_do,
        read: yes_or_no,
    }));
    all.push(Question {
        key: "insulation",
        value_name: Some("OHM"),
        help: "The worse pole against hull and water, all makers' parts disconnected: \"2 Mohm\"",
        read: words,
    });
    all
});

/// The fields of the page; its examples are of a bank of her rest volts.
pub fn fields(bank_v: f64) -> Vec<Typed> {
    let volts = format!("{bank_v:.1} V");
    let usual = |quantity| match quantity {
        Quantity::Voltage => &volts,
        Quantity::Current => "12 A",
        Quantity::RotationalSpeed => "1200 rpm",
        Quantity::Temperature => "45 °C",
        Quantity::Force => "900 N",
        _ => "2 s",
    };
    let mut fields: Vec<Typed> =
        POINTS.iter().map(|point| Typed::new(point.key, point.label, usual(point.quantity))).collect();
    fields.push(Typed::table("drop", "Over each run", "main cable=210 mV"));
    let so = || vec![("yes", "it is so"), ("no", "it is not")];
    let labels = ["Direction", "Neutral", "Interlocks", "Emergency stop"];
    fields.extend(
        FLAGS.iter().zip(labels).map(|(flag, label)| Typed::choice(flag.key, label, "not tried", so())),
    );
    fields.push(Typed::new("insulation", "Insulation, worse pole", "2 Mohm"));
    fields
}

/// A reading in SI. A bare number, another quantity and a sign that cannot be are asked, not guessed.
fn reading(text: &str, quantity: Quantity) -> Result<f64, String> {
    if text.trim().parse::<f64>().is_ok() {
        return Err(format!("{} of what? Write its unit with it", text.trim()));
    }
    let si = parse_certain(text, quantity, (-1e9, 1e9)).map_err(|error| error.to_string())?;
    if si < 0.0 {
        return Err(format!(
            "{} is below zero: are the leads or the shunt the other way round? Turn them and read again",
            text.trim()
        ));
    }
    if si.is_finite() { Ok(si) } else { Err(format!("{text} is no reading")) }
}

/// What was read.
/// # Errors
/// Every reading that cannot be read.
pub fn read(asked: &Asked<'_>, harness: &ReadyHarness) -> Result<CommissionAsked, NoAnswer> {
    let mut faults: Vec<String> = Vec::new();
    let mut found = CommissionAsked::default();
    let replies = &asked.replies;
    let points: &mut [Option<f64>; COUNT] = &mut found.points;
    for (point, slot) in POINTS.iter().zip(points) {
        let Some(text) = replies.text(point.key) else { continue };
        match reading(text, point.quantity) {
            Ok(si) => *slot = Some(si),
            Err(why) => faults.push(format!("{}: {why}", point.key)),
        }
    }
    for line in replies.texts("drop") {
        let names: Vec<&str> =
            harness.runs().map(|cable| harness.harness.cables[cable].name.as_str()).collect();
        let Some((name, text)) = line.split_once('=') else {
            faults.push(format!(
                "drop \"{line}\": write \"{}=210 mV\"",
                names.first().unwrap_or(&"main cable")
            ));
            continue;
        };
        let cable = harness
            .runs()
            .find(|cable| harness.harness.cables[*cable].name.eq_ignore_ascii_case(name.trim()));
        match (cable, reading(text, Quantity::Voltage)) {
            (None, _) => faults.push(format!(
                "drop \"{}\": there is no such run; there are {}",
                name.trim(),
                names.join(", ")
            )),
            (_, Err(why)) => faults.push(format!("drop \"{}\": {why}", name.trim())),
            (Some(cable), Ok(_)) if found.drops_v.iter().any(|(known, _)| *known == cable) => {
                faults.push(format!("drop \"{}\": give it once", name.trim()));
            }
            (Some(cable), Ok(volts)) => found.drops_v.push((cable, volts)),
        }
    }
    for (flag, slot) in FLAGS.iter().zip(&mut found.flags) {
        *slot = replies.whole(flag.key).map(|so| so == 1);
    }
    match replies.text("insulation").map(|text| reading(text, Quantity::Resistance)) {
        Some(Ok(ohm)) => found.insulation_ohm = Some(ohm),
        Some(Err(why)) => faults.push(format!("insulation: {why}")),
        None => {}
    }
    if faults.is_empty() { Ok(found) } else { Err(NoAnswer::input(faults.join("\n"))) }
}
