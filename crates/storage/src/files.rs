//! Files by the hash of their bytes: in a folder now, in an object store for a firm
//! that outgrows one machine.

use std::path::Path;
use std::sync::Arc;

use bytes::Bytes;
use object_store::local::LocalFileSystem;
use object_store::path::Path as Place;
use object_store::{MultipartUpload, ObjectStore, ObjectStoreExt as _};
use tooth_record::FileHash;

use crate::error::StorageError;

/// A store of files.
#[derive(Debug, Clone)]
pub struct Files {
    store: Arc<dyn ObjectStore>,
}

/// Bytes of a coming file that are handed on at a time: the least that object stores take.
const PIECE: usize = 5 * 1024 * 1024;

/// A file that is coming in, piece by piece. Where it is dropped before its end, nothing of it stays.
#[derive(Debug)]
pub struct Incoming {
    hash: FileHash,
    hasher: blake3::Hasher,
    bytes: u64,
    held: Vec<u8>,
    /// None where the file is there already: then it is only compared.
    upload: Option<Box<dyn MultipartUpload>>,
}

impl Incoming {
    /// Takes the next bytes.
    ///
    /// # Errors
    /// They cannot be written.
    pub async fn write(&mut self, bytes: &[u8]) -> Result<(), StorageError> {
        self.hasher.update(bytes);
        self.bytes += bytes.len() as u64;
        if self.upload.is_some() {
            self.held.extend_from_slice(bytes);
            if self.held.len() >= PIECE {
                self.hand_on().await?;
            }
        }
        Ok(())
    }

    async fn hand_on(&mut self) -> Result<(), StorageError> {
        let piece = Bytes::from(std::mem::take(&mut self.held));
        match &mut self.upload {
            Some(upload) if !piece.is_empty() => {
                upload.put_part(piece.into()).await.map_err(failed)
            }
            _ => Ok(()),
        }
    }

    /// Number of bytes so far.
    #[must_use]
    pub fn bytes(&self) -> u64 {
        self.bytes
    }

    /// Ends the file: it is on the disk when this returns its size. `None` where its bytes
    /// are not those of its hash; then nothing of it is kept.
    ///
    /// # Errors
    /// [`StorageError`] where it is not safe on the disk.
    pub async fn finish(mut self) -> Result<Option<u64>, StorageError> {
        let is_it = FileHash::from_hash(self.hasher.finalize()) == self.hash;
        if is_it {
            self.hand_on().await?;
        }
        match &mut self.upload {
            Some(upload) if is_it => {
                upload.complete().await.map_err(failed)?;
            }
            Some(upload) => upload.abort().await.map_err(failed)?,
            None => {}
        }
        Ok(is_it.then_some(self.bytes))
    }
}

/// How a file stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileState {
    /// Its bytes are those of its hash.
    Whole,
    /// Its bytes have changed.
    Altered,
    /// It is not there.
    Missing,
}

fn failed(error: object_store::Error) -> StorageError {
    // The system's own error says whether the disk is full or cannot be written.
    let mut cause: Option<&(dyn std::error::Error + 'static)> = Some(&error);
    while let Some(inner) = cause {
        if let Some(system) = inner.downcast_ref::<std::io::Error>() {
            let kind = system.kind();
            return std::io::Error::new(kind, error.to_string()).into();
        }
        cause = inner.source();
    }
    StorageError::Failed(error.to_string().into())
}

/// `ab/abcd…`: at most 256 folders.
fn place(hash: FileHash) -> Place {
    let name = hash.to_string();
    Place::from_iter([name.get(..2).unwrap_or_default(), name.as_str()])
}

impl Files {
    /// Files in a folder, made where there is none. A file is on the disk before it is
    /// acknowledged.
    ///
    /// # Errors
    /// A folder that cannot be made or read.
    pub fn in_folder(folder: &Path) -> Result<Self, StorageError> {
        if !folder.is_dir() {
            std::fs::create_dir_all(folder)?;
        }
        let store = LocalFileSystem::new_with_prefix(folder).map_err(failed)?.with_fsync(true);
        Ok(Self { store: Arc::new(store) })
    }

    /// Files in any object store.
    #[must_use]
    pub fn in_store(store: Arc<dyn ObjectStore>) -> Self {
        Self { store }
    }

    /// Stores a file. A file that is there and whole stays; an altered one is mended.
    ///
    /// # Errors
    /// [`StorageError`] where it is not safe on the disk.
    pub async fn put(&self, bytes: Vec<u8>) -> Result<FileHash, StorageError> {
        let hash = FileHash::of(&bytes);
        if self.state(hash).await? != FileState::Whole {
            self.store.put(&place(hash), Bytes::from(bytes).into()).await.map_err(failed)?;
        }
        Ok(hash)
    }

    /// Begins to take in the file of this hash, without ever holding the whole of it.
    ///
    /// # Errors
    /// [`StorageError`] where it cannot be begun.
    pub async fn begin(&self, hash: FileHash) -> Result<Incoming, StorageError> {
        let upload = match self.state(hash).await? {
            FileState::Whole => None,
            FileState::Altered | FileState::Missing => {
                Some(self.store.put_multipart(&place(hash)).await.map_err(failed)?)
            }
        };
        let hasher = blake3::Hasher::new();
        Ok(Incoming { hash, hasher, bytes: 0, held: Vec::new(), upload })
    }

    async fn bytes(&self, hash: FileHash) -> Result<Option<Vec<u8>>, StorageError> {
        match self.store.get(&place(hash)).await {
            Ok(found) => Ok(Some(found.bytes().await.map_err(failed)?.to_vec())),
            Err(object_store::Error::NotFound { .. }) => Ok(None),
            Err(error) => Err(failed(error)),
        }
    }

    /// The bytes of a file.
    ///
    /// # Errors
    /// It is missing, altered, or cannot be read.
    pub async fn get(&self, hash: FileHash) -> Result<Vec<u8>, StorageError> {
        let bytes = self.bytes(hash).await?.ok_or(StorageError::FileMissing(hash))?;
        if FileHash::of(&bytes) == hash { Ok(bytes) } else { Err(StorageError::FileAltered(hash)) }
    }

    /// Whether there is a file of this hash and size; its bytes are not looked at.
    ///
    /// # Errors
    /// The store cannot be read.
    pub async fn has(&self, hash: FileHash, bytes: u64) -> Result<bool, StorageError> {
        match self.store.head(&place(hash)).await {
            Ok(found) => Ok(found.size == bytes),
            Err(object_store::Error::NotFound { .. }) => Ok(false),
            Err(error) => Err(failed(error)),
        }
    }

    /// How a file stands, by its bytes.
    ///
    /// # Errors
    /// The store cannot be read.
    pub async fn state(&self, hash: FileHash) -> Result<FileState, StorageError> {
        Ok(match self.bytes(hash).await? {
            None => FileState::Missing,
            Some(bytes) if FileHash::of(&bytes) == hash => FileState::Whole,
            Some(_) => FileState::Altered,
        })
    }

    /// Destroys a file's bytes.
    ///
    /// # Errors
    /// The store cannot be written.
    pub async fn destroy(&self, hash: FileHash) -> Result<(), StorageError> {
        match self.store.delete(&place(hash)).await {
            Ok(()) | Err(object_store::Error::NotFound { .. }) => Ok(()),
            Err(error) => Err(failed(error)),
        }
    }
}
