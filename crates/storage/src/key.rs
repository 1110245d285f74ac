//! The installation's key: a file of its own beside the database, readable by its
//! owner only.

use std::fs;
use std::io::Write as _;
use std::path::Path;

use tooth_measure::say::said;
use tooth_record::chain::InstallationKey;

use crate::error::StorageError;

/// The key in this file; `None` where there is none.
pub(crate) fn read(path: &Path) -> Result<Option<InstallationKey>, StorageError> {
    match fs::read_to_string(path) {
        Ok(text) => parse(&text, path).map(Some),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error.into()),
    }
}

/// The key in this file; a new one where there is none. Two programs that start at the
/// same time get the same key.
pub(crate) fn read_or_make(path: &Path) -> Result<InstallationKey, StorageError> {
    if let Some(key) = read(path)? {
        return Ok(key);
    }
    let mut secret = [0; 32];
    let failed = |error: getrandom::Error| {
        StorageError::Key(said!("no-randomness-to-make-it-from", error = error.to_string()))
    };
    getrandom::fill(&mut secret).map_err(failed)?;
    let mut mark = [0; 8];
    getrandom::fill(&mut mark).map_err(failed)?;
    let beside = path.with_extension(format!("{:016x}.part", u64::from_le_bytes(mark)));
    let written = write(&beside, &secret);
    // A link fails where a key has come up in the meantime: that one counts.
    let linked = written.and_then(|()| fs::hard_link(&beside, path));
    let _ = fs::remove_file(&beside);
    match linked {
        Ok(()) => {
            // The database must not outlive the key's name in a power cut.
            if let Some(Ok(folder)) = path.parent().map(fs::File::open) {
                let _ = folder.sync_all();
            }
            Ok(InstallationKey::from_bytes(&secret))
        }
        Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {
            parse(&fs::read_to_string(path)?, path)
        }
        Err(error) => Err(error.into()),
    }
}

fn write(path: &Path, secret: &[u8; 32]) -> std::io::Result<()> {
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path)?;
    let text: String = secret.iter().map(|byte| format!("{byte:02x}")).collect();
    file.write_all(text.as_bytes())?;
    file.write_all(b"\n")?;
    file.sync_all()
}

fn parse(text: &str, path: &Path) -> Result<InstallationKey, StorageError> {
    let digits = text.trim();
    let mut secret = [0; 32];
    let good = digits.len() == 64 && digits.is_ascii();
    let read = secret.iter_mut().enumerate().all(|(at, byte)| {
        digits
            .get(2 * at..2 * at + 2)
            .and_then(|pair| u8::from_str_radix(pair, 16).ok())
            .is_some_and(|value| {
                *byte = value;
                true
            })
    });
    if good && read {
        Ok(InstallationKey::from_bytes(&secret))
    } else {
        let path = path.display().to_string();
        Err(StorageError::Key(said!("the-key-file-is-damaged", path = path)))
    }
}
