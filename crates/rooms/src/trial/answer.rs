//! The runs of a trial as an answer. Not for: the sentence (`finding`), which columns there are
//! (`wakewright_core::trial`).

use wakewright_core::notice::Notice;
use wakewright_core::sheet::Filled;
use wakewright_core::trial::{ConstantStream, LogRemark, TRIAL_SHEETS, TrialFacts};
use wakewright_units::{Quantity, format_number};

use super::trial_finding;
use crate::causes::filled;
use crate::room::{Answer, Block};
use crate::text::Paper;

/// A trial with its runs, pairs, stream, and what the day did.
#[must_use]
pub fn trial_answer(trial: &TrialFacts, paper: &Paper) -> Answer {
    let sheets = filled(&TRIAL_SHEETS, trial);
    let mut blocks = runs_blocks(trial, &sheets, paper);
    blocks.push(days_block(trial, &sheets));
    let flags: Vec<String> = trial
        .days
        .iter()
        .flat_map(|day| day.flags.iter().map(|flag| format!("Run {}: {}.", day.run, flag.words())))
        .collect();
    blocks.push(Block::words("", flags));
    let notices = trial.remarks.iter().map(LogRemark::notice).collect::<Vec<Notice>>();
    Answer::of_sheets(trial_finding(trial, paper), sheets, blocks, notices)
}

/// Runs and pairs, and the other ways to take the stream out.
#[must_use]
pub fn runs_blocks(trial: &TrialFacts, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
    let speed = |si: f64| paper.decimals(si, Quantity::Speed, 2);
    let remark =
        if trial.runs.iter().any(|run| run.is_short) { "Short: less than three minutes." } else { "" };
    let mut words: Vec<String> = trial
        .analysis
        .alternating
        .iter()
        .map(|result| {
            let runs: Vec<String> = result.runs.iter().map(|i| (i + 1).to_string()).collect();
            format!(
                "Runs {} alternate at even steps: mean of means {} through the water.",
                runs.join(", "),
                speed(result.speed_through_water_m_s)
            )
        })
        .collect();
    words.extend(trial.analysis.constant_stream.as_ref().map(|stream| stream_words(stream, paper)));
    match &trial.analysis.iterative {
        Some(Ok(solution)) => {
            let speeds = solution.speeds_through_water_m_s.chunks(2);
            let speeds = speeds.map(|two| speed(two.iter().sum::<f64>() / two.len() as f64));
            let stream = if solution.is_constant_stream { "constant" } else { "tidal" };
            let band = match solution.band_m_s {
                Some(band) => {
                    format!(", that of a run within {} of it in four cases of five", speed(band))
                }
                None => ": how well it fits cannot be told, there are no more runs than it takes".to_owned(),
            };
            words.push(format!(
                "One curve of power and a {stream} stream through all pairs give {} through the water{band}; power rises \
                 with speed to the {}th.",
                speeds.collect::<Vec<_>>().join(", "),
                format_number(solution.power.exponent, 1)
            ));
        }
        Some(Err(error)) => words.push(format!("No curve through all pairs: {error}.")),
        None => {}
    }
    vec![
        Block::sheet(sheets, "runs").remark(remark),
        Block::sheet(sheets, "pairs"),
        Block::sheet(sheets, "offered_pairs"),
        Block::words("", words),
    ]
}

/// The stream that the pairs share, with its band, or that they share none.
fn stream_words(stream: &ConstantStream, paper: &Paper) -> String {
    let speed = |si: f64| paper.decimals(si, Quantity::Speed, 2);
    let angle = |si: f64| paper.decimals(si, Quantity::Angle, 0);
    let (found, band) = (speed(stream.mean.speed_m_s), speed(stream.band_m_s));
    let pairs = stream.pairs;
    match stream.towards_band_rad() {
        Some(band_rad) => format!(
            "Taken as constant through {pairs} pairs the stream was {found} towards {} ± {}; the stream of any one run \
             lies within {band} of it, along and across, in four cases of five.",
            angle(stream.mean.towards_rad),
            angle(band_rad)
        ),
        None => format!(
            "The {pairs} pairs share no constant stream: {found} on average, but that of any one run may lie {band} to \
             either side. Each pair's own stream counts."
        ),
    }
}

/// What the day did to each run; empty when nothing is known of it.
#[must_use]
pub fn days_block(trial: &TrialFacts, sheets: &[Filled]) -> Block {
    let is_known = trial.days.iter().any(|day| day.parts.iter().any(|part| part.watts.is_some()));
    let parts = trial.days.first().map(|day| &day.parts[..]).unwrap_or_default();
    let taken_off: Vec<&str> = parts.iter().filter(|part| part.is_taken_off).map(|part| part.word).collect();
    let remark = match taken_off.as_slice() {
        [] => "None of it is taken off.".to_owned(),
        words => format!("Taken off: {}.", words.join(", ")),
    };
    Block::sheet(sheets, "days").with_rows(|_| is_known).remark(remark)
}
