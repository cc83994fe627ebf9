//! The one-line diagram out of the network: the packs' busbar is the rail, everything hangs on it.
//! Not for: drawing it.

use wakewright_core::wiring::{
    BUSBAR, CONTROLLER, Judged, MOTOR, PACK, RuleKind, Service, Verdict, WiringStudy,
};
use wakewright_picture::{LineEnd, LineMark, LineRun, OneLine};
use wakewright_units::{Quantity, format_number};

use crate::text::Paper;

pub(super) fn diagram(study: &WiringStudy, paper: &Paper) -> OneLine {
    let rail = rail_of(study);
    let mut runs = Vec::new();
    let mut drawn = vec![false; study.cables.len()];
    hang(study, &rail, 0, &mut drawn, &mut runs, paper);
    // Runs of other packs' own, and what hangs on nothing yet.
    for (place, _) in drawn.iter().enumerate().filter(|(_, is_drawn)| !**is_drawn) {
        runs.push(run_of(study, place, &study.wired.harness.cables[place].to.clone(), 0, paper));
    }
    let fails = study.count(Verdict::Fails);
    OneLine {
        title: "One-line diagram of the drive's wiring".to_owned(),
        description: format!("{} runs on the {rail}; {fails} rules fail.", runs.len()),
        rail,
        runs,
    }
}

/// Where the packs meet.
fn rail_of(study: &WiringStudy) -> String {
    let cables = &study.wired.harness.cables;
    let has = |name: &str| cables.iter().any(|cable| cable.from == name || cable.to == name);
    if has(BUSBAR) {
        return BUSBAR.to_owned();
    }
    cables
        .iter()
        .find(|cable| cable.from.starts_with(PACK))
        .map_or_else(|| BUSBAR.to_owned(), |cable| cable.to.clone())
}

/// The runs at `place` and all behind them; those of the packs first.
fn hang(
    study: &WiringStudy,
    place: &str,
    depth: usize,
    drawn: &mut [bool],
    runs: &mut Vec<LineRun>,
    paper: &Paper,
) {
    let cables = &study.wired.harness.cables;
    let mut here: Vec<usize> = (0..cables.len())
        .filter(|k| !drawn[*k] && (cables[*k].from == place || cables[*k].to == place))
        .collect();
    here.sort_by_key(|k| !cables[*k].from.starts_with(PACK));
    for cable in here {
        if drawn[cable] {
            continue;
        }
        drawn[cable] = true;
        let other = if cables[cable].from == place { &cables[cable].to } else { &cables[cable].from };
        runs.push(run_of(study, cable, other, depth, paper));
        if !other.starts_with(PACK) {
            hang(study, other, depth + 1, drawn, runs, paper);
        }
    }
}

fn run_of(study: &WiringStudy, place: usize, end: &str, depth: usize, paper: &Paper) -> LineRun {
    let (harness, row) = (&study.wired.harness, &study.cables[place]);
    let cable = &harness.cables[place];
    let fails = |part: &str| {
        study.rules.iter().any(|rule| rule.part == part && rule.verdict == Verdict::Fails && is_of_part(rule))
    };
    let fuses = harness.fuses_of(place).map(|fuse| (LineMark::Fuse, fails(&fuse.name)));
    let switches = harness.contactors.iter().filter(|contactor| contactor.cable == place).map(|contactor| {
        let mark = if contactor.is_by_hand { LineMark::Switch } else { LineMark::Contactor };
        (mark, fails(&contactor.name))
    });
    let amperes = |a: f64| paper.quantity(a, Quantity::Current);
    let size = cable.size.map_or_else(|| "size not given".to_owned(), |size| size.words());
    let hours = row.carried.worst_hours_a();
    let mut below = hours.map_or_else(|| "load not told".to_owned(), |a| format!("{} for hours", amperes(a)));
    if let Some(allowed) = row.allowed_a {
        below += &format!(" of {}", amperes(allowed));
    }
    for (row, fuse) in
        study.fuses.iter().map(|row| (row, &harness.fuses[row.fuse])).filter(|(_, fuse)| fuse.cable == place)
    {
        below += &format!(
            "; {} {}, faces {} kA",
            fuse.name,
            amperes(fuse.rating_a),
            format_number(row.faces.greatest.value / 1000.0, 1)
        );
    }
    let packs = study.wired.packs_ohm.len();
    let is_of_all = cable.from == PACK;
    LineRun {
        depth,
        end: end_of(end, cable.service),
        end_label: if is_of_all && packs > 1 { format!("{packs} packs, each so") } else { end.to_owned() },
        marks: fuses.chain(switches).collect(),
        above: format!("{}: {size}, {}", cable.name, paper.quantity(cable.length_m, Quantity::Length)),
        below,
        fails: study.rules.iter().any(|rule| rule.part == cable.name && rule.verdict == Verdict::Fails),
    }
}

/// Rules whose part is the fuse or switch itself.
fn is_of_part(rule: &Judged) -> bool {
    !matches!(rule.kind, RuleKind::Ampacity | RuleKind::Drop | RuleKind::Fused)
}

fn end_of(name: &str, service: Service) -> LineEnd {
    match (name, service) {
        (CONTROLLER, _) => LineEnd::Converter,
        (MOTOR, _) => LineEnd::Motor,
        (name, _) if name.starts_with(PACK) => LineEnd::Battery,
        (BUSBAR, _) => LineEnd::Joint,
        _ => LineEnd::Box,
    }
}
