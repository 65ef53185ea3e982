//! Independent runs on all cores.

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Is told how many of how many runs are done; from any of the threads.
pub type Progress<'p> = &'p (dyn Fn(usize, usize) + Sync);

/// The results of so many runs, in the order of their numbers whoever finished first: the same on any number of cores.
pub(super) fn all<T: Send>(
    count: usize,
    progress: Progress<'_>,
    run: impl Fn(usize) -> T + Sync,
) -> Vec<T> {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let (next, done) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let results: Vec<Mutex<Option<T>>> = (0..count).map(|_| Mutex::new(None)).collect();
    let work = || {
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(result) = results.get(index) else {
                return;
            };
            let made = run(index);
            *result.lock().unwrap_or_else(|broken| broken.into_inner()) = Some(made);
            progress(done.fetch_add(1, Ordering::Relaxed) + 1, count);
        }
    };
    std::thread::scope(|scope| {
        for _ in 1..cores.min(count) {
            scope.spawn(work);
        }
        work();
    });
    let made = results.into_iter();
    made.filter_map(|result| {
        result
            .into_inner()
            .unwrap_or_else(|broken| broken.into_inner())
    })
    .collect()
}
