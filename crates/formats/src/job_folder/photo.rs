//! Photographs: JPEG or PNG, named by the plan, looked at before they are trusted.

use std::fs;
use std::io::Cursor;
use std::path::Path;

use image::{ImageFormat, ImageReader, Limits};

use crate::limits;

/// The size in bytes of a photograph that can be shown.
///
/// # Errors
/// What was expected and what was found.
pub(super) fn check(folder: &Path, file: &str) -> Result<u64, (String, String)> {
    let refuse = |expected: &str, found: String| Err((expected.to_owned(), found));
    let plain = !file.is_empty() && !file.contains(['/', '\\', '\0']) && !file.starts_with('.');
    if !plain {
        return refuse("a file name in photos/", format!("`{file}`"));
    }
    let path = folder.join(file);
    let Ok(data) = fs::symlink_metadata(&path) else {
        return refuse("a file in photos/", format!("no `{file}`"));
    };
    // A link could lead out of the folder.
    if !data.is_file() {
        return refuse("a file in photos/", format!("`{file}` is no plain file"));
    }
    if data.len() > limits::PHOTO_BYTES {
        return refuse("at most 64 MiB", format!("{} bytes", data.len()));
    }
    let bytes = match fs::read(&path) {
        Ok(bytes) => bytes,
        Err(error) => return refuse("a readable file in photos/", error.to_string()),
    };
    let format = match image::guess_format(&bytes) {
        Ok(format @ (ImageFormat::Jpeg | ImageFormat::Png)) => format,
        _ => return refuse("a JPEG or PNG picture", format!("`{file}` is none")),
    };
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut bounds = Limits::default();
    bounds.max_image_width = Some(limits::PICTURE_SIDE);
    bounds.max_image_height = Some(limits::PICTURE_SIDE);
    reader.limits(bounds);
    match reader.decode() {
        Ok(_) => Ok(data.len()),
        Err(error) => refuse("a whole picture", format!("`{file}`: {error}")),
    }
}
