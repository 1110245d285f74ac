//! SDF, the surface data file of ISO 25178-71 and of the proposal before it (fields after an
//! open library's description): a head, heights times `Zscale` metres, row by row. Text (`aISO`)
//! or bytes (`bISO`, little-endian), versions 1.0 and 2.0, whose counts have four bytes; `BCR-1.0`,
//! where the greatest number of a kind stands for a missing height, not the least.

use std::io::Read as _;

use tooth_measure::Length;
use tooth_measure::say::said;
use tooth_texture::HeightMap;

use super::{Named, Opened, Scan, grid_scan};
use crate::text::Fault;

/// Bytes of such a file at most.
const BYTES: u64 = 1 << 30;
/// Bytes of the head of version 1.0; that of 2.0 is four bytes longer.
const HEAD: usize = 81;

pub(crate) fn read(named: &Named<'_>, file: Opened) -> Result<Scan, Fault> {
    let mut bytes = Vec::new();
    let read = file.take(BYTES + 1).read_to_end(&mut bytes);
    read.map_err(|error| named.refuse(said!("a-readable-file"), error.to_string()))?;
    if bytes.len() as u64 > BYTES {
        return Err(named.refuse(said!("at-most-bytes", most = BYTES), said!("more")));
    }
    match bytes.first() {
        Some(b'b') => binary(named, &bytes),
        Some(b'a') => ascii(named, &bytes),
        _ => Err(named.refuse(said!("an-sdf-file-aiso-or-biso"), said!("other-bytes"))),
    }
}

/// What a head says.
struct Head {
    columns: usize,
    rows: usize,
    /// Metres.
    scale: [f64; 3],
    kind: u32,
}

impl Head {
    fn map(&self, named: &Named<'_>, heights: &[f64]) -> Result<Scan, Fault> {
        let [x, y, z] = self.scale;
        if !(x > 0.0 && z > 0.0 && z.is_finite()) {
            return Err(named.refuse(said!("scales-above-nothing"), format!("{x}, {y}, {z}")));
        }
        // A profile needs no scale across.
        let y = if self.rows == 1 { x } else { y };
        let spacing = [Length::from_metres(x), Length::from_metres(y)];
        let heights: Vec<f64> = heights.iter().map(|h| h * z * 1000.0).collect();
        Ok(grid_scan(named.map(HeightMap::new(self.rows, self.columns, spacing, &heights))?))
    }

    fn count(&self, named: &Named<'_>) -> Result<usize, Fault> {
        self.rows
            .checked_mul(self.columns)
            .filter(|count| *count > 0)
            .ok_or_else(|| named.refuse(said!("rows-and-columns"), said!("none")))
    }
}

fn binary(named: &Named<'_>, bytes: &[u8]) -> Result<Scan, Fault> {
    let short = || named.refuse(said!("an-sdf-file"), said!("a-file-that-ends-too-soon"));
    let is_new = bytes.get(1..8) == Some(b"ISO-2.0");
    let greatest = bytes.get(1..4) == Some(b"BCR");
    let longer = if is_new { 4 } else { 0 };
    let head = bytes.get(..HEAD + longer).ok_or_else(short)?;
    let word = |at: usize, size: usize| {
        head[at..at + size].iter().rev().fold(0usize, |word, byte| word << 8 | usize::from(*byte))
    };
    let float = |at: usize| {
        let mut eight = [0u8; 8];
        eight.copy_from_slice(&head[at..at + 8]);
        f64::from_le_bytes(eight)
    };
    let head = Head {
        columns: if is_new { word(42, 4) } else { word(42, 2) },
        rows: if is_new { word(46, 4) } else { word(44, 2) },
        scale: [46, 54, 62].map(|at| float(at + longer)),
        kind: u32::from(head[79 + longer]),
    };
    if bytes[78 + longer] != 0 {
        return Err(
            named.refuse(said!("heights-that-are-not-compressed"), said!("compressed-ones"))
        );
    }
    let count = head.count(named)?;
    let size = match head.kind {
        0 | 4 => 1,
        1 | 5 => 2,
        2 | 3 | 6 => 4,
        7 => 8,
        kind => return Err(named.refuse(said!("heights-of-kind-0-to-7"), kind.to_string())),
    };
    let data = bytes
        .get(HEAD + longer..)
        .and_then(|rest| rest.get(..count.checked_mul(size)?))
        .ok_or_else(short)?;
    let heights: Vec<f64> = data
        .chunks_exact(size)
        .map(|b| {
            let whole: i64 = match (head.kind, b) {
                (0, [a]) => i64::from(*a),
                (4, [a]) => i64::from(*a as i8),
                (1, [a, b]) => i64::from(u16::from_le_bytes([*a, *b])),
                (5, [a, b]) => i64::from(i16::from_le_bytes([*a, *b])),
                (2, [a, b, c, d]) => i64::from(u32::from_le_bytes([*a, *b, *c, *d])),
                (6, [a, b, c, d]) => i64::from(i32::from_le_bytes([*a, *b, *c, *d])),
                (3, [a, b, c, d]) => {
                    return known(f64::from(f32::from_le_bytes([*a, *b, *c, *d])));
                }
                (_, [a, b, c, d, e, f, g, h]) => {
                    return known(f64::from_le_bytes([*a, *b, *c, *d, *e, *f, *g, *h]));
                }
                _ => return f64::NAN,
            };
            if Some(whole) == missing(head.kind, greatest) { f64::NAN } else { whole as f64 }
        })
        .collect();
    head.map(named, &heights)
}

/// The whole number that stands for a missing height: the least of a kind with a sign, in the
/// proposal before the standard the greatest of every kind.
fn missing(kind: u32, greatest: bool) -> Option<i64> {
    let (least, most) = match kind {
        0 => (None, i64::from(u8::MAX)),
        1 => (None, i64::from(u16::MAX)),
        2 => (None, i64::from(u32::MAX)),
        4 => (Some(i64::from(i8::MIN)), i64::from(i8::MAX)),
        5 => (Some(i64::from(i16::MIN)), i64::from(i16::MAX)),
        6 => (Some(i64::from(i32::MIN)), i64::from(i32::MAX)),
        _ => return None,
    };
    if greatest { Some(most) } else { least }
}

/// A float near the end of its range stands for a missing height.
fn known(value: f64) -> f64 {
    if value.abs() > 1e30 { f64::NAN } else { value }
}

fn ascii(named: &Named<'_>, bytes: &[u8]) -> Result<Scan, Fault> {
    let text = String::from_utf8_lossy(bytes);
    let mut head = Head { columns: 0, rows: 0, scale: [0.0; 3], kind: 0 };
    // A star alone on its line parts the head, the data and the end.
    let mut parts = text.splitn(3, "\n*");
    let (front, data) = (parts.next().unwrap_or_default(), parts.next().unwrap_or_default());
    for (number, line) in front.lines().enumerate() {
        let line = line.split(';').next().unwrap_or_default();
        let Some((key, value)) = line.split_once('=') else { continue };
        let (key, value) = (key.trim().to_lowercase(), value.trim());
        let line = number as u32 + 1;
        let whole = || {
            value
                .parse::<usize>()
                .map_err(|_| named.at(line, said!("a-whole-number"), format!("`{value}`")))
        };
        let scale = || {
            value
                .parse::<f64>()
                .map_err(|_| named.at(line, said!("a-number"), format!("`{value}`")))
        };
        match key.as_str() {
            "numpoints" => head.columns = whole()?,
            "numprofiles" => head.rows = whole()?,
            "xscale" => head.scale[0] = scale()?,
            "yscale" => head.scale[1] = scale()?,
            "zscale" => head.scale[2] = scale()?,
            "datatype" => head.kind = value.parse().unwrap_or(u32::MAX),
            _ => {}
        }
    }
    let count = head.count(named)?;
    let greatest = front.get(1..4) == Some("BCR");
    let missing = missing(head.kind, greatest).filter(|_| greatest).map(|z| z as f64);
    let mut heights = Vec::new();
    for word in data.split_whitespace() {
        let z = if word.eq_ignore_ascii_case("bad") {
            f64::NAN
        } else {
            let bad = || {
                named.refuse(
                    said!("heights-or-bad"),
                    format!("`{}`", word.chars().take(20).collect::<String>()),
                )
            };
            let z: f64 = word.parse().map_err(|_| bad())?;
            let is_missing = missing.is_some_and(|missing| z.total_cmp(&missing).is_eq());
            if is_missing { f64::NAN } else { known(z) }
        };
        heights.push(z);
    }
    if heights.len() != count {
        return Err(
            named.refuse(said!("so-many-heights", count = count), heights.len().to_string())
        );
    }
    head.map(named, &heights)
}
