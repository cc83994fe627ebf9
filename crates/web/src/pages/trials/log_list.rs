//! The logs of a trial as they are shown: what is in each, its channels, its size.

use super::act::Act;
use super::field::{Kind, TrialField};
use super::{mapping, sheet};
use crate::parts;
use crate::sent::DO;
use maud::{Markup, html};
use wakewright_logs::trial::TrialAddress;
use wakewright_rooms::logs::log_facts;
use wakewright_rooms::room::Block;
use wakewright_rooms::trial::{LogFacts, log_answer};
use wakewright_rooms::trials::KeptTrial;

/// What is in each log, and how it is taken.
#[must_use]
pub fn logs(kept: &KeptTrial) -> Markup {
    html! {
        @for (number, used) in kept.document.logs.iter().enumerate() {
            @let opened = kept.opened.get(number).and_then(|opened| opened.as_deref());
            details.part.log open[kept.document.logs.len() == 1] {
                summary { h3 { (used.name) }
                    @if let Some(Some(log)) = kept.logs.get(number) { span.count { (size(log.plain_bytes)) ", kept in " (size(log.kept_bytes)) } } }
                @match opened {
                    None => p.notice { "Its bytes are not in this store; bring the file in again." },
                    Some(opened) => { (facts(kept, number, &log_facts(opened, &sheet()))) },
                }
                div.named { (TrialField { address: TrialAddress::Shift(number), label: "Add to its clock", hint: "20 s, or -1 h", kind: Kind::Text }.markup(kept)) }
                @if let Some(map) = opened.filter(|opened| opened.is_table()).and_then(|opened| opened.mapping.as_ref()) { (mapping::form(number, map, opened.and_then(|o| log_facts(o, &sheet()).table).as_ref())) }
                p { button.quiet name=(DO) value=(Act::RemoveLog(number).value()) { "Take this log off the trial" } }
            }
        }
        @if !kept.document.logs.is_empty() {
            h3 { "The meter" }
            div.named {
                (TrialField { address: TrialAddress::MeterZero, label: "It shows with no current flowing", hint: "0.4 A", kind: Kind::Number }.markup(kept))
                (TrialField { address: TrialAddress::MeterHouse, label: "Loads beside the drive", hint: "180 W", kind: Kind::Number }.markup(kept))
                (TrialField { address: TrialAddress::MeterTurned, label: "Current out of the bank is written negative", hint: "", kind: Kind::Switch }.markup(kept))
                @if kept.document.meter.is_current_as_written || kept.opened.iter().flatten().any(|opened| opened.is_turned()) {
                    (TrialField { address: TrialAddress::MeterAsWritten, label: "Take its sign as it is written", hint: "", kind: Kind::Switch }.markup(kept))
                }
                @if kept.document.logs.len() > 1 {
                    (TrialField { address: TrialAddress::MeterBeside, label: "The logs are of packs side by side: add their amps", hint: "", kind: Kind::Switch }.markup(kept))
                    (TrialField { address: TrialAddress::MeterSeries, label: "They are of packs in series: add their volts", hint: "", kind: Kind::Switch }.markup(kept))
                }
            }
        }
    }
}

fn size(bytes: u64) -> String {
    match bytes {
        0..10_000 => format!("{bytes} bytes"),
        10_000..10_000_000 => format!("{} kB", bytes / 1000),
        _ => format!("{} MB", bytes / 1_000_000),
    }
}

/// The sheets of a log, each channel with the switch that leaves it out.
fn facts(kept: &KeptTrial, number: usize, facts: &LogFacts) -> Markup {
    let leave_out = |row: usize| {
        facts.channels.get(row).map_or_else(
            || html! {},
            |channel| {
                let address = TrialAddress::LeftOut(number, channel.key.clone());
                TrialField { address, label: "leave out", hint: "", kind: Kind::Switch }.markup(kept)
            },
        )
    };
    html! {
        p { (facts.sentence()) }
        @for block in &log_answer(facts).blocks {
            @if let Block::Sheet(sheet) = block {
                @match sheet.key {
                    "channels" => (parts::block_with(block, &leave_out)),
                    "bad" => (parts::block(block)),
                    // What the columns mean stands in their form.
                    _ => {}
                }
            }
        }
    }
}
