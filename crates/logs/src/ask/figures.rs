//! The figures that an answer would give, in words: "then she took 3.0 kW". Not for: the questions.

use wakewright_units::factors::{KNOT_M_S, RPM_REV_S};

use crate::battery::most_power;
use crate::checks::median;
use crate::clock::{date_time_text, time_of_day_text};
use crate::log::{Log, TimeBase};
use crate::measured::Measured as M;

/// The figures that an answer may change.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Figures {
    power_w: Option<f64>,
    speed_m_s: Option<f64>,
    turning_rev_s: Option<f64>,
    depth_m: Option<f64>,
    volts: Option<f64>,
    amps: Option<f64>,
    wind_m_s: Option<f64>,
    charge: Option<f64>,
    span_s: Option<(f64, f64)>,
    base: Option<TimeBase>,
    course_rad: Option<f64>,
}

impl Figures {
    pub(super) fn without_span(self) -> Self {
        Self { span_s: None, ..self }
    }
}

pub(super) fn figures(log: &Log) -> Figures {
    let greater_half = |measured: M| {
        let channel = log.of(measured).max_by_key(|c| c.count)?;
        let mut values = channel.values.clone();
        values.sort_unstable_by(|a, b| b.abs().total_cmp(&a.abs()));
        values.truncate(values.len().div_ceil(2));
        median(&values)
    };
    let most = |measured: M| log.of(measured).max_by_key(|c| c.count);
    Figures {
        power_w: most_power(most(M::Voltage), most(M::Current), most(M::Power)),
        speed_m_s: greater_half(M::SpeedOverGround).or_else(|| greater_half(M::SpeedThroughWater)),
        turning_rev_s: greater_half(M::ShaftSpeed).or_else(|| greater_half(M::MotorSpeed)),
        depth_m: greater_half(M::DepthBelowTransducer).or_else(|| greater_half(M::DepthBelowSurface)),
        volts: greater_half(M::Voltage),
        amps: greater_half(M::Current),
        wind_m_s: greater_half(M::ApparentWindSpeed).or_else(|| greater_half(M::TrueWindSpeed)),
        charge: greater_half(M::StateOfCharge),
        span_s: log.span_s(),
        base: Some(log.time_base),
        course_rad: greater_half(M::CourseOverGround)
            .or_else(|| greater_half(M::HeadingTrue))
            .or_else(|| greater_half(M::HeadingMagnetic)),
    }
}

/// Figures that differ among answers, in words: one text for each.
pub(super) fn gives(all: &[Figures]) -> Option<Vec<String>> {
    const ALIKE: f64 = 0.01;
    type Part = (fn(&Figures) -> Option<f64>, fn(f64) -> String, &'static str);
    let parts: [Part; 9] = [
        (|f| f.power_w, power_text, "no power is known"),
        (|f| f.speed_m_s, |v| format!("she made {:.1} kn", v / KNOT_M_S), "no speed is known"),
        (|f| f.turning_rev_s, |v| format!("it turned {:.0} rpm", v / RPM_REV_S), "nothing turns"),
        (|f| f.volts, |v| format!("the bank had {v:.1} V"), "no volts are known"),
        (|f| f.amps, |v| format!("it gave {v:.1} A"), "no amps are known"),
        (|f| f.depth_m, |v| format!("the water was {v:.1} m deep"), "no depth is known"),
        (|f| f.wind_m_s, |v| format!("it blew {:.0} kn", v / KNOT_M_S), "no wind is known"),
        (|f| f.charge, |v| format!("the bank was {:.0} % full", v * 100.0), "no charge is known"),
        (|f| f.course_rad, |v| format!("she steered {:.0}°", v.to_degrees()), "no course is known"),
    ];
    let mut texts: Vec<Vec<String>> = vec![Vec::new(); all.len()];
    for (of, write, none) in parts {
        let values: Vec<Option<f64>> = all.iter().map(of).collect();
        let known: Vec<f64> = values.iter().filter_map(|v| *v).collect();
        let (low, high) =
            known.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(*v), h.max(*v)));
        let differs =
            known.len() < values.len() && !known.is_empty() || high - low > ALIKE * high.abs().max(low.abs());
        // One or two figures tell enough.
        if differs && texts[0].len() < 2 {
            for (text, value) in texts.iter_mut().zip(&values) {
                text.push(value.map_or_else(|| none.to_owned(), write));
            }
        }
    }
    let spans: Vec<Option<String>> = all.iter().map(|f| Some(span_text(f.base?, f.span_s?))).collect();
    if spans.windows(2).any(|two| two[0] != two[1]) {
        for (text, span) in texts.iter_mut().zip(spans) {
            text.push(span.unwrap_or_else(|| "no times are known".to_owned()));
        }
    }
    texts
        .iter()
        .any(|text| !text.is_empty())
        .then(|| texts.iter().map(|text| format!("then {}", text.join(" and "))).collect())
}

pub(super) fn power_text(watts: f64) -> String {
    let verb = if watts < 0.0 { "the bank was charged with" } else { "she took" };
    if watts.abs() < 100.0 {
        format!("{verb} {:.1} W", watts.abs())
    } else {
        format!("{verb} {:.2} kW", watts.abs() / 1e3)
    }
}

fn span_text(base: TimeBase, (from_s, to_s): (f64, f64)) -> String {
    let lasts = to_s - from_s;
    let how_long = if lasts < 100.0 {
        format!("{lasts:.0} s")
    } else if lasts < 2.0 * 3600.0 {
        format!("{:.0} min", lasts / 60.0)
    } else {
        format!("{:.1} h", lasts / 3600.0)
    };
    match base {
        TimeBase::Utc => format!("the log begins {} and lasts {how_long}", date_time_text(from_s)),
        TimeBase::TimeOfDay => format!("the log begins at {} and lasts {how_long}", time_of_day_text(from_s)),
        _ => format!("the log lasts {how_long}"),
    }
}
