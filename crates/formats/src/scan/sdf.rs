//! SDF, the surface data file of ISO 25178-71 (fields from memory): a head, heights times
//! `Zscale` metres, row by row. Text (`aISO`) or bytes (`bISO`, little-endian).

use std::io::Read as _;

use tooth_measure::Length;
use tooth_texture::HeightMap;

use super::{Named, Opened, Scan, grid_scan};
use crate::text::Fault;

/// Bytes of such a file at most.
const BYTES: u64 = 1 << 30;
const HEAD: usize = 81;

pub(crate) fn read(named: &Named<'_>, file: Opened) -> Result<Scan, Fault> {
    let mut bytes = Vec::new();
    let read = file.take(BYTES + 1).read_to_end(&mut bytes);
    read.map_err(|error| named.refuse("a readable file", error.to_string()))?;
    if bytes.len() as u64 > BYTES {
        return Err(named.refuse(format!("at most {BYTES} bytes"), "more"));
    }
    match bytes.first() {
        Some(b'b') => binary(named, &bytes),
        Some(b'a') => ascii(named, &bytes),
        _ => Err(named.refuse("an SDF file, aISO or bISO", "other bytes")),
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
            return Err(named.refuse("scales above nothing", format!("{x}, {y}, {z}")));
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
            .ok_or_else(|| named.refuse("rows and columns", "none"))
    }
}

fn binary(named: &Named<'_>, bytes: &[u8]) -> Result<Scan, Fault> {
    let short = || named.refuse("an SDF file", "a file that ends too soon");
    let head = bytes.get(..HEAD).ok_or_else(short)?;
    let word = |at: usize| usize::from(u16::from_le_bytes([head[at], head[at + 1]]));
    let float = |at: usize| {
        let mut eight = [0u8; 8];
        eight.copy_from_slice(&head[at..at + 8]);
        f64::from_le_bytes(eight)
    };
    let head = Head {
        columns: word(42),
        rows: word(44),
        scale: [float(46), float(54), float(62)],
        kind: u32::from(head[79]),
    };
    if bytes[78] != 0 {
        return Err(named.refuse("heights that are not compressed", "compressed ones"));
    }
    let count = head.count(named)?;
    let size = match head.kind {
        0 | 4 => 1,
        1 | 5 => 2,
        2 | 3 | 6 => 4,
        7 => 8,
        kind => return Err(named.refuse("heights of kind 0 to 7", kind.to_string())),
    };
    let data = bytes
        .get(HEAD..)
        .and_then(|rest| rest.get(..count.checked_mul(size)?))
        .ok_or_else(short)?;
    let heights: Vec<f64> = data
        .chunks_exact(size)
        .map(|b| match (head.kind, b) {
            (0, [a]) => f64::from(*a),
            (4, [a]) => missing(i64::from(*a as i8), i64::from(i8::MIN)),
            (1, [a, b]) => f64::from(u16::from_le_bytes([*a, *b])),
            (5, [a, b]) => missing(i64::from(i16::from_le_bytes([*a, *b])), i64::from(i16::MIN)),
            (2, [a, b, c, d]) => f64::from(u32::from_le_bytes([*a, *b, *c, *d])),
            (6, [a, b, c, d]) => {
                missing(i64::from(i32::from_le_bytes([*a, *b, *c, *d])), i64::from(i32::MIN))
            }
            (3, [a, b, c, d]) => known(f64::from(f32::from_le_bytes([*a, *b, *c, *d]))),
            (_, [a, b, c, d, e, f, g, h]) => {
                known(f64::from_le_bytes([*a, *b, *c, *d, *e, *f, *g, *h]))
            }
            _ => f64::NAN,
        })
        .collect();
    head.map(named, &heights)
}

/// The lowest whole number stands for a missing height.
fn missing(value: i64, lowest: i64) -> f64 {
    if value == lowest { f64::NAN } else { value as f64 }
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
        let Some((key, value)) = line.split_once('=') else { continue };
        let (key, value) = (key.trim().to_lowercase(), value.trim());
        let line = number as u32 + 1;
        let whole = || {
            value
                .parse::<usize>()
                .map_err(|_| named.at(line, "a whole number", format!("`{value}`")))
        };
        let scale =
            || value.parse::<f64>().map_err(|_| named.at(line, "a number", format!("`{value}`")));
        match key.as_str() {
            "numpoints" => head.columns = whole()?,
            "numprofiles" => head.rows = whole()?,
            "xscale" => head.scale[0] = scale()?,
            "yscale" => head.scale[1] = scale()?,
            "zscale" => head.scale[2] = scale()?,
            _ => {}
        }
    }
    let count = head.count(named)?;
    let mut heights = Vec::new();
    for word in data.split_whitespace() {
        let z = if word.eq_ignore_ascii_case("bad") {
            f64::NAN
        } else {
            let bad = || {
                named.refuse(
                    "heights or BAD",
                    format!("`{}`", word.chars().take(20).collect::<String>()),
                )
            };
            known(word.parse().map_err(|_| bad())?)
        };
        heights.push(z);
    }
    if heights.len() != count {
        return Err(named.refuse(format!("{count} heights"), heights.len().to_string()));
    }
    head.map(named, &heights)
}
