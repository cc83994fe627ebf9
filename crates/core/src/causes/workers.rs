//! Who does the work: one after the other here, on all cores in the program. Not for: threads.

/// Does a number of like jobs; the result is the same in whatever order they are done.
pub trait Workers {
    /// `job(0)` to `job(count - 1)`, in this order in the result.
    fn map<T: Send>(&self, count: usize, job: impl Fn(usize) -> T + Sync + Send) -> Vec<T>;
}

/// One after the other.
#[derive(Debug, Clone, Copy, Default)]
pub struct Alone;

impl Workers for Alone {
    fn map<T: Send>(&self, count: usize, job: impl Fn(usize) -> T + Sync + Send) -> Vec<T> {
        (0..count).map(job).collect()
    }
}
