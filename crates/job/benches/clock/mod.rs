//! The clock of benchmarks.

use std::time::{Duration, Instant};

/// The fastest of some.
pub(crate) fn fastest<T>(times: usize, mut work: impl FnMut() -> T) -> Duration {
    (0..times)
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(work());
            start.elapsed()
        })
        .min()
        .unwrap_or_default()
}
