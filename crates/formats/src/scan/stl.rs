//! STL, text or bytes: points over its triangles, no further apart than a corner's nearest
//! neighbour would be.

use std::io::{BufReader, Read as _};

use tooth_measure::say::said;

use super::cloud;
use super::{Asked, Named, Scan, Source, text};
use crate::text::Fault;

const HEAD: u64 = 84;
const RECORD: u64 = 50;
/// Points along the side of one triangle at most.
const SIDE: f64 = 64.0;

type Triangle = [[f64; 3]; 3];

pub(crate) fn read(
    named: &Named<'_>,
    source: &Source,
    bytes: u64,
    asked: &Asked,
) -> Result<Scan, Fault> {
    let factor = named.unit(asked)?;
    // Large triangles would leave cells empty between their corners.
    let step = asked.spacing.map(|spacing| spacing.millimetres() / 2.0);
    // With a spacing, points fill the triangles; without, each corner comes six times.
    let repeats = if step.is_some() { 1.0 } else { 6.0 };
    cloud::map(named, asked, repeats, |take| {
        let mut piece = Vec::new();
        let mut spread = |triangle: Triangle| -> Result<(), Fault> {
            cover(&triangle, step, &mut piece);
            if piece.len() > 8192 {
                take(&piece)?;
                piece.clear();
            }
            Ok(())
        };
        triangles(named, source, bytes, factor, &mut spread)?;
        take(&piece)
    })
}

/// Corners, and points between them where the sides are longer than a step.
fn cover(triangle: &Triangle, step: Option<f64>, piece: &mut Vec<[f64; 3]>) {
    let [a, b, c] = *triangle;
    let length =
        |p: [f64; 3], q: [f64; 3]| (0..3).map(|k| (p[k] - q[k]).powi(2)).sum::<f64>().sqrt();
    let longest = length(a, b).max(length(b, c)).max(length(c, a));
    let parts = step.map_or(1.0, |step| (longest / step).ceil().clamp(1.0, SIDE)) as usize;
    for i in 0..=parts {
        for j in 0..=parts - i {
            let (u, v) = (i as f64 / parts as f64, j as f64 / parts as f64);
            let at = |k: usize| a[k] + u * (b[k] - a[k]) + v * (c[k] - a[k]);
            piece.push([at(0), at(1), at(2)]);
        }
    }
}

fn triangles(
    named: &Named<'_>,
    source: &Source,
    bytes: u64,
    factor: f64,
    spread: &mut dyn FnMut(Triangle) -> Result<(), Fault>,
) -> Result<(), Fault> {
    let file = source.open(named)?;
    let mut file = BufReader::with_capacity(1 << 20, file);
    let mut head = [0u8; HEAD as usize];
    let announced = file
        .read_exact(&mut head)
        .ok()
        .map(|()| u64::from(u32::from_le_bytes([head[80], head[81], head[82], head[83]])));
    let is_binary = announced.is_some_and(|count| HEAD + count * RECORD <= bytes && count > 0);
    // Bytes may begin with "solid" too; a count that fits the length tells.
    if is_binary
        && !(head[..5].eq_ignore_ascii_case(b"solid")
            && announced.map(|c| HEAD + c * RECORD) != Some(bytes))
    {
        let mut record = [0u8; RECORD as usize];
        for _ in 0..announced.unwrap_or(0) {
            file.read_exact(&mut record).map_err(|_| {
                named.refuse(said!("whole-triangles"), said!("a-file-that-ends-too-soon"))
            })?;
            let coordinate = |at: usize| {
                let [a, b, c, d] = [record[at], record[at + 1], record[at + 2], record[at + 3]];
                f64::from(f32::from_le_bytes([a, b, c, d])) * factor
            };
            let corner = |n: usize| [0, 4, 8].map(|k| coordinate(12 + 12 * n + k));
            spread([corner(0), corner(1), corner(2)])?;
        }
        return Ok(());
    }
    if !head[..5].eq_ignore_ascii_case(b"solid") {
        return Err(named
            .refuse(said!("an-stl-file"), said!("bytes-whose-count-does-not-fit-their-length")));
    }
    let mut corners: Vec<[f64; 3]> = Vec::with_capacity(3);
    text::lines(named, source, |number, line| {
        let mut words = line.split_whitespace();
        if !words.next().is_some_and(|word| word.eq_ignore_ascii_case("vertex")) {
            return Ok(());
        }
        let values: Option<Vec<f64>> = words.map(|word| word.parse().ok()).collect();
        let Some([x, y, z]) = values.as_deref() else {
            return Err(named.at(number, said!("vertex-x-y-z"), format!("`{line}`")));
        };
        corners.push([x * factor, y * factor, z * factor]);
        if let [a, b, c] = corners.as_slice() {
            spread([*a, *b, *c])?;
            corners.clear();
        }
        Ok(())
    })
}
