//! Bayes over the parts: how likely each is after what was said, and which question tells most next. Not for: the parts (`parts`).

use std::collections::BTreeMap;

use super::asks::{ASKS, Ask, FIGURES, METER_DRY_V, METER_WET_V, Meter, ask_of};
use super::numbers::{CallBoat, Read};
use super::parts::{PARTS, Part, STRANGE, place_words, shown};
use super::red::Red;
use super::score::CallScore;
use crate::caution;
use crate::notice::{Notice, push_once};

/// An answer to a question.
#[derive(Debug, Clone, Copy)]
pub struct Reply {
    /// The question.
    pub ask: &'static Ask,
    /// Place of the answer.
    pub answer: usize,
}

impl Reply {
    /// By names; `None` where there is no such question or answer.
    #[must_use]
    pub fn of(ask: &str, answer: &str) -> Option<Self> {
        let ask = ask_of(ask)?;
        Some(Self { ask, answer: ask.answer(answer)? })
    }
}

/// What was said.
#[derive(Debug, Clone, Default)]
pub struct CallAsked {
    /// What comes before anything: `None` before it was answered, empty where none of it is.
    pub red: Option<Vec<&'static Red>>,
    /// Answers.
    pub replies: Vec<Reply>,
    /// Figures.
    pub read: Read,
    /// He says that he is competent with a meter.
    pub is_competent: bool,
    /// It is wet where he would measure.
    pub is_wet: bool,
}

/// A place with how likely it is.
#[derive(Debug, Clone)]
pub struct Standing {
    /// Parts of the place with how likely each is, of all, the most likely first; none of them where nothing in the list explains it.
    pub parts: Vec<(&'static Part, f64)>,
    /// How likely one of them is, of all.
    pub share: f64,
}

impl Standing {
    /// Stable name of the place.
    #[must_use]
    pub fn key(&self) -> &'static str {
        self.parts.first().map_or(STRANGE, |(part, _)| part.place)
    }

    /// The place in words; a part that is much likelier than the others of its place stands by itself.
    #[must_use]
    pub fn words(&self) -> &'static str {
        /// Share of its place from which on a part stands by itself; judgement.
        const ALONE: f64 = 0.8;
        let Some((first, share)) = self.parts.first() else { return "none of these" };
        match place_words(first.place) {
            Some(words) if *share < ALONE * self.share => words,
            _ => first.words,
        }
    }

    /// What is done, part by part, each with its caution first.
    #[must_use]
    pub fn to_do(&self) -> Vec<String> {
        /// Share of all below which a part of the place is not told of.
        const TOLD: f64 = 0.02;
        let mut said: Vec<String> = Vec::new();
        for (place, (part, share)) in self.parts.iter().enumerate() {
            if place > 0 && *share < TOLD {
                continue;
            }
            let caution = part.caution.text();
            let is_new = !said.iter().any(|earlier| earlier.starts_with(&caution));
            let words = match place {
                0 if self.words() == part.words => part.to_do.to_owned(),
                _ => format!("If {}: {}", part.words, part.to_do),
            };
            said.push(if is_new { format!("{caution} {words}") } else { words });
        }
        said
    }
}

/// A question with what it is expected to tell.
#[derive(Debug, Clone, Copy)]
pub struct Next {
    /// The question.
    pub ask: &'static Ask,
    /// Expected gain \[bit\].
    pub gain_bit: f64,
}

/// What was found.
#[derive(Debug, Clone)]
pub struct CallStudy {
    /// What was said.
    pub asked: CallAsked,
    /// Parts, the most likely first; empty while something comes before them.
    pub standing: Vec<Standing>,
    /// Questions that are left, those that tell most first.
    pub next: Vec<Next>,
    /// Her bank's volts forbid a meter here.
    pub is_meter_forbidden: bool,
    /// What is done before anything, in its order.
    pub at_once: Vec<Notice>,
    /// How often kept calls were right, where their end is known.
    pub score: CallScore,
    /// What to read first.
    pub notices: Vec<Notice>,
}

/// Share of answers that are wrong or of something else; own estimate, no source.
const WRONG: f64 = 0.08;
/// Weight of what is in no list, against all that are; own estimate, no source.
const STRANGE_OFTEN: f64 = 0.04;

/// The question that comes first.
const COMPLAINT: &str = "symptom";
/// What a dark display cannot show; and the one that tells that it is dark is asked for once.
const ON_DISPLAY: [&str; 3] = ["display", "gauge", FIGURES];

impl CallStudy {
    /// What `asked` tells of the boat.
    #[must_use]
    pub fn of(boat: &CallBoat, asked: CallAsked) -> Self {
        let limit_v = if asked.is_wet { METER_WET_V } else { METER_DRY_V };
        let is_meter_forbidden = boat.highest_v > limit_v;
        let (mut at_once, mut notices) = (Vec::new(), Vec::new());
        asked.red.iter().flatten().for_each(|red| push_once(&mut at_once, red.to_do.clone()));
        if asked.red.as_ref().is_some_and(|red| !red.is_empty()) {
            return Self {
                asked,
                standing: Vec::new(),
                next: Vec::new(),
                is_meter_forbidden,
                at_once,
                score: CallScore::default(),
                notices,
            };
        }
        // What it may be is weighed all the same; what is done about a part waits, for some of it needs the lever.
        if boat.unexplained_heat_w(&asked.read).is_some() {
            at_once.push(caution::CALL_HEAT);
        }
        let has_meter = asked.is_competent && !is_meter_forbidden;
        if has_meter {
            notices.push(caution::CALL_METER);
        }
        let does = asked.replies.iter().find(|reply| reply.ask.key == COMPLAINT);
        let does = does.map(|reply| reply.ask.answers[reply.answer].0);
        let stands = does == Some("nothing");
        let mut weights: Vec<Way> = ways(boat)
            .map(|way| Way { does, ..way })
            .map(|mut way| {
                let said: f64 =
                    asked.replies.iter().map(|reply| way.shares(reply.ask)[reply.answer]).product();
                let part = way.part.map_or(STRANGE, |part| part.key);
                way.share *= said * boat.likelihood(part, &asked.read, stands);
                way
            })
            .collect();
        let sum: f64 = weights.iter().map(|way| way.share).sum();
        weights.iter_mut().for_each(|way| way.share /= sum.max(f64::MIN_POSITIVE));
        let is_dark = asked
            .replies
            .iter()
            .any(|reply| ON_DISPLAY.contains(&reply.ask.key) && reply.ask.answers[reply.answer].0 == "dark");
        let is_open = |ask: &&'static Ask| {
            (ask.key != FIGURES || asked.read == Read::default())
                && asked.replies.iter().all(|reply| reply.ask.key != ask.key)
                && !(ON_DISPLAY.contains(&ask.key) && is_dark)
                && (!ask.of_two_drives || boat.drives > 1)
                && (ask.meter == Meter::None || has_meter)
        };
        let mut next: Vec<Next> = ASKS
            .iter()
            .filter(is_open)
            .map(|ask| Next {
                ask,
                gain_bit: if ask.key == FIGURES {
                    figures_bit(&boat.figures[usize::from(stands)], &weights)
                } else {
                    gain_bit(&weights, ask)
                },
            })
            .collect();
        // What she does is what he rings for: it is asked before anything else.
        next.sort_by(|a, b| {
            let worth = |next: &Next| next.gain_bit * next.ask.ease;
            (b.ask.key == COMPLAINT).cmp(&(a.ask.key == COMPLAINT)).then(worth(b).total_cmp(&worth(a)))
        });
        let (standing, score) = (by_place(&weights), CallScore::default());
        Self { asked, standing, next, is_meter_forbidden, at_once, score, notices }
    }

    /// Nothing that is in the list explains what was said.
    #[must_use]
    pub fn is_none_of_these(&self) -> bool {
        self.standing.first().is_some_and(|first| first.parts.is_empty())
    }
}

/// A way in which a part shows, with how likely it is, of all.
struct Way {
    part: Option<&'static Part>,
    shows: &'static str,
    share: f64,
    /// What she does, where it was told.
    does: Option<&'static str>,
}

/// Every way of every part that she can have, and none of them, before anything was said.
fn ways(boat: &CallBoat) -> impl Iterator<Item = Way> {
    let all: f64 = PARTS.iter().filter(|part| boat.can_have(part.key)).map(|part| part.often).sum();
    let of_part = move |part: &'static Part| {
        let ways = part.ways();
        let share = (1.0 - STRANGE_OFTEN) * part.often / all / ways.len() as f64;
        ways.into_iter().map(move |shows| Way { part: Some(part), shows, share, does: None })
    };
    let strange = Way { part: None, shows: "", share: STRANGE_OFTEN, does: None };
    PARTS.iter().filter(|part| boat.can_have(part.key)).flat_map(of_part).chain([strange])
}

impl Way {
    /// How likely each answer is with it, wrong answers among them.
    fn shares(&self, ask: &Ask) -> Vec<f64> {
        /// Of two drives that do not share the part, and that do.
        const APART: [&str; 4] = ["belt", "key", "propeller", "display"];
        const OTHER: [&str; 2] = ["goes 18, same 2", "goes 1, same 9"];
        let even = 1.0 / ask.answers.len() as f64;
        let Some(part) = self.part else { return vec![even; ask.answers.len()] };
        let shown = match (ask.key, self.does) {
            _ if ask.of_two_drives => Some(OTHER[usize::from(part.is_shared)]),
            // Whether the shaft turns follows from what she does, but for parts that part it from the motor, or hide what it does.
            ("shaft", Some(does)) if !APART.contains(&part.key) && does == "nothing" => {
                Some("stands 9, turns 1")
            }
            ("shaft", Some("weak" | "cuts" | "backwards")) if !APART.contains(&part.key) => {
                Some("turns 9, stands 1")
            }
            _ => shown(self.shows, ask.key),
        };
        let shares = |weights| ask.shares(weights).unwrap_or_else(|| vec![even; ask.answers.len()]);
        let usual = shares(ask.usual);
        let told = shown.map_or_else(|| usual.clone(), shares);
        let beside =
            told.into_iter().zip(usual).map(|(told, usual)| (1.0 - ask.beside) * told + ask.beside * usual);
        beside.map(|share| (1.0 - WRONG) * share + WRONG * even).collect()
    }

    fn place(&self) -> &'static str {
        self.part.map_or(STRANGE, |part| part.place)
    }
}

/// Parts joined by their places, the most likely first.
fn by_place(ways: &[Way]) -> Vec<Standing> {
    let mut found: Vec<(&'static str, Standing)> = Vec::new();
    for way in ways {
        let known = found.iter().position(|(place, _)| *place == way.place());
        let at = known.unwrap_or_else(|| {
            found.push((way.place(), Standing { parts: Vec::new(), share: 0.0 }));
            found.len() - 1
        });
        let standing = &mut found[at].1;
        standing.share += way.share;
        let Some(part) = way.part else { continue };
        match standing.parts.iter_mut().find(|(one, _)| one.key == part.key) {
            Some((_, share)) => *share += way.share,
            None => standing.parts.push((part, way.share)),
        }
    }
    let mut found: Vec<Standing> = found.into_iter().map(|(_, standing)| standing).collect();
    found.iter_mut().for_each(|one| one.parts.sort_by(|a, b| b.1.total_cmp(&a.1)));
    found.sort_by(|a, b| b.share.total_cmp(&a.share));
    found
}

/// What the answer is expected to tell of the place \[bit\]: entropy of the places now less that after each answer.
fn gain_bit(ways: &[Way], ask: &Ask) -> f64 {
    let known: Vec<Vec<f64>> = ways.iter().map(|way| way.shares(ask)).collect();
    let entropy = |of: &dyn Fn(usize) -> f64| {
        let mut places: BTreeMap<&str, f64> = BTreeMap::new();
        ways.iter()
            .enumerate()
            .for_each(|(i, way)| *places.entry(way.place()).or_default() += way.share * of(i));
        let all: f64 = places.values().sum();
        places.values().filter(|share| **share > 0.0).map(|share| -share * (share / all).log2()).sum::<f64>()
    };
    let after: f64 = (0..ask.answers.len()).map(|answer| entropy(&|i| known[i][answer])).sum();
    (entropy(&|_| 1.0) - after).max(0.0)
}

/// The same of the figures of the display: over readings that each part may give.
fn figures_bit(figures: &[Vec<Vec<f64>>], ways: &[Way]) -> f64 {
    let place = |way: &Way| {
        PARTS.iter().position(|one| way.part.is_some_and(|part| part.key == one.key)).unwrap_or(PARTS.len())
    };
    let all = |likely: &[f64]| ways.iter().map(|way| way.share * likely[place(way)]).sum::<f64>();
    let of_way = |way: &Way| {
        let at = place(way);
        let readings = figures.get(at).map_or(&[][..], Vec::as_slice);
        let told: f64 = readings.iter().map(|likely| (likely[at] / all(likely)).max(1e-9).log2()).sum();
        way.share * told / readings.len().max(1) as f64
    };
    ways.iter().map(of_way).sum::<f64>().max(0.0)
}
