//! PLY, text or bytes of either order: the vertices' x, y and z.

use std::io::{BufRead as _, BufReader, Read as _};

use tooth_measure::say::{Said, said};

use super::cloud::{self, Take};
use super::{Asked, Named, Scan, Source};
use crate::text::Fault;

/// Vertices read at a time.
const PIECE: usize = 8192;

#[derive(Clone, Copy, PartialEq)]
enum Order {
    Text,
    Little,
    Big,
}

#[derive(Clone, Copy)]
enum Kind {
    Signed(usize),
    Unsigned(usize),
    Float,
    Double,
}

impl Kind {
    fn named(name: &str) -> Option<Self> {
        Some(match name {
            "char" | "int8" => Self::Signed(1),
            "short" | "int16" => Self::Signed(2),
            "int" | "int32" => Self::Signed(4),
            "uchar" | "uint8" => Self::Unsigned(1),
            "ushort" | "uint16" => Self::Unsigned(2),
            "uint" | "uint32" => Self::Unsigned(4),
            "float" | "float32" => Self::Float,
            "double" | "float64" => Self::Double,
            _ => return None,
        })
    }

    fn size(self) -> usize {
        match self {
            Self::Signed(size) | Self::Unsigned(size) => size,
            Self::Float => 4,
            Self::Double => 8,
        }
    }

    fn value(self, bytes: &[u8], order: Order) -> f64 {
        let mut eight = [0u8; 8];
        let size = self.size().min(bytes.len());
        for (k, out) in eight[..size].iter_mut().enumerate() {
            *out = if order == Order::Big { bytes[size - 1 - k] } else { bytes[k] };
        }
        let [a, b, c, d, ..] = eight;
        match self {
            Self::Float => f64::from(f32::from_le_bytes([a, b, c, d])),
            Self::Double => f64::from_le_bytes(eight),
            Self::Unsigned(_) => u64::from_le_bytes(eight) as f64,
            Self::Signed(size) => {
                let shift = 64 - 8 * size as u32;
                ((i64::from_le_bytes(eight) << shift) >> shift) as f64
            }
        }
    }
}

struct Head {
    order: Order,
    vertices: u64,
    /// Lines or bytes of elements before the vertices.
    before_lines: u64,
    before_bytes: u64,
    properties: Vec<(String, Kind)>,
}

fn head(named: &Named<'_>, file: &mut impl std::io::BufRead) -> Result<Head, Fault> {
    let wrong = |found: Said| named.refuse(said!("a-ply-file-with-vertices"), found);
    let mut head = Head {
        order: Order::Text,
        vertices: 0,
        before_lines: 0,
        before_bytes: 0,
        properties: Vec::new(),
    };
    // Elements in their order: name, count, bytes of one (none with lists).
    let mut element: Option<(String, u64)> = None;
    let mut seen = false;
    for _ in 0..1000 {
        let mut line = Vec::new();
        let read = file.by_ref().take(4096).read_until(b'\n', &mut line);
        if read.map_or(true, |read| read == 0) {
            return Err(wrong(said!("a-head-that-ends-too-soon")));
        }
        let line = String::from_utf8_lossy(&line).trim().to_owned();
        let words: Vec<&str> = line.split_whitespace().collect();
        match words.as_slice() {
            ["format", "ascii", _] => head.order = Order::Text,
            ["format", "binary_little_endian", _] => head.order = Order::Little,
            ["format", "binary_big_endian", _] => head.order = Order::Big,
            ["format", other, ..] => return Err(wrong(said!("the-format", format = *other))),
            ["element", name, count] => {
                let count =
                    count.parse().map_err(|_| wrong(said!("an-element-without-a-count")))?;
                seen |= *name == "vertex";
                if *name == "vertex" {
                    head.vertices = count;
                } else if !seen {
                    head.before_lines = head.before_lines.saturating_add(count);
                }
                element = Some(((*name).to_owned(), count));
            }
            ["property", "list", ..]
                if (element.as_ref().is_some_and(|(name, _)| name == "vertex") || !seen) =>
            {
                return Err(wrong(said!("lists-in-or-before-the-vertices")));
            }
            ["property", kind, name] => {
                let kind =
                    Kind::named(kind).ok_or_else(|| wrong(said!("the-type", type = *kind)))?;
                match &element {
                    Some((of, _)) if of == "vertex" => {
                        head.properties.push(((*name).to_owned(), kind));
                    }
                    Some((_, count)) if !seen => {
                        let bytes = count.saturating_mul(kind.size() as u64);
                        head.before_bytes = head.before_bytes.saturating_add(bytes);
                    }
                    _ => {}
                }
            }
            ["end_header"] => {
                if head.vertices == 0 || head.properties.len() > 256 {
                    return Err(wrong(said!("none")));
                }
                return Ok(head);
            }
            _ => {}
        }
    }
    Err(wrong(said!("a-head-without-an-end")))
}

pub(crate) fn read(named: &Named<'_>, source: &Source, asked: &Asked) -> Result<Scan, Fault> {
    let factor = named.unit(asked)?;
    cloud::map(named, asked, 1.0, |take| points(named, source, factor, take))
}

fn points(
    named: &Named<'_>,
    source: &Source,
    factor: f64,
    take: &mut Take<'_>,
) -> Result<(), Fault> {
    let file = source.open(named)?;
    let mut file = BufReader::with_capacity(1 << 20, file);
    let head = head(named, &mut file)?;
    let mut places = [None; 3];
    let mut offset = 0;
    for (index, (name, kind)) in head.properties.iter().enumerate() {
        for (axis, of) in ["x", "y", "z"].iter().enumerate() {
            if name == of {
                places[axis] = Some((index, offset, *kind));
            }
        }
        offset += kind.size();
    }
    let [Some(x), Some(y), Some(z)] = places else {
        return Err(named.refuse(said!("vertices-with-x-y-and-z"), said!("others")));
    };
    let short = |read: u64| {
        let expected = said!("vertices", count = head.vertices);
        named.refuse(expected, said!("a-file-that-ends-after", count = read))
    };
    let mut piece: Vec<[f64; 3]> = Vec::with_capacity(PIECE);
    let mut left = head.vertices;
    if head.order == Order::Text {
        let mut line = Vec::new();
        let mut skip = head.before_lines;
        while left > 0 {
            line.clear();
            let read = file.by_ref().take(65_536).read_until(b'\n', &mut line);
            if read.map_or(true, |read| read == 0) {
                return Err(short(head.vertices - left));
            }
            if skip > 0 {
                skip -= 1;
                continue;
            }
            let text = String::from_utf8_lossy(&line);
            let mut words = text.split_whitespace();
            let mut values = [f64::NAN; 3];
            for (index, word) in words.by_ref().enumerate().take(head.properties.len()) {
                for (axis, place) in [x, y, z].iter().enumerate() {
                    if place.0 == index {
                        values[axis] = word.parse().map_err(|_| {
                            let word: String = word.chars().take(20).collect();
                            named.refuse(said!("coordinates-as-numbers"), format!("`{word}`"))
                        })?;
                    }
                }
            }
            if text.split_whitespace().count() < head.properties.len() {
                let expected = said!("numbers-of-each-vertex", count = head.properties.len());
                return Err(named.refuse(expected, said!("a-line-with-fewer")));
            }
            piece.push(values.map(|v| v * factor));
            left -= 1;
            if piece.len() == PIECE {
                take(&piece)?;
                piece.clear();
            }
        }
        return take(&piece);
    }
    let skipped = std::io::copy(&mut file.by_ref().take(head.before_bytes), &mut std::io::sink());
    if skipped.map_or(true, |skipped| skipped < head.before_bytes) {
        return Err(short(0));
    }
    let mut bytes = vec![0u8; offset * PIECE];
    while left > 0 {
        let now = left.min(PIECE as u64) as usize;
        let read = file.read_exact(&mut bytes[..now * offset]);
        read.map_err(|_| short(head.vertices - left))?;
        piece.clear();
        piece.extend(bytes[..now * offset].chunks_exact(offset).map(|vertex| {
            [x, y, z].map(|(_, at, kind)| kind.value(&vertex[at..], head.order) * factor)
        }));
        take(&piece)?;
        left -= now as u64;
    }
    Ok(())
}
