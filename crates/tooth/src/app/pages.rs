//! Jobs as they are looked at: worked out once for every state of their record.
//!
//! Whoever asks for a job waits for the one work on it, and no job waits for another. The work
//! ends early when nobody waits for it any more.

use std::sync::{Arc, MutexGuard, PoisonError};
use tooth_measure::say::{Language, said};

use serde::Serialize;
use serde_json::Value;
use tokio::sync::{OnceCell, watch};
use tooth_formats::scan::Threads;
use tooth_record::chain::TrustedHead;
use tooth_record::{FileName, JobId};
use tooth_storage::RecordStore as _;
use tooth_texture::{Job, Workers};
use tooth_words::Words;

use super::{App, Photos, Refusal, Settings, Worked, computed, documents, worked_by};

/// Jobs that are kept worked out; the eldest goes.
const KEPT: usize = 8;

/// A job worked out, and its documents once somebody has asked for them.
#[derive(Debug)]
pub(crate) struct Looked {
    worked: Arc<Worked>,
    /// By language, in the order of the list of languages.
    documents: [OnceCell<Vec<documents::File>>; 2],
}

/// How far the work on a job is.
#[derive(Debug, Clone)]
enum Progress {
    Underway,
    Done(Result<Arc<Looked>, Refusal>),
    /// Nobody waited for it.
    GivenUp,
}

/// The work on one state of a job's record.
#[derive(Debug)]
pub(super) struct Working {
    job: JobId,
    head: TrustedHead,
    progress: watch::Sender<Progress>,
}

impl Working {
    fn is_wanted(&self) -> bool {
        !self.progress.is_closed()
    }
}

/// The one looked at last stands last.
pub(super) type Kept = Vec<Arc<Working>>;

/// Does the parts of a work for as long as somebody waits for it.
struct WhileWanted(Arc<Working>);

impl Workers for WhileWanted {
    fn run<'a>(&self, jobs: Vec<Job<'a>>) {
        let wanted = |job: Job<'a>| -> Job<'a> {
            let working = Arc::clone(&self.0);
            Box::new(move || {
                if working.is_wanted() {
                    job();
                }
            })
        };
        Threads.run(jobs.into_iter().map(wanted).collect());
        if !self.0.is_wanted() {
            // Half an answer is none: the whole work ends here, and nothing was stored.
            std::panic::resume_unwind(Box::new("nobody waits"));
        }
    }
}

fn unknown(job: JobId) -> Refusal {
    Refusal::typed("JOB", said!("app-a-job-of-the-record"), format!("`{job}`"))
}

impl App {
    /// A job of the record, worked out with the usual settings.
    pub(crate) async fn looked_at(self: &Arc<Self>, job: JobId) -> Result<Arc<Worked>, Refusal> {
        Ok(Arc::clone(&self.looked(job).await?.worked))
    }

    /// What a page shows of a job, put together off the threads that answer.
    pub(crate) async fn page<T: Serialize + 'static>(
        self: &Arc<Self>,
        job: JobId,
        language: Option<Language>,
        of: impl FnOnce(&Worked, Words) -> Option<T> + Send + 'static,
    ) -> Result<Option<Value>, Refusal> {
        let worked = self.looked_at(job).await?;
        computed(move || {
            let words = Settings { language, ..Settings::USUAL }.words(worked.folder());
            let told = of(&worked, words).map(|page| words.json(&page)).transpose();
            told.map_err(|error| Refusal::Ours(error.to_string().into()))
        })
        .await
    }

    /// Spectra of typical taps of a recording, as a picture; none of that name.
    pub(crate) async fn spectra(
        self: &Arc<Self>,
        job: JobId,
        language: Option<Language>,
        name: String,
    ) -> Result<Option<Vec<u8>>, Refusal> {
        let worked = self.looked_at(job).await?;
        let words = Settings { language, ..Settings::USUAL }.words(worked.folder());
        Ok(computed(move || worked.sounding_spectra(&name, words)).await)
    }

    async fn looked(self: &Arc<Self>, job: JobId) -> Result<Arc<Looked>, Refusal> {
        let heads = self.storage().await?.records().jobs().await?;
        let head = heads.iter().find(|known| known.job == job && known.entries > 0);
        let head = head.ok_or_else(|| unknown(job))?;
        let head = TrustedHead { entries: head.entries, link: head.link };
        loop {
            let mut progress = self.progress_of(job, head);
            let ended = progress.wait_for(|now| !matches!(now, Progress::Underway)).await;
            match ended.map(|ended| ended.clone()) {
                Ok(Progress::Done(done)) => return done,
                // It was given up in the moment in which it was asked for again.
                Ok(Progress::GivenUp | Progress::Underway) | Err(_) => {}
            }
        }
    }

    fn kept(&self) -> MutexGuard<'_, Kept> {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The work on a state of a job, begun where nobody has begun it.
    fn progress_of(self: &Arc<Self>, job: JobId, head: TrustedHead) -> watch::Receiver<Progress> {
        let mut kept = self.kept();
        let at = kept.iter().position(|known| known.job == job);
        if let Some(known) = at.map(|at| kept.remove(at)).filter(|known| known.head == head)
            && !matches!(*known.progress.borrow(), Progress::GivenUp)
        {
            let progress = known.progress.subscribe();
            kept.push(known);
            return progress;
        }
        let (sender, progress) = watch::channel(Progress::Underway);
        let working = Arc::new(Working { job, head, progress: sender });
        if kept.len() >= KEPT {
            kept.remove(0);
        }
        kept.push(Arc::clone(&working));
        drop(kept);
        let app = Arc::clone(self);
        tokio::spawn(async move {
            let ended = app.work_on(&working).await;
            if !matches!(ended, Progress::Done(Ok(_))) {
                app.kept().retain(|known| !Arc::ptr_eq(known, &working));
            }
            working.progress.send_replace(ended);
        });
        progress
    }

    async fn work_on(&self, working: &Arc<Working>) -> Progress {
        // As many jobs at a time as there are processors; the others wait.
        let Ok(_turn) = self.computing.acquire().await else { return Progress::GivenUp };
        if !working.is_wanted() {
            return Progress::GivenUp;
        }
        let read = match self.read_recorded(working.job).await {
            Ok(read) => read,
            Err(refusal) => return Progress::Done(Err(refusal)),
        };
        let wanted = WhileWanted(Arc::clone(working));
        let work = move || worked_by(read, Settings::USUAL, &wanted);
        match tokio::task::spawn_blocking(work).await {
            Ok(worked) => Progress::Done(Ok(Arc::new(Looked {
                worked: Arc::new(worked),
                documents: [OnceCell::new(), OnceCell::new()],
            }))),
            Err(_) if !working.is_wanted() => Progress::GivenUp,
            Err(_) => {
                let why = said!("app-a-fault-of-the-program-while-this");
                Progress::Done(Err(Refusal::Ours(why)))
            }
        }
    }

    /// A document of a job as it would be made now; none of that name. Nothing is noted
    /// as issued.
    pub(crate) async fn document(
        self: &Arc<Self>,
        job: JobId,
        language: Option<Language>,
        file: &str,
    ) -> Result<Option<Vec<u8>>, Refusal> {
        if documents::NAMES.iter().all(|name| *name != file) {
            return Ok(None);
        }
        let looked = self.looked(job).await?;
        let settings = Settings { language, ..Settings::USUAL };
        let make = || self.documents(&looked.worked, settings);
        let kept = match settings.words(looked.worked.folder()).language {
            Language::English => &looked.documents[0],
            Language::Spanish => &looked.documents[1],
        };
        let made = kept.get_or_try_init(make).await?;
        Ok(made.iter().find(|known| known.name == file).map(|known| known.bytes.clone()))
    }

    /// A document as it was issued; none of that number and name.
    pub(crate) async fn issued_document(
        &self,
        job: JobId,
        number: u64,
        file: &FileName,
    ) -> Result<Option<Vec<u8>>, Refusal> {
        let record = self.known_record(job).await?;
        let hash = {
            let folded = record.folded();
            let at = usize::try_from(number).ok().and_then(|number| number.checked_sub(1));
            let issue = at.and_then(|at| folded.issues.get(at)).map(|placed| placed.issue);
            let document =
                issue.and_then(|issue| issue.documents.iter().find(|known| known.name == *file));
            document.map(|document| document.hash)
        };
        match hash {
            Some(hash) => Ok(Some(self.storage().await?.files().get(hash).await?)),
            None => Ok(None),
        }
    }

    /// A photograph that the plan names; none of that name.
    pub(crate) async fn photo(
        self: &Arc<Self>,
        job: JobId,
        file: &str,
    ) -> Result<Option<Vec<u8>>, Refusal> {
        let worked = self.looked_at(job).await?;
        let Photos::Recorded(files) = &worked.read.photos else { return Ok(None) };
        let known = worked.folder().photos().any(|photo| photo == file);
        let name = FileName::new(&format!("photos/{file}")).filter(|_| known);
        match name.and_then(|name| files.get(&name)) {
            Some((hash, _)) => Ok(Some(self.storage().await?.files().get(*hash).await?)),
            None => Ok(None),
        }
    }

    /// A recording of taps, with the name of its file; none of that name.
    pub(crate) async fn recording(
        self: &Arc<Self>,
        job: JobId,
        name: &str,
    ) -> Result<Option<(FileName, Vec<u8>)>, Refusal> {
        match self.looked_at(job).await?.recording_file(name) {
            Some((file, hash)) => Ok(Some((file, self.storage().await?.files().get(hash).await?))),
            None => Ok(None),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Mutex;
    use std::sync::atomic::{AtomicUsize, Ordering};

    use tooth_record::chain::Link;

    use super::*;

    /// Parts that are done until the one who waits goes away, and whether the work ended there.
    fn done_until(leaves: Option<usize>) -> (usize, bool) {
        const PARTS: usize = 64;
        let (sender, receiver) = watch::channel(Progress::Underway);
        let job = JobId::from_bytes([7; 16]);
        let head = TrustedHead { entries: 1, link: Link::start(job) };
        let working = Arc::new(Working { job, head, progress: sender });
        let waiting = Mutex::new(Some(receiver));
        let done = AtomicUsize::new(0);
        let part = |number: usize| -> Job<'_> {
            let (waiting, done) = (&waiting, &done);
            Box::new(move || {
                if leaves == Some(number) {
                    *waiting.lock().unwrap_or_else(PoisonError::into_inner) = None;
                }
                done.fetch_add(1, Ordering::Relaxed);
            })
        };
        let run = || WhileWanted(Arc::clone(&working)).run((0..PARTS).map(part).collect());
        let ended = std::panic::catch_unwind(std::panic::AssertUnwindSafe(run)).is_err();
        (done.into_inner(), ended)
    }

    #[test]
    fn a_work_for_which_nobody_waits_ends_at_its_next_part() {
        assert_eq!(done_until(None), (64, false));
        let (done, ended) = done_until(Some(8));
        assert!(ended && done < 32, "{done}");
    }
}
