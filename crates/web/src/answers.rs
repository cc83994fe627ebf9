//! Answers that were computed lately, so that an equal question is computed once, whoever asks and however
//! many ask at once. What is kept stands under all that it follows from, her whole document among it, so that
//! nothing has to be let go when something changes. Not for: computing.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use maud::{Markup, PreEscaped};

use super::error::WebError;

/// Answers and questions that are kept have this many bytes together at most.
const MOST_BYTES: usize = 24_000_000;
/// And no more than this many are kept.
const MOST_KEPT: usize = 400;

/// All that an answer follows from.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Question {
    /// Which kind of answer, of which room.
    pub of: (&'static str, &'static str),
    /// Her slug and name.
    pub boat: (String, String),
    /// Number of the revision, which forms carry, and its note.
    pub revision: (u32, String),
    /// Her document.
    pub text: String,
    /// Her records, each with its version.
    pub records: Vec<(i64, u32)>,
    /// What is asked, name and value.
    pub asked: Vec<(String, String)>,
    /// Width for which it is drawn, as its bits.
    pub width_bits: u64,
}

impl Question {
    fn bytes(&self) -> usize {
        let asked: usize = self.asked.iter().map(|(name, value)| name.len() + value.len()).sum();
        size_of::<Self>()
            + self.text.len()
            + self.revision.1.len()
            + self.boat.0.len()
            + self.boat.1.len()
            + asked
            + self.records.len() * size_of::<(i64, u32)>()
    }
}

/// What was answered: a page, or why there is no result.
type Said = Result<Arc<str>, Arc<str>>;

/// Held by whoever computes; who asks meanwhile waits for it.
type Place = Arc<Mutex<Option<Said>>>;

#[derive(Debug, Default)]
struct Kept {
    /// With the time of asking, counted, and how many bytes it has.
    places: HashMap<Arc<Question>, (u64, usize, Place)>,
    count: u64,
    bytes: usize,
}

/// The answers.
#[derive(Debug, Default)]
pub struct Answers(Mutex<Kept>);

impl Answers {
    /// The answer to `question`; `work` computes it if it is not there.
    ///
    /// # Errors
    /// Those of `work`; of them only that there is no result is kept.
    pub fn get(
        &self,
        question: Question,
        work: impl FnOnce() -> Result<Markup, WebError>,
    ) -> Result<Markup, WebError> {
        let question = Arc::new(question);
        let place = self.place_of(&question);
        let mut said = place.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(said) = &*said {
            return told(said);
        }
        let now: Said = match work() {
            Ok(page) => Ok(page.into_string().into()),
            Err(WebError::NoResult(why)) => Err(why.into()),
            Err(other) => return Err(other),
        };
        *said = Some(now.clone());
        drop(said);
        self.weigh(&question, now.as_ref().unwrap_or_else(|why| why).len());
        told(&now)
    }

    fn place_of(&self, question: &Arc<Question>) -> Place {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept.count += 1;
        let now = kept.count;
        if let Some((when, _, place)) = kept.places.get_mut(question) {
            *when = now;
            return Arc::clone(place);
        }
        let place = Place::default();
        let bytes = question.bytes();
        kept.bytes += bytes;
        kept.places.insert(Arc::clone(question), (now, bytes, Arc::clone(&place)));
        kept.let_go();
        place
    }

    /// Counts what was answered.
    fn weigh(&self, question: &Arc<Question>, more: usize) {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, bytes, _)) = kept.places.get_mut(question) {
            *bytes += more;
            kept.bytes += more;
            kept.let_go();
        }
    }
}

impl Kept {
    /// Lets go what was asked for longest ago. Whoever waits for it holds it still.
    fn let_go(&mut self) {
        while self.bytes > MOST_BYTES || self.places.len() > MOST_KEPT {
            let oldest = self.places.iter().min_by_key(|(_, (when, ..))| *when);
            let Some(oldest) = oldest.map(|(question, _)| Arc::clone(question)) else { return };
            self.bytes -= self.places.remove(&oldest).map_or(0, |(_, bytes, _)| bytes);
        }
    }
}

fn told(said: &Said) -> Result<Markup, WebError> {
    match said {
        Ok(page) => Ok(PreEscaped(page.to_string())),
        Err(why) => Err(WebError::NoResult(why.to_string())),
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;

    fn question(text: &str, width_px: f64) -> Question {
        Question {
            of: ("page", "drive"),
            boat: ("sea-campion".to_owned(), "Sea Campion".to_owned()),
            revision: (1, String::new()),
            text: text.to_owned(),
            records: Vec::new(),
            asked: Vec::new(),
            width_bits: width_px.to_bits(),
        }
    }

    #[test]
    fn equal_questions_are_computed_once_and_others_apart() {
        let (answers, count) = (Answers::default(), AtomicUsize::new(0));
        let ask = |text: &str, width_px: f64| {
            let work = || {
                count.fetch_add(1, Ordering::Relaxed);
                std::thread::sleep(std::time::Duration::from_millis(20));
                Ok(PreEscaped(format!("{text} at {width_px}")))
            };
            assert_eq!(
                answers.get(question(text, width_px), work).unwrap().0,
                format!("{text} at {width_px}")
            );
        };
        std::thread::scope(|scope| {
            for _ in 0..6 {
                scope.spawn(|| ask("a", 720.0));
            }
        });
        assert_eq!(count.load(Ordering::Relaxed), 1);
        ask("b", 720.0);
        ask("a", 360.0);
        ask("a", 720.0);
        assert_eq!(count.load(Ordering::Relaxed), 3);
    }

    #[test]
    fn what_failed_is_tried_again_and_a_panic_leaves_the_place_free() {
        let answers = Answers::default();
        let failed = answers.get(question("a", 1.0), || Err(WebError::BrokenOff));
        assert!(matches!(failed, Err(WebError::BrokenOff)));
        let panicked = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
            answers.get(question("a", 1.0), || panic!("at this page"))
        }));
        assert!(panicked.is_err());
        let none = || Err(WebError::NoResult("no steady state".to_owned()));
        assert!(answers.get(question("a", 1.0), none).is_err());
        let kept = answers.get(question("a", 1.0), || panic!("it is kept that there is none"));
        assert_eq!(kept.unwrap_err().to_string(), "no steady state");
    }

    #[test]
    fn the_oldest_go_when_there_are_too_many_or_too_much() {
        let answers = Answers::default();
        let long = "x".repeat(200_000);
        for number in 0..1000_u32 {
            let text = if number % 2 == 0 { format!("{number}") } else { format!("{long}{number}") };
            let _ = answers.get(question(&text, 1.0), || Ok(PreEscaped(long.clone())));
        }
        let kept = answers.0.lock().unwrap();
        assert!(kept.bytes <= MOST_BYTES && kept.places.len() <= MOST_KEPT);
        assert_eq!(kept.bytes, kept.places.values().map(|(_, bytes, _)| bytes).sum::<usize>());
        assert!(kept.places.keys().any(|question| question.text.ends_with("999")));
    }
}
