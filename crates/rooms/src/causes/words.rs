//! Words for what can be done next, what does not fit, and what a remedy changes.
//! Not for: sentences that tell what was found (`finding`).

use wakewright_core::causes::{Change, DatumKind, Diagnosis, Misfit, NextRun, Proposal};
use wakewright_units::{Quantity, format_number};

use crate::text::Paper;

/// A share as a percentage in whole points.
#[must_use]
pub fn percent(share: f64) -> String {
    format!("{} %", format_number(100.0 * share, 0))
}

/// A speed difference in hundredths of a knot, or its like.
pub(super) fn knots(paper: &Paper, m_s: f64) -> String {
    // No minus in front of nothing.
    let m_s = if m_s.abs() < 0.0025 { 0.0 } else { m_s };
    paper.decimals(m_s, Quantity::Speed, 2)
}

/// What is proposed, to stand at the beginning of a sentence.
#[must_use]
pub fn next_text(next: &NextRun, paper: &Paper) -> String {
    let rpm = |rev_s: f64| paper.quantity(rev_s, Quantity::RotationalSpeed);
    match next.proposal {
        Proposal::DoubleRun { shaft_rev_s } => {
            format!("One double run at {} in a calm, power read", rpm(shaft_rev_s))
        }
        Proposal::FullThrottle => "One double run at full throttle".to_owned(),
        Proposal::AfterScrub { shaft_rev_s } => {
            format!("One double run at {} after a scrub", rpm(shaft_rev_s))
        }
        Proposal::AfterBlades { shaft_rev_s } => {
            format!("One double run at {} after scraping the blades", rpm(shaft_rev_s))
        }
        Proposal::Bollard => {
            "A pull against the quay with a scale, full throttle, rpm and amps read".to_owned()
        }
        Proposal::CoastDown { speed_m_s } => {
            format!("Coasting down from {}, timed both ways", paper.decimals(speed_m_s, Quantity::Speed, 1))
        }
        Proposal::LookAtBottom => "A look at the bottom".to_owned(),
        Proposal::LookAtBlades => "A hand on the blades".to_owned(),
        Proposal::VoltsAtPacks => "Volts at the packs and at the controller, full throttle".to_owned(),
        Proposal::MeasurePropeller => "Pitch and diameter of the propeller, measured".to_owned(),
        Proposal::CountReduction => "Teeth or turns of the reduction, counted".to_owned(),
        Proposal::ReadLimits => "The controller's settings and the packs' alarms, read out".to_owned(),
    }
}

/// What does not fit, as a sentence.
#[must_use]
pub fn misfit_text(misfit: &Misfit, diagnosis: &Diagnosis) -> String {
    let label = |epoch: usize| diagnosis.problem.epochs.get(epoch).map_or("", |trial| trial.label.as_str());
    match misfit {
        Misfit::CourseToCourse { epoch, difference } => format!(
            "In \"{}\" the power at one shaft speed differs from course to course by {}, more than meter and noted wind give: \
             something pushed against one course that is not in the notes, as a head sea does. It would have to add about {} to \
             her resistance there.",
            label(*epoch),
            percent(difference.share.abs()),
            percent(difference.added_drag),
        ),
        Misfit::Run { epoch, run, kind, residual } => format!(
            "In \"{}\" run {} is far off: its {} is {} what all causes together give ({} times its usual scatter). It counts for \
             little.",
            label(*epoch),
            run + 1,
            reading_words(*kind),
            if *residual > 0.0 { "above" } else { "below" },
            format_number(residual.abs(), 0),
        ),
        Misfit::Scatter => format!(
            "All readings together scatter more than they should: {} of repeated trials would fit worse. Shares are to be taken \
             with care.",
            percent(diagnosis.fit.p_value)
        ),
    }
}

/// A reading in words.
#[must_use]
pub(super) fn reading_words(kind: DatumKind) -> &'static str {
    match kind {
        DatumKind::Speed => "speed",
        DatumKind::LogSpeed => "speed by the log",
        DatumKind::Shaft => "shaft speed",
        DatumKind::Motor => "motor speed",
        DatumKind::Power => "power",
        DatumKind::Volts => "voltage",
        DatumKind::Current => "current",
        DatumKind::RestVolts => "voltage at rest",
    }
}

/// Kind of quantity of a reading.
#[must_use]
pub(super) fn reading_quantity(kind: DatumKind) -> Quantity {
    match kind {
        DatumKind::Speed | DatumKind::LogSpeed => Quantity::Speed,
        DatumKind::Shaft | DatumKind::Motor => Quantity::RotationalSpeed,
        DatumKind::Power => Quantity::Power,
        DatumKind::Volts | DatumKind::RestVolts => Quantity::Voltage,
        DatumKind::Current => Quantity::Current,
    }
}

/// A change as a few words.
#[must_use]
pub fn change_text(change: &Change, paper: &Paper) -> String {
    let length = |m: f64| paper.quantity(m, Quantity::PropellerLength);
    match change {
        Change::CleanBottom => "bottom down to clean antifouling".to_owned(),
        Change::CleanBlades => "blades scraped and polished".to_owned(),
        Change::Repitch(by) if *by >= 0.0 => format!("{} more pitch", length(*by)),
        Change::Repitch(by) => format!("{} less pitch", length(-by)),
        Change::NewPropeller { diameter_m, pitch_m } => {
            format!("a new propeller {} x {}", length(*diameter_m), length(*pitch_m))
        }
        Change::Ratio(ratio) => format!("reduction {}:1", format_number(*ratio, 2)),
        Change::Cells(cells) => format!("{cells} cells in series, undervoltage limit with them"),
        Change::SoundPacks => "every pack sound".to_owned(),
        Change::Cable(ohm) => format!("cable and joints of {}", paper.quantity(*ohm, Quantity::Resistance)),
        Change::LimitsAsStated => "controller, throttle and BMS as the document has them".to_owned(),
    }
}
