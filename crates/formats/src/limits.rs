//! How large a file may be and how much it may hold. Far above any real job; below
//! what would exhaust a tablet.

/// Bytes of one text file.
pub const FILE_BYTES: u64 = 32 * 1024 * 1024;
/// Bytes of a record that a folder carries.
pub const RECORD_BYTES: u64 = 1024 * 1024 * 1024;
/// Bytes of all photographs of a job.
pub const PHOTOS_BYTES: u64 = 512 * 1024 * 1024;
/// Bytes of one file of another kind.
pub const ATTACHED_BYTES: u64 = 512 * 1024 * 1024;
/// Bytes of one photograph.
pub const PHOTO_BYTES: u64 = 64 * 1024 * 1024;
/// Longest side of a photograph, in pixels.
pub const PICTURE_SIDE: u32 = 20_000;
/// Features of a plan.
pub const FEATURES: usize = 20_000;
/// Corners of one outline or line.
pub const CORNERS: usize = 4_000;
/// Zones of a plan.
pub const ZONES: usize = 64;
/// Rows of a table.
pub const ROWS: usize = 500_000;
/// Machines that a catalogue may hold.
pub const MACHINES: usize = 60;
/// Faults that are listed; more are counted.
pub const FAULTS: usize = 500;
/// Hours of one recording.
pub const RECORDING_HOURS: u64 = 8;
/// Channels of a recording.
pub const CHANNELS: std::ops::RangeInclusive<u16> = 1..=64;
/// Samples in a second of a recording.
pub const SAMPLE_RATES: std::ops::RangeInclusive<u32> = 8_000..=384_000;
