//! Parallel work on this machine's processors.

use std::sync::{Mutex, PoisonError};

use tooth_texture::{Job, Workers};

/// As many threads as there are processors.
#[derive(Debug, Clone, Copy, Default)]
pub struct Threads;

impl Workers for Threads {
    fn run<'a>(&self, jobs: Vec<Job<'a>>) {
        let threads = std::thread::available_parallelism().map_or(1, usize::from).min(jobs.len());
        if threads < 2 {
            return jobs.into_iter().for_each(|job| job());
        }
        let queue = Mutex::new(jobs.into_iter());
        let next = || queue.lock().unwrap_or_else(PoisonError::into_inner).next();
        std::thread::scope(|scope| {
            for _ in 1..threads {
                scope.spawn(|| {
                    while let Some(job) = next() {
                        job();
                    }
                });
            }
            while let Some(job) = next() {
                job();
            }
        });
    }
}
