//! Letters of a page that is typed in, taken in the order in which it wrote them, however they arrive: one
//! that was under way while a button sent the whole form is older than that form, not another device's.
//! Not for: what a letter says.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use super::query::Query;
use super::visitor::is_device_name;

/// Pages that are remembered; a letter of one that was forgotten is taken as it comes.
const MOST_PAGES: usize = 1024;

/// Turn of the latest letter of a page.
type Latest = Arc<Mutex<u64>>;

/// The pages that wrote, the one that wrote last at the end.
#[derive(Debug, Default)]
pub struct Letters(Mutex<VecDeque<(String, Latest)>>);

impl Letters {
    /// Does `work` for this letter while no other of its page is worked on; it is told whether a later one was
    /// there before. Every letter says all that is not yet acknowledged, so that an overtaken one says
    /// nothing more.
    pub fn in_turn<T>(&self, letter: &Query, work: impl FnOnce(bool) -> T) -> T {
        let page = letter.get("page").filter(|page| is_device_name(page));
        let turn = letter.get("turn").and_then(|turn| turn.parse::<u64>().ok());
        let Some((page, turn)) = page.zip(turn) else { return work(false) };
        let latest = self.latest_of(page);
        let mut latest = latest.lock().unwrap_or_else(PoisonError::into_inner);
        let is_overtaken = turn < *latest;
        *latest = turn.max(*latest);
        work(is_overtaken)
    }

    fn latest_of(&self, page: &str) -> Latest {
        let mut pages = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let place = pages.iter().position(|(other, _)| other == page);
        let known = place.and_then(|place| pages.remove(place));
        let (page, latest) = known.unwrap_or_else(|| (page.to_owned(), Latest::default()));
        if pages.len() >= MOST_PAGES {
            pages.pop_front();
        }
        pages.push_back((page, Arc::clone(&latest)));
        latest
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn letter(page: &str, turn: u64) -> Query {
        Query::parse(format!("page={page}&turn={turn}").as_bytes())
    }

    #[test]
    fn an_overtaken_letter_is_known_and_pages_are_apart() {
        let letters = Letters::default();
        let (a, b) = ("aaaaaaaaaaaaaaaa", "bbbbbbbbbbbbbbbb");
        let overtaken = |page: &str, turn: u64| letters.in_turn(&letter(page, turn), |is| is);
        assert!(!overtaken(a, 2) && overtaken(a, 1) && !overtaken(a, 3));
        assert!(!overtaken(b, 1), "another page's turns are its own");
        assert!(!overtaken("", 9) && !overtaken("", 1), "a form without a page is taken as it comes");
        for number in 0..2 * MOST_PAGES {
            overtaken(&format!("{number:016x}"), 1);
        }
        assert_eq!(letters.0.lock().unwrap().len(), MOST_PAGES);
    }
}
