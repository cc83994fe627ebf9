//! The rules applied to runs and fuses. Not for: switches, pre-charge and decisions (`judge_parts`).

use super::conductor::{allowed_a, run_inductance_h, withstands_a2s};
use super::fault::FuseFaces;
use super::harness::{Cable, Fuse, Service};
use super::network::warm_ohm;
use super::propose::fits;
use super::protection::{FIFTY_V, largest_rating_a, longest_unprotected_m};
use super::rule::{Judged, RuleKind, Verdict};
use super::size::Size;
use super::study::{CableRow, Wired};

/// A fuse and what it meets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FuseRow {
    /// Its place in the list.
    pub fuse: usize,
    /// What it meets.
    pub faces: FuseFaces,
}

impl Wired {
    /// Volts by which the rules of 50 V are chosen: where nominal and full charge lie on different sides, the stricter.
    pub(super) fn rule_v(&self) -> f64 {
        if self.highest_v >= FIFTY_V { self.nominal_v.max(FIFTY_V) } else { self.nominal_v }
    }

    /// Which side of 50 V, in words, where it is doubtful.
    fn sides(&self) -> String {
        if self.nominal_v < FIFTY_V && self.highest_v >= FIFTY_V {
            format!(
                "Nominal {:.1} V lies below 50 V and full charge, {:.1} V, above: the stricter rule is taken.",
                self.nominal_v, self.highest_v
            )
        } else {
            String::new()
        }
    }

    /// Conductors that count for the bundle: below 50 V the rule sets no limit.
    pub(super) fn together(&self, cable: &Cable) -> u32 {
        if self.rule_v() < FIFTY_V { 2 } else { cable.together }
    }

    fn allowed(&self, cable: &Cable, size: Size) -> Option<f64> {
        allowed_a(size, cable.insulation, cable.air_c, self.together(cable))
    }
}

/// What is told of each cable.
pub(super) fn cable_rows(wired: &Wired) -> Vec<CableRow> {
    let rows = wired.harness.cables.iter().zip(&wired.carried).enumerate();
    rows.map(|(place, (cable, carried))| {
        let drop_of = |size: Size| warm_ohm(cable, size) * carried.hours_a;
        let least = |is_metric: bool| {
            let of_row = |size: &Size| matches!(size, Size::Metric(_)) == is_metric;
            Size::all().filter(of_row).find(|size| fits(wired, place, *size).is_some())
        };
        let needed = [least(true), least(false)];
        let drop_v = cable.size.map(drop_of).or_else(|| Some(cable.loop_ohm? * carried.hours_a));
        let drop_v = drop_v.filter(|_| carried.is_known);
        CableRow {
            cable: place,
            carried: *carried,
            allowed_a: cable.size.and_then(|size| wired.allowed(cable, size)),
            needed,
            drop_v,
            drop_share: drop_v.map(|volts| volts / wired.nominal_v),
            heat_w: drop_v.map(|volts| volts * carried.hours_a),
        }
    })
    .collect()
}

/// Every rule on runs and fuses.
pub(super) fn judge_runs(wired: &Wired, cables: &[CableRow], fuses: &[FuseRow]) -> Vec<Judged> {
    let mut rules = Vec::new();
    for row in cables {
        let cable = &wired.harness.cables[row.cable];
        rules.extend(of_cable(wired, row, cable));
    }
    for row in fuses {
        let fuse = &wired.harness.fuses[row.fuse];
        rules.extend(of_fuse(wired, fuse, &cables[fuse.cable], row.faces));
    }
    rules.extend(selective(wired));
    rules
}

fn of_cable(wired: &Wired, row: &CableRow, cable: &Cable) -> Vec<Judged> {
    let carries = row.carried.worst_hours_a();
    let mut ampacity =
        Judged::held(RuleKind::Ampacity, &cable.name, carries, row.allowed_a, |found, limit| found <= limit);
    ampacity.note = wired.sides();
    if !row.carried.is_known {
        ampacity.note += NO_LOAD;
    }
    if row.allowed_a.is_none()
        && let Some(needed) = row.needed[0]
    {
        ampacity.note = format!("{} would do.", needed.words());
    }
    if row.carried.one_lost_a > row.carried.hours_a * 1.001 && row.carried.one_lost_a > 0.0 {
        ampacity.note += " With one pack lost.";
    }
    let limit = Some(cable.service.drop_limit() * wired.nominal_v);
    let known = cable.size.is_some() || cable.loop_ohm.is_some();
    let mut drop =
        Judged::held(RuleKind::Drop, &cable.name, row.drop_v.filter(|_| known), limit, |found, limit| {
            found <= limit
        });
    if !row.carried.is_known {
        NO_LOAD.clone_into(&mut drop.note);
    }
    let mut rules = vec![ampacity, drop];
    if cable.service != Service::Phase {
        rules.push(fused(wired, row));
    }
    rules
}

/// Protected at its source: by its own fuse, or by those before it where they fit its conductor.
fn fused(wired: &Wired, row: &CableRow) -> Judged {
    let (harness, network) = (&wired.harness, &wired.network);
    let own = harness.fuses_of(row.cable).next().is_some();
    let from = network.runs.iter().filter(|run| run.cable == row.cable).map(|run| run.from).next();
    let before: Option<f64> = network
        .runs
        .iter()
        .filter(|run| Some(run.to) == from)
        .map(|run| harness.fuses_of(run.cable).map(|fuse| fuse.rating_a).reduce(f64::min))
        .sum();
    let is_at_pack = from.is_none_or(|from| from <= network.packs);
    let holds = match (own, before.filter(|_| !is_at_pack && before != Some(0.0)), row.allowed_a) {
        (true, ..) => Some(true),
        (false, Some(before), Some(allowed)) => Some(before <= largest_rating_a(allowed, wired.rule_v())),
        (false, Some(_), None) => None,
        (false, None, _) => {
            if harness.is_assumed {
                None
            } else {
                Some(false)
            }
        }
    };
    let name = &harness.cables[row.cable].name;
    Judged {
        kind: RuleKind::Fused,
        part: name.clone(),
        verdict: Verdict::of(holds),
        found: None,
        limit: None,
        note: String::new(),
    }
}

fn of_fuse(wired: &Wired, fuse: &Fuse, row: &CableRow, faces: FuseFaces) -> Vec<Judged> {
    let cable = &wired.harness.cables[fuse.cable];
    let usual = fuse.class.usual();
    let part = &fuse.name;
    let place = longest_unprotected_m(cable.is_sheathed);
    let mut rating = Judged::held(
        RuleKind::FuseRating,
        part,
        Some(fuse.rating_a),
        row.allowed_a.map(|allowed| largest_rating_a(allowed, wired.rule_v())),
        |found, limit| found <= limit,
    );
    rating.note = wired.sides();
    let carries = row.carried.fuse_load_a();
    let mut load =
        Judged::held(RuleKind::FuseLoad, part, Some(fuse.rating_a), carries, |found, limit| found >= limit);
    if !row.carried.is_known {
        NO_LOAD.clone_into(&mut load.note);
    }
    if let Some(limit_a) = row.carried.pack_limit_a.filter(|limit| row.carried.minutes_a > *limit) {
        load.note = format!(
            "The controller may ask {:.0} A of each pack, whose own protection opens at {limit_a:.0} A: the fuse has to carry no more \
             than that; set the controller to what the packs let out.",
            row.carried.minutes_a
        );
    }
    let direct_v = match fuse.has_alternating_volts_only {
        true => Some(0.0),
        false => fuse.direct_v.or(usual.map(|(volts, _)| volts)),
    };
    let mut volts =
        Judged::held(RuleKind::FuseVolts, part, Some(wired.highest_v), direct_v, |found, limit| {
            found <= limit
        });
    if fuse.has_alternating_volts_only {
        volts.note =
            "Its sheet tells alternating volts alone, which say nothing of direct current.".to_owned();
    } else if fuse.direct_v.is_none() && direct_v.is_some() {
        volts.note = TAKEN_BY_CLASS.to_owned();
    }
    let breaks_a = fuse.breaks_a.or(usual.map(|(_, amperes)| amperes));
    let mut breaks =
        Judged::held(RuleKind::FuseBreaks, part, Some(faces.greatest.value), breaks_a, |found, limit| {
            found <= limit
        });
    // Between the ends of the band neither can be told.
    if let Some(breaks_a) = breaks_a {
        breaks.verdict = match (faces.greatest.p10 > breaks_a, faces.greatest.p90 <= breaks_a) {
            (true, _) => Verdict::Fails,
            (_, true) => Verdict::Passes,
            _ => Verdict::CannotTell,
        };
        breaks.note =
            format!("Band {:.1} to {:.1} kA.", 1e-3 * faces.greatest.p10, 1e-3 * faces.greatest.p90);
        if fuse.breaks_a.is_none() {
            breaks.note += " ";
            breaks.note += TAKEN_BY_CLASS;
        }
    }
    let melts = Judged::held(
        RuleKind::FuseMelts,
        part,
        Some(faces.least_a),
        fuse.melting_current_a,
        |found, limit| found >= limit,
    );
    let survives = cable.size.map(|size| withstands_a2s(size, cable.insulation));
    let through = Judged::held(RuleKind::LetThrough, part, fuse.let_through_a2s, survives, |found, limit| {
        found <= limit
    });
    let constant = Judged::held(
        RuleKind::TimeConstant,
        part,
        time_constant_s(wired, cable, faces),
        fuse.l_over_r_s,
        |found, limit| found <= limit,
    );
    let place = Judged::held(RuleKind::FusePlace, part, fuse.from_source_m, Some(place), |found, limit| {
        found <= limit + 1e-9
    });
    vec![breaks, volts, rating, load, place, melts, through, constant]
}

const NO_LOAD: &str = "What it feeds is not told; give its load.";

const TAKEN_BY_CLASS: &str = "Its sheet is not given: the least that sheets of its class show is taken.";

/// L over R of the fault behind a fuse \[s\]: the run's inductance, and the ohms that volts and current make; the bank's own
/// inductance is not known, so it is the least.
fn time_constant_s(wired: &Wired, cable: &Cable, faces: FuseFaces) -> Option<f64> {
    let radius_m = (cable.size?.area_mm2() / std::f64::consts::PI).sqrt() * 1e-3;
    let henry = run_inductance_h(cable.between_m, radius_m, cable.length_m);
    (faces.greatest.value > 0.0).then(|| henry * faces.greatest.value / wired.full_v)
}

/// Each pair of fuses of which one feeds the other's run.
fn selective(wired: &Wired) -> Vec<Judged> {
    let (harness, network) = (&wired.harness, &wired.network);
    let mut found = Vec::new();
    for downstream in &harness.fuses {
        let from: Vec<usize> =
            network.runs.iter().filter(|run| run.cable == downstream.cable).map(|run| run.from).collect();
        let is_before = |up: &&Fuse| {
            up.cable != downstream.cable && harness.cables[up.cable].service != Service::Charging
        };
        for upstream in harness.fuses.iter().filter(is_before) {
            let feeding = network
                .runs
                .iter()
                .filter(|run| run.cable == upstream.cable && from.contains(&run.to))
                .count();
            if feeding == 0 {
                continue;
            }
            // Alike packs share the fault, so that together they stand as one fuse of their sum.
            let ratio =
                f64::from(u32::try_from(feeding).unwrap_or(1)) * upstream.rating_a / downstream.rating_a;
            let needed =
                (upstream.class == downstream.class).then(|| upstream.class.selective_ratio()).flatten();
            let mut rule = Judged::held(
                RuleKind::Selective,
                &format!("{} before {}", upstream.name, downstream.name),
                Some(ratio),
                needed.map(|(ratio, _)| ratio),
                |found, limit| found >= limit,
            );
            if needed.is_some_and(|(_, is_read)| !is_read) {
                rule.note = "The ratio is from memory.".to_owned();
            }
            found.push(rule);
        }
    }
    found
}
