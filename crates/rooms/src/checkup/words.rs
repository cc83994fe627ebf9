//! What check-ups say, in sentences. Not for: figures.

use wakewright_core::upkeep::{Found, Listed, NoTrend, PartRow, Reached, Stage, UpkeepStudy};
use wakewright_units::format_number;

use crate::sentence::counted;
use crate::text::{Finding, Paper};

/// An item of the list in words.
pub(super) struct Line {
    /// The words.
    pub text: String,
    /// It is due.
    pub is_due: bool,
}

/// The list by its stages; stages without an item are left out.
pub(super) fn stages(study: &UpkeepStudy) -> Vec<(&'static str, Vec<Line>)> {
    let of = |stage: Stage| {
        let items = study.asked.list.iter().filter(move |listed| listed.item.stage == stage);
        items.map(|listed| line(listed, study)).collect::<Vec<_>>()
    };
    let all = Stage::ALL.into_iter().map(|stage| (stage.words(), of(stage)));
    all.filter(|(_, lines)| !lines.is_empty()).collect()
}

fn line(listed: &Listed, study: &UpkeepStudy) -> Line {
    let is_due = listed.is_due(study.asked.today);
    let looked = match (listed.last, listed.due()) {
        (Some(look), Some(due)) => {
            let when = if is_due { format!("due since {due}") } else { format!("due {due}") };
            let note = if listed.note.is_empty() {
                String::new()
            } else {
                format!(" ({})", listed.note.replace('\n', " "))
            };
            format!("{} on {}{note}; {when}", capital(look.found.words()), look.day)
        }
        _ => "Never looked at".to_owned(),
    };
    Line {
        text: format!(
            "{} [{}: {}] {looked}.",
            listed.item.what,
            listed.item.key,
            listed.item.standing.words()
        ),
        is_due,
    }
}

fn capital(words: &str) -> String {
    crate::sentence::capitalised(words)
}

fn percent(share: f64) -> String {
    format!("{} %", format_number(100.0 * share, 0))
}

/// The finding.
pub(super) fn finding(name: &str, study: &UpkeepStudy, _: &Paper) -> Finding {
    let list = &study.asked.list;
    let due = list.iter().filter(|listed| listed.is_due(study.asked.today)).count();
    let of =
        |found: Found| list.iter().filter(move |listed| listed.last.is_some_and(|look| look.found == found));
    let (act, watch) = (of(Found::ActNow).count(), of(Found::Watch).count());
    let last = list.iter().filter_map(|listed| listed.last).map(|look| look.day).max();
    let beyond: Vec<&str> =
        study.values.iter().filter(|row| row.is_beyond()).map(|row| row.measured.what).collect();
    let sentence = match last {
        None => format!("No check-up of {name} is kept: all {} items of her list are due.", list.len()),
        Some(day) => {
            let found = match (act, watch) {
                (0, 0) => "nothing to act on".to_owned(),
                (0, watch) => format!("{} to watch", counted(watch, "item", "items")),
                (act, 0) => format!("{} to act on now", counted(act, "item", "items")),
                (act, watch) => {
                    format!("{} to act on now and {watch} to watch", counted(act, "item", "items"))
                }
            };
            let due = match due {
                0 => "nothing is due".to_owned(),
                1 => "one is due".to_owned(),
                due => format!("{due} are due"),
            };
            format!("{name} was looked over last on {day}: {found}, {due} of {}.", list.len())
        }
    };
    let mut further: Vec<String> = Vec::new();
    if act > 0 {
        let which: Vec<&str> = of(Found::ActNow).map(|listed| listed.item.key).collect();
        further.push(format!("To act on: {}.", which.join(", ").replace('_', " ")));
    }
    if !beyond.is_empty() {
        further.push(format!("Beyond the limit of the list: {}.", beyond.join(", ")));
    }
    further.extend(bank(study));
    further.extend(unlike(study));
    Finding {
        sentence,
        binding: if act > 0 { "to act on now".to_owned() } else { String::new() },
        further: further.join(" "),
        fails: act > 0,
        ..Finding::default()
    }
}

/// What the tests of the bank say.
fn bank(study: &UpkeepStudy) -> Vec<String> {
    let Some(now) = study.capacity_now() else {
        return if study.asked.checkups > 0 {
            let of = if study.parts.is_empty() { "the bank" } else { "the bank as a whole" };
            vec![format!("No test of {of} is kept.")]
        } else {
            Vec::new()
        };
    };
    let mut said = vec![format!(
        "Her bank holds {} of what stands on it ({} to {}, four times in five).",
        percent(now.value),
        percent(now.p10),
        percent(now.p90)
    )];
    let line = match study.fade {
        Ok(line) => line,
        Err(NoTrend::One) => {
            said.push(
                "One test shows where it stands, not where it goes: there is no trend, and no date is told."
                    .to_owned(),
            );
            said.extend(trip_now(study));
            return said;
        }
        Err(NoTrend::OneDay | NoTrend::Nothing) => {
            said.push("Its tests are of one day: there is no trend, and no date is told.".to_owned());
            said.extend(trip_now(study));
            return said;
        }
    };
    let smallest = percent(line.smallest_change());
    let fall = line.per_year();
    said.push(if line.shows_change() && fall.value < 0.0 {
        format!(
            "It loses {} of the label a year ({} to {}).",
            tenths(-fall.value),
            tenths(-fall.p90),
            tenths(-fall.p10)
        )
    } else if line.shows_change() {
        format!("Its tests rise by {} a year, which no bank does: look at meter, temperature and how full it began.", tenths(fall.value))
    } else {
        format!("Its {} tests show no loss: less than {smallest} from the first to the last they would not show.", line.readings)
    });
    if line.scatter > 1.0 {
        said.push(format!(
            "They scatter {} times as much as their errors say; the bands are widened by that.",
            format_number(line.scatter, 1)
        ));
    }
    said.extend(
        study.worn.map(|reached| {
            when(&format!("It is down to {}", percent(study.asked.worn_share)), reached, study)
        }),
    );
    said.extend(study.trip.map(|reached| when("Too little for the longest trip", reached, study)));
    said
}

/// Packs, or groups, of which one holds less than another by more than their tests err.
fn unlike(study: &UpkeepStudy) -> Option<String> {
    let today = study.asked.today;
    let of = |word: &'static str| study.parts.iter().filter(move |part| part.of.starts_with(word));
    ["pack", "group"].into_iter().find_map(|word| {
        let by_share = |a: &&PartRow, b: &&PartRow| a.on(today).value.total_cmp(&b.on(today).value);
        let (weak, strong) = (of(word).min_by(by_share)?, of(word).max_by(by_share)?);
        let (low, high) = (weak.on(today), strong.on(today));
        (low.p90 < high.p10).then(|| {
            format!(
                "Of her bank {} holds {} and {} {}, more apart than their tests err: in parallel the weak one is full and empty first, and                  its cells age faster.",
                weak.of, percent(low.value), strong.of, percent(high.value)
            )
        })
    })
}

fn tenths(share: f64) -> String {
    format!("{} %", format_number(100.0 * share, 1))
}

/// Where there is no trend: whether the longest trip is in it now.
fn trip_now(study: &UpkeepStudy) -> Option<String> {
    let need = study.asked.trip_share?;
    Some(format!(
        "The longest trip takes {} ({} to {}).",
        percent(need.value),
        percent(need.p10),
        percent(need.p90)
    ))
}

/// A date with its band in words; without a middle where no loss is shown, since the line is then as good as any.
fn when(what: &str, reached: Reached, study: &UpkeepStudy) -> String {
    let month = |day: jiff::civil::Date| format!("{}-{:02}", day.year(), day.month());
    let last = study.bank().map(|bank| bank.last.day);
    let is_past = |day: jiff::civil::Date| last.is_some_and(|last| day <= last);
    let shows = study.fade.is_ok_and(|line| line.shows_change());
    let (Some(from), middle, to) = (reached.from, reached.middle, reached.to) else {
        return format!("{what}: not within 40 years as it goes.");
    };
    match to {
        Some(to) if is_past(to) => return format!("{what}: by now, nine times in ten or more."),
        _ => {}
    }
    let from = if is_past(from) {
        "perhaps by now".to_owned()
    } else {
        format!("not before {}, nine times in ten", month(from))
    };
    let to = to.map_or_else(
        || "the later end is open".to_owned(),
        |to| format!("nine times in ten by {}", month(to)),
    );
    match middle {
        Some(middle) if is_past(middle) => format!("{what}: more likely than not by now; {to}."),
        Some(middle) if shows => format!("{what}: about {}; {from}; {to}.", month(middle)),
        _ => format!("{what}: these tests do not tell when; {from}; {to}."),
    }
}
