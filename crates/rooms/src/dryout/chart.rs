//! The tide that is advised as a picture: where she touches, lies dry and floats, and the waters that may take her off.

use wakewright_core::drying_out::Visit;
use wakewright_picture::{Label, MarkedPoint, Plot, Reference, ReferenceAt, Region, RegionFill, Tone};

use super::Found;
use crate::text::percent;
use crate::tide::chart::{curve, hours};

const THREE_HOURS_S: f64 = 3.0 * 3600.0;

/// The picture of one tide.
pub fn picture(found: &Found, visit: &Visit, description: String) -> Plot {
    let known = &found.known;
    let from_s = visit.standing.high_before.unix_s - THREE_HOURS_S;
    let last = visit.ways_off.get(2).or(visit.ways_off.last());
    let to_s = last.map_or(visit.standing.high_after.unix_s, |way| way.high.unix_s) + THREE_HOURS_S;
    let mut plot = curve(known, (from_s, to_s), "The tide that is advised", description);
    let berth = &found.case.berth;
    let (floats_m, work_m) = (berth.floats_at_m(), berth.ground_m + berth.work_above_keel_m);
    let level = |y: f64, text: String| Reference { label: Label::new(&text, &text), at: ReferenceAt::Y(y) };
    plot.references = vec![level(floats_m, format!("she floats above {floats_m:.2} m"))];
    if berth.work_above_keel_m > 0.0 {
        plot.references.push(level(work_m, format!("the work, {work_m:.2} m")));
    }
    plot.references.push(level(berth.ground_m, format!("the ground, {:.2} m", berth.ground_m)));
    let point = |at: Option<f64>, words: &str, tone: Tone| {
        let at = at?;
        let label = format!("{words} {}", known.local(at).strftime("%H:%M"));
        Some(MarkedPoint {
            label: Label::new(&label, &label),
            x: hours(known, at),
            y: floats_m,
            tone,
            ..MarkedPoint::default()
        })
    };
    plot.points.extend(point(visit.standing.touches.median_s, "touches", Tone::Binds));
    plot.points.extend(point(visit.standing.floats.median_s, "floats", Tone::Passes));
    for way in visit.ways_off.iter().take(3) {
        let label = format!("{:.2} m, floats {}", way.high.height_m, percent(way.floats));
        plot.points.push(MarkedPoint {
            label: Label::new(&label, &percent(way.floats)),
            x: hours(known, way.high.unix_s),
            y: way.high.height_m,
            tone: Tone::Muted,
            ..MarkedPoint::default()
        });
    }
    if let (Some(dry), Some(wet)) = (visit.standing.dry.median_s, visit.standing.wet.median_s) {
        let under = known.curve.iter().filter(|point| (dry..=wet).contains(&point.0));
        let mut outline: Vec<(f64, f64)> =
            under.map(|(at, height_m)| (hours(known, *at), *height_m)).collect();
        outline.insert(0, (hours(known, dry), work_m));
        outline.push((hours(known, wet), work_m));
        plot.regions.push(Region { label: "dry".into(), outline, fill: RegionFill::Hatched });
    }
    plot
}
