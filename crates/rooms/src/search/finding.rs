//! What a search found, in sentences: the pick, the trade against the rest of the front, what a workshop
//! has to do, and, when nothing was found, which limit to loosen. Not for: tables.

use wakewright_core::battery::TOUCH_LIMIT_V;
use wakewright_core::boat::Boat;
use wakewright_core::practice::{duty_of_volts, duty_words};
use wakewright_core::propeller::series::TWO_BLADED;
use wakewright_core::propeller::{PropellerChange, REPITCH_AT_MOST_M};
use wakewright_core::search::{Candidate, Cause, Change, Merit, Outcome, Refusals};
use wakewright_core::study::Interval;
use wakewright_units::factors::{KNOT_M_S, NAUTICAL_MILE_M};
use wakewright_units::{Quantity, format_number};

use crate::sentence::capitalised;
use crate::text::Finding;
use crate::text::Paper;

/// The pick, or that there is none.
pub(super) fn search_finding(name: &str, outcome: &Outcome, paper: &Paper) -> Finding {
    let count = |number: u64| format_number(number as f64, 0);
    let Some(picked) = outcome.picked() else {
        return if outcome.candidates.is_empty() {
            nothing_found(name, outcome, paper)
        } else {
            nothing_allowed(name, outcome)
        };
    };
    let counted = format!(
        "Of {} candidates {} keep to every limit, and {} of those stand on the Pareto front.",
        count(outcome.tally.candidates),
        count(outcome.tally.within),
        count(outcome.candidates.len() as u64)
    );
    let cruise = paper.decimals(outcome.search.cruise_m_s()[0], Quantity::Speed, 1);
    let speed = paper.decimals(picked.merits.top_speed_m_s, Quantity::Speed, 1);
    let energy = watt_hours(picked.merits.energy_per_metre_j);
    let binding = change_words(&picked.change, outcome.search.base(), picked, paper);
    let sentence = if picked.change.parts() == 0 {
        format!(
            "Nothing serves {name} better than what she has: {speed}, {energy} Wh/nm at {cruise}{}.",
            duty_of(picked)
        )
    } else {
        let (before_speed, before_energy) =
            outcome.present.as_ref().map_or_else(Default::default, |present| {
                let was = paper.decimals(present.merits.top_speed_m_s, Quantity::Speed, 1);
                (
                    if was == speed { " as now".to_owned() } else { format!(" instead of {was}") },
                    match watt_hours(present.merits.energy_per_metre_j) {
                        was if was == energy => String::new(),
                        was => format!(" instead of {was}"),
                    },
                )
            });
        format!(
            "The pick for {name} is {binding}: {speed}{before_speed} at full throttle, {energy}{before_energy} Wh/nm \
             at {cruise}{}{}.",
            distance_words(outcome, picked, paper),
            duty_of(picked)
        )
    };
    // What she has already brings the same duty.
    let duty = |boat: &Boat| duty_of_volts(boat.bank.highest_charging_v());
    let now = duty(outcome.search.base());
    let sentence = if now.is_some() && duty(&picked.boat) == now {
        sentence.trim_end_matches('.').to_owned() + " (what she has brings it too)."
    } else {
        sentence
    };
    let left_out = outcome
        .present
        .as_ref()
        .and_then(|present| outcome.search.refuses(present))
        .map(|refusal| format!("What she has is no candidate itself: it does not keep to {refusal}."));
    let further = [
        left_out,
        unfolded_sentence(outcome, picked),
        trade_sentence(outcome, paper),
        gain_sentence(outcome, paper),
        workshop_sentence(outcome, paper),
    ];
    let further: Vec<String> = further.into_iter().flatten().chain([counted]).collect();
    Finding { sentence, binding, further: further.join(" "), ..Finding::default() }
}

/// The duty that its volts bring, to stand in the sentence of the pick.
fn duty_of(candidate: &Candidate) -> String {
    duty_words(duty_of_volts(candidate.boat.bank.highest_charging_v()))
}

/// A propeller that no longer folds costs her under sail, which no column of the search shows.
fn unfolded_sentence(outcome: &Outcome, picked: &Candidate) -> Option<String> {
    let is_stowed = |boat: &Boat| boat.propeller.pattern.is_stowed_under_sail();
    (is_stowed(outcome.search.base()) && !is_stowed(&picked.boat)).then(|| {
        "What she has folds or feathers under sail and this does not: look what its drag costs there before it is bought.".to_owned()
    })
}

/// How far she goes with it, where that is another distance than now.
fn distance_words(outcome: &Outcome, picked: &Candidate, paper: &Paper) -> String {
    let now_m = outcome.present.as_ref().and_then(Candidate::distance_m);
    let (Some(after_m), Some(now_m)) = (picked.distance_m(), now_m) else { return String::new() };
    let whole = |distance_m| paper.decimals(distance_m, Quantity::Distance, 0);
    if (after_m / now_m - 1.0).abs() < 0.05 || whole(after_m) == whole(now_m) {
        return String::new();
    }
    format!(" and {} instead of {} to the reserve", whole(after_m), whole(now_m))
}

/// Everything on the front is forbidden: nothing is picked.
fn nothing_allowed(name: &str, outcome: &Outcome) -> Finding {
    let mut topics: Vec<(&'static str, &'static str)> = Vec::new();
    for finding in outcome.candidates.iter().flat_map(|candidate| &candidate.forbidden) {
        if topics.iter().all(|(topic, _)| *topic != finding.topic) {
            topics.push((finding.topic, finding.meaning));
        }
    }
    let words = |of: fn(&(&'static str, &'static str)) -> &'static str| {
        topics.iter().map(of).collect::<Vec<&str>>().join("; ")
    };
    let binding = words(|(topic, _)| topic);
    let sentence = format!(
        "Nothing of the {} on the Pareto front can be recommended for {name}: {binding}.",
        format_number(outcome.candidates.len() as f64, 0)
    );
    Finding {
        sentence,
        binding,
        further: format!("{}.", capitalised(&words(|(_, meaning)| meaning))),
        ..Finding::default()
    }
}

fn watt_hours(energy_per_metre_j: f64) -> String {
    format_number(energy_per_metre_j * NAUTICAL_MILE_M / 3600.0, 0)
}

/// `22 x 13 in`.
#[must_use]
pub fn size_words(boat: &Boat, paper: &Paper) -> String {
    let diameter = paper.quantity(boat.propeller.diameter_m, Quantity::PropellerLength);
    let pitch = paper.quantity(boat.propeller.pitch_m, Quantity::PropellerLength);
    let bare = diameter.rsplit_once(' ').map_or(diameter.as_str(), |(number, _)| number);
    format!("{bare} x {pitch}")
}

/// What is changed, in words that can follow "the pick is".
fn change_words(change: &Change, base: &Boat, candidate: &Candidate, paper: &Paper) -> String {
    let mut parts = Vec::new();
    let propeller = &candidate.boat.propeller;
    match change.propeller {
        PropellerChange::None => {}
        PropellerChange::Repitch => {
            parts.push(format!("her propeller re-pitched to {}", size_words(&candidate.boat, paper)))
        }
        PropellerChange::New => parts.push(format!(
            "a new {}propeller {} with {} blades, area ratio {:.2}",
            if propeller.pattern.is_stowed_under_sail() { "folding " } else { "" },
            size_words(&candidate.boat, paper),
            propeller.blades,
            propeller.area_ratio
        )),
    }
    if change.reduction {
        parts.push(format!("a reduction of {:.2}:1", candidate.boat.drive_line.ratio));
    }
    if change.motor {
        parts.push(format!("a motor of {}", candidate.motor));
    }
    let Some(group) = candidate.boat.bank.groups.first() else { return parts.join(", ") };
    if change.voltage {
        let (cells, packs) = (group.cells_in_series, group.packs_in_parallel);
        let now = base.bank.groups.first().map_or(0, |group| group.cells_in_series);
        parts.push(format!(
            "{packs} pack{} of {cells} cells in series instead of {now}",
            plural(i64::from(packs))
        ));
    } else if change.packs != 0 {
        let number = change.packs.abs();
        parts.push(format!(
            "{number} pack{} {}",
            plural(number),
            if change.packs > 0 { "more" } else { "less" }
        ));
    }
    parts.join(", ")
}

fn plural(number: i64) -> &'static str {
    if number == 1 { "" } else { "s" }
}

/// How sure the gain is.
fn gain_sentence(outcome: &Outcome, paper: &Paper) -> Option<String> {
    let gain = outcome.gain.filter(|_| outcome.picked().is_some_and(|picked| picked.change.parts() > 0))?;
    let more = band(gain.more_speed_m_s, KNOT_M_S, 1);
    let energy = band(gain.more_energy_j_m, 3600.0 / NAUTICAL_MILE_M, 0);
    let speed = paper.band(gain.top_speed_m_s, Quantity::Speed);
    Some(format!(
        "Four times in five she then makes {speed}; against what she does now that is {more} kn and {energy} Wh/nm, with \
         sea, hull and everything else alike."
    ))
}

/// `+0.8 to +1.1`.
fn band(interval: Interval, unit: f64, decimals: usize) -> String {
    let signed = |value: f64| {
        let text = format_number(value.abs() / unit, decimals);
        let is_zero = text.chars().all(|c| matches!(c, '0' | '.'));
        if is_zero { text } else { format!("{}{text}", if value < 0.0 { "−" } else { "+" }) }
    };
    format!("{} to {}", signed(interval.p10), signed(interval.p90))
}

fn superlative(merit: Merit) -> &'static str {
    match merit {
        Merit::Energy => "thriftiest",
        Merit::TopSpeed => "fastest",
        Merit::Mass => "lightest",
        Merit::Cost => "cheapest",
        Merit::TipSpeed => "quietest",
    }
}

/// The difference of a merit in words without sign, and whether `to` is the better; `None` when it is
/// smaller than what counts.
fn difference(
    outcome: &Outcome,
    merit: Merit,
    from: &Candidate,
    to: &Candidate,
    paper: &Paper,
) -> Option<(String, bool)> {
    let change = to.merits.get(merit) - from.merits.get(merit);
    if change.abs() < merit.step() {
        return None;
    }
    let size = change.abs();
    let words = match merit {
        Merit::Energy => format!("{} Wh/nm", watt_hours(size)),
        Merit::TopSpeed => format!(
            "{} of top speed",
            paper.decimals(size, Quantity::Speed, if size < 0.1 * KNOT_M_S { 2 } else { 1 })
        ),
        Merit::Mass => paper.quantity(size, Quantity::Mass),
        Merit::Cost if outcome.search.has_prices() => format!("{} of money", format_number(size, 0)),
        Merit::Cost => format!("{} part{} to change", format_number(size, 0), plural(size.round() as i64)),
        Merit::TipSpeed => format!("{} m/s at the blade tips", format_number(size, 1)),
    };
    Some((words, (change > 0.0) == (merit == Merit::TopSpeed)))
}

/// The place on the front of the candidate that the pick is held against, and in which merit that one is the best: in
/// the one that counts most; when that is the pick itself, in speed or energy.
#[must_use]
pub fn compared_with(outcome: &Outcome) -> Option<(usize, Merit)> {
    let pick = outcome.pick?;
    if pick.position != pick.best_of_first {
        return Some((pick.best_of_first, pick.first));
    }
    let other = if pick.first == Merit::TopSpeed { Merit::Energy } else { Merit::TopSpeed };
    let sign = if other == Merit::TopSpeed { -1.0 } else { 1.0 };
    let value = |place: &usize| sign * outcome.candidates[*place].merits.get(other);
    let best = (0..outcome.candidates.len()).min_by(|a, b| value(a).total_cmp(&value(b)))?;
    Some((best, other))
}

/// What the pick gives away and what it brings against the best in the merit that counts most; when it is
/// that one itself, what the fastest (or thriftiest) would.
fn trade_sentence(outcome: &Outcome, paper: &Paper) -> Option<String> {
    let pick = outcome.pick?;
    let picked = outcome.candidates.get(pick.position)?;
    let (compared, merit) = compared_with(outcome)?;
    let compared = outcome.candidates.get(compared)?;
    let is_best = pick.position == pick.best_of_first;
    let (from, to) = if is_best { (picked, compared) } else { (compared, picked) };
    let which = format!("{}, {:.2}:1", size_words(&compared.boat, paper), compared.boat.drive_line.ratio);
    let (mut better, mut worse) = (Vec::new(), Vec::new());
    for merit in Merit::ALL {
        match difference(outcome, merit, from, to, paper) {
            Some((words, true)) => better.push(words),
            Some((words, false)) => worse.push(words),
            None => {}
        }
    }
    if better.is_empty() && worse.is_empty() {
        return Some(format!(
            "It is the {} of those that no other beats in everything.",
            superlative(pick.first)
        ));
    }
    let nothing =
        |list: Vec<String>| if list.is_empty() { "nothing that counts".to_owned() } else { list.join(", ") };
    let (better, worse) = (nothing(better), nothing(worse));
    Some(if is_best {
        format!(
            "It is the {} of those that no other beats in everything; the {} ({which}) would bring {better} and cost {worse}.",
            superlative(pick.first),
            superlative(merit)
        )
    } else {
        format!(
            "Against the {} of those that no other beats in everything ({which}), it costs {worse} and brings {better}.",
            superlative(merit)
        )
    })
}

fn workshop_sentence(outcome: &Outcome, paper: &Paper) -> Option<String> {
    workshop_words(outcome, outcome.picked()?, paper)
}

/// Re-pitching or a new propeller.
fn workshop_words(outcome: &Outcome, candidate: &Candidate, paper: &Paper) -> Option<String> {
    let (before, after) = (&outcome.search.base().propeller, &candidate.boat.propeller);
    let by = paper.quantity((after.pitch_m - before.pitch_m).abs(), Quantity::PropellerLength);
    let direction = if after.pitch_m > before.pitch_m { "more" } else { "less" };
    match candidate.change.propeller {
        PropellerChange::None => None,
        PropellerChange::Repitch => Some(format!(
            "{by} {direction} of pitch is what a propeller shop can do to the one she has (an inch or two, common practice)."
        )),
        PropellerChange::New => {
            let same_diameter = (after.diameter_m - before.diameter_m).abs() < 1e-6;
            let is_same_kind = after.blades == before.blades && after.pattern == before.pattern;
            let is_beyond = (after.pitch_m - before.pitch_m).abs() > REPITCH_AT_MOST_M;
            Some(if same_diameter && is_same_kind && is_beyond {
                format!(
                    "{by} {direction} of pitch is more than a shop can give the one she has (an inch or two, common practice): \
                     a new propeller."
                )
            } else {
                "That is a new propeller: re-pitching changes the pitch alone, by an inch or two (common practice).".to_owned()
            })
        }
    }
}

/// What a candidate changes, in words that can begin a sentence.
#[must_use]
pub fn candidate_words(outcome: &Outcome, candidate: &Candidate, paper: &Paper) -> String {
    let words = change_words(&candidate.change, outcome.search.base(), candidate, paper);
    if words.is_empty() { "As she is".to_owned() } else { capitalised(&words) }
}

/// What must be known of a candidate before it is ordered: what a shop can do, how far the series holds,
/// what it weighs, whether it can kill. A sentence or more each.
#[must_use]
pub fn candidate_remarks(outcome: &Outcome, candidate: &Candidate, paper: &Paper) -> Vec<String> {
    let mut remarks: Vec<String> = workshop_words(outcome, candidate, paper).into_iter().collect();
    let propeller = &candidate.boat.propeller;
    if candidate.change.propeller == PropellerChange::New && propeller.blades == 2 {
        remarks.push(TWO_BLADED.text());
    }
    if candidate.change.motor {
        remarks.push(
            "The motor is a typical rating from memory: put its plate into her document before one is bought.".to_owned(),
        );
    }
    remarks.extend(mass_words(outcome, candidate, paper));
    remarks.extend(
        candidate.forbidden.iter().map(|finding| format!("Not to be recommended: {}.", finding.meaning)),
    );
    let highest_v = candidate.boat.bank.highest_charging_v();
    if let Some(duty) = duty_of_volts(highest_v) {
        remarks.push(format!(
            "While charging its bank stands at {} at most; {duty}. Local codes, the makers' instructions and licensed practice \
             go before anything said here.",
            paper.quantity(highest_v, Quantity::Voltage)
        ));
    }
    remarks
}

/// What motor and packs weigh more or less than now; `None` where that does not count.
#[must_use]
pub fn mass_words(outcome: &Outcome, candidate: &Candidate, paper: &Paper) -> Option<String> {
    let more_kg = candidate.merits.mass_kg - outcome.present.as_ref()?.merits.mass_kg;
    (more_kg.abs() >= Merit::Mass.step()).then(|| {
        format!(
            "Motor and packs weigh {} {} than now, estimated; that does not yet sink or trim her.",
            paper.quantity(more_kg.abs(), Quantity::Mass),
            if more_kg > 0.0 { "more" } else { "less" }
        )
    })
}

fn nothing_found(name: &str, outcome: &Outcome, paper: &Paper) -> Finding {
    let refusals = outcome.refusals.unwrap_or_default();
    let number = |count: u64| format_number(count as f64, 0);
    let foremost = refusals.foremost();
    let binding = foremost.map_or(String::new(), |cause| cause.words().to_owned());
    let refused = foremost.map_or(0, |cause| refusals.violated[cause as usize]);
    let sentence = format!(
        "None of {} candidates keeps to every limit for {name}; {binding} refuses most, {} of them.",
        number(outcome.tally.candidates),
        number(refused)
    );
    Finding { sentence, binding, further: loosening(&refusals, outcome, paper), ..Finding::default() }
}

/// What the least loosening of one limit would give.
fn loosening(refusals: &Refusals, outcome: &Outcome, paper: &Paper) -> String {
    let Some((cause, share, index)) = refusals.easiest() else {
        return several_to_loosen(refusals, outcome, paper);
    };
    let alone = refusals.alone[cause as usize];
    let boat = outcome.search.boat(index);
    let demands = outcome.search.demands();
    let needed = match cause {
        Cause::Clearance => format!(
            "room for a propeller of {} (with a tenth of that clear all round)",
            paper.quantity(share * demands.largest_diameter_m, Quantity::PropellerLength)
        ),
        Cause::Touch => format!(
            "a bank of {} when full, above 60 V, which has to be allowed for and can kill",
            paper.quantity(share * TOUCH_LIMIT_V, Quantity::Voltage)
        ),
        Cause::Mass => {
            format!("{} of motor and packs", paper.quantity(share * demands.most_mass_kg, Quantity::Mass))
        }
        Cause::Budget => format!("a budget of {}", format_number((share * demands.budget).ceil(), 0)),
        _ => format!(
            "{} % more than {} allows",
            format_number((100.0 * (share - 1.0)).max(0.1), 1),
            cause.words()
        ),
    };
    format!(
        "{} {} by {} alone. {} would let the first of them in: {}, {:.2}:1.",
        format_number(alone as f64, 0),
        if alone == 1 { "fails" } else { "fail" },
        cause.words(),
        capitalised(&needed),
        size_words(&boat, paper),
        boat.drive_line.ratio
    )
}

/// No single limit would do: how far off the closest is.
fn several_to_loosen(refusals: &Refusals, outcome: &Outcome, paper: &Paper) -> String {
    let advice = "ask for a slower cruising speed, which eases them all, or let more parts change.";
    match refusals.closest.filter(|(share, ..)| share.is_finite()) {
        Some((share, index, cause)) => {
            let boat = outcome.search.boat(index);
            format!(
                "No limit by itself lets one in when it is loosened. The closest, {} and {:.2}:1, is {} % beyond {} and beyond \
                 others by less: {advice}",
                size_words(&boat, paper),
                boat.drive_line.ratio,
                format_number(100.0 * (share - 1.0), 0),
                cause.words()
            )
        }
        None => format!("No limit by itself lets one in when it is loosened: {advice}"),
    }
}
