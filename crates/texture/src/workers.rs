//! Parallel work is handed in: this floor starts no threads.

/// A part of a larger work, apart from all others.
pub type Job<'a> = Box<dyn FnOnce() + Send + 'a>;

/// Who does the parts of a work. How many there are never changes an answer: parts are cut
/// by the size of the work alone.
pub trait Workers: Sync {
    /// Does all the parts, in any order, and returns when the last is done.
    fn run<'a>(&self, jobs: Vec<Job<'a>>);
}

/// One after the other, here.
#[derive(Debug, Clone, Copy, Default)]
pub struct Alone;

impl Workers for Alone {
    fn run<'a>(&self, jobs: Vec<Job<'a>>) {
        for job in jobs {
            job();
        }
    }
}

/// The answer of each part, in the order of the parts.
pub fn each<T: Send, I: Send>(
    workers: &dyn Workers,
    inputs: Vec<I>,
    work: impl Fn(I) -> T + Sync,
) -> Vec<T> {
    let mut answers: Vec<Option<T>> = inputs.iter().map(|_| None).collect();
    let work = &work;
    let jobs: Vec<Job<'_>> = inputs
        .into_iter()
        .zip(&mut answers)
        .map(|(input, answer)| -> Job<'_> { Box::new(move || *answer = Some(work(input))) })
        .collect();
    workers.run(jobs);
    answers.into_iter().flatten().collect()
}
