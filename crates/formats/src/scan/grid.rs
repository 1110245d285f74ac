//! NPY (floats, in millimetres unless a unit is given) and TIFF (floats in a given unit;
//! whole numbers times the given unit).

use std::io::{BufReader, Read, Seek as _, SeekFrom};

use tiff::decoder::{Decoder, DecodingResult, Limits};
use tiff::tags::Tag;
use tooth_measure::Length;
use tooth_measure::say::{Said, said};
use tooth_texture::{HeightMap, Refusal, Rows};

use super::{Asked, Named, Opened, Scan, grid_scan};
use crate::text::Fault;

/// Heights of a grid at most.
const HEIGHTS: usize = 1 << 28;
/// Heights of a grid that is read in rows at most: 65536 by 65536.
const MOST: usize = 1 << 32;

/// What the head of an NPY file says.
struct Head {
    rows: usize,
    columns: usize,
    columns_first: bool,
    kind: Kind,
    /// Bytes before the heights.
    start: u64,
}

/// How a height is written.
#[derive(Clone, Copy)]
enum Kind {
    Single { big: bool },
    Double { big: bool },
}

impl Kind {
    fn size(self) -> usize {
        match self {
            Self::Single { .. } => 4,
            Self::Double { .. } => 8,
        }
    }

    fn value(self, bytes: &[u8]) -> f64 {
        match (self, bytes) {
            (Self::Single { big }, [a, b, c, d]) => {
                let four = [*a, *b, *c, *d];
                f64::from(if big { f32::from_be_bytes(four) } else { f32::from_le_bytes(four) })
            }
            (Self::Double { big }, [a, b, c, d, e, f, g, h]) => {
                let eight = [*a, *b, *c, *d, *e, *f, *g, *h];
                if big { f64::from_be_bytes(eight) } else { f64::from_le_bytes(eight) }
            }
            _ => f64::NAN,
        }
    }
}

fn head(named: &Named<'_>, file: &mut impl Read) -> Result<Head, Fault> {
    let broken = |what: Said| named.refuse(said!("an-npy-file-of-floats"), what);
    let mut start = [0u8; 8];
    file.read_exact(&mut start).map_err(|_| broken(said!("a-file-that-ends-too-soon")))?;
    let (length, before) = if start[6] == 1 {
        let mut size = [0u8; 2];
        file.read_exact(&mut size).map_err(|_| broken(said!("a-file-that-ends-too-soon")))?;
        (usize::from(u16::from_le_bytes(size)), 10)
    } else {
        let mut size = [0u8; 4];
        file.read_exact(&mut size).map_err(|_| broken(said!("a-file-that-ends-too-soon")))?;
        (u32::from_le_bytes(size) as usize, 12)
    };
    if length > 65_536 {
        return Err(broken(said!("a-head-that-is-too-long")));
    }
    let mut head = vec![0u8; length];
    file.read_exact(&mut head).map_err(|_| broken(said!("a-file-that-ends-too-soon")))?;
    let head = String::from_utf8(head).map_err(|_| broken(said!("a-head-that-is-no-text")))?;
    let value = |key: &str| Some(head.split_once(&format!("'{key}':"))?.1.trim_start());
    let kind = value("descr")
        .and_then(|rest| rest.strip_prefix('\''))
        .and_then(|rest| rest.split_once('\''))
        .map(|(kind, _)| kind)
        .ok_or_else(|| broken(said!("heights-without-a-kind")))?;
    let kind = match kind {
        "<f4" => Kind::Single { big: false },
        ">f4" => Kind::Single { big: true },
        "<f8" => Kind::Double { big: false },
        ">f8" => Kind::Double { big: true },
        kind => return Err(broken(said!("numbers-of-kind", kind = kind))),
    };
    let columns_first = value("fortran_order").is_some_and(|rest| rest.starts_with("True"));
    let shape: Vec<usize> = value("shape")
        .and_then(|rest| rest.strip_prefix('('))
        .and_then(|rest| rest.split_once(')'))
        .map(|(sizes, _)| sizes.split(',').map(str::trim).filter(|s| !s.is_empty()))
        .and_then(|sizes| sizes.map(|size| size.parse().ok()).collect())
        .ok_or_else(|| broken(said!("heights-without-a-shape")))?;
    let (rows, columns) = match shape.as_slice() {
        [count] | [count, 1] => (1, *count),
        [rows, columns] => (*rows, *columns),
        _ => return Err(broken(said!("dimensions", count = shape.len()))),
    };
    let count = rows.checked_mul(columns).filter(|count| *count > 0 && *count <= MOST);
    if count.is_none() {
        return Err(named
            .refuse(said!("one-to-so-many-heights", most = MOST), format!("{rows} × {columns}")));
    }
    Ok(Head { rows, columns, columns_first, kind, start: before + length as u64 })
}

pub(crate) fn npy(named: &Named<'_>, file: Opened, asked: &Asked) -> Result<Scan, Fault> {
    let mut file = BufReader::with_capacity(1 << 20, file);
    let head = head(named, &mut file)?;
    let (rows, columns) = (head.rows, head.columns);
    let count = rows * columns;
    if count > HEIGHTS {
        let expected = said!("at-most-heights-at-once", most = HEIGHTS);
        return Err(named.refuse(expected, format!("{rows} × {columns}")));
    }
    let spacing = named.spacing(asked)?;
    let factor = asked.unit.map_or(1.0, Length::millimetres);
    let (heights, datum) = floats(named, &mut file, count, factor, head.kind)?;
    let datum = Length::from_millimetres(datum);
    if head.columns_first {
        let map = named.map(HeightMap::single(columns, rows, spacing, heights, datum))?;
        return Ok(grid_scan(map.transposed()));
    }
    Ok(grid_scan(named.map(HeightMap::single(rows, columns, spacing, heights, datum))?))
}

/// A grid too large to be held, which is read in rows: an NPY file, row by row.
pub struct LargeGrid {
    name: String,
    path: std::path::PathBuf,
    head: Head,
    spacing: [Length; 2],
    factor: f64,
    datum: f64,
}

/// What goes wrong with it.
#[derive(Debug)]
pub enum Trouble {
    /// The file.
    Fault(Fault),
    /// What it holds.
    Refusal(Refusal),
}

impl From<Refusal> for Trouble {
    fn from(refusal: Refusal) -> Self {
        Self::Refusal(refusal)
    }
}

/// Heights from which on a grid is read in rows: 8192 by 8192 are held.
const HELD: usize = 1 << 26;

/// A file that is a grid too large to be held; none of another file.
///
/// # Errors
///
/// One fault that says what is wrong with the file, or what must be said of it.
pub fn large(path: &std::path::Path, asked: &Asked) -> Result<Option<LargeGrid>, Fault> {
    let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
    let named = Named(&name);
    let Ok(mut file) = std::fs::File::open(path) else { return Ok(None) };
    let mut magic = [0u8; 6];
    let is_npy = file.read_exact(&mut magic).is_ok() && magic == *b"\x93NUMPY";
    if !is_npy || file.rewind().is_err() {
        return Ok(None);
    }
    let head = head(&named, &mut file)?;
    if head.rows * head.columns <= HELD || head.columns_first || head.rows == 1 {
        return Ok(None);
    }
    let mut grid = LargeGrid {
        spacing: named.spacing(asked)?,
        factor: asked.unit.map_or(1.0, Length::millimetres),
        datum: 0.0,
        path: path.to_owned(),
        head,
        name,
    };
    // One datum for all: that of the first known row.
    let first = grid.heights(0..1)?;
    grid.datum = first.into_iter().find(|z| z.is_finite()).unwrap_or(0.0);
    Ok(Some(grid))
}

impl LargeGrid {
    fn heights(&self, rows: std::ops::Range<usize>) -> Result<Vec<f64>, Fault> {
        let named = Named(&self.name);
        let failed = |error: std::io::Error| named.refuse(said!("all-its-rows"), error.to_string());
        let size = self.head.kind.size();
        let mut file = std::fs::File::open(&self.path).map_err(failed)?;
        let place = self.head.start + (rows.start * self.head.columns * size) as u64;
        file.seek(SeekFrom::Start(place)).map_err(failed)?;
        let mut bytes = vec![0u8; rows.len() * self.head.columns * size];
        file.read_exact(&mut bytes).map_err(failed)?;
        let value = |bytes| self.head.kind.value(bytes) * self.factor;
        Ok(bytes.chunks_exact(size).map(value).collect())
    }
}

impl Rows for LargeGrid {
    type Trouble = Trouble;

    fn rows(&self) -> usize {
        self.head.rows
    }

    fn columns(&self) -> usize {
        self.head.columns
    }

    fn spacing(&self) -> [Length; 2] {
        self.spacing
    }

    fn read(&self, rows: std::ops::Range<usize>) -> Result<HeightMap, Trouble> {
        let count = rows.len();
        let mut heights = Vec::with_capacity(count * self.head.columns);
        // A few rows at a time: bytes and doubles of a strip would be three times the strip.
        let mut start = rows.start;
        while start < rows.end {
            let end = (start + 64).min(rows.end);
            let piece = self.heights(start..end).map_err(Trouble::Fault)?;
            heights.extend(piece.into_iter().map(|z| (z - self.datum) as f32));
            start = end;
        }
        let datum = Length::from_millimetres(self.datum);
        Ok(HeightMap::single(count, self.head.columns, self.spacing, heights, datum)?)
    }
}

/// So many floats in millimetres over the first that is one, and it.
fn floats(
    named: &Named<'_>,
    file: &mut impl Read,
    count: usize,
    factor: f64,
    kind: Kind,
) -> Result<(Vec<f32>, f64), Fault> {
    // What is announced may not be there: grow with what is.
    let mut heights: Vec<f32> = Vec::new();
    let mut datum: Option<f64> = None;
    let size = kind.size();
    let mut bytes = vec![0u8; size << 16];
    while heights.len() < count {
        let now = (count - heights.len()).min(1 << 16);
        if file.read_exact(&mut bytes[..now * size]).is_err() {
            let expected = said!("so-many-heights", count = count);
            return Err(
                named.refuse(expected, said!("a-file-that-ends-after", count = heights.len()))
            );
        }
        if heights.is_empty() {
            // Room for all at once once the first piece is there, so that growing copies nothing.
            heights.reserve_exact(count);
        }
        heights.extend(bytes[..now * size].chunks_exact(size).map(|bytes| {
            let z = kind.value(bytes) * factor;
            if z.is_finite() { (z - *datum.get_or_insert(z)) as f32 } else { f32::NAN }
        }));
    }
    Ok((heights, datum.unwrap_or(0.0)))
}

pub(crate) fn tiff(named: &Named<'_>, file: Opened, asked: &Asked) -> Result<Scan, Fault> {
    let wrong =
        |error: tiff::TiffError| named.refuse(said!("a-tiff-of-heights"), error.to_string());
    let mut limits = Limits::default();
    limits.decoding_buffer_size = HEIGHTS * 4;
    limits.intermediate_buffer_size = HEIGHTS;
    let mut decoder = Decoder::new(BufReader::new(file)).map_err(wrong)?.with_limits(limits);
    let (columns, rows) = decoder.dimensions().map_err(wrong)?;
    let (rows, columns) = (rows as usize, columns as usize);
    if rows.checked_mul(columns).is_none_or(|count| count > HEIGHTS) {
        return Err(
            named.refuse(said!("at-most-heights", most = HEIGHTS), format!("{rows} × {columns}"))
        );
    }
    let spacing = named.spacing(asked)?;
    let factor = named.unit(asked)?;
    let missing = decoder
        .find_tag(Tag::Unknown(NO_DATA))
        .ok()
        .flatten()
        .and_then(|tag| tag.into_string().ok())
        .and_then(|text| text.trim_matches(['\0', ' ']).parse::<f64>().ok());
    let all = |z: &mut dyn Iterator<Item = f64>| singles(z, missing, factor);
    let (heights, datum) = match decoder.read_image().map_err(wrong)? {
        DecodingResult::F32(z) => all(&mut z.into_iter().map(f64::from)),
        DecodingResult::F64(z) => all(&mut z.into_iter()),
        DecodingResult::U16(z) => all(&mut z.into_iter().map(f64::from)),
        DecodingResult::U32(z) => all(&mut z.into_iter().map(f64::from)),
        DecodingResult::I16(z) => all(&mut z.into_iter().map(f64::from)),
        DecodingResult::I32(z) => all(&mut z.into_iter().map(f64::from)),
        _ => {
            return Err(named.refuse(
                said!("heights-of-16-or-32-bits"),
                said!("samples-of-another-kind-a-photograph-has-no-heights"),
            ));
        }
    };
    if heights.len() != rows * columns {
        return Err(
            named.refuse(said!("one-height-per-point"), said!("several-channels-a-picture"))
        );
    }
    let datum = Length::from_millimetres(datum);
    Ok(grid_scan(named.map(HeightMap::single(rows, columns, spacing, heights, datum))?))
}

/// Tag of the value that stands for a missing height, as text (common practice of maps).
const NO_DATA: u16 = 42_113;

/// Heights times a factor, over the first of them, and it.
fn singles(
    heights: &mut dyn Iterator<Item = f64>,
    missing: Option<f64>,
    factor: f64,
) -> (Vec<f32>, f64) {
    let mut datum: Option<f64> = None;
    let singles = heights
        .map(|z| {
            let is_missing = missing.is_some_and(|missing| z.total_cmp(&missing).is_eq());
            if is_missing || !z.is_finite() {
                return f32::NAN;
            }
            let z = z * factor;
            (z - *datum.get_or_insert(z)) as f32
        })
        .collect();
    (singles, datum.unwrap_or(0.0))
}
