//! The causes as text for a terminal. Not for: forecasts (`forecast_text`).

use wakewright_core::causes::{Cause, DatumKind, Diagnosis, Hypothesis, LeftOut, PointKind, ShortfallPoint};
use wakewright_core::study::Interval;
use wakewright_units::{Quantity, format_number};

use super::CausesScene;
use super::finding::causes_finding;
use super::words::{knots, misfit_text, next_text, percent, reading_quantity, reading_words};
use crate::text::{Align, Ink, Paper, Table, finding_text};

/// The whole text.
#[must_use]
pub fn causes_text(scene: &CausesScene<'_>, paper: &Paper) -> String {
    let diagnosis = scene.diagnosis;
    let mut out = finding_text(&causes_finding(scene, paper), paper);
    for point in &diagnosis.points {
        out += &format!("\n{}\n", paper.ink(Ink::Strong, &point_title(point, paper)));
        out += &shares_table(point, paper);
    }
    out += &apart(diagnosis, paper);
    out += &odd(diagnosis, paper);
    out += &next(diagnosis, paper);
    out += &runs(diagnosis, paper);
    out += &fit(diagnosis, paper);
    out += &calibrated_hint(diagnosis, paper);
    out
}

fn point_title(point: &ShortfallPoint, paper: &Paper) -> String {
    let at = match point.kind {
        PointKind::FullThrottle => "At full throttle".to_owned(),
        PointKind::Power(watts) => format!("With {} out of the bank", paper.quantity(watts, Quantity::Power)),
    };
    format!(
        "{at}: should {}, does {} ({})",
        knots(paper, point.should_m_s),
        knots(paper, point.now.value),
        paper.band(point.now, Quantity::Speed)
    )
}

fn shares_table(point: &ShortfallPoint, paper: &Paper) -> String {
    /// Causes that surely take less than this are put together \[m/s\].
    const SMALL_M_S: f64 = 0.012;
    let mut table = Table::new(&[
        ("cause", Align::Left),
        ("takes", Align::Right),
        ("80 %", Align::Left),
        ("main\ncause", Align::Right),
    ]);
    let is_small = |taken: &Interval| taken.p90.abs() < SMALL_M_S && taken.p10.abs() < SMALL_M_S;
    let mut small = Vec::new();
    for share in &point.shares {
        if is_small(&share.taken) && share.main_probability < 0.01 {
            small.push(share.cause.words());
            continue;
        }
        let ink = if share.main_probability > 0.5 { Ink::Strong } else { Ink::Plain };
        table.row(
            ink,
            vec![
                share.cause.words().to_owned(),
                knots(paper, share.taken.value),
                hundredths(share.taken, paper),
                if share.main_probability < 0.005 { String::new() } else { percent(share.main_probability) },
            ],
        );
    }
    table.row(
        Ink::Faint,
        vec![
            "together".to_owned(),
            knots(paper, point.shortfall.value),
            hundredths(point.shortfall, paper),
            String::new(),
        ],
    );
    let mut out = table.render(paper, 2);
    if !small.is_empty() {
        out += &paper.wrap(&format!("Next to nothing: {}.", small.join("; ")), 2);
    }
    out
}

fn hundredths(interval: Interval, paper: &Paper) -> String {
    let number = |m_s: f64| {
        let text = knots(paper, m_s);
        text.split_once(' ').map_or(text.clone(), |(number, _)| number.to_owned())
    };
    format!("{} to {}", number(interval.p10), number(interval.p90))
}

fn apart(diagnosis: &Diagnosis, paper: &Paper) -> String {
    if diagnosis.correlated.is_empty() {
        return String::new();
    }
    let mut out = format!("\n{}\n", paper.ink(Ink::Strong, "What these runs cannot tell apart"));
    for pair in diagnosis.correlated.iter().take(4) {
        out += &paper.wrap(
            &format!(
                "{} and {}: what one takes the other leaves (correlation {}); together {} ({}).",
                pair.first.words(),
                pair.second.words(),
                format_number(pair.correlation, 2),
                knots(paper, pair.together.value),
                hundredths(pair.together, paper)
            ),
            2,
        );
    }
    out
}

fn odd(diagnosis: &Diagnosis, paper: &Paper) -> String {
    let odd: Vec<_> =
        diagnosis.hypotheses.iter().filter(|(h, p)| *h != Hypothesis::Nothing && *p > 0.005).collect();
    if odd.is_empty() {
        return String::new();
    }
    let mut out = format!("\n{}\n", paper.ink(Ink::Strong, "Something odd about her"));
    for (hypothesis, probability) in odd {
        out += &format!("  {:>5}  {}\n", percent(*probability), hypothesis.words());
    }
    out
}

fn next(diagnosis: &Diagnosis, paper: &Paper) -> String {
    if diagnosis.next.is_empty() {
        return String::new();
    }
    let mut table = Table::new(&[
        ("what to do next", Align::Left),
        ("doubt\ntaken", Align::Right),
        ("cause\nknown", Align::Right),
        ("width\nleft", Align::Right),
    ]);
    for next in diagnosis.next.iter().filter(|n| n.doubt_removed > 0.005 || n.width_left < 0.99).take(6) {
        table.row(
            Ink::Plain,
            vec![
                shortened(&next_text(next, paper), 50),
                percent(next.doubt_removed),
                percent(next.main_probability_after),
                percent(next.width_left),
            ],
        );
    }
    let main =
        diagnosis.points[0].shares.iter().max_by(|a, b| a.main_probability.total_cmp(&b.main_probability));
    let look = main
        .filter(|share| share.main_probability > 0.2)
        .map_or_else(String::new, |share| paper.wrap(share.cause.what_to_look_at(), 2));
    format!("\n{}\n{look}{}", paper.ink(Ink::Strong, "What would tell more"), table.render(paper, 2))
}

/// Broken over two lines where it is longer than a column.
fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.split_once(',').map_or(text, |(head, _)| head).to_owned()
}

fn runs(diagnosis: &Diagnosis, paper: &Paper) -> String {
    let mut table = Table::new(&[
        ("run", Align::Left),
        ("rpm", Align::Right),
        ("reading", Align::Left),
        ("measured", Align::Right),
        ("she\nshould", Align::Right),
        ("causes\ngive", Align::Right),
    ]);
    for fit in &diagnosis.runs {
        let numbers: Vec<String> = fit.runs.iter().map(|run| (run + 1).to_string()).collect();
        let place = match diagnosis.problem.epochs.len() {
            1 => numbers.join("+"),
            _ => format!("{}: {}", diagnosis.problem.epochs[fit.epoch].date, numbers.join("+")),
        };
        let mut head = vec![place, paper.quantity(fit.shaft_rev_s, Quantity::RotationalSpeed)];
        for (datum, should, given) in &fit.readings {
            if datum.kind == DatumKind::Shaft || datum.kind == DatumKind::Motor {
                continue;
            }
            let write = |si: f64| paper.quantity(si, reading_quantity(datum.kind));
            let mut row = std::mem::replace(&mut head, vec![String::new(), String::new()]);
            row.extend([
                reading_words(datum.kind).to_owned(),
                write(datum.value),
                write(*should),
                write(given.value),
            ]);
            table.row(Ink::Plain, row);
        }
    }
    let unfitted = unfitted(diagnosis);
    let mut out = format!("\n{}\n{}", paper.ink(Ink::Strong, "Run by run"), table.render(paper, 2));
    if !unfitted.is_empty() {
        out += &paper.wrap(&format!("Not fitted: {}.", unfitted.join("; ")), 2);
    }
    out
}

/// Runs that are not fitted, those of one trial and reason together.
fn unfitted(diagnosis: &Diagnosis) -> Vec<String> {
    let mut said = Vec::new();
    for (epoch, runs) in diagnosis.problem.unfitted.iter().enumerate() {
        let mut reasons: Vec<LeftOut> = Vec::new();
        for (_, why) in runs {
            if !reasons.contains(why) {
                reasons.push(*why);
            }
        }
        for reason in reasons {
            let numbers: Vec<String> =
                runs.iter().filter(|(_, why)| *why == reason).map(|(run, _)| (run + 1).to_string()).collect();
            let label = &diagnosis.problem.epochs[epoch].label;
            let plural = if numbers.len() == 1 { "run" } else { "runs" };
            said.push(format!("{plural} {} of \"{label}\": {}", numbers.join(", "), reason.words()));
        }
    }
    said
}

fn fit(diagnosis: &Diagnosis, paper: &Paper) -> String {
    let fit = &diagnosis.fit;
    let sampling = &diagnosis.sampling;
    let mut out = format!("\n{}\n", paper.ink(Ink::Strong, "How well it fits"));
    let untold = diagnosis.points[0].shares.iter().find(|share| share.cause == Cause::Untold);
    let untold = untold.map_or_else(String::new, |share| {
        format!(
            " Not explained by any cause: {} ({}).",
            knots(paper, share.taken.value),
            hundredths(share.taken, paper)
        )
    });
    out += &paper.wrap(
        &format!(
            "{} readings lie {} of their usual scatter from what the causes give; of repeated trials {} would fit worse.{untold}",
            fit.readings,
            percent(fit.rms_residual),
            percent(fit.p_value)
        ),
        2,
    );
    for misfit in &fit.misfits {
        out += &paper.marked("!", Ink::Binds, &misfit_text(misfit, diagnosis));
    }
    let tempered = if sampling.tempered > 0 {
        format!(", tempered in {} rounds", sampling.tempered)
    } else {
        String::new()
    };
    out += &paper.wrap(
        &format!(
            "{} samples, worth {} of equal weight{tempered}; tail of their weights {} (0.7 is the most that can be trusted).",
            sampling.samples,
            format_number(sampling.effective, 0),
            format_number(sampling.pareto_k, 2)
        ),
        2,
    );
    out
}

fn calibrated_hint(diagnosis: &Diagnosis, paper: &Paper) -> String {
    if diagnosis.calibrated.is_empty() {
        return String::new();
    }
    let text = "What this trial knows better than her document can be adopted (--adopt), so that range and options use it.";
    format!("\n{}", paper.wrap(text, 2))
}
