//! How the trial stands beside her document: the sentence, and the points on the band.

use maud::{Markup, html};
use wakewright_core::trial::TrialFacts;
use wakewright_rooms::draw::{MOST_NAMED, power_on_band, speed_on_band};
use wakewright_rooms::standing::standing_finding;
use wakewright_rooms::text::Finding;
use wakewright_rooms::trial::trial_finding;

use super::{OnTrial, sheet};
use crate::parts::{SETTLED_SAMPLES, Widths, figure, fold};
use wakewright_rooms::scene::TrialScene;

/// What was found, and the pictures that carry it.
#[derive(Debug)]
pub struct Standing {
    /// The sentence.
    pub finding: Finding,
    /// The pictures; empty where nothing can be compared.
    pub pictures: Markup,
}

/// Puts the trial beside her document.
#[must_use]
pub fn standing(on: &OnTrial, facts: &TrialFacts, width_px: f64) -> Standing {
    let paper = sheet();
    let is_blank = on.kept.document.notebook.is_empty() && on.kept.document.logs.is_empty();
    let runs = || {
        if !is_blank {
            return trial_finding(facts, &paper);
        }
        Finding {
            sentence: format!("Nothing of {}’s trial is written down yet.", on.entry.name),
            further: "Fill in a card for each run; it is kept as it is typed.".to_owned(),
            ..Finding::default()
        }
    };
    let Some(loaded) = &on.loaded else {
        let aside = html! { p.notice { "Her document has faults, so nothing says what she should do." } };
        return Standing { finding: runs(), pictures: aside };
    };
    let scene = match TrialScene::new(loaded, &on.kept, SETTLED_SAMPLES) {
        Ok(scene) => scene,
        Err(error) => {
            let aside = html! { p.notice { "Nothing says what she should do: " (error) "." } };
            return Standing { finding: runs(), pictures: aside };
        }
    };
    let mut finding =
        standing_finding(&on.entry.name, &scene.standings, Some(scene.full), &paper).unwrap_or_else(runs);
    let unpaired = facts.runs.len().saturating_sub(scene.points.iter().map(|point| point.runs.len()).sum());
    if unpaired > 0 && !scene.points.is_empty() {
        finding.further += &match unpaired {
            1 => " One run has no opposite and no log: the stream is still in it, and it is left out."
                .to_owned(),
            n => format!(
                " {n} runs have no opposite and no log: the stream is still in them, and they are left out."
            ),
        };
    }
    let half = if width_px >= 860.0 { (width_px - 40.0) / 2.0 } else { width_px };
    let speed = speed_on_band(&scene.points, &scene.promised, &paper);
    let power = power_on_band(&scene.points, &scene.promised, &paper);
    let pictures = html! {
        @if speed.is_some() || power.is_some() {
            div.halves {
                @if let Some(plot) = &speed { (figure(plot, half, "band-speed", "Speed she makes, and should make")) }
                @if let Some(plot) = &power {
                    @let picture = figure(plot, half, "band-power", "Power it takes, and should take");
                    @if speed.is_none() || Widths::of(width_px).unfolds() { (picture) }
                    @else { (fold("band-power", "Power it takes, and should take", &format!("{} points", scene.points.len()), false, &picture)) }
                }
            }
            p.aside { @if scene.points.len() <= MOST_NAMED { "Numbers are those of the runs. " } "The power is that of the drive alone: loads beside it are taken out." }
        }
    };
    Standing { finding, pictures }
}
