//! Jobs as they are looked at: worked out once for every state of their record.

use std::sync::Arc;

use tooth_job::record::chain::TrustedHead;
use tooth_job::record::{FileName, JobId};
use tooth_storage::RecordStore as _;

use super::{App, Photos, Refusal, Settings, Worked, documents, worked};

/// Jobs that are kept worked out; the eldest goes.
const KEPT: usize = 8;

/// A job worked out, and its documents once somebody has asked for them.
#[derive(Debug, Clone)]
pub(crate) struct Looked {
    head: TrustedHead,
    worked: Arc<Worked>,
    documents: Option<Arc<Vec<documents::File>>>,
}

/// The one looked at last stands last.
pub(super) type Kept = Vec<(JobId, Looked)>;

fn unknown(job: JobId) -> Refusal {
    Refusal::typed("JOB", "a job of the record", format!("`{job}`"))
}

impl App {
    /// A job of the record, worked out with the usual settings.
    pub(crate) async fn looked_at(&self, job: JobId) -> Result<Arc<Worked>, Refusal> {
        Ok(self.looked(job).await?.worked)
    }

    async fn looked(&self, job: JobId) -> Result<Looked, Refusal> {
        let heads = self.storage().await?.records().jobs().await?;
        let head = heads.iter().find(|known| known.job == job && known.entries > 0);
        let head = head.ok_or_else(|| unknown(job))?;
        let head = TrustedHead { entries: head.entries, link: head.link };
        // Whoever asks for the same job waits for the one who is working it out.
        let mut kept = self.kept.lock().await;
        let at = kept.iter().position(|(known, _)| *known == job);
        if let Some((_, looked)) = at.map(|at| kept.remove(at)).filter(|(_, l)| l.head == head) {
            kept.push((job, looked.clone()));
            return Ok(looked);
        }
        let read = self.read_recorded(job).await?;
        let looked =
            Looked { head, worked: Arc::new(worked(read, Settings::USUAL).await), documents: None };
        if kept.len() >= KEPT {
            kept.remove(0);
        }
        kept.push((job, looked.clone()));
        Ok(looked)
    }

    /// A document of a job as it would be made now; none of that name. Nothing is noted
    /// as issued.
    pub(crate) async fn document(
        &self,
        job: JobId,
        file: &str,
    ) -> Result<Option<Vec<u8>>, Refusal> {
        if documents::NAMES.iter().all(|(name, _)| *name != file) {
            return Ok(None);
        }
        let looked = self.looked(job).await?;
        let made = match looked.documents {
            Some(made) => made,
            None => {
                let made = Arc::new(self.documents(&looked.worked, Settings::USUAL).await?);
                let mut kept = self.kept.lock().await;
                let own = kept.iter_mut().find(|(known, l)| *known == job && l.head == looked.head);
                if let Some((_, known)) = own {
                    known.documents = Some(Arc::clone(&made));
                }
                made
            }
        };
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
    pub(crate) async fn photo(&self, job: JobId, file: &str) -> Result<Option<Vec<u8>>, Refusal> {
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
        &self,
        job: JobId,
        name: &str,
    ) -> Result<Option<(FileName, Vec<u8>)>, Refusal> {
        match self.looked_at(job).await?.recording_file(name) {
            Some((file, hash)) => Ok(Some((file, self.storage().await?.files().get(hash).await?))),
            None => Ok(None),
        }
    }
}
