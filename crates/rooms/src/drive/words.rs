//! What is said of the drive: the finding, the watts as bars, what weakens the top speed.

use wakewright_core::boat::Drives;
use wakewright_core::steady::{Limit, WattEnd};
use wakewright_core::study::{StateFigure, Study};
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, format_number};

use super::is_near;
use crate::text::{Finding, Ink, Paper, percent};

/// With which of her drives, where she has two.
pub(super) fn on_drives(drives: Drives) -> &'static str {
    match (drives.fitted(), drives.idle) {
        (0 | 1, _) => "",
        (_, 0) => " on both drives",
        _ => " on one of her two drives",
    }
}

/// What stops her at full throttle, against the speed that is wished for; and what she makes with the throttle
/// `eased`.
pub fn finding(
    name: &str,
    wished_m_s: Option<f64>,
    eased: Option<f64>,
    study: &Study,
    paper: &Paper,
) -> Finding {
    let full = &study.answers.full;
    let speed = study.at_full(StateFigure::Speed);
    let shaft = study.at_full(StateFigure::ShaftSpeed);
    let stop = Stop::of(full.held.limit, study);
    let binding = stop.first.words().to_owned();
    let stops = stop.words();
    let shown = |si| paper.decimals(si, Quantity::Speed, 1);
    let figure =
        format!("{} at {}", shown(speed.value), paper.quantity(shaft.value, Quantity::RotationalSpeed));
    // A burst that shows as no more than what she holds is none.
    let burst = study.burst_m_s.filter(|burst| shown(burst.value) != shown(speed.value));
    // Nothing stops her there: what is known of her does.
    let is_open = stop.first == Limit::HullMethod && stop.second.is_none();
    // In a canal it is the water that runs out.
    let is_in_canal = is_open && study.boat.sea.canal_depth_m().is_some();
    let sentence = match burst {
        _ if is_in_canal => format!(
            "Between her banks{} {name} makes {figure} and no more: beyond it power only digs a deeper hollow.",
            on_drives(study.prepared.drives())
        ),
        _ if is_open => format!(
            "At full throttle{} {name} makes at least {figure}: there is {binding}, and nothing aboard stops her before.",
            on_drives(study.prepared.drives())
        ),
        Some(burst) => format!(
            "Held for hours{} {name} makes {figure}; {stops}. For some minutes she makes {}.",
            on_drives(study.prepared.drives()),
            shown(burst.value),
        ),
        None => {
            format!("At full throttle{} {name} makes {figure}; {stops}.", on_drives(study.prepared.drives()))
        }
    };
    let mut further = if is_open && !is_in_canal {
        format!("Nine times in ten she makes {} or more.", shown(speed.p10))
    } else {
        format!("Four times in five she makes {}.", paper.band(speed, Quantity::Speed))
    };
    if stop.first == Limit::MotorHeat || stop.second.is_some_and(|(limit, _)| limit == Limit::MotorHeat) {
        further += &format!(
            " The air around the motor is taken as {}: warmer air there takes from what it holds.",
            paper.quantity(study.boat.motor_ambient_k, Quantity::Temperature)
        );
    }
    if let Some(wished) = wished_m_s {
        let gap = wished - speed.value;
        // Half a step of the figures shown.
        if gap > 0.05 * KNOT_M_S {
            further += &format!(" That is {} short of the {} wished for.", shown(gap), shown(wished));
        } else {
            further += &format!(" The {} wished for is within reach.", shown(wished));
        }
    }
    if let Some((next, next_speed)) =
        full.next.as_ref().zip(study.next_speed_m_s).filter(|_| stop.second.is_none())
    {
        let gain = next_speed.value - speed.value;
        if gain > 0.02 * speed.value {
            further += &format!(
                " With that out of the way {} would stop her at {}: {} lies unused.",
                next.limit.words(),
                shown(next_speed.value),
                shown(gain)
            );
        } else {
            further += &format!(" Close behind it {} would stop her.", next.limit.words());
        }
    }
    further += &eased.map_or_else(String::new, |throttle| at_throttle(throttle, study, paper));
    Finding { sentence, binding, figure, further, ..Finding::default() }
}

/// What stops her: the limit that binds for the boat as expected, unless fewer than half the samples say so.
pub(super) struct Stop {
    first: Limit,
    share: f64,
    second: Option<(Limit, f64)>,
}

impl Stop {
    pub(super) fn of(expected: Limit, study: &Study) -> Self {
        let mut rows: Vec<(Limit, f64)> = study.limits.iter().map(|row| (row.limit, row.binds_in)).collect();
        rows.sort_by(|a, b| b.1.total_cmp(&a.1));
        let is_sure = rows.iter().any(|(limit, share)| *limit == expected && *share >= 0.5);
        let second = rows.get(1).copied().filter(|(_, share)| *share > 0.0);
        match rows.first() {
            Some(&(first, share)) if !is_sure && share > 0.0 => Self { first, share, second },
            _ => Self { first: expected, share: 1.0, second: None },
        }
    }

    pub(super) fn words(&self) -> String {
        let first = self.first.words();
        match self.second {
            None => format!("{first} stops her"),
            Some((second, share)) => format!(
                "what stops her is not sure: {first} in {} of cases, {} in {}",
                percent(self.share),
                second.words(),
                percent(share)
            ),
        }
    }
}

/// What she makes at a throttle position, after a blank.
fn at_throttle(throttle: f64, study: &Study, paper: &Paper) -> String {
    let Some(row) = study.throttles.iter().find(|row| is_near(row.throttle, throttle)) else {
        return format!(" At {} throttle she makes no way.", percent(throttle));
    };
    let said =
        |figure: StateFigure| paper.quantity(row.figures[figure as usize].value, figure.figure().quantity);
    format!(
        " At {} throttle she makes {} at {}, with {} and {} out of the bank, {}.",
        percent(throttle),
        said(StateFigure::Speed),
        said(StateFigure::ShaftSpeed),
        said(StateFigure::BankPower),
        said(StateFigure::BankCurrent),
        said(StateFigure::EnergyPerMile),
    )
}

/// What a touch may do where the bank stands high.
pub fn high_voltage(volts: f64, paper: &Paper) -> String {
    format!(
        "Fully charged this bank stands at {}. Above 60 V direct current a touch can kill, and an arc does not go out by \
         itself. Local codes, the makers' instructions and licensed practice go before anything said here.",
        paper.quantity(volts, Quantity::Voltage)
    )
}

/// What a dash among the limits says; empty where there is none.
pub fn never(study: &Study) -> &'static str {
    if study.limits.iter().any(|row| row.alone_m_s.is_none()) {
        "-: by itself it never stops her."
    } else {
        ""
    }
}

/// Why she makes no way at some throttle positions; empty where she makes way at all.
pub fn without_way(study: &Study) -> String {
    let said = study.throttles_without_way.iter();
    let said = said.map(|(throttle, why)| format!("At {} throttle: {why}.", percent(*throttle)));
    said.collect::<Vec<String>>().join(" ")
}

/// Where each watt goes, as bars.
pub fn ladder(study: &Study, paper: &Paper) -> String {
    const LONGEST_BAR: f64 = 26.0;
    const LEAST_W: f64 = 0.5;
    let total = study.ladder.cells_w;
    let watts = |power_w: f64| format!("{} W", format_number(power_w, 0));
    let mut out = format!("  {:<36} {:>8}\n", "from the cells", watts(total));
    for step in study.ladder.steps().iter().filter(|step| step.power_w.abs() >= LEAST_W) {
        let length = (step.power_w.abs() / total * LONGEST_BAR).round() as usize;
        let (mark, ink) = match step.end {
            WattEnd::Lost => ("/", Ink::Faint),
            WattEnd::Growth | WattEnd::Water => ("#", Ink::Passes),
        };
        out += &format!(
            "  {:<36} {:>8} {:>4.0} % {}\n",
            step.word.words,
            watts(step.power_w),
            100.0 * step.power_w / total,
            paper.ink(ink, &mark.repeat(length))
        );
    }
    let mut marks = "/ lost on the way, # spent on moving her".to_owned();
    let bank_w = study.ladder.cells_w - study.ladder.bank_loss_w;
    let middle_w = study.at_full(StateFigure::BankPower).value;
    // Middles of samples do not add up, so that the lines are those of one boat.
    if (bank_w / middle_w - 1.0).abs() > 0.03 {
        marks += &format!(
            ". Of one boat, every unsure input at its usual value, so that the lines add up: {} out of her bank, where the middle of \
             all samples is {}.",
            paper.quantity(bank_w, Quantity::Power),
            paper.quantity(middle_w, Quantity::Power)
        );
    }
    out + &paper.wrap(&marks, 2)
}

/// What the rival methods for the hull's waves give; `None` for a towed hull.
pub fn second_opinions(study: &Study, paper: &Paper) -> Option<String> {
    let rivals = study.second_opinions.iter().map(|rival| {
        format!("{} by {}", paper.decimals(rival.speed_m_s, Quantity::Speed, 1), rival.method.words())
    });
    let said: Vec<String> = rivals.collect();
    (!said.is_empty()).then(|| format!("At full throttle {}.", said.join(", ")))
}

/// What makes the top speed unsure, and what would tell it better.
pub fn width_of_speed(study: &Study) -> Option<String> {
    let first = study.width_of_speed.first()?;
    let parts = study.width_of_speed.iter().take(4);
    let parts: Vec<String> =
        parts.map(|width| format!("{} {}", width.input.words(), percent(width.share))).collect();
    Some(format!("{}. {}", parts.join(", "), first.input.how_to_know_better()))
}

/// What would stop her next.
pub fn next_limit(study: &Study) -> String {
    study.answers.full.next.map_or_else(String::new, |next| format!("next {}", next.limit.words()))
}

/// What half of the throttle costs.
pub fn eased(study: &Study, paper: &Paper) -> String {
    let half = study.throttles.iter().find(|row| is_near(row.throttle, 0.5));
    half.map_or_else(String::new, |row| {
        let speed = row.figures[StateFigure::Speed as usize].value;
        let power = row.figures[StateFigure::BankPower as usize].value;
        let speed = paper.decimals(speed, Quantity::Speed, 1);
        format!("half of it: {speed} for {}", paper.quantity(power, Quantity::Power))
    })
}

/// The share of the bank's watts that moves her.
pub fn reaches_water(study: &Study) -> String {
    let steps = study.ladder.steps();
    let water: f64 = steps.iter().filter(|step| step.end.reaches_water()).map(|step| step.power_w).sum();
    format!("{} reaches the water", percent(water / study.ladder.cells_w))
}

/// The inputs that make the top speed most unsure.
pub fn widest(study: &Study) -> String {
    let widths = study.width_of_speed.iter().take(3);
    widths.map(|width| width.input.words()).collect::<Vec<_>>().join(", ")
}
