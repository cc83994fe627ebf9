//! A call: "she won't go". What comes before anything, what it may be, what is done, the next question. Few words, for a phone.
//! Not for: how it is weighed (`wakewright_core::call`).

mod asked;

pub(crate) use asked::said;

use wakewright_core::call::{
    CALL_SHEETS, CallBoat, CallScore, CallStudy, FIGURES, Meter, Next, RED, Standing, place_of,
};
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{AnySheet, Filled};

use wakewright_records::dated::{DatedDocument, OUTCOME, TOLD};
use wakewright_store::Record;

use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Question, Room, Samples, Typed};
use crate::sentence::{capitalised, cases};
use crate::shop::Over;
use crate::text::{Finding, Paper};
use crate::whatif::Slider;

/// The room.
#[derive(Debug)]
pub struct Call;

static CARD: Card = Card {
    key: "call",
    title: "Call",
    about: "She won't go: what comes first, what it may be, the next question",
    examples: &[
        "myboat.toml",
        "myboat.toml --danger none --symptom weak --display usual --volts \"52.5 V\" --lever-volts \"48.5 V\" --lever-amps \"120 A\"",
        "myboat.toml --danger \"smoke from the locker\"",
    ],
    pictures: &[],
    demo: "she won't go: what is it?",
    samples: Samples { usual: 50, range: (50, 200_000), settled: 50, quick: 50 },
};

/// How often calls that are kept were right, of those whose end is known.
#[must_use]
pub fn score(calls: &[Record]) -> CallScore {
    let closed: Vec<_> = calls.iter().filter_map(told_and_true).collect();
    CallScore::of(closed.iter().map(|(told, truth)| (told.as_slice(), *truth)))
}

/// What a call told, by place, and where it was in the end; none where nobody has said or nothing was told.
fn told_and_true(record: &Record) -> Option<(Vec<(String, f64)>, &'static str)> {
    let document = DatedDocument::parse(&record.text).ok()?;
    let truth = place_of(document.get(OUTCOME))?;
    let line = |line: &str| {
        let (place, share) = line.split_once(' ')?;
        Some((place.to_owned(), share.parse().ok()?))
    };
    let told: Vec<(String, f64)> = document.get(TOLD).lines().filter_map(line).collect();
    (!told.is_empty()).then_some((told, truth))
}

/// Places that text and page show, and questions.
const SHOWN: usize = 4;

impl Room for Call {
    type Found = CallStudy;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &asked::QUESTIONS
    }

    fn over(&self) -> Over {
        Over::Calls
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<CallStudy, NoAnswer> {
        let boat = CallBoat::of(&asked.boat.spec);
        let mut study = CallStudy::of(&boat, asked::said(asked, boat.highest_v)?);
        study.score = asked.shop.map(|shop| score(&shop.calls)).unwrap_or_default();
        Ok(study)
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<CallStudy>] {
        &CALL_SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, study: &CallStudy, _: &Paper) -> Finding {
        // A page has fields where a terminal has flags.
        finding(&asked.boat.name, study, |flag| {
            if asked.has_pictures { String::new() } else { format!(" ({flag})") }
        })
    }

    fn blocks(&self, _: &Asked<'_>, study: &CallStudy, sheets: &[Filled], _: &Paper) -> Vec<Block> {
        let mut blocks = Vec::new();
        // The first stands in the finding.
        let has_leave = study.at_once.is_empty();
        let first =
            study.standing.first().filter(|_| has_leave && is_told(study) && study.asked.red.is_some());
        if let Some(first) = first {
            let others: Vec<String> = first.to_do().into_iter().skip(1).collect();
            if !others.is_empty() {
                blocks.push(Block::words("Else, in the same place", others));
            }
        }
        if !study.standing.is_empty() {
            blocks.push(Block::sheet(sheets, "parts").with_rows(|row| row < SHOWN && is_told(study)));
            blocks.push(Block::sheet(sheets, "questions").with_rows(|row| has_leave && row < SHOWN));
            blocks.push(Block::sheet(sheets, "scores"));
            blocks.push(Block::words("How sure", HOW_SURE.to_owned()));
        }
        blocks
    }

    fn notices<'f>(&self, study: &'f CallStudy) -> &'f [Notice] {
        &study.notices
    }

    fn sliders(&self, _: &Asked<'_>) -> Vec<Slider> {
        Vec::new()
    }

    fn typed(&self, asked: &Asked<'_>) -> Vec<Typed> {
        asked::fields(asked.boat)
    }

    fn occasion(&self, _: &Asked<'_>, _: &CallStudy, _: &Paper) -> String {
        "On this call".to_owned()
    }
}

const HOW_SURE: &str = "One part is taken to have failed. How often parts fail and what they show is common practice, without a source; docs/call.md \
                        tells how often it was right on simulated calls. Where it does not fit, stop guessing and call somebody who can look.";

/// Something was said beyond what comes first.
fn is_told(study: &CallStudy) -> bool {
    !study.asked.replies.is_empty() || study.asked.read != wakewright_core::call::Read::default()
}

fn finding(name: &str, study: &CallStudy, flag: impl Fn(&str) -> String) -> Finding {
    if !study.at_once.is_empty() {
        let said: Vec<String> = study.at_once.iter().map(Notice::text).collect();
        return Finding {
            sentence: said.join(" "),
            further: "Nothing else counts until that is done.".to_owned(),
            fails: true,
            ..Finding::default()
        };
    }
    let next = study.next.first().map(|next| next_words(next, &flag)).unwrap_or_default();
    let further = if study.asked.is_competent && study.is_meter_forbidden {
        format!("{next} No meter: her bank's volts are above what is measured on a call.")
    } else {
        next
    };
    let likely = likely(name, study);
    if study.asked.red.is_none() {
        let signs: Vec<&str> = RED.iter().map(|red| red.words).collect();
        let first = "Before anything".to_owned();
        return Finding {
            sentence: format!(
                "{first}: is there {}? Say which, or none{}.",
                signs.join(", "),
                flag("danger")
            ),
            binding: first,
            further: if is_told(study) {
                format!("If none: {likely} {further}")
            } else {
                "If so, leave the drive alone.".to_owned()
            },
            ..Finding::default()
        };
    }
    let binding = study.standing.first().filter(|_| is_told(study)).map_or("", Standing::words).to_owned();
    let to_do =
        study.standing.first().filter(|_| is_told(study)).and_then(|first| first.to_do().into_iter().next());
    let further = to_do.map_or_else(|| further.clone(), |to_do| format!("{to_do} {further}"));
    Finding { sentence: capitalised(&likely), binding, further, ..Finding::default() }
}

/// What it is, in one sentence.
fn likely(name: &str, study: &CallStudy) -> String {
    if !is_told(study) {
        return format!("what {name} does is not told yet.");
    }
    match study.standing.as_slice() {
        _ if study.is_none_of_these() => {
            "none of the parts known here explains all of that: leave the drive alone until somebody has looked, or tell more.".to_owned()
        }
        [first, second, ..] if first.share < 0.5 => {
            format!("it may be {}, or {}.", first.words(), second.words())
        }
        [first, ..] => format!("most likely {}, in {} like it.", first.words(), cases(first.share)),
        [] => String::new(),
    }
}

fn next_words(next: &Next, flag: &impl Fn(&str) -> String) -> String {
    let Next { ask, .. } = next;
    if ask.key == FIGURES {
        return format!("Next: {}{}", ask.question, flag("volts, lever-volts, lever-amps"));
    }
    let answers: Vec<&str> = ask.answers.iter().map(|(_, words)| *words).collect();
    let caution = match (ask.key, ask.meter) {
        (_, Meter::Asked) => format!("{} ", wakewright_core::caution::CALL_METER.text()),
        ("hand", _) => format!("{} ", wakewright_core::caution::CALL_SHAFT.text()),
        ("again", _) => format!("{} ", wakewright_core::caution::CALL_SWITCHING.text()),
        _ => String::new(),
    };
    let by = flag(&format!("{}: {}", ask.key, answers.join("; ")));
    format!("Next: {caution}{}{by}", ask.question)
}
