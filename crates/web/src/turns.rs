//! Turns at computing: a few questions at once, the newest next, and no more in the queue than can be
//! answered while somebody still looks. Not for: what is computed, or answers that are at hand.

use std::sync::{Condvar, Mutex, PoisonError};
use std::time::{Duration, Instant};

use wakewright_rooms::wish::{NobodyWaits, Wish};

use super::error::WebError;

/// Questions that wait at once; one more sends the one that came first away.
const MOST_WAITING: usize = 24;
/// Nobody waits longer than this to begin.
const LONGEST_WAIT: Duration = Duration::from_secs(10);
/// Between two looks whether those who asked are still there.
const LOOK: Duration = Duration::from_millis(100);

/// The queue.
#[derive(Debug)]
pub struct Turns {
    at_once: usize,
    line: Mutex<Line>,
    moved: Condvar,
}

#[derive(Debug, Default)]
struct Line {
    computing: usize,
    /// Numbers of those that wait, the newest last, with what each waits for.
    waiting: Vec<(u64, Wish)>,
    asked: u64,
}

impl Default for Turns {
    /// As many at once as there are cores: one alone leaves some idle whenever it does what cannot be shared.
    fn default() -> Self {
        Self::at_once(std::thread::available_parallelism().map_or(1, Into::into))
    }
}

/// A turn; the next begins when it goes, after a panic too.
struct Turn<'a>(&'a Turns);

impl Drop for Turn<'_> {
    fn drop(&mut self) {
        self.0.line.lock().unwrap_or_else(PoisonError::into_inner).computing -= 1;
        self.0.moved.notify_all();
    }
}

impl Turns {
    fn at_once(at_once: usize) -> Self {
        Self { at_once, line: Mutex::default(), moved: Condvar::new() }
    }

    /// Computes `work` when its turn comes.
    ///
    /// # Errors
    /// Those of `work`; [`WebError::Busy`] when too many newer questions were asked meanwhile.
    pub fn take<T>(&self, work: impl FnOnce() -> Result<T, WebError>) -> Result<T, WebError> {
        let _turn = self.wait(&Wish::of_this_thread())?;
        work()
    }

    fn wait(&self, wish: &Wish) -> Result<Turn<'_>, WebError> {
        let began = Instant::now();
        let mut line = self.line.lock().unwrap_or_else(PoisonError::into_inner);
        line.asked += 1;
        let own = line.asked;
        line.waiting.push((own, wish.clone()));
        line.waiting.retain(|(_, wish)| !wish.is_given_up());
        if line.waiting.len() > MOST_WAITING {
            line.waiting.remove(0);
            self.moved.notify_all();
        }
        loop {
            let is_in_line = line.waiting.iter().any(|(number, _)| *number == own);
            if wish.is_given_up() {
                line.waiting.retain(|(number, _)| *number != own);
                drop(line);
                self.moved.notify_all();
                std::panic::resume_unwind(Box::new(NobodyWaits));
            }
            if !is_in_line || began.elapsed() > LONGEST_WAIT {
                line.waiting.retain(|(number, _)| *number != own);
                return Err(WebError::Busy { waiting: line.waiting.len() });
            }
            line.waiting.retain(|(_, wish)| !wish.is_given_up());
            if line.computing < self.at_once && line.waiting.last().is_some_and(|(number, _)| *number == own)
            {
                line.waiting.pop();
                line.computing += 1;
                // The next may begin as well.
                self.moved.notify_all();
                return Ok(Turn(self));
            }
            line = self.moved.wait_timeout(line, LOOK).unwrap_or_else(PoisonError::into_inner).0;
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc::{Sender, channel};

    use super::*;

    fn until(is_so: impl Fn() -> bool) {
        while !is_so() {
            std::thread::sleep(Duration::from_millis(1));
        }
    }

    /// Asks in the order given while another computes; gives the order in which they were answered, and how
    /// many were sent away.
    fn answered(wishes: &[Wish], before_the_first_ends: impl FnOnce()) -> (Vec<usize>, usize) {
        let turns = Turns::at_once(1);
        let waiting = || turns.line.lock().unwrap().waiting.len();
        let (ends, end) = channel::<()>();
        let (said, heard): (Sender<Option<usize>>, _) = channel();
        std::thread::scope(|scope| {
            let first = &turns;
            scope.spawn(move || {
                first.take(|| {
                    end.recv().unwrap();
                    Ok(())
                })
            });
            until(|| turns.line.lock().unwrap().computing == 1);
            for (number, wish) in wishes.iter().enumerate() {
                let (turns, said) = (&turns, said.clone());
                scope.spawn(move || {
                    let work = || {
                        turns.take(|| {
                            said.send(Some(number)).unwrap();
                            Ok(())
                        })
                    };
                    let guarded = std::panic::AssertUnwindSafe(|| wish.during(work));
                    if let Ok(Err(WebError::Busy { .. })) = std::panic::catch_unwind(guarded) {
                        said.send(None).unwrap();
                    }
                });
                until(|| turns.line.lock().unwrap().asked == number as u64 + 2);
            }
            drop(said);
            before_the_first_ends();
            until(|| waiting() <= MOST_WAITING);
            ends.send(()).unwrap();
            let all: Vec<Option<usize>> = heard.iter().collect();
            let sent_away = all.iter().filter(|one| one.is_none()).count();
            (all.into_iter().flatten().collect(), sent_away)
        })
    }

    #[test]
    fn the_newest_question_is_next_and_one_whose_asker_went_is_none() {
        let wishes: Vec<Wish> = (0..4).map(|_| Wish::default()).collect();
        let (order, sent_away) = answered(&wishes, || wishes[2].give_up());
        assert_eq!((order, sent_away), (vec![3, 1, 0], 0));
    }

    #[test]
    fn who_waits_longest_is_told_when_too_many_ask() {
        let wishes: Vec<Wish> = (0..MOST_WAITING + 3).map(|_| Wish::default()).collect();
        let (order, sent_away) = answered(&wishes, || {});
        assert_eq!((order.len(), sent_away), (MOST_WAITING, 3));
        assert!(order.iter().all(|number| *number >= 3) && order[0] == MOST_WAITING + 2);
        let said = WebError::Busy { waiting: 24 };
        assert_eq!(said.status().as_u16(), 503);
        assert!(said.to_string().contains("24 other questions"), "{said}");
    }
}
