//! What a caller is asked, and what he said. Not for: what comes of it.

use std::sync::LazyLock;

use wakewright_core::call::{ASKS, CallAsked, METER_DRY_V, Meter, RED, Read, Red, Reply as Said, red_in};
use wakewright_units::{Quantity, parse_certain};

use crate::boats::{Loaded, example_volts};
use crate::no_answer::NoAnswer;
use crate::room::{Asked, Question, Reply, Typed};

/// Words that say that none of what comes first is so.
const NONE: [&str; 8] =
    ["none", "no", "nothing", "none of these", "none of it", "nothing of it", "all clear", "clear"];

fn words(text: &str) -> Result<Reply, String> {
    Ok(Reply::Text(text.trim().to_lowercase()))
}

/// What is said of it: nothing, or signs; in doubt it is asked again.
fn danger(text: &str) -> Option<Vec<&'static Red>> {
    let plain = text.trim().trim_end_matches(['.', '!']).to_lowercase();
    let red = red_in(text);
    if !red.is_empty() {
        return Some(red);
    }
    // "No smoke, no smell" says none of it; "no idea" and "not sure" do not.
    let denies =
        |clause: &str| clause.trim().strip_prefix("no ").is_some_and(|sign| !red_in(sign).is_empty());
    (NONE.contains(&plain.as_str()) || plain.split([',', '.', ';']).all(denies)).then(Vec::new)
}

fn read_danger(text: &str) -> Result<Reply, String> {
    let signs: Vec<&str> = RED.iter().map(|red| red.words).collect();
    match danger(text) {
        Some(_) => Ok(Reply::Text(text.trim().to_owned())),
        None => Err(format!("say which of these there is, or none: {}", signs.join(", "))),
    }
}

fn volts(text: &str) -> Result<Reply, String> {
    figure(text, Quantity::Voltage, 'V', 1000.0)
}

fn amps(text: &str) -> Result<Reply, String> {
    figure(text, Quantity::Current, 'A', 5000.0)
}

/// A figure with its unit; a bare number is asked, not guessed.
fn figure(text: &str, quantity: Quantity, unit: char, most: f64) -> Result<Reply, String> {
    let text = text.trim();
    if text.parse::<f64>().is_ok() {
        return Err(format!("{text} of what? Write {text} {unit}"));
    }
    let si = parse_certain(text, quantity, (-most, most)).map_err(|error| error.to_string())?;
    if si < 0.0 {
        return Err(format!(
            "{text} is below zero: is the display's sign the other way round, or does something charge? Write what she takes"
        ));
    }
    if si <= most { Ok(Reply::Number(si)) } else { Err(format!("{text} is more than any such boat has")) }
}

const fn told(
    key: &'static str,
    value_name: &'static str,
    help: &'static str,
    read: fn(&str) -> Result<Reply, String>,
) -> Question {
    Question { key, value_name: Some(value_name), help, read }
}

/// Everything that may be asked: what comes first, words, figures, who measures.
pub static QUESTIONS: LazyLock<Vec<Question>> = LazyLock::new(|| {
    let mut all = vec![told(
        "danger",
        "SIGN",
        "First: smoke, hissing, smell, heat or swelling at a pack, water at a pack, a tingle, somebody in the water, drifting on to something; or none",
        read_danger,
    )];
    all.extend(ASKS.iter().filter(|ask| !ask.answers.is_empty()).map(|ask| {
        let names: Vec<&str> = ask.answers.iter().map(|(name, _)| *name).collect();
        // Made once for the life of the program.
        Question { key: ask.key, value_name: Some(names.join("|").leak()), help: ask.question, read: words }
    }));
    all.extend([
        told("volts", "VOLTS", "Volts of the display, lever in neutral", volts),
        told("lever-volts", "VOLTS", "The same with the lever full ahead", volts),
        told("lever-amps", "AMPS", "Amps of the display with the lever full ahead", amps),
        Question::flag("competent", "The caller says that he is competent with a meter"),
        Question::flag("wet", "It is wet where he would measure"),
    ]);
    all
});

/// The fields of the page, a choice wherever words are asked.
pub fn fields(boat: &Loaded) -> Vec<Typed> {
    let (drives, volts) = (boat.spec.boat.drives.fitted(), example_volts(boat));
    let signs =
        [("none", "none of these")].into_iter().chain(RED.iter().map(|red| (red.key, red.words))).collect();
    let mut fields = vec![Typed::choice(
        "danger",
        "Smoke, smell, water, tingle, overboard, drifting?",
        "not answered",
        signs,
    )];
    let plain = ASKS.iter().filter(|ask| {
        !ask.answers.is_empty() && ask.meter == Meter::None && (!ask.of_two_drives || drives > 1)
    });
    fields.extend(plain.map(|ask| Typed::choice(ask.key, ask.label, "not known", ask.answers.to_vec())));
    fields.extend([
        Typed::new("volts", "Volts, lever in neutral", format!("{volts:.1} V")),
        Typed::new("lever-volts", "Volts, lever full ahead", format!("{:.1} V", 0.96 * volts)),
        Typed::new("lever-amps", "Amps, lever full ahead", "140 A"),
    ]);
    fields
}

/// What was said.
/// # Errors
/// Every answer that is none, and a meter in the hand of one who did not say that he may.
pub fn said(asked: &Asked<'_>, highest_v: f64) -> Result<CallAsked, NoAnswer> {
    let replies = &asked.replies;
    let mut faults: Vec<String> = Vec::new();
    let mut said: Vec<Said> = Vec::new();
    for ask in ASKS.iter() {
        let Some(text) = replies.text(ask.key) else { continue };
        match Said::of(ask.key, text) {
            Some(one) => said.push(one),
            None => {
                let names: Vec<&str> = ask.answers.iter().map(|(name, _)| *name).collect();
                faults.push(format!("{} \"{text}\": answer {}", ask.key, names.join(", ")));
            }
        }
    }
    let is_competent = replies.has("competent");
    if said.iter().any(|one| one.ask.meter == Meter::Asked) && !is_competent {
        faults.push(
            "meter: a meter is asked only of one who says that he is competent (competent); else covers stay on and leads away".to_owned(),
        );
    }
    if said.iter().any(|one| one.ask.meter == Meter::Asked) && highest_v > METER_DRY_V {
        faults.push(format!("meter: her bank reaches {highest_v:.0} V: that is no place for a meter on a call; a qualified person measures it"));
    }
    let read = Read {
        rest_v: replies.number("volts"),
        lever_v: replies.number("lever-volts"),
        lever_a: replies.number("lever-amps"),
    };
    if read.lever_v.is_some() && read.lever_a.is_none() {
        faults.push(
            "lever-volts: volts under load tell nothing without the amps that go with them (lever-amps)"
                .to_owned(),
        );
    }
    if let (Some(rest), Some(lever)) = (read.rest_v, read.lever_v)
        && lever > rest + 0.02 * rest.max(highest_v)
    {
        faults.push("lever-volts: more than with the lever in neutral. Are the two swapped, or does something charge?".to_owned());
    }
    for (key, volts) in [("volts", read.rest_v), ("lever-volts", read.lever_v)] {
        if volts.is_some_and(|volts| highest_v > 0.0 && volts > 1.25 * highest_v) {
            faults.push(format!("{key}: above {highest_v:.0} V, the most that her bank reaches. Are those amps, or another bank?"));
        }
    }
    if !faults.is_empty() {
        return Err(NoAnswer::input(faults.join("\n")));
    }
    Ok(CallAsked {
        red: replies.text("danger").and_then(danger),
        replies: said,
        read,
        is_competent,
        is_wet: replies.has("wet"),
    })
}

#[cfg(test)]
mod tests {
    use super::danger;

    #[test]
    fn only_a_plain_no_is_none() {
        for none in ["none", "No", "nothing.", "no smoke", "no smoke, no smell", "No hissing or smell"] {
            assert!(danger(none).is_some_and(|red| red.is_empty()), "{none}");
        }
        for unsure in ["no idea", "not sure", "maybe", "", "yes", "no light, no sound", "not yet"] {
            assert!(danger(unsure).is_none(), "{unsure}");
        }
        for red in ["smoke", "no smell, but smoke", "none. It hisses", "nothing but a hot battery"] {
            assert!(danger(red).is_some_and(|red| !red.is_empty()), "{red}");
        }
    }
}
