//! Scans of a surface: X3P (ISO 25178-72), SDF (ISO 25178-71), PLY, STL, LAS and LAZ, points
//! as text (XYZ, CSV), grids of heights as CSV, NPY and TIFF, profiles as CSV.
//!
//! Units are stated by the format, the file or the person, never guessed. What is missing
//! stays missing. A cloud larger than memory goes through files that have no name.

pub mod calibration;
mod cloud;
mod columns;
mod grid;
mod las;
mod ply;
mod sdf;
mod stl;
mod text;
mod workers;
mod x3p;

use std::fs::File;
use std::io::{Cursor, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use tooth_measure::say::{Said, said};
use tooth_measure::{Fraction, Length};
use tooth_texture::{HeightMap, Refusal};

use crate::text::Fault;

pub use grid::{LargeGrid, Trouble, large};
pub use workers::Threads;

/// What a person says of a scan.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Asked {
    /// From height to height of a grid; from cell to cell of a cloud.
    pub spacing: Option<Length>,
    /// One unit of the file's coordinates or heights.
    pub unit: Option<Length>,
}

/// A scan.
#[derive(Debug, Clone)]
pub struct Scan {
    /// Its heights.
    pub map: HeightMap,
    /// What it was.
    pub kind: Kind,
    /// What to look at, though it was read.
    pub warnings: Vec<Fault>,
}

/// What a scan was before it was a map.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// Heights over a grid.
    Grid,
    /// Heights along a line.
    Profile,
    /// Points, brought to the median of each cell.
    Cloud {
        /// How many.
        points: u64,
        /// How many fell outside the cells.
        outside: u64,
    },
}

/// Endings of the files that are read.
pub const ENDINGS: [&str; 11] =
    ["x3p", "sdf", "ply", "stl", "las", "laz", "xyz", "csv", "npy", "tif", "tiff"];

fn kinds() -> Said {
    said!("a-scan-of-a-kind-that-is-read")
}

/// Where a scan's bytes come from; a cloud is read twice.
enum Source {
    Path(PathBuf),
    Bytes(Arc<[u8]>),
}

/// Bytes that are being read.
enum Opened {
    File(File),
    Bytes(Cursor<Arc<[u8]>>),
}

impl Read for Opened {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        match self {
            Self::File(file) => file.read(buffer),
            Self::Bytes(bytes) => bytes.read(buffer),
        }
    }
}

impl Seek for Opened {
    fn seek(&mut self, place: SeekFrom) -> std::io::Result<u64> {
        match self {
            Self::File(file) => file.seek(place),
            Self::Bytes(bytes) => bytes.seek(place),
        }
    }
}

impl Source {
    fn open(&self, named: &Named<'_>) -> Result<Opened, Fault> {
        match self {
            Self::Bytes(bytes) => Ok(Opened::Bytes(Cursor::new(Arc::clone(bytes)))),
            Self::Path(path) => File::open(path).map(Opened::File).map_err(|error| {
                named.refuse(said!("a-readable-file"), format!("`{}`: {error}", path.display()))
            }),
        }
    }

    /// How many bytes; none of what is no plain file.
    fn length(&self, named: &Named<'_>) -> Result<Option<u64>, Fault> {
        match self {
            Self::Bytes(bytes) => Ok(Some(bytes.len() as u64)),
            Self::Path(path) => {
                let data = std::fs::metadata(path).map_err(|error| {
                    named.refuse(said!("a-readable-file"), format!("`{}`: {error}", path.display()))
                })?;
                Ok(data.is_file().then_some(data.len()))
            }
        }
    }
}

/// A fault of one file.
pub(crate) struct Named<'a>(&'a str);

impl Named<'_> {
    fn refuse(&self, expected: impl Into<Said>, found: impl Into<Said>) -> Fault {
        Fault::new(self.0, None, "", expected, found)
    }

    fn at(&self, line: u32, expected: impl Into<Said>, found: impl Into<Said>) -> Fault {
        Fault::new(self.0, Some(line), "", expected, found)
    }

    fn map(&self, map: Result<HeightMap, Refusal>) -> Result<HeightMap, Fault> {
        map.map_err(|refusal| self.refuse(said!("heights-over-a-grid"), refusal.said()))
    }

    /// The spacing of a grid that does not say it.
    fn spacing(&self, asked: &Asked) -> Result<[Length; 2], Fault> {
        let Some(spacing) = asked.spacing else {
            return Err(self.refuse(said!("the-spacing-of-its-grid-spacing-mm"), said!("none")));
        };
        Ok([spacing; 2])
    }

    /// Millimetres of one unit of a file that does not say it.
    fn unit(&self, asked: &Asked) -> Result<f64, Fault> {
        match asked.unit {
            Some(unit) => Ok(unit.millimetres()),
            None => {
                Err(self
                    .refuse(said!("the-unit-of-its-numbers-unit-mm-m-um-in-or-ft"), said!("none")))
            }
        }
    }
}

/// Reads a scan.
///
/// # Errors
///
/// One fault that says what is wrong with the file, or what must be said of it.
pub fn scan(path: &Path, asked: &Asked) -> Result<Scan, Fault> {
    let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
    read(&name, &Source::Path(path.to_owned()), asked)
}

/// Reads a scan from its bytes.
///
/// # Errors
///
/// As [`scan`].
pub fn scan_bytes(name: &str, bytes: Vec<u8>, asked: &Asked) -> Result<Scan, Fault> {
    read(name, &Source::Bytes(bytes.into()), asked)
}

fn read(name: &str, source: &Source, asked: &Asked) -> Result<Scan, Fault> {
    let named = Named(name);
    let bytes = match source.length(&named)? {
        None => return Err(named.refuse(kinds(), said!("no-plain-file"))),
        Some(0) => return Err(named.refuse(kinds(), said!("an-empty-file"))),
        Some(bytes) => bytes,
    };
    let mut head = [0u8; 8];
    let read = source.open(&named)?.read(&mut head);
    let read = read.map_err(|error| named.refuse(said!("a-readable-file"), error.to_string()))?;
    let ending = ending(name);
    let decode = || match (&head[..read], ending.as_str()) {
        ([b'P', b'K', ..], _) => x3p::read(&named, source.open(&named)?, asked),
        ([b'a' | b'b', b'I', b'S', b'O', ..] | [b'a' | b'b', b'B', b'C', b'R', ..], _)
        | (_, "sdf") => sdf::read(&named, source.open(&named)?),
        ([b'p', b'l', b'y', ..], _) => ply::read(&named, source, asked),
        ([b'L', b'A', b'S', b'F', ..], _) => las::read(&named, source, asked),
        ([0x93, b'N', b'U', b'M', b'P', b'Y', ..], _) => {
            grid::npy(&named, source.open(&named)?, asked)
        }
        ([b'I', b'I', 42 | 43, 0, ..] | [b'M', b'M', 0, 42 | 43, ..], _) => {
            grid::tiff(&named, source.open(&named)?, asked)
        }
        (_, "stl") => stl::read(&named, source, bytes, asked),
        (_, "xyz") => text::cloud(&named, source, asked),
        (_, "csv") => columns::read(&named, source, asked),
        _ => Err(named.refuse(kinds(), said!("another-kind-of-file"))),
    };
    // Some decoders fail on bytes that no writer makes; the answer is still a clear one.
    let scan = std::panic::catch_unwind(std::panic::AssertUnwindSafe(decode));
    scan.unwrap_or_else(|_| Err(named.refuse(kinds(), said!("a-file-that-its-decoder-fails-on"))))
}

fn ending(name: &str) -> String {
    name.rsplit_once('.').map(|(_, ending)| ending.to_lowercase()).unwrap_or_default()
}

/// The name of a scan, from that of its file: `bay` of `bay.X3P`. None of another file.
#[must_use]
pub fn scan_name(file: &str) -> Option<&str> {
    let (name, ending) = file.rsplit_once('.')?;
    ENDINGS.contains(&ending.to_lowercase().as_str()).then_some(name)
}

/// A scan whose heights were a grid or, of one row, a profile.
fn grid_scan(map: HeightMap) -> Scan {
    let kind = if map.rows() == 1 { Kind::Profile } else { Kind::Grid };
    Scan { map, kind, warnings: Vec::new() }
}

/// Share of a map that is known, in words of a warning.
pub(crate) fn coverage_words(coverage: Fraction) -> String {
    format!("{:.0} %", coverage.percent())
}
