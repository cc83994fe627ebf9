//! Where each watt goes at full throttle. Not for: the split itself (`wakewright_core::steady`).

use wakewright_core::steady::WattEnd;
use wakewright_core::study::Study;
use wakewright_units::format_number;

use wakewright_picture::{Ladder, Step, StepKind};

/// Watts below which a step is not worth a line.
const LEAST_W: f64 = 0.5;

/// The picture.
#[must_use]
pub fn ladder_picture(study: &Study) -> Ladder {
    let steps: Vec<Step> = study
        .ladder
        .steps()
        .into_iter()
        .filter(|step| step.power_w >= LEAST_W)
        .map(|step| Step {
            label: step.word.words.to_owned(),
            power_w: step.power_w,
            interval_w: None,
            kind: match step.end {
                WattEnd::Lost => StepKind::Lost,
                WattEnd::Growth => StepKind::Growth,
                WattEnd::Water => StepKind::Reaches,
            },
        })
        .collect();
    let lost: f64 = steps.iter().filter(|s| s.kind == StepKind::Lost).map(|s| s.power_w).sum();
    let all: f64 = steps.iter().map(|s| s.power_w).sum();
    let most = steps.iter().max_by(|a, b| a.power_w.total_cmp(&b.power_w));
    let description = format!(
        "Of {} W out of the cells {} W reach the water; most goes to {}.",
        format_number(all, 0),
        format_number(all - lost, 0),
        most.map_or("nothing", |step| step.label.as_str()),
    );
    Ladder {
        title: "Where each watt goes at full throttle".into(),
        description,
        source: "out of the cells".into(),
        arrival: "reaches the water".into(),
        steps,
    }
}
