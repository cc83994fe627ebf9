//! The sentences that say what was found. Not for: tables.

use wakewright_core::causes::{
    Cause, DatumKind, Diagnosis, Forecast, Headline, Hypothesis, Measure, Missing, NAMED_FROM, OfTrial,
    Refusal, Score, Share, ShortfallPoint,
};
use wakewright_core::practice::{DUTY_WORTH_M_S, duty_words};
use wakewright_units::Quantity;
use wakewright_units::factors::KNOT_M_S;

use super::advice::{WHAT_MAY_BE_WRONG, missing_words, settled_by, what_it_covers};
use super::words::{knots, next_text, percent};
use crate::text::Finding;
use crate::text::Paper;

/// Causes that are named in the first sentence take at least this share of the shortfall.
const NAMED: f64 = 0.12;
/// And at least so much that a tenth of a knot is shown \[m/s\].
const LEAST_M_S: f64 = 0.05 * KNOT_M_S;
/// Probability from which something odd is said.
const RIVAL: f64 = 0.15;
/// Probability from which something is said to be so.
const SURE: f64 = 0.9;

/// What was found.
#[must_use]
pub fn causes_finding(name: &str, diagnosis: &Diagnosis, paper: &Paper) -> Finding {
    let point = &diagnosis.points[0];
    let described = paper.decimals(point.described_m_s, Quantity::Speed, 1);
    let (should, now) = (
        paper.decimals(point.should_m_s, Quantity::Speed, 1),
        paper.decimals(point.now.value, Quantity::Speed, 1),
    );
    let plain = |sentence: String, further: String| Finding { sentence, further, ..Finding::default() };
    match diagnosis.headline() {
        Headline::FitsNothing(refusal) => {
            return plain(fits_nothing(name, refusal, diagnosis, paper), WHAT_MAY_BE_WRONG.to_owned());
        }
        Headline::Misread(what) => {
            return plain(
                format!("Before anything is said of {name}: these runs look as if {}.", what.past_words()),
                format!(
                    "{} Nothing is named and nothing offered for adoption before that is settled.",
                    settled_by(what)
                ),
            );
        }
        Headline::StreamIn => {
            return plain(
                format!(
                    "No verdict on {name}: her speed was read over ground, one way only, and the stream is still in it."
                ),
                format!(
                    "The fastest run was {} over ground; at full throttle she should make {should} through the water, {described} as \
                     described: what lies between may be stream alone. Make each run again on the opposite course at the same \
                     shaft speed, or read the boat's log. Nothing is offered for adoption.",
                    paper.decimals(fastest_over_ground_m_s(diagnosis), Quantity::Speed, 1)
                ),
            );
        }
        Headline::Ask(missing) => {
            let short = paper.decimals(point.shortfall.value, Quantity::Speed, 1);
            let all = main_share(point).map_or_else(Vec::new, |main| diagnosis.missing_for(main.cause));
            let [what, why] = [0, 1].map(|of| {
                let words: Vec<&str> = all.iter().map(|missing| missing_words(*missing)[of]).collect();
                match words.as_slice() {
                    [rest @ .., last] if of == 0 && !rest.is_empty() => {
                        format!("{} and {last}", rest.join(", "))
                    }
                    all => all.join(" "),
                }
            });
            let by = if missing == Missing::OtherSpeed { " by her log" } else { "" };
            return plain(
                format!(
                    "At full throttle {name} makes {now}{by}, {short} less than she should ({should}), and no cause can be \
                     named before it is known {what}."
                ),
                format!("{why} {}", further(diagnosis, paper)),
            );
        }
        Headline::NotShort | Headline::Named(_) | Headline::Open => {}
    }
    if point.short_probability < NAMED_FROM
        && let Some(fastest_m_s) = fastest_of_part_throttle_m_s(diagnosis, point.now.value)
    {
        let fastest = paper.decimals(fastest_m_s, Quantity::Speed, 1);
        return Finding {
            sentence: format!(
                "Up to {fastest} {name} does what she should. What she makes at full throttle was not run, as far as these readings tell: with \
                 nothing to hold her back it would be {now}."
            ),
            further: format!(
                "If {fastest} was with the lever fully open, something holds her back: say which run that was (the column of the throttle, or \
                 \"full\" in its row). {}",
                further(diagnosis, paper)
            ),
            ..Finding::default()
        };
    }
    if point.short_probability < NAMED_FROM {
        let ahead = if point.shortfall.value < -0.05 { "more than" } else { "what" };
        return Finding {
            sentence: format!(
                "{name} makes {now} at full throttle: {ahead} she should ({should} clean and in a calm, {described} as described)."
            ),
            further: further(diagnosis, paper),
            ..Finding::default()
        };
    }
    let short = paper.decimals(point.shortfall.value, Quantity::Speed, 1);
    let named: Vec<String> = point
        .shares
        .iter()
        .filter(|share| share.taken.value > NAMED * point.shortfall.value && share.taken.value > LEAST_M_S)
        .take(3)
        .map(|share| {
            format!("{} ({})", share.cause.words(), paper.decimals(share.taken.value, Quantity::Speed, 1))
        })
        .collect();
    let parts = match named.as_slice() {
        [] => "no single cause stands out".to_owned(),
        [one] if point.shares.len() > 1 => format!("{one}, the rest in small parts"),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    };
    let parts = match diagnosis.headline() {
        Headline::Open if !named.is_empty() => format!("no cause is sure yet; at the median {parts}"),
        _ => parts,
    };
    Finding {
        sentence: format!(
            "At full throttle {name} makes {now}, {short} less than she should ({should} clean and in a calm, {described} as \
             described): {parts}."
        ),
        further: further(diagnosis, paper),
        ..Finding::default()
    }
}

/// The fastest of her runs, where none is known to be at full throttle and it lies clearly below what that would give \[m/s\].
fn fastest_of_part_throttle_m_s(diagnosis: &Diagnosis, full_m_s: f64) -> Option<f64> {
    const CLEARLY: f64 = 0.95;
    let problem = &diagnosis.problem;
    let mine = || problem.observations.iter().filter(|observation| observation.epoch == problem.now());
    if mine().any(|observation| observation.held.is_full_throttle()) {
        return None;
    }
    let speeds = mine().flat_map(|observation| &observation.data);
    let speeds = speeds.filter(|datum| matches!(datum.kind, DatumKind::Speed | DatumKind::LogSpeed));
    let fastest = speeds.map(|datum| datum.value).fold(0.0, f64::max);
    (fastest > 0.0 && fastest < CLEARLY * full_m_s).then_some(fastest)
}

fn fastest_over_ground_m_s(diagnosis: &Diagnosis) -> f64 {
    let runs = &diagnosis.problem.epochs[diagnosis.problem.now()].runs;
    runs.iter().filter_map(|run| run.run.speed_over_ground_m_s).fold(0.0, f64::max)
}

/// The cause that most probably takes most.
fn main_share(point: &ShortfallPoint) -> Option<&Share> {
    point.shares.iter().max_by(|a, b| a.main_probability.total_cmp(&b.main_probability))
}

fn fits_nothing(name: &str, refusal: Refusal, diagnosis: &Diagnosis, paper: &Paper) -> String {
    let why = match refusal {
        Refusal::Unlikely => super::said::chance_words(diagnosis),
        Refusal::Slower { measured_m_s } => format!(
            "the best that they allow is {} with the throttle open, and {} was measured",
            paper.decimals(diagnosis.points[0].now.value, Quantity::Speed, 1),
            paper.decimals(measured_m_s, Quantity::Speed, 1)
        ),
        Refusal::Instrument(what) => {
            let shown = diagnosis.wrong_instruments();
            let factor = shown.iter().find(|(other, _)| *other == what).map_or(1.0, |(_, f)| f.value);
            format!(
                "they fit only where the {} shows {} too {}, which looks like another thing read",
                instrument_name(what).unwrap_or("instrument"),
                percent((factor - 1.0).abs()),
                if factor < 1.0 { "little" } else { "much" }
            )
        }
    };
    format!("These readings of {name} do not fit any cause that I know: {why}.")
}

fn instrument_name(what: OfTrial) -> Option<&'static str> {
    match what {
        OfTrial::LogFactor => Some("log"),
        OfTrial::VoltsFactor => Some("voltmeter"),
        OfTrial::TurningFactor => Some("revolution counter"),
        OfTrial::MeterFactor => Some("power meter"),
        _ => None,
    }
}

/// Instruments that surely show wrong: no speed is lost by them.
fn instrument_sentences(diagnosis: &Diagnosis) -> Vec<String> {
    let said = diagnosis.wrong_instruments().into_iter().filter_map(|(what, factor)| {
        let instrument = instrument_name(what)?;
        let off = |f: f64| percent((f - 1.0).abs());
        let way = if factor.value < 1.0 { "too little" } else { "too much" };
        let (low, high) =
            if factor.value < 1.0 { (factor.p90, factor.p10) } else { (factor.p10, factor.p90) };
        Some(format!(
            "By these runs the {instrument} shows {} {way} ({} to {}): check it against another, since what is not noted (charge, cold, \
             a stream) would look alike; no speed is lost by an instrument.",
            off(factor.value),
            off(low),
            off(high)
        ))
    });
    said.collect()
}

/// How sure, what cannot be kept apart, what comes next.
fn further(diagnosis: &Diagnosis, paper: &Paper) -> String {
    let point = &diagnosis.points[0];
    // What cannot be told from something else is never sure.
    let is_paired =
        |cause: Cause| diagnosis.correlated.iter().any(|pair| pair.first == cause || pair.second == cause);
    let mut said = Vec::new();
    if !diagnosis.sampling.is_trusted {
        said.push(
            "The samples behind these figures are too few to be trusted; look at the runs first.".to_owned(),
        );
    }
    if point.short_probability >= 0.5 {
        let mut shares: Vec<&Share> = point.shares.iter().collect();
        shares.sort_by(|a, b| b.main_probability.total_cmp(&a.main_probability));
        if let Some(main) = shares.first() {
            said.push(match diagnosis.headline() {
                Headline::Ask(_) => format!(
                    "Until then {} takes most ({}), which is no verdict.",
                    main.cause.words(),
                    percent(main.main_probability)
                ),
                _ => main_sentence(main, shares.get(1).copied(), is_paired(main.cause)),
            });
            said.extend(what_it_covers(main.cause, diagnosis).map(str::to_owned));
        }
        if let Some(pair) = diagnosis.correlated.first() {
            said.push(format!(
                "These runs cannot tell {} from {}: together they take {} ({}).",
                pair.first.words(),
                pair.second.words(),
                knots(paper, pair.together.value),
                paper.band(pair.together, Quantity::Speed),
            ));
        }
    }
    let likely = diagnosis.oddities.iter().filter(|(odd, p)| odd.what != Hypothesis::Nothing && *p > RIVAL);
    let odd: Vec<String> = likely
        .clone()
        .map(|(odd, p)| format!("{} ({})", odd.words(&diagnosis.problem.epochs), percent(*p)))
        .collect();
    match odd.as_slice() {
        [] => {}
        [one] if likely.clone().any(|(odd, p)| *p > SURE && !odd.what.cause().is_some_and(is_paired)) => {
            said.push(format!("Almost surely {one}."));
        }
        [one] if likely.clone().any(|(_, p)| *p > NAMED_FROM) => said.push(format!("Most probably {one}.")),
        [one] => said.push(format!("It may be that {one}.")),
        several => said.push(format!("Which of these it is they cannot tell: {}.", several.join("; "))),
    }
    if likely.clone().any(|(odd, _)| odd.what == Hypothesis::HeldBack)
        && let Some(held) = diagnosis.held_by_heat_m_s()
    {
        said.push(format!(
            "By her document the motor's heat alone holds her at {} once the throttle has been open for long: run again with a cool \
             motor, and read within three minutes.",
            knots(paper, held)
        ));
    }
    said.extend(instrument_sentences(diagnosis));
    // What is asked for comes before any run.
    if !matches!(diagnosis.headline(), Headline::Ask(_)) {
        said.extend(next_sentence(diagnosis, paper));
    }
    said.join(" ")
}

fn main_sentence(main: &Share, second: Option<&Share>, is_paired: bool) -> String {
    let subject = capitalised(main.cause.words());
    let verb = match main.cause {
        Cause::Unexplained => {
            return format!(
                "What takes most is not explained by anything that was given ({}).",
                percent(main.main_probability)
            );
        }
        Cause::Instruments => "are",
        _ => "is",
    };
    if main.main_probability > SURE && !is_paired {
        return format!("{subject} {verb} the main cause ({}).", percent(main.main_probability));
    }
    if main.main_probability <= NAMED_FROM {
        let then = second.map_or_else(String::new, |second| {
            format!(", then {} ({})", second.cause.words(), percent(second.main_probability))
        });
        return format!(
            "No cause is more probable than all others together: most probable {verb} {} ({}){then}.",
            main.cause.words(),
            percent(main.main_probability)
        );
    }
    if main.main_probability <= main.cause.named_from() {
        return format!(
            "Most probable {verb} {} ({}); but whatever the methods and the instruments err by ends there too, so it is not \
             named before {}.",
            main.cause.words(),
            percent(main.main_probability),
            percent(main.cause.named_from())
        );
    }
    let rival = second.filter(|s| s.main_probability > 0.1).map_or_else(String::new, |second| {
        format!("; {} comes next ({})", second.cause.words(), percent(second.main_probability))
    });
    format!("{subject} {verb} most probably the main cause ({}){rival}.", percent(main.main_probability))
}

/// What would tell more; nothing where nothing tells much.
fn next_sentence(diagnosis: &Diagnosis, paper: &Paper) -> Option<String> {
    let next = diagnosis.next.first()?;
    let what = next_text(next, paper);
    let known = diagnosis.points[0].shares.iter().map(|share| share.main_probability).fold(0.0, f64::max);
    if known > SURE {
        return (next.width_left < 0.8).then(|| format!("{what} would narrow the shares most."));
    }
    if next.doubt_removed > 0.6 {
        return Some(format!("{what} would settle the rest."));
    }
    if next.doubt_removed > 0.25 {
        return Some(format!(
            "{what} would tell most: it takes away {} of the doubt.",
            percent(next.doubt_removed)
        ));
    }
    (next.width_left < 0.75).then(|| format!("{what} would narrow the shares most."))
}

/// What a remedy is forecast to give.
#[must_use]
pub fn forecast_finding(name: &str, forecasts: &[Forecast], paper: &Paper) -> Finding {
    let gain = |forecast: &Forecast| forecast.of(Measure::FullSpeed).map_or(0.0, |m| m.gain.value);
    let nothing = |sentence: String| Finding { sentence, ..Finding::default() };
    if forecasts.is_empty() {
        return nothing(format!("No remedy was named for {name}."));
    }
    // What must not be so afterwards is said and never the best.
    let barred: Vec<String> = forecasts
        .iter()
        .filter(|forecast| !forecast.forbidden.is_empty())
        .map(|forecast| {
            format!("\"{}\" must not be done: {}.", forecast.remedy.name, forecast.forbidden.join("; "))
        })
        .collect();
    let barred = barred.join(" ");
    let of_duty = |f: &&Forecast| f.duty.is_some() && f.forbidden.is_empty();
    let dutiful: Vec<String> = (forecasts.iter().filter(of_duty))
        .map(|f| format!("\"{}\" would give {}{}.", f.remedy.name, knots(paper, gain(f)), duty_words(f.duty)))
        .collect();
    let allowed = || forecasts.iter().filter(|forecast| forecast.forbidden.is_empty());
    // Volts that bring a duty are worth it for a good deal more than what is to be had without, and not otherwise.
    let worth = |f: &Forecast| gain(f) - if f.duty.is_some() { DUTY_WORTH_M_S } else { 0.0 };
    let Some(best) = allowed().max_by(|a, b| worth(a).total_cmp(&worth(b))) else {
        return nothing(format!("None of these remedies may be carried out on {name}. {barred}"));
    };
    let Some(measure) = best.of(Measure::FullSpeed) else {
        return nothing(format!("No remedy of those named gives {name} a steady speed."));
    };
    // What nobody chose for her is judged by what it is worth; what was asked for is told with its duty.
    if measure.gain.value < 0.02 || (worth(best) < 0.02 && forecasts.len() > 1) {
        let but = if dutiful.is_empty() { "" } else { " by as much as would be worth a duty" };
        let sentence = format!("None of these remedies makes {name} faster at full throttle{but}.");
        return Finding { sentence, further: dutiful.join(" "), ..Finding::default() };
    }
    let also: Vec<String> = allowed()
        .filter(|f| f.remedy != best.remedy && f.helps_probability > 0.5 && f.duty.is_none())
        .take(2)
        .map(|f| format!("\"{}\" {}", f.remedy.name, knots(paper, gain(f))))
        .collect();
    Finding {
        sentence: format!(
            "{} {} at full throttle ({}), from {} to {}{}.",
            match forecasts {
                [_] => format!("\"{}\" gives {name}", best.remedy.name),
                _ => format!("Of these, \"{}\" gives {name} most:", best.remedy.name),
            },
            knots(paper, measure.gain.value),
            paper.band(measure.gain, Quantity::Speed),
            paper.decimals(measure.now.value, Quantity::Speed, 1),
            paper.decimals(measure.after.value, Quantity::Speed, 1),
            duty_words(best.duty),
        ),
        further: [
            (!also.is_empty()).then(|| format!("{} would help too.", also.join(" and "))),
            (!barred.is_empty()).then_some(barred),
        ]
        .into_iter()
        .flatten()
        .chain(dutiful.into_iter().filter(|_| best.duty.is_none()))
        .collect::<Vec<String>>()
        .join(" "),
        ..Finding::default()
    }
}

/// Whether a forecast held.
#[must_use]
pub fn score_sentence(remedy: &str, scores: &[Score], paper: &Paper) -> String {
    let Some(score) = scores.iter().find(|score| score.measure == Measure::FullSpeed) else {
        return format!("\"{remedy}\": there is nothing to hold the forecast against.");
    };
    let (outcome, forecast) = (
        paper.decimals(score.outcome.value, Quantity::Speed, 1),
        paper.band(score.forecast, Quantity::Speed),
    );
    let held = match (score.is_inside, score.z) {
        (true, _) => "the forecast held",
        (false, z) if z.abs() < 2.0 => "just outside the band of four in five",
        (false, z) if z > 0.0 => "she gained more than forecast",
        (false, _) => "she gained less than forecast",
    };
    format!(
        "After \"{remedy}\" she makes {outcome} at full throttle against a forecast of {forecast}: {held}."
    )
}

/// With a capital in front.
pub(super) fn capitalised(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + chars.as_str())
}
