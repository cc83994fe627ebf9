//! Long work that runs behind the pages: a few at a time, each on threads of its own so that pages keep
//! answering, stopped when asked or when nobody looks any more. Nothing of it is written to
//! disk. Not for: what is looked for or how it is shown.

use std::sync::atomic::{AtomicBool, AtomicU64, AtomicUsize};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use wakewright_rooms::room::Watch;
use wakewright_store::BoatId;

use super::job::{End, Job};
use super::visitor::random_name;

/// Works that run at once.
const MOST_RUNNING: usize = 2;
/// Works whose result is held.
const MOST_HELD: usize = 8;
/// Work that nobody has asked after for so long is stopped.
pub(super) const PATIENCE: Duration = Duration::from_secs(60);

/// Does long work on all cores with threads of its own: pages draw on the common ones, and would be held up.
pub fn on_own_threads<T: Send>(work: impl FnOnce() -> T + Send) -> T {
    match rayon::ThreadPoolBuilder::new().build() {
        Ok(pool) => pool.install(work),
        Err(_) => work(),
    }
}

/// All of them, the newest last.
#[derive(Debug, Default)]
pub struct Jobs(Mutex<Vec<Arc<Job>>>);

impl Jobs {
    /// Begins work of so many parts, which is watched and gives nothing when it is stopped; `None` when as much runs as may.
    pub fn begin(
        &self,
        (boat, revision): (BoatId, u32),
        parts: usize,
        work: impl FnOnce(&Watch<'_>) -> Option<End> + Send + 'static,
    ) -> Option<Arc<Job>> {
        let mut jobs = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if jobs.iter().filter(|job| job.is_running()).count() >= MOST_RUNNING {
            return None;
        }
        while jobs.len() >= MOST_HELD {
            let oldest = jobs.iter().position(|job| !job.is_running())?;
            jobs.remove(oldest);
        }
        let job = Arc::new(Job {
            name: random_name(),
            boat,
            revision,
            done: AtomicUsize::new(0),
            total: AtomicUsize::new(parts),
            is_cancelled: AtomicBool::new(false),
            begun: Instant::now(),
            asked_ms: AtomicU64::new(0),
            end: Mutex::new(None),
        });
        jobs.push(job.clone());
        drop(jobs);
        let running = job.clone();
        std::thread::spawn(move || {
            let work = || running.run(work);
            let guarded = std::panic::AssertUnwindSafe(|| on_own_threads(work));
            let end = std::panic::catch_unwind(guarded).unwrap_or(End::Failed);
            *running.end.lock().unwrap_or_else(PoisonError::into_inner) = Some(end);
        });
        Some(job)
    }

    /// The work of this name about this boat, if it is still held.
    pub fn find(&self, boat: BoatId, name: &str) -> Option<Arc<Job>> {
        let jobs = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        jobs.iter().find(|job| job.boat == boat && job.name == name).cloned()
    }
}

#[cfg(test)]
mod tests {
    use wakewright_store::Store;

    use super::*;
    use crate::parts::SETTLED_SAMPLES;
    use wakewright_rooms::boats::{Loaded, understand};
    use wakewright_rooms::demo::DEMO_BOAT;
    use wakewright_rooms::sampling::DEFAULT_SEED;
    use wakewright_rooms::search::{Wish, run};

    fn begun(jobs: &Jobs, id: BoatId, boat: &Loaded, ratios: &str) -> Option<Arc<Job>> {
        jobs.begin((id, 1), 1, searching(boat, ratios))
    }

    fn searching(boat: &Loaded, ratios: &str) -> impl FnOnce(&Watch<'_>) -> Option<End> + Send + 'static {
        let wish = Wish { ratios: ratios.to_owned(), ..Wish::default() };
        let (search, spec) = (wish.search(boat).unwrap(), boat.spec.clone());
        move |watch| {
            let found = run(&search, &[], &spec, (SETTLED_SAMPLES, DEFAULT_SEED), watch)?;
            Some(End::Searched(Arc::new(found)))
        }
    }

    fn ended(job: &Job) -> End {
        loop {
            if let Some(end) = job.end() {
                return end;
            }
            std::thread::sleep(Duration::from_millis(5));
        }
    }

    #[test]
    fn a_few_run_at_a_time_and_each_stops_when_asked() {
        let folder = tempfile::tempdir().unwrap();
        let mut store = Store::open(folder.path().join("boats.sqlite")).unwrap();
        let id = store.create("Tern", DEMO_BOAT, "", wakewright_store::UnixMs(1)).unwrap();
        let boat = understand(DEMO_BOAT, "Tern", &[]).unwrap();
        let jobs = Jobs::default();
        let long = "1..4/0.003";
        let first = begun(&jobs, id, &boat, long).unwrap();
        let second = begun(&jobs, id, &boat, long).unwrap();
        assert!(begun(&jobs, id, &boat, long).is_none(), "two run already");
        assert!(jobs.find(id, &first.name).is_some() && jobs.find(id, "nobody").is_none());
        first.stop();
        second.stop();
        assert!(matches!(ended(&first), End::Stopped) && matches!(ended(&second), End::Stopped));
        let third = begun(&jobs, id, &boat, "2,2.9").unwrap();
        let End::Searched(outcome) = ended(&third) else { panic!("it was not stopped") };
        assert!(!outcome.candidates.is_empty() && outcome.gain.is_some());
        assert_eq!(third.progress().done, third.progress().total);
        for _ in 0..2 * MOST_HELD {
            ended(&begun(&jobs, id, &boat, "2").unwrap());
        }
        assert!(jobs.find(id, &third.name).is_none(), "only the last are held");
    }

    #[test]
    fn a_search_that_nobody_looks_at_is_stopped() {
        let folder = tempfile::tempdir().unwrap();
        let mut store = Store::open(folder.path().join("boats.sqlite")).unwrap();
        let id = store.create("Tern", DEMO_BOAT, "", wakewright_store::UnixMs(1)).unwrap();
        let boat = understand(DEMO_BOAT, "Tern", &[]).unwrap();
        let job = Job {
            name: random_name(),
            boat: id,
            revision: 1,
            done: AtomicUsize::new(0),
            total: AtomicUsize::new(0),
            is_cancelled: AtomicBool::new(false),
            begun: Instant::now().checked_sub(2 * PATIENCE).unwrap(),
            asked_ms: AtomicU64::new(0),
            end: Mutex::new(None),
        };
        assert!(matches!(job.run(searching(&boat, "2,2.9")), End::Stopped));
    }
}
