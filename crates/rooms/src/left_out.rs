//! Samples without an answer, told before anything that is found of the others: in one case of three she cannot stem
//! the wind. One mechanism for all rooms. Not for: why a sample has none (`wakewright_core::steady`).

use serde_json::{Value as Json, json};
use wakewright_core::steady::Taken;
use wakewright_units::format_number;

use crate::sentence::{capitalised, cases};

/// Samples of one boat, or of one alternative.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Counted {
    /// Which alternative; empty where there is one boat only.
    pub who: String,
    /// Her samples.
    pub taken: Taken,
}

impl Counted {
    /// The samples of a room with one boat.
    #[must_use]
    pub fn one(taken: &Taken) -> Vec<Self> {
        vec![Self { who: String::new(), taken: taken.clone() }]
    }
}

/// What is told first; nothing where every sample has an answer.
#[must_use]
pub fn told(counted: &[Counted]) -> Option<String> {
    let mut said = Vec::new();
    for Counted { who, taken } in counted.iter().filter(|counted| counted.taken.left_out() > 0) {
        let reasons = taken.without.iter();
        let clauses: Vec<String> = reasons
            .map(|(why, count)| format!("{} {}", in_cases(*count, taken.asked), why.word().words))
            .collect();
        let whose = if who.is_empty() { String::new() } else { format!("with \"{who}\" ") };
        said.push(capitalised(&format!("{whose}{}", clauses.join(", and "))));
    }
    (!said.is_empty()).then(|| format!("{}; what follows is of the other cases.", said.join("; ")))
}

/// `in one case of three (31 %)`.
fn in_cases(count: usize, of: usize) -> String {
    let share = count as f64 / of.max(1) as f64;
    if !(0.035..=0.965).contains(&share) {
        return format!("in {count} {} of {of}", if count == 1 { "case" } else { "cases" });
    }
    format!("in {} ({} %)", cases(share), format_number(100.0 * share, 0))
}

/// The same for files.
pub(crate) fn as_json(counted: &[Counted]) -> Json {
    let rows = counted.iter().flat_map(|Counted { who, taken }| {
        taken.without.iter().map(move |(why, count)| {
            json!({ "alternative": (!who.is_empty()).then_some(who), "reason": why.word().key, "samples": count, "of": taken.asked })
        })
    });
    Json::Array(rows.collect())
}

/// The schema of [`as_json`].
pub(crate) fn schema() -> Json {
    json!({
        "type": "array",
        "description": "Samples that have no answer, by reason; bands are of the others.",
        "items": {
            "type": "object",
            "required": ["alternative", "reason", "samples", "of"],
            "properties": {
                "alternative": { "type": ["string", "null"] },
                "reason": { "type": "string" },
                "samples": { "type": "integer" },
                "of": { "type": "integer" },
            },
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use wakewright_core::steady::NoSample;

    #[test]
    fn the_share_is_told_first() {
        let taken = Taken { asked: 2000, without: vec![(NoSample::DrivenBack, 627)] };
        assert_eq!(
            told(&Counted::one(&taken)).as_deref(),
            Some("In one case of three (31 %) she cannot stem the wind; what follows is of the other cases.")
        );
        let plate = Taken { asked: 2000, without: vec![(NoSample::Plate, 311), (NoSample::DrivenBack, 3)] };
        let said = told(&[Counted { who: "larger".to_owned(), taken: plate }]);
        assert_eq!(
            said.as_deref(),
            Some(
                "With \"larger\" in one case of seven (16 %) what is told and estimated of the motor does not go together, and \
                 in 3 cases of 2000 she cannot stem the wind; what follows is of the other cases."
            )
        );
        assert_eq!(told(&Counted::one(&Taken { asked: 2000, without: Vec::new() })), None);
    }
}
