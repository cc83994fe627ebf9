//! Files of several tables or sheets: which one is read, and the question where several tell of the drive.
//! Not for: taking rows out of them.

use crate::ask::{Question, part_question};
use crate::measured::Measured as M;
use crate::table::{FilePart, Mapping, propose_rows};

/// Rows by which a part is told.
pub(crate) const ROWS_SEEN: usize = 400;
/// Parts that are looked at; more are no log's.
pub(crate) const MOST_PARTS: usize = 24;

/// A table or sheet with its first rows, and how many there are where that is known.
pub(crate) struct Part {
    pub name: String,
    pub rows: u32,
    pub first: Vec<Vec<String>>,
}

/// Which of several parts is read, and what is asked and said about it.
pub(crate) struct Chosen {
    pub name: String,
    pub part: Option<FilePart>,
    pub question: Option<Question>,
    pub remarks: Vec<String>,
}

/// The part that was told, else the one whose columns tell most, of equals the longest. `what` they are called.
pub(crate) fn choose(mut parts: Vec<Part>, told: &[Mapping], what: &str) -> Option<Chosen> {
    const PLANT: [M; 3] = [M::Voltage, M::Current, M::Power];
    const SPEED: [M; 4] = [M::SpeedOverGround, M::SpeedThroughWater, M::MotorSpeed, M::ShaftSpeed];
    parts.retain(|part| part.first.len() > 1);
    let mappings = parts.iter().map(|part| propose_rows(&part.first).ok().map(|proposal| proposal.mapping));
    let mut known: Vec<(Part, Option<Mapping>, usize)> = Vec::new();
    for (part, mapping) in mappings.collect::<Vec<_>>().into_iter().zip(parts).map(|(m, p)| (p, m)) {
        let has = |measured: &M| {
            mapping
                .as_ref()
                .is_some_and(|m| m.time.is_some() && m.columns.iter().any(|c| c.measured == *measured))
        };
        let tells = PLANT.iter().chain(&SPEED).filter(|m| has(m)).count();
        known.push((part, mapping, tells));
    }
    known.sort_by_key(|(part, _, tells)| std::cmp::Reverse((*tells, part.rows)));
    let mut among: Vec<String> = known.iter().map(|(part, ..)| part.name.clone()).collect();
    among.sort();
    let of = |name: &str| FilePart { name: name.to_owned(), among: among.clone() };
    let answered = told.iter().filter_map(|told| told.part.as_ref()).find(|part| part.among == among);
    if let Some(at) = answered.and_then(|told| known.iter().position(|(part, ..)| part.name == told.name)) {
        let first = known.remove(at);
        known.insert(0, first);
    }
    let (chosen, others) = known.split_first()?;
    let name = chosen.0.name.clone();
    if others.is_empty() {
        return Some(Chosen { name, part: None, question: None, remarks: Vec::new() });
    }
    let offered: Vec<(Mapping, &[Vec<String>])> = known
        .iter()
        .filter(|(_, _, tells)| *tells > 0)
        .filter_map(|(part, mapping, _)| {
            Some((Mapping { part: Some(of(&part.name)), ..mapping.clone()? }, part.first.as_slice()))
        })
        .collect();
    let question = if answered.is_none() && offered.len() > 1 { part_question(&offered, what) } else { None };
    let names: Vec<String> = others.iter().map(|(part, ..)| format!("{:?}", part.name)).collect();
    let remarks = vec![format!(
        "{what} {name:?} is read; {} left out: save it as a file of its own to read it as well.",
        names.join(", ")
    )];
    Some(Chosen { part: Some(of(&name)), name, question, remarks })
}
