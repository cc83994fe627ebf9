//! `trial import` and `trial runs` as text. Not for: the sentences (`crate::trial`).

use wakewright_core::notice::Severity;
use wakewright_units::{Quantity, format_number, unit_for};

use crate::text::Finding;
use crate::text::finding_text;
use crate::text::{Align, Table};
use crate::text::{Ink, Paper};
use crate::trial::{
    ChannelFacts, DayFacts, LogFacts, LogRemark, RunFacts, TrialFacts, duration_text, flag_words,
};

/// Messages that are named.
const MESSAGES_SHOWN: usize = 12;

/// Logs that were read, one after the other.
#[must_use]
pub fn import_text(logs: &[LogFacts], paper: &Paper) -> String {
    let texts: Vec<String> = logs.iter().map(|log| log_text(log, paper)).collect();
    texts.join("\n")
}

fn log_text(log: &LogFacts, paper: &Paper) -> String {
    let finding = Finding {
        sentence: log.sentence(),
        binding: String::new(),
        figure: String::new(),
        further: String::new(),
    };
    let mut out = finding_text(&finding, paper);
    if log.failure.is_some() {
        return out;
    }
    if let Some(table) = &log.table {
        out += if table.is_confirmed {
            "\nColumns, as they were given\n"
        } else {
            "\nColumns, as they are taken until said otherwise\n"
        };
        let mut columns =
            Table::new(&[("column", Align::Left), ("taken for", Align::Left), ("first rows", Align::Left)]);
        for (i, (head, taken_for)) in table.columns.iter().enumerate() {
            let cells: Vec<&str> =
                table.preview.iter().take(3).filter_map(|row| row.get(i)).map(String::as_str).collect();
            let is_used = !taken_for.is_empty();
            let ink = if is_used { Ink::Plain } else { Ink::Faint };
            let meaning = if is_used { taken_for.clone() } else { "not used".to_owned() };
            columns.row(ink, vec![head.clone(), meaning, cells.join(", ")]);
        }
        out += &columns.render(paper, 2);
    }
    if !log.channels.is_empty() {
        out += "\nWhat was measured\n";
        out += &channels_table(&log.channels, paper).render(paper, 0);
    }
    if !log.bad.is_empty() {
        out += "\nWhat could not be used\n";
        let mut table = Table::new(&[("count", Align::Right), ("what", Align::Left), ("lines", Align::Left)]);
        for bad in &log.bad {
            table.row(
                Ink::Plain,
                vec![count_text(bad.count), bad.label.to_owned(), lines_text(&bad.first_lines, bad.count)],
            );
        }
        out += &table.render(paper, 2);
    }
    out += &remarks_text(&log.remarks, paper);
    if !log.messages.is_empty() && log.table.is_none() {
        let mut messages = log.messages.clone();
        messages.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        let shown: Vec<String> = messages
            .iter()
            .take(MESSAGES_SHOWN)
            .map(|(name, count)| format!("{} {name}", count_text(*count)))
            .collect();
        let more = messages.len().saturating_sub(MESSAGES_SHOWN);
        let rest = if more > 0 { format!(", and {more} more kinds") } else { String::new() };
        out += &format!(
            "\n{}",
            paper.wrap(&format!("In {} lines: {}{rest}.", count_text(log.lines), shown.join(", ")), 0)
        );
    }
    out
}

fn channels_table(channels: &[ChannelFacts], paper: &Paper) -> Table {
    let mut table = Table::new(&[
        ("", Align::Left),
        ("from", Align::Left),
        ("count", Align::Right),
        ("least", Align::Right),
        ("middle", Align::Right),
        ("most", Align::Right),
        ("", Align::Left),
        ("gap", Align::Right),
    ]);
    for channel in channels {
        let unit = unit_for(channel.quantity, paper.units);
        let write = |si: f64| format_number(unit.from_si(si), decimals(channel.quantity));
        let bound = |si: f64| if channel.is_circular { String::new() } else { write(si) };
        table.row(
            Ink::Plain,
            vec![
                channel.label.to_owned(),
                channel.source.clone(),
                count_text(channel.count),
                bound(channel.least),
                write(channel.middle),
                bound(channel.greatest),
                unit.symbol().to_owned(),
                channel.longest_gap_s.map_or_else(|| "-".to_owned(), duration_text),
            ],
        );
    }
    table
}

fn decimals(quantity: Quantity) -> usize {
    match quantity {
        Quantity::RotationalSpeed | Quantity::Share => 0,
        Quantity::Speed | Quantity::Voltage | Quantity::Power => 2,
        _ => 1,
    }
}

fn remarks_text(remarks: &[LogRemark], paper: &Paper) -> String {
    if remarks.is_empty() {
        return String::new();
    }
    let mut out = "\nTo be looked at\n".to_owned();
    for remark in remarks {
        let (mark, ink) = match remark.severity {
            Severity::Note => ("- ", Ink::Faint),
            Severity::Weak => ("? ", Ink::Strong),
            Severity::Caution => ("!!", Ink::Binds),
        };
        out += &paper.marked(mark, ink, &remark.text);
    }
    out
}

fn count_text(count: u64) -> String {
    format_number(count as f64, 0)
}

fn lines_text(first: &[u64], count: u64) -> String {
    let numbers: Vec<String> = first.iter().map(u64::to_string).collect();
    let more = if count > first.len() as u64 { ", ..." } else { "" };
    format!("{}{more}", numbers.join(", "))
}

/// The runs of a trial with the stream out.
#[must_use]
pub fn runs_text(trial: &TrialFacts, paper: &Paper) -> String {
    let finding = Finding {
        sentence: trial.sentence(paper),
        binding: String::new(),
        figure: String::new(),
        further: trial.further(),
    };
    let mut out = finding_text(&finding, paper);
    if !trial.runs.is_empty() {
        out += "\nSteady runs\n";
        out += &runs_table(&trial.runs, paper).render(paper, 2);
        if trial.runs.iter().any(|run| run.is_short) {
            out += &paper.wrap("s: shorter than three minutes.", 2);
        }
        if trial.runs.iter().any(|run| run.is_shallow) {
            out += &paper.wrap("w: water shallow enough to slow her.", 2);
        }
    }
    if !trial.analysis.pairs.is_empty() {
        out += "\nOpposite pairs, stream out\n";
        out += &pairs_table(trial, paper).render(paper, 2);
    }
    for result in &trial.analysis.alternating {
        let runs: Vec<String> = result.runs.iter().map(|i| (i + 1).to_string()).collect();
        out += &paper.wrap(
            &format!(
                "Runs {} alternate at even steps: mean of means {} through the water.",
                runs.join(", "),
                paper.decimals(result.speed_through_water_m_s, Quantity::Speed, 2)
            ),
            2,
        );
    }
    match &trial.analysis.iterative {
        Some(Ok(solution)) => {
            let speeds: Vec<String> = solution
                .speeds_through_water_m_s
                .chunks(2)
                .map(|two| paper.decimals(two.iter().sum::<f64>() / two.len() as f64, Quantity::Speed, 2))
                .collect();
            let stream = if solution.is_constant_stream { "constant" } else { "tidal" };
            out += &paper.wrap(
                &format!(
                    "One curve of power and a {stream} stream through all pairs give {} through the water; power \
                     rises with speed to the {}th.",
                    speeds.join(", "),
                    format_number(solution.power.exponent, 1)
                ),
                2,
            );
        }
        Some(Err(error)) => out += &paper.wrap(&format!("No curve through all pairs: {error}."), 2),
        None => {}
    }
    out += &remarks_text(&trial.remarks, paper);
    out
}

/// What the day did to each run; empty when nothing is known of it.
#[must_use]
pub fn conditions_text(days: &[DayFacts], paper: &Paper) -> String {
    let known: Vec<usize> =
        (0..4).filter(|part| days.iter().any(|day| day.parts[*part].watts.is_some())).collect();
    let mut out = String::new();
    if !known.is_empty() {
        out += "\nWhat the day added, W\n";
        let heads: Vec<String> = known
            .iter()
            .map(|part| {
                let part = &days[0].parts[*part];
                format!("{}\n{}", part.word, if part.is_taken_off { "taken off" } else { "left in" })
            })
            .collect();
        let mut columns = vec![("run", Align::Right), ("measured", Align::Right)];
        columns.extend(heads.iter().map(|head| (head.as_str(), Align::Right)));
        columns.push(("leaves", Align::Right));
        let mut table = Table::new(&columns);
        let watts = |value: Option<f64>| value.map_or_else(|| "-".to_owned(), |w| format_number(w, 0));
        for day in days {
            let mut row = vec![day.run.to_string(), watts(day.measured_w)];
            row.extend(known.iter().map(|part| watts(day.parts[*part].watts)));
            row.push(watts(day.stated_w));
            table.row(Ink::Plain, row);
        }
        out += &table.render(paper, 2);
    }
    for day in days {
        for flag in &day.flags {
            out += &paper.wrap(&format!("Run {}: {}.", day.run, flag_words(*flag)), 2);
        }
    }
    out
}

fn runs_table(runs: &[RunFacts], paper: &Paper) -> Table {
    let knots = unit_for(Quantity::Speed, paper.units).symbol();
    let ground = format!("ground\n{knots}");
    let water = format!("log\n{knots}");
    let mut table = Table::new(&[
        ("", Align::Right),
        ("from", Align::Left),
        ("for", Align::Right),
        ("course\n°", Align::Right),
        ("rpm", Align::Right),
        (&ground, Align::Right),
        (&water, Align::Right),
        ("V", Align::Right),
        ("A", Align::Right),
        ("kW", Align::Right),
        ("", Align::Left),
    ]);
    let number = |value: Option<f64>, scale: f64, decimals: usize| {
        value.map_or_else(|| "-".to_owned(), |v| format_number(v * scale, decimals))
    };
    let speed = |value: Option<f64>| {
        let unit = unit_for(Quantity::Speed, paper.units);
        value.map_or_else(|| "-".to_owned(), |v| format_number(unit.from_si(v), 2))
    };
    for (i, facts) in runs.iter().enumerate() {
        let run = &facts.run;
        let marks = [(facts.is_short, "s"), (facts.is_shallow, "w")];
        let marks: Vec<&str> = marks.iter().filter(|(holds, _)| *holds).map(|(_, mark)| *mark).collect();
        table.row(
            Ink::Plain,
            vec![
                (i + 1).to_string(),
                facts.from.clone(),
                duration_text(run.duration_s),
                number(run.course_rad.map(f64::to_degrees), 1.0, 0),
                number(run.shaft_speed_rev_s.or(run.motor_speed_rev_s), 60.0, 0),
                speed(run.speed_over_ground_m_s),
                speed(run.speed_through_water_m_s),
                number(run.voltage_v, 1.0, 1),
                number(run.current_a, 1.0, 0),
                number(run.power_w, 1e-3, 2),
                marks.join(" "),
            ],
        );
    }
    table
}

fn pairs_table(trial: &TrialFacts, paper: &Paper) -> Table {
    let unit = unit_for(Quantity::Speed, paper.units);
    let water = format!("through\nwater {}", unit.symbol());
    let stream = format!("stream\n{}", unit.symbol());
    let mut table = Table::new(&[
        ("runs", Align::Left),
        ("rpm", Align::Right),
        ("kW", Align::Right),
        (&water, Align::Right),
        (&stream, Align::Right),
        ("log\nshows", Align::Right),
    ]);
    let dash = || "-".to_owned();
    for result in &trial.analysis.pairs {
        table.row(
            Ink::Plain,
            vec![
                format!("{} and {}", result.pair.first + 1, result.pair.second + 1),
                result.turning_rev_s.map_or_else(dash, |n| format_number(n * 60.0, 0)),
                result.power_w.map_or_else(dash, |p| format_number(p / 1000.0, 2)),
                format_number(unit.from_si(result.estimate.speed_through_water_m_s), 2),
                format_number(unit.from_si(result.estimate.stream_along_m_s.abs()), 2),
                result.log_factor.map_or_else(dash, |f| format!("{} %", format_number(100.0 * f, 0))),
            ],
        );
    }
    table
}
