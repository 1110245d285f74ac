//! Recordings of taps: WAV, FLAC, MP3, M4A (AAC) and OGG (Vorbis) of any rate and number
//! of channels, their list of taps as CSV, and a boundary as GeoJSON.
//!
//! A recording is streamed: decoded on one thread and heard on another, so that memory
//! does not grow with its length. Channels are averaged.

mod boundary;
mod decode;
mod taps;

pub use boundary::boundary;
pub use decode::{Recording, hear, hear_bytes, hear_sweep};
pub use taps::{path, taps};

/// The name of a recording, from that of its file: `bay` of `bay.WAV`. None of another file.
#[must_use]
pub fn recording_name(file: &str) -> Option<&str> {
    let (name, ending) = file.rsplit_once('.')?;
    ["wav", "flac", "mp3", "m4a", "ogg"].contains(&ending.to_lowercase().as_str()).then_some(name)
}
