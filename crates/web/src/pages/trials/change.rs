//! What is typed about a trial, put into its document field by field, so that two devices can write at
//! once; and what the buttons do. Nothing typed is lost: what another page or device wrote into the same field
//! meanwhile goes into the note.

use serde_json::{Value, json};
use wakewright_logs::table::{Mapping, run_rows};
use wakewright_logs::trial::{MarkPart, RunMark, TrialAddress, TrialDocument};
use wakewright_logs::{NotebookCell, NotebookRow};
use wakewright_store::{RecordSave, Store};

use super::act::Act;
use super::field::{TYPED, faults_of, id_of, note, noted};
use super::logs::Came;
use super::mapping_typed;
use super::marks::marks_of;
use super::notebook::PASTED;
use super::{OnTrial, notebook};
use crate::error::WebError;
use crate::query::Query;
use crate::sent::DO;
use crate::state::{Site, now};
use wakewright_rooms::trials::LogShelf;

/// Start of the names of form fields that say what stood in a field before it was typed in: as the page was
/// told, and as each letter says that has no answer yet.
const WAS: &str = "was:";

/// What came of a form.
#[derive(Debug, Default)]
struct Outcome {
    /// Fields in which another page or device had written something else.
    aside: Vec<String>,
    /// Fields that are not taken.
    refused: Vec<String>,
    /// Tables whose columns do not fit: log, why.
    misfits: Vec<(usize, String)>,
}

/// Puts the form into the document. `tables` are its logs' columns as they were taken; `is_stale`: the
/// form was made from an older version.
fn apply(document: &mut TrialDocument, tables: &[Option<Mapping>], form: &Query, is_stale: bool) -> Outcome {
    let mut outcome = Outcome::default();
    let mut change = |document: &mut TrialDocument, name: &str, value: &str| {
        let value = value.replace("\r\n", "\n");
        let address = TrialAddress::of_name(name);
        let now = address.as_ref().and_then(|address| document.typed(address));
        let (Some(address), Some(now)) = (address, now) else {
            outcome.refused.push(name.to_owned());
            return;
        };
        let same = |a: &str, b: &str| a.replace("\r\n", "\n") == b.replace("\r\n", "\n");
        if same(&now, &value) {
            return;
        }
        // A letter whose answer has not come may have been taken or not.
        let was = format!("{WAS}{name}");
        let mut known = form.all(&was).peekable();
        let is_overtaken = if known.peek().is_some() { !known.any(|was| same(was, &now)) } else { is_stale };
        let value = if is_overtaken && !now.trim().is_empty() {
            outcome.aside.push(name.to_owned());
            set_aside(document, &address, &now, value)
        } else {
            value
        };
        if !document.set_typed(&address, &value) {
            outcome.refused.push(name.to_owned());
        }
    };
    for (name, value) in form.pairs() {
        if let Some(name) = name.strip_prefix(TYPED) {
            change(document, name, value);
        }
    }
    if form.get("whole").is_some() {
        // A browser says nothing of a switch that is off.
        for name in form.all("switch") {
            if form.get(&format!("{TYPED}{name}")).is_none() {
                change(document, name, "");
            }
        }
    }
    // The last row of runs is there to be filled in; empty it is none.
    if let Some(marks) = &mut document.marks {
        while marks.last().is_some_and(|mark| *mark == RunMark::default()) {
            marks.pop();
        }
    }
    for (number, base) in tables.iter().enumerate().take(document.logs.len()) {
        let Some(base) = base else { continue };
        match mapping_typed::from_form(number, base, form) {
            Some(Ok(mapping)) => document.logs[number].mapping = Some(mapping),
            Some(Err(why)) => outcome.misfits.push((number, why)),
            None => {}
        }
    }
    outcome
}

/// Keeps what another page or device wrote in the note; gives what to put into the field.
fn set_aside(document: &mut TrialDocument, address: &TrialAddress, theirs: &str, mine: String) -> String {
    let line = format!(
        "{}: {theirs} was written on another page or device before this one.",
        address.name().replace(['.', '_'], " ")
    );
    if *address == TrialAddress::Note {
        return format!("{mine}\n{theirs}");
    }
    let joined = if document.note.trim().is_empty() { line } else { format!("{}\n{line}", document.note) };
    if !document.set_typed(&TrialAddress::Note, &joined) {
        return mine;
    }
    mine
}

/// Runs become the hand's own with the first change of one.
fn take_runs(document: &mut TrialDocument, on: &OnTrial, form: &Query) {
    let found = marks_of(&on.kept);
    let changes = |name: &str, value: &str| match typed_address(name) {
        Some(TrialAddress::MarkPart(number, part)) => {
            found.get(number).cloned().unwrap_or_default().typed(part) != value
        }
        _ => false,
    };
    if document.marks.is_none() && form.pairs().any(|(name, value)| changes(name, value)) {
        document.marks = Some(found);
    }
}

/// The field into which this form field types.
fn typed_address(name: &str) -> Option<TrialAddress> {
    name.strip_prefix(TYPED).and_then(TrialAddress::of_name)
}

/// The form without what only says again which runs were found.
fn without_found(document: &TrialDocument, form: &Query) -> Query {
    let is_of_mark = |address: Option<TrialAddress>| address.is_some_and(|address| address.is_of_mark());
    let pairs = form.pairs().filter(|(name, value)| {
        let is_switch = *name == "switch" && is_of_mark(TrialAddress::of_name(value));
        document.marks.is_some() || !(is_switch || is_of_mark(typed_address(name)))
    });
    Query::of(pairs)
}

struct Kept {
    on: OnTrial,
    outcome: Outcome,
}

/// Another page or device may save between reading and saving; then the form is put into what it saved.
const MOST_ATTEMPTS: usize = 8;

/// Puts the form into the trial and keeps it, `act` done on the document last.
fn keep(
    store: &mut Store,
    shelf: &LogShelf,
    slug: &str,
    number: u32,
    form: &Query,
    mut act: impl FnMut(&mut TrialDocument, &OnTrial),
) -> Result<Kept, WebError> {
    for _ in 0..MOST_ATTEMPTS {
        let on = OnTrial::load_from(store, shelf, slug, number)?;
        let mut document = on.kept.document.clone();
        let version: u32 =
            form.get("version").and_then(|text| text.parse().ok()).unwrap_or(on.kept.trial.version);
        take_runs(&mut document, &on, form);
        let form = without_found(&document, form);
        let tables: Vec<Option<Mapping>> =
            on.kept.opened.iter().map(|opened| opened.as_ref()?.mapping.clone()).collect();
        let outcome = apply(&mut document, &tables, &form, version != on.kept.trial.version);
        act(&mut document, &on);
        if document == on.kept.document {
            return Ok(Kept { on, outcome });
        }
        let has_new_mapping =
            document.logs.iter().zip(&on.kept.document.logs).any(|(a, b)| a.mapping != b.mapping);
        let (trial, base) = (on.kept.trial.id, on.kept.trial.version);
        if let RecordSave::Overtaken(_) = store.save_record(trial, base, &document.to_json(), &[], now())? {
            continue;
        }
        let on = OnTrial::load_from(store, shelf, slug, number)?;
        if has_new_mapping {
            on.kept.remember_answers(store, now())?;
        }
        return Ok(Kept { on, outcome });
    }
    Err(WebError::BadRequest("Others changed this trial at the same moment; send it again.".to_owned()))
}

/// Keeps what a page sends while it is typed in; gives what was read of it.
///
/// # Errors
/// There is no such trial, or the store fails.
pub fn draft(site: &Site, slug: &str, number: u32, form: &Query) -> Result<Value, WebError> {
    let Kept { on, outcome } = site.letters().in_turn(form, |is_overtaken| {
        let form = if is_overtaken { &Query::default() } else { form };
        keep(&mut site.store(), site.shelf(), slug, number, form, |_, _| {})
    })?;
    let kept = &on.kept;
    let mut notes = serde_json::Map::new();
    let mut invalid = Vec::new();
    for address in noted(&kept.document) {
        let id = id_of(&address);
        if !faults_of(kept, &address).is_empty() {
            invalid.push(id.clone());
            if let TrialAddress::Mark(number) = address {
                let parts = [MarkPart::From, MarkPart::To];
                invalid.extend(parts.map(|part| id_of(&TrialAddress::MarkPart(number, part))));
            }
        }
        notes.insert(format!("{id}-note"), note(kept, &address).into_string().into());
    }
    for row in 0..=kept.document.notebook.len() {
        notes.insert(notebook::read_id(row), notebook::read(kept, row).into());
    }
    for log in 0..kept.document.logs.len() {
        let why = outcome.misfits.iter().find(|(number, _)| *number == log).map(|(_, why)| why.as_str());
        let said = why.map_or_else(String::new, |why| maud::html! { p.fault { (why) } }.into_string());
        notes.insert(format!("map-{log}-note"), said.into());
    }
    let status = status(&outcome);
    Ok(json!({ "version": kept.trial.version, "status": status, "notes": notes, "invalid": invalid }))
}

fn status(outcome: &Outcome) -> String {
    let at = jiff::Zoned::now().strftime("%H:%M:%S").to_string();
    if !outcome.refused.is_empty() {
        return "Not all of it was taken: a text is longer than a trial holds.".to_owned();
    }
    if !outcome.misfits.is_empty() {
        return "Kept, but for the columns: they do not fit as they stand.".to_owned();
    }
    if !outcome.aside.is_empty() {
        return format!("Kept at {at}. What another page or device had written there is in the note.");
    }
    format!("Kept at {at}.")
}

/// Says of log `number` how far its clock is ahead of UTC.
fn set_clock(document: &mut TrialDocument, on: &OnTrial, number: usize, seconds: i32) {
    let opened = on.kept.opened.get(number).and_then(|opened| opened.as_ref());
    let Some(mut mapping) = opened.and_then(|opened| opened.mapping.clone()) else { return };
    if let (Some(time), Some(used)) = (mapping.time.as_mut(), document.logs.get_mut(number)) {
        time.ahead_of_utc_s = Some(f64::from(seconds));
        used.mapping = Some(mapping);
    }
}

/// Answers a question of log `number`, `key=word`; one that is not asked any more changes nothing.
fn choose(document: &mut TrialDocument, on: &OnTrial, number: usize, answer: &str) {
    let opened = on.kept.opened.get(number).and_then(|opened| opened.as_ref());
    let choice = opened.iter().flat_map(|opened| &opened.questions).find_map(|question| {
        let word = answer.strip_prefix(question.key.as_str())?.strip_prefix('=')?;
        question.choices.iter().find(|choice| choice.word == word)
    });
    if let (Some(choice), Some(used)) = (choice, document.logs.get_mut(number)) {
        used.mapping = Some(choice.mapping.clone());
    }
}

/// Does what a button of the form says; gives the address to go to.
///
/// # Errors
/// There is no such trial, or the store fails.
pub fn submit(site: &Site, slug: &str, number: u32, form: &Query) -> Result<Came, WebError> {
    let act = form.get(DO).map_or(Some(Act::Keep), Act::of_value);
    let act = act.ok_or_else(|| WebError::BadRequest("No button of this page asks for that.".to_owned()))?;
    let mut next_row = 0;
    let table = form.get(PASTED).unwrap_or_default();
    let (mut pasted, mut untaken) = (Vec::new(), None);
    if act == Act::Paste {
        match run_rows(table.as_bytes()) {
            Ok(found) => pasted = found.rows,
            Err(why) => untaken = Some(why),
        }
    }
    let change = |document: &mut TrialDocument, on: &OnTrial| match &act {
        Act::Keep | Act::Map(_) => {}
        Act::Next => {
            let next = document.notebook.last().map(NotebookRow::opposite);
            document.notebook.extend(next.filter(|next| !next.is_empty()));
            next_row = document.notebook.len();
            // A card with a direction alone is the one that was just begun.
            let last = document.notebook.last();
            if last.is_some_and(|last| last.rpm.is_empty() && last.speed_over_ground.is_empty()) {
                next_row -= 1;
            }
        }
        Act::Blank => next_row = document.notebook.len(),
        Act::Paste => {
            next_row = document.notebook.len();
            document.notebook.append(&mut pasted);
        }
        Act::Clear(row) => {
            if let Some(cleared) = document.notebook.get_mut(*row) {
                *cleared = NotebookRow::default();
            }
            while document.notebook.last().is_some_and(NotebookRow::is_empty) {
                document.notebook.pop();
            }
        }
        Act::LeaveOut(log, key) => {
            if let Some(used) = document.logs.get_mut(*log) {
                used.left_out.insert(key.clone());
            }
        }
        Act::Turn => document.meter.is_current_turned = !document.meter.is_current_turned,
        Act::Beside => {
            document.meter.has_packs_beside ^= true;
            document.meter.has_packs_in_series = false;
        }
        Act::Series => {
            document.meter.has_packs_in_series ^= true;
            document.meter.has_packs_beside = false;
        }
        Act::HoldThrottle => document.is_throttle_held = !document.is_throttle_held,
        Act::Ahead(log, seconds) => set_clock(document, on, *log, *seconds),
        Act::Answer(log, answer) => choose(document, on, *log, answer),
        Act::Shift(log, seconds) => {
            if let Some(used) = document.logs.get_mut(*log) {
                used.shift = super::logs::shift_words(*seconds);
            }
        }
        Act::SetRuns => {
            if document.marks.is_none() {
                document.marks = Some(marks_of(&on.kept));
            }
        }
        Act::FindRuns => document.marks = None,
        Act::RemoveLog(log) => {
            if *log < document.logs.len() {
                document.logs.remove(*log);
            }
        }
    };
    let mut store = site.store();
    let kept =
        site.letters().in_turn(form, |_| keep(&mut store, site.shelf(), slug, number, form, change))?;
    if matches!(act, Act::LeaveOut(..) | Act::Turn | Act::Ahead(..) | Act::Map(_) | Act::Answer(..)) {
        kept.on.kept.remember_answers(&mut store, now())?;
    }
    if let Some((log, why)) = kept.outcome.misfits.first().filter(|_| matches!(act, Act::Map(_))) {
        let name = kept.on.kept.document.logs.get(*log).map_or("the table", |used| used.name.as_str());
        return Err(WebError::BadRequest(format!("{name}: {why} Go back; what you chose is still there.")));
    }
    if let Some(why) = untaken {
        return Ok(Err(notebook::paste_again(&kept.on.address(""), kept.on.kept.trial.version, table, &why)));
    }
    let at_cell = |cell| format!("#{}", id_of(&TrialAddress::Cell(next_row, cell)));
    let (mut done, place) = match act {
        Act::Keep => ("", String::new()),
        Act::Next => ("", at_cell(NotebookCell::Rpm)),
        Act::Blank | Act::Paste => ("", at_cell(NotebookCell::Direction)),
        Act::Clear(_) => ("", "#written".to_owned()),
        Act::LeaveOut(..)
        | Act::Turn
        | Act::Beside
        | Act::Series
        | Act::Ahead(..)
        | Act::Answer(..)
        | Act::Shift(..) => ("answered", String::new()),
        Act::Map(log) => ("answered", format!("#map-{log}")),
        Act::HoldThrottle => ("", String::new()),
        Act::SetRuns => ("set", "#in-log".to_owned()),
        Act::FindRuns => ("", "#in-log".to_owned()),
        Act::RemoveLog(_) => ("", "#logs".to_owned()),
    };
    if !kept.outcome.refused.is_empty() {
        done = "refused";
    } else if !kept.outcome.aside.is_empty() {
        done = "aside";
    }
    let mut query = Vec::new();
    if !done.is_empty() {
        query.push(format!("done={done}"));
    }
    if matches!(act, Act::Next | Act::Blank) && next_row >= kept.on.kept.document.notebook.len() {
        query.push("blank".to_owned());
    }
    let query = if query.is_empty() { String::new() } else { format!("?{}", query.join("&")) };
    Ok(Ok(kept.on.address(&format!("{query}{place}"))))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn form(text: &str) -> Query {
        Query::parse(text.as_bytes())
    }

    #[test]
    fn two_devices_write_at_once_and_nothing_is_lost() {
        let mut document = TrialDocument::default();
        apply(&mut document, &[], &form("t:notebook.0.rpm=900&was:notebook.0.rpm="), true);
        apply(&mut document, &[], &form("t:notebook.0.volts=50.1&was:notebook.0.volts="), true);
        assert_eq!((document.notebook[0].rpm.as_str(), document.notebook[0].volts.as_str()), ("900", "50.1"));
        let outcome = apply(&mut document, &[], &form("t:notebook.0.rpm=850&was:notebook.0.rpm="), true);
        assert_eq!(outcome.aside, ["notebook.0.rpm"]);
        assert_eq!(document.notebook[0].rpm, "850");
        assert!(document.note.contains("notebook 0 rpm: 900"), "{}", document.note);
        let outcome = apply(&mut document, &[], &form("t:notebook.0.rpm=860&was:notebook.0.rpm=850"), true);
        assert!(outcome.aside.is_empty());
    }

    #[test]
    fn a_switch_that_a_whole_form_leaves_out_is_off() {
        let mut document = TrialDocument::default();
        apply(
            &mut document,
            &[],
            &form("whole=yes&switch=correct.wind&t:correct.wind=yes&switch=meter.turned"),
            false,
        );
        assert_eq!((document.corrections.len(), document.meter.is_current_turned), (1, false));
        apply(&mut document, &[], &form("t:note=only+this"), false);
        assert_eq!(document.corrections.len(), 1, "a part of the form says nothing of the rest");
        apply(
            &mut document,
            &[],
            &form("whole=yes&switch=correct.wind&switch=meter.turned&t:meter.turned=yes"),
            false,
        );
        assert_eq!((document.corrections.len(), document.meter.is_current_turned), (0, true));
    }

    #[test]
    fn what_is_no_field_is_refused_and_changes_nothing() {
        let mut document = TrialDocument::default();
        let outcome = apply(&mut document, &[], &form("t:notebook.0.colour=red&t:logs.7.shift=1&x=y"), false);
        assert_eq!(outcome.refused.len(), 2);
        assert_eq!(document, TrialDocument::default());
    }
}
