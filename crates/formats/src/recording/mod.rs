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
