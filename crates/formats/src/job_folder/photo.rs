//! Photographs: JPEG or PNG, named by the plan, looked at before they are trusted.

use std::fs;
use std::io::Cursor;
use std::path::Path;

use image::{ImageFormat, ImageReader, Limits};
use tooth_measure::say::{Said, said};

use super::files::Refused;
use crate::limits;

/// The size in bytes of a photograph that can be shown.
///
/// # Errors
/// What was expected and what was found.
pub(super) fn check(folder: &Path, file: &str) -> Result<u64, Refused> {
    let refuse = |expected: Said, found: Said| Err((expected, found));
    let plain = !file.is_empty() && !file.contains(['/', '\\', '\0']) && !file.starts_with('.');
    if !plain {
        return refuse(said!("a-file-name-in-photos"), format!("`{file}`").into());
    }
    let path = folder.join(file);
    let Ok(data) = fs::symlink_metadata(&path) else {
        return refuse(
            said!("a-file-in-the-folder", folder = "photos"),
            said!("no-such-file", file = file),
        );
    };
    // A link could lead out of the folder.
    if !data.is_file() {
        return refuse(
            said!("a-file-in-the-folder", folder = "photos"),
            said!("file-is-no-plain-file", file = file),
        );
    }
    if data.len() > limits::PHOTO_BYTES {
        return refuse(
            said!("at-most-mib", most = limits::PHOTO_BYTES / 1024 / 1024),
            said!("bytes", count = data.len()),
        );
    }
    let bytes = match fs::read(&path) {
        Ok(bytes) => bytes,
        Err(error) => return refuse(said!("a-readable-file-in-photos"), error.to_string().into()),
    };
    whole(file, &bytes).map(|()| data.len())
}

/// Why the bytes of a photograph cannot be shown, if they cannot: what was expected and what
/// was found.
#[must_use]
pub fn refused(file: &str, bytes: &[u8]) -> Option<(Said, Said)> {
    whole(file, bytes).err()
}

fn whole(file: &str, bytes: &[u8]) -> Result<(), Refused> {
    let format = match image::guess_format(bytes) {
        Ok(format @ (ImageFormat::Jpeg | ImageFormat::Png)) => format,
        _ => return Err((said!("a-jpeg-or-png-picture"), said!("file-is-none", file = file))),
    };
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut bounds = Limits::default();
    bounds.max_image_width = Some(limits::PICTURE_SIDE);
    bounds.max_image_height = Some(limits::PICTURE_SIDE);
    reader.limits(bounds);
    match reader.decode() {
        Ok(_) => Ok(()),
        Err(error) => Err((said!("a-whole-picture"), format!("`{file}`: {error}").into())),
    }
}
