//! Places on which boats stand dry, as they are kept: a record under the name by which rooms that ask for a place find it.
//! Not for: writing one (`dated`), what is made of it (`dryout`, `tide`).

use std::borrow::Cow;

use wakewright_records::dated::{DatedDocument, NAME, PLACE_KIND};
use wakewright_store::Record;

use crate::dated::SAID;
use crate::no_answer::NoAnswer;
use crate::room::{Asked, Question, Replies, Reply};

/// What a kept place answers; draught, day and work are of her and the occasion.
const OF_THE_PLACE: [&str; 16] = [
    "place",
    "table",
    "datum",
    "zone",
    "curve",
    "differences",
    "weather",
    "ground",
    "datum-offset",
    "touched",
    "bottom",
    "slope-across",
    "slope-along",
    "sinking",
    "held",
    "allowed",
];
/// Reply under which the name of a kept place goes with what it answers.
const KEPT_AS: &str = "kept-as";
/// The same where the places of the store cannot be read.
const UNREAD: &str = "places-unread";

fn tidy(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// What is asked, where its place is the name of one that is kept: with what that answers, in whatever was not said.
/// # Errors
/// Several have that name, or an entry of it cannot be read.
pub fn at<'q, 'a>(
    asked: &'q Asked<'a>,
    questions: &'static [Question],
) -> Result<Cow<'q, Asked<'a>>, NoAnswer> {
    let Some(wanted) = asked.replies.text("place").filter(|_| kept_as(&asked.replies).is_none()) else {
        return Ok(Cow::Borrowed(asked));
    };
    let boat = asked.as_kept();
    let is_hers = |record: &Record| boat.records.iter().any(|own| own.id == record.id);
    let named = |record: &Record| {
        let document = DatedDocument::parse(&record.text).ok()?;
        (tidy(document.get(NAME)) == tidy(wanted) && !tidy(wanted).is_empty())
            .then_some((is_hers(record), document))
    };
    let own = boat.records.iter().filter(|record| record.kind == PLACE_KIND && record.removed.is_none());
    let mut found: Vec<(bool, DatedDocument)> = own.filter_map(named).collect();
    if found.is_empty() {
        found = boat.shop_places.iter().flatten().filter_map(named).collect();
    }
    let document = match found.as_slice() {
        [] => {
            let Err(why) = &boat.shop_places else { return Ok(Cow::Borrowed(asked)) };
            // A station may have the name of a place that nobody could look for.
            let replies = asked.replies.clone().with(UNREAD, Reply::Text(why.clone()));
            return Ok(Cow::Owned(Asked { replies, ..asked.clone() }));
        }
        [(_, document)] => document,
        _ => {
            return Err(NoAnswer::input(format!(
                "{} places are kept under the name {wanted}: give all but one another name (`wakewright dryout list BOAT` has \
                 those of a boat)",
                found.len()
            )));
        }
    };
    let mut replies = asked.replies.clone().with(KEPT_AS, Reply::Text(document.get(NAME).to_owned()));
    let mut wrong = Vec::new();
    for question in questions.iter().filter(|question| OF_THE_PLACE.contains(&question.key)) {
        let text = document.get(&format!("{SAID}{}", question.key));
        let is_place = question.key == "place";
        // Landings that are typed now go with those that are kept.
        if text.is_empty() || !is_place && question.key != "touched" && asked.replies.has(question.key) {
            continue;
        }
        match (question.read)(text) {
            // It may have been another boat, and her draught on that day is not today's.
            Ok(Reply::Texts(landings)) if landings.iter().any(|landing| !landing.contains("with")) => {
                wrong.push("touched: say with what draught, 2026-09-28 10:42 with 1.48 m".to_owned());
            }
            Ok(reply) => replies.put(question.key, reply),
            Err(why) => wrong.push(format!("{}: {why}", question.key)),
        }
    }
    if document.get(&format!("{SAID}place")).is_empty() {
        replies = replies.without("place");
    }
    if wrong.is_empty() {
        Ok(Cow::Owned(Asked { replies, ..asked.clone() }))
    } else {
        Err(NoAnswer::input(format!("the place {} as it is kept: {}", document.get(NAME), wrong.join("; "))))
    }
}

/// Why a kept place of that name may have been missed, where the store's places cannot be read.
#[must_use]
pub fn unread(replies: &Replies) -> Option<&str> {
    replies.text(UNREAD)
}

/// The name of the kept place that answers.
#[must_use]
pub fn kept_as(replies: &Replies) -> Option<&str> {
    replies.text(KEPT_AS)
}
